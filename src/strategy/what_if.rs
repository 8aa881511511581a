//! The same tee in another wind, or to another pin: what changes, and what
//! keeping to the plan would cost.
//!
//! To another pin the hole is solved again, from the day's own values; the tee shots
//! are those of the day, flown once for all pins: where a ball comes to rest is no
//! matter of the pin. In another wind the tee is decided again ([`other_wind`](super::other_wind))
//! among the clubs that were not hopeless on the day ([`HOPELESS`](super::search::HOPELESS)) and those
//! next to the best in carry.
//!
//! A case is the least change that is as good as the best: the plan as it is,
//! a new aim from its peg, its club from a new peg, another club; as good is within
//! [`FREE`] or within noise.

use std::sync::Arc;

use rayon::prelude::*;

use super::finish::StrokesToGo;
use super::judging::lies_after;
use super::range::{Range, Stage, mean_and_error};
use super::reached::{NotReached, takes};
use super::rollouts::Rollouts;
use super::rules::StrokesFrom;
use super::search::decide_roughly;
use super::whole::judge::Loss;
use super::whole::objective::Objective;
use super::whole::{Options, Whole};
use super::{Decision, Priced, Question};
use crate::outcome::{Rest, TeeShot, Volley};

/// What costs less than this is as good, strokes or points; and as a chance.
pub const FREE: f64 = 0.02;
/// The same of a chance.
pub const FREE_CHANCE: f64 = 0.005;

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
    /// Median carry of its sound strikes, m.
    pub carry_m: f64,
    /// Strokes to hole out with it.
    pub strokes: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// What the plan's club costs beside the best then, aimed anew, by what is played
    /// for, and the standard error; none where it keeps no ball in play.
    pub keep_club: Option<(f64, f64)>,
    /// What the plan's very shot costs then: club, peg and aim; none where it
    /// keeps no ball in play.
    pub keep_shot: Option<(f64, f64)>,
}

/// Decides a tee again in another wind by the published table. `before` is the plan's decision.
///
/// # Errors
/// As [`decide`](super::decide).
pub fn decide_wind_by_table(
    question: &Question<'_>,
    before: &Decision,
) -> Result<Case, NotReached> {
    let to_go = StrokesToGo::for_handicap(question.player.handicap);
    let decision = decide_roughly(question, &to_go, before)?;
    let worths = Worths::of_strokes(&to_go);
    let kept = worths.range(question).price_fresh(before.choice.shot);
    Ok(case(question, kept, &decision, &worths)?.0)
}

/// An objective as a loss; none for fewest strokes.
fn loss<'a>(
    question: &Question<'_>,
    before: &Decision,
    aim: &'a Objective,
    solved: &'a Whole,
) -> Option<Loss<'a>> {
    let tee = lies_after(question, solved, &before.choice);
    Loss::of(solved, aim, usize::from(question.hole.par), &tee)
}

/// The objective that ranks shots, and the values that give their strokes.
#[derive(Clone, Copy)]
pub(super) struct Worths<'a> {
    judging: &'a dyn StrokesFrom,
    evaluating: &'a dyn StrokesFrom,
    /// What costs less is as good.
    free: f64,
    /// How shots were played out, where they were.
    pub(super) rollouts: Option<&'a Rollouts>,
    /// Added to the strokes.
    pub(super) carried: f64,
    /// Standard error of the evaluation of the holes after the tee shot, strokes.
    pub(super) error: f64,
}

impl<'a> Worths<'a> {
    pub(super) fn of_strokes(to_go: &'a dyn StrokesFrom) -> Self {
        Self {
            judging: to_go,
            evaluating: to_go,
            free: FREE,
            rollouts: None,
            carried: 0.0,
            error: 0.0,
        }
    }

    pub(super) fn judged_by(self, loss: &'a Loss<'a>, aim: &Objective) -> Self {
        Self {
            judging: loss,
            rollouts: None,
            free: if aim.is_chance() { FREE_CHANCE } else { FREE },
            ..self
        }
    }
}

/// Tee shots that other pins choose among, with where their balls come to rest on the
/// plan's hole: no pin changes that.
pub struct Flown {
    shots: Vec<(TeeShot, Vec<Rest>)>,
    /// Correction of the selection bias: the plan's price on fresh balls less its price by the
    /// selection values.
    carried: f64,
}

/// Balls of each of them.
const BALLS: usize = if cfg!(fuzzing) { 8 } else { 2048 };
/// Clubs that cost more than this on the day are not looked at for another pin; and
/// where the tee shot is meant for the green.
const BEHIND: f64 = 0.12;
const BEHIND_AT_GREEN: f64 = 0.4;
/// At most so many clubs.
const CLUBS: usize = 5;
/// Aims about each club's own, degrees; every degree where the green is the target.
const FAN_DEG: [f64; 11] = [-8.0, -6.0, -4.0, -2.5, -1.2, 0.0, 1.2, 2.5, 4.0, 6.0, 8.0];
const FINE_FAN: i8 = 9;

impl Flown {
    /// Flies them.
    #[must_use]
    pub fn of(question: &Question<'_>, before: &Decision, solved: Option<&Whole>) -> Self {
        let at_green = before.choice.finish.green > 0.1;
        let behind = if at_green { BEHIND_AT_GREEN } else { BEHIND };
        let to_go = StrokesToGo::for_handicap(question.player.handicap);
        let range = Range::new(question, &to_go);
        let fan: Vec<f64> = if at_green {
            (-FINE_FAN..=FINE_FAN).map(f64::from).collect()
        } else {
            FAN_DEG.to_vec()
        };
        let clubs: Vec<TeeShot> = std::iter::once(&before.choice)
            .chain(before.alternatives.iter().filter(|a| a.costs <= behind))
            .take(CLUBS)
            .map(|priced| priced.shot)
            .collect();
        let volleys: Vec<Arc<Volley>> = clubs
            .par_iter()
            .map(|shot| {
                let reach = fan[fan.len() - 1];
                let aims = [shot.aim_deg - reach, shot.aim_deg + reach];
                range.volley(shot.club, Stage::Contenders, 0, BALLS, aims)
            })
            .collect();
        let mut shots: Vec<(usize, TeeShot)> = Vec::new();
        for (club, shot) in clubs.iter().enumerate() {
            let mut pegs = vec![shot.from_left_m];
            pegs.extend(range.laterals(3));
            for turn in &fan {
                let aim_deg = shot.aim_deg + turn;
                shots.extend(pegs.iter().map(|from_left_m| {
                    let shot = TeeShot {
                        from_left_m: *from_left_m,
                        aim_deg,
                        ..*shot
                    };
                    (club, shot)
                }));
            }
        }
        let flown = shots.into_par_iter().map(|(club, shot)| {
            let volley = &volleys[club];
            let rests = range.rests(&volley.toward(shot.aim_deg), &shot);
            (shot, rests)
        });
        let carried = solved.map_or(0.0, |solved| {
            let choosing = solved.choosing();
            let selection = Range::new(question, &choosing).strokes(&before.choice.rests);
            before.choice.strokes - selection.0
        });
        Self {
            shots: flown.collect(),
            carried,
        }
    }

    /// The best of each club by what a rest is worth now, best first, on fresh balls.
    fn best(&self, range: &Range<'_>) -> Vec<Priced> {
        let strokes: Vec<f64> = self
            .shots
            .par_iter()
            .map(|(_, rests)| range.price(rests).strokes)
            .collect();
        let mut order: Vec<usize> = (0..strokes.len())
            .filter(|i| strokes[*i].is_finite())
            .collect();
        order.sort_by(|a, b| strokes[*a].total_cmp(&strokes[*b]).then(a.cmp(b)));
        let mut best: Vec<TeeShot> = Vec::new();
        for at in order {
            let shot = self.shots[at].0;
            if best.iter().all(|known| known.club != shot.club) {
                best.push(shot);
            }
        }
        best.into_iter()
            .map(|shot| range.price_fresh(shot))
            .collect()
    }
}

/// Decides a tee again to another pin: `question.hole` is the hole with that pin,
/// `flown` the tee shots of the day. The hole is solved again from the day's values,
/// and not evaluated on fresh balls: what that makes of the plan's shot is carried over
/// from the day.
///
/// # Errors
/// [`NotReached`] where the hole is not reached.
pub fn decide_pin(
    question: &Question<'_>,
    before: &Decision,
    aim: &Objective,
    flown: &Flown,
    solved: Option<&Whole>,
) -> Result<Case, NotReached> {
    let Some(solved) = solved else {
        let to_go = StrokesToGo::for_handicap(question.player.handicap);
        return among(question, before, flown, &Worths::of_strokes(&to_go));
    };
    let day = solved.explicit.problem();
    let there = Whole::unevaluated(
        question.hole,
        question.player,
        question.day,
        day.start,
        &Options {
            swung: solved.explicit.options.swung.clone(),
            ..Options::default()
        },
        Some(solved),
    );
    let policy = there.choosing();
    let worths = Worths {
        carried: flown.carried,
        ..Worths::of_strokes(&policy)
    };
    if *aim == Objective::Strokes {
        return among(question, before, flown, &worths);
    }
    match loss(question, before, aim, &there) {
        Some(loss) => among(question, before, flown, &worths.judged_by(&loss, aim)),
        None => among(question, before, flown, &worths),
    }
}

fn among(
    question: &Question<'_>,
    before: &Decision,
    flown: &Flown,
    worths: &Worths<'_>,
) -> Result<Case, NotReached> {
    let range = Range::new(question, worths.judging);
    let mut best = flown.best(&range);
    best.sort_by(|a, b| a.strokes.total_cmp(&b.strokes));
    best.retain(|priced| priced.strokes.is_finite());
    if best.is_empty() {
        return Err(NotReached::of(question, f64::INFINITY));
    }
    let decision = Decision {
        choice: best.remove(0),
        alternatives: best,
        comparisons: Vec::new(),
        aim_window_deg: before.aim_window_deg,
        aim_costs: Vec::new(),
        further_back_costs: (0.0, 0.0),
        flight: Vec::new(),
        flight_airborne: 0,
    };
    let kept = range.price_fresh(before.choice.shot);
    Ok(case(question, kept, &decision, worths)?.0)
}

impl<'a> Worths<'a> {
    /// The tee of a question, by what shots are judged by.
    pub(super) fn range<'r>(&'r self, question: &'r Question<'_>) -> Range<'r>
    where
        'a: 'r,
    {
        let range = Range::new(question, self.judging);
        match self.rollouts {
            Some(rollouts) => range.repriced_by(rollouts),
            None => range,
        }
    }
}

/// What becomes of the plan, whose shot is now `kept`, where `decision` is the best, and the shot to
/// hit then.
pub(super) fn case(
    question: &Question<'_>,
    kept: Priced,
    decision: &Decision,
    worths: &Worths<'_>,
) -> Result<(Case, Priced), NotReached> {
    let range = worths.range(question);
    let best = &decision.choice;
    let by_set = range.by_set_of(best.shot, &best.rests);
    let costs = |priced: &Priced| {
        let differences: Vec<f64> = range
            .by_set_of(priced.shot, &priced.rests)
            .iter()
            .zip(&by_set)
            .map(|(a, b)| a - b)
            .collect();
        let (costs, error) = mean_and_error(&differences);
        costs.is_finite().then_some((costs, error))
    };
    let planned = kept.shot;
    let same_club = std::iter::once(best)
        .chain(&decision.alternatives)
        .find(|priced| priced.shot.club == planned.club);
    let keep_shot = costs(&kept);
    let keep_club = same_club.and_then(costs);
    let good = |costs: Option<(f64, f64)>| {
        costs.is_some_and(|(costs, error)| costs < worths.free || costs <= 2.0 * error)
    };
    let (change, evaluated) = if good(keep_shot) {
        (Change::Nothing, kept)
    } else if let (true, Some(again)) = (good(keep_club), same_club) {
        let aimed = range.price_fresh(TeeShot {
            aim_deg: again.shot.aim_deg,
            ..planned
        });
        if good(costs(&aimed)) {
            (Change::Aim, aimed)
        } else {
            (Change::Peg, again.clone())
        }
    } else {
        (Change::Club, best.clone())
    };
    let (strokes, standard_error) =
        Range::new(question, worths.evaluating).strokes(&evaluated.rests);
    let strokes = strokes + worths.carried;
    takes(question, strokes)?;
    let case = Case {
        change,
        shot: evaluated.shot,
        carry_m: evaluated.carry_m,
        strokes,
        standard_error: standard_error.hypot(worths.error),
        keep_club,
        keep_shot,
    };
    Ok((case, evaluated))
}
