//! Bags by level, built from the belief that the fit starts from, and a day.
#![allow(dead_code, reason = "each test binary uses its own part")]

use super::common::Sketch;
use bendline::flight::air::{Air, Weather, Wind};
use bendline::flight::ball::Ball;
use bendline::flight::level::fly_level;
use bendline::flight::{Firmness, Launch};
use bendline::outcome::Day;
use bendline::player::club::Club;
use bendline::player::{Basis, ClubShape, Handedness, LaunchModel, Player, prior};
use bendline::units::{RPM_RAD_S, YARD_M};
use serde_json::json;

/// Clubs and carries of a strong player, yards: the table of
/// `player::club` (practice), its gaps filled by loft.
const STRONG: [(&str, f64); 13] = [
    ("driver", 275.0),
    ("3w", 245.0),
    ("5w", 230.0),
    ("4i", 203.0),
    ("5i", 192.0),
    ("6i", 182.0),
    ("7i", 170.0),
    ("8i", 158.0),
    ("9i", 146.0),
    ("pw", 136.0),
    ("51", 120.0),
    ("55", 106.0),
    ("60", 90.0),
];

/// A calm day at sea level.
pub fn calm() -> Day {
    Day {
        air: Air::of(
            &Weather {
                temperature_c: 20.0,
                pressure_pa: 101_325.0,
                humidity: 0.5,
            },
            0.03,
        ),
        wind: Wind {
            speed_m_s: 0.0,
            from_deg: 0.0,
            gust_share: 0.0,
        },
        ball: Ball::modern(),
        firmness: Firmness::Medium,
    }
}

fn carry_m(speed: f64, launch_deg: f64, spin_rpm: f64) -> f64 {
    let launch = Launch {
        ball_speed_m_s: speed,
        launch_deg,
        start_deg: 0.0,
        spin_rad_s: spin_rpm * RPM_RAD_S,
        axis_deg: 0.0,
    };
    fly_level(
        &[launch],
        &[],
        &calm().air,
        &Ball::modern(),
        Firmness::Medium,
    )[0]
    .carry_m
}

/// A straight club of this name and carry at a level: spreads and mishits are
/// what the fit believes before it sees a shot.
pub fn club(name: &str, carry_yd: f64, handicap: f64) -> ClubShape {
    let kind = Club::of(name);
    let carry = carry_yd * YARD_M;
    let (launch, spin) = kind.usual_launch(carry);
    let (mut low, mut high) = (5.0, 95.0);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if carry_m(middle, launch, spin) < carry {
            low = middle;
        } else {
            high = middle;
        }
    }
    let dof = 8.0;
    let covariance = prior::covariance(handicap, kind.family, low, spin);
    ClubShape {
        club: name.to_owned(),
        shape: "straight".to_owned(),
        launches: LaunchModel {
            centre: [low, launch, 0.0, spin, 0.0],
            scale: covariance.map(|row| row.map(|cell| cell * (dof - 2.0) / dof)),
            dof,
            mishit_share: prior::mishit_share(handicap),
            handedness: Handedness::Right,
        },
        shots: 0,
        basis: Basis::Given,
        carry_m: carry,
        set_up: Default::default(),
        part_share: None,
    }
}

/// Mean distance left, feet, after tour players' approaches from the fairway,
/// by yards to the hole (memory, about 75 %).
const LEFT_FT: [(f64, f64); 7] = [
    (90.0, 16.5),
    (112.0, 19.5),
    (137.0, 23.0),
    (162.0, 27.5),
    (187.0, 34.0),
    (212.0, 42.0),
    (237.0, 53.0),
];

fn left_ft(yd: f64) -> f64 {
    let yd = yd.min(250.0);
    let pair = LEFT_FT
        .windows(2)
        .find(|pair| yd <= pair[1].0)
        .unwrap_or(&LEFT_FT[5..7]);
    let ((a, fa), (b, fb)) = (pair[0], pair[1]);
    fa + (fb - fa) * (yd - a) / (b - a)
}

/// A tour-level bag. The driver scatters as published (3–4° offline, Broadie
/// 2014, read second-hand); every other club's scatter is widened evenly until
/// its balls lie, on average, as far from their own middle distance and line
/// as tour players' approaches from that far do from the hole.
pub fn tour() -> Player {
    let mut player = bag(-5.0, 1.0);
    let points = bendline::sample::points(3, 2048);
    for club in player.clubs.iter_mut().skip(1) {
        let target_m = left_ft(club.carry_m / YARD_M) * 0.3048;
        for _ in 0..4 {
            let launches = club.launches.draw_all(&points);
            let day = calm();
            let flown = fly_level(&launches, &[], &day.air, &day.ball, day.firmness);
            let count = flown.len() as f64;
            let middle = flown.iter().map(|b| b.carry_m).sum::<f64>() / count;
            let got = flown
                .iter()
                .map(|b| (b.carry_m - middle).hypot(b.landing_side_m))
                .sum::<f64>()
                / count;
            let wider = (target_m / got).powi(2);
            for row in &mut club.launches.scale {
                for cell in row {
                    *cell *= wider;
                }
            }
        }
    }
    player
}

/// A plain hole northwards, its pin at `length_yd`: fairway 30 yd wide from 150
/// yd on, woods from 40 m off its middle, a round green of 12.5 m radius (490
/// m²) with the pin five paces from its right edge and a bunker on either
/// side (practice: a usual tour set-up). It was shaped in the same step as the bag's
/// spread, with the table in view: the check below is not blind to either.
pub fn plain(length_yd: f64) -> Sketch {
    let pin = length_yd * YARD_M;
    let green_middle = [-(12.5 - 4.57), pin];
    let round = |middle: [f64; 2], across: f64, along: f64| -> Vec<[f64; 2]> {
        (0..32)
            .map(|k| {
                let angle = std::f64::consts::TAU * f64::from(k) / 32.0;
                [
                    middle[0] + across * angle.cos(),
                    middle[1] + along * angle.sin(),
                ]
            })
            .collect()
    };
    let half = 15.0 * YARD_M;
    let wood = |side: f64| {
        [
            [side * 40.0, -20.0],
            [side * 75.0, -20.0],
            [side * 75.0, pin + 40.0],
            [side * 40.0, pin + 40.0],
        ]
    };
    Sketch::default()
        .line(
            json!({"golf": "hole", "ref": "1", "par": "4"}),
            &[[0.0, 0.0], [0.0, pin]],
        )
        .teed()
        .area(
            json!({"golf": "fairway"}),
            &[
                [-half, 150.0 * YARD_M],
                [half, 150.0 * YARD_M],
                [half, pin - 16.0],
                [-half, pin - 16.0],
            ],
        )
        .area(json!({"natural": "wood", "height": "15"}), &wood(-1.0))
        .area(json!({"natural": "wood", "height": "15"}), &wood(1.0))
        .area(json!({"golf": "green"}), &round(green_middle, 12.5, 12.5))
        .area(
            json!({"golf": "bunker"}),
            &round([green_middle[0] + 19.0, pin - 4.0], 4.5, 8.0),
        )
        .area(
            json!({"golf": "bunker"}),
            &round([green_middle[0] - 19.0, pin - 2.0], 4.5, 8.0),
        )
        .point(json!({"golf": "pin"}), [0.0, pin])
}

/// Thirteen straight clubs, every carry this share of the strong player's.
pub fn bag(handicap: f64, share: f64) -> Player {
    Player {
        name: "A. Nobody".to_owned(),
        handedness: Handedness::Right,
        handicap,
        club_length_m: 1.143,
        clubs: STRONG
            .iter()
            .map(|(name, carry_yd)| club(name, carry_yd * share, handicap))
            .collect(),
        ball: Default::default(),
        notes: Vec::new(),
        course_play: None,
        log: None,
    }
}

/// Yards to the pin of the bunkers of [`bunkered`].
pub const BUNKERS_YD: [f64; 8] = [100.0, 120.0, 140.0, 160.0, 180.0, 200.0, 220.0, 240.0];
/// How far right of the line of play they are, m.
pub const BUNKERS_RIGHT_M: f64 = 22.0;

/// The plain hole with a round bunker of 6 m radius in its right rough at every
/// distance of the published table's sand column from 100 to 240 yd.
pub fn bunkered(length_yd: f64) -> Sketch {
    let pin = length_yd * YARD_M;
    BUNKERS_YD.iter().fold(plain(length_yd), |sketch, yd| {
        let away = ((yd * YARD_M).powi(2) - BUNKERS_RIGHT_M.powi(2)).sqrt();
        let ring: Vec<[f64; 2]> = (0..32)
            .map(|k| {
                let angle = std::f64::consts::TAU * f64::from(k) / 32.0;
                [
                    BUNKERS_RIGHT_M + 6.0 * angle.cos(),
                    pin - away + 6.0 * angle.sin(),
                ]
            })
            .collect();
        sketch.area(json!({"golf": "bunker"}), &ring)
    })
}
