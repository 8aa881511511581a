//! The round log: CSV, one hole a row, or one stroke a row.
//!
//! | column | what | unit endings |
//! | --- | --- | --- |
//! | `hole` | the hole's number in the course file; needed | |
//! | `club` | what was hit | |
//! | `lon`, `lat` | where the ball ended, degrees | |
//! | `carry`, `total` | straight distance from the tee to where it landed and ended | `_yd` `_m` `_ft` |
//! | `side` | how far right of the line that the plan aims along it ended (with `carry` alone: landed) | `_yd` `_m` `_ft` |
//! | `result` | `fairway`, `rough left`, `bunker right`, `trees`, `penalty`, `out`, `green`, `holed` | |
//! | `to_go` | distance left to the pin | `_yd` `_m` `_ft` |
//! | `score`, `putts` | strokes of the hole, penalties included; putts among them | |
//!
//! Every cell but the hole's may be empty. Of several rows of one hole, one under the other, the first is
//! the tee shot.
//! Separators, decimal signs, words for sides and spellings of clubs are those of the shot log.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

pub use super::columns::Field;
use super::columns::{COLUMNS, Column, column_of};
use super::result::{self, Lie, Outcome};
use crate::diagnostic::{Note, Place, Problem, Problems, printable};
use crate::player::cells;
use crate::player::dialect::{self, Decimal, Evidence, number};
use crate::player::rows::Rows;
use crate::player::shotlog::Dialect;
use crate::player::tally::Tally;

/// Most rows of one log: several rounds of every stroke.
const MOST_ROWS: usize = 2000;
/// Most columns that are read.
const MOST_COLUMNS: usize = 100;
/// Most strokes and putts that are read of a hole.
const MOST_STROKES: f64 = 30.0;

/// Where a ball ended, as far as a row says.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct End {
    /// Longitude and latitude, degrees.
    pub position: Option<[f64; 2]>,
    /// From the tee to the landing, m.
    pub carry_m: Option<f64>,
    /// From the tee to the rest, m.
    pub total_m: Option<f64>,
    /// Right of the aim, m.
    pub side_m: Option<f64>,
    /// In words.
    pub outcome: Outcome,
    /// From there to the pin, m.
    pub to_go_m: Option<f64>,
}

impl End {
    /// Along the aim and right of it by a length from the tee and the side, m; none where the side is longer.
    #[must_use]
    pub fn along_and_side(&self, away_m: Option<f64>) -> Option<[f64; 2]> {
        let (away, side) = away_m.zip(self.side_m)?;
        (side.abs() <= away).then(|| [(away * away - side * side).sqrt(), side])
    }
}

/// A hole as it was played.
#[derive(Clone, Debug, PartialEq)]
pub struct PlayedHole {
    /// Line of its first row, counted from 1.
    pub line: usize,
    /// The hole as written.
    pub hole: String,
    /// The club of the tee shot as written.
    pub club: Option<String>,
    /// Where the tee shot ended.
    pub end: End,
    /// Strokes, penalties included.
    pub score: Option<usize>,
    /// Putts.
    pub putts: Option<usize>,
    /// How many rows it has.
    pub rows: usize,
    /// Lines of further rows that carry its score and the tee shot's club.
    pub scored_again: Vec<usize>,
}

impl PlayedHole {
    /// Whether the tee shot was holed.
    #[must_use]
    pub fn is_ace(&self) -> bool {
        self.end.outcome.holed && self.score == Some(1)
    }
}

/// A hole's name without what people write about it: `06` and `Hole 6` are 6.
#[must_use]
pub fn hole_name(written: &str) -> String {
    let lower = written.trim().to_lowercase();
    let bare = ["hole", "no.", "nr.", "#"]
        .iter()
        .find_map(|word| lower.strip_prefix(word))
        .map_or(lower.as_str(), str::trim);
    let is_number = !bare.is_empty() && bare.bytes().all(|byte| byte.is_ascii_digit());
    match bare.trim_start_matches('0') {
        _ if bare.is_empty() => lower,
        number if is_number && !number.is_empty() => number.to_owned(),
        _ => bare.to_owned(),
    }
}

/// A round as read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RoundLog {
    /// The file as the user named it.
    pub file: String,
    /// Its holes in the order of the file.
    pub holes: Vec<PlayedHole>,
    /// Columns that are not read, and the like.
    pub notes: Vec<Note>,
    /// The headings that are read, as written.
    headings: Vec<(Field, String)>,
}

impl RoundLog {
    /// The place of a cell.
    #[must_use]
    pub fn cell(&self, line: usize, field: Field) -> Place {
        match self.headings.iter().find(|(known, _)| *known == field) {
            Some((_, heading)) => Place::Cell {
                line,
                column: heading.clone(),
            },
            None => Place::Line(line),
        }
    }
}

struct Reader<'a> {
    file: &'a str,
    problems: Tally,
    notes: Vec<Note>,
    decimal: Decimal,
    headings: Vec<String>,
    columns: Vec<Option<Column>>,
}

/// A row.
#[derive(Default)]
struct Row {
    hole: Option<String>,
    club: Option<String>,
    lon: Option<f64>,
    lat: Option<f64>,
    end: End,
    score: Option<usize>,
    putts: Option<usize>,
}

/// Reads a round log; `file` names it in messages.
///
/// # Errors
/// Every problem of the log at once.
pub fn read(file: &str, bytes: &[u8]) -> Result<RoundLog, Problems> {
    let start = dialect::start(bytes, Dialect::default().delimiter);
    let mut reader = Reader {
        file,
        problems: Tally::default(),
        notes: Vec::new(),
        decimal: Decimal::Point,
        headings: Vec::new(),
        columns: Vec::new(),
    };
    let mut cells: Vec<(usize, Vec<String>)> = Vec::new();
    let mut rows = Rows::of(bytes, &start);
    let mut record = csv::ByteRecord::new();
    loop {
        match rows.next(&mut record) {
            Ok(None) => break,
            Ok(Some(line)) => {
                let text = |cell: &[u8]| String::from_utf8_lossy(cell).into_owned();
                cells.push((line, record.iter().take(MOST_COLUMNS).map(text).collect()));
            }
            Err(error) => {
                let found = printable(&error.to_string());
                let remedy = "close every quotation mark";
                reader.problem(Place::File, "rows of cells", found, remedy);
                break;
            }
        }
        if cells.len() > MOST_ROWS {
            let expected = format!("at most {MOST_ROWS} rows");
            let remedy = "give the log of one round";
            reader.problem(Place::File, &expected, "more".into(), remedy);
            break;
        }
    }
    let mut cells = cells.into_iter();
    let Some((line, headings)) = cells.next() else {
        reader.problem(
            Place::File,
            "a line of headings and a row for every hole",
            "nothing but blanks".into(),
            &format!("write the headings first, such as {COLUMNS}"),
        );
        return Err(reader.problems.all(0));
    };
    let cells: Vec<(usize, Vec<String>)> = cells.collect();
    reader.read_headings(line, headings);
    reader.read_decimal(&cells, start.delimiter);
    let rows: Vec<(usize, Row)> = cells
        .iter()
        .filter(|(_, row)| !reader.is_heading_again(row))
        .map(|(line, row)| (*line, row))
        .collect::<Vec<_>>()
        .into_iter()
        .map(|(line, row)| (line, reader.row(line, row)))
        .collect();
    if rows.is_empty() && reader.problems.is_empty() {
        let remedy = "write a row for every hole";
        reader.problem(Place::Line(line), "rows", "headings alone".into(), remedy);
    }
    let count = rows.len();
    let holes = reader.holes(rows);
    if !reader.problems.is_empty() {
        return Err(reader.problems.all(count));
    }
    let headings = reader.columns.iter().zip(&reader.headings);
    let headings = headings
        .filter_map(|(column, heading)| Some((column.as_ref()?.field, heading.trim().to_owned())));
    Ok(RoundLog {
        file: file.to_owned(),
        holes,
        headings: headings.collect(),
        notes: reader.notes,
    })
}

impl Reader<'_> {
    fn problem(&mut self, place: Place, expected: &str, found: String, remedy: &str) {
        self.problems.add(Problem {
            file: self.file.to_owned(),
            place,
            expected: expected.to_owned(),
            found,
            remedy: remedy.to_owned(),
        });
    }

    /// The place of a cell.
    fn cell(&self, line: usize, field: Field) -> Place {
        let mut all = self.columns.iter().zip(&self.headings);
        let heading = all.find(|(column, _)| column.is_some_and(|column| column.field == field));
        match heading {
            Some((_, heading)) => Place::Cell {
                line,
                column: heading.trim().to_owned(),
            },
            None => Place::Line(line),
        }
    }

    fn read_headings(&mut self, line: usize, headings: Vec<String>) {
        let mut columns: Vec<Option<Column>> = Vec::new();
        for heading in &headings {
            let place = Place::Cell {
                line,
                column: heading.clone(),
            };
            let column = match column_of(heading) {
                Ok(column) => column,
                Err(name) => {
                    self.problem(
                        place.clone(),
                        "a length with its unit in the heading",
                        format!("\"{}\"", printable(heading.trim())),
                        &format!("write {name}_yd, {name}_m or {name}_ft"),
                    );
                    None
                }
            };
            let is_known =
                |known: &Option<Column>| known.zip(column).is_some_and(|(a, b)| a.field == b.field);
            if columns.iter().any(is_known) {
                let found = format!("a second column \"{}\"", printable(heading.trim()));
                let remedy = "remove or rename one of the two";
                self.problem(place, "every heading once", found, remedy);
            } else if column.is_none() && !heading.trim().is_empty() {
                self.notes.push(Note {
                    file: self.file.to_owned(),
                    place,
                    text: "this column is not read".into(),
                    topic: None,
                });
            }
            columns.push(column);
        }
        let has = |field: Field| {
            let mut all = columns.iter().flatten();
            all.any(|column| column.field == field)
        };
        let found = format!("columns {}", printable(&headings.join(", ")));
        if !has(Field::Hole) {
            let remedy = format!("add the column; those known are {COLUMNS}");
            self.problem(Place::Line(line), "a column \"hole\"", found, &remedy);
        } else if has(Field::Lon) != has(Field::Lat) {
            let remedy = "give both, or neither";
            self.problem(Place::Line(line), "both \"lon\" and \"lat\"", found, remedy);
        }
        (self.headings, self.columns) = (headings, columns);
    }

    /// A line of headings that comes again.
    fn is_heading_again(&self, row: &[String]) -> bool {
        row.iter()
            .zip(&self.headings)
            .all(|(cell, heading)| cell == heading)
    }

    fn read_decimal(&mut self, rows: &[(usize, Vec<String>)], delimiter: dialect::Delimiter) {
        let mut evidence = Evidence::default();
        for (line, row) in rows {
            for ((cell, column), heading) in row.iter().zip(&self.columns).zip(&self.headings) {
                let is_number = column.is_some_and(|column| {
                    column.length.is_some() || matches!(column.field, Field::Lon | Field::Lat)
                });
                if is_number && cell.contains([',', '.']) {
                    evidence.hear(*line, heading, cells::number_in(cell));
                }
            }
        }
        match evidence.settle(self.file, delimiter) {
            Ok(decimal) => self.decimal = decimal,
            Err(problem) => self.problems.add(*problem),
        }
    }

    fn row(&mut self, line: usize, cells: &[String]) -> Row {
        let mut row = Row::default();
        for (index, cell) in cells.iter().enumerate() {
            let text = cell.trim();
            let Some(Some(column)) = self.columns.get(index).copied() else {
                continue;
            };
            if text.is_empty() || text == "-" {
                continue;
            }
            let place = Place::Cell {
                line,
                column: self.headings[index].clone(),
            };
            match column.field {
                Field::Hole => row.hole = Some(text.to_owned()),
                Field::Club => row.club = Some(text.to_owned()),
                Field::Lon => row.lon = self.degrees(text, place, 180.0),
                Field::Lat => row.lat = self.degrees(text, place, 90.0),
                Field::Carry => row.end.carry_m = self.length(text, column, place),
                Field::Total => row.end.total_m = self.length(text, column, place),
                Field::Side => row.end.side_m = self.length(text, column, place),
                Field::ToGo => row.end.to_go_m = self.length(text, column, place),
                Field::Score => row.score = self.strokes(text, place, 1.0),
                Field::Putts => row.putts = self.strokes(text, place, 0.0),
                Field::Result => match result::read(text) {
                    Some(outcome) => row.end.outcome = outcome,
                    None => self.problem(
                        place,
                        "where the ball ended, in one word or two",
                        format!("\"{}\"", printable(text)),
                        &format!(
                            "write {}; remarks go into a column of another name",
                            result::KNOWN
                        ),
                    ),
                },
            }
        }
        match (row.lon, row.lat) {
            (Some(lon), Some(lat)) => row.end.position = Some([lon, lat]),
            (None, None) => {}
            _ => {
                let found = "one of the two".into();
                let remedy = "fill the other cell, or empty this one";
                self.problem(
                    Place::Line(line),
                    "both lon and lat, or neither",
                    found,
                    remedy,
                );
            }
        }
        row
    }

    fn degrees(&mut self, text: &str, place: Place, most: f64) -> Option<f64> {
        let degrees = number(text, self.decimal).map(|read| read.0);
        let degrees = degrees.filter(|degrees| degrees.abs() <= most);
        if degrees.is_none() {
            let expected = format!("degrees, -{most:.0} to {most:.0}");
            let found = format!("\"{}\"", printable(text));
            let remedy = "write decimal degrees, east and north positive, such as -2.80215";
            self.problem(place, &expected, found, remedy);
        }
        degrees
    }

    fn length(&mut self, text: &str, column: Column, place: Place) -> Option<f64> {
        let (rule, unit, metres) = column.length?;
        let found = || format!("\"{}\"", printable(text));
        let value = match cells::read(text, rule, unit, self.decimal) {
            Ok(said) => said
                .map(|said| said.value)
                .filter(|value| value.is_finite()),
            Err(unread) => {
                let found = format!("{}{}", found(), unread.found);
                self.problem(place, &unread.expected, found, &unread.remedy);
                return None;
            }
        };
        let Some(value) = value else {
            let remedy =
                "write a number, left of the aim as a minus or as 10L, or leave the cell empty";
            self.problem(place, "a number", found(), remedy);
            return None;
        };
        let (least, most) = (rule.least / metres, rule.most / metres);
        if value < least - 1e-9 || value > most + 1e-9 {
            let expected = format!("{least:.0} to {most:.0} {unit}");
            let remedy = "correct the cell, or the unit in the heading";
            self.problem(place, &expected, found(), remedy);
            return None;
        }
        Some(value * metres)
    }

    /// A whole number of strokes.
    fn strokes(&mut self, text: &str, place: Place, least: f64) -> Option<usize> {
        let value = number(text, Decimal::Point).map(|read| read.0);
        let value = value.filter(|v| v.fract() == 0.0 && (least..=MOST_STROKES).contains(v));
        if value.is_none() {
            let expected = format!("a whole number of strokes, {least:.0} to {MOST_STROKES:.0}");
            let found = format!("\"{}\"", printable(text));
            self.problem(
                place,
                &expected,
                found,
                "correct the cell, or leave it empty",
            );
        }
        let whole = 0..=30_usize;
        value.and_then(|value| whole.into_iter().find(|n| (*n as f64 - value).abs() < 0.5))
    }

    /// Rows to holes: of several rows of a hole the first is the tee shot.
    fn holes(&mut self, rows: Vec<(usize, Row)>) -> Vec<PlayedHole> {
        let mut holes: Vec<PlayedHole> = Vec::new();
        // Strokes of rows that say where the hole ended, and penalties among them.
        let mut penalties: Vec<(usize, bool)> = Vec::new();
        // The hole of the row above.
        let mut last: Option<usize> = None;
        for (line, row) in rows {
            let Some(name) = row.hole else {
                let remedy = "write the hole's number as in the course file, or delete the row";
                let found = "no hole".into();
                self.problem(
                    Place::Line(line),
                    "the hole that the row is of",
                    found,
                    remedy,
                );
                continue;
            };
            let same = |hole: &PlayedHole| hole_name(&hole.hole) == hole_name(&name);
            let is_penalty = matches!(row.end.outcome.lie, Some(Lie::Penalty | Lie::Out));
            let known = holes.iter().position(same);
            match known {
                None => {
                    holes.push(PlayedHole {
                        line,
                        hole: name,
                        club: row.club,
                        end: row.end,
                        score: row.score,
                        putts: row.putts,
                        rows: 1,
                        scored_again: Vec::new(),
                    });
                    penalties.push((usize::from(is_penalty), row.end.outcome.holed));
                }
                Some(index) if last != Some(index) => {
                    let found = format!("hole {} again, after another hole", printable(&name));
                    let remedy = "give each round its own file, also the second time round the same holes; \
                                  write the strokes of a hole one under the other";
                    let expected = "every hole once";
                    let place = self.cell(line, Field::Hole);
                    self.problem(place, expected, found, remedy);
                }
                Some(index) => {
                    let hole = &mut holes[index];
                    hole.rows += 1;
                    penalties[index].0 += usize::from(is_penalty);
                    penalties[index].1 |= row.end.outcome.holed;
                    let first = hole.score;
                    hole.score = hole.score.or(row.score);
                    hole.putts = hole.putts.or(row.putts);
                    // A phone writes the score in every stroke's row. The club of the tee shot again is
                    // another round.
                    if first.is_some() && row.score.is_some() && row.club == hole.club {
                        hole.scored_again.push(line);
                    }
                    if let (Some(one), Some(other)) = (first, row.score)
                        && one != other
                    {
                        let place = self.cell(line, Field::Score);
                        let expected = format!("the hole's score once, {one} as above");
                        let remedy =
                            "write the score in one row of the hole; give each round its own file";
                        self.problem(place, &expected, other.to_string(), remedy);
                    }
                }
            }
            last = known.or(Some(holes.len() - 1));
        }
        for (hole, (penalties, is_holed)) in holes.iter_mut().zip(penalties) {
            if hole.score.is_none() && is_holed {
                hole.score = Some(hole.rows + penalties);
            }
        }
        holes
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::YARD_M;
    use crate::units::parse::Side;
    use proptest::prelude::*;

    const WHOLE: &str = "hole,club,lon,lat,total_yd,side_yd,result,to_go_yd,score,putts,weather\n\
                         1,driver,18.947444,52.420303,,,,,5,2,wet\n\
                         2,7-iron,,,180,11R,green,,3,,\n\n# a remark\n\
                         3,driver,,,,,rough left,188,5,2,\n";

    #[test]
    fn a_hole_a_row() {
        let log = read("round.csv", WHOLE.as_bytes()).expect("a log");
        assert_eq!(log.notes.len(), 1, "{:?}", log.notes);
        let [one, two, three] = &log.holes[..] else {
            panic!("{:?}", log.holes);
        };
        assert_eq!(one.end.position, Some([18.947_444, 52.420_303]));
        assert_eq!((one.score, one.putts, one.line), (Some(5), Some(2), 2));
        assert_eq!(two.end.side_m.map(|m| (m / YARD_M).round()), Some(11.0));
        assert_eq!(two.end.outcome.lie, Some(Lie::Green));
        assert_eq!(three.end.outcome.side, Some(Side::Left));
        assert_eq!(three.end.to_go_m.map(|m| (m / YARD_M).round()), Some(188.0));
        assert_eq!(three.line, 6);
    }

    #[test]
    fn a_stroke_a_row_in_another_manner() {
        let text = "Hole;Club;Result;To Go (m);Total [m]\n4;driver;fairway;120;210,5\n4;8i;green;;\n\
                    4;putter;;;\n4;putter;holed;;\n5;driver;water right;;\n5;3w;holed;;\n";
        let log = read("round.csv", text.as_bytes()).expect("a log");
        let [four, five] = &log.holes[..] else {
            panic!("{:?}", log.holes);
        };
        assert_eq!(
            (four.club.as_deref(), four.score, four.rows),
            (Some("driver"), Some(4), 4)
        );
        assert_eq!(four.end.total_m, Some(210.5));
        // Two strokes and the penalty.
        assert_eq!(five.score, Some(3));
    }

    #[test]
    fn every_problem_at_once() {
        let text = "hole,total,lon,score,score\n1,230,18.9,5,5\n";
        let problems = read("round.csv", text.as_bytes()).expect_err("problems").0;
        assert_eq!(problems.len(), 4, "{problems:#?}");
        let text = "hole,club\n";
        assert!(read("round.csv", text.as_bytes()).is_err());
        let text = "hole,score\n1,5\n1,4\n";
        assert!(read("round.csv", text.as_bytes()).is_err());
    }

    /// A second round in one file is no further strokes of the first.
    #[test]
    fn a_second_round_is_asked_for_its_own_file() {
        let text = "hole,score\n1,5\n2,3\n01,5\nHole 2,3\n";
        let problems = read("round.csv", text.as_bytes()).expect_err("problems").0;
        assert_eq!(problems.len(), 2, "{problems:#?}");
        let line = |line| Place::Cell {
            line,
            column: "hole".into(),
        };
        assert_eq!(
            [&problems[0].place, &problems[1].place],
            [&line(4), &line(5)]
        );
        let log = read("round.csv", b"hole,total_yd,score\n6,250,5\n6,200,5\n").expect("a log");
        assert_eq!(log.holes[0].scored_again, [3]);
        let strokes = b"hole,club,total_yd,score\n6,driver,250,3\n6,7i,160,3\n6,putter,,3\n";
        let log = read("round.csv", strokes).expect("a log");
        assert!(log.holes[0].scored_again.is_empty());
        assert_eq!((log.holes[0].rows, log.holes[0].score), (3, Some(3)));
    }

    #[test]
    fn what_people_write_about_a_hole() {
        let names = ["6", "06", " Hole 6", "hole06", "#6", "No. 6"].map(hole_name);
        assert!(names.iter().all(|name| name == "6"), "{names:?}");
        assert_eq!(["0", "hole", "A7"].map(hole_name), ["0", "hole", "a7"]);
    }

    proptest! {
        #[test]
        fn nothing_makes_it_panic(text in "(?s).{0,300}") {
            let _ = read("round.csv", text.as_bytes());
        }

        #[test]
        fn nor_do_broken_bytes_of_a_sound_log(at in 0..WHOLE.len(), byte: u8) {
            let mut bytes = WHOLE.as_bytes().to_vec();
            bytes[at] = byte;
            let _ = read("round.csv", &bytes);
        }
    }
}
