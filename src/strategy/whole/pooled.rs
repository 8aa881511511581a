//! One action for aggregated states, by partial pooling of their samples.
//!
//! The best of several actions on the few dozen samples of one state is often the luckiest: its value
//! is biased low, and the action misleads the player. States a few metres apart in one lie have the
//! same candidates and nearly the same differences between them, on other samples. So a choice is made by the mean difference over
//! the block that the screening gave the candidates to, a state's own balls
//! counting some times more. What the policy is worth on the same balls is then
//! nearly free of optimisation bias, and the policy itself better than the best on each
//! state's own balls.

use super::action::Action;
use super::explicit::{Explicit, State};
use crate::mdp::{Proper, Solution, StateId, ValueIteration};

/// A state's own balls count this many times more than its neighbours'.
const OWN: f64 = 20.0;
/// No difference counts for more than this, strokes: some choices lose every ball.
const MOST: f64 = 3.0;
/// Rounds of choosing on the values of the round before.
const ROUNDS: usize = 2;
/// Where the policy costs so much more than the optimum, strokes, the neighbours were no
/// guide: the optimum's choice is taken. That many times at most.
const ASTRAY: f64 = 2.0;
const MENDINGS: usize = 4;

/// One choice a state, chosen together, and what that policy is worth on the same
/// balls; the tee's choices stay as they are.
pub(super) fn chosen_together(
    explicit: &Explicit,
    solver: &mut ValueIteration<'_>,
    optimum: &Solution,
    tolerance: f64,
) -> (Explicit, Solution) {
    let mut policy = chosen(explicit, &solver.action_values(&optimum.value));
    let mut kept = finishing(explicit, &mut policy, optimum);
    let mut worth = kept.solve(tolerance);
    for _ in 1..ROUNDS {
        policy = chosen(explicit, &solver.action_values(&worth.value));
        kept = finishing(explicit, &mut policy, optimum);
        worth = kept.solve(tolerance);
    }
    for _ in 0..MENDINGS {
        let astray = (0..policy.len())
            .filter(|s| worth.value[*s] > optimum.value[*s] + ASTRAY)
            .filter(|s| policy[*s] != optimum.policy[*s]);
        let astray: Vec<usize> = astray.collect();
        if astray.is_empty() {
            break;
        }
        for state in astray {
            policy[state] = optimum.policy[state];
        }
        kept = finishing(explicit, &mut policy, optimum);
        worth = kept.solve(tolerance);
    }
    (kept, worth)
}

/// The problem with this choice of every state, and where the hole would never be finished
/// by these, with the optimum's.
fn finishing(explicit: &Explicit, policy: &mut [u32], optimum: &Solution) -> Explicit {
    loop {
        let mut kept = explicit.keeping(policy);
        let proper = Proper::of(&kept.kernel).states;
        let mut is_mended = false;
        for (state, is_proper) in proper.iter().enumerate() {
            let best = optimum.policy[state];
            if !is_proper && !explicit.choices(state as u32).is_empty() && policy[state] != best {
                policy[state] = best;
                is_mended = true;
            }
        }
        if !is_mended {
            kept.remove_improper();
            return kept;
        }
    }
}

fn chosen(explicit: &Explicit, strokes: &[f64]) -> Vec<u32> {
    let members = by_block(explicit);
    let mut policy = vec![0_u32; explicit.states.len()];
    // By slot: the sum of differences, and of weights.
    let mut slots: Vec<(f64, f64)> = Vec::new();
    for block in members.chunk_by(|a, b| a.0 == b.0) {
        slots.clear();
        for &(_, state) in block {
            let weight = weight(explicit, state);
            for (slot, _, by) in differences(explicit, strokes, state) {
                if slots.len() <= slot {
                    slots.resize(slot + 1, (0.0, 0.0));
                }
                slots[slot].0 += weight * by;
                slots[slot].1 += weight;
            }
        }
        for &(_, state) in block {
            let own = OWN * weight(explicit, state);
            let best = differences(explicit, strokes, state)
                .map(|(slot, index, by)| {
                    let (sum, weights) = slots[slot];
                    (index, (sum + own * by) / (weights + own))
                })
                .reduce(|a, b| if b.1 < a.1 { b } else { a });
            policy[state as usize] = or_putt(explicit, strokes, state, best.map_or(0, |b| b.0));
        }
    }
    policy
}

/// Every state after the block that the screening gave its candidates to, in order.
pub(super) fn by_block(explicit: &Explicit) -> Vec<(usize, u32)> {
    let table = &explicit.table;
    let mut members: Vec<(usize, u32)> = (0..explicit.states.len() as u32)
        .map(|state| {
            let State { at, lie, .. } = explicit.states[state as usize];
            (table.screening.group(&table.problem, at, lie), state)
        })
        .collect();
    members.sort_unstable();
    members
}

/// How much a state's balls tell: its choices are as many as it is often reached.
fn weight(explicit: &Explicit, state: u32) -> f64 {
    let swings = explicit.choices(state).iter().filter(|c| c.is_swing());
    swings.count() as f64 / explicit.options.fineness.choices as f64
}

/// What a state's choices cost more than the first of them: the slot of the block's
/// candidates, the index, strokes. A drop has the slot before all swings.
fn differences<'a>(
    explicit: &'a Explicit,
    strokes: &'a [f64],
    state: u32,
) -> impl Iterator<Item = (usize, usize, f64)> + 'a {
    let from = explicit.kernel.actions_of(StateId(state)).start;
    let first = strokes.get(from).copied().unwrap_or(f64::INFINITY);
    explicit
        .choices(state)
        .iter()
        .enumerate()
        .filter(|(_, action)| **action != Action::PUTT)
        .map(move |(index, action)| {
            let by = strokes[from + index] - first;
            // All balls lost with both: no difference.
            let by = if by.is_nan() { 0.0 } else { by };
            let slot = if action.is_swing() { index + 1 } else { 0 };
            (slot, index, by.clamp(-MOST, MOST))
        })
}

/// The index of the choice, or of a putt from off the green that costs less on the
/// state's own balls: a putt has little luck in it.
fn or_putt(explicit: &Explicit, strokes: &[f64], state: u32, choice: usize) -> u32 {
    let from = explicit.kernel.actions_of(StateId(state)).start;
    let mut best = choice;
    for (index, other) in explicit.choices(state).iter().enumerate() {
        if *other == Action::PUTT && strokes[from + index] < strokes[from + best] {
            best = index;
        }
    }
    best as u32
}
