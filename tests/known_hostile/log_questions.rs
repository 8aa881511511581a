//! A log that cannot well be so is asked about, and an honest one is not.
//!
//! The logs are those of invented players (`examples/make_logs.rs`, and players made up at random),
//! so that what was done to each is known. Nothing is asked of them as they are; turned, swapped or
//! copied they are caught.

use std::fs;
use std::path::{Path, PathBuf};

use bendline::diagnostic::Topic;
use bendline::player::questions::{About, of_log};
use bendline::player::{Handedness, shotlog};
use tempfile::TempDir;

use crate::known_player_made_up::{Luck, Shown, log_of, made_up, weather};
use crate::make_logs::{Made, csv, players};
use crate::{bendline, text};

const EVERYTHING: [&str; 3] = ["strong-draw", "two-way", "left-hander"];

fn demo(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/logs");
    folder.join(format!("{name}.csv"))
}

pub fn demo_text(name: &str) -> String {
    fs::read_to_string(demo(name)).expect("a demo log")
}

/// The index of a column.
pub fn index(log: &str, heading: &str) -> usize {
    let headings = log.lines().next().expect("headings");
    headings
        .split(',')
        .position(|name| name == heading)
        .expect("a heading")
}

/// The log with one column's numbers changed.
pub fn changed(log: &str, heading: &str, change: impl Fn(f64) -> f64) -> String {
    let at = index(log, heading);
    let mut out = String::new();
    for (row, line) in log.lines().enumerate() {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        if row > 0 {
            let number: f64 = cells[at].parse().expect("a number");
            // Adding 0 turns −0 into 0.
            cells[at] = format!("{:.1}", change(number) + 0.0);
        }
        out += &(cells.join(",") + "\n");
    }
    out
}

pub fn turned(log: &str, heading: &str) -> String {
    changed(log, heading, |x| -x)
}

/// The log with two headings exchanged.
pub fn exchanged(log: &str, one: &str, other: &str) -> String {
    let (first, rest) = log.split_once('\n').expect("rows");
    let names: Vec<&str> = first
        .split(',')
        .map(|name| match name {
            name if name == one => other,
            name if name == other => one,
            name => name,
        })
        .collect();
    format!("{}\n{rest}", names.join(","))
}

/// The log without some columns.
pub fn without(log: &str, headings: &[&str]) -> String {
    let gone: Vec<usize> = headings.iter().map(|name| index(log, name)).collect();
    let kept = |line: &str| -> String {
        let cells = line.split(',').enumerate();
        let kept: Vec<&str> = cells
            .filter(|(at, _)| !gone.contains(at))
            .map(|(_, cell)| cell)
            .collect();
        kept.join(",") + "\n"
    };
    log.lines().map(kept).collect()
}

/// The log with a column of words behind.
pub fn with_column(log: &str, heading: &str, word: impl Fn(usize, &str) -> String) -> String {
    log.lines()
        .enumerate()
        .map(|(row, line)| match row {
            0 => format!("{line},{heading}\n"),
            _ => format!("{line},{}\n", word(row, line)),
        })
        .collect()
}

pub fn asked(log: &str, hand: Handedness, handicap: f64) -> Vec<Topic> {
    let log = match shotlog::read("log.csv", log.as_bytes()) {
        Ok(log) => log,
        Err(problems) => panic!("{problems}"),
    };
    let about = About {
        handedness: Some(hand),
        handicap: Some(handicap),
        weather: weather(),
    };
    let (questions, _) = of_log(&log, &about);
    questions.iter().map(|question| question.topic).collect()
}

/// A folder with a log in it.
pub fn folder(log: &str) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("log.csv"), log).expect("a file");
    folder
}

/// What `shape` says of a log that it does not take.
pub fn refused(log: &str, more: &[&str]) -> String {
    let folder = folder(log);
    let arguments = [&["shape", "log.csv", "--handicap", "6"], more].concat();
    let run = bendline(folder.path(), &arguments);
    let said = text(&run.stderr).to_owned();
    assert_eq!(run.status.code(), Some(1), "{said}");
    said
}

/// The same, and `check`, `plan` and `practice` refuse it too, with the same words.
pub fn refused_by_all(log: &str) -> String {
    let said = refused(log, &[]);
    let folder = folder(log);
    for command in [
        &["plan", "--log", "log.csv", "--handicap", "6"][..],
        &["practice", "--log", "log.csv", "--handicap", "6"],
        &["check", "log.csv"],
    ] {
        let run = bendline(folder.path(), command);
        let other = text(&run.stderr);
        assert_eq!(run.status.code(), Some(1), "{command:?}: {other}");
        for line in said
            .lines()
            .filter(|l| l.starts_with("  ") || l.contains(": line"))
        {
            assert!(
                other.contains(line),
                "{command:?} does not say {line}:\n{other}"
            );
        }
    }
    said
}

pub fn says(said: &str, words: &[&str]) {
    for words in words {
        assert!(said.contains(words), "not said: {words}\n{said}");
    }
}

#[test]
fn nothing_is_asked_of_the_demo_logs() {
    for player in players() {
        let path = demo(player.name);
        let hand = match player.handedness {
            Handedness::Right => "right",
            Handedness::Left => "left",
        };
        let handicap = player.handicap.to_string();
        let path = path.to_str().expect("a plain path");
        let folder = tempfile::tempdir().expect("a folder");
        let shape = ["shape", path, "--hand", hand, "--handicap", &handicap];
        for arguments in [&shape[..], &["check", path]] {
            let run = bendline(folder.path(), arguments);
            let said = text(&run.stderr);
            assert_eq!(run.status.code(), Some(0), "{arguments:?}: {said}");
            assert!(!said.contains("it-is-so"), "{arguments:?}: {said}");
        }
    }
}

/// 72 players of the demo's kinds and 60 made up at random, single clubs of 6 to 105 shots.
#[test]
fn nothing_is_asked_of_honest_players() {
    let mut wrong = Vec::new();
    for seed in 1..=12 {
        for player in players() {
            let player = player.again(1000 + seed);
            let found = asked(&csv(&player), player.handedness, player.handicap);
            if !found.is_empty() {
                wrong.push(format!("{} {seed}: {found:?}", player.name));
            }
        }
    }
    let mut luck = Luck(77);
    for number in 0..60 {
        let (model, club, told) = made_up(&mut luck);
        let pattern = model.pattern();
        let shots = 6 + number % 100;
        let launches: Vec<_> = (0..shots).map(|_| pattern.draw(&luck.point())).collect();
        let shown = [Shown::Everything, Shown::CarryStartCurve, Shown::CarrySide][number % 3];
        let log = log_of(club, None, &launches, shown);
        let about = About {
            handedness: Some(Handedness::Right),
            handicap: Some(told),
            weather: weather(),
        };
        let (questions, _) = of_log(&log, &about);
        if !questions.is_empty() {
            wrong.push(format!("made up {number}: {questions:?}"));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of 132:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

/// What is done to a log, and what is then asked.
pub type Harm = (&'static str, fn(&str) -> String, Topic);

pub const HARMS: [Harm; 12] = [
    (
        "axis turned",
        |log| turned(log, "axis_deg"),
        Topic::AxisSign,
    ),
    (
        "start turned",
        |log| turned(log, "start_deg"),
        Topic::StartSign,
    ),
    ("side turned", |log| turned(log, "side_yd"), Topic::SideSign),
    (
        "curve turned",
        |log| turned(log, "curve_yd"),
        Topic::CurveSign,
    ),
    (
        "start turned, no curve",
        |log| turned(&without(log, &["curve_yd"]), "start_deg"),
        Topic::StartSign,
    ),
    (
        "path and face exchanged",
        |log| exchanged(log, "path_deg", "face_deg"),
        Topic::PathAndFace,
    ),
    ("strike turned", |log| turned(log, "strike_mm"), Topic::Hand),
    (
        "carry and total exchanged",
        |log| exchanged(log, "carry_yd", "total_yd"),
        Topic::CarryAndTotal,
    ),
    (
        "metres under yards",
        |log| {
            let log = changed(log, "carry_yd", |x| 0.9144 * x);
            let log = changed(&log, "total_yd", |x| 0.9144 * x);
            let log = changed(&log, "curve_yd", |x| 0.9144 * x);
            changed(&log, "side_yd", |x| 0.9144 * x)
        },
        Topic::LengthUnit,
    ),
    (
        "metres a second under miles an hour",
        |log| changed(log, "ball_speed_mph", |x| 0.44704 * x),
        Topic::SpeedUnit,
    ),
    (
        "club speed in kilometres an hour",
        |log| changed(log, "club_speed_mph", |x| (1.609_344 * x).min(169.0)),
        Topic::SpeedUnit,
    ),
    (
        "twenty rows copied",
        |log| {
            let rows: Vec<&str> = log.lines().skip(3).take(20).collect();
            format!("{log}{}\n", rows.join("\n"))
        },
        Topic::RepeatedRows,
    ),
];

#[test]
fn what_was_done_to_a_log_is_asked_about() {
    let honest: Vec<Made> = (1..=8)
        .flat_map(|seed| players().into_iter().map(move |player| player.again(seed)))
        .filter(|player| EVERYTHING.contains(&player.name))
        .collect();
    let mut missed = Vec::new();
    for (what, harm, topic) in HARMS {
        for player in &honest {
            let log = harm(&csv(player));
            // A single row may be refused for it already.
            if shotlog::read("log.csv", log.as_bytes()).is_err() {
                continue;
            }
            let found = asked(&log, player.handedness, player.handicap);
            if !found.contains(&topic) {
                missed.push(format!("{what}, {}: {found:?}", player.name));
            }
        }
    }
    // 12 harms on 24 logs.
    assert!(
        missed.is_empty(),
        "{} of 288:\n{}",
        missed.len(),
        missed.join("\n")
    );
}

#[test]
fn a_sign_turned_round() {
    let log = demo_text("strong-draw");
    says(
        &refused_by_all(&turned(&log, "axis_deg")),
        &[
            "log.csv: line 1, column \"axis_deg\"",
            "  expected: a ball that bends to the side to which \"axis_deg\" tilts, by 0.6 to 1.2 % of its carry a degree, as seen in \"curve_yd\"",
            "  found:    over 345 rows a degree of tilt to the right bends the ball 0.8 % of its carry to the left; with the sign of \"axis_deg\" turned round, 0.8 % to the right",
            "  remedy:   turn the sign of every \"axis_deg\": right is positive (or of every \"curve_yd\", if that is the wrong one); if it is so, add --it-is-so axis-sign (the spin axis tilts to the side that is logged)",
        ],
    );
    says(
        &refused(&turned(&log, "start_deg"), &[]),
        &[
            "log.csv: line 1, column \"start_deg\"",
            "  expected: a ball that lands where its start line and its curve take it: \"start_deg\" and \"curve_yd\" make \"side_yd\", right positive in all three",
            "  found:    in the middle row of 345 they are 18 yd apart; with the sign of \"start_deg\" turned round, 0.1 yd",
            "  remedy:   turn the sign of every \"start_deg\": right is positive; if it is so, add --it-is-so start-sign (the balls start to the side that is logged)",
        ],
    );
    says(
        &refused(&turned(&log, "side_yd"), &[]),
        &[
            "log.csv: line 1, column \"side_yd\"",
            "  expected: a ball that lands where its start line and its curve take it: \"start_deg\" and \"curve_yd\" make \"side_yd\", right positive in all three",
            "  found:    in the middle row of 345 they are 10 yd apart; with the sign of \"side_yd\" turned round, 0.1 yd",
            "  remedy:   turn the sign of every \"side_yd\": right is positive; if it is so, add --it-is-so side-sign (the balls end on the side that is logged)",
        ],
    );
    says(
        &refused(&turned(&log, "curve_yd"), &[]),
        &[
            "log.csv: line 1, column \"curve_yd\"",
            "  expected: a ball that lands where its start line and its curve take it: \"start_deg\" and \"curve_yd\" make \"side_yd\", right positive in all three",
            "  found:    in the middle row of 345 they are 20 yd apart; with the sign of \"curve_yd\" turned round, 0.1 yd",
            "  remedy:   turn the sign of every \"curve_yd\": right is positive; if it is so, add --it-is-so curve-sign (the balls curve to the side that is logged)",
        ],
    );
}

#[test]
fn path_and_face_exchanged() {
    let log = demo_text("strong-draw");
    let said = refused_by_all(&exchanged(&log, "path_deg", "face_deg"));
    says(
        &said,
        &[
            "log.csv: line 1, column \"face_deg\"",
            "  expected: an axis that tilts, and a ball that bends, to the side to which the face is open to the path: \"face_deg\" less \"path_deg\" with the sign of the bend",
            "  found:    over 331 rows a degree of face open to the path tilts the axis by -3.4°, which no club does",
            "  remedy:   exchange the headings \"path_deg\" and \"face_deg\"; if it is so, add --it-is-so path-and-face (path and face stand in their own columns)",
        ],
    );
    let both = turned(&turned(&log, "path_deg"), "face_deg");
    says(
        &refused(&both, &[]),
        &[
            "  remedy:   turn the sign of every path and face: right is positive; if it is so, add --it-is-so path-and-face",
        ],
    );
}

#[test]
fn a_left_handers_log_under_the_right_hand_and_the_other_way() {
    says(
        &refused(&demo_text("left-hander"), &[]),
        &[
            "log.csv: line 1, column \"strike_mm\"",
            "  expected: strikes towards the toe that bend the ball left, as for a right-handed player",
            "  found:    over 235 rows a strike 10 mm towards the toe tilts the axis 2.8° to the right, as for a left-handed player",
            "  remedy:   say --hand left; or turn the sign of every \"strike_mm\": towards the toe is positive; if it is so, add --it-is-so hand (the player stands on the side that is said)",
        ],
    );
    says(
        &refused(&demo_text("strong-draw"), &["--hand", "left"]),
        &[
            "  expected: strikes towards the toe that bend the ball right, as for a left-handed player",
            "to the left, as for a right-handed player",
            "  remedy:   say --hand right; or turn the sign of every \"strike_mm\"",
        ],
    );
    let folder = folder(&demo_text("left-hander"));
    let run = bendline(folder.path(), &["check", "log.csv"]);
    assert_eq!(run.status.code(), Some(0));
    says(
        text(&run.stderr),
        &[
            "over 235 rows a strike 10 mm towards the toe tilts the axis 2.8° to the right, as for a left-handed player: say --hand left to the commands that read this log",
        ],
    );
}

#[test]
fn shapes_against_the_flight() {
    let log = demo_text("strong-draw");
    let fades = with_column(&log, "shape", |_, _| "fade".into());
    says(
        &refused(&fades, &[]),
        &[
            "  expected: draws that bend left and fades that bend right, as a right-handed player's do: driver fade right",
            "  found:    driver fade: 55 of 59 balls bend left, by 7.2° in the middle; 3w fade: 37 of 39 balls bend left, by 6.1° in the middle; 5w fade: 31 of 32 balls bend left, by 4.6° in the middle; 4h fade: 25 of 28 balls bend left, by 4.9° in the middle; and 8 more, and so is every named shape",
            "  remedy:   correct the shapes, or the signs of the bend (right is positive); or say --hand left; if it is so, add --it-is-so shape-words (the shape column means what it says)",
        ],
    );
    let driver = with_column(&log, "shape", |_, line| {
        let of = if line.starts_with("driver") {
            "fade"
        } else {
            "draw"
        };
        of.into()
    });
    says(
        &refused_by_all(&driver),
        &[
            "log.csv: line 1, column \"shape\"",
            "  found:    driver fade: 55 of 59 balls bend left, by 7.2° in the middle",
            "  remedy:   correct the shapes, or the signs of the bend (right is positive); if it is so, add --it-is-so shape-words",
        ],
    );
    let draws = with_column(&log, "shape", |_, _| "draw".into());
    assert!(asked(&draws, Handedness::Right, 6.0).is_empty());
}

#[test]
fn remarks_and_numbers_in_the_shape_column() {
    let log = demo_text("carry-and-side");
    let remarks = with_column(&log, "shape", |row, _| {
        let word = match row % 9 {
            3 => "topped",
            5 => "good one",
            7 => "wind",
            _ => "",
        };
        word.into()
    });
    says(
        &refused_by_all(&remarks),
        &[
            "log.csv: line 1, column \"shape\"",
            "  expected: the shape that the player meant, such as draw, fade, straight, high, low or punch; each shape of a club is a pattern of its own",
            "  found:    \"topped\" (19 rows), \"good one\" (19 rows), \"wind\" (18 rows), which read like remarks on the shots",
            "  remedy:   move remarks into a column of another name, such as \"note\", which is not read, and name the shape meant or leave the cell empty; if it is so, add --it-is-so shape-words",
        ],
    );
    let numbered = with_column(&log, "shape", |row, _| format!("shot {row}"));
    says(
        &refused_by_all(&numbered),
        &[
            "log.csv: line 1, column \"shape\"",
            "  expected: the shape meant, a few words in all, such as draw, fade, straight, high, low, punch",
            "  found:    \"shot 1\", \"shot 2\", \"shot 3\", …: 168 names in 168 rows, more than 8 for driver",
            "  remedy:   write the same word in every row of a shape; where the column says something else, rename its heading, such as \"note\": then it is not read",
        ],
    );
    let numbers = with_column(&log, "shape", |row, _| format!("{}", row % 5));
    says(
        &refused(&numbers, &[]),
        &["  found:    \"1\", \"2\", \"3\", …: 5 names in 168 rows"],
    );
    let own = with_column(&log, "shape", |row, _| {
        format!("my {}", ["first", "old"][row % 2])
    });
    assert!(asked(&own, Handedness::Right, 20.0).is_empty());
}

#[test]
fn units_of_another_kind() {
    let log = demo_text("strong-draw");
    let metres = changed(&log, "carry_yd", |x| 0.9144 * x);
    let metres = changed(&metres, "total_yd", |x| 0.9144 * x);
    says(
        &refused_by_all(&metres),
        &[
            "log.csv: line 1, column \"carry_yd\"",
            "  expected: \"carry_yd\" near the carry that \"ball_speed_mph\", launch and spin fly in this air",
            "  found:    in the middle of 345 rows 0.914 times as far; with \"carry_yd\" read in m, 1.000 times",
            "  remedy:   correct the unit in the heading \"carry_yd\", and in those of the other lengths from the same device; if it is so, add --it-is-so length-unit (the lengths are in the unit of their heading)",
        ],
    );
    let slow = changed(&log, "ball_speed_mph", |x| 0.44704 * x);
    says(
        &refused(&slow, &[]),
        &[
            "log.csv: line 1, column \"ball_speed_mph\"",
            "  found:    in the middle of 345 rows 4.806 times as far; with \"ball_speed_mph\" read in m/s, 1.000 times",
            "  remedy:   correct the unit in the heading \"ball_speed_mph\"; if it is so, add --it-is-so speed-unit (the speeds are in the unit of their heading)",
        ],
    );
    let feet = demo_text("carry-and-side").replace("_yd", "_ft");
    says(
        &refused_by_all(&feet),
        &[
            "log.csv: line 1, column \"carry_ft\"",
            "  expected: a driver that carries 102 yd to 358 yd, from a child's to a champion's, and the other clubs as it",
            "  found:    61 yd with the driver; read in yd it would be 183 yd; read in m it would be 200 yd",
            "  remedy:   correct the unit in the heading \"carry_ft\", and in those of the other lengths; if it is so, add --it-is-so length-unit",
        ],
    );
    let far = changed(&demo_text("carry-and-side"), "carry_yd", |x| 3.0 * x);
    says(
        &refused(&far, &[]),
        &[
            "log.csv: line 2, column \"carry_yd\"",
            "  expected: 0 to 400 yd",
            "  found:    547.5 yd, and the like in ",
        ],
    );
}

#[test]
fn carry_and_total_exchanged() {
    let log = exchanged(&demo_text("fade"), "carry_yd", "total_yd");
    says(
        &refused_by_all(&log),
        &[
            "log.csv: line 1, column \"total_yd\"",
            "  expected: \"total_yd\" beyond \"carry_yd\": balls run on after they land",
            "  found:    in 183 of 183 rows the ball rests short of where it landed, by 14 yd in the middle",
            "  remedy:   exchange the headings \"carry_yd\" and \"total_yd\"; if it is so, add --it-is-so carry-and-total (carry and total stand in their own columns)",
        ],
    );
}

#[test]
fn rows_copied_and_rows_alike() {
    let log = demo_text("fade");
    let rows: Vec<&str> = log.lines().skip(20).take(30).collect();
    says(
        &refused_by_all(&format!("{log}{}\n", rows.join("\n"))),
        &[
            "log.csv: line 218",
            "  expected: rows that differ: figures so fine repeat by chance in no row",
            "  found:    30 rows that repeat an earlier one in every figure, first line 218 that of line 21",
            "  remedy:   delete what was copied: shots counted twice make the figures look surer than they are; if it is so, add --it-is-so repeated-rows",
        ],
    );
    let alike = format!("club,carry_yd,side_yd\n{}", "driver,230,-5\n".repeat(20));
    says(
        &refused(&alike, &[]),
        &[
            "log.csv: line 2",
            "  expected: shots that differ: nobody hits two alike",
            "  found:    all 20 rows of driver alike",
            "  remedy:   log every shot as it was, not an average or a goal; if it is so, add --it-is-so repeated-rows",
        ],
    );
    // One row twice deserves a look, no more.
    let row = log.lines().nth(5).expect("a row");
    let folder = folder(&format!("{log}{row}\n"));
    let run = bendline(folder.path(), &["check", "log.csv"]);
    assert_eq!(run.status.code(), Some(0));
    says(
        text(&run.stderr),
        &["log.csv: line 218: the row repeats line 6 in every figure: delete one if it was copied"],
    );
}

#[test]
fn a_seven_iron_longer_than_the_driver() {
    let log = demo_text("carry-and-side");
    let log: String = log
        .lines()
        .map(|line| match line.split_once(',') {
            Some(("driver", rest)) => format!("7i,{rest}\n"),
            Some(("7i", rest)) => format!("driver,{rest}\n"),
            _ => format!("{line}\n"),
        })
        .collect();
    says(
        &refused_by_all(&log),
        &[
            "log.csv: line 1, column \"carry_yd\"",
            "  expected: a 7i that carries less far than a driver, which has less loft",
            "  found:    7i 183 yd (39 shots), driver 118 yd (20 shots); 4 more pairs stand so",
            "  remedy:   look whether the names of the clubs or the carries were exchanged; if it is so, add --it-is-so club-order (the clubs carry as far as is logged)",
        ],
    );
}

#[test]
fn only_good_shots_are_noted_first() {
    let log = demo_text("strong-draw");
    let good: String = log
        .lines()
        .enumerate()
        .filter(|(row, line)| {
            let side: f64 = line
                .split(',')
                .nth(3)
                .and_then(|c| c.parse().ok())
                .unwrap_or(0.0);
            let carry: f64 = line
                .split(',')
                .nth(1)
                .and_then(|c| c.parse().ok())
                .unwrap_or(0.0);
            *row == 0
                || (side + 0.05 * carry).abs() < 0.04 * carry
                    && carry > 90.0
                    && !(line.starts_with("3w") && carry < 150.0)
        })
        .map(|(_, line)| format!("{line}\n"))
        .collect();
    let folder = folder(&good);
    let arguments = [
        "plan",
        "--log",
        "log.csv",
        "--handicap",
        "20",
        "--worth",
        "table",
    ];
    let run = bendline(folder.path(), &arguments);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let first: Vec<&str> = text(&run.stdout).lines().take(9).collect();
    says(
        &first.join(" "),
        &[
            "Check first: log: whole file: ",
            " shots without a mishit or a wild one, spread 0.2 times as wide as those of Handicap \
             Index 20: if bad shots were left out, add them, for the plan knows only the misses \
             that are logged",
        ],
    );
}

#[test]
fn an_answer_is_a_note_of_the_plan_and_of_the_player_file() {
    let folder = folder(&turned(&demo_text("strong-draw"), "axis_deg"));
    let so = ["--it-is-so", "axis-sign"];
    let shape = ["shape", "log.csv", "--handicap", "6", "--out", "me.json"];
    let run = bendline(folder.path(), &[&shape[..], &so].concat());
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    says(
        text(&run.stderr),
        &[
            "line 1, column \"axis_deg\": over 345 rows a degree of tilt to the right bends the ball 0.8 % of its carry to the left",
            "planned as it stands, because --it-is-so axis-sign says that the spin axis tilts to the side that is logged",
        ],
    );
    // No factor mends a sign: the curve is left as it is logged.
    assert!(!text(&run.stderr).contains("of the curve"));
    let plan = ["plan", "--player", "me.json", "--worth", "table"];
    let run = bendline(folder.path(), &plan);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let first: Vec<&str> = text(&run.stdout).lines().take(8).collect();
    says(
        &first.join(" "),
        &[
            "Check first: log: whole file: line 1, column \"axis_deg\": over 345 rows a degree of tilt",
        ],
    );
}

#[test]
fn a_topped_ball_that_ends_wider_than_it_carried_is_a_shot() {
    let log = demo_text("carry-and-side");
    let mut rows: Vec<String> = log.lines().map(str::to_owned).collect();
    rows[5] = "driver,10.2,-10.3".into();
    rows[9] = "driver,45.5,60.1".into();
    let folder = folder(&(rows.join("\n") + "\n"));
    let run = bendline(folder.path(), &["shape", "log.csv", "--handicap", "20"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    says(
        text(&run.stderr),
        &[
            "log.csv: line 6, column \"side_yd\": the ball ends 10 yd aside and carries 10 yd (and 1 more): a mishit, kept as a shot",
        ],
    );
}
