//! The course for a phone: one HTML file that needs nothing from outside.
//!
//! # What the golfer does with it
//! The evening before they send the file to their phone. On the tee, in the
//! sun and with one thumb free, they look for the hole (a swipe) and see it
//! whole, on one screen with the club in the largest type, the line and the
//! wind. They feel the wind, and turn the dial to the case that was worked out
//! for it: club, line, flight and the hundred balls change with it, and nothing
//! else moves. The dial has the line of play up, as they stand. A tap on a
//! number says what it is; two taps show the landing, large, in the same place,
//! with carries and where half and nine in ten of the balls end. Nothing is
//! worked out on the phone: it shows what was decided before the round (Rules of
//! Golf 2023, Rule 4.3a), as the page of the book on a turning wind does.
//!
//! # What it is made of
//! [`map`] draws each hole twice, whole and its landing, with every case over it;
//! [`balls`] puts the hundred balls of every case on both, the small part that the
//! script moves; [`names`] has the words that a tap shows; [`pen`] writes a scene as
//! inline SVG. [`hole`] says the hole in words and numbers that a screen reader can
//! read: the card and the sentence are the plan's own ([`crate::plan::card`]).
//! `page.css` and `page.js` stand in the file as they are. Lengths are written in
//! yards and in metres, and one of them is hidden. The file asks for no network: a
//! Content Security Policy (W3C, CSP Level 3) forbids all but its own style and
//! script, by their SHA-256. Without a script it shows every hole in the day's wind
//! with both pictures, and so it is printed: a hole a sheet.
//!
//! # How the screen is divided
//! A phone that stands has title, map, and below it club and dial; the map takes what
//! the words leave. On a phone that lies the map is as high as the screen, the hole
//! still upwards, so that left and right stay those of the golfer and of the dial; the
//! bar stands at the side. Wider screens have all words beside the map. The numbers are
//! set so large that the smallest of these maps still shows them at 16 pixels.
//!
//! A green is shown at no more than 1:480 (Interpretation 4.3a/1 limits images
//! on a phone as on paper): a picture is at most 107.9 mm wide on the screen, in
//! CSS millimetres, and the landing is drawn no larger than that allows.

pub mod balls;
pub mod hole;
pub mod html;
pub mod map;
pub mod names;
pub mod pen;

use super::book::Book;
use super::text;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use html::{escape, short};
use sha2::{Digest, Sha256};

/// The style of the page.
pub const STYLE: &str = include_str!("page.css");
/// What the page does.
pub const SCRIPT: &str = include_str!("page.js");

/// A source of the Content Security Policy: this very text.
fn source(text: &str) -> String {
    format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text)))
}

/// The page as HTML text. The same book gives the same bytes.
///
/// Winds beside the day's own are those of the chapters' turns.
#[must_use]
pub fn write(book: &Book<'_>) -> String {
    let course = html::named(book.course, "The course");
    let unit =
        book.chapters
            .first()
            .map_or("yd", |chapter| match chapter.plan.words.unit.as_str() {
                "m" => "m",
                _ => "yd",
            });
    let mut out = String::with_capacity(1 << 18);
    out.push_str(&format!(
        "<!DOCTYPE html>\n<html lang=\"en\" data-unit=\"{unit}\">\n<head>\n\
         <meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; \
         style-src {}; script-src {}; img-src data:; base-uri 'none'; form-action 'none'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"referrer\" content=\"no-referrer\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n\
         <link rel=\"icon\" href=\"data:,\">\n\
         <title>{}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n",
        source(STYLE),
        source(SCRIPT),
        escape(&course),
    ));
    head(book, &course, &mut out);
    out.push_str(&map::shared());
    out.push_str("<main id=\"holes\">\n");
    for (index, chapter) in book.chapters.iter().enumerate() {
        hole::section(index, chapter, &mut out);
    }
    if book.chapters.is_empty() {
        out.push_str("<p>No hole was planned.</p>\n");
    }
    out.push_str("</main>\n");
    foot(book, unit, &mut out);
    turner(book, &mut out);
    out.push_str("<p id=\"told\" class=\"unseen\" aria-live=\"polite\"></p>\n");
    out.push_str(&format!("<script>{SCRIPT}</script>\n</body>\n</html>\n"));
    out
}

/// Which course and day.
fn head(book: &Book<'_>, course: &str, out: &mut String) {
    let date = book.date.map(|date| format!(" · {}", escape(&short(date))));
    out.push_str(&format!(
        "<header id=\"top\">\n<h1>{}<span class=\"day\">{}</span></h1>\n</header>\n",
        escape(course),
        date.unwrap_or_default()
    ));
}

/// The choices that hold for every hole.
fn choices(unit: &str, out: &mut String) {
    let pressed = |is: bool| if is { "true" } else { "false" };
    out.push_str(&format!(
        "<div class=\"choices\" hidden>\n\
         <div role=\"group\" aria-label=\"Lengths in\">\
         <button type=\"button\" data-unit-is=\"yd\" aria-pressed=\"{}\">yd</button>\
         <button type=\"button\" data-unit-is=\"m\" aria-pressed=\"{}\">m</button></div>\n\
         <button type=\"button\" id=\"dark\" aria-pressed=\"false\">Dark</button>\n\
         </div>\n",
        pressed(unit == "yd"),
        pressed(unit == "m"),
    ));
}

/// For whom and for which weather.
fn day(book: &Book<'_>) -> String {
    let Some(first) = book.chapters.first() else {
        return String::new();
    };
    let mut facts = Vec::new();
    let player = short(&first.plan.player.name);
    if !player.is_empty() {
        facts.push(format!("For {}", escape(&player)));
    }
    let day = &first.plan.conditions;
    let temperature = super::page::fixed(day.temperature_c, 0);
    facts.push(format!("{}\u{a0}°C", escape(&temperature)));
    format!("<p>{}</p>\n", facts.join(" · "))
}

/// The way from hole to hole.
fn turner(book: &Book<'_>, out: &mut String) {
    out.push_str(
        "<nav id=\"turner\" aria-label=\"Holes\" hidden>\n\
         <button type=\"button\" id=\"before\" aria-label=\"Hole before\">‹</button>\n\
         <select id=\"which\" aria-label=\"Hole\">",
    );
    for (index, chapter) in book.chapters.iter().enumerate() {
        let hole = &chapter.plan.hole;
        let mut words = html::named(&hole.reference, &(index + 1).to_string());
        if let Some(name) = &hole.name {
            words = format!("{words} {}", short(name));
        }
        out.push_str(&format!(
            "<option value=\"{index}\">{}</option>",
            escape(words.trim())
        ));
    }
    out.push_str(
        "</select>\n<button type=\"button\" id=\"after\" aria-label=\"Next hole\">›</button>\n\
         <button type=\"button\" id=\"near\" aria-pressed=\"false\">Landing</button>\n\
         </nav>\n",
    );
}

/// The choices, what to take care of, and what may be done with the page on the course.
fn foot(book: &Book<'_>, unit: &str, out: &mut String) {
    out.push_str("<footer>\n");
    choices(unit, out);
    out.push_str(&day(book));
    out.push_str("<h2>Take care</h2>\n<ul>\n");
    let mut cautions: Vec<String> = Vec::new();
    for caution in book.chapters.iter().flat_map(|c| &c.plan.cautions) {
        let caution = html::cut(&text::clean(caution), 300);
        if !caution.is_empty() && !cautions.contains(&caution) && cautions.len() < 8 {
            cautions.push(caution);
        }
    }
    for needed in [
        "Play only when nobody is within reach of any of these balls.",
        "Stop for lightning (Rules of Golf 5.7).",
        "Course marking and the Committee's Local Rules come before any map.",
    ] {
        if !cautions.iter().any(|caution| caution == needed) {
            cautions.push(needed.to_owned());
        }
    }
    cautions.push(
        "Rule 4.3a: all of this was worked out before the round, and the dial only turns to \
         another page of it. Feel the wind; do not measure it. Do not enlarge a green beyond the \
         size shown here (1:480 at most). Ask the Committee whether phones are allowed."
            .to_owned(),
    );
    if !book.missing.is_empty() {
        let names: Vec<String> = book.missing.iter().take(40).map(|m| short(m)).collect();
        cautions.insert(0, format!("Stopped before holes {}.", names.join(", ")));
    }
    for caution in cautions {
        out.push_str(&format!("<li>{}</li>\n", escape(&caution)));
    }
    out.push_str(
        "</ul>\n<p class=\"keys\">Tap a number on the map for what it is; tap twice for the landing, \
         and twice again for the whole hole. Swipe, or ← and →, for the next hole; Home and End for \
         the first and the last. In the dial the arrow keys turn the wind, on the map they go from \
         number to number.</p>\n</footer>\n",
    );
}
