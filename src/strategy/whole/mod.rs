//! The whole hole, solved for this player's own game.
//!
//! Things that know little of each other. The [`problem`] cuts a hole into cells
//! and finds, roughly and quickly, a few shots worth pricing from each; [`explicit`]
//! writes those out as a finite stochastic shortest path, by the true flight and
//! ground; the [`solver`] finds its exact values and proves how exact; neighbours then
//! choose together, so that luck does not choose for them; the [`policy`] answers what
//! to hit from a place and what the place is worth; the [`playout`] plays the policy
//! with continuous places and random numbers of its own, and so checks all of them.
//! [`Whole`] goes all the way, and tells what the policy found is worth on fresh balls:
//! the best of several on the balls it was chosen on flatters.
//!
//! # Accuracy
//! A state is a cell and a lie, and its balls start all over the cell: the only
//! thing left out is how unevenly balls come to lie within two metres. Over
//! 100 000 holes a demo hole in calm air, what is told and the mean of playouts differ
//! by less than three standard errors of 0.002 (`examples/whole_holes.rs`).
//!
//! # Limitations
//! - The optimum is that of the shots written out: eight a state that is often come by
//!   (more from the tee), found on rough values and chosen on 32 balls and the neighbours'.
//! - Aims are 2° apart from a place, relative to the pin; partial swings 7 % of
//!   distance. A state's shot is the same all over its cell.
//! - States that hardly any hole comes by are priced on a few balls, and on one shot
//!   that is looked for near the sweeps' best only: their own values are noisy by
//!   tenths, the tee's by thousandths.
//! - Sand is calibrated to a tenth of a stroke only. Stroke and distance for an
//!   unplayable ball (Rule 19.2a) is offered among trees, seen where the ball lies;
//!   not any more after a stroke from there or a drop.
//! - Putts are the published table; from off the green they are the table's with
//!   the closely mown part counted longer (practice). A chip goes in where the
//!   straight way from its landing to its rest crosses the hole slowly enough.
//! - Model Local Rule E-5 drops at the nearest fairway, not within the whole
//!   relief area that the rule gives.

pub mod action;
pub mod aim_together;
pub mod aims_of_play;
mod answer;
pub mod around;
mod build;
mod candidates;
pub mod chain;
mod clear;
mod drops;
pub mod explicit;
pub mod fan;
mod flat;
mod flying;
pub mod grid;
pub mod held;
pub mod judge;
pub mod lie;
pub mod onward;
mod physics;
pub mod played_for;
mod played_on;
pub mod playout;
pub mod policy;
pub mod problem;
mod proper;
mod reach;
mod relief;
pub mod scores;
mod screen;
mod shot;
pub mod solver;
pub mod swing;
mod swung;
mod template;
mod together;
pub mod way_home;
pub mod way_home_for;
pub mod worth_ahead;

pub use action::{AIM_STEP_DEG, AIMS, Action, Fineness};
pub use answer::Whole;
pub use explicit::{Choice, End, Explicit, Node, Options, Spot, State, Way};
pub use policy::Policy;
pub use problem::Problem;
pub use solver::{Bounds, Solution, solve_explicit};
pub use swung::Swung;
