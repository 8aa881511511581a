//! Ground heights that are readable and implausible: below any land, a spike, a place with steps all
//! around, noise, a missing value written as 0, a cliff, feet among metres. The third coordinates of
//! a map and the cells of a raster alike.

use std::collections::HashSet;

use geo::Coord;
use spade::{HasPosition, Point2};

mod neighbours;
mod raster;

use neighbours::{Nearby, Unlike, unlike_neighbours};
pub(super) use raster::of_raster;

use super::geojson::Feature;
use super::positions::{LonLatHeight, shown};
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
/// Zeros are missing values where all others are further than this from 0, m.
const OFF_ZERO_M: f64 = 15.0;
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
    let mut check = MapCheck {
        file,
        features,
        questions: Vec::new(),
        notes: Vec::new(),
    };
    let on_land = check.off_land(spots);
    let measured = check.zeros(on_land);
    let step = measured.len().div_ceil(MOST_COMPARED).max(1);
    let compared = measured.into_iter().step_by(step).collect();
    let in_metres = check.feet(compared);
    let unlike = unlike_neighbours(&in_metres);
    check.steps(&unlike);
    check.spikes(&unlike);
    check.cliff(&unlike);
    (check.questions, check.notes)
}

/// The heights of a map while they are looked through. Each step asks its question, and hands on
/// the heights that are plausible so far.
struct MapCheck<'a> {
    file: &'a str,
    features: &'a [Feature],
    questions: Vec<Question>,
    notes: Vec<Note>,
}

impl MapCheck<'_> {
    fn ask(&mut self, spot: &Spot, expected: String, found: String, remedy: &str) {
        let place = &self.features[spot.feature].place;
        let words = [expected, found, remedy.to_owned()];
        self.questions.push(question(self.file, place, words));
    }

    fn place(&self, spot: &Spot) -> &Place {
        &self.features[spot.feature].place
    }

    /// Heights below or above all land; returns those on land.
    fn off_land<'s>(&mut self, spots: &'s [Spot]) -> Vec<&'s Spot> {
        let (on_land, off): (Vec<&Spot>, Vec<&Spot>) =
            spots.iter().partition(|spot| is_land(spot.height_m));
        if let Some(first) = off.first() {
            let found = format!("{}{}", whole(first), more(off.len()));
            self.ask(
                first,
                land_words(),
                found,
                "correct the third number of the position, or leave it out",
            );
        }
        on_land
    }

    /// Zeros that are missing values; returns the other heights then.
    fn zeros<'s>(&mut self, spots: Vec<&'s Spot>) -> Vec<&'s Spot> {
        let (zeros, others): (Vec<&Spot>, Vec<&Spot>) =
            spots.iter().partition(|spot| spot.height_m == 0.0);
        let (low, high) = bounds(others.iter().map(|spot| spot.height_m));
        let (Some(first), true) = (zeros.first(), is_gap(zeros.len(), others.len(), low, high))
        else {
            return spots;
        };
        let found = format!(
            "{}{}, where the others lie between {low:.1} and {high:.1} m",
            whole(first),
            more(zeros.len())
        );
        self.ask(
            first,
            "a height of the ground at each position, or none".into(),
            found,
            "a missing height was written as 0: leave it out",
        );
        others
    }

    /// Features whose heights are in feet; returns the heights of the others.
    fn feet<'s>(&mut self, mut spots: Vec<&'s Spot>) -> Vec<&'s Spot> {
        let in_feet = in_feet(&spots);
        let Some((spot, beside)) = in_feet.first() else {
            return spots;
        };
        let found = format!(
            "{}, {:.2} times the {} m of {} beside it{}",
            whole(spot),
            spot.height_m / beside.height_m,
            metres(beside.height_m),
            self.place(beside),
            match in_feet.len() {
                1 => String::new(),
                n => format!("; and so in {} more features", n - 1),
            }
        );
        self.ask(
            spot,
            "heights in metres in every feature".into(),
            found,
            "these are feet: multiply them by 0.3048",
        );
        let of_feet: HashSet<usize> = in_feet.iter().map(|(each, _)| each.feature).collect();
        spots.retain(|spot| !of_feet.contains(&spot.feature));
        spots
    }

    /// Two heights of one place, or else a place with steps all around, or else, as a note, a step
    /// that is no cliff.
    fn steps(&mut self, unlike: &Unlike<'_>) {
        if let Some((spot, other)) = unlike.twice {
            let found = format!(
                "{}, and {} m at the same place ({})",
                whole(spot),
                metres(other.height_m),
                self.place(other)
            );
            self.ask(
                spot,
                "one height of the ground at each place".into(),
                found,
                "correct the third number of one of the two, or leave it out",
            );
        } else if let Some((spot, other, count)) = unlike.place {
            let found = format!(
                "{}{}, and {} m {:.1} m away ({}), with such a step all around",
                whole(spot),
                more(count),
                metres(other.height_m),
                apart_m(spot, other),
                self.place(other)
            );
            self.ask(
                spot,
                "ground that goes on from one position to the next".into(),
                found,
                "correct the third numbers of these positions, or leave them out",
            );
        } else if let (Some((spot, other)), None) = (unlike.step, unlike.cliff) {
            let text = format!(
                "{}, and {} m {:.1} m away ({}): the ground is planned with a wall there; look at the two \
                 heights",
                whole(spot),
                metres(other.height_m),
                apart_m(spot, other),
                self.place(other)
            );
            let note = first_note(self.file, self.place(spot), text);
            self.notes.push(note);
        }
    }

    fn spikes(&mut self, unlike: &Unlike<'_>) {
        if let Some((spot, low, high)) = unlike.spikes.first() {
            let found = format!(
                "{}, where those around it have {low:.1} to {high:.1} m{}",
                whole(spot),
                more(unlike.spikes.len())
            );
            self.ask(
                spot,
                "ground that goes on from one position to the next".into(),
                found,
                "correct the third number of the position, or leave it out",
            );
        }
    }

    fn cliff(&mut self, unlike: &Unlike<'_>) {
        if let Some((spot, other)) = unlike.cliff {
            let found = format!(
                "{}, and {} m {:.0} m away ({})",
                whole(spot),
                metres(other.height_m),
                apart_m(spot, other),
                self.place(other)
            );
            self.ask(
                spot,
                format!("no cliff of more than {CLIFF_M} m on a hole"),
                found,
                "correct the heights of one of the two",
            );
        }
    }
}

/// A height and its position.
fn whole(spot: &Spot) -> String {
    format!(
        "a height of {} m at {}, {}",
        metres(spot.height_m),
        shown(spot.position.lon),
        shown(spot.position.lat)
    )
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
