//! The calibration of the predicted regions over many made-up players of known truth.
//!
//! ```sh
//! cargo run --release --example calibration -- [players]        # players of the fit's own family
//! cargo run --release --example calibration -- [players] kinds  # of three kinds that are not
//! ```

#[path = "../tests/known_player_made_up/mod.rs"]
pub(crate) mod known_player_made_up;

use bendline::flight::Launch;
use bendline::player::fit::fit_in_detail;
use bendline::player::matrix::{add_outer, cholesky, squared_length};
use bendline::player::region::Region;
use bendline::player::{Handedness, LaunchModel};
use bendline::sample::{Point, points};
use rayon::prelude::*;

use known_player_made_up::kinds::{Hit, Kind, log_of_hits, made};
use known_player_made_up::{Luck, Shown, land, log_of, made_up, options, places};

/// Shares of fresh balls in the 50, 90 and 99 % regions.
pub(crate) fn shares_held(region: &Region, fresh: &[[f64; 2]]) -> [f64; 3] {
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

/// Means of shares.
pub(crate) fn mean_of(shares: &[[f64; 3]]) -> [f64; 3] {
    [0, 1, 2].map(|k| shares.iter().map(|s| s[k]).sum::<f64>() / shares.len() as f64)
}

/// Fits made-up players from `shots` logged balls each and asks how many of
/// 1000 fresh balls land within the predicted regions. The second answer is a
/// plain normal fitted to the logged landings; the third the same without the
/// balls that the fit took for mishits or mistyped.
pub(crate) fn calibration(players: usize, shots: usize, shown: Shown) -> [[f64; 3]; 3] {
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

/// "49.8/90.1/98.97": shares in 100.
pub(crate) fn said(s: [f64; 3]) -> String {
    format!(
        "{:.1}/{:.1}/{:.2}",
        100.0 * s[0],
        100.0 * s[1],
        100.0 * s[2]
    )
}

/// Of players of one kind: shares of fresh balls in the predicted 50 and 90 % regions of side, of carry
/// and of both, in this order, and how wide the 50 % regions of side and carry are beside the true.
pub(crate) struct Coverage {
    pub(crate) half: [f64; 3],
    pub(crate) most: [f64; 3],
    pub(crate) wide: [f64; 2],
    /// Standard errors of the shares, the largest of each.
    pub(crate) errors: [f64; 2],
}

/// From the lower to the upper end of what holds this share in the middle.
fn interval(values: &[f64], share: f64) -> [f64; 2] {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let last = (sorted.len() - 1) as f64;
    [0.5 - 0.5 * share, 0.5 + 0.5 * share].map(|at| sorted[(at * last).round() as usize])
}

/// Fits players of a kind from `shots` logged balls each and asks how many of 1000 fresh balls land
/// within the predicted regions.
pub(crate) fn coverage(kind: Kind, players: usize, shots: usize, shown: Shown) -> Coverage {
    const FRESH: usize = 1000;
    let points: Vec<Point> = points(11, 4096);
    let one = |player: usize| {
        let mut luck = Luck(((kind as u64) << 40) + ((player as u64) << 8) + shots as u64);
        let truth = made(&mut luck, kind);
        let hits = truth.hits(&mut luck, shots);
        let log = log_of_hits(truth.club, &hits, shown);
        let options = options(Handedness::Right, truth.handicap);
        let fitted = fit_in_detail(&log, &options).expect("a good log").player;
        // A club whose balls fall into two shapes has both, each as often as it was logged.
        let all: usize = fitted.clubs.iter().map(|club| club.shots).sum();
        let (mut sound, mut every) = (Vec::new(), Vec::new());
        for club in &fitted.clubs {
            let count = (points.len() * club.shots).div_ceil(all);
            let drawn = &points[..count.min(points.len())];
            let model = &club.launches;
            let without = LaunchModel {
                mishit_share: 0.0,
                ..model.clone()
            };
            sound.extend(land(&without.draw_all(drawn)));
            every.extend(land(&model.draw_all(drawn)));
        }
        let region = Region::of(&places(&sound), &places(&every)).expect("a region");
        let fresh = truth.hits(&mut luck, FRESH);
        let landed = |hit: &Hit| [hit.carry_m, hit.side_m];
        let fresh: Vec<[f64; 2]> = fresh.iter().map(landed).collect();
        let both = shares_held(&region, &places(&fresh));
        let of = |k: usize, share: f64| {
            let predicted: Vec<f64> = every.iter().map(|ball| ball[k]).collect();
            let true_ones: Vec<f64> = fresh.iter().map(|ball| ball[k]).collect();
            let [low, high] = interval(&predicted, share);
            let [true_low, true_high] = interval(&true_ones, share);
            let held = fresh.iter().filter(|ball| (low..=high).contains(&ball[k]));
            let wide = (high - low) / (true_high - true_low);
            [held.count() as f64 / FRESH as f64, wide.ln()]
        };
        let ([side, side_wide], [carry, carry_wide]) = (of(1, 0.5), of(0, 0.5));
        [
            side,
            carry,
            both[0],
            of(1, 0.9)[0],
            of(0, 0.9)[0],
            both[1],
            side_wide,
            carry_wide,
        ]
    };
    let all: Vec<[f64; 8]> = (0..players).into_par_iter().map(one).collect();
    let count = all.len() as f64;
    let mean = |k: usize| all.iter().map(|each| each[k]).sum::<f64>() / count;
    let error = |k: usize| {
        let squares = all.iter().map(|each| (each[k] - mean(k)).powi(2));
        (squares.sum::<f64>() / (count * (count - 1.0))).sqrt()
    };
    Coverage {
        half: [0, 1, 2].map(mean),
        most: [3, 4, 5].map(mean),
        wide: [6, 7].map(|k| mean(k).exp()),
        errors: [[0, 1, 2], [3, 4, 5]]
            .map(|which| which.map(error).into_iter().fold(0.0, f64::max)),
    }
}

/// Standard deviations of the direction of drives by such players, degrees: their middle and the ends of
/// what holds 80 % of them, by level.
fn offline(kind: Kind) -> String {
    let mut by_level: [Vec<f64>; 3] = Default::default();
    for player in 0..1200 {
        let mut luck = Luck(player * 31 + 7);
        let truth = made(&mut luck, kind);
        if truth.club != "driver" {
            continue;
        }
        let directions: Vec<f64> = truth
            .hits(&mut luck, 300)
            .iter()
            .map(|hit| {
                (hit.side_m / hit.carry_m)
                    .clamp(-1.0, 1.0)
                    .asin()
                    .to_degrees()
            })
            .collect();
        let count = directions.len() as f64;
        let mean = directions.iter().sum::<f64>() / count;
        let squares: f64 = directions.iter().map(|at| (at - mean).powi(2)).sum();
        let level = usize::from(truth.handicap >= 2.0) + usize::from(truth.handicap >= 13.0);
        by_level[level].push((squares / count).sqrt());
    }
    let said = by_level.map(|all| {
        let ([low, high], [middle, _]) = (interval(&all, 0.8), interval(&all, 0.0));
        format!("{middle:.1} ({low:.1} to {high:.1})")
    });
    said.join(", ")
}

impl Kind {
    /// What a log of such a player can show.
    pub(crate) fn logs(self) -> &'static [Shown] {
        match self {
            Self::StartAndBend => &[Shown::CarryStartCurve, Shown::CarrySide],
            Self::Delivery | Self::TwoWay => {
                &[Shown::Everything, Shown::CarryStartCurve, Shown::CarrySide]
            }
        }
    }
}

#[allow(dead_code)] // not where a test takes this file as a module
fn main() {
    let players = std::env::args()
        .nth(1)
        .and_then(|text| text.parse().ok())
        .unwrap_or(1000);
    if std::env::args()
        .nth(2)
        .is_some_and(|kinds| kinds == "kinds")
    {
        for kind in Kind::ALL {
            println!(
                "{kind:?}: drives of index below 2, to 13, above: {} degrees offline",
                offline(kind)
            );
        }
        println!("kind, log, shots: side 50/90, carry 50/90, both 50/90; width of side, carry");
        for kind in Kind::ALL {
            for &shown in kind.logs() {
                for shots in [20, 60] {
                    let Coverage {
                        half,
                        most,
                        wide,
                        errors,
                    } = coverage(kind, players, shots, shown);
                    let shares =
                        [0, 1, 2].map(|k| format!("{:.1}/{:.1}", 100.0 * half[k], 100.0 * most[k]));
                    println!(
                        "{kind:?}, {shown:?}, {shots}: {}; {:.2}, {:.2}; errors up to {:.1}/{:.1}",
                        shares.join(", "),
                        wide[0],
                        wide[1],
                        100.0 * errors[0],
                        100.0 * errors[1],
                    );
                }
            }
        }
        return;
    }
    for shown in [Shown::Everything, Shown::CarryStartCurve, Shown::CarrySide] {
        for shots in [10, 20, 50, 200] {
            let [ours, plain, trimmed] = calibration(players, shots, shown).map(said);
            println!(
                "{shown:?}, {shots} shots, {players} players: regions of 50/90/99 % hold {ours} %; \
                 plain normal {plain} %; without mishits {trimmed} %"
            );
        }
    }
}
