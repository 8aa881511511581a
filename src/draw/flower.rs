//! The wind flower: what other winds make of the plan.
//!
//! A disc with the hole upwards; a petal points to where a wind comes from. Its length is what keeping
//! the plan costs in that wind; it is full where the club changes, which is named at its tip, and
//! open where only peg or aim change. A wind that changes nothing has a bud. Below it stands what to
//! do in each wind, with the aim as a thing that is seen.

use super::frame::Area;
use super::labels::{Board, Line, Request};
use super::page::{Drawn, Lengths, MEDIUM, PAGE, READ, SMALL, area};
use super::panel::put;
use super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::sheet::{self, LEFT, RIGHT};
use super::text;
use crate::plan::Plan;
use crate::plan::sentence::{capital, club, part_swing};
use crate::plan::what_if::{WhatIf, point};
use crate::plan::why::is_tie;

/// Where petals begin, and how far they and the disc reach.
const BUD: f64 = 74.0;
const REACH: f64 = 285.0;
const RIM: f64 = 322.0;
/// Half the angle between the petals of one side, and half the widths of petals in light and in
/// strong wind.
const APART_DEG: f64 = 9.5;
const NARROW: f64 = 12.0;
const WIDE: f64 = 21.0;
/// Steps of the rings.
const STEPS: [f64; 8] = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0];
/// At most so many rings.
const RINGS: f64 = 4.0;
/// Lowest baseline.
const FOOT: f64 = 1_736.0;

/// What keeping the plan costs in a wind, never less than nothing; none where no ball stays in play.
fn kept(case: &WhatIf) -> Option<f64> {
    let costs = case.keep_shot.as_ref()?;
    if is_tie(costs.costs, costs.standard_error) || !costs.costs.is_finite() {
        return Some(0.0);
    }
    Some(costs.costs.max(0.0))
}

/// What is drawn of a wind.
struct Petal<'a> {
    case: &'a WhatIf,
    /// Clockwise from the hole's direction, degrees, and beside its side's middle.
    from_deg: f64,
    is_strong: bool,
    long: f64,
}

/// The step of the rings, and a cost's length on paper.
struct Measure {
    step: f64,
    per_stroke: f64,
}

impl Measure {
    fn of(cases: &[&WhatIf]) -> Self {
        let most = cases.iter().filter_map(|case| kept(case));
        let most = most.fold(0.0, f64::max).max(STEPS[0]);
        let step = STEPS.into_iter().find(|step| most / step <= RINGS);
        let step = step.unwrap_or(most / RINGS);
        let rings = (most / step).ceil().max(1.0);
        Self {
            step,
            per_stroke: (REACH - BUD) / (rings * step),
        }
    }

    /// From the middle to a cost's ring; where no ball stays in play, to the rim.
    fn radius(&self, costs: Option<f64>) -> f64 {
        BUD + costs.map_or(REACH - BUD, |costs| costs * self.per_stroke)
    }
}

/// On paper: a place so far from the middle, clockwise from the top.
fn polar(middle: Point, from_deg: f64, radius: f64) -> Point {
    let (sin, cos) = from_deg.to_radians().sin_cos();
    [middle[0] + radius * sin, middle[1] - radius * cos]
}

impl Petal<'_> {
    /// Its outline from where it begins to its tip, widest past its middle.
    fn outline(&self, middle: Point) -> Vec<scene::Step> {
        let half = if self.is_strong { WIDE } else { NARROW };
        let half = half.min((self.long - BUD) * 0.42);
        let (sin, cos) = self.from_deg.to_radians().sin_cos();
        let on = |ahead: f64, right: f64| {
            [
                middle[0] + ahead * sin + right * cos,
                middle[1] - ahead * cos + right * sin,
            ]
        };
        let belly = BUD + (self.long - BUD) * 0.62;
        let (foot, tip) = (on(BUD, 0.0), on(self.long, 0.0));
        let side = |sign: f64| [on(belly * 0.8, sign * half), on(belly * 1.05, sign * half)];
        let ([a, b], [c, d]) = (side(1.0), side(-1.0));
        vec![
            scene::Step::Move(foot),
            scene::Step::Cubic(a, b, tip),
            scene::Step::Cubic(d, c, foot),
            scene::Step::Close,
        ]
    }

    fn draw(&self, middle: Point, nodes: &mut Vec<Node>) {
        let is_club = self.case.changes == "club";
        let violet = Stroke::of(palette::ACCENT, if self.is_strong { 3.4 } else { 2.2 });
        if self.long < BUD + 14.0 {
            // A bud: nothing to gain by another plan, or hardly anything.
            let at = polar(middle, self.from_deg, BUD + 8.0);
            let fill = if is_club {
                palette::ACCENT
            } else {
                palette::PAPER
            };
            let radius = if self.is_strong { 8.0 } else { 5.5 };
            let rim = if self.case.changes == "nothing" {
                Stroke::of(palette::STONE, 2.0)
            } else {
                violet
            };
            nodes.push(scene::disc(at, radius, fill, Some(rim)));
            return;
        }
        let fill = Fill {
            colour: palette::ACCENT,
            opacity: if is_club { 1.0 } else { 0.10 },
        };
        let stroke = if self.case.keep_shot.is_some() {
            violet
        } else {
            violet.dashed(9.0, 6.0)
        };
        nodes.push(Node::Path {
            steps: self.outline(middle),
            fill: Some(fill),
            stroke: Some(stroke),
        });
    }
}

/// The cases that are winds, and the speed from which one is strong.
fn winds(plan: &Plan) -> (Vec<&WhatIf>, f64) {
    let of = plan.what_if.iter().filter(|case| case.kind == "wind");
    let all: Vec<&WhatIf> = of.collect();
    let speeds = || all.iter().map(|case| case.wind_m_s);
    let (low, high) = (
        speeds().fold(f64::MAX, f64::min),
        speeds().fold(0.0, f64::max),
    );
    let middle = (low + high) / 2.0;
    (all, middle)
}

/// Rings, each with what it stands for, the hole's direction and north.
fn disc(board: &mut Board, plan: &Plan, middle: Point, measure: &Measure, unit: &str) {
    let mist = Stroke::of(palette::MIST, 1.6);
    let ring = |radius: f64, stroke| Node::Circle {
        id: None,
        at: middle,
        radius,
        fill: None,
        stroke: Some(stroke),
    };
    board.nodes.push(ring(BUD, mist));
    let mut costs = measure.step;
    while measure.radius(Some(costs)) <= REACH + 1.0 {
        let radius = measure.radius(Some(costs));
        board.nodes.push(ring(radius, mist.dashed(2.0, 7.0)));
        let words = match unit {
            "chance" => format!("{:.1}", costs * 100.0),
            _ => format!("{costs:.2}"),
        };
        let line = Line::new(words, SMALL, false, palette::STONE);
        let at = polar(middle, 22.5, radius);
        board.place(&Request {
            gap: 0.0,
            reach: 20.0,
            ..Request::free(at, vec![line])
        });
        costs += measure.step;
    }
    // The hole upwards from the peg to the flag.
    let ink = Stroke::of(palette::INK, 2.4);
    let (peg, pin) = ([middle[0], middle[1] + 40.0], [middle[0], middle[1] - 36.0]);
    board.nodes.push(scene::line(peg, pin, ink));
    let top = [pin[0], pin[1] - 22.0];
    board.nodes.push(scene::line(pin, top, ink));
    board.nodes.push(Node::Path {
        steps: scene::ring(&[top, [top[0] + 15.0, top[1] + 6.0], [top[0], top[1] + 12.0]]),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    });
    board
        .nodes
        .push(scene::disc(peg, 6.0, palette::ACCENT, None));
    let north = -plan.hole.line_of_play_deg;
    let (tip, left, right) = (
        polar(middle, north, RIM + 22.0),
        polar(middle, north - 2.2, RIM),
        polar(middle, north + 2.2, RIM),
    );
    board.nodes.push(Node::Path {
        steps: scene::ring(&[tip, left, right]),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    });
    let at = polar(middle, north, RIM + 42.0);
    let letter = Line::new("N", READ, true, palette::INK);
    let written = board.write(&letter, [at[0], at[1] + 9.0], Anchor::Middle, true);
    board.keep_clear(written);
}

/// The club of a case in a word or two.
fn called(case: &WhatIf, plan: &Plan) -> String {
    let name = capital(&club(&case.club));
    match case.part_swing {
        Some(part) if case.club == plan.choice.shot.club => capital(&part_swing(part, plan.unit())),
        Some(part) => format!("{name}, {}", part_swing(part, plan.unit())),
        None if case.shape == plan.choice.shot.shape => name,
        None => format!("{name}, {}", case.shape),
    }
}

/// "aim at the lone tree", "aim 5 left of the lone tree".
pub(super) fn aimed(aim: &str) -> String {
    if aim.starts_with(|c: char| c.is_numeric()) {
        format!("aim {aim}")
    } else {
        format!("aim at {aim}")
    }
}

/// What to do in which winds: the same for several of them stands once, the dearest to miss first.
fn instructions(cases: &[&WhatIf], plan: &Plan, lengths: Lengths) -> Vec<(String, String)> {
    let wind = |case: &WhatIf| {
        let speed = lengths.speed_number(case.wind_m_s);
        format!("{speed}\u{a0}{}", point(case.wind_from_deg))
    };
    let mut groups: Vec<(String, Vec<String>, f64)> = Vec::new();
    for case in cases {
        let what = match case.changes.as_str() {
            "nothing" => "as planned".to_owned(),
            "aim" => aimed(&case.aim),
            "peg and aim" => format!("peg {}, {}", case.peg, aimed(&case.aim)),
            _ => format!(
                "{}, peg {}, {}",
                called(case, plan),
                case.peg,
                aimed(&case.aim)
            ),
        };
        let costs = kept(case).unwrap_or(f64::MAX);
        let known = groups.iter_mut().find(|group| group.0 == what);
        match known {
            Some(group) => {
                group.1.push(wind(case));
                group.2 = group.2.max(costs);
            }
            None => groups.push((what, vec![wind(case)], costs)),
        }
    }
    groups.sort_by(|a, b| b.2.total_cmp(&a.2));
    let rows = groups.into_iter();
    rows.map(|(what, winds, _)| (winds.join(", "), what))
        .collect()
}

/// What to do, a row a group, as far as there is room.
fn rows(board: &mut Board, rows: &[(String, String)], top: f64) {
    let (key, room) = (228.0, RIGHT - LEFT);
    let pitch = 31.0;
    let mut y = top;
    for (k, (winds, what)) in rows.iter().enumerate() {
        let winds = text::wrap(&text::clean(winds), READ, true, key, 6);
        let what = text::wrap(&text::clean(what), READ, false, room - key - 16.0, 6);
        let lines = winds.len().max(what.len()) as f64;
        let is_last = k + 1 == rows.len();
        let more = if is_last { 0.0 } else { pitch };
        if y + (lines - 1.0) * pitch + more > FOOT {
            let left = rows.len() - k;
            let words = format!("and {left} more in the plan file");
            let style = (READ, false, palette::STONE);
            put(board, &words, style, [LEFT, y], Anchor::Start, room);
            return;
        }
        for (column, x, bold) in [(&winds, LEFT, true), (&what, LEFT + key + 16.0, false)] {
            for (k, line) in column.iter().enumerate() {
                let at = [x, y + k as f64 * pitch];
                let style = (READ, bold, palette::INK);
                put(board, line, style, at, Anchor::Start, room);
            }
        }
        y += lines * pitch + 9.0;
    }
}

/// The picture; none of a plan without other winds.
#[must_use]
pub fn lay_out(plan: &Plan) -> Option<Drawn> {
    let (cases, strong_m_s) = winds(plan);
    let first = cases.first()?;
    let unit = first.costs_unit.as_str();
    let lengths = Lengths::of_unit(&plan.words.unit);
    let measure = Measure::of(&cases);
    let middle = [PAGE[0] / 2.0, 548.0];
    let page = area(0.0, 0.0, PAGE[0], PAGE[1]);
    let mut board = Board::new(page, |_| 0.0);
    sheet::head(&mut board, plan, [LEFT, RIGHT], "if the wind is another");
    let petals: Vec<Petal<'_>> = cases
        .iter()
        .map(|case| {
            let is_strong = case.wind_m_s > strong_m_s;
            let beside = if is_strong { APART_DEG } else { -APART_DEG };
            Petal {
                case,
                from_deg: case.wind_from_deg - plan.hole.line_of_play_deg + beside,
                is_strong,
                long: measure.radius(kept(case)),
            }
        })
        .collect();
    let mut drawn = Vec::new();
    for petal in &petals {
        petal.draw(middle, &mut drawn);
        let line = [
            polar(middle, petal.from_deg, BUD),
            polar(middle, petal.from_deg, petal.long),
        ];
        board.keep_off(&line, 3.0);
    }
    disc(&mut board, plan, middle, &measure, unit);
    tips(&mut board, plan, &petals, middle);
    let y = key(&mut board, &cases, lengths, unit, middle[1] + RIM + 66.0);
    rows(&mut board, &instructions(&cases, plan, lengths), y);
    let title = format!(
        "Hole {}: what other winds change",
        text::clean(&plan.hole.reference)
    );
    let map = Area {
        left: middle[0] - RIM,
        top: middle[1] - RIM,
        right: middle[0] + RIM,
        bottom: middle[1] + RIM,
    };
    let group = Node::Group {
        id: "flower",
        clip: None,
        nodes: drawn,
    };
    Some(sheet::finish(
        title,
        PAGE[1],
        vec![group],
        board,
        (map, 1.0),
    ))
}

/// The club that changes, named at its petal's tip.
fn tips(board: &mut Board, plan: &Plan, petals: &[Petal<'_>], middle: Point) {
    for petal in petals.iter().filter(|petal| petal.case.changes == "club") {
        let at = polar(middle, petal.from_deg, petal.long.max(BUD + 16.0) + 4.0);
        let (sin, cos) = petal.from_deg.to_radians().sin_cos();
        let words = text::cut(&text::clean(&called(petal.case, plan)), READ, true, 250.0);
        board.place(&Request {
            gap: 5.0,
            reach: 150.0,
            side: Some([sin, -cos]),
            tied: true,
            ..Request::free(at, vec![Line::new(words, READ, true, palette::INK)])
        });
    }
}

/// How to read it; returns where the rows begin.
fn key(board: &mut Board, cases: &[&WhatIf], lengths: Lengths, unit: &str, y: f64) -> f64 {
    let mut speeds: Vec<f64> = cases.iter().map(|case| case.wind_m_s).collect();
    speeds.sort_by(f64::total_cmp);
    speeds.dedup();
    let speeds: Vec<String> = speeds.iter().map(|m_s| lengths.speed(*m_s)).collect();
    let counted = match unit {
        "chance" => "in how many of 100 it comes off less",
        "points" => "in points",
        _ => "in strokes",
    };
    let words = format!(
        "A petal points to where a wind comes from: {}. Length: what keeping the plan costs, \
         {counted}. Full: another club, open: another peg or aim, a grey ring: nothing changes.",
        match speeds.as_slice() {
            [light, strong] => format!("narrow {light}, wide {strong}"),
            speeds => speeds.join(", "),
        }
    );
    let style = (READ, false, palette::STONE);
    let y = sheet::paragraph(board, &words, style, [LEFT, y], RIGHT - LEFT, 5);
    let strong = (MEDIUM, true, palette::INK);
    let head = "What to do then";
    put(
        board,
        head,
        strong,
        [LEFT, y + 14.0],
        Anchor::Start,
        RIGHT - LEFT,
    );
    y + 56.0
}
