//! Things that are drawn larger than they are.

use geo::{Area, BoundingRect};

use super::super::Surface;
use super::super::positions::Shape;
use super::super::tags::{self, What};
use super::{Asked, Seen};
use crate::diagnostic::{Note, Topic};

/// Widest green that is not asked about, m: shared greens reach 100 m.
const WIDEST_GREEN_M: f64 = 110.0;
/// Least width of a green that is not asked about, m: a putt is longer.
const NARROWEST_GREEN_M: f64 = 4.0;
/// Widest bunker without a note, m: waste areas are wider, and are no bunkers by rule.
const WIDEST_BUNKER_M: f64 = 100.0;
/// Greatest share of a hole's surroundings that is one fairway: a shared one takes a quarter.
const MOST_FAIRWAY: f64 = 0.4;
/// Tallest trees that are not asked about, m: temperate broadleaves and pines end at about 45 m
/// (memory), and 80 ft are 24 m.
const TALLEST_M: f64 = 50.0;
/// Widest stream drawn as a line, m: wider ones are drawn as areas.
const WIDEST_STREAM_M: f64 = 40.0;
/// Widest pair of tee-markers, m (practice: 5 to 15 m).
const WIDEST_MARKERS_M: f64 = 30.0;
/// Most things that are named in one question.
const MOST_NAMED: usize = 4;

/// Asks about sizes.
pub(super) fn of_hole(seen: &Seen<'_>, asked: &mut Asked) {
    asked.notes.extend(bunkers(seen));
    let mut odd = Vec::new();
    if let Some(of_box) = seen.green.bounding_rect() {
        let width_m = of_box.width().max(of_box.height());
        if width_m > WIDEST_GREEN_M {
            odd.push(format!(
                "a green {width_m:.0} m across (at most {WIDEST_GREEN_M:.0} m)"
            ));
        } else if width_m < NARROWEST_GREEN_M {
            odd.push(format!(
                "a green {width_m:.1} m across (at least {NARROWEST_GREEN_M:.0} m)"
            ));
        }
    }
    let whole = seen.window.width() * seen.window.height();
    for patch in seen.patches {
        let share = patch.outline.unsigned_area() / whole;
        if patch.surface == Surface::Fairway && share > MOST_FAIRWAY {
            odd.push(format!(
                "a fairway ({}) on {:.0} % of the hole and its surroundings",
                patch.id,
                100.0 * share
            ));
        }
    }
    for tee in seen.tees.iter().filter(|tee| !tee.assumed) {
        let width_m = tee.width_m();
        if width_m > WIDEST_MARKERS_M {
            odd.push(format!(
                "tee-markers ({}) {width_m:.0} m apart (at most {WIDEST_MARKERS_M:.0} m)",
                tee.id
            ));
        }
    }
    for &feature in &seen.builder.near {
        let each = &seen.map().features[feature];
        let tall = seen.map().tree_sizes[feature]
            .0
            .filter(|height_m| *height_m > TALLEST_M);
        let wide = match (seen.map().what[feature], &each.shape) {
            (
                What::Waterway | What::Drawn(Surface::PenaltyRed | Surface::PenaltyYellow),
                shape @ Shape::Lines(_),
            ) if !tags::is_closed_line(shape) => each
                .tag("width")
                .and_then(tags::width_in)
                .filter(|width_m| *width_m > WIDEST_STREAM_M),
            _ => None,
        };
        if (tall.is_none() && wide.is_none()) || !seen.in_reach(feature) {
            continue;
        }
        if let Some(height_m) = tall {
            odd.push(format!(
                "trees ({}) {height_m:.0} m high (at most {TALLEST_M:.0} m; {height_m:.0} ft are {:.0} m)",
                each.id,
                height_m * crate::units::FOOT_M
            ));
        }
        if let Some(width_m) = wide {
            odd.push(format!(
                "a stream ({}) {width_m:.0} m wide (at most {WIDEST_STREAM_M:.0} m as a line)",
                each.id
            ));
        }
    }
    if odd.is_empty() {
        return;
    }
    let more = match odd.len().saturating_sub(MOST_NAMED) {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    odd.truncate(MOST_NAMED);
    asked.questions.push(seen.ask(
        Topic::OddSize,
        &format!(
            "what is drawn around hole {} in its own size",
            seen.own.reference
        ),
        format!("{}{more}", odd.join("; ")),
        "correct the outline or the tag: heights and widths are in metres",
    ));
}

/// Bunkers wider than any that a rake goes over.
fn bunkers(seen: &Seen<'_>) -> Option<Note> {
    let wide = seen.patches.iter().filter_map(|patch| {
        let of_box = patch.outline.bounding_rect()?;
        let width_m = of_box.width().max(of_box.height());
        (patch.surface == Surface::Bunker && width_m > WIDEST_BUNKER_M).then_some((width_m, patch))
    });
    let (width_m, patch) = wide.max_by(|one, other| one.0.total_cmp(&other.0))?;
    Some(seen.note(
        Topic::OddSize,
        seen.place,
        format!(
            "a bunker ({}) {width_m:.0} m across: look at its outline; a waste area that is no bunker by the \
             rules is golf=rough",
            patch.id
        ),
    ))
}
