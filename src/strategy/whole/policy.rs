//! What to hit from a place, and what the place is worth, between the cells.

use super::action::Action;
use super::explicit::{Explicit, NO_STATE};
use super::lie::{LIES, Lie};
use crate::hole::{Coord, Surface};
use crate::mdp::Solution;
use crate::strategy::rules::StrokesFrom;

/// A solution with the problem it solves.
#[derive(Clone, Copy)]
pub struct Policy<'a> {
    /// The problem.
    pub explicit: &'a Explicit,
    /// Its solution.
    pub solution: &'a Solution,
}

impl Policy<'_> {
    /// Strokes to hole out from a place on a surface: putts on the green,
    /// elsewhere linear between the middles of the four cells around, those
    /// without a state in this lie left out. A penalty area or out of bounds is
    /// read as rough; what no ball reached has its rough value. Infinite where the hole is
    /// never finished from.
    #[must_use]
    pub fn value(&self, surface: Surface, at: Coord<f64>) -> f64 {
        let problem = self.explicit.problem();
        let grid = &problem.grid;
        let place = [at.x as f32, at.y as f32];
        if surface == Surface::Green {
            return problem.putts(problem.to_pin_m(place) as f32);
        }
        let lie = Lie::on(surface).unwrap_or(Lie::Rough);
        let (mut sum, mut weights) = (0.0, 0.0);
        for (cell, weight) in grid.around(place) {
            let state = self.explicit.index[cell * LIES + lie as usize];
            if state == NO_STATE {
                continue;
            }
            let weight = f64::from(weight);
            let value = self.solution.value[state as usize];
            if value.is_finite() {
                sum += weight * value;
                weights += weight;
            }
        }
        if weights > 1.0e-9 {
            return sum / weights;
        }
        let own = self.explicit.state(place, lie);
        if own.is_some_and(|state| self.explicit.is_dead_end(state)) {
            return f64::INFINITY;
        }
        match self.near(place, lie) {
            Some(state) => self.solution.value[state as usize],
            None => self.explicit.rough_value(place, lie),
        }
    }

    /// What to do from a place in a lie: what its state says, or the nearest
    /// state with that lie within 2 cells, or the best rough shot.
    #[must_use]
    pub fn action(&self, at: Coord<f64>, lie: Lie) -> Option<Action> {
        let place = [at.x as f32, at.y as f32];
        self.near(place, lie)
            .map(|state| {
                self.explicit.choices(state)[self.solution.policy[state as usize] as usize]
            })
            .or_else(|| self.explicit.rough_action(place, lie))
    }

    /// What to do on the tee, and the strokes it takes.
    #[must_use]
    pub fn tee(&self) -> (f64, Action) {
        let action = self.explicit.tee().get(self.solution.start_action);
        (self.solution.start, action.copied().unwrap_or(Action::NONE))
    }

    /// The state of a place, or the nearest with this lie, at most 2 cells away.
    pub(super) fn near(&self, place: [f32; 2], lie: Lie) -> Option<u32> {
        self.explicit.nearby(place, lie)
    }
}

impl StrokesFrom for Policy<'_> {
    fn strokes_from(&self, surface: Surface, at: Coord<f64>, _: f64) -> f64 {
        self.value(surface, at)
    }
}
