//! The cover: whose book, which day, and the course as a map.

use super::super::labels::{Board, Line};
use super::super::page::{Lengths, MEDIUM, PAGE, SMALL, area, fixed};
use super::super::panel::{INK_SMALL, STONE_SMALL, compass, is_windy, put, rule};
use super::super::scene::{Anchor, Stroke, palette};
use super::super::text;
use super::{Book, BookPage, FOOT, LEFT, RIGHT, course_map, finish};
use crate::plan::Plan;

/// The largest type of the book.
const TITLE: f64 = 96.0;
/// From a line of the title to the next, as a share of its size: a letter with
/// an accent and one with a tail do not touch.
const PITCH: f64 = 1.2;

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
    let (under, scale) = course_map::draw(&mut board, book, area(LEFT, top, RIGHT, bottom));
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
    let words = format!("strokes expected over {holes}, par {par} · the map at 1:{scale:.0}");
    board.write_runs(
        &[
            Line::new(fixed(strokes, 1), MEDIUM, true, palette::ACCENT),
            Line::new(words, SMALL, false, palette::INK),
        ],
        [LEFT, y],
    );
}
