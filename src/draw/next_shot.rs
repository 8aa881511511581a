//! What comes after the tee shot: a light line on, and a word on it.

use super::labels::{Board, Line, Request};
use super::page::SMALL;
use super::scene::{Fill, Node, Point, Stroke, palette};
use super::shot::{Marks, Sight};
use super::{scene, text};
use crate::plan::LonLat;
use crate::plan::next::{by_strokes, named};
use geo::Coord;

/// Draws the next shot from the middle of where the tee shot finishes, and asks
/// for a label last of all: it goes where room is left.
pub fn draw(
    sight: &Sight<'_>,
    plane: &dyn Fn(LonLat) -> Coord<f64>,
    marks: &mut Marks,
    board: &mut Board,
) {
    let Some(next) = sight
        .plan
        .whole_hole
        .as_ref()
        .and_then(|whole| whole.next.as_ref())
    else {
        return;
    };
    let [from, to] = [next.from, next.choice.rest].map(|p| sight.frame.place(plane(p)));
    if ![from, to].iter().flatten().all(|v| v.is_finite()) {
        return;
    }
    let inner = sight.frame.area.grown(-8.0);
    let Some([a, b]) = inner.part_of(from, to) else {
        return;
    };
    let dashed = Stroke::of(palette::ACCENT, 1.8).dashed(12.0, 9.0);
    marks
        .nodes
        .push(scene::line(a, b, Stroke::of(palette::PAPER, 4.0)));
    marks.nodes.push(scene::line(a, b, dashed));
    board.keep_off(&[a, b], 0.7);
    if inner.holds(to) {
        marks.nodes.push(Node::Circle {
            id: Some("next"),
            at: to,
            radius: 6.0,
            fill: Some(Fill::of(palette::PAPER)),
            stroke: Some(Stroke::of(palette::ACCENT, 1.8)),
        });
    }
    let mut lines = vec![Line::new(
        format!("then {}", text::clean(&named(&next.choice))),
        SMALL,
        true,
        palette::ACCENT,
    )];
    let mut under = match next.miss.side.as_str() {
        "either" => String::new(),
        side => format!("miss {side}"),
    };
    if !next.choice.at_green {
        let leave = format!("leave {}", sight.lengths.whole(next.choice.left_m));
        under = if under.is_empty() {
            leave
        } else {
            format!("{leave}, {under}")
        };
    }
    if by_strokes(next) {
        // The tee was decided for something else.
        let comma = if under.is_empty() { "" } else { ", " };
        under = format!("for fewest strokes{comma}{under}");
    }
    lines.push(Line::new(under, SMALL, false, palette::INK));
    let middle: Point = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
    marks.requests.push(Request {
        at: middle,
        lines,
        gap: 12.0,
        reach: 150.0,
        side: None,
        within: None,
        limit: f64::MAX,
        tied: false,
        needed: false,
    });
}
