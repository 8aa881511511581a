//! The sums of rounds, and of tee shots against patterns.

use std::collections::BTreeMap;

use serde::Serialize;

use super::account::{Account, Figure, NotSplit, together};
use super::against::{InPattern, Inside, Lean, SHARES};
use super::{Asked, PlayedTee};

/// The sums of a round.
#[derive(Clone, Debug, Serialize)]
pub struct Total {
    /// How many holes have a score.
    pub holes: usize,
    /// Their strokes.
    pub score: usize,
    /// Their expectation by the plan.
    pub expected: Figure,
    /// Standard deviation of such a round's score.
    pub spread: f64,
    /// The share of rounds on these holes that take at most so many strokes.
    pub at_most: f64,
    /// What decisions cost; null where no club is known.
    pub decision: Option<Figure>,
    /// What strikes cost; null where no end is known.
    pub strike: Option<Figure>,
    /// Standard deviation of that over rounds.
    pub strike_spread: f64,
    /// What followed; null where no end is known.
    pub after: Option<Figure>,
    /// What cannot be split; null where all is.
    pub not_split: Option<Figure>,
    /// Why not, and on which holes.
    #[serde(skip)]
    pub why_not_split: Vec<(NotSplit, Vec<String>)>,
}

/// A round.
#[derive(Clone, Debug, Serialize)]
pub struct Round {
    /// The file of its log.
    pub file: String,
    /// What it counts in what is learnt.
    pub weight: f64,
    /// The sums over holes with a score; null where there is none.
    pub total: Option<Total>,
    /// Its holes in the order of the log.
    pub holes: Vec<PlayedTee>,
}

/// Tee shots against the patterns, over all rounds.
#[derive(Clone, Debug, Serialize)]
pub struct Patterns {
    /// In the region of half and in that of nine in ten.
    pub inside: Vec<Inside>,
    /// Whether balls end to one side of their patterns.
    pub right: Option<Lean>,
    /// Whether they end beyond or short of them.
    pub long: Option<Lean>,
}

/// A tee shot that says something.
pub(super) struct Shot {
    pub(super) in_pattern: InPattern,
    pub(super) weight: f64,
}

pub(super) fn patterns(shots: &[Shot]) -> Patterns {
    let denser: Vec<f64> = shots
        .iter()
        .filter_map(|shot| shot.in_pattern.denser)
        .collect();
    let inside = SHARES.map(|share| {
        let inside = denser.iter().filter(|denser| **denser <= share).count();
        Inside::of(share, inside, denser.len())
    });
    let lean = |of: fn(&InPattern) -> Option<f64>| {
        let all = shots.iter();
        let all: Vec<(f64, f64)> = all
            .filter_map(|shot| Some((of(&shot.in_pattern)?, shot.weight)))
            .collect();
        Lean::of(&all)
    };
    Patterns {
        inside: inside.to_vec(),
        right: lean(|shot| shot.right_z),
        long: lean(|shot| shot.long_z),
    }
}

/// Rounds with their sums, holes in the order of the log.
pub(super) fn rounds(
    asked: &Asked<'_>,
    weights: &[f64],
    tees: Vec<(usize, PlayedTee)>,
) -> Vec<Round> {
    let mut rounds: Vec<Round> = asked
        .rounds
        .iter()
        .zip(weights)
        .map(|(log, weight)| Round {
            file: log.file.clone(),
            weight: *weight,
            total: None,
            holes: Vec::new(),
        })
        .collect();
    for (round, tee) in tees {
        rounds[round].holes.push(tee);
    }
    for round in &mut rounds {
        round.holes.sort_by_key(|tee| tee.line);
        round.total = total(&round.holes);
    }
    rounds
}

fn total(holes: &[PlayedTee]) -> Option<Total> {
    let scored: Vec<&PlayedTee> = holes.iter().filter(|tee| tee.score.is_some()).collect();
    if scored.is_empty() {
        return None;
    }
    let score: usize = scored.iter().filter_map(|tee| tee.score).sum();
    let by_strokes: Vec<&[f64]> = scored.iter().map(|tee| &tee.by_strokes[..]).collect();
    let round = together(&by_strokes);
    let mean: f64 = round
        .iter()
        .enumerate()
        .map(|(n, share)| n as f64 * share)
        .sum();
    let squares = round
        .iter()
        .enumerate()
        .map(|(n, share)| share * (n as f64 - mean).powi(2));
    let sum = |of: fn(&Account) -> Option<Figure>| {
        let figures: Vec<Figure> = scored.iter().filter_map(|tee| of(&tee.account)).collect();
        (!figures.is_empty()).then(|| Figure::sum(figures.iter()))
    };
    let mut why_not_split: BTreeMap<NotSplit, Vec<String>> = BTreeMap::new();
    for tee in &scored {
        if let Some(why) = tee.account.why_not_split {
            let holes = why_not_split.entry(why).or_default();
            holes.push(tee.reference.clone());
        }
    }
    let strikes = scored.iter().filter(|tee| tee.account.strike.is_some());
    let spreads = strikes.filter_map(|tee| tee.account.strike_spread);
    Some(Total {
        holes: scored.len(),
        score,
        expected: Figure::sum(scored.iter().map(|tee| &tee.expected)),
        spread: squares.sum::<f64>().sqrt(),
        at_most: round.iter().take(score + 1).sum::<f64>().min(1.0),
        decision: sum(|account| account.decision),
        strike: sum(|account| account.strike),
        strike_spread: spreads.map(|spread| spread * spread).sum::<f64>().sqrt(),
        after: sum(|account| account.after),
        not_split: sum(|account| account.not_split),
        why_not_split: why_not_split.into_iter().collect(),
    })
}
