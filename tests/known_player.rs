//! The player against truths that are known because they were put in.

use bendline::flight::{Air, Ball};
use bendline::flight::{Launch, Weather, fly};
use bendline::player::club::Club;
use bendline::player::fit::{FitOptions, fit, fit_in_detail};
use bendline::player::matrix::{cholesky, lower_times, squared_length};
use bendline::player::pattern::{ANGLE, AXIS, SPEED, SPIN, START};
use bendline::player::shotlog::{Shot, ShotLog};
use bendline::player::{Handedness, LaunchModel, prior, special};
use bendline::sample::{DIMENSIONS, Point, normal_quantile, points};
use bendline::units::RPM_RAD_S;

/// Independent random numbers (splitmix64): logs must be as uneven as life, so
/// no low-discrepancy points here.
struct Luck(u64);

impl Luck {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        ((z >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        normal_quantile(self.uniform())
    }

    fn point(&mut self) -> Point {
        std::array::from_fn::<f64, DIMENSIONS, _>(|_| self.uniform())
    }
}

fn weather() -> Weather {
    Weather {
        temperature_c: 20.0,
        pressure_pa: 101_325.0,
        humidity: 0.5,
    }
}

fn options(handedness: Handedness, handicap: f64) -> FitOptions {
    FitOptions {
        handedness,
        handicap: Some(handicap),
        weather: weather(),
        firmness: bendline::flight::Firmness::Medium,
    }
}

/// Carry and side of launches, flown without the player module's own range.
fn land(launches: &[Launch]) -> Vec<[f64; 2]> {
    let air = Air::of(&weather(), 0.03);
    let flights = fly(launches, &[], &air, &Ball::modern(), 0.0);
    (0..launches.len())
        .map(|i| {
            let [right, forward, _] = flights.ball(i).landing_on_level(0.0).position_m;
            [f64::from(right).hypot(f64::from(forward)), f64::from(right)]
        })
        .collect()
}

/// What a log shows of its shots.
#[derive(Clone, Copy, Debug)]
enum Shown {
    Everything,
    CarryStartCurve,
    CarrySide,
}

fn log_of(club: &str, shape: Option<&str>, launches: &[Launch], shown: Shown) -> ShotLog {
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
        notes: Vec::new(),
    }
}

/// A player made up at random: spreads, correlations, tails and mishits that
/// are *not* drawn from the fit's own prior family, and a level told wrongly.
fn made_up(luck: &mut Luck) -> (LaunchModel, &'static str, f64) {
    let bag = [
        ("driver", 58.0, 74.0),
        ("5w", 54.0, 66.0),
        ("7i", 44.0, 54.0),
        ("pw", 36.0, 45.0),
    ];
    let (club, slow, fast) = bag[(luck.uniform() * 4.0) as usize];
    let handicap = -5.0 + 31.0 * luck.uniform();
    let speed = slow + (fast - slow) * luck.uniform();
    let carry_m = 230.0 * (speed / 66.0_f64).powf(1.6) * if club == "driver" { 1.0 } else { 0.95 };
    let (angle, spin) = Club::of(club).usual_launch(carry_m);
    let level = prior::covariance(handicap, Club::of(club).family, speed, spin);
    let common = (0.15 * luck.normal()).exp();
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
    (
        model,
        club,
        (handicap + 4.0 * luck.normal()).clamp(-8.0, 40.0),
    )
}

/// Of fresh shots, the shares within the regions said to hold 50, 90 and 99 %.
#[derive(Clone, Copy, Default, Debug)]
struct Held {
    share: [f64; 3],
    players: f64,
}

impl Held {
    fn add(&mut self, predicted: &mut [f64], fresh: &[f64]) {
        predicted.sort_by(f64::total_cmp);
        for (share, level) in self.share.iter_mut().zip([0.5, 0.9, 0.99]) {
            let limit = predicted[(level * predicted.len() as f64) as usize];
            *share += fresh.iter().filter(|d| **d <= limit).count() as f64 / fresh.len() as f64;
        }
        self.players += 1.0;
    }

    fn means(&self) -> [f64; 3] {
        self.share.map(|s| s / self.players)
    }
}

/// The centre and Cholesky factor of two-dimensional finishes.
fn ellipse(at: &[[f64; 2]]) -> ([f64; 2], [[f64; 2]; 2]) {
    let n = at.len() as f64;
    let centre = std::array::from_fn(|k| at.iter().map(|p| p[k]).sum::<f64>() / n);
    let mut covariance = [[0.0; 2]; 2];
    for p in at {
        for i in 0..2 {
            for j in 0..2 {
                covariance[i][j] += (p[i] - centre[i]) * (p[j] - centre[j]) / (n - 1.0);
            }
        }
    }
    (centre, cholesky(&covariance).expect("spread both ways"))
}

fn distances(at: &[[f64; 2]], centre: [f64; 2], lower: &[[f64; 2]; 2]) -> Vec<f64> {
    at.iter()
        .map(|p| squared_length(lower, &[p[0] - centre[0], p[1] - centre[1]]))
        .collect()
}

/// Fits made-up players from `shots` logged balls each and asks how many fresh
/// balls finish within the predicted regions of carry and side. The second
/// answer is a plain normal fitted to the logged carries and sides.
fn calibration(players: usize, shots: usize, shown: Shown) -> (Held, Held) {
    let mut luck = Luck(shots as u64 * 7919 + 17);
    let (mut ours, mut plain) = (Held::default(), Held::default());
    let points: Vec<Point> = points(11, 4096);
    for _ in 0..players {
        let (truth, club, told) = made_up(&mut luck);
        let pattern = truth.pattern();
        let launches: Vec<Launch> = (0..shots).map(|_| pattern.draw(&luck.point())).collect();
        let log = log_of(club, None, &launches, shown);
        let player = fit(&log, &options(Handedness::Right, told)).expect("a good log");
        let predicted = land(&player.clubs[0].launches.draw_all(&points));
        let fresh: Vec<Launch> = (0..1000).map(|_| pattern.draw(&luck.point())).collect();
        let fresh = land(&fresh);
        let sound = LaunchModel {
            mishit_share: 0.0,
            ..player.clubs[0].launches.clone()
        };
        let (centre, lower) = ellipse(&land(&sound.draw_all(&points[..1024])));
        ours.add(
            &mut distances(&predicted, centre, &lower),
            &distances(&fresh, centre, &lower),
        );
        let logged: Vec<[f64; 2]> = land(&launches);
        let (centre, lower) = ellipse(&logged);
        let normal: Vec<[f64; 2]> = points
            .iter()
            .map(|p| {
                let off = lower_times(&lower, &[normal_quantile(p[0]), normal_quantile(p[1])]);
                [centre[0] + off[0], centre[1] + off[1]]
            })
            .collect();
        plain.add(
            &mut distances(&normal, centre, &lower),
            &distances(&fresh, centre, &lower),
        );
    }
    (ours, plain)
}

fn regions_hold(players: usize, shown: Shown) {
    for shots in [10, 20, 50, 200] {
        let (ours, plain) = calibration(players, shots, shown);
        let ([half, most, all], normal) = (ours.means(), plain.means());
        eprintln!(
            "{shown:?}, {shots} shots, {players} players: 50/90/99 % regions hold {:.1}/{:.1}/{:.2} %, plain normal {:.1}/{:.1}/{:.2} %",
            100.0 * half,
            100.0 * most,
            100.0 * all,
            100.0 * normal[0],
            100.0 * normal[1],
            100.0 * normal[2]
        );
        assert!(
            (half - 0.5).abs() <= 0.03,
            "{shots} shots: 50 % region holds {half}"
        );
        assert!(
            (most - 0.9).abs() <= 0.02,
            "{shots} shots: 90 % region holds {most}"
        );
        // 1 in 100 misses happen 0.5 to 2 times in 100.
        assert!(
            (0.98..=0.995).contains(&all),
            "{shots} shots: 99 % region holds {all}"
        );
        let off =
            |held: [f64; 3]| (held[0] - 0.5).abs() + (held[1] - 0.9).abs() + (held[2] - 0.99).abs();
        assert!(
            off(normal) > off([half, most, all]),
            "{shots}: a plain normal is no better"
        );
    }
}

#[test]
fn predicted_regions_hold_what_they_say() {
    regions_hold(150, Shown::Everything);
}

#[test]
fn predicted_regions_hold_without_launch_data() {
    regions_hold(150, Shown::CarryStartCurve);
}

#[test]
fn predicted_regions_hold_from_carry_and_side() {
    regions_hold(150, Shown::CarrySide);
}

#[test]
#[ignore = "a thousand players, some minutes"]
fn predicted_regions_hold_over_a_thousand_players() {
    for shown in [Shown::Everything, Shown::CarryStartCurve, Shown::CarrySide] {
        regions_hold(1000, shown);
    }
}
