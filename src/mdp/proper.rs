//! States without a proper policy: from which the process never ends.
//!
//! A restart is always worth as much as the state of its action, so a state has a proper policy where
//! an outcome of one of its actions ends the process or leads to a state that has one. From any other
//! state every action leads to restarts and to states of that kind. Its value is infinite; iteration
//! would count sweeps.

use super::kernel::{ActionId, Kernel, NodeId, StateId, Successor};

/// States with a proper policy, and nodes with a successor of that kind.
pub struct Proper {
    /// By state.
    pub states: Vec<bool>,
    nodes: Vec<bool>,
}

impl Proper {
    /// By backward reachability from the end.
    #[must_use]
    pub fn of(kernel: &Kernel) -> Self {
        let mut out = Self {
            states: vec![false; kernel.states()],
            nodes: vec![false; kernel.nodes()],
        };
        // Where states are numbered from the start on, most are settled in the first pass.
        let mut states: Vec<u32> = (0..kernel.states() as u32).rev().collect();
        let mut nodes: Vec<u32> = (0..kernel.nodes() as u32).collect();
        loop {
            let before = (states.len(), nodes.len());
            states.retain(|&state| {
                let is_proper = out.ends(kernel, StateId(state));
                out.states[state as usize] = is_proper;
                !is_proper
            });
            nodes.retain(|&node| {
                let successors = kernel.node(NodeId(node)).successors;
                let is_proper = successors.iter().any(|successor| match *successor {
                    Successor::State(state) => out.states[state.index()],
                    Successor::Terminal(_) => true,
                });
                out.nodes[node as usize] = is_proper;
                !is_proper
            });
            if before == (states.len(), nodes.len()) {
                return out;
            }
        }
    }

    fn ends(&self, kernel: &Kernel, state: StateId) -> bool {
        kernel.actions_of(state).any(|action| {
            let action = kernel.transitions(ActionId(action as u32));
            let states = action.states().iter();
            let nodes = action.nodes().iter();
            action.by_cost().iter().any(|chance| *chance > 0.0)
                || states
                    .filter(|to| to.1 > 0.0)
                    .any(|to| self.states[to.0.index()])
                || nodes
                    .filter(|to| to.1 > 0.0)
                    .any(|to| self.nodes[to.0.index()])
        })
    }
}

impl Kernel {
    /// Takes the actions from the states without a proper policy, makes every transition to such a
    /// state a restart, and strikes such states from the choice nodes. The numbers of the actions
    /// that are left, where not all are.
    pub fn remove_improper(&mut self) -> Option<Vec<ActionId>> {
        let proper = Proper::of(self);
        if proper.states.iter().all(|is_proper| *is_proper) {
            return None;
        }
        let of_state = |state: StateId| proper.states[state.index()];
        let of_node = |node: NodeId| proper.nodes[node.index()];
        let (kernel, kept) = self.reduced(|state, _| of_state(state), of_state, of_node);
        *self = kernel;
        Some(kept)
    }
}
