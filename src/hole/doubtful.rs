//! Ground heights that can be read and cannot well be so: below any land, a spike, a missing value
//! written as 0, a cliff, feet among metres. Of the third coordinates of a map and of a raster's
//! cells alike.

use std::collections::HashMap;

use geo::Coord;
use spade::{DelaunayTriangulation, HasPosition, Point2, Triangulation};

use super::geojson::Feature;
use super::positions::{LonLatHeight, shown};
use super::raster::Grid;
use crate::diagnostic::{Place, Problem, Question, Topic};
use crate::units::FOOT_M;

/// Land lies between these, m: the shore of the Dead Sea at −430 m, and above 6000 m nobody lives.
const LAND_M: [f64; 2] = [-430.0, 6000.0];
/// A height further than this from all around it, and by more than the ground rises at 45°, is a
/// spike, m.
const SPIKE_M: f64 = 15.0;
/// A step between neighbours higher than this, and than the ground rises at 45°, is a cliff that no
/// hole is played over, m.
const CLIFF_M: f64 = 100.0;
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

/// Questions about the third coordinates of a map.
pub(super) fn of_map(file: &str, features: &[Feature], spots: &[Spot]) -> Vec<Question> {
    let mut questions = Vec::new();
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
        left.retain(|spot| in_feet.iter().all(|(each, _)| each.feature != spot.feature));
    }
    let (spikes, cliff) = unlike_neighbours(&left);
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
    questions
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
    let mut found = Vec::new();
    for (feature, own) in &of_feature {
        let every = own.len().div_ceil(OF_EACH);
        let pairs: Vec<(&Spot, &Spot)> = own
            .iter()
            .step_by(every)
            .filter_map(|spot| {
                let others = spots.iter().filter(|other| other.feature != *feature);
                let nearest =
                    others.min_by(|a, b| apart_m(spot, a).total_cmp(&apart_m(spot, b)))?;
                (apart_m(spot, nearest) <= BESIDE_M).then_some((*spot, *nearest))
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

type Spikes<'a> = Vec<(&'a Spot, f64, f64)>;

/// The heights that are far above, or far below, all around them, with the bounds of those; and
/// the highest cliff among the others.
fn unlike_neighbours<'a>(spots: &[&'a Spot]) -> (Spikes<'a>, Option<(&'a Spot, &'a Spot)>) {
    let mut cliff: Option<(&Spot, &Spot)> = None;
    let mut higher = |one: &'a Spot, other: &'a Spot| {
        let by_m = |pair: (&Spot, &Spot)| (pair.0.height_m - pair.1.height_m).abs();
        if is_off(by_m((one, other)), apart_m(one, other), CLIFF_M)
            && cliff.is_none_or(|known| by_m((one, other)) > by_m(known))
        {
            cliff = Some((one, other));
        }
    };
    let mut triangles: DelaunayTriangulation<Corner<'_>> = DelaunayTriangulation::new();
    let mut first_at: HashMap<[u64; 2], &Spot> = HashMap::new();
    for &spot in spots {
        match first_at.entry([spot.at.x.to_bits(), spot.at.y.to_bits()]) {
            std::collections::hash_map::Entry::Occupied(known) => higher(known.get(), spot),
            std::collections::hash_map::Entry::Vacant(free) => {
                free.insert(spot);
                // A position that cannot be held (not finite) has no neighbours.
                let _ = triangles.insert(Corner(spot));
            }
        }
    }
    let mut spikes = Vec::new();
    let mut others = Vec::new();
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
        } else {
            others.push((spot, near));
        }
    }
    let is_spike = |spot: &Spot| spikes.iter().any(|each| std::ptr::eq(each.0, spot));
    for (spot, near) in &others {
        for other in near.iter().filter(|other| !is_spike(other)) {
            higher(spot, other);
        }
    }
    (spikes, cliff)
}

/// Questions about the cells of a raster between these columns and rows; `cell_m` is the size of a
/// cell in metres.
pub(super) fn of_raster(
    file: &str,
    grid: &Grid,
    cell_m: [f64; 2],
    columns: std::ops::Range<usize>,
    rows: std::ops::Range<usize>,
) -> Vec<Question> {
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
    } else if let Some((at, by_m)) = cliff {
        ask(
            at,
            format!("no cliff of more than {CLIFF_M} m on a hole"),
            format!(", {by_m:.0} m off a cell beside it"),
            "take another raster, or name the value of cells without a height",
        );
    }
    questions
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
