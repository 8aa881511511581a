//! A file to a course: which features are holes, and what is wrong with them.
//!
//! A `golf=hole` line is a hole unless it is a practice range: named as one
//! ("Driving Range"), or running for more than half its length inside a
//! `golf=driving_range` area.
//!
//! Problems of single features are problems of the file, and nothing is read
//! from it. A sound file may still hold holes that cannot be played (no green,
//! 6 km long): those stand in [`Course::broken`], the others in
//! [`Course::holes`]; with no sound hole left the file as a whole is refused.

use super::geojson::{self, Collector, Feature, read_features};
use super::plane::{Plane, wrap_deg};
use super::positions::{LonLatHeight, Shape};
use super::questions::{self, Suspect, index};
use super::tags::{self, What};
use super::{Coord, Hole, assemble, line, offer, tees};
use crate::diagnostic::{Note, Place, Problem, Problems, Question, printable};

/// Shortest and longest line of play believed, m.
const LENGTH_BAND_M: [f64; 2] = [10.0, 1200.0];
/// Most lines of play, and most tees, in one file: far more than any resort has.
const MOST_HOLES: usize = 200;
const MOST_TEES: usize = 3000;
/// Widest green or tee believed, m: shared greens reach 100 m.
const WIDEST_GREEN_M: f64 = 300.0;
/// Widest feature read, degrees of a great circle: about 1000 km.
const WIDEST_DEG: f64 = 9.0;
/// No mown turf is known nearer to a pole.
const HIGH_LATITUDE_DEG: f64 = 75.0;

/// The holes of a file.
#[derive(Debug)]
pub struct Course {
    /// The file, as the user named it.
    pub file: String,
    /// Sound holes, by number where their refs are numbers.
    pub holes: Vec<Hole>,
    /// Holes that cannot be played, by ref, with every problem of each.
    pub broken: Vec<(String, Problems)>,
    /// What was skipped or looks odd in the file as a whole.
    pub notes: Vec<Note>,
    /// What can be read of the file as a whole and cannot well be so; those of a hole stand with it.
    pub questions: Vec<Question>,
    /// What cannot well be so of the stroke indices: asked where strokes are received by them.
    pub stroke_indices: Vec<Question>,
}

/// A line of play on its own plane.
pub(super) struct HoleLine {
    /// Index among the features.
    pub feature: usize,
    pub reference: String,
    /// True where the file gives the ref.
    pub has_ref: bool,
    pub is_range: bool,
    /// True where no line is drawn: `feature` is then the green.
    pub assumed: bool,
    pub plane: Plane,
    pub line: Vec<Coord<f64>>,
    pub par: Option<u8>,
}

/// A file's features with what each is.
pub(super) struct Map<'a> {
    pub file: &'a str,
    pub features: Vec<Feature>,
    pub what: Vec<What>,
    /// Height and crown diameter of trees, where the tags give them.
    pub tree_sizes: Vec<(Option<f64>, Option<f64>)>,
    /// The box around each feature; none around one without geometry.
    pub boxes: Vec<Option<DegreeBox>>,
    /// Tags that may mean a surface and are not read.
    pub suspects: Vec<Suspect>,
}

/// A box around positions, safe across the 180th meridian.
#[derive(Clone, Copy, Debug)]
pub(super) struct DegreeBox {
    /// Longitude of the first position.
    pub lon: f64,
    /// Westernmost position from there, 0 or negative.
    pub west_deg: f64,
    /// Easternmost position from there, 0 or positive.
    pub east_deg: f64,
    pub south: f64,
    pub north: f64,
}

impl DegreeBox {
    fn around(positions: &[LonLatHeight]) -> Option<Self> {
        let first = positions.first()?;
        let mut of_box = Self {
            lon: first.lon,
            west_deg: 0.0,
            east_deg: 0.0,
            south: first.lat,
            north: first.lat,
        };
        for at in positions {
            let east = wrap_deg(at.lon - first.lon);
            of_box.west_deg = of_box.west_deg.min(east);
            of_box.east_deg = of_box.east_deg.max(east);
            of_box.south = of_box.south.min(at.lat);
            of_box.north = of_box.north.max(at.lat);
        }
        Some(of_box)
    }

    fn middle(&self) -> [f64; 2] {
        let east = (self.west_deg + self.east_deg) / 2.0;
        [wrap_deg(self.lon + east), (self.south + self.north) / 2.0]
    }
}

impl Course {
    /// Every hole of a GeoJSON file in longitude and latitude ([`read_course`]).
    ///
    /// # Errors
    /// As [`read_course`].
    pub fn from_geojson(bytes: &[u8]) -> Result<Self, Problems> {
        read_course("hole file", bytes, None)
    }

    /// The hole of this `ref`.
    ///
    /// # Errors
    /// Where there is none, or it cannot be played: what is wrong with it.
    pub fn hole(&self, reference: &str) -> Result<&Hole, Problems> {
        let is_it = |name: &str| name.eq_ignore_ascii_case(reference);
        if let Some(hole) = self.holes.iter().find(|hole| is_it(&hole.reference)) {
            return Ok(hole);
        }
        if let Some((_, problems)) = self.broken.iter().find(|(name, _)| is_it(name)) {
            return Err(problems.clone());
        }
        let known: Vec<&str> = self.holes.iter().map(|h| h.reference.as_str()).collect();
        Err(Problem {
            file: self.file.clone(),
            place: Place::File,
            expected: format!("a hole of this file: {}", known.join(", ")),
            found: format!("\"{}\"", printable(reference)),
            remedy: "name one of these".into(),
        }
        .into())
    }
}

/// Reads every hole of a GeoJSON file in longitude and latitude, or in the
/// coordinate system that `crs` names.
///
/// `file` is the name used in messages. See `holes/README.md` for the format.
///
/// # Errors
/// Every problem of the file's features at once; or, when none of its holes is
/// sound, every problem of every hole.
pub fn read_course(file: &str, bytes: &[u8], crs: Option<&str>) -> Result<Course, Problems> {
    let mut out = Collector {
        file,
        problems: Vec::new(),
    };
    let features = read_features(&mut out, bytes, crs);
    let (mut map, pars) = Map::of(&mut out, file, features);
    check_size(&mut out, &map);
    map.suspects = questions::suspects(file, &map.features, &map.what);
    let sound_features = out.problems.is_empty();
    // A position that is no place on the earth has no plane: stop before it.
    let too_many = map.what.iter().filter(|what| **what == What::Hole).count() > MOST_HOLES;
    if !sound_features && (too_many || map.features.iter().any(|each| !on_earth(&each.shape))) {
        return Err(sorted(out.problems));
    }
    let mut lines = hole_lines(&mut map, &pars);
    if lines.iter().all(|line| line.is_range) && sound_features {
        match offer::line(&map, &lines) {
            Ok(line) => lines.push(line),
            Err(why) => offer::ask(&mut out, &map, &lines, &why),
        }
    }
    let mut notes = notes_of(&map, &lines);
    let (sound, mut broken) = check_lines(&map, &lines);
    if !out.problems.is_empty() {
        out.problems
            .extend(broken.into_iter().flat_map(|each| each.1));
        return Err(sorted(out.problems));
    }
    let questions = questions::of_file(&map, geojson::bbox(bytes), crs.is_none());
    let teeing = tees::share_out(&map, &lines);
    let mut built = Vec::with_capacity(sound.len());
    for at in sound {
        match assemble::hole(&map, &lines, at, &teeing) {
            Ok(hole) => built.push(hole),
            Err(problems) => broken.push((lines[at].reference.clone(), problems)),
        }
    }
    if built.is_empty() {
        // What the file may have wrong as a whole may be why.
        let asked = questions.into_iter().map(|each| each.problem);
        let broken = broken.into_iter().flat_map(|each| each.1);
        return Err(sorted(broken.chain(asked).collect()));
    }
    built.sort_by_key(|hole| natural_order(&hole.reference));
    broken.sort_by_key(|each| natural_order(&each.0));
    notes.extend(teeing.notes);
    Ok(Course {
        file: file.to_string(),
        holes: built,
        broken: broken
            .into_iter()
            .map(|(name, problems)| (name, Problems(problems)))
            .collect(),
        notes,
        questions,
        stroke_indices: index::questions(&map, &lines),
    })
}

impl<'a> Map<'a> {
    /// A file's features with what their tags say, and the par of each that is a hole.
    fn of(
        out: &mut Collector<'_>,
        file: &'a str,
        features: Vec<Feature>,
    ) -> (Self, Vec<Option<u8>>) {
        let mut map = Self {
            file,
            what: Vec::new(),
            tree_sizes: Vec::new(),
            boxes: features
                .iter()
                .map(|each| DegreeBox::around(&each.shape.positions()))
                .collect(),
            features,
            suspects: Vec::new(),
        };
        let mut pars = Vec::with_capacity(map.features.len());
        for feature in &map.features {
            let what = tags::what(feature);
            tags::check(out, feature, what);
            tags::check_width(out, feature, what);
            map.what.push(what);
            map.tree_sizes.push(match what {
                What::Trees(_) => (tags::height_m(out, feature), tags::crown_m(out, feature)),
                _ => (None, None),
            });
            pars.push(if what == What::Hole {
                tags::par(out, feature)
            } else {
                None
            });
        }
        (map, pars)
    }
}

/// The holes, by index, whose line of play is sound; and the others by name, with their problems.
fn check_lines(map: &Map<'_>, lines: &[HoleLine]) -> (Vec<usize>, Vec<(String, Vec<Problem>)>) {
    let (mut sound, mut broken) = (Vec::new(), Vec::new());
    for at in (0..lines.len()).filter(|&at| !lines[at].is_range) {
        let mut of_hole = Collector {
            file: map.file,
            problems: Vec::new(),
        };
        check_line(&mut of_hole, map, lines, at);
        if of_hole.problems.is_empty() {
            sound.push(at);
        } else {
            broken.push((lines[at].reference.clone(), of_hole.problems));
        }
    }
    (sound, broken)
}

/// Numbers first and by value, other refs after them in file order.
fn natural_order(reference: &str) -> u64 {
    reference.parse::<u32>().map_or(u64::MAX, u64::from)
}

fn sorted(mut problems: Vec<Problem>) -> Problems {
    problems.sort_by(|one, other| one.place.cmp(&other.place));
    Problems(problems)
}

/// A file is a course: not a country, and no feature goes around the earth.
fn check_size(out: &mut Collector<'_>, map: &Map<'_>) {
    let limits = [
        (What::Hole, MOST_HOLES, "lines of play (golf=hole)"),
        (What::Tee, MOST_TEES, "tees"),
    ];
    for (kind, most, words) in limits {
        let count = map.what.iter().filter(|what| **what == kind).count();
        if count > most {
            out.add(
                &Place::File,
                &format!("at most {most} {words}"),
                format!("{count}"),
                "cut one course out of the larger map",
            );
        }
    }
    for (feature, what) in map.features.iter().zip(&map.what) {
        if matches!(
            what,
            What::Unknown | What::Aside | What::Outline | What::Waterway
        ) {
            continue;
        }
        let positions = feature.shape.positions();
        let Some(first) = positions.first() else {
            continue;
        };
        if !on_earth(&feature.shape) {
            continue;
        }
        let wide = positions.iter().any(|at| {
            let east = wrap_deg(at.lon - first.lon) * first.lat.to_radians().cos();
            east.abs() > WIDEST_DEG || (at.lat - first.lat).abs() > WIDEST_DEG
        });
        match what {
            What::Tee => check_width(out, feature, "tee"),
            What::Drawn(super::Surface::Green) => check_width(out, feature, "green"),
            _ => {}
        }
        if wide && *what != What::Hole {
            out.add(
                &feature.place,
                "features of at most 1000 km",
                "one that is wider",
                "cut it to the surroundings of the course, and check the order of its coordinates",
            );
        }
    }
}

/// A point of a green or tee gone astray makes it wider than any.
fn check_width(out: &mut Collector<'_>, feature: &Feature, kind: &str) {
    const METRES_A_DEGREE: f64 = 111_195.0;
    let Shape::Areas(areas) = &feature.shape else {
        return;
    };
    for ring in areas.iter().filter_map(|rings| rings.first()) {
        let [lon, lat] = middle(ring);
        let reach_m = ring.iter().map(|at| {
            let east = wrap_deg(at.lon - lon) * lat.to_radians().cos();
            2.0 * METRES_A_DEGREE * east.abs().max((at.lat - lat).abs())
        });
        let width_m = reach_m.fold(0.0, f64::max);
        if width_m > WIDEST_GREEN_M {
            out.add(
                &feature.place,
                &format!("a {kind} of at most {WIDEST_GREEN_M} m across"),
                format!("{width_m:.0} m"),
                "move the point of its outline that went astray",
            );
        }
    }
}

fn on_earth(shape: &Shape) -> bool {
    shape
        .positions()
        .iter()
        .all(|at| at.lon.abs() <= 180.0 && at.lat.abs() <= 90.0)
}

/// Middle of the box around positions; there must be one.
pub(super) fn middle(positions: &[LonLatHeight]) -> [f64; 2] {
    DegreeBox::around(positions).map_or([0.0, 0.0], |of_box| of_box.middle())
}

/// Lines of play, ranges among them; tells the map which are ranges.
fn hole_lines(map: &mut Map<'_>, pars: &[Option<u8>]) -> Vec<HoleLine> {
    let mut lines = Vec::new();
    let mut count = 0;
    for (at, &par) in pars.iter().enumerate() {
        let feature = &map.features[at];
        let named_range = map.what[at] == What::Range && feature.tag("golf") == Some("hole");
        let (What::Hole | What::Range, Shape::Lines(parts)) = (map.what[at], &feature.shape) else {
            continue;
        };
        if parts.len() != 1 || parts[0].len() < 2 || !(map.what[at] == What::Hole || named_range) {
            continue;
        }
        let positions = &parts[0];
        let is_range = named_range || runs_in_range(map, positions);
        if !is_range {
            count += 1;
        }
        let reference = feature.tag("ref").filter(|text| !text.is_empty());
        let plane = Plane::new(middle(positions));
        let line = positions
            .iter()
            .map(|p| plane.to_plane(p.lon, p.lat))
            .collect();
        lines.push(HoleLine {
            feature: at,
            reference: reference.map_or_else(|| count.to_string(), str::to_string),
            has_ref: reference.is_some(),
            is_range,
            assumed: false,
            plane,
            line,
            par,
        });
        if is_range {
            map.what[at] = What::Range;
        }
    }
    lines
}

/// Whether more than half of a line runs in a driving range's area.
fn runs_in_range(map: &Map<'_>, line: &[LonLatHeight]) -> bool {
    let first = line[0];
    let flat = |at: &LonLatHeight| Coord {
        x: wrap_deg(at.lon - first.lon),
        y: at.lat,
    };
    let samples: Vec<Coord<f64>> = line
        .windows(2)
        .flat_map(|pair| {
            let (a, b) = (flat(&pair[0]), flat(&pair[1]));
            (0..8).map(move |step| a + (b - a) * (f64::from(step) / 8.0))
        })
        .collect();
    let inside = |rings: &[Vec<LonLatHeight>], point: Coord<f64>| {
        rings
            .iter()
            .flat_map(|ring| ring.windows(2))
            .fold(false, |inside, pair| {
                let (a, b) = (flat(&pair[0]), flat(&pair[1]));
                let crosses = (a.y > point.y) != (b.y > point.y)
                    && point.x < a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x);
                inside ^ crosses
            })
    };
    let ranges: Vec<&Vec<Vec<LonLatHeight>>> = map
        .features
        .iter()
        .zip(&map.what)
        .filter(|(_, what)| **what == What::Range)
        .filter_map(|(feature, _)| match &feature.shape {
            Shape::Areas(areas) => Some(areas),
            _ => None,
        })
        .flatten()
        .collect();
    let within = samples
        .iter()
        .filter(|&&at| ranges.iter().any(|rings| inside(rings, at)))
        .count();
    within * 2 > samples.len()
}

/// Length and ref of a line of play.
fn check_line(out: &mut Collector<'_>, map: &Map<'_>, lines: &[HoleLine], at: usize) {
    let hole = &lines[at];
    let place = &map.features[hole.feature].place;
    let length_m = line::length_m(&hole.line);
    if !length_m.is_finite() || length_m > LENGTH_BAND_M[1] {
        let found = if length_m.is_finite() {
            format!("{length_m:.0} m")
        } else {
            "a line around the earth".into()
        };
        out.add(
            place,
            "a line of play of at most 1200 m",
            found,
            "check the order of the coordinates (longitude first) and the line's points",
        );
    } else if length_m < LENGTH_BAND_M[0] {
        out.add(
            place,
            "a line of play of at least 10 m",
            format!("{length_m:.1} m"),
            "draw the line from the tee to the middle of the green",
        );
    }
    if let Some(found) = questions::turned_back(&hole.line).filter(|_| length_m.is_finite()) {
        out.add(
            place,
            "a line of play that runs from the tee to the green once",
            found,
            "take out the way back: tee first, the bends, the middle of the green last",
        );
    }
    if let Some(twin) = lines
        .iter()
        .enumerate()
        .find(|(other, each)| *other != at && !each.is_range && each.reference == hole.reference)
        .map(|(_, each)| each)
    {
        out.add(
            place,
            "a ref of its own for each hole",
            format!(
                "ref={}, as at {}",
                hole.reference, map.features[twin.feature].place
            ),
            "give one of the two another ref, or remove one of the lines",
        );
    }
}

/// What was skipped or looks odd in the file as a whole.
fn notes_of(map: &Map<'_>, lines: &[HoleLine]) -> Vec<Note> {
    let mut notes = Vec::new();
    let mut note = |place: &Place, text: String| {
        notes.push(Note {
            file: map.file.to_string(),
            place: place.clone(),
            text,
            topic: None,
        });
    };
    let count = |wanted: fn(What) -> bool| map.what.iter().filter(|what| wanted(**what)).count();
    for each in lines.iter().filter(|each| each.is_range) {
        note(
            &map.features[each.feature].place,
            "a practice range, by its name or because it runs in a driving range; not read as a hole".to_string(),
        );
    }
    for (feature, what) in map.features.iter().zip(&map.what) {
        if *what == What::Outline {
            note(
                &feature.place,
                "the outline of the course is not taken for out of bounds; draw golf=out_of_bounds where it is"
                    .to_string(),
            );
        }
    }
    let nowhere = map
        .features
        .iter()
        .zip(&map.what)
        .filter(|(feature, what)| {
            matches!(feature.shape, Shape::None) && !matches!(what, What::Unknown | What::Aside)
        });
    for (feature, _) in nowhere {
        let text = "a feature without a place, or with several geometries in one: not read; draw it as a \
                    point, a line or an area";
        note(&feature.place, text.to_string());
    }
    for each in lines.iter().filter(|each| !each.is_range && !each.has_ref) {
        note(
            &map.features[each.feature].place,
            format!(
                "no ref: taken for hole {}, by its place in the file",
                each.reference
            ),
        );
    }
    let unknown: usize = map.suspects.iter().map(|each| each.features.len()).sum();
    if unknown > 0 {
        note(
            &Place::File,
            format!(
                "{unknown} feature{} whose tags are not known and may mean a surface: not read, and asked \
                 about where a ball can reach them",
                if unknown == 1 { "" } else { "s" }
            ),
        );
    }
    let aside = count(|what| matches!(what, What::Aside | What::Unknown)) - unknown;
    if aside > 0 {
        note(
            &Place::File,
            format!(
                "{aside} feature{} of no matter for a tee shot (paths, buildings, untagged) not read",
                if aside == 1 { "" } else { "s" }
            ),
        );
    }
    for each in lines.iter().filter(|each| !each.is_range) {
        if each.plane.origin_lon_lat()[1].abs() > HIGH_LATITUDE_DEG {
            note(
                &map.features[each.feature].place,
                "nearer to a pole than any course known; is the order longitude, latitude?"
                    .to_string(),
            );
        }
    }
    notes
}
