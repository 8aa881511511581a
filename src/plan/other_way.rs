//! The other usual ball of a player who goes either way in two separate groups.
//!
//! The plan's usual ball is that of the commoner way (`strategy::usual`); this one is the median of
//! the sound strikes that bend the other way. Its flight over the ground bends as the commoner one
//! does, from its own start line by its own bend: no ball was flown for it.

use geo::Coord;
use serde::Serialize;

use super::scene::{ahead_and_right, along};
use super::{LonLat, round};
use crate::outcome::Rest;
use crate::strategy::usual::Usual;

/// A usual ball that goes the other way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OtherWay {
    /// Share of the sound balls that bend this way.
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

/// The other usual ball; none where all balls are of one group. `flight` is the commoner ball's over
/// the ground as far as it is in the air.
pub fn other_way(
    (peg, aim_deg): (Coord<f64>, f64),
    rests: &[Rest],
    flight: &[Coord<f64>],
    lon_lat: &dyn Fn(Coord<f64>) -> LonLat,
) -> Option<OtherWay> {
    let usual = Usual::of(peg, aim_deg, rests)?;
    let on_side = |right: bool| -> Vec<Rest> {
        let sound = rests.iter().filter(|rest| rest.is_sound);
        let of_side = sound.filter(|rest| {
            let curve_m = rest.curve_m(peg, aim_deg);
            curve_m != 0.0 && (curve_m > 0.0) == right
        });
        of_side.copied().collect()
    };
    let is_right = usual.curve_m > 0.0;
    let [commoner, rarer] = [on_side(is_right), on_side(!is_right)];
    // In two groups the usual ball is that of the commoner one alone.
    if rarer.is_empty() || Usual::of(peg, aim_deg, &commoner) != Some(usual) {
        return None;
    }
    let other = Usual::of(peg, aim_deg, &rarer)?;
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
    let all = (commoner.len() + rarer.len()) as f64;
    Some(OtherWay {
        share: round::strokes(rarer.len() as f64 / all),
        start_deg: round::bearing(start_deg),
        curve_m: round::metres(other.curve_m),
        carry_m: round::metres(other.carry_m),
        total_m: round::metres(other.total_m),
        flight: way.into_iter().map(lon_lat).collect(),
        flight_airborne,
    })
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
        let other = other_way((PEG, 0.0), &rests, &flight, &place).expect("two groups");
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
        assert_eq!(other_way((PEG, 0.0), &rests, &[], &place), None);
        let rests: Vec<Rest> = (0..200).map(|k| ball(k, -15.0)).collect();
        assert_eq!(other_way((PEG, 0.0), &rests, &[], &place), None);
        assert_eq!(other_way((PEG, 0.0), &[], &[], &place), None);
    }
}
