//! What a hole takes from the features near it.

use geo::{
    Area, BooleanOps, BoundingRect, Centroid, Contains, Coord, Distance, Euclidean, Intersects,
    LineString, Point, Polygon, Rect,
};

use super::boundary::{self, Side};
use super::course::Map;
use super::doubtful::{self, Spot};
use super::obstacle::{Kind, Wood};
use super::plane::Plane;
use super::positions::{LonLatHeight, Shape};
use super::tags::{self, What};
use super::{Assumption, Patch, Surface, Tree, line};
use crate::diagnostic::{Note, Place, Question, Topic};

/// How every note begins that says where a pin is assumed.
pub const NO_PIN: &str = "no pin on the";
/// Mapped around the hole, m.
pub(super) const MARGIN_M: f64 = 120.0;
/// A green farther than this from the end of the line of play is not its green, m.
const GREEN_OFF_M: f64 = 60.0;
/// A pin this near to the green's outline is taken to stand on it, m.
pub(super) const PIN_OFF_M: f64 = 5.0;
/// Most single trees kept for one hole.
const MOST_TREES: usize = 20_000;
/// Width of a stream drawn as a line without a width, m (practice).
const STREAM_M: f64 = 2.0;

/// Notes on ground heights.
pub(super) const FLAT_NOTE: &str = "no ground heights on the map: taken as flat";
pub(super) const STRAY_NOTE: &str = "no heights for this hole (none near its tee, or none near its \
     pin): taken as flat";
pub(super) const PARTIAL_NOTE: &str =
    "positions have no ground height: the others shape the ground";

/// A height within this of tee and pin makes the heights the hole's own, m.
const OWN_HEIGHT_M: f64 = 25.0;

/// Positions this near to the line of play are the hole's own, m.
const ALONG_M: f64 = 30.0;

/// What is known of a hole while it is put together.
pub(super) struct Builder<'a> {
    pub map: &'a Map<'a>,
    pub plane: &'a Plane,
    /// Features near enough to matter.
    pub near: Vec<usize>,
    pub assumed: Vec<Assumption>,
    pub notes: Vec<Note>,
    pub questions: Vec<Question>,
}

/// The parts of an outline inside a window.
pub(super) fn clipped(outline: Polygon<f64>, window: Rect<f64>) -> Vec<Polygon<f64>> {
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

/// Whether a shape encloses something.
fn is_area(shape: &Shape) -> bool {
    matches!(shape, Shape::Areas(_)) || tags::is_closed_line(shape)
}

impl Builder<'_> {
    pub fn note(&mut self, place: &Place, text: String) {
        self.notes.push(Note {
            file: self.map.file.to_string(),
            place: place.clone(),
            text,
            topic: None,
        });
    }

    /// A note on something that a rule had to say.
    pub fn assume(&mut self, what: Assumption, place: &Place, text: String) {
        if !self.assumed.contains(&what) {
            self.assumed.push(what);
        }
        self.note(place, text);
    }

    /// The same where a plan is another's without it: it stands first.
    pub fn assume_first(&mut self, what: Assumption, topic: Topic, place: &Place, text: String) {
        self.assume(what, place, text);
        if let Some(last) = self.notes.last_mut() {
            last.topic = Some(topic);
        }
    }

    /// Natural features come in all geometries; one that is no use is noted.
    fn unsuited(&mut self, feature: usize, window: Rect<f64>) {
        let place = self.map.features[feature].place.clone();
        let tags = ["natural", "landuse", "waterway"];
        let natural = tags
            .iter()
            .find_map(|key| self.map.features[feature].tag(key))
            .unwrap_or("this")
            .to_string();
        let shape = self.map.features[feature].shape.name();
        let suitable = match self.map.what[feature] {
            What::Trees(Kind::Single) => "a point",
            What::Trees(Kind::Row) => "a line",
            _ => "an area",
        };
        let lines = self.lines(feature);
        let mut pieces = lines.iter().flat_map(|line| line.windows(2));
        let water = self.map.what[feature] == What::Natural(Surface::PenaltyRed)
            && pieces.any(|pair| window.intersects(&geo::Line::new(pair[0], pair[1])));
        let stream = if water {
            ", or tag it waterway=stream"
        } else {
            ""
        };
        self.note(
            &place,
            format!("{natural} drawn as {shape} is not read; draw it as {suitable}{stream}"),
        );
        if let (true, Some(last)) = (water, self.notes.last_mut()) {
            // What can drown a ball is missing from the plan.
            last.topic = Some(Topic::MapTag);
        }
    }

    pub fn flat(&self, positions: &[LonLatHeight]) -> Vec<Coord<f64>> {
        positions
            .iter()
            .map(|at| self.plane.to_plane(at.lon, at.lat))
            .collect()
    }

    /// The areas of a feature on the plane; closed lines count as areas.
    pub fn areas(&self, feature: usize) -> Vec<Polygon<f64>> {
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

    pub fn lines(&self, feature: usize) -> Vec<Vec<Coord<f64>>> {
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

    pub fn greens(&self, end: Coord<f64>) -> Vec<(f64, Polygon<f64>)> {
        self.of(What::Drawn(Surface::Green))
            .into_iter()
            .flat_map(|feature| self.areas(feature))
            .map(|green| (Euclidean.distance(&Point(end), &green), green))
            .collect()
    }

    /// The green nearest to the end of the line of play.
    pub fn green(&self, end: Coord<f64>) -> Option<Polygon<f64>> {
        self.greens(end)
            .into_iter()
            .filter(|each| each.0 <= GREEN_OFF_M)
            .min_by(|one, other| one.0.total_cmp(&other.0))
            .map(|each| each.1)
    }

    pub fn nearest_green_text(&self, end: Coord<f64>) -> String {
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

    pub fn pin(
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
            self.assume(
                Assumption::Pin,
                place,
                format!("{NO_PIN} shared green: the end of the line of play is assumed"),
            );
            return end;
        }
        self.assume(
            Assumption::Pin,
            place,
            format!("{NO_PIN} green: its middle is assumed"),
        );
        match green.centroid() {
            Some(middle) if green.contains(&middle) => middle.0,
            _ => end,
        }
    }

    /// Drawn areas other than woods.
    pub fn surfaces(
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
                What::Coastline | What::Waterway => (Surface::PenaltyRed, true),
                _ => continue,
            };
            let place = self.map.features[feature].place.clone();
            let mut outlines = Vec::new();
            let before = patches.len();
            let boundary = matches!(self.map.what[feature], What::OutOfBounds | What::Coastline);
            let stream = self.map.what[feature] == What::Waterway;
            match &self.map.features[feature].shape {
                Shape::Lines(_) if boundary => {
                    let shore = self.map.what[feature] == What::Coastline;
                    outlines = self.beyond_lines(feature, shore, line_of_play, window);
                }
                Shape::Areas(_) if self.map.what[feature] == What::Coastline => {
                    outlines = self.sea_of_areas(feature, line_of_play, window);
                }
                Shape::Points(_) if stream => {}
                shape if assumed && !boundary && !stream && !is_area(shape) => {
                    self.unsuited(feature, window);
                }
                shape @ Shape::Lines(_) if stream || !tags::is_closed_line(shape) => {
                    let width_m = self.map.features[feature]
                        .tag("width")
                        .and_then(tags::width_in);
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
                (What::Natural(Surface::PenaltyRed), _) => self.assume(
                    Assumption::WaterColour,
                    &place,
                    "water without a golf tag: a red penalty area, as the Rules of Golf say of one not marked".to_string(),
                ),
                (What::Waterway, _) => {
                    self.assume(
                        Assumption::WaterColour,
                        &place,
                        "a watercourse without a golf tag: a red penalty area, as the Rules of Golf say of one \
                         not marked; where it runs under the ground, tag it tunnel=yes"
                            .to_string(),
                    );
                    if self.map.features[feature].tag("width").is_none() {
                        self.assume(
                            Assumption::StreamWidth,
                            &place,
                            "a watercourse drawn as a line without a width: 2 m is assumed".to_string(),
                        );
                    }
                }
                (What::Drawn(Surface::PenaltyRed | Surface::PenaltyYellow), shape @ Shape::Lines(_))
                    if !tags::is_closed_line(shape)
                        && self.map.features[feature].tag("width").is_none() =>
                {
                    self.assume(
                        Assumption::StreamWidth,
                        &place,
                        "a penalty area drawn as a line without a width: 2 m is assumed".to_string(),
                    );
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
                // A shore has the sea on its right: round an island it runs counter-clockwise.
                let island = shore && inside.signed_area() > 0.0;
                if island || (!shore && mostly_in(&points, &inside)) {
                    areas.push(around(ring, window));
                } else {
                    areas.push(inside);
                }
                continue;
            }
            if shore && boundary::side_of(&each, &points) == Some((Side::Right, false)) {
                self.note(
                    &place,
                    "the whole line of play lies on the sea's side of this coastline, the right of the \
                     way it is drawn; if that is wrong, turn the line around"
                        .to_string(),
                );
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
            self.assume(
                Assumption::WaterColour,
                &place,
                "a coastline: the sea beyond it is taken for a red penalty area".to_string(),
            );
        }
        areas
    }

    /// The sea of a coastline drawn as areas, which keep no direction: inside, or around an island
    /// with the hole on it.
    fn sea_of_areas(
        &mut self,
        feature: usize,
        line_of_play: &[Coord<f64>],
        window: Rect<f64>,
    ) -> Vec<Polygon<f64>> {
        let place = self.map.features[feature].place.clone();
        let points = line::sampled(line_of_play, 10.0);
        let mut text =
            "a coastline drawn as an area: the sea in it is taken for a red penalty area";
        let mut areas = Vec::new();
        for area in self.areas(feature) {
            if mostly_in(&points, &area) {
                text = "a coastline drawn as an area with the hole in it is taken for an island's: the sea \
                        around it is a red penalty area";
                areas.push(around(area.exterior().clone(), window));
            } else {
                areas.push(area);
            }
        }
        self.assume(Assumption::WaterColour, &place, text.to_string());
        areas
    }

    /// Woods, tree rows and single trees.
    pub fn trees(
        &mut self,
        window: Rect<f64>,
        patches: &mut Vec<Patch>,
        woods: &mut Vec<Wood>,
        trees: &mut Vec<Tree>,
    ) {
        let mut assumed: Vec<(Kind, usize, Place)> = Vec::new();
        let mut full = false;
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
                        .flat_map(|row| line::sampled_within(row, crown_m.max(1.0), window))
                        .collect(),
                    _ => Vec::new(),
                };
                for at in stands {
                    let inside = at.x >= window.min().x
                        && at.x <= window.max().x
                        && at.y >= window.min().y
                        && at.y <= window.max().y;
                    if inside && trees.len() == MOST_TREES {
                        full = true;
                    } else if inside {
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
            let suits = match &self.map.features[feature].shape {
                Shape::Areas(_) => is_area,
                Shape::Points(_) => kind == Kind::Single,
                shape @ Shape::Lines(_) => {
                    kind == Kind::Row || (is_area && tags::is_closed_line(shape))
                }
                Shape::None => true,
            };
            if !suits {
                self.unsuited(feature, window);
            }
            if woods.len() + trees.len() > before && tagged_height.is_none() {
                match assumed.iter_mut().find(|each| each.0 == kind) {
                    Some(each) => each.1 += 1,
                    None => assumed.push((kind, 1, self.map.features[feature].place.clone())),
                }
            }
        }
        if full {
            let text =
                format!("more than {MOST_TREES} single trees: the others are not read; draw woods");
            self.note(&Place::File, text);
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
            self.assume(
                Assumption::TreeHeights,
                &place,
                format!("{what} without a height{others}: {height_m} m is assumed"),
            );
        }
    }

    /// Ground heights from the third coordinates. Heights that stand at one end
    /// only, as a neighbouring hole's do, would tilt the whole hole: it is flat then.
    pub fn heights(
        &mut self,
        place: &Place,
        window: Rect<f64>,
        line_of_play: &[Coord<f64>],
        pin: Coord<f64>,
    ) -> Vec<(Coord<f64>, f64)> {
        let ends = [line_of_play[0], pin];
        let mut heights = Vec::new();
        let mut spots = Vec::new();
        let mut without = 0_usize;
        // Neighbouring holes may well be without.
        let (mut own, mut own_without) = (0_usize, 0_usize);
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
                if inside && line::nearest(line_of_play, at).1 <= ALONG_M {
                    own += 1;
                    own_without += usize::from(position.height_m.is_none());
                }
                match position.height_m {
                    Some(height_m) if inside => {
                        heights.push((at, height_m));
                        spots.push(Spot {
                            at,
                            height_m,
                            position,
                            feature,
                        });
                    }
                    None if inside => without += 1,
                    _ => {}
                }
            }
        }
        let known = |end: Coord<f64>| {
            heights
                .iter()
                .any(|(at, _)| (at.x - end.x).hypot(at.y - end.y) <= OWN_HEIGHT_M)
        };
        if heights.is_empty() {
            self.assume(Assumption::FlatGround, place, FLAT_NOTE.to_string());
        } else if !ends.into_iter().all(known) {
            self.assume(Assumption::FlatGround, place, STRAY_NOTE.to_string());
            heights.clear();
            spots.clear();
        } else if without > 0 {
            self.note(
                place,
                format!("{without} of {} {PARTIAL_NOTE}", without + heights.len()),
            );
            if let (true, Some(last)) = (own_without * 20 >= own, self.notes.last_mut()) {
                last.topic = Some(Topic::GroundHeights);
            }
        }
        let (asked, first) = doubtful::of_map(self.map.file, &self.map.features, &spots);
        self.questions.extend(asked);
        self.notes.extend(first);
        heights
    }
}

/// Whether more than half of some points lie in an area.
fn mostly_in(points: &[Coord<f64>], area: &Polygon<f64>) -> bool {
    let within = points.iter().filter(|&&at| area.contains(&Point(at)));
    within.count() * 2 > points.len()
}

/// Everything about a window but what a ring encloses.
fn around(ring: LineString<f64>, window: Rect<f64>) -> Polygon<f64> {
    let margin = Coord { x: 1e4, y: 1e4 };
    let grown = Rect::new(window.min() - margin, window.max() + margin);
    Polygon::new(grown.to_polygon().exterior().clone(), vec![ring])
}
