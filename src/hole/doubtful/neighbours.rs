//! Neighbouring heights of a map: the nearest of another feature, and those that differ too much.

use std::collections::HashMap;

use geo::Coord;
use spade::{DelaunayTriangulation, Triangulation};

use super::{CLIFF_M, Corner, SPIKE_M, STEP_M, Spot, apart_m, bounds, is_off, is_step};

/// Two positions nearer to each other than this are one place, m.
const SAME_PLACE_M: f64 = 0.05;
/// Heights further apart than this say nothing of one another, m.
const NEIGHBOURS_M: f64 = 200.0;
/// Two features this near have much the same height, m.
const BESIDE_M: f64 = 60.0;

/// Heights filed by squares, to find the nearest.
pub(super) struct Nearby<'a> {
    squares: HashMap<[i64; 2], Vec<&'a Spot>>,
}

/// Side of the squares, m.
const SQUARE_M: f64 = 10.0;

#[allow(clippy::cast_possible_truncation)] // a cast saturates, and so far off nothing is near
fn square(at: Coord<f64>) -> [i64; 2] {
    [at.x, at.y].map(|along| (along / SQUARE_M).floor() as i64)
}

impl<'a> Nearby<'a> {
    pub(super) fn of(spots: &[&'a Spot]) -> Self {
        let mut squares: HashMap<[i64; 2], Vec<&Spot>> = HashMap::new();
        for &spot in spots {
            squares.entry(square(spot.at)).or_default().push(spot);
        }
        Self { squares }
    }

    /// The nearest height of another feature, within [`BESIDE_M`].
    pub(super) fn beside(&self, spot: &Spot, feature: usize) -> Option<&'a Spot> {
        let [column, row] = square(spot.at);
        let mut nearest: Option<(f64, &Spot)> = None;
        // Squares of the next ring are at least this many sides away.
        for ring in 0_i32.. {
            let within_m = SQUARE_M * f64::from(ring - 1);
            if within_m > nearest.map_or(BESIDE_M, |known| known.0) {
                break;
            }
            let ring = i64::from(ring);
            for dx in -ring..=ring {
                let edge = dx.abs() == ring;
                let rows = (-ring..=ring).step_by(if edge || ring == 0 {
                    1
                } else {
                    2 * ring as usize
                });
                for dy in rows {
                    let key = [column.saturating_add(dx), row.saturating_add(dy)];
                    for &other in self.squares.get(&key).into_iter().flatten() {
                        let off_m = apart_m(spot, other);
                        if other.feature != feature && nearest.is_none_or(|known| off_m < known.0) {
                            nearest = Some((off_m, other));
                        }
                    }
                }
            }
        }
        nearest
            .filter(|known| known.0 <= BESIDE_M)
            .map(|known| known.1)
    }
}

/// Heights that are unlike those around them.
pub(super) struct Unlike<'a> {
    /// Above or below all neighbours, with the lowest and highest of these.
    pub(super) spikes: Vec<(&'a Spot, f64, f64)>,
    /// The highest cliff among the others.
    pub(super) cliff: Option<(&'a Spot, &'a Spot)>,
    /// Two heights of one place.
    pub(super) twice: Option<(&'a Spot, &'a Spot)>,
    /// A height of a plateau or pit enclosed by steps, one beside it, and how many heights it has.
    pub(super) place: Option<(&'a Spot, &'a Spot, usize)>,
    /// The highest step.
    pub(super) step: Option<(&'a Spot, &'a Spot)>,
}

pub(super) fn by_m(pair: (&Spot, &Spot)) -> f64 {
    (pair.0.height_m - pair.1.height_m).abs()
}

fn keep_higher<'a>(known: &mut Option<(&'a Spot, &'a Spot)>, pair: (&'a Spot, &'a Spot)) {
    if known.is_none_or(|known| by_m(pair) > by_m(known)) {
        *known = Some(pair);
    }
}

/// Of each number below `count` the smallest that it is joined to by pairs, directly or not.
fn joined(count: usize, pairs: impl Iterator<Item = (usize, usize)>) -> Vec<usize> {
    fn root(of: &mut [usize], mut at: usize) -> usize {
        while of[at] != at {
            of[at] = of[of[at]];
            at = of[at];
        }
        at
    }
    let mut of: Vec<usize> = (0..count).collect();
    for (a, b) in pairs {
        let (a, b) = (root(&mut of, a), root(&mut of, b));
        of[a.max(b)] = a.min(b);
    }
    (0..count).map(|at| root(&mut of, at)).collect()
}

pub(super) fn unlike_neighbours<'a>(spots: &[&'a Spot]) -> Unlike<'a> {
    let (mut cliff, mut twice, mut step) = (None, None, None);
    let mut triangles: DelaunayTriangulation<Corner<'_>> = DelaunayTriangulation::new();
    let mut first_at: HashMap<[u64; 2], &Spot> = HashMap::new();
    for &spot in spots {
        match first_at.entry([spot.at.x.to_bits(), spot.at.y.to_bits()]) {
            std::collections::hash_map::Entry::Occupied(known) => {
                if by_m((known.get(), spot)) > STEP_M {
                    keep_higher(&mut twice, (known.get(), spot));
                }
            }
            std::collections::hash_map::Entry::Vacant(free) => {
                free.insert(spot);
                // A position that cannot be held (not finite) has no neighbours.
                let _ = triangles.insert(Corner(spot));
            }
        }
    }
    let mut spikes = Vec::new();
    let mut is_spike = vec![false; triangles.num_vertices()];
    for vertex in triangles.vertices() {
        let spot = vertex.data().0;
        let near: Vec<&Spot> = vertex
            .out_edges()
            .map(|edge| edge.to().data().0)
            .filter(|other| apart_m(spot, other) <= NEIGHBOURS_M)
            .collect();
        let off = |sign: f64| {
            let is_off = |other: &&Spot| {
                let by_m = sign * (spot.height_m - other.height_m);
                by_m > SPIKE_M + apart_m(spot, other)
            };
            near.iter().all(is_off)
        };
        if near.len() >= 3 && (off(1.0) || off(-1.0)) {
            let (low, high) = bounds(near.iter().map(|other| other.height_m));
            spikes.push((spot, low, high));
            is_spike[vertex.index()] = true;
        }
    }
    let mut steps: Vec<(usize, usize)> = Vec::new();
    let mut level: Vec<(usize, usize)> = Vec::new();
    let mut on_edge = vec![false; triangles.num_vertices()];
    for edge in triangles.undirected_edges() {
        let [one, other] = edge.vertices();
        let (a, b) = (one.index(), other.index());
        if edge.is_part_of_convex_hull() {
            on_edge[a] = true;
            on_edge[b] = true;
        }
        let pair = (one.data().0, other.data().0);
        if is_spike[a] || is_spike[b] {
            continue;
        }
        if apart_m(pair.0, pair.1) <= SAME_PLACE_M && by_m(pair) > STEP_M {
            keep_higher(&mut twice, pair);
        }
        if is_off(by_m(pair), apart_m(pair.0, pair.1), CLIFF_M)
            && apart_m(pair.0, pair.1) <= NEIGHBOURS_M
        {
            keep_higher(&mut cliff, pair);
        }
        if is_step(by_m(pair), apart_m(pair.0, pair.1)) {
            keep_higher(&mut step, pair);
            steps.push((a, b));
        } else {
            level.push((a, b));
        }
    }
    Unlike {
        spikes,
        cliff,
        twice,
        place: raised_place(&triangles, &steps, &level, &on_edge),
        step,
    }
}

/// The height with the highest step of those places that have steps all around, as
/// [`Unlike::place`].
fn raised_place<'a>(
    triangles: &DelaunayTriangulation<Corner<'a>>,
    steps: &[(usize, usize)],
    level: &[(usize, usize)],
    on_edge: &[bool],
) -> Option<(&'a Spot, &'a Spot, usize)> {
    if steps.is_empty() {
        return None;
    }
    let place_of = joined(on_edge.len(), level.iter().copied());
    let mut open = vec![false; on_edge.len()];
    let mut count = vec![0_usize; on_edge.len()];
    for (at, &place) in place_of.iter().enumerate() {
        open[place] |= on_edge[at];
        count[place] += 1;
    }
    let spots: Vec<&Spot> = triangles.vertices().map(|each| each.data().0).collect();
    let both = steps.iter().flat_map(|&(a, b)| [(a, b), (b, a)]);
    both.filter(|&(a, b)| place_of[a] != place_of[b] && !open[place_of[a]])
        .map(|(a, b)| (spots[a], spots[b], count[place_of[a]]))
        .max_by(|one, other| by_m((one.0, one.1)).total_cmp(&by_m((other.0, other.1))))
}
