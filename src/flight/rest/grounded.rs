//! Balls on the ground, from their landing to their rest, side by side.
//!
//! One ball alone waits for every root and quotient of its bounces and its roll before
//! the next can begin. Some side by side do their sums together, in vectors as wide as
//! the machine has; a ball that rests gives its lane to the next. Each ball's own sums
//! are the same, whatever goes on beside it.

use super::stages::{Luck, Rolling};
use super::ways::Untold;
use super::{Resting, Run, Ways};
use crate::flight::bounce::Motion;
use crate::flight::{Firmness, Terrain};
use crate::vectors::widest;

/// Balls that go side by side: two vectors of the widest that are common, so that one
/// does sums while the other waits.
const LANES: usize = 8;

/// For fewer balls, lanes that are idle cost more than is saved: without this a flat hole,
/// where few are left to follow, took a thirtieth longer. The number itself was not tuned.
const LEAST_TOGETHER: usize = 4;

/// A ball that has come down.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Grounded {
    /// Where it landed: east, north, up, m.
    pub landed: [f64; 3],
    /// Its luck among trees.
    pub luck: Luck,
    /// How it goes on.
    pub goes: Goes,
}

/// How a ball goes on.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Goes {
    /// It meets the ground where it landed.
    Hops(Motion),
    /// It has done hopping.
    Rolls(Rolling),
    /// Not any more.
    Rests(Resting),
}

impl Grounded {
    /// Where it rests, when it has been followed so far.
    ///
    /// # Panics
    /// When it has not.
    pub fn resting(&self) -> Resting {
        match self.goes {
            Goes::Rests(resting) => resting,
            Goes::Hops(_) | Goes::Rolls(_) => unreachable!("a ball that has rolled out rests"),
        }
    }
}

/// Lets balls that have come down hop and roll to their rest. What [`come_to_rest`]
/// makes of each, but for the way it took.
///
/// [`come_to_rest`]: super::come_to_rest
pub(crate) fn run_out_together<T: Terrain>(
    terrain: &T,
    firmness: Firmness,
    balls: &mut [Grounded],
) {
    hop_together(terrain, firmness, balls, &mut Untold);
    roll_together(terrain, firmness, balls);
}

/// Lets those that hop do so to the end; `ways` is told where they touch the ground.
pub(crate) fn hop_together<T: Terrain>(
    terrain: &T,
    firmness: Firmness,
    balls: &mut [Grounded],
    ways: &mut impl Ways,
) {
    let mut run = Run::of(terrain, firmness, &Luck::of(0.5), ways);
    if balls.len() < LEAST_TOGETHER {
        run.hop::<1>(balls);
    } else {
        run.hop::<LANES>(balls);
    }
}

/// Lets those that roll do so to their rest.
pub(crate) fn roll_together<T: Terrain>(terrain: &T, firmness: Firmness, balls: &mut [Grounded]) {
    let mut nobody = Untold;
    let mut run = Run::of(terrain, firmness, &Luck::of(0.5), &mut nobody);
    if balls.len() < LEAST_TOGETHER {
        run.roll::<1>(balls);
    } else {
        run.roll::<LANES>(balls);
    }
}

/// The next ball that has something to do in a stage.
pub(super) fn next<S>(
    balls: &mut [Grounded],
    from: &mut usize,
    mut begin: impl FnMut(usize, &mut Grounded) -> Option<S>,
) -> Option<S> {
    while let Some(ball) = balls.get_mut(*from) {
        let index = *from;
        *from += 1;
        if let Some(begun) = begin(index, ball) {
            return Some(begun);
        }
    }
    None
}

/// Does the work of all lanes, in vectors where there is more than one.
#[inline(always)]
pub(super) fn wide<const N: usize>(work: impl FnOnce()) {
    if N == 1 { work() } else { widest(work) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flight::{Canopy, Turf};

    /// Waves of ground with a pond, bunkers, a green and a wood.
    struct Waves;

    impl Terrain for Waves {
        fn height_m(&self, east_m: f64, north_m: f64) -> f64 {
            0.8 * (east_m / 9.0).sin() + 0.6 * (north_m / 7.0).cos()
        }
        fn gradient(&self, east_m: f64, north_m: f64) -> [f64; 2] {
            [
                0.8 / 9.0 * (east_m / 9.0).cos(),
                -0.6 / 7.0 * (north_m / 7.0).sin(),
            ]
        }
        fn turf(&self, east_m: f64, north_m: f64) -> Turf {
            let square = (east_m / 6.0).floor() + 3.0 * (north_m / 11.0).floor();
            match square.rem_euclid(7.0) as u32 {
                0 => Turf::Sand,
                1 => Turf::Green,
                2 => Turf::Water,
                3 => Turf::WoodFloor,
                4 => Turf::Rough,
                _ => Turf::Fairway,
            }
        }
        fn canopy(&self, east_m: f64, north_m: f64) -> Option<Canopy> {
            let wooded = self.turf(east_m, north_m) == Turf::WoodFloor;
            wooded.then_some(Canopy {
                base_m: 1.0,
                top_m: 12.0,
            })
        }
        fn highest_canopy_m(&self) -> f64 {
            14.0
        }
    }

    /// Each alone against some side by side: the same to the last bit, however many.
    #[test]
    fn beside_others_a_ball_goes_as_alone() {
        let ball = |k: usize| {
            let part = |by: f64| (k as f64 * by).fract();
            let at = [200.0 * part(0.618_034), 200.0 * part(0.414_214)];
            let (east, north) = (at[0], at[1]);
            let speed = 2.0 + 30.0 * part(0.732_051);
            let (sin, cos) = (std::f64::consts::TAU * part(0.236_068)).sin_cos();
            Grounded {
                landed: [east, north, Waves.height_m(east, north)],
                luck: Luck::of(0.05 + 0.9 * part(0.302_776)),
                goes: Goes::Hops(Motion {
                    velocity_m_s: [speed * sin, speed * cos, -20.0 * part(0.162_278)],
                    spin_rad_s: [-400.0 * cos * part(0.872_983), 400.0 * sin, 60.0 - speed],
                }),
            }
        };
        let mut stopped_by_trees = 0;
        for count in [1, 3, 4, 5, 8, 9, 300] {
            let balls: Vec<Grounded> = (0..count).map(ball).collect();
            let mut together = balls.clone();
            run_out_together(&Waves, Firmness::Medium, &mut together);
            for (alone, beside) in balls.into_iter().zip(together) {
                let mut alone = [alone];
                let mut way: Vec<[f64; 2]> = Vec::new();
                let mut run = Run::of(&Waves, Firmness::Medium, &Luck::of(0.5), &mut way);
                run.hop::<1>(&mut alone);
                run.roll::<1>(&mut alone);
                let (alone, beside) = (alone[0].resting(), beside.resting());
                assert_eq!(alone, beside);
                stopped_by_trees += usize::from(alone.hit_tree);
            }
        }
        assert!(stopped_by_trees > 10, "{stopped_by_trees}");
    }
}
