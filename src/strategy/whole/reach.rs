//! How often a policy comes by a state, and hits a swing.

use super::explicit::{Choice, End, Explicit, Spot};
use super::lie::LIES;
use super::solver::Solution;

/// Tee shots within this of the best are looked at beside it, strokes.
const NEAR_BEST: f64 = 0.05;

/// Adds to every state how often the policy comes by it after `share` of a tee
/// shot. Balls that go back to where they were are not followed again. Every
/// place of a relief is looked at as often as the relief is taken.
pub(super) fn add_reach(
    explicit: &Explicit,
    solution: &Solution,
    tee: &Choice,
    share: f64,
    reached: &mut [f64],
) {
    /// Passes from far to near: a ball seldom goes back more often.
    const PASSES: usize = 4;
    let mut coming = vec![0.0_f64; reached.len()];
    let mut order: Vec<u32> = (0..reached.len() as u32).collect();
    order.sort_by(|a, b| solution.value[*b as usize].total_cmp(&solution.value[*a as usize]));
    let best = |node: u32| {
        let states = explicit.nodes[node as usize]
            .spots
            .iter()
            .filter_map(|s| match *s {
                Spot::State(state) => Some(state),
                Spot::Green(_) => None,
            });
        states.min_by(|a, b| solution.value[*a as usize].total_cmp(&solution.value[*b as usize]))
    };
    let mut taken = vec![0.0_f64; explicit.nodes.len()];
    let mut send = |coming: &mut [f64], choice: &Choice, share: f64| {
        for way in explicit.ways(choice) {
            let to = match way.end {
                End::Lies(state) => Some(state),
                End::Relief(node) | End::Drop(node) => {
                    taken[node as usize] += share * f64::from(way.weight);
                    best(node)
                }
                End::Green(_) | End::Holed | End::Replay => None,
            };
            if let Some(to) = to {
                coming[to as usize] += share * f64::from(way.weight);
            }
        }
    };
    send(&mut coming, tee, share);
    for _ in 0..PASSES {
        for &state in &order {
            let here = std::mem::take(&mut coming[state as usize]);
            if here <= 0.0 {
                continue;
            }
            reached[state as usize] += here;
            let choices = explicit.choices(state);
            if let Some(choice) = choices.get(solution.policy[state as usize] as usize) {
                send(&mut coming, choice, here);
            }
        }
    }
    for (node, share) in explicit.nodes.iter().zip(taken) {
        for spot in &node.spots {
            if let Spot::State(state) = *spot {
                let reached = &mut reached[state as usize];
                *reached = reached.max(share);
            }
        }
    }
}

/// How often a hole every swing is hit from every lie, by `swing · LIES + lie`, after
/// the tee shot that is most for it among those near the best.
pub(super) fn hit_often(explicit: &Explicit, solution: &Solution) -> Vec<f64> {
    let swings = &explicit.problem().swings;
    let mut most = vec![0.0_f64; swings.len() * LIES];
    for (tee, strokes) in explicit.tee.iter().zip(&solution.tee_strokes) {
        if *strokes > solution.tee + NEAR_BEST {
            continue;
        }
        let mut reached = vec![0.0; explicit.states.len()];
        add_reach(explicit, solution, tee, 1.0, &mut reached);
        let mut hit = vec![0.0; most.len()];
        for (index, (state, share)) in explicit.states.iter().zip(&reached).enumerate() {
            let choice = explicit.choices(index as u32);
            let swing = choice
                .get(solution.policy[index] as usize)
                .map(|c| usize::from(c.action.swing));
            if let Some(swing) = swing.filter(|s| *s < swings.len()) {
                hit[swing * LIES + swings[swing].flies_as(state.lie) as usize] += share;
            }
        }
        for (most, hit) in most.iter_mut().zip(hit) {
            *most = most.max(hit);
        }
    }
    most
}
