//! A hole written out as a finite stochastic shortest path.
//!
//! *States* are cells with a lie: every pair that any of the choices below can
//! reach from the tee. *Choices* of a state are a few shots that the screening
//! puts near the best. *Ways* of a choice are what becomes of its balls, flown
//! and brought to rest by the true flight and ground from places spread over the
//! state's cell; shares add to 1. A ball on the green is putted out from exactly
//! where it lies; one in a penalty area is dropped in the best of some places or
//! goes back under stroke and distance (Rule 17.1d); one out of bounds goes back
//! (Rule 18.2), or under Model Local Rule E-5 is dropped for two strokes; one among
//! trees is played, dropped, or goes back (Rule 19.2), seen where it lies.
//!
//! Strokes of a choice are `1 + Σ share × worth`, where a way is worth
//! - [`End::Lies`]: the state's value; among trees, or, if that is less, one stroke
//!   and the value of the state it was played from;
//! - [`End::Green`]: the player's putts from there; [`End::Holed`]: nothing;
//! - [`End::Relief`]: penalty + the least of its drops, or, if that is less,
//!   one stroke and the value of the state it was played from;
//! - [`End::Drop`]: the least of its drops (the stroke is the penalty itself);
//! - [`End::Replay`]: one stroke and the value of the state it was played from.

use std::sync::{Arc, OnceLock};

use super::action::{Action, Fineness};
use super::build;
use super::flat::Flat;
use super::flying::Flown;
use super::lie::{LIES, Lie};
use super::problem::Problem;
use super::screen::Screening;
use super::swung::Swung;
use crate::hole::{Coord, Hole, Surface};
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

/// What becomes of a ball.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum End {
    /// It is played next from this state; or replayed if that is better and
    /// [`Explicit::may_go_back`].
    Lies(u32),
    /// It is on the green, this far from the pin, m (or as good as that).
    Green(f32),
    /// It went in.
    Holed,
    /// One penalty stroke (two under Model Local Rule E-5) and a drop in the best
    /// of [`Explicit::drops`]; or replayed if that is better.
    Relief(u32),
    /// An unplayable ball's drop: the choice's one stroke is the penalty.
    Drop(u32),
    /// Stroke and distance.
    Replay,
}

/// A share of a choice's balls and what becomes of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// Share; those of a choice add to 1.
    pub weight: f32,
    /// What becomes of them.
    pub end: End,
}

/// A shot from a state, with its ways.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    /// What is done.
    pub action: Action,
    pub(super) first: u32,
    pub(super) count: u32,
}

impl Choice {
    /// Neither a putt from off the green nor a drop.
    pub(super) fn is_swing(&self) -> bool {
        self.action != Action::PUTT && self.action != Action::UNPLAYABLE
    }
}

/// Where a ball may be dropped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spot {
    /// In this state.
    State(u32),
    /// On the green, this far from the pin, m.
    Green(f32),
}

/// The places of one relief.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Penalty strokes.
    pub penalty: u32,
    /// Where the ball may be dropped; never empty.
    pub spots: Vec<Spot>,
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
    /// Its ways in another order: see [`Explicit::flat`].
    pub(super) sorted: OnceLock<Flat>,
    pub(super) choices: Vec<Choice>,
    /// By state, where its choices begin; one more at the end.
    pub(super) first_choice: Vec<u32>,
    /// By state, the balls of each of its choices.
    pub(super) balls: Vec<u16>,
    /// By `swing · LIES + lie`, how many launches its balls share; empty where that was not
    /// asked for.
    pub(super) pools: Vec<u32>,
    pub(super) tee: Vec<Choice>,
    pub(super) ways: Vec<Way>,
    pub(super) nodes: Vec<Node>,
    /// By state, the few balls of its only shot where hardly any hole comes by; else nothing.
    pub(super) lone: Arc<Vec<Vec<Flown>>>,
    /// Whether it has been decided already who is dropped and who goes back, as
    /// well as where: nothing but [`End::Replay`] goes back.
    pub(super) settled: bool,
    /// By state, whether the hole is never finished from it; empty where there is none.
    pub(super) dead_ends: Vec<bool>,
}

pub(super) const NO_STATE: u32 = u32::MAX;
/// How far off a state may stand for a place, cells either way.
const NEAR_CELLS: usize = 2;

impl Explicit {
    /// Writes a hole out for a player and a day, the tee shot starting at `start`.
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
        build::written_out(hole, day, &table, options)
    }

    /// The same hole written out for another wind, with options that cut the ground alike. The
    /// screening begins with this one's values.
    pub(in crate::strategy) fn on(&self, hole: &Hole, day: &Day, options: &Options) -> Self {
        let mut problem = self.table.problem.on(day);
        problem.fineness = options.fineness;
        let screening = Screening::of(&problem, Some(&self.table.screening));
        let table = Arc::new(Table { problem, screening });
        build::written_out(hole, day, &table, options)
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
        solution: &super::Solution,
        beside: &[Vec<(u32, f64)>],
        balls: (usize, usize),
    ) -> Self {
        build::held(self, hole, day, solution, beside, balls)
    }

    /// The same problem with one choice a state, its index given by state.
    pub(super) fn keeping(&self, policy: &[u32]) -> Self {
        let mut out = Self {
            table: Arc::clone(&self.table),
            options: self.options.clone(),
            states: self.states.clone(),
            index: self.index.clone(),
            near: OnceLock::new(),
            sorted: OnceLock::new(),
            choices: Vec::with_capacity(self.states.len()),
            first_choice: vec![0],
            balls: self.balls.clone(),
            pools: Vec::new(),
            tee: Vec::new(),
            ways: Vec::new(),
            nodes: self.nodes.clone(),
            lone: Arc::clone(&self.lone),
            settled: self.settled,
            dead_ends: self.dead_ends.clone(),
        };
        let keep = |choice: &Choice, ways: &mut Vec<Way>| {
            let first = ways.len() as u32;
            ways.extend_from_slice(self.ways(choice));
            Choice { first, ..*choice }
        };
        for (state, index) in policy.iter().enumerate() {
            if let Some(choice) = self.choices(state as u32).get(*index as usize) {
                out.choices.push(keep(choice, &mut out.ways));
            }
            out.first_choice.push(out.choices.len() as u32);
        }
        out.tee = self.tee.iter().map(|c| keep(c, &mut out.ways)).collect();
        out
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

    /// The ways of every choice, sorted.
    pub(super) fn flat(&self) -> &Flat {
        self.sorted.get_or_init(|| Flat::of(self))
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

    /// The choices of a state; none where the hole is never finished from it.
    #[must_use]
    pub fn choices(&self, state: u32) -> &[Choice] {
        let state = state as usize;
        &self.choices[self.first_choice[state] as usize..self.first_choice[state + 1] as usize]
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

    /// The choices from the tee; never empty.
    #[must_use]
    pub fn tee(&self) -> &[Choice] {
        &self.tee
    }

    /// The ways of a choice.
    #[must_use]
    pub fn ways(&self, choice: &Choice) -> &[Way] {
        &self.ways[choice.first as usize..(choice.first + choice.count) as usize]
    }

    /// Every relief, in the order of [`End::Relief`]'s and [`End::Drop`]'s numbers.
    #[must_use]
    pub fn drops(&self, node: u32) -> &Node {
        &self.nodes[node as usize]
    }

    /// How many reliefs there are.
    #[must_use]
    pub fn drop_count(&self) -> usize {
        self.nodes.len()
    }

    /// Whether a ball that has come to lie in this state may be given up as
    /// unplayable under stroke and distance (Rule 19.2a). Offered among trees only:
    /// elsewhere a shot hardly ever loses more than the stroke that it costs.
    #[must_use]
    pub fn may_go_back(&self, state: u32) -> bool {
        !self.settled && self.states[state as usize].lie == Lie::Recovery
    }

    /// Whether nothing but [`End::Replay`] goes back: it has been decided already.
    #[must_use]
    pub fn is_settled(&self) -> bool {
        self.settled
    }

    /// Expected putts from this far, m.
    #[must_use]
    pub fn putts(&self, distance_m: f32) -> f64 {
        self.table.problem.putts(distance_m)
    }

    /// Chances of one, two and three putts from this far, m.
    #[must_use]
    pub fn putt_chances(&self, distance_m: f32) -> [f64; 3] {
        self.table.problem.to_go.putt_chances(f64::from(distance_m))
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

    /// How many ways there are in all.
    #[must_use]
    pub fn way_count(&self) -> usize {
        self.ways.len()
    }

    /// How many choices there are in all, the tee's included.
    #[must_use]
    pub fn choice_count(&self) -> usize {
        self.choices.len() + self.tee.len()
    }
}

/// Whether a ball may be dropped on a surface and played or putted from there.
pub(super) fn may_drop(surface: Surface) -> bool {
    Lie::on(surface).is_some() || surface == Surface::Green
}
