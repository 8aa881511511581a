//! The decision of a hole again, with the course play that was learnt.

use super::Next;
use super::account::Figure;
use crate::diagnostic::Problems;
use crate::planner::Planner;
use crate::player::Player;
use crate::units::LengthUnit;

/// The plan of a hole before anything was learnt.
pub(super) struct Before {
    pub(super) tee: usize,
    pub(super) club: usize,
    pub(super) named: String,
    pub(super) name: String,
    pub(super) aim_deg: f64,
    pub(super) carry_m: f64,
    pub(super) expected: Figure,
}

impl Before {
    /// The decision with what was learnt.
    ///
    /// # Errors
    /// Where the hole is not reached.
    pub(super) fn again(
        &self,
        planner: &Planner<'_>,
        player: &Player,
        unit: LengthUnit,
    ) -> Result<Next, Problems> {
        let planner = planner.for_player(player);
        let tee = planner.look_back(std::slice::from_ref(&self.named), &|_| {})?;
        let is_same = tee.choice.shot.club == self.club;
        let saves = match tee.hits.first() {
            Some(Some(hit)) if !is_same => Figure::of(hit.costs),
            _ => Figure::default(),
        };
        let turned = tee.choice.shot.aim_deg - self.aim_deg;
        let [low, high] = tee.aim_window_deg;
        let is_outside = !(low..=high).contains(&self.aim_deg);
        let is_beyond = saves.strokes > (2.0 * saves.standard_error).max(WORTH_SAYING);
        Ok(Next {
            reference: planner.hole().reference.clone(),
            before: self.name.clone(),
            after: tee.plan.choice.shot.name(unit),
            saves,
            aim_right_m: is_same.then(|| self.carry_m * turned.to_radians().tan()),
            changes: if is_same { is_outside } else { is_beyond },
            expected: [
                self.expected,
                Figure::of((tee.choice.strokes, tee.choice.standard_error)),
            ],
        })
    }
}

/// A change that saves less than this is not told, strokes (practice).
const WORTH_SAYING: f64 = 0.01;
