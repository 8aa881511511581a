//! How far it is from a place to where anything changes: from one ground to
//! another or to the band between them, or to the crown of a tree.

use geo::Coord;

use super::fringe::Fringes;
use super::grid::Cells;
use super::obstacle::Crowns;
use super::surface::Labels;

/// Distances are kept in steps of this, rounded down, m.
const STEP_M: f32 = 0.5;
/// A way over the grid in straight and slanting steps is at most so many times as
/// long as the straight line: 1/cos 22.5°.
const ROUNDABOUT: f32 = 1.082_392_3;

/// Lower bounds of two distances, by cell.
#[derive(Debug)]
pub(super) struct Clearings {
    cells: Cells,
    /// To the nearest crown; empty where there is none at all.
    to_trees: Vec<u8>,
    /// To the nearest other turf, or crown.
    to_change: Vec<u8>,
}

impl Clearings {
    pub fn build(labels: &Labels, crowns: &Crowns, fringes: &Fringes) -> Self {
        let cells = labels.cells().clone();
        let wooded: Vec<bool> = (0..cells.count()).map(|c| crowns.stands_over(c)).collect();
        let to_trees = if crowns.is_empty() {
            Vec::new()
        } else {
            let of = |cell: usize| u8::from(wooded[cell]);
            let highest = about(&cells, of, 0, u8::max);
            lower_bounds(&cells, |cell| highest[cell] > 0)
        };
        // By cell, what lies there where that is one turf without trees.
        let turf = |cell: usize| match labels.turf_of(cell) {
            Some(turf) if !wooded[cell] && !fringes.reach(cell) => turf as u8,
            _ => MIXED,
        };
        let lowest = about(&cells, turf, MIXED, u8::min);
        let highest = about(&cells, turf, MIXED, u8::max);
        let changes = |cell: usize| highest[cell] == MIXED || lowest[cell] < highest[cell];
        Self {
            to_change: lower_bounds(&cells, changes),
            to_trees,
            cells,
        }
    }

    /// No crown is nearer to a place than this, m.
    #[inline]
    pub fn to_trees_m(&self, at: Coord<f64>) -> f64 {
        if self.to_trees.is_empty() {
            return f64::INFINITY;
        }
        let cell = self.cells.cell(at.x, at.y);
        cell.map_or(0.0, |cell| {
            f64::from(self.to_trees[cell]) * f64::from(STEP_M)
        })
    }

    /// Nothing but the place's own turf, and no crown, is nearer than this, m.
    #[inline]
    pub fn to_change_m(&self, at: Coord<f64>) -> f64 {
        let cell = self.cells.cell(at.x, at.y);
        cell.map_or(0.0, |cell| {
            f64::from(self.to_change[cell]) * f64::from(STEP_M)
        })
    }
}

/// More than one turf, trees, or nothing that is known.
const MIXED: u8 = u8::MAX;

/// By cell, the least or the most of it and the eight about it; `beyond` is outside of the
/// grid. First along the rows, then across.
fn about(
    cells: &Cells,
    of: impl Fn(usize) -> u8,
    beyond: u8,
    pick: impl Fn(u8, u8) -> u8,
) -> Vec<u8> {
    let columns = cells.columns;
    let own: Vec<u8> = (0..cells.count()).map(of).collect();
    let mut along = own.clone();
    for (row, out) in own.chunks(columns).zip(along.chunks_mut(columns)) {
        for (column, out) in out.iter_mut().enumerate() {
            let west = column.checked_sub(1).map_or(beyond, |c| row[c]);
            let east = row.get(column + 1).copied().unwrap_or(beyond);
            *out = pick(*out, pick(west, east));
        }
    }
    let outside = vec![beyond; columns];
    let row = |row: Option<usize>| match row {
        Some(row) if row < cells.rows => &along[row * columns..(row + 1) * columns],
        _ => &outside,
    };
    let mut out = along.clone();
    for (number, out) in out.chunks_mut(columns).enumerate() {
        let (south, north) = (row(number.checked_sub(1)), row(Some(number + 1)));
        for ((out, south), north) in out.iter_mut().zip(south).zip(north) {
            *out = pick(*out, pick(*south, *north));
        }
    }
    out
}

/// By cell: no point of a source is nearer to any point of it than so many steps, where
/// `at_source` says which cells are one or touch one, if only with a corner. Between two
/// cells lie as many whole ones as from the one's middle to that of the nearest cell that
/// touches the other. Distances along the grid, in two passes (Rosenfeld & Pfaltz, *J. ACM*
/// 13 (1966) 471; memory), shortened to what the straight line may be.
fn lower_bounds(cells: &Cells, at_source: impl Fn(usize) -> bool) -> Vec<u8> {
    const SLANT: f32 = std::f32::consts::SQRT_2;
    let (columns, rows) = (cells.columns, cells.rows);
    let mut away: Vec<f32> = (0..cells.count())
        .map(|cell| if at_source(cell) { 0.0 } else { f32::INFINITY })
        .collect();
    for cell in 0..away.len() {
        let (column, row) = (cell % columns, cell / columns);
        let mut least = away[cell];
        if column > 0 {
            least = least.min(away[cell - 1] + 1.0);
        }
        if row > 0 {
            least = least.min(away[cell - columns] + 1.0);
            if column > 0 {
                least = least.min(away[cell - columns - 1] + SLANT);
            }
            if column + 1 < columns {
                least = least.min(away[cell - columns + 1] + SLANT);
            }
        }
        away[cell] = least;
    }
    for cell in (0..away.len()).rev() {
        let (column, row) = (cell % columns, cell / columns);
        let mut least = away[cell];
        if column + 1 < columns {
            least = least.min(away[cell + 1] + 1.0);
        }
        if row + 1 < rows {
            least = least.min(away[cell + columns] + 1.0);
            if column + 1 < columns {
                least = least.min(away[cell + columns + 1] + SLANT);
            }
            if column > 0 {
                least = least.min(away[cell + columns - 1] + SLANT);
            }
        }
        away[cell] = least;
    }
    let side_m = cells.side_m as f32;
    away.iter()
        .map(|steps| (steps / ROUNDABOUT * side_m / STEP_M) as u8)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::Rect;

    /// Against every source, one by one: never more than the true distance, and
    /// not much less.
    #[test]
    fn no_source_is_nearer_than_told() {
        let corner = Coord { x: 40.0, y: 60.0 };
        let cells = Cells::over(Rect::new(Coord { x: 0.0, y: 0.0 }, corner), 1.0);
        let sources: Vec<usize> = (0..cells.count()).filter(|c| c % 577 == 91).collect();
        let is_source = |cell: usize| u8::from(sources.contains(&cell));
        let near = about(&cells, is_source, 0, u8::max);
        let at_source = |cell: usize| near[cell] > 0;
        let told = lower_bounds(&cells, at_source);
        for (cell, told) in told.iter().enumerate() {
            let place = |c: usize| [c % cells.columns, c / cells.columns];
            let between = |source: usize| {
                let [x, y] = [0, 1].map(|i| {
                    let whole = place(source)[i].abs_diff(place(cell)[i]);
                    whole.saturating_sub(1) as f64
                });
                x.hypot(y)
            };
            let least_m = sources
                .iter()
                .map(|s| between(*s))
                .fold(f64::INFINITY, f64::min);
            let told_m = f64::from(*told) * f64::from(STEP_M);
            assert!(told_m <= least_m, "{told_m} of {least_m}");
            assert!(told_m + 0.51 >= 0.92 * least_m, "{told_m} of {least_m}");
        }
    }
}
