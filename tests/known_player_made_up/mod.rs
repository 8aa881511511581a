//! Made-up players and their logs, for the tests of the player.
#![allow(clippy::needless_range_loop)] // rows and columns, as in the formulas
#![allow(dead_code)] // not every test file uses all of it

pub mod kinds;

use bendline::flight::{Air, Ball, Firmness, Launch, Weather, fly};
use bendline::player::club::Club;
use bendline::player::fit::FitOptions;
use bendline::player::matrix::cholesky;
use bendline::player::pattern::{AXIS, START};
use bendline::player::shotlog::{Shot, ShotLog};
use bendline::player::{Handedness, LaunchModel, prior};
use bendline::sample::{DIMENSIONS, Point, normal_quantile};
use bendline::units::RPM_RAD_S;

/// Independent random numbers (splitmix64): logs must be as uneven as life, so
/// no low-discrepancy points here.
pub struct Luck(pub u64);

impl Luck {
    pub fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        ((z >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    pub fn normal(&mut self) -> f64 {
        normal_quantile(self.uniform())
    }

    pub fn point(&mut self) -> Point {
        std::array::from_fn::<f64, DIMENSIONS, _>(|_| self.uniform())
    }
}

pub fn weather() -> Weather {
    Weather {
        temperature_c: 20.0,
        pressure_pa: 101_325.0,
        humidity: 0.5,
    }
}

pub fn options(handedness: Handedness, handicap: f64) -> FitOptions {
    FitOptions {
        handedness,
        handicap: Some(handicap),
        weather: weather(),
        firmness: Firmness::Medium,
    }
}

/// Carry and side of launches, flown without the player module's own range.
pub fn land(launches: &[Launch]) -> Vec<[f64; 2]> {
    let air = Air::of(&weather(), 0.03);
    let flights = fly(launches, &[], &air, &Ball::modern(), 0.0);
    (0..launches.len())
        .map(|i| {
            let [right, forward, _] = flights.ball(i).landing_on_level(0.0).position_m;
            [f64::from(right).hypot(f64::from(forward)), f64::from(right)]
        })
        .collect()
}

/// Right and along instead of carry and side.
pub fn places(landings: &[[f64; 2]]) -> Vec<[f64; 2]> {
    landings
        .iter()
        .map(|[carry, side]| [*side, (carry * carry - side * side).max(0.0).sqrt()])
        .collect()
}

/// What a log shows of its shots.
#[derive(Clone, Copy, Debug)]
pub enum Shown {
    Everything,
    CarryStartCurve,
    CarrySide,
}

pub fn log_of(club: &str, shape: Option<&str>, launches: &[Launch], shown: Shown) -> ShotLog {
    let shots = launches
        .iter()
        .zip(land(launches))
        .enumerate()
        .map(|(i, (launch, [carry_m, side_m]))| {
            let direction = (side_m / carry_m).clamp(-1.0, 1.0).asin().to_degrees();
            let curve_m = carry_m * (direction - launch.start_deg).to_radians().sin();
            let mut shot = Shot {
                line: i + 2,
                club: club.to_owned(),
                shape: shape.map(str::to_owned),
                carry_m,
                ..Shot::default()
            };
            match shown {
                Shown::Everything => {
                    shot.side_m = Some(side_m);
                    shot.start_deg = Some(launch.start_deg);
                    shot.ball_speed_m_s = Some(launch.ball_speed_m_s);
                    shot.launch_deg = Some(launch.launch_deg);
                    shot.spin_rpm = Some(launch.spin_rad_s / RPM_RAD_S);
                    shot.axis_deg = Some(launch.axis_deg);
                }
                Shown::CarryStartCurve => {
                    shot.start_deg = Some(launch.start_deg);
                    shot.curve_m = Some(curve_m);
                }
                Shown::CarrySide => shot.side_m = Some(side_m),
            }
            shot
        })
        .collect();
    ShotLog {
        file: "log.csv".to_owned(),
        shots,
        ..ShotLog::default()
    }
}

/// A player made up at random: spreads, correlations, tails and mishits that
/// are *not* drawn from the fit's own prior family, and a level told wrongly.
pub fn made_up(luck: &mut Luck) -> (LaunchModel, &'static str, f64) {
    let handicap = -5.0 + 31.0 * luck.uniform();
    let common = (0.15 * luck.normal()).exp();
    let told = (handicap + 4.0 * luck.normal()).clamp(-8.0, 40.0);
    let club = (luck.uniform() * 4.0) as usize;
    let (model, club) = made_up_club(luck, club, handicap, common);
    (model, club, told)
}

pub fn made_up_club(
    luck: &mut Luck,
    club: usize,
    handicap: f64,
    common: f64,
) -> (LaunchModel, &'static str) {
    let bag = [
        ("driver", 58.0, 74.0),
        ("5w", 54.0, 66.0),
        ("7i", 44.0, 54.0),
        ("pw", 36.0, 45.0),
    ];
    let (club, slow, fast) = bag[club];
    let speed = slow + (fast - slow) * luck.uniform();
    let carry_m = 230.0 * (speed / 66.0_f64).powf(1.6) * if club == "driver" { 1.0 } else { 0.95 };
    let (angle, spin) = Club::of(club).usual_launch(carry_m);
    let level = prior::covariance(handicap, Club::of(club).family, speed, spin);
    let spread: [f64; 5] =
        std::array::from_fn(|k| level[k][k].sqrt() * common * (0.25 * luck.normal()).exp());
    let mut correlation = [[0.0; 5]; 5];
    for i in 0..5 {
        correlation[i][i] = 1.0;
        for j in 0..i {
            correlation[i][j] = 0.5 * (luck.uniform() - 0.5);
            correlation[j][i] = correlation[i][j];
        }
    }
    correlation[START][AXIS] = -0.2 + 0.8 * luck.uniform();
    correlation[AXIS][START] = correlation[START][AXIS];
    let dof = [4.0, 6.0, 10.0, 30.0][(luck.uniform() * 4.0) as usize];
    let scale = std::array::from_fn(|i| {
        std::array::from_fn(|j| correlation[i][j] * spread[i] * spread[j] * (dof - 2.0) / dof)
    });
    assert!(
        cholesky(&scale).is_some(),
        "a made-up player must be possible"
    );
    let model = LaunchModel {
        centre: [
            speed,
            angle + 1.5 * luck.normal(),
            2.5 * luck.normal(),
            spin * (0.08 * luck.normal()).exp(),
            5.0 * luck.normal(),
        ],
        scale,
        dof,
        mishit_share: (prior::mishit_share(handicap) * (0.4 * luck.normal()).exp()).min(0.15),
        handedness: Handedness::Right,
    };
    (model, club)
}
