//! Close to the hole: chips that go in, and putts from off the green.

use crate::hole::{Coord, Hole, Surface};

/// Radius of the hole, m (Rules of Golf: 108 mm across).
const HOLE_RADIUS_M: f64 = 0.054;
/// A ball that would stop further past the hole than this goes too fast to
/// drop: leaving it at 1.6 m/s, the most a hole holds on a line through its
/// middle (Holmes, *Am. J. Phys.* 59 (1991) 129, memory), it rolls 2.6 m at
/// 0.5 m/s²; off the middle less, so about half of that (practice).
const PAST_M: f64 = 1.3;
/// Half the width over which the chance is spread. Balls do not aim to a
/// decimetre: their density does not change over this, and a chance spread
/// evenly has the same mean and less noise.
const SPREAD_M: f64 = 0.5;

/// The chance that a shot from off the green is holed, whose ball would first
/// touch down at `landed` and stop at `at`: the way between is taken as straight.
#[must_use]
pub fn holed_chance(landed: Coord<f64>, at: Coord<f64>, pin: Coord<f64>) -> f64 {
    let way = [at.x - landed.x, at.y - landed.y];
    // Asked for often: `hypot` costs several times as much.
    let length = (way[0] * way[0] + way[1] * way[1]).sqrt();
    if length < 0.2 {
        return 0.0;
    }
    let unit = way.map(|w| w / length);
    let to_pin = [pin.x - landed.x, pin.y - landed.y];
    let along = to_pin[0] * unit[0] + to_pin[1] * unit[1];
    let off = (to_pin[0] * unit[1] - to_pin[1] * unit[0]).abs();
    let past = length - along;
    if off < SPREAD_M && along > 0.0 && (0.0..PAST_M).contains(&past) {
        HOLE_RADIUS_M / SPREAD_M
    } else {
        0.0
    }
}

/// A putt from off the green is tried from this far off it at most, m (practice).
const FRINGE_M: f64 = 6.0;
/// A metre of closely mown ground off the green counts as this many (practice:
/// it rolls slower and less true).
const FRINGE_COUNTS: f64 = 1.8;

/// For a ball on closely mown ground off the green whose way to the pin is
/// mown all along: the length of putt it is worth, m.
#[must_use]
pub fn fringe_putt_m(hole: &Hole, at: Coord<f64>) -> Option<f64> {
    let (dx, dy) = (hole.pin.x - at.x, hole.pin.y - at.y);
    let length = dx.hypot(dy);
    let pieces = (length / 0.5).ceil().clamp(1.0, 200.0);
    let mut off = 0.0;
    for piece in 0..pieces as usize {
        let share = (piece as f64 + 0.5) / pieces;
        let place = Coord {
            x: at.x + dx * share,
            y: at.y + dy * share,
        };
        match hole.surface_at(place) {
            Surface::Green => {}
            Surface::Fairway | Surface::Tee => off += length / pieces,
            _ => return None,
        }
        if off > FRINGE_M {
            return None;
        }
    }
    Some(length + (FRINGE_COUNTS - 1.0) * off)
}
