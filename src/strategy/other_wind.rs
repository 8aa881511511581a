//! A tee that is decided again in another wind.
//!
//! The hole is solved coarsely in the other wind and the tee decided by that solution: the search
//! weighs tee shots by the selection values, the policy is evaluated on fresh samples in the states
//! where the balls of the contending shots and of the plan's own shot lie, and the choice is made by
//! the evaluation. No value of the day's solution is used again; the screening alone begins with
//! the day's values. Unlike the day's decision, a [`Case`] compares neither named aims nor a fan.
//!
//! The bias of the coarse solution (its grid, fewer samples, fewer actions) is taken to be the same
//! in both winds. It is measured once, on the plan's shot in the day's wind, and corrected in every
//! price.
//!
//! # Accuracy
//! Against the hole solved in the wind at the usual fineness, the price of the chosen shot had an
//! error of 0.0125 strokes in the root mean square and of 0.026 at most, on four demo holes in 10
//! and 20 mph from four sides; with the later shots valued in calm air, of 0.20 and 0.61. The choice, which keeps to the
//! plan within 0.02 strokes, cost 0.006 more than the choice of the hole solved anew
//! (`examples/whole_winds`).

use std::sync::Arc;

use super::by_game::{evaluate_beside, solve};
use super::evaluated::{Evaluation, chosen_for, chosen_instead, contenders, cost_by_club};
use super::judging::lies_after;
use super::range::{Flown, Range};
use super::reached::{NotReached, reached};
use super::rollouts::Rollouts;
use super::rules::StrokesFrom;
use super::search::{Look, decide_again_sharing};
use super::what_if::{Case, Worths, case};
use super::whole::aims_of_play::AimOfPlay;
use super::whole::held::Told;
use super::whole::judge::Loss;
use super::whole::{Fineness, Options, Whole};
use super::{Decision, Priced, Question};
use crate::outcome::TeeShot;

/// Model error of the price of a tee shot in another wind, strokes, beside the sampling error of the
/// tee shot: the largest root mean square of one hole's winds, rounded up
/// ([accuracy](self#accuracy)).
pub const COARSE_ERROR: f64 = 0.02;

/// How the hole is cut: side of a cell, m; samples of an action, and from the tee; actions of a
/// state.
const CELL_M: f64 = 5.0;
const BALLS: usize = if cfg!(fuzzing) { 4 } else { 32 };
const TEE_BALLS: usize = if cfg!(fuzzing) { 16 } else { 256 };
const FRESH_TEE_BALLS: usize = if cfg!(fuzzing) { 16 } else { 4096 };
const CHOICES: usize = 3;

/// A decided tee, ready to be decided again in other winds.
pub struct OtherWinds {
    /// The decision in the day's wind.
    before: Decision,
    /// The hole solved coarsely in the day's wind.
    day: Whole,
    /// Correction of the coarse solution's bias: the price of the plan's shot in the day's wind less
    /// its price by the coarse solution.
    bias_correction: f64,
}

impl OtherWinds {
    /// For the tee of `question`, decided in `before` by the solved hole `whole`.
    ///
    /// # Errors
    /// [`NotReached`] where the coarse solution does not reach the hole.
    pub fn of(
        question: &Question<'_>,
        whole: &Whole,
        before: &Decision,
    ) -> Result<Self, NotReached> {
        let usual = &whole.explicit.options;
        let options = Options {
            fineness: Fineness {
                cell_m: CELL_M,
                balls: BALLS,
                choices: CHOICES,
                ..usual.fineness
            },
            tee_balls: TEE_BALLS,
            told_tee_balls: FRESH_TEE_BALLS,
            also: Vec::new(),
            thorough: false,
            ..usual.clone()
        };
        let mut day = solve(question, &options, None)?;
        evaluate_beside(question, &mut day, &[&before.choice]);
        let evaluated = Told(&day);
        let coarse = Range::new(question, &evaluated)
            .strokes(&before.choice.rests)
            .0;
        let bias_correction = before.choice.strokes - coarse;
        let before = before.clone();
        Ok(Self {
            before,
            day,
            bias_correction,
        })
    }

    /// The tee of `question`, which asks for another wind: the smallest change of the plan that costs
    /// less than 0.02 strokes, or twice its standard error, more than the best.
    ///
    /// # Errors
    /// [`NotReached`] where the hole is not reached in that wind.
    pub fn case(&self, question: &Question<'_>, aim: &AimOfPlay) -> Result<Case, NotReached> {
        self.decide(question, aim, |_, _, _, case| case)
    }

    /// The same as a decision with named aims, the window of the aim and the typical flight.
    ///
    /// # Errors
    /// As [`OtherWinds::case`].
    pub fn decision(
        &self,
        question: &Question<'_>,
        aim: &AimOfPlay,
    ) -> Result<Decision, NotReached> {
        let decided = self.decide(question, aim, |evaluation, flown, best, case| {
            let range = evaluation.range(question, flown);
            let mut decision = chosen_instead(question, evaluation, best, case.shot, flown)
                .looked_around(&range, evaluation);
            let named = decision.comparisons.iter_mut().map(|(_, named)| named);
            let shots = std::iter::once(&mut decision.choice).chain(&mut decision.alternatives);
            for priced in shots.chain(named) {
                priced.strokes += self.bias_correction;
            }
            decision
        })?;
        reached(question, decided)
    }

    fn decide<T>(
        &self,
        question: &Question<'_>,
        aim: &AimOfPlay,
        tell: impl FnOnce(&Evaluation<'_>, &Arc<Flown>, Decision, Case) -> T,
    ) -> Result<T, NotReached> {
        let flown = Arc::default();
        let coarse = &self.day.explicit;
        let mut there = solve(question, &coarse.options, Some(coarse))?;
        let again = |worth: &dyn StrokesFrom, look| {
            decide_again_sharing(question, worth, &self.before, look, &flown, &|_| {})
        };
        let found = again(&there.choosing(), Look::Weighed)?;
        self.evaluate(question, &mut there, &found);

        let hole = question.hole;
        let lying = lies_after(question, &there, &found.choice);
        let loss = Loss::of(&there, aim, usize::from(hole.par), &lying);
        let (evaluated, rollouts) = (Told(&there), Rollouts::default());
        let evaluation = Evaluation {
            worth: &evaluated,
            error: COARSE_ERROR,
            cost: cost_by_club(&found),
            rollouts: &rollouts,
        };
        let for_aim = match &loss {
            Some(loss) => Some(again(loss, Look::Close)?),
            None => None,
        };
        let best =
            chosen_for(question, &evaluation, &flown, found, for_aim).with_errors(&evaluation);
        let mut worths = Worths::of_strokes(&evaluated);
        (worths.carried, worths.error) = (self.bias_correction, COARSE_ERROR);
        if let Some(loss) = &loss {
            worths = worths.judged_by(loss, aim);
        }
        let case = case(question, &self.before, &best, &worths)?;
        Ok(tell(&evaluation, &flown, best, case))
    }

    /// Evaluates the hole where the balls of those shots lie that may be chosen: the contenders
    /// of `found`, the plan's own shot, and that with its club's new aim.
    fn evaluate(&self, question: &Question<'_>, there: &mut Whole, found: &Decision) {
        let planned = self.before.choice.shot;
        let clubs = contenders(found);
        let all = || std::iter::once(&found.choice).chain(&found.alternatives);
        let same_club = all().find(|priced| priced.shot.club == planned.club);
        let aimed = same_club.map(|priced| TeeShot {
            aim_deg: priced.shot.aim_deg,
            ..planned
        });
        let kept: Vec<Priced> = {
            let choosing = there.choosing();
            let range = Range::new(question, &choosing);
            let shots = std::iter::once(planned).chain(aimed);
            shots.map(|shot| range.price_fresh(shot)).collect()
        };
        let may_be = |priced: &&Priced| {
            clubs.contains(&priced.shot.club) || priced.shot.club == planned.club
        };
        let shots: Vec<&Priced> = all().filter(may_be).chain(&kept).collect();
        evaluate_beside(question, there, &shots);
    }
}
