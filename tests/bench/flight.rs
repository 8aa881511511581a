//! How long a flight takes, and how long a ball takes from the air to its rest.

use bendline::flight::{
    AimWind, Air, Ball, Canopy, Firmness, Launch, Terrain, Turf, Weather, come_to_rest, fly,
};
use bendline::units::RPM_RAD_S;
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;

const BALLS: usize = 4096;

/// Flat fairway without a tree: what the ground costs at the least.
struct Flat;

impl Terrain for Flat {
    fn height_m(&self, _: f64, _: f64) -> f64 {
        0.0
    }
    fn gradient(&self, _: f64, _: f64) -> [f64; 2] {
        [0.0, 0.0]
    }
    fn turf(&self, _: f64, _: f64) -> Turf {
        Turf::Fairway
    }
    fn canopy(&self, _: f64, _: f64) -> Option<Canopy> {
        None
    }
    fn highest_canopy_m(&self) -> f64 {
        f64::NEG_INFINITY
    }
    fn highest_ground_m(&self) -> f64 {
        0.0
    }
}

/// The same, with a wood on both sides of a chute 30 m wide.
struct Chute;

impl Terrain for Chute {
    fn height_m(&self, _: f64, _: f64) -> f64 {
        0.0
    }
    fn gradient(&self, _: f64, _: f64) -> [f64; 2] {
        [0.0, 0.0]
    }
    fn turf(&self, east_m: f64, _: f64) -> Turf {
        if east_m.abs() > 15.0 {
            Turf::WoodFloor
        } else {
            Turf::Fairway
        }
    }
    fn canopy(&self, east_m: f64, _: f64) -> Option<Canopy> {
        (east_m.abs() > 15.0).then_some(Canopy {
            base_m: 3.0,
            top_m: 18.0,
        })
    }
    fn highest_canopy_m(&self) -> f64 {
        18.0
    }
    fn highest_ground_m(&self) -> f64 {
        0.0
    }
}

/// Drives about one centre, spread like a player's, in a gusty wind.
fn drives() -> (Vec<Launch>, Vec<AimWind>) {
    (0..BALLS)
        .map(|i| {
            let u = |stride: usize| (i * stride % BALLS) as f64 / BALLS as f64 - 0.5;
            let launch = Launch {
                ball_speed_m_s: 68.0 + 8.0 * u(1031),
                launch_deg: 12.0 + 5.0 * u(2053),
                start_deg: 8.0 * u(877),
                spin_rad_s: (2700.0 + 1500.0 * u(1663)) * RPM_RAD_S,
                axis_deg: -5.0 + 16.0 * u(3011),
            };
            let wind = AimWind {
                right_m_s: 3.0 + 4.0 * u(619),
                forward_m_s: -4.0 + 4.0 * u(1327),
            };
            (launch, wind)
        })
        .unzip()
}

fn bench(criterion: &mut Criterion) {
    let (launches, winds) = drives();
    let air = Air::of(&Weather::default(), 0.03);
    let mut group = criterion.benchmark_group("flight");
    group.throughput(Throughput::Elements(BALLS as u64));
    group.bench_function("fly", |b| {
        b.iter(|| fly(black_box(&launches), &winds, &air, &Ball::modern(), -1.0));
    });
    group.bench_function("fly older ball", |b| {
        b.iter(|| {
            fly(
                black_box(&launches),
                &winds,
                &air,
                &Ball::smits_smith(),
                -1.0,
            )
        });
    });
    let flights = fly(&launches, &winds, &air, &Ball::modern(), -1.0);
    group.bench_function("turn", |b| b.iter(|| black_box(&flights).turned(37.0)));
    group.bench_function("rest on flat fairway", |b| {
        b.iter(|| rest(&Flat, black_box(&flights)))
    });
    group.bench_function("rest in a chute", |b| {
        b.iter(|| rest(&Chute, black_box(&flights)))
    });
    group.finish();
}

fn rest<T: Terrain>(terrain: &T, flights: &bendline::flight::Flights) -> f64 {
    let mut track = Vec::new();
    (0..flights.len())
        .map(|i| {
            let luck = (i as f64 + 0.5) / BALLS as f64;
            let ball = flights.ball(i);
            let at = come_to_rest(terrain, ball, [0.0; 3], luck, Firmness::Medium, &mut track);
            at.at[1]
        })
        .sum()
}

criterion_group!(benches, bench);
criterion_main!(benches);
