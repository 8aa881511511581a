//! What to hit for an objective, chosen together.
//!
//! The best of several choices on one state's few dozen balls is often the luckiest
//! (`pooled`), and the more so for a chance: nearly every choice is
//! nearly as good, and luck is all that tells them apart. So, as for strokes, choices
//! are weighed by the mean difference over the block that the screening gave them to,
//! a state's own balls counting some times more; and what is no better than what fewest
//! strokes would do is left. Of the places that a ball may be dropped in the one with
//! the fewest strokes to come is taken: what an objective is worth in each is known from
//! a few dozen balls, and the best of many such chances is the luckiest place and not the
//! best one. (Chosen by it, an island green had 0.0014 more double bogeys than played for
//! fewest strokes.) What is stated of a place is what that plan of play is
//! worth there.

use rayon::prelude::*;

use super::action::Action;
use super::answer::Whole;
use super::explicit::Explicit;
use super::objective::Objective;
use super::pooled::by_block;
use crate::mdp::{FiniteHorizon, Layer, StateId};

/// A state's own balls count this many times more than its neighbours'.
const OWN: f64 = 20.0;

/// What can be had of an objective which looks at the score by a plan of play that is
/// chosen together, on the states and choices of [`Whole::explicit`]; none for fewest
/// strokes.
#[must_use]
pub fn standing_together(whole: &Whole, aim: &Objective, par: usize) -> Option<FiniteHorizon> {
    let explicit = &whole.explicit;
    let usual = whole.usual();
    let members = by_block(explicit);
    let blocks: Vec<&[(usize, u32)]> = members.chunk_by(|a, b| a.0 == b.0).collect();
    let strokes_from = Some(&whole.chosen.value[..]);
    let utility = aim.utility(par)?;
    let found = FiniteHorizon::by(&explicit.kernel, utility, strokes_from, &|layer| {
        let chosen: Vec<Vec<(f64, usize)>> = blocks
            .par_iter()
            .map(|block| choose(explicit, layer, block, &usual))
            .collect();
        let mut out = vec![(0.0, 0); explicit.states.len()];
        for (&(_, state), found) in members.iter().zip(chosen.into_iter().flatten()) {
            out[state as usize] = found;
        }
        out
    });
    Some(found)
}

/// One of a block's candidates beside the first choice of the states that have it: the
/// sum of differences, and of weights.
struct Candidate {
    action: Action,
    sum: f64,
    weights: f64,
}

/// Worth and index of the choice of every state of a block.
fn choose(
    explicit: &Explicit,
    layer: &Layer<'_>,
    block: &[(usize, u32)],
    usual: &[u32],
) -> Vec<(f64, usize)> {
    let mut all: Vec<f64> = Vec::new();
    for &(_, state) in block {
        let choices = 0..explicit.choices(state).len();
        all.extend(choices.map(|choice| layer.value(StateId(state), choice)));
    }
    let mut left = all.as_slice();
    let mut next = |state: u32| {
        let (worths, rest) = left.split_at(explicit.choices(state).len());
        left = rest;
        worths
    };
    let worths: Vec<&[f64]> = block.iter().map(|&(_, state)| next(state)).collect();
    let mut candidates: Vec<Candidate> = Vec::new();
    for (&(_, state), worth) in block.iter().zip(worths.iter().copied()) {
        let weight = weight(explicit, state);
        for (action, here) in explicit.choices(state).iter().zip(worth) {
            let by = here - worth[0];
            let found = candidates.iter().position(|c| c.action == *action);
            let index = found.unwrap_or(candidates.len());
            if found.is_none() {
                candidates.push(Candidate {
                    action: *action,
                    sum: 0.0,
                    weights: 0.0,
                });
            }
            candidates[index].sum += weight * by;
            candidates[index].weights += weight;
        }
    }
    block
        .iter()
        .zip(worths)
        .map(|(&(_, state), worth)| {
            let own = OWN * weight(explicit, state);
            let better = |(index, action): (usize, &Action)| {
                let by = worth[index] - worth[0];
                let of = candidates.iter().find(|c| c.action == *action);
                let mean = of.map_or(by, |of| (of.sum + own * by) / (of.weights + own));
                (index, mean)
            };
            let choices = explicit.choices(state);
            let usual = usual[state as usize] as usize;
            let Some(choice) = choices.get(usual) else {
                return (0.0, 0);
            };
            let best =
                choices
                    .iter()
                    .enumerate()
                    .map(better)
                    .fold(
                        better((usual, choice)),
                        |a, b| if b.1 > a.1 { b } else { a },
                    );
            (worth[best.0], best.0)
        })
        .collect()
}

/// How much a state's balls tell: its choices are as many as it is often reached.
fn weight(explicit: &Explicit, state: u32) -> f64 {
    let count = explicit.choices(state).len().max(1);
    count as f64 / explicit.options.fineness.choices as f64
}
