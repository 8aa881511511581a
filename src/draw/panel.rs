//! The words round the map: the hole above, the tee and the numbers below.

use super::frame::Area;
use super::labels::{Board, Line, Request};
use super::page::{LARGE, Lengths, MEDIUM, Placed, SMALL, fixed};
use super::scene::{self, Anchor, Fill, Node, Point, Step, Stroke, palette};
use super::text;
use crate::hole::Surface;
use crate::plan::{Finish, Plan};

/// Writes cleaned words, cut to a room, at a baseline.
fn put(
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

/// A value kept within bounds; the lower bound for what is not a number.
fn within(value: f64, low: f64, high: f64) -> f64 {
    if value.is_nan() {
        low
    } else {
        value.clamp(low, high)
    }
}

const INK_SMALL: (f64, bool, scene::Colour) = (SMALL, false, palette::INK);
const STONE_SMALL: (f64, bool, scene::Colour) = (SMALL, false, palette::STONE);

/// A rule across the page.
pub fn rule(board: &mut Board, area: &Area, y: f64, stroke: Stroke) {
    board
        .nodes
        .push(scene::line([area.left, y], [area.right, y], stroke));
}

/// The head of the page: which hole, how long, the day's wind.
pub fn head(board: &mut Board, area: &Area, plan: &Plan, lengths: Lengths) {
    let base = area.bottom - 6.0;
    let number = put(
        board,
        &plan.hole.reference,
        (LARGE, true, palette::INK),
        [area.left, base],
        Anchor::Start,
        170.0,
    );
    let x = number.right + 26.0;
    let room = area.right - 400.0 - x;
    let title = plan.hole.name.clone().unwrap_or_default();
    let facts = {
        let tee = plan
            .hole
            .tee_colour
            .as_ref()
            .map(|c| format!(" · {c} tee"))
            .unwrap_or_default();
        format!(
            "par {} · {} {}{tee}",
            plan.hole.par,
            lengths.whole(plan.hole.length_m),
            lengths.name()
        )
    };
    put(
        board,
        &title,
        (MEDIUM, true, palette::INK),
        [x, base - 33.0],
        Anchor::Start,
        room,
    );
    put(board, &facts, INK_SMALL, [x, base], Anchor::Start, room);

    let speed = plan.conditions.wind_m_s;
    let room = 380.0;
    if !is_windy(speed) {
        put(
            board,
            "calm",
            (MEDIUM, true, palette::INK),
            [area.right, base - 33.0],
            Anchor::End,
            room,
        );
        return;
    }
    let from = plan.conditions.wind_from_deg;
    put(
        board,
        &format!("{} {}", lengths.speed(speed), compass(from)),
        (MEDIUM, true, palette::INK),
        [area.right, base - 33.0],
        Anchor::End,
        room,
    );
    let turn = (from - plan.choice.shot.aim.bearing_deg).to_radians();
    put(
        board,
        &relative(speed * turn.cos(), speed * turn.sin(), lengths),
        INK_SMALL,
        [area.right, base],
        Anchor::End,
        room,
    );
}

fn is_windy(speed_m_s: f64) -> bool {
    speed_m_s >= 0.25
}

/// Wind and north in one dial, turned as the map is turned, in the upper
/// corner of the map that is farther from the pin.
pub fn dial(board: &mut Board, map: &Area, plan: &Plan, pin: Point, north: Point, wind: Point) {
    let radius = 44.0;
    let reach = radius + 30.0;
    let x = if pin[0] > (map.left + map.right) / 2.0 + 60.0 {
        map.left + reach
    } else {
        map.right - reach
    };
    let centre = [x, map.top + reach];
    let on = |d: Point, r: f64| [centre[0] + d[0] * r, centre[1] + d[1] * r];
    board.nodes.push(Node::Circle {
        id: None,
        at: centre,
        radius,
        fill: Some(Fill::of(palette::PAPER)),
        stroke: Some(Stroke::of(palette::MIST, 1.6)),
    });
    let beside = |d: Point, r: f64, s: f64| {
        let foot = on(d, r);
        [foot[0] - d[1] * s, foot[1] + d[0] * s]
    };
    board.nodes.push(Node::Path {
        steps: scene::ring(&[
            on(north, radius + 4.0),
            beside(north, radius - 10.0, -6.5),
            beside(north, radius - 10.0, 6.5),
        ]),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    });
    if is_windy(plan.conditions.wind_m_s) {
        let shaft = Stroke::of(palette::INK, 7.0);
        board
            .nodes
            .push(scene::line(on(wind, -28.0), on(wind, 10.0), shaft));
        board.nodes.push(Node::Path {
            steps: scene::ring(&[
                on(wind, 31.0),
                beside(wind, 5.0, 15.0),
                beside(wind, 5.0, -15.0),
            ]),
            fill: Some(Fill::of(palette::INK)),
            stroke: None,
        });
    }
    let spot = on(north, radius + 16.0);
    let letter = Line::new("N", SMALL, true, palette::INK);
    board.write(&letter, [spot[0], spot[1] + 8.0], Anchor::Middle, true);
    board.keep_clear(Area {
        left: centre[0] - reach,
        top: centre[1] - reach,
        right: centre[0] + reach,
        bottom: centre[1] + reach,
    });
}

/// The wind along and across the aim, in words.
fn relative(head: f64, cross: f64, lengths: Lengths) -> String {
    let mut parts = Vec::new();
    let along = lengths.speed_number(head.abs());
    if along != "0" {
        parts.push(format!(
            "{along} {}",
            if head > 0.0 { "against" } else { "behind" }
        ));
    }
    let aside = lengths.speed_number(cross.abs());
    if aside != "0" {
        parts.push(format!(
            "{aside} from {}",
            if cross > 0.0 { "right" } else { "left" }
        ));
    }
    parts.join(", ")
}

/// One of sixteen names for where a wind blows from.
fn compass(from_deg: f64) -> &'static str {
    const NAMES: [&str; 16] = [
        "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW",
        "NW", "NNW",
    ];
    if !from_deg.is_finite() {
        return "";
    }
    NAMES[((from_deg.rem_euclid(360.0) / 22.5).round() as usize) % 16]
}

/// The ground at the golfer's feet: markers, peg, feet, the way the set-up points.
pub fn tee(board: &mut Board, area: &Area, plan: &Plan, placed: &Placed, lengths: Lengths) {
    let shot = &plan.choice.shot;
    let width = within(plan.hole.teeing_width_m, 0.5, 60.0);
    let depth = within(plan.hole.teeing_depth_m, 0.5, 5.0);
    let scale = ((area.width() - 120.0) / width).min((area.height() - 130.0) / depth);
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
        let small = |words: String| Line::new(words, SMALL, false, palette::INK);
        let lines = if nearer {
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
            at: [at, level],
            lines,
            gap: 7.0,
            reach: 90.0,
            side: Some([0.0, -1.0]),
            within: Some(within),
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
    requests.insert(
        1,
        Request {
            at: [peg[0], (front + peg[1]) / 2.0],
            lines: vec![bold(format!(
                "{} {} back",
                lengths.tenth(behind),
                lengths.name()
            ))],
            gap: 13.0,
            reach: 120.0,
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
    for request in requests {
        board.place(&request);
    }
}

/// Under the picture of the tee: what the markers do to the eye.
pub fn tee_note(board: &mut Board, at: Point, room: f64, plan: &Plan, placed: &Placed) {
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
    let words = if plan.hole.teeing_area_assumed {
        format!("assumed teeing area · {markers}")
    } else {
        markers
    };
    put(board, &words, STONE_SMALL, at, Anchor::Start, room);
}

/// The club, the shape, the sentence: whole, in smaller type where it is long.
pub fn call(board: &mut Board, area: &Area, plan: &Plan) {
    let shot = &plan.choice.shot;
    let club = capital(&text::clean(&shot.club));
    let base = area.top + 66.0;
    let mut y = base + 45.0;
    let name = |size: f64| {
        Line::new(
            text::cut(&club, size, true, area.width()),
            size,
            true,
            palette::INK,
        )
    };
    let shape = |room: f64| {
        let words = text::cut(&text::clean(&shot.shape), MEDIUM, true, room);
        Line::new(words, MEDIUM, true, palette::ACCENT)
    };
    let both =
        text::width(&club, LARGE, true) + text::width(&text::clean(&shot.shape), MEDIUM, true);
    if both + MEDIUM * 0.5 <= area.width() {
        board.write_runs(&[name(LARGE), shape(area.width())], [area.left, base]);
    } else {
        // A long name: the shape goes below it.
        let size = if text::width(&club, LARGE, true) <= area.width() {
            LARGE
        } else {
            MEDIUM
        };
        board.write_runs(&[name(size)], [area.left, base]);
        board.write_runs(&[shape(area.width())], [area.left, y]);
        y += 40.0;
    }
    let sentence = text::clean(&plan.words.sentence);
    let lines_for = |size: f64| {
        let pitch = size * 1.2;
        let most = (((area.bottom - size * text::DESCENT - y) / pitch)
            .floor()
            .max(0.0) as usize)
            + 1;
        (
            text::wrap(&sentence, size, false, area.width(), most + 1),
            pitch,
            most,
        )
    };
    let (mut lines, mut pitch, mut most) = lines_for(MEDIUM);
    let mut size = MEDIUM;
    if lines.len() > most {
        size = SMALL;
        (lines, pitch, most) = lines_for(SMALL);
    }
    if lines.len() > most {
        lines = text::wrap(&sentence, size, false, area.width(), most);
    }
    for line in lines {
        put(
            board,
            &line,
            (size, false, palette::INK),
            [area.left, y],
            Anchor::Start,
            area.width(),
        );
        y += pitch;
    }
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars
        .next()
        .map(|c| c.to_uppercase().chain(chars).collect())
        .unwrap_or_default()
}

/// What happens how often: a bar of a hundred balls, and its numbers.
pub fn hundred(board: &mut Board, area: &Area, finish: &Finish) {
    put(
        board,
        "Of 100 balls",
        STONE_SMALL,
        [area.left, area.top + 17.0],
        Anchor::Start,
        area.width(),
    );
    let parts = [
        ("fairway", finish.fairway, Some(Surface::Fairway)),
        ("green", finish.green, Some(Surface::Green)),
        ("rough", finish.rough, None),
        ("bunker", finish.bunker, Some(Surface::Bunker)),
        ("trees", finish.trees, Some(Surface::Trees)),
        (
            "penalty area",
            finish.penalty_area,
            Some(Surface::PenaltyRed),
        ),
        (
            "out of bounds",
            finish.out_of_bounds,
            Some(Surface::OutOfBounds),
        ),
    ];
    let counts = hundredths(&parts.map(|p| p.1));
    let (top, high) = (area.top + 27.0, 20.0);
    let mut x = area.left;
    for (part, count) in parts.iter().zip(counts) {
        let wide = area.width() * f64::from(count) / 100.0;
        if count == 0 {
            continue;
        }
        let (colour, pitch) = match part.2 {
            Some(Surface::Fairway) => (palette::FAIRWAY, None),
            Some(Surface::Green) => (palette::GREEN, None),
            Some(Surface::Bunker) => (palette::SAND, None),
            Some(Surface::Trees) => (palette::WOOD_EDGE, None),
            Some(Surface::PenaltyRed) => (palette::PAPER, Some((palette::RED, 0.0))),
            Some(Surface::OutOfBounds) => (palette::PAPER, Some((palette::INK, 5.0))),
            _ => (palette::PAPER, None),
        };
        let cell = Area {
            left: x,
            top,
            right: x + wide,
            bottom: top + high,
        };
        let outline = scene::rectangle(x, top, wide, high);
        board.nodes.push(Node::Path {
            steps: outline.clone(),
            fill: Some(Fill::of(colour)),
            stroke: None,
        });
        // Lying lines for a penalty area, slanting ones for out of bounds.
        if let Some((ink, slant)) = pitch {
            for k in 0..80 {
                let step = f64::from(k) * 5.0;
                let (a, b) = if slant == 0.0 {
                    ([x, top + step], [x + wide, top + step])
                } else {
                    ([x + step - high, top + high], [x + step, top])
                };
                if let Some([a, b]) = cell.part_of(a, b) {
                    board.nodes.push(scene::line(a, b, Stroke::of(ink, 2.2)));
                }
            }
        }
        if part.2 == Some(Surface::Bunker) {
            let mut dot = x + 5.0;
            while dot < x + wide - 2.0 {
                for y in [top + 6.0, top + 14.0] {
                    board
                        .nodes
                        .push(scene::disc([dot, y], 1.1, palette::SAND_EDGE, None));
                }
                dot += 7.0;
            }
        }
        board.nodes.push(Node::Path {
            steps: outline,
            fill: None,
            stroke: Some(Stroke::of(palette::INK, 1.2)),
        });
        x += wide;
    }
    let shown: Vec<(usize, u32)> = counts
        .iter()
        .enumerate()
        .filter(|(i, count)| **count > 0 || parts[*i].1 > 0.0005)
        .map(|(i, &count)| (i, count))
        .collect();
    let rows = shown.len().div_ceil(2).max(1);
    // Seven kinds of lie take a fourth row, and smaller numbers.
    let (size, pitch) = if rows > 3 {
        (SMALL, 26.5)
    } else {
        (MEDIUM, 30.5)
    };
    for (k, (i, count)) in shown.iter().enumerate() {
        let column = k / rows;
        let x = area.left + column as f64 * area.width() * 0.45 + 52.0;
        let y = top + high + size + (k % rows) as f64 * pitch;
        let number = if *count == 0 {
            "<1".to_owned()
        } else {
            count.to_string()
        };
        put(
            board,
            &number,
            (size, true, palette::INK),
            [x, y],
            Anchor::End,
            60.0,
        );
        put(
            board,
            parts[*i].0,
            INK_SMALL,
            [x + 9.0, y],
            Anchor::Start,
            area.width() * 0.55 - 62.0,
        );
    }
}

/// Whole hundredths that add to 100 (largest remainder); all 0 for no shares.
#[must_use]
pub fn hundredths<const N: usize>(shares: &[f64; N]) -> [u32; N] {
    let clean = shares.map(|s| if s.is_finite() { s.max(0.0) } else { 0.0 });
    let sum: f64 = clean.iter().sum();
    if sum <= 0.0 {
        return [0; N];
    }
    let exact = clean.map(|s| s / sum * 100.0);
    let mut out = exact.map(|e| e.floor() as u32);
    let mut order: Vec<usize> = (0..N).collect();
    order.sort_by(|&a, &b| {
        exact[b]
            .fract()
            .total_cmp(&exact[a].fract())
            .then(a.cmp(&b))
    });
    let missing = 100_u32.saturating_sub(out.iter().sum());
    for &i in order.iter().take(missing as usize) {
        out[i] += 1;
    }
    out
}

/// Expected strokes, and what it costs to do otherwise.
pub fn costs(board: &mut Board, area: &Area, plan: &Plan) {
    let shot = &plan.choice.shot;
    let y = area.top + 20.0;
    let expected = Line::new(
        fixed(shot.expected_strokes, 2),
        MEDIUM,
        true,
        palette::ACCENT,
    );
    let error = format!("± {} strokes; instead:", fixed(shot.standard_error, 3));
    let room = area.width() - SMALL - text::width(&expected.words, MEDIUM, true);
    let error = text::cut(&error, SMALL, false, room);
    board.write_runs(
        &[expected, Line::new(error, SMALL, false, palette::STONE)],
        [area.left, y],
    );
    let others = plan
        .comparisons
        .iter()
        .map(|c| (c.name.clone(), c.costs, c.costs_standard_error))
        .chain(plan.alternatives.iter().map(|a| {
            (
                format!("{}, {}", a.shot.club, a.shot.shape),
                a.costs,
                a.costs_standard_error,
            )
        }));
    let mut y = y + 30.0;
    for (name, costs, error) in others {
        if y > area.bottom + 2.0 {
            break;
        }
        let tied = plan.choice.ties.contains(&name) || (costs.is_finite() && costs.abs() < 0.005);
        let amount = if tied {
            "no dearer".to_owned()
        } else {
            format!(
                "{}{} ± {}",
                if costs >= 0.0 { "+" } else { "" },
                fixed(costs, 2),
                fixed(error, 3)
            )
        };
        let cost = put(
            board,
            &amount,
            (SMALL, !tied, palette::INK),
            [area.right, y],
            Anchor::End,
            230.0,
        );
        put(
            board,
            &name,
            INK_SMALL,
            [area.left, y],
            Anchor::Start,
            cost.left - area.left - 10.0,
        );
        y += 26.5;
    }
}

/// The foot of the page: when it was made, what to take care of.
pub fn foot(board: &mut Board, area: &Area, plan: &Plan, assumed: bool) {
    let day = &plan.conditions;
    let mut words = format!(
        "Made before the round, as Rule 4.3a allows; for {}, {} logged, {} °C, {} ground.",
        match text::clean(&plan.player.name) {
            name if name.is_empty() => "this player".to_owned(),
            name => text::cut(&name, SMALL, false, 240.0),
        },
        match plan.choice.shot.shots_logged {
            0 => "no shots".to_owned(),
            1 => "1 shot".to_owned(),
            n => format!("{n} shots"),
        },
        fixed(day.temperature_c, 0),
        day.firmness,
    );
    if assumed || plan.hole.teeing_area_assumed {
        words.push_str(" Dashed edges are assumed, not mapped.");
    }
    for caution in &plan.cautions {
        words.push(' ');
        words.push_str(caution);
        if !caution.trim_end().ends_with('.') {
            words.push('.');
        }
    }
    let words = text::clean(&words);
    // Closer when no letter carries an accent.
    let pitch = SMALL * (text::ascent(&words) + text::DESCENT).max(1.08) + 0.3;
    let most = ((area.height() / pitch + 0.2).floor().max(1.0)) as usize;
    for (k, line) in text::wrap(&words, SMALL, false, area.width(), most)
        .iter()
        .enumerate()
    {
        put(
            board,
            line,
            STONE_SMALL,
            [area.left, area.top + 20.0 + k as f64 * pitch],
            Anchor::Start,
            area.width(),
        );
    }
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

/// Lines from the tee on the map to the picture of it below.
#[must_use]
pub fn zoom(peg: Point, area: &Area) -> Node {
    let (left, right) = ([area.left, area.top], [area.right, area.top]);
    Node::Path {
        steps: vec![
            Step::Move(left),
            Step::Line(peg),
            Step::Line(right),
            Step::Close,
        ],
        fill: None,
        stroke: Some(Stroke::of(palette::MIST, 1.6)),
    }
}
