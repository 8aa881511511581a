//! The shot log: CSV, one shot a row, the unit in the column's heading.
//!
//! | column | what | unit endings |
//! | --- | --- | --- |
//! | `club` | the club's name, such as `driver` or `7i`; needed | |
//! | `shape` | the shape the player meant, such as `draw` | |
//! | `carry` | straight distance from the ball to where it lands; needed | `_yd` `_m` `_ft` |
//! | `total` | the same to where it rests | `_yd` `_m` `_ft` |
//! | `side` | how far from the aim line it lands, right + | `_yd` `_m` `_ft` |
//! | `start` | direction it starts in, from the aim line, right + | `_deg` |
//! | `curve` | how far from its start line it lands, right + | `_yd` `_m` `_ft` |
//! | `ball_speed`, `club_speed` | | `_mph` `_ms` `_kmh` |
//! | `launch`, `axis`, `attack`, `path`, `face` | right and up + | `_deg` |
//! | `spin` | total spin | `_rpm` |
//! | `strike` | where on the face, from its centre, toe + for every player | `_mm` |
//!
//! A row needs its club, its carry, and either its side or both its start and
//! its curve. Everything wrong with a log is reported at once.
//!
//! Headings may be written in other ways that say the same: `Carry (yd)`, `ball speed [km/h]`.
//! Cells are separated by commas, semicolons or tabs, and numbers written with a decimal point or
//! comma: see [`Dialect`]. A number may have its side or its unit with it (`29R`, `10 left`,
//! `238 yd`), and a club is one club however it is written (`7 iron`, `7-iron`, `7I`). Blank rows, rows that begin with `#`, and a heading line that comes
//! again are passed over.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use super::cells;
use super::club::{Club, Named, named};
use super::columns::{
    COLUMNS, Column, Headings, Quantity, column_of, example, is_summary, meant, put,
};
use super::dialect;
pub use super::dialect::{Decimal, Delimiter, Dialect};
use super::group::{MISHIT_CARRY, sound_middle};
use super::names::{Clubs, Shapes};
use super::rows::{Rows, decimal_of};
use super::tally::Tally;
use crate::diagnostic::{Note, Place, Problem, Problems, printable};
use crate::units::{MPH_M_S, YARD_M};

/// Most columns that are read; no device logs a tenth as many.
pub(super) const MOST_COLUMNS: usize = 500;
/// Most shots in one log: several seasons of a full range. It bounds the time and memory that a log takes.
const MOST_SHOTS: usize = 50_000;
/// Most clubs with their shapes of one player: fourteen clubs of four shapes, and some.
pub(super) const MOST_CLUBS: usize = 60;

/// One logged shot; right is positive for every player.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shot {
    /// Line of the file, counted from 1.
    pub line: usize,
    /// The club, in the spelling of its first row.
    pub club: String,
    /// The shape the player meant, if logged.
    pub shape: Option<String>,
    /// Straight distance to the landing, m.
    pub carry_m: f64,
    /// Straight distance to the rest, m.
    pub total_m: Option<f64>,
    /// Landing, right of the aim line, m.
    pub side_m: Option<f64>,
    /// Start direction, right of the aim line, degrees.
    pub start_deg: Option<f64>,
    /// Landing, right of the start line, m.
    pub curve_m: Option<f64>,
    /// Ball speed, m/s.
    pub ball_speed_m_s: Option<f64>,
    /// Launch angle, degrees.
    pub launch_deg: Option<f64>,
    /// Spin, rpm.
    pub spin_rpm: Option<f64>,
    /// Tilt of the spin axis, degrees, right +.
    pub axis_deg: Option<f64>,
    /// Club speed, m/s.
    pub club_speed_m_s: Option<f64>,
    /// Attack angle, degrees, up +.
    pub attack_deg: Option<f64>,
    /// Club path, degrees, right +.
    pub path_deg: Option<f64>,
    /// Face angle, degrees, right +.
    pub face_deg: Option<f64>,
    /// Strike from the face's centre, mm, toe + for every player.
    pub strike_mm: Option<f64>,
}

/// A log as read: never without a shot.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShotLog {
    /// The file as the user named it.
    pub file: String,
    /// Its shots, in the order of the file.
    pub shots: Vec<Shot>,
    /// Columns passed over and the like.
    pub notes: Vec<Note>,
    /// The headings of its columns.
    pub headings: Headings,
}

struct Reader<'a> {
    file: &'a str,
    problems: Tally,
    notes: Vec<Note>,
    delimiter: Delimiter,
    decimal: Decimal,
    /// Where a number was parted into thousands first.
    parted: Option<(Place, String)>,
    /// Where a word told a side first.
    sided: Option<(Place, String)>,
}

impl Reader<'_> {
    fn problem(&mut self, place: Place, expected: &str, found: String, remedy: &str) {
        let problem = Problem {
            file: self.file.to_owned(),
            place,
            expected: expected.to_owned(),
            found,
            remedy: remedy.to_owned(),
        };
        self.problems.add(problem);
    }

    fn note(&mut self, place: Place, text: String) {
        self.notes.push(Note {
            file: self.file.to_owned(),
            place,
            text,
            topic: None,
        });
    }

    /// Says how the log is read, where that was told from the file and is not the usual.
    fn say_how(&mut self, said: Dialect) {
        if said.delimiter.is_none() && self.delimiter != Delimiter::Comma {
            let text = format!("cells are separated by {}", self.delimiter.plural());
            self.note(Place::File, text);
        }
        if said.decimal.is_none() && self.decimal == Decimal::Comma {
            let text = "numbers are read with a decimal comma".to_owned();
            self.note(Place::File, text);
        }
    }

    /// Headings to columns; problems with the heading line as a whole.
    fn columns(&mut self, headings: &[String], line: usize) -> Vec<Column> {
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
        let shown = printable(&headings.join(", "));
        let mut missing = |expected: &str, names: &[&str]| {
            let near = headings.iter().find(|h| {
                column_of(h).is_none() && meant(h).is_some_and(|r| names.contains(&r.name))
            });
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
            self.problem(
                Place::Line(line),
                expected,
                format!("columns {shown}"),
                &remedy,
            );
        };
        if !has("club") {
            missing("a column \"club\"", &[]);
        }
        if !has("carry") {
            missing("a column for the carry, such as \"carry_yd\"", &["carry"]);
        }
        let landing = has("side") || (has("start") && has("curve"));
        if !landing {
            let expected = "a column \"side_yd\", or both \"start_deg\" and \"curve_yd\"";
            missing(expected, &["side", "start", "curve"]);
        }
        columns
    }

    fn number(&mut self, text: &str, column: Column, place: Place) -> Option<f64> {
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
        match said {
            Some(said) if said.value.is_finite() => {
                let value = said.value;
                if said.parted && self.parted.is_none() {
                    self.parted = Some((place.clone(), text.to_owned()));
                }
                if said.sided && self.sided.is_none() {
                    self.sided = Some((place.clone(), text.to_owned()));
                }
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
            _ => {
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
                None
            }
        }
    }

    /// What only several cells of a row together can show.
    fn row(&mut self, shot: &Shot, headings: &Headings, clean: bool) {
        let line = shot.line;
        let cell = |quantity: Quantity| Place::Cell {
            line,
            column: headings.name(quantity),
        };
        if shot.side_m.is_none() && (shot.start_deg.is_none() || shot.curve_m.is_none()) && clean {
            let remedy = "fill the cells, or delete the row";
            let found = "neither in this row".to_owned();
            self.problem(
                Place::Line(line),
                "a side, or a start with a curve",
                found,
                remedy,
            );
        }
        let yd = |m: f64| format!("{:.0} yd", m / YARD_M);
        let most_m = Club::of(&shot.club).longest_carry_m();
        if shot.carry_m > most_m {
            let expected = format!("at most {} of carry with a {}", yd(most_m), shot.club);
            let remedy = "correct the carry, the club, or the unit in the heading";
            self.problem(cell(Quantity::Carry), &expected, yd(shot.carry_m), remedy);
        }
        if shot
            .total_m
            .is_some_and(|total| total < shot.carry_m - 40.0 * YARD_M)
        {
            let expected = format!("a total not far below the carry, {}", yd(shot.carry_m));
            let remedy = "correct the total or the carry";
            let found = yd(shot.total_m.unwrap_or_default());
            self.problem(cell(Quantity::Total), &expected, found, remedy);
        }
        let rolls_m = |total: f64| total - shot.carry_m;
        if let Some(total_m) = shot.total_m.filter(|t| rolls_m(*t) > 150.0 * YARD_M) {
            let expected = format!("a total not far beyond the carry, {}", yd(shot.carry_m));
            let remedy = "correct the total or the carry";
            self.problem(cell(Quantity::Total), &expected, yd(total_m), remedy);
        }
        if let (Some(ball), Some(club)) = (shot.ball_speed_m_s, shot.club_speed_m_s)
            && ball > 1.65 * club
        {
            // (1 + e) / (1 + m/M) with e ≤ 0.83 and a 200 g head is 1.49; the
            // rest is room for how different devices measure club speed.
            let mph = |v: f64| format!("{:.0} mph", v / MPH_M_S);
            let expected = format!("at most 1.65 times the club speed, {}", mph(club));
            let remedy = "correct the ball speed, the club speed, or the unit in a heading";
            self.problem(cell(Quantity::BallSpeed), &expected, mph(ball), remedy);
        }
    }
}

/// A row that ends farther from its line than it carried, or bends so.
struct Wide {
    line: usize,
    column: String,
    /// Index into the clubs.
    club: usize,
    carry_m: f64,
    aside_m: f64,
}

impl Reader<'_> {
    /// A topped ball may end wider than it carried; a ball that flew as far as the club's others
    /// may not.
    fn wide(&mut self, wide: &[Wide], carries: &[Vec<f32>]) {
        let yd = |m: f64| format!("{:.0} yd", m / YARD_M);
        let mut first = None;
        let mut tops = 0;
        for row in wide {
            let middle_m = carries.get(row.club).map_or(0.0, |all| sound_middle(all));
            if row.carry_m < MISHIT_CARRY * middle_m {
                first.get_or_insert(row);
                tops += 1;
                continue;
            }
            let place = Place::Cell {
                line: row.line,
                column: row.column.clone(),
            };
            let expected = format!("no more than the carry, {}", yd(row.carry_m));
            let remedy = "correct the cell, or the unit in the heading";
            self.problem(place, &expected, yd(row.aside_m), remedy);
        }
        if let Some(row) = first {
            let more = match tops {
                1 => String::new(),
                _ => format!(" (and {} more)", tops - 1),
            };
            let text = format!(
                "the ball ends {} aside and carries {}{more}: a mishit, kept as a shot",
                yd(row.aside_m.abs()),
                yd(row.carry_m)
            );
            let place = Place::Cell {
                line: row.line,
                column: row.column.clone(),
            };
            self.note(place, text);
        }
    }
}

/// Reads a shot log, telling from the file how it is written.
///
/// # Errors
/// As [`read_as`].
pub fn read(file: &str, bytes: &[u8]) -> Result<ShotLog, Problems> {
    read_as(file, bytes, Dialect::default())
}

/// Reads a shot log.
///
/// `file` names the file in messages; `dialect` is what is known beforehand of how it is written.
/// A byte-order mark, blank rows and remarks are passed over; columns that are not known are named
/// in a note, and so is how the log was read where it is not written with commas and points.
///
/// # Errors
/// Every problem of the log at once.
pub fn read_as(file: &str, bytes: &[u8], dialect: Dialect) -> Result<ShotLog, Problems> {
    let start = dialect::start(bytes, dialect.delimiter);
    let decimal = match dialect.decimal {
        Some(decimal) => Ok(decimal),
        None => decimal_of(file, bytes, &start),
    };
    let mut reader = Reader {
        file,
        problems: Tally::default(),
        notes: Vec::new(),
        delimiter: start.delimiter,
        decimal: *decimal.as_ref().unwrap_or(&Decimal::Point),
        parted: None,
        sided: None,
    };
    reader.say_how(dialect);
    let mut again: Option<(usize, usize)> = None;
    let mut rows = Rows::of(bytes, &start);
    let mut record = csv::ByteRecord::new();
    let mut columns: Vec<Column> = Vec::new();
    let mut headings: Vec<String> = Vec::new();
    let mut written = Headings::default();
    let mut shots: Vec<Shot> = Vec::new();
    let mut clubs = Clubs::default();
    let mut shapes = Shapes::default();
    let mut wide: Vec<Wide> = Vec::new();
    let mut rows_read = 0;
    loop {
        let line = match rows.next(&mut record) {
            Ok(Some(line)) => line,
            Ok(None) => break,
            Err(error) => {
                let remedy = "save the log as comma-separated text in UTF-8";
                reader.problem(
                    Place::File,
                    "comma-separated text",
                    error.to_string(),
                    remedy,
                );
                return Err(reader.problems.all(rows_read));
            }
        };
        if headings.is_empty() {
            headings = record
                .iter()
                .map(|c| String::from_utf8_lossy(c).into_owned())
                .collect();
            if headings.len() > MOST_COLUMNS {
                let expected = format!("at most {MOST_COLUMNS} columns");
                let found = format!("{}", headings.len());
                let remedy = "export the log again, with the columns that are read";
                reader.problem(Place::Line(line), &expected, found, remedy);
                return Err(reader.problems.all(rows_read));
            }
            columns = reader.columns(&headings, line);
            if let Err(problem) = &decimal {
                reader.problems.add((**problem).clone());
            }
            if !reader.problems.is_empty() {
                return Err(reader.problems.all(rows_read));
            }
            written = Headings::of(&headings, &columns, line);
            continue;
        }
        let same =
            |(cell, heading): (&[u8], &String)| cell.eq_ignore_ascii_case(heading.as_bytes());
        if record.len() == headings.len() && record.iter().zip(&headings).all(same) {
            again.get_or_insert((line, 0)).1 += 1;
            continue;
        }
        if record.len() > columns.len() && record.iter().skip(columns.len()).any(|c| !c.is_empty())
        {
            let expected = format!("{} cells, as in the heading", columns.len());
            let found = format!("{} cells", record.len());
            let remedy = match reader.delimiter {
                Delimiter::Comma => {
                    "look for a stray comma (also a decimal comma), or quote the cell"
                }
                Delimiter::Semicolon => "look for a stray semicolon, or quote the cell",
                Delimiter::Tab => "look for a stray tab, or quote the cell",
            };
            reader.problem(Place::Line(line), &expected, found, remedy);
            continue;
        }
        let remedy = "close the quotation mark, or take it out";
        if record.iter().any(|cell| cell.contains(&b'\n')) {
            let found = "one that goes on over several, from a quotation mark".to_owned();
            reader.problem(Place::Line(line), "cells on one line", found, remedy);
            continue;
        }
        // On the last line there is no other to go on over.
        let delimiter = start.delimiter.byte();
        if record.len() < columns.len() && record.iter().any(|cell| cell.contains(&delimiter)) {
            let found = "one that takes in those after it, from a quotation mark".to_owned();
            reader.problem(
                Place::Line(line),
                "cells apart from each other",
                found,
                remedy,
            );
            continue;
        }
        rows_read += 1;
        let before = reader.problems.len();
        let mut sums = false;
        let mut shot = Shot {
            line,
            carry_m: f64::NAN,
            ..Shot::default()
        };
        let mut has_carry_cell = false;
        let mut has_club_cell = false;
        let mut club = None;
        for ((cell, &column), heading) in record.iter().zip(&columns).zip(&headings) {
            if cell.is_empty() || matches!(column, Column::Other) {
                continue;
            }
            let place = || Place::Cell {
                line,
                column: heading.clone(),
            };
            has_club_cell |= matches!(column, Column::Club);
            let Ok(text) = std::str::from_utf8(cell) else {
                let found = format!("\"{}\"", String::from_utf8_lossy(cell));
                reader.problem(place(), "UTF-8 text", found, "save the log in UTF-8");
                continue;
            };
            match column {
                Column::Club if is_summary(text) => {
                    sums = true;
                    let found = format!("\"{}\", a row that sums others up", printable(text));
                    let remedy = "delete the row: a log has the shots themselves";
                    reader.problem(place(), "the name of a club", found, remedy);
                }
                Column::Club => match named(text) {
                    Named::Number(n) => {
                        let found = format!("\"{n}\": a {n}-iron, a {n}-wood or a {n}-hybrid");
                        let remedy = format!("write {n}i, {n}w or {n}h");
                        let expected = "the name of one club";
                        reader.problem(place(), expected, found, &remedy);
                    }
                    Named::Club(key) => match clubs.spelling(key, text) {
                        Some((index, spelling)) => {
                            shot.club = spelling;
                            club = Some(index);
                        }
                        None => {
                            let expected = format!("at most {MOST_CLUBS} clubs");
                            let found = format!("one more, \"{}\"", printable(text));
                            let remedy = "look whether the column is the club's name";
                            reader.problem(place(), &expected, found, remedy);
                            return Err(reader.problems.all(rows_read));
                        }
                    },
                },
                Column::Shape => shot.shape = Some(text.to_lowercase()),
                Column::Number { rule, .. } => {
                    has_carry_cell |= rule.quantity == Quantity::Carry;
                    if let Some(value) = reader.number(text, column, place()) {
                        put(&mut shot, rule.quantity, value);
                    }
                }
                Column::Other => {}
            }
        }
        if !has_club_cell {
            let column = "club".to_owned();
            let remedy = "name the club, or delete the row";
            let place = Place::Cell { line, column };
            reader.problem(
                place,
                "the name of a club",
                "an empty cell".to_owned(),
                remedy,
            );
        }
        if !has_carry_cell {
            let place = Place::Cell {
                line,
                column: written.name(Quantity::Carry),
            };
            let remedy = "fill the cell, or delete the row";
            reader.problem(place, "a carry", "an empty cell".to_owned(), remedy);
        }
        let clean = reader.problems.len() == before;
        if !sums {
            reader.row(&shot, &written, clean);
        }
        if let Some(club) = club {
            clubs.carried(club, shot.carry_m);
            for (quantity, value) in [
                (Quantity::Side, shot.side_m),
                (Quantity::Curve, shot.curve_m),
            ] {
                if let Some(aside_m) = value.filter(|m| m.abs() > shot.carry_m + 1e-9) {
                    wide.push(Wide {
                        line,
                        column: written.name(quantity),
                        club,
                        carry_m: shot.carry_m,
                        aside_m,
                    });
                }
            }
            if let Some(shape) = &shot.shape {
                shapes.seen(club, shape);
            }
        }
        if rows_read > MOST_SHOTS {
            let expected = format!("at most {MOST_SHOTS} shots");
            let remedy = "cut the log down to the last season's";
            reader.problem(Place::Line(line), &expected, "more".to_owned(), remedy);
            return Err(reader.problems.all(rows_read));
        }
        if reader.problems.is_empty() {
            shots.push(shot);
        }
    }
    if headings.is_empty() {
        let found = if bytes.is_empty() {
            "an empty file"
        } else {
            "nothing but blank lines"
        };
        let remedy = format!("write a heading line and one shot a row; columns: {COLUMNS}");
        reader.problem(Place::File, "a shot log", found.to_owned(), &remedy);
    } else if shots.is_empty() && reader.problems.is_empty() {
        let remedy = "add shots, one a row";
        reader.problem(
            Place::File,
            "at least one shot",
            "only a heading".to_owned(),
            remedy,
        );
    }
    if let Some((line, times)) = again {
        let more = match times {
            1 => String::new(),
            _ => format!(" (and {} times more)", times - 1),
        };
        let text = format!("the heading line again{more}: passed over");
        reader.note(Place::Line(line), text);
    }
    if let Some((place, text)) = reader.parted.take() {
        let text = format!(
            "\"{}\" and the like: taken for thousands, parted",
            printable(&text)
        );
        reader.note(place, text);
    }
    if let Some((place, text)) = reader.sided.take() {
        let text = format!(
            "\"{}\" and the like: read as right or toe positive, left or heel negative",
            printable(&text)
        );
        reader.note(place, text);
    }
    if let Some(text) = clubs.note() {
        reader.note(Place::File, text);
    }
    reader.wide(&wide, clubs.carries());
    if let Some([expected, found, remedy]) = shapes.problem(&clubs) {
        let place = Place::Cell {
            line: written.line,
            column: written.shape.clone().unwrap_or_default(),
        };
        reader.problem(place, &expected, found, &remedy);
    }
    if reader.problems.is_empty() {
        Ok(ShotLog {
            file: file.to_owned(),
            shots,
            notes: reader.notes,
            headings: written,
        })
    } else {
        Err(reader.problems.all(rows_read))
    }
}
