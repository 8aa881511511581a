//! Building the kernel of a hole: states are found from the tee on, round by round.
//!
//! Every round prices the states found in the one before, side by side, and then
//! enters what their balls reached in order, so that the numbers are the same at
//! any number of threads.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use rayon::prelude::*;

use super::action::Action;
use super::candidates::{candidates, tee_candidates};
use super::drops::{self, Relief};
use super::explicit::{Explicit, NO_STATE, Options, State, Table};
use super::flying::{Choose, Chosen, Doing, Flown, fly};
use super::grid::place;
use super::lie::{LIES, Lie};
use super::occupancy::{hit_often, lying, reach_asked, slot};
use super::physics::{Physics, Raw, Sets};
use super::policy::Policy;
use crate::hole::{Coord, Hole, Surface};
use crate::mdp::occupancy::Beginning;
use crate::mdp::{self, ActionId, Kernel, NodeId, Outcome, Solution, StateId, Successor, Terminal};
use crate::outcome::Day;
use crate::sample::{Point, points};

/// Reliefs whose crossings are nearer to each other than this are one, m.
const CROSSING_M: f64 = 1.0;
/// A drop whose rough value is this much dearer than the best is left out.
const DROP_MARGIN: f64 = 0.25;
/// Places kept for a ball that is unplayable, those that look best.
const UNPLAYABLE_SPOTS: usize = 4;
/// A round's states are flown and entered in so many parts, of so many states at least.
const PARTS: usize = 6;
const LEAST_PART: usize = 64;
/// How often a state is reached at least, as those near it are; and the shares of the choices
/// (eighths) and of the balls (one in so many) that its pricing gets. Less often: one choice on
/// [`seldom_balls`](super::Fineness). The evaluation (nine holes, five to eight seeds of the balls, which move a
/// hole by 0.005: in the mean about ± 0.0005 strokes) is 0.0003 more than with six and three
/// choices from 2e-3 and 1e-4 on, for a tenth of the work less on a long hole in relief and a
/// thirtieth on a flat one. With one choice below 7e-4 it is 0.0016 more; with half of the
/// balls of what is often reached, in those two steps, 0.004; by how often each state itself
/// was reached, in them too, 0.002.
const PRICED: [(f32, usize, usize); 4] = [
    (6.0e-3, 8, 1),
    (3.0e-3, 6, 1),
    (7.0e-4, 4, 2),
    (4.0e-4, 2, 2),
];
/// On a hole that is looked at thoroughly every state gets what one has that is so often
/// reached.
const THOROUGHLY: f32 = 7.0e-4;
/// Where what is played is not chosen any more but evaluated. A state that one hole in ten thousand
/// comes by is one of thousands: their errors are each their own. The evaluation spreads as it
/// did with twice the balls of what is less often reached, by the states' own share (nine
/// holes, nine sets: 0.0020 strokes a hole, 0.0021).
const EVALUATED_OFTEN: f32 = 1.0e-3;
const EVALUATED_SELDOM: f32 = 2.0e-5;
/// Where the balls of a tee shot come to lie that is at most so much dearer than the best is
/// evaluated as well as where those of the best do, strokes. The plan's tee shot is the best as they
/// are evaluated: on a few balls, that is the luckiest. (By the best one's balls, a
/// 4-iron on the demo's hole 8 was 3.86 for a 3.91 that was played.)
const EVALUATED_MARGIN: f64 = 0.1;
/// Fresh balls of a choice that is hardly ever met; of others as many as it is met often. The
/// chances spread as they do with half of the most for all of these (nine holes, six sets
/// of balls: 0.0016, 0.0017, 0.0004 and 0.0030 by objective).
const LEAST_FRESH: usize = 8;
/// Balls of a tee shot while scouting. A state that is seldom reached gets as many balls afterwards
/// as while scouting: what scouting has flown of it serves again.
const SCOUT_TEE_BALLS: usize = 256;
/// What a tee shot that scouting does not put first counts for.
const RIVAL_SHARE: f64 = 0.3;
/// One that scouting puts this far behind the best is not priced further, strokes.
const TEE_MARGIN: f64 = 0.15;

/// What was flown that is kept.
#[derive(Clone, Copy)]
enum Keeps {
    Nothing,
    All,
    /// States with one choice on so many balls at most.
    Lone(usize),
}

impl Keeps {
    fn holds(self, flown: &[Flown]) -> bool {
        match (self, flown) {
            (Self::Nothing, _) => false,
            (Self::All, _) => true,
            (Self::Lone(most), [(_, balls)]) => balls.len() <= most,
            (Self::Lone(_), _) => false,
        }
    }
}

struct Builder<'a> {
    physics: &'a Physics<'a>,
    table: &'a Table,
    options: &'a Options,
    out: Explicit,
    kernel: mdp::Builder,
    known: BTreeMap<(i64, i64, u8), Option<NodeId>>,
    /// By state among trees, the node where a ball there may be replayed.
    woods: BTreeMap<u32, NodeId>,
    /// Whose values decide where a ball is dropped and whether it is replayed;
    /// none where the solver does.
    decides: Option<Policy<'a>>,
    /// By node, what its drop is worth to them, the penalty included.
    dropped: Vec<f64>,
    /// What was flown from a state is kept where this says so, for being asked for again.
    keeps: Keeps,
    /// By state; empty where it was not kept.
    kept: Vec<Vec<Flown>>,
}

pub(super) fn tabular(hole: &Hole, day: &Day, table: &Arc<Table>, options: &Options) -> Explicit {
    let fineness = options.fineness;
    let seldom_balls = fineness.seldom_balls;
    let physics = Physics::new(
        (hole, day, &table.problem),
        fineness.seed,
        Sets::Common,
        options.swung.as_ref(),
    );
    let problem = &table.problem;
    let start = [problem.start.x as f32, problem.start.y as f32];
    let tee = tee_candidates(
        &table.screening.list(problem, start, Lie::Tee),
        fineness.choices,
    );
    // First a look round, to find out which states matter.
    let own = points(fineness.seed ^ 0x5EED, options.tee_balls);
    let few = SCOUT_TEE_BALLS.min(own.len());
    let mut builder = Builder::new(&physics, table, options);
    builder.keeps = Keeps::All;
    let builder = builder.run(&tee, &own[..few], &|state| {
        Doing::Flies(Chosen {
            actions: candidates(table, state, 1),
            balls: seldom_balls,
        })
    });
    let (mut scouted, flown) = (builder.out, builder.kept);
    scouted.remove_improper();
    let found = scouted.solve(1.0e-3);
    let tee: Vec<(usize, f64)> = found
        .start_values
        .iter()
        .enumerate()
        .filter(|(_, strokes)| **strokes <= found.start + TEE_MARGIN)
        .map(|(shot, strokes)| {
            let first = *strokes <= found.start;
            (shot, if first { 1.0 } else { RIVAL_SHARE })
        })
        .collect();
    let starts = tee
        .iter()
        .map(|(shot, share)| (Beginning::Start(*shot), *share));
    let often = reach_asked(&scouted, hole, &found, starts.collect(), PRICED[0].0);
    let tee: Vec<Action> = tee.iter().map(|(shot, _)| scouted.tee()[*shot]).collect();
    let mut builder = Builder::new(&physics, table, options);
    builder.keeps = Keeps::Lone(seldom_balls);
    let mut built = builder.run(&tee, &own, &|state| {
        let scouted = known(&scouted, state).map(|s| s as usize);
        let often = often[slot(state)];
        let least = if options.thorough { THOROUGHLY } else { 0.0 };
        let priced = PRICED.iter().find(|(by, ..)| often.max(least) >= *by);
        let (choices, balls) = priced.map_or((1, seldom_balls), |(_, eighths, one_in)| {
            let choices = (fineness.choices * eighths).div_ceil(8);
            (choices, fineness.balls.div_ceil(*one_in))
        });
        match scouted {
            // The same balls from the same places.
            Some(s) if (choices, balls) == (1, seldom_balls) => Doing::Known(&flown[s]),
            _ => Doing::Flies(Chosen {
                actions: candidates(table, state, choices),
                balls,
            }),
        }
    });
    built.out.lone = Arc::new(built.kept);
    built.out.remove_improper();
    built.out
}

pub(super) fn held(
    from: &Explicit,
    hole: &Hole,
    day: &Day,
    solution: &Solution,
    beside: &[Vec<(u32, f64)>],
    (balls, tee_balls): (usize, usize),
) -> Explicit {
    let table = &from.table;
    let seed = from.options.fineness.seed.wrapping_add(0x00F2_E5B0);
    let hit = hit_often(from, solution, beside);
    let physics = Physics::new(
        (hole, day, &table.problem),
        seed,
        Sets::Own(hit),
        from.options.swung.as_ref(),
    );
    let tee = from.tee().get(solution.start_action);
    let tee: Vec<Action> = tee.copied().into_iter().collect();
    // Where other tee shots lead to is evaluated too, and compared.
    let evaluated = solution.start_values.iter().enumerate();
    let evaluated = evaluated.filter(|(_, strokes)| **strokes <= solution.start + EVALUATED_MARGIN);
    let share = |strokes: f64| {
        if strokes <= solution.start {
            1.0
        } else {
            RIVAL_SHARE
        }
    };
    let starts = evaluated.map(|(shot, strokes)| (Beginning::Start(shot), share(*strokes)));
    let starts = starts.chain(beside.iter().flat_map(|balls| lying(balls)));
    let often = reach_asked(from, hole, solution, starts.collect(), EVALUATED_OFTEN);
    let own = points(seed ^ 0x5EED, tee_balls);
    // Balls of other tee shots lie where none of the policy's own comes to lie.
    let lying = beside.iter().flatten();
    let options = Options {
        also: lying
            .map(|(state, _)| from.states[*state as usize].at)
            .collect(),
        ..from.options.clone()
    };
    let mut builder = Builder::new(&physics, table, &options);
    builder.out.pools = physics.pools();
    builder.decides = Some(Policy {
        explicit: from,
        solution,
    });
    let mut built = builder.run(&tee, &own, &|state| {
        let Some(known) = known(from, state).filter(|s| !from.choices(*s).is_empty()) else {
            return Doing::Flies(Chosen {
                actions: candidates(table, state, 1),
                balls: balls.div_ceil(16),
            });
        };
        let often = often[slot(state)];
        // One shot only: nothing was chosen on these balls.
        let lone = from.lone.get(known as usize).map_or(&[][..], |lone| lone);
        if often < EVALUATED_SELDOM && !lone.is_empty() {
            return Doing::Known(lone);
        }
        let share = match often {
            often if often >= EVALUATED_OFTEN => 1,
            seldom if seldom >= EVALUATED_SELDOM => 4,
            _ => 16,
        };
        let choice = solution.policy[known as usize] as usize;
        Doing::Flies(Chosen {
            actions: vec![from.choices(known)[choice]],
            balls: balls.div_ceil(share),
        })
    });
    built.out.remove_improper();
    built.out
}

/// These actions of these states of `from`, on fresh balls, and nothing from any other.
pub(super) fn fresh(
    from: &Explicit,
    hole: &Hole,
    day: &Day,
    wanted: &BTreeMap<u32, Vec<(Action, f64)>>,
    balls: usize,
) -> Explicit {
    let table = &from.table;
    let seed = from.options.fineness.seed.wrapping_add(0x00A1_3B0D);
    let swings = &table.problem.swings;
    let mut hit = vec![0.0; swings.len() * LIES];
    for (state, actions) in wanted {
        let lie = from.states[*state as usize].lie;
        for (action, often) in actions {
            let number = usize::from(action.swing);
            if let Some(swing) = swings.get(number) {
                hit[number * LIES + swing.flies_as(lie) as usize] += often;
            }
        }
    }
    let physics = Physics::new(
        (hole, day, &table.problem),
        seed,
        Sets::Own(hit),
        from.options.swung.as_ref(),
    );
    let also = wanted.keys().map(|state| from.states[*state as usize].at);
    let options = Options {
        also: also.collect(),
        ..from.options.clone()
    };
    let built = Builder::new(&physics, table, &options).run(&[], &[], &|state| {
        let actions = known(from, state).and_then(|known| wanted.get(&known));
        let actions = actions.map_or(&[][..], |actions| actions);
        let often = actions.iter().map(|a| a.1).fold(0.0, f64::max);
        let wanted = (often / f64::from(EVALUATED_OFTEN) * balls as f64) as usize;
        Doing::Flies(Chosen {
            actions: actions.iter().map(|a| a.0).collect(),
            balls: wanted
                .next_power_of_two()
                .clamp(LEAST_FRESH.min(balls), balls),
        })
    });
    built.out
}

/// The number that a state has in a problem built before.
fn known(explicit: &Explicit, state: &State) -> Option<u32> {
    let known = explicit.index[slot(state)];
    (known != NO_STATE).then_some(known)
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
                near: OnceLock::new(),
                kernel: Kernel::default(),
                actions: Vec::new(),
                balls: Vec::new(),
                pools: Vec::new(),
                lone: Arc::default(),
            },
            kernel: mdp::Builder::default(),
            known: BTreeMap::new(),
            woods: BTreeMap::new(),
            decides: None,
            dropped: Vec::new(),
            keeps: Keeps::Nothing,
            kept: Vec::new(),
        }
    }

    fn run(mut self, tee: &[Action], own: &[Point], choose: &Choose<'_>) -> Self {
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
        let here = self.decides.map_or(0.0, |d| d.solution.start);
        for (action, balls) in flown {
            self.enter(action, &balls, here);
        }
        for &at in &self.options.also {
            if let Some(lie) = Lie::on(physics.hole.surface_at(place(at))) {
                self.state(lie, at);
            }
        }
        let mut done = 0;
        while done < self.out.states.len() {
            let frontier = self.out.states[done..].to_vec();
            done = self.out.states.len();
            // While one part is entered, which is the work of one, the next is flown.
            let mut parts = frontier.chunks((frontier.len() / PARTS).max(LEAST_PART));
            let mut entering = parts.next().unwrap_or_default();
            let mut flown = fly(physics, entering, choose);
            for flying in parts {
                let ((), next) = rayon::join(
                    || self.enter_all(entering, flown),
                    || fly(physics, flying, choose),
                );
                (entering, flown) = (flying, next);
            }
            self.enter_all(entering, flown);
        }
        self.out.kernel = std::mem::take(&mut self.kernel)
            .finish()
            .expect("shares of samples add to 1, and states are numbered as they are entered");
        self
    }

    fn enter_all(&mut self, states: &[State], flown: Vec<Vec<Flown>>) {
        for (state, flown) in states.iter().zip(flown) {
            let here = self.decided(place(state.at), state.lie.surface());
            let balls = flown.iter().map(|f| f.1.len()).max().unwrap_or(0);
            self.out.balls.push(balls as u16);
            self.kernel.next_state();
            for (action, balls) in &flown {
                if *action == Action::UNPLAYABLE {
                    self.unplayable(state);
                } else {
                    self.enter(*action, balls, here);
                }
            }
            let keeps = self.keeps.holds(&flown);
            self.kept.push(if keeps { flown } else { Vec::new() });
        }
    }

    fn push(&mut self, action: Action, outcomes: Vec<(f32, Outcome)>) -> ActionId {
        self.out.actions.push(action);
        self.kernel.action(outcomes)
    }

    fn unplayable(&mut self, state: &State) -> Option<ActionId> {
        let node = self.relief(place(state.at), Relief::Unplayable)?;
        Some(self.push(Action::UNPLAYABLE, vec![(1.0, Outcome::Node(node))]))
    }

    /// What a place is worth to those who decide; nothing where the solver does.
    fn decided(&self, at: Coord<f64>, surface: Surface) -> f64 {
        self.decides.map_or(0.0, |d| d.value(surface, at))
    }

    /// The relief, unless it has been decided that the ball is rather replayed
    /// from a place that is worth `here`.
    fn taken(&self, node: Option<NodeId>, here: f64) -> Option<NodeId> {
        node.filter(|&node| self.decides.is_none() || self.dropped[node.index()] <= 1.0 + here)
    }

    /// Whether it has been decided that a ball among trees is rather replayed from
    /// a place that is worth `here`.
    fn goes_back(&self, at: [f32; 2], here: f64) -> bool {
        self.decides.is_some() && self.decided(place(at), Surface::Trees) > 1.0 + here
    }

    /// A shot from its balls, played from a place that is worth `here` to those
    /// who decide; none without any.
    fn enter(&mut self, action: Action, balls: &[Raw], here: f64) -> Option<ActionId> {
        if balls.is_empty() {
            return None;
        }
        let each = 1.0 / balls.len() as f32;
        let mut lies: Vec<u32> = Vec::with_capacity(balls.len());
        let mut reliefs: Vec<NodeId> = Vec::new();
        let mut outcomes: Vec<(f32, Outcome)> = Vec::with_capacity(balls.len());
        let (mut replayed, mut holed) = (0.0_f32, 0.0_f32);
        for ball in balls {
            match *ball {
                Raw::Lies(Lie::Recovery, at) if self.goes_back(at, here) => replayed += each,
                Raw::Lies(lie, at) => lies.push(self.state(lie, at)),
                Raw::Green(distance_m, share) => {
                    holed += each * share;
                    let end = self.table.problem.green(distance_m);
                    outcomes.push((each * (1.0 - share), Outcome::Terminal(end)));
                }
                Raw::Water(crossed, red) => {
                    let kind = if red { Relief::Red } else { Relief::Yellow };
                    let node = self.relief(crossed, kind);
                    match self.taken(node, here) {
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
                    match self.taken(node, here) {
                        Some(node) => reliefs.push(node),
                        None => replayed += each,
                    }
                }
            }
        }
        lies.sort_unstable();
        reliefs.sort_unstable();
        for same in lies.chunk_by(|a, b| a == b) {
            outcomes.push((each * same.len() as f32, self.lying(same[0])));
        }
        for same in reliefs.chunk_by(|a, b| a == b) {
            outcomes.push((each * same.len() as f32, Outcome::Node(same[0])));
        }
        outcomes.push((holed, Outcome::Terminal(Terminal::END)));
        outcomes.push((replayed, Outcome::Restart));
        Some(self.push(action, outcomes))
    }

    /// A ball that lies in a state: among trees it may be replayed, unless that has been decided.
    fn lying(&mut self, state: u32) -> Outcome {
        if self.decides.is_some() || self.out.states[state as usize].lie != Lie::Recovery {
            return Outcome::State(StateId(state));
        }
        let kernel = &mut self.kernel;
        let successor = Successor::State(StateId(state));
        let node = self.woods.entry(state);
        Outcome::Node(*node.or_insert_with(|| kernel.node(0, true, [successor])))
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
    fn relief(&mut self, at: Coord<f64>, kind: Relief) -> Option<NodeId> {
        let snap = |x: f64| (x / CROSSING_M).round() as i64;
        let key = (snap(at.x), snap(at.y), kind as u8);
        if let Some(&node) = self.known.get(&key) {
            return node;
        }
        let places = drops::places(self.physics.hole, self.table.problem.lateral_m, at, kind);
        let problem = &self.table.problem;
        let worth = |place: &Coord<f64>| -> f64 {
            let spot = [place.x as f32, place.y as f32];
            let surface = self.physics.hole.surface_at(*place);
            match (Lie::on(surface), self.decides) {
                (Some(_), Some(decides)) => decides.value(surface, *place),
                (Some(lie), None) => self.table.screening.value_at(problem, spot, lie),
                (None, _) => problem.putts(problem.to_pin_m(spot) as f32),
            }
        };
        let mut priced: Vec<(f64, Coord<f64>)> = places.iter().map(|p| (worth(p), *p)).collect();
        let least = priced.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
        if self.decides.is_some() {
            priced.retain(|p| p.0 <= least);
            priced.truncate(1);
        } else if kind == Relief::Unplayable {
            // Every state among trees has one, and every place is a state more.
            priced.sort_by(|a, b| a.0.total_cmp(&b.0));
            priced.truncate(UNPLAYABLE_SPOTS);
        }
        let mut spots: Vec<Successor> = Vec::new();
        for (strokes, place) in priced {
            if strokes > least + DROP_MARGIN {
                continue;
            }
            let at = [place.x as f32, place.y as f32];
            let spot = match Lie::on(self.physics.hole.surface_at(place)) {
                Some(lie) => Successor::State(StateId(self.state(lie, at))),
                None => {
                    let problem = &self.table.problem;
                    Successor::Terminal(problem.green(problem.to_pin_m(at) as f32))
                }
            };
            if !spots.contains(&spot) {
                spots.push(spot);
            }
        }
        // The stroke of an unplayable ball is the penalty, and nobody who takes it goes back.
        let penalty = match kind {
            Relief::Unplayable => 0,
            Relief::Yellow | Relief::Red => 1,
            Relief::OutOfBounds => 2,
        };
        let may_restart = self.decides.is_none() && kind != Relief::Unplayable;
        let node = (!spots.is_empty()).then(|| {
            self.dropped.push(f64::from(penalty) + least);
            self.kernel.node(penalty, may_restart, spots)
        });
        self.known.insert(key, node);
        node
    }
}
