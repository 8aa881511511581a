//! What is near a flight: a place without trees about it, and ceilings over ground and
//! crowns. All are bounds: they save asking, they change no answer.

use super::{Frame, PATH_BOW_M};
use crate::flight::{CEILING_REACH_M, Ceilings, Knot, Terrain};

/// A path whose ends are so far above a ceiling stays above it, m: more than twice
/// [`PATH_BOW_M`], for the hardest strike's lift.
pub(super) const CEILING_MARGIN_M: f64 = 0.5;

/// A circle without trees, in a flight's own frame.
#[derive(Default)]
pub(super) struct Open {
    middle: [f32; 2],
    /// Of the circle that holds a path if its knots are in it.
    radius_m: f32,
}

impl Open {
    /// Whether it holds the path between two knots, or a new one about the first does.
    #[inline]
    pub fn covers<T: Terrain>(
        &mut self,
        terrain: &T,
        frame: &Frame,
        [from, to]: [&Knot; 2],
    ) -> bool {
        if self.holds(from) && self.holds(to) {
            return true;
        }
        let [right, forward, _] = from.position_m;
        let [east, north, _] = frame.place(from.position_m);
        *self = Self {
            middle: [right, forward],
            radius_m: (terrain.to_trees_m(east, north) - PATH_BOW_M) as f32,
        };
        self.holds(from) && self.holds(to)
    }

    /// As far about the first knot of what it last did not cover there is no tree, m;
    /// not above 0 where that is not known.
    pub fn radius_m(&self) -> f64 {
        f64::from(self.radius_m)
    }

    fn holds(&self, knot: &Knot) -> bool {
        let [x, y] = [0, 1].map(|i| knot.position_m[i] - self.middle[i]);
        self.radius_m > 0.0 && x * x + y * y < self.radius_m * self.radius_m
    }
}

/// What neither ground nor crowns rise above anywhere below the path between two knots.
#[inline]
pub(super) fn ceilings_about<T: Terrain>(
    terrain: &T,
    [from, to]: [&Knot; 2],
    frame: &Frame,
) -> Ceilings {
    // A path lies in the circle about its ends' middle but for its bow.
    const LONGEST_M: f32 = 2.0 * (CEILING_REACH_M - 2.0 * PATH_BOW_M) as f32;
    let (a, b) = (from.position_m, to.position_m);
    let [x, y] = [b[0] - a[0], b[1] - a[1]];
    if x * x + y * y < LONGEST_M * LONGEST_M {
        let [east, north, _] = frame.place([0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1]), 0.0]);
        terrain.ceilings(east, north)
    } else {
        Ceilings {
            ground_m: f64::INFINITY,
            crowns_m: f64::INFINITY,
        }
    }
}
