//! The thing to aim at.
//!
//! A target is a thing on the hole in sight of the tee. Candidates: the pin; the edges
//! of the green; bunkers, whole or by an edge; lone trees; where a wood ends; edges of
//! water; whatever has a name on the map. What stands up is looked for first, and what
//! is no more than 100 yd past the landing:
//!
//! 1. what the round file names, within 2° of the aim, or within 0.5° where it is over 400 m away;
//! 2. what stands up (flag, trees, faces of bunkers) so near, within 2° of the aim;
//! 3. what stands up so near, or anything that the round file names, within three fingers (6°): the aim
//!    is fingers beside it;
//! 4. what stands up further on, to 400 m, within 2°;
//! 5. what lies flat (edges of water and of the green) so near, within 2°;
//! 6. yards or metres from an edge of the fairway, the pin or the line of play.
//!
//! Of those of one kind the lowest score is taken:
//!
//! - its angle off the aim, a point a degree;
//! - how hard it is to make out: pin and named things 0, lone tree and bunker
//!   0.2, edge of the green 0.4, end of a wood and middle of a wide bunker
//!   0.5, edge of water 0.7;
//! - how much nearer than the landing it is, a point for the whole way (a near
//!   target turns with every step on the tee; nearer than half way is refused);
//! - a point for every 200 m beyond 350 m.
//!
//! In sight: a straight line from eyes 1.6 m above the peg to the thing meets
//! neither ground nor leaves; and what lies on the ground is not seen over a nearer bunker, with
//! which it makes one strip of sand, nor below a crown. What the round file names is taken to be seen.

use geo::Coord;
use serde::Serialize;

use super::round;
use super::scene::{Scene, ahead_and_right, along, bearing_deg, distance_m, turn_deg};
use super::sentence::{length, side, whole};
use super::things::{Kind, Thing, plain_name};
use super::widths::{Section, line_at};
use crate::units::{LengthUnit, YARD_M};

/// A target is at most this far off the aim, degrees.
pub const WITHIN_DEG: f64 = 2.0;
/// A target that the aim is fingers beside is at most this far off it, degrees.
pub const FINGERS_WITHIN_DEG: f64 = 6.0;
/// A finger at arm's length, degrees (practice).
pub const FINGER_DEG: f64 = 2.0;
/// A target further past the landing than this is far off, m (100 yd), and one further
/// than this is too far, m.
const PAST_LANDING_M: f64 = 100.0 * YARD_M;
const TOO_FAR_M: f64 = 400.0;
/// A target further off the aim than this is not quite the aim, degrees.
const ON_TARGET_DEG: f64 = 0.35;
/// Something beyond [`TOO_FAR_M`] is the aim so near to it, degrees: a quarter of a finger.
const FAR_WITHIN_DEG: f64 = 0.5;
/// Eyes above the ground, m.
pub const EYES_M: f64 = 1.6;
/// A flagstick is at least 7 ft (Equipment Rules, part 8 recommendation; memory, 80 %).
pub const FLAG_M: f64 = 2.1;
/// What is lower than this lies on the ground, m.
const LOW_M: f64 = 1.0;
/// Nearer than this two edges of sand are one, m; and so far inside the outline of what lies before
/// it something is hidden, degrees (practice).
const LIP_M: f64 = 3.0;
const CLEAR_DEG: f64 = 0.05;
/// Narrower than this, a thing is one point to aim at, degrees.
const WIDE_DEG: f64 = 1.0;
/// Narrower than this it cannot be made out, degrees.
const VISIBLE_DEG: f64 = 0.3;

/// What to aim at.
#[derive(Clone, Debug)]
pub struct Target {
    /// Where it is.
    pub at: Coord<f64>,
    /// From the peg, m.
    pub distance_m: f64,
    /// Right of the aim, degrees.
    pub right_deg: f64,
    /// In words, with an article where it needs one.
    pub words: String,
    /// True where it is a thing that can be seen.
    pub is_landmark: bool,
    /// True where it is the pin.
    pub is_pin: bool,
    /// The length in the words, where nothing can be seen and they measure one.
    pub measured: Option<Measured>,
}

/// A length beside a place: "7 yd" "in from" "the left edge of the fairway".
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// How far, m.
    pub length_m: f64,
    /// How it lies to the place: `in from`, `outside`, `left of` or `right of`.
    pub how: String,
    /// The place, with its article.
    pub of: String,
}

impl Measured {
    /// In a unit; nothing but the place where the length comes to none.
    #[must_use]
    pub fn in_words(&self, unit: LengthUnit) -> String {
        match whole(self.length_m, unit) {
            0 => self.of.clone(),
            _ => format!("{} {} {}", length(self.length_m, unit), self.how, self.of),
        }
    }
}

impl Target {
    /// The aim by it: "the lone tree", "9 left of the lone tree", "2 fingers left of the
    /// lone tree".
    #[must_use]
    pub fn in_words(&self, unit: LengthUnit) -> String {
        if !self.is_landmark {
            let measured = self.measured.as_ref();
            return measured.map_or_else(|| self.words.clone(), |measured| measured.in_words(unit));
        }
        // Beside something far off a length says little.
        let is_far = self.distance_m > TOO_FAR_M;
        if is_far && self.right_deg.abs() <= FAR_WITHIN_DEG {
            return self.words.clone();
        }
        if self.right_deg.abs() > WITHIN_DEG || is_far {
            let halves = (2.0 * self.right_deg.abs() / FINGER_DEG).round().max(1.0);
            let count = match (0.5 * halves).floor() {
                0.0 => "½".to_owned(),
                whole if halves % 2.0 == 1.0 => format!("{whole}½"),
                whole => format!("{whole}"),
            };
            let fingers = if halves > 2.0 { "fingers" } else { "finger" };
            let side = side(-self.right_deg);
            return format!("{count} {fingers} {side} of {}", self.words);
        }
        // How far the line passes beside the target, there.
        let beside_m = -self.distance_m * self.right_deg.to_radians().tan();
        let n = whole(beside_m, unit).abs();
        if self.right_deg.abs() <= ON_TARGET_DEG || n == 0 {
            return self.words.clone();
        }
        format!("{n} {} of {}", side(beside_m), self.words)
    }
}

/// The words of an aim after a verb: "at the lone tree", but "9 left of it" and "½ finger left of it".
pub(super) fn after_verb(words: &str) -> String {
    if words.starts_with(|c: char| c.is_ascii_digit() || c == '½') {
        words.to_owned()
    } else {
        format!("at {words}")
    }
}

/// Whether something low is seen over a nearer bunker, with which it makes one strip of sand.
fn is_behind_sand(things: &[Thing], peg: Coord<f64>, candidate: &Candidate) -> bool {
    let (far_m, at) = (distance_m(peg, candidate.at), candidate.at);
    let bearing = bearing_deg(peg, at);
    let is_before = |thing: &Thing| {
        thing.kind == Kind::Bunker
            && thing.distance_m(at) > LIP_M
            && thing.distance_m(peg) < far_m - LIP_M
            && silhouette(thing, peg, bearing).is_some_and(|seen| {
                let off_deg = |corner| turn_deg(bearing_deg(peg, corner) - bearing);
                off_deg(seen.left) < -CLEAR_DEG && off_deg(seen.right) > CLEAR_DEG
            })
    };
    candidate.height_m < LOW_M && things.iter().any(is_before)
}

struct Candidate {
    at: Coord<f64>,
    /// Above the ground where it stands, m.
    height_m: f64,
    /// Leaves this close to it are its own, m.
    own_m: f64,
    hard: f64,
    /// Whether it stands up and does not lie on the ground.
    stands: bool,
    words: String,
    is_pin: bool,
    /// Whether the round file names it: the player sees it.
    is_own: bool,
}

impl Candidate {
    /// Which of the kinds at the head of this module it is, from 1; none where it is no
    /// target.
    fn kind(&self, far_m: f64, right_deg: f64, landing_m: f64) -> Option<u8> {
        let is_near = far_m <= landing_m + PAST_LANDING_M;
        let off_deg = right_deg.abs();
        match (self.stands, is_near) {
            _ if self.is_own && off_deg <= FAR_WITHIN_DEG => Some(1),
            _ if self.is_own && off_deg <= WITHIN_DEG && far_m <= TOO_FAR_M => Some(1),
            (true, true) if off_deg <= WITHIN_DEG => Some(2),
            (true, is_near) if (is_near || self.is_own) && off_deg <= FINGERS_WITHIN_DEG => Some(3),
            (true, false) if off_deg <= WITHIN_DEG && far_m <= TOO_FAR_M => Some(4),
            (false, true) if off_deg <= WITHIN_DEG => Some(5),
            _ => None,
        }
    }
}

/// The target for an aim.
///
/// `landing_m` is how far the ball carries, `section` the fairway there if
/// there is one.
#[must_use]
pub fn choose(
    scene: &Scene<'_>,
    things: &[Thing],
    peg: Coord<f64>,
    aim_deg: f64,
    landing_m: f64,
    section: Option<&Section>,
    unit: LengthUnit,
) -> Target {
    let mut ranked: Vec<((u8, f64), f64, Candidate)> = candidates(scene, things, peg, aim_deg)
        .into_iter()
        .filter_map(|c| {
            let far = distance_m(peg, c.at);
            let right_deg = turn_deg(bearing_deg(peg, c.at) - aim_deg);
            if (far < 0.5 * landing_m && !c.is_own) || far < 30.0 {
                return None;
            }
            let kind = c.kind(far, right_deg, landing_m)?;
            let near = ((landing_m - far) / landing_m.max(1.0)).max(0.0);
            let beyond =
                ((far - 350.0) / 200.0).clamp(0.0, if c.is_own { 0.0 } else { f64::INFINITY });
            let score = right_deg.abs() + c.hard + near + beyond;
            Some(((kind, score), right_deg, c))
        })
        .collect();
    ranked.sort_by(|((a, of_a), _, c), ((b, of_b), _, d)| {
        a.cmp(b)
            .then(of_a.total_cmp(of_b))
            .then_with(|| c.words.cmp(&d.words))
    });
    ranked
        .into_iter()
        .find(|(_, _, c)| {
            c.is_own
                || in_sight(scene, peg, c.at, c.height_m, c.own_m)
                    && !is_behind_sand(things, peg, c)
        })
        .map_or_else(
            || measured(scene, peg, aim_deg, landing_m, section, unit),
            |(_, right_deg, c)| Target {
                at: c.at,
                distance_m: distance_m(peg, c.at),
                right_deg,
                words: c.words,
                is_landmark: true,
                is_pin: c.is_pin,
                measured: None,
            },
        )
}

/// True where a line from the player's eyes to a point `height_m` above the
/// ground at `at` meets neither ground nor leaves. Leaves within `own_m` of the
/// point belong to the thing itself. Between stem and crown something that stands up is seen, and
/// nothing that lies on the ground.
#[must_use]
pub fn in_sight(
    scene: &Scene<'_>,
    peg: Coord<f64>,
    at: Coord<f64>,
    height_m: f64,
    own_m: f64,
) -> bool {
    let eyes = (scene.height_m)(peg) + EYES_M;
    let top = (scene.height_m)(at) + height_m;
    let far = distance_m(peg, at);
    let bearing = bearing_deg(peg, at);
    let is_low = height_m < LOW_M;
    // The last 3 m of ground hide nothing: the lip of the thing itself.
    let mut ahead = 5.0;
    while ahead < far - 3.0 {
        let here = along(peg, bearing, ahead);
        let ground = (scene.height_m)(here);
        let sight = eyes + (top - eyes) * ahead / far;
        if ground > sight + 1.0e-9 {
            return false;
        }
        if far - ahead > own_m
            && let Some(leaves) = (scene.canopy)(here)
            && sight < ground + leaves.top_m
            && (is_low || sight > ground + leaves.base_m)
        {
            return false;
        }
        ahead += 1.0;
    }
    true
}

fn candidates(
    scene: &Scene<'_>,
    things: &[Thing],
    peg: Coord<f64>,
    aim_deg: f64,
) -> Vec<Candidate> {
    let mut list = vec![Candidate {
        at: scene.pin,
        height_m: FLAG_M,
        own_m: 0.0,
        hard: 0.0,
        stands: true,
        words: "the pin".into(),
        is_pin: true,
        is_own: false,
    }];
    list.extend(scene.targets.iter().map(|own| Candidate {
        at: own.at,
        height_m: FLAG_M,
        own_m: 0.0,
        hard: 0.0,
        stands: true,
        words: plain_name(Some(&own.name)).unwrap_or_else(|| "your target".into()),
        is_pin: false,
        is_own: true,
    }));
    // What a rule put there, or what belongs to another hole and has no name,
    // nobody could find.
    let known = |t: &&Thing| !t.assumed && (t.on_hole || t.named);
    for thing in things.iter().filter(known) {
        let the = thing.with_article();
        let mut add = |at: Coord<f64>, height_m: f64, own_m: f64, hard: f64, words: String| {
            let hard = if thing.named { 0.0 } else { hard };
            let stands = matches!(thing.kind, Kind::LoneTree | Kind::Trees | Kind::Bunker);
            list.push(Candidate {
                at,
                height_m,
                own_m,
                hard,
                stands,
                words,
                is_pin: false,
                is_own: false,
            });
        };
        let Some(seen) = silhouette(thing, peg, aim_deg) else {
            continue;
        };
        let wide = seen.wide_deg;
        let edges = [("left", seen.left), ("right", seen.right)];
        match thing.kind {
            Kind::OutOfBounds => {}
            Kind::LoneTree => {
                let own = thing.distance_m(peg) - distance_m(peg, thing.middle);
                add(thing.middle, 0.7 * thing.height_m, 2.0 - own, 0.2, the);
            }
            Kind::Trees => {
                // A tree of a row is not a wood, unless the map names it.
                if !thing.named && thing.height_m > 0.0 {
                    continue;
                }
                // A single tree with a name is a point, not a wood with ends.
                if thing.height_m > 0.0 {
                    let own = thing.distance_m(peg) - distance_m(peg, thing.middle);
                    add(thing.middle, 0.7 * thing.height_m, 2.0 - own, 0.0, the);
                    continue;
                }
                // The side a wood stands on ends it on the other.
                for (name, end) in edges {
                    let words = if (name == "right") == (thing.place.right_m < 0.0) {
                        format!("the end of {the}")
                    } else {
                        format!("the {name} edge of {the}")
                    };
                    if let Some(height_m) = tree_height_m(scene, thing, end) {
                        add(end, height_m, 20.0, 0.5, words);
                    }
                }
            }
            Kind::Bunker | Kind::PenaltyArea | Kind::Green => {
                if wide < VISIBLE_DEG {
                    continue;
                }
                let bunker = thing.kind == Kind::Bunker;
                if bunker && wide < WIDE_DEG {
                    add(thing.middle, 0.3, 0.0, 0.2, the);
                    continue;
                }
                let hard = match thing.kind {
                    Kind::Bunker => 0.2,
                    Kind::Green => 0.4,
                    _ => 0.7,
                };
                for (name, end) in edges {
                    add(end, 0.3, 0.0, hard, format!("the {name} edge of {the}"));
                }
                if bunker || (thing.named && wide < 6.0) {
                    add(thing.middle, 0.3, 0.0, 0.5, format!("the middle of {the}"));
                }
            }
        }
    }
    list
}

/// Two thirds up the leaves nearest to the end of a wood; none where other
/// ground is drawn over that end, so that no tree stands there.
fn tree_height_m(scene: &Scene<'_>, thing: &Thing, end: Coord<f64>) -> Option<f64> {
    let inside = along(end, bearing_deg(end, thing.middle), 3.0);
    (scene.canopy)(inside).map(|c| 0.7 * c.top_m)
}

/// A thing as it is seen.
pub(super) struct Silhouette {
    /// Its leftmost corner.
    pub(super) left: Coord<f64>,
    /// Its rightmost corner.
    pub(super) right: Coord<f64>,
    wide_deg: f64,
}

/// The leftmost and rightmost corners of a thing as seen along the aim;
/// none where nothing of it is in front.
pub(super) fn silhouette(thing: &Thing, peg: Coord<f64>, aim_deg: f64) -> Option<Silhouette> {
    let mut ends: Option<[(f64, Coord<f64>); 2]> = None;
    for corner in thing.outlines.iter().flat_map(|o| o.exterior().coords()) {
        let [ahead, right] = ahead_and_right(peg, aim_deg, *corner);
        if ahead < 1.0 {
            continue;
        }
        let angle = right.atan2(ahead).to_degrees();
        let e = ends.get_or_insert([(angle, *corner); 2]);
        if angle < e[0].0 {
            e[0] = (angle, *corner);
        }
        if angle > e[1].0 {
            e[1] = (angle, *corner);
        }
    }
    ends.map(|[l, r]| Silhouette {
        left: l.1,
        right: r.1,
        wide_deg: r.0 - l.0,
    })
}

/// Where nothing can be seen on the line: so far from the nearer edge of the
/// fairway where the ball lands, else from the line of play or the pin.
fn measured(
    scene: &Scene<'_>,
    peg: Coord<f64>,
    aim_deg: f64,
    landing_m: f64,
    section: Option<&Section>,
    unit: LengthUnit,
) -> Target {
    let mut at = along(peg, aim_deg, landing_m);
    let measured = if let Some(section) = section {
        let middle = section.right_of_centre_m(at);
        let half = section.width_m() / 2.0;
        let edge = if middle < 0.0 { "left" } else { "right" };
        let inside_m = half - middle.abs();
        Measured {
            length_m: round::metres(inside_m.abs()),
            how: if inside_m > 0.0 { "in from" } else { "outside" }.into(),
            of: format!("the {edge} edge of the fairway"),
        }
    } else if scene.par == 3 {
        at = along(peg, aim_deg, distance_m(peg, scene.pin));
        let right = ahead_and_right(peg, bearing_deg(peg, scene.pin), at)[1];
        beside(right, "the pin")
    } else {
        let right = line_at(scene, peg, landing_m).map_or(0.0, |(origin, bearing)| {
            ahead_and_right(origin, bearing, at)[1]
        });
        beside(right, "the line of play")
    };
    Target {
        at,
        distance_m: distance_m(peg, at),
        right_deg: 0.0,
        words: measured.in_words(unit),
        is_landmark: false,
        is_pin: false,
        measured: Some(measured),
    }
}

fn beside(right_m: f64, of: &str) -> Measured {
    Measured {
        length_m: round::metres(right_m.abs()),
        how: format!("{} of", side(right_m)),
        of: of.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::scene::tests::{flat, mirrored, rectangle};
    use super::super::things::things;
    use super::super::widths::section;
    use super::*;
    use crate::flight::Canopy;
    use crate::hole::{Patch, Surface, Tree};

    const STRAIGHT: [Coord<f64>; 2] = [Coord { x: 0.0, y: 0.0 }, Coord { x: 0.0, y: 400.0 }];
    const PEG: Coord<f64> = Coord { x: 0.0, y: 0.0 };

    /// What the round file names wins within 2° of the aim however far off it is, and far off the aim
    /// is fingers beside it.
    #[test]
    fn own_targets() {
        let pin = Coord { x: 0.0, y: 400.0 };
        let named = |name: &str, x: f64, y: f64| crate::hole::Target {
            name: name.into(),
            at: Coord { x, y },
        };
        let words = |targets: &[crate::hole::Target], aim_deg| {
            let scene = Scene {
                targets,
                ..Scene::new(4, &STRAIGHT, pin, &[], &[])
            };
            pick(&scene, aim_deg).in_words(LengthUnit::Yards)
        };
        let tower = [named("the church tower", 0.0, 3000.0)];
        assert_eq!(words(&tower, 0.0), "the church tower");
        assert_eq!(words(&tower, 0.4), "the church tower");
        assert_eq!(words(&tower, 1.2), "½ finger right of the church tower");
        assert_eq!(words(&tower, 1.6), "1 finger right of the church tower");
        assert_eq!(words(&tower, 2.9), "1½ fingers right of the church tower");
        assert_eq!(after_verb(&words(&tower, 1.2)), words(&tower, 1.2));
        assert_eq!(after_verb("the barn"), "at the barn");
        // Fingers beside it before the pin far past the landing; further off the pin.
        let barn = |x| [named("the barn", x, 400.0)];
        assert_eq!(words(&barn(30.0), 0.0), "2 fingers left of the barn");
        assert_eq!(words(&barn(60.0), 0.0), "the pin");
        assert_eq!(
            words(&[named("the barn", -30.0, 400.0)], -2.5),
            "1 finger right of the barn"
        );
    }

    fn pick(scene: &Scene<'_>, aim_deg: f64) -> Target {
        let cut = section(scene, PEG, 220.0, along(PEG, aim_deg, 220.0));
        let unit = LengthUnit::Yards;
        choose(
            scene,
            &things(scene),
            PEG,
            aim_deg,
            220.0,
            cut.as_ref(),
            unit,
        )
    }

    fn two_bunkers() -> Vec<Patch> {
        vec![
            rectangle(Surface::Fairway, "f", [-16.0, 16.0], [100.0, 380.0]),
            rectangle(Surface::Bunker, "a", [-30.0, -20.0], [180.0, 190.0]),
            rectangle(Surface::Bunker, "b", [4.0, 14.0], [270.0, 280.0]),
        ]
    }

    /// The right edge of the far bunker is its near right corner, 14 m right at
    /// 270 m: 2.968° right.
    #[test]
    fn right_edge_of_the_far_bunker() {
        let patches = two_bunkers();
        let target = pick(&flat(4, &STRAIGHT, &patches, &[]), 3.0);
        assert_eq!(target.words, "the right edge of the far bunker");
        assert!(target.is_landmark && !target.is_pin);
        assert!((target.at.x - 14.0).abs() < 1e-9 && (target.at.y - 270.0).abs() < 1e-9);
        assert!((target.right_deg - ((14.0_f64 / 270.0).atan().to_degrees() - 3.0)).abs() < 1e-9);
        let mirror: Vec<Patch> = patches.iter().map(mirrored).collect();
        let target = pick(&flat(4, &STRAIGHT, &mirror, &[]), 357.0);
        assert_eq!(target.words, "the left edge of the far bunker");
    }

    #[test]
    fn the_pin_wins_on_its_line() {
        let patches = two_bunkers();
        let line = [PEG, Coord { x: 0.0, y: 300.0 }];
        let target = pick(&flat(4, &line, &patches, &[]), 0.2);
        assert_eq!(target.words, "the pin");
        assert!(target.is_pin);
        // 180 m past the landing a flag is hard to see: a bunker's face goes first.
        let target = pick(&flat(4, &STRAIGHT, &patches, &[]), 0.2);
        assert_eq!(target.words, "the left edge of the far bunker");
    }

    /// 5° right of the aim, a bunker is two and a half fingers beside it: the aim is so
    /// far left of it.
    #[test]
    fn fingers_beside() {
        let patches = two_bunkers();
        let scene = flat(4, &STRAIGHT, &patches, &[]);
        let aim_deg = (14.0_f64 / 270.0).atan().to_degrees() + 5.0;
        let target = pick(&scene, aim_deg);
        let yards = |target: &Target| target.in_words(LengthUnit::Yards);
        assert_eq!(
            yards(&target),
            "2½ fingers right of the right edge of the far bunker"
        );
        let mirror: Vec<Patch> = patches.iter().map(mirrored).collect();
        let target = pick(&flat(4, &STRAIGHT, &mirror, &[]), 360.0 - aim_deg);
        assert_eq!(
            yards(&target),
            "2½ fingers left of the left edge of the far bunker"
        );
        let one = Target {
            right_deg: 1.0,
            ..target
        };
        assert_eq!(yards(&one), "5 left of the left edge of the far bunker");
    }

    /// Nothing in sight: so far from the edge of the fairway. 220 m at 4.5°
    /// left is 17.26 m left of the middle: 1.26 m outside, 1 yd; at 2.5°
    /// left 9.6 m: 6.4 m in from the left edge, 7 yd.
    #[test]
    fn so_far_from_the_edge() {
        let patches = &two_bunkers()[..1];
        let scene = flat(4, &STRAIGHT, patches, &[]);
        assert_eq!(
            pick(&scene, 357.5).words,
            "7 yd in from the left edge of the fairway"
        );
        // The same in metres, as the phone says it.
        assert_eq!(
            pick(&scene, 357.5).in_words(LengthUnit::Metres),
            "6 m in from the left edge of the fairway"
        );
        assert_eq!(
            pick(&scene, 355.5).words,
            "1 yd outside the left edge of the fairway"
        );
        assert_eq!(
            pick(&scene, 2.5).words,
            "7 yd in from the right edge of the fairway"
        );
        let bare = flat(4, &STRAIGHT, &[], &[]);
        let target = pick(&bare, 2.5);
        assert_eq!(target.words, "10 yd right of the line of play");
        assert!(!target.is_landmark);
    }

    /// A ridge 4 m high at 200 m hides what lies on the ground behind it and
    /// the flag too; leaves from the ground up do the same, leaves that begin
    /// above the line of sight do not.
    #[test]
    fn hidden() {
        let patches = two_bunkers();
        let scene = flat(4, &STRAIGHT, &patches, &[]);
        assert!(in_sight(&scene, PEG, scene.pin, FLAG_M, 0.0));
        let ridge = |c: Coord<f64>| (4.0 - (c.y - 200.0).abs() * 0.2).max(0.0);
        let hilly = Scene {
            height_m: &ridge,
            ..scene.clone()
        };
        assert!(!in_sight(&hilly, PEG, scene.pin, FLAG_M, 0.0));
        assert_eq!(
            pick(&hilly, 0.2).words,
            "17 yd in from the right edge of the fairway"
        );
        let leaves = |base_m: f64| {
            move |c: Coord<f64>| {
                ((195.0..205.0).contains(&c.y)).then_some(Canopy {
                    base_m,
                    top_m: 15.0,
                })
            }
        };
        let (low, high) = (leaves(0.5), leaves(3.0));
        let wooded = Scene {
            canopy: &low,
            ..scene.clone()
        };
        assert!(!in_sight(&wooded, PEG, scene.pin, FLAG_M, 0.0));
        let clear = Scene {
            canopy: &high,
            ..scene.clone()
        };
        assert!(in_sight(&clear, PEG, scene.pin, FLAG_M, 0.0));
    }

    /// A bunker 60 m behind another, in its middle as seen from the peg, is no mark; the end that
    /// stands out beside the nearer one is.
    #[test]
    fn sand_behind_sand() {
        let near = rectangle(Surface::Bunker, "n", [-2.0, 22.0], [200.0, 210.0]);
        let far = |east: [f64; 2]| rectangle(Surface::Bunker, "f", east, [270.0, 280.0]);
        let hidden = [near.clone(), far([4.0, 14.0])];
        let target = pick(&flat(4, &STRAIGHT, &hidden, &[]), 3.0);
        assert!(!target.words.contains("far bunker"), "{}", target.words);
        let beside = [near, far([4.0, 40.0])];
        let target = pick(&flat(4, &STRAIGHT, &beside, &[]), 8.4);
        assert_eq!(target.words, "the right edge of the far bunker");
    }

    #[test]
    fn lone_tree_and_wood() {
        let trees = [Tree {
            at: Coord { x: 20.0, y: 300.0 },
            height_m: 14.0,
            crown_m: 8.0,
            id: "t".into(),
            name: None,
        }];
        let crown = |c: Coord<f64>| {
            ((c.x - 20.0).hypot(c.y - 300.0) < 4.0).then_some(Canopy {
                base_m: 2.0,
                top_m: 14.0,
            })
        };
        let scene = Scene {
            canopy: &crown,
            ..flat(4, &STRAIGHT, &[], &trees)
        };
        assert_eq!(pick(&scene, 4.0).words, "the lone tree");
        let wood = [rectangle(
            Surface::Trees,
            "w",
            [-60.0, -20.0],
            [100.0, 260.0],
        )];
        let leaves = |c: Coord<f64>| {
            geo::Contains::contains(&wood[0].outline, &c).then_some(Canopy {
                base_m: 1.0,
                top_m: 12.0,
            })
        };
        let scene = Scene {
            canopy: &leaves,
            ..flat(4, &STRAIGHT, &wood, &[])
        };
        // The far corner, 20 m left at 260 m, 4.4° left, is the end of the wood.
        let target = pick(&scene, 356.0);
        assert_eq!(target.words, "the end of the wood");
        assert!((target.at.y - 260.0).abs() < 1e-9);
    }

    #[test]
    fn names_stand_as_they_are() {
        let mut patches = two_bunkers();
        patches[2].name = Some("Big Nell".into());
        let scene = flat(4, &STRAIGHT, &patches, &[]);
        assert_eq!(pick(&scene, 3.0).words, "the right edge of Big Nell");
    }

    #[test]
    fn par_three_without_a_view() {
        let line = [PEG, Coord { x: 0.0, y: 150.0 }];
        let wall = |c: Coord<f64>| {
            (40.0..60.0).contains(&c.y).then_some(Canopy {
                base_m: 0.0,
                top_m: 9.0,
            })
        };
        let scene = Scene {
            canopy: &wall,
            ..flat(3, &line, &[], &[])
        };
        let target = choose(
            &scene,
            &things(&scene),
            PEG,
            358.0,
            145.0,
            None,
            LengthUnit::Yards,
        );
        assert_eq!(target.words, "6 yd left of the pin");
        assert!(!target.is_landmark);
    }
}
