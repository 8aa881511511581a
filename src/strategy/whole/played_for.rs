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
use super::chain::Chain;
use super::explicit::{Explicit, NO_STATE, Node, Spot, State};
use super::flat::Flat;
use super::lie::{LIES, Lie};
use super::objective::Standing;
use super::policy_evaluation::policy_evaluation;
use super::scores::{After, Plays, Scores};
use crate::hole::Hole;
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
    pub standing: &'a Standing,
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
        .map(|plan| Scores::after(&mixed, &mixed.plays(plan.standing, &usual), plan.shot))
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
    (standing, strokes): (&Standing, usize),
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
    policy_evaluation(&mixed, &plays, standing, strokes + 1)
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
                let Some(choice) = evaluated.choices(known).first() else {
                    return false;
                };
                let swing = usize::from(choice.action.swing);
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
        let mut hear = |strokes: usize, place: usize, share: f64| {
            let choice = plays.choice(strokes, place);
            if choice != usual[place] as usize || !well_evaluated[place] {
                seen.push(((place as u32, choice), share));
            }
        };
        let _ = Scores::seen_after(explicit, &plays, strokes, plan.shot, &mut hear);
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
        if let Some(choice) = explicit.choices(place).get(choice)
            && share >= if anew { HARDLY_EVER } else { SELDOM }
        {
            let wanted = wanted.entry(place).or_default();
            wanted.push((choice.action, share));
        }
    }
    wanted
}

/// Somebody who plays for a standing, and for strokes when there is nothing left of it.
struct For<'a> {
    standing: &'a Standing,
    value: &'a [f64],
    /// Whether choices are numbered as in [`Mixed`]; else as in the problem itself.
    mixed: bool,
    usual: &'a [u32],
}

impl Plays for For<'_> {
    fn choice(&self, strokes: usize, place: usize) -> usize {
        let of_aim = (self.standing.of(strokes, place) > 0.0)
            .then(|| self.standing.choices[strokes][place] as usize);
        match (self.mixed, of_aim) {
            (false, Some(choice)) => choice,
            (false, None) => self.usual[place] as usize,
            (true, Some(choice)) => choice + 1,
            (true, None) => 0,
        }
    }
    fn loss(&self, strokes: usize, place: usize) -> f64 {
        self.drop_loss(strokes, place) - BEFORE_STROKES * self.standing.of(strokes, place)
    }
    fn loss_on_green(&self, strokes: usize, chances: [f64; 3]) -> f64 {
        let to_be_had = self.standing.on_green(strokes, chances);
        self.drop_loss_on_green(strokes, chances) - BEFORE_STROKES * to_be_had
    }
    // As in [`standing_together`](super::pooled_objective::standing_together).
    fn drop_loss(&self, strokes: usize, place: usize) -> f64 {
        strokes as f64 + self.value[place]
    }
    fn drop_loss_on_green(&self, strokes: usize, [one, two, three]: [f64; 3]) -> f64 {
        strokes as f64 + one + 2.0 * two + 3.0 * three
    }
}

/// Three ways of writing one hole out, as one chain: its places are those of
/// [`Whole::explicit`], then those that only [`Whole::evaluated`] has. A ball that was flown
/// afresh for this and reached none of them is played from the nearest. The choices of a
/// place are what fewest strokes would do, then the problem's own in order.
struct Mixed<'a> {
    explicit: &'a Explicit,
    nodes: Vec<Node>,
    flat: Flat,
    /// By place, strokes to hole out.
    value: Vec<f64>,
}

/// One way of writing the hole out among the three.
struct Source<'a> {
    explicit: &'a Explicit,
    /// By its states, the place.
    places: Vec<u32>,
    /// The number of its first relief.
    first_node: u32,
}

impl<'a> Source<'a> {
    fn of(explicit: &'a Explicit, places: Vec<u32>, nodes: &mut Vec<Node>) -> Self {
        let first_node = nodes.len() as u32;
        for node in &explicit.nodes {
            let place = |spot: &Spot| match *spot {
                Spot::State(state) => Spot::State(places[state as usize]),
                Spot::Green(away) => Spot::Green(away),
            };
            nodes.push(Node {
                penalty: node.penalty,
                spots: node.spots.iter().map(place).collect(),
            });
        }
        Self {
            explicit,
            places,
            first_node,
        }
    }

    /// Adds one of its choices to a chain whose places among trees are evaluated.
    fn put(&self, state: u32, choice: usize, woods: &[bool], flat: &mut Flat) {
        flat.push_other(
            self.explicit.flat().ways(state as usize, choice),
            |there| self.places[there as usize],
            self.first_node,
            |place| woods[place as usize],
        );
    }
}

impl<'a> Mixed<'a> {
    fn of(
        whole: &'a Whole,
        usual: &[u32],
        fresh: &'a Explicit,
        wanted: &BTreeMap<u32, Vec<(Action, f64)>>,
    ) -> Self {
        let explicit = &whole.explicit;
        let mut value = whole.chosen.value.clone();
        let mut index = explicit.index.clone();
        let in_wood = |state: &State| state.lie == Lie::Recovery;
        let mut woods: Vec<bool> = explicit.states().iter().map(in_wood).collect();
        let own: Vec<u32> = (0..explicit.states().len() as u32).collect();
        let mut evaluated = Vec::with_capacity(whole.evaluated.states().len());
        for (state, at) in whole.evaluated.states().iter().enumerate() {
            let slot = &mut index[at.cell as usize * LIES + at.lie as usize];
            if *slot == NO_STATE {
                *slot = value.len() as u32;
                value.push(whole.worth.value[state]);
                woods.push(in_wood(at));
            }
            evaluated.push(*slot);
        }
        // By place, its state among those that are evaluated.
        let mut state_at = vec![NO_STATE; value.len()];
        for (state, place) in evaluated.iter().enumerate() {
            state_at[*place as usize] = state as u32;
        }
        let flown: Vec<u32> = fresh
            .states()
            .iter()
            .map(|state| nearest(explicit, &index, state))
            .collect();
        let mut nodes = Vec::new();
        let chosen = Source::of(explicit, own, &mut nodes);
        let evaluated = Source::of(&whole.evaluated, evaluated, &mut nodes);
        let fresh = Source::of(fresh, flown, &mut nodes);
        let mut flat = Flat::default();
        for (place, state) in state_at.into_iter().enumerate() {
            let here = explicit.states().get(place);
            let own = here.map_or(&[][..], |_| explicit.choices(place as u32));
            let kept = usual.get(place).map_or(0, |choice| *choice as usize);
            // What fewest strokes would do, on the freshest balls that there are.
            let held = (state != NO_STATE).then(|| whole.worth.policy[state as usize] as usize);
            let held = held.filter(|held| *held < whole.evaluated.choices(state).len());
            let flown = here
                .filter(|_| wanted.contains_key(&(place as u32)))
                .and_then(|here| fresh.explicit.state(here.at, here.lie));
            let put = |index: usize, flat: &mut Flat| {
                let again = flown.and_then(|flown| {
                    let all = fresh.explicit.choices(flown);
                    let same = all.iter().position(|f| f.action == own[index].action);
                    same.map(|at| (flown, at))
                });
                match (again, held) {
                    (Some((flown, at)), _) => fresh.put(flown, at, &woods, flat),
                    (_, Some(held)) if index == kept => evaluated.put(state, held, &woods, flat),
                    (None, _) => chosen.put(place as u32, index, &woods, flat),
                }
            };
            if kept < own.len() {
                put(kept, &mut flat);
                (0..own.len()).for_each(|index| put(index, &mut flat));
            } else if let Some(held) = held {
                evaluated.put(state, held, &woods, &mut flat);
            }
            flat.close_place();
        }
        Self {
            explicit,
            nodes,
            flat,
            value,
        }
    }

    fn plays<'b>(&'b self, standing: &'b Standing, usual: &'b [u32]) -> For<'b> {
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

impl Chain for Mixed<'_> {
    fn flat(&self) -> &Flat {
        &self.flat
    }
    fn relief(&self, node: u32) -> &Node {
        &self.nodes[node as usize]
    }
    fn reliefs(&self) -> usize {
        self.nodes.len()
    }
    fn putt_chances(&self, distance_m: f32) -> [f64; 3] {
        self.explicit.putt_chances(distance_m)
    }
}
