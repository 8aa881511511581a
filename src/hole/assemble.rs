//! One hole from the features of its file: by where they lie.

use std::sync::Arc;

use geo::{Contains, Coord, Point, Polygon, Rect};

use super::collect::{Builder, MARGIN_M};
use super::course::{HoleLine, Map};
use super::field::Field;
use super::obstacle::Wood;
use super::plane::{Plane, wrap_deg};
use super::positions::Shape;
use super::tags::{self, What};
use super::tees::Teeing;
use super::{Assumption, Hole, Patch, PinFrom, TeeingArea, Tree, line, pairs, questions, surface};
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
    let site = Site::of(map, lines, at);
    let (own, place) = (site.own, &site.place);
    let mut builder = site.builder();
    site.assume_line(&mut builder);
    let mut problems = Vec::new();
    let end = own.line[own.line.len() - 1];
    let green = builder.green(end);
    if green.is_none() {
        problems.push(site.no_green(&builder, end));
    }
    let shared = green.as_ref().is_some_and(|green| site.is_shared(green));
    let pin = green.as_ref().map_or(end, |green| {
        builder.pin(place, green, end, &own.reference, shared)
    });
    let areas = site.teeing_areas(&mut builder.notes, teeing, pin);
    let areas = areas.unwrap_or_else(|mut more| {
        problems.append(&mut more);
        Vec::new()
    });
    let (Some(green), true) = (green, problems.is_empty()) else {
        return Err(problems);
    };

    let tees = Tees::of(areas, &own.line, pin);
    let name = site.name();
    let mapped_par = own
        .par
        .or_else(|| name.as_deref().and_then(tags::par_in_name));
    let par = site.par(&mut builder, name.as_deref(), tees.length_m);
    let window = window(&own.line, pin, &tees.areas, &green);
    let drawn = site.surroundings(&mut builder, window, pin)?;
    let stray_markers = stray_markers(&builder, own, teeing);
    let mut asked = questions::of_hole(&questions::Seen {
        builder: &builder,
        own,
        place,
        green: &green,
        shared,
        pin,
        tees: &tees.areas,
        usual_tee: tees.usual,
        stray_markers: &stray_markers,
        alone: lines.iter().filter(|each| !each.is_range).count() == 1,
        length_m: tees.length_m,
        par: mapped_par,
        window,
        patches: &drawn.patches,
        under: drawn.under_crowns,
        trees: &drawn.trees,
    });
    builder.questions.append(&mut asked.questions);
    builder.notes.append(&mut asked.notes);
    builder.assumed.sort();
    Ok(Hole {
        reference: own.reference.clone(),
        name,
        par,
        stroke_index: site.own_tag("handicap").and_then(tags::stroke_index),
        length_m: tees.length_m,
        line_of_play: own.line.clone(),
        pin,
        pin_from: if builder.assumed.contains(&Assumption::Pin) {
            PinFrom::Assumed
        } else {
            PinFrom::Map
        },
        tees: tees.areas,
        patches: drawn.patches,
        trees: drawn.trees,
        targets: Vec::new(),
        assumed: builder.assumed,
        notes: builder.notes,
        questions: builder.questions,
        of_tees: asked.of_tees,
        origin_lon_lat: own.plane.origin_lon_lat(),
        file: map.file.to_string(),
        usual_tee: tees.usual,
        field: Field {
            window,
            woods: drawn.woods,
            heights: drawn.heights,
            ground: None,
            under_crowns: drawn.under_crowns,
        },
        grids: Arc::default(),
        place: site.place,
    })
}

/// A hole's line of play in its map, among the lines of the other holes.
struct Site<'a> {
    map: &'a Map<'a>,
    lines: &'a [HoleLine],
    /// Index of the hole's own line.
    at: usize,
    own: &'a HoleLine,
    place: Place,
}

/// What is drawn around a hole.
struct Surroundings {
    /// Lowest first; the first `under_crowns` of them lie under the crowns of trees.
    patches: Vec<Patch>,
    under_crowns: usize,
    woods: Vec<Wood>,
    trees: Vec<Tree>,
    /// Ground heights, m.
    heights: Vec<(Coord<f64>, f64)>,
}

impl<'a> Site<'a> {
    fn of(map: &'a Map<'a>, lines: &'a [HoleLine], at: usize) -> Self {
        let own = &lines[at];
        Self {
            map,
            lines,
            at,
            own,
            place: map.features[own.feature].place.clone(),
        }
    }

    fn builder(&self) -> Builder<'a> {
        let (map, plane) = (self.map, &self.own.plane);
        let reach_m = line::length_m(&self.own.line) + 2.0 * MARGIN_M + 500.0;
        Builder {
            map,
            plane,
            near: nearby(map, plane, reach_m),
            assumed: Vec::new(),
            notes: Vec::new(),
            questions: Vec::new(),
        }
    }

    /// A tag of the line of play. What stands for an assumed line is the green, whose tags are
    /// not the hole's.
    fn own_tag(&self, key: &str) -> Option<&str> {
        (!self.own.assumed)
            .then(|| self.map.features[self.own.feature].tag(key))
            .flatten()
    }

    fn name(&self) -> Option<String> {
        self.own_tag("name").map(str::to_string)
    }

    /// Notes the assumption where no line of play is drawn.
    fn assume_line(&self, builder: &mut Builder<'_>) {
        if self.own.assumed {
            builder.assume_first(
                Assumption::LineOfPlay,
                Topic::LineDirection,
                &self.place,
                "no line of play (golf=hole): a straight one from the farthest tee to the middle of this green is \
                 assumed; draw it if the hole bends"
                    .to_string(),
            );
        }
    }

    /// The problem of a line that ends at no green.
    fn no_green(&self, builder: &Builder<'_>, end: Coord<f64>) -> Problem {
        let greens: Vec<Polygon<f64>> =
            builder.greens(end).into_iter().map(|each| each.1).collect();
        let backwards = questions::starts_on_green(&self.own.line, &greens);
        let nearest = builder.nearest_green_text(end);
        Problem {
            file: self.map.file.to_string(),
            place: self.place.clone(),
            expected: format!(
                "a green (golf=green) within 60 m of the end of the line of play of hole {}",
                self.own.reference
            ),
            found: if backwards {
                format!("{nearest}, and the line starts on one")
            } else {
                nearest
            },
            remedy: if backwards {
                "turn the line around, so that its first point is on the tee".to_string()
            } else {
                "draw the green, or draw the line of play from the tee to the green".to_string()
            },
        }
    }

    /// Whether other holes end on the same green.
    fn is_shared(&self, green: &Polygon<f64>) -> bool {
        self.lines.iter().enumerate().any(|(other, each)| {
            let last = each.line[each.line.len() - 1];
            let [lon, lat] = each.plane.to_lon_lat(last);
            let last = Point(self.own.plane.to_plane(lon, lat));
            other != self.at && !each.is_range && green.contains(&last)
        })
    }

    fn teeing_areas(
        &self,
        notes: &mut Vec<Note>,
        teeing: &Teeing,
        pin: Coord<f64>,
    ) -> Result<Vec<TeeingArea>, Vec<Problem>> {
        let forward = |from: Coord<f64>| forward(&self.own.line, from, pin);
        let (map, lines) = (self.map, self.lines);
        pairs::build(map, lines, self.at, teeing, &forward, &mut |place, text| {
            notes.push(Note {
                file: map.file.to_string(),
                place: place.clone(),
                text,
                topic: None,
            });
        })
    }

    /// The par of the map, of the hole's name, or, as an assumption, of its length.
    fn par(&self, builder: &mut Builder<'_>, name: Option<&str>, length_m: f64) -> u8 {
        if let Some(par) = self.own.par {
            return par;
        }
        let (par, why) = match name.and_then(tags::par_in_name) {
            Some(par) => (par, "from the hole's name".to_string()),
            None => (
                tags::par_by_length(length_m),
                format!("from its length of {length_m:.0} m"),
            ),
        };
        let text = format!("no par tag: par {par} is taken {why}");
        builder.assume(Assumption::Par, &self.place, text);
        par
    }

    fn surroundings(
        &self,
        builder: &mut Builder<'_>,
        window: Rect<f64>,
        pin: Coord<f64>,
    ) -> Result<Surroundings, Vec<Problem>> {
        let line = &self.own.line;
        let (mut patches, mut woods, mut trees) = (Vec::new(), Vec::new(), Vec::new());
        builder.surfaces(line, window, &mut patches);
        builder.trees(window, &mut patches, &mut woods, &mut trees);
        let heights = builder.heights(&self.place, window, line, pin);
        if let Some(problem) = self.too_many(&patches) {
            return Err(vec![problem]);
        }
        let too_long = too_long(self.map.file, &self.own.reference, &self.place, &patches);
        if let Some(problem) = too_long {
            return Err(vec![problem]);
        }
        let (patches, under_crowns) = surface::sort(patches);
        Ok(Surroundings {
            patches,
            under_crowns,
            woods,
            trees,
            heights,
        })
    }

    /// A problem where there are more areas than anybody maps.
    fn too_many(&self, patches: &[Patch]) -> Option<Problem> {
        (patches.len() > MOST_AREAS).then(|| Problem {
            file: self.map.file.to_string(),
            place: self.place.clone(),
            expected: format!(
                "at most {MOST_AREAS} drawn areas around hole {}",
                self.own.reference
            ),
            found: patches.len().to_string(),
            remedy: "take out what is drawn many times over, or cut one course out of the map"
                .to_string(),
        })
    }
}

/// The direction of play from a place, by the first point ahead that is not too near.
fn forward(line: &[Coord<f64>], from: Coord<f64>, pin: Coord<f64>) -> Coord<f64> {
    let way = line::from_tee(line, from, pin);
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
}

/// The teeing areas of a hole.
struct Tees {
    /// The longest way to the pin first.
    areas: Vec<TeeingArea>,
    /// Index of the one nearest to the start of the line of play.
    usual: usize,
    /// Length of the hole from there, m.
    length_m: f64,
}

impl Tees {
    fn of(mut areas: Vec<TeeingArea>, line: &[Coord<f64>], pin: Coord<f64>) -> Self {
        let from_m = |tee: &TeeingArea| line::length_m(&line::from_tee(line, tee.middle(), pin));
        areas.sort_by(|one, other| from_m(other).total_cmp(&from_m(one)));
        let usual = (0..areas.len())
            .min_by(|&i, &j| {
                let off = |tee: usize| line::distance_m(areas[tee].middle(), line[0]);
                off(i).total_cmp(&off(j))
            })
            .unwrap_or(0);
        let length_m = from_m(&areas[usual]);
        Self {
            areas,
            usual,
            length_m,
        }
    }
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
    tees: &[TeeingArea],
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
