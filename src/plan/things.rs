//! The things on a hole that a player would point at, each with plain words.
//!
//! Pieces of one feature are one thing: of one kind and with the same id or
//! name, or drawn edge to edge (within 0.5 m). Bunkers that share an id but not
//! a name are told apart. A name from the map is used as it
//! stands. Without one, things of a kind are told apart by the fewest words:
//! "bunker"; "near bunker" and "far bunker"; "bunker on the left"; "second
//! bunker on the right".

use geo::{BoundingRect, Centroid, Contains, Coord, Distance, Euclidean, Polygon};

use super::scene::{Bounds, Place, Scene, Track};
use crate::diagnostic::printable;
use crate::hole::{Surface, Tree};

/// Further off the line of play than this, a thing belongs to another hole, m.
const ON_HOLE_M: f64 = 60.0;
/// A bunker nearer to the green than this is greenside, m (practice).
const GREENSIDE_M: f64 = 25.0;
/// Nearer to the line of play than this, a thing is on neither side, m.
const MIDDLE_M: f64 = 5.0;
/// Two things closer than this along the line are side by side, m.
const ABREAST_M: f64 = 20.0;

/// What a thing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Sand.
    Bunker,
    /// A penalty area of either colour.
    PenaltyArea,
    /// A wood, scrub or trees in a row.
    Trees,
    /// Out of bounds.
    OutOfBounds,
    /// The green being played.
    Green,
    /// One tree with nothing near it.
    LoneTree,
}

impl Kind {
    /// Which kind a surface belongs to.
    #[must_use]
    pub fn of(surface: Surface) -> Option<Self> {
        match surface {
            Surface::Bunker => Some(Self::Bunker),
            Surface::PenaltyRed | Surface::PenaltyYellow => Some(Self::PenaltyArea),
            Surface::Trees => Some(Self::Trees),
            Surface::OutOfBounds => Some(Self::OutOfBounds),
            Surface::Green => Some(Self::Green),
            Surface::Rough | Surface::Tee | Surface::Fairway => None,
        }
    }

    /// The key used in the plan file.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Bunker => "bunker",
            Self::PenaltyArea => "penalty_area",
            Self::Trees | Self::LoneTree => "trees",
            Self::OutOfBounds => "out_of_bounds",
            Self::Green => "green",
        }
    }
}

/// Something on the hole.
#[derive(Clone, Debug)]
pub struct Thing {
    /// What it is.
    pub kind: Kind,
    /// In words, without an article.
    pub words: String,
    /// True when the words are its name on the map.
    pub named: bool,
    /// Its outlines on the plane.
    pub outlines: Vec<Polygon<f64>>,
    /// Which patches of the scene it is made of; none for a tree.
    pub patches: Vec<usize>,
    boxes: Vec<Bounds>,
    /// Where its middle lies by the line of play.
    pub place: Place,
    /// Its middle.
    pub middle: Coord<f64>,
    /// Height above the ground, m, for a tree; 0 for what lies on it.
    pub height_m: f64,
    /// True when a rule put it there and not the map.
    pub assumed: bool,
    /// False for a thing that belongs to another hole.
    pub on_hole: bool,
}

impl Thing {
    /// True where the thing covers a point.
    #[must_use]
    pub fn covers(&self, at: Coord<f64>) -> bool {
        self.outlines
            .iter()
            .zip(&self.boxes)
            .any(|(o, b)| b.holds(at) && o.contains(&at))
    }

    /// Distance from a point, m; 0 inside.
    #[must_use]
    pub fn distance_m(&self, at: Coord<f64>) -> f64 {
        self.outlines
            .iter()
            .map(|o| Euclidean.distance(&geo::Point::from(at), o))
            .fold(f64::INFINITY, f64::min)
    }

    /// The words with "the", or the bare name.
    #[must_use]
    pub fn with_article(&self) -> String {
        if self.named {
            self.words.clone()
        } else {
            format!("the {}", self.words)
        }
    }
}

/// A crown as an outline: 24 corners on its edge.
fn crown(tree: &Tree) -> Polygon<f64> {
    let radius = tree.crown_m / 2.0;
    let ring = (0..24).map(|k| {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(k) / 24.0).sin_cos();
        Coord {
            x: tree.at.x + radius * sin,
            y: tree.at.y + radius * cos,
        }
    });
    Polygon::new(ring.collect(), vec![])
}

/// A name from the map, on one line and at most 40 characters.
#[must_use]
pub fn plain_name(name: Option<&str>) -> Option<String> {
    let name = printable(name?);
    let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
    match name.chars().count() {
        0 => None,
        1..=40 => Some(name),
        _ => Some(name.chars().take(39).chain(['…']).collect()),
    }
}

/// Everything on the hole that has a kind, in the order of the map.
#[must_use]
pub fn things(scene: &Scene<'_>) -> Vec<Thing> {
    let play = scene.play();
    let mut things = merged_patches(scene, &play);
    let woods: Vec<Polygon<f64>> = things
        .iter()
        .filter(|t| t.kind == Kind::Trees)
        .flat_map(|t| t.outlines.iter().cloned())
        .collect();
    for (i, tree) in scene.trees.iter().enumerate() {
        let lone = scene.trees.iter().enumerate().all(|(k, other)| {
            k == i || (other.at.x - tree.at.x).hypot(other.at.y - tree.at.y) > 20.0
        }) && woods
            .iter()
            .all(|w| Euclidean.distance(&geo::Point::from(tree.at), w) > 10.0);
        let name = plain_name(tree.name.as_deref());
        let crown = crown(tree);
        things.push(Thing {
            kind: if lone { Kind::LoneTree } else { Kind::Trees },
            named: name.is_some(),
            words: name.unwrap_or_default(),
            boxes: vec![Bounds::of(&crown)],
            outlines: vec![crown],
            patches: Vec::new(),
            place: play.place(tree.at),
            middle: tree.at,
            height_m: tree.height_m,
            assumed: false,
            on_hole: true,
        });
    }
    name_things(&mut things, play.length_m());
    things
}

fn merged_patches(scene: &Scene<'_>, play: &Track) -> Vec<Thing> {
    // Crowns that the map drew as patches come back from the trees.
    let drawn: Vec<(usize, Kind)> = scene
        .patches
        .iter()
        .enumerate()
        .filter_map(|(i, p)| Kind::of(p.surface).map(|kind| (i, kind)))
        .filter(|(i, kind)| {
            *kind != Kind::Trees || scene.trees.iter().all(|t| t.id != scene.patches[*i].id)
        })
        .filter(|(i, kind)| {
            *kind != Kind::Green
                || Euclidean.distance(&geo::Point::from(scene.pin), &scene.patches[*i].outline)
                    < 30.0
        })
        .collect();
    let mut group: Vec<usize> = (0..drawn.len()).collect();
    for a in 0..drawn.len() {
        for b in 0..a {
            if drawn[a].1 == drawn[b].1 && group[a] != group[b] {
                let (p, q) = (&scene.patches[drawn[a].0], &scene.patches[drawn[b].0]);
                // A map may hold many bunkers in one feature: each is its own.
                let one_feature = drawn[a].1 != Kind::Bunker && !p.id.is_empty();
                let same = (one_feature && p.id == q.id)
                    || (p.name.is_some() && p.name == q.name)
                    || touching(&p.outline, &q.outline);
                if same {
                    let (from, to) = (group[a].max(group[b]), group[a].min(group[b]));
                    for g in &mut group {
                        if *g == from {
                            *g = to;
                        }
                    }
                }
            }
        }
    }
    let mut things = Vec::new();
    for root in 0..drawn.len() {
        let members: Vec<usize> = (0..drawn.len()).filter(|i| group[*i] == root).collect();
        let Some(first) = members.first() else {
            continue;
        };
        let patches = members.iter().map(|i| &scene.patches[drawn[*i].0]);
        let outlines: Vec<Polygon<f64>> = patches.clone().map(|p| p.outline.clone()).collect();
        let name = patches.clone().find_map(|p| plain_name(p.name.as_deref()));
        let Some(middle) = geo::MultiPolygon::new(outlines.clone()).centroid() else {
            continue;
        };
        things.push(Thing {
            kind: drawn[*first].1,
            named: name.is_some(),
            words: name.unwrap_or_default(),
            place: play.place(middle.0),
            middle: middle.0,
            height_m: 0.0,
            assumed: patches.clone().all(|p| p.assumed),
            on_hole: true,
            boxes: outlines.iter().map(Bounds::of).collect(),
            patches: members.iter().map(|i| drawn[*i].0).collect(),
            outlines,
        });
    }
    things
}

fn touching(a: &Polygon<f64>, b: &Polygon<f64>) -> bool {
    let (Some(r), Some(s)) = (a.bounding_rect(), b.bounding_rect()) else {
        return false;
    };
    let apart = (r.min().x - s.max().x)
        .max(s.min().x - r.max().x)
        .max(r.min().y - s.max().y)
        .max(s.min().y - r.max().y);
    apart < 0.5 && Euclidean.distance(a, b) < 0.5
}

/// Gives every unnamed thing its words.
fn name_things(things: &mut [Thing], length_m: f64) {
    let green: Vec<Polygon<f64>> = things
        .iter()
        .filter(|t| t.kind == Kind::Green)
        .flat_map(|t| t.outlines.iter().cloned())
        .collect();
    let green_along_m = things
        .iter()
        .find(|t| t.kind == Kind::Green)
        .map_or(length_m, |t| t.place.along_m);
    let greenside: Vec<bool> = things
        .iter()
        .map(|t| {
            t.kind == Kind::Bunker
                && t.outlines
                    .iter()
                    .any(|o| green.iter().any(|g| Euclidean.distance(o, g) < GREENSIDE_M))
        })
        .collect();
    for t in things.iter_mut() {
        t.on_hole = t.place.right_m.abs() <= ON_HOLE_M
            && t.place.along_m >= -10.0
            && t.place.along_m <= length_m + 40.0;
    }
    let on_hole = |t: &Thing| t.on_hole;
    let bunkers = |side: bool| {
        things
            .iter()
            .zip(&greenside)
            .any(|(t, g)| t.kind == Kind::Bunker && on_hole(t) && *g == side)
    };
    let both = bunkers(true) && bunkers(false);
    let noun = |i: usize| -> &'static str {
        match (things[i].kind, greenside[i]) {
            (Kind::Bunker, true) if both => "greenside bunker",
            (Kind::Bunker, false) if both => "fairway bunker",
            (Kind::Bunker, _) => "bunker",
            (Kind::PenaltyArea, _) => "water",
            (Kind::Trees, _) => "wood",
            (Kind::OutOfBounds, _) => "out of bounds",
            (Kind::Green, _) => "green",
            (Kind::LoneTree, _) => "lone tree",
        }
    };
    let words: Vec<String> = (0..things.len())
        .map(|i| {
            if things[i].named {
                return things[i].words.clone();
            }
            if !on_hole(&things[i]) {
                let plain = noun(i)
                    .trim_start_matches("greenside ")
                    .trim_start_matches("fairway ");
                let side = super::sentence::side(things[i].place.right_m);
                return format!("{plain} well {side}");
            }
            // Named things are out of the count: nobody would mix them up.
            let class: Vec<usize> = (0..things.len())
                .filter(|k| {
                    noun(*k) == noun(i)
                        && things[*k].kind == things[i].kind
                        && !things[*k].named
                        && on_hole(&things[*k])
                })
                .collect();
            let words = tell_apart(noun(i), things, &class, i);
            if greenside[i] && words.ends_with(IN_THE_MIDDLE) {
                let front = things[i].place.along_m < green_along_m;
                let end = if front { "front" } else { "back" };
                let rank = words
                    .trim_end_matches(IN_THE_MIDDLE)
                    .trim_end_matches(noun(i));
                return format!("{rank}{end} bunker");
            }
            words
        })
        .collect();
    for (thing, words) in things.iter_mut().zip(words) {
        thing.words = words;
    }
}

/// On neither side.
const IN_THE_MIDDLE: &str = " in the middle";

fn side(place: Place) -> &'static str {
    if place.right_m < -MIDDLE_M {
        " on the left"
    } else if place.right_m > MIDDLE_M {
        " on the right"
    } else {
        IN_THE_MIDDLE
    }
}

fn tell_apart(noun: &str, things: &[Thing], class: &[usize], i: usize) -> String {
    if class.len() <= 1 {
        return noun.into();
    }
    let alongs = |set: &[usize]| -> Vec<usize> {
        let mut order = set.to_vec();
        order.sort_by(|a, b| {
            things[*a]
                .place
                .along_m
                .total_cmp(&things[*b].place.along_m)
                .then(a.cmp(b))
        });
        order
    };
    if let [a, b] = alongs(class)[..]
        && things[b].place.along_m - things[a].place.along_m >= ABREAST_M
    {
        return format!("{} {noun}", if i == a { "near" } else { "far" });
    }
    let here = side(things[i].place);
    let peers: Vec<usize> = class
        .iter()
        .copied()
        .filter(|k| side(things[*k].place) == here)
        .collect();
    let order = alongs(&peers);
    let rank = order.iter().position(|k| *k == i).unwrap_or(0);
    match (order.len(), rank) {
        (1, _) => format!("{noun}{here}"),
        (2, 0) => format!("near {noun}{here}"),
        (2, _) => format!("far {noun}{here}"),
        (n, r) if r + 1 == n => format!("last {noun}{here}"),
        (_, r) => format!("{} {noun}{here}", ordinal(r + 1)),
    }
}

fn ordinal(n: usize) -> String {
    const WORDS: [&str; 8] = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth",
    ];
    match WORDS.get(n.wrapping_sub(1)) {
        Some(word) => (*word).into(),
        None => match (n % 10, n % 100) {
            (1, h) if h != 11 => format!("{n}st"),
            (2, h) if h != 12 => format!("{n}nd"),
            (3, h) if h != 13 => format!("{n}rd"),
            _ => format!("{n}th"),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::super::scene::tests::{flat, mirrored, rectangle};
    use super::*;
    use crate::hole::Patch;

    const STRAIGHT: [Coord<f64>; 2] = [Coord { x: 0.0, y: 0.0 }, Coord { x: 0.0, y: 400.0 }];

    fn bunker(id: &str, east: f64, north: f64) -> Patch {
        rectangle(
            Surface::Bunker,
            id,
            [east - 4.0, east + 4.0],
            [north - 5.0, north + 5.0],
        )
    }

    fn words(patches: &[Patch], trees: &[Tree]) -> Vec<String> {
        things(&flat(4, &STRAIGHT, patches, trees))
            .into_iter()
            .map(|t| t.words)
            .collect()
    }

    #[test]
    fn fewest_words() {
        assert_eq!(words(&[bunker("a", 20.0, 220.0)], &[]), ["bunker"]);
        let two = [bunker("a", 20.0, 200.0), bunker("b", 20.0, 240.0)];
        assert_eq!(words(&two, &[]), ["near bunker", "far bunker"]);
        let abreast = [bunker("a", 20.0, 200.0), bunker("b", -20.0, 205.0)];
        assert_eq!(
            words(&abreast, &[]),
            ["bunker on the right", "bunker on the left"]
        );
        let four = [
            bunker("a", 20.0, 200.0),
            bunker("b", 20.0, 230.0),
            bunker("c", 20.0, 260.0),
            bunker("d", 0.0, 240.0),
        ];
        assert_eq!(
            words(&four, &[]),
            [
                "first bunker on the right",
                "second bunker on the right",
                "last bunker on the right",
                "bunker in the middle"
            ]
        );
        let mirror: Vec<Patch> = four.iter().map(mirrored).collect();
        assert_eq!(
            words(&mirror, &[]),
            words(&four, &[])
                .iter()
                .map(|w| w.replace("right", "left"))
                .collect::<Vec<_>>()
        );
    }

    #[test]
    fn greenside_and_names() {
        let mut patches = vec![
            rectangle(Surface::Green, "g", [-12.0, 12.0], [388.0, 412.0]),
            bunker("a", 20.0, 395.0),
            bunker("b", -20.0, 230.0),
            bunker("c", 200.0, 230.0),
            bunker("d", -30.0, 150.0),
        ];
        patches[4].name = Some("  The Old\n Pit ".into());
        assert_eq!(
            words(&patches, &[]),
            [
                "green",
                "greenside bunker",
                "fairway bunker",
                "bunker well right",
                "The Old Pit"
            ]
        );
        assert_eq!(
            plain_name(Some(&"x".repeat(60))).unwrap().chars().count(),
            40
        );
        assert_eq!(plain_name(Some(" \u{7} ")), None);
    }

    /// Two halves of one pond are one thing, and so are two woods with one id;
    /// bunkers with one id are not.
    #[test]
    fn pieces() {
        let patches = [
            rectangle(Surface::PenaltyRed, "w", [-30.0, 0.0], [150.0, 170.0]),
            rectangle(Surface::PenaltyYellow, "v", [0.0, 30.0], [150.0, 170.0]),
            rectangle(Surface::Bunker, "s", [10.0, 20.0], [200.0, 210.0]),
            rectangle(Surface::Bunker, "s", [30.0, 40.0], [230.0, 240.0]),
            rectangle(Surface::Trees, "t", [40.0, 50.0], [250.0, 260.0]),
            rectangle(Surface::Trees, "t", [40.0, 50.0], [270.0, 280.0]),
        ];
        assert_eq!(
            words(&patches, &[]),
            ["water", "near bunker", "far bunker", "wood"]
        );
    }

    #[test]
    fn lone_trees() {
        let tree = |id: &str, x: f64, y: f64| Tree {
            at: Coord { x, y },
            height_m: 12.0,
            crown_m: 6.0,
            id: id.into(),
            name: None,
        };
        let trees = [
            tree("a", 20.0, 200.0),
            tree("b", -20.0, 150.0),
            tree("c", -20.0, 160.0),
        ];
        let scene = flat(4, &STRAIGHT, &[], &trees);
        let kinds: Vec<Kind> = things(&scene).iter().map(|t| t.kind).collect();
        assert_eq!(kinds, [Kind::LoneTree, Kind::Trees, Kind::Trees]);
        let all = things(&scene);
        assert!(all[0].covers(Coord { x: 22.9, y: 200.0 }));
        assert!((all[0].distance_m(Coord { x: 33.0, y: 200.0 }) - 10.0).abs() < 0.01);
    }

    #[test]
    fn counting() {
        assert_eq!(ordinal(1), "first");
        assert_eq!(ordinal(11), "11th");
        assert_eq!(ordinal(22), "22nd");
    }
}
