//! `check` walks a beginner from an empty file to a plan, one next thing at a time.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use crate::{ONE_CLUB, bendline, names, text};

/// What stands after `next: `, and the exit code.
fn next(folder: &Path, files: &[&str]) -> (String, Option<i32>) {
    let run = bendline(folder, &[&["check"], files].concat());
    let said = text(&run.stderr);
    let lines: Vec<&str> = said
        .lines()
        .filter_map(|line| line.strip_prefix("next: "))
        .collect();
    assert_eq!(lines.len(), 1, "not one next thing in:\n{said}");
    assert!(said.trim_end().ends_with(lines[0]), "not the last word");
    (lines[0].to_owned(), run.status.code())
}

fn feature(tags: Value, kind: &str, coordinates: Value) -> Value {
    json!({"type": "Feature", "properties": tags,
        "geometry": {"type": kind, "coordinates": coordinates}})
}

fn square(lon: f64, lat: f64, half: f64) -> Value {
    let (w, e) = (lon - half, lon + half);
    let (s, n) = (lat - half / 2.0, lat + half / 2.0);
    json!([[[w, s], [e, s], [e, n], [w, n], [w, s]]])
}

#[test]
fn from_an_empty_file_to_a_plan() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("my.geojson");
    let mut features: Vec<Value> = Vec::new();
    let step = |features: &[Value], words: &str, code: i32| {
        let file = json!({"type": "FeatureCollection", "features": features});
        fs::write(&path, file.to_string()).expect("a file");
        let (said, ended) = next(folder.path(), &["my.geojson"]);
        assert!(said.starts_with(words), "expected {words}…, found: {said}");
        assert_eq!(ended, Some(code), "{said}");
    };

    fs::write(&path, "").expect("a file");
    let (said, code) = next(folder.path(), &["my.geojson"]);
    assert!(said.starts_with("draw the line of play"), "{said}");
    assert_eq!(code, Some(1));
    fs::write(&path, "\n").expect("a file");
    assert!(
        next(folder.path(), &["my.geojson"])
            .0
            .starts_with("draw the line of play")
    );

    step(&features, "draw the line of play", 1);
    features.push(feature(
        json!({"golf": "hole", "ref": "1", "par": "4"}),
        "LineString",
        json!([[10.0, 50.0], [10.0, 50.003]]),
    ));
    step(&features, "draw the green", 1);
    features.push(feature(
        json!({"golf": "green"}),
        "Polygon",
        square(10.0, 50.003, 2e-4),
    ));
    step(&features, "draw the tee", 1);
    features.push(feature(
        json!({"golf": "tee"}),
        "Point",
        json!([10.0, 50.0]),
    ));
    step(&features, "draw the fairway of hole 1", 0);
    features.push(feature(
        json!({"golf": "fairway"}),
        "Polygon",
        square(10.0, 50.0017, 3e-4),
    ));
    step(&features, "draw what can hurt on hole 1", 0);
    features.push(feature(
        json!({"golf": "bunker"}),
        "Polygon",
        square(10.0006, 50.0017, 1e-4),
    ));
    step(&features, "bendline plan my.geojson", 0);

    // The player: a log from nothing, then a player file, then the plan itself.
    let log = folder.path().join("my.csv");
    let row = |text: &str, words: &str, code: i32| {
        fs::write(&log, text).expect("a file");
        let (said, ended) = next(folder.path(), &["my.csv"]);
        assert!(said.starts_with(words), "expected {words}…, found: {said}");
        assert_eq!(ended, Some(code), "{said}");
    };
    row("", "write a heading line", 1);
    row("club,carry,side_yd\n", "mend the first problem", 1);
    row("club,carry_yd,side_yd\n", "add a row for each shot", 1);
    let mut rows = String::from("club,carry_yd,side_yd\ndriver,230,-6\n");
    row(&rows, "log more shots: ", 0);
    for k in 0..29 {
        rows.push_str(&format!("driver,{},{}\n", 226 + k % 9, k % 17 - 9));
    }
    row(&rows, "bendline shape my.csv --out me.json", 0);

    fs::write(folder.path().join("me.json"), ONE_CLUB).expect("a player");
    let (said, code) = next(folder.path(), &["my.geojson", "me.json"]);
    assert_eq!(said, "bendline plan my.geojson --player me.json");
    assert_eq!(code, Some(0));
    followed(folder.path(), &said);
    fs::remove_dir_all(folder.path().join("out")).expect("a folder");
    let words: Vec<&str> = said.split(' ').skip(1).collect();
    let run = bendline(folder.path(), &words);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let out = names(&folder.path().join("out"));
    assert_eq!(out, ["hole-1.json", "hole-1.svg"]);
}

/// Names that a shell would take apart come back as one word.
#[test]
fn the_command_can_be_pasted() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("it's; me.json"), ONE_CLUB).expect("a player");
    let (said, _) = next(folder.path(), &["it's; me.json"]);
    assert_eq!(said, "bendline plan --player 'it'\\''s; me.json'");
    followed(folder.path(), &said);
}

/// Runs a command as it is printed, in a shell.
#[cfg(unix)]
fn followed(folder: &Path, command: &str) {
    let bin = tempfile::tempdir().expect("a folder");
    let program = bin.path().join("bendline");
    std::os::unix::fs::symlink(env!("CARGO_BIN_EXE_bendline"), program).expect("a link");
    let usual = std::env::var("PATH").unwrap_or_default();
    let run = std::process::Command::new("sh")
        .current_dir(folder)
        .env("PATH", format!("{}:{usual}", bin.path().display()))
        .args(["-c", command])
        .stdin(std::process::Stdio::null())
        .output()
        .expect("a shell");
    let said = text(&run.stderr);
    assert_eq!(run.status.code(), Some(0), "{command}\n{said}");
}

#[cfg(not(unix))]
fn followed(_: &Path, _: &str) {}

/// A place in metres of EPSG:25834, east and north.
const IN_METRES: [f64; 2] = [360_000.0, 5_810_000.0];

/// A hole in metres of EPSG:25834, from a tee to a green 300 m north of it.
fn hole_in_metres() -> String {
    let at = |east: f64, north: f64| json!([IN_METRES[0] + east, IN_METRES[1] + north]);
    let square = |east: f64, north: f64, half: f64| {
        let (w, e, s, n) = (east - half, east + half, north - half, north + half);
        json!([[at(w, s), at(e, s), at(e, n), at(w, n), at(w, s)]])
    };
    let tags = |golf: &str| json!({"golf": golf});
    let features = [
        feature(
            json!({"golf": "hole", "ref": "1", "par": "4"}),
            "LineString",
            json!([at(0.0, 0.0), at(0.0, 300.0)]),
        ),
        feature(tags("green"), "Polygon", square(0.0, 300.0, 12.0)),
        feature(tags("tee"), "Polygon", square(0.0, 0.0, 4.0)),
        feature(tags("fairway"), "Polygon", square(0.0, 200.0, 20.0)),
        feature(tags("bunker"), "Polygon", square(30.0, 200.0, 5.0)),
    ];
    json!({"type": "FeatureCollection", "features": features}).to_string()
}

/// The next command repeats the options that its files need.
#[test]
fn the_next_command_works_word_for_word() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    fs::write(folder.join("map.geojson"), hole_in_metres()).expect("a map");
    fs::write(folder.join("me.json"), ONE_CLUB).expect("a player");
    let mut rows = String::from("club;carry_yd;side_yd\n");
    for k in 0..30 {
        rows.push_str(&format!("driver;{},5;{},5\n", 226 + k % 9, k % 17 - 9));
    }
    fs::write(folder.join("my log.csv"), rows).expect("a log");
    let grid = "10 10 10 10\n".repeat(4);
    let grid =
        format!("ncols 4\nnrows 4\nxllcorner 359700\nyllcorner 5809700\ncellsize 250\n{grid}");
    fs::write(folder.join("ground.asc"), grid).expect("heights");
    fs::write(folder.join("day.toml"), "wind = \"5mph@240\"\n").expect("a round");
    let crs = ["--crs", "EPSG:25834"];
    let written = ["--delimiter", "semicolon", "--decimal", "comma"];
    let cases: [(&[&str], &[&str], &str); 6] = [
        (
            &["map.geojson", "me.json"],
            &crs,
            "bendline plan map.geojson --crs EPSG:25834 --player me.json",
        ),
        (
            &["map.geojson", "my log.csv"],
            &[crs, ["--decimal", "comma"]].concat(),
            "bendline plan map.geojson --crs EPSG:25834 --log 'my log.csv' --decimal comma",
        ),
        (
            &["my log.csv"],
            &written,
            "bendline shape 'my log.csv' --delimiter semicolon --decimal comma --out me.json",
        ),
        (
            &["map.geojson", "me.json", "ground.asc", "day.toml"],
            &crs,
            "bendline plan map.geojson --crs EPSG:25834 --player me.json --round day.toml \
             --heights ground.asc",
        ),
        (
            &["me.json"],
            &["--it-is-so", "hand,gale"],
            "bendline plan --player me.json --it-is-so hand,gale",
        ),
        (
            &["map.geojson"],
            &["--crs", "+proj=utm +zone=34 +datum=WGS84"],
            "bendline plan map.geojson --crs '+proj=utm +zone=34 +datum=WGS84'",
        ),
    ];
    for (files, options, command) in cases {
        let (said, code) = next(folder, &[files, options].concat());
        assert_eq!(said, command);
        assert_eq!(code, Some(0), "{said}");
        followed(folder, &said);
    }
    // Without the hole file nothing can follow.
    let (said, code) = next(folder, &["day.toml", "ground.asc", "--crs", "EPSG:25834"]);
    assert_eq!(
        said,
        "check day.toml and ground.asc again, together with the hole file that it belongs to"
    );
    assert_eq!(code, Some(0));
}

/// The last lines of a command's errors.
fn errors(run: &std::process::Output) -> String {
    let said = text(&run.stderr);
    let first = said.find("error: ").unwrap_or(said.len());
    let lines = said[first..]
        .lines()
        .filter(|line| !line.starts_with("next: "));
    lines.collect::<Vec<_>>().join("\n")
}

/// What `plan` refuses of sound files together, `check` finds, in the same words.
#[test]
fn check_passes_nothing_that_plan_refuses() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let file = |name: &str, text: &str| fs::write(folder.join(name), text).expect("a file");
    file("map.geojson", &hole_in_metres());
    file("me.json", ONE_CLUB);
    // The colour of no tee, the pin of no hole, a pin off the green, strokes without an index.
    file("tees.toml", "tees = \"white\"\n");
    file("pins.toml", "[pins]\n7 = \"8,4L\"\n");
    file("off.toml", "[pins]\n1 = \"80,4L\"\n");
    file("receives.toml", "play_for = \"points\"\nreceives = 14\n");
    file(
        "elsewhere.asc",
        "ncols 2\nnrows 2\nxllcorner 300000\nyllcorner 5800000\ncellsize 90\n1 2\n3 4\n",
    );
    let hole = ["map.geojson", "--crs", "EPSG:25834"];
    for (option, name, words) in [
        ("--round", "tees.toml", "tee"),
        ("--round", "pins.toml", "a hole of the course"),
        ("--round", "off.toml", "pins, hole 1"),
        ("--round", "receives.toml", "a stroke index"),
        ("--heights", "elsewhere.asc", "heights all over hole 1"),
    ] {
        let player = ["--player", "me.json", option, name];
        let plan = bendline(folder, &[&["plan"], &hole[..], &player].concat());
        let planned = errors(&plan);
        assert_eq!(plan.status.code(), Some(1), "{name}: {planned}");
        assert!(planned.contains(words), "{name}: {planned}");
        let check = bendline(
            folder,
            &[&["check"], &hole[..], &["me.json", name]].concat(),
        );
        assert_eq!(check.status.code(), Some(1), "{name}");
        assert_eq!(errors(&check), planned, "{name}");
        assert!(
            text(&check.stderr)
                .ends_with("next: mend the first problem above: the others may go with it\n")
        );
    }
    // A log of nothing that can be fitted, alone and with a map.
    file("putts.csv", "club,carry_yd,side_yd\nputter,0,0\n");
    let plan = bendline(folder, &["plan", "--log", "putts.csv"]);
    let planned = errors(&plan);
    assert_eq!(plan.status.code(), Some(1), "{planned}");
    assert!(
        planned.contains("at least one shot that a club can hit"),
        "{planned}"
    );
    for files in [
        &["putts.csv"][..],
        &["putts.csv", "map.geojson", "--crs", "EPSG:25834"],
    ] {
        let check = bendline(folder, &[&["check"], files].concat());
        assert_eq!(check.status.code(), Some(1), "{files:?}");
        assert_eq!(errors(&check), planned);
    }
}

/// The demo holes and logs want nothing more.
#[test]
fn the_demo_files_are_ready() {
    let folder = tempfile::tempdir().expect("a folder");
    let source = |name: &str| format!("{}/{name}", env!("CARGO_MANIFEST_DIR"));
    let course = source("holes/course.geojson");
    let log = source("examples/logs/strong-draw.csv");
    let round = source("examples/round.toml");
    let (said, code) = next(folder.path(), &[&course, &log, &round]);
    assert_eq!(
        said,
        format!("bendline plan {course} --log {log} --round {round}")
    );
    assert_eq!(code, Some(0));
}
