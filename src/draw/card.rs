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
/// type. The last is the player's own, where there is one.
const ROWS: [(&str, f64); 6] = [
    ("PEG", 58.0),
    ("AIM", 100.0),
    ("BALL", 104.0),
    ("MISS", 88.0),
    ("then", 67.0),
    ("NOTE", 58.0),
];

/// The most lines that a row takes.
const MOST_LINES: usize = 6;

/// A row of the card as it is set.
#[derive(Clone, Debug)]
struct Row {
    key: &'static str,
    lines: Vec<String>,
    size: f64,
    pitch: f64,
    /// From its top to where the white below it begins.
    high: f64,
}

impl Row {
    /// Words set as large as `high` allows, from the largest of these sizes; smaller than
    /// the last they are not set, and take more lines instead.
    fn set(key: &'static str, words: &str, sizes: &[f64], high: f64, room: f64) -> Self {
        let tall = text::ascent(words) + text::DESCENT;
        let pitch = |size: f64| size * tall.max(1.1);
        let lines = |size: f64| text::wrap(words, size, false, room, MOST_LINES);
        let fits = |size: &f64| {
            let lines = lines(*size);
            lines.len() as f64 * pitch(*size) <= high
                && !lines.iter().any(|line| line.ends_with('…'))
        };
        let size = sizes.iter().copied().find(fits).unwrap_or(READ);
        let (lines, pitch) = (lines(size), pitch(size));
        let needed = lines.len() as f64 * pitch;
        Self {
            key,
            high: high.max(needed),
            lines,
            size,
            pitch,
        }
    }

    /// The white that its words leave.
    fn spare(&self) -> f64 {
        self.high - self.lines.len() as f64 * self.pitch
    }
}

/// The card, laid out.
#[derive(Clone, Debug)]
pub struct Card {
    club: f64,
    rows: Vec<Row>,
}

impl Card {
    /// How high the card is.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.club + self.rows.iter().map(|row| row.high + GAP).sum::<f64>()
    }

    /// Draws the card.
    pub fn draw(&self, board: &mut Board, area: &Area, plan: &Plan) {
        club(board, area, plan);
        let mut base = area.top + self.club + MEDIUM * text::ascent("");
        let room = area.width() - KEYS;
        for row in &self.rows {
            let key = Line::new(row.key, READ, true, palette::STONE);
            board.write(&key, [area.left, base], Anchor::Start, false);
            for (k, line) in row.lines.iter().enumerate() {
                let at = [area.left + KEYS, base + k as f64 * row.pitch];
                let style = (row.size, false, palette::INK);
                put(board, line, style, at, Anchor::Start, room);
            }
            base += row.high + GAP;
        }
    }
}

/// The card in a column so wide, and at most so high if that can be: rows keep their places,
/// unless one needs more lines or the card less room; then others give the white that they
/// leave, next the larger type.
#[must_use]
pub fn lay_out(plan: &Plan, placed: &Placed, width: f64, most: f64) -> Card {
    let card = card::card(plan, placed.green_from_rest_m);
    let rows = if card.note.is_empty() {
        &ROWS[..ROWS.len() - 1]
    } else {
        &ROWS
    };
    let words = [
        card.peg, card.aim, card.ball, card.miss, card.then, card.note,
    ];
    let words = words.map(|words| {
        text::hold_units(&text::clean(&words))
            .replace(" to go", "\u{a0}to\u{a0}go")
            .replace(" in 100", "\u{a0}in\u{a0}100")
    });
    let club = match decided_for(plan) {
        None => CLUB,
        Some(_) => CLUB + DECIDED,
    };
    let usual: f64 = rows.iter().map(|(_, high)| high + GAP).sum();
    let most = most.min(club + usual);
    let set = |sizes: &[f64]| {
        let rows = rows.iter().zip(&words);
        let rows = rows
            .map(|(&(key, high), words)| Row::set(key, words, sizes, high, width - KEYS))
            .collect();
        let mut card = Card { club, rows };
        for k in (0..card.rows.len()).rev() {
            let over = (card.height() - most).max(0.0);
            let row = &mut card.rows[k];
            row.high -= over.min(row.spare());
        }
        card
    };
    let large = set(&[MEDIUM, READ]);
    if large.height() <= most + 0.5 {
        return large;
    }
    set(&[READ])
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
