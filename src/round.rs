//! The round file: one day on one course, as a person writes it.
//!
//! TOML (v1.0.0). Every key may be left out; a key that is not known is an
//! error, since a misspelt one would otherwise be a calm day.
//!
//! ```toml
//! course = "The Nine"            # for the cover
//! date = 2026-06-14              # a date, or any text
//! tees = "white"
//! wind = "12mph@240"             # the same forms as on the command line
//! temperature = "18C"
//! altitude = "300m"
//! pressure = "1013hPa"
//! humidity = "50%"
//! firmness = "firm"              # soft, medium or firm
//! play_for = "match"             # strokes, par, no-double, points or match
//! opponent = "par:60,bogey:40"   # for a match: how often the other takes what
//! receives = 14                  # handicap strokes over the round: points are then net
//!
//! [pins]                         # paces on, then paces in from L or R
//! 1 = "18,4L"
//! 7 = "9,6R"
//!
//! [notes]                        # the player's own words for a hole, on its page
//! 7 = "two more clubs than it looks"
//!
//! [targets]                      # things to aim at that are not in the hole file: yards on from the
//! 7 = { "the barn" = "410,25R" } # tee and left or right of the line of play; or longitude, latitude
//! ```

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diagnostic::{MOST_PROBLEMS, Place, Problem, Problems, add, printable};
use crate::flight::Firmness;
use crate::units::parse::{self, Misread, PinPaces, TargetText, WindText};
use crate::units::scores::ScoreList;

/// Keys of the file, in the order in which they are named in messages.
const KEYS: [&str; 15] = [
    "course",
    "date",
    "tees",
    "wind",
    "temperature",
    "altitude",
    "pressure",
    "humidity",
    "firmness",
    "play_for",
    "opponent",
    "receives",
    "pins",
    "notes",
    "targets",
];
/// Largest file that is read, bytes: a sheet of eighteen lines takes one.
const LARGEST_BYTES: usize = 256 << 10;
/// What can be played for.
const PLAY_FOR: [&str; 5] = ["strokes", "par", "no-double", "points", "match"];
/// Strokes that can be received over a round.
const RECEIVES: std::ops::RangeInclusive<i32> = -18..=72;
/// Longest text that is taken for a name or a date.
const LONGEST: usize = 120;
/// Longest name of something to aim at: it stands in the sentence of the aim.
const LONGEST_NAME: usize = 40;
/// How a hole's things to aim at are written.
const TARGETS: &str = "{ \"the church tower\" = \"410,25R\" }";

/// A round as its file gives it; what the file leaves out is `None`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Round {
    /// The file, as the user named it.
    pub file: String,
    /// The course's name.
    pub course: Option<String>,
    /// The day: a date as `2026-06-14`, or the file's own words.
    pub date: Option<String>,
    /// Colour of the tees.
    pub tees: Option<String>,
    /// Wind at 10 m.
    pub wind: Option<WindText>,
    /// Temperature, °C.
    pub temperature_c: Option<f64>,
    /// Height above the sea, m.
    pub altitude_m: Option<f64>,
    /// Pressure at the course, Pa.
    pub pressure_pa: Option<f64>,
    /// Relative humidity, 0 to 1.
    pub humidity: Option<f64>,
    /// Firmness of the ground.
    pub firmness: Option<Firmness>,
    /// What is played for: `strokes`, `par`, `no-double`, `points` or `match`.
    pub play_for: Option<String>,
    /// How often the opponent in a match takes how many strokes.
    pub opponent: Option<ScoreList>,
    /// Handicap strokes received over the round.
    pub receives: Option<i32>,
    /// Where the pins stand, in the order of the file.
    pub pins: Vec<HolePin>,
    /// The player's own words for holes, in the order of the file.
    pub notes: Vec<HoleNote>,
    /// What there is to aim at beside what the hole file has, in the order of the file.
    pub targets: Vec<HoleTarget>,
}

/// A line of the pin sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct HolePin {
    /// The hole's `ref`.
    pub hole: String,
    /// Where its pin stands.
    pub paces: PinPaces,
    /// Line of the file, counted from 1.
    pub line: usize,
}

/// The player's own words for a hole.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleNote {
    /// The hole's `ref`.
    pub hole: String,
    /// The words.
    pub words: String,
    /// Line of the file, counted from 1.
    pub line: usize,
}

/// Something to aim at.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleTarget {
    /// The hole's `ref`.
    pub hole: String,
    /// Its name, as it stands in a sentence: "the church tower".
    pub name: String,
    /// Where it stands.
    pub place: TargetText,
    /// Line of the file, counted from 1.
    pub line: usize,
}

/// Reads a round file.
///
/// # Errors
/// Every problem of it: syntax, keys that are not known, values that cannot
/// be read, pins of one hole given twice.
pub fn read(file: &str, bytes: &[u8]) -> Result<Round, Problems> {
    let mut reader = Reader {
        file,
        text: "",
        problems: Vec::new(),
    };
    if bytes.len() > LARGEST_BYTES {
        reader.wrong(
            1,
            format!("a round file of at most {} KB", LARGEST_BYTES >> 10),
            format!("{} KB", bytes.len() >> 10),
            "name the file of the day's pins and wind".into(),
        );
        return Err(Problems(reader.problems));
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.strip_prefix('\u{feff}').unwrap_or(text),
        Err(error) => {
            let line = bytes[..error.valid_up_to()]
                .iter()
                .filter(|&&byte| byte == b'\n')
                .count()
                + 1;
            reader.wrong(
                line,
                "text in UTF-8".into(),
                "bytes that are not".into(),
                "save the file again with the encoding UTF-8".into(),
            );
            return Err(Problems(reader.problems));
        }
    };
    reader.text = text;
    let (table, errors) = DeTable::parse_recoverable(text);
    // Beyond these nothing is told.
    for error in errors.iter().take(MOST_PROBLEMS + 1) {
        let line = error.span().map_or(1, |span| reader.line(&span));
        let message = error.message();
        let remedy = if message.contains("duplicate") {
            "take one of the two lines out"
        } else if message.contains("date") || message.contains("time") {
            "write a day that there is, such as 2026-06-14, or text in quotation marks"
        } else if message.contains("table") {
            "close the bracket, as in [pins]"
        } else {
            "put text in quotation marks, and each key on a line of its own"
        };
        reader.wrong(
            line,
            "a TOML file: key = \"value\"".into(),
            printable(message),
            remedy.into(),
        );
    }
    let round = if errors.is_empty() {
        reader.round(table.get_ref())
    } else {
        Round::default()
    };
    if reader.problems.is_empty() {
        Ok(round)
    } else {
        reader.problems.sort_by(|a, b| a.place.cmp(&b.place));
        Err(Problems(reader.problems))
    }
}

struct Reader<'a> {
    file: &'a str,
    text: &'a str,
    problems: Vec<Problem>,
}

type Value<'i> = Spanned<DeValue<'i>>;

impl Reader<'_> {
    fn line(&self, span: &Range<usize>) -> usize {
        let end = span.start.min(self.text.len());
        self.text.as_bytes()[..end]
            .iter()
            .filter(|&&byte| byte == b'\n')
            .count()
            + 1
    }

    fn wrong(&mut self, line: usize, expected: String, found: String, remedy: String) {
        let problem = Problem {
            file: self.file.to_owned(),
            place: Place::Line(line),
            expected,
            found,
            remedy,
        };
        add(&mut self.problems, problem);
    }

    fn round(&mut self, table: &DeTable<'_>) -> Round {
        let mut round = Round {
            file: self.file.to_owned(),
            ..Round::default()
        };
        for (key, value) in table {
            match key.get_ref().as_ref() {
                "course" => round.course = self.name("course", value),
                "date" => round.date = self.date(value),
                "tees" => round.tees = self.name("tees", value),
                "wind" => round.wind = self.quantity("wind", value, parse::wind),
                "temperature" => {
                    round.temperature_c = self.quantity("temperature", value, parse::temperature_c);
                }
                "altitude" => {
                    round.altitude_m = self.quantity("altitude", value, parse::altitude_m);
                }
                "pressure" => {
                    round.pressure_pa = self.quantity("pressure", value, parse::pressure_pa);
                }
                "humidity" => round.humidity = self.quantity("humidity", value, parse::humidity),
                "firmness" => round.firmness = self.quantity("firmness", value, firmness),
                "play_for" => round.play_for = self.quantity("play_for", value, play_for),
                "opponent" => {
                    round.opponent = self.quantity("opponent", value, crate::units::scores::read);
                }
                "receives" => round.receives = self.strokes(value),
                "pins" => round.pins = self.pins(value),
                "notes" => round.notes = self.notes(value),
                "targets" => round.targets = self.targets(value),
                other => {
                    let line = self.line(&key.span());
                    self.wrong(
                        line,
                        format!("one of the keys {}", KEYS.join(", ")),
                        format!("the key \"{}\"", printable(other)),
                        "check the spelling, or take the line out".into(),
                    );
                }
            }
        }
        round
    }

    /// The text of a value; a problem where it is none.
    fn text_of<'v>(&mut self, key: &str, value: &'v Value<'_>) -> Option<&'v str> {
        let text = value.get_ref().as_str();
        if text.is_none() {
            let line = self.line(&value.span());
            self.wrong(
                line,
                format!("{key}: text in quotation marks"),
                format!("a value of type {}", value.get_ref().type_str()),
                like(key),
            );
        }
        text
    }

    fn quantity<T>(
        &mut self,
        key: &str,
        value: &Value<'_>,
        read: impl Fn(&str) -> Result<T, Misread>,
    ) -> Option<T> {
        let text = self.text_of(key, value)?;
        match read(text) {
            Ok(quantity) => Some(quantity),
            Err(misread) => {
                let line = self.line(&value.span());
                self.wrong(
                    line,
                    format!("{key}: {}", misread.expected),
                    misread.found,
                    misread.remedy,
                );
                None
            }
        }
    }

    fn name(&mut self, key: &str, value: &Value<'_>) -> Option<String> {
        let text = self.text_of(key, value)?.trim();
        if text.is_empty() || text.chars().count() > LONGEST {
            let line = self.line(&value.span());
            self.wrong(
                line,
                format!("{key}: 1 to {LONGEST} characters"),
                format!("{} characters", text.chars().count()),
                "shorten it, or take the line out".into(),
            );
            return None;
        }
        Some(text.to_owned())
    }

    fn date(&mut self, value: &Value<'_>) -> Option<String> {
        match value.get_ref().as_datetime() {
            // A day, not an hour: what follows the date is not a plan's matter.
            Some(when) => match when.date {
                Some(date) => Some(date.to_string()),
                None => {
                    let line = self.line(&value.span());
                    self.wrong(
                        line,
                        "date: a day such as 2026-06-14".into(),
                        "a time without a day".into(),
                        "write the day, or text in quotation marks".into(),
                    );
                    None
                }
            },
            None => self.name("date", value),
        }
    }

    /// A whole number of strokes, as such or as text.
    fn strokes(&mut self, value: &Value<'_>) -> Option<i32> {
        let text = match value.get_ref() {
            DeValue::Integer(number) => number.to_string(),
            other => other.as_str().unwrap_or_default().trim().to_owned(),
        };
        let strokes = text.parse().ok();
        let strokes = strokes.filter(|strokes| RECEIVES.contains(strokes));
        if strokes.is_none() {
            let line = self.line(&value.span());
            let found = if text.is_empty() {
                format!("a value of type {}", value.get_ref().type_str())
            } else {
                format!("\"{}\"", printable(&text))
            };
            self.wrong(
                line,
                format!(
                    "receives: whole strokes over the round, {} to {}",
                    RECEIVES.start(),
                    RECEIVES.end()
                ),
                found,
                "write it like receives = 14, or take the line out".into(),
            );
        }
        strokes
    }

    fn pins(&mut self, value: &Value<'_>) -> Vec<HolePin> {
        let pins = self.of_holes(
            ("pins", "pin", "\"18,4L\""),
            value,
            |reader, name, value| reader.quantity(name, value, parse::pin),
        );
        let pins = pins.into_iter();
        pins.map(|(hole, paces, line)| HolePin { hole, paces, line })
            .collect()
    }

    fn notes(&mut self, value: &Value<'_>) -> Vec<HoleNote> {
        let notes = self.of_holes(
            ("notes", "note", "\"two more clubs than it looks\""),
            value,
            |reader, name, value| reader.name(name, value),
        );
        let notes = notes.into_iter();
        notes
            .map(|(hole, words, line)| HoleNote { hole, words, line })
            .collect()
    }

    fn targets(&mut self, value: &Value<'_>) -> Vec<HoleTarget> {
        let of_hole = |reader: &mut Self, heading: &str, value: &Value<'_>| {
            let Some(table) = value.get_ref().as_table() else {
                let (line, found) = (reader.line(&value.span()), value.get_ref().type_str());
                reader.wrong(
                    line,
                    format!("{heading}: names, and where each stands"),
                    format!("a value of type {found}"),
                    format!("write it like {heading} = {TARGETS}").replace("targets, hole ", ""),
                );
                return None;
            };
            let mut found: Vec<(String, TargetText, usize)> = Vec::new();
            for (key, value) in table {
                let line = reader.line(&key.span());
                let words = key.get_ref().trim();
                let name = format!("{heading}, {}", printable(words));
                let is_pin = ["pin", "the pin", "flag", "the flag"];
                let is_there =
                    |other: &(String, TargetText, usize)| other.0.eq_ignore_ascii_case(words);
                let expected = if words.chars().count() > LONGEST_NAME
                    || !words.chars().any(char::is_alphanumeric)
                {
                    format!("{heading}: a name of 1 to {LONGEST_NAME} letters, digits and spaces")
                } else if is_pin.iter().any(|pin| words.eq_ignore_ascii_case(pin)) {
                    format!("{heading}: a name of its own")
                } else if found.iter().any(is_there) {
                    format!("{heading}: each name once")
                } else {
                    String::new()
                };
                if !expected.is_empty() {
                    reader.wrong(
                        line,
                        expected,
                        format!("\"{}\"", printable(words)),
                        "write the name as you would say it: \"the church tower\"".into(),
                    );
                } else if let Some(place) = reader.quantity(&name, value, parse::target) {
                    found.push((words.to_owned(), place, line));
                }
            }
            found.sort_by(|a, b| a.2.cmp(&b.2).then_with(|| a.0.cmp(&b.0)));
            Some(found)
        };
        let targets = self.of_holes(("targets", "line of targets", TARGETS), value, of_hole);
        let each = targets.into_iter().flat_map(|(hole, found, _)| {
            found
                .into_iter()
                .map(move |(name, place, line)| HoleTarget {
                    hole: hole.clone(),
                    name,
                    place,
                    line,
                })
        });
        each.collect()
    }

    /// A table with a line for each hole: its `ref`, its value, its line; `heading`, one of them, and how
    /// one is written.
    fn of_holes<T>(
        &mut self,
        (heading, one, example): (&str, &str, &str),
        value: &Value<'_>,
        read: impl Fn(&mut Self, &str, &Value<'_>) -> Option<T>,
    ) -> Vec<(String, T, usize)> {
        let Some(table) = value.get_ref().as_table() else {
            let line = self.line(&value.span());
            self.wrong(
                line,
                format!("{heading}: a line for each hole under the heading [{heading}]"),
                format!("a value of type {}", value.get_ref().type_str()),
                format!(
                    "write [{heading}] on a line of its own and below it lines such as 7 = {example}"
                ),
            );
            return Vec::new();
        };
        let mut found: Vec<(String, T, usize)> = Vec::new();
        // In the order of the file, so that it is the second line that is wrong.
        let mut lines: Vec<_> = table.iter().collect();
        lines.sort_by_key(|(key, _)| key.span().start);
        for (key, value) in lines {
            let hole = key.get_ref().trim().to_owned();
            let name = format!("{heading}, hole {}", printable(&hole));
            let line = self.line(&key.span());
            let Some(read) = read(self, &name, value) else {
                continue;
            };
            if found
                .iter()
                .any(|known| known.0.eq_ignore_ascii_case(&hole))
            {
                self.wrong(
                    line,
                    format!("{name}: one {one}"),
                    "a second one".into(),
                    "take one of the two lines out".into(),
                );
                continue;
            }
            found.push((hole, read, line));
        }
        found
    }
}

/// How the value of a key is written.
fn like(key: &str) -> String {
    let example = match key {
        "course" => "The Nine",
        "date" => "2026-06-14",
        "tees" => "white",
        "wind" => "12mph@240",
        "temperature" => "18C",
        "altitude" => "300m",
        "pressure" => "1013hPa",
        "humidity" => "50%",
        "firmness" => "firm",
        "play_for" => "points",
        "opponent" => "birdie:10,par:50,bogey:40",
        note if note.starts_with("notes") => "two more clubs than it looks",
        target if target.starts_with("targets") => {
            return "write it like \"the church tower\" = \"410,25R\"".into();
        }
        // A hole's pin.
        _ => "18,4L",
    };
    let key = key.rsplit(' ').next().unwrap_or(key);
    format!("write it like {key} = \"{example}\"")
}

fn firmness(text: &str) -> Result<Firmness, Misread> {
    match text.trim().to_ascii_lowercase().as_str() {
        "soft" => Ok(Firmness::Soft),
        "medium" => Ok(Firmness::Medium),
        "firm" => Ok(Firmness::Firm),
        _ => Err(Misread {
            expected: "soft, medium or firm".into(),
            found: format!("\"{}\"", printable(text)),
            remedy: "write it like firmness = \"firm\"".into(),
        }),
    }
}

fn play_for(text: &str) -> Result<String, Misread> {
    let wanted = text.trim().to_ascii_lowercase();
    if PLAY_FOR.contains(&wanted.as_str()) {
        return Ok(wanted);
    }
    Err(Misread {
        expected: format!("one of {}", PLAY_FOR.join(", ")),
        found: format!("\"{}\"", printable(text)),
        remedy: "write it like play_for = \"points\"".into(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const WHOLE: &str = "course = \"The Nine\"\ndate = 2026-06-14\ntees = \"white\"\n\
        wind = \"10m/s@SW\"\ntemperature = \"18C\"\naltitude = \"300m\"\npressure = \"1000hPa\"\n\
        humidity = \"40%\"\nfirmness = \"firm\"\nplay_for = \"match\"\n\
        opponent = \"par:6,bogey:4\"\nreceives = 14\n[pins]\n9 = \"9,6R\"\n1 = \"18,4L\"\n\
        [notes]\n7 = \"two more clubs than it looks\"\n\
        [targets]\n7 = { \"the barn\" = \"410,25R\" }\n";

    #[test]
    fn a_whole_file() {
        let round = read("round.toml", WHOLE.as_bytes()).unwrap();
        assert_eq!(round.course.as_deref(), Some("The Nine"));
        assert_eq!(round.date.as_deref(), Some("2026-06-14"));
        assert_eq!(round.tees.as_deref(), Some("white"));
        let wind = round.wind.unwrap();
        assert_eq!((wind.speed_m_s, wind.from_deg), (10.0, 225.0));
        assert_eq!(round.temperature_c, Some(18.0));
        assert_eq!(round.altitude_m, Some(300.0));
        assert_eq!(round.pressure_pa, Some(100_000.0));
        assert_eq!(round.humidity, Some(0.4));
        assert_eq!(round.firmness, Some(Firmness::Firm));
        assert_eq!(round.play_for.as_deref(), Some("match"));
        assert_eq!(round.receives, Some(14));
        let opponent = round.opponent.unwrap();
        assert_eq!(opponent.by_strokes(4), [0.0, 0.0, 0.0, 0.0, 0.6, 0.4]);
        let pins: Vec<_> = round
            .pins
            .iter()
            .map(|pin| (pin.hole.as_str(), pin.paces.to_string(), pin.line))
            .collect();
        assert_eq!(pins, [("9", "9,6R".into(), 14), ("1", "18,4L".into(), 15)]);
        let note = HoleNote {
            hole: "7".into(),
            words: "two more clubs than it looks".into(),
            line: 17,
        };
        assert_eq!(round.notes, [note]);
        let [target] = &round.targets[..] else {
            panic!("{:?}", round.targets);
        };
        assert_eq!(
            (target.hole.as_str(), target.name.as_str(), target.line),
            ("7", "the barn", 19)
        );
    }

    #[test]
    fn an_empty_file_leaves_everything_open() {
        let round = read("round.toml", b"# nothing known yet\n").unwrap();
        let open = Round {
            file: "round.toml".into(),
            ..Round::default()
        };
        assert_eq!(round, open);
    }

    #[test]
    fn every_problem_at_once_with_its_line() {
        let text = "wnid = \"12mph@240\"\ntemperature = 18\nwind = \"12@240\"\nfirmness = \"hard\"\n\
                    date = 07:30:00\n[pins]\n1 = \"18\"\n\"a\" = \"9,6R\"\nA = \"9,6L\"\n";
        let problems = read("round.toml", text.as_bytes()).unwrap_err().0;
        let lines: Vec<_> = problems.iter().map(|p| p.place.clone()).collect();
        assert_eq!(lines, [1, 2, 3, 4, 5, 7, 9].map(Place::Line));
        assert_eq!(problems[0].found, "the key \"wnid\"");
        assert!(problems[0].expected.contains("wind"), "{}", problems[0]);
        assert!(problems[1].expected.starts_with("temperature: text"));
    }

    #[test]
    fn broken_syntax_is_placed() {
        let problems = read("round.toml", b"wind = \"12mph@240\"\ntees = white\n")
            .unwrap_err()
            .0;
        assert_eq!(problems[0].place, Place::Line(2), "{}", problems[0]);
        assert!(read("round.toml", b"a = \"\xff\"").is_err());
    }

    proptest! {
        #[test]
        fn nothing_makes_it_panic(text in "(?s).{0,200}") {
            let _ = read("round.toml", text.as_bytes());
        }

        #[test]
        fn nor_do_broken_bytes_of_a_sound_file(at in 0..WHOLE.len(), byte: u8) {
            let mut bytes = WHOLE.as_bytes().to_vec();
            bytes[at] = byte;
            let _ = read("round.toml", &bytes);
        }
    }
}
