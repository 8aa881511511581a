//! From a shot to the best near it: a smooth surface is fitted to prices around it and
//! its bottom followed; then how far behind the front of the teeing area.

use rayon::prelude::*;

use super::range::{MARKER_M, PEG_MARGIN_M, Range, Stage, mean_and_error};
use super::surface_fit::Fit;
use super::{Decision, Priced};
use crate::outcome::TeeShot;

/// Pegs from side to side that a surface is fitted through: it is quadratic in the peg.
pub(super) const LATERALS: usize = 3;

/// A peg that nobody needs to measure, by a marker, a third in or midway, and at the front, is as
/// good as another that saves no more than this, strokes or points; and as a chance.
pub(super) const PLAIN: f64 = 0.01;
pub(super) const PLAIN_CHANCE: f64 = 0.005;

/// How a shot's surroundings are looked at.
#[derive(Clone, Copy)]
pub(super) struct Surroundings {
    /// Aims reach so far either way, degrees.
    half_deg: f64,
    /// In so many steps: the fit is cubic, so at least two.
    half_aims: i32,
    /// Along the middle aim, all pegs are looked at too, not the middle one only.
    all_pegs: bool,
}
pub(super) const WIDE: Surroundings = Surroundings {
    half_deg: 2.0,
    half_aims: 3,
    all_pegs: false,
};
pub(super) const NARROW: Surroundings = Surroundings {
    half_deg: 1.5,
    half_aims: 3,
    all_pegs: true,
};
pub(super) const CLOSE: Surroundings = Surroundings {
    half_deg: 0.6,
    half_aims: 2,
    all_pegs: true,
};

impl Surroundings {
    /// Which of the pegs are looked at along an aim: all at both ends, where they tell most
    /// about the three terms that they have in the fit; between, the middle one, for the
    /// four that the aim has.
    fn pegs<'a>(&self, step: i32, all: &'a [f64]) -> &'a [f64] {
        if step.abs() == self.half_aims || step == 0 && self.all_pegs {
            all
        } else {
            &all[all.len() / 2..][..1]
        }
    }
}

/// A shot and its price on the balls of one stage.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scored {
    pub(super) shot: TeeShot,
    pub(super) strokes: f64,
}

impl Range<'_> {
    /// Fits a smooth surface to prices around `start` and moves to its bottom,
    /// until it stays within the looked-at box.
    pub(super) fn follow(
        &self,
        start: TeeShot,
        stage: Stage,
        balls: usize,
        around: Surroundings,
    ) -> Scored {
        const MOVES: usize = 4;
        let Surroundings {
            half_deg,
            half_aims,
            ..
        } = around;
        let pegs = self.laterals(LATERALS);
        let (left, right) = (pegs[0], pegs[pegs.len() - 1]);
        let scaled = |from_left: f64| {
            if right > left {
                2.0 * (from_left - left) / (right - left) - 1.0
            } else {
                0.0
            }
        };
        // Pegged further to the right, a ball reaches the same place along an aim turned
        // to the left: the valley runs along such lines. Where its walls are steep no
        // surface over the aims themselves follows it from one side of the tee to the other.
        let carry_m = self.carry_m(start.club, start.aim_deg);
        let turned = |from_left: f64| ((start.from_left_m - from_left) / carry_m).to_degrees();
        let reach = half_deg * MOVES as f64 + turned(left).abs().max(turned(right).abs());
        let range = [start.aim_deg - reach, start.aim_deg + reach];
        let volley = self.volley(start.club, stage, 0, balls, range);
        let mut best = Scored {
            shot: start,
            strokes: f64::INFINITY,
        };
        let mut centre = start.aim_deg;
        for _ in 0..MOVES {
            let prices: Vec<(f64, f64, f64)> = (-half_aims..=half_aims)
                .into_par_iter()
                .flat_map_iter(|k| {
                    let aim = f64::from(k) / f64::from(half_aims);
                    let (volley, turned) = (&volley, &turned);
                    around.pegs(k, &pegs).iter().map(move |from_left_m| {
                        let shot = TeeShot {
                            from_left_m: *from_left_m,
                            aim_deg: centre + aim * half_deg + turned(*from_left_m),
                            ..start
                        };
                        let toward = volley.toward(shot.aim_deg);
                        let price = self.price(&self.rests(&toward, &shot));
                        (aim, scaled(*from_left_m), price.strokes)
                    })
                })
                .collect();
            let (aim, peg, strokes) = bottom(&prices);
            let from_left_m = left + (peg + 1.0) / 2.0 * (right - left);
            let along_deg = centre + aim * half_deg;
            let found = Scored {
                shot: TeeShot {
                    aim_deg: along_deg + turned(from_left_m),
                    from_left_m,
                    ..start
                },
                strokes,
            };
            if found.strokes < best.strokes {
                best = found;
            }
            // Inside the box, or not worth another look: done.
            if aim.abs() < 0.95 {
                return found;
            }
            centre = along_deg;
        }
        best
    }

    /// The shot from the plainest peg that is as good, aimed so that it lands where it did: the
    /// price of it on fresh balls and on each set of them. `by_set` is the price of `free`. None
    /// where the peg is worth measuring: where it saves more than `plain`.
    pub(super) fn plain_peg(
        &self,
        free: &Priced,
        by_set: &[f64],
        plain: f64,
    ) -> Option<(Priced, Vec<f64>)> {
        let across = plain_pegs(self.q.tee.width_m());
        let mut depths = vec![PEG_MARGIN_M];
        if free.shot.behind_front_m > PEG_MARGIN_M {
            depths.push(free.shot.behind_front_m);
        }
        // The depth was found at the free peg: the front is tried first.
        for behind_front_m in depths {
            let shots = across.iter().map(|&from_left_m| {
                let turned = (free.shot.from_left_m - from_left_m) / free.carry_m;
                TeeShot {
                    from_left_m,
                    behind_front_m,
                    aim_deg: free.shot.aim_deg + turned.to_degrees(),
                    ..free.shot
                }
            });
            let priced = self.price_together(shots.collect());
            let costs = |peg: &(Priced, Vec<f64>)| {
                let differences = peg.1.iter().zip(by_set).map(|(a, b)| a - b);
                mean_and_error(&differences.collect::<Vec<f64>>()).0
            };
            let least = priced.iter().map(costs).fold(f64::INFINITY, f64::min);
            if least <= plain {
                return priced
                    .into_iter()
                    .find(|peg| costs(peg) <= least + plain / 2.0);
            }
        }
        None
    }

    /// Pegs the choice of a decision where nobody needs to measure, if that costs no more than
    /// `plain`.
    pub(super) fn peg_plainly(&self, found: &mut Decision, plain: f64) {
        let by_set = self.by_set(&found.choice.rests);
        let Some((choice, by_set)) = self.plain_peg(&found.choice, &by_set, plain) else {
            return;
        };
        found.choice = choice;
        for other in &mut found.alternatives {
            let other_by_set = self.by_set(&other.rests);
            other.set_costs(&other_by_set, &by_set);
        }
    }

    /// The best of `count` depths from the front to the back of the teeing area:
    /// between clubs, two metres decide.
    pub(super) fn along_depth(
        &self,
        shot: TeeShot,
        stage: Stage,
        balls: usize,
        count: usize,
    ) -> Scored {
        let volley = self.volley(shot.club, stage, 0, balls, [shot.aim_deg; 2]);
        let toward = volley.toward(shot.aim_deg);
        let room = self.depth_m() - 2.0 * PEG_MARGIN_M;
        let tried: Vec<Scored> = (0..count)
            .into_par_iter()
            .map(|k| {
                let behind_front_m = PEG_MARGIN_M + room * k as f64 / (count - 1) as f64;
                let shot = TeeShot {
                    behind_front_m,
                    ..shot
                };
                let strokes = self.price(&self.rests(&toward, &shot)).strokes;
                Scored { shot, strokes }
            })
            .collect();
        // Forward unless going back is worth something.
        let mut best = tried[0];
        for other in &tried[1..] {
            if other.strokes < best.strokes - 0.002 {
                best = *other;
            }
        }
        best
    }
}

/// Pegs that nobody needs to measure, from the left marker, m: midway first, then by a marker, then
/// a third in.
pub(super) fn plain_pegs(width_m: f64) -> Vec<f64> {
    let mut across = vec![width_m / 2.0];
    if width_m > 4.0 * MARKER_M {
        across.extend([MARKER_M, width_m - MARKER_M]);
        across.extend([width_m / 3.0, width_m * 2.0 / 3.0]);
    }
    across
}

/// The lowest point of the fitted surface over the box, `(aim, peg, strokes)`
/// in scaled coordinates; the lowest lattice point where no surface fits.
fn bottom(prices: &[(f64, f64, f64)]) -> (f64, f64, f64) {
    let lowest = prices
        .iter()
        .copied()
        .reduce(|a, b| if b.2 < a.2 { b } else { a })
        .expect("a lattice has points");
    let Some(fit) = Fit::through(prices) else {
        return lowest;
    };
    let one_peg = prices.iter().all(|p| (p.1 - prices[0].1).abs() < 1e-9);
    let mut best = (lowest.0, lowest.1, fit.at(lowest.0, lowest.1));
    for a in -40..=40 {
        for p in -20..=20 {
            let (aim, peg) = (
                f64::from(a) / 40.0,
                if one_peg {
                    prices[0].1
                } else {
                    f64::from(p) / 20.0
                },
            );
            let strokes = fit.at(aim, peg);
            if strokes < best.2 {
                best = (aim, peg, strokes);
            }
        }
    }
    best
}
