//! Fixed decimals for the plan file, and no negative zero.

use super::Finish;
use crate::player::course_play::{CoursePlay, Wider};

fn to(value: f64, per_unit: f64) -> f64 {
    // Adding zero turns −0 into 0.
    (value * per_unit).round() / per_unit + 0.0
}

/// Metres to the centimetre.
pub fn metres(value: f64) -> f64 {
    to(value, 100.0)
}

/// Degrees to the hundredth.
pub fn degrees(value: f64) -> f64 {
    to(value, 100.0)
}

/// A bearing to the hundredth of a degree, 0 to 360 (excluded).
pub fn bearing(value: f64) -> f64 {
    degrees(value.rem_euclid(360.0)) % 360.0
}

/// Longitude or latitude to 1e-8°, about a millimetre.
pub fn lon_lat(value: f64) -> f64 {
    to(value, 1.0e8)
}

/// Strokes to four decimals.
pub fn strokes(value: f64) -> f64 {
    to(value, 1.0e4)
}

/// Factors and shares to four decimals.
pub fn course_play(play: CoursePlay) -> CoursePlay {
    let wider = |wider: Wider| Wider {
        direction: to(wider.direction, 1.0e4),
        distance: to(wider.distance, 1.0e4),
    };
    CoursePlay {
        driver: wider(play.driver),
        others: wider(play.others),
        short_game: wider(play.short_game),
        more_mishits: to(play.more_mishits, 1.0e4),
    }
}

/// Shares to four decimals that add to what they added to before, to four
/// decimals: what rounding leaves over goes to the largest remainders.
pub fn shares<const N: usize>(values: [f64; N]) -> [f64; N] {
    let sum = (values.iter().sum::<f64>() * 1.0e4).round();
    let mut floors = values.map(|v| (v * 1.0e4 + 1.0e-9).floor());
    let mut order: [usize; N] = std::array::from_fn(|i| i);
    let left = |i: usize| values[i] * 1.0e4 - (values[i] * 1.0e4 + 1.0e-9).floor();
    order.sort_by(|a, b| left(*b).total_cmp(&left(*a)).then(a.cmp(b)));
    let mut over = sum - floors.iter().sum::<f64>();
    for i in order {
        if over >= 1.0 {
            floors[i] += 1.0;
            over -= 1.0;
        }
    }
    floors.map(|f| f / 1.0e4 + 0.0)
}

/// A finish, rounded.
pub fn finish(f: &Finish) -> Finish {
    let [
        fairway,
        rough,
        bunker,
        green,
        trees,
        penalty_area,
        out_of_bounds,
    ] = shares([
        f.fairway,
        f.rough,
        f.bunker,
        f.green,
        f.trees,
        f.penalty_area,
        f.out_of_bounds,
    ]);
    Finish {
        fairway,
        rough,
        bunker,
        green,
        trees,
        penalty_area,
        out_of_bounds,
    }
}

/// Of a kind of ground that a smaller share of the balls ends in nothing is said.
pub const RARE: f64 = 0.0005;

/// `count` shared out in whole numbers by the shares (largest remainder, the first of
/// equals); all 0 for no shares.
#[must_use]
pub fn apportioned(shares: &[f64], count: u32) -> Vec<u32> {
    let clean = shares
        .iter()
        .map(|s| if s.is_finite() { s.max(0.0) } else { 0.0 });
    let clean: Vec<f64> = clean.collect();
    let sum: f64 = clean.iter().sum();
    if sum <= 0.0 {
        return vec![0; shares.len()];
    }
    let exact: Vec<f64> = clean.iter().map(|s| s / sum * f64::from(count)).collect();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let mut out: Vec<u32> = exact.iter().map(|e| e.floor() as u32).collect();
    let mut order: Vec<usize> = (0..out.len()).collect();
    order.sort_by(|&a, &b| exact[b].fract().total_cmp(&exact[a].fract()));
    let left = count.saturating_sub(out.iter().sum()) as usize;
    for &k in order.iter().take(left) {
        out[k] += 1;
    }
    out
}

/// Whole hundredths that add to 100 (largest remainder); all 0 for no shares.
#[must_use]
pub fn hundredths<const N: usize>(shares: &[f64; N]) -> [u32; N] {
    let clean = shares.map(|s| if s.is_finite() { s.max(0.0) } else { 0.0 });
    let sum: f64 = clean.iter().sum();
    if sum <= 0.0 {
        return [0; N];
    }
    let exact = clean.map(|s| s / sum * 100.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let mut out = exact.map(|e| e.floor() as u32);
    let mut order: Vec<usize> = (0..N).collect();
    order.sort_by(|&a, &b| {
        exact[b]
            .fract()
            .total_cmp(&exact[a].fract())
            .then(a.cmp(&b))
    });
    let missing = 100_u32.saturating_sub(out.iter().sum());
    for &i in order.iter().take(missing as usize) {
        out[i] += 1;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding() {
        assert_eq!(metres(1.236_4), 1.24);
        assert!(metres(-0.001).is_sign_positive());
        assert_eq!(bearing(-0.001), 0.0);
        assert_eq!(bearing(359.999), 0.0);
        assert_eq!(bearing(-90.0), 270.0);
        assert_eq!(lon_lat(-3.123_456_789_1), -3.123_456_79);
    }

    #[test]
    fn thirds_add_to_one() {
        let thirds = shares([1.0 / 3.0; 3]);
        assert_eq!(thirds, [0.3334, 0.3333, 0.3333]);
        assert!((thirds.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert_eq!(shares([0.25, 0.75, 0.0]), [0.25, 0.75, 0.0]);
    }
}
