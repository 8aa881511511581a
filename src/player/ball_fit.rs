//! The player's own ball: drag and lift from logged launches and where they landed.
//!
//! Rows that have ball speed, launch angle, spin and carry say how the ball flew.
//! With `r = ln(logged carry / simulated carry)` and `θ = (ln drag, ln lift)`, the
//! two factors of [`Ball::scaled`](crate::flight::Ball::scaled), the model is
//!
//! `r = J θ + b + e`,
//!
//! where `e` is a ball's own error (normal about the middle, Huber's weights
//! beyond, so that a mistyped row pulls little), and `b` what all balls of one
//! club are off together: a monitor's bias, and what the coefficients leave over
//! from club to club. Because of `b` a hundred balls of one club are not a
//! hundred witnesses: how far clubs differ is estimated with the rest, and one
//! club alone knows the ball no better than clubs usually differ. What is left
//! over of a club's carry is put on its own ball speed afterwards (see [`group`](super::group)).
//!
//! Only the clubs' means are used: from ball to ball within a club the noise of
//! the logged launch goes into `r` and into `J` alike and would look like lift.
//!
//! The belief about `θ` before the log is normal about 0 with [`BEFORE`]; the
//! log's launches are simulated anew about each estimate (Gauss–Newton) until it
//! stands. Lift is fitted only where the launches differ enough to tell it from
//! drag; elsewhere the drag stands for both. The ball moves only where the log makes it more than chance (1 %).
//!
//! # References
//! Lyu, Kensrud, Smith & Tosaya, *Proceedings* 2(6):238 (2018): the drag
//! coefficients of 13 models lie within 0.05 (of about 0.25). Huber, *Robust
//! estimation of a location parameter*, Ann. Math. Stat. 35 (1964) 73–101.

use super::group::{RULE_SHOTS, median};
use super::invert::Range;
use super::pattern::{ANGLE, AXIS, SPEED, SPIN};
use super::shotlog::{Shot, ShotLog};
use crate::diagnostic::{Note, Place};

/// Standard deviation of ln drag and ln lift between balls before any log: a
/// fifth of the drag from the lowest of 13 models to the highest (Lyu et al.),
/// taken as three and a half of them; lift alike (practice).
pub const BEFORE: [f64; 2] = [0.06, 0.06];
/// Neither factor goes beyond these: the whole spread of the models to either
/// side. A log that asks for more speaks of something else: wind, height above
/// the sea, a wrong unit.
pub const BOUNDS: [f64; 2] = [0.8, 1.25];
/// What all carries of one club may be off together, standard deviation of the
/// logarithm, with the belief in it: half-normal, as our own coefficients leave
/// 1 to 3 % over on the clubs they were fitted to.
const CLUB_SPREADS: [f64; 7] = [0.0, 0.002_5, 0.005, 0.01, 0.015, 0.02, 0.03];
const USUAL_CLUB_SPREAD: f64 = 0.015;
/// Carries are logged no better than this, as a share.
const LEAST_SPREAD: f64 = 0.003;
/// Errors beyond this many spreads weigh less (Huber).
const HUBER: f64 = 1.5;
/// A row this far off is mistyped and says nothing, as a logarithm.
const MISTYPED: f64 = 0.4;
/// Shorter shots say little of the air, m.
const LEAST_CARRY_M: f64 = 30.0;
/// Most rows flown; of longer logs, evenly spaced ones.
const MOST_ROWS: usize = 4000;
const MOST_ROUNDS: usize = 8;
/// Step for the slopes, of the logarithm.
const STEP: f64 = 0.02;
/// Lift is fitted where the log narrows it to this share of [`BEFORE`].
const TOLD: f64 = 0.5;
/// 99 % of χ² with one and two degrees of freedom.
const CHANCE: [f64; 2] = [6.635, 9.210];
/// Half the width of an interval that holds 90 %, in standard errors.
const Z95: f64 = 1.645;

/// Factors on a modern ball's drag and lift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BallFactors {
    /// On its drag.
    pub drag: f64,
    /// On its lift.
    pub lift: f64,
}

impl Default for BallFactors {
    /// The ball as it is.
    fn default() -> Self {
        Self {
            drag: 1.0,
            lift: 1.0,
        }
    }
}

/// What a log says of the ball.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BallFit {
    /// The ball to fly: as it is where the log does not show another.
    pub factors: BallFactors,
    /// What the log makes most likely, whether it is more than chance or not.
    pub estimate: BallFactors,
    /// Standard errors of the logarithms of the two; of lift where it is not
    /// told, none.
    pub error: [f64; 2],
    /// Whether lift could be told from drag.
    pub lift_told: bool,
    /// Whether an estimate was held at one of [`BOUNDS`].
    pub at_bound: bool,
    /// Rows and clubs it rests on.
    pub shots: usize,
    /// Clubs among them.
    pub clubs: usize,
    /// Median of logged over simulated carry with the ball as it is …
    pub carry_ratio_before: f64,
    /// … and with the one to fly.
    pub carry_ratio: f64,
}

/// One row that tells.
struct Told {
    five: [f64; 5],
    ln_carry: f64,
    club: usize,
}

/// Fits the ball to a log flown on `range`; none where fewer than
/// [`RULE_SHOTS`] rows have ball speed, launch, spin and carry.
#[must_use]
pub fn fit(range: &Range, log: &ShotLog) -> Option<BallFit> {
    let mut clubs: Vec<&str> = Vec::new();
    let mut rows: Vec<Told> = Vec::new();
    for shot in &log.shots {
        let Some(five) = five(shot) else { continue };
        let club = clubs
            .iter()
            .position(|c| *c == shot.club)
            .unwrap_or_else(|| {
                clubs.push(&shot.club);
                clubs.len() - 1
            });
        rows.push(Told {
            five,
            ln_carry: shot.carry_m.ln(),
            club,
        });
    }
    let sound = |row: &Told, r: f64| row.ln_carry.is_finite() && r.abs() < MISTYPED;
    let before = residuals(range, &rows, [0.0; 2]);
    let rows: Vec<Told> = rows
        .into_iter()
        .zip(&before)
        .filter(|(row, r)| sound(row, **r))
        .map(|(row, _)| row)
        .collect();
    if rows.len() < RULE_SHOTS {
        return None;
    }
    let shots = rows.len();
    let every = shots.div_ceil(MOST_ROWS);
    let rows: Vec<Told> = rows.into_iter().step_by(every).collect();
    let mut seen: Vec<usize> = rows.iter().map(|row| row.club).collect();
    seen.sort_unstable();
    seen.dedup();
    let ratio = |theta: [f64; 2]| median(residuals(range, &rows, theta).into_iter()).exp();
    let both = settle(range, &rows, clubs.len(), true);
    let lift_told = both.covariance[1][1].sqrt() < TOLD * BEFORE[1];
    let found = if lift_told {
        both
    } else {
        settle(range, &rows, clubs.len(), false)
    };
    // A bound must come out as it is written.
    let [drag, lift] = found.theta.map(|t| t.exp().clamp(BOUNDS[0], BOUNDS[1]));
    let estimate = BallFactors { drag, lift };
    let moved = distance(&found, lift_told) > CHANCE[usize::from(lift_told)];
    let factors = if moved {
        estimate
    } else {
        BallFactors::default()
    };
    Some(BallFit {
        factors,
        estimate,
        error: [
            found.covariance[0][0].sqrt(),
            if lift_told {
                found.covariance[1][1].sqrt()
            } else {
                0.0
            },
        ],
        lift_told,
        at_bound: [drag, lift].iter().any(|f| !inside(f.ln())),
        shots,
        clubs: seen.len(),
        carry_ratio_before: ratio([0.0; 2]),
        carry_ratio: ratio([factors.drag.ln(), factors.lift.ln()]),
    })
}

/// The launch of a row that says the whole of it; start plays no part in calm air.
fn five(shot: &Shot) -> Option<[f64; 5]> {
    let mut five = [0.0; 5];
    five[SPEED] = shot.ball_speed_m_s?;
    five[ANGLE] = shot.launch_deg?;
    five[SPIN] = shot.spin_rpm?;
    // A tilt takes a per cent of the carry for ten degrees: a rough one will do.
    let curve = shot
        .curve_m
        .map(|c| (c / (0.009 * shot.carry_m)).clamp(-30.0, 30.0));
    five[AXIS] = shot.axis_deg.or(curve).unwrap_or(0.0);
    let sane = five.iter().all(|v| v.is_finite()) && five[SPEED] > 0.0 && five[SPIN] > 0.0;
    (sane && shot.carry_m >= LEAST_CARRY_M).then_some(five)
}

fn residuals(range: &Range, rows: &[Told], theta: [f64; 2]) -> Vec<f64> {
    let [drag, lift] = theta.map(f64::exp);
    let range = range.clone().with(BallFactors { drag, lift });
    let fives: Vec<[f64; 5]> = rows.iter().map(|row| row.five).collect();
    rows.iter()
        .zip(range.land(&fives))
        .map(|(row, landing)| row.ln_carry - landing.carry_m.max(1.0).ln())
        .collect()
}

/// A normal belief about ln drag and ln lift.
struct Belief {
    theta: [f64; 2],
    covariance: [[f64; 2]; 2],
}

fn inside(theta: f64) -> bool {
    theta > BOUNDS[0].ln() + 1e-9 && theta < BOUNDS[1].ln() - 1e-9
}

/// Gauss–Newton rounds until the estimate stands.
fn settle(range: &Range, rows: &[Told], clubs: usize, with_lift: bool) -> Belief {
    let mut belief = Belief {
        theta: [0.0; 2],
        covariance: [[0.0; 2]; 2],
    };
    for _ in 0..MOST_ROUNDS {
        let at = belief.theta;
        let here = residuals(range, rows, at);
        let slope = |k: usize| {
            let mut other = at;
            other[k] += STEP;
            residuals(range, rows, other)
                .into_iter()
                .zip(&here)
                .map(|(there, here)| (here - there) / STEP)
                .collect::<Vec<f64>>()
        };
        let mut slopes = [slope(0), Vec::new()];
        slopes[1] = if with_lift {
            slope(1)
        } else {
            vec![0.0; rows.len()]
        };
        belief = believe(rows, clubs, &here, &slopes, at);
        if !with_lift {
            belief.theta[1] = 0.0;
        }
        let [low, high] = BOUNDS.map(f64::ln);
        belief.theta = belief.theta.map(|t| t.clamp(low, high));
        if (0..2).all(|k| (belief.theta[k] - at[k]).abs() < 1e-5) {
            break;
        }
    }
    belief
}

/// The belief about `θ` from residuals and slopes at one point of it: for each
/// spread between clubs in closed form, then averaged over these by how well
/// each explains the log.
fn believe(
    rows: &[Told],
    clubs: usize,
    here: &[f64],
    slopes: &[Vec<f64>; 2],
    at: [f64; 2],
) -> Belief {
    let of_club = |club: usize| (0..rows.len()).filter(move |&i| rows[i].club == club);
    // Each ball's own error, about the middle of its club.
    let mut own = vec![0.0; rows.len()];
    for club in 0..clubs {
        let middle = median(of_club(club).map(|i| here[i]));
        for i in of_club(club) {
            own[i] = here[i] - middle;
        }
    }
    let spread = (1.4826 * median(own.iter().map(|e| e.abs()))).max(LEAST_SPREAD);
    let precision: Vec<f64> = own
        .iter()
        .map(|e| (HUBER * spread / e.abs().max(1e-12)).min(1.0) / (spread * spread))
        .collect();
    let wanted: Vec<f64> = (0..rows.len())
        .map(|i| here[i] + slopes[0][i] * at[0] + slopes[1][i] * at[1])
        .collect();
    let beliefs: Vec<(f64, Belief)> = CLUB_SPREADS
        .iter()
        .map(|&between| {
            let mut log_evidence = -0.5 * (between / USUAL_CLUB_SPREAD).powi(2);
            let mut a = [
                [1.0 / (BEFORE[0] * BEFORE[0]), 0.0],
                [0.0, 1.0 / (BEFORE[1] * BEFORE[1])],
            ];
            let mut b = [0.0; 2];
            for club in 0..clubs {
                // The club's weight, and its weighted means of slopes and residuals.
                let weight: f64 = of_club(club).map(|i| precision[i]).sum();
                if weight == 0.0 {
                    continue;
                }
                let mean =
                    |of: &[f64]| of_club(club).map(|i| precision[i] * of[i]).sum::<f64>() / weight;
                let (y, j) = (mean(&wanted), [mean(&slopes[0]), mean(&slopes[1])]);
                let precision = 1.0 / (between * between + 1.0 / weight);
                for m in 0..2 {
                    b[m] += precision * j[m] * y;
                    for n in 0..2 {
                        a[m][n] += precision * j[m] * j[n];
                    }
                }
                log_evidence += 0.5 * (precision.ln() - precision * y * y);
            }
            let determinant = a[0][0] * a[1][1] - a[0][1] * a[1][0];
            let covariance = [
                [a[1][1] / determinant, -a[0][1] / determinant],
                [-a[1][0] / determinant, a[0][0] / determinant],
            ];
            let theta = covariance.map(|row| row[0] * b[0] + row[1] * b[1]);
            log_evidence += 0.5 * (theta[0] * b[0] + theta[1] * b[1] - determinant.ln());
            (log_evidence, Belief { theta, covariance })
        })
        .collect();
    let best = beliefs.iter().map(|(e, _)| *e).fold(f64::MIN, f64::max);
    let weights: Vec<f64> = beliefs.iter().map(|(e, _)| (e - best).exp()).collect();
    let sum: f64 = weights.iter().sum();
    let mut mixed = Belief {
        theta: [0.0; 2],
        covariance: [[0.0; 2]; 2],
    };
    for ((_, belief), w) in beliefs.iter().zip(&weights) {
        for k in 0..2 {
            mixed.theta[k] += w / sum * belief.theta[k];
        }
    }
    for ((_, belief), w) in beliefs.iter().zip(&weights) {
        let off: [f64; 2] = std::array::from_fn(|k| belief.theta[k] - mixed.theta[k]);
        for m in 0..2 {
            for n in 0..2 {
                mixed.covariance[m][n] += w / sum * (belief.covariance[m][n] + off[m] * off[n]);
            }
        }
    }
    mixed
}

/// Squared distance of the estimate from the ball as it is, in its own errors.
fn distance(belief: &Belief, with_lift: bool) -> f64 {
    let ([x, y], c) = (belief.theta, &belief.covariance);
    if !with_lift {
        return x * x / c[0][0];
    }
    let determinant = c[0][0] * c[1][1] - c[0][1] * c[1][0];
    (x * x * c[1][1] - 2.0 * x * y * c[0][1] + y * y * c[0][0]) / determinant
}

impl BallFit {
    /// Whether the log moves the ball.
    #[must_use]
    pub fn moved(&self) -> bool {
        self.factors != BallFactors::default()
    }

    /// How far the fit moved, and how sure that is, in words.
    #[must_use]
    pub fn words(&self) -> String {
        let figure = |what: &str, factor: f64, error: f64| {
            let percent = |f: f64| 100.0 * (f - 1.0);
            let end = |sign: f64| percent((factor.ln() + sign * Z95 * error).exp());
            format!(
                "{what} {:+.1} % ({:+.1} to {:+.1})",
                percent(factor),
                end(-1.0),
                end(1.0)
            )
        };
        let mut said = figure("drag", self.estimate.drag, self.error[0]);
        if self.lift_told {
            said.push_str(", ");
            said.push_str(&figure("lift", self.estimate.lift, self.error[1]));
        } else {
            said.push_str("; lift cannot be told from drag and stays");
        }
        let rests = format!(
            "{} shots of {} with launch and carry logged",
            self.shots,
            match self.clubs {
                1 => "1 club".to_owned(),
                n => format!("{n} clubs"),
            }
        );
        let carries = |ratio: f64| format!("{:+.1} %", 100.0 * (ratio - 1.0));
        if !self.moved() {
            return format!(
                "the usual one; {rests} would move its {said}: no more than chance, so it stays"
            );
        }
        let bound = if self.at_bound {
            format!(
                "; held at the bound ({} to {}): look for wind, height above the sea or a wrong \
                 unit in the log",
                BOUNDS[0], BOUNDS[1]
            )
        } else {
            String::new()
        };
        format!(
            "fitted to {rests}: {said}{bound}; logged against simulated carry {} before, {} now",
            carries(self.carry_ratio_before),
            carries(self.carry_ratio)
        )
    }

    /// The note that goes into the player file and every plan; none where the
    /// ball is the usual one.
    #[must_use]
    pub fn note(&self, file: &str) -> Option<Note> {
        self.moved().then(|| Note {
            file: file.to_owned(),
            place: Place::File,
            text: format!("the ball is {}", self.words()),
            topic: None,
        })
    }
}
