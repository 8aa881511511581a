//! What the aim makes of path and face: the rule of thumb and the physics side by
//! side.
//!
//! Turning the whole set-up turns path, face and start line alike and leaves
//! face to path, and so the bend, alone (practice; the worked case among
//! coaches is a path of 1.6° right that becomes 11.6° with the set-up turned
//! 10°). Aiming off half the bend turns by half of what the ball usually bends.

use serde::Serialize;

use super::sentence::Centre;
use super::{round, sentence};
use crate::player::club::{Club, Family};
use crate::player::set_up::MORE_UP_DEG;
use crate::player::{ClubShape, Handedness};
use crate::units::LengthUnit;

/// How to set up for the chosen line. Degrees right of the line of play.
#[derive(Clone, Debug, Default, Serialize)]
pub struct SetUp {
    /// How far the set-up is turned.
    pub turn_deg: f64,
    /// How far aiming off half the bend would turn it.
    pub half_bend_turn_deg: Option<f64>,
    /// Club path in space with the set-up turned so; none where it was not logged.
    pub path_deg: Option<f64>,
    /// Face angle in space, likewise.
    pub face_deg: Option<f64>,
    /// What a driver's ball played further forward is expected to change; none
    /// where the delivery was not logged.
    pub ball_forward: Option<BallForward>,
    /// All this in words, a line each.
    pub words: Vec<String>,
}

/// What a ball played further forward is expected to change (practice: sign and
/// rough size). The plan does not play it so. Right is positive.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BallForward {
    /// How much more on the way up it is met, degrees.
    pub more_up_deg: f64,
    /// Change of the path, degrees.
    pub path_deg: f64,
    /// Change of the face, degrees.
    pub face_deg: f64,
    /// Change of the start direction, degrees.
    pub start_deg: f64,
    /// Change of the curve, m.
    pub curve_m: f64,
    /// Change of the carry, m.
    pub carry_m: f64,
    /// `practice`: where the size of it comes from.
    pub source: &'static str,
}

/// How far an aim is turned.
#[derive(Clone, Copy, Debug)]
pub struct Turned {
    /// Right of the line of play, degrees.
    pub turn_deg: f64,
    /// Right of the middle where the ball lands, m.
    pub right_m: f64,
    /// What the middle is there.
    pub centre: Centre,
}

/// The set-up of one shot that carries `carry_m`: its own aim and that of aiming off half
/// the bend.
#[must_use]
pub fn set_up(
    club: &ClubShape,
    handedness: Handedness,
    aim: Turned,
    half_bend: Option<Turned>,
    carry_m: f64,
    unit: LengthUnit,
) -> SetUp {
    let turn_deg = aim.turn_deg;
    let turned = |angle: f64| round::degrees(angle + turn_deg);
    let own = &club.set_up;
    let ball_forward = own.forward.map(|forward| BallForward {
        more_up_deg: MORE_UP_DEG,
        path_deg: round::degrees(forward.path_face_deg[0]),
        face_deg: round::degrees(forward.path_face_deg[1]),
        start_deg: round::degrees(forward.start_deg),
        curve_m: round::metres(forward.curve_m),
        carry_m: round::metres(forward.carry_m),
        source: "practice",
    });
    let [path_deg, face_deg] = match own.path_face_deg {
        Some(both) => both.map(|angle| Some(turned(angle))),
        None => [None; 2],
    };
    let mut said = SetUp {
        turn_deg: round::degrees(turn_deg),
        half_bend_turn_deg: half_bend.map(|half| round::degrees(half.turn_deg)),
        path_deg,
        face_deg,
        ball_forward,
        words: Vec::new(),
    };
    let driver = Club::of(&club.club).family == Family::Driver;
    let line = line((aim, half_bend), round::metres(carry_m), unit);
    said.words = words(&said, line, driver, handedness, unit);
    said
}

/// "4.2° right", or "0.0°".
fn degrees(value: f64) -> String {
    if value.abs() < 0.05 {
        "0.0°".into()
    } else {
        format!("{:.1}° {}", value.abs(), sentence::side(value))
    }
}

/// "4 yd right of the middle", "straight down the middle".
fn aside(aim: Turned, unit: LengthUnit) -> String {
    match (sentence::whole(aim.right_m, unit), aim.centre) {
        (0, Centre::Fairway) => "straight down the middle".into(),
        (0, Centre::Pin) => "at the pin".into(),
        (0, Centre::LineOfPlay) => "along the line of play".into(),
        (_, centre) => format!(
            "{} {} {}",
            sentence::length(aim.right_m, unit),
            sentence::side(aim.right_m),
            centre.of(false)
        ),
    }
}

/// "Aim 9 yd right of the middle at 240; aiming off half your bend: 11 yd right of the
/// middle".
fn line((aim, half_bend): (Turned, Option<Turned>), carry_m: f64, unit: LengthUnit) -> String {
    let mut line = format!("Aim {}", aside(aim, unit));
    if aim.centre != Centre::Pin && sentence::whole(aim.right_m, unit) != 0 {
        line += &format!(" at {}", sentence::whole(carry_m, unit));
    }
    if let Some(half) = half_bend {
        line += &format!("; aiming off half your bend: {}", aside(half, unit));
    }
    line
}

fn words(
    said: &SetUp,
    mut line: String,
    driver: bool,
    handedness: Handedness,
    unit: LengthUnit,
) -> Vec<String> {
    line += &match (said.path_deg, said.face_deg) {
        (Some(path), Some(face)) => format!(
            ". Measured to the target: path {}, face {}; the bend stays.",
            degrees(path),
            degrees(face)
        ),
        _ => ". Path and face turn with the aim, and the bend stays; they were not logged.".into(),
    };
    let mut lines = vec![line];
    let further = |value: f64, unit: &str, digits: usize| {
        format!(
            "{:.digits$}{unit} further {}",
            value.abs(),
            sentence::side(value)
        )
    };
    if let Some(forward) = said.ball_forward {
        let metres = |value: f64| unit.of(value);
        let name = format!(" {}", unit.name());
        let carry = match sentence::whole(forward.carry_m, unit) {
            0 => "carry as far".to_owned(),
            n if n < 0 => format!("carry {}{name} less", -n),
            n => format!("carry {n}{name} more"),
        };
        lines.push(format!(
            "Ball further forward (practice): met about {:.1}° more on the way up, path {}, face \
             {}; expect it to start {}, bend {} and {carry}. This plan has it \
             where it was.",
            forward.more_up_deg,
            further(forward.path_deg, "°", 1),
            further(forward.face_deg, "°", 1),
            further(forward.start_deg, "°", 1),
            further(metres(forward.curve_m), &name, 0),
        ));
    } else if driver {
        // A right-hander's closed face looks left.
        let side = sentence::side(-handedness.sign());
        lines.push(format!(
            "Ball further forward (practice): met more on the way up and with a more closed face, \
             so expect more bend {side}; how much the log does not tell. This plan has it where \
             it was."
        ));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::player::set_up::{Forward, SetUp as Own};
    use crate::player::{Basis, LaunchModel};

    fn driver(set_up: Own) -> ClubShape {
        ClubShape {
            club: "driver".into(),
            shape: "draw".into(),
            launches: LaunchModel {
                centre: [67.0, 12.0, 0.5, 2500.0, -6.0],
                scale: [[0.0; 5]; 5],
                dof: 5.0,
                mishit_share: 0.02,
                handedness: Handedness::Right,
            },
            shots: 40,
            basis: Basis::FullLaunch,
            carry_m: 215.0,
            set_up,
            part_share: None,
        }
    }

    fn logged() -> Own {
        Own {
            path_face_deg: Some([1.6, -0.4]),
            forward: Some(Forward {
                path_face_deg: [-1.26, -2.0],
                start_deg: -1.8,
                launch_deg: 0.9,
                curve_m: -3.7,
                carry_m: 1.9,
            }),
        }
    }

    fn turned(turn_deg: f64, right_m: f64) -> Turned {
        Turned {
            turn_deg,
            right_m,
            centre: Centre::Fairway,
        }
    }

    /// Practice: path 1.6° right when set up straight; set up 10° right → 11.6°.
    #[test]
    fn path_and_face_turn_with_the_set_up() {
        let club = driver(logged());
        let said = set_up(
            &club,
            Handedness::Right,
            turned(10.0, 38.0),
            Some(turned(4.0, 15.0)),
            215.0,
            LengthUnit::Metres,
        );
        assert_eq!((said.path_deg, said.face_deg), (Some(11.6), Some(9.6)));
        assert_eq!(
            said.words,
            [
                "Aim 38 m right of the middle at 215; aiming off half your bend: 15 m right of \
                 the middle. Measured to the target: path 11.6° right, face 9.6° right; the bend \
                 stays.",
                "Ball further forward (practice): met about 1.4° more on the way up, path 1.3° \
                 further left, face 2.0° further left; expect it to start 1.8° further left, bend \
                 4 m further left and carry 2 m more. This plan has it where it was.",
            ]
        );
    }

    #[test]
    fn what_was_not_logged_is_not_said() {
        let club = driver(Own::default());
        let said = set_up(
            &club,
            Handedness::Left,
            turned(0.01, 0.1),
            None,
            215.0,
            LengthUnit::Yards,
        );
        assert_eq!((said.path_deg, said.ball_forward), (None, None));
        assert_eq!(
            said.words,
            [
                "Aim straight down the middle. Path and face turn with the aim, and the bend stays; they were not \
                 logged.",
                "Ball further forward (practice): met more on the way up and with a more closed \
                 face, so expect more bend right; how much the log does not tell. This plan has \
                 it where it was.",
            ]
        );
        let iron = ClubShape {
            club: "7i".into(),
            ..club
        };
        let said = set_up(
            &iron,
            Handedness::Left,
            turned(-2.0, -7.0),
            None,
            215.0,
            LengthUnit::Yards,
        );
        assert_eq!(said.words.len(), 1);
    }
}
