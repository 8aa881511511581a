//! What the fit predicts, held against fresh shots of players whose truth is known.

mod known_player_made_up;

use bendline::flight::Launch;
use bendline::player::fit::{fit, fit_in_detail};
use bendline::player::matrix::{add_outer, cholesky, squared_length};
use bendline::player::pattern::START;
use bendline::player::region::Region;
use bendline::player::shotlog::ShotLog;
use bendline::player::words::report;
use bendline::player::{Handedness, LaunchModel};
use bendline::sample::{Point, points};
use known_player_made_up::{Luck, Shown, land, log_of, made_up, made_up_club, options, places};

fn shares_held(region: &Region, fresh: &[[f64; 2]]) -> [f64; 3] {
    [0, 1, 2].map(|which| {
        fresh.iter().filter(|p| region.holds(which, **p)).count() as f64 / fresh.len() as f64
    })
}

/// Regions of a plain normal: its own mean and covariance, and the χ² of two
/// degrees, −2 ln(1 − share).
fn shares_held_by_plain_normal(logged: &[[f64; 2]], fresh: &[[f64; 2]]) -> [f64; 3] {
    let n = logged.len() as f64;
    let centre: [f64; 2] = std::array::from_fn(|k| logged.iter().map(|p| p[k]).sum::<f64>() / n);
    let mut covariance = [[0.0; 2]; 2];
    for p in logged {
        add_outer(
            &mut covariance,
            &[p[0] - centre[0], p[1] - centre[1]],
            1.0 / (n - 1.0),
        );
    }
    let lower = cholesky(&covariance).expect("spread both ways");
    [0.5, 0.9, 0.99].map(|share: f64| {
        let limit = -2.0 * (1.0 - share).ln();
        let held = fresh
            .iter()
            .filter(|p| squared_length(&lower, &[p[0] - centre[0], p[1] - centre[1]]) <= limit)
            .count();
        held as f64 / fresh.len() as f64
    })
}

fn mean_of(shares: &[[f64; 3]]) -> [f64; 3] {
    [0, 1, 2].map(|k| shares.iter().map(|s| s[k]).sum::<f64>() / shares.len() as f64)
}

/// Fits made-up players from `shots` logged balls each and asks how many of
/// 1000 fresh balls land within the predicted regions. The second answer is a
/// plain normal fitted to the logged landings; the third the same without the
/// balls that the fit took for mishits or mistyped.
fn calibration(players: usize, shots: usize, shown: Shown) -> [[f64; 3]; 3] {
    let mut luck = Luck(shots as u64 * 7919 + 17);
    let mut held: [Vec<[f64; 3]>; 3] = Default::default();
    let points: Vec<Point> = points(11, 4096);
    for _ in 0..players {
        let (truth, club, told) = made_up(&mut luck);
        let pattern = truth.pattern();
        let launches: Vec<Launch> = (0..shots).map(|_| pattern.draw(&luck.point())).collect();
        let log = log_of(club, None, &launches, shown);
        let fitted = fit_in_detail(&log, &options(Handedness::Right, told)).expect("a good log");
        let model = &fitted.player.clubs[0].launches;
        let sound = LaunchModel {
            mishit_share: 0.0,
            ..model.clone()
        };
        let region = Region::of(
            &places(&land(&sound.draw_all(&points))),
            &places(&land(&model.draw_all(&points))),
        )
        .expect("a region");
        let fresh: Vec<Launch> = (0..1000).map(|_| pattern.draw(&luck.point())).collect();
        let fresh = places(&land(&fresh));
        let logged = places(&land(&launches));
        let kept: Vec<[f64; 2]> = fitted.evidence[0]
            .group
            .used()
            .map(|row| logged[row.shot])
            .collect();
        held[0].push(shares_held(&region, &fresh));
        held[1].push(shares_held_by_plain_normal(&logged, &fresh));
        held[2].push(shares_held_by_plain_normal(&kept, &fresh));
    }
    held.map(|h| mean_of(&h))
}

fn regions_hold(players: usize, shown: Shown) {
    for shots in [10, 20, 50, 200] {
        let [ours, plain, trimmed] = calibration(players, shots, shown);
        let said = |s: [f64; 3]| {
            format!(
                "{:.1}/{:.1}/{:.2}",
                100.0 * s[0],
                100.0 * s[1],
                100.0 * s[2]
            )
        };
        eprintln!(
            "{shown:?}, {shots} shots, {players} players: regions of 50/90/99 % hold {} %; plain normal {} %; without mishits {} %",
            said(ours),
            said(plain),
            said(trimmed)
        );
        let [half, most, all] = ours;
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
            off(plain) > off(ours),
            "{shots}: a plain normal is no worse"
        );
        assert!(
            off(trimmed) > off(ours),
            "{shots}: a trimmed normal is no worse"
        );
    }
}

#[test]
fn predicted_regions_hold_what_they_say() {
    regions_hold(120, Shown::Everything);
}

#[test]
fn predicted_regions_hold_without_launch_data() {
    regions_hold(120, Shown::CarryStartCurve);
}

#[test]
fn predicted_regions_hold_from_carry_and_side() {
    regions_hold(120, Shown::CarrySide);
}

#[test]
#[ignore = "a thousand players, some minutes"]
fn predicted_regions_hold_over_a_thousand_players() {
    for shown in [Shown::Everything, Shown::CarryStartCurve, Shown::CarrySide] {
        regions_hold(1000, shown);
    }
}

/// What clubs tell of each other keeps the regions honest: bags of four clubs
/// with few shots each, of players wilder or steadier than their level.
#[test]
fn predicted_regions_hold_where_clubs_share() {
    let points: Vec<Point> = points(11, 4096);
    for shots in [6, 15] {
        let mut luck = Luck(shots as u64);
        let mut held = Vec::new();
        for player in 0..120 {
            let handicap = -5.0 + 31.0 * luck.uniform();
            let common = [0.75, 1.0, 1.35][player % 3];
            let mut log = ShotLog {
                file: "log.csv".to_owned(),
                ..ShotLog::default()
            };
            let mut bag = Vec::new();
            for club in 0..4 {
                let (truth, name) = made_up_club(&mut luck, club, handicap, common);
                let pattern = truth.pattern();
                let launches: Vec<Launch> =
                    (0..shots).map(|_| pattern.draw(&luck.point())).collect();
                log.shots
                    .extend(log_of(name, None, &launches, Shown::CarryStartCurve).shots);
                bag.push((name, pattern));
            }
            let player = fit(&log, &options(Handedness::Right, handicap)).unwrap();
            for (name, pattern) in bag {
                let club = player
                    .clubs
                    .iter()
                    .find(|c| c.club == name)
                    .expect("every club");
                let sound = LaunchModel {
                    mishit_share: 0.0,
                    ..club.launches.clone()
                };
                let region = Region::of(
                    &places(&land(&sound.draw_all(&points))),
                    &places(&land(&club.launches.draw_all(&points))),
                )
                .expect("a region");
                let fresh: Vec<Launch> = (0..400).map(|_| pattern.draw(&luck.point())).collect();
                held.push(shares_held(&region, &places(&land(&fresh))));
            }
        }
        let [half, most, all] = mean_of(&held);
        eprintln!(
            "bags of {shots} shots a club: 50/90/99 % regions hold {half:.3}/{most:.3}/{all:.4}"
        );
        assert!(
            (half - 0.5).abs() <= 0.03 && (most - 0.9).abs() <= 0.02,
            "{half} {most}"
        );
        assert!((0.98..=0.995).contains(&all), "{all}");
    }
}

/// The intervals on the mean start, curve, side and carry hold the true means
/// about nine times in ten, and so does that on the two-way share.
#[test]
fn intervals_hold_the_truth_nine_times_in_ten() {
    let players = 300;
    let points: Vec<Point> = points(12, 2048);
    for shots in [12, 40] {
        let mut luck = Luck(shots as u64 + 3);
        let mut held = [0.0; 5];

        for _ in 0..players {
            let (truth, club, told) = made_up(&mut luck);
            let pattern = truth.pattern();
            let launches: Vec<Launch> = (0..shots).map(|_| pattern.draw(&luck.point())).collect();
            let log = log_of(club, None, &launches, Shown::Everything);
            let fitted = fit_in_detail(&log, &options(Handedness::Right, told)).unwrap();
            let club = &report(&fitted, &log).clubs[0];
            let sound = LaunchModel {
                mishit_share: 0.0,
                ..truth.clone()
            }
            .draw_all(&points);
            let landed = land(&sound);
            let n = landed.len() as f64;
            let curve = |i: usize| {
                let [carry, side] = landed[i];
                let turned =
                    (side / carry).clamp(-1.0, 1.0).asin() - sound[i].start_deg.to_radians();
                carry * turned.sin()
            };
            let mean = |of: &dyn Fn(usize) -> f64| (0..landed.len()).map(of).sum::<f64>() / n;
            // Which way is the stock way is the report's to say.
            let stock = club.curve_m.unwrap().value;
            let against = mean(&|i| if curve(i) * stock < 0.0 { 1.0 } else { 0.0 });
            let truths = [
                truth.centre[START],
                mean(&curve),
                mean(&|i| landed[i][1]),
                mean(&|i| landed[i][0]),
                against,
            ];
            let figures = [
                club.start_deg.unwrap(),
                club.curve_m.unwrap(),
                club.side_m,
                club.carry_m,
                club.two_way.unwrap(),
            ];
            for ((held, truth), figure) in held.iter_mut().zip(truths).zip(figures) {
                // As shown: shares are rounded to whole in 100, lengths finer.
                if truth >= figure.low - 0.005 && truth <= figure.high + 0.005 {
                    *held += 1.0 / f64::from(players);
                }
            }
        }
        eprintln!("{shots} shots: start, curve, side, carry, two-way intervals hold {held:.3?}");
        for share in held {
            // Three standard errors of 300 players are 5 %.
            assert!((0.85..=0.97).contains(&share), "{shots} shots: {held:?}");
        }
    }
}
