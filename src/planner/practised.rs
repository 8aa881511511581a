//! A hole played with the player's game as it is, and with something practised.

use super::{Planned, Planner, Played};
use crate::diagnostic::Problems;
use crate::player::face::FaceAndStrike;
use crate::practice::remedy::{LOWER, Part, Remedy};
use crate::practice::{PLAYS, Practised};
use crate::strategy::Progress;
use crate::strategy::finish::StrokesToGo;
use crate::strategy::part_swings::with_part_swings;
use crate::strategy::whole::Swung;
use crate::strategy::whole::objective::Objective;
use crate::strategy::whole::simulation::{Changed, Game, Score, Stroke, Style, scores_as};

/// Seed of these plays, apart from every other seed.
const SEED: u64 = 0x0009_7ac7_1c00_0000;

/// What is practised: the remedies, and for those that are planned anew the player with them.
pub struct Practising<'a> {
    /// The remedies.
    pub remedies: &'a [Remedy],
    /// For each of the player's clubs what its strike does to the bend, where logged.
    pub strikes: &'a [Option<FaceAndStrike>],
    /// Of every remedy, what the holes have in common of its player's balls.
    pub swung: &'a [Swung],
}

impl Planner<'_> {
    /// Plans the hole, and plays it thousands of times with the plan and with every remedy, on the same
    /// luck: from shots of other scatter by the same plan; with other usual flights by a plan of their
    /// own. `number` is the hole's place among those that are played: each has luck of its own.
    ///
    /// # Errors
    /// As [`plan`](Self::plan), for the player as they are and with a remedy.
    pub fn practise(
        &self,
        practising: &Practising<'_>,
        number: u64,
        tell: &(dyn Fn(Progress) + Sync),
    ) -> Result<Practised, Problems> {
        let planned = self.clone().with_course_play_check(false).plan_with(tell)?;
        let seed = SEED + (u64::from(self.seed) << 8) + number;
        let base = self.played(&planned, None, seed)?;
        let mut saved = Vec::new();
        for (number, remedy) in practising.remedies.iter().enumerate() {
            let scores = if remedy.is_planned_anew() {
                let player = remedy.applied(self.player, practising.strikes);
                let swung = practising.swung.get(number).cloned();
                let other = self
                    .for_player(&player)
                    .sharing(swung)
                    .with_course_play_check(false);
                let other = other.playing_for(Played {
                    beside: vec![Objective::Strokes],
                    ..Played::default()
                });
                other.played(&other.plan_with(&|_| {})?, None, seed)?
            } else {
                self.played(&planned, Some(*remedy), seed)?
            };
            let pairs = base.iter().zip(&scores);
            saved.push(pairs.map(|(a, b)| a.expected - b.expected).collect());
        }
        let played =
            base.iter().map(|score| score.expected).sum::<f64>() / base.len().max(1) as f64;
        Ok(Practised {
            shot: planned.decision.choice.shot,
            plan: planned.plan,
            played,
            saved,
        })
    }

    /// What the hole comes to by a plan, play by play, with the strokes of a remedy.
    fn played(
        &self,
        planned: &Planned,
        remedy: Option<Remedy>,
        seed: u64,
    ) -> Result<Vec<Score>, Problems> {
        let Some(solved) = &planned.solved else {
            return Ok(Vec::new());
        };
        let tee = self.hole.tee(self.tee.as_deref())?;
        let day = self.day_in(self.wind);
        let player = self.player_there();
        let player = &*with_part_swings(&player, self.hole, tee, &day);
        let policy = solved.choosing();
        let game = Game {
            hole: self.hole,
            player,
            day: &day,
            policy,
            decides: policy,
        };
        let choice = &planned.decision.choice;
        let part = remedy.and_then(Remedy::part);
        let par = self.hole.par;
        let strokes = |stroke: Stroke| Some(Part::of(stroke, par)) == part;
        let launches =
            |model: &_| remedy.map_or_else(|| Clone::clone(model), |r| r.launches(model));
        let better = StrokesToGo::for_handicap(player.handicap - LOWER);
        let style = Style {
            tee: Some((choice.shot, choice.peg)),
            tee_strokes: Some(choice.strokes),
            changed: part.map(|_| Changed {
                strokes: &strokes,
                launches: &launches,
            }),
            putts: (remedy == Some(Remedy::Putting)).then_some(&better),
            ..Style::default()
        };
        Ok(scores_as(&game, style, PLAYS, seed))
    }
}
