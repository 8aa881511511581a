//! Tee shots judged by every aim of play.
//!
//! A shot's balls are priced by what the solved hole makes of them: strokes to
//! hole out, or the best worth of the score that can still be had. Every shot is
//! judged on the same balls, so that what one aim of play costs by another has a
//! standard error.

use super::aims_of_play::{AimOfPlay, Standing, standing};
use super::held::Held;
use super::scores::{After, Scores};
use crate::hole::{Coord, Hole, Surface};
use crate::outcome::Rest;
use crate::strategy::rules::{Rules, StrokesFrom};

/// The hole as an aim of play sees it: what a rest is worth as a loss, the most
/// that could be had less what can be; the [`search`](crate::strategy::search)
/// looks for the least.
pub struct Loss<'a> {
    held: Held<'a>,
    aim: &'a AimOfPlay,
    standing: Standing,
    most: f64,
    again: f64,
}

impl<'a> Loss<'a> {
    /// For an aim of play that looks at the score; none for fewest strokes.
    /// `tee` is where a good tee shot's balls are: what a replay is worth.
    #[must_use]
    pub fn of(
        held: Held<'a>,
        aim: &'a AimOfPlay,
        par: usize,
        tee: &[(f64, After)],
    ) -> Option<Self> {
        let standing = standing(&held, aim, par)?;
        let mut loss = Self {
            held,
            aim,
            most: aim.worth(1, par).max(0.0),
            again: 0.0,
            standing,
        };
        // A ball that is replayed has two strokes behind it; one that is lost
        // again four.
        let last = aim.worthless(par).unwrap_or(0);
        let mut worth = 0.0;
        for strokes in (2..=last + last % 2).rev().step_by(2) {
            worth = tee
                .iter()
                .map(|&(share, after)| share * loss.worth_after(strokes, after, worth))
                .sum();
        }
        loss.again = worth;
        Some(loss)
    }

    fn worth_after(&self, strokes: usize, after: After, again: f64) -> f64 {
        match after {
            After::Lies(place) => self.standing.of(strokes + 1, place as usize),
            After::Dropped(place) => self.standing.of(strokes + 2, place as usize),
            After::Green(away) => self
                .standing
                .on_green(strokes + 1, self.held.to_go.putt_chances(f64::from(away))),
            After::Again => again,
        }
    }

    /// The aim of play.
    #[must_use]
    pub fn aim(&self) -> &AimOfPlay {
        self.aim
    }

    /// The worth of a loss.
    #[must_use]
    pub fn worth(&self, loss: f64) -> f64 {
        self.most - loss
    }

    /// The worth of a place after so many strokes, blended as values are.
    fn at(&self, strokes: usize, surface: Surface, at: Coord<f64>, to_pin_m: f64) -> f64 {
        if surface == Surface::Green {
            return self
                .standing
                .on_green(strokes, self.held.to_go.putt_chances(to_pin_m));
        }
        self.held
            .shares(surface, at)
            .into_iter()
            .map(|(share, place)| share * self.standing.of(strokes, place as usize))
            .sum()
    }
}

/// The price of a shot is one stroke and what follows: the one is taken off.
impl StrokesFrom for Loss<'_> {
    fn strokes_from(&self, surface: Surface, at: Coord<f64>, to_pin_m: f64) -> f64 {
        self.most - self.at(1, surface, at, to_pin_m) - 1.0
    }
    fn dropped_at(&self, surface: Surface, at: Coord<f64>, to_pin_m: f64) -> f64 {
        self.most - self.at(2, surface, at, to_pin_m) - 1.0
    }
    fn replayed(&self) -> Option<f64> {
        Some(self.most - self.again - 1.0)
    }
}

/// How often a tee shot's holes take how many strokes, played on for fewest
/// strokes; `strokes` is what the shot is worth.
#[must_use]
pub fn scores(
    held: &Held<'_>,
    hole: &Hole,
    club_length_m: f64,
    rests: &[Rest],
    strokes: f64,
) -> Scores {
    let rules = Rules::new(hole, &held.policy, club_length_m);
    Scores::after(held, held, &held.after(&rules, rests, strokes))
}
