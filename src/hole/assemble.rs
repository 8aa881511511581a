//! One hole from the features of its file: by where they lie.

use geo::{
    Area, BooleanOps, BoundingRect, Centroid, Contains, Coord, Distance, Euclidean, LineString,
    Point, Polygon, Rect,
};
use std::sync::OnceLock;

use super::boundary::{self, Side};
use super::course::{HoleLine, Map};
use super::field::Field;
use super::geojson::{LonLatHeight, Shape};
use super::obstacle::{Kind, Wood};
use super::plane::{Plane, wrap_deg};
use super::tags::{self, What};
use super::tees::{self, Teeing};
use super::{Hole, Patch, Surface, Tree, line, surface};
use crate::diagnostic::{Note, Place, Problem};

/// Mapped around the hole, m.
const MARGIN_M: f64 = 120.0;
/// The window's sides are whole multiples of this, so that the cells of all
/// grids share their edges, m.
const WINDOW_STEP_M: f64 = 4.0;
/// A green farther than this from the end of the line of play is not its green, m.
const GREEN_OFF_M: f64 = 60.0;
/// A pin this near to the green's outline is taken to stand on it, m.
const PIN_OFF_M: f64 = 5.0;
/// Width of a stream drawn as a line without a width, m (practice).
const STREAM_M: f64 = 2.0;

/// What is known of a hole while it is put together.
struct Builder<'a> {
    map: &'a Map<'a>,
    plane: &'a Plane,
    /// Features near enough to matter.
    near: Vec<usize>,
    notes: Vec<Note>,
}

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
        notes: Vec::new(),
    };
    let mut problems = Vec::new();
    let end = own.line[own.line.len() - 1];
    let green = builder.green(end);
    if green.is_none() {
        problems.push(Problem {
            file: map.file.to_string(),
            place: place.clone(),
            expected: format!(
                "a green (golf=green) within 60 m of the end of the line of play of hole {}",
                own.reference
            ),
            found: builder.nearest_green_text(end),
            remedy: "draw the green, or draw the line of play from the tee to the green"
                .to_string(),
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
    let tees = tees::build(map, lines, at, teeing, &forward, &mut |place, text| {
        tee_notes.push(Note {
            file: map.file.to_string(),
            place: place.clone(),
            text,
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
    let name = map.features[own.feature].tag("name").map(str::to_string);
    let par = own.par.unwrap_or_else(|| {
        let (par, why) = match name.as_deref().and_then(tags::par_in_name) {
            Some(par) => (par, "from the hole's name".to_string()),
            None => (
                tags::par_by_length(length_m),
                format!("from its length of {length_m:.0} m"),
            ),
        };
        builder.note(&place, format!("no par tag: par {par} is taken {why}"));
        par
    });

    let window = window(&own.line, pin, &tees, &green);
    let mut patches = Vec::new();
    let mut woods = Vec::new();
    let mut trees = Vec::new();
    builder.surfaces(&own.line, window, &mut patches);
    builder.trees(window, &mut patches, &mut woods, &mut trees);
    let heights = builder.heights(&place, window);
    let (patches, under_crowns) = surface::sort(patches);
    Ok(Hole {
        reference: own.reference.clone(),
        name,
        par,
        length_m,
        line_of_play: own.line.clone(),
        pin,
        tees,
        patches,
        trees,
        notes: builder.notes,
        origin_lon_lat: own.plane.origin_lon_lat(),
        file: map.file.to_string(),
        place,
        usual_tee,
        field: Field {
            window,
            woods,
            heights,
            under_crowns,
        },
        grids: OnceLock::new(),
    })
}

/// Features whose box comes within this distance of the plane's origin.
fn nearby(map: &Map<'_>, plane: &Plane, reach_m: f64) -> Vec<usize> {
    let [lon, lat] = plane.origin_lon_lat();
    // Metres in a degree of latitude, rounded down: generous is right here.
    let north = reach_m / 110_000.0;
    let east = north / lat.to_radians().cos().max(1e-3);
    let touches = |low: f64, high: f64, reach: f64| low <= reach && high >= -reach;
    (0..map.features.len())
        .filter(|&at| {
            let positions = map.features[at].shape.positions();
            let mut of_box = [f64::MAX, f64::MIN, f64::MAX, f64::MIN];
            for p in &positions {
                let (x, y) = (wrap_deg(p.lon - lon), p.lat - lat);
                of_box = [
                    of_box[0].min(x),
                    of_box[1].max(x),
                    of_box[2].min(y),
                    of_box[3].max(y),
                ];
            }
            !positions.is_empty()
                && touches(of_box[0], of_box[1], east)
                && touches(of_box[2], of_box[3], north)
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

/// The parts of an outline inside a window.
fn clipped(outline: Polygon<f64>, window: Rect<f64>) -> Vec<Polygon<f64>> {
    let Some(of_box) = outline.bounding_rect() else {
        return Vec::new();
    };
    let disjoint = of_box.max().x <= window.min().x
        || of_box.min().x >= window.max().x
        || of_box.max().y <= window.min().y
        || of_box.min().y >= window.max().y;
    if disjoint || !(of_box.width().is_finite() && of_box.height().is_finite()) {
        return Vec::new();
    }
    let inside = of_box.min().x >= window.min().x
        && of_box.max().x <= window.max().x
        && of_box.min().y >= window.min().y
        && of_box.max().y <= window.max().y;
    if inside {
        return vec![outline];
    }
    // Slivers narrower than the map's own precision are no areas.
    outline
        .intersection(&window.to_polygon())
        .0
        .into_iter()
        .filter(|part| part.unsigned_area() > 1e-3)
        .collect()
}

impl Builder<'_> {
    fn note(&mut self, place: &Place, text: String) {
        self.notes.push(Note {
            file: self.map.file.to_string(),
            place: place.clone(),
            text,
        });
    }

    fn flat(&self, positions: &[LonLatHeight]) -> Vec<Coord<f64>> {
        positions
            .iter()
            .map(|at| self.plane.to_plane(at.lon, at.lat))
            .collect()
    }

    /// The areas of a feature on the plane; closed lines count as areas.
    fn areas(&self, feature: usize) -> Vec<Polygon<f64>> {
        let polygon = |rings: &[Vec<LonLatHeight>]| {
            let ring = |positions: &Vec<LonLatHeight>| LineString::new(self.flat(positions));
            Polygon::new(ring(&rings[0]), rings[1..].iter().map(ring).collect())
        };
        match &self.map.features[feature].shape {
            Shape::Areas(areas) => areas.iter().map(|rings| polygon(rings)).collect(),
            shape @ Shape::Lines(lines) if tags::is_closed_line(shape) => vec![polygon(lines)],
            _ => Vec::new(),
        }
    }

    fn lines(&self, feature: usize) -> Vec<Vec<Coord<f64>>> {
        match &self.map.features[feature].shape {
            Shape::Lines(lines) => lines.iter().map(|line| self.flat(line)).collect(),
            _ => Vec::new(),
        }
    }

    fn of(&self, wanted: What) -> Vec<usize> {
        self.near
            .iter()
            .copied()
            .filter(|&at| self.map.what[at] == wanted)
            .collect()
    }

    fn greens(&self, end: Coord<f64>) -> Vec<(f64, Polygon<f64>)> {
        self.of(What::Drawn(Surface::Green))
            .into_iter()
            .flat_map(|feature| self.areas(feature))
            .map(|green| (Euclidean.distance(&Point(end), &green), green))
            .collect()
    }

    /// The green nearest to the end of the line of play.
    fn green(&self, end: Coord<f64>) -> Option<Polygon<f64>> {
        self.greens(end)
            .into_iter()
            .filter(|each| each.0 <= GREEN_OFF_M)
            .min_by(|one, other| one.0.total_cmp(&other.0))
            .map(|each| each.1)
    }

    fn nearest_green_text(&self, end: Coord<f64>) -> String {
        match self
            .greens(end)
            .into_iter()
            .map(|each| each.0)
            .min_by(f64::total_cmp)
        {
            Some(off) => format!("the nearest green is {off:.0} m away"),
            None => "no green near the hole".to_string(),
        }
    }

    fn pin(
        &mut self,
        place: &Place,
        green: &Polygon<f64>,
        end: Coord<f64>,
        reference: &str,
        shared: bool,
    ) -> Coord<f64> {
        let mut best: Option<(bool, f64, Coord<f64>)> = None;
        for feature in self.of(What::Pin) {
            let Shape::Points(points) = &self.map.features[feature].shape else {
                continue;
            };
            let at = self.plane.to_plane(points[0].lon, points[0].lat);
            if Euclidean.distance(&Point(at), green) > PIN_OFF_M {
                continue;
            }
            // A pin with the hole's own ref goes before a nearer one.
            let other = self.map.features[feature].tag("ref") != Some(reference);
            let off = line::distance_m(at, end);
            if best.is_none_or(|(was_other, was_off, _)| (other, off) < (was_other, was_off)) {
                best = Some((other, off, at));
            }
        }
        if let Some((_, _, at)) = best {
            return at;
        }
        if shared && green.contains(&Point(end)) {
            self.note(
                place,
                "no pin on the shared green: the end of the line of play is assumed".to_string(),
            );
            return end;
        }
        self.note(
            place,
            "no pin on the green: its middle is assumed".to_string(),
        );
        match green.centroid() {
            Some(middle) if green.contains(&middle) => middle.0,
            _ => end,
        }
    }

    /// Drawn areas other than woods.
    fn surfaces(
        &mut self,
        line_of_play: &[Coord<f64>],
        window: Rect<f64>,
        patches: &mut Vec<Patch>,
    ) {
        for feature in self.near.clone() {
            let (surface, assumed) = match self.map.what[feature] {
                What::Drawn(surface) => (surface, false),
                What::Natural(surface) => (surface, true),
                What::Tee => (Surface::Tee, false),
                What::OutOfBounds => (Surface::OutOfBounds, false),
                What::Coastline => (Surface::PenaltyRed, true),
                _ => continue,
            };
            let place = self.map.features[feature].place.clone();
            let mut outlines = Vec::new();
            let before = patches.len();
            let boundary = matches!(self.map.what[feature], What::OutOfBounds | What::Coastline);
            match &self.map.features[feature].shape {
                Shape::Lines(_) if boundary => {
                    let shore = self.map.what[feature] == What::Coastline;
                    outlines = self.beyond_lines(feature, shore, line_of_play, window);
                }
                shape @ Shape::Lines(_) if !tags::is_closed_line(shape) => {
                    let width_m = self.map.features[feature]
                        .tag("width")
                        .and_then(|text| text.trim_end_matches('m').trim().parse::<f64>().ok())
                        .filter(|width| (0.2..=200.0).contains(width));
                    for each in self.lines(feature) {
                        outlines.extend(boundary::widened(&each, width_m.unwrap_or(STREAM_M)));
                    }
                }
                _ => outlines = self.areas(feature),
            }
            for outline in outlines {
                for outline in clipped(outline, window) {
                    patches.push(self.patch(feature, surface, outline, assumed));
                }
            }
            if patches.len() == before {
                continue;
            }
            match (self.map.what[feature], &self.map.features[feature].shape) {
                (What::Natural(Surface::PenaltyRed), _) => self.note(
                    &place,
                    "water without a golf tag: a red penalty area, as the Rules of Golf say of one not marked".to_string(),
                ),
                (What::Drawn(Surface::PenaltyRed | Surface::PenaltyYellow), shape @ Shape::Lines(_))
                    if !tags::is_closed_line(shape) =>
                {
                    self.note(&place, "a penalty area drawn as a line: as wide as its width tag, else 2 m".to_string());
                }
                _ => {}
            }
        }
    }

    fn patch(
        &self,
        feature: usize,
        surface: Surface,
        outline: Polygon<f64>,
        assumed: bool,
    ) -> Patch {
        Patch {
            surface,
            id: self.map.features[feature].id.clone(),
            name: self.map.features[feature].tag("name").map(str::to_string),
            outline,
            assumed,
        }
    }

    /// What lies behind lines that bound out of bounds or the sea.
    fn beyond_lines(
        &mut self,
        feature: usize,
        shore: bool,
        line_of_play: &[Coord<f64>],
        window: Rect<f64>,
    ) -> Vec<Polygon<f64>> {
        let place = self.map.features[feature].place.clone();
        let points = line::sampled(line_of_play, 10.0);
        let mut areas = Vec::new();
        for each in self.lines(feature) {
            let touches = each.windows(2).any(|pair| {
                let piece = Rect::new(pair[0], pair[1]);
                piece.min().x <= window.max().x
                    && piece.max().x >= window.min().x
                    && piece.min().y <= window.max().y
                    && piece.max().y >= window.min().y
            });
            if !touches {
                continue;
            }
            if each.len() >= 4 && each.first() == each.last() {
                let ring = LineString::new(each);
                let inside = Polygon::new(ring.clone(), Vec::new());
                let within = points
                    .iter()
                    .filter(|&&at| inside.contains(&Point(at)))
                    .count();
                if shore || within * 2 <= points.len() {
                    areas.push(inside);
                } else {
                    let grown = Rect::new(
                        window.min() - Coord { x: 1e4, y: 1e4 },
                        window.max() + Coord { x: 1e4, y: 1e4 },
                    );
                    areas.push(Polygon::new(
                        grown.to_polygon().exterior().clone(),
                        vec![ring],
                    ));
                }
                continue;
            }
            let (side, crossed) = match (shore, boundary::side_of(&each, &points)) {
                (true, _) => (Side::Right, false),
                (false, Some((Side::Left, crossed))) => (Side::Right, crossed),
                (false, Some((Side::Right, crossed))) => (Side::Left, crossed),
                (false, None) => continue,
            };
            if crossed {
                self.note(
                    &place,
                    "the line of play crosses this boundary: out is the side with the lesser part of it".to_string(),
                );
            }
            match boundary::behind(&each, side, window) {
                Some(area) => areas.push(area),
                None => self.note(
                    &place,
                    "the boundary winds so that what is behind it cannot be told: not read; draw it as an area".to_string(),
                ),
            }
        }
        if shore && !areas.is_empty() {
            self.note(
                &place,
                "a coastline: the sea beyond it is taken for a red penalty area".to_string(),
            );
        }
        areas
    }

    /// Woods, tree rows and single trees.
    fn trees(
        &mut self,
        window: Rect<f64>,
        patches: &mut Vec<Patch>,
        woods: &mut Vec<Wood>,
        trees: &mut Vec<Tree>,
    ) {
        let mut assumed: Vec<(Kind, usize, Place)> = Vec::new();
        for feature in self.near.clone() {
            let What::Trees(kind) = self.map.what[feature] else {
                continue;
            };
            let (tagged_height, tagged_crown) = self.map.tree_sizes[feature];
            let height_m = tagged_height.unwrap_or(kind.height_m());
            let crown_m = tagged_crown.unwrap_or(kind.crown_m(height_m));
            let before = woods.len() + trees.len();
            let is_area = matches!(kind, Kind::Wood | Kind::Scrub);
            if is_area {
                for outline in self.areas(feature) {
                    for outline in clipped(outline, window) {
                        woods.push(Wood {
                            outline: outline.clone(),
                            canopy: kind.canopy(height_m),
                        });
                        patches.push(self.patch(feature, Surface::Trees, outline, false));
                    }
                }
            } else {
                let stands = match &self.map.features[feature].shape {
                    Shape::Points(points) => self.flat(points),
                    Shape::Lines(_) => self
                        .lines(feature)
                        .iter()
                        .flat_map(|row| line::sampled(row, crown_m.max(1.0)))
                        .collect(),
                    _ => Vec::new(),
                };
                for at in stands {
                    let inside = at.x >= window.min().x
                        && at.x <= window.max().x
                        && at.y >= window.min().y
                        && at.y <= window.max().y;
                    if inside {
                        trees.push(Tree {
                            at,
                            height_m,
                            crown_m,
                            id: self.map.features[feature].id.clone(),
                            name: self.map.features[feature].tag("name").map(str::to_string),
                        });
                    }
                }
            }
            if woods.len() + trees.len() > before && tagged_height.is_none() {
                match assumed.iter_mut().find(|each| each.0 == kind) {
                    Some(each) => each.1 += 1,
                    None => assumed.push((kind, 1, self.map.features[feature].place.clone())),
                }
            }
        }
        for (kind, count, place) in assumed {
            let what = match kind {
                Kind::Wood => "wood",
                Kind::Scrub => "scrub",
                Kind::Row => "tree row",
                Kind::Single => "tree",
            };
            let others = if count > 1 {
                format!(" (and {} more)", count - 1)
            } else {
                String::new()
            };
            let height_m = kind.height_m();
            self.note(
                &place,
                format!("{what} without a height{others}: {height_m} m is assumed"),
            );
        }
    }

    /// Ground heights from the third coordinates.
    fn heights(&mut self, place: &Place, window: Rect<f64>) -> Vec<(Coord<f64>, f64)> {
        let mut heights = Vec::new();
        let mut without = 0_usize;
        for &feature in &self.near {
            if matches!(self.map.what[feature], What::Unknown) {
                continue;
            }
            for position in self.map.features[feature].shape.positions() {
                let at = self.plane.to_plane(position.lon, position.lat);
                let inside = at.x >= window.min().x - MARGIN_M
                    && at.x <= window.max().x + MARGIN_M
                    && at.y >= window.min().y - MARGIN_M
                    && at.y <= window.max().y + MARGIN_M;
                match position.height_m {
                    Some(height_m) if inside => heights.push((at, height_m)),
                    None if inside => without += 1,
                    _ => {}
                }
            }
        }
        if heights.is_empty() {
            self.note(
                place,
                "no ground heights on the map: the hole is taken for flat".to_string(),
            );
        } else if without > 0 {
            self.note(
                place,
                format!(
                    "{without} of {} positions have no ground height: the others shape the ground",
                    without + heights.len()
                ),
            );
        }
        heights
    }
}
