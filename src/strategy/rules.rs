//! What the Rules of Golf make of a ball at rest off the tee.
//!
//! Rule 17.1d for penalty areas, Rule 18.2 for out of bounds, Rule 19.2a for a ball
//! that is unplayable among trees (2023). A ball
//! that may be replayed under stroke and distance costs what the tee is worth,
//! which is not known until the whole shot is priced: see [`Price::of`].

use std::sync::LazyLock;

use super::finish::StrokesToGo;
use crate::hole::{Coord, Hole, Surface};
use crate::outcome::{Rest, is_penalty};

/// What a ball's rest is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Worth {
    /// Played where it lies: strokes to hole out from there.
    Plays(f64),
    /// In a penalty area: strokes to hole out with the best relief other than
    /// stroke and distance, penalty stroke included. Among trees: strokes to hole
    /// out by anything else than that.
    Relief(f64),
    /// Out of bounds, in a penalty area without relief, or where the hole is never finished
    /// from: stroke and distance.
    Replay,
}

/// Strokes to hole out from a place that a ball is played from.
pub trait StrokesFrom: Sync {
    /// From `at`, which lies on `surface`, `to_pin_m` from the pin.
    fn strokes_from(&self, surface: Surface, at: Coord<f64>, to_pin_m: f64) -> f64;

    /// What places to drop a ball in are compared by: figures that another choice
    /// was made on, for the least of many noisy ones is biased low.
    fn compared_at(&self, surface: Surface, at: Coord<f64>, to_pin_m: f64) -> f64 {
        self.strokes_from(surface, at, to_pin_m)
    }

    /// The same as [`StrokesFrom::strokes_from`] for a ball that was dropped there, its penalty stroke included.
    /// What is not counted in strokes knows better than to add one.
    fn dropped_at(&self, surface: Surface, at: Coord<f64>, to_pin_m: f64) -> f64 {
        1.0 + self.strokes_from(surface, at, to_pin_m)
    }

    /// What a replayed ball is worth where that is known beforehand, penalty
    /// stroke included; strokes have it from the price of the shot itself.
    fn replayed(&self) -> Option<f64> {
        None
    }
}

impl StrokesFrom for StrokesToGo {
    fn strokes_from(&self, surface: Surface, _: Coord<f64>, to_pin_m: f64) -> f64 {
        self.from(surface, to_pin_m)
    }
}

/// Prices rests on one hole.
pub struct Rules<'a> {
    hole: &'a Hole,
    to_go: &'a dyn StrokesFrom,
    /// Two club-lengths, m.
    lateral_m: f64,
}

/// Distances back on the line that are tried, m: apart by no more than a fifth or 3 m, so that a strip
/// of fairway behind the area is not passed over.
const BACK_M: [f64; 22] = [
    0.5, 2.5, 5.0, 7.5, 10.0, 13.0, 16.0, 19.0, 23.0, 27.0, 32.0, 38.0, 45.0, 54.0, 64.0, 76.0,
    90.0, 107.0, 127.0, 150.0, 178.0, 210.0,
];
/// Directions around the crossing point that are tried for lateral relief.
const LATERAL: usize = 24;
/// East and north of each: every ball in a penalty area asks for them all.
static LATERAL_WAYS: LazyLock<[[f64; 2]; LATERAL]> = LazyLock::new(|| {
    std::array::from_fn(|step| {
        let angle = std::f64::consts::TAU * step as f64 / LATERAL as f64;
        [angle.sin(), angle.cos()]
    })
});

/// The spots that back-on-the-line relief is tried at, from a place `far_m` from the pin.
pub(super) fn back_on_the_line(
    from: Coord<f64>,
    pin: Coord<f64>,
    far_m: f64,
) -> impl Iterator<Item = Coord<f64>> {
    let ways = if far_m > 0.0 { &BACK_M[..] } else { &[] };
    ways.iter().map(move |back_m| Coord {
        x: from.x + (from.x - pin.x) / far_m * back_m,
        y: from.y + (from.y - pin.y) / far_m * back_m,
    })
}

/// The spots that lateral relief is tried at around a place, whether or not they are nearer
/// the hole.
pub(super) fn around(from: Coord<f64>, lateral_m: f64) -> impl Iterator<Item = Coord<f64>> {
    LATERAL_WAYS.iter().map(move |[east, north]| Coord {
        x: from.x + lateral_m * east,
        y: from.y + lateral_m * north,
    })
}

impl<'a> Rules<'a> {
    /// Rules for one hole, one player and that player's club-length.
    #[must_use]
    pub fn new(hole: &'a Hole, to_go: &'a dyn StrokesFrom, club_length_m: f64) -> Self {
        Self {
            hole,
            to_go,
            lateral_m: 2.0 * club_length_m,
        }
    }

    /// What a ball at rest is worth.
    #[must_use]
    pub fn worth(&self, rest: &Rest) -> Worth {
        let Some(again) = self.to_go.replayed() else {
            return self.unsettled(rest);
        };
        // Nothing is left open: every ball has a worth of its own.
        Worth::Plays(match self.unsettled(rest) {
            Worth::Plays(worth) => worth,
            Worth::Relief(worth) => worth.min(again),
            Worth::Replay => again,
        })
    }

    fn unsettled(&self, rest: &Rest) -> Worth {
        let worth = match rest.surface {
            Surface::OutOfBounds => Worth::Replay,
            surface if is_penalty(surface) => rest
                .crossed
                .and_then(|crossed| self.relief(crossed, surface))
                .map_or(Worth::Replay, Worth::Relief),
            Surface::Trees => Worth::Relief(self.worth_lying(rest)),
            _ => Worth::Plays(self.worth_lying(rest)),
        };
        match worth {
            // Where the hole is never finished from, nobody plays on.
            Worth::Plays(strokes) | Worth::Relief(strokes) if strokes.is_infinite() => {
                Worth::Replay
            }
            worth => worth,
        }
    }

    /// Strokes to hole out of a ball that is not replayed, from where it lies.
    #[must_use]
    pub fn worth_lying(&self, rest: &Rest) -> f64 {
        let to_pin_m = self.to_pin_m(rest.at);
        self.to_go.strokes_from(rest.surface, rest.at, to_pin_m)
    }

    /// What lies at a place.
    #[must_use]
    pub fn surface_at(&self, at: Coord<f64>) -> Surface {
        self.hole.surface_at(at)
    }

    /// The least strokes to hole out, penalty stroke included, from any spot that back-on-the-line and,
    /// for a red area, lateral relief allow (Rule 17.1d(2) and (3)); none where
    /// no such spot can be played from.
    fn relief(&self, crossed: Coord<f64>, area: Surface) -> Option<f64> {
        self.drop_spot(crossed, area == Surface::PenaltyRed)
            .map(|(at, _)| {
                let surface = self.hole.surface_at(at);
                self.to_go.dropped_at(surface, at, self.to_pin_m(at))
            })
    }

    /// The spot with the least strokes to hole out, as
    /// [`StrokesFrom::compared_at`] sees it, among those that back on the line and,
    /// where it is allowed, lateral relief give from `crossed`; and its strokes.
    #[must_use]
    pub fn drop_spot(&self, crossed: Coord<f64>, lateral: bool) -> Option<(Coord<f64>, f64)> {
        let pin = self.hole.pin;
        let to_edge_m = self.to_pin_m(crossed);
        let mut best: Option<(Coord<f64>, f64)> = None;
        let mut consider = |spot: Coord<f64>| {
            let surface = self.hole.surface_at(spot);
            if !is_penalty(surface) && surface != Surface::OutOfBounds {
                let strokes = self.to_go.compared_at(surface, spot, self.to_pin_m(spot));
                if best.is_none_or(|b| strokes < b.1) {
                    best = Some((spot, strokes));
                }
            }
        };
        back_on_the_line(crossed, pin, to_edge_m).for_each(&mut consider);
        if lateral {
            let no_nearer = |spot: &Coord<f64>| self.to_pin_m(*spot) >= to_edge_m;
            around(crossed, self.lateral_m)
                .filter(no_nearer)
                .for_each(&mut consider);
        }
        best.map(|(spot, _)| {
            let surface = self.hole.surface_at(spot);
            let strokes = self.to_go.strokes_from(surface, spot, self.to_pin_m(spot));
            (spot, strokes)
        })
    }

    fn to_pin_m(&self, at: Coord<f64>) -> f64 {
        // Asked for often, and never near overflow: `hypot` costs several times as much.
        let (dx, dy) = (at.x - self.hole.pin.x, at.y - self.hole.pin.y);
        (dx * dx + dy * dy).sqrt()
    }
}

/// What a shot is worth from the tee, over many balls.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    /// Expected strokes to hole out, the tee shot included.
    pub strokes: f64,
    /// Every ball's own strokes at that price, in order: their mean is
    /// `strokes`.
    pub by_ball: Vec<f64>,
    /// Share of balls that are replayed from the tee.
    pub replayed: f64,
}

impl Price {
    /// Solves V = 1 + mean(worth), where a replayed ball is worth 1 + V and a
    /// ball in a penalty area the lesser of its relief and 1 + V: stroke and
    /// distance as a fixed point. The right side is a contraction whenever any
    /// ball stays in play (its slope is the share replayed); where none does,
    /// the price is infinite.
    #[must_use]
    pub fn of(worths: &[Worth]) -> Self {
        let count = worths.len() as f64;
        let plays: f64 = worths
            .iter()
            .map(|w| {
                if let Worth::Plays(strokes) = w {
                    *strokes
                } else {
                    0.0
                }
            })
            .sum();
        let replays = worths.iter().filter(|w| **w == Worth::Replay).count() as f64;
        let mut reliefs: Vec<f64> = worths
            .iter()
            .filter_map(|w| {
                if let Worth::Relief(strokes) = w {
                    Some(*strokes)
                } else {
                    None
                }
            })
            .collect();
        // Where even the dearest is worth it, there is nothing to sort out.
        let dearest = reliefs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let all = (count + plays + reliefs.iter().sum::<f64>() + replays) / (count - replays);
        if dearest > 1.0 + all {
            reliefs.sort_by(f64::total_cmp);
        }
        // Balls whose relief is dearer than 1 + V are replayed. Try every such
        // split, from all relief taken to none: V falls while replaying helps.
        let mut strokes = f64::INFINITY;
        let mut replayed = replays;
        let mut taken: f64 = reliefs.iter().sum();
        for kept in (0..=reliefs.len()).rev() {
            let again = replays + (reliefs.len() - kept) as f64;
            if again < count {
                let value = (count + plays + taken + again) / (count - again);
                if value < strokes {
                    strokes = value;
                    replayed = again;
                } else {
                    break;
                }
            }
            if kept > 0 {
                taken -= reliefs[kept - 1];
            }
        }
        let by_ball = worths
            .iter()
            .map(|w| {
                1.0 + match w {
                    Worth::Plays(v) => *v,
                    Worth::Relief(v) => v.min(1.0 + strokes),
                    Worth::Replay => 1.0 + strokes,
                }
            })
            .collect();
        Self {
            strokes,
            by_ball,
            replayed: replayed / count,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Geometric series: a share p of balls out of bounds, the rest worth v:
    /// V = 1 + (1−p)v + p(1+V), so V = (1 + (1−p)v + p)/(1−p).
    #[test]
    fn stroke_and_distance_is_a_fixed_point() {
        let worths = [vec![Worth::Plays(3.0); 9], vec![Worth::Replay; 1]].concat();
        let price = Price::of(&worths);
        assert!((price.strokes - (1.0 + 0.9 * 3.0 + 0.1) / 0.9).abs() < 1e-12);
        let mean = price.by_ball.iter().sum::<f64>() / 10.0;
        assert!(
            (mean - price.strokes).abs() < 1e-12,
            "the fixed point holds"
        );
    }

    /// Relief dearer than going back is not taken.
    #[test]
    fn the_cheaper_relief_is_taken_ball_by_ball() {
        let worths = [
            vec![Worth::Plays(3.0); 8],
            vec![Worth::Relief(4.2), Worth::Relief(9.0)],
        ]
        .concat();
        let price = Price::of(&worths);
        // 10 V = 10 + 24 + 4.2 + (1 + V)  →  V = 39.2/9
        assert!(
            (price.strokes - 39.2 / 9.0).abs() < 1e-12,
            "{}",
            price.strokes
        );
        assert!((price.replayed - 0.1).abs() < 1e-12);
        // The same by plain iteration.
        let mut v = 4.0_f64;
        for _ in 0..200 {
            v = 1.0 + (24.0 + 4.2_f64.min(1.0 + v) + 9.0_f64.min(1.0 + v)) / 10.0;
        }
        assert!((price.strokes - v).abs() < 1e-10);
    }

    /// The best distance back is never far from one that is tried, wherever it lies up to 200 m: the
    /// value of a place changes slowly over a tenth of the distance or 1.6 m.
    #[test]
    fn every_distance_back_is_near_one_that_is_tried() {
        let from = Coord { x: 30.0, y: 40.0 };
        let spots: Vec<Coord<f64>> = back_on_the_line(from, Coord::default(), 50.0).collect();
        for best in (4..=800).map(|quarter| f64::from(quarter) / 4.0) {
            let off = spots.iter().map(|spot| {
                let back_m = (spot.x - from.x).hypot(spot.y - from.y);
                assert!(
                    (spot.x * from.y - spot.y * from.x).abs() < 1e-9,
                    "off the line"
                );
                (back_m - best).abs()
            });
            let nearest = off.fold(f64::INFINITY, f64::min);
            assert!(nearest <= f64::max(1.6, 0.1 * best), "{best}: {nearest}");
        }
    }

    #[test]
    fn nothing_in_play_costs_without_end() {
        assert!(Price::of(&[Worth::Replay; 4]).strokes.is_infinite());
    }
}
