//! The hole as a landscape: strokes still to play over the ground where the tee shot's balls end.
//!
//! A place's strokes are the evaluation's, on fresh samples ([`Whole::worth`]), blended from the
//! states around. A state has a few dozen samples of its own, so that neighbours on the same surface
//! are averaged by a Gaussian kernel. Where hardly any of the tee shot's balls ends there are none.

use geo::Coord;

use super::Planner;
use crate::hole::plane::Plane;
use crate::hole::{Hole, Surface};
use crate::outcome::{Rest, is_penalty};
use crate::plan::landscape::Landscape;
use crate::plan::{LonLat, round};
use crate::strategy::Decision;
use crate::strategy::whole::Whole;
use crate::strategy::whole::held::shares;

/// From a place of the lattice to the next, m.
const STEP_M: f64 = 4.0;
/// Around all balls but one in this many on each side, so much more, m.
const OUTSIDE: usize = 100;
const MARGIN_M: f64 = 24.0;
/// Most places in a row or column.
const MOST: usize = 90;
/// At least so many balls end so near to a place that has strokes, m.
const LEAST: usize = 3;
const NEAR_M: f64 = 12.0;
/// Standard deviation of the kernel, and how far it reaches, in steps.
const KERNEL: f64 = 2.5;
const REACH: isize = 5;

impl Planner<'_> {
    /// The landscape under a decision's balls; none where it has no ball.
    pub(super) fn landscape_of(&self, decision: &Decision, solved: &Whole) -> Option<Landscape> {
        let [west, east, south, north] = around(&decision.choice.rests)?;
        let count = |from: f64, to: f64| (((to - from) / STEP_M).ceil() as usize + 1).min(MOST);
        let (columns, rows) = (count(west, east), count(south, north));
        let place = |column: usize, row: usize| Coord {
            x: west + column as f64 * STEP_M,
            y: south + row as f64 * STEP_M,
        };
        let balls: Vec<Coord<f64>> = decision.choice.rests.iter().map(|rest| rest.at).collect();
        let is_under = |at: Coord<f64>| {
            let near = balls
                .iter()
                .filter(|ball| (ball.x - at.x).hypot(ball.y - at.y) < NEAR_M);
            near.take(LEAST).count() == LEAST
        };
        let cells: Vec<(Surface, Option<f64>)> = (0..rows)
            .flat_map(|row| (0..columns).map(move |column| (column, row)))
            .map(|(column, row)| {
                let at = place(column, row);
                let surface = self.hole.surface_at(at);
                let strokes = strokes(solved, surface, at).filter(|_| is_under(at));
                (surface, strokes)
            })
            .collect();
        let [lon, lat] = plane(self.hole).to_lon_lat(place(0, 0));
        Some(Landscape {
            origin: LonLat {
                lon: round::lon_lat(lon),
                lat: round::lon_lat(lat),
            },
            step_m: STEP_M,
            columns,
            strokes: (0..cells.len())
                .map(|cell| smooth(&cells, columns, cell).map(round::strokes))
                .collect(),
        })
    }
}

fn plane(hole: &Hole) -> Plane {
    Plane::new(hole.origin_lon_lat)
}

/// West, east, south and north of the balls, a margin around them; the outermost left out.
fn around(rests: &[Rest]) -> Option<[f64; 4]> {
    let ends = |of: fn(&Rest) -> f64| {
        let mut all: Vec<f64> = rests.iter().map(of).filter(|v| v.is_finite()).collect();
        all.sort_by(f64::total_cmp);
        let out = all.len() / OUTSIDE;
        let low = all.get(out).copied()?;
        let high = all.get(all.len().checked_sub(1 + out)?).copied()?;
        Some([low - MARGIN_M, high + MARGIN_M])
    };
    let [west, east] = ends(|rest| rest.at.x)?;
    let [south, north] = ends(|rest| rest.at.y)?;
    Some([west, east, south, north])
}

/// Strokes to hole out from a place where balls were played from.
fn strokes(solved: &Whole, surface: Surface, at: Coord<f64>) -> Option<f64> {
    if is_penalty(surface) || surface == Surface::OutOfBounds {
        return None;
    }
    if surface == Surface::Green {
        return Some(solved.evaluating().value(surface, at)).filter(|v| v.is_finite());
    }
    let near = shares(&solved.evaluated, surface, at);
    if near.is_empty() {
        return None;
    }
    let value = |state: u32| solved.worth.value.get(state as usize).copied();
    let all: f64 = near
        .into_iter()
        .map(|(share, state)| share * value(state).unwrap_or(f64::INFINITY))
        .sum();
    Some(all).filter(|v| v.is_finite())
}

/// A cell's strokes averaged with those of its neighbours on the same surface.
fn smooth(cells: &[(Surface, Option<f64>)], columns: usize, cell: usize) -> Option<f64> {
    let (surface, own) = cells[cell];
    own?;
    let (column, row) = ((cell % columns) as isize, (cell / columns) as isize);
    let (mut sum, mut weights) = (0.0, 0.0);
    for down in -REACH..=REACH {
        for right in -REACH..=REACH {
            let (x, y) = (column + right, row + down);
            if x < 0 || y < 0 || x >= columns as isize {
                continue;
            }
            let there = cells.get(y as usize * columns + x as usize);
            if let Some((of, Some(strokes))) = there
                && *of == surface
            {
                let away = (right * right + down * down) as f64;
                let weight = (-0.5 * away / (KERNEL * KERNEL)).exp();
                sum += weight * strokes;
                weights += weight;
            }
        }
    }
    Some(sum / weights)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A plane stays a plane inside, an edge between surfaces stays, what is not known stays so.
    #[test]
    fn smoothing_keeps_slopes_and_edges() {
        let columns = 20;
        let cells: Vec<(Surface, Option<f64>)> = (0..400)
            .map(|k| {
                let (column, row) = (k % columns, k / columns);
                let surface = if column < 10 {
                    Surface::Fairway
                } else {
                    Surface::Rough
                };
                let more = if column < 10 { 0.0 } else { 0.3 };
                let strokes = 3.0 + more - 0.01 * row as f64;
                (surface, (column != 15).then_some(strokes))
            })
            .collect();
        let at = |column: usize, row: usize| smooth(&cells, columns, row * columns + column);
        assert!((at(5, 10).expect("known") - 2.9).abs() < 1e-9);
        assert!((at(9, 10).expect("known") - 2.9).abs() < 1e-9);
        assert!((at(10, 10).expect("known") - 3.2).abs() < 1e-9);
        assert_eq!(at(15, 10), None);
    }

    #[test]
    fn no_balls_have_no_landscape() {
        assert_eq!(around(&[]), None);
    }
}
