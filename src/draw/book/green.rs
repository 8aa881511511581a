//! A green to scale: its paces, the pin, what lies round it, room for notes.
//!
//! Up is the way the hole is approached, as a pin sheet counts (see
//! [`crate::hole::pin`]): on from the front edge, in from the sides at the
//! pin's depth. A pace is a yard. Heights are not shown: a map's heights are
//! too coarse for a putt.

use super::super::frame::{Area, Frame, Strip};
use super::super::ground::Ground;
use super::super::labels::{Board, Line, Request};
use super::super::page::{LARGE, Land, Lengths, MEDIUM, Placed, READ, SMALL, area, fixed, group};
use super::super::panel::{self, INK_SMALL, STONE_SMALL, put, rule};
use super::super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::super::text;
use super::{BookPage, Chapter, FOOT, LEFT, RIGHT, finish, paragraph};
use crate::hole::plane::Plane;
use crate::hole::{PinFrom, Surface, pin};
use crate::plan::sentence::{capital, club as spoken_club};
use crate::plan::{LonLat, Plan};
use crate::units::PACE_M;
use geo::{Coord, Intersects};

/// The largest scale at which a book may show a green: 3/8 in to 5 yd (Rules
/// of Golf 2023, Interpretation 4.3a/1), which is 9.525 mm to 4.572 m.
pub const LARGEST_SCALE: f64 = 480.0;

/// Steps the scale takes, for greens too large for the largest.
const SCALES: [f64; 7] = [LARGEST_SCALE, 550.0, 650.0, 800.0, 1000.0, 1500.0, 2500.0];

/// A green in the frame of its approach: `x` right, `y` on, metres from its
/// front left corner.
#[derive(Clone, Debug)]
pub struct Counted {
    /// Bearing of the approach, degrees.
    pub approach_deg: f64,
    /// Front to back, m.
    pub depth_m: f64,
    /// Side to side, m.
    pub width_m: f64,
    /// Middle of the box around it, on the plane.
    pub middle: Coord<f64>,
    /// The pin: on from the front, in from the left and in from the right at
    /// that depth, m.
    pub pin_m: [f64; 3],
}

/// The green round the pin, counted along the approach; none where the pin
/// stands on no green or the line of play has no length.
#[must_use]
pub fn count(land: &Land<'_>, at: Coord<f64>) -> Option<Counted> {
    let green = land
        .patches
        .iter()
        .filter(|patch| patch.surface == Surface::Green)
        .find(|patch| patch.outline.intersects(&at))?;
    let approach_deg = pin::approach_deg(land.line_of_play)?;
    let (sin, cos) = approach_deg.to_radians().sin_cos();
    let turn = |c: Coord<f64>| [c.x * cos - c.y * sin, c.x * sin + c.y * cos];
    let ring: Vec<[f64; 2]> = green
        .outline
        .exterior()
        .coords()
        .map(|&c| turn(c))
        .collect();
    let [mut low, mut high] = [[f64::MAX; 2], [f64::MIN; 2]];
    for p in &ring {
        for k in 0..2 {
            low[k] = low[k].min(p[k]);
            high[k] = high[k].max(p[k]);
        }
    }
    let [x, y] = turn(at);
    let (mut left, mut right) = (f64::MAX, f64::MIN);
    for pair in ring.windows(2) {
        if (pair[0][1] <= y) != (pair[1][1] <= y) {
            let share = (y - pair[0][1]) / (pair[1][1] - pair[0][1]);
            let cut = pair[0][0] + share * (pair[1][0] - pair[0][0]);
            left = left.min(cut);
            right = right.max(cut);
        }
    }
    if left > right {
        return None;
    }
    let (mx, my) = ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0);
    Some(Counted {
        approach_deg,
        depth_m: high[1] - low[1],
        width_m: high[0] - low[0],
        middle: Coord {
            x: mx * cos + my * sin,
            y: my * cos - mx * sin,
        },
        pin_m: [y - low[1], x - left, right - x],
    })
}

/// Paces as a whole number.
fn paces(metres: f64) -> String {
    fixed(metres / PACE_M, 0)
}

/// The green page of a hole.
#[must_use]
pub fn page(chapter: &Chapter<'_>) -> BookPage {
    let plan = chapter.plan;
    let lengths = Lengths::of_unit(&plan.words.unit);
    let plane = Plane::new(chapter.land.origin_lon_lat);
    let placed = Placed::of(plan, &chapter.land, &|p: LonLat| {
        plane.to_plane(p.lon, p.lat)
    });
    let paper = area(0.0, 0.0, super::PAGE[0], super::PAGE[1]);
    let mut words = Board::new(paper, |_| 0.0);
    let counted = count(&chapter.land, placed.pin);
    head(&mut words, plan, counted.as_ref());
    let map = area(LEFT, 142.0, RIGHT, 1290.0);
    let name = format!("Hole {}, green", text::clean(&plan.hole.reference));
    let Some(counted) = counted else {
        let sorry = "The map has no green around the pin: measure it on a practice round.";
        paragraph(
            &mut words,
            sorry,
            (MEDIUM, false, palette::INK),
            [LEFT, 220.0],
            RIGHT - LEFT,
            4,
        );
        notes(&mut words, 320.0);
        return finish(name, Vec::new(), words, LARGEST_SCALE, map);
    };
    let scale = SCALES
        .into_iter()
        .find(|scale| {
            let on_paper = |metres: f64| metres * 10_000.0 / scale;
            on_paper(counted.width_m) <= map.width() - 200.0
                && on_paper(counted.depth_m) <= map.height() - 120.0
        })
        .unwrap_or(5_000.0);
    let frame = Frame::at_scale(map, counted.middle, counted.approach_deg, scale);
    let mut under = Vec::new();
    let from = plan.hole.pin_from;
    let mut board = drawn(&chapter.land, &counted, (&placed, from), &frame, &mut under);
    let comes = Comes::of(plan, &placed, &plane);
    if comes.from_tee {
        under.push(nine_in_ten(&placed, &frame));
    }
    comes_from(&mut board, &frame, &placed, &comes);
    panel::scale_bar(&mut board, &map, scale, lengths);
    distances(&mut words, &placed, lengths);
    let top = match from {
        PinFrom::Sheet => 1424.0,
        PinFrom::Map | PinFrom::Assumed => pin_of_the_day(&mut words, 1424.0),
    };
    notes(&mut words, top);
    foot(&mut words, scale, from);
    words.texts.extend(board.texts);
    words.unplaced.extend(board.unplaced);
    under.push(group("counts", board.nodes));
    finish(name, under, words, scale, map)
}

/// Number, what the green measures, and the pin's counts.
fn head(board: &mut Board, plan: &Plan, counted: Option<&Counted>) {
    let (base, upper) = (118.0, 85.0);
    let number = put(
        board,
        &plan.hole.reference,
        (LARGE, true, palette::INK),
        [LEFT, base],
        Anchor::Start,
        170.0,
    );
    let x = number.right + 26.0;
    let strong = (MEDIUM, true, palette::INK);
    let mut limits = [RIGHT; 2];
    if let Some(counted) = counted {
        let [on, left, right] = counted.pin_m;
        let side = if left <= right {
            format!("{} from the left", paces(left))
        } else {
            format!("{} from the right", paces(right))
        };
        // That the pin is not the day's is said at the foot too.
        let side = match plan.hole.pin_from.words() {
            Some(words) => vec![format!("{side} · {words}"), side],
            None => vec![side],
        };
        let side = panel::first_fitting(side, SMALL, 400.0);
        let pin = format!("pin {} on", paces(on));
        limits = [
            put(board, &pin, strong, [RIGHT, upper], Anchor::End, 400.0).left,
            put(board, &side, INK_SMALL, [RIGHT, base], Anchor::End, 400.0).left,
        ];
    }
    let measure = counted.map_or_else(Vec::new, |c| {
        let (deep, wide) = (paces(c.depth_m), paces(c.width_m));
        vec![
            format!("{deep} deep · {wide} wide · in paces"),
            format!("{deep} deep · {wide} wide"),
            format!("{deep} × {wide} paces"),
        ]
    });
    let measure = panel::first_fitting(measure, SMALL, limits[1] - 24.0 - x);
    put(
        board,
        "The green",
        strong,
        [x, upper],
        Anchor::Start,
        limits[0] - 24.0 - x,
    );
    put(
        board,
        &measure,
        INK_SMALL,
        [x, base],
        Anchor::Start,
        limits[1] - 24.0 - x,
    );
    let heavy = Stroke::of(palette::INK, 3.0);
    rule(board, &area(LEFT, 0.0, RIGHT, 0.0), 132.0, heavy);
}

/// The land, the grid of paces, the counts and the pin.
fn drawn(
    land: &Land<'_>,
    counted: &Counted,
    (placed, from): (&Placed, PinFrom),
    frame: &Frame,
    under: &mut Vec<Node>,
) -> Board {
    let map = frame.area;
    let middle = frame.place(counted.middle);
    let half = [
        frame.length(counted.width_m / 2.0),
        frame.length(counted.depth_m / 2.0),
    ];
    // As far as the frame goes, and beyond it.
    let strip = Strip::new(
        vec![[middle[0], map.bottom], [middle[0], map.top]],
        map.width(),
    );
    let ground = Ground::of(land, frame, &strip);
    let mut board = Board::new(map, |p| ground.weight_at(p, &strip));
    // The scale stands there.
    board.keep_clear(Area {
        left: map.right - 190.0,
        top: map.bottom - 54.0,
        right: map.right,
        bottom: map.bottom,
    });
    let front = middle[1] + half[1];
    let pin = frame.place(placed.pin);
    let five = frame.length(5.0 * PACE_M);
    let rings = green_rings(land, frame, placed.pin);
    let thin = Stroke::of(palette::INK, 1.0);
    let mut grid = Vec::new();
    let (left, right) = (middle[0] - half[0], middle[0] + half[0]);
    // Squares of 5 paces: on from the front edge, and from the pin sideways.
    let mut k = 1.0;
    while k * five < 2.0 * half[1] {
        let y = front - k * five;
        grid.push(scene::line(
            [left, y],
            [right, y],
            Stroke {
                opacity: 0.55,
                ..thin
            },
        ));
        k += 1.0;
    }
    let first = ((left - pin[0]) / five).ceil() as i32;
    let last = ((right - pin[0]) / five).floor() as i32;
    for k in first..=last {
        let x = pin[0] + f64::from(k) * five;
        grid.push(scene::line(
            [x, front],
            [x, front - 2.0 * half[1]],
            Stroke {
                opacity: 0.55,
                ..thin
            },
        ));
    }
    let square = scene::rectangle(map.left, map.top, map.width(), map.height());
    under.push(Node::Group {
        id: "map",
        clip: Some(square),
        nodes: vec![
            Node::Group {
                id: "land",
                clip: Some(strip.outline()),
                nodes: ground.nodes,
            },
            Node::Group {
                id: "paces",
                clip: Some(
                    rings
                        .first()
                        .map(|ring| scene::ring(ring))
                        .unwrap_or_default(),
                ),
                nodes: grid,
            },
        ],
    });
    let frame_line = Stroke::of(palette::INK, 2.0);
    board.nodes.push(Node::Path {
        steps: scene::rectangle(map.left, map.top, map.width(), map.height()),
        fill: None,
        stroke: Some(frame_line),
    });
    let dotted = Stroke::of(palette::INK, 2.0).dashed(2.0, 8.0);
    board
        .nodes
        .push(scene::line([map.left, front], [map.right, front], dotted));
    flag(&mut board, pin, from);
    counts(&mut board, counted, pin, front, five, [left, right], frame);
    for (tag, at) in &ground.tags {
        board.place(&Request {
            lines: vec![Line::new(*tag, SMALL, true, palette::STONE)],
            ..Request::free(*at, Vec::new())
        });
    }
    board
}

fn green_rings(land: &Land<'_>, frame: &Frame, pin: Coord<f64>) -> Vec<Vec<Point>> {
    land.patches
        .iter()
        .filter(|patch| patch.surface == Surface::Green && patch.outline.intersects(&pin))
        .map(|patch| {
            let ring = patch.outline.exterior();
            ring.0.iter().map(|&c| frame.place(c)).collect()
        })
        .collect()
}

/// A flag; hollow where it is not the day's.
fn flag(board: &mut Board, pin: Point, from: PinFrom) {
    let top = [pin[0], pin[1] - 62.0];
    board
        .nodes
        .push(scene::line(pin, top, Stroke::of(palette::INK, 3.2)));
    board.nodes.push(Node::Path {
        steps: scene::ring(&[top, [top[0] + 36.0, top[1] + 12.0], [top[0], top[1] + 25.0]]),
        fill: Some(Fill::of(match from {
            PinFrom::Sheet => palette::ACCENT,
            PinFrom::Map | PinFrom::Assumed => palette::PAPER,
        })),
        stroke: Some(Stroke::of(palette::ACCENT, 2.6)),
    });
    board.nodes.push(Node::Circle {
        id: Some("pin"),
        at: pin,
        radius: 6.0,
        fill: Some(Fill::of(palette::PAPER)),
        stroke: Some(Stroke::of(palette::INK, 2.6)),
    });
    board.keep_clear(Area {
        left: pin[0] - 9.0,
        top: top[1] - 3.0,
        right: pin[0] + 38.0,
        bottom: pin[1] + 9.0,
    });
}

/// Where the shot at the green comes from, and with which club if the plan knows.
struct Comes {
    from: Coord<f64>,
    club: Option<String>,
    /// Whether it is the tee shot, whose balls the plan has.
    from_tee: bool,
}

impl Comes {
    fn of(plan: &Plan, placed: &Placed, plane: &Plane) -> Self {
        let left_m = (placed.rest.x - placed.pin.x).hypot(placed.rest.y - placed.pin.y);
        if left_m <= 30.0 {
            return Self {
                from: placed.peg,
                club: Some(plan.choice.shot.club.clone()),
                from_tee: true,
            };
        }
        let next = plan
            .whole_hole
            .as_ref()
            .and_then(|whole| whole.next.as_ref());
        let (from, club) = match next.map(|next| &next.choice) {
            Some(next) if next.at_green => (placed.rest, Some(next.club.clone())),
            // From the lay-up.
            Some(next) => (plane.to_plane(next.rest.lon, next.rest.lat), None),
            None => (placed.rest, None),
        };
        Self {
            from,
            club,
            from_tee: false,
        }
    }
}

/// The outline of where nine in ten of the tee shots end, as far as the frame goes.
fn nine_in_ten(placed: &Placed, frame: &Frame) -> Node {
    let map = frame.area;
    let rings = placed.ninety.iter().map(|ring| {
        let points: Vec<Point> = ring.iter().map(|&c| frame.place(c)).collect();
        Node::Path {
            steps: scene::ring(&points),
            fill: None,
            stroke: Some(Stroke::of(palette::ACCENT, 1.6)),
        }
    });
    Node::Group {
        id: "ninety",
        clip: Some(scene::rectangle(
            map.left,
            map.top,
            map.width(),
            map.height(),
        )),
        nodes: rings.collect(),
    }
}

/// An arrow in from the edge along the way that the ball comes, the club beside it.
fn comes_from(board: &mut Board, frame: &Frame, placed: &Placed, comes: &Comes) {
    let map = frame.area;
    let (pin, from) = (frame.place(placed.pin), frame.place(comes.from));
    let long = scene::distance(pin, from);
    if !(long.is_finite() && long > 1.0) {
        return;
    }
    let back = [(from[0] - pin[0]) / long, (from[1] - pin[1]) / long];
    // As far back from the pin as the frame lets it, less a margin.
    let inner = map.grown(-16.0);
    let room = [
        (back[0], pin[0], inner.left, inner.right),
        (back[1], pin[1], inner.top, inner.bottom),
    ];
    let reach = room.into_iter().fold(long, |reach, (by, at, low, high)| {
        let edge = if by < 0.0 { low } else { high };
        if by.abs() < 1e-9 {
            reach
        } else {
            reach.min((edge - at) / by)
        }
    });
    let at = |far: f64| [pin[0] + back[0] * far, pin[1] + back[1] * far];
    let (tail, head) = (at(reach), at((reach - 110.0).max(40.0)));
    let across = [-back[1] * 13.0, back[0] * 13.0];
    let neck = [head[0] + back[0] * 28.0, head[1] + back[1] * 28.0];
    board
        .nodes
        .push(scene::line(tail, neck, Stroke::of(palette::ACCENT, 4.0)));
    board.nodes.push(Node::Path {
        steps: scene::ring(&[
            head,
            [neck[0] + across[0], neck[1] + across[1]],
            [neck[0] - across[0], neck[1] - across[1]],
        ]),
        fill: Some(Fill::of(palette::ACCENT)),
        stroke: None,
    });
    board.keep_off(&[tail, head], 2.0);
    let words = match &comes.club {
        Some(club) => capital(&text::clean(&spoken_club(club))),
        None => "from the lay-up".to_owned(),
    };
    board.place(&Request {
        lines: vec![Line::new(words, READ, true, palette::ACCENT)],
        gap: 12.0,
        reach: 200.0,
        ..Request::free(
            [(tail[0] + neck[0]) / 2.0, (tail[1] + neck[1]) / 2.0],
            Vec::new(),
        )
    });
}

/// A row to write the day's pin in; the row below begins where it ends.
fn pin_of_the_day(board: &mut Board, top: f64) -> f64 {
    let line = Stroke::of(palette::STONE, 1.6);
    let mut x = LEFT;
    for (words, white) in [
        ("Pin today:", 90.0),
        ("on,", 90.0),
        ("in from left / right", 0.0),
    ] {
        let area = put(board, words, STONE_SMALL, [x, top], Anchor::Start, 300.0);
        x = area.right + 12.0;
        if white > 0.0 {
            board
                .nodes
                .push(scene::line([x, top + 4.0], [x + white, top + 4.0], line));
            x += white + 12.0;
        }
    }
    top + 50.0
}

/// How far on and how far in, each along its own line.
#[allow(clippy::too_many_arguments)]
fn counts(
    board: &mut Board,
    counted: &Counted,
    pin: Point,
    front: f64,
    five: f64,
    sides: [f64; 2],
    frame: &Frame,
) {
    let [on, left, right] = counted.pin_m;
    let line = Stroke::of(palette::ACCENT, 2.6);
    let ends = [
        [pin[0] - frame.length(left), pin[1]],
        [pin[0] + frame.length(right), pin[1]],
    ];
    let mut tick = |a: Point, b: Point| {
        let long = scene::distance(a, b).max(1e-6);
        let across = [(b[1] - a[1]) / long * 10.0, (a[0] - b[0]) / long * 10.0];
        board.nodes.push(scene::line(a, b, line));
        board.nodes.push(scene::line(
            [b[0] - across[0], b[1] - across[1]],
            [b[0] + across[0], b[1] + across[1]],
            line,
        ));
        board.keep_off(&[a, b], 2.0);
    };
    let gap = 11.0;
    tick([pin[0], pin[1] + gap], [pin[0], front]);
    for (end, metres, out) in [(ends[0], left, -1.0), (ends[1], right, 1.0)] {
        if frame.length(metres) > gap + 8.0 {
            tick([pin[0] + out * gap, pin[1]], end);
        }
    }
    let strong = |words: String| vec![Line::new(words, MEDIUM, true, palette::ACCENT)];
    let middle = |a: f64, b: f64| (a + b) / 2.0;
    for (at, words, side) in [
        (
            [pin[0], middle(pin[1], front)],
            format!("{} on", paces(on)),
            [1.0, 0.0],
        ),
        (
            [middle(pin[0], ends[0][0]), pin[1]],
            paces(left),
            [0.0, -1.0],
        ),
        (
            [middle(pin[0], ends[1][0]), pin[1]],
            paces(right),
            [0.0, -1.0],
        ),
    ] {
        board.place(&Request {
            lines: strong(words),
            gap: 8.0,
            reach: 160.0,
            side: Some(side),
            needed: true,
            ..Request::free(at, Vec::new())
        });
    }
    // The depth of every second line, beside the green.
    let mut k = 2.0;
    while k * five < frame.length(counted.depth_m) {
        let y = front - k * five;
        let words = fixed(k * 5.0, 0);
        let label = Line::new(words.clone(), SMALL, false, palette::STONE);
        let at = [(sides[1] + 46.0).min(frame.area.right), y + 8.0];
        let room = super::super::labels::box_of(&words, SMALL, false, at, Anchor::End);
        if !board
            .texts
            .iter()
            .any(|t| t.area.overlaps(&room.grown(3.0)))
        {
            board.write(&label, at, Anchor::End, true);
            board.keep_clear(room);
        }
        k += 2.0;
    }
}

/// What is left from where the tee shot finishes.
fn distances(board: &mut Board, placed: &Placed, lengths: Lengths) {
    let long = (placed.rest.x - placed.pin.x).hypot(placed.rest.y - placed.pin.y);
    let y = 1372.0;
    let light = Stroke::of(palette::MIST, 2.0);
    rule(board, &area(LEFT, 0.0, RIGHT, 0.0), 1312.0, light);
    let Some([front, back]) = placed.green_from_rest_m.filter(|_| long > 30.0) else {
        let words = "The tee shot of the plan ends at this green.";
        put(
            board,
            words,
            INK_SMALL,
            [LEFT, y],
            Anchor::Start,
            RIGHT - LEFT,
        );
        return;
    };
    let title = format!("To go after the tee shot, {}", lengths.name());
    put(board, &title, STONE_SMALL, [LEFT, y], Anchor::Start, 330.0);
    for (x, name, metres, strong) in [
        (430.0, "front", front, false),
        (650.0, "pin", long, true),
        (860.0, "back", back, false),
    ] {
        let colour = if strong {
            palette::ACCENT
        } else {
            palette::INK
        };
        board.write_runs(
            &[
                Line::new(lengths.whole(metres), MEDIUM * 1.4, true, colour),
                Line::new(name, SMALL, false, palette::INK),
            ],
            [x, y],
        );
    }
}

/// Lines to write on.
fn notes(board: &mut Board, top: f64) {
    put(
        board,
        "Seen in practice",
        STONE_SMALL,
        [LEFT, top],
        Anchor::Start,
        400.0,
    );
    let mut y = top + 62.0;
    while y <= FOOT - 103.0 {
        let line = Stroke::of(palette::MIST, 1.6).dashed(2.0, 8.0);
        board.nodes.push(scene::line([LEFT, y], [RIGHT, y], line));
        y += 62.0;
    }
}

fn foot(board: &mut Board, scale: f64, from: PinFrom) {
    let day = match from {
        PinFrom::Sheet => "",
        PinFrom::Map => "Hollow flag: the map's pin, not the day's. ",
        PinFrom::Assumed => "Hollow flag: the map has no pin. ",
    };
    let lines = [
        format!("1:{scale:.0} if printed at 100 %, as Rule 4.3a allows; a square is 5 paces."),
        format!("{day}Slopes are not shown: a map's heights are too coarse for a putt."),
    ];
    let lines: Vec<String> = lines
        .iter()
        .flat_map(|words| text::wrap(words, SMALL, false, RIGHT - LEFT, 2))
        .collect();
    for (k, words) in lines.iter().rev().enumerate() {
        let at = [LEFT, FOOT - 28.0 * k as f64];
        put(board, words, STONE_SMALL, at, Anchor::Start, RIGHT - LEFT);
    }
}
