//! The transition kernel, in compressed rows.

use std::fmt;
use std::ops::Range;

/// The number of a state.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct StateId(pub u32);

/// The number of an action among the actions of all states.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ActionId(pub u32);

/// The number of a choice node.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct NodeId(pub u32);

impl StateId {
    /// As an index.
    #[must_use]
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

impl ActionId {
    /// As an index.
    #[must_use]
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

impl NodeId {
    /// As an index.
    #[must_use]
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// The process ends after a random further cost.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Terminal {
    /// Expected further cost. It may lie outside of 0 to 3, where `by_cost` cannot follow.
    pub mean: f64,
    /// Probabilities of a further cost of 0, 1, 2 and 3.
    pub by_cost: [f64; 4],
}

impl Terminal {
    /// It ends at no further cost.
    pub const END: Self = Self {
        mean: 0.0,
        by_cost: [1.0, 0.0, 0.0, 0.0],
    };
}

/// One outcome of an action.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outcome {
    /// The next state.
    State(StateId),
    /// The better of several successors, at a cost.
    Node(NodeId),
    /// Back to the state of the action, at a cost of 1.
    Restart,
    /// The end.
    Terminal(Terminal),
}

/// One of the successors that a choice node offers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Successor {
    /// A state.
    State(StateId),
    /// The end.
    Terminal(Terminal),
}

/// A choice without randomness after an action.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChoiceNode<'a> {
    /// Cost of every successor; at most [`ChoiceNode::MOST_COST`].
    pub cost: u32,
    /// Whether a restart of the action, at a cost of 1 and without the node's own, is offered too.
    pub may_restart: bool,
    /// The successors; never empty.
    pub successors: &'a [Successor],
}

impl ChoiceNode<'_> {
    /// Highest cost of a node.
    pub const MOST_COST: u32 = 2;

    /// The state of a transition at no cost that may be restarted instead.
    #[must_use]
    pub fn passes_to(&self) -> Option<StateId> {
        match self.successors {
            [Successor::State(state)] if self.cost == 0 && self.may_restart => Some(*state),
            _ => None,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Node {
    cost: u32,
    may_restart: bool,
    successors: [u32; 2],
}

/// An action; its transitions to states and nodes stand side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Row {
    cost: f64,
    by_cost: [f64; 4],
    restart: f64,
    states: [u32; 2],
    nodes: [u32; 2],
}

/// The actions of every state, the transitions of every action.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Kernel {
    /// By state, where its actions begin; one more at the end. Those before the first state's are
    /// the start's.
    first_action: Vec<u32>,
    rows: Vec<Row>,
    to_states: Vec<(StateId, f32)>,
    to_nodes: Vec<(NodeId, f32)>,
    nodes: Vec<Node>,
    successors: Vec<Successor>,
}

/// The transitions of an action.
#[derive(Clone, Copy, Debug)]
pub struct Transitions<'a> {
    kernel: &'a Kernel,
    row: &'a Row,
}

impl<'a> Transitions<'a> {
    /// The action's own cost of 1 and the expected cost of ending with it.
    #[must_use]
    pub fn cost(self) -> f64 {
        self.row.cost
    }
    /// Probabilities to end with this action, at a further cost of 0, 1, 2 and 3.
    #[must_use]
    pub fn by_cost(self) -> &'a [f64; 4] {
        &self.row.by_cost
    }
    /// Probability of a restart.
    #[must_use]
    pub fn restart(self) -> f64 {
        self.row.restart
    }
    /// Transitions to states, with their probabilities.
    #[must_use]
    pub fn states(self) -> &'a [(StateId, f32)] {
        range(&self.kernel.to_states, self.row.states)
    }
    /// Transitions to choice nodes, with their probabilities.
    #[must_use]
    pub fn nodes(self) -> &'a [(NodeId, f32)] {
        range(&self.kernel.to_nodes, self.row.nodes)
    }
}

fn range<T>(all: &[T], [from, to]: [u32; 2]) -> &[T] {
    &all[from as usize..to as usize]
}

impl Kernel {
    /// How many states there are.
    #[must_use]
    pub fn states(&self) -> usize {
        self.first_action.len().saturating_sub(1)
    }

    /// How many choice nodes there are.
    #[must_use]
    pub fn nodes(&self) -> usize {
        self.nodes.len()
    }

    /// How many actions there are, those of the start included.
    #[must_use]
    pub fn actions(&self) -> usize {
        self.rows.len()
    }

    /// How many transitions to states and to choice nodes there are.
    #[must_use]
    pub fn transition_count(&self) -> usize {
        self.to_states.len() + self.to_nodes.len()
    }

    /// The numbers of a state's actions.
    #[must_use]
    pub fn actions_of(&self, state: StateId) -> Range<usize> {
        let state = state.index();
        self.first_action[state] as usize..self.first_action[state + 1] as usize
    }

    /// The numbers of the start's actions. The start is a state that no transition leads to; a
    /// restart of its actions leads back to it.
    #[must_use]
    pub fn actions_of_start(&self) -> Range<usize> {
        0..self.first_action.first().map_or(0, |first| *first as usize)
    }

    /// The transitions of an action.
    #[must_use]
    #[inline]
    pub fn transitions(&self, action: ActionId) -> Transitions<'_> {
        Transitions {
            kernel: self,
            row: &self.rows[action.index()],
        }
    }

    /// The transitions of one of a state's actions; none of one that it does not have.
    #[must_use]
    #[inline]
    pub fn transitions_of(&self, state: StateId, action: usize) -> Option<Transitions<'_>> {
        let row = self.rows[self.actions_of(state)].get(action)?;
        Some(Transitions { kernel: self, row })
    }

    /// A choice node.
    #[must_use]
    pub fn node(&self, node: NodeId) -> ChoiceNode<'_> {
        let node = &self.nodes[node.index()];
        ChoiceNode {
            cost: node.cost,
            may_restart: node.may_restart,
            successors: range(&self.successors, node.successors),
        }
    }

    /// The same with fewer actions and successors, and the numbers of the actions that are left.
    /// The start keeps all of its actions; a transition that does not lead on becomes a restart; a
    /// node that leads on loses the successors that do not.
    pub(super) fn reduced(
        &self,
        keeps: impl Fn(StateId, usize) -> bool,
        state_leads_on: impl Fn(StateId) -> bool,
        node_leads_on: impl Fn(NodeId) -> bool,
    ) -> (Self, Vec<ActionId>) {
        let mut out = Builder::default();
        let mut kept = Vec::with_capacity(self.states());
        for (number, node) in (0..self.nodes.len()).map(|n| (n, self.node(NodeId(n as u32)))) {
            let all = !node_leads_on(NodeId(number as u32));
            let leads_on = |successor: &&Successor| match **successor {
                Successor::State(state) => all || state_leads_on(state),
                Successor::Terminal(_) => true,
            };
            let successors = node.successors.iter().filter(leads_on).copied();
            out.node(node.cost, node.may_restart, successors);
        }
        let mut copy = |out: &mut Builder, action: usize| {
            let action = ActionId(action as u32);
            let state = |state| match state_leads_on(state) {
                true => Outcome::State(state),
                false => Outcome::Restart,
            };
            let node = |node| match node_leads_on(node) {
                true => Outcome::Node(node),
                false => Outcome::Restart,
            };
            out.copy(self.transitions(action), state, node);
            kept.push(action);
        };
        self.actions_of_start().for_each(|a| copy(&mut out, a));
        for state in (0..self.states() as u32).map(StateId) {
            out.next_state();
            for (index, action) in self.actions_of(state).enumerate() {
                if keeps(state, index) {
                    copy(&mut out, action);
                }
            }
        }
        (out.unchecked(), kept)
    }

    /// The same with one action a state, its index given by state, and the numbers of the actions
    /// that are left. The start keeps all of its actions.
    #[must_use]
    pub fn under(&self, policy: &[u32]) -> (Self, Vec<ActionId>) {
        let keeps = |state: StateId, index: usize| policy[state.index()] as usize == index;
        self.reduced(keeps, |_| true, |_| true)
    }
}

/// Why rows are no kernel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Malformed {
    /// The probabilities of an action do not add to 1, or one of them is none.
    Probabilities(ActionId, f64),
    /// An action or a node leads to a state that there is not.
    State(StateId),
    /// An action leads to a node that there is not.
    Node(NodeId),
    /// A node offers no successor, or costs too much.
    Choice(NodeId),
}

impl fmt::Display for Malformed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Probabilities(action, sum) => {
                write!(f, "the probabilities of action {} add to {sum}", action.0)
            }
            Self::State(state) => write!(f, "there is no state {}", state.0),
            Self::Node(node) => write!(f, "there is no node {}", node.0),
            Self::Choice(node) => write!(f, "node {} has no successor or costs too much", node.0),
        }
    }
}

impl std::error::Error for Malformed {}

/// Probabilities are single precision, and those of an action up to 65 536: they add to 1 within
/// this.
const ROUNDING: f64 = 1.0e-4;

/// Writes a kernel row by row: the start's actions, then [`Builder::next_state`] and that one's
/// actions, state by state. States and nodes may be named before they are written.
#[derive(Clone, Debug, Default)]
pub struct Builder(Kernel);

impl Builder {
    /// A choice node.
    pub fn node(
        &mut self,
        cost: u32,
        may_restart: bool,
        successors: impl IntoIterator<Item = Successor>,
    ) -> NodeId {
        let out = &mut self.0;
        let from = out.successors.len() as u32;
        out.successors.extend(successors);
        out.nodes.push(Node {
            cost,
            may_restart,
            successors: [from, out.successors.len() as u32],
        });
        NodeId(out.nodes.len() as u32 - 1)
    }

    /// The actions that follow are those of the next state.
    pub fn next_state(&mut self) {
        self.0.first_action.push(self.0.rows.len() as u32);
    }

    /// An action of the state in hand.
    pub fn action(&mut self, transitions: impl IntoIterator<Item = (f32, Outcome)>) -> ActionId {
        self.begin(1.0, [0.0; 4], 0.0);
        for (probability, outcome) in transitions {
            self.transition(probability, outcome);
        }
        ActionId(self.0.rows.len() as u32 - 1)
    }

    /// An action of another kernel, its states and nodes mapped to outcomes.
    pub fn copy(
        &mut self,
        other: Transitions<'_>,
        state: impl Fn(StateId) -> Outcome,
        node: impl Fn(NodeId) -> Outcome,
    ) {
        self.begin(other.cost(), *other.by_cost(), other.restart());
        for &(to, probability) in other.states() {
            self.transition(probability, state(to));
        }
        for &(to, probability) in other.nodes() {
            self.transition(probability, node(to));
        }
    }

    fn begin(&mut self, cost: f64, by_cost: [f64; 4], restart: f64) {
        let out = &mut self.0;
        out.rows.push(Row {
            cost,
            by_cost,
            restart,
            states: [out.to_states.len() as u32; 2],
            nodes: [out.to_nodes.len() as u32; 2],
        });
    }

    /// One more outcome of the last action.
    fn transition(&mut self, probability: f32, outcome: Outcome) {
        let out = &mut self.0;
        let Some(row) = out.rows.last_mut() else {
            return;
        };
        let weight = f64::from(probability);
        match outcome {
            Outcome::State(state) => {
                out.to_states.push((state, probability));
                row.states[1] += 1;
            }
            Outcome::Node(node) => {
                out.to_nodes.push((node, probability));
                row.nodes[1] += 1;
            }
            Outcome::Restart => row.restart += weight,
            Outcome::Terminal(end) => {
                row.cost += weight * end.mean;
                for (sum, chance) in row.by_cost.iter_mut().zip(end.by_cost) {
                    *sum += weight * chance;
                }
            }
        }
    }

    fn unchecked(mut self) -> Kernel {
        self.next_state();
        self.0
    }

    /// The kernel.
    ///
    /// # Errors
    /// [`Malformed`] where the probabilities of an action do not add to 1, or a number is out of
    /// range.
    pub fn finish(self) -> Result<Kernel, Malformed> {
        let out = self.unchecked();
        let has_state = |state: StateId| match state.index() < out.states() {
            true => Ok(()),
            false => Err(Malformed::State(state)),
        };
        for number in 0..out.rows.len() as u32 {
            let action = out.transitions(ActionId(number));
            let mut sum = action.restart() + action.by_cost().iter().sum::<f64>();
            let mut least = action.by_cost().iter().fold(sum, |a, b| a.min(*b));
            for &(state, probability) in action.states() {
                has_state(state)?;
                sum += f64::from(probability);
                least = least.min(f64::from(probability));
            }
            for &(node, probability) in action.nodes() {
                if node.index() >= out.nodes() {
                    return Err(Malformed::Node(node));
                }
                sum += f64::from(probability);
                least = least.min(f64::from(probability));
            }
            if !((sum - 1.0).abs() < ROUNDING && least > -ROUNDING) {
                return Err(Malformed::Probabilities(ActionId(number), sum));
            }
        }
        for number in (0..out.nodes() as u32).map(NodeId) {
            let node = out.node(number);
            if node.successors.is_empty() || node.cost > ChoiceNode::MOST_COST {
                return Err(Malformed::Choice(number));
            }
            for successor in node.successors {
                if let Successor::State(state) = *successor {
                    has_state(state)?;
                }
            }
        }
        Ok(out)
    }
}
