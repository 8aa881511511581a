//! What comes after the tee shot, measured; worded in `next_words`.

use geo::Coord;
use serde::Serialize;

use super::LonLat;
use super::landmark;
use super::next_words::words;
use super::round;
use super::scene::{Scene, bearing_deg, distance_m, turn_deg};
use super::sentence::{club, club_and_shape, length};
use super::things::{Thing, things};
use super::whole_hole::unit_of;
use super::why::is_tie;
use super::widths::section;
use crate::hole::plane::Plane;
use crate::hole::{Hole, Surface};
use crate::player::Player;
use crate::strategy::whole::continuation::{Continuation, Had, Misses};
use crate::strategy::whole::next_shot::{LAY_UPS, NextShotAdvice, NothingToChoose, OTHERS, manner};
use crate::strategy::whole::objective::Objective;
use crate::strategy::whole::problem::Problem;
use crate::strategy::whole::swing::Kind;
use crate::units::LengthUnit;

/// Sides that are nearer than this are no matter: strokes or points, a chance.
const NO_SIDE: f64 = 0.03;
const NO_SIDE_CHANCE: f64 = 0.01;

/// Why an objective has no say: [`NextFor::by_strokes`].
pub const OUT_OF_REACH: &str = "out of reach";
/// The same.
pub const ALL_THE_SAME: &str = "all the same";

/// What comes after the tee shot.
#[derive(Clone, Debug, Serialize)]
pub struct Next {
    /// From here: the middle of where the tee shot is played from next.
    pub from: LonLat,
    /// What lies there: `fairway`, `rough`, `bunker` or `trees`.
    pub lie: String,
    /// How far the pin is from where the usual ball ends, m.
    pub to_pin_m: f64,
    /// Whether the usual ball ends on the green, so that this is for balls that miss it.
    pub is_for_a_miss: bool,
    /// The shot to play.
    pub choice: NextShot,
    /// Its better miss.
    pub miss: Miss,
    /// The best with other clubs, best first.
    pub others: Vec<NextShot>,
    /// The best shots that leave some way, by how far, best first.
    pub lay_ups: Vec<NextShot>,
    /// In words, a line each.
    pub words: Vec<String>,
    /// For what it is where the tee was decided for an objective that looks at the
    /// score; absent for fewest strokes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub for_aim: Option<NextFor>,
}

/// The objective that what comes next is for: the choice, the side to miss on and
/// what is best first go by it.
#[derive(Clone, Debug, Serialize)]
pub struct NextFor {
    /// `par`, `no-double`, `points` or `match`.
    pub aim: String,
    /// What `worth` is: a `chance` or `points`.
    pub unit: String,
    /// Why all goes by strokes nevertheless: `out of reach` where as good as nothing of
    /// it is to be had from there, `all the same` where every shot has as much; else
    /// null.
    pub by_strokes: Option<String>,
    /// The shot for fewest strokes where that is another; else null.
    pub fewest_strokes: Option<NextShot>,
}

/// One way to play on.
#[derive(Clone, Debug, Serialize)]
pub struct NextShot {
    /// Club.
    pub club: String,
    /// Shape.
    pub shape: String,
    /// `full`, `held back`, `a partial swing` or `punched low`.
    pub swing: String,
    /// True bearing of the set-up, degrees.
    pub bearing_deg: f64,
    /// That, right of the pin, degrees.
    pub from_pin_deg: f64,
    /// What to set up at, in words.
    pub words: String,
    /// Where it finishes on average.
    pub rest: LonLat,
    /// How far that is, m.
    pub total_m: f64,
    /// Average way left to the pin, m.
    pub left_m: f64,
    /// Whether it is meant for the green.
    pub at_green: bool,
    /// Share of balls on the green.
    pub on_green: f64,
    /// Strokes to hole out, this one included.
    pub strokes: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// Strokes more than the best, on the same balls.
    pub costs: f64,
    /// Standard error of that.
    pub costs_standard_error: f64,
    /// What is to be had with it of what the tee was decided for; absent for fewest
    /// strokes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_aim: Option<ByAim>,
}

/// What is to be had with a shot, a chance or points, when what follows is played for
/// that too.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct ByAim {
    /// How much of it.
    pub worth: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// How much less than with the choice, on the same balls.
    pub costs: f64,
    /// Standard error of that.
    pub costs_standard_error: f64,
}

/// The side to miss on.
#[derive(Clone, Debug, Serialize)]
pub struct Miss {
    /// `left`, `right` or `either`.
    pub side: String,
    /// Strokes to hole out of the half of the balls that finishes left; or, where the
    /// choice goes by an objective, what that half has of it.
    pub left: f64,
    /// Of the half that finishes right.
    pub right: f64,
    /// Standard error of the difference.
    pub standard_error: f64,
}

/// The next shot for the plan file, and for what it is; with it where the usual ball
/// ends.
#[must_use]
pub fn next(
    (way, ends): (&NextShotAdvice, Coord<f64>),
    aim: &Objective,
    hole: &Hole,
    player: &Player,
    problem: &Problem,
    unit: LengthUnit,
) -> Next {
    let plane = Plane::new(hole.origin_lon_lat);
    let height = |c: Coord<f64>| hole.ground().height_m(c.x, c.y);
    let canopy = |c: Coord<f64>| hole.canopy_at(c.x, c.y);
    let to_lon_lat = |c: Coord<f64>| plane.to_lon_lat(c);
    let scene = Scene {
        height_m: &height,
        canopy: &canopy,
        to_lon_lat: &to_lon_lat,
        targets: &hole.targets,
        ..Scene::new(
            hole.par,
            &hole.line_of_play,
            hole.pin,
            &hole.patches,
            &hole.trees,
        )
    };
    let spot = Spot {
        advice: way,
        seen: things(&scene),
        scene: &scene,
        plane: &plane,
        player,
        problem,
        unit,
    };
    let for_aim = spot.for_aim(aim);
    let mut next = Next {
        from: spot.lon_lat(way.from),
        lie: lie(way.surface).into(),
        to_pin_m: round::metres(distance_m(ends, hole.pin)),
        is_for_a_miss: scene.surface_at(ends) == Surface::Green,
        choice: spot.shot(&way.choice),
        miss: miss(&way.misses, for_aim.as_ref()),
        others: spot.shots(way.others.iter().take(OTHERS)),
        lay_ups: spot.shots(way.lay_ups.iter().take(LAY_UPS)),
        words: Vec::new(),
        for_aim,
    };
    next.words = words(&next, way.choice.lost, hole.par, unit);
    next
}

/// The spot that is played from next, on its hole.
struct Spot<'a> {
    advice: &'a NextShotAdvice,
    scene: &'a Scene<'a>,
    /// Everything on the hole that can be aimed at.
    seen: Vec<Thing>,
    plane: &'a Plane,
    player: &'a Player,
    problem: &'a Problem,
    unit: LengthUnit,
}

impl Spot<'_> {
    fn lon_lat(&self, at: Coord<f64>) -> LonLat {
        let [lon, lat] = self.plane.to_lon_lat(at);
        LonLat {
            lon: round::lon_lat(lon),
            lat: round::lon_lat(lat),
        }
    }

    fn shots<'b>(&self, continuations: impl Iterator<Item = &'b Continuation>) -> Vec<NextShot> {
        continuations.map(|each| self.shot(each)).collect()
    }

    fn shot(&self, continuation: &Continuation) -> NextShot {
        let swing = &self.problem.swings[usize::from(continuation.action.swing)];
        let (club, shape) = self
            .player
            .clubs
            .get(swing.club)
            .map_or(("", ""), |c| (c.club.as_str(), c.shape.as_str()));
        let pin_deg = bearing_deg(self.advice.from, self.scene.pin);
        let from_pin_deg = turn_deg(continuation.aim_deg - pin_deg);
        NextShot {
            club: club.into(),
            shape: shape.into(),
            swing: match swing.kind {
                Kind::Full => "full".into(),
                kind => manner(kind).into(),
            },
            bearing_deg: round::bearing(continuation.aim_deg),
            from_pin_deg: round::degrees(from_pin_deg),
            words: self.target(continuation, from_pin_deg),
            rest: self.lon_lat(continuation.rest),
            total_m: round::metres(continuation.total_m),
            left_m: round::metres(continuation.left_m),
            at_green: continuation.goes_for_green(),
            on_green: round::strokes(continuation.on_green),
            strokes: round::strokes(continuation.strokes),
            standard_error: round::strokes(continuation.standard_error),
            costs: round::strokes(continuation.costs),
            costs_standard_error: round::strokes(continuation.costs_standard_error),
            by_aim: continuation.by_aim.as_ref().map(ByAim::of),
        }
    }

    /// What to aim at, in words: beside the pin where the ball may get there, else something that
    /// is seen.
    fn target(&self, continuation: &Continuation, from_pin_deg: f64) -> String {
        let (advice, scene, unit) = (self.advice, self.scene, self.unit);
        if continuation.goes_for_green() || advice.to_pin_m < continuation.total_m + 15.0 {
            let beside = distance_m(advice.from, scene.pin) * from_pin_deg.to_radians().tan();
            return beside_pin(beside, unit);
        }
        let carry_m = continuation.carry_m;
        let cut = section(scene, advice.from, carry_m, continuation.landing);
        landmark::choose(
            scene,
            &self.seen,
            advice.from,
            continuation.aim_deg,
            carry_m,
            cut.as_ref(),
            unit,
        )
        .in_words(unit)
    }

    fn for_aim(&self, aim: &Objective) -> Option<NextFor> {
        let by = self.advice.for_aim.as_ref()?;
        let by_strokes = by.by_strokes.map(|why| match why {
            NothingToChoose::OutOfReach => OUT_OF_REACH,
            NothingToChoose::AllTheSame => ALL_THE_SAME,
        });
        Some(NextFor {
            aim: aim.key().into(),
            unit: unit_of(aim).into(),
            by_strokes: by_strokes.map(Into::into),
            fewest_strokes: by.fewest_strokes.as_ref().map(|shot| self.shot(shot)),
        })
    }
}

impl ByAim {
    fn of(had: &Had) -> Self {
        Self {
            worth: round::strokes(had.worth),
            standard_error: round::strokes(had.standard_error),
            costs: round::strokes(had.costs),
            costs_standard_error: round::strokes(had.costs_standard_error),
        }
    }
}

fn lie(surface: Surface) -> &'static str {
    match surface {
        Surface::Bunker => "bunker",
        Surface::Trees => "trees",
        Surface::Rough => "rough",
        _ => "fairway",
    }
}

/// The side to miss on: by the objective where it has a say, else by strokes.
fn miss(misses: &Misses, for_aim: Option<&NextFor>) -> Miss {
    let apart = misses.left - misses.right;
    // Of an objective more is better, of strokes less.
    let by_aim = for_aim.filter(|by| by.by_strokes.is_none());
    let no_side = match by_aim {
        Some(by) if by.unit == "chance" => NO_SIDE_CHANCE,
        _ => NO_SIDE,
    };
    let side = if is_tie(apart, misses.standard_error) || apart.abs() < no_side {
        "either"
    } else if (apart < 0.0) != by_aim.is_some() {
        "left"
    } else {
        "right"
    };
    Miss {
        side: side.into(),
        left: round::strokes(misses.left),
        right: round::strokes(misses.right),
        standard_error: round::strokes(misses.standard_error),
    }
}

/// "at the pin", "6 yd right of the pin".
fn beside_pin(right_m: f64, unit: LengthUnit) -> String {
    if unit.of(right_m).abs() < 0.5 {
        "the pin".into()
    } else {
        format!(
            "{} {} of the pin",
            length(right_m, unit),
            super::sentence::side(right_m)
        )
    }
}

/// A part swing that goes less far than this is a chip, m (practice).
const CHIP_M: f64 = 25.0;

/// "7-iron, your draw", "7-iron, three-quarter", "sand wedge, a pitch".
#[must_use]
pub fn named(shot: &NextShot) -> String {
    let manner = match shot.swing.as_str() {
        "full" => return club_and_shape(&shot.club, &shot.shape),
        // A partial or low swing has not the full one's shape.
        "held back" => "three-quarter",
        "a partial swing" if shot.total_m < CHIP_M => "a chip",
        "a partial swing" => "a pitch",
        manner => manner,
    };
    format!("{}, {manner}", club(&shot.club))
}

/// Whether what comes next is for fewest strokes though the tee was decided for something
/// else.
#[must_use]
pub fn by_strokes(next: &Next) -> bool {
    let by = next.for_aim.as_ref();
    by.is_some_and(|by| by.by_strokes.is_some())
}
