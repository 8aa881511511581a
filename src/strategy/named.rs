//! Aims that have a name, how much the aim matters, and the typical flight.

use std::sync::Arc;

use rayon::prelude::*;

use super::Priced;
use super::middle::{bearing_deg, middle, on_line_of_play, turn_deg};
use super::range::{FRESH_BALLS, Range, Stage};
use crate::outcome::{Rest, TeeShot, Volley};
use crate::sample;

/// How far to either side of the way the hole goes balls may be sent, degrees.
const BESIDE_DEG: f64 = 14.0;
/// How far ahead the way off the tee is looked for, at least, m.
const AHEAD_M: f64 = 30.0;
/// Aims within this of the best belong to the aim window, strokes.
pub const WINDOW: f64 = 0.02;

/// How far from the peg the balls of a shot come to rest on average, m.
pub(super) fn mean_total_m(shot: &Priced) -> f64 {
    let peg = shot.peg;
    let total = |rest: &Rest| (rest.at.x - peg.x).hypot(rest.at.y - peg.y);
    shot.rests.iter().map(total).sum::<f64>() / shot.rests.len() as f64
}

impl Range<'_> {
    /// The aims worth a look: those whose balls, on average, finish from
    /// [`BESIDE_DEG`] left of the way the hole goes to as much right of it.
    pub(super) fn aims(&self, club: usize) -> [f64; 2] {
        let from = self.middle_of_tee;
        // A tee that stands beside the line looks further on, not across to it.
        let look_m = AHEAD_M.max(3.0 * self.q.hole.beside_line_of_play(from).off_m);
        let off_tee = bearing_deg(from, on_line_of_play(self.q.hole, from, look_m).0);
        let volley = self.volley(club, Stage::Survey, 0, 128, [off_tee, off_tee]);
        let flights = volley.toward(0.0).flights();
        let (mut right, mut forward) = (0.0, 0.0);
        for i in 0..volley.len() {
            let landing = flights.ball(i).landing_on_level(0.0);
            right += f64::from(landing.position_m[0]) / volley.len() as f64;
            forward += f64::from(landing.position_m[1]) / volley.len() as f64;
        }
        // Runs some way beyond its carry; only the direction of the hole there matters.
        let total_m = 1.06 * right.hypot(forward);
        let finish_deg = right.atan2(forward).to_degrees();
        let ways = [
            bearing_deg(from, middle(self.q.hole, from, total_m)),
            bearing_deg(from, middle(self.q.hole, from, 0.8 * total_m)),
            bearing_deg(from, self.q.hole.pin),
        ];
        let turns = ways.map(|way| turn_deg(off_tee, way).clamp(-50.0, 50.0));
        let low = turns.iter().copied().fold(f64::INFINITY, f64::min);
        let high = turns.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        [
            off_tee + low - BESIDE_DEG - finish_deg,
            off_tee + high + BESIDE_DEG - finish_deg,
        ]
    }

    /// How far a club carries on average from the tee along an aim, over level ground, m;
    /// of a few balls.
    pub(super) fn carry_m(&self, club: usize, aim_deg: f64) -> f64 {
        const BALLS: usize = 16;
        let volley = self.volley(club, Stage::Survey, 0, BALLS, [aim_deg; 2]);
        let flights = volley.toward(0.0).flights();
        let carries = (0..flights.len()).map(|ball| {
            let [right, forward, _] = flights.ball(ball).landing_on_level(0.0).position_m;
            f64::from(right.hypot(forward))
        });
        (carries.sum::<f64>() / BALLS as f64).max(1.0)
    }

    /// The set-up at the middle of the hole, and the same turned by half the
    /// gap between the start line and the finish (rule of thumb, practice).
    pub(super) fn named_aims(&self, choice: &Priced) -> Vec<(String, TeeShot)> {
        let peg = choice.peg;
        let count = choice.rests.len() as f64;
        let total_m = mean_total_m(choice);
        let straight = bearing_deg(peg, middle(self.q.hole, peg, total_m));
        let aim_deg = choice.shot.aim_deg;
        let curves = choice.rests.iter().map(|r| r.curve_m(peg, aim_deg));
        let curve_m = curves.sum::<f64>() / count;
        let gap_deg = (curve_m / choice.carry_m.max(1.0)).atan().to_degrees();
        // Bearings are kept near the choice's, so that no aim jumps by 360°.
        let straight = choice.shot.aim_deg + turn_deg(choice.shot.aim_deg, straight);
        vec![
            (
                "down the middle".to_owned(),
                TeeShot {
                    aim_deg: straight,
                    ..choice.shot
                },
            ),
            (
                "half-gap rule".to_owned(),
                TeeShot {
                    aim_deg: straight - gap_deg / 2.0,
                    ..choice.shot
                },
            ),
        ]
    }

    /// How far the aim may turn either way from the choice at the same peg and
    /// stay within [`WINDOW`] strokes of it, on fresh balls.
    pub(super) fn aim_window(&self, choice: TeeShot) -> [f64; 2] {
        const STEP_DEG: f64 = 0.5;
        const STEPS: i32 = 30;
        const SETS: usize = 4;
        let reach = STEP_DEG * f64::from(STEPS);
        let range = [choice.aim_deg - reach, choice.aim_deg + reach];
        let volleys: Vec<Arc<Volley>> = (0..SETS)
            .into_par_iter()
            .map(|set| self.volley(choice.club, Stage::Fresh, set, FRESH_BALLS, range))
            .collect();
        let strokes = |step: i32| {
            let shot = TeeShot {
                aim_deg: choice.aim_deg + f64::from(step) * STEP_DEG,
                ..choice
            };
            let rests: Vec<Rest> = volleys
                .iter()
                .flat_map(|v| self.rests(&v.toward(shot.aim_deg), &shot))
                .collect();
            self.price(&rests).strokes
        };
        let here = strokes(0);
        let ends: Vec<f64> = [-1, 1]
            .into_par_iter()
            .map(|side| {
                let mut last = here;
                for step in 1..=STEPS {
                    let next = strokes(side * step);
                    if next > here + WINDOW {
                        // Between two looked-at aims, a straight line.
                        let part = (here + WINDOW - last) / (next - last);
                        return f64::from(side) * (f64::from(step - 1) + part) * STEP_DEG;
                    }
                    last = next;
                }
                f64::from(side) * reach
            })
            .collect();
        [choice.aim_deg + ends[0], choice.aim_deg + ends[1]]
    }

    /// The flight of the pattern's centre in the mean wind, through no tree.
    pub(super) fn typical_flight(&self, choice: &Priced) -> (Vec<[f64; 3]>, usize) {
        let mut point = [0.5; sample::DIMENSIONS];
        // No mishit, no tree, the commonest stretch.
        point[sample::MISHIT] = 1.0 - 1e-7;
        point[sample::TREES] = 1.0 - 1e-7;
        let shot = choice.shot;
        let club = &self.q.player.clubs[shot.club];
        let volley = Volley::fly(club, &[point], self.q.day, [shot.aim_deg; 2], self.floor_m);
        let toward = volley.toward(shot.aim_deg);
        let flights = toward.flights();
        let height = self.q.hole.ground().height_m(choice.peg.x, choice.peg.y);
        let (landed, track) = crate::outcome::trace(self.q.hole, &toward, choice.peg);
        let mut line: Vec<[f64; 3]> = Vec::new();
        let reach = (landed[0] - choice.peg.x).hypot(landed[1] - choice.peg.y);
        for knot in flights.ball(0).knots {
            let at = [
                choice.peg.x + f64::from(knot.position_m[0]),
                choice.peg.y + f64::from(knot.position_m[1]),
                height + f64::from(knot.position_m[2]),
            ];
            if (at[0] - choice.peg.x).hypot(at[1] - choice.peg.y) >= reach {
                break;
            }
            line.push(at);
        }
        line.push(landed);
        let airborne = line.len();
        for p in track {
            line.push([p[0], p[1], self.q.hole.ground().height_m(p[0], p[1])]);
        }
        (line, airborne)
    }
}
