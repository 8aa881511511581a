//! Rows of a round log that contradict the course, the bag or themselves.

use super::log::{Field, PlayedHole, RoundLog};
use super::result::Lie;
use crate::diagnostic::{Place, Problem, Question, Topic, printable};
use crate::hole::plane::Plane;
use crate::hole::{Coord, Hole, TeeingArea};
use crate::plan::sentence::club_and_shape;
use crate::player::Player;
use crate::units::LengthUnit;

/// A ball ends at most so many times its club's carry from the tee, and so much further: downwind, on
/// firm ground (practice).
const FURTHEST: f64 = 1.3;
const FURTHER_M: f64 = 45.0;
/// The map's lie is looked for as far around a position, m: maps and telephones are out by a few
/// metres (practice).
const AROUND_M: [f64; 3] = [5.0, 10.0, 15.0];
const DIRECTIONS: usize = 16;

/// A hole of the course as questions need it.
pub struct Known<'a> {
    /// The hole.
    pub hole: &'a Hole,
    /// The teeing area.
    pub tee: &'a TeeingArea,
}

/// The hole of the course that a played one is.
#[must_use]
pub fn find(holes: &[&Hole], played: &PlayedHole) -> Option<usize> {
    let wanted = played.hole.trim();
    holes
        .iter()
        .position(|hole| hole.reference.eq_ignore_ascii_case(wanted))
}

/// Everything that is asked about a round log.
#[must_use]
pub fn of_round(
    log: &RoundLog,
    course: &[Known<'_>],
    player: &Player,
    unit: LengthUnit,
) -> Vec<Question> {
    let holes: Vec<&Hole> = course.iter().map(|known| known.hole).collect();
    let mut asked = Asked {
        log,
        unit,
        questions: Vec::new(),
    };
    for played in &log.holes {
        match find(&holes, played) {
            None => {
                let names: Vec<&str> = holes.iter().map(|hole| hole.reference.as_str()).collect();
                asked.ask(
                    (Topic::OtherHole, played.line, Field::Hole),
                    format!("a hole of the course: {}", printable(&names.join(", "))),
                    format!("\"{}\"", printable(&played.hole)),
                    "write the hole as in the course file, or give the course that was played",
                );
            }
            Some(index) => {
                asked.of_place(played, &course[index], player);
                asked.of_score(played, holes[index]);
            }
        }
        asked.of_club(played, player);
    }
    asked.questions
}

struct Asked<'a> {
    log: &'a RoundLog,
    unit: LengthUnit,
    questions: Vec<Question>,
}

impl Asked<'_> {
    fn ask(
        &mut self,
        (topic, line, field): (Topic, usize, Field),
        expected: String,
        found: String,
        remedy: &str,
    ) {
        let place: Place = self.log.cell(line, field);
        self.questions.push(Question {
            topic,
            problem: Problem {
                file: self.log.file.clone(),
                place,
                expected,
                found,
                remedy: remedy.into(),
            },
        });
    }

    fn of_club(&mut self, played: &PlayedHole, player: &Player) {
        let Some(club) = &played.club else {
            return;
        };
        if player.clubs_named(club).is_empty() {
            let mut bag: Vec<String> = Vec::new();
            for known in player.full_clubs() {
                let name = club_and_shape(&known.club, &known.shape);
                if !bag.contains(&name) {
                    bag.push(name);
                }
            }
            self.ask(
                (Topic::OtherClub, played.line, Field::Club),
                format!("a club of the bag: {}", printable(&bag.join("; "))),
                format!("\"{}\"", printable(club)),
                "correct the cell, or add the club with --fill",
            );
        }
    }

    fn of_place(&mut self, played: &PlayedHole, known: &Known<'_>, player: &Player) {
        let end = &played.end;
        let named = played.club.as_ref().map(|club| player.clubs_named(club));
        let named = named.filter(|clubs| !clubs.is_empty());
        let carries = |clubs: &[usize]| {
            let each = clubs.iter().map(|club| player.clubs[*club].carry_m);
            each.fold(0.0, f64::max)
        };
        let carry_m = match &named {
            Some(clubs) => carries(clubs),
            None => player
                .clubs
                .iter()
                .map(|club| club.carry_m)
                .fold(0.0, f64::max),
        };
        let most_m = FURTHEST * carry_m + FURTHER_M;
        let middle = known.tee.middle();
        let at = end
            .position
            .map(|[lon, lat]| Plane::new(known.hole.origin_lon_lat).to_plane(lon, lat));
        let away_m = at.map(|at| (at.x - middle.x).hypot(at.y - middle.y));
        let lengths = [
            (away_m, Field::Lon),
            (end.total_m, Field::Total),
            (end.carry_m, Field::Carry),
        ];
        let far = lengths
            .into_iter()
            .find_map(|(m, field)| m.filter(|m| *m > most_m).map(|m| (m, field)));
        let long = |m: f64| format!("{:.0} {}", self.unit.of(m), self.unit.name());
        if let Some((m, field)) = far {
            let with = played.club.as_deref().map_or_else(
                || "any club".into(),
                |club| format!("a {}", printable(club)),
            );
            let expected = format!(
                "a tee shot that ends at most {} off with {with}",
                long(most_m)
            );
            let found = format!(
                "{} from the tee of hole {}",
                long(m),
                printable(&played.hole)
            );
            let remedy =
                "correct the cell, the club or the hole; the first row of a hole is its tee shot";
            self.ask(
                (Topic::FarBall, played.line, field),
                expected,
                found,
                remedy,
            );
        } else if let (Some(at), Some(lie)) = (at, end.outcome.lie)
            && !lies_near(known.hole, at, lie)
            // Where a ball was dropped is no place of a penalty area.
            && !matches!(lie, Lie::Penalty | Lie::Out)
        {
            let drawn = Lie::of(known.hole.surface_at(at)).words();
            self.ask(
                (Topic::LieAndPlace, played.line, Field::Result),
                format!("{}, as the map has the position", drawn),
                lie.words().into(),
                "correct the position or the result",
            );
        }
    }

    fn of_score(&mut self, played: &PlayedHole, hole: &Hole) {
        let Some(score) = played.score else {
            return;
        };
        let name = printable(&played.hole);
        if let Some(putts) = played.putts.filter(|putts| *putts >= score) {
            self.ask(
                (Topic::OddScore, played.line, Field::Putts),
                format!("fewer putts than strokes, {score}"),
                format!("{putts} putts on hole {name}"),
                "correct the putts or the score",
            );
        } else if played.rows > score {
            self.ask(
                (Topic::OddScore, played.line, Field::Score),
                format!(
                    "a score of at least {}, a stroke for every row",
                    played.rows
                ),
                format!("{score} on hole {name}"),
                "correct the score, or delete what is no stroke",
            );
        } else if score == 1 && hole.par > 3 {
            self.ask(
                (Topic::OddScore, played.line, Field::Score),
                format!("more than one stroke on a par {}", hole.par),
                format!("1 on hole {name}"),
                "write strokes, not strokes over par",
            );
        }
    }
}

/// Whether the map has a lie at a place or close by.
fn lies_near(hole: &Hole, at: Coord<f64>, lie: Lie) -> bool {
    let is = |place: Coord<f64>| Lie::of(hole.surface_at(place)) == lie;
    is(at)
        || AROUND_M.iter().any(|m| {
            (0..DIRECTIONS).any(|step| {
                let angle = std::f64::consts::TAU * step as f64 / DIRECTIONS as f64;
                is(Coord {
                    x: at.x + m * angle.sin(),
                    y: at.y + m * angle.cos(),
                })
            })
        })
}
