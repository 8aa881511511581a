//! Course play through the program: what it says, what it costs, and how to leave it out.

use std::path::Path;
use std::process::Command;

use serde_json::Value;

fn source(name: &str) -> String {
    format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))
}

/// The plan file of hole 7, by these options.
fn plan(folder: &Path, options: &[&str]) -> Value {
    let hole = source("holes/07-millpond.geojson");
    let run = Command::new(env!("CARGO_BIN_EXE_bendline"))
        .current_dir(folder)
        .args(["plan", &hole, "--json", "--out", "page.svg"])
        .args(options)
        .output()
        .expect("the program starts");
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert_eq!(run.status.code(), Some(0), "{options:?}: {said}");
    serde_json::from_slice(&run.stdout).expect("JSON")
}

fn note(plan: &Value) -> Option<&str> {
    let notes = plan["notes"].as_array().expect("notes").iter();
    let mut notes = notes.filter_map(Value::as_str);
    notes.find(|note| note.contains("on a course scatter more than on a range"))
}

fn strokes(plan: &Value) -> f64 {
    plan["whole_hole"]["expected_score"]
        .as_f64()
        .expect("strokes")
}

/// The log, the player file made of it and that file without the key give one plan, and it says whose
/// range shots the log's are like; as on the range the hole takes fewer strokes; a key changed by hand
/// counts, beside another handicap too; another handicap is weighed anew.
#[test]
fn a_plan_is_of_course_play_unless_it_is_asked_not_to_be() {
    let folder = tempfile::tempdir().expect("a folder");
    let log = source("examples/logs/fade.csv");
    let of_log = plan(folder.path(), &["--log", &log, "--handicap", "14"]);
    let said = note(&of_log).expect("a note");
    assert!(
        said.contains(
            "by your handicap and your log: your driver 1.1 times as wide to the side and 1.4 in \
             distance"
        ),
        "{said}"
    );
    assert!(
        said.contains("your range shots are like those of"),
        "{said}"
    );
    let of_range = plan(
        folder.path(),
        &["--log", &log, "--handicap", "14", "--as-on-the-range"],
    );
    assert_eq!(note(&of_range), None);
    assert_eq!(
        of_range["player"]["course_play"]["others"]["direction"],
        1.0
    );
    // A par 3 that a 14 took in 3.5: half a stroke is the water.
    let more = strokes(&of_log) - strokes(&of_range);
    assert!(more > 0.2, "{more}");

    let run = Command::new(env!("CARGO_BIN_EXE_bendline"))
        .current_dir(folder.path())
        .args(["shape", &log, "--handicap", "14", "--out", "fade.json"])
        .output()
        .expect("the program starts");
    assert_eq!(run.status.code(), Some(0));
    assert_eq!(plan(folder.path(), &["--player", "fade.json"]), of_log);
    let path = folder.path().join("fade.json");
    let mut file: Value =
        serde_json::from_slice(&std::fs::read(&path).expect("a file")).expect("JSON");
    let weighed = file["course_play"].take();
    file.as_object_mut()
        .expect("an object")
        .remove("course_play");
    std::fs::write(&path, file.to_string()).expect("a file");
    assert_eq!(plan(folder.path(), &["--player", "fade.json"]), of_log);

    file["course_play"] = weighed.clone();
    file["course_play"]["others"]["direction"] = 2.0.into();
    std::fs::write(&path, file.to_string()).expect("a file");
    let by_hand = plan(folder.path(), &["--player", "fade.json"]);
    assert!(
        note(&by_hand)
            .expect("a note")
            .contains("by the player file")
    );
    assert!(strokes(&by_hand) > strokes(&of_log) + 0.1);
    // What was set by hand stays beside another handicap; what was weighed is weighed anew.
    let options = ["--player", "fade.json", "--handicap", "4"];
    let stays = plan(folder.path(), &options);
    assert_eq!(stays["player"]["course_play"]["others"]["direction"], 2.0);
    file["course_play"] = weighed;
    std::fs::write(&path, file.to_string()).expect("a file");
    let anew = plan(folder.path(), &options);
    let mishits = |plan: &Value| plan["player"]["course_play"]["more_mishits"].as_f64();
    assert!(mishits(&anew) < mishits(&of_log), "{:?}", mishits(&anew));
}
