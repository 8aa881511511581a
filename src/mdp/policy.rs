//! Policies that may depend on the cost so far.

use super::kernel::{ChoiceNode, Kernel, NodeId, StateId, Successor, Terminal};
use super::value_iteration::Solution;

/// An action for every state at every cost so far, and a loss by which choice nodes are decided: the
/// successor with the least loss is taken, or a restart where that has less.
pub trait Policy: Sync {
    /// Index of the action of a state at this cost so far.
    fn action(&self, spent: usize, state: StateId) -> usize;
    /// The loss of a state at this cost so far: for least cost the total to expect.
    fn loss(&self, spent: usize, state: StateId) -> f64;
    /// The loss of ending with this further cost.
    fn terminal_loss(&self, spent: usize, end: &Terminal) -> f64 {
        spent as f64 + expected(&end.by_cost)
    }
    /// The loss by which the successors of one node are compared with each other.
    fn successor_loss(&self, spent: usize, state: StateId) -> f64 {
        self.loss(spent, state)
    }
    /// The same of ending.
    fn terminal_successor_loss(&self, spent: usize, end: &Terminal) -> f64 {
        self.terminal_loss(spent, end)
    }
}

/// The expectation of a further cost of 0 to 3.
pub(super) fn expected(by_cost: &[f64; 4]) -> f64 {
    by_cost[1] + 2.0 * by_cost[2] + 3.0 * by_cost[3]
}

/// The greedy policy of a solution, whatever the cost so far, and its values.
impl Policy for Solution {
    fn action(&self, _: usize, state: StateId) -> usize {
        self.policy[state.index()] as usize
    }
    fn loss(&self, spent: usize, state: StateId) -> f64 {
        spent as f64 + self.value[state.index()]
    }
}

/// The successor of a node that a policy takes `spent` before the node's own cost, and the cost
/// after it; none where it rather restarts an action whose restart has this loss.
pub(super) fn taken<'a>(
    kernel: &'a Kernel,
    policy: &impl Policy,
    spent: usize,
    node: NodeId,
    loss_of_restart: f64,
) -> Option<(usize, &'a Successor)> {
    let ChoiceNode {
        cost,
        may_restart,
        successors,
    } = kernel.node(node);
    let spent = spent + cost as usize;
    let mut best: (Option<&Successor>, f64) = (None, f64::INFINITY);
    for successor in successors {
        let loss = match successor {
            Successor::Terminal(end) => policy.terminal_successor_loss(spent, end),
            Successor::State(state) => policy.successor_loss(spent, *state),
        };
        if loss < best.1 {
            best = (Some(successor), loss);
        }
    }
    let successor = best.0?;
    let loss = || match successor {
        Successor::Terminal(end) => policy.terminal_loss(spent, end),
        Successor::State(state) => policy.loss(spent, *state),
    };
    (!may_restart || loss() <= loss_of_restart).then_some((spent, successor))
}
