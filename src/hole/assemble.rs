//! One hole from the features of its file: by where they lie.

use std::sync::Arc;

use geo::{Contains, Coord, Point, Polygon, Rect};

use super::collect::{Builder, MARGIN_M};
use super::course::{HoleLine, Map};
use super::field::Field;
use super::plane::{Plane, wrap_deg};
use super::positions::Shape;
use super::tags::{self, What};
use super::tees::Teeing;
use super::{Assumption, Hole, Patch, PinFrom, line, pairs, questions, surface};
use crate::diagnostic::{Note, Place, Problem, Topic};

/// The window's sides are whole multiples of this, so that the cells of all
/// grids share their edges, m.
const WINDOW_STEP_M: f64 = 4.0;
/// Most drawn areas around one hole: ten times what the busiest mapped one has.
const MOST_AREAS: usize = 3000;
/// Longest outlines around one hole in all, m: a mapped one has some 20 km.
const MOST_OUTLINE_M: f64 = 3_000_000.0;
/// Most positions of outlines around one hole; a mapped one has some thousands.
const MOST_POSITIONS: usize = 100_000;

/// Builds a hole.
pub(super) fn hole(
    map: &Map<'_>,
    lines: &[HoleLine],
    at: usize,
    teeing: &Teeing,
) -> Result<Hole, Vec<Problem>> {
    let own = &lines[at];
    let place = map.features[own.feature].place.clone();
    let mut builder = Builder {
        map,
        plane: &own.plane,
        near: nearby(
            map,
            &own.plane,
            line::length_m(&own.line) + 2.0 * MARGIN_M + 500.0,
        ),
        assumed: Vec::new(),
        notes: Vec::new(),
        questions: Vec::new(),
    };
    if own.assumed {
        builder.assume_first(
            Assumption::LineOfPlay,
            Topic::LineDirection,
            &place,
            "no line of play (golf=hole): a straight one from the farthest tee to the middle of this green is \
             assumed; draw it if the hole bends"
                .to_string(),
        );
    }
    let mut problems = Vec::new();
    let end = own.line[own.line.len() - 1];
    let green = builder.green(end);
    if green.is_none() {
        let greens: Vec<Polygon<f64>> =
            builder.greens(end).into_iter().map(|each| each.1).collect();
        let backwards = questions::starts_on_green(&own.line, &greens);
        problems.push(Problem {
            file: map.file.to_string(),
            place: place.clone(),
            expected: format!(
                "a green (golf=green) within 60 m of the end of the line of play of hole {}",
                own.reference
            ),
            found: if backwards {
                format!(
                    "{}, and the line starts on one",
                    builder.nearest_green_text(end)
                )
            } else {
                builder.nearest_green_text(end)
            },
            remedy: if backwards {
                "turn the line around, so that its first point is on the tee".to_string()
            } else {
                "draw the green, or draw the line of play from the tee to the green".to_string()
            },
        });
    }
    let shared = green.as_ref().is_some_and(|green| {
        lines.iter().enumerate().any(|(other, each)| {
            let last = each.line[each.line.len() - 1];
            let [lon, lat] = each.plane.to_lon_lat(last);
            other != at && !each.is_range && green.contains(&Point(own.plane.to_plane(lon, lat)))
        })
    });
    let pin = green.as_ref().map_or(end, |green| {
        builder.pin(&place, green, end, &own.reference, shared)
    });
    let without_green = green.is_none();
    let forward = |from: Coord<f64>| {
        let way = line::from_tee(&own.line, from, pin);
        let ahead = way
            .iter()
            .copied()
            .find(|&to| line::distance_m(from, to) >= 50.0);
        let to = ahead.unwrap_or(pin);
        let length = line::distance_m(from, to);
        if length > 0.0 {
            (to - from) / length
        } else {
            Coord { x: 0.0, y: 1.0 }
        }
    };
    let mut tee_notes = Vec::new();
    let tees = pairs::build(map, lines, at, teeing, &forward, &mut |place, text| {
        tee_notes.push(Note {
            file: map.file.to_string(),
            place: place.clone(),
            text,
            topic: None,
        });
    });
    builder.notes.append(&mut tee_notes);
    let mut tees = match tees {
        Ok(tees) => tees,
        Err(mut more) => {
            problems.append(&mut more);
            Vec::new()
        }
    };
    let (Some(green), true) = (green, problems.is_empty()) else {
        return Err(problems);
    };

    let from_m =
        |tee: &super::TeeingArea| line::length_m(&line::from_tee(&own.line, tee.middle(), pin));
    tees.sort_by(|one, other| from_m(other).total_cmp(&from_m(one)));
    let usual_tee = (0..tees.len())
        .min_by(|&i, &j| {
            let off = |tee: usize| line::distance_m(tees[tee].middle(), own.line[0]);
            off(i).total_cmp(&off(j))
        })
        .unwrap_or(0);
    let length_m = from_m(&tees[usual_tee]);
    // What stands for an assumed line is the green, whose name is not the hole's.
    let named = (!own.assumed).then(|| map.features[own.feature].tag("name"));
    let name = named.flatten().map(str::to_string);
    let said_par = own
        .par
        .or_else(|| name.as_deref().and_then(tags::par_in_name));
    let par = own.par.unwrap_or_else(|| {
        let (par, why) = match name.as_deref().and_then(tags::par_in_name) {
            Some(par) => (par, "from the hole's name".to_string()),
            None => (
                tags::par_by_length(length_m),
                format!("from its length of {length_m:.0} m"),
            ),
        };
        builder.assume(
            Assumption::Par,
            &place,
            format!("no par tag: par {par} is taken {why}"),
        );
        par
    });

    let window = window(&own.line, pin, &tees, &green);
    let mut patches = Vec::new();
    let mut woods = Vec::new();
    let mut trees = Vec::new();
    builder.surfaces(&own.line, window, &mut patches);
    builder.trees(window, &mut patches, &mut woods, &mut trees);
    let heights = builder.heights(&place, window, &own.line, pin);
    if patches.len() > MOST_AREAS {
        return Err(vec![Problem {
            file: map.file.to_string(),
            place,
            expected: format!(
                "at most {MOST_AREAS} drawn areas around hole {}",
                own.reference
            ),
            found: patches.len().to_string(),
            remedy: "take out what is drawn many times over, or cut one course out of the map"
                .to_string(),
        }]);
    }
    if let Some(problem) = too_long(map.file, &own.reference, &place, &patches) {
        return Err(vec![problem]);
    }
    let (patches, under_crowns) = surface::sort(patches);
    let stray_markers = stray_markers(&builder, own, teeing);
    let mut asked = questions::of_hole(&questions::Seen {
        builder: &builder,
        own,
        place: &place,
        green: &green,
        shared,
        pin,
        tees: &tees,
        usual_tee,
        stray_markers: &stray_markers,
        alone: lines.iter().filter(|each| !each.is_range).count() == 1,
        length_m,
        par: said_par,
        window,
        patches: &patches,
        under: under_crowns,
        trees: &trees,
    });
    builder.questions.append(&mut asked.questions);
    builder.notes.append(&mut asked.notes);
    Ok(Hole {
        reference: own.reference.clone(),
        name,
        par,
        stroke_index: (!own.assumed)
            .then(|| map.features[own.feature].tag("handicap"))
            .flatten()
            .and_then(tags::stroke_index),
        length_m,
        line_of_play: own.line.clone(),
        pin,
        pin_from: if without_green || builder.assumed.contains(&Assumption::Pin) {
            PinFrom::Assumed
        } else {
            PinFrom::Map
        },
        tees,
        patches,
        trees,
        assumed: {
            builder.assumed.sort();
            builder.assumed
        },
        notes: builder.notes,
        questions: builder.questions,
        of_tees: asked.of_tees,
        origin_lon_lat: own.plane.origin_lon_lat(),
        file: map.file.to_string(),
        place,
        usual_tee,
        field: Field {
            window,
            woods,
            heights,
            ground: None,
            under_crowns,
        },
        grids: Arc::default(),
    })
}

/// Tee-markers near the start of a hole that no hole of the file has.
fn stray_markers(builder: &Builder<'_>, own: &HoleLine, teeing: &Teeing) -> Vec<usize> {
    const NEAR_M: f64 = 150.0;
    let near = builder.near.iter().copied();
    near.filter(|&feature| {
        let Shape::Points(points) = &builder.map.features[feature].shape else {
            return false;
        };
        builder.map.what[feature] == What::TeeMarker
            && !teeing
                .markers
                .iter()
                .flatten()
                .any(|marker| marker.0 == feature)
            && builder
                .flat(points)
                .iter()
                .any(|&at| line::distance_m(at, own.line[0]) <= NEAR_M)
    })
    .collect()
}

/// A problem where the outlines are longer, or have more positions, than any that were mapped.
fn too_long(file: &str, reference: &str, place: &Place, patches: &[Patch]) -> Option<Problem> {
    let rings = |patch: &Patch| -> Vec<geo::LineString<f64>> {
        let outline = &patch.outline;
        let exterior = std::iter::once(outline.exterior());
        exterior.chain(outline.interiors()).cloned().collect()
    };
    let (mut positions, mut length_m) = (0, 0.0);
    for ring in patches.iter().flat_map(rings) {
        positions += ring.0.len();
        length_m += line::length_m(&ring.0);
    }
    if positions <= MOST_POSITIONS && length_m <= MOST_OUTLINE_M {
        return None;
    }
    Some(Problem {
        file: file.to_owned(),
        place: place.clone(),
        expected: format!(
            "outlines of at most {MOST_POSITIONS} positions and {:.0} km around hole {reference}",
            MOST_OUTLINE_M / 1000.0
        ),
        found: format!("{positions} positions, {:.0} km", length_m / 1000.0),
        remedy: "simplify the outlines: a position every two metres is enough".to_owned(),
    })
}

/// Features whose box comes within this distance of the plane's origin.
fn nearby(map: &Map<'_>, plane: &Plane, reach_m: f64) -> Vec<usize> {
    let [lon, lat] = plane.origin_lon_lat();
    // Metres in a degree of latitude, rounded down: generous is right here.
    let north = reach_m / 110_000.0;
    let east = north / lat.to_radians().cos().max(1e-3);
    (0..map.features.len())
        .filter(|&at| {
            map.boxes[at].is_some_and(|of_box| {
                let from = wrap_deg(of_box.lon - lon);
                from + of_box.west_deg <= east
                    && from + of_box.east_deg >= -east
                    && of_box.south - lat <= north
                    && of_box.north - lat >= -north
            })
        })
        .collect()
}

/// The box around the hole with its margin, in whole steps about its middle.
fn window(
    line: &[Coord<f64>],
    pin: Coord<f64>,
    tees: &[super::TeeingArea],
    green: &Polygon<f64>,
) -> Rect<f64> {
    let mut low = pin;
    let mut high = pin;
    let ends = tees.iter().flat_map(|tee| [tee.left, tee.right]);
    for at in line
        .iter()
        .copied()
        .chain(ends)
        .chain(green.exterior().coords().copied())
    {
        low = Coord {
            x: low.x.min(at.x),
            y: low.y.min(at.y),
        };
        high = Coord {
            x: high.x.max(at.x),
            y: high.y.max(at.y),
        };
    }
    let middle = (low + high) / 2.0;
    let half = |size: f64| ((size + 2.0 * MARGIN_M) / WINDOW_STEP_M).ceil() * WINDOW_STEP_M / 2.0;
    let half = Coord {
        x: half(high.x - low.x),
        y: half(high.y - low.y),
    };
    Rect::new(middle - half, middle + half)
}
