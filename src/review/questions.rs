//! Rows of a round log that contradict the course, the bag or themselves.

use super::ended::{View, off_play};
use super::log::{Field, PlayedHole, RoundLog, hole_name};
use super::result::{Lie, Outcome};
use crate::diagnostic::{Place, Problem, Question, Topic, printable};
use crate::hole::plane::Plane;
use crate::hole::{Coord, Hole, TeeingArea};
use crate::plan::sentence::{self, length};
use crate::player::Player;
use crate::units::LengthUnit;
use crate::units::parse::Side;

/// A ball ends at most so many times its club's carry from the tee, and so much further: downwind, on
/// firm ground (practice).
const FURTHEST: f64 = 1.3;
const FURTHER_M: f64 = 45.0;
/// The map's lie is looked for as far around a position, m: maps and telephones are out by a few
/// metres (practice).
const AROUND_M: [f64; 3] = [5.0, 10.0, 15.0];
/// The same of a place by total and side, m: players aim otherwise than the plan (practice).
const AIMED_OTHERWISE_M: [f64; 5] = [5.0, 10.0, 15.0, 20.0, 25.0];
/// The same of a place where a ball may have been dropped, m (practice).
const DROPPED_M: [f64; 5] = [10.0, 20.0, 30.0, 40.0, 50.0];
const DIRECTIONS: usize = 16;
/// Steps along a circle, m.
const STEP_M: f64 = 3.0;
/// The share by which a length is estimated wrongly, beside a map's error (practice).
const ESTIMATED: f64 = 0.05;
/// A ball rolls back at most so far, m (practice).
const ROLLS_BACK_M: f64 = 10.0;
/// A ball so far on one side of the aim is on that side of the line of play, m (practice).
const OTHER_SIDE_M: f64 = 20.0;

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
    let written = played.hole.trim();
    let exact = |hole: &&Hole| hole.reference.eq_ignore_ascii_case(written);
    let wanted = hole_name(written);
    let close = |hole: &&Hole| hole_name(&hole.reference) == wanted;
    let exact = holes.iter().position(exact);
    exact.or_else(|| holes.iter().position(close))
}

/// Everything that is asked about a round log before anything is planned; `names` are those of every hole
/// of the course.
#[must_use]
pub fn of_round(
    log: &RoundLog,
    (course, names): (&[Known<'_>], &[String]),
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
                asked.ask(
                    (Topic::OtherHole, played.line, Field::Hole),
                    format!("a hole of the course: {}", printable(&names.join(", "))),
                    format!("\"{}\"", printable(&played.hole)),
                    "write the hole as in the course file, or give the course that was played",
                );
            }
            Some(index) => {
                if !asked.of_length(played, &course[index], player) {
                    asked.of_place(played, &course[index]);
                }
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
                let name = sentence::club(&known.club);
                if !bag.contains(&name) {
                    bag.push(name);
                }
            }
            self.ask(
                (Topic::OtherClub, played.line, Field::Club),
                format!("a club of the bag: {}", printable(&bag.join(", "))),
                format!("\"{}\"", printable(club)),
                "correct the cell, or add the club with --fill",
            );
        }
    }

    /// Asks what a row says of one thing and not of the other.
    fn differs(&mut self, (played, field): (&PlayedHole, Field), expected: String, found: String) {
        let remedy = "correct one of the two cells, or empty it";
        let about = (Topic::LieAndPlace, played.line, field);
        self.ask(about, expected, found, remedy);
    }

    fn long(&self, m: f64) -> String {
        length(m, self.unit)
    }

    /// Whether the ball ended further off than its club carries; then its row is not asked further.
    fn of_length(&mut self, played: &PlayedHole, known: &Known<'_>, player: &Player) -> bool {
        let end = &played.end;
        let named = played.club.as_ref().map(|club| player.clubs_named(club));
        let named = named.filter(|clubs| !clubs.is_empty());
        let carries = |clubs: &[usize]| {
            let each = clubs.iter().map(|club| player.clubs[*club].carry_m);
            each.fold(0.0, f64::max)
        };
        let all: Vec<usize> = (0..player.clubs.len()).collect();
        let most_m = FURTHEST * carries(named.as_ref().unwrap_or(&all)) + FURTHER_M;
        let middle = known.tee.middle();
        let away = |[lon, lat]: [f64; 2]| {
            apart(
                Plane::new(known.hole.origin_lon_lat).to_plane(lon, lat),
                middle,
            )
        };
        // What is left after a penalty is counted from where it was dropped.
        let to_go_m = end.to_go_m.filter(|_| !end.outcome.is_lost());
        let lengths = [
            (end.position.map(away), Field::Lon),
            (end.total_m, Field::Total),
            (end.carry_m, Field::Carry),
            (
                to_go_m.map(|m| apart(middle, known.hole.pin) - m),
                Field::ToGo,
            ),
        ];
        let far = lengths
            .into_iter()
            .find_map(|(m, field)| m.filter(|m| *m > most_m).map(|m| (m, field)));
        let Some((m, field)) = far else {
            return false;
        };
        let with = played.club.as_deref().map_or_else(
            || "any club".into(),
            |club| format!("a {}", printable(club)),
        );
        let expected = format!(
            "a tee shot that ends at most {} off with {with}",
            self.long(most_m)
        );
        let at_least = if field == Field::ToGo {
            "at least "
        } else {
            ""
        };
        let found = format!(
            "{at_least}{} from the tee of hole {}",
            self.long(m),
            printable(&played.hole)
        );
        let exchanged = end.position.filter(|[lon, _]| {
            let is_on_earth = field == Field::Lon && lon.abs() <= 90.0;
            is_on_earth
                && end
                    .position
                    .is_some_and(|[lon, lat]| away([lat, lon]) <= most_m)
        });
        let (expected, found, remedy) = match exchanged {
            Some([lon, lat]) => (
                format!(
                    "a position on hole {}, near lon {lat}, lat {lon}",
                    printable(&played.hole)
                ),
                format!("lon {lon}, lat {lat}"),
                "lon and lat are exchanged: exchange their headings",
            ),
            None => (
                expected,
                found,
                "correct the cell, the club or the hole; the first row of a hole is its tee shot",
            ),
        };
        let about = (Topic::FarBall, played.line, field);
        self.ask(about, expected, found, remedy);
        true
    }

    /// Lengths and sides that contradict each other.
    fn of_lengths(&mut self, played: &PlayedHole) {
        let end = &played.end;
        if let (Some(carry), Some(total)) = (end.carry_m, end.total_m)
            && carry > total + ROLLS_BACK_M
        {
            let expected = format!("a carry of at most the total, {}", self.long(total));
            let found = self.long(carry);
            let about = (Topic::CarryAndTotal, played.line, Field::Carry);
            self.ask(about, expected, found, "correct carry or total");
        }
        let away = end.total_m.map(|m| (m, "total"));
        let away = away.or(end.carry_m.map(|m| (m, "carry")));
        let Some(side) = end.side_m else {
            return;
        };
        if let Some((m, name)) = away.filter(|(m, _)| side.abs() > *m) {
            let expected = format!("a side of at most the {name}, {}", self.long(m));
            self.differs((played, Field::Side), expected, self.sideways(side));
        }
        let said = end.outcome.side.map(|said| (said, sign(said)));
        if let Some((said, sign)) = said
            && sign * side < -OTHER_SIDE_M
        {
            let expected = format!("a result on the side of {}", self.sideways(side));
            let found = Outcome {
                side: Some(said),
                ..end.outcome
            };
            self.differs((played, Field::Result), expected, found.words());
        }
    }

    fn sideways(&self, side_m: f64) -> String {
        let side = if side_m < 0.0 { "left" } else { "right" };
        format!("{} {side}", self.long(side_m.abs()))
    }

    /// A lie beside what the map has at the place that the row says.
    fn of_lie(
        &mut self,
        (played, outcome): (&PlayedHole, Outcome),
        hole: &Hole,
        at: Coord<f64>,
        around_m: &[f64],
    ) {
        let Some(lie) = outcome.lie else {
            return;
        };
        let around_m = if lie == Lie::Penalty {
            &DROPPED_M
        } else {
            around_m
        };
        if lies_near(hole, at, lie, around_m) {
            return;
        }
        let drawn = Lie::of(hole.surface_at(at)).words();
        let expected = format!("{drawn}, as the map has the place");
        let remedy = match (outcome.is_lost(), played.end.position.is_some()) {
            (true, _) => {
                "write the place where the ball was lost, not where it was dropped, or none"
            }
            (false, true) => "correct the position or the result",
            (false, false) => {
                "correct the lengths or the result; side is measured from the line that the plan aims along"
            }
        };
        let about = (Topic::LieAndPlace, played.line, Field::Result);
        self.ask(about, expected, outcome.words(), remedy);
    }

    /// A position beside everything else that its row says.
    fn of_position(&mut self, played: &PlayedHole, known: &Known<'_>, at: Coord<f64>) {
        let (end, hole) = (&played.end, known.hole);
        self.of_lie((played, end.outcome), hole, at, &AROUND_M);
        let (off_m, side) = off_play(hole, at);
        if let Some(said) = end.outcome.side
            && said != side
            && off_m > AROUND_M[1]
        {
            let expected = format!(
                "a result {} of the line of play, as the position is",
                words_of(side)
            );
            self.differs((played, Field::Result), expected, end.outcome.words());
        }
        let away = apart(at, known.tee.middle());
        let lengths = [
            (end.total_m, away, Field::Total, "from the tee"),
            (end.to_go_m, apart(at, hole.pin), Field::ToGo, "to the pin"),
        ];
        for (said, is, field, what) in lengths {
            if let Some(said) = said.filter(|said| (said - is).abs() > room(is)) {
                let expected = format!("{} {what}, as the position is", self.long(is));
                self.differs((played, field), expected, self.long(said));
            }
        }
        if let Some(carry) = end.carry_m.filter(|carry| *carry > away + room(away)) {
            let expected = format!(
                "a carry of at most {}, where the position is",
                self.long(away)
            );
            self.differs((played, Field::Carry), expected, self.long(carry));
        }
    }

    /// Where a ball ended.
    fn of_place(&mut self, played: &PlayedHole, known: &Known<'_>) {
        self.of_lengths(played);
        let (end, hole) = (&played.end, known.hole);
        if let Some(lie) = end.outcome.lie
            && !has(hole, lie)
        {
            let expected = format!(
                "a result that hole {} has: no {} is drawn on it",
                printable(&hole.reference),
                lie.words()
            );
            let remedy = "correct the result, or draw it in the map";
            let about = (Topic::LieAndPlace, played.line, Field::Result);
            self.ask(about, expected, end.outcome.words(), remedy);
            return;
        }
        let position = end.position.map(|[lon, lat]| {
            let plane = Plane::new(hole.origin_lon_lat);
            plane.to_plane(lon, lat)
        });
        // Lengths may be those of where a lost ball was dropped; a ball in the hole is at the pin.
        if end.outcome.is_lost() || played.is_ace() {
            if let Some(at) = position.filter(|_| end.outcome.is_lost()) {
                self.of_lie((played, end.outcome), hole, at, &AROUND_M);
            }
            return;
        }
        if let Some(at) = position {
            return self.of_position(played, known, at);
        }
        let middle = known.tee.middle();
        let to_pin = apart(middle, hole.pin);
        if let (Some(total), Some(to_go)) = (end.total_m, end.to_go_m) {
            let least = (to_pin - total).abs();
            let most = to_pin.hypot(total);
            if to_go < least - room(least) || to_go > most + room(most) {
                let expected = format!(
                    "{} to {} to the pin after {}",
                    self.long(least),
                    self.long(most),
                    self.long(total)
                );
                self.differs((played, Field::ToGo), expected, self.long(to_go));
                return;
            }
        }
        let Some(lie) = end.outcome.lie else {
            return;
        };
        let lengths = [
            // With its side a total is a place, as soon as the aim is known.
            (
                end.total_m.filter(|_| end.side_m.is_none()),
                middle,
                Field::Total,
                "from the tee",
            ),
            (end.to_go_m, hole.pin, Field::ToGo, "from the pin"),
        ];
        for (m, from, field, what) in lengths {
            if let Some(m) = m.filter(|m| !lies_around(hole, from, *m, lie)) {
                let expected = format!("a length {what} at which the map has {}", lie.words());
                self.differs((played, field), expected, self.long(m));
            }
        }
    }

    fn of_score(&mut self, played: &PlayedHole, hole: &Hole) {
        let Some(score) = played.score else {
            return;
        };
        let name = printable(&played.hole);
        let outcome = played.end.outcome;
        let odd = |field: Field| (Topic::OddScore, played.line, field);
        if let Some(again) = played.scored_again.first() {
            self.ask(
                (Topic::OddScore, *again, Field::Score),
                "a hole's score in one of its rows".into(),
                format!("the score of hole {name} again"),
                "give each round its own file, or write the score in the first row alone",
            );
        }
        if let Some(putts) = played.putts.filter(|putts| *putts >= score && score > 1) {
            self.ask(
                odd(Field::Putts),
                format!("fewer putts than strokes, {score}"),
                format!("{putts} putts on hole {name}"),
                "correct the putts or the score",
            );
        } else if played.rows > score {
            self.ask(
                odd(Field::Score),
                format!(
                    "a score of at least {}, a stroke for every row",
                    played.rows
                ),
                format!("{score} on hole {name}"),
                "correct the score, or delete what is no stroke",
            );
        } else if score == 1 && hole.par > 3 {
            self.ask(
                odd(Field::Score),
                format!("more than one stroke on a par {}", hole.par),
                format!("1 on hole {name}"),
                "write strokes, not strokes over par",
            );
        } else if outcome.holed && score != 1 {
            self.ask(
                odd(Field::Result),
                "where the tee shot ended".into(),
                format!("holed, with a score of {score} on hole {name}"),
                "write where the tee shot ended, or leave the cell empty",
            );
        } else if score == 1 && outcome.says_where() && !outcome.holed {
            self.ask(
                odd(Field::Result),
                "holed, as the score is 1".into(),
                format!("{} on hole {name}", outcome.words()),
                "correct the score, or write holed",
            );
        }
    }
}

/// The place of a ball by the line that the plan aims along, beside what else its row says.
#[must_use]
pub fn of_end(
    (log, played): (&RoundLog, &PlayedHole),
    hole: &Hole,
    view: &View,
    unit: LengthUnit,
) -> Vec<Question> {
    let mut asked = Asked {
        log,
        unit,
        questions: Vec::new(),
    };
    let end = &played.end;
    let is_asked = end.position.is_none() && !played.is_ace();
    let (Some(at), true) = (end.along_and_side(end.total_m), is_asked) else {
        return Vec::new();
    };
    let at = view.at(at);
    asked.of_lie((played, end.outcome), hole, at, &AIMED_OTHERWISE_M);
    let to_pin = apart(at, hole.pin);
    if let Some(to_go) = end.to_go_m.filter(|_| !end.outcome.is_lost())
        && (to_go - to_pin).abs() > room(to_pin) + AROUND_M[1]
    {
        let expected = format!(
            "{} to the pin, so far out and to the side",
            asked.long(to_pin)
        );
        asked.differs((played, Field::ToGo), expected, asked.long(to_go));
    }
    asked.questions
}

fn words_of(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

/// Right is positive.
fn sign(side: Side) -> f64 {
    match side {
        Side::Left => -1.0,
        Side::Right => 1.0,
    }
}

fn apart(a: Coord<f64>, b: Coord<f64>) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}

/// How far two lengths of one ball may differ, m: one was estimated.
fn room(m: f64) -> f64 {
    AROUND_M[2] + ESTIMATED * m
}

/// Whether a hole has what a ball lies in: what need not be drawn, every hole has.
fn has(hole: &Hole, lie: Lie) -> bool {
    let is_drawn = hole
        .patches
        .iter()
        .any(|patch| Lie::of(patch.surface) == lie);
    match lie {
        Lie::Penalty | Lie::Out | Lie::Bunker => is_drawn,
        Lie::Trees => is_drawn || !hole.trees.is_empty(),
        Lie::Fairway | Lie::Rough | Lie::Green => true,
    }
}

/// Whether the map has a lie so far from a place, in any direction.
fn lies_around(hole: &Hole, from: Coord<f64>, m: f64, lie: Lie) -> bool {
    let steps = ((std::f64::consts::TAU * m / STEP_M) as usize).max(DIRECTIONS);
    let off = [0.0, 5.0, -5.0, 10.0, -10.0, 15.0, -15.0];
    off.iter().map(|off| (m + off).max(0.0)).any(|m| {
        (0..steps).any(|step| {
            let angle = std::f64::consts::TAU * step as f64 / steps as f64;
            let place = Coord {
                x: from.x + m * angle.sin(),
                y: from.y + m * angle.cos(),
            };
            Lie::of(hole.surface_at(place)) == lie
        })
    })
}

/// Whether the map has a lie at a place or close by.
fn lies_near(hole: &Hole, at: Coord<f64>, lie: Lie, around_m: &[f64]) -> bool {
    let is = |place: Coord<f64>| Lie::of(hole.surface_at(place)) == lie;
    is(at)
        || around_m.iter().any(|m| {
            (0..DIRECTIONS).any(|step| {
                let angle = std::f64::consts::TAU * step as f64 / DIRECTIONS as f64;
                is(Coord {
                    x: at.x + m * angle.sin(),
                    y: at.y + m * angle.cos(),
                })
            })
        })
}
