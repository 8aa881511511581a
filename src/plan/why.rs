//! What it costs to do otherwise, a short line each.

use super::sentence::{length, side};
use super::{Finish, TwoWay};
use crate::strategy::named::WINDOW;
use crate::units::LengthUnit;

/// Differences below this are a tie whatever the standard error, strokes.
const SAME: f64 = 0.005;
/// Both misses are worth a word from this share of the rarer one.
const BOTH_WAYS: f64 = 0.15;

/// A shot that is not the choice, and what it would cost.
#[derive(Clone, Debug)]
pub struct Other<'a> {
    /// `down the middle`, `half-gap rule`, or a club and its shape.
    pub name: String,
    /// Club, as logged.
    pub club: &'a str,
    /// Strokes more than the choice.
    pub costs: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// Its set-up line, right of the choice's, degrees.
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

/// "+0.12 ± 0.02"; the error is rounded up.
#[must_use]
pub fn difference(costs: f64, standard_error: f64) -> String {
    let costs = (costs * 100.0).round() / 100.0 + 0.0;
    format!("{costs:+.2} ± {:.2}", shown_error(standard_error))
}

/// "0.12 ± 0.02 strokes more", or "about the same (+0.00 ± 0.01 strokes)".
#[must_use]
pub fn cost(costs: f64, standard_error: f64) -> String {
    if is_tie(costs, standard_error) {
        format!(
            "about the same ({} strokes)",
            difference(costs, standard_error)
        )
    } else {
        let more = if costs > 0.0 { "more" } else { "less" };
        format!(
            "{:.2} ± {:.2} strokes {more}",
            costs.abs(),
            shown_error(standard_error)
        )
    }
}

/// The lines. `window_deg` is relative to the choice's set-up line.
#[must_use]
pub fn why(
    choice: (&str, &Finish, f64),
    comparisons: &[Other<'_>],
    alternatives: &[Other<'_>],
    window_deg: [f64; 2],
    further_back_costs: (f64, f64),
    two_way: TwoWay,
    unit: LengthUnit,
) -> Vec<String> {
    let (club, finish, carry_m) = choice;
    let mut lines: Vec<String> = comparisons.iter().map(|o| comparison(o, finish)).collect();
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
    if two_way.left.min(two_way.right) >= BOTH_WAYS {
        lines.push(format!(
            "It goes both ways: {:.0} % of balls bend left, {:.0} % right. The plan prices both.",
            100.0 * two_way.left,
            100.0 * two_way.right
        ));
    }
    lines
}

fn comparison(other: &Other<'_>, choice: &Finish) -> String {
    let name = match other.name.as_str() {
        "down the middle" => "Down the middle".to_string(),
        "half-gap rule" => "The half-gap rule".into(),
        name => super::sentence::capital(name),
    };
    let aim = if other.aim_right_deg.abs() < 0.05 {
        "the same line".to_string()
    } else {
        format!(
            "{:.1}° {} of this line",
            other.aim_right_deg.abs(),
            side(other.aim_right_deg)
        )
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
            "{name} {:.0} % instead of {:.0} %",
            100.0 * there,
            100.0 * here
        )
    })
}

fn window(window_deg: [f64; 2], carry_m: f64, unit: LengthUnit) -> String {
    let at_landing = |degrees: f64| carry_m * degrees.to_radians().tan();
    let [low, high] = window_deg;
    let end = |degrees: f64| format!("{:.1}° {}", degrees.abs(), side(degrees));
    let there = |degrees: f64| format!("{} {}", length(at_landing(degrees), unit), side(degrees));
    let low_words = if low > -0.05 {
        "this line".to_string()
    } else {
        end(low)
    };
    let high_words = if high < 0.05 {
        "this line".to_string()
    } else {
        end(high)
    };
    if low > -0.05 && high < 0.05 {
        return "Any other aim costs more than 0.02 strokes.".into();
    }
    let span = match (low > -0.05, high < 0.05) {
        (true, _) => format!("up to {} at the landing", there(high)),
        (_, true) => format!("up to {} at the landing", there(low)),
        _ => format!("{} to {} at the landing", there(low), there(high)),
    };
    format!("Aims from {low_words} to {high_words} ({span}) are within 0.02 strokes.")
}

/// A line where half a yard of depth matters more than the aims within the window do.
fn depth((costs, standard_error): (f64, f64)) -> Option<String> {
    if costs.abs() <= WINDOW.max(2.0 * standard_error) {
        return None;
    }
    let more = if costs > 0.0 { "more" } else { "less" };
    let costs = costs.abs();
    Some(format!(
        "It hangs on the depth of the peg and of the pin: half a pace further back it takes {costs:.2} \
         strokes {more}."
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
        assert_eq!(cost(0.118, 0.012), "0.12 ± 0.02 strokes more");
        assert_eq!(cost(0.004, 0.0001), "about the same (+0.00 ± 0.01 strokes)");
        assert_eq!(cost(-0.004, 0.003), "about the same (+0.00 ± 0.01 strokes)");
        assert_eq!(cost(0.03, 0.02), "about the same (+0.03 ± 0.02 strokes)");
        assert_eq!(cost(-0.2, 0.02), "0.20 ± 0.02 strokes less");
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
                other("half-gap rule", "driver", 0.002, 0.002, 0.01),
            ],
            &[
                other("driver, your fade", "driver", 0.05, 0.01, 1.0),
                other("3-wood, your draw", "3w", 0.08, 0.02, 1.0),
            ],
            [-1.2, 0.8],
            (0.06, 0.01),
            TwoWay {
                left: 0.8,
                right: 0.2,
            },
            LengthUnit::Yards,
        );
        assert_eq!(
            lines,
            [
                "Down the middle (3.0° right of this line): 0.12 ± 0.01 strokes more; out of \
                 bounds 7 % instead of 2 %.",
                "The half-gap rule (the same line): about the same (+0.00 ± 0.01 strokes).",
                "Next best: driver, your fade: 0.05 ± 0.01 strokes more.",
                "Best with another club: 3-wood, your draw: 0.08 ± 0.02 strokes more.",
                "Aims from 1.2° left to 0.8° right (5 yd left to 3 yd right at the landing) are \
                 within 0.02 strokes.",
                "It hangs on the depth of the peg and of the pin: half a pace further back it takes \
                 0.06 strokes more.",
                "It goes both ways: 80 % of balls bend left, 20 % right. The plan prices both.",
            ]
        );
    }

    #[test]
    fn narrow_windows() {
        let yards = LengthUnit::Yards;
        assert_eq!(
            window([0.0, 0.02], 220.0, yards),
            "Any other aim costs more than 0.02 strokes."
        );
        assert_eq!(
            window([-2.0, 0.0], 220.0, yards),
            "Aims from 2.0° left to this line (up to 8 yd left at the landing) are within 0.02 \
             strokes."
        );
    }
}
