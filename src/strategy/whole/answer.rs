//! A hole written out, solved, and told on fresh balls.

use super::explicit::{Explicit, Options};
use super::policy::Policy;
use super::solver::{Solution, solve_explicit};
use crate::hole::{Coord, Hole};
use crate::outcome::Day;
use crate::player::Player;

/// Values move by less than this when they are done, strokes.
const TOLERANCE: f64 = 1.0e-6;
/// Fresh balls of a state's shot, and of the tee's: what its balls come to spreads
/// by half a stroke, so a standard error of 0.002.
/// The fuzz targets look for crashes, not for the last thousandth.
const FRESH_BALLS: usize = if cfg!(fuzzing) { 4 } else { 64 };
const FRESH_TEE_BALLS: usize = if cfg!(fuzzing) { 64 } else { 65_536 };

/// A hole's choices and what they are worth.
#[derive(Clone, Debug)]
pub struct Whole {
    /// The problem that the policy was chosen by.
    pub explicit: Explicit,
    /// Its optimum: flattered, for it is the best on the balls it was chosen on.
    pub chosen: Solution,
    /// That policy on fresh balls.
    pub told: Explicit,
    /// What it is worth.
    pub worth: Solution,
}

impl Whole {
    /// Solves a hole; from `previous`, the same hole and player in another wind
    /// or to another pin, where it is given.
    #[must_use]
    pub fn of(
        hole: &Hole,
        player: &Player,
        day: &Day,
        start: Coord<f64>,
        options: &Options,
        previous: Option<&Self>,
    ) -> Self {
        let before = previous.map(|p| &p.explicit);
        let explicit = Explicit::with(hole, player, day, start, options, before);
        let chosen = solve_explicit(&explicit, TOLERANCE);
        let told = explicit.held(hole, day, &chosen, FRESH_BALLS, FRESH_TEE_BALLS);
        let worth = solve_explicit(&told, TOLERANCE);
        Self {
            explicit,
            chosen,
            told,
            worth,
        }
    }

    /// The policy with every state that a choice can reach: for weighing tee shots.
    #[must_use]
    pub fn choosing(&self) -> Policy<'_> {
        Policy {
            explicit: &self.explicit,
            solution: &self.chosen,
        }
    }

    /// The policy with what it is worth: for telling and for playing.
    #[must_use]
    pub fn telling(&self) -> Policy<'_> {
        Policy {
            explicit: &self.told,
            solution: &self.worth,
        }
    }
}
