//! A line of play where none is drawn: offered where it can be one only, asked for elsewhere.
//!
//! A file with one green and tees that all lie on one straight way to it is a hole: the line runs
//! from the farthest tee to the middle of the green. With several greens, tees in several
//! directions, or a way that no straight hole has, nobody but the user can say.

use super::course::{HoleLine, Map, middle};
use super::geojson::Collector;
use super::line;
use super::plane::Plane;
use super::positions::Shape;
use super::tags::What;
use super::{Coord, Surface};
use crate::diagnostic::Place;

/// A tee farther off the straight way from the farthest tee is on another hole, m.
const ASIDE_M: f64 = 30.0;
/// Lengths a straight line is believed of, m: from a pitch to the longest par 5 played.
const LENGTH_BAND_M: [f64; 2] = [40.0, 600.0];

/// Why no line can be offered.
pub(super) struct Why(String);

/// The one line of play there can be.
///
/// # Errors
/// In words, why there is none or more than one.
pub(super) fn line(map: &Map<'_>, lines: &[HoleLine]) -> Result<HoleLine, Why> {
    let greens: Vec<(usize, [f64; 2])> = of(map, What::Drawn(Surface::Green))
        .flat_map(|at| {
            let areas: Vec<[f64; 2]> = match &map.features[at].shape {
                Shape::Areas(areas) => areas.iter().map(|rings| middle(&rings[0])).collect(),
                Shape::Lines(lines) => lines.iter().map(|ring| middle(ring)).collect(),
                _ => Vec::new(),
            };
            areas.into_iter().map(move |area| (at, area))
        })
        .collect();
    let tees: Vec<[f64; 2]> = of(map, What::Tee)
        .chain(of(map, What::TeeMarker))
        .map(|at| middle(&map.features[at].shape.positions()))
        .collect();
    let why = |text: &str| Err(Why(text.to_owned()));
    if !lines.is_empty() {
        return why("a practice range is not a hole");
    }
    let &[(feature, green)] = &greens[..] else {
        return why(if greens.is_empty() {
            "no green to play to"
        } else {
            "which green is played to cannot be told"
        });
    };
    if tees.is_empty() {
        return why("no tee to play from");
    }
    let plane = Plane::new(green);
    let to = plane.to_plane(green[0], green[1]);
    let on_plane: Vec<Coord<f64>> = tees.iter().map(|t| plane.to_plane(t[0], t[1])).collect();
    let mut from = on_plane[0];
    for &tee in &on_plane[1..] {
        if line::distance_m(tee, to) > line::distance_m(from, to) {
            from = tee;
        }
    }
    let length_m = line::distance_m(from, to);
    if !(LENGTH_BAND_M[0]..=LENGTH_BAND_M[1]).contains(&length_m) {
        return Err(Why(format!(
            "the farthest tee is {length_m:.0} m from the green, which a straight line cannot be trusted with"
        )));
    }
    let way = [from, to];
    if on_plane
        .iter()
        .any(|&tee| line::nearest(&way, tee).1 > ASIDE_M)
    {
        return why("the tees do not lie on one straight way to the green");
    }
    // The same line again, on the plane about its own middle, as drawn lines have it.
    let [lon, lat] = plane.to_lon_lat((from + to) / 2.0);
    let own = Plane::new([lon, lat]);
    let ends = way.map(|end| {
        let [lon, lat] = plane.to_lon_lat(end);
        own.to_plane(lon, lat)
    });
    let reference = map.features[feature].tag("ref").filter(|r| !r.is_empty());
    Ok(HoleLine {
        feature,
        reference: reference.unwrap_or("1").to_owned(),
        has_ref: reference.is_some(),
        is_range: false,
        assumed: true,
        plane: own,
        line: ends.to_vec(),
        par: None,
    })
}

/// Asks for the line of play, saying what the file has and why that does not do.
pub(super) fn ask(out: &mut Collector<'_>, map: &Map<'_>, lines: &[HoleLine], why: &Why) {
    let tees = of(map, What::Tee).count();
    let greens = of(map, What::Drawn(Surface::Green)).count();
    let plural = |n: usize| if n == 1 { "" } else { "s" };
    let found = format!(
        "{} feature{} with {tees} tee{} and {greens} green{}, but no line of play: {}",
        map.features.len(),
        plural(map.features.len()),
        plural(tees),
        plural(greens),
        why.0
    );
    let remedy = if tees == 0 && greens == 0 && lines.is_empty() {
        "draw a LineString from the tee to the middle of the green, tagged golf=hole, ref and par; then the green and a tee"
    } else if tees == 0 {
        "draw the tee (golf=tee), and from it to the green a LineString with golf=hole, ref and par"
    } else if greens == 0 {
        "draw the green (golf=green), and from the tee to it a LineString with golf=hole, ref and par"
    } else {
        "draw a LineString from the tee to the green and tag it golf=hole, ref and par"
    };
    out.add(
        &Place::File,
        "at least one line of play: a LineString with golf=hole",
        found,
        remedy,
    );
}

/// The features that are something, and somewhere.
fn of<'a>(map: &'a Map<'_>, wanted: What) -> impl Iterator<Item = usize> + 'a {
    (0..map.features.len()).filter(move |&at| map.what[at] == wanted && map.boxes[at].is_some())
}
