//! Questions about a player: a player file whose figures cannot belong to one ball.

use crate::diagnostic::{Place, Problem, Question, Topic};
use crate::flight::Weather;
use crate::player::fit::mean_carry_m;
use crate::player::invert::Range;
use crate::player::pattern::START;
use crate::player::{Basis, ClubShape, Player};
use crate::units::YARD_M;

/// Most by which a stated carry and the carry of the stated launches differ, as a share: the file
/// says nothing of the air, and 2000 m of altitude make 8 % (see the bands of the flight module).
const CARRY_SHARE: f64 = 0.2;
/// The same in metres, for chips.
const CARRY_M: f64 = 5.0;
/// Most clubs in a bag.
const BAG: usize = 14;
/// Farthest mean start off the set-up, degrees: a player who starts the ball farther off turns.
const START_DEG: f64 = 30.0;

/// Questions about the figures of a player file, club by club in the order of the player.
#[must_use]
pub fn of_player(file: &str, player: &Player) -> Vec<Question> {
    let range = Range::new(&Weather::usual()).with(player.ball);
    let of_clubs = player.clubs.iter().flat_map(|club| {
        [carry(file, club, &range), start(file, club)]
            .into_iter()
            .flatten()
    });
    bag(file, player).into_iter().chain(of_clubs).collect()
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

fn carry(file: &str, club: &ClubShape, range: &Range) -> Option<Question> {
    // The reader works a carry out where a club filled from its neighbours has none.
    if club.basis == Basis::Neighbours {
        return None;
    }
    let flown_m = mean_carry_m(range, &club.launches);
    let apart_m = (flown_m - club.carry_m).abs();
    if apart_m <= CARRY_M || apart_m <= CARRY_SHARE * flown_m.max(club.carry_m) {
        return None;
    }
    let yards = |metres: f64| format!("{:.0} yd ({metres:.0} m)", metres / YARD_M);
    Some(question(
        file,
        club,
        Topic::LaunchAndCarry,
        [
            format!(
                "\"carry_m\" near the carry of the launches, {}",
                yards(flown_m)
            ),
            yards(club.carry_m),
            "correct the carry or the centre of the launches; shots hit in thin air need the ball's \
             own factors"
                .into(),
        ],
    ))
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
