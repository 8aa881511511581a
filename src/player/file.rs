//! The player file: JSON that says the whole of a player, written and read so
//! that every number comes back to the same bits.
//!
//! ```json
//! {
//!   "format": 1, "name": "", "handedness": "right", "handicap": 12.0,
//!   "club_length_m": 1.1684,
//!   "clubs": [{
//!     "club": "driver", "shape": "draw", "shots": 40, "basis": "full_launch",
//!     "carry_m": 215.0, "dof": 7.0, "mishit_share": 0.02,
//!     "centre": [64.0, 12.0, 1.5, 2700.0, -5.0],
//!     "scale": [[…5…], … 5 rows …]
//!   }]
//! }
//! ```
//! The five are ball speed (m/s), launch angle (deg), start direction (deg,
//! right +), spin (rpm), axis tilt (deg, right +); `scale` is the scale matrix
//! of a multivariate t with `dof` degrees of freedom about `centre`, which is the middle launch of a
//! sound strike: its covariance is `scale` times dof/(dof − 2), and a draw is
//! `centre + L z sqrt(dof/χ²)`, L the Cholesky factor of `scale`, z five independent standard normals
//! and one χ² of `dof` degrees for all five. A share `mishit_share` of the draws are mishits: half are
//! topped (70 down to 25 % of the speed, launched at 5 down to 0.5°, a third of the spin), three in ten
//! skied (85 down to 55 % of the speed, 15 to 35° higher, half as much spin again), the
//! rest shanked (75 down to 45 % of the speed, 12 to 45° to the heel's far side, 0.6 of the launch angle, the axis
//! tilted 15° further the same way); how bad is uniform between the ends. All five are clamped to 3–105 m/s,
//! 0.3–70°, ±80°, 200–14 000 rpm and ±65°. `carry_m` is the middle carry, a description:
//! plans use the five. A player written by hand
//! may leave out `format`, `name`, `handicap` (12), `club_length_m` (46 in),
//! `shots` (0), `basis` (`given`), `notes` (texts, or objects of `topic` and `text` for what a plan
//! shows first), and give `spread` (five standard
//! deviations, uncorrelated) in place of `scale`. `"ball": {"drag": 1.05, "lift": 1.0}`
//! are factors on the usual ball; without it they are 1.
//!
//! A club whose path and face were logged also has
//!
//! ```json
//! "set_up": {
//!   "path_deg": 2.0, "face_deg": 0.5,
//!   "ball_forward": { "path_deg": -1.3, "face_deg": -2.0, "start_deg": -1.7,
//!                     "launch_deg": 0.9, "curve_m": -4.0, "carry_m": 1.5 }
//! }
//! ```
//! the mean path and face with the set-up straight, degrees right of the aim,
//! and, for a driver whose delivery was logged, what a ball played further
//! forward changes (see [`set_up`](super::set_up)). Both may be left out.
//!
//! `course_play` says how launches on a course differ from these patterns ([`CoursePlay`](super::CoursePlay)): factors on
//! the standard deviations of the driver and of all other clubs, in direction and distance, further ones on those
//! of wedges and partial swings, and how many more are mishit. Without it they are taken from the patterns and the
//! index; without `short_game` alone, that of the index is taken.
//!
//! ```json
//! "course_play": {
//!   "driver": { "direction": 1.1, "distance": 1.2 },
//!   "others": { "direction": 1.4, "distance": 1.4 },
//!   "short_game": { "direction": 1.2, "distance": 1.2 },
//!   "more_mishits": 0.02
//! }
//! ```
//!
//! Under `log` stands the shot log that the player was fitted to, with the air and the ground it was
//! hit in ([`Logged`]): `bendline shape` and `practice` read it again.
//! Plans are made from the patterns alone.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

mod club;
mod course_play;
mod set_up;
mod words;
mod write;

pub use write::to_json;

use std::sync::Arc;

use serde::Deserialize;
use serde_json::{Map, Value};

use words::{found, join};

use super::ball_fit::{self, BallFactors};
use super::logged::Logged;
use super::shotlog::MOST_CLUBS;
use super::{Basis, ClubShape, Handedness, Player};
use crate::diagnostic::{Note, Place, Problem, Problems, Topic, add, printable};
use crate::twice::{keys_twice, no_json};
use crate::units::MPH_M_S;

/// Handicap Index taken where none is given (practice: near the middle of
/// those who keep one).
pub const USUAL_HANDICAP: f64 = 12.0;
/// Club-length taken where none is given: 46 in, the limit of Model Local Rule
/// G-10 and about the length of a stock driver.
pub const USUAL_CLUB_LENGTH_M: f64 = 1.1684;

/// The keys of a player.
const KEYS: [&str; 10] = [
    "format",
    "name",
    "handedness",
    "handicap",
    "club_length_m",
    "ball",
    "clubs",
    "course_play",
    "notes",
    "log",
];
/// The five, with their units.
const FIVE: [&str; 5] = [
    "ball speed, m/s",
    "launch angle, deg",
    "start, deg, right +",
    "spin, rpm",
    "axis tilt, deg, right +",
];
const BASES: [(&str, Basis); 5] = [
    ("full_launch", Basis::FullLaunch),
    ("start_and_curve", Basis::StartAndCurve),
    ("side_only", Basis::SideOnly),
    ("neighbours", Basis::Neighbours),
    ("given", Basis::Given),
];

/// Largest file that is read, bytes: a log of 50 000 shots takes a third.
const LARGEST_BYTES: usize = 16 << 20;
struct Reader<'a> {
    file: &'a str,
    problems: Vec<Problem>,
}

impl Reader<'_> {
    fn problem(&mut self, key: &str, expected: &str, found: String, remedy: &str) {
        let place = match key {
            "" => Place::File,
            key => Place::Key(key.to_owned()),
        };
        let problem = Problem {
            file: self.file.to_owned(),
            place,
            expected: expected.to_owned(),
            found,
            remedy: remedy.to_owned(),
        };
        add(&mut self.problems, problem);
    }

    fn known(&mut self, object: &Map<String, Value>, path: &str, known: &[&str]) {
        for key in object.keys().filter(|key| !known.contains(&key.as_str())) {
            let path = join(path, key);
            let expected = format!("only the keys {}", known.join(", "));
            let found = format!("\"{}\"", printable(key));
            self.problem(
                &path,
                &expected,
                found,
                "correct the spelling, or remove the key",
            );
        }
    }

    /// A key that is not there; `example` is how its value is written.
    fn missing(&mut self, path: &str, expected: &str, example: &str) {
        let key = path.rsplit('.').next().unwrap_or(path);
        let remedy = format!("add the key, such as \"{key}\": {example}");
        let found = "nothing: the key is missing".to_owned();
        self.problem(path, expected, found, &remedy);
    }

    /// A number within bounds; `None` and a problem where it is not. `what` says what it is,
    /// with its unit.
    fn number(
        &mut self,
        value: &Value,
        path: &str,
        what: &str,
        [least, most]: [f64; 2],
    ) -> Option<f64> {
        let read = match value {
            // The feature float_roundtrip of serde_json reads to the nearest bits.
            Value::Number(number) => number.as_f64(),
            _ => None,
        };
        match read {
            Some(x) if x.is_finite() && x >= least && x <= most => Some(x),
            _ => {
                let expected = format!("{what}, from {least} to {most}");
                let remedy = match read {
                    None => "write a number, without quotes and unit".to_owned(),
                    // The usual mistake with a speed.
                    Some(x) if what == FIVE[0] && x > most && x * MPH_M_S <= most => {
                        format!("write it in m/s: {x} mph would be {:.1}", x * MPH_M_S)
                    }
                    Some(_) => "correct the value".to_owned(),
                };
                self.problem(path, &expected, found(value), &remedy);
                None
            }
        }
    }

    fn field(
        &mut self,
        object: &Map<String, Value>,
        path: &str,
        key: &str,
        (what, bounds): (&str, [f64; 2]),
        usual: Option<f64>,
    ) -> f64 {
        let here = join(path, key);
        match (object.get(key), usual) {
            (Some(value), _) => self.number(value, &here, what, bounds).unwrap_or(0.0),
            (None, Some(usual)) => usual,
            (None, None) => {
                let expected = format!("{what}, from {} to {}", bounds[0], bounds[1]);
                let example = match key {
                    "direction" | "distance" => "1.3",
                    "dof" => "7",
                    "mishit_share" | "more_mishits" => "0.02",
                    "carry_m" if bounds[0] > 0.0 => "150",
                    _ => "0",
                };
                self.missing(&here, &expected, example);
                0.0
            }
        }
    }

    fn string(&mut self, object: &Map<String, Value>, path: &str, key: &str) -> String {
        let here = join(path, key);
        match object.get(key) {
            Some(Value::String(text)) if !text.trim().is_empty() => text.clone(),
            Some(other) => {
                self.problem(
                    &here,
                    "text, not empty",
                    found(other),
                    "write a name in quotes",
                );
                String::new()
            }
            None => {
                let example = if key == "club" { "\"7i\"" } else { "\"draw\"" };
                self.missing(&here, "text, not empty", example);
                String::new()
            }
        }
    }

    fn ball(&mut self, value: Option<&Value>) -> BallFactors {
        let Some(Value::Object(object)) = value else {
            if let Some(other) = value {
                let remedy = "write { \"drag\": 1.0, \"lift\": 1.0 }, or remove the key";
                self.problem("ball", "factors in braces", found(other), remedy);
            }
            return BallFactors::default();
        };
        self.known(object, "ball", &["drag", "lift"]);
        let of = ("a factor on the usual ball", ball_fit::BOUNDS);
        let mut factor = |key| self.field(object, "ball", key, of, Some(1.0));
        let (drag, lift) = (factor("drag"), factor("lift"));
        BallFactors { drag, lift }
    }

    fn log(&mut self, value: &Value) -> Option<Logged> {
        let remedy = "write the player file anew from the shot log, or remove the key";
        match Logged::deserialize(value) {
            Ok(log) => {
                for (key, what, [low, high], found) in log.outside() {
                    let expected = format!("{what}, from {low} to {high}");
                    self.problem(&join("log", key), &expected, format!("{found}"), remedy);
                }
                Some(log)
            }
            Err(error) => {
                let expected = "the shot log, as `bendline shape --out` writes it";
                self.problem("log", expected, printable(&error.to_string()), remedy);
                None
            }
        }
    }
}

/// A note as it is written: a text, or an object of topic and text.
fn note(item: &Value) -> Option<(String, Option<Topic>)> {
    match item {
        Value::String(text) => Some((text.clone(), None)),
        Value::Object(note) if note.len() == 2 => {
            let text = note.get("text")?.as_str()?;
            let topic = note.get("topic")?.as_str()?.parse().ok()?;
            Some((text.to_owned(), Some(topic)))
        }
        _ => None,
    }
}

/// Reads a player file.
///
/// `file` names the file in messages.
///
/// # Errors
/// Every problem of the file at once; of one that is not JSON, where it stops
/// being JSON.
pub fn from_json(file: &str, bytes: &[u8]) -> Result<Player, Problems> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let value = parsed(file, bytes)?;
    let mut reader = Reader {
        file,
        problems: Vec::new(),
    };
    let Value::Object(object) = &value else {
        let remedy = "write { \"handedness\": … }";
        reader.problem("", "a player in braces", found(&value), remedy);
        return Err(Problems(reader.problems));
    };
    reader.check_keys(object, bytes);
    let name = reader.name(object);
    let handedness = reader.handedness(object);
    let index = ("a Handicap Index, negative for plus", [-10.0, 54.0]);
    let handicap = reader.field(object, "", "handicap", index, Some(USUAL_HANDICAP));
    // Rules of Golf, Equipment Rules part 2: a club is at most 48 in.
    let length = ("the length of the longest club in metres", [0.3, 1.2192]);
    let usual = Some(USUAL_CLUB_LENGTH_M);
    let club_length_m = reader.field(object, "", "club_length_m", length, usual);
    let ball = reader.ball(object.get("ball"));
    let course_play = course_play::read(&mut reader, object, handicap);
    let mut clubs = reader.clubs(object, handedness);
    reader.check_each_once(&clubs);
    let notes = reader.notes(object);
    let log = object.get("log").and_then(|log| reader.log(log));
    if !reader.problems.is_empty() {
        return Err(Problems(reader.problems));
    }
    // Same order as a fit: longest carry first, ties as written.
    clubs.sort_by(|a, b| b.carry_m.total_cmp(&a.carry_m));
    Ok(Player {
        name,
        handedness,
        handicap,
        club_length_m,
        clubs,
        ball,
        notes,
        course_play,
        log: log.map(Arc::new),
    })
}

/// The JSON of a file that is not too large.
fn parsed(file: &str, bytes: &[u8]) -> Result<Value, Problems> {
    if bytes.len() > LARGEST_BYTES {
        return Err(Problem {
            file: file.to_owned(),
            place: Place::File,
            expected: format!("a player file of at most {} MB", LARGEST_BYTES >> 20),
            found: format!("{} MB", bytes.len() >> 20),
            remedy: "name the file that `bendline shape --out` wrote".to_owned(),
        }
        .into());
    }
    serde_json::from_slice(bytes).map_err(|error| {
        let problem = Problem {
            file: file.to_owned(),
            place: Place::Position {
                line: error.line(),
                column: error.column(),
            },
            expected: "a player file: JSON".to_owned(),
            found: no_json(&error),
            remedy: "correct the JSON there, or write the file anew from a shot log".to_owned(),
        };
        problem.into()
    })
}

impl Reader<'_> {
    /// Every key is known and stands once in its object; the format is the one there is.
    fn check_keys(&mut self, object: &Map<String, Value>, bytes: &[u8]) {
        self.known(object, "", &KEYS);
        if let Some(format) = object.get("format")
            && format.as_u64() != Some(1)
        {
            let remedy = "write the file anew from the shot log with this version";
            self.problem("format", "1, the only format yet", found(format), remedy);
        }
        for key in keys_twice(bytes) {
            let found = "the key twice in one object".to_owned();
            self.problem(&key, "every key once", found, "remove one of the two");
        }
    }

    fn name(&mut self, object: &Map<String, Value>) -> String {
        match object.get("name") {
            None => String::new(),
            Some(Value::String(name)) => name.clone(),
            Some(other) => {
                self.problem("name", "text", found(other), "write the name in quotes");
                String::new()
            }
        }
    }

    fn handedness(&mut self, object: &Map<String, Value>) -> Handedness {
        match object.get("handedness").map(|v| (v, v.as_str())) {
            Some((_, Some("right"))) => Handedness::Right,
            Some((_, Some("left"))) => Handedness::Left,
            Some((other, _)) => {
                let remedy = "write how the player stands";
                self.problem("handedness", "\"right\" or \"left\"", found(other), remedy);
                Handedness::Right
            }
            None => {
                self.missing("handedness", "\"right\" or \"left\"", "\"right\"");
                Handedness::Right
            }
        }
    }

    /// The clubs that can be read, in the order of the file.
    fn clubs(&mut self, object: &Map<String, Value>, handedness: Handedness) -> Vec<ClubShape> {
        let mut clubs = Vec::new();
        match object.get("clubs") {
            Some(Value::Array(items)) if items.len() > MOST_CLUBS => {
                let expected = format!("at most {MOST_CLUBS} clubs and shapes");
                let remedy = "keep the clubs in the bag";
                self.problem("clubs", &expected, found(&items.len().into()), remedy);
            }
            Some(Value::Array(items)) if !items.is_empty() => {
                for (i, item) in items.iter().enumerate() {
                    clubs.extend(self.club(item, &format!("clubs[{i}]"), handedness));
                }
            }
            Some(other) => {
                let remedy = "give at least one club";
                self.problem("clubs", "a list of clubs, not empty", found(other), remedy);
            }
            None => {
                let example = "[{ \"club\": … }], as `bendline shape --out` writes it";
                self.missing("clubs", "a list of clubs, not empty", example);
            }
        }
        clubs
    }

    /// Every club stands there with each of its shapes once: looked at where all else is well, so
    /// that the index is that of the file.
    fn check_each_once(&mut self, clubs: &[ClubShape]) {
        let mut seen: Vec<(String, String)> = Vec::new();
        for (i, club) in clubs.iter().enumerate() {
            let key = (club.club.to_lowercase(), club.shape.to_lowercase());
            if self.problems.is_empty() && seen.contains(&key) {
                let found = format!("a second {} with a {}", club.club, club.shape);
                let remedy = "give the shape another name, or remove one of the two";
                let key = format!("clubs[{i}]");
                self.problem(&key, "every club with each shape once", found, remedy);
            }
            seen.push(key);
        }
    }

    fn notes(&mut self, object: &Map<String, Value>) -> Vec<Note> {
        let mut notes = Vec::new();
        match object.get("notes") {
            None => {}
            Some(Value::Array(items)) => {
                for (i, item) in items.iter().enumerate() {
                    let path = format!("notes[{i}]");
                    match note(item) {
                        Some((text, topic)) => notes.push(Note {
                            file: self.file.to_owned(),
                            place: Place::File,
                            text,
                            topic,
                        }),
                        None => self.problem(&path, "text", found(item), "write it in quotes"),
                    }
                }
            }
            Some(other) => {
                let remedy = "write a list of texts, or remove the key";
                self.problem("notes", "a list of texts", found(other), remedy);
            }
        }
        notes
    }
}
