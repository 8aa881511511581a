//! RFC 7946 to features: tags and positions, still in degrees.
//!
//! Every problem of the file is collected; nothing is mended. Rings are
//! accepted in either winding order, as RFC 7946 §3.1.6 asks of parsers.
//!
//! # References
//! - Butler et al., *The GeoJSON Format*, RFC 7946 (2016).

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use std::collections::BTreeMap;

use geojson::{GeometryValue, Position};
use serde_json::Value;

use super::crs;
use super::positions::{LonLatHeight, Shape, bad_coordinate, check_degrees, json_kind, shown};
use super::rings;
use crate::diagnostic::{self, Place, Problem};
use crate::twice::{keys_twice, no_json};

/// Largest file that is read, bytes. A whole mapped course takes well under 2 MB.
const LARGEST_FILE_BYTES: usize = 32 << 20;
/// Most objects (a feature has three or more) and most commas in a file: they bound the memory
/// that its parsing takes, whatever its bytes say.
const MOST_OBJECTS: usize = 200_000;
const MOST_COMMAS: usize = 4_000_000;
/// Most positions in one ring or line; a mapped way has at most 2000.
const MOST_POSITIONS: usize = 50_000;

/// The tags that are read.
const KEYS: [&str; 18] = [
    "bendline",
    "diameter_crown",
    "dist",
    "est_height",
    "golf",
    "handicap",
    "height",
    "landuse",
    "leisure",
    "name",
    "natural",
    "par",
    "ref",
    "tee",
    "water",
    "waterway",
    "width",
    "@id",
];

/// A feature with its tags as text.
#[derive(Clone, Debug)]
pub(super) struct Feature {
    pub place: Place,
    pub id: String,
    pub tags: BTreeMap<String, String>,
    pub shape: Shape,
}

impl Feature {
    /// A tag's value, if there.
    pub fn tag(&self, key: &str) -> Option<&str> {
        self.tags.get(key).map(String::as_str)
    }
}

/// Collects problems of one file.
pub(super) struct Collector<'a> {
    pub file: &'a str,
    pub problems: Vec<Problem>,
}

impl Collector<'_> {
    /// Adds a problem.
    pub fn add(&mut self, place: &Place, expected: &str, found: impl Into<String>, remedy: &str) {
        let problem = Problem {
            file: self.file.to_string(),
            place: place.clone(),
            expected: expected.to_string(),
            found: found.into(),
            remedy: remedy.to_string(),
        };
        diagnostic::add(&mut self.problems, problem);
    }
}

/// The file's `bbox` member (RFC 7946 §5): west, south, east, north; none where it has none, or
/// not these four or six numbers.
pub(super) fn bbox(bytes: &[u8]) -> Option<[f64; 4]> {
    #[derive(serde::Deserialize)]
    struct Root {
        bbox: Option<Vec<f64>>,
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match serde_json::from_slice::<Root>(bytes).ok()?.bbox?[..] {
        [west, south, east, north] | [west, south, _, east, north, _] => {
            Some([west, south, east, north])
        }
        _ => None,
    }
}

/// Reads the features of a file; problems go to the collector.
pub(super) fn read_features(
    out: &mut Collector<'_>,
    bytes: &[u8],
    crs: Option<&str>,
) -> Vec<Feature> {
    let Some(root) = parse(out, bytes) else {
        return Vec::new();
    };
    let Some(list) = feature_list(out, &root) else {
        return Vec::new();
    };
    if crs.is_none() {
        check_crs_member(out, &root);
    }
    let mut features = Vec::with_capacity(list.len());
    for (at, value) in list.iter().enumerate() {
        if let Some(feature) = read_feature(out, at + 1, value) {
            features.push(feature);
        }
    }
    if let Some(crs) = crs
        && let Err(problem) = crs::to_degrees(out.file, crs, &mut features)
    {
        out.problems.push(*problem);
        return Vec::new();
    }
    check_degrees(out, &features, crs.is_some());
    features
}

fn parse(out: &mut Collector<'_>, bytes: &[u8]) -> Option<Value> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if bytes.iter().all(u8::is_ascii_whitespace) {
        out.add(
            &Place::File,
            "a GeoJSON FeatureCollection",
            "an empty file",
            "export the hole or the course from a map as GeoJSON",
        );
        return None;
    }
    if bytes.len() > LARGEST_FILE_BYTES {
        out.add(
            &Place::File,
            "at most 32 MB",
            format!("{} MB", bytes.len() >> 20),
            "cut the course out of the larger map first",
        );
        return None;
    }
    let count = |wanted: u8| bytes.iter().filter(|&&byte| byte == wanted).count();
    let (objects, commas) = (count(b'{'), count(b','));
    if objects > MOST_OBJECTS || commas > MOST_COMMAS {
        out.add(
            &Place::File,
            "a course: at most 200000 opening braces and 4000000 commas",
            format!("{objects} and {commas}"),
            "cut the course out of the larger map first",
        );
        return None;
    }
    match serde_json::from_slice(bytes) {
        Ok(value) => {
            for key in keys_twice(bytes) {
                out.add(
                    &Place::Key(key),
                    "every key once",
                    "the key twice in one object",
                    "remove one of the two",
                );
            }
            Some(value)
        }
        Err(error) => {
            let place = Place::Position {
                line: error.line(),
                column: error.column(),
            };
            let found = no_json(&error);
            let remedy = if found.contains("nested more than") {
                "a hole file nests at most seven deep; export it again"
            } else {
                "mend the file there, or export it again; numbers such as NaN are not JSON"
            };
            out.add(&place, "JSON", found, remedy);
            None
        }
    }
}

fn feature_list<'v>(out: &mut Collector<'_>, root: &'v Value) -> Option<&'v Vec<Value>> {
    let kind = root.get("type").and_then(Value::as_str);
    if kind != Some("FeatureCollection") {
        let found = match (root, kind) {
            (Value::Object(_), Some(kind)) => format!("\"type\": \"{kind}\""),
            (Value::Object(_), None) => "an object without \"type\"".to_string(),
            _ => json_kind(root).to_string(),
        };
        out.add(
            &Place::File,
            "an object with \"type\": \"FeatureCollection\" (RFC 7946 §3.3)",
            found,
            "export the hole as GeoJSON, or wrap the features in a FeatureCollection",
        );
        return None;
    }
    match root.get("features") {
        Some(Value::Array(list)) if list.is_empty() => {
            out.add(
                &Place::Key("features".to_string()),
                "the features of at least one hole",
                "an empty list",
                "draw the line of play, a tee and a green, or export a larger part of the map",
            );
            None
        }
        Some(Value::Array(list)) => Some(list),
        other => {
            out.add(
                &Place::Key("features".to_string()),
                "a list of features",
                other.map_or("nothing", json_kind),
                "export the hole as a GeoJSON FeatureCollection",
            );
            None
        }
    }
}

/// The 2008 draft let a file name its own coordinate system; RFC 7946 §4 took
/// that back. A member that names WGS 84 changes nothing.
fn check_crs_member(out: &mut Collector<'_>, root: &Value) {
    let name = root.pointer("/crs/properties/name").and_then(Value::as_str);
    if let Some(name) = name
        && !(name.contains("CRS84") || name.ends_with("4326"))
    {
        out.add(
            &Place::Key("crs".to_string()),
            "longitude and latitude on WGS 84 (RFC 7946 §4)",
            format!("a file in {name}"),
            "export it in WGS 84, or name its system with --crs EPSG:…",
        );
    }
}

fn as_text(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.trim().to_string()),
        Value::Number(number) => Some(number.to_string()),
        Value::Bool(flag) => Some(flag.to_string()),
        _ => None,
    }
}

fn read_feature(out: &mut Collector<'_>, index: usize, value: &Value) -> Option<Feature> {
    let id = value
        .get("id")
        .and_then(as_text)
        .or_else(|| value.pointer("/properties/@id").and_then(as_text))
        .filter(|id| !id.is_empty());
    let place = Place::Feature {
        index,
        id: id.clone(),
    };
    if value.get("type").and_then(Value::as_str) != Some("Feature") {
        let found = match value.get("type").and_then(as_text) {
            Some(kind) => format!("\"type\": \"{kind}\""),
            None => format!("{} without \"type\"", json_kind(value)),
        };
        out.add(
            &place,
            "an object with \"type\": \"Feature\" (RFC 7946 §3.2)",
            found,
            "export the file again",
        );
        return None;
    }
    let mut tags = BTreeMap::new();
    match value.get("properties") {
        None | Some(Value::Null) => {}
        Some(Value::Object(members)) => {
            for (key, value) in members {
                if let Some(text) = as_text(value) {
                    tags.insert(key.clone(), text);
                } else if !value.is_null() && KEYS.contains(&key.as_str()) {
                    out.add(
                        &place,
                        &format!("text or a number for the tag {key}"),
                        json_kind(value),
                        "write the tag as text",
                    );
                }
            }
        }
        Some(other) => {
            out.add(
                &place,
                "\"properties\" as an object or null (RFC 7946 §3.2)",
                json_kind(other),
                "export the file again",
            );
            return None;
        }
    }
    let shape = match value.get("geometry") {
        None | Some(Value::Null) => Shape::None,
        Some(geometry) => read_geometry(out, &place, geometry, tags.contains_key("golf"))?,
    };
    Some(Feature {
        id: id.unwrap_or_else(|| format!("feature {index}")),
        place,
        tags,
        shape,
    })
}

fn read_geometry(
    out: &mut Collector<'_>,
    place: &Place,
    value: &Value,
    golf: bool,
) -> Option<Shape> {
    if let Some(coordinates) = value.get("coordinates") {
        let mut path = Vec::new();
        if let Some((path, found)) = bad_coordinate(coordinates, &mut path) {
            out.add(
                place,
                "positions of two or three finite numbers: longitude, latitude, height",
                format!("{found} at coordinates{path}"),
                "correct that position, or export the feature again",
            );
            return None;
        }
    }
    let kind = value.get("type").and_then(Value::as_str);
    if let (Some(all), Some(depth)) = (value.get("coordinates"), kind.and_then(depth))
        && without_numbers(all, depth)
    {
        out.add(
            place,
            "positions of two or three finite numbers: longitude, latitude, height",
            "a position without numbers",
            "correct that position, or export the feature again",
        );
        return None;
    }
    let geometry: geojson::Geometry = match serde_json::from_value(value.clone()) {
        Ok(geometry) => geometry,
        Err(error) => {
            out.add(
                place,
                "a geometry as in RFC 7946 §3.1",
                no_geometry(value, &error),
                "export the feature again",
            );
            return None;
        }
    };
    let before = out.problems.len();
    let shape = match geometry.value {
        GeometryValue::Point { coordinates } => Shape::Points(vec![position(&coordinates)]),
        GeometryValue::MultiPoint { coordinates } => Shape::Points(positions(&coordinates)),
        GeometryValue::LineString { coordinates } => {
            Shape::Lines(vec![line(out, place, &coordinates)])
        }
        GeometryValue::MultiLineString { coordinates } => Shape::Lines(joined(
            coordinates
                .iter()
                .map(|each| line(out, place, each))
                .collect(),
        )),
        GeometryValue::Polygon { coordinates } => {
            Shape::Areas(vec![area(out, place, &coordinates, None)])
        }
        GeometryValue::MultiPolygon { coordinates } => Shape::Areas(
            coordinates
                .iter()
                .enumerate()
                .map(|(at, each)| area(out, place, each, (coordinates.len() > 1).then_some(at + 1)))
                .collect(),
        ),
        GeometryValue::GeometryCollection { .. } => {
            if golf {
                out.add(
                    place,
                    "one point, line or area on a feature with a golf tag",
                    "a GeometryCollection",
                    "split it into one feature for each geometry",
                );
            }
            Shape::None
        }
    };
    if shape.positions().is_empty() && !matches!(shape, Shape::None) && out.problems.len() == before
    {
        out.add(
            place,
            "at least one position",
            "an empty list of coordinates",
            "draw the feature again, or remove it",
        );
    }
    (out.problems.len() == before).then_some(shape)
}

/// How many lists the positions of a type of geometry lie in.
fn depth(kind: &str) -> Option<usize> {
    match kind {
        "Point" => Some(0),
        "MultiPoint" | "LineString" => Some(1),
        "MultiLineString" | "Polygon" => Some(2),
        "MultiPolygon" => Some(3),
        _ => None,
    }
}

/// Whether a position, so many lists down, is an empty list.
fn without_numbers(value: &Value, depth: usize) -> bool {
    let Value::Array(items) = value else {
        return false;
    };
    match depth {
        0 => items.is_empty(),
        _ => items.iter().any(|item| without_numbers(item, depth - 1)),
    }
}

/// Why a geometry cannot be read, in plain words.
fn no_geometry(value: &Value, error: &serde_json::Error) -> String {
    match value.get("type") {
        None => "a geometry without \"type\"".to_string(),
        Some(Value::String(kind)) if depth(kind).is_some() => match value.get("coordinates") {
            None => format!("a {kind} without \"coordinates\""),
            Some(_) if error.to_string().contains("dimensions") => {
                format!("coordinates that do not nest as those of a {kind} do")
            }
            Some(_) => error.to_string(),
        },
        Some(Value::String(kind)) if kind == "GeometryCollection" => error.to_string(),
        Some(Value::String(kind)) => format!("the type \"{kind}\", which is none of GeoJSON's"),
        Some(other) => format!("{} for \"type\"", json_kind(other)),
    }
}

fn position(at: &Position) -> LonLatHeight {
    let numbers = at.as_slice();
    LonLatHeight {
        lon: numbers.first().copied().unwrap_or(f64::NAN),
        lat: numbers.get(1).copied().unwrap_or(f64::NAN),
        height_m: numbers.get(2).copied(),
    }
}

fn positions(list: &[Position]) -> Vec<LonLatHeight> {
    list.iter().map(position).collect()
}

fn line(out: &mut Collector<'_>, place: &Place, list: &[Position]) -> Vec<LonLatHeight> {
    if list.len() < 2 || list.len() > MOST_POSITIONS {
        out.add(
            place,
            "a line of 2 to 50000 positions",
            format!(
                "{} position{}",
                list.len(),
                if list.len() == 1 { "" } else { "s" }
            ),
            "draw the line again",
        );
    }
    positions(list)
}

/// Joins the parts of a line that RFC 7946 §3.1.9 has cut at the 180th
/// meridian: one ends there where the next begins.
fn joined(parts: Vec<Vec<LonLatHeight>>) -> Vec<Vec<LonLatHeight>> {
    let mut lines: Vec<Vec<LonLatHeight>> = Vec::new();
    for part in parts {
        match (lines.last_mut(), part.first()) {
            (Some(line), Some(next))
                if line.last().is_some_and(|last| {
                    last.lon.abs() == 180.0 && last.lon == -next.lon && last.lat == next.lat
                }) =>
            {
                line.extend(&part[1..]);
            }
            _ => lines.push(part),
        }
    }
    lines
}

/// Checks and reads one polygon; `part` is its number in a MultiPolygon.
fn area(
    out: &mut Collector<'_>,
    place: &Place,
    list: &[Vec<Position>],
    part: Option<usize>,
) -> Vec<Vec<LonLatHeight>> {
    let of_part = part.map_or(String::new(), |part| format!(" of part {part}"));
    let before = out.problems.len();
    if list.is_empty() {
        out.add(
            place,
            "an area with at least one ring",
            "no ring",
            "draw the area again",
        );
    }
    let mut rings = Vec::with_capacity(list.len());
    for (at, ring) in list.iter().enumerate() {
        let name = format!("ring {}{of_part}", at + 1);
        if ring.len() < 4 {
            out.add(
                place,
                "rings of at least 4 positions, the last equal to the first (RFC 7946 §3.1.6)",
                format!("{name} has {}", ring.len()),
                "draw the outline again, or remove it",
            );
        } else if ring.len() > MOST_POSITIONS {
            out.add(
                place,
                "rings of at most 50000 positions",
                format!("{name} has {}", ring.len()),
                "cut the area to the surroundings of the course",
            );
        } else if ring.first() != ring.last() {
            let (first, last) = (position(&ring[0]), position(&ring[ring.len() - 1]));
            if first.lon == last.lon && first.lat == last.lat {
                let metres = |height: Option<f64>| match height {
                    Some(height_m) => format!("{} m", shown(height_m)),
                    None => "no height".to_owned(),
                };
                out.add(
                    place,
                    "closed rings: the last position equal to the first, height and all (RFC 7946 §3.1.6)",
                    format!(
                        "{name} starts and ends at {}, {}, with {} first and {} last",
                        first.lon,
                        first.lat,
                        metres(first.height_m),
                        metres(last.height_m)
                    ),
                    "give the two the same height",
                );
                rings.push(positions(ring));
                continue;
            }
            out.add(
                place,
                "closed rings: the last position equal to the first (RFC 7946 §3.1.6)",
                format!(
                    "{name} starts at {}, {} and ends at {}, {}",
                    first.lon, first.lat, last.lon, last.lat
                ),
                "add the first position once more at the end",
            );
        }
        rings.push(positions(ring));
    }
    if out.problems.len() == before
        && let Some(found) = rings::first_fault(&rings)
    {
        out.add(
            place,
            found.expected,
            format!("{}{of_part}", found.found),
            found.remedy,
        );
    }
    rings
}
