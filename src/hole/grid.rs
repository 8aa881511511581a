//! A grid of square cells over a hole, and outlines filed by its rows.

use geo::{Coord, Polygon, Rect};

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

/// One edge, its lower end first: the same arithmetic for the two areas that
/// share it, so that a point between them lies in exactly one.
#[derive(Clone, Copy, Debug)]
struct Edge {
    low: Coord<f64>,
    high: Coord<f64>,
}

impl Edge {
    /// Whether a ray from the point to the east crosses the edge; the lower
    /// end belongs to the edge, the upper does not.
    #[inline]
    fn crosses(&self, x: f64, y: f64) -> bool {
        self.low.y <= y && y < self.high.y && x < self.x_at(y)
    }

    #[inline]
    fn x_at(&self, y: f64) -> f64 {
        self.low.x + (y - self.low.y) * ((self.high.x - self.low.x) / (self.high.y - self.low.y))
    }
}

/// An outline's edges, filed by the rows of cells they touch.
#[derive(Debug)]
pub(super) struct Rows {
    first_row: usize,
    /// Where each row's edges start; one more at the end.
    starts: Vec<u32>,
    edges: Vec<Edge>,
}

impl Rows {
    /// Files the edges of a polygon, islands included.
    pub fn of(cells: &Cells, outline: &Polygon<f64>) -> Self {
        let mut edges = Vec::new();
        for ring in std::iter::once(outline.exterior()).chain(outline.interiors()) {
            for line in ring.lines() {
                let (low, high) = if (line.start.y, line.start.x) <= (line.end.y, line.end.x) {
                    (line.start, line.end)
                } else {
                    (line.end, line.start)
                };
                edges.push(Edge { low, high });
            }
        }
        let north_m = cells.south_m + cells.rows as f64 * cells.side_m;
        edges.retain(|edge| edge.high.y >= cells.south_m && edge.low.y <= north_m);
        let span = |edge: &Edge| {
            let row = |y: f64| ((y - cells.south_m) / cells.side_m).floor().max(0.0) as usize;
            (
                row(edge.low.y).min(cells.rows - 1),
                row(edge.high.y).min(cells.rows - 1),
            )
        };
        let first_row = edges.iter().map(|edge| span(edge).0).min().unwrap_or(0);
        let last_row = edges.iter().map(|edge| span(edge).1 + 1).max().unwrap_or(0);
        let rows = last_row.saturating_sub(first_row);
        let mut starts = vec![0_u32; rows + 1];
        for edge in &edges {
            let (from, to) = span(edge);
            for row in from..=to {
                starts[row - first_row + 1] += 1;
            }
        }
        for row in 0..rows {
            starts[row + 1] += starts[row];
        }
        let mut next = starts.clone();
        let mut filed = match edges.first() {
            Some(&edge) => vec![edge; starts[rows] as usize],
            None => Vec::new(),
        };
        for &edge in &edges {
            let (from, to) = span(&edge);
            for row in from..=to {
                let slot = &mut next[row - first_row];
                filed[*slot as usize] = edge;
                *slot += 1;
            }
        }
        Self {
            first_row,
            starts,
            edges: filed,
        }
    }

    #[inline]
    fn in_row(&self, row: usize) -> &[Edge] {
        match row.checked_sub(self.first_row) {
            Some(at) if at + 1 < self.starts.len() => {
                &self.edges[self.starts[at] as usize..self.starts[at + 1] as usize]
            }
            _ => &[],
        }
    }

    /// Even-odd test of a point in this row of cells.
    #[inline]
    pub fn contains(&self, row: usize, x: f64, y: f64) -> bool {
        self.in_row(row)
            .iter()
            .fold(false, |inside, edge| inside ^ edge.crosses(x, y))
    }

    /// Calls `visit(cell, crossed)` for every cell that the outline crosses
    /// (true) or that lies wholly inside (false), row by row.
    pub fn scan(&self, cells: &Cells, mut visit: impl FnMut(usize, bool)) {
        // Rounding in the crossing's arithmetic stays far below this.
        const SLACK_M: f64 = 1e-6;
        let mut crossings: Vec<f64> = Vec::new();
        let mut crossed = vec![false; cells.columns];
        for row in self.first_row..self.first_row + self.starts.len() - 1 {
            let edges = self.in_row(row);
            let (south, middle) = (
                cells.south_m + row as f64 * cells.side_m,
                cells.middle(0, row).y,
            );
            let north = south + cells.side_m;
            crossings.clear();
            // The columns that the outline can reach in this row.
            let (mut first, mut last) = (cells.columns, 0);
            for edge in edges {
                let (x0, x1) = if edge.high.y > edge.low.y {
                    (
                        edge.x_at(edge.low.y.max(south - SLACK_M)),
                        edge.x_at(edge.high.y.min(north + SLACK_M)),
                    )
                } else {
                    (edge.low.x, edge.high.x)
                };
                let column = |x: f64| (x - cells.west_m) / cells.side_m;
                let from = column(x0.min(x1) - SLACK_M).floor();
                let to = column(x0.max(x1) + SLACK_M).floor();
                let reach = [from, to].map(|at| (at.max(0.0) as usize).min(cells.columns - 1));
                (first, last) = (first.min(reach[0]), last.max(reach[1]));
                if to >= 0.0 && from < cells.columns as f64 {
                    crossed[reach[0]..=reach[1]].fill(true);
                }
                if edge.low.y <= middle && middle < edge.high.y {
                    crossings.push(edge.x_at(middle));
                }
            }
            crossings.sort_by(f64::total_cmp);
            let mut passed = 0;
            for (column, crossed) in crossed.iter_mut().enumerate().take(last + 1).skip(first) {
                let is_crossed = std::mem::take(crossed);
                let x = cells.middle(column, row).x;
                while passed < crossings.len() && crossings[passed] <= x {
                    passed += 1;
                }
                if is_crossed {
                    visit(row * cells.columns + column, true);
                } else if (crossings.len() - passed) % 2 == 1 {
                    visit(row * cells.columns + column, false);
                }
            }
        }
    }

    /// Calls `visit(cell)` for every cell whose middle lies inside.
    pub fn fill(&self, cells: &Cells, mut visit: impl FnMut(usize)) {
        self.scan(cells, |cell, crossed| {
            let (row, column) = (cells.row_of(cell), cell % cells.columns);
            let middle = cells.middle(column, row);
            if !crossed || self.contains(row, middle.x, middle.y) {
                visit(cell);
            }
        });
    }
}
