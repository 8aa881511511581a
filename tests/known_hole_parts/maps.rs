//! Whose features are whose, and what is assumed.

use bendline::hole::{Coord, Hole, Surface, summarise, summary_text};
use bendline::units::LengthUnit;
use serde_json::json;

use crate::draw::{Draw, blob, boxed, close, uniform};

#[test]
fn a_tee_gets_its_markers_from_its_outline_and_node() {
    let mut draw = Draw::hole();
    draw.features.remove(1);
    draw.area(&[&boxed(-7.0, -170.0, 5.0, -150.0)], json!({"golf": "tee"}));
    draw.point(
        [0.0, -155.0],
        json!({"golf": "tee", "tee": "White; Yellow"}),
    );
    draw.point([1.0, -100.0], json!({"golf": "tee", "tee": "red"}));
    let hole = draw.only();
    assert_eq!(hole.tees.len(), 2);
    let white = hole.tee(Some("YELLOW")).unwrap();
    assert_eq!(white.colours, ["white", "yellow"]);
    assert!(white.assumed);
    // Half a metre is left free at either side; square to the line of play.
    assert!(
        close(white.left, draw.on(&hole, [-6.5, -155.0]), 0.01),
        "{:?}",
        white.left
    );
    assert!(
        close(white.right, draw.on(&hole, [4.5, -155.0]), 0.01),
        "{:?}",
        white.right
    );
    assert!((white.width_m() - 11.0).abs() < 0.01);
    let [east, north] = white.forward();
    assert!(east.abs() < 0.01 && (north - 1.0).abs() < 1e-3);
    assert!((hole.length_from_m(white) - 315.0).abs() < 0.1);
    assert!(
        (hole.length_m - 315.0).abs() < 0.1,
        "the tee nearest to the line's start"
    );
    let red = hole.tee(Some("red")).unwrap();
    assert!((red.width_m() - 6.0).abs() < 1e-9);
    assert!((hole.length_from_m(red) - 260.0).abs() < 0.1);
    let problem = hole.tee(Some("blue")).unwrap_err();
    assert_eq!(
        problem.expected,
        "a tee colour of hole 1: red, white, yellow"
    );
    assert_eq!(problem.found, "blue");
}

#[test]
fn two_tee_markers_give_the_teeing_area() {
    let mut draw = Draw::hole();
    draw.point(
        [4.0, -158.0],
        json!({"bendline": "tee_marker", "tee": "white"}),
    );
    draw.point(
        [-3.0, -158.0],
        json!({"bendline": "tee_marker", "tee": "white"}),
    );
    let hole = draw.only();
    assert_eq!(
        hole.tees.len(),
        1,
        "the markers stand on the drawn tee and take its place"
    );
    let tee = hole.tee(None).unwrap();
    assert!(!tee.assumed);
    assert!(close(tee.left, draw.on(&hole, [-3.0, -158.0]), 1e-6));
    assert!(close(tee.right, draw.on(&hole, [4.0, -158.0]), 1e-6));
    // Rules of Golf 2023, definition "Teeing Area": back from the front line.
    let peg = tee.peg(2.0, 1.5);
    assert!(close(peg, draw.on(&hole, [-1.0, -159.5]), 0.01), "{peg:?}");
    assert!(close(tee.peg(0.0, 0.0), tee.left, 1e-12));
    assert!(close(tee.peg(tee.width_m(), 0.0), tee.right, 1e-9));
}

#[test]
fn features_belong_to_holes_by_where_they_lie() {
    let mut draw = Draw::hole();
    // The next hole starts beside the first green and comes back.
    draw.line(
        &[[45.0, 160.0], [70.0, -160.0]],
        json!({"golf": "hole", "ref": "2", "name": "Back (Par 4)"}),
    );
    draw.area(
        &[&boxed(42.0, 165.0, 48.0, 175.0)],
        json!({"golf": "tee", "tee": "white"}),
    );
    draw.area(
        &[&boxed(60.0, -170.0, 80.0, -150.0)],
        json!({"golf": "green"}),
    );
    // A tee of a hole that the file does not hold, beside the first tee.
    draw.point([8.0, -165.0], json!({"golf": "tee", "ref": "17"}));
    // The range: by its area, and by its name.
    draw.area(
        &[&boxed(-220.0, -100.0, -120.0, 150.0)],
        json!({"golf": "driving_range"}),
    );
    draw.line(
        &[[-170.0, -110.0], [-170.0, 130.0]],
        json!({"golf": "hole", "ref": "10"}),
    );
    draw.point([-170.0, -110.0], json!({"golf": "tee"}));
    draw.line(
        &[[-250.0, -100.0], [-250.0, 100.0]],
        json!({"golf": "hole", "ref": "0", "name": "Driving Range"}),
    );
    let course = draw.course();
    assert!(course.broken.is_empty());
    let refs: Vec<&str> = course
        .holes
        .iter()
        .map(|hole| hole.reference.as_str())
        .collect();
    assert_eq!(refs, ["1", "2"]);
    assert_eq!(course.holes[0].tees.len(), 1);
    assert_eq!(course.holes[1].tees.len(), 1);
    assert_eq!(course.holes[1].tees[0].colours, ["white"]);
    assert_eq!(course.holes[1].par, 4);
    assert!(close(
        course.holes[0].pin,
        draw.on(&course.holes[0], [0.0, 160.0]),
        1e-6
    ));
    // No pin was drawn on the second green: its middle.
    assert!(close(
        course.holes[1].pin,
        draw.on(&course.holes[1], [70.0, -160.0]),
        0.01
    ));
    // A ball may well finish on the neighbour's green.
    assert_eq!(
        draw.surface(&course.holes[0], [70.0, -160.0]),
        Surface::Green
    );
    assert_eq!(
        course
            .notes
            .iter()
            .filter(|note| note.text.contains("practice range"))
            .count(),
        2
    );
}

#[test]
fn one_unplayable_hole_leaves_the_others_playable() {
    let mut draw = Draw::hole();
    draw.line(
        &[[200.0, 0.0], [200.0, 300.0]],
        json!({"golf": "hole", "ref": "2"}),
    );
    let course = draw.course();
    assert_eq!(course.holes.len(), 1);
    assert_eq!(course.broken.len(), 1);
    assert_eq!(course.broken[0].0, "2");
    assert!(course.broken[0].1.to_string().contains("a green"));
}

#[test]
fn par_comes_from_the_tag_then_the_name_then_the_length() {
    for (tags, length, expected) in [
        (
            json!({"golf": "hole", "par": 5, "name": "Elm (Par 4)"}),
            320.0,
            5,
        ),
        (json!({"golf": "hole", "name": "Elm (Par 5)"}), 320.0, 5),
        (json!({"golf": "hole", "name": "Parson's 3"}), 320.0, 4),
        (json!({"golf": "hole"}), 150.0, 3),
        (json!({"golf": "hole"}), 500.0, 5),
    ] {
        let mut draw = Draw::at(10.0, 45.0);
        draw.line(&[[0.0, 0.0], [0.0, length]], tags.clone());
        draw.point([0.0, 0.0], json!({"golf": "tee"}));
        draw.area(
            &[&boxed(-10.0, length - 10.0, 10.0, length + 10.0)],
            json!({"golf": "green"}),
        );
        assert_eq!(draw.only().par, expected, "{tags}");
    }
}

#[test]
fn a_mirrored_file_gives_a_mirrored_hole() {
    let draw_all = |mirrored: bool| {
        let mut random = uniform(3);
        let mut draw = Draw {
            mirrored,
            ..Draw::at(7.0, 50.0)
        };
        draw.line(
            &[[0.0, -160.0], [30.0, 40.0], [0.0, 160.0]],
            json!({"golf": "hole", "ref": "1"}),
        );
        draw.area(&[&boxed(-5.0, -170.0, 8.0, -150.0)], json!({"golf": "tee"}));
        draw.area(
            &[&boxed(-12.0, 148.0, 12.0, 172.0)],
            json!({"golf": "green"}),
        );
        draw.line(
            &[[60.0, -200.0], [70.0, 20.0], [60.0, 230.0]],
            json!({"golf": "out_of_bounds"}),
        );
        for (tags, radius) in [
            (json!({"golf": "fairway"}), 50.0),
            (json!({"golf": "bunker"}), 15.0),
            (json!({"natural": "wood"}), 40.0),
            (json!({"natural": "water"}), 30.0),
        ] {
            for _ in 0..4 {
                let centre = [(random() - 0.5) * 120.0, (random() - 0.5) * 240.0];
                let outline = blob(&mut random, centre, radius, 23);
                draw.area(&[&outline], tags.clone());
            }
        }
        draw.line(
            &[[-50.0, -100.0], [-55.0, 30.0]],
            json!({"natural": "tree_row"}),
        );
        draw.only()
    };
    let (plain, mirrored) = (draw_all(false), draw_all(true));
    let middle = |hole: &Hole| (hole.bounds().min() + hole.bounds().max()) / 2.0;
    let (a, b) = (middle(&plain), middle(&mirrored));
    assert!((plain.length_m - mirrored.length_m).abs() < 1e-6);
    let (tee, twin) = (plain.tee(None).unwrap(), mirrored.tee(None).unwrap());
    assert!((tee.left.x - a.x + (twin.right.x - b.x)).abs() < 1e-6);
    assert!((tee.width_m() - twin.width_m()).abs() < 1e-6);
    let mut random = uniform(11);
    let mut seen = std::collections::BTreeSet::new();
    for _ in 0..50_000 {
        let (x, y) = (
            (random() - 0.5) * plain.bounds().width(),
            (random() - 0.5) * plain.bounds().height(),
        );
        let here = plain.surface_at(Coord {
            x: a.x + x,
            y: a.y + y,
        });
        assert_eq!(
            here,
            mirrored.surface_at(Coord {
                x: b.x - x,
                y: b.y + y
            }),
            "at {x}, {y}"
        );
        seen.insert(here);
        let canopy = plain.canopy_at(a.x + x, a.y + y);
        assert_eq!(
            canopy,
            mirrored.canopy_at(b.x - x, b.y + y),
            "canopy at {x}, {y}"
        );
    }
    assert_eq!(seen.len(), 8, "{seen:?}");
}

#[test]
fn holes_lie_as_drawn_at_the_180th_meridian_and_far_north() {
    for (lon, lat) in [(180.0, -17.0), (-179.9995, 66.0), (25.0, 71.0), (0.0, 0.0)] {
        let mut draw = Draw::at(lon, lat);
        draw.line(&[[-150.0, 0.0], [150.0, 20.0]], json!({"golf": "hole"}));
        draw.area(&[&boxed(-155.0, -5.0, -145.0, 5.0)], json!({"golf": "tee"}));
        draw.area(
            &[&boxed(140.0, 10.0, 160.0, 30.0)],
            json!({"golf": "green"}),
        );
        draw.area(
            &[&boxed(-40.0, -10.0, 60.0, 30.0)],
            json!({"golf": "fairway"}),
        );
        let hole = draw.only();
        assert!((hole.length_m - 300.67).abs() < 0.05, "{}", hole.length_m);
        assert_eq!(draw.surface(&hole, [-39.5, 0.0]), Surface::Fairway);
        assert_eq!(draw.surface(&hole, [59.5, 0.0]), Surface::Fairway);
        assert_eq!(draw.surface(&hole, [60.5, 0.0]), Surface::Rough);
    }
}

#[test]
fn assumptions_are_noted() {
    let mut draw = Draw::hole();
    draw.area(
        &[&boxed(20.0, 0.0, 40.0, 20.0)],
        json!({"natural": "water", "name": "<Pond>"}),
    );
    draw.area(
        &[&boxed(-90.0, 0.0, -60.0, 20.0)],
        json!({"natural": "wood"}),
    );
    draw.area(
        &[&boxed(-500.0, -500.0, 500.0, 500.0)],
        json!({"leisure": "golf_course"}),
    );
    let course = draw.course();
    let hole = &course.holes[0];
    for words in [
        "no tee-markers",
        "red penalty area",
        "15 m is assumed",
        "taken as flat",
    ] {
        assert!(
            hole.notes.iter().any(|note| note.text.contains(words)),
            "{words}: {:?}",
            hole.notes
        );
    }
    assert!(
        course
            .notes
            .iter()
            .any(|note| note.text.contains("not taken for out of bounds"))
    );
    let pond = hole.patch_at(draw.on(hole, [30.0, 10.0])).unwrap();
    assert_eq!(pond.name.as_deref(), Some("<Pond>"));
    assert!(pond.assumed);
}

#[test]
fn a_tee_shared_by_two_holes_serves_both() {
    let mut draw = Draw::hole();
    draw.line(
        &[[0.0, -160.0], [-90.0, 120.0]],
        json!({"golf": "hole", "ref": "10", "par": "4"}),
    );
    draw.area(
        &[&boxed(-102.0, 110.0, -80.0, 130.0)],
        json!({"golf": "green"}),
    );
    draw.point(
        [-2.0, -158.0],
        json!({"golf": "tee", "ref": "1", "tee": "white"}),
    );
    draw.point(
        [2.0, -158.0],
        json!({"golf": "tee", "ref": "10", "tee": "yellow"}),
    );
    let course = draw.course();
    assert_eq!(course.holes[0].tees.len(), 1);
    assert_eq!(course.holes[0].tees[0].colours, ["white"]);
    assert_eq!(course.holes[1].reference, "10");
    assert_eq!(course.holes[1].tees[0].colours, ["yellow"]);
    // Each pair stands square to its own line of play.
    let [east, _] = course.holes[1].tees[0].forward();
    assert!((east - (-90.0_f64 / 294.1)).abs() < 0.02, "{east}");
}

#[test]
fn two_pins_on_a_shared_green_go_to_their_own_holes() {
    let mut draw = Draw::hole();
    draw.line(
        &[[80.0, -160.0], [6.0, 165.0]],
        json!({"golf": "hole", "ref": "2", "par": "4"}),
    );
    draw.point([80.0, -160.0], json!({"golf": "tee"}));
    draw.point([8.0, 168.0], json!({"golf": "pin"}));
    let course = draw.course();
    let (one, two) = (&course.holes[0], &course.holes[1]);
    assert!(close(one.pin, draw.on(one, [0.0, 160.0]), 1e-6));
    assert!(close(two.pin, draw.on(two, [8.0, 168.0]), 1e-6));
}

#[test]
fn streams_and_shores_are_penalty_areas() {
    let mut draw = Draw::hole();
    draw.line(
        &[[-100.0, 0.0], [100.0, 0.0]],
        json!({"golf": "lateral_water_hazard", "width": "6"}),
    );
    // OpenStreetMap, natural=coastline: the land is on the left, water on the right.
    draw.line(
        &[[-60.0, 250.0], [-60.0, -250.0]],
        json!({"natural": "coastline"}),
    );
    let hole = draw.only();
    assert_eq!(draw.surface(&hole, [0.0, 2.9]), Surface::PenaltyRed);
    assert_eq!(draw.surface(&hole, [0.0, 3.1]), Surface::Rough);
    assert_eq!(draw.surface(&hole, [-61.0, 50.0]), Surface::PenaltyRed);
    assert_eq!(draw.surface(&hole, [-59.0, 50.0]), Surface::Rough);
    assert!(
        hole.notes
            .iter()
            .any(|note| note.text.contains("coastline"))
    );
}

/// OpenStreetMap, natural=coastline: land on the left, so that an island's shore runs
/// counter-clockwise; an area keeps no direction, and the hole is on land.
#[test]
fn the_sea_around_an_island_is_no_part_of_it() {
    let island = [
        [-80.0, -400.0],
        [80.0, -400.0],
        [80.0, 400.0],
        [-80.0, 400.0],
        [-80.0, -400.0],
    ];
    for as_area in [false, true] {
        let mut draw = Draw::hole();
        let tags = json!({"natural": "coastline"});
        if as_area {
            draw.area(&[&island[..4]], tags);
        } else {
            draw.line(&island, tags);
        }
        let hole = draw.only();
        assert_eq!(draw.surface(&hole, [-79.0, 50.0]), Surface::Rough);
        assert_eq!(draw.surface(&hole, [-81.0, 50.0]), Surface::PenaltyRed);
        assert!(
            hole.notes
                .iter()
                .any(|note| note.text.contains("coastline"))
        );
    }
    // The other way round it is a lagoon, and so is an area without the hole.
    let lagoon = [
        [20.0, -50.0],
        [20.0, 50.0],
        [80.0, 50.0],
        [80.0, -50.0],
        [20.0, -50.0],
    ];
    for as_area in [false, true] {
        let mut draw = Draw::hole();
        let tags = json!({"natural": "coastline"});
        if as_area {
            draw.area(&[&lagoon[..4]], tags);
        } else {
            draw.line(&lagoon, tags);
        }
        let hole = draw.only();
        assert_eq!(draw.surface(&hole, [50.0, 0.0]), Surface::PenaltyRed);
        assert_eq!(draw.surface(&hole, [-50.0, 0.0]), Surface::Rough);
    }
}

/// A shore drawn the wrong way round puts the whole hole under water: that is said.
#[test]
fn a_hole_in_the_sea_is_questioned() {
    let mut draw = Draw::hole();
    draw.line(
        &[[-60.0, -250.0], [-60.0, 250.0]],
        json!({"natural": "coastline"}),
    );
    let hole = draw.only();
    let told = |words: &str| hole.notes.iter().any(|note| note.text.contains(words));
    assert!(told("on the sea's side of this coastline"));
}

#[test]
fn a_line_of_play_cut_at_the_180th_meridian_is_joined() {
    // RFC 7946 §3.1.9: such lines should be cut in two.
    let mut draw = Draw::at(180.0, 0.0);
    draw.add(
        "MultiLineString",
        json!([
            [[179.9985, 0.0], [180.0, 0.0]],
            [[-180.0, 0.0], [-179.9985, 0.0]]
        ]),
        json!({"golf": "hole", "ref": "1"}),
    );
    draw.point([-166.97, 0.0], json!({"golf": "tee"}));
    draw.area(
        &[&boxed(157.0, -10.0, 177.0, 10.0)],
        json!({"golf": "green"}),
    );
    let hole = draw.only();
    // 0.003 degrees of the equator, whose radius is 6 378 137 m.
    let expected = 0.003_f64.to_radians() * 6_378_137.0;
    assert!((hole.length_m - expected).abs() < 0.1, "{}", hole.length_m);
}

#[test]
fn a_doglegs_length_runs_by_its_corner_from_any_tee() {
    let mut draw = Draw::at(8.0, 47.0);
    draw.line(
        &[[0.0, 0.0], [0.0, 200.0], [150.0, 200.0]],
        json!({"golf": "hole", "ref": "1", "par": "4"}),
    );
    draw.point([0.0, -20.0], json!({"golf": "tee", "tee": "black"}));
    draw.point([0.0, 0.0], json!({"golf": "tee", "tee": "white"}));
    draw.point([0.0, 90.0], json!({"golf": "tee", "tee": "red"}));
    draw.area(
        &[&boxed(140.0, 190.0, 160.0, 210.0)],
        json!({"golf": "green"}),
    );
    draw.point([150.0, 200.0], json!({"golf": "pin"}));
    let hole = draw.only();
    let colours: Vec<&str> = hole
        .tees
        .iter()
        .map(|tee| tee.colours[0].as_str())
        .collect();
    assert_eq!(colours, ["black", "white", "red"], "longest first");
    for (colour, expected) in [("black", 370.0), ("white", 350.0), ("red", 260.0)] {
        let length_m = hole.length_from_m(hole.tee(Some(colour)).unwrap());
        assert!((length_m - expected).abs() < 0.05, "{colour} {length_m}");
    }
    assert_eq!(hole.tee(None).unwrap().colours, ["white"]);
    assert!((hole.length_m - 350.0).abs() < 0.05);
}

#[test]
fn the_summary_counts_what_was_read() {
    let mut draw = Draw::hole();
    draw.area(
        &[&boxed(-20.0, -100.0, 20.0, 100.0)],
        json!({"golf": "fairway"}),
    );
    draw.area(&[&boxed(25.0, 0.0, 35.0, 10.0)], json!({"golf": "bunker"}));
    let summary = summarise(&draw.course());
    assert_eq!(summary.holes.len(), 1);
    assert_eq!(summary.holes[0].areas, [1, 1, 1, 0, 0, 0]);
    assert!((summary.holes[0].length_m - 320.0).abs() < 0.05);
    let text = summary_text(&summary, LengthUnit::Metres);
    assert!(text.starts_with("drawn.geojson: 1 hole\n"), "{text}");
    assert!(
        text.contains(
            "1       4     320        1     1      1       0   0    0    0  – (markers assumed)"
        ),
        "{text}"
    );
}
