//! Closed forms, dense linear solves, and the algorithms against each other.

use proptest::prelude::*;

use super::*;

fn to(state: u32) -> Outcome {
    Outcome::State(StateId(state))
}

fn node(node: u32) -> Outcome {
    Outcome::Node(NodeId(node))
}

/// The end at a further cost: `mean`, as shares of the whole numbers beside it.
fn end(mean: f64) -> Outcome {
    Outcome::Terminal(terminal(mean))
}

fn terminal(mean: f64) -> Terminal {
    let by_cost = std::array::from_fn(|cost| (1.0 - (mean - cost as f64).abs()).max(0.0));
    Terminal { mean, by_cost }
}

/// A node as it is written.
type Written = (u32, bool, Vec<Successor>);
/// A state's actions as they are written: probabilities and outcomes.
type Actions = Vec<Vec<(f32, Outcome)>>;

fn kernel(nodes: &[Written], states: &[Actions]) -> Kernel {
    let mut builder = Builder::default();
    for (cost, may_restart, successors) in nodes {
        builder.node(*cost, *may_restart, successors.iter().copied());
    }
    for actions in states {
        builder.next_state();
        for outcomes in actions {
            builder.action(outcomes.iter().copied());
        }
    }
    builder.finish().expect("a kernel")
}

fn choice(cost: u32, may_restart: bool, states: &[u32]) -> Written {
    let states = states.iter().map(|s| Successor::State(StateId(*s)));
    (cost, may_restart, states.collect())
}

fn solved(kernel: &Kernel) -> Solution {
    ValueIteration::new(kernel, vec![0.0; kernel.states()]).solve(1.0e-12)
}

fn mean(by_cost: &[f64]) -> f64 {
    by_cost.iter().enumerate().map(|(c, p)| c as f64 * p).sum()
}

fn is_near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() < within, "{found}, not {wanted}");
}

/// A share p is restarted, the rest ends at a further cost of 1. The restarts are a geometric series:
/// P(2 + 2k) = (1 − p) pᵏ, mean 2 + 2p/(1 − p), variance 4p/(1 − p)².
#[test]
fn restarts_are_a_geometric_series() {
    let p = 0.25;
    let outcomes = vec![(0.25, Outcome::Restart), (0.75, end(1.0))];
    let kernel = kernel(&[], &[vec![outcomes]]);
    let solution = solved(&kernel);
    is_near(solution.value[0], 2.0 + 2.0 * p / (1.0 - p), 1.0e-12);
    let by_cost = total_cost::from_state(&kernel, &solution, StateId(0));
    for k in 0..6 {
        is_near(by_cost[2 + 2 * k], (1.0 - p) * p.powi(k as i32), 1.0e-12);
        assert_eq!(by_cost[1 + 2 * k], 0.0);
    }
    is_near(by_cost.iter().sum(), 1.0, 1.0e-12);
    is_near(mean(&by_cost), solution.value[0], 1.0e-9);
    let squares = by_cost.iter().enumerate();
    let squares: f64 = squares
        .map(|(c, s)| s * (c as f64 - mean(&by_cost)).powi(2))
        .sum();
    is_near(squares, 4.0 * p / (1.0 - p).powi(2), 1.0e-8);
    // The same as an action that is not of the kernel.
    let action = [
        (p, After::Restart),
        (1.0 - p, After::Terminal(0, terminal(1.0).by_cost)),
    ];
    let outside = total_cost::after(&kernel, &solution, 0, &action, None);
    is_near(mean(&outside), mean(&by_cost), 1.0e-9);
}

/// A state worth w behind a node at no cost that may restart costs min(w, 1 + V): V = 2 − p + p w
/// where it is cheap, V = 2/(1 − p) where it is dear; they meet at w = 1 + V. From that state itself
/// the node is a self-loop: V = (2 − p)/(1 − p).
#[test]
fn a_node_costs_no_more_than_a_restart() {
    let p = 0.25;
    // The second state is left with probability 1/x a time, and then ends: it is worth x.
    for (left, may_restart, wanted) in [
        (0.5, true, 2.0 - p + p * 2.0),
        (0.25, true, 2.0 / (1.0 - p)),
        (0.125, true, 2.0 / (1.0 - p)),
        (0.125, false, 2.0 - p + p * 8.0),
    ] {
        let shot = vec![(0.25, node(0)), (0.75, end(1.0))];
        let stuck = vec![(1.0 - left, to(1)), (left, end(0.0))];
        let nodes = [choice(0, may_restart, &[1])];
        let kernel = kernel(&nodes, &[vec![shot], vec![stuck]]);
        let solution = solved(&kernel);
        is_near(solution.value[0], wanted, 1.0e-9);
        let by_cost = total_cost::from_state(&kernel, &solution, StateId(0));
        is_near(mean(&by_cost), wanted, 1.0e-8);
    }
    let shot = vec![(0.25, node(0)), (0.75, end(1.0))];
    let kernel = kernel(&[choice(0, true, &[0])], &[vec![shot]]);
    is_near(solved(&kernel).value[0], (2.0 - p) / (1.0 - p), 1.0e-12);
}

/// Two states, a node at a cost of 1 before either, and one without a cost.
///
/// State 0: half to 1, half to the node of 0 and 2. State 1 ends at a further cost of 1. State 2 goes
/// to 1. V1 = 2, V2 = 3, V0 = 1 + ½ V1 + ½ (1 + min(V0, V2)) = 4, and V0 > V2 takes V2: 4.
#[test]
fn the_mean_is_the_value() {
    let kernel = kernel(
        &[choice(1, true, &[0, 2]), choice(0, false, &[1])],
        &[
            vec![vec![(0.5, to(1)), (0.5, node(0))]],
            vec![vec![(1.0, end(1.0))]],
            vec![vec![(1.0, node(1))]],
        ],
    );
    let solution = solved(&kernel);
    for (state, value) in [(0, 4.0), (1, 2.0), (2, 3.0)] {
        is_near(solution.value[state], value, 1.0e-12);
        let by_cost = total_cost::from_state(&kernel, &solution, StateId(state as u32));
        is_near(mean(&by_cost), value, 1.0e-12);
    }
    let by_cost = total_cost::from_state(&kernel, &solution, StateId(0));
    is_near(by_cost[3], 0.5, 1.0e-15);
    is_near(by_cost[5], 0.5, 1.0e-15);
}

/// A node that costs 2, an end at no further cost, and ends in between whole costs.
#[test]
fn nodes_and_ends_cost_what_they_say() {
    let shot = vec![(0.25, Outcome::Terminal(Terminal::END)), (0.75, node(0))];
    let ends = kernel(
        &[choice(2, true, &[1])],
        &[vec![shot], vec![vec![(1.0, end(1.0))]]],
    );
    let solution = solved(&ends);
    // V1 = 2, V0 = 0.25 + 0.75 (1 + 2 + 2) = 4; a restart costs no less.
    is_near(solution.value[0], 4.0, 1.0e-12);
    let by_cost = total_cost::from_state(&ends, &solution, StateId(0));
    assert_eq!(by_cost[1], 0.25);
    is_near(by_cost[5], 0.75, 1.0e-15);
    let between = kernel(&[], &[vec![vec![(1.0, end(1.25))]]]);
    let by_cost = total_cost::from_state(&between, &solved(&between), StateId(0));
    assert_eq!(by_cost, [0.0, 0.0, 0.75, 0.25, 0.0]);
}

/// A state that only leads to itself and to restarts has no proper policy: what leads there becomes a
/// restart, and a node loses it.
#[test]
fn states_that_never_end_are_taken_out() {
    let mut kernel = kernel(
        &[choice(1, true, &[1, 2]), choice(1, true, &[1])],
        &[
            vec![vec![(0.25, to(1)), (0.25, node(0)), (0.5, node(1))]],
            vec![
                vec![(0.5, to(1)), (0.5, Outcome::Restart)],
                vec![(1.0, node(1))],
            ],
            vec![vec![(1.0, end(0.0))]],
        ],
    );
    let kept = kernel.remove_improper();
    assert_eq!(kept, Some(vec![ActionId(0), ActionId(3)]));
    let action = kernel.transitions(ActionId(0));
    assert_eq!((action.restart(), action.states()), (0.75, &[][..]));
    assert_eq!(
        kernel.node(NodeId(0)).successors,
        [Successor::State(StateId(2))]
    );
    let solution = solved(&kernel);
    // V0 = 1 + ¾ (1 + V0) + ¼ (1 + V2), V2 = 1.
    is_near(solution.value[0], 9.0, 1.0e-9);
    assert_eq!(solution.value[1], f64::INFINITY);
    // Once more changes nothing.
    let before = kernel.clone();
    kernel.remove_improper();
    assert_eq!(kernel, before);
}

/// Probabilities that do not add to 1, and numbers that there are not, make no kernel.
#[test]
fn malformed_rows_are_refused() {
    let finished = |nodes: &[Written], outcomes: &[(f32, Outcome)]| {
        let mut builder = Builder::default();
        for (cost, may_restart, successors) in nodes {
            builder.node(*cost, *may_restart, successors.iter().copied());
        }
        builder.next_state();
        builder.action(outcomes.iter().copied());
        builder.finish().err()
    };
    let whole = [(1.0, end(0.0))];
    assert_eq!(finished(&[], &whole), None);
    let half = Malformed::Probabilities(ActionId(0), 0.5);
    assert_eq!(finished(&[], &[(0.5, Outcome::Restart)]), Some(half));
    let negative = finished(&[], &[(1.5, to(0)), (-0.5, Outcome::Restart)]);
    assert_eq!(negative, Some(Malformed::Probabilities(ActionId(0), 1.0)));
    assert!(finished(&[], &[(f32::NAN, to(0))]).is_some());
    assert_eq!(
        finished(&[], &[(1.0, to(1))]),
        Some(Malformed::State(StateId(1)))
    );
    assert_eq!(
        finished(&[], &[(1.0, node(0))]),
        Some(Malformed::Node(NodeId(0)))
    );
    for written in [choice(0, true, &[]), choice(3, true, &[0])] {
        let refused = Some(Malformed::Choice(NodeId(0)));
        assert_eq!(finished(&[written], &whole), refused);
    }
    let refused = Some(Malformed::State(StateId(1)));
    assert_eq!(finished(&[choice(1, true, &[1])], &whole), refused);
}

/// From the start's action half to 0 and half to the node of 1 and 2, of which 2 has the lesser value;
/// 0 leads to 1 and 2 in halves. A state beside the one that a node leads to counts as often as the
/// node. Four passes follow a self-loop four times: 1 + ½ + ¼ + ⅛.
#[test]
fn visits_are_counted() {
    let mut builder = Builder::default();
    let (_, _, successors) = choice(1, true, &[1, 2]);
    builder.node(1, true, successors);
    builder.action([(0.5, to(0)), (0.5, node(0))]);
    for outcomes in [
        &[(0.5, to(1)), (0.5, to(2))][..],
        &[(1.0, end(3.0))],
        &[(1.0, end(0.0))],
        &[(0.5, to(3)), (0.5, end(0.0))],
    ] {
        builder.next_state();
        builder.action(outcomes.iter().copied());
    }
    let kernel = builder.finish().expect("a kernel");
    let solution = solved(&kernel);
    let from = [
        (occupancy::Beginning::Start(0), 1.0),
        (occupancy::Beginning::State(StateId(3)), 1.0),
    ];
    let visits = occupancy::visits(&kernel, &solution, &from);
    assert_eq!(visits, [0.5, 0.5, 0.75, 1.875]);
}

/// A small kernel with nodes of both kinds, a restart and an end at a cost of 0.
fn small() -> Kernel {
    kernel(
        &[
            choice(1, true, &[1, 2]),
            choice(0, false, &[1]),
            choice(0, true, &[3]),
        ],
        &[
            vec![
                vec![(0.7, to(1)), (0.3, node(0))],
                vec![(0.5, end(1.6)), (0.3, to(2)), (0.2, node(2))],
            ],
            vec![
                vec![(0.7, end(1.3)), (0.2, Outcome::Restart), (0.1, end(0.0))],
                vec![(1.0, end(2.4))],
            ],
            vec![vec![(0.6, to(2)), (0.4, end(1.0))], vec![(1.0, node(1))]],
            vec![vec![(0.9, node(2)), (0.1, end(1.0))]],
        ],
    )
}

/// Utilities that fall with the total cost, each with the cost from which on they are nothing.
type Falling = (usize, fn(usize) -> f64);
const UTILITIES: [Falling; 3] = [
    (5, |_| 1.0),
    (6, |cost| 6.0 - cost as f64),
    (6, |cost| if cost < 4 { 1.0 } else { 0.3 }),
];

fn utility((worthless, of): Falling) -> Utility {
    Utility::new(
        worthless,
        |cost| if cost < worthless { of(cost) } else { 0.0 },
    )
}

/// Follows the actions of a finite horizon, and decides nodes by its values.
struct Follows<'a>(&'a FiniteHorizon);

impl Policy for Follows<'_> {
    fn action(&self, spent: usize, state: StateId) -> usize {
        let layer = self.0.actions.get(spent);
        layer.map_or(0, |layer| usize::from(layer[state.index()]))
    }
    fn loss(&self, spent: usize, state: StateId) -> f64 {
        spent as f64 - 1.0e3 * self.0.at(spent, state)
    }
    fn terminal_loss(&self, spent: usize, end: &Terminal) -> f64 {
        spent as f64 - 1.0e3 * self.0.utility.of_end(spent, &end.by_cost)
    }
}

/// The expected utility of the total cost, forward state by state; the same backward; and what the
/// layers found, which is the best policy's.
#[test]
fn backward_and_forward_agree() {
    let kernel = small();
    for falling in UTILITIES {
        let found = FiniteHorizon::of(&kernel, utility(falling));
        let policy = Follows(&found);
        let evaluated = found.utility.under(&kernel, &policy, 0);
        for (state, backward) in (0..).map(StateId).zip(&evaluated[0]) {
            let by_cost = total_cost::from_state(&kernel, &policy, state);
            let all = by_cost.iter().take(falling.0).enumerate();
            let forward: f64 = all.map(|(cost, share)| share * falling.1(cost)).sum();
            is_near(forward, *backward, 1.0e-6);
            is_near(found.at(0, state), *backward, 1.0e-6);
        }
        let late = found.utility.under(&kernel, &policy, 2);
        assert_eq!((&late[0], &late[2]), (&Vec::new(), &evaluated[2]));
    }
}

/// Every policy of three states at five costs, tried one by one: none is better than what the layers
/// find.
#[test]
fn nothing_beats_the_layers() {
    let mut states = vec![
        vec![
            vec![(0.7, to(1)), (0.3, node(0))],
            vec![(0.5, end(1.6)), (0.5, to(2))],
        ],
        vec![
            vec![(0.7, end(1.3)), (0.2, Outcome::Restart), (0.1, end(0.0))],
            vec![(1.0, end(2.4))],
        ],
        vec![vec![(0.6, to(2)), (0.4, end(1.0))], vec![(1.0, node(1))]],
    ];
    let nodes = [choice(1, true, &[1, 2]), choice(0, false, &[1])];
    let kernel = kernel(&nodes, &states);
    for falling in UTILITIES {
        let found = FiniteHorizon::of(&kernel, utility(falling)).at(0, StateId(0));
        let most = (0..1_u32 << 15)
            .map(|policy| followed((&nodes, &mut states), falling, policy, 0, 0))
            .fold(0.0, f64::max);
        is_near(found, most, 1.0e-6);
    }
}

/// The expected utility of a policy by following every branch; nodes are tried both ways, for the
/// better.
fn followed(
    (nodes, states): (&[Written], &mut Vec<Actions>),
    falling: Falling,
    policy: u32,
    state: usize,
    spent: usize,
) -> f64 {
    if spent > 4 {
        return 0.0;
    }
    let action = (policy >> (spent * 3 + state) & 1) as usize;
    let next = spent + 1;
    let (worthless, of) = falling;
    let worth = |cost: usize| if cost < worthless { of(cost) } else { 0.0 };
    let mut sum = 0.0;
    for (probability, outcome) in states[state][action].clone() {
        let mut go = |state: StateId, spent: usize| {
            followed((nodes, states), falling, policy, state.index(), spent)
        };
        let value = match outcome {
            Outcome::State(to) => go(to, next),
            Outcome::Restart => go(StateId(state as u32), next + 1),
            Outcome::Terminal(end) => {
                let all = end.by_cost.iter().enumerate();
                all.map(|(more, chance)| chance * worth(next + more)).sum()
            }
            Outcome::Node(node) => {
                let (cost, may_restart, successors) = &nodes[node.index()];
                let least = match may_restart {
                    true => go(StateId(state as u32), next + 1),
                    false => 0.0,
                };
                successors
                    .iter()
                    .fold(least, |most, successor| match successor {
                        Successor::State(to) => most.max(go(*to, next + *cost as usize)),
                        Successor::Terminal(_) => most,
                    })
            }
        };
        sum += f64::from(probability) * value;
    }
    sum
}

/// A random kernel: of every action 1/8 ends it at least, so that values are small.
fn random() -> impl Strategy<Value = Kernel> {
    const STATES: u32 = 6;
    const NODES: u32 = 4;
    let successor = prop_oneof![
        4 => (0..STATES).prop_map(|state| Successor::State(StateId(state))),
        1 => (0.0..3.0).prop_map(|mean| Successor::Terminal(terminal(mean))),
    ];
    let written = (
        0..3_u32,
        any::<bool>(),
        prop::collection::vec(successor, 1..4),
    );
    let outcome = prop_oneof![
        4 => (0..STATES).prop_map(to),
        2 => (0..NODES).prop_map(node),
        1 => Just(Outcome::Restart),
        2 => (0.0..3.0).prop_map(end),
    ];
    let outcomes = prop::collection::vec(outcome, 7).prop_map(|outcomes| {
        let outcomes = outcomes.into_iter().map(|outcome| (0.125, outcome));
        outcomes.chain([(0.125, end(1.5))]).collect::<Vec<_>>()
    });
    let actions = prop::collection::vec(outcomes, 1..4);
    let states = prop::collection::vec(actions, STATES as usize);
    let nodes = prop::collection::vec(written, NODES as usize);
    (nodes, states).prop_map(|(nodes, states)| kernel(&nodes, &states))
}

/// The values of the policy of a solution, its nodes decided by the values of that, by Gaussian
/// elimination of `(I − P) J = c`.
fn dense(kernel: &Kernel, solution: &Solution) -> Vec<f64> {
    let states = kernel.states();
    let mut rows = vec![vec![0.0; states + 1]; states];
    for (state, row) in rows.iter_mut().enumerate() {
        let action = kernel
            .transitions_of(StateId(state as u32), solution.policy[state] as usize)
            .expect("an action");
        row[state] += 1.0 - action.restart();
        row[states] += action.cost() + action.restart();
        for &(to, p) in action.states() {
            row[to.index()] -= f64::from(p);
        }
        for &(node, p) in action.nodes() {
            let (node, p) = (kernel.node(node), f64::from(p));
            let value = |successor: &Successor| match successor {
                Successor::State(to) => solution.value[to.index()],
                Successor::Terminal(end) => end.mean,
            };
            let mut successors = node.successors.to_vec();
            successors.sort_by(|a, b| value(a).total_cmp(&value(b)));
            let cost = f64::from(node.cost);
            if node.may_restart && cost + value(&successors[0]) > 1.0 + solution.value[state] {
                row[states] += p;
                row[state] -= p;
                continue;
            }
            row[states] += p * cost;
            match successors[0] {
                Successor::State(to) => row[to.index()] -= p,
                Successor::Terminal(end) => row[states] += p * end.mean,
            }
        }
    }
    for pivot in 0..states {
        let largest = (pivot..states).max_by(|a, b| {
            let (a, b) = (rows[*a][pivot].abs(), rows[*b][pivot].abs());
            a.total_cmp(&b)
        });
        rows.swap(pivot, largest.expect("a row"));
        let of_pivot = rows[pivot].clone();
        for (number, row) in rows.iter_mut().enumerate().filter(|(n, _)| *n != pivot) {
            let factor = row[pivot] / of_pivot[pivot];
            debug_assert!(number != pivot);
            for (here, there) in row.iter_mut().zip(&of_pivot) {
                *here -= factor * there;
            }
        }
    }
    let solve = |(number, row): (usize, &Vec<f64>)| row[states] / row[number];
    rows.iter().enumerate().map(solve).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// The values are those of the greedy policy by a dense solve, within the proven bounds; no other
    /// policy of one state has less; and the kernel under the policy has the same values.
    #[test]
    fn values_are_those_of_the_greedy_policy(kernel in random()) {
        let mut iteration = ValueIteration::new(&kernel, vec![0.0; kernel.states()]);
        let solution = iteration.solve(1.0e-12);
        let (under, _) = kernel.under(&solution.policy);
        let again = solved(&under);
        let actions = iteration.action_values(&solution.value);
        for (state, value) in dense(&kernel, &solution).into_iter().enumerate() {
            is_near(solution.value[state], value, 1.0e-8);
            is_near(again.value[state], value, 1.0e-8);
            let [low, high] = solution.bounds.of(solution.value[state]);
            prop_assert!(low <= value + 1.0e-9 && value <= high + 1.0e-9);
            let least = actions[kernel.actions_of(StateId(state as u32))].iter();
            is_near(least.copied().fold(f64::INFINITY, f64::min), value, 1.0e-8);
        }
    }

    /// The distribution of the total cost of the greedy policy has its value for a mean, and adds to 1.
    #[test]
    fn the_mean_of_the_distribution_is_the_value(kernel in random()) {
        let solution = solved(&kernel);
        for state in 0..kernel.states() {
            let by_cost = total_cost::from_state(&kernel, &solution, StateId(state as u32));
            is_near(by_cost.iter().sum(), 1.0, 1.0e-9);
            is_near(mean(&by_cost), solution.value[state], 1.0e-6);
        }
    }

    /// A utility that falls by 1 with every unit of cost to far beyond any that comes up: the best
    /// expected utility lacks just the value, and the greedy policy's own is no less.
    #[test]
    fn a_linear_utility_is_the_value(kernel in random()) {
        const FAR: usize = 120;
        let solution = solved(&kernel);
        let utility = Utility::new(FAR, |cost| FAR.saturating_sub(cost) as f64);
        let found = FiniteHorizon::of(&kernel, utility);
        let greedy = found.utility.under(&kernel, &solution, 0);
        for (state, value) in solution.value.iter().enumerate() {
            // Stored in single precision.
            is_near(FAR as f64 - found.at(0, StateId(state as u32)), *value, 1.0e-3);
            is_near(FAR as f64 - greedy[0][state], *value, 1.0e-4);
        }
    }

    /// Without restarts, self-loops and nodes to choose at, a first action of the start is worth what
    /// the values of its outcomes say.
    #[test]
    fn the_start_is_worth_its_outcomes(kernel in random(), first in 0..6_u32, second in 0..6_u32) {
        let mut builder = Builder::default();
        for node in (0..kernel.nodes() as u32).map(|n| kernel.node(NodeId(n))) {
            builder.node(node.cost, node.may_restart, node.successors.iter().copied());
        }
        builder.action([(0.25, to(first)), (0.25, to(second)), (0.5, end(2.0))]);
        for state in (0..kernel.states() as u32).map(StateId) {
            builder.next_state();
            for action in kernel.actions_of(state) {
                let action = kernel.transitions(ActionId(action as u32));
                builder.copy(action, Outcome::State, Outcome::Node);
            }
        }
        let solution = solved(&builder.finish().expect("a kernel"));
        let value = |state: u32| solution.value[state as usize];
        is_near(solution.start, 2.0 + 0.25 * (value(first) + value(second)), 1.0e-9);
        prop_assert_eq!(&solution.value, &solved(&kernel).value);
    }
}
