//! A tee shot as a player names it: `3-wood draw, aim 10yd left, peg right`.
//!
//! Parts are separated by commas: a club with its shape, an aim, a peg. Each may be left out; the
//! planner then takes the best for the parts that are given. A hole may stand in front:
//! `7: 5-iron`.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use super::parse::{Misread, Side, length_m};
use crate::diagnostic::printable;

/// Most characters of such a text.
const LONGEST: usize = 200;
/// Furthest that an aim is turned, degrees.
const MOST_DEG: f64 = 90.0;

/// A tee shot of the player's own.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnShotText {
    /// The text without the hole.
    pub text: String,
    /// The `ref` of the only hole that it is for.
    pub hole: Option<String>,
    /// Club and shape, as typed.
    pub club: Option<String>,
    /// Where to aim.
    pub aim: Option<AimText>,
    /// Where to peg it.
    pub peg: Option<PegText>,
}

/// An aim.
#[derive(Clone, Debug, PartialEq)]
pub enum AimText {
    /// So far from the plan's aim.
    OffPlan(Turn),
    /// So far from the middle of the hole.
    OffMiddle(Turn),
    /// At a position, longitude and latitude in degrees.
    Position([f64; 2]),
    /// At something on the hole, by its name, or so far beside it.
    Thing(String, Turn),
}

/// How far to one side; right is positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Turn {
    /// Degrees.
    Degrees(f64),
    /// Metres where the ball lands.
    Metres(f64),
}

/// A peg, from side to side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PegText {
    /// By a marker.
    By(Side),
    /// Midway.
    Middle,
    /// So far in from a marker, m.
    From(Side, f64),
}

/// Reads a tee shot.
///
/// # Errors
/// When a part is no club, aim or peg, or stands there twice.
pub fn read(text: &str) -> Result<OwnShotText, Misread> {
    if text.chars().count() > LONGEST {
        return Err(Misread {
            expected: format!("a shot in at most {LONGEST} characters"),
            found: format!("{} characters", text.chars().count()),
            remedy: "say club, aim and peg only".into(),
        });
    }
    let (hole, text) = match text.split_once(':') {
        Some((hole, rest)) => {
            let hole = hole.trim();
            let word = hole
                .get(..4)
                .filter(|word| word.eq_ignore_ascii_case("hole"));
            let hole = word.and_then(|word| strip_word(hole, word)).unwrap_or(hole);
            (Some(hole.to_owned()), rest.trim())
        }
        None => (None, text.trim()),
    };
    let mut shot = OwnShotText {
        text: text.to_owned(),
        hole,
        club: None,
        aim: None,
        peg: None,
    };
    for part in parts(text) {
        let lower = part.to_ascii_lowercase();
        if let Some(rest) = strip_word(&lower, "aim") {
            let typed = &part[part.len() - rest.len()..];
            once(&mut shot.aim, aim(rest, typed, &part)?, "aim", &part)?;
        } else if let Some(rest) = strip_word(&lower, "peg") {
            once(&mut shot.peg, peg(rest, &part)?, "peg", &part)?;
        } else if part.is_empty() {
            return Err(wrong("a club, an aim or a peg", ""));
        } else {
            shot.club = Some(match shot.club {
                // A shape may stand in a part of its own, in words.
                Some(_) if part.contains(|c: char| c.is_ascii_digit()) => {
                    return Err(wrong("\"aim\" or \"peg\" in front", &part));
                }
                Some(club) => format!("{club} {part}"),
                None => part,
            });
        }
    }
    Ok(shot)
}

/// The parts between commas; a comma between two numbers of a position separates nothing.
fn parts(text: &str) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    for part in text.split(',').map(str::trim) {
        match parts.last_mut() {
            Some(before)
                if part.parse::<f64>().is_ok()
                    && before.ends_with(|c: char| c.is_ascii_digit()) =>
            {
                before.push(' ');
                before.push_str(part);
            }
            _ => parts.push(part.to_owned()),
        }
    }
    parts
}

fn once<T>(place: &mut Option<T>, value: T, name: &str, part: &str) -> Result<(), Misread> {
    if place.is_some() {
        return Err(wrong(&format!("one {name}"), part));
    }
    *place = Some(value);
    Ok(())
}

fn wrong(expected: &str, found: &str) -> Misread {
    Misread {
        expected: expected.to_owned(),
        found: format!("\"{}\"", printable(found)),
        remedy:
            "write it like \"3-wood draw, aim 10yd left, peg right\"; aim also \"3deg right\", \
                 \"5yd right of middle\", \"at far bunker\" or \"at LONGITUDE LATITUDE\", peg also \
                 \"middle\" or \"2yd from left\""
                .into(),
    }
}

/// The rest of a text after this word, if it begins with it.
fn strip_word<'a>(text: &'a str, word: &str) -> Option<&'a str> {
    let rest = text.strip_prefix(word)?;
    let bare = rest.trim_start();
    (rest.is_empty() || bare.len() < rest.len()).then_some(bare)
}

/// `lower` is `typed` in lower case.
fn aim(lower: &str, typed: &str, part: &str) -> Result<AimText, Misread> {
    let middle = |words: &str| {
        let words = strip_word(words, "down").unwrap_or(words);
        matches!(
            strip_word(words, "the").unwrap_or(words),
            "middle" | "centre" | "center"
        )
    };
    if middle(lower) {
        return Ok(AimText::OffMiddle(Turn::Degrees(0.0)));
    }
    if let Some(rest) = strip_word(lower, "at") {
        let name = &typed[typed.len() - rest.len()..];
        let numbers: Vec<Option<f64>> = rest.split_whitespace().map(|n| n.parse().ok()).collect();
        return match numbers[..] {
            [] => Err(wrong("something to aim at", part)),
            [Some(lon), Some(lat)] => match [lon, lat] {
                [lon, lat] if lon.abs() <= 180.0 && lat.abs() <= 90.0 => {
                    Ok(AimText::Position([lon, lat]))
                }
                _ => Err(wrong("a longitude and a latitude in degrees", part)),
            },
            _ => Ok(AimText::Thing(name.to_owned(), Turn::Degrees(0.0))),
        };
    }
    let (turn, reference) = match lower.split_once(" of ") {
        Some((turn, of)) => (turn, Some(of.trim())),
        None => (lower, None),
    };
    let turn = turned(turn).ok_or_else(|| wrong("an aim", part))?;
    Ok(match reference {
        None | Some("plan" | "the plan") => AimText::OffPlan(turn),
        Some(of) if middle(of) => AimText::OffMiddle(turn),
        Some("") => return Err(wrong("something that it is left or right of", part)),
        Some(of) => AimText::Thing(of.to_owned(), turn),
    })
}

/// `10yd left`, `3 deg right`.
fn turned(text: &str) -> Option<Turn> {
    let (amount, sign) = match (text.strip_suffix("left"), text.strip_suffix("right")) {
        (Some(amount), _) => (amount, -1.0),
        (_, Some(amount)) => (amount, 1.0),
        _ => return None,
    };
    let amount = amount.trim();
    let degrees = ["degrees", "deg", "°"]
        .iter()
        .find_map(|unit| amount.strip_suffix(unit));
    if let Some(number) = degrees {
        let number: f64 = number.trim().parse().ok()?;
        return (0.0..=MOST_DEG)
            .contains(&number)
            .then_some(Turn::Degrees(sign * number));
    }
    length_m(amount).ok().map(|m| Turn::Metres(sign * m))
}

fn peg(text: &str, part: &str) -> Result<PegText, Misread> {
    let side = |words: &str| {
        let words = words.trim();
        let words = words.strip_suffix("marker").map_or(words, str::trim);
        match strip_word(words, "the").unwrap_or(words) {
            "left" => Some(Side::Left),
            "right" => Some(Side::Right),
            _ => None,
        }
    };
    let by = ["by", "at", "on"]
        .iter()
        .find_map(|word| strip_word(text, word));
    let by = by.unwrap_or(text);
    if let Some(side) = side(by) {
        return Ok(PegText::By(side));
    }
    let plain = strip_word(text, "in").unwrap_or(text);
    if matches!(
        strip_word(plain, "the").unwrap_or(plain),
        "middle" | "midway" | "centre" | "center"
    ) {
        return Ok(PegText::Middle);
    }
    text.split_once(" from ")
        .and_then(|(length, from)| Some(PegText::From(side(from)?, length_m(length.trim()).ok()?)))
        .ok_or_else(|| wrong("a peg", part))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn every_part_is_read() {
        let shot = read("hole 7: 3-Wood draw, aim 10yd left, peg right").unwrap();
        assert_eq!(shot.hole.as_deref(), Some("7"));
        assert_eq!(shot.club.as_deref(), Some("3-Wood draw"));
        assert_eq!(shot.aim, Some(AimText::OffPlan(Turn::Metres(-9.144))));
        assert_eq!(shot.peg, Some(PegText::By(Side::Right)));
        assert_eq!(shot.text, "3-Wood draw, aim 10yd left, peg right");
    }

    #[test]
    fn aims() {
        let aim = |text: &str| read(text).unwrap().aim.unwrap();
        assert_eq!(aim("aim 3deg right"), AimText::OffPlan(Turn::Degrees(3.0)));
        assert_eq!(
            aim("aim 3° left of the plan"),
            AimText::OffPlan(Turn::Degrees(-3.0))
        );
        assert_eq!(
            aim("aim 5m right of middle"),
            AimText::OffMiddle(Turn::Metres(5.0))
        );
        assert_eq!(
            aim("Aim down the middle"),
            AimText::OffMiddle(Turn::Degrees(0.0))
        );
        assert_eq!(
            aim("aim at Lone Oak"),
            AimText::Thing("Lone Oak".into(), Turn::Degrees(0.0))
        );
        assert_eq!(
            aim("aim 10 yards left of the far bunker"),
            AimText::Thing("the far bunker".into(), Turn::Metres(-9.144))
        );
        assert_eq!(aim("aim at -1.5 52.25"), AimText::Position([-1.5, 52.25]));
        assert_eq!(
            aim("driver, aim at -1.5, 52.25"),
            AimText::Position([-1.5, 52.25])
        );
    }

    #[test]
    fn pegs() {
        let peg = |text: &str| read(text).unwrap().peg.unwrap();
        assert_eq!(peg("peg by the left marker"), PegText::By(Side::Left));
        assert_eq!(peg("peg middle"), PegText::Middle);
        assert_eq!(peg("peg in the middle"), PegText::Middle);
        assert_eq!(
            peg("peg 2m from the right marker"),
            PegText::From(Side::Right, 2.0)
        );
    }

    #[test]
    fn what_is_no_shot_is_refused() {
        for text in [
            "",
            "driver, ",
            "driver, 5 left",
            "aim left",
            "aim 10 left",
            "aim 100deg left",
            "aim at",
            "aim at 200 10",
            "aim 5yd left of ",
            "peg 2 from left",
            "peg here",
            "driver, aim middle, aim middle",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
        assert!(read(&"x".repeat(201)).is_err());
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_panic(text in "\\PC*") {
            let _ = read(&text);
        }

        #[test]
        fn near_misses_do_not_panic(text in "(hole)? ?[0-9]?:? ?(aim|peg|AİM|driver)? ?(at|by|left|10yd|-1.5, 52|°| of | from |the|middle|right)*") {
            let _ = read(&text);
        }
    }
}
