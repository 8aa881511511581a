//! Round files as bytes.
#![no_main]

mod common;

use bendline::round;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    match round::read("fuzz.toml", data) {
        Ok(round) => {
            if let Some(wind) = round.wind {
                assert!(wind.speed_m_s.is_finite() && (0.0..360.0).contains(&wind.from_deg));
            }
            assert!(round.humidity.is_none_or(|share| (0.0..=1.0).contains(&share)));
        }
        Err(problems) => common::whole(&problems),
    }
});
