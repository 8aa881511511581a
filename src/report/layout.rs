//! Tables, lists and lines folded to a width.

use comfy_table::{
    Cell, CellAlignment, ColumnConstraint, ContentArrangement, Table, TableStyle, Width, presets,
};

use crate::diagnostic;

/// A title and a table; nothing for no rows. The first row is the heading.
///
/// Where the table is too wide, cells are broken between words, where that makes the
/// fewest lines; a figure stays with its ± and its unit. Where not even the words fit
/// beside each other, every row is told as a sentence.
pub(super) fn section(out: &mut String, title: &str, rows: &[Vec<String>], width: usize) {
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|row| row.iter().map(|cell| glued(cell)).collect())
        .collect();
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
        .set_content_arrangement(ContentArrangement::Disabled)
        .set_header(cells(head));
    for row in body {
        table.add_row(cells(row));
    }
    let widest = table.column_max_content_widths();
    let room = width.saturating_sub(PADDING * widest.len());
    if widest.iter().map(|w| usize::from(*w)).sum::<usize>() > room {
        let Some(widths) = narrowed(&rows, room) else {
            for row in body {
                bullet(out, &sentence(head, row), width);
            }
            return;
        };
        for (column, width) in table.column_iter_mut().zip(widths) {
            let all = u16::try_from(width + PADDING).unwrap_or(u16::MAX);
            column.set_constraint(ColumnConstraint::Absolute(Width::Fixed(all)));
        }
    }
    for line in table.lines() {
        let line = line.trim_end().replace(GLUE, " ");
        out.push_str(if line.is_empty() { "" } else { " " });
        out.push_str(&line);
        out.push('\n');
    }
}

/// Columns between a cell's text and the next cell's.
const PADDING: usize = 2;

/// Widths of columns, together at most `room`, whose cells are broken between words:
/// from the widest down, one column by one letter, there where it makes the fewest
/// lines. None where the words are too wide.
fn narrowed(rows: &[Vec<String>], room: usize) -> Option<Vec<usize>> {
    let columns = rows.first()?.len();
    let of = |at: usize, length: &dyn Fn(&str) -> usize| {
        let cells = rows.iter().filter_map(|row| row.get(at));
        cells.map(|cell| length(cell)).max().unwrap_or(0).max(1)
    };
    let longest = |cell: &str| cell.split(' ').map(letters).max().unwrap_or(0);
    let mut widths: Vec<usize> = (0..columns).map(|at| of(at, &letters)).collect();
    let least: Vec<usize> = (0..columns).map(|at| of(at, &longest)).collect();
    let all_lines = |widths: &[usize]| -> usize {
        let lines = |row: &Vec<String>| {
            let cells = row.iter().zip(widths);
            cells.map(|(cell, width)| lines(cell, *width)).max()
        };
        rows.iter().filter_map(lines).sum()
    };
    while widths.iter().sum::<usize>() > room {
        let (_, _, at) = (0..columns)
            .filter(|&at| widths[at] > least[at])
            .map(|at| {
                let mut tried = widths.clone();
                tried[at] -= 1;
                (all_lines(&tried), usize::MAX - widths[at], at)
            })
            .min()?;
        widths[at] -= 1;
    }
    Some(widths)
}

/// Lines that a cell takes in so many columns.
fn lines(cell: &str, width: usize) -> usize {
    let mut lines = 1;
    let mut length = 0;
    for word in cell.split(' ').map(letters) {
        if length > 0 && length + 1 + word > width {
            lines += 1;
            length = word;
        } else {
            length += usize::from(length > 0) + word;
        }
    }
    lines
}

fn letters(text: &str) -> usize {
    text.chars().count()
}

/// A row told as a sentence: what it is about, then every heading with its cell.
fn sentence(head: &[String], row: &[String]) -> String {
    let told: Vec<String> = head
        .iter()
        .zip(row)
        .skip(1)
        .filter(|(_, cell)| !cell.is_empty())
        .map(|(head, cell)| format!("{head} {cell}"))
        .collect();
    format!(
        "{}: {}",
        row.first().map_or("", |first| first),
        told.join("; ")
    )
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
            Cell::new(text).set_alignment(side)
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

fn fold(out: &mut String, text: &str, width: usize, first: &str, rest: &str) {
    for line in folded(text, width, first, rest) {
        out.push_str(&line);
        out.push('\n');
    }
}

/// Text broken between words, the first line after `first`, the others after `rest`; a
/// word wider than a line stays whole. No line of nothing but its lead.
pub(super) fn folded(text: &str, width: usize, first: &str, rest: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::from(first);
    let mut is_empty = true;
    for word in glued(text).split(' ').filter(|word| !word.is_empty()) {
        let word = word.replace(GLUE, " ");
        if !is_empty && letters(&line) + 1 + letters(&word) > width {
            lines.push(std::mem::replace(&mut line, rest.to_owned()));
            is_empty = true;
        }
        if !is_empty {
            line.push(' ');
        }
        line.push_str(&word);
        is_empty = false;
    }
    if !is_empty {
        lines.push(line);
    }
    lines
}

/// Text on one line with a number and its unit held together by [`GLUE`].
fn glued(text: &str) -> String {
    let mut out = String::new();
    for word in diagnostic::sentence(text).split_whitespace() {
        let unit = matches!(
            word.trim_end_matches([',', '.', ';', ':', ')']),
            "%" | "yd" | "m" | "mph" | "m/s" | "°C" | "±" | "L" | "R"
        );
        let number = out.ends_with(|c: char| c.is_ascii_digit() || c == '°');
        if !out.is_empty() {
            out.push(if number && unit || out.ends_with('±') {
                GLUE
            } else {
                ' '
            });
        }
        out.push_str(word);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// At every width a figure keeps its ± and its unit, no line is too wide, and nothing
    /// is lost.
    #[test]
    fn figures_are_not_parted() {
        let rows: Vec<Vec<String>> = [
            ["if", "to this shot", "peg, yd", "strokes", "plan kept"],
            ["10 mph N", "against, L", "7.4 L", "4.85", "+0.09 ± 0.01"],
            ["pin back", "", "–", "5.02", "tie"],
        ]
        .map(|row| row.map(String::from).into())
        .into();
        for width in 30..=100 {
            let mut out = String::new();
            section(&mut out, "What if", &rows, width);
            for whole in ["10 mph", "7.4 L", "+0.09 ± 0.01"] {
                assert!(out.contains(whole), "{width}: {out}");
            }
            assert!(out.lines().all(|l| letters(l) <= width), "{width}: {out}");
            let words = |text: &str| text.replace([';', ':'], "").split_whitespace().count();
            let all: usize = rows.iter().flatten().map(|cell| words(cell)).sum();
            assert!(words(&out) >= 2 + all - words(&rows[0].join(" ")), "{out}");
        }
        // All on one line each where there is room, and the heading alone broken where
        // that is enough.
        for (width, lines) in [(60, 6), (54, 7)] {
            let mut out = String::new();
            section(&mut out, "What if", &rows, width);
            assert_eq!(out.lines().count(), lines - 1, "{width}: {out}");
        }
    }

    #[test]
    fn folding() {
        let mut out = String::new();
        fold(&mut out, "one two three fourteen", 10, "- ", "  ");
        assert_eq!(out, "- one two\n  three\n  fourteen\n");
        let mut out = String::new();
        fold(&mut out, "abcdefghijkl m", 8, "  ", "  ");
        assert_eq!(out, "  abcdefghijkl\n  m\n");
        let mut out = String::new();
        fold(&mut out, "red\u{1b}[31m", 20, "", "");
        assert_eq!(out, "red [31m\n");
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
