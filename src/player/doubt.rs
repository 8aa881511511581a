//! How far a player may differ from what is known of one: draws from the
//! posterior, club by club.
//!
//! A drawn player is one of those the log allows: another mean, another spread,
//! other tails and another share of mishits, each as likely as the log and the
//! level make it. What is priced on many of them shows how much of an answer is
//! the log's to give.

use super::fit::Evidence;
use super::group::Sight;
use super::matrix::{Matrix, cholesky, lower_times, symmetric};
use super::pattern::{ANGLE, BOUNDS, SPIN};
use super::posterior::TAILS;
use super::prior::{MEAN_SHOTS, MISHIT_SHOTS, SPREAD_DOF};
use super::sampled::Luck;
use super::special::t_quantile;
use super::{Basis, ClubShape, Player};

/// How many shots a club filled from its neighbours is worth (practice).
const FILLED_SHOTS: f64 = 8.0;

/// What is not known of one club.
#[derive(Clone, Debug)]
pub struct Doubt {
    /// Scale matrix of the t of the mean.
    mean_scale: Matrix<5>,
    /// Scale matrix of the balls, a typical one.
    scale: Matrix<5>,
    /// Degrees of freedom of both.
    dof: f64,
    /// Tails of the balls at that scale, and the odds of others.
    tail_dof: f64,
    tail_odds: [f64; TAILS.len()],
    /// Beta belief about the share of mishits.
    mishits: [f64; 2],
}

impl Doubt {
    /// Of a club fitted to a log.
    #[must_use]
    pub fn of_log(club: &ClubShape, evidence: &Evidence) -> Self {
        // The pattern's own correlations at the typical spreads.
        let model = &club.launches;
        let factor: [f64; 5] = std::array::from_fn(|k| {
            evidence.typical_scale[k] / model.scale[k][k].max(1e-12).sqrt()
        });
        let mut mean_scale = evidence.mean_scale;
        if evidence.group.sight != Sight::Whole {
            // Launch and spin are supposed, and speed made to fit them: moved
            // alone they would move the carry, which is known.
            for k in [ANGLE, SPIN] {
                mean_scale[k] = [0.0; 5];
                for row in &mut mean_scale {
                    row[k] = 0.0;
                }
            }
        }
        Self {
            mean_scale,
            scale: std::array::from_fn(|i| {
                std::array::from_fn(|j| model.scale[i][j] * factor[i] * factor[j])
            }),
            dof: evidence.mean_dof,
            tail_dof: evidence.tail_dof,
            tail_odds: evidence.tail_odds,
            mishits: evidence.mishits,
        }
    }

    /// Of a club of a player file, from how many shots it rests on; none of one
    /// given by hand, which is taken as meant.
    #[must_use]
    pub fn of_file(club: &ClubShape) -> Option<Self> {
        let shots = match club.basis {
            Basis::Given => return None,
            Basis::Neighbours => FILLED_SHOTS,
            _ => club.shots as f64,
        };
        let model = &club.launches;
        let share = 1.0 / (shots + MEAN_SHOTS);
        let mut tail_odds = [0.0; TAILS.len()];
        let nearest = (0..TAILS.len()).min_by(|a, b| {
            let off = |k: usize| (TAILS[k].0 / model.dof).ln().abs();
            off(*a).total_cmp(&off(*b))
        });
        tail_odds[nearest.unwrap_or(0)] = 1.0;
        let sure = MISHIT_SHOTS + shots;
        Some(Self {
            mean_scale: model.scale.map(|row| row.map(|c| c * share)),
            scale: model.scale,
            dof: SPREAD_DOF + shots,
            tail_dof: model.dof,
            tail_odds,
            mishits: [sure * model.mishit_share, sure * (1.0 - model.mishit_share)],
        })
    }

    fn drawn(&self, club: &ClubShape, luck: &mut Luck) -> ClubShape {
        let mut other = club.clone();
        let model = &mut other.launches;
        let normals = |luck: &mut Luck| -> [f64; 5] { std::array::from_fn(|_| luck.normal()) };
        let stretch = (self.dof / (2.0 * luck.gamma(0.5 * self.dof))).sqrt();
        let off = root(&self.mean_scale, &normals(luck));
        for k in 0..5 {
            model.centre[k] =
                (model.centre[k] + stretch * off[k]).clamp(BOUNDS[k][0], BOUNDS[k][1]);
        }
        let mut left = luck.uniform();
        let tail = self
            .tail_odds
            .iter()
            .position(|odds| {
                left -= odds;
                left < 0.0
            })
            .unwrap_or(TAILS.len() - 1);
        let tail = TAILS[tail].0;
        // Heavier tails go with a narrower middle: the quartiles stay.
        let narrower = (t_quantile(0.75, self.tail_dof) / t_quantile(0.75, tail)).powi(2);
        if let Some(scale) = luck.inverse_wishart(&self.scale, self.dof) {
            model.scale = symmetric(&scale.map(|row| row.map(|c| c * narrower)));
        }
        model.dof = tail;
        let [a, b] = self.mishits.map(|shape| luck.gamma_any(shape));
        model.mishit_share = (a / (a + b).max(1e-12)).clamp(0.0, 0.2);
        other
    }
}

/// A square root of a matrix that may have empty rows, times a vector.
fn root(matrix: &Matrix<5>, x: &[f64; 5]) -> [f64; 5] {
    let mut filled = *matrix;
    let mut out_of = [false; 5];
    for k in 0..5 {
        if filled[k][k] <= 0.0 {
            filled[k][k] = 1.0;
            out_of[k] = true;
        }
    }
    let Some(lower) = cholesky(&filled) else {
        return std::array::from_fn(|k| matrix[k][k].max(0.0).sqrt() * x[k]);
    };
    let product = lower_times(&lower, x);
    std::array::from_fn(|k| if out_of[k] { 0.0 } else { product[k] })
}

/// One of the players that are as likely; the same `number` and seed give the
/// same one. Clubs without a doubt stay as they are.
#[must_use]
pub fn drawn(player: &Player, doubts: &[Option<Doubt>], seed: u32, number: usize) -> Player {
    let mut other = player.clone();
    for (index, club) in other.clubs.iter_mut().enumerate() {
        if let Some(doubt) = doubts.get(index).and_then(Option::as_ref) {
            let stream = (u64::from(seed) << 32) + ((number as u64) << 12) + index as u64;
            *club = doubt.drawn(club, &mut Luck::seeded(stream));
        }
    }
    other
}
