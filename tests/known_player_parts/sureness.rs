//! How sure the figures are: what more shots would make of them, and what the shots are worth.

use bendline::player::Handedness;
use bendline::player::fit::fit_in_detail;
use bendline::player::special::beta_quantile;
use bendline::player::words::report;

use super::known_player_made_up::{Shown, options};
use super::{driver, logged};

/// "After 30 more drivers this interval would be about so wide": over many players the promise is
/// what came.
#[test]
fn thirty_more_shots_bring_what_was_promised() {
    let (mut promised, mut came) = (0.0, 0.0);
    let players = 60;
    for seed in 0..players {
        let all = logged(&driver(), 50, 2000 + seed, Shown::Everything);
        let mut first = all.clone();
        first.shots.truncate(20);
        let half = |log| {
            let fitted = fit_in_detail(log, &options(Handedness::Right, 8.0)).unwrap();
            report(&fitted, log).clubs[0].after_thirty_m.expect("a log")
        };
        promised += half(&first)[1].ln();
        came += half(&all)[0].ln();
    }
    // Each is known to about 15 %, so the mean of 60 to 2 %; three of these.
    let ratio = ((promised - came) / players as f64).exp();
    assert!(
        (ratio - 1.0).abs() < 0.06,
        "promised over what came: {ratio}"
    );
}

/// Wild rows are worth less than a shot each; even ones about one.
#[test]
fn wild_rows_are_worth_less() {
    let worth = |dof: f64| {
        let mut model = driver();
        model.dof = dof;
        model.mishit_share = 0.0;
        let log = logged(&model, 100, 71, Shown::Everything);
        let fitted = fit_in_detail(&log, &options(Handedness::Right, 8.0)).unwrap();
        fitted.evidence[0].effective_shots
    };
    let (wild, even) = (worth(2.5), worth(200.0));
    assert!(even > 88.0 && even <= 100.0, "{even}");
    assert!(wild < 0.9 * even, "{wild} {even}");
}

/// The quantiles of a Beta against SciPy: `scipy.stats.beta.ppf(p, a, b)`, SciPy 1.17.1.
#[test]
fn beta_quantiles_agree_with_scipy() {
    for (p, a, b, expected) in BETA {
        let ours = beta_quantile(p, a, b);
        assert!(
            (ours / expected - 1.0).abs() < 1e-9,
            "{ours} for {expected}"
        );
    }
}

const BETA: [(f64, f64, f64, f64); 6] = [
    (0.05, 0.8, 39.2, 0.0005598768528363956),
    (0.95, 0.8, 39.2, 0.06421578591445826),
    (0.05, 3.8, 60.2, 0.020114961668678218),
    (0.95, 3.8, 60.2, 0.11420644241736594),
    (0.5, 2.0, 7.0, 0.20113119260500992),
    (0.95, 12.5, 300.5, 0.059631631299150036),
];
