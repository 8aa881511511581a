//! The bag is what was logged: what it lacks is said, and what is filled in takes nothing away.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

/// Strokes that a filled club may cost beyond noise: none but what the search leaves open.
const SEARCH: f64 = 0.01;

fn source(name: &str) -> String {
    format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))
}

fn bendline(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_bendline"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .expect("the program starts")
}

/// The rows of these clubs only, of an invented log.
fn log_of(folder: &Path, log: &str, clubs: &[&str]) {
    let all = fs::read_to_string(source(&format!("examples/logs/{log}"))).expect("a log");
    let kept = all.lines().enumerate().filter(|(row, line)| {
        let club = line.split(',').next().unwrap_or_default();
        *row == 0 || clubs.contains(&club)
    });
    let kept: Vec<&str> = kept.map(|(_, line)| line).collect();
    fs::write(folder.join("range.csv"), kept.join("\n") + "\n").expect("a log");
}

fn planned(folder: &Path, hole: &str, more: &[&str]) -> Value {
    let hole = source(&format!("holes/{hole}.geojson"));
    let mut arguments = vec![
        "plan",
        &hole,
        "--log",
        "range.csv",
        "--handicap",
        "6",
        "--json",
    ];
    arguments.extend(more);
    let run = bendline(folder, &arguments);
    let said = String::from_utf8_lossy(&run.stderr);
    assert_eq!(run.status.code(), Some(0), "{said}");
    serde_json::from_slice(&run.stdout).expect("a plan")
}

fn choice(plan: &Value) -> (f64, f64) {
    let number = |key: &str| plan["choice"][key].as_f64().expect("a number");
    (number("expected_strokes"), number("standard_error"))
}

const THREE: [&str; 3] = ["driver", "5i", "8i"];

#[test]
fn gaps_are_said_with_their_remedy() {
    let folder = tempfile::tempdir().expect("a folder");
    log_of(folder.path(), "strong-draw.csv", &THREE);
    let words = "nothing between 240 and 174 yd (driver to 5-iron), and no wedge, so the 8-iron \
                 makes every short shot: log clubs for them, or --fill 5w,pw,sw";
    for command in ["check", "shape"] {
        let run = bendline(folder.path(), &[command, "range.csv"]);
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert!(said.contains(words), "{command}: {said}");
    }
    let has = |plan: &Value, words: &str| plan["notes"].to_string().contains(words);
    let plan = planned(folder.path(), "02-kestrel", &[]);
    assert!(has(&plan, words), "{}", plan["notes"]);
    // One club in the middle of 66 yd leaves two gaps, of which one may still be too wide.
    let plan = planned(folder.path(), "02-kestrel", &["--fill", "5w,pw,sw"]);
    assert!(has(
        &plan,
        "nothing between 240 and 205 yd (driver to 5-wood)"
    ));
    assert!(has(&plan, "--fill 3w") && !has(&plan, "no wedge"));
    // What was asked for is there, and says on what it rests.
    let plan = planned(folder.path(), "02-kestrel", &["--fill", "3w,5w,pw,sw"]);
    assert!(!has(&plan, "nothing between") && !has(&plan, "no wedge"));
    assert!(has(
        &plan,
        "sw: no shot is logged; filled from 8i and drawn wider for it"
    ));
    // Nothing is hit that is not in the bag.
    let mut named = vec![&plan["whole_hole"]["next"]["choice"]["club"]];
    named.extend(
        plan["alternatives"]
            .as_array()
            .expect("a list")
            .iter()
            .map(|a| &a["club"]),
    );
    for club in named.into_iter().filter_map(Value::as_str) {
        assert!(
            ["driver", "3w", "5w", "5i", "8i", "pw", "sw"].contains(&club),
            "{club}"
        );
    }
}

#[test]
fn a_full_bag_lacks_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    for log in [
        "strong-draw",
        "fade",
        "left-hander",
        "two-way",
        "carry-and-side",
    ] {
        let log = source(&format!("examples/logs/{log}.csv"));
        let run = bendline(folder.path(), &["check", &log]);
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert!(
            !said.contains("nothing between") && !said.contains("no wedge"),
            "{said}"
        );
    }
}

/// Three clubs, and the same with others filled in: on the same hole no dearer.
#[test]
fn a_filled_club_takes_nothing_away() {
    let folder = tempfile::tempdir().expect("a folder");
    log_of(folder.path(), "strong-draw.csv", &THREE);
    for hole in ["01-sickle", "05-two-bites", "07-millpond", "09-long-drop"] {
        let (three, error) = choice(&planned(folder.path(), hole, &[]));
        for fill in ["sw", "6i", "5w,pw,sw"] {
            let (more, other) = choice(&planned(folder.path(), hole, &["--fill", fill]));
            println!("{hole}: {three:.4}, with {fill} {more:.4} ± {other:.4}");
            let noise = 2.0 * error.hypot(other);
            assert!(
                more <= three + SEARCH + noise,
                "{hole} with {fill}: {more} after {three}"
            );
        }
    }
}

/// One club for everything: bunkers, water and long grass by the green are played with it.
#[test]
fn one_club_finishes_every_hole() {
    let folder = tempfile::tempdir().expect("a folder");
    for club in ["driver", "5i", "8i"] {
        log_of(folder.path(), "strong-draw.csv", &[club]);
        for hole in ["02-kestrel", "05-two-bites"] {
            let (strokes, _) = choice(&planned(folder.path(), hole, &[]));
            println!("{club}, {hole}: {strokes:.3}");
            log_of(folder.path(), "strong-draw.csv", &[club, "7i", "pw", "sw"]);
            let (more, _) = choice(&planned(folder.path(), hole, &[]));
            log_of(folder.path(), "strong-draw.csv", &[club]);
            assert!(
                strokes > more && strokes < 8.5,
                "{club} on {hole}: {strokes} {more}"
            );
        }
    }
}
