//! The least expected strokes over peg, club, shape and aim.
//!
//! Every comparison is made on the same balls (common random numbers): first a
//! coarse survey of every club, peg and aim, then a smooth surface is fitted
//! around the best of each club and its bottom followed, with more balls for
//! the clubs that contend; last, the choice, the best of every other club and
//! the named aims are priced again on fresh balls, which the search has not
//! seen, so that the figures printed are not flattered by the search.

use rayon::prelude::*;

use super::finish::StrokesToGo;
use super::middle::{bearing_deg, middle, on_line_of_play, turn_deg};
use super::rules::{Price, Rules, Worth};
use super::surface_fit::Fit;
use super::{Decision, Priced};
use crate::flight::trajectory::Flights;
use crate::hole::{Coord, Hole, Surface, TeeingArea};
use crate::outcome::{Day, Rest, TeeShot, Volley, play};
use crate::plan::Finish;
use crate::player::Player;
use crate::sample::{self, points};

/// What to decide.
#[derive(Clone, Copy)]
pub struct Question<'a> {
    /// The hole.
    pub hole: &'a Hole,
    /// The teeing area to play from.
    pub tee: &'a TeeingArea,
    /// The player.
    pub player: &'a Player,
    /// The day.
    pub day: &'a Day,
    /// Seed of every random point.
    pub seed: u32,
}

/// How far the search is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Steps done.
    pub done: usize,
    /// Steps in all.
    pub total: usize,
    /// What is being done.
    pub doing: &'static str,
}

/// No shot with any club keeps a ball in play: everything within reach is out
/// of bounds or water without relief.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("no club keeps a ball in play from this tee")]
pub struct NothingInPlay;

/// Balls a shot in the survey, in the pursuit of every club, of contenders, and
/// in the last close look at them.
const SURVEY_BALLS: usize = 256;
const PURSUIT_BALLS: usize = 512;
const CONTENDER_BALLS: usize = 4096;
const CLOSE_BALLS: usize = 8192;
/// Fresh balls for the figures that are printed: independent sets, balls a set.
const FRESH_SETS: usize = 16;
const FRESH_BALLS: usize = 512;
/// Steps between aims in the survey, degrees.
const SURVEY_STEP_DEG: f64 = 2.0;
/// How far to either side of the way the hole goes balls may be sent, degrees.
const BESIDE_DEG: f64 = 14.0;
/// Nearer than this to a side of the teeing area, or to its front, nobody pegs
/// it (practice: the markers themselves are in the way), m.
pub const PEG_MARGIN_M: f64 = 0.1;
/// Clubs within this of the best after the pursuit contend, strokes.
const CONTENDS: f64 = 0.06;
/// At most this many clubs contend.
const CONTENDERS: usize = 4;
/// Aims within this of the best belong to the aim window, strokes.
pub const WINDOW: f64 = 0.02;

/// Stages that need independent random numbers.
#[derive(Clone, Copy)]
enum Stage {
    Survey = 0,
    Pursuit = 1,
    Contenders = 2,
    Close = 3,
    Fresh = 16,
}

/// The best tee shot of every club, the choice among them, and what named aims cost.
///
/// Deterministic in `question.seed`, whatever the number of threads.
///
/// # Errors
/// [`NothingInPlay`] when no shot with any club keeps a single ball in play.
pub fn decide(
    question: &Question<'_>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<Decision, NothingInPlay> {
    let to_go = StrokesToGo::for_handicap(question.player.handicap);
    let range = Range::new(question, &to_go);
    let total = 5;
    let tell = |done, doing| progress(Progress { done, total, doing });

    tell(0, "surveying every club, peg and aim");
    let clubs = 0..question.player.clubs.len();
    let surveyed: Vec<Vec<Scored>> = clubs
        .into_par_iter()
        .map(|club| range.survey(club))
        .collect();

    tell(1, "following each club's best");
    let best_survey = least(surveyed.iter().flatten());
    let pursued: Vec<Scored> = surveyed
        .par_iter()
        .map(|starts| {
            // A club far off the pace needs its best line, not its second valley.
            let behind = starts[0].strokes - best_survey > 0.3;
            let starts = if behind { &starts[..1] } else { &starts[..] };
            let ends: Vec<Scored> = starts
                .iter()
                .map(|s| range.follow(s.shot, Stage::Pursuit, PURSUIT_BALLS, 2.0, 3))
                .collect();
            ends.into_iter()
                .reduce(|a, b| if b.strokes < a.strokes { b } else { a })
        })
        .map(|end| end.expect("every club has a start"))
        .collect();

    tell(2, "weighing the contenders");
    let best_pursuit = least(pursued.iter());
    let mut order: Vec<usize> = (0..pursued.len()).collect();
    order.sort_by(|a, b| pursued[*a].strokes.total_cmp(&pursued[*b].strokes));
    let contenders: Vec<usize> = order
        .iter()
        .copied()
        .take(CONTENDERS)
        .filter(|i| pursued[*i].strokes - best_pursuit <= CONTENDS)
        .collect();
    let weighed: Vec<(usize, TeeShot)> = contenders
        .into_iter()
        .map(|i| {
            let end = range.follow(pursued[i].shot, Stage::Contenders, CONTENDER_BALLS, 1.5, 5);
            let close = range.follow(end.shot, Stage::Close, CLOSE_BALLS, 0.6, 3);
            (i, range.along_depth(close.shot))
        })
        .collect();
    let shots: Vec<TeeShot> = (0..pursued.len())
        .map(|i| {
            weighed
                .iter()
                .find(|w| w.0 == i)
                .map_or(pursued[i].shot, |w| w.1)
        })
        .collect();

    tell(3, "pricing on fresh balls");
    let mut fresh: Vec<Priced> = shots
        .par_iter()
        .map(|shot| range.price_fresh(*shot))
        .collect();
    fresh.sort_by(|a, b| a.strokes.total_cmp(&b.strokes));
    // A shot that loses every ball has no finite price and is no option.
    fresh.retain(|priced| priced.strokes.is_finite());
    if fresh.is_empty() {
        return Err(NothingInPlay);
    }
    let choice = fresh.remove(0);
    let choice_by_set = range.by_set(&choice.rests);
    let mut alternatives = fresh;
    for other in &mut alternatives {
        range.set_costs(other, &choice_by_set);
    }
    let comparisons: Vec<(String, Priced)> = range
        .named_aims(&choice)
        .into_iter()
        .map(|(name, shot)| {
            let mut priced = range.price_fresh(shot);
            range.set_costs(&mut priced, &choice_by_set);
            (name, priced)
        })
        .filter(|(_, priced)| priced.strokes.is_finite())
        .collect();

    tell(4, "finding how much aim matters");
    let aim_window_deg = range.aim_window(choice.shot);
    let (flight, flight_airborne) = range.typical_flight(&choice);
    tell(5, "done");
    Ok(Decision {
        choice,
        alternatives,
        comparisons,
        aim_window_deg,
        flight,
        flight_airborne,
    })
}

fn least<'a>(scored: impl Iterator<Item = &'a Scored>) -> f64 {
    scored.map(|s| s.strokes).fold(f64::INFINITY, f64::min)
}

/// A shot and its price on the balls of one stage.
#[derive(Clone, Copy, Debug)]
struct Scored {
    shot: TeeShot,
    strokes: f64,
}

/// One tee of one hole, with everything that pricing needs.
struct Range<'a> {
    q: &'a Question<'a>,
    rules: Rules<'a>,
    /// Lowest ground that a ball may fall to, relative to the tee, m.
    floor_m: f64,
    middle_of_tee: Coord<f64>,
}

impl<'a> Range<'a> {
    fn new(q: &'a Question<'a>, to_go: &'a StrokesToGo) -> Self {
        let middle_of_tee = q.tee.peg(q.tee.width_m() / 2.0, 0.0);
        let tee_height = q.hole.ground().height_m(middle_of_tee.x, middle_of_tee.y);
        Self {
            q,
            rules: Rules::new(q.hole, to_go, q.player.club_length_m),
            floor_m: (q.hole.ground().lowest_m() - tee_height).min(0.0) - 2.0,
            middle_of_tee,
        }
    }

    fn depth_m(&self) -> f64 {
        2.0 * self.q.player.club_length_m
    }

    /// Pegs from side to side, at most `count`, ends included.
    fn laterals(&self, count: usize) -> Vec<f64> {
        let width = self.q.tee.width_m();
        let margin = PEG_MARGIN_M.min(width / 2.0);
        let room = width - 2.0 * margin;
        if room < 0.2 || count < 2 {
            return vec![width / 2.0];
        }
        (0..count)
            .map(|k| margin + room * k as f64 / (count - 1) as f64)
            .collect()
    }

    fn seed(&self, stage: Stage, set: usize) -> u32 {
        self.q
            .seed
            .wrapping_mul(0x9E37_79B9)
            .wrapping_add(stage as u32)
            .wrapping_add(u32::try_from(set).expect("few sets"))
    }

    fn volley(
        &self,
        club: usize,
        stage: Stage,
        set: usize,
        balls: usize,
        aims: [f64; 2],
    ) -> Volley {
        let points = points(self.seed(stage, set), balls);
        Volley::fly(
            &self.q.player.clubs[club],
            &points,
            self.q.day,
            aims,
            self.floor_m,
        )
    }

    fn rests(&self, volley: &Volley, flights: &Flights, shot: &TeeShot) -> Vec<Rest> {
        let peg = self.q.tee.peg(shot.from_left_m, shot.behind_front_m);
        play(self.q.hole, volley, flights, peg, shot.aim_deg)
    }

    fn price(&self, rests: &[Rest]) -> Price {
        let worths: Vec<Worth> = rests.iter().map(|r| self.rules.worth(r)).collect();
        Price::of(&worths)
    }

    /// The aims worth a look: those whose balls, on average, finish from
    /// [`BESIDE_DEG`] left of the way the hole goes to as much right of it.
    fn aims(&self, club: usize) -> [f64; 2] {
        let from = self.middle_of_tee;
        let off_tee = bearing_deg(from, on_line_of_play(self.q.hole, from, 30.0).0);
        let volley = self.volley(club, Stage::Survey, 0, 128, [off_tee, off_tee]);
        let flights = volley.toward(0.0);
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

    /// Coarse prices of one club; the best, and the best of another valley.
    fn survey(&self, club: usize) -> Vec<Scored> {
        let [low, high] = self.aims(club);
        // About the middle, so that a mirrored hole is searched in mirror image.
        let middle_deg = (low + high) / 2.0;
        let steps = ((high - middle_deg) / SURVEY_STEP_DEG).ceil() as i32;
        let reach = f64::from(steps) * SURVEY_STEP_DEG;
        let range = [middle_deg - reach, middle_deg + reach];
        let volley = self.volley(club, Stage::Survey, 0, SURVEY_BALLS, range);
        let laterals = self.laterals(3);
        let mut scored: Vec<Scored> = (-steps..=steps)
            .into_par_iter()
            .flat_map_iter(|step| {
                let aim_deg = middle_deg + f64::from(step) * SURVEY_STEP_DEG;
                let flights = volley.toward(aim_deg);
                laterals
                    .iter()
                    .map(|from_left_m| {
                        let shot = TeeShot {
                            club,
                            from_left_m: *from_left_m,
                            behind_front_m: PEG_MARGIN_M,
                            aim_deg,
                        };
                        let strokes = self.price(&self.rests(&volley, &flights, &shot)).strokes;
                        Scored { shot, strokes }
                    })
                    .collect::<Vec<_>>()
            })
            .collect();
        scored.sort_by(|a, b| a.strokes.total_cmp(&b.strokes));
        let first = scored[0];
        let second = scored
            .iter()
            .find(|s| (s.shot.aim_deg - first.shot.aim_deg).abs() > 3.0 * SURVEY_STEP_DEG)
            .filter(|s| s.strokes - first.strokes < 0.15);
        std::iter::once(first).chain(second.copied()).collect()
    }

    /// Fits a smooth surface to prices around `start` and moves to its bottom,
    /// until it stays within the looked-at box.
    fn follow(
        &self,
        start: TeeShot,
        stage: Stage,
        balls: usize,
        half_deg: f64,
        laterals: usize,
    ) -> Scored {
        const AIMS: i32 = 4;
        const MOVES: usize = 4;
        let pegs = self.laterals(laterals);
        let (left, right) = (pegs[0], pegs[pegs.len() - 1]);
        let scaled = |from_left: f64| {
            if right > left {
                2.0 * (from_left - left) / (right - left) - 1.0
            } else {
                0.0
            }
        };
        let reach = half_deg * MOVES as f64;
        let range = [start.aim_deg - reach, start.aim_deg + reach];
        let volley = self.volley(start.club, stage, 0, balls, range);
        let mut best = Scored {
            shot: start,
            strokes: f64::INFINITY,
        };
        let mut centre = start.aim_deg;
        for _ in 0..MOVES {
            let prices: Vec<(f64, f64, f64)> = (-AIMS..=AIMS)
                .into_par_iter()
                .flat_map_iter(|k| {
                    let aim = f64::from(k) / f64::from(AIMS);
                    let aim_deg = centre + aim * half_deg;
                    let flights = volley.toward(aim_deg);
                    pegs.iter()
                        .map(|from_left_m| {
                            let shot = TeeShot {
                                from_left_m: *from_left_m,
                                aim_deg,
                                ..start
                            };
                            let price = self.price(&self.rests(&volley, &flights, &shot));
                            (aim, scaled(*from_left_m), price.strokes)
                        })
                        .collect::<Vec<_>>()
                })
                .collect();
            let (aim, peg, strokes) = bottom(&prices);
            let found = Scored {
                shot: TeeShot {
                    aim_deg: centre + aim * half_deg,
                    from_left_m: left + (peg + 1.0) / 2.0 * (right - left),
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
            centre = found.shot.aim_deg;
        }
        best
    }

    /// The best of front, middle and back of the teeing area, on the contenders' balls.
    fn along_depth(&self, shot: TeeShot) -> TeeShot {
        let volley = self.volley(
            shot.club,
            Stage::Contenders,
            0,
            CONTENDER_BALLS,
            [shot.aim_deg; 2],
        );
        let flights = volley.toward(shot.aim_deg);
        let back = self.depth_m() - PEG_MARGIN_M;
        let tried: Vec<Scored> = [PEG_MARGIN_M, self.depth_m() / 2.0, back]
            .into_par_iter()
            .map(|behind_front_m| {
                let shot = TeeShot {
                    behind_front_m,
                    ..shot
                };
                Scored {
                    shot,
                    strokes: self.price(&self.rests(&volley, &flights, &shot)).strokes,
                }
            })
            .collect();
        // Forward unless going back is worth something.
        let mut best = tried[0];
        for other in &tried[1..] {
            if other.strokes < best.strokes - 0.002 {
                best = *other;
            }
        }
        best.shot
    }

    /// A shot on fresh balls.
    fn price_fresh(&self, shot: TeeShot) -> Priced {
        let rests: Vec<Rest> = (0..FRESH_SETS)
            .into_par_iter()
            .flat_map_iter(|set| {
                let volley =
                    self.volley(shot.club, Stage::Fresh, set, FRESH_BALLS, [shot.aim_deg; 2]);
                self.rests(&volley, &volley.toward(shot.aim_deg), &shot)
            })
            .collect();
        let by_set = self.by_set(&rests);
        let (strokes, standard_error) = mean_and_error(&by_set);
        let peg = self.q.tee.peg(shot.from_left_m, shot.behind_front_m);
        let carry_m = rests
            .iter()
            .map(|r| (r.landed.x - peg.x).hypot(r.landed.y - peg.y))
            .sum::<f64>()
            / rests.len() as f64;
        let finish = shares(&rests);
        Priced {
            shot,
            peg,
            strokes,
            standard_error,
            costs: 0.0,
            costs_standard_error: 0.0,
            rests,
            finish,
            carry_m,
        }
    }

    /// The price on each independent set of fresh balls, at the common fixed
    /// point: a set's mean, its deviation stretched as replays stretch it.
    fn by_set(&self, rests: &[Rest]) -> Vec<f64> {
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

    fn set_costs(&self, other: &mut Priced, choice_by_set: &[f64]) {
        let by_set = self.by_set(&other.rests);
        let differences: Vec<f64> = by_set
            .iter()
            .zip(choice_by_set)
            .map(|(a, b)| a - b)
            .collect();
        (other.costs, other.costs_standard_error) = mean_and_error(&differences);
    }

    /// The set-up at the middle of the hole, and the same turned by half the
    /// gap between the start line and the finish (rule of thumb, practice).
    fn named_aims(&self, choice: &Priced) -> Vec<(String, TeeShot)> {
        let peg = choice.peg;
        let count = choice.rests.len() as f64;
        let total_m = choice
            .rests
            .iter()
            .map(|r| (r.at.x - peg.x).hypot(r.at.y - peg.y))
            .sum::<f64>()
            / count;
        let straight = bearing_deg(peg, middle(self.q.hole, peg, total_m));
        let curve_m = choice.rests.iter().map(|r| r.curve_m).sum::<f64>() / count;
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
    fn aim_window(&self, choice: TeeShot) -> [f64; 2] {
        const STEP_DEG: f64 = 0.5;
        const STEPS: i32 = 30;
        const SETS: usize = 4;
        let reach = STEP_DEG * f64::from(STEPS);
        let range = [choice.aim_deg - reach, choice.aim_deg + reach];
        let volleys: Vec<Volley> = (0..SETS)
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
                .flat_map(|v| self.rests(v, &v.toward(shot.aim_deg), &shot))
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
    fn typical_flight(&self, choice: &Priced) -> (Vec<[f64; 3]>, usize) {
        let mut point = [0.5; sample::DIMENSIONS];
        // No mishit, no tree, the commonest stretch.
        point[sample::MISHIT] = 1.0 - 1e-7;
        point[sample::TREES] = 1.0 - 1e-7;
        let shot = choice.shot;
        let club = &self.q.player.clubs[shot.club];
        let volley = Volley::fly(club, &[point], self.q.day, [shot.aim_deg; 2], self.floor_m);
        let flights = volley.toward(shot.aim_deg);
        let height = self.q.hole.ground().height_m(choice.peg.x, choice.peg.y);
        let (landed, track) = crate::outcome::trace(self.q.hole, &volley, &flights, choice.peg);
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

fn mean_and_error(values: &[f64]) -> (f64, f64) {
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
