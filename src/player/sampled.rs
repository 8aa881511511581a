//! The posterior of one club by Gibbs sampling, with the noise averaged out
//! where a closed form allows it.
//!
//! The model is that of [`posterior`](super::posterior). Given every row's
//! weight, mean and scale are normal–inverse-Wishart; given mean and scale, the
//! tails have odds and the weights are gamma. The sampler goes round these
//! (Geman & Geman, *IEEE PAMI* 6, 1984; Gelman et al., *Bayesian Data Analysis*,
//! 3rd ed. 2013, §12.1 for the t). What is reported of mean and scale is not
//! their draws but their moments given each round's weights, averaged
//! (Rao–Blackwell; Gelfand & Smith, *JASA* 85, 1990): the closed part of the
//! posterior carries no noise of sampling. The same input gives the same bits.

use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};

use super::matrix::{Matrix, cholesky};
use super::posterior::{Belief, TAILS};
use super::special::{digamma, ln_gamma, trigamma};
use crate::sample::normal_quantile;

/// Moments of the posterior.
#[derive(Clone, Debug)]
pub struct Sampled<const N: usize> {
    /// Posterior mean of the mean.
    pub mean: [f64; N],
    /// Posterior covariance of the mean.
    pub mean_covariance: Matrix<N>,
    /// Posterior mean of the log of each coordinate's scale (the root of the
    /// scale matrix's diagonal).
    pub log_scale: [f64; N],
    /// Its posterior variance.
    pub log_scale_variance: [f64; N],
    /// Correlations of the scale matrix.
    pub correlation: Matrix<N>,
    /// Posterior odds of each of [`TAILS`].
    pub tail_odds: [f64; TAILS.len()],
    /// Each row's mean weight.
    pub weights: Vec<f64>,
    /// Mean and variance, over the coordinates, of the log of a ball's own
    /// stretch times its scale, less [`Self::log_scale`]: what a ball's size
    /// scatters by, tails and unknown scale together.
    pub log_stretch: [f64; 2],
}

/// Random numbers, and the distributions made of them.
pub(super) struct Luck(Pcg64Mcg);

impl Luck {
    pub(super) fn seeded(seed: u64) -> Self {
        Self(Pcg64Mcg::seed_from_u64(seed))
    }

    /// Strictly between 0 and 1.
    pub(super) fn uniform(&mut self) -> f64 {
        ((self.0.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    pub(super) fn normal(&mut self) -> f64 {
        normal_quantile(self.uniform())
    }

    /// A gamma variate of this shape (1 or above), mean `shape`: Marsaglia &
    /// Tsang, *ACM TOMS* 26 (2000).
    pub(super) fn gamma(&mut self, shape: f64) -> f64 {
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let x = self.normal();
            let v = (1.0 + c * x).powi(3);
            if v <= 0.0 {
                continue;
            }
            let u = self.uniform();
            if u < 1.0 - 0.0331 * x.powi(4) || u.ln() < 0.5 * x * x + d * (1.0 - v + v.ln()) {
                return d * v;
            }
        }
    }
}

/// What the rows come to under their weights: sums about the prior's mean.
struct Sums<const N: usize> {
    weight: f64,
    first: [f64; N],
    second: Matrix<N>,
}

impl<const N: usize> Sums<N> {
    fn of(rows: &[[f64; N]], weights: &[f64]) -> Self {
        let mut sums = Self {
            weight: 0.0,
            first: [0.0; N],
            second: [[0.0; N]; N],
        };
        for (x, w) in rows.iter().zip(weights) {
            sums.weight += w;
            for i in 0..N {
                let wx = w * x[i];
                sums.first[i] += wx;
                for (sum, xj) in sums.second[i].iter_mut().zip(&x[..=i]) {
                    *sum += wx * xj;
                }
            }
        }
        sums
    }
}

/// Goes round `sweeps` times from the given weights; a tenth as many rounds
/// before them are thrown away. `None` where a matrix stops being positive
/// definite, which no log that was read can bring about.
#[must_use]
pub fn sample<const N: usize>(
    prior: &Belief<N>,
    rows: &[[f64; N]],
    start_weights: &[f64],
    sweeps: usize,
    seed: u64,
) -> Option<Sampled<N>> {
    let mut luck = Luck::seeded(seed);
    let n = N as f64;
    let rows: Vec<[f64; N]> = rows
        .iter()
        .map(|row| std::array::from_fn(|k| row[k] - prior.mean[k]))
        .collect();
    let mut weights = start_weights.to_vec();
    let dof = prior.dof + rows.len() as f64;
    let marginal_dof = dof - n + 1.0;
    // How a ball of each tail is stretched: mean and variance of the log.
    let stretch = TAILS.map(|(tail, _)| {
        [
            0.5 * ((0.5 * tail).ln() - digamma(0.5 * tail)),
            0.25 * trigamma(0.5 * tail),
        ]
    });
    let constant = TAILS.map(|(tail, odds)| {
        odds.ln()
            + rows.len() as f64
                * (ln_gamma(0.5 * (tail + n)) - ln_gamma(0.5 * tail) - 0.5 * n * tail.ln())
    });
    let mut distances = vec![0.0; rows.len()];
    let mut tally = Tally::new(rows.len());
    let warm_up = sweeps / 10 + 10;
    let mut tail = None;
    for sweep in 0..warm_up + sweeps {
        let sums = Sums::of(&rows, &weights);
        let mean_shots = prior.mean_shots + sums.weight;
        let mean: [f64; N] = sums.first.map(|s| s / mean_shots);
        let mut matrix = prior.matrix;
        for i in 0..N {
            for j in 0..=i {
                matrix[i][j] += sums.second[i][j] - mean_shots * mean[i] * mean[j];
                matrix[j][i] = matrix[i][j];
            }
        }
        if let (Some(tail), true) = (tail, sweep >= warm_up) {
            let about = 1.0 / (mean_shots * (dof - n - 1.0));
            tally.add(&mean, &matrix, about, stretch[tail]);
        }
        // Scale: its inverse is T'T with T = U'L⁻¹, U upper with chi on the
        // diagonal (Bartlett), L the factor of the matrix.
        let lower = cholesky(&matrix)?;
        let to_unit = whitening(&lower, dof, &mut luck);
        // Mean: its own place plus T⁻¹z over the root of what it rests on.
        let noise: [f64; N] = std::array::from_fn(|_| luck.normal() / mean_shots.sqrt());
        let off = solve_lower(&to_unit, &noise);
        let centre: [f64; N] = std::array::from_fn(|k| mean[k] + off[k]);
        let mut log_odds = constant;
        let mut products = [1.0_f64; TAILS.len()];
        for (row, distance) in rows.iter().zip(&mut distances) {
            let y: [f64; N] = std::array::from_fn(|k| row[k] - centre[k]);
            *distance = (0..N)
                .map(|i| {
                    let dot: f64 = (0..=i).map(|j| to_unit[i][j] * y[j]).sum();
                    dot * dot
                })
                .sum();
            for (k, (degrees, _)) in TAILS.iter().enumerate() {
                // A logarithm now and then in place of one a row.
                products[k] *= 1.0 + *distance / degrees;
                if products[k] > 1e200 {
                    log_odds[k] -= 0.5 * (degrees + n) * products[k].ln();
                    products[k] = 1.0;
                }
            }
        }
        for (k, (degrees, _)) in TAILS.iter().enumerate() {
            log_odds[k] -= 0.5 * (degrees + n) * products[k].ln();
        }
        let odds = normalised(&log_odds);
        let mut left = luck.uniform();
        let drawn = odds
            .iter()
            .position(|odd| {
                left -= odd;
                left < 0.0
            })
            .unwrap_or(TAILS.len() - 1);
        tail = Some(drawn);
        let degrees = TAILS[drawn].0;
        for (weight, distance) in weights.iter_mut().zip(&distances) {
            *weight = luck.gamma(0.5 * (degrees + n)) / (0.5 * (degrees + distance));
        }
        if sweep >= warm_up {
            tally.odds(&odds);
            for (sum, distance) in tally.weights.iter_mut().zip(&distances) {
                *sum += (degrees + n) / (degrees + distance);
            }
        }
    }
    Some(tally.finish(prior, marginal_dof))
}

/// `U'L⁻¹` for an upper `U` with `UU'` Wishart of `dof` degrees: lower.
fn whitening<const N: usize>(lower: &Matrix<N>, dof: f64, luck: &mut Luck) -> Matrix<N> {
    let mut upper_t = [[0.0; N]; N];
    for (i, row) in upper_t.iter_mut().enumerate() {
        // Of an upper factor the last diagonal has the most degrees.
        let degrees = dof - (N - 1 - i) as f64;
        for entry in row.iter_mut().take(i) {
            *entry = luck.normal();
        }
        row[i] = (2.0 * luck.gamma(0.5 * degrees)).sqrt();
    }
    // Rows of T solve T·L = U'.
    let mut out = [[0.0; N]; N];
    for i in 0..N {
        for j in (0..=i).rev() {
            let dot: f64 = (j + 1..=i).map(|k| out[i][k] * lower[k][j]).sum();
            out[i][j] = (upper_t[i][j] - dot) / lower[j][j];
        }
    }
    out
}

fn solve_lower<const N: usize>(lower: &Matrix<N>, b: &[f64; N]) -> [f64; N] {
    let mut x = [0.0; N];
    for i in 0..N {
        let dot: f64 = (0..i).map(|k| lower[i][k] * x[k]).sum();
        x[i] = (b[i] - dot) / lower[i][i];
    }
    x
}

fn normalised<const K: usize>(log: &[f64; K]) -> [f64; K] {
    let best = log.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let odds = log.map(|v| (v - best).exp());
    let total: f64 = odds.iter().sum();
    odds.map(|v| v / total)
}

/// Sums over the rounds.
struct Tally<const N: usize> {
    rounds: f64,
    mean: [f64; N],
    /// Of the means' squares, and of their covariance given the weights.
    square: Matrix<N>,
    within: Matrix<N>,
    log: [f64; N],
    log_square: [f64; N],
    correlation: Matrix<N>,
    /// Log of scale and stretch together: sums of value and square, by coordinate.
    ball: [f64; N],
    ball_square: [f64; N],
    stretch_variance: f64,
    odds: [f64; TAILS.len()],
    weights: Vec<f64>,
}

impl<const N: usize> Tally<N> {
    fn new(rows: usize) -> Self {
        Self {
            rounds: 0.0,
            mean: [0.0; N],
            square: [[0.0; N]; N],
            within: [[0.0; N]; N],
            log: [0.0; N],
            log_square: [0.0; N],
            correlation: [[0.0; N]; N],
            ball: [0.0; N],
            ball_square: [0.0; N],
            stretch_variance: 0.0,
            odds: [0.0; TAILS.len()],
            weights: vec![0.0; rows],
        }
    }

    fn add(&mut self, mean: &[f64; N], matrix: &Matrix<N>, about: f64, stretch: [f64; 2]) {
        self.rounds += 1.0;
        for i in 0..N {
            let log = 0.5 * matrix[i][i].ln();
            self.mean[i] += mean[i];
            self.log[i] += log;
            self.log_square[i] += log * log;
            self.ball[i] += log + stretch[0];
            self.ball_square[i] += (log + stretch[0]).powi(2);
            for j in 0..N {
                self.square[i][j] += mean[i] * mean[j];
                self.within[i][j] += matrix[i][j] * about;
                self.correlation[i][j] += matrix[i][j] / (matrix[i][i] * matrix[j][j]).sqrt();
            }
        }
        self.stretch_variance += stretch[1];
    }

    fn odds(&mut self, odds: &[f64; TAILS.len()]) {
        for (sum, odd) in self.odds.iter_mut().zip(odds) {
            *sum += odd;
        }
    }

    fn finish(self, prior: &Belief<N>, marginal_dof: f64) -> Sampled<N> {
        let each = 1.0 / self.rounds.max(1.0);
        let mean = self.mean.map(|s| s * each);
        // The log of a marginal scale given the weights: half a log inverse χ².
        let log_shift = -0.5 * (digamma(0.5 * marginal_dof) + std::f64::consts::LN_2);
        let log_within = 0.25 * trigamma(0.5 * marginal_dof);
        let variance = |sum: f64, square: f64| (square * each - (sum * each).powi(2)).max(0.0);
        let coordinates = N as f64;
        let by_coordinate = |of: &dyn Fn(usize) -> f64| (0..N).map(of).sum::<f64>() / coordinates;
        Sampled {
            mean: std::array::from_fn(|k| prior.mean[k] + mean[k]),
            mean_covariance: std::array::from_fn(|i| {
                std::array::from_fn(|j| {
                    (self.within[i][j] + self.square[i][j]) * each - mean[i] * mean[j]
                })
            }),
            log_scale: self.log.map(|s| s * each + log_shift),
            log_scale_variance: std::array::from_fn(|k| {
                log_within + variance(self.log[k], self.log_square[k])
            }),
            correlation: self.correlation.map(|row| row.map(|c| c * each)),
            tail_odds: self.odds.map(|s| s * each),
            weights: self.weights.into_iter().map(|s| s * each).collect(),
            log_stretch: [
                by_coordinate(&|k| (self.ball[k] - self.log[k]) * each),
                log_within
                    + self.stretch_variance * each
                    + by_coordinate(&|k| variance(self.ball[k], self.ball_square[k])),
            ],
        }
    }
}
