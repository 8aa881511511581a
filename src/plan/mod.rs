//! The finished, serialisable result: what to do on one tee, and why.
//!
//! Everything the drawing and the report need stands here; neither computes
//! strategy. The JSON Schema of the plan file is `src/plan/plan.schema.json`.
//! Positions are WGS 84 longitude and latitude in degrees; angles are degrees,
//! clockwise, right positive; lengths are metres.
//!
//! # To price a plan without this program
//! 1. **Launches.** Draw them from the club's pattern as the head of
//!    [`player::file`](crate::player::file) says, widened by `player.course_play`.
//! 2. **Wind.** Each ball meets one wind for its whole flight: along the mean wind
//!    `wind_m_s (1 + gust_along_share z₁)`, across it `wind_m_s gust_across_share z₂`, with z₁ and z₂
//!    independent standard normals; a calm day has none. At the height h above the tee it
//!    blows by the share `ln(h/r)/ln(10 m/r)`, r the roughness, with h at least `lowest_wind_m`.
//! 3. **Flight.** Gravity 9.80665 m/s²; drag and lift of [`flight::ball`](crate::flight::ball) times their
//!    factors, at the density and viscosity given; a fixed axis of spin; spin decay of the same page.
//! 4. **Ground.** Bounce and roll by [`flight::bounce`](crate::flight::bounce) and its numbers of each turf
//!    and firmness; across the fringe and the first cut they change in even steps ([`Footing`](crate::flight::Footing)).
//! 5. **Strokes.** `whole_hole` by the player's own game from every place; the rest by the published
//!    table at the player's level ([`strategy::finish`](crate::strategy::finish)).
//!
//! Where the model stops, the head of [`flight`](crate::flight) says.

pub mod assemble;
pub mod bag;
pub mod bend;
pub mod card;
pub mod carries;
pub mod cautions;
mod corridor;
pub mod course;
pub mod hundred;
pub mod landmark;
pub mod landscape;
pub mod named_thing;
pub mod next;
mod next_words;
pub mod not_reached;
pub mod other_way;
pub mod own_shot;
pub mod own_target;
pub mod region;
pub mod robust;
pub(crate) mod round;
pub mod scene;
pub mod sentence;
pub mod set_up;
pub(crate) mod spoken;
pub mod things;
pub mod verified;
pub mod what_if;
pub mod whole_hole;
pub mod why;
pub mod widths;
pub mod wind;

pub use crate::outcome::Finish;
pub use assemble::assemble;
pub use set_up::{BallForward, SetUp};

use serde::Serialize;

use crate::flight::Turf;
use crate::flight::air::{ACROSS_SHARE, LOWEST_WIND_M};
use crate::flight::bounce::Ground;
use crate::hole::{FRINGE_M, PinFrom};
use crate::outcome::Day;
use crate::player::{ClubShape, CoursePlay, Handedness};
use crate::units::LengthUnit;

/// The JSON Schema (2020-12) of the plan file.
pub const SCHEMA: &str = include_str!("plan.schema.json");

/// A plan for one tee of one hole.
#[derive(Clone, Debug, Serialize)]
pub struct Plan {
    /// Format version of the plan file.
    pub format: u32,
    /// The hole.
    pub hole: HoleFacts,
    /// The day, as planned for.
    pub conditions: Conditions,
    /// The player.
    pub player: PlayerFacts,
    /// What to do.
    pub choice: Choice,
    /// How to set up for it.
    pub set_up: SetUp,
    /// The best of every other club and shape, best first.
    pub alternatives: Vec<Alternative>,
    /// Named aims, with the chosen club and peg: what they would cost.
    pub comparisons: Vec<Comparison>,
    /// Hazards along the way: to reach and to clear, from the chosen peg.
    pub carries: Vec<Carry>,
    /// Fairway width where the ball lands and around.
    pub widths: Vec<Width>,
    /// Where balls finish, from the chosen shot.
    pub finishes: Finishes,
    /// The whole hole by the player's own game; null where the tee was decided
    /// by the published table.
    pub whole_hole: Option<whole_hole::WholeHole>,
    /// How the figures were held to rollouts; null where the hole was not solved.
    pub verified: Option<verified::Verified>,
    /// Whether the choice holds however the player scatters, by play; null where the hole was not solved,
    /// where the tee was not decided for fewest strokes, and where `what_if` tells it.
    pub robust: Option<robust::Robust>,
    /// The same tee in other winds and to other pins, where that was asked for.
    pub what_if: Vec<what_if::WhatIf>,
    /// Tee shots of the player's choosing, in the order asked for.
    pub own_shots: Vec<own_shot::OwnShot>,
    /// Strokes still to play over the ground, where that was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub landscape: Option<landscape::Landscape>,
    /// The player's own words for the shot, where this is such a shot and not a plan.
    #[serde(skip)]
    pub asked: Option<String>,
    /// The words.
    pub words: Words,
    /// What the map does not say and a rule had to, in a few words each: `par`, `tree heights`, ….
    pub assumed: Vec<String>,
    /// Inputs that look wrong and may be right, in full: shown before all else.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub check_first: Vec<String>,
    /// What was assumed, skipped or is uncertain, in full.
    pub notes: Vec<String>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// The hole, as planned.
#[derive(Clone, Debug, Serialize)]
pub struct HoleFacts {
    /// The hole's `ref`.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Its name, if any.
    pub name: Option<String>,
    /// Par.
    pub par: u8,
    /// Length from the chosen tee along the line of play, m.
    pub length_m: f64,
    /// The tee's colour, if known.
    pub tee_colour: Option<String>,
    /// True where the teeing area was put by rule and not by tee-markers.
    pub teeing_area_assumed: bool,
    /// Width of the teeing area, m.
    pub teeing_width_m: f64,
    /// Depth of the teeing area, m.
    pub teeing_depth_m: f64,
    /// Left and right marker.
    pub markers: [LonLat; 2],
    /// Pin.
    pub pin: LonLat,
    /// Who says so.
    pub pin_from: PinFrom,
    /// Bearing of the line of play off the tee, degrees.
    pub line_of_play_deg: f64,
}

/// A place on the earth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LonLat {
    /// Longitude, degrees east.
    pub lon: f64,
    /// Latitude, degrees north.
    pub lat: f64,
}

/// The day, as planned for.
#[derive(Clone, Debug, Serialize)]
pub struct Conditions {
    /// Wind at 10 m, m/s.
    pub wind_m_s: f64,
    /// True bearing it blows from, degrees.
    pub wind_from_deg: f64,
    /// Air temperature, °C.
    pub temperature_c: f64,
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
    /// Altitude above sea level, m.
    pub altitude_m: f64,
    /// Density of the air, kg/m³.
    pub density_kg_m3: f64,
    /// `soft`, `medium` or `firm`.
    pub firmness: String,
    /// Seed of the random points.
    pub seed: u32,
    /// Balls flown for the chosen shot.
    pub balls: usize,
    /// What the model of flight and ground takes beside these.
    pub model: ModelFacts,
}

/// What the model of flight and ground takes of a day beside the weather.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct ModelFacts {
    /// Standard deviation of the wind that one ball meets along the mean wind, as a share of it.
    pub gust_along_share: f64,
    /// The same across the mean wind.
    pub gust_across_share: f64,
    /// Roughness length of the ground in the wind's log law, m.
    pub roughness_m: f64,
    /// Below this height above the tee the wind is what it is there, m.
    pub lowest_wind_m: f64,
    /// Dynamic viscosity of the air, Pa s.
    pub viscosity_pa_s: f64,
    /// Factor on the ball's drag, from the player's own carries.
    pub drag_factor: f64,
    /// The same on its lift.
    pub lift_factor: f64,
    /// Deceleration of a ball that rolls on the green, m/s².
    pub green_m_s2: f64,
    /// The same on fairway.
    pub fairway_m_s2: f64,
    /// The same in rough.
    pub rough_m_s2: f64,
    /// Width of the fringe and of the first cut, over which turf changes, m.
    pub fringe_m: f64,
}

impl ModelFacts {
    /// Those of a day.
    #[must_use]
    pub fn of(day: &Day) -> Self {
        let slows = |turf| Ground::of(turf, day.firmness).deceleration_m_s2;
        Self {
            gust_along_share: day.wind.gust_share,
            gust_across_share: ACROSS_SHARE * day.wind.gust_share,
            roughness_m: day.air.roughness_m,
            lowest_wind_m: LOWEST_WIND_M,
            viscosity_pa_s: day.air.viscosity_pa_s,
            drag_factor: day.ball.drag_factor,
            lift_factor: day.ball.lift_factor,
            green_m_s2: slows(Turf::Green),
            fairway_m_s2: slows(Turf::Fairway),
            rough_m_s2: slows(Turf::Rough),
            fringe_m: FRINGE_M,
        }
    }
}

/// The player, as planned for.
#[derive(Clone, Debug, Serialize)]
pub struct PlayerFacts {
    /// Name, if the player file gives one.
    pub name: String,
    /// `right` or `left`.
    pub handedness: String,
    /// Handicap Index.
    pub handicap: f64,
    /// Club-length, m.
    pub club_length_m: f64,
    /// How launches differ from the player's patterns, which are of a range.
    pub course_play: CoursePlay,
}

impl PlayerFacts {
    /// Which way the player stands.
    #[must_use]
    pub fn hand(&self) -> Handedness {
        match self.handedness.as_str() {
            "left" => Handedness::Left,
            _ => Handedness::Right,
        }
    }
}

/// A peg in the teeing area.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Peg {
    /// From the left marker's outside point, along the front line, m.
    pub from_left_marker_m: f64,
    /// Behind the front line, m.
    pub behind_front_m: f64,
    /// Longitude, degrees.
    pub lon: f64,
    /// Latitude, degrees.
    pub lat: f64,
}

/// The line the set-up points along, and the thing it points at.
#[derive(Clone, Debug, Serialize)]
pub struct Aim {
    /// True bearing, degrees.
    pub bearing_deg: f64,
    /// Right of the line of play off the tee, degrees.
    pub from_line_of_play_deg: f64,
    /// Target: longitude, degrees.
    pub lon: f64,
    /// Target: latitude, degrees.
    pub lat: f64,
    /// How far the target is from the peg, m.
    pub distance_m: f64,
    /// The target in words: "the right edge of the far bunker".
    pub words: String,
    /// True where the target is a thing that can be seen; false where it is
    /// so far from an edge.
    pub is_landmark: bool,
    /// The length that the words measure, where they measure one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured: Option<landmark::Measured>,
    /// The target, right of the line the set-up points along, degrees; at most
    /// 6 either way.
    pub target_right_deg: f64,
    /// The line the set-up points along, right of `centre`, m, where the ball
    /// lands (at the pin where `centre` is the pin).
    pub right_of_centre_m: f64,
    /// What that is counted from: `fairway` (its middle), `pin` or `line of play`.
    pub centre: String,
}

impl Aim {
    /// The aim off the middle in a table: "12 right", "middle", "pin".
    #[must_use]
    pub fn short(&self, unit: LengthUnit) -> String {
        let right_m = self.right_of_centre_m;
        match (sentence::whole(right_m, unit), self.centre.as_str()) {
            (0, "pin") => "pin".to_owned(),
            (0, "fairway") => "middle".to_owned(),
            (0, _) => "straight".to_owned(),
            (off, _) => format!("{} {}", off.abs(), sentence::side(right_m)),
        }
    }
}

/// A direction off the tee.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Line {
    /// True bearing, degrees.
    pub bearing_deg: f64,
    /// Right of the line of play off the tee, degrees.
    pub from_line_of_play_deg: f64,
}

/// A swing with less than the full ball speed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PartSwing {
    /// Share of the full swing's ball speed.
    pub share: f64,
    /// What it usually carries, in calm air, m.
    pub carry_m: f64,
}

impl PartSwing {
    /// Of an entry of the player's clubs; none of a full swing.
    #[must_use]
    pub fn of(club: &ClubShape) -> Option<Self> {
        club.part_share.map(|share| Self {
            share: round::strokes(share),
            carry_m: round::metres(club.carry_m),
        })
    }
}

/// One shot off the tee and what it is worth.
#[derive(Clone, Debug, Serialize)]
pub struct Shot {
    /// Club.
    pub club: String,
    /// Shape.
    pub shape: String,
    /// How much of a swing, where it is not a full one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part_swing: Option<PartSwing>,
    /// Where to peg it.
    pub tee: Peg,
    /// Where the set-up points.
    pub aim: Aim,
    /// Where the usual ball starts: the median of sound strikes, here and below; mishits and balls
    /// that a tree stops are left out.
    pub start_line: Line,
    /// How far the usual ball bends, right positive, m, from the start line until it lands.
    pub curve_m: f64,
    /// Usual carry, m.
    pub carry_m: f64,
    /// Usual distance to where it comes to rest, m.
    pub total_m: f64,
    /// Where the usual ball comes to rest.
    pub rest: LonLat,
    /// That, right of `rest_centre`, m.
    pub rest_right_of_centre_m: f64,
    /// What that is counted from: `fairway` (its middle), `pin` or `line of play`.
    pub rest_centre: String,
    /// Expected strokes to hole out from this tee.
    pub expected_strokes: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// What happens how often.
    pub finish: Finish,
    /// How many logged shots the club's pattern rests on.
    pub shots_logged: usize,
}

impl Shot {
    /// Club and shape, or how much of a swing, as spoken.
    #[must_use]
    pub fn name(&self, unit: LengthUnit) -> String {
        sentence::shot_name(&self.club, &self.shape, self.part_swing, unit)
    }

    /// The shape as logged; of a part swing how far it carries.
    #[must_use]
    pub fn manner(&self, unit: LengthUnit) -> String {
        let part = self.part_swing.map(|part| sentence::part_swing(part, unit));
        part.unwrap_or_else(|| self.shape.clone())
    }

    /// Whether another shot is the same swing with the same club.
    #[must_use]
    pub fn is_same_swing(&self, other: &Self) -> bool {
        (&self.club, &self.shape, self.part_swing) == (&other.club, &other.shape, other.part_swing)
    }
}

/// A shot that costs more than this is listed only among the first so many, strokes (practice).
const DEAR: f64 = 0.5;
const ALWAYS_LISTED: usize = 2;
/// So many part swings with one club are told beside the choice; they differ by little.
const PART_SWINGS_LISTED: usize = 2;

impl Plan {
    /// The sentence to hit from.
    #[must_use]
    pub fn sentence(&self) -> &str {
        &self.words.sentence
    }

    /// The tee shot's name: "driver, your draw", or "driver, two-way" where neither way is its
    /// shape.
    #[must_use]
    pub fn tee_shot_name(&self) -> String {
        let shot = &self.choice.shot;
        if self.choice.is_two_way && shot.part_swing.is_none() {
            format!("{}, two-way", sentence::club(&shot.club))
        } else {
            shot.name(self.unit())
        }
    }

    /// The alternatives that pages tell, best first: all but further part swings with the
    /// same club, and shots that nobody would hit.
    pub fn listed_alternatives(&self) -> impl Iterator<Item = &Alternative> {
        self.alternatives.iter().enumerate().filter_map(|(at, a)| {
            let alike =
                |b: &&Alternative| b.shot.part_swing.is_some() && b.shot.club == a.shot.club;
            let before = self.alternatives[..at].iter().filter(alike).count();
            let is_near = a.costs <= DEAR || at < ALWAYS_LISTED;
            let is_listed = is_near && (a.shot.part_swing.is_none() || before < PART_SWINGS_LISTED);
            is_listed.then_some(a)
        })
    }

    /// The unit that lengths are spoken in.
    #[must_use]
    pub fn unit(&self) -> LengthUnit {
        if self.words.unit == LengthUnit::Metres.name() {
            LengthUnit::Metres
        } else {
            LengthUnit::Yards
        }
    }
}

/// The shot to hit.
#[derive(Clone, Debug, Serialize)]
pub struct Choice {
    /// The shot.
    #[serde(flatten)]
    pub shot: Shot,
    /// Every aim between these two, degrees right of the line of play, is
    /// within 0.02 strokes of the best.
    pub aim_window_deg: [f64; 2],
    /// Costs of aims beside the choice's, from left to right; the choice's own is among them.
    pub aim_costs: Vec<AimCost>,
    /// Shares of balls that bend left and right of their own start line.
    pub two_way_miss: TwoWay,
    /// Whether the club goes either way, so that neither is its shape.
    pub is_two_way: bool,
    /// Options whose difference from the choice is within noise.
    pub ties: Vec<String>,
}

/// The same shot with another aim.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct AimCost {
    /// Degrees right of the line of play.
    pub aim_deg: f64,
    /// Strokes more than the choice, on the same balls.
    pub costs: f64,
    /// Standard error of that difference.
    pub costs_standard_error: f64,
}

/// Shares of balls bending each way; they add to 1.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct TwoWay {
    /// Bending left.
    pub left: f64,
    /// Bending right.
    pub right: f64,
}

/// The best shot with another club or shape.
#[derive(Clone, Debug, Serialize)]
pub struct Alternative {
    /// The shot.
    #[serde(flatten)]
    pub shot: Shot,
    /// Strokes more than the choice, on the same balls.
    pub costs: f64,
    /// Standard error of that difference.
    pub costs_standard_error: f64,
}

/// A named aim, beside the choice.
#[derive(Clone, Debug, Serialize)]
pub struct Comparison {
    /// `down the middle` or `aiming off half your bend`.
    pub name: String,
    /// The shot.
    #[serde(flatten)]
    pub shot: Shot,
    /// Strokes more than the choice, on the same balls.
    pub costs: f64,
    /// Standard error of that difference.
    pub costs_standard_error: f64,
    /// The choice's hundred balls, with this aim.
    pub hundred: hundred::Hundred,
}

/// A hazard along the way.
#[derive(Clone, Debug, Serialize)]
pub struct Carry {
    /// What it is, in words: "right bunker", "water", or its name.
    pub words: String,
    /// `bunker`, `penalty_area`, `trees` or `out_of_bounds`.
    pub kind: String,
    /// From the peg to its near edge along the ball's line, m; of what lies beside the
    /// line to where it begins.
    pub reach_m: f64,
    /// From the peg to clear its far edge, m; of what lies beside the line to where it
    /// ends.
    pub clear_m: f64,
    /// Whether the ball's line crosses it.
    pub is_crossed: bool,
    /// The point that `reach_m` measures to.
    pub reach: LonLat,
    /// The point that `clear_m` measures to.
    pub clear: LonLat,
    /// Its point nearest to where the usual ball ends.
    pub nearest: LonLat,
    /// Nearest distance left (negative) or right of the ball's own line, m.
    pub offset_m: f64,
    /// Share of balls that finish in it.
    pub share: f64,
    /// The same of those that finish left of the ball's own line.
    pub share_left: f64,
    /// The same of those that finish short of where the usual ball does.
    pub share_short: f64,
    /// True where it goes on further than any ball: `clear_m` is then only how
    /// far was looked.
    pub goes_on: bool,
}

/// What begins nearer to the peg than this and goes on runs along the whole hole, m.
const ALL_THE_WAY_M: f64 = 40.0;

/// What ends nearer to the peg than this has no near edge that a ball could stop before, m.
const AT_THE_TEE_M: f64 = 15.0;

impl Carry {
    /// Whether the usual ball's line, as far as it ends, meets it.
    #[must_use]
    pub fn is_reached(&self, total_m: f64) -> bool {
        self.is_crossed && self.reach_m <= total_m
    }

    /// Where it lies, from the peg: "238–242", "carry 230", "to 90", "315 on", "all the
    /// way"; one number where both ends are the same.
    #[must_use]
    pub fn stretch(&self, unit: LengthUnit) -> String {
        let [near, far] = [self.reach_m, self.clear_m].map(|m| sentence::whole(m, unit));
        if self.goes_on && self.reach_m < ALL_THE_WAY_M {
            "all the way".into()
        } else if self.goes_on {
            format!("{near} on")
        } else if self.reach_m < AT_THE_TEE_M {
            let verb = if self.is_crossed { "carry" } else { "to" };
            format!("{verb} {far}")
        } else if near == far {
            format!("{near}")
        } else {
            format!("{near}–{far}")
        }
    }
}

/// Fairway width at one distance.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Width {
    /// Which distance this is: `landing`, 20 m `short` of it, 20 m `long` of
    /// it, or where balls `finish`.
    pub place: &'static str,
    /// From the peg, m.
    pub distance_m: f64,
    /// Left edge of the fairway.
    pub left: LonLat,
    /// Right edge.
    pub right: LonLat,
    /// Width square to the line of play there, m.
    pub width_m: f64,
}

/// Where balls finish.
#[derive(Clone, Debug, Serialize)]
pub struct Finishes {
    /// Rings around the densest half of all balls.
    pub half: Vec<Vec<LonLat>>,
    /// Rings around the densest 90 of 100.
    pub ninety: Vec<Vec<LonLat>>,
    /// A sample of balls to draw, at most 200.
    pub balls: Vec<LonLat>,
    /// The ball's typical flight over the ground, tee first.
    pub flight: Vec<LonLat>,
    /// Height of that flight above the tee at the same points, m.
    pub flight_height_m: Vec<f64>,
    /// How many points of `flight` are in the air; the rest is bounce and roll.
    pub flight_airborne: usize,
    /// A hundred balls, and what each ends in.
    pub hundred: hundred::Hundred,
    /// The usual balls beside this one, of a player who goes either way.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub other_ways: Vec<other_way::OtherWay>,
}

/// What to say.
#[derive(Clone, Debug, Serialize)]
pub struct Words {
    /// One sentence to hit from.
    pub sentence: String,
    /// What it costs to do otherwise, a line each.
    pub why: Vec<String>,
    /// Where the usual ball ends if it leaves the hole, "on another hole's fairway"; else empty.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub leaves: String,
    /// The player's own words for the hole, if any.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// The unit lengths are spoken in: `yd` or `m`.
    pub unit: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_a_hazard_lies() {
        let at = LonLat { lon: 0.0, lat: 0.0 };
        let bounds = Carry {
            words: "out of bounds on the left".into(),
            kind: "out_of_bounds".into(),
            reach_m: 0.0,
            clear_m: 330.0,
            reach: at,
            clear: at,
            nearest: at,
            is_crossed: false,
            offset_m: -20.0,
            share: 0.01,
            share_left: 0.0,
            share_short: 0.0,
            goes_on: true,
        };
        let told = |reach_m: f64, clear_m: f64, goes_on: bool, is_crossed: bool| {
            let carry = Carry {
                reach_m,
                clear_m,
                goes_on,
                is_crossed,
                ..bounds.clone()
            };
            [LengthUnit::Yards, LengthUnit::Metres].map(|unit| carry.stretch(unit))
        };
        assert_eq!(
            told(0.0, 330.0, true, false),
            ["all the way", "all the way"]
        );
        assert_eq!(told(288.0, 330.0, true, false), ["315 on", "288 on"]);
        assert_eq!(told(142.6, 142.9, false, false), ["156", "143"]);
        assert_eq!(told(0.0, 90.0, false, true), ["carry 98", "carry 90"]);
        assert_eq!(told(0.0, 90.0, false, false), ["to 98", "to 90"]);
        assert_eq!(told(190.0, 200.0, false, true), ["208–219", "190–200"]);
    }
}
