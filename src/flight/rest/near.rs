//! What is near a flight: a place without trees about it, and ceilings over ground and
//! crowns. All are bounds: they save asking, they change no answer.

use super::{Frame, PATH_BOW_M};
use crate::flight::{CEILING_REACH_M, Ceilings, Knot, Terrain, WIDE_REACH_M};

/// A path whose ends are so far above a ceiling stays above it, m: more than twice
/// [`PATH_BOW_M`], for the hardest strike's lift, and rounding.
pub(super) const CEILING_MARGIN_M: f64 = 0.5;

/// A circle in a flight's own frame.
#[derive(Default)]
struct Circle {
    middle: [f32; 2],
    /// Of the circle that holds a path if its knots are in it; 0 where nothing is known.
    radius_m: f32,
}

impl Circle {
    /// Whether it holds the path between two knots.
    #[inline]
    fn holds(&self, ends: [&Knot; 2]) -> bool {
        let square = self.radius_m * self.radius_m;
        let [from, to] = ends.map(|knot| {
            let [x, y] = [0, 1].map(|i| knot.position_m[i] - self.middle[i]);
            x * x + y * y < square
        });
        from & to
    }
}

/// What is known to be open near a flight, in its own frame: a circle without trees, and
/// one over which ground and crowns have ceilings.
#[derive(Default)]
pub(super) struct Open {
    clearing: Circle,
    below: Circle,
    /// A path in the second circle whose ends are above these, against the peg, meets no
    /// ground, and no crown.
    ground_m: f32,
    crowns_m: f32,
}

impl Open {
    /// Whether the path between two knots, the lower so high above the peg, is known to
    /// meet no ground, and no tree.
    #[inline]
    pub fn spares(&self, ends: [&Knot; 2], lower_m: f32) -> [bool; 2] {
        let below = self.below.holds(ends);
        [
            below & (lower_m > self.ground_m),
            (below & (lower_m > self.crowns_m)) | self.clearing.holds(ends),
        ]
    }

    /// Whether the circle without trees holds the path between two knots, or a new one
    /// about the first does.
    #[inline]
    pub fn covers<T: Terrain>(&mut self, terrain: &T, frame: &Frame, ends: [&Knot; 2]) -> bool {
        if self.clearing.holds(ends) {
            return true;
        }
        let [right, forward, _] = ends[0].position_m;
        let [east, north, _] = frame.place(ends[0].position_m);
        let open_m = (terrain.to_trees_m(east, north) - PATH_BOW_M) as f32;
        self.clearing = Circle {
            middle: [right, forward],
            radius_m: open_m.max(0.0),
        };
        self.clearing.holds(ends)
    }

    /// As far about the first knot of what it last did not cover there is no tree, m; 0
    /// where that is not known.
    pub fn radius_m(&self) -> f64 {
        f64::from(self.clearing.radius_m)
    }

    /// The ceilings about the path between two knots; it keeps the wide ones.
    #[inline]
    pub fn look<T: Terrain>(&mut self, terrain: &T, ends: [&Knot; 2], frame: &Frame) -> Ceilings {
        let told = ceilings_about(terrain, ends, frame);
        let above = |ceiling_m: f64| (ceiling_m - frame.peg_m[2] + CEILING_MARGIN_M) as f32;
        let [a, b] = ends.map(|knot| knot.position_m);
        self.below = Circle {
            middle: [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])],
            radius_m: (WIDE_REACH_M - 2.0 * PATH_BOW_M) as f32,
        };
        (self.ground_m, self.crowns_m) = (above(told.wide_ground_m), above(told.wide_crowns_m));
        told
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
            wide_ground_m: f64::INFINITY,
            wide_crowns_m: f64::INFINITY,
        }
    }
}
