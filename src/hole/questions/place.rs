//! Tee, bends and pin: what lies on top where they are drawn.
//!
//! The order of overlap decides ([`surface`]), so that a green on an island that
//! was not cut out of the lake, or a tee in a clearing of a wood, is not asked about.

use geo::{Contains, Coord, Distance, Euclidean, Point};

use super::super::collect::PIN_OFF_M;
use super::super::positions::Shape;
use super::super::tags::{self, What};
use super::super::{Surface, line, surface};
use super::Seen;
use crate::diagnostic::{Note, Question, Topic};

/// A bend lies in water where most of the ground within this of it does, m: on the bank, or on a
/// brook, is no bend in water.
const AROUND_BEND_M: f64 = 6.0;
/// Longest carry over water that a line of play asks for, m: about 240 yd (practice).
const LONGEST_CARRY_M: f64 = 220.0;
/// Longest stretch of a line of play out of bounds, m: the edges of maps are no nearer.
const LONGEST_OUT_M: f64 = 30.0;
/// How far ahead of the tee a ball is lower than any branch, m (practice).
const LOW_AHEAD_M: f64 = 10.0;
/// A pin of this hole's, or of none, this near to its green belongs to it, m.
const PIN_ASTRAY_M: f64 = 150.0;
const STRAY_PIN_M: f64 = 30.0;
/// Two pins nearer to each other than this are one, drawn twice, m.
const SAME_PIN_M: f64 = 1.0;
/// Most odd places that are named in one question.
const MOST_NAMED: usize = 4;

/// Asks about the hole's places.
pub(super) fn of_hole(seen: &Seen<'_>, questions: &mut Vec<Question>, notes: &mut Vec<Note>) {
    let mut odd = tees(seen);
    odd.extend(line_of_play(seen));
    odd.extend(pin(seen));
    if !odd.is_empty() {
        let more = match odd.len().saturating_sub(MOST_NAMED) {
            0 => String::new(),
            more => format!("; and {more} more"),
        };
        odd.truncate(MOST_NAMED);
        questions.push(seen.ask(
            Topic::OddPlace,
            &format!(
                "tee, bends of the line of play and pin of hole {} on ground to play from",
                seen.own.reference
            ),
            format!("{}{more}", odd.join("; ")),
            "move what was drawn over them or put them where they are; cut an island out of its lake, a \
             clearing out of its wood",
        ));
    }
    questions.extend(two_pins(seen));
    notes.extend(wetlands(seen));
}

/// What lies on top, and the id of what was drawn there.
struct On<'a> {
    surface: Surface,
    id: &'a str,
}

fn on<'a>(seen: &Seen<'a>, at: Coord<f64>) -> On<'a> {
    match surface::topmost(seen.patches, seen.under, seen.trees, at) {
        surface::Topmost::Patch(patch) => On {
            surface: patch.surface,
            id: &patch.id,
        },
        surface::Topmost::Crown(tree) => On {
            surface: Surface::Trees,
            id: &tree.id,
        },
        surface::Topmost::Nothing => On {
            surface: Surface::Rough,
            id: "",
        },
    }
}

fn words(surface: Surface) -> &'static str {
    match surface {
        Surface::Rough => "in the rough",
        Surface::Tee => "on a tee",
        Surface::Fairway => "on the fairway",
        Surface::Green => "on a green",
        Surface::Bunker => "in a bunker",
        Surface::Trees => "under trees",
        Surface::PenaltyRed | Surface::PenaltyYellow => "in a penalty area",
        Surface::OutOfBounds => "out of bounds",
    }
}

fn wet_or_out(surface: Surface) -> bool {
    matches!(
        surface,
        Surface::PenaltyRed | Surface::PenaltyYellow | Surface::OutOfBounds
    )
}

fn lies(what: &str, on: &On<'_>) -> String {
    format!("{what} lies {} ({})", words(on.surface), on.id)
}

fn tees(seen: &Seen<'_>) -> Vec<String> {
    let mut odd = Vec::new();
    let own_line = &seen.map().features[seen.own.feature].id;
    for tee in seen.tees {
        let middle = tee.middle();
        let what = match tee.colours.join(";") {
            colours if colours.is_empty() => format!("a tee ({})", tee.id),
            colours => format!("the {colours} tee ({})", tee.id),
        };
        let here = on(seen, middle);
        if here.surface == Surface::Green && tee.id == *own_line {
            // Put at the start of the line for want of a tee: the line is asked about.
            continue;
        }
        if wet_or_out(here.surface)
            || matches!(
                here.surface,
                Surface::Bunker | Surface::Green | Surface::Trees
            )
        {
            odd.push(lies(&what, &here));
            continue;
        }
        let [x, y] = tee.forward();
        let forward = Coord { x, y };
        let ahead = line::sampled(&[middle, middle + forward * LOW_AHEAD_M], 2.0);
        // A crown is cut away over a tee that is drawn; its trunk stands there all the same.
        let trunk = seen.trees.iter().find(|tree| {
            let off = tree.at - middle;
            let along = off.x * x + off.y * y;
            let aside = (off.x * y - off.y * x).abs();
            let half_m = tee.width_m() / 2.0;
            // Markers put by rule stand as far apart as the mown ground is wide.
            let half_m = if tee.assumed { half_m.min(3.0) } else { half_m };
            (-2.5..=LOW_AHEAD_M).contains(&along) && aside <= half_m
        });
        let wood = ahead
            .iter()
            .map(|&at| on(seen, at))
            .find(|on| on.surface == Surface::Trees);
        if let Some(tree) = trunk {
            odd.push(format!(
                "a tree ({}) stands on {what} or within {LOW_AHEAD_M:.0} m ahead of it",
                tree.id
            ));
        } else if let Some(on) = wood {
            odd.push(format!(
                "trees ({}) begin within {LOW_AHEAD_M:.0} m ahead of {what}",
                on.id
            ));
        }
    }
    odd
}

fn line_of_play(seen: &Seen<'_>) -> Vec<String> {
    let mut odd = Vec::new();
    let whole = &seen.own.line;
    for (number, &bend) in whole[1..whole.len() - 1].iter().enumerate() {
        let here = on(seen, bend);
        if !wet_or_out(here.surface) {
            continue;
        }
        let steps = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)];
        let around = steps.iter().filter(|&&(x, y)| {
            let at = bend + Coord { x, y } * AROUND_BEND_M;
            wet_or_out(on(seen, at).surface)
        });
        if around.count() >= 3 {
            let what = format!("bend {} of the line of play", number + 1);
            odd.push(lies(&what, &here));
        }
    }
    if !odd.is_empty() {
        return odd;
    }
    const STEP_M: f64 = 5.0;
    let (mut out_m, mut wet_m, mut last) = (0.0, 0.0, None);
    let (mut most_out, mut most_wet) = ((0.0, ""), (0.0, ""));
    for at in line::sampled(whole, STEP_M) {
        let step = last.map_or(0.0, |before| line::distance_m(before, at));
        last = Some(at);
        let here = on(seen, at);
        let (out, wet) = match here.surface {
            Surface::OutOfBounds => (out_m + step, 0.0),
            Surface::PenaltyRed | Surface::PenaltyYellow => (0.0, wet_m + step),
            _ => (0.0, 0.0),
        };
        (out_m, wet_m) = (out, wet);
        if out_m > most_out.0 {
            most_out = (out_m, here.id);
        }
        if wet_m > most_wet.0 {
            most_wet = (wet_m, here.id);
        }
    }
    let longest = [
        (most_out, LONGEST_OUT_M, "out of bounds"),
        (most_wet, LONGEST_CARRY_M, "in a penalty area"),
    ];
    for ((stretch_m, id), allowed_m, where_it_lies) in longest {
        if stretch_m > allowed_m {
            odd.push(format!(
                "{stretch_m:.0} m of the line of play on end lie {where_it_lies} ({id})"
            ));
        }
    }
    odd
}

fn pin(seen: &Seen<'_>) -> Vec<String> {
    let mut odd = Vec::new();
    let here = on(seen, seen.pin);
    if wet_or_out(here.surface) || matches!(here.surface, Surface::Bunker) {
        odd.push(lies("the pin", &here));
    }
    for &feature in &seen.builder.near {
        let Shape::Points(points) = &seen.map().features[feature].shape else {
            continue;
        };
        if seen.map().what[feature] != What::Pin {
            continue;
        }
        let at = seen.builder.flat(&points[..1])[0];
        let off_m = Euclidean.distance(&Point(at), seen.green);
        let near_m = match seen.map().features[feature].tag("ref") {
            Some(number) if seen.own.has_ref && number == seen.own.reference => PIN_ASTRAY_M,
            Some(_) => continue,
            None => STRAY_PIN_M,
        };
        let on_another = || {
            seen.patches
                .iter()
                .any(|patch| patch.surface == Surface::Green && patch.outline.contains(&Point(at)))
        };
        if off_m > PIN_OFF_M && off_m <= near_m && !on_another() {
            let id = &seen.map().features[feature].id;
            let there = on(seen, at);
            odd.push(format!(
                "the pin ({id}) stands {off_m:.0} m off the green, {}",
                words(there.surface)
            ));
        }
    }
    odd
}

/// Pins of this hole on its green; on a green that holes share, those of its number only.
fn two_pins(seen: &Seen<'_>) -> Option<Question> {
    let mut own: Vec<(Coord<f64>, &str)> = Vec::new();
    let mut unnumbered: Vec<(Coord<f64>, &str)> = Vec::new();
    for &feature in &seen.builder.near {
        let each = &seen.map().features[feature];
        let (What::Pin, Shape::Points(points)) = (seen.map().what[feature], &each.shape) else {
            continue;
        };
        let at = seen.builder.flat(&points[..1])[0];
        if Euclidean.distance(&Point(at), seen.green) > PIN_OFF_M {
            continue;
        }
        match each.tag("ref") {
            Some(number) if number == seen.own.reference => own.push((at, &each.id)),
            Some(_) => {}
            None => unnumbered.push((at, &each.id)),
        }
    }
    if own.is_empty() && !seen.shared {
        own = unnumbered;
    }
    let first = own.first()?.0;
    if own
        .iter()
        .all(|pin| line::distance_m(pin.0, first) <= SAME_PIN_M)
    {
        return None;
    }
    let ids: Vec<&str> = own.iter().take(MOST_NAMED).map(|pin| pin.1).collect();
    Some(seen.ask(
        Topic::TwoPins,
        &format!("one pin on the green of hole {}", seen.own.reference),
        format!("{} pins ({})", own.len(), ids.join(", ")),
        "remove all but the pin of the day, or set it with --pin or in the round file",
    ))
}

/// Wet ground without a golf tag: the Committee may have marked it.
fn wetlands(seen: &Seen<'_>) -> Option<Note> {
    let mut found = seen.builder.near.iter().copied().filter(|&feature| {
        seen.map().what[feature] == What::Unknown
            && tags::may_be_wet(&seen.map().features[feature])
            && seen.in_reach(feature)
    });
    let first = found.next()?;
    let more = match found.count() {
        0 => String::new(),
        more => format!(" (and {more} more)"),
    };
    let feature = &seen.map().features[first];
    Some(seen.note(
        Topic::MapTag,
        &feature.place,
        format!(
            "wet ground without a golf tag ({}){more} is played as rough: draw golf=lateral_water_hazard \
             where the Committee has marked a penalty area",
            feature.id
        ),
    ))
}
