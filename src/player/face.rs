//! Face and strike apart: what the face did to the curve and what the strike did.
//!
//! Within a club the axis tilt is taken as linear in face-to-path and in where
//! on the face the ball was struck,
//! `axis = a + b·(face − path) + c·strike + rest`,
//! learnt as a conjugate Bayesian regression (Gelman et al., *Bayesian Data
//! Analysis*, 3rd ed. 2013, §14.8) so that eight shots are enough to say
//! something. Where to start from: `b` is one over the spin loft, in radians
//! to degrees (D-plane: the axis is square to the plane of path and face
//! normal; Jorgensen 1994, memory); `c` is the gear effect, a toe strike
//! adding draw spin and a heel strike fade spin (size: practice, wide).

use super::Handedness;
use super::club::{Club, Family};
use super::group::Group;
use super::matrix::{Matrix, cholesky, lower_times};
use super::pattern::AXIS;
use super::shotlog::Shot;
use super::special::{chi_square_quantile, t_quantile};
use super::strike_cost::{self, StrikeCost};
use crate::sample::{normal_quantile, points};

/// Fewer rows with face and path than this tell nothing.
pub const LEAST_ROWS: usize = 8;

/// A value with the interval that holds it with 90 %.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Figure {
    /// The value.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// What the face and the strike do to a club's bend. Degrees and mm; right,
/// open-to-the-right and toe are positive.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceAndStrike {
    /// Rows with face and path (and strike, where `per_mm` is there).
    pub rows: usize,
    /// Axis tilt with face-to-path and strike at zero, degrees.
    pub base_deg: Figure,
    /// Axis tilt per degree of face-to-path.
    pub per_degree: Figure,
    /// Axis tilt per mm towards the toe; none where no strike was logged.
    pub per_mm: Option<Figure>,
    /// Mean and spread of face-to-path, degrees.
    pub face_to_path_deg: [f64; 2],
    /// Mean and spread of the strike, mm.
    pub strike_mm: Option<[f64; 2]>,
    /// Shares of the axis tilt's variance: face-to-path, strike, what neither
    /// explains; add to 1 (face and strike going together is shared evenly).
    pub shares: [f64; 3],
    /// What holds each of them with 90 %.
    pub share_intervals: [[f64; 2]; 3],
    /// How face-to-path and strike go together, −1 to 1.
    pub face_with_strike: Option<f64>,
    /// Mean face-to-path at which 95 balls in 100 would bend the stock way, all
    /// scatter as it is, degrees; signed like the logged angles.
    pub safe_face_to_path_deg: f64,
    /// What holds it with 90 %.
    pub safe_interval_deg: [f64; 2],
    /// What strikes off the middle cost beside the bend, where the log tells.
    pub strike_cost: Option<StrikeCost>,
    /// Degrees of freedom of the rest.
    dof: f64,
    /// Scale of the rest, degrees.
    rest_deg: f64,
}

impl FaceAndStrike {
    /// The expected axis tilt, degrees, of one delivery.
    #[must_use]
    pub fn axis_deg(&self, face_to_path_deg: f64, strike_mm: f64) -> f64 {
        self.base_deg.value
            + self.per_degree.value * face_to_path_deg
            + self.per_mm.map_or(0.0, |c| c.value) * strike_mm
    }

    /// The share of balls that would bend right were the mean face-to-path this,
    /// all scatter as it is.
    #[must_use]
    pub fn share_bending_right(&self, face_to_path_deg: f64) -> f64 {
        let mean = self.axis_deg(face_to_path_deg, self.strike_mm.map_or(0.0, |s| s[0]));
        super::special::t_share_below(mean / self.spread_deg().max(1e-9), self.dof)
    }

    /// Scale of the axis tilt about its mean, all three parts together, degrees.
    #[must_use]
    pub fn spread_deg(&self) -> f64 {
        self.rest_deg / self.shares[2].max(1e-9).sqrt()
    }
}

/// Splits a club's bend by face and strike; `None` where fewer than
/// [`LEAST_ROWS`] used rows log face and path, or start and curve are not known.
#[must_use]
pub fn split(group: &Group, shots: &[Shot], handedness: Handedness) -> Option<FaceAndStrike> {
    if group.sight == super::group::Sight::SideOnly {
        return None;
    }
    let with_face: Vec<(f64, f64, Option<f64>)> = group
        .used()
        .filter_map(|row| {
            let shot = shots.get(row.shot)?;
            Some((
                // The axis as logged, before any correction for the flight model.
                shot.axis_deg.unwrap_or(row.five[AXIS]),
                shot.face_deg? - shot.path_deg?,
                shot.strike_mm,
            ))
        })
        .collect();
    if with_face.len() < LEAST_ROWS {
        return None;
    }
    let with_strike = with_face.iter().filter(|(_, _, s)| s.is_some()).count();
    // Rows without a strike are left out only where enough have one.
    let strike = with_strike >= LEAST_ROWS && 2 * with_strike >= with_face.len();
    let rows: Vec<[f64; 3]> = with_face
        .iter()
        .filter(|(_, _, s)| !strike || s.is_some())
        .map(|&(axis, face, s)| [axis, face, if strike { s.unwrap_or(0.0) } else { 0.0 }])
        .collect();
    let family = Club::of(&group.club).family;
    Some(FaceAndStrike {
        strike_cost: strike
            .then(|| strike_cost::of(group, shots, handedness))
            .flatten(),
        ..regress(&rows, strike, family, handedness)
    })
}

fn regress(
    rows: &[[f64; 3]],
    strike: bool,
    family: Family,
    handedness: Handedness,
) -> FaceAndStrike {
    // Spin loft 13, 18, 27 and 40° (practice).
    let per_degree = match family {
        Family::Driver => 4.4,
        Family::Wood => 3.2,
        Family::Iron => 2.1,
        Family::Wedge => 1.4,
    };
    // Gear effect: a driver's, net of bulge; little on an iron (practice).
    let per_mm = match family {
        Family::Driver => -0.5,
        Family::Wood => -0.35,
        Family::Iron | Family::Wedge => -0.05,
    } * handedness.sign();
    let start = [0.0, per_degree, if strike { per_mm } else { 0.0 }];
    let start_spread = [4.0, 0.5 * per_degree, if strike { 0.4 } else { 1e-6 }];
    // What neither explains: about 3°, known as from 4 degrees of freedom.
    let (rest_dof, rest) = (4.0, 3.0_f64);
    let mut precision: Matrix<3> = [[0.0; 3]; 3];
    let mut weighted = [0.0; 3];
    for k in 0..3 {
        let p = rest * rest / (start_spread[k] * start_spread[k]);
        precision[k][k] = p;
        weighted[k] = p * start[k];
    }
    let mut squares = rest_dof * rest * rest
        + (0..3)
            .map(|k| precision[k][k] * start[k] * start[k])
            .sum::<f64>();
    for [axis, face, s] in rows {
        let x = [1.0, *face, *s];
        super::matrix::add_outer(&mut precision, &x, 1.0);
        for k in 0..3 {
            weighted[k] += x[k] * axis;
        }
        squares += axis * axis;
    }
    // The prior precisions keep this positive definite whatever the rows.
    let lower = cholesky(&precision).unwrap_or([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);
    let inverse = inverse_of(&lower);
    let coefficient: [f64; 3] =
        std::array::from_fn(|i| (0..3).map(|j| inverse[i][j] * weighted[j]).sum());
    squares -= (0..3).map(|k| coefficient[k] * weighted[k]).sum::<f64>();
    let dof = rest_dof + rows.len() as f64;
    let rest_deg = (squares.max(1e-9) / dof).sqrt();
    let figure = |k: usize| {
        let half = t_quantile(0.95, dof) * rest_deg * inverse[k][k].sqrt();
        Figure {
            value: coefficient[k],
            low: coefficient[k] - half,
            high: coefficient[k] + half,
        }
    };
    let n = rows.len() as f64;
    let mean = |k: usize| rows.iter().map(|r| r[k]).sum::<f64>() / n;
    let (face, hit) = (mean(1), mean(2));
    let moment = |i: usize, j: usize| {
        rows.iter()
            .map(|r| (r[i] - mean(i)) * (r[j] - mean(j)))
            .sum::<f64>()
            / (n - 1.0).max(1.0)
    };
    let (face_face, face_hit, hit_hit) = (moment(1, 1), moment(1, 2), moment(2, 2));
    let seen = Seen {
        coefficient,
        rest_deg,
        means: [face, hit],
        moments: [face_face, face_hit, hit_hit],
    };
    let (shares, safe_face_to_path_deg) = seen.shares(dof);
    let (share_intervals, safe_interval) = seen.intervals(&inverse, dof, n);
    FaceAndStrike {
        rows: rows.len(),
        base_deg: figure(0),
        per_degree: figure(1),
        per_mm: strike.then(|| figure(2)),
        face_to_path_deg: [face, face_face.sqrt()],
        strike_mm: strike.then(|| [hit, hit_hit.sqrt()]),
        shares,
        share_intervals,
        face_with_strike: strike
            .then(|| face_hit / (face_face * hit_hit).sqrt().max(1e-9))
            .filter(|r| r.is_finite()),
        safe_face_to_path_deg,
        safe_interval_deg: safe_interval,
        strike_cost: None,
        dof,
        rest_deg,
    }
}

/// What the shares and the safe face are worked out from.
#[derive(Clone, Copy)]
struct Seen {
    coefficient: [f64; 3],
    rest_deg: f64,
    /// Of face-to-path and strike.
    means: [f64; 2],
    /// Variance of face-to-path, covariance, variance of the strike.
    moments: [f64; 3],
}

impl Seen {
    /// Shares of face, strike and rest, and the face-to-path at which 95 in 100
    /// bend the stock way.
    fn shares(&self, dof: f64) -> ([f64; 3], f64) {
        let [a, b, c] = self.coefficient;
        let [face_face, face_hit, hit_hit] = self.moments;
        let [face, hit] = self.means;
        let rest = self.rest_deg * self.rest_deg;
        let by_face = (b * b * face_face + b * c * face_hit).max(0.0);
        let by_strike = (c * c * hit_hit + b * c * face_hit).max(0.0);
        let total = by_face + by_strike + rest;
        let side = if a + b * face + c * hit < 0.0 {
            -1.0
        } else {
            1.0
        };
        let needed = side * t_quantile(0.95, dof) * total.sqrt();
        let steep = if b.abs() < 0.1 {
            0.1_f64.copysign(b)
        } else {
            b
        };
        (
            [by_face / total, by_strike / total, rest / total],
            (needed - a - c * hit) / steep,
        )
    }

    /// Intervals that hold both with 90 %, over what coefficients, rest and
    /// scatters may be.
    fn intervals(&self, inverse: &Matrix<3>, dof: f64, rows: f64) -> ([[f64; 2]; 3], [f64; 2]) {
        const DRAWS: usize = 400;
        let lower = cholesky(inverse).unwrap_or_default();
        let stock = self.shares(dof).1;
        let mut values: [Vec<f64>; 4] = Default::default();
        for point in points(4, DRAWS) {
            let z: [f64; 3] = std::array::from_fn(|k| normal_quantile(point[k]));
            let stretch = |u: f64, dof: f64| dof / chi_square_quantile(u, dof);
            let rest_deg = self.rest_deg * stretch(point[3], dof).sqrt();
            let off = lower_times(&lower, &z);
            let [f, s] = [4, 5].map(|k| stretch(point[k], (rows - 1.0).max(1.0)));
            let [face_face, face_hit, hit_hit] = self.moments;
            let drawn = Self {
                coefficient: std::array::from_fn(|k| self.coefficient[k] + rest_deg * off[k]),
                rest_deg,
                means: [
                    self.means[0],
                    self.means[1] + normal_quantile(point[6]) * (hit_hit * s / rows).sqrt(),
                ],
                moments: [face_face * f, face_hit * (f * s).sqrt(), hit_hit * s],
            };
            let (shares, safe) = drawn.shares(dof);
            for (list, share) in values.iter_mut().zip(shares) {
                list.push(share);
            }
            // A ball near straight may change its stock side: the same side is asked.
            values[3].push(safe.abs().copysign(stock));
        }
        let interval = |list: &mut Vec<f64>| {
            list.sort_by(f64::total_cmp);
            [list[DRAWS / 20], list[DRAWS - 1 - DRAWS / 20]]
        };
        let [a, b, c, safe] = &mut values;
        ([interval(a), interval(b), interval(c)], interval(safe))
    }
}

/// `(L·Lᵀ)⁻¹` of a lower triangle.
fn inverse_of(lower: &Matrix<3>) -> Matrix<3> {
    let mut inverse = [[0.0; 3]; 3];
    #[allow(clippy::needless_range_loop)] // rows and columns as in the textbook
    for column in 0..3 {
        let mut y = [0.0; 3];
        for i in 0..3 {
            let dot: f64 = (0..i).map(|k| lower[i][k] * y[k]).sum();
            let unit = if i == column { 1.0 } else { 0.0 };
            y[i] = (unit - dot) / lower[i][i];
        }
        for i in (0..3).rev() {
            let dot: f64 = (i + 1..3).map(|k| lower[k][i] * inverse[k][column]).sum();
            inverse[i][column] = (y[i] - dot) / lower[i][i];
        }
    }
    inverse
}
