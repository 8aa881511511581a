//! The few operations a flight needs, for `f32` lanes (the product) and `f64`
//! (the tests that measure what single precision costs).

use std::ops::{Add, Div, Mul, Neg, Sub};

/// A real number whose operations compile to branch-free code.
pub(super) trait Real:
    Copy
    + PartialOrd
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
{
    fn of(value: f64) -> Self;
    fn root(self) -> Self;
    /// Natural logarithm of a positive, normal number.
    fn logarithm(self) -> Self;
    fn sine(self) -> Self;
    fn power(self, exponent: f64) -> Self;

    // Written as selections because `f32::max` must look after NaN and does
    // not become one instruction.
    #[inline(always)]
    fn greater(self, other: Self) -> Self {
        if self > other { self } else { other }
    }
    #[inline(always)]
    fn lesser(self, other: Self) -> Self {
        if self < other { self } else { other }
    }
}

impl Real for f64 {
    #[inline(always)]
    fn of(value: f64) -> Self {
        value
    }
    #[inline(always)]
    fn root(self) -> Self {
        self.sqrt()
    }
    fn logarithm(self) -> Self {
        self.ln()
    }
    fn sine(self) -> Self {
        self.sin()
    }
    fn power(self, exponent: f64) -> Self {
        self.powf(exponent)
    }
}

impl Real for f32 {
    #[inline(always)]
    fn of(value: f64) -> Self {
        value as Self
    }
    #[inline(always)]
    fn root(self) -> Self {
        self.sqrt()
    }
    /// `x = m 2ᵉ` with `m` in [√½, √2), then `ln m = 2 artanh((m−1)/(m+1))` by its
    /// series to the seventh power: within 1e-6 of the truth, and no call that
    /// would keep the lanes from vectorising.
    #[inline(always)]
    fn logarithm(self) -> Self {
        const ROOT_HALF_BITS: i32 = 0x3f35_04f3;
        let bits = self.to_bits().cast_signed();
        let exponent = bits.wrapping_sub(ROOT_HALF_BITS) >> 23;
        let mantissa = Self::from_bits(bits.wrapping_sub(exponent << 23).cast_unsigned());
        let t = (mantissa - 1.0) / (mantissa + 1.0);
        let t2 = t * t;
        let series = 2.0 + t2 * (2.0 / 3.0 + t2 * (2.0 / 5.0 + t2 * (2.0 / 7.0)));
        exponent as Self * std::f32::consts::LN_2 + t * series
    }
    fn sine(self) -> Self {
        self.sin()
    }
    fn power(self, exponent: f64) -> Self {
        self.powf(exponent as Self)
    }
}

#[cfg(test)]
mod tests {
    use super::Real;

    #[test]
    fn the_fast_logarithm_is_the_logarithm() {
        for step in 1..40_000 {
            let x = step as f32 * 0.01;
            let truth = f64::from(x).ln();
            let found = f64::from(x.logarithm());
            assert!(
                (found - truth).abs() < 1.0e-6,
                "ln {x}: {found} and {truth}"
            );
        }
    }
}
