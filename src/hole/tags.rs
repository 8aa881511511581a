//! What a feature is, by its tags; and the numbers in its tags.
//!
//! A `golf` tag wins over `natural` and `landuse`, save that rough tagged as a
//! wood or scrub is trees. Tags follow OpenStreetMap's open scheme
//! ("Tag:leisure=golf_course" and its `golf=*` keys).

use super::Surface;
use super::geojson::{Collector, Feature};
use super::obstacle::{Kind, TALLEST_M, WIDEST_M};
use super::positions::Shape;

/// What a feature is to a golfer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum What {
    /// A line of play.
    Hole,
    /// A driving range: an area, or a line of play named as one.
    Range,
    Tee,
    TeeMarker,
    Pin,
    /// A surface with its own golf tag.
    Drawn(Surface),
    /// Water or sand without a golf tag.
    Natural(Surface),
    OutOfBounds,
    /// A shore: water on the right of the line.
    Coastline,
    Trees(Kind),
    /// The outline of the course.
    Outline,
    /// A stream, river or ditch drawn as a line without a golf tag.
    Waterway,
    /// Part of a golf course that does not matter here, such as a path.
    Aside,
    Unknown,
}

/// What a feature is. A `golf=hole` line named as a range is a range.
pub(super) fn what(feature: &Feature) -> What {
    let natural = feature.tag("natural");
    let trees = match (natural, feature.tag("landuse")) {
        (Some("wood"), _) | (_, Some("forest")) => Some(Kind::Wood),
        (Some("scrub"), _) => Some(Kind::Scrub),
        (Some("tree_row"), _) => Some(Kind::Row),
        (Some("tree"), _) => Some(Kind::Single),
        _ => None,
    };
    if feature.tag("bendline") == Some("tee_marker") {
        return What::TeeMarker;
    }
    match feature.tag("golf") {
        Some("hole") if is_named_range(feature) => What::Range,
        Some("hole") => What::Hole,
        Some("driving_range") => What::Range,
        Some("tee") => What::Tee,
        Some("pin") => What::Pin,
        Some("fairway") => What::Drawn(Surface::Fairway),
        Some("green") => What::Drawn(Surface::Green),
        Some("bunker") => What::Drawn(Surface::Bunker),
        Some("rough") => trees.map_or(What::Drawn(Surface::Rough), What::Trees),
        Some("water_hazard") => What::Drawn(Surface::PenaltyYellow),
        Some("lateral_water_hazard") => What::Drawn(Surface::PenaltyRed),
        Some("out_of_bounds") => What::OutOfBounds,
        Some(_) => What::Aside,
        None => match (trees, natural) {
            (Some(kind), _) => What::Trees(kind),
            (None, Some("water" | "bay" | "strait")) => What::Natural(Surface::PenaltyRed),
            (None, Some("sand")) => What::Natural(Surface::Bunker),
            (None, Some("coastline")) => What::Coastline,
            _ if feature.tag("leisure") == Some("golf_course") => What::Outline,
            _ => open_water(feature).unwrap_or(What::Unknown),
        },
    }
}

/// Water under OpenStreetMap's other tags for it (memory of its wiki): `landuse=reservoir` and
/// `salt_pond`, `landuse=basin` but for one that is mostly dry, `waterway=riverbank` and `dock` as
/// areas, and the waterways that are drawn as lines. One that runs under the ground is none.
fn open_water(feature: &Feature) -> Option<What> {
    let water = What::Natural(Surface::PenaltyRed);
    let tunnel = feature.tag("tunnel").is_some_and(|value| value != "no");
    let buried = tunnel || feature.tag("location") == Some("underground");
    match (feature.tag("landuse"), feature.tag("waterway")) {
        (Some("reservoir" | "salt_pond"), _) => Some(water),
        (Some("basin"), _) => (!may_be_wet(feature)).then_some(water),
        (_, Some(_)) if buried => Some(What::Aside),
        (_, Some("riverbank" | "dock")) => Some(water),
        (_, Some("river" | "stream" | "tidal_channel" | "canal" | "ditch" | "drain")) => {
            Some(match feature.shape {
                Shape::Areas(_) => water,
                _ => What::Waterway,
            })
        }
        _ => None,
    }
}

/// Ground that is wet at times, and no body of water unless the Committee marks it as one.
pub(super) fn may_be_wet(feature: &Feature) -> bool {
    feature.tag("natural") == Some("wetland")
        || (feature.tag("landuse") == Some("basin")
            && matches!(feature.tag("basin"), Some("detention" | "infiltration")))
}

/// Whether a line of play is named as a practice range.
fn is_named_range(feature: &Feature) -> bool {
    let name = feature.tag("name").unwrap_or("").to_lowercase();
    [
        "driving range",
        "practice range",
        "practice area",
        "practice ground",
        "golf range",
    ]
    .iter()
    .any(|words| name.contains(words))
}

/// Checks that a feature's geometry suits its tags, and its own key's value.
pub(super) fn check(out: &mut Collector<'_>, feature: &Feature, what: What) {
    let wrong = match (what, &feature.shape) {
        (What::Hole, Shape::Lines(lines)) => {
            if lines.len() == 1 {
                None
            } else {
                Some("one LineString from the tee along the line of play")
            }
        }
        (What::Hole, _) => Some("a LineString from the tee along the line of play"),
        (What::Tee, Shape::Points(_) | Shape::Areas(_)) => None,
        (What::Tee, shape) if is_closed_line(shape) => None,
        (What::Tee, _) => Some("a Point or an area (Polygon)"),
        (What::TeeMarker | What::Pin, Shape::Points(points)) if points.len() == 1 => None,
        (What::TeeMarker | What::Pin, _) => Some("a Point"),
        (
            What::Drawn(Surface::PenaltyRed | Surface::PenaltyYellow) | What::OutOfBounds,
            Shape::Areas(_) | Shape::Lines(_),
        ) => None,
        (What::Drawn(Surface::PenaltyRed | Surface::PenaltyYellow) | What::OutOfBounds, _) => {
            Some("an area (Polygon) or a LineString")
        }
        (What::Drawn(_), Shape::Areas(_)) => None,
        (What::Drawn(_), shape) if is_closed_line(shape) => None,
        (What::Drawn(_), _) => Some("an area (Polygon or MultiPolygon)"),
        _ => None,
    };
    if let Some(expected) = wrong {
        let tag = match feature.tag("bendline") {
            Some(own) => format!("bendline={own}"),
            None => format!("golf={}", feature.tag("golf").unwrap_or("")),
        };
        out.add(
            &feature.place,
            &format!("{expected} for {tag}"),
            match &feature.shape {
                Shape::Lines(lines) if lines.len() > 1 => format!("{} separate lines", lines.len()),
                shape => shape.name().to_string(),
            },
            "draw it as such, or correct the tag",
        );
    }
    match feature.tag("bendline") {
        None | Some("tee_marker") => {}
        Some(other) => out.add(
            &feature.place,
            "under the key \"bendline\": tee_marker",
            format!("\"{other}\""),
            "correct the value, or remove the key",
        ),
    }
}

/// Whether a shape is one line that ends where it starts: a closed way whose
/// export did not know it for an area.
pub(super) fn is_closed_line(shape: &Shape) -> bool {
    match shape {
        Shape::Lines(lines) => {
            lines.len() == 1 && lines[0].len() >= 4 && lines[0].first() == lines[0].last()
        }
        _ => false,
    }
}

/// A tree's height from its tags, m; `None` where they are silent.
pub(super) fn height_m(out: &mut Collector<'_>, feature: &Feature) -> Option<f64> {
    let exact = metres(out, feature, "height", TALLEST_M);
    let estimated = metres(out, feature, "est_height", TALLEST_M);
    exact.or(estimated)
}

/// A crown's diameter from its tags, m.
pub(super) fn crown_m(out: &mut Collector<'_>, feature: &Feature) -> Option<f64> {
    metres(out, feature, "diameter_crown", WIDEST_M)
}

/// A length in metres, with or without its unit.
pub(super) fn metres(
    out: &mut Collector<'_>,
    feature: &Feature,
    key: &str,
    most: f64,
) -> Option<f64> {
    let text = feature.tag(key)?;
    let number = text.strip_suffix('m').unwrap_or(text).trim();
    match number.parse::<f64>() {
        Ok(value) if value > 0.0 && value <= most => Some(value),
        _ => {
            out.add(
                &feature.place,
                &format!("{key} in metres, above 0 and at most {most}"),
                format!("{key}={text}"),
                "correct the tag, or remove it",
            );
            None
        }
    }
}

/// Narrowest and widest stream believed, m.
const WIDTH_BAND_M: [f64; 2] = [0.2, 200.0];

/// The width of a stream, m; none where it is no width.
pub(super) fn width_in(text: &str) -> Option<f64> {
    let number = text.strip_suffix('m').unwrap_or(text).trim();
    let width = number.parse().ok();
    width.filter(|width| (WIDTH_BAND_M[0]..=WIDTH_BAND_M[1]).contains(width))
}

/// Checks the width of a penalty area drawn as a line.
pub(super) fn check_width(out: &mut Collector<'_>, feature: &Feature, what: What) {
    let drawn = matches!(
        what,
        What::Waterway | What::Drawn(Surface::PenaltyRed | Surface::PenaltyYellow)
    );
    let (true, Shape::Lines(_), Some(text)) = (drawn, &feature.shape, feature.tag("width")) else {
        return;
    };
    if !is_closed_line(&feature.shape) && width_in(text).is_none() {
        let [least, most] = WIDTH_BAND_M;
        out.add(
            &feature.place,
            &format!("width in metres, from {least} to {most}"),
            format!("width={text}"),
            "correct the tag, or remove it: 2 m is then assumed",
        );
    }
}

/// Par from the tag, checked.
pub(super) fn par(out: &mut Collector<'_>, feature: &Feature) -> Option<u8> {
    let text = feature.tag("par")?;
    match text.parse::<u8>() {
        Ok(par) if (3..=7).contains(&par) => Some(par),
        _ => {
            out.add(
                &feature.place,
                "par as a whole number from 3 to 7",
                format!("par={text}"),
                "correct the tag, or remove it: par is then judged by length",
            );
            None
        }
    }
}

/// The stroke index in a hole's `handicap` tag; none for anything but 1 to 18.
pub(super) fn stroke_index(text: &str) -> Option<u8> {
    let index = text.trim().parse().ok();
    index.filter(|index| (1..=18).contains(index))
}

/// Par from a name such as "Black (Par 4)".
pub(super) fn par_in_name(name: &str) -> Option<u8> {
    let lower = name.to_lowercase();
    let mut rest = lower.as_str();
    while let Some(at) = rest.find("par") {
        let before_is_word = rest[..at]
            .chars()
            .next_back()
            .is_some_and(char::is_alphanumeric);
        rest = &rest[at + 3..];
        let number: String = rest
            .trim_start_matches([' ', '-', ':', '='])
            .chars()
            .take_while(char::is_ascii_digit)
            .collect();
        if !before_is_word && let Ok(par @ 3..=7) = number.parse::<u8>() {
            return Some(par);
        }
    }
    None
}

/// Par judged by length (practice): to 235 m 3, to 440 m 4, beyond 5.
pub(super) fn par_by_length(length_m: f64) -> u8 {
    if length_m <= 235.0 {
        3
    } else if length_m <= 440.0 {
        4
    } else {
        5
    }
}
