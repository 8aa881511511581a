//! The pocket book of a course: one PDF to print, cut and carry.
//!
//! [`cover`] shows the course as a map, then each hole has its page
//! ([`super::page`]) on the left and its green ([`green`]) on the right of a
//! spread; [`turns`] says what changes if the wind turns, [`super::ladders`] shows
//! the round on one page, [`summary`] says which decisions weigh most, [`reading`] how to read it all. [`impose`] puts two
//! pages on a sheet to be folded.
//!
//! A book with images of greens may be carried if it is no larger than
//! 4¼ × 7 in and shows greens at no more than 3/8 in to 5 yd, 1:480 (Rules of
//! Golf 2023, Interpretation 4.3a/1): every page is 107.9 × 177.8 mm, and no
//! drawing is larger than that scale.

pub(super) mod check_first;
mod course_map;
pub mod cover;
pub mod green;
pub mod impose;
mod margins;
pub mod reading;
pub mod summary;
pub mod turns;

use super::labels::{Board, Layout};
use super::page::{self, Drawn, LARGE, Land, MEDIUM, PAGE, SMALL, area};
use super::panel::{INK_SMALL, put, rule};
use super::pdf::{self, About, NoPdf, Sheet};
use super::scene::{Anchor, Node, Stroke, palette};
use super::sheet::{self, paragraph};
use super::{ladders, text};
use crate::plan::Plan;
use impose::Paper;

/// What a book is made of.
#[derive(Clone, Debug)]
pub struct Book<'a> {
    /// The course's name.
    pub course: &'a str,
    /// The day of the round, as the round file gives it.
    pub date: Option<&'a str>,
    /// The holes, in the order of play.
    pub chapters: Vec<Chapter<'a>>,
    /// Holes that were asked for and are not in it, by their `ref`.
    pub missing: Vec<String>,
}

/// One hole of a book.
#[derive(Clone, Debug)]
pub struct Chapter<'a> {
    /// Its plan.
    pub plan: &'a Plan,
    /// Its land.
    pub land: Land<'a>,
    /// The same hole decided again, each plan under its own wind; empty where
    /// only the day's wind was looked at.
    pub turns: &'a [Plan],
    /// Further winds in which the hole is not reached.
    pub unreached: &'a [Unreached],
    /// Pictures of it beside its page, each with its name.
    pub pictures: Vec<(&'static str, Drawn)>,
}

/// A wind in which a hole is not reached.
#[derive(Clone, Debug, PartialEq)]
pub struct Unreached {
    /// Its place among the other winds of the book, from 0.
    pub column: usize,
    /// Wind at 10 m, m/s.
    pub wind_m_s: f64,
    /// True bearing it blows from, degrees.
    pub wind_from_deg: f64,
    /// A whole sentence about the wind and the hole.
    pub words: String,
}

/// A page of the book before it is written.
#[derive(Clone, Debug)]
pub struct BookPage {
    /// Its name in the table of contents.
    pub name: String,
    /// What is on it, lowest first.
    pub nodes: Vec<Node>,
    /// Where its texts stand.
    pub layout: Layout,
}

impl BookPage {
    /// A page of a name.
    fn of(name: String, drawn: Drawn) -> Self {
        Self {
            name,
            nodes: drawn.nodes,
            layout: drawn.layout,
        }
    }
}

/// Left and right edge of what is printed.
const LEFT: f64 = 60.0;
const RIGHT: f64 = 1019.0;
/// Scales and arcs.
const SMALL_TYPE: f64 = SMALL;
/// Lowest baseline.
const FOOT: f64 = 1732.0;

/// Every page, in the order of reading.
#[must_use]
pub fn pages(book: &Book<'_>) -> Vec<BookPage> {
    let mut pages = vec![cover::page(book)];
    pages.extend(check_first::pages(book));
    let mut holes = vec![None; pages.len()];
    for (hole, chapter) in book.chapters.iter().enumerate() {
        holes.extend([Some(hole); 2]);
        let drawn = page::lay_out(chapter.plan, &chapter.land);
        let reference = text::clean(&chapter.plan.hole.reference);
        pages.push(BookPage::of(format!("Hole {reference}"), drawn));
        pages.push(green::page(chapter));
    }
    // After the spreads, which they would break up.
    for chapter in &book.chapters {
        let reference = text::clean(&chapter.plan.hole.reference);
        let pictures = chapter.pictures.iter();
        pages.extend(
            pictures.map(|(name, drawn)| {
                BookPage::of(format!("Hole {reference}, {name}"), drawn.clone())
            }),
        );
        for own in &chapter.plan.own_shots {
            let drawn = page::lay_out(&own.page, &chapter.land);
            let name = format!("Hole {reference}, your own shot {}", own.number);
            pages.push(BookPage::of(name, drawn));
        }
    }
    pages.extend(turns::pages(book));
    pages.extend(round(book));
    pages.extend(summary::pages(book));
    pages.push(reading::page(book));
    margins::draw(&mut pages, &holes);
    pages
}

/// The round on one page, or on one for each nine holes.
fn round(book: &Book<'_>) -> Vec<BookPage> {
    let holes: Vec<ladders::Hole<'_>> = book
        .chapters
        .iter()
        .map(|chapter| ladders::Hole {
            plan: chapter.plan,
            land: chapter.land,
        })
        .collect();
    let drawn = ladders::pages("The round", &holes);
    let many = drawn.len() > 1;
    let pages = drawn.into_iter().enumerate();
    let pages = pages.map(|(k, drawn)| match many {
        true => BookPage::of(format!("The round, {}", k + 1), drawn),
        false => BookPage::of("The round".to_owned(), drawn),
    });
    pages.collect()
}

/// The book as a PDF: single pages, or two up on sheets of `paper`.
///
/// # Errors
/// When the writer refuses, which no book made here should bring about.
pub fn write(book: &Book<'_>, paper: Option<Paper>) -> Result<Vec<u8>, NoPdf> {
    bind(book, pages(book), paper)
}

/// The letters on these pages that are drawn as hollow boxes.
#[must_use]
pub fn boxed(pages: &[BookPage]) -> String {
    let texts = pages.iter().flat_map(|page| &page.layout.texts);
    pdf::boxed(texts.map(|text| text.words.as_str()))
}

/// The pages of [`pages`] as a PDF, as [`write()`] makes it.
///
/// # Errors
/// As [`write()`].
pub fn bind(book: &Book<'_>, pages: Vec<BookPage>, paper: Option<Paper>) -> Result<Vec<u8>, NoPdf> {
    let sheets = match paper {
        Some(paper) => impose::two_up(pages, paper),
        None => pages
            .into_iter()
            .map(|page| Sheet {
                size: PAGE,
                parts: vec![([0.0, 0.0], page.nodes)],
                name: Some(page.name),
            })
            .collect(),
    };
    let player = book
        .chapters
        .first()
        .map(|chapter| text::clean(&chapter.plan.player.name))
        .filter(|name| !name.is_empty());
    let about = About {
        title: text::clean(&match book.date {
            Some(date) => format!("{}, {date}", book.course),
            None => book.course.to_owned(),
        }),
        player,
    };
    pdf::write(&about, &sheets)
}

/// A page of words: white paper, a heading in the pages' own style, a rule.
fn headed(title: &str, under: &str) -> Board {
    let mut board = Board::new(area(0.0, 0.0, PAGE[0], PAGE[1]), |_| 0.0);
    let room = RIGHT - LEFT;
    let size = if text::width(title, LARGE * 0.7, true) <= room {
        LARGE * 0.7
    } else {
        MEDIUM
    };
    let strong = (size, true, palette::INK);
    put(&mut board, title, strong, [LEFT, 84.0], Anchor::Start, room);
    put(
        &mut board,
        under,
        INK_SMALL,
        [LEFT, 118.0],
        Anchor::Start,
        room,
    );
    let heavy = Stroke::of(palette::INK, 3.0);
    rule(&mut board, &area(LEFT, 0.0, RIGHT, 0.0), 132.0, heavy);
    board
}

/// Words and drawings together as a page.
fn finish(
    name: String,
    under: Vec<Node>,
    board: Board,
    scale: f64,
    map: super::frame::Area,
) -> BookPage {
    let drawn = sheet::finish(name.clone(), PAGE[1], under, board, (map, scale));
    BookPage::of(name, drawn)
}
