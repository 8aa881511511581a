//! A ball's way in stages, for those who know some of them already.

use super::ways::Untold;
use super::{Down, Grounded, Run, touch};
use crate::flight::bounce::Motion;
use crate::flight::trajectory::FlightView;
use crate::flight::{Firmness, Footing, Resting, Terrain};

/// How a flight's own frame, right and forward of its aim and up, lies on the plane.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    /// Where the ball is hit from: east, north, up.
    pub peg_m: [f64; 3],
    /// Sine and cosine of the aim's bearing.
    pub turn: [f64; 2],
}

impl Frame {
    /// That of a flight which is turned to the plane already.
    pub fn still(peg_m: [f64; 3]) -> Self {
        Self {
            peg_m,
            turn: [0.0, 1.0],
        }
    }

    /// A place on the plane.
    #[inline]
    pub fn place(&self, p: [f32; 3]) -> [f64; 3] {
        let [right, forward, up] = p.map(f64::from);
        let [sin, cos] = self.turn;
        [
            self.peg_m[0] + right * cos + forward * sin,
            self.peg_m[1] + forward * cos - right * sin,
            self.peg_m[2] + up,
        ]
    }

    /// A vector on the plane.
    #[inline]
    pub fn vector(&self, [right, forward, up]: [f64; 3]) -> [f64; 3] {
        let [sin, cos] = self.turn;
        [right * cos + forward * sin, forward * cos - right * sin, up]
    }
}

/// How a ball meets the ground.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Landing {
    /// East, north, up, m.
    pub at: [f64; 3],
    /// How it moves there.
    pub motion: Motion,
}

/// A ball's luck among trees.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Luck {
    /// A uniform in (0, 1), high is lucky.
    pub(super) tree_luck: f64,
    /// Optical depth that it still lets the ball pass.
    pub(super) depth_left: f64,
}

impl Luck {
    /// As [`come_to_rest`] has it.
    pub fn of(tree_luck: f64) -> Self {
        Self {
            tree_luck,
            depth_left: -(1.0 - tree_luck).ln(),
        }
    }
}

/// Where a flight from the origin meets ground without trees, and the interval and
/// the share of it in which it does.
pub(crate) fn land<T: Terrain>(terrain: &T, flight: FlightView<'_>) -> (Landing, usize, f32) {
    let mut nobody = Untold;
    let mut run = Run::of(terrain, Firmness::default(), &Luck::of(0.5), &mut nobody);
    let frame = Frame::still([0.0; 3]);
    let (interval, share) = match run.down(flight, &frame) {
        Down::Lands(interval, share) => (interval, share),
        Down::Hits(..) => unreachable!("there are no trees"),
    };
    let (at, motion) = touch(flight, interval, share, &frame);
    (Landing { at, motion }, interval, share)
}

/// A flight down to where it lands.
///
/// # Errors
/// Where a tree stops it.
#[inline(always)]
pub(crate) fn come_down<T: Terrain>(
    terrain: &T,
    flight: FlightView<'_>,
    frame: &Frame,
    luck: &Luck,
    track: &mut Vec<[f64; 2]>,
) -> Result<Grounded, Resting> {
    track.clear();
    Run::of(terrain, Firmness::default(), luck, track).come_down(flight, frame)
}

/// How a ball that has done hopping begins to roll.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rolling {
    /// East and north, m.
    pub at: [f64; 2],
    /// m/s.
    pub velocity_m_s: [f64; 2],
    /// What it rolls on.
    pub footing: Footing,
}
