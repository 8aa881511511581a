//! What to do, in fixed places: the club, then where to peg, where to aim, what the
//! ball does, where to miss, what comes then.

use super::frame::Area;
use super::labels::{Board, Line};
use super::page::{LARGE, MEDIUM, Placed, READ};
use super::panel::put;
use super::scene::{Anchor, palette};
use super::text;
use crate::plan::Plan;
use crate::plan::card::{self, decided_for};
use crate::plan::sentence::{capital, club as spoken_club};

/// Width of the column of keys.
const KEYS: f64 = 92.0;
/// White between rows.
const GAP: f64 = 6.0;
/// How high the club is with what it rests on, and a line of what it was decided for.
const CLUB: f64 = 122.0;
const DECIDED: f64 = 27.0;

/// The card's rows and how high each is: two lines or three, or one more of the smaller
/// type.
const ROWS: [(&str, f64); 5] = [
    ("PEG", 58.0),
    ("AIM", 88.0),
    ("BALL", 116.0),
    ("MISS", 88.0),
    ("then", 67.0),
];

/// How high the card is.
#[must_use]
pub fn height(plan: &Plan) -> f64 {
    let rows: f64 = ROWS.iter().map(|(_, high)| high + GAP).sum();
    club_height(plan) + rows
}

fn club_height(plan: &Plan) -> f64 {
    match decided_for(plan) {
        None => CLUB,
        Some(_) => CLUB + DECIDED,
    }
}

/// Draws the card.
pub fn draw(board: &mut Board, area: &Area, plan: &Plan, placed: &Placed) {
    club(board, area, plan);
    let card = card::card(plan, placed.green_from_rest_m);
    let rows = [card.peg, card.aim, card.ball, card.miss, card.then];
    let mut base = area.top + club_height(plan) + MEDIUM * text::ascent("");
    let room = area.width() - KEYS;
    for ((key, high), words) in ROWS.into_iter().zip(rows) {
        let key = Line::new(key, READ, true, palette::STONE);
        board.write(&key, [area.left, base], Anchor::Start, false);
        let words = text::hold_units(&text::clean(&words))
            .replace(" to go", "\u{a0}to\u{a0}go")
            .replace(" in 100", "\u{a0}in\u{a0}100");
        let tall = text::ascent(&words) + text::DESCENT;
        let pitch = |size: f64| size * tall.max(1.1);
        let most = |size: f64| (high / pitch(size)) as usize;
        let fits = |size: &f64| {
            let lines = text::wrap(&words, *size, false, room, most(*size) + 1);
            lines.len() <= most(*size)
        };
        let size = [MEDIUM, READ].into_iter().find(fits).unwrap_or(READ);
        let lines = text::wrap(&words, size, false, room, most(size));
        for (k, line) in lines.iter().enumerate() {
            let at = [area.left + KEYS, base + k as f64 * pitch(size)];
            let style = (size, false, palette::INK);
            put(board, line, style, at, Anchor::Start, room);
        }
        base += high + GAP;
    }
}

/// The club, its shape, what it rests on and what it was decided for.
fn club(board: &mut Board, area: &Area, plan: &Plan) {
    let shot = &plan.choice.shot;
    let name = capital(&text::clean(&spoken_club(&shot.club)));
    let manner = if shot.part_swing.is_none() && plan.choice.is_two_way {
        "two-way".to_owned()
    } else {
        text::clean(&shot.manner(plan.unit()))
    };
    let room = area.width();
    let manner = text::cut(&manner, MEDIUM, true, room * 0.4);
    let left = room - text::width(&manner, MEDIUM, true) - MEDIUM;
    // A long name is set smaller.
    let size = [LARGE, LARGE * 0.6]
        .into_iter()
        .find(|size| text::width(&name, *size, true) <= left)
        .unwrap_or(MEDIUM);
    let name = text::cut(&name, size, true, left);
    board.write_runs(
        &[
            Line::new(name, size, true, palette::INK),
            Line::new(manner, MEDIUM, true, palette::ACCENT),
        ],
        [area.left, area.top + 62.0],
    );
    let style = (READ, false, palette::STONE);
    let rests = [Some(card::shots(shot.shots_logged)), decided_for(plan)];
    for (k, words) in rests.iter().flatten().enumerate() {
        let words = &format!("{}.", capital(words));
        let base = area.top + 104.0 + DECIDED * k as f64;
        put(board, words, style, [area.left, base], Anchor::Start, room);
    }
}
