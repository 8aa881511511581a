//! The discretised hole: a stochastic shortest path over cells.
//!
//! *States* are the cells that a ball can be played from, with the lie of what
//! lies at their middle. *Actions* are a swing and one of [`AIMS`] bearings, or,
//! from under trees, an unplayable ball (Rule 19.2b, c). *Outcomes* are the
//! balls of the swing's template, each with the same weight, turned to the
//! bearing and put down on the cells: a ball that rests on the green costs the
//! player's putts from exactly there and the hole is over; one in a penalty
//! area is dropped in the best cell that relief gives (Rule 17.1d), or goes back
//! under stroke and distance; one out of bounds goes back (Rule 18.2).
//!
//! # What it leaves out
//! A ball lands by the level template, moved along its descent by as much as
//! the ground at the landing is higher or lower; it then runs as on level
//! ground of what it landed on, for the second half of the run of what lies
//! half way. Slopes turn no run. Trees stop a ball with the chances of the
//! flight, felt every 6 m, on the way to the level landing only; a ball that is
//! stopped drops where it was.

use rayon::prelude::*;

use super::grid::Grid;
use super::lie::Lie;
use super::relief::{NOWHERE, Relief};
use super::swing::{Kind, Swing, swings};
use super::template::{GROUNDS, LOW_STEP_M, NODE_DEG, Template, Templates};
use crate::flight::rest::{CROWN_PER_M, TRUNK_PER_M};
use crate::hole::{Coord, Hole, Surface};
use crate::outcome::{Day, is_penalty};
use crate::player::Player;
use crate::sample::points;
use crate::strategy::finish::StrokesToGo;
use crate::strategy::rules::{BACK_M, LATERAL};

/// Bearings a shot can be aimed along, evenly round.
pub const AIMS: usize = 180;
/// Degrees between two of them.
pub const AIM_STEP_DEG: f64 = 360.0 / AIMS as f64;
/// How far a full swing's balls may be sent beside the way the hole goes, degrees.
const BESIDE_DEG: f64 = 12.0;
/// A swing that goes past the pin by more than this, m, and more than a fifth
/// of the way, is not tried.
const PAST_M: f64 = 25.0;
/// A held-back swing that misses the pin's distance by more than this, m, and
/// more than a tenth of the way, is not tried.
const SOFT_M: f64 = 12.0;

/// A ball that has come through this depth of trees is taken to be stopped:
/// one in 150 is not.
const CERTAIN_DEPTH: f32 = 5.0;

/// How finely the hole is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Side of a cell, m.
    pub cell_m: f64,
    /// Balls in a template.
    pub balls: usize,
    /// Seed of the balls.
    pub seed: u32,
}

impl Default for Fineness {
    fn default() -> Self {
        Self {
            cell_m: 2.0,
            balls: 64,
            seed: 1,
        }
    }
}

/// A shot from a cell: a swing along a bearing, or a drop under Rule 19.2.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Action {
    /// Index into [`Problem::swings`]; [`Action::UNPLAYABLE`]'s is beyond.
    pub swing: u16,
    /// Index of the bearing.
    pub aim: u16,
}

impl Action {
    /// The ball is declared unplayable and dropped in the best cell.
    pub const UNPLAYABLE: Self = Self {
        swing: u16::MAX,
        aim: 0,
    };
    /// Nothing: the cell is not played from.
    pub const NONE: Self = Self {
        swing: u16::MAX,
        aim: 1,
    };

    /// Its bearing, degrees.
    #[must_use]
    pub fn bearing_deg(self) -> f64 {
        f64::from(self.aim) * AIM_STEP_DEG
    }
}

/// What becomes of one ball.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum End {
    /// It is played from this cell next.
    Lies(u32),
    /// It is on the green, this far from the pin, m.
    Green(f32),
    /// In a penalty area: dropped in one of [`Problem::drops`], or replayed.
    Penalty(u32),
    /// Replayed: out of bounds, or in a penalty area with nowhere to drop.
    Replay,
}

/// The finite decision problem of one hole, one player, one day.
pub struct Problem {
    /// The cells.
    pub grid: Grid,
    /// What the player can swing.
    pub swings: Vec<Swing>,
    /// Where the tee shot starts.
    pub start: Coord<f64>,
    /// How finely it is cut.
    pub fineness: Fineness,
    pin: Coord<f64>,
    templates: Templates,
    relief: Relief,
    to_go: StrokesToGo,
    turns: Vec<[f32; 2]>,
    lateral_m: f64,
    /// The line of play from the tee, every [`LINE_STEP_M`].
    line: Vec<[f32; 2]>,
    calm: bool,
}

/// Spacing of the line of play, m.
const LINE_STEP_M: f64 = 5.0;

impl Problem {
    /// Cuts a hole up for a player and a day, the tee shot starting at `start`.
    #[must_use]
    pub fn of(
        hole: &Hole,
        player: &Player,
        day: &Day,
        start: Coord<f64>,
        fineness: Fineness,
    ) -> Self {
        let grid = Grid::of(hole, fineness.cell_m);
        let swings = swings(player);
        let points = points(fineness.seed, fineness.balls);
        // Trees on higher ground than the ball's reach higher.
        let relief_m = grid
            .height_m
            .iter()
            .fold(0.0_f32, |m, h| m.max(*h))
            .min(10.0);
        let trees_m = grid.highest_crown_m.map(|m| m + relief_m);
        let templates = Templates::fly(&swings, &points, day, trees_m);
        let lateral_m = 2.0 * player.club_length_m;
        let relief = Relief::of(&grid, hole.pin, lateral_m);
        let turns = (0..AIMS)
            .map(|aim| {
                let (sin, cos) = (aim as f64 * AIM_STEP_DEG).to_radians().sin_cos();
                [sin as f32, cos as f32]
            })
            .collect();
        Self {
            line: line_of_play(hole),
            pin: hole.pin,
            to_go: StrokesToGo::for_handicap(player.handicap),
            calm: templates.nodes == 1,
            start,
            grid,
            swings,
            fineness,
            templates,
            relief,
            turns,
            lateral_m,
        }
    }

    /// The same hole and player on other balls: what a policy found on the
    /// first is worth is told without flattery by the second.
    #[must_use]
    pub fn on_fresh_balls(&self, day: &Day, balls: usize, seed: u32) -> Self {
        let trees_m = self.grid.highest_crown_m.map(|m| {
            m + self
                .grid
                .height_m
                .iter()
                .fold(0.0_f32, |m, h| m.max(*h))
                .min(10.0)
        });
        Self {
            grid: self.grid.clone(),
            swings: self.swings.clone(),
            start: self.start,
            fineness: Fineness {
                balls,
                seed,
                ..self.fineness
            },
            pin: self.pin,
            templates: Templates::fly(&self.swings, &points(seed, balls), day, trees_m),
            relief: self.relief.clone(),
            to_go: self.to_go.clone(),
            turns: self.turns.clone(),
            lateral_m: self.lateral_m,
            line: self.line.clone(),
            calm: self.calm,
        }
    }

    /// The lie that a cell is played from; none where it is not.
    #[must_use]
    pub fn lie(&self, cell: usize) -> Option<Lie> {
        Lie::on(self.grid.surface[cell])
    }

    /// Putts from this far, m.
    #[inline]
    #[must_use]
    pub fn putts(&self, distance_m: f32) -> f64 {
        self.to_go.from(Surface::Green, f64::from(distance_m))
    }

    /// The table's strokes from a cell: where iteration starts.
    pub(super) fn table(&self, cell: usize) -> f64 {
        self.to_go.from(
            self.grid.surface[cell],
            self.to_pin_m(self.grid.middle(cell)),
        )
    }

    /// The table's strokes from a place on a surface.
    pub(super) fn table_at(&self, surface: Surface, at: [f32; 2]) -> f64 {
        self.to_go.from(surface, self.to_pin_m(at))
    }

    /// Distance from a cell's middle to the pin, m.
    #[must_use]
    pub fn pin_distance_m(&self, cell: usize) -> f32 {
        self.to_pin_m(self.grid.middle(cell)) as f32
    }

    /// Distance to the pin, m.
    pub(super) fn to_pin_m(&self, at: [f32; 2]) -> f64 {
        (f64::from(at[0]) - self.pin.x).hypot(f64::from(at[1]) - self.pin.y)
    }

    /// The cells a ball may be dropped in from an [`End::Penalty`].
    #[must_use]
    pub fn drops(&self, node: u32) -> &[u32] {
        &self.relief.drops[node as usize]
    }

    pub(super) fn nodes(&self) -> usize {
        self.relief.drops.len()
    }

    /// The cells that Rule 19.2b and c give for an unplayable ball in a cell.
    #[must_use]
    pub fn unplayable(&self, cell: usize) -> Vec<u32> {
        let at = self.grid.middle(cell).map(f64::from);
        let away = [at[0] - self.pin.x, at[1] - self.pin.y];
        let far = away[0].hypot(away[1]);
        let mut cells: Vec<u32> = Vec::new();
        let mut add = |x: f64, y: f64| {
            let there = self.grid.cell(x as f32, y as f32);
            // Not among the trees again: a drop that leads to a drop leads nowhere.
            if self.lie(there).is_some_and(|lie| lie != Lie::Recovery) {
                cells.push(there as u32);
            }
        };
        for back in BACK_M {
            add(
                at[0] + away[0] / far.max(1.0) * back,
                at[1] + away[1] / far.max(1.0) * back,
            );
        }
        for step in 0..LATERAL {
            let angle = std::f64::consts::TAU * step as f64 / LATERAL as f64;
            let spot = [
                at[0] + self.lateral_m * angle.sin(),
                at[1] + self.lateral_m * angle.cos(),
            ];
            if (spot[0] - self.pin.x).hypot(spot[1] - self.pin.y) >= far {
                add(spot[0], spot[1]);
            }
        }
        cells.sort_unstable();
        cells.dedup();
        cells
    }

    /// Every shot that is tried from a place in a lie, in a fixed order.
    pub fn actions(&self, at: [f32; 2], lie: Lie, out: &mut Vec<Action>) {
        out.clear();
        let to_pin = self.to_pin_m(at);
        let pin_deg = bearing(at, [self.pin.x as f32, self.pin.y as f32]);
        let along = self.along(at);
        let among_trees = lie == Lie::Recovery;
        for (index, swing) in self.swings.iter().enumerate() {
            let lie = swing.flies_as(lie);
            let node = self.node(pin_deg).0;
            let Some(template) = self.templates.of(index, lie, node) else {
                continue;
            };
            let total = f64::from(template.total_m);
            let finish = f64::from(template.finish_deg);
            let mut push = |aim: i64| {
                out.push(Action {
                    swing: index as u16,
                    aim: aim.rem_euclid(AIMS as i64) as u16,
                });
            };
            match swing.kind {
                Kind::Punch(_) => {
                    for aim in (0..AIMS as i64).step_by(6) {
                        push(aim);
                    }
                }
                Kind::Partial(_) => {
                    let close = (total - to_pin).abs() < 3.0 + 0.15 * to_pin;
                    if !close {
                        continue;
                    }
                    let middle = ((f64::from(pin_deg) - finish) / AIM_STEP_DEG).round() as i64;
                    for aim in middle - 3..=middle + 3 {
                        push(aim);
                    }
                }
                Kind::Soft(_) if (total - to_pin).abs() > SOFT_M.max(0.1 * to_pin) => {}
                Kind::Full | Kind::Soft(_) => {
                    if total > to_pin + PAST_M.max(0.2 * to_pin) {
                        continue;
                    }
                    let way = bearing(at, self.on_line(along + total));
                    let turn = f64::from(turn(pin_deg, way));
                    let low = f64::from(pin_deg) + turn.min(0.0) - BESIDE_DEG - finish;
                    let high = f64::from(pin_deg) + turn.max(0.0) + BESIDE_DEG - finish;
                    let [low, high] = [low, high].map(|deg| (deg / AIM_STEP_DEG).round() as i64);
                    // Among trees the gap decides, not the degree.
                    let step = if among_trees { 2 } else { 1 };
                    for aim in (low..=high).step_by(step) {
                        push(aim);
                    }
                }
            }
        }
    }

    /// How far along the line of play a place is, m.
    fn along(&self, at: [f32; 2]) -> f64 {
        let away = |p: &[f32; 2]| (p[0] - at[0]).powi(2) + (p[1] - at[1]).powi(2);
        let nearest = self
            .line
            .iter()
            .enumerate()
            .min_by(|a, b| away(a.1).total_cmp(&away(b.1)))
            .map_or(0, |(index, _)| index);
        nearest as f64 * LINE_STEP_M
    }

    fn on_line(&self, along_m: f64) -> [f32; 2] {
        let index = ((along_m / LINE_STEP_M).round() as usize).min(self.line.len() - 1);
        self.line[index]
    }

    /// The wind node at or below a bearing, the next, and the share of the next.
    fn node(&self, bearing_deg: f32) -> (usize, usize, f32) {
        if self.calm {
            return (0, 0, 0.0);
        }
        let at = bearing_deg.rem_euclid(360.0) / NODE_DEG as f32;
        let low = (at as usize).min(self.templates.nodes - 1);
        (low, (low + 1) % self.templates.nodes, at - low as f32)
    }

    /// A shot made ready: none when the swing is not played from this lie.
    pub(super) fn shot(&self, at: [f32; 2], lie: Lie, action: Action) -> Option<Shot<'_>> {
        let swing = self.swings.get(usize::from(action.swing))?;
        let lie = swing.flies_as(lie);
        let bearing_deg = action.bearing_deg() as f32;
        let (low, high, share) = self.node(bearing_deg);
        let here = self.grid.cell(at[0], at[1]);
        let template = self.templates.of(usize::from(action.swing), lie, low)?;
        Some(Shot {
            problem: self,
            template,
            other: if self.calm {
                None
            } else {
                self.templates
                    .of(usize::from(action.swing), lie, high)
                    .map(|t| (t, share))
            },
            at,
            height: self.grid.height(here),
            turn: self.turns[usize::from(action.aim)],
            bearing_deg,
            trees: !self.grid.crowns.is_empty(),
        })
    }

    /// Where every ball of an action from a cell ends: `(weight, end)`, weights
    /// adding to 1.
    #[must_use]
    pub fn outcomes(&self, at: [f32; 2], lie: Lie, action: Action) -> Vec<(f64, End)> {
        let Some(shot) = self.shot(at, lie, action) else {
            return Vec::new();
        };
        let each = 1.0 / self.fineness.balls as f64;
        let mut out = Vec::with_capacity(self.fineness.balls);
        for ball in 0..self.fineness.balls {
            shot.ends(ball, |weight, end| {
                out.push((each * f64::from(weight), end));
            });
        }
        out
    }
}

/// One shot from one place, ready to have its balls followed.
pub(super) struct Shot<'a> {
    problem: &'a Problem,
    template: &'a Template,
    /// In wind, the template of the next node and its share.
    other: Option<(&'a Template, f32)>,
    at: [f32; 2],
    height: f32,
    /// Sine and cosine of the bearing.
    turn: [f32; 2],
    bearing_deg: f32,
    trees: bool,
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
    #[inline]
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

    /// The chance that trees stop a ball.
    pub fn stopped(&self, ball: usize) -> f32 {
        if self.trees {
            self.through_trees(ball).map_or(0.0, |(chance, _)| chance)
        } else {
            0.0
        }
    }

    #[inline]
    fn turned(&self, v: [f32; 2]) -> [f32; 2] {
        let [sin, cos] = self.turn;
        [v[0] * cos + v[1] * sin, v[1] * cos - v[0] * sin]
    }

    /// Where a ball rests that no tree stops.
    #[inline]
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

    #[inline]
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
    fn through_trees(&self, index: usize) -> Option<(f32, usize)> {
        let grid = &self.problem.grid;
        let lows = self.template.lows_of(index);
        let mut depth = 0.0_f32;
        let mut cell_of_hit = 0;
        let mut most = 0.0_f32;
        let mut at = 0;
        while at < lows.len() {
            let low = &lows[at];
            let off = self.turned([low.at[0], low.at[1]]);
            let cell = grid.cell(self.at[0] + off[0], self.at[1] + off[1]);
            let clear = grid.clear_m[cell];
            if clear > 0.0 {
                at += 1 + ((clear / LOW_STEP_M) as usize).min(usize::from(low.left));
                continue;
            }
            let [base, top] = grid.crowns[cell];
            let above = low.at[2] + self.height - grid.height(cell);
            if top > 0.0 && above <= top {
                let per_m = if above < base {
                    TRUNK_PER_M
                } else {
                    CROWN_PER_M
                };
                let more = per_m as f32 * low.length;
                let chance = (-depth).exp() * (1.0 - (-more).exp());
                if chance > most {
                    (most, cell_of_hit) = (chance, cell);
                }
                depth += more;
                if depth > CERTAIN_DEPTH {
                    break;
                }
            }
            at += 1;
        }
        (depth > 0.0).then(|| (1.0 - (-depth).exp(), cell_of_hit))
    }
}

/// The line of play at even steps, its end at the pin.
fn line_of_play(hole: &Hole) -> Vec<[f32; 2]> {
    let mut points = Vec::new();
    let mut left = 0.0;
    for leg in hole.line_of_play.windows(2) {
        let (a, b) = (leg[0], leg[1]);
        let length = (b.x - a.x).hypot(b.y - a.y);
        let mut at = left;
        while at < length {
            let share = at / length;
            points.push([
                (a.x + (b.x - a.x) * share) as f32,
                (a.y + (b.y - a.y) * share) as f32,
            ]);
            at += LINE_STEP_M;
        }
        left = at - length;
    }
    points.push([hole.pin.x as f32, hole.pin.y as f32]);
    points
}

fn bearing(from: [f32; 2], to: [f32; 2]) -> f32 {
    (to[0] - from[0])
        .atan2(to[1] - from[1])
        .to_degrees()
        .rem_euclid(360.0)
}

fn turn(from: f32, to: f32) -> f32 {
    (to - from + 180.0).rem_euclid(360.0) - 180.0
}

/// Cells by distance to the pin, nearest first, in bands that are worked one
/// after the other.
pub(super) fn bands(problem: &Problem, band_m: f64) -> Vec<Vec<u32>> {
    let mut keyed: Vec<(u32, u32)> = (0..problem.grid.len())
        .into_par_iter()
        .filter(|cell| problem.lie(*cell).is_some())
        .map(|cell| {
            let away = problem.to_pin_m(problem.grid.middle(cell));
            ((away / band_m) as u32, cell as u32)
        })
        .collect();
    keyed.sort_unstable();
    let mut out: Vec<Vec<u32>> = Vec::new();
    let mut last = u32::MAX;
    for (band, cell) in keyed {
        if band != last {
            out.push(Vec::new());
            last = band;
        }
        out.last_mut().expect("just pushed").push(cell);
    }
    out
}
