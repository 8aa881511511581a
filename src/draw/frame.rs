//! From the plane to paper: one rotation, one scale, one shift.

use super::scene::{Point, Step};
use geo::Coord;

/// A rectangle on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Left.
    pub left: f64,
    /// Top.
    pub top: f64,
    /// Right.
    pub right: f64,
    /// Bottom.
    pub bottom: f64,
}

impl Area {
    /// Whether two areas share more than an edge.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Whether a point lies in it, its edges included.
    #[must_use]
    pub fn holds(&self, p: Point) -> bool {
        p[0] >= self.left && p[0] <= self.right && p[1] >= self.top && p[1] <= self.bottom
    }

    /// Whether another area lies wholly in it.
    #[must_use]
    pub fn encloses(&self, other: &Self) -> bool {
        other.left >= self.left
            && other.right <= self.right
            && other.top >= self.top
            && other.bottom <= self.bottom
    }

    /// Wider by a margin on every side.
    #[must_use]
    pub fn grown(&self, by: f64) -> Self {
        Self {
            left: self.left - by,
            top: self.top - by,
            right: self.right + by,
            bottom: self.bottom + by,
        }
    }

    /// Width.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// The point of it that is nearest to another.
    #[must_use]
    pub fn nearest(&self, p: Point) -> Point {
        [
            p[0].max(self.left).min(self.right),
            p[1].max(self.top).min(self.bottom),
        ]
    }

    /// The part of a line that lies inside, if any (Liang and Barsky,
    /// *ACM Transactions on Graphics* 3(1) (1984), 1–22; memory).
    #[must_use]
    pub fn part_of(&self, a: Point, b: Point) -> Option<[Point; 2]> {
        let step = [b[0] - a[0], b[1] - a[1]];
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (p, q) in [
            (-step[0], a[0] - self.left),
            (step[0], self.right - a[0]),
            (-step[1], a[1] - self.top),
            (step[1], self.bottom - a[1]),
        ] {
            if p == 0.0 {
                if q < 0.0 {
                    return None;
                }
            } else if p < 0.0 {
                from = from.max(q / p);
            } else {
                to = to.min(q / p);
            }
        }
        (from <= to).then(|| {
            [
                [a[0] + step[0] * from, a[1] + step[1] * from],
                [a[0] + step[0] * to, a[1] + step[1] * to],
            ]
        })
    }
}

/// The map's place on the page, and the way from the plane to it.
#[derive(Clone, Copy, Debug)]
pub struct Frame {
    /// Where on the page the map may draw.
    pub area: Area,
    /// One to this on paper.
    pub scale: f64,
    /// Unit vector on the plane (east, north) which is up on the page.
    pub up: [f64; 2],
    middle: Coord<f64>,
    foot: Point,
}

/// Tenths of a millimetre in a metre.
const PER_METRE: f64 = 10_000.0;

impl Frame {
    /// A frame in `area` in which the way from `peg` to `pin` runs up the page
    /// and all of `needed` (metres east and north) lies in `inner`, one to
    /// `largest_scale` at most.
    ///
    /// The scale is the largest of the steps of 50 (1:1500, 1:1550, …) that
    /// does this. What is not finite is left out.
    #[must_use]
    pub fn fit(
        area: Area,
        inner: Area,
        [peg, pin]: [Coord<f64>; 2],
        needed: &[Coord<f64>],
        largest_scale: f64,
    ) -> Self {
        let away = [pin.x - peg.x, pin.y - peg.y];
        let length = away[0].hypot(away[1]);
        let up = if length.is_finite() && length > 1.0 {
            [away[0] / length, away[1] / length]
        } else {
            [0.0, 1.0]
        };
        let (mut low, mut high) = ([f64::MAX; 2], [f64::MIN; 2]);
        for c in needed.iter().chain([&peg, &pin]) {
            let (dx, dy) = (c.x - peg.x, c.y - peg.y);
            let seen = [dx * up[1] - dy * up[0], dx * up[0] + dy * up[1]];
            if seen.iter().all(|v| v.is_finite() && v.abs() < 5_000.0) {
                for k in 0..2 {
                    low[k] = low[k].min(seen[k]);
                    high[k] = high[k].max(seen[k]);
                }
            }
        }
        if low[0] > high[0] {
            (low, high) = ([0.0; 2], [1.0; 2]);
        }
        let size = [
            (high[0] - low[0]).max(1.0) * PER_METRE / inner.width(),
            (high[1] - low[1]).max(1.0) * PER_METRE / inner.height(),
        ];
        let scale = ((size[0].max(size[1]) / 50.0).ceil() * 50.0).max(largest_scale);
        let across = (low[0] + high[0]) / 2.0;
        let middle = Coord {
            x: peg.x + across * up[1] + low[1] * up[0],
            y: peg.y - across * up[0] + low[1] * up[1],
        };
        // What the scale leaves over goes above and below alike.
        let spare = inner.height() - (high[1] - low[1]).max(1.0) * PER_METRE / scale;
        let foot = [
            (inner.left + inner.right) / 2.0,
            inner.bottom - spare.max(0.0) * 0.4,
        ];
        Self {
            area,
            scale,
            up,
            middle,
            foot,
        }
    }

    /// A frame in which `middle` lies in the middle of `area`, `bearing_deg`
    /// (true) is up, and one is to `scale`.
    #[must_use]
    pub fn at_scale(area: Area, middle: Coord<f64>, bearing_deg: f64, scale: f64) -> Self {
        let (east, north) = bearing_deg.to_radians().sin_cos();
        Self {
            area,
            scale,
            up: [east, north],
            middle,
            foot: [
                (area.left + area.right) / 2.0,
                (area.top + area.bottom) / 2.0,
            ],
        }
    }

    /// A length of the ground on paper.
    #[must_use]
    pub fn length(&self, metres: f64) -> f64 {
        metres * PER_METRE / self.scale
    }

    /// A length on paper, on the ground.
    #[must_use]
    pub fn metres(&self, length: f64) -> f64 {
        length * self.scale / PER_METRE
    }

    /// A place of the plane on paper.
    #[must_use]
    pub fn place(&self, c: Coord<f64>) -> Point {
        let (dx, dy) = (c.x - self.middle.x, c.y - self.middle.y);
        let across = dx * self.up[1] - dy * self.up[0];
        let along = dx * self.up[0] + dy * self.up[1];
        [
            self.foot[0] + self.length(across),
            self.foot[1] - self.length(along),
        ]
    }

    /// The place of the plane at a point on paper.
    #[must_use]
    pub fn plane(&self, p: Point) -> Coord<f64> {
        let across = (p[0] - self.foot[0]) * self.scale / PER_METRE;
        let along = (self.foot[1] - p[1]) * self.scale / PER_METRE;
        Coord {
            x: self.middle.x + across * self.up[1] + along * self.up[0],
            y: self.middle.y - across * self.up[0] + along * self.up[1],
        }
    }

    /// Direction on paper (unit vector) of a true bearing in degrees.
    #[must_use]
    pub fn direction(&self, bearing_deg: f64) -> Point {
        let (east, north) = bearing_deg.to_radians().sin_cos();
        [
            east * self.up[1] - north * self.up[0],
            -(east * self.up[0] + north * self.up[1]),
        ]
    }
}

/// The strip of land that is drawn: everything within a width of a way.
#[derive(Clone, Debug)]
pub struct Strip {
    way: Vec<Point>,
    half: f64,
}

impl Strip {
    /// Within `half` of a way of points on paper.
    #[must_use]
    pub fn new(way: Vec<Point>, half: f64) -> Self {
        Self { way, half }
    }

    /// All that an area holds.
    #[must_use]
    pub fn filling(area: &Area) -> Self {
        let x = (area.left + area.right) / 2.0;
        Self::new(vec![[x, area.top], [x, area.bottom]], area.width())
    }

    /// How far a point is from the middle of the strip.
    #[must_use]
    pub fn off(&self, p: Point) -> f64 {
        self.way
            .windows(2)
            .map(|w| to_segment(p, w[0], w[1]))
            .fold(f64::MAX, f64::min)
    }

    /// Whether a point lies on the strip, `margin` inside its edge.
    #[must_use]
    pub fn holds(&self, p: Point, margin: f64) -> bool {
        self.off(p) <= self.half - margin
    }

    /// Its outline: a capsule around each piece of the way, all turning the
    /// same way, to be filled by the non-zero rule.
    #[must_use]
    pub fn outline(&self) -> Vec<Step> {
        let mut steps = Vec::new();
        for w in self.way.windows(2) {
            let angle = (w[1][1] - w[0][1]).atan2(w[1][0] - w[0][0]);
            let mut first = true;
            for (centre, start) in [
                (w[1], angle - 90f64.to_radians()),
                (w[0], angle + 90f64.to_radians()),
            ] {
                for k in 0..=16 {
                    let (s, c) = (start + f64::from(k) * std::f64::consts::PI / 16.0).sin_cos();
                    let p = [centre[0] + self.half * c, centre[1] + self.half * s];
                    steps.push(if first { Step::Move(p) } else { Step::Line(p) });
                    first = false;
                }
            }
            steps.push(Step::Close);
        }
        steps
    }
}

/// Distance from a point to a piece of line.
#[must_use]
pub fn to_segment(p: Point, a: Point, b: Point) -> f64 {
    let d = [b[0] - a[0], b[1] - a[1]];
    let whole = d[0] * d[0] + d[1] * d[1];
    let t = if whole > 0.0 {
        (((p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1]) / whole).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (p[0] - a[0] - d[0] * t).hypot(p[1] - a[1] - d[1] * t)
}
