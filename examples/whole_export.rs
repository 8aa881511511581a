//! Writes a coarsely cut hole as a finite decision problem, with this crate's
//! own values, for a general-purpose solver: `tests/peers/whole_peers.py`.
//!
//!     cargo run --release --example whole_export -- 12 > problem.txt
//!
//! The number is the side of a cell in metres. Lines:
//! `seconds S` (our own time), `value STATE V` (our own values),
//! `pair STATE COST N (NEXT SHARE)×N`. State 0 is the hole: it costs nothing
//! more. What is left of the shares of a pair holes out.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::time::Instant;

use bendline::flight::Firmness;
use bendline::flight::air::{Air, Weather, Wind};
use bendline::flight::ball::Ball;
use bendline::hole::{Surface, read_course};
use bendline::outcome::Day;
use bendline::player::Handedness;
use bendline::player::fit::{FitOptions, fit};
use bendline::player::shotlog;
use bendline::strategy::whole::problem::End;
use bendline::strategy::whole::{Effort, Fineness, Problem, solve};

const HOLE: &str = include_str!("../holes/03-contrary.geojson");
const LOG: &str = include_str!("logs/fade.csv");

fn main() {
    let cell_m = std::env::args()
        .nth(1)
        .and_then(|a| a.parse().ok())
        .unwrap_or(12.0);
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
        balls: 16,
        seed: 1,
    };
    let problem = Problem::of(hole, &player, &day, tee.peg(1.0, 0.1), fineness);
    let begun = Instant::now();
    let solution = solve(&problem, &Effort::exact());
    let seconds = begun.elapsed().as_secs_f64();
    print!("{}", written(&problem, &solution.value, seconds));
}

/// States by name: cells first, then a cell with a crossing whose drop is open.
struct States(BTreeMap<(u32, u32), usize>);

impl States {
    fn number(&mut self, cell: u32, node: u32) -> usize {
        let next = self.0.len() + 1;
        *self.0.entry((cell, node)).or_insert(next)
    }
}

const NO_NODE: u32 = u32::MAX;

fn written(problem: &Problem, values: &[f32], seconds: f64) -> String {
    let mut out = format!("seconds {seconds}\n");
    let mut states = States(BTreeMap::new());
    let mut open: Vec<(u32, u32)> = Vec::new();
    let mut actions = Vec::new();
    let played = |cell: u32| problem.lie(cell as usize).is_some();
    for cell in 0..problem.grid.len() as u32 {
        let Some(lie) = problem.lie(cell as usize) else {
            continue;
        };
        let state = states.number(cell, NO_NODE);
        writeln!(out, "value {state} {}", values[cell as usize]).expect("a string takes all");
        let at = problem.grid.middle(cell as usize);
        problem.actions(at, lie, &mut actions);
        for &action in &actions {
            let mut cost = 1.0;
            let mut next: BTreeMap<usize, f64> = BTreeMap::new();
            for (share, end) in problem.outcomes(at, lie, action) {
                let to = match end {
                    End::Lies(to) => states.number(to, NO_NODE),
                    End::Green(away) => {
                        cost += share * problem.putts(away);
                        continue;
                    }
                    End::Replay => {
                        cost += share;
                        state
                    }
                    End::Penalty(node) => {
                        let fresh = !states.0.contains_key(&(cell, node));
                        if fresh {
                            open.push((cell, node));
                        }
                        states.number(cell, node)
                    }
                };
                *next.entry(to).or_insert(0.0) += share;
            }
            pair(&mut out, state, cost, &next);
        }
        if problem.grid.surface[cell as usize] == Surface::Trees {
            let drops = problem.unplayable(cell as usize);
            dropped(&mut out, problem, &mut states, state, &drops, &played);
        }
    }
    for (cell, node) in open {
        let state = states.number(cell, node);
        let back = states.number(cell, NO_NODE);
        pair(&mut out, state, 1.0, &BTreeMap::from([(back, 1.0)]));
        dropped(
            &mut out,
            problem,
            &mut states,
            state,
            problem.drops(node),
            &played,
        );
    }
    out
}

fn dropped(
    out: &mut String,
    problem: &Problem,
    states: &mut States,
    state: usize,
    drops: &[u32],
    played: &dyn Fn(u32) -> bool,
) {
    for &drop in drops {
        if played(drop) {
            let to = states.number(drop, NO_NODE);
            pair(out, state, 1.0, &BTreeMap::from([(to, 1.0)]));
        } else {
            let away = problem.pin_distance_m(drop as usize);
            pair(out, state, 1.0 + problem.putts(away), &BTreeMap::new());
        }
    }
}

fn pair(out: &mut String, state: usize, cost: f64, next: &BTreeMap<usize, f64>) {
    write!(out, "pair {state} {cost:.12} {}", next.len()).expect("a string takes all");
    for (to, share) in next {
        write!(out, " {to} {share:.12}").expect("a string takes all");
    }
    out.push('\n');
}
