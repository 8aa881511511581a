//! What is asked of a planning: the objective, strokes received.

use std::sync::Arc;

use bendline::diagnostic::{Place, Problem, Problems};
use bendline::planner::Played;
use bendline::strategy::whole::objective::{Objective, strokes_received};
use bendline::strategy::whole::scores::Scores;
use bendline::units::scores::ScoreList;
use clap::ValueEnum;

use super::Table;
use crate::cli;

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
        self.as_on_the_range = play.as_on_the_range;
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

    /// The same, with strokes still to play over the ground, where `is_so`.
    pub fn with_landscape(mut self, is_so: bool) -> Self {
        self.has_landscape = is_so;
        self
    }

    /// What is played for on a hole, and what is held beside it.
    pub(super) fn played(&self, hole: usize) -> Played {
        let par = usize::from(self.holes[hole].par);
        let strokes_received = self.received.as_ref().map(|all| all[hole]);
        let received = strokes_received.unwrap_or(0);
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
        Played {
            aim,
            beside,
            received: strokes_received,
        }
    }
}

/// Whether these are the nine holes of a course whose stroke index runs from 1 to 9.
fn is_nine(indices: &[Option<u8>]) -> bool {
    let mut all: Vec<u8> = indices.iter().flatten().copied().collect();
    all.sort_unstable();
    indices.len() == 9 && all.iter().copied().eq(1..=9)
}
