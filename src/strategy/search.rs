//! The least expected strokes over peg, club, shape and aim.
//!
//! Every comparison is made on the same balls (common random numbers): first a
//! coarse survey of every club, peg and aim, then a smooth surface is fitted
//! around the best of each club and its bottom followed, with more balls for
//! the clubs that contend; last, the choice, the best of every other club and
//! the named aims are priced again on fresh balls, which the search has not
//! seen, so that the printed figures have no optimisation bias.

use std::ops::RangeInclusive;
use std::sync::Arc;

use rayon::prelude::*;

use super::finish::StrokesToGo;
use super::follow::{CLOSE, LATERALS, NARROW, PLAIN, Scored, WIDE};
use super::range::{FRESH_SETS, Flown, PEG_MARGIN_M, Range, Stage, Survey};
use super::reached::{NotReached, reached};
use super::rules::StrokesFrom;
use super::{Decision, Priced, Progress, Question};
use crate::outcome::{Rest, TeeShot};

/// Balls a shot in the survey, in the pursuit of clubs that are [`BEHIND`] and of
/// the others, of contenders, and in the last close look at them: on half as many of the last
/// two the best rival saved 0.0042 strokes on hole 4 (`brute_force whole`), of 0.0013. The fuzz targets
/// (`cfg(fuzzing)`) look for crashes, not for the best shot, and make do with few.
const SURVEY_BALLS: usize = if cfg!(fuzzing) { 8 } else { 64 };
const BEHIND_BALLS: usize = if cfg!(fuzzing) { 8 } else { 128 };
const PURSUIT_BALLS: usize = if cfg!(fuzzing) { 8 } else { 256 };
pub(super) const CONTENDER_BALLS: usize = if cfg!(fuzzing) { 16 } else { 1024 };
pub(super) const CLOSE_BALLS: usize = if cfg!(fuzzing) { 16 } else { 4096 };
/// Steps between aims in the survey, degrees.
const SURVEY_STEP_DEG: f64 = 2.0;
/// A survey whose best aim is its last on one side goes on by so many steps, at most so many times.
const WIDER_STEPS: i32 = 5;
const WIDENED: usize = 4;
/// A club this much dearer than the best in the survey is off the pace, strokes:
/// its best line is listed, but need not be found to the last thousandth.
const BEHIND: f64 = 0.3;
/// Another valley of a club is followed too where it is no dearer than this, strokes.
const VALLEY: f64 = 0.2;
/// The same on the balls of the pursuit.
const LIKELY: f64 = 0.08;
/// Most valleys of a club.
const VALLEYS: usize = 3;
/// Clubs within this of the best after the pursuit contend, strokes: those within 0.1 were
/// chosen no oftener (nine holes, three seeds).
const CONTENDS: f64 = 0.06;
/// The cost of a club that is further off the best is known to a few hundredths, strokes.
const FAR_OFF: f64 = 0.1;
/// Sets of fresh balls, of [`FRESH_SETS`], for such a club, and for one that is [`BEHIND`].
const FAR_OFF_SETS: usize = FRESH_SETS / 2;
const BEHIND_SETS: usize = FRESH_SETS / 4;
/// Contenders within this of the best get a last close look, strokes.
pub(super) const IN_THE_RUNNING: f64 = 0.02;
/// A club that cost more than this before is not looked at again, strokes.
pub const HOPELESS: f64 = 0.6;
/// At most so many clubs are looked at again, the best before: players of more have several shapes
/// of the same club.
const MOST_HOPEFUL: usize = 14;
/// So many clubs longer and shorter than the best are always looked at again.
const NEXT_CLUBS: usize = 2;
/// At most this many clubs contend.
const CONTENDERS: usize = 4;

/// Flies the survey of every club, which asks nothing of what a rest is worth: it may go
/// on while that is found out.
pub(super) fn survey(question: &Question<'_>, flown: &Arc<Flown>) {
    let to_go = StrokesToGo::for_handicap(question.player.handicap);
    let range = Range::sharing(question, &to_go, flown);
    (0..question.player.clubs.len())
        .into_par_iter()
        .for_each(|club| {
            range.surveyed(club);
        });
}

/// The best tee shot of every club, the choice among them, and what named aims cost.
///
/// Deterministic in `question.seed`, whatever the number of threads.
///
/// # Errors
/// [`NotReached`] when no shot with any club reaches the hole in as many strokes as one is
/// planned with.
pub fn decide(
    question: &Question<'_>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<Decision, NotReached> {
    let to_go = StrokesToGo::for_handicap(question.player.handicap);
    decide_by(question, &to_go, progress)
}

/// The same with what a rest is worth taken from `to_go`, such as the whole
/// hole's own values.
///
/// # Errors
/// As [`decide`].
pub fn decide_by(
    question: &Question<'_>,
    to_go: &dyn StrokesFrom,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<Decision, NotReached> {
    let flown = Arc::default();
    let mut found = decide_sharing(question, to_go, Look::Close, &flown, progress)?;
    Range::sharing(question, to_go, &flown).peg_plainly(&mut found, PLAIN);
    let found = reached(question, found)?;
    Ok(look_around(question, to_go, found, &flown, progress))
}

/// The same looked at so closely, with what was flown before from this tee, and without
/// what [`Range::look_around`] finds.
pub(super) fn decide_sharing(
    question: &Question<'_>,
    to_go: &dyn StrokesFrom,
    look: Look,
    flown: &Arc<Flown>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<Decision, NotReached> {
    let clubs: Vec<usize> = (0..question.player.clubs.len()).collect();
    decide_among(question, to_go, &clubs, look, flown, progress)
}

/// A tee that was decided before, under another wind or pin or by another worth:
/// clubs that cost more than [`HOPELESS`] then are not looked at again unless they are next to the
/// best in carry, the others as if for the first time.
///
/// # Errors
/// As [`decide`].
pub fn decide_again(
    question: &Question<'_>,
    to_go: &dyn StrokesFrom,
    before: &Decision,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<Decision, NotReached> {
    let flown = Arc::default();
    let mut found = decide_again_sharing(question, to_go, before, Look::Close, &flown, progress)?;
    Range::sharing(question, to_go, &flown).peg_plainly(&mut found, PLAIN);
    let found = reached(question, found)?;
    Ok(look_around(question, to_go, found, &flown, progress))
}

/// The same without what [`Range::look_around`] finds.
pub(super) fn decide_again_sharing(
    question: &Question<'_>,
    to_go: &dyn StrokesFrom,
    before: &Decision,
    look: Look,
    flown: &Arc<Flown>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<Decision, NotReached> {
    let mut clubs = hopeful(before);
    loop {
        let Ok(found) = decide_among(question, to_go, &clubs, look, flown, progress) else {
            // Where none of them keeps a ball in play, another may.
            return decide_sharing(question, to_go, look, flown, progress);
        };
        let beside = next_in_carry(question, found.choice.shot.club);
        let known = clubs.len();
        let more = beside.into_iter().filter(|club| !clubs.contains(club));
        clubs.extend(more.collect::<Vec<_>>());
        if clubs.len() == known {
            return Ok(found);
        }
        clubs.sort_unstable();
    }
}

/// The clubs next to a club in carry: another wind may ask for one that was hopeless before.
fn next_in_carry(question: &Question<'_>, club: usize) -> Vec<usize> {
    let clubs = &question.player.clubs;
    let mut order: Vec<usize> = (0..clubs.len()).collect();
    order.sort_by(|a, b| {
        clubs[*b]
            .carry_m
            .total_cmp(&clubs[*a].carry_m)
            .then(a.cmp(b))
    });
    let at = order.iter().position(|other| *other == club).unwrap_or(0);
    let near = at.saturating_sub(NEXT_CLUBS)..(at + NEXT_CLUBS + 1).min(order.len());
    order[near].to_vec()
}

/// A decision with what [`Range::look_around`] finds.
fn look_around(
    question: &Question<'_>,
    to_go: &dyn StrokesFrom,
    mut found: Decision,
    flown: &Arc<Flown>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Decision {
    let range = Range::sharing(question, to_go, flown);
    let by_set = range.by_set(&found.choice.rests);
    range.look_around(&mut found, &by_set);
    tell(progress, 5, "done");
    found
}

fn tell(progress: &(dyn Fn(Progress) + Sync), done: usize, doing: &'static str) {
    progress(Progress {
        done,
        total: 5,
        doing,
    });
}

/// The same, looked at less closely: clubs that the survey puts far behind are not
/// followed, the best are weighed on a quarter of the balls, and nothing is said of
/// named aims, the aim's window and the flight.
///
/// # Errors
/// As [`decide`].
pub fn decide_roughly(
    question: &Question<'_>,
    to_go: &dyn StrokesFrom,
    before: &Decision,
) -> Result<Decision, NotReached> {
    let (clubs, flown) = (hopeful(before), Arc::default());
    decide_among(question, to_go, &clubs, Look::Rough, &flown, &|_| {})
        .or_else(|_| decide_by(question, to_go, &|_| {}))
}

/// Clubs that were not hopeless, the best of them.
fn hopeful(before: &Decision) -> Vec<usize> {
    let mut clubs: Vec<usize> = std::iter::once(&before.choice)
        .chain(before.alternatives.iter().filter(|a| a.costs <= HOPELESS))
        .map(|priced| priced.shot.club)
        .take(MOST_HOPEFUL)
        .collect();
    clubs.sort_unstable();
    clubs.dedup();
    clubs
}

/// How closely contenders are looked at.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Look {
    /// The best of them once more, on [`CLOSE_BALLS`].
    Close,
    /// Without that: they are followed further by the evaluation.
    Weighed,
    /// Only those are followed that are near the best, and evaluated.
    Rough,
}

/// A club that the survey puts this far behind is not followed in a rough look,
/// strokes.
const FAR_BEHIND: f64 = 0.25;

/// The best shot of each of these clubs, and the choice among them.
fn decide_among(
    question: &Question<'_>,
    to_go: &dyn StrokesFrom,
    clubs: &[usize],
    look: Look,
    flown: &Arc<Flown>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<Decision, NotReached> {
    let range = Range::sharing(question, to_go, flown);
    let tell = |done, doing| tell(progress, done, doing);

    tell(0, "surveying every club, peg and aim");
    let surveyed: Vec<Vec<Scored>> = clubs.par_iter().map(|&club| range.survey(club)).collect();

    tell(1, "following each club's best");
    let mut found = range.pursue(surveyed, look);

    tell(2, "weighing the contenders");
    let weighed = range.weigh(&found);
    let closest = range.look_closely(&weighed, look);
    for (i, placed) in &closest {
        found[*i] = *placed;
    }

    tell(3, "pricing on fresh balls");
    let finalists: Vec<usize> = match look {
        Look::Close | Look::Weighed => (0..found.len()).collect(),
        Look::Rough => closest.iter().map(|(i, _)| *i).collect(),
    };
    let mut fresh = range.price_finalists(&found, &finalists);
    if fresh.is_empty() {
        return Err(NotReached::of(question, f64::INFINITY));
    }
    let (choice, choice_by_set) = fresh.remove(0);
    let alternatives = fresh
        .into_iter()
        .map(|(mut other, by_set)| {
            other.set_costs(&by_set, &choice_by_set);
            other
        })
        .collect();
    tell(4, "finding how much aim matters");
    Ok(Decision {
        aim_window_deg: [choice.shot.aim_deg; 2],
        aim_costs: Vec::new(),
        further_back_costs: (0.0, 0.0),
        choice,
        alternatives,
        comparisons: Vec::new(),
        flight: Vec::new(),
        flight_airborne: 0,
    })
}

fn least<'a>(scored: impl Iterator<Item = &'a Scored>) -> f64 {
    scored.map(|s| s.strokes).fold(f64::INFINITY, f64::min)
}

impl Range<'_> {
    /// The best shot of each club, followed from the best of its survey.
    fn pursue(&self, surveyed: Vec<Vec<Scored>>, look: Look) -> Vec<Scored> {
        let surveyed: Vec<Vec<Scored>> = surveyed
            .into_par_iter()
            .map(|starts| self.look_again(starts))
            .collect();
        let best = least(surveyed.iter().flatten());
        surveyed
            .par_iter()
            .map(|starts| {
                // A club far off the pace needs its best line, not its second valley.
                let behind = starts[0].strokes - best;
                if look == Look::Rough && behind > FAR_BEHIND {
                    return Some(starts[0]);
                }
                let (starts, balls) = if behind > BEHIND {
                    (&starts[..1], BEHIND_BALLS)
                } else {
                    (&starts[..], PURSUIT_BALLS)
                };
                let ends: Vec<Scored> = starts
                    .iter()
                    .map(|s| {
                        let end = self.follow(s.shot, Stage::Pursuit, balls, WIDE);
                        self.along_depth(end.shot, Stage::Pursuit, balls, 2)
                    })
                    .collect();
                ends.into_iter()
                    .reduce(|a, b| if b.strokes < a.strokes { b } else { a })
            })
            .map(|end| end.expect("every club has a start"))
            .collect()
    }

    /// The contenders by index, best first, followed further on more balls.
    fn weigh(&self, pursued: &[Scored]) -> Vec<(usize, Scored)> {
        let best = least(pursued.iter());
        let mut order: Vec<usize> = (0..pursued.len()).collect();
        order.sort_by(|a, b| pursued[*a].strokes.total_cmp(&pursued[*b].strokes));
        let contenders: Vec<usize> = order
            .iter()
            .copied()
            .take(CONTENDERS)
            .filter(|i| pursued[*i].strokes - best <= CONTENDS)
            .collect();
        contenders
            .into_par_iter()
            .map(|i| {
                let start = pursued[i].shot;
                let end = self.follow(start, Stage::Contenders, CONTENDER_BALLS, NARROW);
                let placed = self.along_depth(end.shot, Stage::Contenders, CONTENDER_BALLS, 5);
                (i, placed)
            })
            .collect()
    }

    /// The contenders where a close look at those near the best moves them; their strokes are those
    /// they were weighed at.
    fn look_closely(&self, weighed: &[(usize, Scored)], look: Look) -> Vec<(usize, Scored)> {
        let best = least(weighed.iter().map(|w| &w.1));
        weighed
            .par_iter()
            .map(|(i, placed)| {
                let shot = if look == Look::Close && placed.strokes - best <= IN_THE_RUNNING {
                    let end = self.follow(placed.shot, Stage::Close, CLOSE_BALLS, CLOSE);
                    end.shot
                } else {
                    placed.shot
                };
                (*i, Scored { shot, ..*placed })
            })
            .collect()
    }

    /// The finalists on fresh balls with their price on each set, best first: the fewer sets the
    /// further a club is off the best.
    fn price_finalists(&self, found: &[Scored], finalists: &[usize]) -> Vec<(Priced, Vec<f64>)> {
        let best = least(found.iter());
        let mut fresh: Vec<(Priced, Vec<f64>)> = finalists
            .par_iter()
            .map(|&i| {
                let off = found[i].strokes - best;
                let sets = if off > BEHIND {
                    BEHIND_SETS
                } else if off > FAR_OFF {
                    FAR_OFF_SETS
                } else {
                    FRESH_SETS
                };
                self.price_on(found[i].shot, sets)
            })
            .collect();
        fresh.sort_by(|(a, _), (b, _)| a.strokes.total_cmp(&b.strokes));
        // A shot that loses every ball has no finite price and is no option.
        fresh.retain(|(priced, _)| priced.strokes.is_finite());
        fresh
    }

    /// A coarse lattice of one club's pegs and aims, flown once.
    fn surveyed(&self, club: usize) -> Arc<Survey> {
        self.flown.survey(club, || self.fly_survey(club))
    }

    fn fly_survey(&self, club: usize) -> Survey {
        let (middle_deg, steps) = self.middle_and_steps(club);
        self.fly_lattice(club, middle_deg, -steps..=steps)
    }

    /// About which aim a club is surveyed, and how many steps to either side.
    fn middle_and_steps(&self, club: usize) -> (f64, i32) {
        let [low, high] = self.aims(club);
        // About the middle, so that a mirrored hole is searched in mirror image.
        let middle_deg = (low + high) / 2.0;
        (
            middle_deg,
            ((high - middle_deg) / SURVEY_STEP_DEG).ceil() as i32,
        )
    }

    fn fly_lattice(&self, club: usize, middle_deg: f64, steps: RangeInclusive<i32>) -> Survey {
        let aim_deg = |step: i32| middle_deg + f64::from(step) * SURVEY_STEP_DEG;
        let range = [aim_deg(*steps.start()), aim_deg(*steps.end())];
        let volley = self.volley(club, Stage::Survey, 0, SURVEY_BALLS, range);
        let pegs = self.laterals(LATERALS);
        steps
            .into_par_iter()
            .flat_map_iter(|step| {
                let aim_deg = aim_deg(step);
                let toward = volley.toward(aim_deg);
                // From side to side along every other aim; between, from the middle.
                let pegs = match step % 2 {
                    0 => &pegs[..],
                    _ => &pegs[pegs.len() / 2..][..1],
                };
                pegs.iter()
                    .map(|from_left_m| {
                        let shot = TeeShot {
                            club,
                            from_left_m: *from_left_m,
                            behind_front_m: PEG_MARGIN_M,
                            aim_deg,
                        };
                        (shot, self.rests(&toward, &shot))
                    })
                    .collect::<Vec<_>>()
            })
            .collect()
    }

    /// Coarse prices of one club: the best, and the best of other valleys. Where the best aim is the
    /// last on one side, further aims on that side are looked at: with water all round, a short club
    /// may be meant for land far beside the line.
    fn survey(&self, club: usize) -> Vec<Scored> {
        let price = |(shot, rests): &(TeeShot, Vec<Rest>)| Scored {
            shot: *shot,
            strokes: self.price(rests).strokes,
        };
        let surveyed = self.surveyed(club);
        let mut scored: Vec<Scored> = surveyed.par_iter().map(price).collect();
        let (middle_deg, steps) = self.middle_and_steps(club);
        let mut ends = [-steps, steps];
        for _ in 0..WIDENED {
            let best = scored.iter().min_by(|a, b| a.strokes.total_cmp(&b.strokes));
            let Some(best) = best.filter(|best| best.strokes.is_finite()) else {
                break;
            };
            let step = ((best.shot.aim_deg - middle_deg) / SURVEY_STEP_DEG).round() as i32;
            let further = if step <= ends[0] {
                ends[0] -= WIDER_STEPS;
                ends[0]..=ends[0] + WIDER_STEPS - 1
            } else if step >= ends[1] {
                ends[1] += WIDER_STEPS;
                ends[1] - WIDER_STEPS + 1..=ends[1]
            } else {
                break;
            };
            let further = self.fly_lattice(club, middle_deg, further);
            scored.par_extend(further.par_iter().map(price));
        }
        scored.sort_by(|a, b| a.strokes.total_cmp(&b.strokes));
        let mut valleys: Vec<Scored> = vec![scored[0]];
        for other in &scored[1..] {
            if valleys.len() == VALLEYS || other.strokes - scored[0].strokes > VALLEY {
                break;
            }
            let apart = |v: &Scored| (other.shot.aim_deg - v.shot.aim_deg).abs();
            if valleys.iter().all(|v| apart(v) > 3.0 * SURVEY_STEP_DEG) {
                valleys.push(*other);
            }
        }
        valleys
    }

    /// The valleys of a club on more balls: those that were luck are left out.
    fn look_again(&self, starts: Vec<Scored>) -> Vec<Scored> {
        let mut again: Vec<Scored> = starts
            .into_iter()
            .map(|start| {
                let aims = [start.shot.aim_deg; 2];
                let volley = self.volley(start.shot.club, Stage::Pursuit, 0, PURSUIT_BALLS, aims);
                let toward = volley.toward(start.shot.aim_deg);
                let strokes = self.price(&self.rests(&toward, &start.shot)).strokes;
                Scored { strokes, ..start }
            })
            .collect();
        again.sort_by(|a, b| a.strokes.total_cmp(&b.strokes));
        let least = again[0].strokes;
        // A first price may be infinite.
        again.retain(|s| s.strokes == least || s.strokes - least <= LIKELY);
        again
    }
}
