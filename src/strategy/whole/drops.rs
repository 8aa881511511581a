//! Where a ball may be dropped, place by place (Rules 17.1d and 19.2, Model Local
//! Rule E-5). Stroke and distance is decided elsewhere.

use super::explicit::may_drop;
use crate::hole::{Coord, Hole, Surface};
use crate::outcome::is_penalty;
use crate::strategy::rules::{around, back_on_the_line};

/// What relief is taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub(super) enum Relief {
    Yellow,
    Red,
    Unplayable,
    OutOfBounds,
}

/// The nearest fairway that is not nearer to the hole, looked for in rings of
/// 2 m up to 120 m (Model Local Rule E-5: the fairway edge).
fn nearest_fairway(hole: &Hole, from: Coord<f64>, far_m: f64) -> Option<Coord<f64>> {
    for ring in 1..=60 {
        let radius = 2.0 * f64::from(ring);
        let around = 8 + 2 * ring;
        for step in 0..around {
            let angle = std::f64::consts::TAU * f64::from(step) / f64::from(around);
            let at = Coord {
                x: from.x + radius * angle.sin(),
                y: from.y + radius * angle.cos(),
            };
            let to_pin = (at.x - hole.pin.x).hypot(at.y - hole.pin.y);
            if to_pin >= far_m && hole.surface_at(at) == Surface::Fairway {
                return Some(at);
            }
        }
    }
    None
}

/// Where a ball may be dropped.
pub(super) fn places(
    hole: &Hole,
    lateral_m: f64,
    from: Coord<f64>,
    kind: Relief,
) -> Vec<Coord<f64>> {
    let pin = hole.pin;
    let to_pin = |at: Coord<f64>| (at.x - pin.x).hypot(at.y - pin.y);
    let far = to_pin(from);
    let mut places = Vec::new();
    let mut add = |at: Coord<f64>| {
        let surface = hole.surface_at(at);
        // An unplayable ball is not dropped among the trees again.
        let again = kind == Relief::Unplayable && surface == Surface::Trees;
        if may_drop(surface) && !is_penalty(surface) && !again {
            places.push(at);
        }
    };
    if kind == Relief::OutOfBounds {
        if let Some(place) = nearest_fairway(hole, from, far) {
            add(place);
        }
        return places;
    }
    back_on_the_line(from, pin, far).for_each(&mut add);
    if kind != Relief::Yellow {
        around(from, lateral_m)
            .filter(|spot| to_pin(*spot) >= far)
            .for_each(&mut add);
    }
    places
}
