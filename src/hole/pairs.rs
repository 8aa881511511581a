//! The teeing areas of one hole: pairs of tee-markers, mapped or by rule.

use geo::{Contains, Coord, Distance, Euclidean, Point, Polygon};

use super::course::{HoleLine, Map};
use super::plane::Plane;
use super::positions::LonLatHeight;
use super::tees::{NODE_OFF_M, Tee, Teeing, polygon};
use super::{TeeingArea, line, teeing};
use crate::diagnostic::{Place, Problem};

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
        if let Some(node) = on_it
            && let Some(pair) = teeing::across(outline, node, forward(node))
        {
            return (
                pair,
                "through the tee's node, as wide as its outline less 0.5 m at either side,",
            );
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
