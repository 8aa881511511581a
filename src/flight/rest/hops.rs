//! Bounces until the hops have died.

use super::grounded::{Goes, Grounded, next, wide};
use super::stages::Rolling;
use super::{LIP_M, RADIUS_M, Run, Ways, dot2, size};
use crate::flight::air::GRAVITY_M_S2;
use crate::flight::bounce::{Ground, Motion, bounced, dot, rolling_velocity};
use crate::flight::{Footing, Terrain, Turf};

/// Hops slower than this off the ground (4 cm high) count as rolling, m/s.
const LEAST_HOP_M_S: f64 = 0.9;
/// Drag of a hopping ball, ½ρA CD/m with CD 0.25 in air of 1.2 kg/m³, 1/m.
const HOP_DRAG_PER_M: f64 = 0.004_7;
const MOST_HOPS: usize = 24;
/// A hop is felt for trees halfway in time. Slowed by drag, it is there further than halfway
/// over the ground by less than this share of its length: for hops of up to 80 m.
pub(crate) const OFF_HALFWAY: f64 = 0.05;

/// What the balls of all lanes bounce with.
struct Bounces<const N: usize> {
    velocity: [[f64; N]; 3],
    spin: [[f64; N]; 3],
    slope: [[f64; N]; 2],
    /// Restitution, dent, friction, kept: as [`Ground`] has them.
    ground: [[f64; N]; 4],
    /// Of the ground, upwards.
    normal: [[f64; N]; 3],
    /// How fast they come off it.
    off: [f64; N],
}

impl<const N: usize> Bounces<N> {
    /// Idle lanes fall straight on level ground.
    fn new() -> Self {
        let mut idle = Self {
            velocity: [[0.0; N]; 3],
            spin: [[0.0; N]; 3],
            slope: [[0.0; N]; 2],
            ground: [[0.5; N]; 4],
            normal: [[0.0; N]; 3],
            off: [0.0; N],
        };
        idle.velocity[2] = [-1.0; N];
        idle
    }

    fn set_ground(&mut self, lane: usize, ground: &Ground) {
        self.ground[0][lane] = ground.restitution_factor;
        self.ground[1][lane] = ground.dent_factor;
        self.ground[2][lane] = ground.friction;
        self.ground[3][lane] = ground.kept;
    }

    fn set(rows: &mut [[f64; N]; 3], lane: usize, of: [f64; 3]) {
        for (row, value) in rows.iter_mut().zip(of) {
            row[lane] = value;
        }
    }

    // Not by `map`: it would copy the rows.
    #[inline(always)]
    fn of([x, y, z]: &[[f64; N]; 3], lane: usize) -> [f64; 3] {
        [x[lane], y[lane], z[lane]]
    }

    fn motion(&self, lane: usize) -> Motion {
        Motion {
            velocity_m_s: Self::of(&self.velocity, lane),
            spin_rad_s: Self::of(&self.spin, lane),
        }
    }
}

impl<const N: usize> Bounces<N> {
    #[inline(always)]
    fn bounce(&mut self) {
        let all = self;
        for i in 0..N {
            let slope = [all.slope[0][i], all.slope[1][i]];
            let normal = perpendicular(slope);
            let ground = Ground {
                restitution_factor: all.ground[0][i],
                dent_factor: all.ground[1][i],
                friction: all.ground[2][i],
                kept: all.ground[3][i],
                deceleration_m_s2: 0.0,
                drag_per_s: 0.0,
            };
            let motion = Motion {
                velocity_m_s: [all.velocity[0][i], all.velocity[1][i], all.velocity[2][i]],
                spin_rad_s: [all.spin[0][i], all.spin[1][i], all.spin[2][i]],
            };
            let after = bounced(&motion, normal, &ground, RADIUS_M);
            all.off[i] = dot(after.velocity_m_s, normal);
            all.velocity[0][i] = after.velocity_m_s[0];
            all.velocity[1][i] = after.velocity_m_s[1];
            all.velocity[2][i] = after.velocity_m_s[2];
            all.spin[0][i] = after.spin_rad_s[0];
            all.spin[1][i] = after.spin_rad_s[1];
            all.spin[2][i] = after.spin_rad_s[2];
            all.normal[0][i] = normal[0];
            all.normal[1][i] = normal[1];
            all.normal[2][i] = normal[2];
        }
    }
}

/// A ball in a lane, at a touch of the ground.
struct Touching {
    ball: usize,
    at: [f64; 3],
    footing: Footing,
    /// The way on which nothing changes.
    alike_m: f64,
    hops: usize,
}

impl<T: Terrain, W: Ways> Run<'_, T, W> {
    /// Bounces all balls that hop until their hops have died. A hop is a parabola whose
    /// way over the ground is shortened by quadratic drag, to second order in the
    /// time: half a metre of a drive's first hop of 15 m. Lift and wind are left out.
    pub(super) fn hop<const N: usize>(&mut self, balls: &mut [Grounded]) {
        wide::<N>(
            #[inline(always)]
            || self.hop_all::<N>(balls),
        );
    }

    #[inline(always)]
    fn hop_all<const N: usize>(&mut self, balls: &mut [Grounded]) {
        let mut bounces = Bounces::<N>::new();
        let mut lanes: [Option<Touching>; N] = std::array::from_fn(|_| None);
        let mut from = 0;
        let mut busy = 0;
        for (lane, slot) in lanes.iter_mut().enumerate() {
            *slot = self.next_to_hop(&mut bounces, lane, balls, &mut from);
            busy += usize::from(slot.is_some());
        }
        while busy > 0 {
            bounces.bounce();
            for (lane, slot) in lanes.iter_mut().enumerate() {
                let Some(touching) = slot else {
                    continue;
                };
                if !self.hop_on(&mut bounces, lane, touching, balls) {
                    *slot = self.next_to_hop(&mut bounces, lane, balls, &mut from);
                    busy -= usize::from(slot.is_none());
                }
            }
        }
    }

    #[inline(always)]
    fn next_to_hop<const N: usize>(
        &mut self,
        bounces: &mut Bounces<N>,
        lane: usize,
        balls: &mut [Grounded],
        from: &mut usize,
    ) -> Option<Touching> {
        next(balls, from, |index, ball| {
            self.land(bounces, lane, index, ball)
        })
    }

    /// The first touch of a ball that hops.
    #[inline(always)]
    fn land<const N: usize>(
        &mut self,
        bounces: &mut Bounces<N>,
        lane: usize,
        index: usize,
        ball: &mut Grounded,
    ) -> Option<Touching> {
        let Goes::Hops(motion) = ball.goes else {
            return None;
        };
        let at = ball.landed;
        let footing = self.terrain.footing(at[0], at[1]);
        self.ways.touched(index, [at[0], at[1]]);
        if footing.turf == Turf::Water {
            ball.goes = Goes::Rests(self.rest([at[0], at[1]], ball.landed, false));
            return None;
        }
        let slope = self.terrain.gradient(at[0], at[1]);
        bounces.set_ground(lane, &Ground::at(footing, self.firmness));
        Bounces::set(&mut bounces.velocity, lane, motion.velocity_m_s);
        Bounces::set(&mut bounces.spin, lane, motion.spin_rad_s);
        (bounces.slope[0][lane], bounces.slope[1][lane]) = (slope[0], slope[1]);
        Some(Touching {
            ball: index,
            at,
            footing,
            alike_m: 0.0,
            hops: 0,
        })
    }

    /// From a bounce to the next touch; false where there is none.
    #[inline(always)]
    fn hop_on<const N: usize>(
        &mut self,
        bounces: &mut Bounces<N>,
        lane: usize,
        touching: &mut Touching,
        balls: &mut [Grounded],
    ) -> bool {
        let ball = &mut balls[touching.ball];
        let (at, footing) = (touching.at, touching.footing);
        if bounces.off[lane] < least_hop_m_s(footing) {
            let normal = Bounces::of(&bounces.normal, lane);
            let velocity = rolling_velocity(&bounces.motion(lane), normal, RADIUS_M);
            ball.goes = rolls(at, velocity, footing);
            return false;
        }
        let hop = self.hop_from(bounces, lane, at);
        let next = hop.to;
        let length_m = size([next[0] - at[0], next[1] - at[1]]);
        let alike = touching.is_alike_for(length_m, self.terrain);
        if !alike && self.trees_to_m > next[2] {
            let middle = hop.arc.place(hop.seconds / 2.0);
            self.luck = ball.luck;
            let stopped = self.is_stopped_above(middle, length_m);
            ball.luck = self.luck;
            if stopped {
                let fallen = self
                    .fall(touching.ball, middle, [0.0; 3])
                    .landing(ball.landed);
                ball.goes = Goes::Rests(fallen);
                return false;
            }
        }
        touching.at = next;
        if !alike {
            touching.footing = self.terrain.footing(next[0], next[1]);
        }
        let velocity = hop.arc.velocity(hop.seconds);
        touching.hops += 1;
        if touching.hops == MOST_HOPS {
            ball.goes = rolls(next, velocity, touching.footing);
            return false;
        }
        self.ways.touched(touching.ball, [next[0], next[1]]);
        if touching.footing.turf == Turf::Water {
            ball.goes = Goes::Rests(self.rest([next[0], next[1]], ball.landed, false));
            return false;
        }
        if touching.footing != footing {
            bounces.set_ground(lane, &Ground::at(touching.footing, self.firmness));
        }
        Bounces::set(&mut bounces.velocity, lane, velocity);
        (bounces.slope[0][lane], bounces.slope[1][lane]) = (hop.slope[0], hop.slope[1]);
        true
    }

    /// Down onto the plane through the take-off, then onto the true ground.
    #[inline(always)]
    fn hop_from<const N: usize>(&self, bounces: &Bounces<N>, lane: usize, at: [f64; 3]) -> Hop {
        let v = Bounces::of(&bounces.velocity, lane);
        let up = bounces.normal[2][lane];
        let mut seconds = 2.0 * bounces.off[lane] / (GRAVITY_M_S2 * up);
        let arc = Arc {
            at,
            v,
            fade: HOP_DRAG_PER_M * size([v[0], v[1]]),
        };
        let mut slope = [0.0; 2];
        let mut is_found = false;
        for _ in 0..4 {
            let [east, north, up] = arc.place(seconds);
            let (height_m, steepness) = self.terrain.ground(east, north);
            let above_m = up - height_m;
            let closing =
                v[2] - GRAVITY_M_S2 * seconds - (steepness[0] * v[0] + steepness[1] * v[1]);
            slope = steepness;
            if above_m.abs() < 0.005 || closing > -0.1 {
                is_found = true;
                break;
            }
            seconds = (seconds - above_m / closing).clamp(0.01, 10.0);
        }
        let to = arc.place(seconds);
        if !is_found {
            slope = self.terrain.gradient(to[0], to[1]);
        }
        Hop {
            arc,
            seconds,
            to,
            slope,
        }
    }
}

impl Touching {
    /// Whether nothing changes on the way of a hop.
    #[inline(always)]
    fn is_alike_for(&mut self, length_m: f64, terrain: &impl Terrain) -> bool {
        if self.alike_m <= length_m {
            self.alike_m = terrain.to_change_m(self.at[0], self.at[1]);
        }
        let alike = self.alike_m > length_m;
        self.alike_m -= length_m;
        alike
    }
}

/// A hop in the air.
struct Arc {
    /// Where it starts, and its velocity there.
    at: [f64; 3],
    v: [f64; 3],
    /// How fast drag slows it over the ground, 1/s.
    fade: f64,
}

impl Arc {
    #[inline(always)]
    fn place(&self, t: f64) -> [f64; 3] {
        let Self { at, v, fade } = self;
        let way = t / (1.0 + 0.5 * fade * t);
        [
            at[0] + v[0] * way,
            at[1] + v[1] * way,
            at[2] + (v[2] - 0.5 * GRAVITY_M_S2 * t) * t,
        ]
    }

    #[inline(always)]
    fn velocity(&self, t: f64) -> [f64; 3] {
        let Self { v, fade, .. } = self;
        let left = 1.0 / (1.0 + fade * t);
        [v[0] * left, v[1] * left, v[2] - GRAVITY_M_S2 * t]
    }
}

/// A hop to its next touch of the ground.
struct Hop {
    arc: Arc,
    seconds: f64,
    to: [f64; 3],
    /// Of the ground there.
    slope: [f64; 2],
}

/// The least speed off the ground of a hop that is flown, m/s. One that does not clear the lip of
/// its bunker cannot leave it.
#[inline(always)]
fn least_hop_m_s(footing: Footing) -> f64 {
    if footing.turf == Turf::Sand {
        (2.0 * GRAVITY_M_S2 * LIP_M).sqrt()
    } else {
        LEAST_HOP_M_S
    }
}

#[inline(always)]
fn rolls(at: [f64; 3], velocity: [f64; 3], footing: Footing) -> Goes {
    Goes::Rolls(Rolling {
        at: [at[0], at[1]],
        velocity_m_s: [velocity[0], velocity[1]],
        footing,
    })
}

/// The unit vector square to ground of this slope, upwards.
#[inline(always)]
fn perpendicular(slope: [f64; 2]) -> [f64; 3] {
    let up = 1.0 / (1.0 + dot2(slope, slope)).sqrt();
    [-slope[0] * up, -slope[1] * up, up]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By the way of a hop, `v t / (1 + ½ f t)`, from a pitch's to a topped drive's.
    #[test]
    fn halfway_in_time_is_hardly_further_than_halfway() {
        for speed_m_s in [1.0, 5.0, 20.0, 60.0] {
            let fade = HOP_DRAG_PER_M * speed_m_s;
            let way_m = |t: f64| speed_m_s * t / (1.0 + 0.5 * fade * t);
            for seconds in [0.05, 0.3, 1.0, 2.0, 5.0] {
                let length_m = way_m(seconds);
                let off = way_m(seconds / 2.0) / length_m - 0.5;
                assert!(off > 0.0 && (length_m > 80.0 || off < OFF_HALFWAY), "{off}");
            }
        }
    }
}
