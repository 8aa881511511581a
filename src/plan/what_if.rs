//! What changes if the wind is another, or the pin: a row for each case.

use serde::Serialize;

use super::scene::turn_deg;
use super::sentence::shot_name;
use super::whole_hole::unit_of;
use super::{PartSwing, round};
use crate::player::Player;
use crate::strategy::Decision;
use crate::strategy::what_if::{Case, Change};
use crate::strategy::whole::objective::Objective;
use crate::units::LengthUnit;

/// One case beside the plan.
#[derive(Clone, Debug, Serialize)]
pub struct WhatIf {
    /// `wind`, `pin` or `play`.
    pub kind: String,
    /// Wind at 10 m, m/s.
    pub wind_m_s: f64,
    /// True bearing it blows from, degrees.
    pub wind_from_deg: f64,
    /// `front`, `back`, `left` or `right`; the plan's own pin for a wind.
    pub pin: String,
    /// Course play: `as planned`, or `tighter` or `wider` than the plan takes it.
    pub play: String,
    /// How much of the plan changes: `nothing`, `aim`, `peg and aim` or `club`; what
    /// is as good within 0.02 strokes or noise is kept.
    pub changes: String,
    /// Club then.
    pub club: String,
    /// Shape.
    pub shape: String,
    /// How much of a swing, where it is not a full one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part_swing: Option<PartSwing>,
    /// Whether club and shape are the plan's.
    pub same_club: bool,
    /// Where to peg then, in words.
    pub peg: String,
    /// What to aim at then, in words.
    pub aim: String,
    /// The peg, right of the plan's along the front line, m.
    pub peg_right_m: f64,
    /// The set-up line, right of the plan's, degrees.
    pub aim_right_deg: f64,
    /// How far right of the plan's the set-up line passes where the ball lands, m.
    pub aim_right_m: f64,
    /// Median carry of sound strikes, m.
    pub carry_m: f64,
    /// Strokes to hole out.
    pub strokes: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// What the costs below are counted in: `strokes`, `chance` or `points`, by what
    /// the tee was decided for.
    pub costs_unit: String,
    /// What the plan's club costs then, aimed anew; null where that was not told.
    pub keep_club: Option<Costs>,
    /// What the plan's very shot costs then.
    pub keep_shot: Option<Costs>,
}

/// How much worse, and the standard error.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Costs {
    /// How much worse.
    pub costs: f64,
    /// Standard error.
    pub standard_error: f64,
}

/// Under what a case was decided.
#[derive(Clone, Copy, Debug)]
pub struct Under<'a> {
    /// `wind`, `pin` or `play`.
    pub kind: &'a str,
    /// Wind at 10 m, m/s, and the true bearing it blows from, degrees.
    pub wind: (f64, f64),
    /// The pin's name.
    pub pin: &'a str,
    /// Course play.
    pub play: &'a str,
    /// What is played for.
    pub aim: &'a Objective,
}

/// A case for the plan file.
#[must_use]
pub fn what_if(
    case: &Case,
    under: Under<'_>,
    plan: &Decision,
    player: &Player,
    (peg, aim): (String, String),
) -> WhatIf {
    let planned = plan.choice.shot;
    let hit = player.clubs.get(case.shot.club);
    let (club, shape) = hit.map_or(("", ""), |c| (c.club.as_str(), c.shape.as_str()));
    let costs = |found: Option<(f64, f64)>| {
        found.map(|(costs, standard_error)| Costs {
            costs: round::strokes(costs),
            standard_error: round::strokes(standard_error),
        })
    };
    let turn = turn_deg(case.shot.aim_deg - planned.aim_deg);
    let peg_right_m = case.shot.from_left_m - planned.from_left_m;
    WhatIf {
        changes: match case.change {
            Change::Nothing => "nothing",
            Change::Aim => "aim",
            Change::Peg => "peg and aim",
            Change::Club => "club",
        }
        .into(),
        aim_right_m: round::metres(peg_right_m + case.carry_m * turn.to_radians().sin()),
        kind: under.kind.into(),
        wind_m_s: round::metres(under.wind.0),
        wind_from_deg: round::bearing(under.wind.1),
        pin: under.pin.into(),
        play: under.play.into(),
        club: club.into(),
        shape: shape.into(),
        part_swing: hit.and_then(PartSwing::of),
        same_club: case.shot.club == planned.club,
        peg,
        aim,
        peg_right_m: round::metres(peg_right_m),
        aim_right_deg: round::degrees(turn),
        carry_m: round::metres(case.carry_m),
        strokes: round::strokes(case.strokes),
        standard_error: round::strokes(case.standard_error),
        costs_unit: unit_of(under.aim).into(),
        keep_club: costs(case.keep_club),
        keep_shot: costs(case.keep_shot),
    }
}

/// The compass point that a wind of the eight comes from.
#[must_use]
pub fn point(wind_from_deg: f64) -> &'static str {
    const NAMES: [&str; 8] = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];
    NAMES[(wind_from_deg.rem_euclid(360.0) / 45.0).round() as usize % 8]
}

/// What is said where the plan is the same at both ends of course play.
const HOLDS: &str = "The plan holds however you play: club, peg and aim are the same if your shots \
                     scatter less or more than it takes them to.";

/// Cases that are named; more are counted.
const NAMED: usize = 4;

/// What changes and what does not, a line for winds and one for pins.
#[must_use]
pub fn what_stays(
    cases: &[WhatIf],
    club: &str,
    unit: LengthUnit,
    speed: &dyn Fn(f64) -> String,
) -> Vec<String> {
    let mut lines = Vec::new();
    for (kind, many, one) in [
        ("wind", "winds", "wind"),
        ("pin", "pins", "pin"),
        ("play", "kinds of play", "kind of play"),
    ] {
        let of: Vec<&WhatIf> = cases.iter().filter(|c| c.kind == kind).collect();
        let count = |change: &[&str]| {
            of.iter()
                .filter(|c| change.contains(&c.changes.as_str()))
                .count()
        };
        let (nothing, moved) = (count(&["nothing"]), count(&["aim", "peg and aim"]));
        let all = of.len();
        if all == 0 {
            continue;
        }
        let noun = if all == 1 { one } else { many };
        if nothing == all && kind == "play" {
            lines.push(HOLDS.into());
            continue;
        }
        if nothing == all {
            lines.push(format!(
                "The plan stays as it is, club, peg and aim, in all {all} {noun}."
            ));
            continue;
        }
        let mut parts = Vec::new();
        if nothing > 0 {
            parts.push(format!("nothing changes in {nothing}"));
        }
        if moved > 0 {
            parts.push(format!(
                "the {club} stays and the aim{} moves in {moved}",
                if count(&["peg and aim"]) > 0 {
                    " or the peg"
                } else {
                    ""
                }
            ));
        }
        let mut others: Vec<(String, Vec<String>)> = Vec::new();
        for case in of.iter().filter(|c| c.changes == "club") {
            let name = shot_name(&case.club, &case.shape, case.part_swing, unit);
            let when = match kind {
                "wind" => format!("{} {}", speed(case.wind_m_s), point(case.wind_from_deg)),
                "pin" => case.pin.clone(),
                _ => format!("{} play", case.play),
            };
            match others.iter_mut().find(|o| o.0 == name) {
                Some(other) => other.1.push(when),
                None => others.push((name, vec![when])),
            }
        }
        for (name, when) in others {
            parts.push(if when.len() > NAMED {
                format!("{name} in {}", when.len())
            } else {
                format!("{name} with {}", when.join(", "))
            });
        }
        lines.push(format!("Of {all} {noun}: {}.", parts.join("; ")));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn case(kind: &str, changes: &str, from_deg: f64) -> WhatIf {
        WhatIf {
            kind: kind.into(),
            wind_m_s: 4.0,
            wind_from_deg: from_deg,
            pin: "back".into(),
            play: "wider".into(),
            changes: changes.into(),
            club: "3w".into(),
            shape: "draw".into(),
            part_swing: None,
            same_club: changes != "club",
            peg: "by the left marker".into(),
            aim: "the lone tree".into(),
            peg_right_m: 0.0,
            aim_right_deg: 1.0,
            aim_right_m: 4.0,
            carry_m: 200.0,
            strokes: 4.1,
            standard_error: 0.01,
            costs_unit: "strokes".into(),
            keep_club: None,
            keep_shot: None,
        }
    }

    #[test]
    fn what_stays_is_counted() {
        let words = |cases: &[WhatIf]| {
            what_stays(cases, "driver", LengthUnit::Yards, &|speed| {
                format!("{speed:.0} m/s")
            })
        };
        assert!(words(&[]).is_empty());
        let cases = [
            case("wind", "nothing", 0.0),
            case("wind", "aim", 90.0),
            case("wind", "club", 180.0),
            case("wind", "club", 225.0),
            case("pin", "nothing", 0.0),
            case("play", "club", 0.0),
        ];
        assert_eq!(
            words(&cases),
            [
                "Of 4 winds: nothing changes in 1; the driver stays and the aim moves in 1; 3-wood, \
                 your draw with 4 m/s S, 4 m/s SW.",
                "The plan stays as it is, club, peg and aim, in all 1 pin.",
                "Of 1 kind of play: 3-wood, your draw with wider play."
            ]
        );
    }

    #[test]
    fn winds_are_seen_along_the_shot() {
        assert_eq!(point(315.0), "NW");
    }
}
