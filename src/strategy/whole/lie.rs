//! What a lie does to a swing.
//!
//! A lie scales the launch a club has from a tee or a fairway: ball speed,
//! spin, and the scatter of all five numbers. From under trees a full swing has the
//! lie of rough; the branches are the flight's business.
//!
//! # Calibration
//! With a tour-level bag on a plain hole, against the published strokes table (see
//! [`finish`](crate::strategy::finish)) and against nothing else:
//! - rough, full and partial, on its column from 60 to 240 yd: what is left is at most
//!   0.09 strokes, 0.05 as a root mean square, too dear between 140 and 220 yd (a narrower spread
//!   makes high handicaps better than their index);
//! - sand, full swings, on its column from 100 to 240 yd, by the spread alone (speed and
//!   spin are practice; other values of them fit no better): what is left is at most
//!   0.10 strokes, 0.07 as a root mean square, too cheap at 240 yd, too dear
//!   between 140 and 180 yd. A fairway bunker's lip, which the column has in it, is not
//!   on the map;
//! - sand from 20 to 100 yd, full swings with lofted clubs and partial ones, on the demo holes by a
//!   scratch player: 0.05 strokes less to 0.18 more than the column, which is uncertain there, by every 20 yd
//!   (`tests/known_course_play.rs`; with one spread for all swings 0.21 less from 60 to 80 yd).
//!
//! # By level
//! Typical players with their course play, strokes less the table scaled to the level by the Course
//! Rating formulas (`cargo run --release --example levels`; three seeds). Beyond the tour's column the
//! scaled table is a frame, not a measurement: it adds the same strokes in every lie.
//!
//! | index | lie | 30 yd | 40 | 60 | 80 | 100 | 130 | 160 | 200 |
//! | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
//! | 0 | fairway | −0.05 | −0.02 | −0.03 | −0.05 | −0.02 | −0.07 | −0.02 | −0.06 |
//! | 0 | rough | −0.11 | −0.06 | −0.07 | −0.07 | −0.02 | −0.08 | −0.03 | −0.07 |
//! | 0 | sand | 0.18 | 0.18 | 0.11 | −0.02 | −0.16 | −0.03 | 0.05 | −0.13 |
//! | 6 | fairway | −0.01 | 0.01 | −0.04 | −0.03 | −0.02 | −0.07 | 0.04 | −0.03 |
//! | 6 | rough | −0.05 | −0.02 | −0.07 | −0.01 | −0.03 | 0.00 | 0.02 | −0.03 |
//! | 6 | sand | 0.30 | 0.34 | 0.22 | 0.00 | −0.11 | 0.03 | 0.10 | −0.04 |
//! | 12 | fairway | 0.01 | 0.02 | −0.07 | −0.05 | −0.08 | −0.03 | 0.05 | −0.06 |
//! | 12 | rough | −0.03 | 0.03 | −0.05 | 0.05 | −0.03 | 0.04 | 0.08 | 0.04 |
//! | 12 | sand | 0.43 | 0.48 | 0.28 | −0.04 | −0.08 | 0.10 | 0.16 | 0.03 |
//! | 18 | fairway | 0.01 | −0.01 | −0.11 | −0.04 | −0.14 | 0.02 | 0.06 | −0.02 |
//! | 18 | rough | 0.03 | 0.05 | −0.02 | 0.10 | 0.01 | 0.11 | 0.10 | 0.09 |
//! | 18 | sand | 0.54 | 0.62 | 0.29 | −0.06 | −0.01 | 0.16 | 0.18 | 0.09 |
//! | 28 | fairway | −0.03 | −0.08 | −0.12 | −0.08 | −0.11 | 0.03 | 0.05 | 0.03 |
//! | 28 | rough | 0.02 | 0.07 | 0.03 | 0.05 | 0.02 | 0.14 | 0.13 | 0.14 |
//! | 28 | sand | 0.68 | 0.73 | 0.19 | 0.01 | 0.06 | 0.20 | 0.25 | 0.19 |
//!
//! What pitches of 40 to 100 yd lacked of the table set the short game's factors
//! ([`CoursePlay::short_game`](crate::player::CoursePlay)). From sand they come in above 60 % of the
//! full swing's ball speed. Short bunker shots stay as the lie makes them; those of high handicaps are
//! dearer than the frame, which knows nothing of sand. How often two strokes are enough from a bunker 10 to 20 yd from the pin is known better (memory; the
//! model's share in brackets): tour 50 % (50), scratch 35 to 40 (39), index 10 about 25 (12: 18, 6: 26),
//! index 20 about 15 (18: 12).

use crate::hole::Surface;
use crate::player::LaunchModel;
use crate::player::club::between;
use crate::player::pattern::{ANGLE, SPEED, SPIN};

/// Where a ball is played from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[repr(u8)]
pub enum Lie {
    /// On a peg in the teeing area.
    Tee = 0,
    /// Closely mown.
    Fairway,
    /// Rough.
    Rough,
    /// Bunker.
    Sand,
    /// Under or among trees.
    Recovery,
}

/// How many lies there are.
pub const LIES: usize = 5;

impl Lie {
    /// All of them, in order.
    pub const ALL: [Self; LIES] = [
        Self::Tee,
        Self::Fairway,
        Self::Rough,
        Self::Sand,
        Self::Recovery,
    ];

    /// The lie on a surface; none on a green (putted), in a penalty area or out
    /// of bounds (not played here).
    #[must_use]
    pub fn on(surface: Surface) -> Option<Self> {
        match surface {
            Surface::Tee | Surface::Fairway => Some(Self::Fairway),
            Surface::Rough => Some(Self::Rough),
            Surface::Bunker => Some(Self::Sand),
            Surface::Trees => Some(Self::Recovery),
            Surface::Green
            | Surface::PenaltyRed
            | Surface::PenaltyYellow
            | Surface::OutOfBounds => None,
        }
    }

    /// A surface that has this lie.
    #[must_use]
    pub fn surface(self) -> Surface {
        match self {
            Self::Tee | Self::Fairway => Surface::Fairway,
            Self::Rough => Surface::Rough,
            Self::Sand => Surface::Bunker,
            Self::Recovery => Surface::Trees,
        }
    }

    /// The factors of this lie for a swing with this share of the ball speed, with a club that launches
    /// a full one so high.
    pub(super) fn effect(self, share: f64, launch_deg: f64) -> Effect {
        let is_full = share >= 1.0;
        match self {
            Self::Tee | Self::Fairway => Effect::NONE,
            Self::Rough | Self::Recovery if is_full => Effect {
                speed: 0.94,
                spin: 0.75,
                spread: 1.5,
            },
            Self::Rough | Self::Recovery => Effect {
                speed: 0.95,
                spin: 0.6,
                spread: 1.5,
            },
            Self::Sand => Effect {
                speed: if is_full { 0.92 } else { 0.9 },
                spin: 0.9,
                spread: sand_spread(share, launch_deg),
            },
        }
    }
}

/// Factor on the scatter of a swing from sand. Beside a green the ball rides on the sand; a long swing with a
/// lofted club has to meet the ball first, and is one of the hardest shots.
fn sand_spread(share: f64, launch_deg: f64) -> f64 {
    let full = between(&SAND_BY_LAUNCH, launch_deg)[1];
    let long = ((share - SAND_SHORT) / (1.0 - SAND_SHORT)).clamp(0.0, 1.0);
    SAND + (full - SAND) * long
}

/// Factor for short swings, and for full ones with a club that launches low (calibrated, see the module).
const SAND: f64 = 1.9;
/// Swings with this share of the ball speed are short (practice).
const SAND_SHORT: f64 = 0.5;
/// Factor for full swings by their launch angle, degrees (calibrated, see the module).
const SAND_BY_LAUNCH: [[f64; 2]; 2] = [[24.0, SAND], [31.0, 3.6]];

/// Factors on a launch from a fairway.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Effect {
    pub speed: f64,
    pub spin: f64,
    /// On every standard deviation.
    pub spread: f64,
}

impl Effect {
    const NONE: Self = Self {
        speed: 1.0,
        spin: 1.0,
        spread: 1.0,
    };

    /// The launch model in this lie; mishits become as much more frequent as
    /// the spread is wider.
    pub(super) fn on(self, model: &LaunchModel) -> LaunchModel {
        let mut out = model.clone();
        out.centre[SPEED] *= self.speed;
        out.centre[SPIN] *= self.spin;
        let mut factor = [self.spread; 5];
        factor[SPEED] *= self.speed;
        factor[SPIN] *= self.spin;
        out.widen(factor);
        out.mishit_share = (out.mishit_share * self.spread).min(0.2);
        out
    }
}

/// Turns a model's launch angle to `launch_deg`.
pub(super) fn launched_at(model: &mut LaunchModel, launch_deg: f64) {
    model.centre[ANGLE] = launch_deg;
}
