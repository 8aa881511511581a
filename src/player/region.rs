//! Where half of a pattern's balls, and nine in ten of them, land.

use super::matrix::{Matrix, cholesky, lower_times, squared_length};

/// Two nested ellipses over landings, in metres: right of the aim and along it.
///
/// The ellipses have the shape of the sound balls' scatter; how large they are
/// is read off all balls, mishits included, so that the shares are what they
/// say whatever the tails.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Region {
    /// Centre of both.
    pub centre_m: [f64; 2],
    lower: Matrix<2>,
    /// Mahalanobis distances that hold 50, 90 and 99 %.
    limits: [f64; 3],
}

/// The shares the limits stand for.
pub const SHARES: [f64; 3] = [0.5, 0.9, 0.99];

impl Region {
    /// The region of a pattern, from landings of its sound balls (its shape) and
    /// of all its balls (its size). `None` where either is empty or does not
    /// scatter both ways.
    #[must_use]
    pub fn of(sound: &[[f64; 2]], all: &[[f64; 2]]) -> Option<Self> {
        if sound.len() < 3 || all.is_empty() {
            return None;
        }
        let n = sound.len() as f64;
        let centre_m = std::array::from_fn(|k| sound.iter().map(|p| p[k]).sum::<f64>() / n);
        let mut covariance = [[0.0; 2]; 2];
        for p in sound {
            let off = [p[0] - centre_m[0], p[1] - centre_m[1]];
            super::matrix::add_outer(&mut covariance, &off, 1.0 / (n - 1.0));
        }
        let lower = cholesky(&covariance)?;
        let mut region = Self {
            centre_m,
            lower,
            limits: [0.0; 3],
        };
        let mut distances: Vec<f64> = all.iter().map(|p| region.distance(*p)).collect();
        distances.sort_by(f64::total_cmp);
        region.limits = SHARES.map(|share| {
            let at = (share * distances.len() as f64) as usize;
            distances[at.min(distances.len() - 1)]
        });
        Some(region)
    }

    /// How far out a landing lies, in the region's own measure.
    fn distance(&self, at_m: [f64; 2]) -> f64 {
        let off = [at_m[0] - self.centre_m[0], at_m[1] - self.centre_m[1]];
        squared_length(&self.lower, &off).sqrt()
    }

    /// Whether a landing lies within the region of `SHARES[which]`.
    #[must_use]
    pub fn holds(&self, which: usize, at_m: [f64; 2]) -> bool {
        self.distance(at_m) <= self.limits[which.min(2)]
    }

    /// The edge of the region of `SHARES[which]`, as `steps` points in turn.
    #[must_use]
    pub fn edge(&self, which: usize, steps: usize) -> Vec<[f64; 2]> {
        let limit = self.limits[which.min(2)];
        (0..steps)
            .map(|i| {
                let (sin, cos) = (std::f64::consts::TAU * i as f64 / steps as f64).sin_cos();
                let off = lower_times(&self.lower, &[limit * cos, limit * sin]);
                [self.centre_m[0] + off[0], self.centre_m[1] + off[1]]
            })
            .collect()
    }
}
