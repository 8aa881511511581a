//! The way home: what comes after the tee shot.
//!
//! From a place, every swing and aim of the [`problem`](super::problem) is
//! priced by the solved values; the best of every swing, and the best for every
//! distance that it may leave, are then flown from there on fresh balls over the
//! true ground and priced again, all on the same balls, so that a difference has
//! a standard error and a tie can be called one.

use rayon::prelude::*;

use super::action::Action;
use super::answer::Whole;
use super::held::Told;
use super::lie::Lie;
use super::swing::Kind;
use crate::hole::{Coord, Hole, Surface};
use crate::outcome::{Day, Rest, Volley, is_penalty, play};
use crate::player::{ClubShape, Player};
use crate::sample::points;
use crate::strategy::rules::{Price, Rules, Worth};

/// Fresh balls: independent sets, balls a set.
const SETS: usize = 8;
const BALLS: usize = 256;
/// Swings that are priced on fresh balls, beside the best for every distance left.
const SWINGS: usize = 6;
/// Distances left are told apart by this, m (about 20 yd).
const BIN_M: f64 = 18.3;
/// A shot that leaves less than this on average goes for the green, m.
const AT_GREEN_M: f64 = 27.0;
/// A lay-up leaves at least this, m (about 30 yd).
const LAY_UP_M: f64 = 27.0;
/// Shots that cost more than this on the solver's balls are not looked at again.
const HOPELESS: f64 = 0.9;

/// One way to play on.
#[derive(Clone, Debug)]
pub struct Onward {
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
}

impl Onward {
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
    /// Strokes to hole out, this one included, of the half that finishes left.
    pub left: f64,
    /// Of the half that finishes right.
    pub right: f64,
    /// Standard error of the difference.
    pub standard_error: f64,
}

/// What comes after the tee shot.
#[derive(Clone, Debug)]
pub struct WayHome {
    /// From where.
    pub from: Coord<f64>,
    /// What lies there.
    pub surface: Surface,
    /// How far the pin is, m.
    pub to_pin_m: f64,
    /// The shot to play.
    pub choice: Onward,
    /// Its two sides.
    pub misses: Misses,
    /// The best of every other swing, best first.
    pub others: Vec<Onward>,
    /// The best for every distance left that is no shot at the green, best
    /// first; the choice itself where it is one.
    pub lay_ups: Vec<Onward>,
}

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

/// The middle of the likely landing: of the balls that are played where they
/// lie on no green, the one nearest to the middle of all of them. None where
/// fewer than half are.
#[must_use]
pub fn middle_of(rests: &[Rest]) -> Option<(Coord<f64>, Surface)> {
    let playable: Vec<&Rest> = rests
        .iter()
        .filter(|r| {
            !is_penalty(r.surface) && !matches!(r.surface, Surface::OutOfBounds | Surface::Green)
        })
        .collect();
    if 2 * playable.len() < rests.len() || playable.is_empty() {
        return None;
    }
    let median = |of: fn(&Rest) -> f64| {
        let mut all: Vec<f64> = playable.iter().map(|r| of(r)).collect();
        all.sort_by(f64::total_cmp);
        all[all.len() / 2]
    };
    let middle = [median(|r| r.at.x), median(|r| r.at.y)];
    playable
        .iter()
        .min_by(|a, b| {
            let away = |r: &Rest| (r.at.x - middle[0]).hypot(r.at.y - middle[1]);
            away(a).total_cmp(&away(b))
        })
        .map(|r| (r.at, r.surface))
}

/// The way home from a place; none where nothing can be played from it.
#[must_use]
pub fn way_home(table: &Table<'_>, from: Coord<f64>, surface: Surface) -> Option<WayHome> {
    let lie = Lie::on(surface)?;
    let problem = table.whole.explicit.problem();
    let at = [from.x as f32, from.y as f32];
    let to_pin_m = problem.to_pin_m(at);
    let candidates = short_list(table, at, lie);
    let told = Told(table.whole);
    let rules = Rules::new(table.hole, &told, table.player.club_length_m);
    let flown: Vec<Flown> = candidates
        .into_par_iter()
        .filter_map(|action| fly(table, &rules, from, lie, action, 0.0))
        .collect();
    let best = flown
        .iter()
        .enumerate()
        .filter(|(_, f)| f.onward.strokes.is_finite())
        .min_by(|a, b| a.1.onward.strokes.total_cmp(&b.1.onward.strokes))?
        .0;
    let by_set = flown[best].by_set.clone();
    let mut all: Vec<Onward> = flown
        .iter()
        .filter(|f| f.onward.strokes.is_finite())
        .map(|f| {
            let differences: Vec<f64> = f.by_set.iter().zip(&by_set).map(|(a, b)| a - b).collect();
            let (costs, costs_standard_error) = mean_and_error(&differences);
            Onward {
                costs,
                costs_standard_error,
                ..f.onward.clone()
            }
        })
        .collect();
    all.sort_by(|a, b| a.strokes.total_cmp(&b.strokes));
    let choice = all[0].clone();
    // A shot at the green is judged where it finishes round the pin: its best aim
    // has moved away from the trouble already, and hides on which side that is.
    let misses = if choice.goes_for_green() {
        let pin = table.hole.pin;
        let way = |to: Coord<f64>| (to.x - from.x).atan2(to.y - from.y).to_degrees();
        let turn_deg = (way(pin) - way(choice.rest) + 540.0).rem_euclid(360.0) - 180.0;
        fly(table, &rules, from, lie, choice.action, turn_deg)
            .map_or(flown[best].misses, |f| f.misses)
    } else {
        flown[best].misses
    };
    let mut others: Vec<Onward> = Vec::new();
    for onward in &all[1..] {
        let club = |o: &Onward| problem.swings[usize::from(o.action.swing)].club;
        let known = std::iter::once(&choice)
            .chain(&others)
            .any(|o| club(o) == club(onward) && o.goes_for_green() == onward.goes_for_green());
        if !known {
            others.push(onward.clone());
        }
    }
    let mut lay_ups: Vec<Onward> = Vec::new();
    for onward in all
        .iter()
        .filter(|o| !o.goes_for_green() && o.left_m >= LAY_UP_M)
    {
        if lay_ups
            .iter()
            .all(|o| (o.left_m - onward.left_m).abs() >= 0.75 * BIN_M)
        {
            lay_ups.push(onward.clone());
        }
    }
    Some(WayHome {
        from,
        surface,
        to_pin_m,
        misses,
        choice,
        others,
        lay_ups,
    })
}

/// The best aim of the best swings, and of the best for every distance left.
fn short_list(table: &Table<'_>, at: [f32; 2], lie: Lie) -> Vec<Action> {
    let problem = table.whole.explicit.problem();
    let mut actions = Vec::new();
    problem.actions(at, lie, false, &mut actions);
    let here = table.whole.explicit.rough_value(at, lie);
    let priced: Vec<(f64, f64, Action)> = actions
        .par_iter()
        .map(|&action| {
            let (strokes, left_m) = quick_price(table, at, lie, action, here);
            (strokes, left_m, action)
        })
        .collect();
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
        let (strokes, left_m, action) = priced[i];
        if strokes > least + HOPELESS {
            break;
        }
        let bin = (left_m / BIN_M).floor() as i64;
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

/// Rough strokes and the way left of an action.
fn quick_price(table: &Table<'_>, at: [f32; 2], lie: Lie, action: Action, here: f64) -> (f64, f64) {
    let problem = table.whole.explicit.problem();
    let strokes = table.whole.explicit.rough_price(at, lie, here, action);
    let left_m = problem
        .total_m(usize::from(action.swing), lie, problem.pin_deg(at))
        .map_or(0.0, |total_m| {
            // As the template flies it: near enough to sort by distance left.
            let turn = f64::from(action.aim) * super::action::AIM_STEP_DEG;
            let (sin, cos) = turn.to_radians().sin_cos();
            let to_pin = problem.to_pin_m(at);
            (to_pin - total_m * cos).hypot(total_m * sin)
        });
    (strokes, left_m)
}

/// One shot on fresh balls.
struct Flown {
    onward: Onward,
    by_set: Vec<f64>,
    misses: Misses,
}

fn fly(
    table: &Table<'_>,
    rules: &Rules<'_>,
    from: Coord<f64>,
    lie: Lie,
    action: Action,
    turn_deg: f64,
) -> Option<Flown> {
    let problem = table.whole.explicit.problem();
    let swing = problem.swings.get(usize::from(action.swing))?;
    let launches = swing.by_lie[swing.flies_as(lie) as usize].as_ref()?;
    let club = ClubShape {
        launches: launches.clone(),
        ..table.player.clubs[swing.club.unwrap_or(0)].clone()
    };
    let pin_deg = problem.pin_deg([from.x as f32, from.y as f32]);
    let aim_deg = action.bearing_deg(f64::from(pin_deg)) + turn_deg;
    let ground = table.hole.ground();
    let floor_m = (ground.lowest_m() - ground.height_m(from.x, from.y)).min(0.0) - 2.0;
    let rests: Vec<Rest> = (0..SETS)
        .flat_map(|set| {
            // Apart from the seeds of the tee's own balls.
            let seed = table
                .seed
                .wrapping_mul(0x85EB_CA6B)
                .wrapping_add(1_000 + set as u32);
            let volley = Volley::fly(
                &club,
                &points(seed, BALLS),
                table.day,
                [aim_deg; 2],
                floor_m,
            );
            play(table.hole, &volley.toward(aim_deg), from)
        })
        .collect();
    let worths: Vec<Worth> = rests.iter().map(|r| rules.worth(r)).collect();
    let price = Price::of(&worths);
    let by_set: Vec<f64> = price
        .by_ball
        .chunks(BALLS)
        .map(|set| {
            let mean = set.iter().sum::<f64>() / set.len() as f64;
            price.strokes + (mean - price.strokes) / (1.0 - price.replayed)
        })
        .collect();
    let count = rests.len() as f64;
    let average = |of: &dyn Fn(&Rest) -> f64| rests.iter().map(of).sum::<f64>() / count;
    let place = |of: &dyn Fn(&Rest) -> Coord<f64>| Coord {
        x: average(&|r| of(r).x),
        y: average(&|r| of(r).y),
    };
    let pin = table.hole.pin;
    let away = |a: Coord<f64>, b: Coord<f64>| (a.x - b.x).hypot(a.y - b.y);
    let rest = place(&|r| r.at);
    let (strokes, standard_error) = (price.strokes, mean_and_error(&by_set).1);
    let share = |of: &dyn Fn(Surface) -> bool| average(&|r| f64::from(u8::from(of(r.surface))));
    Some(Flown {
        misses: misses(from, rest, &rests, &price),
        onward: Onward {
            action,
            aim_deg,
            landing: place(&|r| r.landed),
            rest,
            total_m: average(&|r| away(r.at, from)),
            carry_m: average(&|r| away(r.landed, from)),
            left_m: average(&|r| away(r.at, pin)),
            strokes,
            standard_error,
            costs: 0.0,
            costs_standard_error: 0.0,
            on_green: share(&|s| s == Surface::Green),
            lost: share(&|s| is_penalty(s) || s == Surface::OutOfBounds),
        },
        by_set,
    })
}

/// The half of the balls that finishes left of the way to the middle of them
/// all, and the half that finishes right.
fn misses(from: Coord<f64>, rest: Coord<f64>, rests: &[Rest], price: &Price) -> Misses {
    let (dx, dy) = (rest.x - from.x, rest.y - from.y);
    let long = dx.hypot(dy).max(1.0e-9);
    let mut by_side: Vec<(f64, f64)> = rests
        .iter()
        .zip(&price.by_ball)
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
