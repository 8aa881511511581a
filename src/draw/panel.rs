//! The head of the page, and what stands round the map: dial, scale, the lines to the tee.

use super::frame::{Area, Frame};
use super::labels::{Board, Line};
use super::page::{LARGE, Lengths, MEDIUM, READ, SMALL};
use super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::text;
use crate::plan::Plan;
use crate::plan::wind::to_the_aim;
pub use crate::plan::wind::{compass, is_windy};

/// Writes cleaned words, cut to a room, at a baseline, and returns their box.
pub fn put(
    board: &mut Board,
    words: &str,
    style: (f64, bool, scene::Colour),
    at: Point,
    anchor: Anchor,
    room: f64,
) -> Area {
    let words = text::cut(&text::clean(words), style.0, style.1, room);
    board.write(
        &Line::new(words, style.0, style.1, style.2),
        at,
        anchor,
        false,
    )
}

/// What is read on the tee.
pub const INK_READ: (f64, bool, scene::Colour) = (READ, false, palette::INK);
/// Small ink.
pub const INK_SMALL: (f64, bool, scene::Colour) = (SMALL, false, palette::INK);
/// Small, of the second rank.
pub const STONE_SMALL: (f64, bool, scene::Colour) = (SMALL, false, palette::STONE);

/// A rule across the page.
pub fn rule(board: &mut Board, area: &Area, y: f64, stroke: Stroke) {
    board
        .nodes
        .push(scene::line([area.left, y], [area.right, y], stroke));
}

/// The head of the page: which hole, how long, the day's wind on a dial that is turned
/// as the plate is.
pub fn head(board: &mut Board, area: &Area, plan: &Plan, lengths: Lengths, plate: &Frame) {
    let day = &plan.conditions;
    let ways = [0.0, day.wind_from_deg + 180.0].map(|deg| plate.direction(deg));
    let edge = dial(
        board,
        [area.right - 46.0, area.bottom - 41.0],
        ways,
        day.wind_m_s,
    );
    let base = area.bottom - 6.0;
    let upper = base - 33.0;
    let (wind, ways) = wind(plan, lengths);
    let strong = (MEDIUM, true, palette::INK);
    let right = [
        put(board, &wind, strong, [edge, upper], Anchor::End, 400.0),
        put(board, &ways, INK_READ, [edge, base], Anchor::End, 400.0),
    ];
    let number = put(
        board,
        &plan.hole.reference,
        (LARGE, true, palette::INK),
        [area.left, base],
        Anchor::Start,
        170.0,
    );
    let x = number.right + 26.0;
    let tee = plan.hole.tee_colour.as_ref();
    let tee = tee.map(|c| format!(" · {c} tee")).unwrap_or_default();
    let length = lengths.whole(plan.hole.length_m);
    let (par, unit) = (plan.hole.par, lengths.name());
    let mut facts = [
        format!("par {par} · {length} {unit}{tee}"),
        format!("par {par} · {length} {unit}"),
        format!("par {par}"),
    ]
    .to_vec();
    if plan.asked.is_some() {
        let own = "your own shot, not the plan";
        facts = facts.iter().map(|of| format!("{own} · {of}")).collect();
        facts.push(own.to_owned());
    }
    let room = right[1].left - 24.0 - x;
    let facts = first_fitting(facts, READ, room);
    let title = plan.hole.name.as_deref().unwrap_or_default();
    for (words, style, y, limit) in [
        (title, strong, upper, right[0].left),
        (&facts, INK_READ, base, right[1].left),
    ] {
        put(board, words, style, [x, y], Anchor::Start, limit - 24.0 - x);
    }
}

/// The first of these words that has room, the last where none has.
pub fn first_fitting(words: Vec<String>, size: f64, room: f64) -> String {
    let last = words.last().cloned().unwrap_or_default();
    let fits = |words: &String| text::width(&text::clean(words), size, false) <= room;
    words.into_iter().find(fits).unwrap_or(last)
}

/// The day's wind, and what it is along and across the aim.
pub(super) fn wind(plan: &Plan, lengths: Lengths) -> (String, String) {
    let speed = plan.conditions.wind_m_s;
    let from = plan.conditions.wind_from_deg;
    if !is_windy(speed) {
        return ("calm".to_owned(), String::new());
    }
    let aim_deg = plan.choice.shot.aim.bearing_deg;
    (
        format!("{} {}", lengths.speed(speed), compass(from)),
        to_the_aim(speed, from, aim_deg, lengths.unit()),
    )
}

/// Wind and north in one dial; returns its left edge.
pub(super) fn dial(
    board: &mut Board,
    centre: Point,
    [north, wind]: [Point; 2],
    wind_m_s: f64,
) -> f64 {
    let radius = 20.0;
    let on = |d: Point, r: f64| [centre[0] + d[0] * r, centre[1] + d[1] * r];
    let beside = |d: Point, r: f64, s: f64| {
        let foot = on(d, r);
        [foot[0] - d[1] * s, foot[1] + d[0] * s]
    };
    board.nodes.push(Node::Circle {
        id: None,
        at: centre,
        radius,
        fill: Some(Fill::of(palette::PAPER)),
        stroke: Some(Stroke::of(palette::MIST, 1.6)),
    });
    board.nodes.push(Node::Path {
        steps: scene::ring(&[
            on(north, radius + 3.0),
            beside(north, radius - 8.0, -5.0),
            beside(north, radius - 8.0, 5.0),
        ]),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    });
    if is_windy(wind_m_s) {
        let shaft = Stroke::of(palette::INK, 6.0);
        board
            .nodes
            .push(scene::line(on(wind, -26.0), on(wind, 8.0), shaft));
        board.nodes.push(Node::Path {
            steps: scene::ring(&[
                on(wind, 27.0),
                beside(wind, 5.0, 11.0),
                beside(wind, 5.0, -11.0),
            ]),
            fill: Some(Fill::of(palette::INK)),
            stroke: None,
        });
    }
    let spot = on(north, radius + 15.0);
    let letter = Line::new("N", READ, true, palette::INK);
    board.write(&letter, [spot[0], spot[1] + 8.0], Anchor::Middle, true);
    centre[0] - radius - 38.0
}

/// The scale bar, in the lower right corner of the map.
pub fn scale_bar(board: &mut Board, map: &Area, scale: f64, lengths: Lengths) {
    let unit = lengths.to_m(1.0) * 10_000.0 / scale;
    let size = [10.0, 20.0, 25.0, 50.0, 100.0]
        .into_iter()
        .filter(|s| s * unit <= 210.0)
        .fold(10.0, f64::max);
    let long = size * unit;
    let x = map.right - long;
    let y = map.bottom - 8.0;
    let half = long / 2.0;
    for (k, colour) in [(0.0, palette::INK), (1.0, palette::PAPER)] {
        board.nodes.push(Node::Path {
            steps: scene::rectangle(x + k * half, y - 7.0, half, 7.0),
            fill: Some(Fill::of(colour)),
            stroke: Some(Stroke::of(palette::INK, 1.4)),
        });
    }
    let words = format!("{size:.0} {} · 1:{scale:.0}", lengths.name());
    let label = Line::new(words, SMALL, false, palette::INK);
    let area = board.write(&label, [map.right, y - 14.0], Anchor::End, true);
    board.keep_clear(area);
    board.keep_clear(Area {
        left: x - 3.0,
        top: y - 10.0,
        right: x + long + 3.0,
        bottom: y + 4.0,
    });
}
