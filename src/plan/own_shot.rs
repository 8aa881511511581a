//! A tee shot of the player's choosing, beside the plan.

use serde::Serialize;

use super::scene::{distance_m, turn_deg};
use super::sentence::{length, side};
use super::whole_hole::{CostsBy, aim_words};
use super::why::{difference, is_tie, shown_error};
use super::{Plan, Shot, round};
use crate::hole::Hole;
use crate::hole::plane::Plane;
use crate::strategy::own_shot::Beside;
use crate::strategy::whole::aims_of_play::AimOfPlay;
use crate::units::LengthUnit;

/// A tee shot of the player's choosing.
#[derive(Clone, Debug, Serialize)]
pub struct OwnShot {
    /// The shot as the player named it.
    pub asked: String,
    /// The shot; the parts left open are the best for the others.
    #[serde(flatten)]
    pub shot: Shot,
    /// Strokes more than the plan, on the same balls.
    pub costs: f64,
    /// Standard error of that.
    pub costs_standard_error: f64,
    /// Its aim, right of the plan's, degrees.
    pub aim_right_of_plan_deg: f64,
    /// From where it finishes on average to the pin, m.
    pub leaves_m: f64,
    /// How much worse than the plan by each aim of play; empty where the tee was decided by the
    /// published table.
    pub by_aim_of_play: Vec<CostsBy>,
    /// The same in words, a line each.
    pub words: Vec<String>,
    /// The shot as a page of its own.
    #[serde(skip)]
    pub page: Box<Plan>,
}

/// The player's shot for the plan file. `page` is the shot assembled as if it were chosen, `plan` the
/// plan; `aims` are the objectives of [`Beside::by_aim`].
#[must_use]
pub fn own_shot(
    asked: &str,
    beside: &Beside,
    mut page: Plan,
    plan: &Plan,
    aims: &[AimOfPlay],
    hole: &Hole,
    unit: LengthUnit,
) -> OwnShot {
    page.asked = Some(asked.to_owned());
    page.check_first.clone_from(&plan.check_first);
    let shot = page.choice.shot.clone();
    let leaves = |shot: &Shot| {
        let at = Plane::new(hole.origin_lon_lat).to_plane(shot.rest.lon, shot.rest.lat);
        distance_m(at, hole.pin)
    };
    let (costs, error) = (
        round::strokes(beside.costs.0),
        round::strokes(beside.costs.1),
    );
    let by_aim_of_play: Vec<CostsBy> = aims
        .iter()
        .zip(&beside.by_aim)
        .map(|(aim, (costs, error))| CostsBy {
            aim: aim.key().into(),
            costs: round::strokes(*costs),
            standard_error: round::strokes(*error),
        })
        .collect();
    let is_plan = costs == 0.0 && error == 0.0;
    let mut words = vec![page.words.sentence.clone()];
    let strokes = shot.expected_strokes;
    words.push(if is_plan {
        "That is the plan.".into()
    } else if is_tie(costs, error) {
        format!(
            "{strokes:.2} strokes, no worse than the plan ({}).",
            difference(costs, error)
        )
    } else {
        let more = if costs > 0.0 { "more" } else { "fewer" };
        let (costs, error) = (costs.abs(), shown_error(error));
        format!("{strokes:.2} strokes: {costs:.2} ± {error:.2} {more} than the plan.")
    });
    if !is_plan {
        let (own, planned) = (leaves(&shot), leaves(&plan.choice.shot));
        words.push(format!(
            "It leaves {}, the plan {}.",
            length(own, unit),
            length(planned, unit)
        ));
        words.extend(by_aims(&by_aim_of_play));
    }
    OwnShot {
        asked: asked.to_owned(),
        costs,
        costs_standard_error: error,
        aim_right_of_plan_deg: round::degrees(turn_deg(beside.right_of_plan_deg)),
        leaves_m: round::metres(leaves(&shot)),
        by_aim_of_play,
        words,
        shot,
        page: Box::new(page),
    }
}

/// What it gains and loses by other objectives, beyond noise.
fn by_aims(aims: &[CostsBy]) -> Option<String> {
    let apart = aims
        .iter()
        .filter(|by| by.aim != "strokes" && !is_tie(by.costs, by.standard_error));
    let amounts: Vec<String> = apart
        .map(|by| {
            let more = if by.costs < 0.0 { "more" } else { "fewer" };
            let costs = by.costs.abs();
            match by.aim.as_str() {
                "points" => format!("{costs:.2} Stableford points {more} a hole"),
                "match" => format!("{:.1} {more} won, halves counted half", 100.0 * costs),
                aim => format!("{:.1} {more} at {}", 100.0 * costs, aim_words(aim)),
            }
        })
        .collect();
    (!amounts.is_empty()).then(|| format!("In 100 such holes {}.", amounts.join(", ")))
}

/// Whether the shot is the plan's own.
#[must_use]
pub fn is_plan(own: &OwnShot) -> bool {
    own.costs == 0.0 && own.costs_standard_error == 0.0
}

/// The shot in a few words, as a table names it: `3-wood, your draw, 2.1° right`.
#[must_use]
pub fn short(own: &OwnShot, unit: LengthUnit) -> String {
    let name = own.shot.name(unit);
    turned(own).map_or(name.clone(), |turned| format!("{name}, {turned}"))
}

/// The same in fewer words, as a page names it: `3-wood 2.1° right`.
#[must_use]
pub fn shorter(own: &OwnShot, unit: LengthUnit) -> String {
    let club = super::sentence::club(&own.shot.club);
    let name = match own.shot.part_swing {
        Some(_) => format!("{club}, {}", own.shot.manner(unit)),
        None => club,
    };
    turned(own).map_or(name.clone(), |turned| format!("{name} {turned}"))
}

/// How far its aim is off the plan's; none where it is the same.
fn turned(own: &OwnShot) -> Option<String> {
    let right_deg = own.aim_right_of_plan_deg;
    let apart = right_deg.abs();
    (apart >= 0.05).then(|| format!("{apart:.1}° {}", side(right_deg)))
}
