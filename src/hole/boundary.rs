//! A boundary drawn as a line, turned into the area behind it.
//!
//! The area is bounded by the line itself and by a straight cut from each of
//! its ends to the edge of the hole's window. The cut runs square away from
//! the last piece of the line; where it would meet the line or the other cut
//! it is turned outwards in steps of 30°, at most until it prolongs the line.
//! So nothing is out beyond the ends of what was drawn, and everything behind
//! it is.

use geo::{Coord, LineString, Polygon, Rect};

/// Which side of a line, looking along it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
}

/// The side of a line on which most of these points lie; none without points.
/// The flag is true when some lie on the other side.
pub(super) fn side_of(line: &[Coord<f64>], points: &[Coord<f64>]) -> Option<(Side, bool)> {
    let (mut left, mut right) = (0_usize, 0_usize);
    for &point in points {
        let offset = signed_offset(line, point)?;
        if offset > 0.0 {
            right += 1;
        } else if offset < 0.0 {
            left += 1;
        }
    }
    let side = if right >= left {
        Side::Right
    } else {
        Side::Left
    };
    (left + right > 0).then_some((side, left > 0 && right > 0))
}

/// Distance of a point from a line, right positive. Where a corner is
/// nearest, the piece that the point stands more square to decides.
fn signed_offset(line: &[Coord<f64>], point: Coord<f64>) -> Option<f64> {
    let mut best: Option<(f64, f64)> = None;
    for pair in line.windows(2) {
        let (a, d) = (pair[0], pair[1] - pair[0]);
        let length = d.x.hypot(d.y);
        if length == 0.0 {
            continue;
        }
        let p = point - a;
        let along = ((p.x * d.x + p.y * d.y) / (length * length)).clamp(0.0, 1.0);
        let off = p - d * along;
        let distance = off.x.hypot(off.y);
        let square = (p.x * d.y - p.y * d.x) / length;
        let better = best.is_none_or(|(nearest, offset)| {
            distance < nearest - 1e-9 || (distance < nearest + 1e-9 && square.abs() > offset.abs())
        });
        if better {
            best = Some((distance, square));
        }
    }
    best.map(|(distance, square)| distance.copysign(square))
}

/// The area on one side of a line, reaching beyond the window; none where the
/// line winds so that neither end can be led out.
pub(super) fn behind(line: &[Coord<f64>], out: Side, window: Rect<f64>) -> Option<Polygon<f64>> {
    let mut line: Vec<Coord<f64>> = line.to_vec();
    line.dedup();
    if line.len() < 2 {
        return None;
    }
    let frame = line.iter().fold(window, |frame, &at| {
        Rect::new(
            Coord {
                x: frame.min().x.min(at.x),
                y: frame.min().y.min(at.y),
            },
            Coord {
                x: frame.max().x.max(at.x),
                y: frame.max().y.max(at.y),
            },
        )
    });
    let frame = Rect::new(
        frame.min() - Coord { x: 50.0, y: 50.0 },
        frame.max() + Coord { x: 50.0, y: 50.0 },
    );
    let turn = match out {
        Side::Right => Coord { x: 1.0, y: -1.0 },
        Side::Left => Coord { x: -1.0, y: 1.0 },
    };
    let n = line.len();
    // Square to a direction, on the side that is out.
    let square = |d: Coord<f64>| Coord {
        x: d.y * turn.x,
        y: d.x * turn.y,
    };
    let (first, last) = (unit(line[0], line[1]), unit(line[n - 2], line[n - 1]));
    for step in 0..=6_u32 {
        // Turn the two cuts outwards one after the other: (0,0), (30,0)…
        for back in 0..=step.min(3) {
            let ahead = step - back;
            if ahead > 3 {
                continue;
            }
            let lean = |square: Coord<f64>, outwards: Coord<f64>, steps: u32| {
                let (sin, cos) = (f64::from(steps) * 30.0_f64).to_radians().sin_cos();
                square * cos + outwards * sin
            };
            let from = to_frame(line[0], lean(square(first), first * -1.0, back), frame);
            let to = to_frame(line[n - 1], lean(square(last), last, ahead), frame);
            let start_cut = (line[0], from);
            let end_cut = (line[n - 1], to);
            let clear = !meets(&line[1..], start_cut)
                && !meets(&line[..n - 1], end_cut)
                && !segments_cross(start_cut, end_cut);
            if clear {
                let mut ring = vec![from];
                ring.extend(&line);
                ring.push(to);
                ring.extend(around(frame, to, from, out));
                return Some(Polygon::new(LineString::new(ring), Vec::new()));
            }
        }
    }
    None
}

fn unit(a: Coord<f64>, b: Coord<f64>) -> Coord<f64> {
    let d = b - a;
    d / d.x.hypot(d.y)
}

/// Where a ray from inside a frame leaves it.
fn to_frame(from: Coord<f64>, direction: Coord<f64>, frame: Rect<f64>) -> Coord<f64> {
    let reach = |at: f64, d: f64, low: f64, high: f64| {
        if d > 0.0 {
            (high - at) / d
        } else if d < 0.0 {
            (low - at) / d
        } else {
            f64::INFINITY
        }
    };
    let t = reach(from.x, direction.x, frame.min().x, frame.max().x).min(reach(
        from.y,
        direction.y,
        frame.min().y,
        frame.max().y,
    ));
    let at = from + direction * t;
    Coord {
        x: at.x.clamp(frame.min().x, frame.max().x),
        y: at.y.clamp(frame.min().y, frame.max().y),
    }
}

/// The frame's corners passed on the way from one point of it to another:
/// clockwise when out is on the right, the other way when it is on the left.
fn around(frame: Rect<f64>, from: Coord<f64>, to: Coord<f64>, out: Side) -> Vec<Coord<f64>> {
    let (w, s, e, n) = (frame.min().x, frame.min().y, frame.max().x, frame.max().y);
    // Clockwise from the north-west corner; place along it, in lengths of the frame.
    let (width, height) = (e - w, n - s);
    let place = |at: Coord<f64>| {
        let gaps = [n - at.y, e - at.x, at.y - s, at.x - w];
        let side = (0..4)
            .min_by(|&i, &j| gaps[i].abs().total_cmp(&gaps[j].abs()))
            .unwrap_or(0);
        match side {
            0 => at.x - w,
            1 => width + (n - at.y),
            2 => width + height + (e - at.x),
            _ => 2.0 * width + height + (at.y - s),
        }
    };
    let corners = [
        (width, Coord { x: e, y: n }),
        (width + height, Coord { x: e, y: s }),
        (2.0 * width + height, Coord { x: w, y: s }),
        (2.0 * (width + height), Coord { x: w, y: n }),
    ];
    let total = 2.0 * (width + height);
    let start = place(from);
    let ahead = |at: f64| match out {
        Side::Right => (at - start).rem_euclid(total),
        Side::Left => (start - at).rem_euclid(total),
    };
    let end = ahead(place(to));
    let mut passed: Vec<(f64, Coord<f64>)> = corners
        .iter()
        .map(|&(at, corner)| (ahead(at), corner))
        .filter(|&(at, _)| at > 0.0 && at < end)
        .collect();
    passed.sort_by(|one, other| one.0.total_cmp(&other.0));
    passed.into_iter().map(|each| each.1).collect()
}

/// Whether a cut crosses a line other than at its own start.
fn meets(line: &[Coord<f64>], cut: (Coord<f64>, Coord<f64>)) -> bool {
    line.windows(2)
        .any(|pair| segments_cross((pair[0], pair[1]), cut))
}

fn segments_cross(one: (Coord<f64>, Coord<f64>), other: (Coord<f64>, Coord<f64>)) -> bool {
    let side = |a: Coord<f64>, b: Coord<f64>, p: Coord<f64>| {
        (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)
    };
    let (p, q) = (side(one.0, one.1, other.0), side(one.0, one.1, other.1));
    let (r, s) = (side(other.0, other.1, one.0), side(other.0, other.1, one.1));
    p * q <= 0.0 && r * s <= 0.0 && !(p == 0.0 && q == 0.0)
}

/// A line widened to an area, for a ditch or stream drawn as a line: each
/// piece becomes a rectangle with a half-octagon at its ends.
pub(super) fn widened(line: &[Coord<f64>], width_m: f64) -> Vec<Polygon<f64>> {
    let half = width_m / 2.0;
    line.windows(2)
        .filter(|pair| pair[0] != pair[1])
        .map(|pair| {
            let d = unit(pair[0], pair[1]) * half;
            let right = Coord { x: d.y, y: -d.x };
            let cap = |at: Coord<f64>, d: Coord<f64>, right: Coord<f64>| {
                let corner = std::f64::consts::FRAC_1_SQRT_2;
                [
                    at + right,
                    at + (right + d) * corner,
                    at + d,
                    at + (d - right) * corner,
                    at - right,
                ]
            };
            let mut ring = cap(pair[1], d, right).to_vec();
            ring.extend(cap(pair[0], d * -1.0, right * -1.0));
            Polygon::new(LineString::new(ring), Vec::new())
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::{Area, Contains, Point};

    fn at(x: f64, y: f64) -> Coord<f64> {
        Coord { x, y }
    }

    #[test]
    fn the_two_sides_of_a_line_share_the_frame_between_them() {
        let window = Rect::new(at(-100.0, -100.0), at(100.0, 100.0));
        // Both cuts run square to a straight line: the sides are rectangles.
        let line = [at(10.0, -40.0), at(10.0, 60.0)];
        let right = behind(&line, Side::Right, window).unwrap();
        let left = behind(&line, Side::Left, window).unwrap();
        assert!((right.unsigned_area() - 100.0 * 140.0).abs() < 1e-6);
        assert!((left.unsigned_area() - 100.0 * 160.0).abs() < 1e-6);
        assert!(right.contains(&Point::new(11.0, 0.0)) && !right.contains(&Point::new(9.0, 0.0)));
        assert!(left.contains(&Point::new(9.0, 0.0)) && !left.contains(&Point::new(11.0, 0.0)));
    }

    #[test]
    fn the_side_is_told_past_corners() {
        let line = [at(0.0, 0.0), at(0.0, 100.0), at(100.0, 100.0)];
        assert_eq!(
            side_of(&line, &[at(20.0, 20.0), at(80.0, 80.0)]),
            Some((Side::Right, false))
        );
        assert_eq!(
            side_of(&line, &[at(-20.0, 120.0)]),
            Some((Side::Left, false))
        );
        assert_eq!(
            side_of(&line, &[at(20.0, 20.0), at(50.0, 50.0), at(-5.0, 5.0)]),
            Some((Side::Right, true))
        );
        assert_eq!(side_of(&line, &[]), None);
        assert_eq!(
            side_of(&[at(1.0, 1.0), at(1.0, 1.0)], &[at(0.0, 0.0)]),
            None
        );
    }

    #[test]
    fn a_spiral_has_no_side_to_tell() {
        let window = Rect::new(at(-100.0, -100.0), at(100.0, 100.0));
        let spiral = [
            at(0.0, 0.0),
            at(20.0, 0.0),
            at(20.0, 20.0),
            at(-20.0, 20.0),
            at(-20.0, -20.0),
            at(40.0, -20.0),
            at(40.0, 40.0),
        ];
        assert!(behind(&spiral, Side::Left, window).is_none());
    }

    #[test]
    fn a_widened_line_is_as_wide_as_asked() {
        let parts = widened(&[at(0.0, 0.0), at(0.0, 50.0)], 4.0);
        assert_eq!(parts.len(), 1);
        assert!(
            parts[0].contains(&Point::new(1.9, 25.0)) && !parts[0].contains(&Point::new(2.1, 25.0))
        );
        assert!(
            parts[0].contains(&Point::new(0.0, -1.9)) && !parts[0].contains(&Point::new(0.0, -2.1))
        );
    }
}
