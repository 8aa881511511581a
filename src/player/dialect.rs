//! How a shot log is written: what separates its cells, and which sign is the decimal sign.
//!
//! What the caller does not say is told from the file, and told to the user in a note where it is
//! not comma and point. What can be read two ways is asked for, never guessed:
//!
//! - The separator is the one of comma, semicolon and tab under which the heading line has most
//!   headings that are known. A first line `sep=;`, as spreadsheets write it, decides.
//! - A number with a comma that cannot part thousands (`230,5`, `0,125`) makes the comma the
//!   decimal sign; one with such a point, or with a point after a comma, the point. Both in one log
//!   are a problem. `2,650` alone is 2650 in a log separated by commas, since there it had to be
//!   quoted; in any other it might be either, and is asked for.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use serde::{Deserialize, Serialize};

use super::columns::{Column, column_of, meant};
use crate::diagnostic::{Place, Problem};

/// What separates the cells of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Delimiter {
    /// `,`
    Comma,
    /// `;`
    Semicolon,
    /// A tab.
    Tab,
}

impl Delimiter {
    const ALL: [Self; 3] = [Self::Comma, Self::Semicolon, Self::Tab];

    pub(crate) fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
        }
    }

    pub(crate) fn plural(self) -> &'static str {
        match self {
            Self::Comma => "commas",
            Self::Semicolon => "semicolons",
            Self::Tab => "tabs",
        }
    }
}

/// What stands between whole and part of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Decimal {
    /// `230.5`
    Point,
    /// `230,5`
    Comma,
}

/// How a log is written, as far as the user says so; the rest is told from the file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Dialect {
    /// What separates the cells.
    pub delimiter: Option<Delimiter>,
    /// The decimal sign.
    pub decimal: Option<Decimal>,
}

/// The start of a log: where its heading line is, and how it is separated.
pub(crate) struct Start {
    pub delimiter: Delimiter,
    /// Bytes before the log proper: a byte-order mark, a `sep=` line.
    pub skip: usize,
    /// Lines in them.
    pub lines: usize,
    /// Whether lines that begin with `#` are remarks.
    pub remarks: bool,
}

/// Looks at the first line that is neither blank nor a remark.
pub(crate) fn start(bytes: &[u8], said: Option<Delimiter>) -> Start {
    let mark = if bytes.starts_with(b"\xef\xbb\xbf") {
        3
    } else {
        0
    };
    let mut skip = mark;
    let mut lines = 0;
    let mut delimiter = said;
    let rest = &bytes[mark..];
    let first_end = rest.iter().position(|&b| b == b'\n');
    let first = rest[..first_end.unwrap_or(rest.len())].trim_ascii();
    if let (5, true, Some(end)) = (
        first.len(),
        first.to_ascii_lowercase().starts_with(b"sep="),
        first_end,
    ) {
        let named = Delimiter::ALL.into_iter().find(|d| d.byte() == first[4]);
        if named.is_some() {
            delimiter = delimiter.or(named);
            skip += end + 1;
            lines = 1;
        }
    }
    let is_heading_with_hash = |line: &[u8]| {
        Delimiter::ALL
            .into_iter()
            .any(|d| cells(line, d).any(|cell| matches!(column_of(&cell), Some(Column::Club))))
    };
    let mut remarks = true;
    let mut heading: &[u8] = b"";
    for line in bytes[skip..].split(|&b| b == b'\n') {
        let line = line.trim_ascii();
        if line.is_empty() {
            continue;
        }
        if line.starts_with(b"#") {
            // A column may be headed "#": the number of the shot.
            if is_heading_with_hash(line) {
                remarks = false;
            } else {
                continue;
            }
        }
        heading = line;
        break;
    }
    let delimiter = delimiter.unwrap_or_else(|| {
        let known = |d: Delimiter| {
            let known = cells(heading, d)
                .take(super::shotlog::MOST_COLUMNS)
                .filter(|cell| column_of(cell).is_some() || meant(cell).is_some());
            known.count()
        };
        let signs = |d: Delimiter| heading.iter().filter(|&&b| b == d.byte()).count();
        let mut best = Delimiter::Comma;
        for other in [Delimiter::Semicolon, Delimiter::Tab] {
            if (known(other), signs(other)) > (known(best), signs(best)) {
                best = other;
            }
        }
        best
    });
    Start {
        delimiter,
        skip,
        lines,
        remarks,
    }
}

/// The cells of a heading line; headings hold no separators.
fn cells(line: &[u8], delimiter: Delimiter) -> impl Iterator<Item = String> {
    line.split(move |&b| b == delimiter.byte()).map(|cell| {
        let text = String::from_utf8_lossy(cell);
        text.trim().trim_matches('"').to_owned()
    })
}

/// What one number says of the decimal sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Says {
    /// Nothing: digits only, or a point that may be either.
    Nothing,
    Point,
    Comma,
    /// A comma that may part thousands as well.
    Either,
}

fn says(text: &str) -> Says {
    let text = text.trim_start_matches(['-', '+', '\u{2212}']);
    let commas = text.matches(',').count();
    let points = text.matches('.').count();
    let parts_thousands = |sign: char| {
        let (before, after) = text.split_once(sign).unwrap_or((text, ""));
        (1..=3).contains(&before.len()) && before != "0" && after.len() == 3
    };
    // Several of one sign part thousands, or it is no number.
    let parts_all = |sign: char| {
        let mut groups = text.split(sign);
        let first = groups.next().unwrap_or_default().len();
        (1..=3).contains(&first) && groups.all(|group| group.len() == 3)
    };
    match (commas, points) {
        (0, 0) => Says::Nothing,
        (0, 1) if parts_thousands('.') => Says::Nothing,
        (0, 1) => Says::Point,
        (0, _) if parts_all('.') => Says::Comma,
        (0, _) => Says::Nothing,
        (1, 0) if parts_thousands(',') => Says::Either,
        (1, 0) => Says::Comma,
        (_, 0) if parts_all(',') => Says::Point,
        (_, 0) => Says::Nothing,
        _ if text.rfind('.') > text.rfind(',') => Says::Point,
        _ => Says::Comma,
    }
}

/// Gathers what the numbers of a log say of its decimal sign.
#[derive(Default)]
pub(crate) struct Evidence {
    point: Option<(usize, String)>,
    comma: Option<(Place, usize, String)>,
    either: Option<(Place, String)>,
}

impl Evidence {
    /// One number of the log.
    pub fn hear(&mut self, line: usize, column: &str, text: &str) {
        let place = || Place::Cell {
            line,
            column: column.to_owned(),
        };
        match says(text) {
            Says::Point if self.point.is_none() => self.point = Some((line, text.to_owned())),
            Says::Comma if self.comma.is_none() => {
                self.comma = Some((place(), line, text.to_owned()));
            }
            Says::Either if self.either.is_none() => {
                self.either = Some((place(), text.to_owned()));
            }
            _ => {}
        }
    }

    /// The decimal sign; a problem where the log says both, or cannot be understood.
    pub fn settle(self, file: &str, delimiter: Delimiter) -> Result<Decimal, Box<Problem>> {
        let problem = |place: Place, expected: &str, found: String, remedy: &str| {
            Box::new(Problem {
                file: file.to_owned(),
                place,
                expected: expected.to_owned(),
                found,
                remedy: remedy.to_owned(),
            })
        };
        match (self.point, self.comma, self.either) {
            (Some((line, point)), Some((place, _, comma)), _) => Err(problem(
                place,
                "one decimal sign in the whole log",
                format!("\"{comma}\" here and \"{point}\" in line {line}"),
                "write all numbers alike, or say with --decimal which sign it is",
            )),
            (None, Some(_), _) => Ok(Decimal::Comma),
            (None, None, Some((place, text))) if delimiter != Delimiter::Comma => Err(problem(
                place,
                "a number that can be read one way only",
                format!("\"{text}\": a decimal comma, or a comma between thousands"),
                "say --decimal comma or --decimal point",
            )),
            _ => Ok(Decimal::Point),
        }
    }
}

/// Reads a number; thousands may be parted by the sign that is not the decimal one, by an
/// apostrophe or by a space, all alike and three digits each. Also says whether they were.
pub(crate) fn number(text: &str, decimal: Decimal) -> Option<(f64, bool)> {
    let plain = |b: &u8| b.is_ascii_digit() || matches!(b, b'+' | b'-' | b'e' | b'E' | b'.');
    if text.bytes().all(|b| plain(&b)) && (decimal == Decimal::Point || !text.contains('.')) {
        return text.parse().ok().map(|value| (value, false));
    }
    let (negative, digits) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let (sign, other) = match decimal {
        Decimal::Point => ('.', ','),
        Decimal::Comma => (',', '.'),
    };
    let (whole, part) = match digits.split_once(sign) {
        Some((whole, part)) => (whole, Some(part)),
        None => (digits, None),
    };
    let is_digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    if part.is_some_and(|part| part.is_empty() || !is_digits(part)) {
        return None;
    }
    let between = whole.chars().find(|c| !c.is_ascii_digit());
    let mut joined = String::with_capacity(text.len());
    if negative {
        joined.push('-');
    }
    match between {
        None => joined.push_str(whole),
        Some(c) if c == other || "' \u{2019}\u{a0}\u{202f}".contains(c) => {
            for (index, group) in whole.split(c).enumerate() {
                let fits = match index {
                    0 => (1..=3).contains(&group.len()),
                    _ => group.len() == 3,
                };
                if !fits || !is_digits(group) {
                    return None;
                }
                joined.push_str(group);
            }
        }
        Some(_) => return None,
    }
    if let Some(part) = part {
        joined.push('.');
        joined.push_str(part);
    }
    joined.parse().ok().map(|value| (value, between.is_some()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_both_manners() {
        let read = |text: &str, decimal| number(text, decimal).map(|read| read.0);
        for (text, point, comma) in [
            ("230", Some(230.0), Some(230.0)),
            ("230.5", Some(230.5), None),
            ("230,5", None, Some(230.5)),
            ("-4.25", Some(-4.25), None),
            ("\u{2212}4,25", None, Some(-4.25)),
            ("2,650", Some(2650.0), Some(2.65)),
            ("2.650", Some(2.65), Some(2650.0)),
            ("2'650", Some(2650.0), Some(2650.0)),
            ("12 650", Some(12650.0), Some(12650.0)),
            ("1\u{a0}234,5", None, Some(1234.5)),
            ("1,234,567.5", Some(1_234_567.5), None),
            ("1,23,456", None, None),
            ("1,2345", None, Some(1.2345)),
            ("1,234'567", None, None),
            (",5", None, Some(0.5)),
            ("1e3", Some(1000.0), Some(1000.0)),
            ("", None, None),
            ("-", None, None),
            ("12L", None, None),
            ("NaN", None, None),
            ("inf", None, None),
            ("1,", None, None),
            ("1..5", None, None),
        ] {
            assert_eq!(read(text, Decimal::Point), point, "{text} with a point");
            assert_eq!(read(text, Decimal::Comma), comma, "{text} with a comma");
        }
    }

    #[test]
    fn what_a_number_says_of_its_sign() {
        for (text, expected) in [
            ("230", Says::Nothing),
            ("1.234", Says::Nothing),
            ("0.234", Says::Point),
            ("230.5", Says::Point),
            ("230,5", Says::Comma),
            ("-0,125", Says::Comma),
            ("2,650", Says::Either),
            ("1.234,5", Says::Comma),
            ("1,234.5", Says::Point),
            ("1,234,567", Says::Point),
            ("1.234.567", Says::Comma),
            ("1,2,3", Says::Nothing),
            ("1.2.3", Says::Nothing),
        ] {
            assert_eq!(says(text), expected, "{text}");
        }
    }
}
