//! The same tee in another wind, or to another pin: what changes, and what
//! keeping to the plan would cost.
//!
//! The tee is decided again among the clubs that were not hopeless on the day
//! ([`HOPELESS`](super::search::HOPELESS)). To another pin the hole is solved
//! again, from the day's own values. In another wind the tee shot is flown in
//! it, and what follows is worth what it is in the day's wind: a shot left that
//! is longer into the wind is so for every tee shot, and mostly cancels.
//!
//! What is told is the least change that is as good as the best: the plan as it is,
//! a new aim from its peg, its club from a new peg, another club; as good is within
//! [`FREE`] or within noise.

use super::range::{Range, mean_and_error};
use super::rules::StrokesFrom;
use super::whole::held::Told;
use super::whole::{Options, Whole};
use super::{Decision, NothingInPlay, Question, decide_again};
use crate::outcome::{Rest, TeeShot};

/// What costs less than this is as good, strokes.
pub const FREE: f64 = 0.02;

/// How much of a plan a case changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// Nothing.
    Nothing,
    /// The aim.
    Aim,
    /// Peg and aim.
    Peg,
    /// Club, peg and aim.
    Club,
}

/// What becomes of a tee's decision in one case.
#[derive(Clone, Debug)]
pub struct Case {
    /// How much of the plan changes.
    pub change: Change,
    /// The shot to hit then.
    pub shot: TeeShot,
    /// Its average carry, m.
    pub carry_m: f64,
    /// Strokes to hole out with it.
    pub strokes: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// What the plan's club costs beside the best then, aimed anew, and the standard
    /// error; none where it keeps no ball in play.
    pub keep_club: Option<(f64, f64)>,
    /// What the plan's very shot costs then: club, peg and aim; none where it
    /// keeps no ball in play.
    pub keep_shot: Option<(f64, f64)>,
}

/// Decides a tee again. `before` is the plan's decision, `solved` the hole as it
/// was solved for it; without, the published table prices what follows.
///
/// # Errors
/// As [`decide`](super::decide).
pub fn decide_case(
    question: &Question<'_>,
    before: &Decision,
    solved: Option<&Whole>,
) -> Result<Case, NothingInPlay> {
    let Some(solved) = solved else {
        let to_go = super::finish::StrokesToGo::for_handicap(question.player.handicap);
        return case(question, before, &to_go, &to_go);
    };
    let moved = question.hole.pin != solved.explicit.problem().pin();
    if !moved {
        return case(question, before, &solved.choosing(), &Told(solved));
    }
    let start = question
        .tee
        .peg(question.tee.width_m() / 2.0, super::range::PEG_MARGIN_M);
    let whole = Whole::of(
        question.hole,
        question.player,
        question.day,
        start,
        &Options::default(),
        Some(solved),
    );
    case(question, before, &whole.choosing(), &Told(&whole))
}

fn case(
    question: &Question<'_>,
    before: &Decision,
    choosing: &dyn StrokesFrom,
    telling: &dyn StrokesFrom,
) -> Result<Case, NothingInPlay> {
    let decision = decide_again(question, choosing, before, &|_| {})?;
    let range = Range::new(question, telling);
    let best = &decision.choice;
    let by_set = range.by_set(&best.rests);
    let costs = |rests: &[Rest]| {
        let differences: Vec<f64> = range
            .by_set(rests)
            .iter()
            .zip(&by_set)
            .map(|(a, b)| a - b)
            .collect();
        let (costs, error) = mean_and_error(&differences);
        costs.is_finite().then_some((costs, error))
    };
    let planned = before.choice.shot;
    let same_club = std::iter::once(best)
        .chain(&decision.alternatives)
        .find(|priced| priced.shot.club == planned.club);
    let kept = range.price_fresh(planned);
    let keep_shot = costs(&kept.rests);
    let keep_club = same_club.and_then(|priced| costs(&priced.rests));
    let good = |costs: Option<(f64, f64)>| {
        costs.is_some_and(|(costs, error)| costs < FREE || costs <= 2.0 * error)
    };
    let (change, told) = if good(keep_shot) {
        (Change::Nothing, kept)
    } else if let (true, Some(again)) = (good(keep_club), same_club) {
        let aimed = range.price_fresh(TeeShot {
            aim_deg: again.shot.aim_deg,
            ..planned
        });
        if good(costs(&aimed.rests)) {
            (Change::Aim, aimed)
        } else {
            (Change::Peg, again.clone())
        }
    } else {
        (Change::Club, best.clone())
    };
    let (strokes, standard_error) = mean_and_error(&range.by_set(&told.rests));
    Ok(Case {
        change,
        shot: told.shot,
        carry_m: told.carry_m,
        strokes,
        standard_error,
        keep_club,
        keep_shot,
    })
}
