//! Rough values of a hole, and from them a handful of shots worth pricing.
//!
//! Blocks of cells with one lie share a value, found by two sweeps of value
//! iteration from the pin outwards over templates. Nothing that is evaluated rests
//! on them: they say which shots of a place are priced by the true flight and
//! ground, and what a place is worth that those never reach.

use std::sync::OnceLock;

use rayon::prelude::*;

use super::action::{AIMS, Action};
use super::fan::Fan;
use super::lie::{LIES, Lie};
use super::problem::{End, Problem, TEMPLATE_BALLS};
use super::shot::Shot;
use super::swing::{Kind, Swing};
use crate::vectors::widest;

/// Side of a block close to the pin, m.
const NEAR_BLOCK_M: f32 = 4.0;
/// Blocks further out: their sides, in such, and how far from the pin their middle is
/// at least, m; widest first.
const BLOCKS: [(usize, f64); 2] = [(4, 180.0), (2, 44.0)];
/// Blocks further from the line of play than this keep the table's value, m.
const CORRIDOR_M: f32 = 60.0;
/// Bands that are worked one after the other: how far from the pin they begin, and how
/// wide they are, m. From far off nobody plays to the same band.
const BANDS_M: [(f64, f64); 3] = [(0.0, 8.0), (44.0, 12.0), (180.0, 32.0)];
/// Balls of the first sweep.
const FIRST_BALLS: usize = 8;
/// Balls of a first look at a shot.
const LOOK_BALLS: usize = 4;
/// How much dearer than the best a shot of a sweep may be on those to be looked at again,
/// strokes. The evaluation moves by less than 0.0001 of a stroke from 0.5 to 0.3 (nine holes,
/// three seeds).
const SWEEP_MARGIN: f64 = 0.3;
/// How much dearer it may be on all balls to come on the shortlist.
const SHORT_MARGIN: f64 = 0.5;
/// A sweep puts at most so many shots on a shortlist.
const SHORT: usize = 24;
/// Aims of one swing this near to each other are looked at together, steps.
const NEAR_STEPS: usize = 2;
/// The looks at a place's list. A shot that is dearer than the best by the last
/// margin is not kept. A first margin of 0.3 costs 0.0004 strokes, one of 0.25 on eight
/// balls 0.0006 more (two seeds).
const LIST_LOOKS: [(usize, f64); 3] = [(LOOK_BALLS, 0.4), (8, 0.4), (TEMPLATE_BALLS, 0.35)];
/// The looks for one shot only.
const QUICK_LOOKS: [(usize, f64); 2] = [(LOOK_BALLS, SWEEP_MARGIN), (TEMPLATE_BALLS, 0.0)];
/// At most so many are.
const KEPT: usize = 40;
/// Where values are swept until they stay: so many times all shots are looked at anew, and so
/// many sweeps each time; and what no value grows beyond, strokes.
const LOOKS_ROUND: usize = 2;
const SETTLING: usize = 10;
const MOST: f32 = 30.0;

/// Rough values.
#[derive(Debug)]
pub(super) struct Screening {
    columns: usize,
    /// By the smallest blocks, the block that one belongs to.
    block: Vec<u32>,
    /// By cell, for the lie of its middle.
    value: Vec<f32>,
    /// The cell that speaks for a block and lie.
    leader: Vec<u32>,
    /// Shots of the sweeps that may be the best there.
    shortlists: Vec<Vec<Action>>,
    /// Shots near the best there, best first, with their rough strokes.
    lists: Vec<OnceLock<Vec<(f32, Action)>>>,
    /// The shot there where hardly any hole comes by.
    quick: Vec<OnceLock<Action>>,
    /// Least strokes from every crossing's drops.
    nodes: Vec<f32>,
    /// Lists keep what is dear on their first balls too.
    lists_all: bool,
}

const NOBODY: u32 = u32::MAX;

/// A shot and what its first balls came to.
struct Tally<'a> {
    action: Action,
    shot: Shot<'a>,
    balls: usize,
    /// Strokes after the balls that are not replayed.
    sum: f64,
    replayed: f64,
    strokes: f64,
}

/// A block's cells with one lie.
#[derive(Clone)]
struct Group {
    number: usize,
    leader: u32,
    cells: Vec<u32>,
}

impl Screening {
    /// Solves a problem roughly, beginning with `before` where it is given.
    pub fn of(problem: &Problem, before: Option<&Self>) -> Self {
        let (mut out, members) = Self::begun(problem, before, CORRIDOR_M);
        // Values of another wind or pin are near enough for one sweep.
        let rounds: &[usize] = match before {
            None => &[FIRST_BALLS, TEMPLATE_BALLS],
            Some(_) => &[TEMPLATE_BALLS],
        };
        let looks = |balls: usize| [(LOOK_BALLS, SWEEP_MARGIN), (balls, SHORT_MARGIN)];
        for balls in rounds {
            out.sweep(problem, &members, &looks(*balls));
        }
        out
    }

    /// The same until values stay, over the whole map: two sweeps take a hole that is hardly
    /// reached for one that is, and put nothing on the shortlists that leads there.
    pub fn settled(problem: &Problem) -> Self {
        let (mut out, members) = Self::begun(problem, None, f32::INFINITY);
        out.lists_all = true;
        for _ in 0..LOOKS_ROUND {
            out.shortlists.iter_mut().for_each(Vec::clear);
            for _ in 0..SETTLING {
                out.sweep(problem, &members, &[(TEMPLATE_BALLS, f64::INFINITY)]);
            }
        }
        out
    }

    /// Values that iteration begins with, and the groups within so much of the line of play.
    fn begun(problem: &Problem, before: Option<&Self>, corridor_m: f32) -> (Self, Vec<Vec<Group>>) {
        let [width, height] = problem
            .grid
            .size
            .map(|n| (n as f32 * problem.grid.cell_m / NEAR_BLOCK_M).ceil() as usize + BLOCKS[0].0);
        let blocks = width * height * LIES;
        let before = before.filter(|b| b.value.len() == problem.grid.len());
        let value = before.map_or_else(
            || {
                (0..problem.grid.len())
                    .map(|cell| match problem.lie(cell) {
                        Some(_) => problem.table(cell) as f32,
                        None => f32::INFINITY,
                    })
                    .collect()
            },
            |b| b.value.clone(),
        );
        let block = (0..width * height).map(|fine| {
            let [column, row] = block_of(problem, [fine % width, fine / width]);
            (row * width + column) as u32
        });
        let mut out = Self {
            columns: width,
            block: block.collect(),
            value,
            leader: vec![NOBODY; blocks],
            shortlists: vec![Vec::new(); blocks],
            lists: std::iter::repeat_with(OnceLock::new).take(blocks).collect(),
            quick: std::iter::repeat_with(OnceLock::new).take(blocks).collect(),
            nodes: vec![0.0; problem.nodes()],
            lists_all: false,
        };
        let members = out.lead(problem, corridor_m);
        out.refresh_nodes(problem);
        (out, members)
    }

    /// The block of a place, and lie.
    pub fn group(&self, problem: &Problem, at: [f32; 2], lie: Lie) -> usize {
        let part = |i: usize| {
            let most = problem.grid.size[i] as f32 * problem.grid.cell_m;
            (at[i] - problem.grid.corner[i]).clamp(0.0, most)
        };
        let [column, row] = std::array::from_fn(|i| (part(i) / NEAR_BLOCK_M) as usize);
        self.block[row * self.columns + column] as usize * LIES + lie as usize
    }

    /// Names every block's leader, the member nearest to their mean; the groups
    /// with their members in bands from the pin.
    fn lead(&mut self, problem: &Problem, corridor_m: f32) -> Vec<Vec<Group>> {
        let mut groups: Vec<Vec<u32>> = vec![Vec::new(); self.leader.len()];
        for cell in 0..problem.grid.len() {
            if let Some(lie) = problem.lie(cell) {
                let group = self.group(problem, problem.grid.middle(cell), lie);
                groups[group].push(cell as u32);
            }
        }
        let mut bands: Vec<Vec<Group>> = Vec::new();
        for (group, cells) in groups.into_iter().enumerate() {
            let Some(&first) = cells.first() else {
                continue;
            };
            let mut mean = [0.0_f32; 2];
            for &cell in &cells {
                let at = problem.grid.middle(cell as usize);
                mean = [mean[0] + at[0], mean[1] + at[1]];
            }
            mean = mean.map(|m| m / cells.len() as f32);
            let away = |cell: u32| {
                let at = problem.grid.middle(cell as usize);
                (at[0] - mean[0]).powi(2) + (at[1] - mean[1]).powi(2)
            };
            let leader = cells
                .iter()
                .copied()
                .fold(first, |a, b| if away(b) < away(a) { b } else { a });
            self.leader[group] = leader;
            let at = problem.grid.middle(leader as usize);
            if problem.beside_m(at) > corridor_m {
                continue;
            }
            let band = band(problem.to_pin_m(at));
            if bands.len() <= band {
                bands.resize(band + 1, Vec::new());
            }
            bands[band].push(Group {
                number: group,
                leader,
                cells,
            });
        }
        bands
    }

    fn refresh_nodes(&mut self, problem: &Problem) {
        for node in 0..self.nodes.len() {
            let least = problem.drops(node as u32).iter().map(|&cell| {
                let cell = cell as usize;
                match problem.lie(cell) {
                    Some(_) => self.value[cell],
                    // Back on the line can end on the green.
                    None => problem.putts(problem.pin_distance_m(cell)) as f32,
                }
            });
            self.nodes[node] = least.fold(f32::INFINITY, f32::min);
        }
    }

    /// One sweep; the second looks only at what the first put on its shortlists.
    fn sweep(&mut self, problem: &Problem, bands: &[Vec<Group>], looks: &[(usize, f64)]) {
        for band in bands {
            let found: Vec<(f32, Vec<Action>)> = band
                .par_iter()
                .map(|group| {
                    let cell = group.leader as usize;
                    let (Some(lie), at) = (problem.lie(cell), problem.grid.middle(cell)) else {
                        return (f32::INFINITY, Vec::new());
                    };
                    let here = f64::from(self.value[cell]);
                    let mut actions = self.shortlists[group.number].clone();
                    if actions.is_empty() {
                        problem.actions(at, lie, true, &mut actions);
                    }
                    let mut short = self.ranked(problem, (at, lie, here), &actions, looks);
                    short.truncate(SHORT);
                    let best = match short.first() {
                        Some(best) => best.0 as f32,
                        None if self.lists_all => MOST,
                        None => self.value[cell],
                    };
                    let best = if self.lists_all { best.min(MOST) } else { best };
                    (best, short.into_iter().map(|s| s.1).collect())
                })
                .collect();
            for (group, (strokes, actions)) in band.iter().zip(found) {
                for &cell in &group.cells {
                    self.value[cell as usize] = strokes;
                }
                self.shortlists[group.number] = actions;
            }
            self.refresh_nodes(problem);
        }
    }

    /// Actions by their rough strokes, the best first. At every look they are followed
    /// up to so many balls, and those left out that are further off the best than
    /// its margin.
    fn ranked(
        &self,
        problem: &Problem,
        (at, lie, here): ([f32; 2], Lie, f64),
        actions: &[Action],
        looks: &[(usize, f64)],
    ) -> Vec<(f64, Action)> {
        widest(
            #[inline(always)]
            || self.ranked_here(problem, (at, lie, here), actions, looks),
        )
    }

    #[inline(always)]
    fn ranked_here(
        &self,
        problem: &Problem,
        (at, lie, here): ([f32; 2], Lie, f64),
        actions: &[Action],
        looks: &[(usize, f64)],
    ) -> Vec<(f64, Action)> {
        let fan = Fan::of(&problem.grid, at);
        let mut tallies: Vec<Tally<'_>> = actions
            .iter()
            .filter_map(|&action| {
                Some(Tally {
                    action,
                    shot: problem.shot(&fan, lie, action)?,
                    balls: 0,
                    sum: 0.0,
                    replayed: 0.0,
                    strokes: f64::INFINITY,
                })
            })
            .collect();
        for &(balls, margin) in looks {
            let mut least = f64::INFINITY;
            for tally in &mut tallies {
                self.follow(problem, tally, here, balls);
                least = least.min(tally.strokes);
            }
            tallies.retain(|t| t.strokes.is_finite() && t.strokes <= least + margin);
        }
        let mut ranked: Vec<(f64, Action)> =
            tallies.iter().map(|t| (t.strokes, t.action)).collect();
        ranked.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        ranked
    }

    /// Adds the template's balls up to the first `balls` to a tally.
    #[inline(always)]
    fn follow(&self, problem: &Problem, tally: &mut Tally<'_>, here: f64, balls: usize) {
        let (mut sum, mut replayed) = (tally.sum, tally.replayed);
        for ball in tally.balls..balls {
            tally.shot.ends(ball, |weight, end| match end {
                End::Lies(cell) => sum += f64::from(weight * self.value[cell as usize]),
                End::Green(away) => sum += f64::from(weight) * problem.putts(away),
                End::Penalty(node) => {
                    let dropped = f64::from(self.nodes[node as usize]);
                    sum += f64::from(weight) * (1.0 + dropped.min(here));
                }
                End::Replay => replayed += f64::from(weight),
            });
        }
        (tally.sum, tally.replayed, tally.balls) = (sum, replayed, balls);
        let count = balls as f64;
        tally.strokes = if replayed >= count * (1.0 - 1.0e-6) {
            f64::INFINITY
        } else {
            // Q = 1 + (sum + replayed (1 + Q)) / count.
            (count + sum + replayed) / (count - replayed)
        };
    }

    /// Rough strokes of an action on its whole template.
    pub fn price_of(
        &self,
        problem: &Problem,
        at: [f32; 2],
        lie: Lie,
        here: f64,
        action: Action,
    ) -> f64 {
        let all = [(TEMPLATE_BALLS, f64::INFINITY)];
        self.ranked(problem, (at, lie, here), &[action], &all)
            .first()
            .map_or(f64::INFINITY, |best| best.0)
    }

    /// Rough strokes from a place.
    pub fn value_at(&self, problem: &Problem, at: [f32; 2], lie: Lie) -> f64 {
        let leader = self.leader[self.group(problem, at, lie)];
        let cell = if leader == NOBODY {
            problem.grid.cell(at[0], at[1])
        } else {
            leader as usize
        };
        let value = f64::from(self.value[cell]);
        if value.is_finite() {
            value
        } else {
            problem.table_at(lie.surface(), at)
        }
    }

    /// Shots near the best from a place, best first; as its block's leader has
    /// them, their distances moved to the place's own; at most `count`.
    pub fn shots(
        &self,
        problem: &Problem,
        at: [f32; 2],
        lie: Lie,
        count: usize,
    ) -> Vec<(f32, Action)> {
        let group = self.group(problem, at, lie);
        let from = self.speaks_from(problem, group);
        let list = self.lists[group].get_or_init(|| {
            let actions = Self::around(problem, from, lie, &self.shortlists[group]);
            self.listed(problem, from, lie, &actions)
        });
        let ratio = problem.to_pin_m(at) / problem.to_pin_m(from).max(1.0);
        let pin_deg = problem.pin_deg(at);
        list.iter()
            .take(count)
            .map(|&(strokes, action)| (strokes, fitted(problem, action, lie, ratio, pin_deg)))
            .collect()
    }

    /// The best shot from a place, for places that hardly any hole comes by: looked for
    /// only near the first of the sweeps' shortlist. None where they did not look.
    pub fn quick_shot(&self, problem: &Problem, at: [f32; 2], lie: Lie) -> Option<Action> {
        let group = self.group(problem, at, lie);
        let first = self.shortlists[group].get(..1)?;
        let from = self.speaks_from(problem, group);
        let action = *self.quick[group].get_or_init(|| {
            let here = self.value_at(problem, from, lie);
            let mut actions = Self::around(problem, from, lie, first);
            actions.retain(|a| steps_apart(*a, first[0]) <= NEAR_STEPS);
            let found = self.ranked(problem, (from, lie, here), &actions, &QUICK_LOOKS);
            found.first().map_or(first[0], |best| best.1)
        });
        let ratio = problem.to_pin_m(at) / problem.to_pin_m(from).max(1.0);
        Some(fitted(problem, action, lie, ratio, problem.pin_deg(at)))
    }

    /// The place that speaks for a block and lie: its leader's, or the block's own,
    /// whoever asks first.
    fn speaks_from(&self, problem: &Problem, group: usize) -> [f32; 2] {
        let leader = self.leader[group];
        if leader != NOBODY {
            return problem.grid.middle(leader as usize);
        }
        let block = group / LIES;
        let part = [block % self.columns, block / self.columns];
        std::array::from_fn(|i| problem.grid.corner[i] + (part[i] + 1) as f32 * NEAR_BLOCK_M)
    }

    /// Every shot from a place, the best first, those far off the best left out.
    pub fn list(&self, problem: &Problem, at: [f32; 2], lie: Lie) -> Vec<(f32, Action)> {
        let mut actions = Vec::new();
        problem.actions(at, lie, false, &mut actions);
        self.listed(problem, at, lie, &actions)
    }

    /// A shortlist with what the sweeps left out near it: the aims between, and
    /// held-back swings.
    fn around(problem: &Problem, at: [f32; 2], lie: Lie, short: &[Action]) -> Vec<Action> {
        let mut all = Vec::new();
        problem.actions(at, lie, false, &mut all);
        if short.is_empty() {
            return all;
        }
        let near = |a: &Action, b: &Action| a.swing == b.swing && steps_apart(*a, *b) <= NEAR_STEPS;
        let soft = |a: &Action| matches!(problem.swings[usize::from(a.swing)].kind, Kind::Soft(_));
        all.retain(|a| soft(a) || short.iter().any(|b| near(a, b)));
        all
    }

    fn listed(
        &self,
        problem: &Problem,
        at: [f32; 2],
        lie: Lie,
        actions: &[Action],
    ) -> Vec<(f32, Action)> {
        let here = self.value_at(problem, at, lie);
        let looks = match self.lists_all {
            true => &[(TEMPLATE_BALLS, f64::INFINITY)][..],
            false => &LIST_LOOKS,
        };
        let mut list = self.ranked(problem, (at, lie, here), actions, looks);
        if lie != Lie::Tee {
            list.truncate(KEPT);
        }
        list.into_iter().map(|(s, a)| (s as f32, a)).collect()
    }
}

/// The block that one of the smallest belongs to: the widest whose middle is far enough
/// from the pin for it.
fn block_of(problem: &Problem, fine: [usize; 2]) -> [usize; 2] {
    let wide = BLOCKS.iter().map(|&(sides, least_m)| {
        let block = fine.map(|f| f / sides * sides);
        let middle = std::array::from_fn(|i| {
            problem.grid.corner[i] + (block[i] as f32 + sides as f32 / 2.0) * NEAR_BLOCK_M
        });
        (block, problem.to_pin_m(middle) >= least_m)
    });
    wide.into_iter()
        .find_map(|(block, fits)| fits.then_some(block))
        .unwrap_or(fine)
}

/// The band of a place this far from the pin, the nearest first.
fn band(to_pin_m: f64) -> usize {
    let ends = BANDS_M.iter().skip(1).map(|b| b.0).chain([f64::INFINITY]);
    BANDS_M
        .iter()
        .zip(ends)
        .map(|(&(from_m, width_m), to_m)| {
            ((to_pin_m.min(to_m) - from_m) / width_m).max(0.0).ceil() as usize
        })
        .sum()
}

/// A partial swing for a place whose distance is `ratio` of the leader's.
fn fitted(problem: &Problem, action: Action, lie: Lie, ratio: f64, pin_deg: f32) -> Action {
    let swing = usize::from(action.swing);
    let Swing { kind, club, .. } = problem.swings[swing];
    if !matches!(kind, Kind::Partial(_)) {
        return action;
    }
    let Some(total) = problem.total_m(swing, lie, pin_deg) else {
        return action;
    };
    let wanted = total * ratio;
    let off = |k: usize| -> Option<f64> {
        let other = problem.swings.get(k)?;
        let partial = matches!(other.kind, Kind::Partial(_)) && other.club == club;
        let total = problem.total_m(k, lie, pin_deg).filter(|_| partial)?;
        Some((total - wanted).abs())
    };
    // A club's partial swings stand side by side, from long to short.
    let (mut best, mut least) = (swing, (total - wanted).abs());
    while let Some(longer) = best.checked_sub(1).and_then(off).filter(|o| *o < least) {
        (best, least) = (best - 1, longer);
    }
    while let Some(shorter) = off(best + 1).filter(|o| *o < least) {
        (best, least) = (best + 1, shorter);
    }
    Action {
        swing: best as u16,
        ..action
    }
}

/// How far apart two aims are, in steps.
pub(super) fn steps_apart(a: Action, b: Action) -> usize {
    let off = usize::from(a.aim).abs_diff(usize::from(b.aim));
    off.min(AIMS - off)
}
