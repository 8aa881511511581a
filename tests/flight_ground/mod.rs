//! Made ground and ordinary shots for the flight tests.
#![allow(dead_code, reason = "each test binary uses its own part")]

use bendline::flight::{
    Air, Ball, Canopy, Firmness, Launch, Resting, Terrain, Turf, Weather, come_to_rest, fly,
};
use bendline::units::{MPH_M_S, RPM_RAD_S, YARD_M};
use proptest::prelude::*;

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

pub fn close(found: f64, expected: f64, within: f64, what: &str) {
    assert!(
        (found - expected).abs() <= within,
        "{what}: found {found}, expected {expected} within {within}"
    );
}

pub fn within(found: f64, band: std::ops::RangeInclusive<f64>, what: &str) {
    assert!(band.contains(&found), "{what}: {found} is not in {band:?}");
}

pub fn launch(ball_speed_mph: f64, launch_deg: f64, spin_rpm: f64, axis_deg: f64) -> Launch {
    Launch {
        ball_speed_m_s: ball_speed_mph * MPH_M_S,
        launch_deg,
        start_deg: 0.0,
        spin_rad_s: spin_rpm * RPM_RAD_S,
        axis_deg,
    }
}

// Averages that launch monitors report for tour players (memory).
pub fn driver() -> Launch {
    launch(167.0, 10.9, 2690.0, 0.0)
}
pub fn three_wood() -> Launch {
    launch(158.0, 9.2, 3655.0, 0.0)
}
pub fn seven_iron() -> Launch {
    launch(120.0, 16.3, 7097.0, 0.0)
}
pub fn wedge() -> Launch {
    launch(102.0, 24.2, 9304.0, 0.0)
}

/// A mild day at sea level over open grass.
pub fn mild() -> Air {
    let weather = Weather {
        temperature_c: 20.0,
        humidity: 0.5,
        ..Weather::default()
    };
    Air::of(&weather, 0.03)
}

pub fn rest_on(ground: &Plain, launch: Launch, firmness: Firmness, luck: f64) -> Resting {
    let flights = fly(&[launch], &[], &mild(), &Ball::modern(), -30.0);
    come_to_rest(
        ground,
        flights.ball(0),
        [0.0; 3],
        luck,
        firmness,
        &mut Vec::new(),
    )
}

pub fn run_yd(launch: Launch, turf: Turf, firmness: Firmness) -> f64 {
    let rest = rest_on(&Plain::of(turf), launch, firmness, 0.5);
    (rest.at[1] - rest.landed[1]) / YARD_M
}

/// A woods-lined, sloping, watered hole and its mirror image.
pub fn hole() -> Plain {
    Plain {
        slope: [0.02, 0.01],
        turf: |e, n| match (e, n) {
            _ if (e - 12.0).hypot(n - 215.0) < 9.0 => Turf::Sand,
            _ if e < -22.0 && n > 180.0 => Turf::Water,
            _ if (-18.0..20.0).contains(&e) => Turf::Fairway,
            _ => Turf::Rough,
        },
        canopy: |e, _| {
            let wood = Canopy {
                base_m: 3.0,
                top_m: 16.0,
            };
            (!(-25.0..30.0).contains(&e)).then_some(wood)
        },
        trees_to_m: 30.0,
    }
}

pub struct Mirrored(pub Plain);

impl Terrain for Mirrored {
    fn height_m(&self, e: f64, n: f64) -> f64 {
        self.0.height_m(-e, n)
    }
    fn gradient(&self, e: f64, n: f64) -> [f64; 2] {
        let [east, north] = self.0.gradient(-e, n);
        [-east, north]
    }
    fn turf(&self, e: f64, n: f64) -> Turf {
        self.0.turf(-e, n)
    }
    fn canopy(&self, e: f64, n: f64) -> Option<Canopy> {
        self.0.canopy(-e, n)
    }
    fn highest_canopy_m(&self) -> f64 {
        self.0.highest_canopy_m()
    }
}

/// The hole with what it knows of its trees and heights told beforehand.
pub struct Hinted(pub Plain);

impl Terrain for Hinted {
    fn height_m(&self, e: f64, n: f64) -> f64 {
        self.0.height_m(e, n)
    }
    fn gradient(&self, e: f64, n: f64) -> [f64; 2] {
        self.0.gradient(e, n)
    }
    fn turf(&self, e: f64, n: f64) -> Turf {
        self.0.turf(e, n)
    }
    fn canopy(&self, e: f64, n: f64) -> Option<Canopy> {
        self.0.canopy(e, n)
    }
    fn highest_canopy_m(&self) -> f64 {
        self.0.highest_canopy_m()
    }
    fn to_trees_m(&self, e: f64, _: f64) -> f64 {
        (e + 25.0).min(30.0 - e).max(0.0)
    }
    fn to_change_m(&self, e: f64, n: f64) -> f64 {
        if !(-25.0..30.0).contains(&e) {
            return 0.0;
        }
        let bunker = ((e - 12.0).hypot(n - 215.0) - 9.0).abs();
        let edges = [-25.0, -22.0, -18.0, 20.0, 30.0].map(|edge| (e - edge).abs());
        let shore = if e < -22.0 {
            (n - 180.0).abs()
        } else {
            f64::INFINITY
        };
        edges.into_iter().fold(bunker.min(shore), f64::min)
    }
    fn highest_ground_m(&self) -> f64 {
        // No ball of these tests comes further than 450 m on and 250 m to the side.
        0.02 * 250.0 + 0.01 * 450.0
    }
}

pub fn any_launch() -> impl Strategy<Value = Launch> {
    (
        60.0..180.0,
        -5.0..35.0,
        -12.0..12.0,
        500.0..10_000.0,
        -30.0..30.0,
    )
        .prop_map(|(mph, up, start_deg, rpm, tilt)| Launch {
            start_deg,
            ..launch(mph, up, rpm, tilt)
        })
}
