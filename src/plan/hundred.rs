//! A hundred balls of a shot, the same of every shot with the same swing: ball by ball from one
//! launch each, so that two pictures of them show what the aim alone changes.

use serde::Serialize;

use super::LonLat;
use crate::hole::{Coord, Surface};
use crate::outcome::Rest;

/// So many balls.
pub const HUNDRED: usize = 100;

/// Where a hundred balls of a shot end.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Hundred {
    /// Where each comes to rest.
    pub at: Vec<LonLat>,
    /// What it ends in, by the keys of a finish.
    pub ends: Vec<&'static str>,
}

impl Hundred {
    /// Of all balls of a shot, evenly in their order: the order is that of the launches.
    #[must_use]
    pub fn of(rests: &[Rest], lon_lat: &dyn Fn(Coord<f64>) -> LonLat) -> Self {
        let count = rests.len().min(HUNDRED);
        let kept = (0..count).map(|k| &rests[k * rests.len() / count]);
        Self {
            at: kept.clone().map(|rest| lon_lat(rest.at)).collect(),
            ends: kept.map(|rest| end(rest.surface)).collect(),
        }
    }
}

/// The key of a finish that a surface counts for.
fn end(surface: Surface) -> &'static str {
    match surface {
        Surface::Fairway | Surface::Tee => "fairway",
        Surface::Rough => "rough",
        Surface::Bunker => "bunker",
        Surface::Green => "green",
        Surface::Trees => "trees",
        Surface::PenaltyRed | Surface::PenaltyYellow => "penalty_area",
        Surface::OutOfBounds => "out_of_bounds",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn balls_keep_their_order() {
        let ball = |k: usize| Rest {
            at: Coord {
                x: k as f64,
                y: 0.0,
            },
            surface: if k < 1000 {
                Surface::Tee
            } else {
                Surface::PenaltyYellow
            },
            crossed: None,
            landed: Coord { x: 0.0, y: 0.0 },
            start_deg: 0.0,
            is_sound: true,
        };
        let place = |at: Coord<f64>| LonLat {
            lon: at.x,
            lat: at.y,
        };
        let rests: Vec<Rest> = (0..2000).map(ball).collect();
        let hundred = Hundred::of(&rests, &place);
        assert_eq!(hundred.at.len(), 100);
        assert!((hundred.at[7].lon - 140.0).abs() < 1e-12);
        assert_eq!(
            (hundred.ends[0], hundred.ends[99]),
            ("fairway", "penalty_area")
        );
        assert_eq!(Hundred::of(&rests[..3], &place).at.len(), 3);
        assert_eq!(Hundred::of(&[], &place), Hundred::default());
    }
}
