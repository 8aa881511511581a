//! The set-up for a line: what turning it does to path and face, and what
//! playing the ball further forward is expected to do.
//!
//! Turning the whole set-up turns path, face and start line alike and leaves
//! face to path, and so the bend, alone. A driver's ball played further forward
//! is met later in the arc: more on the way up, with path and face further
//! round. How much further is practice, one worked case among coaches (3.6° up
//! becomes about 5° up); what the ball then does is flown from the impact
//! model. Read its sign and rough size, not its digits.

use super::Handedness;
use super::club::{Club, Family};
use super::face::LEAST_ROWS;
use super::group::{Group, Sight};
use super::invert::Range;
use super::pattern::ANGLE;
use super::shotlog::Shot;
use crate::flight::{ClubHead, Delivery, Launch, strike};
use crate::units::RPM_RAD_S;

/// Further forward, the club comes so much more on the way up, degrees (practice).
pub const MORE_UP_DEG: f64 = 1.4;
/// The plane of the swing with a driver against the ground, degrees (practice):
/// an arc in a tilted plane that rises by a degree turns by 1/tan of it.
pub const PLANE_DEG: f64 = 48.0;
/// The face has turned on by so much, degrees towards closed (practice): more
/// than the path, since it turns about the shaft as well.
pub const FACE_CLOSES_DEG: f64 = 2.0;
/// And looks so much further up, degrees (practice).
pub const MORE_LOFT_DEG: f64 = 0.8;

/// How a club is delivered on average, set up straight, and what a ball further
/// forward would do. Degrees right of the aim.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetUp {
    /// Mean path and face, where both are logged.
    pub path_face_deg: Option<[f64; 2]>,
    /// A driver's ball played further forward, where the delivery is logged.
    pub forward: Option<Forward>,
}

/// What changes with the ball further forward. Right is positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forward {
    /// Path and face, degrees.
    pub path_face_deg: [f64; 2],
    /// Start direction, degrees.
    pub start_deg: f64,
    /// Launch angle, degrees.
    pub launch_deg: f64,
    /// Curve, m.
    pub curve_m: f64,
    /// Carry, m.
    pub carry_m: f64,
}

/// The set-up of one club from its used rows.
#[must_use]
pub fn of(range: &Range, group: &Group, shots: &[Shot], handedness: Handedness) -> SetUp {
    let rows: Vec<(&Shot, f64)> = group
        .used()
        .filter_map(|row| Some((shots.get(row.shot)?, row.five[ANGLE])))
        .filter(|(shot, _)| shot.path_deg.is_some() && shot.face_deg.is_some())
        .collect();
    if rows.len() < LEAST_ROWS {
        return SetUp::default();
    }
    let mean = |of: &dyn Fn(&Shot) -> Option<f64>| -> Option<f64> {
        let values: Vec<f64> = rows.iter().filter_map(|(shot, _)| of(shot)).collect();
        (values.len() >= LEAST_ROWS).then(|| values.iter().sum::<f64>() / values.len() as f64)
    };
    let (path, face) = (mean(&|s| s.path_deg), mean(&|s| s.face_deg));
    let path_face_deg = path.zip(face).map(|(path, face)| [path, face]);
    let launch_deg = rows.iter().map(|(_, angle)| angle).sum::<f64>() / rows.len() as f64;
    let speed = mean(&|s| s.club_speed_m_s);
    let attack = mean(&|s| s.attack_deg);
    let forward = match (path_face_deg, speed, attack) {
        (Some([path_deg, face_deg]), Some(club_speed_m_s), Some(attack_deg))
            if Club::of(&group.club).family == Family::Driver && group.sight == Sight::Whole =>
        {
            let straight = Delivery {
                club_speed_m_s,
                attack_deg,
                path_deg,
                face_deg,
                dynamic_loft_deg: 0.0,
                strike_right_mm: handedness.sign() * mean(&|s| s.strike_mm).unwrap_or(0.0),
                strike_high_mm: 0.0,
            };
            forward(range, straight, launch_deg, handedness)
        }
        _ => None,
    };
    SetUp {
        path_face_deg,
        forward,
    }
}

fn forward(
    range: &Range,
    mut straight: Delivery,
    launch_deg: f64,
    handedness: Handedness,
) -> Option<Forward> {
    let head = ClubHead::driver();
    // The loft that launches as logged.
    let (mut low, mut high) = (0.0, 45.0);
    for _ in 0..40 {
        straight.dynamic_loft_deg = 0.5 * (low + high);
        if strike(&straight, &head).launch_deg < launch_deg {
            low = straight.dynamic_loft_deg;
        } else {
            high = straight.dynamic_loft_deg;
        }
    }
    let round = handedness.sign();
    let later = further_forward(&straight, round);
    let launches = [strike(&straight, &head), strike(&later, &head)];
    let landings = range.land(&launches.map(five));
    let [before, after] = [landings.first()?, landings.get(1)?];
    Some(Forward {
        path_face_deg: [
            later.path_deg - straight.path_deg,
            later.face_deg - straight.face_deg,
        ],
        start_deg: launches[1].start_deg - launches[0].start_deg,
        launch_deg: launches[1].launch_deg - launches[0].launch_deg,
        curve_m: after.curve_m - before.curve_m,
        carry_m: after.carry_m - before.carry_m,
    })
}

/// The same swing with the ball further forward; `round` is 1 for a
/// right-hander, −1 for a left-hander.
#[must_use]
pub fn further_forward(delivery: &Delivery, round: f64) -> Delivery {
    Delivery {
        attack_deg: delivery.attack_deg + MORE_UP_DEG,
        path_deg: delivery.path_deg - round * MORE_UP_DEG / PLANE_DEG.to_radians().tan(),
        face_deg: delivery.face_deg - round * FACE_CLOSES_DEG,
        dynamic_loft_deg: delivery.dynamic_loft_deg + MORE_LOFT_DEG,
        ..*delivery
    }
}

fn five(launch: Launch) -> [f64; 5] {
    [
        launch.ball_speed_m_s,
        launch.launch_deg,
        launch.start_deg,
        launch.spin_rad_s / RPM_RAD_S,
        launch.axis_deg,
    ]
}
