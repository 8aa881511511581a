//! Rolls to rest over slope and changing turf.

use super::grounded::{Goes, Grounded, next, wide};
use super::{LIP_M, Resting, Run, Ways, dot2, size};
use crate::flight::air::GRAVITY_M_S2;
use crate::flight::bounce::Ground;
use crate::flight::{Footing, Terrain, Turf};

/// Longest step of a roll, m and s.
const ROLL_STEP_M: f64 = 2.0;
const ROLL_STEP_S: f64 = 0.5;
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

impl<const N: usize> Steps<N> {
    #[inline(always)]
    fn step(&mut self) {
        let all = self;
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
            // What acts halfway, by the midpoint rule.
            let per_speed = 1.0 / speed;
            let slowing = (deceleration + drag * speed) * per_speed;
            let a = [pull[0] - slowing * v[0], pull[1] - slowing * v[1]];
            let along = dot2(a, v) * per_speed;
            let longest = (ROLL_STEP_M * per_speed).min(ROLL_STEP_S);
            let halts = (along < 0.0) & (speed <= -along * longest);
            // To rest, the way is that of what acts at two thirds of the speed.
            let part = if halts {
                speed / (-3.0 * along)
            } else {
                0.5 * longest
            };
            let halfway = [v[0] + part * a[0], v[1] + part * a[1]];
            let slowing = deceleration / size(halfway) + drag;
            let a = [
                pull[0] - slowing * halfway[0],
                pull[1] - slowing * halfway[1],
            ];
            let along = dot2(a, v) * per_speed;
            let halts = (along < 0.0) & (speed <= -along * longest);
            let seconds = if halts { speed / -along } else { longest };
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
    footing: Footing,
    /// The way on which nothing changes.
    alike_m: f64,
    steps: usize,
}

impl<T: Terrain, W: Ways> Run<'_, T, W> {
    /// Rolls all balls that roll to their rest.
    pub(super) fn roll<const N: usize>(&mut self, balls: &mut [Grounded]) {
        wide::<N>(
            #[inline(always)]
            || self.roll_all::<N>(balls),
        );
    }

    #[inline(always)]
    fn roll_all<const N: usize>(&mut self, balls: &mut [Grounded]) {
        let mut steps = Steps::<N>::new();
        let mut lanes: [Option<Going>; N] = std::array::from_fn(|_| None);
        let mut from = 0;
        let mut busy = 0;
        for (lane, slot) in lanes.iter_mut().enumerate() {
            *slot = self.next_to_roll(&mut steps, lane, balls, &mut from);
            busy += usize::from(slot.is_some());
        }
        while busy > 0 {
            steps.step();
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

    #[inline(always)]
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

    #[inline(always)]
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
        steps.set_ground(lane, &Ground::at(rolling.footing, self.firmness));
        Steps::set(&mut steps.at, lane, rolling.at);
        Steps::set(&mut steps.velocity, lane, rolling.velocity_m_s);
        Steps::set(&mut steps.slope, lane, slope);
        Some(Going {
            ball: index,
            footing: rolling.footing,
            alike_m: 0.0,
            steps: 0,
        })
    }

    /// To the end of a step; where the ball rests, if it does.
    #[inline(always)]
    fn roll_on<const N: usize>(
        &mut self,
        steps: &mut Steps<N>,
        lane: usize,
        going: &mut Going,
        balls: &mut [Grounded],
    ) -> Option<Resting> {
        let ball = &mut balls[going.ball];
        let (at, turf) = (Steps::of(&steps.at, lane), going.footing.turf);
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
        if !going.is_alike_for(steps.reach_m[lane], self.terrain, at) {
            let mut until_s = seconds;
            if let Some(edge) = self.edge(steps, lane, going) {
                let Some(beyond) = beyond(steps, lane, &edge, turf) else {
                    let at = steps.place(lane, edge.inside_s);
                    self.ways.touched(going.ball, at);
                    return rests(at, turf, false);
                };
                (next, velocity, until_s) = (edge.at, beyond, edge.beyond_s);
                stops = stops && until_s >= seconds;
                going.footing = edge.footing;
                steps.set_ground(lane, &Ground::at(going.footing, self.firmness));
            }
            if self.trees_to_m > f64::NEG_INFINITY {
                let halfway = steps.place(lane, 0.5 * until_s);
                if let Some(at) = self.stopped_by_trees(ball, [at, halfway, next]) {
                    self.ways.touched(going.ball, at);
                    return rests(at, turf, true);
                }
            }
        }
        self.ways.touched(going.ball, next);
        going.steps += 1;
        let turf = going.footing.turf;
        if turf == Turf::Water || stops || going.steps == MOST_ROLL_STEPS {
            return rests(next, turf, false);
        }
        Steps::set(&mut steps.at, lane, next);
        Steps::set(&mut steps.velocity, lane, velocity);
        // The slope halfway along the next step.
        let ahead = 0.5 * seconds;
        let slope = self
            .terrain
            .gradient(next[0] + ahead * velocity[0], next[1] + ahead * velocity[1]);
        Steps::set(&mut steps.slope, lane, slope);
        None
    }

    /// The first edge of its footing that the ball crosses in a step.
    #[inline(always)]
    fn edge<const N: usize>(&self, steps: &Steps<N>, lane: usize, going: &Going) -> Option<Edge> {
        let (seconds, reach_m) = (steps.seconds[lane], steps.reach_m[lane]);
        // Until then it is surely on what is alike.
        let alike_s = (going.alike_m + reach_m) / reach_m * seconds;
        let mut inside_s = 0.0;
        let looks = (steps.speed[lane] * seconds / ROLL_LOOK_M)
            .ceil()
            .clamp(1.0, 8.0);
        for look in 1..=looks as u32 {
            let t = seconds * f64::from(look) / looks;
            if t < alike_s {
                inside_s = t;
                continue;
            }
            let at = steps.place(lane, t);
            let found = self.terrain.footing(at[0], at[1]);
            if found != going.footing {
                let edge = Edge {
                    inside_s,
                    beyond_s: t,
                    at,
                    footing: found,
                };
                return Some(self.just_beyond(steps, lane, going.footing, edge));
            }
            inside_s = t;
        }
        None
    }

    /// Just beyond the edge of a footing: the new turf acts from there on. Of bands the edge
    /// matters less.
    #[inline(always)]
    fn just_beyond<const N: usize>(
        &self,
        steps: &Steps<N>,
        lane: usize,
        footing: Footing,
        mut edge: Edge,
    ) -> Edge {
        let halvings = if edge.footing.turf == footing.turf {
            3
        } else {
            7
        };
        for _ in 0..halvings {
            let middle = 0.5 * (edge.inside_s + edge.beyond_s);
            let at = steps.place(lane, middle);
            let found = self.terrain.footing(at[0], at[1]);
            if found == footing {
                edge.inside_s = middle;
            } else {
                (edge.beyond_s, edge.at, edge.footing) = (middle, at, found);
            }
        }
        edge
    }

    /// Where trees stop a ball on its path; none where they do not.
    #[inline(always)]
    fn stopped_by_trees(&mut self, ball: &mut Grounded, path: [[f64; 2]; 3]) -> Option<[f64; 2]> {
        let [at, halfway, next] = path;
        self.luck = ball.luck;
        for [from, to] in [[at, halfway], [halfway, next]] {
            let length_m = size([to[0] - from[0], to[1] - from[1]]);
            if self.is_stopped(to, |_| 0.0, length_m) {
                return Some(from);
            }
        }
        ball.luck = self.luck;
        None
    }
}

impl Going {
    /// Whether nothing changes on the way of a step from a place.
    #[inline(always)]
    fn is_alike_for(&mut self, reach_m: f64, terrain: &impl Terrain, at: [f64; 2]) -> bool {
        if self.alike_m <= reach_m {
            self.alike_m = terrain.to_change_m(at[0], at[1]);
        }
        let alike = self.alike_m > reach_m;
        self.alike_m -= reach_m;
        alike
    }
}

/// Where a ball leaves its footing within a step.
struct Edge {
    /// Still on the old footing, seconds into the step.
    inside_s: f64,
    /// On the new one, and the place and the footing then.
    beyond_s: f64,
    at: [f64; 2],
    footing: Footing,
}

/// The velocity of a ball beyond an edge of its turf; none where it does not climb the lip of its
/// bunker.
#[inline(always)]
fn beyond<const N: usize>(
    steps: &Steps<N>,
    lane: usize,
    edge: &Edge,
    turf: Turf,
) -> Option<[f64; 2]> {
    let v = Steps::of(&steps.velocity, lane);
    let a = Steps::of(&steps.acceleration, lane);
    let velocity: [f64; 2] = std::array::from_fn(|i| v[i] + a[i] * edge.beyond_s);
    if turf != Turf::Sand || edge.footing.turf == Turf::Water {
        return Some(velocity);
    }
    // Climbing the lip takes 10/7 g h of a rolling ball's v².
    let left = dot2(velocity, velocity) - 10.0 / 7.0 * GRAVITY_M_S2 * LIP_M;
    if left <= 0.0 {
        return None;
    }
    let lip = (left / dot2(velocity, velocity)).sqrt();
    Some(velocity.map(|v| lip * v))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flight::rest::{Luck, Rolling, roll_together};
    use crate::flight::{Canopy, Firmness};

    /// Swales of one turf, without a tree.
    struct Swales {
        turf: Turf,
        steepest: f64,
    }

    impl Terrain for Swales {
        fn height_m(&self, east_m: f64, north_m: f64) -> f64 {
            7.0 * self.steepest * ((east_m / 7.0).sin() + (north_m / 7.0).cos())
        }
        fn gradient(&self, east_m: f64, north_m: f64) -> [f64; 2] {
            [
                self.steepest * (east_m / 7.0).cos(),
                -self.steepest * (north_m / 7.0).sin(),
            ]
        }
        fn turf(&self, _: f64, _: f64) -> Turf {
            self.turf
        }
        fn canopy(&self, _: f64, _: f64) -> Option<Canopy> {
            None
        }
        fn highest_canopy_m(&self) -> f64 {
            f64::NEG_INFINITY
        }
        fn to_change_m(&self, _: f64, _: f64) -> f64 {
            f64::INFINITY
        }
    }

    /// Where a ball rests that rolls so, from the origin.
    fn rolled(swales: &Swales, velocity_m_s: [f64; 2]) -> [f64; 2] {
        let rolling = Rolling {
            at: [0.0; 2],
            velocity_m_s,
            footing: Footing::of(swales.turf),
        };
        let mut alone = [Grounded {
            landed: [0.0; 3],
            luck: Luck::of(0.5),
            goes: Goes::Rolls(rolling),
        }];
        roll_together(swales, Firmness::Medium, &mut alone);
        alone[0].resting().at
    }

    /// On level ground v' = −(d + k v), so that it rolls ∫ v dv/(d + k v) =
    /// v/k − d/k² ln(1 + k v/d).
    #[test]
    fn on_level_ground_it_rolls_as_far_as_the_closed_form() {
        for turf in [Turf::Fairway, Turf::Rough, Turf::WoodFloor, Turf::Sand] {
            let ground = Ground::of(turf, Firmness::Medium);
            let (d, k) = (ground.deceleration_m_s2, ground.drag_per_s);
            let level = Swales {
                turf,
                steepest: 0.0,
            };
            for v in [0.3, 1.0, 2.5, 6.0, 12.0] {
                let expected = v / k - d / (k * k) * (1.0 + k * v / d).ln();
                let got = size(rolled(&level, [0.6 * v, 0.8 * v]));
                // Of a slow roll's way a twentieth, of a fast one's the steps before the last.
                let most = (0.002 + 0.05 * expected).min(0.05 + 0.01 * expected);
                let off = got - expected;
                assert!(off.abs() < most, "{turf:?} {v}: {got}, not {expected}");
            }
        }
    }

    /// Against steps of a millisecond, summed by Euler's rule.
    #[test]
    fn over_swales_it_comes_to_where_small_steps_come() {
        let turf = Turf::Fairway;
        let ground = Ground::of(turf, Firmness::Medium);
        for steepest in [0.03, 0.06, 0.1] {
            let swales = Swales { turf, steepest };
            let (mut sum, mut most) = (0.0, 0.0_f64);
            for k in 0..200 {
                let speed = 0.5 + 8.0 * (f64::from(k) * 0.618_034).fract();
                let (sin, cos) = (f64::from(k) * 2.399_963).sin_cos();
                let (mut at, mut v) = ([0.0; 2], [speed * sin, speed * cos]);
                let small_s = 1.0e-3;
                loop {
                    let slope = swales.gradient(at[0], at[1]);
                    let pull =
                        slope.map(|s| -5.0 / 7.0 * GRAVITY_M_S2 * s / (1.0 + dot2(slope, slope)));
                    let speed = size(v);
                    let slowing = ground.deceleration_m_s2 / speed + ground.drag_per_s;
                    let next: [f64; 2] =
                        std::array::from_fn(|i| v[i] + (pull[i] - slowing * v[i]) * small_s);
                    if dot2(next, v) <= 0.0 || size(next) < 2.0e-3 {
                        break;
                    }
                    v = next;
                    at = std::array::from_fn(|i| at[i] + v[i] * small_s);
                }
                let got = rolled(&swales, [speed * sin, speed * cos]);
                let off = size([got[0] - at[0], got[1] - at[1]]);
                sum += off;
                most = most.max(off);
            }
            let mean = sum / 200.0;
            assert!(mean < 0.08 && most < 0.17, "{steepest}: {mean}, {most}");
        }
    }
}
