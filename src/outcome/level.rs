//! Balls over level ground in calm air.
//!
//! There a ball comes down and runs out in the same way wherever it is hit from and
//! along whatever aim, as long as it meets no tree and stays on one turf. So that is
//! found once for each ball and turf, and then only turned and laid down; whether
//! it holds there is asked of the hole. A ball for which it does not is followed
//! from its landing, or from the tee where trees are near its flight: the
//! answer is the same up to rounding (`tests/known_outcome`).

use std::sync::atomic::{AtomicU8, Ordering::Relaxed};
use std::sync::{Arc, OnceLock};

use arrayvec::ArrayVec;

use super::settling::Struck;
use super::{Ground, Rest, is_penalty};
use crate::flight::level::Plain;
use crate::flight::rest::{
    Frame, Goes, Grounded, Landing, Luck, OFF_HALFWAY, Rolling, Touches, hop_together, land,
    past_trees, roll_together,
};
use crate::flight::trajectory::FlightView;
use crate::flight::{Firmness, Footing, Knot, Turf};
use crate::hole::{Coord, Hole};

/// How far the path between two knots, or between two touches of the ground, leaves
/// the straight line at most, m.
const BOW_M: f32 = 0.25;
/// A way is felt along in so many parts, where it is not clear as a whole.
const PARTS: usize = 8;

/// A turn from an aim's frame to the plane's.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Turn {
    sin: f64,
    cos: f64,
}

impl Turn {
    /// That of a flight which is turned to the plane already.
    pub const NONE: Self = Self { sin: 0.0, cos: 1.0 };

    pub fn to(aim_deg: f64) -> Self {
        let (sin, cos) = aim_deg.to_radians().sin_cos();
        Self { sin, cos }
    }

    /// To the bearing of a way that is `east` and `north` so long.
    pub fn along(east: f64, north: f64) -> Self {
        let length = (east * east + north * north).sqrt();
        if length > 0.0 {
            Self {
                sin: east / length,
                cos: north / length,
            }
        } else {
            Self::to(0.0)
        }
    }

    /// Its bearing, degrees.
    pub fn bearing_deg(self) -> f64 {
        self.sin.atan2(self.cos).to_degrees()
    }

    /// This turn and another after it.
    pub fn and(self, other: Self) -> Self {
        Self {
            sin: self.sin * other.cos + self.cos * other.sin,
            cos: self.cos * other.cos - self.sin * other.sin,
        }
    }

    fn place(&self, from: Coord<f64>, [right, forward]: [f32; 2]) -> Coord<f64> {
        let (right, forward) = (f64::from(right), f64::from(forward));
        Coord {
            x: from.x + right * self.cos + forward * self.sin,
            y: from.y + forward * self.cos - right * self.sin,
        }
    }

    fn vector(&self, [right, forward, up]: [f64; 3]) -> [f64; 3] {
        [
            right * self.cos + forward * self.sin,
            forward * self.cos - right * self.sin,
            up,
        ]
    }

    /// The frame of a flight along north that is hit from a place, turned.
    pub fn frame(&self, from: Coord<f64>, height_m: f64) -> Frame {
        Frame {
            peg_m: [from.x, from.y, height_m],
            turn: [self.sin, self.cos],
        }
    }
}

/// A straight line that a way keeps close to, in the aim's frame.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Chord {
    ends: [[f32; 2]; 2],
    /// The radius of a circle about its middle that the way keeps in, m.
    whole_m: f32,
    /// The radii of circles about the middles of [`PARTS`] equal parts that the way keeps
    /// in, m.
    part_m: f32,
}

impl Chord {
    fn of(ends: [[f32; 2]; 2], way: impl Iterator<Item = [f32; 2]>) -> Self {
        let [a, b] = ends;
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let length2 = dx * dx + dy * dy;
        let off = |p: [f32; 2]| {
            let (x, y) = (p[0] - a[0], p[1] - a[1]);
            let share = if length2 > 0.0 {
                ((x * dx + y * dy) / length2).clamp(0.0, 1.0)
            } else {
                0.0
            };
            let (x, y) = (x - share * dx, y - share * dy);
            x * x + y * y
        };
        let bow_m = way.map(off).fold(0.0, f32::max).sqrt() + BOW_M;
        let half_m = 0.5 * length2.sqrt();
        Self {
            ends,
            whole_m: bow_m + half_m,
            part_m: bow_m + half_m / PARTS as f32,
        }
    }

    /// Whether circles of these radii cover the way: one about its middle, or one about
    /// the middle of each part. None waits for what another says.
    #[inline(always)]
    fn is_covered(
        &self,
        turn: &Turn,
        from: Coord<f64>,
        radius_m: impl Fn(Coord<f64>) -> f64,
    ) -> bool {
        let [a, b] = self.ends.map(|end| turn.place(from, end));
        let at = |share: f64| Coord {
            x: a.x + (b.x - a.x) * share,
            y: a.y + (b.y - a.y) * share,
        };
        let part = |part: usize| (part as f64 + 0.5) / PARTS as f64;
        radius_m(at(0.5)) > f64::from(self.whole_m)
            || (0..PARTS).all(|k| radius_m(at(part(k))) > f64::from(self.part_m))
    }
}

/// A ball's landing on level ground, and what follows.
#[derive(Debug)]
struct Down {
    landing: Landing,
    /// The interval and the share of it in which it lands.
    when: (usize, f32),
    /// From landing to rest, by turf.
    runs: [OnceLock<Option<Box<Run>>>; TURFS.len()],
    /// For which turfs somebody has said that he will find it: a bit each.
    taken_on: AtomicU8,
}

/// Most touches of the ground that are kept: a drive takes eight.
const TOUCHES: usize = 10;

/// A ball's way over level ground of one turf.
#[derive(Clone, Debug, PartialEq)]
struct Run {
    /// Where it touches down until then, its landing first.
    touches: ArrayVec<[f32; 2], TOUCHES>,
    /// Nowhere until it rolls is it further from its landing, m.
    hops_m: f32,
    /// Nor until it rests, m.
    reach_m: f32,
    /// How fast it does, m/s.
    velocity_m_s: [f32; 2],
    /// From there to its rest.
    roll: Chord,
}

impl Run {
    /// From the touches of a ball that rolls and rests so.
    fn of(touches: &[[f32; 2]], rolling: &Rolling, rests_at: [f64; 2]) -> Self {
        let flat = |p: [f64; 2]| p.map(|c| c as f32);
        let off = |p: &[f32; 2]| {
            let [x, y] = [p[0] - touches[0][0], p[1] - touches[0][1]];
            (x * x + y * y).sqrt()
        };
        let hops_m = touches.iter().map(off).fold(0.0, f32::max);
        let ends = [flat(rolling.at), flat(rests_at)];
        Self {
            hops_m,
            // It rolls straight on: nowhere further off than at one of the ends.
            reach_m: ends.iter().map(off).fold(hops_m, f32::max) + BOW_M,
            touches: touches.iter().copied().collect(),
            velocity_m_s: flat(rolling.velocity_m_s),
            roll: Chord::of(ends, ends.into_iter()),
        }
    }

    /// Whether its hops keep to one turf and meet no tree, where nothing but that turf is
    /// nearer to where it has landed than `alike_m`.
    #[inline(always)]
    fn is_clear(
        &self,
        (turn, from): (&Turn, Coord<f64>),
        hole: &Hole,
        (landed, turf): (Coord<f64>, Turf),
        alike_m: f64,
    ) -> bool {
        let hops_m = f64::from(self.hops_m);
        if alike_m > hops_m {
            return true;
        }
        let plain = Footing::of(turf);
        if hole.footing_at(landed) != plain {
            return false;
        }
        let open = hole.to_trees_m(landed) > hops_m;
        self.touches.windows(2).all(|hop| {
            let at = turn.place(from, hop[1]);
            hole.footing_at(at) == plain && (open || self.is_open(hop, turn, from, hole))
        })
    }

    /// Whether no tree stands where a hop from one touch to the next is felt for trees:
    /// halfway, in time.
    fn is_open(&self, hop: &[[f32; 2]], turn: &Turn, from: Coord<f64>, hole: &Hole) -> bool {
        let [a, b] = [hop[0], hop[1]];
        let [x, y] = [b[0] - a[0], b[1] - a[1]];
        let length_m = f64::from((x * x + y * y).sqrt());
        let halfway = turn.place(from, [a[0] + 0.5 * x, a[1] + 0.5 * y]);
        hole.to_trees_m(halfway) > OFF_HALFWAY * length_m
    }
}

const TURFS: [Turf; 5] = [
    Turf::Fairway,
    Turf::Green,
    Turf::Rough,
    Turf::Sand,
    Turf::WoodFloor,
];

/// What is known of a set of flights in calm air over level ground, whatever stands
/// there.
#[derive(Debug)]
pub(crate) struct Downs {
    firmness: Firmness,
    balls: Vec<OnceLock<Down>>,
}

/// The same on a level hole with its trees.
#[derive(Debug)]
pub(crate) struct Level {
    /// How high the trees reach above the ground, m.
    trees_m: f64,
    downs: Arc<Downs>,
    /// By ball.
    low: Vec<OnceLock<Low>>,
}

/// Where a ball flies lower than the trees are high: on its way up and down; once where it
/// never is higher; not at all without trees.
type Low = [Option<Chord>; 2];

impl Downs {
    /// For this many flights.
    pub fn of(firmness: Firmness, flights: usize) -> Arc<Self> {
        let balls = std::iter::repeat_with(OnceLock::new);
        Arc::new(Self {
            firmness,
            balls: balls.take(flights).collect(),
        })
    }

    fn down(&self, ball: usize, flight: FlightView<'_>) -> &Down {
        self.balls[ball].get_or_init(|| {
            let (landing, interval, share) = land(&Plain(Turf::Fairway), flight);
            Down {
                landing,
                when: (interval, share),
                runs: std::array::from_fn(|_| OnceLock::new()),
                taken_on: AtomicU8::new(0),
            }
        })
    }
}

/// How balls run out on this turf, by their number in [`TURFS`]; none for one that does not
/// come to roll, or touches down too often before.
fn run_out(downs: &[&Down], kind: usize, firmness: Firmness) -> Vec<Option<Box<Run>>> {
    let plain = Plain(TURFS[kind]);
    let landing = |down: &&Down| Grounded {
        landed: down.landing.at,
        luck: Luck::of(0.5),
        goes: Goes::Hops(down.landing.motion),
    };
    let mut balls: Vec<Grounded> = downs.iter().map(landing).collect();
    // One more than is kept: who touches down too often is seen to.
    let mut touches = vec![Touches::<{ TOUCHES + 1 }>::new(); balls.len()];
    hop_together(&plain, firmness, &mut balls, &mut touches);
    let rolling = |ball: &Grounded| match ball.goes {
        Goes::Rolls(rolling) => Some(rolling),
        Goes::Hops(_) | Goes::Rests(_) => None,
    };
    let rollings: Vec<Option<Rolling>> = balls.iter().map(rolling).collect();
    roll_together(&plain, firmness, &mut balls);
    let found = balls.iter().zip(rollings).zip(&touches);
    found
        .map(|((ball, rolling), touches)| {
            let kept = touches.len() <= TOUCHES;
            let (rolling, resting) = (rolling.filter(|_| kept)?, ball.resting());
            Some(Box::new(Run::of(touches, &rolling, resting.at)))
        })
        .collect()
}

impl Level {
    /// Of flights on a hole; none where the hole is not level.
    pub fn of(hole: &Hole, downs: &Arc<Downs>) -> Option<Self> {
        let ground = hole.ground();
        ground.is_flat().then(|| Self {
            trees_m: hole.highest_canopy_m() - ground.lowest_m(),
            downs: Arc::clone(downs),
            low: std::iter::repeat_with(OnceLock::new)
                .take(downs.balls.len())
                .collect(),
        })
    }

    fn low(&self, down: &Down, flight: FlightView<'_>) -> Low {
        if self.trees_m == f64::NEG_INFINITY {
            return [None, None];
        }
        let at = |k: &Knot| [k.position_m[0], k.position_m[1]];
        let high = |k: &Knot| f64::from(k.position_m[2]) >= self.trees_m;
        let landed = down.landing.at.map(|c| c as f32);
        let landed = [landed[0], landed[1]];
        let knots = flight.knots;
        let on_way = |k: &&Knot| k.position_m[2] >= 0.0;
        if let (Some(first), Some(last)) =
            (knots.iter().position(high), knots.iter().rposition(high))
        {
            let falling = knots[last..].iter().take_while(on_way).map(at);
            [
                Some(Chord::of(
                    [[0.0; 2], at(&knots[first])],
                    knots[..first].iter().map(at),
                )),
                Some(Chord::of([at(&knots[last]), landed], falling)),
            ]
        } else {
            let way = knots.iter().take_while(on_way).map(at);
            [Some(Chord::of([[0.0; 2], landed], way)), None]
        }
    }

    /// Reads what is known of a ball and makes nothing of it. Some balls in turn wait for the
    /// memory together; each alone when it is followed.
    #[inline]
    pub fn fetch(&self, ball: usize) -> f32 {
        let Some(down) = self.downs.balls[ball].get() else {
            return 0.0;
        };
        let runs = down.runs.iter().filter_map(|run| run.get()?.as_ref());
        let read: f32 = runs.map(|run| run.hops_m + run.roll.part_m).sum();
        let low = self.low[ball]
            .get()
            .map_or(0.0, |low| low[0].map_or(0.0, |low| low.part_m));
        read + low + down.landing.at[0] as f32 + down.when.1
    }

    /// A ball down to the ground, past its trees.
    ///
    /// # Errors
    /// With its rest where a tree stops it; none where it has to be followed from the tee.
    #[inline(always)]
    pub(super) fn land(
        &self,
        ball: usize,
        hole: &Hole,
        Struck {
            flight,
            from,
            turn,
            tree_luck,
            start_deg,
            ..
        }: &Struck<'_>,
        track: &mut Vec<[f64; 2]>,
    ) -> Result<Landed, Option<Begun>> {
        let down = self.downs.down(ball, *flight);
        let low = self.low[ball].get_or_init(|| self.low(down, *flight));
        let ground = Ground(hole);
        let mut luck = Luck::of(*tree_luck);
        let open = |at| hole.to_trees_m(at);
        // Not by `all`: what it calls would not be built for the widest registers.
        let mut is_open = true;
        for low in low.iter().flatten() {
            is_open = is_open && low.is_covered(turn, *from, open);
        }
        if !is_open {
            let frame = turn.frame(*from, hole.ground().lowest_m());
            match past_trees(&ground, *flight, down.when, &frame, &luck, track) {
                Ok(left) => luck = left,
                Err(fallen) => {
                    let [at, landed] = [fallen.at, [fallen.landed[0], fallen.landed[1]]]
                        .map(|[x, y]| Coord { x, y });
                    return Err(Self::at_rest(hole, (at, landed), *start_deg, false));
                }
            }
        }
        let [right, forward, _] = down.landing.at.map(|c| c as f32);
        let at = turn.place(*from, [right, forward]);
        let turf = hole.surface_at(at).turf();
        let kind = TURFS.iter().position(|t| *t == turf).ok_or(None)?;
        Ok(Landed { at, kind, luck })
    }

    /// Whether it is found already how a ball runs out on its turf.
    #[inline(always)]
    pub(super) fn is_found(&self, ball: usize, landed: &Landed) -> bool {
        let down = self.downs.balls[ball].get();
        down.is_some_and(|down| down.runs[landed.kind].get().is_some())
    }

    /// Finds how balls of some levels run out on the turfs where they have landed.
    pub(super) fn find<'a>(balls: impl Iterator<Item = (&'a Self, usize, &'a Landed)> + Clone) {
        for kind in 0..TURFS.len() {
            let mut firmness = Firmness::default();
            let wanted = balls.clone().filter(|(_, _, landed)| landed.kind == kind);
            let wanted: Vec<&Down> = wanted
                .filter_map(|(level, ball, _)| {
                    firmness = level.downs.firmness;
                    let down = level.downs.balls[ball].get()?;
                    let bit = 1 << kind;
                    let is_first = down.taken_on.fetch_or(bit, Relaxed) & bit == 0;
                    is_first.then_some(down)
                })
                .collect();
            for (down, run) in wanted.iter().zip(run_out(&wanted, kind, firmness)) {
                // Somebody else may have been quicker: with the same.
                let _ = down.runs[kind].set(run);
            }
        }
    }

    /// A ball that has landed as far as what is known of it holds there; none where it has
    /// to be followed from the tee.
    #[inline(always)]
    pub(super) fn run_on(
        &self,
        ball: usize,
        landed: &Landed,
        hole: &Hole,
        Struck {
            flight,
            from,
            turn,
            start_deg,
            ..
        }: &Struck<'_>,
    ) -> Option<Begun> {
        let down = self.downs.down(ball, *flight);
        let Landed { at, kind, luck } = *landed;
        let (landed, turf) = (at, TURFS[kind]);
        // Who has taken it on may not be through with it yet.
        let firmness = self.downs.firmness;
        let run = down.runs[kind].get_or_init(|| run_out(&[down], kind, firmness).pop().flatten());
        let alike = |at| hole.to_change_m(at);
        let alike_m = alike(landed);
        let goes = match run {
            Some(run) if run.is_clear((turn, *from), hole, (landed, turf), alike_m) => {
                if alike_m > f64::from(run.reach_m) || run.roll.is_covered(turn, *from, alike) {
                    let at = turn.place(*from, run.roll.ends[1]);
                    return Self::at_rest(hole, (at, landed), *start_deg, true);
                }
                let at = turn.place(*from, run.roll.ends[0]);
                let [right, forward] = run.velocity_m_s.map(f64::from);
                let [east, north, _] = turn.vector([right, forward, 0.0]);
                Goes::Rolls(Rolling {
                    at: [at.x, at.y],
                    velocity_m_s: [east, north],
                    footing: Footing::of(turf),
                })
            }
            _ => {
                let mut motion = down.landing.motion;
                motion.velocity_m_s = turn.vector(motion.velocity_m_s);
                motion.spin_rad_s = turn.vector(motion.spin_rad_s);
                Goes::Hops(motion)
            }
        };
        Some(Begun::Runs(Grounded {
            landed: [landed.x, landed.y, hole.ground().lowest_m()],
            luck,
            goes,
        }))
    }

    /// A rest; none in a penalty area, for where the ball crossed its edge, its whole
    /// way tells.
    fn at_rest(
        hole: &Hole,
        (at, landed): (Coord<f64>, Coord<f64>),
        start_deg: f64,
        is_sound: bool,
    ) -> Option<Begun> {
        let surface = hole.surface_at(at);
        (!is_penalty(surface)).then_some(Begun::Rests(Rest {
            at,
            surface,
            crossed: None,
            landed,
            start_deg,
            is_sound,
        }))
    }
}

/// A ball that has landed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Landed {
    at: Coord<f64>,
    /// The number in [`TURFS`] of what lies there.
    kind: usize,
    /// Its luck among trees.
    luck: Luck,
}

/// How far a ball is known.
pub(crate) enum Begun {
    /// To its rest.
    Rests(Rest),
    /// To the ground.
    Runs(Grounded),
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flight::Launch;
    use crate::flight::air::{Air, Weather};
    use crate::flight::ball::Ball;
    use crate::flight::rest::come_to_rest;
    use crate::flight::trajectory::fly;

    /// From topped chips to drives, on every turf: found for all together as for each alone,
    /// and as each is followed from where it is hit.
    #[test]
    fn together_balls_run_out_as_alone_and_as_followed() {
        let launches: Vec<Launch> = (0..100)
            .map(|k| Launch {
                ball_speed_m_s: 6.0 + 0.65 * f64::from(k),
                launch_deg: [1.0, 9.0, 14.0, 27.0, 48.0][k as usize % 5],
                start_deg: 0.3 * f64::from(k % 11) - 1.5,
                spin_rad_s: 180.0 + 8.0 * f64::from(k),
                axis_deg: f64::from(k % 17) - 8.0,
            })
            .collect();
        let air = Air::of(&Weather::at_altitude(0.0), 0.03);
        let flights = fly(&launches, &[], &air, &Ball::modern(), -2.0);
        let firmness = Firmness::Medium;
        let known = Downs::of(firmness, launches.len());
        let downs: Vec<&Down> = (0..launches.len())
            .map(|ball| known.down(ball, flights.ball(ball)))
            .collect();
        let (mut track, mut kept) = (Vec::new(), 0);
        for (kind, turf) in TURFS.into_iter().enumerate() {
            let together = run_out(&downs, kind, firmness);
            for (ball, run) in together.into_iter().enumerate() {
                let alone = run_out(&downs[ball..=ball], kind, firmness).pop();
                assert_eq!(alone.as_ref(), Some(&run));
                let (plain, flight) = (Plain(turf), flights.ball(ball));
                let rests = come_to_rest(&plain, flight, [0.0; 3], 0.5, firmness, &mut track);
                let Some(run) = run else {
                    continue;
                };
                kept += 1;
                let apart = |a: [f32; 2], b: [f64; 2]| {
                    (f64::from(a[0]) - b[0]).hypot(f64::from(a[1]) - b[1])
                };
                // Single precision is kept, of up to 300 m.
                assert!(
                    apart(run.roll.ends[1], rests.at) < 5.0e-5,
                    "{turf:?} {ball}"
                );
                for (touch, followed) in run.touches.iter().zip(&track) {
                    assert!(apart(*touch, *followed) < 5.0e-5, "{turf:?} {ball}");
                }
                let landed = run.touches[0];
                for way in &track {
                    assert!(
                        apart(landed, *way) <= f64::from(run.reach_m),
                        "{turf:?} {ball}"
                    );
                }
            }
        }
        assert!(kept > 400, "{kept}");
    }
}
