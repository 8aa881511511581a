//! A course on which a Handicap Index says what a round takes, and rounds played on it.
//!
//! The World Handicap System ties an index to scores: an index is the mean of the best 8 of 20 score
//! differentials, a differential is `(score − Course Rating) · 113 / Slope`. On a course whose obstacles
//! are the standard ones, the rating follows from its length alone (Course Rating System: scratch
//! golfer `L/220 + 40.9`, read; bogey golfer `L/160 + 50.7`, memory, 90 %). So the best 8 of 20 rounds of
//! a player of every index are known.
#![allow(dead_code, reason = "each test binary uses its own part")]

use std::f64::consts::TAU;

use bendline::hole::Hole;
use bendline::outcome::Day;
use bendline::player::Player;
use bendline::strategy::Question;
use bendline::strategy::by_game::{Wants, solve_and_decide};
use bendline::strategy::whole::Options;
use bendline::strategy::whole::objective::Objective;
use bendline::strategy::whole::scores::Scores;
use bendline::units::YARD_M;
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};
use rayon::prelude::*;
use serde_json::json;

use super::common::Sketch;
use super::whole_made_up::bag;

/// Par and length, yd: 6575 yd, par 72.
pub const HOLES: [(u8, f64); 18] = [
    (4, 372.0),
    (5, 508.0),
    (3, 162.0),
    (4, 401.0),
    (4, 338.0),
    (4, 418.0),
    (3, 188.0),
    (5, 532.0),
    (4, 384.0),
    (4, 395.0),
    (4, 352.0),
    (3, 141.0),
    (5, 486.0),
    (4, 409.0),
    (4, 366.0),
    (3, 176.0),
    (4, 430.0),
    (5, 517.0),
];
/// Length of the course, yd.
pub fn length_yd() -> f64 {
    HOLES.iter().map(|hole| hole.1).sum()
}

/// Course Rating.
pub fn rating() -> f64 {
    length_yd() / 220.0 + 40.9
}

/// Slope Rating: 5.381 times the bogey golfer's rating less the scratch golfer's (World Handicap
/// System).
pub fn slope() -> f64 {
    5.381 * (length_yd() / 160.0 + 50.7 - rating())
}

/// The score of so many strokes of differential.
pub fn score_of(differential: f64) -> f64 {
    rating() + differential * slope() / 113.0
}

/// One round in so many has a net differential of at most 0, −1, −2, −3, −4, −5 (Handicap System
/// Manual of a governing body, 2008–2015, Appendix E, read): the highest index of each band, and its odds.
pub const ODDS: [(f64, [f64; 6]); 5] = [
    (5.9, [5.0, 10.0, 23.0, 57.0, 151.0, 379.0]),
    (12.9, [5.0, 10.0, 22.0, 51.0, 121.0, 276.0]),
    (21.9, [5.5, 10.0, 21.0, 43.0, 87.0, 174.0]),
    (30.9, [5.0, 8.0, 13.0, 23.0, 40.0, 72.0]),
    (54.0, [5.0, 7.0, 10.0, 15.0, 22.0, 35.0]),
];

/// Standard obstacles (practice): fairways 32 yd wide, greens of 24 by 27 m, two bunkers beside each and one
/// beside every other fairway, woods 38 m off the line on two holes in three, a stream along three
/// holes and before two greens, out of bounds along three.
pub fn hole(number: usize) -> Hole {
    let (par, yards) = HOLES[number];
    let pin = yards * YARD_M;
    let side = if number.is_multiple_of(2) { 1.0 } else { -1.0 };
    let round = |x: f64, y: f64, across: f64, along: f64| -> Vec<[f64; 2]> {
        let points = (0..24).map(|k| TAU * f64::from(k) / 24.0);
        let at = |angle: f64| [x + across * angle.cos(), y + along * angle.sin()];
        points.map(at).collect()
    };
    let strip = |from: f64, to: f64, near: f64, far: f64| {
        [[near, from], [far, from], [far, to], [near, to]]
    };
    // The pin stands a sixth of the green's width off its middle, on alternate sides.
    let middle = -side * 4.0;
    let mut sketch = Sketch::default()
        .line(
            json!({"golf": "hole", "ref": (number + 1).to_string(), "par": par.to_string()}),
            &[[0.0, 0.0], [0.0, pin]],
        )
        .teed()
        .area(json!({"golf": "green"}), &round(middle, pin, 12.0, 13.5))
        .area(
            json!({"golf": "bunker"}),
            &round(middle + 19.0, pin - 4.0, 4.5, 7.0),
        )
        .area(
            json!({"golf": "bunker"}),
            &round(middle - 18.0, pin - 9.0, 4.5, 6.0),
        )
        .point(json!({"golf": "pin"}), [0.0, pin]);
    if par > 3 {
        let half = 16.0 * YARD_M;
        sketch = sketch.area(
            json!({"golf": "fairway"}),
            &strip(120.0 * YARD_M, pin - 17.0, -half, half),
        );
        if number.is_multiple_of(2) {
            let at = (225.0 + (8.0 * number as f64) % 40.0) * YARD_M;
            sketch = sketch.area(
                json!({"golf": "bunker"}),
                &round(side * (half + 5.0), at, 4.5, 9.0),
            );
        }
    }
    if !number.is_multiple_of(3) {
        for wood in [-1.0, 1.0] {
            sketch = sketch.area(
                json!({"natural": "wood", "height": "15"}),
                &strip(20.0, pin + 30.0, wood * 38.0, wood * 75.0),
            );
        }
    } else if number.is_multiple_of(2) {
        sketch = sketch.area(
            json!({"golf": "lateral_water_hazard"}),
            &strip(90.0, pin - 30.0, side * 34.0, side * 42.0),
        );
    } else {
        sketch = sketch.area(
            json!({"golf": "out_of_bounds"}),
            &strip(-30.0, pin + 60.0, side * 42.0, side * 90.0),
        );
    }
    if number == 4 || number == 11 {
        sketch = sketch.area(
            json!({"golf": "lateral_water_hazard"}),
            &strip(pin - 36.0, pin - 28.0, -30.0, 30.0),
        );
    }
    sketch.hole()
}

/// A player as this index has them: distances between the scratch golfer's 250 yd off the tee and the
/// bogey golfer's 200 (Course Rating System, read), and the scatter that the fit expects of the
/// level; no mishits but those of course play.
pub fn typical(index: f64) -> Player {
    let mut player = bag(index, (0.84 - 0.0085 * index).max(0.5));
    for club in &mut player.clubs {
        club.launches.mishit_share = 0.0;
    }
    player
}

/// How often each of these holes takes how many strokes as this player plans and plays it.
pub fn scores(holes: &[Hole], player: &Player, day: &Day) -> Vec<Scores> {
    let planned = |hole: &Hole| {
        let question = Question {
            hole,
            tee: hole.tee(None).expect("a tee"),
            player,
            day,
            seed: 1,
        };
        let wants = Wants {
            aim: &Objective::Strokes,
            beside: &[Objective::Strokes],
        };
        let options = Options::default();
        let (_, found) = solve_and_decide(&question, &options, &wants, &|_| {}).expect("reached");
        found.scores
    };
    holes.par_iter().map(planned).collect()
}

/// The most strokes that a handicap score counts on a hole: net double bogey (World Handicap System,
/// Rule 3.1). The holes' numbers are their stroke indices.
fn most(number: usize, index: f64) -> usize {
    let received = (index * slope() / 113.0).round().max(0.0) as usize;
    let extra = usize::from(number < received % 18);
    usize::from(HOLES[number].0) + 2 + received / 18 + extra
}

/// The most strokes that a score of the years of [`ODDS`] counted on a hole: Equitable Stroke Control
/// (Handicap System Manual, 2008–2015, section 4-3; memory).
fn most_then(number: usize, index: f64) -> usize {
    match (index * slope() / 113.0).round() {
        ..=9.0 => usize::from(HOLES[number].0) + 2,
        ..=19.0 => 7,
        ..=29.0 => 8,
        ..=39.0 => 9,
        _ => 10,
    }
}

/// A round: how often it takes how many strokes.
pub struct Round {
    /// Shares by strokes.
    shares: Vec<f64>,
}

impl Round {
    /// Of holes that are independent of each other, every hole played out.
    pub fn of(holes: &[Scores]) -> Self {
        Self::capped(holes, |_| usize::MAX)
    }

    /// The same as a handicap score.
    pub fn adjusted(holes: &[Scores], index: f64) -> Self {
        Self::capped(holes, |number| most(number, index))
    }

    /// The same as a handicap score of the years of [`ODDS`].
    pub fn adjusted_then(holes: &[Scores], index: f64) -> Self {
        Self::capped(holes, |number| most_then(number, index))
    }

    fn capped(holes: &[Scores], most: impl Fn(usize) -> usize) -> Self {
        let mut shares = vec![1.0];
        for (number, hole) in holes.iter().enumerate() {
            let least = |strokes: usize| {
                strokes
                    .checked_sub(1)
                    .map_or(0.0, |less| hole.at_most(less))
            };
            let mut both = vec![0.0; shares.len() + MOST_STROKES];
            for strokes in 0..MOST_STROKES {
                let share = hole.at_most(strokes) - least(strokes);
                for (before, round) in shares.iter().enumerate() {
                    both[before + strokes.min(most(number))] += share * round;
                }
            }
            shares = both;
        }
        Self { shares }
    }

    /// Mean strokes.
    pub fn mean(&self) -> f64 {
        let each = self.shares.iter().enumerate();
        each.map(|(strokes, share)| strokes as f64 * share).sum()
    }

    /// Standard deviation, strokes.
    pub fn spread(&self) -> f64 {
        let mean = self.mean();
        let each = self.shares.iter().enumerate();
        let square: f64 = each
            .map(|(strokes, share)| (strokes as f64 - mean).powi(2) * share)
            .sum();
        square.sqrt()
    }

    /// Share of rounds, as [`adjusted_then`](Self::adjusted_then), whose differential beats the player's index by so
    /// much that the net differential is at most this, reckoned as when [`ODDS`] was published: an index was 96 % of the mean of the best 10 of 20
    /// differentials (Handicap System Manual, 2008–2015, section 10; memory). Ratings have
    /// tenths, so that a score stands for all differentials half a stroke about it.
    pub fn at_most(&self, net: f64) -> f64 {
        let index = 0.96 * self.best(10);
        let strokes = score_of(index + net) + 0.5;
        let whole = strokes.floor().max(0.0) as usize;
        let below: f64 = self.shares.iter().take(whole).sum();
        below + strokes.fract() * self.shares.get(whole).unwrap_or(&0.0)
    }

    /// The index of a player whose handicap scores these are (World Handicap System).
    pub fn index(&self) -> f64 {
        self.best(8)
    }

    /// The mean of so many best of 20 differentials, on average over many twenties.
    fn best(&self, count: usize) -> f64 {
        let mut numbers = Pcg64Mcg::seed_from_u64(7);
        let mut draw = || {
            let share = f64::from(numbers.next_u32()) / f64::from(u32::MAX);
            let mut below = 0.0;
            let reached = self.shares.iter().position(|of| {
                below += of;
                below >= share
            });
            reached.unwrap_or(self.shares.len()) as f64
        };
        let best = |_| {
            let mut scores: Vec<f64> = (0..20).map(|_| draw()).collect();
            scores.sort_by(f64::total_cmp);
            scores[..count].iter().sum::<f64>() / count as f64
        };
        let mean = (0..TWENTIES).map(best).sum::<f64>() / f64::from(TWENTIES);
        (mean - rating()) * 113.0 / slope()
    }
}

/// More than any hole takes.
const MOST_STROKES: usize = 40;
/// Twenties of rounds: the index is known to 0.02.
const TWENTIES: u32 = 2000;
