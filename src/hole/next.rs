//! The one next thing to do with a hole file, on the way from an empty file to a plan.

use super::Surface;
use super::course::Course;
use super::geojson::{Collector, read_features};
use super::positions::Shape;
use super::tags::{self, What};
use crate::diagnostic::Problems;

/// The next thing to do, in one sentence; none where the file is ready to be planned.
///
/// `course` is what [`super::read_course`] made of the same bytes.
#[must_use]
pub fn next_step(
    bytes: &[u8],
    crs: Option<&str>,
    course: Result<&Course, &Problems>,
) -> Option<String> {
    match course {
        Ok(course) if !course.broken.is_empty() => {
            Some("mend the first hole that is named above; the others can be planned".into())
        }
        Ok(course) => unfinished(course),
        Err(_) => Some(missing(bytes, crs)),
    }
}

/// What a file that is refused lacks first.
fn missing(bytes: &[u8], crs: Option<&str>) -> String {
    let mut out = Collector {
        file: "",
        problems: Vec::new(),
    };
    let features = read_features(&mut out, bytes, crs);
    let has = |wanted: fn(What) -> bool| {
        features
            .iter()
            .any(|each| !matches!(each.shape, Shape::None) && wanted(tags::what(each)))
    };
    let line = has(|what| what == What::Hole);
    let green = has(|what| what == What::Drawn(Surface::Green));
    let tee = has(|what| matches!(what, What::Tee | What::TeeMarker));
    let next = if features.is_empty() && !out.problems.is_empty() && !is_nearly_empty(bytes) {
        "mend the first problem above: the others may go with it"
    } else if !(line || green && tee) {
        "draw the line of play: a line from the tee, along the way the hole is played, to the \
         middle of the green, with the properties golf=hole, ref=1 and par=4"
    } else if !green {
        "draw the green: an area around the end of the line of play, with the property golf=green"
    } else if !tee {
        "draw the tee: an area or a point at the start of the line of play, with the property \
         golf=tee"
    } else if out.problems.is_empty() && !line {
        "draw the line of play of each hole: a line with the property golf=hole, tee first"
    } else {
        "mend the first problem above: the others may go with it"
    };
    next.into()
}

/// Whether there is nothing in a file that a mistake could be made in.
fn is_nearly_empty(bytes: &[u8]) -> bool {
    bytes.iter().filter(|b| !b.is_ascii_whitespace()).count() < 60
}

/// What a sound file lacks before its plan can be trusted.
fn unfinished(course: &Course) -> Option<String> {
    let lacks = |wanted: &[Surface]| {
        course.holes.iter().find(|hole| {
            !hole
                .patches
                .iter()
                .any(|patch| wanted.contains(&patch.surface))
        })
    };
    // A par 3 has its green to land on.
    if let Some(hole) = lacks(&[Surface::Fairway]).filter(|hole| hole.par > 3) {
        return Some(format!(
            "draw the fairway of hole {}: an area with the property golf=fairway, for what nobody \
             drew is rough",
            hole.reference
        ));
    }
    let trouble = [
        Surface::Bunker,
        Surface::Trees,
        Surface::PenaltyRed,
        Surface::PenaltyYellow,
        Surface::OutOfBounds,
    ];
    let open = lacks(&trouble).filter(|hole| hole.trees.is_empty())?;
    Some(format!(
        "draw what can hurt on hole {}: bunkers (golf=bunker), water (golf=lateral_water_hazard), \
         out of bounds (golf=out_of_bounds), woods (natural=wood); without any of them every line \
         is as good as another",
        open.reference
    ))
}
