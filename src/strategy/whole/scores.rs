//! How many strokes a hole takes, not on average but how often.
//!
//! Exact for the kernel ([`total_cost`]), its putts by the published share of single putts and the mean
//! (see [`StrokesToGo::putt_chances`](crate::strategy::finish::StrokesToGo)): never
//! more than three, and no shot from off the green goes in, so that the best and
//! the worst scores are a little rarer here than on grass.

use crate::mdp::{After, Kernel, Policy, total_cost};

/// How far a distribution is tilted at most, of the logarithm of a share, a stroke; and how exactly.
const MOST_TILT: f64 = 2.0;
const TILT_STEP: f64 = 1.0e-12;

/// How often a hole takes how many strokes; adds to 1.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scores {
    /// The share of holes that take so many strokes, from 0 on.
    pub by_strokes: Vec<f64>,
}

/// The shares by name; they add to 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Named {
    /// Two under par or better.
    pub eagle_or_better: f64,
    /// One under.
    pub birdie: f64,
    /// Par.
    pub par: f64,
    /// One over.
    pub bogey: f64,
    /// Two over.
    pub double_bogey: f64,
    /// Three over or worse.
    pub triple_or_worse: f64,
}

impl Scores {
    /// Mean strokes.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.expect(|strokes| strokes as f64)
    }

    /// Variance, strokes².
    #[must_use]
    pub fn variance(&self) -> f64 {
        let mean = self.mean();
        self.expect(|strokes| (strokes as f64 - mean).powi(2))
    }

    /// The mean of a worth of the score.
    #[must_use]
    pub fn expect(&self, worth: impl Fn(usize) -> f64) -> f64 {
        self.by_strokes
            .iter()
            .enumerate()
            .map(|(strokes, share)| share * worth(strokes))
            .sum()
    }

    /// Share of holes that take at most so many strokes.
    #[must_use]
    pub fn at_most(&self, strokes: usize) -> f64 {
        self.by_strokes.iter().take(strokes + 1).sum()
    }

    /// The same moved to another mean: of all shares that have it, those with the least relative
    /// entropy to these, which are `share · exp(tilt · strokes)` up to a factor. Where no shares of
    /// these scores have that mean, they are left as they are.
    #[must_use]
    pub fn moved_to(&self, mean: f64) -> Self {
        let tilted = |tilt: f64| -> Self {
            let weight = |strokes: usize| (tilt * (strokes as f64 - mean)).exp();
            let all = self.by_strokes.iter().enumerate();
            let by_strokes: Vec<f64> = all
                .map(|(strokes, share)| share * weight(strokes))
                .collect();
            let sum: f64 = by_strokes.iter().sum();
            Self {
                by_strokes: by_strokes.iter().map(|share| share / sum).collect(),
            }
        };
        // The mean grows with the tilt.
        let (mut low, mut high) = (-MOST_TILT, MOST_TILT);
        if !(tilted(low).mean() <= mean && mean <= tilted(high).mean()) {
            return self.clone();
        }
        while high - low > TILT_STEP {
            let middle = f64::midpoint(low, high);
            if tilted(middle).mean() < mean {
                low = middle;
            } else {
                high = middle;
            }
        }
        tilted(low)
    }

    /// The same with so many strokes more on every hole; none below one stroke.
    #[must_use]
    pub fn raised(&self, strokes: i8) -> Self {
        let mut raised = Self::default();
        for (score, share) in self.by_strokes.iter().enumerate().filter(|s| *s.1 > 0.0) {
            let score = score.saturating_add_signed(isize::from(strokes)).max(1);
            raised.add(score, *share);
        }
        raised
    }

    /// The shares by name.
    #[must_use]
    pub fn named(&self, par: usize) -> Named {
        let over = |low: i64, high: i64| {
            self.expect(|strokes| {
                let over = strokes as i64 - par as i64;
                f64::from(u8::from((low..=high).contains(&over)))
            })
        };
        Named {
            eagle_or_better: over(i64::MIN, -2),
            birdie: over(-1, -1),
            par: over(0, 0),
            bogey: over(1, 1),
            double_bogey: over(2, 2),
            triple_or_worse: over(3, i64::MAX),
        }
    }

    /// Of a policy after a shot that is not of the kernel: its outcomes with their shares, which add
    /// to 1.
    #[must_use]
    pub fn after(kernel: &Kernel, policy: &impl Policy, shot: &[(f64, After)]) -> Self {
        Self {
            by_strokes: total_cost::after(kernel, policy, 0, shot, None),
        }
    }

    fn add(&mut self, strokes: usize, share: f64) {
        if self.by_strokes.len() <= strokes {
            self.by_strokes.resize(strokes + 1, 0.0);
        }
        self.by_strokes[strokes] += share;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Shares of 2 and 4 at a half each, moved to a mean of 3.5: three quarters are four. A
    /// mean that no such shares have leaves them.
    #[test]
    fn scores_are_moved_to_a_mean() {
        let even = Scores {
            by_strokes: vec![0.0, 0.0, 0.5, 0.0, 0.5],
        };
        let moved = even.moved_to(3.5);
        for (share, wanted) in moved.by_strokes.iter().zip([0.0, 0.0, 0.25, 0.0, 0.75]) {
            assert!((share - wanted).abs() < 1.0e-9, "{moved:?}");
        }
        assert_eq!(even.moved_to(5.0), even);
    }

    /// Every score has one name.
    #[test]
    fn names_share_out_all_scores() {
        let scores = Scores {
            by_strokes: vec![0.0, 0.125, 0.25, 0.125, 0.25, 0.125, 0.125],
        };
        assert_eq!(scores.at_most(2), 0.375);
        let named = scores.named(3);
        let wanted = [0.125, 0.25, 0.125, 0.25, 0.125, 0.125];
        let found = [
            named.eagle_or_better,
            named.birdie,
            named.par,
            named.bogey,
            named.double_bogey,
            named.triple_or_worse,
        ];
        assert_eq!(found, wanted);
    }
}
