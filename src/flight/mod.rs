//! Launch to rest: air, ball, impact, trajectory, trees, bounce and roll.
//!
//! # Frame
//! A flight is computed in the *aim's frame*: `[right, forward, up]` in
//! metres, right-handed, origin at the ball. With an aim of bearing 0 that is
//! `[east, north, up]`; [`turn`] turns it to any other bearing.
//!
//! `flight` knows nothing of maps: what it needs of the ground it asks of a
//! [`Terrain`].
//!
//! # Limits
//! What the model does not know:
//!
//! - **One ball.** All modern balls are the same ball until a player's own log
//!   scales its drag and lift ([`player::ball_fit`](crate::player::ball_fit)); 13
//!   tested models differed by 18 m of carry (Lyu et al. 2018). Mud, water and wear change a ball by more than that.
//! - **Spin axis.** It stays where the launch put it. Spin about the path of
//!   flight is left out. Coefficients are those of clean, dry balls; water
//!   between face and ball (rough, rain) shows only in the launch it is given.
//! - **Far from the data.** Coefficients were measured for 18–91 m/s and
//!   1500–4500 rpm; beyond their crests in spin they are held, not measured, and a
//!   ball below 16 m/s drags as a sphere does and lifts as it would above ([`ball`]).
//!   Low spin is punished: 2690 → 2000 rpm costs a drive of 167 mph 11 yd.
//!   Spin is taken as positive: topspin is an axis tilted beyond 90°, and flies
//!   with the coefficients of backspin.
//! - **Wind.** One direction and one gust for a ball's whole flight. The log
//!   law counts height from the tee, not from the ground below the ball: so where
//!   it falls the wind is taken too weak. A drive of 167 mph down ground that falls
//!   evenly by 20 m in 230 m, in 10 mph of wind: 1.6 yd too long into it, 1.0 yd too
//!   short down it, 1.7 of 22 yd too little across it; by 10 m, half of that; off a
//!   cliff of 20 m, 4.2, 3.5 and 3.4 yd (computed with a Runge–Kutta integration
//!   that knows the ground). Flights are shared between pegs and aims, which lie over
//!   different ground: that is why. It knows no trees, ridges or buildings:
//!   shelter and swirl are missing. There is no vertical wind.
//! - **Impact.** The head is free of the shaft, does not deform, and does not
//!   turn while the ball is on the face. The face holds the ball up to a friction
//!   of 0.4, dry (practice); a wet one is [`ClubHead::friction`] made smaller.
//! - **Ground.** Penner's turf is one turf; firmness, rough, sand and the floor
//!   of a wood are practice. On firm fairway, where players say 35 yd, drivers run
//!   32 (a tour player's) to 38 yd (an amateur's, launched low): with more for the
//!   first, carry and roll at the Overall Distance Standard's launch would pass
//!   320 yd, and with less dent a 3-wood would run more than two thirds as far.
//!   Between green, fairway and rough turf changes over a metre, in three even steps; a
//!   map that draws its own collar as fairway has both. No bounce off a path, a wall, a rake or a stone; grain, dew
//!   and the way the grass was cut do not turn a roll.
//! - **Bunkers.** The sand lies 0.3 m below the turf around it ([`rest::LIP_M`],
//!   practice): a ball that rolls or hops lower than that inside the sand climbs
//!   out only with the speed for it. A higher face is only in the ground's heights.
//! - **Hops and roll.** Hops feel drag, of 0.25 (half of what the ball has at their speed: it is in what
//!   the run was calibrated to), but neither lift nor wind; topspin may
//!   shorten a drive's first hop of 15 m by two, which is in what the run was
//!   calibrated to. A roll goes in steps of at most 1 m and ¼ s, each with the
//!   resistance of its beginning, and looks at the ground every 0.25 m:
//!   narrower ditches can be rolled over.
//! - **Heights.** As good as the file's, on cells of 4 m from the map and of 2 m from
//!   a raster; a ball knows no slope between. Sea and ellipsoid run alike over a
//!   hole to some centimetres, which are left out.
//! - **Trees.** A crown is a block with one chance per metre, a trunk a chance
//!   and not a place; balls drop where they are hit and never fly on at an
//!   angle. Leaves in summer and bare branches in winter are the same.

pub mod air;
pub mod ball;
pub mod bounce;
pub mod impact;
pub mod level;
mod path;
mod real;
pub mod rest;
pub mod trajectory;
pub mod words;

pub use air::{Air, Weather, Wind};
pub use ball::Ball;
pub use impact::{ClubHead, Delivery, strike};
pub use rest::{Resting, come_to_rest};
pub use trajectory::{FlightView, Flights, fly};

/// How a ball leaves the club, relative to the aim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Launch {
    /// Ball speed, m/s.
    pub ball_speed_m_s: f64,
    /// Angle above the horizontal, degrees.
    pub launch_deg: f64,
    /// Start direction, degrees right of the aim.
    pub start_deg: f64,
    /// Spin, rad/s.
    pub spin_rad_s: f64,
    /// Tilt of the spin axis, degrees; positive bends the ball right.
    pub axis_deg: f64,
}

/// The wind at 10 m above the ground, in the aim's frame: where it blows *to*.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AimWind {
    /// Towards the right, m/s.
    pub right_m_s: f64,
    /// Along the aim, m/s.
    pub forward_m_s: f64,
}

/// A ball's state at one instant, in the frame of its table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Knot {
    /// Position, m: right, forward, up.
    pub position_m: [f32; 3],
    /// Velocity, m/s: right, forward, up.
    pub velocity_m_s: [f32; 3],
    /// Spin, rad/s, about the flight's fixed axis.
    pub spin_rad_s: f32,
}

/// What the ground under a point does to a ball.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turf {
    /// Closely mown: tee or fairway.
    Fairway,
    /// Putting green.
    Green,
    /// Rough.
    Rough,
    /// Sand.
    Sand,
    /// The floor of a wood.
    WoodFloor,
    /// Water or any penalty area: the ball stops where it touches.
    Water,
}

/// What a ball meets at a point: turf, or a band between two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Footing {
    /// The turf of the point.
    pub turf: Turf,
    /// The turf beside it that it resembles, in a band.
    beside: Turf,
    /// 0 where it is wholly its own; else which band from the other turf on, from 1.
    band: u8,
}

impl Footing {
    /// So many bands lie between two turfs, each alike throughout.
    pub const BANDS: u8 = 3;

    /// One turf throughout.
    #[must_use]
    pub fn of(turf: Turf) -> Self {
        Self {
            turf,
            beside: turf,
            band: 0,
        }
    }

    /// Turf in the band outside of another's edge, where it lies by its share of the band's
    /// width: 0 at the edge, 1 at the end.
    #[must_use]
    pub fn beside(turf: Turf, beside: Turf, share: f64) -> Self {
        let band = (share * f64::from(Self::BANDS)).ceil();
        Self {
            turf,
            beside,
            band: band.clamp(1.0, f64::from(Self::BANDS)) as u8,
        }
    }

    /// The turf beside it and by how much it is as its own: the middle of its band.
    #[must_use]
    pub(crate) fn between(self) -> Option<(Turf, f64)> {
        (self.band > 0).then(|| {
            let share = (f64::from(self.band) - 0.5) / f64::from(Self::BANDS);
            (self.beside, share)
        })
    }
}

/// How firm the course plays.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Firmness {
    /// A driver runs about 5 yd on flat fairway (practice).
    Soft,
    /// About 20 yd (practice).
    #[default]
    Medium,
    /// About 35 yd (practice).
    Firm,
}

/// Leaves and branches over a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Canopy {
    /// Height above the ground where the crown begins, m.
    pub base_m: f64,
    /// Height above the ground where it ends, m.
    pub top_m: f64,
}

/// What a flight asks of the ground, in the plane's `east, north` metres.
pub trait Terrain {
    /// Height of the ground, m.
    fn height_m(&self, east_m: f64, north_m: f64) -> f64;
    /// Slope of the ground: rise per metre east and per metre north.
    fn gradient(&self, east_m: f64, north_m: f64) -> [f64; 2];
    /// Height and slope of the ground, as above, for those who ask for both.
    fn ground(&self, east_m: f64, north_m: f64) -> (f64, [f64; 2]) {
        (
            self.height_m(east_m, north_m),
            self.gradient(east_m, north_m),
        )
    }
    /// What the ball meets there.
    fn turf(&self, east_m: f64, north_m: f64) -> Turf;
    /// The same with the bands between turfs.
    fn footing(&self, east_m: f64, north_m: f64) -> Footing {
        Footing::of(self.turf(east_m, north_m))
    }
    /// The trees there, if any.
    fn canopy(&self, east_m: f64, north_m: f64) -> Option<Canopy>;
    /// No canopy reaches above this absolute height, m (ground + tree); minus
    /// infinity where there are no trees.
    fn highest_canopy_m(&self) -> f64;
    /// No tree is nearer to a place than this, m. It saves looking for crowns along
    /// the way; 0 is always right.
    fn to_trees_m(&self, east_m: f64, north_m: f64) -> f64 {
        let _ = (east_m, north_m);
        0.0
    }
    /// Nothing but the place's own turf, no band, and no tree is nearer than this, m. It
    /// saves looking at what lies below a hop or a roll; 0 is always right.
    fn to_change_m(&self, east_m: f64, north_m: f64) -> f64 {
        let _ = (east_m, north_m);
        0.0
    }
    /// The ground rises nowhere above this height, m. A flight is not compared
    /// with the ground where it is higher; knowing it saves time, not knowing
    /// it costs no accuracy.
    fn highest_ground_m(&self) -> f64 {
        f64::INFINITY
    }
    /// What nothing within [`CEILING_REACH_M`] of a place rises above, and within
    /// [`WIDE_REACH_M`]: the same saving on a hole that climbs.
    fn ceilings(&self, east_m: f64, north_m: f64) -> Ceilings {
        let _ = (east_m, north_m);
        let (ground_m, crowns_m) = (self.highest_ground_m(), self.highest_canopy_m());
        Ceilings {
            ground_m,
            crowns_m,
            wide_ground_m: ground_m,
            wide_crowns_m: crowns_m,
        }
    }
}

/// Absolute heights, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ceilings {
    /// The ground does not rise above this.
    pub ground_m: f64,
    /// Nor a crown above this; minus infinity where there are none.
    pub crowns_m: f64,
    /// The ground does not rise above this within [`WIDE_REACH_M`].
    pub wide_ground_m: f64,
    /// Nor a crown above this.
    pub wide_crowns_m: f64,
}

/// How far [`Terrain::ceilings`] looks, m: further than from the middle between two
/// knots of a flight to either.
pub const CEILING_REACH_M: f64 = 16.0;

/// How far its wide ceilings look, m: a drive comes so far in four intervals.
pub const WIDE_REACH_M: f64 = 64.0;

/// Turns `[right, forward, up]` of an aim of this bearing to `[east, north, up]`.
#[must_use]
pub fn turn(aim: [f64; 3], bearing_deg: f64) -> [f64; 3] {
    let (sin, cos) = bearing_deg.to_radians().sin_cos();
    [
        aim[0] * cos + aim[1] * sin,
        aim[1] * cos - aim[0] * sin,
        aim[2],
    ]
}
