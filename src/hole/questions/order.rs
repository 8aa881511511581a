//! Latitude written before longitude: in one feature, or in all.
//!
//! # One feature, or some positions of one
//! It lies far from the middle of the file, and with its numbers changed about near it.
//!
//! # All
//! The swap puts the course at another place on the earth as its mirror image: left and right change
//! about, and nothing within the shapes says so. Evidence from without:
//! - RFC 7946 §3.1.6 has outer rings run counter-clockwise; mirrored they all run clockwise.
//!   A file of the older convention, or one whose areas were all drawn clockwise, looks the same, so
//!   that this is a question and not a problem;
//! - a course nearer to a pole than any known, where the swap is not;
//! - a `bbox` member (§5) that holds the positions only when they are changed about.
//!
//! A file with fewer than [`LEAST_RINGS`] areas, with rings both ways, or rewound after the swap,
//! and a place where both numbers are nearly equal, cannot be told.

use super::super::course::Map;
use super::super::plane::wrap_deg;
use super::super::positions::{LonLatHeight, Shape};
use super::super::tags::What;
use super::ask;
use crate::diagnostic::{Place, Question, Topic};

/// Within this of the middle of the file a feature belongs to it, degrees: about 11 km.
const NEAR_DEG: f64 = 0.1;
/// Fewest outer rings whose common direction says something.
const LEAST_RINGS: usize = 4;
/// No mown turf is known nearer to a pole; a longitude beyond it is no swapped latitude.
const HIGH_LATITUDE_DEG: f64 = 72.0;

/// What speaks for latitude first in a file in degrees.
pub(super) fn questions(map: &Map<'_>, bbox: Option<[f64; 4]>) -> Vec<Question> {
    let Some(middle) = middle(map) else {
        return Vec::new();
    };
    if let Some(evidence) = of_all(map, middle, bbox) {
        return vec![ask(
            Topic::LatitudeFirst,
            map.file,
            &Place::File,
            "longitude first, then latitude (RFC 7946 §3.1.1); the other way about the course is its \
             mirror image, left for right",
            evidence,
            "look where the course lies on a map, and write longitude first",
        )];
    }
    (0..map.features.len())
        .filter_map(|at| of_one(map, middle, at))
        .collect()
}

/// The median of the first positions: no few swapped features move it.
fn middle(map: &Map<'_>) -> Option<[f64; 2]> {
    let firsts = || map.boxes.iter().flatten();
    let median = |mut all: Vec<f64>| {
        all.sort_by(f64::total_cmp);
        all.get(all.len() / 2).copied()
    };
    Some([
        median(firsts().map(|of_box| of_box.lon).collect())?,
        median(firsts().map(|of_box| of_box.south).collect())?,
    ])
}

fn near([lon, lat]: [f64; 2], middle: [f64; 2]) -> bool {
    let east = wrap_deg(lon - middle[0]) * middle[1].to_radians().cos();
    east.abs() <= NEAR_DEG && (lat - middle[1]).abs() <= NEAR_DEG
}

fn of_one(map: &Map<'_>, middle: [f64; 2], at: usize) -> Option<Question> {
    let feature = &map.features[at];
    let positions = feature.shape.positions();
    let swapped = |p: &&LonLatHeight| !near([p.lon, p.lat], middle) && near([p.lat, p.lon], middle);
    let first = positions.iter().find(swapped)?;
    let count = positions.iter().filter(swapped).count();
    let share = if count == positions.len() {
        String::new()
    } else {
        format!(" in {count} of its {} positions", positions.len())
    };
    Some(ask(
        Topic::LatitudeFirst,
        map.file,
        &feature.place,
        "longitude first, then latitude (RFC 7946 §3.1.1), as in the other features",
        format!(
            "{}, {}{share}: far from the others, and among them when the two numbers change places",
            first.lon, first.lat
        ),
        "write longitude first in this feature",
    ))
}

fn of_all(map: &Map<'_>, [lon, lat]: [f64; 2], bbox: Option<[f64; 4]>) -> Option<String> {
    if lon.abs() > HIGH_LATITUDE_DEG {
        return None;
    }
    if lat.abs() > HIGH_LATITUDE_DEG {
        return Some(format!(
            "a course at latitude {lat:.2}, nearer to a pole than any known; with the numbers \
             changed about it lies at latitude {lon:.2}"
        ));
    }
    if let Some([west, south, east, north]) = bbox {
        let within =
            |lon: f64, lat: f64| (west..=east).contains(&lon) && (south..=north).contains(&lat);
        if !within(lon, lat) && within(lat, lon) {
            return Some(format!(
                "positions such as {lon}, {lat}, which lie in the file's bbox only when the two \
                 numbers change places"
            ));
        }
    }
    let turns = turns(map);
    (turns.len() >= LEAST_RINGS && turns.iter().all(|&clockwise| clockwise)).then(|| {
        format!(
            "all {} areas drawn clockwise, where RFC 7946 §3.1.6 has them counter-clockwise: as in a \
             file with latitude first, or one of another convention",
            turns.len()
        )
    })
}

/// Of every outer ring, whether it runs clockwise.
fn turns(map: &Map<'_>) -> Vec<bool> {
    let mut turns = Vec::new();
    for (feature, what) in map.features.iter().zip(&map.what) {
        let Shape::Areas(areas) = &feature.shape else {
            continue;
        };
        if matches!(what, What::Unknown | What::Aside) {
            continue;
        }
        for ring in areas.iter().filter_map(|rings| rings.first()) {
            let Some(first) = ring.first() else { continue };
            let flat = |at: &LonLatHeight| (wrap_deg(at.lon - first.lon), at.lat - first.lat);
            let twice: f64 = ring
                .windows(2)
                .map(|pair| {
                    let ((a, b), (c, d)) = (flat(&pair[0]), flat(&pair[1]));
                    a * d - c * b
                })
                .sum();
            if twice != 0.0 {
                turns.push(twice < 0.0);
            }
        }
    }
    turns
}
