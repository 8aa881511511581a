//! A tee decided by the player's own game: the solved hole in the table's place.
//!
//! The [`search`](super::search) looks for the least of what an objective asks
//! for; figures are then given in strokes, whatever it was. Beside the choice
//! stand the score's distribution, what every other objective would rather
//! hit, what each costs by the others, and the next shot.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

pub use super::evaluated::EVALUATION_ERROR;
use super::evaluated::{
    Evaluation, InStrokes, chosen_for, chosen_instead, contenders, cost_by_club, in_strokes,
    is_better,
};
use super::follow::{PLAIN, PLAIN_CHANCE};
use super::judging::{Judging, lies_after};
use super::range::{Flown, PEG_MARGIN_M, Range};
use super::reached::{NotReached, reached, takes};
use super::rollouts::Rollouts;
use super::rules::StrokesFrom;
use super::search::{Look, decide_sharing, survey};
use super::whole::held::{Evaluated, shares};
use super::whole::lie::Lie;
use super::whole::next_shot::NextShotAdvice;
use super::whole::objective::Objective;
use super::whole::scores::Scores;
use super::whole::{Explicit, Options, Whole};
use super::{Decision, Priced, Progress, Question};
use crate::hole::Hole;
use crate::mdp::{After, Solution};
use crate::outcome::{Rest, TeeShot};

/// What the player wants, and what else is looked at.
#[derive(Clone, Debug)]
pub struct Wants<'a> {
    /// What the tee is decided for.
    pub aim: &'a Objective,
    /// The objectives held beside each other; fewest strokes first.
    pub beside: &'a [Objective],
}

/// One objective on this tee.
#[derive(Clone, Debug)]
pub struct Judged {
    /// The objective.
    pub aim: Objective,
    /// The best tee shot for it among those looked at.
    pub shot: TeeShot,
    /// Its worth by this objective: strokes, a chance or points.
    pub worth: f64,
    /// The worth of the plan's own shot by this objective.
    pub of_choice: f64,
    /// What this aim's shot costs by every objective in the order asked for:
    /// how much worse than that aim's own best, and the standard error.
    pub costs: Vec<(f64, f64)>,
    /// What the plan's shot costs by this objective, and the standard error.
    pub choice_costs: (f64, f64),
    /// How often the hole takes how many strokes with the plan's shot, played on
    /// for this objective; for fewest strokes, [`ByGame::scores`].
    pub scores: Scores,
    /// Standard error of `of_choice`.
    pub standard_error: f64,
}

/// A tee decided by the whole hole.
#[derive(Clone, Debug)]
pub struct ByGame {
    /// The decision; its figures are strokes.
    pub decision: Decision,
    /// How its rows were played out, and which of them are priced by that.
    pub rollouts: Rollouts,
    /// How often the hole takes how many strokes with the choice.
    pub scores: Scores,
    /// Strokes with the choice where the published table prices what follows.
    pub by_table: f64,
    /// Every objective asked for.
    pub aims: Vec<Judged>,
    /// What comes next, for what the tee was decided for; none on a tee that goes for
    /// the green.
    pub next_shot: Option<NextShotAdvice>,
}

/// Solves a hole, the tee shot starting at the middle of the front of the teeing area,
/// and decides the tee by it. The survey of tee shots needs no values: it runs beside the solver,
/// which is mostly the work of one thread. The policy is evaluated where the balls of contending tee
/// shots lie, as well as where those of its own tee shot do.
///
/// Deterministic in `question.seed`, whatever the number of threads.
///
/// # Errors
/// As [`super::decide_by`].
pub fn solve_and_decide(
    question: &Question<'_>,
    options: &Options,
    wants: &Wants<'_>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<(Whole, ByGame), NotReached> {
    let flown = Arc::new(Flown::beside(options.swung.clone()));
    let (whole, ()) = rayon::join(
        || solve(question, options, None),
        || survey(question, &flown),
    );
    let mut whole = whole?;
    let decide = |whole: &Whole| {
        decide_sharing(question, &whole.choosing(), Look::Weighed, &flown, progress)
    };
    let mut by_strokes = decide(&whole)?;
    let mut options = options.clone();
    for _ in 0..SOLVED_AGAIN {
        let places = without_states(&whole, &contending(&by_strokes));
        if places.is_empty() || whole.explicit.options.thorough {
            break;
        }
        options.also.extend(places);
        whole = solve(question, &options, None)?;
        by_strokes = decide(&whole)?;
    }
    // The added states are needed for the solution only, not for the evaluation.
    for written in [&mut whole.explicit, &mut whole.kept] {
        written.options.also.clear();
    }
    evaluate_beside(question, &mut whole, &contending(&by_strokes));
    let found = decide_after(question, &whole, wants, by_strokes, &flown, progress)?;
    Ok((whole, found))
}

/// Most times that a hole is solved again with states where the balls of contending tee shots lie.
const SOLVED_AGAIN: usize = 2;
/// Share of a tee shot's balls that may lie where there are none.
const WITHOUT_STATES: f64 = 0.05;

/// The best tee shots of the clubs that contend in a decision.
fn contending(found: &Decision) -> Vec<&Priced> {
    let clubs = contenders(found);
    let all = std::iter::once(&found.choice).chain(&found.alternatives);
    all.filter(|priced| clubs.contains(&priced.shot.club))
        .collect()
}

/// The places, m, where balls of these shots lie and a solution has no states, once a cell; none
/// where that are few balls. The solution has states where its own candidates from the tee lead. What
/// it says of other places is the screening's: on a slope with firm turf it was 0.6 strokes too few,
/// and clubs contended that cost as much.
fn without_states(whole: &Whole, shots: &[&Priced]) -> Vec<[f32; 2]> {
    let grid = &whole.kept.problem().grid;
    let mut by_cell = BTreeMap::new();
    for shot in shots {
        let is_without = |rest: &&Rest| {
            Lie::on(rest.surface).is_some() && shares(&whole.kept, rest.surface, rest.at).is_empty()
        };
        let without: Vec<&Rest> = shot.rests.iter().filter(is_without).collect();
        if without.len() as f64 > WITHOUT_STATES * shot.rests.len() as f64 {
            for rest in without {
                let at = [rest.at.x as f32, rest.at.y as f32];
                let cell = (grid.cell(at[0], at[1]), Lie::on(rest.surface));
                by_cell.entry(cell).or_insert(at);
            }
        }
    }
    by_cell.into_values().collect()
}

/// Apart from places that have states on a hole that is looked at thoroughly, m.
const ALSO_M: f64 = 10.0;

/// The same options for a hole that is hardly reached: every shot is weighed, and no part of
/// the map is without states.
fn thorough(hole: &Hole, options: &Options) -> Options {
    let bounds = hole.bounds();
    let along = |low: f64, wide: f64| {
        let count = (wide / ALSO_M) as usize;
        (0..=count).map(move |k| (low + ALSO_M * k as f64) as f32)
    };
    let (low, wide, high) = (bounds.min(), bounds.width(), bounds.height());
    let also = along(low.x, wide).flat_map(|x| along(low.y, high).map(move |y| [x, y]));
    Options {
        thorough: true,
        also: also.collect(),
        ..options.clone()
    }
}

/// The hole of `question` solved with its policy, not yet evaluated; `previous` is the same hole
/// solved in another wind with options that cut the ground alike. A hole that takes too many strokes is solved
/// again over the whole map.
///
/// # Errors
/// [`NotReached`] where it takes too many then too.
pub(super) fn solve(
    question: &Question<'_>,
    options: &Options,
    previous: Option<&Explicit>,
) -> Result<Whole, NotReached> {
    let (hole, player, day) = (question.hole, question.player, question.day);
    let start = question.tee.peg(question.tee.width_m() / 2.0, PEG_MARGIN_M);
    let anew = |options: &Options| Explicit::with(hole, player, day, start, options, None);
    let whole = Whole::choose(match previous.filter(|known| !known.options.thorough) {
        Some(known) => known.on(hole, day, options),
        None => anew(options),
    });
    if takes(question, whole.optimum.start).is_ok() {
        return Ok(whole);
    }
    let mut whole = Whole::choose(anew(&thorough(hole, options)));
    takes(question, whole.optimum.start)?;
    // The added states are needed for the solution only, not for the evaluation.
    for written in [&mut whole.explicit, &mut whole.kept] {
        written.options.also.clear();
    }
    Ok(whole)
}

/// Evaluates the policy of a hole on fresh samples in the states that its own tee shot reaches, and
/// in those where the balls of these tee shots lie.
pub(super) fn evaluate_beside(question: &Question<'_>, whole: &mut Whole, shots: &[&Priced]) {
    (whole.evaluated, whole.worth) = evaluation_beside(question, whole, shots);
}

/// That evaluation: the policy on fresh samples, and its values.
pub(super) fn evaluation_beside(
    question: &Question<'_>,
    whole: &Whole,
    shots: &[&Priced],
) -> (Explicit, Solution) {
    let lying = |shot: &&Priced| {
        let mut lie = BTreeMap::new();
        for (share, after) in lies_after(question, whole, shot) {
            if let After::State(_, state) = after {
                *lie.entry(state.0).or_insert(0.0) += share;
            }
        }
        lie.into_iter().collect()
    };
    let beside: Vec<Vec<(u32, f64)>> = shots.par_iter().map(lying).collect();
    whole.fresh(question.hole, question.day, &beside)
}

/// Decides a tee by a solved hole: as [`solve_and_decide`], but only the states that the policy's own
/// tee shot reaches are evaluated. Prices of other tee shots rest on fewer samples, and their standard
/// errors are too small.
///
/// Deterministic in `question.seed`, whatever the number of threads.
///
/// # Errors
/// As [`super::decide_by`].
pub fn decide_by_game(
    question: &Question<'_>,
    whole: &Whole,
    wants: &Wants<'_>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<ByGame, NotReached> {
    takes(question, whole.optimum.start)?;
    let flown = Arc::default();
    let by_strokes = decide_sharing(question, &whole.choosing(), Look::Weighed, &flown, progress)?;
    decide_after(question, whole, wants, by_strokes, &flown, progress)
}

/// The same after the decision for fewest strokes has been made by
/// [`Whole::choosing`].
fn decide_after(
    question: &Question<'_>,
    whole: &Whole,
    wants: &Wants<'_>,
    by_strokes: Decision,
    flown: &Arc<Flown>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<ByGame, NotReached> {
    let judging = Judging::beside(question, whole, wants, flown, &by_strokes.choice);
    let asked_for = judging.asked_for.as_ref();
    let deciding = Deciding {
        question,
        whole,
        worth: &Evaluated(whole),
        cost: cost_by_club(&by_strokes),
        flown,
        error: EVALUATION_ERROR,
        rows: if *wants.aim == Objective::Strokes {
            Rows::Settled
        } else {
            Rows::LookedAround
        },
    };
    let mut rollouts = Rollouts::default();
    let for_aim = match asked_for {
        Some(loss) => {
            let mut found = decide_sharing(question, loss, Look::Close, flown, progress)?;
            let chance = wants.aim.is_chance();
            let plain = if chance { PLAIN_CHANCE } else { PLAIN };
            Range::sharing(question, loss, flown).peg_plainly(&mut found, plain);
            Some(found)
        }
        None => None,
    };
    let chosen = {
        let evaluation = deciding.evaluation(&rollouts);
        chosen_for(question, &evaluation, flown, by_strokes, for_aim)
    };
    let mut decision = deciding.held_to_rollouts(chosen, &mut rollouts)?;
    for _ in 0..CHANGES {
        let found = judging.of(decision, &rollouts);
        let is_saved = |judged: &&Judged| {
            let (costs, error) = judged.choice_costs;
            judged.aim == Objective::Strokes && is_better(-costs, error)
        };
        let better = found.aims.iter().find(is_saved).map(|judged| judged.shot);
        let Some(better) = better.filter(|_| asked_for.is_none()) else {
            return Ok(found);
        };
        let better = {
            let evaluation = deciding.evaluation(&rollouts);
            chosen_instead(question, &evaluation, found.decision, better, flown)
        };
        decision = deciding.held_to_rollouts(better, &mut rollouts)?;
    }
    Ok(judging.of(decision, &rollouts))
}

/// Which rows stand beside a choice.
#[derive(Clone, Copy)]
pub(super) enum Rows {
    /// The best of the other clubs, and the named aims; one that is better beyond noise becomes the
    /// choice.
    Settled,
    /// The same beside a choice that is made for another objective.
    LookedAround,
    /// The best of the other clubs.
    Clubs,
    /// The same with the choice's typical flight.
    WithFlight,
}

/// What a decision is evaluated and played out with.
pub(super) struct Deciding<'a> {
    pub(super) question: &'a Question<'a>,
    pub(super) whole: &'a Whole,
    pub(super) worth: &'a dyn StrokesFrom,
    /// What the best tee shot of every club costs before the evaluation.
    pub(super) cost: Vec<(usize, f64)>,
    pub(super) flown: &'a Arc<Flown>,
    /// Standard error of the value after a tee shot, strokes.
    pub(super) error: f64,
    pub(super) rows: Rows,
}

impl Deciding<'_> {
    pub(super) fn evaluation<'r>(&'r self, rollouts: &'r Rollouts) -> Evaluation<'r> {
        Evaluation {
            worth: self.worth,
            error: self.error,
            cost: self.cost.clone(),
            rollouts,
        }
    }

    /// A decision whose rows have been played out: those that this re-prices are ranked again, and
    /// what becomes the choice, or stands beside it, is played out too.
    ///
    /// # Errors
    /// [`NotReached`] where its choice takes too many strokes.
    pub(super) fn held_to_rollouts(
        &self,
        chosen: InStrokes,
        rollouts: &mut Rollouts,
    ) -> Result<Decision, NotReached> {
        let settled = |chosen: InStrokes, rollouts: &Rollouts| {
            let evaluation = self.evaluation(rollouts);
            let range = evaluation.range(self.question, self.flown);
            match self.rows {
                Rows::Settled => chosen.settled(&range, &evaluation),
                Rows::LookedAround => chosen.looked_around(&range, &evaluation),
                Rows::Clubs => chosen.of_clubs(&evaluation),
                Rows::WithFlight => chosen.with_flight(&range, &evaluation),
            }
        };
        let mut decision = reached(self.question, settled(chosen, rollouts))?;
        for _ in 0..CHANGES {
            if !rollouts.extend(self.question, self.whole, &decision) {
                break;
            }
            let again = {
                let evaluation = self.evaluation(rollouts);
                let range = evaluation.range(self.question, self.flown);
                in_strokes(&range, &evaluation, decision)
            };
            decision = reached(self.question, settled(again, rollouts))?;
        }
        Ok(decision)
    }
}

/// Most times that a shot of the fan which is better beyond noise replaces the choice.
const CHANGES: usize = 6;
