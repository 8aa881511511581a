//! A tee shot of the player's choosing, beside the plan.

use serde::Serialize;

use super::scene::{distance_m, turn_deg};
use super::sentence::{capital, length, side};
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
        aim_right_of_plan_deg: round::degrees(turn_deg(
            shot.aim.bearing_deg - plan.choice.shot.aim.bearing_deg,
        )),
        leaves_m: round::metres(leaves(&shot)),
        by_aim_of_play,
        words,
        shot,
        page: Box::new(page),
    }
}

/// What it gains and loses by other objectives, beyond noise.
fn by_aims(aims: &[CostsBy]) -> Option<String> {
    let apart: Vec<String> = aims
        .iter()
        .filter(|by| by.aim != "strokes" && !is_tie(by.costs, by.standard_error))
        .map(|by| {
            let amount = if by.aim == "points" {
                format!("{:.2}", by.costs.abs())
            } else {
                format!("{:.1} in 100", 100.0 * by.costs.abs())
            };
            let word = if by.costs < 0.0 { "gains" } else { "costs" };
            format!("it {word} {amount} for {}", aim_words(&by.aim))
        })
        .collect();
    (!apart.is_empty()).then(|| format!("{}.", capital(&apart.join("; "))))
}

/// Whether the shot is the plan's own.
#[must_use]
pub fn is_plan(own: &OwnShot) -> bool {
    own.costs == 0.0 && own.costs_standard_error == 0.0
}

/// The shot in a few words, as a table or a page names it: `3-wood, your draw, 2.1° right`.
#[must_use]
pub fn short(own: &OwnShot) -> String {
    let club = super::sentence::club_and_shape(&own.shot.club, &own.shot.shape);
    let turned = own.aim_right_of_plan_deg;
    if turned.abs() < 0.05 {
        return club;
    }
    format!("{club}, {:.1}° {}", turned.abs(), side(turned))
}
