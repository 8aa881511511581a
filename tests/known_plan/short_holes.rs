//! Pitch and putt: tees that every full swing goes too far from.
//!
//! Truth: the published strokes table from the fairway: no dearer than at the player's level, and no
//! cheaper than for tour players, each with a margin.

use std::path::Path;
use std::process::{Command, Output};

use bendline::hole::Surface;
use bendline::strategy::finish::{StrokesToGo, TOUR_HANDICAP};
use bendline::units::YARD_M;
use serde_json::{Value, json};

use crate::common::Sketch;

/// Of invented players, each with the Handicap Index.
const PLAYERS: [(&str, f64); 2] = [("strong-draw.csv", 6.0), ("carry-and-side.csv", 18.0)];
/// How much dearer than the table a tee shot may be, strokes.
const DEARER: f64 = 0.15;
/// How much cheaper than a tour player's: the green is flat and round, and nothing guards it.
const CHEAPER: f64 = 0.1;

/// A round green of so many metres about the pin, and nothing else but rough.
fn short_hole(length_m: f64, green_m: f64) -> Sketch {
    let green: Vec<[f64; 2]> = (0..32)
        .map(|k| {
            let angle = std::f64::consts::TAU * f64::from(k) / 32.0;
            [green_m * angle.cos(), length_m + green_m * angle.sin()]
        })
        .collect();
    Sketch::default()
        .line(
            json!({"golf": "hole", "ref": "1", "par": "3"}),
            &[[0.0, 0.0], [0.0, length_m]],
        )
        .area(
            json!({"golf": "tee", "tee": "white"}),
            &[[-4.0, -5.0], [4.0, -5.0], [4.0, 1.0], [-4.0, 1.0]],
        )
        .point(
            json!({"bendline": "tee_marker", "tee": "white"}),
            [-3.0, 0.0],
        )
        .point(
            json!({"bendline": "tee_marker", "tee": "white"}),
            [3.0, 0.0],
        )
        .area(json!({"golf": "green"}), &green)
        .point(json!({"golf": "pin"}), [0.0, length_m])
}

fn bendline(folder: &Path, hole: &Sketch, arguments: &[&str]) -> Output {
    std::fs::write(folder.join("hole.geojson"), hole.text()).expect("a hole file");
    Command::new(env!("CARGO_BIN_EXE_bendline"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .expect("the program starts")
}

pub fn planned(hole: &Sketch, player: (&str, f64), more: &[&str]) -> Value {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("hole.geojson");
    std::fs::write(&file, hole.text()).expect("a hole file");
    planned_on(&file.to_string_lossy(), player, more)
}

/// The plan of a hole in a file.
pub fn planned_on(file: &str, (log, handicap): (&str, f64), more: &[&str]) -> Value {
    let log = format!("{}/examples/logs/{log}", env!("CARGO_MANIFEST_DIR"));
    let handicap = handicap.to_string();
    let mut arguments = vec!["plan", file, "--log", &log, "--handicap", &handicap];
    arguments.push("--json");
    arguments.extend(more);
    // The drawings go to the working folder.
    let working = tempfile::tempdir().expect("a folder");
    let run = Command::new(env!("CARGO_BIN_EXE_bendline"))
        .current_dir(working.path())
        .args(&arguments)
        .output()
        .expect("the program starts");
    let said = String::from_utf8_lossy(&run.stderr);
    assert_eq!(run.status.code(), Some(0), "{said}");
    serde_json::from_slice(&run.stdout).expect("a plan")
}

fn strokes(plan: &Value) -> f64 {
    plan["choice"]["expected_strokes"]
        .as_f64()
        .expect("strokes")
}

fn is_part(plan: &Value) -> bool {
    plan["choice"]["part_swing"].is_object()
}

#[test]
fn every_length_is_about_the_tables() {
    for player in PLAYERS {
        let table = StrokesToGo::for_handicap(player.1);
        let tour = StrokesToGo::for_handicap(TOUR_HANDICAP);
        let mut shorter = 0.0;
        for yd in [20.0, 35.0, 49.0, 77.0, 110.0] {
            let plan = planned(&short_hole(yd * YARD_M, 11.0), player, &[]);
            let (strokes, by_table) = (strokes(&plan), table.from(Surface::Fairway, yd * YARD_M));
            let of_tour = tour.from(Surface::Fairway, yd * YARD_M);
            let words = format!("{player:?}, {yd} yd: {strokes:.3}, the table {by_table:.3}");
            println!("{words}, {}", plan["words"]["sentence"]);
            assert!(
                strokes < by_table + DEARER && strokes > of_tour - CHEAPER,
                "{words}"
            );
            assert!(strokes > shorter, "{words}: {shorter:.3} from nearer");
            shorter = strokes;
            assert_eq!(
                is_part(&plan),
                yd < 70.0 || yd < 90.0 && player.1 < 10.0,
                "{words}"
            );
        }
    }
}

/// Said as a golfer says it, by what it carries: in the sentence, among the others, in the plan
/// file, which keeps its schema, and on the drawing.
#[test]
fn a_part_swing_is_said_by_what_it_carries() {
    let plan = planned(
        &short_hole(49.0 * YARD_M, 11.0),
        PLAYERS[0],
        &["--out", "."],
    );
    let part = &plan["choice"]["part_swing"];
    let share = part["share"].as_f64().expect("a share");
    assert!(share > 0.5 && share < 0.9, "{share}");
    let carry_yd = part["carry_m"].as_f64().expect("a carry") / YARD_M;
    let said = format!("pitch of {carry_yd:.0} yd");
    let sentence = plan["words"]["sentence"].as_str().expect("a sentence");
    assert!(
        sentence.starts_with(&format!("Sand wedge, {said}.")),
        "{sentence}"
    );
    let why = plan["words"]["why"].to_string();
    assert!(why.contains("Next best: sand wedge, pitch of "), "{why}");
    let schema = serde_json::from_str(bendline::plan::SCHEMA).expect("JSON");
    let schema = jsonschema::draft202012::new(&schema).expect("a schema");
    let errors: Vec<String> = schema.iter_errors(&plan).map(|e| e.to_string()).collect();
    assert!(errors.is_empty(), "{errors:#?}");

    let folder = tempfile::tempdir().expect("a folder");
    let hole = short_hole(49.0 * YARD_M, 11.0);
    let log = format!(
        "{}/examples/logs/strong-draw.csv",
        env!("CARGO_MANIFEST_DIR")
    );
    let game = ["--log", &log, "--handicap", "6"];
    let mut arguments = vec!["plan", "hole.geojson", "--out", ".", "--also", "md"];
    arguments.extend(game);
    let run = bendline(folder.path(), &hole, &arguments);
    assert_eq!(run.status.code(), Some(0));
    let mut arguments = vec![
        "book",
        "hole.geojson",
        "--out",
        "book.pdf",
        "--also",
        "phone",
    ];
    arguments.extend(game);
    let run = bendline(folder.path(), &hole, &arguments);
    assert_eq!(
        run.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    for page in ["hole-1.svg", "hole-1.md", "book.html"] {
        let page_text = std::fs::read_to_string(folder.path().join(page)).expect(page);
        assert!(page_text.contains(&said), "no \"{said}\" in {page}");
    }
    let phone = std::fs::read_to_string(folder.path().join("book.html")).expect("a page");
    assert!(phone.contains(&format!("pitch of {:.0} m", carry_yd * YARD_M)));
}

/// With the wind a shorter swing, against it a longer one; neither costs a quarter of a stroke more
/// than the calm.
#[test]
fn wind_moves_the_swing() {
    let hole = short_hole(60.0 * YARD_M, 11.0);
    let calm = strokes(&planned(&hole, PLAYERS[0], &[]));
    let carry = |wind: &str| {
        let plan = planned(&hole, PLAYERS[0], &["--wind", wind]);
        assert!(
            is_part(&plan) && strokes(&plan) < calm + 0.25,
            "{wind}: {}",
            strokes(&plan)
        );
        plan["choice"]["part_swing"]["carry_m"]
            .as_f64()
            .expect("a carry")
    };
    let (against, behind) = (carry("15mph@0"), carry("15mph@180"));
    assert!(against > behind + 3.0, "{against} {behind}");
}

/// A tee on its own green, one beside it, and one of the longest holes: each is planned.
#[test]
fn the_shortest_and_the_longest() {
    for green_m in [8.0, 17.0, 26.0] {
        // A tee on a green is asked about.
        let answer: &[&str] = match green_m > 18.0 {
            true => &["--it-is-so", "odd-place"],
            false => &[],
        };
        let plan = planned(&short_hole(20.0 * YARD_M, green_m), PLAYERS[0], answer);
        assert!(is_part(&plan) && strokes(&plan) < 2.9, "{}", strokes(&plan));
    }
    let long = crate::common::straight(700.0 * YARD_M, 40.0, 5);
    let plan = planned(&long, PLAYERS[0], &[]);
    assert!(!is_part(&plan) && strokes(&plan) < 7.0);
}
