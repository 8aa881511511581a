//! Problems with an input, and notes on what was assumed.
//!
//! A [`Problem`] stops the work; a [`Note`] does not. Readers collect every
//! problem of a file and return them together as [`Problems`]. A [`Question`] is an
//! implausible input: a problem until the user says that it is so, a note afterwards.

mod question;
mod shown;

use std::fmt;

pub use question::{Answers, Question, Topic};
pub use shown::{found, harmless, json, printable, sentence};

/// Where in a file something was found.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// The file as a whole.
    File,
    /// A line of a text file, counted from 1.
    Line(usize),
    /// A cell of a table: line counted from 1, and the column's heading.
    Cell {
        /// Line, counted from 1.
        line: usize,
        /// The column's heading as written in the file.
        column: String,
    },
    /// A byte position given by a parser: line and column, both from 1.
    Position {
        /// Line, counted from 1.
        line: usize,
        /// Column, counted from 1.
        column: usize,
    },
    /// A feature of a GeoJSON file.
    Feature {
        /// Its index among the features, counted from 1.
        index: usize,
        /// Its id: the feature's `id`, its `@id` property, or none.
        id: Option<String>,
    },
    /// A key of a JSON file, written as a path, such as `clubs[3].mean`.
    Key(String),
    /// A cell of a raster, counted from 1 at its north-western corner.
    Pixel {
        /// Column, counted from the west.
        column: usize,
        /// Row, counted from the north.
        row: usize,
    },
    /// An option of the command line with its value, such as `--pin 18,4L`.
    Argument(String),
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File => write!(f, "whole file"),
            Self::Line(line) => write!(f, "line {line}"),
            Self::Cell { line, column } => {
                write!(f, "line {line}, column \"{}\"", printable(column))
            }
            Self::Position { line, column } => write!(f, "line {line}, column {column}"),
            Self::Feature {
                index,
                id: Some(id),
            } => {
                write!(f, "feature {index} ({})", printable(id))
            }
            Self::Feature { index, id: None } => write!(f, "feature {index} (no id)"),
            Self::Pixel { column, row } => write!(f, "column {column}, row {row}"),
            Self::Key(key) => write!(f, "key {}", printable(key)),
            Self::Argument(argument) => write!(f, "{}", printable(argument)),
        }
    }
}

/// One thing wrong with an input.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The file as the user named it.
    pub file: String,
    /// Where in it.
    pub place: Place,
    /// What should have stood there.
    pub expected: String,
    /// What stands there.
    pub found: String,
    /// What the user can do about it.
    pub remedy: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: {}", sentence(&self.file), self.place)?;
        writeln!(f, "  expected: {}", sentence(&self.expected))?;
        writeln!(f, "  found:    {}", sentence(&self.found))?;
        write!(f, "  remedy:   {}", sentence(&self.remedy))
    }
}

/// Every problem found with an input; never empty when used as an error.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems(pub Vec<Problem>);

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.0.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self(vec![problem])
    }
}

/// Most problems that are collected of one file.
pub const MOST_PROBLEMS: usize = 1000;

/// Adds a problem, up to [`MOST_PROBLEMS`]; the last one then says that there are more, so that a
/// file of nothing but mistakes takes no more memory than its own.
pub fn add(problems: &mut Vec<Problem>, problem: Problem) {
    if problems.len() < MOST_PROBLEMS {
        problems.push(problem);
    } else if problems.len() == MOST_PROBLEMS {
        problems.push(Problem {
            file: problem.file,
            place: Place::File,
            expected: format!("at most {MOST_PROBLEMS} problems in a file"),
            found: "more".into(),
            remedy: "mend those listed, then check the file again".into(),
        });
    }
}

/// Something that was assumed, skipped or looks odd; the work goes on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// The file as the user named it.
    pub file: String,
    /// Where in it.
    pub place: Place,
    /// What was assumed, skipped or noticed, and what the user can do about it.
    pub text: String,
    /// The topic of a note that a plan shows in its first lines: the input looks wrong and may be
    /// right. None of an ordinary note.
    pub topic: Option<Topic>,
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // A player without a name has no file to name.
        if self.file.is_empty() && self.place == Place::File {
            return write!(f, "{}", sentence(&self.text));
        }
        write!(
            f,
            "{}: {}: {}",
            sentence(&self.file),
            self.place,
            sentence(&self.text)
        )
    }
}
