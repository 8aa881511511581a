//! Width of the hole's own fairway, square to the line of play.

use geo::{Contains, Coord, Distance, Euclidean, LineString};

use super::scene::{Bounds, Scene, ahead_and_right, along, distance_m};
use crate::hole::{Patch, Surface};

/// How far either side of the line of play fairway is looked for, m.
const REACH_M: f64 = 150.0;
/// Fairway further than this from the line of play is not measured, m.
const NEAR_M: f64 = 60.0;
/// A fairway that comes within this of the line of play somewhere is the hole's own, m (practice).
const OWN_M: f64 = 30.0;

/// The fairway cut square to the line of play.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Straight distance from the peg to the line of play here, m.
    pub distance_m: f64,
    /// Bearing of the line of play here, degrees.
    pub bearing_deg: f64,
    /// The point of the line of play that is cut.
    pub origin: Coord<f64>,
    /// Left edge, right of the line of play, m.
    pub left_m: f64,
    /// Right edge, right of the line of play, m.
    pub right_m: f64,
}

impl Section {
    /// Width, m.
    #[must_use]
    pub fn width_m(&self) -> f64 {
        self.right_m - self.left_m
    }

    /// How far a point is right of the middle of the fairway, m, measured
    /// square to the line of play here.
    #[must_use]
    pub fn right_of_centre_m(&self, at: Coord<f64>) -> f64 {
        ahead_and_right(self.origin, self.bearing_deg, at)[1]
            - f64::midpoint(self.left_m, self.right_m)
    }

    /// A point of the cut, `right_m` right of the line of play.
    #[must_use]
    pub fn point(&self, right_m: f64) -> Coord<f64> {
        along(self.origin, self.bearing_deg + 90.0, right_m)
    }
}

/// The point of the line of play at a straight distance from the peg, and the
/// bearing there; none where the line ends sooner.
#[must_use]
pub fn line_at(scene: &Scene<'_>, peg: Coord<f64>, distance: f64) -> Option<(Coord<f64>, f64)> {
    let play = scene.play();
    let mut low = play.place(peg).along_m;
    let end = play.length_m();
    if !distance.is_finite() || distance_m(peg, play.at(low).0) > distance {
        return None;
    }
    // First place beyond the circle, in 1 m steps, then by halving.
    let mut high = low;
    while distance_m(peg, play.at(high).0) < distance {
        if high >= end {
            return None;
        }
        low = high;
        high = (high + 1.0).min(end);
    }
    for _ in 0..50 {
        let middle = f64::midpoint(low, high);
        if distance_m(peg, play.at(middle).0) < distance {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some((play.at(high).0, play.bearing_around_deg(high)))
}

/// Cuts the hole's own fairway, the one nearest to the line of play, at a straight distance from the
/// peg. Sand, water or wood drawn over the fairway is not fairway; of the pieces that it leaves, the
/// one nearest to `ball` is taken. None on a par 3, and where there is no fairway within 60 m of the
/// line of play.
#[must_use]
pub fn section(
    scene: &Scene<'_>,
    peg: Coord<f64>,
    distance: f64,
    ball: Coord<f64>,
) -> Option<Section> {
    if scene.par == 3 {
        return None;
    }
    let (origin, bearing) = line_at(scene, peg, distance)?;
    let ball_right = ahead_and_right(origin, bearing, ball)[1];
    let off = |[left, right]: [f64; 2], at: f64| (left - at).max(at - right).max(0.0);
    let pieces = pieces(scene, origin, bearing);
    // Pieces of one drawn fairway belong together, whatever is drawn over it between them.
    let is_cut = |a: &[f64; 2], b: &[f64; 2]| {
        let between = along(origin, bearing + 90.0, f64::midpoint(a[1], b[0]));
        let drawn = |(patch, bounds): (&Patch, &Bounds)| {
            patch.surface == Surface::Fairway
                && bounds.holds(between)
                && patch.outline.contains(&between)
        };
        scene.patches.iter().zip(&scene.boxes).any(drawn)
    };
    let nearest = |pieces: &[[f64; 2]], at: f64| {
        let nearer = pieces.iter().copied();
        nearer.min_by(|a, b| off(*a, at).total_cmp(&off(*b, at)))
    };
    let own = pieces
        .chunk_by(is_cut)
        .filter_map(|one| Some((off(nearest(one, 0.0)?, 0.0), one)))
        .filter(|(away, _)| *away <= NEAR_M)
        .min_by(|a, b| a.0.total_cmp(&b.0))?
        .1;
    nearest(own, ball_right).map(|[left_m, right_m]| Section {
        distance_m: distance,
        bearing_deg: bearing,
        origin,
        left_m,
        right_m,
    })
}

/// Further off the line of play a ball in rough has left its hole, m (practice:
/// the land of a hole is hardly ever wider than 120 yd).
const OFF_THE_HOLE_M: f64 = 55.0;

/// Where a ball lies that has left its hole, and how far right of the line of play, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Elsewhere {
    /// On another hole's fairway.
    AnotherFairway(f64),
    /// In rough, as the map has it or because it draws nothing.
    Rough(f64),
}

impl Elsewhere {
    /// "on another hole's fairway".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::AnotherFairway(_) => "on another hole's fairway",
            Self::Rough(_) => "far off this hole",
        }
    }
}

/// Whether a ball leaves its hole: none where it lies on the hole's own fairway, or on a hole that has no
/// fairway of its own along its line.
#[must_use]
pub fn elsewhere(scene: &Scene<'_>, ball: Coord<f64>) -> Option<Elsewhere> {
    let right_m = || scene.play().place(ball).right_m;
    let on = scene.patch_at(ball).map(|k| &scene.patches[k]);
    let on = match on {
        Some(patch) if patch.surface != Surface::Rough => patch,
        _ => {
            let right_m = right_m();
            return (right_m.abs() > OFF_THE_HOLE_M).then_some(Elsewhere::Rough(right_m));
        }
    };
    let line: LineString<f64> = scene.line_of_play.iter().copied().collect();
    let is_own = |patch: &Patch| {
        patch.surface == Surface::Fairway && Euclidean.distance(&patch.outline, &line) <= OWN_M
    };
    let is_another =
        on.surface == Surface::Fairway && !is_own(on) && scene.patches.iter().any(is_own);
    is_another.then(|| Elsewhere::AnotherFairway(right_m()))
}

/// Stretches of fairway along the cut, left to right.
fn pieces(scene: &Scene<'_>, origin: Coord<f64>, bearing: f64) -> Vec<[f64; 2]> {
    let mut cuts = vec![-REACH_M, REACH_M];
    for patch in scene.patches {
        let rings = std::iter::once(patch.outline.exterior()).chain(patch.outline.interiors());
        for line in rings.flat_map(geo::LineString::lines) {
            let [a, s] = ahead_and_right(origin, bearing, line.start);
            let [b, t] = ahead_and_right(origin, bearing, line.end);
            if (a < 0.0) != (b < 0.0) {
                let right = s + (t - s) * a / (a - b);
                if right.abs() < REACH_M {
                    cuts.push(right);
                }
            }
        }
    }
    cuts.sort_by(f64::total_cmp);
    let mut stretches: Vec<[f64; 2]> = Vec::new();
    for pair in cuts.windows(2) {
        if pair[1] - pair[0] < 1.0e-9 {
            continue;
        }
        let middle = along(origin, bearing + 90.0, f64::midpoint(pair[0], pair[1]));
        if scene.surface_at(middle) != Surface::Fairway {
            continue;
        }
        match stretches.last_mut() {
            // Pieces drawn edge to edge are one fairway.
            Some(last) if pair[0] - last[1] < 0.5 => last[1] = pair[1],
            _ => stretches.push([pair[0], pair[1]]),
        }
    }
    stretches
}

/// The sections worth writing down: 20 m short of the landing, at it, 20 m
/// beyond, and where balls finish (unless within 5 m of one of those), each
/// with its name.
#[must_use]
pub fn around_landing(
    scene: &Scene<'_>,
    peg: Coord<f64>,
    carry_m: f64,
    total_m: f64,
    [landing, rest]: [Coord<f64>; 2],
) -> Vec<(&'static str, Section)> {
    let mut wanted = vec![
        ("short", carry_m - 20.0),
        ("landing", carry_m),
        ("long", carry_m + 20.0),
    ];
    if wanted.iter().all(|(_, d)| (d - total_m).abs() > 5.0) {
        wanted.push(("finish", total_m));
    }
    wanted.sort_by(|a, b| a.1.total_cmp(&b.1));
    wanted
        .into_iter()
        .filter(|(_, d)| *d > 0.0)
        .filter_map(|(name, d)| {
            let ball = if name == "finish" { rest } else { landing };
            section(scene, peg, d, ball).map(|s| (name, s))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::scene::tests::{flat, rectangle};
    use super::*;

    fn at(x: f64, y: f64) -> Coord<f64> {
        Coord { x, y }
    }

    const STRAIGHT: [Coord<f64>; 2] = [Coord { x: 0.0, y: 0.0 }, Coord { x: 0.0, y: 400.0 }];

    /// Closed form: a fairway from 12 m left to 20 m right is 32 m wide and its
    /// middle is 4 m right of the line.
    #[test]
    fn straight_fairway() {
        let patches = [rectangle(
            Surface::Fairway,
            "f",
            [-12.0, 20.0],
            [100.0, 380.0],
        )];
        let scene = flat(4, &STRAIGHT, &patches, &[]);
        let s = section(&scene, at(0.0, 0.0), 220.0, at(3.0, 220.0)).unwrap();
        assert!((s.width_m() - 32.0).abs() < 1e-9);
        assert!((s.right_of_centre_m(at(9.0, 220.0)) - 5.0).abs() < 1e-9);
        assert!((s.point(s.right_m).x - 20.0).abs() < 1e-9);
        assert!(section(&scene, at(0.0, 0.0), 60.0, at(0.0, 60.0)).is_none());
        assert!(section(&scene, at(0.0, 0.0), 600.0, at(0.0, 600.0)).is_none());
        let par3 = Scene {
            par: 3,
            ..scene.clone()
        };
        assert!(section(&par3, at(0.0, 0.0), 220.0, at(0.0, 220.0)).is_none());
    }

    /// Two pieces drawn edge to edge are one; sand in the middle splits them,
    /// and the side where the ball comes down counts.
    #[test]
    fn fairway_in_pieces() {
        let mut patches = vec![
            rectangle(Surface::Fairway, "a", [-15.0, 0.0], [100.0, 380.0]),
            rectangle(Surface::Fairway, "b", [0.0, 25.0], [100.0, 380.0]),
        ];
        let scene = flat(4, &STRAIGHT, &patches, &[]);
        let s = section(&scene, at(0.0, 0.0), 220.0, at(0.0, 220.0)).unwrap();
        assert!((s.left_m + 15.0).abs() < 1e-9 && (s.right_m - 25.0).abs() < 1e-9);
        patches.push(rectangle(Surface::Bunker, "s", [-2.0, 6.0], [210.0, 230.0]));
        let scene = flat(4, &STRAIGHT, &patches, &[]);
        let s = section(&scene, at(0.0, 0.0), 220.0, at(-5.0, 220.0)).unwrap();
        assert!((s.left_m + 15.0).abs() < 1e-9 && (s.right_m + 2.0).abs() < 1e-9);
        let s = section(&scene, at(0.0, 0.0), 220.0, at(9.0, 220.0)).unwrap();
        assert!((s.left_m - 6.0).abs() < 1e-9 && (s.right_m - 25.0).abs() < 1e-9);
    }

    /// A neighbour's fairway gives neither the width nor the middle, though the ball is on it, and is
    /// reported as another hole's.
    #[test]
    fn a_neighbours_fairway_is_not_the_holes_own() {
        let patches = [
            rectangle(Surface::Fairway, "own", [-15.0, 15.0], [100.0, 380.0]),
            rectangle(Surface::Fairway, "next", [50.0, 90.0], [100.0, 380.0]),
        ];
        let scene = flat(4, &STRAIGHT, &patches, &[]);
        let s = section(&scene, at(0.0, 0.0), 220.0, at(58.0, 212.0)).unwrap();
        assert!((s.left_m + 15.0).abs() < 1e-9 && (s.right_m - 15.0).abs() < 1e-9);
        assert_eq!(elsewhere(&scene, at(5.0, 220.0)), None);
        assert_eq!(elsewhere(&scene, at(30.0, 220.0)), None);
        let Some(Elsewhere::AnotherFairway(right_m)) = elsewhere(&scene, at(58.0, 220.0)) else {
            panic!("another hole's fairway");
        };
        assert!((right_m - 58.0).abs() < 1e-9);
        // Rough belongs to the hole as far as holes are wide.
        assert_eq!(elsewhere(&scene, at(-50.0, 220.0)), None);
        let Some(Elsewhere::Rough(right_m)) = elsewhere(&scene, at(-60.0, 220.0)) else {
            panic!("far off in the rough");
        };
        assert!((right_m + 60.0).abs() < 1e-9);
        // One fairway drawn for both holes is this hole's too; without a fairway along the line,
        // no other is recognised.
        let shared = [rectangle(
            Surface::Fairway,
            "both",
            [-15.0, 90.0],
            [100.0, 380.0],
        )];
        let scene = flat(4, &STRAIGHT, &shared, &[]);
        assert_eq!(elsewhere(&scene, at(58.0, 220.0)), None);
        let scene = flat(4, &STRAIGHT, &patches[1..], &[]);
        assert_eq!(elsewhere(&scene, at(58.0, 220.0)), None);
    }

    /// On a dogleg the cut is square to the leg where the ball lands: after a
    /// right angle, a fairway 30 m wide measured north-south.
    #[test]
    fn dogleg() {
        let line = [at(0.0, 0.0), at(0.0, 200.0), at(200.0, 200.0)];
        let patches = [rectangle(
            Surface::Fairway,
            "f",
            [-15.0, 180.0],
            [190.0, 220.0],
        )];
        let scene = flat(4, &line, &patches, &[]);
        // Straight distance 223.607 m from the peg is 100 m round the corner.
        let s = section(
            &scene,
            at(0.0, 0.0),
            (200.0_f64).hypot(100.0),
            at(100.0, 200.0),
        )
        .unwrap();
        assert!((s.origin.x - 100.0).abs() < 1e-6 && (s.bearing_deg - 90.0).abs() < 1e-6);
        assert!((s.width_m() - 30.0).abs() < 1e-6);
        assert!((s.left_m + 20.0).abs() < 1e-6 && (s.right_m - 10.0).abs() < 1e-6);
    }

    #[test]
    fn named_sections() {
        let patches = [rectangle(
            Surface::Fairway,
            "f",
            [-15.0, 15.0],
            [100.0, 380.0],
        )];
        let scene = flat(4, &STRAIGHT, &patches, &[]);
        let names = |carry, total| -> Vec<&str> {
            around_landing(&scene, at(0.0, 0.0), carry, total, [at(0.0, carry); 2])
                .into_iter()
                .map(|(name, _)| name)
                .collect()
        };
        assert_eq!(names(220.0, 238.0), ["short", "landing", "long"]);
        assert_eq!(names(220.0, 230.0), ["short", "landing", "finish", "long"]);
        // 90 m is short of the fairway.
        assert_eq!(names(110.0, 118.0), ["landing", "finish", "long"]);
    }
}
