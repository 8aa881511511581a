//! A log row by row: the heading line, then a shot a row.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use csv::ByteRecord;

use super::super::club::{Named, named};
use super::super::columns::{COLUMNS, Column, Headings, Quantity, is_summary, put};
use super::super::dialect::Delimiter;
use super::super::names::{Clubs, Shapes};
use super::super::rows::Rows;
use super::bounds::Wide;
use super::reader::Reader;
use super::{MOST_CLUBS, MOST_COLUMNS, Shot, ShotLog};
use crate::diagnostic::{Place, Problem, Problems, printable};

/// Most shots in one log: several seasons of a full range. It bounds the time and memory that a log takes.
const MOST_SHOTS: usize = 50_000;

/// The rest of the log is not worth reading: the problem is noted.
pub(super) struct Stop;

/// What a log has shown so far.
pub(super) struct Reading<'a> {
    reader: Reader<'a>,
    /// The headings as written, and the column of each; none before the heading line.
    headings: Vec<String>,
    columns: Vec<Column>,
    /// The headings of the columns that are read.
    written: Headings,
    /// The line on which the heading line first comes again, and how often it does.
    again: Option<(usize, usize)>,
    rows_read: usize,
    shots: Vec<Shot>,
    clubs: Clubs,
    shapes: Shapes,
    wide: Vec<Wide>,
}

/// A row while its cells are read.
struct Row {
    shot: Shot,
    /// Index into the clubs.
    club: Option<usize>,
    has_club_cell: bool,
    has_carry_cell: bool,
    /// Whether the row sums other rows up.
    is_summary: bool,
}

impl Row {
    fn on(line: usize) -> Self {
        Self {
            shot: Shot {
                line,
                carry_m: f64::NAN,
                ..Shot::default()
            },
            club: None,
            has_club_cell: false,
            has_carry_cell: false,
            is_summary: false,
        }
    }
}

impl<'a> Reading<'a> {
    pub fn of(reader: Reader<'a>) -> Self {
        Self {
            reader,
            headings: Vec::new(),
            columns: Vec::new(),
            written: Headings::default(),
            again: None,
            rows_read: 0,
            shots: Vec::new(),
            clubs: Clubs::default(),
            shapes: Shapes::default(),
            wide: Vec::new(),
        }
    }

    /// Reads every row. `undecided` is the problem of a log whose decimal sign cannot be found.
    pub fn rows(
        &mut self,
        rows: &mut Rows<'_>,
        mut undecided: Option<Box<Problem>>,
    ) -> Result<(), Stop> {
        let mut record = ByteRecord::new();
        loop {
            let line = match rows.next(&mut record) {
                Ok(Some(line)) => line,
                Ok(None) => return Ok(()),
                Err(error) => {
                    let remedy = "save the log as comma-separated text in UTF-8";
                    let expected = "comma-separated text";
                    let found = error.to_string();
                    self.reader.problem(Place::File, expected, found, remedy);
                    return Err(Stop);
                }
            };
            if self.headings.is_empty() {
                self.heading_line(&record, line, undecided.take())?;
            } else if self.is_heading_line(&record) {
                self.again.get_or_insert((line, 0)).1 += 1;
            } else if self.has_whole_cells(&record, line) {
                self.row(&record, line)?;
            }
        }
    }

    /// Reads the headings; stops where any problem is found.
    fn heading_line(
        &mut self,
        record: &ByteRecord,
        line: usize,
        undecided: Option<Box<Problem>>,
    ) -> Result<(), Stop> {
        self.headings = record
            .iter()
            .map(|c| String::from_utf8_lossy(c).into_owned())
            .collect();
        if self.headings.len() > MOST_COLUMNS {
            let expected = format!("at most {MOST_COLUMNS} columns");
            let found = format!("{}", self.headings.len());
            let remedy = "export the log again, with the columns that are read";
            let place = Place::Line(line);
            self.reader.problem(place, &expected, found, remedy);
            return Err(Stop);
        }
        self.columns = self.reader.columns(&self.headings, line);
        if let Some(problem) = undecided {
            self.reader.problems.add(*problem);
        }
        if !self.reader.problems.is_empty() {
            return Err(Stop);
        }
        self.written = Headings::of(&self.headings, &self.columns, line);
        Ok(())
    }

    /// Whether a row is the heading line once more.
    fn is_heading_line(&self, record: &ByteRecord) -> bool {
        let same =
            |(cell, heading): (&[u8], &String)| cell.eq_ignore_ascii_case(heading.as_bytes());
        record.len() == self.headings.len() && record.iter().zip(&self.headings).all(same)
    }

    /// Whether a row has a cell for each heading and none that runs on into others; a problem
    /// where it has not.
    fn has_whole_cells(&mut self, record: &ByteRecord, line: usize) -> bool {
        let place = Place::Line(line);
        let columns = self.columns.len();
        if record.len() > columns && record.iter().skip(columns).any(|c| !c.is_empty()) {
            let expected = format!("{columns} cells, as in the heading");
            let found = format!("{} cells", record.len());
            let remedy = match self.reader.delimiter {
                Delimiter::Comma => {
                    "look for a stray comma (also a decimal comma), or quote the cell"
                }
                Delimiter::Semicolon => "look for a stray semicolon, or quote the cell",
                Delimiter::Tab => "look for a stray tab, or quote the cell",
            };
            self.reader.problem(place, &expected, found, remedy);
            return false;
        }
        let remedy = "close the quotation mark, or take it out";
        if record.iter().any(|cell| cell.contains(&b'\n')) {
            let expected = "cells on one line";
            let found = "one that goes on over several, from a quotation mark".to_owned();
            self.reader.problem(place, expected, found, remedy);
            return false;
        }
        // On the last line there is no other to go on over.
        let delimiter = self.reader.delimiter.byte();
        if record.len() < columns && record.iter().any(|cell| cell.contains(&delimiter)) {
            let expected = "cells apart from each other";
            let found = "one that takes in those after it, from a quotation mark".to_owned();
            self.reader.problem(place, expected, found, remedy);
            return false;
        }
        true
    }

    /// Reads a row into a shot and keeps the shot as long as the log has no problem.
    fn row(&mut self, record: &ByteRecord, line: usize) -> Result<(), Stop> {
        self.rows_read += 1;
        let before = self.reader.problems.len();
        let row = self.cells(record, line)?;
        self.check_needed_cells(&row);
        let clean = self.reader.problems.len() == before;
        if !row.is_summary {
            self.reader.check_row(&row.shot, &self.written, clean);
        }
        self.keep_names(&row);
        if self.rows_read > MOST_SHOTS {
            let expected = format!("at most {MOST_SHOTS} shots");
            let remedy = "cut the log down to the last season's";
            let (place, found) = (Place::Line(line), "more".to_owned());
            self.reader.problem(place, &expected, found, remedy);
            return Err(Stop);
        }
        if self.reader.problems.is_empty() {
            self.shots.push(row.shot);
        }
        Ok(())
    }

    fn cells(&mut self, record: &ByteRecord, line: usize) -> Result<Row, Stop> {
        let mut row = Row::on(line);
        for (at, cell) in record.iter().take(self.columns.len()).enumerate() {
            let column = self.columns[at];
            if cell.is_empty() || matches!(column, Column::Other) {
                continue;
            }
            row.has_club_cell |= matches!(column, Column::Club);
            let place = Place::Cell {
                line,
                column: self.headings[at].clone(),
            };
            let Ok(text) = std::str::from_utf8(cell) else {
                let found = format!("\"{}\"", String::from_utf8_lossy(cell));
                let remedy = "save the log in UTF-8";
                self.reader.problem(place, "UTF-8 text", found, remedy);
                continue;
            };
            match column {
                Column::Club => self.club_cell(&mut row, text, place)?,
                Column::Shape => row.shot.shape = Some(text.to_lowercase()),
                Column::Number { rule, .. } => {
                    row.has_carry_cell |= rule.quantity == Quantity::Carry;
                    if let Some(value) = self.reader.number(text, column, place) {
                        put(&mut row.shot, rule.quantity, value);
                    }
                }
                Column::Other => {}
            }
        }
        Ok(row)
    }

    /// Reads the name of the club; stops at more clubs than anybody carries.
    fn club_cell(&mut self, row: &mut Row, text: &str, place: Place) -> Result<(), Stop> {
        if is_summary(text) {
            row.is_summary = true;
            let found = format!("\"{}\", a row that sums others up", printable(text));
            let remedy = "delete the row: a log has the shots themselves";
            self.reader
                .problem(place, "the name of a club", found, remedy);
            return Ok(());
        }
        let key = match named(text) {
            Named::Club(key) => key,
            Named::Number(n) => {
                let found = format!("\"{n}\": a {n}-iron, a {n}-wood or a {n}-hybrid");
                let remedy = format!("write {n}i, {n}w or {n}h");
                let expected = "the name of one club";
                self.reader.problem(place, expected, found, &remedy);
                return Ok(());
            }
        };
        let Some((index, spelling)) = self.clubs.spelling(key, text) else {
            let expected = format!("at most {MOST_CLUBS} clubs");
            let found = format!("one more, \"{}\"", printable(text));
            let remedy = "look whether the column is the club's name";
            self.reader.problem(place, &expected, found, remedy);
            return Err(Stop);
        };
        row.shot.club = spelling;
        row.club = Some(index);
        Ok(())
    }

    /// Every row names a club and a carry.
    fn check_needed_cells(&mut self, row: &Row) {
        let line = row.shot.line;
        let found = "an empty cell";
        if !row.has_club_cell {
            let column = "club".to_owned();
            let remedy = "name the club, or delete the row";
            let place = Place::Cell { line, column };
            self.reader
                .problem(place, "the name of a club", found.to_owned(), remedy);
        }
        if !row.has_carry_cell {
            let column = self.written.name(Quantity::Carry);
            let remedy = "fill the cell, or delete the row";
            let place = Place::Cell { line, column };
            self.reader
                .problem(place, "a carry", found.to_owned(), remedy);
        }
    }

    /// Keeps, for the club of a row, its carry, its shape, and a side beyond the carry: whether
    /// they are plausible, all rows of the club together show.
    fn keep_names(&mut self, row: &Row) {
        let Some(club) = row.club else {
            return;
        };
        let shot = &row.shot;
        self.clubs.carried(club, shot.carry_m);
        for (quantity, value) in [
            (Quantity::Side, shot.side_m),
            (Quantity::Curve, shot.curve_m),
        ] {
            if let Some(aside_m) = value.filter(|m| m.abs() > shot.carry_m + 1e-9) {
                self.wide.push(Wide {
                    line: shot.line,
                    column: self.written.name(quantity),
                    club,
                    carry_m: shot.carry_m,
                    aside_m,
                });
            }
        }
        if let Some(shape) = &shot.shape {
            self.shapes.seen(club, shape);
        }
    }

    /// The log, once its rows are read; or its problems, with those of the log as a whole.
    pub fn finish(mut self, is_empty_file: bool) -> Result<ShotLog, Problems> {
        self.check_for_shots(is_empty_file);
        self.note_heading_again();
        self.reader.note_numbers();
        if let Some(text) = self.clubs.note() {
            self.reader.note(Place::File, text);
        }
        self.reader.check_wide(&self.wide, self.clubs.carries());
        if let Some([expected, found, remedy]) = self.shapes.problem(&self.clubs) {
            let place = Place::Cell {
                line: self.written.line,
                column: self.written.shape.clone().unwrap_or_default(),
            };
            self.reader.problem(place, &expected, found, &remedy);
        }
        if !self.reader.problems.is_empty() {
            return Err(self.problems());
        }
        Ok(ShotLog {
            file: self.reader.file(),
            shots: self.shots,
            notes: self.reader.notes,
            headings: self.written,
        })
    }

    /// A log has a heading line and a shot.
    fn check_for_shots(&mut self, is_empty_file: bool) {
        if self.headings.is_empty() {
            let found = if is_empty_file {
                "an empty file"
            } else {
                "nothing but blank lines"
            };
            let remedy = format!("write a heading line and one shot a row; columns: {COLUMNS}");
            self.reader
                .problem(Place::File, "a shot log", found.to_owned(), &remedy);
        } else if self.shots.is_empty() && self.reader.problems.is_empty() {
            let found = "only a heading".to_owned();
            let remedy = "add shots, one a row";
            self.reader
                .problem(Place::File, "at least one shot", found, remedy);
        }
    }

    fn note_heading_again(&mut self) {
        let Some((line, times)) = self.again else {
            return;
        };
        let more = match times {
            1 => String::new(),
            _ => format!(" (and {} times more)", times - 1),
        };
        let text = format!("the heading line again{more}: passed over");
        self.reader.note(Place::Line(line), text);
    }

    /// Every problem found so far.
    pub fn problems(self) -> Problems {
        self.reader.problems.all(self.rows_read)
    }
}
