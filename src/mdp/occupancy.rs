//! Visitation frequencies of a policy.

use super::kernel::{ActionId, Kernel, NodeId, StateId, Successor};
use super::value_iteration::Solution;

/// Where a policy is followed from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Beginning {
    /// After this one of the start's actions, by its index.
    Start(usize),
    /// From this state on.
    State(StateId),
}

/// Passes from high values to low: a process seldom goes back more often.
const PASSES: usize = 4;

/// How often the policy of a solution visits every state from these beginnings, each with its
/// weight: to what `PASSES` passes over the states from high values to low find. Restarts are
/// not followed again. A choice node leads to its state of least value; each of its states counts as
/// visited as often as the node at least.
#[must_use]
pub fn visits(kernel: &Kernel, solution: &Solution, from: &[(Beginning, f64)]) -> Vec<f64> {
    let value = &solution.value;
    let mut visits = vec![0.0_f64; kernel.states()];
    let mut coming = visits.clone();
    let mut order: Vec<u32> = (0..kernel.states() as u32).collect();
    order.sort_by(|a, b| value[*b as usize].total_cmp(&value[*a as usize]));
    let states_of = |node: NodeId| {
        let successors = kernel.node(node).successors.iter();
        successors.filter_map(|successor| match *successor {
            Successor::State(state) => Some(state.index()),
            Successor::Terminal(_) => None,
        })
    };
    let mut taken = vec![0.0_f64; kernel.nodes()];
    let mut send = |coming: &mut [f64], action: usize, share: f64| {
        let action = kernel.transitions(ActionId(action as u32));
        for &(to, probability) in action.states() {
            coming[to.index()] += share * f64::from(probability);
        }
        for &(node, probability) in action.nodes() {
            let share = share * f64::from(probability);
            if kernel.node(node).passes_to().is_none() {
                taken[node.index()] += share;
            }
            if let Some(to) = states_of(node).min_by(|a, b| value[*a].total_cmp(&value[*b])) {
                coming[to] += share;
            }
        }
    };
    for &(from, share) in from {
        match from {
            Beginning::Start(index) => {
                if let Some(action) = kernel.actions_of_start().nth(index) {
                    send(&mut coming, action, share);
                }
            }
            Beginning::State(state) => coming[state.index()] += share,
        }
    }
    for _ in 0..PASSES {
        for &state in &order {
            let here = std::mem::take(&mut coming[state as usize]);
            if here <= 0.0 {
                continue;
            }
            visits[state as usize] += here;
            let mut actions = kernel.actions_of(StateId(state));
            if let Some(action) = actions.nth(solution.policy[state as usize] as usize) {
                send(&mut coming, action, here);
            }
        }
    }
    for (node, share) in (0..).map(NodeId).zip(taken) {
        for state in states_of(node) {
            visits[state] = visits[state].max(share);
        }
    }
    visits
}
