//! A tee shot of the player's choosing, beside the plan.

use serde::Serialize;

use super::card::to_go_m;
use super::scene::turn_deg;
use super::sentence::{length, side, whole};
use super::whole_hole::{CostsBy, aim_words};
use super::why::is_tie;
use super::{Plan, Shot, round};
use crate::strategy::own_shot::Beside;
use crate::strategy::whole::objective::Objective;
use crate::units::LengthUnit;
use crate::units::own_shot::{AimText, Turn, read};

/// A tee shot of the player's choosing.
#[derive(Clone, Debug, Serialize)]
pub struct OwnShot {
    /// Which of the shots asked for on this hole it is, from 1.
    pub number: usize,
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
    /// Its aim, right of the plan's where it lands, m.
    #[serde(skip)]
    pub right_of_plan_m: f64,
    /// From where its usual ball ends to the pin, m.
    pub leaves_m: f64,
    /// How much worse than the plan by each objective; empty where the tee was decided by the
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
    (number, asked): (usize, &str),
    beside: &Beside,
    page: Plan,
    plan: &Plan,
    aims: &[Objective],
    unit: LengthUnit,
) -> OwnShot {
    let shot = page.choice.shot.clone();
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
    let mut own = OwnShot {
        number,
        asked: asked.to_owned(),
        costs,
        costs_standard_error: error,
        aim_right_of_plan_deg: round::degrees(turn_deg(beside.right_of_plan_deg)),
        right_of_plan_m: right_of_plan_m(beside),
        leaves_m: round::metres(to_go_m(&page)),
        by_aim_of_play,
        words: Vec::new(),
        shot,
        page: Box::new(page),
    };
    // A length that was asked for is told as it was asked.
    match read(asked).map(|text| text.aim) {
        _ if is_plan(&own) => own.right_of_plan_m = 0.0,
        Ok(Some(AimText::OffPlan(Turn::Metres(right_m)))) => own.right_of_plan_m = right_m,
        _ => {}
    }
    own.words = words(&own, to_go_m(plan), unit);
    if is_plan(&own) {
        *own.page = plan.clone();
        own.page.own_shots.clear();
    } else {
        own.page.asked = Some(own.asked.clone());
        own.page.check_first.clone_from(&plan.check_first);
    }
    own
}

/// The shot in words; `plan_leaves_m` is how far from the pin the plan's shot finishes.
fn words(own: &OwnShot, plan_leaves_m: f64, unit: LengthUnit) -> Vec<String> {
    let mut words = vec![own.page.words.sentence.clone()];
    if is_plan(own) {
        words.push("That is the plan.".into());
        return words;
    }
    let (strokes, costs) = (own.shot.expected_strokes, own.costs);
    let error = own.costs_standard_error;
    words.push(if is_tie(costs, error) {
        format!("{strokes:.2} strokes, no worse than the plan.")
    } else {
        let more = if costs > 0.0 { "more" } else { "fewer" };
        let costs = costs.abs();
        format!("{strokes:.2} strokes: {costs:.2} {more} than the plan.")
    });
    let verified = own.page.verified.as_ref();
    if verified.is_some_and(|all| all.repriced.iter().any(|row| row.row == "choice")) {
        words.push("These are the strokes of playing it out to the last putt.".into());
    }
    words.push(format!(
        "It leaves {} to go, the plan {}.",
        length(own.leaves_m, unit),
        length(plan_leaves_m, unit)
    ));
    words.extend(by_aims(&own.by_aim_of_play));
    words
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
                aim => format!("{:.1} {more} at {}", 100.0 * costs, aim_words(aim)),
            }
        })
        .collect();
    (!amounts.is_empty()).then(|| format!("In 100 such holes: {}.", amounts.join(", ")))
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
    turned(own, unit).map_or(name.clone(), |turned| {
        format!("{name}, {turned} of the plan")
    })
}

/// The same in fewer words, as a page names it: `3-wood, 8 right of the plan`.
#[must_use]
pub fn shorter(own: &OwnShot, unit: LengthUnit) -> String {
    let club = super::sentence::club(&own.shot.club);
    let name = match own.shot.part_swing {
        Some(part) => format!("{club}, {}", length(part.carry_m, unit)),
        None => club,
    };
    turned(own, unit).map_or(name.clone(), |turned| {
        format!("{name}, {turned} of the plan")
    })
}

/// How far a shot's aim passes right of the plan's, where an aim asked for in lengths is measured:
/// at the carry of the club off the plan's peg.
fn right_of_plan_m(beside: &Beside) -> f64 {
    let own = &beside.decision.choice;
    let turned = beside.right_of_plan_deg.to_radians().tan();
    let Some((_, plan)) = beside.decision.comparisons.first() else {
        return own.carry_m * turned;
    };
    let carry_m = if own.shot.club == plan.shot.club {
        plan.carry_m
    } else {
        own.carry_m
    };
    let (sin, cos) = plan.shot.aim_deg.to_radians().sin_cos();
    let (x, y) = (own.peg.x - plan.peg.x, own.peg.y - plan.peg.y);
    x * cos - y * sin + (carry_m - x * sin - y * cos) * turned
}

/// How far its aim is off the plan's where it lands; none where it is the same.
fn turned(own: &OwnShot, unit: LengthUnit) -> Option<String> {
    let right_m = own.right_of_plan_m;
    let apart = whole(right_m, unit).abs();
    (apart > 0).then(|| format!("{apart} {}", side(right_m)))
}
