//! Value iteration, Gauss–Seidel, with self-loops eliminated.
//!
//! States are swept in the order of their first values, so that most of what a state needs is new
//! already. A transition back to the state itself, or a restart, makes an action's value depend on
//! itself; that equation is solved, not iterated.
//!
//! # Bounds
//! Every action costs at least 1. If one more sweep of all states from the values as they are
//! (Jacobi) would lower no value by more than ε and raise none by more than δ, then with `V ≤ TV + ε`
//! and monotonicity V is at most the optimum of the same problem with every action costing 1 + ε,
//! which is at most `(1 + ε) J*`; likewise `V ≥ (1 − δ) J*`. So `V/(1 + ε) ≤ J* ≤ V/(1 − δ)`: the
//! relative form of the bounds of Bertsekas & Tsitsiklis for stochastic shortest paths (derived
//! here).

use rayon::prelude::*;

use super::kernel::{ActionId, Kernel, NodeId, StateId, Successor, Transitions};

/// How far values can be from the optimum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// No value would fall by more than this in one more sweep.
    pub fall: f64,
    /// None would rise by more than this.
    pub rise: f64,
}

impl Bounds {
    /// Lowest and highest optimum that a value allows.
    #[must_use]
    pub fn of(&self, value: f64) -> [f64; 2] {
        [
            value / (1.0 + self.fall),
            value / (1.0 - self.rise.min(0.5)),
        ]
    }
}

/// The value function and a greedy policy.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Least expected cost, by state; infinite where a state has no action.
    pub value: Vec<f64>,
    /// Index of the best action of each state.
    pub policy: Vec<u32>,
    /// Value of every action of the start.
    pub start_values: Vec<f64>,
    /// Index of the best of them.
    pub start_action: usize,
    /// Its value; infinite where the start has no action.
    pub start: f64,
    /// Largest move of a value in the last sweep.
    pub residual: f64,
    /// Bounds on the optimum.
    pub bounds: Bounds,
    /// Sweeps.
    pub sweeps: usize,
}

/// The value of a choice node, and what else of it an action's value needs.
#[derive(Clone, Copy)]
struct Node {
    value: f64,
    may_restart: bool,
    /// The state that it passes to, or [`NO_STATE`].
    passes_to: StateId,
}

/// No state: the start, which no transition leads to.
const NO_STATE: StateId = StateId(u32::MAX);

/// A kernel as the sweeps go over it.
pub struct ValueIteration<'a> {
    kernel: &'a Kernel,
    value: Vec<f64>,
    policy: Vec<u32>,
    nodes: Vec<Node>,
    /// The nodes that a state is a successor of.
    nodes_of: Vec<(StateId, NodeId)>,
    order: Vec<StateId>,
}

impl<'a> ValueIteration<'a> {
    /// From these values on; every state that has an action has a proper policy
    /// ([`Kernel::remove_improper`]).
    #[must_use]
    pub fn new(kernel: &'a Kernel, mut value: Vec<f64>) -> Self {
        let states = || (0..kernel.states() as u32).map(StateId);
        for state in states().filter(|state| kernel.actions_of(*state).is_empty()) {
            value[state.index()] = f64::INFINITY;
        }
        let mut order: Vec<StateId> = states().collect();
        order.sort_by(|a, b| value[a.index()].total_cmp(&value[b.index()]));
        let mut nodes_of: Vec<(StateId, NodeId)> = Vec::new();
        let mut nodes = Vec::with_capacity(kernel.nodes());
        for number in (0..kernel.nodes() as u32).map(NodeId) {
            let node = kernel.node(number);
            for successor in node.successors {
                if let Successor::State(state) = *successor {
                    nodes_of.push((state, number));
                }
            }
            nodes.push(Node {
                value: 0.0,
                may_restart: node.may_restart,
                passes_to: node.passes_to().unwrap_or(NO_STATE),
            });
        }
        nodes_of.sort_unstable();
        let mut out = Self {
            policy: vec![0; value.len()],
            kernel,
            value,
            nodes,
            nodes_of,
            order,
        };
        out.refresh_all();
        out
    }

    fn refresh_all(&mut self) {
        for node in 0..self.nodes.len() as u32 {
            self.refresh(NodeId(node));
        }
    }

    /// The value of a node: its cost and the least of its successors.
    fn refresh(&mut self, number: NodeId) {
        let node = self.kernel.node(number);
        let least = node.successors.iter().map(|successor| match *successor {
            Successor::State(state) => self.value[state.index()],
            Successor::Terminal(end) => end.mean,
        });
        let least = least.fold(f64::INFINITY, f64::min);
        self.nodes[number.index()].value = f64::from(node.cost) + least;
    }

    /// The value of an action of the state `here`, whose own value is solved for.
    #[inline]
    fn action_value(&self, action: Transitions<'_>, here: StateId) -> f64 {
        let mut sum = action.cost() + action.restart();
        let mut own = action.restart();
        for &(state, probability) in action.states() {
            if state == here {
                own += f64::from(probability);
            } else {
                sum += f64::from(probability) * self.value[state.index()];
            }
        }
        if action.nodes().is_empty() {
            return without_loop(sum, own);
        }
        // A node that may restart is worth min(its value, 1 + Q). From all taken, those that cost
        // more than a restart are restarted until none is left; Q only falls.
        let mut value = f64::INFINITY;
        loop {
            let (mut all, mut back) = (sum, own);
            let mut dearest = f64::NEG_INFINITY;
            for &(node, probability) in action.nodes() {
                let (node, probability) = (&self.nodes[node.index()], f64::from(probability));
                if node.passes_to == here && here != NO_STATE {
                    back += probability;
                } else if !node.may_restart {
                    all += probability * node.value;
                } else if node.value <= 1.0 + value {
                    all += probability * node.value;
                    dearest = dearest.max(node.value);
                } else {
                    all += probability;
                    back += probability;
                }
            }
            let next = without_loop(all, back);
            if dearest <= 1.0 + next || next >= value - 1.0e-13 {
                return value.min(next);
            }
            value = next;
        }
    }

    /// The least value of the actions of a state, and its index.
    fn best(&self, state: StateId) -> (f64, u32) {
        let mut best = (f64::INFINITY, 0);
        for (index, action) in self.kernel.actions_of(state).enumerate() {
            let action = self.kernel.transitions(ActionId(action as u32));
            let value = self.action_value(action, state);
            if value < best.0 {
                best = (value, index as u32);
            }
        }
        best
    }

    /// One sweep; the largest move of a value.
    fn sweep(&mut self) -> f64 {
        let mut most = 0.0_f64;
        for position in 0..self.order.len() {
            let state = self.order[position];
            let (value, action) = self.best(state);
            if !value.is_finite() {
                // No action, or none with a finite value yet.
                continue;
            }
            most = most.max((value - self.value[state.index()]).abs());
            self.value[state.index()] = value;
            self.policy[state.index()] = action;
            let first = self.nodes_of.partition_point(|of| of.0 < state);
            for at in first..self.nodes_of.len() {
                let (of, node) = self.nodes_of[at];
                if of != state {
                    break;
                }
                self.refresh(node);
            }
        }
        most
    }

    /// Moves every value on by what it would still move if all went on to shrink by `ratio` a sweep,
    /// as the last sweep's moves since `before` do when one mode is left (Aitken's extrapolation).
    /// The sweeps after it decide on the values.
    fn extrapolate(&mut self, before: &[f64], ratio: f64) {
        if !(LEAST_RATIO..MOST_RATIO).contains(&ratio) {
            return;
        }
        let further = ratio / (1.0 - ratio);
        for (value, before) in self.value.iter_mut().zip(before) {
            let moved = *value - before;
            if moved.is_finite() {
                *value += further * moved;
            }
        }
        self.refresh_all();
    }

    /// Sweeps until no value moves by more than `tolerance`.
    pub fn solve(&mut self, tolerance: f64) -> Solution {
        let mut residual = f64::INFINITY;
        let mut sweeps = 0;
        while residual > tolerance && sweeps < MOST_SWEEPS {
            let before = (sweeps % EXTRAPOLATED == EXTRAPOLATED - 1).then(|| self.value.clone());
            let last = std::mem::replace(&mut residual, self.sweep());
            sweeps += 1;
            if let (Some(before), true) = (before, residual > tolerance) {
                self.extrapolate(&before, residual / last);
            }
        }
        let start_values: Vec<f64> = self.values_of_start().collect();
        let start_action = (0..start_values.len())
            .min_by(|a, b| start_values[*a].total_cmp(&start_values[*b]))
            .unwrap_or(0);
        let start = start_values.get(start_action).copied();
        Solution {
            start: start.unwrap_or(f64::INFINITY),
            start_values,
            start_action,
            value: self.value.clone(),
            policy: self.policy.clone(),
            residual,
            bounds: self.bounds(),
            sweeps,
        }
    }

    fn values_of_start(&self) -> impl Iterator<Item = f64> + '_ {
        let actions = self.kernel.actions_of_start();
        actions.map(|a| self.action_value(self.kernel.transitions(ActionId(a as u32)), NO_STATE))
    }

    /// The value of every action (Q-value) by these values of the states.
    pub fn action_values(&mut self, value: &[f64]) -> Vec<f64> {
        self.value.clear();
        self.value.extend_from_slice(value);
        self.refresh_all();
        let this = &*self;
        let of_states = (0..this.kernel.states() as u32)
            .into_par_iter()
            .with_min_len(256)
            .flat_map_iter(|state| {
                let state = StateId(state);
                this.kernel.actions_of(state).map(move |action| {
                    let action = this.kernel.transitions(ActionId(action as u32));
                    this.action_value(action, state)
                })
            });
        let mut values: Vec<f64> = this.values_of_start().collect();
        values.par_extend(of_states);
        values
    }

    fn bounds(&self) -> Bounds {
        let mut bounds = Bounds {
            fall: 0.0,
            rise: 0.0,
        };
        for (state, value) in (0..).map(StateId).zip(&self.value) {
            let next = self.best(state).0;
            if next.is_finite() {
                bounds.fall = bounds.fall.max(value - next);
                bounds.rise = bounds.rise.max(next - value);
            }
        }
        bounds
    }
}

/// The solution of `Q = sum + own · Q`.
fn without_loop(sum: f64, own: f64) -> f64 {
    if own < 1.0 - 1.0e-9 {
        sum / (1.0 - own)
    } else {
        f64::INFINITY
    }
}

/// Most sweeps.
const MOST_SWEEPS: usize = 1000;
/// After so many sweeps each time the values are extrapolated: slow mixing takes many sweeps, most
/// kernels fewer than these.
const EXTRAPOLATED: usize = 24;
/// Ratios of the moves of two sweeps with which they are.
const LEAST_RATIO: f64 = 0.5;
const MOST_RATIO: f64 = 0.995;
