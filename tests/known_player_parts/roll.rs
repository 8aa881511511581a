//! How balls run: logs whose runs come from launches and ground that are known.

use bendline::flight::level::fly_level;
use bendline::flight::{Air, Ball, Firmness, Launch};
use bendline::player::fit::{Fitted, fit_in_detail};
use bendline::player::shotlog::ShotLog;
use bendline::player::words::report;
use bendline::player::{Handedness, LaunchModel};
use bendline::units::LengthUnit;

use super::driver;
use super::known_player_made_up::{Luck, Shown, log_of, options, weather};

/// A low bullet: 3° less launch and less spin than is usual for the carry.
fn low_runner() -> LaunchModel {
    let mut model = driver();
    model.centre[1] = 9.0;
    model.centre[3] = 2250.0;
    model.mishit_share = 0.0;
    model
}

/// A log with totals, flown and rolled on ground of this firmness.
fn with_totals(model: &LaunchModel, shots: usize, shown: Shown, firmness: Firmness) -> ShotLog {
    let mut luck = Luck(21);
    let pattern = model.pattern();
    let launches: Vec<Launch> = (0..shots).map(|_| pattern.draw(&luck.point())).collect();
    let mut log = log_of("driver", None, &launches, shown);
    let air = Air::of(&weather(), 0.03);
    let flown = fly_level(&launches, &[], &air, &Ball::modern(), firmness);
    for (shot, ball) in log.shots.iter_mut().zip(flown) {
        shot.total_m = Some(ball.total_m);
    }
    log
}

fn fitted(log: &ShotLog) -> Fitted {
    fit_in_detail(log, &options(Handedness::Right, 8.0)).expect("a good log")
}

fn notes(fitted: &Fitted) -> String {
    let texts: Vec<&str> = fitted
        .player
        .notes
        .iter()
        .map(|n| n.text.as_str())
        .collect();
    texts.join("\n")
}

#[test]
fn logged_launches_run_here_as_they_were_logged() {
    let log = with_totals(&low_runner(), 120, Shown::Everything, Firmness::Medium);
    let fitted = fitted(&log);
    let roll = fitted.evidence[0].group.roll.expect("totals are logged");
    assert!(roll.rows > 110 && roll.moved.is_none(), "{roll:?}");
    // The same flights: what differs is rounding in the inversion.
    assert!(
        (roll.logged.mean_m - roll.simulated.mean_m).abs() < 0.1,
        "{roll:?}"
    );
    assert!(
        (roll.logged.sd_m - roll.simulated.sd_m).abs() < 0.1,
        "{roll:?}"
    );
    assert!(
        (roll.logged.per_carry - roll.simulated.per_carry).abs() < 0.01,
        "{roll:?}"
    );
    assert!(!notes(&fitted).contains("do not run"), "{}", notes(&fitted));
    let said = report(&fitted, &log).text(LengthUnit::Metres);
    let expected = format!(
        "logged {:.0} m (sd {:.0}) over {} balls",
        roll.logged.mean_m, roll.logged.sd_m, roll.rows
    );
    assert!(said.contains(&expected), "{said}");
}

#[test]
fn the_run_tells_of_a_launch_that_was_not_logged() {
    let truth = low_runner();
    let log = with_totals(&truth, 60, Shown::CarryStartCurve, Firmness::Medium);
    let mut blind = log.clone();
    for shot in &mut blind.shots {
        shot.total_m = None;
    }
    let (seen, unseen) = (fitted(&log), fitted(&blind));
    let roll = seen.evidence[0].group.roll.expect("totals are logged");
    let off = |run_m: f64| (run_m - roll.logged.mean_m).abs();
    let before = report(&unseen, &blind).clubs[0].run.mean_m;
    let after = report(&seen, &log).clubs[0].run.mean_m;
    assert!(
        off(before) > 3.0,
        "too usual a player: {before} for {roll:?}"
    );
    assert!(
        off(after) < 0.4 * off(before),
        "{before} to {after} for {roll:?}"
    );
    // Towards the truth in both; one run cannot tell how much of it in which.
    let [five, usual] = [&seen, &unseen].map(|f| f.player.clubs[0].launches.centre);
    assert!(
        five[1] < usual[1] && five[1] > truth.centre[1] - 0.5,
        "{five:?} {usual:?}"
    );
    assert!(
        five[3] < usual[3] && five[3] > 0.9 * truth.centre[3],
        "{five:?} {usual:?}"
    );
    // And every ball still lands where it was logged.
    let rows: Vec<[f64; 5]> = seen.evidence[0].group.used().map(|row| row.five).collect();
    for (row, landing) in seen.evidence[0].group.used().zip(seen.range.land(&rows)) {
        let shot = &log.shots[row.shot];
        assert!((landing.carry_m - shot.carry_m).abs() < 0.02);
        assert!((landing.curve_m - shot.curve_m.unwrap()).abs() < 0.02);
    }
    assert!(
        notes(&seen).contains("run as far as logged"),
        "{}",
        notes(&seen)
    );
}

#[test]
fn a_run_beyond_any_usual_launch_moves_it_only_so_far() {
    let mut log = with_totals(&driver(), 40, Shown::CarryStartCurve, Firmness::Medium);
    for shot in &mut log.shots {
        shot.total_m = Some(shot.carry_m + 70.0);
    }
    let fitted = fitted(&log);
    let [angle, spin] = fitted.evidence[0].group.roll.unwrap().moved.expect("moved");
    assert!(
        (-3.0..0.0).contains(&angle) || (angle + 3.0).abs() < 1e-9,
        "{angle}"
    );
    assert!((0.79..1.0).contains(&spin), "{spin}");
    assert!(
        notes(&fitted).contains("do not run as they would here"),
        "{}",
        notes(&fitted)
    );
}

#[test]
fn logged_launches_on_other_ground_speak_of_the_ground() {
    let log = with_totals(&driver(), 60, Shown::Everything, Firmness::Firm);
    let mut blind = log.clone();
    for shot in &mut blind.shots {
        shot.total_m = None;
    }
    let seen = fitted(&log);
    assert!(notes(&seen).contains("--firmness firm"), "{}", notes(&seen));
    // The launches were logged: they stay.
    assert_eq!(seen.player.clubs, fitted(&blind).player.clubs);
}
