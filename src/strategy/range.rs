//! One tee of one hole, with everything that pricing a shot needs.

use std::sync::Arc;

use rayon::prelude::*;

use super::known::Known;
use super::rollouts::Rollouts;
use super::rules::{Price, Rules, StrokesFrom, Worth};
use super::whole::Swung;
use super::{Decision, Priced, Question, usual};
use crate::hole::{Coord, Surface};
use crate::outcome::{Finish, Rest, TeeShot, Toward, Volley, play};
use crate::sample::{Point, points};
use crate::units::YARD_M;

/// Fresh balls for the figures that are printed: independent sets, balls a set.
pub(super) const FRESH_SETS: usize = 16;
pub(super) const FRESH_BALLS: usize = if cfg!(fuzzing) { 8 } else { 512 };
/// The first of them, on which other aims are looked at too.
pub(super) const FAN_SETS: usize = 4;
/// Nearer than this to the front of the teeing area nobody pegs it (practice), m.
pub const PEG_MARGIN_M: f64 = 0.1;
/// Nearer than half a yard to a marker nobody pegs it: club and feet need the room (practice), m.
pub const MARKER_M: f64 = HALF_YARD_M;

/// Half a yard, m.
const HALF_YARD_M: f64 = YARD_M / 2.0;

/// How deep a ball is followed on level ground, m.
const LEVEL_FLOOR_M: f64 = -2.0;

/// Stages that need independent random numbers.
#[derive(Clone, Copy)]
pub(super) enum Stage {
    Survey = 0,
    Pursuit = 1,
    Contenders = 2,
    Close = 3,
    Fresh = 16,
    EndsPick = 64,
    EndsPrice = 96,
}

/// What was flown already from a tee. Whoever looks at it by several worths shares it.
#[derive(Default)]
pub(super) struct Flown {
    /// In calm air, where they serve every aim: by club, stage, set and balls.
    volleys: Known<(usize, u8, usize, usize), Volley>,
    /// By club.
    surveys: Known<usize, Survey>,
    /// By stage, set and balls: every club is swung on the same.
    points: Known<(u8, usize, usize), Vec<Point>>,
    /// Where other holes look for the same volleys.
    swung: Option<Swung>,
}

/// Shots of a survey, and where the balls of each came to rest.
pub(super) type Survey = Vec<(TeeShot, Vec<Rest>)>;

impl Flown {
    /// Nothing yet, but what the player's other holes have flown.
    pub(super) fn beside(swung: Option<Swung>) -> Self {
        Self {
            swung,
            ..Self::default()
        }
    }

    pub(super) fn survey(&self, club: usize, fly: impl FnOnce() -> Survey) -> Arc<Survey> {
        self.surveys.of(club, fly)
    }
}

/// One tee of one hole, with everything that pricing needs.
pub(super) struct Range<'a> {
    pub(super) q: &'a Question<'a>,
    rules: Rules<'a>,
    /// Lowest ground that a ball may fall to, relative to the tee, m.
    pub(super) floor_m: f64,
    pub(super) middle_of_tee: Coord<f64>,
    pub(super) flown: Arc<Flown>,
    /// What re-prices shots; none where it is not strokes that are priced.
    rollouts: Option<&'a Rollouts>,
}

impl<'a> Range<'a> {
    pub(super) fn new(q: &'a Question<'a>, to_go: &'a dyn StrokesFrom) -> Self {
        Self::sharing(q, to_go, &Arc::default())
    }

    /// The same, with what others have flown from the same tee.
    pub(super) fn sharing(
        q: &'a Question<'a>,
        to_go: &'a dyn StrokesFrom,
        flown: &Arc<Flown>,
    ) -> Self {
        let middle_of_tee = q.tee.peg(q.tee.width_m() / 2.0, 0.0);
        let tee_height = q.hole.ground().height_m(middle_of_tee.x, middle_of_tee.y);
        Self {
            q,
            rules: Rules::new(q.hole, to_go, q.player.club_length_m),
            floor_m: (q.hole.ground().lowest_m() - tee_height).min(0.0) + LEVEL_FLOOR_M,
            middle_of_tee,
            flown: Arc::clone(flown),
            rollouts: None,
        }
    }

    /// The same where shots that were played out to other strokes have the strokes as played.
    pub(super) fn repriced_by(self, rollouts: &'a Rollouts) -> Self {
        Self {
            rollouts: Some(rollouts),
            ..self
        }
    }

    fn is_calm(&self) -> bool {
        self.q.day.wind.speed_m_s == 0.0
    }

    pub(super) fn depth_m(&self) -> f64 {
        2.0 * self.q.player.club_length_m
    }

    /// Pegs from side to side, at most `count`, ends included.
    pub(super) fn laterals(&self, count: usize) -> Vec<f64> {
        let width = self.q.tee.width_m();
        let margin = MARKER_M.min(width / 2.0);
        let room = width - 2.0 * margin;
        if room < 0.2 || count < 2 {
            return vec![width / 2.0];
        }
        (0..count)
            .map(|k| margin + room * k as f64 / (count - 1) as f64)
            .collect()
    }

    pub(super) fn seed(&self, stage: Stage, set: usize) -> u32 {
        self.q
            .seed
            .wrapping_mul(0x9E37_79B9)
            .wrapping_add(stage as u32)
            .wrapping_add(u32::try_from(set).expect("few sets"))
    }

    pub(super) fn volley(
        &self,
        club: usize,
        stage: Stage,
        set: usize,
        balls: usize,
        aims: [f64; 2],
    ) -> Arc<Volley> {
        let Question { player, day, .. } = *self.q;
        let seed = self.seed(stage, set);
        let fly = || {
            let key = (stage as u8, set, balls);
            let points = self.flown.points.of(key, || points(seed, balls));
            Volley::fly(&player.clubs[club], &points, day, aims, self.floor_m)
        };
        // Where the ground falls, every tee has its own floor.
        let shared = self.flown.swung.as_ref();
        let shared = shared.filter(|_| self.is_calm() && self.floor_m == LEVEL_FLOOR_M);
        let fly = || match shared {
            Some(swung) => swung.volley(player, day, (seed, club, balls), fly),
            None => fly(),
        };
        // Of the many fresh sets only those are kept that are asked for again.
        if self.is_calm() && set < FAN_SETS {
            self.flown.volleys.of((club, stage as u8, set, balls), fly)
        } else {
            Arc::new(fly())
        }
    }

    /// The balls of a volley that has been turned to the aim of `shot`.
    pub(super) fn rests(&self, toward: &Toward<'_>, shot: &TeeShot) -> Vec<Rest> {
        let peg = self.q.tee.peg(shot.from_left_m, shot.behind_front_m);
        play(self.q.hole, toward, peg)
    }

    pub(super) fn price(&self, rests: &[Rest]) -> Price {
        let worths: Vec<Worth> = rests.iter().map(|r| self.rules.worth(r)).collect();
        Price::of(&worths)
    }

    /// The first sets of fresh balls of a shot, ball by ball.
    pub(super) fn fresh_rests(&self, shot: TeeShot, sets: usize) -> Vec<Rest> {
        (0..sets)
            .into_par_iter()
            .flat_map_iter(|set| {
                let aims = [shot.aim_deg; 2];
                let volley = self.volley(shot.club, Stage::Fresh, set, FRESH_BALLS, aims);
                self.rests(&volley.toward(shot.aim_deg), &shot)
            })
            .collect()
    }

    /// Strokes of these balls, and the standard error over their sets.
    pub(super) fn strokes(&self, rests: &[Rest]) -> (f64, f64) {
        mean_and_error(&self.by_set(rests))
    }

    /// A shot on fresh balls.
    pub(super) fn price_fresh(&self, shot: TeeShot) -> Priced {
        self.price_on(shot, FRESH_SETS).0
    }

    /// The same on the first so many sets of them, and the price on each.
    pub(super) fn price_on(&self, shot: TeeShot, sets: usize) -> (Priced, Vec<f64>) {
        self.priced(shot, self.fresh_rests(shot, sets))
    }

    /// Finds what stands beside a choice, whose price on each set of fresh balls is
    /// given: named aims, how much the aim matters, and the typical flight.
    pub(super) fn look_around(&self, found: &mut Decision, choice_by_set: &[f64]) {
        found.comparisons = self
            .price_named(&found.choice)
            .into_iter()
            .map(|(name, (mut priced, by_set))| {
                priced.set_costs(&by_set, choice_by_set);
                (name, priced)
            })
            .filter(|(_, priced)| priced.strokes.is_finite())
            .collect();
        (found.aim_costs, found.aim_window_deg) = self.aim_costs(&found.choice);
        let further_back = TeeShot {
            behind_front_m: found.choice.shot.behind_front_m + HALF_YARD_M,
            ..found.choice.shot
        };
        // Nothing but the depth differs: both by the evaluation.
        let (mut further_back, _) = self.price_on(further_back, FAN_SETS);
        let by_set = self.by_set(&further_back.rests);
        further_back.set_costs(&by_set, &self.by_set(&found.choice.rests));
        found.further_back_costs = (further_back.costs, further_back.costs_standard_error);
        (found.flight, found.flight_airborne) = self.typical_flight(&found.choice);
    }

    /// The named aims of a choice on fresh balls.
    fn price_named(&self, choice: &Priced) -> Vec<(String, (Priced, Vec<f64>))> {
        let (names, shots): (Vec<String>, Vec<TeeShot>) =
            self.named_aims(choice).into_iter().unzip();
        names.into_iter().zip(self.price_together(shots)).collect()
    }

    /// Shots with one club on fresh balls, in calm air flown once for all, and the price on each
    /// set of them.
    pub(super) fn price_together(&self, shots: Vec<TeeShot>) -> Vec<(Priced, Vec<f64>)> {
        let Some(&first) = shots.first() else {
            return Vec::new();
        };
        let by_set: Vec<Vec<Vec<Rest>>> = (0..FRESH_SETS)
            .into_par_iter()
            .map(|set| {
                let volley = |shot: &TeeShot| {
                    let aims = [shot.aim_deg; 2];
                    self.volley(shot.club, Stage::Fresh, set, FRESH_BALLS, aims)
                };
                let one_for_all = self.is_calm().then(|| volley(&first));
                let rests = |shot: &TeeShot| {
                    let volley = one_for_all.clone().unwrap_or_else(|| volley(shot));
                    self.rests(&volley.toward(shot.aim_deg), shot)
                };
                shots.iter().map(rests).collect()
            })
            .collect();
        let mut by_shot: Vec<Vec<Rest>> = vec![Vec::new(); shots.len()];
        for set in by_set {
            for (all, rests) in by_shot.iter_mut().zip(set) {
                all.extend(rests);
            }
        }
        let priced = shots.into_iter().zip(by_shot);
        priced
            .map(|(shot, rests)| self.priced(shot, rests))
            .collect()
    }

    /// A shot by its fresh balls, and its price on each set of them.
    fn priced(&self, shot: TeeShot, rests: Vec<Rest>) -> (Priced, Vec<f64>) {
        let by_set = self.by_set_of(shot, &rests);
        let (strokes, standard_error) = mean_and_error(&by_set);
        let peg = self.q.tee.peg(shot.from_left_m, shot.behind_front_m);
        let carry_m = usual::carry_m(peg, shot.aim_deg, &rests);
        let finish = shares(&rests);
        let priced = Priced {
            shot,
            peg,
            strokes,
            standard_error,
            costs: 0.0,
            costs_standard_error: 0.0,
            rests,
            finish,
            carry_m,
        };
        (priced, by_set)
    }

    /// The price of a shot on each set of its fresh balls, re-priced where it was played out to
    /// other strokes.
    pub(super) fn by_set_of(&self, shot: TeeShot, rests: &[Rest]) -> Vec<f64> {
        let mut by_set = self.by_set(rests);
        if let Some(rollouts) = self.rollouts {
            rollouts.reprice(shot, &mut by_set);
        }
        by_set
    }

    /// The price on each independent set of fresh balls, at the common fixed
    /// point: a set's mean, its deviation stretched as replays stretch it.
    pub(super) fn by_set(&self, rests: &[Rest]) -> Vec<f64> {
        let price = self.price(rests);
        price
            .by_ball
            .chunks(FRESH_BALLS)
            .map(|set| {
                let mean = set.iter().sum::<f64>() / set.len() as f64;
                price.strokes + (mean - price.strokes) / (1.0 - price.replayed)
            })
            .collect()
    }
}

impl Priced {
    /// What it costs more than the choice, by the prices of both on each set of balls.
    pub(super) fn set_costs(&mut self, by_set: &[f64], choice_by_set: &[f64]) {
        let differences: Vec<f64> = by_set
            .iter()
            .zip(choice_by_set)
            .map(|(a, b)| a - b)
            .collect();
        (self.costs, self.costs_standard_error) = mean_and_error(&differences);
    }
}

pub(super) fn mean_and_error(values: &[f64]) -> (f64, f64) {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (count - 1.0);
    (mean, (variance / count).sqrt())
}

/// What happens how often.
fn shares(rests: &[Rest]) -> Finish {
    let each = 1.0 / rests.len() as f64;
    let mut counts = [0_u32; 7];
    for rest in rests {
        counts[match rest.surface {
            Surface::Tee | Surface::Fairway => 0,
            Surface::Rough => 1,
            Surface::Bunker => 2,
            Surface::Green => 3,
            Surface::Trees => 4,
            Surface::PenaltyRed | Surface::PenaltyYellow => 5,
            Surface::OutOfBounds => 6,
        }] += 1;
    }
    let share = |i: usize| f64::from(counts[i]) * each;
    Finish {
        fairway: share(0),
        rough: share(1),
        bunker: share(2),
        green: share(3),
        trees: share(4),
        penalty_area: share(5),
        out_of_bounds: share(6),
    }
}
