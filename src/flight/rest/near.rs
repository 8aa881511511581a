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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flight::{
        AimWind, Ball, Canopy, Firmness, Launch, Turf, Weather, air::Air, come_to_rest, fly,
    };

    /// Hills that rise northwards, with squares of trees; it may tell what it knows of
    /// what is near.
    struct Hills {
        tells: bool,
    }

    const SLOPE: f64 = 0.3;
    const TOP_M: f64 = 17.0;

    impl Hills {
        /// The highest of a function on a grid about a place.
        fn highest(at: [f64; 2], reach_m: f64, of: impl Fn(f64, f64) -> f64) -> f64 {
            let steps = (reach_m / 2.0) as i32;
            let line = -steps..=steps;
            line.clone()
                .flat_map(|x| line.clone().map(move |y| [x, y]))
                .map(|[x, y]| of(at[0] + 2.0 * f64::from(x), at[1] + 2.0 * f64::from(y)))
                .fold(f64::NEG_INFINITY, f64::max)
        }
    }

    impl Terrain for Hills {
        fn height_m(&self, east_m: f64, north_m: f64) -> f64 {
            0.04 * north_m + 4.0 * (east_m / 40.0).sin() + 5.0 * (north_m / 31.0).cos()
        }
        fn gradient(&self, east_m: f64, north_m: f64) -> [f64; 2] {
            [
                0.1 * (east_m / 40.0).cos(),
                0.04 - 5.0 / 31.0 * (north_m / 31.0).sin(),
            ]
        }
        fn turf(&self, _: f64, _: f64) -> Turf {
            Turf::Fairway
        }
        fn canopy(&self, east_m: f64, north_m: f64) -> Option<Canopy> {
            let square = [(east_m / 16.0).floor(), (north_m / 16.0).floor()];
            ((square[0] + 2.0 * square[1]).rem_euclid(7.0) == 3.0).then_some(Canopy {
                base_m: 2.0,
                top_m: TOP_M,
            })
        }
        fn highest_canopy_m(&self) -> f64 {
            60.0
        }
        fn highest_ground_m(&self) -> f64 {
            43.0
        }
        fn to_trees_m(&self, east_m: f64, north_m: f64) -> f64 {
            // Outwards, until a square of a grid of 1 m holds a tree.
            let is_clear = |reach_m: &i32| {
                (-reach_m..=*reach_m).all(|k| {
                    let [k, r] = [k, *reach_m].map(f64::from);
                    [[k, -r], [k, r], [-r, k], [r, k]]
                        .iter()
                        .all(|[x, y]| self.canopy(east_m + x, north_m + y).is_none())
                })
            };
            let clear = (0..40).take_while(is_clear).count();
            if self.tells {
                (clear as f64 - 2.5).max(0.0)
            } else {
                0.0
            }
        }
        fn ceilings(&self, east_m: f64, north_m: f64) -> Ceilings {
            let ([ground_m, crowns_m], [wide_ground_m, wide_crowns_m]) = if self.tells {
                let within = |reach_m: f64| {
                    // No place is further than 1.5 m from the grid's, and the grid reaches
                    // beyond the circle.
                    let highest = |of: &dyn Fn(f64, f64) -> f64| {
                        Self::highest([east_m, north_m], reach_m + 2.0, of) + 1.5 * SLOPE
                    };
                    let ground = |x: f64, y: f64| self.height_m(x, y);
                    let crowns = |x: f64, y: f64| {
                        // As far as the next of the grid: a corner of a square, too.
                        let around = [-1.5, 0.0, 1.5];
                        let stands = around
                            .iter()
                            .any(|a| around.iter().any(|b| self.canopy(x + a, y + b).is_some()));
                        if stands {
                            ground(x, y) + TOP_M
                        } else {
                            f64::NEG_INFINITY
                        }
                    };
                    [highest(&ground), highest(&crowns)]
                };
                (within(CEILING_REACH_M), within(WIDE_REACH_M))
            } else {
                ([43.0, 60.0], [43.0, 60.0])
            };
            Ceilings {
                ground_m,
                crowns_m,
                wide_ground_m,
                wide_crowns_m,
            }
        }
    }

    /// What is told of clearings and ceilings saves asking and changes nothing, to the
    /// last bit.
    #[test]
    fn a_flight_ends_where_it_does_without_being_told() {
        let air = Air::of(&Weather::default(), 0.03);
        let mut hit = 0;
        for k in 0..150 {
            let part = |by: f64| (f64::from(k) * by).fract();
            let launch = Launch {
                ball_speed_m_s: 15.0 + 60.0 * part(0.618_034),
                launch_deg: 4.0 + 40.0 * part(0.414_214),
                start_deg: 40.0 * part(0.732_051) - 20.0,
                spin_rad_s: 150.0 + 700.0 * part(0.236_068),
                axis_deg: 30.0 * part(0.302_776) - 15.0,
            };
            let flights = fly(
                &[launch],
                &[AimWind::default()],
                &air,
                &Ball::modern(),
                -20.0,
            );
            let peg = [150.0 * part(0.872_983), 400.0 * part(0.162_278)];
            let rest = |tells: bool| {
                let hills = Hills { tells };
                let peg = [peg[0], peg[1], hills.height_m(peg[0], peg[1])];
                let mut track = Vec::new();
                let luck = 0.05 + 0.9 * part(0.541_381);
                let flight = flights.ball(0);
                let rest = come_to_rest(&hills, flight, peg, luck, Firmness::Medium, &mut track);
                (rest, track)
            };
            let (told, untold) = (rest(true), rest(false));
            assert_eq!(told, untold, "{launch:?}");
            hit += u32::from(told.0.hit_tree);
        }
        assert!((20..130).contains(&hit), "{hit}");
    }
}
