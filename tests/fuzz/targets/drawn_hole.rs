//! Hole files that are always GeoJSON: any mixture of features, anywhere on the earth.
#![no_main]

mod common;
mod sketch;

use arbitrary::Arbitrary;
use bendline::hole::{self, Coord};
use libfuzzer_sys::fuzz_target;

#[derive(Arbitrary, Debug)]
struct Input {
    place: u8,
    scale: u8,
    features: Vec<sketch::Drawn>,
}

/// Inland, on the 180th meridian, near a pole, on the equator.
const PLACES: [[f64; 2]; 4] = [[10.0, 50.0], [180.0, -17.0], [25.0, 82.0], [0.0, 0.0]];

fuzz_target!(|input: Input| {
    let scale = [1e-5, 2e-5, 4e-5, 0.1][usize::from(input.scale % 4)];
    let text = sketch::file(&input.features, scale, PLACES[usize::from(input.place % 4)]);
    match hole::read_course("fuzz.geojson", text.as_bytes(), None) {
        Ok(course) => {
            common::noted(&course.notes);
            for hole in &course.holes {
                common::noted(&hole.notes);
                for tee in &hole.tees {
                    assert!(tee.left.x.is_finite() && tee.right.y.is_finite());
                }
            }
            if common::one_in(text.as_bytes(), 32) {
                let hole = &course.holes[0];
                for step in 0..20 {
                    let at = Coord {
                        x: f64::from(step) * 20.0 - 200.0,
                        y: f64::from(step * 37 % 20) * 20.0 - 200.0,
                    };
                    let _ = (hole.surface_at(at), hole.patch_at(at));
                    assert!(hole.ground().height_m(at.x, at.y).is_finite());
                }
            }
        }
        Err(problems) => common::whole(&problems),
    }
});
