//! Holes with hazards anywhere: every plan holds, and what is not reached is refused with what
//! stands in the way.

use std::fs;

use bendline::diagnostic::Problem;
use bendline::hole::read_course;
use bendline::plan::not_reached;
use bendline::strategy::Question;
use bendline::strategy::by_game::{Wants, solve_and_decide};
use bendline::strategy::whole::objective::Objective;
use bendline::strategy::whole::{Fineness, Options};
use bendline::units::LengthUnit;

use super::added_hazards::{holds_whole, most, usual_tee, with_areas};
use super::{bendline, demo, random, text};

const HOLES: [&str; 3] = [
    include_str!("../../holes/01-sickle.geojson"),
    include_str!("../../holes/02-kestrel.geojson"),
    include_str!("../../holes/08-pepperpot.geojson"),
];
const COUNT: u64 = 40;

#[test]
fn every_plan_of_a_hole_with_more_hazards_holds() {
    let mut player = demo::player();
    player.clubs = player.clubs.into_iter().step_by(3).collect();
    let (mut planned, mut refused) = (0, 0);
    let mut astray = Vec::new();
    for seed in 0..COUNT {
        let mut numbers = random::numbers(seed);
        let hole = random::below(&mut numbers, HOLES.len());
        let areas = random::areas(&mut numbers);
        let text = with_areas(HOLES[hole], &areas);
        let course = read_course("hole", text.as_bytes(), None).expect("a sound hole");
        let hole = &course.holes[0];
        let speed_m_s = f64::from(u8::from(seed % 4 == 3)) * 5.0;
        let day = demo::day(speed_m_s, 40.0 * seed as f64);
        let question = Question {
            hole,
            tee: usual_tee(hole),
            player: &player,
            day: &day,
            seed: 1,
        };
        let aims = [Objective::Strokes, Objective::NoDouble];
        let wants = Wants {
            aim: &aims[0],
            beside: &aims,
        };
        let options = Options {
            fineness: Fineness {
                cell_m: 6.0,
                balls: 8,
                seldom_balls: 4,
                choices: 4,
                seed: 1,
            },
            tee_balls: 256,
            evaluation_tee_balls: 1024,
            ..Options::default()
        };
        match solve_and_decide(&question, &options, &wants, &|_| {}) {
            Ok((_, found)) => {
                planned += 1;
                let held = holds_whole(&found, hole, true);
                astray.extend(held.err().map(|why| format!("{seed}: {why}")));
            }
            Err(not) => {
                refused += 1;
                assert!(not.strokes > most(hole), "{seed}: {not:?}");
                let problem: Problem =
                    not_reached::problem("hole.geojson", &not, LengthUnit::Yards);
                assert!(problem.found.contains("carries"), "{seed}: {problem}");
            }
        }
    }
    assert!(astray.is_empty(), "{astray:#?}");
    assert!(
        planned >= 20 && refused >= 4,
        "{planned} planned, {refused} refused"
    );
}

/// The holes of `tests/bad/not_reached`: exit code 1, these words, and nothing written.
#[test]
fn what_stands_in_the_way_is_named() {
    for (name, arguments, words) in NOT_REACHED {
        let folder = tempfile::tempdir().expect("a folder");
        let source = format!(
            "{}/tests/bad/not_reached/{name}.geojson",
            env!("CARGO_MANIFEST_DIR")
        );
        fs::copy(source, folder.path().join("hole.geojson")).expect("a copy");
        let mut all = arguments.to_vec();
        all.insert(1, "hole.geojson");
        let run = bendline(folder.path(), &all);
        let said = text(&run.stderr);
        assert_eq!(run.status.code(), Some(1), "{name}: {said}");
        assert_eq!(text(&run.stdout), "", "{name}");
        assert!(said.ends_with(words), "{name} {arguments:?}:\n{said}");
        let left = fs::read_dir(folder.path()).expect("a folder").count();
        assert_eq!(left, 1, "{name} leaves files");
    }
}

/// What stands in the way of a player whose clubs do not carry it.
macro_rules! not_carried {
    ($strokes:literal, $lies:literal) => {
        concat!(
            "hole.geojson: key hole 1\n",
            "  expected: a hole that takes 13 strokes at most, twice its par and five\n",
            "  found:    ",
            $strokes,
            "; ",
            $lies,
            "\n  remedy:   look whether the area is drawn where it lies; if it is, plan from a tee \
             or for a player that carries it\n"
        )
    };
}

/// The hole, the command and its options, and the end of what is said.
const NOT_REACHED: &[(&str, &[&str], &str)] = &[
    (
        "out_of_bounds_across",
        &["plan", "--it-is-so", "odd-place"],
        not_carried!(
            "no shot that leads to the green",
            "out of bounds (way/7) lies across the line of play from 69 yd to 351 yd from the tee, \
             a carry of 282 yd; the longest club, driver, carries 240 yd"
        ),
    ),
    (
        "out_of_bounds_across",
        &[
            "plan",
            "--worth",
            "table",
            "--units",
            "m",
            "--it-is-so",
            "odd-place",
        ],
        not_carried!(
            "65.5 strokes with the best tee shot",
            "out of bounds (way/7) lies across the line of play from 63 m to 321 m from the tee, a \
             carry of 258 m; the longest club, driver, carries 220 m"
        ),
    ),
    (
        "out_of_bounds_across",
        &["practice", "--it-is-so", "odd-place"],
        not_carried!(
            "no shot that leads to the green",
            "out of bounds (way/7) lies across the line of play from 69 yd to 351 yd from the tee, \
             a carry of 282 yd; the longest club, driver, carries 240 yd"
        ),
    ),
    (
        "lake_over_the_landing",
        &["plan", "--it-is-so", "odd-place"],
        "; the penalty area \"Long Mere\" (way/8) lies across the line of play from 101 yd to 362 yd \
         from the tee, a carry of 261 yd; the longest club, driver, carries 240 yd\n  remedy:   look \
         whether the area is drawn where it lies; if it is, plan from a tee or for a player that \
         carries it\n",
    ),
    (
        "wood_over_the_line",
        &["plan", "--it-is-so", "odd-place"],
        "; the wood \"Hanger\" (way/5) lies across the line of play from 5 yd to 144 yd from the tee, \
         a carry of 139 yd; the longest club, driver, carries 240 yd\n  remedy:   look whether the \
         area is drawn where it lies; if it is, plan from a tee or for a player that carries it\n",
    ),
    (
        "pond_before_the_green",
        &["plan", "--wind", "60mph@0", "--it-is-so", "gale"],
        "hole.geojson: key hole 1\n  expected: a hole that takes 11 strokes at most, twice its par \
         and five\n  found:    over 100 strokes with the best tee shot; the penalty area (way/11) \
         lies across the line of play from 25 yd to 143 yd from the tee, a carry of 118 yd; the \
         longest club, driver, carries 99 yd in this wind, 240 yd in calm air\n  remedy:   plan \
         for less wind\n",
    ),
];
