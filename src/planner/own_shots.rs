//! Tee shots of the player's own, priced beside the plan and put into it.

use super::Planner;
use crate::diagnostic::printable;
use crate::plan::Plan;
use crate::plan::own_shot::own_shot;
use crate::plan::verified::verified;
use crate::plan::whole_hole::WholeHole;
use crate::strategy::by_game::{ByGame, Wants};
use crate::strategy::own_shot::{Beside, OwnShot, by_game, by_table};
use crate::strategy::whole::Whole;
use crate::strategy::whole::objective::Objective;
use crate::strategy::{Decision, Question};

impl Planner<'_> {
    fn shots(&self) -> Vec<OwnShot> {
        self.own_shots
            .iter()
            .map(|(_, shot)| shot.clone())
            .collect()
    }

    /// The shots on a hole that the published table values, put into the plan.
    pub(super) fn add_own_by_table(
        &self,
        plan: &mut Plan,
        question: &Question<'_>,
        found: &Decision,
    ) {
        let priced = by_table(question, found, &self.shots());
        self.add_own(plan, priced, question, &[], &|_| None);
    }

    /// The shots on a solved hole.
    pub(super) fn own_by_game(
        &self,
        question: &Question<'_>,
        wants: &Wants<'_>,
        solved: &mut Whole,
        found: &mut ByGame,
    ) -> Vec<Option<Beside>> {
        by_game(question, solved, wants, found, &self.shots())
    }

    /// Puts priced shots into the plan; `aims` are the objectives beside each other, `whole` what
    /// follows on a shot, where the hole is solved.
    pub(super) fn add_own(
        &self,
        plan: &mut Plan,
        priced: Vec<Option<Beside>>,
        question: &Question<'_>,
        aims: &[Objective],
        whole: &dyn Fn(&ByGame) -> Option<WholeHole>,
    ) {
        for (number, ((asked, _), beside)) in (1..).zip(self.own_shots.iter().zip(priced)) {
            let Some(beside) = beside else {
                plan.notes.push(format!(
                    "\"{}\": no ball of this shot stays in play, so that it has no price.",
                    printable(asked)
                ));
                continue;
            };
            let mut page = self.assembled(question, &beside.decision);
            let found = beside.by_game.as_ref();
            page.whole_hole = found.and_then(whole);
            page.verified = found.and_then(|found| verified(found, question.player));
            let asked = (number, asked.as_str());
            let added = own_shot(asked, &beside, page, plan, aims, self.unit);
            plan.own_shots.push(added);
        }
    }
}
