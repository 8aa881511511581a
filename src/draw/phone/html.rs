//! Words to HTML text.

use crate::diagnostic::harmless;

use super::super::page::Lengths;
use super::super::text;

/// Letters of a name that are shown.
const NAME: usize = 60;

/// Text with everything escaped that HTML could take for markup, fit for
/// content and for quoted attributes (WHATWG HTML, 13.1.4).
#[must_use]
pub fn escape(words: &str) -> String {
    let mut out = String::with_capacity(words.len() + 8);
    for c in words.chars() {
        match harmless(c) {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// Cleaned text of at most so many letters, with an ellipsis where it was cut.
#[must_use]
pub fn cut(words: &str, most: usize) -> String {
    let words = text::clean(words);
    if words.chars().count() <= most {
        return words;
    }
    let mut out: String = words.chars().take(most.saturating_sub(1)).collect();
    out.truncate(out.trim_end().len());
    out.push('…');
    out
}

/// A name, cleaned and cut.
#[must_use]
pub fn short(name: &str) -> String {
    cut(name, NAME)
}

/// A name, or what to call the thing that has none.
#[must_use]
pub fn named(name: &str, without: &str) -> String {
    let name = short(name);
    if name.is_empty() {
        without.to_owned()
    } else {
        name
    }
}

/// Words in yards and in metres, of which the page shows one; both at once
/// where they are the same. What is made must not hold markup.
pub fn both(words: impl Fn(Lengths) -> String) -> String {
    both_html(|lengths| escape(&words(lengths)))
}

/// The same of HTML text.
pub fn both_html(html: impl Fn(Lengths) -> String) -> String {
    let [yd, m] = ["yd", "m"].map(|unit| html(Lengths::of_unit(unit)));
    if yd == m {
        return yd;
    }
    format!("<span class=\"yd\">{yd}</span><span class=\"m\">{m}</span>")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_is_text() {
        assert_eq!(
            escape("<b onclick='x'>\"&amp;\"</b>"),
            "&lt;b onclick=&#39;x&#39;&gt;&quot;&amp;amp;&quot;&lt;/b&gt;"
        );
        assert_eq!(short(&"Endless ".repeat(20)).chars().count(), 60);
        assert_eq!(short("a\u{202e}b\r\n"), "a b");
    }

    #[test]
    fn a_length_is_written_once_where_the_units_agree() {
        assert_eq!(both(|_| "calm".into()), "calm");
        assert_eq!(
            both(|lengths| lengths.whole(100.0)),
            "<span class=\"yd\">109</span><span class=\"m\">100</span>"
        );
    }
}
