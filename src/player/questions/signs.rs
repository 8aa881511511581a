//! One sign turned round: start, side, curve and axis tilt say where a ball went in more ways than
//! are needed, so that one of them against the others shows.

use super::{Asked, Logged, direction_deg, off};
use crate::diagnostic::Topic;
use crate::player::columns::Quantity;
use crate::player::shotlog::Shot;
use crate::units::YARD_M;

/// Fewest rows that have a say.
const FEWEST: usize = 6;
/// A sign is turned where the columns then agree this much better, as a share of what they were off.
const BETTER: f64 = 0.45;
/// Columns that are off by less than this agree, degrees.
const AGREES_DEG: f64 = 0.8;
/// Landing direction gained per degree of axis tilt, degrees: the bands of the trade (0.6 to 1.2 %
/// of carry) with room to either side.
const BEND: [f64; 2] = [0.2, 0.9];

/// Which columns point the wrong way, as far as it could be told.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Turned {
    start: bool,
    side: bool,
    curve: bool,
    axis: bool,
}

impl Turned {
    /// Whether one of the columns of the landing does.
    pub fn any(self) -> bool {
        self.start || self.side || self.curve
    }

    /// Whether the axis does.
    pub fn axis(self) -> bool {
        self.axis
    }

    /// The bend of a ball, degrees of direction right, by the columns that are not in question.
    pub fn bend_deg(self, shot: &Shot) -> Option<f64> {
        let sign = |turned: bool| if turned { -1.0 } else { 1.0 };
        let curve = shot
            .curve_m
            .and_then(|curve| direction_deg(curve, shot.carry_m))
            .map(|deg| sign(self.curve) * deg);
        curve.or_else(|| {
            let side = sign(self.side) * direction_deg(shot.side_m?, shot.carry_m)?;
            Some(side - sign(self.start) * shot.start_deg?)
        })
    }

    /// The tilt of the axis, degrees right, likewise.
    pub fn axis_deg(self, shot: &Shot) -> Option<f64> {
        Some(if self.axis {
            -shot.axis_deg?
        } else {
            shot.axis_deg?
        })
    }
}

pub(super) fn ask(logged: &Logged<'_>, asked: &mut Asked<'_>) -> Turned {
    let mut turned = Turned::default();
    landing(logged, asked, &mut turned);
    tilt(logged, asked, &mut turned);
    turned
}

/// Side = carry · sin(start) + curve, whoever plays.
fn landing(logged: &Logged<'_>, asked: &mut Asked<'_>, turned: &mut Turned) {
    let rows: Vec<[f64; 4]> = logged
        .sound()
        .filter_map(|shot| {
            let side = direction_deg(shot.side_m?, shot.carry_m)?;
            let curve = direction_deg(shot.curve_m?, shot.carry_m)?;
            Some([side, shot.start_deg?, curve, shot.carry_m])
        })
        .collect();
    if rows.len() < FEWEST {
        return;
    }
    let missed = |signs: [f64; 3]| -> Vec<f64> {
        rows.iter()
            .map(|[side, start, curve, _]| signs[0] * side - signs[1] * start - signs[2] * curve)
            .collect()
    };
    let as_logged = off(&missed([1.0; 3]));
    let ways = [
        (Quantity::Side, Topic::SideSign, [-1.0, 1.0, 1.0]),
        (Quantity::Start, Topic::StartSign, [1.0, -1.0, 1.0]),
        (Quantity::Curve, Topic::CurveSign, [1.0, 1.0, -1.0]),
    ];
    let best = ways
        .into_iter()
        .map(|way| (off(&missed(way.2)), way))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let Some((then, (quantity, topic, signs))) = best else {
        return;
    };
    if as_logged < AGREES_DEG || then > BETTER * as_logged {
        return;
    }
    let yd = |signs: [f64; 3]| {
        let missed: Vec<f64> = rows
            .iter()
            .zip(missed(signs))
            .map(|(row, deg)| row[3] * deg.to_radians() / YARD_M)
            .collect();
        off(&missed)
    };
    let found = format!(
        "in the middle row of {} they are {:.0} yd apart; with the sign of {} turned round, {:.1} yd",
        rows.len(),
        yd([1.0; 3]),
        logged.name(quantity),
        yd(signs)
    );
    let names = [Quantity::Start, Quantity::Curve, Quantity::Side].map(|q| logged.name(q));
    asked.question(
        topic,
        logged.place(quantity),
        [
            format!(
                "a ball that lands where its start line and its curve take it: {} and {} make {}, \
                 right positive in all three",
                names[0], names[1], names[2]
            ),
            found,
            turn(logged, quantity),
        ],
    );
    match quantity {
        Quantity::Side => turned.side = true,
        Quantity::Start => turned.start = true,
        _ => turned.curve = true,
    }
}

fn turn(logged: &Logged<'_>, quantity: Quantity) -> String {
    format!(
        "turn the sign of every {}: right is positive",
        logged.name(quantity)
    )
}

/// A ball bends to the side to which its axis tilts.
fn tilt(logged: &Logged<'_>, asked: &mut Asked<'_>, turned: &mut Turned) {
    // Bend by the columns, and tilt.
    let rows: Vec<[f64; 3]> = logged
        .sound()
        .filter_map(|shot| {
            let axis = shot.axis_deg?;
            if shot.curve_m.is_some() {
                return Some([turned.bend_deg(shot)?, 0.0, axis]);
            }
            let side = direction_deg(shot.side_m?, shot.carry_m)?;
            Some([side, shot.start_deg?, axis])
        })
        .collect();
    if rows.len() < FEWEST {
        return;
    }
    let by_curve = logged.sound().any(|shot| shot.curve_m.is_some());
    // What is left over, with the slope that suits it best.
    let fit = |signs: [f64; 3]| -> (f64, f64) {
        let pairs: Vec<[f64; 2]> = rows
            .iter()
            .map(|row| [signs[0] * row[0] - signs[1] * row[1], signs[2] * row[2]])
            .collect();
        let xy: f64 = pairs.iter().map(|[y, x]| x * y).sum();
        let xx: f64 = pairs.iter().map(|[_, x]| x * x).sum();
        let slope = (xy / xx.max(1e-9)).clamp(BEND[0], BEND[1]);
        let left: Vec<f64> = pairs.iter().map(|[y, x]| y - slope * x).collect();
        (off(&left), xy / xx.max(1e-9))
    };
    let (as_logged, slope) = fit([1.0; 3]);
    let mut ways = vec![(Quantity::Axis, Topic::AxisSign, [1.0, 1.0, -1.0])];
    if !by_curve {
        ways.push((Quantity::Start, Topic::StartSign, [1.0, -1.0, 1.0]));
        ways.push((Quantity::Side, Topic::SideSign, [-1.0, 1.0, 1.0]));
    }
    let best = ways
        .into_iter()
        .map(|way| (fit(way.2).0, way))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let Some((then, (quantity, topic, signs))) = best else {
        return;
    };
    if as_logged < AGREES_DEG || then > BETTER * as_logged {
        return;
    }
    let bend = logged.bend(by_curve);
    let found = format!(
        "over {} rows a degree of tilt to the right bends the ball {:.1} % of its carry to the \
         {}; with the sign of {} turned round, {:.1} % to the right",
        rows.len(),
        100.0 * slope.abs().to_radians(),
        if slope < 0.0 { "left" } else { "right" },
        logged.name(quantity),
        100.0 * fit(signs).1.to_radians()
    );
    let also = if by_curve {
        format!(
            " (or of every {}, if that is the wrong one)",
            logged.name(Quantity::Curve)
        )
    } else {
        String::new()
    };
    asked.question(
        topic,
        logged.place(quantity),
        [
            format!(
                "a ball that bends to the side to which {} tilts, by 0.6 to 1.2 % of its carry a \
                 degree, as seen in {bend}",
                logged.name(Quantity::Axis)
            ),
            found,
            format!("{}{also}", turn(logged, quantity)),
        ],
    );
    match quantity {
        Quantity::Axis => turned.axis = true,
        Quantity::Start => turned.start = true,
        _ => turned.side = true,
    }
}
