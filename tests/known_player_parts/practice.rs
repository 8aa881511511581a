//! What practising saves: changes whose effect is known.

use bendline::hole::{Course, read_course};
use bendline::planner::Planner;
use bendline::planner::practised::Practising;
use bendline::player::face::split;
use bendline::player::fit::fit_in_detail;
use bendline::player::pattern::{AXIS, SPEED, SPIN, START};
use bendline::player::{Basis, ClubShape, Handedness, LaunchModel, Player};
use bendline::practice::drill::drill;
use bendline::practice::remedy::{Part, Remedy};
use bendline::practice::{PLAYS, Practice, Practised, remedies};
use bendline::sample::DIMENSIONS;
use bendline::strategy::whole::lie::Lie;
use bendline::strategy::whole::simulation::Stroke;
use bendline::units::LengthUnit;

use super::known_player_made_up::{Luck, options};
use super::{driver, with_face_and_strike};

/// The 400-yd par 4 with out of bounds all down the right.
fn boundary() -> Course {
    let json = include_bytes!("../../holes/06-boundary.geojson");
    read_course("06-boundary.geojson", json, None).expect("a good hole")
}

fn player(launches: LaunchModel) -> Player {
    Player {
        name: "made up".to_owned(),
        handedness: Handedness::Right,
        handicap: 8.0,
        club_length_m: 1.15,
        clubs: vec![ClubShape {
            club: "driver".to_owned(),
            shape: "usual".to_owned(),
            launches,
            shots: 50,
            basis: Basis::FullLaunch,
            carry_m: 213.0,
            set_up: Default::default(),
            part_share: None,
        }],
        ball: Default::default(),
        notes: Vec::new(),
        course_play: None,
        log: None,
    }
}

fn practised(player: &Player) -> Practised {
    let course = boundary();
    let (priced, _) = remedies(&[]);
    let practising = Practising {
        remedies: &priced,
        strikes: &[],
        swung: &[],
    };
    let planner = Planner::new(&course.holes[0], player).seed(3);
    let practised = planner
        .practise(&practising, 0, &|_| {})
        .expect("balls in play");
    let plan = planner.plan().expect("balls in play");
    assert_eq!(practised.plan.sentence(), plan.sentence());
    practised
}

fn summed(practised: Practised, player: &Player) -> Practice {
    let (priced, untold) = remedies(&[]);
    Practice::of(&[practised], player, (&priced, untold)).expect("a hole")
}

/// The plan's strokes are what playing it gives, savings are sorted and ranked by what is noise, a
/// change that changes nothing saves nothing at all, and the same comes again.
#[test]
fn savings_are_of_the_plan_as_it_plays() {
    let steady = LaunchModel {
        mishit_share: 0.0,
        ..driver()
    };
    let mut player = player(steady);
    // Nothing of a course: mishits stay none.
    player.course_play = Some(bendline::player::CoursePlay::NONE);
    let once = practised(&player);
    let told = once
        .plan
        .whole_hole
        .as_ref()
        .expect("by the own game")
        .expected_score;
    // A score spreads by a stroke.
    let error = 1.0 / (PLAYS as f64).sqrt();
    assert!(
        (once.played - told).abs() < 0.02 + 4.0 * error,
        "{} {told}",
        once.played
    );
    let saved = once.saved.clone();
    let practice = summed(once, &player);
    assert_eq!(practice.strokes, told);
    assert_eq!(
        practice.untold,
        [Remedy::CentredStrike],
        "no strike is logged"
    );
    let pairs = practice.savings.windows(2);
    for pair in pairs {
        assert!(pair[0].all.mean >= pair[1].all.mean && pair[0].rank <= pair[1].rank);
        assert!(pair[0].rank < pair[1].rank || pair[0].is_shared && pair[1].is_shared);
    }
    let of = |remedy: Remedy| {
        let saving = practice.savings.iter().find(|s| s.remedy == remedy);
        saving.expect("priced").all
    };
    for nothing in [Remedy::TeeMishits, Remedy::ApproachMishits] {
        assert_eq!((of(nothing).mean, of(nothing).standard_error), (0.0, 0.0));
    }
    // Beside out of bounds straighter starts pay; 10 yd of 400 are a few hundredths.
    assert!(
        of(Remedy::TeeStart).is_saved(),
        "{:?}",
        of(Remedy::TeeStart)
    );
    assert!(of(Remedy::Putting).is_saved(), "{:?}", of(Remedy::Putting));
    assert!(
        (0.0..0.15).contains(&of(Remedy::Longer).mean),
        "{:?}",
        of(Remedy::Longer)
    );
    assert_eq!(practised(&player).saved, saved);
}

#[test]
fn changes_change_what_they_say() {
    let before = driver();
    let narrower =
        |remedy: Remedy, k: usize| remedy.launches(&before).spread()[k] / before.spread()[k];
    for (remedy, less) in [
        (Remedy::TeeStart, &[START][..]),
        (Remedy::TeeBend, &[AXIS]),
        (Remedy::ApproachDirection, &[START, AXIS]),
        (Remedy::TeeDistance, &[SPEED, 1, SPIN]),
        (Remedy::Pitches, &[SPEED, 1, START, SPIN, AXIS]),
    ] {
        for k in 0..5 {
            let wanted = if less.contains(&k) { 0.8 } else { 1.0 };
            assert!(
                (narrower(remedy, k) - wanted).abs() < 1e-12,
                "{remedy:?} {k}"
            );
        }
        assert_eq!(remedy.launches(&before).centre, before.centre);
    }
    let mishits = Remedy::TeeMishits.launches(&before).mishit_share;
    assert!((mishits - 0.5 * before.mishit_share).abs() < 1e-12);
    let stroke = |is_teed, lie, to_pin_m| Stroke {
        is_teed,
        lie,
        to_pin_m,
    };
    assert_eq!(Part::of(stroke(true, Lie::Tee, 380.0), 4), Part::Tee);
    assert_eq!(Part::of(stroke(true, Lie::Tee, 150.0), 3), Part::Approach);
    assert_eq!(Part::of(stroke(false, Lie::Rough, 91.0), 4), Part::Pitch);
    assert_eq!(Part::of(stroke(false, Lie::Fairway, 27.0), 4), Part::Chip);
    assert_eq!(Part::of(stroke(false, Lie::Sand, 150.0), 4), Part::Sand);
    assert!(
        cholesky_of(&Remedy::Sand.launches(&before)),
        "still a distribution"
    );
}

/// The gate of the start line holds half of the balls and six in ten with less scatter, counted on
/// balls that it was not cut by.
#[test]
fn a_gate_holds_what_the_sheet_says() {
    let player = player(driver());
    let practice = Practice {
        holes: Vec::new(),
        strokes: 4.5,
        savings: Vec::new(),
        untold: Vec::new(),
        tee_clubs: vec![0],
    };
    let drill = drill(
        Remedy::TeeStart,
        &practice,
        &player,
        &[],
        LengthUnit::Metres,
    )
    .expect("a drill");
    let width_cm: f64 = drill
        .width
        .trim_end_matches(" cm")
        .parse()
        .expect("a width");
    let half_deg = (0.5 * width_cm / 500.0).atan().to_degrees();
    let mut luck = Luck(11);
    let mut held = |model: &LaunchModel| {
        let sound = LaunchModel {
            mishit_share: 0.0,
            ..model.clone()
        };
        let pattern = sound.pattern();
        let through = (0..20_000).filter(|_| {
            let point: [f64; DIMENSIONS] = luck.point();
            (pattern.draw_five(&point)[START] - sound.centre[START]).abs() <= half_deg
        });
        through.count() as f64 / 20_000.0
    };
    let today = held(&player.clubs[0].launches);
    let target = held(&Remedy::TeeStart.launches(&player.clubs[0].launches));
    let balls = f64::from(drill.balls);
    assert!(
        (today - f64::from(drill.today) / balls).abs() < 0.03,
        "{today} {drill:?}"
    );
    assert!(
        (target - f64::from(drill.target) / balls).abs() < 0.03,
        "{target} {drill:?}"
    );
}

fn cholesky_of(model: &LaunchModel) -> bool {
    bendline::player::matrix::cholesky(&model.scale).is_some()
}

/// A strike off the middle costs ball speed and turns the start, and one half as far from it wins back
/// half of the start and three quarters of the speed: known, 0.5 m/s at 10 mm and 0.03° a mm.
#[test]
fn a_strike_nearer_the_middle_wins_back_speed_and_start() {
    let mut log = with_face_and_strike(1.0, 150, 33);
    for shot in &mut log.shots {
        let strike = shot.strike_mm.unwrap() + 4.0;
        shot.strike_mm = Some(strike);
        shot.ball_speed_m_s = shot.ball_speed_m_s.map(|v| v - 0.005 * strike * strike);
        shot.start_deg = shot.start_deg.map(|v| v + 0.03 * strike);
    }
    let fitted = fit_in_detail(&log, &options(Handedness::Right, 8.0)).unwrap();
    let strike = split(&fitted.evidence[0].group, &log.shots, Handedness::Right);
    let cost = strike.as_ref().unwrap().strike_cost.expect("all is logged");
    let shares = strike.as_ref().unwrap().shares;
    // The flight model's correction of ball speed scales it by a few parts in a hundred.
    assert!((cost.speed_m_s_per_mm2 + 0.005).abs() < 0.0015, "{cost:?}");
    assert!((cost.start_deg_per_mm - 0.03).abs() < 0.012, "{cost:?}");
    // Mean square of the strike: 4² + 8² = 80 mm², so 0.4 m/s on average.
    assert!((cost.speed_lost_m_s - 0.4).abs() < 0.15, "{cost:?}");
    let before = fitted.player.clubs[0].launches.clone();
    let applied = Remedy::CentredStrike.applied(&fitted.player, &[strike]);
    let after = applied.clubs[0].launches.clone();
    let gained = after.centre[SPEED] - before.centre[SPEED];
    assert!((gained - 0.75 * cost.speed_lost_m_s).abs() < 1e-9);
    let axis = after.spread()[AXIS] / before.spread()[AXIS];
    assert!(
        (axis - (1.0 - 0.75 * shares[1]).sqrt()).abs() < 1e-9,
        "{shares:?}"
    );
    assert!(after.spread()[SPEED] < before.spread()[SPEED]);
    assert!(after.spread()[START] < before.spread()[START]);
    assert!(cholesky_of(&after));
    // How much wider the player plays on a course stays.
    assert_eq!(applied.course_play, Some(fitted.player.course_play()));
}
