//! A Handicap Index as golfers write it.

use std::str::FromStr;

use bendline::diagnostic::{Note, Place};

/// A Handicap Index; a plus handicap, better than scratch, is below 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Handicap {
    index: f64,
    plus: bool,
}

impl Handicap {
    /// The index: -2 for a handicap of +2.
    pub fn index(self) -> f64 {
        self.index
    }

    /// A note where it was written with a plus.
    pub fn note(self) -> Option<Note> {
        self.plus.then(|| Note {
            file: "command line".into(),
            place: Place::Argument(format!("--handicap +{}", -self.index)),
            text: format!(
                "a plus handicap is better than scratch: read as {}",
                self.index
            ),
            topic: None,
        })
    }
}

impl FromStr for Handicap {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let text = text.trim();
        let plus = text.starts_with('+');
        match text.parse::<f64>() {
            Ok(number) => {
                // A handicap of +0 is scratch.
                let index = if plus { 0.0 - number } else { number };
                (-5.0..=54.0).contains(&index).then_some(Self {
                    index,
                    plus: plus && number > 0.0,
                })
            }
            Err(_) => None,
        }
        .ok_or_else(|| {
            "expected a Handicap Index from +5 (better than scratch; -5 says the same) to 54; \
             write it like 12, 3.4 or +2"
                .to_owned()
        })
    }
}
