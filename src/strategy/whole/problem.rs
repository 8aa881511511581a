//! A hole in cells, what the player can swing from them, and rough outcomes.
//!
//! The rough outcomes are for the screening only: sixteen balls of a swing's
//! template, turned to the aim and put down on the cells. A ball lands by the
//! level template, moved along its descent by as much as the ground at the landing
//! is higher or lower; it runs as on level ground of what it landed on, for the
//! second half of the run of what lies half way. Slopes turn no run. Trees stop a
//! ball with the chances of the flight, felt every 8 m. The evaluation rests on
//! none of this: see [`explicit`](super::explicit).

use std::ops::Range;

use rayon::prelude::*;

use super::action::{AIM_STEP_DEG, AIMS, Action, Fineness};
use super::fan::{Fan, SECTOR_DEG};
use super::grid::Grid;
use super::lie::{LIES, Lie};
use super::relief::Relief;
use super::shot::Shot;
use super::swing::{Kind, Swing, partial_ranges, swings};
use super::template::{NODE_DEG, Templates};
use crate::hole::{Coord, Hole, Surface};
use crate::mdp::Terminal;
use crate::outcome::Day;
use crate::player::Player;
use crate::player::pattern::Pattern;
use crate::sample::points;
use crate::strategy::finish::StrokesToGo;

/// How far a full swing's balls may be sent beside the way the hole goes, degrees.
const BESIDE_DEG: f64 = 12.0;
/// A swing that goes past the pin by more than this, m, and more than a fifth
/// of the way, is not tried.
const PAST_M: f64 = 25.0;
/// A held-back swing that misses the pin's distance by more than this, m, and
/// more than a tenth of the way, is not tried.
const SOFT_M: f64 = 12.0;
/// Balls of a template.
pub(super) const TEMPLATE_BALLS: usize = 16;
/// Steps between two aims that are tried.
const AIM_TRIED: i64 = 2;

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

/// The hole in cells, what the player can swing, and rough outcomes of it.
#[derive(Debug)]
pub struct Problem {
    /// The cells.
    pub grid: Grid,
    /// What the player can swing.
    pub swings: Vec<Swing>,
    /// Where the partial swings of each club stand among them.
    partials: Vec<Range<usize>>,
    pub(super) patterns: Vec<[Option<Pattern>; LIES]>,
    /// Where the tee shot starts.
    pub start: Coord<f64>,
    /// How finely it is cut.
    pub fineness: Fineness,
    /// The pin.
    pub pin: Coord<f64>,
    templates: Templates,
    pub(super) relief: Relief,
    pub(super) to_go: StrokesToGo,
    /// Two club-lengths, m.
    pub lateral_m: f64,
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
        let patterns: Vec<[Option<Pattern>; LIES]> = swings
            .par_iter()
            .map(|swing| {
                Lie::ALL.map(|lie| swing.by_lie[lie as usize].as_ref().map(|m| m.pattern()))
            })
            .collect();
        let points = points(fineness.seed, TEMPLATE_BALLS);
        // Trees on higher ground than the ball's reach higher.
        let relief_m = grid
            .height_m
            .iter()
            .fold(0.0_f32, |m, h| m.max(*h))
            .min(10.0);
        let trees_m = grid.highest_crown_m.map(|m| m + relief_m);
        let lateral_m = 2.0 * player.club_length_m;
        let (templates, relief) = rayon::join(
            || Templates::of_swings(&swings, &patterns, &points, day, trees_m),
            || Relief::of(&grid, hole.pin, lateral_m),
        );
        Self {
            line: line_of_play(hole),
            pin: hole.pin,
            to_go: StrokesToGo::for_handicap(player.handicap),
            calm: templates.nodes == 1,
            start,
            grid,
            partials: partial_ranges(&swings),
            swings,
            patterns,
            fineness,
            templates,
            relief,
            lateral_m,
        }
    }

    /// The same hole and player on another day.
    #[must_use]
    pub fn on(&self, day: &Day) -> Self {
        let templates = self.templates.on(day);
        Self {
            line: self.line.clone(),
            pin: self.pin,
            to_go: self.to_go.clone(),
            calm: templates.nodes == 1,
            start: self.start,
            grid: self.grid.clone(),
            swings: self.swings.clone(),
            partials: self.partials.clone(),
            patterns: self.patterns.clone(),
            fineness: self.fineness,
            templates,
            relief: self.relief.clone(),
            lateral_m: self.lateral_m,
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

    /// The putts from this far, m.
    #[must_use]
    pub fn green(&self, distance_m: f32) -> Terminal {
        let [one, two, three] = self.to_go.putt_chances(f64::from(distance_m));
        Terminal {
            mean: self.putts(distance_m),
            by_cost: [0.0, one, two, three],
        }
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

    /// Where the pin stands.
    #[must_use]
    pub fn pin(&self) -> Coord<f64> {
        self.pin
    }

    /// Distance from a cell's middle to the pin, m.
    #[must_use]
    pub fn pin_distance_m(&self, cell: usize) -> f32 {
        self.to_pin_m(self.grid.middle(cell)) as f32
    }

    /// Distance to the pin, m.
    pub(super) fn to_pin_m(&self, at: [f32; 2]) -> f64 {
        // Asked for often, and never near overflow: `hypot` costs several times as much.
        let (dx, dy) = (f64::from(at[0]) - self.pin.x, f64::from(at[1]) - self.pin.y);
        (dx * dx + dy * dy).sqrt()
    }

    /// The cells a ball may be dropped in from an [`End::Penalty`].
    #[must_use]
    pub fn drops(&self, node: u32) -> &[u32] {
        &self.relief.drops[node as usize]
    }

    pub(super) fn nodes(&self) -> usize {
        self.relief.drops.len()
    }

    /// Every shot that is tried from a place in a lie, in a fixed order: aims by
    /// `AIM_TRIED` steps. `thin` leaves out held-back swings and every second aim.
    pub fn actions(&self, at: [f32; 2], lie: Lie, thin: bool, out: &mut Vec<Action>) {
        out.clear();
        let to_pin = self.to_pin_m(at);
        let pin_deg = self.pin_deg(at);
        let along = self.along(at);
        let node = self.node(pin_deg).0;
        let partials: Vec<Range<usize>> = self
            .partials
            .iter()
            .map(|all| self.partials_near(all, lie, node, to_pin))
            .collect();
        for (index, swing) in self.swings.iter().enumerate() {
            if self.is_out_of_reach(swing, index, lie, to_pin)
                || matches!(swing.kind, Kind::Partial(_))
                    && !partials.iter().any(|near| near.contains(&index))
                || matches!(swing.kind, Kind::Soft(_)) && thin
            {
                continue;
            }
            let Some(template) = self.templates.of(index, swing.flies_as(lie), node) else {
                continue;
            };
            let total = f64::from(template.total_m);
            let finish = f64::from(template.finish_deg);
            let mut push = |range_deg: [f64; 2], step: i64| {
                let [low, high] =
                    range_deg.map(|deg| ((deg - finish) / AIM_STEP_DEG).round() as i64);
                for aim in (low..=high).step_by((step * AIM_TRIED) as usize) {
                    out.push(Action {
                        swing: index as u16,
                        aim: aim.rem_euclid(AIMS as i64) as u16,
                    });
                }
            };
            let step = if thin { 2 } else { 1 };
            match swing.kind {
                Kind::Punch(_) => push([-180.0, 179.0], 3 * step),
                Kind::Partial(_) => push([-6.0, 6.0], step),
                Kind::Soft(_) if (total - to_pin).abs() > SOFT_M.max(0.1 * to_pin) => {}
                Kind::Full | Kind::Soft(_) => {
                    if total > to_pin + PAST_M.max(0.2 * to_pin) {
                        continue;
                    }
                    let way = bearing(at, self.on_line(along + total));
                    let turn = f64::from(turn(pin_deg, way));
                    let range = [turn.min(0.0) - BESIDE_DEG, turn.max(0.0) + BESIDE_DEG];
                    // Among trees the gap decides, not the degree.
                    let step = if lie == Lie::Recovery { 2 * step } else { step };
                    push(range, step);
                }
            }
        }
    }

    /// Whether a swing goes too far even against the wind, or not far enough even with
    /// it behind: those are flown along one bearing each, and not along all.
    fn is_out_of_reach(&self, swing: &Swing, index: usize, lie: Lie, to_pin: f64) -> bool {
        let total = |node: usize| {
            let template = self.templates.of(index, swing.flies_as(lie), node)?;
            Some(f64::from(template.total_m))
        };
        let (against, behind) = self.templates.along_the_wind;
        let past = match swing.kind {
            Kind::Full => PAST_M.max(0.2 * to_pin),
            Kind::Soft(_) => SOFT_M.max(0.1 * to_pin),
            Kind::Partial(_) | Kind::Punch(_) => return false,
        };
        total(against).is_some_and(|total| total > to_pin + past)
            || matches!(swing.kind, Kind::Soft(_))
                && total(behind).is_some_and(|total| total < to_pin - past)
    }

    /// Of the partial swings of one club those that go about as far as the pin is. They
    /// stand side by side, from long to short: few have to be flown to find them.
    fn partials_near(
        &self,
        of_club: &Range<usize>,
        lie: Lie,
        node: usize,
        to_pin: f64,
    ) -> Range<usize> {
        let first = of_club.start;
        let all = &self.swings[of_club.clone()];
        let within = 3.0 + 0.15 * to_pin;
        let longer_than = |total_m: f64| {
            first
                + partition(all.len(), |k| {
                    let template = self.templates.of(first + k, all[k].flies_as(lie), node);
                    template.is_some_and(|t| f64::from(t.total_m) > total_m)
                })
        };
        longer_than(to_pin + within)..longer_than(to_pin - within)
    }

    /// How far a swing goes from a lie towards the pin, m; none where it is not
    /// played.
    pub(super) fn total_m(&self, swing: usize, lie: Lie, pin_deg: f32) -> Option<f64> {
        let lie = self.swings.get(swing)?.flies_as(lie);
        let template = self.templates.of(swing, lie, self.node(pin_deg).0)?;
        Some(f64::from(template.total_m))
    }

    /// Bearing of the pin, degrees.
    #[must_use]
    pub fn pin_deg(&self, at: [f32; 2]) -> f32 {
        bearing(at, [self.pin.x as f32, self.pin.y as f32])
    }

    /// Distance to the line of play, m.
    pub(super) fn beside_m(&self, at: [f32; 2]) -> f32 {
        let away = |p: &[f32; 2]| (p[0] - at[0]).powi(2) + (p[1] - at[1]).powi(2);
        self.line
            .iter()
            .map(away)
            .fold(f32::INFINITY, f32::min)
            .sqrt()
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

    /// A shot made ready, from where the fan opens: none when the swing is not played from this lie.
    pub(super) fn shot<'a>(
        &'a self,
        fan: &'a Fan<'a>,
        lie: Lie,
        action: Action,
    ) -> Option<Shot<'a>> {
        let at = fan.at;
        let swing = self.swings.get(usize::from(action.swing))?;
        let lie = swing.flies_as(lie);
        let bearing_deg = action.bearing_deg(f64::from(self.pin_deg(at))) as f32;
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
            turn: bearing_deg.to_radians().sin_cos().into(),
            bearing_deg,
            trees: !self.grid.crowns.is_empty(),
            fan,
            sector: bearing_deg / SECTOR_DEG,
        })
    }
}

/// How many of so many hold, those first.
fn partition(count: usize, holds: impl Fn(usize) -> bool) -> usize {
    let (mut low, mut high) = (0, count);
    while low < high {
        let middle = usize::midpoint(low, high);
        if holds(middle) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    low
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
