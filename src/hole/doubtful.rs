//! Ground heights that can be read and cannot well be so: below any land, a spike, a place with
//! steps all around, noise, a missing value written as 0, a cliff, feet among metres. Of the third coordinates of a map and of a raster's
//! cells alike.

use std::collections::{HashMap, HashSet};

use geo::Coord;
use spade::{DelaunayTriangulation, HasPosition, Point2, Triangulation};

use super::geojson::Feature;
use super::positions::{LonLatHeight, shown};
use super::raster::Grid;
use crate::diagnostic::{Note, Place, Problem, Question, Topic};
use crate::units::FOOT_M;

/// Land lies between these, m: the shore of the Dead Sea at −430 m, and above 6000 m nobody lives.
const LAND_M: [f64; 2] = [-430.0, 6000.0];
/// A height further than this from all around it, and by more than the ground rises at 45°, is a
/// spike, m.
const SPIKE_M: f64 = 15.0;
/// A step between neighbours higher than this, and than the ground rises at 45°, is a cliff that no
/// hole is played over, m.
const CLIFF_M: f64 = 100.0;
/// A step higher than this and steeper than [`STEEPEST`] is no bank that grass grows on, m.
const STEP_M: f64 = 15.0;
/// The tangent of 60°.
const STEEPEST: f64 = 1.732;
/// Two positions nearer to each other than this are one place, m.
const SAME_PLACE_M: f64 = 0.05;
/// Most cells of a raised or sunken place that is asked about; a larger one is a hill or a quarry.
const MOST_CELLS_OF_PLACE: usize = 2500;
/// Most cells that are looked at for such places.
const MOST_CELLS_LOOKED_AT: usize = 500_000;
/// Ground bends less from cell to cell than this at half of the places, m, and than half a cell.
const ROUGH_M: f64 = 2.0;
const ROUGH_SHARE: f64 = 0.5;
/// So many bends of a raster are measured.
const MOST_BENDS: usize = 100_000;
/// Heights further apart than this say nothing of one another, m.
const NEIGHBOURS_M: f64 = 200.0;
/// Zeros are missing values where all others are further than this from 0, m.
const OFF_ZERO_M: f64 = 15.0;
/// Two features this near have much the same height, m.
const BESIDE_M: f64 = 60.0;
/// How near a ratio is to that of metre and foot to be taken for it, as a share.
const FOOT_SHARE: f64 = 0.04;
/// Most heights that are compared with one another; of more, every n-th is.
const MOST_COMPARED: usize = 20_000;
/// So many heights of each feature are compared with those beside it.
const OF_EACH: usize = 8;

/// A position with a height.
pub(super) struct Spot {
    /// On the hole's plane.
    pub at: Coord<f64>,
    pub height_m: f64,
    /// As read.
    pub position: LonLatHeight,
    /// Index of the feature.
    pub feature: usize,
}

struct Corner<'a>(&'a Spot);

impl HasPosition for Corner<'_> {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        Point2::new(self.0.at.x, self.0.at.y)
    }
}

fn is_land(height_m: f64) -> bool {
    (LAND_M[0]..=LAND_M[1]).contains(&height_m)
}

/// Whether a height differs from one so far off by more than ground does.
fn is_off(by_m: f64, distance_m: f64, least_m: f64) -> bool {
    by_m.abs() > least_m + distance_m
}

/// Whether a step is higher and steeper than a bank is.
fn is_step(by_m: f64, distance_m: f64) -> bool {
    by_m.abs() > STEP_M && by_m.abs() > STEEPEST * distance_m
}

fn first_note(file: &str, place: &Place, text: String) -> Note {
    Note {
        file: file.to_owned(),
        place: place.clone(),
        text,
        topic: Some(Topic::GroundHeights),
    }
}

fn is_foot(ratio: f64) -> bool {
    (ratio * FOOT_M - 1.0).abs() < FOOT_SHARE
}

fn question(file: &str, place: &Place, words: [String; 3]) -> Question {
    let [expected, found, remedy] = words;
    Question {
        topic: Topic::GroundHeights,
        problem: Problem {
            file: file.to_owned(),
            place: place.clone(),
            expected,
            found,
            remedy,
        },
    }
}

/// A height to the decimetre.
fn metres(height_m: f64) -> String {
    shown((height_m * 10.0).round() / 10.0)
}

fn land_words() -> String {
    format!(
        "ground between {} m, the lowest land, and {} m",
        LAND_M[0], LAND_M[1]
    )
}

/// " (and 2 more)".
fn more(count: usize) -> String {
    match count {
        0 | 1 => String::new(),
        _ => format!(" (and {} more)", count - 1),
    }
}

/// Questions about the third coordinates of a map, and a first note.
pub(super) fn of_map(
    file: &str,
    features: &[Feature],
    spots: &[Spot],
) -> (Vec<Question>, Vec<Note>) {
    let mut questions = Vec::new();
    let mut notes = Vec::new();
    let mut ask = |spot: &Spot, expected: String, found: String, remedy: &str| {
        let place = &features[spot.feature].place;
        questions.push(question(file, place, [expected, found, remedy.to_owned()]));
    };
    let whole = |spot: &Spot| {
        format!(
            "a height of {} m at {}, {}",
            metres(spot.height_m),
            shown(spot.position.lon),
            shown(spot.position.lat)
        )
    };
    let (mut left, off): (Vec<&Spot>, Vec<&Spot>) =
        spots.iter().partition(|spot| is_land(spot.height_m));
    if let Some(first) = off.first() {
        let found = format!("{}{}", whole(first), more(off.len()));
        ask(
            first,
            land_words(),
            found,
            "correct the third number of the position, or leave it out",
        );
    }
    let (zeros, others): (Vec<&Spot>, Vec<&Spot>) =
        left.iter().partition(|spot| spot.height_m == 0.0);
    let (low, high) = bounds(others.iter().map(|spot| spot.height_m));
    if let (Some(first), true) = (zeros.first(), is_gap(zeros.len(), others.len(), low, high)) {
        let found = format!(
            "{}{}, where the others lie between {low:.1} and {high:.1} m",
            whole(first),
            more(zeros.len())
        );
        ask(
            first,
            "a height of the ground at each position, or none".into(),
            found,
            "a missing height was written as 0: leave it out",
        );
        left = others;
    }
    let step = left.len().div_ceil(MOST_COMPARED).max(1);
    let mut left: Vec<&Spot> = left.into_iter().step_by(step).collect();
    let in_feet = in_feet(&left);
    if let Some((spot, beside)) = in_feet.first() {
        let found = format!(
            "{}, {:.2} times the {} m of {} beside it{}",
            whole(spot),
            spot.height_m / beside.height_m,
            metres(beside.height_m),
            features[beside.feature].place,
            match in_feet.len() {
                1 => String::new(),
                n => format!("; and so in {} more features", n - 1),
            }
        );
        ask(
            spot,
            "heights in metres in every feature".into(),
            found,
            "these are feet: multiply them by 0.3048",
        );
        let of_feet: HashSet<usize> = in_feet.iter().map(|(each, _)| each.feature).collect();
        left.retain(|spot| !of_feet.contains(&spot.feature));
    }
    let Unlike {
        spikes,
        cliff,
        twice,
        place,
        step,
    } = unlike_neighbours(&left);
    if let Some((spot, other)) = twice {
        let found = format!(
            "{}, and {} m at the same place ({})",
            whole(spot),
            metres(other.height_m),
            features[other.feature].place
        );
        ask(
            spot,
            "one height of the ground at each place".into(),
            found,
            "correct the third number of one of the two, or leave it out",
        );
    } else if let Some((spot, other, count)) = place {
        let found = format!(
            "{}{}, and {} m {:.1} m away ({}), with such a step all around",
            whole(spot),
            more(count),
            metres(other.height_m),
            apart_m(spot, other),
            features[other.feature].place
        );
        ask(
            spot,
            "ground that goes on from one position to the next".into(),
            found,
            "correct the third numbers of these positions, or leave them out",
        );
    } else if let (Some((spot, other)), None) = (step, cliff) {
        notes.push(first_note(
            file,
            &features[spot.feature].place,
            format!(
                "{}, and {} m {:.1} m away ({}): the ground is planned with a wall there; look at the two \
                 heights",
                whole(spot),
                metres(other.height_m),
                apart_m(spot, other),
                features[other.feature].place
            ),
        ));
    }
    if let Some((spot, low, high)) = spikes.first() {
        let found = format!(
            "{}, where those around it have {low:.1} to {high:.1} m{}",
            whole(spot),
            more(spikes.len())
        );
        ask(
            spot,
            "ground that goes on from one position to the next".into(),
            found,
            "correct the third number of the position, or leave it out",
        );
    }
    if let Some((spot, other)) = cliff {
        let found = format!(
            "{}, and {} m {:.0} m away ({})",
            whole(spot),
            metres(other.height_m),
            apart_m(spot, other),
            features[other.feature].place
        );
        ask(
            spot,
            format!("no cliff of more than {CLIFF_M} m on a hole"),
            found,
            "correct the heights of one of the two",
        );
    }
    (questions, notes)
}

fn bounds(heights: impl Iterator<Item = f64>) -> (f64, f64) {
    heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), h| {
        (low.min(h), high.max(h))
    })
}

/// Whether so many zeros are missing values, beside so many others between these bounds.
fn is_gap(zeros: usize, others: usize, low: f64, high: f64) -> bool {
    zeros > 0 && others >= 3 && zeros < others && (low > OFF_ZERO_M || high < -OFF_ZERO_M)
}

fn apart_m(one: &Spot, other: &Spot) -> f64 {
    (one.at.x - other.at.x).hypot(one.at.y - other.at.y)
}

/// Of each feature in feet among others in metres, a position and the one beside it.
fn in_feet<'a>(spots: &[&'a Spot]) -> Vec<(&'a Spot, &'a Spot)> {
    let mut of_feature: Vec<(usize, Vec<&Spot>)> = Vec::new();
    for spot in spots {
        match of_feature.last_mut() {
            Some((feature, list)) if *feature == spot.feature => list.push(spot),
            _ => of_feature.push((spot.feature, vec![spot])),
        }
    }
    let index = Nearby::of(spots);
    let mut found = Vec::new();
    for (feature, own) in &of_feature {
        let every = own.len().div_ceil(OF_EACH);
        let pairs: Vec<(&Spot, &Spot)> = own
            .iter()
            .step_by(every)
            .filter_map(|spot| {
                let nearest = index.beside(spot, *feature)?;
                Some((*spot, nearest))
            })
            .collect();
        let like_feet = |(spot, beside): &(&Spot, &Spot)| {
            let by_m = spot.height_m - beside.height_m;
            is_foot(spot.height_m / beside.height_m) && is_off(by_m, apart_m(spot, beside), SPIKE_M)
        };
        if let (Some(first), true) = (pairs.first(), pairs.iter().all(like_feet)) {
            found.push(*first);
        }
    }
    found
}

/// Heights filed by squares, to find the nearest.
struct Nearby<'a> {
    squares: HashMap<[i64; 2], Vec<&'a Spot>>,
}

/// Side of the squares, m.
const SQUARE_M: f64 = 10.0;

#[allow(clippy::cast_possible_truncation)] // a cast saturates, and so far off nothing is near
fn square(at: Coord<f64>) -> [i64; 2] {
    [at.x, at.y].map(|along| (along / SQUARE_M).floor() as i64)
}

impl<'a> Nearby<'a> {
    fn of(spots: &[&'a Spot]) -> Self {
        let mut squares: HashMap<[i64; 2], Vec<&Spot>> = HashMap::new();
        for &spot in spots {
            squares.entry(square(spot.at)).or_default().push(spot);
        }
        Self { squares }
    }

    /// The nearest height of another feature, within [`BESIDE_M`].
    fn beside(&self, spot: &Spot, feature: usize) -> Option<&'a Spot> {
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
struct Unlike<'a> {
    /// Far above, or far below, all around, with the bounds of those.
    spikes: Vec<(&'a Spot, f64, f64)>,
    /// The highest cliff among the others.
    cliff: Option<(&'a Spot, &'a Spot)>,
    /// Two heights of one place.
    twice: Option<(&'a Spot, &'a Spot)>,
    /// A height of a place with a step all around it, one beside the place, and how many it has.
    place: Option<(&'a Spot, &'a Spot, usize)>,
    /// The highest step.
    step: Option<(&'a Spot, &'a Spot)>,
}

fn by_m(pair: (&Spot, &Spot)) -> f64 {
    (pair.0.height_m - pair.1.height_m).abs()
}

fn keep_higher<'a>(known: &mut Option<(&'a Spot, &'a Spot)>, pair: (&'a Spot, &'a Spot)) {
    if known.is_none_or(|known| by_m(pair) > by_m(known)) {
        *known = Some(pair);
    }
}

/// The groups of numbers below `count` that pairs of them join, by the least of each.
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

fn unlike_neighbours<'a>(spots: &[&'a Spot]) -> Unlike<'a> {
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

/// Questions about the cells of a raster between these columns and rows, and a first note; `cell_m`
/// is the size of a cell in metres.
pub(super) fn of_raster(
    file: &str,
    grid: &Grid,
    cell_m: [f64; 2],
    columns: std::ops::Range<usize>,
    rows: std::ops::Range<usize>,
) -> (Vec<Question>, Vec<Note>) {
    let cells = || {
        rows.clone()
            .flat_map(|row| columns.clone().map(move |column| [column, row]))
    };
    let height = |[column, row]: [usize; 2]| grid.heights_m[row * grid.columns + column];
    let mut questions = Vec::new();
    let mut ask = |[column, row]: [usize; 2], expected: String, found: String, remedy: &str| {
        let place = Place::Pixel {
            column: column + 1,
            row: row + 1,
        };
        let height = metres(height([column, row]));
        let found = format!("a height of {height} m{found}");
        questions.push(question(file, &place, [expected, found, remedy.to_owned()]));
    };
    let known = || cells().filter(|at| !height(*at).is_nan());
    let off = || known().filter(|at| !is_land(height(*at)));
    if let Some(first) = off().next() {
        ask(
            first,
            land_words(),
            more(off().count()),
            "if these cells have no height, name their value in the file (NODATA_value, or the \
             GDAL_NODATA tag of a GeoTIFF)",
        );
    }
    let zeros = known().filter(|at| height(*at) == 0.0).count();
    let others = || known().map(height).filter(|h| *h != 0.0 && is_land(*h));
    let (low, high) = bounds(others());
    let gaps = is_gap(zeros, others().count(), low, high);
    if let (Some(first), true) = (known().find(|at| height(*at) == 0.0), gaps) {
        ask(
            first,
            "a height of the ground in each cell, or none".into(),
            format!(
                "{}, where the others lie between {low:.1} and {high:.1} m",
                more(zeros)
            ),
            "if these cells have no height, name 0 in the file (NODATA_value, or the GDAL_NODATA tag \
             of a GeoTIFF)",
        );
    }
    let sound = |at: [usize; 2]| {
        let height = height(at);
        (is_land(height) && !(gaps && height == 0.0)).then_some(height)
    };
    if let Some((at, bend_m)) = roughness(&sound, cell_m, &columns, &rows) {
        ask(
            at,
            "ground that goes on from one cell to the next".into(),
            format!(
                "; half of the cells lie {bend_m:.0} m or more off the middle of the two beside them"
            ),
            "take another raster: one of the bare ground (a terrain model), without noise",
        );
        return (questions, Vec::new());
    }
    let mut steps: Vec<[usize; 2]> = Vec::new();
    let mut step: Option<([usize; 2], f64)> = None;
    let mut spikes: (usize, Option<[usize; 2]>) = (0, None);
    let mut cliff: Option<([usize; 2], f64)> = None;
    for at in cells() {
        let Some(here) = sound(at) else { continue };
        let (mut count, mut above, mut below) = (0, true, true);
        let mut steepest: f64 = 0.0;
        for (dx, dy) in AROUND {
            let (Some(column), Some(row)) =
                (at[0].checked_add_signed(dx), at[1].checked_add_signed(dy))
            else {
                continue;
            };
            if !(columns.contains(&column) && rows.contains(&row)) {
                continue;
            }
            let Some(there) = sound([column, row]) else {
                continue;
            };
            let distance_m = (dx as f64 * cell_m[0]).hypot(dy as f64 * cell_m[1]);
            let by_m = here - there;
            count += 1;
            above &= by_m > SPIKE_M + distance_m;
            below &= -by_m > SPIKE_M + distance_m;
            if is_step(by_m, distance_m) {
                if steps.last() != Some(&at) && steps.len() < MOST_CELLS_LOOKED_AT {
                    steps.push(at);
                }
                if step.is_none_or(|known| by_m.abs() > known.1) {
                    step = Some((at, by_m.abs()));
                }
            }
            if is_off(by_m, distance_m, CLIFF_M) {
                steepest = steepest.max(by_m.abs());
            }
        }
        if count >= 3 && (above || below) {
            spikes = (spikes.0 + 1, spikes.1.or(Some(at)));
        } else if steepest > cliff.map_or(0.0, |known| known.1) {
            cliff = Some((at, steepest));
        }
    }
    if let Some(first) = spikes.1 {
        ask(
            first,
            "ground that goes on from one cell to the next".into(),
            format!(
                ", more than {SPIKE_M} m off all cells around it{}",
                more(spikes.0)
            ),
            "smooth the raster there, or take another",
        );
    } else if let Some((at, count)) = raised_cells(&sound, cell_m, &columns, &rows, &steps) {
        ask(
            at,
            "ground that goes on from one cell to the next".into(),
            format!(
                "{}, with a step of more than {STEP_M} m all around, steeper than 60°",
                more(count)
            ),
            "smooth the raster there, or take another: one of the bare ground (a terrain model)",
        );
    } else if let Some((at, by_m)) = cliff {
        ask(
            at,
            format!("no cliff of more than {CLIFF_M} m on a hole"),
            format!(", {by_m:.0} m off a cell beside it"),
            "take another raster, or name the value of cells without a height",
        );
    } else if let Some(([column, row], by_m)) = step {
        let place = Place::Pixel {
            column: column + 1,
            row: row + 1,
        };
        let text = format!(
            "a height of {} m, {by_m:.0} m off a cell beside it: the ground is planned with a wall there; look \
             at the heights",
            metres(height([column, row]))
        );
        return (questions, vec![first_note(file, &place, text)]);
    }
    (questions, Vec::new())
}

/// The height of a cell that can be one.
type Sound<'a> = dyn Fn([usize; 2]) -> Option<f64> + 'a;

/// How far half of the cells or more lie off the middle of their two neighbours in the row, m, with
/// the first such cell; none where that is no more than ground bends.
fn roughness(
    sound: &Sound<'_>,
    cell_m: [f64; 2],
    columns: &std::ops::Range<usize>,
    rows: &std::ops::Range<usize>,
) -> Option<([usize; 2], f64)> {
    let width = columns.len().checked_sub(2).filter(|width| *width > 0)?;
    let count = width * rows.len();
    let every = count.div_ceil(MOST_BENDS).max(1);
    let mut bends: Vec<(f64, [usize; 2])> = (0..count)
        .step_by(every)
        .filter_map(|at| {
            let [column, row] = [columns.start + 1 + at % width, rows.start + at / width];
            let [before, here, after] =
                [column - 1, column, column + 1].map(|column| sound([column, row]));
            Some((
                (here? - f64::midpoint(before?, after?)).abs(),
                [column, row],
            ))
        })
        .collect();
    /// Fewer bends say nothing of a raster.
    const LEAST: usize = 50;
    if bends.len() < LEAST {
        return None;
    }
    let first = bends.clone();
    bends.sort_by(|one, other| one.0.total_cmp(&other.0));
    let middle_m = bends[bends.len() / 2].0;
    if middle_m <= ROUGH_M.max(ROUGH_SHARE * cell_m[0]) {
        return None;
    }
    let at = first.iter().find(|bend| bend.0 >= middle_m)?.1;
    Some((at, middle_m))
}

/// The first cell of a place that has steps all around it, and how many cells the place has.
fn raised_cells(
    sound: &Sound<'_>,
    cell_m: [f64; 2],
    columns: &std::ops::Range<usize>,
    rows: &std::ops::Range<usize>,
    steps: &[[usize; 2]],
) -> Option<([usize; 2], usize)> {
    let mut seen: HashSet<[usize; 2]> = HashSet::new();
    for &start in steps {
        if seen.len() > MOST_CELLS_LOOKED_AT {
            break;
        }
        if !seen.insert(start) {
            continue;
        }
        let mut place = vec![start];
        let mut own = HashSet::from([start]);
        let (mut next, mut open) = (0, false);
        while next < place.len() && place.len() <= MOST_CELLS_OF_PLACE {
            let at = place[next];
            next += 1;
            for (dx, dy) in AROUND {
                let inside = at[0]
                    .checked_add_signed(dx)
                    .zip(at[1].checked_add_signed(dy))
                    .filter(|(column, row)| columns.contains(column) && rows.contains(row));
                let heights = inside.map(|(column, row)| (sound(at), sound([column, row])));
                let (Some((column, row)), Some((Some(here), Some(there)))) = (inside, heights)
                else {
                    // The edge of what is looked at, or of the heights.
                    open = true;
                    continue;
                };
                let distance_m = (dx as f64 * cell_m[0]).hypot(dy as f64 * cell_m[1]);
                if is_step(here - there, distance_m) {
                    continue;
                }
                if seen.insert([column, row]) {
                    own.insert([column, row]);
                    place.push([column, row]);
                } else if !own.contains(&[column, row]) {
                    // Of a place that was looked at before and is too large.
                    open = true;
                }
            }
        }
        if !open && place.len() <= MOST_CELLS_OF_PLACE {
            let first = place.iter().min_by_key(|[column, row]| (*row, *column));
            return first.map(|first| (*first, place.len()));
        }
    }
    None
}

/// The eight cells around one.
const AROUND: [(isize, isize); 8] = [
    (-1, -1),
    (0, -1),
    (1, -1),
    (-1, 0),
    (1, 0),
    (-1, 1),
    (0, 1),
    (1, 1),
];

/// A question where a map's heights and a raster's at the same places are as feet and metres.
pub(super) fn map_and_raster(file: &str, pairs: &[(f64, f64)]) -> Option<Question> {
    let mut ratios: Vec<(f64, (f64, f64))> = pairs
        .iter()
        .filter(|(map_m, raster_m)| {
            map_m.signum() == raster_m.signum() && (map_m - raster_m).abs() > SPIKE_M
        })
        .map(|&(map_m, raster_m)| (map_m / raster_m, (map_m, raster_m)))
        .collect();
    if ratios.len() < 3 || ratios.len() * 10 < pairs.len() * 9 {
        return None;
    }
    ratios.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (ratio, (map_m, raster_m)) = ratios[ratios.len() / 2];
    let words = if is_foot(ratio) {
        [
            "map",
            "multiply the third numbers of the map's positions by 0.3048",
        ]
    } else if is_foot(1.0 / ratio) {
        ["raster", "multiply the heights of the raster by 0.3048"]
    } else {
        return None;
    };
    Some(question(
        file,
        &Place::File,
        [
            "heights in metres, near those of the map".into(),
            format!(
                "{raster_m:.1} m where the map has {map_m:.1} m, at half of the places or more"
            ),
            format!("the {} counts in feet: {}", words[0], words[1]),
        ],
    ))
}
