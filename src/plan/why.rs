//! What it costs to do otherwise, a short line each.

use super::sentence::{capital, side, whole};
use super::{Finish, TwoWay, round};
use crate::strategy::named::WINDOW;
use crate::units::LengthUnit;

/// Differences below this are a tie whatever the standard error, strokes.
const SAME: f64 = 0.005;
/// Balls that go the other way are worth a word from this share.
const OTHER_WAY: f64 = 0.03;
/// From this share of the rarer way a club is two-way.
const TWO_WAY: f64 = 0.3;
/// A wind across the aim of this much changes how often a ball bends either way, m/s (practice).
const HELD_UP_M_S: f64 = 2.0;

/// A shot that is not the choice, and what it would cost.
#[derive(Clone, Debug)]
pub struct Other<'a> {
    /// The key of a named aim, or a club and its shape.
    pub name: String,
    /// Club, as logged.
    pub club: &'a str,
    /// Strokes more than the choice.
    pub costs: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// Its aim, right of the choice's, degrees.
    pub aim_right_deg: f64,
    /// What happens how often.
    pub finish: Finish,
}

/// True where a difference is noise: within two standard errors, or below
/// 0.005 strokes.
#[must_use]
pub fn is_tie(costs: f64, standard_error: f64) -> bool {
    costs.abs() <= 2.0 * standard_error || costs.abs() < SAME
}

/// An error is never shown as nothing: rounded up to the next hundredth.
#[must_use]
pub fn shown_error(standard_error: f64) -> f64 {
    (standard_error.abs() * 100.0 - 1.0e-9).ceil().max(1.0) / 100.0
}

/// "costs 0.12", "saves 0.05", or "no worse" where that is noise.
#[must_use]
pub fn cost(costs: f64, standard_error: f64) -> String {
    if costs.is_nan() || costs.abs() >= 1.0e6 {
        "–".into()
    } else if is_tie(costs, standard_error) {
        "no worse".into()
    } else {
        let verb = if costs > 0.0 { "costs" } else { "saves" };
        format!("{verb} {:.2}", costs.abs())
    }
}

/// "0.12", "saves 0.05", or "no worse" where that is noise: a cost in a column of costs. A cost has no
/// sign anywhere.
#[must_use]
pub fn cost_alone(costs: f64, standard_error: f64) -> String {
    if costs.is_nan() || costs.abs() >= 1.0e6 {
        "–".into()
    } else if is_tie(costs, standard_error) {
        "no worse".into()
    } else {
        let verb = if costs > 0.0 { "" } else { "saves " };
        format!("{verb}{:.2}", costs.abs())
    }
}

/// Whether a club goes either way, so that neither is its shape: a draw or a fade that a cross wind
/// holds up, m/s, is still a draw or a fade.
#[must_use]
pub fn is_two_way(two_way: TwoWay, shape: &str, cross_wind_m_s: f64) -> bool {
    let shape = shape.trim();
    let is_shaped = ["draw", "fade"]
        .iter()
        .any(|own| shape.eq_ignore_ascii_case(own));
    let is_held_up = is_shaped && cross_wind_m_s.abs() >= HELD_UP_M_S;
    two_way.left.min(two_way.right) >= TWO_WAY && !is_held_up
}

/// Balls that go the other way: "3 in 100 go the other way", or for a club that goes
/// either way "two-way: 38 in 100 go left, 62 right"; none for hardly any.
#[must_use]
pub fn both_ways(two_way: TwoWay, is_two_way: bool) -> Option<String> {
    let other = two_way.left.min(two_way.right);
    let left = (100.0 * two_way.left).round();
    if other < OTHER_WAY || !(0.0..=1.0).contains(&two_way.left) {
        return None;
    }
    Some(if !is_two_way {
        format!("{:.0} in 100 go the other way", left.min(100.0 - left))
    } else {
        format!(
            "two-way: {left:.0} in 100 go left, {:.0} right",
            100.0 - left
        )
    })
}

/// The lines. `window_deg` is relative to the choice's aim.
#[must_use]
pub fn why(
    choice: (&str, &Finish, f64),
    comparisons: &[Other<'_>],
    alternatives: &[Other<'_>],
    window_deg: [f64; 2],
    further_back_costs: (f64, f64),
    (two_way, is_two_way): (TwoWay, bool),
    unit: LengthUnit,
) -> Vec<String> {
    let (club, finish, carry_m) = choice;
    let mut lines: Vec<String> = comparisons
        .iter()
        .map(|o| comparison(o, finish, carry_m, unit))
        .collect();
    if let Some(next) = alternatives.first() {
        lines.push(format!(
            "Next best: {}: {}.",
            next.name,
            cost(next.costs, next.standard_error)
        ));
        if next.club == club
            && let Some(other) = alternatives.iter().find(|o| o.club != club)
        {
            lines.push(format!(
                "Best with another club: {}: {}.",
                other.name,
                cost(other.costs, other.standard_error)
            ));
        }
    }
    lines.push(window(window_deg, carry_m, unit));
    lines.extend(depth(further_back_costs));
    lines.extend(both_ways(two_way, is_two_way).map(|words| format!("{}.", capital(&words))));
    lines
}

fn comparison(other: &Other<'_>, choice: &Finish, carry_m: f64, unit: LengthUnit) -> String {
    let name = capital(&other.name);
    let beside_m = carry_m * other.aim_right_deg.to_radians().tan();
    let aim = match whole(beside_m, unit) {
        0 => "the same aim".to_string(),
        n => format!("{} {} of this", n.abs(), side(beside_m)),
    };
    let cost = cost(other.costs, other.standard_error);
    match worst(choice, &other.finish).filter(|_| !is_tie(other.costs, other.standard_error)) {
        Some(reason) => format!("{name} ({aim}): {cost}; {reason}."),
        None => format!("{name} ({aim}): {cost}."),
    }
}

/// The kind of finish that grows most, weighed by about what each costs.
fn worst(choice: &Finish, other: &Finish) -> Option<String> {
    [
        (
            "out of bounds",
            2.0,
            choice.out_of_bounds,
            other.out_of_bounds,
        ),
        ("penalty area", 1.0, choice.penalty_area, other.penalty_area),
        ("trees", 0.6, choice.trees, other.trees),
        ("bunker", 0.4, choice.bunker, other.bunker),
        ("rough", 0.25, choice.rough, other.rough),
    ]
    .into_iter()
    .filter(|(_, _, here, there)| there - here >= 0.01)
    .max_by(|a, b| (a.1 * (a.3 - a.2)).total_cmp(&(b.1 * (b.3 - b.2))))
    .map(|(name, _, here, there)| {
        format!(
            "{name} {:.0} in 100, not {:.0}",
            100.0 * there,
            100.0 * here
        )
    })
}

/// How far to either side the ball may be aimed for 0.02 strokes, where it lands, in
/// whole units: left and right, none where that is not known.
#[must_use]
pub fn safe(window_deg: [f64; 2], carry_m: f64, unit: LengthUnit) -> Option<[i64; 2]> {
    let at_landing = |degrees: f64| carry_m * degrees.clamp(-60.0, 60.0).to_radians().tan();
    let [low, high] = window_deg;
    (low.is_finite() && high.is_finite()).then(|| {
        [
            whole(at_landing(low.min(0.0)), unit).abs(),
            whole(at_landing(high.max(0.0)), unit),
        ]
    })
}

/// "safe 7 left, 9 right".
#[must_use]
pub fn safe_words([left, right]: [i64; 2]) -> String {
    format!("safe {left} left, {right} right")
}

fn window(window_deg: [f64; 2], carry_m: f64, unit: LengthUnit) -> String {
    let window_deg = window_deg.map(round::degrees);
    match safe(window_deg, round::metres(carry_m), unit) {
        None | Some([0, 0]) => "Any other aim costs more than 0.02.".into(),
        Some(sides) => format!(
            "{}: any aim between costs 0.02 at most.",
            capital(&safe_words(sides))
        ),
    }
}

/// A line where half a yard of depth matters more than the aims within the window do.
fn depth((costs, standard_error): (f64, f64)) -> Option<String> {
    if costs.abs() <= WINDOW.max(2.0 * standard_error) {
        return None;
    }
    let verb = if costs > 0.0 { "costs" } else { "saves" };
    let costs = costs.abs();
    Some(format!(
        "Depth matters here: half a pace further back {verb} {costs:.2}."
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn other(name: &str, club: &'static str, costs: f64, error: f64, aim: f64) -> Other<'static> {
        Other {
            name: name.into(),
            club,
            costs,
            standard_error: error,
            aim_right_deg: aim,
            finish: Finish {
                rough: 0.3,
                out_of_bounds: 0.07,
                fairway: 0.63,
                ..Finish::default()
            },
        }
    }

    #[test]
    fn costs_and_noise() {
        assert_eq!(cost(0.118, 0.012), "costs 0.12");
        assert_eq!(cost(0.004, 0.0001), "no worse");
        assert_eq!(cost(-0.004, 0.003), "no worse");
        assert_eq!(cost(0.03, 0.02), "no worse");
        assert_eq!(cost(-0.2, 0.02), "saves 0.20");
        assert_eq!(cost_alone(-0.2, 0.02), "saves 0.20");
        assert_eq!(cost_alone(0.118, 0.012), "0.12");
        assert_eq!(cost_alone(f64::NAN, 0.012), "–");
        assert_eq!(cost_alone(0.03, 0.02), "no worse");
        assert!(is_tie(0.0049, 0.0) && !is_tie(0.0051, 0.0) && is_tie(0.02, 0.01));
    }

    #[test]
    fn every_line() {
        let finish = Finish {
            rough: 0.3,
            out_of_bounds: 0.02,
            fairway: 0.68,
            ..Finish::default()
        };
        let lines = why(
            ("driver", &finish, 220.0),
            &[
                other("down the middle", "driver", 0.12, 0.01, 3.0),
                other("aiming off half your bend", "driver", 0.002, 0.002, 0.01),
            ],
            &[
                other("driver, your fade", "driver", 0.05, 0.01, 1.0),
                other("3-wood, your draw", "3w", 0.08, 0.02, 1.0),
            ],
            [-1.2, 0.8],
            (0.06, 0.01),
            (
                TwoWay {
                    left: 0.8,
                    right: 0.2,
                },
                false,
            ),
            LengthUnit::Yards,
        );
        assert_eq!(
            lines,
            [
                "Down the middle (13 right of this): costs 0.12; out of bounds 7 in 100, not 2.",
                "Aiming off half your bend (the same aim): no worse.",
                "Next best: driver, your fade: costs 0.05.",
                "Best with another club: 3-wood, your draw: costs 0.08.",
                "Safe 5 left, 3 right: any aim between costs 0.02 at most.",
                "Depth matters here: half a pace further back costs 0.06.",
                "20 in 100 go the other way.",
            ]
        );
    }

    #[test]
    fn narrow_windows() {
        let yards = LengthUnit::Yards;
        assert_eq!(
            window([0.0, 0.02], 220.0, yards),
            "Any other aim costs more than 0.02."
        );
        assert_eq!(
            window([-2.0, 0.0], 220.0, yards),
            "Safe 8 left, 0 right: any aim between costs 0.02 at most."
        );
        assert_eq!(safe([f64::NAN, 1.0], 220.0, yards), None);
    }

    /// A fade that the wind holds up is no two-way club; one that goes either way in calm air is.
    #[test]
    fn a_cross_wind_makes_no_club_two_way() {
        let two_way = TwoWay {
            left: 0.54,
            right: 0.46,
        };
        assert!(!is_two_way(two_way, "fade", 6.0));
        assert!(!is_two_way(two_way, "Draw", -6.0));
        assert!(is_two_way(two_way, "fade", 0.5));
        assert!(is_two_way(two_way, "straight", 6.0));
    }

    /// The two shares add to 100, and a club that goes either way is said to.
    #[test]
    fn balls_that_go_the_other_way() {
        let said = |left: f64| {
            let two_way = TwoWay {
                left,
                right: 1.0 - left,
            };
            both_ways(two_way, is_two_way(two_way, "straight", 9.0))
        };
        assert_eq!(said(0.98), None);
        assert_eq!(said(0.03).as_deref(), Some("3 in 100 go the other way"));
        assert_eq!(said(0.71).as_deref(), Some("29 in 100 go the other way"));
        assert_eq!(
            said(0.375).as_deref(),
            Some("two-way: 38 in 100 go left, 62 right")
        );
        assert_eq!(said(f64::NAN), None);
    }
}
