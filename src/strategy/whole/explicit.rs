//! A hole as a tabular Markov decision process: its [`Kernel`] and what its numbers stand for.
//!
//! *States* are cells with a lie: every pair that any of the actions below can reach from the tee,
//! which is the kernel's start. *Actions* of a state are a few shots that the screening puts near the
//! best. *Outcomes* of a shot are its samples, flown and brought to rest by the true flight and
//! ground from places spread over the state's cell:
//! - a ball that lies is played from the state there; among trees that is a choice node at no cost
//!   that may restart the shot (Rule 19.2a, seen where it lies; elsewhere a shot hardly ever loses
//!   more than the stroke that this costs);
//! - a ball on the green is putted out from exactly where it lies, a terminal cost of one to three;
//!   one that goes in ends the hole;
//! - a ball in a penalty area is a choice node of one stroke: a drop in the best of some places, or
//!   the shot restarts under stroke and distance (Rule 17.1d); under Model Local Rule E-5 one out of
//!   bounds is the same for two strokes;
//! - any other ball out of bounds restarts the shot (Rule 18.2).
//!
//! An unplayable ball (Rule 19.2) is an action of its own: its stroke is the penalty, its outcome a
//! choice node at no cost. Where it has been decided already who is dropped and who goes back
//! ([`Explicit::held`]), no node may restart.

use std::sync::{Arc, OnceLock};

use super::action::{Action, Fineness};
use super::build;
use super::flying::Flown;
use super::lie::{LIES, Lie};
use super::problem::Problem;
use super::screen::Screening;
use super::swung::Swung;
use crate::hole::{Coord, Hole, Surface};
use crate::mdp::{ActionId, Kernel, Solution, StateId, Terminal, ValueIteration};
use crate::outcome::Day;
use crate::player::Player;

/// A cell and a lie that a ball is played from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// Cell of the problem's grid.
    pub cell: u32,
    /// Lie in it.
    pub lie: Lie,
    /// A place there with that lie: where the first ball came to rest; m.
    pub at: [f32; 2],
}

/// What is asked for beyond the usual.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// How finely the hole is cut.
    pub fineness: Fineness,
    /// Model Local Rule E-5: a ball out of bounds may be dropped for two
    /// strokes at the edge of the nearest fairway.
    pub local_rule_e5: bool,
    /// Balls of every choice from the tee; at most 65 536.
    pub tee_balls: usize,
    /// Fresh balls of the tee shot that is evaluated; at most 65 536. What one of them
    /// comes to spreads by half a stroke: a standard error of 0.002 for the most.
    pub evaluation_tee_balls: usize,
    /// Places, m east and north, that have states even if no ball from the tee
    /// comes to lie there.
    pub also: Vec<[f32; 2]>,
    /// Every shot is weighed everywhere, for a hole that is hardly reached: it takes several
    /// times as long.
    pub thorough: bool,
    /// What the player's other holes of the day have struck already, and what these
    /// will find: the same comes out with it and without.
    pub swung: Option<Swung>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            fineness: Fineness::default(),
            local_rule_e5: false,
            tee_balls: 1024,
            evaluation_tee_balls: if cfg!(fuzzing) { 64 } else { 65_536 },
            also: Vec::new(),
            thorough: false,
            swung: None,
        }
    }
}

/// What a hole is cut into, and rough values of it.
#[derive(Debug)]
pub(super) struct Table {
    pub problem: Problem,
    pub screening: Screening,
}

/// The finite problem.
#[derive(Clone, Debug)]
pub struct Explicit {
    pub(super) table: Arc<Table>,
    pub(in crate::strategy) options: Options,
    pub(super) states: Vec<State>,
    /// `[cell · LIES + lie]`: the state, or [`NO_STATE`].
    pub(super) index: Vec<u32>,
    /// The same for cells near a state with choices: see [`Explicit::nearby`].
    pub(super) near: OnceLock<Vec<u32>>,
    pub(super) kernel: Kernel,
    /// By action of the kernel.
    pub(super) actions: Vec<Action>,
    /// By state, the balls of each of its choices.
    pub(super) balls: Vec<u16>,
    /// By `swing · LIES + lie`, how many launches its balls share; empty where that was not
    /// asked for.
    pub(super) pools: Vec<u32>,
    /// By state, the few balls of its only shot where hardly any hole comes by; else nothing.
    pub(super) lone: Arc<Vec<Vec<Flown>>>,
}

pub(super) const NO_STATE: u32 = u32::MAX;
/// How far off a state may stand for a place, cells either way.
const NEAR_CELLS: usize = 2;

impl Explicit {
    /// The tabular problem of a hole for a player and a day, the tee shot starting at `start`.
    #[must_use]
    pub fn of(
        hole: &Hole,
        player: &Player,
        day: &Day,
        start: Coord<f64>,
        fineness: Fineness,
    ) -> Self {
        let options = Options {
            fineness,
            ..Options::default()
        };
        Self::with(hole, player, day, start, &options, None)
    }

    /// The same with options. `previous` is the same hole and player in another
    /// wind or to another pin: its values are where the screening begins.
    #[must_use]
    pub fn with(
        hole: &Hole,
        player: &Player,
        day: &Day,
        start: Coord<f64>,
        options: &Options,
        previous: Option<&Self>,
    ) -> Self {
        let problem = Problem::of(hole, player, day, start, options.fineness);
        let screening = match options.thorough {
            true => Screening::settled(&problem),
            false => Screening::of(&problem, previous.map(|p| &p.table.screening)),
        };
        let table = Arc::new(Table { problem, screening });
        build::tabular(hole, day, &table, options)
    }

    /// The same hole for another wind, with options that cut the ground alike. The
    /// screening begins with this one's values.
    pub(in crate::strategy) fn on(&self, hole: &Hole, day: &Day, options: &Options) -> Self {
        let mut problem = self.table.problem.on(day);
        problem.fineness = options.fineness;
        let screening = Screening::of(&problem, Some(&self.table.screening));
        let table = Arc::new(Table { problem, screening });
        build::tabular(hole, day, &table, options)
    }

    /// The policy of `solution` on fresh samples: one action a state, evaluated without the bias of
    /// the samples that chose it. The values of `solution` also decide where a ball is dropped and
    /// whether it is replayed: the least of many noisy values is biased low too. States that only fresh balls reach get their best
    /// rough shot; those that hardly any hole comes by keep the balls that they have where
    /// one shot only was priced there: nothing was chosen on them.
    /// `beside` are tee shots that are evaluated too, each by the states that its balls lie in and
    /// how often. Balls of a choice, a power of two up to 256, and of the tee, up to 65 536.
    #[must_use]
    pub fn held(
        &self,
        hole: &Hole,
        day: &Day,
        solution: &Solution,
        beside: &[Vec<(u32, f64)>],
        balls: (usize, usize),
    ) -> Self {
        build::held(self, hole, day, solution, beside, balls)
    }

    /// The same problem with one action a state, its index given by state.
    pub(super) fn keeping(&self, policy: &[u32]) -> Self {
        let (kernel, kept) = self.kernel.under(policy);
        Self {
            table: Arc::clone(&self.table),
            options: self.options.clone(),
            states: self.states.clone(),
            index: self.index.clone(),
            near: OnceLock::new(),
            kernel,
            actions: self.actions_of(&kept),
            balls: self.balls.clone(),
            pools: Vec::new(),
            lone: Arc::clone(&self.lone),
        }
    }

    /// Takes the actions from the states from which the hole is never finished.
    pub(super) fn remove_improper(&mut self) {
        if let Some(kept) = self.kernel.remove_improper() {
            self.actions = self.actions_of(&kept);
        }
    }

    fn actions_of(&self, kept: &[ActionId]) -> Vec<Action> {
        kept.iter().map(|of| self.actions[of.index()]).collect()
    }

    /// Its sweeps, from the rough values.
    pub(super) fn value_iteration(&self) -> ValueIteration<'_> {
        let rough = |state: &State| self.rough_value(state.at, state.lie);
        ValueIteration::new(&self.kernel, self.states.iter().map(rough).collect())
    }

    /// Solved until no value moves by more than `tolerance` strokes.
    #[must_use]
    pub fn solve(&self, tolerance: f64) -> Solution {
        self.value_iteration().solve(tolerance)
    }

    /// Its transitions.
    #[must_use]
    pub fn kernel(&self) -> &Kernel {
        &self.kernel
    }

    /// What the hole was cut into, and the player's swings.
    #[must_use]
    pub fn problem(&self) -> &Problem {
        &self.table.problem
    }

    /// Every state, in the order in which they were reached.
    #[must_use]
    pub fn states(&self) -> &[State] {
        &self.states
    }

    /// The state of a place with a lie, if it was reached.
    #[must_use]
    pub fn state(&self, at: [f32; 2], lie: Lie) -> Option<u32> {
        self.state_in(self.table.problem.grid.cell(at[0], at[1]), lie)
    }

    /// The state of a cell with a lie, if it was reached.
    pub(super) fn state_in(&self, cell: usize, lie: Lie) -> Option<u32> {
        let state = self.index[cell * LIES + lie as usize];
        (state != NO_STATE).then_some(state)
    }

    /// The state with choices that is nearest to the middle of a place's cell, of those
    /// of this lie at most [`NEAR_CELLS`] away.
    pub(super) fn nearby(&self, at: [f32; 2], lie: Lie) -> Option<u32> {
        let near = self.near.get_or_init(|| self.all_nearby());
        let cell = self.table.problem.grid.cell(at[0], at[1]);
        let state = near[cell * LIES + lie as usize];
        (state != NO_STATE).then_some(state)
    }

    /// Found from the states outwards; of two as near the first.
    fn all_nearby(&self) -> Vec<u32> {
        let [columns, rows] = self.table.problem.grid.size;
        let mut near = vec![NO_STATE; self.index.len()];
        let mut steps2 = vec![u8::MAX; self.index.len()];
        for (number, state) in self.states.iter().enumerate() {
            if self.choices(number as u32).is_empty() {
                continue;
            }
            let (column, row) = (state.cell as usize % columns, state.cell as usize / columns);
            for r in row.saturating_sub(NEAR_CELLS)..(row + NEAR_CELLS + 1).min(rows) {
                for c in column.saturating_sub(NEAR_CELLS)..(column + NEAR_CELLS + 1).min(columns) {
                    let slot = (r * columns + c) * LIES + state.lie as usize;
                    let away = (r.abs_diff(row).pow(2) + c.abs_diff(column).pow(2)) as u8;
                    if away < steps2[slot] {
                        (near[slot], steps2[slot]) = (number as u32, away);
                    }
                }
            }
        }
        near
    }

    /// The actions of a state; none where the hole is never finished from it.
    #[must_use]
    pub fn choices(&self, state: u32) -> &[Action] {
        &self.actions[self.kernel.actions_of(StateId(state))]
    }

    /// Whether the hole is never finished from a state.
    #[must_use]
    pub fn is_dead_end(&self, state: u32) -> bool {
        self.choices(state).is_empty()
    }

    /// The balls of each of a state's choices.
    pub(super) fn balls(&self, state: u32) -> u16 {
        self.balls[state as usize]
    }

    /// How many launches a swing's balls share, by `swing · LIES + lie`, where that was
    /// asked for.
    pub(super) fn pools(&self) -> &[u32] {
        &self.pools
    }

    /// The actions on the tee; never empty.
    #[must_use]
    pub fn tee(&self) -> &[Action] {
        &self.actions[self.kernel.actions_of_start()]
    }

    /// Expected putts from this far, m.
    #[must_use]
    pub fn putts(&self, distance_m: f32) -> f64 {
        self.table.problem.putts(distance_m)
    }

    /// The putts from this far, m.
    #[must_use]
    pub fn green(&self, distance_m: f32) -> Terminal {
        self.table.problem.green(distance_m)
    }

    /// Rough strokes of a place that was never reached.
    pub(super) fn rough_value(&self, at: [f32; 2], lie: Lie) -> f64 {
        self.table.screening.value_at(&self.table.problem, at, lie)
    }

    /// The best rough shot of a place that was never reached.
    pub(super) fn rough_action(&self, at: [f32; 2], lie: Lie) -> Option<Action> {
        self.table
            .screening
            .shots(&self.table.problem, at, lie, 1)
            .first()
            .map(|shot| shot.1)
    }

    /// Rough strokes of a shot from a place, the place itself worth `here`.
    pub(super) fn rough_price(&self, at: [f32; 2], lie: Lie, here: f64, action: Action) -> f64 {
        self.table
            .screening
            .price_of(&self.table.problem, at, lie, here, action)
    }
}

/// Whether a ball may be dropped on a surface and played or putted from there.
pub(super) fn may_drop(surface: Surface) -> bool {
    Lie::on(surface).is_some() || surface == Surface::Green
}
