//! The next shot for an objective that looks at the score.
//!
//! The tee shot is played: what is left to be had goes by a score that has begun.
//! Shots are looked for by what the [`FiniteHorizon`] says can be had, beside those for
//! fewest strokes, and then priced by both on the same fresh balls: by strokes as
//! [`next_shot`](super::next_shot::next_shot) does, and by what playing on for the aim
//! is worth on balls that it was not chosen on ([`worth_for`]).
//!
//! A shot that is better for the aim beyond noise is the choice; where there is none,
//! the shot for fewest strokes is. Where the aim has nothing to say, the next shot is
//! by strokes.
//!
//! # Limitations
//! - What follows is chosen among the solver's shots of a state, which are near the
//!   best in strokes.
//! - Where the solver has no state nearly nothing is known of what can be had: shots of
//!   which more than 1 in 200 balls come to lie there are left out.

use rayon::prelude::*;

use super::action::Action;
use super::answer::Whole;
use super::continuation::{Continuation, Flown, Had, Here, Judged, Misses, Table, least};
use super::explicit::Explicit;
use super::fan::Fan;
use super::held::{Evaluated, Nearest, after, shares};
use super::lie::Lie;
use super::next_shot::{ForAim, NextShotAdvice, NothingToChoose};
use super::objective::Objective;
use super::played_for::worth_for;
use super::problem::{End, TEMPLATE_BALLS};
use crate::hole::{Coord, Surface};
use crate::mdp::{After, FiniteHorizon, StateId};
use crate::outcome::Rest;
use crate::strategy::rules::{Rules, StrokesFrom};

/// Strokes played at the place: the tee shot.
const PLAYED: usize = 1;
/// Shots of the list, best first, that are looked at with the aims beside them, and how
/// many of those either way: by the few balls of a template they are hardly told apart.
const LEADING: usize = 2;
const BESIDE: i32 = 2;
/// Shots that lack more than this of what is to be had, on the solver's balls, are
/// not looked at again, a chance or points.
const HOPELESS: f64 = 0.3;
/// A shot is evaluated by what can be had of the aim where no more than this share of its balls
/// comes to lie where the solver has no state near. The demo holes' shots have 2 in 1000 at
/// most but for one over the green with 26, which was evaluated 2 in 100 off.
const STRANGE: f64 = 0.005;
/// Less than this is nothing, a chance or points.
const NOTHING: f64 = 0.005;
/// Differences below these are none: a chance, points.
pub const SAME_CHANCE: f64 = 0.002;
/// The same.
pub const SAME_POINTS: f64 = 0.005;
/// Standard error of the evaluation of playing on, beside that of the shot's own balls:
/// what 100 000 plays of each of 120 shots on nine holes came to differed from what was
/// evaluated by 0.0013 of a chance and 0.0032 points in the root mean square, of which 0.0008
/// and 0.0017 were the plays' own (`examples/whole_aims`).
const EVALUATION_ERROR_CHANCE: f64 = 0.001;
const EVALUATION_ERROR_POINTS: f64 = 0.003;
/// The same beside these of a shot that loses much, of what it loses: what follows on it is
/// evaluated by fewer balls. Of the 14 that lose 0.3 and more, evaluated and played differed by 0.0030
/// of a chance, in the root mean square, and 0.0039 points.
const EVALUATION_ERROR_FAR: f64 = 0.005;

/// The next shot from a place after the tee shot, for an objective; none where nothing
/// can be played from it. `standing` is what can be had on the states of
/// [`Whole::explicit`].
#[must_use]
pub fn next_shot_for(
    table: &Table<'_>,
    from: Coord<f64>,
    surface: Surface,
    aim: &Objective,
    standing: &FiniteHorizon,
) -> Option<NextShotAdvice> {
    let here = Here::of(table, from, surface)?;
    let nearest = Nearest::of(&table.whole.explicit);
    let evaluated = Evaluated(table.whole);
    let club_length_m = table.player.club_length_m;
    let rules = Rules::new(table.hole, &evaluated, club_length_m);
    let (flown, mut in_strokes) = fly(&here, looked_at(&here, standing, &nearest), &rules);
    let fewest = least(&in_strokes)?;

    let ahead = Ahead::of(
        &here,
        aim,
        standing,
        nearest,
        &shots(table, &flown, &in_strokes),
    );
    let rules_of_aim = Rules::new(table.hole, &ahead, club_length_m);
    let lacks: Vec<Judged> = flown
        .par_iter()
        .map(|flown| flown.judged(&rules_of_aim))
        .collect();
    let noise = Noise::of(aim);
    let chosen = Choice::of(&lacks, fewest, ahead.most, noise)?;
    let (choice, is_by_strokes) = (chosen.index, chosen.by_strokes.is_some());

    let order = order(choice, if is_by_strokes { &in_strokes } else { &lacks });
    let misses = if is_by_strokes {
        here.misses(&flown[choice], &in_strokes[choice], &rules)
    } else {
        let lost = here.misses(&flown[choice], &lacks[choice], &rules_of_aim);
        ahead.had_of(lost)
    };
    let list = here.list(&flown, &order)?;
    let mut shown = list.shown();
    if !shown.contains(&fewest) {
        shown.push(fewest);
    }
    here.play_on(&flown, &mut in_strokes, &shown, &rules);
    let continuation = |index: usize| Continuation {
        by_aim: Some(noise.had(&lacks[index], &lacks[choice], ahead.most)),
        ..flown[index].evaluated(&in_strokes[index], &in_strokes[fewest])
    };
    let advice = here.evaluated(&list, misses, continuation);
    Some(NextShotAdvice {
        for_aim: Some(ForAim {
            fewest_strokes: (choice != fewest).then(|| continuation(fewest)),
            by_strokes: chosen.by_strokes,
        }),
        ..advice
    })
}

/// The shots on fresh balls, with their strokes; those left out of which too many balls come to
/// lie where the solver has no state near.
fn fly(here: &Here<'_>, actions: Vec<Action>, rules: &Rules<'_>) -> (Vec<Flown>, Vec<Judged>) {
    let (flown, in_strokes) = here.fly_all(actions, rules);
    let strange: Vec<f64> = flown
        .par_iter()
        .map(|flown| strange(&here.table.whole.explicit, &flown.rests))
        .collect();
    let least_strange = strange.iter().copied().fold(f64::INFINITY, f64::min);
    flown
        .into_iter()
        .zip(in_strokes)
        .zip(strange)
        .filter(|(_, strange)| *strange <= STRANGE.max(least_strange))
        .map(|(shot, _)| shot)
        .unzip()
}

/// Where each shot's balls are played from next.
fn shots(table: &Table<'_>, flown: &[Flown], in_strokes: &[Judged]) -> Vec<Vec<(f64, After)>> {
    let choosing = table.whole.choosing();
    let drops = Rules::new(table.hole, &choosing, table.player.club_length_m);
    flown
        .par_iter()
        .zip(in_strokes)
        .map(|(flown, judged)| after(&choosing, &drops, &flown.rests, judged.mean))
        .collect()
}

/// How finely two shots are told apart by what they lack of an objective.
#[derive(Clone, Copy)]
struct Noise {
    /// Differences below this are none.
    same: f64,
    /// Standard error of the evaluation of playing on.
    evaluation_error: f64,
}

impl Noise {
    fn of(aim: &Objective) -> Self {
        let (same, evaluation_error) = if aim.is_chance() {
            (SAME_CHANCE, EVALUATION_ERROR_CHANCE)
        } else {
            (SAME_POINTS, EVALUATION_ERROR_POINTS)
        };
        Self {
            same,
            evaluation_error,
        }
    }

    /// A standard error with that of the evaluation of a shot that loses so much.
    fn with_evaluation(self, standard_error: f64, lost: f64) -> f64 {
        standard_error
            .hypot(self.evaluation_error)
            .hypot(EVALUATION_ERROR_FAR * lost)
    }

    /// How much more one shot lacks than another, and the standard error.
    fn beside(self, one: &Judged, than: &Judged) -> (f64, f64) {
        let (more, standard_error) = one.beside(than);
        (more, self.with_evaluation(standard_error, more))
    }

    fn is_worse(self, one: &Judged, than: &Judged) -> bool {
        let (more, standard_error) = self.beside(one, than);
        more > 2.0 * standard_error && more >= self.same
    }

    /// What a shot that `lacks` so much has of the `most` that there is, beside the choice.
    fn had(self, lacks: &Judged, choice: &Judged, most: f64) -> Had {
        let (costs, costs_standard_error) = if std::ptr::eq(lacks, choice) {
            (0.0, 0.0)
        } else {
            self.beside(lacks, choice)
        };
        Had {
            worth: most - lacks.mean,
            standard_error: self.with_evaluation(lacks.standard_error, costs),
            costs,
            costs_standard_error,
        }
    }
}

/// The shot to play.
struct Choice {
    index: usize,
    /// Why it is the one for fewest strokes whatever the objective.
    by_strokes: Option<NothingToChoose>,
}

impl Choice {
    /// The best shot by what the shots lack of the `most` that there is, where it is better than
    /// the shot for `fewest` strokes beyond noise; else that one. None of no shot.
    fn of(lacks: &[Judged], fewest: usize, most: f64, noise: Noise) -> Option<Self> {
        let best = least(lacks)?;
        let by_strokes = if most - lacks[best].mean < NOTHING {
            Some(NothingToChoose::OutOfReach)
        } else if lacks.iter().all(|l| !noise.is_worse(l, &lacks[best])) {
            Some(NothingToChoose::AllTheSame)
        } else {
            None
        };
        let index = (0..lacks.len())
            .filter(|&i| by_strokes.is_none() && noise.is_worse(&lacks[fewest], &lacks[i]))
            .min_by(|&a, &b| lacks[a].mean.total_cmp(&lacks[b].mean))
            .unwrap_or(fewest);
        Some(Self { index, by_strokes })
    }
}

/// The shots, the choice first and the others best first.
fn order(choice: usize, judged: &[Judged]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..judged.len()).collect();
    order.sort_by(|&a, &b| {
        let first = |i: usize| i != choice;
        let by_loss = judged[a].mean.total_cmp(&judged[b].mean);
        first(a).cmp(&first(b)).then(by_loss)
    });
    order
}

/// The share of balls that are played from where the solver has no state near: what can
/// be had of an aim is not known there.
fn strange(explicit: &Explicit, rests: &[Rest]) -> f64 {
    let is_strange = |rest: &&Rest| {
        Lie::on(rest.surface).is_some() && shares(explicit, rest.surface, rest.at).is_empty()
    };
    rests.iter().filter(is_strange).count() as f64 / rests.len().max(1) as f64
}

/// The shots that are flown: the best by strokes and by the aim, and the aims beside
/// the leading ones of either.
fn looked_at(here: &Here<'_>, standing: &FiniteHorizon, nearest: &Nearest) -> Vec<Action> {
    let by_strokes = here.short_list();
    let by_aim = short_list(here, standing, nearest);
    let leading = by_strokes
        .iter()
        .take(LEADING)
        .chain(by_aim.iter().take(LEADING));
    let beside = leading.flat_map(|action| (-BESIDE..=BESIDE).map(|steps| action.turned(steps)));
    let mut actions = by_strokes.clone();
    for action in beside.chain(by_aim.iter().copied()) {
        if !actions.contains(&action) {
            actions.push(action);
        }
    }
    actions
}

/// What can be had from a place, as a loss.
struct Ahead<'a> {
    whole: &'a Whole,
    /// What putts are worth.
    standing: &'a FiniteHorizon,
    /// By strokes and state, on fresh balls.
    evaluated: Vec<Vec<f64>>,
    nearest: Nearest,
    most: f64,
    /// What is left when the shot is played again.
    again: f64,
}

impl<'a> Ahead<'a> {
    /// `shots` are where the balls of each shot are played from next.
    fn of(
        here: &Here<'a>,
        aim: &Objective,
        standing: &'a FiniteHorizon,
        nearest: Nearest,
        shots: &[Vec<(f64, After)>],
    ) -> Self {
        let table = here.table;
        let (whole, hole) = (table.whole, table.hole);
        let ahead = Self {
            whole,
            standing,
            evaluated: worth_for(whole, hole, table.day, (standing, PLAYED), shots),
            nearest,
            most: aim.worth(PLAYED + 1, usize::from(hole.par)).max(0.0),
            again: 0.0,
        };
        Self {
            again: ahead.at(PLAYED + 2, here.surface, here.from),
            ..ahead
        }
    }

    /// What is to be had either side, of what is lost there.
    fn had_of(&self, lost: Misses) -> Misses {
        Misses {
            left: self.most - lost.left,
            right: self.most - lost.right,
            ..lost
        }
    }

    /// The evaluated worth of a place after so many strokes.
    fn at(&self, strokes: usize, surface: Surface, at: Coord<f64>) -> f64 {
        let explicit = &self.whole.explicit;
        if surface == Surface::Green {
            let away = explicit.problem().to_pin_m([at.x as f32, at.y as f32]);
            let putts = explicit.green(away as f32).by_cost;
            return self.standing.utility.of_end(strokes, &putts);
        }
        let Some(evaluated) = self.evaluated.get(strokes) else {
            return 0.0;
        };
        let shares = self.nearest.shares(explicit, surface, at);
        shares
            .into_iter()
            .map(|(share, state)| share * evaluated.get(state as usize).unwrap_or(&0.0))
            .sum()
    }
}

/// The price of a shot is one stroke and what follows: the one is taken off.
impl StrokesFrom for Ahead<'_> {
    fn strokes_from(&self, surface: Surface, at: Coord<f64>, _: f64) -> f64 {
        self.most - self.at(PLAYED + 1, surface, at) - 1.0
    }
    fn dropped_at(&self, surface: Surface, at: Coord<f64>, _: f64) -> f64 {
        self.most - self.at(PLAYED + 2, surface, at) - 1.0
    }
    // A chance is too noisy to choose a place by: `pooled_objective`.
    fn compared_at(&self, surface: Surface, at: Coord<f64>, _: f64) -> f64 {
        self.whole.choosing().value(surface, at)
    }
    fn replayed(&self) -> Option<f64> {
        Some(self.most - self.again - 1.0)
    }
}

/// The shots that have most of the aim by the templates' balls, cell by cell.
fn short_list(here: &Here<'_>, standing: &FiniteHorizon, nearest: &Nearest) -> Vec<Action> {
    let explicit = &here.table.whole.explicit;
    let problem = explicit.problem();
    let by_cell = |strokes: usize| -> Vec<f32> {
        (0..problem.grid.len())
            .map(|cell| {
                let Some(lie) = problem.lie(cell) else {
                    // Back on the line can end on the green.
                    let putts = problem.green(problem.pin_distance_m(cell)).by_cost;
                    return standing.utility.of_end(strokes, &putts) as f32;
                };
                let state = nearest.state(explicit, cell, lie);
                state.map_or(0.0, |state| standing.at(strokes, StateId(state)) as f32)
            })
            .collect()
    };
    let (lies, dropped) = (by_cell(PLAYED + 1), by_cell(PLAYED + 2));
    let cell = problem.grid.cell(here.at[0], here.at[1]);
    let again = nearest
        .state(explicit, cell, here.lie)
        .map_or(0.0, |state| standing.at(PLAYED + 2, StateId(state)));
    let worth = |action: Action| -> Option<f64> {
        let fan = Fan::of(&problem.grid, here.at);
        let shot = problem.shot(&fan, here.lie, action)?;
        let mut sum = 0.0;
        for ball in 0..TEMPLATE_BALLS {
            shot.ends(ball, |weight, end| {
                sum += f64::from(weight)
                    * match end {
                        End::Lies(cell) => f64::from(lies[cell as usize]),
                        End::Green(away) => {
                            let putts = problem.green(away).by_cost;
                            standing.utility.of_end(PLAYED + 1, &putts)
                        }
                        End::Penalty(node) => problem
                            .drops(node)
                            .iter()
                            .map(|cell| f64::from(dropped[*cell as usize]))
                            .fold(again, f64::max),
                        End::Replay => again,
                    };
            });
        }
        Some(sum / TEMPLATE_BALLS as f64)
    };
    let priced: Vec<(f64, Action)> = here
        .actions()
        .par_iter()
        .filter_map(|&action| Some((-worth(action)?, action)))
        .collect();
    here.best_of(&priced, HOPELESS)
}
