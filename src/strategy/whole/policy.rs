//! What to hit from a place, and what the place is worth, between the cells.

use super::lie::Lie;
use super::problem::{Action, Problem};
use super::solver::Solution;
use crate::hole::{Coord, Surface};
use crate::strategy::rules::StrokesFrom;

/// A solution with the problem it solves.
#[derive(Clone, Copy)]
pub struct Policy<'a> {
    /// The problem.
    pub problem: &'a Problem,
    /// Its solution.
    pub solution: &'a Solution,
}

impl Policy<'_> {
    /// Strokes to hole out from a place on a surface: putts on the green,
    /// elsewhere linear between the middles of the four cells around, those of
    /// another lie left out. A penalty area or out of bounds is read as rough.
    #[must_use]
    pub fn value(&self, surface: Surface, at: Coord<f64>) -> f64 {
        let grid = &self.problem.grid;
        let place = [at.x as f32, at.y as f32];
        if surface == Surface::Green {
            return self.problem.putts(self.problem.to_pin_m(place) as f32);
        }
        let lie = Lie::on(surface).unwrap_or(Lie::Rough);
        let half = grid.cell_m / 2.0;
        let (mut sum, mut weights) = (0.0, 0.0);
        for corner in 0..4 {
            let off = [
                if corner & 1 == 0 { -half } else { half },
                if corner & 2 == 0 { -half } else { half },
            ];
            let cell = grid.cell(place[0] + off[0], place[1] + off[1]);
            let value = self.solution.value[cell];
            if self.problem.lie(cell) != Some(lie) || !value.is_finite() {
                continue;
            }
            let middle = grid.middle(cell);
            let near =
                |i: usize| (1.0 - ((place[i] - middle[i]).abs() / grid.cell_m)).clamp(0.0, 1.0);
            let weight = f64::from(near(0) * near(1));
            sum += weight * f64::from(value);
            weights += weight;
        }
        if weights > 1.0e-9 {
            return sum / weights;
        }
        self.near(place, lie).map_or_else(
            || self.problem.table_at(surface, place),
            |cell| f64::from(self.solution.value[cell]),
        )
    }

    /// What to hit from a place in a lie: what its cell says, or the nearest
    /// cell with that lie; none where there is no such cell within 3 cells.
    #[must_use]
    pub fn action(&self, at: Coord<f64>, lie: Lie) -> Option<Action> {
        self.near([at.x as f32, at.y as f32], lie)
            .map(|cell| self.solution.policy[cell])
    }

    /// The nearest cell with this lie and a finite value, at most 3 away.
    fn near(&self, place: [f32; 2], lie: Lie) -> Option<usize> {
        let grid = &self.problem.grid;
        let mut best: Option<(f32, usize)> = None;
        for down in -3..=3_i8 {
            for right in -3..=3_i8 {
                let cell = grid.cell(
                    place[0] + f32::from(right) * grid.cell_m,
                    place[1] + f32::from(down) * grid.cell_m,
                );
                if self.problem.lie(cell) != Some(lie) || !self.solution.value[cell].is_finite() {
                    continue;
                }
                let middle = grid.middle(cell);
                let away = (middle[0] - place[0]).powi(2) + (middle[1] - place[1]).powi(2);
                if best.is_none_or(|b| away < b.0) {
                    best = Some((away, cell));
                }
            }
        }
        best.map(|b| b.1)
    }
}

impl StrokesFrom for Policy<'_> {
    fn strokes_from(&self, surface: Surface, at: Coord<f64>, _: f64) -> f64 {
        self.value(surface, at)
    }
}
