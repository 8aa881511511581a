//! The hole cut into square cells: what lies in each, how high, which trees.

use rayon::prelude::*;

use super::clear::between_cells;
use crate::hole::{Coord, Hole, Surface};

/// Square cells over the mapped part of a hole.
#[derive(Clone, Debug)]
pub struct Grid {
    /// West edge of the first column and south edge of the first row, m.
    pub corner: [f32; 2],
    /// Side of a cell, m.
    pub cell_m: f32,
    /// Columns and rows.
    pub size: [usize; 2],
    /// What lies at each cell's middle.
    pub surface: Vec<Surface>,
    /// Height of the ground there, m; empty where the ground is flat.
    pub(super) height_m: Vec<f32>,
    /// Crowns: base and top above the ground, m; empty where there are no trees.
    pub(super) crowns: Vec<[f32; 2]>,
    /// None where a crown stands over a cell; else one more than the metres that can be
    /// gone from anywhere in it, whichever way, without coming into a cell with one.
    pub(super) clear: Vec<u8>,
    /// The highest crown, above its ground, m.
    pub(super) highest_crown_m: Option<f32>,
    inverse: f32,
    /// The last column and row.
    last: [usize; 2],
}

impl Grid {
    /// Cuts a hole into cells of this side.
    #[must_use]
    pub fn of(hole: &Hole, cell_m: f64) -> Self {
        let bounds = hole.bounds();
        let (west, south) = (bounds.min().x, bounds.min().y);
        let columns = (bounds.width() / cell_m).ceil().max(1.0) as usize;
        let rows = (bounds.height() / cell_m).ceil().max(1.0) as usize;
        let middle = |cell: usize| Coord {
            x: west + ((cell % columns) as f64 + 0.5) * cell_m,
            y: south + ((cell / columns) as f64 + 0.5) * cell_m,
        };
        let count = columns * rows;
        let surface: Vec<Surface> = (0..count)
            .into_par_iter()
            .map(|cell| hole.surface_at(middle(cell)))
            .collect();
        let height_m = if hole.ground().is_flat() {
            Vec::new()
        } else {
            (0..count)
                .into_par_iter()
                .map(|cell| {
                    let at = middle(cell);
                    hole.ground().height_m(at.x, at.y) as f32
                })
                .collect()
        };
        let crowns: Vec<[f32; 2]> = if hole.highest_canopy_m().is_finite() {
            (0..count)
                .into_par_iter()
                .map(|cell| {
                    let at = middle(cell);
                    hole.canopy_at(at.x, at.y)
                        .map_or([0.0; 2], |c| [c.base_m as f32, c.top_m as f32])
                })
                .collect()
        } else {
            Vec::new()
        };
        let highest = crowns.iter().map(|c| c[1]).fold(0.0_f32, f32::max);
        let clear = clear_of(&crowns, [columns, rows], cell_m as f32);
        Self {
            corner: [west as f32, south as f32],
            cell_m: cell_m as f32,
            size: [columns, rows],
            surface,
            height_m,
            clear,
            highest_crown_m: (highest > 0.0).then_some(highest),
            crowns,
            inverse: (1.0 / cell_m) as f32,
            last: [columns - 1, rows - 1],
        }
    }

    /// Rough with these crowns.
    #[cfg(test)]
    pub(super) fn of_crowns(size: [usize; 2], cell_m: f32, crowns: Vec<[f32; 2]>) -> Self {
        Self {
            corner: [0.0; 2],
            cell_m,
            size,
            surface: vec![Surface::Rough; crowns.len()],
            height_m: Vec::new(),
            clear: clear_of(&crowns, size, cell_m),
            highest_crown_m: None,
            crowns,
            inverse: 1.0 / cell_m,
            last: size.map(|count| count - 1),
        }
    }

    /// How many cells.
    #[must_use]
    pub fn len(&self) -> usize {
        self.surface.len()
    }

    /// Whether there is none; never so.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.surface.is_empty()
    }

    /// The cell of a place, or the one nearest to it.
    #[inline]
    #[must_use]
    pub fn cell(&self, east_m: f32, north_m: f32) -> usize {
        // A cast saturates, so that no place is too far. That to 16 bits is by far the
        // cheapest one: all they hold is held by the float too.
        let column = usize::from(((east_m - self.corner[0]) * self.inverse) as u16);
        let row = usize::from(((north_m - self.corner[1]) * self.inverse) as u16);
        row.min(self.last[1]) * self.size[0] + column.min(self.last[0])
    }

    /// The four cells around a place, each with its weight in what is linear between
    /// their middles. At the edge of the grid some are the same.
    #[inline]
    #[must_use]
    pub fn around(&self, place: [f32; 2]) -> [(usize, f32); 4] {
        let sides: [[(usize, f32); 2]; 2] = std::array::from_fn(|i| {
            let at = (place[i] - self.corner[i]) * self.inverse - 0.5;
            // The floor: a call where a binary is built for the least of machines.
            let whole = at as i32 as f32;
            let low = if whole > at { whole - 1.0 } else { whole };
            [low, low + 1.0].map(|cell| {
                let cell = (cell as u32 as usize).min(self.size[i] - 1);
                (cell, (1.0 - (at - cell as f32).abs()).clamp(0.0, 1.0))
            })
        });
        let [columns, rows] = sides;
        std::array::from_fn(|corner| {
            let ((column, across), (row, up)) = (columns[corner & 1], rows[corner >> 1]);
            (row * self.size[0] + column, across * up)
        })
    }

    /// A cell's middle, east and north, m.
    #[must_use]
    pub fn middle(&self, cell: usize) -> [f32; 2] {
        let at = [cell % self.size[0], cell / self.size[0]];
        std::array::from_fn(|i| self.corner[i] + (at[i] as f32 + 0.5) * self.cell_m)
    }

    /// Height of the ground in a cell, m; 0 where the ground is flat.
    #[inline]
    pub(super) fn height(&self, cell: usize) -> f32 {
        self.height_m.get(cell).copied().unwrap_or(0.0)
    }
}

/// A place as the hole has it.
pub(super) fn place(at: [f32; 2]) -> Coord<f64> {
    Coord {
        x: f64::from(at[0]),
        y: f64::from(at[1]),
    }
}

/// Gives every cell of a grid that has nothing what a cell beside it has, a ring of cells
/// after the other, at most so many; of two as near the one that comes first.
pub(super) fn spread<T: Copy>(
    [columns, rows]: [usize; 2],
    cells: &mut [Option<T>],
    first: Vec<usize>,
    rings: usize,
) {
    let mut edge = first;
    for _ in 0..rings {
        let mut next = Vec::new();
        for &cell in &edge {
            let (column, row) = (cell % columns, cell / columns);
            for r in row.saturating_sub(1)..(row + 2).min(rows) {
                for c in column.saturating_sub(1)..(column + 2).min(columns) {
                    let there = r * columns + c;
                    if cells[there].is_none() {
                        cells[there] = cells[cell];
                        next.push(there);
                    }
                }
            }
        }
        if next.is_empty() {
            break;
        }
        edge = next;
    }
}

/// Allowed for the rounding of places, m.
const ROUNDING_M: f32 = 0.05;

/// [`Grid::clear`].
fn clear_of(crowns: &[[f32; 2]], size: [usize; 2], cell_m: f32) -> Vec<u8> {
    if crowns.is_empty() {
        return Vec::new();
    }
    let wooded = |cell: usize| crowns[cell][1] > 0.0;
    between_cells(size, wooded)
        .iter()
        .enumerate()
        .map(|(cell, cells)| match wooded(cell) {
            true => 0,
            // A cast saturates: far off is as far as a byte can say.
            false => ((cells * cell_m - ROUNDING_M) as u8).saturating_add(1),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From anywhere in a cell to anywhere in one with a crown it is more than what is said
    /// less one; and only cells with a crown have none.
    #[test]
    fn no_crown_is_nearer_than_told() {
        let size = [70, 40];
        let crowns = (0..size[0] * size[1]).map(|cell| match cell % 613 {
            5 => [1.0, 6.0],
            _ => [0.0; 2],
        });
        let grid = Grid::of_crowns(size, 2.0, crowns.collect());
        let wooded: Vec<usize> = (0..grid.len())
            .filter(|c| grid.crowns[*c][1] > 0.0)
            .collect();
        for cell in 0..grid.len() {
            let between = |to: &usize| {
                let [a, b] = [cell, *to].map(|c| grid.middle(c));
                let [x, y] = [0, 1].map(|i| ((a[i] - b[i]).abs() - grid.cell_m).max(0.0));
                x.hypot(y)
            };
            let least_m = wooded.iter().map(between).fold(f32::INFINITY, f32::min);
            let evaluated = f32::from(grid.clear[cell]);
            assert_eq!(evaluated == 0.0, wooded.contains(&cell));
            assert!(evaluated - 1.0 <= least_m, "{evaluated} of {least_m}");
            assert!(
                evaluated + 0.1 >= least_m / 1.082_5,
                "{evaluated} of {least_m}"
            );
        }
    }

    #[test]
    fn what_a_cell_lacks_it_has_from_the_nearest() {
        let mut cells = [Some(1), None, None, None, None, Some(2)];
        spread([6, 1], &mut cells, vec![0, 5], 1);
        assert_eq!(cells, [Some(1), Some(1), None, None, Some(2), Some(2)]);
        spread([6, 1], &mut cells, vec![1, 4], usize::MAX);
        assert_eq!(cells.map(Option::unwrap), [1, 1, 1, 2, 2, 2]);
        let mut cells: [Option<u8>; 4] = [None; 4];
        spread([2, 2], &mut cells, Vec::new(), usize::MAX);
        assert_eq!(cells, [None; 4]);
    }
}
