//! A policy held: the hole as a chain with one choice in every place.
//!
//! What the score's distribution is told on, and where a tee shot's balls are
//! put back on the cells. A ball between cells is shared out among those whose
//! values [`Policy::value`] blends, so that the mean score is the value.

use super::chain::{Chain, Step};
use super::lie::Lie;
use super::policy::Policy;
use super::problem::Action;
use super::scores::{After, Plays};
use crate::hole::{Coord, Surface};
use crate::outcome::{Rest, is_penalty};
use crate::strategy::finish::StrokesToGo;
use crate::strategy::rules::Rules;

/// A policy, and the putts that it leaves.
#[derive(Clone, Copy)]
pub struct Held<'a> {
    /// The policy.
    pub policy: Policy<'a>,
    /// The player's putts.
    pub to_go: &'a StrokesToGo,
}

impl Held<'_> {
    /// The cells that stand for a place on a surface, with their shares; none
    /// where no cell near it has the lie.
    #[must_use]
    pub fn shares(&self, surface: Surface, at: Coord<f64>) -> Vec<(f64, u32)> {
        let problem = self.policy.problem;
        let grid = &problem.grid;
        let place = [at.x as f32, at.y as f32];
        let lie = Lie::on(surface).unwrap_or(Lie::Rough);
        let half = grid.cell_m / 2.0;
        let mut out: Vec<(f64, u32)> = Vec::with_capacity(4);
        for corner in 0..4 {
            let off = [
                if corner & 1 == 0 { -half } else { half },
                if corner & 2 == 0 { -half } else { half },
            ];
            let cell = grid.cell(place[0] + off[0], place[1] + off[1]);
            if problem.lie(cell) != Some(lie) || !self.policy.solution.value[cell].is_finite() {
                continue;
            }
            let middle = grid.middle(cell);
            let near =
                |i: usize| (1.0 - ((place[i] - middle[i]).abs() / grid.cell_m)).clamp(0.0, 1.0);
            out.push((f64::from(near(0) * near(1)), cell as u32));
        }
        let weights: f64 = out.iter().map(|share| share.0).sum();
        if weights > 1.0e-9 {
            out.iter_mut().for_each(|share| share.0 /= weights);
            return out;
        }
        self.nearest(place, lie)
            .map_or_else(Vec::new, |cell| vec![(1.0, cell)])
    }

    /// The nearest cell with this lie and a finite value, at most 3 away; else
    /// the nearest that is played at all within the same reach.
    fn nearest(&self, place: [f32; 2], lie: Lie) -> Option<u32> {
        let problem = self.policy.problem;
        let grid = &problem.grid;
        let mut best: Option<(bool, f32, u32)> = None;
        for down in -3..=3_i8 {
            for right in -3..=3_i8 {
                let cell = grid.cell(
                    place[0] + f32::from(right) * grid.cell_m,
                    place[1] + f32::from(down) * grid.cell_m,
                );
                let (Some(found), true) = (
                    problem.lie(cell),
                    self.policy.solution.value[cell].is_finite(),
                ) else {
                    continue;
                };
                let middle = grid.middle(cell);
                let away = (middle[0] - place[0]).powi(2) + (middle[1] - place[1]).powi(2);
                let key = (found != lie, away);
                if best.is_none_or(|b| key < (b.0, b.1)) {
                    best = Some((key.0, key.1, cell as u32));
                }
            }
        }
        best.map(|b| b.2)
    }

    /// Where the balls of a tee shot are played from next, each with its share.
    /// A ball in a penalty area is dropped where `rules` find it best, or the
    /// shot is played again where that is worth less: `strokes` is what the tee
    /// is worth with this shot.
    #[must_use]
    pub fn after(&self, rules: &Rules<'_>, rests: &[Rest], strokes: f64) -> Vec<(f64, After)> {
        let each = 1.0 / rests.len().max(1) as f64;
        let pin = |at: Coord<f64>| self.policy.problem.to_pin_m([at.x as f32, at.y as f32]) as f32;
        let mut out = Vec::with_capacity(2 * rests.len());
        for rest in rests {
            let mut lies = |surface: Surface, at: Coord<f64>, dropped: bool| {
                if surface == Surface::Green && !dropped {
                    out.push((each, After::Green(pin(at))));
                    return;
                }
                let shares = self.shares(surface, at);
                if shares.is_empty() {
                    // Off the map's edge: as good as never.
                    out.push((each, After::Again));
                }
                for (share, cell) in shares {
                    let after = if dropped {
                        After::Dropped(cell)
                    } else {
                        After::Lies(cell)
                    };
                    out.push((each * share, after));
                }
            };
            match rest.surface {
                Surface::OutOfBounds => out.push((each, After::Again)),
                surface if is_penalty(surface) => {
                    let spot = rest.crossed.and_then(|crossed| {
                        rules.drop_spot(crossed, surface == Surface::PenaltyRed)
                    });
                    match spot.filter(|(_, value)| *value <= strokes) {
                        Some((at, _)) => lies(rules.surface_at(at), at, true),
                        None => out.push((each, After::Again)),
                    }
                }
                surface => lies(surface, rest.at, false),
            }
        }
        out
    }
}

impl Plays for Held<'_> {
    fn choice(&self, _: usize) -> usize {
        0
    }
    fn value(&self, place: usize) -> f64 {
        f64::from(self.policy.solution.value[place])
    }
}

impl Chain for Held<'_> {
    fn places(&self) -> usize {
        self.policy.problem.grid.len()
    }
    fn choices(&self, place: usize) -> usize {
        usize::from(self.policy.problem.lie(place).is_some())
    }
    fn takes(&self, place: usize, _: usize) -> usize {
        usize::from(self.policy.solution.policy[place] != Action::UNPLAYABLE)
    }
    fn ways(&self, place: usize, _: usize, mut visit: impl FnMut(f64, Step)) {
        let problem = self.policy.problem;
        let action = self.policy.solution.policy[place];
        if action == Action::UNPLAYABLE {
            let best = problem
                .unplayable(place)
                .into_iter()
                .min_by(|a, b| self.value(*a as usize).total_cmp(&self.value(*b as usize)));
            match best {
                Some(cell) => visit(1.0, Step::Dropped(cell)),
                None => visit(1.0, Step::Replay),
            }
            return;
        }
        let Some(lie) = problem.lie(place) else {
            return;
        };
        for (weight, end) in problem.outcomes(problem.grid.middle(place), lie, action) {
            visit(weight, end.into());
        }
    }
    fn drops(&self, node: u32) -> &[u32] {
        self.policy.problem.drops(node)
    }
    fn nodes(&self) -> usize {
        self.policy.problem.nodes()
    }
    fn green_m(&self, place: usize) -> Option<f32> {
        let problem = self.policy.problem;
        (problem.grid.surface[place] == Surface::Green).then(|| problem.pin_distance_m(place))
    }
    fn putt_chances(&self, distance_m: f32) -> [f64; 3] {
        self.to_go.putt_chances(f64::from(distance_m))
    }
}
