//! A tee that is decided again in another wind, or for the same player with other scatter.
//!
//! The hole is solved in the other wind with fewer actions a state, and the tee decided by that
//! solution: the search weighs tee shots by the selection values (those of the samples that chose the
//! policy, [`Whole::choosing`]), and every shot that contends, the
//! plan's own among them, is priced by rollouts with random numbers of their own. For another
//! objective than fewest strokes the shots are ranked by the selection values, and rollouts give the
//! strokes of the shot to hit. The day's solution gives
//! the values with which the screening begins, and the clubs that are looked at; nothing else. Unlike the day's
//! decision, a [`Case`] compares no named aims.
//!
//! # Accuracy
//! On 14 random holes the strokes were 0.010 from those of the plan made in the wind in the root mean
//! square, 0.027 at most; with four actions a state in place of six, 0.016 and 0.047
//! (`examples/audit 401 40 others`). With cells of 5 m in place of the day's 2 m they were 0.107 and 0.43
//! at most: close to the green, in sand and beside water the policy was too rough. A par 3 is solved
//! with every action. With four actions and an earlier flight, against the hole solved in the wind with
//! all actions, the price of the chosen shot was 0.010 strokes dearer on average, with an error of 0.012
//! in the root mean square and of 0.034 at most, on four demo holes in 10 and 20 mph from four sides;
//! with the later shots valued in calm air, the error was 0.19 and 0.60. The choice, which keeps to the
//! plan within 0.02 strokes, cost 0.003 more than the choice of the hole solved with all actions
//! (`examples/whole_winds`).

use std::sync::Arc;

use super::by_game::{Deciding, Rows, solve};
use super::evaluated::{best_for, chosen_instead, cost_by_club};
use super::follow::{PLAIN, PLAIN_CHANCE};
use super::judging::lies_after;
use super::range::Range;
use super::reached::{NotReached, takes};
use super::rollouts::Rollouts;
use super::rules::StrokesFrom;
use super::search::{Look, decide_again_sharing};
use super::what_if::{Case, Change, Worths, case};
use super::whole::judge::Loss;
use super::whole::objective::Objective;
use super::whole::{Fineness, Options, Whole};
use super::{Decision, Question};

/// Model error of the price of a tee shot in another wind, strokes, beside the sampling error of the
/// tee shot ([accuracy](self#accuracy)).
pub const FEWER_ACTIONS_ERROR: f64 = 0.013;

/// Actions of a state, and samples from the tee.
const ACTIONS: usize = 6;
const TEE_BALLS: usize = if cfg!(fuzzing) { 16 } else { 256 };

/// The tee of `question`, which asks for another wind than the one in which the hole was solved
/// (`whole`) and the tee decided (`before`): the smallest change of the plan that costs less than
/// 0.02 strokes, or twice its standard error, more than the best.
///
/// # Errors
/// [`NotReached`] where the hole is not reached in that wind.
pub fn case_in_wind(
    question: &Question<'_>,
    whole: &Whole,
    before: &Decision,
    aim: &Objective,
) -> Result<Case, NotReached> {
    let there = Start::SamePlayer;
    decide(question, whole, before, (aim, there), |_, _, _, case| {
        Ok(case)
    })
}

/// The same for the player of `question` with other scatter: the hole is solved anew.
///
/// # Errors
/// As [`case_in_wind`].
pub fn case_for_player(
    question: &Question<'_>,
    whole: &Whole,
    before: &Decision,
    aim: &Objective,
) -> Result<Case, NotReached> {
    let there = Start::OtherPlayer;
    decide(question, whole, before, (aim, there), |_, _, _, case| {
        Ok(case)
    })
}

/// With what a solution begins.
#[derive(Clone, Copy, PartialEq)]
enum Start {
    /// With the day's values and launches.
    SamePlayer,
    /// With none: they are of other launches.
    OtherPlayer,
}

/// The same as a decision with the typical flight, without named aims and the window of the aim.
///
/// # Errors
/// As [`case_in_wind`].
pub fn decision_in_wind(
    question: &Question<'_>,
    whole: &Whole,
    before: &Decision,
    aim: &Objective,
) -> Result<Decision, NotReached> {
    decide(
        question,
        whole,
        before,
        (aim, Start::SamePlayer),
        |deciding, rollouts, best, case| {
            let chosen = {
                let evaluation = deciding.evaluation(rollouts);
                chosen_instead(question, &evaluation, best, case.shot, deciding.flown)
            };
            let deciding = Deciding {
                rows: Rows::WithFlight,
                ..deciding
            };
            deciding.held_to_rollouts(chosen, rollouts)
        },
    )
}

fn decide<T>(
    question: &Question<'_>,
    whole: &Whole,
    before: &Decision,
    (aim, start): (&Objective, Start),
    tell: impl FnOnce(Deciding<'_>, &mut Rollouts, Decision, Case) -> Result<T, NotReached>,
) -> Result<T, NotReached> {
    let usual = &whole.explicit.options;
    // Par 3s are soon solved, and what follows on a missed green is all that there is to them.
    let fewer = question.hole.par > 3;
    let options = Options {
        fineness: Fineness {
            choices: if fewer {
                ACTIONS.min(usual.fineness.choices)
            } else {
                usual.fineness.choices
            },
            ..usual.fineness
        },
        tee_balls: if fewer {
            TEE_BALLS.min(usual.tee_balls)
        } else {
            usual.tee_balls
        },
        thorough: false,
        swung: usual.swung.clone().filter(|_| start == Start::SamePlayer),
        ..usual.clone()
    };
    let previous = (start == Start::SamePlayer).then_some(&whole.explicit);
    let there = solve(question, &options, previous)?;
    let flown = Arc::default();
    let again = |worth: &dyn StrokesFrom, look| {
        decide_again_sharing(question, worth, before, look, &flown, &|_| {})
    };
    let worth = there.choosing();
    let found = again(&worth, Look::Weighed)?;
    let lying = lies_after(question, &there, &found.choice);
    let loss = Loss::of(&there, aim, usize::from(question.hole.par), &lying);
    let deciding = Deciding {
        question,
        whole: &there,
        worth: &worth,
        cost: cost_by_club(&found),
        flown: &flown,
        error: FEWER_ACTIONS_ERROR,
        rows: Rows::Clubs,
    };
    let mut rollouts = Rollouts::one_footing();
    let for_aim = match &loss {
        Some(loss) => Some(again(loss, Look::Close)?),
        None => None,
    };
    let best = {
        let evaluation = deciding.evaluation(&rollouts);
        best_for(question, &evaluation, &flown, found, for_aim)
    };
    let best = match &loss {
        None => deciding.held_to_rollouts(best, &mut rollouts)?,
        // Strokes do not rank what another objective chose.
        Some(_) => best.with_errors(&deciding.evaluation(&rollouts)),
    };
    let kept = Range::sharing(question, &worth, &flown).price_fresh(before.choice.shot);
    rollouts.extend_by(question, &there, std::iter::once(&kept));
    let (mut case, shot) = {
        let mut worths = Worths::of_strokes(&worth);
        (worths.rollouts, worths.error) = (Some(&rollouts), FEWER_ACTIONS_ERROR);
        if let Some(loss) = &loss {
            worths = worths.judged_by(loss, aim);
        }
        let (case, shot) = case(question, kept, &best, &worths)?;
        let plain = if aim.is_chance() { PLAIN_CHANCE } else { PLAIN };
        let plain = Some(plain).filter(|_| matches!(case.change, Change::Peg | Change::Club));
        let plain = plain.and_then(|plain| {
            let range = worths.range(question);
            let by_set = range.by_set_of(shot.shot, &shot.rests);
            range.plain_peg(&shot, &by_set, plain)
        });
        (case, plain.map_or(shot, |(plain, _)| plain))
    };
    (case.shot, case.carry_m) = (shot.shot, shot.carry_m);
    let (strokes, of_rollouts) = rollouts.priced(question, &there, &shot);
    case.strokes = strokes;
    case.standard_error = case.standard_error.hypot(of_rollouts);
    takes(question, case.strokes)?;
    tell(deciding, &mut rollouts, best, case)
}
