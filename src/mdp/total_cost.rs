//! The distribution of the total cost under a policy.
//!
//! A forward pass over the cost so far: the probability of every state after each. Every action costs
//! at least 1, so no equation has to be solved.

use super::kernel::{ChoiceNode, Kernel, StateId, Successor};
use super::policy::{Policy, taken};

/// A process still going at this cost is cut off (less than one in 10¹² is).
const MOST: usize = 200;
/// Less than this is no probability.
const NOTHING: f64 = 1.0e-12;
/// Costs that are looked ahead: an action, and a node or a restart.
const AHEAD: usize = 2 + ChoiceNode::MOST_COST as usize;

/// An outcome of an action that is not of the kernel, and its cost beyond the action's own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum After {
    /// A state.
    State(u32, StateId),
    /// The end, at a further cost of 0 to 3 with these probabilities.
    Terminal(u32, [f64; 4]),
    /// The same action again, at a cost of 1.
    Restart,
}

/// Probabilities of the total cost from a state on, from 0; they add to 1.
#[must_use]
pub fn from_state(kernel: &Kernel, policy: &impl Policy, state: StateId) -> Vec<f64> {
    Run::new(kernel, policy).ended(|run| run.put(0, state, 1.0), &[])
}

/// The same with an action that is not of the kernel, taken at a cost of `spent`: its outcomes with
/// their probabilities, which add to 1. `visit` hears of every state that is visited, at what cost
/// and with what probability.
#[must_use]
pub fn after<'a>(
    kernel: &'a Kernel,
    policy: &'a impl Policy,
    spent: usize,
    action: &[(f64, After)],
    visit: Option<Visit<'a>>,
) -> Vec<f64> {
    let run = Run {
        visit,
        ..Run::new(kernel, policy)
    };
    run.ended(|run| run.start(spent, 1.0, action), action)
}

/// Hears of the cost so far, a state and its probability.
pub type Visit<'a> = &'a mut dyn FnMut(usize, StateId, f64);

struct Run<'a, P> {
    kernel: &'a Kernel,
    policy: &'a P,
    /// Probabilities of the states at this cost so far and the next few, in turn, and the
    /// probability that the first action is restarted.
    states: [Vec<f64>; AHEAD],
    restarts: [f64; AHEAD],
    by_cost: Vec<f64>,
    left: f64,
    visit: Option<Visit<'a>>,
}

impl<'a, P: Policy> Run<'a, P> {
    fn new(kernel: &'a Kernel, policy: &'a P) -> Self {
        Self {
            kernel,
            policy,
            states: std::array::from_fn(|_| vec![0.0; kernel.states()]),
            restarts: [0.0; AHEAD],
            by_cost: Vec::new(),
            left: 1.0,
            visit: None,
        }
    }

    fn ended(mut self, begin: impl Fn(&mut Self), action: &[(f64, After)]) -> Vec<f64> {
        begin(&mut self);
        for spent in 0..MOST {
            if self.left < NOTHING {
                break;
            }
            let again = std::mem::take(&mut self.restarts[spent % AHEAD]);
            if again > 0.0 {
                self.start(spent, again, action);
            }
            let mut here = std::mem::take(&mut self.states[spent % AHEAD]);
            for (state, probability) in here.iter_mut().enumerate() {
                let probability = std::mem::take(probability);
                if probability > 0.0 {
                    self.act(spent, StateId(state as u32), probability);
                }
            }
            self.states[spent % AHEAD] = here;
        }
        // What is left never ends, or as good as never.
        let last = self.by_cost.len().max(MOST);
        if self.left >= NOTHING {
            self.add(last, self.left);
        } else if let Some(most) = self.by_cost.iter_mut().max_by(|a, b| a.total_cmp(b)) {
            *most += self.left;
        }
        self.by_cost
    }

    fn add(&mut self, cost: usize, probability: f64) {
        if self.by_cost.len() <= cost {
            self.by_cost.resize(cost + 1, 0.0);
        }
        self.by_cost[cost] += probability;
    }

    fn put(&mut self, spent: usize, state: StateId, probability: f64) {
        // The list in hand is away while it is worked; nothing leads to it, since every action costs.
        if let Some(there) = self.states[spent % AHEAD].get_mut(state.index()) {
            *there += probability;
        }
    }

    /// The end at a further cost of 1, 2 and 3, and 0.
    fn end(&mut self, spent: usize, probability: f64, by_cost: &[f64; 4]) {
        let [none, more @ ..] = *by_cost;
        if more != [0.0; 3] {
            for (more, chance) in (1..).zip(more) {
                self.add(spent + more, probability * chance);
                self.left -= probability * chance;
            }
        }
        if none > 0.0 {
            self.add(spent, probability * none);
            self.left -= probability * none;
        }
    }

    fn start(&mut self, spent: usize, probability: f64, action: &[(f64, After)]) {
        for &(weight, after) in action {
            let probability = probability * weight;
            match after {
                After::State(more, state) => {
                    self.put(spent + 1 + more as usize, state, probability);
                }
                After::Terminal(more, by_cost) => {
                    self.end(spent + 1 + more as usize, probability, &by_cost);
                }
                After::Restart => self.restarts[(spent + 2) % AHEAD] += probability,
            }
        }
    }

    fn act(&mut self, spent: usize, state: StateId, probability: f64) {
        if let Some(visit) = &mut self.visit {
            visit(spent, state, probability);
        }
        let (kernel, policy) = (self.kernel, self.policy);
        let Some(action) = kernel.transitions_of(state, policy.action(spent, state)) else {
            return;
        };
        let next = spent + 1;
        for &(to, weight) in action.states() {
            self.put(next, to, probability * f64::from(weight));
        }
        if !action.nodes().is_empty() {
            let loss_of_restart = policy.loss(next + 1, state);
            for &(node, weight) in action.nodes() {
                let weight = probability * f64::from(weight);
                match taken(kernel, policy, next, node, loss_of_restart) {
                    Some((spent, Successor::State(to))) => self.put(spent, *to, weight),
                    Some((spent, Successor::Terminal(end))) => {
                        self.end(spent, weight, &end.by_cost);
                    }
                    None => self.put(next + 1, state, weight),
                }
            }
        }
        self.end(next, probability, action.by_cost());
        if action.restart() > 0.0 {
            self.put(next + 1, state, probability * action.restart());
        }
    }
}
