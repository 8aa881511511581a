//! The whole hole, solved for this player's own game.
//!
//! Four things that know little of each other: the [`problem`] cuts a hole into
//! a finite stochastic shortest path; the [`solver`] finds its exact values and
//! proves how exact; the [`policy`] answers what to hit from a place and what
//! the place is worth; the [`playout`] plays the policy with the continuous
//! flight and ground, and so checks the first two.
//!
//! # Limitations
//! - `plan` does not use it yet: the tee is still decided by the published
//!   table. [`decide_by`](super::decide_by) takes a [`Policy`] for the table.
//! - Slopes turn no run in the [`problem`]: on greens that slope by several per
//!   cent playouts cost up to a stroke more than the value says.
//! - On a flat plain hole playouts cost about 0.03 strokes more than the value.
//! - Sand factors are practice, not calibrated; there are no putts from off the
//!   green, no chips that go in, and no stroke-and-distance for an unplayable ball.
//! - The quick effort's proven bounds are wide; the exact effort is slow on a
//!   fine grid with trees.

pub mod aims_of_play;
pub mod chain;
pub mod action;
mod answer;
pub mod around;
mod build;
pub mod explicit;
pub mod grid;
pub mod held;
pub mod judge;
pub mod lie;
mod physics;
pub mod playout;
pub mod policy;
pub mod problem;
mod relief;
pub mod scores;
mod screen;
mod shot;
pub mod solver;
pub mod swing;
mod template;
pub mod way_home;

pub use action::{AIM_STEP_DEG, AIMS, Action, Fineness};
pub use answer::Whole;
pub use explicit::{Choice, End, Explicit, Node, Options, Spot, State, Way};
pub use policy::Policy;
pub use problem::Problem;
pub use solver::{Bounds, Solution, solve_explicit};
