//! Writes a hole as a finite decision problem, with this crate's own values and
//! choices, for a general-purpose solver: `tests/peers/whole_peers.py`.
//!
//!     cargo run --release --example whole_export -- 2 > problem.txt
//!
//! The number is the side of a cell in metres. Lines: `seconds S B` (our own time
//! to solve the kernel, the best of seven; and to build it),
//! `value STATE V CHOICE` (our own values and choices),
//! `pair STATE CHOICE COST N (NEXT SHARE)×N`. State 0 is the hole: it costs nothing
//! more. What is left of the shares of a pair holes out.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::time::Instant;

use bendline::flight::Firmness;
use bendline::flight::air::{Air, Weather, Wind};
use bendline::flight::ball::Ball;
use bendline::hole::read_course;
use bendline::mdp::{ActionId, Kernel, NodeId, Solution, StateId, Successor};
use bendline::outcome::Day;
use bendline::player::Handedness;
use bendline::player::fit::{FitOptions, fit};
use bendline::player::shotlog;
use bendline::strategy::whole::{Explicit, Fineness};

const HOLE: &str = include_str!("../holes/03-contrary.geojson");
const LOG: &str = include_str!("logs/fade.csv");

fn main() {
    let cell_m = std::env::args()
        .nth(1)
        .and_then(|a| a.parse().ok())
        .unwrap_or(2.0);
    let weather = Weather::at_altitude(0.0);
    let course = read_course("hole", HOLE.as_bytes(), None).expect("the hole is sound");
    let log = shotlog::read("log", LOG.as_bytes()).expect("the log is sound");
    let options = FitOptions {
        handedness: Handedness::Right,
        handicap: Some(12.0),
        weather,
        firmness: Firmness::Medium,
    };
    let player = fit(&log, &options).expect("the log fits");
    let day = Day {
        air: Air::of(&weather, 0.03),
        wind: Wind {
            speed_m_s: 0.0,
            from_deg: 0.0,
            gust_share: 0.0,
        },
        ball: Ball::modern(),
        firmness: Firmness::Medium,
    };
    let hole = &course.holes[0];
    let tee = hole.tee(None).expect("a tee");
    let fineness = Fineness {
        cell_m,
        ..Fineness::default()
    };
    let begun = Instant::now();
    let explicit = Explicit::of(hole, &player, &day, tee.peg(1.0, 0.1), fineness);
    let built = begun.elapsed().as_secs_f64();
    let mut seconds = f64::INFINITY;
    let mut solution = explicit.solve(TOLERANCE);
    for _ in 0..7 {
        let begun = Instant::now();
        solution = explicit.solve(TOLERANCE);
        seconds = seconds.min(begun.elapsed().as_secs_f64());
    }
    println!("seconds {seconds} {built}");
    print!("{}", written(explicit.kernel(), &solution));
}

/// Values are exact to this, strokes.
const TOLERANCE: f64 = 1.0e-8;

fn written(kernel: &Kernel, solution: &Solution) -> String {
    let mut out = String::new();
    let start = kernel.states() + 1;
    let mut open = Open {
        first: start + 1,
        known: BTreeMap::new(),
        list: Vec::new(),
    };
    for state in 0..kernel.states() {
        let (value, policy) = (solution.value[state], solution.policy[state]);
        let here = state + 1;
        line(&mut out, format_args!("value {here} {value:.12} {policy}"));
        let actions = kernel.actions_of(StateId(state as u32));
        for (number, action) in actions.enumerate() {
            pair(&mut out, kernel, &mut open, here, number, action);
        }
    }
    let (value, policy) = (solution.start, solution.start_action);
    line(&mut out, format_args!("value {start} {value:.12} {policy}"));
    for (number, action) in kernel.actions_of_start().enumerate() {
        pair(&mut out, kernel, &mut open, start, number, action);
    }
    for (index, &(state, node)) in open.list.iter().enumerate() {
        let here = open.first + index;
        let node = kernel.node(node);
        if node.may_restart {
            line(&mut out, format_args!("pair {here} 0 1 1 {state} 1"));
        }
        for (number, successor) in (1..).zip(node.successors) {
            let cost = f64::from(node.cost);
            match successor {
                Successor::State(to) => {
                    let to = to.index() + 1;
                    line(
                        &mut out,
                        format_args!("pair {here} {number} {cost} 1 {to} 1"),
                    );
                }
                Successor::Terminal(end) => {
                    let cost = cost + end.mean;
                    line(&mut out, format_args!("pair {here} {number} {cost:.12} 0"));
                }
            }
        }
    }
    out
}

/// States of the hole come after 0; then, numbered as they are met, one for every
/// state and choice node that an action of it leads to.
struct Open {
    first: usize,
    known: BTreeMap<(usize, NodeId), usize>,
    list: Vec<(usize, NodeId)>,
}

impl Open {
    fn number(&mut self, state: usize, node: NodeId) -> usize {
        let next = self.first + self.list.len();
        *self.known.entry((state, node)).or_insert_with(|| {
            self.list.push((state, node));
            next
        })
    }
}

fn pair(
    out: &mut String,
    kernel: &Kernel,
    open: &mut Open,
    state: usize,
    number: usize,
    action: usize,
) {
    let action = kernel.transitions(ActionId(action as u32));
    let cost = action.cost() + action.restart();
    let mut next: BTreeMap<usize, f64> = BTreeMap::new();
    if action.restart() > 0.0 {
        next.insert(state, action.restart());
    }
    for &(to, share) in action.states() {
        *next.entry(to.index() + 1).or_insert(0.0) += f64::from(share);
    }
    for &(node, share) in action.nodes() {
        let to = open.number(state, node);
        *next.entry(to).or_insert(0.0) += f64::from(share);
    }
    let mut text = format!("pair {state} {number} {cost:.12} {}", next.len());
    for (to, share) in next {
        write!(text, " {to} {share:.12}").expect("a string takes all");
    }
    line(out, format_args!("{text}"));
}

fn line(out: &mut String, text: std::fmt::Arguments<'_>) {
    out.write_fmt(text).expect("a string takes all");
    out.push('\n');
}
