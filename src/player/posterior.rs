//! From few shots to a pattern: a normal–inverse-Wishart posterior under a
//! heavy-tailed likelihood.
//!
//! The rows of a club are taken as multivariate t around an unknown mean with
//! an unknown scale matrix: each row is a normal whose precision is multiplied
//! by its own gamma weight. Given the weights the posterior is
//! normal–inverse-Wishart in closed form (Gelman et al., *Bayesian Data
//! Analysis*, 3rd ed. 2013, §3.6); the weights are found by
//! expectation–maximisation (Lange, Little & Taylor, *JASA* 84:881, 1989). A
//! wild row gets a small weight by itself. How heavy the tails are is weighed
//! over a short grid of degrees of freedom.

use super::matrix::{Matrix, add_outer, cholesky, squared_length};
use super::sampled::{Sampled, sample};
use super::special::{chi_square_quantile, digamma, inverse_trigamma, ln_gamma};
use super::stretch::compound;

/// A normal–inverse-Wishart belief about a mean and a scale matrix.
#[derive(Clone, Debug, PartialEq)]
pub struct Belief<const N: usize> {
    /// Centre of the belief about the mean.
    pub mean: [f64; N],
    /// How many shots the belief about the mean is worth.
    pub mean_shots: f64,
    /// Degrees of freedom of the inverse Wishart, above `N − 1`.
    pub dof: f64,
    /// Its matrix; the expected covariance is this over `dof − N − 1`.
    pub matrix: Matrix<N>,
}

impl<const N: usize> Belief<N> {
    /// A belief whose variances are as often below those of `covariance` as above, each known as from
    /// `marginal_dof` degrees of freedom (above 2).
    #[must_use]
    pub fn about(
        mean: [f64; N],
        mean_shots: f64,
        covariance: &Matrix<N>,
        marginal_dof: f64,
    ) -> Self {
        // The mean of an inverse χ² over its middle.
        let factor = chi_square_quantile(0.5, marginal_dof) / (marginal_dof - 2.0);
        let expected = covariance.map(|row| row.map(|c| c * factor));
        Self::expecting(mean, mean_shots, &expected, marginal_dof)
    }

    /// A belief that expects `covariance`, its variances each known as from
    /// `marginal_dof` degrees of freedom (above 2): the same for every sub-block.
    #[must_use]
    pub fn expecting(
        mean: [f64; N],
        mean_shots: f64,
        covariance: &Matrix<N>,
        marginal_dof: f64,
    ) -> Self {
        let factor = marginal_dof - 2.0;
        let matrix = covariance.map(|row| row.map(|c| c * factor));
        Self {
            mean,
            mean_shots,
            dof: marginal_dof + N as f64 - 1.0,
            matrix,
        }
    }

    /// The belief after rows of the given weights; `(row, 1)` for a plain
    /// normal row.
    #[must_use]
    pub fn after(&self, rows: &[([f64; N], f64)]) -> Self {
        let total: f64 = rows.iter().map(|(_, w)| w).sum();
        if rows.is_empty() || total <= 0.0 {
            return self.clone();
        }
        let average: [f64; N] =
            std::array::from_fn(|k| rows.iter().map(|(x, w)| w * x[k]).sum::<f64>() / total);
        let mean_shots = self.mean_shots + total;
        let mut matrix = self.matrix;
        for (x, w) in rows {
            let off = std::array::from_fn(|k| x[k] - average[k]);
            add_outer(&mut matrix, &off, *w);
        }
        let off = std::array::from_fn(|k| average[k] - self.mean[k]);
        add_outer(&mut matrix, &off, self.mean_shots * total / mean_shots);
        let mean = std::array::from_fn(|k| {
            (self.mean_shots * self.mean[k] + total * average[k]) / mean_shots
        });
        Self {
            mean,
            mean_shots,
            dof: self.dof + rows.len() as f64,
            matrix,
        }
    }

    /// Degrees of freedom of every marginal t: `dof − N + 1`.
    #[must_use]
    pub fn marginal_dof(&self) -> f64 {
        self.dof - N as f64 + 1.0
    }

    /// The predictive t for one more normal row: its scale matrix; centre and
    /// degrees of freedom are `mean` and [`Self::marginal_dof`].
    #[must_use]
    pub fn predictive_scale(&self) -> Matrix<N> {
        let factor = (self.mean_shots + 1.0) / (self.mean_shots * self.marginal_dof());
        self.matrix.map(|row| row.map(|c| c * factor))
    }

    /// A point value for the scale matrix: one over the mean of the inverse.
    #[must_use]
    pub fn typical_scale(&self) -> Matrix<N> {
        self.matrix.map(|row| row.map(|c| c / self.dof))
    }

    /// A point value for each coordinate's own scale, as its marginal has it.
    #[must_use]
    pub fn marginal_scale(&self) -> [f64; N] {
        std::array::from_fn(|k| (self.matrix[k][k] / self.marginal_dof()).sqrt())
    }

    /// Scale matrix of the marginal t of the mean; its degrees of freedom are
    /// [`Self::marginal_dof`].
    #[must_use]
    pub fn mean_scale(&self) -> Matrix<N> {
        let factor = 1.0 / (self.mean_shots * self.marginal_dof());
        self.matrix.map(|row| row.map(|c| c * factor))
    }
}

/// What the rows of one club told.
#[derive(Clone, Debug)]
pub struct Posterior<const N: usize> {
    /// The belief about mean and scale.
    pub belief: Belief<N>,
    /// Covariance of the mean.
    pub mean_covariance: Matrix<N>,
    /// Degrees of freedom of the balls themselves.
    pub tail_dof: f64,
    /// Posterior odds of each of [`TAILS`]; add to 1.
    pub tail_odds: [f64; 5],
    /// Each row's weight: about 1, near 0 for a wild one.
    pub weights: Vec<f64>,
    /// Scale matrix of the predictive t.
    pub predictive_scale: Matrix<N>,
    /// Its degrees of freedom.
    pub predictive_dof: f64,
}

impl<const N: usize> Posterior<N> {
    /// The posterior predictive as one multivariate t: scale matrix and degrees
    /// of freedom; its centre is the belief's mean.
    #[must_use]
    pub fn predictive(&self) -> (Matrix<N>, f64) {
        (self.predictive_scale, self.predictive_dof)
    }

    /// Scale matrix of the marginal t of the mean, whose degrees of freedom are
    /// the belief's [`Belief::marginal_dof`].
    #[must_use]
    pub fn mean_scale(&self) -> Matrix<N> {
        let dof = self.belief.marginal_dof();
        let factor = (dof - 2.0).max(0.1) / dof;
        self.mean_covariance.map(|row| row.map(|c| c * factor))
    }

    /// How many well-behaved shots the rows are worth.
    #[must_use]
    pub fn effective_shots(&self) -> f64 {
        let sum: f64 = self.weights.iter().sum();
        let squares: f64 = self.weights.iter().map(|w| w * w).sum();
        if squares > 0.0 {
            sum * sum / squares
        } else {
            0.0
        }
    }
}

/// The grid of tails and the prior odds of each: shot patterns are t-like, a
/// normal fits them poorly (Ko, thesis, Columbia 2012; the odds are practice).
pub const TAILS: [(f64, f64); 5] = [
    (3.5, 0.1),
    (5.0, 0.25),
    (8.0, 0.35),
    (14.0, 0.2),
    (40.0, 0.1),
];

/// Rounds of the sampler: so many row visits, within these bounds.
const VISITS: usize = 100_000;
const ROUNDS: [usize; 2] = [200, 2000];
/// Its seed: every club's luck is the same.
const SEED: u64 = 20;

/// Learns mean, scale and tails from rows.
#[must_use]
pub fn learn<const N: usize>(prior: &Belief<N>, rows: &[[f64; N]]) -> Posterior<N> {
    let [least, most] = ROUNDS;
    let rounds = (VISITS / rows.len().max(1)).clamp(least, most);
    learn_by(prior, rows, rounds, SEED)
}

/// The same with so many rounds of the sampler, from another seed: for a
/// closer look at the posterior than a plan needs.
#[must_use]
pub fn learn_by<const N: usize>(
    prior: &Belief<N>,
    rows: &[[f64; N]],
    rounds: usize,
    seed: u64,
) -> Posterior<N> {
    let quick = learn_quickly(prior, rows);
    if rows.is_empty() {
        return quick;
    }
    match sample(prior, rows, &quick.weights, rounds, seed) {
        Some(sampled) => of_moments(&sampled),
        None => quick,
    }
}

/// The sampled moments as one belief and one predictive t.
fn of_moments<const N: usize>(sampled: &Sampled<N>) -> Posterior<N> {
    let n = N as f64;
    let average = |of: &dyn Fn(usize) -> f64| (0..N).map(of).sum::<f64>() / n;
    // The log of a marginal scale is half a log inverse χ².
    let dof = 2.0 * inverse_trigamma(4.0 * average(&|k| sampled.log_scale_variance[k]));
    let log_shift = 0.5 * (digamma(0.5 * dof) + std::f64::consts::LN_2);
    let root: [f64; N] = std::array::from_fn(|k| (sampled.log_scale[k] + log_shift).exp());
    let matrix: Matrix<N> = std::array::from_fn(|i| {
        std::array::from_fn(|j| sampled.correlation[i][j] * root[i] * root[j])
    });
    let log_shots =
        average(&|k| (matrix[k][k] / ((dof - 2.0).max(0.1) * sampled.mean_covariance[k][k])).ln());
    let mean_shots = log_shots.exp();
    // A ball's size: log scale and log stretch together, as of one t.
    let [shift, variance] = sampled.log_stretch;
    let predictive_dof = (2.0 * inverse_trigamma(4.0 * variance)).max(2.05);
    let of_t = 0.5 * ((0.5 * predictive_dof).ln() - digamma(0.5 * predictive_dof));
    let size: [f64; N] = std::array::from_fn(|k| (sampled.log_scale[k] + shift - of_t).exp());
    let wider = 1.0 + 1.0 / mean_shots;
    let tail_odds = sampled.tail_odds;
    // Average the tails where they add: in the inverse of the degrees.
    let inverse: f64 = tail_odds
        .iter()
        .zip(TAILS)
        .map(|(odds, (tail, _))| odds / tail)
        .sum();
    Posterior {
        belief: Belief {
            mean: sampled.mean,
            mean_shots,
            dof: dof + n - 1.0,
            matrix,
        },
        mean_covariance: sampled.mean_covariance,
        tail_dof: 1.0 / inverse,
        tail_odds,
        weights: sampled.weights.clone(),
        predictive_scale: std::array::from_fn(|i| {
            std::array::from_fn(|j| wider * sampled.correlation[i][j] * size[i] * size[j])
        }),
        predictive_dof,
    }
}

/// Learns from rows with every weight at its expected value.
///
/// Given the weights the mean is known better than it is: the expected
/// information on the location of a t is `(dof + N)/(dof + N + 2)` of that
/// (Lange, Little & Taylor 1989, appendix B).
#[must_use]
pub fn learn_quickly<const N: usize>(prior: &Belief<N>, rows: &[[f64; N]]) -> Posterior<N> {
    let fits: Vec<(f64, Belief<N>, Vec<f64>, f64)> = TAILS
        .iter()
        .map(|&(tail_dof, odds)| {
            let (belief, weights, log_likelihood) = weigh(prior, rows, tail_dof);
            (tail_dof, belief, weights, log_likelihood + odds.ln())
        })
        .collect();
    let best = fits.iter().map(|f| f.3).fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = fits.iter().map(|f| (f.3 - best).exp()).sum();
    // Average the tails where they add: in the inverse of the degrees.
    let tail_odds = std::array::from_fn(|k| (fits[k].3 - best).exp() / total);
    let inverse: f64 = fits.iter().map(|f| (f.3 - best).exp() / total / f.0).sum();
    let tail_dof = 1.0 / inverse;
    let (belief, weights, _) = weigh(prior, rows, tail_dof);
    let n = N as f64;
    let dof = belief.marginal_dof();
    let less = (tail_dof + n + 2.0) / (tail_dof + n) * dof / (dof - 2.0).max(0.1);
    let (predictive_dof, factor) = compound(tail_dof, dof);
    Posterior {
        mean_covariance: belief.mean_scale().map(|row| row.map(|c| c * less)),
        predictive_scale: belief.predictive_scale().map(|row| row.map(|c| c * factor)),
        predictive_dof: predictive_dof.max(2.05),
        belief,
        tail_dof,
        tail_odds,
        weights,
    }
}

/// The belief under one tail, the rows' weights, and the log likelihood.
fn weigh<const N: usize>(
    prior: &Belief<N>,
    rows: &[[f64; N]],
    tail_dof: f64,
) -> (Belief<N>, Vec<f64>, f64) {
    let mut weighted: Vec<([f64; N], f64)> = rows.iter().map(|row| (*row, 1.0)).collect();
    let mut belief = prior.after(&weighted);
    let mut log_likelihood = 0.0;
    let n = N as f64;
    let constant = ln_gamma(0.5 * (tail_dof + n))
        - ln_gamma(0.5 * tail_dof)
        - 0.5 * n * (tail_dof * std::f64::consts::PI).ln();
    for _ in 0..60 {
        let Some(lower) = cholesky(&belief.typical_scale()) else {
            break;
        };
        let log_det: f64 = (0..N).map(|k| lower[k][k].ln()).sum();
        let before = log_likelihood;
        log_likelihood = 0.0;
        for (row, weight) in &mut weighted {
            let off = std::array::from_fn(|k| row[k] - belief.mean[k]);
            let distance = squared_length(&lower, &off);
            log_likelihood +=
                constant - log_det - 0.5 * (tail_dof + n) * (distance / tail_dof).ln_1p();
            *weight = (tail_dof + n) / (tail_dof + distance);
        }
        belief = prior.after(&weighted);
        if (log_likelihood - before).abs() < 1e-7 * (1.0 + log_likelihood.abs()) {
            break;
        }
    }
    let weights = weighted.iter().map(|(_, w)| *w).collect();
    (belief, weights, log_likelihood)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wild_row_is_weighed_down() {
        let prior = Belief::expecting([0.0, 0.0], 1.0, &[[4.0, 0.0], [0.0, 9.0]], 10.0);
        let mut rows: Vec<[f64; 2]> = (0..40)
            .map(|i| {
                let a = f64::from(i) * 2.4;
                [2.0 * a.sin(), 3.0 * (1.7 * a).cos()]
            })
            .collect();
        rows.push([80.0, -90.0]);
        let posterior = learn(&prior, &rows);
        assert!(posterior.weights[40] < 0.02, "{}", posterior.weights[40]);
        assert!(
            posterior.belief.mean[0].abs() < 0.6,
            "{:?}",
            posterior.belief.mean
        );
    }

    #[test]
    fn no_rows_leave_the_prior() {
        let prior = Belief::expecting([1.0], 2.0, &[[4.0]], 10.0);
        assert_eq!(learn(&prior, &[]).belief, prior);
    }
}
