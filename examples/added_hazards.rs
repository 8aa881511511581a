//! The demo holes with hazards added anywhere, planned with full effort: which are planned, which
//! are refused, and whether every plan holds.
//!
//!     cargo run --release --example added_hazards -- 0 1000      so many, from this one on
//!     cargo run --release --example added_hazards -- FILE …      these hole files
//!
//! Exit code 1 where one does not hold.

#[path = "../tests/added_hazards/mod.rs"]
mod added_hazards;
#[allow(dead_code, reason = "it plans holes of its own")]
mod demo;
#[path = "../tests/added_hazards/random.rs"]
mod random;

use std::process::ExitCode;
use std::time::Instant;

use added_hazards::{Area, holds_whole, usual_tee, with_areas};
use bendline::hole::{Hole, read_course};
use bendline::strategy::Question;
use bendline::strategy::by_game::{Wants, solve_and_decide};
use bendline::strategy::whole::Options;
use bendline::strategy::whole::objective::Objective;

const HOLES: [&str; 9] = [
    include_str!("../holes/01-sickle.geojson"),
    include_str!("../holes/02-kestrel.geojson"),
    include_str!("../holes/03-contrary.geojson"),
    include_str!("../holes/04-flue.geojson"),
    include_str!("../holes/05-two-bites.geojson"),
    include_str!("../holes/06-boundary.geojson"),
    include_str!("../holes/07-millpond.geojson"),
    include_str!("../holes/08-pepperpot.geojson"),
    include_str!("../holes/09-long-drop.geojson"),
];

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let numbers: Option<Vec<u64>> = arguments.iter().map(|a| a.parse().ok()).collect();
    let mut tally = Tally::default();
    match numbers.as_deref() {
        Some(&[from, count]) => {
            for seed in from..from + count {
                let mut numbers = random::numbers(seed);
                let hole = random::below(&mut numbers, HOLES.len());
                let areas = random::areas(&mut numbers);
                let text = with_areas(HOLES[hole], &areas);
                tally.plan(
                    &format!("{seed}: hole {}, {}", hole + 1, words(&areas)),
                    &text,
                );
            }
        }
        _ => {
            for path in &arguments {
                let text = std::fs::read_to_string(path).expect("a hole file");
                tally.plan(path, &text);
            }
        }
    }
    println!(
        "{} planned, {} refused, {} no holes, {} do not hold",
        tally.planned, tally.refused, tally.no_hole, tally.astray
    );
    if tally.astray == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

fn words(areas: &[Area]) -> String {
    let kinds: Vec<&str> = areas.iter().map(Area::kind).collect();
    kinds.join(" + ")
}

#[derive(Default)]
struct Tally {
    planned: usize,
    refused: usize,
    no_hole: usize,
    astray: usize,
}

impl Tally {
    fn plan(&mut self, name: &str, text: &str) {
        let Ok(course) = read_course(name, text.as_bytes(), None) else {
            self.no_hole += 1;
            return;
        };
        for hole in &course.holes {
            self.plan_hole(name, hole);
        }
    }

    fn plan_hole(&mut self, name: &str, hole: &Hole) {
        let (player, day) = (demo::player(), demo::day(0.0, 0.0));
        let question = Question {
            hole,
            tee: usual_tee(hole),
            player: &player,
            day: &day,
            seed: 1,
        };
        let aims = [
            Objective::Strokes,
            Objective::Par,
            Objective::NoDouble,
            Objective::Points { received: 0 },
        ];
        let wants = Wants {
            aim: &aims[0],
            beside: &aims,
        };
        let begun = Instant::now();
        let options = Options {
            evaluation_tee_balls: 16_384,
            ..Options::default()
        };
        let found = solve_and_decide(&question, &options, &wants, &|_| {});
        let seconds = begun.elapsed().as_secs_f64();
        match found {
            Ok((whole, found)) => {
                let strokes = found.decision.choice.strokes;
                let held = holds_whole(&found, hole, true);
                self.planned += 1;
                self.astray += usize::from(held.is_err());
                println!(
                    "{name}: {strokes:.2} strokes; optimum {:.2}, chosen {:.2}, told {:.2}; {seconds:.1} s{}",
                    whole.optimum.start,
                    whole.chosen.start,
                    whole.worth.start,
                    held.err()
                        .map_or(String::new(), |why| format!("; ASTRAY: {why}")),
                );
            }
            Err(refusal) => {
                self.refused += 1;
                println!("{name}: {refusal}; {seconds:.1} s");
            }
        }
    }
}
