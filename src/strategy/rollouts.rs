//! The rows of a decision played out, and re-priced where they disagree with the play.
//!
//! A tee shot is evaluated: its balls are flown, and each is worth what the solved hole says of the
//! place where it comes to rest. The rollouts do not add up these values, which decide drops and
//! replays only. From every ball the policy
//! is played on stroke by stroke ([`simulation`](super::whole::simulation)), with flights, bounces and random
//! numbers of its own. What a ball takes more than it was evaluated at is its *shift*, and the mean
//! shift is what the row is off by. The evaluated value is a control variate, and putts count by their
//! expectation. On the built-in hole a shift has a standard deviation of 0.42 strokes and a score one
//! of 0.7, so that a third as many rollouts give the same standard error. A ball that is replayed from
//! the tee has no shift of its own; the mean is stretched as replays stretch a price ([`Price`]).
//!
//! Every row is played with the same luck (common random numbers), set by set of the balls that its
//! price rests on, so that re-priced rows have standard errors, and differences of them too, by the
//! same sets.

use rayon::prelude::*;

use super::evaluated::CONTENDS;
use super::range::FRESH_BALLS;
use super::rules::{Price, Rules, Worth};
use super::whole::Whole;
use super::whole::held::Evaluated;
use super::whole::simulation::{Game, Start, play_on};
use super::{Decision, Priced, Question};
use crate::hole::{Coord, Surface};
use crate::outcome::{Rest, TeeShot, is_penalty};

/// Rollouts go on until a row's standard error is this, strokes, or this share of its cost if that is
/// more: below the hundredth that is printed.
const WANTED: f64 = 0.007;
const WANTED_SHARE: f64 = 0.1;
/// The same of a row that may be off: its shift is more than half of [`OFF`] and more than so many
/// standard errors.
const CLOSE: f64 = 0.004;
const LOOKS_OFF_ERRORS: f64 = 2.0;
/// A row is off by more than this, strokes, and by more than so many standard errors of both: within
/// 0.02 a plan keeps its club, and four errors come by chance once in 16 000 rows.
const OFF: f64 = 0.02;
const OFF_ERRORS: f64 = 4.0;
/// The error of a row that does not contend is this share of its stated one: 0.52 in the root mean
/// square of 116 tee shots (`tee_shots_are_evaluated_as_they_play` in `tests/known_whole.rs`).
const FAR_ERRS: f64 = 0.5;
/// Rollouts of each set of balls: at first, at most, and at most of a row that may be off (two for
/// each ball). On a par 5 all in a wood, where a score spreads by several strokes, they are
/// a fifth of the run.
const FIRST: usize = if cfg!(fuzzing) { 1 } else { 64 };
const MOST: usize = if cfg!(fuzzing) { 2 } else { 256 };
const MOST_CLOSE: usize = if cfg!(fuzzing) { 4 } else { 1024 };
/// Apart from every other seed of a question.
const SEED: u64 = 0x0007_0117_5000_0000;

/// A row played out.
#[derive(Clone, Debug, PartialEq)]
pub struct PlayedRow {
    /// The tee shot.
    pub shot: TeeShot,
    /// How many rollouts: a ball may have several, and one that is replayed or on the green needs no
    /// stroke more.
    pub rollouts: usize,
    /// Strokes by the values of the solution: its evaluation, or in another wind its selection values.
    pub evaluated: f64,
    /// Strokes as played.
    pub strokes: f64,
    /// Standard error of what was played after the tee shot, strokes.
    pub standard_error: f64,
    /// Whether the row has the strokes as played.
    pub is_repriced: bool,
    /// Whether it contends with the choice.
    contends: bool,
    /// By set of balls, strokes more than evaluated.
    shift: Vec<f64>,
}

/// Every row that was played out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rollouts {
    /// In the order in which they were played.
    pub rows: Vec<PlayedRow>,
    /// Whether contending rows are re-priced, one and all.
    together: bool,
}

impl Rollouts {
    /// None yet; all contending rows are to be priced by rollouts.
    pub(super) fn one_footing() -> Self {
        Self {
            rows: Vec::new(),
            together: true,
        }
    }

    /// Strokes of a tee shot as played out, and the standard error of what was played after it.
    pub(super) fn priced(
        &mut self,
        question: &Question<'_>,
        whole: &Whole,
        priced: &Priced,
    ) -> (f64, f64) {
        if !self.has_repriced(priced.shot) {
            let mut rows = [Row::of(question, whole, priced)];
            Table { question, whole }.play(&mut rows, |_| Some(WANTED));
            self.rows.retain(|row| row.shot != priced.shot);
            self.rows.extend(rows.map(|row| row.played(true)));
        }
        self.of(priced.shot)
            .map_or((priced.strokes, priced.standard_error), |row| {
                (row.strokes, row.standard_error)
            })
    }

    /// How a tee shot was played out.
    #[must_use]
    pub fn of(&self, shot: TeeShot) -> Option<&PlayedRow> {
        self.rows.iter().find(|row| row.shot == shot)
    }

    /// Whether a tee shot is priced by rollouts.
    #[must_use]
    pub fn has_repriced(&self, shot: TeeShot) -> bool {
        self.of(shot).is_some_and(|row| row.is_repriced)
    }

    /// A tee shot's price on every set of balls, moved to what was played. One that was not played out
    /// is moved by the largest shift of the re-priced rows of its club that contend: a shot that is
    /// not known to be better than these is not to replace a choice that was played.
    pub(super) fn reprice(&self, shot: TeeShot, by_set: &mut [f64]) {
        if let Some(row) = self.of(shot) {
            if row.is_repriced {
                let moved = by_set.iter_mut().zip(&row.shift);
                moved.for_each(|(price, shift)| *price += shift);
            }
            return;
        }
        let near = |row: &&PlayedRow| row.is_repriced && row.contends && row.shot.club == shot.club;
        let shifts = self.rows.iter().filter(near);
        let shifts = shifts.map(|row| row.strokes - row.evaluated);
        let most = shifts.reduce(f64::max).unwrap_or(0.0);
        by_set.iter_mut().for_each(|price| *price += most);
    }

    /// Plays out what is not known of a decision's rows; whether any is re-priced by that. Where a
    /// contending row is off, all of them are re-priced, so that they are compared on one footing.
    pub(super) fn extend(
        &mut self,
        question: &Question<'_>,
        whole: &Whole,
        decision: &Decision,
    ) -> bool {
        let named = decision.comparisons.iter().map(|(_, named)| named);
        let all = std::iter::once(&decision.choice).chain(named);
        self.extend_by(question, whole, all.chain(&decision.alternatives))
    }

    /// The same of these rows.
    pub(super) fn extend_by<'p>(
        &mut self,
        question: &Question<'_>,
        whole: &Whole,
        all: impl Iterator<Item = &'p Priced>,
    ) -> bool {
        let mut anew: Vec<&Priced> = Vec::new();
        for priced in all {
            let is_same = |other: &&Priced| other.shot == priced.shot;
            if self.of(priced.shot).is_none() && !anew.iter().any(is_same) {
                anew.push(priced);
            }
        }
        let mut rows: Vec<Row<'_>> = anew
            .into_par_iter()
            .map(|priced| Row::of(question, whole, priced))
            .collect();
        let table = Table { question, whole };
        table.play(&mut rows, |row| row.wanted());
        if rows.iter().any(|row| row.contends() && row.is_off()) {
            self.together = true;
            table.play(&mut rows, |row| row.contends().then_some(CLOSE));
        }
        let mut any = false;
        // Rows that were played out before are compared on the same footing.
        let before = self.rows.iter_mut();
        for row in before.filter(|row| self.together && row.contends && !row.is_repriced) {
            row.is_repriced = true;
            any = true;
        }
        for row in rows {
            let is_repriced = row.is_off() || self.together && row.contends();
            any |= is_repriced;
            self.rows.push(row.played(is_repriced));
        }
        any
    }
}

/// What rows are played on.
struct Table<'a> {
    question: &'a Question<'a>,
    whole: &'a Whole,
}

impl Table<'_> {
    /// Plays rows until each has the standard error that is wanted of it, or the most rollouts.
    fn play(&self, rows: &mut [Row<'_>], wanted: impl Fn(&Row<'_>) -> Option<f64>) {
        loop {
            let mut starts = Vec::new();
            let mut parts = Vec::new();
            for row in rows.iter_mut() {
                let until = row.enough_for(wanted(row));
                let first = starts.len();
                row.starts(until, &mut starts);
                parts.push((first..starts.len(), until));
            }
            if parts
                .iter()
                .zip(rows.iter())
                .all(|((_, until), row)| *until <= row.done)
            {
                return;
            }
            let policy = self.whole.choosing();
            let game = Game {
                hole: self.question.hole,
                player: self.question.player,
                day: self.question.day,
                policy,
                decides: policy,
            };
            let seed = SEED + u64::from(self.question.seed);
            let scores = play_on(&game, &starts, seed);
            for (row, (part, until)) in rows.iter_mut().zip(parts) {
                let mut expected = scores[part].iter().map(|score| score.expected);
                row.add(until, &mut expected);
            }
        }
    }
}

/// A ball of a tee shot that is played on.
#[derive(Clone, Copy)]
pub(super) struct Continuation {
    /// From where, m.
    pub(super) at: Coord<f64>,
    /// Strokes taken, penalties included.
    pub(super) taken: usize,
    /// What it is evaluated at, the tee shot included.
    pub(super) evaluated: f64,
}

/// The price of a tee shot's balls as evaluated, and for each ball from where it is played on; none
/// where there is nothing to be played: a replay, or putts.
pub(super) fn continuations(
    rules: &Rules<'_>,
    rests: &[Rest],
) -> (Price, Vec<Option<Continuation>>) {
    let worths: Vec<Worth> = rests.iter().map(|rest| rules.worth(rest)).collect();
    let price = Price::of(&worths);
    let continuation = |(rest, worth): (&Rest, &Worth)| {
        let evaluated = match *worth {
            Worth::Plays(strokes) => strokes,
            Worth::Relief(strokes) if strokes <= 1.0 + price.strokes => strokes,
            Worth::Relief(_) | Worth::Replay => return None,
        };
        let (at, taken) = if is_penalty(rest.surface) {
            let red = rest.surface == Surface::PenaltyRed;
            (rules.drop_spot(rest.crossed?, red)?.0, 2)
        } else {
            (rest.at, 1)
        };
        // Putts are the table's own.
        (rules.surface_at(at) != Surface::Green).then_some(Continuation {
            at,
            taken,
            evaluated: 1.0 + evaluated,
        })
    };
    let balls = rests.iter().zip(&worths).map(continuation).collect();
    (price, balls)
}

/// A row with what was played of it.
struct Row<'a> {
    priced: &'a Priced,
    /// Strokes as evaluated.
    evaluated: f64,
    /// By ball; none where there is nothing to be played: a replay, or putts.
    balls: Vec<Option<Continuation>>,
    /// What replays stretch a mean by.
    stretch: f64,
    /// Rollouts of each set so far, and the sums of their shifts.
    done: usize,
    by_set: Vec<f64>,
    squares: f64,
}

impl<'a> Row<'a> {
    fn of(question: &Question<'_>, whole: &Whole, priced: &'a Priced) -> Self {
        let evaluated = Evaluated(whole);
        let rules = Rules::new(question.hole, &evaluated, question.player.club_length_m);
        let (price, balls) = continuations(&rules, &priced.rests);
        Self {
            priced,
            evaluated: price.strokes,
            balls,
            stretch: 1.0 / (1.0 - price.replayed),
            done: 0,
            by_set: vec![0.0; priced.rests.len().div_ceil(FRESH_BALLS)],
            squares: 0.0,
        }
    }

    fn contends(&self) -> bool {
        self.priced.costs <= CONTENDS
    }

    /// The standard error that is wanted of this row by what has been played of it.
    fn wanted(&self) -> Option<f64> {
        let (shift, error) = self.shift();
        let both = error.hypot(self.priced.standard_error);
        let may_be_off = shift.abs() > (LOOKS_OFF_ERRORS * both).max(OFF / 2.0);
        let usual = WANTED.max(WANTED_SHARE * self.priced.costs);
        let is_usual = self.done >= MOST || error <= usual;
        Some(if may_be_off && is_usual { CLOSE } else { usual })
    }

    /// How many rollouts of each set give a standard error, by the spread so far.
    fn enough_for(&self, wanted: Option<f64>) -> usize {
        let Some(wanted) = wanted else {
            return self.done;
        };
        if self.done == 0 {
            return FIRST;
        }
        let most = if wanted < WANTED { MOST_CLOSE } else { MOST };
        let (_, error) = self.shift();
        let more = (error / wanted).powi(2);
        // The spread is an estimate too: a tenth too few is near enough.
        if more <= 1.1 {
            return self.done;
        }
        ((self.done as f64 * more).ceil() as usize)
            .min(most)
            .max(self.done)
    }

    /// The balls of the rollouts that follow, up to so many of each set.
    fn nexts(
        &self,
        until: usize,
    ) -> impl Iterator<Item = (usize, usize, Option<Continuation>)> + '_ {
        let sets = self.balls.chunks(FRESH_BALLS).enumerate();
        let done = self.done;
        sets.flat_map(move |(set, balls)| {
            (done..until).map(move |number| (set, number, balls[number % balls.len()]))
        })
    }

    fn starts(&self, until: usize, starts: &mut Vec<Start>) {
        starts.extend(self.nexts(until).filter_map(|(set, number, ball)| {
            let Continuation { at, taken, .. } = ball?;
            let luck = ((set as u64) << 32) + number as u64;
            Some(Start { at, taken, luck })
        }));
    }

    fn add(&mut self, until: usize, expected: &mut dyn Iterator<Item = f64>) {
        let shifts: Vec<(usize, f64)> = self
            .nexts(until)
            .filter_map(|(set, _, ball)| {
                let ball = ball?;
                Some((set, expected.next()? - ball.evaluated))
            })
            .collect();
        for (set, shift) in shifts {
            self.by_set[set] += shift;
            self.squares += shift * shift;
        }
        self.done = until.max(self.done);
    }

    /// Mean shift, and its standard error.
    fn shift(&self) -> (f64, f64) {
        let count = (self.done * self.by_set.len()) as f64;
        let mean = self.by_set.iter().sum::<f64>() / count;
        let variance = (self.squares / count - mean * mean).max(0.0);
        let error = (variance / (count - 1.0)).sqrt();
        (self.stretch * mean, self.stretch * error)
    }

    fn is_off(&self) -> bool {
        let (shift, error) = self.shift();
        let errs = if self.contends() { 1.0 } else { FAR_ERRS };
        let both = error.hypot(errs * self.priced.standard_error);
        shift.abs() > OFF.max(OFF_ERRORS * both)
    }

    fn played(self, is_repriced: bool) -> PlayedRow {
        let (shift, standard_error) = self.shift();
        let each = self.stretch / self.done as f64;
        PlayedRow {
            shot: self.priced.shot,
            rollouts: self.done * self.by_set.len(),
            evaluated: self.evaluated,
            strokes: self.evaluated + shift,
            standard_error,
            is_repriced,
            contends: self.contends(),
            shift: self.by_set.iter().map(|sum| each * sum).collect(),
        }
    }
}
