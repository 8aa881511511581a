//! Which tee belongs to which hole, and its teeing areas.
//!
//! # Whose tee
//! A tee (area, node, or both together) with a whole-number `ref` belongs to
//! the hole of that ref, and to none where the file has no such hole. Any other
//! belongs, among the holes it could serve, to the one whose line of play starts
//! nearest, practice ranges included. It could serve a hole if it lies within
//! 40 m of the first half of its line of play, prolonged 100 m backwards.
//! Two tee-markers belong to a hole in the same way.

use geo::{Coord, Distance, Euclidean, LineString, Point, Polygon};

use super::course::{HoleLine, Map};
use super::geojson::Feature;
use super::line;
use super::plane::Plane;
use super::positions::{LonLatHeight, Shape};
use super::tags::What;
use crate::diagnostic::{Note, Place};

/// A tee farther from the hole's line than this is not its tee, m.
const ASIDE_M: f64 = 40.0;
/// How far behind the start of the line of play a tee may lie, m.
const BEHIND_M: f64 = 100.0;
/// A tee with the hole's ref may lie this far from the start of its line, m.
const SAME_REF_M: f64 = 500.0;
/// A node this near to a tee's outline is taken to stand on it, m.
pub(super) const NODE_OFF_M: f64 = 5.0;

/// One tee: an area, a node, or an area with the nodes on it.
pub(super) struct Tee {
    /// Index of the feature that stands for it.
    pub feature: usize,
    pub outline: Option<Vec<Vec<LonLatHeight>>>,
    /// Nodes: feature and position.
    pub nodes: Vec<(usize, LonLatHeight)>,
    number: Option<u32>,
}

/// Every hole's tees and tee-markers.
pub(super) struct Teeing {
    pub tees: Vec<Vec<Tee>>,
    /// Tee-markers of each hole: feature and position.
    pub markers: Vec<Vec<(usize, LonLatHeight)>>,
    /// Whether the file has any tee.
    pub any: bool,
    pub notes: Vec<Note>,
}

fn number(feature: &Feature) -> Option<u32> {
    feature.tag("ref")?.parse().ok()
}

/// Shares the tees of a file out among its holes.
pub(super) fn share_out(map: &Map<'_>, lines: &[HoleLine]) -> Teeing {
    let tees = gather(map);
    let any = !tees.is_empty();
    let mut teeing = Teeing {
        tees: lines.iter().map(|_| Vec::new()).collect(),
        markers: lines.iter().map(|_| Vec::new()).collect(),
        any,
        notes: Vec::new(),
    };
    let mut homeless = 0;
    for tee in tees {
        let at = match (&tee.outline, tee.nodes.first()) {
            (_, Some((_, at))) => *at,
            (Some(rings), None) => mean(&rings[0]),
            (None, None) => continue,
        };
        match owner(lines, at, tee.number) {
            Some(hole) => teeing.tees[hole].push(tee),
            None => homeless += 1,
        }
    }
    if homeless > 0 {
        teeing.notes.push(Note {
            file: map.file.to_string(),
            place: Place::File,
            text: format!(
                "{homeless} tee{} of no hole in this file",
                if homeless == 1 { "" } else { "s" }
            ),
            topic: None,
        });
    }
    for (at, feature) in map.features.iter().enumerate() {
        if let (What::TeeMarker, Shape::Points(points)) = (map.what[at], &feature.shape) {
            if let Some(hole) = owner(lines, points[0], number(feature)) {
                teeing.markers[hole].push((at, points[0]));
                teeing.any = true;
            } else {
                teeing.notes.push(Note {
                    file: map.file.to_string(),
                    place: feature.place.clone(),
                    text: "a tee-marker of no hole in this file".to_string(),
                    topic: None,
                });
            }
        }
    }
    teeing
}

/// The tees of a file: areas with the nodes on them, then the other nodes. An
/// area whose nodes carry the refs of several holes is a tee of each.
fn gather(map: &Map<'_>) -> Vec<Tee> {
    let of_kind = |at: &usize| map.what[*at] == What::Tee;
    let mut areas: Vec<Tee> = Vec::new();
    for at in (0..map.features.len()).filter(of_kind) {
        let feature = &map.features[at];
        let mut add = |outline: Vec<Vec<LonLatHeight>>| {
            areas.push(Tee {
                feature: at,
                outline: Some(outline),
                nodes: Vec::new(),
                number: number(feature),
            });
        };
        match &feature.shape {
            Shape::Areas(list) => list.iter().cloned().for_each(add),
            Shape::Lines(lines) => add(lines.clone()),
            _ => {}
        }
    }
    let mut alone: Vec<Tee> = Vec::new();
    for at in (0..map.features.len()).filter(of_kind) {
        let Shape::Points(points) = &map.features[at].shape else {
            continue;
        };
        for &point in points {
            let nearest = areas
                .iter()
                .enumerate()
                .filter_map(|(index, tee)| {
                    let off = distance_off_m(tee.outline.as_ref()?, point);
                    (off <= NODE_OFF_M).then_some((off, index))
                })
                .min_by(|one, other| one.0.total_cmp(&other.0));
            match nearest {
                Some((_, index)) => areas[index].nodes.push((at, point)),
                None => alone.push(Tee {
                    feature: at,
                    outline: None,
                    nodes: vec![(at, point)],
                    number: number(&map.features[at]),
                }),
            }
        }
    }
    let mut tees = Vec::new();
    for area in areas {
        let mut parts: Vec<Tee> = Vec::new();
        for &(at, point) in &area.nodes {
            let wanted = number(&map.features[at]).or(area.number);
            match parts.iter_mut().find(|part| part.number == wanted) {
                Some(part) => part.nodes.push((at, point)),
                None => parts.push(Tee {
                    feature: area.feature,
                    outline: area.outline.clone(),
                    nodes: vec![(at, point)],
                    number: wanted,
                }),
            }
        }
        if parts.is_empty() {
            parts.push(area);
        }
        tees.append(&mut parts);
    }
    tees.append(&mut alone);
    tees
}

/// Roughly how far a point lies off a tee's outline, m, 0 inside: on a plane of
/// equal degrees scaled at the point, good to a few millimetres this near.
fn distance_off_m(rings: &[Vec<LonLatHeight>], point: LonLatHeight) -> f64 {
    const METRES_A_DEGREE: f64 = 111_195.0;
    let east = METRES_A_DEGREE * point.lat.to_radians().cos();
    let flat = |at: &LonLatHeight| Coord {
        x: super::plane::wrap_deg(at.lon - point.lon) * east,
        y: (at.lat - point.lat) * METRES_A_DEGREE,
    };
    if rings[0].iter().all(|at| (at.lat - point.lat).abs() > 0.01) {
        return f64::INFINITY;
    }
    let ring = |list: &Vec<LonLatHeight>| LineString::new(list.iter().map(flat).collect());
    let outline = Polygon::new(ring(&rings[0]), rings[1..].iter().map(ring).collect());
    Euclidean.distance(&Point::new(0.0, 0.0), &outline)
}

fn mean(ring: &[LonLatHeight]) -> LonLatHeight {
    let first = ring[0];
    let n = ring.len() as f64;
    LonLatHeight {
        lon: first.lon
            + ring
                .iter()
                .map(|at| super::plane::wrap_deg(at.lon - first.lon))
                .sum::<f64>()
                / n,
        lat: ring.iter().map(|at| at.lat).sum::<f64>() / n,
        height_m: None,
    }
}

pub(super) fn polygon(rings: &[Vec<LonLatHeight>], plane: &Plane) -> Polygon<f64> {
    let ring = |positions: &Vec<LonLatHeight>| {
        LineString::new(
            positions
                .iter()
                .map(|at| plane.to_plane(at.lon, at.lat))
                .collect(),
        )
    };
    Polygon::new(ring(&rings[0]), rings[1..].iter().map(ring).collect())
}

/// The line that a tee at this position belongs to; none for a range's or for
/// a hole that the file does not hold.
fn owner(lines: &[HoleLine], at: LonLatHeight, number: Option<u32>) -> Option<usize> {
    // Far holes need no projection: 0.05 degrees of latitude are 5.5 km.
    let is_far = |each: &HoleLine| (each.plane.origin_lon_lat()[1] - at.lat).abs() > 0.05;
    let place = |each: &HoleLine| each.plane.to_plane(at.lon, at.lat);
    if let Some(number) = number {
        let numbered = lines
            .iter()
            .any(|each| each.has_ref && each.reference.parse::<u32>().is_ok());
        let same = lines.iter().position(|each| {
            each.has_ref
                && each.reference.parse() == Ok(number)
                && !is_far(each)
                && line::distance_m(each.line[0], place(each)) <= SAME_REF_M
        });
        if numbered {
            return same.filter(|&hole| !lines[hole].is_range);
        }
    }
    lines
        .iter()
        .enumerate()
        .filter(|(_, each)| !is_far(each))
        .filter_map(|(hole, each)| {
            let here = place(each);
            let (_, off, _) = line::nearest(&tee_side(&each.line), here);
            let from_start = line::distance_m(each.line[0], here);
            (off <= ASIDE_M).then_some((from_start, hole))
        })
        .min_by(|one, other| one.0.total_cmp(&other.0))
        .map(|(_, hole)| hole)
        .filter(|&hole| !lines[hole].is_range)
}

/// The first half of a line of play, prolonged backwards.
fn tee_side(whole: &[Coord<f64>]) -> Vec<Coord<f64>> {
    let half = line::length_m(whole) / 2.0;
    let d = whole[1] - whole[0];
    let length = d.x.hypot(d.y).max(1e-9);
    let mut part = vec![whole[0] - d * (BEHIND_M / length)];
    let mut along = 0.0;
    for pair in whole.windows(2) {
        part.push(pair[0]);
        let piece = line::distance_m(pair[0], pair[1]);
        if along + piece >= half {
            part.push(
                pair[0] + (pair[1] - pair[0]) * ((half - along) / piece.max(1e-9)).clamp(0.0, 1.0),
            );
            break;
        }
        along += piece;
    }
    part
}
