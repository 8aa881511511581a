//! From how the club arrives to how the ball leaves, in three dimensions.
//!
//! The head is a free rigid body, the ball a solid sphere that ends the
//! impact rolling on the face (slipping back a little where the face is lofted:
//! [`ClubHead::tangential_restitution`]). Without an off-centre strike the ball
//! starts in the plane of club path and face normal and its spin axis is
//! perpendicular to that plane (the D-plane: Jorgensen, *The Physics of Golf*,
//! 1994, memory).
//!
//! Off the centre the blow turns the head about its centre of mass, which lies
//! behind the face; the face then drags the ball's back sideways, like one gear
//! the other. A curved face (bulge and roll) starts the ball further out and
//! takes part of the gear spin back.

use super::Launch;
use super::ball::{DIAMETER_M, MASS_KG};
use super::bounce::{cross, dot};

const RADIUS_M: f64 = DIAMETER_M / 2.0;

/// How a club arrives at the ball. Directions are degrees right of the aim,
/// for every player.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Delivery {
    /// Speed of the head's centre, m/s.
    pub club_speed_m_s: f64,
    /// Up positive, degrees.
    pub attack_deg: f64,
    /// Club path, degrees right of the aim.
    pub path_deg: f64,
    /// Where the face looks at its centre, degrees right of the aim.
    pub face_deg: f64,
    /// Angle of the face above the horizontal at impact, at its centre, degrees.
    pub dynamic_loft_deg: f64,
    /// Where on the face, to the right of its centre as seen along the aim, mm.
    /// Positive is the toe for a right-hander, the heel for a left-hander.
    pub strike_right_mm: f64,
    /// Where on the face, above its centre, mm.
    pub strike_high_mm: f64,
}

impl Delivery {
    /// The same swing with the whole set-up turned right: path and face turn
    /// with it, face to path stays.
    #[must_use]
    pub fn turned(self, right_deg: f64) -> Self {
        Self {
            path_deg: self.path_deg + right_deg,
            face_deg: self.face_deg + right_deg,
            ..self
        }
    }

    /// The same swing seen in a mirror: the other hand's player.
    #[must_use]
    pub fn mirrored(self) -> Self {
        Self {
            path_deg: -self.path_deg,
            face_deg: -self.face_deg,
            strike_right_mm: -self.strike_right_mm,
            ..self
        }
    }

    /// Face angle less club path, degrees: negative bends the ball left.
    #[must_use]
    pub fn face_to_path_deg(&self) -> f64 {
        self.face_deg - self.path_deg
    }

    /// Angle between club path and face normal, degrees.
    #[must_use]
    pub fn spin_loft_deg(&self) -> f64 {
        let cos = dot(
            direction(self.path_deg, self.attack_deg),
            direction(self.face_deg, self.dynamic_loft_deg),
        );
        cos.clamp(-1.0, 1.0).acos().to_degrees()
    }

    /// Tilt of the axis perpendicular to the plane of path and face normal, as it
    /// is seen *along the aim*, degrees; right positive. What a centred strike on
    /// a flat face gives. Seen along the club path, the tilt of a turned set-up
    /// does not change: `turned(-path_deg)` first asks for that one.
    #[must_use]
    pub fn d_plane_tilt_deg(&self) -> f64 {
        let axis = cross(
            direction(self.path_deg, self.attack_deg),
            direction(self.face_deg, self.dynamic_loft_deg),
        );
        (-axis[2]).atan2(axis[0]).to_degrees()
    }
}

/// A club head as a rigid body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClubHead {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Coefficient of restitution with the ball at the centre of the face.
    pub restitution: f64,
    /// How much of the slip along the face springs back: 0 leaves the ball rolling.
    pub tangential_restitution: f64,
    /// Coefficient of friction between face and ball: the blow along the face is
    /// at most this share of the blow square to it. Lower for a wet face.
    pub friction: f64,
    /// Moment of inertia about the vertical through the centre of mass, kg m²:
    /// resists toe and heel strikes.
    pub moment_vertical_kg_m2: f64,
    /// About the horizontal from heel to toe, kg m²: resists high and low strikes.
    pub moment_horizontal_kg_m2: f64,
    /// Centre of mass behind the face, m.
    pub depth_m: f64,
    /// Radius of the face from heel to toe, m; infinite when flat.
    pub bulge_radius_m: f64,
    /// Radius of the face from sole to crown, m.
    pub roll_radius_m: f64,
}

const INCH_M: f64 = 0.025_4;
/// Friction of a dry, clean face (practice). It takes a spin loft of 60° to slide on it.
const DRY_FRICTION: f64 = 0.4;

impl ClubHead {
    /// A driver: 200 g, restitution 0.83 (the limit of the Equipment Rules,
    /// memory), 4500 and 3000 g cm², mass 38 mm behind the face, bulge and roll of
    /// 12 in (practice).
    #[must_use]
    pub fn driver() -> Self {
        Self {
            mass_kg: 0.200,
            restitution: 0.83,
            tangential_restitution: 0.0,
            friction: DRY_FRICTION,
            moment_vertical_kg_m2: 4.5e-4,
            moment_horizontal_kg_m2: 3.0e-4,
            depth_m: 0.038,
            bulge_radius_m: 12.0 * INCH_M,
            roll_radius_m: 12.0 * INCH_M,
        }
    }

    /// A fairway wood: 215 g, smaller and shallower than a driver, bulge and
    /// roll of 10 in (practice).
    #[must_use]
    pub fn fairway_wood() -> Self {
        Self {
            mass_kg: 0.215,
            restitution: 0.81,
            tangential_restitution: 0.1,
            friction: DRY_FRICTION,
            moment_vertical_kg_m2: 2.8e-4,
            moment_horizontal_kg_m2: 1.6e-4,
            depth_m: 0.024,
            bulge_radius_m: 10.0 * INCH_M,
            roll_radius_m: 10.0 * INCH_M,
        }
    }

    /// An iron: 260 g, flat face, mass hardly behind it (practice). Restitution
    /// and spin calibrated to launch monitors' tour averages for a 7-iron
    /// (memory: club 90 mph, ball 120 mph, 7097 rpm).
    #[must_use]
    pub fn iron() -> Self {
        Self {
            mass_kg: 0.260,
            restitution: 0.76,
            tangential_restitution: 0.2,
            friction: DRY_FRICTION,
            moment_vertical_kg_m2: 2.5e-4,
            moment_horizontal_kg_m2: 0.6e-4,
            depth_m: 0.006,
            bulge_radius_m: f64::INFINITY,
            roll_radius_m: f64::INFINITY,
        }
    }

    /// A wedge: 295 g, otherwise an iron (practice).
    #[must_use]
    pub fn wedge() -> Self {
        Self {
            mass_kg: 0.295,
            ..Self::iron()
        }
    }
}

/// The launch a delivery gives, in the aim's frame.
///
/// Along the face normal the ball leaves at `V cos λ (1+e)/(1+m/M)`
/// (Cochran & Stobbs, *The Search for the Perfect Swing*, 1968), with
/// `1/M = 1/M₀ + x²/I + y²/I'` for a strike off the centre; along the face at
/// `V sin λ (1+eₜ)(2/7)/(1+2m/7M)`, with the spin of a solid sphere set going by that
/// impulse at its surface (derived), but at most with the friction of the face. Spin along the ball's own path, which
/// bends nothing, is left out.
#[must_use]
pub fn strike(delivery: &Delivery, head: &ClubHead) -> Launch {
    let x = delivery.strike_right_mm / 1000.0;
    let y = delivery.strike_high_mm / 1000.0;
    let speed = delivery.club_speed_m_s;
    let path = direction(delivery.path_deg, delivery.attack_deg);
    // The curved face looks out to the side on which it is struck.
    let turned = |at: f64, radius: f64| (at / radius).clamp(-1.0, 1.0).asin().to_degrees();
    let face = delivery.face_deg + turned(x, head.bulge_radius_m);
    let loft = delivery.dynamic_loft_deg + turned(y, head.roll_radius_m);
    let normal = direction(face, loft);
    let right = direction(face + 90.0, 0.0);
    let up = cross(right, normal);

    let inverse_mass = 1.0 / head.mass_kg
        + x * x / head.moment_vertical_kg_m2
        + y * y / head.moment_horizontal_kg_m2;
    let approach = dot(path, normal);
    let square = speed * approach * (1.0 + head.restitution) / (1.0 + MASS_KG * inverse_mass);
    let impulse = MASS_KG * square;

    // How fast the face slides under the ball: the head's own way along the
    // face, and the gear, the face swinging about the mass behind it.
    let sliding = |i: usize| speed * (path[i] - approach * normal[i]);
    let gear = |i: usize| {
        impulse
            * head.depth_m
            * (x / head.moment_vertical_kg_m2 * right[i] + y / head.moment_horizontal_kg_m2 * up[i])
    };
    let grip = 2.0 / 7.0 * (1.0 + head.tangential_restitution)
        / (1.0 + 2.0 / 7.0 * MASS_KG / head.mass_kg);
    let slip: [f64; 3] = std::array::from_fn(|i| sliding(i) + gear(i));
    let slip_speed = dot(slip, slip).sqrt();
    // Where the face cannot hold the ball, it slides through the whole impact.
    let most = head.friction * square.max(0.0);
    let share = if grip * slip_speed > most {
        most / slip_speed
    } else {
        grip
    };
    let along = slip.map(|x| share * x);
    let velocity: [f64; 3] = std::array::from_fn(|i| square * normal[i] + along[i]);
    let spin = cross(along, normal).map(|w| 2.5 * w / RADIUS_M);
    launch_of(velocity, spin)
}

/// Velocity and spin vectors as a launch.
fn launch_of(velocity: [f64; 3], spin: [f64; 3]) -> Launch {
    let speed = dot(velocity, velocity).sqrt();
    let start = velocity[0].atan2(velocity[1]);
    let launch = velocity[2].atan2(velocity[0].hypot(velocity[1]));
    let (sin_side, cos_side) = start.sin_cos();
    let (sin_up, cos_up) = launch.sin_cos();
    let right = [cos_side, -sin_side, 0.0];
    let above = [-sin_up * sin_side, -sin_up * cos_side, cos_up];
    let (back, side) = (dot(spin, right), -dot(spin, above));
    Launch {
        ball_speed_m_s: speed,
        launch_deg: launch.to_degrees(),
        start_deg: start.to_degrees(),
        spin_rad_s: back.hypot(side),
        axis_deg: side.atan2(back).to_degrees(),
    }
}

/// The unit vector so far right of the aim and so far above the horizontal.
fn direction(right_deg: f64, up_deg: f64) -> [f64; 3] {
    let (sin_right, cos_right) = right_deg.to_radians().sin_cos();
    let (sin_up, cos_up) = up_deg.to_radians().sin_cos();
    [cos_up * sin_right, cos_up * cos_right, sin_up]
}
