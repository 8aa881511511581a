//! Lengths and places along a line of play.

use geo::{Coord, Rect};

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

/// Like [`sampled`], but only the points inside a window, without visiting the
/// others.
pub(super) fn sampled_within(
    line: &[Coord<f64>],
    apart_m: f64,
    window: Rect<f64>,
) -> Vec<Coord<f64>> {
    let mut points = Vec::new();
    let (low, high) = (window.min(), window.max());
    for pair in line.windows(2) {
        let d = pair[1] - pair[0];
        // The share of the piece inside the window (Liang and Barsky 1984).
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (start, step, low, high) in [
            (pair[0].x, d.x, low.x, high.x),
            (pair[0].y, d.y, low.y, high.y),
        ] {
            if step == 0.0 {
                if start < low || start > high {
                    from = 2.0;
                }
            } else {
                let (a, b) = ((low - start) / step, (high - start) / step);
                from = from.max(a.min(b));
                to = to.min(a.max(b));
            }
        }
        let pieces = (distance_m(pair[0], pair[1]) / apart_m).ceil().max(1.0);
        if from <= to {
            let mut piece = (from * pieces).ceil();
            while piece <= to * pieces && piece < pieces {
                points.push(pair[0] + d * (piece / pieces));
                piece += 1.0;
            }
        }
    }
    let inside =
        |at: &Coord<f64>| at.x >= low.x && at.x <= high.x && at.y >= low.y && at.y <= high.y;
    points.extend(line.last().copied().filter(inside));
    points
}
