//! The round on one page: each hole as a straightened ladder, all at one scale and with their tees
//! in line, nine on a page.
//!
//! A ladder is the land square to the line of play, which stands upright. It shows the fairway as a
//! band, what lies left and right of it, where the usual ball goes and how far to the sides nine in
//! ten and half of the balls end. Below each stand its club, the better side to miss on and what
//! aiming down the middle costs.

use super::frame::Area;
use super::ground::hatch;
use super::labels::{Board, Line};
use super::page::{Drawn, LARGE, Land, Lengths, MEDIUM, PAGE, Placed, READ, SMALL, area, fixed};
use super::panel::{compass, is_windy, put, rule};
use super::scene::{self, Anchor, Fill, Node, Point, Step, Stroke, palette};
use super::sheet::{self, LEFT, RIGHT};
use super::text;
use crate::hole::plane::Plane;
use crate::hole::{Patch, Surface};
use crate::plan::scene::{Track, ahead_and_right, along, bearing_deg};
use crate::plan::sentence::{capital, club};
use crate::plan::why::cost_alone;
use crate::plan::{LonLat, Plan, card};
use geo::Coord;

/// Ladders on a page.
pub const ON_A_PAGE: usize = 9;
/// The ladders' place on the page, beside the numbers of their rungs; their widest.
const FIRST: f64 = 118.0;
const TOP: f64 = 168.0;
const BOTTOM: f64 = 1_262.0;
const WIDEST: f64 = 300.0;
/// White between ladders, behind the tee and past the pin, m.
const BETWEEN: f64 = 8.0;
const BEHIND_M: f64 = 6.0;
const PAST_M: f64 = 22.0;
/// From a row of land to the next, m.
const ROW_M: f64 = 2.5;
/// Bends of a line of play are rounded over so far to either side, m.
const ROUND_M: f64 = 45.0;

/// One hole of a round.
#[derive(Clone, Copy, Debug)]
pub struct Hole<'a> {
    /// Its plan.
    pub plan: &'a Plan,
    /// Its land.
    pub land: Land<'a>,
}

/// A straightened hole: its line of play upright from the peg's level on.
struct Ladder<'a> {
    hole: &'a Hole<'a>,
    placed: Placed,
    track: Track,
    peg_m: f64,
    long_m: f64,
}

impl<'a> Ladder<'a> {
    fn of(hole: &'a Hole<'a>) -> Self {
        let plane = Plane::new(hole.land.origin_lon_lat);
        let to_plane = |p: LonLat| plane.to_plane(p.lon, p.lat);
        let placed = Placed::of(hole.plan, &hole.land, &to_plane);
        let line = hole.land.line_of_play;
        let track = if line.len() < 2 {
            Track::new(&[placed.peg, placed.pin])
        } else {
            Track::new(line)
        };
        let peg_m = track.place(placed.peg).along_m;
        let long_m = track.place(placed.pin).along_m - peg_m;
        Self {
            hole,
            placed,
            track,
            peg_m,
            long_m: long_m.clamp(20.0, 1_000.0),
        }
    }

    /// The middle of a rung and its direction: bends of the line of play are rounded, so that what is
    /// straightened has no corner.
    fn rung(&self, along_m: f64) -> (Coord<f64>, f64) {
        let parts = -4..=4_i32;
        let count = f64::from(parts.clone().count() as u32);
        let sum = parts.fold(Coord { x: 0.0, y: 0.0 }, |sum, part| {
            let at = self.track.at(along_m + f64::from(part) * ROUND_M / 4.0).0;
            Coord {
                x: sum.x + at.x / count,
                y: sum.y + at.y / count,
            }
        });
        let ends = [-1.0, 1.0].map(|sign| self.track.at(along_m + sign * ROUND_M).0);
        (sum, bearing_deg(ends[0], ends[1]))
    }

    /// Right of the line and ahead of the peg, m: on which rung a place lies.
    fn straight(&self, at: Coord<f64>) -> Point {
        let mut along_m = self.track.place(at).along_m;
        let mut right_m = 0.0;
        for _ in 0..8 {
            let (from, bearing) = self.rung(along_m);
            let [ahead, right] = ahead_and_right(from, bearing, at);
            (along_m, right_m) = (along_m + 0.8 * ahead, right);
        }
        [right_m, along_m - self.peg_m]
    }
}

/// The paper of one ladder.
struct Paper {
    area: Area,
    per_m: f64,
    foot: f64,
}

impl Paper {
    fn of(&self, [right_m, ahead_m]: Point) -> Point {
        [
            (self.area.left + self.area.right) / 2.0 + right_m * self.per_m,
            self.foot - ahead_m * self.per_m,
        ]
    }

    fn half_m(&self) -> f64 {
        self.area.width() / 2.0 / self.per_m
    }
}

/// A stretch of a patch across the line of play: its left and right end, m.
type Span = [f64; 2];

/// The stretches of a patch along a rung, by its outline's crossings.
fn spans(patch: &Patch, (from, bearing): (Coord<f64>, f64), half_m: f64) -> Vec<Span> {
    let tip = along(from, bearing + 90.0, 1.0);
    let right = [tip.x - from.x, tip.y - from.y];
    let mut cuts = Vec::new();
    let rings = std::iter::once(patch.outline.exterior()).chain(patch.outline.interiors());
    for leg in rings.flat_map(|ring| ring.0.windows(2)) {
        let off = |c: Coord<f64>| {
            let (x, y) = (c.x - from.x, c.y - from.y);
            [x * right[0] + y * right[1], x * right[1] - y * right[0]]
        };
        let (a, b) = (off(leg[0]), off(leg[1]));
        if (a[1] > 0.0) != (b[1] > 0.0) {
            cuts.push(a[0] + (b[0] - a[0]) * a[1] / (a[1] - b[1]));
        }
    }
    cuts.sort_by(f64::total_cmp);
    let pairs = cuts.chunks_exact(2).map(|pair| [pair[0], pair[1]]);
    let seen = pairs.filter(|[a, b]| *b > -half_m && *a < half_m);
    let edge = half_m + 2.0;
    seen.map(|[a, b]| [a.max(-edge), b.min(edge)]).collect()
}

/// A patch straightened: stretches that follow on each other make one outline.
fn straightened(patch: &Patch, rungs: &[(Coord<f64>, f64)], paper: &Paper) -> Vec<Vec<Point>> {
    let half_m = paper.half_m();
    let mut open: Vec<Vec<(f64, Span)>> = Vec::new();
    let mut outlines = Vec::new();
    let close = |run: Vec<(f64, Span)>, outlines: &mut Vec<Vec<Point>>| {
        let left = run.iter().map(|(ahead, span)| [span[0], *ahead]);
        let right = run.iter().rev().map(|(ahead, span)| [span[1], *ahead]);
        let mut ring: Vec<Point> = left.chain(right).map(|at| paper.of(at)).collect();
        if let [one] = run.as_slice() {
            // One row alone is as high as a row.
            let (low, high) = (one.0 - ROW_M / 2.0, one.0 + ROW_M / 2.0);
            let [a, b] = one.1;
            ring = [[a, low], [a, high], [b, high], [b, low]]
                .map(|at| paper.of(at))
                .into();
        }
        outlines.push(ring);
    };
    for (row, rung) in rungs.iter().enumerate() {
        let ahead_m = row as f64 * ROW_M - BEHIND_M;
        let here = spans(patch, *rung, half_m);
        let mut next: Vec<Vec<(f64, Span)>> = Vec::new();
        let mut left: Vec<Option<Vec<(f64, Span)>>> = open.drain(..).map(Some).collect();
        for span in here {
            let follows = |run: &Option<Vec<(f64, Span)>>| {
                let last = run.as_ref().and_then(|run| run.last());
                last.is_some_and(|(_, [a, b])| *a < span[1] && span[0] < *b)
            };
            let known = left.iter().position(follows);
            let mut run = known.and_then(|k| left[k].take()).unwrap_or_default();
            run.push((ahead_m, span));
            next.push(run);
        }
        for run in left.into_iter().flatten() {
            close(run, &mut outlines);
        }
        open = next;
    }
    for run in open {
        close(run, &mut outlines);
    }
    outlines
}

/// The land of a ladder, in the order of overlap.
fn land(ladder: &Ladder<'_>, paper: &Paper) -> Vec<Node> {
    let mut nodes = Vec::new();
    let count = ((ladder.long_m + PAST_M + BEHIND_M) / ROW_M).ceil() as usize;
    let rungs: Vec<(Coord<f64>, f64)> = (0..=count)
        .map(|row| ladder.rung(ladder.peg_m + row as f64 * ROW_M - BEHIND_M))
        .collect();
    for patch in ladder.hole.land.patches {
        let (fill, edge) = match patch.surface {
            Surface::Rough => continue,
            Surface::Tee => (palette::GREEN, None),
            Surface::Fairway => (palette::FAIRWAY, Some((palette::FAIRWAY_EDGE, 1.2))),
            Surface::Green => (palette::GREEN, Some((palette::INK, 1.8))),
            Surface::Bunker => (palette::SAND, Some((palette::SAND_EDGE, 1.6))),
            Surface::Trees => (palette::WOOD, Some((palette::WOOD_EDGE, 1.4))),
            Surface::PenaltyRed => (palette::WATER, Some((palette::RED, 2.4))),
            Surface::PenaltyYellow => (palette::WATER, Some((palette::YELLOW, 3.0))),
            Surface::OutOfBounds => (palette::PAPER, Some((palette::INK, 2.4))),
        };
        let outlines = straightened(patch, &rungs, paper);
        if outlines.is_empty() {
            continue;
        }
        let steps: Vec<Step> = outlines.iter().flat_map(|ring| scene::ring(ring)).collect();
        let path = |fill, stroke| Node::Path {
            steps: steps.clone(),
            fill,
            stroke,
        };
        nodes.push(path(Some(Fill::of(fill)), None));
        if patch.surface == Surface::Bunker {
            nodes.push(Node::Stipple {
                steps: steps.clone(),
                colour: palette::SAND_EDGE,
            });
        }
        // The textures of the hole's page: water in dashes, out of bounds in slanting lines.
        let texture = match patch.surface {
            Surface::PenaltyRed | Surface::PenaltyYellow => {
                let dashes = Stroke::of(palette::STONE, 1.0).dashed(12.0, 8.0);
                Some((hatch(&outlines, &paper.area, 11.0, 0.0), dashes))
            }
            Surface::OutOfBounds => {
                let lines = Stroke::of(palette::STONE, 1.2);
                Some((hatch(&outlines, &paper.area, 13.0, -45.0), lines))
            }
            _ => None,
        };
        if let Some((steps, stroke)) = texture {
            nodes.push(Node::Path {
                steps,
                fill: None,
                stroke: Some(stroke),
            });
        }
        if let Some((colour, width)) = edge {
            nodes.push(path(None, Some(Stroke::of(colour, width))));
        }
    }
    for tree in ladder.hole.land.trees {
        let at = ladder.straight(tree.at);
        if at[0].abs() < paper.half_m() + 5.0 {
            let radius = (tree.crown_m / 2.0 * paper.per_m).clamp(3.0, 20.0);
            let edge = Some(Stroke::of(palette::WOOD_EDGE, 1.2));
            nodes.push(scene::disc(paper.of(at), radius, palette::WOOD, edge));
        }
    }
    nodes
}

/// The shot on a ladder: flight, the balls' bar, the usual ball, the pin.
fn shot(ladder: &Ladder<'_>, paper: &Paper) -> Vec<Node> {
    let mut nodes = Vec::new();
    let placed = &ladder.placed;
    let on = |at: Coord<f64>| paper.of(ladder.straight(at));
    let flight: Vec<Point> = placed.flight.iter().map(|&at| on(at)).collect();
    for (colour, width) in [(palette::PAPER, 5.6), (palette::ACCENT, 2.8)] {
        nodes.push(Node::Path {
            steps: scene::polyline(&flight),
            fill: None,
            stroke: Some(Stroke::of(colour, width)),
        });
    }
    let ball = on(placed.rest);
    let mut across: Vec<f64> = placed.balls.iter().map(|&at| on(at)[0]).collect();
    across.sort_by(f64::total_cmp);
    let quantile = |share: f64| {
        let rank = share * across.len().saturating_sub(1) as f64;
        across.get(rank.round() as usize).copied()
    };
    for (low, high, width) in [(0.05, 0.95, 4.0), (0.25, 0.75, 11.0)] {
        if let (Some(low), Some(high)) = (quantile(low), quantile(high)) {
            let ends = ([low, ball[1]], [high, ball[1]]);
            let rim = Stroke::of(palette::PAPER, width + 3.0);
            nodes.push(scene::line(ends.0, ends.1, rim));
            let bar = Stroke::of(palette::ACCENT, width);
            nodes.push(scene::line(ends.0, ends.1, bar));
        }
    }
    let rim = Some(Stroke::of(palette::PAPER, 2.6));
    nodes.push(scene::disc(ball, 8.5, palette::ACCENT, rim));
    let pin = on(placed.pin);
    let top = [pin[0], pin[1] - 22.0];
    nodes.push(scene::line(pin, top, Stroke::of(palette::INK, 2.2)));
    nodes.push(Node::Path {
        steps: scene::ring(&[top, [top[0] + 14.0, top[1] + 5.0], [top[0], top[1] + 10.0]]),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    });
    let rim = Some(Stroke::of(palette::PAPER, 2.0));
    nodes.push(scene::disc(on(placed.peg), 5.0, palette::ACCENT, rim));
    nodes
}

/// An arrow to the side to miss on, beside the usual ball.
fn arrow(at: Point, is_right: bool) -> Node {
    let sign = if is_right { 1.0 } else { -1.0 };
    let x = |off: f64| at[0] + sign * off;
    Node::Path {
        steps: scene::ring(&[
            [x(14.0), at[1]],
            [x(-4.0), at[1] - 10.0],
            [x(-4.0), at[1] - 4.0],
            [x(-14.0), at[1] - 4.0],
            [x(-14.0), at[1] + 4.0],
            [x(-4.0), at[1] + 4.0],
            [x(-4.0), at[1] + 10.0],
        ]),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    }
}

/// A club in two or three letters, as a log has it: "7i", "PW".
fn brief(logged: &str) -> String {
    let is_wedge = logged.len() == 2 && logged.ends_with('w');
    match is_wedge && logged.chars().all(char::is_alphabetic) {
        true => logged.to_uppercase(),
        false => logged.to_owned(),
    }
}

/// The first of a club's names that has room.
fn club_in(plan: &Plan, room: f64) -> String {
    let logged = &plan.choice.shot.club;
    let names = [capital(&club(logged)), capital(&brief(logged))];
    let fits = |name: &String| text::width(&text::clean(name), READ, true) <= room;
    let last = names[1].clone();
    names.into_iter().find(fits).unwrap_or(last)
}

/// Rows below the ladders, and how far from one to the next.
const ROWS: [&str; 5] = ["club", "miss", "then", "middle", "strokes"];
const PITCH: [f64; 5] = [36.0, 40.0, 36.0, 60.0, 36.0];

/// What stands below a ladder.
fn below(board: &mut Board, plan: &Plan, column: &Area, top: f64) {
    let x = (column.left + column.right) / 2.0;
    let room = column.width();
    let large = (LARGE * 0.7, true, palette::INK);
    let at = [x, top];
    put(board, &plan.hole.reference, large, at, Anchor::Middle, room);
    let facts = format!("par {}", plan.hole.par);
    let stone = (READ, false, palette::STONE);
    put(board, &facts, stone, [x, top + 37.0], Anchor::Middle, room);
    let mut y = top + 80.0;
    let strong = (READ, true, palette::INK);
    let plain = (READ, false, palette::INK);
    for (row, pitch) in ROWS.iter().zip(PITCH) {
        match *row {
            "club" => {
                put(
                    board,
                    &club_in(plan, room),
                    strong,
                    [x, y],
                    Anchor::Middle,
                    room,
                );
            }
            "miss" => match card::better_miss(plan) {
                Some(side) => board.nodes.push(arrow([x, y - 9.0], side == "right")),
                None => {
                    put(board, "–", plain, [x, y], Anchor::Middle, room);
                }
            },
            "then" => {
                let next = plan
                    .whole_hole
                    .as_ref()
                    .and_then(|whole| whole.next.as_ref());
                let next = next.map_or_else(|| "–".to_owned(), |next| brief(&next.choice.club));
                put(board, &next, plain, [x, y], Anchor::Middle, room);
            }
            "middle" => {
                let named = plan.comparisons.iter();
                let middle = named.clone().find(|other| other.name == "down the middle");
                let words = middle.map_or_else(
                    || "–".to_owned(),
                    |other| cost_alone(other.costs, other.costs_standard_error),
                );
                for (k, line) in text::wrap(&words, READ, false, room, 2).iter().enumerate() {
                    let at = [x, y + 28.0 * k as f64];
                    put(board, line, plain, at, Anchor::Middle, room);
                }
            }
            _ => {
                let strokes = fixed(plan.choice.shot.expected_strokes, 2);
                put(board, &strokes, strong, [x, y], Anchor::Middle, room);
            }
        }
        y += pitch;
    }
}

/// The rungs: a line every 50 across all ladders, with its number at the left.
fn rungs(board: &mut Board, columns: &[Area], paper: &Paper, lengths: Lengths, long_m: f64) {
    let every = lengths.to_m(50.0);
    let mut k = 1;
    while f64::from(k) * every < long_m + 5.0 && k < 30 {
        let y = paper.of([0.0, f64::from(k) * every])[1];
        for column in columns {
            let stroke = Stroke::of(palette::STONE, 0.9).dashed(1.0, 6.0);
            let ends = ([column.left, y], [column.right, y]);
            board.nodes.push(scene::line(ends.0, ends.1, stroke));
        }
        let words = Line::new((k * 50).to_string(), SMALL, false, palette::STONE);
        board.write(&words, [FIRST - 10.0, y + 7.0], Anchor::End, false);
        k += 1;
    }
}

/// The wind, the total and how to read it.
fn words(board: &mut Board, holes: &[Hole<'_>], part: &[Ladder<'_>], name: &str, scale: f64) {
    let strong = (MEDIUM, true, palette::INK);
    let Some(plan) = part.first().map(|ladder| ladder.hole.plan) else {
        return;
    };
    let lengths = Lengths::of_unit(&plan.words.unit);
    let day = &plan.conditions;
    let wind = if is_windy(day.wind_m_s) {
        let speed = lengths.speed(day.wind_m_s);
        format!("wind {speed} from {}", compass(day.wind_from_deg))
    } else {
        "calm".to_owned()
    };
    let right = put(board, &wind, strong, [RIGHT, 84.0], Anchor::End, 420.0);
    let room = right.left - LEFT - 24.0;
    let title = (LARGE * 0.6, true, palette::INK);
    put(board, name, title, [LEFT, 84.0], Anchor::Start, room);
    let strokes = |of: &mut dyn Iterator<Item = &Plan>| -> (f64, u32, usize) {
        of.fold((0.0, 0, 0), |(strokes, par, count), plan| {
            let more = plan.choice.shot.expected_strokes;
            (strokes + more, par + u32::from(plan.hole.par), count + 1)
        })
    };
    let all = strokes(&mut holes.iter().map(|hole| hole.plan));
    let (total, par, count) = all;
    let words = format!(
        "{} strokes expected over {count} holes, par {par}",
        fixed(total, 1)
    );
    let style = (READ, false, palette::INK);
    put(
        board,
        &words,
        style,
        [LEFT, 121.0],
        Anchor::Start,
        RIGHT - LEFT,
    );
    let heavy = Stroke::of(palette::INK, 3.0);
    rule(board, &area(LEFT, 0.0, RIGHT, 0.0), 134.0, heavy);
    let words = format!(
        "Every hole straightened along its line of play, 1:{scale:.0}; rungs every 50 {} from the \
         peg. Bar: how far to the sides half of the balls and nine in ten end. Arrow: the better \
         side to miss on. Middle: what aiming down the middle costs, in strokes.",
        lengths.name()
    );
    let style = (SMALL, false, palette::INK);
    let at = [LEFT, PAGE[1] - 112.0];
    sheet::paragraph(board, &words, style, at, RIGHT - LEFT, 4);
}

/// The pages of a round, nine holes each; none of no holes.
#[must_use]
pub fn pages(name: &str, holes: &[Hole<'_>]) -> Vec<Drawn> {
    let ladders: Vec<Ladder<'_>> = holes.iter().map(Ladder::of).collect();
    let long_m = ladders.iter().map(|ladder| ladder.long_m);
    let long_m = long_m.fold(60.0, f64::max);
    // One scale for all pages.
    let high = BOTTOM - TOP;
    let scale = ((long_m + BEHIND_M + PAST_M) * 10_000.0 / high / 100.0).ceil() * 100.0;
    let parts = ladders.chunks(ON_A_PAGE);
    parts
        .map(|part| page(name, holes, part, scale, long_m))
        .collect()
}

fn page(name: &str, holes: &[Hole<'_>], part: &[Ladder<'_>], scale: f64, long_m: f64) -> Drawn {
    let per_m = 10_000.0 / scale;
    let mut board = Board::new(area(0.0, 0.0, PAGE[0], PAGE[1]), |_| 0.0);
    let wide = ((RIGHT - FIRST) / part.len().max(1) as f64).min(WIDEST);
    let columns: Vec<Area> = (0..part.len())
        .map(|k| {
            let left = FIRST + k as f64 * wide;
            area(left, TOP, left + wide - BETWEEN, BOTTOM)
        })
        .collect();
    let foot = BOTTOM - BEHIND_M * per_m;
    let paper = |area: Area| Paper { area, per_m, foot };
    let mut nodes = Vec::new();
    if let (Some(first), Some(plan)) = (columns.first(), part.first()) {
        let lengths = Lengths::of_unit(&plan.hole.plan.words.unit);
        rungs(&mut board, &columns, &paper(*first), lengths, long_m);
    }
    let mut all = std::mem::take(&mut board.nodes);
    let numbers = all.split_off(
        all.iter()
            .take_while(|n| !matches!(n, Node::Text(_)))
            .count(),
    );
    for (ladder, column) in part.iter().zip(&columns) {
        let paper = paper(*column);
        let mut drawn = land(ladder, &paper);
        drawn.extend(shot(ladder, &paper));
        nodes.extend(sheet::cut_to("ladder", column, drawn));
        below(&mut board, ladder.hole.plan, column, BOTTOM + 62.0);
    }
    nodes.extend(all);
    nodes.extend(numbers);
    let mut y = BOTTOM + 62.0 + 80.0;
    for (row, pitch) in ROWS.iter().zip(PITCH) {
        let style = (SMALL, false, palette::STONE);
        put(
            &mut board,
            row,
            style,
            [LEFT - 14.0, y],
            Anchor::Start,
            90.0,
        );
        y += pitch;
    }
    words(&mut board, holes, part, name, scale);
    let title = format!("The round: {}", text::clean(name));
    let map = area(FIRST, TOP, RIGHT, BOTTOM);
    sheet::finish(title, PAGE[1], nodes, board, (map, scale))
}
