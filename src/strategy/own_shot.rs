//! A tee shot of the player's choosing, priced beside the plan.
//!
//! The parts that the player leaves open (club, aim, peg) are searched for by the same values as
//! the plan's own shot. The policy is then evaluated where the balls of the player's shot and of the
//! plan's lie, and both are priced on the same balls: the cost has the standard error of that
//! difference. Both are held to rollouts, as the rows of the plan are.

use std::mem;
use std::sync::Arc;

use rayon::prelude::*;

use super::by_game::{ByGame, Wants, evaluation_beside};
use super::evaluated::{Evaluation, TOLD_ERROR, chosen_instead, cost_by_club, is_better};
use super::finish::StrokesToGo;
use super::follow::{SAME_PEG, plain_pegs};
use super::judging::{Judging, lies_after};
use super::middle::{bearing_deg, middle, turn_deg};
use super::named::mean_total_m;
use super::range::{FRESH_SETS, Flown, PEG_MARGIN_M, Range, Stage, mean_and_error};
use super::rollouts::Rollouts;
use super::search::{CLOSE_BALLS, CONTENDER_BALLS};
use super::whole::Whole;
use super::whole::aims_of_play::AimOfPlay;
use super::whole::held::Told;
use super::whole::judge::Loss;
use super::{Decision, Priced, Question};
use crate::hole::Coord;
use crate::outcome::TeeShot;

/// Model error of a shot's price, as a share of its cost: the solution chooses the next shots for the
/// states that good tee shots reach. Of 24 shots on four demo holes that cost up to 1.5 strokes the
/// prices differed from rollouts by 0.9 of these errors in the root mean square
/// (`own_shots_cost_as_they_play` in `tests/known_whole.rs`).
const MODEL_ERROR: f64 = 0.025;

/// Steps between aims, degrees; then around the best of them.
const STEP_DEG: f64 = 1.0;
const FINE_STEP_DEG: f64 = 0.25;
const FINE_STEPS: i32 = 4;

/// A tee shot as far as the player names it.
#[derive(Clone, Debug)]
pub struct OwnShot {
    /// Clubs that may be meant, indices into `Player::clubs`.
    pub clubs: Vec<usize>,
    /// Where to aim; none for the best aim.
    pub aim: Option<OwnAim>,
    /// Peg from the left marker's outside point along the front line, m; none for the best peg.
    pub from_left_m: Option<f64>,
}

/// An aim as the player names it.
#[derive(Clone, Copy, Debug)]
pub enum OwnAim {
    /// Right of the plan's aim.
    OffPlan(Turn),
    /// Right of the middle of the hole where the ball lands.
    OffMiddle(Turn),
    /// At a point on the plane.
    At(Coord<f64>),
}

/// How far to the right.
#[derive(Clone, Copy, Debug)]
pub enum Turn {
    /// Degrees.
    Degrees(f64),
    /// Metres where the ball lands.
    Metres(f64),
}

/// The player's shot beside the plan.
#[derive(Clone, Debug)]
pub struct Beside {
    /// The shot as if it were chosen, with the plan's shot first among `comparisons`.
    pub decision: Decision,
    /// Strokes more than the plan, on the same balls, and the standard error.
    pub costs: (f64, f64),
    /// Its aim, right of the plan's, degrees.
    pub right_of_plan_deg: f64,
    /// What follows by the player's own game; none where the published table prices it.
    pub by_game: Option<ByGame>,
    /// How much worse than the plan's shot by each objective of [`Wants::beside`], on the same
    /// balls, and the standard error.
    pub by_aim: Vec<(f64, f64)>,
}

/// Name of the plan's shot among the comparisons of the player's.
pub const THE_PLAN: &str = "the plan";

/// The player's shots beside the plan `found`, by the published table; none for a shot that keeps
/// no ball in play.
#[must_use]
pub fn by_table(question: &Question<'_>, found: &Decision, own: &[OwnShot]) -> Vec<Option<Beside>> {
    let to_go = StrokesToGo::for_handicap(question.player.handicap);
    let flown = Arc::default();
    let rollouts = Rollouts::default();
    let beside = |own: &OwnShot| {
        let shot = Range::sharing(question, &to_go, &flown).best_fitting(own, found)?;
        let evaluation = Evaluation {
            worth: &to_go,
            error: 0.0,
            cost: cost_by_club(found),
            rollouts: &rollouts,
        };
        let (decision, costs) = beside(question, &evaluation, found, shot, &flown)?;
        Some(Beside {
            decision,
            costs,
            right_of_plan_deg: shot.aim_deg - found.choice.shot.aim_deg,
            by_game: None,
            by_aim: Vec::new(),
        })
    };
    own.iter().map(beside).collect()
}

/// The player's shots beside the plan `found`, by the solved hole; none for a shot that keeps no
/// ball in play. The evaluation of `whole` is afterwards as it was.
///
/// A row of the plan that the player names too takes over its figures, which rest on more balls; and
/// the plan the shot itself where it saves strokes beyond noise.
#[must_use]
pub fn by_game(
    question: &Question<'_>,
    whole: &mut Whole,
    wants: &Wants<'_>,
    found: &mut ByGame,
    own: &[OwnShot],
) -> Vec<Option<Beside>> {
    if own.is_empty() {
        return Vec::new();
    }
    let mut all = priced(question, whole, wants, &found.decision, own);
    let is_saving = |beside: &&Beside| is_better(beside.costs.0, beside.costs.1);
    let best = all.iter().flatten().filter(is_saving);
    let best = best.min_by(|a, b| a.costs.0.total_cmp(&b.costs.0));
    if let (Some(best), AimOfPlay::Strokes) = (best.and_then(|b| b.by_game.clone()), wants.aim) {
        *found = best;
        found.decision.comparisons.remove(0);
        all = priced(question, whole, wants, &found.decision, own);
    }
    let named = found
        .decision
        .comparisons
        .iter_mut()
        .map(|(_, named)| named);
    for other in named.chain(&mut found.decision.alternatives) {
        let same = |beside: &&Beside| is_same(&beside.decision.choice.shot, &other.shot);
        if let Some(beside) = all.iter().flatten().find(same) {
            *other = beside.decision.choice.clone();
            (other.costs, other.costs_standard_error) = beside.costs;
        }
    }
    let alternatives = &mut found.decision.alternatives;
    alternatives.sort_by(|a, b| a.costs.total_cmp(&b.costs));
    all
}

fn priced(
    question: &Question<'_>,
    whole: &mut Whole,
    wants: &Wants<'_>,
    decision: &Decision,
    own: &[OwnShot],
) -> Vec<Option<Beside>> {
    let flown = Arc::default();
    let shots: Vec<Option<Priced>> = {
        let choosing = whole.choosing();
        let range = Range::sharing(question, &choosing, &flown);
        own.iter()
            .map(|own| Some(range.price_fresh(range.best_fitting(own, decision)?)))
            .collect()
    };
    let shown = std::iter::once(&decision.choice).chain(shots.iter().flatten());
    let (told, worth) = evaluation_beside(question, whole, &shown.collect::<Vec<_>>());
    let before = (
        mem::replace(&mut whole.told, told),
        mem::replace(&mut whole.worth, worth),
    );
    let beside = shots.iter().map(|priced| {
        beside_plan(
            question,
            whole,
            wants,
            decision,
            priced.as_ref()?.shot,
            &flown,
        )
    });
    let beside = beside.collect();
    (whole.told, whole.worth) = before;
    beside
}

fn beside_plan(
    question: &Question<'_>,
    whole: &Whole,
    wants: &Wants<'_>,
    plan: &Decision,
    shot: TeeShot,
    flown: &Arc<Flown>,
) -> Option<Beside> {
    let worth = Told(whole);
    let mut rollouts = Rollouts::default();
    let priced = |rollouts: &Rollouts| {
        let evaluation = Evaluation {
            worth: &worth,
            error: TOLD_ERROR,
            // Evaluated as well as the choice.
            cost: cost_by_club(plan)
                .into_iter()
                .filter(|(club, _)| *club != shot.club)
                .chain([(shot.club, 0.0)])
                .collect(),
            rollouts,
        };
        beside(question, &evaluation, plan, shot, flown)
    };
    let (mut decision, mut costs) = priced(&rollouts)?;
    let rows = Decision {
        choice: plan.choice.clone(),
        alternatives: vec![Priced {
            costs: costs.0,
            ..decision.choice.clone()
        }],
        comparisons: Vec::new(),
        ..plan.clone()
    };
    if rollouts.extend(question, whole, &rows) {
        (decision, costs) = priced(&rollouts)?;
    }
    let lying = lies_after(question, whole, &plan.choice);
    let par = usize::from(question.hole.par);
    let by_aim = wants.beside.par_iter().map(|aim| {
        let Some(loss) = Loss::of(whole, aim, par, &lying) else {
            return costs;
        };
        let range = Range::sharing(question, &loss, flown);
        difference(&range, &decision.choice, &plan.choice)
    });
    let by_aim = by_aim.collect();
    let by_game = Judging::beside(question, whole, wants, flown, &decision.choice)
        .of(decision.clone(), &rollouts);
    Some(Beside {
        decision,
        costs,
        right_of_plan_deg: shot.aim_deg - plan.choice.shot.aim_deg,
        by_game: Some(by_game),
        by_aim,
    })
}

/// Mean and standard error of one shot's price less another's, on the same balls.
fn difference(range: &Range<'_>, one: &Priced, other: &Priced) -> (f64, f64) {
    let (one, other) = (range.by_set(&one.rests), range.by_set(&other.rests));
    let each = one.iter().zip(&other).map(|(a, b)| a - b);
    mean_and_error(&each.collect::<Vec<f64>>())
}

/// The shot as a decision, and what it costs beside the plan: its strokes are the plan's and the
/// cost.
fn beside(
    question: &Question<'_>,
    evaluation: &Evaluation<'_>,
    plan: &Decision,
    shot: TeeShot,
    flown: &Arc<Flown>,
) -> Option<(Decision, (f64, f64))> {
    let range = evaluation.range(question, flown);
    let (own, own_by_set) = range.price_on(shot, FRESH_SETS);
    if !own.strokes.is_finite() {
        return None;
    }
    let plan_by_set = range.by_set_of(plan.choice.shot, &plan.choice.rests);
    let each = own_by_set.iter().zip(&plan_by_set).map(|(a, b)| a - b);
    let (costs, error) = mean_and_error(&each.collect::<Vec<f64>>());
    let is_plan = shot == plan.choice.shot;
    let model_error = if evaluation.rollouts.has_repriced(shot) {
        0.0
    } else {
        evaluation.error.hypot(MODEL_ERROR * costs.max(0.0))
    };
    let error = if is_plan {
        0.0
    } else {
        error.hypot(model_error)
    };
    let mut the_plan = plan.choice.clone();
    (the_plan.costs, the_plan.costs_standard_error) = (-costs, error);
    let mut decision = chosen_instead(question, evaluation, plan.clone(), shot, flown)
        .looked_around(&range, evaluation);
    // The named aims and the other clubs stand beside the plan in the plan's own figures.
    let moved = plan.choice.strokes + costs - decision.choice.strokes;
    let named = decision.comparisons.iter_mut().map(|(_, named)| named);
    let others = decision.alternatives.iter_mut().chain(named);
    for priced in others.chain([&mut decision.choice]) {
        priced.strokes += moved;
    }
    if !is_plan {
        let of_choice = &mut decision.choice.standard_error;
        *of_choice = of_choice.hypot(model_error);
    }
    decision
        .alternatives
        .retain(|other| other.shot != the_plan.shot);
    decision.comparisons.insert(0, (THE_PLAN.into(), the_plan));
    Some((decision, (costs, error)))
}

/// Whether two shots are one, but for the rounding of their aims.
fn is_same(one: &TeeShot, other: &TeeShot) -> bool {
    const ROUNDING_DEG: f64 = 1.0e-6;
    let turned = TeeShot {
        aim_deg: other.aim_deg,
        ..*one
    };
    turned == *other && (one.aim_deg - other.aim_deg).abs() < ROUNDING_DEG
}

impl Range<'_> {
    /// The best shot that fits, by the values of this range; none where no ball of it stays in
    /// play.
    fn best_fitting(&self, own: &OwnShot, plan: &Decision) -> Option<TeeShot> {
        let found = own.clubs.par_iter().map(|&club| {
            let found = match (own.aim, own.from_left_m) {
                // Found by the search of the plan.
                (None, None) => std::iter::once(&plan.choice)
                    .chain(&plan.alternatives)
                    .find(|priced| priced.shot.club == club)
                    .map(|priced| priced.shot),
                _ => None,
            };
            found.or_else(|| self.best_with(club, own, plan))
        });
        let found: Vec<TeeShot> = found.flatten().collect();
        let priced = found.into_par_iter().map(|shot| {
            let volley = self.volley(shot.club, Stage::Close, 0, CLOSE_BALLS, [shot.aim_deg; 2]);
            let rests = self.rests(&volley.toward(shot.aim_deg), &shot);
            (shot, self.price(&rests).strokes)
        });
        least(priced.collect())
    }

    /// The same with one club.
    fn best_with(&self, club: usize, own: &OwnShot, plan: &Decision) -> Option<TeeShot> {
        let depth = |from_left_m: f64| TeeShot {
            club,
            from_left_m,
            behind_front_m: PEG_MARGIN_M,
            aim_deg: 0.0,
        };
        // The plan's own peg first: another has to be better.
        let pegs: Vec<TeeShot> = match own.from_left_m {
            Some(from_left_m) => vec![depth(from_left_m)],
            None => std::iter::once(plan.choice.shot.from_left_m)
                .chain(plain_pegs(self.q.tee.width_m()))
                .map(depth)
                .collect(),
        };
        let aimed = |step: &dyn Fn(&TeeShot) -> Vec<f64>| -> Vec<TeeShot> {
            let each = pegs.iter().flat_map(|peg| {
                step(peg)
                    .into_iter()
                    .map(|aim_deg| TeeShot { aim_deg, ..*peg })
            });
            each.collect()
        };
        let Some(aim) = own.aim else {
            let [low, high] = self.aims(club);
            let steps = ((high - low) / STEP_DEG).ceil().max(1.0);
            let all = aimed(&|_| {
                let each = (0..=steps as usize).map(|k| low + (high - low) * k as f64 / steps);
                each.collect()
            });
            let first = least(self.weighed(all, CONTENDER_BALLS))?;
            let near = (-FINE_STEPS..=FINE_STEPS).map(|k| TeeShot {
                aim_deg: first.aim_deg + FINE_STEP_DEG * f64::from(k),
                ..first
            });
            return least(self.weighed(near.collect(), CLOSE_BALLS));
        };
        let carry_m = if club == plan.choice.shot.club {
            plan.choice.carry_m
        } else {
            self.carry_m(club, plan.choice.shot.aim_deg)
        };
        let all = aimed(&|peg| vec![self.bearing_deg(aim, peg, carry_m, plan)]);
        match all[..] {
            [only] => Some(only),
            _ => least(self.weighed(all, CLOSE_BALLS)),
        }
    }

    /// The bearing of an aim from a peg, near the plan's.
    fn bearing_deg(&self, aim: OwnAim, shot: &TeeShot, carry_m: f64, plan: &Decision) -> f64 {
        let peg = self.q.tee.peg(shot.from_left_m, shot.behind_front_m);
        let planned_deg = plan.choice.shot.aim_deg;
        let near = |bearing: f64| planned_deg + turn_deg(planned_deg, bearing);
        let beside = |at: Coord<f64>, along_deg: f64, right_m: f64| {
            let (sin, cos) = along_deg.to_radians().sin_cos();
            Coord {
                x: at.x + cos * right_m,
                y: at.y - sin * right_m,
            }
        };
        match aim {
            OwnAim::At(at) => near(bearing_deg(peg, at)),
            OwnAim::OffPlan(Turn::Degrees(right)) => planned_deg + right,
            OwnAim::OffPlan(Turn::Metres(right)) => {
                let (sin, cos) = planned_deg.to_radians().sin_cos();
                let landing = Coord {
                    x: plan.choice.peg.x + sin * carry_m,
                    y: plan.choice.peg.y + cos * carry_m,
                };
                near(bearing_deg(peg, beside(landing, planned_deg, right)))
            }
            OwnAim::OffMiddle(turn) => {
                let run = mean_total_m(&plan.choice) / plan.choice.carry_m.max(1.0);
                let at = middle(self.q.hole, peg, run * carry_m);
                let straight = bearing_deg(peg, at);
                match turn {
                    Turn::Degrees(right) => near(straight) + right,
                    Turn::Metres(right) => near(bearing_deg(peg, beside(at, straight, right))),
                }
            }
        }
    }

    /// Shots with one club and their prices.
    fn weighed(&self, shots: Vec<TeeShot>, balls: usize) -> Vec<(TeeShot, f64)> {
        let aims = || shots.iter().map(|shot| shot.aim_deg);
        let range = [
            aims().fold(f64::INFINITY, f64::min),
            aims().fold(f64::NEG_INFINITY, f64::max),
        ];
        let Some(first) = shots.first() else {
            return Vec::new();
        };
        let volley = self.volley(first.club, Stage::Contenders, 0, balls, range);
        let price = |shot: &TeeShot| {
            let rests = self.rests(&volley.toward(shot.aim_deg), shot);
            (*shot, self.price(&rests).strokes)
        };
        shots.par_iter().map(price).collect()
    }
}

/// The first of the shots that cost hardly more than the least, if that is finite.
fn least(priced: Vec<(TeeShot, f64)>) -> Option<TeeShot> {
    let strokes = priced.iter().map(|(_, strokes)| *strokes);
    let least = strokes.fold(f64::INFINITY, f64::min);
    let first = priced
        .into_iter()
        .find(|(_, strokes)| *strokes <= least + SAME_PEG);
    first.filter(|_| least.is_finite()).map(|(shot, _)| shot)
}
