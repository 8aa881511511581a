//! A swing's balls, flown and bounced once on level ground.
//!
//! A shot from any cell along any bearing is then one of these templates,
//! turned: every ball has its landing, and for every kind of ground its run
//! from there. Wind turns with the aim, so in wind a template is made for every
//! [`NODE_DEG`] of bearing and the balls of two neighbours are blended.

use std::ops::Range;
use std::sync::OnceLock;

use super::fan::SECTOR_DEG;
use super::lie::{LIES, Lie};
use super::swing::Swing;
use crate::flight::level::Plain;
use crate::flight::rest::{
    CROWN_PER_M, Frame, Goes, Grounded, Luck, TRUNK_PER_M, come_down, run_out_together,
};
use crate::flight::trajectory::{FlightView, Flights, fly};
use crate::flight::{AimWind, Firmness, Launch, Turf};
use crate::outcome::Day;
use crate::player::pattern::Pattern;
use crate::sample::{self, Point};

/// Bearings between two templates in wind, degrees.
pub const NODE_DEG: f64 = 30.0;
/// Kinds of ground a ball can land and run on: fairway, rough, sand, floor of
/// a wood, green.
pub const GROUNDS: usize = 5;
const TURFS: [Turf; GROUNDS] = [
    Turf::Fairway,
    Turf::Rough,
    Turf::Sand,
    Turf::WoodFloor,
    Turf::Green,
];
/// Points along the low parts of a flight, for trees: how far apart, m.
const LOW_STEP_M: f32 = 8.0;
/// A part of a flight that goes more round about than this is not looked at by sectors.
const MOST_SECTORS: f32 = 20.0;

/// One ball of a template, in the aim's frame: right, forward; m.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Ball {
    /// Where it lands on level ground.
    pub landing: [f32; 2],
    /// Its run from there on each kind of ground.
    pub run: [[f32; 2]; GROUNDS],
    /// How far the landing moves for every metre the ground there is lower.
    pub per_drop: [f32; 2],
}

/// A place in the air low enough for trees.
#[derive(Clone, Copy, Debug)]
pub(super) struct Low {
    /// Right, forward, up.
    pub at: [f32; 3],
    /// How many of the points from here on may be passed for every metre that is clear.
    pub per_m: f32,
}

/// Points of a flight with nothing too high between.
#[derive(Clone, Debug)]
pub(super) struct Part {
    /// In [`Template::lows`].
    pub points: Range<u32>,
    /// Between which bearings they lie, in sectors of a [`Fan`](super::fan::Fan) right of
    /// the aim.
    pub sectors: [f32; 2],
    /// How far off the first and the furthest lie, m.
    pub first_m: f32,
    pub furthest_m: f32,
}

/// What trees at such a place do to a ball.
#[derive(Clone, Copy, Debug)]
pub(super) struct Thick {
    /// Below their crowns: the depth of what is in the way, and the chance that it stops
    /// a ball that has come there.
    pub trunks: [f32; 2],
    /// In their crowns.
    pub crowns: [f32; 2],
}

impl Thick {
    fn of(length_m: f32) -> Self {
        let through = |per_m: f64| {
            let depth = per_m as f32 * length_m;
            [depth, 1.0 - (-depth).exp()]
        };
        Self {
            trunks: through(TRUNK_PER_M),
            crowns: through(CROWN_PER_M),
        }
    }
}

/// All balls of one swing in one lie and one wind.
#[derive(Clone, Debug, Default)]
pub(super) struct Template {
    pub balls: Vec<Ball>,
    /// Where the first ball's parts begin in `parts`, and where each ball's end; empty on a
    /// hole without trees.
    part_ends: Vec<u32>,
    parts: Vec<Part>,
    pub lows: Vec<Low>,
    /// Beside each of `lows`.
    pub thick: Vec<Thick>,
    /// Mean rest on fairway: distance, m, and direction, degrees right.
    pub total_m: f32,
    pub finish_deg: f32,
}

impl Template {
    /// The parts of one ball's flight that are low enough for trees.
    #[inline]
    pub fn low_parts(&self, ball: usize) -> &[Part] {
        let ends = &self.part_ends[ball..];
        &self.parts[ends[0] as usize..ends[1] as usize]
    }
}

/// The templates of every swing, lie and wind node, each flown when it is first asked
/// for: in wind most bearings of most swings never are.
#[derive(Debug)]
pub(super) struct Templates {
    /// By `swing · LIES + lie`; none where it is not played.
    launches: Vec<Option<Vec<Launch>>>,
    /// `[(swing · LIES + lie) · nodes + node]`.
    all: Vec<OnceLock<Template>>,
    pub nodes: usize,
    /// The nodes nearest to straight against the wind and straight before it.
    pub along_the_wind: (usize, usize),
    gusts: Vec<[f64; 2]>,
    day: Day,
    trees_m: Option<f32>,
}

impl Templates {
    /// Every swing on `points`; low points only below `trees_m`.
    pub fn of_swings(
        swings: &[Swing],
        patterns: &[[Option<Pattern>; LIES]],
        points: &[Point],
        day: &Day,
        trees_m: Option<f32>,
    ) -> Self {
        let launches = swings
            .iter()
            .zip(patterns)
            .flat_map(|(swing, patterns)| {
                Lie::ALL.map(|lie| {
                    let pattern = patterns[lie as usize].as_ref();
                    let pattern = pattern.filter(|_| swing.flies_as(lie) == lie)?;
                    Some(points.iter().map(|p| pattern.draw(p)).collect())
                })
            })
            .collect();
        let gusts = points
            .iter()
            .map(|p| [p[sample::GUST], p[sample::GUST + 1]])
            .collect();
        Self::unflown(launches, gusts, day, trees_m)
    }

    /// The same swings on another day.
    pub fn on(&self, day: &Day) -> Self {
        Self::unflown(self.launches.clone(), self.gusts.clone(), day, self.trees_m)
    }

    fn unflown(
        launches: Vec<Option<Vec<Launch>>>,
        gusts: Vec<[f64; 2]>,
        day: &Day,
        trees_m: Option<f32>,
    ) -> Self {
        let nodes = if day.wind.speed_m_s == 0.0 {
            1
        } else {
            (360.0 / NODE_DEG) as usize
        };
        let all = std::iter::repeat_with(OnceLock::new);
        let against = (day.wind.from_deg / NODE_DEG)
            .round()
            .rem_euclid(nodes as f64) as usize;
        Self {
            along_the_wind: (against, (against + nodes / 2) % nodes),
            all: all.take(launches.len() * nodes).collect(),
            launches,
            nodes,
            gusts,
            day: *day,
            trees_m,
        }
    }

    /// `lie` as [`Swing::flies_as`] gives it.
    pub fn of(&self, swing: usize, lie: Lie, node: usize) -> Option<&Template> {
        let slot = swing * LIES + lie as usize;
        let launches = self.launches[slot].as_ref()?;
        Some(self.all[slot * self.nodes + node].get_or_init(|| {
            let bearing = node as f64 * NODE_DEG;
            let winds: Vec<AimWind> = self
                .gusts
                .iter()
                .map(|gust| self.day.wind.in_aim(bearing, *gust))
                .collect();
            template(launches, &winds, &self.day, self.trees_m)
        }))
    }
}

fn template(launches: &[Launch], winds: &[AimWind], day: &Day, trees_m: Option<f32>) -> Template {
    let flights = fly(launches, winds, &day.air, &day.ball, -1.0);
    let mut out = Template::default();
    if trees_m.is_some() {
        out.part_ends.push(0);
    }
    let by_ground = runs(&flights, day.firmness);
    let (mut right, mut forward) = (0.0_f32, 0.0_f32);
    for index in 0..flights.len() {
        let flight = flights.ball(index);
        let mut ball = Ball::default();
        for (run, rests) in ball.run.iter_mut().zip(&by_ground) {
            let rest = rests[index].resting();
            ball.landing = [rest.landed[0] as f32, rest.landed[1] as f32];
            *run = [
                (rest.at[0] - rest.landed[0]) as f32,
                (rest.at[1] - rest.landed[1]) as f32,
            ];
        }
        let knot = flight.landing_on_level(0.0);
        let fall = (-knot.velocity_m_s[2]).max(1.0);
        ball.per_drop = [knot.velocity_m_s[0] / fall, knot.velocity_m_s[1] / fall];
        right += ball.landing[0] + ball.run[0][0];
        forward += ball.landing[1] + ball.run[0][1];
        out.balls.push(ball);
        if let Some(trees_m) = trees_m {
            low_points(flight, trees_m, &mut out);
            out.part_ends.push(out.parts.len() as u32);
        }
    }
    let count = launches.len() as f32;
    out.total_m = (right / count).hypot(forward / count);
    out.finish_deg = right.atan2(forward).to_degrees();
    out
}

/// Every flight at rest on level ground, by what it lands on.
fn runs(flights: &Flights, firmness: Firmness) -> [Vec<Grounded>; GROUNDS] {
    let (frame, luck) = (Frame::still([0.0; 3]), Luck::of(0.5));
    let mut track = Vec::new();
    let landed: Vec<Grounded> = (0..flights.len())
        .map(|index| {
            let flight = flights.ball(index);
            match come_down(&Plain(TURFS[0]), flight, &frame, &luck, &mut track) {
                Ok(grounded) => grounded,
                Err(fallen) => Grounded {
                    landed: fallen.landed,
                    luck,
                    goes: Goes::Rests(fallen),
                },
            }
        })
        .collect();
    TURFS.map(|turf| {
        let mut balls = landed.clone();
        run_out_together(&Plain(turf), firmness, &mut balls);
        balls
    })
}

/// Adds the parts of a flight below `trees_m`, in points.
fn low_points(flight: FlightView<'_>, trees_m: f32, out: &mut Template) {
    // Of every point of a part how far the flight has come over the ground, m.
    let mut ways = Vec::new();
    let mut way = 0.0_f32;
    for pair in flight.knots.windows(2) {
        let (a, b) = (pair[0].position_m, pair[1].position_m);
        let length = ((b[0] - a[0]).powi(2) + (b[1] - a[1]).powi(2)).sqrt();
        let pieces = (length / LOW_STEP_M).ceil().max(1.0);
        for piece in 0..pieces as usize {
            let share = (piece as f32 + 0.5) / pieces;
            let at: [f32; 3] = std::array::from_fn(|i| a[i] + share * (b[i] - a[i]));
            if at[2] > trees_m {
                close(out, &mut ways);
            } else if at[2] > -0.5 {
                ways.push(way + share * length);
                out.lows.push(Low { at, per_m: 0.0 });
                out.thick.push(Thick::of(length / pieces));
            }
        }
        way += length;
    }
    close(out, &mut ways);
}

/// Makes a part of the last points, where there are any.
fn close(out: &mut Template, ways: &mut Vec<f32>) {
    let from = out.lows.len() - ways.len();
    let points = from as u32..out.lows.len() as u32;
    let lows = &mut out.lows[from..];
    if lows.is_empty() {
        return;
    }
    let mut widest = 1.0e-3_f32;
    for index in (0..lows.len() - 1).rev() {
        widest = widest.max(ways[index + 1] - ways[index]);
        lows[index].per_m = 1.0 / widest;
    }
    ways.clear();
    let off = |low: &Low| low.at[0].hypot(low.at[1]);
    let bearings = lows
        .iter()
        .map(|low| low.at[0].atan2(low.at[1]).to_degrees() / SECTOR_DEG);
    let [low, high] = bearings.fold([f32::INFINITY, f32::NEG_INFINITY], |[low, high], at| {
        [low.min(at), high.max(at)]
    });
    let mut part = Part {
        points,
        sectors: [low, high],
        first_m: off(&lows[0]),
        furthest_m: lows.iter().map(off).fold(0.0, f32::max),
    };
    if high - low > MOST_SECTORS {
        part.sectors = [0.0; 2];
        (part.first_m, part.furthest_m) = (f32::INFINITY, f32::INFINITY);
    }
    out.parts.push(part);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// So many points as may be passed are no further along the way than is clear, and
    /// a part knows where its points are.
    #[test]
    fn points_that_may_be_passed_lie_within_what_is_clear() {
        let ways = [3.0, 9.0, 14.0, 15.0, 22.5, 29.0];
        let mut out = Template::default();
        for way in ways {
            let at = [0.1 * way, way, 1.0];
            out.lows.push(Low { at, per_m: 0.0 });
        }
        let mut left = ways[1..].to_vec();
        close(&mut out, &mut left);
        assert!(left.is_empty());
        let part = &out.parts[0];
        assert_eq!(part.points, 1..6);
        assert!((part.first_m - 9.0 * 1.01_f32.sqrt()).abs() < 1.0e-4);
        assert!((part.furthest_m - 29.0 * 1.01_f32.sqrt()).abs() < 1.0e-4);
        let bearing = 0.1_f32.atan().to_degrees() / SECTOR_DEG;
        assert!(part.sectors.iter().all(|s| (s - bearing).abs() < 1.0e-4));
        for clear_m in 0..40 {
            for index in 1..6 {
                let passed = (clear_m as f32 * out.lows[index].per_m) as usize;
                let gone_m = ways[(index + passed).min(5)] - ways[index];
                assert!(gone_m <= clear_m as f32 * 1.000_01);
            }
        }
    }
}
