//! An ESRI ASCII grid's heights: a header of `key value` lines, then the rows from the north.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use std::iter::Peekable;

use super::positions::shown;
use super::raster::{Findings, Grid, MOST_CELLS, too_many};
use crate::diagnostic::{Place, found, printable};

/// How many unreadable cells are listed one by one.
const MOST_LISTED: usize = 12;

/// Whether a text starts with a line of the header: a key and a number.
pub(super) fn starts_header(text: &str) -> bool {
    let mut words = text.split_whitespace();
    let key = words.next().unwrap_or_default();
    Header::default().take(key, 1.0) && words.next().is_some_and(|v| v.parse::<f64>().is_ok())
}

/// The grid; none with problems where it cannot be read.
pub(super) fn read(out: &mut Findings<'_>, bytes: &[u8]) -> Option<Grid> {
    let text = text(out, bytes)?;
    let mut lines = text.lines().enumerate().peekable();
    let header = Header::read(out, &mut lines)?;
    let frame = header.frame(out)?;
    let heights_m = frame.heights_m(out, lines, header.nothing, bytes.len())?;
    Some(frame.grid(heights_m))
}

fn text<'a>(out: &mut Findings<'_>, bytes: &'a [u8]) -> Option<&'a str> {
    match std::str::from_utf8(bytes) {
        Ok(text) => Some(text.trim_start_matches('\u{feff}')),
        Err(error) => {
            out.add(
                Place::File,
                "an ESRI ASCII grid or a GeoTIFF",
                format!(
                    "bytes that are no text, from byte {}",
                    error.valid_up_to() + 1
                ),
                "export the heights in one of these formats",
            );
            None
        }
    }
}

/// The keys of an ESRI ASCII grid's header.
#[derive(Default)]
struct Header {
    columns: Option<f64>,
    rows: Option<f64>,
    /// West and south: the value, and whether it is the middle of a cell.
    west: Option<(f64, bool)>,
    south: Option<(f64, bool)>,
    size: [Option<f64>; 2],
    nothing: Option<f64>,
}

impl Header {
    /// Takes a line of the header; false where it is none.
    fn take(&mut self, key: &str, value: f64) -> bool {
        match key.to_ascii_lowercase().as_str() {
            "ncols" => self.columns = Some(value),
            "nrows" => self.rows = Some(value),
            "xllcorner" => self.west = Some((value, false)),
            "xllcenter" => self.west = Some((value, true)),
            "yllcorner" => self.south = Some((value, false)),
            "yllcenter" => self.south = Some((value, true)),
            "cellsize" => self.size = [Some(value); 2],
            "dx" => self.size[0] = Some(value),
            "dy" => self.size[1] = Some(value),
            "nodata_value" => self.nothing = Some(value),
            _ => return false,
        }
        true
    }
    /// Reads the lines up to the first height; none where one of them is no line of a header.
    fn read<'a>(
        out: &mut Findings<'_>,
        lines: &mut Peekable<impl Iterator<Item = (usize, &'a str)>>,
    ) -> Option<Self> {
        let mut header = Self::default();
        while let Some(&(index, row)) = lines.peek() {
            let mut parts = row.split_whitespace();
            let Some(key) = parts.next() else {
                lines.next();
                continue;
            };
            if key.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '.')) {
                break;
            }
            lines.next();
            let value = parts.next().unwrap_or("");
            let number = value.parse::<f64>().ok().filter(|v| v.is_finite());
            let known = match number {
                Some(number) => header.take(key, number),
                None => false,
            };
            if !known {
                out.add(
                    Place::Line(index + 1),
                    "a line of an ESRI ASCII grid's header, such as \"ncols 500\", or heights",
                    found(row),
                    "export the heights as an ESRI ASCII grid or a GeoTIFF",
                );
                // A file of another kind has no use for a thousand such lines.
                return None;
            }
        }
        Some(header)
    }

    /// Where the cells lie; none with problems where the header does not say.
    fn frame(&self, out: &mut Findings<'_>) -> Option<Frame> {
        let columns = count(out, self.columns, "ncols");
        let rows = count(out, self.rows, "nrows");
        if self.west.is_none() {
            missing(out, "xllcorner");
        }
        if self.south.is_none() {
            missing(out, "yllcorner");
        }
        self.check_size(out);
        if columns as u64 * rows as u64 > MOST_CELLS {
            too_many(out, columns as u64, rows as u64);
        }
        let (Some(west), Some(south), [Some(dx), Some(dy)], true) =
            (self.west, self.south, self.size, out.problems.is_empty())
        else {
            return None;
        };
        let middle =
            |(at, is_middle): (f64, bool), size: f64| if is_middle { at } else { at + size / 2.0 };
        Some(Frame {
            columns,
            rows,
            first: [middle(west, dx), middle(south, dy) + dy * (rows - 1) as f64],
            step: [dx, dy],
        })
    }

    /// Width and height of a cell are above zero; one problem where they are the same.
    fn check_size(&self, out: &mut Findings<'_>) {
        for size in self.size {
            match size {
                Some(size) if size > 0.0 => {}
                Some(size) => out.add(
                    Place::Key("cellsize".into()),
                    "a size above zero",
                    shown(size),
                    "correct the header",
                ),
                None => missing(out, "cellsize"),
            }
            if self.size[0] == self.size[1] {
                break;
            }
        }
    }
}

/// A number of cells; 0 with a problem where it is none.
fn count(out: &mut Findings<'_>, value: Option<f64>, key: &str) -> usize {
    match value {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // whole, within bounds
        Some(n) if n >= 1.0 && n.fract() == 0.0 && n <= MOST_CELLS as f64 => n as usize,
        Some(n) => {
            out.add(
                Place::Key(key.to_owned()),
                "a whole number of cells",
                shown(n),
                "correct the header",
            );
            0
        }
        None => {
            missing(out, key);
            0
        }
    }
}

fn missing(out: &mut Findings<'_>, key: &str) {
    out.add(
        Place::Key(key.to_owned()),
        "a header with ncols, nrows, xllcorner, yllcorner and cellsize",
        format!("no {key}"),
        "export the heights as an ESRI ASCII grid or a GeoTIFF",
    );
}

/// Where the cells of a grid lie, as in [`Grid`].
struct Frame {
    columns: usize,
    rows: usize,
    first: [f64; 2],
    step: [f64; 2],
}

impl Frame {
    /// The heights of all cells, NaN where the file has none or no number; none where there are
    /// more or fewer than the header says. `nothing` stands for a missing height.
    fn heights_m<'a>(
        &self,
        out: &mut Findings<'_>,
        lines: impl Iterator<Item = (usize, &'a str)>,
        nothing: Option<f64>,
        bytes: usize,
    ) -> Option<Vec<f64>> {
        let stated = self.columns * self.rows;
        // A height takes two bytes at least: a header that claims more than the file holds costs nothing.
        let mut heights_m = Vec::with_capacity(stated.min(bytes / 2 + 1));
        let mut unread = 0_usize;
        for (index, row) in lines {
            for cell in row.split_whitespace() {
                if heights_m.len() == stated {
                    let place = Place::Line(index + 1);
                    self.other_count(out, place, format!("more, from {}", printable(cell)));
                    return None;
                }
                match cell.parse::<f64>() {
                    Ok(value) if Some(value) == nothing || value.is_nan() => {
                        heights_m.push(f64::NAN);
                    }
                    Ok(value) if value.is_finite() => heights_m.push(value),
                    _ => {
                        unread += 1;
                        heights_m.push(f64::NAN);
                        if unread <= MOST_LISTED {
                            out.add(
                                Place::Line(index + 1),
                                "a height as a number, with a point for the decimals",
                                printable(cell),
                                "correct it, or write the NODATA_value",
                            );
                        }
                    }
                }
            }
        }
        if unread > MOST_LISTED {
            out.add(
                Place::File,
                "heights as numbers",
                format!("{} more that are none", unread - MOST_LISTED),
                "export the grid again",
            );
        }
        if heights_m.len() != stated {
            self.other_count(out, Place::File, format!("{}", heights_m.len()));
            return None;
        }
        Some(heights_m)
    }

    /// The problem of another number of heights than the header says.
    fn other_count(&self, out: &mut Findings<'_>, place: Place, found: String) {
        let Self { columns, rows, .. } = self;
        out.add(
            place,
            &format!("{columns} × {rows} = {} heights", columns * rows),
            found,
            "the file may be cut off, or ncols or nrows wrong: export it again",
        );
    }

    fn grid(self, heights_m: Vec<f64>) -> Grid {
        Grid {
            columns: self.columns,
            rows: self.rows,
            first: self.first,
            step: self.step,
            heights_m,
        }
    }
}
