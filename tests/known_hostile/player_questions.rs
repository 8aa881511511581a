//! A player file that cannot well be so is asked about; one that `shape` wrote is not.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use crate::log_questions::says;
use crate::make_logs::players;
use crate::{bendline, text};

/// The player file of a demo log, with more options.
fn written(folder: &Path, name: &str, hand: &str, more: &[&str]) -> Value {
    let log = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("examples/logs/{name}.csv"));
    let log = log.to_str().expect("a plain path");
    let shape = ["shape", log, "--hand", hand, "--out", "me.json"];
    let run = bendline(folder, &[&shape[..], more].concat());
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let bytes = fs::read(folder.join("me.json")).expect("a file");
    serde_json::from_slice(&bytes).expect("JSON")
}

fn check(folder: &Path, player: &Value) -> (Option<i32>, String) {
    fs::write(folder.join("me.json"), player.to_string()).expect("a file");
    let run = bendline(folder, &["check", "me.json"]);
    (run.status.code(), text(&run.stderr).to_owned())
}

#[test]
fn player_files_of_every_air_are_asked_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    for player in players() {
        let hand = match player.handedness {
            bendline::player::Handedness::Right => "right",
            bendline::player::Handedness::Left => "left",
        };
        for air in [
            &[][..],
            &["--altitude", "2200m"],
            &["--temperature", "0C"],
            &["--altitude", "3000m", "--temperature", "35C"],
        ] {
            // In thin air the launches and carries of a log by the sea may be asked about.
            let more = [air, &["--it-is-so", "launch-and-carry,length-unit"]].concat();
            let file = written(folder.path(), player.name, hand, &more);
            let (code, said) = check(folder.path(), &file);
            assert_eq!(code, Some(0), "{} {air:?}: {said}", player.name);
            assert!(
                !said.contains("it-is-so"),
                "{} {air:?}: {said}",
                player.name
            );
        }
    }
}

type Harm = (&'static str, fn(&mut Value), &'static str);

const HARMS: [Harm; 10] = [
    (
        "a driver that is a fifth faster",
        |player| {
            let centre = &mut player["clubs"][0]["centre"];
            centre[0] = json!(1.2 * centre[0].as_f64().unwrap_or_default());
        },
        "--it-is-so launch-and-carry",
    ),
    (
        "a carry that is a tenth longer",
        |player| {
            let carry = &mut player["clubs"][0]["carry_m"];
            *carry = json!(1.1 * carry.as_f64().unwrap_or_default());
        },
        "--it-is-so launch-and-carry",
    ),
    (
        "yards under carry_m",
        |player| {
            for club in player["clubs"].as_array_mut().into_iter().flatten() {
                club["carry_m"] = json!(club["carry_m"].as_f64().unwrap_or_default() / 0.9144);
            }
        },
        "1.094 times as far as its launches too: they read like yards",
    ),
    (
        "a driver that spins like a wedge",
        |player| player["clubs"][0]["centre"][3] = json!(12_000),
        "--it-is-so club-launch",
    ),
    (
        "driver and seven-iron exchanged",
        |player| {
            let clubs = player["clubs"].as_array_mut().expect("clubs");
            for club in clubs {
                club["club"] = match club["club"].as_str() {
                    Some("driver") => json!("7i"),
                    Some("7i") => json!("driver"),
                    _ => club["club"].clone(),
                };
            }
        },
        "--it-is-so club-order",
    ),
    (
        "a draw called a fade",
        |player| player["clubs"][0]["shape"] = json!("fade"),
        "--it-is-so shape-words",
    ),
    (
        "the other hand",
        |player| player["handedness"] = json!("left"),
        "--it-is-so shape-words",
    ),
    (
        "starts 20° off",
        |player| player["clubs"][0]["centre"][2] = json!(20),
        "--it-is-so start-line",
    ),
    (
        "a putter",
        |player| player["clubs"][0]["club"] = json!("putter"),
        "--it-is-so putter",
    ),
    (
        "axes turned round",
        |player| {
            for club in player["clubs"].as_array_mut().into_iter().flatten() {
                let axis = &mut club["centre"][4];
                *axis = json!(-axis.as_f64().unwrap_or_default());
            }
        },
        "--it-is-so shape-words",
    ),
];

#[test]
fn player_files_that_were_spoilt_are_asked_about() {
    let folder = tempfile::tempdir().expect("a folder");
    let honest = written(folder.path(), "strong-draw", "right", &["--handicap", "6"]);
    for (what, harm, words) in HARMS {
        let mut player = honest.clone();
        harm(&mut player);
        let (code, said) = check(folder.path(), &player);
        assert_eq!(code, Some(1), "{what}: {said}");
        says(&said, &[words]);
    }
}

#[test]
fn player_patterns_without_a_spread_are_noted_first() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut player = written(folder.path(), "strong-draw", "right", &["--handicap", "6"]);
    for club in player["clubs"].as_array_mut().into_iter().flatten() {
        for row in club["scale"].as_array_mut().into_iter().flatten() {
            for x in row.as_array_mut().into_iter().flatten() {
                *x = json!(1e-4 * x.as_f64().unwrap_or_default());
            }
        }
    }
    let (code, said) = check(folder.path(), &player);
    assert_eq!(code, Some(0), "{said}");
    says(
        &said,
        &[
            "check first: me.json: key clubs: the patterns spread 0.00 times as wide as those of \
             Handicap Index 6: look at \"scale\" or \"spread\", for the plan knows no wider miss",
        ],
    );
}
