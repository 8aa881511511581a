//! Whether a plan's choice holds however the player scatters.

use super::Planner;
use crate::plan::robust::{Robust, robust};
use crate::player::{CoursePlay, Player};
use crate::strategy::part_swings::with_part_swings;
use crate::strategy::robust::at_ends;
use crate::strategy::whole::Whole;
use crate::strategy::whole::objective::Objective;
use crate::strategy::{Decision, Question};

impl Planner<'_> {
    /// The choice at both ends of course play; none for another objective than fewest strokes, or where
    /// the choice keeps no ball in play at an end.
    pub(super) fn robust(
        &self,
        question: &Question<'_>,
        decision: &Decision,
        solved: &Whole,
    ) -> Option<Robust> {
        if self.played.aim != Objective::Strokes {
            return None;
        }
        let planned = question.player.course_play();
        let ends = ["tighter", "wider"]
            .into_iter()
            .zip(planned.ends(self.player));
        // The range's own play has no tighter end.
        let ends: Vec<(&str, CoursePlay)> = ends.filter(|(_, play)| *play != planned).collect();
        let players: Vec<Player> = ends
            .iter()
            .map(|(_, play)| {
                let player = play.on(self.player);
                with_part_swings(&player, question.hole, question.tee, question.day).into_owned()
            })
            .collect();
        let found: Option<Vec<_>> = at_ends(question, solved, decision, &players)
            .into_iter()
            .zip(ends)
            .map(|(found, (name, play))| Some((name, play, found?)))
            .collect();
        let choice = decision.choice.shot;
        Some(robust(&found?, &planned, choice, question.player))
    }
}
