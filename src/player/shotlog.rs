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

mod bounds;
mod reader;
mod reading;

use super::columns::Headings;
use super::dialect;
pub use super::dialect::{Decimal, Delimiter, Dialect};
use super::rows::{Rows, decimal_of};
use crate::diagnostic::{Note, Problems};
use reader::Reader;
use reading::{Reading, Stop};

/// Most columns that are read; no device logs a tenth as many.
pub(super) const MOST_COLUMNS: usize = 500;
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

/// Reads a shot log; its separator and its decimal sign are found from the file.
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
    let sign = *decimal.as_ref().unwrap_or(&Decimal::Point);
    let mut reader = Reader::new(file, start.delimiter, sign);
    reader.note_dialect(dialect);
    let mut reading = Reading::of(reader);
    match reading.rows(&mut Rows::of(bytes, &start), decimal.err()) {
        Ok(()) => reading.finish(bytes.is_empty()),
        Err(Stop) => Err(reading.problems()),
    }
}
