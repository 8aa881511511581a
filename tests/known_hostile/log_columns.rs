//! Columns of a log that say the same in two ways, one of them spoilt: long and short logs, with
//! the words of the question and with what would mend it.

use bendline::diagnostic::Topic;
use bendline::player::Handedness;

use crate::log_questions::{
    asked, changed, demo_text, exchanged, index, refused, refused_by_all, says, turned,
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

type Harm = (&'static str, fn(&str) -> String, &'static [Topic]);

/// What contradicts start, curve and side of one ball.
const OF_ONE_BALL: [Harm; 18] = [
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
