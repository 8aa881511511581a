//! Shot logs as bytes, in every dialect. Fitting what is read is `shape`'s.
#![no_main]

mod common;

use bendline::flight::Weather;
use bendline::player::questions::{About, of_log};
use bendline::player::shotlog::{self, Decimal, Delimiter, Dialect};
use libfuzzer_sys::fuzz_target;

/// A first byte that no log begins with says what the user said of how it is written.
fn dialect(byte: u8) -> Option<Dialect> {
    let (delimiter, decimal) = match byte {
        1 => (Some(Delimiter::Comma), None),
        2 => (Some(Delimiter::Semicolon), Some(Decimal::Comma)),
        3 => (Some(Delimiter::Tab), Some(Decimal::Point)),
        4 => (None, Some(Decimal::Comma)),
        _ => return None,
    };
    Some(Dialect { delimiter, decimal })
}

fuzz_target!(|data: &[u8]| {
    let (bytes, dialect) = match data.split_first() {
        Some((&byte, rest)) if dialect(byte).is_some() => (rest, dialect(byte).unwrap_or_default()),
        _ => (data, Dialect::default()),
    };
    match shotlog::read_as("fuzz.csv", bytes, dialect) {
        Ok(log) => {
            assert!(!log.shots.is_empty());
            common::noted(&log.notes);
            let about = About {
                handedness: None,
                handicap: None,
                weather: Weather::usual(),
            };
            common::noted(&of_log(&log, &about).1);
            for shot in &log.shots {
                assert!(shot.carry_m.is_finite() && !shot.club.is_empty());
                assert!(shot.side_m.is_some() || shot.start_deg.is_some());
            }
        }
        Err(problems) => common::whole(&problems),
    }
});
