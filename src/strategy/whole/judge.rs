//! Tee shots judged by every objective.
//!
//! A shot's balls are priced by what the solved hole makes of them: strokes to
//! hole out, or the best worth of the score that can still be had. Every shot is
//! judged on the same balls, so that what one objective costs by another has a
//! standard error.

use super::answer::Whole;
use super::held::{Evaluated, Nearest, after};
use super::objective::Objective;
use super::pooled_objective::standing_together;
use super::scores::Scores;
use crate::hole::{Coord, Hole, Surface};
use crate::mdp::{After, FiniteHorizon, StateId};
use crate::outcome::Rest;
use crate::strategy::rules::{Rules, StrokesFrom};

/// The hole as an objective sees it: what a rest is worth as a loss, the most
/// that could be had less what can be; the [`search`](crate::strategy::search)
/// looks for the least.
pub struct Loss<'a> {
    whole: &'a Whole,
    aim: &'a Objective,
    standing: FiniteHorizon,
    nearest: Nearest,
    most: f64,
    again: f64,
}

impl<'a> Loss<'a> {
    /// For an objective that looks at the score; none for fewest strokes.
    /// `tee` is where a good tee shot's balls are: what a replay is worth.
    #[must_use]
    pub fn of(
        whole: &'a Whole,
        aim: &'a Objective,
        par: usize,
        tee: &[(f64, After)],
    ) -> Option<Self> {
        let standing = standing_together(whole, aim, par)?;
        let mut loss = Self {
            whole,
            aim,
            most: aim.worth(1, par).max(0.0),
            again: 0.0,
            nearest: Nearest::of(&whole.explicit),
            standing,
        };
        // A ball that is replayed has two strokes behind it; one that is lost
        // again four.
        let last = aim.worthless(par).unwrap_or(0);
        let mut worth = 0.0;
        for strokes in (2..=last + last % 2).rev().step_by(2) {
            worth = tee
                .iter()
                .map(|&(share, after)| share * loss.worth_after(strokes, after, worth))
                .sum();
        }
        loss.again = worth;
        Some(loss)
    }

    fn worth_after(&self, strokes: usize, after: After, again: f64) -> f64 {
        let next = strokes + 1;
        match after {
            After::State(more, state) => self.standing.at(next + more as usize, state),
            After::Terminal(more, by_cost) => {
                let utility = &self.standing.utility;
                utility.of_end(next + more as usize, &by_cost)
            }
            After::Restart => again,
        }
    }

    /// The objective.
    #[must_use]
    pub fn aim(&self) -> &Objective {
        self.aim
    }

    /// What can still be had, by place and strokes.
    #[must_use]
    pub fn standing(&self) -> &FiniteHorizon {
        &self.standing
    }

    /// The worth of a loss.
    #[must_use]
    pub fn worth(&self, loss: f64) -> f64 {
        self.most - loss
    }

    /// The worth of a place after so many strokes, blended as values are; where
    /// no ball of the solver's came, nothing more is to be had than what the
    /// nearest few cells say.
    fn at(&self, strokes: usize, surface: Surface, at: Coord<f64>, to_pin_m: f64) -> f64 {
        let explicit = &self.whole.explicit;
        if surface == Surface::Green {
            return self
                .standing
                .utility
                .of_end(strokes, &explicit.green(to_pin_m as f32).by_cost);
        }
        self.nearest
            .shares(explicit, surface, at)
            .into_iter()
            .map(|(share, place)| share * self.standing.at(strokes, StateId(place)))
            .sum()
    }
}

/// The price of a shot is one stroke and what follows: the one is taken off.
impl StrokesFrom for Loss<'_> {
    fn strokes_from(&self, surface: Surface, at: Coord<f64>, to_pin_m: f64) -> f64 {
        self.most - self.at(1, surface, at, to_pin_m) - 1.0
    }
    // A chance is too noisy to choose a place by: `pooled_objective`.
    fn compared_at(&self, surface: Surface, at: Coord<f64>, _: f64) -> f64 {
        self.whole.choosing().value(surface, at)
    }
    fn dropped_at(&self, surface: Surface, at: Coord<f64>, to_pin_m: f64) -> f64 {
        self.most - self.at(2, surface, at, to_pin_m) - 1.0
    }
    fn replayed(&self) -> Option<f64> {
        Some(self.most - self.again - 1.0)
    }
}

/// Where a tee shot's balls are played from next, on the states that are evaluated.
#[must_use]
pub fn evaluated_after(
    whole: &Whole,
    hole: &Hole,
    club_length_m: f64,
    rests: &[Rest],
    strokes: f64,
) -> Vec<(f64, After)> {
    let evaluated = Evaluated(whole);
    let rules = Rules::new(hole, &evaluated, club_length_m);
    after(&whole.evaluating(), &rules, rests, strokes)
}

/// How often a tee shot's holes take how many strokes, played on for fewest
/// strokes; `strokes` is what the shot is worth.
#[must_use]
pub fn scores(
    whole: &Whole,
    hole: &Hole,
    club_length_m: f64,
    rests: &[Rest],
    strokes: f64,
) -> Scores {
    let shot = evaluated_after(whole, hole, club_length_m, rests, strokes);
    Scores::after(whole.evaluated.kernel(), &whole.worth, &shot)
}
