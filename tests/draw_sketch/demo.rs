//! The demo holes as they are read from their files, each with a made-up shot.

use super::Sketch;
use super::generated::{Dice, some_call};
use bendline::hole::plane::Plane;
use bendline::hole::{Hole, read_course};
use bendline::plan::{LonLat, Plan};
use geo::Coord;

/// Every hole of a file in `holes/`, with a made-up plan.
pub fn planned(file: &std::path::Path, dice: &mut Dice) -> Vec<(Plan, Hole)> {
    let bytes = std::fs::read(file).expect("readable");
    let course = read_course(&file.display().to_string(), &bytes, None).expect("a sound file");
    course
        .holes
        .into_iter()
        .map(|hole| (plan(&hole, dice), hole))
        .collect()
}

fn plan(hole: &Hole, dice: &mut Dice) -> Plan {
    let tee = hole.tee(None).expect("a tee");
    // Sketch metres from the middle of the markers, north up.
    let zero = Coord {
        x: (tee.left.x + tee.right.x) / 2.0,
        y: (tee.left.y + tee.right.y) / 2.0,
    };
    let mut way = vec![[0.0, 0.0]];
    way.extend(
        hole.line_of_play
            .iter()
            .skip(1)
            .map(|c| [c.x - zero.x, c.y - zero.y]),
    );
    let mut s = Sketch::new(0.0, false);
    let plane = Plane::new(hole.origin_lon_lat);
    s.plane = Plane::new(plane.to_lon_lat(zero));
    s.origin = hole.origin_lon_lat;
    s.way = hole.line_of_play.clone();
    for patch in &hole.patches {
        let points: Vec<[f64; 2]> = patch
            .outline
            .exterior()
            .0
            .iter()
            .map(|c| [c.x - zero.x, c.y - zero.y])
            .collect();
        s.raw.push((patch.surface, points));
    }
    s.raw.truncate(40);
    let call = some_call(&s, &way, dice);
    let mut plan = s.plan(&call);
    let on_earth = |c: Coord<f64>| {
        let [lon, lat] = plane.to_lon_lat(c);
        LonLat { lon, lat }
    };
    plan.hole.markers = [tee.left, tee.right].map(on_earth);
    plan.hole.pin = on_earth(hole.pin);
    plan.hole.reference.clone_from(&hole.reference);
    plan.hole.name.clone_from(&hole.name);
    plan.hole.par = hole.par;
    plan
}
