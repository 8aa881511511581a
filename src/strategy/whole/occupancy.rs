//! How often a policy comes by a state, and hits a swing.

use rayon::prelude::*;

use super::explicit::{Explicit, NO_STATE, State};
use super::grid::place;
use super::lie::{LIES, Lie};
use crate::hole::Hole;
use crate::mdp::occupancy::{Beginning, visits};
use crate::mdp::{Solution, StateId};

/// Tee shots within this of the best are looked at beside it, strokes.
const NEAR_BEST: f64 = 0.05;

/// The cells within a square that reaches so far each way from the middle of one tell how
/// often it is reached, m. A few balls touch some of the cells that they could come to: which
/// ones is luck. Cells of 4 m and more tell for themselves.
const NEAR_M: f32 = 5.0;

/// How often a state is reached, by `cell · LIES + lie`: the mean over the cells near it
/// that have this lie.
fn reach_near(explicit: &Explicit, reached: &[f64]) -> Vec<f32> {
    let problem = explicit.problem();
    let grid = &problem.grid;
    let off = (NEAR_M / grid.cell_m - 0.5) as usize;
    let has = |cell: usize, lie: usize| {
        explicit.index[cell * LIES + lie] != NO_STATE
            || problem.lie(cell).is_some_and(|l| l as usize == lie)
    };
    // From the few that are reached outwards: a hole has many more cells.
    let mut sums = vec![0.0_f32; grid.len() * LIES];
    for (state, reached) in explicit.states.iter().zip(reached) {
        if *reached > 0.0 {
            for near in square(grid.size, state.cell as usize, off) {
                sums[near * LIES + state.lie as usize] += *reached as f32;
            }
        }
    }
    sums.par_iter_mut().enumerate().for_each(|(slot, sum)| {
        if *sum > 0.0 {
            let (cell, lie) = (slot / LIES, slot % LIES);
            let have = square(grid.size, cell, off).filter(|&near| has(near, lie));
            *sum /= have.count().max(1) as f32;
        }
    });
    sums
}

/// How often states are reached, as [`reach_near`] tells it, from these starts; and from the
/// places that were asked for, which count as reached so often themselves.
pub(super) fn reach_asked(
    explicit: &Explicit,
    hole: &Hole,
    solution: &Solution,
    mut starts: Vec<(Beginning, f64)>,
    asked: f32,
) -> Vec<f32> {
    let lies = |state: usize| (Beginning::State(StateId(state as u32)), f64::from(asked));
    starts.extend(asked_for(explicit, hole).map(lies));
    let reached = visits(&explicit.kernel, solution, &starts);
    let mut often = reach_near(explicit, &reached);
    for state in asked_for(explicit, hole) {
        let often = &mut often[slot(&explicit.states[state])];
        *often = often.max(asked);
    }
    often
}

/// The states of places that were asked for.
fn asked_for(explicit: &Explicit, hole: &Hole) -> impl Iterator<Item = usize> {
    explicit.options.also.iter().filter_map(|&at| {
        let lie = Lie::on(hole.surface_at(place(at)))?;
        explicit.state(at, lie).map(|state| state as usize)
    })
}

/// Where a cell and a lie are kept.
pub(super) fn slot(state: &State) -> usize {
    state.cell as usize * LIES + state.lie as usize
}

/// The cells of a grid of so many columns and rows at most so many `off` one, row by row.
fn square([columns, rows]: [usize; 2], cell: usize, off: usize) -> impl Iterator<Item = usize> {
    let around =
        |middle: usize, most: usize| middle.saturating_sub(off)..(middle + off + 1).min(most);
    let across = around(cell % columns, columns);
    around(cell / columns, rows)
        .flat_map(move |row| across.clone().map(move |column| row * columns + column))
}

/// How often a hole every swing is hit from every lie, by `swing · LIES + lie`, after
/// the tee shot that is most for it among those near the best and those `beside`, each by
/// the states that its balls lie in.
pub(super) fn hit_often(
    explicit: &Explicit,
    solution: &Solution,
    beside: &[Vec<(u32, f64)>],
) -> Vec<f64> {
    let swings = &explicit.problem().swings;
    let near = solution.start_values.iter().enumerate();
    let near = near.filter(|(_, strokes)| **strokes <= solution.start + NEAR_BEST);
    let near = near.map(|(tee, _)| vec![(Beginning::Start(tee), 1.0)]);
    let starts: Vec<Vec<_>> = near.chain(beside.iter().map(|b| lying(b))).collect();
    let by_start: Vec<Vec<f64>> = starts
        .par_iter()
        .map(|starts| {
            let reached = visits(&explicit.kernel, solution, starts);
            let mut hit = vec![0.0; swings.len() * LIES];
            for (index, (state, share)) in explicit.states.iter().zip(&reached).enumerate() {
                let action = explicit.choices(index as u32);
                let action = action.get(solution.policy[index] as usize);
                let swing = action.map(|action| usize::from(action.swing));
                if let Some(swing) = swing.filter(|s| *s < swings.len()) {
                    hit[swing * LIES + swings[swing].flies_as(state.lie) as usize] += share;
                }
            }
            hit
        })
        .collect();
    let mut most = vec![0.0_f64; swings.len() * LIES];
    for hit in by_start {
        for (most, hit) in most.iter_mut().zip(hit) {
            *most = most.max(hit);
        }
    }
    most
}

/// Balls that lie in these states, each with its share.
pub(super) fn lying(states: &[(u32, f64)]) -> Vec<(Beginning, f64)> {
    let lies = |(state, share): &(u32, f64)| (Beginning::State(StateId(*state)), *share);
    states.iter().map(lies).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every cell has those of the square around it, cut at the edges, found here one by one.
    #[test]
    fn a_square_is_cut_at_the_edges() {
        let (size, off) = ([7, 5], 2);
        for cell in 0..35 {
            let near = |other: &usize| {
                (other % 7).abs_diff(cell % 7) <= off && (other / 7).abs_diff(cell / 7) <= off
            };
            let one_by_one: Vec<usize> = (0..35).filter(near).collect();
            let found: Vec<usize> = square(size, cell, off).collect();
            assert_eq!(found, one_by_one, "cell {cell}");
        }
    }
}
