//! The corridor along the ball's track in which hazards matter.

use geo::Coord;

use super::scene::{Place, Track, distance_m};
use crate::outcome::Rest;

/// A point, and where it lies by the track.
pub type Placed = (Coord<f64>, Place);

/// How far past the longest ball hazards are looked for.
const PAST_LONGEST: f64 = 1.15;
/// The corridor is never narrower than this on either side, m.
const LEAST_M: f64 = 5.0;
/// The track, and how far either side of it balls finish.
pub struct Corridor {
    /// The ball's track over the ground.
    pub track: Track,
    total_m: f64,
    left_m: f64,
    right_m: f64,
    /// How far hazards are looked for, m.
    pub limit_m: f64,
}

impl Corridor {
    pub fn of(peg: Coord<f64>, flight: &[Coord<f64>], rests: &[Rest]) -> Self {
        // At most 17 points of the flight: it is smooth, and hazards are many.
        let step = flight.len().div_ceil(16).max(1);
        let mut line = vec![peg];
        line.extend(
            flight
                .iter()
                .copied()
                .step_by(step)
                .filter(|p| distance_m(peg, *p) > 1.0),
        );
        if let Some(last) = flight.last() {
            line.push(*last);
        }
        let track = Track::new(&line);
        let places: Vec<Place> = rests.iter().map(|r| track.place(r.at)).collect();
        let mut sides: Vec<f64> = places.iter().map(|p| p.right_m).collect();
        sides.sort_by(f64::total_cmp);
        let quantile = |q: f64| {
            #[allow(
                clippy::cast_precision_loss,
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss
            )]
            let rank = ((sides.len().saturating_sub(1)) as f64 * q).round() as usize;
            sides.get(rank).copied().unwrap_or(0.0)
        };
        let longest = places
            .iter()
            .map(|p| p.along_m)
            .fold(track.length_m(), f64::max);
        Self {
            total_m: track.length_m(),
            left_m: -quantile(0.05),
            right_m: quantile(0.95),
            limit_m: PAST_LONGEST * longest,
            track,
        }
    }

    /// Left and right of a band at a distance, right positive, m.
    fn sides(&self, along_m: f64, band: Band) -> [f64; 2] {
        let margin_m = match band {
            Band::Corridor { margin_m } => margin_m,
            Band::Beside(wide_m) => return [-wide_m, wide_m],
        };
        let part = (along_m / self.total_m).clamp(0.0, 1.0);
        [
            -(self.left_m * part).max(LEAST_M) - margin_m * part,
            (self.right_m * part).max(LEAST_M) + margin_m * part,
        ]
    }

    /// Every metre along the track, to the limit.
    pub fn steps(&self) -> impl Iterator<Item = f64> + use<> {
        let limit_m = self.limit_m.clamp(0.0, 2_000.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let count = limit_m as u32;
        (0..=count).map(f64::from).chain([limit_m])
    }

    /// Room to the four bounds of a band; negative outside one.
    fn room(&self, side: Sides, band: Band, p: Place) -> [f64; 4] {
        let [left, right] = self.sides(p.along_m, band);
        let left = if side == Sides::Right {
            left.max(0.0)
        } else {
            left
        };
        let right = if side == Sides::Left {
            right.min(0.0)
        } else {
            right
        };
        [
            p.along_m,
            self.limit_m - p.along_m,
            p.right_m - left,
            right - p.right_m,
        ]
    }

    /// False where a short edge lies wholly outside one bound.
    pub fn meets(&self, from: Place, to: Place, band: Band) -> bool {
        let (a, b) = (
            self.room(Sides::Both, band, from),
            self.room(Sides::Both, band, to),
        );
        a.into_iter().zip(b).all(|(a, b)| a >= 0.0 || b >= 0.0)
    }

    /// Adds the stretch of a short edge that lies in the corridor. Every bound
    /// is taken as linear between the two ends.
    pub fn clip(&self, side: Sides, band: Band, [from, to]: [Placed; 2], part: &mut Option<Part>) {
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        let rooms = self.room(side, band, from.1).into_iter();
        for (a, b) in rooms.zip(self.room(side, band, to.1)) {
            if a < 0.0 && b < 0.0 {
                return;
            }
            if a < 0.0 {
                low = low.max(a / (a - b));
            } else if b < 0.0 {
                high = high.min(a / (a - b));
            }
        }
        if low > high {
            return;
        }
        for t in [low, high] {
            let mix = |a: f64, b: f64| a + (b - a) * t;
            let at = Coord {
                x: mix(from.0.x, to.0.x),
                y: mix(from.0.y, to.0.y),
            };
            let place = Place {
                along_m: mix(from.1.along_m, to.1.along_m),
                right_m: mix(from.1.right_m, to.1.right_m),
            };
            Part::add(part, at, place);
        }
    }
}

/// How far either side of the track is looked.
#[derive(Clone, Copy)]
pub enum Band {
    /// The corridor and so much more where balls end, narrowing towards the peg, m.
    Corridor {
        /// Beyond the corridor.
        margin_m: f64,
    },
    /// So far all along, m.
    Beside(f64),
}

/// The part of a hazard that lies in a band.
#[derive(Clone, Copy)]
pub struct Part {
    /// How far its near edge is, m, and where.
    pub near: (f64, Coord<f64>),
    /// How far its far edge is, m, and where.
    pub far: (f64, Coord<f64>),
    /// Nearest distance right of the track, m.
    pub offset_m: f64,
}

impl Part {
    /// Takes another stretch of the same hazard in.
    pub fn join(&mut self, other: &Self) {
        if other.near.0 < self.near.0 {
            self.near = other.near;
        }
        if other.far.0 > self.far.0 {
            self.far = other.far;
        }
    }

    pub fn add(part: &mut Option<Self>, at: Coord<f64>, place: Place) {
        let p = part.get_or_insert(Self {
            near: (place.along_m, at),
            far: (place.along_m, at),
            offset_m: place.right_m,
        });
        if place.along_m < p.near.0 {
            p.near = (place.along_m, at);
        }
        if place.along_m > p.far.0 {
            p.far = (place.along_m, at);
        }
        if place.right_m.abs() < p.offset_m.abs() {
            p.offset_m = place.right_m;
        }
    }
}

/// Which sides of the track a part may lie on.
#[derive(Clone, Copy, PartialEq)]
pub enum Sides {
    Both,
    Left,
    Right,
}

impl Sides {
    /// True for what lies on this side of the track.
    pub fn has(self, right_m: f64) -> bool {
        match self {
            Self::Both => true,
            Self::Left => right_m <= 0.0,
            Self::Right => right_m >= 0.0,
        }
    }

    /// True for a ball in thing `i` on this side.
    pub fn takes(self, owner: Option<(usize, bool)>, i: usize) -> bool {
        owner.is_some_and(|(thing, left)| {
            thing == i
                && match self {
                    Self::Both => true,
                    Self::Left => left,
                    Self::Right => !left,
                }
        })
    }
}
