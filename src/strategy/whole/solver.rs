//! Exact values of a written-out hole.
//!
//! Value iteration, Gauss–Seidel: states in the order of their rough values, so
//! that most of what a state needs is new already. A ball that comes to lie in
//! its own state, or goes back under stroke and distance, makes a choice's
//! strokes depend on themselves; that equation is solved, not iterated.
//!
//! # Bounds
//! Every decision costs at least one stroke. If one more sweep of all states
//! from the values as they are (Jacobi) would lower no value by more than ε and
//! raise none by more than δ, then with `V ≤ TV + ε` and monotonicity V is at most
//! the optimum of the same problem with every stroke costing 1 + ε, which is at
//! most `(1 + ε) J*`; likewise `V ≥ (1 − δ) J*`. So `V/(1 + ε) ≤ J* ≤ V/(1 − δ)`:
//! the relative form of the bounds of Bertsekas & Tsitsiklis for stochastic
//! shortest paths (derived here).

use rayon::prelude::*;

use super::explicit::{Choice, End, Explicit, Spot};

/// How far values can be from the optimum of the finite problem.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// No value would fall by more than this in one more sweep.
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

/// A value and a choice for every state, and for the tee.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Strokes to hole out, by state.
    pub value: Vec<f64>,
    /// Index of the best of [`Explicit::choices`], by state.
    pub policy: Vec<u32>,
    /// Strokes of every one of [`Explicit::tee`].
    pub tee_strokes: Vec<f64>,
    /// Index of the best of them.
    pub tee_choice: usize,
    /// Strokes from the tee.
    pub tee: f64,
    /// Largest move of a value in the last sweep, strokes.
    pub residual: f64,
    /// What is proven.
    pub bounds: Bounds,
    /// Sweeps.
    pub sweeps: usize,
}

/// A choice as the solver wants it.
struct Row {
    /// The stroke, putts, penalties of replays.
    fixed: f64,
    /// Share that goes back.
    replayed: f64,
    lies: [u32; 2],
    reliefs: [u32; 2],
    /// Where balls lie that may rather be replayed.
    woods: [u32; 2],
    drop: Option<u32>,
}

/// All choices in flat storage.
struct Rows {
    rows: Vec<Row>,
    lies: Vec<(u32, f32)>,
    reliefs: Vec<(u32, f32)>,
    woods: Vec<(u32, f32)>,
    /// Reliefs are taken, whatever going back is worth.
    settled: bool,
}

impl Rows {
    fn of(explicit: &Explicit, choices: &[Choice]) -> Self {
        let mut out = Self {
            rows: Vec::with_capacity(choices.len()),
            lies: Vec::new(),
            reliefs: Vec::new(),
            woods: Vec::new(),
            settled: explicit.settled,
        };
        for choice in choices {
            let mut row = Row {
                fixed: 1.0,
                replayed: 0.0,
                lies: [out.lies.len() as u32; 2],
                reliefs: [out.reliefs.len() as u32; 2],
                woods: [out.woods.len() as u32; 2],
                drop: None,
            };
            for way in explicit.ways(choice) {
                let share = f64::from(way.weight);
                match way.end {
                    End::Lies(state) if explicit.may_go_back(state) => {
                        out.woods.push((state, way.weight));
                    }
                    End::Lies(state) => out.lies.push((state, way.weight)),
                    End::Green(distance_m) => row.fixed += share * explicit.putts(distance_m),
                    End::Holed => {}
                    End::Relief(node) => out.reliefs.push((node, way.weight)),
                    End::Drop(node) => row.drop = Some(node),
                    End::Replay => {
                        row.fixed += share;
                        row.replayed += share;
                    }
                }
            }
            row.lies[1] = out.lies.len() as u32;
            row.reliefs[1] = out.reliefs.len() as u32;
            row.woods[1] = out.woods.len() as u32;
            out.rows.push(row);
        }
        out
    }

    /// Strokes of a choice from `here`, whose own value is solved for.
    #[inline]
    fn strokes(&self, row: &Row, here: u32, value: &[f64], nodes: &[f64]) -> f64 {
        if let Some(node) = row.drop {
            return nodes[node as usize];
        }
        let mut sum = row.fixed;
        let mut own = row.replayed;
        for &(state, share) in &self.lies[row.lies[0] as usize..row.lies[1] as usize] {
            if state == here {
                own += f64::from(share);
            } else {
                sum += f64::from(share) * value[state as usize];
            }
        }
        let reliefs = &self.reliefs[row.reliefs[0] as usize..row.reliefs[1] as usize];
        let woods = &self.woods[row.woods[0] as usize..row.woods[1] as usize];
        if reliefs.is_empty() && woods.is_empty() {
            return if own < 1.0 - 1.0e-9 {
                sum / (1.0 - own)
            } else {
                f64::INFINITY
            };
        }
        // A relief is worth min(its drop, 1 + Q), a ball among trees min(its value,
        // 1 + Q): from all taken, those that are dearer than going back are replayed
        // until none is left; Q only falls.
        let mut strokes = f64::INFINITY;
        loop {
            let (mut all, mut back) = (sum, own);
            let mut dearest = f64::NEG_INFINITY;
            for &(state, share) in woods {
                let (share, played) = (f64::from(share), value[state as usize]);
                if state == here {
                    back += share;
                } else if played <= 1.0 + strokes {
                    all += share * played;
                    dearest = dearest.max(played);
                } else {
                    all += share;
                    back += share;
                }
            }
            for &(node, share) in reliefs {
                let (share, dropped) = (f64::from(share), nodes[node as usize]);
                if self.settled || dropped <= 1.0 + strokes {
                    all += share * dropped;
                    dearest = dearest.max(dropped);
                } else {
                    all += share;
                    back += share;
                }
            }
            let next = if back < 1.0 - 1.0e-9 {
                all / (1.0 - back)
            } else {
                f64::INFINITY
            };
            if self.settled || dearest <= 1.0 + next || next >= strokes - 1.0e-13 {
                return strokes.min(next);
            }
            strokes = next;
        }
    }
}

/// No vertex of the tee's own: its value is not in the list.
const TEE: u32 = u32::MAX;

/// A written-out hole as the sweeps want it.
pub(super) struct Solver<'a> {
    explicit: &'a Explicit,
    rows: Rows,
    value: Vec<f64>,
    policy: Vec<u32>,
    /// Penalty and least drop.
    nodes: Vec<f64>,
    /// The reliefs that a state is a spot of.
    nodes_of: Vec<(u32, u32)>,
    order: Vec<u32>,
}

impl<'a> Solver<'a> {
    pub fn new(explicit: &'a Explicit) -> Self {
        let value: Vec<f64> = explicit
            .states()
            .iter()
            .zip(0..)
            .map(|(state, number)| match explicit.is_dead_end(number) {
                true => f64::INFINITY,
                false => explicit.rough_value(state.at, state.lie),
            })
            .collect();
        let mut order: Vec<u32> = (0..value.len() as u32).collect();
        order.sort_by(|a, b| value[*a as usize].total_cmp(&value[*b as usize]));
        let mut nodes_of: Vec<(u32, u32)> = Vec::new();
        for node in 0..explicit.drop_count() as u32 {
            for spot in &explicit.drops(node).spots {
                if let Spot::State(state) = spot {
                    nodes_of.push((*state, node));
                }
            }
        }
        nodes_of.sort_unstable();
        let mut out = Self {
            rows: Rows::of(explicit, &explicit.choices),
            policy: vec![0; value.len()],
            nodes: vec![0.0; explicit.drop_count()],
            explicit,
            value,
            nodes_of,
            order,
        };
        for node in 0..out.nodes.len() {
            out.refresh(node as u32);
        }
        out
    }

    /// The strokes of a relief.
    fn refresh(&mut self, node: u32) {
        let drops = self.explicit.drops(node);
        let least = drops.spots.iter().map(|spot| match *spot {
            Spot::State(state) => self.value[state as usize],
            Spot::Green(distance_m) => self.explicit.putts(distance_m),
        });
        self.nodes[node as usize] = f64::from(drops.penalty) + least.fold(f64::INFINITY, f64::min);
    }

    /// The least strokes from a state, and its choice.
    fn best(&self, state: u32) -> (f64, u32) {
        let range = self.explicit.first_choice[state as usize] as usize
            ..self.explicit.first_choice[state as usize + 1] as usize;
        let mut best = (f64::INFINITY, 0);
        for (index, row) in self.rows.rows[range].iter().enumerate() {
            let strokes = self.rows.strokes(row, state, &self.value, &self.nodes);
            if strokes < best.0 {
                best = (strokes, index as u32);
            }
        }
        best
    }

    /// One sweep; the largest move of a value.
    fn sweep(&mut self) -> f64 {
        let mut most = 0.0_f64;
        for position in 0..self.order.len() {
            let state = self.order[position];
            let (strokes, choice) = self.best(state);
            if !strokes.is_finite() {
                // No choice here, or the hole is never finished from here.
                continue;
            }
            most = most.max((strokes - self.value[state as usize]).abs());
            self.value[state as usize] = strokes;
            self.policy[state as usize] = choice;
            let first = self.nodes_of.partition_point(|n| n.0 < state);
            for at in first..self.nodes_of.len() {
                let (of, node) = self.nodes_of[at];
                if of != state {
                    break;
                }
                self.refresh(node);
            }
        }
        most
    }

    /// Moves every value on by what it would still move if all went on to shrink by `ratio` a
    /// sweep, as the last sweep's moves since `before` do when one mode is left (Aitken's
    /// extrapolation). The sweeps after it decide on the values.
    fn extrapolate(&mut self, before: &[f64], ratio: f64) {
        if !(LEAST_RATIO..MOST_RATIO).contains(&ratio) {
            return;
        }
        let further = ratio / (1.0 - ratio);
        for (value, before) in self.value.iter_mut().zip(before) {
            let moved = *value - before;
            if moved.is_finite() {
                *value += further * moved;
            }
        }
        for node in 0..self.nodes.len() {
            self.refresh(node as u32);
        }
    }

    /// [`solve_explicit`].
    pub fn solve(&mut self, tolerance: f64) -> Solution {
        let mut residual = f64::INFINITY;
        let mut sweeps = 0;
        while residual > tolerance && sweeps < MOST_SWEEPS {
            let before = (sweeps % EXTRAPOLATED == EXTRAPOLATED - 1).then(|| self.value.clone());
            let last = std::mem::replace(&mut residual, self.sweep());
            sweeps += 1;
            if let (Some(before), true) = (before, residual > tolerance) {
                self.extrapolate(&before, residual / last);
            }
        }
        let tee_rows = Rows::of(self.explicit, &self.explicit.tee);
        let tee_strokes: Vec<f64> = tee_rows
            .rows
            .iter()
            .map(|row| tee_rows.strokes(row, TEE, &self.value, &self.nodes))
            .collect();
        let tee_choice = (0..tee_strokes.len())
            .min_by(|a, b| tee_strokes[*a].total_cmp(&tee_strokes[*b]))
            .unwrap_or(0);
        Solution {
            tee: tee_strokes
                .get(tee_choice)
                .copied()
                .unwrap_or(f64::INFINITY),
            tee_strokes,
            tee_choice,
            value: self.value.clone(),
            policy: self.policy.clone(),
            residual,
            bounds: self.bounds(),
            sweeps,
        }
    }

    /// The strokes of every choice of every state, in order, by these values.
    pub fn choice_strokes(&mut self, values: &Solution) -> Vec<f64> {
        self.value.clone_from(&values.value);
        for node in 0..self.nodes.len() {
            self.refresh(node as u32);
        }
        let this = &*self;
        let first = &this.explicit.first_choice;
        (0..this.value.len())
            .into_par_iter()
            .with_min_len(256)
            .flat_map_iter(|state| {
                let range = first[state] as usize..first[state + 1] as usize;
                this.rows.rows[range].iter().map(move |row| {
                    this.rows
                        .strokes(row, state as u32, &this.value, &this.nodes)
                })
            })
            .collect()
    }

    fn bounds(&self) -> Bounds {
        let mut bounds = Bounds {
            fall: 0.0,
            rise: 0.0,
        };
        for state in 0..self.value.len() as u32 {
            let strokes = self.best(state).0;
            if strokes.is_finite() {
                let change = strokes - self.value[state as usize];
                bounds.fall = bounds.fall.max(-change);
                bounds.rise = bounds.rise.max(change);
            }
        }
        bounds
    }
}

/// Most sweeps.
const MOST_SWEEPS: usize = 1000;
/// After so many sweeps each time the values are extrapolated: a hole on which a ball gets on by a
/// few metres a stroke (a wood all over it) takes many sweeps, others fewer than these.
const EXTRAPOLATED: usize = 24;
/// Ratios of the moves of two sweeps with which they are.
const LEAST_RATIO: f64 = 0.5;
const MOST_RATIO: f64 = 0.995;

/// Solves a written-out hole until no value moves by more than `tolerance` strokes.
#[must_use]
pub fn solve_explicit(explicit: &Explicit, tolerance: f64) -> Solution {
    Solver::new(explicit).solve(tolerance)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One choice from state 0: a share `lost` among trees in state 1, the rest
    /// one putt from the hole.
    fn into_the_wood(lost: f32, settled: bool) -> Rows {
        Rows {
            rows: vec![Row {
                fixed: 1.0 + (1.0 - f64::from(lost)),
                replayed: 0.0,
                lies: [0, 0],
                reliefs: [0, 0],
                woods: [0, 1],
                drop: None,
            }],
            lies: Vec::new(),
            reliefs: Vec::new(),
            woods: vec![(1, lost)],
            settled,
        }
    }

    /// A wood worth w costs min(w, 1 + V): V = 2 − p + p w where the way out is
    /// short, V = (2 − p + p)/(1 − p) = 2/(1 − p) where it is long; they meet at
    /// w = 1 + V. What has been settled is not decided again.
    #[test]
    fn a_wood_costs_no_more_than_going_back() {
        let p = 0.25;
        for (wood, strokes) in [
            (3.0, 2.0 - p + p * 3.0),
            (1.0 + 2.0 / (1.0 - p), 2.0 / (1.0 - p)),
            (11.0, 2.0 / (1.0 - p)),
        ] {
            let rows = into_the_wood(p as f32, false);
            let found = rows.strokes(&rows.rows[0], 0, &[0.0, wood], &[]);
            assert!((found - strokes).abs() < 1.0e-12, "{wood}: {found}");
        }
        let rows = into_the_wood(p as f32, true);
        let found = rows.strokes(&rows.rows[0], 0, &[0.0, 11.0], &[]);
        assert!((found - (2.0 - p + p * 11.0)).abs() < 1.0e-12, "{found}");
        // From the wood itself the same ball is simply played on: V = (2 − p)/(1 − p).
        let rows = into_the_wood(p as f32, false);
        let found = rows.strokes(&rows.rows[0], 1, &[0.0, 11.0], &[]);
        assert!((found - (2.0 - p) / (1.0 - p)).abs() < 1.0e-12, "{found}");
    }
}
