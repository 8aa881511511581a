//! What comes after the tee shot: a light line on, and its words.

use super::card::NEAR_PIN_M;
use super::labels::Board;
use super::page::{Lengths, Placed};
use super::scene::{Fill, Node, Stroke, palette};
use super::shot::{Marks, Sight};
use super::{scene, text};
use crate::plan::next::{by_strokes, named};
use crate::plan::{LonLat, Plan};
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

/// What comes next in words: club, front and back of the green from there, where to
/// miss; none where the tee shot was decided without it.
pub(super) fn words(
    plan: &Plan,
    placed: &Placed,
    to_go_m: f64,
    lengths: Lengths,
) -> Option<String> {
    let next = plan.whole_hole.as_ref().and_then(|w| w.next.as_ref())?;
    let say = |m: f64| lengths.whole(m);
    let mut words = text::clean(&named(&next.choice));
    if !next.choice.at_green {
        let [total, left] = [next.choice.total_m, next.choice.left_m].map(say);
        words.push_str(&format!(" of {total}, leave {left}"));
    } else if to_go_m <= NEAR_PIN_M {
        words.push_str(&format!(", {} to the pin", say(to_go_m)));
    } else if let Some([front, back]) = placed.green_from_rest_m {
        words.push_str(&format!(": front {}, back {}", say(front), say(back)));
    }
    if next.miss.side != "either" {
        words.push_str(&format!("; miss {}", text::clean(&next.miss.side)));
    }
    if by_strokes(next) {
        // The tee was decided for something else.
        words.push_str("; for fewest strokes");
    }
    Some(words)
}
