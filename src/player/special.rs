//! The special functions behind heavy tails and posteriors.
//!
//! Short textbook forms (Abramowitz & Stegun, *Handbook of Mathematical
//! Functions*, 1964, chapters 6 and 26), checked against SciPy in the tests.
//! None of them can panic: out of range they give NaN or the nearest end.

/// ln Γ(x), Stirling's series after a shift (A&S 6.1.15, 6.1.41). `x` above 0.
#[must_use]
pub fn ln_gamma(mut x: f64) -> f64 {
    let mut shift = 0.0;
    while x < 12.0 {
        shift += x.ln();
        x += 1.0;
    }
    let r = 1.0 / (x * x);
    let series =
        (1.0 / 12.0 - r * (1.0 / 360.0 - r * (1.0 / 1260.0 - r * (1.0 / 1680.0 - r / 1188.0)))) / x;
    (x - 0.5) * x.ln() - x + 0.5 * std::f64::consts::TAU.ln() + series - shift
}

/// The regularised incomplete gamma functions `(P(a, x), Q(a, x))`, each with
/// its own relative accuracy: series (A&S 6.5.29) below, continued fraction
/// (A&S 6.5.31) above.
#[must_use]
pub fn incomplete_gamma(a: f64, x: f64) -> (f64, f64) {
    if x <= 0.0 {
        return (0.0, 1.0);
    }
    let front = (a * x.ln() - x - ln_gamma(a)).exp();
    if x < a + 1.0 {
        let (mut term, mut sum, mut k) = (1.0 / a, 1.0 / a, a);
        for _ in 0..20_000 {
            k += 1.0;
            term *= x / k;
            sum += term;
            if term < sum * 1e-17 {
                break;
            }
        }
        let p = front * sum;
        (p, 1.0 - p)
    } else {
        // Modified Lentz.
        let mut b = x + 1.0 - a;
        let mut c = 1e300;
        let mut d = 1.0 / b;
        let mut h = d;
        for i in 1..20_000 {
            let k = f64::from(i);
            let an = -k * (k - a);
            b += 2.0;
            d = 1.0 / nonzero(an * d + b);
            c = nonzero(b + an / c);
            let step = d * c;
            h *= step;
            if (step - 1.0).abs() < 1e-16 {
                break;
            }
        }
        let q = front * h;
        (1.0 - q, q)
    }
}

fn nonzero(x: f64) -> f64 {
    if x.abs() < 1e-300 { 1e-300 } else { x }
}

/// The share of a standard normal below `z`.
#[must_use]
pub fn normal_share_below(z: f64) -> f64 {
    let (p, q) = incomplete_gamma(0.5, 0.5 * z * z);
    if z < 0.0 { 0.5 * q } else { 0.5 + 0.5 * p }
}

/// The χ² quantile at `p`, strictly between 0 and 1.
#[must_use]
pub fn chi_square_quantile(p: f64, dof: f64) -> f64 {
    chi_square_quantile_of_tails(p, 1.0 - p, dof)
}

/// The χ² quantile given both tails, so that neither end loses digits:
/// Newton on the log of the smaller tail, kept inside a bracket, from Wilson
/// and Hilferty's start.
#[must_use]
pub fn chi_square_quantile_of_tails(p: f64, q: f64, dof: f64) -> f64 {
    let a = 0.5 * dof;
    let (mut low, mut high) = (0.0_f64, f64::INFINITY);
    let z = if p < q {
        crate::sample::normal_quantile(p)
    } else {
        -crate::sample::normal_quantile(q)
    };
    let start = a * (1.0 - 1.0 / (9.0 * a) + z / (3.0 * a.sqrt())).powi(3);
    let foot = ((p.ln() + ln_gamma(a + 1.0)) / a).exp();
    let mut x = if start > 0.2 * a { start } else { foot };
    for _ in 0..200 {
        let (below, above) = incomplete_gamma(a, x);
        let lower_tail = p < q;
        let miss = if lower_tail {
            (below / p).ln()
        } else {
            -(above / q).ln()
        };
        if miss > 0.0 {
            high = x;
        } else {
            low = x;
        }
        let log_density = (a - 1.0) * x.ln() - x - ln_gamma(a);
        let slope = (log_density - if lower_tail { below.ln() } else { above.ln() }).exp();
        let mut next = x - miss / slope;
        if !(next > low && next < high) {
            next = if high.is_finite() {
                0.5 * (low + high)
            } else {
                2.0 * x
            };
        }
        let done = (next - x).abs() <= 1e-14 * x;
        x = next;
        if done {
            break;
        }
    }
    2.0 * x
}

/// The regularised incomplete beta function (continued fraction, A&S 26.5.8).
#[must_use]
pub fn incomplete_beta(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - incomplete_beta(b, a, 1.0 - x);
    }
    let front =
        (a * x.ln() + b * (-x).ln_1p() + ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b)).exp() / a;
    let mut c = 1.0;
    let mut d = 1.0 / nonzero(1.0 - (a + b) * x / (a + 1.0));
    let mut h = d;
    for m in 1..20_000 {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        let mut step = 1.0;
        for coefficient in [even, odd] {
            d = 1.0 / nonzero(1.0 + coefficient * d);
            c = nonzero(1.0 + coefficient / c);
            step = d * c;
            h *= step;
        }
        if (step - 1.0).abs() < 1e-16 {
            break;
        }
    }
    front * h
}

/// The share of Student's t below `t`.
#[must_use]
pub fn t_share_below(t: f64, dof: f64) -> f64 {
    let tail = 0.5 * incomplete_beta(0.5 * dof, 0.5, dof / (dof + t * t));
    if t < 0.0 { tail } else { 1.0 - tail }
}

/// Student's t quantile at `p`, strictly between 0 and 1: bisection on the
/// tail's share, then Newton.
#[must_use]
pub fn t_quantile(p: f64, dof: f64) -> f64 {
    let tail = p.min(1.0 - p);
    if tail >= 0.5 {
        return 0.0;
    }
    let (mut low, mut high) = (0.0, 1.0);
    while t_share_below(-high, dof) > tail && high < 1e12 {
        high *= 2.0;
    }
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if t_share_below(-middle, dof) > tail {
            low = middle;
        } else {
            high = middle;
        }
        if high - low <= 1e-15 * high {
            break;
        }
    }
    let t = 0.5 * (low + high);
    if p < 0.5 { -t } else { t }
}

/// Digamma, by recurrence and asymptotic series (A&S 6.3.5, 6.3.18). `x` above 0.
#[must_use]
pub fn digamma(mut x: f64) -> f64 {
    let mut sum = 0.0;
    while x < 12.0 {
        sum -= 1.0 / x;
        x += 1.0;
    }
    let r = 1.0 / (x * x);
    let series =
        r * (1.0 / 12.0 - r * (1.0 / 120.0 - r * (1.0 / 252.0 - r * (1.0 / 240.0 - r / 132.0))));
    sum + x.ln() - 0.5 / x - series
}

/// Trigamma, likewise (A&S 6.4.6, 6.4.12). `x` above 0.
#[must_use]
pub fn trigamma(mut x: f64) -> f64 {
    let mut sum = 0.0;
    while x < 12.0 {
        sum += 1.0 / (x * x);
        x += 1.0;
    }
    let r = 1.0 / (x * x);
    let series =
        r * (1.0 / 6.0 - r * (1.0 / 30.0 - r * (1.0 / 42.0 - r * (1.0 / 30.0 - r * 5.0 / 66.0))));
    sum + 1.0 / x + 0.5 * r + series / x
}

/// Where trigamma takes this value, above 0: bisection in the log, from 1e-4 to
/// 1e8; the nearer end outside.
#[must_use]
pub fn inverse_trigamma(value: f64) -> f64 {
    let (mut low, mut high) = (1e-4_f64.ln(), 1e8_f64.ln());
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if trigamma(middle.exp()) > value {
            low = middle;
        } else {
            high = middle;
        }
    }
    (0.5 * (low + high)).exp()
}

/// The quantile of a Beta distribution: bisection on [`incomplete_beta`].
#[must_use]
pub fn beta_quantile(p: f64, a: f64, b: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if incomplete_beta(a, b, middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
