//! How often a hole takes how many strokes when it is played for something else
//! than fewest strokes, told on fresh balls.
//!
//! What [`aim_together`](super::aim_together) finds was chosen on the balls that it
//! was priced on, and is so still a little flattered. Here the plan of play
//! is held fixed and followed forward, stroke by stroke: where it does what fewest
//! strokes would do, on the balls of [`Whole::told`]; where it does something else,
//! on balls flown afresh for that. What hardly any hole comes by keeps the balls
//! that it was chosen on.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::action::Action;
use super::aims_of_play::Standing;
use super::answer::Whole;
use super::build;
use super::chain::Chain;
use super::explicit::{Choice, End, Explicit, NO_STATE, Node, Spot, State};
use super::lie::{LIES, Lie};
use super::scores::{After, Plays, Scores};
use crate::hole::Hole;
use crate::outcome::Day;

/// Fresh balls of a choice.
const BALLS: usize = 32;
/// A choice that comes up less often than this in a hole is not flown afresh.
const HARDLY_EVER: f64 = 3.0e-5;
/// What is to be had counts before strokes do: the strokes that all of it is worth.
const BEFORE_STROKES: f64 = 1.0e3;

/// A plan of play and where it begins.
#[derive(Clone, Copy)]
pub struct Plan<'a> {
    /// What is played for, on the states of [`Whole::explicit`]; once there is
    /// nothing to be had any more, it is played on for fewest strokes.
    pub standing: &'a Standing,
    /// Where the tee shot's balls are, on the same states.
    pub shot: &'a [(f64, After)],
}

/// The scores of each of these plans of play.
#[must_use]
pub fn scores_for(whole: &Whole, hole: &Hole, day: &Day, plans: &[Plan<'_>]) -> Vec<Scores> {
    let explicit = &whole.explicit;
    let usual = whole.usual();
    let mut seen: BTreeMap<(u32, usize), f64> = BTreeMap::new();
    for plan in plans {
        let plays = For {
            standing: plan.standing,
            value: &whole.chosen.value,
            mixed: None,
            usual: &usual,
        };
        let _ = Scores::seen_after(explicit, &plays, plan.shot, &mut |strokes, place, share| {
            let choice = plays.choice(strokes, place);
            if choice != usual[place] as usize {
                *seen.entry((place as u32, choice)).or_default() += share;
            }
        });
    }
    let mut wanted: BTreeMap<u32, Vec<Action>> = BTreeMap::new();
    for ((place, choice), share) in seen {
        if share >= HARDLY_EVER {
            let action = explicit.choices(place)[choice].action;
            wanted.entry(place).or_default().push(action);
        }
    }
    let fresh = build::fresh(explicit, hole, day, &wanted, BALLS);
    let mixed = Mixed::of(whole, &usual, &fresh, &wanted);
    plans
        .par_iter()
        .map(|plan| {
            let plays = For {
                standing: plan.standing,
                value: &mixed.value,
                mixed: Some(&mixed),
                usual: &usual,
            };
            Scores::after(&mixed, &plays, plan.shot)
        })
        .collect()
}

/// Somebody who plays for a standing, and for strokes when there is nothing left of it.
struct For<'a> {
    standing: &'a Standing,
    value: &'a [f64],
    /// Where choices are numbered as there; else as in the problem itself.
    mixed: Option<&'a Mixed<'a>>,
    usual: &'a [u32],
}

impl Plays for For<'_> {
    fn choice(&self, strokes: usize, place: usize) -> usize {
        let of_aim = (self.standing.of(strokes, place) > 0.0)
            .then(|| self.standing.choices[strokes][place] as usize);
        match (self.mixed, of_aim) {
            (None, Some(choice)) => choice,
            (None, None) => self.usual[place] as usize,
            (Some(_), Some(choice)) => choice + 1,
            (Some(_), None) => 0,
        }
    }
    fn loss(&self, strokes: usize, place: usize) -> f64 {
        strokes as f64 + self.value[place] - BEFORE_STROKES * self.standing.of(strokes, place)
    }
    fn loss_on_green(&self, strokes: usize, chances: [f64; 3]) -> f64 {
        let [one, two, three] = chances;
        let putts = one + 2.0 * two + 3.0 * three;
        strokes as f64 + putts - BEFORE_STROKES * self.standing.on_green(strokes, chances)
    }
}

/// Three ways of writing one hole out, as one chain: its places are those of
/// [`Whole::explicit`], then those that only [`Whole::told`] has. A ball that was flown
/// afresh for this and reached none of them is played from the nearest.
struct Mixed<'a> {
    sources: [&'a Explicit; 3],
    /// By source and its state, the place.
    places: [Vec<u32>; 3],
    /// By source, the number of its first relief.
    first_node: [u32; 3],
    nodes: Vec<Node>,
    /// By place: first what fewest strokes would do, then the problem's own
    /// choices in order; each with its source.
    choices: Vec<Vec<(usize, Choice)>>,
    /// By place, strokes to hole out.
    value: Vec<f64>,
    /// By place, whether it is among trees.
    woods: Vec<bool>,
}

const CHOSEN: usize = 0;
const TOLD: usize = 1;
const FRESH: usize = 2;

impl<'a> Mixed<'a> {
    fn of(
        whole: &'a Whole,
        usual: &[u32],
        fresh: &'a Explicit,
        wanted: &BTreeMap<u32, Vec<Action>>,
    ) -> Self {
        let explicit = &whole.explicit;
        let sources = [explicit, &whole.told, fresh];
        let mut value = whole.chosen.value.clone();
        let mut index = explicit.index.clone();
        let in_wood = |state: &State| state.lie == Lie::Recovery;
        let mut woods: Vec<bool> = explicit.states().iter().map(in_wood).collect();
        let own: Vec<u32> = (0..explicit.states().len() as u32).collect();
        let mut told = Vec::with_capacity(whole.told.states().len());
        for (state, at) in whole.told.states().iter().enumerate() {
            let slot = &mut index[at.cell as usize * LIES + at.lie as usize];
            if *slot == NO_STATE {
                *slot = value.len() as u32;
                value.push(whole.worth.value[state]);
                woods.push(in_wood(at));
            }
            told.push(*slot);
        }
        let flown: Vec<u32> = fresh
            .states()
            .iter()
            .map(|state| nearest(explicit, &index, state))
            .collect();
        let places = [own, told, flown];
        let mut nodes = Vec::new();
        let first_node = [CHOSEN, TOLD, FRESH].map(|source| {
            let first = nodes.len() as u32;
            for node in &sources[source].nodes {
                let place = |spot: &Spot| match *spot {
                    Spot::State(state) => Spot::State(places[source][state as usize]),
                    Spot::Green(away) => Spot::Green(away),
                };
                nodes.push(Node {
                    penalty: node.penalty,
                    spots: node.spots.iter().map(place).collect(),
                });
            }
            first
        });
        let mut choices: Vec<Vec<(usize, Choice)>> = vec![Vec::new(); value.len()];
        // What fewest strokes would do, on the freshest balls that there are.
        for (state, place) in places[TOLD].iter().enumerate() {
            let held = whole.worth.policy[state] as usize;
            if let Some(choice) = whole.told.choices(state as u32).get(held) {
                choices[*place as usize].push((TOLD, *choice));
            }
        }
        for ((place, state), here) in explicit.states().iter().enumerate().zip(&mut choices) {
            let own = explicit.choices(place as u32);
            let usual = usual[place] as usize;
            if here.is_empty() {
                here.extend(own.get(usual).map(|choice| (CHOSEN, *choice)));
            }
            let Some(first) = here.first().copied() else {
                continue;
            };
            let flown = wanted
                .get(&(place as u32))
                .and_then(|_| fresh.state(state.at, state.lie))
                .map_or(&[][..], |state| fresh.choices(state));
            for (index, choice) in own.iter().enumerate() {
                let again = flown.iter().find(|f| f.action == choice.action);
                here.push(match again {
                    _ if index == usual => first,
                    Some(again) => (FRESH, *again),
                    None => (CHOSEN, *choice),
                });
            }
        }
        Self {
            sources,
            places,
            first_node,
            nodes,
            choices,
            value,
            woods,
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

impl Chain for Mixed<'_> {
    fn may_go_back(&self, place: usize) -> bool {
        self.woods[place]
    }
    fn places(&self) -> usize {
        self.choices.len()
    }
    fn choices(&self, place: usize) -> usize {
        self.choices[place].len()
    }
    fn ways(&self, place: usize, choice: usize, mut visit: impl FnMut(f64, End)) {
        let (source, choice) = self.choices[place][choice];
        for way in self.sources[source].ways(&choice) {
            let end = match way.end {
                End::Lies(state) => End::Lies(self.places[source][state as usize]),
                End::Relief(node) => End::Relief(node + self.first_node[source]),
                End::Drop(node) => End::Drop(node + self.first_node[source]),
                end => end,
            };
            visit(f64::from(way.weight), end);
        }
    }
    fn relief(&self, node: u32) -> &Node {
        &self.nodes[node as usize]
    }
    fn reliefs(&self) -> usize {
        self.nodes.len()
    }
    fn putt_chances(&self, distance_m: f32) -> [f64; 3] {
        self.sources[CHOSEN].putt_chances(distance_m)
    }
}
