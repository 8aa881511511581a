//! What a bag lacks, in a golfer's words.

use super::sentence::{club, whole};
use crate::diagnostic::{Note, Place};
use crate::player::Player;
use crate::player::gaps::Gaps;
use crate::units::LengthUnit;

/// A note on distances that no club is for, with what to do about it; none of a full bag.
#[must_use]
pub fn note(player: &Player, unit: LengthUnit) -> Option<Note> {
    let gaps = Gaps::of(player);
    if gaps.is_empty() {
        return None;
    }
    let mut lacks: Vec<String> = gaps
        .between
        .iter()
        .map(|gap| {
            format!(
                "nothing between {} and {} {} ({} to {})",
                whole(gap.from_m, unit),
                whole(gap.to_m, unit),
                unit.name(),
                club(&gap.longer),
                club(&gap.shorter)
            )
        })
        .collect();
    if let Some(shortest) = &gaps.no_wedge {
        let shortest = club(shortest);
        lacks.push(format!(
            "no wedge, so the {shortest} makes every short shot"
        ));
    }
    let text = match lacks.as_slice() {
        [one] => one.clone(),
        [first @ .., last] => format!("{}, and {last}", first.join(", ")),
        [] => String::new(),
    };
    let log = match lacks.len() {
        1 => "log a club for it",
        _ => "log clubs for them",
    };
    let fill = match gaps.fill.as_slice() {
        [] => String::new(),
        names => format!(", or --fill {}", names.join(",")),
    };
    Some(Note {
        file: player.name.clone(),
        place: Place::File,
        text: format!("{text}: {log}{fill}"),
        topic: None,
    })
}
