//! Writing a hole out: states are found from the tee on, round by round.
//!
//! Every round prices the states found in the one before, side by side, and then
//! enters what their balls reached in order, so that the numbers are the same at
//! any number of threads.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::action::Action;
use super::explicit::{
    Choice, End, Explicit, NO_STATE, Node, Options, Spot, State, Table, Way, may_drop,
};
use super::lie::{LIES, Lie};
use super::physics::{FRESH_POOL, POOL, Physics, Raw, Scratch};
use super::screen::steps_apart;
use super::solver::{Solution, solve_explicit};
use crate::hole::{Coord, Hole, Surface};
use crate::outcome::{Day, is_penalty};
use crate::sample::{Point, points};
use crate::strategy::rules::{BACK_M, LATERAL};

/// Reliefs whose crossings are nearer to each other than this are one, m.
const CROSSING_M: f64 = 1.0;
/// A drop whose rough value is this much dearer than the best is left out.
const DROP_MARGIN: f64 = 0.25;
/// Places kept for a ball that is unplayable, those that look best.
const UNPLAYABLE_SPOTS: usize = 4;
/// Choices kept for the tee shot.
const TEE_CHOICES: usize = 16;
/// Aims of one swing nearer than this to a better one's are left out, steps.
const TOO_LIKE: usize = 1;

/// One choice's balls.
type Flown = (Action, Vec<Raw>);

/// What is done with a state: the actions that are priced, and on how many balls.
struct Chosen {
    actions: Vec<Action>,
    balls: usize,
}
type Choose<'a> = dyn Fn(&State) -> Chosen + Sync + 'a;

/// How often a state is reached, from often to hardly ever: shares of the balls
/// and of the choices that its pricing gets. A state that one hole in ten
/// thousand comes by is one of thousands: their errors are each their own.
const OFTEN: f64 = 4.0e-4;
const SELDOM: f64 = 2.0e-5;
/// Balls of a choice while scouting, and from the tee.
const SCOUT_BALLS: usize = 4;
const SCOUT_TEE_BALLS: usize = 256;
/// What a tee shot that scouting does not put first counts for.
const RIVAL_SHARE: f64 = 0.3;
/// One that scouting puts this far behind the best is not priced further.
const TEE_MARGIN: f64 = 0.15;

struct Builder<'a> {
    physics: &'a Physics<'a>,
    table: &'a Table,
    options: &'a Options,
    out: Explicit,
    known: BTreeMap<(i64, i64, u8), u32>,
}

pub(super) fn written_out(
    hole: &Hole,
    day: &Day,
    table: &Arc<Table>,
    options: &Options,
) -> Explicit {
    let fineness = options.fineness;
    let physics = Physics::new(hole, day, &table.problem, fineness.seed, POOL);
    let problem = &table.problem;
    let start = [problem.start.x as f32, problem.start.y as f32];
    let tee = chosen(
        &table.screening.list(problem, start, Lie::Tee),
        TEE_CHOICES.max(fineness.choices),
    );
    // First a look round, to find out which states matter.
    let own = points(fineness.seed ^ 0x5EED, options.tee_balls);
    let few = SCOUT_TEE_BALLS.min(own.len());
    let scouted = Builder::new(&physics, table, options).run(&tee, &own[..few], &|state| Chosen {
        actions: candidates(table, state, 1),
        balls: SCOUT_BALLS,
    });
    let found = solve_explicit(&scouted, 1.0e-3);
    let tee: Vec<(Action, f64)> = scouted
        .tee
        .iter()
        .zip(&found.tee_strokes)
        .filter(|(_, strokes)| **strokes <= found.tee + TEE_MARGIN)
        .map(|(choice, strokes)| {
            let first = *strokes <= found.tee;
            (choice.action, if first { 1.0 } else { RIVAL_SHARE })
        })
        .collect();
    let mut reached = vec![0.0; scouted.states.len()];
    for (action, share) in &tee {
        for choice in scouted.tee.iter().filter(|c| c.action == *action) {
            add_reach(&scouted, &found, choice, *share, &mut reached);
        }
    }
    let tee: Vec<Action> = tee.into_iter().map(|t| t.0).collect();
    Builder::new(&physics, table, options).run(&tee, &own, &|state| {
        let reached = known(&scouted, state).map_or(0.0, |s| reached[s as usize]);
        let (choices, balls) = if reached >= OFTEN {
            (fineness.choices, fineness.balls)
        } else if reached >= SELDOM {
            (fineness.choices.div_ceil(2), fineness.balls.div_ceil(2))
        } else {
            (1, fineness.balls.div_ceil(4))
        };
        Chosen {
            actions: candidates(table, state, choices),
            balls,
        }
    })
}

pub(super) fn held(
    from: &Explicit,
    hole: &Hole,
    day: &Day,
    solution: &Solution,
    balls: usize,
    tee_balls: usize,
) -> Explicit {
    let table = &from.table;
    let seed = from.options.fineness.seed.wrapping_add(0x00F2_E5B0);
    let physics = Physics::new(hole, day, &table.problem, seed, FRESH_POOL);
    let tee = from.tee[solution.tee_choice];
    let mut reached = vec![0.0; from.states.len()];
    add_reach(from, solution, &tee, 1.0, &mut reached);
    let own = points(seed ^ 0x5EED, tee_balls);
    Builder::new(&physics, table, &from.options).run(&[tee.action], &own, &|state| {
        let Some(known) = known(from, state).filter(|s| !from.choices(*s).is_empty()) else {
            return Chosen {
                actions: candidates(table, state, 1),
                balls: balls.div_ceil(8),
            };
        };
        let share = match reached[known as usize] {
            often if often >= OFTEN => 1,
            seldom if seldom >= SELDOM => 2,
            _ => 8,
        };
        let choice = solution.policy[known as usize] as usize;
        Chosen {
            actions: vec![from.choices(known)[choice].action],
            balls: balls.div_ceil(share),
        }
    })
}

/// These actions of these states of `from`, on fresh balls, and nothing from any other.
pub(super) fn fresh(
    from: &Explicit,
    hole: &Hole,
    day: &Day,
    wanted: &BTreeMap<u32, Vec<Action>>,
    balls: usize,
) -> Explicit {
    let table = &from.table;
    let seed = from.options.fineness.seed.wrapping_add(0x00A1_3B0D);
    let physics = Physics::new(hole, day, &table.problem, seed, POOL);
    let also = wanted.keys().map(|state| from.states[*state as usize].at);
    let options = Options {
        also: also.collect(),
        ..from.options.clone()
    };
    Builder::new(&physics, table, &options).run(&[], &[], &|state| {
        let actions = known(from, state).and_then(|known| wanted.get(&known));
        Chosen {
            actions: actions.cloned().unwrap_or_default(),
            balls,
        }
    })
}

/// The number that a state has in a problem written out before.
fn known(explicit: &Explicit, state: &State) -> Option<u32> {
    let known = explicit.index[state.cell as usize * LIES + state.lie as usize];
    (known != NO_STATE).then_some(known)
}

/// Adds to every state how often the policy comes by it after `share` of a tee
/// shot. Balls that go back to where they were are not followed again.
fn add_reach(
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
    let send = |coming: &mut [f64], choice: &Choice, share: f64| {
        for way in explicit.ways(choice) {
            let to = match way.end {
                End::Lies(state) => Some(state),
                End::Relief(node) | End::Drop(node) => best(node),
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
}

/// The best of a rough list, each unlike those before it.
fn chosen(list: &[(f32, Action)], count: usize) -> Vec<Action> {
    let mut out: Vec<Action> = Vec::new();
    for &(_, action) in list {
        if out.len() >= count {
            break;
        }
        let like = |b: &Action| b.swing == action.swing && steps_apart(*b, action) <= TOO_LIKE;
        if !out.iter().any(like) {
            out.push(action);
        }
    }
    out
}

fn candidates(table: &Table, state: &State, count: usize) -> Vec<Action> {
    let mut out = chosen(
        &table
            .screening
            .shots(&table.problem, state.at, state.lie, 4 * count),
        count,
    );
    match state.lie {
        Lie::Recovery => out.push(Action::UNPLAYABLE),
        Lie::Fairway => out.push(Action::PUTT),
        _ => {}
    }
    out
}

impl<'a> Builder<'a> {
    fn new(physics: &'a Physics<'a>, table: &'a Arc<Table>, options: &'a Options) -> Self {
        Self {
            physics,
            table,
            options,
            out: Explicit {
                table: Arc::clone(table),
                options: options.clone(),
                states: Vec::new(),
                index: vec![NO_STATE; table.problem.grid.len() * LIES],
                choices: Vec::new(),
                first_choice: vec![0],
                tee: Vec::new(),
                ways: Vec::new(),
                nodes: Vec::new(),
            },
            known: BTreeMap::new(),
        }
    }

    fn run(mut self, tee: &[Action], own: &[Point], choose: &Choose<'_>) -> Explicit {
        let start = self.table.problem.start;
        let physics = self.physics;
        let flown: Vec<Flown> = tee
            .par_iter()
            .map(|&action| {
                let mut balls = Vec::new();
                physics.balls_from(start, Lie::Tee, action, own, &mut balls);
                (action, balls)
            })
            .collect();
        for (action, balls) in flown {
            if let Some(choice) = self.enter(action, &balls) {
                self.out.tee.push(choice);
            }
        }
        for &at in &self.options.also {
            let place = Coord {
                x: f64::from(at[0]),
                y: f64::from(at[1]),
            };
            if let Some(lie) = Lie::on(physics.hole.surface_at(place)) {
                self.state(lie, at);
            }
        }
        let mut done = 0;
        while done < self.out.states.len() {
            let frontier = self.out.states[done..].to_vec();
            done = self.out.states.len();
            let flown: Vec<Vec<Flown>> = frontier
                .par_iter()
                .with_min_len(8)
                .map_init(Scratch::default, |scratch, state| {
                    fly_all(physics, state, choose, scratch)
                })
                .collect();
            for (state, flown) in frontier.iter().zip(flown) {
                for (action, balls) in flown {
                    let choice = if action == Action::UNPLAYABLE {
                        self.unplayable(state)
                    } else {
                        self.enter(action, &balls)
                    };
                    if let Some(choice) = choice {
                        self.out.choices.push(choice);
                    }
                }
                self.out.first_choice.push(self.out.choices.len() as u32);
            }
        }
        self.out
    }

    fn push(&mut self, action: Action, ways: &[Way]) -> Choice {
        let first = self.out.ways.len() as u32;
        self.out.ways.extend_from_slice(ways);
        Choice {
            action,
            first,
            count: ways.len() as u32,
        }
    }

    fn unplayable(&mut self, state: &State) -> Option<Choice> {
        let at = Coord {
            x: f64::from(state.at[0]),
            y: f64::from(state.at[1]),
        };
        let node = self.relief(at, Relief::Unplayable)?;
        let way = Way {
            weight: 1.0,
            end: End::Drop(node),
        };
        Some(self.push(Action::UNPLAYABLE, &[way]))
    }

    /// A choice from its balls; none without any.
    fn enter(&mut self, action: Action, balls: &[Raw]) -> Option<Choice> {
        if balls.is_empty() {
            return None;
        }
        let each = 1.0 / balls.len() as f32;
        let mut lies: Vec<u32> = Vec::with_capacity(balls.len());
        let mut reliefs: Vec<u32> = Vec::new();
        let mut ways: Vec<Way> = Vec::with_capacity(balls.len());
        let (mut replayed, mut holed) = (0.0_f32, 0.0_f32);
        for ball in balls {
            match *ball {
                Raw::Lies(lie, at) => lies.push(self.state(lie, at)),
                Raw::Green(distance_m, share) => {
                    holed += each * share;
                    ways.push(Way {
                        weight: each * (1.0 - share),
                        end: End::Green(distance_m),
                    });
                }
                Raw::Water(crossed, red) => {
                    let kind = if red { Relief::Red } else { Relief::Yellow };
                    match self.relief(crossed, kind) {
                        Some(node) => reliefs.push(node),
                        None => replayed += each,
                    }
                }
                Raw::Out(at) => {
                    let node = if self.options.local_rule_e5 {
                        self.relief(at, Relief::OutOfBounds)
                    } else {
                        None
                    };
                    match node {
                        Some(node) => reliefs.push(node),
                        None => replayed += each,
                    }
                }
            }
        }
        lies.sort_unstable();
        reliefs.sort_unstable();
        let mut gather = |ids: &[u32], end: fn(u32) -> End| {
            for same in ids.chunk_by(|a, b| a == b) {
                ways.push(Way {
                    weight: each * same.len() as f32,
                    end: end(same[0]),
                });
            }
        };
        gather(&lies, End::Lies);
        gather(&reliefs, End::Relief);
        for (weight, end) in [(holed, End::Holed), (replayed, End::Replay)] {
            if weight > 0.0 {
                ways.push(Way { weight, end });
            }
        }
        Some(self.push(action, &ways))
    }

    fn state(&mut self, lie: Lie, at: [f32; 2]) -> u32 {
        let cell = self.table.problem.grid.cell(at[0], at[1]);
        let slot = &mut self.out.index[cell * LIES + lie as usize];
        if *slot == NO_STATE {
            *slot = self.out.states.len() as u32;
            self.out.states.push(State {
                cell: cell as u32,
                lie,
                at,
            });
        }
        *slot
    }

    /// The relief of a ball that crossed here, or lies here; none where no
    /// place can be played from.
    fn relief(&mut self, at: Coord<f64>, kind: Relief) -> Option<u32> {
        let snap = |x: f64| (x / CROSSING_M).round() as i64;
        let key = (snap(at.x), snap(at.y), kind as u8);
        if let Some(&node) = self.known.get(&key) {
            return (node != NO_STATE).then_some(node);
        }
        let places = self.places(at, kind);
        let problem = &self.table.problem;
        let rough = |place: &Coord<f64>| -> f64 {
            let spot = [place.x as f32, place.y as f32];
            match Lie::on(self.physics.hole.surface_at(*place)) {
                Some(lie) => self.table.screening.value_at(problem, spot, lie),
                None => problem.putts(problem.to_pin_m(spot) as f32),
            }
        };
        let mut priced: Vec<(f64, Coord<f64>)> = places.iter().map(|p| (rough(p), *p)).collect();
        let least = priced.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
        if kind == Relief::Unplayable {
            // Every state among trees has one, and every place is a state more.
            priced.sort_by(|a, b| a.0.total_cmp(&b.0));
            priced.truncate(UNPLAYABLE_SPOTS);
        }
        let mut spots: Vec<Spot> = Vec::new();
        for (strokes, place) in priced {
            if strokes > least + DROP_MARGIN {
                continue;
            }
            let at = [place.x as f32, place.y as f32];
            let spot = match Lie::on(self.physics.hole.surface_at(place)) {
                Some(lie) => Spot::State(self.state(lie, at)),
                None => Spot::Green(self.table.problem.to_pin_m(at) as f32),
            };
            if !spots.contains(&spot) {
                spots.push(spot);
            }
        }
        let node = if spots.is_empty() {
            NO_STATE
        } else {
            self.out.nodes.push(Node {
                penalty: if kind == Relief::OutOfBounds { 2 } else { 1 },
                spots,
            });
            self.out.nodes.len() as u32 - 1
        };
        self.known.insert(key, node);
        (node != NO_STATE).then_some(node)
    }

    /// Where a ball may be dropped.
    fn places(&self, from: Coord<f64>, kind: Relief) -> Vec<Coord<f64>> {
        let hole = self.physics.hole;
        let pin = hole.pin;
        let to_pin = |at: Coord<f64>| (at.x - pin.x).hypot(at.y - pin.y);
        let far = to_pin(from);
        let mut places = Vec::new();
        let mut add = |at: Coord<f64>| {
            let surface = hole.surface_at(at);
            // An unplayable ball is not dropped among the trees again.
            let again = kind == Relief::Unplayable && surface == Surface::Trees;
            if may_drop(surface) && !is_penalty(surface) && !again {
                places.push(at);
            }
        };
        if kind == Relief::OutOfBounds {
            if let Some(place) = nearest_fairway(hole, from, far) {
                add(place);
            }
            return places;
        }
        if far > 0.0 {
            for back in BACK_M {
                add(Coord {
                    x: from.x + (from.x - pin.x) / far * back,
                    y: from.y + (from.y - pin.y) / far * back,
                });
            }
        }
        if kind != Relief::Yellow {
            let lateral_m = self.table.problem.lateral_m;
            for step in 0..LATERAL {
                let angle = std::f64::consts::TAU * step as f64 / LATERAL as f64;
                let spot = Coord {
                    x: from.x + lateral_m * angle.sin(),
                    y: from.y + lateral_m * angle.cos(),
                };
                if to_pin(spot) >= far {
                    add(spot);
                }
            }
        }
        places
    }
}

/// What relief is taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
enum Relief {
    Yellow,
    Red,
    Unplayable,
    OutOfBounds,
}

/// The nearest fairway that is not nearer to the hole, looked for in rings of
/// 2 m up to 120 m (Model Local Rule E-5: the fairway edge).
pub(super) fn nearest_fairway(hole: &Hole, from: Coord<f64>, far_m: f64) -> Option<Coord<f64>> {
    for ring in 1..=60 {
        let radius = 2.0 * f64::from(ring);
        let around = 8 + 2 * ring;
        for step in 0..around {
            let angle = std::f64::consts::TAU * f64::from(step) / f64::from(around);
            let at = Coord {
                x: from.x + radius * angle.sin(),
                y: from.y + radius * angle.cos(),
            };
            let to_pin = (at.x - hole.pin.x).hypot(at.y - hole.pin.y);
            if to_pin >= far_m && hole.surface_at(at) == Surface::Fairway {
                return Some(at);
            }
        }
    }
    None
}

fn fly_all(
    physics: &Physics<'_>,
    state: &State,
    choose: &Choose<'_>,
    scratch: &mut Scratch,
) -> Vec<Flown> {
    let mut flown = Vec::new();
    let Chosen { actions, balls } = choose(state);
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
