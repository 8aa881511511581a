//! A choice's balls by the true flight and ground.
//!
//! Every swing and lie has its launches on some hundred points of one scrambled
//! low-discrepancy sequence. A state takes an aligned part of them, which is a
//! well spread set of its own, and different states take different parts, so
//! that their errors are not all the same. In calm air they are flown once, a few
//! together when one of them is asked for, and turned to the aim; in wind a flight
//! belongs to its aim, and is flown when it is asked for: that costs less than keeping
//! a flight for every bearing. Launches and calm flights may be those of other holes
//! ([`swung`](super::swung)). They are brought to rest from places spread over the state's cell, as a ball that
//! comes to lie in it does: not from its middle only.

use std::sync::{Arc, OnceLock};

use rayon::prelude::*;

use super::action::Action;
use super::around::{fringe_putt_m, holed_chance};
use super::lie::{LIES, Lie};
use super::problem::Problem;
use super::swung::{Cut, FEW, Few, Set, Swung, Which};
use crate::flight::trajectory::{Flights, fly};
use crate::flight::{AimWind, Launch};
use crate::hole::{Coord, Hole, Surface};
use crate::outcome::{Day, Level, Rest, Settling, Struck, Turn, is_penalty, settle};
use crate::sample::{self, Point, points};

/// Balls for every swing and lie: for choosing, and for evaluating, where
/// their common error is what is left.
const POOL: usize = 256;
const FRESH_POOL: [usize; 2] = [64, 8192];
/// Balls for a swing that is hit once a hole. With four times as many the evaluation spread
/// as much, from one set of balls to another (nine holes, eight sets: 0.0019 strokes a hole;
/// with half as many 0.0022).
pub(super) const FRESH_A_HOLE: f64 = 8_192.0;

/// The points that swings are flown on.
pub(super) enum Sets {
    /// The same for every swing, so that what is compared is compared on the same
    /// luck: for choosing.
    Common,
    /// Every swing and lie has its own, so that their errors are not all the
    /// same, and as many of them as it is hit often: for evaluating. By
    /// `swing · LIES + lie`, how often a hole.
    Own(Vec<f64>),
}

impl Sets {
    fn size(&self, set: usize) -> usize {
        match self {
            Self::Common => POOL,
            Self::Own(hit) => {
                let wanted = (hit[set] * FRESH_A_HOLE) as usize;
                wanted
                    .next_power_of_two()
                    .clamp(FRESH_POOL[0], FRESH_POOL[1])
            }
        }
    }
}

/// A point moved by what belongs to a set, round the edges of the unit cube: a well
/// spread set stays one (Cranley & Patterson, *SIAM J. Numer. Anal.* 13 (1976) 904,
/// memory).
fn moved(point: &Point, set: u32) -> Point {
    const EDGE: f64 = 1.0e-9;
    let mut dimension = 0;
    point.map(|at| {
        dimension += 1;
        let by = f64::from(scramble(set, 1000 + dimension)) / f64::from(u32::MAX);
        (at + by).fract().clamp(EDGE, 1.0 - EDGE)
    })
}

/// Balls of a tee shot that are flown together.
const TEE_PART: usize = 1024;

/// A few balls of a set on this hole.
struct Part {
    few: Arc<Few>,
    /// Flown in calm air, and what is known of them where the hole is level.
    flown: OnceLock<(Cut, Option<Level>)>,
}

/// What became of a ball, by place.
#[derive(Clone, Copy, Debug)]
pub(super) enum Raw {
    Lies(Lie, [f32; 2]),
    /// Distance to the pin, m, and the chance that it went in on the way.
    Green(f32, f32),
    /// Crossed here into a penalty area; red or not.
    Water(Coord<f64>, bool),
    Out(Coord<f64>),
}

/// Of a hole that is planned alone tens of megabytes in small pieces are given back beside
/// what comes next. Beside other holes nobody is idle, and it would only be given back later.
impl Drop for Physics<'_> {
    fn drop(&mut self) {
        let launches = std::mem::take(&mut self.launches);
        if self.shared.is_none() {
            rayon::spawn(move || drop(launches));
        }
    }
}

/// Swings flown on one set of points.
pub(super) struct Physics<'a> {
    pub hole: &'a Hole,
    pub day: &'a Day,
    pub problem: &'a Problem,
    points: Vec<Point>,
    sets: Sets,
    /// The points' winds, for flights along north.
    winds: Vec<AimWind>,
    /// `[swing · LIES + lie]`, [`FEW`] by [`FEW`].
    launches: Vec<OnceLock<Vec<OnceLock<Part>>>>,
    floor_m: f64,
    /// Where other holes look for the same balls.
    shared: Option<Arc<Set>>,
}

impl<'a> Physics<'a> {
    /// On the balls of `swung` where it is given.
    pub fn new(
        (hole, day, problem): (&'a Hole, &'a Day, &'a Problem),
        seed: u32,
        sets: Sets,
        swung: Option<&Swung>,
    ) -> Self {
        let highest = problem
            .grid
            .height_m
            .iter()
            .fold(f32::NEG_INFINITY, |m, h| m.max(*h));
        let drop = if highest.is_finite() {
            (hole.ground().lowest_m() - f64::from(highest)).min(0.0)
        } else {
            0.0
        };
        let slots = problem.swings.len() * LIES;
        let most = (0..slots).map(|set| sets.size(set)).max().unwrap_or(POOL);
        let points = points(seed, most);
        let floor_m = drop - 2.0;
        let own = matches!(sets, Sets::Own(_));
        let which = Which::down_to(floor_m, seed, own);
        let gust = |p: &Point| [p[sample::GUST], p[sample::GUST + 1]];
        Self {
            hole,
            day,
            problem,
            sets,
            winds: points
                .iter()
                .map(|p| day.wind.in_aim(0.0, gust(p)))
                .collect(),
            points,
            launches: std::iter::repeat_with(OnceLock::new).take(slots).collect(),
            floor_m,
            shared: swung.and_then(|swung| swung.set(problem, day, which)),
        }
    }

    /// The launches of a swing's set around a ball, by [`FEW`].
    fn part(&self, &Strike { slot, index, .. }: &Strike) -> &Part {
        let all = self.launches[slot].get_or_init(|| {
            let parts = self.sets.size(slot).div_ceil(FEW);
            std::iter::repeat_with(OnceLock::new).take(parts).collect()
        });
        let number = index / FEW;
        let draw = || {
            let pattern = &self.problem.patterns[slot / LIES][slot % LIES];
            let Some(pattern) = pattern else {
                unreachable!("a ball is hit by a swing that is played");
            };
            let points = self.points[number * FEW..(number + 1) * FEW].iter();
            points
                .map(|p| match self.sets {
                    Sets::Common => pattern.draw(p),
                    Sets::Own(_) => pattern.draw(&moved(p, slot as u32)),
                })
                .collect()
        };
        all[number].get_or_init(|| Part {
            few: self
                .shared
                .as_ref()
                .and_then(|set| set.few((slot, number), draw))
                .unwrap_or_else(|| Arc::new(Few::of(draw(), self.floor_m, false))),
            flown: OnceLock::new(),
        })
    }

    /// How many launches every swing and lie has.
    pub fn pools(&self) -> Vec<u32> {
        let slots = 0..self.launches.len();
        slots.map(|slot| self.sets.size(slot) as u32).collect()
    }

    fn fly(&self, launches: &[Launch], winds: &[AimWind]) -> Flights {
        fly(launches, winds, &self.day.air, &self.day.ball, self.floor_m)
    }

    /// The first of a swing's balls that a state plays, when it plays so many; none where
    /// it is no swing.
    pub fn first_ball(
        &self,
        state: &super::explicit::State,
        action: Action,
        count: usize,
    ) -> Option<usize> {
        let swing = usize::from(action.swing);
        let lie = self.problem.swings.get(swing)?.flies_as(state.lie);
        let pool = self.sets.size(swing * LIES + lie as usize);
        let blocks = pool / count.clamp(1, pool);
        let block = scramble(state.cell, state.lie as u32) as usize % blocks;
        Some(block * count)
    }

    /// Hits so many balls of a shot from a state; how many it has hit.
    pub fn hit(
        &self,
        state: &super::explicit::State,
        action: Action,
        count: usize,
        scratch: &mut Scratch,
    ) -> usize {
        let Some(slot) = self.slot(action, state.lie) else {
            return 0;
        };
        let pool = self.sets.size(slot);
        let Some(first) = self.first_ball(state, action, count) else {
            return 0;
        };
        let off_pin = Turn::to(action.bearing_deg(0.0));
        self.stand(state, count, scratch);
        let starts = scratch.starts[..count].iter().enumerate();
        scratch
            .strikes
            .extend(starts.map(|(ball, &(from, to_pin))| Strike {
                from,
                turn: to_pin.and(off_pin),
                slot,
                index: (first + ball) % pool,
            }));
        count
    }

    /// So many balls of a shot from one place, in order, on the points of its set from
    /// the `first` on.
    pub fn balls_at(
        &self,
        (at, lie): (Coord<f64>, Lie),
        action: Action,
        (first, count): (usize, usize),
        scratch: &mut Scratch,
        out: &mut Vec<Raw>,
    ) {
        out.clear();
        let Some(slot) = self.slot(action, lie) else {
            return;
        };
        let pool = self.sets.size(slot);
        let pin = self.problem.pin();
        let turn = Turn::along(pin.x - at.x, pin.y - at.y).and(Turn::to(action.bearing_deg(0.0)));
        scratch.clear();
        scratch
            .strikes
            .extend((first..first + count).map(|index| Strike {
                from: at,
                turn,
                slot,
                index: index % pool,
            }));
        out.extend(self.settle(scratch));
    }

    /// Where the launches of a shot from a lie are kept; none where it is not played.
    fn slot(&self, action: Action, lie: Lie) -> Option<usize> {
        let swing = usize::from(action.swing);
        let lie = self.problem.swings.get(swing)?.flies_as(lie);
        self.problem.patterns[swing][lie as usize].as_ref()?;
        Some(swing * LIES + lie as usize)
    }

    /// What becomes of the balls that were hit, in order.
    pub fn settle<'s>(&self, scratch: &'s mut Scratch) -> impl Iterator<Item = Raw> + use<'s, '_> {
        let firmness = self.day.firmness;
        let Scratch {
            strikes,
            settling,
            rests,
            launches,
            winds,
            ..
        } = scratch;
        let luck = |strike: &Strike| self.points[strike.index][sample::TREES];
        if self.day.wind.speed_m_s == 0.0 {
            let flown: Vec<_> = strikes.iter().map(|strike| self.flown(strike)).collect();
            let struck = |number: usize| {
                let strike = &strikes[number];
                let (flights, level) = flown[number];
                let ball = strike.index % FEW;
                Struck {
                    flight: flights.ball(ball),
                    known: level.as_ref().map(|level| (level, ball)),
                    from: strike.from,
                    turn: strike.turn,
                    tree_luck: luck(strike),
                    start_deg: 0.0,
                }
            };
            settle(self.hole, firmness, strikes.len(), struck, settling, rests);
        } else {
            // Launched along its bearing and blown on from true north, a ball flies in
            // the plane's own frame.
            launches.clear();
            winds.clear();
            for strike in strikes.iter() {
                let launch = self.part(strike).few.launches[strike.index % FEW];
                launches.push(Launch {
                    start_deg: launch.start_deg + strike.turn.bearing_deg(),
                    ..launch
                });
                winds.push(self.winds[strike.index]);
            }
            let flights = self.fly(launches, winds);
            let struck = |number: usize| Struck {
                flight: flights.ball(number),
                known: None,
                from: strikes[number].from,
                turn: Turn::NONE,
                tree_luck: luck(&strikes[number]),
                start_deg: 0.0,
            };
            settle(self.hole, firmness, strikes.len(), struck, settling, rests);
        }
        rests.iter().map(|rest| self.became(rest))
    }

    /// The calm flights of the balls around one, and what is known of them.
    fn flown(&self, strike: &Strike) -> &(Cut, Option<Level>) {
        let part = self.part(strike);
        part.flown.get_or_init(|| {
            let flights = part.few.down_to(self.floor_m, self.day);
            let level = Level::of(self.hole, part.few.downs(self.day));
            (flights, level)
        })
    }

    /// The same from one place on points of their own: the tee.
    pub fn balls_from(
        &self,
        at: Coord<f64>,
        lie: Lie,
        action: Action,
        own: &[Point],
        out: &mut Vec<Raw>,
    ) {
        out.clear();
        let swing = usize::from(action.swing);
        let flown = self.problem.swings[swing].flies_as(lie);
        let Some(pattern) = self.problem.patterns[swing][flown as usize].as_ref() else {
            return;
        };
        let pin_deg = self.problem.pin_deg([at.x as f32, at.y as f32]);
        let aim_deg = action.bearing_deg(f64::from(pin_deg));
        let parts: Vec<Vec<Raw>> = own
            .par_chunks(TEE_PART)
            .map(|part| {
                let launches: Vec<Launch> = part.iter().map(|p| pattern.draw(p)).collect();
                let winds: Vec<AimWind> = part
                    .iter()
                    .map(|p| {
                        let gust = [p[sample::GUST], p[sample::GUST + 1]];
                        self.day.wind.in_aim(aim_deg, gust)
                    })
                    .collect();
                let (air, ball) = (&self.day.air, &self.day.ball);
                let flights = fly(&launches, &winds, air, ball, self.floor_m).turned(aim_deg);
                let struck = |number: usize| Struck {
                    flight: flights.ball(number),
                    known: None,
                    from: at,
                    turn: Turn::NONE,
                    tree_luck: part[number][sample::TREES],
                    start_deg: 0.0,
                };
                let (mut settling, mut rests) = (Settling::default(), Vec::new());
                let (firmness, count) = (self.day.firmness, part.len());
                settle(
                    self.hole,
                    firmness,
                    count,
                    struck,
                    &mut settling,
                    &mut rests,
                );
                rests.iter().map(|rest| self.became(rest)).collect()
            })
            .collect();
        out.extend(parts.into_iter().flatten());
    }

    /// The lengths of putt that a state's fringe putts are worth; none where one of its
    /// balls has none.
    pub fn fringe_putts(&self, state: &super::explicit::State, count: usize) -> Option<Vec<Raw>> {
        (0..count)
            .map(|ball| {
                let length_m = fringe_putt_m(self.hole, self.start(state, ball))?;
                Some(Raw::Green(length_m as f32, 0.0))
            })
            .collect()
    }

    /// Where so many of a state's balls start, for all of its choices.
    fn stand(&self, state: &super::explicit::State, count: usize, scratch: &mut Scratch) {
        if scratch.stands != Some((state.cell, state.lie)) {
            scratch.stands = Some((state.cell, state.lie));
            scratch.starts.clear();
        }
        let pin = self.problem.pin();
        for ball in scratch.starts.len()..count {
            let from = self.start(state, ball);
            let to_pin = Turn::along(pin.x - from.x, pin.y - from.y);
            scratch.starts.push((from, to_pin));
        }
    }

    /// Where a state's ball starts: spread over the part of its cell that has
    /// its lie.
    fn start(&self, state: &super::explicit::State, ball: usize) -> Coord<f64> {
        // The R2 sequence, moved by the state's own shift.
        const R2: [f64; 2] = [0.754_877_666_246_692_7, 0.569_840_290_998_053_3];
        let grid = &self.problem.grid;
        let side = f64::from(grid.cell_m);
        let shift = f64::from(scramble(state.cell, 77)) / f64::from(u32::MAX);
        let column = state.cell as usize % grid.size[0];
        let row = state.cell as usize / grid.size[0];
        for attempt in 0..4 {
            let index = (ball + attempt * 1009 + 1) as f64;
            let x = (shift + index * R2[0]).fract();
            let y = (shift * 13.0 + index * R2[1]).fract();
            let at = Coord {
                x: f64::from(grid.corner[0]) + (column as f64 + x) * side,
                y: f64::from(grid.corner[1]) + (row as f64 + y) * side,
            };
            if Lie::on(self.hole.surface_at(at)) == Some(state.lie) {
                return at;
            }
        }
        Coord {
            x: f64::from(state.at[0]),
            y: f64::from(state.at[1]),
        }
    }

    fn became(&self, rest: &Rest) -> Raw {
        let at = [rest.at.x as f32, rest.at.y as f32];
        match rest.surface {
            Surface::OutOfBounds => Raw::Out(rest.at),
            surface if is_penalty(surface) => Raw::Water(
                rest.crossed.unwrap_or(rest.at),
                surface == Surface::PenaltyRed,
            ),
            Surface::Green => Raw::Green(
                self.problem.to_pin_m(at) as f32,
                holed_chance(rest.landed, rest.at, self.hole.pin) as f32,
            ),
            surface => Raw::Lies(Lie::on(surface).unwrap_or(Lie::Rough), at),
        }
    }
}

/// One ball that is hit.
#[derive(Clone, Copy)]
struct Strike {
    from: Coord<f64>,
    /// To its aim.
    turn: Turn,
    /// Its swing and lie: `swing · LIES + lie`.
    slot: usize,
    /// Index of its point.
    index: usize,
}

/// Balls that are hit, and what following them needs for itself.
#[derive(Default)]
pub(super) struct Scratch {
    /// Whose starts these are, and which way the pin is from each.
    stands: Option<(u32, Lie)>,
    starts: Vec<(Coord<f64>, Turn)>,
    strikes: Vec<Strike>,
    launches: Vec<Launch>,
    winds: Vec<AimWind>,
    settling: Settling,
    rests: Vec<Rest>,
}

impl Scratch {
    /// No ball is hit.
    pub fn clear(&mut self) {
        self.strikes.clear();
    }
}

/// A number that belongs to two others and looks like nothing (the finaliser of
/// MurmurHash3, public domain).
pub(super) fn scramble(a: u32, b: u32) -> u32 {
    let mut h = a.wrapping_mul(0x9E37_79B9) ^ b.wrapping_mul(0x85EB_CA6B);
    h ^= h >> 16;
    h = h.wrapping_mul(0x85EB_CA6B);
    h ^= h >> 13;
    h = h.wrapping_mul(0xC2B2_AE35);
    h ^ (h >> 16)
}
