//! One shot from one peg along one aim, flown many times.
//!
//! The only module that joins hole, player and flight. A [`Volley`] is a
//! club's launches on fixed random points, flown once and then turned to any
//! aim; [`play`] puts it on a peg and lets every ball come to rest on the hole.

mod crossing;
mod level;
mod settling;

use std::sync::{Arc, OnceLock};

use serde::Serialize;

use crate::flight::air::{Air, ROUGHNESS_M, Weather, Wind};
use crate::flight::ball::Ball;
use crate::flight::rest::come_to_rest;
use crate::flight::trajectory::{Flights, fly};
use crate::flight::{AimWind, Canopy, Ceilings, Firmness, Footing, Launch, Terrain, Turf};
use crate::hole::{Coord, Hole, Surface};
use crate::player::ClubShape;
use crate::sample::{self, Point};
pub(crate) use level::{Downs, Level, Turn};
pub(crate) use settling::{Settling, Struck, settle};

/// A shot off the tee: what the search varies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TeeShot {
    /// Index into `Player::clubs`.
    pub club: usize,
    /// From the left marker's outside point along the front line, m.
    pub from_left_m: f64,
    /// Behind the front line, m.
    pub behind_front_m: f64,
    /// True bearing of the set-up, degrees.
    pub aim_deg: f64,
}

/// Where one ball came to rest.
#[derive(Clone, Copy, Debug)]
pub struct Rest {
    /// On the plane, m.
    pub at: Coord<f64>,
    /// In what; for a ball out of bounds or in a penalty area, where it was lost.
    pub surface: Surface,
    /// Where it last crossed the edge of the penalty area, when it is in one.
    pub crossed: Option<Coord<f64>>,
    /// Where it first touched the ground (or came down from a tree).
    pub landed: Coord<f64>,
    /// Its start direction, degrees right of the aim.
    pub start_deg: f64,
    /// Whether it was a sound strike that no tree stopped.
    pub is_sound: bool,
}

impl Rest {
    /// How far it bent from its own start line until it landed, right positive, m,
    /// hit from `peg` along an aim.
    #[must_use]
    pub fn curve_m(&self, peg: Coord<f64>, aim_deg: f64) -> f64 {
        let (sin, cos) = (aim_deg + self.start_deg).to_radians().sin_cos();
        (self.landed.x - peg.x) * cos - (self.landed.y - peg.y) * sin
    }
}

/// What happens how often; the shares add to 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Finish {
    /// Fairway (or tee ground).
    pub fairway: f64,
    /// Rough.
    pub rough: f64,
    /// Bunker.
    pub bunker: f64,
    /// Green.
    pub green: f64,
    /// In trees.
    pub trees: f64,
    /// Penalty area of either colour.
    pub penalty_area: f64,
    /// Out of bounds.
    pub out_of_bounds: f64,
}

/// The day: air, wind, ball and turf.
#[derive(Clone, Copy, Debug)]
pub struct Day {
    /// The air.
    pub air: Air,
    /// The wind.
    pub wind: Wind,
    /// The ball; a player's own is [`Player::own_ball`](crate::player::Player::own_ball).
    pub ball: Ball,
    /// The turf.
    pub firmness: Firmness,
}

impl Day {
    /// A day on open ground.
    #[must_use]
    pub fn of(weather: &Weather, wind: Wind, ball: Ball, firmness: Firmness) -> Self {
        Self {
            air: Air::of(weather, ROUGHNESS_M),
            wind,
            ball,
            firmness,
        }
    }
}

/// A hole as a flight sees it.
struct Ground<'a>(&'a Hole);

impl Terrain for Ground<'_> {
    #[inline]
    fn height_m(&self, east_m: f64, north_m: f64) -> f64 {
        self.0.ground().height_m(east_m, north_m)
    }
    fn gradient(&self, east_m: f64, north_m: f64) -> [f64; 2] {
        self.0.ground().gradient(east_m, north_m)
    }
    fn ground(&self, east_m: f64, north_m: f64) -> (f64, [f64; 2]) {
        self.0.ground().height_and_gradient(east_m, north_m)
    }
    fn turf(&self, east_m: f64, north_m: f64) -> Turf {
        let at = Coord {
            x: east_m,
            y: north_m,
        };
        self.0.surface_at(at).turf()
    }
    fn footing(&self, east_m: f64, north_m: f64) -> Footing {
        self.0.footing_at(Coord {
            x: east_m,
            y: north_m,
        })
    }
    fn canopy(&self, east_m: f64, north_m: f64) -> Option<Canopy> {
        self.0.canopy_at(east_m, north_m)
    }
    fn highest_canopy_m(&self) -> f64 {
        self.0.highest_canopy_m()
    }
    fn highest_ground_m(&self) -> f64 {
        self.0.ground().highest_m()
    }
    #[inline]
    fn ceilings(&self, east_m: f64, north_m: f64) -> Ceilings {
        self.0.ceilings(Coord {
            x: east_m,
            y: north_m,
        })
    }
    #[inline]
    fn to_trees_m(&self, east_m: f64, north_m: f64) -> f64 {
        self.0.to_trees_m(Coord {
            x: east_m,
            y: north_m,
        })
    }
    fn to_change_m(&self, east_m: f64, north_m: f64) -> f64 {
        self.0.to_change_m(Coord {
            x: east_m,
            y: north_m,
        })
    }
}

/// Between two aims that are flown, the wind turns by this much, degrees. A
/// ball's path is blended from the two: with 5 m/s of wind the blend is off by
/// 1 − cos 1.5° of it, a few centimetres on a drive.
const NODE_DEG: f64 = 3.0;

/// One club's launches on one set of random points, flown for a range of aims.
pub struct Volley {
    start_deg: Arc<[f64]>,
    luck: Arc<[f64]>,
    is_mishit: Arc<[bool]>,
    calm: bool,
    /// Bearing of the first node; in calm air there is one node for all aims.
    first_deg: f64,
    nodes: Arc<[Flights]>,
    /// What is known of them on level ground, and on the hole that is played.
    downs: Arc<Downs>,
    level: OnceLock<Option<Level>>,
    firmness: Firmness,
}

/// A volley along one aim.
pub struct Toward<'a> {
    volley: &'a Volley,
    bearing_deg: f64,
    turn: Turn,
    flown: Flown<'a>,
}

enum Flown<'a> {
    /// Along north.
    Calm(&'a Flights),
    /// Along the aim.
    Blown(Flights),
}

impl Toward<'_> {
    /// The balls' flights, `[east, north, up]` from the ball.
    #[must_use]
    pub fn flights(&self) -> Flights {
        match &self.flown {
            Flown::Calm(flights) => flights.turned(self.bearing_deg),
            Flown::Blown(flights) => flights.clone(),
        }
    }
}

impl Volley {
    /// Flies `club` on `points` for every aim from `low_deg` to `high_deg`,
    /// down to `floor_m` below the ball.
    #[must_use]
    pub fn fly(
        club: &ClubShape,
        points: &[Point],
        day: &Day,
        [low_deg, high_deg]: [f64; 2],
        floor_m: f64,
    ) -> Self {
        let pattern = club.launches.pattern();
        let launches: Vec<Launch> = points.iter().map(|p| pattern.draw(p)).collect();
        let calm = day.wind.speed_m_s == 0.0;
        let steps = ((high_deg - low_deg) / NODE_DEG).ceil().max(0.0) as usize;
        let count = if calm { 1 } else { steps + 1 };
        let nodes = (0..count)
            .map(|node| {
                let bearing = low_deg + node as f64 * NODE_DEG;
                let winds: Vec<AimWind> = points
                    .iter()
                    .map(|p| {
                        day.wind
                            .in_aim(bearing, [p[sample::GUST], p[sample::GUST + 1]])
                    })
                    .collect();
                fly(&launches, &winds, &day.air, &day.ball, floor_m)
            })
            .collect();
        Self {
            start_deg: launches.iter().map(|l| l.start_deg).collect(),
            luck: points.iter().map(|p| p[sample::TREES]).collect(),
            is_mishit: points.iter().map(|p| pattern.is_mishit(p)).collect(),
            calm,
            first_deg: low_deg,
            nodes,
            downs: Downs::of(day.firmness, points.len()),
            level: OnceLock::new(),
            firmness: day.firmness,
        }
    }

    /// The same balls for another hole.
    #[must_use]
    pub fn elsewhere(&self) -> Self {
        Self {
            start_deg: Arc::clone(&self.start_deg),
            luck: Arc::clone(&self.luck),
            is_mishit: Arc::clone(&self.is_mishit),
            nodes: Arc::clone(&self.nodes),
            downs: Arc::clone(&self.downs),
            level: OnceLock::new(),
            ..*self
        }
    }

    /// How many balls it has.
    #[must_use]
    pub fn len(&self) -> usize {
        self.luck.len()
    }

    /// True when it has no balls.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.luck.is_empty()
    }

    /// The balls along this bearing.
    #[must_use]
    pub fn toward(&self, bearing_deg: f64) -> Toward<'_> {
        let flown = if self.nodes.len() == 1 && self.calm {
            Flown::Calm(&self.nodes[0])
        } else if self.nodes.len() == 1 {
            Flown::Blown(self.nodes[0].turned(bearing_deg))
        } else {
            let at = ((bearing_deg - self.first_deg) / NODE_DEG)
                .clamp(0.0, (self.nodes.len() - 1) as f64);
            let low = (at as usize).min(self.nodes.len() - 2);
            let share = at - low as f64;
            Flown::Blown(self.nodes[low].blend_turned(&self.nodes[low + 1], share, bearing_deg))
        };
        Toward {
            volley: self,
            bearing_deg,
            turn: Turn::to(bearing_deg),
            flown,
        }
    }
}

/// Plays a volley from a peg; every ball in order.
#[must_use]
pub fn play(hole: &Hole, toward: &Toward<'_>, peg: Coord<f64>) -> Vec<Rest> {
    let volley = toward.volley;
    let (flights, turn, level) = match &toward.flown {
        Flown::Calm(flights) => {
            let level = volley.level.get_or_init(|| Level::of(hole, &volley.downs));
            (*flights, toward.turn, level.as_ref())
        }
        Flown::Blown(flights) => (flights, Turn::NONE, None),
    };
    let mut rests = Vec::with_capacity(volley.len());
    let struck = |ball: usize| Struck {
        flight: flights.ball(ball),
        known: level.map(|level| (level, ball)),
        from: peg,
        turn,
        tree_luck: volley.luck[ball],
        start_deg: volley.start_deg[ball],
    };
    let mut scratch = Settling::default();
    settle(
        hole,
        volley.firmness,
        volley.len(),
        struck,
        &mut scratch,
        &mut rests,
    );
    for (rest, is_mishit) in rests.iter_mut().zip(volley.is_mishit.iter()) {
        rest.is_sound &= !is_mishit;
    }
    rests
}

/// One ball hit from somewhere.
#[derive(Clone, Copy, Debug)]
pub struct Strike {
    /// Where it lies.
    pub from: Coord<f64>,
    /// True bearing of the set-up, degrees.
    pub aim_deg: f64,
    /// How it leaves the club, relative to the aim.
    pub launch: Launch,
    /// Its luck with trees and gusts (the launch's coordinates are not used).
    pub luck: Point,
}

/// Hits every ball from its own place along its own aim; every ball in order. Whether a launch is
/// a mishit is not known here: a ball is sound where no tree stops it.
#[must_use]
pub fn play_each(hole: &Hole, strikes: &[Strike], day: &Day) -> Vec<Rest> {
    // Launched at a bearing and blown on from true north, a ball flies in the
    // plane's own frame and need not be turned.
    let launches: Vec<Launch> = strikes
        .iter()
        .map(|s| Launch {
            start_deg: s.launch.start_deg + s.aim_deg,
            ..s.launch
        })
        .collect();
    let winds: Vec<AimWind> = strikes
        .iter()
        .map(|s| {
            day.wind
                .in_aim(0.0, [s.luck[sample::GUST], s.luck[sample::GUST + 1]])
        })
        .collect();
    let highest = strikes
        .iter()
        .map(|s| hole.ground().height_m(s.from.x, s.from.y))
        .fold(f64::NEG_INFINITY, f64::max);
    let floor_m = (hole.ground().lowest_m() - highest).min(0.0) - 2.0;
    let flights = fly(&launches, &winds, &day.air, &day.ball, floor_m);
    let struck = |number: usize| Struck {
        flight: flights.ball(number),
        known: None,
        from: strikes[number].from,
        turn: Turn::NONE,
        tree_luck: strikes[number].luck[sample::TREES],
        start_deg: strikes[number].launch.start_deg,
    };
    let mut rests = Vec::with_capacity(strikes.len());
    let mut scratch = Settling::default();
    settle(
        hole,
        day.firmness,
        strikes.len(),
        struck,
        &mut scratch,
        &mut rests,
    );
    rests
}

/// True for a penalty area of either colour.
#[must_use]
pub fn is_penalty(surface: Surface) -> bool {
    matches!(surface, Surface::PenaltyRed | Surface::PenaltyYellow)
}

/// Where the first ball of `toward` lands, `[east, north, up]`, and its way
/// over the ground from there.
#[must_use]
pub fn trace(hole: &Hole, toward: &Toward<'_>, peg: Coord<f64>) -> ([f64; 3], Vec<[f64; 2]>) {
    let mut track = Vec::new();
    let height_m = hole.ground().height_m(peg.x, peg.y);
    let resting = come_to_rest(
        &Ground(hole),
        toward.flights().ball(0),
        [peg.x, peg.y, height_m],
        toward.volley.luck[0],
        toward.volley.firmness,
        &mut track,
    );
    (resting.landed, track)
}
