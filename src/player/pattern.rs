//! Drawing launches from a pattern.
//!
//! A pattern is a multivariate t with a small share of mishits. Each point of
//! the unit cube gives one launch, and every coordinate keeps its meaning, so
//! two patterns drawn on the same point are drawn on the same luck.

use super::matrix::{cholesky, lower_times};
use super::stretch::Stretch;
use super::{Handedness, LaunchModel};
use crate::flight::Launch;
use crate::sample::{LAUNCH, MISHIT, MISHIT_SIZE, Point, TAIL, normal_quantile};
use crate::units::RPM_RAD_S;

/// Ball speed in the five, m/s.
pub const SPEED: usize = 0;
/// Launch angle, degrees.
pub const ANGLE: usize = 1;
/// Start direction, degrees right.
pub const START: usize = 2;
/// Spin, rpm.
pub const SPIN: usize = 3;
/// Axis tilt, degrees, right +.
pub const AXIS: usize = 4;

/// What a ball can do: draws are clamped to this, coordinate by coordinate.
/// Ball speed m/s, launch deg, start deg, spin rpm, axis deg. Practice: from
/// the feeblest top to the longest hitter; nothing a full swing does lies
/// outside, so only the far tails of a wide pattern are touched.
pub const BOUNDS: [[f64; 2]; 5] = [
    [3.0, 105.0],
    [0.3, 70.0],
    [-80.0, 80.0],
    [200.0, 14_000.0],
    [-65.0, 65.0],
];

/// Of mishits, the share that are tops (practice).
pub const TOPS: f64 = 0.5;
/// Of mishits, the share that are skied (practice); the rest are shanks.
pub const SKIES: f64 = 0.3;

/// A [`LaunchModel`] made ready to draw many launches from.
#[derive(Clone, Debug)]
pub struct Pattern {
    centre: [f64; 5],
    lower: [[f64; 5]; 5],
    stretch: Stretch,
    mishit_share: f64,
    handedness: Handedness,
}

impl Pattern {
    /// The launch at a point.
    #[must_use]
    pub fn draw(&self, point: &Point) -> Launch {
        let five = self.draw_five(point);
        Launch {
            ball_speed_m_s: five[SPEED],
            launch_deg: five[ANGLE],
            start_deg: five[START],
            spin_rad_s: five[SPIN] * RPM_RAD_S,
            axis_deg: five[AXIS],
        }
    }

    /// Whether the launch at a point is a mishit.
    #[must_use]
    pub fn is_mishit(&self, point: &Point) -> bool {
        point[MISHIT] < self.mishit_share
    }

    /// The same as the five numbers of a [`LaunchModel`], clamped to [`BOUNDS`].
    #[must_use]
    pub fn draw_five(&self, point: &Point) -> [f64; 5] {
        // A left-hander's luck is the mirror image of a right-hander's on the same
        // point, so that mirrored players on mirrored holes meet mirrored shots.
        let hand = self.handedness.sign();
        let normals: [f64; 5] = std::array::from_fn(|k| {
            let normal = normal_quantile(point[LAUNCH + k]);
            if k == START || k == AXIS {
                hand * normal
            } else {
                normal
            }
        });
        let stretch = self.stretch.at(point[TAIL]);
        let off = lower_times(&self.lower, &normals);
        let five = std::array::from_fn(|k| self.centre[k] + stretch * off[k]);
        let five = if self.is_mishit(point) {
            // What is left of the coordinate is uniform again: it picks the kind.
            self.mishit(five, point[MISHIT] / self.mishit_share, point[MISHIT_SIZE])
        } else {
            five
        };
        std::array::from_fn(|k| five[k].clamp(BOUNDS[k][0], BOUNDS[k][1]))
    }

    /// A mishit (practice: kinds, shares and sizes). `size` 0 is mild.
    ///
    /// - top: the ball keeps 70 down to 25 % of its speed and leaves at 5 to 0.5°
    ///   with a third of the spin;
    /// - sky: 85 down to 55 % of the speed, launched 15 to 35° higher, half as
    ///   much spin again;
    /// - shank: 75 down to 45 % of the speed, off towards the heel's far side
    ///   (right for a right-hander, left for a left-hander) by 12 to 45°, low,
    ///   with its axis tilted the same way.
    fn mishit(&self, five: [f64; 5], kind: f64, size: f64) -> [f64; 5] {
        let [speed, angle, start, spin, axis] = five;
        let toward = |mild: f64, bad: f64| mild + (bad - mild) * size;
        if kind < TOPS {
            [
                speed * toward(0.7, 0.25),
                toward(5.0, 0.5),
                start,
                spin / 3.0,
                axis,
            ]
        } else if kind < TOPS + SKIES {
            [
                speed * toward(0.85, 0.55),
                angle + toward(15.0, 35.0),
                start,
                spin * 1.5,
                axis,
            ]
        } else {
            let out = match self.handedness {
                Handedness::Right => 1.0,
                Handedness::Left => -1.0,
            };
            [
                speed * toward(0.75, 0.45),
                angle * 0.6,
                start + out * toward(12.0, 45.0),
                spin,
                axis + out * 15.0,
            ]
        }
    }
}

impl LaunchModel {
    /// Makes the model ready to draw from.
    ///
    /// A scale matrix that is not positive definite (none that this crate
    /// makes or reads is) is taken by its diagonal alone.
    #[must_use]
    pub fn pattern(&self) -> Pattern {
        let lower = cholesky(&self.scale).unwrap_or_else(|| {
            let mut diagonal = [[0.0; 5]; 5];
            for (k, row) in diagonal.iter_mut().enumerate() {
                row[k] = self.scale[k][k].max(0.0).sqrt();
            }
            diagonal
        });
        Pattern {
            centre: self.centre,
            lower,
            stretch: Stretch::of(self.dof),
            mishit_share: self.mishit_share,
            handedness: self.handedness,
        }
    }

    /// The launch at one point. To draw many, make a [`Pattern`] once.
    #[must_use]
    pub fn draw(&self, point: &Point) -> Launch {
        self.pattern().draw(point)
    }

    /// The launches at many points.
    #[must_use]
    pub fn draw_all(&self, points: &[Point]) -> Vec<Launch> {
        let pattern = self.pattern();
        points.iter().map(|point| pattern.draw(point)).collect()
    }

    /// The same player in a mirror: left and right change places.
    ///
    /// Drawn on a point whose [`START`] and [`AXIS`] coordinates are turned
    /// round (`1 − u`), the mirrored model gives the mirrored launch.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let mut other = self.clone();
        let sign = |k: usize| if k == START || k == AXIS { -1.0 } else { 1.0 };
        for i in 0..5 {
            other.centre[i] *= sign(i);
            for j in 0..5 {
                other.scale[i][j] *= sign(i) * sign(j);
            }
        }
        other.handedness = self.handedness.other();
        other
    }

    /// Multiplies the standard deviations of the five.
    pub fn widen(&mut self, factors: [f64; 5]) {
        for (i, row) in self.scale.iter_mut().enumerate() {
            for (j, cell) in row.iter_mut().enumerate() {
                *cell *= factors[i] * factors[j];
            }
        }
    }

    /// Standard deviations of the five (mishits left out).
    #[must_use]
    pub fn spread(&self) -> [f64; 5] {
        let stretch = self.dof / (self.dof - 2.0);
        std::array::from_fn(|k| (self.scale[k][k] * stretch).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::points;

    fn model() -> LaunchModel {
        let spread = [1.5, 1.8, 2.2, 300.0, 5.0];
        let mut scale = [[0.0; 5]; 5];
        for (k, row) in scale.iter_mut().enumerate() {
            row[k] = spread[k] * spread[k];
        }
        scale[START][AXIS] = 0.4 * 2.2 * 5.0;
        scale[AXIS][START] = scale[START][AXIS];
        LaunchModel {
            centre: [65.0, 12.0, 1.0, 2700.0, -6.0],
            scale,
            dof: 6.0,
            mishit_share: 0.05,
            handedness: Handedness::Right,
        }
    }

    #[test]
    fn draws_have_the_covariance_of_the_model() {
        let model = LaunchModel {
            mishit_share: 0.0,
            ..model()
        };
        let pattern = model.pattern();
        let draws: Vec<[f64; 5]> = (1..=8)
            .flat_map(|s| points(s, 4096))
            .map(|p| pattern.draw_five(&p))
            .collect();
        let n = draws.len() as f64;
        let mean: [f64; 5] = std::array::from_fn(|k| draws.iter().map(|d| d[k]).sum::<f64>() / n);
        let spread = model.spread();
        for i in 0..5 {
            assert!(
                (mean[i] - model.centre[i]).abs() < 0.02 * spread[i],
                "{mean:?}"
            );
            for j in 0..5 {
                let moment = draws
                    .iter()
                    .map(|d| (d[i] - mean[i]) * (d[j] - mean[j]))
                    .sum::<f64>()
                    / n;
                let expected = model.scale[i][j] * model.dof / (model.dof - 2.0);
                let off = (moment - expected) / (spread[i] * spread[j]);
                assert!(off.abs() < 0.04, "{i} {j}: {moment} for {expected}");
            }
        }
    }

    #[test]
    fn a_mirrored_model_draws_mirrored_balls() {
        // The Cholesky factor of D·A·D is D·L·D for a diagonal D of signs, and a
        // left-hander's normals are D·z: so mirrored models draw mirror images.
        let model = model();
        let mirrored = model.mirrored();
        for point in points(3, 2000) {
            let (a, b) = (model.draw(&point), mirrored.draw(&point));
            assert!((a.start_deg + b.start_deg).abs() < 1e-9, "{a:?} {b:?}");
            assert!((a.axis_deg + b.axis_deg).abs() < 1e-9);
            assert!((a.ball_speed_m_s - b.ball_speed_m_s).abs() < 1e-9);
        }
        assert_eq!(mirrored.mirrored(), model);
    }

    #[test]
    fn mishits_come_at_their_share_and_shanks_go_the_right_way() {
        let model = model();
        let draws = model.draw_all(&points(1, 8192));
        let low = draws
            .iter()
            .filter(|l| l.launch_deg < 5.1 && l.ball_speed_m_s < 50.0)
            .count();
        let share = low as f64 / draws.len() as f64;
        assert!((share - 0.05 * TOPS).abs() < 0.005, "{share}");
        let far_right = draws.iter().filter(|l| l.start_deg > 15.0).count();
        let far_left = draws.iter().filter(|l| l.start_deg < -15.0).count();
        assert!(far_right > 20 && far_left < 10, "{far_right} {far_left}");
    }
}
