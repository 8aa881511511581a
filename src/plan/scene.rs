//! The part of a hole that the measurements and the words need.
//!
//! A [`Scene`] borrows a [`Hole`](crate::hole::Hole)'s drawn features and asks
//! four questions of it (ground height, canopy, place on the earth, area on top)
//! through functions, so that each measurement can be checked on a few polygons.

use geo::{Contains, Coord};

use crate::flight::Canopy;
use crate::hole::{Patch, Surface, Target, Tree};

/// A hole as its measurements see it. Lengths are metres on the local plane.
#[derive(Clone)]
pub struct Scene<'a> {
    /// Par.
    pub par: u8,
    /// Line of play, tee first.
    pub line_of_play: &'a [Coord<f64>],
    /// Where the pin stands.
    pub pin: Coord<f64>,
    /// Drawn areas, lowest first in the order of overlap.
    pub patches: &'a [Patch],
    /// Single trees and the trees of rows.
    pub trees: &'a [Tree],
    /// What there is to aim at beside what is drawn.
    pub targets: &'a [Target],
    /// Height of the ground, m.
    pub height_m: &'a dyn Fn(Coord<f64>) -> f64,
    /// Leaves and branches over a point.
    pub canopy: &'a dyn Fn(Coord<f64>) -> Option<Canopy>,
    /// Longitude and latitude of a point, degrees.
    pub to_lon_lat: &'a dyn Fn(Coord<f64>) -> [f64; 2],
    /// The highest patch at a point in the order of overlap, where the hole knows it without
    /// looking at every edge; the outlines are asked otherwise.
    pub on_top: Option<&'a dyn Fn(Coord<f64>) -> Option<usize>>,
    /// Box of every patch.
    pub boxes: Vec<Bounds>,
}

impl<'a> Scene<'a> {
    /// A scene over drawn areas and trees, on flat and bare ground that is
    /// nowhere on earth until the functions are put in their place.
    #[must_use]
    pub fn new(
        par: u8,
        line_of_play: &'a [Coord<f64>],
        pin: Coord<f64>,
        patches: &'a [Patch],
        trees: &'a [Tree],
    ) -> Self {
        Self {
            par,
            line_of_play,
            pin,
            patches,
            trees,
            targets: &[],
            height_m: &|_| 0.0,
            canopy: &|_| None,
            to_lon_lat: &|c| [c.x, c.y],
            on_top: None,
            boxes: patches.iter().map(|p| Bounds::of(&p.outline)).collect(),
        }
    }

    /// The highest patch at a point in the order of overlap: its index.
    #[must_use]
    pub fn patch_at(&self, at: Coord<f64>) -> Option<usize> {
        if let Some(on_top) = self.on_top {
            return on_top(at);
        }
        (0..self.patches.len())
            .rev()
            .find(|i| self.boxes[*i].holds(at) && self.patches[*i].outline.contains(&at))
    }

    /// What is drawn at a point.
    #[must_use]
    pub fn surface_at(&self, at: Coord<f64>) -> Surface {
        self.patch_at(at)
            .map_or(Surface::Rough, |i| self.patches[i].surface)
    }

    /// The line of play as a track: places along it and off it.
    #[must_use]
    pub fn play(&self) -> Track {
        Track::new(self.line_of_play)
    }

    /// Bearing of the line of play as seen from `from`, degrees: towards the
    /// first vertex of the line at least 100 m on and ahead, else towards the pin. (A
    /// forward tee may stand beside the line, so the line's first leg itself
    /// would not do.)
    #[must_use]
    pub fn line_of_play_deg(&self, from: Coord<f64>) -> f64 {
        let play = self.play();
        let here = play.place(from).along_m;
        let next = self
            .line_of_play
            .iter()
            .copied()
            .find(|at| distance_m(from, *at) >= 100.0 && play.place(*at).along_m > here)
            .unwrap_or(self.pin);
        bearing_deg(from, next)
    }
}

/// A box along the axes of the plane.
#[derive(Clone, Copy, Debug)]
pub struct Bounds {
    low: Coord<f64>,
    high: Coord<f64>,
}

impl Bounds {
    /// The box of a polygon.
    #[must_use]
    pub fn of(outline: &geo::Polygon<f64>) -> Self {
        let mut bounds = Self {
            low: Coord {
                x: f64::INFINITY,
                y: f64::INFINITY,
            },
            high: Coord {
                x: f64::NEG_INFINITY,
                y: f64::NEG_INFINITY,
            },
        };
        for c in outline.exterior().coords() {
            bounds.low = Coord {
                x: bounds.low.x.min(c.x),
                y: bounds.low.y.min(c.y),
            };
            bounds.high = Coord {
                x: bounds.high.x.max(c.x),
                y: bounds.high.y.max(c.y),
            };
        }
        bounds
    }

    /// True where the box holds a point.
    #[must_use]
    pub fn holds(&self, at: Coord<f64>) -> bool {
        at.x >= self.low.x && at.x <= self.high.x && at.y >= self.low.y && at.y <= self.high.y
    }
}

/// Distance on the plane, m.
#[must_use]
pub fn distance_m(a: Coord<f64>, b: Coord<f64>) -> f64 {
    (b.x - a.x).hypot(b.y - a.y)
}

/// Bearing from `a` to `b`, degrees in 0 to 360.
#[must_use]
pub fn bearing_deg(a: Coord<f64>, b: Coord<f64>) -> f64 {
    (b.x - a.x).atan2(b.y - a.y).to_degrees().rem_euclid(360.0)
}

/// An angle brought to −180 (excluded) … 180 degrees.
#[must_use]
pub fn turn_deg(angle_deg: f64) -> f64 {
    let turned = angle_deg.rem_euclid(360.0);
    if turned > 180.0 {
        turned - 360.0
    } else {
        turned
    }
}

/// The point `distance_m` from `from` along a bearing.
#[must_use]
pub fn along(from: Coord<f64>, bearing_deg: f64, distance_m: f64) -> Coord<f64> {
    let (sin, cos) = bearing_deg.to_radians().sin_cos();
    Coord {
        x: from.x + distance_m * sin,
        y: from.y + distance_m * cos,
    }
}

/// How far `at` lies ahead of `from` and right of it, seen along a bearing, m.
#[must_use]
pub fn ahead_and_right(from: Coord<f64>, bearing_deg: f64, at: Coord<f64>) -> [f64; 2] {
    let (sin, cos) = bearing_deg.to_radians().sin_cos();
    let (x, y) = (at.x - from.x, at.y - from.y);
    [x * sin + y * cos, x * cos - y * sin]
}

/// A place relative to a track, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Along the track from its start; negative before it.
    pub along_m: f64,
    /// Right of the track.
    pub right_m: f64,
}

/// A polyline with its first and last legs carried on without end.
#[derive(Clone, Debug)]
pub struct Track {
    points: Vec<Coord<f64>>,
    starts_m: Vec<f64>,
    ahead: Vec<[f64; 2]>,
}

impl Track {
    /// A track through points; repeated points are dropped. One point alone
    /// becomes a track due north of it.
    #[must_use]
    pub fn new(line: &[Coord<f64>]) -> Self {
        let mut points: Vec<Coord<f64>> = Vec::with_capacity(line.len());
        for at in line {
            if points
                .last()
                .is_none_or(|last| distance_m(*last, *at) > 1.0e-6)
            {
                points.push(*at);
            }
        }
        if points.is_empty() {
            points.push(Coord { x: 0.0, y: 0.0 });
        }
        if points.len() == 1 {
            points.push(Coord {
                x: points[0].x,
                y: points[0].y + 1.0,
            });
        }
        let mut starts_m = vec![0.0];
        let mut ahead = Vec::with_capacity(points.len());
        for leg in points.windows(2) {
            let length = distance_m(leg[0], leg[1]);
            starts_m.push(starts_m.last().copied().unwrap_or(0.0) + length);
            ahead.push([
                (leg[1].x - leg[0].x) / length,
                (leg[1].y - leg[0].y) / length,
            ]);
        }
        Self {
            points,
            starts_m,
            ahead,
        }
    }

    /// Length, without the carried-on legs, m.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.starts_m.last().copied().unwrap_or(0.0)
    }

    /// The nearest place on the track.
    #[must_use]
    pub fn place(&self, at: Coord<f64>) -> Place {
        let legs = self.points.len() - 1;
        let mut best = (
            f64::INFINITY,
            Place {
                along_m: 0.0,
                right_m: 0.0,
            },
        );
        for leg in 0..legs {
            let length = self.starts_m[leg + 1] - self.starts_m[leg];
            let (x, y) = (at.x - self.points[leg].x, at.y - self.points[leg].y);
            let [east, north] = self.ahead[leg];
            let (ahead, right) = (x * east + y * north, x * north - y * east);
            let low = if leg == 0 { f64::NEG_INFINITY } else { 0.0 };
            let high = if leg + 1 == legs {
                f64::INFINITY
            } else {
                length
            };
            let clamped = ahead.clamp(low, high);
            let away = (ahead - clamped).hypot(right);
            if away < best.0 {
                let right_m = if right < 0.0 { -away } else { away };
                best = (
                    away,
                    Place {
                        along_m: self.starts_m[leg] + clamped,
                        right_m,
                    },
                );
            }
        }
        best.1
    }

    /// The point at a distance along the track, and the bearing there, degrees.
    #[must_use]
    pub fn at(&self, along_m: f64) -> (Coord<f64>, f64) {
        let legs = self.points.len() - 1;
        let leg = (0..legs)
            .find(|leg| along_m < self.starts_m[leg + 1])
            .unwrap_or(legs - 1);
        let bearing = bearing_deg(self.points[leg], self.points[leg + 1]);
        (
            along(self.points[leg], bearing, along_m - self.starts_m[leg]),
            bearing,
        )
    }

    /// Bearing of the chord 10 m either side of a place: smooth round a corner.
    #[must_use]
    pub fn bearing_around_deg(&self, along_m: f64) -> f64 {
        bearing_deg(self.at(along_m - 10.0).0, self.at(along_m + 10.0).0)
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// A rectangle on the plane, for hand geometry.
    pub fn rectangle(surface: Surface, id: &str, east: [f64; 2], north: [f64; 2]) -> Patch {
        Patch {
            surface,
            id: id.into(),
            name: None,
            outline: geo::Rect::new(
                Coord {
                    x: east[0],
                    y: north[0],
                },
                Coord {
                    x: east[1],
                    y: north[1],
                },
            )
            .to_polygon(),
            assumed: false,
        }
    }

    /// The same patch, east and west exchanged.
    pub fn mirrored(patch: &Patch) -> Patch {
        use geo::MapCoords;
        let mut twin = patch.clone();
        twin.outline = patch.outline.map_coords(|c| Coord { x: -c.x, y: c.y });
        twin
    }

    /// A straight hole due north on flat, bare ground.
    pub fn flat<'a>(
        par: u8,
        line_of_play: &'a [Coord<f64>],
        patches: &'a [Patch],
        trees: &'a [Tree],
    ) -> Scene<'a> {
        Scene {
            // About a metre in 1e-5 degrees: enough to tell places apart.
            to_lon_lat: &|c| [c.x * 1.0e-5, c.y * 1.0e-5],
            ..Scene::new(
                par,
                line_of_play,
                line_of_play[line_of_play.len() - 1],
                patches,
                trees,
            )
        }
    }

    #[test]
    fn bearings_and_places() {
        let o = Coord { x: 1.0, y: 2.0 };
        assert!((bearing_deg(o, Coord { x: 2.0, y: 2.0 }) - 90.0).abs() < 1e-12);
        assert!((turn_deg(350.0) + 10.0).abs() < 1e-12);
        let [ahead, right] = ahead_and_right(o, 90.0, Coord { x: 5.0, y: 1.0 });
        assert!((ahead - 4.0).abs() < 1e-12 && (right - 1.0).abs() < 1e-12);
        // A right-angled dogleg to the right: 100 m north, then 50 m east.
        let track = Track::new(&[
            Coord { x: 0.0, y: 0.0 },
            Coord { x: 0.0, y: 100.0 },
            Coord { x: 50.0, y: 100.0 },
        ]);
        assert!((track.length_m() - 150.0).abs() < 1e-12);
        let p = track.place(Coord { x: 70.0, y: 103.0 });
        assert!((p.along_m - 170.0).abs() < 1e-9 && (p.right_m + 3.0).abs() < 1e-9);
        let p = track.place(Coord { x: 4.0, y: -5.0 });
        assert!((p.along_m + 5.0).abs() < 1e-9 && (p.right_m - 4.0).abs() < 1e-9);
        let (at, bearing) = track.at(120.0);
        assert!((at.x - 20.0).abs() < 1e-9 && (bearing - 90.0).abs() < 1e-9);
        assert!((track.bearing_around_deg(100.0) - 45.0).abs() < 1e-9);
    }
}
