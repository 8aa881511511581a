//! What the Rules of Golf (2023) make of a ball at rest, straight from Rule
//! 17.1d and Rule 18.2, and what a shot is worth by plain iteration.

use bendline::flight::{FlightView, Resting};
use bendline::hole::{Coord, Hole, Surface};
use bendline::strategy::StrokesFrom;

/// What a ball at rest is worth, this stroke not counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lie {
    /// Played as it lies.
    Played(f64),
    /// In a penalty area: strokes with the best relief that is not stroke and
    /// distance, the penalty stroke counted.
    Relief(f64),
    /// Stroke and distance.
    Lost,
}

/// What a shot is worth.
pub struct Value {
    /// Expected strokes to hole out, the tee shot included.
    pub strokes: f64,
    /// Share of balls that are hit again from the tee.
    pub replayed: f64,
    /// Strokes with each ball, in order; their mean is `strokes`.
    pub by_ball: Vec<f64>,
}

/// Prices balls on one hole.
pub struct Pricing<'a> {
    hole: &'a Hole,
    to_go: &'a dyn StrokesFrom,
    club_length_m: f64,
}

/// Along the ground, edges are looked for this finely, m.
const WALK_M: f64 = 0.5;
/// An edge is found to this, m.
const EDGE_M: f64 = 0.001;
/// Parts of an interval between two knots of a flight.
const PARTS: usize = 10;
/// How far back on the line a ball may be dropped, m: there is no limit in the
/// Rules, but further is never better than this.
const FURTHEST_BACK_M: f64 = 200.0;

impl<'a> Pricing<'a> {
    pub fn new(hole: &'a Hole, to_go: &'a dyn StrokesFrom, club_length_m: f64) -> Self {
        Self {
            hole,
            to_go,
            club_length_m,
        }
    }

    /// What one ball is worth; `track` is its way over the ground.
    pub fn lie(
        &self,
        resting: &Resting,
        flight: FlightView<'_>,
        peg: [f64; 3],
        track: &[[f64; 2]],
    ) -> Lie {
        let [x, y] = resting.at;
        let at = Coord { x, y };
        match self.hole.surface_at(at) {
            Surface::OutOfBounds => Lie::Lost,
            area @ (Surface::PenaltyRed | Surface::PenaltyYellow) => {
                let way = ground_way(resting, flight, peg, track);
                self.last_entry(area, &way)
                    .and_then(|edge| self.relief(area, edge))
                    .map_or(Lie::Lost, Lie::Relief)
            }
            // Unplayable among trees, it may be replayed as well (Rule 19.2a).
            Surface::Trees => Lie::Relief(self.to_go.strokes_from(
                Surface::Trees,
                at,
                self.to_pin_m(at),
            )),
            surface => Lie::Played(self.to_go.strokes_from(surface, at, self.to_pin_m(at))),
        }
    }

    fn to_pin_m(&self, at: Coord<f64>) -> f64 {
        (at.x - self.hole.pin.x).hypot(at.y - self.hole.pin.y)
    }

    /// Where the way last went from outside to inside the area, walked from
    /// the peg on; none where it was never outside.
    fn last_entry(&self, area: Surface, way: &[Coord<f64>]) -> Option<Coord<f64>> {
        let inside = |p: Coord<f64>| self.hole.surface_at(p) == area;
        let mut here = way[0];
        let mut is_inside = inside(here);
        let mut entry = None;
        for next in &way[1..] {
            let steps = ((next.x - here.x).hypot(next.y - here.y) / WALK_M).ceil();
            let from = here;
            for step in 1..=steps as usize {
                let there = between(from, *next, step as f64 / steps);
                let now_inside = inside(there);
                if now_inside && !is_inside {
                    entry = Some((here, there));
                }
                (here, is_inside) = (there, now_inside);
            }
        }
        let (mut outer, mut inner) = entry?;
        while (outer.x - inner.x).hypot(outer.y - inner.y) > EDGE_M {
            let middle = between(outer, inner, 0.5);
            if inside(middle) {
                inner = middle;
            } else {
                outer = middle;
            }
        }
        Some(outer)
    }

    /// The fewest strokes, the penalty counted, from any spot that Rule 17.1d(2), back on the line,
    /// or for a red area 17.1d(3), lateral relief, allows.
    fn relief(&self, area: Surface, edge: Coord<f64>) -> Option<f64> {
        let pin = self.hole.pin;
        let from_pin_m = self.to_pin_m(edge);
        let away = (edge.x - pin.x).atan2(edge.y - pin.y);
        let spot = |distance_m: f64, bearing: f64| Coord {
            x: edge.x + distance_m * bearing.sin(),
            y: edge.y + distance_m * bearing.cos(),
        };
        // What is least by the one is worth what the other says: see `StrokesFrom`.
        let mut best: Option<(f64, f64)> = None;
        let mut try_spot = |at: Coord<f64>| {
            let surface = self.hole.surface_at(at);
            let in_play = !matches!(
                surface,
                Surface::OutOfBounds | Surface::PenaltyRed | Surface::PenaltyYellow
            );
            let to_pin_m = self.to_pin_m(at);
            if in_play {
                let compared = self.to_go.compared_at(surface, at, to_pin_m);
                if best.is_none_or(|b| compared < b.0) {
                    best = Some((compared, self.to_go.dropped_at(surface, at, to_pin_m)));
                }
            }
        };
        // The hole, the edge, the drop: one line, as far back as one likes.
        let mut back_m = 0.0;
        while back_m <= FURTHEST_BACK_M {
            try_spot(spot(back_m, away));
            back_m += (0.1 * back_m).max(0.3);
        }
        if area == Surface::PenaltyRed {
            // Within two club-lengths, not nearer the hole: on a circle about
            // the edge's point, the spots as far from the pin as it lie at
            // cos φ = −r / 2d from the way straight back.
            for ring in 1..=4 {
                let radius_m = 2.0 * self.club_length_m * f64::from(ring) / 4.0;
                let most = (-radius_m / (2.0 * from_pin_m).max(radius_m)).acos();
                for turn in -12..=12 {
                    try_spot(spot(radius_m, away + most * f64::from(turn) / 12.0));
                }
            }
        }
        best.map(|b| b.1)
    }
}

/// The ball's way from peg to rest, looked at from above.
fn ground_way(
    resting: &Resting,
    flight: FlightView<'_>,
    peg: [f64; 3],
    track: &[[f64; 2]],
) -> Vec<Coord<f64>> {
    let in_air: Vec<[f64; 3]> = (0..flight.knots.len() - 1)
        .flat_map(|interval| (0..PARTS).map(move |part| (interval, part)))
        .map(|(interval, part)| {
            let knot = flight.within(interval, part as f32 / PARTS as f32);
            std::array::from_fn(|i| peg[i] + f64::from(knot.position_m[i]))
        })
        .collect();
    // The stored flight goes on below the ground: keep it up to where it is
    // nearest to the landing.
    let off = |p: &[f64; 3]| -> f64 { (0..3).map(|i| (p[i] - resting.landed[i]).powi(2)).sum() };
    let landing = (0..in_air.len())
        .min_by(|a, b| off(&in_air[*a]).total_cmp(&off(&in_air[*b])))
        .unwrap_or(0);
    let flat = |p: &[f64]| Coord { x: p[0], y: p[1] };
    let mut way: Vec<Coord<f64>> = in_air[..landing].iter().map(|p| flat(p)).collect();
    way.insert(0, flat(&peg));
    way.push(flat(&resting.landed));
    way.extend(track.iter().map(|p| flat(p)));
    way.push(flat(&resting.at));
    way
}

fn between(a: Coord<f64>, b: Coord<f64>, part: f64) -> Coord<f64> {
    Coord {
        x: a.x + (b.x - a.x) * part,
        y: a.y + (b.y - a.y) * part,
    }
}

/// Strokes with each ball when the tee is worth so much: stroke and distance is
/// always open to a player, and is taken where relief costs more.
fn with_tee_worth(lie: &Lie, tee: f64) -> f64 {
    1.0 + match lie {
        Lie::Played(strokes) => *strokes,
        Lie::Relief(strokes) => strokes.min(1.0 + tee),
        Lie::Lost => 1.0 + tee,
    }
}

/// V = 1 + mean worth, where a ball hit again is worth 1 + V: iterated from 0
/// upwards until V stands still. Infinite where every ball is lost.
pub fn fixed_point(lies: &[Lie]) -> Value {
    let count = lies.len() as f64;
    if lies.iter().all(|lie| *lie == Lie::Lost) {
        return Value {
            strokes: f64::INFINITY,
            replayed: 1.0,
            by_ball: vec![f64::INFINITY; lies.len()],
        };
    }
    // Balls in play and balls lost count alike at any V: only reliefs have to
    // be gone through at each turn.
    let (mut played, mut lost, mut reliefs) = (0.0, 0.0, Vec::new());
    for lie in lies {
        match lie {
            Lie::Played(strokes) => played += 1.0 + strokes,
            Lie::Relief(_) => reliefs.push(*lie),
            Lie::Lost => lost += 1.0,
        }
    }
    let mut strokes = 0.0;
    for _ in 0..100_000 {
        let relieved: f64 = reliefs.iter().map(|l| with_tee_worth(l, strokes)).sum();
        let next = (played + lost * (2.0 + strokes) + relieved) / count;
        let moved: f64 = next - strokes;
        strokes = next;
        if moved.abs() < 1e-11 {
            break;
        }
    }
    let replayed = lies
        .iter()
        .filter(|lie| match lie {
            Lie::Lost => true,
            Lie::Relief(relief) => *relief > 1.0 + strokes,
            Lie::Played(_) => false,
        })
        .count() as f64
        / count;
    Value {
        strokes,
        replayed,
        by_ball: lies.iter().map(|l| with_tee_worth(l, strokes)).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Geometric series: with a share p of balls lost and the others worth v,
    /// V = (1 + p + (1 − p) v) / (1 − p).
    #[test]
    fn iteration_sums_the_geometric_series() {
        let lies = [vec![Lie::Played(3.2); 7], vec![Lie::Lost; 3]].concat();
        let value = fixed_point(&lies);
        let closed = (1.0 + 0.3 + 0.7 * 3.2) / 0.7;
        assert!((value.strokes - closed).abs() < 1e-9, "{}", value.strokes);
        assert!((value.replayed - 0.3).abs() < 1e-12);
        let mean = value.by_ball.iter().sum::<f64>() / 10.0;
        assert!((mean - value.strokes).abs() < 1e-9);
    }

    /// A relief of 9 strokes is left for the tee, one of 4.5 is taken:
    /// 10 V = 8 · 4 + 5.5 + (2 + V).
    #[test]
    fn a_player_goes_back_to_the_tee_where_relief_is_dearer() {
        let lies = [
            vec![Lie::Played(3.0); 8],
            vec![Lie::Relief(4.5), Lie::Relief(9.0)],
        ]
        .concat();
        let value = fixed_point(&lies);
        assert!(
            (value.strokes - 39.5 / 9.0).abs() < 1e-9,
            "{}",
            value.strokes
        );
        assert!((value.replayed - 0.1).abs() < 1e-12);
    }

    #[test]
    fn a_shot_that_loses_every_ball_has_no_price() {
        assert!(fixed_point(&[Lie::Lost; 3]).strokes.is_infinite());
    }
}
