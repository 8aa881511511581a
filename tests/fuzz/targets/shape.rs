//! Logs that are always sound CSV, fitted: any number of shots with any numbers in any columns. The
//! player that comes of it is written, read again, and the same.
#![no_main]

mod common;

use std::fmt::Write as _;

use arbitrary::Arbitrary;
use bendline::flight::{Firmness, Weather};
use bendline::player::fit::{FitOptions, fit};
use bendline::player::{Handedness, file, shotlog};
use libfuzzer_sys::fuzz_target;

#[derive(Arbitrary, Debug)]
struct Input {
    left_handed: bool,
    /// Which columns there are.
    columns: u16,
    firmness: u8,
    temperature: i8,
    /// A club and fifteen numbers, each between the bounds of its column.
    shots: Vec<(u8, [u8; 15])>,
}

/// Headings with the bounds that a log may hold.
const COLUMNS: [(&str, f64, f64); 15] = [
    ("carry_yd", 1.0, 400.0),
    ("side_yd", -200.0, 200.0),
    ("start_deg", -80.0, 80.0),
    ("curve_yd", -200.0, 200.0),
    ("total_yd", 0.0, 450.0),
    ("ball_speed_mph", 5.0, 240.0),
    ("launch_deg", -20.0, 75.0),
    ("spin_rpm", 100.0, 16_000.0),
    ("axis_deg", -90.0, 90.0),
    ("club_speed_mph", 5.0, 160.0),
    ("attack_deg", -25.0, 25.0),
    ("path_deg", -35.0, 35.0),
    ("face_deg", -45.0, 45.0),
    ("strike_mm", -60.0, 60.0),
    ("mood", 0.0, 9.0),
];
const CLUBS: [&str; 6] = ["driver", "3w", "7i", "sw", "putter", "<b>x</b>"];
/// A fit's time grows with the shots; more of the same are no new case.
const MOST_SHOTS: usize = 24;

fn log(input: &Input) -> String {
    // Carry and side are needed.
    let there = |k: usize| k < 2 || input.columns >> k & 1 == 1;
    let mut text = String::from("club");
    for (k, (heading, ..)) in COLUMNS.iter().enumerate() {
        if there(k) {
            let _ = write!(text, ",{heading}");
        }
    }
    for (club, numbers) in input.shots.iter().take(MOST_SHOTS) {
        let _ = write!(text, "\n{}", CLUBS[usize::from(*club) % CLUBS.len()]);
        for (k, (_, low, high)) in COLUMNS.iter().enumerate() {
            // 255 is an empty cell where one is allowed.
            if there(k) && k > 1 && numbers[k] == 255 {
                text.push(',');
            } else if there(k) {
                let value = low + (high - low) * f64::from(numbers[k]) / 255.0;
                let _ = write!(text, ",{value:.2}");
            }
        }
    }
    text.push('\n');
    text
}

fuzz_target!(|input: Input| {
    common::one_thread();
    let log = match shotlog::read("fuzz.csv", log(&input).as_bytes()) {
        Ok(log) => log,
        Err(problems) => return common::whole(&problems),
    };
    let options = FitOptions {
        handedness: if input.left_handed {
            Handedness::Left
        } else {
            Handedness::Right
        },
        handicap: None,
        weather: Weather {
            temperature_c: f64::from(input.temperature) / 3.0,
            pressure_pa: 101_325.0,
            humidity: 0.5,
        },
        firmness: [Firmness::Soft, Firmness::Medium, Firmness::Firm]
            [usize::from(input.firmness % 3)],
    };
    match fit(&log, &options) {
        Ok(player) => {
            common::noted(&player.notes);
            let written = file::to_json(&player);
            match file::from_json("fuzz.json", written.as_bytes()) {
                Ok(again) => assert_eq!(file::to_json(&again), written),
                Err(problems) => panic!("{problems}\n{written}"),
            }
        }
        Err(problems) => common::whole(&problems),
    }
});
