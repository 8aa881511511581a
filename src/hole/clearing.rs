//! How far it is from a place to where anything changes: from one ground to
//! another, or to the crown of a tree.

use geo::Coord;

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
    pub fn build(labels: &Labels, crowns: &Crowns) -> Self {
        let cells = labels.cells().clone();
        let wooded = |cell: usize| crowns.stands_over(cell);
        let turf: Vec<_> = (0..cells.count()).map(|c| labels.turf_of(c)).collect();
        let changes = |cell: usize| {
            turf[cell].is_none()
                || wooded(cell)
                || about(&cells, cell, |other| match other {
                    Some(other) => turf[other] != turf[cell] || wooded(other),
                    // Nothing is known of what lies outside.
                    None => true,
                })
        };
        let near_trees =
            |cell: usize| wooded(cell) || about(&cells, cell, |other| other.is_some_and(wooded));
        let to_trees = if crowns.is_empty() {
            Vec::new()
        } else {
            lower_bounds(&cells, near_trees)
        };
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

/// Whether this is so of one of the eight cells about a cell; `None` outside of the grid.
fn about(cells: &Cells, cell: usize, is_so: impl Fn(Option<usize>) -> bool) -> bool {
    let (column, row) = (cell % cells.columns, cell / cells.columns);
    let beside = |at: usize, step: usize, count: usize| {
        // Steps of 0, 1, 2 lead back, nowhere and on.
        (at + step).checked_sub(1).filter(|to| *to < count)
    };
    (0..9).filter(|k| *k != 4).any(|k| {
        let to = beside(column, k % 3, cells.columns).zip(beside(row, k / 3, cells.rows));
        is_so(to.map(|(column, row)| row * cells.columns + column))
    })
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
        let at_source = |cell: usize| {
            sources.contains(&cell)
                || about(&cells, cell, |other| {
                    other.is_some_and(|other| sources.contains(&other))
                })
        };
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
