//! Where a ball crossed into a penalty area.

use super::is_penalty;
use crate::hole::{Coord, Hole};

/// Where the ball's way over the ground last crossed the edge of the penalty
/// area that it lies in: back along bounce and roll, then along the flight.
pub(super) fn last_crossing(
    hole: &Hole,
    airborne: impl DoubleEndedIterator<Item = Coord<f64>>,
    landed: Coord<f64>,
    track: &[[f64; 2]],
    at: Coord<f64>,
) -> Coord<f64> {
    let mut inside = at;
    let on_ground = track.iter().rev().map(|p| Coord { x: p[0], y: p[1] });
    // The stored flight goes on below the ground: leave out what lies past the landing.
    let mut past_landing = true;
    let mut nearest = f64::INFINITY;
    let in_air = airborne.rev().skip_while(move |p| {
        let distance = apart_m(*p, landed);
        past_landing = past_landing && distance < nearest;
        nearest = distance;
        past_landing
    });
    for point in on_ground.chain([landed]).chain(in_air) {
        let length = apart_m(point, inside);
        let steps = length.ceil().max(1.0);
        let from = inside;
        let mut step = 0;
        while step < steps as usize {
            // Nothing but penalty areas for so many steps more.
            let same = hole.to_change_m(inside) * steps / length.max(1.0);
            step = (step + (same as usize).max(1)).min(steps as usize);
            let part = step as f64 / steps;
            let here = Coord {
                x: from.x + (point.x - from.x) * part,
                y: from.y + (point.y - from.y) * part,
            };
            if is_penalty(hole.surface_at(here)) {
                inside = here;
            } else {
                return edge_between(hole, inside, here);
            }
        }
    }
    inside
}

/// `f64::hypot` guards against overflow at several times the cost.
fn apart_m(a: Coord<f64>, b: Coord<f64>) -> f64 {
    let (dx, dy) = (a.x - b.x, a.y - b.y);
    (dx * dx + dy * dy).sqrt()
}

/// The edge between a point inside a penalty area and one outside, to 1 cm,
/// on the outside.
fn edge_between(hole: &Hole, mut inside: Coord<f64>, mut outside: Coord<f64>) -> Coord<f64> {
    while apart_m(inside, outside) > 0.01 {
        let middle = Coord {
            x: (inside.x + outside.x) / 2.0,
            y: (inside.y + outside.y) / 2.0,
        };
        if is_penalty(hole.surface_at(middle)) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    outside
}
