//! The whole hole, solved for this player's own game.
//!
//! A hole for one player on one day is a stochastic shortest path, a Markov decision process without
//! discount that ends in the cup. [`mdp`](crate::mdp) solves and evaluates it; here is the golf: states,
//! samples, the kernel that they make, pooling, and values between the cells.
//!
//! | part | here | module |
//! | --- | --- | --- |
//! | state | a cell of ground and a lie | [`grid`], [`lie`], [`explicit`] |
//! | action | club, shape, full or part swing, and aim; a putt from off the green; a drop (Rule 19.2) | [`action`], [`swing`] |
//! | choice without a ball in the air | the drops of a relief, and stroke and distance (Rules 17.1d, 18.1) | `relief`, `drops` |
//! | transition | samples of a swing from a lie, flown and brought to rest by the true flight and ground; the same launches for actions that are compared (common random numbers) | `physics`, `flying`, [`swung`](Swung) |
//! | cost | strokes and penalty strokes; putts by their expectation | [`around`] |
//! | objective | least expected strokes, or the best expected worth of the score; then the strokes taken are part of the state | [`objective`] |
//!
//! # Steps
//! 1. *Screening*: a surrogate kernel of sixteen samples a swing, put down on aggregated states, gives
//!    rough values, and by them a shortlist of actions for every state (`screen`, `candidates`).
//! 2. *Sampling*: the actions of the shortlist are sampled in the states that the tee shot reaches, the
//!    more often a state is reached the more (`build`, `occupancy`, [`explicit`]).
//! 3. *Solving*: value iteration, self-loops eliminated, with bounds on the result ([`ValueIteration`](crate::mdp::ValueIteration)). States
//!    from which the hole is never finished have infinite values ([`Proper`](crate::mdp::Proper)).
//! 4. *Choosing*: one action a state, by the mean difference over neighbouring states (`pooled`,
//!    [`pooled_objective`]).
//! 5. *Evaluation*: the policy is priced on samples that took no part in choosing it
//!    ([`Whole::evaluated`]): the least of several estimates is biased low on its own samples.
//! 6. *Finite horizon*: backward induction over strokes for the other objectives
//!    ([`objective`], [`FiniteHorizon`](crate::mdp::FiniteHorizon)), forward for the distribution of the
//!    score ([`scores`], [`played_for`]).
//! 7. *Next shot*: from a place after the tee shot, one stroke sampled, then the values ([`next_shot`],
//!    [`continuation`]).
//! 8. *Rollouts*: the policy played stroke by stroke from continuous places with random numbers of its
//!    own, sharing with the solver the flight and the ground only ([`simulation`]).
//!
//! [`Whole::of`] takes the steps 1 to 5 (a solution without step 5 has its selection values there); values between cells are blended by [`policy`].
//!
//! # Accuracy
//! A state is a cell and a lie, and its balls start all over the cell: what
//! is left out within a cell is how unevenly balls come to lie within two metres. Over
//! 100 000 holes a demo hole in calm air, the evaluation and the mean of rollouts differ
//! by less than three standard errors of 0.002 (`examples/whole_holes.rs`).
//!
//! # Limitations
//! - The optimum is that of the shots in the kernel: eight for a state that is often reached
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
//!
#![doc = include_str!("README.md")]

pub mod action;
mod answer;
pub mod around;
mod build;
mod candidates;
mod clear;
pub mod continuation;
mod drops;
pub mod explicit;
pub mod fan;
mod flying;
pub mod grid;
pub mod held;
pub mod judge;
pub mod lie;
pub mod next_shot;
pub mod next_shot_for;
pub mod objective;
mod occupancy;
mod physics;
pub mod played_for;
mod played_on;
pub mod policy;
mod pooled;
pub mod pooled_objective;
pub mod problem;
mod relief;
pub mod scores;
mod screen;
mod shot;
pub mod simulation;
pub mod swing;
mod swung;
mod template;

pub use action::{AIM_STEP_DEG, AIMS, Action, Fineness};
pub use answer::Whole;
pub use explicit::{Explicit, Options, State};
pub use policy::Policy;
pub use problem::Problem;
pub use swung::Swung;
