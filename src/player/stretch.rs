//! The common stretch of a heavy-tailed pattern.
//!
//! A multivariate t is a normal whose every ball is stretched from the centre
//! by `sqrt(dof / χ²)`, with one χ² of `dof` degrees for all its coordinates.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use super::special::{chi_square_quantile_of_tails, digamma, normal_share_below, trigamma};
use crate::sample::normal_quantile;

/// Two stretches one after the other, as near as one stretch can say it: the
/// degrees of freedom and the factor on the *scale matrix* of the t whose log
/// stretch has the same mean and variance as the two together.
///
/// Exact where either is infinite. Used for a pattern that is itself heavy
/// tailed and whose spread is only known from few shots.
#[must_use]
pub fn compound(first_dof: f64, second_dof: f64) -> (f64, f64) {
    let log_mean = |dof: f64| digamma(0.5 * dof) - (0.5 * dof).ln();
    let wanted = trigamma(0.5 * first_dof) + trigamma(0.5 * second_dof);
    // Trigamma falls monotonically: bisect in the log of the degrees.
    let (mut low, mut high) = (0.1_f64.ln(), first_dof.min(second_dof).ln());
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if trigamma(0.5 * middle.exp()) > wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    let dof = (0.5 * (low + high)).exp();
    let factor = (log_mean(dof) - log_mean(first_dof) - log_mean(second_dof)).exp();
    (dof, factor)
}

const NODES: usize = 97;
const REACH: f64 = 5.3;

/// `sqrt(dof / χ²)` as a function of the point's coordinate, from a table.
///
/// Wilson and Hilferty (1931): the cube root of χ²/dof is nearly normal, so it
/// is nearly linear in the normal quantile and a coarse table serves.
#[derive(Clone, Debug)]
pub struct Stretch {
    cube_roots: Arc<[f64]>,
}

/// Tables that were made last, by the bits of their degrees of freedom: a bag has a
/// few, asked for by every swing, lie and volley, and one costs as much as a thousand
/// draws.
static MADE: Mutex<VecDeque<(u64, Stretch)>> = Mutex::new(VecDeque::new());
/// So many are kept.
const KEPT: usize = 128;

impl Stretch {
    /// The table for these degrees of freedom.
    #[must_use]
    pub fn of(dof: f64) -> Self {
        let made = || MADE.lock().unwrap_or_else(PoisonError::into_inner);
        let known = |(bits, _): &&(u64, Self)| *bits == dof.to_bits();
        if let Some((_, table)) = made().iter().find(known) {
            return table.clone();
        }
        let table = Self::new(dof);
        let mut made = made();
        if !made.iter().any(|each| known(&each)) {
            if made.len() == KEPT {
                made.pop_front();
            }
            made.push_back((dof.to_bits(), table.clone()));
        }
        table
    }

    fn new(dof: f64) -> Self {
        let cube_roots = (0..NODES)
            .map(|i| {
                let z = -REACH + 2.0 * REACH * i as f64 / (NODES - 1) as f64;
                let (p, q) = (normal_share_below(z), normal_share_below(-z));
                (chi_square_quantile_of_tails(p, q, dof) / dof).cbrt()
            })
            .collect();
        Self { cube_roots }
    }

    /// The stretch at a coordinate strictly between 0 and 1; a high coordinate
    /// is a long stretch.
    #[must_use]
    pub fn at(&self, coordinate: f64) -> f64 {
        // A low χ² is a long stretch: turn the coordinate round.
        let z = normal_quantile(1.0 - coordinate).clamp(-REACH, REACH);
        let x = (z + REACH) / (2.0 * REACH) * (NODES - 1) as f64;
        let i = (x.floor() as usize).clamp(1, NODES - 3);
        let s = x - i as f64;
        let [a, b, c, d] = [0, 1, 2, 3].map(|k| self.cube_roots[i - 1 + k]);
        // Four-point Lagrange at nodes −1, 0, 1, 2.
        let cube_root = -a * s * (s - 1.0) * (s - 2.0) / 6.0
            + b * (s + 1.0) * (s - 1.0) * (s - 2.0) / 2.0
            - c * (s + 1.0) * s * (s - 2.0) / 2.0
            + d * (s + 1.0) * s * (s - 1.0) / 6.0;
        cube_root.max(1e-3).powf(-1.5)
    }
}

#[cfg(test)]
mod tests {
    use super::super::special::chi_square_quantile;
    use super::*;

    #[test]
    fn the_table_follows_the_quantile() {
        for dof in [2.5, 4.0, 6.0, 17.3, 200.0] {
            let table = Stretch::new(dof);
            for i in 1..2000 {
                let u = f64::from(i) / 2000.0;
                let exact = (dof / chi_square_quantile(1.0 - u, dof)).sqrt();
                let off = (table.at(u) / exact - 1.0).abs();
                assert!(off < 1e-4, "dof {dof} at {u}: off by {off:e}");
            }
        }
    }

    #[test]
    fn compounding_with_a_certain_stretch_changes_nothing() {
        let (dof, factor) = compound(6.0, 1e9);
        assert!(
            (dof - 6.0).abs() < 1e-3 && (factor - 1.0).abs() < 1e-3,
            "{dof} {factor}"
        );
    }
}
