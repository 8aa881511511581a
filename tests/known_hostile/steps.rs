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
    assert_eq!(
        said,
        "bendline plan HOLE.geojson --player 'it'\\''s; me.json'"
    );
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
