//! Writes a hole as a finite decision problem, with this crate's own values and
//! choices, for a general-purpose solver: `tests/peers/whole_peers.py`.
//!
//!     cargo run --release --example whole_export -- 2 > problem.txt
//!
//! The number is the side of a cell in metres. Lines: `seconds S B` (our own time
//! to solve what is written out, the best of seven; and to write it out),
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
use bendline::outcome::Day;
use bendline::player::Handedness;
use bendline::player::fit::{FitOptions, fit};
use bendline::player::shotlog;
use bendline::strategy::whole::{Choice, End, Explicit, Fineness, Solution, Spot, solve_explicit};

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
    let mut solution = solve_explicit(&explicit, TOLERANCE);
    for _ in 0..7 {
        let begun = Instant::now();
        solution = solve_explicit(&explicit, TOLERANCE);
        seconds = seconds.min(begun.elapsed().as_secs_f64());
    }
    println!("seconds {seconds} {built}");
    print!("{}", written(&explicit, &solution));
}

/// Values are exact to this, strokes.
const TOLERANCE: f64 = 1.0e-8;

/// Where it is still open whether a ball is replayed.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Until {
    /// In a penalty area: the number of its relief.
    Dropped(u32),
    /// Among trees: the state it lies in.
    Played(u32),
}

/// States of the hole come after 0; then, numbered as they are met, one for every
/// state and ball played from it whose replay is open.
struct Open {
    first: usize,
    known: BTreeMap<(usize, Until), usize>,
    list: Vec<(usize, Until)>,
}

impl Open {
    fn number(&mut self, state: usize, until: Until) -> usize {
        let next = self.first + self.list.len();
        *self.known.entry((state, until)).or_insert_with(|| {
            self.list.push((state, until));
            next
        })
    }
}

fn written(explicit: &Explicit, solution: &Solution) -> String {
    let mut out = String::new();
    let states = explicit.states().len();
    let tee = states + 1;
    let mut open = Open {
        first: tee + 1,
        known: BTreeMap::new(),
        list: Vec::new(),
    };
    for state in 0..states {
        line(
            &mut out,
            format_args!(
                "value {} {:.12} {}",
                state + 1,
                solution.value[state],
                solution.policy[state]
            ),
        );
        for (number, choice) in explicit.choices(state as u32).iter().enumerate() {
            pair(&mut out, explicit, &mut open, state + 1, number, choice);
        }
    }
    line(
        &mut out,
        format_args!("value {tee} {:.12} {}", solution.tee, solution.tee_choice),
    );
    for (number, choice) in explicit.tee().iter().enumerate() {
        pair(&mut out, explicit, &mut open, tee, number, choice);
    }
    for (index, &(state, until)) in open.list.iter().enumerate() {
        let here = open.first + index;
        line(&mut out, format_args!("pair {here} 0 1 1 {state} 1"));
        let node = match until {
            Until::Dropped(node) => node,
            Until::Played(to) => {
                line(&mut out, format_args!("pair {here} 1 0 1 {} 1", to + 1));
                continue;
            }
        };
        let relief = explicit.drops(node);
        for (number, spot) in (1..).zip(&relief.spots) {
            match spot {
                Spot::State(to) => line(
                    &mut out,
                    format_args!("pair {here} {number} {} 1 {} 1", relief.penalty, to + 1),
                ),
                Spot::Green(away) => line(
                    &mut out,
                    format_args!(
                        "pair {here} {number} {:.12} 0",
                        f64::from(relief.penalty) + explicit.putts(*away)
                    ),
                ),
            }
        }
    }
    out
}

fn pair(
    out: &mut String,
    explicit: &Explicit,
    open: &mut Open,
    state: usize,
    number: usize,
    choice: &Choice,
) {
    let mut cost = 1.0;
    let mut next: BTreeMap<usize, f64> = BTreeMap::new();
    for way in explicit.ways(choice) {
        let share = f64::from(way.weight);
        let to = match way.end {
            End::Lies(to) if explicit.may_go_back(to) && to as usize + 1 != state => {
                open.number(state, Until::Played(to))
            }
            End::Lies(to) => to as usize + 1,
            End::Green(away) => {
                cost += share * explicit.putts(away);
                continue;
            }
            End::Holed => continue,
            End::Relief(node) => open.number(state, Until::Dropped(node)),
            End::Replay => {
                cost += share;
                state
            }
            End::Drop(node) => {
                // One pair for every spot: the choice is which.
                for spot in &explicit.drops(node).spots {
                    match spot {
                        Spot::State(to) => {
                            line(out, format_args!("pair {state} {number} 1 1 {} 1", to + 1));
                        }
                        Spot::Green(away) => line(
                            out,
                            format_args!(
                                "pair {state} {number} {:.12} 0",
                                1.0 + explicit.putts(*away)
                            ),
                        ),
                    }
                }
                return;
            }
        };
        *next.entry(to).or_insert(0.0) += share;
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
