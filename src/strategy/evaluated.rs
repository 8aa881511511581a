//! A decision evaluated on fresh samples, and the choice among contenders by the evaluation.

use std::sync::Arc;

use rayon::prelude::*;

use super::follow::{CLOSE, NARROW, PLAIN};
use super::range::{FRESH_SETS, Flown, Range, Stage, mean_and_error};
use super::rollouts::Rollouts;
use super::rules::StrokesFrom;
use super::search::{CLOSE_BALLS, CONTENDER_BALLS, HOPELESS, IN_THE_RUNNING};
use super::{Decision, Priced, Question};
use crate::outcome::TeeShot;

/// Values from the evaluation samples, with their error.
pub(super) struct Evaluation<'a> {
    pub(super) worth: &'a dyn StrokesFrom,
    /// Standard error of the value after a tee shot, strokes.
    pub(super) error: f64,
    /// What the best tee shot of every club costs in the decision before the evaluation. Clubs
    /// within [`CONTENDS`] have `error`; the others are evaluated on fewer samples and have
    /// [`FAR_ERROR`] of their cost beside it.
    pub(super) cost: Vec<(usize, f64)>,
    /// Shots that are re-priced by rollouts have the standard error of these beside that of their
    /// sets of balls, which holds it too where the sets are many: four sets tell an error badly.
    pub(super) rollouts: &'a Rollouts,
}

impl Evaluation<'_> {
    /// Standard error of what follows on a tee shot.
    pub(super) fn error_of(&self, priced: &Priced) -> f64 {
        let row = self.rollouts.of(priced.shot).filter(|row| row.is_repriced);
        row.map_or_else(|| self.error_by_club(priced), |row| row.standard_error)
    }

    /// The same of a shot that no rollouts price.
    fn error_by_club(&self, priced: &Priced) -> f64 {
        let club = priced.shot.club;
        let cost = self.cost.iter().find(|known| known.0 == club);
        let cost = cost.map_or(HOPELESS, |known| known.1);
        if cost <= CONTENDS {
            self.error
        } else {
            self.error.hypot(FAR_ERROR * cost.max(priced.costs))
        }
    }

    /// The tee of `question`, priced in strokes.
    pub(super) fn range<'r>(&'r self, question: &'r Question<'_>, flown: &Arc<Flown>) -> Range<'r> {
        Range::sharing(question, self.worth, flown).repriced_by(self.rollouts)
    }
}

/// Clubs within this of the search's choice may be better by the evaluation, strokes.
pub(super) const CONTENDS: f64 = 0.1;

/// What the best tee shot of every club costs in a decision.
pub(super) fn cost_by_club(found: &Decision) -> Vec<(usize, f64)> {
    std::iter::once(&found.choice)
        .chain(&found.alternatives)
        .map(|priced| (priced.shot.club, priced.costs))
        .collect()
}

/// The clubs that contend in a decision.
pub(super) fn contenders(found: &Decision) -> Vec<usize> {
    let all = cost_by_club(found).into_iter();
    all.filter(|(_, cost)| *cost <= CONTENDS)
        .map(|(club, _)| club)
        .collect()
}

/// Standard error of the evaluation of the holes after a tee shot, strokes, beside that
/// of the tee shot's own balls: played 1.6 million times, evaluated and played differed by
/// 0.0033 on one of nine holes and by 0.0021 at most on the others, 0.0017 in the root
/// mean square; and by 0.001 to 0.005 for three clubs on one (`examples/whole_holes`;
/// the clubs on earlier code). A worth by another objective errs as much for its own
/// spread: by 0.0014 for par or better, 0.0008 for no double bogey, 0.0027 for points and
/// 0.0008 for a match in the root mean square, where 0.003 of the strokes' spread is
/// 0.0020, 0.0007, 0.0029 and 0.0011 (`examples/whole_aims 300000`).
pub const EVALUATION_ERROR: f64 = 0.003;

/// The same for clubs that do not contend, as a share of their cost: evaluation and 40 000 rollouts
/// differed by 0.011, 0.024, 0.024, 0.037 and 0.049 strokes in the root mean square of
/// those that cost 0.1, 0.15, 0.2, 0.3 and 0.5 up to 0.8 (173 shots from 22 tees, with the
/// 0.004 of the playing; `tests/known_whole.rs`). A little over a tenth, for one of 0.37 that was
/// evaluated 0.16 too dear.
const FAR_ERROR: f64 = 0.12;

/// Most shots that are refined by a local search on evaluation values.
const FOLLOWED_SHOTS: usize = 3;
/// A refined shot is taken if it saves more than this, strokes.
const SAVES: f64 = 0.001;

/// The best shot by the evaluation, every figure evaluated. The search weighs shots by values that
/// are biased low, for its actions were selected on the same samples; here the few contenders are
/// compared on fresh samples and by the evaluated values, and the best of them refined by a local
/// search. To select among a handful on 8192 balls biases the least by less than the standard error
/// of their differences.
fn best_by_evaluation(
    question: &Question<'_>,
    evaluation: &Evaluation<'_>,
    found: Decision,
    flown: &Arc<Flown>,
) -> InStrokes {
    let contends = contenders(&found);
    let range = evaluation.range(question, flown);
    let mut found = in_strokes(&range, evaluation, found);
    let contends = |other: &Priced| contends.contains(&other.shot.club);
    found.choose(evaluation, contends);
    if found.follow(&range, contends) {
        found.set_costs(evaluation);
        found.choose(evaluation, contends);
    }
    found.choose_better(evaluation);
    found
}

/// The same; or where the tee is decided for an objective other than fewest strokes, the decision
/// for that with every figure evaluated.
pub(super) fn best_for(
    question: &Question<'_>,
    evaluation: &Evaluation<'_>,
    flown: &Arc<Flown>,
    by_strokes: Decision,
    for_aim: Option<Decision>,
) -> InStrokes {
    let Some(found) = for_aim else {
        return best_by_evaluation(question, evaluation, by_strokes, flown);
    };
    in_strokes(&evaluation.range(question, flown), evaluation, found)
}

/// The same with the choice for fewest strokes moved to the plainest peg that is as good.
pub(super) fn chosen_for(
    question: &Question<'_>,
    evaluation: &Evaluation<'_>,
    flown: &Arc<Flown>,
    by_strokes: Decision,
    for_aim: Option<Decision>,
) -> InStrokes {
    let is_for_strokes = for_aim.is_none();
    let mut found = best_for(question, evaluation, flown, by_strokes, for_aim);
    let range = evaluation.range(question, flown);
    if is_for_strokes
        && let Some(plain) = range.plain_peg(&found.decision.choice, &found.choice, PLAIN)
    {
        (found.decision.choice, found.choice) = plain;
        found.set_costs(evaluation);
    }
    found
}

/// The same decision with another choice, whose club is left out of its alternatives; the
/// choice before is one, if its club is another.
pub(super) fn chosen_instead(
    question: &Question<'_>,
    evaluation: &Evaluation<'_>,
    mut found: Decision,
    shot: TeeShot,
    flown: &Arc<Flown>,
) -> InStrokes {
    let range = evaluation.range(question, flown);
    let (choice, _) = range.price_on(shot, FRESH_SETS);
    let before = std::mem::replace(&mut found.choice, choice);
    found.alternatives.push(before);
    found
        .alternatives
        .retain(|other| other.shot.club != shot.club);
    in_strokes(&range, evaluation, found)
}

/// What a shot saves beyond noise is more than this, strokes, and more than so many standard
/// errors.
const BETTER: f64 = 0.01;
const BETTER_ERRORS: f64 = 3.0;

/// Whether such costs are savings beyond noise.
pub(super) fn is_better(costs: f64, standard_error: f64) -> bool {
    costs < -BETTER && costs < -BETTER_ERRORS * standard_error
}

/// Times that an option whose evaluation is better replaces the choice.
const CHANGES: usize = 4;

/// An evaluated decision, and the price of each shot on every set of balls.
pub(super) struct InStrokes {
    decision: Decision,
    choice: Vec<f64>,
    alternatives: Vec<Vec<f64>>,
}

/// A decision with its figures evaluated in strokes, on balls that the search did not use; named
/// aims, the window of the aim and the flight are left as they are.
pub(super) fn in_strokes(
    range: &Range<'_>,
    evaluation: &Evaluation<'_>,
    found: Decision,
) -> InStrokes {
    let evaluated = |mut priced: Priced| {
        let by_set = range.by_set_of(priced.shot, &priced.rests);
        (priced.strokes, priced.standard_error) = mean_and_error(&by_set);
        (priced, by_set)
    };
    let (choice, choice_by_set) = evaluated(found.choice);
    let (others, by_set) = found
        .alternatives
        .into_par_iter()
        .map(evaluated)
        .filter(|(priced, _)| priced.strokes.is_finite())
        .unzip();
    let mut out = InStrokes {
        decision: Decision {
            choice,
            alternatives: others,
            ..found
        },
        choice: choice_by_set,
        alternatives: by_set,
    };
    out.set_costs(evaluation);
    out
}

impl InStrokes {
    /// Every alternative beside the choice.
    fn set_costs(&mut self, evaluation: &Evaluation<'_>) {
        let of_choice = evaluation.error_of(&self.decision.choice);
        let alternatives = self.decision.alternatives.iter_mut();
        for (other, by_set) in alternatives.zip(&self.alternatives) {
            other.set_costs(by_set, &self.choice);
            let error = of_choice.max(evaluation.error_of(other));
            other.costs_standard_error = other.costs_standard_error.hypot(error);
        }
    }

    /// The best of the choice and those alternatives becomes the choice.
    fn choose(&mut self, evaluation: &Evaluation<'_>, may_be: impl Fn(&Priced) -> bool) {
        let decision = &mut self.decision;
        let best = decision
            .alternatives
            .iter()
            .enumerate()
            .filter(|(_, other)| other.costs < 0.0 && may_be(other))
            .min_by(|a, b| a.1.costs.total_cmp(&b.1.costs));
        let Some((index, _)) = best else { return };
        std::mem::swap(&mut decision.alternatives[index], &mut decision.choice);
        std::mem::swap(&mut self.alternatives[index], &mut self.choice);
        decision.choice.costs = 0.0;
        decision.choice.costs_standard_error = 0.0;
        self.set_costs(evaluation);
    }

    /// An alternative whose evaluation is better beyond noise becomes the choice.
    fn choose_better(&mut self, evaluation: &Evaluation<'_>) {
        self.choose(evaluation, |other| {
            is_better(other.costs, other.costs_standard_error)
        });
    }

    /// The choice and those alternatives that are hardly dearer, each moved to the best aim
    /// and peg beside it; true where one moved. What they cost is left to be set.
    fn follow(&mut self, range: &Range<'_>, may_be: impl Fn(&Priced) -> bool) -> bool {
        let mut near: Vec<usize> = (0..self.alternatives.len())
            .filter(|at| {
                let other = &self.decision.alternatives[*at];
                other.costs <= IN_THE_RUNNING && may_be(other)
            })
            .collect();
        let costs = |at: &usize| self.decision.alternatives[*at].costs;
        near.sort_by(|a, b| costs(a).total_cmp(&costs(b)));
        near.truncate(FOLLOWED_SHOTS - 1);
        let followed = |priced: &Priced| {
            let (stage, balls) = (Stage::Contenders, CONTENDER_BALLS);
            let near = range.follow(priced.shot, stage, balls, NARROW);
            let end = range.follow(near.shot, Stage::Close, CLOSE_BALLS, CLOSE);
            let (moved, by_set) = range.price_on(end.shot, FRESH_SETS);
            (moved.strokes < priced.strokes - SAVES).then_some((moved, by_set))
        };
        let (choice, others) = rayon::join(
            || followed(&self.decision.choice),
            || -> Vec<_> {
                near.par_iter()
                    .map(|at| followed(&self.decision.alternatives[*at]))
                    .collect()
            },
        );
        let mut has_moved = false;
        for (at, moved) in near.into_iter().zip(others) {
            if let Some(moved) = moved {
                (self.decision.alternatives[at], self.alternatives[at]) = moved;
                has_moved = true;
            }
        }
        if let Some(moved) = choice {
            (self.decision.choice, self.choice) = moved;
            has_moved = true;
        }
        has_moved
    }

    /// The decision with its comparisons, its alternatives in order of cost. An alternative or a
    /// named aim whose evaluation is better beyond noise becomes the choice: on a hole where every
    /// shot is dear, the evaluation samples are nearer the truth than the selection values.
    pub(super) fn settled(mut self, range: &Range<'_>, evaluation: &Evaluation<'_>) -> Decision {
        for _ in 0..CHANGES {
            self.choose_better(evaluation);
            range.look_around(&mut self.decision, &self.choice);
            let named = self.decision.comparisons.iter().map(|(_, named)| named);
            let better = named
                .filter(|named| is_better(named.costs, named.costs_standard_error))
                .min_by(|a, b| a.costs.total_cmp(&b.costs));
            let Some(better) = better.map(|named| named.shot) else {
                break;
            };
            (self.decision.choice, self.choice) = range.price_on(better, FRESH_SETS);
            self.set_costs(evaluation);
        }
        self.with_errors(evaluation)
    }

    /// The decision with named aims, the window of the aim and the typical flight.
    pub(super) fn looked_around(
        mut self,
        range: &Range<'_>,
        evaluation: &Evaluation<'_>,
    ) -> Decision {
        range.look_around(&mut self.decision, &self.choice);
        self.with_errors(evaluation)
    }

    /// The decision without named aims. An alternative that is better beyond noise becomes the choice.
    pub(super) fn of_clubs(mut self, evaluation: &Evaluation<'_>) -> Decision {
        self.choose_better(evaluation);
        self.with_errors(evaluation)
    }

    /// The same with the choice's typical flight.
    pub(super) fn with_flight(
        mut self,
        range: &Range<'_>,
        evaluation: &Evaluation<'_>,
    ) -> Decision {
        let flight = range.typical_flight(&self.decision.choice);
        (self.decision.flight, self.decision.flight_airborne) = flight;
        self.with_errors(evaluation)
    }

    /// The decision with its errors, its alternatives in order of cost.
    pub(super) fn with_errors(mut self, evaluation: &Evaluation<'_>) -> Decision {
        let of_choice = evaluation.error_of(&self.decision.choice);
        let alternatives = self.decision.alternatives.iter_mut();
        for evaluated in std::iter::once(&mut self.decision.choice).chain(alternatives) {
            evaluated.standard_error = evaluated
                .standard_error
                .hypot(evaluation.error_of(evaluated));
        }
        let by_club = evaluation.error_by_club(&self.decision.choice);
        for (_, named) in &mut self.decision.comparisons {
            let row = evaluation.rollouts.of(named.shot);
            let row = row.filter(|row| row.is_repriced);
            let error = row.map_or(by_club, |row| row.standard_error);
            named.standard_error = named.standard_error.hypot(error);
            named.costs_standard_error = named.costs_standard_error.hypot(of_choice.max(error));
        }
        let costs = |other: &Priced| other.costs;
        self.decision
            .alternatives
            .sort_by(|a, b| costs(a).total_cmp(&costs(b)));
        self.decision
    }
}
