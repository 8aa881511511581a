//! Other coordinate systems, by an explicit name, through PROJ.
//!
//! Names such as `EPSG:27700` come from PROJ's data base; a PROJ string such as
//! `+proj=utm +zone=33 +ellps=WGS84 +type=crs` needs none. The bundled PROJ is
//! linked statically, carries its data base within it, and reads no other
//! (`.cargo/proj.cmake`, `main.rs`).
//!
//! Without a datum's grid files, which are never read, PROJ takes its best
//! formula, which may shift a hole as a whole by a few metres; nothing within
//! the hole moves.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use std::cell::RefCell;
use std::rc::Rc;

use proj::{Proj, ProjCreateError};

use super::geojson::Feature;
use super::positions::{LonLatHeight, Shape, shown};
use crate::diagnostic::{Place, Problem};

/// Longitude and latitude in degrees on WGS 84, in PROJ's words.
pub(super) const DEGREES: &str = "+proj=longlat +datum=WGS84 +no_defs +type=crs";
/// Ways between two systems that a thread keeps: a course's, its raster's, and their areas.
const MOST_KEPT: usize = 4;

/// A way from one system to another, as PROJ has it.
pub(super) type Way = Rc<Proj>;
/// What it leads from and to, and it; a system by itself where there is no other.
type Kept = (String, Option<String>, Way);

thread_local! {
    /// The ways made last: making one takes PROJ milliseconds (it opens its data base), and a
    /// course asks for the same one for every hole.
    static KEPT: RefCell<Vec<Kept>> = const { RefCell::new(Vec::new()) };
}

fn kept(from: &str, to: Option<&str>) -> Result<Way, ProjCreateError> {
    let known = KEPT.with_borrow(|kept| {
        let same = |each: &&Kept| each.0 == from && each.1.as_deref() == to;
        kept.iter().find(same).map(|each| Rc::clone(&each.2))
    });
    if let Some(known) = known {
        return Ok(known);
    }
    let made = Rc::new(match to {
        Some(to) => Proj::new_known_crs(from, to, None)?,
        None => Proj::new(from)?,
    });
    KEPT.with_borrow_mut(|kept| {
        if kept.len() == MOST_KEPT {
            kept.remove(0);
        }
        kept.push((from.to_owned(), to.map(str::to_owned), Rc::clone(&made)));
    });
    Ok(made)
}

/// The way from one coordinate system to another, each a name or a string that PROJ knows.
///
/// # Errors
/// When PROJ knows one of them not, or no way between them.
pub(super) fn between(from: &str, to: &str) -> Result<Way, ProjCreateError> {
    kept(from, Some(to))
}

/// What PROJ says of a system that it does not know, without the wrapping.
pub(super) fn unknown(error: &ProjCreateError) -> String {
    let text = error.to_string();
    let words = text.rsplit("PROJ call failed: ").next().unwrap_or(&text);
    // PROJ has no words for most of what it refuses, names among it.
    if words.starts_with("Unknown error") {
        "a name that PROJ does not know".to_owned()
    } else {
        format!("one that PROJ refuses ({words})")
    }
}

/// Turns every position of the features to longitude and latitude in degrees.
/// Heights stay as they are.
pub(super) fn to_degrees(
    file: &str,
    crs: &str,
    features: &mut [Feature],
) -> Result<(), Box<Problem>> {
    let problem = |place: Place, expected: &str, found: String, remedy: &str| {
        Box::new(Problem {
            file: file.to_string(),
            place,
            expected: expected.to_string(),
            found,
            remedy: remedy.to_string(),
        })
    };
    let proj = between(crs, DEGREES).map_err(|error| {
        problem(
            Place::Argument(format!("--crs {crs}")),
            "a coordinate system that PROJ knows, such as EPSG:27700",
            unknown(&error),
            "check the code; a PROJ string (+proj=… +type=crs) will do too",
        )
    })?;
    let like_degrees = |at: &LonLatHeight| at.lon.abs() <= 180.0 && at.lat.abs() <= 90.0;
    let first = features
        .iter()
        .find_map(|each| Some((each.place.clone(), *each.shape.positions().first()?)));
    if let Some((place, at)) = &first {
        let moved = proj
            .convert((at.lon, at.lat))
            .is_ok_and(|(lon, lat): (f64, f64)| {
                (lon - at.lon).abs() > 1.0 || (lat - at.lat).abs() > 1.0
            });
        if moved
            && features
                .iter()
                .all(|each| each.shape.positions().iter().all(like_degrees))
        {
            return Err(problem(
                place.clone(),
                "coordinates in the system after --crs",
                format!("{}, {}", shown(at.lon), shown(at.lat)),
                "these are longitude and latitude already: leave --crs out",
            ));
        }
    }
    let place_of = |at: (f64, f64)| {
        let degrees: (f64, f64) = proj.convert(at).ok()?;
        (degrees.0.is_finite() && degrees.1.is_finite()).then_some(degrees)
    };
    if let Some((place, at)) = &first {
        let area = area_of(crs);
        let within = |degrees: Option<(f64, f64)>| degrees.is_some_and(|d| is_within(area, d));
        if !within(place_of((at.lon, at.lat))) {
            let swapped = within(place_of((at.lat, at.lon)));
            let expected = match area {
                Some([west, south, east, north]) => format!(
                    "coordinates in the area of {crs}: {west} to {east} east, {south} to {north} north"
                ),
                None => "coordinates that the system after --crs covers".to_owned(),
            };
            return Err(problem(
                place.clone(),
                &expected,
                format!("{}, {}", shown(at.lon), shown(at.lat)),
                if swapped {
                    "the order looks swapped; write the easting first, then the northing"
                } else {
                    "check the code after --crs and the order of the coordinates (easting first)"
                },
            ));
        }
    }
    for feature in features {
        let place = feature.place.clone();
        for at in positions_mut(&mut feature.shape) {
            let found = format!("{}, {}", shown(at.lon), shown(at.lat));
            match proj.convert((at.lon, at.lat)) {
                Ok((lon, lat)) if f64::is_finite(lon) && f64::is_finite(lat) => {
                    at.lon = lon;
                    at.lat = lat;
                }
                _ => {
                    return Err(problem(
                        place,
                        "coordinates that the system after --crs covers",
                        found,
                        "check the code after --crs and the order of the coordinates (easting first)",
                    ));
                }
            }
        }
    }
    Ok(())
}

/// Room about a system's area of use, degrees: courses lie across borders, and systems are used a
/// little beyond.
const ROOM_DEG: f64 = 3.0;

/// Where a coordinate system is meant to be used, `[west, south, east, north]` in degrees; unknown
/// for PROJ strings.
fn area_of(crs: &str) -> Option<[f64; 4]> {
    let (area, _) = kept(crs, None).ok()?.area_of_use().ok()?;
    area.map(|area| [area.west, area.south, area.east, area.north])
}

/// Whether a place is in an area or near it; one that crosses the 180th meridian has its west east
/// of its east.
fn is_within(area: Option<[f64; 4]>, (lon, lat): (f64, f64)) -> bool {
    let Some([west, south, east, north]) = area else {
        return true;
    };
    let width = if west <= east {
        east - west
    } else {
        east - west + 360.0
    };
    let from_west = (lon - west + ROOM_DEG).rem_euclid(360.0);
    (south - ROOM_DEG..=north + ROOM_DEG).contains(&lat)
        && (from_west <= width + 2.0 * ROOM_DEG || width + 2.0 * ROOM_DEG >= 360.0)
}

fn positions_mut(shape: &mut Shape) -> Vec<&mut LonLatHeight> {
    match shape {
        Shape::None => Vec::new(),
        Shape::Points(points) => points.iter_mut().collect(),
        Shape::Lines(lines) => lines.iter_mut().flatten().collect(),
        Shape::Areas(areas) => areas.iter_mut().flatten().flatten().collect(),
    }
}
