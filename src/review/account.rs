//! Where the strokes of a hole went against the plan's expectation.
//!
//! - *decision*: what the best shot with the club that was hit costs beside the plan's, as a shot of the
//!   player's own is priced ([`own_shot`](crate::strategy::own_shot));
//! - *strike*: strokes that the ball comes to from where it ended, less the expectation of that shot;
//! - *after*: the score less those strokes.
//!
//! They add up to the score less the plan's expectation. An end that is known in words, or along the way
//! alone, has the mean over the predicted balls that fit it, and the spread of that mean's balls as its
//! error.

use serde::Serialize;

use super::ended::{Cloud, Ended, View};
use super::result::Lie;
use crate::hole::{Coord, Hole, Surface};
use crate::outcome::{Rest, is_penalty};
use crate::planner::looked_back::{Hit, LookedBack};

/// Steps along the way back from a penalty area, m.
const STEP_M: f64 = 1.0;
/// Fewer balls than this do not say what an end in words is worth.
const FEWEST: f64 = 5.0;

/// Strokes with their standard error.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Figure {
    /// Strokes.
    pub strokes: f64,
    /// Standard error.
    pub standard_error: f64,
}

impl Figure {
    /// Of strokes and their standard error.
    #[must_use]
    pub fn of((strokes, standard_error): (f64, f64)) -> Self {
        Self {
            strokes,
            standard_error,
        }
    }

    /// The sum of independent figures.
    #[must_use]
    pub fn sum<'f>(figures: impl Iterator<Item = &'f Self>) -> Self {
        figures.fold(Self::default(), |sum, one| Self {
            strokes: sum.strokes + one.strokes,
            standard_error: sum.standard_error.hypot(one.standard_error),
        })
    }
}

/// Why the strokes of a hole are not told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NotSplit {
    /// No club is written.
    NoClub,
    /// The bag lacks the club that is written.
    OtherClub,
    /// No shot with that club stays in play.
    NoShot,
    /// Where the tee shot ended is not written.
    NoEnd,
    /// Hardly any of the balls predicted ends as is written.
    NoBall,
}

/// A hole's account.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Account {
    /// What the club that was hit costs beside the plan's; null where no club is written.
    pub decision: Option<Figure>,
    /// What the ball's end costs beside the expectation of that shot.
    pub strike: Option<Figure>,
    /// What followed costs beside the expectation from there.
    pub after: Option<Figure>,
    /// What cannot be split for want of club, end or score.
    pub not_split: Option<Figure>,
    /// Why not; null where it is split, or has no score.
    pub why_not_split: Option<NotSplit>,
    /// Standard deviation of the strike over the predicted balls, strokes.
    pub strike_spread: Option<f64>,
}

/// The account of a hole that took `score`; `hit` is the shot that was hit and where it ended, or why it is
/// not known.
#[must_use]
pub fn account(
    hole: &Hole,
    tee: &LookedBack,
    hit: Result<(&Hit, &Cloud, Option<&Ended>), NotSplit>,
    score: Option<usize>,
) -> Account {
    let expected = Figure::of((tee.choice.strokes, tee.choice.standard_error));
    let mut account = Account::default();
    let whole = score.map(|score| score as f64 - expected.strokes);
    let (hit, cloud, ended) = match hit {
        Ok(hit) => hit,
        Err(why) => {
            account.not_split = whole.map(|strokes| Figure::of((strokes, expected.standard_error)));
            account.why_not_split = whole.map(|_| why);
            return account;
        }
    };
    let (costs, error) = hit.costs;
    account.decision = Some(Figure::of(hit.costs));
    let by_ball = tee.by_ball(hole, &hit.priced.rests);
    let mean = by_ball.iter().sum::<f64>() / by_ball.len().max(1) as f64;
    let variance = by_ball.iter().map(|b| (b - mean).powi(2)).sum::<f64>();
    account.strike_spread = Some((variance / by_ball.len().max(1) as f64).sqrt());
    let of_shot = expected.strokes + costs;
    let error = error.hypot(expected.standard_error);
    let fits = ended.and_then(|ended| {
        let view = View {
            peg: hit.priced.peg,
            aim_deg: hit.priced.shot.aim_deg,
        };
        match ended {
            Ended::At(at) => {
                let rest = rest_at(hole, &view, view.at(*at));
                Some(tee.strokes_of(hole, &rest, of_shot))
            }
            // What a ball out of bounds costs is known, also where none was predicted there.
            Ended::Words(outcome, _) if outcome.lie == Some(Lie::Out) => {
                let rest = Rest {
                    surface: Surface::OutOfBounds,
                    crossed: None,
                    ..rest_at(hole, &view, view.peg)
                };
                Some(tee.strokes_of(hole, &rest, of_shot))
            }
            _ => fitting(&cloud.weights(ended), &by_ball),
        }
    });
    // A tee shot that is holed is all there is.
    let end = if score == Some(1) {
        Some((1.0, 0.0))
    } else {
        fits
    };
    match (end, whole) {
        (Some((strokes, of_end)), whole) => {
            account.strike = Some(Figure::of((strokes - of_shot, of_end.hypot(error))));
            account.after =
                whole.map(|whole| Figure::of((whole + expected.strokes - strokes, of_end)));
        }
        (None, Some(whole)) => {
            account.not_split = Some(Figure::of((whole - costs, error)));
            account.why_not_split = Some(match ended {
                Some(_) => NotSplit::NoBall,
                None => NotSplit::NoEnd,
            });
        }
        (None, None) => {}
    }
    account
}

/// Mean and standard deviation over the balls that fit an end; none where hardly any does.
fn fitting(weights: &[f64], by_ball: &[f64]) -> Option<(f64, f64)> {
    let sum: f64 = weights.iter().sum();
    let squares: f64 = weights.iter().map(|weight| weight * weight).sum();
    if !(squares > 0.0 && sum * sum / squares >= FEWEST) {
        return None;
    }
    let all = || weights.iter().zip(by_ball);
    let mean = all().map(|(weight, strokes)| weight * strokes).sum::<f64>() / sum;
    let variance = all().map(|(w, s)| w * (s - mean).powi(2)).sum::<f64>() / sum;
    Some((mean, variance.sqrt()))
}

/// A ball at rest in a place; in a penalty area it crossed the edge on the straight way from the peg.
#[must_use]
pub fn rest_at(hole: &Hole, view: &View, at: Coord<f64>) -> Rest {
    let surface = hole.surface_at(at);
    Rest {
        at,
        surface,
        crossed: is_penalty(surface)
            .then(|| crossed(hole, view.peg, at))
            .flatten(),
        landed: at,
        start_deg: 0.0,
        is_sound: true,
    }
}

fn crossed(hole: &Hole, peg: Coord<f64>, at: Coord<f64>) -> Option<Coord<f64>> {
    let away = (at.x - peg.x).hypot(at.y - peg.y);
    let steps = (away / STEP_M) as usize;
    let mut back = (1..=steps).map(|step| {
        let share = step as f64 * STEP_M / away;
        Coord {
            x: at.x + (peg.x - at.x) * share,
            y: at.y + (peg.y - at.y) * share,
        }
    });
    back.find(|place| {
        let surface = hole.surface_at(*place);
        !is_penalty(surface) && surface != Surface::OutOfBounds
    })
}

/// How often several holes together take how many strokes: the distribution of a sum.
#[must_use]
pub fn together(holes: &[&[f64]]) -> Vec<f64> {
    holes.iter().fold(vec![1.0], |sum, hole| {
        let mut next = vec![0.0; sum.len() + hole.len().saturating_sub(1)];
        for (i, a) in sum.iter().enumerate() {
            for (j, b) in hole.iter().enumerate() {
                next[i + j] += a * b;
            }
        }
        next
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_of_two_dice() {
        let die: Vec<f64> = std::iter::once(0.0).chain([1.0 / 6.0; 6]).collect();
        let two = together(&[&die, &die]);
        assert!((two[7] - 1.0 / 6.0).abs() < 1e-12 && (two[2] - 1.0 / 36.0).abs() < 1e-12);
        assert!((two.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn balls_that_fit() {
        let (mean, spread) = fitting(
            &[1.0; 10],
            &[4.0, 5.0, 4.0, 5.0, 4.0, 5.0, 4.0, 5.0, 4.0, 5.0],
        )
        .expect("ten");
        assert!((mean - 4.5).abs() < 1e-12 && (spread - 0.5).abs() < 1e-12);
        assert_eq!(fitting(&[0.0, 1.0, 1.0], &[4.0, 5.0, 6.0]), None);
        assert_eq!(fitting(&[0.0; 3], &[4.0, 5.0, 6.0]), None);
    }
}
