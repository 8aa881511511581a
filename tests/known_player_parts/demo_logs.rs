//! The logs in `examples/logs`: made by `examples/make_logs.rs`, and true to the crate's own flight.

use std::path::Path;

use bendline::player::fit::fit_in_detail;
use bendline::player::shotlog::read;

use super::known_player_made_up::options;
use super::make_logs::{csv, players};

#[test]
fn the_demo_logs_are_what_the_program_makes() {
    for player in players() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("examples/logs")
            .join(format!("{}.csv", player.name));
        let on_disk = std::fs::read_to_string(&path).expect("a demo log");
        assert!(
            on_disk == csv(&player),
            "{}: run `cargo run --release --example make_logs`",
            path.display()
        );
    }
}

#[test]
fn the_demo_logs_fly_and_run_here_as_they_were_logged() {
    for player in players() {
        let log = read(player.name, csv(&player).as_bytes()).expect("a good log");
        let fitted = fit_in_detail(&log, &options(player.handedness, player.handicap)).unwrap();
        for note in &fitted.player.notes {
            assert!(
                !note.text.contains("do not fly") && !note.text.contains("do not run"),
                "{}: {}",
                player.name,
                note.text
            );
        }
        for evidence in &fitted.evidence {
            if let Some(calibration) = evidence.group.calibration {
                // A launch monitor's noise, over at least ten rows.
                let off = calibration.carry_ratio - 1.0;
                assert!(off.abs() < 0.015, "{}: {calibration:?}", player.name);
            }
        }
    }
}

#[test]
fn the_demo_players_have_their_characters() {
    let of = |name: &str| {
        let player = players().into_iter().find(|p| p.name == name).unwrap();
        let log = read(name, csv(&player).as_bytes()).unwrap();
        let fitted = fit_in_detail(&log, &options(player.handedness, player.handicap)).unwrap();
        (
            bendline::player::words::report(&fitted, &log).clubs[0].clone(),
            log,
        )
    };
    // Strong draw with a toe habit: bends left, and seldom the other way.
    let (driver, _) = of("strong-draw");
    let face = driver.face.expect("face and path are logged");
    assert!(driver.curve_m.unwrap().high < -18.0 && driver.two_way.unwrap().value < 0.1);
    assert!(face.strike_mm.unwrap()[0] > 2.0, "{face:?}");
    // Near-zero face-to-path: a two-way miss.
    let (driver, _) = of("two-way");
    assert!(driver.face.unwrap().face_to_path_deg[0].abs() < 1.0);
    assert!(driver.two_way.unwrap().value > 0.25);
    // The left-hander's draw bends right; the fade bends right and starts left.
    assert!(of("left-hander").0.curve_m.unwrap().low > 9.0);
    let (driver, _) = of("fade");
    assert!(driver.curve_m.unwrap().low > 5.0 && driver.start_deg.unwrap().high < 0.0);
    // What the other two logs do not say.
    assert!(of("carry-and-side").0.curve_m.is_none());
    assert_eq!(of("twelve-shots").0.shots, 12);
}
