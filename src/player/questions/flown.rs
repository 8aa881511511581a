//! Launches that are flown, row by row, against where the balls went: an axis of other rows or in
//! radians, a launch, a spin or a speed of other rows.
//!
//! Devices differ in how far a degree of tilt bends a ball, and a wind adds the same to all bends:
//! slope and offset are fitted, and the correlation alone is tested.

use super::constant::figure;
use super::signs::Turned;
use super::{Asked, Logged, direction_deg};
use crate::diagnostic::Topic;
use crate::player::columns::Quantity;
use crate::player::group::median;
use crate::player::invert::{Landing, Range};
use crate::player::pattern::{ANGLE, AXIS, SPEED, SPIN};
use crate::player::shotlog::Shot;

/// Fewest rows that are tested, and those for a column shifted by some rows.
const FEWEST: usize = 8;
const FEWEST_MOVED: usize = 30;
/// Most rows that are flown.
const MOST: usize = 150;
/// Rows by which a column is moved, one way or the other.
const MOVED: usize = 6;
/// Bends that spread less than this say nothing, degrees.
const SPREAD_DEG: f64 = 1.0;
/// A bend that is off by more counts as so much, degrees.
const FAR_DEG: f64 = 10.0;
/// The axis is unrelated to the bend if it leaves more than this share of the spread unexplained.
const UNEXPLAINED: f64 = 0.6;
/// The same where a shift by some rows fits, and the fewest rows for it.
const UNEXPLAINED_MOVED: f64 = 0.25;
const MANY: usize = 20;
/// A mistake explains the residuals if undoing it leaves at most this share of them.
const RESIDUAL_SHARE: f64 = 0.3;
/// Slope of logged bends over flown ones that devices may have.
const FARTHER: [f64; 2] = [0.4, 2.5];
/// A larger slope means an axis in radians.
const RADIANS: f64 = 15.0;
/// Carries that are off by less agree, as a logarithm.
const CARRY_AGREES: f64 = 0.002;

fn five(shot: &Shot) -> Option<[f64; 5]> {
    let mut five = [0.0; 5];
    five[SPEED] = shot.ball_speed_m_s?;
    five[ANGLE] = shot.launch_deg?;
    five[SPIN] = shot.spin_rpm?;
    five[AXIS] = shot.axis_deg.unwrap_or(0.0);
    (shot.carry_m > 20.0).then_some(five)
}

pub(super) fn ask(logged: &Logged<'_>, turned: Turned, same: &[Quantity], asked: &mut Asked<'_>) {
    let mut rows: Vec<(&Shot, [f64; 5])> = logged
        .sound()
        .filter_map(|shot| Some((shot, five(shot)?)))
        .collect();
    rows.sort_by_key(|(shot, _)| shot.line);
    rows.truncate(MOST);
    let range = Range::new(&logged.about.weather);
    if !turned.axis() && !same.contains(&Quantity::Axis) {
        axis(logged, turned, &range, &rows, asked);
    }
    if rows.len() >= FEWEST_MOVED {
        moved(logged, &range, &rows, asked);
    }
}

fn spread(figures: &[f64]) -> f64 {
    let middle = median(figures.iter().copied());
    1.4826 * median(figures.iter().map(|x| (x - middle).abs()))
}

/// The same from the mean, rows far out cut off: a driver's few rows among wedges count.
fn mean_spread(figures: &[f64]) -> f64 {
    let middle = median(figures.iter().copied());
    let far = figures.iter().map(|x| (x - middle).abs().min(FAR_DEG));
    1.2533 * far.sum::<f64>() / (figures.len() as f64).max(1.0)
}

/// What a straight line through (tilt, bend) leaves, about its middle, and its slope.
fn left(pairs: &[[f64; 2]]) -> (f64, f64) {
    let middle: [f64; 2] = std::array::from_fn(|k| median(pairs.iter().map(|pair| pair[k])));
    let (mut xy, mut xx) = (0.0, 0.0);
    for [x, y] in pairs {
        xy += (x - middle[0]) * (y - middle[1]);
        xx += (x - middle[0]) * (x - middle[0]);
    }
    let slope = xy / xx.max(1e-9);
    let used = slope.clamp(FARTHER[0], FARTHER[1]);
    let rest: Vec<f64> = pairs.iter().map(|[x, y]| y - used * x).collect();
    (mean_spread(&rest), slope)
}

fn axis(
    logged: &Logged<'_>,
    turned: Turned,
    range: &Range,
    rows: &[(&Shot, [f64; 5])],
    asked: &mut Asked<'_>,
) {
    let mut told: Vec<(f64, [f64; 5], usize)> = Vec::new();
    for (shot, five) in rows {
        if let (Some(bend), Some(_)) = (turned.bend_deg(shot), shot.axis_deg) {
            told.push((bend, *five, told.len()));
        }
    }
    if told.len() < FEWEST {
        return;
    }
    let fives: Vec<[f64; 5]> = told.iter().map(|(_, five, _)| *five).collect();
    let bends: Vec<f64> = told.iter().map(|(bend, ..)| *bend).collect();
    // Degrees of bend for a degree of tilt; tilts are small enough for a straight line.
    let per_deg: Vec<f64> = {
        let mut tilted = fives.clone();
        for five in &mut tilted {
            five[AXIS] = 10.0;
        }
        let flown = range.land(&tilted);
        let bend = |l: &Landing| direction_deg(l.curve_m, l.carry_m).unwrap_or(0.0) / 10.0;
        flown.iter().map(bend).collect()
    };
    let pairs: Vec<[f64; 2]> = (0..told.len())
        .map(|i| [per_deg[i] * fives[i][AXIS], bends[i]])
        .collect();
    let of_bends = mean_spread(&bends);
    let (off, slope) = left(&pairs);
    if of_bends < SPREAD_DEG {
        return;
    }
    let in_radians = slope > RADIANS;
    let best = (1..=MOVED)
        .flat_map(|by| [(by, false), (by, true)])
        .filter(|(by, _)| told.len() >= by + FEWEST)
        .map(|(by, up)| {
            let pairs: Vec<[f64; 2]> = (0..told.len() - by)
                .map(|i| {
                    let (own, other) = if up { (i, i + by) } else { (i + by, i) };
                    [per_deg[own] * fives[other][AXIS], bends[own]]
                })
                .collect();
            (left(&pairs).0, by, up)
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .filter(|(then, ..)| *then < RESIDUAL_SHARE * off);
    // If a shift by some rows fits, a lower unexplained share is enough.
    let of_others = best.is_some() && told.len() >= MANY && off > UNEXPLAINED_MOVED * of_bends;
    if off < UNEXPLAINED * of_bends && !in_radians && !of_others {
        return;
    }
    let name = logged.name(Quantity::Axis);
    let any_sign: Vec<f64> = pairs
        .iter()
        .map(|[x, y]| (y - x).abs().min((y + x).abs()))
        .collect();
    let (undone, remedy) = if in_radians {
        (
            format!("; read in radians {name} would explain it"),
            format!("write {name} in degrees"),
        )
    } else if let Some((_, by, up)) = best {
        let way = if up { "up" } else { "down" };
        (
            format!("; with {name} moved {way} by {by} rows it does"),
            format!("put every {name} into the row of its own shot"),
        )
    } else if mean_spread(&any_sign) < RESIDUAL_SHARE * off {
        (
            format!("; with the sign of {name} turned round in some rows it does"),
            format!("give every {name} its sign: right is positive, left negative"),
        )
    } else {
        (
            String::new(),
            format!("leave {name} out where it was not measured"),
        )
    };
    let bend = logged.bend(logged.sound().any(|shot| shot.curve_m.is_some()));
    asked.question(
        Topic::AxisAndCurve,
        logged.place(Quantity::Axis),
        [
            format!("{bend} that goes with {name}: the ball bends to the side of its tilt"),
            format!(
                "over {} rows the bend spreads by {of_bends:.1}\u{b0}, and by {off:.1}\u{b0} beside \
                 what the tilt makes of it{undone}",
                pairs.len()
            ),
            remedy,
        ],
    );
}

/// Carries that fit the launches to the digit once a column is moved by some rows.
fn moved(logged: &Logged<'_>, range: &Range, rows: &[(&Shot, [f64; 5])], asked: &mut Asked<'_>) {
    let off = |pairs: &[(f64, [f64; 5])]| {
        let fives: Vec<[f64; 5]> = pairs.iter().map(|(_, five)| *five).collect();
        let logs: Vec<f64> = range
            .land(&fives)
            .iter()
            .zip(pairs)
            .map(|(landing, (carry_m, _))| (carry_m / landing.carry_m.max(0.1)).ln())
            .collect();
        spread(&logs)
    };
    let carries: Vec<(f64, [f64; 5])> = rows.iter().map(|(s, five)| (s.carry_m, *five)).collect();
    let as_logged = off(&carries);
    if as_logged < CARRY_AGREES {
        return;
    }
    let mut best: Option<(f64, Quantity, usize, bool)> = None;
    for (quantity, k) in [
        (Quantity::BallSpeed, Some(SPEED)),
        (Quantity::Launch, Some(ANGLE)),
        (Quantity::Spin, Some(SPIN)),
        (Quantity::Carry, None),
    ] {
        for by in 1..=MOVED.min(rows.len() - FEWEST) {
            for up in [false, true] {
                let pairs: Vec<(f64, [f64; 5])> = (0..rows.len() - by)
                    .filter_map(|i| {
                        let (own, other) = if up { (i, i + by) } else { (i + by, i) };
                        let figure = figure(rows[other].0, quantity)?;
                        let (mut carry_m, mut five) = carries[own];
                        match k {
                            Some(k) => five[k] = figure,
                            None => carry_m = figure,
                        }
                        Some((carry_m, five))
                    })
                    .collect();
                let then = off(&pairs);
                if best.is_none_or(|(least, ..)| then < least) {
                    best = Some((then, quantity, by, up));
                }
            }
        }
    }
    let Some((_, quantity, by, up)) = best.filter(|(then, ..)| *then < RESIDUAL_SHARE * as_logged)
    else {
        return;
    };
    let name = logged.name(quantity);
    asked.question(
        Topic::LaunchAndCarry,
        logged.place(quantity),
        [
            format!(
                "{} that goes with {}, launch and spin from row to row",
                logged.name(Quantity::Carry),
                logged.name(Quantity::BallSpeed)
            ),
            format!(
                "over {} rows it is {:.1} % off; with {name} moved {} by {by} rows it fits",
                rows.len(),
                100.0 * as_logged,
                if up { "up" } else { "down" }
            ),
            format!("put every {name} into the row of its own shot"),
        ],
    );
}
