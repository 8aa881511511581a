//! The rows of a shot log with their lines, and a first look at its numbers.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use super::cells::number_in;
use super::columns::{Column, column_of};
use super::dialect::{Decimal, Delimiter, Evidence, Start};
use super::shotlog::MOST_COLUMNS;
use crate::diagnostic::Problem;

/// The log's rows as they stand, with the line of each.
pub(crate) struct Rows<'a> {
    bytes: &'a [u8],
    start: &'a Start,
    csv: csv::Reader<&'a [u8]>,
}

impl<'a> Rows<'a> {
    pub fn of(bytes: &'a [u8], start: &'a Start) -> Self {
        let bytes = &bytes[start.skip..];
        let csv = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(csv::Trim::All)
            .delimiter(start.delimiter.byte())
            .comment(start.remarks.then_some(b'#'))
            .from_reader(bytes);
        Self { bytes, start, csv }
    }

    /// The next row that is not blank, and its line; none after the last.
    pub fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<usize>, csv::Error> {
        loop {
            if !self.csv.read_byte_record(record)? {
                return Ok(None);
            }
            if !record.iter().all(<[u8]>::is_empty) {
                return Ok(Some(self.line(record)));
            }
        }
    }

    fn line(&self, record: &csv::ByteRecord) -> usize {
        let Some(position) = record.position() else {
            return 0;
        };
        // A record's position is the end of the one before it: pass over blank
        // lines and remarks.
        let at = usize::try_from(position.byte()).unwrap_or(usize::MAX);
        let mut rest = self.bytes.get(at..).unwrap_or_default();
        let mut passed = 0;
        loop {
            match rest.first() {
                Some(b'\r') => rest = &rest[1..],
                Some(b'\n') => {
                    passed += 1;
                    rest = &rest[1..];
                }
                Some(b'#') if self.start.remarks => {
                    let end = rest.iter().position(|&b| b == b'\n');
                    rest = end.map_or(b"", |end| &rest[end..]);
                }
                _ => break,
            }
        }
        usize::try_from(position.line())
            .unwrap_or(usize::MAX)
            .saturating_add(passed + self.start.lines)
    }
}

/// What the numbers of the log say of its decimal sign.
pub(crate) fn decimal_of(file: &str, bytes: &[u8], start: &Start) -> Result<Decimal, Box<Problem>> {
    let mut evidence = Evidence::default();
    let log = &bytes[start.skip..];
    // Without a comma in any cell there is nothing to tell.
    let possible = match start.delimiter {
        Delimiter::Comma => log.contains(&b'"'),
        _ => log.contains(&b','),
    } || log.iter().filter(|b| **b == b'.').nth(1).is_some();
    if possible {
        let mut rows = Rows::of(bytes, start);
        let mut record = csv::ByteRecord::new();
        let mut headings: Option<Vec<(String, bool)>> = None;
        while let Ok(Some(line)) = rows.next(&mut record) {
            let Some(headings) = &headings else {
                let cells = record.iter().take(MOST_COLUMNS).map(|cell| {
                    let heading = String::from_utf8_lossy(cell).into_owned();
                    let number = matches!(column_of(&heading), Some(Column::Number { .. }));
                    (heading, number)
                });
                headings = Some(cells.collect());
                continue;
            };
            for (cell, (heading, number)) in record.iter().zip(headings) {
                if *number
                    && cell.iter().any(|b| matches!(b, b',' | b'.'))
                    && let Ok(text) = std::str::from_utf8(cell)
                {
                    evidence.hear(line, heading, number_in(text));
                }
            }
        }
    }
    evidence.settle(file, start.delimiter)
}
