//! Which tee belongs to which hole, and its teeing areas.
//!
//! # Whose tee
//! A tee (area, node, or both together) with a whole-number `ref` belongs to
//! the hole of that ref, and to none where the file has no such hole. Any other
//! belongs, among the holes it could serve, to the one whose line of play starts
//! nearest, practice ranges included. It could serve a hole if it lies within
//! 40 m of the first half of its line of play, prolonged 100 m backwards.
//! Two tee-markers belong to a hole in the same way.

use geo::{Contains, Coord, Distance, Euclidean, LineString, Point, Polygon};

use super::course::{HoleLine, Map};
use super::geojson::{Feature, LonLatHeight, Shape};
use super::plane::Plane;
use super::tags::What;
use super::{TeeingArea, line, teeing};
use crate::diagnostic::{Note, Place, Problem};

/// A tee farther from the hole's line than this is not its tee, m.
const ASIDE_M: f64 = 40.0;
/// How far behind the start of the line of play a tee may lie, m.
const BEHIND_M: f64 = 100.0;
/// A tee with the hole's ref may lie this far from the start of its line, m.
const SAME_REF_M: f64 = 500.0;
/// A node this near to a tee's outline is taken to stand on it, m.
const NODE_OFF_M: f64 = 5.0;

/// One tee: an area, a node, or an area with the nodes on it.
struct Tee {
    /// Index of the feature that stands for it.
    feature: usize,
    outline: Option<Vec<Vec<LonLatHeight>>>,
    /// Nodes: feature and position.
    nodes: Vec<(usize, LonLatHeight)>,
    number: Option<u32>,
}

/// Every hole's tees and tee-markers.
pub(super) struct Teeing {
    tees: Vec<Vec<Tee>>,
    /// Tee-markers of each hole: feature and position.
    markers: Vec<Vec<(usize, LonLatHeight)>>,
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
                });
            }
        }
    }
    teeing
}

/// The tees of a file: areas with the nodes on them, then the other nodes.
fn gather(map: &Map<'_>) -> Vec<Tee> {
    let mut tees: Vec<Tee> = Vec::new();
    let of_kind = |at: &usize| map.what[*at] == What::Tee;
    for at in (0..map.features.len()).filter(of_kind) {
        let feature = &map.features[at];
        let mut add = |outline: Vec<Vec<LonLatHeight>>| {
            tees.push(Tee {
                feature: at,
                outline: Some(outline),
                nodes: Vec::new(),
                number: number(feature),
            });
        };
        match &feature.shape {
            Shape::Areas(areas) => areas.iter().cloned().for_each(add),
            Shape::Lines(lines) => add(lines.clone()),
            _ => {}
        }
    }
    let areas = tees.len();
    for at in (0..map.features.len()).filter(of_kind) {
        let Shape::Points(points) = &map.features[at].shape else {
            continue;
        };
        for &point in points {
            let here = number(&map.features[at]);
            // On its own plane a tee is small enough for any origin near it.
            let plane = Plane::new([point.lon, point.lat]);
            let nearest = tees[..areas]
                .iter()
                .enumerate()
                .filter(|(_, tee)| {
                    tee.outline
                        .as_ref()
                        .is_some_and(|rings| near(&rings[0], point))
                })
                .filter_map(|(index, tee)| {
                    let outline = polygon(tee.outline.as_ref()?, &plane);
                    let off = Euclidean.distance(&Point::new(0.0, 0.0), &outline);
                    (off <= NODE_OFF_M).then_some((off, index))
                })
                .min_by(|one, other| one.0.total_cmp(&other.0));
            match nearest {
                Some((_, index)) => {
                    tees[index].number = tees[index].number.or(here);
                    tees[index].nodes.push((at, point));
                }
                None => tees.push(Tee {
                    feature: at,
                    outline: None,
                    nodes: vec![(at, point)],
                    number: here,
                }),
            }
        }
    }
    tees
}

/// Whether a ring has a position within about 500 m of a point.
fn near(ring: &[LonLatHeight], point: LonLatHeight) -> bool {
    let east = 0.005 / point.lat.to_radians().cos().max(0.01);
    ring.iter().any(|at| {
        (at.lat - point.lat).abs() < 0.005
            && super::plane::wrap_deg(at.lon - point.lon).abs() < east
    })
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

fn polygon(rings: &[Vec<LonLatHeight>], plane: &Plane) -> Polygon<f64> {
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
    let place = |each: &HoleLine| each.plane.to_plane(at.lon, at.lat);
    if let Some(number) = number {
        let numbered = lines
            .iter()
            .any(|each| each.has_ref && each.reference.parse::<u32>().is_ok());
        let same = lines.iter().position(|each| {
            each.has_ref
                && each.reference.parse() == Ok(number)
                && line::distance_m(each.line[0], place(each)) <= SAME_REF_M
        });
        if numbered {
            return same.filter(|&hole| !lines[hole].is_range);
        }
    }
    lines
        .iter()
        .enumerate()
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

/// Builds a hole's teeing areas. `forward` gives the direction of play from a
/// point; `note` takes what was assumed.
pub(super) fn build(
    map: &Map<'_>,
    lines: &[HoleLine],
    hole: usize,
    teeing: &Teeing,
    forward: &dyn Fn(Coord<f64>) -> Coord<f64>,
    note: &mut dyn FnMut(&Place, String),
) -> Result<Vec<TeeingArea>, Vec<Problem>> {
    let (each, plane) = (&lines[hole], &lines[hole].plane);
    let mut areas = marked(map, plane, &teeing.markers[hole], forward, note)?;
    let marked = areas.len();
    for tee in &teeing.tees[hole] {
        let outline = tee.outline.as_ref().map(|rings| polygon(rings, plane));
        // Tee-markers on this very tee take its place.
        let own = areas[..marked].iter_mut().find(|area| {
            outline.as_ref().is_some_and(|outline| {
                Euclidean.distance(&Point(area.middle()), outline) <= NODE_OFF_M
            })
        });
        if let Some(area) = own {
            if area.colours.is_empty() {
                area.colours = all_colours(map, tee);
            }
            continue;
        }
        let nodes: Vec<(usize, Option<Coord<f64>>)> = if tee.nodes.is_empty() {
            vec![(tee.feature, None)]
        } else {
            tee.nodes
                .iter()
                .map(|(at, p)| (*at, Some(plane.to_plane(p.lon, p.lat))))
                .collect()
        };
        for (feature, node) in nodes {
            let mut colours = teeing::colours(map.features[feature].tag("tee"));
            if colours.is_empty() {
                colours = teeing::colours(map.features[tee.feature].tag("tee"));
            }
            let place = &map.features[feature].place;
            let ((left, right), how) = pair(outline.as_ref(), node, each.line[0], forward);
            note(place, format!("no tee-markers: a pair {how} is assumed"));
            areas.push(TeeingArea {
                colours,
                left,
                right,
                assumed: true,
                id: map.features[feature].id.clone(),
            });
        }
    }
    let place = &map.features[each.feature].place;
    if areas.is_empty() {
        if !teeing.any {
            return Err(vec![Problem {
                file: map.file.to_string(),
                place: place.clone(),
                expected: format!(
                    "a tee for hole {}: an area or a node with golf=tee",
                    each.reference
                ),
                found: "no tee in the file".to_string(),
                remedy: "draw the tee, or put a node with golf=tee on it".to_string(),
            }]);
        }
        let (left, right) = teeing::at_point(each.line[0], forward(each.line[0]));
        note(
            place,
            "no tee of this hole on the map: a pair of tee-markers 6 m apart at the start of the line of play is assumed"
                .to_string(),
        );
        areas.push(TeeingArea {
            colours: Vec::new(),
            left,
            right,
            assumed: true,
            id: map.features[each.feature].id.clone(),
        });
    }
    Ok(areas)
}

/// A pair of markers for a tee without any, and how it was found.
fn pair(
    outline: Option<&Polygon<f64>>,
    node: Option<Coord<f64>>,
    start: Coord<f64>,
    forward: &dyn Fn(Coord<f64>) -> Coord<f64>,
) -> ((Coord<f64>, Coord<f64>), &'static str) {
    if let Some(outline) = outline {
        let on_it = node.filter(|&node| outline.contains(&Point(node)));
        if let Some(node) = on_it {
            if let Some(pair) = teeing::across(outline, node, forward(node)) {
                return (
                    pair,
                    "through the tee's node, as wide as its outline less 0.5 m at either side,",
                );
            }
        }
        if let Some(middle) = teeing::middle_of(outline) {
            if let Some(pair) = teeing::across(outline, middle, forward(middle)) {
                return (
                    pair,
                    "through the middle of the tee's outline, as wide as it is there less 0.5 m at either side,",
                );
            }
            return (
                teeing::at_point(middle, forward(middle)),
                "6 m apart in the middle of a tee too narrow to measure",
            );
        }
    }
    let at = node.unwrap_or(start);
    (
        teeing::at_point(at, forward(at)),
        "6 m apart at the tee's node",
    )
}

fn all_colours(map: &Map<'_>, tee: &Tee) -> Vec<String> {
    let features = tee.nodes.iter().map(|each| each.0).chain([tee.feature]);
    let mut colours = Vec::new();
    for feature in features {
        for colour in teeing::colours(map.features[feature].tag("tee")) {
            if !colours.contains(&colour) {
                colours.push(colour);
            }
        }
    }
    colours
}

/// Teeing areas from tee-markers: two for each colour, or two without.
fn marked(
    map: &Map<'_>,
    plane: &Plane,
    markers: &[(usize, LonLatHeight)],
    forward: &dyn Fn(Coord<f64>) -> Coord<f64>,
    note: &mut dyn FnMut(&Place, String),
) -> Result<Vec<TeeingArea>, Vec<Problem>> {
    type Sets = Vec<(Vec<String>, Vec<(usize, Coord<f64>)>)>;
    let mut sets: Sets = Vec::new();
    for &(feature, at) in markers {
        let colours = teeing::colours(map.features[feature].tag("tee"));
        let marker = (feature, plane.to_plane(at.lon, at.lat));
        match sets.iter_mut().find(|set| set.0 == colours) {
            Some(set) => set.1.push(marker),
            None => sets.push((colours, vec![marker])),
        }
    }
    let mut areas = Vec::new();
    let mut problems = Vec::new();
    for (colours, set) in sets {
        let place = &map.features[set[0].0].place;
        let colour = if colours.is_empty() {
            "no colour".to_string()
        } else {
            colours.join(";")
        };
        let mut problem = |expected: &str, found: String, remedy: &str| {
            problems.push(Problem {
                file: map.file.to_string(),
                place: place.clone(),
                expected: expected.to_string(),
                found,
                remedy: remedy.to_string(),
            });
        };
        let [(first, a), (_, b)] = set[..] else {
            problem(
                "two tee-markers of each colour on a hole",
                format!("{} of {colour}", set.len()),
                "add or remove tee-markers, or give each pair its colour with the tag tee",
            );
            continue;
        };
        let width_m = line::distance_m(a, b);
        if !(teeing::WIDTH_BAND_M[0]..=teeing::WIDTH_BAND_M[1]).contains(&width_m) {
            problem(
                "two tee-markers from 1 to 60 m apart",
                format!("{width_m:.1} m between those of {colour}"),
                "move the tee-markers to where they stand",
            );
            continue;
        }
        let way = forward((a + b) / 2.0);
        let (left, right) = teeing::ordered(a, b, way);
        let aside = ((right.x - left.x) * way.x + (right.y - left.y) * way.y) / width_m;
        if aside.abs() > 0.5 {
            note(
                place,
                "the tee-markers stand more than 30° askew to the line of play".to_string(),
            );
        }
        areas.push(TeeingArea {
            colours,
            left,
            right,
            assumed: false,
            id: map.features[first].id.clone(),
        });
    }
    if problems.is_empty() {
        Ok(areas)
    } else {
        Err(problems)
    }
}
