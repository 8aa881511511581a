//! From a decision to a plan: measured, worded, rounded.

use geo::Coord;

use super::carries::hazards;
use super::hundred::Hundred;
use super::landmark::{self, Target};
use super::other_way::other_ways;
use super::scene::{Scene, ahead_and_right, along, bearing_deg, distance_m, turn_deg};
use super::sentence::{self, Centre, sentence};
use super::set_up::{Turned, set_up};
use super::spoken::spoken;
use super::things::{Thing, things};
use super::why::{self, Other, is_tie};
use super::widths::{Elsewhere, Section, around_landing, elsewhere, line_at, section};
use super::{
    Aim, AimCost, Alternative, Carry, Choice, Comparison, Conditions, Finishes, HoleFacts, Line,
    LonLat, PartSwing, Peg, Plan, PlayerFacts, SetUp, Shot, TwoWay, Width, Words, cautions, region,
    round, wind,
};
use crate::diagnostic::Note;
use crate::hole::{Assumption, Hole, PinFrom, TeeingArea};
use crate::outcome::TeeShot;
use crate::player::{Basis, CoursePlay, Handedness, Player};
use crate::strategy::named::AT_PIN_M;
use crate::strategy::usual::Usual;
use crate::strategy::{Decision, Priced};
use crate::units::LengthUnit;

/// Version of the plan file's format.
pub const FORMAT: u32 = 1;
/// Fewer logged shots than this are worth a note.
const FEW_SHOTS: usize = 20;
/// The rule of thumb among the named aims.
const HALF_BEND: &str = "aiming off half your bend";
/// What a plan says that chooses a part swing.
const PART_SWING: &str = "Part swings were not logged: they launch as the full swing does, with \
                          less speed, and scatter more for their length the shorter they are \
                          (practice).";
/// At most this many balls are kept to draw.
const BALLS: usize = 200;

/// What a plan needs to know of a hole beside its [`Scene`].
#[derive(Clone, Copy, Debug)]
pub struct Facts<'a> {
    /// The hole's `ref`.
    pub reference: &'a str,
    /// Its name.
    pub name: Option<&'a str>,
    /// Length from the tee along the line of play, m.
    pub length_m: f64,
    /// What was assumed of the hole.
    pub assumed: &'a [Assumption],
    /// What was assumed and skipped, in full.
    pub notes: &'a [Note],
}

/// The plan for one tee of one hole.
///
/// Lengths in the words are in `unit`; everything else is SI. Does not fail:
/// whatever cannot be measured (a fairway width on a par 3, a region of no
/// balls) is left out.
#[must_use]
pub fn assemble(
    decision: &Decision,
    hole: &Hole,
    tee: &TeeingArea,
    player: &Player,
    conditions: Conditions,
    unit: LengthUnit,
) -> Plan {
    on_scene(hole, |scene| {
        let facts = Facts {
            reference: &hole.reference,
            name: hole.name.as_deref(),
            length_m: hole.length_from_m(tee),
            assumed: &hole.assumed,
            notes: &hole.notes,
        };
        let mut plan = build(decision, scene, facts, tee, player, conditions, unit);
        plan.hole.pin_from = hole.pin_from;
        plan
    })
}

/// Where a tee shot is pegged and what it is aimed at, in words.
#[must_use]
pub fn peg_and_aim(
    hole: &Hole,
    tee: &TeeingArea,
    shot: &TeeShot,
    carry_m: f64,
    unit: LengthUnit,
) -> (String, String) {
    on_scene(hole, |scene| {
        let peg = tee.peg(shot.from_left_m, shot.behind_front_m);
        let cut = section(scene, peg, carry_m, along(peg, shot.aim_deg, carry_m));
        let things = things(scene);
        let (aim_deg, cut) = (shot.aim_deg, cut.as_ref());
        let target = landmark::choose(scene, &things, peg, aim_deg, carry_m, cut, unit);
        let across = sentence::across(shot.from_left_m, tee.width_m(), unit);
        let peg = match sentence::back(shot.behind_front_m, unit) {
            Some(back) => format!("{across}, {back}"),
            None => across,
        };
        (peg, target.in_words(unit))
    })
}

/// What `say` says of a hole as its measurements see it.
fn on_scene<T>(hole: &Hole, say: impl FnOnce(&Scene<'_>) -> T) -> T {
    let plane = crate::hole::plane::Plane::new(hole.origin_lon_lat);
    let height = |c: Coord<f64>| hole.ground().height_m(c.x, c.y);
    let canopy = |c: Coord<f64>| hole.canopy_at(c.x, c.y);
    let to_lon_lat = |c: Coord<f64>| plane.to_lon_lat(c);
    let on_top = |c: Coord<f64>| hole.drawn_at(c);
    let scene = Scene {
        height_m: &height,
        canopy: &canopy,
        to_lon_lat: &to_lon_lat,
        on_top: Some(&on_top),
        ..Scene::new(
            hole.par,
            &hole.line_of_play,
            hole.pin,
            &hole.patches,
            &hole.trees,
        )
    };
    say(&scene)
}

/// One shot's lines and measurements on the plane, before they are rounded.
struct Measured<'a> {
    priced: &'a Priced,
    target: Target,
    carry_m: f64,
    total_m: f64,
    start_deg: f64,
    curve_m: f64,
    landing: Coord<f64>,
    rest: Coord<f64>,
    centre: Centre,
    aim_right_m: f64,
    rest_centre: Centre,
    rest_right_m: f64,
}

/// Everything that is the same for all shots of a plan.
struct Work<'a> {
    scene: &'a Scene<'a>,
    things: Vec<Thing>,
    tee: &'a TeeingArea,
    player: &'a Player,
    line_of_play_deg: f64,
    unit: LengthUnit,
}

/// [`assemble`] on a [`Scene`].
#[must_use]
pub fn build(
    decision: &Decision,
    scene: &Scene<'_>,
    facts: Facts<'_>,
    tee: &TeeingArea,
    player: &Player,
    conditions: Conditions,
    unit: LengthUnit,
) -> Plan {
    let middle = midpoint(tee.left, tee.right);
    let work = Work {
        scene,
        things: things(scene),
        tee,
        player,
        line_of_play_deg: scene.line_of_play_deg(middle),
        unit,
    };
    let chosen = work.measure(&decision.choice);
    let peg = decision.choice.peg;
    let rests = &decision.choice.rests;
    let aim_deg = decision.choice.shot.aim_deg;
    let two_way = two_way(rests.iter().map(|r| r.curve_m(peg, aim_deg)));
    let is_two_way = {
        let (_, shape, _) = work.club(&decision.choice);
        let (speed, from) = (conditions.wind_m_s, conditions.wind_from_deg);
        why::is_two_way(two_way, shape, wind::cross_wind_m_s(speed, from, aim_deg))
    };
    let window = decision
        .aim_window_deg
        .map(|bearing| turn_deg(bearing - decision.choice.shot.aim_deg));
    let alternatives: Vec<Measured<'_>> = decision
        .alternatives
        .iter()
        .map(|p| work.measure(p))
        .collect();
    let comparisons: Vec<(&str, Measured<'_>)> = decision
        .comparisons
        .iter()
        .map(|(name, p)| (name.as_str(), work.measure(p)))
        .collect();
    // As the plan file has it, so that every place rounds the same figure.
    let from_line = |relative: f64| {
        round::degrees(turn_deg(decision.choice.shot.aim_deg - work.line_of_play_deg) + relative)
    };
    let window = window.map(from_line);
    let beside_aim = window.map(|edge| edge - from_line(0.0));
    let mut why = work.why(
        &chosen,
        &alternatives,
        &comparisons,
        (beside_aim, decision.further_back_costs),
        (two_way, is_two_way),
        unit,
    );
    let place = elsewhere(scene, chosen.rest);
    if let Some(place) = place {
        why.insert(0, leaves_the_hole(place, unit));
    }
    let words = Words {
        sentence: String::new(),
        why,
        leaves: place.map_or_else(String::new, |place| place.words().to_owned()),
        note: String::new(),
        unit: unit.name().into(),
    };
    let flight: Vec<Coord<f64>> = decision
        .flight
        .iter()
        .map(|p| Coord { x: p[0], y: p[1] })
        .collect();
    let mut plan = Plan {
        format: FORMAT,
        hole: work.hole_facts(facts),
        conditions,
        player: PlayerFacts {
            name: player.name.clone(),
            handedness: match player.handedness {
                Handedness::Right => "right".into(),
                Handedness::Left => "left".into(),
            },
            handicap: round::metres(player.handicap),
            club_length_m: round::strokes(player.club_length_m),
            course_play: round::course_play(player.course_play.unwrap_or(CoursePlay::NONE)),
        },
        choice: Choice {
            shot: work.shot(&chosen),
            aim_window_deg: window,
            aim_costs: decision
                .aim_costs
                .iter()
                .map(|cost| AimCost {
                    aim_deg: from_line(turn_deg(cost.aim_deg - decision.choice.shot.aim_deg)),
                    costs: round::strokes(cost.costs),
                    costs_standard_error: round::strokes(cost.costs_standard_error),
                })
                .collect(),
            two_way_miss: two_way,
            is_two_way,
            ties: decision
                .alternatives
                .iter()
                .filter(|p| is_tie(p.costs, p.costs_standard_error))
                .map(|p| work.name(p, unit))
                .collect(),
        },
        set_up: work.set_up(&chosen, &comparisons, unit),
        alternatives: alternatives
            .iter()
            .map(|m| Alternative {
                shot: work.shot(m),
                costs: round::strokes(m.priced.costs),
                costs_standard_error: round::strokes(m.priced.costs_standard_error),
            })
            .collect(),
        comparisons: comparisons
            .iter()
            .map(|(name, m)| Comparison {
                name: (*name).into(),
                shot: work.shot(m),
                costs: round::strokes(m.priced.costs),
                costs_standard_error: round::strokes(m.priced.costs_standard_error),
                hundred: Hundred::of(&m.priced.rests, &|at| work.lon_lat(at)),
            })
            .collect(),
        carries: hazards(scene, &work.things, peg, &flight, rests)
            .into_iter()
            .map(|h| Carry {
                words: h.words,
                kind: h.kind.key().into(),
                reach_m: round::metres(h.reach_m),
                clear_m: round::metres(h.clear_m),
                reach: work.lon_lat(h.reach),
                clear: work.lon_lat(h.clear),
                offset_m: round::metres(h.offset_m),
                share: round::strokes(h.share),
                share_left: round::strokes(h.share_left),
                share_short: round::strokes(h.share_short),
                nearest: work.lon_lat(h.nearest),
                is_crossed: h.is_crossed,
                goes_on: h.goes_on,
            })
            .collect(),
        widths: around_landing(
            scene,
            peg,
            chosen.carry_m,
            chosen.total_m,
            [chosen.landing, chosen.rest],
        )
        .into_iter()
        .map(|(place, s)| Width {
            place,
            distance_m: round::metres(s.distance_m),
            left: work.lon_lat(s.point(s.left_m)),
            right: work.lon_lat(s.point(s.right_m)),
            width_m: round::metres(s.width_m()),
        })
        .collect(),
        finishes: work.finishes(decision, &flight, (two_way, is_two_way)),
        whole_hole: None,
        verified: None,
        robust: None,
        what_if: Vec::new(),
        own_shots: Vec::new(),
        landscape: None,
        asked: None,
        words,
        assumed: assumed(&work, facts),
        check_first: all_notes(&work, facts)
            .filter(|note| note.topic.is_some())
            .map(ToString::to_string)
            .collect(),
        notes: notes(&work, facts, &chosen),
        cautions: cautions::cautions(),
    };
    plan.words.sentence = spoken(&plan, |shot| sentence(shot, unit));
    plan
}

impl Work<'_> {
    fn lon_lat(&self, at: Coord<f64>) -> LonLat {
        let [lon, lat] = (self.scene.to_lon_lat)(at);
        LonLat {
            lon: round::lon_lat(lon),
            lat: round::lon_lat(lat),
        }
    }

    fn club(&self, priced: &Priced) -> (&str, &str, usize) {
        self.player
            .clubs
            .get(priced.shot.club)
            .map_or(("", "", 0), |c| {
                (c.club.as_str(), c.shape.as_str(), c.shots)
            })
    }

    fn part_swing(&self, priced: &Priced) -> Option<PartSwing> {
        let club = self.player.clubs.get(priced.shot.club);
        club.and_then(PartSwing::of)
    }

    fn name(&self, priced: &Priced, unit: LengthUnit) -> String {
        let (club, shape, _) = self.club(priced);
        sentence::shot_name(club, shape, self.part_swing(priced), unit)
    }

    fn measure<'p>(&self, priced: &'p Priced) -> Measured<'p> {
        let scene = self.scene;
        let peg = priced.peg;
        let aim_deg = priced.shot.aim_deg;
        let aimed = along(peg, aim_deg, priced.carry_m);
        let usual = Usual::of(peg, aim_deg, &priced.rests).unwrap_or(Usual {
            landing: aimed,
            rest: aimed,
            carry_m: priced.carry_m,
            total_m: priced.carry_m,
            start_deg: 0.0,
            curve_m: 0.0,
        });
        let (landing, rest) = (usual.landing, usual.rest);
        let cut = section(scene, peg, priced.carry_m, landing);
        let target = landmark::choose(
            scene,
            &self.things,
            peg,
            aim_deg,
            priced.carry_m,
            cut.as_ref(),
            self.unit,
        );
        let at_rest = section(scene, peg, usual.total_m, rest);
        // Where there is fairway at one of the two only, its middle is carried along the line of play.
        let carried = |there: Option<&Section>, distance: f64| {
            let (origin, bearing_deg) = line_at(scene, peg, distance)?;
            there.map(|there| Section {
                distance_m: distance,
                bearing_deg,
                origin,
                ..*there
            })
        };
        let middle = cut.or_else(|| carried(at_rest.as_ref(), priced.carry_m));
        let (centre, aim_right_m) = if let Some(middle) = &middle {
            (
                Centre::Fairway,
                middle.right_of_centre_m(crossing(peg, aim_deg, middle)),
            )
        } else {
            self.off_centre(peg, priced.carry_m, |d| along(peg, aim_deg, d))
        };
        let is_at_pin = usual.total_m >= distance_m(peg, scene.pin) - AT_PIN_M;
        let middle = at_rest.or_else(|| {
            let beside = cut.as_ref().filter(|_| !is_at_pin);
            carried(beside, usual.total_m)
        });
        let (rest_centre, rest_right_m) = match &middle {
            Some(middle) => (Centre::Fairway, middle.right_of_centre_m(rest)),
            None => self.off_centre(peg, usual.total_m, |_| rest),
        };
        Measured {
            priced,
            target,
            carry_m: priced.carry_m,
            total_m: usual.total_m,
            start_deg: usual.start_deg,
            curve_m: usual.curve_m,
            landing,
            rest,
            centre,
            aim_right_m,
            rest_centre,
            rest_right_m,
        }
    }

    /// How far a line or a point is right of the pin or the line of play.
    fn off_centre(
        &self,
        peg: Coord<f64>,
        distance: f64,
        point: impl Fn(f64) -> Coord<f64>,
    ) -> (Centre, f64) {
        let pin = self.scene.pin;
        let to_pin = distance_m(peg, pin);
        // On a par 3, or level with the green of a drivable hole, the pin is the middle.
        if self.scene.par != 3
            && distance < to_pin - AT_PIN_M
            && let Some((origin, bearing)) = line_at(self.scene, peg, distance)
        {
            let right = ahead_and_right(origin, bearing, point(distance))[1];
            return (Centre::LineOfPlay, right);
        }
        (
            Centre::Pin,
            ahead_and_right(peg, bearing_deg(peg, pin), point(to_pin))[1],
        )
    }

    fn why(
        &self,
        chosen: &Measured<'_>,
        alternatives: &[Measured<'_>],
        comparisons: &[(&str, Measured<'_>)],
        (window_deg, further_back_costs): ([f64; 2], (f64, f64)),
        two_way: (TwoWay, bool),
        unit: LengthUnit,
    ) -> Vec<String> {
        let aim_deg = chosen.priced.shot.aim_deg;
        let other = |name: String, m: &Measured<'_>| Other {
            name,
            club: self.club(m.priced).0,
            // As the plan file has them, so that every place rounds the same figure.
            costs: round::strokes(m.priced.costs),
            standard_error: round::strokes(m.priced.costs_standard_error),
            aim_right_deg: turn_deg(m.priced.shot.aim_deg - aim_deg),
            finish: m.priced.finish,
        };
        let comparisons: Vec<Other<'_>> = comparisons
            .iter()
            .map(|(name, m)| other((*name).into(), m))
            .collect();
        let alternatives: Vec<Other<'_>> = alternatives
            .iter()
            .map(|m| other(self.name(m.priced, unit), m))
            .collect();
        why::why(
            (
                self.club(chosen.priced).0,
                &chosen.priced.finish,
                chosen.carry_m,
            ),
            &comparisons,
            &alternatives,
            window_deg,
            further_back_costs,
            two_way,
            unit,
        )
    }

    fn set_up(
        &self,
        chosen: &Measured<'_>,
        comparisons: &[(&str, Measured<'_>)],
        unit: LengthUnit,
    ) -> SetUp {
        let turned = |m: &Measured<'_>| Turned {
            turn_deg: turn_deg(m.priced.shot.aim_deg - self.line_of_play_deg),
            right_m: m.aim_right_m,
            centre: m.centre,
        };
        let half_bend = comparisons
            .iter()
            .find(|(name, _)| *name == HALF_BEND)
            .map(|(_, m)| turned(m));
        let club = self.player.clubs.get(chosen.priced.shot.club);
        club.map_or_else(SetUp::default, |club| {
            let (hand, carry_m) = (self.player.handedness, chosen.carry_m);
            set_up(club, hand, turned(chosen), half_bend, carry_m, unit)
        })
    }

    fn shot(&self, m: &Measured<'_>) -> Shot {
        let shot = &m.priced.shot;
        let (club, shape, shots_logged) = self.club(m.priced);
        let peg = self.lon_lat(m.priced.peg);
        let target = self.lon_lat(m.target.at);
        let from_line = |bearing: f64| round::degrees(turn_deg(bearing - self.line_of_play_deg));
        let start = shot.aim_deg + m.start_deg;
        Shot {
            club: club.into(),
            shape: shape.into(),
            part_swing: self.part_swing(m.priced),
            tee: Peg {
                from_left_marker_m: round::metres(shot.from_left_m),
                behind_front_m: round::metres(shot.behind_front_m),
                lon: peg.lon,
                lat: peg.lat,
            },
            aim: Aim {
                bearing_deg: round::bearing(shot.aim_deg),
                from_line_of_play_deg: from_line(shot.aim_deg),
                lon: target.lon,
                lat: target.lat,
                distance_m: round::metres(m.target.distance_m),
                words: m.target.words.clone(),
                is_landmark: m.target.is_landmark,
                measured: m.target.measured.clone(),
                target_right_deg: round::degrees(m.target.right_deg),
                right_of_centre_m: round::metres(m.aim_right_m),
                centre: m.centre.key().into(),
            },
            start_line: Line {
                bearing_deg: round::bearing(start),
                from_line_of_play_deg: from_line(start),
            },
            curve_m: round::metres(m.curve_m),
            carry_m: round::metres(m.carry_m),
            total_m: round::metres(m.total_m),
            rest: self.lon_lat(m.rest),
            rest_right_of_centre_m: round::metres(m.rest_right_m),
            rest_centre: m.rest_centre.key().into(),
            expected_strokes: round::strokes(m.priced.strokes),
            standard_error: round::strokes(m.priced.standard_error),
            finish: round::finish(&m.priced.finish),
            shots_logged,
        }
    }

    fn hole_facts(&self, facts: Facts<'_>) -> HoleFacts {
        HoleFacts {
            reference: facts.reference.into(),
            name: facts.name.map(Into::into),
            par: self.scene.par,
            length_m: round::metres(facts.length_m),
            tee_colour: self.tee.colours.first().cloned(),
            teeing_area_assumed: self.tee.assumed,
            teeing_width_m: round::metres(distance_m(self.tee.left, self.tee.right)),
            teeing_depth_m: round::strokes(2.0 * self.player.club_length_m),
            markers: [self.lon_lat(self.tee.left), self.lon_lat(self.tee.right)],
            pin: self.lon_lat(self.scene.pin),
            pin_from: PinFrom::default(),
            line_of_play_deg: round::bearing(self.line_of_play_deg),
        }
    }

    fn finishes(
        &self,
        decision: &Decision,
        flight: &[Coord<f64>],
        ways: (TwoWay, bool),
    ) -> Finishes {
        let balls: Vec<Coord<f64>> = decision.choice.rests.iter().map(|r| r.at).collect();
        let rings = |region: &region::Region| -> Vec<Vec<LonLat>> {
            region
                .iter()
                .flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()))
                .map(|ring| ring.coords().map(|c| self.lon_lat(*c)).collect())
                .collect()
        };
        let regions = region::densest(&balls, &[0.5, 0.9]);
        let kept = balls.len().min(BALLS);
        let tee_m = decision.flight.first().map_or(0.0, |p| p[2]);
        Finishes {
            half: regions.first().map(rings).unwrap_or_default(),
            ninety: regions.get(1).map(rings).unwrap_or_default(),
            balls: (0..kept)
                .map(|i| self.lon_lat(balls[i * balls.len() / kept]))
                .collect(),
            flight: flight.iter().map(|c| self.lon_lat(*c)).collect(),
            flight_height_m: decision
                .flight
                .iter()
                .map(|p| round::metres(p[2] - tee_m))
                .collect(),
            flight_airborne: decision.flight_airborne.min(flight.len()),
            hundred: Hundred::of(&decision.choice.rests, &|at| self.lon_lat(at)),
            other_ways: other_ways(
                (decision.choice.peg, decision.choice.shot.aim_deg),
                &decision.choice.rests,
                ways,
                &flight[..decision.flight_airborne.min(flight.len())],
                &|at| self.lon_lat(at),
            ),
        }
    }
}

fn midpoint(a: Coord<f64>, b: Coord<f64>) -> Coord<f64> {
    Coord {
        x: f64::midpoint(a.x, b.x),
        y: f64::midpoint(a.y, b.y),
    }
}

fn average(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0.0), |(s, n), v| (s + v, n + 1.0));
    (count > 0.0).then(|| sum / count)
}

/// What a player is to know first of a plan that leaves its own hole.
fn leaves_the_hole(place: Elsewhere, unit: LengthUnit) -> String {
    let off = |right_m: f64| {
        let (length, side) = (sentence::length(right_m, unit), sentence::side(right_m));
        format!("{length} {side} of this hole's line")
    };
    match place {
        Elsewhere::AnotherFairway(right_m) => format!(
            "This goes to another hole's fairway, {}: make sure that it is in bounds for you and that \
             nobody is playing there.",
            off(right_m)
        ),
        Elsewhere::Rough(right_m) => format!(
            "This ends {}, on ground that the plan takes for rough: make sure that it is, and in bounds.",
            off(right_m)
        ),
    }
}

/// Where the aim meets a cut of the fairway.
fn crossing(peg: Coord<f64>, aim_deg: f64, cut: &Section) -> Coord<f64> {
    let [ahead, _] = ahead_and_right(cut.origin, cut.bearing_deg, peg);
    let slope = (aim_deg - cut.bearing_deg).to_radians().cos();
    // A set-up nearly along the cut never meets it: take the landing distance.
    let far = if slope > 0.2 {
        -ahead / slope
    } else {
        cut.distance_m
    };
    along(peg, aim_deg, far)
}

/// Shares of balls that bend left and right of their own start line; a ball
/// that does not bend counts half each way. Half and half of no balls.
#[must_use]
pub fn two_way(curves_m: impl Iterator<Item = f64>) -> TwoWay {
    let left = average(curves_m.map(|curve_m| {
        if curve_m < 0.0 {
            1.0
        } else if curve_m > 0.0 {
            0.0
        } else {
            0.5
        }
    }))
    .unwrap_or(0.5);
    let [left, right] = round::shares([left, 1.0 - left]);
    TwoWay { left, right }
}

/// What was assumed, in the order in which a reader meets it.
fn assumed(work: &Work<'_>, facts: Facts<'_>) -> Vec<String> {
    let tee = work.tee.assumed.then_some("teeing area");
    let of_hole = facts.assumed.iter().map(|assumption| assumption.words());
    tee.into_iter().chain(of_hole).map(String::from).collect()
}

fn notes(work: &Work<'_>, facts: Facts<'_>, chosen: &Measured<'_>) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    if work.tee.assumed {
        notes.push(
            "The map has no tee-markers for this tee: the teeing area was put by rule. Measure \
             the peg again from the markers of the day."
                .into(),
        );
    }
    if let Some(club) = work.player.clubs.get(chosen.priced.shot.club) {
        let spoken = sentence::capital(&sentence::club_and_shape(&club.club, &club.shape));
        if club.part_share.is_some() {
            notes.push(PART_SWING.into());
        }
        match club.basis {
            Basis::Neighbours => notes.push(format!(
                "{spoken}: no shot was logged; its pattern is filled in from the clubs next to it."
            )),
            Basis::SideOnly => notes.push(format!(
                "{spoken}: the log has only carry and side, so where the ball starts and how it \
                 bends cannot be told apart; the start line is an assumption."
            )),
            Basis::Given | Basis::FullLaunch | Basis::StartAndCurve => {}
        }
        if club.shots < FEW_SHOTS && !matches!(club.basis, Basis::Given | Basis::Neighbours) {
            notes.push(format!(
                "{spoken}: rests on {} logged shots; with fewer than {FEW_SHOTS} the spread is \
                 mostly that of other players of this level.",
                club.shots
            ));
        }
    }
    notes.extend(
        all_notes(work, facts)
            .filter(|note| note.topic.is_none())
            .map(ToString::to_string),
    );
    notes
}

/// The notes on the hole, then those on the player.
fn all_notes<'a>(work: &'a Work<'_>, facts: Facts<'a>) -> impl Iterator<Item = &'a Note> {
    facts.notes.iter().chain(&work.player.notes)
}
