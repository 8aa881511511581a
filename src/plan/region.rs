//! Densest regions: the smallest areas that hold half and 90 % of the balls.
//!
//! Kernel density on a grid, cut at the density that the wanted share of the
//! balls exceeds (a highest-density region: Hyndman, *The American
//! Statistician* 50(2) (1996) 120–126; memory, 90 %). Because the level is a
//! quantile of the density at the balls themselves, the region of a bivariate
//! normal keeps its true area although the kernel widens the density. The
//! bandwidth is Scott's n^(−1/6) in axes whitened by the balls' own spread
//! (Scott, *Multivariate Density Estimation* (1992), ch. 6; memory, 90 %),
//! with outliers left out of the spread. Contours are traced with the
//! `contour` crate.

use geo::{Contains, Coord, LineString, Polygon};

/// Cells along each side of the grid.
const CELLS: usize = 128;
/// Balls further than this many spreads out do not stretch the grid.
const FAR: f64 = 5.0;

/// A region as polygons, with holes, on the plane.
pub type Region = Vec<Polygon<f64>>;

/// A frame in which the balls have unit spread in both directions.
struct Frame {
    middle: Coord<f64>,
    axis: [f64; 2],
    spread_m: [f64; 2],
}

impl Frame {
    /// Principal axes of the balls, by the covariance of those within three
    /// spreads, found in three rounds.
    fn of(balls: &[Coord<f64>]) -> Option<Self> {
        let mut frame: Option<Self> = None;
        for _ in 0..3 {
            let kept: Vec<Coord<f64>> = balls
                .iter()
                .copied()
                .filter(|b| {
                    frame.as_ref().is_none_or(|f| {
                        let [u, v] = f.whiten(*b);
                        u.hypot(v) < 3.0
                    })
                })
                .collect();
            if kept.is_empty() {
                return frame;
            }
            #[allow(clippy::cast_precision_loss)]
            let n = kept.len() as f64;
            let middle = Coord {
                x: kept.iter().map(|b| b.x).sum::<f64>() / n,
                y: kept.iter().map(|b| b.y).sum::<f64>() / n,
            };
            let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
            for b in &kept {
                let (x, y) = (b.x - middle.x, b.y - middle.y);
                xx += x * x / n;
                xy += x * y / n;
                yy += y * y / n;
            }
            let root = ((xx - yy) / 2.0).hypot(xy);
            let mean = f64::midpoint(xx, yy);
            let angle = 0.5 * (2.0 * xy).atan2(xx - yy);
            // Balls all in one place still get a spot of 10 cm.
            let spread = |variance: f64| variance.max(0.0).sqrt().max(0.1);
            frame = Some(Self {
                middle,
                axis: [angle.cos(), angle.sin()],
                spread_m: [spread(mean + root), spread(mean - root)],
            });
        }
        frame
    }

    fn whiten(&self, at: Coord<f64>) -> [f64; 2] {
        let (x, y) = (at.x - self.middle.x, at.y - self.middle.y);
        [
            (x * self.axis[0] + y * self.axis[1]) / self.spread_m[0],
            (y * self.axis[0] - x * self.axis[1]) / self.spread_m[1],
        ]
    }

    fn place(&self, u: f64, v: f64) -> Coord<f64> {
        let (u, v) = (u * self.spread_m[0], v * self.spread_m[1]);
        Coord {
            x: self.middle.x + u * self.axis[0] - v * self.axis[1],
            y: self.middle.y + u * self.axis[1] + v * self.axis[0],
        }
    }
}

/// A density on a square grid of the whitened frame.
struct Density {
    low: [f64; 2],
    step: [f64; 2],
    values: Vec<f64>,
}

impl Density {
    fn of(points: &[[f64; 2]]) -> Self {
        #[allow(clippy::cast_precision_loss)]
        let bandwidth = (points.len().max(1) as f64).powf(-1.0 / 6.0);
        let mut low = [0.0_f64; 2];
        let mut high = [0.0_f64; 2];
        for p in points.iter().filter(|p| p[0].hypot(p[1]) < FAR) {
            for axis in 0..2 {
                low[axis] = low[axis].min(p[axis]);
                high[axis] = high[axis].max(p[axis]);
            }
        }
        #[allow(clippy::cast_precision_loss)]
        let step: [f64; 2] = std::array::from_fn(|axis| {
            (high[axis] - low[axis] + 8.0 * bandwidth) / (CELLS - 1) as f64
        });
        let low = low.map(|l| l - 4.0 * bandwidth);
        let mut grid = Self {
            low,
            step,
            values: vec![0.0; CELLS * CELLS],
        };
        for p in points {
            if let Some((cell, weights)) = grid.corners(*p) {
                for (offset, weight) in weights {
                    grid.values[cell + offset] += weight;
                }
            }
        }
        grid.blur(bandwidth / step[0], 1);
        grid.blur(bandwidth / step[1], CELLS);
        grid
    }

    /// Cell and corner weights of a point (bilinear); none outside the grid.
    fn corners(&self, p: [f64; 2]) -> Option<(usize, [(usize, f64); 4])> {
        let mut cell = [0_usize; 2];
        let mut part = [0.0; 2];
        for axis in 0..2 {
            let place = (p[axis] - self.low[axis]) / self.step[axis];
            #[allow(clippy::cast_precision_loss)]
            let last = (CELLS - 1) as f64;
            if !(0.0..last).contains(&place) {
                return None;
            }
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let whole = place.floor() as usize;
            cell[axis] = whole;
            part[axis] = place - place.floor();
        }
        let [x, y] = part;
        Some((
            cell[1] * CELLS + cell[0],
            [
                (0, (1.0 - x) * (1.0 - y)),
                (1, x * (1.0 - y)),
                (CELLS, (1.0 - x) * y),
                (CELLS + 1, x * y),
            ],
        ))
    }

    /// Gaussian blur along one axis; `sigma` in cells, cut at four.
    fn blur(&mut self, sigma: f64, stride: usize) {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let reach = ((4.0 * sigma).ceil() as usize).clamp(1, CELLS);
        #[allow(clippy::cast_precision_loss)]
        let kernel: Vec<f64> = (0..=reach)
            .map(|k| (-0.5 * (k as f64 / sigma).powi(2)).exp())
            .collect();
        let other = if stride == 1 { CELLS } else { 1 };
        for line in 0..CELLS {
            let source: Vec<f64> = (0..CELLS)
                .map(|k| self.values[line * other + k * stride])
                .collect();
            for k in 0..CELLS {
                let mut sum = source[k] * kernel[0];
                for (d, weight) in kernel.iter().enumerate().skip(1) {
                    let before = if d <= k { source[k - d] } else { 0.0 };
                    let after = if k + d < CELLS { source[k + d] } else { 0.0 };
                    // Both neighbours in one sum: a mirrored grid blurs to the mirror image.
                    sum += weight * (before + after);
                }
                self.values[line * other + k * stride] = sum;
            }
        }
    }

    fn at(&self, p: [f64; 2]) -> f64 {
        self.corners(p).map_or(0.0, |(cell, weights)| {
            weights
                .iter()
                .map(|(offset, weight)| weight * self.values[cell + offset])
                .sum()
        })
    }
}

/// The densest regions that hold the given shares of the balls (0 to 1 each),
/// one region a share. Pieces that hold fewer than one ball in 200 are left
/// out. Empty regions for fewer than three finite balls.
#[must_use]
pub fn densest(balls: &[Coord<f64>], shares: &[f64]) -> Vec<Region> {
    let balls: Vec<Coord<f64>> = balls
        .iter()
        .copied()
        .filter(|b| b.x.is_finite() && b.y.is_finite())
        .collect();
    let nothing = vec![Region::new(); shares.len()];
    if balls.len() < 3 {
        return nothing;
    }
    let Some(frame) = Frame::of(&balls) else {
        return nothing;
    };
    let points: Vec<[f64; 2]> = balls.iter().map(|b| frame.whiten(*b)).collect();
    let density = Density::of(&points);
    let mut levels: Vec<f64> = points.iter().map(|p| density.at(*p)).collect();
    levels.sort_by(f64::total_cmp);
    shares
        .iter()
        .map(|share| {
            #[allow(
                clippy::cast_precision_loss,
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss
            )]
            let rank = ((1.0 - share.clamp(0.0, 1.0)) * levels.len() as f64) as usize;
            let level = levels[rank.min(levels.len() - 1)];
            trace(&density, level, &frame, &balls)
        })
        .collect()
}

/// Of every point the share of the balls that lie denser: a point whose share is at most `p` lies in the
/// densest region that holds `p` of the balls. 1 for a point outside, or where balls are fewer than three.
#[must_use]
pub fn denser(balls: &[Coord<f64>], points: &[Coord<f64>]) -> Vec<f64> {
    let balls: Vec<Coord<f64>> = balls
        .iter()
        .copied()
        .filter(|b| b.x.is_finite() && b.y.is_finite())
        .collect();
    let frame = Frame::of(&balls).filter(|_| balls.len() >= 3);
    let Some(frame) = frame else {
        return vec![1.0; points.len()];
    };
    let whitened: Vec<[f64; 2]> = balls.iter().map(|b| frame.whiten(*b)).collect();
    let density = Density::of(&whitened);
    let mut levels: Vec<f64> = whitened.iter().map(|p| density.at(*p)).collect();
    levels.sort_by(f64::total_cmp);
    let share = |point: &Coord<f64>| {
        let own = density.at(frame.whiten(*point));
        let thinner = levels.partition_point(|level| *level <= own);
        #[allow(clippy::cast_precision_loss)]
        let share = (levels.len() - thinner) as f64 / levels.len() as f64;
        share
    };
    points.iter().map(share).collect()
}

fn trace(density: &Density, level: f64, frame: &Frame, balls: &[Coord<f64>]) -> Region {
    // The crate puts sample i at i + ½.
    let builder = contour::ContourBuilder::new(CELLS, CELLS, true)
        .x_origin(density.low[0] - 0.5 * density.step[0])
        .y_origin(density.low[1] - 0.5 * density.step[1])
        .x_step(density.step[0])
        .y_step(density.step[1]);
    let Ok(mut contours) = builder.contours(&density.values, &[level]) else {
        return Region::new();
    };
    let Some(contour) = contours.pop() else {
        return Region::new();
    };
    let ring = |line: &LineString<f64>| -> LineString<f64> {
        line.coords().map(|c| frame.place(c.x, c.y)).collect()
    };
    let mut pieces: Vec<(usize, Polygon<f64>)> = contour
        .geometry()
        .iter()
        .map(|polygon| {
            let placed = Polygon::new(
                ring(polygon.exterior()),
                polygon.interiors().iter().map(ring).collect(),
            );
            let held = balls.iter().filter(|b| placed.contains(*b)).count();
            (held, placed)
        })
        .filter(|(held, _)| held * 200 >= balls.len())
        .collect();
    pieces.sort_by_key(|(held, _)| std::cmp::Reverse(*held));
    pieces.into_iter().map(|(_, polygon)| polygon).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{normal_quantile, points};
    use geo::Area;

    fn normal(count: usize, spread: [f64; 2], turn_deg: f64) -> Vec<Coord<f64>> {
        let (sin, cos) = turn_deg.to_radians().sin_cos();
        points(7, count)
            .iter()
            .map(|p| {
                let u = spread[0] * normal_quantile(p[0]);
                let v = spread[1] * normal_quantile(p[1]);
                Coord {
                    x: 30.0 + u * cos - v * sin,
                    y: 200.0 + u * sin + v * cos,
                }
            })
            .collect()
    }

    fn inside(region: &Region, balls: &[Coord<f64>]) -> f64 {
        #[allow(clippy::cast_precision_loss)]
        let share = balls
            .iter()
            .filter(|b| region.iter().any(|p| p.contains(*b)))
            .count() as f64
            / balls.len() as f64;
        share
    }

    /// Closed form: the densest region of a bivariate normal that holds share p
    /// is an ellipse of area π·σ1·σ2·(−2 ln(1 − p)).
    #[test]
    fn normal_ellipse() {
        for (spread, turn) in [([20.0, 8.0], 0.0), ([20.0, 8.0], 35.0), ([6.0, 6.0], 0.0)] {
            let balls = normal(4096, spread, turn);
            let regions = densest(&balls, &[0.5, 0.9]);
            for (region, p) in regions.iter().zip([0.5_f64, 0.9]) {
                let want = std::f64::consts::PI * spread[0] * spread[1] * -2.0 * (1.0 - p).ln();
                let area: f64 = region.iter().map(Area::unsigned_area).sum();
                assert!((area / want - 1.0).abs() < 0.05, "p {p}: {area} for {want}");
                assert!((inside(region, &balls) - p).abs() < 0.01, "p {p}");
            }
        }
    }

    /// Two patterns far apart give two pieces, and outliers do not blow them up.
    #[test]
    fn two_pieces_and_outliers() {
        let mut balls = normal(1024, [5.0, 5.0], 0.0);
        balls.extend(normal(1024, [5.0, 5.0], 0.0).iter().map(|b| Coord {
            x: b.x + 80.0,
            y: b.y,
        }));
        balls.extend((0..10).map(|k| Coord {
            x: f64::from(k) * 300.0,
            y: -500.0,
        }));
        let regions = densest(&balls, &[0.5, 0.9]);
        assert_eq!(regions[1].len(), 2);
        assert!((inside(&regions[1], &balls) - 0.9).abs() < 0.02);
        assert!((inside(&regions[0], &balls) - 0.5).abs() < 0.02);
    }

    /// A mirrored pattern has the mirrored region.
    #[test]
    fn mirrored() {
        let balls = normal(1024, [14.0, 7.0], 20.0);
        let twins: Vec<Coord<f64>> = balls.iter().map(|b| Coord { x: -b.x, y: b.y }).collect();
        for (a, b) in densest(&balls, &[0.5, 0.9])
            .iter()
            .zip(&densest(&twins, &[0.5, 0.9]))
        {
            let area = |r: &Region| -> f64 { r.iter().map(Area::unsigned_area).sum() };
            assert!((area(a) / area(b) - 1.0).abs() < 1e-6);
            assert!((inside(a, &balls) - inside(b, &twins)).abs() < 1e-12);
        }
    }

    #[test]
    fn nothing_from_nothing() {
        assert!(densest(&[], &[0.5]).iter().all(Vec::is_empty));
        let one = vec![Coord { x: 1.0, y: 1.0 }; 50];
        // All balls on one spot: a small spot, and no panic.
        assert!(densest(&one, &[0.5, 0.9]).len() == 2);
        let bad = [Coord {
            x: f64::NAN,
            y: 0.0,
        }; 9];
        assert!(densest(&bad, &[0.5]).iter().all(Vec::is_empty));
    }
}
