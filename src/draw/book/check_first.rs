//! What to check before the book is trusted: inputs that look wrong and may be right, and winds in
//! which a hole is not reached.

use super::super::labels::Board;
use super::super::page::{MEDIUM, PAGE, area};
use super::super::panel::{INK_SMALL, put};
use super::super::scene::{Anchor, palette};
use super::super::text;
use super::{Book, BookPage, Chapter, FOOT, LEFT, RIGHT, finish, headed, paragraph};

/// Most lines of one entry.
const LINES: usize = 14;
/// Where the entries begin.
const TOP: f64 = 182.0;

/// The pages; none where there is nothing to check.
#[must_use]
pub fn pages(book: &Book<'_>) -> Vec<BookPage> {
    let mut pages = Vec::new();
    let mut open: Option<(Board, f64)> = None;
    for (words, holes) in entries(book) {
        let (mut board, mut y) = open.take().unwrap_or_else(new_page);
        let lines = text::wrap(&words, INK_SMALL.0, INK_SMALL.1, RIGHT - LEFT, LINES).len();
        if y > TOP && y + 40.0 + 30.0 * lines as f64 > FOOT {
            pages.push(finished_page(board));
            (board, y) = new_page();
        }
        let strong = (MEDIUM, true, palette::INK);
        put(
            &mut board,
            &holes,
            strong,
            [LEFT, y],
            Anchor::Start,
            RIGHT - LEFT,
        );
        y = paragraph(
            &mut board,
            &words,
            INK_SMALL,
            [LEFT, y + 34.0],
            RIGHT - LEFT,
            LINES,
        );
        open = Some((board, y + 30.0));
    }
    pages.extend(open.map(|(board, _)| finished_page(board)));
    pages
}

fn new_page() -> (Board, f64) {
    let under = "before you trust these plans";
    (headed("Check first", under), TOP)
}

fn finished_page(board: Board) -> BookPage {
    let page = area(0.0, 0.0, PAGE[0], PAGE[1]);
    finish("Check first".into(), Vec::new(), board, 1.0, page)
}

/// Every sentence once, with the holes that it is about.
fn entries(book: &Book<'_>) -> Vec<(String, String)> {
    let mut entries: Vec<(String, Vec<String>)> = Vec::new();
    for chapter in &book.chapters {
        let hole = text::clean(&chapter.plan.hole.reference);
        for words in sentences(chapter) {
            match entries.iter_mut().find(|(known, _)| *known == words) {
                Some((_, holes)) => holes.push(hole.clone()),
                None => entries.push((words, vec![hole.clone()])),
            }
        }
    }
    let all = book.chapters.len();
    let named = |holes: &[String]| match holes {
        [hole] => format!("Hole {hole}"),
        holes if holes.len() == all => "Every hole".to_owned(),
        holes => format!("Holes {}", holes.join(", ")),
    };
    let named = entries.into_iter().map(|(words, holes)| {
        let holes = named(&holes);
        (words, holes)
    });
    named.collect()
}

/// What is to be checked on a hole.
pub fn sentences<'a>(chapter: &Chapter<'a>) -> impl Iterator<Item = String> + use<'a> {
    let stopped = |line: &String| {
        let line = text::clean(line);
        let stop = if line.ends_with(['.', '!', '?']) {
            ""
        } else {
            "."
        };
        format!("{line}{stop}")
    };
    let winds = chapter.unreached.iter().map(|wind| &wind.words);
    chapter.plan.check_first.iter().chain(winds).map(stopped)
}
