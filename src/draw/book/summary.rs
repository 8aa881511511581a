//! The decisions that weigh most, and what the round adds up to.

use super::super::labels::Board;
use super::super::page::{MEDIUM, PAGE, area, fixed};
use super::super::panel::{INK_SMALL, STONE_SMALL, put};
use super::super::scene::{Anchor, palette};
use super::super::text;
use super::{Book, BookPage, LEFT, RIGHT, finish, headed, paragraph};
use crate::plan::course::at_stake;
use crate::plan::sentence::capital;

/// Decisions shown.
const MOST: usize = 16;

/// What a plan says against one habit.
#[derive(Clone, Debug, PartialEq)]
pub struct Weight {
    /// Index of the hole in the book.
    pub hole: usize,
    /// What not to do: `down the middle`, or the next club.
    pub instead: String,
    /// Strokes it would cost.
    pub costs: f64,
    /// Standard error of that.
    pub error: f64,
}

/// For every hole the dearer of two habits, aiming down the middle and taking
/// the next best club, dearest first; what is within noise is left out.
#[must_use]
pub fn weights(book: &Book<'_>) -> Vec<Weight> {
    let mut all: Vec<Weight> = book
        .chapters
        .iter()
        .enumerate()
        .filter_map(|(hole, chapter)| {
            let (instead, costs, error) = at_stake(chapter.plan)?;
            Some(Weight {
                hole,
                instead,
                costs,
                error,
            })
        })
        .collect();
    all.sort_by(|a, b| b.costs.total_cmp(&a.costs).then(a.hole.cmp(&b.hole)));
    all
}

/// The page; none of a book without holes.
#[must_use]
pub fn pages(book: &Book<'_>) -> Vec<BookPage> {
    if book.chapters.is_empty() {
        return Vec::new();
    }
    let title = "What matters most";
    let mut board = headed(title, "where the plan gains most over the usual choice");
    let y = dearest(&mut board, book, 178.0);
    total(&mut board, book, y);
    let page = finish(
        title.to_owned(),
        Vec::new(),
        board,
        1.0,
        area(0.0, 0.0, PAGE[0], PAGE[1]),
    );
    vec![page]
}

/// The round's strokes with their spread.
fn total(board: &mut Board, book: &Book<'_>, y: f64) {
    let plans = || book.chapters.iter().map(|chapter| chapter.plan);
    let strokes: f64 = plans().map(|plan| plan.choice.shot.expected_strokes).sum();
    let par: u32 = plans().map(|plan| u32::from(plan.hole.par)).sum();
    // The holes are taken to be independent: their variances add.
    let variance: Option<f64> = plans()
        .map(|plan| {
            plan.whole_hole
                .as_ref()
                .map(|whole| whole.spread * whole.spread)
        })
        .sum();
    let spread = variance.map_or_else(String::new, |variance| {
        let within = fixed(variance.max(0.0).sqrt(), 1);
        format!("; two rounds in three are within {within}")
    });
    let words = format!(
        "All holes: {} strokes expected, par {par}{spread}.",
        fixed(strokes, 1)
    );
    paragraph(board, &words, INK_SMALL, [LEFT, y], RIGHT - LEFT, 3);
}

fn dearest(board: &mut Board, book: &Book<'_>, top: f64) -> f64 {
    let weights = weights(book);
    let mut y = top + 4.0;
    let strong = (MEDIUM, true, palette::INK);
    if weights.is_empty() {
        let words = "No hole punishes the usual choice: play the club you like best.";
        return paragraph(board, words, INK_SMALL, [LEFT, y], RIGHT - LEFT, 3) + 40.0;
    }
    for weight in weights.iter().take(MOST) {
        let plan = book.chapters[weight.hole].plan;
        let number = text::clean(&plan.hole.reference);
        put(board, &number, strong, [LEFT, y], Anchor::Start, 80.0);
        let cost = fixed(weight.costs, 2);
        let style = (MEDIUM, true, palette::ACCENT);
        let right = put(board, &cost, style, [RIGHT, y], Anchor::End, 160.0);
        let room = right.left - LEFT - 110.0;
        let call = capital(&plan.choice.shot.name(plan.unit()));
        let x = LEFT + 90.0;
        put(
            board,
            &text::clean(&call),
            strong,
            [x, y],
            Anchor::Start,
            room,
        );
        let against = format!("and not {}", text::clean(&weight.instead));
        put(
            board,
            &against,
            INK_SMALL,
            [x, y + 28.0],
            Anchor::Start,
            room,
        );
        put(
            board,
            "saved",
            STONE_SMALL,
            [RIGHT, y + 28.0],
            Anchor::End,
            160.0,
        );
        y += 76.0;
    }
    y + 20.0
}
