//! One club's pattern learnt from its rows, its level and its neighbours.

use super::Handedness;
use super::club::{Club, Family};
use super::group::{Group, Sight, median};
use super::invert::Range;
use super::matrix::{Matrix, cholesky};
use super::pattern::{ANGLE, AXIS, BOUNDS, SPEED, SPIN, START};
use super::posterior::{Belief, Posterior, learn, learn_quickly};
use super::prior;

/// Where the learning starts from.
pub(super) struct Start {
    /// Prior mean of start and axis.
    shape: [f64; 2],
    /// Factor on the level's variances: of distance and of direction.
    spread: [f64; 2],
}

/// How many shots the level's own spread and the shape's own mean count for
/// when they are averaged with what other clubs showed.
const LEVEL_SHOTS: f64 = 15.0;

impl Start {
    pub(super) fn plain(group: &Group, handedness: Handedness) -> Self {
        Self {
            shape: prior::named_shape(group.shape.as_deref(), handedness),
            spread: [1.0, 1.0],
        }
    }

    /// With what the player's other clubs showed, the nearer in carry the more.
    pub(super) fn among(
        i: usize,
        groups: &[Group],
        alone: &[Learnt],
        handedness: Handedness,
    ) -> Self {
        let plain = Self::plain(&groups[i], handedness);
        let mut log_spread = [0.0; 2];
        let mut shape = plain.shape.map(|s| s * LEVEL_SHOTS);
        let (mut spread_shots, mut shape_shots) = (LEVEL_SHOTS, LEVEL_SHOTS);
        for (j, other) in alone.iter().enumerate().filter(|(j, _)| *j != i) {
            // Half the say at a third of the carry away (practice).
            let apart = (groups[j].carry_m / groups[i].carry_m.max(1.0)).ln() / 0.35;
            let say = other.effective_shots.min(60.0) / (1.0 + apart * apart);
            for (sum, ratio) in log_spread.iter_mut().zip(other.spread_ratio) {
                *sum += say * ratio.ln();
            }
            spread_shots += say;
            if groups[j].shape == groups[i].shape && groups[j].sight != Sight::SideOnly {
                shape[0] += say * other.mean[START];
                shape[1] += say * other.mean[AXIS];
                shape_shots += say;
            }
        }
        Self {
            shape: shape.map(|s| s / shape_shots),
            spread: log_spread.map(|s| (s / spread_shots).exp().clamp(0.25, 4.0)),
        }
    }
}

/// One club's learnt pattern in the five, whatever its rows show.
pub(super) struct Learnt {
    pub(super) mean: [f64; 5],
    pub(super) mean_scale: Matrix<5>,
    pub(super) typical: [f64; 5],
    pub(super) mean_dof: f64,
    pub(super) mean_shots: f64,
    pub(super) tail_dof: f64,
    pub(super) tail_odds: [f64; 5],
    pub(super) effective_shots: f64,
    pub(super) scale: Matrix<5>,
    pub(super) dof: f64,
    /// Learnt over expected variance: of distance and of direction.
    pub(super) spread_ratio: [f64; 2],
    pub(super) bend_per_axis: f64,
}

/// How closely a posterior is looked at.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Look {
    /// Enough to tell other clubs of: every row's weight at its expected value.
    Quick,
    /// The posterior itself, in the eyes of a player of this hand.
    Close(Handedness),
}

impl Look {
    /// What the rows tell. A left-hander's are looked at in a mirror, so that
    /// mirrored logs make mirrored players; `sides` says which coordinates turn.
    fn at<const N: usize>(
        self,
        prior: &Belief<N>,
        rows: &[[f64; N]],
        sides: [bool; N],
    ) -> Posterior<N> {
        let Self::Close(handedness) = self else {
            return learn_quickly(prior, rows);
        };
        let sign = sides.map(|side| if side { handedness.sign() } else { 1.0 });
        let turned = |v: &[f64; N]| std::array::from_fn(|k| sign[k] * v[k]);
        let both = |m: &Matrix<N>| {
            std::array::from_fn(|i| std::array::from_fn(|j| sign[i] * sign[j] * m[i][j]))
        };
        let seen = Belief {
            mean: turned(&prior.mean),
            matrix: both(&prior.matrix),
            ..prior.clone()
        };
        let mut posterior = learn(&seen, &rows.iter().map(turned).collect::<Vec<_>>());
        posterior.belief.mean = turned(&posterior.belief.mean);
        for matrix in [
            &mut posterior.belief.matrix,
            &mut posterior.mean_covariance,
            &mut posterior.predictive_scale,
        ] {
            *matrix = both(matrix);
        }
        posterior
    }
}

impl Learnt {
    pub(super) fn of(
        range: &Range,
        group: &Group,
        start: &Start,
        handicap: f64,
        look: Look,
    ) -> Self {
        let club = Club::of(&group.club);
        let family = if club.known {
            club.family
        } else {
            family_by_carry(group.carry_m)
        };
        let n = group.used().count() as f64;
        let (usual_angle, usual_spin) = club.usual_launch(group.carry_m);
        // The middle of the rows themselves, with two shots' worth of the usual.
        let middle = |k: usize, usual: f64| {
            (n * median(group.used().map(|row| row.five[k])) + 2.0 * usual) / (n + 2.0)
        };
        let mut mean = [0.0; 5];
        mean[SPEED] = median(group.used().map(|row| row.five[SPEED]));
        mean[ANGLE] = middle(ANGLE, usual_angle);
        mean[SPIN] = middle(SPIN, usual_spin);
        mean[START] = start.shape[0];
        mean[AXIS] = start.shape[1];
        let level = prior::covariance(handicap, family, mean[SPEED], mean[SPIN]);
        let factor = |k: usize| start.spread[usize::from(k == START || k == AXIS)].sqrt();
        let expected: Matrix<5> =
            std::array::from_fn(|i| std::array::from_fn(|j| level[i][j] * factor(i) * factor(j)));
        let bend_per_axis = range.curve_deg_per_axis_deg(&mean).clamp(0.05, 1.5);
        match group.sight {
            Sight::Whole => {
                let rows: Vec<[f64; 5]> = group.used().map(|row| row.five).collect();
                let belief = Belief::about(mean, prior::MEAN_SHOTS, &expected, prior::SPREAD_DOF);
                let sides = std::array::from_fn(|k| k == START || k == AXIS);
                let posterior = look.at(&belief, &rows, sides);
                Self::whole(&posterior, &level, bend_per_axis)
            }
            Sight::StartAndCurve => {
                let pick = [SPEED, START, AXIS];
                let rows: Vec<[f64; 3]> =
                    group.used().map(|row| pick.map(|k| row.five[k])).collect();
                let prior_mean = pick.map(|k| mean[k]);
                let prior_scale = pick.map(|i| pick.map(|j| expected[i][j]));
                let belief = Belief::about(
                    prior_mean,
                    prior::MEAN_SHOTS,
                    &prior_scale,
                    prior::SPREAD_DOF,
                );
                let posterior = look.at(&belief, &rows, [false, true, true]);
                Self::without_launch(range, &posterior, mean, &expected, &level, bend_per_axis)
            }
            Sight::SideOnly => {
                let rows: Vec<[f64; 2]> = group
                    .used()
                    .map(|row| [row.five[SPEED], row.direction_deg])
                    .collect();
                let k = bend_per_axis;
                let direction = expected[START][START]
                    + 2.0 * k * expected[START][AXIS]
                    + k * k * expected[AXIS][AXIS];
                let prior_mean = [mean[SPEED], mean[START] + k * mean[AXIS]];
                let prior_scale = [[expected[SPEED][SPEED], 0.0], [0.0, direction]];
                let belief = Belief::about(
                    prior_mean,
                    prior::MEAN_SHOTS,
                    &prior_scale,
                    prior::SPREAD_DOF,
                );
                let posterior = look.at(&belief, &rows, [false, true]);
                let split = posterior.by_usual_shape([mean[START], mean[AXIS]], &expected, k);
                Self::without_launch(range, &split, mean, &expected, &level, bend_per_axis)
            }
        }
    }

    pub(super) fn centre(&self) -> [f64; 5] {
        std::array::from_fn(|k| self.mean[k].clamp(BOUNDS[k][0], BOUNDS[k][1]))
    }

    fn whole(posterior: &Posterior<5>, level: &Matrix<5>, bend_per_axis: f64) -> Self {
        let belief = &posterior.belief;
        let (scale, dof) = posterior.predictive();
        let typical = belief.marginal_scale();
        let scale = if cholesky(&scale).is_some() {
            scale
        } else {
            diagonal_of(&scale)
        };
        Self {
            mean: belief.mean,
            mean_scale: posterior.mean_scale(),
            typical,
            mean_dof: belief.marginal_dof(),
            mean_shots: belief.mean_shots,
            tail_dof: posterior.tail_dof,
            tail_odds: posterior.tail_odds,
            effective_shots: posterior.effective_shots(),
            scale,
            dof,
            spread_ratio: ratios(&typical, posterior.tail_dof, level, &[SPEED, ANGLE, SPIN]),
            bend_per_axis,
        }
    }

    /// Puts launch angle and spin back, with the level's spreads: as much of
    /// them as explains at most half of the carry's scatter, and that much less
    /// of it left to ball speed.
    fn without_launch(
        range: &Range,
        posterior: &Posterior<3>,
        usual: [f64; 5],
        expected: &Matrix<5>,
        level: &Matrix<5>,
        bend_per_axis: f64,
    ) -> Self {
        let belief = &posterior.belief;
        let (three, dof) = posterior.predictive();
        let pick = [SPEED, START, AXIS];
        let mut mean = usual;
        for (a, &k) in pick.iter().enumerate() {
            mean[k] = belief.mean[a];
        }
        let gradient = range.carry_gradient(&std::array::from_fn(|k| {
            mean[k].clamp(BOUNDS[k][0], BOUNDS[k][1])
        }));
        // The level's launch and spin as a scale matrix of the same t.
        let to_scale = (dof - 2.0) / dof;
        let hidden = [ANGLE, SPIN];
        let carry_of_hidden: f64 = hidden
            .iter()
            .flat_map(|&i| hidden.iter().map(move |&j| (i, j)))
            .map(|(i, j)| gradient[i] * gradient[j] * expected[i][j] * to_scale)
            .sum();
        let carry_seen = gradient[SPEED] * gradient[SPEED] * three[0][0];
        let share = if carry_of_hidden > 0.5 * carry_seen {
            0.5 * carry_seen / carry_of_hidden
        } else {
            1.0
        };
        let left = (1.0 - share * carry_of_hidden / carry_seen.max(1e-12)).clamp(0.5, 1.0);
        let mut scale = [[0.0; 5]; 5];
        for (a, &i) in pick.iter().enumerate() {
            for (b, &j) in pick.iter().enumerate() {
                let shrink = |k: usize| if k == SPEED { left.sqrt() } else { 1.0 };
                scale[i][j] = three[a][b] * shrink(i) * shrink(j);
            }
        }
        for &i in &hidden {
            for &j in &hidden {
                scale[i][j] = expected[i][j] * to_scale * share;
            }
        }
        let scale = if cholesky(&scale).is_some() {
            scale
        } else {
            diagonal_of(&scale)
        };
        let typical_three = belief.marginal_scale();
        let mean_three = posterior.mean_scale();
        let mut typical: [f64; 5] = std::array::from_fn(|k| scale[k][k].sqrt());
        let mut mean_scale = diagonal_of(expected);
        for (a, &k) in pick.iter().enumerate() {
            typical[k] = typical_three[a];
            for (b, &j) in pick.iter().enumerate() {
                mean_scale[k][j] = mean_three[a][b];
            }
        }
        Self {
            mean,
            mean_scale,
            typical,
            mean_dof: belief.marginal_dof(),
            mean_shots: belief.mean_shots,
            tail_dof: posterior.tail_dof,
            tail_odds: posterior.tail_odds,
            effective_shots: posterior.effective_shots(),
            scale,
            dof,
            spread_ratio: ratios(&typical, posterior.tail_dof, level, &[SPEED]),
            bend_per_axis,
        }
    }
}

impl Posterior<2> {
    /// Splits speed and landing direction into speed, start and axis: given the
    /// direction, start and axis are what the usual shape and the usual spreads
    /// make most likely, and scatter as those leave open.
    fn by_usual_shape(&self, shape: [f64; 2], expected: &Matrix<5>, bend: f64) -> Posterior<3> {
        let s = [
            [expected[START][START], expected[START][AXIS]],
            [expected[AXIS][START], expected[AXIS][AXIS]],
        ];
        let h = [1.0, bend];
        let sh: [f64; 2] = std::array::from_fn(|i| s[i][0] * h[0] + s[i][1] * h[1]);
        let direction = h[0] * sh[0] + h[1] * sh[1];
        let gain = sh.map(|v| v / direction.max(1e-12));
        let off = self.belief.mean[1] - (shape[0] + bend * shape[1]);
        let b = &self.belief;
        // What the direction leaves open scatters along the line where start
        // and bend cancel, in the same measure as the direction itself.
        let split = |m: &Matrix<2>| {
            let measure = m[1][1] / direction.max(1e-12);
            let mut out = [[0.0; 3]; 3];
            out[0][0] = m[0][0];
            for i in 0..2 {
                out[0][i + 1] = gain[i] * m[0][1];
                out[i + 1][0] = out[0][i + 1];
                for j in 0..2 {
                    let open = s[i][j] - gain[i] * sh[j];
                    out[i + 1][j + 1] = gain[i] * gain[j] * m[1][1] + open * measure;
                }
            }
            out
        };
        Posterior {
            belief: Belief {
                mean: [
                    b.mean[0],
                    shape[0] + gain[0] * off,
                    shape[1] + gain[1] * off,
                ],
                mean_shots: b.mean_shots,
                dof: b.dof + 1.0,
                matrix: split(&b.matrix),
            },
            mean_covariance: split(&self.mean_covariance),
            tail_dof: self.tail_dof,
            tail_odds: self.tail_odds,
            weights: self.weights.clone(),
            predictive_scale: split(&self.predictive_scale),
            predictive_dof: self.predictive_dof,
        }
    }
}

fn diagonal_of(scale: &Matrix<5>) -> Matrix<5> {
    let mut out = [[0.0; 5]; 5];
    for (k, row) in out.iter_mut().enumerate() {
        row[k] = scale[k][k].max(1e-9);
    }
    out
}

/// Learnt over expected variance, geometric mean over the coordinates seen.
fn ratios(typical: &[f64; 5], tail_dof: f64, level: &Matrix<5>, distance: &[usize]) -> [f64; 2] {
    let to_variance = tail_dof / (tail_dof - 2.0);
    let ratio = |over: &[usize]| {
        let log = |k: usize| (to_variance * typical[k] * typical[k] / level[k][k]).ln();
        (over.iter().map(|&k| log(k)).sum::<f64>() / over.len() as f64).exp()
    };
    [ratio(distance), ratio(&[START, AXIS])]
}

fn family_by_carry(carry_m: f64) -> Family {
    if carry_m > 190.0 {
        Family::Wood
    } else if carry_m > 105.0 {
        Family::Iron
    } else {
        Family::Wedge
    }
}
