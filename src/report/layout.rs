//! Tables, lists and lines folded to a width.

use comfy_table::{Cell, CellAlignment, ContentArrangement, Table, TableStyle, presets};

use crate::diagnostic::printable;

/// A title and a table; nothing for no rows. The first row is the heading.
pub(super) fn section(out: &mut String, title: &str, rows: &[Vec<String>], width: usize) {
    let Some((head, body)) = rows.split_first() else {
        return;
    };
    out.push('\n');
    out.push_str(title);
    out.push('\n');
    let mut table = Table::new();
    let plain: TableStyle = presets::NOTHING;
    table
        .load_style(plain)
        .force_no_tty()
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(width).unwrap_or(80))
        .set_header(cells(head));
    for row in body {
        table.add_row(cells(row));
    }
    for line in table.lines() {
        let line = line.trim_end();
        out.push_str(if line.is_empty() { "" } else { " " });
        out.push_str(line);
        out.push('\n');
    }
}

fn cells(row: &[String]) -> Vec<Cell> {
    row.iter()
        .enumerate()
        .map(|(i, text)| {
            let side = if i == 0 {
                CellAlignment::Left
            } else {
                CellAlignment::Right
            };
            Cell::new(printable(text)).set_alignment(side)
        })
        .collect()
}

pub(super) fn list(out: &mut String, title: &str, lines: &[String], width: usize) {
    if lines.is_empty() {
        return;
    }
    out.push('\n');
    out.push_str(title);
    out.push('\n');
    for line in lines {
        bullet(out, line, width);
    }
}

pub(super) fn bullet(out: &mut String, text: &str, width: usize) {
    fold(out, text, width, "  - ", "    ");
}

pub(super) fn wrap(out: &mut String, text: &str, width: usize, indent: &str) {
    fold(out, text, width, indent, indent);
}

/// A space that no line is broken at; shown as a plain one.
const GLUE: char = '\u{a0}';

/// Breaks text between words; a word wider than a line is cut.
fn fold(out: &mut String, text: &str, width: usize, first: &str, rest: &str) {
    let text = glued(text);
    let mut line = String::from(first);
    let mut length = first.chars().count();
    let mut empty = true;
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let mut letters: Vec<char> = word
            .chars()
            .map(|c| if c == GLUE { ' ' } else { c })
            .collect();
        loop {
            let gap = usize::from(!empty);
            if length + gap + letters.len() <= width {
                if gap == 1 {
                    line.push(' ');
                }
                line.extend(letters.iter());
                length += gap + letters.len();
                empty = false;
                break;
            }
            if empty {
                let room = width.saturating_sub(length).max(1).min(letters.len());
                line.extend(letters.drain(..room));
            }
            out.push_str(&line);
            out.push('\n');
            line = String::from(rest);
            length = rest.chars().count();
            empty = true;
            if letters.is_empty() {
                break;
            }
        }
    }
    if !empty {
        out.push_str(&line);
        out.push('\n');
    }
}

/// Text on one line with a number and its unit held together by [`GLUE`].
///
/// Like [`printable`] without the limit of length: our own sentences may be
/// long, and what they quote of a file has been cut already.
fn glued(text: &str) -> String {
    let mut out = String::new();
    for word in text.split_whitespace() {
        let word: String = word.chars().filter(|c| !c.is_control()).collect();
        let unit = matches!(
            word.trim_end_matches([',', '.', ';', ':', ')']),
            "%" | "yd" | "m" | "mph" | "m/s" | "°C" | "±"
        );
        let number = out.ends_with(|c: char| c.is_ascii_digit());
        if !out.is_empty() {
            out.push(if number && unit || out.ends_with('±') {
                GLUE
            } else {
                ' '
            });
        }
        out.push_str(&word);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folding() {
        let mut out = String::new();
        fold(&mut out, "one two three fourteen", 10, "- ", "  ");
        assert_eq!(out, "- one two\n  three\n  fourteen\n");
        let mut out = String::new();
        fold(&mut out, "abcdefghijkl m", 8, "  ", "  ");
        assert_eq!(out, "  abcdef\n  ghijkl\n  m\n");
        let mut out = String::new();
        fold(&mut out, "red\u{1b}[31m", 20, "", "");
        assert_eq!(out, "red[31m\n");
        let mut out = String::new();
        fold(
            &mut out,
            "it bends 14 yd back, 0.10 ± 0.02 more",
            12,
            "",
            "",
        );
        assert_eq!(out, "it bends\n14 yd back,\n0.10 ± 0.02\nmore\n");
        let mut out = String::new();
        fold(&mut out, "", 20, "- ", "");
        assert_eq!(out, "");
    }
}
