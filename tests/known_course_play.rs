//! Course play against what a handicap says of scores.

mod common;
mod reference_course;
mod review_made_up;
mod whole_made_up;

use std::collections::BTreeMap;

use bendline::hole::{Coord, Hole, Surface, read_course};
use bendline::player::club::{Club, Family};
use bendline::player::course_play::{CoursePlay, Wider};
use bendline::player::pattern::{SPEED, START};
use bendline::player::{Basis, Player};
use bendline::strategy::finish::StrokesToGo;
use bendline::strategy::whole::lie::Lie;
use bendline::strategy::whole::swing::{Kind, Swing, swings};
use bendline::strategy::whole::{Options, Whole};
use bendline::units::YARD_M;
use reference_course::{HOLES, ODDS, Round, scores, typical};
use whole_made_up::calm;

const COURSE: &str = include_str!("../holes/course.geojson");

/// A typical player of an index makes that index on the reference course, as the World Handicap System
/// reckons it; rounds spread as published: about 3 strokes for low indices and 4 and more for high ones;
/// and how often a net differential is at most 0, −1, −2 and −3 is, up to an index of 28, within two fifths
/// of the published odds, and of 54 within two thirds (its published rounds beat an index more often).
#[test]
fn typical_players_make_their_own_index() {
    let holes: Vec<Hole> = (0..HOLES.len()).map(reference_course::hole).collect();
    for (index, spread) in [
        (0.0, 2.4..3.2),
        (18.0, 3.4..4.4),
        (28.0, 4.0..5.5),
        (54.0, 6.0..9.0),
    ] {
        let player = CoursePlay::of_level(index).on(&typical(index));
        let scores = scores(&holes, &player, &calm());
        let (round, adjusted) = (Round::of(&scores), Round::adjusted(&scores, index));
        let made = adjusted.index();
        eprintln!("{index}: makes {made:.2}, spread {:.2}", round.spread());
        assert!((made - index).abs() < 0.3, "{index}: {made:.2}");
        assert!(
            spread.contains(&round.spread()),
            "{index}: {:.2}",
            round.spread()
        );
        let band = ODDS.iter().find(|(to, _)| index <= *to).expect("a band").1;
        let nets = [0.0, -1.0, -2.0, -3.0].into_iter().zip(band);
        let within = if index <= 28.0 { 0.4 } else { 0.67 };
        for (net, published) in nets {
            let ours = 1.0 / Round::adjusted_then(&scores, index).at_most(net);
            assert!(
                (ours / published - 1.0).abs() < within,
                "{index}, net {net}: one in {ours:.1}, published {published}"
            );
        }
    }
}

/// A typical player whose log scatters by this share of the level's, with so many shots a club.
fn logged(index: f64, share_of_level: f64, shots: usize) -> Player {
    let mut player = typical(index);
    for club in &mut player.clubs {
        club.launches.widen([share_of_level; 5]);
        club.shots = shots;
        club.basis = Basis::FullLaunch;
    }
    player
}

/// Log and level are weighed: a tight log is widened, by less the more shots it has; a log as wide
/// as the level's play on a course is left as it is.
#[test]
fn a_tight_log_is_drawn_wider_and_a_wide_one_is_not() {
    let factor = |player: &Player| CoursePlay::of(player).others.direction;
    let tight = factor(&logged(12.0, 0.7, 30));
    assert!(tight > 1.25 && tight < 1.0 / 0.7 * 1.2, "{tight}");
    assert!(factor(&logged(12.0, 0.7, 30)) > factor(&logged(12.0, 0.85, 30)));
    assert_eq!(factor(&logged(12.0, 1.8, 30)), 1.0);
    // Few shots say little of the level: more is left to it.
    let level = CoursePlay::of_level(12.0).others.direction;
    let off = |shots| (factor(&logged(12.0, 0.7, shots)) - level / 0.7).abs();
    assert!(off(1) < off(30), "{} {}", off(1), off(30));
}

/// The widened player scatters by the factors; nothing else of a club changes, and nothing at all as on
/// the range.
#[test]
fn the_player_there_scatters_by_the_factors() {
    let player = logged(6.0, 0.8, 20);
    let play = CoursePlay {
        driver: Wider {
            direction: 1.1,
            distance: 1.2,
        },
        others: Wider {
            direction: 1.3,
            distance: 1.4,
        },
        short_game: Wider {
            direction: 1.2,
            distance: 1.25,
        },
        more_mishits: 0.03,
    };
    let there = play.on(&player);
    for (number, (club, there)) in player.clubs.iter().zip(&there.clubs).enumerate() {
        let of = if number == 0 {
            play.driver
        } else {
            play.others
        };
        let (mut direction, mut distance) = (of.direction, of.distance);
        if Club::of(&club.club).family == Family::Wedge {
            direction *= play.short_game.direction;
            distance *= play.short_game.distance;
        }
        let factors = [distance, distance, direction, distance, direction];
        let spreads = there
            .launches
            .spread()
            .into_iter()
            .zip(club.launches.spread());
        for ((there, range), factor) in spreads.zip(factors) {
            assert!((there / range - factor).abs() < 1e-12, "{}", club.club);
        }
        assert_eq!(there.launches.centre, club.launches.centre);
        assert_eq!(there.carry_m, club.carry_m);
        let more = there.launches.mishit_share - club.launches.mishit_share;
        assert!((more - 0.03).abs() < 1e-12);
    }
    assert_eq!(there.notes.len(), player.notes.len() + 1);
    assert!(
        there.notes[0]
            .text
            .contains("1.3 times as wide to the side"),
        "{}",
        there.notes[0].text
    );
    let range = CoursePlay::NONE.on(&player);
    assert_eq!(range.clubs, player.clubs);
    assert_eq!(range.notes.len(), player.notes.len());
}

/// Pitches have the short game's factors and chips have none, whether the shortest club is a wedge, which has
/// them in full swings too, or an iron, which has not. Short swings from sand
/// have none, and longer ones the more the nearer they are to the full swing.
#[test]
fn pitches_scatter_by_the_short_games_factors_and_chips_do_not() {
    let play = CoursePlay {
        short_game: Wider {
            direction: 1.2,
            distance: 1.5,
        },
        ..CoursePlay::NONE
    };
    let wedges = typical(6.0);
    let mut irons = wedges.clone();
    irons
        .clubs
        .retain(|club| Club::of(&club.club).family != Family::Wedge);
    for player in [wedges, irons] {
        let (range, there) = (
            swings(&CoursePlay::NONE.on(&player)),
            swings(&play.on(&player)),
        );
        assert_eq!(range.len(), there.len());
        let mut seen = [0; 2];
        let is_partial = |swing: &Swing| matches!(swing.kind, Kind::Partial(_));
        for (range, there) in range.iter().zip(&there).filter(|both| is_partial(both.0)) {
            let [of_range, of_there] = [range, there].map(|swing| {
                [Lie::Fairway, Lie::Sand]
                    .map(|lie| swing.by_lie[lie as usize].clone().expect("partial swings"))
            });
            let [ratio, in_sand] = [0, 1].map(|lie| {
                [SPEED, START].map(|k| of_there[lie].spread()[k] / of_range[lie].spread()[k])
            });
            let Kind::Partial(share) = there.kind else {
                unreachable!("partial swings")
            };
            let all = [1.5, 1.2];
            let part = ((share - 0.6) / 0.4).max(0.0);
            let expected = all.map(|factor: f64| 1.0 + part * (factor - 1.0));
            for (ratio, expected) in in_sand.iter().zip(expected) {
                assert!((ratio - expected).abs() < 1e-9, "{share}: {in_sand:?}");
            }
            match of_range[0].centre[SPEED] {
                speed if speed < 14.0 => {
                    seen[0] += 1;
                    assert!(ratio.iter().all(|r| (r - 1.0).abs() < 1e-9), "{ratio:?}");
                }
                speed if speed > 21.0 => {
                    seen[1] += 1;
                    let off = [ratio[0] - 1.5, ratio[1] - 1.2];
                    assert!(off.iter().all(|off| off.abs() < 1e-9), "{ratio:?}");
                }
                _ => assert!(ratio[0] > 1.0 && ratio[0] < 1.5, "{ratio:?}"),
            }
        }
        assert!(seen.iter().all(|seen| *seen > 3), "{seen:?}");
    }
}

/// No part of a demo hole is worth less to a player of index 0 than the tour's table says, minus 0.1
/// strokes: states by surface and every 20 yards, on average, for a state alone is known to a
/// tenth of a stroke. Under trees the table begins at 100 yd.
#[test]
fn no_place_is_worth_less_than_to_a_tour_player() {
    let tour = StrokesToGo::for_handicap(-5.0);
    let course = read_course("course.geojson", COURSE.as_bytes(), None).expect("a course");
    let player = CoursePlay::of_level(0.0).on(&typical(0.0));
    let mut parts: BTreeMap<(String, usize), Vec<f64>> = BTreeMap::new();
    for hole in &course.holes {
        let tee = hole.tee(None).expect("a tee");
        let start = tee.peg(tee.width_m() / 2.0, 0.1);
        let whole = Whole::of(hole, &player, &calm(), start, &Options::default(), None);
        let policy = whole.evaluating();
        for state in whole.evaluated.states() {
            let at = Coord {
                x: f64::from(state.at[0]),
                y: f64::from(state.at[1]),
            };
            let yards = (at.x - hole.pin.x).hypot(at.y - hole.pin.y) / YARD_M;
            let surface = hole.surface_at(at);
            let first = if surface == Surface::Trees {
                100.0
            } else {
                20.0
            };
            if yards >= first && Lie::on(surface) == Some(state.lie) {
                let more = policy.value(surface, at) - tour.from(surface, yards * YARD_M);
                let part = (format!("{surface:?}"), (yards / 20.0) as usize * 20);
                parts.entry(part).or_default().push(more);
            }
        }
    }
    assert!(parts.len() > 40, "{} parts", parts.len());
    let enough = parts.into_iter().filter(|(_, more)| more.len() >= FEW);
    let means = enough.map(|((surface, yards), more)| {
        let mean = more.iter().sum::<f64>() / more.len() as f64;
        eprintln!("{surface} {yards} yd: {mean:+.3} of {} states", more.len());
        (mean, surface, yards)
    });
    let means: Vec<_> = means.collect();
    // What the calibration of sand keeps to its column (`strategy::whole::lie`).
    let sand = |part: &&(f64, String, usize)| part.1 == "Bunker" && part.2 < 100;
    for (mean, _, yards) in means.iter().filter(sand) {
        assert!((-0.1..0.25).contains(mean), "sand, {yards} yd: {mean:+.3}");
    }
    let less: Vec<_> = means.into_iter().filter(|part| part.0 < -0.1).collect();
    assert!(less.is_empty(), "{less:?}");
}

/// Fewer states do not make a mean.
const FEW: usize = 30;

/// The ends of course play lie about it, the tighter no tighter than the range; the more shots, the nearer.
#[test]
fn the_ends_hold_course_play_between_them() {
    let apart = |shots: usize| {
        let player = logged(12.0, 0.7, shots);
        let play = CoursePlay::of(&player);
        let [tighter, wider] = play.ends(&player);
        assert!(1.0 <= tighter.others.distance && tighter.others.distance < play.others.distance);
        assert!(play.others.distance < wider.others.distance);
        assert!(tighter.more_mishits < play.more_mishits && play.more_mishits < wider.more_mishits);
        (wider.others.direction / play.others.direction).ln()
    };
    assert!(apart(1) > apart(30), "{} {}", apart(1), apart(30));
    // An interval of 80 % is 1.28 standard deviations either way, of less than the level's own.
    assert!(
        apart(1) < 1.29 * 0.15 && apart(30) > 0.5 * 1.28 * 0.15,
        "{}",
        apart(30)
    );
    let range = CoursePlay::NONE.ends(&logged(12.0, 1.0, 30));
    assert_eq!(range[0], CoursePlay::NONE);
}

/// What is learnt from tee shots holds the truth as often as it says: 40 players whose course play is drawn
/// from what log and handicap make likely, four rounds of nine holes each, and 80 % intervals. The bounds
/// are the binomial's, three standard deviations of 40 for one unknown and of 160 for the four scatters
/// together; `examples/review_calibration` has 200 players.
#[test]
fn what_is_learnt_holds_the_truth() {
    let holds = review_made_up::calibrate(40, 4, 2026);
    eprintln!("{holds:?}");
    let sd = |n: f64| (n * 0.8 * 0.2).sqrt();
    for held in holds.held {
        assert!((held as f64 - 32.0).abs() <= 3.0 * sd(40.0), "{holds:?}");
    }
    let all: usize = holds.held[..4].iter().sum();
    assert!((all as f64 - 128.0).abs() <= 3.0 * sd(160.0), "{holds:?}");
    // Something is learnt: an interval after is narrower than before.
    assert!(
        holds.narrowed[0] < 0.95 * 40.0 && holds.narrowed[2] < 0.95 * 40.0,
        "{holds:?}"
    );
}
