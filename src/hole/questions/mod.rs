//! What can be read of a map and cannot well be so.
//!
//! | topic | asked where |
//! | --- | --- |
//! | `map-tag` | a tag that may mean a surface is not known ([`tag`]) |
//! | `latitude-first` | positions have their numbers changed about ([`order`]) |
//! | `line-direction` | the line of play starts on the green, or ends on the tee ([`way`]) |
//! | `hole-length` | no hole of that par is that long or short ([`way`]) |
//! | `odd-place` | tee, bend or pin lie in water, out of bounds or under trees ([`place`]) |
//! | `two-pins` | two pins stand on the green ([`place`]) |
//! | `odd-size` | a green, fairway, tree, stream or pair of tee-markers is too large, a green too small ([`size`]) |
//! | `stroke-index` | an index is none or stands twice, and strokes are received ([`index`]) |
//!
//! Questions of one feature or of the file are found once and stand with every hole that they
//! reach; those of a hole stand with it, and those of a tee with the tee, to be asked where it is
//! played. What may be so is a note with a topic.

pub(super) mod index;
mod order;
mod place;
mod size;
mod tag;
mod way;

use geo::{Coord, Intersects, Polygon, Rect};

use super::collect::{Builder, clipped};
use super::course::{HoleLine, Map};
use super::positions::Shape;
use super::{Patch, TeeingArea, Tree};
use crate::diagnostic::{Note, Place, Problem, Question, Topic};

pub(super) use tag::{Suspect, suspects};
pub(super) use way::{starts_on_green, turned_back};

/// A hole as far as it is put together, and what it was put together from.
pub(super) struct Seen<'a> {
    pub builder: &'a Builder<'a>,
    pub own: &'a HoleLine,
    pub place: &'a Place,
    pub green: &'a Polygon<f64>,
    /// Whether other holes end on the same green.
    pub shared: bool,
    pub pin: Coord<f64>,
    pub tees: &'a [TeeingArea],
    /// Index of the tee that is played where none is named.
    pub usual_tee: usize,
    /// Tee-markers near the hole that are of no hole.
    pub stray_markers: &'a [usize],
    /// Whether the file has no other hole.
    pub alone: bool,
    pub length_m: f64,
    /// Par as the map has it; none where it was judged by length.
    pub par: Option<u8>,
    pub window: Rect<f64>,
    /// Lowest first; the first `under` of them lie under the crowns of trees.
    pub patches: &'a [Patch],
    pub under: usize,
    pub trees: &'a [Tree],
}

/// A question in words.
fn ask(
    topic: Topic,
    file: &str,
    place: &Place,
    expected: &str,
    found: String,
    remedy: &str,
) -> Question {
    Question {
        topic,
        problem: Problem {
            file: file.to_string(),
            place: place.clone(),
            expected: expected.to_string(),
            found,
            remedy: remedy.to_string(),
        },
    }
}

impl Seen<'_> {
    fn map(&self) -> &Map<'_> {
        self.builder.map
    }

    /// A question about the hole, at its line of play.
    fn ask(&self, topic: Topic, expected: &str, found: String, remedy: &str) -> Question {
        ask(topic, self.map().file, self.place, expected, found, remedy)
    }

    fn note(&self, topic: Topic, place: &Place, text: String) -> Note {
        Note {
            file: self.map().file.to_string(),
            place: place.clone(),
            text,
            topic: Some(topic),
        }
    }

    /// Whether a feature reaches into the mapped surroundings of the hole.
    fn in_reach(&self, feature: usize) -> bool {
        let map = self.map();
        match &map.features[feature].shape {
            Shape::None => false,
            Shape::Points(points) => self
                .builder
                .flat(points)
                .iter()
                .any(|at| self.window.intersects(at)),
            Shape::Lines(_) => self.builder.lines(feature).iter().any(|line| {
                line.windows(2)
                    .any(|pair| self.window.intersects(&geo::Line::new(pair[0], pair[1])))
            }),
            Shape::Areas(_) => self
                .builder
                .areas(feature)
                .into_iter()
                .any(|area| !clipped(area, self.window).is_empty()),
        }
    }
}

/// What is asked about a hole, and what stands first in its plan.
#[derive(Default)]
pub(super) struct Asked {
    pub questions: Vec<Question>,
    /// Of single teeing areas, by their index: asked where they are played.
    pub of_tees: Vec<(usize, Question)>,
    pub notes: Vec<Note>,
}

/// The questions and first notes of a hole.
pub(super) fn of_hole(seen: &Seen<'_>) -> Asked {
    let mut asked = Asked::default();
    for suspect in &seen.map().suspects {
        if suspect.features.iter().any(|&at| seen.in_reach(at)) {
            asked.questions.push(suspect.question.clone());
        }
    }
    way::of_hole(seen, &mut asked);
    place::of_hole(seen, &mut asked);
    size::of_hole(seen, &mut asked);
    asked
}

/// The questions about a file as a whole.
pub(super) fn of_file(map: &Map<'_>, bbox: Option<[f64; 4]>, in_degrees: bool) -> Vec<Question> {
    if in_degrees {
        order::questions(map, bbox)
    } else {
        Vec::new()
    }
}
