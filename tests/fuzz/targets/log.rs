//! Shot logs as bytes; a share of the sound ones is fitted.
#![no_main]

mod common;

use bendline::flight::{Firmness, Weather};
use bendline::player::{Handedness, file};
use bendline::player::fit::{FitOptions, fit};
use bendline::player::shotlog;
use libfuzzer_sys::fuzz_target;

fn options() -> FitOptions {
    FitOptions {
        handedness: Handedness::Right,
        handicap: None,
        weather: Weather {
            temperature_c: 20.0,
            pressure_pa: 101_325.0,
            humidity: 0.5,
        },
        firmness: Firmness::Medium,
    }
}

fuzz_target!(|data: &[u8]| {
    match shotlog::read("fuzz.csv", data) {
        Ok(log) => {
            assert!(!log.shots.is_empty());
            common::noted(&log.notes);
            for shot in &log.shots {
                assert!(shot.carry_m.is_finite() && !shot.club.is_empty());
                assert!(shot.side_m.is_some() || shot.start_deg.is_some());
            }
            if common::one_in(data, 64) {
                match fit(&log, &options()) {
                    Ok(player) => {
                        let written = file::to_json(&player);
                        let again = file::from_json("fuzz.json", written.as_bytes());
                        assert!(again.is_ok(), "{}", again.unwrap_err());
                    }
                    Err(problems) => common::whole(&problems),
                }
            }
        }
        Err(problems) => common::whole(&problems),
    }
});
