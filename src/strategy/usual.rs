//! The usual ball of a tee shot: the median of its sound strikes.
//!
//! Mishits and balls that a tree stops are left out, so that its carry is the carry that a player
//! knows. Distances and directions are medians one by one; the bend is what these make it,
//! so that aim, start and bend add up to where the ball lands. Where ground parts the balls and hardly
//! any ends at the median, the ball ends where many do.

use crate::hole::Coord;
use crate::outcome::Rest;
use crate::player::group::median;

/// Where fewer balls than this share are sound, all of them count.
const LEAST_SOUND: f64 = 0.1;
/// Bends are two-way where the rarer side has at least this share, and the medians of both sides lie
/// apart by so many times the mean width of their middle halves: 1.6 of one normal bend about zero,
/// 3.0 of two whose means are four standard deviations apart.
const RARER: f64 = 0.1;
const APART: f64 = 2.5;

/// At most so many balls tell how densely they lie, and one of so many the levels of density.
const SAMPLE: usize = 600;
const EVERY: usize = 6;
/// Width of the kernel beside the width of the middle half, and at least, m.
const BANDWIDTH: f64 = 0.15;
const LEAST_BANDWIDTH_M: f64 = 0.5;
/// The share of the balls that lie less densely than the median may, and than what takes its place: a
/// little over the half that is drawn.
const LEAST_QUANTILE: f64 = 0.55;
const DENSE_QUANTILE: f64 = 0.7;

/// The representative ball: medians of sound strikes, one by one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Usual {
    /// Where it lands.
    pub landing: Coord<f64>,
    /// Where it comes to rest.
    pub rest: Coord<f64>,
    /// Its carry, m.
    pub carry_m: f64,
    /// How far from the peg it comes to rest, m.
    pub total_m: f64,
    /// Its start direction, degrees right of the aim.
    pub start_deg: f64,
    /// How far it bends from its start line until it lands, right positive, m.
    pub curve_m: f64,
}

impl Usual {
    /// The usual ball of these, hit from `peg` along an aim; none of no balls.
    #[must_use]
    pub fn of(peg: Coord<f64>, aim_deg: f64, rests: &[Rest]) -> Option<Self> {
        let sound = representative(peg, aim_deg, rests);
        let first = *sound.first()?;
        let (sin, cos) = aim_deg.to_radians().sin_cos();
        let place = |of: fn(&Rest) -> Coord<f64>| {
            let off = |rest: &Rest| (of(rest).x - peg.x, of(rest).y - peg.y);
            let away_m = median(sound.iter().map(|rest| {
                let (x, y) = off(rest);
                x.hypot(y)
            }));
            let right_m = median(sound.iter().map(|rest| {
                let (x, y) = off(rest);
                x * cos - y * sin
            }));
            let right_m = right_m.clamp(-away_m, away_m);
            let ahead_m = (away_m.powi(2) - right_m.powi(2)).max(0.0).sqrt();
            let at = Coord {
                x: peg.x + ahead_m * sin + right_m * cos,
                y: peg.y + ahead_m * cos - right_m * sin,
            };
            (at, away_m)
        };
        let (landing, carry_m) = place(|rest| rest.landed);
        let (rest, total_m) = place(|rest| rest.at);
        let rest_there = dense(sound.iter().map(|rest| rest.at).collect(), rest);
        let (rest, total_m) = match rest_there {
            None => (rest, total_m),
            Some(there) => (there, (there.x - peg.x).hypot(there.y - peg.y)),
        };
        let start_deg = median(sound.iter().map(|rest| rest.start_deg));
        let ball = Rest {
            landed: landing,
            start_deg,
            ..*first
        };
        Some(Self {
            landing,
            rest,
            carry_m,
            total_m,
            start_deg,
            curve_m: ball.curve_m(peg, aim_deg),
        })
    }
}

/// The carry of the usual ball, m; 0 of no balls.
#[must_use]
pub fn carry_m(peg: Coord<f64>, aim_deg: f64, rests: &[Rest]) -> f64 {
    let carries = representative(peg, aim_deg, rests).into_iter();
    median(carries.map(|rest| (rest.landed.x - peg.x).hypot(rest.landed.y - peg.y)))
}

/// The sound balls; of a two-way club those of the commoner bend.
fn representative(peg: Coord<f64>, aim_deg: f64, rests: &[Rest]) -> Vec<&Rest> {
    let mut sound = sound(rests);
    let curves: Vec<f64> = sound
        .iter()
        .map(|rest| rest.curve_m(peg, aim_deg))
        .collect();
    if let Some(commoner) = two_way(&curves) {
        let mut curves = curves.iter();
        sound.retain(|_| curves.next().is_some_and(|curve| curve * commoner > 0.0));
    }
    sound
}

/// The ball nearest to `middle` of those in the dense part, where `middle` is not in the dense half of
/// the balls: ground that parts them leaves hardly any between.
fn dense(balls: Vec<Coord<f64>>, middle: Coord<f64>) -> Option<Coord<f64>> {
    let few: Vec<Coord<f64>> = {
        let step = balls.len().div_ceil(SAMPLE).max(1);
        balls.into_iter().step_by(step).collect()
    };
    let width_m = |of: fn(&Coord<f64>) -> f64| {
        let mut along: Vec<f64> = few.iter().map(of).collect();
        along.sort_by(f64::total_cmp);
        let at = |share: f64| along[(share * (along.len() - 1) as f64) as usize];
        (BANDWIDTH * (at(0.75) - at(0.25))).max(LEAST_BANDWIDTH_M)
    };
    let (wide_m, deep_m) = (width_m(|at| at.x), width_m(|at| at.y));
    let density = |at: Coord<f64>| -> f64 {
        let near = few.iter().map(|ball| {
            let (x, y) = ((ball.x - at.x) / wide_m, (ball.y - at.y) / deep_m);
            (-0.5 * (x * x + y * y)).exp()
        });
        near.sum()
    };
    let mut levels: Vec<f64> = few.iter().step_by(EVERY).map(|at| density(*at)).collect();
    levels.sort_by(f64::total_cmp);
    let level = |share: f64| levels[(share * (levels.len() - 1) as f64) as usize];
    if density(middle) >= level(LEAST_QUANTILE) {
        return None;
    }
    let off_m = |ball: &&Coord<f64>| (ball.x - middle.x).hypot(ball.y - middle.y);
    let mut near: Vec<&Coord<f64>> = few.iter().collect();
    near.sort_by(|a, b| off_m(a).total_cmp(&off_m(b)));
    let is_dense = |ball: &&Coord<f64>| density(**ball) >= level(DENSE_QUANTILE);
    near.into_iter().find(is_dense).copied()
}

/// Of bends that go either way in two separate groups, the sign of the commoner.
fn two_way(curves_m: &[f64]) -> Option<f64> {
    let [left, right] = [-1.0, 1.0].map(|sign| {
        let mut side: Vec<f64> = curves_m
            .iter()
            .map(|curve| sign * curve)
            .filter(|curve| *curve > 0.0)
            .collect();
        side.sort_by(f64::total_cmp);
        side
    });
    let rarer = left.len().min(right.len()) as f64;
    if rarer < (RARER * curves_m.len() as f64).max(1.0) {
        return None;
    }
    let quantile = |side: &[f64], share: f64| side[(share * (side.len() - 1) as f64) as usize];
    let apart_m = quantile(&left, 0.5) + quantile(&right, 0.5);
    let wide_m = [&left, &right].map(|side| quantile(side, 0.75) - quantile(side, 0.25));
    let is_apart = apart_m > APART * 0.5 * (wide_m[0] + wide_m[1]);
    is_apart.then_some(if left.len() > right.len() { -1.0 } else { 1.0 })
}

/// The sound ones; all where hardly any are.
fn sound(rests: &[Rest]) -> Vec<&Rest> {
    let sound: Vec<&Rest> = rests.iter().filter(|rest| rest.is_sound).collect();
    if (sound.len() as f64) < LEAST_SOUND * rests.len() as f64 {
        return rests.iter().collect();
    }
    sound
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hole::Surface;

    const PEG: Coord<f64> = Coord { x: 3.0, y: 5.0 };

    fn ball(carry_m: f64, right_m: f64, run_m: f64, start_deg: f64) -> Rest {
        let landed = Coord {
            x: PEG.x + right_m,
            y: PEG.y + carry_m,
        };
        Rest {
            at: Coord {
                y: landed.y + run_m,
                ..landed
            },
            surface: Surface::Rough,
            crossed: None,
            landed,
            start_deg,
            is_sound: true,
        }
    }

    /// Tops and tree hits move no figure, and aim, start and bend make the landing.
    #[test]
    fn mishits_do_not_count_and_the_bend_adds_up() {
        let mut rests: Vec<Rest> = (-10..=10)
            .map(|k| ball(200.0 + f64::from(k), -6.0 + 0.5 * f64::from(k), 12.0, 2.0))
            .collect();
        let of_sound = Usual::of(PEG, 0.0, &rests).expect("balls");
        for _ in 0..8 {
            let mut top = ball(60.0, 40.0, 3.0, -9.0);
            top.is_sound = false;
            rests.push(top);
        }
        let usual = Usual::of(PEG, 0.0, &rests).expect("balls");
        assert_eq!(usual, of_sound);
        assert!((usual.landing.x - (PEG.x - 6.0)).abs() < 0.01);
        assert!((carry_m(PEG, 0.0, &rests) - usual.carry_m).abs() < 1e-12);
        // Along the start line to the landing's depth, then across it: back on the landing.
        let (sin, cos) = 2.0_f64.to_radians().sin_cos();
        let (x, y) = (usual.landing.x - PEG.x, usual.landing.y - PEG.y);
        assert!((x * cos - y * sin - usual.curve_m).abs() < 1e-9);
        assert!(usual.curve_m < -10.0);
    }

    /// Of a two-way player it is the commoner ball, not one between that is never hit: the medians of
    /// all of these balls would carry 210 m and start straight.
    #[test]
    fn a_two_way_player_has_the_commoner_ball() {
        let rests: Vec<Rest> = (0..21)
            .map(|k| {
                let off_m = f64::from(k % 3);
                match k {
                    0..11 => ball(200.0 + off_m, -15.0 - off_m, 10.0, -1.0),
                    _ => ball(230.0 + off_m, 15.0 + off_m, 10.0, 2.0),
                }
            })
            .collect();
        let usual = Usual::of(PEG, 0.0, &rests).expect("balls");
        assert!((usual.landing.x - (PEG.x - 16.0)).abs() < 0.1, "{usual:?}");
        assert!((usual.start_deg + 1.0).abs() < 1e-12);
        assert!((carry_m(PEG, 0.0, &rests) - usual.carry_m).abs() < 1e-12);
        assert!(usual.carry_m < 203.0, "{usual:?}");
    }

    /// A straight hitter's balls bend a little either way: one group, about nought.
    #[test]
    fn a_straight_hitter_is_not_two_way() {
        let curve = |k: i32| crate::sample::normal_quantile((f64::from(k) + 0.5) / 1000.0);
        let curves: Vec<f64> = (0..1000).map(curve).collect();
        assert_eq!(two_way(&curves), None);
        let apart = curves.iter().enumerate();
        let apart: Vec<f64> = apart
            .map(|(k, curve)| curve + if k % 5 < 3 { 2.5 } else { -2.5 })
            .collect();
        assert_eq!(two_way(&apart), Some(1.0));
    }

    /// A hollow that parts the balls has hardly any in its middle, where their median is: the usual
    /// ball ends on one side.
    #[test]
    fn the_usual_ball_ends_where_balls_do() {
        let normal = |k: i32| crate::sample::normal_quantile((f64::from(k) + 0.5) / 203.0);
        let all = |run_m: fn(i32) -> f64| -> Vec<Rest> {
            let one = |k| {
                ball(
                    200.0 + normal(k),
                    2.0 * normal((k * 77) % 203),
                    run_m(k),
                    0.0,
                )
            };
            (0..203).map(one).collect()
        };
        // Three of 203 balls stop half way down.
        let parted = all(|k| match k {
            100..103 => 20.0,
            k if k % 2 == 0 => 5.0,
            _ => 35.0,
        });
        let total_m = median(parted.iter().map(|rest| rest.at.y - PEG.y));
        assert!((total_m - 220.0).abs() < 1.0, "{total_m}");
        let usual = Usual::of(PEG, 0.0, &parted).expect("balls");
        let end_m = usual.rest.y - PEG.y - 200.0;
        assert!(
            (end_m - 5.0).abs() < 4.0 || (end_m - 35.0).abs() < 4.0,
            "{end_m}"
        );
        // One group keeps its median.
        let usual = Usual::of(PEG, 0.0, &all(|_| 5.0)).expect("balls");
        assert!((usual.total_m - 205.0).abs() < 0.5);
    }

    /// Where trees stop all balls but a few, these are the usual ones.
    #[test]
    fn all_balls_count_where_hardly_any_is_sound() {
        let mut rests: Vec<Rest> = (0..50).map(|_| ball(40.0, 0.0, 0.0, 0.0)).collect();
        rests.iter_mut().for_each(|rest| rest.is_sound = false);
        rests.push(ball(200.0, 0.0, 0.0, 0.0));
        let usual = Usual::of(PEG, 0.0, &rests).expect("balls");
        assert!((usual.carry_m - 40.0).abs() < 1e-9);
        assert_eq!(Usual::of(PEG, 0.0, &[]), None);
    }
}
