//! What tee shots on the course say of course play: a posterior.
//!
//! # Model
//! Course play has five unknowns ([`UNKNOWNS`]): the factors on direction and distance of the driver and
//! of the other clubs, and the share of mishits that is added. Their logarithms are normal before the
//! rounds, with the mean that log and handicap give ([`CoursePlay::of`]) and its standard deviations
//! ([`CoursePlay::log_sds`]); any two of them have correlation [`CORRELATION`], for a player who is wilder
//! on a course is so in most things. How much wider still wedges and partial swings scatter is no unknown: tee
//! shots do not tell, and it stays as log and handicap have it. A player file's own course play is no prior: it may have been learnt
//! from the same rounds.
//!
//! # Likelihood
//! A tee shot that ended somewhere has the density of that end under the pattern of its club: a mixture
//! of sound strikes, mishits and slips of the pen. Sound strikes are simulated once, with factors above the
//! prior's mean ([`evidence`](super::evidence)), and reweighted at the nodes of a lattice of factors: the importance weights are the
//! ratios of their launches' densities, normalised. Every node has the same balls, so that the likelihood is
//! smooth in the factors. [`ended`](super::ended) gives the
//! densities, and between nodes their logarithms are interpolated by cubics. Mishits are simulated at the
//! prior's mean alone: how far they go hangs little on the factors.
//!
//! Where a hole has a score and its tee shot no end, the score speaks: the hole is solved with course play
//! with all five unknowns lower, at, and higher than the prior's mean by the same number of standard
//! deviations ([`ALONG`](super::evidence::ALONG)), and between them the logarithm of the score's probability is interpolated by a parabola in the mean of the unknowns'
//! standardised logarithms. A score says little, and nothing of which unknown it was.
//!
//! Old rounds are discounted (recency weighting, forgetting): a round's log-likelihood counts half after
//! [`Fading::half_life_rounds`] newer ones, in the order in which the rounds are given, not by date (a power
//! prior; Ibrahim & Chen, *Statistical Science* 15 (2000) 46–60; memory).
//!
//! # Computation
//! Importance sampling with a normal proposal that is fitted to the posterior in a few passes, on
//! low-discrepancy points: the same bytes at any number of threads.

use rayon::prelude::*;

use super::evidence::{Evidence, TeeShotSaid};
use crate::player::Player;
use crate::player::course_play::{CoursePlay, Wider};
use crate::player::matrix::{Matrix, add_outer, cholesky, lower_times, squared_length, symmetric};
use crate::sample::{Point, normal_quantile, points};

/// How many unknowns there are.
pub const UNKNOWNS: usize = 5;
/// Correlation of any two of them before the rounds (practice).
pub const CORRELATION: f64 = 0.5;
/// Seed of the draws.
const SEED: u32 = 0x5EED_0D4A;
/// Draws of each pass of importance sampling but the last, and of the last.
const FIRST: usize = 8192;
const LAST: usize = 32_768;
const PASSES: usize = 3;
/// The proposal's standard deviations, as a multiple of the posterior's.
const WIDER: f64 = 1.4;
/// A share of mishits below this is none.
const NONE: f64 = 1.0e-6;

/// How old rounds fade.
#[derive(Clone, Copy, Debug)]
pub struct Fading {
    /// A round counts half after so many newer ones.
    pub half_life_rounds: f64,
}

impl Fading {
    /// What a round counts after so many newer ones.
    #[must_use]
    pub fn weight(&self, newer: usize) -> f64 {
        (-(newer as f64) / self.half_life_rounds).exp2()
    }
}

/// Course play before the rounds.
#[derive(Clone, Debug)]
pub struct Prior {
    /// Means of the logarithms.
    pub mean: [f64; UNKNOWNS],
    /// Their standard deviations.
    pub sd: [f64; UNKNOWNS],
    /// What is not learnt.
    short_game: Wider,
    /// Whether mishits are added at all.
    adds_mishits: bool,
}

impl Prior {
    /// Of a player's log and handicap.
    #[must_use]
    pub fn of(player: &Player) -> Self {
        let play = CoursePlay::of(player);
        let [driver, others] = CoursePlay::log_sds(player);
        Self {
            mean: logs(&play),
            sd: [driver, driver, others, others, others],
            // Never learnt: a player file's own is its player's.
            short_game: player.course_play.unwrap_or(play).short_game,
            adds_mishits: play.more_mishits > NONE,
        }
    }

    /// Of no player: course play as on the range, almost surely.
    #[must_use]
    pub fn as_on_the_range() -> Self {
        Self {
            mean: logs(&CoursePlay::NONE),
            sd: [0.1; UNKNOWNS],
            short_game: CoursePlay::NONE.short_game,
            adds_mishits: false,
        }
    }

    fn covariance(&self) -> Matrix<UNKNOWNS> {
        std::array::from_fn(|i| {
            std::array::from_fn(|j| {
                let correlation = if i == j { 1.0 } else { CORRELATION };
                correlation * self.sd[i] * self.sd[j]
            })
        })
    }

    /// Course play with these logarithms.
    #[must_use]
    pub fn play(&self, logs: &[f64; UNKNOWNS]) -> CoursePlay {
        let wider = |k: usize| Wider {
            direction: logs[k].exp(),
            distance: logs[k + 1].exp(),
        };
        CoursePlay {
            driver: wider(0),
            others: wider(2),
            short_game: self.short_game,
            more_mishits: self.more_mishits(logs),
        }
    }

    /// The share of mishits that is added.
    pub(super) fn more_mishits(&self, logs: &[f64; UNKNOWNS]) -> f64 {
        if self.adds_mishits {
            logs[4].exp()
        } else {
            0.0
        }
    }

    /// Course play where all unknowns are so many standard deviations off their means.
    #[must_use]
    pub fn along(&self, off: f64) -> CoursePlay {
        self.play(&std::array::from_fn(|k| self.mean[k] + off * self.sd[k]))
            .within_bounds()
    }

    /// The mean of the unknowns' standardised logarithms.
    pub(super) fn off(&self, logs: &[f64; UNKNOWNS]) -> f64 {
        let each = (0..UNKNOWNS).map(|k| (logs[k] - self.mean[k]) / self.sd[k]);
        each.sum::<f64>() / UNKNOWNS as f64
    }

    /// A draw at a point.
    #[must_use]
    pub fn draw(&self, point: &Point) -> [f64; UNKNOWNS] {
        let Some(lower) = cholesky(&self.covariance()) else {
            return self.mean;
        };
        let normals = std::array::from_fn(|k| normal_quantile(point[k]));
        let off = lower_times(&lower, &normals);
        std::array::from_fn(|k| self.mean[k] + off[k])
    }
}

fn logs(play: &CoursePlay) -> [f64; UNKNOWNS] {
    [
        play.driver.direction.ln(),
        play.driver.distance.ln(),
        play.others.direction.ln(),
        play.others.distance.ln(),
        play.more_mishits.max(NONE).ln(),
    ]
}

/// A figure with its 80 % interval.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Estimate {
    /// Median.
    pub median: f64,
    /// The ends of the interval that holds it with 80 %.
    pub interval_80: [f64; 2],
}

/// Course play as estimates, in the order of the unknowns.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Estimates {
    /// The driver's direction.
    pub driver_direction: Estimate,
    /// The driver's distance.
    pub driver_distance: Estimate,
    /// Direction of the other clubs.
    pub others_direction: Estimate,
    /// Distance of the other clubs.
    pub others_distance: Estimate,
    /// Wedges and partial swings beside the other clubs: not learnt.
    pub short_game: Wider,
    /// The share of mishits that is added.
    pub more_mishits: Estimate,
}

impl Estimates {
    fn of(all: &[Estimate; UNKNOWNS], short_game: Wider) -> Self {
        let [
            driver_direction,
            driver_distance,
            others_direction,
            others_distance,
            more_mishits,
        ] = *all;
        Self {
            driver_direction,
            driver_distance,
            others_direction,
            others_distance,
            short_game,
            more_mishits,
        }
    }

    /// In the order of the unknowns.
    #[must_use]
    pub fn all(&self) -> [Estimate; UNKNOWNS] {
        [
            self.driver_direction,
            self.driver_distance,
            self.others_direction,
            self.others_distance,
            self.more_mishits,
        ]
    }

    /// Course play with the medians, within what a player file may hold.
    #[must_use]
    pub fn play(&self) -> CoursePlay {
        let wider = |direction: Estimate, distance: Estimate| Wider {
            direction: direction.median,
            distance: distance.median,
        };
        CoursePlay {
            driver: wider(self.driver_direction, self.driver_distance),
            others: wider(self.others_direction, self.others_distance),
            short_game: self.short_game,
            more_mishits: self.more_mishits.median,
        }
        .within_bounds()
    }
}

/// Course play before and after.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Learnt {
    /// Before the rounds.
    pub before: Estimates,
    /// After them.
    pub after: Estimates,
    /// Tee shots with the driver that say something, and with other clubs.
    pub tee_shots: [usize; 2],
    /// Scores that say something: those of holes whose tee shot has no end.
    pub scores: usize,
    /// Effective number of draws of the importance sampling.
    pub effective_draws: f64,
}

/// The posterior.
#[must_use]
pub fn learn(prior: &Prior, evidence: &[Evidence]) -> Learnt {
    let before = std::array::from_fn(|k| {
        let at = |share: f64| (prior.mean[k] + prior.sd[k] * normal_quantile(share)).exp();
        estimate(prior, k, [0.1, 0.5, 0.9].map(at))
    });
    let mut proposal = (prior.mean, prior.covariance());
    let mut drawn = Drawn::default();
    for pass in 0..PASSES {
        let count = if pass + 1 == PASSES { LAST } else { FIRST };
        let seed = SEED ^ (0x100 + u32::try_from(pass).unwrap_or_default());
        drawn = Drawn::of(prior, evidence, &proposal, (seed, count));
        proposal = drawn.moments();
    }
    let after = std::array::from_fn(|k| {
        estimate(prior, k, drawn.quantiles(k, [0.1, 0.5, 0.9]).map(f64::exp))
    });
    let count = |of: &dyn Fn(&TeeShotSaid) -> bool| {
        let is = |one: &&Evidence| matches!(one, Evidence::TeeShot(said) if of(said));
        evidence.iter().filter(is).count()
    };
    let tee_shots = [
        count(&|said| said.is_driver),
        count(&|said| !said.is_driver),
    ];
    Learnt {
        before: Estimates::of(&before, prior.short_game),
        after: Estimates::of(&after, prior.short_game),
        scores: evidence.len() - tee_shots[0] - tee_shots[1],
        tee_shots,
        effective_draws: drawn.effective(),
    }
}

fn estimate(prior: &Prior, unknown: usize, [low, median, high]: [f64; 3]) -> Estimate {
    if unknown == 4 && !prior.adds_mishits {
        return Estimate {
            median: 0.0,
            interval_80: [0.0; 2],
        };
    }
    Estimate {
        median,
        interval_80: [low, high],
    }
}

/// Weighted draws.
#[derive(Default)]
struct Drawn {
    draws: Vec<[f64; UNKNOWNS]>,
    /// They add to 1.
    weights: Vec<f64>,
}

impl Drawn {
    fn of(
        prior: &Prior,
        evidence: &[Evidence],
        (mean, covariance): &([f64; UNKNOWNS], Matrix<UNKNOWNS>),
        (seed, count): (u32, usize),
    ) -> Self {
        let wide = covariance.map(|row| row.map(|cell| WIDER * WIDER * cell));
        let own = cholesky(&prior.covariance());
        let (Some(lower), Some(of_prior)) = (cholesky(&wide), own) else {
            return Self::default();
        };
        let drawn: Vec<([f64; UNKNOWNS], f64)> = points(seed, count)
            .par_iter()
            .map(|point| {
                let normals: [f64; UNKNOWNS] = std::array::from_fn(|k| normal_quantile(point[k]));
                let off = lower_times(&lower, &normals);
                let draw: [f64; UNKNOWNS] = std::array::from_fn(|k| mean[k] + off[k]);
                let from_prior = std::array::from_fn(|k| draw[k] - prior.mean[k]);
                let likelihood: f64 = evidence
                    .iter()
                    .map(|one| one.log_likelihood(prior, &draw))
                    .sum();
                let proposed: f64 = normals.iter().map(|z| z * z).sum();
                let log =
                    likelihood - 0.5 * squared_length(&of_prior, &from_prior) + 0.5 * proposed;
                (draw, log)
            })
            .collect();
        let most = drawn.iter().map(|d| d.1).fold(f64::NEG_INFINITY, f64::max);
        let weights: Vec<f64> = drawn.iter().map(|d| (d.1 - most).exp()).collect();
        let sum: f64 = weights.iter().sum();
        Self {
            draws: drawn.into_iter().map(|d| d.0).collect(),
            weights: weights.into_iter().map(|weight| weight / sum).collect(),
        }
    }

    fn moments(&self) -> ([f64; UNKNOWNS], Matrix<UNKNOWNS>) {
        let all = || self.draws.iter().zip(&self.weights);
        let mean: [f64; UNKNOWNS] = std::array::from_fn(|k| all().map(|(d, w)| w * d[k]).sum());
        let mut covariance = [[0.0; UNKNOWNS]; UNKNOWNS];
        for (draw, weight) in all() {
            let off = std::array::from_fn(|k| draw[k] - mean[k]);
            add_outer(&mut covariance, &off, *weight);
        }
        for (k, row) in covariance.iter_mut().enumerate() {
            row[k] += 1.0e-9;
        }
        (mean, symmetric(&covariance))
    }

    fn quantiles(&self, unknown: usize, shares: [f64; 3]) -> [f64; 3] {
        let mut all: Vec<(f64, f64)> = self
            .draws
            .iter()
            .zip(&self.weights)
            .map(|(draw, weight)| (draw[unknown], *weight))
            .collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        shares.map(|share| {
            let mut sum = 0.0;
            let at = all.iter().find(|(_, weight)| {
                sum += weight;
                sum >= share
            });
            at.or(all.last()).map_or(0.0, |found| found.0)
        })
    }

    fn effective(&self) -> f64 {
        1.0 / self
            .weights
            .iter()
            .map(|weight| weight * weight)
            .sum::<f64>()
            .max(1.0e-12)
    }
}

#[cfg(test)]
mod tests {
    use super::super::evidence::{NODES, node};
    use super::*;

    fn prior() -> Prior {
        Prior {
            mean: [0.1, 0.0, 0.2, 0.1, -3.5],
            sd: [0.13, 0.13, 0.12, 0.12, 0.12],
            short_game: CoursePlay::NONE.short_game,
            adds_mishits: true,
        }
    }

    /// Without a shot the posterior is the prior.
    #[test]
    fn nothing_learnt_from_nothing() {
        let learnt = learn(&prior(), &[]);
        for (before, after) in learnt.before.all().iter().zip(learnt.after.all()) {
            assert!(
                (after.median / before.median - 1.0).abs() < 0.01,
                "{learnt:?}"
            );
            for end in 0..2 {
                let ratio = after.interval_80[end] / before.interval_80[end];
                assert!((ratio - 1.0).abs() < 0.01, "{learnt:?}");
            }
        }
        assert!(learnt.effective_draws > 5000.0);
    }

    /// Closed form: a normal likelihood of one log factor, n(m, s), with a normal prior; the others
    /// follow by the correlation.
    #[test]
    fn a_normal_likelihood() {
        let prior = prior();
        let (m, s) = (0.3, 0.1);
        let log_sound = (0..NODES * NODES).map(|at| {
            let [direction, _] = node(&prior, true, at);
            -0.5 * ((direction - m) / s).powi(2)
        });
        let evidence = Evidence::TeeShot(TeeShotSaid {
            is_driver: true,
            range_mishits: 0.0,
            log_sound: log_sound.collect(),
            mishit: 0.0,
            broad: 0.0,
            weight: 1.0,
        });
        let without_mishits = Prior {
            adds_mishits: false,
            ..prior.clone()
        };
        let learnt = learn(&without_mishits, &[evidence]);
        let (a, b) = (0.13_f64.powi(-2), s.powi(-2));
        let mean = (a * 0.1 + b * m) / (a + b);
        let sd = (a + b).powf(-0.5);
        let after = learnt.after.driver_direction;
        assert!(
            (after.median.ln() - mean).abs() < 0.005,
            "{after:?} for {mean}"
        );
        let half = 1.2816 * sd;
        assert!(
            (after.interval_80[0].ln() - (mean - half)).abs() < 0.007,
            "{after:?}"
        );
        assert!(
            (after.interval_80[1].ln() - (mean + half)).abs() < 0.007,
            "{after:?}"
        );
        let other = learnt.after.others_direction.median.ln();
        let expected = 0.2 + CORRELATION * 0.12 / 0.13 * (mean - 0.1);
        assert!((other - expected).abs() < 0.005, "{other} for {expected}");
        assert_eq!(learnt.after.more_mishits.median, 0.0);
    }

    /// A score that is likelier the wider the play moves all unknowns up, none by much.
    #[test]
    fn a_bad_score_widens_all() {
        let prior = prior();
        let learnt = learn(
            &prior,
            &vec![Evidence::of_score([0.05, 0.08, 0.12], 1.0); 4],
        );
        for (before, after) in learnt.before.all().iter().zip(learnt.after.all()) {
            let ratio = after.median / before.median;
            assert!((1.01..1.2).contains(&ratio), "{learnt:?}");
        }
        assert_eq!((learnt.tee_shots, learnt.scores), ([0, 0], 4));
    }

    #[test]
    fn rounds_fade_by_half() {
        let fading = Fading {
            half_life_rounds: 20.0,
        };
        assert_eq!(fading.weight(0), 1.0);
        assert!((fading.weight(20) - 0.5).abs() < 1e-12);
        assert!((fading.weight(40) - 0.25).abs() < 1e-12);
    }
}
