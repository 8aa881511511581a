//! What would help most: changes whose effect is known.

use bendline::flight::{Air, Ball, Firmness, Wind};
use bendline::hole::{Course, read_course};
use bendline::outcome::Day;
use bendline::player::doubt::{Doubt, drawn};
use bendline::player::fit::fit_in_detail;
use bendline::player::pattern::{AXIS, SPEED, START};
use bendline::player::special::{t_quantile, trigamma};
use bendline::player::{Basis, ClubShape, Handedness, LaunchModel, Player};
use bendline::strategy::practice::{Asked, Practice, Remedy, most_helpful};

use super::known_player_made_up::{Shown, options, weather};
use super::{driver, logged, with_face_and_strike};

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
            set_up: Default::default(),
            part_share: None,
        }],
        ball: Default::default(),
        notes: Vec::new(),
        course_play: None,
        log: None,
    }
}

fn priced(player: &Player) -> Practice {
    let course = boundary();
    let hole = &course.holes[0];
    let asked = Asked {
        holes: &[(hole, hole.tee(None).expect("a tee"))],
        player,
        strikes: &[],
        doubts: &[],
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
        practice.undetermined,
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
        doubts: &[],
        day: &day(),
        seed: 3,
    };
    let before = &player.clubs[0].launches;
    let after = |remedy: Remedy| {
        remedy.applied(asked.player, asked.strikes).clubs[0]
            .launches
            .clone()
    };
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
    let both = Remedy::OtherShape.applied(&player, &strikes);
    assert_eq!(both.clubs.len(), 2);
    assert!((both.clubs[1].launches.centre[AXIS] + before.centre[AXIS]).abs() < 1e-12);
    assert!(cholesky_of(&folded), "still a distribution");
}

fn cholesky_of(model: &LaunchModel) -> bool {
    bendline::player::matrix::cholesky(&model.scale).is_some()
}

/// A player fitted to so many shots, with what the log leaves open.
fn fitted(shots: usize) -> (Player, Vec<Option<Doubt>>) {
    let log = logged(&driver(), shots, 61, Shown::Everything);
    let fitted = fit_in_detail(&log, &options(Handedness::Right, 8.0)).unwrap();
    let doubts = fitted
        .player
        .clubs
        .iter()
        .zip(&fitted.evidence)
        .map(|(club, evidence)| Some(Doubt::of_log(club, evidence)))
        .collect();
    (fitted.player, doubts)
}

fn player_number(player: &Player, doubts: &[Option<Doubt>], number: usize) -> Player {
    drawn(player, doubts, 9, number)
}

/// Players drawn from the posterior scatter as it does: the means with the t's own covariance, the
/// spreads about the typical ones.
#[test]
fn drawn_players_scatter_as_the_log_leaves_open() {
    let log = logged(&driver(), 25, 62, Shown::Everything);
    let fitted = fit_in_detail(&log, &options(Handedness::Right, 8.0)).unwrap();
    let (club, evidence) = (&fitted.player.clubs[0], &fitted.evidence[0]);
    let doubts = [Some(Doubt::of_log(club, evidence))];
    let count = 4000;
    let drawn: Vec<LaunchModel> = (0..count)
        .map(|number| {
            player_number(&fitted.player, &doubts, number).clubs[0]
                .launches
                .clone()
        })
        .collect();
    let moments = |of: &dyn Fn(&LaunchModel) -> f64| {
        let values: Vec<f64> = drawn.iter().map(of).collect();
        let mean = values.iter().sum::<f64>() / count as f64;
        let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / count as f64;
        [mean, variance.sqrt()]
    };
    let dof = evidence.mean_dof;
    for k in 0..5 {
        let [mean, sd] = moments(&|m| m.centre[k]);
        let known = (evidence.mean_scale[k][k] * dof / (dof - 2.0)).sqrt();
        // Three standard errors of 4000 draws are 5 % of the spread, of the spread itself 4 %.
        assert!(
            (mean - evidence.mean[k]).abs() < 0.05 * known,
            "{k}: {mean}"
        );
        assert!((sd / known - 1.0).abs() < 0.05, "{k}: {sd} for {known}");
        // The quartile of the balls: the tails' own spread is divided out.
        let [log, log_sd] = moments(&|m| (m.scale[k][k].sqrt() * t_quantile(0.75, m.dof)).ln());
        let typical = evidence.typical_scale[k] * t_quantile(0.75, evidence.tail_dof);
        assert!((log - typical.ln()).abs() < 0.03, "{k}: {log}");
        assert!(
            (log_sd / (0.5 * trigamma(0.5 * dof).sqrt()) - 1.0).abs() < 0.05,
            "{k}: {log_sd}"
        );
    }
    let [share, _] = moments(&|m| m.mishit_share);
    let [a, b] = evidence.mishits;
    assert!((share - a / (a + b)).abs() < 0.002, "{share}");
    // The same number gives the same player.
    let twice = [0, 0].map(|_| player_number(&fitted.player, &doubts, 7));
    assert_eq!(twice[0], twice[1]);
}

/// Intervals hold what the log leaves open: much for 12 shots, less for 200; nothing of a player
/// given by hand.
#[test]
fn intervals_know_how_sure_the_log_is() {
    let course = boundary();
    let hole = &course.holes[0];
    let width = |player: &Player, doubts: &[Option<Doubt>]| {
        let practice = most_helpful(
            &Asked {
                holes: &[(hole, hole.tee(None).expect("a tee"))],
                player,
                strikes: &[],
                doubts,
                day: &day(),
                seed: 3,
            },
            &|_| {},
        )
        .expect("balls in play");
        practice
            .savings
            .iter()
            .map(|s| {
                assert!(
                    s.interval[0] <= s.strokes && s.strokes <= s.interval[1],
                    "{s:?}"
                );
                (
                    s.interval[1] - s.interval[0],
                    2.0 * 1.644_854 * s.standard_error,
                )
            })
            .fold((0.0, 0.0), |sum, s| (sum.0 + s.0, sum.1 + s.1))
    };
    let (few, few_doubts) = fitted(12);
    let (many, many_doubts) = fitted(200);
    let (open, simulated) = width(&few, &few_doubts);
    let (narrow, _) = width(&many, &many_doubts);
    assert!(open > 1.5 * narrow, "{open} {narrow}");
    assert!(open > 1.5 * simulated, "{open} {simulated}");
    let (meant, simulated) = width(&few, &[]);
    assert!((meant - simulated).abs() < 1e-9, "{meant} {simulated}");
}

/// A strike off the middle costs ball speed and turns the start, and centring it wins both back:
/// known, 0.5 m/s at 10 mm and 0.03° a mm.
#[test]
fn a_centred_strike_wins_back_speed_and_start() {
    let mut log = with_face_and_strike(1.0, 150, 33);
    for shot in &mut log.shots {
        let strike = shot.strike_mm.unwrap() + 4.0;
        shot.strike_mm = Some(strike);
        shot.ball_speed_m_s = shot.ball_speed_m_s.map(|v| v - 0.005 * strike * strike);
        shot.start_deg = shot.start_deg.map(|v| v + 0.03 * strike);
    }
    let fitted = fit_in_detail(&log, &options(Handedness::Right, 8.0)).unwrap();
    let strike =
        bendline::player::face::split(&fitted.evidence[0].group, &log.shots, Handedness::Right);
    let cost = strike.as_ref().unwrap().strike_cost.expect("all is logged");
    // The flight model's correction of ball speed scales it by a few parts in a hundred.
    assert!((cost.speed_m_s_per_mm2 + 0.005).abs() < 0.0015, "{cost:?}");
    assert!((cost.start_deg_per_mm - 0.03).abs() < 0.012, "{cost:?}");
    // Mean square of the strike: 4² + 8² = 80 mm², so 0.4 m/s on average.
    assert!((cost.speed_lost_m_s - 0.4).abs() < 0.15, "{cost:?}");
    let before = fitted.player.clubs[0].launches.clone();
    let after = Remedy::CentredStrike
        .applied(&fitted.player, &[strike])
        .clubs[0]
        .launches
        .clone();
    assert!((after.centre[SPEED] - before.centre[SPEED] - cost.speed_lost_m_s).abs() < 1e-9);
    assert!(after.spread()[SPEED] < before.spread()[SPEED]);
    assert!(after.spread()[START] < before.spread()[START]);
    assert!(cholesky_of(&after));
}
