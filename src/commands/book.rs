//! `bendline book`: a course and a player in; one PDF to print, cut and carry.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use bendline::diagnostic::{Place, Problem, Problems};
use bendline::draw;
use bendline::draw::book::impose::Paper;
use bendline::draw::book::{self, Book, Chapter, Unreached};
use bendline::draw::page::{Drawn, Land};
use bendline::draw::{landscape, large, two_aims, view};
use bendline::flight::air::Wind;
use bendline::hole::Hole;
use bendline::plan::Plan;
use bendline::units::parse::WindText;

use super::game::{self, Planned, Table, Task};
use super::{Ending, day};
use crate::{cli, files, terminal};

/// The wind that turns where the day is calm, m/s: a moderate breeze, 11 mph.
const BREEZE_M_S: f64 = 5.0;
/// Winds looked at beside the day's own.
const TURNS: usize = 4;

/// Runs the command.
pub fn run(arguments: &cli::Book) -> Result<Ending, Problems> {
    let target = Target::of(arguments)?;
    files::check_files(&target.files(), files::Folder::Made)?;
    let table = game::read(&arguments.game, arguments.units.into())?.playing(&arguments.play)?;
    let table = Arc::new(table.with_landscape(arguments.with.contains(&cli::Picture::Landscape)));
    let winds = if arguments.no_turns {
        Vec::new()
    } else {
        turns(&table.wind)
    };
    let done = table.plan(tasks(&table, &winds))?;
    // A hole is in the book when all of its winds are.
    let whole: Vec<Winds> = winds_of_holes(done.plans, 1 + winds.len());
    if whole.is_empty() {
        terminal::aside("stopped before the first hole was planned: no book is written");
        return Ok(Ending::Stopped);
    }
    let course = table.course_name();
    let book = Book {
        course: &course,
        date: table.round.date.as_deref(),
        chapters: chapters(&whole, &table.holes, &arguments.with),
        missing: table
            .holes
            .iter()
            .skip(whole.len())
            .map(|hole| hole.reference.clone())
            .collect(),
    };
    target.write(&book, arguments.impose.map(Into::into))?;
    if done.stopped {
        terminal::aside(&format!(
            "stopped: without holes {}",
            book.missing.join(", ")
        ));
        return Ok(Ending::Stopped);
    }
    Ok(Ending::Whole)
}

/// Where the book is written, and its phone page where that is asked for.
struct Target<'a> {
    book: &'a Path,
    /// The name of the book in its folder.
    name: &'a OsStr,
    folder: &'a Path,
    phone: Option<PathBuf>,
}

impl<'a> Target<'a> {
    fn of(arguments: &'a cli::Book) -> Result<Self, Problems> {
        let book = arguments.out.as_path();
        let argument = || Place::Argument(format!("--out {}", book.display()));
        let name = book.file_name().ok_or_else(|| Problem {
            file: "command line".into(),
            place: argument(),
            expected: "a file to write the book to".into(),
            found: "a folder".into(),
            remedy: "name a file, such as --out out/book.pdf".into(),
        })?;
        let folder = match book.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let phone = arguments
            .also
            .contains(&cli::BookForm::Phone)
            .then(|| book.with_extension("html"));
        if phone.as_deref() == Some(book) {
            return Err(Problem {
                file: "command line".into(),
                place: argument(),
                expected: "a name for the book that its phone page does not take".into(),
                found: "a name that ends in .html".into(),
                remedy: "name the book BOOK.pdf: its phone page is BOOK.html".into(),
            }
            .into());
        }
        Ok(Self {
            book,
            name,
            folder,
            phone,
        })
    }

    fn files(&self) -> Vec<&Path> {
        let phone = self.phone.as_deref();
        std::iter::once(self.book).chain(phone).collect()
    }

    /// Writes both, says so, and names what older runs left in the folder.
    fn write(&self, book: &Book<'_>, impose: Option<Paper>) -> Result<(), Problems> {
        let pages = book::pages(book);
        terminal::boxed(&book::boxed(&pages));
        let bytes = book::bind(book, pages, impose).map_err(super::plan::no_pdf)?;
        let mut written = vec![(self.name.to_string_lossy().into_owned(), bytes)];
        if let Some(file) = self.phone.as_ref().and_then(|path| path.file_name()) {
            written.push((
                file.to_string_lossy().into_owned(),
                draw::phone::write(book).into_bytes(),
            ));
        }
        let written = files::write_folder(self.folder, written)?;
        let holes = match book.chapters.len() {
            1 => "1 hole".to_owned(),
            n => format!("{n} holes"),
        };
        let wrote: Vec<String> = self
            .files()
            .iter()
            .map(|path| format!("{}: {holes}", terminal::wrote(path)))
            .collect();
        terminal::say(&wrote.join("\n"))?;
        let stem = self.book.file_stem().map(|stem| stem.to_string_lossy());
        terminal::older(self.folder, &written, stem.as_deref());
        Ok(())
    }
}

fn chapters<'a>(whole: &'a [Winds], holes: &'a [Hole], with: &[cli::Picture]) -> Vec<Chapter<'a>> {
    whole
        .iter()
        .zip(holes)
        .map(|(winds, hole)| Chapter {
            plan: &winds.plan,
            land: Land::of(hole),
            turns: &winds.turns,
            unreached: &winds.unreached,
            pictures: pictures(&winds.plan, hole, with),
        })
        .collect()
}

/// The pictures that are asked for beside a hole's page, each once.
fn pictures(plan: &Plan, hole: &Hole, asked: &[cli::Picture]) -> Vec<(&'static str, Drawn)> {
    let land = Land::of(hole);
    let mut taken: Vec<cli::Picture> = Vec::new();
    let mut pictures = Vec::new();
    for picture in asked {
        if taken.contains(picture) {
            continue;
        }
        taken.push(*picture);
        let drawn = match picture {
            cli::Picture::View => Some(("the view from the tee", view::lay_out(plan, hole))),
            cli::Picture::Large => Some(("in large type", large::lay_out(plan))),
            cli::Picture::Balls => {
                two_aims::lay_out(plan, &land).map(|drawn| ("a hundred balls", drawn))
            }
            cli::Picture::Landscape => {
                landscape::lay_out(plan, &land).map(|drawn| ("strokes still to play", drawn))
            }
        };
        pictures.extend(drawn);
    }
    pictures
}

/// A hole in the day's wind and in the others.
struct Winds {
    plan: Plan,
    turns: Vec<Plan>,
    unreached: Vec<Unreached>,
}

/// The holes of which every wind is done, `each` winds a hole, the day's first.
fn winds_of_holes(done: Vec<Planned>, each: usize) -> Vec<Winds> {
    let whole = done.len() / each * each;
    let mut holes: Vec<Winds> = Vec::new();
    for (number, planned) in done.into_iter().take(whole).enumerate() {
        match (planned, holes.last_mut(), number % each) {
            (Planned::Plan(plan), _, 0) => holes.push(Winds {
                plan: *plan,
                turns: Vec::new(),
                unreached: Vec::new(),
            }),
            (Planned::Plan(plan), Some(hole), _) => hole.turns.push(*plan),
            (Planned::NotReached(wind, words), Some(hole), column) => {
                terminal::aside(&format!("note: {words}"));
                hole.unreached.push(Unreached {
                    column: column.saturating_sub(1),
                    wind_m_s: wind.speed_m_s,
                    wind_from_deg: wind.from_deg,
                    words,
                });
            }
            (_, None, _) => {}
        }
    }
    holes
}

/// Every hole in the day's wind, each followed by the same hole in the others.
fn tasks(table: &Table, winds: &[Wind]) -> Vec<Task> {
    table
        .tasks()
        .into_iter()
        .flat_map(|task| {
            let others = winds.iter().map(move |&wind| Task { wind, ..task });
            std::iter::once(task).chain(others)
        })
        .collect()
}

/// The winds to decide again for: the same strength from the other three quarters, and none; where
/// the day is calm, a breeze from each point of the compass.
fn turns(wind: &Wind) -> Vec<Wind> {
    let blowing = wind.speed_m_s > 0.0;
    let speed_m_s = if blowing { wind.speed_m_s } else { BREEZE_M_S };
    let first = usize::from(blowing);
    (first..TURNS)
        .map(|quarter| {
            day::wind(&cli::Wind {
                wind: Some(WindText {
                    speed_m_s,
                    from_deg: (wind.from_deg + 90.0 * quarter as f64).rem_euclid(360.0),
                }),
            })
        })
        .chain(blowing.then(|| day::wind(&cli::Wind { wind: None })))
        .collect()
}
