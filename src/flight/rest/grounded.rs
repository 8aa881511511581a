//! Balls on the ground, from their landing to their rest, side by side.
//!
//! One ball alone waits for every root and quotient of its bounces and its roll before
//! the next can begin. Some side by side do their sums together, in vectors as wide as
//! the machine has; a ball that rests gives its lane to the next. Each ball's own sums
//! are the same, whatever goes on beside it.

use pulp::Arch;

use super::stages::{Luck, Rolling};
use super::{Resting, Run};
use crate::flight::bounce::Motion;
use crate::flight::{Firmness, Terrain};

/// Balls that go side by side: two vectors of the widest that are common, so that one
/// does sums while the other waits.
const LANES: usize = 8;

/// For fewer balls, lanes that are idle cost more than is saved.
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
    let mut track = Vec::new();
    let mut run = Run::of(terrain, firmness, &Luck::of(0.5), &mut track);
    if balls.len() < LEAST_TOGETHER {
        run.hop::<1>(balls);
        run.roll::<1>(balls);
    } else {
        run.hop::<LANES>(balls);
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

/// Does one piece of work for all lanes, in vectors where there is more than one.
#[inline(always)]
pub(super) fn in_vectors<const N: usize>(machine: Arch, work: impl pulp::WithSimd<Output = ()>) {
    if N == 1 {
        // A vector of one would be work to set up.
        work.with_simd(pulp::Scalar::new());
    } else {
        machine.dispatch(work);
    }
}
