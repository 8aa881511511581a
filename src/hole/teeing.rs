//! Teeing areas: from two tee-markers, else from the tee's outline and node.
//!
//! # Rules of Golf 2023, definition "Teeing Area"
//! A rectangle two club-lengths deep; its front is the line between the
//! forward-most points of the two tee-markers, its sides run back from their
//! outside points.
//!
//! Where the map has no tee-markers, a pair is put by rule: on a line square to
//! the line of play, through the tee's node if there is one, else through the
//! middle of its outline, as wide as the outline is there less
//! [`EDGE_MARGIN_M`] at either side. A node without an outline gets
//! [`NODE_WIDTH_M`]. All of these are marked as assumed.

use geo::{Centroid, Contains, Coord, InteriorPoint, Polygon};

use super::TeeingArea;
use super::line;

/// Left free between a marker and the edge of the mown tee, m (practice).
pub(super) const EDGE_MARGIN_M: f64 = 0.5;
/// Width between the markers where only a tee's node is known, m (practice).
pub(super) const NODE_WIDTH_M: f64 = 6.0;
/// Narrowest and widest pair of tee-markers believed, m.
pub(super) const WIDTH_BAND_M: [f64; 2] = [1.0, 60.0];

impl TeeingArea {
    /// Distance between the outside points of the two markers, m.
    #[must_use]
    pub fn width_m(&self) -> f64 {
        line::distance_m(self.left, self.right)
    }

    /// Unit vector square to the line between the markers, down the hole:
    /// east, north.
    #[must_use]
    pub fn forward(&self) -> [f64; 2] {
        let [x, y] = self.rightward();
        [-y, x]
    }

    /// A peg on the plane: metres from the left marker's outside point along
    /// the front line, and metres behind that line.
    #[must_use]
    pub fn peg(&self, from_left_m: f64, behind_front_m: f64) -> Coord<f64> {
        let [x, y] = self.rightward();
        Coord {
            x: self.left.x + x * from_left_m + y * behind_front_m,
            y: self.left.y + y * from_left_m - x * behind_front_m,
        }
    }

    /// Middle between the two markers.
    #[must_use]
    pub fn middle(&self) -> Coord<f64> {
        (self.left + self.right) / 2.0
    }

    fn rightward(&self) -> [f64; 2] {
        let d = self.right - self.left;
        let width = d.x.hypot(d.y);
        if width > 0.0 {
            [d.x / width, d.y / width]
        } else {
            [1.0, 0.0]
        }
    }
}

/// A pair of points ordered left and right for a player looking this way.
pub(super) fn ordered(
    a: Coord<f64>,
    b: Coord<f64>,
    forward: Coord<f64>,
) -> (Coord<f64>, Coord<f64>) {
    let right = Coord {
        x: forward.y,
        y: -forward.x,
    };
    let d = b - a;
    if d.x * right.x + d.y * right.y >= 0.0 {
        (a, b)
    } else {
        (b, a)
    }
}

/// Markers for a tee of which only one point is known.
pub(super) fn at_point(at: Coord<f64>, forward: Coord<f64>) -> (Coord<f64>, Coord<f64>) {
    let half = Coord {
        x: forward.y,
        y: -forward.x,
    } * (NODE_WIDTH_M / 2.0);
    (at - half, at + half)
}

/// The point of a tee's outline that stands for it: its centroid, or a point
/// inside where the outline is so bent that the centroid lies outside.
pub(super) fn middle_of(outline: &Polygon<f64>) -> Option<Coord<f64>> {
    let centroid = outline.centroid()?;
    if outline.contains(&centroid) {
        return Some(centroid.0);
    }
    outline.interior_point().map(|point| point.0)
}

/// Markers on a tee's outline, square to `forward`, through a point inside;
/// none where the tee is too narrow there for a pair.
pub(super) fn across(
    outline: &Polygon<f64>,
    through: Coord<f64>,
    forward: Coord<f64>,
) -> Option<(Coord<f64>, Coord<f64>)> {
    let right = Coord {
        x: forward.y,
        y: -forward.x,
    };
    let (mut to_left, mut to_right) = (f64::NEG_INFINITY, f64::INFINITY);
    for ring in std::iter::once(outline.exterior()).chain(outline.interiors()) {
        for edge in ring.lines() {
            let ahead =
                |p: Coord<f64>| (p.x - through.x) * forward.x + (p.y - through.y) * forward.y;
            let aside = |p: Coord<f64>| (p.x - through.x) * right.x + (p.y - through.y) * right.y;
            let (a, b) = (ahead(edge.start), ahead(edge.end));
            if (a <= 0.0) != (b <= 0.0) {
                let t = a / (a - b);
                let at = aside(edge.start) + (aside(edge.end) - aside(edge.start)) * t;
                if at < 0.0 {
                    to_left = to_left.max(at);
                } else {
                    to_right = to_right.min(at);
                }
            }
        }
    }
    let (left, right_end) = (to_left + EDGE_MARGIN_M, to_right - EDGE_MARGIN_M);
    let width = right_end - left;
    (width.is_finite() && width >= WIDTH_BAND_M[0]).then(|| {
        (
            through + right * left,
            through + right * right_end.min(left + WIDTH_BAND_M[1]),
        )
    })
}

/// Colours in a `tee` tag: lower case, split at semicolons.
pub(super) fn colours(tag: Option<&str>) -> Vec<String> {
    tag.unwrap_or("")
        .split(';')
        .map(|colour| colour.trim().to_lowercase())
        .filter(|colour| !colour.is_empty())
        .collect()
}
