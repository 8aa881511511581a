//! One shot from one peg along one aim, flown many times.

use crate::hole::{Coord, Surface};

/// A shot off the tee: what the search varies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TeeShot {
    /// Index into `Player::clubs`.
    pub club: usize,
    /// From the left marker's outside point along the front line, m.
    pub from_left_m: f64,
    /// Behind the front line, m.
    pub behind_front_m: f64,
    /// True bearing of the set-up, degrees.
    pub aim_deg: f64,
}

/// Where one ball came to rest.
#[derive(Clone, Copy, Debug)]
pub struct Rest {
    /// On the plane, m.
    pub at: Coord<f64>,
    /// In what; for a ball out of bounds or in a penalty area, where it was lost.
    pub surface: Surface,
    /// Where it last crossed the edge of the penalty area, when it is in one.
    pub crossed: Option<Coord<f64>>,
    /// Where it first touched the ground (or a tree).
    pub landed: Coord<f64>,
    /// How far it bent from its own start line at the end of its flight, right positive, m.
    pub curve_m: f64,
    /// Its start direction, degrees right of the aim.
    pub start_deg: f64,
}
