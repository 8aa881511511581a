//! A player file and its log give the same shape and practice, to the byte.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn source(name: &str) -> String {
    format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))
}

fn bendline(folder: &Path, arguments: &[&str]) -> Output {
    let run = Command::new(env!("CARGO_BIN_EXE_bendline"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .expect("the program starts");
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert_eq!(run.status.code(), Some(0), "{arguments:?}: {said}");
    run
}

/// The standard output but for the names of written files.
fn printed(run: &Output) -> String {
    let text = String::from_utf8_lossy(&run.stdout).into_owned();
    let lines = text.lines().filter(|line| !line.starts_with("wrote "));
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn a_player_file_gives_what_its_log_gives() {
    let folder = tempfile::tempdir().expect("a folder");
    let read = |name: &str| std::fs::read_to_string(folder.path().join(name)).expect("a file");
    for (log, more) in [
        ("strong-draw", &["--handicap", "6"][..]),
        (
            "left-hander",
            &[
                "--hand",
                "left",
                "--temperature",
                "8C",
                "--firmness",
                "firm",
            ],
        ),
        ("carry-and-side", &[]),
        ("two-way", &["--handicap", "18"]),
    ] {
        let log = source(&format!("examples/logs/{log}.csv"));
        let mut arguments = vec!["shape", &log, "--out", "one.json", "--draw", "one.svg"];
        arguments.extend(more);
        let of_log = bendline(folder.path(), &arguments);
        let again = [
            "shape", "one.json", "--out", "two.json", "--draw", "two.svg",
        ];
        let of_file = bendline(folder.path(), &again);
        assert_eq!(printed(&of_log), printed(&of_file), "{log}");
        assert_eq!(read("one.svg"), read("two.svg"), "{log}");
        assert_eq!(read("one.json"), read("two.json"), "{log}");
        let hole = source("holes/07-millpond.geojson");
        if more.contains(&"--temperature") {
            // Plans take a log to be hit in the usual air.
            continue;
        }
        let mut arguments = vec!["practice", &hole, "--log", &log, "--json"];
        arguments.extend(more);
        let of_log = bendline(folder.path(), &arguments);
        let of_file = bendline(
            folder.path(),
            &["practice", &hole, "--player", "one.json", "--json"],
        );
        assert_eq!(printed(&of_log), printed(&of_file), "{log}");
    }
}

/// What was changed by hand is taken as meant, and the log is not asked about it.
#[test]
fn a_pattern_changed_by_hand_is_taken_as_meant() {
    let folder = tempfile::tempdir().expect("a folder");
    let log = source("examples/logs/strong-draw.csv");
    bendline(folder.path(), &["shape", &log, "--out", "me.json"]);
    let path = folder.path().join("me.json");
    let file = std::fs::read_to_string(&path).expect("a file");
    let mut value: serde_json::Value = serde_json::from_str(&file).expect("JSON");
    value["clubs"][0]["mishit_share"] = 0.17.into();
    std::fs::write(&path, value.to_string()).expect("a file");
    let run = bendline(folder.path(), &["shape", "me.json"]);
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    let words = "changed by hand since the log was fitted, so that the log tells nothing of it: \
                 driver, your draw";
    assert!(said.contains(words), "{said}");
}

/// An option about a log beside a player file is a mistake.
#[test]
fn a_player_file_takes_no_option_of_a_log() {
    let folder = tempfile::tempdir().expect("a folder");
    let log = source("examples/logs/strong-draw.csv");
    bendline(folder.path(), &["shape", &log, "--out", "me.json"]);
    for option in [
        ["--handicap", "3"],
        ["--temperature", "8C"],
        ["--decimal", "comma"],
    ] {
        let run = Command::new(env!("CARGO_BIN_EXE_bendline"))
            .current_dir(folder.path())
            .args(["shape", "me.json"])
            .args(option)
            .output()
            .expect("the program starts");
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert_eq!(run.status.code(), Some(1), "{said}");
        assert!(
            said.contains("a shot log, which this option is about"),
            "{said}"
        );
    }
}

/// A log from a pipe can be read once only.
#[cfg(unix)]
#[test]
fn a_log_comes_from_a_pipe() {
    let log = std::fs::read(source("examples/logs/fade.csv")).expect("a log");
    let mut run = Command::new(env!("CARGO_BIN_EXE_bendline"))
        .args(["shape", "/dev/stdin"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let mut pipe = run.stdin.take().expect("a pipe");
    pipe.write_all(&log).expect("the log is taken");
    drop(pipe);
    let run = run.wait_with_output().expect("it ends");
    assert_eq!(run.status.code(), Some(0));
    assert!(printed(&run).contains("driver"), "{}", printed(&run));
}

/// What `plan` asks of a player file, `shape` asks too.
#[test]
fn a_doubtful_player_file_is_asked_about() {
    let folder = tempfile::tempdir().expect("a folder");
    let log = source("examples/logs/strong-draw.csv");
    bendline(folder.path(), &["shape", &log, "--out", "me.json"]);
    let path = folder.path().join("me.json");
    let file = std::fs::read_to_string(&path).expect("a file");
    let mut value: serde_json::Value = serde_json::from_str(&file).expect("JSON");
    let carry_m = value["clubs"][0]["carry_m"].as_f64().expect("a carry");
    value["clubs"][0]["carry_m"] = (1.4 * carry_m).into();
    std::fs::write(&path, value.to_string()).expect("a file");
    let run = Command::new(env!("CARGO_BIN_EXE_bendline"))
        .current_dir(folder.path())
        .args(["shape", "me.json"])
        .output()
        .expect("the program starts");
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert_eq!(run.status.code(), Some(1), "{said}");
    assert!(said.contains("--it-is-so launch-and-carry"), "{said}");
    let more = ["shape", "me.json", "--it-is-so", "launch-and-carry"];
    bendline(folder.path(), &more);
}
