//! Tee, bends and pin: what lies on top where they are drawn.
//!
//! The order of overlap decides ([`surface`]), so that a green on an island that was not cut out of
//! the lake is not asked about. Trees are the exception: a tee, like a fairway, lies over a wood in
//! that order, and one that a wood was drawn over by mistake looks like one in a clearing that was
//! not cut out. The tee that is played is asked about, the way to the green is noted.

use geo::{Area, Contains, Coord, Distance, Euclidean, Point};

use super::super::collect::PIN_OFF_M;
use super::super::obstacle::crown_outline;
use super::super::positions::Shape;
use super::super::tags::{self, What};
use super::super::tees::NODE_OFF_M;
use super::super::{Surface, TeeingArea, line, surface};
use super::{Asked, Seen};
use crate::diagnostic::{Note, Question, Topic};
use crate::units::YARD_M;

/// A bend lies in water where most of the ground within this of it does, m: on the bank, or on a
/// brook, is no bend in water.
const AROUND_BEND_M: f64 = 6.0;
/// Longest carry over water that a line of play asks for, m: about 240 yd (practice).
const LONGEST_CARRY_M: f64 = 220.0;
/// Longest stretch of a line of play out of bounds, m: the edges of maps are no nearer.
const LONGEST_OUT_M: f64 = 30.0;
/// How far ahead of the tee a ball is lower than any branch, m (practice).
const LOW_AHEAD_M: f64 = 10.0;
/// How far behind the markers a ball may be teed, m: two club-lengths.
const BEHIND_MARKERS_M: f64 = 2.0;
/// A stretch of the way from tee to pin in trees that is noted, m: a crown over its edge is less.
const IN_TREES_M: f64 = 15.0;
/// Water that holds a whole green and this many times its area is a lake around an island.
const LAKE_AREAS: f64 = 4.0;
/// A pin without a number this near to the green of several holes may be its own, m.
const LOST_PIN_M: f64 = 150.0;
/// A pin of this hole's, or of none, this near to its green belongs to it, m.
const PIN_ASTRAY_M: f64 = 150.0;
const STRAY_PIN_M: f64 = 30.0;
/// Two pins nearer to each other than this are one, drawn twice, m.
const SAME_PIN_M: f64 = 1.0;
/// Most odd places that are named in one question.
const MOST_NAMED: usize = 4;

/// Asks about the hole's places.
pub(super) fn of_hole(seen: &Seen<'_>, asked: &mut Asked) {
    for (tee, odd) in tees(seen) {
        asked.of_tees.push((tee, ask(seen, vec![odd])));
    }
    let mut odd = line_of_play(seen);
    odd.extend(pin(seen));
    let off_green = !odd.is_empty();
    if off_green {
        asked.questions.push(ask(seen, odd));
    } else {
        asked.notes.extend(lost_pin(seen));
    }
    let notes = &mut asked.notes;
    match two_pins(seen) {
        Some(Ok(question)) => asked.questions.push(question),
        Some(Err(note)) => notes.push(note),
        None => {}
    }
    notes.extend(island(seen));
    notes.extend(in_trees(seen));
    notes.extend(markers_off(seen));
    notes.extend(stray_markers(seen));
    notes.extend(wetlands(seen));
}

fn ask(seen: &Seen<'_>, mut odd: Vec<String>) -> Question {
    let more = match odd.len().saturating_sub(MOST_NAMED) {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    odd.truncate(MOST_NAMED);
    seen.ask(
        Topic::OddPlace,
        &format!(
            "tee, bends of the line of play and pin of hole {} on ground to play from",
            seen.own.reference
        ),
        format!("{}{more}", odd.join("; ")),
        "move what was drawn over them or put them where they are; cut an island out of its lake, a \
         clearing out of its wood",
    )
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

/// The wood or the crown that stands over a place, whatever is drawn on top of it.
fn under_trees<'a>(seen: &Seen<'a>, at: Coord<f64>) -> Option<&'a str> {
    let woods = seen
        .patches
        .iter()
        .filter(|patch| patch.surface == Surface::Trees);
    let mut woods = woods.filter(|patch| patch.outline.contains(&at));
    let mut crowns = seen.trees.iter().filter(|tree| {
        line::distance_m(tree.at, at) <= tree.crown_m && crown_outline(tree).contains(&at)
    });
    let wood = woods.next().map(|patch| patch.id.as_str());
    wood.or_else(|| crowns.next().map(|tree| tree.id.as_str()))
}

fn tee_words(tee: &TeeingArea) -> String {
    match tee.colours.join(";") {
        colours if colours.is_empty() => format!("a tee ({})", tee.id),
        colours => format!("the {colours} tee ({})", tee.id),
    }
}

/// Each odd tee with its index.
fn tees(seen: &Seen<'_>) -> Vec<(usize, String)> {
    let mut odd = Vec::new();
    let own_line = &seen.map().features[seen.own.feature].id;
    for (index, tee) in seen.tees.iter().enumerate() {
        let middle = tee.middle();
        let what = tee_words(tee);
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
            odd.push((index, lies(&what, &here)));
            continue;
        }
        let [x, y] = tee.forward();
        let forward = Coord { x, y };
        let ahead = line::sampled(&[middle, middle + forward * LOW_AHEAD_M], 2.0);
        // Markers put by rule stand as far apart as the mown ground is wide.
        let half_m = match tee.width_m() / 2.0 {
            half_m if tee.assumed => half_m.min(3.0),
            half_m => half_m,
        };
        // A tee lies over a wood in the order of overlap, and is no less in it.
        let corners = [0.0, -half_m, half_m].into_iter().flat_map(|aside| {
            [0.0, BEHIND_MARKERS_M].map(|behind| {
                let at = Coord {
                    x: y * aside - x * behind,
                    y: -x * aside - y * behind,
                };
                (aside == 0.0, middle + at)
            })
        });
        let mut covered = corners.filter_map(|(inner, at)| Some((inner, under_trees(seen, at)?)));
        // A crown is cut away over a tee that is drawn; its trunk stands there all the same.
        let trunk = seen.trees.iter().find(|tree| {
            let off = tree.at - middle;
            let along = off.x * x + off.y * y;
            let aside = (off.x * y - off.y * x).abs();
            (-2.5..=LOW_AHEAD_M).contains(&along) && aside <= half_m
        });
        let wood = ahead
            .iter()
            .map(|&at| on(seen, at))
            .find(|on| on.surface == Surface::Trees);
        if let Some(tree) = trunk {
            let on_it = format!(
                "a tree ({}) stands on {what} or within {LOW_AHEAD_M:.0} m ahead of it",
                tree.id
            );
            odd.push((index, on_it));
        } else if let Some((inner, id)) = covered.next() {
            let part = if inner { "" } else { "the side of " };
            odd.push((index, format!("{part}{what} lies under trees ({id})")));
        } else if let Some(on) = wood {
            let ahead = format!(
                "trees ({}) begin within {LOW_AHEAD_M:.0} m ahead of {what}",
                on.id
            );
            odd.push((index, ahead));
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
    if here.surface == Surface::Green
        && let Some((id, false)) = water_over_pin(seen)
    {
        odd.push(format!("a penalty area ({id}) lies over the pin"));
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

/// Water under the green at the pin, and whether it is a lake around an island.
fn water_over_pin<'a>(seen: &Seen<'a>) -> Option<(&'a str, bool)> {
    let wet = |surface| matches!(surface, Surface::PenaltyRed | Surface::PenaltyYellow);
    let mut water = seen
        .patches
        .iter()
        .filter(|patch| wet(patch.surface) && patch.outline.contains(&seen.pin));
    let patch = water.next()?;
    let mut edge = seen.green.exterior().coords();
    let lake = patch.outline.unsigned_area() >= LAKE_AREAS * seen.green.unsigned_area()
        && edge.all(|at| patch.outline.contains(at));
    Some((&patch.id, lake))
}

/// A green in a lake that no island was cut out of.
fn island(seen: &Seen<'_>) -> Option<Note> {
    let (id, lake) = water_over_pin(seen)?;
    (lake && on(seen, seen.pin).surface == Surface::Green).then(|| {
        seen.note(
            Topic::OddPlace,
            seen.place,
            format!(
                "the green of hole {} lies all in a penalty area ({id}) and is played as an island; cut the \
                 island out of it",
                seen.own.reference
            ),
        )
    })
}

/// How much of the way from the tee to the pin lies in trees, whatever is drawn over them.
fn in_trees(seen: &Seen<'_>) -> Option<Note> {
    const STEP_M: f64 = 2.0;
    let tee = seen.tees.get(seen.usual_tee)?;
    let way = line::from_tee(&seen.own.line, tee.middle(), seen.pin);
    let places = line::sampled(&way, STEP_M);
    let mut ids: Vec<&str> = Vec::new();
    let mut in_trees_m = 0.0;
    for pair in places.windows(2) {
        let at = (pair[0] + pair[1]) / 2.0;
        let Some(id) = under_trees(seen, at) else {
            continue;
        };
        in_trees_m += line::distance_m(pair[0], pair[1]);
        if !ids.contains(&id) {
            ids.push(id);
        }
    }
    if in_trees_m < IN_TREES_M {
        return None;
    }
    let more = match ids.len().saturating_sub(MOST_NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    ids.truncate(MOST_NAMED);
    Some(seen.note(
        Topic::OddPlace,
        seen.place,
        format!(
            "{in_trees_m:.0} m ({:.0} yd) of the line of play of hole {} lie in trees ({}{more}); a tee, \
             fairway, green or bunker drawn over a wood is played as a clearing: cut it out of the wood if it \
             is one",
            in_trees_m / YARD_M,
            seen.own.reference,
            ids.join(", ")
        ),
    ))
}

/// Tee-markers off the tee of their colour.
fn markers_off(seen: &Seen<'_>) -> Option<Note> {
    let drawn = |patch: &&super::Patch| patch.surface == Surface::Tee;
    let off = |at: Coord<f64>, patch: &super::Patch| Euclidean.distance(&Point(at), &patch.outline);
    for pair in seen.tees.iter().filter(|tee| !tee.assumed) {
        let at = pair.middle();
        if seen
            .patches
            .iter()
            .filter(drawn)
            .any(|patch| off(at, patch) <= NODE_OFF_M)
        {
            continue;
        }
        let same = |tee: &&TeeingArea| {
            tee.assumed
                && (tee.colours == pair.colours
                    || tee
                        .colours
                        .iter()
                        .any(|colour| pair.colours.contains(colour)))
        };
        let off_tee = |tee: &TeeingArea| {
            let outline = seen
                .patches
                .iter()
                .filter(drawn)
                .find(|patch| patch.id == tee.id);
            outline.map_or_else(
                || line::distance_m(at, tee.middle()),
                |patch| off(at, patch),
            )
        };
        let tees = seen.tees.iter().filter(same).map(|tee| (off_tee(tee), tee));
        let Some((off_m, tee)) = tees.min_by(|one, other| one.0.total_cmp(&other.0)) else {
            continue;
        };
        let usual = &seen.tees[seen.usual_tee];
        return Some(seen.note(
            Topic::OddPlace,
            seen.place,
            format!(
                "tee-markers ({}) stand {off_m:.0} m off {}: both are read as tees, and without --tee the plan \
                 is from {}; move the tee-markers to where they stand",
                pair.id,
                tee_words(tee),
                usual.id
            ),
        ));
    }
    None
}

/// Tee-markers too far off every hole to be one's.
fn stray_markers(seen: &Seen<'_>) -> Option<Note> {
    let tee = seen.tees.get(seen.usual_tee)?;
    let place = |feature: usize| match &seen.map().features[feature].shape {
        Shape::Points(points) => seen.builder.flat(&points[..1]).first().copied(),
        _ => None,
    };
    let off = |&feature: &usize| Some((line::distance_m(place(feature)?, tee.middle()), feature));
    let nearest = seen.stray_markers.iter().filter_map(off);
    let (off_m, feature) = nearest.min_by(|one, other| one.0.total_cmp(&other.0))?;
    let count = seen.stray_markers.len();
    Some(seen.note(
        Topic::OddPlace,
        seen.place,
        format!(
            "{count} tee-marker{} ({}) stand{} {off_m:.0} m or more off {} and {} not taken; move {} to where the \
             tee-markers are",
            if count == 1 { "" } else { "s" },
            seen.map().features[feature].id,
            if count == 1 { "s" } else { "" },
            tee_words(tee),
            if count == 1 { "is" } else { "are" },
            if count == 1 { "it" } else { "them" },
        ),
    ))
}

/// A pin that is not taken, where none stands on the green.
fn lost_pin(seen: &Seen<'_>) -> Option<Note> {
    let mut nearest: Option<(f64, &str)> = None;
    for &feature in &seen.builder.near {
        let each = &seen.map().features[feature];
        let (What::Pin, Shape::Points(points)) = (seen.map().what[feature], &each.shape) else {
            continue;
        };
        let at = seen.builder.flat(&points[..1])[0];
        let off_m = Euclidean.distance(&Point(at), seen.green);
        if off_m <= PIN_OFF_M {
            return None;
        }
        let may_be_own = seen.alone
            || match each.tag("ref") {
                Some(number) => seen.own.has_ref && number == seen.own.reference,
                None => off_m <= LOST_PIN_M,
            };
        let on_another = || {
            let mut greens = seen.patches.iter();
            greens.any(|patch| patch.surface == Surface::Green && patch.outline.contains(&at))
        };
        if may_be_own && nearest.is_none_or(|known| off_m < known.0) && !on_another() {
            nearest = Some((off_m, &each.id));
        }
    }
    let (off_m, id) = nearest?;
    Some(seen.note(
        Topic::TwoPins,
        seen.place,
        format!(
            "the pin ({id}) stands {off_m:.0} m off the green of hole {} and is not taken; move it, or set the \
             pin with --pin",
            seen.own.reference
        ),
    ))
}

/// Pins of this hole on its green; on a green that holes share, those of its number only. A pin of
/// another number beside its own is noted: the other hole may be on another map.
fn two_pins(seen: &Seen<'_>) -> Option<Result<Question, Note>> {
    let mut own: Vec<(Coord<f64>, &str)> = Vec::new();
    let mut unnumbered: Vec<(Coord<f64>, &str)> = Vec::new();
    let mut others: Vec<(Coord<f64>, &str)> = Vec::new();
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
            Some(_) => others.push((at, &each.id)),
            None => unnumbered.push((at, &each.id)),
        }
    }
    if !seen.shared {
        own.append(&mut unnumbered);
    }
    let apart = |pins: &[(Coord<f64>, &str)]| {
        pins.iter()
            .any(|pin| line::distance_m(pin.0, pins[0].0) > SAME_PIN_M)
    };
    let ids = |pins: &[(Coord<f64>, &str)]| {
        let ids: Vec<&str> = pins.iter().take(MOST_NAMED).map(|pin| pin.1).collect();
        ids.join(", ")
    };
    if apart(&own) {
        return Some(Ok(seen.ask(
            Topic::TwoPins,
            &format!("one pin on the green of hole {}", seen.own.reference),
            format!("{} pins ({})", own.len(), ids(&own)),
            "remove all but the pin of the day, or set it with --pin or in the round file",
        )));
    }
    own.append(&mut others);
    (!seen.shared && apart(&own)).then(|| {
        Err(seen.note(
            Topic::TwoPins,
            seen.place,
            format!(
                "{} pins stand on the green of hole {} ({}): that of its number is taken, or else the one nearest \
                 to the end of the line of play; set the pin of the day with --pin",
                own.len(),
                seen.own.reference,
                ids(&own)
            ),
        ))
    })
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
