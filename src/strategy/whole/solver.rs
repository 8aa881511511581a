//! Exact values of the discretised hole.
//!
//! Gauss–Seidel in bands of distance, from the pin outwards: the cells of a
//! band are worked side by side from the values so far, so the result is the
//! same at any number of threads. Improvement sweeps look for the best action
//! of every cell; between them the policy found is evaluated by the same sweeps
//! with the action held. A ball that goes back under stroke and distance makes
//! a cell's value depend on itself; the equation is solved, not iterated.
//!
//! # Bounds
//! Every decision costs at least one stroke. If one more full sweep would lower
//! no value by more than ε and raise none by more than δ, then with `V ≤ TV + ε`
//! and monotonicity V is at most the optimum of the same problem with every
//! stroke costing 1 + ε, which is at most `(1 + ε) J*`; likewise `V ≥ (1 − δ) J*`.
//! So `V/(1 + ε) ≤ J* ≤ V/(1 − δ)`: the relative form of the bounds of Bertsekas
//! & Tsitsiklis for stochastic shortest paths (derived here).

use rayon::prelude::*;

use super::lie::{LIES, Lie};
use super::problem::{AIMS, Action, End, Problem, bands};

/// How hard to work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    /// Every action is priced on this many balls, the best again on all; as
    /// many as there are, or more, prices every action on all.
    pub screen: usize,
    /// At most this many sweeps that look for better actions.
    pub improvements: usize,
    /// Evaluation stops when no value moves by more than this, strokes.
    pub tolerance: f64,
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            screen: 16,
            improvements: 2,
            tolerance: 1.0e-4,
        }
    }
}

impl Effort {
    /// Every action on every ball until nothing gets better.
    #[must_use]
    pub fn exact() -> Self {
        Self {
            screen: usize::MAX,
            improvements: 30,
            tolerance: 1.0e-6,
        }
    }
}

/// How far the values can be from the optimum of the finite problem.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// No value would fall by more than this in one more full sweep.
    pub fall: f64,
    /// None would rise by more than this.
    pub rise: f64,
}

impl Bounds {
    /// Lowest and highest optimum that a value allows.
    #[must_use]
    pub fn of(&self, value: f64) -> [f64; 2] {
        [
            value / (1.0 + self.fall),
            value / (1.0 - self.rise.min(0.5)),
        ]
    }
}

/// A value and an action for every cell, and for the tee.
#[derive(Clone, Debug)]
pub struct Solution {
    /// Strokes to hole out from every cell; infinite where it is not played.
    pub value: Vec<f32>,
    /// The best action of every cell.
    pub policy: Vec<Action>,
    /// Strokes from the tee, and its best action.
    pub tee: (f64, Action),
    /// Largest move of a value in the last evaluation sweep.
    pub residual: f64,
    /// Sweeps that looked for better actions, and that evaluated.
    pub sweeps: [usize; 2],
}

impl Solution {
    /// Strokes and action of a cell.
    #[must_use]
    pub fn at(&self, cell: usize) -> (f64, Action) {
        (f64::from(self.value[cell]), self.policy[cell])
    }
}

/// Width of a band, m.
const BAND_M: f64 = 6.0;
/// Actions within this of the best on the screening balls are priced on all.
const SCREEN_MARGIN: f64 = 0.12;
const SCREEN_KEPT: usize = 8;
/// Of a shortlist, what another cell of the block tries, and prices on all balls.
const LED_ACTIONS: usize = 8;
const LED_KEPT: usize = 4;
/// Side of a block whose cells share a shortlist, m.
const BLOCK_M: f32 = 6.0;
/// Nearer to the pin than this every cell looks at every action itself: a few
/// metres make another shot, m.
const OWN_M: f64 = 90.0;

/// Values being worked on.
pub(super) struct Work<'a> {
    problem: &'a Problem,
    bands: Vec<Vec<u32>>,
    value: Vec<f32>,
    policy: Vec<Action>,
    /// Least strokes from every crossing's drops.
    nodes: Vec<f32>,
    /// By block and lie: actions near the best of the block's leader.
    shortlists: Vec<Vec<Action>>,
    claimed: Vec<bool>,
    /// Cells along the side of a block.
    block: usize,
}

impl<'a> Work<'a> {
    fn new(problem: &'a Problem) -> Self {
        let value = (0..problem.grid.len())
            .map(|cell| {
                if problem.lie(cell).is_some() {
                    problem.table(cell) as f32
                } else {
                    f32::INFINITY
                }
            })
            .collect();
        let [columns, rows] = problem.grid.size;
        let block = ((BLOCK_M / problem.grid.cell_m).round() as usize).max(1);
        let lists = columns.div_ceil(block) * rows.div_ceil(block) * LIES;
        Self {
            block,
            shortlists: vec![Vec::new(); lists],
            claimed: vec![false; lists],
            bands: bands(problem, BAND_M),
            value,
            policy: vec![Action::NONE; problem.grid.len()],
            nodes: vec![0.0; problem.nodes()],
            problem,
        }
    }

    fn refresh_nodes(&mut self) {
        for (node, value) in self.nodes.iter_mut().enumerate() {
            *value = least_of(self.problem, &self.value, self.problem.drops(node as u32));
        }
    }

    /// Strokes of an action on the first `balls` of the template.
    fn price(&self, at: [f32; 2], lie: Lie, here: f64, action: Action, balls: usize) -> f64 {
        let Some(shot) = self.problem.shot(at, lie, action) else {
            return f64::INFINITY;
        };
        let (mut sum, mut replayed) = (0.0_f64, 0.0_f64);
        for ball in 0..balls {
            shot.ends(ball, |weight, end| match end {
                End::Lies(cell) => sum += f64::from(weight * self.value[cell as usize]),
                End::Green(away) => sum += f64::from(weight) * self.problem.putts(away),
                End::Penalty(node) => {
                    let dropped = f64::from(self.nodes[node as usize]);
                    sum += f64::from(weight) * (1.0 + dropped.min(here));
                }
                End::Replay => replayed += f64::from(weight),
            });
        }
        let count = balls as f64;
        if replayed >= count * (1.0 - 1.0e-6) {
            return f64::INFINITY;
        }
        // Q = 1 + (sum + replayed (1 + Q)) / count.
        (count + sum + replayed) / (count - replayed)
    }

    /// Whether trees stop most of an action's first few balls.
    fn is_walled(&self, at: [f32; 2], lie: Lie, action: Action) -> bool {
        const FELT: usize = 3;
        const MOST: f32 = 0.7;
        let Some(shot) = self.problem.shot(at, lie, action) else {
            return true;
        };
        let stopped: f32 = (0..FELT).map(|ball| shot.stopped(ball)).sum();
        stopped > MOST * FELT as f32
    }

    /// The best of these actions from a place, and its strokes.
    fn best(
        &self,
        at: [f32; 2],
        lie: Lie,
        here: f64,
        [screen, keep]: [usize; 2],
        actions: &[Action],
        priced: &mut Vec<(f64, Action)>,
    ) -> (f64, Action) {
        let all = self.problem.fineness.balls;
        priced.clear();
        let balls = screen.min(all);
        let mut least = f64::INFINITY;
        for feel_walls in [balls < all && lie == Lie::Recovery, false] {
            for &action in actions {
                if feel_walls && self.is_walled(at, lie, action) {
                    continue;
                }
                let strokes = self.price(at, lie, here, action, balls);
                least = least.min(strokes);
                priced.push((strokes, action));
            }
            // Walled in all round: then through the wall.
            if least.is_finite() || !feel_walls {
                break;
            }
            priced.clear();
        }
        if balls < all {
            priced.retain(|p| p.0 <= least + SCREEN_MARGIN);
            priced.sort_by(|a, b| a.0.total_cmp(&b.0));
            priced.truncate(keep);
            for p in priced.iter_mut() {
                p.0 = self.price(at, lie, here, p.1, all);
            }
            priced.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        let mut best = (f64::INFINITY, Action::NONE);
        for p in priced.iter() {
            if p.0 < best.0 {
                best = *p;
            }
        }
        if lie == Lie::Recovery {
            let cell = self.problem.grid.cell(at[0], at[1]);
            let drops = self.problem.unplayable(cell);
            let dropped = 1.0 + f64::from(least_of(self.problem, &self.value, &drops));
            if dropped < best.0 {
                best = (dropped, Action::UNPLAYABLE);
            }
        }
        best
    }

    /// What an action held is worth.
    fn held(&self, cell: usize, action: Action) -> f64 {
        let lie = self.lie(cell);
        if action == Action::UNPLAYABLE {
            let drops = self.problem.unplayable(cell);
            return 1.0 + f64::from(least_of(self.problem, &self.value, &drops));
        }
        let here = f64::from(self.value[cell]);
        let all = self.problem.fineness.balls;
        self.price(self.problem.grid.middle(cell), lie, here, action, all)
    }

    /// One sweep for better actions; the largest fall and rise of a value. With
    /// `write` off nothing is changed: the residual of the values as they are.
    fn improve(&mut self, screen: usize, write: bool) -> Bounds {
        let mut worst = Bounds {
            fall: 0.0,
            rise: 0.0,
        };
        self.refresh_nodes();
        self.shortlists.iter_mut().for_each(Vec::clear);
        let bands = std::mem::take(&mut self.bands);
        for band in &bands {
            let found = self.best_of_band(band, screen);
            for (&cell, (strokes, action)) in band.iter().zip(found) {
                let change = strokes - f64::from(self.value[cell as usize]);
                worst.fall = worst.fall.max(-change);
                worst.rise = worst.rise.max(change);
                if write {
                    self.value[cell as usize] = strokes as f32;
                    self.policy[cell as usize] = action;
                }
            }
            if write {
                self.refresh_nodes();
            }
        }
        self.bands = bands;
        worst
    }

    /// The best action of every cell of a band, in its order.
    ///
    /// With a screen, one cell of a block and lie prices every action; the others
    /// try what came near the best there. Without, every cell tries everything.
    fn best_of_band(&mut self, band: &[u32], screen: usize) -> Vec<(f64, Action)> {
        let whole = screen >= self.problem.fineness.balls;
        let mut led: Vec<Option<usize>> = vec![None; band.len()];
        let mut leaders: Vec<usize> = Vec::new();
        for (index, &cell) in band.iter().enumerate() {
            let list = self.list_of(cell as usize);
            let own = whole || f64::from(self.problem.pin_distance_m(cell as usize)) < OWN_M;
            if own || (self.shortlists[list].is_empty() && !self.claimed[list]) {
                self.claimed[list] = true;
                leaders.push(index);
            } else {
                led[index] = Some(list);
            }
        }
        let scratch = || (Vec::new(), Vec::new());
        let mut out = vec![(f64::INFINITY, Action::NONE); band.len()];
        let results: Vec<((f64, Action), Vec<Action>)> = leaders
            .par_iter()
            .with_min_len(8)
            .map_init(scratch, |(actions, priced), &index| {
                let cell = band[index] as usize;
                self.problem
                    .actions(self.problem.grid.middle(cell), self.lie(cell), actions);
                let best = self.best_for_cell(cell, screen, SCREEN_KEPT, actions, priced);
                (best, priced.iter().map(|p| p.1).collect())
            })
            .collect();
        for (&index, (best, near)) in leaders.iter().zip(results) {
            out[index] = best;
            if !whole {
                let list = self.list_of(band[index] as usize);
                self.claimed[list] = false;
                self.shortlists[list] = near;
                // Never empty, so that the list is not asked for again.
                self.shortlists[list].push(best.1);
            }
        }
        let results: Vec<(f64, Action)> = led
            .par_iter()
            .enumerate()
            .with_min_len(32)
            .map_init(scratch, |(actions, priced), (index, list)| {
                let Some(list) = *list else {
                    return (f64::INFINITY, Action::NONE);
                };
                let cell = band[index] as usize;
                actions.clear();
                let kept = self.shortlists[list].len().min(LED_ACTIONS);
                actions.extend_from_slice(&self.shortlists[list][..kept]);
                if let Some(&first) = self.shortlists[list].first() {
                    for aim in [1, AIMS as u16 - 1] {
                        actions.push(Action {
                            aim: (first.aim + aim) % AIMS as u16,
                            ..first
                        });
                    }
                }
                actions.retain(|a| usize::from(a.swing) < self.problem.swings.len());
                actions.sort_unstable_by_key(|a| (a.swing, a.aim));
                actions.dedup();
                self.best_for_cell(cell, screen, LED_KEPT, actions, priced)
            })
            .collect();
        for (index, result) in results.into_iter().enumerate() {
            if led[index].is_some() {
                out[index] = result;
            }
        }
        out
    }

    fn lie(&self, cell: usize) -> Lie {
        self.problem.lie(cell).expect("a cell that is played")
    }

    /// The list that a cell's block and lie share.
    fn list_of(&self, cell: usize) -> usize {
        let columns = self.problem.grid.size[0];
        let (row, column) = (cell / columns / self.block, cell % columns / self.block);
        (row * columns.div_ceil(self.block) + column) * LIES + self.lie(cell) as usize
    }

    /// The best of some actions; what was found before is kept where it is as good.
    fn best_for_cell(
        &self,
        cell: usize,
        screen: usize,
        keep: usize,
        actions: &[Action],
        priced: &mut Vec<(f64, Action)>,
    ) -> (f64, Action) {
        let lie = self.lie(cell);
        let here = f64::from(self.value[cell]);
        let at = self.problem.grid.middle(cell);
        let best = self.best(at, lie, here, [screen, keep], actions, priced);
        let held = self.policy[cell];
        if held != Action::NONE && held != best.1 {
            let kept = self.held(cell, held);
            if kept <= best.0 {
                return (kept, held);
            }
        }
        best
    }

    /// What becomes of the held action's balls, cell by cell.
    fn frozen(&self) -> Vec<Vec<Frozen>> {
        self.bands
            .iter()
            .map(|band| {
                band.par_iter()
                    .with_min_len(32)
                    .map(|&cell| self.freeze(cell as usize))
                    .collect()
            })
            .collect()
    }

    fn freeze(&self, cell: usize) -> Frozen {
        let action = self.policy[cell];
        let mut out = Frozen {
            fixed: 1.0,
            ..Frozen::default()
        };
        if action == Action::UNPLAYABLE {
            out.drop_from = self.problem.unplayable(cell);
            return out;
        }
        let at = self.problem.grid.middle(cell);
        let Some(shot) = self.problem.shot(at, self.lie(cell), action) else {
            out.replayed = 1.0;
            return out;
        };
        let balls = self.problem.fineness.balls;
        let each = 1.0 / balls as f64;
        out.cells.reserve(balls);
        for ball in 0..balls {
            shot.ends(ball, |weight, end| {
                let share = each * f64::from(weight);
                match end {
                    End::Lies(next) => out.cells.push((share as f32, next)),
                    End::Green(away) => out.fixed += share * self.problem.putts(away),
                    End::Penalty(node) => out.nodes.push((share as f32, node)),
                    End::Replay => out.replayed += share,
                }
            });
        }
        out
    }

    /// A cell's value by its frozen action and the values so far.
    fn thawed(&self, cell: usize, frozen: &Frozen) -> f64 {
        if !frozen.drop_from.is_empty() {
            return 1.0 + f64::from(least_of(self.problem, &self.value, &frozen.drop_from));
        }
        if frozen.replayed > 1.0 - 1.0e-6 {
            return f64::INFINITY;
        }
        let here = f64::from(self.value[cell]);
        let mut sum = frozen.fixed + frozen.replayed;
        for &(share, next) in &frozen.cells {
            sum += f64::from(share) * f64::from(self.value[next as usize]);
        }
        for &(share, node) in &frozen.nodes {
            sum += f64::from(share) * (1.0 + f64::from(self.nodes[node as usize]).min(here));
        }
        sum / (1.0 - frozen.replayed)
    }

    /// One sweep with the actions held; the largest move of a value.
    fn evaluate(&mut self, frozen: &[Vec<Frozen>]) -> f64 {
        let mut most = 0.0_f64;
        self.refresh_nodes();
        let bands = std::mem::take(&mut self.bands);
        for (band, frozen) in bands.iter().zip(frozen) {
            let found: Vec<f64> = band
                .par_iter()
                .zip(frozen)
                .with_min_len(128)
                .map(|(&cell, frozen)| self.thawed(cell as usize, frozen))
                .collect();
            for (&cell, strokes) in band.iter().zip(found) {
                let old = f64::from(self.value[cell as usize]);
                if strokes.is_finite() {
                    most = most.max((strokes - old).abs());
                }
                self.value[cell as usize] = strokes as f32;
            }
            self.refresh_nodes();
        }
        self.bands = bands;
        most
    }

    fn settle(&mut self, tolerance: f64) -> (f64, usize) {
        const MOST_SWEEPS: usize = 300;
        let frozen = self.frozen();
        let mut residual = f64::INFINITY;
        for sweep in 1..=MOST_SWEEPS {
            residual = self.evaluate(&frozen);
            if residual <= tolerance {
                return (residual, sweep);
            }
        }
        (residual, MOST_SWEEPS)
    }

    fn tee(&self, screen: usize) -> (f64, Action) {
        let start = &self.problem.start;
        let at = [start.x as f32, start.y as f32];
        let mut actions = Vec::new();
        self.problem.actions(at, Lie::Tee, &mut actions);
        // The tee shot's own value prices its replays: a fixed point in `here`.
        let mut best = (f64::INFINITY, Action::NONE);
        for _ in 0..8 {
            let found = self.best(at, Lie::Tee, best.0, [screen; 2], &actions, &mut Vec::new());
            let done = (found.0 - best.0).abs() < 1.0e-9;
            best = found;
            if done {
                break;
            }
        }
        best
    }
}

/// Where the balls of one cell's action go.
#[derive(Clone, Debug, Default)]
struct Frozen {
    /// The stroke, and the putts of the balls that reach the green.
    fixed: f64,
    /// Share that is replayed.
    replayed: f64,
    /// Shares that lie in cells.
    cells: Vec<(f32, u32)>,
    /// Shares that have a crossing.
    nodes: Vec<(f32, u32)>,
    /// For an unplayable ball, where it may be dropped.
    drop_from: Vec<u32>,
}

/// The least value among cells.
fn least_of(problem: &Problem, value: &[f32], cells: &[u32]) -> f32 {
    cells
        .iter()
        .map(|&cell| {
            let cell = cell as usize;
            if problem.lie(cell).is_some() {
                value[cell]
            } else {
                // Back on the line can end on the green.
                problem.putts(problem.to_pin_m(problem.grid.middle(cell)) as f32) as f32
            }
        })
        .fold(f32::INFINITY, f32::min)
}

/// Solves a hole.
#[must_use]
pub fn solve(problem: &Problem, effort: &Effort) -> Solution {
    let mut work = Work::new(problem);
    let mut sweeps = [0, 0];
    let mut residual = f64::INFINITY;
    for round in 0..effort.improvements.max(1) {
        let moved = work.improve(effort.screen, true);
        sweeps[0] += 1;
        if round > 0 && moved.fall.max(moved.rise) <= effort.tolerance {
            residual = moved.fall.max(moved.rise);
            break;
        }
        let (left, count) = work.settle(effort.tolerance);
        residual = left;
        sweeps[1] += count;
    }
    work.refresh_nodes();
    let tee = work.tee(usize::MAX);
    Solution {
        value: work.value,
        policy: work.policy,
        tee,
        residual,
        sweeps,
    }
}

/// How far a solution can be from the optimum of `problem`: one full sweep that
/// changes nothing, with every action of every cell, and the one it holds, on
/// every ball.
#[must_use]
pub fn bounds(problem: &Problem, solution: &Solution) -> Bounds {
    let mut work = Work::new(problem);
    work.value.clone_from(&solution.value);
    work.policy.clone_from(&solution.policy);
    work.improve(usize::MAX, false)
}

/// What a solution's policy is worth on another problem of the same grid, such
/// as the same hole on fresh balls.
#[must_use]
pub fn evaluate(problem: &Problem, solution: &Solution, tolerance: f64) -> Solution {
    let mut work = Work::new(problem);
    work.value.clone_from(&solution.value);
    work.policy.clone_from(&solution.policy);
    let (residual, sweeps) = work.settle(tolerance);
    work.refresh_nodes();
    let start = &problem.start;
    let at = [start.x as f32, start.y as f32];
    let action = solution.tee.1;
    let mut strokes = solution.tee.0;
    for _ in 0..8 {
        strokes = work.price(at, Lie::Tee, strokes, action, problem.fineness.balls);
    }
    Solution {
        value: work.value,
        policy: work.policy,
        tee: (strokes, action),
        residual,
        sweeps: [0, sweeps],
    }
}
