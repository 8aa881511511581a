//! The tee decided in other winds and to other pins.

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use super::{Planner, not_reached_in};
use crate::diagnostic::printable;
use crate::flight::air::Wind;
use crate::hole::pin;
use crate::plan::Plan;
use crate::plan::what_if::{Under, WhatIf, what_if};
use crate::strategy::other_wind::case_in_wind;
use crate::strategy::what_if::{Flown, decide_pin, decide_wind_by_table};
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
        let pins = if self.other_pins {
            pin::around(question.hole)
        } else {
            Vec::new()
        };
        let total = self.other_winds.len() + pins.len();
        if total == 0 {
            return;
        }
        let done = AtomicUsize::new(0);
        let report = |done| {
            tell(Progress {
                done,
                total,
                doing: "deciding for other winds and pins",
            });
        };
        report(0);
        let decided: Vec<Result<WhatIf, String>> = self
            .other_winds
            .par_iter()
            .map(|wind| {
                let case = self.case_in(*wind, question, (before, solved));
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
                    .push(what_if(&case, under, before, question.player)),
                Err(not) => plan.notes.push(format!(
                    "With the pin at the {name}, {}.",
                    printable(&not.to_string())
                )),
            }
            report(self.other_winds.len() + done + 1);
        }
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
            Ok(case) => Ok(what_if(&case, under, before, question.player)),
            Err(not) => Err(not_reached_in(wind, &not, self.unit)),
        }
    }
}
