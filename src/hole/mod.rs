//! A hole on its local plane.

pub mod pin;

use crate::diagnostic::Note;
pub use geo::Coord;

/// What lies at a point of a hole. The order of overlap is documented at
/// [`surface`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[repr(u8)]
pub enum Surface {
    /// Everything that nobody drew, and drawn rough.
    Rough = 0,
    /// A teeing ground.
    Tee,
    /// Fairway.
    Fairway,
    /// Putting green.
    Green,
    /// Bunker.
    Bunker,
    /// Wood, scrub, or the crown of a tree: a ball here is in recovery.
    Trees,
    /// Red penalty area.
    PenaltyRed,
    /// Yellow penalty area.
    PenaltyYellow,
    /// Out of bounds.
    OutOfBounds,
}

/// One drawn area of a hole, on the local plane.
#[derive(Clone, Debug)]
pub struct Patch {
    /// What it is.
    pub surface: Surface,
    /// The feature's id, for messages.
    pub id: String,
    /// The feature's name, if any: hostile text until escaped.
    pub name: Option<String>,
    /// Its outline, holes included, metres east and north.
    pub outline: geo::Polygon<f64>,
    /// True when the patch was put there by a rule and not by the map.
    pub assumed: bool,
}

/// Trees as drawn: for the drawing and for landmarks.
#[derive(Clone, Debug)]
pub struct Tree {
    /// Where the trunk stands.
    pub at: Coord<f64>,
    /// Height, m.
    pub height_m: f64,
    /// Crown diameter, m.
    pub crown_m: f64,
    /// The feature's id.
    pub id: String,
    /// Its name, if any.
    pub name: Option<String>,
}

/// A teeing area: a rectangle behind two tee-markers (Rules of Golf 2023,
/// definition "Teeing Area").
#[derive(Clone, Debug)]
pub struct TeeingArea {
    /// Colours, lower case; empty when the map gives none.
    pub colours: Vec<String>,
    /// Outside point of the left marker, seen looking down the hole.
    pub left: Coord<f64>,
    /// Outside point of the right marker.
    pub right: Coord<f64>,
    /// True when the map had no two tee-markers and the pair was put by rule.
    pub assumed: bool,
    /// Id of the feature it came from.
    pub id: String,
}

/// A hole, ready to be played.
#[derive(Debug)]
pub struct Hole {
    /// The hole's `ref`, or its place in the file.
    pub reference: String,
    /// Its name: hostile text until escaped.
    pub name: Option<String>,
    /// Par.
    pub par: u8,
    /// Length along the line of play from the chosen tee to the pin, m.
    pub length_m: f64,
    /// Line of play, tee first, on the plane.
    pub line_of_play: Vec<Coord<f64>>,
    /// Where the pin stands.
    pub pin: Coord<f64>,
    /// Teeing areas, longest first; never empty.
    pub tees: Vec<TeeingArea>,
    /// Drawn areas, lowest first in the order of overlap.
    pub patches: Vec<Patch>,
    /// Single trees and the trees of tree rows.
    pub trees: Vec<Tree>,
    /// What was assumed and skipped.
    pub notes: Vec<Note>,
    /// Where the plane touches the earth, longitude and latitude in degrees.
    pub origin_lon_lat: [f64; 2],
}
