//! A number as people write it in a cell: `29R`, `10 left`, `L10`, `238 yd`.

use super::columns::{Kind, Quantity, Rule, is_unit, unit_of};
use super::dialect::{Decimal, number};

/// The words for the two sides of a column, first the positive one, and how they are called.
struct Sides {
    positive: &'static [&'static str],
    negative: &'static [&'static str],
    called: [&'static str; 2],
}

const LINE: Sides = Sides {
    positive: &["r", "right"],
    negative: &["l", "left"],
    called: ["right", "left"],
};
const FACE: Sides = Sides {
    positive: &["t", "toe"],
    negative: &["h", "heel"],
    called: ["towards the toe", "towards the heel"],
};

fn sides(quantity: Quantity) -> Option<&'static Sides> {
    match quantity {
        Quantity::Side
        | Quantity::Start
        | Quantity::Curve
        | Quantity::Axis
        | Quantity::Path
        | Quantity::Face => Some(&LINE),
        Quantity::Strike => Some(&FACE),
        _ => None,
    }
}

/// The words of a cell and the number between or before them.
struct Apart<'a> {
    number: &'a str,
    words: Vec<String>,
}

/// Parts a cell into a number and at most two words, one of which may stand before it.
fn apart(text: &str) -> Option<Apart<'_>> {
    let is_number = |c: char| c.is_ascii_digit() || "+-\u{2212}.,".contains(c);
    let from = text.find(is_number)?;
    let last = text.rfind(|c: char| c.is_ascii_digit())?;
    let (before, rest) = text.split_at(from);
    let (number, after) = rest.split_at((last + 1).checked_sub(from)?);
    let after = after.replace('\u{b0}', " \u{b0} ");
    let word = |word: &str| word.trim_end_matches('.').to_lowercase();
    let words: Vec<String> = before
        .split_whitespace()
        .chain(after.split_whitespace())
        .map(word)
        .collect();
    let known = |word: &String| {
        is_unit(word)
            || [&LINE, &FACE]
                .iter()
                .any(|s| s.positive.contains(&word.as_str()) || s.negative.contains(&word.as_str()))
    };
    let fits = before.split_whitespace().count() <= 1 && words.len() <= 2;
    (fits && words.iter().all(known)).then_some(Apart { number, words })
}

/// The number of a cell without the words that go with it; the cell where it is no such.
pub(crate) fn number_in(text: &str) -> &str {
    apart(text).map_or(text, |apart| apart.number)
}

/// What a cell says.
pub(crate) struct Said {
    pub value: f64,
    /// Whether thousands were parted.
    pub parted: bool,
    /// Whether a word told the side.
    pub sided: bool,
}

/// Why a cell is not read.
pub(crate) struct Unread {
    pub expected: String,
    /// What is added to the cell in quotes.
    pub found: String,
    pub remedy: String,
}

/// Reads a cell of a column; `Ok(None)` where it is no number with such words at all.
pub(crate) fn read(
    text: &str,
    rule: &Rule,
    unit: &'static str,
    decimal: Decimal,
) -> Result<Option<Said>, Unread> {
    if let Some((value, parted)) = number(text, decimal) {
        return Ok(Some(Said {
            value,
            parted,
            sided: false,
        }));
    }
    let Some(Apart {
        number: digits,
        words,
    }) = apart(text)
    else {
        return Ok(None);
    };
    let Some((mut value, parted)) = number(digits, decimal) else {
        return Ok(None);
    };
    let (units, side_words): (Vec<&String>, Vec<&String>) =
        words.iter().partition(|word| is_unit(word));
    if units.len() > 1 || side_words.len() > 1 {
        return Ok(None);
    }
    if let Some(word) = units.first() {
        let same = unit_of(rule.kind, word).is_some_and(|(named, _)| named == unit);
        if !same {
            let other = unit_of(rule.kind, word).is_some();
            return Err(Unread {
                expected: format!("a number in {unit}, as the heading says"),
                found: String::new(),
                remedy: if other && !matches!(rule.kind, Kind::Fixed(_)) {
                    "keep one unit in a column: change the cell, or the heading".into()
                } else {
                    "correct the cell, or leave its unit out".into()
                },
            });
        }
    }
    let Some(word) = side_words.first() else {
        return Ok(Some(Said {
            value,
            parted,
            sided: false,
        }));
    };
    let Some(sides) = sides(rule.quantity) else {
        return Ok(None);
    };
    let positive = sides.positive.contains(&word.as_str());
    if !positive && !sides.negative.contains(&word.as_str()) {
        let strike = rule.quantity == Quantity::Strike;
        return Err(Unread {
            expected: if strike {
                "a number, towards the toe positive, or with toe or heel".into()
            } else {
                "a number, right positive, or with left or right".into()
            },
            found: if strike {
                ": towards the toe of one player, towards the heel of another".into()
            } else {
                ": right for one hand, left for the other".into()
            },
            remedy: if strike {
                "write toe or heel, as in 5 toe".into()
            } else {
                "write left or right, as in 5 right".into()
            },
        });
    }
    if digits.starts_with(['-', '+', '\u{2212}']) {
        let number = digits.trim_start_matches(['-', '+', '\u{2212}']);
        let [right, left] = sides.called;
        let (by_word, by_sign) = match (positive, digits.starts_with('+')) {
            (true, true) => (right, right),
            (true, false) => (right, left),
            (false, true) => (left, right),
            (false, false) => (left, right),
        };
        if by_word != by_sign {
            return Err(Unread {
                expected: "a sign or a word for the side, not both".into(),
                found: format!(": {number} {by_word}, or {number} {by_sign} by its sign too"),
                remedy: format!("write {number} {by_word}, or the number with its sign alone"),
            });
        }
    }
    value = if positive { value } else { 0.0 - value };
    Ok(Some(Said {
        value,
        parted,
        sided: true,
    }))
}
