//! What practising would save on these holes, and how to practise it.
//!
//! Every hole is planned as `plan` plans it, by the player's own game on a course, and then played
//! [`PLAYS`] times to the last stroke: once with the player's game as it is, and once with each remedy,
//! on the same luck (common random numbers). What a remedy saves is the mean of the differences, play by
//! play, and its standard error is theirs.
//!
//! | remedy | what is held fixed |
//! | --- | --- |
//! | less scatter, fewer mishits, more putts holed ([`Remedy::part`]) | the plan: where the usual ball goes does not change, so that the best aims change little, and what a new plan would save more is of second order |
//! | other usual flights ([`Remedy::is_planned_anew`]) | nothing: the hole is solved and its tee decided anew |
//!
//! Remedies whose difference, on the same plays, is within two standard errors save the same
//! ([`Saving::rank`]). What the log leaves open of the player is not in the errors.
//!
//! - [`remedy`]: what may be practised, and what it changes.
//! - [`drill`]: a target number, and a test that tells whether it is met.
//! - [`words`]: the list in words and as JSON.

pub mod drill;
pub mod remedy;
pub mod words;

use std::collections::BTreeMap;

use crate::outcome::TeeShot;
use crate::plan::Plan;
use crate::plan::course::course_total;
use crate::player::Player;
use crate::player::face::FaceAndStrike;
use remedy::{Remedy, tells_of_strike};

/// Plays of every hole for every remedy.
pub const PLAYS: usize = if cfg!(fuzzing) { 16 } else { 4096 };
/// Differences within so many standard errors are none.
const ERRORS: f64 = 2.0;

/// A hole with what practising would save on it.
#[derive(Clone, Debug)]
pub struct Practised {
    /// The plan of the player as they are.
    pub plan: Plan,
    /// Its tee shot.
    pub shot: TeeShot,
    /// Mean strokes of that plan in the plays that savings are counted from.
    pub played: f64,
    /// Of every remedy, strokes saved on each play.
    pub saved: Vec<Vec<f64>>,
}

/// Strokes saved, and the standard error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strokes {
    /// Mean.
    pub mean: f64,
    /// Standard error of it.
    pub standard_error: f64,
}

impl Strokes {
    /// Of differences that are independent of each other.
    #[must_use]
    pub fn of(differences: &[f64]) -> Self {
        let count = differences.len().max(1) as f64;
        let mean = differences.iter().sum::<f64>() / count;
        let squares: f64 = differences.iter().map(|d| (d - mean).powi(2)).sum();
        Self {
            mean,
            standard_error: (squares / (count - 1.0).max(1.0) / count).sqrt(),
        }
    }

    /// Whether it is more than noise, and above 0.
    #[must_use]
    pub fn is_saved(self) -> bool {
        self.mean > ERRORS * self.standard_error
    }

    /// Whether it is noise.
    #[must_use]
    pub fn is_noise(self) -> bool {
        self.mean.abs() <= ERRORS * self.standard_error
    }
}

/// What one remedy saves.
#[derive(Clone, Debug, PartialEq)]
pub struct Saving {
    /// The remedy.
    pub remedy: Remedy,
    /// On all holes together.
    pub all: Strokes,
    /// Hole by hole.
    pub by_hole: Vec<Strokes>,
    /// Place in the list, from 1; the same for remedies that save the same.
    pub rank: usize,
    /// Whether others have that place too.
    pub is_shared: bool,
}

/// What practising saves on these holes.
#[derive(Clone, Debug)]
pub struct Practice {
    /// The holes, by their `ref`, with the strokes of their plans, as `plan` prints them.
    pub holes: Vec<(String, f64)>,
    /// All of them, as the total of `plan` has it.
    pub strokes: f64,
    /// What each remedy saves, the most first.
    pub savings: Vec<Saving>,
    /// Remedies that cannot be priced: the log does not tell.
    pub untold: Vec<Remedy>,
    /// The clubs hit from the tees of par 4s and par 5s, by the index of the club and shape, the most
    /// often hit first.
    pub tee_clubs: Vec<usize>,
}

/// The remedies that can be priced for a player, and those that cannot.
#[must_use]
pub fn remedies(strikes: &[Option<FaceAndStrike>]) -> (Vec<Remedy>, Vec<Remedy>) {
    let is_told = |remedy: &Remedy| *remedy != Remedy::CentredStrike || tells_of_strike(strikes);
    Remedy::ALL.into_iter().partition(is_told)
}

impl Practice {
    /// Of these holes, whose plays were saved by these remedies; none of no holes.
    #[must_use]
    pub fn of(
        holes: &[Practised],
        player: &Player,
        (remedies, untold): (&[Remedy], Vec<Remedy>),
    ) -> Option<Self> {
        let plans: Vec<Plan> = holes.iter().map(|hole| hole.plan.clone()).collect();
        let total = course_total(&plans)?;
        let by_hole = total.holes.iter();
        let by_hole = by_hole.map(|hole| (hole.reference.clone(), hole.expected_score));
        Some(Self {
            holes: by_hole.collect(),
            strokes: total.expected_score,
            savings: ranked(holes, remedies),
            untold,
            tee_clubs: tee_clubs(holes, player),
        })
    }
}

/// What the remedies save, the most first, with their places.
fn ranked(holes: &[Practised], remedies: &[Remedy]) -> Vec<Saving> {
    // Holes have luck of their own: a sum over them is a play of them all.
    let all = |k: usize| -> Vec<f64> {
        let plays = holes.first().map_or(0, |hole| hole.saved[k].len());
        let of_play = |play: usize| holes.iter().map(|hole| hole.saved[k][play]).sum();
        (0..plays).map(of_play).collect()
    };
    let mut savings: Vec<(Vec<f64>, Saving)> = remedies
        .iter()
        .enumerate()
        .map(|(k, remedy)| {
            let saved = all(k);
            let saving = Saving {
                remedy: *remedy,
                all: Strokes::of(&saved),
                by_hole: holes
                    .iter()
                    .map(|hole| Strokes::of(&hole.saved[k]))
                    .collect(),
                rank: 1,
                is_shared: false,
            };
            (saved, saving)
        })
        .collect();
    savings.sort_by(|(_, a), (_, b)| b.all.mean.total_cmp(&a.all.mean));
    let mut first = 0;
    for place in 1..savings.len() {
        let pairs = savings[first].0.iter().zip(&savings[place].0);
        let differences: Vec<f64> = pairs.map(|(a, b)| a - b).collect();
        if !Strokes::of(&differences).is_noise() {
            first = place;
        }
        savings[place].1.rank = first + 1;
        if first != place {
            savings[first].1.is_shared = true;
            savings[place].1.is_shared = true;
        }
    }
    savings.into_iter().map(|(_, saving)| saving).collect()
}

/// The clubs from the tees of par 4s and 5s, the most often hit first; of a course of par 3s the
/// longest.
fn tee_clubs(holes: &[Practised], player: &Player) -> Vec<usize> {
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    let long = holes.iter().filter(|hole| hole.plan.hole.par > 3);
    for hole in long.filter(|hole| hole.shot.club < player.clubs.len()) {
        *counts.entry(hole.shot.club).or_default() += 1;
    }
    let mut clubs: Vec<(usize, usize)> = counts.into_iter().collect();
    clubs.sort_by_key(|(club, count)| (usize::MAX - count, *club));
    if clubs.is_empty() {
        return vec![0];
    }
    clubs.into_iter().map(|(club, _)| club).collect()
}
