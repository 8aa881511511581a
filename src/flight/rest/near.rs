//! What is near a flight: a place without trees about it, and ceilings over ground and
//! crowns. All are bounds: they save asking, they change no answer.

use super::{Frame, PATH_BOW_M};
use crate::flight::{CEILING_REACH_M, Ceilings, Knot, Terrain, WIDE_REACH_M};

/// A path whose ends are so far above a ceiling stays above it, m: more than twice
/// [`PATH_BOW_M`], for the hardest strike's lift, and rounding.
pub(super) const CEILING_MARGIN_M: f64 = 0.5;

/// A circle in a flight's own frame: that which holds a path if its knots are in it.
#[derive(Clone, Copy, Default)]
pub(super) struct Circle {
    middle: [f32; 2],
    /// 0 where nothing is known.
    radius_m: f32,
    square: f32,
}

impl Circle {
    fn about([right, forward]: [f32; 2], radius_m: f32) -> Self {
        let radius_m = radius_m.max(0.0);
        Self {
            middle: [right, forward],
            radius_m,
            square: radius_m * radius_m,
        }
    }

    #[inline(always)]
    pub fn holds(&self, knot: &Knot) -> bool {
        let x = knot.position_m[0] - self.middle[0];
        let y = knot.position_m[1] - self.middle[1];
        x * x + y * y < self.square
    }
}

/// What is known to be open near a flight, in its own frame.
#[derive(Default)]
pub(super) struct Open {
    /// A circle without trees.
    pub clearing: Circle,
    /// One over which ground and crowns have ceilings: a path in it whose ends are above
    /// these, against the peg, meets no ground, and no crown.
    pub wide: Circle,
    pub ground_m: f32,
    pub crowns_m: f32,
}

impl Open {
    /// Whether the circle without trees holds the path between two knots, or a new one
    /// does.
    #[inline]
    pub fn covers<T: Terrain>(&mut self, terrain: &T, frame: &Frame, ends: [&Knot; 2]) -> bool {
        self.clearing.holds(ends[0]) && self.clearing.holds(ends[1])
            || self.is_anew(terrain, frame, ends)
    }

    /// Whether a new one does. About the second knot it reaches further on than about the
    /// first.
    #[inline]
    pub fn is_anew<T: Terrain>(
        &mut self,
        terrain: &T,
        frame: &Frame,
        [from, to]: [&Knot; 2],
    ) -> bool {
        self.clearing = clearing_about(terrain, frame, to);
        if self.clearing.holds(from) {
            return true;
        }
        self.clearing = clearing_about(terrain, frame, from);
        self.clearing.holds(to)
    }

    /// As far about the first knot of what it last did not cover there is no tree, m; 0
    /// where that is not known.
    pub fn radius_m(&self) -> f64 {
        f64::from(self.clearing.radius_m)
    }

    /// The ceilings about the path between two knots; it keeps the wide ones.
    #[inline]
    pub fn look<T: Terrain>(
        &mut self,
        terrain: &T,
        [from, to]: [&Knot; 2],
        frame: &Frame,
    ) -> Ceilings {
        let told = ceilings_about(terrain, [from, to], frame);
        let above = |ceiling_m: f64| (ceiling_m - frame.peg_m[2] + CEILING_MARGIN_M) as f32;
        let (a, b) = (from.position_m, to.position_m);
        let middle = [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])];
        self.wide = Circle::about(middle, (WIDE_REACH_M - 2.0 * PATH_BOW_M) as f32);
        self.ground_m = above(told.wide_ground_m);
        self.crowns_m = above(told.wide_crowns_m);
        told
    }
}

fn clearing_about<T: Terrain>(terrain: &T, frame: &Frame, knot: &Knot) -> Circle {
    let [right, forward, _] = knot.position_m;
    let [east, north, _] = frame.place(knot.position_m);
    let open_m = terrain.to_trees_m(east, north) - PATH_BOW_M;
    Circle::about([right, forward], open_m as f32)
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
            wide_ground_m: f64::INFINITY,
            wide_crowns_m: f64::INFINITY,
        }
    }
}
