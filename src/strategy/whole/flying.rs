//! What becomes of the balls of states, side by side.

use rayon::prelude::*;

use super::action::Action;
use super::explicit::State;
use super::physics::{Physics, Raw, Scratch};

/// One choice's balls.
pub(super) type Flown = (Action, Vec<Raw>);

/// What is done with a state.
pub(super) enum Doing<'a> {
    Flies(Chosen),
    /// This has been flown before.
    Known(&'a [Flown]),
}

/// The actions that are priced, and on how many balls.
pub(super) struct Chosen {
    pub actions: Vec<Action>,
    pub balls: usize,
}
pub(super) type Choose<'a> = dyn Fn(&State) -> Doing<'a> + Sync + 'a;

/// Balls that are brought to rest together, at least: of a shot's own few, lanes would be
/// left idle. The number was not tuned.
const TOGETHER: usize = 256;

/// A state's number, and what is done with it.
type Job = (WhichBalls, usize, Chosen);

/// What becomes of the balls of these states, in order.
///
/// They are flown in another: states that play the same balls from like distances one
/// after the other, so that these balls' flights are still in the cache. Those of all
/// swings are tens of megabytes; a sloping hole takes a tenth less for it.
pub(super) fn fly(physics: &Physics<'_>, states: &[State], choose: &Choose<'_>) -> Vec<Vec<Flown>> {
    let doing: Vec<Doing<'_>> = states.par_iter().with_min_len(8).map(choose).collect();
    let mut in_order: Vec<Vec<Flown>> = Vec::with_capacity(states.len());
    let mut order: Vec<Job> = Vec::with_capacity(states.len());
    for (index, (state, doing)) in states.iter().zip(doing).enumerate() {
        in_order.push(match doing {
            Doing::Known(flown) => flown.to_vec(),
            Doing::Flies(chosen) => {
                order.push((WhichBalls::of(physics, state, &chosen), index, chosen));
                Vec::new()
            }
        });
    }
    order.sort_unstable_by_key(|(balls, index, _)| (*balls, *index));
    let flown: Vec<Vec<Vec<Flown>>> = groups(&order)
        .into_par_iter()
        .map_init(Scratch::default, |scratch, group| {
            fly_group(physics, states, group, scratch)
        })
        .collect();
    for ((_, index, _), flown) in order.iter().zip(flown.into_iter().flatten()) {
        in_order[*index] = flown;
    }
    in_order
}

/// Jobs side by side with [`TOGETHER`] balls, or what is left at the end.
fn groups(mut order: &[Job]) -> Vec<&[Job]> {
    let mut groups = Vec::new();
    while !order.is_empty() {
        let mut balls = 0;
        let enough = order.iter().position(|(_, _, chosen)| {
            balls += chosen.actions.len() * chosen.balls;
            balls >= TOGETHER
        });
        let (group, rest) = order.split_at(enough.map_or(order.len(), |last| last + 1));
        groups.push(group);
        order = rest;
    }
    groups
}

/// Which balls a state plays, and from how far.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct WhichBalls {
    part: usize,
    lie: u8,
    bands_to_pin: u32,
}

/// Balls of a part, and m of a band.
const PART_BALLS: usize = 32;
const BAND_M: f64 = 12.0;

impl WhichBalls {
    fn of(physics: &Physics<'_>, state: &State, chosen: &Chosen) -> Self {
        let first = chosen
            .actions
            .iter()
            .find_map(|&action| physics.first_ball(state, action, chosen.balls));
        Self {
            part: first.unwrap_or(0) / PART_BALLS,
            lie: state.lie as u8,
            bands_to_pin: (physics.problem.to_pin_m(state.at) / BAND_M) as u32,
        }
    }
}

/// What becomes of the balls of each job.
fn fly_group(
    physics: &Physics<'_>,
    states: &[State],
    group: &[Job],
    scratch: &mut Scratch,
) -> Vec<Vec<Flown>> {
    let is_swing = |action: Action| !matches!(action, Action::UNPLAYABLE | Action::PUTT);
    scratch.clear();
    let mut counts = Vec::new();
    for (_, index, Chosen { actions, balls }) in group {
        for &action in actions.iter().filter(|action| is_swing(**action)) {
            counts.push(physics.hit(&states[*index], action, *balls, scratch));
        }
    }
    let (mut fallen, mut counts) = (physics.settle(scratch), counts.into_iter());
    let mut of = |state: &State, action: Action, balls: usize| match action {
        Action::UNPLAYABLE => Some(Vec::new()),
        Action::PUTT => physics.fringe_putts(state, balls),
        _ => Some(fallen.by_ref().take(counts.next().unwrap_or(0)).collect()),
    };
    let job = |(_, index, chosen): &Job| {
        let actions = chosen.actions.iter();
        actions
            .filter_map(|&action| Some((action, of(&states[*index], action, chosen.balls)?)))
            .collect()
    };
    group.iter().map(job).collect()
}
