//! Course play in the player file: written and read.

use std::fmt::Write as _;

use serde_json::{Map, Value};

use super::Reader;
use super::set_up::braces;
use super::words::join;
use super::write::number;
use crate::player::course_play::{CoursePlay, FACTORS, MOST_MISHITS, Wider};

const KEYS: [&str; 4] = ["driver", "others", "short_game", "more_mishits"];
const FACTOR: &str = "a factor on a scatter";
const MISHITS: &str = "a share of all shots";

/// Adds the key.
pub(super) fn write(out: &mut String, play: &CoursePlay) {
    let wider = |wider: Wider| {
        let [direction, distance] = [wider.direction, wider.distance].map(number);
        format!("{{ \"direction\": {direction}, \"distance\": {distance} }}")
    };
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "  \"course_play\": {{\n    \"driver\": {},\n    \"others\": {},\n    \"short_game\": {},\n    \
         \"more_mishits\": {}\n  }},",
        wider(play.driver),
        wider(play.others),
        wider(play.short_game),
        number(play.more_mishits)
    );
}

/// Reads that of a player with this Handicap Index; none where the key is missing. Without
/// `short_game`, as in files of earlier versions, that of the index is taken.
pub(super) fn read(
    reader: &mut Reader<'_>,
    player: &Map<String, Value>,
    handicap: f64,
) -> Option<CoursePlay> {
    let here = "course_play";
    let object = braces(reader, player.get(here), here, &KEYS.join(", "))?;
    reader.known(object, here, &KEYS);
    let [driver, others] = ["driver", "others"].map(|key| wider(reader, object, key));
    let short_game = match object.get("short_game") {
        None => Some(CoursePlay::of_level(handicap).short_game),
        Some(_) => wider(reader, object, "short_game"),
    };
    let bounds = (MISHITS, [0.0, MOST_MISHITS]);
    let more_mishits = reader.field(object, here, "more_mishits", bounds, None);
    Some(CoursePlay {
        driver: driver?,
        others: others?,
        short_game: short_game?,
        more_mishits,
    })
}

/// The factors of some clubs; none, and a problem, where they are missing.
fn wider(reader: &mut Reader<'_>, play: &Map<String, Value>, key: &str) -> Option<Wider> {
    let here = join("course_play", key);
    let keys = ["direction", "distance"];
    if play.get(key).is_none() {
        let example = "{ \"direction\": 1.3, \"distance\": 1.3 }";
        reader.missing(&here, "factors in braces", example);
        return None;
    }
    let object = braces(reader, play.get(key), &here, &keys.join(" and "))?;
    reader.known(object, &here, &keys);
    let [direction, distance] =
        keys.map(|key| reader.field(object, &here, key, (FACTOR, FACTORS), None));
    Some(Wider {
        direction,
        distance,
    })
}
