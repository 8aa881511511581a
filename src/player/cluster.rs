//! One shape or two? Asked of a club whose shape is not named in the log.
//!
//! The axis tilts of the club's balls are taken as one heavy-tailed heap or as
//! two normal heaps of one width. Two are believed only where the data call for
//! it: the Bayesian information criterion (Schwarz, *Annals of Statistics* 6,
//! 1978) prefers them by more than [`STRONG`], the heaps stand well apart, and
//! neither is small. When in doubt, one.

use super::special::ln_gamma;

/// Fewer balls than this are never split.
pub const LEAST_SHOTS: usize = 24;
/// A difference in BIC above 10 is very strong (Kass & Raftery, *JASA* 90, 1995);
/// somewhat more is asked for, since one skewed heap looks like two normal ones.
pub const STRONG: f64 = 14.0;
/// Middles closer than this many common spreads are one heap (practice): below
/// it single balls could not be told apart. With this and [`STRONG`] one straight
/// heap, heavy-tailed or not, is called two in fewer than 1 log in 1000, one
/// strongly skewed one in at most 2 in 100 (simulated).
pub const APART: f64 = 4.0;
/// A heap holds at least this share (practice).
pub const LEAST_SHARE: f64 = 0.2;

/// The axis tilt that parts two shapes, degrees; `None` where there is one.
#[must_use]
pub fn parting(axes_deg: &[f64]) -> Option<f64> {
    let n = axes_deg.len();
    if n < LEAST_SHOTS || axes_deg.iter().any(|v| !v.is_finite()) {
        return None;
    }
    let (left, right, spread, share, two) = two_normals(axes_deg)?;
    let one = one_t(axes_deg);
    // Four parameters against two.
    let gain = 2.0 * (two - one) - 2.0 * (n as f64).ln();
    let believed =
        gain > STRONG && right - left > APART * spread && share.min(1.0 - share) >= LEAST_SHARE;
    // Where a ball belongs to either with even odds.
    let odds = (share / (1.0 - share)).ln();
    believed.then(|| 0.5 * (left + right) + spread * spread * odds / (right - left))
}

/// Log likelihood of one t with 5 degrees of freedom, by expectation–maximisation.
fn one_t(values: &[f64]) -> f64 {
    const DOF: f64 = 5.0;
    let n = values.len() as f64;
    let mut middle = values.iter().sum::<f64>() / n;
    let mut square = (values.iter().map(|v| (v - middle).powi(2)).sum::<f64>() / n).max(1e-9);
    for _ in 0..100 {
        let weight = |v: f64| (DOF + 1.0) / (DOF + (v - middle).powi(2) / square);
        let total: f64 = values.iter().map(|v| weight(*v)).sum();
        let next = values.iter().map(|v| weight(*v) * v).sum::<f64>() / total;
        let around = values
            .iter()
            .map(|v| weight(*v) * (v - next).powi(2))
            .sum::<f64>()
            / n;
        (middle, square) = (next, around.max(1e-9));
    }
    let constant = ln_gamma(0.5 * (DOF + 1.0))
        - ln_gamma(0.5 * DOF)
        - 0.5 * (DOF * std::f64::consts::PI * square).ln();
    values
        .iter()
        .map(|v| constant - 0.5 * (DOF + 1.0) * ((v - middle).powi(2) / square / DOF).ln_1p())
        .sum()
}

/// Two normals of one width: left and right middle, spread, the left one's
/// share, log likelihood. Started from the halves of the sorted values.
fn two_normals(values: &[f64]) -> Option<(f64, f64, f64, f64, f64)> {
    let n = values.len() as f64;
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let quantile = |p: f64| sorted[((p * n) as usize).min(sorted.len() - 1)];
    let (mut left, mut right, mut share) = (quantile(0.2), quantile(0.8), 0.5);
    let mut square = ((right - left) / 4.0).powi(2);
    if square <= 1e-9 {
        return None;
    }
    let mut likelihood = f64::NEG_INFINITY;
    for _ in 0..200 {
        let (mut weight, mut sum, mut other, mut log) = (0.0, 0.0, 0.0, 0.0);
        let density = |v: f64, at: f64| {
            (-0.5 * (v - at).powi(2) / square).exp() / (std::f64::consts::TAU * square).sqrt()
        };
        let mut around = 0.0;
        for &v in values {
            let (a, b) = (share * density(v, left), (1.0 - share) * density(v, right));
            let belongs = a / (a + b).max(1e-300);
            log += (a + b).max(1e-300).ln();
            weight += belongs;
            sum += belongs * v;
            other += (1.0 - belongs) * v;
            around += belongs * (v - left).powi(2) + (1.0 - belongs) * (v - right).powi(2);
        }
        let done = (log - likelihood).abs() < 1e-9;
        likelihood = log;
        if done || weight < 1.0 || n - weight < 1.0 {
            break;
        }
        (left, right, share) = (sum / weight, other / (n - weight), weight / n);
        square = (around / n).max(1e-6);
    }
    Some((left, right, square.sqrt(), share, likelihood))
}
