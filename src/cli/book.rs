//! `bendline book`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Game, PlayFor, Units};

/// Make the pocket book of a course: one PDF to print, cut and carry.
///
/// A cover with the course as a map, then for each hole its page and its green to scale, what changes
/// if the wind turns, the round on one page, the decisions that matter most, and how to read it. Pages are 107.9 x 177.8 mm and greens at most
/// 1:480, as Rule 4.3a wants of a book that is carried: print it at 100 %. Ctrl-C makes the book of
/// the holes that are done.
#[derive(Args, Debug)]
#[command(after_help = "\
Examples:
  bendline book course.geojson --player me.json --round saturday.toml
      every hole of the course, for the day and the pin sheet of the round file
  bendline book course.geojson --log range.csv --wind 12mph@240 --impose a4
      two pages on each side of A4, with marks to fold and cut along
  bendline book course.geojson --player me.json --out out/saturday.pdf --also phone
      out/saturday.html too, to send to a phone the evening before
  bendline book course.geojson --player me.json --with view,large
      with the view from each tee and a page in large type
  bendline book --no-turns
      a book of the built-in hole, for the day's wind only

A round file (TOML); every key may be left out:
  course = \"The Nine\"
  date = 2026-06-14
  tees = \"white\"
  wind = \"12mph@240\"
  temperature = \"18C\"        # also altitude, pressure, humidity
  firmness = \"firm\"
  play_for = \"match\"         # or strokes, par, no-double, points
  opponent = \"par:60,bogey:40\"
  [pins]
  1 = \"18,4L\"               # hole 1: 18 paces on, 4 from the left
  [notes]
  1 = \"never long\"          # your own words for a hole
  [targets]                  # to aim at: yards on from the tee, and left or right of the line of play
  1 = { \"the barn\" = \"410,25R\" }")]
pub struct Book {
    #[command(flatten)]
    pub game: Game,

    #[command(flatten)]
    pub play: PlayFor,

    /// Lengths are shown in this unit
    #[arg(help_heading = "Results", long, value_enum, default_value_t = Units::Yd)]
    pub units: Units,

    /// The book
    #[arg(
        help_heading = "Results",
        long,
        value_name = "BOOK.pdf",
        default_value = "out/book.pdf"
    )]
    pub out: PathBuf,

    /// Two pages on each side of this paper, in the order of a folded booklet, with fold and cut
    /// marks [default: single pages]
    #[arg(help_heading = "Results", long, value_enum, value_name = "PAPER")]
    pub impose: Option<Paper>,

    /// Write this beside the book: phone is one HTML file of the course for the day's pocket, with
    /// the winds on a dial, yards or metres, light or dark; it needs no network
    #[arg(
        help_heading = "Results",
        long,
        value_enum,
        value_name = "FORM",
        value_delimiter = ','
    )]
    pub also: Vec<BookForm>,

    /// Put these pictures of every hole into the book too, after its pages: view is what is seen from
    /// the tee, large the page in large type, balls a hundred balls with two aims, landscape the
    /// strokes still to play
    #[arg(
        help_heading = "Results",
        long,
        value_enum,
        value_name = "PICTURE",
        value_delimiter = ','
    )]
    pub with: Vec<Picture>,

    /// Leave out the page on other winds: it decides every tee four times more
    #[arg(help_heading = "Results", long)]
    pub no_turns: bool,
}

/// What a book is written as too.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum BookForm {
    Phone,
}

/// `view`, `large`, `balls` or `landscape`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Picture {
    View,
    Large,
    Balls,
    Landscape,
}

/// `a4` or `letter`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    A4,
    Letter,
}

impl From<Paper> for bendline::draw::book::impose::Paper {
    fn from(paper: Paper) -> Self {
        match paper {
            Paper::A4 => Self::A4,
            Paper::Letter => Self::Letter,
        }
    }
}
