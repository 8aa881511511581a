//! The usual balls of a player who goes either way.
//!
//! Where balls bend in two separate groups, the plan's usual ball is that of the commoner one
//! (`strategy::usual`), and here is the median of the sound strikes that bend the other way; where a
//! club goes either way in one group, here are the medians of those that bend left and right. A flight
//! over the ground bends as the plan's usual one does, from its own start line by its own bend: no
//! ball was flown for it.

use geo::Coord;
use serde::Serialize;

use super::scene::{ahead_and_right, along};
use super::{LonLat, TwoWay, round};
use crate::outcome::Rest;
use crate::strategy::usual::Usual;

/// A usual ball beside the plan's own.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OtherWay {
    /// Share of all balls that bend this way.
    pub share: f64,
    /// True bearing of its start, degrees.
    pub start_deg: f64,
    /// How far it bends from its start line until it lands, right positive, m.
    pub curve_m: f64,
    /// Its carry, m.
    pub carry_m: f64,
    /// How far from the peg it comes to rest, m.
    pub total_m: f64,
    /// Its flight over the ground, tee first, and where it comes to rest.
    pub flight: Vec<LonLat>,
    /// How many points of `flight` are in the air.
    pub flight_airborne: usize,
}

/// The usual balls beside the plan's own: of a club whose balls bend in two separate groups that of
/// the rarer; of another club that goes either way those that bend left and right. `flight` is the
/// plan's usual ball over the ground as far as it is in the air, `two_way` what of all balls bends
/// left and right.
pub fn other_ways(
    (peg, aim_deg): (Coord<f64>, f64),
    rests: &[Rest],
    (two_way, is_two_way): (TwoWay, bool),
    flight: &[Coord<f64>],
    lon_lat: &dyn Fn(Coord<f64>) -> LonLat,
) -> Vec<OtherWay> {
    let Some(usual) = Usual::of(peg, aim_deg, rests) else {
        return Vec::new();
    };
    let on_side = |right: bool| -> Vec<Rest> {
        let sound = rests.iter().filter(|rest| rest.is_sound);
        let of_side = sound.filter(|rest| {
            let curve_m = rest.curve_m(peg, aim_deg);
            curve_m != 0.0 && (curve_m > 0.0) == right
        });
        of_side.copied().collect()
    };
    let (left, right) = (on_side(false), on_side(true));
    let told = |side: &[Rest]| {
        let other = Usual::of(peg, aim_deg, side)?;
        // Of all balls, as the words have it.
        let share = if other.curve_m > 0.0 {
            two_way.right
        } else {
            two_way.left
        };
        Some(way(peg, aim_deg, (&usual, &other), share, flight, lon_lat))
    };
    // In two groups the usual ball is that of the commoner one alone.
    let is_group = |side: &[Rest]| Usual::of(peg, aim_deg, side) == Some(usual);
    let sides: &[&Vec<Rest>] = match (left.is_empty() || right.is_empty(), usual.curve_m > 0.0) {
        (true, _) => &[],
        (false, true) if is_group(&right) => &[&left],
        (false, false) if is_group(&left) => &[&right],
        _ if is_two_way => &[&left, &right],
        _ => &[],
    };
    sides.iter().filter_map(|side| told(side)).collect()
}

/// One of them.
fn way(
    peg: Coord<f64>,
    aim_deg: f64,
    (usual, other): (&Usual, &Usual),
    share: f64,
    flight: &[Coord<f64>],
    lon_lat: &dyn Fn(Coord<f64>) -> LonLat,
) -> OtherWay {
    let start_deg = aim_deg + other.start_deg;
    let ahead_m = ahead_and_right(peg, start_deg, other.landing)[0];
    let mut way: Vec<Coord<f64>> = parts(peg, aim_deg + usual.start_deg, flight)
        .into_iter()
        .map(|[ahead, bent]| {
            let straight = along(peg, start_deg, ahead * ahead_m);
            along(straight, start_deg + 90.0, bent * other.curve_m)
        })
        .collect();
    let flight_airborne = way.len();
    way.push(other.rest);
    OtherWay {
        share: round::strokes(share),
        start_deg: round::bearing(start_deg),
        curve_m: round::metres(other.curve_m),
        carry_m: round::metres(other.carry_m),
        total_m: round::metres(other.total_m),
        flight: way.into_iter().map(lon_lat).collect(),
        flight_airborne,
    }
}

/// A flight's points as shares of its length along its start line and of its bend; a bend that grows
/// with the square of the length where there is hardly any to go by.
fn parts(peg: Coord<f64>, start_deg: f64, flight: &[Coord<f64>]) -> Vec<[f64; 2]> {
    let seen: Vec<[f64; 2]> = flight
        .iter()
        .map(|at| ahead_and_right(peg, start_deg, *at))
        .collect();
    let [long_m, bend_m] = seen.last().copied().unwrap_or_default();
    if long_m < 1.0 {
        return (0..=20)
            .map(|k| f64::from(k) / 20.0)
            .map(|ahead| [ahead, ahead * ahead])
            .collect();
    }
    let is_bent = bend_m.abs() > 2.0;
    seen.into_iter()
        .map(|[ahead_m, bent_m]| {
            let ahead = ahead_m / long_m;
            let bent = if is_bent {
                bent_m / bend_m
            } else {
                ahead * ahead
            };
            [ahead, bent]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hole::Surface;

    const PEG: Coord<f64> = Coord { x: 0.0, y: 0.0 };
    const SHARES: TwoWay = TwoWay {
        left: 0.6,
        right: 0.4,
    };

    fn ball(k: usize, curve_m: f64) -> Rest {
        let landed = Coord {
            x: curve_m + 0.1 * (k % 7) as f64,
            y: 200.0 + (k % 11) as f64,
        };
        Rest {
            at: Coord {
                y: landed.y + 10.0,
                ..landed
            },
            surface: Surface::Fairway,
            crossed: None,
            landed,
            start_deg: 0.0,
            is_sound: true,
        }
    }

    fn place(at: Coord<f64>) -> LonLat {
        LonLat {
            lon: at.x,
            lat: at.y,
        }
    }

    /// Six of ten bend 15 m left, four 20 m right: the other ball ends right, and its flight over the
    /// ground leads from the peg to where it lands.
    #[test]
    fn both_groups_have_a_ball() {
        let rests: Vec<Rest> = (0..200)
            .map(|k| ball(k, if k % 10 < 6 { -15.0 } else { 20.0 }))
            .collect();
        let flight: Vec<Coord<f64>> = (0..=10)
            .map(|k| f64::from(k) / 10.0)
            .map(|t| Coord {
                x: -15.0 * t * t,
                y: 200.0 * t,
            })
            .collect();
        let others = other_ways((PEG, 0.0), &rests, (SHARES, false), &flight, &place);
        let [other] = others.as_slice() else {
            panic!("{others:?}");
        };
        assert!((other.share - 0.4).abs() < 1e-9);
        assert!((other.curve_m - 20.3).abs() < 0.31, "{other:?}");
        let landed = other.flight[other.flight_airborne - 1];
        assert!((landed.lon - other.curve_m).abs() < 0.01, "{landed:?}");
        assert!((landed.lat.hypot(landed.lon) - other.carry_m).abs() < 0.1);
        let half_way = other.flight[5];
        assert!((half_way.lon - other.curve_m / 4.0).abs() < 0.05);
        assert_eq!(other.flight.len(), other.flight_airborne + 1);
    }

    #[test]
    fn one_group_has_one_ball() {
        let rests: Vec<Rest> = (0..200).map(|k| ball(k, k as f64 * 0.1 - 10.0)).collect();
        let ways = |rests: &[Rest], is_two_way| {
            other_ways((PEG, 0.0), rests, (SHARES, is_two_way), &[], &place)
        };
        assert_eq!(ways(&rests, false), []);
        // A club that goes either way has both, though in one group.
        let both = ways(&rests, true);
        assert_eq!(both.len(), 2);
        assert!(both[0].curve_m < -3.0 && both[1].curve_m > 3.0, "{both:?}");
        assert!((both[0].share + both[1].share - 1.0).abs() < 1e-9);
        let rests: Vec<Rest> = (0..200).map(|k| ball(k, -15.0)).collect();
        assert_eq!(ways(&rests, true), []);
        assert_eq!(ways(&[], true), []);
    }
}
