//! From the flight to where the ball lies: trees, landing, hops and roll.
//!
//! Chances and losses in the trees are practice, not measurement: a crown
//! stops a ball with a chance of [`CROWN_PER_M`] per metre flown through it,
//! the trunks below it with [`TRUNK_PER_M`]. The ball's luck is one uniform: it
//! is hit where the depth it has come through passes `−ln(1 − luck)`, so that
//! luck is shared between aims and clubs. A ball that is hit keeps a tenth or
//! less of its speed, falls, and stays where it falls.

mod feelers;
mod grounded;
mod hops;
mod near;
mod rolls;
mod stages;
mod ways;

use super::air::GRAVITY_M_S2;
use super::ball::DIAMETER_M;
use super::bounce::Motion;
use super::trajectory::FlightView;
use super::{Canopy, Ceilings, Firmness, Knot, Terrain, Turf};
use feelers::Pieces;
pub(crate) use feelers::past_trees;
pub(crate) use grounded::{Goes, Grounded, hop_together, roll_together, run_out_together};
pub(crate) use hops::OFF_HALFWAY;
use near::{CEILING_MARGIN_M, Open};
pub(crate) use stages::{Frame, Landing, Luck, Rolling, come_down, land};
pub(crate) use ways::{Touches, Ways};

/// Chance per metre, in the limit of a short way, that a crown stops a ball (practice).
pub const CROWN_PER_M: f64 = 0.15;
/// The same among the trunks below the crowns: a trunk of 0.35 m every 25 m² (practice).
pub const TRUNK_PER_M: f64 = 0.014;
/// The most of its speed along the ground that a ball keeps in a tree (practice).
const KEPT_IN_TREE: f64 = 0.1;
/// How finely a flight is felt for trees, m.
const TREE_STEP_M: f64 = 2.0;
/// A path leaves the box about its interval's ends by less than this, m: with
/// 20 m/s² across, an eighth of that times the square of the step.
const PATH_BOW_M: f64 = 0.2;
/// Height of the lip of a bunker (practice), m. Sand lies below the turf around
/// it, whatever the heights of a map say at a spacing of metres.
pub const LIP_M: f64 = 0.3;
const RADIUS_M: f64 = DIAMETER_M / 2.0;

/// Where a ball came to rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resting {
    /// East and north on the plane, m. In water: where it went in.
    pub at: [f64; 2],
    /// What lies there.
    pub turf: Turf,
    /// Where it first touched the ground or a tree: east, north, up, m.
    pub landed: [f64; 3],
    /// Whether a tree stopped it.
    pub hit_tree: bool,
}

/// Follows one ball through trees to the ground and on to rest.
///
/// `flight` is turned to `[east, north, up]` and relative to the `peg`, which
/// is absolute. `tree_luck` is a uniform in (0, 1), high is lucky. `track` is
/// cleared, then holds where the ball touched or rolled over the ground, from
/// its landing to its rest.
#[must_use]
pub fn come_to_rest<T: Terrain>(
    terrain: &T,
    flight: FlightView<'_>,
    peg: [f64; 3],
    tree_luck: f64,
    firmness: Firmness,
    track: &mut Vec<[f64; 2]>,
) -> Resting {
    let frame = Frame::still(peg);
    come_to_rest_in(terrain, flight, &frame, tree_luck, firmness, track)
}

/// The same of a flight in a frame of its own.
pub(crate) fn come_to_rest_in<T: Terrain>(
    terrain: &T,
    flight: FlightView<'_>,
    frame: &Frame,
    tree_luck: f64,
    firmness: Firmness,
    track: &mut Vec<[f64; 2]>,
) -> Resting {
    track.clear();
    let mut run = Run::of(terrain, firmness, &Luck::of(tree_luck), track);
    match run.come_down(flight, frame) {
        Ok(grounded) => {
            let mut alone = [grounded];
            run.hop::<1>(&mut alone);
            run.roll::<1>(&mut alone);
            alone[0].resting()
        }
        Err(fallen) => fallen,
    }
}

enum Down {
    /// A tree stops it here, moving so.
    Hits([f64; 3], [f64; 3]),
    /// It is down in a share of an interval.
    Lands(usize, f32),
}

struct Run<'a, T, W> {
    terrain: &'a T,
    firmness: Firmness,
    trees_to_m: f64,
    luck: Luck,
    ways: &'a mut W,
}

impl<'a, T: Terrain, W: Ways> Run<'a, T, W> {
    fn of(terrain: &'a T, firmness: Firmness, luck: &Luck, ways: &'a mut W) -> Self {
        Self {
            terrain,
            firmness,
            trees_to_m: terrain.highest_canopy_m(),
            luck: *luck,
            ways,
        }
    }

    /// The flight down to what it first touches.
    #[inline(always)]
    fn down(&mut self, flight: FlightView<'_>, frame: &Frame) -> Down {
        let knots = flight.knots;
        let peg_m = frame.peg_m[2];
        let highest_ground_m = self.terrain.highest_ground_m();
        // Against the peg: above these it meets no ground, and no tree, of the whole hole.
        let above = |height_m: f64| (height_m - peg_m + CEILING_MARGIN_M) as f32;
        let all_m = [above(highest_ground_m), above(self.trees_to_m)];
        let mut open = Open::default();
        // Whether the circle that has ceilings holds the first knot of an interval.
        let mut is_below = false;
        // A knot and its clearance.
        let mut known = (0, 0.0);
        let mut from = &knots[0];
        for (interval, to) in knots[1..].iter().enumerate() {
            let ends = [from, to];
            from = to;
            let above_peg_m = lower(ends);
            let was_below = std::mem::replace(&mut is_below, open.wide.holds(to));
            let has_ceilings = was_below && is_below;
            let [ground_m, crowns_m] = if has_ceilings {
                [open.ground_m, open.crowns_m]
            } else {
                all_m
            };
            let no_trees =
                above_peg_m > crowns_m || open.clearing.holds(ends[0]) && open.clearing.holds(to);
            let lower_m = peg_m + f64::from(above_peg_m);
            if above_peg_m > ground_m {
                if no_trees || open.is_anew(self.terrain, frame, ends) {
                    continue;
                }
                if lower_m < self.trees_to_m {
                    let met =
                        self.met_crown(flight, (interval, 1.0), (lower_m, None), &mut open, frame);
                    if let Some((at, velocity)) = met {
                        return Down::Hits(at, velocity);
                    }
                    is_below = open.wide.holds(to);
                }
                continue;
            }
            let mut ceilings = None;
            let mut end = None;
            // No ground at all is higher than the highest. A flight begins on the ground.
            if lower_m <= highest_ground_m {
                let mut ground_m = f64::INFINITY;
                if interval > 0 {
                    let near = open.look(self.terrain, ends, frame);
                    (ground_m, ceilings) = (near.ground_m, Some(near));
                    is_below = true;
                }
                if lower_m <= ground_m + CEILING_MARGIN_M {
                    end = self.lands_within(flight, interval, ground_m, &mut known, frame);
                }
            }
            if !no_trees && lower_m < self.trees_to_m {
                let part = (interval, end.unwrap_or(1.0));
                let met = self.met_tree(flight, part, (lower_m, ceilings), &mut open, frame);
                if let Some((at, velocity)) = met {
                    return Down::Hits(at, velocity);
                }
                is_below = open.wide.holds(to);
            }
            if let Some(share) = end {
                return Down::Lands(interval, share);
            }
        }
        // The flight was cut off above the ground: its last knot has to do.
        Down::Lands(knots.len() - 2, 1.0)
    }

    /// The share of an interval at which the ball is down, if it comes down. The ground
    /// below it does not rise above `ground_m`; `known` is a knot and its clearance.
    #[inline(never)]
    fn lands_within(
        &self,
        flight: FlightView<'_>,
        interval: usize,
        ground_m: f64,
        known: &mut (usize, f32),
        frame: &Frame,
    ) -> Option<f32> {
        let terrain = self.terrain;
        let clearance = |p: [f32; 3]| {
            let [east, north, up] = frame.place(p);
            (up - terrain.height_m(east, north)) as f32
        };
        let is_near = |clear: f32| clear < NEAR_GROUND_M;
        let (from, to) = (&flight.knots[interval], &flight.knots[interval + 1]);
        let before = *known;
        let start = || match before {
            (knot, clear) if knot == interval && interval > 0 => clear,
            _ => clearance(from.position_m),
        };
        let after = clearance(to.position_m);
        *known = (interval + 1, after);
        // What was above all ground in the interval before does not count as near it.
        let was_above_all = || {
            let before = lower([&flight.knots[interval - 1], from]);
            frame.peg_m[2] + f64::from(before) > terrain.highest_ground_m()
        };
        let down = if after <= 0.0 {
            Some((1.0, after))
        } else if interval > 0 && (is_near(after) || !was_above_all() && is_near(start())) {
            [0.25, 0.5, 0.75]
                .into_iter()
                .map(|share| (share, flight.position(interval, share)))
                .filter(|(_, p)| frame.peg_m[2] + f64::from(p[2]) <= ground_m)
                .map(|(share, p)| (share, clearance(p)))
                .find(|(_, clear)| *clear <= 0.0)
        } else {
            None
        };
        down.map(|down| flight.root(interval, [(0.0, start()), down], clearance))
    }

    /// Where in a part of an interval a tree stops the ball, if one does, and how it
    /// moves there. Of an interval whose lower end is this high, with the ceilings about
    /// it where they are known.
    #[inline(always)]
    fn met_tree(
        &mut self,
        flight: FlightView<'_>,
        part: (usize, f32),
        (lower_m, ceilings): (f64, Option<Ceilings>),
        open: &mut Open,
        frame: &Frame,
    ) -> Option<([f64; 3], [f64; 3])> {
        let ends = [&flight.knots[part.0], &flight.knots[part.0 + 1]];
        let is_above = |near: Ceilings| lower_m > near.crowns_m + CEILING_MARGIN_M;
        if ceilings.is_some_and(is_above) || open.covers(self.terrain, frame, ends) {
            return None;
        }
        self.met_crown(flight, part, (lower_m, ceilings), open, frame)
    }

    /// The same where no clearing holds it.
    fn met_crown(
        &mut self,
        flight: FlightView<'_>,
        part: (usize, f32),
        (lower_m, ceilings): (f64, Option<Ceilings>),
        open: &mut Open,
        frame: &Frame,
    ) -> Option<([f64; 3], [f64; 3])> {
        let ends = [&flight.knots[part.0], &flight.knots[part.0 + 1]];
        let near = ceilings.unwrap_or_else(|| open.look(self.terrain, ends, frame));
        if lower_m > near.crowns_m + CEILING_MARGIN_M {
            return None;
        }
        self.through_trees(flight, part, [open.radius_m(), near.crowns_m], frame)
    }

    /// Feels for trees along part of an interval, from where it leaves a clearing about
    /// its first knot, up to a ceiling of the crowns.
    #[inline(never)]
    fn through_trees(
        &mut self,
        flight: FlightView<'_>,
        (interval, end): (usize, f32),
        [clear_m, crowns_m]: [f64; 2],
        frame: &Frame,
    ) -> Option<([f64; 3], [f64; 3])> {
        let ceiling_m = crowns_m.min(self.trees_to_m);
        let pieces = Pieces::of(flight, (interval, end));
        let per_m = pieces.per_m();
        // Those whose middle lies in it.
        let mut piece = (clear_m * per_m + 0.5) as u32;
        while piece < pieces.count {
            let here = piece;
            let at = frame.place(pieces.middle(here));
            piece += 1;
            if at[2] >= ceiling_m {
                continue;
            }
            let open_m = self.terrain.to_trees_m(at[0], at[1]);
            if open_m > 0.0 {
                // Nor does a tree stand over as many more as fit into the clearing.
                piece = piece.saturating_add(((open_m - PATH_BOW_M) * per_m) as u32);
                continue;
            }
            let Some(canopy) = self.terrain.canopy(at[0], at[1]) else {
                continue;
            };
            let above_m = |t: &T| at[2] - t.height_m(at[0], at[1]);
            if self.is_stopped_by(canopy, above_m, pieces.each_m()) {
                let share = pieces.share_of(here);
                let velocity = flight.within(interval, share).velocity_m_s;
                return Some((at, frame.vector(velocity.map(f64::from))));
            }
        }
        None
    }

    /// The same for a place in the air.
    fn is_stopped_above(&mut self, [east, north, up]: [f64; 3], length_m: f64) -> bool {
        self.is_stopped([east, north], |t| up - t.height_m(east, north), length_m)
    }

    /// Whether a tree stops the ball on `length_m` of way about a place; its
    /// height above the ground is asked for only where there is a tree.
    fn is_stopped(
        &mut self,
        [east, north]: [f64; 2],
        above_m: impl Fn(&T) -> f64,
        length_m: f64,
    ) -> bool {
        let canopy = self.terrain.canopy(east, north);
        canopy.is_some_and(|canopy| self.is_stopped_by(canopy, above_m, length_m))
    }

    fn is_stopped_by(
        &mut self,
        canopy: Canopy,
        above_m: impl Fn(&T) -> f64,
        length_m: f64,
    ) -> bool {
        let above_m = above_m(self.terrain);
        if above_m > canopy.top_m {
            return false;
        }
        let per_m = if above_m < canopy.base_m {
            TRUNK_PER_M
        } else {
            CROWN_PER_M
        };
        self.luck.depth_left -= per_m * length_m;
        self.luck.depth_left < 0.0
    }

    /// A ball that a tree has stopped falls and stays.
    fn fall(&mut self, ball: usize, from: [f64; 3], velocity: [f64; 3]) -> Resting {
        let height_m = (from[2] - self.terrain.height_m(from[0], from[1])).max(0.0);
        let seconds = (2.0 * height_m / GRAVITY_M_S2).sqrt();
        // The digits of the luck that did not decide the hit spread the fall.
        let kept = KEPT_IN_TREE * (self.luck.tree_luck * 1021.0).fract();
        let at = [
            from[0] + kept * velocity[0] * seconds,
            from[1] + kept * velocity[1] * seconds,
        ];
        self.ways.touched(ball, [from[0], from[1]]);
        self.ways.touched(ball, at);
        self.rest(at, from, true)
    }

    fn rest(&self, at: [f64; 2], landed: [f64; 3], hit_tree: bool) -> Resting {
        Resting {
            at,
            turf: self.terrain.turf(at[0], at[1]),
            landed,
            hit_tree,
        }
    }

    /// The flight down to where it lands.
    ///
    /// # Errors
    /// Where a tree stops it.
    #[inline(always)]
    fn come_down(&mut self, flight: FlightView<'_>, frame: &Frame) -> Result<Grounded, Resting> {
        match self.down(flight, frame) {
            Down::Hits(place, velocity) => Err(self.fall(0, place, velocity)),
            Down::Lands(interval, share) => {
                let (landed, motion) = touch(flight, interval, share, frame);
                Ok(Grounded {
                    landed,
                    luck: self.luck,
                    goes: Goes::Hops(motion),
                })
            }
        }
    }
}

/// The height of the lower of two knots.
#[inline(always)]
fn lower([from, to]: [&Knot; 2]) -> f32 {
    let [a, b] = [from.position_m[2], to.position_m[2]];
    if a < b { a } else { b }
}

/// Below this clearance at either end an interval is looked into, m.
const NEAR_GROUND_M: f32 = 4.0;

impl Resting {
    fn landing(self, landed: [f64; 3]) -> Self {
        Self { landed, ..self }
    }
}

/// The state in which a flight meets the ground.
fn touch(flight: FlightView<'_>, interval: usize, share: f32, frame: &Frame) -> ([f64; 3], Motion) {
    let knot = flight.within(interval, share);
    let spin = f64::from(knot.spin_rad_s);
    (
        frame.place(knot.position_m),
        Motion {
            velocity_m_s: frame.vector(knot.velocity_m_s.map(f64::from)),
            spin_rad_s: frame.vector(flight.axis.map(|a| f64::from(a) * spin)),
        },
    )
}

/// Length of a vector over the ground. `f64::hypot` guards against overflow at
/// several times the cost, and a roll asks for many.
#[inline(always)]
fn size(v: [f64; 2]) -> f64 {
    dot2(v, v).sqrt()
}

#[inline(always)]
fn dot2(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}
