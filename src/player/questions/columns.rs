//! Carry and total under each other's heading.

use super::{Asked, Logged};
use crate::diagnostic::Topic;
use crate::player::club::Family;
use crate::player::columns::Quantity;
use crate::player::group::median;
use crate::units::YARD_M;

/// Fewest rows that have a say.
const FEWEST: usize = 5;
/// A total that is shorter by less than this is a ball that spun back, m.
const SPUN_BACK_M: f64 = 1.0;

pub(super) fn ask(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    // Wedges spin back.
    let runs: Vec<f64> = logged
        .clubs
        .iter()
        .filter(|rows| rows.club.family != Family::Wedge)
        .flat_map(|rows| rows.sound.iter())
        .filter_map(|shot| Some(shot.total_m? - shot.carry_m))
        .collect();
    let short = runs.iter().filter(|run| **run < -SPUN_BACK_M).count();
    if runs.len() < FEWEST || 2 * short <= runs.len() {
        return;
    }
    let found = format!(
        "in {short} of {} rows the ball rests short of where it landed, by {:.0} yd in the middle",
        runs.len(),
        -median(runs.iter().copied()) / YARD_M
    );
    asked.question(
        Topic::CarryAndTotal,
        logged.place(Quantity::Total),
        [
            format!(
                "{} beyond {}: balls run on after they land",
                logged.name(Quantity::Total),
                logged.name(Quantity::Carry)
            ),
            found,
            format!(
                "exchange the headings {} and {}",
                logged.name(Quantity::Carry),
                logged.name(Quantity::Total)
            ),
        ],
    );
}
