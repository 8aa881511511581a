//! What other aims cost, under the plate and on its axis: a curve over the yards at the landing from
//! the plan's aim, with the cost at either end. Named aims have a mark.

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
pub const HEIGHT: f64 = 122.0;
/// How high the curve may stand, and a stroke on its scale; higher costs are cut.
const CURVE: f64 = 36.0;
const STROKE: f64 = 150.0;

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
    let y = area.top + CURVE + 6.0;
    let at = |value: f64| (aim[0] + value * unit).clamp(area.left, area.right);
    let side_of = |bearing_deg: f64| {
        let turn = turn_deg(bearing_deg - aim_deg).clamp(-60.0, 60.0);
        lengths.of(carry_m * turn.to_radians().tan())
    };
    let beside = |bearing_deg: f64| side_of(bearing_deg).clamp(-REACH, REACH);
    let line_of_play_deg = aim_deg - plan.choice.shot.aim.from_line_of_play_deg;
    let costs = plan.choice.aim_costs.iter().map(|cost| {
        let side = side_of(line_of_play_deg + cost.aim_deg);
        (side, cost.costs, cost.costs_standard_error)
    });
    let costs: Vec<(f64, f64, f64)> = costs.filter(|cost| cost.1.is_finite()).collect();
    curve(board, &costs, [aim[0], y], unit);
    for (name, side) in [("left", -REACH), ("right", REACH)] {
        let x = aim[0] + side * unit;
        let Some((costs, error)) = cost_at(&costs, side).filter(|_| at(side) == x) else {
            continue;
        };
        let (room, anchor) = if side < 0.0 {
            (x - area.left, Anchor::End)
        } else {
            (area.right - x, Anchor::Start)
        };
        let cost = cost_alone(costs, error);
        let words = [format!("{REACH:.0} {name} {cost}"), cost];
        let fits = |words: &&String| text::width(words, READ, false) + 12.0 <= room;
        if let Some(words) = words.iter().find(fits) {
            let line = Line::new(text::clean(words), READ, false, palette::INK);
            board.write(&line, [x + 8.0 * side.signum(), y + 9.0], anchor, false);
        }
    }
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
    // An aim beyond the axis says how far off it is, and has no wedge.
    let is_beyond = |bearing_deg: f64| side_of(bearing_deg).abs() > REACH;
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
            let bearing_deg = other.shot.aim.bearing_deg;
            let side = side_of(bearing_deg);
            let far = match is_beyond(bearing_deg) {
                true if side < 0.0 => format!(" {:.0} left", -side),
                true => format!(" {side:.0} right"),
                false => String::new(),
            };
            let words = text::clean(&format!("{name}{far} {cost}"));
            let words = text::cut(&words, READ, true, area.width() / 2.0 - 20.0);
            let x = at(beside(bearing_deg));
            (x, Line::new(words, READ, true, palette::INK))
        })
        .collect();
    marks.sort_by(|a, b| a.0.total_cmp(&b.0));
    let bearings = plan.comparisons.iter().map(|o| o.shot.aim.bearing_deg);
    for bearing_deg in bearings.filter(|bearing_deg| !is_beyond(*bearing_deg)) {
        board.nodes.push(mark([at(beside(bearing_deg)), y]));
    }
    for (x, middle) in apart(&marks, area) {
        let hair = Stroke::of(palette::STONE, 1.6);
        board
            .nodes
            .push(scene::line([x, y + 16.0], [middle, y + 20.0], hair));
    }
    for ((_, middle), (_, line)) in apart(&marks, area).into_iter().zip(&marks) {
        board.write(line, [middle, y + 41.0], Anchor::Middle, false);
    }
    ends(board, area, plan, y + 69.0);
}

/// The cost so far beside the plan's aim, and its standard error: between two evaluated aims, a straight
/// line. None beyond them.
fn cost_at(costs: &[(f64, f64, f64)], side: f64) -> Option<(f64, f64)> {
    let pair = costs
        .windows(2)
        .find(|pair| (pair[0].0..=pair[1].0).contains(&side))?;
    let share = (side - pair[0].0) / (pair[1].0 - pair[0].0).max(f64::MIN_POSITIVE);
    let between = |a: f64, b: f64| a + share * (b - a);
    Some((between(pair[0].1, pair[1].1), between(pair[0].2, pair[1].2)))
}

/// The costs of other aims as a curve over the axis, as far as it goes; `aim` is where the plan's aim is
/// on it.
fn curve(board: &mut Board, costs: &[(f64, f64, f64)], aim: Point, unit: f64) {
    const STEPS: i32 = 50;
    let points: Vec<Point> = (-STEPS..=STEPS)
        .filter_map(|k| {
            let side = REACH * f64::from(k) / f64::from(STEPS);
            let (costs, _) = cost_at(costs, side)?;
            let up = (costs.max(0.0) * STROKE).min(CURVE);
            Some([aim[0] + side * unit, aim[1] - up])
        })
        .collect();
    if points.len() > 1 {
        board.nodes.push(Node::Path {
            steps: scene::polyline(&points),
            fill: None,
            stroke: Some(Stroke::of(palette::INK, 3.0)),
        });
    }
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

/// A named aim: a wedge under the axis.
fn mark([x, y]: Point) -> Node {
    Node::Path {
        steps: scene::ring(&[[x, y + 3.0], [x - 7.0, y + 16.0], [x + 7.0, y + 16.0]]),
        fill: Some(scene::Fill::of(palette::INK)),
        stroke: None,
    }
}
