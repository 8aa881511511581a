//! The set-up: what turning it does, and the ball further forward.

use bendline::flight::{ClubHead, Delivery, strike};
use bendline::player::Handedness;
use bendline::player::fit::fit_in_detail;
use bendline::player::set_up::further_forward;
use bendline::player::shotlog::ShotLog;
use bendline::player::words::{ShapeReport, report};
use bendline::units::LengthUnit;

use super::known_player_made_up::options;
use super::with_face_and_strike;

fn log() -> ShotLog {
    let mut log = with_face_and_strike(1.0, 60, 31);
    for shot in &mut log.shots {
        shot.club_speed_m_s = Some(45.0);
        shot.attack_deg = Some(3.6);
    }
    log
}

fn shape(log: &ShotLog, handedness: Handedness) -> ShapeReport {
    report(&fit_in_detail(log, &options(handedness, 8.0)).unwrap(), log)
}

/// Turned 10° right, a path of so much right is 10° further right, face to path and bend as they
/// were (practice: the worked case is 1.6° becoming 11.6°).
#[test]
fn the_words_turn_path_and_face_and_leave_the_bend() {
    let log = log();
    let mut report = shape(&log, Handedness::Right);
    report.clubs.truncate(1);
    let [path, face] = report.clubs[0].set_up.path_face_deg.expect("logged");
    assert!(
        (path - 2.0).abs() < 0.5 && (face - path + 1.0).abs() < 0.4,
        "{path} {face}"
    );
    let start = report.clubs[0].start_deg.unwrap().value;
    report.turn_deg = Some(10.0);
    let said = report.text(LengthUnit::Yards);
    for part in [
        aside(10.0, report.clubs[0].carry_m.value),
        format!(
            "path {:.1}° right, face {:.1}° right",
            path + 10.0,
            face + 10.0
        ),
        format!("starts {:.1}° right", start + 10.0),
    ] {
        assert!(said.contains(&part), "{part} in {said}");
    }
    // Without a line of its own: on average onto the target.
    report.turn_deg = None;
    let side = report.clubs[0].side_m.value;
    let turn = -(side / report.clubs[0].carry_m.value).asin().to_degrees();
    let said = report.text(LengthUnit::Yards);
    let part = aside(turn, report.clubs[0].carry_m.value);
    assert!(said.contains(&part), "{part} in {said}");
}

/// How far right of straight an aim turned by an angle passes where the ball lands.
fn aside(turn_deg: f64, carry_m: f64) -> String {
    let across_yd = carry_m * turn_deg.to_radians().tan() / bendline::units::YARD_M;
    let side = if across_yd < 0.0 { "left" } else { "right" };
    format!("aim           {:.0} yd {side} of straight", across_yd.abs())
}

/// Further forward: more on the way up and more bend to the left for a right-hander (practice: sign
/// and band only), and the mirror image for a left-hander.
#[test]
fn a_ball_further_forward_bends_more_to_the_closed_side() {
    let log = log();
    let forward = shape(&log, Handedness::Right).clubs[0]
        .set_up
        .forward
        .expect("a driver's delivery");
    assert!((-8.0..-0.5).contains(&forward.curve_m), "{forward:?}");
    assert!((-3.0..-0.5).contains(&forward.start_deg), "{forward:?}");
    assert!((0.3..2.0).contains(&forward.launch_deg), "{forward:?}");
    let mut mirrored = log;
    for shot in &mut mirrored.shots {
        for value in [
            &mut shot.side_m,
            &mut shot.start_deg,
            &mut shot.axis_deg,
            &mut shot.path_deg,
            &mut shot.face_deg,
        ] {
            *value = value.map(|v| -v);
        }
    }
    let other = shape(&mirrored, Handedness::Left).clubs[0]
        .set_up
        .forward
        .expect("the same");
    assert!(
        (forward.curve_m + other.curve_m).abs() < 0.05,
        "{forward:?} {other:?}"
    );
    assert!((forward.carry_m - other.carry_m).abs() < 0.05);
    // Face to path closes: that is where the bend comes from.
    let straight = Delivery {
        club_speed_m_s: 45.0,
        attack_deg: 3.6,
        path_deg: 2.0,
        face_deg: 1.0,
        dynamic_loft_deg: 14.0,
        strike_right_mm: 0.0,
        strike_high_mm: 0.0,
    };
    let later = further_forward(&straight, 1.0);
    assert!(
        (later.attack_deg - 5.0).abs() < 1e-9,
        "3.6° up becomes 5° up"
    );
    assert!(later.face_to_path_deg() < straight.face_to_path_deg());
    let axis = |d: &Delivery| strike(d, &ClubHead::driver()).axis_deg;
    assert!(axis(&later) < axis(&straight));
}

#[test]
fn nothing_is_said_of_a_face_that_was_not_logged() {
    let mut log = log();
    for shot in &mut log.shots {
        (shot.path_deg, shot.face_deg) = (None, None);
    }
    let report = shape(&log, Handedness::Right);
    assert_eq!(report.clubs[0].set_up, Default::default());
    assert!(
        report
            .text(LengthUnit::Yards)
            .contains("path and face are not logged")
    );
}
