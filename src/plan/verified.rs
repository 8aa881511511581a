//! The figures of a plan held to rollouts, in the plan file and in words.

use serde::Serialize;

use super::sentence::shot_name;
use super::why::shown_error;
use super::{DEAR, PartSwing, round};
use crate::player::Player;
use crate::strategy::Priced;
use crate::strategy::by_game::ByGame;
use crate::units::LengthUnit;

/// How the plan was held to rollouts: the hole played out ball by ball from where the tee shot's
/// balls lie, by the plan's own policy, with random numbers of their own.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Verified {
    /// Rollouts of the choice.
    pub rollouts: usize,
    /// Mean strokes of them, the tee shot included.
    pub strokes: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// Rows of the plan that were played out: the choice, named aims and the other clubs.
    pub rows: usize,
    /// Rows whose strokes are those of the rollouts, the choice first.
    pub repriced: Vec<Repriced>,
}

/// A row that is priced by its rollouts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Repriced {
    /// `choice`, `alternative`, or a comparison's name.
    pub row: String,
    /// Club.
    pub club: String,
    /// Shape.
    pub shape: String,
    /// Of a part swing, how much of the full one it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part_swing: Option<PartSwing>,
    /// How many.
    pub rollouts: usize,
    /// Strokes by the evaluation.
    pub evaluated: f64,
    /// Strokes by the rollouts.
    pub strokes: f64,
    /// Standard error of that.
    pub standard_error: f64,
}

/// How a decision was held to rollouts; none where its choice was not played out.
#[must_use]
pub fn verified(found: &ByGame, player: &Player) -> Option<Verified> {
    let decision = &found.decision;
    let choice = found.rollouts.of(decision.choice.shot)?;
    let named = decision
        .comparisons
        .iter()
        .map(|(name, named)| (name.as_str(), named));
    let others = decision.alternatives.iter();
    let rows: Vec<(&str, &Priced)> = std::iter::once(("choice", &decision.choice))
        .chain(named)
        .chain(others.map(|other| ("alternative", other)))
        .collect();
    let played = rows.iter().filter_map(|(row, priced)| {
        let played = found.rollouts.of(priced.shot)?;
        Some((*row, *priced, played))
    });
    let repriced = played.clone().filter(|(_, _, played)| played.is_repriced);
    Some(Verified {
        rollouts: choice.rollouts,
        strokes: round::strokes(choice.strokes),
        standard_error: round::strokes(choice.standard_error),
        rows: played.count(),
        repriced: repriced
            .map(|(row, priced, played)| {
                let hit = player.clubs.get(priced.shot.club);
                let (club, shape) =
                    hit.map_or(("", ""), |club| (club.club.as_str(), club.shape.as_str()));
                Repriced {
                    row: row.into(),
                    club: club.into(),
                    shape: shape.into(),
                    part_swing: hit.and_then(PartSwing::of),
                    rollouts: played.rollouts,
                    evaluated: round::strokes(played.evaluated),
                    strokes: round::strokes(priced.strokes),
                    standard_error: round::strokes(priced.standard_error),
                }
            })
            .collect(),
    })
}

impl Verified {
    /// What a golfer is to know of it; nothing where every figure held that anybody would play.
    #[must_use]
    pub fn note(&self, unit: LengthUnit) -> Option<String> {
        let is_dear = |row: &&Repriced| row.strokes - self.strokes > DEAR;
        let shown = |strokes: f64| format!("{strokes:.2}");
        let rows: Vec<String> = self
            .repriced
            .iter()
            .filter(|row| !is_dear(row) && shown(row.strokes) != shown(row.evaluated))
            .map(|row| {
                let aimed = match row.row.as_str() {
                    "choice" | "alternative" => String::new(),
                    name => format!(", {name},"),
                };
                format!(
                    "{}{aimed} {:.2} ± {:.2}, not {:.2}",
                    shot_name(&row.club, &row.shape, row.part_swing, unit),
                    row.strokes,
                    shown_error(row.standard_error),
                    row.evaluated,
                )
            })
            .collect();
        if rows.is_empty() {
            return None;
        }
        Some(format!(
            "Played out to the last putt, thousands of times, the hole took other strokes than \
             first worked out, and the plan goes by what was played: {}.",
            rows.join("; ")
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_says_what_was_repriced() {
        let mut verified = Verified {
            rollouts: 4096,
            strokes: 4.12,
            standard_error: 0.005,
            rows: 9,
            repriced: Vec::new(),
        };
        assert_eq!(verified.note(LengthUnit::Yards), None);
        verified.repriced = [
            ("choice", 4.08),
            ("aiming off half your bend", 4.08),
            ("alternative", 4.1199),
            ("a shot that nobody would play", 5.3),
        ]
        .map(|(row, evaluated)| Repriced {
            row: row.into(),
            club: "3w".into(),
            shape: "draw".into(),
            part_swing: None,
            rollouts: 4096,
            evaluated,
            strokes: if evaluated > 5.0 { 4.7 } else { 4.12 },
            standard_error: 0.006,
        })
        .into();
        assert_eq!(
            verified.note(LengthUnit::Yards).as_deref(),
            Some(
                "Played out to the last putt, thousands of times, the hole took other strokes than \
                 first worked out, and the plan goes by what was played: 3-wood, your draw 4.12 ± \
                 0.01, not 4.08; 3-wood, your draw, aiming off half your bend, 4.12 ± 0.01, not \
                 4.08."
            )
        );
        verified.repriced.drain(..2);
        assert_eq!(
            verified.note(LengthUnit::Yards),
            None,
            "the same to the last digit"
        );
    }
}
