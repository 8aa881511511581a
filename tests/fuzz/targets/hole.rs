//! Hole files as bytes: JSON, GeoJSON, tags, coordinates.
#![no_main]

mod common;

use bendline::hole::{self, Coord};
use bendline::units::LengthUnit;
use libfuzzer_sys::fuzz_target;

/// A first byte that is no JSON says that the rest is in this system.
const UTM: &str = "+proj=utm +zone=33 +ellps=WGS84 +type=crs";

fuzz_target!(|data: &[u8]| {
    let (bytes, crs) = match data.split_first() {
        Some((b'~', rest)) => (rest, Some(UTM)),
        _ => (data, None),
    };
    match hole::read_course("fuzz.geojson", bytes, crs) {
        Ok(course) => {
            assert!(!course.holes.is_empty());
            common::noted(&course.notes);
            for (_, problems) in &course.broken {
                common::whole(problems);
            }
            let summary = hole::summary_text(&hole::summarise(&course), LengthUnit::Yards);
            assert!(!summary.chars().any(|c| c.is_control() && c != '\n'));
            for hole in &course.holes {
                common::noted(&hole.notes);
                assert!(!hole.tees.is_empty());
                assert!(hole.length_m.is_finite());
            }
            if common::one_in(data, 16) {
                let hole = &course.holes[0];
                let bounds = hole.bounds();
                for k in 0..16 {
                    let share = f64::from(k) / 15.0;
                    let at = Coord {
                        x: bounds.min().x + share * bounds.width(),
                        y: bounds.min().y + (1.0 - share) * bounds.height(),
                    };
                    let _ = (hole.surface_at(at), hole.patch_at(at));
                    assert!(hole.ground().height_m(at.x, at.y).is_finite());
                    let _ = hole.canopy_at(at.x, at.y);
                }
            }
        }
        Err(problems) => common::whole(&problems),
    }
});
