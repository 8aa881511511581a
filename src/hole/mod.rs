//! GeoJSON to a hole on its local plane: surfaces, ground, teeing areas, trees.
//!
//! [`read_course`] reads a whole file. A [`Hole`] then answers what lies at a
//! point ([`Hole::surface_at`]), how high the ground is ([`Hole::ground`]) and
//! what stands over it ([`Hole::canopy_at`]). The grids behind these answers
//! are built at the first question, once, so that a course of many holes costs
//! only what is played.
//!
//! # What is read
//! - `golf=hole` lines, tee first, are holes; a line named as a range, or more
//!   than half in a `golf=driving_range` area, is not. In a file without any, a
//!   single green with tees on one straight way to it is a hole with an assumed
//!   line; where it could be another way, the line is asked for.
//! - `golf=tee` (area, node), `golf=pin`, and two points with
//!   `bendline=tee_marker` for each colour (`tee=white;yellow`).
//! - `golf=fairway`, `green`, `bunker`, `rough`, `water_hazard` (yellow) and
//!   `lateral_water_hazard` (red, as an area or a line with `width`),
//!   `out_of_bounds` (area, or a line: out is the side away from the line of
//!   play, see [`Hole::surface_at`]).
//! - `natural=water` and `coastline`, reservoirs, basins, docks and watercourses (red: Rules of Golf 2023, definition
//!   "Penalty Area", of one whose colour is not marked; the sea is on a
//!   coastline's right, and around the hole where it is an area), `natural=sand`,
//!   `natural=wood`, `scrub`, `tree_row`, `tree`, `landuse=forest`, with
//!   `height`, `est_height` and `diameter_crown` in metres.
//! - third coordinates: height of the ground, m.
//!
//! A tag that may mean a surface and is none of these is asked about.
//!
//! A feature belongs to a hole by where it lies: within 120 m of the box around
//! the hole it is part of what a ball can finish on. The green is the one
//! nearest to the end of the line of play, within 60 m. Whose a tee is: see
//! the notes on each hole, which also name everything that was assumed.
//!
//! # What is asked
//! A map that can be read and cannot well be so raises questions ([`Hole::asked_from`],
//! [`Course::questions`], [`Course::stroke_indices`]); their topics stand in `hole/questions`, and
//! `holes/README.md` says in words what is asked and what cannot be told.
//!
//! # Limitations
//! - The outline of the course is not taken for out of bounds.
//! - Edges are straight on the hole's plane; over 2 km that is 0.1 m from
//!   straight in degrees.
//! - A tee without tee-markers gets an assumed pair; the markers on the day are
//!   elsewhere.

mod ascii_grid;
mod assemble;
mod boundary;
mod ceiling;
mod clearing;
mod collect;
mod course;
mod crs;
mod doubtful;
mod field;
mod fringe;
mod geojson;
mod geotiff;
mod grid;
mod ground;
mod line;
mod next;
mod obstacle;
mod offer;
mod pairs;
pub mod pin;
pub mod plane;
mod positions;
mod questions;
mod raster;
mod rings;
mod rows;
mod summary;
pub mod surface;
mod tags;
mod teeing;
mod tees;

use std::sync::{Arc, OnceLock};

use crate::diagnostic::{Note, Place, Problem, Question};
use crate::flight::{Canopy, Ceilings, Footing, Turf};
pub use course::{Course, read_course};
use field::{Field, Grids};
pub use fringe::FRINGE_M;
pub use geo::Coord;
pub use ground::Ground;
pub use next::next_step;
pub use raster::{Heights, looks_like_heights, read_heights, read_heights_beside};
pub use summary::{CourseSummary, HoleSummary, summarise, summary_text};

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

impl Surface {
    /// What a ball meets there.
    #[must_use]
    pub fn turf(self) -> Turf {
        match self {
            Self::Tee | Self::Fairway => Turf::Fairway,
            Self::Green => Turf::Green,
            Self::Bunker => Turf::Sand,
            Self::Trees => Turf::WoodFloor,
            Self::PenaltyRed | Self::PenaltyYellow => Turf::Water,
            // A ball runs on out of bounds as it does in rough, and may come back.
            Self::Rough | Self::OutOfBounds => Turf::Rough,
        }
    }
}

/// Something the map does not say, so that a rule had to: each is told in a note of the hole, with
/// its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Assumption {
    /// A straight line of play from the tee to the green, where none is drawn.
    LineOfPlay,
    /// Par, from the hole's name or its length.
    Par,
    /// The pin, in the middle of the green or at the end of the line of play.
    Pin,
    /// Heights of trees, by their kind.
    TreeHeights,
    /// Red, for water without a golf tag.
    WaterColour,
    /// The width of a penalty area drawn as a line.
    StreamWidth,
    /// Flat ground, where the map has no heights.
    FlatGround,
}

impl Assumption {
    /// In few words, for a list.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::LineOfPlay => "line of play",
            Self::Par => "par",
            Self::Pin => "pin",
            Self::TreeHeights => "tree heights",
            Self::WaterColour => "colour of the water",
            Self::StreamWidth => "width of a stream",
            Self::FlatGround => "flat ground",
        }
    }
}

/// Who says where a pin stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum PinFrom {
    /// The map: a pin of some day.
    #[default]
    Map,
    /// Nobody: the map has a green without a pin.
    Assumed,
    /// The counts of the day's pin sheet.
    Sheet,
}

impl PinFrom {
    /// "pin from the map": what a player must know of a pin; nothing of the day's own.
    #[must_use]
    pub fn words(self) -> Option<&'static str> {
        match self {
            Self::Map => Some("pin from the map"),
            Self::Assumed => Some("pin assumed"),
            Self::Sheet => None,
        }
    }
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

/// Something to aim at that the map has not, which is taken to stand up and to be seen from the tee.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// Its name, as it stands in a sentence: hostile text until escaped.
    pub name: String,
    /// Where it stands.
    pub at: Coord<f64>,
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

/// Where a point stands by a line of play.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beside {
    /// How far along the line the nearest place on it is, m from its start.
    pub along_m: f64,
    /// How far off that place the point is, to either side, m.
    pub off_m: f64,
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
    /// Where strokes that are received fall first, 1 to 18: the tag `handicap`; none where it
    /// is no such number.
    pub stroke_index: Option<u8>,
    /// Length along the line of play from the chosen tee to the pin, m.
    pub length_m: f64,
    /// Line of play, tee first, on the plane.
    pub line_of_play: Vec<Coord<f64>>,
    /// Where the pin stands.
    pub pin: Coord<f64>,
    /// Who says so.
    pub pin_from: PinFrom,
    /// Teeing areas, longest first; never empty.
    pub tees: Vec<TeeingArea>,
    /// Drawn areas, lowest first in the order of overlap.
    pub patches: Vec<Patch>,
    /// Single trees and the trees of tree rows.
    pub trees: Vec<Tree>,
    /// What there is to aim at beside what is drawn.
    pub targets: Vec<Target>,
    /// What was assumed, each once; that of a teeing area stands with it.
    pub assumed: Vec<Assumption>,
    /// What was assumed and skipped, in full.
    pub notes: Vec<Note>,
    /// What can be read of the hole and cannot well be so, from whichever tee.
    pub questions: Vec<Question>,
    /// The same of single teeing areas, by their index among `tees`.
    of_tees: Vec<(usize, Question)>,
    /// Where the plane touches the earth, longitude and latitude in degrees.
    pub origin_lon_lat: [f64; 2],
    /// The file, as the user named it: for messages.
    file: String,
    /// Where in the file the line of play stands.
    place: Place,
    /// Index of the teeing area nearest to the start of the line of play.
    usual_tee: usize,
    /// What the grids are built from.
    field: Field,
    /// Built when they are asked for; they ask nothing of the pin.
    grids: Arc<OnceLock<Grids>>,
}

impl Hole {
    /// The same hole with its pin at another place.
    #[must_use]
    pub fn with_pin(&self, pin: Coord<f64>) -> Self {
        Self {
            pin,
            pin_from: self.pin_from,
            reference: self.reference.clone(),
            name: self.name.clone(),
            par: self.par,
            stroke_index: self.stroke_index,
            length_m: self.length_m,
            line_of_play: self.line_of_play.clone(),
            tees: self.tees.clone(),
            patches: self.patches.clone(),
            trees: self.trees.clone(),
            targets: self.targets.clone(),
            assumed: self.assumed.clone(),
            notes: self.notes.clone(),
            questions: self.questions.clone(),
            of_tees: self.of_tees.clone(),
            origin_lon_lat: self.origin_lon_lat,
            file: self.file.clone(),
            place: self.place.clone(),
            usual_tee: self.usual_tee,
            field: self.field.clone(),
            grids: Arc::clone(&self.grids),
        }
    }

    /// Cuts the hole into cells, which the first question about a place does otherwise.
    pub fn prepare(&self) {
        self.grids();
    }

    fn grids(&self) -> &Grids {
        self.grids
            .get_or_init(|| Grids::build(&self.field, &self.patches, &self.trees))
    }

    /// What lies at a point. Beyond [`Hole::bounds`]: out of bounds where the
    /// nearest point within is, rough elsewhere.
    #[inline]
    #[must_use]
    pub fn surface_at(&self, at: Coord<f64>) -> Surface {
        self.grids().labels.surface_at(at)
    }

    /// What a ball meets at a point: the turf, and in the fringe or first cut how far it is that.
    #[inline]
    #[must_use]
    pub fn footing_at(&self, at: Coord<f64>) -> Footing {
        let grids = self.grids();
        let turf = grids.labels.surface_at(at).turf();
        grids.fringes.footing(at, turf)
    }

    /// The drawn area on top at a point; none where nothing is drawn, under
    /// the crown of a single tree, and beyond [`Hole::bounds`].
    #[must_use]
    pub fn patch_at(&self, at: Coord<f64>) -> Option<&Patch> {
        self.grids()
            .labels
            .patch_at(at)
            .and_then(|patch| self.patches.get(patch))
    }

    /// The index of the drawn area on top at a point, crowns of single trees aside; none where
    /// nothing is drawn, and beyond [`Hole::bounds`].
    #[must_use]
    pub fn drawn_at(&self, at: Coord<f64>) -> Option<usize> {
        self.grids().labels.drawn_at(at)
    }

    /// The heights of the ground.
    #[inline]
    #[must_use]
    pub fn ground(&self) -> &Ground {
        &self.grids().ground
    }

    /// The crowns of trees over a point, heights above the ground, m.
    #[inline]
    #[must_use]
    pub fn canopy_at(&self, east_m: f64, north_m: f64) -> Option<Canopy> {
        self.grids().crowns.at(east_m, north_m)
    }

    /// No crown is nearer to a point than this, m; infinite where there are no trees,
    /// 0 beyond [`Hole::bounds`].
    #[inline]
    #[must_use]
    pub fn to_trees_m(&self, at: Coord<f64>) -> f64 {
        self.grids().clearings.to_trees_m(at)
    }

    /// Nothing but the turf of a point, and no crown, is nearer than this, m; 0 beyond
    /// [`Hole::bounds`].
    #[inline]
    #[must_use]
    pub fn to_change_m(&self, at: Coord<f64>) -> f64 {
        self.grids().clearings.to_change_m(at)
    }

    /// No canopy reaches above this absolute height, m; minus infinity where
    /// there are no trees.
    #[must_use]
    pub fn highest_canopy_m(&self) -> f64 {
        self.grids().crowns.highest_m()
    }

    /// What neither ground nor crowns rise above within
    /// [`CEILING_REACH_M`](crate::flight::CEILING_REACH_M) of a point.
    #[inline]
    #[must_use]
    pub fn ceilings(&self, at: Coord<f64>) -> Ceilings {
        self.grids().ceilings.near(at)
    }

    /// The part of the plane that is mapped: the hole and 120 m around it.
    #[must_use]
    pub fn bounds(&self) -> geo::Rect<f64> {
        self.field.window
    }

    /// The teeing area of a colour, in any letter case; without a colour the
    /// one nearest to the start of the mapped line of play.
    ///
    /// # Errors
    /// A [`Problem`] that lists the colours there are.
    #[allow(clippy::result_large_err)] // one call for a plan; a plain Problem reads better there
    pub fn tee(&self, colour: Option<&str>) -> Result<&TeeingArea, Problem> {
        let found = match colour {
            None => self.tees.get(self.usual_tee),
            Some(colour) => {
                let wanted = colour.trim().to_lowercase();
                self.tees.iter().find(|tee| tee.colours.contains(&wanted))
            }
        };
        found.ok_or_else(|| {
            let mut colours: Vec<&str> = self
                .tees
                .iter()
                .flat_map(|tee| tee.colours.iter().map(String::as_str))
                .collect();
            colours.sort_unstable();
            colours.dedup();
            let expected = if colours.is_empty() {
                format!("no colour: the tees of hole {} have none", self.reference)
            } else {
                format!(
                    "a tee colour of hole {}: {}",
                    self.reference,
                    colours.join(", ")
                )
            };
            Problem {
                file: self.file.clone(),
                place: self.place.clone(),
                expected,
                found: colour.unwrap_or("").to_string(),
                remedy: "choose one of these, or leave the colour out".to_string(),
            }
        })
    }

    /// The questions about the hole played from the tee of a colour, or from the usual one, and notes
    /// on its other tees.
    #[must_use]
    pub fn asked_from(&self, colour: Option<&str>) -> (Vec<Question>, Vec<Note>) {
        let named = self.tee(colour).ok();
        let played =
            named.and_then(|tee| self.tees.iter().position(|each| std::ptr::eq(each, tee)));
        let played = played.unwrap_or(self.usual_tee);
        let (mut questions, mut notes) = (self.questions.clone(), Vec::new());
        for (tee, question) in &self.of_tees {
            if *tee == played {
                questions.push(question.clone());
            } else {
                notes.push(Note {
                    file: question.problem.file.clone(),
                    place: question.problem.place.clone(),
                    text: format!(
                        "{}: asked about where that tee is played",
                        question.problem.found
                    ),
                    topic: None,
                });
            }
        }
        (questions, notes)
    }

    /// Where a point stands by the line of play.
    #[must_use]
    pub fn beside_line_of_play(&self, at: Coord<f64>) -> Beside {
        let (along_m, off_m, _) = line::nearest(&self.line_of_play, at);
        Beside { along_m, off_m }
    }

    /// Places on the way from a teeing area along the line of play to the pin, at most so far
    /// apart, each with its distance along it, m.
    #[must_use]
    pub fn way_from(&self, tee: &TeeingArea, apart_m: f64) -> Vec<(f64, Coord<f64>)> {
        let way = line::from_tee(&self.line_of_play, tee.middle(), self.pin);
        let mut along_m = 0.0;
        let mut before = tee.middle();
        let places = line::sampled(&way, apart_m).into_iter();
        places
            .map(|at| {
                along_m += line::distance_m(before, at);
                before = at;
                (along_m, at)
            })
            .collect()
    }

    /// Length from a teeing area along the line of play to the pin, m.
    #[must_use]
    pub fn length_from_m(&self, tee: &TeeingArea) -> f64 {
        line::length_m(&line::from_tee(&self.line_of_play, tee.middle(), self.pin))
    }
}
