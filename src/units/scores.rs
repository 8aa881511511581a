//! How often somebody takes how many strokes, as people write it.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use std::fmt;

use super::parse::Misread;

/// A score that has a name, or is a number of strokes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Score {
    Over(i8),
    Strokes(u8),
}

/// An opponent's scores, `birdie:10,par:50,bogey:40`: names or numbers of
/// strokes, each with its weight.
#[derive(Clone, Debug, PartialEq)]
pub struct ScoreList {
    scores: Vec<(Score, f64)>,
    text: String,
}

/// Most strokes that are read.
const MOST: u8 = 20;
/// Names and how far over par they are.
const NAMES: [(&str, i8); 7] = [
    ("albatross", -3),
    ("eagle", -2),
    ("birdie", -1),
    ("par", 0),
    ("bogey", 1),
    ("double", 2),
    ("triple", 3),
];

/// Reads a list of scores.
///
/// # Errors
/// When a part is no score with a weight, or all weights are 0.
pub fn read(text: &str) -> Result<ScoreList, Misread> {
    let wrong = |found: &str, remedy: &str| Misread {
        expected: "scores with weights, such as birdie:10,par:50,bogey:40".into(),
        found: format!("\"{}\"", crate::diagnostic::printable(found)),
        remedy: remedy.into(),
    };
    let mut scores = Vec::new();
    for part in text.split(',') {
        let part = part.trim();
        let Some((name, weight)) = part.split_once(':') else {
            return Err(wrong(part, "write the score, a colon, how often it comes"));
        };
        let name = name.trim().to_ascii_lowercase();
        let score = match NAMES.iter().find(|(known, _)| *known == name) {
            Some((_, over)) => Score::Over(*over),
            None => match name.parse::<u8>() {
                Ok(strokes) if (1..=MOST).contains(&strokes) => Score::Strokes(strokes),
                _ => {
                    return Err(wrong(
                        part,
                        "name it eagle, birdie, par, bogey, double, triple, or a number of \
                         strokes from 1 to 20",
                    ));
                }
            },
        };
        let weight = weight.trim().trim_end_matches('%').trim_end();
        match weight.parse::<f64>() {
            Ok(weight) if (0.0..=1.0e6).contains(&weight) => scores.push((score, weight)),
            _ => {
                return Err(wrong(
                    part,
                    "give how often it comes as a number, 0 or more",
                ));
            }
        }
    }
    if scores.iter().map(|s| s.1).sum::<f64>() <= 0.0 {
        return Err(wrong(text, "give one score at least a weight above 0"));
    }
    Ok(ScoreList {
        scores,
        text: text.trim().to_owned(),
    })
}

impl ScoreList {
    /// The share of every number of strokes from 0 on, on a hole of this par;
    /// they add to 1. A score below one stroke counts as one.
    #[must_use]
    pub fn by_strokes(&self, par: usize) -> Vec<f64> {
        let total: f64 = self.scores.iter().map(|s| s.1).sum();
        let mut shares = Vec::new();
        for &(score, weight) in &self.scores {
            let strokes = match score {
                Score::Over(over) => par.saturating_add_signed(isize::from(over)).max(1),
                Score::Strokes(strokes) => usize::from(strokes),
            };
            if shares.len() <= strokes {
                shares.resize(strokes + 1, 0.0);
            }
            shares[strokes] += weight / total;
        }
        shares
    }
}

impl fmt::Display for ScoreList {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&crate::diagnostic::printable(&self.text))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_are_read() {
        let list = read("birdie:10, par:50%, bogey: 40").expect("scores");
        assert_eq!(list.by_strokes(4), [0.0, 0.0, 0.0, 0.1, 0.5, 0.4]);
        assert_eq!(read("3:1,4:1").expect("scores").by_strokes(5)[3], 0.5);
        // An eagle on a par 3 is a hole in one; nothing is better.
        assert_eq!(
            read("albatross:1").expect("scores").by_strokes(3),
            [0.0, 1.0]
        );
        for bad in [
            "", "par", "par:x", "par:-1", "parr:1", "par:1,", "0:1", "21:1", "par:0",
        ] {
            assert!(read(bad).is_err(), "{bad}");
        }
    }
}
