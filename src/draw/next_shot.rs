//! What comes after the tee shot: a light line on.

use super::labels::Board;
use super::scene;
use super::scene::{Fill, Node, Stroke, palette};
use super::shot::{Marks, Sight};
use crate::plan::LonLat;
use geo::Coord;

/// Draws the next shot from the middle of where the tee shot finishes.
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
    let Some([a, b]) = sight.frame.area.part_of(from, to) else {
        return;
    };
    let dashed = Stroke::of(palette::INK, 1.8).dashed(12.0, 9.0);
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
            stroke: Some(Stroke::of(palette::INK, 1.8)),
        });
    }
}
