//! The calibration of the predicted regions over many made-up players of known truth.
//!
//! ```sh
//! cargo run --release --example calibration -- [players]
//! ```

#[path = "../tests/known_player_made_up/mod.rs"]
pub(crate) mod known_player_made_up;

use bendline::flight::Launch;
use bendline::player::fit::fit_in_detail;
use bendline::player::matrix::{add_outer, cholesky, squared_length};
use bendline::player::region::Region;
use bendline::player::{Handedness, LaunchModel};
use bendline::sample::{Point, points};
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

#[allow(dead_code)] // not where a test takes this file as a module
fn main() {
    let players = std::env::args()
        .nth(1)
        .and_then(|text| text.parse().ok())
        .unwrap_or(1000);
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
