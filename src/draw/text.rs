//! Text: cleaning, width, breaking into lines.
//!
//! The page is drawn by whatever sans-serif the reader's machine has, so
//! widths are the advance widths of DejaVu Sans 2.37, the widest of the
//! common ones (about a tenth wider than Helvetica's metrics), or where it is
//! wider, as for a few capitals, of Liberation Sans 2.1.5, which has
//! Helvetica's metrics: a box that holds both holds them all.

use crate::diagnostic::harmless;

/// Advance widths of the printable ASCII range, thousandths of the font size:
/// the `hmtx` tables of DejaVu Sans 2.37 and Liberation Sans 2.1.5, the wider.
const REGULAR: [u16; 95] = [
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 556, 1015, 684, 686, 722, 770, 667,
    611, 778, 752, 295, 500, 667, 557, 863, 748, 787, 667, 787, 722, 667, 611, 732, 684, 989, 685,
    667, 685, 390, 337, 390, 838, 556, 500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579,
    278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
];
/// The same of their bold faces.
const BOLD: [u16; 95] = [
    348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365, 696, 696, 696,
    696, 696, 696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 611, 1000, 774, 762, 734, 830, 683,
    683, 821, 837, 372, 556, 775, 637, 995, 837, 850, 733, 850, 770, 720, 682, 812, 774, 1103, 771,
    724, 725, 457, 365, 457, 838, 556, 500, 675, 716, 593, 716, 678, 435, 716, 712, 343, 343, 665,
    343, 1042, 712, 687, 716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712, 365, 712, 838,
];

/// Height of a line's box above the baseline, as a share of the font size:
/// DejaVu's ascenders (0.76), or its capitals with an accent (0.93).
#[must_use]
pub fn ascent(words: &str) -> f64 {
    let plain =
        |c: char| c.is_ascii() || matches!(c, '\u{a0}' | '·' | '–' | '°' | '±' | '’' | '…' | '≈');
    if words.chars().all(plain) { 0.77 } else { 0.94 }
}
/// Depth of a line's box below the baseline, as a share of the font size.
pub const DESCENT: f64 = 0.24;

fn advance(c: char, bold: bool) -> f64 {
    let code = c as u32;
    if (32..127).contains(&code) {
        let table = if bold { &BOLD } else { &REGULAR };
        return f64::from(table[(code - 32) as usize]) / 1000.0;
    }
    match c {
        '\u{a0}' | '·' | '’' | '‘' | 'ı' => 0.38,
        '–' | '°' => 0.56,
        '“' | '”' => 0.66,
        '±' | '≈' | '×' | '−' => 0.84,
        '—' | '…' | '→' => 1.0,
        // Latin with marks, Greek, Cyrillic: as wide as all but a few of
        // DejaVu Sans Bold's letters there.
        '\u{a1}'..='\u{24f}' => 0.85,
        '\u{370}'..='\u{52f}' => 1.0,
        // Everything else is taken to be as wide as a full-width character
        // with room to spare.
        _ => 1.2,
    }
}

/// Width of a line of text, in the unit of `size`.
#[must_use]
pub fn width(words: &str, size: f64, bold: bool) -> f64 {
    words.chars().map(|c| advance(c, bold)).sum::<f64>() * size
}

/// Text fit to stand on a page: every character [`harmless`], characters which
/// XML 1.0 does not allow become `\u{fffd}`, runs of spaces become one.
#[must_use]
pub fn clean(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for c in words.chars() {
        let c = match c {
            '\u{fffe}' | '\u{ffff}' => '\u{fffd}',
            c if c.is_whitespace() => ' ',
            c => harmless(c),
        };
        if c == ' ' && (out.is_empty() || out.ends_with(' ')) {
            continue;
        }
        out.push(c);
    }
    while out.ends_with(' ') {
        out.pop();
    }
    out
}

/// The text, cut with an ellipsis where it is wider than `room`.
#[must_use]
pub fn cut(words: &str, size: f64, bold: bool, room: f64) -> String {
    if width(words, size, bold) <= room {
        return words.to_owned();
    }
    let rest = room - width("…", size, bold);
    let mut used = 0.0;
    let mut out = String::new();
    for c in words.chars() {
        used += advance(c, bold) * size;
        if used > rest {
            break;
        }
        out.push(c);
    }
    let mut out = out.trim_end().to_owned();
    out.push('…');
    out
}

/// The text with each number held to the unit behind it, so that no line
/// breaks between "9" and "yd".
#[must_use]
pub fn hold_units(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for word in words.split(' ') {
        let unit = matches!(
            word.trim_end_matches([',', '.', ';', ':']),
            "yd" | "m" | "paces" | "pace" | "%"
        );
        if !out.is_empty() {
            let number = out.ends_with(|c: char| c.is_ascii_digit());
            out.push(if unit && number { '\u{a0}' } else { ' ' });
        }
        out.push_str(word);
    }
    out
}

/// Lines no wider than `room`, broken at spaces; at most `most` lines, the
/// last one cut where there is more. A word wider than the room is cut.
#[must_use]
pub fn wrap(words: &str, size: f64, bold: bool, room: f64, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut current = String::new();
    let mut pieces = words.split(' ').filter(|w| !w.is_empty());
    while let Some(word) = pieces.next() {
        let longer = if current.is_empty() {
            word.to_owned()
        } else {
            format!("{current} {word}")
        };
        if width(&longer, size, bold) <= room || current.is_empty() {
            current = longer;
            continue;
        }
        if lines.len() + 1 == most {
            // The last line takes all that is left, and is cut.
            current = longer;
            for word in pieces.by_ref() {
                current.push(' ');
                current.push_str(word);
            }
            break;
        }
        lines.push(std::mem::replace(&mut current, word.to_owned()));
    }
    if !current.is_empty() && lines.len() < most {
        lines.push(current);
    }
    lines
        .into_iter()
        .map(|line| cut(&line, size, bold, room))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hostile_text_is_cleaned() {
        assert_eq!(clean("a\u{0}b\nc\u{202e}d  e\u{ffff}"), "a b c d e\u{fffd}");
        assert_eq!(clean("\t \u{7}"), "");
    }

    #[test]
    fn lines_keep_within_their_room() {
        let text = "Set up at the right edge of the far bunker, 9 yd right of centre";
        for room in [40.0, 90.0, 200.0, 900.0] {
            for line in wrap(text, 10.0, true, room, 9) {
                assert!(width(&line, 10.0, true) <= room, "{line} in {room}");
            }
        }
        assert_eq!(wrap(text, 10.0, false, 90.0, 3).len(), 3);
        assert!(wrap(text, 10.0, false, 90.0, 3)[2].ends_with('…'));
        assert_eq!(hold_units("in 2.3 yd, 4 m"), "in 2.3\u{a0}yd, 4\u{a0}m");
        assert_eq!(wrap("", 10.0, false, 90.0, 3), Vec::<String>::new());
    }
}
