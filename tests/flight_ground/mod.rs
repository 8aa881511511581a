//! Made ground for the flight tests.
#![allow(dead_code, reason = "each test binary uses its own part")]

use bendline::flight::{Canopy, Terrain, Turf};

/// A plane of one slope, with a turf and a tree each given by a function.
pub struct Plain {
    pub slope: [f64; 2],
    pub turf: fn(f64, f64) -> Turf,
    pub canopy: fn(f64, f64) -> Option<Canopy>,
    /// No tree reaches higher than this, m.
    pub trees_to_m: f64,
}

impl Plain {
    /// Flat ground of one turf, without trees.
    pub fn of(turf: Turf) -> Self {
        Self {
            slope: [0.0; 2],
            turf: match turf {
                Turf::Fairway => |_, _| Turf::Fairway,
                Turf::Green => |_, _| Turf::Green,
                Turf::Rough => |_, _| Turf::Rough,
                Turf::Sand => |_, _| Turf::Sand,
                Turf::WoodFloor => |_, _| Turf::WoodFloor,
                Turf::Water => |_, _| Turf::Water,
            },
            canopy: |_, _| None,
            trees_to_m: f64::NEG_INFINITY,
        }
    }
}

impl Terrain for Plain {
    fn height_m(&self, east_m: f64, north_m: f64) -> f64 {
        self.slope[0] * east_m + self.slope[1] * north_m
    }
    fn gradient(&self, _: f64, _: f64) -> [f64; 2] {
        self.slope
    }
    fn turf(&self, east_m: f64, north_m: f64) -> Turf {
        (self.turf)(east_m, north_m)
    }
    fn canopy(&self, east_m: f64, north_m: f64) -> Option<Canopy> {
        (self.canopy)(east_m, north_m)
    }
    fn highest_canopy_m(&self) -> f64 {
        self.trees_to_m
    }
}
