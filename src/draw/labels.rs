//! Room for every number: labels beside what they measure, never on another.
//!
//! Greedy point-feature placement in order of importance (after Christensen,
//! Marks and Shieber, *ACM Transactions on Graphics* 14(3) (1995), 203–232;
//! memory): for each label a fan of places around its point, nearest first.
//! A place that touches another text, or leaves the map, is out of the
//! question; of the others the one that covers least and is nearest wins.

use super::frame::Area;
use super::plate::Plate;
use super::scene::{self, Anchor, Colour, Node, Point, Stroke, Text, palette};
use super::text;

/// One text and the box that holds it in any sans-serif.
#[derive(Clone, Debug, PartialEq)]
pub struct TextBox {
    /// Its box, tenths of a millimetre.
    pub area: Area,
    /// What it says.
    pub words: String,
    /// Its font size; the smallest where it has several.
    pub size: f64,
}

/// Where everything that can collide stands: what a test needs to see that no
/// two texts overlap and nothing leaves the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// The page.
    pub page: Area,
    /// The map on it: of a hole's page the whole hole.
    pub map: Area,
    /// One to this on paper.
    pub scale: f64,
    /// Every text on the page, in the order drawn.
    pub texts: Vec<TextBox>,
    /// Labels for which the map had no room, in their words.
    pub unplaced: Vec<String>,
    /// What lies on the landing plate of a hole's page.
    pub plate: Option<Plate>,
}

/// One line of a label.
pub use super::scene::Run as Line;

impl Line {
    /// A line of text.
    #[must_use]
    pub fn new(words: impl Into<String>, size: f64, bold: bool, colour: Colour) -> Self {
        Self {
            words: words.into(),
            size,
            bold,
            colour,
        }
    }

    pub(super) fn width(&self) -> f64 {
        text::width(&self.words, self.size, self.bold)
    }
}

/// What a label is about, for pictures that say it in words elsewhere.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum About {
    /// Itself alone.
    #[default]
    Itself,
    /// What is aimed at.
    Aim,
    /// Where the usual ball ends.
    Ball,
    /// Where another usual ball ends, by its place in the plan.
    OtherWay(usize),
    /// What is left to the pin.
    ToGo,
    /// The fairway's width.
    Width,
    /// Where half of the balls end.
    Half,
    /// Where nine in ten end.
    Ninety,
    /// A hazard, by its place in the plan's carries.
    Hazard(usize),
    /// An arc round the peg, in whole lengths.
    FromTee(i32),
    /// An arc round the middle of the green.
    ToGreen(i32),
}

/// A label that wants a place.
#[derive(Clone, Debug)]
pub struct Request {
    /// What it is about.
    pub about: About,
    /// What it measures.
    pub at: Point,
    /// Another point of it, for where a line to the first would cross the shot.
    pub or: Option<Point>,
    /// Its lines.
    pub lines: Vec<Line>,
    /// Least distance from the point.
    pub gap: f64,
    /// Farthest distance from the point; what does not fit within is dropped.
    pub reach: f64,
    /// Unit vector of the side it would rather stand on, if any.
    pub side: Option<Point>,
    /// The column it belongs in, the right one where true: of what lies on that side of the ball's
    /// line. The other one only where lines of the shot lie between, and it is near the line.
    pub is_of_right: Option<bool>,
    /// Where it must stand, if that is less than the board.
    pub within: Option<Area>,
    /// The most it may cost to cover what lies below; dearer is dropped.
    pub limit: f64,
    /// A hair line ties it to its point.
    pub tied: bool,
    /// Must be shown: it is reported where there is no room.
    pub needed: bool,
}

impl Request {
    /// A label near a point, shown only where there is room.
    #[must_use]
    pub fn free(at: Point, lines: Vec<Line>) -> Self {
        Self {
            about: About::Itself,
            at,
            or: None,
            lines,
            gap: 0.0,
            reach: 60.0,
            side: None,
            is_of_right: None,
            within: None,
            limit: f64::MAX,
            tied: false,
            needed: false,
        }
    }
}

/// The map as the labels see it.
pub struct Board {
    pub(super) area: Area,
    cells: [usize; 2],
    /// Summed weights of the cells above and left: one more each way.
    sums: Vec<f64>,
    pub(super) taken: Vec<Area>,
    pub(super) strokes: Vec<([Point; 2], f64)>,
    ties: Vec<[Point; 2]>,
    /// What was drawn.
    pub nodes: Vec<Node>,
    /// Where the texts stand.
    pub texts: Vec<TextBox>,
    /// Needed labels without a place.
    pub unplaced: Vec<String>,
}

/// Side of a weight cell: a millimetre.
const CELL: f64 = 10.0;
/// White between texts.
pub(super) const AIR: f64 = 4.0;

/// The box of a line of text whose baseline starts, centres or ends at a point.
#[must_use]
pub fn box_of(words: &str, size: f64, bold: bool, at: Point, anchor: Anchor) -> Area {
    let width = text::width(words, size, bold);
    let left = match anchor {
        Anchor::Start => at[0],
        Anchor::Middle => at[0] - width / 2.0,
        Anchor::End => at[0] - width,
    };
    Area {
        left,
        top: at[1] - text::ascent(words) * size,
        right: left + width,
        bottom: at[1] + text::DESCENT * size,
    }
}

impl Board {
    /// An empty board; `weight` says how much it hurts to cover a point.
    #[must_use]
    pub fn new(area: Area, weight: impl Fn(Point) -> f64) -> Self {
        let cells = [
            (area.width() / CELL).ceil().max(1.0) as usize,
            (area.height() / CELL).ceil().max(1.0) as usize,
        ];
        let across = cells[0] + 1;
        let mut sums = vec![0.0; across * (cells[1] + 1)];
        for j in 0..cells[1] {
            let mut row = 0.0;
            for i in 0..cells[0] {
                row += weight([
                    area.left + (i as f64 + 0.5) * CELL,
                    area.top + (j as f64 + 0.5) * CELL,
                ]);
                sums[(j + 1) * across + i + 1] = sums[j * across + i + 1] + row;
            }
        }
        Self {
            area,
            cells,
            sums,
            taken: Vec::new(),
            strokes: Vec::new(),
            ties: Vec::new(),
            nodes: Vec::new(),
            texts: Vec::new(),
            unplaced: Vec::new(),
        }
    }

    /// Remembers a line that ties a label to what it names.
    pub(super) fn tie(&mut self, line: [Point; 2]) {
        self.ties.push(line);
    }

    /// Keeps labels out of an area.
    pub fn keep_clear(&mut self, area: Area) {
        self.taken.push(area);
    }

    /// Makes it cost `weight` for each unit of this line that a label covers.
    pub fn keep_off(&mut self, points: &[Point], weight: f64) {
        for w in points.windows(2) {
            self.strokes.push(([w[0], w[1]], weight));
        }
    }

    /// How much lies below an area.
    pub(super) fn covered(&self, area: &Area) -> f64 {
        let cell = |v: f64, low: f64, most: usize| {
            (((v - low) / CELL).round().max(0.0) as usize).min(most)
        };
        let across = self.cells[0] + 1;
        let (i0, i1) = (
            cell(area.left, self.area.left, self.cells[0]),
            cell(area.right, self.area.left, self.cells[0]),
        );
        let (j0, j1) = (
            cell(area.top, self.area.top, self.cells[1]),
            cell(area.bottom, self.area.top, self.cells[1]),
        );
        let sum = |i: usize, j: usize| self.sums[j * across + i];
        sum(i1, j1) - sum(i0, j1) - sum(i1, j0) + sum(i0, j0)
    }

    /// What it costs to put a label's box here; none where it cannot be.
    fn cost(&self, request: &Request, area: &Area, best: f64) -> Option<f64> {
        let near = area.nearest(request.at);
        let gap = scene::distance(near, request.at);
        let away = [
            (area.left + area.right) / 2.0 - request.at[0],
            (area.top + area.bottom) / 2.0 - request.at[1],
        ];
        let mut cost = 0.7 * gap + 0.004 * gap * gap + 0.1 * away[0].hypot(away[1]);
        if let Some(side) = request.side {
            let length = away[0].hypot(away[1]).max(1.0);
            cost += 50.0 * (1.0 - (away[0] * side[0] + away[1] * side[1]) / length);
        }
        let field = request.within.as_ref().unwrap_or(&self.area);
        if cost >= best || !field.encloses(area) {
            return None;
        }
        let wide = area.grown(AIR);
        if self.taken.iter().any(|t| t.overlaps(&wide)) {
            return None;
        }
        if request.tied {
            let tie = [request.at, near];
            if self
                .texts
                .iter()
                .any(|t| t.area.part_of(tie[0], tie[1]).is_some())
            {
                return None;
            }
            for other in &self.ties {
                if crosses(tie, *other) {
                    cost += 200.0;
                }
            }
            // A hair line over the shot's own lines is hard to follow.
            for ([a, b], weight) in self.strokes.iter().filter(|s| s.1 > 1.2) {
                if crosses(tie, [*a, *b]) {
                    cost += 20.0 * weight;
                }
            }
        }
        for other in &self.ties {
            if wide.part_of(other[0], other[1]).is_some() {
                return None;
            }
        }
        cost += 0.8 * self.covered(area);
        for ([a, b], weight) in &self.strokes {
            if cost >= best {
                return None;
            }
            if let Some([a, b]) = wide.part_of(*a, *b) {
                cost += weight * (4.0 + scene::distance(a, b));
            }
        }
        (cost < best).then_some(cost)
    }

    /// The best place for a box round its point, if there is one.
    fn seek(&self, request: &Request, width: f64, height: f64) -> Option<Area> {
        let dearest = if request.limit.is_finite() {
            request.limit
        } else {
            f64::MAX
        };
        let mut best: Option<(f64, Area)> = None;
        let offer = |centre: Point, best: &mut Option<(f64, Area)>| {
            let area = Area {
                left: centre[0] - width / 2.0,
                top: centre[1] - height / 2.0,
                right: centre[0] + width / 2.0,
                bottom: centre[1] + height / 2.0,
            };
            let limit = best.as_ref().map_or(dearest, |b| b.0);
            if let Some(cost) = self.cost(request, &area, limit) {
                *best = Some((cost, area));
            }
        };
        let mut gap = request.gap;
        while gap <= request.reach {
            for k in 0..32 {
                let (sin, cos) = (f64::from(k) * std::f64::consts::TAU / 32.0).sin_cos();
                let push = |v: f64| (v * 1.6).clamp(-1.0, 1.0);
                let centre = [
                    request.at[0] + cos * gap + push(cos) * width / 2.0,
                    request.at[1] + sin * gap + push(sin) * height / 2.0,
                ];
                offer(centre, &mut best);
            }
            gap = gap * 1.22 + 4.0;
        }
        if best.is_none() && request.needed {
            // Anywhere on the board, then.
            let field = request.within.as_ref().unwrap_or(&self.area);
            let steps = [
                (field.width() / 12.0) as i32,
                (field.height() / 12.0) as i32,
            ];
            for j in 0..=steps[1].min(200) {
                for i in 0..=steps[0].min(200) {
                    let corner = [
                        field.left + f64::from(i) * 12.0,
                        field.top + f64::from(j) * 12.0,
                    ];
                    let there = Area {
                        left: corner[0],
                        top: corner[1],
                        right: corner[0] + width,
                        bottom: corner[1] + height,
                    };
                    let away = there.nearest(request.at);
                    if scene::distance(away, request.at) >= request.gap {
                        offer(
                            [corner[0] + width / 2.0, corner[1] + height / 2.0],
                            &mut best,
                        );
                    }
                }
            }
        }
        best.map(|b| b.1)
    }

    /// Finds a place, draws the label there and remembers it. True when found.
    ///
    /// A needed label which finds no place whole is tried again with its first
    /// line alone; if that has none either, it stands in `unplaced`.
    pub fn place(&mut self, request: &Request) -> bool {
        let mut lines: Vec<&Line> = request
            .lines
            .iter()
            .filter(|l| !l.words.is_empty())
            .collect();
        if lines.is_empty() || !request.at.iter().all(|v| v.is_finite()) {
            return false;
        }
        let size = |lines: &[&Line]| {
            let width = lines.iter().map(|l| l.width()).fold(0.0, f64::max);
            (width, lines.iter().map(|l| pitch(l)).sum::<f64>())
        };
        let (width, height) = size(&lines);
        let mut found = self.seek(request, width, height);
        if found.is_none() && request.needed && lines.len() > 1 {
            let words: Vec<&str> = lines[1..].iter().map(|l| l.words.as_str()).collect();
            self.unplaced.push(words.join(" "));
            lines.truncate(1);
            let (width, height) = size(&lines);
            found = self.seek(request, width, height);
        }
        let Some(area) = found else {
            if request.needed {
                self.unplaced.push(lines[0].words.clone());
            }
            return false;
        };
        let near = area.nearest(request.at);
        if request.tied {
            let length = scene::distance(near, request.at);
            if length > 14.0 {
                self.nodes.push(scene::line(
                    request.at,
                    scene::towards(near, request.at, 3.0),
                    Stroke::of(palette::STONE, 1.5),
                ));
            }
            self.ties.push([request.at, near]);
        }
        // The ragged edge looks away from the point.
        let (anchor, x) = if area.left > request.at[0] {
            (Anchor::Start, area.left)
        } else if area.right < request.at[0] {
            (Anchor::End, area.right)
        } else {
            (Anchor::Middle, (area.left + area.right) / 2.0)
        };
        let mut top = area.top;
        for line in lines {
            let base = top + text::ascent(&line.words) * line.size;
            self.write(line, [x, base], anchor, true);
            top += pitch(line);
        }
        self.taken.push(area);
        true
    }

    /// Writes a line where it is told to and remembers its box.
    pub fn write(&mut self, line: &Line, at: Point, anchor: Anchor, halo: bool) -> Area {
        let area = box_of(&line.words, line.size, line.bold, at, anchor);
        if line.words.is_empty() {
            return area;
        }
        self.texts.push(TextBox {
            area,
            words: line.words.clone(),
            size: line.size,
        });
        self.nodes.push(Node::Text(Text {
            at,
            words: line.words.clone(),
            size: line.size,
            bold: line.bold,
            colour: line.colour,
            anchor,
            halo,
            tail: Vec::new(),
        }));
        area
    }

    /// Writes runs one close behind the other, and remembers one box for all.
    pub fn write_runs(&mut self, runs: &[Line], at: Point) -> Area {
        let Some((first, rest)) = runs.split_first() else {
            return box_of("", 0.0, false, at, Anchor::Start);
        };
        let mut area = box_of(&first.words, first.size, first.bold, at, Anchor::Start);
        let mut words = first.words.clone();
        let mut size = first.size;
        for run in rest {
            size = size.min(run.size);
            let next = box_of(&run.words, run.size, run.bold, at, Anchor::Start);
            area.right += run.size * 0.5 + next.width();
            area.top = area.top.min(next.top);
            area.bottom = area.bottom.max(next.bottom);
            words.push(' ');
            words.push_str(&run.words);
        }
        self.texts.push(TextBox { area, words, size });
        self.nodes.push(Node::Text(Text {
            at,
            words: first.words.clone(),
            size: first.size,
            bold: first.bold,
            colour: first.colour,
            anchor: Anchor::Start,
            halo: false,
            tail: rest.to_vec(),
        }));
        area
    }
}

/// Height of a line's own box.
pub(super) fn pitch(line: &Line) -> f64 {
    (text::ascent(&line.words) + text::DESCENT) * line.size + 1.0
}

/// Whether two pieces of line cross.
pub(super) fn crosses(a: [Point; 2], b: [Point; 2]) -> bool {
    let side = |p: Point, q: Point, r: Point| {
        (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    };
    side(a[0], a[1], b[0]) * side(a[0], a[1], b[1]) < 0.0
        && side(b[0], b[1], a[0]) * side(b[0], b[1], a[1]) < 0.0
}
