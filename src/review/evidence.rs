//! What a tee shot or a score says of course play: likelihoods on a lattice of factors.
//!
//! [`learn`](mod@super::learn) says what is modelled.

use rayon::prelude::*;

use super::ended::{Cloud, Ended, SLIPS, View};
use super::learn::{Prior, UNKNOWNS};
use crate::diagnostic::Problems;
use crate::outcome::TeeShot;
use crate::planner::Planner;
use crate::player::LaunchModel;
use crate::player::course_play::CoursePlay;
use crate::player::matrix::{Matrix, cholesky, squared_length};
use crate::sample::points;

/// Nodes of the lattice along each factor, and how far apart they are, in standard deviations before
/// the rounds.
pub(super) const NODES: usize = 7;
const APART: f64 = 1.0;
/// Where holes are solved for scores: all unknowns so many standard deviations off their means.
pub const ALONG: [f64; 3] = [-1.5, 0.0, 1.5];
/// Furthest that a score's parabola is followed.
const FURTHEST: f64 = 2.0;
/// So many scores of a hole are about equally likely where it is a slip of the pen.
const SCORES: f64 = 10.0;
/// Sound strikes are simulated with factors so many standard deviations wider than likely.
const PROPOSAL: f64 = 1.5;
/// Variance of a kernel about a sound strike, as a share of the cloud's: it widens a pattern by less than
/// a hundredth.
const NARROW: f64 = 0.015;
/// Simulated sound strikes, and mishits.
const SOUND: usize = if cfg!(fuzzing) { 16 } else { 16_384 };
const MISHIT: usize = if cfg!(fuzzing) { 16 } else { 512 };
/// Seed of these balls, apart from those of plans.
const SEED: u32 = 0x5EED_0AC7;
/// Most mishits, as in a player file.
const MOST_MISHITS: f64 = 0.2;

/// The factors' logarithms at a node of the lattice, for the driver or the other clubs.
pub(super) fn node(prior: &Prior, is_driver: bool, node: usize) -> [f64; 2] {
    let first = if is_driver { 0 } else { 2 };
    let of = |k: usize, step: usize| {
        let middle = (NODES - 1) as f64 / 2.0;
        prior.mean[k] + APART * prior.sd[k] * (step as f64 - middle)
    };
    [of(first, node / NODES), of(first + 1, node % NODES)]
}

/// The pattern of one tee shot at every node of the lattice: one cloud of sound strikes, weighed.
pub struct Lattice {
    is_driver: bool,
    /// The share of mishits on the range.
    range_mishits: f64,
    sound: Cloud,
    /// By node, the weight of every ball of it; they add to 1.
    weights: Vec<Vec<f64>>,
    mishit: Cloud,
    /// The view from the peg along the aim.
    pub view: View,
}

impl Lattice {
    /// Simulates a tee shot of a planned hole.
    ///
    /// # Errors
    /// Where the hole lacks the tee.
    pub fn of(
        planner: &Planner<'_>,
        prior: &Prior,
        shot: &TeeShot,
        (view, is_driver): (View, bool),
    ) -> Result<Self, Problems> {
        let (balls, few) = (points(SEED, SOUND), points(SEED ^ 1, MISHIT));
        let hole = planner.hole();
        let first = if is_driver { 0 } else { 2 };
        let at = |[direction, distance]: [f64; 2]| {
            let mut logs = prior.mean;
            [logs[first], logs[first + 1]] = [direction, distance];
            prior.play(&logs)
        };
        let wide = [first, first + 1].map(|k| prior.mean[k] + PROPOSAL * prior.sd[k]);
        let sound = planner.swung_with(&at(wide), shot, (Some(0.0), &balls))?;
        let middle = prior.play(&prior.mean);
        let mishits = planner.swung_with(&middle, shot, (Some(1.0), &few))?;
        let drawn = planner.launches_with(&at(wide), shot)?;
        let launches: Vec<[f64; 5]> = match &drawn {
            Some(drawn) => {
                let sound = LaunchModel {
                    mishit_share: 0.0,
                    ..drawn.clone()
                };
                let pattern = sound.pattern();
                balls.iter().map(|point| pattern.draw_five(point)).collect()
            }
            None => Vec::new(),
        };
        let weights: Result<Vec<Vec<f64>>, Problems> = (0..NODES * NODES)
            .into_par_iter()
            .map(|node| {
                let model = planner.launches_with(&at(self::node(prior, is_driver, node)), shot)?;
                Ok(match (&drawn, &model) {
                    (Some(drawn), Some(model)) => ratios(&launches, drawn, model),
                    _ => vec![1.0 / SOUND as f64; sound.len()],
                })
            })
            .collect();
        let range = planner.launches_with(&CoursePlay::NONE, shot)?;
        Ok(Self {
            is_driver,
            range_mishits: range.map_or(0.0, |model| model.mishit_share),
            sound: Cloud::of(hole, &view, &sound),
            weights: weights?,
            mishit: Cloud::of(hole, &view, &mishits),
            view,
        })
    }

    /// What an end says, with the weight of its round.
    #[must_use]
    pub fn evidence(&self, ended: &Ended, weight: f64) -> Evidence {
        let broad = ended.broad();
        let kernels = self.sound.narrow(ended, NARROW);
        let near: Vec<(usize, f64)> = kernels
            .into_iter()
            .enumerate()
            .filter(|(_, kernel)| *kernel > 0.0)
            .collect();
        let log = |weights: &Vec<f64>| {
            let density: f64 = near
                .iter()
                .map(|(ball, kernel)| weights[*ball] * kernel)
                .sum();
            // Where no ball is near, the logarithm stays finite.
            (density + SLIPS * broad).ln()
        };
        Evidence::TeeShot(TeeShotSaid {
            is_driver: self.is_driver,
            range_mishits: self.range_mishits,
            log_sound: self.weights.iter().map(log).collect(),
            mishit: self.mishit.density(ended),
            broad,
            weight,
        })
    }
}

/// The density of launches under a model over that under the one they were drawn from, made to add to 1.
fn ratios(launches: &[[f64; 5]], drawn: &LaunchModel, model: &LaunchModel) -> Vec<f64> {
    let (Some(from), Some(to)) = (cholesky(&drawn.scale), cholesky(&model.scale)) else {
        return vec![1.0 / launches.len() as f64; launches.len()];
    };
    let log = |model: &LaunchModel, lower: &Matrix<5>, five: &[f64; 5]| {
        let off = std::array::from_fn(|k| five[k] - model.centre[k]);
        let squared = squared_length(lower, &off);
        -0.5 * (model.dof + 5.0) * (squared / model.dof).ln_1p()
    };
    let ratio = |five: &[f64; 5]| (log(model, &to, five) - log(drawn, &from, five)).exp();
    let ratios: Vec<f64> = launches.iter().map(ratio).collect();
    let sum: f64 = ratios.iter().sum();
    ratios.into_iter().map(|ratio| ratio / sum).collect()
}

/// What one tee shot or one score says.
#[derive(Clone, Debug)]
pub enum Evidence {
    /// Where a tee shot ended.
    TeeShot(TeeShotSaid),
    /// The score of a hole whose tee shot has no end.
    Score(ScoreSaid),
}

impl Evidence {
    /// A score by its probability at the three places [`ALONG`].
    #[must_use]
    pub fn of_score(chances: [f64; 3], weight: f64) -> Self {
        let log = |chance: f64| ((1.0 - SLIPS) * chance + SLIPS / SCORES).ln();
        Self::Score(ScoreSaid {
            log: chances.map(log),
            weight,
        })
    }

    /// The logarithm of its likelihood at these logarithms of the unknowns.
    pub(super) fn log_likelihood(&self, prior: &Prior, logs: &[f64; UNKNOWNS]) -> f64 {
        match self {
            Self::TeeShot(said) => said.log_likelihood(prior, logs),
            Self::Score(said) => said.log_likelihood(prior, logs),
        }
    }
}

/// What a score says.
#[derive(Clone, Debug)]
pub struct ScoreSaid {
    /// The logarithm of its probability at the three places.
    log: [f64; 3],
    weight: f64,
}

impl ScoreSaid {
    fn log_likelihood(&self, prior: &Prior, logs: &[f64; UNKNOWNS]) -> f64 {
        let t = prior.off(logs).clamp(-FURTHEST, FURTHEST) / ALONG[2];
        let [low, middle, high] = self.log;
        let (slope, bend) = (0.5 * (high - low), 0.5 * (high + low) - middle);
        self.weight * (middle + slope * t + bend * t * t)
    }
}

/// What one tee shot says.
#[derive(Clone, Debug)]
pub struct TeeShotSaid {
    pub(super) is_driver: bool,
    pub(super) range_mishits: f64,
    /// By node, the logarithm of the density among sound strikes.
    pub(super) log_sound: Vec<f64>,
    pub(super) mishit: f64,
    pub(super) broad: f64,
    pub(super) weight: f64,
}

impl TeeShotSaid {
    fn log_likelihood(&self, prior: &Prior, logs: &[f64; UNKNOWNS]) -> f64 {
        let first = if self.is_driver { 0 } else { 2 };
        let weights = [first, first + 1].map(|k| {
            let middle = (NODES - 1) as f64 / 2.0;
            cubic((logs[k] - prior.mean[k]) / (APART * prior.sd[k]) + middle)
        });
        let mut log_sound = 0.0;
        for (i, a) in weights[0].1.iter().enumerate() {
            for (j, b) in weights[1].1.iter().enumerate() {
                let (row, column) = (weights[0].0[i], weights[1].0[j]);
                log_sound += a * b * self.log_sound[row * NODES + column];
            }
        }
        let mishits = (self.range_mishits + prior.more_mishits(logs)).min(MOST_MISHITS);
        let mixed = (1.0 - mishits) * log_sound.exp() + mishits * self.mishit;
        self.weight * ((1.0 - SLIPS) * mixed + SLIPS * self.broad).ln()
    }
}

/// The nodes about a place on the lattice and their weights: a Catmull–Rom cubic, level beyond the ends.
fn cubic(place: f64) -> ([usize; 4], [f64; 4]) {
    let last = NODES - 1;
    let place = place.clamp(0.0, last as f64);
    let low = (place.floor() as usize).min(last - 1);
    let t = place - low as f64;
    let nodes = [low.saturating_sub(1), low, low + 1, (low + 2).min(last)];
    let (t2, t3) = (t * t, t * t * t);
    let mut weights = [
        0.5 * (-t3 + 2.0 * t2 - t),
        0.5 * (3.0 * t3 - 5.0 * t2 + 2.0),
        0.5 * (-3.0 * t3 + 4.0 * t2 + t),
        0.5 * (t3 - t2),
    ];
    // At the ends the missing node lies on the line through the last two.
    if low == 0 {
        let missing = std::mem::take(&mut weights[0]);
        weights[1] += 2.0 * missing;
        weights[2] -= missing;
    }
    if low + 2 > last {
        let missing = std::mem::take(&mut weights[3]);
        weights[2] += 2.0 * missing;
        weights[1] -= missing;
    }
    (nodes, weights)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cubic_holds_straight_lines_and_its_nodes() {
        for place in [0.0, 0.3, 1.0, 2.7, 5.5, 6.0] {
            let (nodes, weights) = cubic(place);
            let sum: f64 = nodes.iter().zip(weights).map(|(n, w)| *n as f64 * w).sum();
            assert!((sum - place).abs() < 1e-12, "{place}: {sum}");
        }
    }
}
