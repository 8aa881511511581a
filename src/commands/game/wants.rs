//! What is asked of a planning: the objective, strokes received, other winds and pins.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use bendline::diagnostic::{Place, Problem, Problems, printable};
use bendline::flight::air::Wind;
use bendline::hole::pin;
use bendline::outcome::Day;
use bendline::plan::what_if::{Under, WhatIf, point, what_if};
use bendline::strategy::other_wind::case_in_wind;
use bendline::strategy::what_if::{Flown, decide_pin, decide_wind_by_table};
use bendline::strategy::whole::objective::{Objective, strokes_received};
use bendline::strategy::whole::scores::Scores;
use bendline::strategy::{self, Decision, NotReached, Question, whole};
use bendline::units::MPH_M_S;
use bendline::units::parse::WindText;
use bendline::units::scores::ScoreList;
use clap::ValueEnum;
use rayon::prelude::*;

use super::Table;
use crate::cli;
use crate::commands::day;

impl Table {
    /// The same, played for what the options or the round file say.
    ///
    /// # Errors
    /// When what is asked for cannot be told by the published table.
    pub fn playing(mut self, play: &cli::PlayFor) -> Result<Self, Problems> {
        let asked = self.round.play_for.as_deref();
        self.aim = asked
            .and_then(|key| cli::Aim::from_str(key, true).ok())
            .unwrap_or(play.aim);
        self.opponent = match (&self.round.opponent, self.aim) {
            (Some(opponent), _) => Some(opponent.clone()),
            (None, cli::Aim::Match) => play.opponent.clone(),
            (None, _) => None,
        };
        if play.opponent.is_some() && self.aim != cli::Aim::Match {
            return Err(Problem {
                file: "command line".into(),
                place: Place::Argument("--opponent".into()),
                expected: "--for match, which this option is about".into(),
                found: "another aim of play".into(),
                remedy: "add --for match, or leave --opponent out".into(),
            }
            .into());
        }
        self.worth = play.worth;
        if let Some(strokes) = self.round.receives.or(play.receives) {
            self.settle_stroke_indices()?;
            self.received = Some(self.received(strokes)?);
        }
        if self.worth == cli::Worth::Table && self.aim != cli::Aim::Strokes {
            return Err(Problem {
                file: "command line".into(),
                place: Place::Argument("--worth table".into()),
                expected: "--worth game, for anything but fewest strokes".into(),
                found: "a table of mean strokes, which knows no scores".into(),
                remedy: "leave --worth out, or play for strokes".into(),
            }
            .into());
        }
        self.beside(&play.instead)
    }

    /// Asks about the stroke indices that strokes are to be received by.
    fn settle_stroke_indices(&mut self) -> Result<(), Problems> {
        let asked = std::mem::take(&mut self.stroke_indices);
        let (notes, problems) = self.answers.settle(asked);
        if !problems.is_empty() {
            return Err(Problems(problems));
        }
        // Before anything is planned nobody else holds the holes.
        if let Some(holes) = Arc::get_mut(&mut self.holes) {
            for hole in holes {
                hole.notes.extend(notes.iter().cloned());
            }
        }
        Ok(())
    }

    /// What is received on every hole that is played.
    fn received(&self, strokes: i32) -> Result<Vec<i8>, Problem> {
        let nine = is_nine(&self.indices);
        self.holes
            .iter()
            .map(|hole| match hole.stroke_index {
                Some(index) => Ok(strokes_received(strokes, index, if nine { 9 } else { 18 })),
                None => Err(Problem {
                    file: self.file.clone(),
                    place: Place::Key(format!("hole {}", hole.reference)),
                    expected: "a stroke index, handicap=1 to 18 on the golf=hole, to allot the \
                               strokes received by"
                        .into(),
                    found: "none".into(),
                    remedy: "write it on the hole, or leave the strokes received out: points are \
                             then gross"
                        .into(),
                }),
            })
            .collect()
    }

    /// The same, with other winds or pins looked at beside every plan.
    pub fn asking(mut self, what_if: &[cli::WhatIf]) -> Self {
        self.what_if = what_if.to_vec();
        self
    }

    /// What a plan's tee becomes in other winds and to other pins.
    pub(super) fn cases(
        &self,
        question: &Question<'_>,
        before: &Decision,
        aim: &Objective,
        solved: Option<&whole::Whole>,
        tell: &(dyn Fn(strategy::Progress) + Sync),
    ) -> (Vec<WhatIf>, Vec<String>) {
        let mut winds: Vec<(f64, f64)> = Vec::new();
        if self.what_if.contains(&cli::WhatIf::Winds) {
            for speed_m_s in [10.0 * MPH_M_S, 20.0 * MPH_M_S] {
                winds.extend((0..8_u8).map(|eighth| (speed_m_s, 45.0 * f64::from(eighth))));
            }
        }
        let pins = if self.what_if.contains(&cli::WhatIf::Pins) {
            pin::around(question.hole)
        } else {
            Vec::new()
        };
        let total = winds.len() + pins.len();
        let tell = |done| {
            tell(strategy::Progress {
                done,
                total,
                doing: "deciding for other winds and pins",
            });
        };
        let mut cases: Vec<WhatIf> = Vec::with_capacity(total);
        // A case in which the hole is not reached has no row, but a note.
        let mut notes: Vec<String> = Vec::new();
        tell(0);
        let done = AtomicUsize::new(0);
        let decided = winds.par_iter().map(|&(speed_m_s, from_deg)| {
            let wind = Some(WindText {
                speed_m_s,
                from_deg,
            });
            let day = Day {
                wind: day::wind(&cli::Wind { wind }),
                ..*question.day
            };
            let under = Under {
                kind: "wind",
                wind: (speed_m_s, from_deg),
                pin: "as planned",
                aim,
            };
            let question = Question {
                day: &day,
                ..*question
            };
            let decided = match solved {
                Some(solved) => case_in_wind(&question, solved, before, aim),
                None => decide_wind_by_table(&question, before),
            };
            tell(1 + done.fetch_add(1, Ordering::Relaxed));
            match decided {
                Ok(case) => Ok(what_if(&case, under, before, question.player)),
                Err(not) => Err(not_reached_in(day.wind, &not)),
            }
        });
        for decided in decided.collect::<Vec<_>>() {
            match decided {
                Ok(case) => cases.push(case),
                Err(note) => notes.push(note),
            }
        }
        if pins.is_empty() {
            return (cases, notes);
        }
        let flown = Flown::of(question, before, solved);
        for (done, (name, at)) in pins.into_iter().enumerate() {
            tell(winds.len() + done);
            let under = Under {
                kind: "pin",
                wind: (question.day.wind.speed_m_s, question.day.wind.from_deg),
                pin: name,
                aim,
            };
            let hole = question.hole.with_pin(at);
            let question = Question {
                hole: &hole,
                ..*question
            };
            match decide_pin(&question, before, aim, &flown, solved) {
                Ok(case) => cases.push(what_if(&case, under, before, question.player)),
                Err(not) => notes.push(format!(
                    "With the pin at the {name}, {}.",
                    printable(&not.to_string())
                )),
            }
        }
        (cases, notes)
    }

    /// What is played for on a hole of this par, and what is held beside it.
    pub(super) fn aims(&self, par: usize, received: i8) -> (Objective, Vec<Objective>) {
        // A stroke received is one more on the other's score.
        let against = |list: &ScoreList| Objective::Match {
            opponent: Scores {
                by_strokes: list.by_strokes(par),
            }
            .raised(received),
        };
        let mut beside = vec![
            Objective::Strokes,
            Objective::Par,
            Objective::NoDouble,
            Objective::Points { received },
        ];
        beside.extend(self.opponent.as_ref().map(against));
        let aim = match (self.aim, &self.opponent) {
            (cli::Aim::Match, Some(list)) => against(list),
            (cli::Aim::Par, _) => Objective::Par,
            (cli::Aim::NoDouble, _) => Objective::NoDouble,
            (cli::Aim::Points, _) => Objective::Points { received },
            (cli::Aim::Strokes | cli::Aim::Match, _) => Objective::Strokes,
        };
        (aim, beside)
    }
}

/// Whether these are the nine holes of a course whose stroke index runs from 1 to 9.
fn is_nine(indices: &[Option<u8>]) -> bool {
    let mut all: Vec<u8> = indices.iter().flatten().copied().collect();
    all.sort_unstable();
    indices.len() == 9 && all.iter().copied().eq(1..=9)
}

/// A sentence about a wind in which a hole is not reached.
pub(super) fn not_reached_in(wind: Wind, not: &NotReached) -> String {
    let not = printable(&not.to_string());
    if wind.speed_m_s == 0.0 {
        return format!("In calm air, {not}.");
    }
    let (mph, from) = (wind.speed_m_s / MPH_M_S, point(wind.from_deg));
    format!("In a wind of {mph:.0} mph from {from}, {not}.")
}
