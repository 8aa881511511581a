//! Text from files, made safe to show: on a terminal, in Markdown, SVG, HTML, PDF and JSON.

use std::fmt::Write;

/// Longest name that is shown, characters.
const NAME: usize = 400;
/// No sentence of ours has so many characters: one that has holds a file's own text.
const SENTENCE: usize = 4000;

/// A character as it is shown: a space for what shows nothing and may deceive. That is what commands
/// a terminal, ends a line, turns the direction of reading or cannot be seen: the general categories
/// Cc, Zl and Zp, and of the Unicode Character Database's `Default_Ignorable_Code_Point` and Cf all
/// but those that choose between forms of a letter or are seen.
#[must_use]
pub fn harmless(c: char) -> char {
    match c {
        '\u{ad}'
        | '\u{34f}'
        | '\u{61c}'
        | '\u{115f}'..='\u{1160}'
        | '\u{17b4}'..='\u{17b5}'
        | '\u{180e}'
        | '\u{200b}'..='\u{200f}'
        | '\u{2028}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}'
        | '\u{3164}'
        | '\u{feff}'
        | '\u{ffa0}'
        | '\u{fff0}'..='\u{fffb}'
        | '\u{1bca0}'..='\u{1bca3}'
        | '\u{1d173}'..='\u{1d17a}'
        | '\u{e0000}'..='\u{e00ff}'
        | '\u{e01f0}'..='\u{e0fff}' => ' ',
        c if c.is_control() => ' ',
        c => c,
    }
}

/// A name from a file, to be put into a sentence: every character [`harmless`], and cut where it is
/// longer than 400 characters.
#[must_use]
pub fn printable(name: &str) -> String {
    let mut out: String = name.chars().take(NAME).map(harmless).collect();
    if name.chars().nth(NAME).is_some() {
        out.push('…');
    }
    out
}

/// The same of what was found in a file: of characters that show nothing their number is told.
#[must_use]
pub fn found(text: &str) -> String {
    let shown = printable(text);
    if shown.trim().is_empty() {
        format!("{} characters that show nothing", text.chars().count())
    } else {
        shown
    }
}

/// A whole sentence: every character [`harmless`], and never cut at its end, where it may say what
/// the user must read. A name too long that has found its way into it loses its middle.
#[must_use]
pub fn sentence(text: &str) -> String {
    let letters = text.chars().count();
    if letters <= SENTENCE {
        return text.chars().map(harmless).collect();
    }
    let half = SENTENCE / 2;
    let front = text.chars().take(half);
    let back = text.chars().skip(letters - half);
    let whole = front.chain(" … ".chars()).chain(back);
    whole.map(harmless).collect()
}

/// JSON with the same values that shows nothing but [`harmless`] characters: the others, which stand
/// in its strings alone, are written as escapes.
#[must_use]
pub fn json(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if c.is_ascii() && c != '\u{7f}' || harmless(c) == c {
            out.push(c);
            continue;
        }
        for unit in c.encode_utf16(&mut [0; 2]) {
            // Writing to a String cannot fail.
            let _ = write!(out, "\\u{unit:04x}");
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_deceives_becomes_a_space() {
        for c in "\u{1b}\u{7f}\u{9b}\u{ad}\u{61c}\u{200b}\u{200e}\u{200f}\u{2028}\u{2029}\u{202a}\
                  \u{202e}\u{2066}\u{2069}\u{feff}\u{e0041}"
            .chars()
        {
            assert_eq!(printable(&format!("a{c}b")), "a b", "{:x}", u32::from(c));
            assert_eq!(sentence(&format!("a{c}b")), "a b", "{:x}", u32::from(c));
        }
        let kept = "Lodgepole é 鷹 ↗ ± 🏌\u{fe0f} مرمى";
        assert_eq!(printable(kept), kept);
    }

    #[test]
    fn of_what_shows_nothing_the_length_is_told() {
        assert_eq!(found("\u{8}\0 \0"), "4 characters that show nothing");
        assert_eq!(found("ncols"), "ncols");
    }

    #[test]
    fn names_are_cut_and_sentences_are_not() {
        let long = format!("{} and the end", "a".repeat(1000));
        assert_eq!(printable(&long), format!("{}…", "a".repeat(400)));
        assert_eq!(sentence(&long), long);
        let longer = format!("The club {} is odd: mend it", "a".repeat(9000));
        let said = sentence(&longer);
        assert!(said.starts_with("The club aaa"), "{said}");
        assert!(said.contains("aa … aa") && said.ends_with("aa is odd: mend it"));
        assert!(said.chars().count() < 4100);
    }

    #[test]
    fn json_keeps_its_values() {
        let names = ["a\u{202e}b", "\u{e0041}", "\u{85}\u{7f}", "é\n\t\"\\"];
        let text = serde_json::to_string_pretty(&names).expect("plain strings");
        let safe = json(&text);
        assert!(safe.contains("\"a\\u202eb\"") && safe.contains("\"\\udb40\\udc41\""));
        let back: Vec<String> = serde_json::from_str(&safe).expect("JSON");
        assert_eq!(back, names);
        assert!(safe.chars().all(|c| c == '\n' || harmless(c) == c));
    }
}
