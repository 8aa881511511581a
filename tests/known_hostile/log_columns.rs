//! Columns of a log that say the same in two ways, one of them spoilt: long and short logs, with
//! the words of the question and with what would mend it.

use bendline::diagnostic::Topic;
use bendline::player::Handedness;

use crate::log_questions::{
    asked, changed, demo_text, exchanged, folder, index, refused, refused_by_all, says, turned,
};
use crate::{bendline, text};

/// So many rows of a log, evenly spaced.
fn some(log: &str, rows: usize) -> String {
    let lines: Vec<&str> = log.lines().collect();
    let all = lines.len() - 1;
    let mut out = format!("{}\n", lines[0]);
    for k in 0..rows.min(all) {
        out += &format!("{}\n", lines[1 + k * all / rows.min(all)]);
    }
    out
}

/// The log with one column that of the row so many before, round in a circle.
fn moved(log: &str, heading: &str, by: usize) -> String {
    let at = index(log, heading);
    let rows: Vec<Vec<&str>> = log.lines().map(|line| line.split(',').collect()).collect();
    let count = rows.len() - 1;
    let mut out = format!("{}\n", rows[0].join(","));
    for k in 0..count {
        let mut row = rows[1 + k].clone();
        row[at] = rows[1 + (k + count - by) % count][at];
        out += &format!("{}\n", row.join(","));
    }
    out
}

/// The log with a column's sign turned round in the first half of its rows.
fn half(log: &str, heading: &str) -> String {
    let lines: Vec<&str> = log.lines().collect();
    let middle = lines.len().div_ceil(2);
    let first = turned(&(lines[..middle].join("\n") + "\n"), heading);
    first + &lines[middle..].join("\n") + "\n"
}

/// The log with every row so many times.
fn times(log: &str, count: usize) -> String {
    let (first, rows) = log.split_once('\n').expect("rows");
    format!("{first}\n{}", rows.repeat(count))
}

/// The log with every row that of the first of its club.
pub fn first_of_club(log: &str) -> String {
    let mut lines = log.lines();
    let mut out = format!("{}\n", lines.next().expect("headings"));
    let mut first: Vec<&str> = Vec::new();
    for line in lines {
        let club = |line: &str| line.split(',').next().map(str::to_owned);
        let known = first.iter().find(|other| club(other) == club(line));
        let row = known.copied().unwrap_or(line);
        if known.is_none() {
            first.push(line);
        }
        out += &format!("{row}\n");
    }
    out
}

pub type Harm = (&'static str, fn(&str) -> String, &'static [Topic]);

/// What contradicts start, curve and side of one ball.
pub const OF_ONE_BALL: [Harm; 18] = [
    (
        "start 0",
        |log| changed(log, "start_deg", |_| 0.0),
        &[Topic::SameFigure, Topic::Directions],
    ),
    (
        "curve 0",
        |log| changed(log, "curve_yd", |_| 0.0),
        &[Topic::SameFigure, Topic::Directions],
    ),
    (
        "side 0",
        |log| changed(log, "side_yd", |_| 0.0),
        &[Topic::SameFigure, Topic::Directions],
    ),
    (
        "start in radians",
        |log| changed(log, "start_deg", f64::to_radians),
        &[Topic::Directions],
    ),
    (
        "side 40 yd to the right",
        |log| changed(log, "side_yd", |x| x + 40.0),
        &[Topic::Directions],
    ),
    (
        "start 20 degrees to the right",
        |log| changed(log, "start_deg", |x| x + 20.0),
        &[Topic::Directions],
    ),
    (
        "side in feet",
        |log| changed(log, "side_yd", |x| 3.0 * x),
        &[Topic::LengthUnit],
    ),
    (
        "side and curve in feet",
        |log| {
            changed(&changed(log, "side_yd", |x| 3.0 * x), "curve_yd", |x| {
                3.0 * x
            })
        },
        &[Topic::LengthUnit],
    ),
    (
        "start of other rows",
        |log| moved(log, "start_deg", 5),
        &[Topic::Directions],
    ),
    (
        "curve of other rows",
        |log| moved(log, "curve_yd", 5),
        &[Topic::Directions, Topic::AxisAndCurve],
    ),
    (
        "side of other rows",
        |log| moved(log, "side_yd", 5),
        &[Topic::Directions],
    ),
    (
        "half the starts turned",
        |log| half(log, "start_deg"),
        &[Topic::StartSign],
    ),
    (
        "half the curves turned",
        |log| half(log, "curve_yd"),
        &[Topic::CurveSign],
    ),
    (
        "half the sides turned",
        |log| half(log, "side_yd"),
        &[Topic::SideSign],
    ),
    (
        "curve without its sign",
        |log| changed(log, "curve_yd", f64::abs),
        &[Topic::CurveSign],
    ),
    (
        "side without its sign",
        |log| changed(log, "side_yd", f64::abs),
        &[Topic::SideSign],
    ),
    (
        "start and face exchanged",
        |log| exchanged(log, "start_deg", "face_deg"),
        &[Topic::Directions],
    ),
    (
        "axis of other rows",
        |log| moved(log, "axis_deg", 5),
        &[Topic::AxisAndCurve],
    ),
];

#[test]
fn log_columns_of_one_ball_contradict_each_other() {
    let mut missed = Vec::new();
    for (what, harm, topics) in OF_ONE_BALL {
        for (name, hand) in [
            ("strong-draw", Handedness::Right),
            ("two-way", Handedness::Right),
            ("left-hander", Handedness::Left),
        ] {
            for rows in [1000, 60, 20, 12] {
                let log = harm(&some(&demo_text(name), rows));
                // Few starts of a dozen are on the other side, or far from the face.
                let needs_rows = what.contains("without") || what.contains("exchanged");
                if rows == 12 && (needs_rows || what.contains("radians")) {
                    continue;
                }
                // A single row may be refused for it already.
                if bendline::player::shotlog::read("log.csv", log.as_bytes()).is_err() {
                    continue;
                }
                let found = asked(&log, hand, 12.0);
                if !topics.iter().any(|topic| found.contains(topic)) {
                    missed.push(format!("{what}, {name}, {rows} rows: {found:?}"));
                }
            }
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

#[test]
fn log_short_parts_of_honest_logs_are_asked_nothing() {
    let mut wrong = Vec::new();
    for (name, hand) in [
        ("strong-draw", Handedness::Right),
        ("fade", Handedness::Right),
        ("two-way", Handedness::Right),
        ("left-hander", Handedness::Left),
        ("carry-and-side", Handedness::Right),
        ("twelve-shots", Handedness::Right),
    ] {
        let log = demo_text(name);
        for rows in (5..=150).step_by(5) {
            let found = asked(&some(&log, rows), hand, 12.0);
            if !found.is_empty() {
                wrong.push(format!("{name}, {rows} rows: {found:?}"));
            }
        }
        let lines: Vec<&str> = log.lines().collect();
        for first in (1..lines.len() - 10).step_by(7) {
            let part = format!("{}\n{}\n", lines[0], lines[first..first + 10].join("\n"));
            let found = asked(&part, hand, 12.0);
            if !found.is_empty() {
                wrong.push(format!("{name}, ten from {first}: {found:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn log_contradictions_in_words() {
    let log = demo_text("strong-draw");
    let all = "  expected: a ball that lands where its start line and its curve take it: \"start_deg\" \
               and \"curve_yd\" make \"side_yd\", right positive in all three";
    for (harmed, words) in [
        (
            changed(&log, "side_yd", |x| x + 40.0),
            &[
                all,
                "with 40.0 yd taken off every \"side_yd\" they agree",
                "--it-is-so directions (start, curve and side belong to one ball)",
            ][..],
        ),
        (
            changed(&log, "start_deg", f64::to_radians),
            &[all, "with \"start_deg\" read in radians they agree"],
        ),
        (
            moved(&log, "start_deg", 5),
            &[all, "with \"start_deg\" moved up by 5 rows they agree"],
        ),
        (
            changed(&changed(&log, "side_yd", |x| 0.9144 * x), "curve_yd", |x| {
                0.9144 * x
            }),
            &[
                all,
                "with \"side_yd\" and \"curve_yd\" read in m they agree",
                "correct the unit in the heading of \"side_yd\" and \"curve_yd\"",
            ],
        ),
        (
            changed(&log, "start_deg", |_| 0.0),
            &[
                "  expected: \"start_deg\" that differs from shot to shot",
                "  found:    the same in all 354 rows, 0 deg",
                "  remedy:   leave the column \"start_deg\" out, or its cells empty, where nothing \
                 was measured; if it is so, add --it-is-so same-figure (every shot gave that figure)",
            ],
        ),
        (
            moved(&log, "axis_deg", 5),
            &["with \"axis_deg\" moved up by 5 rows it does"],
        ),
        (
            turned(&log, "path_deg"),
            &[
                "turn the sign of every \"path_deg\": right is positive; if it is so, add \
                 --it-is-so path-sign",
            ],
        ),
        (
            turned(&log, "face_deg"),
            &[
                "turn the sign of every \"face_deg\": right is positive; if it is so, add \
                 --it-is-so face-sign",
            ],
        ),
        (
            moved(&log, "face_deg", 5),
            &[
                "balls that start where the face points: \"start_deg\" that follows \"face_deg\" by 61 to 83 %",
            ],
        ),
    ] {
        says(&refused(&harmed, &[]), words);
    }
    // A single row is noted, no more.
    let one: String = log
        .lines()
        .map(
            |line| match line.strip_prefix("driver,244.2,267.7,-18.7,") {
                Some(rest) => format!("driver,244.2,267.7,18.7,{rest}\n"),
                None => format!("{line}\n"),
            },
        )
        .collect();
    let folder = folder(&one);
    let run = bendline(folder.path(), &["check", "log.csv"]);
    assert_eq!(run.status.code(), Some(0));
    says(
        text(&run.stderr),
        &[
            "log.csv: line 2: \"start_deg\" and \"curve_yd\" do not make \"side_yd\" here: correct the row if a figure is wrong",
        ],
    );
}

#[test]
fn log_rows_doubled_in_short_logs() {
    for name in [
        "strong-draw",
        "fade",
        "two-way",
        "carry-and-side",
        "twelve-shots",
    ] {
        let log = demo_text(name);
        for (what, harmed) in [
            ("20 rows twice", times(&some(&log, 20), 2)),
            ("10 rows three times", times(&some(&log, 10), 3)),
        ] {
            let found = asked(&harmed, Handedness::Right, 12.0);
            assert!(
                found.contains(&Topic::RepeatedRows),
                "{name}, {what}: {found:?}"
            );
        }
    }
    let log = first_of_club(&some(&demo_text("strong-draw"), 20));
    assert!(asked(&log, Handedness::Right, 12.0).contains(&Topic::RepeatedRows));
    // Whole yards of carry and side are alike by chance.
    let mut coarse = String::from("club,carry_yd,side_yd\n");
    for k in 0..60 {
        coarse += &format!(
            "driver,{},{}\n",
            220 + 5 * (k * 7 % 5),
            5 * (k * 11 % 9) - 20
        );
    }
    assert!(!asked(&coarse, Handedness::Right, 12.0).contains(&Topic::RepeatedRows));
}

#[test]
fn log_path_and_face_exchanged_in_short_logs() {
    for (name, hand) in [
        ("strong-draw", Handedness::Right),
        ("two-way", Handedness::Right),
        ("left-hander", Handedness::Left),
    ] {
        for rows in [60, 20, 12] {
            // Two ways of bending leave a short log too little to tell by.
            if name == "two-way" && rows == 20 {
                continue;
            }
            let log = exchanged(&some(&demo_text(name), rows), "path_deg", "face_deg");
            let found = asked(&log, hand, 12.0);
            assert!(
                found.contains(&Topic::PathAndFace),
                "{name}, {rows} rows: {found:?}"
            );
        }
    }
}

#[test]
fn log_shapes_against_the_flight_in_short_logs() {
    let with = |name: &str, rows: usize, shape: &str| -> String {
        let log = some(&demo_text(name), rows);
        let mut out = String::new();
        for (row, line) in log.lines().enumerate() {
            let cell = if row == 0 { "shape" } else { shape };
            out += &format!("{line},{cell}\n");
        }
        out
    };
    for rows in [60, 20, 12] {
        let draws = with("strong-draw", rows, "draw");
        assert!(asked(&draws, Handedness::Right, 12.0).is_empty());
        for (name, shape) in [
            ("strong-draw", "fade"),
            ("strong-draw", "straight"),
            ("strong-draw", "L"),
            ("fade", "draw"),
        ] {
            // A dozen faint fades may be chance.
            if name == "fade" && rows == 12 {
                continue;
            }
            let found = asked(&with(name, rows, shape), Handedness::Right, 12.0);
            assert!(
                found.contains(&Topic::ShapeWords),
                "{name} called {shape}, {rows} rows: {found:?}"
            );
        }
    }
}

#[test]
fn log_rolls_that_no_ball_has() {
    let log = demo_text("strong-draw");
    let (at, carry) = (index(&log, "total_yd"), index(&log, "carry_yd"));
    for (by, words) in [
        (0.0, "rows with woods and irons the ball runs 0 yd"),
        (80.0, "rows with woods and irons the ball runs 80 yd"),
    ] {
        let mut harmed = String::new();
        for (row, line) in log.lines().enumerate() {
            let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
            if row > 0 {
                let carry: f64 = cells[carry].parse().expect("a number");
                cells[at] = format!("{:.1}", carry + by);
            }
            harmed += &(cells.join(",") + "\n");
        }
        says(
            &refused_by_all(&harmed),
            &[
                words,
                "--it-is-so roll (the balls roll as far as is logged)",
            ],
        );
    }
}

#[test]
fn log_signs_that_were_lost_are_noted_first() {
    let log = changed(&demo_text("carry-and-side"), "side_yd", f64::abs);
    let folder = folder(&log);
    let run = bendline(folder.path(), &["check", "log.csv"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    says(
        text(&run.stderr),
        &["rows is to the left, though many are near 0: if the signs of \"side_yd\" were lost"],
    );
}

#[test]
fn log_of_a_putter_and_starts_far_off_the_aim() {
    let putts = format!("{}putter,8.0,0.1\n", demo_text("carry-and-side"));
    says(&refused_by_all(&putts), &["--it-is-so putter"]);
    let far = changed(&demo_text("fade"), "start_deg", |x| x + 20.0);
    says(&refused(&far, &[]), &["--it-is-so start-line"]);
}
