//! A point of the hole that a player names: `the pin`, `far bunker`, `left edge of Millpond`.

use geo::Coord;

use super::landmark::{Silhouette, silhouette};
use super::scene::{Scene, bearing_deg};
use super::things::{Kind, Thing, plain_name, things};
use crate::hole::{Hole, TeeingArea};

/// Most names that are offered.
const OFFERED: usize = 24;

/// The point that `text` names, as seen from a tee; the names that there are, where it names none.
///
/// # Errors
/// The names of the things on the hole.
pub fn named_point(hole: &Hole, tee: &TeeingArea, text: &str) -> Result<Coord<f64>, Vec<String>> {
    let scene = Scene::new(
        hole.par,
        &hole.line_of_play,
        hole.pin,
        &hole.patches,
        &hole.trees,
    );
    let all = things(&scene);
    let mut known: Vec<&Thing> = all
        .iter()
        .filter(|thing| thing.kind != Kind::OutOfBounds && (thing.on_hole || thing.named))
        .collect();
    // This hole's own first.
    known.sort_by_key(|thing| !thing.on_hole);
    let text = plain(text);
    if matches!(text.as_str(), "pin" | "flag") {
        return Ok(hole.pin);
    }
    let own = hole.targets.iter().find(|own| plain(&own.name) == text);
    if let Some(own) = own {
        return Ok(own.at);
    }
    let parts = [
        ("left edge of ", Part::Left),
        ("right edge of ", Part::Right),
        ("middle of ", Part::Middle),
        ("end of ", Part::End),
        ("", Part::Middle),
    ];
    for (words, part) in parts {
        let Some(name) = text.strip_prefix(words).map(plain) else {
            continue;
        };
        let Some(thing) = the_one(&known, &name) else {
            continue;
        };
        let from = tee.middle();
        let seen = silhouette(thing, from, bearing_deg(from, thing.middle));
        let Some(Silhouette { left, right, .. }) = seen else {
            return Ok(thing.middle);
        };
        // A wood on the left ends on its right, as the plan's own words have it.
        let ends_right = thing.place.right_m < 0.0;
        return Ok(match part {
            Part::Left => left,
            Part::Right => right,
            Part::End if ends_right => right,
            Part::End => left,
            Part::Middle => thing.middle,
        });
    }
    let mut names = vec!["pin".to_owned()];
    let own = hole.targets.iter();
    names.extend(own.filter_map(|own| plain_name(Some(&own.name))));
    for thing in known {
        if !names.contains(&thing.words) {
            names.push(thing.words.clone());
        }
    }
    names.truncate(OFFERED);
    Err(names)
}

/// The thing of this name, or the only one whose name has all of these words.
fn the_one<'a>(known: &[&'a Thing], name: &str) -> Option<&'a Thing> {
    if let Some(thing) = known.iter().find(|thing| plain(&thing.words) == name) {
        return Some(thing);
    }
    let has_all = |thing: &&&Thing| {
        let words = plain(&thing.words);
        let mut asked = name.split_whitespace();
        asked.all(|asked| words.split_whitespace().any(|word| word == asked))
    };
    let mut fitting = known.iter().filter(has_all);
    match (fitting.next(), fitting.next()) {
        (Some(thing), None) if !name.is_empty() => Some(thing),
        _ => None,
    }
}

#[derive(Clone, Copy)]
enum Part {
    Left,
    Middle,
    Right,
    End,
}

/// In lower case, without an article and with single spaces.
fn plain(text: &str) -> String {
    let lower = text.to_lowercase();
    let mut words: Vec<&str> = lower.split_whitespace().collect();
    if words.len() > 1 && words[0] == "the" {
        words.remove(0);
    }
    words.join(" ")
}
