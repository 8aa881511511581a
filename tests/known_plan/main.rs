//! A plan assembled on a hole laid out by hand, against the layout's own
//! numbers; its schema; its mirror image. Plans of short holes and of few clubs.

#[path = "../common/mod.rs"]
mod common;
mod few_clubs;
mod layout;
mod robust;
mod short_holes;
mod usual_ball;

use bendline::plan::{self, LonLat};
use bendline::report;
use bendline::units::{LengthUnit, YARD_M};
use layout::Layout;

fn swapped(text: &str) -> String {
    text.replace("left", "·")
        .replace("right", "left")
        .replace('·', "right")
}

/// Aim 2.7° right from 2.6 m left of the middle passes 7.54 m right of centre
/// at 215 m, 8 yd; balls bend 12 m, 13 yd; the mean finish is
/// −2.6 + 232 sin 3.2° − 12 cos 3.2° = −1.63 m, 2 yd left. The right edge of the
/// far bunker is its near corner 9.8 m right at 250 m: 2.84° right of north from
/// the peg, 0.14° right of the aim: on it.
#[test]
fn the_sentence() {
    let plan = Layout::new(1.0).plan(LengthUnit::Yards);
    assert_eq!(
        plan.words.sentence,
        "Driver, your draw. Peg 1.5 yd in from the left marker. Aim at the right edge of the far \
         bunker, 8 right of the middle; it starts 2 right of that, draws 13, ends 2 left of the \
         middle."
    );
    let plan = Layout::new(1.0).plan(LengthUnit::Metres);
    assert_eq!(
        plan.words.sentence,
        "Driver, your draw. Peg 1.4 m in from the left marker. Aim at the right edge of the far \
         bunker, 8 right of the middle; it starts 2 right of that, draws 12, ends 2 left of the \
         middle."
    );
}

#[test]
fn measurements() {
    let plan = Layout::new(1.0).plan(LengthUnit::Yards);
    let choice = &plan.choice.shot;
    assert!(
        (plan.hole.length_m - 380.0).abs() < 0.02,
        "{}",
        plan.hole.length_m
    );
    assert!((plan.hole.teeing_width_m - 8.0).abs() < 0.01);
    // Two club-lengths of 46 in: Model Local Rule G-10.
    assert!((plan.hole.teeing_depth_m - 2.3368).abs() < 1e-9);
    assert!((choice.aim.from_line_of_play_deg - 2.7).abs() < 0.011);
    assert!((choice.start_line.from_line_of_play_deg - 3.2).abs() < 0.011);
    assert!(
        (choice.aim.right_of_centre_m - (215.0 * 2.7_f64.to_radians().tan() - 2.6)).abs() < 0.1
    );
    assert!((choice.curve_m + 12.0).abs() < 0.05, "{}", choice.curve_m);
    assert!((choice.aim.target_right_deg - 0.14).abs() < 0.011);
    for (got, want) in plan.choice.aim_window_deg.iter().zip([1.7, 4.2]) {
        assert!((got - want).abs() < 0.011, "{got} for {want}");
    }
    // The normal share of balls that bend right: 12 m of 12 m spread, Φ(−1) = 0.1587.
    assert!((plan.choice.two_way_miss.right - 0.1587).abs() < 0.005);
    for width in &plan.widths {
        // Beyond the far bunker's near edge only what is left of it counts.
        assert!((width.width_m - 36.0).abs() < 0.02, "{width:?}");
    }
    let names: Vec<&str> = plan.widths.iter().map(|w| w.place).collect();
    // Balls finish 3 m short of "long": not worth a line of its own.
    assert_eq!(names, ["short", "landing", "long"]);
    let carries: Vec<(&str, i32, i32)> = plan
        .carries
        .iter()
        .map(|c| {
            (
                c.words.as_str(),
                c.reach_m.round() as i32,
                c.clear_m.round() as i32,
            )
        })
        .collect();
    assert_eq!(carries[0], ("water", 120, 132));
    assert_eq!(carries[1].0, "near bunker");
    // The line of the ball bears 3.2° right and bends back: along it a square
    // edge at 250 m is within half a metre of 250 m.
    assert_eq!(carries[2].0, "far bunker");
    assert!(
        (plan.carries[2].reach_m - 250.0).abs() < 1.0,
        "{:?}",
        plan.carries[2]
    );
    let at = |words: &str| plan.carries.iter().find(|c| c.words == words);
    assert!(at("near bunker").is_some_and(|c| c.offset_m < -10.0));
    let bunkers: f64 = plan
        .carries
        .iter()
        .filter(|c| c.kind == "bunker")
        .map(|c| c.share)
        .sum();
    assert!((bunkers - choice.finish.bunker).abs() < 1e-3);
    assert_eq!(plan.choice.ties, ["driver, your fade"]);
    assert_eq!(plan.finishes.balls.len(), 200);
    assert_eq!(
        plan.finishes.flight.len(),
        plan.finishes.flight_height_m.len()
    );
    assert!(plan.finishes.flight_airborne <= plan.finishes.flight.len());
}

/// Share of the balls drawn inside rings on longitude and latitude: even-odd.
fn inside(rings: &[Vec<LonLat>], at: LonLat) -> bool {
    rings
        .iter()
        .flat_map(|r| r.windows(2))
        .fold(false, |odd, edge| {
            let (a, b) = (edge[0], edge[1]);
            let crosses = (a.lat > at.lat) != (b.lat > at.lat)
                && at.lon < a.lon + (b.lon - a.lon) * (at.lat - a.lat) / (b.lat - a.lat);
            odd != crosses
        })
}

#[test]
fn regions_hold_what_they_say() {
    let plan = Layout::new(1.0).plan(LengthUnit::Yards);
    for (rings, share) in [(&plan.finishes.half, 0.5), (&plan.finishes.ninety, 0.9)] {
        let held = plan
            .finishes
            .balls
            .iter()
            .filter(|b| inside(rings, **b))
            .count();
        // 200 balls: three standard errors are 11 and 6 points.
        let off = (held as f64 / 200.0 - share).abs();
        assert!(
            off < 3.0 * (share * (1.0 - share) / 200.0_f64).sqrt(),
            "{held} of 200"
        );
        assert!(rings.iter().all(|r| r.first() == r.last()));
    }
}

#[test]
fn the_plan_file_keeps_its_schema() {
    let schema: serde_json::Value = serde_json::from_str(plan::SCHEMA).expect("the schema is JSON");
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&schema).expect("the schema compiles");
    for (side, unit) in [(1.0, LengthUnit::Yards), (-1.0, LengthUnit::Metres)] {
        let text = report::json(&Layout::new(side).plan(unit));
        let file: serde_json::Value = serde_json::from_str(&text).expect("the plan file is JSON");
        let errors: Vec<String> = validator
            .iter_errors(&file)
            .map(|e| format!("{}: {e}", e.instance_path()))
            .collect();
        assert_eq!(errors, Vec::<String>::new());
        assert!(
            !text.contains("-0.0,") && !text.contains("-0.0\n"),
            "negative zero"
        );
        let shots = std::iter::once(&file["choice"])
            .chain(file["alternatives"].as_array().into_iter().flatten())
            .chain(file["comparisons"].as_array().into_iter().flatten());
        let mut count = 0;
        for shot in shots {
            count += 1;
            let sum: f64 = shot["finish"]
                .as_object()
                .into_iter()
                .flat_map(|o| o.values())
                .filter_map(serde_json::Value::as_f64)
                .sum();
            assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        }
        assert_eq!(count, 5);
        // The schema is strict: a key more, a key less or a share above 1 is an error.
        for (pointer, value) in [
            ("/choice/extra", serde_json::json!(1)),
            ("/choice/finish/fairway", serde_json::json!(1.1)),
            ("/alternatives/0/costs", serde_json::json!("1")),
        ] {
            let mut bad = file.clone();
            let (parent, key) = pointer.rsplit_once('/').expect("a path");
            bad.pointer_mut(parent).expect("it is there")[key] = value;
            assert!(!validator.is_valid(&bad), "{pointer}");
        }
        let mut bad = file.clone();
        bad["choice"]
            .as_object_mut()
            .expect("an object")
            .remove("curve_m");
        assert!(!validator.is_valid(&bad));
    }
}

/// Every key of the plan file that the design promises.
#[test]
fn promised_keys() {
    let file: serde_json::Value =
        serde_json::from_str(&report::json(&Layout::new(1.0).plan(LengthUnit::Yards)))
            .expect("JSON");
    for key in [
        "hole/ref",
        "hole/par",
        "hole/length_m",
        "conditions",
        "player",
    ] {
        assert!(file.pointer(&format!("/{key}")).is_some(), "{key}");
    }
    for shot in ["choice", "alternatives/0", "comparisons/1"] {
        for key in [
            "club",
            "shape",
            "tee/from_left_marker_m",
            "tee/behind_front_m",
            "tee/lon",
            "tee/lat",
            "aim/bearing_deg",
            "aim/from_line_of_play_deg",
            "aim/lon",
            "aim/lat",
            "aim/distance_m",
            "aim/words",
            "start_line/bearing_deg",
            "start_line/from_line_of_play_deg",
            "curve_m",
            "rest/lon",
            "rest/lat",
            "expected_strokes",
            "standard_error",
            "finish/fairway",
            "finish/rough",
            "finish/bunker",
            "finish/green",
            "finish/trees",
            "finish/penalty_area",
            "finish/out_of_bounds",
        ] {
            assert!(
                file.pointer(&format!("/{shot}/{key}")).is_some(),
                "{shot}/{key}"
            );
        }
    }
    for key in [
        "aim_window_deg/1",
        "two_way_miss/left",
        "two_way_miss/right",
    ] {
        assert!(file.pointer(&format!("/choice/{key}")).is_some(), "{key}");
    }
}

/// The mirrored hole with the mirrored shot of a left-hander has the mirrored
/// plan: words with left and right exchanged, numbers with the sign exchanged.
#[test]
fn mirrored() {
    let plan = Layout::new(1.0).plan(LengthUnit::Yards);
    let twin = Layout::new(-1.0).plan(LengthUnit::Yards);
    assert_eq!(twin.player.handedness, "left");
    assert_eq!(twin.words.sentence, swapped(&plan.words.sentence));
    assert_eq!(twin.words.why.len(), plan.words.why.len());
    for (a, b) in plan.words.why.iter().zip(&twin.words.why) {
        // Told from left to right: its two halves change places.
        let halves = |line: &str| -> Option<[String; 2]> {
            let (left, rest) = line.strip_prefix("Safe ")?.split_once(" left, ")?;
            Some([left.to_owned(), rest.split_once(" right:")?.0.to_owned()])
        };
        if let Some([left, right]) = halves(a) {
            assert_eq!(halves(b), Some([right, left]));
            continue;
        }
        assert_eq!(*b, swapped(a));
    }
    let (a, b) = (&plan.choice, &twin.choice);
    let near = |x: f64, y: f64| assert!((x - y).abs() < 0.02, "{x} for {y}");
    near(
        b.shot.aim.from_line_of_play_deg,
        -a.shot.aim.from_line_of_play_deg,
    );
    near(
        b.shot.start_line.from_line_of_play_deg,
        -a.shot.start_line.from_line_of_play_deg,
    );
    near(b.shot.curve_m, -a.shot.curve_m);
    near(b.shot.aim.right_of_centre_m, -a.shot.aim.right_of_centre_m);
    near(
        b.shot.rest_right_of_centre_m,
        -a.shot.rest_right_of_centre_m,
    );
    near(
        b.shot.tee.from_left_marker_m,
        8.0 - a.shot.tee.from_left_marker_m,
    );
    near(b.aim_window_deg[0], -a.aim_window_deg[1]);
    near(b.two_way_miss.left, a.two_way_miss.right);
    assert_eq!(plan.carries.len(), twin.carries.len());
    for (c, d) in plan.carries.iter().zip(&twin.carries) {
        assert_eq!(d.words, swapped(&c.words));
        near(d.reach_m, c.reach_m);
        near(d.clear_m, c.clear_m);
        near(d.offset_m, -c.offset_m);
        near(d.share, c.share);
    }
    for (c, d) in plan.widths.iter().zip(&twin.widths) {
        near(d.width_m, c.width_m);
    }
}

/// The same plan twice is the same bytes.
#[test]
fn same_bytes() {
    let one = report::json(&Layout::new(1.0).plan(LengthUnit::Yards));
    let two = report::json(&Layout::new(1.0).plan(LengthUnit::Yards));
    assert_eq!(one, two);
}

/// Nothing on the terminal is wider than asked for, and nothing is a control
/// character: it reads the same in a pipe.
#[test]
fn terminal_text() {
    let plan = Layout::new(1.0).plan(LengthUnit::Yards);
    let text = |width, full| {
        let look = report::Look::Plain;
        let setting = report::Setting { width, full, look };
        report::terminal(std::slice::from_ref(&plan), &setting)
    };
    for width in [60, 80, 100, 120] {
        let text = text(width, true);
        for line in text.lines() {
            assert!(line.chars().count() <= width, "{width}: {line}");
            assert!(!line.chars().any(char::is_control));
            assert_eq!(line.trim_end(), line);
        }
        for part in [
            "Where 100 balls end",
            "Other clubs",
            "Carries from the tee",
            "Take care",
        ] {
            assert!(text.contains(part), "{part}");
        }
    }
    let text = text(80, false);
    assert!(text.contains(&format!("par 4, {:.0} yd", 380.0 / YARD_M)));
    if std::env::var_os("SHOW").is_some() {
        eprintln!("{text}");
    }
}
