//! The sound files of a check together: what `plan` would refuse of them, and the command that they
//! are ready for.

use std::path::Path;

use bendline::diagnostic::{Problem, Problems};
use bendline::hole::{Course, Heights};
use bendline::player::Player;
use bendline::round::Round;
use bendline::units::LengthUnit;
use clap::Parser;

use crate::cli;
use crate::commands::game::{self, Read};
use crate::commands::subject::{self, shown};

/// What a sound file holds.
pub enum Content {
    Hole(Course),
    Player(Player),
    /// A shot log's player.
    Log(Player),
    Round(Round),
    Heights(Heights),
}

/// The first sound file of each kind, by name.
#[derive(Default)]
pub struct Sound {
    hole: Option<(String, Course)>,
    player: Option<(String, Player)>,
    log: Option<(String, Player)>,
    round: Option<(String, Round)>,
    heights: Option<(String, Heights)>,
}

/// The next thing to do with sound files.
pub enum Next {
    /// A command line, word by word.
    Command(Vec<String>),
    /// A sentence.
    Advice(String),
}

impl Next {
    /// As it is shown: a command as it can be pasted into a shell.
    pub fn text(&self) -> String {
        match self {
            Self::Command(words) => {
                let words: Vec<String> = words.iter().map(|word| quoted(word)).collect();
                words.join(" ")
            }
            Self::Advice(sentence) => sentence.clone(),
        }
    }
}

/// A word as a shell takes it for one, whatever it holds.
fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "/._-+:,".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_owned()
    } else {
        format!("'{}'", word.replace('\'', "'\\''"))
    }
}

impl Sound {
    /// Keeps what is the first of its kind.
    ///
    /// # Errors
    /// What `plan` would refuse of a course that is not the first.
    pub fn note(&mut self, path: &Path, content: Content) -> Result<(), Problems> {
        let mut name = shown(path);
        if name.starts_with('-') {
            // Not to be taken for an option.
            name.insert_str(0, "./");
        }
        match content {
            Content::Hole(course) if self.hole.is_some() => {
                game::check_tees(&course.holes, None)?;
            }
            Content::Hole(course) => self.hole = Some((name, course)),
            Content::Player(player) => {
                self.player.get_or_insert((name, player));
            }
            Content::Log(player) => {
                self.log.get_or_insert((name, player));
            }
            Content::Round(round) => {
                self.round.get_or_insert((name, round));
            }
            Content::Heights(heights) => {
                self.heights.get_or_insert((name, heights));
            }
        }
        Ok(())
    }

    /// Whether a plan would be of the built-in hole.
    pub fn is_without_hole(&self) -> bool {
        self.hole.is_none()
    }

    /// The next thing to do, with the options of the check that matter to it.
    pub fn next(&self, arguments: &cli::Check) -> Next {
        let mut words = vec!["bendline".to_owned()];
        let mut add = |more: &[&str]| words.extend(more.iter().map(|&word| word.to_owned()));
        let written = arguments.written.given().join(" ");
        let written: Vec<&str> = written.split_whitespace().collect();
        match (self, &self.hole) {
            (
                Self {
                    player: None,
                    round: None,
                    heights: None,
                    log: Some((log, _)),
                    ..
                },
                None,
            ) => {
                add(&["shape", log]);
                add(&written);
                add(&["--out", "me.json"]);
            }
            (Self { round, heights, .. }, None) if round.is_some() || heights.is_some() => {
                let round = round.as_ref().map(|(name, _)| quoted(name));
                let heights = heights.as_ref().map(|(name, _)| quoted(name));
                let names: Vec<String> = round.into_iter().chain(heights).collect();
                return Next::Advice(format!(
                    "check {} again, together with the hole file that it belongs to",
                    names.join(" and ")
                ));
            }
            (_, hole) => {
                add(&["plan"]);
                if let Some((hole, _)) = hole {
                    add(&[hole]);
                    if let Some(crs) = &arguments.crs {
                        add(&["--crs", crs]);
                    }
                }
                match (&self.player, &self.log) {
                    (Some((player, _)), _) => add(&["--player", player]),
                    (None, Some((log, _))) => {
                        add(&["--log", log]);
                        add(&written);
                    }
                    (None, None) => {}
                }
                if let Some((round, _)) = &self.round {
                    add(&["--round", round]);
                }
                if let Some((heights, _)) = &self.heights {
                    add(&["--heights", heights]);
                }
            }
        }
        let answers = &arguments.confirmed.it_is_so;
        if !answers.is_empty() {
            let names: Vec<&str> = answers.iter().map(|topic| topic.name()).collect();
            add(&["--it-is-so", &names.join(",")]);
        }
        Next::Command(words)
    }

    /// What `plan` would refuse of the files together before it plans: asked of its own code, by the
    /// command that comes next.
    pub fn problems(self, next: &Next) -> Vec<Problem> {
        let Next::Command(words) = next else {
            return Vec::new();
        };
        let (Some((_, course)), Ok(parsed)) = (self.hole, cli::Cli::try_parse_from(words)) else {
            return Vec::new();
        };
        let cli::Command::Plan(plan) = parsed.command else {
            return Vec::new();
        };
        let player = match self.player.or(self.log) {
            Some((_, player)) => Ok(player),
            None => subject::demo_player(None),
        };
        let seated = player.and_then(|player| {
            let read = Read {
                course,
                player,
                round: self.round.map(|(_, round)| round),
                heights: self.heights.map(|(_, heights)| heights),
            };
            let table = game::seat(read, &plan.game, LengthUnit::Yards)?;
            table.playing(&plan.play)
        });
        seated.err().map(|problems| problems.0).unwrap_or_default()
    }
}
