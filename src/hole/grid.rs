//! A grid of square cells over a hole.

use geo::{Coord, Rect};

/// No outline, no patch.
pub(super) const NOTHING: u32 = u32::MAX;

/// Square cells over a rectangle; whole cells, centred on it.
#[derive(Clone, Debug)]
pub(super) struct Cells {
    pub west_m: f64,
    pub south_m: f64,
    pub side_m: f64,
    /// Cells to the metre: asked for often, and to multiply costs less than to divide.
    pub per_m: f64,
    pub columns: usize,
    pub rows: usize,
}

impl Cells {
    /// Covers a rectangle with cells of this side. The cells lie symmetrically
    /// about the rectangle's middle, so that a mirrored hole has mirrored cells.
    pub fn over(window: Rect<f64>, side_m: f64) -> Self {
        let columns = (window.width() / side_m).ceil().max(1.0) as usize;
        let rows = (window.height() / side_m).ceil().max(1.0) as usize;
        let middle = window.center();
        Self {
            west_m: middle.x - columns as f64 * side_m / 2.0,
            south_m: middle.y - rows as f64 * side_m / 2.0,
            side_m,
            per_m: 1.0 / side_m,
            columns,
            rows,
        }
    }

    /// How many cells there are.
    pub fn count(&self) -> usize {
        self.columns * self.rows
    }

    /// The cell of a point, row by row from the south-west; none outside.
    #[inline]
    pub fn cell(&self, x: f64, y: f64) -> Option<usize> {
        let [column, row] = self.inside(self.place(x, y))?;
        // It cannot wrap for what lies inside, and whoever reads a list checks.
        Some(row.wrapping_mul(self.columns).wrapping_add(column))
    }

    /// A point in cells east and north of the south-western corner.
    #[inline(always)]
    pub fn place(&self, x: f64, y: f64) -> [f64; 2] {
        [
            (x - self.west_m) * self.per_m,
            (y - self.south_m) * self.per_m,
        ]
    }

    /// The column and the row of such a place; none outside of the grid, and for NaN.
    #[inline(always)]
    pub fn inside(&self, place: [f64; 2]) -> Option<[usize; 2]> {
        let [column, row] = whole(place);
        let is_inside =
            place[0] >= 0.0 && place[1] >= 0.0 && column < self.columns && row < self.rows;
        is_inside.then_some([column, row])
    }

    /// The nearest such place in the grid or on its edge; the corner for NaN.
    #[inline]
    pub fn nearest(&self, place: [f64; 2]) -> [f64; 2] {
        // `max` before `min` turns NaN into the south-west corner.
        [
            place[0].max(0.0).min(self.columns as f64),
            place[1].max(0.0).min(self.rows as f64),
        ]
    }

    /// The row of a cell.
    #[inline]
    pub fn row_of(&self, cell: usize) -> usize {
        cell / self.columns
    }

    /// The nearest point that surely lies in the grid; none for NaN.
    pub fn nearest_inside(&self, at: Coord<f64>) -> Option<Coord<f64>> {
        if at.x.is_nan() || at.y.is_nan() {
            return None;
        }
        let half = self.side_m / 2.0;
        let (east, north) = (
            self.west_m + self.columns as f64 * self.side_m,
            self.south_m + self.rows as f64 * self.side_m,
        );
        Some(Coord {
            x: at.x.clamp(self.west_m + half, east - half),
            y: at.y.clamp(self.south_m + half, north - half),
        })
    }

    /// Middle of a cell.
    pub fn middle(&self, column: usize, row: usize) -> Coord<f64> {
        Coord {
            x: self.west_m + (column as f64 + 0.5) * self.side_m,
            y: self.south_m + (row as f64 + 0.5) * self.side_m,
        }
    }
}

/// Whole columns and rows before a place of [`Cells::place`].
#[inline(always)]
pub(super) fn whole(place: [f64; 2]) -> [usize; 2] {
    // To 32 bits a cast costs less.
    [place[0] as u32 as usize, place[1] as u32 as usize]
}
