//! Maps that can be read and cannot well be so: each is asked about, and no sound one is.
//!
//! Every demo hole is spoilt in every way below, one at a time; the reader must refuse it or ask
//! about it under the right topic. Small files in `tests/bad/question` show the exact words through
//! the command; to write a new case, run with `BENDLINE_WRITE_EXPECTED=1` and read what was written.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use bendline::diagnostic::{Question, Topic};
use bendline::hole::plane::Plane;
use bendline::hole::{Coord, Course, read_course};
use serde_json::{Value, json};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

const DEMO: [&str; 9] = [
    "01-sickle",
    "02-kestrel",
    "03-contrary",
    "04-flue",
    "05-two-bites",
    "06-boundary",
    "07-millpond",
    "08-pepperpot",
    "09-long-drop",
];

fn demo(name: &str) -> Value {
    let path = root().join(format!("holes/{name}.geojson"));
    serde_json::from_slice(&fs::read(path).expect("a demo hole")).expect("JSON")
}

fn questions(course: &Course) -> Vec<Question> {
    let of_holes = course.holes.iter().flat_map(|hole| hole.asked_from(None).0);
    course.questions.iter().cloned().chain(of_holes).collect()
}

#[test]
fn no_demo_hole_is_asked_about() {
    for name in DEMO.iter().chain(&["course"]) {
        let course = read_course(name, demo(name).to_string().as_bytes(), None).expect("a course");
        assert_eq!(questions(&course), [], "{name}");
        assert_eq!(course.stroke_indices, [], "{name}");
        for hole in &course.holes {
            assert!(hole.notes.iter().all(|note| note.topic.is_none()), "{name}");
        }
    }
}

/// A demo hole to be spoilt, with a plane to draw on.
struct Spoilt {
    whole: Value,
    plane: Plane,
}

impl Spoilt {
    fn of(name: &str) -> Self {
        let whole = demo(name);
        let first = &whole["features"][0]["geometry"]["coordinates"][0];
        let at = |i: usize| first[i].as_f64().expect("a number");
        let plane = Plane::new([at(0), at(1)]);
        Self { whole, plane }
    }

    fn features(&mut self) -> &mut Vec<Value> {
        self.whole["features"].as_array_mut().expect("features")
    }

    fn flat(&self, position: &Value) -> Coord<f64> {
        let at = |i: usize| position[i].as_f64().expect("a number");
        self.plane.to_plane(at(0), at(1))
    }

    /// The first feature with a tag.
    fn first(&self, key: &str, value: &str) -> Option<usize> {
        let features = self.whole["features"].as_array().expect("features");
        features
            .iter()
            .position(|each| each["properties"][key] == value)
    }

    fn line(&self) -> Vec<Coord<f64>> {
        let hole = self.first("golf", "hole").expect("a hole");
        let line = &self.whole["features"][hole]["geometry"]["coordinates"];
        let line = line.as_array().expect("a line");
        line.iter().map(|position| self.flat(position)).collect()
    }

    fn hole(&mut self) -> &mut Value {
        let hole = self.first("golf", "hole").expect("a hole");
        &mut self.features()[hole]
    }

    fn lon_lat(&self, at: Coord<f64>) -> Value {
        json!(self.plane.to_lon_lat(at))
    }

    fn add(&mut self, id: &str, tags: Value, kind: &str, coordinates: Value) {
        self.features()
            .push(json!({"type": "Feature", "id": id, "properties": tags,
            "geometry": {"type": kind, "coordinates": coordinates}}));
    }

    /// A square, counter-clockwise.
    fn square(&mut self, middle: Coord<f64>, half_m: f64, tags: Value) {
        let ring: Vec<Value> = [
            (-1.0, -1.0),
            (1.0, -1.0),
            (1.0, 1.0),
            (-1.0, 1.0),
            (-1.0, -1.0),
        ]
        .into_iter()
        .map(|(x, y)| self.lon_lat(middle + Coord { x, y } * half_m))
        .collect();
        self.add("square/1", tags, "Polygon", json!([ring]));
    }

    fn point(&mut self, id: &str, at: Coord<f64>, tags: Value) {
        let position = self.lon_lat(at);
        self.add(id, tags, "Point", position);
    }

    /// A line across the line of play.
    fn across(&mut self, tags: Value) {
        let line = self.line();
        let at = (line[0] + line[1]) / 2.0;
        let ahead = (line[1] - line[0]) / 6.0;
        let aside = Coord {
            x: ahead.y,
            y: -ahead.x,
        };
        let ends = [self.lon_lat(at - aside), self.lon_lat(at + aside)];
        self.add("way/1", tags, "LineString", json!(ends));
    }

    /// Moves the points with a tag and a colour.
    fn moved(&mut self, key: &str, value: &str, colour: &str, by: Coord<f64>) {
        for at in 0..self.features().len() {
            let feature = &self.features()[at];
            if feature["properties"][key] == value && feature["properties"]["tee"] == colour {
                let position = feature["geometry"]["coordinates"].clone();
                let moved = self.lon_lat(self.flat(&position) + by);
                self.features()[at]["geometry"]["coordinates"] = moved;
            }
        }
    }

    fn pin_moved(&mut self, by: Coord<f64>) {
        let pin = self.first("golf", "pin").expect("a pin");
        let position = self.features()[pin]["geometry"]["coordinates"].clone();
        let moved = self.lon_lat(self.flat(&position) + by);
        self.features()[pin]["geometry"]["coordinates"] = moved;
    }

    fn retain(&mut self, key: &str, value: &str) {
        self.features()
            .retain(|each| each["properties"][key] != value);
    }

    /// Topics that are asked about; none where the file is refused.
    fn asked(&self) -> Option<Vec<Topic>> {
        let course = read_course("spoilt", self.whole.to_string().as_bytes(), None).ok()?;
        assert!(course.broken.is_empty());
        let asked = questions(&course);
        Some(asked.into_iter().map(|each| each.topic).collect())
    }

    fn noted(&self, topic: Topic) -> bool {
        let course = read_course("spoilt", self.whole.to_string().as_bytes(), None);
        let course = course.expect("a course");
        let mut notes = course.holes.iter().flat_map(|hole| &hole.notes);
        notes.any(|note| note.topic == Some(topic))
    }
}

/// Spoils every demo hole and asks that it is asked about under one topic and no other, or refused
/// where that may be.
fn each_hole(topic: Topic, may_be_refused: bool, spoil: impl Fn(&mut Spoilt) -> bool) -> usize {
    let mut spoilt_holes = 0;
    for name in DEMO {
        let mut spoilt = Spoilt::of(name);
        if !spoil(&mut spoilt) {
            continue;
        }
        spoilt_holes += 1;
        match spoilt.asked() {
            Some(topics) => assert!(topics.contains(&topic), "{name}: {topics:?}"),
            None => assert!(may_be_refused, "{name} was refused"),
        }
    }
    spoilt_holes
}

fn swap(value: &mut Value) {
    let Some(items) = value.as_array_mut() else {
        return;
    };
    if items.iter().all(Value::is_number) {
        items.swap(0, 1);
    } else {
        items.iter_mut().for_each(swap);
    }
}

/// Every feature with a tag gets another.
fn retag(spoilt: &mut Spoilt, [key, value]: [&str; 2], [new_key, new]: [&str; 2]) -> bool {
    let mut any = false;
    for feature in spoilt.features() {
        let tags = &mut feature["properties"];
        if tags[key] == value {
            *tags = json!({new_key: new});
            any = true;
        }
    }
    any
}

#[test]
fn a_hazard_under_an_unknown_value_is_asked_about() {
    let bunkers = [
        "Bunker",
        "bunkers",
        "sand_trap",
        "sandtrap",
        "buncker",
        "trap",
    ];
    for value in bunkers {
        let holes = each_hole(Topic::MapTag, false, |spoilt| {
            retag(spoilt, ["golf", "bunker"], ["golf", value])
        });
        assert!(holes >= 7, "{value}: {holes} holes");
    }
    for (old, new) in [
        (["natural", "wood"], ["natural", "woods"]),
        (["natural", "wood"], ["landuse", "trees"]),
        (["golf", "out_of_bounds"], ["golf", "OB"]),
        (["golf", "out_of_bounds"], ["golf", "out of bounds"]),
        (["golf", "water_hazard"], ["golf", "water"]),
        (["golf", "water_hazard"], ["natural", "pond"]),
        (["golf", "lateral_water_hazard"], ["golf", "lateral water"]),
        (["golf", "lateral_water_hazard"], ["type", "lake"]),
        (["golf", "fairway"], ["golf", "Fairway"]),
        (["golf", "rough"], ["golf", "semi-rough"]),
    ] {
        let holes = each_hole(Topic::MapTag, false, |spoilt| retag(spoilt, old, new));
        assert!(holes > 0, "{old:?}");
    }
    for (key, value) in [
        ("golf", "pond"),
        ("golf", "lake"),
        ("golf", "penalty_area"),
        ("golf", "xyzzy"),
        ("natural", "reservoir"),
        ("natural", "Water"),
        ("landuse", "lake"),
        ("leisure", "pond"),
        ("waterway", "creek"),
        ("water", "pond"),
        ("GOLF", "bunker"),
        ("hazard", "yes"),
    ] {
        let holes = each_hole(Topic::MapTag, false, |spoilt| {
            let line = spoilt.line();
            let middle = (line[0] + line[1]) / 2.0;
            spoilt.square(
                middle + Coord { x: 40.0, y: 0.0 },
                10.0,
                json!({key: value}),
            );
            true
        });
        assert_eq!(holes, 9);
    }
}

/// What OpenStreetMap knows to be no surface, and a lake beyond reach, raise no question.
#[test]
fn what_does_not_matter_is_not_asked_about() {
    for name in DEMO {
        let mut spoilt = Spoilt::of(name);
        let line = spoilt.line();
        let beside = (line[0] + line[1]) / 2.0 + Coord { x: 40.0, y: 0.0 };
        for tags in [
            json!({"building": "yes"}),
            json!({"highway": "service", "surface": "sand"}),
            json!({"golf": "cartpath"}),
            json!({"amenity": "bench"}),
            json!({"natural": "grassland"}),
            json!({"landuse": "grass"}),
            json!({"leisure": "pitch"}),
            json!({"golf": "practice_green"}),
            json!({"man_made": "water_tower"}),
            json!({"waterway": "stream", "tunnel": "culvert"}),
            json!({"leisure": "swimming_pool", "water": "basin"}),
        ] {
            spoilt.square(beside, 8.0, tags);
        }
        spoilt.square(
            line[0] + Coord { x: 2500.0, y: 0.0 },
            20.0,
            json!({"golf": "pond"}),
        );
        assert_eq!(spoilt.asked(), Some(Vec::new()), "{name}");
    }
}

/// Water under OpenStreetMap's other tags is read as what it is.
#[test]
fn reservoirs_and_streams_are_red_penalty_areas() {
    use bendline::hole::Surface;
    for tags in [
        json!({"landuse": "reservoir"}),
        json!({"landuse": "basin"}),
        json!({"waterway": "dock"}),
        json!({"waterway": "riverbank"}),
        json!({"natural": "bay"}),
    ] {
        let mut spoilt = Spoilt::of("01-sickle");
        let line = spoilt.line();
        let at = (line[0] + line[1]) / 2.0 + Coord { x: 45.0, y: 0.0 };
        spoilt.square(at, 10.0, tags.clone());
        let course = read_course("a", spoilt.whole.to_string().as_bytes(), None).expect("a course");
        assert_eq!(questions(&course), [], "{tags}");
        let hole = &course.holes[0];
        let own = Plane::new(hole.origin_lon_lat);
        let [lon, lat] = spoilt.plane.to_lon_lat(at);
        assert_eq!(
            hole.surface_at(own.to_plane(lon, lat)),
            Surface::PenaltyRed,
            "{tags}"
        );
    }
    let mut spoilt = Spoilt::of("01-sickle");
    let line = spoilt.line();
    let at = (line[0] + line[1]) / 2.0;
    let across = [
        at - Coord { x: 80.0, y: 0.0 },
        at + Coord { x: 80.0, y: 0.0 },
    ];
    let across: Vec<Value> = across.iter().map(|&p| spoilt.lon_lat(p)).collect();
    spoilt.add(
        "way/1",
        json!({"waterway": "stream", "width": "4"}),
        "LineString",
        json!(across),
    );
    let course = read_course("a", spoilt.whole.to_string().as_bytes(), None).expect("a course");
    let hole = &course.holes[0];
    let own = Plane::new(hole.origin_lon_lat);
    let surface = |up_m: f64| {
        let [lon, lat] = spoilt.plane.to_lon_lat(at + Coord { x: 40.0, y: up_m });
        hole.surface_at(own.to_plane(lon, lat))
    };
    assert_eq!(surface(1.9), Surface::PenaltyRed);
    assert_ne!(surface(2.1), Surface::PenaltyRed);
}

#[test]
fn latitude_first_is_asked_about() {
    for name in DEMO {
        let count = Spoilt::of(name).features().len();
        for at in 0..count {
            let mut spoilt = Spoilt::of(name);
            swap(&mut spoilt.features()[at]["geometry"]["coordinates"]);
            if let Some(topics) = spoilt.asked() {
                assert_eq!(topics, [Topic::LatitudeFirst], "{name}: feature {at}");
            }
        }
    }
    each_hole(Topic::LatitudeFirst, false, |spoilt| {
        for feature in spoilt.features() {
            swap(&mut feature["geometry"]["coordinates"]);
        }
        true
    });
    // Rewound after the swap, but with the box of the file as it was.
    each_hole(Topic::LatitudeFirst, false, |spoilt| {
        for feature in spoilt.features() {
            swap(&mut feature["geometry"]["coordinates"]);
            if feature["geometry"]["type"] == "Polygon" {
                for ring in feature["geometry"]["coordinates"]
                    .as_array_mut()
                    .expect("rings")
                {
                    ring.as_array_mut().expect("a ring").reverse();
                }
            }
        }
        spoilt.whole["bbox"] = json!([18.8, 52.3, 19.1, 52.6]);
        true
    });
}

#[test]
fn a_line_the_wrong_way_is_asked_about_or_refused() {
    let backwards = |spoilt: &mut Spoilt| {
        let line = &mut spoilt.hole()["geometry"]["coordinates"];
        line.as_array_mut().expect("a line").reverse();
        true
    };
    assert_eq!(each_hole(Topic::LineDirection, true, backwards), 9);
    let by_another_green = |spoilt: &mut Spoilt| {
        let start = spoilt.line()[0];
        backwards(spoilt);
        spoilt.square(
            start + Coord { x: 30.0, y: -18.0 },
            9.0,
            json!({"golf": "green"}),
        );
        true
    };
    assert_eq!(each_hole(Topic::LineDirection, false, by_another_green), 9);
    // There and back, the same way or beside it: refused, with another green at the end too.
    for aside_m in [0.0, 12.0] {
        for name in DEMO {
            let mut spoilt = Spoilt::of(name);
            let line = spoilt.line();
            let back = line.iter().rev().skip(usize::from(aside_m == 0.0));
            let there: Vec<Value> = line
                .iter()
                .copied()
                .chain(back.map(|&at| at + Coord { x: aside_m, y: 0.0 }))
                .map(|at| spoilt.lon_lat(at))
                .collect();
            spoilt.hole()["geometry"]["coordinates"] = json!(there);
            spoilt.square(
                line[0] + Coord { x: 30.0, y: -18.0 },
                9.0,
                json!({"golf": "green"}),
            );
            assert_eq!(spoilt.asked(), None, "{name}");
        }
    }
}

#[test]
fn a_length_that_no_hole_of_its_par_has_is_asked_about() {
    let other_par = |spoilt: &mut Spoilt| {
        let tags = &mut spoilt.hole()["properties"];
        tags["par"] = json!(if tags["par"] == "3" { "5" } else { "3" });
        true
    };
    assert_eq!(each_hole(Topic::HoleLength, false, other_par), 9);
    fn scale(value: &mut Value, by: f64, middle: [f64; 2]) {
        let items = value.as_array_mut().expect("a list");
        if items.iter().all(Value::is_number) {
            for (item, middle) in items.iter_mut().zip(middle) {
                *item = json!(middle + by * (item.as_f64().expect("a number") - middle));
            }
        } else {
            items.iter_mut().for_each(|each| scale(each, by, middle));
        }
    }
    // Feet for yards; a par 5 is then refused as no hole at all.
    let thrice = |spoilt: &mut Spoilt| {
        let middle = spoilt.plane.to_lon_lat(spoilt.line()[0]);
        for feature in spoilt.features() {
            scale(&mut feature["geometry"]["coordinates"], 3.0, middle);
        }
        true
    };
    assert_eq!(each_hole(Topic::HoleLength, true, thrice), 9);
}

#[test]
fn tee_bend_or_pin_in_an_odd_place_is_asked_about() {
    let hazards = [
        json!({"golf": "lateral_water_hazard"}),
        json!({"golf": "water_hazard"}),
        json!({"natural": "water"}),
        json!({"golf": "out_of_bounds"}),
    ];
    for tags in &hazards {
        let on_tee = |spoilt: &mut Spoilt| {
            let tee = spoilt.line()[0];
            spoilt.square(tee, 40.0, tags.clone());
            true
        };
        assert_eq!(each_hole(Topic::OddPlace, false, on_tee), 9, "{tags}");
        let on_bend = |spoilt: &mut Spoilt| {
            let line = spoilt.line();
            spoilt.square(line[1], 30.0, tags.clone());
            line.len() > 2
        };
        assert!(each_hole(Topic::OddPlace, false, on_bend) >= 5, "{tags}");
        // The pin in a pond beside its green.
        let pin_moved = |spoilt: &mut Spoilt| {
            let pin = spoilt.first("golf", "pin").expect("a pin");
            let position = spoilt.features()[pin]["geometry"]["coordinates"].clone();
            let at = spoilt.flat(&position) + Coord { x: 60.0, y: 10.0 };
            let moved = spoilt.lon_lat(at);
            spoilt.features()[pin]["geometry"]["coordinates"] = moved;
            spoilt.square(at, 8.0, tags.clone());
            true
        };
        assert_eq!(each_hole(Topic::OddPlace, false, pin_moved), 9, "{tags}");
    }
    let green_out = |spoilt: &mut Spoilt| {
        let end = *spoilt.line().last().expect("an end");
        spoilt.square(end, 15.0, json!({"golf": "out_of_bounds"}));
        true
    };
    assert_eq!(each_hole(Topic::OddPlace, false, green_out), 9);
    let trees = |spoilt: &mut Spoilt| {
        let tee = spoilt.line()[0];
        spoilt.square(tee, 40.0, json!({"natural": "wood", "height": "12"}));
        true
    };
    assert_eq!(each_hole(Topic::OddPlace, false, trees), 9);
    let trunk = |spoilt: &mut Spoilt| {
        let tee = spoilt.line()[0];
        spoilt.point("tree/x", tee, json!({"natural": "tree", "height": "12"}));
        true
    };
    assert_eq!(each_hole(Topic::OddPlace, false, trunk), 9);
}

#[test]
fn another_holes_fairway_alone_stands_first_in_the_plan() {
    for name in DEMO {
        let mut spoilt = Spoilt::of(name);
        if spoilt.hole()["properties"]["par"] == "3" {
            continue;
        }
        spoilt.retain("golf", "fairway");
        let line = spoilt.line();
        let ahead = line[1] - line[0];
        let ahead = ahead / ahead.x.hypot(ahead.y);
        let aside = Coord {
            x: ahead.y,
            y: -ahead.x,
        };
        let beside = (line[0] + line[1]) / 2.0 + aside * 80.0;
        spoilt.square(beside, 20.0, json!({"golf": "fairway"}));
        assert_eq!(spoilt.asked(), Some(Vec::new()), "{name}");
        assert!(spoilt.noted(Topic::FairwayOfAnother), "{name}");
    }
}

/// A wood over the tee, whatever is drawn on top of it: the tee area, the fairway.
#[test]
fn a_tee_in_a_wood_is_asked_about() {
    for half_m in [20.0, 60.0, 400.0] {
        let wood = |spoilt: &mut Spoilt| {
            let tee = spoilt.line()[0];
            spoilt.square(tee, half_m, json!({"natural": "wood"}));
            true
        };
        assert_eq!(each_hole(Topic::OddPlace, false, wood), 9, "{half_m} m");
    }
    let crown = |spoilt: &mut Spoilt| {
        let tee = spoilt.line()[0];
        spoilt.square(tee, 20.0, json!({"golf": "tee", "tee": "gold"}));
        let beside = tee + Coord { x: 3.0, y: -1.0 };
        let tags = json!({"natural": "tree", "height": "12", "diameter_crown": "12"});
        spoilt.point("tree/x", beside, tags);
        true
    };
    assert_eq!(each_hole(Topic::OddPlace, false, crown), 9);
}

/// What `check` says of a spoilt map, and its exit code.
fn checked(spoilt: &Spoilt, more: &[&str]) -> (String, Option<i32>) {
    let empty = tempfile::tempdir().expect("a folder");
    fs::write(empty.path().join("a.geojson"), spoilt.whole.to_string()).expect("a file");
    let run = Command::new(env!("CARGO_BIN_EXE_bendline"))
        .args(more)
        .current_dir(empty.path())
        .env("COLUMNS", "100")
        .output()
        .expect("the command runs");
    let both = [run.stdout, run.stderr].map(|said| String::from_utf8(said).expect("text"));
    (both.concat(), run.status.code())
}

/// What may be so stands first, in these words, and nothing is asked.
#[test]
fn first_notes_in_their_exact_words() {
    type Spoil = fn(&mut Spoilt);
    let cases: [(&str, Spoil, &str); 12] = [
        (
            "01-sickle",
            |spoilt| {
                let [from, to] = [spoilt.line()[0], spoilt.line()[1]];
                let at = from + (to - from) * 0.9;
                spoilt.square(at, 40.0, json!({"natural": "wood", "height": "15"}));
            },
            " of the line of play of hole 1 lie in trees (square/1); a tee, fairway, green or bunker \
             drawn over a wood is played as a clearing: cut it out of the wood if it is one\n",
        ),
        (
            "01-sickle",
            |spoilt| spoilt.retain("golf", "fairway"),
            "check first: no fairway lies along hole 1: none is drawn, and the ground before the green \
             is played as rough; draw the hole's own (golf=fairway)\n",
        ),
        (
            "01-sickle",
            |spoilt| {
                spoilt.retain("golf", "fairway");
                let at = spoilt.line()[1];
                spoilt.square(at, 1.0, json!({"golf": "fairway"}));
            },
            "check first: no fairway lies along hole 1: only 4 m² are drawn, and the ground ",
        ),
        (
            "01-sickle",
            |spoilt| spoilt.retain("golf", "hole"),
            "check first: no line of play (golf=hole): a straight one from the farthest tee to the \
             middle of this green is assumed; draw it if the hole bends\n\
             check first: no fairway lies along hole 1: the nearest (fairway/1-1) is 18 m off it, and ",
        ),
        (
            "01-sickle",
            |spoilt| spoilt.moved("bendline", "tee_marker", "white", Coord { x: 25.0, y: 0.0 }),
            "check first: tee-markers (tee_marker/1-white-left) stand 20 m off the white tee (tee/1-1): \
             both are read as tees, and without --tee the plan is from tee/1-1; move the tee-markers \
             to where they stand\n",
        ),
        (
            "01-sickle",
            |spoilt| spoilt.moved("bendline", "tee_marker", "white", Coord { x: 90.0, y: 0.0 }),
            "check first: 2 tee-markers (tee_marker/1-white-left) stand 88 m or more off the white tee \
             (tee/1-1) and are not taken; move them to where the tee-markers are\n",
        ),
        (
            "01-sickle",
            |spoilt| spoilt.pin_moved(Coord { x: 200.0, y: 0.0 }),
            "check first: the pin (pin/1-1) stands 188 m off the green of hole 1 and is not taken; \
             move it, or set the pin with --pin\n",
        ),
        (
            "01-sickle",
            |spoilt| {
                let end = *spoilt.line().last().expect("an end");
                let beside = end + Coord { x: 4.0, y: 3.0 };
                spoilt.point("pin/x", beside, json!({"golf": "pin", "ref": "7"}));
            },
            "check first: 2 pins stand on the green of hole 1 (pin/1-1, pin/x): that of its number is \
             taken, or else the one nearest to the end of the line of play; set the pin of the day \
             with --pin\n",
        ),
        (
            "01-sickle",
            |spoilt| {
                let end = *spoilt.line().last().expect("an end");
                spoilt.square(end, 50.0, json!({"golf": "lateral_water_hazard"}));
            },
            "check first: the green of hole 1 lies all in a penalty area (square/1) and is played as an \
             island; cut the island out of it\n",
        ),
        (
            "01-sickle",
            |spoilt| {
                let at = spoilt.line()[1];
                spoilt.square(at, 60.0, json!({"golf": "bunker"}));
            },
            "check first: a bunker (square/1) 120 m across: look at its outline; a waste area that is \
             no bunker by the rules is golf=rough\n",
        ),
        (
            "01-sickle",
            |spoilt| spoilt.across(json!({"natural": "water", "width": "4"})),
            "check first: water drawn as a line is not read; draw it as an area, or tag it \
             waterway=stream\n",
        ),
        (
            "09-long-drop",
            |spoilt| {
                let fairway = spoilt.first("golf", "fairway").expect("a fairway");
                let rings = &mut spoilt.features()[fairway]["geometry"]["coordinates"];
                for position in rings[0].as_array_mut().expect("a ring") {
                    position.as_array_mut().expect("a position").truncate(2);
                }
            },
            " positions have no ground height: the others shape the ground\n",
        ),
    ];
    for (name, spoil, expected) in cases {
        let mut spoilt = Spoilt::of(name);
        spoil(&mut spoilt);
        let (said, code) = checked(&spoilt, &["check", "a.geojson"]);
        assert_eq!(code, Some(0), "{said}");
        assert!(said.contains(expected), "{expected}\n{said}");
        let at = said.find(expected).expect("a note");
        assert!(
            said[..at + expected.len()].contains("check first: "),
            "{said}"
        );
    }
}

/// A tee in trees is asked about where it is played, and noted where it is not.
#[test]
fn only_the_tee_that_is_played_is_asked_about() {
    let mut spoilt = Spoilt::of("05-two-bites");
    let position = spoilt
        .features()
        .iter()
        .find(|each| each["properties"]["golf"] == "tee" && each["properties"]["tee"] == "red");
    let position = position.expect("a red tee")["geometry"]["coordinates"].clone();
    let at = spoilt.flat(&position);
    spoilt.square(at, 8.0, json!({"natural": "wood", "height": "12"}));
    let (said, code) = checked(&spoilt, &["check", "a.geojson"]);
    assert_eq!(code, Some(0), "{said}");
    assert!(
        said.contains(
            "note: the red tee (tee/5-3) lies under trees (square/1): asked about where that tee is \
             played\n"
        ),
        "{said}"
    );
    let (said, code) = checked(&spoilt, &["plan", "a.geojson", "--tee", "red"]);
    assert_eq!(code, Some(1), "{said}");
    assert!(
        said.contains("found:    the red tee (tee/5-3) lies under trees (square/1)\n"),
        "{said}"
    );
}

#[test]
fn lines_of_water_under_another_spelling_are_asked_about() {
    for value in ["Stream", "STREAM", "brook", "creek", "burn", "Ditch"] {
        let line = |spoilt: &mut Spoilt| {
            spoilt.across(json!({"waterway": value}));
            true
        };
        assert_eq!(each_hole(Topic::MapTag, false, line), 9, "{value}");
    }
    let water = |spoilt: &mut Spoilt| {
        spoilt.across(json!({"natural": "Water"}));
        true
    };
    assert_eq!(each_hole(Topic::MapTag, false, water), 9);
}

#[test]
fn two_pins_and_odd_sizes_are_asked_about() {
    let without_a_number = |spoilt: &mut Spoilt| {
        let end = *spoilt.line().last().expect("an end");
        let at = end + Coord { x: 4.0, y: 3.0 };
        spoilt.point("pin/x", at, json!({"golf": "pin"}));
        true
    };
    assert_eq!(each_hole(Topic::TwoPins, false, without_a_number), 9);
    let pond = |spoilt: &mut Spoilt| {
        let pin = spoilt.first("golf", "pin").expect("a pin");
        let position = spoilt.features()[pin]["geometry"]["coordinates"].clone();
        let at = spoilt.flat(&position);
        spoilt.square(at, 5.0, json!({"golf": "water_hazard"}));
        true
    };
    assert_eq!(each_hole(Topic::OddPlace, false, pond), 9);
    for half_m in [0.2, 1.0] {
        let small = |spoilt: &mut Spoilt| {
            let end = *spoilt.line().last().expect("an end");
            spoilt.retain("golf", "green");
            spoilt.square(end, half_m, json!({"golf": "green"}));
            true
        };
        assert_eq!(each_hole(Topic::OddSize, false, small), 9, "{half_m} m");
    }
    let two = |spoilt: &mut Spoilt| {
        let pin = spoilt.first("golf", "pin").expect("a pin");
        let twin = spoilt.features()[pin].clone();
        let at = spoilt.flat(&twin["geometry"]["coordinates"]) + Coord { x: 4.0, y: 2.0 };
        spoilt.point("pin/x", at, twin["properties"].clone());
        true
    };
    assert_eq!(each_hole(Topic::TwoPins, false, two), 9);
    let fairway = |spoilt: &mut Spoilt| {
        let line = spoilt.line();
        let middle = (line[0] + line[line.len() - 1]) / 2.0;
        spoilt.square(middle, 400.0, json!({"golf": "fairway"}));
        true
    };
    assert_eq!(each_hole(Topic::OddSize, false, fairway), 9);
    let green = |spoilt: &mut Spoilt| {
        let end = *spoilt.line().last().expect("an end");
        spoilt.retain("golf", "green");
        spoilt.square(end, 100.0, json!({"golf": "green"}));
        true
    };
    assert_eq!(each_hole(Topic::OddSize, false, green), 9);
    let tall = |spoilt: &mut Spoilt| {
        let line = spoilt.line();
        let at = line[0] + Coord { x: 45.0, y: 45.0 };
        spoilt.point("tree/x", at, json!({"natural": "tree", "height": "80"}));
        true
    };
    assert_eq!(each_hole(Topic::OddSize, false, tall), 9);
    let stream = |spoilt: &mut Spoilt| {
        let line = spoilt.line();
        let ends = [Coord { x: 60.0, y: 60.0 }, Coord { x: 60.0, y: -60.0 }];
        let ends: Vec<Value> = ends
            .iter()
            .map(|&off| spoilt.lon_lat(line[0] + off))
            .collect();
        let tags = json!({"golf": "lateral_water_hazard", "width": "80"});
        spoilt.add("brook/x", tags, "LineString", json!(ends));
        true
    };
    assert_eq!(each_hole(Topic::OddSize, false, stream), 9);
}

#[test]
fn a_pin_that_is_set_settles_two_pins() {
    let mut spoilt = Spoilt::of("01-sickle");
    let pin = spoilt.first("golf", "pin").expect("a pin");
    let twin = spoilt.features()[pin].clone();
    let at = spoilt.flat(&twin["geometry"]["coordinates"]) + Coord { x: 4.0, y: 2.0 };
    spoilt.point("pin/x", at, twin["properties"].clone());
    let mut course = read_course("a", spoilt.whole.to_string().as_bytes(), None).expect("a course");
    assert_eq!(course.holes[0].questions.len(), 1);
    let paces = bendline::units::parse::pin("12,6L").expect("paces");
    bendline::hole::pin::set(&mut course.holes[0], &paces).expect("a pin");
    assert_eq!(course.holes[0].questions, []);
}

#[test]
fn stroke_indices_that_are_none_or_stand_twice_are_asked_about() {
    let asked = |index: &dyn Fn(usize) -> Value| {
        let mut course = demo("course");
        let features = course["features"].as_array_mut().expect("features");
        let holes = features
            .iter_mut()
            .filter(|each| each["properties"]["golf"] == "hole");
        for (at, hole) in holes.enumerate() {
            hole["properties"]["handicap"] = index(at);
        }
        let course = read_course("a", course.to_string().as_bytes(), None).expect("a course");
        assert_eq!(questions(&course), []);
        course.stroke_indices
    };
    let one = asked(&|_| json!("1"));
    assert_eq!(
        one[0].problem.found,
        "stroke index 1 on holes 1, 2, 3, 4, 5, 6, 7, 8, 9"
    );
    assert_eq!(asked(&|_| json!(25)).len(), 9);
    assert_eq!(asked(&|at| json!(at + 1)), []);
}

fn folder() -> PathBuf {
    root().join("tests/bad/question")
}

/// What the command says of a file, and its exit code.
fn run(arguments: &[&str]) -> (String, Option<i32>) {
    let run = Command::new(env!("CARGO_BIN_EXE_bendline"))
        .args(arguments)
        .current_dir(folder())
        .env("COLUMNS", "100")
        .output()
        .expect("the command runs");
    let said = String::from_utf8(run.stderr).expect("text");
    (said, run.status.code())
}

/// Every file stops the plan before anything is planned, with its exact words; `check` stops at it
/// too, and takes the answer that the question ends with.
#[test]
fn every_question_is_asked_by_the_command_in_its_exact_words() {
    let mut cases: Vec<PathBuf> = fs::read_dir(folder())
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "geojson"))
        .collect();
    cases.sort();
    assert!(cases.len() >= 14, "{} cases", cases.len());
    let empty = tempfile::tempdir().expect("a folder");
    let out = empty.path().to_string_lossy().into_owned();
    let mut wrong = String::new();
    for path in &cases {
        let name = path
            .file_name()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        let mut arguments = vec!["plan", &name, "--out", &out];
        if name.starts_with("stroke_index") {
            arguments.extend(["--receives", "9"]);
        }
        let (said, code) = run(&arguments);
        let beside = path.with_extension("expected");
        if std::env::var_os("BENDLINE_WRITE_EXPECTED").is_some() && !beside.exists() {
            fs::write(&beside, &said).expect("written");
        }
        let expected = fs::read_to_string(&beside).unwrap_or_default();
        if code != Some(1) || said != expected {
            wrong.push_str(&format!(
                "{name}: {code:?}\n--- expected\n{expected}--- found\n{said}\n"
            ));
        }
        assert_eq!(
            fs::read_dir(empty.path()).expect("a folder").count(),
            0,
            "{name}"
        );
        let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
        let (_, answer) = flat.split_once("--it-is-so ").expect("an answer");
        let answer = answer.split(' ').next().expect("a name");
        assert_eq!(run(&["check", &name]).1, Some(1), "{name}");
        let (said, code) = run(&["check", &name, "--it-is-so", answer]);
        assert_eq!(code, Some(0), "{name}: {said}");
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// With the answer the hole is planned, and the plan's first words say that it was asked about.
#[test]
fn an_answered_question_stands_first_in_the_plan() {
    let out = tempfile::tempdir().expect("a folder");
    let run = Command::new(env!("CARGO_BIN_EXE_bendline"))
        .args([
            "plan",
            "tag_pond.geojson",
            "--it-is-so",
            "map-tag",
            "--worth",
            "table",
            "--out",
        ])
        .arg(out.path())
        .current_dir(folder())
        .output()
        .expect("the command runs");
    assert_eq!(
        run.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let said = String::from_utf8(run.stdout).expect("text");
    let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("golf=pond on 1 feature (pond/1), within reach of a ball and not read"),
        "{said}"
    );
    let plan: Value =
        serde_json::from_slice(&fs::read(out.path().join("hole-1.json")).expect("a plan"))
            .expect("JSON");
    let first = plan["check_first"].as_array().expect("a list");
    assert_eq!(first.len(), 1, "{first:?}");
}
