//! Other coordinate systems, by an explicit name.
//!
//! Codes such as `EPSG:27700` come from the EPSG registry within `proj-core`; a PROJ string such as
//! `+proj=utm +zone=33 +ellps=WGS84 +type=crs` needs none.
//!
//! A datum's grid files are never read: of the registry's formulas from the datum to WGS 84 the one
//! for the place with the best stated accuracy counts, and where there is none, longitude and latitude
//! on the datum are taken for those on WGS 84. Both shift a hole as a whole, the first by a few metres,
//! the second by some hundred at most; nothing within the hole moves.
//!
//! Of 113 systems, national grids and one or more of each kind of projection, 108 are as PROJ converts
//! them, to a millimetre; of the others PROJ takes another of the datum's formulas
//! (`tests/reference_hole.rs`). Refused, as not known or by their area of use, are grids that count to the
//! south or the west, the New Zealand Map Grid, and datums counted from Paris, Lisbon or Jakarta.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use proj_core::registry::operation_candidates_between_with_selection_options as formulas_between;
use proj_core::{
    AreaOfInterest, AxisOrder, Coord, CoordinateOperation, OperationDomain, OperationMethod,
    SelectionOptions, Transform,
};
use proj_wkt::{ParseError, parse_crs};

use super::geojson::Feature;
use super::positions::{LonLatHeight, Shape, shown};
use crate::diagnostic::{Place, Problem};

/// Longitude and latitude in degrees on WGS 84.
const DEGREES: &str = "EPSG:4326";
/// No two datums are so far apart to the north, degrees (2 km): a formula that shifts a place by more is
/// not believed. To the east they may count from different meridians.
const FARTHEST_SHIFT_DEG: f64 = 0.018;
/// Expected of the name of a system.
pub(super) const EXPECTED: &str = "a coordinate system by its EPSG code, such as EPSG:27700";
/// The remedy for one that is not known.
pub(super) const REMEDY: &str =
    "check the code; a PROJ string (+proj=… +type=crs) will do too; or export in WGS 84";

/// Between a coordinate system, easting or longitude first, and degrees on WGS 84.
#[derive(Clone)]
pub(super) struct Conversion {
    to_degrees: Transform,
    from_degrees: Transform,
}

impl std::fmt::Debug for Conversion {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let formula = &self.to_degrees.selected_operation().name;
        f.debug_tuple("Conversion").field(formula).finish()
    }
}

impl Conversion {
    /// Of a system by its code or its PROJ string, by the datum's formula for a place in it.
    ///
    /// # Errors
    /// In words, for a system that is not known or cannot be converted.
    pub fn of(system: &str, at: [f64; 2]) -> Result<Self, String> {
        let system = parse_crs(system).map_err(|error| unknown(&error))?;
        let degrees = parse_crs(DEGREES).map_err(|error| unknown(&error))?;
        let system = system
            .horizontal_crs()
            .ok_or("one of heights alone, or not of places on a map")?
            // As GeoJSON and rasters have it, whatever the authority's order.
            .with_axis_order(AxisOrder::EastNorth);
        let between = |options| {
            let to_degrees =
                Transform::from_crs_defs_with_selection_options(&system, &degrees, options)?;
            let from_degrees = to_degrees.inverse()?;
            Ok::<Self, proj_core::Error>(Self {
                to_degrees,
                from_degrees,
            })
        };
        let refused = |error: proj_core::Error| format!("one that cannot be converted ({error})");
        let same = SelectionOptions::new().with_coordinate_operation(unshifted());
        let by_datum = between(same).map_err(refused)?;
        let Some(near) = by_datum.to_degrees(at) else {
            return Ok(by_datum);
        };
        let area = AreaOfInterest::geographic_point(Coord {
            x: near[0],
            y: near[1],
        });
        let near_here = SelectionOptions::new()
            .with_area_of_interest(area)
            .with_wgs84_pivot();
        let formulas = formulas_between(&system, &degrees, &near_here).unwrap_or_default();
        let without_grids: Vec<_> = formulas.iter().filter(|each| !each.uses_grids).collect();
        if without_grids.is_empty() {
            return Ok(by_datum);
        }
        // A chain of formulas has no number.
        let shifted = without_grids.iter().filter_map(|formula| match formula.id {
            Some(id) => between(SelectionOptions::new().with_operation(id)).ok(),
            None => between(near_here.clone()).ok(),
        });
        let is_near = |shifted: &Self| {
            let place = shifted.to_degrees(at);
            place.is_some_and(|place| (place[1] - near[1]).abs() < FARTHEST_SHIFT_DEG)
        };
        let name = || without_grids[0].name.clone();
        shifted
            .into_iter()
            .find(is_near)
            .ok_or_else(|| format!("one whose datum cannot be converted ({})", name()))
    }

    /// Longitude and latitude of a place; none where the system has no place.
    pub fn to_degrees(&self, at: [f64; 2]) -> Option<[f64; 2]> {
        let degrees = converted(&self.to_degrees, at)?;
        (degrees[1].abs() <= 90.0).then_some(degrees)
    }

    /// The place in the system of a longitude and latitude; none beyond what it covers.
    pub fn to_system(&self, lon_lat: [f64; 2]) -> Option<[f64; 2]> {
        converted(&self.from_degrees, lon_lat)
    }
}

fn converted(by: &Transform, [x, y]: [f64; 2]) -> Option<[f64; 2]> {
    let (x, y): (f64, f64) = by.convert((x, y)).ok()?;
    (x.is_finite() && y.is_finite()).then_some([x, y])
}

/// Longitude and latitude on one datum taken for those on another.
fn unshifted() -> CoordinateOperation {
    CoordinateOperation {
        id: None,
        name: "the same longitude and latitude".to_owned(),
        source_crs_epsg: None,
        target_crs_epsg: None,
        source_datum_epsg: None,
        target_datum_epsg: None,
        accuracy: None,
        areas_of_use: Default::default(),
        deprecated: false,
        preferred: false,
        approximate: true,
        superseded: false,
        domain: OperationDomain::HorizontalOnly,
        method: OperationMethod::Identity,
    }
}

fn unknown(error: &ParseError) -> String {
    match error {
        ParseError::Core(proj_core::Error::UnknownCrs(_)) => "a code that is not known".to_owned(),
        other => format!("one that cannot be read ({other})"),
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
    let first = features
        .iter()
        .find_map(|each| Some((each.place.clone(), *each.shape.positions().first()?)));
    let place_of_first = first.as_ref().map_or([0.0; 2], |(_, at)| [at.lon, at.lat]);
    let conversion = Conversion::of(crs, place_of_first).map_err(|found| {
        let argument = Place::Argument(format!("--crs {crs}"));
        problem(argument, EXPECTED, found, REMEDY)
    })?;
    let like_degrees = |at: &LonLatHeight| at.lon.abs() <= 180.0 && at.lat.abs() <= 90.0;
    if let Some((place, at)) = &first {
        let moved = conversion
            .to_degrees([at.lon, at.lat])
            .is_some_and(|[lon, lat]| (lon - at.lon).abs() > 1.0 || (lat - at.lat).abs() > 1.0);
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
    if let Some((place, at)) = &first {
        let area = area_of(crs);
        let within = |at| {
            conversion
                .to_degrees(at)
                .is_some_and(|degrees| is_within(area, degrees))
        };
        if !within([at.lon, at.lat]) {
            let swapped = within([at.lat, at.lon]);
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
            match conversion.to_degrees([at.lon, at.lat]) {
                Some([lon, lat]) => {
                    at.lon = lon;
                    at.lat = lat;
                }
                None => {
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

/// Where each projected system of the registry is meant to be used, in whole degrees: code, west, south,
/// east, north (EPSG Geodetic Parameter Dataset, by `tests/peers/coordinate_systems.py`).
const AREAS: &str = include_str!("crs_areas.csv");

/// Where a coordinate system is meant to be used, `[west, south, east, north]` in degrees; unknown
/// for PROJ strings.
fn area_of(crs: &str) -> Option<[f64; 4]> {
    let code = crs.trim().rsplit(':').next()?;
    let rows = AREAS.lines().filter_map(|row| row.split_once(','));
    let (_, edges) = rows.into_iter().find(|(known, _)| *known == code)?;
    let edges: Vec<f64> = edges
        .split(',')
        .filter_map(|edge| edge.parse().ok())
        .collect();
    edges.try_into().ok()
}

/// Whether a place is in an area or near it; one that crosses the 180th meridian has its west east
/// of its east.
fn is_within(area: Option<[f64; 4]>, [lon, lat]: [f64; 2]) -> bool {
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
