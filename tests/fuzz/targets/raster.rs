//! Rasters as bytes: ESRI ASCII grids and GeoTIFFs, beside a system of coordinates or none.
#![no_main]

mod common;

use bendline::hole;
use libfuzzer_sys::fuzz_target;

/// A first byte that begins no raster says that the rest is in this system.
const UTM: &str = "+proj=utm +zone=33 +ellps=WGS84 +type=crs";

fuzz_target!(|data: &[u8]| {
    let (bytes, crs) = match data.split_first() {
        Some((b'~', rest)) => (rest, Some(UTM)),
        _ => (data, None),
    };
    let _ = hole::looks_like_heights(bytes);
    match hole::read_heights("fuzz.tif", bytes, crs) {
        Ok(heights) => {
            let summary = heights.summary_text();
            assert!(!summary.chars().any(|c| c.is_control() && c != '\n'));
            for question in heights.asked().0 {
                common::whole(&question.problem.into());
            }
        }
        Err(problems) => common::whole(&problems),
    }
});
