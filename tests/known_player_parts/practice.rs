//! What would help most: changes whose effect is known.

use bendline::flight::{Air, Ball, Firmness, Wind};
use bendline::hole::{Course, read_course};
use bendline::outcome::Day;
use bendline::player::fit::fit_in_detail;
use bendline::player::pattern::{AXIS, SPEED, START};
use bendline::player::{Basis, ClubShape, Handedness, LaunchModel, Player};
use bendline::strategy::practice::{Asked, Practice, Remedy, most_helpful};

use super::known_player_made_up::{options, weather};
use super::{driver, with_face_and_strike};

/// The 400-yd par 4 with out of bounds all down the right.
fn boundary() -> Course {
    let json = include_bytes!("../../holes/06-boundary.geojson");
    read_course("06-boundary.geojson", json, None).expect("a good hole")
}

fn day() -> Day {
    Day {
        air: Air::of(&weather(), 0.03),
        wind: Wind {
            speed_m_s: 0.0,
            from_deg: 0.0,
            gust_share: 0.0,
        },
        ball: Ball::modern(),
        firmness: Firmness::Medium,
    }
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
        }],
        ball: Default::default(),
        notes: Vec::new(),
    }
}

fn priced(player: &Player) -> Practice {
    let course = boundary();
    let hole = &course.holes[0];
    let asked = Asked {
        holes: &[(hole, hole.tee(None).expect("a tee"))],
        player,
        strikes: &[],
        day: &day(),
        seed: 3,
    };
    most_helpful(&asked, &|_| {}).expect("balls in play")
}

fn saved(practice: &Practice, remedy: Remedy) -> f64 {
    let saving = practice.savings.iter().find(|s| s.remedy == remedy);
    saving.expect("priced").strokes
}

#[test]
fn changes_save_what_they_must() {
    let practice = priced(&player(driver()));
    assert!(
        practice
            .savings
            .windows(2)
            .all(|w| w[0].strokes >= w[1].strokes),
        "sorted"
    );
    assert_eq!(
        practice.untold,
        [Remedy::CentredStrike],
        "no strike is logged"
    );
    // Less spread beside out of bounds helps, and 10 yd of 400 are worth a few
    // hundredths of a stroke: strokes from the fairway rise by 0.04 to 0.08 in
    // 20 yd at that distance (Broadie, Interfaces 42(2), 2012, memory), and by
    // twice that for a handicap of 8 (practice).
    assert!(saved(&practice, Remedy::Direction) > 0.01, "{practice:?}");
    let longer = saved(&practice, Remedy::TenYards);
    assert!((0.01..0.1).contains(&longer), "{practice:?}");
    // Off the same balls the errors are small beside what is told apart.
    assert!(
        practice.savings.iter().all(|s| s.standard_error < 0.01),
        "{practice:?}"
    );
    // The same again, to the bit.
    assert_eq!(practice, priced(&player(driver())));
}

#[test]
fn what_is_already_so_saves_nothing() {
    // No curve to halve: the same balls, the same search, no difference at all.
    let mut straight = driver();
    straight.centre[AXIS] = 0.0;
    let practice = priced(&player(straight));
    let half = practice
        .savings
        .iter()
        .find(|s| s.remedy == Remedy::HalfCurve);
    assert_eq!(
        half.map(|s| (s.strokes, s.standard_error)),
        Some((0.0, 0.0))
    );
    // A curve that never crosses already.
    let mut one_way = driver();
    one_way.centre[AXIS] = -14.0;
    for k in 0..5 {
        one_way.scale[AXIS][k] *= 0.1;
        one_way.scale[k][AXIS] *= 0.1;
    }
    let practice = priced(&player(one_way));
    assert!(
        saved(&practice, Remedy::NeverCrosses).abs() < 0.002,
        "{practice:?}"
    );
}

#[test]
fn changes_change_what_they_say() {
    let player = player(driver());
    let log = with_face_and_strike(1.0, 60, 31);
    let fitted = fit_in_detail(&log, &options(Handedness::Right, 8.0)).unwrap();
    let strike =
        bendline::player::face::split(&fitted.evidence[0].group, &log.shots, Handedness::Right);
    let shares = strike.as_ref().expect("face and strike are logged").shares;
    let strikes = [strike];
    let course = boundary();
    let hole = &course.holes[0];
    let asked = Asked {
        holes: &[(hole, hole.tee(None).unwrap())],
        player: &player,
        strikes: &strikes,
        day: &day(),
        seed: 3,
    };
    let before = &player.clubs[0].launches;
    let after = |remedy: Remedy| remedy.applied(&asked).clubs[0].launches.clone();
    let narrower = |model: &LaunchModel, k: usize| model.spread()[k] / before.spread()[k];
    assert!((after(Remedy::HalfCurve).centre[AXIS] - 0.5 * before.centre[AXIS]).abs() < 1e-12);
    assert!((narrower(&after(Remedy::Direction), START) - 0.9).abs() < 1e-12);
    assert!((narrower(&after(Remedy::Distance), SPEED) - 0.9).abs() < 1e-12);
    let centred = narrower(&after(Remedy::CentredStrike), AXIS);
    assert!(
        (centred - (1.0 - shares[1]).sqrt()).abs() < 1e-12,
        "{shares:?}"
    );
    // A t folded at zero: the mean moves out, the spread shrinks, the rest stays.
    let folded = after(Remedy::NeverCrosses);
    assert!(folded.centre[AXIS] < before.centre[AXIS]);
    assert!(narrower(&folded, AXIS) < 1.0 && narrower(&folded, START) == 1.0);
    let both = Remedy::OtherShape.applied(&asked);
    assert_eq!(both.clubs.len(), 2);
    assert!((both.clubs[1].launches.centre[AXIS] + before.centre[AXIS]).abs() < 1e-12);
    assert!(cholesky_of(&folded), "still a distribution");
}

fn cholesky_of(model: &LaunchModel) -> bool {
    bendline::player::matrix::cholesky(&model.scale).is_some()
}
