//! What becomes of the balls of states, side by side.

use rayon::prelude::*;

use super::action::Action;
use super::explicit::State;
use super::physics::{Physics, Raw, Scratch};

/// One choice's balls.
pub(super) type Flown = (Action, Vec<Raw>);

/// What is done with a state: the actions that are priced, and on how many balls.
pub(super) struct Chosen {
    pub actions: Vec<Action>,
    pub balls: usize,
}
pub(super) type Choose<'a> = dyn Fn(&State) -> Chosen + Sync + 'a;

/// What becomes of the balls of these states, in order.
///
/// They are flown in another: states that play the same balls from like distances one
/// after the other, so that these balls' flights are still in the cache. Those of all
/// swings are tens of megabytes; a sloping hole takes a tenth less for it.
pub(super) fn fly(physics: &Physics<'_>, states: &[State], choose: &Choose<'_>) -> Vec<Vec<Flown>> {
    let mut order: Vec<(WhichBalls, usize, Chosen)> = states
        .par_iter()
        .enumerate()
        .with_min_len(8)
        .map(|(index, state)| {
            let chosen = choose(state);
            (WhichBalls::of(physics, state, &chosen), index, chosen)
        })
        .collect();
    order.sort_unstable_by_key(|(balls, index, _)| (*balls, *index));
    let flown: Vec<(usize, Vec<Flown>)> = order
        .into_par_iter()
        .with_min_len(8)
        .map_init(Scratch::default, |scratch, (_, index, chosen)| {
            (index, fly_all(physics, &states[index], chosen, scratch))
        })
        .collect();
    let mut in_order: Vec<Vec<Flown>> = std::iter::repeat_with(Vec::new)
        .take(states.len())
        .collect();
    for (index, flown) in flown {
        in_order[index] = flown;
    }
    in_order
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

fn fly_all(
    physics: &Physics<'_>,
    state: &State,
    Chosen { actions, balls }: Chosen,
    scratch: &mut Scratch,
) -> Vec<Flown> {
    let mut flown = Vec::with_capacity(actions.len());
    for action in actions {
        let mut out = Vec::new();
        match action {
            Action::UNPLAYABLE => {}
            Action::PUTT => {
                if !physics.fringe_putts(state, balls, &mut out) {
                    continue;
                }
            }
            _ => physics.balls(state, action, balls, scratch, &mut out),
        }
        flown.push((action, out));
    }
    flown
}
