//! The round at a glance: the decisions that weigh most, and every call.

use super::super::labels::Board;
use super::super::page::{Lengths, MEDIUM, PAGE, SMALL, area, fixed};
use super::super::panel::{INK_SMALL, STONE_SMALL, put, rule};
use super::super::scene::{Anchor, Stroke, palette};
use super::super::text;
use super::{Book, BookPage, LEFT, RIGHT, finish, headed, paragraph};
use crate::plan::Plan;
use crate::plan::card::to_go_m;
use crate::plan::course::at_stake;
use crate::plan::sentence::{capital, club};

/// Decisions shown.
const MOST: usize = 5;
/// Holes on a page.
const ROWS: usize = 18;

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

/// The pages: one for each eighteen holes, the weights on the first.
#[must_use]
pub fn pages(book: &Book<'_>) -> Vec<BookPage> {
    if book.chapters.is_empty() {
        return Vec::new();
    }
    let whole: Vec<usize> = (0..book.chapters.len()).collect();
    let many = whole.len() > ROWS;
    whole
        .chunks(ROWS)
        .enumerate()
        .map(|(part, holes)| page(book, holes, part, many))
        .collect()
}

fn page(book: &Book<'_>, holes: &[usize], part: usize, many: bool) -> BookPage {
    let title = "The round";
    let name = if many {
        format!("{title}, {}", part + 1)
    } else {
        title.to_owned()
    };
    let under = "where the plan gains most, then every tee shot in a line";
    let mut board = headed(title, under);
    let mut y = 178.0;
    if part == 0 {
        y = dearest(&mut board, book, y);
    }
    table(&mut board, book, holes, y);
    finish(
        name,
        Vec::new(),
        board,
        1.0,
        area(0.0, 0.0, PAGE[0], PAGE[1]),
    )
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

fn table(board: &mut Board, book: &Book<'_>, holes: &[usize], top: f64) {
    let mut y = top;
    let across = area(LEFT, 0.0, RIGHT, 0.0);
    let light = Stroke::of(palette::MIST, 2.0);
    let unit = book
        .chapters
        .first()
        .map_or("yd", |c| Lengths::of_unit(&c.plan.words.unit).name());
    // Columns: number, par, length, call, left, strokes.
    let ends = [LEFT + 150.0, LEFT + 250.0, RIGHT - 130.0, RIGHT];
    let call = LEFT + 275.0;
    let small = STONE_SMALL;
    put(board, "hole", small, [LEFT, y], Anchor::Start, 80.0);
    put(board, "par", small, [ends[0], y], Anchor::End, 60.0);
    put(board, unit, small, [ends[1], y], Anchor::End, 60.0);
    put(board, "tee shot", small, [call, y], Anchor::Start, 200.0);
    put(board, "to go", small, [ends[2], y], Anchor::End, 140.0);
    put(board, "strokes", small, [ends[3], y], Anchor::End, 110.0);
    rule(board, &across, y + 14.0, Stroke::of(palette::INK, 2.0));
    let pitch = 54.0;
    y += 52.0;
    let mut sum = 0.0;
    let mut par = 0_u32;
    for &hole in holes {
        let plan = book.chapters[hole].plan;
        row(board, plan, y, ends, call);
        rule(board, &across, y + 18.0, light);
        sum += plan.choice.shot.expected_strokes;
        par += u32::from(plan.hole.par);
        y += pitch;
    }
    let strong = (SMALL, true, palette::INK);
    put(board, "all", strong, [LEFT, y], Anchor::Start, 80.0);
    put(
        board,
        &par.to_string(),
        strong,
        [ends[0], y],
        Anchor::End,
        60.0,
    );
    // The holes are taken to be independent: their variances add.
    let variance: Option<f64> = holes
        .iter()
        .map(|&hole| {
            let whole = book.chapters[hole].plan.whole_hole.as_ref();
            whole.map(|w| w.spread * w.spread)
        })
        .sum();
    if let Some(variance) = variance {
        let words = format!("two in three within {}", fixed(variance.max(0.0).sqrt(), 1));
        put(board, &words, STONE_SMALL, [call, y], Anchor::Start, 300.0);
    }
    let style = (SMALL, true, palette::ACCENT);
    put(
        board,
        &fixed(sum, 2),
        style,
        [ends[3], y],
        Anchor::End,
        110.0,
    );
}

fn row(board: &mut Board, plan: &Plan, y: f64, ends: [f64; 4], call: f64) {
    let lengths = Lengths::of_unit(&plan.words.unit);
    let shot = &plan.choice.shot;
    let strong = (SMALL, true, palette::INK);
    put(
        board,
        &plan.hole.reference,
        strong,
        [LEFT, y],
        Anchor::Start,
        90.0,
    );
    let par = plan.hole.par.to_string();
    put(board, &par, INK_SMALL, [ends[0], y], Anchor::End, 50.0);
    let length = lengths.whole(plan.hole.length_m);
    put(board, &length, INK_SMALL, [ends[1], y], Anchor::End, 80.0);
    let left = to_go_m(plan);
    let left = if left > 30.0 {
        lengths.whole(left)
    } else {
        "–".to_owned()
    };
    let left = put(board, &left, INK_SMALL, [ends[2], y], Anchor::End, 90.0);
    let words = format!(
        "{} {}",
        capital(&club(&shot.club)),
        shot.manner(plan.unit())
    );
    put(
        board,
        &words,
        strong,
        [call, y],
        Anchor::Start,
        left.left - call - 16.0,
    );
    let strokes = fixed(shot.expected_strokes, 2);
    put(board, &strokes, INK_SMALL, [ends[3], y], Anchor::End, 110.0);
}
