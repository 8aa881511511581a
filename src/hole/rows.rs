//! Outlines filed by the rows of a grid: which side of an outline a point lies on, found among few
//! of its edges.
//!
//! A row of cells that more than [`FEW`] edges touch is divided once more, into columns or into
//! strips, whichever leaves the shorter lists. The answer is that of all edges of the row, to the
//! bit.

use geo::{Coord, Polygon};

use super::grid::Cells;

/// Rounding in the crossing's arithmetic stays far below this.
const SLACK_M: f64 = 1e-6;
/// So many edges of a row are looked at one by one.
const FEW: usize = 24;
/// The lists of a divided row name each edge so many times on average, at most.
const MOST_TIMES: usize = 4;

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

    /// Its westernmost and easternmost x between two latitudes of the plane.
    fn reach(&self, south: f64, north: f64) -> [f64; 2] {
        // An end within is taken as it is: two edges that share it reach to the same place.
        let x0 = if self.low.y < south - SLACK_M {
            self.x_at(south - SLACK_M)
        } else {
            self.low.x
        };
        let x1 = if self.high.y > north + SLACK_M {
            self.x_at(north + SLACK_M)
        } else {
            self.high.x
        };
        [x0.min(x1), x0.max(x1)]
    }
}

/// An outline's edges, filed by the rows of cells they touch.
#[derive(Debug)]
pub(super) struct Rows {
    first_row: usize,
    /// Where each row's edges start; one more at the end.
    starts: Vec<u32>,
    edges: Vec<Edge>,
    /// Shorter lists for the rows with many edges, in the order of the rows.
    crowded: Vec<Crowded>,
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
        let mut filed = Self {
            first_row,
            starts,
            edges: filed,
            crowded: Vec::new(),
        };
        filed.crowded = (first_row..first_row + rows)
            .filter_map(|row| Crowded::of(cells, row, filed.in_row(row)))
            .collect();
        filed
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
        let edges = self.in_row(row);
        if edges.len() > FEW {
            let listed = self.crowded.binary_search_by_key(&row, |each| each.row);
            if let Ok(at) = listed {
                return self.crowded[at].contains(edges, x, y);
            }
        }
        edges
            .iter()
            .fold(false, |inside, edge| inside ^ edge.crosses(x, y))
    }

    /// Calls `visit(cell, crossed)` for every cell that the outline crosses
    /// (true) or that lies wholly inside (false), row by row.
    pub fn scan(&self, cells: &Cells, mut visit: impl FnMut(usize, bool)) {
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
                let [west, east] = edge.reach(south, north);
                let column = |x: f64| (x - cells.west_m) / cells.side_m;
                let from = column(west - SLACK_M).floor();
                let to = column(east + SLACK_M).floor();
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

/// A row with many edges, divided.
#[derive(Debug)]
struct Crowded {
    row: usize,
    /// Divided from west to east; from south to north otherwise.
    by_columns: bool,
    /// Where the first part begins, and parts to the metre.
    from_m: f64,
    per_m: f64,
    /// Where each part's edges start in `listed`; one more at the end.
    starts: Vec<u32>,
    /// Indices of a row's edges.
    listed: Vec<u32>,
    /// Of columns: whether an odd number of the edges wholly east of each is open to the row below.
    odd_east: Vec<bool>,
    /// Of columns: whether an end of a listed edge stands in this row and wholly east of its column.
    /// Low end, then high end, in the order of `listed`.
    ends_east: Vec<[bool; 2]>,
}

impl Crowded {
    /// Divides a row; none where it has few edges, or none of the divisions helps.
    fn of(cells: &Cells, row: usize, edges: &[Edge]) -> Option<Self> {
        if edges.len() <= FEW {
            return None;
        }
        let south = cells.south_m + row as f64 * cells.side_m;
        let north = south + cells.side_m;
        let across: Vec<[f64; 2]> = edges.iter().map(|edge| edge.reach(south, north)).collect();
        let up: Vec<[f64; 2]> = edges
            .iter()
            .map(|edge| [edge.low.y.max(south), edge.high.y.min(north)])
            .collect();
        let columns = Parts::of(&across);
        let strips = Parts::of(&up);
        let by_columns = match (&columns, &strips) {
            (Some(columns), Some(strips)) => columns.mean() <= strips.mean(),
            (columns, None) => columns.is_some(),
            (None, Some(_)) => false,
        };
        let (parts, reach) = if by_columns {
            (columns?, &across)
        } else {
            (strips?, &up)
        };
        let (starts, listed) = parts.file(reach);
        let mut divided = Self {
            row,
            by_columns,
            from_m: parts.from_m,
            per_m: parts.per_m,
            starts,
            listed,
            odd_east: Vec::new(),
            ends_east: Vec::new(),
        };
        if by_columns {
            divided.count_east(cells, &parts, edges, &across);
        }
        Some(divided)
    }

    /// What the edges wholly east of each column come to. Where such an edge ends within the row,
    /// another one begins; so they change sides only at an end that they share with a listed edge.
    fn count_east(&mut self, cells: &Cells, parts: &Parts, edges: &[Edge], across: &[[f64; 2]]) {
        // The row of a place, as edges are filed, without the limits of the grid.
        let row_of = |y: f64| ((y - cells.south_m) / cells.side_m).floor();
        let own = self.row as f64;
        self.odd_east = vec![false; parts.count];
        for (edge, reach) in edges.iter().zip(across) {
            if row_of(edge.low.y) < own {
                // East of every column before the first that it may reach.
                let first = parts.span(*reach)[0];
                self.odd_east[..first]
                    .iter_mut()
                    .for_each(|odd| *odd ^= true);
            }
        }
        for part in 0..parts.count {
            let (from, to) = (self.starts[part] as usize, self.starts[part + 1] as usize);
            for &at in &self.listed[from..to] {
                let edge = &edges[at as usize];
                let is_east =
                    |end: Coord<f64>| row_of(end.y) == own && parts.span([end.x, end.x])[0] > part;
                self.ends_east.push([is_east(edge.low), is_east(edge.high)]);
            }
        }
    }

    fn contains(&self, edges: &[Edge], x: f64, y: f64) -> bool {
        let place = if self.by_columns { x } else { y };
        let part = (((place - self.from_m) * self.per_m) as usize).min(self.starts.len() - 2);
        let (from, to) = (self.starts[part] as usize, self.starts[part + 1] as usize);
        let listed = &self.listed[from..to];
        if !self.by_columns {
            return listed.iter().fold(false, |inside, &at| {
                inside ^ edges[at as usize].crosses(x, y)
            });
        }
        let ends = &self.ends_east[from..to];
        listed
            .iter()
            .zip(ends)
            .fold(self.odd_east[part], |inside, (&at, &[low, high])| {
                let edge = &edges[at as usize];
                inside ^ edge.crosses(x, y) ^ (low && edge.low.y <= y) ^ (high && edge.high.y <= y)
            })
    }
}

/// Equal parts of a stretch.
struct Parts {
    from_m: f64,
    per_m: f64,
    count: usize,
    /// How many times all parts together name an edge.
    named: usize,
}

impl Parts {
    /// As many parts of the stretch as leave the lists short; none where two would be too many.
    fn of(reach: &[[f64; 2]]) -> Option<Self> {
        let (low, high) = reach.iter().fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(low, high), [from, to]| (low.min(*from), high.max(*to)),
        );
        let width = high - low;
        if !(width.is_finite() && width > 1e3 * SLACK_M) {
            return None;
        }
        // No part narrower than the slack makes sense.
        let most = (width / (1e2 * SLACK_M)) as usize;
        let mut count = (reach.len() / 2).next_power_of_two().min(most.max(1));
        while count > 1 {
            let mut parts = Self {
                from_m: low,
                per_m: count as f64 / width,
                count,
                named: 0,
            };
            parts.named = reach
                .iter()
                .map(|reach| {
                    let [first, last] = parts.span(*reach);
                    last - first + 1
                })
                .sum();
            if parts.named <= MOST_TIMES * reach.len() {
                return Some(parts);
            }
            count /= 2;
        }
        None
    }

    /// Edges looked at for a point, on average.
    fn mean(&self) -> f64 {
        self.named as f64 / self.count as f64
    }

    /// The first and the last part that a stretch may reach, with slack.
    fn span(&self, [from, to]: [f64; 2]) -> [usize; 2] {
        // A cast takes what lies before the first part to it.
        [from - SLACK_M, to + SLACK_M]
            .map(|at| (((at - self.from_m) * self.per_m) as usize).min(self.count - 1))
    }

    /// Where each part's list starts, and the lists.
    fn file(&self, reach: &[[f64; 2]]) -> (Vec<u32>, Vec<u32>) {
        let mut starts = vec![0_u32; self.count + 1];
        for reach in reach {
            let [first, last] = self.span(*reach);
            starts[first + 1..=last + 1]
                .iter_mut()
                .for_each(|n| *n += 1);
        }
        for part in 0..self.count {
            starts[part + 1] += starts[part];
        }
        let mut next = starts.clone();
        let mut listed = vec![0_u32; self.named];
        for (at, reach) in reach.iter().enumerate() {
            let [first, last] = self.span(*reach);
            for slot in &mut next[first..=last] {
                listed[*slot as usize] = at as u32;
                *slot += 1;
            }
        }
        (starts, listed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::{Contains, LineString, Point, Rect};
    use proptest::prelude::*;

    const SIZE_M: f64 = 40.0;

    fn cells() -> Cells {
        let corner = Coord {
            x: SIZE_M,
            y: SIZE_M,
        };
        Cells::over(Rect::new(Coord { x: 0.0, y: 0.0 }, corner), 1.0)
    }

    /// A comb of `teeth` about the middle of the cells, turned, with tips that are `ragged`; of
    /// more than the cells hold, the rest lies outside.
    fn comb(teeth: usize, width_m: f64, turn_deg: f64, ragged: &[f64]) -> Polygon<f64> {
        let (sin, cos) = turn_deg.to_radians().sin_cos();
        let turned = |x: f64, y: f64| Coord {
            x: SIZE_M / 2.0 + x * cos - y * sin,
            y: SIZE_M / 2.0 + x * sin + y * cos,
        };
        let step = width_m / (2 * teeth) as f64;
        let mut ring: Vec<Coord<f64>> = (0..=2 * teeth)
            .map(|k| {
                let up = 12.0 * ragged[k % ragged.len()];
                let y = if k % 2 == 0 { 2.0 + up } else { -2.0 - up };
                turned(k as f64 * step - width_m / 2.0, y)
            })
            .collect();
        ring.push(turned(width_m / 2.0, -18.0));
        ring.push(turned(-width_m / 2.0, -18.0));
        Polygon::new(LineString::new(ring), Vec::new())
    }

    /// All edges of the row, one by one.
    fn plain(rows: &Rows, row: usize, x: f64, y: f64) -> bool {
        let crossed = rows.in_row(row).iter().filter(|edge| edge.crosses(x, y));
        crossed.count() % 2 == 1
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

        /// The short lists answer as all edges do, to the bit, at places anywhere and at those of
        /// vertices; and as `geo` does away from the outline.
        #[test]
        fn few_edges_answer_as_all_do(
            teeth in 1_usize..900,
            width_m in 0.5_f64..60.0,
            turn_deg in prop_oneof![Just(0.0), Just(90.0), Just(180.0), 0.0_f64..360.0],
            ragged in prop::collection::vec(prop_oneof![Just(0.0), 0.0_f64..1.0], 1..9),
            places in prop::collection::vec((0.0_f64..SIZE_M, 0.0_f64..SIZE_M), 200),
        ) {
            let (cells, outline) = (cells(), comb(teeth, width_m, turn_deg, &ragged));
            let rows = Rows::of(&cells, &outline);
            let ring = &outline.exterior().0;
            let mixed = places.iter().enumerate().map(|(k, &(x, y))| {
                let vertex = ring[(k * 7919) % ring.len()];
                match k % 4 {
                    0 => (vertex.x, y),
                    1 => (x, vertex.y),
                    2 => (vertex.x, vertex.y),
                    _ => (x, y),
                }
            });
            for (x, y) in mixed {
                let Some(cell) = cells.cell(x, y) else { continue };
                let row = cells.row_of(cell);
                let told = rows.contains(row, x, y);
                prop_assert_eq!(told, plain(&rows, row, x, y), "{}, {}", x, y);
                let at = Point::new(x, y);
                let off = outline.exterior().lines().all(|line| {
                    use geo::{Distance, Euclidean};
                    Euclidean.distance(&at, &line) > 1e-9
                });
                if off {
                    prop_assert_eq!(told, outline.contains(&at), "{}, {}", x, y);
                }
            }
        }
    }

    /// A point of a comb of 20 000 teeth is compared with a few dozen edges, whichever way the
    /// comb lies.
    #[test]
    fn a_crowded_row_is_divided() {
        let cells = cells();
        for (turn_deg, most) in [(0.0, 16.0), (90.0, 16.0), (45.0, 800.0)] {
            let outline = comb(20_000, 38.0, turn_deg, &[0.0, 0.3, 1.0]);
            let rows = Rows::of(&cells, &outline);
            let (mut looked, mut all) = (0.0, 0.0);
            for row in 18..22 {
                let edges = rows.in_row(row).len();
                let crowded = rows.crowded.iter().find(|each| each.row == row);
                let crowded = crowded.unwrap_or_else(|| panic!("row {row} of {edges} edges"));
                looked += crowded.listed.len() as f64 / (crowded.starts.len() - 1) as f64 / 4.0;
                all += edges as f64 / 4.0;
            }
            assert!(
                looked <= most && looked * 10.0 < all,
                "{turn_deg}: {looked} of {all}"
            );
        }
    }
}
