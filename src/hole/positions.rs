//! Positions as read, and what cannot be one.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use serde_json::Value;

use super::geojson::{Collector, Feature};
use crate::diagnostic::Place;

/// Ground heights outside this band, m, are taken for mistakes: the lowest and
/// the highest land on earth with room to spare.
pub(super) const HEIGHT_BAND_M: [f64; 2] = [-600.0, 9000.0];

/// A position as read: degrees, and metres above the ellipsoid if given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LonLatHeight {
    pub lon: f64,
    pub lat: f64,
    pub height_m: Option<f64>,
}

/// A feature's geometry.
#[derive(Clone, Debug)]
pub(super) enum Shape {
    None,
    Points(Vec<LonLatHeight>),
    Lines(Vec<Vec<LonLatHeight>>),
    /// Areas; the first ring of each is its outside, the others are islands.
    Areas(Vec<Vec<Vec<LonLatHeight>>>),
}

impl Shape {
    /// All positions, in file order.
    pub fn positions(&self) -> Vec<LonLatHeight> {
        match self {
            Self::None => Vec::new(),
            Self::Points(points) => points.clone(),
            Self::Lines(lines) => lines.concat(),
            Self::Areas(areas) => areas.iter().flat_map(|rings| rings.concat()).collect(),
        }
    }

    /// The geometry's name for messages.
    pub fn name(&self) -> &'static str {
        match self {
            Self::None => "no geometry",
            Self::Points(_) => "a point",
            Self::Lines(_) => "a line",
            Self::Areas(_) => "an area",
        }
    }
}

/// What a JSON value is, in words.
pub(super) fn json_kind(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "a number",
        Value::String(_) => "a text",
        Value::Array(_) => "a list",
        Value::Object(_) => "an object",
    }
}

/// The path and a description of the first thing under `coordinates` that is
/// not a finite number in a position.
pub(super) fn bad_coordinate(value: &Value, path: &mut Vec<usize>) -> Option<(String, String)> {
    let here = |path: &[usize]| path.iter().map(|at| format!("[{at}]")).collect::<String>();
    match value {
        Value::Array(items) => {
            let leaf = items.iter().any(|item| !item.is_array());
            for (at, item) in items.iter().enumerate() {
                path.push(at);
                let bad = match item {
                    Value::Array(_) if !leaf => bad_coordinate(item, path),
                    Value::Number(number) if number.as_f64().is_some_and(f64::is_finite) => None,
                    other => Some((here(path), json_kind(other).to_string())),
                };
                path.pop();
                if bad.is_some() {
                    return bad;
                }
            }
            // RFC 7946 §3.1.1 has no fourth; what it might mean is not guessed.
            let numbers = if items.len() == 1 {
                "number"
            } else {
                "numbers"
            };
            (leaf && !items.is_empty() && !(2..=3).contains(&items.len())).then(|| {
                (
                    here(path),
                    format!("a position of {} {numbers}", items.len()),
                )
            })
        }
        other => Some((here(path), json_kind(other).to_string())),
    }
}

/// A number as short as it can be written: 1e300 and not 301 digits.
pub(super) fn shown(number: f64) -> String {
    if number.abs() >= 1e12 {
        format!("{number:e}")
    } else {
        number.to_string()
    }
}

/// Longitudes, latitudes and heights must be able to be such.
pub(super) fn check_degrees(out: &mut Collector<'_>, features: &[Feature], converted: bool) {
    let mut swapped: Vec<(&Place, LonLatHeight)> = Vec::new();
    let mut projected: Vec<(&Place, LonLatHeight)> = Vec::new();
    for feature in features {
        let positions = feature.shape.positions();
        if let Some(at) = positions
            .iter()
            .find(|at| at.lon.abs() > 180.0 || at.lat.abs() > 180.0)
        {
            projected.push((&feature.place, *at));
        } else if let Some(at) = positions.iter().find(|at| at.lat.abs() > 90.0) {
            swapped.push((&feature.place, *at));
        }
        let outside = |height: f64| !(HEIGHT_BAND_M[0]..=HEIGHT_BAND_M[1]).contains(&height);
        if let Some(height) = positions
            .iter()
            .filter_map(|at| at.height_m)
            .find(|h| outside(*h))
        {
            out.add(
                &feature.place,
                "ground heights in metres, between -600 and 9000",
                format!("a height of {}", shown(height)),
                "correct the third number of the position, or leave heights out",
            );
        }
    }
    let more = |list: &[(&Place, LonLatHeight)]| match list.len() {
        0 | 1 => String::new(),
        n => format!(
            " (and in {} more feature{})",
            n - 1,
            if n == 2 { "" } else { "s" }
        ),
    };
    if let Some((place, at)) = projected.first() {
        let remedy = if converted {
            "check the code after --crs"
        } else if at.lon.abs() <= 720.0 && at.lat.abs() <= 90.0 {
            "write longitudes between -180 and 180, west negative (RFC 7946 §4)"
        } else {
            "this looks like projected metres; name the file's system with --crs EPSG:…"
        };
        out.add(
            place,
            "longitude and latitude in degrees",
            format!("{}, {}{}", shown(at.lon), shown(at.lat), more(&projected)),
            remedy,
        );
    }
    if let Some((place, at)) = swapped.first() {
        out.add(
            place,
            "longitude first, then latitude between -90 and 90",
            format!("{}, {}{}", shown(at.lon), shown(at.lat), more(&swapped)),
            "the order looks swapped; write longitude first (RFC 7946 §3.1.1)",
        );
    }
}
