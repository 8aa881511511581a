//! The middle of the hole at a distance: what "down the middle" means.

use crate::hole::{Coord, Hole, Surface};

/// Furthest that a fairway's edge is looked for from the line of play, m.
const LOOK_M: f64 = 60.0;
/// How finely, m.
const STEP_M: f64 = 0.5;

/// The middle of the hole at `distance_m` from `peg`: the middle of the fairway
/// (or green) square to the line of play there, the piece nearest to the line;
/// the line of play itself where there is none; the pin when it is nearer than
/// `distance_m`.
#[must_use]
pub fn middle(hole: &Hole, peg: Coord<f64>, distance_m: f64) -> Coord<f64> {
    let to_pin = (hole.pin.x - peg.x).hypot(hole.pin.y - peg.y);
    if to_pin <= distance_m + 5.0 {
        return hole.pin;
    }
    let (at, along) = on_line_of_play(hole, peg, distance_m);
    let right = [along[1], -along[0]];
    let point = |offset: f64| Coord {
        x: at.x + right[0] * offset,
        y: at.y + right[1] * offset,
    };
    let mown = |offset: f64| {
        matches!(
            hole.surface_at(point(offset)),
            Surface::Fairway | Surface::Green | Surface::Tee
        )
    };
    // The mown stretch nearest to the line.
    let steps = (LOOK_M / STEP_M) as i32;
    let nearest = (0..=steps)
        .flat_map(|k| [f64::from(k) * STEP_M, -f64::from(k) * STEP_M])
        .find(|offset| mown(*offset));
    let Some(nearest) = nearest else { return at };
    let edge = |sign: f64| {
        let mut offset = nearest;
        while mown(offset + sign * STEP_M) && offset.abs() < 2.0 * LOOK_M {
            offset += sign * STEP_M;
        }
        offset
    };
    point((edge(1.0) + edge(-1.0)) / 2.0)
}

/// The first point of the line of play that is ahead of `from` and `distance_m` from it, and
/// the line's direction there (unit, east and north). The line may begin far behind a
/// forward tee, and a tee may stand beside it: what is behind is passed over, and a point
/// counts as ahead only where the line has gone on by half the distance at least.
#[must_use]
pub fn on_line_of_play(hole: &Hole, from: Coord<f64>, distance_m: f64) -> (Coord<f64>, [f64; 2]) {
    let away = |p: Coord<f64>| (p.x - from.x).hypot(p.y - from.y);
    let ahead_m = hole.beside_line_of_play(from).along_m + distance_m / 2.0;
    let mut last = (hole.pin, [0.0, 1.0]);
    let mut passed_m = 0.0;
    for leg in hole.line_of_play.windows(2) {
        let (a, b) = (leg[0], leg[1]);
        let length = (b.x - a.x).hypot(b.y - a.y);
        if length == 0.0 {
            continue;
        }
        let along = [(b.x - a.x) / length, (b.y - a.y) / length];
        last = (b, along);
        let steps = (length / STEP_M).ceil().max(1.0);
        for step in 0..=(steps as usize) {
            let part = step as f64 / steps;
            let p = Coord {
                x: a.x + (b.x - a.x) * part,
                y: a.y + (b.y - a.y) * part,
            };
            if passed_m + part * length >= ahead_m && away(p) >= distance_m {
                return (p, along);
            }
        }
        passed_m += length;
    }
    last
}

/// Bearing from one point to another, degrees from 0 to 360.
#[must_use]
pub fn bearing_deg(from: Coord<f64>, to: Coord<f64>) -> f64 {
    (to.x - from.x)
        .atan2(to.y - from.y)
        .to_degrees()
        .rem_euclid(360.0)
}

/// The turn from one bearing to another, −180 to 180, right positive.
#[must_use]
pub fn turn_deg(from_deg: f64, to_deg: f64) -> f64 {
    (to_deg - from_deg + 180.0).rem_euclid(360.0) - 180.0
}
