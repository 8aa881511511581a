//! What the pictures beside the hole page have in common: white paper, the hole and its club at the
//! head, a rule below.

use super::frame::Area;
use super::labels::{Board, Layout};
use super::page::{Drawn, LARGE, MEDIUM, PAGE, area, group};
use super::panel::{INK_READ, put, rule};
use super::scene::{self, Anchor, Fill, Node, Stroke, palette};
use super::text;
use crate::plan::Plan;
use crate::plan::sentence::{self, capital};

/// Left and right edge of what is printed.
pub(super) const LEFT: f64 = 60.0;
pub(super) const RIGHT: f64 = 1_020.0;
/// Where what stands below the head begins.
pub(super) const TOP: f64 = 150.0;

/// The hole's number and name, the club, and a line below the name.
pub(super) fn head(board: &mut Board, plan: &Plan, [left, right]: [f64; 2], under: &str) {
    let large = (LARGE, true, palette::INK);
    let number = &plan.hole.reference;
    let number = put(board, number, large, [left, 118.0], Anchor::Start, 170.0);
    let at = number.right + 30.0;
    let strong = (MEDIUM, true, palette::INK);
    let club = capital(&sentence::club(&plan.choice.shot.club));
    let club = put(board, &club, strong, [right, 85.0], Anchor::End, 420.0);
    let name = plan.hole.name.clone().unwrap_or_default();
    let room = club.left - at - 20.0;
    put(board, &name, strong, [at, 85.0], Anchor::Start, room);
    let room = right - at;
    put(board, under, INK_READ, [at, 118.0], Anchor::Start, room);
    let across = area(left, 40.0, right, 132.0);
    rule(board, &across, 132.0, Stroke::of(palette::INK, 3.0));
}

/// Wrapped words from a baseline down, at most so many lines; returns the next free baseline.
pub(super) fn paragraph(
    board: &mut Board,
    words: &str,
    style: (f64, bool, scene::Colour),
    [x, mut y]: scene::Point,
    room: f64,
    most: usize,
) -> f64 {
    let words = text::hold_units(&text::clean(words));
    let pitch = style.0 * (text::ascent(&words) + text::DESCENT).max(1.2) + 0.5;
    for line in text::wrap(&words, style.0, style.1, room, most) {
        put(board, &line, style, [x, y], Anchor::Start, room);
        y += pitch;
    }
    y
}

/// Drawings and words together on white paper of a height.
pub(super) fn finish(
    title: String,
    high: f64,
    under: Vec<Node>,
    board: Board,
    (map, scale): (Area, f64),
) -> Drawn {
    let paper = area(0.0, 0.0, PAGE[0], high);
    let mut nodes = vec![Node::Path {
        steps: scene::rectangle(0.0, 0.0, paper.right, paper.bottom),
        fill: Some(Fill::of(palette::PAPER)),
        stroke: None,
    }];
    nodes.extend(under);
    nodes.push(group("words", board.nodes));
    Drawn {
        title,
        nodes,
        layout: Layout {
            page: paper,
            map,
            scale,
            texts: board.texts,
            unplaced: board.unplaced,
            plate: None,
        },
    }
}

/// A picture as SVG text.
#[must_use]
pub fn svg(drawn: &Drawn) -> String {
    let page = &drawn.layout.page;
    super::svg::write([page.right, page.bottom], &drawn.title, &drawn.nodes)
}

/// A map's nodes cut to its area, and the neat line round it.
pub(super) fn cut_to(id: &'static str, map: &Area, nodes: Vec<Node>) -> [Node; 2] {
    let frame = scene::rectangle(map.left, map.top, map.width(), map.height());
    [
        Node::Group {
            id,
            clip: Some(frame.clone()),
            nodes,
        },
        Node::Path {
            steps: frame,
            fill: None,
            stroke: Some(Stroke::of(palette::INK, 2.0)),
        },
    ]
}
