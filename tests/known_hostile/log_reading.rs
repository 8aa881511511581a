//! What people write in a log is read, and what can be read in two ways is refused with both.

use std::fs;

use bendline::player::shotlog::{self, Shot};
use bendline::units::YARD_M;

use crate::{bendline, limited, processor, text};

fn shots(log: &str) -> Vec<Shot> {
    match shotlog::read("log.csv", log.as_bytes()) {
        Ok(log) => log.shots,
        Err(problems) => panic!("{problems}"),
    }
}

/// Exit code and standard error of `check`.
fn checked(log: &str) -> (Option<i32>, String) {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("log.csv"), log).expect("a file");
    let run = bendline(folder.path(), &["check", "log.csv"]);
    (run.status.code(), text(&run.stderr).to_owned())
}

#[test]
fn a_side_in_words() {
    let plain = shots(
        "club,carry_yd,side_yd,start_deg,curve_yd,strike_mm\n\
         driver,230,29,2.5,-10,5\ndriver,231,-10,-1,4,-3\n",
    );
    for words in [
        "driver,230,29R,2.5R,10 left,5 toe\ndriver,231,10L,L1,4 R,heel 3\n",
        "driver,230,R29,2.5\u{b0} R,L10,5T\ndriver,231,10 left,1 left,right 4,3H\n",
        "driver,230 yd,29 yd right,R 2.5 deg,10l,5 mm toe\ndriver,231yd,L 10 yd,1L,4r,heel 3 mm\n",
        "driver,230,+29R,+2.5,-10 yd,+5\ndriver,231,\u{2212}10,-1\u{b0},4yds,-3mm\n",
    ] {
        let log = format!("club,carry_yd,side_yd,start_deg,curve_yd,strike_mm\n{words}");
        assert_eq!(shots(&log), plain, "{words}");
    }
    let comma = "club;carry_yd;side_yd;spin_rpm\ndriver;230,5;29,25R;2.650 rpm\n";
    let read = shots(comma);
    assert!((read[0].side_m.unwrap() / YARD_M - 29.25).abs() < 1e-9);
    assert_eq!(read[0].spin_rpm, Some(2650.0));
    let (code, said) = checked("club,carry_yd,side_yd\ndriver,230,29R\ndriver,231,4L\n");
    assert_eq!(code, Some(0));
    assert!(
        said.contains(
            "log.csv: line 2, column \"side_yd\": \"29R\" and the like: read as right or toe \
             positive, left or heel negative"
        ),
        "{said}"
    );
}

#[test]
fn two_readings_are_refused_with_both() {
    for (cell, expected, found, remedy) in [
        (
            "side_yd\ndriver,230,-29R",
            "a sign or a word for the side, not both",
            "\"-29R\": 29 right, or 29 left by its sign too",
            "write 29 right, or the number with its sign alone",
        ),
        (
            "side_yd\ndriver,230,-10 left",
            "a sign or a word for the side, not both",
            "\"-10 left\": 10 left, or 10 right by its sign too",
            "write 10 left, or the number with its sign alone",
        ),
        (
            "side_yd,strike_mm\ndriver,230,3,5R",
            "a number, towards the toe positive, or with toe or heel",
            "\"5R\": towards the toe of one player, towards the heel of another",
            "write toe or heel, as in 5 toe",
        ),
        (
            "side_yd\ndriver,230,10 toe",
            "a number, right positive, or with left or right",
            "\"10 toe\": right for one hand, left for the other",
            "write left or right, as in 5 right",
        ),
        (
            "side_yd\ndriver,238 m,3",
            "a number in yd, as the heading says",
            "\"238 m\"",
            "keep one unit in a column: change the cell, or the heading",
        ),
        (
            "side_yd\n5,160,3",
            "the name of one club",
            "\"5\": a 5-iron, a 5-wood or a 5-hybrid",
            "write 5i, 5w or 5h",
        ),
    ] {
        let (code, said) = checked(&format!("club,carry_yd,{cell}\n"));
        assert_eq!(code, Some(1), "{cell}: {said}");
        let words = format!("  expected: {expected}\n  found:    {found}\n  remedy:   {remedy}\n");
        assert!(said.contains(&words), "{cell}:\n{said}");
    }
}

#[test]
fn one_club_however_it_is_spelt() {
    let read = shots(
        "club,carry_yd,side_yd\n7 iron,150,1\n7-iron,151,1\n7I,152,1\niron 7,149,1\n7,150,1\n\
         Driver,240,2\nD,241,2\n3 wood,220,2\n3W,221,2\nPitching Wedge,120,2\nPW,121,2\n\
         SW,90,1\nsand wedge,91,1\n56\u{b0},88,1\n56,87,1\nGW,100,1\nAW,101,1\n",
    );
    let mut clubs: Vec<&str> = read.iter().map(|shot| shot.club.as_str()).collect();
    clubs.dedup();
    let expected = [
        "7 iron",
        "Driver",
        "3 wood",
        "Pitching Wedge",
        "SW",
        "56\u{b0}",
        "GW",
        "AW",
    ];
    assert_eq!(clubs, expected);
    let (code, said) = checked("club,carry_yd,side_yd\n7 iron,150,1\n7-iron,151,1\nD,240,1\n");
    assert_eq!(code, Some(0));
    assert!(
        said.contains("log.csv: whole file: taken for one club: 7 iron = 7-iron\n"),
        "{said}"
    );
}

#[test]
fn a_column_that_is_wrong_in_every_row_is_one_problem() {
    let rows: String = (0..56)
        .map(|k| format!("driver,{},about 5\n", 220 + k))
        .collect();
    let (code, said) = checked(&format!("club,carry_yd,side_yd\n{rows}"));
    assert_eq!(code, Some(1));
    assert_eq!(said.matches("expected:").count(), 1, "{said}");
    assert!(
        said.contains(
            "log.csv: line 2, column \"side_yd\"\n  expected: a number\n  found:    \"about 5\", and \
             the like in all 56 rows\n"
        ),
        "{said}"
    );
    // Carries in feet under yards, in most rows.
    let rows: String = (0..300)
        .map(|k| format!("driver,{},5\n", 380 + k))
        .collect();
    let (_, said) = checked(&format!("club,carry_yd,side_yd\n{rows}"));
    assert_eq!(said.matches("expected:").count(), 1, "{said}");
    assert!(
        said.contains("  found:    401 yd, and the like in 279 of 300 rows\n"),
        "{said}"
    );
}

#[test]
fn a_plus_handicap_is_better_than_scratch() {
    let folder = tempfile::tempdir().expect("a folder");
    let log = "club,carry_yd,side_yd\ndriver,270,5\ndriver,268,-3\n7i,170,1\n";
    fs::write(folder.path().join("log.csv"), log).expect("a file");
    let run = bendline(folder.path(), &["shape", "log.csv", "--handicap", "+2"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    assert!(text(&run.stdout).contains("Handicap Index -2.0"));
    assert!(
        text(&run.stderr).contains(
            "command line: --handicap +2: a plus handicap is better than scratch: read as -2\n"
        ),
        "{}",
        text(&run.stderr)
    );
    let run = bendline(folder.path(), &["shape", "log.csv", "--handicap", "+9"]);
    assert_eq!(run.status.code(), Some(2));
    assert!(
        text(&run.stderr).contains(
            "expected a Handicap Index from +5 (better than scratch; -5 says the same) to 54; \
             write it like 12, 3.4 or +2"
        ),
        "{}",
        text(&run.stderr)
    );
}

/// The most shots that a log may have: under a gigabyte, ten seconds of two processors.
#[test]
fn the_longest_log_is_bounded() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut rows = String::from("club,shape,carry_yd,side_yd,start_deg,curve_yd\n");
    let clubs = ["driver", "3w", "5w", "5i", "7i", "9i", "pw"];
    for k in 0..50_000_usize {
        let wobble = (k.wrapping_mul(2_654_435_761) % 1_000_003) as f64 / 1_000_003.0;
        let other = (k.wrapping_mul(40_503) % 65_537) as f64 / 65_537.0;
        let club = clubs[k % clubs.len()];
        let carry = 240.0 - 20.0 * (k % clubs.len()) as f64 + 20.0 * wobble;
        let (start, curve) = (4.0 * other - 2.0, -4.0 - 10.0 * wobble);
        let side = carry * f64::to_radians(start).sin() + curve;
        rows += &format!("{club},draw,{carry:.2},{side:.2},{start:.2},{curve:.2}\n");
    }
    fs::write(folder.path().join("log.csv"), rows).expect("a file");
    let limits = format!("ulimit -v 1000000; {}", processor(6.0));
    let run = limited(folder.path(), &limits, &["check", "log.csv"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    assert!(text(&run.stdout).contains("a log of 50000 shots"));
}
