//! Strokes to hole out, and the search over peg, club and aim.
//!
//! - [`finish`]: strokes to hole out by lie, distance and level.
//! - [`rules`]: what the Rules make of a ball at rest; stroke and distance.
//! - [`search`]: the least expected strokes over peg, club, shape and aim.
//! - [`reached`]: whether a hole is reached at all, and what stands in the way.
//! - `follow`: from a shot to the best near it.
//! - [`range`]: one tee of one hole, and the price of one shot from it.
//! - [`named`]: aims that have a name, and how much the aim matters.
//! - [`whole`]: the whole hole solved by the player's own game.
//! - `evaluated`: a decision with its figures evaluated on fresh samples, and the choice among
//!   contenders by them.
//! - [`by_game`]: a tee decided by it, and what else it says.
//! - [`part_swings`]: part swings as tee shots, where a full swing is too long.
//! - [`rollouts`]: the rows of a decision played out, and re-priced where they disagree.
//! - [`robust`]: whether a choice holds however the player scatters, by play.
//! - `judging`: the scores, objectives and next shot beside a tee shot.
//! - [`other_wind`]: the same tee in another wind.
//! - [`what_if`]: the same tee in other winds and to other pins.
//! - [`own_shot`]: a tee shot of the player's choosing beside the plan.
//! - [`usual`]: the usual ball of a tee shot, mishits and tree hits apart.
//! - [`middle`]: the middle of the hole, for aims that have a name.

pub mod by_game;
mod evaluated;
pub mod finish;
mod follow;
mod judging;
mod known;
pub mod middle;
pub mod named;
pub mod other_wind;
pub mod own_shot;
pub mod part_swings;
pub mod range;
pub mod reached;
pub mod robust;
pub mod rollouts;
pub mod rules;
pub mod search;
mod surface_fit;
pub mod usual;
pub mod what_if;
pub mod whole;

use crate::hole::{Coord, Hole, TeeingArea};
use crate::outcome::{Day, Finish, Rest, TeeShot};
use crate::player::Player;

pub use reached::NotReached;
pub use rules::StrokesFrom;
pub use search::{decide, decide_again, decide_by};

/// What to decide.
#[derive(Clone, Copy)]
pub struct Question<'a> {
    /// The hole.
    pub hole: &'a Hole,
    /// The teeing area to play from.
    pub tee: &'a TeeingArea,
    /// The player.
    pub player: &'a Player,
    /// The day.
    pub day: &'a Day,
    /// Seed of every random point.
    pub seed: u32,
}

/// How far the search is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Steps done.
    pub done: usize,
    /// Steps in all.
    pub total: usize,
    /// What is being done.
    pub doing: &'static str,
}

/// One shot, priced on many balls.
#[derive(Clone, Debug)]
pub struct Priced {
    /// The shot.
    pub shot: TeeShot,
    /// Its peg on the plane.
    pub peg: Coord<f64>,
    /// Expected strokes to hole out, this stroke included.
    pub strokes: f64,
    /// Standard error over independent sets of balls.
    pub standard_error: f64,
    /// Strokes more than the choice on the same balls; 0 for the choice.
    pub costs: f64,
    /// Standard error of that difference.
    pub costs_standard_error: f64,
    /// Every ball.
    pub rests: Vec<Rest>,
    /// What happens how often.
    pub finish: Finish,
    /// Median carry of its sound strikes, m.
    pub carry_m: f64,
}

/// The chosen club from the chosen peg with another aim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AimCost {
    /// Bearing of the aim line, degrees.
    pub aim_deg: f64,
    /// Strokes more than the choice, on the same samples.
    pub costs: f64,
    /// Standard error of that difference.
    pub costs_standard_error: f64,
}

/// What the search found on one tee.
#[derive(Clone, Debug)]
pub struct Decision {
    /// The shot to hit.
    pub choice: Priced,
    /// The best shot of every other club and shape, best first.
    pub alternatives: Vec<Priced>,
    /// Named aims with the chosen club: `down the middle`, `aiming off half your bend`.
    pub comparisons: Vec<(String, Priced)>,
    /// Lowest and highest bearing around the choice within 0.02 strokes, degrees.
    pub aim_window_deg: [f64; 2],
    /// Costs of aims beside the choice's, from left to right; the choice's own among them.
    pub aim_costs: Vec<AimCost>,
    /// What the choice costs more from a peg half a yard further back, strokes, and the standard
    /// error.
    pub further_back_costs: (f64, f64),
    /// The typical flight of the chosen shot, `[east, north, up]` on the plane
    /// (up from zero height), tee first.
    pub flight: Vec<[f64; 3]>,
    /// How many points of `flight` are in the air.
    pub flight_airborne: usize,
}
