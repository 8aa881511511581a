//! What changes if the wind is another, or the pin: a row for each case.

use serde::Serialize;

use super::round;
use super::scene::turn_deg;
use super::why::is_tie;
use crate::player::Player;
use crate::strategy::Decision;
use crate::strategy::what_if::Case;

/// One case beside the plan.
#[derive(Clone, Debug, Serialize)]
pub struct WhatIf {
    /// `wind` or `pin`.
    pub kind: String,
    /// Wind at 10 m, m/s.
    pub wind_m_s: f64,
    /// True bearing it blows from, degrees.
    pub wind_from_deg: f64,
    /// `front`, `back`, `left` or `right`; the plan's own pin for a wind.
    pub pin: String,
    /// Club then.
    pub club: String,
    /// Shape.
    pub shape: String,
    /// Whether club and shape are the plan's.
    pub same_club: bool,
    /// The peg, right of the plan's along the front line, m.
    pub peg_right_m: f64,
    /// The set-up line, right of the plan's, degrees.
    pub aim_right_deg: f64,
    /// Average carry, m.
    pub carry_m: f64,
    /// Strokes to hole out.
    pub strokes: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// What the plan's club costs then, aimed anew; null where that was not told.
    pub keep_club: Option<Costs>,
    /// What the plan's very shot costs then.
    pub keep_shot: Option<Costs>,
}

/// Strokes more, and the standard error.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Costs {
    /// Strokes more.
    pub costs: f64,
    /// Standard error.
    pub standard_error: f64,
}

/// Under what a case was decided.
#[derive(Clone, Copy, Debug)]
pub struct Under<'a> {
    /// `wind` or `pin`.
    pub kind: &'a str,
    /// Wind at 10 m, m/s, and the true bearing it blows from, degrees.
    pub wind: (f64, f64),
    /// The pin's name.
    pub pin: &'a str,
}

/// A case for the plan file.
#[must_use]
pub fn what_if(case: &Case, under: Under<'_>, plan: &Decision, player: &Player) -> WhatIf {
    let planned = plan.choice.shot;
    let (club, shape) = player
        .clubs
        .get(case.shot.club)
        .map_or(("", ""), |c| (c.club.as_str(), c.shape.as_str()));
    let costs = |found: Option<(f64, f64)>| {
        found.map(|(costs, standard_error)| Costs {
            costs: round::strokes(costs),
            standard_error: round::strokes(standard_error),
        })
    };
    WhatIf {
        kind: under.kind.into(),
        wind_m_s: round::metres(under.wind.0),
        wind_from_deg: round::bearing(under.wind.1),
        pin: under.pin.into(),
        club: club.into(),
        shape: shape.into(),
        same_club: case.shot.club == planned.club,
        peg_right_m: round::metres(case.shot.from_left_m - planned.from_left_m),
        aim_right_deg: round::degrees(turn_deg(case.shot.aim_deg - planned.aim_deg)),
        carry_m: round::metres(case.carry_m),
        strokes: round::strokes(case.strokes),
        standard_error: round::strokes(case.standard_error),
        keep_club: costs(case.keep_club),
        keep_shot: costs(case.keep_shot),
    }
}

/// What no case changes, in a sentence; none where there is no case.
#[must_use]
pub fn what_stays(cases: &[WhatIf], club: &str) -> Option<String> {
    if cases.is_empty() {
        return None;
    }
    let free = |costs: Option<Costs>| {
        costs.is_some_and(|c| c.costs < 0.02 || is_tie(c.costs, c.standard_error))
    };
    let all = cases.len();
    let count = |of: &dyn Fn(&WhatIf) -> bool| cases.iter().filter(|c| of(c)).count();
    let same_club = count(&|c| c.same_club || free(c.keep_club));
    let same_shot = count(&|c| free(c.keep_shot));
    let told = |n: usize| {
        if n == all {
            format!("in all {all} cases")
        } else {
            format!("in {n} of {all} cases")
        }
    };
    Some(format!(
        "The {club} stays the club {} (the best, or within 0.02 strokes of it); the very same peg \
         and aim do {}.",
        told(same_club),
        told(same_shot)
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stays_is_counted() {
        let case = |same_club: bool, keep: f64| WhatIf {
            kind: "wind".into(),
            wind_m_s: 4.0,
            wind_from_deg: 90.0,
            pin: String::new(),
            club: "3w".into(),
            shape: "draw".into(),
            same_club,
            peg_right_m: 0.0,
            aim_right_deg: 1.0,
            carry_m: 200.0,
            strokes: 4.1,
            standard_error: 0.01,
            keep_club: Some(Costs {
                costs: if same_club { 0.0 } else { 0.1 },
                standard_error: 0.01,
            }),
            keep_shot: Some(Costs {
                costs: keep,
                standard_error: 0.01,
            }),
        };
        assert_eq!(what_stays(&[], "driver"), None);
        assert_eq!(
            what_stays(&[case(true, 0.01), case(false, 0.2)], "driver").as_deref(),
            Some(
                "The driver stays the club in 1 of 2 cases (the best, or within 0.02 strokes of \
                 it); the very same peg and aim do in 1 of 2 cases."
            )
        );
    }
}
