//! Broken shot logs, player files, round files and rasters of heights, each with the exact text it
//! is met with.
//!
//! Every file of `tests/bad/log`, `player`, `round` and `raster` has a sibling with the ending
//! `.expected`, and one with `.crs` where it is read in a system of its own. To write a new case,
//! run with `BENDLINE_WRITE_EXPECTED=1` and read what was written before keeping it.

use std::path::{Path, PathBuf};

use bendline::diagnostic::Problems;
use bendline::flight::{Firmness, Weather};
use bendline::hole::read_heights;
use bendline::player::fit::{FitOptions, fit};
use bendline::player::{Handedness, file, shotlog};
use bendline::round;

/// How many cases there are of each kind.
const LOGS: usize = 39;
const PLAYERS: usize = 32;
const ROUNDS: usize = 26;
const RASTERS: usize = 20;

fn broken(folder: &str, endings: &[&str]) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/bad")
        .join(folder);
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| {
            path.extension()
                .is_some_and(|e| endings.iter().any(|ending| e == *ending))
        })
        .collect();
    files.sort();
    files
}

/// Reads a log and fits it, as the commands do.
fn log_problems(name: &str, bytes: &[u8]) -> Option<Problems> {
    let weather = Weather {
        temperature_c: 20.0,
        pressure_pa: 101_325.0,
        humidity: 0.5,
    };
    let options = FitOptions {
        handedness: Handedness::Right,
        handicap: None,
        weather,
        firmness: Firmness::Medium,
    };
    match shotlog::read(name, bytes) {
        Err(problems) => Some(problems),
        Ok(log) => fit(&log, &options).err(),
    }
}

fn meets_its_text(files: &[PathBuf], problems: impl Fn(&str, &[u8]) -> Option<Problems>) {
    let mut wrong = Vec::new();
    for path in files {
        let name = path
            .file_name()
            .and_then(|n| n.to_str())
            .expect("a plain name");
        let bytes = std::fs::read(path).expect("the file");
        let said =
            problems(name, &bytes).map_or_else(|| "no problem".to_owned(), |p| p.to_string());
        let beside = path.with_extension("expected");
        if std::env::var_os("BENDLINE_WRITE_EXPECTED").is_some() && !beside.exists() {
            std::fs::write(&beside, format!("{said}\n")).expect("a file written");
        }
        let expected = std::fs::read_to_string(beside).unwrap_or_default();
        if said.trim_end() != expected.trim_end() {
            wrong.push(format!(
                "== {}\n{said}\n== expected\n{expected}",
                path.display()
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn broken_logs_meet_their_exact_text() {
    let files = broken("log", &["csv"]);
    assert_eq!(files.len(), LOGS, "a broken log was added or lost");
    meets_its_text(&files, log_problems);
}

#[test]
fn broken_player_files_meet_their_exact_text() {
    let files = broken("player", &["json"]);
    assert_eq!(
        files.len(),
        PLAYERS,
        "a broken player file was added or lost"
    );
    meets_its_text(&files, |name, bytes| file::from_json(name, bytes).err());
}

#[test]
fn broken_round_files_meet_their_exact_text() {
    let files = broken("round", &["toml"]);
    assert_eq!(files.len(), ROUNDS, "a broken round file was added or lost");
    meets_its_text(&files, |name, bytes| round::read(name, bytes).err());
}

#[test]
fn broken_rasters_meet_their_exact_text() {
    let files = broken("raster", &["asc", "tif"]);
    assert_eq!(files.len(), RASTERS, "a broken raster was added or lost");
    meets_its_text(&files, |name, bytes| {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad/raster");
        let crs = std::fs::read_to_string(folder.join(name).with_extension("crs")).ok();
        read_heights(name, bytes, crs.as_deref().map(str::trim)).err()
    });
}

#[test]
fn blank_lines_a_byte_order_mark_and_unknown_columns_are_tolerated() {
    let text = "\u{feff}Club, Carry_YD ,side_ft,mood\r\n\r\n Driver , 230.5 ,-15,fine\r\n,,,\r\ndriver,228,6,\r\n";
    let log = shotlog::read("log.csv", text.as_bytes()).expect("a good log");
    assert_eq!(log.shots.len(), 2);
    assert_eq!(log.shots[0].line, 3);
    assert_eq!(log.shots[1].line, 5);
    assert_eq!(log.shots[0].club, "Driver");
    assert_eq!(log.shots[1].club, "Driver", "one club whatever its case");
    assert!((log.shots[0].carry_m - 230.5 * 0.9144).abs() < 1e-12);
    assert!((log.shots[0].side_m.unwrap() + 15.0 * 0.3048).abs() < 1e-12);
    let notes: Vec<String> = log.notes.iter().map(ToString::to_string).collect();
    assert_eq!(
        notes,
        ["log.csv: line 1, column \"mood\": this column is not read"]
    );
}

#[test]
fn whatever_comes_nothing_panics() {
    let seed = "club,carry_yd,side_yd,start_deg,curve_yd\ndriver,230,5,1,3\n7i,150,-4,0,-4\n";
    let json = include_str!("bad/player/club_twice.json");
    let mut state = 1_u64;
    for _ in 0..3000 {
        for (text, is_log) in [(seed, true), (json, false)] {
            let mut bytes = text.as_bytes().to_vec();
            for _ in 0..4 {
                state = state
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1);
                let at = (state >> 33) as usize % bytes.len();
                bytes[at] = (state >> 13) as u8;
            }
            if is_log {
                let _ = log_problems("log.csv", &bytes);
            } else {
                let _ = file::from_json("player.json", &bytes);
            }
        }
    }
}

#[test]
fn fifty_thousand_rows_read_in_a_second() {
    let mut text = String::from(
        "club,carry_yd,side_yd,start_deg,curve_yd,ball_speed_mph,launch_deg,spin_rpm\n",
    );
    for i in 0..50_000 {
        text.push_str(&format!(
            "driver,{}.5,{},1.5,-4.2,150.3,12.1,2650\n",
            220 + i % 30,
            i % 17
        ));
    }
    let started = std::time::Instant::now();
    let log = shotlog::read("log.csv", text.as_bytes()).expect("a good log");
    assert_eq!(log.shots.len(), 50_000);
    assert!(
        started.elapsed().as_secs_f64() < 1.0,
        "{:?}",
        started.elapsed()
    );
}
