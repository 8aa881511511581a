//! A tee shot judged: its scores, what every objective makes of it and would rather hit, and the next
//! shot.

use std::sync::Arc;

use rayon::prelude::*;

use super::by_game::{ByGame, Judged, Wants};
use super::evaluated::EVALUATION_ERROR;
use super::finish::StrokesToGo;
use super::range::{FAN_SETS, FRESH_BALLS, Flown, Range, mean_and_error};
use super::rollouts::Rollouts;
use super::rules::Rules;
use super::whole::Whole;
use super::whole::continuation::Table;
use super::whole::held::{Evaluated, after};
use super::whole::judge::{Loss, scores};
use super::whole::next_shot::{next_shot, usual_lie};
use super::whole::next_shot_for::next_shot_for;
use super::whole::objective::Objective;
use super::whole::played_for::{Plan, scores_for};
use super::whole::scores::Scores;
use super::{Decision, Priced, Question};
use crate::mdp::After;
use crate::outcome::{Rest, TeeShot};

/// Scores whose mean is further from the strokes than this are moved to them.
const SAME_MEAN: f64 = 0.001;

/// Where the balls of a tee shot are played from next, by the selection values.
pub(super) fn lies_after(
    question: &Question<'_>,
    whole: &Whole,
    shot: &Priced,
) -> Vec<(f64, After)> {
    let choosing = whole.choosing();
    let rules = Rules::new(question.hole, &choosing, question.player.club_length_m);
    after(&choosing, &rules, &shot.rests, shot.strokes)
}

/// What tee shots are judged with.
pub(super) struct Judging<'a> {
    question: &'a Question<'a>,
    whole: &'a Whole,
    wants: &'a Wants<'a>,
    flown: &'a Arc<Flown>,
    /// The objective that the tee is decided for; none for fewest strokes.
    pub(super) asked_for: Option<Loss<'a>>,
    /// The objectives held beside each other.
    losses: Vec<Option<Loss<'a>>>,
}

impl<'a> Judging<'a> {
    /// With a ball that is replayed from the tee worth what it is with this shot.
    pub(super) fn beside(
        question: &'a Question<'a>,
        whole: &'a Whole,
        wants: &'a Wants<'a>,
        flown: &'a Arc<Flown>,
        shot: &Priced,
    ) -> Self {
        let par = usize::from(question.hole.par);
        let lies = lies_after(question, whole, shot);
        let loss = |aim| Loss::of(whole, aim, par, &lies);
        Self {
            question,
            whole,
            wants,
            flown,
            asked_for: loss(wants.aim),
            losses: wants.beside.par_iter().map(loss).collect(),
        }
    }

    /// A decision with everything that stands beside it.
    pub(super) fn of(&self, decision: Decision, rollouts: &Rollouts) -> ByGame {
        let Self {
            question,
            whole,
            wants,
            flown,
            asked_for,
            losses,
        } = self;
        let choice = &decision.choice;
        let ask_scores = || {
            let club_length_m = question.player.club_length_m;
            let (rests, strokes) = (&choice.rests, choice.strokes);
            let scores = scores(whole, question.hole, club_length_m, rests, strokes);
            let apart = (scores.mean() - strokes).abs();
            if apart > SAME_MEAN || rollouts.has_repriced(choice.shot) {
                scores.moved_to(strokes)
            } else {
                scores
            }
        };
        let ask_the_way = || {
            let table = Table {
                hole: question.hole,
                player: question.player,
                day: question.day,
                whole,
                seed: question.seed,
            };
            let (from, surface) = usual_lie(choice)?;
            match asked_for {
                None => next_shot(&table, from, surface),
                Some(loss) => next_shot_for(&table, from, surface, wants.aim, loss.standing()),
            }
        };
        let ((mut aims, played), (scores, next_shot)) = rayon::join(
            || {
                rayon::join(
                    || {
                        judged(
                            question,
                            whole,
                            &decision,
                            wants.beside,
                            losses,
                            (flown, rollouts),
                        )
                    },
                    || played_for(question, whole, choice, losses),
                )
            },
            || rayon::join(ask_scores, ask_the_way),
        );
        tell_played(question, choice, &scores, (losses, played), &mut aims);
        let to_go = StrokesToGo::for_handicap(question.player.handicap);
        let by_table = Range::new(question, &to_go).strokes(&choice.rests).0;
        ByGame {
            by_table,
            decision,
            rollouts: rollouts.clone(),
            scores,
            aims,
            next_shot,
        }
    }
}

/// The scores after the plan's shot when it is played on for every objective that is not
/// strokes: on fresh balls.
fn played_for(
    question: &Question<'_>,
    whole: &Whole,
    choice: &Priced,
    losses: &[Option<Loss<'_>>],
) -> Vec<Scores> {
    let shot = lies_after(question, whole, choice);
    let plans: Vec<Plan<'_>> = losses
        .iter()
        .flatten()
        .map(|loss| Plan {
            standing: loss.standing(),
            shot: &shot,
        })
        .collect();
    scores_for(whole, question.hole, question.day, &plans)
}

/// What the plan's shot is worth by every objective when it is played on for it, by the
/// scores that this comes to.
fn tell_played(
    question: &Question<'_>,
    choice: &Priced,
    scores: &Scores,
    (losses, played): (&[Option<Loss<'_>>], Vec<Scores>),
    aims: &mut [Judged],
) {
    let mut played = played.into_iter();
    let par = usize::from(question.hole.par);
    for (judged, loss) in aims.iter_mut().zip(losses) {
        let Some(loss) = loss else {
            judged.scores = scores.clone();
            (judged.of_choice, judged.standard_error) = (choice.strokes, choice.standard_error);
            judged.worth = choice.strokes - judged.choice_costs.0;
            continue;
        };
        if let Some(played) = played.next() {
            judged.of_choice = played.expect(|score| judged.aim.worth(score, par));
            judged.worth = judged.of_choice + judged.choice_costs.0;
            let sets = Range::new(question, loss).by_set(&choice.rests);
            judged.standard_error = mean_and_error(&sets).1;
            // The evaluation of the holes after it errs with the scores' spread.
            let evaluated =
                EVALUATION_ERROR * spread(&played, &judged.aim, par) / played.variance().sqrt();
            if evaluated.is_finite() {
                judged.standard_error = judged.standard_error.hypot(evaluated);
            }
            judged.scores = played;
        }
    }
}

/// Standard deviation of a score's worth.
pub(super) fn spread(scores: &Scores, aim: &Objective, par: usize) -> f64 {
    let mean = scores.expect(|score| aim.worth(score, par));
    let variance = scores.expect(|score| (aim.worth(score, par) - mean).powi(2));
    variance.max(0.0).sqrt()
}

/// Clubs that are looked at along a fan of aims, the choice's first.
const FANNED: usize = 3;
/// The fan, degrees either way.
const FAN_DEG: [f64; 8] = [-8.0, -6.0, -4.0, -2.0, 2.0, 4.0, 6.0, 8.0];

fn judged(
    question: &Question<'_>,
    whole: &Whole,
    decision: &Decision,
    aims: &[Objective],
    losses: &[Option<Loss<'_>>],
    (flown, rollouts): (&Arc<Flown>, &Rollouts),
) -> Vec<Judged> {
    if aims.is_empty() {
        return Vec::new();
    }
    let worth = Evaluated(whole);
    let range = Range::sharing(question, &worth, flown);
    let shots: Vec<TeeShot> = std::iter::once(&decision.choice)
        .chain(&decision.alternatives)
        .map(|p| p.shot)
        .collect();
    let fan: Vec<TeeShot> = shots
        .iter()
        .take(FANNED)
        .flat_map(|shot| {
            FAN_DEG.map(|turn| TeeShot {
                aim_deg: shot.aim_deg + turn,
                ..*shot
            })
        })
        .collect();
    let fanned: Vec<Vec<Rest>> = fan
        .par_iter()
        .map(|shot| range.fresh_rests(*shot, FAN_SETS))
        .collect();
    let balls = FAN_SETS * FRESH_BALLS;
    // Every candidate on the same balls; the choice first.
    let candidates: Vec<(TeeShot, &[Rest])> = std::iter::once(&decision.choice)
        .chain(&decision.alternatives)
        .map(|p| (p.shot, &p.rests[..balls.min(p.rests.len())]))
        .chain(
            fan.iter()
                .zip(&fanned)
                .map(|(shot, rests)| (*shot, &rests[..])),
        )
        .collect();
    // By objective, by candidate: the loss of every set.
    let by_set: Vec<Vec<Vec<f64>>> = losses
        .iter()
        .map(|loss| {
            let range = match loss {
                Some(loss) => Range::new(question, loss),
                None => Range::new(question, &worth),
            };
            let by_set = |(shot, rests): &(TeeShot, &[Rest])| {
                let mut by_set = range.by_set(rests);
                if loss.is_none() {
                    rollouts.reprice(*shot, &mut by_set);
                }
                by_set
            };
            candidates.par_iter().map(by_set).collect()
        })
        .collect();
    let mean = |sets: &[f64]| sets.iter().sum::<f64>() / sets.len() as f64;
    // A shot that the hole is not finished with is none, whatever is played for.
    let finishes = |index: usize| by_set.iter().all(|of_aim| mean(&of_aim[index]).is_finite());
    let best: Vec<usize> = by_set
        .iter()
        .map(|of_aim| {
            let mut best = 0;
            for (index, sets) in of_aim.iter().enumerate() {
                if mean(sets) < mean(&of_aim[best]) && finishes(index) {
                    best = index;
                }
            }
            best
        })
        .collect();
    let costs = |aim: usize, candidate: usize| {
        let differences: Vec<f64> = by_set[aim][candidate]
            .iter()
            .zip(&by_set[aim][best[aim]])
            .map(|(a, b)| a - b)
            .collect();
        mean_and_error(&differences)
    };
    let worth_of = |aim: usize, candidate: usize| {
        let loss = mean(&by_set[aim][candidate]);
        losses[aim].as_ref().map_or(loss, |l| l.worth(loss))
    };
    (0..aims.len())
        .map(|aim| Judged {
            aim: aims[aim].clone(),
            shot: candidates[best[aim]].0,
            worth: worth_of(aim, best[aim]),
            of_choice: worth_of(aim, 0),
            costs: (0..aims.len()).map(|by| costs(by, best[aim])).collect(),
            choice_costs: costs(aim, 0),
            scores: Scores::default(),
            standard_error: mean_and_error(&by_set[aim][0]).1,
        })
        .collect()
}
