//! Aims that have a name, how much the aim matters, and the typical flight.

use std::sync::Arc;

use rayon::prelude::*;

use super::middle::{bearing_deg, middle, on_line_of_play, turn_deg};
use super::range::{FRESH_BALLS, Range, Stage, mean_and_error};
use super::usual::Usual;
use super::{AimCost, Priced};
use crate::hole::Coord;
use crate::outcome::{Rest, TeeShot, Volley};
use crate::player::group::median;
use crate::sample;

/// How far to either side of the way the hole goes balls may be sent, degrees.
const BESIDE_DEG: f64 = 14.0;
/// How far ahead the way off the tee is looked for, at least, m.
const AHEAD_M: f64 = 30.0;
/// Level with the pin, or as good as that, m; as in the plan's words.
pub const AT_PIN_M: f64 = 25.0;
/// A run that is shorter than this has no direction, m.
const NOWHERE_M: f64 = 0.5;
/// How far beside the landing other aims are priced, m: 25 yd.
const BESIDE_M: f64 = 22.86;
/// Aims within this of the best belong to the aim window, strokes.
pub const WINDOW: f64 = 0.02;

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

    /// How far a club usually carries from the tee along an aim, over level ground, m: the median of a
    /// few balls.
    pub(super) fn carry_m(&self, club: usize, aim_deg: f64) -> f64 {
        const BALLS: usize = 64;
        let volley = self.volley(club, Stage::Survey, 0, BALLS, [aim_deg; 2]);
        let flights = volley.toward(0.0).flights();
        let carries = (0..flights.len()).map(|ball| {
            let [right, forward, _] = flights.ball(ball).landing_on_level(0.0).position_m;
            f64::from(right.hypot(forward))
        });
        median(carries).max(1.0)
    }

    /// The middle where a ball of this carry lands: of the fairway; the pin on a par 3, and level with
    /// the green.
    pub(super) fn middle_at_landing(&self, peg: Coord<f64>, carry_m: f64) -> Coord<f64> {
        let hole = self.q.hole;
        let to_pin_m = (hole.pin.x - peg.x).hypot(hole.pin.y - peg.y);
        if hole.par == 3 || carry_m >= to_pin_m - AT_PIN_M {
            return hole.pin;
        }
        middle(hole, peg, carry_m)
    }

    /// The aim at the middle where the ball lands, and the same turned by half the
    /// gap between the start line and the landing (rule of thumb, practice).
    pub(super) fn named_aims(&self, choice: &Priced) -> Vec<(String, TeeShot)> {
        let peg = choice.peg;
        let usual = Usual::of(peg, choice.shot.aim_deg, &choice.rests);
        let curve_m = usual.map_or(0.0, |usual| usual.curve_m);
        let straight = bearing_deg(peg, self.middle_at_landing(peg, choice.carry_m));
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
                "aiming off half your bend".to_owned(),
                TeeShot {
                    aim_deg: straight - gap_deg / 2.0,
                    ..choice.shot
                },
            ),
        ]
    }

    /// Costs of other aims at the same peg, from left to right, to [`BESIDE_M`] beside the choice's
    /// landing or further, on fresh samples; and how far the aim may turn either way and stay within
    /// [`WINDOW`] strokes.
    pub(super) fn aim_costs(&self, choice: &Priced) -> (Vec<AimCost>, [f64; 2]) {
        const STEP_DEG: f64 = 0.5;
        const STEPS: u32 = 30;
        const SETS: usize = 4;
        let shot = choice.shot;
        let reach = STEP_DEG * f64::from(STEPS);
        let range = [shot.aim_deg - reach, shot.aim_deg + reach];
        let volleys: Vec<Arc<Volley>> = (0..SETS)
            .into_par_iter()
            .map(|set| self.volley(shot.club, Stage::Fresh, set, FRESH_BALLS, range))
            .collect();
        let by_set = |aim_deg: f64| {
            let shot = TeeShot { aim_deg, ..shot };
            let toward = volleys.iter().map(|volley| volley.toward(aim_deg));
            let rests: Vec<Rest> = toward.flat_map(|v| self.rests(&v, &shot)).collect();
            (self.price(&rests).strokes, self.by_set(&rests))
        };
        let (here, here_by_set) = by_set(shot.aim_deg);
        let beside_deg = (BESIDE_M / choice.carry_m.max(1.0)).atan().to_degrees();
        let side = |side: f64| {
            let mut costs = Vec::new();
            let (mut last, mut last_deg, mut window_deg) = (here, 0.0, None);
            for step in 1..=STEPS {
                let turn_deg = f64::from(step) * STEP_DEG;
                // Beyond the window every other step will do.
                if window_deg.is_some() && step % 2 == 1 {
                    continue;
                }
                let aim_deg = shot.aim_deg + side * turn_deg;
                let (next, next_by_set) = by_set(aim_deg);
                let pairs = next_by_set.iter().zip(&here_by_set);
                let differences: Vec<f64> = pairs.map(|(next, here)| next - here).collect();
                costs.push(AimCost {
                    aim_deg,
                    costs: next - here,
                    costs_standard_error: mean_and_error(&differences).1,
                });
                if window_deg.is_none() && next > here + WINDOW {
                    // Between two evaluated aims, a straight line.
                    let part = (here + WINDOW - last) / (next - last);
                    window_deg = Some(last_deg + part * (turn_deg - last_deg));
                }
                if window_deg.is_some() && turn_deg >= beside_deg {
                    break;
                }
                (last, last_deg) = (next, turn_deg);
            }
            (costs, side * window_deg.unwrap_or(reach))
        };
        let (left, right) = rayon::join(|| side(-1.0), || side(1.0));
        let mut costs: Vec<AimCost> = left.0.into_iter().rev().collect();
        costs.push(AimCost {
            aim_deg: shot.aim_deg,
            costs: 0.0,
            costs_standard_error: 0.0,
        });
        costs.extend(right.0);
        (costs, [left.1, right.1].map(|turn| shot.aim_deg + turn))
    }

    /// The flight of the usual ball: that of the pattern's centre in the mean wind, through no tree,
    /// turned and stretched over the ground to land and end where the usual ball does.
    pub(super) fn typical_flight(&self, choice: &Priced) -> (Vec<[f64; 3]>, usize) {
        let mut point = [0.5; sample::DIMENSIONS];
        // No mishit, no tree, the commonest stretch.
        point[sample::MISHIT] = 1.0 - 1e-7;
        point[sample::TREES] = 1.0 - 1e-7;
        let shot = choice.shot;
        let peg = choice.peg;
        let club = &self.q.player.clubs[shot.club];
        let volley = Volley::fly(club, &[point], self.q.day, [shot.aim_deg; 2], self.floor_m);
        let toward = volley.toward(shot.aim_deg);
        let flights = toward.flights();
        let ground = self.q.hole.ground();
        let height = ground.height_m(peg.x, peg.y);
        let (landed, track) = crate::outcome::trace(self.q.hole, &toward, peg);
        let landing = Coord {
            x: landed[0],
            y: landed[1],
        };
        let usual = Usual::of(peg, shot.aim_deg, &choice.rests);
        let moved = |from: Coord<f64>, [of, to]: [Coord<f64>; 2], at: [f64; 2]| {
            onto(from, [of, to], Coord { x: at[0], y: at[1] })
        };
        let lands = usual.map_or(landing, |usual| usual.landing);
        let mut line: Vec<[f64; 3]> = Vec::new();
        let reach = (landing.x - peg.x).hypot(landing.y - peg.y);
        for knot in flights.ball(0).knots {
            let [east, north, up] = knot.position_m.map(f64::from);
            if east.hypot(north) >= reach {
                break;
            }
            let at = moved(peg, [landing, lands], [peg.x + east, peg.y + north]);
            line.push([at.x, at.y, height + up]);
        }
        line.push([lands.x, lands.y, ground.height_m(lands.x, lands.y)]);
        let airborne = line.len();
        let ends = usual.map(|usual| usual.rest);
        let last = track.last().map(|[x, y]| Coord { x: *x, y: *y });
        let run = track.into_iter().map(|at| {
            let along = Coord {
                x: at[0] - landing.x + lands.x,
                y: at[1] - landing.y + lands.y,
            };
            match (ends, last) {
                (Some(ends), Some(last)) => {
                    let last = Coord {
                        x: last.x - landing.x + lands.x,
                        y: last.y - landing.y + lands.y,
                    };
                    onto(lands, [last, ends], along)
                }
                _ => along,
            }
        });
        let run: Vec<Coord<f64>> = run.chain(ends).collect();
        line.extend(run.iter().map(|p| [p.x, p.y, ground.height_m(p.x, p.y)]));
        (line, airborne)
    }
}

/// A point turned and stretched about `from` as it takes to bring `of` to `to`; left where it is
/// where `of` has no direction from there.
fn onto(from: Coord<f64>, [of, to]: [Coord<f64>; 2], at: Coord<f64>) -> Coord<f64> {
    let [of, to, at] = [of, to, at].map(|p| [p.x - from.x, p.y - from.y]);
    let square = of[0].powi(2) + of[1].powi(2);
    if square < NOWHERE_M.powi(2) {
        return Coord {
            x: from.x + at[0],
            y: from.y + at[1],
        };
    }
    // The quotient of two complex numbers.
    let turn = [
        (to[0] * of[0] + to[1] * of[1]) / square,
        (to[1] * of[0] - to[0] * of[1]) / square,
    ];
    Coord {
        x: from.x + at[0] * turn[0] - at[1] * turn[1],
        y: from.y + at[0] * turn[1] + at[1] * turn[0],
    }
}
