//! What other aims cost, under the plate and on its axis: yards at the landing from the
//! plan's aim. Only aims that were evaluated have a mark.

use super::card;
use super::frame::{Area, Frame};
use super::labels::{Board, Line};
use super::page::{Lengths, READ};
use super::scene::{self, Anchor, Node, Point, Stroke, palette};
use super::shot::window_deg;
use super::text;
use crate::plan::Plan;
use crate::plan::scene::turn_deg;
use crate::plan::why::{aim_name, cost_alone};

/// The axis runs this far to each side, in the page's unit.
const REACH: f64 = 25.0;
/// How high the strip is.
pub const HEIGHT: f64 = 92.0;

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
    let y = area.top + 20.0;
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
    let scale = format!("1:{:.0}", frame.scale);
    let scale = Line::new(scale, READ, false, palette::INK);
    let mut taken = vec![board.write(&scale, [area.right, y + 60.0], Anchor::End, false)];
    taken.extend(ends(board, area, plan, [at(-REACH), at(REACH)], y));
    for other in &plan.comparisons {
        let x = at(beside(other.shot.aim.bearing_deg));
        board.nodes.push(mark([x, y]));
        let name = match aim_name(&other.name) {
            "down the middle" => "middle",
            "aiming off half your bend" => "half your bend",
            name => name,
        };
        let cost = cost_alone(other.costs, other.costs_standard_error);
        let words = text::cut(&text::clean(&format!("{name} {cost}")), READ, true, 300.0);
        let half = text::width(&words, READ, true) / 2.0;
        let middle = x.clamp(area.left + half, (area.right - half).max(area.left + half));
        let line = Line::new(words, READ, true, palette::INK);
        for base in [y + 33.0, y + 60.0] {
            let there =
                super::labels::box_of(&line.words, READ, true, [middle, base], Anchor::Middle);
            if !taken.iter().any(|t| t.overlaps(&there)) {
                taken.push(board.write(&line, [middle, base], Anchor::Middle, false));
                break;
            }
        }
    }
}

/// What waits beyond each end of the axis; returns where that is written.
fn ends(board: &mut Board, area: &Area, plan: &Plan, axis: [f64; 2], y: f64) -> Vec<Area> {
    let [left, right, _] = card::sides(plan);
    let mut taken = Vec::new();
    for (name, side, anchor, x, room) in [
        ("left", left, Anchor::Start, area.left, axis[0] - area.left),
        (
            "right",
            right,
            Anchor::End,
            area.right,
            area.right - axis[1],
        ),
    ] {
        let words = match side.words.as_str() {
            "" => format!("{name}: open"),
            words => format!("{name}: {words}"),
        };
        for (k, line) in text::wrap(&words, READ, false, room - 12.0, 2)
            .iter()
            .enumerate()
        {
            let line = Line::new(line, READ, false, palette::STONE);
            taken.push(board.write(&line, [x, y + 7.0 + 27.0 * k as f64], anchor, false));
        }
    }
    taken
}

/// An aim that was evaluated: a wedge on the axis.
fn mark([x, y]: Point) -> Node {
    Node::Path {
        steps: scene::ring(&[[x, y - 2.0], [x - 7.0, y - 16.0], [x + 7.0, y - 16.0]]),
        fill: Some(scene::Fill::of(palette::INK)),
        stroke: None,
    }
}
