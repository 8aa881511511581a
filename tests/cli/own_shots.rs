//! Shots of the player's own beside the plan (`--instead`).

use super::*;

/// The plan as JSON, for these options.
fn plan(options: &[&str]) -> Value {
    let folder = folder();
    let done = bendline(folder.path(), &[&["plan", "--json"], options].concat());
    let error = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(0), "{error}");
    serde_json::from_slice(&done.stdout).expect("JSON")
}

fn number(value: &Value, key: &str) -> f64 {
    value[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} in {value}"))
}

/// What follows from the definitions: the plan's own club is the plan, another club alone is the
/// plan's row of that club, a named aim is the plan's row of that aim, and an aim at a thing is an
/// aim at its position.
#[test]
fn shots_that_the_plan_has_already() {
    let log = source(FEW_CLUBS);
    let found = plan(&[
        "--log",
        &log,
        "--instead",
        "driver",
        "--instead",
        "7-iron",
        "--instead",
        "driver, aim down the middle, peg middle",
        "--instead",
        "driver, aim 3deg left, peg middle",
        "--instead",
        "driver, aim at pin, peg left",
    ]);
    let schema: Value = serde_json::from_str(bendline::plan::SCHEMA).expect("a schema");
    let schema = jsonschema::validator_for(&schema).expect("a schema");
    let wrong: Vec<String> = schema.iter_errors(&found).map(|e| e.to_string()).collect();
    assert!(wrong.is_empty(), "{wrong:?}");

    let [own, another, middle, left, pin] =
        found["own_shots"].as_array().expect("shots").as_slice()
    else {
        panic!("five shots: {}", found["own_shots"]);
    };
    let choice = &found["choice"];
    assert_eq!(own["club"], choice["club"]);
    assert_eq!(
        (number(own, "costs"), number(own, "costs_standard_error")),
        (0.0, 0.0)
    );
    assert_eq!(own["expected_strokes"], choice["expected_strokes"]);
    assert_eq!(own["tee"], choice["tee"]);

    // The rows of a plan that was made without these shots, within what both leave open.
    let alone = plan(&["--log", &log]);
    let agree = |own: &Value, row: &Value| {
        let error = number(own, "costs_standard_error").hypot(number(row, "costs_standard_error"));
        let off = number(own, "costs") - number(row, "costs");
        assert!(off.abs() < 3.0 * error, "{off} {error}");
        assert!(number(own, "costs") > 0.0);
    };
    let rows = alone["alternatives"].as_array().expect("alternatives");
    let row = rows.iter().find(|row| row["club"] == another["club"]);
    let row = row.expect("a row");
    assert_eq!(another["tee"], row["tee"]);
    assert_eq!(another["aim"]["bearing_deg"], row["aim"]["bearing_deg"]);
    agree(another, row);
    // From the middle of the tee, where the plan pegs it.
    let named = &alone["comparisons"][0];
    assert_eq!(named["name"], "down the middle");
    assert_eq!(named["tee"], choice["tee"], "the plan pegs midway");
    assert_eq!(middle["aim"], named["aim"]);
    agree(middle, named);
    // Beside these shots the plan's own rows have their figures: one value for one shot.
    let rows = found["alternatives"].as_array().expect("alternatives");
    let row = rows.iter().find(|row| row["club"] == another["club"]);
    for (own, row) in [
        (another, row.expect("a row")),
        (middle, &found["comparisons"][0]),
    ] {
        for key in ["aim", "expected_strokes", "costs", "costs_standard_error"] {
            assert_eq!(own[key], row[key], "{key}");
        }
    }

    assert!((number(left, "aim_right_of_plan_deg") + 3.0).abs() < 0.011);
    let aim = pin["aim"]["bearing_deg"].as_f64().expect("a bearing");
    assert!(pin["tee"]["from_left_marker_m"].as_f64().expect("a peg") < 0.5);
    let at = &found["hole"]["pin"];
    let position = format!("driver, aim at {} {}, peg left", at["lon"], at["lat"]);
    let again = plan(&["--log", &log, "--instead", &position]);
    let there = again["own_shots"][0]["aim"]["bearing_deg"]
        .as_f64()
        .expect("a bearing");
    assert!((there - aim).abs() < 0.011, "{there} {aim}");
    // The plan is the same beside another shot.
    assert_eq!(again["choice"], found["choice"]);
}

/// Every figure by the published table alone, and every objective by the whole hole.
#[test]
fn by_the_table_and_for_par() {
    let log = source(FEW_CLUBS);
    let table = plan(&["--log", &log, "--worth", "table", "--instead", "7i"]);
    let own = &table["own_shots"][0];
    assert_eq!(own["by_aim_of_play"].as_array().map(Vec::len), Some(0));
    assert!(number(own, "costs") > 0.1);

    let par = plan(&["--log", &log, "--for", "par", "--instead", "7i"]);
    let own = &par["own_shots"][0];
    let aims = own["by_aim_of_play"].as_array().expect("objectives");
    let of = |aim: &str| {
        aims.iter()
            .find(|by| by["aim"] == aim)
            .expect("an objective")
    };
    assert!(
        number(of("par"), "costs") > 0.1,
        "a 7-iron loses pars on a hole of 424 yd"
    );
    assert!((number(of("strokes"), "costs") - number(own, "costs")).abs() < 1e-9);
}

/// The chances of a wild shot go with its strokes: scores of two over par and more make a mean of at
/// least (1 - p) (par + 2) + 2 p, p the chance of bogey or better, for a hole takes two strokes.
#[test]
fn chances_go_with_the_strokes() {
    let log = source(FEW_CLUBS);
    let found = plan(&["--log", &log, "--instead", "driver, aim 40deg left"]);
    let own = &found["own_shots"][0];
    let facts = found["whole_hole"]["aims_of_play"]
        .as_array()
        .expect("objectives");
    let costs = own["by_aim_of_play"].as_array().expect("objectives");
    let chance = |aim: &str| {
        let of = |all: &[Value]| {
            all.iter()
                .find(|by| by["aim"] == aim)
                .cloned()
                .expect("one")
        };
        number(&of(facts), "worth_of_plan") - number(&of(costs), "costs")
    };
    let (par, mean) = (4.0, number(own, "expected_strokes"));
    let [at_par, no_double] = ["par", "no-double"].map(chance);
    assert!(mean > 4.3, "{mean}");
    assert!((0.0..=no_double).contains(&at_par), "{at_par} {no_double}");
    assert!(no_double >= (par + 2.0 - mean) / par, "{no_double} {mean}");
}

/// Things in fewer words than the map's, an aim beside one, and a shape in a part of its own.
#[test]
fn shots_as_people_say_them() {
    let log = source(FEW_CLUBS);
    let found = plan(&[
        "--log",
        &log,
        "--worth",
        "table",
        "--instead",
        "driver, aim at far bunker, peg middle",
        "--instead",
        "Hole 1: driver, draw, aim 5 yards left of the far bunker, peg center",
    ]);
    let [at, beside] = found["own_shots"].as_array().expect("shots").as_slice() else {
        panic!("two shots");
    };
    let turned = number(&beside["aim"], "bearing_deg") - number(&at["aim"], "bearing_deg");
    // The far bunker is 242 yd off (the plan's carries): 5 yd there are 1.2 degrees.
    assert!((turned + 1.2).abs() < 0.15, "{turned}");
    assert_eq!(at["tee"], beside["tee"]);
}

/// A drawing for every shot, words in the terminal, and a page in the book.
#[test]
fn it_is_drawn_and_said() {
    let folder = folder();
    let log = source(FEW_CLUBS);
    let shots = [
        "--log",
        &log,
        "--instead",
        "7i",
        "--instead",
        "1: driver, aim 10yd left",
    ];
    let done = bendline(folder.path(), &[&["plan", "--full"], &shots[..]].concat());
    assert_eq!(done.status.code(), Some(0));
    let text = String::from_utf8(done.stdout).expect("text");
    for words in [
        "Your own shots instead",
        "1. 7-iron",
        "2. driver",
        "more than the plan.",
    ] {
        assert!(text.contains(words), "{words} in {text}");
    }
    let out = folder.path().join("out");
    assert_eq!(
        names(&out),
        [
            "hole-1-instead-1.svg",
            "hole-1-instead-2.svg",
            "hole-1.json",
            "hole-1.svg"
        ]
    );
    let page = fs::read_to_string(out.join("hole-1-instead-2.svg")).expect("a drawing");
    assert!(page.contains("your own shot, not the plan"));
    assert!(
        fs::read_to_string(out.join("hole-1.svg"))
            .expect("a drawing")
            .contains("yours: 7-iron")
    );

    let book = |options: &[&str]| {
        let common = [
            "book",
            "--log",
            &log,
            "--no-turns",
            "--worth",
            "table",
            "--out",
            "b.pdf",
        ];
        let done = bendline(folder.path(), &[&common[..], options].concat());
        assert_eq!(done.status.code(), Some(0));
        let bytes = fs::read(folder.path().join("b.pdf")).expect("a book");
        lopdf::Document::load_mem(&bytes)
            .expect("a PDF")
            .get_pages()
            .len()
    };
    assert_eq!(book(&["--instead", "7i"]), book(&[]) + 1);
}

/// A length asked for off the plan's aim is the length told, and a shape that the bag lacks is
/// told as that.
#[test]
fn it_is_told_as_it_was_asked() {
    let folder = folder();
    let log = source(FEW_CLUBS);
    for shot in ["5w, aim 10yd left", "driver, aim 10yd left"] {
        let done = bendline(folder.path(), &["plan", "--log", &log, "--instead", shot]);
        let text = String::from_utf8(done.stdout).expect("text");
        assert!(text.contains(", 10 left of the plan"), "{shot}: {text}");
    }
    let options = [
        "plan",
        "--log",
        &log,
        "--instead",
        "driver slice, aim 10yd left",
    ];
    let done = bendline(folder.path(), &options);
    let error = String::from_utf8(done.stderr).expect("text");
    assert!(
        error.contains("remedy:   your driver has only a ") && !error.contains("put a comma"),
        "{error}"
    );
}

/// Problems of every shot at once, with what there is instead, and nothing is written.
#[test]
fn what_there_is_not_is_said() {
    let folder = folder();
    let log = source(FEW_CLUBS);
    let shots = [
        "9-wood",
        "driver, aim at Castle",
        "8: driver",
        "driver, peg 40yd from left",
        "driver, aim at 1 1",
    ];
    let mut options = vec!["plan", "--log", &log];
    for shot in shots {
        options.extend(["--instead", shot]);
    }
    let done = bendline(folder.path(), &options);
    assert_eq!(done.status.code(), Some(1));
    let error = String::from_utf8(done.stderr).expect("text");
    for words in [
        "found:    \"9-wood\"\n  remedy:   the bag holds driver, your ",
        "expected: something on hole 1\n",
        "there are: pin, third wood on the right, ",
        ", Lone Oak, Corner Wood; with ",
        "found:    hole \"8\"\n  remedy:   planned: hole 1\n",
        "on hole 1 they stand 7.0 yd apart",
        "take longitude and latitude from the map of this hole",
        "5 problems",
    ] {
        assert!(error.contains(words), "{words} in {error}");
    }
    assert!(names(folder.path()).is_empty());
    let done = bendline(folder.path(), &["plan", "--instead", "driver, 5 left"]);
    assert_eq!(done.status.code(), Some(2));
}
