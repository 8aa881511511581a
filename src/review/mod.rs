//! A round looked back on: what happened against the plan, and what it teaches the next one.
//!
//! 1. A round log is read ([`log`]) and questioned ([`questions`]).
//! 2. Every hole that was played is planned again, and the clubs that were hit are priced beside the plan
//!    ([`Planner::look_back`]).
//! 3. Every tee shot is placed in the pattern that was predicted for it ([`against`]).
//! 4. The strokes of every hole are put down to decision, strike and what followed ([`mod@account`]).
//! 5. Course play is learnt from where tee shots ended ([`mod@learn`]), and the holes are planned again with it.
//!
//! # Limitations
//! - The aim of a tee shot is not logged: it is taken to be the plan's, or the best with that club.
//! - All rounds of a review are taken to be played on one day's wind, tees and pins.
//! - Scores and words alone say little of course play: a score is asked only where its tee shot has no end,
//!   words say what share of balls ends so.
//! - What is learnt is how wide balls scatter, not where their middle lies. Balls that all end to one side
//!   are told, and not learnt ([`Lean`](against::Lean)).

pub mod account;
mod again;
pub mod against;
mod columns;
pub mod ended;
pub mod evidence;
pub mod learn;
pub mod log;
pub mod questions;
pub mod report;
pub mod result;
mod totals;
mod words;

use serde::Serialize;

use account::{Account, Figure, NotSplit, account};
use again::Before;
use against::{InPattern, Region, SHARES};
use ended::{Cloud, Ended, View};
use evidence::{ALONG, Evidence, Lattice};
use learn::{Fading, Learnt, Prior, learn};
use log::{End, PlayedHole, RoundLog};
use result::Lie;
pub use totals::{Patterns, Round, Total};
use totals::{Shot, patterns, rounds};

use crate::diagnostic::{Answers, Note, Problems, Question};
use crate::hole::plane::Plane;
use crate::hole::{Coord, Hole};
use crate::plan::region::{self, densest};
use crate::planner::Planner;
use crate::planner::looked_back::{Hit, LookedBack};
use crate::player::{CoursePlay, Player};
use crate::units::LengthUnit;

/// JSON Schema of the review's file.
pub const SCHEMA: &str = include_str!("review.schema.json");

/// What is looked back on.
pub struct Asked<'a> {
    /// The holes of the course, each as it was planned.
    pub tees: &'a [Planner<'a>],
    /// The rounds, oldest first; rows of holes that the course lacks are passed over.
    pub rounds: &'a [RoundLog],
    /// How old rounds fade.
    pub fading: Fading,
    /// What the user says of rows that contradict themselves.
    pub answers: &'a Answers,
    /// Unit of the words.
    pub unit: LengthUnit,
}

/// How far it has come: what is done, of how many steps.
#[derive(Clone, Debug)]
pub struct Step {
    /// Steps done.
    pub done: usize,
    /// Steps in all.
    pub total: usize,
    /// What is being done.
    pub doing: String,
}

/// Where a tee shot ended.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Place {
    /// Longitude, degrees.
    pub lon: f64,
    /// Latitude, degrees.
    pub lat: f64,
    /// Along the aim from the peg, m.
    pub along_m: f64,
    /// Right of the aim, m.
    pub right_m: f64,
    /// What the map has there.
    pub lie: Lie,
}

/// A hole of a round.
#[derive(Clone, Debug, Serialize)]
pub struct PlayedTee {
    /// The hole's `ref`.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Line of the log.
    pub line: usize,
    /// Par.
    pub par: u8,
    /// The plan's tee shot: club and shape.
    pub plan: String,
    /// The tee shot that was hit; null where no club of the bag is written.
    pub club: Option<String>,
    /// Strokes.
    pub score: Option<usize>,
    /// Putts.
    pub putts: Option<usize>,
    /// The plan's expectation.
    pub expected: Figure,
    /// Where the strokes went.
    pub account: Account,
    /// Where the ball rested, as far as that is a place.
    pub ended: Option<Place>,
    /// Its place in the pattern that was predicted.
    pub in_pattern: InPattern,
    /// The row's words and lengths of it.
    #[serde(skip)]
    pub said: String,
    /// How often the hole takes how many strokes.
    #[serde(skip)]
    pub by_strokes: Vec<f64>,
}

/// What a hole's decision becomes with what was learnt.
#[derive(Clone, Debug, Serialize)]
pub struct Next {
    /// The hole's `ref`.
    #[serde(rename = "ref")]
    pub reference: String,
    /// The tee shot before: club and shape.
    pub before: String,
    /// The tee shot after.
    pub after: String,
    /// What the tee shot after saves beside that before, both with the new course play.
    pub saves: Figure,
    /// How far its aim points right of the aim before where it lands, m; null where the club is another.
    pub aim_right_m: Option<f64>,
    /// Whether the decision changes beyond noise.
    pub changes: bool,
    /// Expected strokes before and after.
    pub expected: [Figure; 2],
}

/// A pattern with the balls that were hit, for drawing.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// Index of the hole.
    pub tee: usize,
    /// Club and shape.
    pub club: String,
    /// The peg and the aim.
    pub view: View,
    /// How far off the point aimed at is: the shot's carry, m.
    pub aim_m: f64,
    /// The region that holds half of the predicted balls.
    pub half: region::Region,
    /// The region that holds nine in ten.
    pub ninety: region::Region,
    /// Where balls rested, and in which region.
    pub balls: Vec<(Coord<f64>, Option<Region>)>,
}

/// A review.
#[derive(Clone, Debug, Serialize)]
pub struct Review {
    /// Format of the file, 1.
    pub format: u32,
    /// The player's name.
    pub player: String,
    /// Handicap Index.
    pub handicap: f64,
    /// The rounds.
    pub rounds: Vec<Round>,
    /// Tee shots against patterns.
    pub patterns: Patterns,
    /// A round counts half after so many newer ones.
    pub half_life_rounds: f64,
    /// Course play before and after.
    pub course_play: Learnt,
    /// Course play that the plans before were made with, where a player file gave it.
    pub planned_with: Option<CoursePlay>,
    /// The decisions of these holes with what was learnt; empty where nothing was.
    pub next: Vec<Next>,
    /// What was assumed.
    pub notes: Vec<String>,
    /// Rows that contradict themselves, of which the user says that they are so.
    #[serde(skip)]
    pub answered: Vec<Note>,
    /// For drawing.
    #[serde(skip)]
    pub drawn: Vec<Drawn>,
    /// Unit of the words.
    #[serde(skip)]
    pub unit: LengthUnit,
}

/// A played hole with its round.
struct Row<'a> {
    round: usize,
    played: &'a PlayedHole,
}

/// Looks back on rounds.
///
/// # Errors
/// Where a hole lacks the tee, or is not reached, and where a row contradicts itself on the map.
pub fn review(asked: &Asked<'_>, tell: &dyn Fn(&Step)) -> Result<Review, Problems> {
    let holes: Vec<&Hole> = asked.tees.iter().map(Planner::hole).collect();
    let mut by_hole: Vec<Vec<Row<'_>>> = holes.iter().map(|_| Vec::new()).collect();
    for (round, log) in asked.rounds.iter().enumerate() {
        for played in &log.holes {
            if let Some(hole) = questions::find(&holes, played) {
                by_hole[hole].push(Row { round, played });
            }
        }
    }
    let player = asked.tees.first().map(Planner::player);
    let Some(player) = player else {
        return Ok(Review::empty(asked));
    };
    let prior = Prior::of(player);
    let newer = |round: usize| asked.rounds.len() - 1 - round;
    let weights: Vec<f64> = (0..asked.rounds.len())
        .map(|round| asked.fading.weight(newer(round)))
        .collect();
    let played = by_hole.iter().filter(|rows| !rows.is_empty()).count();
    let step = |done: usize, doing: String| {
        tell(&Step {
            done,
            total: 2 * played,
            doing,
        })
    };
    let mut found = Found::default();
    let mut done = 0;
    for (tee, rows) in by_hole
        .iter()
        .enumerate()
        .filter(|(_, rows)| !rows.is_empty())
    {
        step(done, format!("hole {}", holes[tee].reference));
        found.hole(asked, (tee, rows), &prior, &weights)?;
        done += 1;
    }
    found
        .questions
        .sort_by(|a, b| a.problem.file.cmp(&b.problem.file));
    let (answered, problems) = asked.answers.settle(std::mem::take(&mut found.questions));
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let learnt = learn(&prior, &found.evidence);
    let after = Player {
        course_play: Some(learnt.after.play()),
        ..player.clone()
    };
    let mut next = Vec::new();
    if !found.evidence.is_empty() {
        for before in &found.before {
            let name = &holes[before.tee].reference;
            step(done, format!("hole {name} with what was learnt"));
            next.push(before.again(&asked.tees[before.tee], &after, asked.unit)?);
            done += 1;
        }
    }
    let mut review = Review {
        player: player.name.clone(),
        handicap: player.handicap,
        rounds: rounds(asked, &weights, found.tees),
        patterns: patterns(&found.shots),
        course_play: learnt,
        planned_with: player.course_play,
        next,
        drawn: found.drawn,
        answered,
        ..Review::empty(asked)
    };
    review.notes = notes(&review);
    Ok(review)
}

impl Review {
    /// Whether anything says how the player plays on a course.
    #[must_use]
    pub fn teaches(&self) -> bool {
        self.course_play.tee_shots != [0, 0] || self.course_play.scores > 0
    }

    fn empty(asked: &Asked<'_>) -> Self {
        let prior = Prior::as_on_the_range();
        Self {
            format: 1,
            player: String::new(),
            handicap: 0.0,
            rounds: Vec::new(),
            patterns: patterns(&[]),
            half_life_rounds: asked.fading.half_life_rounds,
            course_play: learn(&prior, &[]),
            planned_with: None,
            next: Vec::new(),
            notes: Vec::new(),
            answered: Vec::new(),
            drawn: Vec::new(),
            unit: asked.unit,
        }
    }
}

/// What was assumed, in words.
fn notes(review: &Review) -> Vec<String> {
    let mut notes = Vec::new();
    let all = || review.rounds.iter().flat_map(|round| &round.holes);
    if all().any(|tee| tee.club.is_some()) {
        notes.push(
            "Aims are not logged: every tee shot is taken as aimed where the plan aims that club."
                .into(),
        );
    }
    let mut without: Vec<String> = Vec::new();
    for tee in all().filter(|tee| tee.club.is_none()) {
        if !without.contains(&tee.reference) {
            without.push(tee.reference.clone());
        }
    }
    if !without.is_empty() {
        notes.push(format!(
            "A tee shot without a club of the bag is not compared with a pattern ({}). Its hole teaches what its \
             score teaches.",
            words::holes(&without)
        ));
    }
    notes
}

/// What is found hole by hole.
#[derive(Default)]
struct Found {
    /// By round and line.
    tees: Vec<(usize, PlayedTee)>,
    shots: Vec<Shot>,
    evidence: Vec<Evidence>,
    before: Vec<Before>,
    drawn: Vec<Drawn>,
    questions: Vec<Question>,
}

impl Found {
    fn hole(
        &mut self,
        asked: &Asked<'_>,
        (number, rows): (usize, &[Row<'_>]),
        prior: &Prior,
        weights: &[f64],
    ) -> Result<(), Problems> {
        let planner = &asked.tees[number];
        let hole = planner.hole();
        let mut clubs: Vec<String> = Vec::new();
        for club in rows.iter().filter_map(|row| row.played.club.as_ref()) {
            if !clubs.contains(club) {
                clubs.push(club.clone());
            }
        }
        let tee = planner.look_back(&clubs, &|_| {})?;
        for (club, hit) in clubs.iter().zip(&tee.hits) {
            let with = rows
                .iter()
                .filter(|row| row.played.club.as_ref() == Some(club));
            let with: Vec<&Row<'_>> = with.collect();
            match hit {
                Some(hit) => {
                    self.shots_with(asked, (number, &tee, hit), &with, (prior, weights))?
                }
                None => {
                    let why = if tee.player.clubs_named(club).is_empty() {
                        NotSplit::OtherClub
                    } else {
                        NotSplit::NoShot
                    };
                    for row in with {
                        self.without_club(hole, (&tee, why), row, asked.unit);
                    }
                }
            }
        }
        for row in rows.iter().filter(|row| row.played.club.is_none()) {
            self.without_club(hole, (&tee, NotSplit::NoClub), row, asked.unit);
        }
        self.scores(planner, (&tee, prior, weights), rows)?;
        let choice = &tee.plan.choice.shot;
        self.before.push(Before {
            tee: number,
            club: tee.choice.shot.club,
            named: format!("{} {}", choice.club, choice.shape),
            name: choice.name(asked.unit),
            aim_deg: tee.choice.shot.aim_deg,
            carry_m: tee.choice.carry_m,
            expected: Figure::of((tee.choice.strokes, tee.choice.standard_error)),
        });
        Ok(())
    }

    /// The tee shots of a hole with one club.
    fn shots_with(
        &mut self,
        asked: &Asked<'_>,
        (number, tee, hit): (usize, &LookedBack, &Hit),
        rows: &[&Row<'_>],
        (prior, weights): (&Prior, &[f64]),
    ) -> Result<(), Problems> {
        let planner = &asked.tees[number];
        let hole = planner.hole();
        let view = View {
            peg: hit.priced.peg,
            aim_deg: hit.priced.shot.aim_deg,
        };
        let cloud = Cloud::of(hole, &view, &hit.priced.rests);
        let Some(club) = tee.player.clubs.get(hit.priced.shot.club) else {
            return Ok(());
        };
        let ends: Vec<Option<Ended>> = rows
            .iter()
            .map(|row| ended(hole, &view, row.played))
            .collect();
        for row in rows {
            let row = (&asked.rounds[row.round], row.played);
            let found = questions::of_end(row, hole, &view, asked.unit);
            self.questions.extend(found);
        }
        let lattice = if ends.iter().any(Option::is_some) {
            let is_driver = CoursePlay::is_drivers(club);
            Some(Lattice::of(
                planner,
                prior,
                &hit.priced.shot,
                (view, is_driver),
            )?)
        } else {
            None
        };
        let name = words::swing(club, asked.unit);
        let mut balls = Vec::new();
        for (row, ended) in rows.iter().zip(&ends) {
            let in_pattern = ended.map(|ended| InPattern::of(&cloud, &ended));
            let in_pattern = in_pattern.unwrap_or_default();
            let weight = weights[row.round];
            if let (Some(lattice), Some(ended)) = (&lattice, ended) {
                self.evidence.push(lattice.evidence(ended, weight));
                self.shots.push(Shot { in_pattern, weight });
            }
            let place = match ended {
                Some(Ended::At(at)) => Some(place_of(hole, &view, *at)),
                _ => None,
            };
            if let Some(Ended::At(at)) = ended {
                balls.push((view.at(*at), in_pattern.region));
            }
            let hit = Ok((hit, &cloud, ended.as_ref()));
            let played = PlayedTee {
                club: Some(name.clone()),
                account: account(hole, tee, hit, row.played.score),
                ended: place,
                in_pattern,
                ..played_tee(hole, tee, row.played, asked.unit)
            };
            self.tees.push((row.round, played));
        }
        if !balls.is_empty() {
            let rests: Vec<Coord<f64>> = hit.priced.rests.iter().map(|rest| rest.at).collect();
            let mut regions = densest(&rests, &SHARES).into_iter();
            self.drawn.push(Drawn {
                tee: number,
                club: name,
                view,
                aim_m: hit.priced.carry_m,
                half: regions.next().unwrap_or_default(),
                ninety: regions.next().unwrap_or_default(),
                balls,
            });
        }
        Ok(())
    }

    /// What scores say where the tee shot has no end.
    fn scores(
        &mut self,
        planner: &Planner<'_>,
        (tee, prior, weights): (&LookedBack, &Prior, &[f64]),
        rows: &[Row<'_>],
    ) -> Result<(), Problems> {
        let view = View {
            peg: tee.choice.peg,
            aim_deg: tee.choice.shot.aim_deg,
        };
        let says_nothing = |row: &&Row<'_>| {
            let is_known = row.played.club.as_ref();
            let is_known = is_known.is_some_and(|club| !tee.player.clubs_named(club).is_empty());
            !is_known || ended(planner.hole(), &view, row.played).is_none()
        };
        let scored: Vec<(usize, f64)> = rows
            .iter()
            .filter(says_nothing)
            .filter_map(|row| Some((row.played.score?, weights[row.round])))
            .collect();
        if scored.is_empty() {
            return Ok(());
        }
        let mut along = Vec::new();
        for off in ALONG {
            let player = Player {
                course_play: Some(prior.along(off)),
                ..planner.player().clone()
            };
            let tee = planner.for_player(&player).look_back(&[], &|_| {})?;
            along.push(tee.scores.by_strokes);
        }
        for (score, weight) in scored {
            let chance = |of: &Vec<f64>| of.get(score).copied().unwrap_or(0.0);
            if let [low, middle, high] = &along[..] {
                let chances = [low, middle, high].map(chance);
                self.evidence.push(Evidence::of_score(chances, weight));
            }
        }
        Ok(())
    }

    fn without_club(
        &mut self,
        hole: &Hole,
        (tee, why): (&LookedBack, NotSplit),
        row: &Row<'_>,
        unit: LengthUnit,
    ) {
        let played = PlayedTee {
            account: account(hole, tee, Err(why), row.played.score),
            ..played_tee(hole, tee, row.played, unit)
        };
        self.tees.push((row.round, played));
    }
}

/// A played hole without what its tee shot says.
fn played_tee(hole: &Hole, tee: &LookedBack, played: &PlayedHole, unit: LengthUnit) -> PlayedTee {
    PlayedTee {
        reference: hole.reference.clone(),
        line: played.line,
        par: hole.par,
        plan: tee.plan.choice.shot.name(unit),
        club: None,
        score: played.score,
        putts: played.putts,
        expected: Figure::of((tee.choice.strokes, tee.choice.standard_error)),
        account: Account::default(),
        ended: None,
        in_pattern: InPattern::default(),
        said: words::said(&played.end, unit),
        by_strokes: tee.scores.by_strokes.clone(),
    }
}

fn place_of(hole: &Hole, view: &View, [along_m, right_m]: [f64; 2]) -> Place {
    let at = view.at([along_m, right_m]);
    let [lon, lat] = Plane::new(hole.origin_lon_lat).to_lon_lat(at);
    Place {
        lon,
        lat,
        along_m,
        right_m,
        lie: Lie::of(hole.surface_at(at)),
    }
}

/// Where a tee shot ended: one that was holed, at the pin.
fn ended(hole: &Hole, view: &View, played: &PlayedHole) -> Option<Ended> {
    if played.is_ace() {
        return Some(Ended::At(view.of(hole.pin)));
    }
    ended_of(hole, view, &played.end)
}

/// Where a tee shot ended, by the most exact of what its row says; that it was lost comes before every
/// length.
#[must_use]
pub fn ended_of(hole: &Hole, view: &View, end: &End) -> Option<Ended> {
    let outcome = end.outcome;
    let position = end.position.map(|[lon, lat]| {
        let plane = Plane::new(hole.origin_lon_lat);
        view.of(plane.to_plane(lon, lat))
    });
    let at = position.or_else(|| end.along_and_side(end.total_m));
    if outcome.is_lost() {
        // Where a ball was dropped, and what is left from there, is not where it ended.
        let drawn = at.map(|at| Lie::of(hole.surface_at(view.at(at))));
        let at = at.filter(|_| drawn == outcome.lie);
        return Some(at.map_or(Ended::Words(outcome, None), Ended::At));
    }
    if let Some(at) = at {
        return Some(Ended::At(at));
    }
    let landed = end.along_and_side(end.carry_m);
    match (landed, end.carry_m, end.total_m) {
        (Some(landed), _, None) => Some(Ended::Landed(landed, outcome)),
        (_, _, Some(total)) => Some(Ended::Total(total, outcome)),
        (_, Some(carry), None) => Some(Ended::Carry(carry, outcome)),
        (_, None, None) if outcome.says_where() || end.to_go_m.is_some() => {
            Some(Ended::Words(outcome, end.to_go_m))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hole::read_course;

    const COURSE: &str = include_str!("../../holes/course.geojson");

    /// That a ball was lost comes before its lengths; any other lie stays beside them.
    #[test]
    fn words_beside_lengths() {
        let course = read_course("course.geojson", COURSE.as_bytes(), None).expect("a course");
        let hole = &course.holes[0];
        let tee = hole.tee(None).expect("a tee");
        let view = View {
            peg: tee.middle(),
            aim_deg: 0.0,
        };
        let outcome = result::read("out right").expect("words");
        let rough = result::read("rough").expect("words");
        let end = |outcome, carry_m, total_m, side_m| {
            let end = End {
                outcome,
                carry_m,
                total_m,
                side_m,
                to_go_m: Some(100.0),
                ..End::default()
            };
            ended_of(hole, &view, &end)
        };
        let lost = Some(Ended::Words(outcome, None));
        assert_eq!(end(outcome, None, Some(230.0), None), lost);
        assert_eq!(end(outcome, Some(220.0), None, None), lost);
        assert_eq!(end(outcome, Some(220.0), None, Some(4.0)), lost);
        assert_eq!(end(outcome, None, None, None), lost);
        let total = Some(Ended::Total(230.0, rough));
        assert_eq!(end(rough, Some(220.0), Some(230.0), None), total);
        let carry = Some(Ended::Carry(220.0, rough));
        assert_eq!(end(rough, Some(220.0), None, None), carry);
        let landed = Some(Ended::Landed([4.0, -3.0], rough));
        assert_eq!(end(rough, Some(5.0), None, Some(-3.0)), landed);
        let at = Some(Ended::At([4.0, 3.0]));
        assert_eq!(end(rough, None, Some(5.0), Some(3.0)), at);
        let to_go = Some(Ended::Words(rough, Some(100.0)));
        assert_eq!(end(rough, None, None, None), to_go);
    }
}
