//! A club's pattern in a coach's terms: where it starts, how it bends, where it finishes, how
//! these scatter, and how often the bend goes the other way.

use super::ClubShape;
use crate::flight::Firmness;
use crate::flight::air::Air;
use crate::flight::ball::Ball;
use crate::flight::level::{Flown, fly_level};
use crate::sample;

/// Balls flown for a summary.
pub const BALLS: usize = 2_048;
/// Seed of their points.
const SEED: u32 = 1;

/// Mean, and the middle 80 of 100.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Mean.
    pub mean: f64,
    /// A tenth lie below this.
    pub tenth: f64,
    /// A tenth lie above this.
    pub ninetieth: f64,
}

impl Spread {
    /// Of values without order; never of none.
    fn of(values: impl Iterator<Item = f64>) -> Self {
        let mut values: Vec<f64> = values.collect();
        values.sort_by(f64::total_cmp);
        let at = |share: f64| values[(share * (values.len() - 1) as f64).round() as usize];
        Self {
            mean: values.iter().sum::<f64>() / values.len() as f64,
            tenth: at(0.1),
            ninetieth: at(0.9),
        }
    }
}

/// What a club and shape does on level fairway in still air. Right is positive.
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// Start direction, degrees right of the aim.
    pub start_deg: Spread,
    /// Bend in the air, m right of the start line.
    pub curve_m: Spread,
    /// Where it rests, m right of the start line: the side total.
    pub side_total_m: Spread,
    /// Where it rests, m right of the aim.
    pub side_m: Spread,
    /// Straight distance to the landing, m.
    pub carry_m: Spread,
    /// Straight distance to the rest, m.
    pub total_m: Spread,
    /// Share of balls that bend left of their own start line.
    pub bends_left: f64,
    /// Share of balls that bend right of it.
    pub bends_right: f64,
    /// Every ball, for a drawing.
    pub balls: Vec<Flown>,
}

impl Summary {
    /// Share of balls that bend the way this club does not bend on average: the two-way miss.
    #[must_use]
    pub fn two_way_miss(&self) -> f64 {
        if self.curve_m.mean < 0.0 { self.bends_right } else { self.bends_left }
    }
}

/// Flies [`BALLS`] balls of one club and shape, mishits included, in still air.
#[must_use]
pub fn summarise(club: &ClubShape, air: &Air, firmness: Firmness) -> Summary {
    let launches = club.launches.draw_all(&sample::points(SEED, BALLS));
    let balls = fly_level(&launches, &[], air, &Ball::modern(), firmness);
    let share = |way: fn(&Flown) -> bool| {
        balls.iter().filter(|ball| way(ball)).count() as f64 / balls.len() as f64
    };
    Summary {
        start_deg: Spread::of(balls.iter().map(|ball| ball.start_deg)),
        curve_m: Spread::of(balls.iter().map(|ball| ball.curve_m)),
        side_total_m: Spread::of(balls.iter().map(|ball| ball.side_total_m)),
        side_m: Spread::of(balls.iter().map(|ball| ball.side_m)),
        carry_m: Spread::of(balls.iter().map(|ball| ball.carry_m)),
        total_m: Spread::of(balls.iter().map(|ball| ball.total_m)),
        bends_left: share(|ball| ball.curve_m < 0.0),
        bends_right: share(|ball| ball.curve_m > 0.0),
        balls,
    }
}
