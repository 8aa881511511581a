//! Where a ball ended, in a player's words: `fairway`, `rough left`, `bunker right`, `water`, `OB`.

use crate::hole::Surface;
use crate::units::parse::Side;

/// What a ball lies in, as a player tells it apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Lie {
    /// Fairway, fringe or teeing ground.
    Fairway,
    /// Rough.
    Rough,
    /// Bunker.
    Bunker,
    /// Green.
    Green,
    /// Among trees.
    Trees,
    /// Penalty area of either colour.
    Penalty,
    /// Out of bounds, or lost.
    Out,
}

impl Lie {
    /// The lie of a surface.
    #[must_use]
    pub fn of(surface: Surface) -> Self {
        match surface {
            Surface::Tee | Surface::Fairway => Self::Fairway,
            Surface::Rough => Self::Rough,
            Surface::Bunker => Self::Bunker,
            Surface::Green => Self::Green,
            Surface::Trees => Self::Trees,
            Surface::PenaltyRed | Surface::PenaltyYellow => Self::Penalty,
            Surface::OutOfBounds => Self::Out,
        }
    }

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Fairway => "fairway",
            Self::Rough => "rough",
            Self::Bunker => "bunker",
            Self::Green => "green",
            Self::Trees => "trees",
            Self::Penalty => "penalty area",
            Self::Out => "out of bounds",
        }
    }
}

/// What a cell of the column `result` says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Outcome {
    /// What the ball lies in.
    pub lie: Option<Lie>,
    /// On which side of the line of play.
    pub side: Option<Side>,
    /// Whether it went into the hole.
    pub holed: bool,
}

impl Outcome {
    /// Whether it says where the ball lies.
    #[must_use]
    pub fn says_where(&self) -> bool {
        self.lie.is_some() || self.side.is_some()
    }

    /// Whether the ball is not played from where it ended.
    #[must_use]
    pub fn is_lost(&self) -> bool {
        matches!(self.lie, Some(Lie::Penalty | Lie::Out))
    }

    /// In words: "rough left".
    #[must_use]
    pub fn words(&self) -> String {
        let side = self.side.map(|side| match side {
            Side::Left => "left",
            Side::Right => "right",
        });
        let holed = self.holed.then_some("holed");
        let words = [holed, self.lie.map(Lie::words), side];
        words.into_iter().flatten().collect::<Vec<_>>().join(" ")
    }
}

/// The words that are understood, for messages.
pub const KNOWN: &str =
    "fairway, rough, bunker, green, trees, penalty, out or holed, with left or right";

/// Words that say nothing more.
const PASSED_OVER: [&str; 16] = [
    "of",
    "bounds",
    "first",
    "cut",
    "the",
    "in",
    "on",
    "area",
    "ball",
    "side",
    "short",
    "long",
    "deep",
    "greenside",
    "heavy",
    "light",
];

/// Reads a cell; none where a word is not understood, or two contradict each other.
#[must_use]
pub fn read(text: &str) -> Option<Outcome> {
    let lower = text.to_lowercase();
    let mut words = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .peekable();
    words.peek()?;
    let mut outcome = Outcome::default();
    for word in words {
        let (lie, side) = match word {
            "fairway" | "fw" | "fringe" | "middle" => (Some(Lie::Fairway), None),
            "rough" | "semi" => (Some(Lie::Rough), None),
            "bunker" | "sand" | "trap" => (Some(Lie::Bunker), None),
            "green" => (Some(Lie::Green), None),
            "tree" | "trees" | "wood" | "woods" | "bush" | "bushes" | "scrub" => {
                (Some(Lie::Trees), None)
            }
            "penalty" | "water" | "hazard" | "pond" | "lake" => (Some(Lie::Penalty), None),
            "out" | "ob" | "lost" => (Some(Lie::Out), None),
            "left" | "l" => (None, Some(Side::Left)),
            "right" | "r" => (None, Some(Side::Right)),
            "holed" | "ace" => {
                outcome.holed = true;
                continue;
            }
            word if PASSED_OVER.contains(&word) => continue,
            _ => return None,
        };
        if lie.is_some() && outcome.lie.is_some_and(|known| Some(known) != lie)
            || side.is_some() && outcome.side.is_some_and(|known| Some(known) != side)
        {
            return None;
        }
        outcome.lie = outcome.lie.or(lie);
        outcome.side = outcome.side.or(side);
    }
    (outcome != Outcome::default()).then_some(outcome)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_players_words() {
        let said = |text| read(text).map(|o| (o.lie, o.side, o.holed));
        let is = |lie, side| Some((lie, side, false));
        assert_eq!(said("Fairway"), is(Some(Lie::Fairway), None));
        assert_eq!(said("rough left"), is(Some(Lie::Rough), Some(Side::Left)));
        assert_eq!(
            said("R greenside bunker"),
            is(Some(Lie::Bunker), Some(Side::Right))
        );
        assert_eq!(
            said("out of bounds, right"),
            is(Some(Lie::Out), Some(Side::Right))
        );
        assert_eq!(said("OB"), is(Some(Lie::Out), None));
        assert_eq!(said("in the water"), is(Some(Lie::Penalty), None));
        assert_eq!(said("left"), is(None, Some(Side::Left)));
        assert_eq!(said("holed"), Some((None, None, true)));
        for wrong in ["", "?", "fairway rough", "left right", "beach", "in the"] {
            assert_eq!(said(wrong), None, "{wrong}");
        }
    }
}
