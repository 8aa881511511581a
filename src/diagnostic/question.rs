//! Questions: an input that can be read and cannot well be so.
//!
//! A planner that nobody questions must question. A sign turned round, two columns swapped or a
//! line drawn from the green to the tee gives a confident plan that is wrong. Each such suspicion
//! has a [`Topic`] with a name. A reader collects [`Question`]s beside its result; the command
//! hands them to [`Answers::settle`], which makes a problem of every question that the user has not
//! answered and a note of every one that is answered with "it is so".

use std::fmt;
use std::str::FromStr;

use super::{Note, Problem};

/// Defines the topics: variant, name on the command line, meaning of the answer.
macro_rules! topics {
    ($($(#[$doc:meta])* $variant:ident $name:literal $means:literal;)+) => {
        /// What an implausible input is about. The name is the answer on the command line.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Topic {
            $(#[doc = $means] $variant,)+
        }

        impl Topic {
            /// Every topic, in the order of the list above.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];

            /// The name: lower case, words joined by hyphens.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self {
                    $(Self::$variant => $name,)+
                }
            }

            /// What the user says with this answer, as a clause: "the axis tilts as logged".
            #[must_use]
            pub fn meaning(self) -> &'static str {
                match self {
                    $(Self::$variant => $means,)+
                }
            }
        }
    };
}

topics! {
    // Shot logs and player files.
    AxisSign "axis-sign" "the spin axis tilts to the side that is logged";
    StartSign "start-sign" "the balls start to the side that is logged";
    SideSign "side-sign" "the balls end on the side that is logged";
    CurveSign "curve-sign" "the balls curve to the side that is logged";
    Directions "directions" "start, curve and side belong to one ball";
    AxisAndCurve "axis-and-curve" "axis and curve belong to one ball";
    SameFigure "same-figure" "every shot gave that figure";
    PathSign "path-sign" "the club moves to the side that is logged";
    FaceSign "face-sign" "the face points to the side that is logged";
    PathAndFace "path-and-face" "path and face stand in their own columns";
    Hand "hand" "the player stands on the side that is said";
    ShapeWords "shape-words" "the shape column means what it says";
    LengthUnit "length-unit" "the lengths are in the unit of their heading";
    SpeedUnit "speed-unit" "the speeds are in the unit of their heading";
    CarryAndTotal "carry-and-total" "carry and total stand in their own columns";
    RepeatedRows "repeated-rows" "the rows that are alike are shots of their own";
    GoodShotsOnly "good-shots-only" "no bad shot was left out";
    ClubOrder "club-order" "the clubs carry as far as is logged";
    LaunchAndCarry "launch-and-carry" "launch and carry belong to one ball";
    Roll "roll" "the balls roll as far as is logged";
    ClubLaunch "club-launch" "the club launches the ball so";
    Putter "putter" "the putter is hit from the tee";
    StartLine "start-line" "the balls start so far off the aim";
    BagSize "bag-size" "the bag holds so many clubs";
    // Maps.
    MapTag "map-tag" "the tags that are not known mean nothing for play";
    LatitudeFirst "latitude-first" "the positions are longitude first";
    LineDirection "line-direction" "the line of play runs from the tee to the green as drawn";
    HoleLength "hole-length" "the hole has that par at that length";
    OddPlace "odd-place" "tee, bends and pin lie where they are drawn";
    FairwayOfAnother "fairway-of-another" "the hole has no fairway of its own";
    TwoPins "two-pins" "the pin nearest to the end of the line of play is the day's";
    OddSize "odd-size" "what is drawn is as large as it is drawn";
    StrokeIndex "stroke-index" "the stroke indices are as drawn";
    // Heights of the ground.
    GroundHeights "ground-heights" "the ground is as high as the file has it";
    // Round logs.
    OtherHole "other-hole" "the rows of holes that are not on this course are to be left out";
    OtherClub "other-club" "clubs were hit that the bag lacks: their shots are not compared";
    FarBall "far-ball" "the balls ended as far off as is written";
    LieAndPlace "lie-and-place" "a lost ball was lost, any other lay where position or lengths say";
    OddScore "odd-score" "the scores are as written";
    // The day.
    StationPressure "station-pressure" "the pressure is that at the course, not reduced to sea level";
    Gale "gale" "the wind blows as hard as said";
}

impl fmt::Display for Topic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Topic {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let named = |topic: &&Self| topic.name().eq_ignore_ascii_case(text.trim());
        let names = || Self::ALL.iter().map(|topic| topic.name());
        Self::ALL.iter().find(named).copied().ok_or_else(|| {
            let names: Vec<&str> = names().collect();
            format!(
                "expected a name that a question ended with: {}",
                names.join(", ")
            )
        })
    }
}

impl serde::Serialize for Topic {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name())
    }
}

impl<'de> serde::Deserialize<'de> for Topic {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?
            .parse()
            .map_err(serde::de::Error::custom)
    }
}

/// An input that can be read and cannot well be so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// What it is about.
    pub topic: Topic,
    /// Place, expected, found, and the remedy where the input is wrong.
    pub problem: Problem,
}

/// The topics of which the user says that the input is so.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Answers(pub Vec<Topic>);

impl Answers {
    /// Splits questions by whether they are answered: a note for each that is, a problem for each
    /// that is not. The remedy of a problem ends with the answer to give if the input is so.
    #[must_use]
    pub fn settle(&self, questions: Vec<Question>) -> (Vec<Note>, Vec<Problem>) {
        let (mut notes, mut problems) = (Vec::new(), Vec::new());
        for Question { topic, mut problem } in questions {
            if self.0.contains(&topic) {
                notes.push(Note {
                    file: problem.file,
                    place: problem.place,
                    text: format!(
                        "{}, where {} is expected: planned as it stands, because --it-is-so {topic} \
                         says that {}",
                        problem.found,
                        problem.expected,
                        topic.meaning()
                    ),
                    topic: Some(topic),
                });
            } else {
                problem.remedy = format!(
                    "{}; if it is so, add --it-is-so {topic} ({})",
                    problem.remedy,
                    topic.meaning()
                );
                problems.push(problem);
            }
        }
        (notes, problems)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Place;

    fn question(topic: Topic) -> Question {
        Question {
            topic,
            problem: Problem {
                file: "range.csv".into(),
                place: Place::File,
                expected: "one thing".into(),
                found: "another".into(),
                remedy: "mend it".into(),
            },
        }
    }

    #[test]
    fn names_are_unique_and_read_back() {
        for (index, topic) in Topic::ALL.iter().enumerate() {
            assert_eq!(topic.name().parse(), Ok(*topic));
            assert!(
                Topic::ALL[..index]
                    .iter()
                    .all(|other| other.name() != topic.name())
            );
        }
        assert!("no-such-name".parse::<Topic>().is_err());
    }

    #[test]
    fn an_answer_settles_its_own_topic_only() {
        let asked = vec![question(Topic::AxisSign), question(Topic::Hand)];
        let (notes, problems) = Answers(vec![Topic::Hand]).settle(asked);
        assert_eq!(notes.len(), 1);
        assert_eq!(notes[0].topic, Some(Topic::Hand));
        assert_eq!(
            problems[0].remedy,
            "mend it; if it is so, add --it-is-so axis-sign (the spin axis tilts to the side that \
             is logged)"
        );
    }
}
