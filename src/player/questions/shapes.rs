//! The shape column: names of shapes against the flight, and remarks among the names.

use super::delivery::word;
use super::signs::Turned;
use super::{Asked, Logged};
use crate::diagnostic::{Place, Topic, printable};
use crate::player::Handedness;
use crate::player::group::median;
use crate::player::shotlog::Shot;

/// Fewest rows of a shape that have a say on its bend.
const FEWEST: usize = 5;
/// A mean bend beyond so many standard errors is no chance …
const SURE: f64 = 3.0;
/// … and so large that somebody would see it, degrees of direction.
const SEEN_DEG: f64 = 0.5;
/// Share of the rows that bend against their name.
const MOST: f64 = 0.65;
/// The same share over all clubs, where it alone tells: of ten balls by chance one time in ninety.
const MOSTLY: f64 = 0.85;
/// Middle bend and share of the rows on one side of a shape that is not straight.
const STRAIGHT_DEG: f64 = 2.0;
const STRAIGHT_MOST: f64 = 0.8;
/// A name of one's own has at least so many rows; fewer look like a remark.
const OWN_NAME_ROWS: usize = 3;

/// Words that name a shape, or go with the name of one.
const SHAPES: [&str; 43] = [
    "draw",
    "fade",
    "straight",
    "hook",
    "slice",
    "cut",
    "push",
    "pull",
    "high",
    "low",
    "stock",
    "punch",
    "stinger",
    "knockdown",
    "knock",
    "down",
    "normal",
    "usual",
    "full",
    "half",
    "three",
    "quarter",
    "quarters",
    "baby",
    "big",
    "small",
    "slight",
    "soft",
    "hard",
    "strong",
    "weak",
    "little",
    "controlled",
    "bump",
    "run",
    "and",
    "flighted",
    "lob",
    "flop",
    "chip",
    "pitch",
    "ball",
    "shot",
];
/// Words that say how a shot went.
const REMARKS: [&str; 34] = [
    "topped", "top", "thin", "fat", "heavy", "chunk", "chunked", "duff", "duffed", "shank",
    "shanked", "skulled", "mishit", "miss", "good", "bad", "great", "ok", "okay", "nice", "poor",
    "wind", "windy", "toe", "heel", "sky", "skied", "pure", "lost", "ob", "rain", "warm", "best",
    "worst",
];

/// Names that say where a ball went.
const WHERE: [&str; 4] = ["l", "r", "left", "right"];

pub(super) fn ask(logged: &Logged<'_>, turned: Turned, asked: &mut Asked<'_>) {
    let place = match &logged.log.headings.shape {
        Some(column) => Place::Cell {
            line: logged.log.headings.line,
            column: column.clone(),
        },
        None => Place::File,
    };
    remarks(logged, asked, &place);
    flight(logged, turned, asked, &place);
}

/// The names in the order in which they come, with their rows.
fn names<'a>(logged: &Logged<'a>) -> Vec<(&'a str, usize)> {
    let mut names: Vec<(&str, usize)> = Vec::new();
    for shape in logged.log.shots.iter().filter_map(|s| s.shape.as_deref()) {
        match names.iter_mut().find(|(name, _)| *name == shape) {
            Some((_, rows)) => *rows += 1,
            None => names.push((shape, 1)),
        }
    }
    names
}

fn remarks(logged: &Logged<'_>, asked: &mut Asked<'_>, place: &Place) {
    let names = names(logged);
    let words = |name: &str| -> Vec<String> {
        name.split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .map(str::to_owned)
            .collect()
    };
    let is_remark = |(name, rows): &&(&str, usize)| {
        let words = words(name);
        let named = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
        named(&REMARKS)
            || WHERE.contains(&name.trim())
            || (!named(&SHAPES) && *rows < OWN_NAME_ROWS)
    };
    let found: Vec<&(&str, usize)> = names.iter().filter(is_remark).collect();
    if found.is_empty() {
        return;
    }
    let shown: Vec<String> = found
        .iter()
        .take(4)
        .map(|(name, rows)| {
            let rows = if *rows == 1 {
                "1 row"
            } else {
                &format!("{rows} rows")
            };
            format!("\"{}\" ({rows})", printable(name))
        })
        .collect();
    let etc = match found.len() {
        0..=4 => String::new(),
        n => format!(", and {} more", n - 4),
    };
    asked.question(
        Topic::ShapeWords,
        place.clone(),
        [
            "the shape that the player meant, such as draw, fade, straight, high, low or punch; \
             each shape of a club is a pattern of its own"
                .into(),
            format!(
                "{}{etc}, which read like remarks on the shots",
                shown.join(", ")
            ),
            "move remarks into a column of another name, such as \"note\", which is not read, and \
             name the shape meant or leave the cell empty"
                .into(),
        ],
    );
}

/// To which side a shape of this name bends, for a right-hander; none where the name does not say.
pub(super) fn bends(shape: &str) -> Option<f64> {
    let has = |word: &str| shape.contains(word);
    match (
        has("draw") || has("hook"),
        has("fade") || has("slice") || has("cut"),
    ) {
        (true, false) => Some(-1.0),
        (false, true) => Some(1.0),
        _ => None,
    }
}

struct Named {
    name: String,
    called: f64,
    /// +1 where it bends as a right-hander's of this name.
    agrees: f64,
    rows: usize,
    against: usize,
    bend_deg: f64,
}

/// The middle bend where it is no chance, and how many balls bend to its side.
fn sure(bent: &[f64]) -> Option<(f64, usize)> {
    let middle = median(bent.iter().copied());
    let spread = 1.4826 * median(bent.iter().map(|b| (b - middle).abs()));
    let error = 1.25 * spread / (bent.len() as f64).sqrt();
    let on_side = bent.iter().filter(|b| **b * middle > 0.0).count();
    let seen = middle.abs() >= SEEN_DEG && middle.abs() >= SURE * error;
    (seen && on_side as f64 >= MOST * bent.len() as f64).then_some((middle, on_side))
}

/// The same by the sides alone: clubs differ in how far they bend, not to which side.
fn mostly(bent: &[f64]) -> Option<(f64, usize)> {
    let middle = median(bent.iter().copied());
    let on_side = bent.iter().filter(|b| **b * middle > 0.0).count();
    let most = on_side as f64 >= MOSTLY * bent.len() as f64;
    (bent.len() >= 2 * FEWEST && most && middle.abs() >= SEEN_DEG).then_some((middle, on_side))
}

/// The bends of the shots by shape, in the order in which the shapes come.
fn by_shape<'a>(
    shots: impl Iterator<Item = &'a Shot>,
    bend: &dyn Fn(&Shot) -> Option<f64>,
) -> Vec<(&'a str, Vec<f64>)> {
    let mut shapes: Vec<(&str, Vec<f64>)> = Vec::new();
    for shot in shots {
        let (Some(shape), Some(bend)) = (shot.shape.as_deref(), bend(shot)) else {
            continue;
        };
        match shapes.iter_mut().find(|(name, _)| *name == shape) {
            Some((_, bends)) => bends.push(bend),
            None => shapes.push((shape, vec![bend])),
        }
    }
    shapes
}

/// The shapes of each club whose name says a side and whose bend is no chance.
fn each_club(logged: &Logged<'_>, bend: &dyn Fn(&Shot) -> Option<f64>) -> Vec<Named> {
    let mut named = Vec::new();
    for club in &logged.clubs {
        for (shape, bent) in by_shape(club.sound.iter().copied(), bend) {
            let Some(called) = bends(shape).filter(|_| bent.len() >= FEWEST) else {
                continue;
            };
            let Some((bend_deg, against)) = sure(&bent) else {
                continue;
            };
            named.push(Named {
                name: format!("{} {shape}", club.name),
                called,
                agrees: called * bend_deg.signum(),
                rows: bent.len(),
                against,
                bend_deg,
            });
        }
    }
    named
}

/// Shapes over all clubs, for a log whose clubs have few rows each.
fn all_clubs(logged: &Logged<'_>, bend: &dyn Fn(&Shot) -> Option<f64>) -> Vec<Named> {
    let named = |(shape, bent): (&str, Vec<f64>)| {
        let called = bends(shape).filter(|_| bent.len() >= FEWEST)?;
        let (bend_deg, against) = sure(&bent).or_else(|| mostly(&bent))?;
        Some(Named {
            name: format!("every club's {shape}"),
            called,
            agrees: called * bend_deg.signum(),
            rows: bent.len(),
            against,
            bend_deg,
        })
    };
    let shapes = by_shape(logged.sound(), bend);
    shapes.into_iter().filter_map(named).collect()
}

/// A shape called straight that bends as nobody's straight ball does.
fn straight(
    logged: &Logged<'_>,
    bend: &dyn Fn(&Shot) -> Option<f64>,
    asked: &mut Asked<'_>,
    place: &Place,
) {
    let bent: Vec<f64> = logged
        .sound()
        .filter(|shot| shot.shape.as_deref().is_some_and(is_straight))
        .filter_map(bend)
        .collect();
    let bend = sure(&bent).or_else(|| mostly(&bent));
    let Some((middle, on_side)) = bend.filter(|_| bent.len() >= FEWEST) else {
        return;
    };
    if middle.abs() < STRAIGHT_DEG || (on_side as f64) < STRAIGHT_MOST * bent.len() as f64 {
        return;
    }
    let side = if middle < 0.0 { "left" } else { "right" };
    asked.question(
        Topic::ShapeWords,
        place.clone(),
        [
            "straight balls that bend now to the one side and now to the other".into(),
            format!(
                "{on_side} of {} that are called straight bend {side}, by {:.1}\u{b0} in the middle",
                bent.len(),
                middle.abs()
            ),
            "name the shape that is played, or leave the cell empty".into(),
        ],
    );
}

fn is_straight(shape: &str) -> bool {
    shape.contains("straight") && bends(shape).is_none()
}

/// Looks at the named shapes against the flight.
fn flight(logged: &Logged<'_>, turned: Turned, asked: &mut Asked<'_>, place: &Place) {
    let bend = |shot: &Shot| {
        turned
            .bend_deg(shot)
            .or_else(|| turned.axis_deg(shot).map(|axis| 0.5 * axis))
    };
    straight(logged, &bend, asked, place);
    let mut named = each_club(logged, &bend);
    if named.is_empty() {
        named = all_clubs(logged, &bend);
    }
    let hand = hand(logged, &named);
    let against: Vec<&Named> = named
        .iter()
        .filter(|named| named.agrees * hand.sign() < 0.0)
        .collect();
    if !against.is_empty() {
        let all = against.len() == named.len() && named.len() > 1;
        ask_about_names(asked, place, &against, all, hand);
    } else if logged.about.handedness.is_none() && hand == Handedness::Left {
        asked.note(
            Topic::Hand,
            place.clone(),
            "the shapes bend as a left-handed player's of their names: say --hand left to the \
             commands that read this log"
                .into(),
        );
    }
}

/// The hand as said; else the one by which most names agree with their bend.
fn hand(logged: &Logged<'_>, named: &[Named]) -> Handedness {
    let as_right = named.iter().filter(|named| named.agrees > 0.0).count();
    match logged.about.handedness {
        Some(hand) => hand,
        None if 2 * as_right >= named.len() => Handedness::Right,
        None => Handedness::Left,
    }
}

/// Asks about the shapes that bend `against` their names, which may be `all` of them.
fn ask_about_names(
    asked: &mut Asked<'_>,
    place: &Place,
    against: &[&Named],
    all: bool,
    hand: Handedness,
) {
    let side = |sign: f64| if sign < 0.0 { "left" } else { "right" };
    let shown: Vec<String> = against
        .iter()
        .take(4)
        .map(|named| {
            format!(
                "{}: {} of {} balls bend {}, by {:.1}\u{b0} in the middle",
                printable(&named.name),
                named.against,
                named.rows,
                side(named.bend_deg),
                named.bend_deg.abs()
            )
        })
        .collect();
    let etc = match against.len() {
        0..=4 => String::new(),
        n => format!("; and {} more", n - 4),
    };
    let whole = if all {
        ", and so is every named shape"
    } else {
        ""
    };
    let draws = side(-hand.sign());
    let fades = side(hand.sign());
    let first = if against[0].called < 0.0 {
        draws
    } else {
        fades
    };
    asked.question(
        Topic::ShapeWords,
        place.clone(),
        [
            format!(
                "draws that bend {draws} and fades that bend {fades}, as a {}-handed player's do: \
                 {} {first}",
                word(hand),
                printable(&against[0].name)
            ),
            format!("{}{etc}{whole}", shown.join("; ")),
            format!(
                "correct the shapes, or the signs of the bend (right is positive){}",
                if all {
                    format!("; or say --hand {}", word(hand.other()))
                } else {
                    String::new()
                }
            ),
        ],
    );
}
