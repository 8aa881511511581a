//! How often a policy comes by a state, and hits a swing.

use super::explicit::{Choice, End, Explicit, Spot};
use super::lie::LIES;
use super::solver::Solution;

/// Tee shots within this of the best are looked at beside it, strokes.
const NEAR_BEST: f64 = 0.05;

/// Adds to every state how often the policy comes by it after `share` of a tee
/// shot. Balls that go back to where they were are not followed again. Every
/// place of a relief is looked at as often as the relief is taken.
pub(super) fn add_reach(
    explicit: &Explicit,
    solution: &Solution,
    tee: &Choice,
    share: f64,
    reached: &mut [f64],
) {
    /// Passes from far to near: a ball seldom goes back more often.
    const PASSES: usize = 4;
    let mut coming = vec![0.0_f64; reached.len()];
    let mut order: Vec<u32> = (0..reached.len() as u32).collect();
    order.sort_by(|a, b| solution.value[*b as usize].total_cmp(&solution.value[*a as usize]));
    let best = |node: u32| {
        let states = explicit.nodes[node as usize]
            .spots
            .iter()
            .filter_map(|s| match *s {
                Spot::State(state) => Some(state),
                Spot::Green(_) => None,
            });
        states.min_by(|a, b| solution.value[*a as usize].total_cmp(&solution.value[*b as usize]))
    };
    let mut taken = vec![0.0_f64; explicit.nodes.len()];
    let mut send = |coming: &mut [f64], choice: &Choice, share: f64| {
        for way in explicit.ways(choice) {
            let to = match way.end {
                End::Lies(state) => Some(state),
                End::Relief(node) | End::Drop(node) => {
                    taken[node as usize] += share * f64::from(way.weight);
                    best(node)
                }
                End::Green(_) | End::Holed | End::Replay => None,
            };
            if let Some(to) = to {
                coming[to as usize] += share * f64::from(way.weight);
            }
        }
    };
    send(&mut coming, tee, share);
    for _ in 0..PASSES {
        for &state in &order {
            let here = std::mem::take(&mut coming[state as usize]);
            if here <= 0.0 {
                continue;
            }
            reached[state as usize] += here;
            let choices = explicit.choices(state);
            if let Some(choice) = choices.get(solution.policy[state as usize] as usize) {
                send(&mut coming, choice, here);
            }
        }
    }
    for (node, share) in explicit.nodes.iter().zip(taken) {
        for spot in &node.spots {
            if let Spot::State(state) = *spot {
                let reached = &mut reached[state as usize];
                *reached = reached.max(share);
            }
        }
    }
}

/// The cells within a square that reaches so far each way from the middle of one tell how
/// often it is reached, m. A few balls touch some of the cells that they could come to: which
/// ones is luck. Cells of 4 m and more tell for themselves.
const NEAR_M: f32 = 5.0;

/// How often a state is reached, by `cell · LIES + lie`: the mean over the cells near it
/// that have this lie.
pub(super) fn reach_near(explicit: &Explicit, reached: &[f64]) -> Vec<f32> {
    let problem = explicit.problem();
    let [columns, rows] = problem.grid.size;
    let off = (NEAR_M / problem.grid.cell_m - 0.5) as usize;
    let mut out = vec![0.0; columns * rows * LIES];
    for lie in 0..LIES {
        let has = |cell| problem.lie(cell).is_some_and(|l| l as usize == lie);
        let mut cells: Vec<Tally> = (0..columns * rows)
            .map(|cell| [0.0, f32::from(u8::from(has(cell)))])
            .collect();
        for (state, reached) in explicit.states.iter().zip(reached) {
            if state.lie as usize == lie {
                cells[state.cell as usize] = [*reached as f32, 1.0];
            }
        }
        let along_rows = windows(&cells, (rows, columns), (columns, 1), off);
        let windows = windows(&along_rows, (columns, rows), (1, columns), off);
        for (cell, [sum, count]) in windows.into_iter().enumerate() {
            out[cell * LIES + lie] = sum / count.max(1.0);
        }
    }
    out
}

/// How often cells are reached, and how many they are.
type Tally = [f32; 2];

/// Sums over the cells at most so many `off` along a line. There are so many lines of so
/// many cells; the second of them lies one of these steps on from the first.
fn windows(
    cells: &[Tally],
    (lines, long): (usize, usize),
    (to_line, to_cell): (usize, usize),
    off: usize,
) -> Vec<Tally> {
    let mut out = vec![[0.0; 2]; cells.len()];
    for line in 0..lines {
        for cell in 0..long {
            let window = cell.saturating_sub(off)..=(cell + off).min(long - 1);
            let sum = window.fold([0.0; 2], |sum: Tally, near| {
                let [reached, count] = cells[line * to_line + near * to_cell];
                [sum[0] + reached, sum[1] + count]
            });
            out[line * to_line + cell * to_cell] = sum;
        }
    }
    out
}

/// How often a hole every swing is hit from every lie, by `swing · LIES + lie`, after
/// the tee shot that is most for it among those near the best.
pub(super) fn hit_often(explicit: &Explicit, solution: &Solution) -> Vec<f64> {
    let swings = &explicit.problem().swings;
    let mut most = vec![0.0_f64; swings.len() * LIES];
    for (tee, strokes) in explicit.tee.iter().zip(&solution.tee_strokes) {
        if *strokes > solution.tee + NEAR_BEST {
            continue;
        }
        let mut reached = vec![0.0; explicit.states.len()];
        add_reach(explicit, solution, tee, 1.0, &mut reached);
        let mut hit = vec![0.0; most.len()];
        for (index, (state, share)) in explicit.states.iter().zip(&reached).enumerate() {
            let choice = explicit.choices(index as u32);
            let swing = choice
                .get(solution.policy[index] as usize)
                .map(|c| usize::from(c.action.swing));
            if let Some(swing) = swing.filter(|s| *s < swings.len()) {
                hit[swing * LIES + swings[swing].flies_as(state.lie) as usize] += share;
            }
        }
        for (most, hit) in most.iter_mut().zip(hit) {
            *most = most.max(hit);
        }
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Along rows and then along columns: every cell has the sum of the square around it,
    /// cut at the edges, found here one by one.
    #[test]
    fn a_window_is_the_square_around_a_cell() {
        let (columns, rows, off) = (7, 5, 2);
        let cells: Vec<Tally> = (0..columns * rows)
            .map(|k| [(k * k % 11) as f32, (k % 3) as f32])
            .collect();
        let along_rows = windows(&cells, (rows, columns), (columns, 1), off);
        let found = windows(&along_rows, (columns, rows), (1, columns), off);
        for (cell, found) in found.iter().enumerate() {
            let near = |other: &usize| {
                (other % columns).abs_diff(cell % columns) <= off
                    && (other / columns).abs_diff(cell / columns) <= off
            };
            for part in 0..2 {
                let each = (0..cells.len())
                    .filter(near)
                    .map(|other| cells[other][part]);
                assert_eq!(found[part], each.sum::<f32>(), "cell {cell}");
            }
        }
    }
}
