//! The tee decided in other winds, to other pins and with other course play.

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use super::{Planner, not_reached_in};
use crate::diagnostic::printable;
use crate::flight::air::Wind;
use crate::hole::pin;
use crate::plan::Plan;
use crate::plan::assemble;
use crate::plan::what_if::{Under, WhatIf, what_if};
use crate::player::CoursePlay;
use crate::strategy::other_wind::{case_for_player, case_in_wind};
use crate::strategy::part_swings::with_part_swings;
use crate::strategy::what_if::{Case, Flown, decide_pin, decide_wind_by_table};
use crate::strategy::whole::Whole;
use crate::strategy::{Decision, Progress, Question};

impl Planner<'_> {
    /// Puts into the plan what its tee becomes in other winds and to other pins. A case in which the
    /// hole is not reached has no row, but a note.
    pub(super) fn add_cases(
        &self,
        plan: &mut Plan,
        question: &Question<'_>,
        (before, solved): (&Decision, Option<&Whole>),
        tell: &(dyn Fn(Progress) + Sync),
    ) {
        let pins = if self.cases.pins {
            pin::around(question.hole)
        } else {
            Vec::new()
        };
        let there = question.player.course_play();
        let plays = if self.cases.play {
            let [tighter, wider] = there.ends(self.player);
            vec![("tighter", tighter), ("wider", wider)]
        } else {
            Vec::new()
        };
        let (winds, total) = (&self.cases.winds, self.cases.winds.len() + plays.len());
        let all = total + pins.len();
        if all == 0 {
            return;
        }
        let done = AtomicUsize::new(0);
        let report = |done| {
            tell(Progress {
                done,
                total: all,
                doing: "deciding for other cases",
            });
        };
        report(0);
        let decided: Vec<Result<WhatIf, String>> = (0..total)
            .into_par_iter()
            .map(|number| {
                let case = match winds.get(number) {
                    Some(wind) => self.case_in(*wind, question, (before, solved)),
                    None => {
                        let (name, play) = &plays[number - winds.len()];
                        self.case_of_play((name, play), question, (before, solved))
                    }
                };
                report(1 + done.fetch_add(1, Ordering::Relaxed));
                case
            })
            .collect();
        for case in decided {
            match case {
                Ok(case) => plan.what_if.push(case),
                Err(note) => plan.notes.push(note),
            }
        }
        if pins.is_empty() {
            return;
        }
        let flown = Flown::of(question, before, solved);
        for (done, (name, at)) in pins.into_iter().enumerate() {
            let under = Under {
                kind: "pin",
                wind: (question.day.wind.speed_m_s, question.day.wind.from_deg),
                pin: name,
                play: "as planned",
                aim: &self.played.aim,
            };
            let hole = question.hole.with_pin(at);
            let question = Question {
                hole: &hole,
                ..*question
            };
            match decide_pin(&question, before, &self.played.aim, &flown, solved) {
                Ok(case) => plan
                    .what_if
                    .push(self.in_words(&case, under, before, &question)),
                Err(not) => plan.notes.push(format!(
                    "With the pin at the {name}, {}.",
                    printable(&not.to_string())
                )),
            }
            report(total + done + 1);
        }
    }

    /// A case for the plan file, its peg and aim in words.
    fn in_words(
        &self,
        case: &Case,
        under: Under<'_>,
        before: &Decision,
        question: &Question<'_>,
    ) -> WhatIf {
        let (hole, tee) = (question.hole, question.tee);
        let words = assemble::peg_and_aim(hole, tee, &case.shot, case.carry_m, self.unit);
        what_if(case, under, before, question.player, words)
    }

    fn case_in(
        &self,
        wind: Wind,
        question: &Question<'_>,
        (before, solved): (&Decision, Option<&Whole>),
    ) -> Result<WhatIf, String> {
        let day = self.day_in(wind);
        let under = Under {
            kind: "wind",
            wind: (wind.speed_m_s, wind.from_deg),
            pin: "as planned",
            play: "as planned",
            aim: &self.played.aim,
        };
        let question = Question {
            day: &day,
            ..*question
        };
        let decided = match solved {
            Some(solved) => case_in_wind(&question, solved, before, &self.played.aim),
            None => decide_wind_by_table(&question, before),
        };
        match decided {
            Ok(case) => Ok(self.in_words(&case, under, before, &question)),
            Err(not) => Err(not_reached_in(wind, &not, self.unit)),
        }
    }
    /// The tee for the player with this course play.
    fn case_of_play(
        &self,
        (name, play): (&str, &CoursePlay),
        question: &Question<'_>,
        (before, solved): (&Decision, Option<&Whole>),
    ) -> Result<WhatIf, String> {
        let under = Under {
            kind: "play",
            wind: (question.day.wind.speed_m_s, question.day.wind.from_deg),
            pin: "as planned",
            play: name,
            aim: &self.played.aim,
        };
        let player = play.on(self.player);
        let player = &*with_part_swings(&player, question.hole, question.tee, question.day);
        let question = Question {
            player,
            ..*question
        };
        let decided = match solved {
            Some(solved) => case_for_player(&question, solved, before, &self.played.aim),
            None => decide_wind_by_table(&question, before),
        };
        match decided {
            Ok(case) => Ok(self.in_words(&case, under, before, &question)),
            Err(not) => Err(format!(
                "With {name} play, {}.",
                printable(&not.to_string())
            )),
        }
    }
}
