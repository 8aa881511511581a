//! One shot from one place by its swing's template: where each ball ends, by
//! cells. Quick and rough: it finds candidates, it prices nothing that is evaluated.

use super::fan::Fan;
use super::problem::{End, Problem};
use super::relief::NOWHERE;
use super::template::{GROUNDS, Low, Template};
use crate::hole::Surface;
use crate::outcome::is_penalty;

/// A ball that has come through this depth of trees is taken to be stopped:
/// one in 150 is not.
const CERTAIN_DEPTH: f32 = 5.0;

/// One shot from one place, ready to have its balls followed.
pub(super) struct Shot<'a> {
    pub problem: &'a Problem,
    pub template: &'a Template,
    /// In wind, the template of the next node and its share.
    pub other: Option<(&'a Template, f32)>,
    pub at: [f32; 2],
    pub height: f32,
    /// Sine and cosine of the bearing.
    pub turn: [f32; 2],
    pub bearing_deg: f32,
    pub trees: bool,
    /// What is clear from there.
    pub fan: &'a Fan<'a>,
    /// The bearing in the fan's sectors.
    pub sector: f32,
}

/// Index of a surface among the template's grounds; water has none.
#[inline]
fn ground(surface: Surface) -> Option<usize> {
    match surface {
        Surface::Tee | Surface::Fairway => Some(0),
        Surface::Rough | Surface::OutOfBounds => Some(1),
        Surface::Bunker => Some(2),
        Surface::Trees => Some(3),
        Surface::Green => Some(GROUNDS - 1),
        Surface::PenaltyRed | Surface::PenaltyYellow => None,
    }
}

impl Shot<'_> {
    /// Calls `visit` with the weight and end of one ball: once, or twice when a
    /// tree may stop it.
    #[inline(always)]
    pub fn ends(&self, ball: usize, mut visit: impl FnMut(f32, End)) {
        let mut weight = 1.0;
        if self.trees
            && let Some((stopped, cell)) = self.through_trees(ball)
        {
            visit(stopped, self.end(cell, None));
            weight -= stopped;
            if weight < 1.0e-3 {
                visit(weight, self.end(cell, None));
                return;
            }
        }
        let (cell, at) = self.rest(ball);
        visit(weight, self.end(cell, Some(at)));
    }

    #[inline]
    fn turned(&self, v: [f32; 2]) -> [f32; 2] {
        let [sin, cos] = self.turn;
        [v[0] * cos + v[1] * sin, v[1] * cos - v[0] * sin]
    }

    /// Where a ball rests that no tree stops.
    #[inline(always)]
    fn rest(&self, index: usize) -> (usize, [f32; 2]) {
        let grid = &self.problem.grid;
        let mut ball = self.template.balls[index];
        if let Some((other, share)) = self.other {
            let next = &other.balls[index];
            for i in 0..2 {
                let mix = |a: f32, b: f32| a + share * (b - a);
                ball.landing[i] = mix(ball.landing[i], next.landing[i]);
                ball.per_drop[i] = mix(ball.per_drop[i], next.per_drop[i]);
                for ground in 0..GROUNDS {
                    ball.run[ground][i] = mix(ball.run[ground][i], next.run[ground][i]);
                }
            }
        }
        let off = self.turned(ball.landing);
        let mut at = [self.at[0] + off[0], self.at[1] + off[1]];
        let mut cell = grid.cell(at[0], at[1]);
        if !grid.height_m.is_empty() {
            let per_drop = self.turned(ball.per_drop);
            let level = at;
            // Twice: the ground where it lands is found by landing there.
            for _ in 0..2 {
                let drop = (self.height - grid.height(cell)).max(-40.0);
                at = [level[0] + drop * per_drop[0], level[1] + drop * per_drop[1]];
                cell = grid.cell(at[0], at[1]);
            }
        }
        let Some(first) = ground(grid.surface[cell]) else {
            return (cell, at);
        };
        let run = self.turned(ball.run[first]);
        let half = [at[0] + 0.5 * run[0], at[1] + 0.5 * run[1]];
        let half_cell = grid.cell(half[0], half[1]);
        let Some(second) = ground(grid.surface[half_cell]) else {
            return (half_cell, half);
        };
        let rest = if second == first {
            [at[0] + run[0], at[1] + run[1]]
        } else {
            let run = self.turned(ball.run[second]);
            [half[0] + 0.5 * run[0], half[1] + 0.5 * run[1]]
        };
        (grid.cell(rest[0], rest[1]), rest)
    }

    #[inline(always)]
    fn end(&self, cell: usize, at: Option<[f32; 2]>) -> End {
        let grid = &self.problem.grid;
        match grid.surface[cell] {
            Surface::Green => {
                let at = at.unwrap_or_else(|| grid.middle(cell));
                let (x, y) = (
                    at[0] - self.problem.pin.x as f32,
                    at[1] - self.problem.pin.y as f32,
                );
                End::Green((x * x + y * y).sqrt())
            }
            Surface::OutOfBounds => End::Replay,
            surface if is_penalty(surface) => {
                match self.problem.relief.node(cell, self.bearing_deg) {
                    NOWHERE => End::Replay,
                    node => End::Penalty(node),
                }
            }
            _ => End::Lies(cell as u32),
        }
    }

    /// The chance that trees stop a ball, and the cell in which most of it falls.
    #[inline(always)]
    fn through_trees(&self, index: usize) -> Option<(f32, usize)> {
        let grid = &self.problem.grid;
        let template = self.template;
        let mut hits = Hits::default();
        'parts: for part in template.low_parts(index) {
            let [from, to] = part.sectors;
            let clear_m = self.fan.clear_m(self.sector + from, self.sector + to);
            if clear_m >= part.furthest_m {
                continue;
            }
            let points = part.points.start as usize..part.points.end as usize;
            let lows = &template.lows[points.clone()];
            // A cast saturates, and there are not as many points as 16 bits hold.
            let passed = |clear_m: f32, low: &Low| 1 + usize::from((clear_m * low.per_m) as u16);
            let mut at = if clear_m >= part.first_m {
                passed(clear_m - part.first_m, &lows[0])
            } else {
                0
            };
            while let Some(low) = lows.get(at) {
                let off = self.turned([low.at[0], low.at[1]]);
                let cell = grid.cell(self.at[0] + off[0], self.at[1] + off[1]);
                let clear = grid.clear[cell];
                if clear > 0 {
                    at += passed(f32::from(clear - 1), low);
                    continue;
                }
                let [base, top] = grid.crowns[cell];
                let above = low.at[2] + self.height - grid.height(cell);
                if above <= top {
                    let thick = &template.thick[points.start + at];
                    let through = if above < base {
                        thick.trunks
                    } else {
                        thick.crowns
                    };
                    hits.add(through, cell);
                    if hits.depth > CERTAIN_DEPTH {
                        break 'parts;
                    }
                }
                at += 1;
            }
        }
        (hits.depth > 0.0).then_some((1.0 - hits.through, hits.cell))
    }
}

/// What a ball has met of trees.
struct Hits {
    depth: f32,
    /// The chance that it has come through so far.
    through: f32,
    /// The greatest chance that it was stopped in a cell, and which.
    most: f32,
    cell: usize,
}

impl Default for Hits {
    fn default() -> Self {
        Self {
            depth: 0.0,
            through: 1.0,
            most: 0.0,
            cell: 0,
        }
    }
}

impl Hits {
    /// So much depth, and the chance that it stops a ball that has come there.
    #[inline]
    fn add(&mut self, [depth, stops]: [f32; 2], cell: usize) {
        let chance = self.through * stops;
        if chance > self.most {
            (self.most, self.cell) = (chance, cell);
        }
        self.depth += depth;
        self.through -= chance;
    }
}
