//! Where a flight is felt for trees.

use super::stages::{Frame, Luck};
use super::{PATH_BOW_M, Resting, Run, TREE_STEP_M};
use crate::flight::trajectory::FlightView;
use crate::flight::{Firmness, Terrain};

/// An interval of a flight, or its first part, in pieces of [`TREE_STEP_M`] at most.
pub(super) struct Pieces {
    pub count: u32,
    length_m: f64,
    share: f32,
    path: [[f32; 4]; 3],
}

impl Pieces {
    #[inline]
    pub fn of(flight: FlightView<'_>, (interval, end): (usize, f32)) -> Self {
        let velocity = flight.knots[interval].velocity_m_s.map(f64::from);
        let speed = crate::flight::bounce::dot(velocity, velocity).sqrt();
        let length_m = speed * f64::from(flight.step_s * end);
        let count = (length_m / TREE_STEP_M + 1.0).clamp(1.0, 64.0) as u32;
        Self {
            count,
            length_m,
            share: end / count as f32,
            path: flight.path(interval),
        }
    }

    /// How long one is, m.
    pub fn each_m(&self) -> f64 {
        self.length_m / f64::from(self.count)
    }

    /// How many there are to a metre.
    #[inline]
    pub fn per_m(&self) -> f64 {
        f64::from(self.count) / self.length_m
    }

    /// The share of the interval at the middle of a piece.
    #[inline]
    pub fn share_of(&self, piece: u32) -> f32 {
        self.share * (piece as f32 + 0.5)
    }

    /// The middle of a piece, in the flight's own frame.
    #[inline]
    pub fn middle(&self, piece: u32) -> [f32; 3] {
        let share = self.share_of(piece);
        self.path
            .map(|c| c[0] + share * (c[1] + share * (c[2] + share * c[3])))
    }
}

/// Lets a flight that lands in a share of an interval pass its trees: what luck is
/// left, or where the ball rests. What [`come_down`](super::come_down) makes of it on
/// level ground, with fewer questions: of many intervals one circle tells that no tree is
/// near.
///
/// # Errors
/// Where a tree stops it.
#[inline(always)]
pub(crate) fn past_trees<T: Terrain>(
    terrain: &T,
    flight: FlightView<'_>,
    (landing, share): (usize, f32),
    frame: &Frame,
    luck: &Luck,
    track: &mut Vec<[f64; 2]>,
) -> Result<Luck, Resting> {
    track.clear();
    let mut run = Run::of(terrain, Firmness::default(), luck, track);
    let middle = |[a, b]: [[f32; 3]; 2]| [0, 1, 2].map(|i| 0.5 * (a[i] + b[i]));
    for interval in 0..=landing {
        let ends = [interval, interval + 1].map(|knot| flight.knots[knot].position_m);
        let lower_m = frame.peg_m[2] + f64::from(ends[0][2].min(ends[1][2]));
        if lower_m >= run.trees_to_m {
            continue;
        }
        // One circle may hold all of it. No interval waits for the answer of another.
        let [x, y] = [0, 1].map(|i| ends[1][i] - ends[0][i]);
        let half_m = f64::from(0.5 * (x * x + y * y).sqrt());
        let at = frame.place(middle(ends));
        if terrain.to_trees_m(at[0], at[1]) > half_m + PATH_BOW_M {
            continue;
        }
        let end = if interval == landing { share } else { 1.0 };
        let pieces = Pieces::of(flight, (interval, end));
        let mut piece = 0;
        while piece < pieces.count {
            let here = piece;
            piece += 1;
            let at = frame.place(pieces.middle(here));
            if at[2] >= run.trees_to_m {
                continue;
            }
            let open_m = terrain.to_trees_m(at[0], at[1]);
            if open_m > 0.0 {
                // Nor does a tree stand over as many more as fit into the clearing.
                let more = (open_m - PATH_BOW_M) * pieces.per_m();
                piece = piece.saturating_add(more as u32);
                continue;
            }
            let Some(canopy) = terrain.canopy(at[0], at[1]) else {
                continue;
            };
            let above_m = |t: &T| at[2] - t.height_m(at[0], at[1]);
            if run.is_stopped_by(canopy, above_m, pieces.each_m()) {
                let velocity = flight.within(interval, pieces.share_of(here)).velocity_m_s;
                return Err(run.fall(0, at, frame.vector(velocity.map(f64::from))));
            }
        }
    }
    Ok(run.luck)
}

#[cfg(test)]
mod tests {
    use super::super::stages::{come_down, land};
    use super::*;
    use crate::flight::level::Plain;
    use crate::flight::{AimWind, Ball, Canopy, Launch, Turf, Weather, air::Air, fly};

    /// Level ground with round clumps of trees on a lattice.
    struct Clumps;

    const APART_M: f64 = 26.0;
    const RADIUS_M: f64 = 7.5;

    impl Terrain for Clumps {
        fn height_m(&self, _: f64, _: f64) -> f64 {
            0.0
        }
        fn gradient(&self, _: f64, _: f64) -> [f64; 2] {
            [0.0; 2]
        }
        fn turf(&self, _: f64, _: f64) -> Turf {
            Turf::Rough
        }
        fn canopy(&self, east_m: f64, north_m: f64) -> Option<Canopy> {
            (self.to_trees_m(east_m, north_m) == 0.0).then_some(Canopy {
                base_m: 3.0,
                top_m: 17.0,
            })
        }
        fn highest_canopy_m(&self) -> f64 {
            17.0
        }
        fn highest_ground_m(&self) -> f64 {
            0.0
        }
        fn to_trees_m(&self, east_m: f64, north_m: f64) -> f64 {
            let off = |at: f64| (at + 0.5 * APART_M).rem_euclid(APART_M) - 0.5 * APART_M;
            (off(east_m).hypot(off(north_m)) - RADIUS_M).max(0.0)
        }
    }

    /// From chips to drives, from many places, by the way that asks about every interval:
    /// the same fall and the same luck left, to the last bit.
    #[test]
    fn fewer_questions_have_the_same_answers() {
        let launches: Vec<Launch> = (0..90)
            .map(|k| Launch {
                ball_speed_m_s: 8.0 + 0.7 * f64::from(k),
                launch_deg: [2.0, 8.0, 13.0, 22.0, 34.0, 51.0][k as usize % 6],
                start_deg: 0.0,
                spin_rad_s: 150.0 + 9.0 * f64::from(k),
                axis_deg: f64::from(k % 7) - 3.0,
            })
            .collect();
        let air = Air::of(&Weather::at_altitude(0.0), 0.03);
        let calm = vec![AimWind::default(); launches.len()];
        let flights = fly(&launches, &calm, &air, &Ball::modern(), -2.0);
        let (mut fell, mut brushed) = (0, 0);
        for number in 0..flights.len() {
            let flight = flights.ball(number);
            let (_, interval, share) = land(&Plain(Turf::Rough), flight);
            for place in 0..40 {
                let at = f64::from(place);
                let (sin, cos) = (0.9 * at).sin_cos();
                let frame = Frame {
                    peg_m: [13.0 + 1.7 * at, 0.6 * at, 0.0],
                    turn: [sin, cos],
                };
                let luck = Luck::of((0.003 + 0.618 * at).fract());
                let (mut one, mut other) = (Vec::new(), Vec::new());
                let told = past_trees(&Clumps, flight, (interval, share), &frame, &luck, &mut one);
                let followed = come_down(&Clumps, flight, &frame, &luck, &mut other);
                match (told, followed) {
                    (Err(told), Err(followed)) => {
                        assert_eq!(told, followed, "{number} from {place}");
                        fell += 1;
                    }
                    (Ok(told), Ok(followed)) => {
                        assert_eq!(told.depth_left, followed.luck.depth_left);
                        brushed += usize::from(told.depth_left < luck.depth_left);
                    }
                    (told, followed) => panic!("{told:?} {followed:?} of {number} from {place}"),
                }
                assert_eq!(one, other);
            }
        }
        assert!(fell > 300 && brushed > 100, "{fell} {brushed}");
    }
}
