//! What the eyes on the peg see of the ground and of the crowns, in degrees.

use crate::hole::{Coord, Hole};
use crate::plan::landmark::EYES_M;

/// The picture reaches so far to either side of the aim, degrees.
pub(super) const SIDE_DEG: f64 = 15.0;
/// Directions looked at are so far apart, degrees; beyond the edges by so much.
pub(super) const COLUMN_DEG: f64 = 0.125;
const MARGIN_DEG: f64 = 1.0;
/// Along each, places so far apart, and how many, m.
pub(super) const STEP_M: f64 = 3.0;
pub(super) const STEPS: usize = 150;
/// Nearer than this, ground lies below the picture, m.
pub(super) const NEAR_M: f64 = 6.0;
/// Bands of distance in which crowns are drawn, the farthest first, m.
pub(super) const BANDS_M: [f64; 9] = [450.0, 340.0, 270.0, 220.0, 180.0, 140.0, 100.0, 60.0, 9.0];
/// Crowns of a wood are so wide, m, and their tops differ by this share (practice).
pub(super) const CROWN_M: f64 = 7.0;
const RAGGED: f64 = 0.12;
/// The player's eyes, and what they see of the ground in every direction.
pub(super) struct Eyes<'a> {
    pub(super) hole: &'a Hole,
    peg: Coord<f64>,
    pub(super) height_m: f64,
    aim_deg: f64,
    /// Of every direction the highest ground up to every step, degrees.
    pub(super) ridges: Vec<[f64; STEPS]>,
}

impl<'a> Eyes<'a> {
    pub(super) fn of(hole: &'a Hole, peg: Coord<f64>, aim_deg: f64) -> Self {
        let mut eyes = Self {
            hole,
            peg,
            height_m: hole.ground().height_m(peg.x, peg.y) + EYES_M,
            aim_deg,
            ridges: Vec::new(),
        };
        eyes.ridges = (0..columns())
            .map(|column| {
                let mut highest = -90.0_f64;
                std::array::from_fn(|step| {
                    let at = eyes.at(direction_deg(column), distance_m(step));
                    highest = highest.max(eyes.raw_deg(at, 0.0));
                    highest
                })
            })
            .collect();
        eyes
    }

    /// The place in a direction right of the aim, so far away.
    pub(super) fn at(&self, right_deg: f64, away_m: f64) -> Coord<f64> {
        let (sin, cos) = (self.aim_deg + right_deg).to_radians().sin_cos();
        Coord {
            x: self.peg.x + away_m * sin,
            y: self.peg.y + away_m * cos,
        }
    }

    /// Ahead of the eyes and right of the aim, m.
    pub(super) fn ahead_and_right(&self, at: Coord<f64>) -> [f64; 2] {
        let (sin, cos) = self.aim_deg.to_radians().sin_cos();
        let (x, y) = (at.x - self.peg.x, at.y - self.peg.y);
        [x * sin + y * cos, x * cos - y * sin]
    }

    /// Right of the aim, degrees.
    pub(super) fn right_deg(&self, at: Coord<f64>) -> f64 {
        let [ahead, right] = self.ahead_and_right(at);
        right.atan2(ahead).to_degrees()
    }

    pub(super) fn away_m(&self, at: Coord<f64>) -> f64 {
        (at.x - self.peg.x).hypot(at.y - self.peg.y)
    }

    /// How high above the level of the eyes something on the ground would be seen, were
    /// nothing before it, degrees.
    pub(super) fn raw_deg(&self, at: Coord<f64>, above_m: f64) -> f64 {
        let top_m = self.hole.ground().height_m(at.x, at.y) + above_m;
        (top_m - self.height_m)
            .atan2(self.away_m(at).max(0.1))
            .to_degrees()
    }

    /// The ground that stands before a place, degrees.
    pub(super) fn ridge_deg(&self, at: Coord<f64>) -> f64 {
        let step = ((self.away_m(at) - NEAR_M) / STEP_M).floor() - 1.0;
        let column = (self.right_deg(at) + SIDE_DEG + MARGIN_DEG) / COLUMN_DEG;
        if step < 0.0 || !column.is_finite() {
            return -90.0;
        }
        let column = (column.round().max(0.0) as usize).min(self.ridges.len().saturating_sub(1));
        let ridge = self.ridges.get(column);
        ridge.map_or(-90.0, |ridge| ridge[(step as usize).min(STEPS - 1)])
    }

    /// The same as it is seen: what ground hides lies on the skyline before it.
    pub(super) fn up_deg(&self, at: Coord<f64>, above_m: f64) -> f64 {
        self.raw_deg(at, above_m).max(self.ridge_deg(at))
    }
}

fn columns() -> usize {
    (2.0 * (SIDE_DEG + MARGIN_DEG) / COLUMN_DEG) as usize + 1
}

pub(super) fn direction_deg(column: usize) -> f64 {
    column as f64 * COLUMN_DEG - SIDE_DEG - MARGIN_DEG
}

fn distance_m(step: usize) -> f64 {
    NEAR_M + step as f64 * STEP_M
}

/// Crowns of one band of distance in one direction, degrees up.
#[derive(Clone, Copy)]
pub(super) struct Crown {
    pub(super) top_deg: f64,
    pub(super) base_deg: f64,
    pub(super) away_m: f64,
}

/// The crowns of every band, farthest first, in every direction.
pub(super) fn crowns(eyes: &Eyes<'_>) -> Vec<Vec<Option<Crown>>> {
    let bands = BANDS_M.windows(2).map(|band| {
        let in_band = |step: &usize| (band[1]..band[0]).contains(&distance_m(*step));
        let steps: Vec<usize> = (0..STEPS).filter(in_band).collect();
        let each = (0..columns()).map(|column| {
            let mut crown: Option<Crown> = None;
            for &step in steps.iter().rev() {
                let away_m = distance_m(step);
                let at = eyes.at(direction_deg(column), away_m);
                let Some(leaves) = eyes.hole.canopy_at(at.x, at.y) else {
                    continue;
                };
                let across = direction_deg(column).to_radians() * away_m / CROWN_M;
                let ragged = 1.0 - RAGGED * (1.0 - (std::f64::consts::PI * across).sin().abs());
                let top_deg = eyes.raw_deg(at, leaves.top_m * ragged);
                if top_deg <= eyes.ridge_deg(at) {
                    continue;
                }
                let base_deg = eyes.up_deg(at, 0.0);
                let known = crown.get_or_insert(Crown {
                    top_deg,
                    base_deg,
                    away_m,
                });
                known.top_deg = known.top_deg.max(top_deg);
                (known.base_deg, known.away_m) = (base_deg, away_m);
            }
            crown
        });
        each.collect()
    });
    bands.collect()
}
