//! A tee shot's balls put back on the states of a tabular hole.
//!
//! A ball between cells is shared out among those whose values
//! [`Policy::value`] blends, so that the mean score after a shot is its price.

use arrayvec::ArrayVec;

use super::answer::Whole;
use super::explicit::Explicit;
use super::grid::spread;
use super::lie::Lie;
use super::policy::Policy;
use crate::hole::{Coord, Surface};
use crate::mdp::{After, StateId};
use crate::outcome::{Rest, is_penalty};
use crate::strategy::rules::{Rules, StrokesFrom};

/// At most four states, each with its share. Prices ask for many: no heap.
pub type Shares = ArrayVec<(f64, u32), 4>;

/// The states that stand for a place on a surface, with their shares; none where
/// no state with the lie is near.
#[must_use]
pub fn shares(explicit: &Explicit, surface: Surface, at: Coord<f64>) -> Shares {
    let grid = &explicit.problem().grid;
    let place = [at.x as f32, at.y as f32];
    let lie = Lie::on(surface).unwrap_or(Lie::Rough);
    let mut out = Shares::new();
    for (cell, weight) in grid.around(place) {
        if let Some(state) = playable(explicit, cell, lie) {
            out.push((f64::from(weight), state));
        }
    }
    let weights: f64 = out.iter().map(|share| share.0).sum();
    if weights > 1.0e-9 {
        out.iter_mut().for_each(|share| share.0 /= weights);
        return out;
    }
    let mut best: Option<(f32, u32)> = None;
    for down in -2..=2_i8 {
        for right in -2..=2_i8 {
            let there = [
                place[0] + f32::from(right) * grid.cell_m,
                place[1] + f32::from(down) * grid.cell_m,
            ];
            let cell = grid.cell(there[0], there[1]);
            let Some(state) = playable(explicit, cell, lie) else {
                continue;
            };
            let middle = grid.middle(cell);
            let away = (middle[0] - place[0]).powi(2) + (middle[1] - place[1]).powi(2);
            if best.is_none_or(|b| away < b.0) {
                best = Some((away, state));
            }
        }
    }
    best.map(|b| (1.0, b.1)).into_iter().collect()
}

/// The nearest state of any lie, by cell: for worths that have nothing else to go by.
pub struct Nearest {
    /// None where none is within [`FAR_CELLS`].
    by_cell: Vec<Option<u32>>,
}

impl Nearest {
    /// Found from the states outwards, a ring of cells after the other.
    #[must_use]
    pub fn of(explicit: &Explicit) -> Self {
        let grid = &explicit.problem().grid;
        let mut by_cell = vec![None; grid.len()];
        let mut first: Vec<usize> = Vec::new();
        for (index, state) in explicit.states().iter().enumerate() {
            let cell = state.cell as usize;
            if by_cell[cell].is_none() && !explicit.choices(index as u32).is_empty() {
                by_cell[cell] = Some(index as u32);
                first.push(cell);
            }
        }
        spread(grid.size, &mut by_cell, first, FAR_CELLS);
        Self { by_cell }
    }

    /// The state that stands for a cell in a lie.
    #[must_use]
    pub fn state(&self, explicit: &Explicit, cell: usize, lie: Lie) -> Option<u32> {
        playable(explicit, cell, lie).or(self.by_cell[cell])
    }

    /// What [`shares`] says, or the nearest state.
    #[must_use]
    pub fn shares(&self, explicit: &Explicit, surface: Surface, at: Coord<f64>) -> Shares {
        let near = shares(explicit, surface, at);
        if !near.is_empty() {
            return near;
        }
        let state = self.by_cell[explicit.problem().grid.cell(at.x as f32, at.y as f32)];
        state.map(|state| (1.0, state)).into_iter().collect()
    }
}

/// How far off a state may stand for a place that no ball of the solver's
/// reached, cells.
const FAR_CELLS: usize = 12;

fn playable(explicit: &Explicit, cell: usize, lie: Lie) -> Option<u32> {
    explicit
        .state_in(cell, lie)
        .filter(|state| !explicit.choices(*state).is_empty())
}

/// The nearest state of all, of the same lie if there is one: for what no ball
/// of the solver's reached.
fn nearest(explicit: &Explicit, surface: Surface, at: Coord<f64>) -> Option<u32> {
    let lie = Lie::on(surface).unwrap_or(Lie::Rough);
    let place = [at.x as f32, at.y as f32];
    let mut best: Option<((bool, f32), u32)> = None;
    for (index, state) in explicit.states().iter().enumerate() {
        if explicit.choices(index as u32).is_empty() {
            continue;
        }
        let away = (state.at[0] - place[0]).powi(2) + (state.at[1] - place[1]).powi(2);
        let key = (state.lie != lie, away);
        if best.is_none_or(|b| key < b.0) {
            best = Some((key, index as u32));
        }
    }
    best.map(|b| b.1)
}

/// A solved hole's worth as it is evaluated: on fresh balls where these reach, else
/// on the balls that the policy was chosen on.
#[derive(Clone, Copy)]
pub struct Evaluated<'a>(pub &'a Whole);

impl Evaluated<'_> {
    /// Strokes to hole out from a place on a surface.
    #[must_use]
    pub fn at(&self, surface: Surface, at: Coord<f64>) -> f64 {
        // It knows how far the pin is.
        self.strokes_from(surface, at, 0.0)
    }
}

impl StrokesFrom for Evaluated<'_> {
    fn strokes_from(&self, surface: Surface, at: Coord<f64>, to_pin_m: f64) -> f64 {
        if surface == Surface::Green {
            return self.0.evaluating().value(surface, at);
        }
        let shares = shares(&self.0.evaluated, surface, at);
        if shares.is_empty() {
            return self.0.choosing().strokes_from(surface, at, to_pin_m);
        }
        shares
            .into_iter()
            .map(|(share, state)| share * self.0.worth.value[state as usize])
            .sum()
    }

    fn compared_at(&self, surface: Surface, at: Coord<f64>, to_pin_m: f64) -> f64 {
        self.0.choosing().strokes_from(surface, at, to_pin_m)
    }
}

/// Where the balls of a tee shot are played from next, each with its share. A
/// ball in a penalty area is dropped where `rules` find it best, or the shot is
/// played again where that is worth less, as it is instead of a ball among trees:
/// `strokes` is what the tee is worth with this shot.
#[must_use]
pub fn after(
    policy: &Policy<'_>,
    rules: &Rules<'_>,
    rests: &[Rest],
    strokes: f64,
) -> Vec<(f64, After)> {
    let explicit = policy.explicit;
    let problem = explicit.problem();
    let each = 1.0 / rests.len().max(1) as f64;
    let mut out = Vec::with_capacity(2 * rests.len());
    for rest in rests {
        let mut lies = |surface: Surface, at: Coord<f64>, dropped: bool| {
            let penalty = u32::from(dropped);
            if surface == Surface::Green {
                let away = problem.to_pin_m([at.x as f32, at.y as f32]) as f32;
                let end = problem.green(away);
                return out.push((each, After::Terminal(penalty, end.by_cost)));
            }
            let mut shares = shares(explicit, surface, at);
            if shares.is_empty() {
                shares.extend(nearest(explicit, surface, at).map(|state| (1.0, state)));
            }
            for (share, state) in shares {
                out.push((each * share, After::State(penalty, StateId(state))));
            }
        };
        match rest.surface {
            Surface::OutOfBounds => out.push((each, After::Restart)),
            surface if is_penalty(surface) => {
                let spot = rest
                    .crossed
                    .and_then(|crossed| rules.drop_spot(crossed, surface == Surface::PenaltyRed));
                match spot.filter(|(_, value)| *value <= strokes) {
                    Some((at, _)) => lies(rules.surface_at(at), at, true),
                    None => out.push((each, After::Restart)),
                }
            }
            Surface::Trees if rules.worth_lying(rest) > 1.0 + strokes => {
                out.push((each, After::Restart));
            }
            _ if rules.worth_lying(rest).is_infinite() => out.push((each, After::Restart)),
            surface => lies(surface, rest.at, false),
        }
    }
    out
}
