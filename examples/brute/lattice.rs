//! A plain Monte Carlo over a lattice of peg, club and aim: the check on the
//! solver.
//!
//! Every candidate shot is hit so many times with pseudo-random launches, each
//! ball is flown and brought to rest on the hole, and its resting place is
//! priced. There is no surface fit, no pursuit and no low-discrepancy sequence,
//! and no code of the solver's search, its Rules or its random points is used.
//! What both sides share is the model that is not in question: the map, the
//! player's pattern, the flight, and what a ball is worth where it lies: by the
//! strokes table, or by the whole hole's own values.
//!
//! All candidates are hit with the same pseudo-random numbers, so differences
//! between them have smaller standard errors than the candidates themselves.

#[path = "pricing.rs"]
mod pricing;

use bendline::flight::rest::come_to_rest;
use bendline::flight::trajectory::{Flights, fly};
use bendline::flight::{AimWind, Canopy, Launch, Terrain, Turf};
use bendline::hole::{Coord, Hole, Surface, TeeingArea};
use bendline::outcome::{Day, TeeShot};
use bendline::player::Player;
use bendline::sample::{DIMENSIONS, GUST, Point, TREES};
use bendline::strategy::StrokesFrom;
use rand_pcg::Pcg64;
use rand_pcg::rand_core::Rng;
use rayon::prelude::*;

use pricing::{Lie, Pricing, Value, fixed_point};

/// What is to be decided.
pub struct Tee<'a> {
    /// The hole.
    pub hole: &'a Hole,
    /// The teeing area.
    pub area: &'a TeeingArea,
    /// The player.
    pub player: &'a Player,
    /// The day.
    pub day: &'a Day,
    /// What a ball is worth where it lies: the solver's own worth.
    pub worth: Box<dyn StrokesFrom + 'a>,
}

/// How finely and how often to try.
pub struct Effort {
    /// Between aims, degrees.
    pub aim_step_deg: f64,
    /// Pegs along the front line, the sides' included.
    pub pegs_across: usize,
    /// Pegs along the depth, front and back included (one: the front).
    pub pegs_deep: usize,
    /// Shots a candidate on the lattice.
    pub shots: usize,
    /// How many of the best go on to the final; so does the best of every
    /// other club that is within [`IN_THE_RUNNING`] of the lead.
    pub finalists: usize,
    /// Shots a finalist.
    pub final_shots: usize,
    /// Seed of the pseudo-random numbers.
    pub seed: u64,
}

/// A shot and what it costs.
pub struct Estimate {
    /// The shot.
    pub shot: TeeShot,
    /// Expected strokes to hole out, the tee shot included.
    pub strokes: f64,
    /// Its standard error.
    pub standard_error: f64,
    /// What each ball moves the estimate by, times the number of balls.
    influence: Vec<f64>,
}

/// A finalist beside the solver's choice, on the same balls.
pub struct Rival {
    /// The finalist.
    pub estimate: Estimate,
    /// Strokes that it saves against the choice; negative where it loses.
    pub saves: f64,
    /// Standard error of that difference.
    pub saves_standard_error: f64,
}

/// What the lattice found.
pub struct Verdict {
    /// How many candidates were tried.
    pub candidates: usize,
    /// The aims tried, lowest and highest, degrees.
    pub aims_deg: [f64; 2],
    /// The solver's choice.
    pub choice: Estimate,
    /// The finalists, the one that saves most first.
    pub rivals: Vec<Rival>,
}

/// Nothing may be better than the choice by more than this and three standard errors,
/// strokes.
pub const MAY_BE_BETTER: f64 = 0.005;

/// The solver's figure and ours may differ by this and three standard errors,
/// strokes: aims blended from neighbouring winds, relief tried at fewer spots.
pub const MAY_DIFFER: f64 = 0.005;

impl Verdict {
    /// The solver's figure less ours, and by how much they may differ.
    pub fn disagreement(&self, printed: f64, printed_standard_error: f64) -> (f64, f64) {
        let combined = printed_standard_error.hypot(self.choice.standard_error);
        (printed - self.choice.strokes, MAY_DIFFER + 3.0 * combined)
    }

    /// By how much any rival saves more than it may: above zero, the solver
    /// has missed something.
    pub fn most_beaten(&self) -> f64 {
        self.rivals
            .iter()
            .map(|r| r.saves - MAY_BE_BETTER - 3.0 * r.saves_standard_error)
            .fold(f64::NEG_INFINITY, f64::max)
    }
}

/// Beyond the way to the pin and to every bend of the line of play, aims are
/// tried this far to either side, degrees: more than any full swing bends.
const BESIDE_DEG: f64 = 25.0;
/// A bend nearer than this to the tee is no direction to play in, m.
const NO_BEND_M: f64 = 60.0;
/// Strokes by which the best of another club may trail and still be heard.
const IN_THE_RUNNING: f64 = 0.05;
/// Shots after which a candidate may be given up, and by how many strokes it
/// then has to trail: the standard error of such a difference is below 0.05.
const GLANCE: usize = 500;
const HOPELESS: f64 = 0.3;
/// Balls in the air at one time.
const BATCH: usize = 5_000;

/// Tries every candidate, then the best of them and the solver's choice on
/// many fresh balls.
pub fn judge(tee: &Tee<'_>, effort: &Effort, choice: TeeShot) -> Verdict {
    let field = Field::new(tee);
    let (aims, mut tried) = field.lattice(effort);
    tried.sort_by(|a, b| a.1.total_cmp(&b.1));
    let fresh = points(effort.seed, 1, effort.final_shots);
    let mut finalists: Vec<TeeShot> = tried.iter().take(effort.finalists).map(|t| t.0).collect();
    for club in 0..tee.player.clubs.len() {
        let best = tried.iter().find(|t| t.0.club == club);
        if let Some((shot, strokes)) = best
            && strokes - tried[0].1 < IN_THE_RUNNING
            && finalists.iter().all(|f| f.club != club)
        {
            finalists.push(*shot);
        }
    }
    let chosen = field.estimate(choice, &fresh);
    let mut rivals: Vec<Rival> = finalists
        .into_iter()
        .map(|shot| {
            let estimate = field.estimate(shot, &fresh);
            let differences: Vec<f64> = chosen
                .influence
                .iter()
                .zip(&estimate.influence)
                .map(|(a, b)| a - b)
                .collect();
            Rival {
                saves: chosen.strokes - estimate.strokes,
                saves_standard_error: error_of_mean(&differences),
                estimate,
            }
        })
        .collect();
    rivals.sort_by(|a, b| b.saves.total_cmp(&a.saves));
    Verdict {
        candidates: tried.len(),
        aims_deg: aims,
        choice: chosen,
        rivals,
    }
}

/// Independent uniforms, strictly between 0 and 1.
fn points(seed: u64, stream: u128, count: usize) -> Vec<Point> {
    let mut random = Pcg64::new(u128::from(seed), stream);
    (0..count)
        .map(|_| {
            std::array::from_fn::<f64, DIMENSIONS, _>(|_| {
                ((random.next_u64() >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
            })
        })
        .collect()
}

/// One club along one aim, from some pegs: one set of flights serves them all.
struct Stand {
    club: usize,
    aim_deg: f64,
    /// Metres from the left marker and behind the front line.
    pegs: Vec<[f64; 2]>,
}

/// One tee, ready to be hit from.
struct Field<'a> {
    tee: &'a Tee<'a>,
    pricing: Pricing<'a>,
}

impl<'a> Field<'a> {
    fn new(tee: &'a Tee<'a>) -> Self {
        Self {
            tee,
            pricing: Pricing::new(tee.hole, tee.worth.as_ref(), tee.player.club_length_m),
        }
    }

    /// Every aim worth the name, and the range they span.
    fn aims(&self, step_deg: f64) -> Vec<f64> {
        let from = Coord {
            x: (self.tee.area.left.x + self.tee.area.right.x) / 2.0,
            y: (self.tee.area.left.y + self.tee.area.right.y) / 2.0,
        };
        let way = |to: Coord<f64>| (to.x - from.x).atan2(to.y - from.y).to_degrees();
        let straight = way(self.tee.hole.pin);
        // As turns from the way to the pin, so that north is nowhere special.
        let turns: Vec<f64> = self
            .tee
            .hole
            .line_of_play
            .iter()
            .filter(|p| (p.x - from.x).hypot(p.y - from.y) > NO_BEND_M)
            .map(|p| (way(*p) - straight + 540.0).rem_euclid(360.0) - 180.0)
            .chain([0.0])
            .collect();
        let low = turns.iter().copied().fold(f64::INFINITY, f64::min) - BESIDE_DEG;
        let high = turns.iter().copied().fold(f64::NEG_INFINITY, f64::max) + BESIDE_DEG;
        let count = ((high - low) / step_deg).floor() as usize;
        (0..=count)
            .map(|k| straight + low + k as f64 * step_deg)
            .collect()
    }

    /// Every peg: metres from the left marker and behind the front line.
    fn pegs(&self, effort: &Effort) -> Vec<[f64; 2]> {
        let spread = |count: usize, length: f64, alone: f64| -> Vec<f64> {
            match count {
                0 | 1 => vec![alone],
                _ => (0..count)
                    .map(|k| length * k as f64 / (count - 1) as f64)
                    .collect(),
            }
        };
        let width = self.tee.area.width_m();
        // Half a yard from a marker at least, where there is the room (practice).
        let margin = 0.457_2_f64.min(width / 2.0);
        // The teeing area is two club-lengths deep (Rules of Golf 2023, definition).
        let depth = 2.0 * self.tee.player.club_length_m;
        let deep = spread(effort.pegs_deep, depth, 0.0);
        let room = width - 2.0 * margin;
        spread(effort.pegs_across, room, room / 2.0)
            .into_iter()
            .flat_map(|across| deep.iter().map(move |behind| [margin + across, *behind]))
            .collect()
    }

    /// Every candidate with its price. A candidate that trails the best by
    /// [`HOPELESS`] after a glance of [`GLANCE`] of its shots keeps the price
    /// of the glance; the others are hit in full.
    fn lattice(&self, effort: &Effort) -> ([f64; 2], Vec<(TeeShot, f64)>) {
        let points = points(effort.seed, 0, effort.shots);
        let aims = self.aims(effort.aim_step_deg);
        let pegs = self.pegs(effort);
        let stands: Vec<Stand> = (0..self.tee.player.clubs.len())
            .flat_map(|club| {
                aims.iter().map({
                    let pegs = &pegs;
                    move |aim_deg| Stand {
                        club,
                        aim_deg: *aim_deg,
                        pegs: pegs.clone(),
                    }
                })
            })
            .collect();
        let range = [aims[0], aims[aims.len() - 1]];
        let glance = self.prices(&stands, &points[..points.len().min(GLANCE)]);
        if points.len() <= GLANCE {
            return (range, glance);
        }
        let best = glance.iter().map(|t| t.1).fold(f64::INFINITY, f64::min);
        let (hopeful, mut tried): (Vec<_>, Vec<_>) =
            glance.into_iter().partition(|t| t.1 <= best + HOPELESS);
        let mut stands: Vec<Stand> = Vec::new();
        for (shot, _) in hopeful {
            let peg = [shot.from_left_m, shot.behind_front_m];
            match stands.last_mut() {
                Some(s) if s.club == shot.club && s.aim_deg == shot.aim_deg => s.pegs.push(peg),
                _ => stands.push(Stand {
                    club: shot.club,
                    aim_deg: shot.aim_deg,
                    pegs: vec![peg],
                }),
            }
        }
        tried.extend(self.prices(&stands, &points));
        (range, tried)
    }

    /// The price of every stand's every peg on all these points.
    fn prices(&self, stands: &[Stand], points: &[Point]) -> Vec<(TeeShot, f64)> {
        let clubs = &self.tee.player.clubs;
        let launches: Vec<Vec<Launch>> = clubs
            .iter()
            .map(|club| club.launches.draw_all(points))
            .collect();
        let by_stand: Vec<Vec<(TeeShot, f64)>> = stands
            .par_iter()
            .map(|stand| {
                let flights = self.flights(&launches[stand.club], points, stand.aim_deg);
                stand
                    .pegs
                    .iter()
                    .map(|peg| {
                        let shot = TeeShot {
                            club: stand.club,
                            from_left_m: peg[0],
                            behind_front_m: peg[1],
                            aim_deg: stand.aim_deg,
                        };
                        let lies = self.lies(&flights, points, *peg);
                        (shot, fixed_point(&lies).strokes)
                    })
                    .collect()
            })
            .collect();
        by_stand.into_iter().flatten().collect()
    }

    /// One shot on all these points.
    fn estimate(&self, shot: TeeShot, points: &[Point]) -> Estimate {
        let pattern = self.tee.player.clubs[shot.club].launches.pattern();
        let batches: Vec<Vec<Lie>> = points
            .par_chunks(BATCH)
            .map(|points| {
                let launches: Vec<Launch> = points.iter().map(|p| pattern.draw(p)).collect();
                let flights = self.flights(&launches, points, shot.aim_deg);
                self.lies(&flights, points, [shot.from_left_m, shot.behind_front_m])
            })
            .collect();
        let lies = batches.concat();
        let Value {
            strokes,
            replayed,
            by_ball,
        } = fixed_point(&lies);
        // To first order, more strokes with one ball raise the fixed point by
        // 1/(1 − replayed) times as much.
        let influence: Vec<f64> = by_ball
            .iter()
            .map(|b| (b - strokes) / (1.0 - replayed))
            .collect();
        Estimate {
            shot,
            strokes,
            standard_error: error_of_mean(&influence),
            influence,
        }
    }

    /// Flown along this aim in its own wind, and turned to the map.
    fn flights(&self, launches: &[Launch], points: &[Point], aim_deg: f64) -> Flights {
        let Day {
            air, wind, ball, ..
        } = self.tee.day;
        let winds: Vec<AimWind> = points
            .iter()
            .map(|p| wind.in_aim(aim_deg, [p[GUST], p[GUST + 1]]))
            .collect();
        fly(launches, &winds, air, ball, self.floor_m()).turned(aim_deg)
    }

    /// No ball falls further below its tee than this, m.
    fn floor_m(&self) -> f64 {
        let ground = self.tee.hole.ground();
        let tee = self.tee.area;
        let height = |at: Coord<f64>| ground.height_m(at.x, at.y);
        let highest_tee = height(tee.left).max(height(tee.right));
        (ground.lowest_m() - highest_tee).min(0.0) - 3.0
    }

    /// What the Rules and the table make of each ball.
    fn lies(
        &self,
        flights: &Flights,
        points: &[Point],
        [from_left_m, behind_front_m]: [f64; 2],
    ) -> Vec<Lie> {
        let hole = self.tee.hole;
        let peg = self.tee.area.peg(from_left_m, behind_front_m);
        let peg = [peg.x, peg.y, hole.ground().height_m(peg.x, peg.y)];
        let mut track = Vec::new();
        points
            .iter()
            .enumerate()
            .map(|(ball, point)| {
                let view = flights.ball(ball);
                let resting = come_to_rest(
                    &OnTheHole(hole),
                    view,
                    peg,
                    point[TREES],
                    self.tee.day.firmness,
                    &mut track,
                );
                self.pricing.lie(&resting, view, peg, &track)
            })
            .collect()
    }
}

/// The hole under a ball.
struct OnTheHole<'a>(&'a Hole);

impl Terrain for OnTheHole<'_> {
    fn height_m(&self, east_m: f64, north_m: f64) -> f64 {
        self.0.ground().height_m(east_m, north_m)
    }
    fn gradient(&self, east_m: f64, north_m: f64) -> [f64; 2] {
        self.0.ground().gradient(east_m, north_m)
    }
    fn turf(&self, east_m: f64, north_m: f64) -> Turf {
        let at = Coord {
            x: east_m,
            y: north_m,
        };
        match self.0.surface_at(at) {
            Surface::Green => Turf::Green,
            Surface::Tee | Surface::Fairway => Turf::Fairway,
            Surface::Rough | Surface::OutOfBounds => Turf::Rough,
            Surface::Bunker => Turf::Sand,
            Surface::Trees => Turf::WoodFloor,
            Surface::PenaltyRed | Surface::PenaltyYellow => Turf::Water,
        }
    }
    fn canopy(&self, east_m: f64, north_m: f64) -> Option<Canopy> {
        self.0.canopy_at(east_m, north_m)
    }
    fn highest_canopy_m(&self) -> f64 {
        self.0.highest_canopy_m()
    }
}

fn error_of_mean(values: &[f64]) -> f64 {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>();
    (squares / (count - 1.0) / count).sqrt()
}
