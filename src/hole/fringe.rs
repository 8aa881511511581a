//! The fringe of greens and the first cut of fairways: turf that changes over a metre.
//!
//! # Rule
//! A map draws lines; mowers leave bands. What the ground does to a ball changes from what it is on
//! the green to what it is beside it over [`FRINGE_M`] outside of the green's outline, in
//! [`BANDS`](crate::flight::Footing::BANDS) even steps; the same from the fairway's outline into rough
//! and wood. Sand, water and the tee's edge change at once. The lie stays what the map says: in the
//! first cut it is rough. Where both are near, the nearer counts.
//!
//! Distances to outlines are kept at the corners of the cells and interpolated between them: exact
//! beside a straight edge, within a decimetre at a corner of an outline.

use geo::{Coord, Line, Polygon};

use super::grid::Cells;
use super::rows::Rows;
use super::{Patch, Surface};
use crate::flight::{Footing, Turf};

/// Width of the band in which turf changes, m (practice: collars are mown 0.5 to 1.5 m wide).
pub const FRINGE_M: f64 = 1.0;
/// Distances are kept in steps of this, m.
const STEP_M: f64 = 0.02;
/// The furthest distance that is kept, m: further than the diagonal of a cell beyond the band.
const FAR_M: f64 = 127.0 * STEP_M;
/// A place that lies so far inside of an outline, and yet is other turf, is under something else, m.
const HIDDEN_M: f64 = -0.5;

/// Signed distances to outlines, and where they matter.
#[derive(Debug)]
pub(super) struct Fringes {
    cells: Cells,
    greens: Layer,
    fairways: Layer,
    /// By cell, whose bands reach into it: [`BY_GREEN`], [`BY_FAIRWAY`].
    near: Vec<u8>,
}

/// The band about a green's outline.
const BY_GREEN: u8 = 1;
/// The band about a fairway's outline.
const BY_FAIRWAY: u8 = 2;

/// By corner, row by row: distance outside of the nearest outline in steps, negative inside.
#[derive(Debug)]
struct Layer(Vec<i8>);

impl Fringes {
    pub fn build(cells: &Cells, patches: &[Patch]) -> Self {
        let layer = |surface| {
            let outlines = patches.iter().filter(|patch| patch.surface == surface);
            Layer::build(cells, outlines.map(|patch| &patch.outline))
        };
        let (greens, fairways) = (layer(Surface::Green), layer(Surface::Fairway));
        let near = (0..cells.count())
            .map(|cell| {
                let (row, column) = (cell / cells.columns, cell % cells.columns);
                let by = |layer: &Layer, bit: u8| {
                    let corners = layer.corners(cells, [column, row]);
                    let reaches =
                        corners.iter().any(|d| *d < FRINGE_M) && corners.iter().any(|d| *d > 0.0);
                    if reaches { bit } else { 0 }
                };
                by(&greens, BY_GREEN) | by(&fairways, BY_FAIRWAY)
            })
            .collect();
        Self {
            cells: cells.clone(),
            greens,
            fairways,
            near,
        }
    }

    /// Whether turf changes by bands somewhere in a cell.
    pub fn reach(&self, cell: usize) -> bool {
        self.near[cell] != 0
    }

    /// What a ball meets at a place of this turf.
    #[inline]
    pub fn footing(&self, at: Coord<f64>, turf: Turf) -> Footing {
        let plain = Footing::of(turf);
        if !matches!(turf, Turf::Fairway | Turf::Rough | Turf::WoodFloor) {
            return plain;
        }
        let place = self.cells.place(at.x, at.y);
        let Some([column, row]) = self.cells.inside(place) else {
            return plain;
        };
        let near = self.near[row * self.cells.columns + column];
        if near == 0 {
            return plain;
        }
        let within = [place[0] - column as f64, place[1] - row as f64];
        let off_m = |layer: &Layer, bit: u8| {
            if near & bit == 0 {
                return FAR_M;
            }
            let found = layer.between(&self.cells, [column, row], within);
            if found > HIDDEN_M { found } else { FAR_M }
        };
        let green_m = off_m(&self.greens, BY_GREEN);
        let fairway_m = match turf {
            Turf::Fairway => FAR_M,
            _ => off_m(&self.fairways, BY_FAIRWAY),
        };
        let (beside, off_m) = if green_m <= fairway_m {
            (Turf::Green, green_m)
        } else {
            (Turf::Fairway, fairway_m)
        };
        if off_m < FRINGE_M {
            Footing::beside(turf, beside, off_m / FRINGE_M)
        } else {
            plain
        }
    }
}

impl Layer {
    fn build<'a>(cells: &Cells, outlines: impl Iterator<Item = &'a Polygon<f64>>) -> Self {
        let along = cells.columns + 1;
        let corners = along * (cells.rows + 1);
        let mut steps = vec![i8::MAX; corners];
        for outline in outlines {
            let rows = Rows::of(cells, outline);
            let mut own = vec![i8::MAX; corners];
            rows.scan(cells, |cell, is_crossed| {
                if !is_crossed {
                    let at = cell / cells.columns * along + cell % cells.columns;
                    for corner in [at, at + 1, at + along, at + along + 1] {
                        own[corner] = -i8::MAX;
                    }
                }
            });
            let mut away_m = vec![FAR_M; corners];
            let rings = std::iter::once(outline.exterior()).chain(outline.interiors());
            for line in rings.flat_map(|ring| ring.lines()) {
                for (column, row) in about(cells, &line) {
                    let kept = &mut away_m[row * along + column];
                    *kept = away(&line, corner(cells, column, row)).min(*kept);
                }
            }
            for (at, away_m) in away_m.into_iter().enumerate() {
                if away_m < FAR_M {
                    let (column, row) = (at % along, at / along);
                    let place = corner(cells, column, row);
                    let inside = row < cells.rows && rows.contains(row, place.x, place.y);
                    let side = if inside { -1.0 } else { 1.0 };
                    own[at] = (side * away_m / STEP_M).round() as i8;
                }
            }
            for (kept, own) in steps.iter_mut().zip(own) {
                *kept = own.min(*kept);
            }
        }
        Self(steps)
    }

    /// Distances at the corners of a cell, m: south-west, south-east, north-west, north-east.
    #[inline]
    fn corners(&self, cells: &Cells, [column, row]: [usize; 2]) -> [f64; 4] {
        let along = cells.columns + 1;
        let at = row * along + column;
        [at, at + 1, at + along, at + along + 1].map(|at| f64::from(self.0[at]) * STEP_M)
    }

    #[inline]
    fn between(&self, cells: &Cells, cell: [usize; 2], [x, y]: [f64; 2]) -> f64 {
        let [a, b, c, d] = self.corners(cells, cell);
        (1.0 - y) * ((1.0 - x) * a + x * b) + y * ((1.0 - x) * c + x * d)
    }
}

fn corner(cells: &Cells, column: usize, row: usize) -> Coord<f64> {
    Coord {
        x: cells.west_m + column as f64 * cells.side_m,
        y: cells.south_m + row as f64 * cells.side_m,
    }
}

/// The corners in the box about a line that is wider by the furthest distance kept.
fn about(cells: &Cells, line: &Line<f64>) -> impl Iterator<Item = (usize, usize)> + use<> {
    let range = |a: f64, b: f64, from_m: f64, count: usize| {
        let at = |m: f64| ((m - from_m) * cells.per_m).clamp(0.0, count as f64);
        let (low, high) = (a.min(b) - FAR_M, a.max(b) + FAR_M);
        at(low).floor() as usize..=at(high).ceil() as usize
    };
    let columns = range(line.start.x, line.end.x, cells.west_m, cells.columns);
    let rows = range(line.start.y, line.end.y, cells.south_m, cells.rows);
    rows.flat_map(move |row| columns.clone().map(move |column| (column, row)))
}

/// Distance of a point from a line, m.
fn away(line: &Line<f64>, at: Coord<f64>) -> f64 {
    let d = line.delta();
    let length_squared = d.x * d.x + d.y * d.y;
    let t = if length_squared > 0.0 {
        let along = (at.x - line.start.x) * d.x + (at.y - line.start.y) * d.y;
        (along / length_squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let off = at - (line.start + d * t);
    (off.x * off.x + off.y * off.y).sqrt()
}
