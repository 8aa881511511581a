//! Questions about a player: a player file whose figures cannot belong to one ball.

use super::bag::{MORE_LOFT_DEG, is_putter};
use super::delivery::word;
use super::shapes::bends;
use crate::diagnostic::{Note, Place, Problem, Question, Topic, printable};
use crate::flight::Weather;
use crate::player::club::Club;
use crate::player::fit::mean_carry_m;
use crate::player::group::median;
use crate::player::invert::Range;
use crate::player::pattern::{AXIS, SPEED, SPIN, START};
use crate::player::{Basis, ClubShape, Handedness, Player, prior};
use crate::units::YARD_M;

/// Most by which a stated carry and the carry of the stated launches differ, as a logarithm: what
/// was fitted is worked out from those launches, and only rounding and the air of the range are
/// between the two.
const CARRY_FITTED: f64 = 0.025;
/// The same of a club that was written by hand.
const CARRY_GIVEN: f64 = 0.06;
/// The same in metres, for chips.
const CARRY_M: f64 = 2.0;
/// Airs in which the log may have been hit, from a frosty day by the sea to a hot one high up:
/// altitude (m) and temperature (°C). The file does not say which.
const AIRS: [[f64; 2]; 7] = [
    [0.0, -10.0],
    [0.0, 20.0],
    [700.0, 20.0],
    [1400.0, 20.0],
    [2100.0, 20.0],
    [2800.0, 20.0],
    [3200.0, 35.0],
];
/// An air changes the carries of clubs by different shares: carries that are all off by the same,
/// to this, as a logarithm, are those of another unit …
const SAME_SHARE: f64 = 0.004;
/// … from so many clubs, and so far off.
const SAME_CLUBS: usize = 3;
const SAME_OFF: f64 = 0.01;
/// Most clubs in a bag.
const BAG: usize = 14;
/// Farthest mean start off the set-up, degrees: a player who starts the ball farther off turns.
const START_DEG: f64 = 15.0;
/// Spin of a pattern's centre beside what the club usually gives (practice, with room for slow
/// and steep swings).
const SPIN_SHARE: [f64; 2] = [0.3, 2.5];
/// Share by which a club of more loft carries farther for sure, from many and from few shots.
const FARTHER: [f64; 2] = [1.15, 1.3];
const FEW_SHOTS: usize = 20;
/// Least tilt, in degrees, in spreads and in standard errors, of a shape against its name.
const AGAINST: [f64; 3] = [3.0, 1.0, 3.5];
/// A pattern deserves a note where it spreads less than this share of what the level does.
const TIGHT: f64 = 0.3;

/// Questions about the figures of a player file, club by club in the order of the player, and notes
/// on what deserves a look. What the player was logged with an answer for is not asked again.
#[must_use]
pub fn of_player(file: &str, player: &Player) -> (Vec<Question>, Vec<Note>) {
    let range = Range::new(&Weather::usual()).with(player.ball);
    let hand = player.handedness;
    let of_clubs = player.clubs.iter().flat_map(|club| {
        [
            putter(file, club),
            start(file, club),
            spin(file, club),
            shape(file, club, hand),
        ]
        .into_iter()
        .flatten()
    });
    let mut questions: Vec<Question> = bag(file, player)
        .into_iter()
        .chain(order(file, player))
        .chain(carries(file, player, &range))
        .chain(of_clubs)
        .collect();
    questions.retain(|question| {
        let answered = |note: &Note| note.topic == Some(question.topic);
        !player.notes.iter().any(answered)
    });
    (questions, tight(file, player).into_iter().collect())
}

/// Rule 4.1b: no more than fourteen clubs; each may stand in the file with several shapes.
fn bag(file: &str, player: &Player) -> Option<Question> {
    let mut names: Vec<&str> = player.clubs.iter().map(|club| club.club.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    (names.len() > BAG).then(|| Question {
        topic: Topic::BagSize,
        problem: Problem {
            file: file.to_owned(),
            place: Place::Key("clubs".into()),
            expected: format!("at most {BAG} clubs, each with any of its shapes (Rule 4.1b)"),
            found: format!("{} clubs", names.len()),
            remedy: "take out the clubs that stay at home".into(),
        },
    })
}

fn question(file: &str, club: &ClubShape, topic: Topic, words: [String; 3]) -> Question {
    let [expected, found, remedy] = words;
    Question {
        topic,
        problem: Problem {
            file: file.to_owned(),
            place: Place::Key(format!("clubs: {} ({})", club.club, club.shape)),
            expected,
            found,
            remedy,
        },
    }
}

/// Stated carries against those of the launches, in the air that suits the most clubs.
fn carries(file: &str, player: &Player, range: &Range) -> Vec<Question> {
    // The reader works a carry out where a club filled from its neighbours has none.
    let clubs: Vec<(&ClubShape, f64)> = player
        .clubs
        .iter()
        .filter(|club| club.basis != Basis::Neighbours)
        .map(|club| (club, mean_carry_m(range, &club.launches)))
        .collect();
    let off: Vec<f64> = clubs
        .iter()
        .map(|(club, flown_m)| (club.carry_m / flown_m).ln())
        .collect();
    let yards = |metres: f64| format!("{:.0} yd ({metres:.0} m)", metres / YARD_M);
    let middle = median(off.iter().copied());
    let alike = off.iter().all(|x| (x - middle).abs() < SAME_SHARE);
    // By hand a carry is a round figure.
    let by_hand = clubs.iter().any(|(club, _)| club.basis == Basis::Given);
    let least = if by_hand { CARRY_GIVEN } else { SAME_OFF };
    if clubs.len() >= SAME_CLUBS && alike && middle.abs() > least {
        let (club, flown_m) = clubs[0];
        let unit = if (middle + YARD_M.ln()).abs() < SAME_SHARE {
            ": they read like yards"
        } else {
            ""
        };
        return vec![question(
            file,
            club,
            Topic::LaunchAndCarry,
            [
                format!(
                    "\"carry_m\" near the carry of the launches, {}",
                    yards(flown_m)
                ),
                format!(
                    "{}, and every other club {:.3} times as far as its launches too{unit}",
                    yards(club.carry_m),
                    middle.exp()
                ),
                "write every \"carry_m\" in metres".into(),
            ],
        )];
    }
    let centres: Vec<[f64; 5]> = clubs.iter().map(|(c, _)| c.launches.centre).collect();
    let usual = range.land(&centres);
    // What is left of every club in each air; the first that suits best.
    let left = AIRS
        .iter()
        .map(|[altitude_m, temperature_c]| {
            let weather = Weather {
                temperature_c: *temperature_c,
                ..Weather::at_altitude(*altitude_m)
            };
            let there = Range::new(&weather).with(player.ball).land(&centres);
            off.iter()
                .zip(usual.iter().zip(&there))
                .map(|(off, (usual, there))| {
                    off - (there.carry_m.max(0.1) / usual.carry_m.max(0.1)).ln()
                })
                .collect::<Vec<f64>>()
        })
        .chain([off.clone()])
        .map(|left| (left.iter().map(|x| x.abs().min(0.1)).sum::<f64>(), left))
        .reduce(|a, b| if b.0 < a.0 { b } else { a });
    let Some((_, left)) = left else {
        return Vec::new();
    };
    clubs
        .iter()
        .zip(left)
        .filter(|((club, flown_m), left)| {
            let most = match club.basis {
                Basis::Given => CARRY_GIVEN,
                _ => CARRY_FITTED,
            };
            left.abs() > most && left.abs() * flown_m.max(club.carry_m) > CARRY_M
        })
        .map(|((club, flown_m), _)| {
            question(
                file,
                club,
                Topic::LaunchAndCarry,
                [
                    format!(
                        "\"carry_m\" near the carry of the launches, {}",
                        yards(*flown_m)
                    ),
                    yards(club.carry_m),
                    "correct the carry or the centre of the launches; shots hit in thin air need \
                     the ball's own factors"
                        .into(),
                ],
            )
        })
        .collect()
}

/// Share by which a carry is longer for sure: a log asks by its standard errors, which a file does
/// not have.
fn farther(lofted: &ClubShape, long: &ClubShape) -> f64 {
    let few = [lofted, long]
        .iter()
        .any(|club| club.basis != Basis::Given && club.shots < FEW_SHOTS);
    if few { FARTHER[1] } else { FARTHER[0] }
}

/// A club that carries farther than one of far less loft.
fn order(file: &str, player: &Player) -> Option<Question> {
    let known: Vec<(&ClubShape, Club)> = player
        .clubs
        .iter()
        .map(|club| (club, Club::of(&club.club)))
        .filter(|(_, known)| known.known)
        .collect();
    let worst = known
        .iter()
        .flat_map(|lofted| known.iter().map(move |long| (lofted, long)))
        .filter(|(lofted, long)| {
            lofted.1.loft_deg >= long.1.loft_deg + MORE_LOFT_DEG
                && lofted.0.carry_m > farther(lofted.0, long.0) * long.0.carry_m
        })
        .map(|(lofted, long)| (lofted.0, long.0))
        .reduce(|a, b| {
            let share = |(lofted, long): (&ClubShape, &ClubShape)| lofted.carry_m / long.carry_m;
            if share(b) > share(a) { b } else { a }
        });
    let (lofted, long) = worst?;
    Some(question(
        file,
        lofted,
        Topic::ClubOrder,
        [
            format!(
                "a {} that carries less far than a {}, which has less loft",
                printable(&lofted.club),
                printable(&long.club)
            ),
            format!(
                "{} {:.0} m, {} {:.0} m",
                printable(&lofted.club),
                lofted.carry_m,
                printable(&long.club),
                long.carry_m
            ),
            "look whether the names of the clubs or the carries were exchanged".into(),
        ],
    ))
}

fn putter(file: &str, club: &ClubShape) -> Option<Question> {
    is_putter(&club.club).then(|| {
        question(
            file,
            club,
            Topic::Putter,
            [
                "clubs for full shots: every club of the file is tried from the tee".into(),
                "a putter".into(),
                "take the putter out: putts are priced by the level".into(),
            ],
        )
    })
}

fn spin(file: &str, club: &ClubShape) -> Option<Question> {
    let known = Club::of(&club.club);
    let spin_rpm = club.launches.centre[SPIN];
    let (_, usual_rpm) = known.usual_launch(club.carry_m);
    if !known.known || (SPIN_SHARE[0]..=SPIN_SHARE[1]).contains(&(spin_rpm / usual_rpm)) {
        return None;
    }
    Some(question(
        file,
        club,
        Topic::ClubLaunch,
        [
            format!(
                "a mean spin from {:.0} to {:.0} rpm with a {} that carries so far",
                SPIN_SHARE[0] * usual_rpm,
                SPIN_SHARE[1] * usual_rpm,
                printable(&club.club)
            ),
            format!("{spin_rpm:.0} rpm"),
            "correct the fourth number of the centre".into(),
        ],
    ))
}

/// A draw whose axis tilts as a fade's, or a fade's as a draw's.
fn shape(file: &str, club: &ClubShape, hand: Handedness) -> Option<Question> {
    // For a right-hander a draw tilts left.
    let called = bends(&club.shape.to_lowercase())? * hand.sign();
    let axis_deg = club.launches.centre[AXIS];
    let spread_deg = club.launches.scale[AXIS][AXIS].max(0.0).sqrt();
    let shots = match club.basis {
        Basis::Given => f64::INFINITY,
        _ => club.shots.max(1) as f64,
    };
    let least = AGAINST[0]
        .max(AGAINST[1] * spread_deg)
        .max(AGAINST[2] * spread_deg / shots.sqrt());
    if -called * axis_deg <= least {
        return None;
    }
    let side = |sign: f64| if sign < 0.0 { "left" } else { "right" };
    Some(question(
        file,
        club,
        Topic::ShapeWords,
        [
            format!(
                "a {} that bends {}, as a {}-handed player's does",
                printable(&club.shape),
                side(called),
                word(hand)
            ),
            format!(
                "an axis that tilts {:.1}\u{b0} to the {}",
                axis_deg.abs(),
                side(axis_deg)
            ),
            format!(
                "correct the shape, the sign of the fifth number of the centre (right is \
                 positive), or \"handedness\" to \"{}\"",
                word(hand.other())
            ),
        ],
    ))
}

/// Patterns that spread less than anybody's of the level.
fn tight(file: &str, player: &Player) -> Option<Note> {
    let shares: Vec<f64> = player
        .clubs
        .iter()
        .map(|club| {
            let family = Club::of(&club.club).family;
            let centre = &club.launches.centre;
            let level = prior::covariance(player.handicap, family, centre[SPEED], centre[SPIN]);
            let across = |of: &[[f64; 5]; 5]| of[START][START] + 0.2 * of[AXIS][AXIS];
            (across(&club.launches.scale) / across(&level).max(1e-9))
                .max(0.0)
                .sqrt()
        })
        .collect();
    let share = median(shares.into_iter());
    (share < TIGHT).then(|| Note {
        file: file.to_owned(),
        place: Place::Key("clubs".into()),
        text: format!(
            "the patterns spread {share:.2} times as wide as those of Handicap Index {:.0}: look \
             at \"scale\" or \"spread\", for the plan knows no wider miss",
            player.handicap
        ),
        topic: Some(Topic::GoodShotsOnly),
    })
}

fn start(file: &str, club: &ClubShape) -> Option<Question> {
    let start_deg = club.launches.centre[START];
    (start_deg.abs() > START_DEG).then(|| {
        question(
            file,
            club,
            Topic::StartLine,
            [
                format!("a mean start within {START_DEG:.0}° of the aim"),
                format!("{start_deg:.1}°"),
                "correct the third number of the centre: degrees right of the aim".into(),
            ],
        )
    })
}
