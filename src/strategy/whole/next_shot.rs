//! The next shot: what comes after the tee shot.
//!
//! From a place, every swing and aim of the [`problem`](super::problem) is
//! priced by the solved values; the best of every swing, and the best for every
//! distance that it may leave, are then flown from there on fresh balls over the
//! true ground and priced again, all on the same balls, so that a difference has
//! a standard error and a tie can be called one. Those that land where the solver's
//! fresh balls hardly come are played on (`played_on`). The aims beside the
//! leading shots are looked at too: by the few balls of a template they are hardly told
//! apart. What an aim is chosen on is a quarter of the balls that it is evaluated by.
//!
//! Here by strokes; [`next_shot_for`](super::next_shot_for) does the same for an aim
//! of play that looks at the score.

use rayon::prelude::*;

use super::action::Action;
use super::continuation::{BALLS, Continuation, Flown, Here, Judged, LAY_UP_M, Misses, Table};
use super::held::Evaluated;
use super::played_on::PlayedOn;
use super::swing::Kind;
use crate::hole::{Coord, Surface};
use crate::outcome::{Rest, is_penalty};
use crate::strategy::Priced;
use crate::strategy::rules::Rules;
use crate::strategy::usual::Usual;

/// Swings that are priced on fresh balls, beside the best for every distance left.
const SWINGS: usize = 6;
/// Distances left are told apart by this, m (about 20 yd).
const BIN_M: f64 = 18.3;
/// Clubs beside the choice, and distances left, that are listed at most.
pub const OTHERS: usize = 3;
/// The same.
pub const LAY_UPS: usize = 4;
/// Shots, best first, that are looked at with the aims beside them, how many of those
/// either way, and on how many sets.
const LEADING: usize = 2;
const BESIDE: i32 = 2;
const LOOK_SETS: usize = 2;
/// The evaluation of where a shot lands is good enough with this standard error, strokes:
/// to play its balls on adds 0.004 to 0.006.
const ENOUGH: f64 = 0.0035;
/// Shots that cost more than this on the solver's balls are not looked at again.
const HOPELESS: f64 = 0.9;

/// What comes after the tee shot.
#[derive(Clone, Debug)]
pub struct NextShotAdvice {
    /// From where.
    pub from: Coord<f64>,
    /// What lies there.
    pub surface: Surface,
    /// How far the pin is, m.
    pub to_pin_m: f64,
    /// The shot to play.
    pub choice: Continuation,
    /// Its two sides.
    pub misses: Misses,
    /// The best of every other swing, best first.
    pub others: Vec<Continuation>,
    /// The best for every distance left that is no shot at the green, best
    /// first; the choice itself where it is one.
    pub lay_ups: Vec<Continuation>,
    /// For which objective it is where that looks at the score; none for fewest
    /// strokes.
    pub for_aim: Option<ForAim>,
}

/// What an objective makes of the next shot.
#[derive(Clone, Debug)]
pub struct ForAim {
    /// The shot for fewest strokes where it is another than the choice.
    pub fewest_strokes: Option<Continuation>,
    /// Why the next shot is by strokes all the same; none where it is by the aim.
    pub by_strokes: Option<NothingToChoose>,
}

/// Why an objective says nothing about a shot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NothingToChoose {
    /// Whatever is hit, as good as nothing is to be had any more.
    OutOfReach,
    /// Whatever is hit, the same is to be had.
    AllTheSame,
}

/// Where the next shot is played from: of the balls that are played where they lie on no green, the
/// one nearest to the end of the usual ball. None where fewer than half are.
#[must_use]
pub fn usual_lie(shot: &Priced) -> Option<(Coord<f64>, Surface)> {
    let rests = &shot.rests;
    let playable: Vec<&Rest> = rests
        .iter()
        .filter(|r| {
            !is_penalty(r.surface) && !matches!(r.surface, Surface::OutOfBounds | Surface::Green)
        })
        .collect();
    if 2 * playable.len() < rests.len() {
        return None;
    }
    let ends = Usual::of(shot.peg, shot.shot.aim_deg, rests)?.rest;
    let away = |r: &Rest| (r.at.x - ends.x).hypot(r.at.y - ends.y);
    playable
        .into_iter()
        .min_by(|a, b| away(a).total_cmp(&away(b)))
        .map(|r| (r.at, r.surface))
}

/// The next shot from a place for fewest strokes; none where nothing can be played
/// from it.
#[must_use]
pub fn next_shot(table: &Table<'_>, from: Coord<f64>, surface: Surface) -> Option<NextShotAdvice> {
    let here = Here::of(table, from, surface)?;
    let evaluated = Evaluated(table.whole);
    let rules = Rules::new(table.hole, &evaluated, table.player.club_length_m);
    let (mut flown, mut judged) = here.fly_all(here.short_list(), &rules);
    for (flown_beside, judged_beside) in here.beside(&flown, &judged, &rules) {
        flown.push(flown_beside);
        judged.push(judged_beside);
    }
    let by_strokes = |judged: &[Judged], mut order: Vec<usize>| {
        order.sort_by(|&a, &b| judged[a].mean.total_cmp(&judged[b].mean));
        order
    };
    let list = here.list(&flown, &by_strokes(&judged, (0..flown.len()).collect()))?;
    let shown = list.shown();
    let misses_by = &judged[list.choice];
    let misses = (
        list.choice,
        here.misses(&flown[list.choice], misses_by, &rules),
    );
    here.play_on(&flown, &mut judged, &shown, &rules);
    let list = here.list(&flown, &by_strokes(&judged, shown))?;
    let best = list.choice;
    let misses = if misses.0 == best {
        misses.1
    } else {
        here.misses(&flown[best], &flown[best].judged(&rules), &rules)
    };
    let tell = |index: usize| flown[index].evaluated(&judged[index], &judged[best]);
    Some(here.evaluated(&list, misses, tell))
}

impl Here<'_> {
    /// Every action that is played from here.
    pub fn actions(&self) -> Vec<Action> {
        let mut actions = Vec::new();
        self.problem()
            .actions(self.at, self.lie, false, &mut actions);
        actions
    }

    /// The best aim of the best swings, and of the best for every distance left.
    pub fn short_list(&self) -> Vec<Action> {
        let explicit = &self.table.whole.explicit;
        let here = explicit.rough_value(self.at, self.lie);
        let priced: Vec<(f64, Action)> = self
            .actions()
            .par_iter()
            .map(|&action| {
                let strokes = explicit.rough_price(self.at, self.lie, here, action);
                (strokes, action)
            })
            .collect();
        self.best_of(&priced, HOPELESS)
    }

    /// Of actions with their losses the best aims; none that loses `hopeless` more
    /// than the best of all.
    pub fn best_of(&self, priced: &[(f64, Action)], hopeless: f64) -> Vec<Action> {
        let mut order: Vec<usize> = (0..priced.len())
            .filter(|&i| priced[i].0.is_finite())
            .collect();
        order.sort_by(|a, b| priced[*a].0.total_cmp(&priced[*b].0).then(a.cmp(b)));
        let Some(least) = order.first().map(|i| priced[*i].0) else {
            return Vec::new();
        };
        let mut taken: Vec<Action> = Vec::new();
        let mut swings: Vec<u16> = Vec::new();
        let mut bins: Vec<i64> = Vec::new();
        for &i in &order {
            let (loss, action) = priced[i];
            if loss > least + hopeless {
                break;
            }
            let bin = (self.left_m(action) / BIN_M).floor() as i64;
            let new_swing = swings.len() < SWINGS && !swings.contains(&action.swing);
            let new_bin = !bins.contains(&bin);
            if new_swing || new_bin {
                taken.push(action);
            }
            if !swings.contains(&action.swing) {
                swings.push(action.swing);
            }
            if new_bin {
                bins.push(bin);
            }
        }
        taken
    }

    /// The way left by an action, roughly, m.
    fn left_m(&self, action: Action) -> f64 {
        let problem = self.problem();
        problem
            .total_m(
                usize::from(action.swing),
                self.lie,
                problem.pin_deg(self.at),
            )
            .map_or(0.0, |total_m| {
                // As the template flies it: near enough to sort by distance left.
                let turn = f64::from(action.aim) * super::action::AIM_STEP_DEG;
                let (sin, cos) = turn.to_radians().sin_cos();
                (self.to_pin_m - total_m * cos).hypot(total_m * sin)
            })
    }

    /// The aims beside the leading shots that are better on a few of the balls, on all of
    /// them: by the few balls of a template they are hardly told apart.
    fn beside(
        &self,
        flown: &[Flown],
        judged: &[Judged],
        rules: &Rules<'_>,
    ) -> Vec<(Flown, Judged)> {
        let mut order: Vec<usize> = (0..flown.len()).collect();
        order.sort_by(|&a, &b| judged[a].mean.total_cmp(&judged[b].mean));
        order.truncate(LEADING);
        let mut better: Vec<Action> = order
            .par_iter()
            .filter_map(|&leader| {
                self.best_beside(
                    flown[leader].continuation.action,
                    (BESIDE, LOOK_SETS),
                    rules,
                )
            })
            .collect();
        better.dedup();
        better.retain(|action| flown.iter().all(|f| f.continuation.action != *action));
        let (flown, judged) = self.fly_all(better, rules);
        flown.into_iter().zip(judged).collect()
    }

    /// Plays on the balls of these shots wherever the solver's fresh balls tell too little
    /// of where they land.
    pub fn play_on(&self, flown: &[Flown], judged: &mut [Judged], of: &[usize], rules: &Rules<'_>) {
        let on = PlayedOn::new(self.table);
        let anew: Vec<Judged> = of
            .par_iter()
            .map(|&index| {
                let rests = &flown[index].rests;
                let evaluation_error = on.evaluation_error(rests);
                if evaluation_error <= ENOUGH {
                    return Judged {
                        evaluation_error,
                        ..judged[index].clone()
                    };
                }
                Judged::of(&on.worths(rests, BALLS, rules))
            })
            .collect();
        for (&index, anew) in of.iter().zip(anew) {
            judged[index] = anew;
        }
    }

    /// Which of these shots are listed, the one to play first, the others best first.
    pub fn list(&self, flown: &[Flown], order: &[usize]) -> Option<List> {
        let swings = &self.problem().swings;
        let club = |o: &Continuation| swings[usize::from(o.action.swing)].club;
        let (&choice, rest) = order.split_first()?;
        let of = |index: usize| &flown[index].continuation;
        let mut others: Vec<usize> = Vec::new();
        let mut lay_ups: Vec<usize> = Vec::new();
        for &index in rest {
            let continuation = of(index);
            let known = std::iter::once(&choice).chain(&others).any(|&other| {
                let other = of(other);
                club(other) == club(continuation)
                    && other.goes_for_green() == continuation.goes_for_green()
            });
            if !known && others.len() < OTHERS {
                others.push(index);
            }
        }
        // Who lays up wants to know what going for the green costs.
        let goes = |index: &usize| of(*index).goes_for_green();
        if !goes(&choice)
            && !others.iter().any(goes)
            && let Some(&going) = rest.iter().find(|index| goes(index))
        {
            others.truncate(OTHERS - 1);
            others.push(going);
        }
        for &index in order {
            let continuation = of(index);
            let apart = |&o: &usize| (of(o).left_m - continuation.left_m).abs() >= 0.75 * BIN_M;
            if !continuation.goes_for_green()
                && continuation.left_m >= LAY_UP_M
                && lay_ups.iter().all(apart)
                && lay_ups.len() < LAY_UPS
            {
                lay_ups.push(index);
            }
        }
        Some(List {
            choice,
            others,
            lay_ups,
        })
    }

    /// The next shot by the evaluation of its shots.
    pub fn evaluated(
        &self,
        list: &List,
        misses: Misses,
        tell: impl Fn(usize) -> Continuation,
    ) -> NextShotAdvice {
        NextShotAdvice {
            from: self.from,
            surface: self.surface,
            to_pin_m: self.to_pin_m,
            misses,
            choice: tell(list.choice),
            others: list.others.iter().map(|&index| tell(index)).collect(),
            lay_ups: list.lay_ups.iter().map(|&index| tell(index)).collect(),
            for_aim: None,
        }
    }
}

/// The shots of a next shot, by their indices.
pub(super) struct List {
    pub choice: usize,
    others: Vec<usize>,
    lay_ups: Vec<usize>,
}

impl List {
    /// Every one of them once, in order.
    pub fn shown(&self) -> Vec<usize> {
        let mut shown = vec![self.choice];
        for &index in self.others.iter().chain(&self.lay_ups) {
            if !shown.contains(&index) {
                shown.push(index);
            }
        }
        shown
    }
}

/// How a swing is made, in words, after the club's name; nothing for a full one.
#[must_use]
pub fn manner(kind: Kind) -> &'static str {
    match kind {
        Kind::Full => "",
        Kind::Soft(_) => "held back",
        Kind::Partial(_) => "a partial swing",
        Kind::Punch(_) => "punched low",
    }
}
