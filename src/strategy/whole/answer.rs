//! A tabular hole, solved, and evaluated on fresh balls.

use super::explicit::{Explicit, Options};
use super::policy::Policy;
use super::pooled::chosen_together;
use crate::hole::{Coord, Hole};
use crate::mdp::Solution;
use crate::outcome::Day;
use crate::player::Player;

/// Values move by less than this when they are done, strokes.
const TOLERANCE: f64 = 1.0e-6;
/// Fresh balls of a state's shot. The fuzz targets look for crashes, not for the last
/// thousandth.
const FRESH_BALLS: usize = if cfg!(fuzzing) { 4 } else { 64 };

/// A hole's choices and what they are worth.
#[derive(Clone, Debug)]
pub struct Whole {
    /// The problem that the policy was chosen from.
    pub explicit: Explicit,
    /// Its optimum, biased low: the least of several estimates on the samples that chose it.
    pub optimum: Solution,
    /// The policy: one choice a state, chosen together with its neighbours.
    pub kept: Explicit,
    /// What it is worth on the balls it was chosen on.
    pub chosen: Solution,
    /// That policy on fresh balls.
    pub evaluated: Explicit,
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
        let mut whole = Self::unevaluated(hole, player, day, start, options, previous);
        (whole.evaluated, whole.worth) = whole.fresh(hole, day, &[]);
        whole
    }

    /// The policy on fresh balls, and what it is worth there: as well as where its own tee
    /// shot leads to also what follows on the shots `beside`, each by the states that its balls
    /// lie in and how often.
    pub(in crate::strategy) fn fresh(
        &self,
        hole: &Hole,
        day: &Day,
        beside: &[Vec<(u32, f64)>],
    ) -> (Explicit, Solution) {
        let balls = (FRESH_BALLS, self.explicit.options.evaluation_tee_balls);
        let evaluated = self.kept.held(hole, day, &self.chosen, beside, balls);
        let worth = evaluated.solve(TOLERANCE);
        (evaluated, worth)
    }

    /// The same without fresh balls: the evaluation is the policy on the balls that
    /// it was chosen on. For comparing shots, not for evaluating what they are worth.
    #[must_use]
    pub fn unevaluated(
        hole: &Hole,
        player: &Player,
        day: &Day,
        start: Coord<f64>,
        options: &Options,
        previous: Option<&Self>,
    ) -> Self {
        let before = previous.map(|p| &p.explicit);
        Self::choose(Explicit::with(hole, player, day, start, options, before))
    }

    /// The policy of a tabular hole; not evaluated.
    pub(in crate::strategy) fn choose(explicit: Explicit) -> Self {
        let mut solver = explicit.value_iteration();
        let optimum = solver.solve(TOLERANCE);
        let (kept, chosen) = chosen_together(&explicit, &mut solver, &optimum, TOLERANCE);
        Self {
            explicit,
            optimum,
            evaluated: kept.clone(),
            worth: chosen.clone(),
            kept,
            chosen,
        }
    }

    /// By state of [`Whole::explicit`], which of its choices the policy keeps.
    #[must_use]
    pub fn usual(&self) -> Vec<u32> {
        (0..self.explicit.states().len() as u32)
            .map(|state| {
                let kept = self.kept.choices(state).first();
                let choices = self.explicit.choices(state);
                let same = choices.iter().position(|action| Some(action) == kept);
                same.unwrap_or(0) as u32
            })
            .collect()
    }

    /// The policy with every state that a choice can reach: for weighing tee shots.
    #[must_use]
    pub fn choosing(&self) -> Policy<'_> {
        Policy {
            explicit: &self.kept,
            solution: &self.chosen,
        }
    }

    /// The policy with what it is worth: for evaluating and for playing.
    #[must_use]
    pub fn evaluating(&self) -> Policy<'_> {
        Policy {
            explicit: &self.evaluated,
            solution: &self.worth,
        }
    }
}
