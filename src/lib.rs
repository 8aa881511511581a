//! # bendline
//!
//! Takes a player's own bend and own misses to a real tee, and says where to
//! peg the ball, what to hit and which line to set up on.
//!
//! ```
//! use bendline::{draw, hole::Course, planner::Planner, player::Player};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! # let folder = tempfile::tempdir()?;
//! let course = Course::from_geojson(&std::fs::read("holes/course.geojson")?)?;
//! let player = Player::from_log(&std::fs::read("examples/logs/fade.csv")?, 12.0)?;
//! let hole = course.hole("7")?;
//! let plan = Planner::new(hole, &player).wind("12mph@240".parse()?).plan()?;
//! println!("{}", plan.sentence());
//! # let path = folder.path().join("hole-7.svg");
//! # assert!(plan.verified.is_some());
//! std::fs::write(path, draw::page::page(&plan, hole))?;
//! # Ok(())
//! # }
//! ```
//!
//! ## The way the data goes
//! A hole file and a shot log go in; a decision and a drawing come out. The
//! modules below stand in the order in which data passes through them, and no
//! module imports from one further down.
//!
//! - `vectors`: work for the widest registers that the machine has.
//! - [`diagnostic`]: a problem with an input: file, place, expected, found, remedy.
//! - `twice`: what a JSON reader does not say: keys that stand twice.
//! - [`units`]: yards, feet, miles an hour at the edges; SI inside.
//! - [`sample`]: seeded, low-discrepancy random points.
//! - [`mdp`]: Markov decision processes: one kernel, and what solves and evaluates it.
//! - [`flight`]: air, ball, impact, trajectory, trees, bounce, roll: launch to rest.
//! - [`hole`]: GeoJSON to a local plane: surfaces, ground, teeing areas, trees.
//! - [`round`]: the round file: the day, the tees, the pin sheet.
//! - [`player`]: a shot log to clubs, each with a pattern of launches.
//! - [`outcome`]: the one place where hole, player and flight meet: one shot from
//!   one peg along one aim, flown many times.
//! - [`strategy`]: strokes to hole out, and the search over peg, club and aim.
//! - [`plan`]: the finished, serialisable result, with its words and measurements.
//! - [`practice`]: what practising would save on these holes, and how to practise it.
//! - [`planner`]: one tee of one hole, planned for one player on one day.
//! - [`review`]: rounds that were played against the plans, and what they teach.
//! - [`draw`]: plan to SVG, and to the pocket book, PDF.
//! - [`report`]: plan to terminal text and JSON.

pub mod diagnostic;
pub mod draw;
pub mod flight;
pub mod hole;
pub mod mdp;
pub mod outcome;
pub mod plan;
pub mod planner;
pub mod player;
pub mod practice;
pub mod report;
pub mod review;
pub mod round;
pub mod sample;
pub mod strategy;
mod twice;
pub mod units;
mod vectors;
