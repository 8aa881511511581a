//! Shots from a place after the tee shot, flown on fresh balls over the true ground.
//!
//! All of a place on the same balls, in a few sets, so that a difference has a standard
//! error.

use rayon::prelude::*;

use super::action::{AIM_STEP_DEG, Action};
use super::answer::Whole;
use super::lie::Lie;
use super::problem::Problem;
use crate::hole::{Coord, Hole, Surface};
use crate::outcome::{Day, Rest, Volley, is_penalty, play};
use crate::player::{ClubShape, Player};
use crate::sample::{Point, points};
use crate::strategy::rules::{Price, Rules, Worth};

/// Fresh balls: independent sets, balls a set.
pub(super) const SETS: usize = 8;
pub(super) const BALLS: usize = 256;
/// A shot that leaves less than this on average goes for the green, m.
const AT_GREEN_M: f64 = 27.0;
/// A lay-up leaves at least this, m (about 30 yd).
pub(super) const LAY_UP_M: f64 = 27.0;

/// What is played.
#[derive(Clone, Copy)]
pub struct Table<'a> {
    /// The hole.
    pub hole: &'a Hole,
    /// The player.
    pub player: &'a Player,
    /// The day.
    pub day: &'a Day,
    /// The solved hole.
    pub whole: &'a Whole,
    /// Seed of the fresh balls.
    pub seed: u32,
}

/// One way to play on.
#[derive(Clone, Debug)]
pub struct Continuation {
    /// What is swung: index into the problem's swings, and the bearing.
    pub action: Action,
    /// True bearing of the set-up, degrees.
    pub aim_deg: f64,
    /// Where it lands and where it finishes on average.
    pub landing: Coord<f64>,
    /// Where it finishes on average.
    pub rest: Coord<f64>,
    /// Average way from here to the finish, m.
    pub total_m: f64,
    /// Average carry, m.
    pub carry_m: f64,
    /// Average way left to the pin, m.
    pub left_m: f64,
    /// Strokes to hole out from here.
    pub strokes: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// Strokes more than the best, on the same balls.
    pub costs: f64,
    /// Standard error of that.
    pub costs_standard_error: f64,
    /// Share of balls on the green.
    pub on_green: f64,
    /// Share in a penalty area or out of bounds.
    pub lost: f64,
    /// What is to be had with it of the objective that the next shot is for; none
    /// for fewest strokes.
    pub by_aim: Option<Had>,
}

/// What is to be had of an objective with a shot, in that one's unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Had {
    /// A chance or points: more is better.
    pub worth: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// How much less that is than with the choice, on the same balls.
    pub costs: f64,
    /// Standard error of that.
    pub costs_standard_error: f64,
}

impl Continuation {
    /// Whether it is meant for the green.
    #[must_use]
    pub fn goes_for_green(&self) -> bool {
        self.left_m < AT_GREEN_M || self.on_green > 0.1
    }
}

/// What the balls left and right of the middle are worth; of a shot at the green
/// with their middle in line with the pin.
#[derive(Clone, Copy, Debug)]
pub struct Misses {
    /// Of the half that finishes left: strokes to hole out, this one included; or,
    /// where the shot was chosen by an objective (`ForAim`), what is to be had of that.
    pub left: f64,
    /// Of the half that finishes right.
    pub right: f64,
    /// Standard error of the difference.
    pub standard_error: f64,
}

/// A shot's balls in the air, set by set.
struct Volleys {
    aim_deg: f64,
    volleys: Vec<Volley>,
}

/// A place that is played from.
pub(super) struct Here<'a> {
    pub table: &'a Table<'a>,
    pub from: Coord<f64>,
    pub surface: Surface,
    pub lie: Lie,
    pub at: [f32; 2],
    pub to_pin_m: f64,
    /// Of the fresh balls, set by set.
    points: Vec<Vec<Point>>,
}

impl<'a> Here<'a> {
    /// None where nothing is played from such a surface.
    pub fn of(table: &'a Table<'a>, from: Coord<f64>, surface: Surface) -> Option<Self> {
        let at = [from.x as f32, from.y as f32];
        Some(Self {
            table,
            from,
            surface,
            lie: Lie::on(surface)?,
            at,
            to_pin_m: table.whole.explicit.problem().to_pin_m(at),
            // Apart from the seeds of the tee's own balls.
            points: (0..SETS as u32)
                .map(|set| {
                    let seed = table.seed.wrapping_mul(0x85EB_CA6B);
                    points(seed.wrapping_add(1_000 + set), BALLS)
                })
                .collect(),
        })
    }

    pub fn problem(&self) -> &'a Problem {
        self.table.whole.explicit.problem()
    }

    /// Every shot on fresh balls with what it is worth by `rules`, those left out that
    /// cannot be played or lose every ball.
    pub fn fly_all(&self, actions: Vec<Action>, rules: &Rules<'_>) -> (Vec<Flown>, Vec<Judged>) {
        actions
            .into_par_iter()
            .filter_map(|action| self.fly(action, 0.0))
            .map(|flown| {
                let judged = flown.judged(rules);
                (flown, judged)
            })
            .filter(|(_, judged)| judged.mean.is_finite())
            .unzip()
    }

    /// The balls of the first few sets of a shot whose aim is turned by so much, for aims
    /// at most so far off it either way, degrees.
    fn volleys(
        &self,
        action: Action,
        (turn_deg, off_deg): (f64, f64),
        sets: usize,
    ) -> Option<Volleys> {
        let (table, from) = (self.table, self.from);
        let problem = self.problem();
        let swing = problem.swings.get(usize::from(action.swing))?;
        let launches = swing.by_lie[swing.flies_as(self.lie) as usize].as_ref()?;
        let club = ClubShape {
            launches: launches.clone(),
            ..table.player.clubs[swing.club].clone()
        };
        let aim_deg = action.bearing_deg(f64::from(problem.pin_deg(self.at))) + turn_deg;
        let ground = table.hole.ground();
        let floor_m = (ground.lowest_m() - ground.height_m(from.x, from.y)).min(0.0) - 2.0;
        let range = [aim_deg - off_deg, aim_deg + off_deg];
        let volleys = self.points[..sets]
            .iter()
            .map(|points| Volley::fly(&club, points, table.day, range, floor_m))
            .collect();
        Some(Volleys { aim_deg, volleys })
    }

    fn rests(&self, volleys: &Volleys, turn_deg: f64) -> Vec<Rest> {
        let aim_deg = volleys.aim_deg + turn_deg;
        let volleys = volleys.volleys.iter();
        volleys
            .flat_map(|volley| play(self.table.hole, &volley.toward(aim_deg), self.from))
            .collect()
    }

    /// The aim beside a shot, so many steps either way at most, that loses least on the
    /// first few sets; none where that is the shot's own.
    pub fn best_beside(
        &self,
        action: Action,
        (beside, sets): (i32, usize),
        rules: &Rules<'_>,
    ) -> Option<Action> {
        let step_deg = |steps: i32| f64::from(steps) * AIM_STEP_DEG;
        let volleys = self.volleys(action, (0.0, step_deg(beside)), sets)?;
        let loss = |steps: i32| {
            let worths = self.rests(&volleys, step_deg(steps));
            let worths: Vec<Worth> = worths.iter().map(|rest| rules.worth(rest)).collect();
            Price::of(&worths).strokes
        };
        let own = loss(0);
        (-beside..=beside)
            .filter(|steps| *steps != 0)
            .map(|steps| (loss(steps), steps))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .filter(|best| best.0 < own)
            .map(|best| action.turned(best.1))
    }

    /// One shot on fresh balls, its aim turned by so much.
    fn fly(&self, action: Action, turn_deg: f64) -> Option<Flown> {
        let (table, from) = (self.table, self.from);
        let volleys = self.volleys(action, (turn_deg, 0.0), SETS)?;
        let aim_deg = volleys.aim_deg;
        let rests = self.rests(&volleys, 0.0);
        let count = rests.len() as f64;
        let average = |of: &dyn Fn(&Rest) -> f64| rests.iter().map(of).sum::<f64>() / count;
        let place = |of: &dyn Fn(&Rest) -> Coord<f64>| Coord {
            x: average(&|r| of(r).x),
            y: average(&|r| of(r).y),
        };
        let pin = table.hole.pin;
        let away = |a: Coord<f64>, b: Coord<f64>| (a.x - b.x).hypot(a.y - b.y);
        let share = |of: &dyn Fn(Surface) -> bool| average(&|r| f64::from(u8::from(of(r.surface))));
        Some(Flown {
            continuation: Continuation {
                action,
                aim_deg,
                landing: place(&|r| r.landed),
                rest: place(&|r| r.at),
                total_m: average(&|r| away(r.at, from)),
                carry_m: average(&|r| away(r.landed, from)),
                left_m: average(&|r| away(r.at, pin)),
                strokes: 0.0,
                standard_error: 0.0,
                costs: 0.0,
                costs_standard_error: 0.0,
                on_green: share(&|s| s == Surface::Green),
                lost: share(&|s| is_penalty(s) || s == Surface::OutOfBounds),
                by_aim: None,
            },
            rests,
        })
    }

    /// What the two sides of a shot come to. A shot at the green is judged where it
    /// finishes round the pin: its best aim has moved away from the trouble already,
    /// and hides on which side that is.
    pub fn misses(&self, flown: &Flown, judged: &Judged, rules: &Rules<'_>) -> Misses {
        let continuation = &flown.continuation;
        let turned = continuation
            .goes_for_green()
            .then(|| {
                let way =
                    |to: Coord<f64>| (to.x - self.from.x).atan2(to.y - self.from.y).to_degrees();
                let turn_deg = (way(self.table.hole.pin) - way(continuation.rest) + 540.0)
                    .rem_euclid(360.0)
                    - 180.0;
                self.fly(continuation.action, turn_deg)
            })
            .flatten();
        match turned {
            Some(turned) => {
                let judged = turned.judged(rules);
                misses(self.from, &turned, &judged)
            }
            None => misses(self.from, flown, judged),
        }
    }
}

/// The index of the least loss.
pub(super) fn least(judged: &[Judged]) -> Option<usize> {
    (0..judged.len()).min_by(|a, b| judged[*a].mean.total_cmp(&judged[*b].mean))
}

/// One shot on fresh balls.
pub(super) struct Flown {
    pub continuation: Continuation,
    pub rests: Vec<Rest>,
}

/// What a shot's balls are worth: losses, strokes as they are or what an objective
/// lacks.
#[derive(Clone)]
pub(super) struct Judged {
    pub mean: f64,
    /// Of the shot's own balls.
    pub standard_error: f64,
    /// Of the evaluation of where they lie, where that is known.
    pub evaluation_error: f64,
    pub by_set: Vec<f64>,
    pub by_ball: Vec<f64>,
}

impl Judged {
    pub fn of(worths: &[Worth]) -> Self {
        let price = Price::of(worths);
        let by_set: Vec<f64> = price
            .by_ball
            .chunks(BALLS)
            .map(|set| {
                let mean = set.iter().sum::<f64>() / set.len() as f64;
                price.strokes + (mean - price.strokes) / (1.0 - price.replayed)
            })
            .collect();
        Judged {
            mean: price.strokes,
            standard_error: mean_and_error(&by_set).1,
            evaluation_error: 0.0,
            by_set,
            by_ball: price.by_ball,
        }
    }

    /// How much more this loses than another, on the same balls, and the standard error.
    pub fn beside(&self, other: &Self) -> (f64, f64) {
        let differences: Vec<f64> = self
            .by_set
            .iter()
            .zip(&other.by_set)
            .map(|(a, b)| a - b)
            .collect();
        let (more, standard_error) = mean_and_error(&differences);
        let evaluated = self.evaluation_error.hypot(other.evaluation_error);
        (more, standard_error.hypot(evaluated))
    }
}

impl Flown {
    /// Prices the balls.
    pub fn judged(&self, rules: &Rules<'_>) -> Judged {
        let worths: Vec<Worth> = self.rests.iter().map(|r| rules.worth(r)).collect();
        Judged::of(&worths)
    }

    /// The shot as it is evaluated in strokes, beside the best in them.
    pub fn evaluated(&self, judged: &Judged, best: &Judged) -> Continuation {
        let (costs, costs_standard_error) = if std::ptr::eq(judged, best) {
            (0.0, 0.0)
        } else {
            judged.beside(best)
        };
        Continuation {
            strokes: judged.mean,
            standard_error: judged.standard_error.hypot(judged.evaluation_error),
            costs,
            costs_standard_error,
            ..self.continuation.clone()
        }
    }
}

/// The half of the balls that finishes left of the way to the middle of them
/// all, and the half that finishes right.
fn misses(from: Coord<f64>, flown: &Flown, judged: &Judged) -> Misses {
    let (rest, rests) = (flown.continuation.rest, &flown.rests);
    let (dx, dy) = (rest.x - from.x, rest.y - from.y);
    let long = dx.hypot(dy).max(1.0e-9);
    let mut by_side: Vec<(f64, f64)> = rests
        .iter()
        .zip(&judged.by_ball)
        .map(|(r, strokes)| {
            let right = ((r.at.x - from.x) * dy - (r.at.y - from.y) * dx) / long;
            (right, *strokes)
        })
        .collect();
    by_side.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (left, right) = by_side.split_at(by_side.len() / 2);
    let side = |half: &[(f64, f64)]| {
        let strokes: Vec<f64> = half.iter().map(|b| b.1).collect();
        mean_and_error(&strokes)
    };
    let ((left, left_error), (right, right_error)) = (side(left), side(right));
    Misses {
        left,
        right,
        standard_error: left_error.hypot(right_error),
    }
}

fn mean_and_error(values: &[f64]) -> (f64, f64) {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (count - 1.0).max(1.0);
    (mean, (variance / count).sqrt())
}
