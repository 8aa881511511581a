//! What a JSON reader does not say, or not in plain words: keys that stand twice in one object (a
//! reader that keeps the last of them would silently drop the first), and why text is no JSON.

use std::collections::BTreeSet;
use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};

use crate::diagnostic::printable;

/// At most so many are told.
const MOST_LISTED: usize = 20;

/// The paths of the keys that stand twice, in the order of the file, the first [`MOST_LISTED`] of
/// them; nothing of text that is not JSON.
#[must_use]
pub(crate) fn keys_twice(bytes: &[u8]) -> Vec<String> {
    let mut twice = Vec::new();
    let walk = Walk {
        above: None,
        step: Step::Root,
        twice: &mut twice,
    };
    let mut reader = serde_json::Deserializer::from_slice(bytes);
    // What is not JSON is another's to tell.
    let _ = walk.deserialize(&mut reader);
    twice
}

/// Why text is no JSON, without the place, which is told apart from it.
#[must_use]
pub(crate) fn no_json(error: &serde_json::Error) -> String {
    let text = error.to_string();
    let words = text.split(" at line ").next().unwrap_or(&text);
    match words.strip_prefix("EOF while parsing ") {
        Some("a value") => "the end of the file in place of a value".to_owned(),
        Some(what) => format!("the end of the file inside {what}"),
        // serde_json's limit.
        None if words == "recursion limit exceeded" => "brackets nested more than 127 deep".into(),
        None => words.to_owned(),
    }
}

/// The way from the root to a value: written out only where it is told.
struct Path<'p> {
    above: Option<&'p Path<'p>>,
    step: Step<'p>,
}

#[derive(Clone, Copy)]
enum Step<'p> {
    Root,
    Key(&'p str),
    Index(usize),
}

impl Path<'_> {
    fn text(&self) -> String {
        let before = self.above.map_or(String::new(), Path::text);
        match self.step {
            Step::Root => before,
            Step::Key(key) if before.is_empty() => printable(key),
            Step::Key(key) => format!("{before}.{}", printable(key)),
            Step::Index(index) => format!("{before}[{index}]"),
        }
    }
}

struct Walk<'a, 'p> {
    above: Option<&'p Path<'p>>,
    step: Step<'p>,
    twice: &'a mut Vec<String>,
}

impl<'de> DeserializeSeed<'de> for Walk<'_, '_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<(), D::Error> {
        reader.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Walk<'_, '_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("JSON")
    }

    fn visit_bool<E: Error>(self, _: bool) -> Result<(), E> {
        Ok(())
    }

    fn visit_i64<E: Error>(self, _: i64) -> Result<(), E> {
        Ok(())
    }

    fn visit_u64<E: Error>(self, _: u64) -> Result<(), E> {
        Ok(())
    }

    fn visit_f64<E: Error>(self, _: f64) -> Result<(), E> {
        Ok(())
    }

    fn visit_str<E: Error>(self, _: &str) -> Result<(), E> {
        Ok(())
    }

    fn visit_unit<E: Error>(self) -> Result<(), E> {
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<(), A::Error> {
        let here = Path {
            above: self.above,
            step: self.step,
        };
        let mut index = 0;
        loop {
            let walk = Walk {
                above: Some(&here),
                step: Step::Index(index),
                twice: self.twice,
            };
            if items.next_element_seed(walk)?.is_none() {
                return Ok(());
            }
            index += 1;
        }
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<(), A::Error> {
        let here = Path {
            above: self.above,
            step: self.step,
        };
        let mut seen = BTreeSet::new();
        while let Some(key) = entries.next_key::<String>()? {
            if seen.contains(&key) {
                if self.twice.len() < MOST_LISTED {
                    let path = Path {
                        above: Some(&here),
                        step: Step::Key(&key),
                    };
                    self.twice.push(path.text());
                }
            } else {
                seen.insert(key.clone());
            }
            entries.next_value_seed(Walk {
                above: Some(&here),
                step: Step::Key(&key),
                twice: self.twice,
            })?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_that_stands_twice_is_named_with_its_path() {
        let json =
            br#"{"a": 1, "b": [{"c": null, "c": true}, {"c": "x"}], "a": {"a": 1.5}, "a": -2}"#;
        assert_eq!(keys_twice(json), ["b[0].c", "a", "a"]);
        assert!(keys_twice(b"{\"a\": 1, \"b\": {\"a\": 2}}").is_empty());
        assert!(keys_twice(b"nonsense").is_empty());
    }

    #[test]
    fn a_player_with_a_key_twice_is_refused() {
        let json = br#"{"handedness": "right", "handicap": 5, "clubs": [{"club": "driver",
            "shape": "draw", "carry_m": 210, "dof": 7, "mishit_share": 0.01,
            "centre": [66, 12, 2, 2600, -5], "spread": [1, 1, 2, 200, 4], "dof": 9}], "handicap": 20}"#;
        let problems = crate::player::file::from_json("me.json", json).unwrap_err();
        let places: Vec<String> = problems.0.iter().map(|p| p.place.to_string()).collect();
        assert_eq!(places, ["key clubs[0].dof", "key handicap"]);
    }
}
