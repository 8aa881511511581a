//! Tee shots against the patterns that were predicted: more inside than chance, and all on one side?

use serde::Serialize;

use super::ended::{Cloud, Ended};
use crate::hole::Coord;
use crate::plan::region::denser;
use crate::sample::normal_quantile;

/// Where a ball ended by the regions that hold half and nine in ten of the predicted balls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Region {
    /// In the region that holds half.
    Half,
    /// Outside of it, in the one that holds nine in ten.
    NineInTen,
    /// Outside of both.
    Outside,
}

/// The shares of balls that the two regions hold.
pub const SHARES: [f64; 2] = [0.5, 0.9];

impl Region {
    /// Of a ball, by the share of balls that lie denser.
    #[must_use]
    pub fn of(denser: f64) -> Self {
        if denser <= SHARES[0] {
            Self::Half
        } else if denser <= SHARES[1] {
            Self::NineInTen
        } else {
            Self::Outside
        }
    }
}

/// A tee shot in its pattern.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct InPattern {
    /// The region it ended in; null where its end is known in words or along the way alone.
    pub region: Option<Region>,
    /// The share of predicted balls that lie denser: uniform from 0 to 1 where the pattern is right.
    pub denser: Option<f64>,
    /// How far right of the pattern's middle, in standard deviations of a normal distribution with the
    /// same shares; left is negative.
    pub right_z: Option<f64>,
    /// How far beyond it, likewise.
    pub long_z: Option<f64>,
}

impl InPattern {
    /// Of an end among predicted balls.
    #[must_use]
    pub fn of(cloud: &Cloud, ended: &Ended) -> Self {
        let place = |[x, y]: [f64; 2]| Coord { x, y };
        let share =
            |at: [f64; 2], balls: Vec<Coord<f64>>| denser(&balls, &[place(at)]).first().copied();
        let denser = match *ended {
            Ended::At(at) => share(at, cloud.balls.iter().map(|b| place(b.rest)).collect()),
            Ended::Landed(at, _) => {
                share(at, cloud.balls.iter().map(|b| place(b.landed)).collect())
            }
            Ended::Total(..) | Ended::Carry(..) | Ended::Words(..) => None,
        };
        let [right_z, long_z] = cloud.shares(ended).map(|share| share.map(normal_quantile));
        Self {
            region: denser.map(Region::of),
            denser,
            right_z,
            long_z,
        }
    }
}

/// How many of so many balls ended in a region that holds a share of the predicted ones.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Inside {
    /// The share that the region holds.
    pub share: f64,
    /// How many ended inside.
    pub inside: usize,
    /// Of how many.
    pub of: usize,
    /// The probability of a count that is as unlikely as this or more so, if the pattern is right: exact
    /// binomial, two-sided.
    pub p_value: f64,
}

impl Inside {
    /// Of a count.
    #[must_use]
    pub fn of(share: f64, inside: usize, of: usize) -> Self {
        Self {
            share,
            inside,
            of,
            p_value: binomial_p(inside, of, share),
        }
    }
}

/// The two-sided exact binomial test: the probability of all counts that are no likelier than this.
#[must_use]
pub fn binomial_p(inside: usize, of: usize, share: f64) -> f64 {
    // By recursion from the mode outwards nothing underflows that counts.
    let mode = ((of + 1) as f64 * share).floor().min(of as f64) as usize;
    let mut shares = vec![0.0; of + 1];
    shares[mode] = 1.0;
    let odds = share / (1.0 - share);
    for k in mode..of {
        shares[k + 1] = shares[k] * odds * (of - k) as f64 / (k + 1) as f64;
    }
    for k in (0..mode).rev() {
        shares[k] = shares[k + 1] / odds * (k + 1) as f64 / (of - k) as f64;
    }
    let sum: f64 = shares.iter().sum();
    let own = shares[inside.min(of)];
    // A hair of room: counts that are equally likely are so to rounding.
    let no_likelier = shares.iter().filter(|p| **p <= own * (1.0 + 1.0e-7));
    (no_likelier.sum::<f64>() / sum).min(1.0)
}

/// Whether all patterns are off to one side.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Lean {
    /// Mean of the standardised offsets; right or long is positive.
    pub mean: f64,
    /// Its standard error if the patterns are right.
    pub standard_error: f64,
    /// Of how many tee shots.
    pub tee_shots: usize,
    /// The probability of a mean as far from 0 as this or further, if the patterns are right.
    pub p_value: f64,
}

/// A lean is told below this probability (practice: once in a hundred rounds by chance, each way).
pub const LEANS: f64 = 0.02;
/// Fewer tee shots do not tell a lean (practice).
const FEWEST: usize = 6;

impl Lean {
    /// Of standardised offsets, each with its weight; none of too few.
    #[must_use]
    pub fn of(offsets: &[(f64, f64)]) -> Option<Self> {
        if offsets.len() < FEWEST {
            return None;
        }
        let weights: f64 = offsets.iter().map(|(_, weight)| weight).sum();
        let mean = offsets.iter().map(|(z, weight)| z * weight).sum::<f64>() / weights;
        let squares: f64 = offsets.iter().map(|(_, weight)| weight * weight).sum();
        let standard_error = squares.sqrt() / weights;
        let beyond = crate::player::special::normal_share_below(-(mean / standard_error).abs());
        Some(Self {
            mean,
            standard_error,
            tee_shots: offsets.len(),
            p_value: (2.0 * beyond).min(1.0),
        })
    }

    /// Whether it is more than chance.
    #[must_use]
    pub fn is_told(&self) -> bool {
        self.p_value < LEANS
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed forms: 2^-10 a tail for none and all of ten at a half; 0.9^10 for all of ten at 0.9.
    #[test]
    fn exact_binomial() {
        assert!((binomial_p(0, 10, 0.5) - 2.0 / 1024.0).abs() < 1e-12);
        assert!((binomial_p(10, 10, 0.5) - 2.0 / 1024.0).abs() < 1e-12);
        assert!((binomial_p(5, 10, 0.5) - 1.0).abs() < 1e-12);
        // No count is likelier than all of ten but nine: 1 − P(9).
        let nine = 10.0 * 0.9_f64.powi(9) * 0.1;
        assert!((binomial_p(10, 10, 0.9) - (1.0 - nine)).abs() < 1e-12);
        assert!((binomial_p(0, 1, 0.9) - 0.1).abs() < 1e-12);
        assert_eq!(binomial_p(0, 0, 0.5), 1.0);
        assert!(binomial_p(100, 2000, 0.9) < 1e-100);
    }

    #[test]
    fn a_lean_is_a_mean_beyond_chance() {
        let all = |z: f64, n: usize| vec![(z, 1.0); n];
        assert_eq!(Lean::of(&all(3.0, 5)), None);
        let lean = Lean::of(&all(0.9, 16)).expect("enough");
        assert!((lean.standard_error - 0.25).abs() < 1e-12);
        assert!(
            lean.is_told() && (lean.p_value - 0.000_318).abs() < 0.000_01,
            "{lean:?}"
        );
        assert!(!Lean::of(&all(0.4, 16)).expect("enough").is_told());
    }
}
