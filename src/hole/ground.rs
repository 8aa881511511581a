//! Heights of the ground, from the third coordinates of the map or from a raster.
//!
//! The map's heights are triangulated (Delaunay), interpolated linearly within each
//! triangle, and sampled to a grid that is read bilinearly. Outside of the
//! triangles the height is that of the nearest point on their hull; outside of
//! the grid, that of the nearest point of the grid.

use geo::{Coord, Rect};
use spade::{DelaunayTriangulation, FloatTriangulation, HasPosition, Point2, Triangulation};

use super::grid::{Cells, whole};

/// Spacing of the sampled heights, m.
const SPACING_M: f64 = 4.0;
/// Most heights triangulated for one hole; of more, every n-th is taken.
const MOST_HEIGHTS: usize = 20_000;

/// Heights of the ground of a hole, m, as given by the map (RFC 7946 counts
/// from the ellipsoid; only differences matter here).
#[derive(Clone, Debug)]
pub struct Ground {
    cells: Option<Cells>,
    /// Heights at the ends of the western side of each cell, south and north, row by row;
    /// one more at the end of each row. So those of a cell lie side by side.
    sides_m: Vec<[f64; 2]>,
    lowest_m: f64,
    highest_m: f64,
}

/// South-west, south-east, north-west, north-east, and the shares of the way east and
/// north.
type Corners = ([f64; 4], f64, f64);

#[inline(always)]
fn height_in(&([a, b, c, d], u, v): &Corners) -> f64 {
    let (south, north) = (a + (b - a) * u, c + (d - c) * u);
    south + (north - south) * v
}

#[inline(always)]
fn gradient_in(&([a, b, c, d], u, v): &Corners, per_m: f64) -> [f64; 2] {
    [
        ((b - a) * (1.0 - v) + (d - c) * v) * per_m,
        ((c - a) * (1.0 - u) + (d - b) * u) * per_m,
    ]
}

struct Spot {
    at: Point2<f64>,
    height_m: f64,
}

impl HasPosition for Spot {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        self.at
    }
}

impl Ground {
    /// Level ground at a height.
    #[must_use]
    pub fn flat(height_m: f64) -> Self {
        Self {
            cells: None,
            sides_m: Vec::new(),
            lowest_m: height_m,
            highest_m: height_m,
        }
    }

    /// Ground through these heights; flat where fewer than three, or all on
    /// one line, are given.
    #[must_use]
    pub fn through(heights: &[(Coord<f64>, f64)], window: Rect<f64>) -> Self {
        let step = heights.len().div_ceil(MOST_HEIGHTS).max(1);
        let mean = |list: &[(Coord<f64>, f64)]| match list.len() {
            0 => 0.0,
            n => list.iter().map(|each| each.1).sum::<f64>() / n as f64,
        };
        let (low, high) = heights.iter().fold((f64::MAX, f64::MIN), |(l, h), each| {
            (l.min(each.1), h.max(each.1))
        });
        if heights.len() < 3 || high - low < 1e-9 {
            return Self::flat(if heights.is_empty() {
                0.0
            } else {
                mean(heights)
            });
        }
        let mut triangles: DelaunayTriangulation<Spot> = DelaunayTriangulation::new();
        for &(at, height_m) in heights.iter().step_by(step) {
            // Points that the triangulation cannot hold (not finite) carry no height.
            let _ = triangles.insert(Spot {
                at: Point2::new(at.x, at.y),
                height_m,
            });
        }
        if triangles.num_inner_faces() == 0 {
            return Self::flat(mean(heights));
        }
        let cells = Cells::over(window, SPACING_M);
        let hull: Vec<[(Coord<f64>, f64); 2]> = triangles
            .convex_hull()
            .map(|edge| {
                let end = |spot: &Spot| {
                    (
                        Coord {
                            x: spot.at.x,
                            y: spot.at.y,
                        },
                        spot.height_m,
                    )
                };
                [end(edge.from().data()), end(edge.to().data())]
            })
            .collect();
        let barycentric = triangles.barycentric();
        let mut heights_m = Vec::with_capacity((cells.columns + 1) * (cells.rows + 1));
        for row in 0..=cells.rows {
            for column in 0..=cells.columns {
                let x = cells.west_m + column as f64 * cells.side_m;
                let y = cells.south_m + row as f64 * cells.side_m;
                let inside =
                    barycentric.interpolate(|spot| spot.data().height_m, Point2::new(x, y));
                heights_m.push(inside.unwrap_or_else(|| on_hull(&hull, Coord { x, y })));
            }
        }
        Self::sampled(cells, heights_m)
    }

    /// Ground of heights at the corners of cells, row by row from the south-west.
    pub(super) fn sampled(cells: Cells, heights_m: Vec<f64>) -> Self {
        let (lowest_m, highest_m) = heights_m
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), h| {
                (low.min(*h), high.max(*h))
            });
        if highest_m - lowest_m < 1e-9 {
            return Self::flat(lowest_m);
        }
        let (southern, northern) = (heights_m.iter(), heights_m.iter().skip(cells.columns + 1));
        Self {
            sides_m: southern.zip(northern).map(|(s, n)| [*s, *n]).collect(),
            cells: Some(cells),
            lowest_m,
            highest_m,
        }
    }

    /// Height at a point, m.
    #[inline(always)]
    #[must_use]
    pub fn height_m(&self, east_m: f64, north_m: f64) -> f64 {
        match &self.cells {
            None => self.lowest_m,
            Some(cells) => {
                let place = cells.place(east_m, north_m);
                height_in(&match cells.inside(place) {
                    Some(cell) => self.corners(cells, place, cell),
                    None => self.nearest_corners(cells, place),
                })
            }
        }
    }

    /// Height and slope at a point, as [`Ground::height_m`] and [`Ground::gradient`] have
    /// them.
    #[inline]
    #[must_use]
    pub fn height_and_gradient(&self, east_m: f64, north_m: f64) -> (f64, [f64; 2]) {
        let Some(cells) = &self.cells else {
            return (self.lowest_m, [0.0, 0.0]);
        };
        let place = cells.place(east_m, north_m);
        if let Some(cell) = cells.inside(place) {
            let corners = self.corners(cells, place, cell);
            (height_in(&corners), gradient_in(&corners, cells.per_m))
        } else {
            (height_in(&self.nearest_corners(cells, place)), [0.0, 0.0])
        }
    }

    /// Slope at a point: rise per metre east and per metre north. Level
    /// outside of the grid.
    #[inline]
    #[must_use]
    pub fn gradient(&self, east_m: f64, north_m: f64) -> [f64; 2] {
        let Some(cells) = &self.cells else {
            return [0.0, 0.0];
        };
        let place = cells.place(east_m, north_m);
        match cells.inside(place) {
            Some(cell) => gradient_in(&self.corners(cells, place, cell), cells.per_m),
            None => [0.0, 0.0],
        }
    }

    /// No ground between these bounds, west and east, south and north, is higher, m.
    pub(super) fn highest_within_m(&self, east_m: [f64; 2], north_m: [f64; 2]) -> f64 {
        let Some(cells) = &self.cells else {
            return self.highest_m;
        };
        // Ground outside of the grid is that of the nearest point of the grid.
        let corners = |[low, high]: [f64; 2], from: f64, count: usize| {
            let at = |m: f64| ((m - from) * cells.per_m).clamp(0.0, count as f64);
            at(low).floor() as usize..=at(high).ceil() as usize
        };
        let columns = corners(east_m, cells.west_m, cells.columns);
        corners(north_m, cells.south_m, cells.rows)
            .flat_map(|row| columns.clone().map(move |column| (row, column)))
            .map(|(row, column)| {
                // North of the last row of cells.
                let last = row == cells.rows;
                let sides = self.sides_m[(row - usize::from(last)) * (cells.columns + 1) + column];
                sides[usize::from(last)]
            })
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// Heights at the corners of a cell, and where in it a place lies.
    // So that a height and a slope of one place find its cell once.
    #[inline(always)]
    fn corners(&self, cells: &Cells, [x, y]: [f64; 2], [column, row]: [usize; 2]) -> Corners {
        // It cannot wrap for a cell of the grid, and the list is checked.
        let along = cells.columns.wrapping_add(1);
        let at = row.wrapping_mul(along).wrapping_add(column);
        let sides = &self.sides_m[at..][..2];
        let ([a, c], [b, d]) = (sides[0], sides[1]);
        ([a, b, c, d], x - column as f64, y - row as f64)
    }

    /// The same for a place outside of the grid: of the nearest on its edge.
    #[cold]
    fn nearest_corners(&self, cells: &Cells, place: [f64; 2]) -> Corners {
        let place = cells.nearest(place);
        let [column, row] = whole(place);
        let cell = [column.min(cells.columns - 1), row.min(cells.rows - 1)];
        self.corners(cells, place, cell)
    }

    /// True where the map gave no slope.
    #[must_use]
    pub fn is_flat(&self) -> bool {
        self.cells.is_none()
    }

    /// Lowest height, m.
    #[must_use]
    pub fn lowest_m(&self) -> f64 {
        self.lowest_m
    }

    /// Highest height, m.
    #[must_use]
    pub fn highest_m(&self) -> f64 {
        self.highest_m
    }
}

/// Height at the point of the hull nearest to a point outside of it.
fn on_hull(hull: &[[(Coord<f64>, f64); 2]], at: Coord<f64>) -> f64 {
    let mut best = (f64::INFINITY, 0.0);
    for [(a, low), (b, high)] in hull {
        let d = *b - *a;
        let length_squared = d.x * d.x + d.y * d.y;
        let t = if length_squared > 0.0 {
            (((at.x - a.x) * d.x + (at.y - a.y) * d.y) / length_squared).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let off = at - (*a + d * t);
        let distance = off.x * off.x + off.y * off.y;
        if distance < best.0 {
            best = (distance, low + (high - low) * t);
        }
    }
    best.1
}

/// Every missing height takes that of the nearest neighbour that has one, ring by ring.
pub(super) fn filled(sampled: &[Option<f64>], columns: usize) -> Vec<f64> {
    let mut heights: Vec<f64> = sampled.iter().map(|h| h.unwrap_or(f64::NAN)).collect();
    let mut front: Vec<usize> = (0..heights.len())
        .filter(|&i| !heights[i].is_nan())
        .collect();
    while !front.is_empty() {
        let mut next = Vec::new();
        for &at in &front {
            let column = at % columns;
            let around = [
                (column > 0).then(|| at.wrapping_sub(1)),
                (column + 1 < columns).then_some(at + 1),
                at.checked_sub(columns),
                Some(at + columns),
            ];
            for neighbour in around.into_iter().flatten() {
                if heights.get(neighbour).is_some_and(|h| h.is_nan()) {
                    heights[neighbour] = heights[at];
                    next.push(neighbour);
                }
            }
        }
        front = next;
    }
    heights
}
