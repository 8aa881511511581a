//! How often a hole takes how many strokes when it is played for something else
//! than fewest strokes, evaluated on fresh balls.
//!
//! What [`pooled_objective`](super::pooled_objective) finds was chosen on the balls that it
//! was priced on, and so is still biased a little. Here the plan of play
//! is held fixed and followed forward, stroke by stroke: where it does what fewest
//! strokes would do, on the balls of [`Whole::evaluated`]; where it does something else, or
//! is where those never come, on balls flown afresh for that. What hardly any hole
//! comes by keeps the balls that it was chosen on.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::action::Action;
use super::answer::Whole;
use super::build;
use super::explicit::{Explicit, NO_STATE, State};
use super::lie::{LIES, Lie};
use super::scores::Scores;
use crate::hole::Hole;
use crate::mdp::{
    self, ActionId, After, FiniteHorizon, Kernel, NodeId, Outcome, Policy, StateId, Successor,
    Terminal, total_cost,
};
use crate::outcome::Day;

/// Fresh balls of a choice that is often met; of others fewer.
const BALLS: usize = 64;
/// A choice that comes up less often than this in a hole is not flown afresh.
const HARDLY_EVER: f64 = 3.0e-5;
/// One that fewest strokes would make too and a few fresh balls tell already, not where it
/// comes up less often than this.
const SELDOM: f64 = 3.0e-4;
/// What fewest strokes would do is evaluated well enough for a shot that leads there by so many
/// balls, out of so many launches; fewer are flown afresh.
const ENOUGH_BALLS: u16 = 32;
const ENOUGH_LAUNCHES: u32 = 1024;
/// What is to be had counts before strokes do: the strokes that all of it is worth.
const BEFORE_STROKES: f64 = 1.0e3;

/// A plan of play and where it begins.
#[derive(Clone, Copy)]
pub struct Plan<'a> {
    /// What is played for, on the states of [`Whole::explicit`]; once there is
    /// nothing to be had any more, it is played on for fewest strokes.
    pub standing: &'a FiniteHorizon,
    /// Where the tee shot's balls are, on the same states.
    pub shot: &'a [(f64, After)],
}

/// The scores of each of these plans of play.
#[must_use]
pub fn scores_for(whole: &Whole, hole: &Hole, day: &Day, plans: &[Plan<'_>]) -> Vec<Scores> {
    let usual = whole.usual();
    let evaluated = evaluated(whole, 0, 0);
    let wanted = wanted(whole, &usual, (&evaluated, &evaluated), 0, plans);
    let fresh = build::fresh(&whole.explicit, hole, day, &wanted, BALLS);
    let mixed = Mixed::of(whole, &usual, &fresh, &wanted);
    plans
        .par_iter()
        .map(|plan| {
            let plays = mixed.plays(plan.standing, &usual);
            Scores::after(&mixed.kernel, &plays, plan.shot)
        })
        .collect()
}

/// What playing on for a standing is worth by strokes played and state of
/// [`Whole::explicit`], on fresh balls wherever these shots lead to, which are played
/// after `strokes`; evaluated from the stroke after them on.
#[must_use]
pub fn worth_for(
    whole: &Whole,
    hole: &Hole,
    day: &Day,
    (standing, strokes): (&FiniteHorizon, usize),
    shots: &[Vec<(f64, After)>],
) -> Vec<Vec<f64>> {
    let plans: Vec<Plan<'_>> = shots.iter().map(|shot| Plan { standing, shot }).collect();
    let usual = whole.usual();
    let evaluated = [
        evaluated(whole, 0, 0),
        evaluated(whole, ENOUGH_BALLS, ENOUGH_LAUNCHES),
    ];
    let wanted = wanted(
        whole,
        &usual,
        (&evaluated[0], &evaluated[1]),
        strokes,
        &plans,
    );
    let fresh = build::fresh(&whole.explicit, hole, day, &wanted, BALLS);
    let mixed = Mixed::of(whole, &usual, &fresh, &wanted);
    let plays = mixed.plays(standing, &usual);
    standing.utility.under(&mixed.kernel, &plays, strokes + 1)
}

/// By state, whether [`Whole::evaluated`] knows it by so many balls, out of so many launches.
fn evaluated(whole: &Whole, balls: u16, launches: u32) -> Vec<bool> {
    let evaluated = &whole.evaluated;
    let swings = &evaluated.problem().swings;
    whole
        .explicit
        .states()
        .iter()
        .map(|state| {
            let known = evaluated.state(state.at, state.lie);
            known.is_some_and(|known| {
                let Some(action) = evaluated.choices(known).first() else {
                    return false;
                };
                let swing = usize::from(action.swing);
                let slot = swings
                    .get(swing)
                    .map(|s| swing * LIES + s.flies_as(state.lie) as usize);
                let pool = slot.and_then(|slot| evaluated.pools().get(slot));
                evaluated.balls(known) >= balls && pool.is_none_or(|pool| *pool >= launches)
            })
        })
        .collect()
}

/// By state the actions that these plans take there and [`Whole::evaluated`] has not flown
/// as often as it should, each shot played after so many strokes, and how often; what
/// hardly ever comes up left out.
fn wanted(
    whole: &Whole,
    usual: &[u32],
    (evaluated, well_evaluated): (&[bool], &[bool]),
    strokes: usize,
    plans: &[Plan<'_>],
) -> BTreeMap<u32, Vec<(Action, f64)>> {
    let explicit = &whole.explicit;
    let unevaluated = |plan: &Plan<'_>| {
        let plays = For {
            standing: plan.standing,
            value: &whole.chosen.value,
            mixed: false,
            usual,
        };
        let mut seen: Vec<((u32, usize), f64)> = Vec::new();
        let mut hear = |strokes: usize, state: StateId, share: f64| {
            let choice = plays.action(strokes, state);
            if choice != usual[state.index()] as usize || !well_evaluated[state.index()] {
                seen.push(((state.0, choice), share));
            }
        };
        let _ = total_cost::after(
            &explicit.kernel,
            &plays,
            strokes,
            plan.shot,
            Some(&mut hear),
        );
        seen
    };
    let seen_by_plan: Vec<_> = plans.par_iter().map(unevaluated).collect();
    let mut seen: BTreeMap<(u32, usize), f64> = BTreeMap::new();
    for (choice, share) in seen_by_plan.into_iter().flatten() {
        *seen.entry(choice).or_default() += share;
    }
    let mut wanted: BTreeMap<u32, Vec<(Action, f64)>> = BTreeMap::new();
    for ((place, choice), share) in seen {
        let anew = choice != usual[place as usize] as usize || !evaluated[place as usize];
        if let Some(action) = explicit.choices(place).get(choice)
            && share >= if anew { HARDLY_EVER } else { SELDOM }
        {
            let wanted = wanted.entry(place).or_default();
            wanted.push((*action, share));
        }
    }
    wanted
}

/// Somebody who plays for a standing, and for strokes when there is nothing left of it.
struct For<'a> {
    standing: &'a FiniteHorizon,
    value: &'a [f64],
    /// Whether choices are numbered as in [`Mixed`]; else as in the problem itself.
    mixed: bool,
    usual: &'a [u32],
}

impl Policy for For<'_> {
    fn action(&self, strokes: usize, state: StateId) -> usize {
        let of_aim = (self.standing.at(strokes, state) > 0.0)
            .then(|| self.standing.actions[strokes][state.index()] as usize);
        match (self.mixed, of_aim) {
            (false, Some(choice)) => choice,
            (false, None) => self.usual[state.index()] as usize,
            (true, Some(choice)) => choice + 1,
            (true, None) => 0,
        }
    }
    fn loss(&self, strokes: usize, state: StateId) -> f64 {
        self.successor_loss(strokes, state) - BEFORE_STROKES * self.standing.at(strokes, state)
    }
    fn terminal_loss(&self, strokes: usize, end: &Terminal) -> f64 {
        let to_be_had = self.standing.utility.of_end(strokes, &end.by_cost);
        self.terminal_successor_loss(strokes, end) - BEFORE_STROKES * to_be_had
    }
    // As in [`standing_together`](super::pooled_objective::standing_together).
    fn successor_loss(&self, strokes: usize, state: StateId) -> f64 {
        strokes as f64 + self.value[state.index()]
    }
    fn terminal_successor_loss(&self, strokes: usize, end: &Terminal) -> f64 {
        let [_, one, two, three] = end.by_cost;
        strokes as f64 + one + 2.0 * two + 3.0 * three
    }
}

/// Three tabular problems of one hole as one kernel: its states are those of
/// [`Whole::explicit`], then those that only [`Whole::evaluated`] has. A ball that was flown
/// afresh for this and reached none of them is played from the nearest. The actions of a
/// state are what fewest strokes would do, then the problem's own in order.
struct Mixed {
    kernel: Kernel,
    /// By state, strokes to hole out.
    value: Vec<f64>,
}

/// One problem of the three.
struct Source<'a> {
    explicit: &'a Explicit,
    /// By its states, the state of the mixed kernel.
    states: Vec<u32>,
    /// By its nodes, the outcome in the mixed kernel.
    nodes: Vec<Outcome>,
}

/// By state of the mixed kernel, the node where a ball among trees may be replayed.
type Woods = [Option<NodeId>];

fn lies(state: u32, woods: &Woods) -> Outcome {
    woods[state as usize].map_or(Outcome::State(StateId(state)), Outcome::Node)
}

impl<'a> Source<'a> {
    fn of(
        explicit: &'a Explicit,
        states: Vec<u32>,
        woods: &Woods,
        kernel: &mut mdp::Builder,
    ) -> Self {
        let moved = |successor: &Successor| match *successor {
            Successor::State(state) => Successor::State(StateId(states[state.index()])),
            end @ Successor::Terminal(_) => end,
        };
        let all =
            (0..explicit.kernel.nodes() as u32).map(|node| explicit.kernel.node(NodeId(node)));
        let nodes = all.map(|node| match node.passes_to() {
            Some(state) => lies(states[state.index()], woods),
            // Where it has been decided who goes back, that is open again.
            None => {
                let successors = node.successors.iter().map(moved);
                Outcome::Node(kernel.node(node.cost, node.cost > 0, successors))
            }
        });
        let nodes = nodes.collect();
        Self {
            explicit,
            states,
            nodes,
        }
    }

    /// Adds one of its actions to the kernel.
    fn put(&self, state: u32, action: usize, woods: &Woods, kernel: &mut mdp::Builder) {
        let all = &self.explicit.kernel;
        let action = all.actions_of(StateId(state)).start + action;
        let lies = |state: StateId| lies(self.states[state.index()], woods);
        let action = all.transitions(ActionId(action as u32));
        kernel.copy(action, lies, |node| self.nodes[node.index()]);
    }
}

impl Mixed {
    fn of(
        whole: &Whole,
        usual: &[u32],
        fresh: &Explicit,
        wanted: &BTreeMap<u32, Vec<(Action, f64)>>,
    ) -> Self {
        let explicit = &whole.explicit;
        let mut value = whole.chosen.value.clone();
        let mut index = explicit.index.clone();
        let mut kernel = mdp::Builder::default();
        let mut woods: Vec<Option<NodeId>> = Vec::with_capacity(value.len());
        let mut wood = |number: usize, state: &State| {
            let successor = Successor::State(StateId(number as u32));
            (state.lie == Lie::Recovery).then(|| kernel.node(0, true, [successor]))
        };
        for (number, state) in explicit.states().iter().enumerate() {
            woods.push(wood(number, state));
        }
        let own: Vec<u32> = (0..explicit.states().len() as u32).collect();
        let mut evaluated = Vec::with_capacity(whole.evaluated.states().len());
        for (state, at) in whole.evaluated.states().iter().enumerate() {
            let slot = &mut index[at.cell as usize * LIES + at.lie as usize];
            if *slot == NO_STATE {
                *slot = value.len() as u32;
                woods.push(wood(value.len(), at));
                value.push(whole.worth.value[state]);
            }
            evaluated.push(*slot);
        }
        // By state, its number among those that are evaluated.
        let mut state_at = vec![NO_STATE; value.len()];
        for (state, place) in evaluated.iter().enumerate() {
            state_at[*place as usize] = state as u32;
        }
        let flown: Vec<u32> = fresh
            .states()
            .iter()
            .map(|state| nearest(explicit, &index, state))
            .collect();
        let chosen = Source::of(explicit, own, &woods, &mut kernel);
        let evaluated = Source::of(&whole.evaluated, evaluated, &woods, &mut kernel);
        let fresh = Source::of(fresh, flown, &woods, &mut kernel);
        for (place, state) in state_at.into_iter().enumerate() {
            kernel.next_state();
            let here = explicit.states().get(place);
            let own = here.map_or(&[][..], |_| explicit.choices(place as u32));
            let kept = usual.get(place).map_or(0, |choice| *choice as usize);
            // What fewest strokes would do, on the freshest balls that there are.
            let held = (state != NO_STATE).then(|| whole.worth.policy[state as usize] as usize);
            let held = held.filter(|held| *held < whole.evaluated.choices(state).len());
            let flown = here
                .filter(|_| wanted.contains_key(&(place as u32)))
                .and_then(|here| fresh.explicit.state(here.at, here.lie));
            let mut put = |index: usize| {
                let again = flown.and_then(|flown| {
                    let all = fresh.explicit.choices(flown);
                    let same = all.iter().position(|action| *action == own[index]);
                    same.map(|at| (flown, at))
                });
                match (again, held) {
                    (Some((flown, at)), _) => fresh.put(flown, at, &woods, &mut kernel),
                    (_, Some(held)) if index == kept => {
                        evaluated.put(state, held, &woods, &mut kernel);
                    }
                    (None, _) => chosen.put(place as u32, index, &woods, &mut kernel),
                }
            };
            if kept < own.len() {
                put(kept);
                (0..own.len()).for_each(put);
            } else if let Some(held) = held {
                evaluated.put(state, held, &woods, &mut kernel);
            }
        }
        Self {
            kernel: kernel
                .finish()
                .expect("actions of kernels, on states that have been numbered"),
            value,
        }
    }

    fn plays<'b>(&'b self, standing: &'b FiniteHorizon, usual: &'b [u32]) -> For<'b> {
        For {
            standing,
            value: &self.value,
            mixed: true,
            usual,
        }
    }
}

/// The place of a state, or the nearest in its lie within 2 cells, or the nearest that
/// the problem has at all.
fn nearest(explicit: &Explicit, index: &[u32], state: &State) -> u32 {
    let grid = &explicit.problem().grid;
    let mut best: Option<(f32, u32)> = None;
    let middle = grid.middle(state.cell as usize);
    for down in -2..=2_i8 {
        for right in -2..=2_i8 {
            let off = [
                f32::from(right) * grid.cell_m,
                f32::from(down) * grid.cell_m,
            ];
            let cell = grid.cell(middle[0] + off[0], middle[1] + off[1]);
            let place = index[cell * LIES + state.lie as usize];
            let away = off[0].hypot(off[1]);
            if place != NO_STATE && best.is_none_or(|b| away < b.0) {
                best = Some((away, place));
            }
        }
    }
    let far = |other: &State| {
        let away = (other.at[0] - state.at[0]).hypot(other.at[1] - state.at[1]);
        (other.lie != state.lie, away)
    };
    if let Some((_, place)) = best {
        return place;
    }
    let all = explicit.states().iter().enumerate();
    let near = all.min_by(|a, b| {
        let (a, b) = (far(a.1), far(b.1));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    near.map_or(0, |(place, _)| place as u32)
}
