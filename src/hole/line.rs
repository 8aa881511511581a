//! Lengths and places along a line of play.

use geo::Coord;

/// Distance between two points, m.
pub(super) fn distance_m(a: Coord<f64>, b: Coord<f64>) -> f64 {
    (b.x - a.x).hypot(b.y - a.y)
}

/// Length of a line, m.
pub(super) fn length_m(line: &[Coord<f64>]) -> f64 {
    line.windows(2)
        .map(|pair| distance_m(pair[0], pair[1]))
        .sum()
}

/// The nearest place on a line: how far along it (m from its start), how far
/// off it the point is (m), and the line's direction there (unit vector).
pub(super) fn nearest(line: &[Coord<f64>], point: Coord<f64>) -> (f64, f64, Coord<f64>) {
    let mut best = (0.0, f64::INFINITY, Coord { x: 0.0, y: 1.0 });
    let mut before = 0.0;
    for pair in line.windows(2) {
        let d = pair[1] - pair[0];
        let length = d.x.hypot(d.y);
        if length > 0.0 {
            let p = point - pair[0];
            let t = ((p.x * d.x + p.y * d.y) / (length * length)).clamp(0.0, 1.0);
            let off = distance_m(pair[0] + d * t, point);
            if off < best.1 {
                best = (before + t * length, off, d / length);
            }
        }
        before += length;
    }
    best
}

/// Points along a line, at most this far apart, both ends included.
pub(super) fn sampled(line: &[Coord<f64>], apart_m: f64) -> Vec<Coord<f64>> {
    let mut points = Vec::new();
    for pair in line.windows(2) {
        let pieces = (distance_m(pair[0], pair[1]) / apart_m)
            .ceil()
            .clamp(1.0, 10_000.0) as usize;
        for piece in 0..pieces {
            points.push(pair[0] + (pair[1] - pair[0]) * (piece as f64 / pieces as f64));
        }
    }
    points.extend(line.last());
    points
}

/// The way from a tee along the line of play to the pin: the tee, the corners
/// still ahead of it, the pin in place of the line's end.
pub(super) fn from_tee(line: &[Coord<f64>], tee: Coord<f64>, pin: Coord<f64>) -> Vec<Coord<f64>> {
    let (passed, _, _) = nearest(line, tee);
    let mut way = vec![tee];
    let mut along = 0.0;
    for (at, pair) in line.windows(2).enumerate() {
        along += distance_m(pair[0], pair[1]);
        let is_corner = at + 2 < line.len();
        if is_corner && along > passed {
            way.push(pair[1]);
        }
    }
    way.push(pin);
    way
}
