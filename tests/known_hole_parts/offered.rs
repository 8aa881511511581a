//! Maps that leave something out, or say it twice: a line of play that is offered or asked for,
//! what is listed as assumed, fairways that two holes share, holes that cross, features drawn
//! twice, rings wound the wrong way.

use bendline::hole::{Assumption, Surface, read_course};
use serde_json::{Value, json};

use crate::draw::{Draw, boxed, close};

/// A hole of 320 m to the north without its line of play.
fn without_a_line() -> Draw {
    let mut draw = Draw::hole();
    draw.features.remove(0);
    draw
}

#[test]
fn a_line_of_play_is_offered_from_the_only_tee_to_the_only_green() {
    let hole = without_a_line().only();
    let drawn = Draw::hole().only();
    // The tee's middle is the line's start, the green's middle its end.
    assert!(
        (hole.length_m - drawn.length_m).abs() < 0.01,
        "{}",
        hole.length_m
    );
    assert_eq!(hole.line_of_play.len(), 2);
    let [from, to] = [hole.line_of_play[0], hole.line_of_play[1]];
    assert!(((to.y - from.y).hypot(to.x - from.x) - 320.0).abs() < 0.05);
    assert_eq!(hole.reference, "1");
    assert_eq!(hole.name, None);
    // 320 m is a par 4 (practice: to 440 m).
    assert_eq!(hole.par, 4);
    use Assumption::{FlatGround, LineOfPlay, Par};
    assert_eq!(hole.assumed, [LineOfPlay, Par, FlatGround]);
    let noted = |words: &str| hole.notes.iter().any(|note| note.text.contains(words));
    assert!(
        noted("a straight one from the farthest tee"),
        "{:?}",
        hole.notes
    );
    assert!(
        noted("par 4 is taken from its length of 320 m"),
        "{:?}",
        hole.notes
    );
}

#[test]
fn forward_tees_on_the_way_do_not_make_it_ambiguous() {
    let mut draw = without_a_line();
    draw.area(
        &[&boxed(10.0, -105.0, 18.0, -95.0)],
        json!({"golf": "tee", "tee": "red"}),
    );
    let hole = draw.only();
    assert!(
        (hole.length_m - 320.0).abs() < 0.1,
        "the farthest tee starts the line"
    );
    assert_eq!(hole.tees.len(), 2);
}

#[test]
fn where_it_could_be_another_way_the_line_is_asked_for() {
    let asked = |draw: &Draw, words: &str| {
        let problems = read_course("drawn.geojson", &draw.text(), None)
            .expect_err(words)
            .0;
        assert_eq!(problems.len(), 1);
        assert!(
            problems[0].expected.contains("golf=hole"),
            "{}",
            problems[0]
        );
        assert!(problems[0].found.ends_with(words), "{}", problems[0]);
    };
    let mut two_greens = without_a_line();
    two_greens.area(
        &[&boxed(90.0, 150.0, 110.0, 170.0)],
        json!({"golf": "green"}),
    );
    asked(&two_greens, "which green is played to cannot be told");
    let mut two_ways = without_a_line();
    two_ways.point([150.0, -60.0], json!({"golf": "tee"}));
    asked(
        &two_ways,
        "the tees do not lie on one straight way to the green",
    );
    let mut no_tee = without_a_line();
    no_tee.features.remove(0);
    asked(&no_tee, "no tee to play from");
    let mut range = without_a_line();
    range.line(
        &[[-170.0, -110.0], [-170.0, 130.0]],
        json!({"golf": "hole", "name": "Driving Range"}),
    );
    asked(&range, "a practice range is not a hole");
}

#[test]
fn every_assumption_is_listed_once() {
    let mut draw = Draw::hole();
    // The pin goes, two woods and two ponds come, a stream without a width.
    draw.features.pop();
    for x in [60.0, 90.0] {
        draw.area(
            &[&boxed(x, 0.0, x + 20.0, 20.0)],
            json!({"natural": "wood"}),
        );
        draw.area(
            &[&boxed(-x - 20.0, 0.0, -x, 20.0)],
            json!({"natural": "water"}),
        );
    }
    draw.line(
        &[[-30.0, 50.0], [30.0, 52.0]],
        json!({"golf": "water_hazard"}),
    );
    let hole = draw.only();
    use Assumption::{FlatGround, Pin, StreamWidth, TreeHeights, WaterColour};
    assert_eq!(
        hole.assumed,
        [Pin, TreeHeights, WaterColour, StreamWidth, FlatGround]
    );
    assert!(hole.tees[0].assumed);
    // Nothing is, where the map says everything.
    let mut said = Draw::at(-3.2, 55.9);
    let up = |draw: &Draw, x: f64, y: f64| {
        let mut at = draw.lon_lat([x, y]);
        at.as_array_mut().expect("a position").push(json!(5.0));
        at
    };
    let line = json!([up(&said, 0.0, -160.0), up(&said, 0.0, 160.0)]);
    said.add(
        "LineString",
        line,
        json!({"golf": "hole", "ref": "1", "par": "4"}),
    );
    for x in [-3.0, 3.0] {
        let at = up(&said, x, -160.0);
        said.add(
            "Point",
            at,
            json!({"bendline": "tee_marker", "tee": "white"}),
        );
    }
    let green = boxed(-12.0, 148.0, 12.0, 172.0);
    let ring: Vec<Value> = green
        .iter()
        .chain(green.first())
        .map(|p| up(&said, p[0], p[1]))
        .collect();
    said.add("Polygon", json!([ring]), json!({"golf": "green"}));
    let pin = up(&said, 0.0, 160.0);
    said.add("Point", pin, json!({"golf": "pin"}));
    let hole = said.only();
    assert!(hole.assumed.is_empty(), "{:?}", hole.assumed);
    assert!(!hole.tees[0].assumed);
}

#[test]
fn a_fairway_shared_by_two_holes_lies_on_both() {
    let mut draw = Draw::hole();
    draw.line(
        &[[40.0, 150.0], [40.0, -150.0]],
        json!({"golf": "hole", "ref": "2", "par": "4"}),
    );
    draw.point([40.0, 150.0], json!({"golf": "tee"}));
    draw.area(
        &[&boxed(30.0, -165.0, 50.0, -145.0)],
        json!({"golf": "green"}),
    );
    draw.area(
        &[&boxed(-20.0, -60.0, 60.0, 60.0)],
        json!({"golf": "fairway"}),
    );
    let course = draw.course();
    assert_eq!(course.holes.len(), 2);
    for hole in &course.holes {
        for x in [-19.0, 20.0, 59.0] {
            assert_eq!(
                draw.surface(hole, [x, 0.0]),
                Surface::Fairway,
                "hole {}",
                hole.reference
            );
        }
    }
}

#[test]
fn holes_that_cross_keep_their_own_tees_and_greens() {
    let mut draw = Draw::hole();
    // Across the first at its middle, from west to east.
    draw.line(
        &[[-150.0, 0.0], [150.0, 0.0]],
        json!({"golf": "hole", "ref": "2", "par": "4"}),
    );
    draw.area(&[&boxed(-155.0, -5.0, -145.0, 5.0)], json!({"golf": "tee"}));
    draw.area(
        &[&boxed(138.0, -12.0, 162.0, 12.0)],
        json!({"golf": "green"}),
    );
    draw.point([150.0, 0.0], json!({"golf": "pin"}));
    let course = draw.course();
    assert!(course.broken.is_empty(), "{:?}", course.broken);
    let [first, second] = &course.holes[..] else {
        panic!("{} holes", course.holes.len());
    };
    assert_eq!((first.tees.len(), second.tees.len()), (1, 1));
    assert!(close(first.pin, draw.on(first, [0.0, 160.0]), 1e-6));
    assert!(close(second.pin, draw.on(second, [150.0, 0.0]), 1e-6));
    assert!((first.length_m - 320.0).abs() < 0.05 && (second.length_m - 300.0).abs() < 0.05);
}

#[test]
fn a_feature_drawn_twice_or_wound_the_wrong_way_changes_no_lie() {
    let mut draw = Draw::hole();
    draw.area(
        &[&boxed(-20.0, -60.0, 20.0, 60.0)],
        json!({"golf": "fairway"}),
    );
    draw.area(&[&boxed(10.0, 0.0, 30.0, 20.0)], json!({"golf": "bunker"}));
    let once = draw.only();
    let again = draw.features[draw.features.len() - 2..].to_vec();
    draw.features.extend(again);
    for feature in &mut draw.features {
        if feature["geometry"]["type"] == "Polygon" {
            let ring = feature["geometry"]["coordinates"][0]
                .as_array_mut()
                .expect("a ring");
            ring.reverse();
        }
    }
    let twice = draw.only();
    for x in -30..=40 {
        for y in -7..=7 {
            let at = [f64::from(x) + 0.37, f64::from(y) * 10.0 + 0.21];
            assert_eq!(draw.surface(&once, at), draw.surface(&twice, at), "{at:?}");
        }
    }
}

/// UTM zone 33 (EPSG:32633): the same hole with the easting first, and told when it is not.
#[test]
fn swapped_easting_and_northing_are_told() {
    let file = |swap: bool| {
        // On the zone's central meridian, where its easting is 500 000 m and a metre is 0.9996 m.
        let at = |x: f64, y: f64| if swap { json!([y, x]) } else { json!([x, y]) };
        let ring = |x: f64, y: f64| {
            json!([[
                at(x - 9.0, y - 9.0),
                at(x + 9.0, y - 9.0),
                at(x + 9.0, y + 9.0),
                at(x - 9.0, y + 9.0),
                at(x - 9.0, y - 9.0)
            ]])
        };
        let feature = |tags: Value, kind: &str, coordinates: Value| json!({"type": "Feature", "properties": tags, "geometry": {"type": kind, "coordinates": coordinates}});
        json!({"type": "FeatureCollection", "features": [
            feature(json!({"golf": "hole", "ref": "1", "par": "4"}), "LineString",
                json!([at(500_000.0, 5_538_000.0), at(500_000.0, 5_538_350.0)])),
            feature(json!({"golf": "tee"}), "Point", at(500_000.0, 5_538_000.0)),
            feature(json!({"golf": "green"}), "Polygon", ring(500_000.0, 5_538_350.0)),
        ]})
        .to_string()
    };
    let course = read_course("utm.geojson", file(false).as_bytes(), Some("EPSG:32633"));
    let course = course.unwrap_or_else(|problems| panic!("{problems}"));
    let hole = &course.holes[0];
    // The scale on the central meridian of UTM is 0.9996 (EPSG method 9807).
    assert!(
        (hole.length_m - 350.0 / 0.9996).abs() < 0.01,
        "{}",
        hole.length_m
    );
    let problems = read_course("utm.geojson", file(true).as_bytes(), Some("EPSG:32633"));
    let problems = problems.expect_err("swapped").0;
    assert_eq!(problems.len(), 1);
    assert!(
        problems[0].remedy.contains("the order looks swapped"),
        "{}",
        problems[0]
    );
    assert!(
        problems[0].expected.contains("EPSG:32633"),
        "{}",
        problems[0]
    );
    // Without --crs they are told to be metres.
    let problems = read_course("utm.geojson", file(false).as_bytes(), None);
    let problems = problems.expect_err("metres").0;
    assert!(
        problems[0].remedy.contains("projected metres"),
        "{}",
        problems[0]
    );
}
