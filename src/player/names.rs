//! The names in a log: clubs however they are spelt, and shapes, of which a club has a handful.

use super::shotlog::MOST_CLUBS;
use crate::diagnostic::printable;

/// Most spellings of one club that a note repeats.
const MOST_SPELLINGS: usize = 4;
/// Most shapes of one club: a player has two or three, and each gets a pattern of its own.
pub(super) const MOST_SHAPES: usize = 8;
/// Most names of shapes that are counted.
const MOST_COUNTED: usize = 200;
/// From so many names on, they are compared with the number of rows.
const SOME_NAMES: usize = 4;

/// The clubs of a log.
#[derive(Default)]
pub(super) struct Clubs {
    /// Key, and the spellings: the first one stands.
    clubs: Vec<(String, Vec<String>)>,
    carries: Vec<Vec<f32>>,
}

impl Clubs {
    /// The club of a key: its index, and the spelling of its first row. `None` with more clubs than
    /// anybody carries.
    pub fn spelling(&mut self, key: String, text: &str) -> Option<(usize, String)> {
        let lower = text.to_lowercase();
        if let Some(index) = self.clubs.iter().position(|(known, _)| *known == key) {
            let (_, spellings) = &mut self.clubs[index];
            if spellings.len() < MOST_SPELLINGS
                && spellings.iter().all(|known| known.to_lowercase() != lower)
            {
                spellings.push(text.to_owned());
            }
            return Some((index, spellings[0].clone()));
        }
        if self.clubs.len() == MOST_CLUBS {
            return None;
        }
        self.clubs.push((key, vec![text.to_owned()]));
        self.carries.push(Vec::new());
        Some((self.clubs.len() - 1, text.to_owned()))
    }

    /// Notes the carry of a row.
    pub fn carried(&mut self, club: usize, carry_m: f64) {
        if carry_m.is_finite() {
            // No log is truer than a tenth of a millimetre.
            #[allow(clippy::cast_possible_truncation)]
            self.carries[club].push(carry_m as f32);
        }
    }

    /// The carries of every club.
    pub fn carries(&self) -> &[Vec<f32>] {
        &self.carries
    }

    fn name(&self, index: usize) -> &str {
        &self.clubs[index].1[0]
    }

    /// What was taken for one club.
    pub fn note(&self) -> Option<String> {
        let ways: Vec<String> = self
            .clubs
            .iter()
            .filter(|(_, spellings)| spellings.len() > 1)
            .map(|(_, spellings)| printable(&spellings.join(" = ")))
            .collect();
        (!ways.is_empty()).then(|| format!("taken for one club: {}", ways.join("; ")))
    }
}

/// The shapes of a log, as many of them as matter.
#[derive(Default)]
pub(super) struct Shapes {
    /// Of every club.
    of_clubs: Vec<Vec<String>>,
    /// In the whole log, in the order in which they come.
    names: Vec<String>,
    rows: usize,
}

impl Shapes {
    /// Notes the shape of a row.
    pub fn seen(&mut self, club: usize, shape: &str) {
        self.rows += 1;
        if self.of_clubs.len() <= club {
            self.of_clubs.resize(club + 1, Vec::new());
        }
        let of_club = &mut self.of_clubs[club];
        if of_club.len() <= MOST_SHAPES && !of_club.iter().any(|known| known == shape) {
            of_club.push(shape.to_owned());
        }
        if self.names.len() < MOST_COUNTED && !self.names.iter().any(|known| known == shape) {
            self.names.push(shape.to_owned());
        }
    }

    /// The same where the column holds shapes, and more than anybody plays.
    fn too_many(&self) -> Option<[String; 3]> {
        let pairs: usize = self.of_clubs.iter().map(Vec::len).sum();
        (pairs > MOST_CLUBS).then(|| {
            [
                format!("at most {MOST_CLUBS} clubs with a shape each"),
                format!("{pairs} or more"),
                "name fewer shapes, or leave out clubs that are not played".into(),
            ]
        })
    }

    /// Expected, found and remedy where the column does not hold shapes.
    pub fn problem(&self, clubs: &Clubs) -> Option<[String; 3]> {
        let numbered = self
            .names
            .iter()
            .any(|name| name.chars().all(|c| c.is_ascii_digit() || ".,".contains(c)));
        let many = self.of_clubs.iter().position(|of| of.len() > MOST_SHAPES);
        let most = self.names.len();
        let each_its_own = most > SOME_NAMES && 2 * most > self.rows;
        if !numbered && many.is_none() && !each_its_own {
            return self.too_many();
        }
        let shown: Vec<String> = self
            .names
            .iter()
            .take(3)
            .map(|n| format!("\"{n}\""))
            .collect();
        let etc = if most > 3 { ", …" } else { "" };
        let at_least = if most == MOST_COUNTED {
            "at least "
        } else {
            ""
        };
        let mut found = format!(
            "{}{etc}: {at_least}{most} names in {} rows",
            printable(&shown.join(", ")),
            self.rows
        );
        if let Some(club) = many {
            found = format!(
                "{found}, more than {MOST_SHAPES} for {}",
                printable(clubs.name(club))
            );
        }
        Some([
            "the shape meant, a few words in all, such as draw, fade, straight, high, low, punch"
                .into(),
            found,
            "write the same word in every row of a shape; where the column says something else, \
             rename its heading, such as \"note\": then it is not read"
                .into(),
        ])
    }
}
