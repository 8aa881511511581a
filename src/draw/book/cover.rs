//! The cover: whose book, which day, and every hole small, all to one scale.

use super::super::frame::{Area, Frame, Strip};
use super::super::labels::{Board, Line};
use super::super::page::{Lengths, MEDIUM, PAGE, Placed, SMALL, area, fixed};
use super::super::panel::{INK_SMALL, STONE_SMALL, compass, is_windy, put, rule};
use super::super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::super::text;
use super::{Book, BookPage, Chapter, FOOT, LEFT, RIGHT, finish};
use crate::hole::Surface;
use crate::hole::plane::Plane;
use crate::plan::sentence::{capital, club};
use crate::plan::{LonLat, Plan};
use geo::Coord;

/// The largest type of the book.
const TITLE: f64 = 96.0;
/// From a line of the title to the next, as a share of its size: a letter with
/// an accent and one with a tail do not touch.
const PITCH: f64 = 1.2;
/// Half the width of land shown of each hole, m.
const HALF_M: f64 = 34.0;
/// White above and below a hole in its cell.
const HEADROOM: f64 = 34.0;

/// The cover.
#[must_use]
pub fn page(book: &Book<'_>) -> BookPage {
    let mut board = Board::new(area(0.0, 0.0, PAGE[0], PAGE[1]), |_| 0.0);
    let room = RIGHT - LEFT;
    let title = text::clean(book.course);
    let (size, most) = if text::width(&title, TITLE, true) <= room {
        (TITLE, 1)
    } else {
        (TITLE * 0.6, 2)
    };
    let mut y = 128.0;
    for line in text::wrap(&title, size, true, room, most) {
        let style = (size, true, palette::INK);
        put(&mut board, &line, style, [LEFT, y], Anchor::Start, room);
        y += size * PITCH;
    }
    y = y - size * PITCH + 56.0;
    let first = book.chapters.first().map(|chapter| chapter.plan);
    let player = first.map(|plan| text::clean(&plan.player.name));
    let player = player.unwrap_or_default();
    let date = book.date.map(text::clean).unwrap_or_default();
    let strong = (MEDIUM, true, palette::ACCENT);
    let day = put(&mut board, &date, strong, [RIGHT, y], Anchor::End, 420.0);
    let limit = if date.is_empty() {
        RIGHT
    } else {
        day.left - 24.0
    };
    put(
        &mut board,
        &player,
        (MEDIUM, false, palette::INK),
        [LEFT, y],
        Anchor::Start,
        limit - LEFT,
    );
    let heavy = Stroke::of(palette::INK, 3.0);
    let across = area(LEFT, 0.0, RIGHT, 0.0);
    rule(&mut board, &across, y + 22.0, heavy);
    if let Some(plan) = first {
        conditions(&mut board, plan, y + 62.0);
    }
    let top = y + 96.0;
    let missing = missing(book);
    let bottom = FOOT - if missing.is_empty() { 112.0 } else { 140.0 };
    let (under, scale) = holes(&mut board, book, area(LEFT, top, RIGHT, bottom));
    total(&mut board, book, bottom + 46.0, scale);
    if !missing.is_empty() {
        let style = (SMALL, true, palette::INK);
        put(
            &mut board,
            &missing,
            style,
            [LEFT, FOOT - 44.0],
            Anchor::Start,
            room,
        );
    }
    let rule_words = "Worked out before the round. It may be carried during it (Rule 4.3a).";
    put(
        &mut board,
        rule_words,
        STONE_SMALL,
        [LEFT, FOOT],
        Anchor::Start,
        room,
    );
    let map = area(LEFT, top, RIGHT, bottom);
    finish("Cover".into(), under, board, scale, map)
}

fn missing(book: &Book<'_>) -> String {
    if book.missing.is_empty() {
        return String::new();
    }
    let names: Vec<String> = book.missing.iter().map(|name| text::clean(name)).collect();
    format!("Stopped before holes {}", names.join(", "))
}

/// The day in a line.
fn conditions(board: &mut Board, plan: &Plan, y: f64) {
    let lengths = Lengths::of_unit(&plan.words.unit);
    let day = &plan.conditions;
    let wind = if is_windy(day.wind_m_s) {
        format!(
            "wind {} from {}",
            lengths.speed(day.wind_m_s),
            compass(day.wind_from_deg)
        )
    } else {
        "calm".to_owned()
    };
    let mut parts = vec![
        wind,
        format!("{} °C", fixed(day.temperature_c, 0)),
        format!("{} ground", text::clean(&day.firmness)),
    ];
    if let Some(colour) = &plan.hole.tee_colour {
        parts.push(format!("{} tees", text::clean(colour)));
    }
    if day.altitude_m.abs() >= 50.0 {
        parts.push(crate::plan::sentence::above_the_sea(
            day.altitude_m,
            lengths.unit(),
        ));
    }
    let words = parts.join(" · ");
    put(
        board,
        &words,
        INK_SMALL,
        [LEFT, y],
        Anchor::Start,
        RIGHT - LEFT,
    );
}

/// What the tee shots add up to.
fn total(board: &mut Board, book: &Book<'_>, y: f64, scale: f64) {
    if book.chapters.is_empty() {
        return;
    }
    let strokes: f64 = book
        .chapters
        .iter()
        .map(|chapter| chapter.plan.choice.shot.expected_strokes)
        .sum();
    let par: u32 = book
        .chapters
        .iter()
        .map(|c| u32::from(c.plan.hole.par))
        .sum();
    let holes = match book.chapters.len() {
        1 => "1 hole".to_owned(),
        n => format!("{n} holes"),
    };
    let words = format!("strokes expected over {holes}, par {par} · holes at 1:{scale:.0}");
    board.write_runs(
        &[
            Line::new(fixed(strokes, 1), MEDIUM, true, palette::ACCENT),
            Line::new(words, SMALL, false, palette::INK),
        ],
        [LEFT, y],
    );
}

/// One hole with its places and its frame's needs.
struct Small<'a> {
    chapter: &'a Chapter<'a>,
    placed: Placed,
    bearing_deg: f64,
    /// Left, right, low and high of what has to be seen, from the peg, m.
    extent: [f64; 4],
}

impl<'a> Small<'a> {
    fn of(chapter: &'a Chapter<'a>) -> Self {
        let plane = Plane::new(chapter.land.origin_lon_lat);
        let placed = Placed::of(chapter.plan, &chapter.land, &|p: LonLat| {
            plane.to_plane(p.lon, p.lat)
        });
        let away = [placed.pin.x - placed.peg.x, placed.pin.y - placed.peg.y];
        let bearing_deg = away[0].atan2(away[1]).to_degrees();
        let (sin, cos) = bearing_deg.to_radians().sin_cos();
        let mut extent = [0.0_f64, 0.0, 0.0, 0.0];
        let way = chapter.land.line_of_play.iter();
        for c in way.chain(&placed.flight).chain([&placed.pin]) {
            let (dx, dy) = (c.x - placed.peg.x, c.y - placed.peg.y);
            let (x, y) = (dx * cos - dy * sin, dx * sin + dy * cos);
            if x.abs() < 5_000.0 && y.abs() < 5_000.0 {
                extent = [
                    extent[0].min(x),
                    extent[1].max(x),
                    extent[2].min(y),
                    extent[3].max(y),
                ];
            }
        }
        Self {
            chapter,
            placed,
            bearing_deg,
            extent,
        }
    }

    fn middle(&self) -> Coord<f64> {
        let (sin, cos) = self.bearing_deg.to_radians().sin_cos();
        let x = (self.extent[0] + self.extent[1]) / 2.0;
        let y = (self.extent[2] + self.extent[3]) / 2.0;
        Coord {
            x: self.placed.peg.x + x * cos + y * sin,
            y: self.placed.peg.y - x * sin + y * cos,
        }
    }
}

/// Every hole in a cell of its own; returns the common scale.
fn holes(board: &mut Board, book: &Book<'_>, field: Area) -> (Vec<Node>, f64) {
    let small: Vec<Small<'_>> = book.chapters.iter().map(Small::of).collect();
    let columns = match small.len() {
        0..=2 => small.len().max(1),
        3..=4 => 2,
        5..=9 => 3,
        10..=18 => 6,
        _ => 9,
    };
    let rows = small.len().div_ceil(columns).max(1);
    let cell = [field.width() / columns as f64, field.height() / rows as f64];
    let words = 62.0;
    let fit = |hole: &Small<'_>| {
        let [left, right, low, high] = hole.extent;
        let wide = (right - left + 2.0 * HALF_M) * 10_000.0 / (cell[0] - 20.0);
        let tall = (high - low) * 10_000.0 / (cell[1] - words - 2.0 * HEADROOM).max(20.0);
        wide.max(tall)
    };
    let scale = small.iter().map(fit).fold(1_000.0, f64::max);
    let scale = (scale / 100.0).ceil() * 100.0;
    let mut nodes = Vec::new();
    for (index, hole) in small.iter().enumerate() {
        let left = field.left + (index % columns) as f64 * cell[0];
        let top = field.top + (index / columns) as f64 * cell[1];
        let map = area(left, top, left + cell[0], top + cell[1] - words);
        let frame = Frame::at_scale(map, hole.middle(), hole.bearing_deg, scale);
        nodes.push(land(hole, &frame));
        caption(
            board,
            hole.chapter.plan,
            [left, top + cell[1] - 26.0],
            cell[0],
        );
    }
    (nodes, scale)
}

fn caption(board: &mut Board, plan: &Plan, at: Point, room: f64) {
    let centre = [at[0] + room / 2.0, at[1]];
    let shot = &plan.choice.shot;
    let strong = (MEDIUM, true, palette::INK);
    let narrow = room < 250.0;
    let number = text::clean(&plan.hole.reference);
    if narrow {
        put(
            board,
            &number,
            strong,
            [centre[0], at[1] - 6.0],
            Anchor::Middle,
            room - 12.0,
        );
        let call = capital(&text::clean(&club(&shot.club)));
        put(
            board,
            &call,
            INK_SMALL,
            [centre[0], at[1] + 21.0],
            Anchor::Middle,
            room - 8.0,
        );
        return;
    }
    let call = format!("{} {}", club(&shot.club), shot.manner(plan.unit()));
    let number = text::cut(&number, MEDIUM, true, room * 0.4);
    let left = room - 20.0 - text::width(&number, MEDIUM, true) - SMALL;
    let call = text::cut(&text::clean(&call), SMALL, false, left);
    let runs = [
        Line::new(number.clone(), MEDIUM, true, palette::INK),
        Line::new(call.clone(), SMALL, false, palette::INK),
    ];
    let wide = text::width(&number, MEDIUM, true) + SMALL * 0.5 + text::width(&call, SMALL, false);
    board.write_runs(&runs, [centre[0] - wide / 2.0, at[1]]);
}

fn land(hole: &Small<'_>, frame: &Frame) -> Node {
    let mut way = vec![hole.placed.peg];
    let bends = hole.chapter.land.line_of_play;
    let inner = bends.len().saturating_sub(2);
    way.extend(bends.iter().skip(1).take(inner).copied());
    way.push(hole.placed.pin);
    let strip = Strip::new(
        way.iter().map(|&c| frame.place(c)).collect(),
        frame.length(HALF_M),
    );
    let mut nodes = Vec::new();
    for patch in hole.chapter.land.patches {
        let steps: Vec<scene::Step> = std::iter::once(patch.outline.exterior())
            .chain(patch.outline.interiors())
            .flat_map(|ring| {
                let points: Vec<Point> = ring.0.iter().map(|&c| frame.place(c)).collect();
                scene::ring(&points)
            })
            .collect();
        let (fill, stroke) = match patch.surface {
            Surface::Rough => continue,
            Surface::Tee => (palette::GREEN, None),
            Surface::Fairway => (palette::FAIRWAY, None),
            Surface::Green => (palette::GREEN, Some(Stroke::of(palette::INK, 1.2))),
            Surface::Bunker => (palette::SAND, Some(Stroke::of(palette::SAND_EDGE, 0.9))),
            Surface::Trees => (palette::WOOD, None),
            Surface::PenaltyRed => (palette::WATER, Some(Stroke::of(palette::RED, 1.6))),
            Surface::PenaltyYellow => (palette::WATER, Some(Stroke::of(palette::YELLOW, 2.2))),
            Surface::OutOfBounds => (palette::PAPER, Some(Stroke::of(palette::INK, 1.6))),
        };
        nodes.push(Node::Path {
            steps,
            fill: Some(Fill::of(fill)),
            stroke,
        });
    }
    let mut all = vec![Node::Group {
        id: "land",
        clip: Some(strip.outline()),
        nodes,
    }];
    let flight: Vec<Point> = hole.placed.flight.iter().map(|&c| frame.place(c)).collect();
    for (colour, width) in [(palette::PAPER, 6.0), (palette::ACCENT, 3.4)] {
        all.push(Node::Path {
            steps: scene::polyline(&flight),
            fill: None,
            stroke: Some(Stroke::of(colour, width)),
        });
    }
    let rest = frame.place(hole.placed.rest);
    let rim = Some(Stroke::of(palette::PAPER, 1.6));
    all.push(scene::disc(rest, 6.5, palette::ACCENT, rim));
    let pin = frame.place(hole.placed.pin);
    let top = [pin[0], pin[1] - 20.0];
    all.push(scene::line(pin, top, Stroke::of(palette::INK, 1.8)));
    all.push(Node::Path {
        steps: scene::ring(&[top, [top[0] + 12.0, top[1] + 4.0], [top[0], top[1] + 8.0]]),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    });
    let area = frame.area.grown(-4.0);
    Node::Group {
        id: "hole",
        clip: Some(scene::rectangle(
            area.left,
            area.top,
            area.width(),
            area.height(),
        )),
        nodes: all,
    }
}
