//! The balls of a next shot played on: the next stroke of each, flown anew.
//!
//! [`Evaluated`] knows a place by the solver's fresh balls, and these are many where the hole
//! is often played from. Where a lay-up lands hardly any of them comes: a state there is
//! evaluated by four balls of a swing of which sixty-four were flown in all, or not at all.
//! So what such a landing is worth has balls of its own here: from where a ball of the
//! shot lies the policy's next one is played on points that nothing was chosen or evaluated
//! on, and the result is valued by [`Evaluated`]. It lies round the green, where all shots
//! come together.
//!
//! Every set of a shot's balls has launches of its own, so that the spread between the
//! sets has all of this in it. They are dealt to balls side by side: what is near one another is
//! played with launches that are well spread (after Array-RQMC, L'Ecuyer, Lécot & Tuffin,
//! *Oper. Res.* 56 (2008) 958, memory).

use super::action::Action;
use super::continuation::{LAY_UP_M, SETS, Table};
use super::grid::place;
use super::held::{Evaluated, shares};
use super::lie::{LIES, Lie};
use super::physics::{FRESH_A_HOLE, Physics, Raw, Scratch, Sets, scramble};
use super::policy::Policy;
use super::swung::FEW;

use crate::hole::{Coord, Surface};
use crate::outcome::{Rest, is_penalty};
use crate::strategy::rules::{Price, Rules, Worth};

/// Next strokes of every ball.
const AGAIN: usize = 1;
/// Launches of every swing and lie for every set.
const LAUNCHES: usize = 128;
/// Nearer to the pin than this a place is evaluated by the solver's balls, m.
const EVALUATED_M: f64 = LAY_UP_M;

/// How far the next stroke of one place spreads as far as its launches are not spread
/// evenly, strokes: calibrated on 14 landings of the demo holes where the evaluation erred
/// most, by what the same balls played on came to. Beside it, how far off a place
/// may be that none of the solver's fresh balls came by: it is evaluated by those that the
/// policy was chosen on (not measured apart).
const SPREAD: f64 = 0.2;
const UNEVALUATED: f64 = 0.1;

/// Plays balls on from where they lie.
pub(super) struct PlayedOn<'a> {
    table: &'a Table<'a>,
    physics: Physics<'a>,
    evaluated: Evaluated<'a>,
}

/// A ball's next shot.
struct Next {
    /// Of the launches: `swing · LIES + lie`.
    slot: usize,
    to_pin_m: f64,
    /// Of the set.
    ball: usize,
    at: Coord<f64>,
    lie: Lie,
    action: Action,
    /// Strokes for having come there.
    penalty: f64,
}

impl<'a> PlayedOn<'a> {
    pub fn new(table: &'a Table<'a>) -> Self {
        let problem = table.whole.explicit.problem();
        let each = (SETS * LAUNCHES) as f64 / FRESH_A_HOLE;
        let sets = Sets::Own(vec![each; problem.swings.len() * LIES]);
        let seed = table
            .seed
            .wrapping_mul(0x85EB_CA6B)
            .wrapping_add(0x00B0_A7ED);
        Self {
            table,
            physics: Physics::new(
                (table.hole, table.day, problem),
                seed,
                sets,
                table.whole.explicit.options.swung.as_ref(),
            ),
            evaluated: Evaluated(table.whole),
        }
    }

    /// What the balls of a shot are worth, set by set of so many.
    pub fn worths(&self, rests: &[Rest], balls: usize, rules: &Rules<'_>) -> Vec<Worth> {
        let mut worths: Vec<Worth> = rests.iter().map(|rest| rules.worth(rest)).collect();
        // Whether a ball is dropped or played again is decided by the evaluation: the
        // lesser of two noisy figures is biased low.
        let again = 1.0 + Price::of(&worths).strokes;
        let mut scratch = Scratch::default();
        let mut out = Vec::with_capacity(AGAIN);
        for (set, (rests, worths)) in rests
            .chunks(balls)
            .zip(worths.chunks_mut(balls))
            .enumerate()
        {
            let mut next: Vec<Next> = Vec::with_capacity(balls);
            for (ball, (rest, worth)) in rests.iter().zip(worths.iter_mut()).enumerate() {
                let (at, surface, penalty) = match *worth {
                    Worth::Replay => continue,
                    Worth::Relief(strokes) if strokes > again => {
                        *worth = Worth::Replay;
                        continue;
                    }
                    Worth::Relief(strokes) if is_penalty(rest.surface) => {
                        *worth = Worth::Plays(strokes);
                        let red = rest.surface == Surface::PenaltyRed;
                        let spot = rest
                            .crossed
                            .and_then(|crossed| rules.drop_spot(crossed, red));
                        match spot {
                            Some((at, _)) => (at, rules.surface_at(at), 1.0),
                            None => continue,
                        }
                    }
                    Worth::Relief(strokes) | Worth::Plays(strokes) => {
                        *worth = Worth::Plays(strokes);
                        (rest.at, rest.surface, 0.0)
                    }
                };
                next.extend(self.next_shot(ball, at, surface, penalty));
            }
            // Launches are dealt to balls side by side: what is near one another is
            // played with launches that are well spread.
            next.sort_by(|a, b| {
                let by_slot = a.slot.cmp(&b.slot);
                by_slot.then(a.to_pin_m.total_cmp(&b.to_pin_m))
            });
            for hand in next.chunk_by(|a, b| a.slot == b.slot) {
                for (dealt, next) in hand.iter().enumerate() {
                    let first = self.launch(set, next.slot, dealt);
                    let place = (next.at, next.lie);
                    self.physics.balls_at(
                        place,
                        next.action,
                        (first, AGAIN),
                        &mut scratch,
                        &mut out,
                    );
                    if !out.is_empty() {
                        let strokes = self.mean(next, &out, rules);
                        worths[next.ball] = Worth::Plays(next.penalty + strokes);
                    }
                }
            }
        }
        worths
    }

    /// Standard error of the evaluation of the places where these balls lie, strokes, all
    /// of them together.
    pub fn evaluation_error(&self, rests: &[Rest]) -> f64 {
        let explicit = &self.table.whole.evaluated;
        let problem = explicit.problem();
        let each = 1.0 / rests.len().max(1) as f64;
        let mut unevaluated = 0.0;
        let mut by_state: Vec<(u32, f64)> = Vec::with_capacity(4 * rests.len());
        for rest in rests {
            let far = problem.to_pin_m([rest.at.x as f32, rest.at.y as f32]) >= EVALUATED_M;
            if !far || Lie::on(rest.surface).is_none() {
                continue;
            }
            let shares = shares(explicit, rest.surface, rest.at);
            if shares.is_empty() {
                unevaluated += each;
            }
            by_state.extend(
                shares
                    .into_iter()
                    .map(|(share, state)| (state, each * share)),
            );
        }
        by_state.sort_by_key(|share| share.0);
        let mut by_slot = vec![0.0; problem.swings.len() * LIES];
        let mut variance = 0.0;
        for same in by_state.chunk_by(|a, b| a.0 == b.0) {
            let (state, share) = (same[0].0, same.iter().map(|s| s.1).sum::<f64>());
            variance += share * share / f64::from(explicit.balls(state).max(1));
            let Some(action) = explicit.choices(state).first() else {
                continue;
            };
            let swing = usize::from(action.swing);
            if let Some(flown) = problem.swings.get(swing) {
                let lie = explicit.states()[state as usize].lie;
                by_slot[swing * LIES + flown.flies_as(lie) as usize] += share;
            }
        }
        let common: f64 = by_slot
            .iter()
            .zip(explicit.pools())
            .map(|(share, pool)| share * share / f64::from(*pool))
            .sum();
        (SPREAD * SPREAD * (variance + common) + (UNEVALUATED * unevaluated).powi(2)).sqrt()
    }

    /// The first launch of a hand of a set.
    fn launch(&self, set: usize, slot: usize, dealt: usize) -> usize {
        let at = dealt * AGAIN % LAUNCHES;
        // Every set begins somewhere else, so that hands are not those of the balls.
        let few = (at / FEW) ^ (scramble(set as u32, slot as u32) as usize % (LAUNCHES / FEW));
        set * LAUNCHES + few * FEW + at % FEW
    }

    /// The policy's shot from where a ball lies; none where that is not for a few balls
    /// to tell.
    fn next_shot(
        &self,
        ball: usize,
        at: Coord<f64>,
        surface: Surface,
        penalty: f64,
    ) -> Option<Next> {
        let problem = self.physics.problem;
        let lie = Lie::on(surface)?;
        let to_pin_m = problem.to_pin_m([at.x as f32, at.y as f32]);
        if to_pin_m < EVALUATED_M {
            return None;
        }
        let action = self.table.whole.choosing().action(at, lie)?;
        if action == Action::PUTT || action == Action::UNPLAYABLE {
            return None;
        }
        let swing = usize::from(action.swing);
        Some(Next {
            slot: swing * LIES + problem.swings.get(swing)?.flies_as(lie) as usize,
            to_pin_m,
            ball,
            at,
            lie,
            action,
            penalty,
        })
    }

    /// Strokes to hole out from a place by its balls.
    fn mean(&self, next: &Next, out: &[Raw], rules: &Rules<'_>) -> f64 {
        let choosing = self.table.whole.choosing();
        let surface = next.lie.surface();
        let here = (
            choosing.value(surface, next.at),
            self.evaluated.at(surface, next.at),
        );
        let each = out
            .iter()
            .map(|ball| self.next(ball, here, &choosing, rules));
        1.0 + each.sum::<f64>() / out.len() as f64
    }

    /// What a next ball is worth; where it came from is worth so much to those who
    /// decide, and as it is evaluated.
    fn next(
        &self,
        ball: &Raw,
        (decided, here): (f64, f64),
        choosing: &Policy<'_>,
        rules: &Rules<'_>,
    ) -> f64 {
        match *ball {
            Raw::Green(away, holed) => (1.0 - f64::from(holed)) * self.physics.problem.putts(away),
            Raw::Lies(lie, at) => {
                let (surface, at) = (lie.surface(), place(at));
                if lie == Lie::Recovery && choosing.value(surface, at) > 1.0 + decided {
                    return 1.0 + here;
                }
                self.evaluated.at(surface, at)
            }
            Raw::Water(crossed, red) => match rules.drop_spot(crossed, red) {
                Some((at, strokes)) if choosing.value(rules.surface_at(at), at) <= decided => {
                    1.0 + strokes
                }
                _ => 1.0 + here,
            },
            Raw::Out(_) => 1.0 + here,
        }
    }
}
