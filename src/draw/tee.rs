//! The ground at the golfer's feet.

use super::frame::Area;
use super::labels::{About, Board, Line, Request};
use super::page::{Lengths, MEDIUM, Placed, READ, fixed};
use super::panel::put;
use super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::text;
use crate::plan::Plan;
use crate::plan::sentence::{AT_M, AT_MARKER_M};

/// A value kept within bounds; the lower bound for what is not a number.
fn within(value: f64, low: f64, high: f64) -> f64 {
    if value.is_nan() {
        low
    } else {
        value.clamp(low, high)
    }
}

/// The ground at the golfer's feet: markers, peg, feet, the way the set-up points.
pub fn tee(board: &mut Board, area: &Area, plan: &Plan, placed: &Placed, lengths: Lengths) {
    let shot = &plan.choice.shot;
    let width = within(plan.hole.teeing_width_m, 0.5, 60.0);
    let depth = within(plan.hole.teeing_depth_m, 0.5, 5.0);
    let scale = ((area.width() - 140.0) / width).min((area.height() - 130.0) / depth);
    let left = (area.left + area.right - width * scale) / 2.0;
    let front = area.bottom - 22.0 - depth * scale;
    let right = left + width * scale;
    let back = front + depth * scale;
    let peg = [
        left + within(shot.tee.from_left_marker_m, 0.0, width) * scale,
        front + within(shot.tee.behind_front_m, 0.0, depth) * scale,
    ];
    let ink = Stroke::of(palette::INK, 2.4);
    board.nodes.push(Node::Path {
        steps: scene::rectangle(left, front, right - left, back - front),
        fill: Some(Fill {
            colour: palette::FAIRWAY,
            opacity: 0.75,
        }),
        stroke: None,
    });
    let edge = if plan.hole.teeing_area_assumed {
        ink.dashed(9.0, 7.0)
    } else {
        ink
    };
    board
        .nodes
        .push(scene::line([left, front], [right, front], edge));
    board.nodes.push(Node::Path {
        steps: scene::polyline(&[[left, front], [left, back], [right, back], [right, front]]),
        fill: None,
        stroke: Some(Stroke::of(palette::STONE, 1.5).dashed(5.0, 5.0)),
    });
    board.keep_off(
        &[[left, front], [left, back], [right, back], [right, front]],
        6.0,
    );
    for x in [left, right] {
        board.nodes.push(scene::disc(
            [x, front],
            9.0,
            palette::INK,
            Some(Stroke::of(palette::PAPER, 2.0)),
        ));
        board.keep_clear(Area {
            left: x - 10.0,
            top: front - 10.0,
            right: x + 10.0,
            bottom: front + 10.0,
        });
    }
    board.keep_off(&[[left, front], [right, front]], 0.6);
    // The aim, at its true angle to the markers.
    let angle = placed.aim_from_square_deg;
    if angle.is_finite() && angle.abs() < 80.0 {
        let (sin, cos) = angle.to_radians().sin_cos();
        let tip_y = area.top + 20.0;
        let long = ((peg[1] - tip_y) / cos).min(if sin.abs() > 1e-9 {
            (if sin > 0.0 {
                area.right - peg[0]
            } else {
                peg[0] - area.left
            } - 8.0)
                / sin.abs()
        } else {
            f64::MAX
        });
        let on = |r: f64, off: f64| [peg[0] + sin * r + cos * off, peg[1] - cos * r + sin * off];
        board.nodes.push(scene::line(
            peg,
            on(long - 14.0, 0.0),
            Stroke::of(palette::ACCENT, 3.4).dashed(22.0, 9.0),
        ));
        board.nodes.push(Node::Path {
            steps: scene::ring(&[on(long, 0.0), on(long - 20.0, 9.0), on(long - 20.0, -9.0)]),
            fill: Some(Fill::of(palette::ACCENT)),
            stroke: None,
        });
        board.keep_off(&[peg, on(long, 0.0)], 4.0);
        // The feet: left of the ball for a right-hander, seen down the hole.
        let side = if plan.player.handedness == "left" {
            1.0
        } else {
            -1.0
        };
        for along in [-0.24, 0.24] {
            let centre = on(along * scale, side * 0.75 * scale);
            let foot = |a: f64, b: f64| {
                // A foot is longer across the line than along it.
                let (x, y) = (b * (0.145 * scale).max(10.0), a * (0.06 * scale).max(4.0));
                [centre[0] + sin * y + cos * x, centre[1] - cos * y + sin * x]
            };
            let outline: Vec<Point> = (0..24)
                .map(|k| {
                    let (s, c) = (f64::from(k) * std::f64::consts::TAU / 24.0).sin_cos();
                    foot(s, c)
                })
                .collect();
            if outline.iter().all(|p| area.holds(*p)) {
                board.nodes.push(Node::Path {
                    steps: scene::ring(&outline),
                    fill: Some(Fill::of(palette::MIST)),
                    stroke: Some(Stroke::of(palette::STONE, 1.4)),
                });
                board.keep_off(&[foot(0.0, -1.0), foot(0.0, 1.0)], 1.5);
            }
        }
    }
    // How far in, from both markers, and how far back.
    let level = front - 26.0;
    let span = |from: f64, to: f64, nodes: &mut Vec<Node>| {
        let thin = Stroke::of(palette::INK, 1.4);
        nodes.push(scene::line([from, level], [to, level], thin));
        for x in [from, to] {
            nodes.push(scene::line([x, level - 6.0], [x, level + 6.0], thin));
        }
    };
    span(left, peg[0], &mut board.nodes);
    span(peg[0], right, &mut board.nodes);
    board.nodes.push(scene::line(
        [peg[0], level + 6.0],
        [peg[0], peg[1]],
        Stroke::of(palette::INK, 1.4).dashed(2.0, 5.0),
    ));
    board.keep_off(&[[left, level], [right, level]], 3.0);
    board.keep_off(&[[peg[0], level], peg], 3.0);
    board.nodes.push(scene::disc(
        peg,
        9.5,
        palette::ACCENT,
        Some(Stroke::of(palette::PAPER, 2.4)),
    ));
    board.keep_clear(Area {
        left: peg[0] - 12.0,
        top: peg[1] - 12.0,
        right: peg[0] + 12.0,
        bottom: peg[1] + 12.0,
    });
    let from_left = within(shot.tee.from_left_marker_m, 0.0, width);
    let bold = |words: String| Line::new(words, MEDIUM, true, palette::INK);
    let mut requests = Vec::new();
    for (at, metres, nearer) in [
        ((left + peg[0]) / 2.0, from_left, from_left <= width / 2.0),
        (
            (peg[0] + right) / 2.0,
            width - from_left,
            from_left > width / 2.0,
        ),
    ] {
        let small = |words: String| Line::new(words, READ, false, palette::INK);
        let at_marker = nearer && metres <= AT_MARKER_M;
        let lines = if at_marker {
            vec![small("by the marker".to_owned())]
        } else if nearer {
            vec![
                bold(lengths.tenth(metres)),
                small(format!("{} in", lengths.name())),
            ]
        } else {
            vec![small(lengths.tenth(metres))]
        };
        // Each distance keeps to its own side of the peg.
        let within = if at < peg[0] {
            Area {
                right: peg[0] - 3.0,
                ..*area
            }
        } else {
            Area {
                left: peg[0] + 3.0,
                ..*area
            }
        };
        let request = Request {
            about: About::Itself,
            at: [at, level],
            or: None,
            lines,
            gap: 7.0,
            reach: if at_marker { 260.0 } else { 90.0 },
            is_of_right: None,
            side: Some([0.0, -1.0]),
            within: (!at_marker).then_some(within),
            limit: f64::MAX,
            tied: false,
            needed: true,
        };
        // The distance to pace comes first.
        if nearer {
            requests.insert(0, request);
        } else {
            requests.push(request);
        }
    }
    let behind = within(shot.tee.behind_front_m, 0.0, depth);
    // At the front there is nothing to measure.
    if behind > AT_M {
        requests.insert(
            1,
            Request {
                about: About::Itself,
                at: [peg[0], (front + peg[1]) / 2.0],
                or: None,
                lines: vec![
                    bold(lengths.tenth(behind)),
                    Line::new(
                        format!("{} back", lengths.name()),
                        READ,
                        false,
                        palette::INK,
                    ),
                ],
                gap: 13.0,
                reach: 120.0,
                is_of_right: None,
                side: Some(if plan.player.handedness == "left" {
                    [-1.0, 0.4]
                } else {
                    [1.0, 0.4]
                }),
                within: None,
                limit: f64::MAX,
                tied: false,
                needed: true,
            },
        );
    }
    for request in requests {
        board.place(&request);
    }
}

/// Under the picture of the tee: what the markers do to the eye.
pub fn tee_note(board: &mut Board, area: &Area, plan: &Plan, placed: &Placed) {
    let angle = placed.aim_from_square_deg;
    let markers = if !angle.is_finite() {
        String::new()
    } else if angle.abs() < 0.75 {
        "markers square to the aim".to_owned()
    } else {
        format!(
            "markers point {}° {} of the aim",
            fixed(angle.abs(), 0),
            if angle > 0.0 { "left" } else { "right" }
        )
    };
    // Where no markers are known, how they point is not either.
    let words = if plan.hole.teeing_area_assumed {
        "assumed: measure at the markers".to_owned()
    } else {
        markers
    };
    let lines = text::wrap(&words, READ, false, area.width(), 2);
    for (k, line) in lines.iter().enumerate() {
        let at = [area.left, area.top + READ + k as f64 * 30.0];
        let style = (READ, false, palette::STONE);
        put(board, line, style, at, Anchor::Start, area.width());
    }
}
