//! A point of the hole that a player names: `the pin`, `far bunker`, `left edge of Millpond`.

use geo::Coord;

use super::landmark::{Silhouette, silhouette};
use super::scene::{Scene, bearing_deg};
use super::things::{Kind, Thing, things};
use crate::hole::{Hole, TeeingArea};

/// Most names that are offered.
const OFFERED: usize = 12;

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
    let known: Vec<&Thing> = all
        .iter()
        .filter(|thing| thing.kind != Kind::OutOfBounds && (thing.on_hole || thing.named))
        .collect();
    let text = plain(text);
    if matches!(text.as_str(), "pin" | "flag") {
        return Ok(hole.pin);
    }
    let parts = [
        ("left edge of ", Part::Left),
        ("right edge of ", Part::Right),
        ("middle of ", Part::Middle),
        ("end of ", Part::Middle),
        ("", Part::Middle),
    ];
    for (words, part) in parts {
        let Some(name) = text.strip_prefix(words).map(plain) else {
            continue;
        };
        let Some(thing) = known.iter().find(|thing| plain(&thing.words) == name) else {
            continue;
        };
        let from = tee.middle();
        let seen = silhouette(thing, from, bearing_deg(from, thing.middle));
        return Ok(match (part, seen) {
            (Part::Left, Some(Silhouette { left, .. })) => left,
            (Part::Right, Some(Silhouette { right, .. })) => right,
            _ => thing.middle,
        });
    }
    let mut names = vec!["pin".to_owned()];
    for thing in known {
        if !names.contains(&thing.words) {
            names.push(thing.words.clone());
        }
    }
    names.truncate(OFFERED);
    Err(names)
}

#[derive(Clone, Copy)]
enum Part {
    Left,
    Middle,
    Right,
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
