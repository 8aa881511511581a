//! Where a ball in a penalty area may be dropped (Rule 17.1d), cell by cell.
//!
//! A ball in a penalty area crossed its edge where the way back along the shot
//! leaves the area. Every crossing is a *node*: the cells that back-on-the-line
//! and, from a red area, lateral relief give from there. Stroke and distance
//! is the solver's business: it needs to know where the shot was played from.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::clear::between_cells;
use super::grid::Grid;
use crate::hole::{Coord, Surface};
use crate::outcome::is_penalty;
use crate::strategy::rules::{around, back_on_the_line};

/// Directions that a shot can come from.
pub(super) const SECTORS: usize = 24;
/// No drop: stroke and distance alone.
pub(super) const NOWHERE: u32 = u32::MAX;

/// Every crossing of a hole, and which one a ball in a cell has.
#[derive(Clone, Debug, Default)]
pub(super) struct Relief {
    /// Index of a penalty cell among penalty cells; [`NOWHERE`] for others.
    place: Vec<u32>,
    /// `[place · SECTORS + sector]`: the node, or [`NOWHERE`].
    node: Vec<u32>,
    /// Cells a ball may be dropped in, by node.
    pub drops: Vec<Vec<u32>>,
}

impl Relief {
    pub fn of(grid: &Grid, pin: Coord<f64>, lateral_m: f64) -> Self {
        let mut out = Self {
            place: vec![NOWHERE; grid.len()],
            ..Self::default()
        };
        let mut known: BTreeMap<(usize, usize, bool), u32> = BTreeMap::new();
        let inside = inside_steps(grid);
        let cells: Vec<usize> = (0..grid.len())
            .filter(|cell| is_penalty(grid.surface[*cell]))
            .collect();
        let crossings: Vec<[Option<(usize, usize)>; SECTORS]> = cells
            .par_iter()
            .with_min_len(64)
            .map(|&cell| {
                std::array::from_fn(|sector| crossing(grid, &inside, cell, bearing(sector)))
            })
            .collect();
        for (place, (cell, crossings)) in cells.into_iter().zip(crossings).enumerate() {
            out.place[cell] = place as u32;
            for crossing in crossings {
                let node = match crossing {
                    None => NOWHERE,
                    Some((inside, outside)) => {
                        let red = grid.surface[inside] == Surface::PenaltyRed;
                        let next = out.drops.len() as u32;
                        *known.entry((inside, outside, red)).or_insert_with(|| {
                            out.drops
                                .push(drops(grid, pin, lateral_m, [inside, outside], red));
                            next
                        })
                    }
                };
                let usable = node != NOWHERE && !out.drops[node as usize].is_empty();
                out.node.push(if usable { node } else { NOWHERE });
            }
        }
        out
    }

    /// The node of a ball in a penalty cell that was played along a bearing,
    /// or [`NOWHERE`].
    #[inline]
    pub fn node(&self, cell: usize, bearing_deg: f32) -> u32 {
        let sector = (bearing_deg * (SECTORS as f32 / 360.0)).round() as usize % SECTORS;
        self.node[self.place[cell] as usize * SECTORS + sector]
    }
}

/// The bearing of a sector, radians.
fn bearing(sector: usize) -> f32 {
    std::f32::consts::TAU * sector as f32 / SECTORS as f32
}

/// Allowed for the rounding of places, m.
const ROUNDING_M: f32 = 0.05;

/// By cell, how many steps of a way back go from anywhere in it, whichever way, and leave
/// neither the penalty areas nor the map.
fn inside_steps(grid: &Grid) -> Vec<u8> {
    let [columns, rows] = grid.size;
    between_cells(grid.size, |cell| !is_penalty(grid.surface[cell]))
        .iter()
        .enumerate()
        .map(|(cell, &cells)| {
            let (column, row) = (cell % columns, cell / columns);
            let to_edge = column
                .min(columns - 1 - column)
                .min(row)
                .min(rows - 1 - row);
            let clear_m = cells.min(to_edge as f32) * grid.cell_m - ROUNDING_M;
            // A cast saturates.
            (clear_m / step_m(grid)) as u8
        })
        .collect()
}

/// A way back is felt along in steps of this, m.
fn step_m(grid: &Grid) -> f32 {
    grid.cell_m * 0.5
}

/// The last cell inside and the first outside on the way back.
fn crossing(grid: &Grid, inside: &[u8], cell: usize, bearing: f32) -> Option<(usize, usize)> {
    let from = grid.middle(cell);
    let step = step_m(grid);
    let (sin, cos) = bearing.sin_cos();
    let place = |count: usize| {
        let way = step * count as f32;
        [from[0] - sin * way, from[1] - cos * way]
    };
    let mut count = 1 + usize::from(inside[cell]);
    while count < 2000 {
        let at = place(count);
        let here = grid.cell(at[0], at[1]);
        let off_map = (0..2).any(|i| {
            let edge = grid.corner[i] + grid.size[i] as f32 * grid.cell_m;
            at[i] < grid.corner[i] || at[i] > edge
        });
        if off_map {
            return None;
        }
        if !is_penalty(grid.surface[here]) {
            let last = match count {
                1 => cell,
                _ => {
                    let before = place(count - 1);
                    grid.cell(before[0], before[1])
                }
            };
            return Some((last, here));
        }
        count += 1 + usize::from(inside[here]);
    }
    None
}

/// The cells of every drop from a crossing.
fn drops(
    grid: &Grid,
    pin: Coord<f64>,
    lateral_m: f64,
    [inside, outside]: [usize; 2],
    red: bool,
) -> Vec<u32> {
    let (a, b) = (grid.middle(inside), grid.middle(outside));
    let edge = Coord {
        x: f64::from(a[0] + b[0]) / 2.0,
        y: f64::from(a[1] + b[1]) / 2.0,
    };
    let to_pin = |at: Coord<f64>| (at.x - pin.x).hypot(at.y - pin.y);
    let far = to_pin(edge);
    let mut cells: Vec<u32> = Vec::new();
    let mut add = |at: Coord<f64>| {
        let cell = grid.cell(at.x as f32, at.y as f32);
        let surface = grid.surface[cell];
        if !is_penalty(surface) && surface != Surface::OutOfBounds {
            cells.push(cell as u32);
        }
    };
    back_on_the_line(edge, pin, far).for_each(&mut add);
    if red {
        around(edge, lateral_m)
            .filter(|spot| to_pin(*spot) >= far)
            .for_each(&mut add);
    }
    cells.sort_unstable();
    cells.dedup();
    cells
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Felt at every step, the way back leaves by the same cells.
    #[test]
    fn long_steps_find_the_crossing_of_short_ones() {
        let size = [40, 30];
        let mut grid = Grid::of_crowns(size, 2.0, vec![[0.0; 2]; size[0] * size[1]]);
        for (cell, surface) in grid.surface.iter_mut().enumerate() {
            let (column, row) = (cell % size[0], cell / size[0]);
            // A pond with an island in it, and water over the edge of the map.
            if (column < 22 || row > 20) && column.abs_diff(9) + row.abs_diff(12) > 2 {
                *surface = Surface::PenaltyRed;
            }
        }
        let inside = inside_steps(&grid);
        assert!(inside.iter().any(|steps| *steps > 3));
        let none = vec![0; grid.len()];
        let mut found = [0, 0];
        for cell in (0..grid.len()).filter(|c| is_penalty(grid.surface[*c])) {
            for sector in 0..SECTORS {
                let by_long = crossing(&grid, &inside, cell, bearing(sector));
                assert_eq!(by_long, crossing(&grid, &none, cell, bearing(sector)));
                found[usize::from(by_long.is_some())] += 1;
            }
        }
        assert!(found.iter().all(|count| *count > 1000), "{found:?}");
    }
}
