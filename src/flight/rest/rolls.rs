//! Rolls to rest over slope and changing turf.

use pulp::{Arch, Simd, WithSimd};

use super::grounded::{Goes, Grounded, in_vectors, next};
use super::{LIP_M, Resting, Run, dot2, size};
use crate::flight::air::GRAVITY_M_S2;
use crate::flight::bounce::Ground;
use crate::flight::{Terrain, Turf};

/// Longest step of a roll, m and s.
const ROLL_STEP_M: f64 = 1.0;
const ROLL_STEP_S: f64 = 0.25;
const MOST_ROLL_STEPS: usize = 600;
/// A roll looks at what lies below it at least this often, m: no ditch that is
/// wider is jumped.
const ROLL_LOOK_M: f64 = 0.25;
/// A ball slower than this stays, or starts anew down the slope, m/s.
const AT_REST_M_S: f64 = 0.02;
const STARTS_M_S: f64 = 0.05;

/// One step of the balls of all lanes.
struct Steps<const N: usize> {
    at: [[f64; N]; 2],
    velocity: [[f64; N]; 2],
    slope: [[f64; N]; 2],
    /// Deceleration, drag: as [`Ground`] has them.
    ground: [[f64; N]; 2],
    acceleration: [[f64; N]; 2],
    seconds: [f64; N],
    speed: [f64; N],
    /// 1 where it does not move and the slope does not move it, else 0: a number, so that
    /// all of a lane are of one width.
    rests: [f64; N],
    /// 1 where the ground stops it at the end of the step.
    stops: [f64; N],
    /// After the step.
    next: [[f64; N]; 2],
    next_velocity: [[f64; N]; 2],
    /// No point of the way is further off.
    reach_m: [f64; N],
}

impl<const N: usize> Steps<N> {
    /// Idle lanes roll over level ground.
    fn new() -> Self {
        Self {
            at: [[0.0; N]; 2],
            velocity: [[1.0; N]; 2],
            slope: [[0.0; N]; 2],
            ground: [[1.0; N]; 2],
            acceleration: [[0.0; N]; 2],
            seconds: [0.0; N],
            speed: [0.0; N],
            rests: [0.0; N],
            stops: [0.0; N],
            next: [[0.0; N]; 2],
            next_velocity: [[0.0; N]; 2],
            reach_m: [0.0; N],
        }
    }

    fn set_ground(&mut self, lane: usize, ground: &Ground) {
        self.ground[0][lane] = ground.deceleration_m_s2;
        self.ground[1][lane] = ground.drag_per_s;
    }

    fn set(rows: &mut [[f64; N]; 2], lane: usize, of: [f64; 2]) {
        (rows[0][lane], rows[1][lane]) = (of[0], of[1]);
    }

    fn of(rows: &[[f64; N]; 2], lane: usize) -> [f64; 2] {
        [rows[0][lane], rows[1][lane]]
    }

    fn place(&self, lane: usize, t: f64) -> [f64; 2] {
        let (v, a) = (
            Self::of(&self.velocity, lane),
            Self::of(&self.acceleration, lane),
        );
        moved(Self::of(&self.at, lane), v, a, t)
    }
}

#[inline(always)]
fn moved(at: [f64; 2], v: [f64; 2], a: [f64; 2], t: f64) -> [f64; 2] {
    std::array::from_fn(|i| at[i] + (v[i] + 0.5 * a[i] * t) * t)
}

struct Stepping<'a, const N: usize>(&'a mut Steps<N>);

impl<const N: usize> WithSimd for Stepping<'_, N> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        let all = self.0;
        for i in 0..N {
            let at = [all.at[0][i], all.at[1][i]];
            let v = [all.velocity[0][i], all.velocity[1][i]];
            let slope = [all.slope[0][i], all.slope[1][i]];
            let (deceleration, drag) = (all.ground[0][i], all.ground[1][i]);
            let steepness = 1.0 + dot2(slope, slope);
            // A rolling sphere takes 5/7 of what a sliding one would.
            let per_slope = -5.0 / 7.0 * GRAVITY_M_S2 / steepness;
            let pull = [per_slope * slope[0], per_slope * slope[1]];
            let pull_size = size(pull);
            let held = pull_size <= deceleration;
            let speed = size(v);
            let slow = speed < AT_REST_M_S;
            let v = [
                if slow {
                    STARTS_M_S * pull[0] / pull_size
                } else {
                    v[0]
                },
                if slow {
                    STARTS_M_S * pull[1] / pull_size
                } else {
                    v[1]
                },
            ];
            let speed = if slow { STARTS_M_S } else { speed };
            let resistance = deceleration + drag * speed;
            let per_speed = 1.0 / speed;
            let slowing = resistance * per_speed;
            let a = [pull[0] - slowing * v[0], pull[1] - slowing * v[1]];
            let along = dot2(a, v) * per_speed;
            let seconds = (ROLL_STEP_M * per_speed).min(ROLL_STEP_S);
            let halts = (along < 0.0) & (speed <= -along * seconds);
            let seconds = if halts { speed / -along } else { seconds };
            let next = moved(at, v, a, seconds);
            all.rests[i] = if slow & held { 1.0 } else { 0.0 };
            all.stops[i] = if halts & held { 1.0 } else { 0.0 };
            all.speed[i] = speed;
            all.seconds[i] = seconds;
            all.velocity[0][i] = v[0];
            all.velocity[1][i] = v[1];
            all.acceleration[0][i] = a[0];
            all.acceleration[1][i] = a[1];
            all.next[0][i] = next[0];
            all.next[1][i] = next[1];
            all.next_velocity[0][i] = v[0] + a[0] * seconds;
            all.next_velocity[1][i] = v[1] + a[1] * seconds;
            all.reach_m[i] = (speed + 0.5 * size(a) * seconds) * seconds;
        }
    }
}

/// A ball in a lane.
struct Going {
    ball: usize,
    turf: Turf,
    /// The way on which nothing changes.
    alike_m: f64,
    steps: usize,
}

impl<T: Terrain> Run<'_, T> {
    /// Rolls all balls that roll to their rest.
    pub(super) fn roll<const N: usize>(&mut self, balls: &mut [Grounded]) {
        let machine = Arch::new();
        let mut steps = Steps::<N>::new();
        let mut lanes: [Option<Going>; N] = std::array::from_fn(|_| None);
        let mut from = 0;
        let mut busy = 0;
        for (lane, slot) in lanes.iter_mut().enumerate() {
            *slot = self.next_to_roll(&mut steps, lane, balls, &mut from);
            busy += usize::from(slot.is_some());
        }
        while busy > 0 {
            in_vectors::<N>(machine, Stepping(&mut steps));
            for (lane, slot) in lanes.iter_mut().enumerate() {
                let Some(going) = slot else {
                    continue;
                };
                if let Some(resting) = self.roll_on(&mut steps, lane, going, balls) {
                    balls[going.ball].goes = Goes::Rests(resting);
                    *slot = self.next_to_roll(&mut steps, lane, balls, &mut from);
                    busy -= usize::from(slot.is_none());
                }
            }
        }
    }

    fn next_to_roll<const N: usize>(
        &self,
        steps: &mut Steps<N>,
        lane: usize,
        balls: &mut [Grounded],
        from: &mut usize,
    ) -> Option<Going> {
        next(balls, from, |index, ball| {
            self.begin_to_roll(steps, lane, index, ball)
        })
    }

    fn begin_to_roll<const N: usize>(
        &self,
        steps: &mut Steps<N>,
        lane: usize,
        index: usize,
        ball: &Grounded,
    ) -> Option<Going> {
        let Goes::Rolls(rolling) = ball.goes else {
            return None;
        };
        let slope = self.terrain.gradient(rolling.at[0], rolling.at[1]);
        steps.set_ground(lane, &Ground::of(rolling.turf, self.firmness));
        Steps::set(&mut steps.at, lane, rolling.at);
        Steps::set(&mut steps.velocity, lane, rolling.velocity_m_s);
        Steps::set(&mut steps.slope, lane, slope);
        Some(Going {
            ball: index,
            turf: rolling.turf,
            alike_m: 0.0,
            steps: 0,
        })
    }

    /// To the end of a step; where the ball rests, if it does.
    fn roll_on<const N: usize>(
        &mut self,
        steps: &mut Steps<N>,
        lane: usize,
        going: &mut Going,
        balls: &mut [Grounded],
    ) -> Option<Resting> {
        let terrain = self.terrain;
        let ball = &mut balls[going.ball];
        let (at, turf) = (Steps::of(&steps.at, lane), going.turf);
        let landed = ball.landed;
        let rests = |at: [f64; 2], turf: Turf, hit_tree: bool| {
            Some(Resting {
                at,
                turf,
                landed,
                hit_tree,
            })
        };
        if steps.rests[lane] > 0.0 {
            return rests(at, turf, false);
        }
        let seconds = steps.seconds[lane];
        let mut next = Steps::of(&steps.next, lane);
        let mut velocity = Steps::of(&steps.next_velocity, lane);
        let mut stops = steps.stops[lane] > 0.0;
        let reach_m = steps.reach_m[lane];
        if going.alike_m <= reach_m {
            going.alike_m = terrain.to_change_m(at[0], at[1]);
        }
        let alike = going.alike_m > reach_m;
        going.alike_m -= reach_m;
        if !alike {
            let (mut inside, mut beyond) = (0.0, seconds);
            let looks = (steps.speed[lane] * seconds / ROLL_LOOK_M)
                .ceil()
                .clamp(1.0, 8.0);
            for look in 1..=looks as u32 {
                let t = seconds * f64::from(look) / looks;
                let there = steps.place(lane, t);
                let found = terrain.turf(there[0], there[1]);
                if found != turf {
                    (beyond, next, going.turf) = (t, there, found);
                    break;
                }
                inside = t;
            }
            if going.turf != turf {
                // Just beyond the edge: the new turf acts from there on.
                for _ in 0..7 {
                    let middle = 0.5 * (inside + beyond);
                    let there = steps.place(lane, middle);
                    let found = terrain.turf(there[0], there[1]);
                    if found == turf {
                        inside = middle;
                    } else {
                        (beyond, next, going.turf) = (middle, there, found);
                    }
                }
                stops = stops && beyond >= seconds;
                let v = Steps::of(&steps.velocity, lane);
                let a = Steps::of(&steps.acceleration, lane);
                velocity = std::array::from_fn(|i| v[i] + a[i] * beyond);
                if turf == Turf::Sand && going.turf != Turf::Water {
                    // Climbing the lip takes 10/7 g h of a rolling ball's v².
                    let left = dot2(velocity, velocity) - 10.0 / 7.0 * GRAVITY_M_S2 * LIP_M;
                    if left <= 0.0 {
                        let at = steps.place(lane, inside);
                        if N == 1 {
                            self.track.push(at);
                        }
                        return rests(at, turf, false);
                    }
                    let lip = (left / dot2(velocity, velocity)).sqrt();
                    velocity = velocity.map(|v| lip * v);
                }
                steps.set_ground(lane, &Ground::of(going.turf, self.firmness));
            }
            if self.trees_to_m > f64::NEG_INFINITY {
                let length_m = size([next[0] - at[0], next[1] - at[1]]);
                self.luck = ball.luck;
                let stopped = self.is_stopped(next, |_| 0.0, length_m);
                ball.luck = self.luck;
                if stopped {
                    if N == 1 {
                        self.track.push(at);
                    }
                    return rests(at, turf, true);
                }
            }
        }
        if N == 1 {
            self.track.push(next);
        }
        going.steps += 1;
        if going.turf == Turf::Water || stops || going.steps == MOST_ROLL_STEPS {
            return rests(next, going.turf, false);
        }
        Steps::set(&mut steps.at, lane, next);
        Steps::set(&mut steps.velocity, lane, velocity);
        Steps::set(&mut steps.slope, lane, terrain.gradient(next[0], next[1]));
        None
    }
}
