//! What a reader of one log keeps and says: its problems and notes, its headings, its numbers.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use super::super::cells;
use super::super::columns::{COLUMNS, Column, column_of, example, meant};
use super::super::dialect::{Decimal, Delimiter, Dialect};
use super::super::tally::Tally;
use crate::diagnostic::{Note, Place, Problem, printable};

/// The problems and notes of one log, and how its cells are written.
pub(super) struct Reader<'a> {
    file: &'a str,
    pub problems: Tally,
    pub notes: Vec<Note>,
    pub delimiter: Delimiter,
    decimal: Decimal,
    /// The first number whose digits are grouped by thousands.
    parted: Option<(Place, String)>,
    /// The first number whose side is written as a word.
    sided: Option<(Place, String)>,
}

impl<'a> Reader<'a> {
    pub fn new(file: &'a str, delimiter: Delimiter, decimal: Decimal) -> Self {
        Self {
            file,
            problems: Tally::default(),
            notes: Vec::new(),
            delimiter,
            decimal,
            parted: None,
            sided: None,
        }
    }

    pub fn file(&self) -> String {
        self.file.to_owned()
    }

    pub fn problem(&mut self, place: Place, expected: &str, found: String, remedy: &str) {
        let problem = Problem {
            file: self.file.to_owned(),
            place,
            expected: expected.to_owned(),
            found,
            remedy: remedy.to_owned(),
        };
        self.problems.add(problem);
    }

    pub fn note(&mut self, place: Place, text: String) {
        self.notes.push(Note {
            file: self.file.to_owned(),
            place,
            text,
            topic: None,
        });
    }

    /// Notes how the log is read, where that was found from the file and is not the usual.
    pub fn note_dialect(&mut self, said: Dialect) {
        if said.delimiter.is_none() && self.delimiter != Delimiter::Comma {
            let text = format!("cells are separated by {}", self.delimiter.plural());
            self.note(Place::File, text);
        }
        if said.decimal.is_none() && self.decimal == Decimal::Comma {
            let text = "numbers are read with a decimal comma".to_owned();
            self.note(Place::File, text);
        }
    }

    /// The columns of the headings, with the problems and notes of the heading line.
    pub fn columns(&mut self, headings: &[String], line: usize) -> Vec<Column> {
        let mut seen: Vec<(String, String)> = Vec::new();
        let mut columns = Vec::with_capacity(headings.len());
        for heading in headings {
            let column = column_of(heading).unwrap_or(Column::Other);
            let (key, unit) = match column {
                Column::Club => ("club".to_owned(), String::new()),
                Column::Shape => ("shape".to_owned(), String::new()),
                Column::Number { rule, unit, .. } => (rule.name.to_owned(), unit.to_owned()),
                // The colon keeps it apart from the names above.
                Column::Other => (format!(":{}", heading.trim().to_lowercase()), String::new()),
            };
            let place = || Place::Cell {
                line,
                column: heading.clone(),
            };
            if let Some((_, first)) = seen.iter().find(|(name, _)| *name == key) {
                if *first == unit {
                    let found = format!("a second column \"{}\"", heading.trim());
                    let remedy = "remove or rename one of the two";
                    self.problem(place(), "every heading once", found, remedy);
                } else {
                    let expected = format!("one unit for {key}");
                    let found = format!("{key} in {first} and in {unit}");
                    self.problem(place(), &expected, found, "keep one of the two columns");
                }
            } else if matches!(column, Column::Other) && key.len() > 1 {
                let text = match meant(heading) {
                    Some(rule) => format!(
                        "this column is not read: to have it read, write its unit as in \"{}\"",
                        example(rule)
                    ),
                    None => "this column is not read".to_owned(),
                };
                self.note(place(), text);
            }
            seen.push((key, unit));
            columns.push(column);
        }
        let has = |name: &str| seen.iter().any(|(key, _)| key == name);
        if !has("club") {
            self.column_missing("a column \"club\"", &[], headings, line);
        }
        if !has("carry") {
            let expected = "a column for the carry, such as \"carry_yd\"";
            self.column_missing(expected, &["carry"], headings, line);
        }
        let landing = has("side") || (has("start") && has("curve"));
        if !landing {
            let expected = "a column \"side_yd\", or both \"start_deg\" and \"curve_yd\"";
            self.column_missing(expected, &["side", "start", "curve"], headings, line);
        }
        columns
    }

    /// A needed column is not there; the remedy names a heading that may be meant for one of the
    /// quantities in `names`.
    fn column_missing(&mut self, expected: &str, names: &[&str], headings: &[String], line: usize) {
        let near = headings
            .iter()
            .find(|h| column_of(h).is_none() && meant(h).is_some_and(|r| names.contains(&r.name)));
        let remedy = if headings.len() == 1 && headings[0].contains([',', ';', '\t']) {
            "give the separator with --delimiter, or leave the option out".to_owned()
        } else if let Some((heading, rule)) = near.and_then(|h| Some((h, meant(h)?))) {
            let heading = printable(heading.trim());
            format!(
                "say the unit of \"{heading}\" in its heading, as in \"{}\"",
                example(rule)
            )
        } else {
            format!("add the column; those known are {COLUMNS}")
        };
        let found = format!("columns {}", printable(&headings.join(", ")));
        self.problem(Place::Line(line), expected, found, &remedy);
    }

    /// The number of a cell in SI units; none where the cell says that nothing was measured, and
    /// none with a problem where it cannot be read.
    pub fn number(&mut self, text: &str, column: Column, place: Place) -> Option<f64> {
        let Column::Number { rule, unit, si } = column else {
            return None;
        };
        let said = match cells::read(text, rule, unit, self.decimal) {
            Ok(said) => said,
            Err(unread) => {
                let found = format!("\"{}\"{}", printable(text), unread.found);
                self.problem(place, &unread.expected, found, &unread.remedy);
                return None;
            }
        };
        let Some(said) = said.filter(|said| said.value.is_finite()) else {
            self.not_a_number(text, place);
            return None;
        };
        if said.parted && self.parted.is_none() {
            self.parted = Some((place.clone(), text.to_owned()));
        }
        if said.sided && self.sided.is_none() {
            self.sided = Some((place.clone(), text.to_owned()));
        }
        let value = said.value;
        let (least, most) = (rule.least / si, rule.most / si);
        // A hair of room: the bounds themselves are converted numbers.
        if value < least - 1e-9 || value > most + 1e-9 {
            let expected = format!("{least:.0} to {most:.0} {unit}");
            let found = if text.ends_with(|c: char| c.is_ascii_digit()) {
                format!("{} {unit}", printable(text))
            } else {
                printable(text)
            };
            let remedy = if value == 0.0 {
                "leave the cell empty where nothing was measured"
            } else {
                "correct the cell, or the unit in the heading"
            };
            self.problem(place, &expected, found, remedy);
            return None;
        }
        Some(value * si)
    }

    fn not_a_number(&mut self, text: &str, place: Place) {
        let remedy = match self.decimal {
            Decimal::Point => {
                "write digits with a decimal point, left of the line as a minus, \
                 and leave the cell empty where nothing was measured"
            }
            Decimal::Comma => {
                "write digits with a decimal comma, left of the line as a minus, \
                 and leave the cell empty where nothing was measured"
            }
        };
        let found = format!("\"{}\"", printable(text));
        self.problem(place, "a number", found, remedy);
    }

    /// Notes the first number of each sort that was not written as plain digits.
    pub fn note_numbers(&mut self) {
        if let Some((place, text)) = self.parted.take() {
            let text = format!(
                "\"{}\" and the like: taken for thousands, parted",
                printable(&text)
            );
            self.note(place, text);
        }
        if let Some((place, text)) = self.sided.take() {
            let text = format!(
                "\"{}\" and the like: read as right or toe positive, left or heel negative",
                printable(&text)
            );
            self.note(place, text);
        }
    }
}
