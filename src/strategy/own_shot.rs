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
use super::evaluated::{EVALUATION_ERROR, Evaluation, chosen_instead, cost_by_club, is_better};
use super::finish::StrokesToGo;
use super::follow::{PLAIN, plain_pegs};
use super::judging::{Judging, spread};
use super::middle::{bearing_deg, turn_deg};
use super::range::{FRESH_SETS, Flown, PEG_MARGIN_M, Range, Stage, mean_and_error};
use super::rollouts::{PlayedRow, Rollouts};
use super::search::{CLOSE_BALLS, CONTENDER_BALLS};
use super::whole::Whole;
use super::whole::held::Evaluated;
use super::whole::objective::Objective;
use super::whole::scores::Scores;
use super::{Decision, Priced, Question};
use crate::hole::Coord;
use crate::outcome::TeeShot;
pub use crate::units::own_shot::Turn;

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
    /// How much worse than the plan's shot by each objective of [`Wants::beside`], played on for
    /// fewest strokes, and the standard error.
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
            // The table has no error of its own.
            cost: (0..question.player.clubs.len())
                .map(|club| (club, 0.0))
                .collect(),
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
/// If the plan lists the player's shot already, that row takes over these figures, which rest on more
/// balls. If the shot saves strokes beyond noise, it becomes the plan.
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
    // What is said of the plan's aim is said of the plan as it is now.
    let shots: Vec<Option<TeeShot>> = {
        let choosing = whole.choosing();
        let range = Range::new(question, &choosing);
        let fitting = |own| range.best_fitting(own, &found.decision);
        own.iter().map(fitting).collect()
    };
    let mut all = priced(question, whole, wants, found, &shots);
    let is_saving = |beside: &&Beside| is_better(beside.costs.0, beside.costs.1);
    let best = all.iter().flatten().filter(is_saving);
    let best = best.min_by(|a, b| a.costs.0.total_cmp(&b.costs.0));
    if let (Some(best), Objective::Strokes) = (best.and_then(|b| b.by_game.clone()), wants.aim) {
        adopt(found, best);
        all = priced(question, whole, wants, found, &shots);
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

/// The player's shot becomes the plan; the plan before is the best with its club, if that is another.
fn adopt(found: &mut ByGame, better: ByGame) {
    let before = mem::replace(found, better);
    let (_, the_plan) = found.decision.comparisons.remove(0);
    if the_plan.shot.club != found.decision.choice.shot.club {
        found.decision.alternatives.push(the_plan);
    }
    // The other clubs keep the figures that were held to these rollouts.
    let known = mem::take(&mut found.rollouts.rows);
    let is_new = |row: &PlayedRow| known.iter().all(|other| other.shot != row.shot);
    let others: Vec<PlayedRow> = before.rollouts.rows.into_iter().filter(is_new).collect();
    found.rollouts.rows = known;
    found.rollouts.rows.extend(others);
}

/// Every shot is evaluated and played out apart, so that its price does not hang on the others.
fn priced(
    question: &Question<'_>,
    whole: &mut Whole,
    wants: &Wants<'_>,
    plan: &ByGame,
    shots: &[Option<TeeShot>],
) -> Vec<Option<Beside>> {
    let flown = Arc::default();
    let each = shots.iter().map(|shot| {
        let shot = (*shot)?;
        let priced = Range::sharing(question, &whole.choosing(), &flown).price_fresh(shot);
        let shown = [&plan.decision.choice, &priced];
        let (evaluated, worth) = evaluation_beside(question, whole, &shown);
        let before = (
            mem::replace(&mut whole.evaluated, evaluated),
            mem::replace(&mut whole.worth, worth),
        );
        let beside = beside_plan(question, whole, wants, plan, shot, &flown);
        (whole.evaluated, whole.worth) = before;
        beside
    });
    each.collect()
}

fn beside_plan(
    question: &Question<'_>,
    whole: &Whole,
    wants: &Wants<'_>,
    found: &ByGame,
    shot: TeeShot,
    flown: &Arc<Flown>,
) -> Option<Beside> {
    let (plan, worth) = (&found.decision, Evaluated(whole));
    let priced = |rollouts: &Rollouts| {
        let evaluation = Evaluation {
            worth: &worth,
            error: EVALUATION_ERROR,
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
    let mut rollouts = Rollouts::default();
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
    let judging = Judging::beside(question, whole, wants, flown, &decision.choice);
    let by_game = judging.of(decision.clone(), &rollouts);
    let par = usize::from(question.hole.par);
    let by_aim = wants.beside.iter();
    let by_aim = by_aim.map(|aim| worse_by(aim, par, &by_game.scores, &found.scores, costs));
    Some(Beside {
        by_aim: by_aim.collect(),
        decision,
        costs,
        right_of_plan_deg: shot.aim_deg - plan.choice.shot.aim_deg,
        by_game: Some(by_game),
    })
}

/// How much worse scores are than the plan's by an objective, both played on for fewest strokes, and
/// the standard error: that of the strokes, as the objective's worth spreads beside the strokes.
fn worse_by(
    aim: &Objective,
    par: usize,
    own: &Scores,
    plan: &Scores,
    costs: (f64, f64),
) -> (f64, f64) {
    if *aim == Objective::Strokes {
        return costs;
    }
    let worth = |scores: &Scores| scores.expect(|score| aim.worth(score, par));
    let spread = |scores: &Scores| spread(scores, aim, par) / scores.variance().sqrt();
    let error = costs.1 * spread(own).max(spread(plan));
    let error = if error.is_finite() { error } else { costs.1 };
    (worth(plan) - worth(own), error)
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
    let is_played = evaluation.rollouts.has_repriced(shot);
    let far = if is_plan || is_played {
        0.0
    } else {
        MODEL_ERROR * costs.max(0.0)
    };
    let of_own = evaluation.error_of(&own).hypot(far);
    let error = if is_plan {
        0.0
    } else {
        error.hypot(of_own.max(evaluation.error_of(&plan.choice)))
    };
    let mut decision = chosen_instead(question, evaluation, plan.clone(), shot, flown)
        .looked_around(&range, evaluation);
    let of_choice = &mut decision.choice.standard_error;
    *of_choice = of_choice.hypot(far);
    // All stand beside the plan in the plan's own figures: the shot, its named aims, and the other
    // clubs.
    let moved = plan.choice.strokes + costs - decision.choice.strokes;
    let named = decision.comparisons.iter_mut().map(|(_, named)| named);
    for priced in named.chain([&mut decision.choice]) {
        priced.strokes += moved;
    }
    let instead = |other: &Priced| Priced {
        costs: other.costs - costs,
        costs_standard_error: other.costs_standard_error.hypot(error),
        ..other.clone()
    };
    let others = plan
        .alternatives
        .iter()
        .filter(|o| o.shot.club != shot.club);
    decision.alternatives = others.map(instead).collect();
    let the_plan = instead(&plan.choice);
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
        least(&priced.collect::<Vec<_>>()).map(|best| best.0)
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
            // From every peg the best aim; of the pegs the plainest that is as good.
            let weighed = self.weighed(all, CONTENDER_BALLS);
            let by_peg = weighed.chunk_by(|a, b| a.0.from_left_m == b.0.from_left_m);
            let first = first_good(by_peg.filter_map(least).collect())?.0;
            let near = (-FINE_STEPS..=FINE_STEPS).map(|k| TeeShot {
                aim_deg: first.aim_deg + FINE_STEP_DEG * f64::from(k),
                ..first
            });
            return least(&self.weighed(near.collect(), CLOSE_BALLS)).map(|best| best.0);
        };
        let carry_m = if club == plan.choice.shot.club {
            plan.choice.carry_m
        } else {
            self.carry_m(club, plan.choice.shot.aim_deg)
        };
        let all = aimed(&|peg| vec![self.bearing_deg(aim, peg, carry_m, plan)]);
        match all[..] {
            [only] => Some(only),
            _ => first_good(self.weighed(all, CLOSE_BALLS)).map(|good| good.0),
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
                let at = self.middle_at_landing(peg, carry_m);
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

/// The shot with the least price, if that is finite.
fn least(priced: &[(TeeShot, f64)]) -> Option<(TeeShot, f64)> {
    let best = priced.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
    best.1.is_finite().then_some(*best)
}

/// The first of the shots, each from another peg, that costs hardly more than the least.
fn first_good(priced: Vec<(TeeShot, f64)>) -> Option<(TeeShot, f64)> {
    let (_, least) = least(&priced)?;
    let mut priced = priced.into_iter();
    priced.find(|(_, strokes)| *strokes <= least + PLAIN / 2.0)
}
