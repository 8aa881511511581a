//! Expected utility of the total cost: backward induction over the cost so far.
//!
//! A utility that is nothing from some total cost on has a finite horizon, and what is best depends
//! on the cost so far. Every action costs at least 1, so the layers of equal cost are taken from the
//! last one backwards, with no equation to solve: a restart comes back two layers later.

use rayon::prelude::*;

use super::kernel::{Kernel, NodeId, StateId, Successor, Transitions};
use super::policy::{Policy, expected, taken};

/// A utility of the total cost: not negative, and nothing from some cost on.
#[derive(Clone, Debug, PartialEq)]
pub struct Utility {
    by_cost: Vec<f64>,
    layers: usize,
}

impl Utility {
    /// `of` a total cost; nothing from the cost `worthless` on.
    #[must_use]
    pub fn new(worthless: usize, of: impl Fn(usize) -> f64) -> Self {
        // Every process costs 1 at least.
        let layers = worthless.saturating_sub(1);
        Self {
            by_cost: (0..layers + 5).map(of).collect(),
            layers,
        }
    }

    /// Costs so far with which anything is to be had, from 0 on.
    #[must_use]
    pub fn layers(&self) -> usize {
        self.layers
    }

    /// The utilities of ending here, and at a further cost of 1, 2 and 3.
    fn ends(&self, spent: usize) -> [f64; 4] {
        match spent < self.layers + 2 {
            true => std::array::from_fn(|more| self.by_cost[spent + more]),
            false => [0.0; 4],
        }
    }

    /// The expected utility of ending at a further cost of 0 to 3 with these probabilities.
    #[must_use]
    pub fn of_end(&self, spent: usize, by_cost: &[f64; 4]) -> f64 {
        let ends = self.ends(spent);
        let more = (1..4).map(|more| ends[more] * by_cost[more]);
        more.sum::<f64>() + by_cost[0] * ends[0]
    }

    /// The expected utility of every state under a policy, by the cost so far, from `first` on.
    #[must_use]
    pub fn under(&self, kernel: &Kernel, policy: &impl Policy, first: usize) -> Vec<Vec<f64>> {
        let mut by_spent: Vec<Vec<f64>> = vec![Vec::new(); self.layers];
        for spent in (first..self.layers).rev() {
            let ahead = Ahead {
                kernel,
                policy,
                utility: self,
                by_spent: &by_spent,
            };
            let here = (0..kernel.states() as u32)
                .into_par_iter()
                .with_min_len(64)
                .map(|state| ahead.of_action(spent, StateId(state)))
                .collect();
            by_spent[spent] = here;
        }
        by_spent
    }
}

struct Ahead<'a, P> {
    kernel: &'a Kernel,
    policy: &'a P,
    utility: &'a Utility,
    by_spent: &'a [Vec<f64>],
}

impl<P: Policy> Ahead<'_, P> {
    fn of(&self, spent: usize, state: StateId) -> f64 {
        let layer = self.by_spent.get(spent);
        let value = layer.and_then(|layer| layer.get(state.index()));
        value.copied().unwrap_or(0.0)
    }

    fn of_action(&self, spent: usize, state: StateId) -> f64 {
        let (kernel, policy) = (self.kernel, self.policy);
        let Some(action) = kernel.transitions_of(state, policy.action(spent, state)) else {
            return 0.0;
        };
        let next = spent + 1;
        let again = self.of(next + 1, state);
        let mut sum = self.utility.of_end(next, action.by_cost()) + action.restart() * again;
        for &(to, probability) in action.states() {
            sum += f64::from(probability) * self.of(next, to);
        }
        if action.nodes().is_empty() {
            return sum;
        }
        let loss_of_restart = policy.loss(next + 1, state);
        for &(node, probability) in action.nodes() {
            let value = match taken(kernel, policy, next, node, loss_of_restart) {
                Some((spent, Successor::State(to))) => self.of(spent, *to),
                Some((spent, Successor::Terminal(end))) => self.utility.of_end(spent, &end.by_cost),
                None => again,
            };
            sum += f64::from(probability) * value;
        }
        sum
    }
}

/// The value function of a utility by the cost so far, and its policy.
#[derive(Clone, Debug)]
pub struct FiniteHorizon {
    /// What is maximised.
    pub utility: Utility,
    /// By cost so far, by state; 0 where a state has no action.
    pub value: Vec<Vec<f32>>,
    /// By cost so far, by state: index of the action.
    pub actions: Vec<Vec<u16>>,
}

/// Value and action of every state at one cost so far.
pub type Chosen = Vec<(f64, usize)>;

impl FiniteHorizon {
    /// The greatest expected utility.
    #[must_use]
    pub fn of(kernel: &Kernel, utility: Utility) -> Self {
        Self::by(kernel, utility, None, &|layer| {
            (0..kernel.states() as u32)
                .into_par_iter()
                .with_min_len(64)
                .map(|state| layer.best(StateId(state)))
                .collect()
        })
    }

    /// The expected utility of the policy that `choose` makes layer by layer. With the expected cost
    /// of every state a choice node takes the successor with the least.
    #[must_use]
    pub fn by(
        kernel: &Kernel,
        utility: Utility,
        cost: Option<&[f64]>,
        choose: &dyn Fn(&Layer<'_>) -> Chosen,
    ) -> Self {
        let layers = utility.layers;
        let mut out = Self {
            utility,
            value: vec![Vec::new(); layers],
            actions: vec![Vec::new(); layers],
        };
        for spent in (0..layers).rev() {
            let nodes: Vec<f32> = (0..kernel.nodes() as u32)
                .map(|node| out.of_node(kernel, spent + 1, NodeId(node), cost))
                .collect();
            let values = |spent: usize| out.value.get(spent).map_or(&[][..], |layer| layer);
            let chosen = choose(&Layer {
                kernel,
                states: values(spent + 1),
                nodes: &nodes,
                ends: out.utility.ends(spent + 1),
                again: values(spent + 2),
            });
            (out.value[spent], out.actions[spent]) = chosen
                .into_iter()
                .map(|(value, action)| (value as f32, action as u16))
                .unzip();
        }
        out
    }

    /// The value of a state at this cost so far; nothing beyond the horizon.
    #[must_use]
    pub fn at(&self, spent: usize, state: StateId) -> f64 {
        let layer = self.value.get(spent);
        let value = layer.and_then(|layer| layer.get(state.index()));
        value.map_or(0.0, |value| f64::from(*value))
    }

    /// The value of a node, `spent` before its own cost.
    fn of_node(&self, kernel: &Kernel, spent: usize, node: NodeId, cost: Option<&[f64]>) -> f32 {
        let node = kernel.node(node);
        let spent = spent + node.cost as usize;
        let value = |successor: &Successor| match successor {
            Successor::Terminal(end) => self.utility.of_end(spent, &end.by_cost) as f32,
            Successor::State(state) => self.at(spent, *state) as f32,
        };
        let Some(cost) = cost else {
            return node.successors.iter().map(value).fold(0.0, f32::max);
        };
        let cost = |successor: &&Successor| match **successor {
            Successor::Terminal(end) => expected(&end.by_cost),
            Successor::State(state) => cost[state.index()],
        };
        let least = (node.successors.iter()).min_by(|a, b| cost(a).total_cmp(&cost(b)));
        least.map_or(0.0, value)
    }
}

/// The actions at one cost so far, by the values of the layers after it.
pub struct Layer<'a> {
    kernel: &'a Kernel,
    /// By state, one later; empty beyond the horizon.
    states: &'a [f32],
    /// By choice node.
    nodes: &'a [f32],
    /// By further cost.
    ends: [f64; 4],
    /// By state, two later.
    again: &'a [f32],
}

impl Layer<'_> {
    /// The expected utility of a state's action; nothing of one that it does not have.
    #[must_use]
    pub fn value(&self, state: StateId, action: usize) -> f64 {
        let action = self.kernel.transitions_of(state, action);
        action.map_or(0.0, |action| self.of(action, state))
    }

    fn of(&self, action: Transitions<'_>, state: StateId) -> f64 {
        let later = |layer: &[f32], state: StateId| {
            f64::from(layer.get(state.index()).copied().unwrap_or(0.0))
        };
        let again = later(self.again, state);
        let mut sum = 0.0;
        for &(to, probability) in action.states() {
            sum += f64::from(probability) * later(self.states, to);
        }
        for &(node, probability) in action.nodes() {
            let value = f64::from(self.nodes[node.index()]);
            let value = match self.kernel.node(node).may_restart {
                true => value.max(again),
                false => value,
            };
            sum += f64::from(probability) * value;
        }
        for more in [1, 2, 3, 0] {
            sum += action.by_cost()[more] * self.ends[more];
        }
        sum + action.restart() * again
    }

    /// Value and index of the best action of a state.
    fn best(&self, state: StateId) -> (f64, usize) {
        let mut best = (0.0, 0);
        for action in 0..self.kernel.actions_of(state).len() {
            let value = self.value(state, action);
            if value > best.0 {
                best = (value, action);
            }
        }
        best
    }
}
