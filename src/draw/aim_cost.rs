//! What other aims cost, under the plate and on its axis: yards at the landing from the
//! plan's aim. Only aims that were evaluated have a mark.

use super::frame::{Area, Frame};
use super::labels::{Board, Line};
use super::page::{Lengths, READ};
use super::scene::{self, Anchor, Node, Point, Stroke, palette};
use super::shot::window_deg;
use super::text;
use crate::plan::Plan;
use crate::plan::card;
use crate::plan::scene::turn_deg;
use crate::plan::why::cost_alone;

/// The axis runs this far to each side, in the page's unit.
const REACH: f64 = 25.0;
/// How high the strip is.
pub const HEIGHT: f64 = 91.0;

/// Draws the axis below the plate whose frame is given; `aim` is where the plan's aim
/// meets the landing distance on paper.
pub fn draw(
    board: &mut Board,
    area: &Area,
    plan: &Plan,
    frame: &Frame,
    aim: Point,
    lengths: Lengths,
) {
    let carry_m = plan.choice.shot.carry_m;
    let aim_deg = plan.choice.shot.aim.bearing_deg;
    if !(aim[0].is_finite() && carry_m.is_finite() && aim_deg.is_finite()) {
        return;
    }
    let unit = frame.length(lengths.to_m(1.0));
    let y = area.top + 19.0;
    let at = |value: f64| (aim[0] + value * unit).clamp(area.left, area.right);
    let beside = |bearing_deg: f64| {
        let turn = turn_deg(bearing_deg - aim_deg).clamp(-60.0, 60.0);
        lengths
            .of(carry_m * turn.to_radians().tan())
            .clamp(-REACH, REACH)
    };
    let ink = Stroke::of(palette::INK, 1.6);
    board
        .nodes
        .push(scene::line([at(-REACH), y], [at(REACH), y], ink));
    for k in -5..=5_i32 {
        let x = aim[0] + f64::from(k * 5) * unit;
        if x >= area.left && x <= area.right {
            let long = if k.abs() == 5 || k == 0 { 8.0 } else { 5.0 };
            board
                .nodes
                .push(scene::line([x, y - long], [x, y + long], ink));
        }
    }
    if let Some(ends) = window_deg(plan) {
        let [from, to] = ends.map(|end| at(beside(end)));
        let hung = Stroke::of(palette::ACCENT, 1.2);
        for x in [from, to] {
            board.nodes.push(scene::line([x, area.top], [x, y], hung));
        }
        board.nodes.push(scene::line(
            [from, y],
            [to, y],
            Stroke::of(palette::ACCENT, 7.0),
        ));
    }
    board.nodes.push(Node::Circle {
        id: None,
        at: [at(0.0), y],
        radius: 8.5,
        fill: Some(scene::Fill::of(palette::PAPER)),
        stroke: Some(Stroke::of(palette::ACCENT, 3.0)),
    });
    let mut marks: Vec<(f64, Line)> = plan
        .comparisons
        .iter()
        .map(|other| {
            let name = match other.name.as_str() {
                "down the middle" => "middle",
                "aiming off half your bend" => "half bend",
                name => name,
            };
            let cost = cost_alone(other.costs, other.costs_standard_error);
            let words = text::clean(&format!("{name} {cost}"));
            let words = text::cut(&words, READ, true, area.width() / 2.0 - 20.0);
            let x = at(beside(other.shot.aim.bearing_deg));
            (x, Line::new(words, READ, true, palette::INK))
        })
        .collect();
    marks.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (x, middle) in apart(&marks, area) {
        board.nodes.push(mark([x, y]));
        let hair = Stroke::of(palette::STONE, 1.6);
        board
            .nodes
            .push(scene::line([x, y + 3.0], [middle, y + 13.0], hair));
    }
    for ((_, middle), (_, line)) in apart(&marks, area).into_iter().zip(&marks) {
        board.write(line, [middle, y + 33.0], Anchor::Middle, false);
    }
    ends(board, area, plan, y + 61.0);
}

/// Where the words of marks stand, beside where the marks do: as near as they can
/// without lying on each other.
fn apart(marks: &[(f64, Line)], area: &Area) -> Vec<(f64, f64)> {
    let half = |k: usize| marks[k].1.width() / 2.0 + 8.0;
    let mut middles: Vec<f64> = marks.iter().map(|mark| mark.0).collect();
    for _ in 0..40 {
        for k in 0..middles.len() {
            let low = area.left + half(k);
            middles[k] = middles[k].clamp(low, (area.right - half(k)).max(low));
            if k > 0 {
                let over = half(k - 1) + half(k) - (middles[k] - middles[k - 1]);
                if over > 0.0 {
                    middles[k - 1] -= over / 2.0;
                    middles[k] += over / 2.0;
                }
            }
        }
    }
    marks.iter().map(|mark| mark.0).zip(middles).collect()
}

/// What waits beyond each end of the axis: all of it where there is room, else what is
/// dearest.
fn ends(board: &mut Board, area: &Area, plan: &Plan, y: f64) {
    let around = card::around(plan);
    let on_both = around.on_both();
    let said = |worst: bool| {
        [("left", &around.left), ("right", &around.right)].map(|(name, side)| {
            // What lies across the line may lie on either side too.
            let across = on_both.first().filter(|_| side.words.is_empty());
            let side = across.map_or(side, |across| across.1);
            let words = if worst { &side.worst } else { &side.words };
            match words.as_str() {
                "" => format!("{name}: open"),
                words => format!("{name}: {words}"),
            }
        })
    };
    let wide =
        |words: &[String; 2]| -> f64 { words.iter().map(|w| text::width(w, READ, false)).sum() };
    let all = said(false);
    let words = if wide(&all) + 20.0 <= area.width() {
        all
    } else {
        said(true)
    };
    let [left, right] = words;
    for (words, x, anchor) in [
        (left, area.left, Anchor::Start),
        (right, area.right, Anchor::End),
    ] {
        let line = Line::new(words, READ, false, palette::STONE);
        board.write(&line, [x, y], anchor, false);
    }
}

/// An aim that was evaluated: a wedge on the axis.
fn mark([x, y]: Point) -> Node {
    Node::Path {
        steps: scene::ring(&[[x, y - 2.0], [x - 7.0, y - 16.0], [x + 7.0, y - 16.0]]),
        fill: Some(scene::Fill::of(palette::INK)),
        stroke: None,
    }
}
