//! A hole that is not reached, in words.

use crate::diagnostic::{Place, Problem};
use crate::hole::Surface;
use crate::strategy::reached::{Crossed, NotReached};
use crate::units::LengthUnit;

use super::sentence::club;

/// A wind that takes more than this share of the longest carry is named.
const WIND_TAKES: f64 = 0.15;

/// From so many strokes on their number says nothing.
const MANY: f64 = 100.0;

/// The problem with a hole of this file.
#[must_use]
pub fn problem(file: &str, not: &NotReached, unit: LengthUnit) -> Problem {
    let length = |metres: f64| format!("{:.0} {}", unit.of(metres), unit.name());
    let mut found = vec![match not.strokes {
        strokes if strokes < MANY => format!("{strokes:.1} strokes with the best tee shot"),
        strokes if strokes.is_finite() => format!("over {MANY} strokes with the best tee shot"),
        _ => "no shot that leads to the green".to_string(),
    }];
    found.extend(not.area.as_ref().map(|area| crossing(area, length)));
    let longest = &not.longest;
    let is_wind = longest.carry_m < (1.0 - WIND_TAKES) * longest.calm_m;
    let calm = match is_wind {
        true => format!(" in this wind, {} in calm air", length(longest.calm_m)),
        false => String::new(),
    };
    found.push(format!(
        "the longest club, {}, carries {}{calm}",
        club(&longest.club),
        length(longest.carry_m)
    ));
    let remedy = match &not.area {
        _ if is_wind => "plan for less wind",
        Some(_) => {
            "look whether the area is drawn where it lies; if it is, plan from a tee or for a \
             player that carries it"
        }
        None => "look at the length of the hole and at the unit of the carries",
    };
    Problem {
        file: file.into(),
        place: Place::Key(format!("hole {}", not.hole)),
        expected: format!(
            "a hole that takes {:.0} strokes at most, twice its par and five",
            not.most
        ),
        found: found.join("; "),
        remedy: remedy.into(),
    }
}

/// Where an area lies in the way.
fn crossing(area: &Crossed, length: impl Fn(f64) -> String) -> String {
    let what = match area.surface {
        Surface::OutOfBounds => "out of bounds",
        Surface::Trees => "the wood",
        _ => "the penalty area",
    };
    let name = area.name.iter().map(|name| format!(" \"{name}\""));
    let id = Some(&area.id).filter(|id| !id.is_empty());
    let id = id.map(|id| format!(" ({id})"));
    let what: String = std::iter::once(what.to_string())
        .chain(name)
        .chain(id)
        .collect();
    let lies = if area.from_m > 0.0 {
        format!(
            "lies across the line of play from {} to {} from the tee, a carry of {}",
            length(area.from_m),
            length(area.to_m),
            length(area.to_m - area.from_m)
        )
    } else {
        format!(
            "lies over the tee and {} along the line of play",
            length(area.to_m)
        )
    };
    format!("{what} {lies}")
}
