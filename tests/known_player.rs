//! The player against truths that are known because they were put in.
#![allow(clippy::needless_range_loop)] // rows and columns, as in the formulas

#[path = "known_player_parts/ball.rs"]
mod ball;
#[path = "known_player_parts/course_play.rs"]
mod course_play;
#[path = "known_player_parts/demo_logs.rs"]
mod demo_logs;
mod known_player_made_up;
#[path = "../examples/make_logs.rs"]
mod make_logs;
#[path = "known_player_parts/player_file.rs"]
mod player_file;
#[path = "known_player_parts/practice.rs"]
mod practice;
#[path = "known_player_parts/roll.rs"]
mod roll;
#[path = "known_player_parts/set_up.rs"]
mod set_up;
#[path = "known_player_parts/shapes.rs"]
mod shapes;
#[path = "known_player_parts/sureness.rs"]
mod sureness;

use bendline::flight::Launch;
use bendline::player::change::{What, compare};
use bendline::player::face::split;
use bendline::player::file;
use bendline::player::fit::{fit, fit_in_detail};
use bendline::player::matrix::cholesky;
use bendline::player::neighbours::fill;
use bendline::player::pattern::{AXIS, SPEED, START};
use bendline::player::shotlog::ShotLog;
use bendline::player::words::{ShapeReport, report};
use bendline::player::{Basis, ClubShape, CoursePlay, Handedness, LaunchModel, Player};
use bendline::sample::points;
use bendline::units::{LengthUnit, RPM_RAD_S};
use known_player_made_up::{Luck, Shown, land, log_of, options};

fn driver() -> LaunchModel {
    let spread = [1.6, 1.8, 2.5, 280.0, 5.0];
    let mut scale = [[0.0; 5]; 5];
    for k in 0..5 {
        scale[k][k] = spread[k] * spread[k];
    }
    scale[START][AXIS] = 0.4 * 2.5 * 5.0;
    scale[AXIS][START] = scale[START][AXIS];
    LaunchModel {
        centre: [66.0, 12.0, 2.5, 2650.0, -6.0],
        scale,
        dof: 6.0,
        mishit_share: 0.02,
        handedness: Handedness::Right,
    }
}

fn logged(model: &LaunchModel, shots: usize, seed: u64, shown: Shown) -> ShotLog {
    let mut luck = Luck(seed);
    let pattern = model.pattern();
    let launches: Vec<Launch> = (0..shots).map(|_| pattern.draw(&luck.point())).collect();
    log_of("driver", None, &launches, shown)
}

#[test]
fn many_shots_give_the_model_back() {
    let truth = driver();
    let log = logged(&truth, 4000, 5, Shown::Everything);
    let player = fit(&log, &options(Handedness::Right, 8.0)).unwrap();
    let club = &player.clubs[0];
    assert_eq!(
        (club.shape.as_str(), club.basis),
        ("draw", Basis::FullLaunch)
    );
    let spread = truth.spread();
    for k in 0..5 {
        let off = (club.launches.centre[k] - truth.centre[k]) / spread[k];
        assert!(off.abs() < 0.06, "centre {k} off by {off} spreads");
        let ratio = club.launches.spread()[k] / spread[k];
        assert!((ratio - 1.0).abs() < 0.06, "spread {k}: {ratio}");
    }
    let together = club.launches.scale[START][AXIS]
        / (club.launches.scale[START][START] * club.launches.scale[AXIS][AXIS]).sqrt();
    assert!((together - 0.4).abs() < 0.05, "start with axis {together}");
    assert!(
        (club.launches.mishit_share - 0.02).abs() < 0.008,
        "{}",
        club.launches.mishit_share
    );
}

#[test]
fn a_log_without_launch_data_lands_where_it_was_logged() {
    let log = logged(&driver(), 400, 6, Shown::CarryStartCurve);
    let fitted = fit_in_detail(&log, &options(Handedness::Right, 8.0)).unwrap();
    assert_eq!(fitted.player.clubs[0].basis, Basis::StartAndCurve);
    let launches: Vec<Launch> = fitted.evidence[0]
        .group
        .used()
        .map(|row| Launch {
            ball_speed_m_s: row.five[SPEED],
            launch_deg: row.five[1],
            start_deg: row.five[START],
            spin_rad_s: row.five[3] * RPM_RAD_S,
            axis_deg: row.five[AXIS],
        })
        .collect();
    for (row, [carry_m, side_m]) in fitted.evidence[0].group.used().zip(land(&launches)) {
        let shot = &log.shots[row.shot];
        let direction =
            shot.start_deg.unwrap().to_radians() + (shot.curve_m.unwrap() / shot.carry_m).asin();
        assert!((carry_m - shot.carry_m).abs() < 0.01);
        assert!((side_m - shot.carry_m * direction.sin()).abs() < 0.02);
    }
    let mean = log
        .shots
        .iter()
        .map(|s| s.carry_m)
        .filter(|c| *c > 150.0)
        .sum::<f64>()
        / log.shots.iter().filter(|s| s.carry_m > 150.0).count() as f64;
    assert!(
        (fitted.player.clubs[0].carry_m - mean).abs() < 2.0,
        "{}",
        fitted.player.clubs[0].carry_m
    );
}

#[test]
fn a_mistyped_row_is_named_and_hardly_matters() {
    let clean = logged(&driver(), 30, 7, Shown::Everything);
    let mut typed = clean.clone();
    typed.shots[11].spin_rpm = typed.shots[11].spin_rpm.map(|s| s * 4.0);
    typed.shots[20].carry_m = 2.0 * typed.shots[20].carry_m.min(180.0);
    let with = |log: &ShotLog| fit(log, &options(Handedness::Right, 8.0)).unwrap();
    let (a, b) = (with(&clean), with(&typed));
    let named = |line: &str| {
        b.notes
            .iter()
            .any(|n| n.to_string().contains(line) && n.text.contains("left out as mistyped"))
    };
    assert!(named("line 13") && named("line 22"), "{:#?}", b.notes);
    let spread = a.clubs[0].launches.spread();
    for k in 0..5 {
        let off = (a.clubs[0].launches.centre[k] - b.clubs[0].launches.centre[k]) / spread[k];
        assert!(off.abs() < 0.15, "{k}: {off}");
        let ratio = b.clubs[0].launches.spread()[k] / spread[k];
        assert!((0.85..1.18).contains(&ratio), "{k}: {ratio}");
    }
}

#[test]
fn few_shots_warn_and_one_is_enough() {
    for (shots, shown) in [
        (12, Shown::Everything),
        (1, Shown::CarryStartCurve),
        (1, Shown::CarrySide),
    ] {
        let log = logged(
            &LaunchModel {
                mishit_share: 0.0,
                ..driver()
            },
            shots,
            8,
            shown,
        );
        let player = fit(&log, &options(Handedness::Right, 8.0)).unwrap();
        assert!(
            player.notes.iter().any(|n| n.text.starts_with("few shots")),
            "{:?}",
            player.notes
        );
        let club = &player.clubs[0];
        assert!(cholesky(&club.launches.scale).is_some() && club.launches.dof > 2.0);
        let json = file::to_json(&player);
        let back = file::from_json("player.json", json.as_bytes()).unwrap();
        assert_eq!(back.clubs, player.clubs, "the player file is the player");
    }
}

#[test]
fn a_left_hander_is_the_mirror() {
    for shown in [Shown::Everything, Shown::CarryStartCurve, Shown::CarrySide] {
        let right = logged(
            &LaunchModel {
                mishit_share: 0.0,
                ..driver()
            },
            60,
            9,
            shown,
        );
        let mut left = right.clone();
        for shot in &mut left.shots {
            for value in [
                &mut shot.side_m,
                &mut shot.start_deg,
                &mut shot.curve_m,
                &mut shot.axis_deg,
            ] {
                *value = value.map(|v| -v);
            }
        }
        let a = fit(&right, &options(Handedness::Right, 8.0)).unwrap();
        let b = fit(&left, &options(Handedness::Left, 8.0)).unwrap();
        let mirrored = a.clubs[0].launches.mirrored();
        assert_eq!(
            a.clubs[0].shape, b.clubs[0].shape,
            "a draw is a draw for either hand"
        );
        for k in 0..5 {
            let spread = mirrored.spread()[k];
            assert!((mirrored.centre[k] - b.clubs[0].launches.centre[k]).abs() < 1e-4 * spread);
            for j in 0..5 {
                let off = mirrored.scale[k][j] - b.clubs[0].launches.scale[k][j];
                assert!(off.abs() < 1e-3 * spread * mirrored.spread()[j]);
            }
        }
    }
}

#[test]
fn turning_the_set_up_turns_the_shot_and_leaves_the_bend() {
    // Practice, worked case: path 1.6° right when set up straight; set up 10°
    // right → path 11.6° right, same bend.
    let straight = driver().draw_all(&points(3, 200));
    let turned: Vec<Launch> = straight
        .iter()
        .map(|l| Launch {
            start_deg: l.start_deg + 10.0,
            ..*l
        })
        .collect();
    for (a, b) in land(&straight).iter().zip(land(&turned)) {
        assert!((a[0] - b[0]).abs() < 0.02, "the carry stays: {a:?} {b:?}");
        let (from, to) = (
            (a[1] / a[0]).asin().to_degrees(),
            (b[1] / b[0]).asin().to_degrees(),
        );
        assert!(
            (to - from - 10.0).abs() < 0.01,
            "the landing turns by 10°: {from} {to}"
        );
    }
    let (path, face) = (1.6, 0.6);
    let (path_turned, face_turned) = (path + 10.0, face + 10.0);
    assert!((path_turned - 11.6_f64).abs() < 1e-12);
    assert!(((face_turned - path_turned) - (face - path)).abs() < 1e-12);
}

/// Driver shots whose axis tilt is 4.4° a degree of face-to-path less 0.5° a
/// millimetre towards the toe: round figures of the trade (practice).
fn with_face_and_strike(closed_deg: f64, shots: usize, seed: u64) -> ShotLog {
    let mut luck = Luck(seed);
    let mut details = Vec::new();
    let launches: Vec<Launch> = (0..shots)
        .map(|_| {
            let path = 2.0 + 1.2 * luck.normal();
            let face_to_path = -closed_deg + 1.0 * luck.normal();
            let strike = 8.0 * luck.normal();
            details.push((path, path + face_to_path, strike));
            Launch {
                ball_speed_m_s: 66.0 + 1.2 * luck.normal(),
                launch_deg: 12.0 + 1.2 * luck.normal(),
                start_deg: path + 0.8 * face_to_path,
                spin_rad_s: (2650.0 + 200.0 * luck.normal()) * RPM_RAD_S,
                axis_deg: 4.4 * face_to_path - 0.5 * strike + 0.8 * luck.normal(),
            }
        })
        .collect();
    let mut log = log_of("driver", None, &launches, Shown::Everything);
    for (shot, (path, face, strike)) in log.shots.iter_mut().zip(details) {
        shot.path_deg = Some(path);
        shot.face_deg = Some(face);
        shot.strike_mm = Some(strike);
    }
    log
}

#[test]
fn a_toe_strike_can_draw_off_an_open_face() {
    // Practice: a face 1° open to a straight path with a toe strike can still
    // bend left; a closed face off the heel still draws, only less.
    let log = with_face_and_strike(1.0, 80, 21);
    let fitted = fit_in_detail(&log, &options(Handedness::Right, 8.0)).unwrap();
    let face = split(&fitted.evidence[0].group, &log.shots, Handedness::Right).expect("logged");
    assert!(
        (face.per_degree.value - 4.4).abs() < 0.3,
        "{:?}",
        face.per_degree
    );
    assert!(
        (face.per_mm.unwrap().value + 0.5).abs() < 0.05,
        "{:?}",
        face.per_mm
    );
    assert!(face.axis_deg(1.0, 0.0) > 0.0, "open in the middle fades");
    assert!(face.axis_deg(1.0, 14.0) < 0.0, "open off the toe draws");
    assert!(
        face.axis_deg(-4.0, -10.0) < 0.0,
        "well closed off the heel draws"
    );
    assert!(
        face.axis_deg(-4.0, -10.0) > face.axis_deg(-4.0, 0.0),
        "only less"
    );
    let total: f64 = face.shares.iter().sum();
    assert!((total - 1.0).abs() < 1e-9);
    // Known: (4.4·1)² = 19.4 and (0.5·8)² = 16 of variance, 0.64 of neither.
    assert!(
        (face.shares[0] - 0.54).abs() < 0.12 && (face.shares[1] - 0.44).abs() < 0.12,
        "{:?}",
        face.shares
    );
}

#[test]
fn near_zero_face_to_path_misses_both_ways_and_three_degrees_closed_hardly() {
    // Practice: about 3° closed makes the sign of the bend fairly safe; near 0°
    // nothing does.
    let two_way = |closed: f64| {
        let log = with_face_and_strike(closed, 80, 22);
        let fitted = fit_in_detail(&log, &options(Handedness::Right, 8.0)).unwrap();
        let report = report(&fitted, &log);
        let face = report.clubs[0].face.clone().expect("logged");
        (
            report.clubs[0].two_way.unwrap().value,
            face.safe_face_to_path_deg,
        )
    };
    let (near, _) = two_way(0.2);
    let (closed, safe) = two_way(3.0);
    assert!(near > 0.35, "near zero: {near}");
    assert!(closed < 0.06, "3° closed: {closed}");
    // Truth: 1.645 · √(4.4² + 4² + 0.8²) / 4.4 = 2.24° closed, a little more by
    // the tails of a finite log.
    assert!((-3.0..-1.9).contains(&safe), "safe at {safe}");
}

#[test]
fn five_thousand_rows_fit_in_a_second() {
    let log = logged(&driver(), 5000, 10, Shown::CarryStartCurve);
    // The best of three: other tests run beside this one.
    let took = (0..3)
        .map(|_| {
            let started = std::time::Instant::now();
            let player = fit(&log, &options(Handedness::Right, 8.0)).unwrap();
            assert_eq!(player.clubs.len(), 1);
            started.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min);
    assert!(took < 1.0, "{took} s");
}

/// A player whose numbers use all their bits.
fn all_bits(seed: u32) -> Player {
    let clubs = points(seed, 6)
        .iter()
        .enumerate()
        .map(|(i, u)| {
            let mut scale = [[0.0; 5]; 5];
            for (k, row) in scale.iter_mut().enumerate() {
                row[k] = 1.0 + u[k];
            }
            scale[0][3] = 0.3 * u[5] / 3.0;
            scale[3][0] = scale[0][3];
            ClubShape {
                club: format!("club \"{i}\"\n"),
                shape: "drâw".to_owned(),
                launches: LaunchModel {
                    centre: [
                        60.0 + u[0],
                        10.0 / 3.0 + u[1],
                        u[2] / 7.0,
                        2500.0 * u[3] + 300.0,
                        -u[4],
                    ],
                    scale,
                    dof: 2.1 + 10.0 * u[5],
                    mishit_share: u[6] * 0.2,
                    handedness: Handedness::Left,
                },
                shots: i,
                basis: Basis::SideOnly,
                carry_m: 200.0 - i as f64 - u[7],
                set_up: Default::default(),
                part_share: None,
            }
        })
        .collect();
    Player {
        name: "A. Nonymous <b>".to_owned(),
        handedness: Handedness::Left,
        handicap: -5.0 / 3.0,
        club_length_m: 1.1,
        clubs,
        ball: Default::default(),
        notes: Vec::new(),
        course_play: None,
        log: None,
    }
}

#[test]
fn a_player_comes_back_to_the_bit() {
    for seed in 1..50 {
        let mut player = all_bits(seed);
        let json = file::to_json(&player);
        let back = file::from_json("player.json", json.as_bytes()).expect("our own file");
        // The file gives what would be taken without.
        player.course_play = Some(player.course_play());
        assert_eq!(back, player);
        assert_eq!(file::to_json(&back), json);
    }
}

/// A file of before the short game had factors of its own has those of the index; factors set by hand come
/// back.
#[test]
fn a_file_without_the_short_game_has_that_of_the_index() {
    let mut player = all_bits(3);
    player.handicap = 12.5;
    let mut play = player.course_play();
    [play.short_game.direction, play.short_game.distance] = [1.1, 1.7];
    player.course_play = Some(play);
    let json = file::to_json(&player);
    let back = file::from_json("player.json", json.as_bytes()).expect("our own file");
    assert_eq!(back.course_play, Some(play));
    let mut value: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let of_play = value["course_play"].as_object_mut().expect("an object");
    assert!(of_play.remove("short_game").is_some());
    let back = file::from_json("player.json", value.to_string().as_bytes()).expect("a file");
    let short_game = CoursePlay::of_level(12.5).short_game;
    assert!(short_game.distance > 1.0);
    assert_eq!(back.course_play, Some(CoursePlay { short_game, ..play }));
}

#[test]
fn a_club_without_shots_lies_between_its_neighbours() {
    let mut luck = Luck(31);
    let mut log = ShotLog {
        file: "log.csv".to_owned(),
        ..ShotLog::default()
    };
    for (name, speed, launch, spin) in [("5i", 55.0, 13.0, 5200.0), ("9i", 45.0, 21.0, 8000.0)] {
        let launches: Vec<Launch> = (0..25)
            .map(|_| Launch {
                ball_speed_m_s: speed + luck.normal(),
                launch_deg: launch + luck.normal(),
                start_deg: 1.0 + 2.0 * luck.normal(),
                spin_rad_s: (spin + 300.0 * luck.normal()) * RPM_RAD_S,
                axis_deg: -4.0 + 3.0 * luck.normal(),
            })
            .collect();
        log.shots
            .extend(log_of(name, Some("draw"), &launches, Shown::Everything).shots);
    }
    let options = options(Handedness::Right, 8.0);
    let mut player = fit(&log, &options).unwrap();
    let [long, short] = [player.clubs[0].clone(), player.clubs[1].clone()];
    fill(&mut player, &["7i", "pw"], &options.weather).expect("fillable");
    let names: Vec<&str> = player.clubs.iter().map(|c| c.club.as_str()).collect();
    assert_eq!(
        names,
        ["5i", "7i", "9i", "pw"],
        "in the order of their carries"
    );
    let seven = &player.clubs[1];
    assert_eq!(
        (seven.basis, seven.shots, seven.shape.as_str()),
        (Basis::Neighbours, 0, "draw")
    );
    let middle = 0.5 * (long.carry_m + short.carry_m);
    assert!(
        (seven.carry_m - middle).abs() < 6.0,
        "{} for about {middle}",
        seven.carry_m
    );
    let widest = long.launches.scale[START][START].max(short.launches.scale[START][START]);
    assert!(
        seven.launches.scale[START][START] > widest,
        "wider than either"
    );
    let notes: Vec<&str> = player.notes.iter().map(|n| n.text.as_str()).collect();
    assert!(notes.contains(&"7i: no shot is logged; filled from 5i and 9i and drawn wider for it"));
    let before = player.clone();
    assert!(fill(&mut player, &["5i", "thing"], &options.weather).is_err());
    assert_eq!(player, before, "left as it was");
}

/// A report on so many shots of a driver with another mean axis tilt.
fn report_with(axis_deg: f64, shots: usize, seed: u64) -> ShapeReport {
    let mut model = driver();
    model.centre[AXIS] = axis_deg;
    let log = logged(&model, shots, seed, Shown::Everything);
    report(
        &fit_in_detail(&log, &options(Handedness::Right, 8.0)).unwrap(),
        &log,
    )
}

#[test]
fn a_real_change_shows_and_chance_is_called_chance() {
    let changed = compare(&report_with(-8.0, 60, 1), &report_with(-2.5, 60, 2));
    let curve = changed.clubs[0]
        .changes
        .iter()
        .find(|c| c.what == What::CurveM)
        .unwrap();
    assert!(
        curve.more_than_chance && curve.difference.value > 0.0,
        "{curve:?}"
    );
    assert!(
        changed
            .text(Default::default())
            .contains("more than chance")
    );
    // The same player twice: a 90 % interval leaves out nothing in about nine
    // comparisons of ten; over 60 pairs three standard errors are 12 %.
    let pairs = 60;
    let mut by_chance = 0;
    for pair in 0..pairs {
        let same = compare(
            &report_with(-6.0, 25, 100 + pair),
            &report_with(-6.0, 25, 500 + pair),
        );
        let curve = same.clubs[0]
            .changes
            .iter()
            .find(|c| c.what == What::CurveM)
            .unwrap();
        by_chance += usize::from(curve.more_than_chance);
    }
    assert!(by_chance <= 13, "{by_chance} of {pairs} called a change");
}

#[test]
fn two_shapes_are_told_apart_and_one_is_left_whole() {
    let shape = |axis: f64, start: f64, mirror: f64| {
        let mut model = driver();
        model.centre[AXIS] = axis;
        model.centre[START] = start;
        model.scale[AXIS][AXIS] *= 0.25;
        for k in [START, AXIS] {
            let other = if k == START { AXIS } else { START };
            model.scale[k][other] *= 0.5 * mirror;
        }
        model
    };
    let mut log = logged(&shape(-8.0, 3.0, 1.0), 40, 41, Shown::CarryStartCurve);
    let fade = logged(&shape(7.0, -3.0, 1.0), 25, 42, Shown::CarryStartCurve);
    log.shots.extend(fade.shots);
    let player = fit(&log, &options(Handedness::Right, 8.0)).unwrap();
    let mut shapes: Vec<(&str, usize)> = player
        .clubs
        .iter()
        .map(|c| (c.shape.as_str(), c.shots))
        .collect();
    shapes.sort_unstable();
    assert_eq!(shapes.len(), 2, "{shapes:?}");
    // The tails of the two overlap: a ball that was meant to fade and bent left
    // goes with the draws, which is all that its row can tell.
    let left = log
        .shots
        .iter()
        .filter(|s| s.curve_m.unwrap() < 0.0)
        .count();
    assert_eq!((shapes[0].0, shapes[1].0), ("draw", "fade"));
    assert!(
        shapes[0].1.abs_diff(left) <= 2,
        "{shapes:?}, {left} bent left"
    );
    assert_eq!(shapes[0].1 + shapes[1].1, 65);
    assert!(
        player.notes.iter().any(|n| n.text.contains("two shapes")),
        "{:?}",
        player.notes
    );
    // One heavy-tailed shape, however often: hardly ever called two.
    let mut split = 0;
    for seed in 0..200 {
        let log = logged(&driver(), 60, 1000 + seed, Shown::CarryStartCurve);
        split += usize::from(
            fit(&log, &options(Handedness::Right, 8.0))
                .unwrap()
                .clubs
                .len()
                > 1,
        );
    }
    assert!(split <= 2, "{split} of 200 split");
}

#[test]
fn the_picture_is_well_formed_whatever_the_names() {
    let hostile = "<b>&\"'</b>\u{7}\u{202e} ]]>";
    let mut log = logged(&driver(), 30, 51, Shown::Everything);
    let mut iron = logged(&driver(), 3, 52, Shown::CarrySide);
    for shot in &mut iron.shots {
        shot.club = hostile.to_owned();
        shot.shape = Some(hostile.to_owned());
    }
    log.shots.extend(iron.shots);
    let fitted = fit_in_detail(&log, &options(Handedness::Right, 8.0)).unwrap();
    let report = report(&fitted, &log);
    let svg = bendline::draw::shape::scatter(&report, hostile, LengthUnit::Metres);
    let document = roxmltree::Document::parse(&svg).expect("well-formed XML");
    let texts: Vec<&str> = document.descendants().filter_map(|n| n.text()).collect();
    assert!(
        texts.iter().any(|t| t.contains("<b>&\"'</b>")),
        "the name as text: {texts:?}"
    );
    assert!(
        document.descendants().all(|n| n.tag_name().name() != "b"),
        "and not as markup"
    );
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
    // Two clubs: each with both regions, dashed and filled.
    let ellipses = document
        .descendants()
        .filter(|n| n.attribute("d").is_some_and(|d| d.ends_with('Z')))
        .count();
    assert_eq!(ellipses, 4);
    assert_eq!(
        svg,
        bendline::draw::shape::scatter(&report, hostile, LengthUnit::Metres)
    );
}
