//! One ball's path between its knots: cubics, and where they come down.

use super::Knot;

/// One ball's flight: its state every [`FlightView::step_s`] seconds from the
/// launch to the first knot at or below the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlightView<'a> {
    /// Time between knots, s.
    pub step_s: f32,
    /// States, from the launch on; at least two.
    pub knots: &'a [Knot],
    /// Unit spin axis, in the frame of the knots.
    pub axis: [f32; 3],
}

impl FlightView<'_> {
    /// The state a share `s` (0 to 1) into the interval that begins at a knot,
    /// by the cubic with both ends' positions and velocities (Hermite).
    ///
    /// # Panics
    /// When `interval + 1` is not the index of a knot.
    #[must_use]
    pub fn within(&self, interval: usize, s: f32) -> Knot {
        let (a, b) = (&self.knots[interval], &self.knots[interval + 1]);
        let h = self.step_s;
        let r = 1.0 - s;
        let slope = 6.0 * s * r / h;
        let [n0, n1] = [r * (1.0 - 3.0 * s), s * (3.0 * s - 2.0)];
        Knot {
            position_m: self.position(interval, s),
            velocity_m_s: std::array::from_fn(|i| {
                slope * (b.position_m[i] - a.position_m[i])
                    + n0 * a.velocity_m_s[i]
                    + n1 * b.velocity_m_s[i]
            }),
            spin_rad_s: r * a.spin_rad_s + s * b.spin_rad_s,
        }
    }

    /// The position there alone.
    // A landing is felt for at ten places of a flight.
    #[inline(always)]
    pub(super) fn position(&self, interval: usize, s: f32) -> [f32; 3] {
        let (a, b) = (&self.knots[interval], &self.knots[interval + 1]);
        let h = self.step_s;
        let r = 1.0 - s;
        let [p0, p1] = [(1.0 + 2.0 * s) * r * r, s * s * (3.0 - 2.0 * s)];
        let [m0, m1] = [s * r * r * h, -s * s * r * h];
        std::array::from_fn(|i| {
            p0 * a.position_m[i]
                + p1 * b.position_m[i]
                + m0 * a.velocity_m_s[i]
                + m1 * b.velocity_m_s[i]
        })
    }

    /// The positions of an interval as three cubics in the share `s` of it:
    /// `c₀ + c₁ s + c₂ s² + c₃ s³`, for those who ask for many.
    pub(super) fn path(&self, interval: usize) -> [[f32; 4]; 3] {
        let (a, b) = (&self.knots[interval], &self.knots[interval + 1]);
        std::array::from_fn(|i| {
            let way = b.position_m[i] - a.position_m[i];
            let (m0, m1) = (
                self.step_s * a.velocity_m_s[i],
                self.step_s * b.velocity_m_s[i],
            );
            [
                a.position_m[i],
                m0,
                3.0 * way - 2.0 * m0 - m1,
                m0 + m1 - 2.0 * way,
            ]
        })
    }

    /// Where the ball comes down through a level `height_m` above its tee.
    ///
    /// A flight that never rises so high gives its highest knot; one that ends
    /// above the level (its floor was higher) its last.
    #[must_use]
    pub fn landing_on_level(&self, height_m: f64) -> Knot {
        let height = height_m as f32;
        let last = self.knots.len() - 1;
        if self.knots[last].position_m[2] > height {
            return self.knots[last];
        }
        let above = self.knots[..last]
            .iter()
            .rposition(|knot| knot.position_m[2] > height);
        let clearance = |position: [f32; 3]| position[2] - height;
        let root = |interval: usize, start: f32| {
            let bounds = [start, 1.0].map(|s| (s, clearance(self.position(interval, s))));
            self.within(interval, self.root(interval, bounds, clearance))
        };
        if let Some(interval) = above {
            return root(interval, 0.0);
        }
        // Above the level for less than an interval, if at all.
        let (interval, share) = self.apex();
        let apex = self.within(interval, share);
        if clearance(apex.position_m) <= 0.0 {
            return apex;
        }
        root(interval, share)
    }

    /// Where the ball is highest: an interval and a share of it.
    fn apex(&self) -> (usize, f32) {
        let rising = |knot: &Knot| knot.velocity_m_s[2] > 0.0;
        let Some(interval) = self.knots[..self.knots.len() - 1].iter().rposition(rising) else {
            return (0, 0.0);
        };
        let (mut low, mut high) = (0.0_f32, 1.0_f32);
        for _ in 0..24 {
            let middle = 0.5 * (low + high);
            if rising(&self.within(interval, middle)) {
                low = middle;
            } else {
                high = middle;
            }
        }
        (interval, low)
    }

    /// The share of an interval, between two bounds, at which `clearance` comes
    /// down through zero; given with each bound, at the second it must not be above
    /// zero. A ball that starts on the ground is looked for above it first, so that it
    /// is caught coming down; where it never leaves the ground the answer is the first
    /// bound. Regula falsi (Illinois) to single precision.
    pub(super) fn root(
        &self,
        interval: usize,
        [(start, at_start), (end, at_end)]: [(f32, f32); 2],
        clearance: impl Fn([f32; 3]) -> f32,
    ) -> f32 {
        let at = |s: f32| clearance(self.position(interval, s));
        let (mut low, mut high) = (start, end);
        let (mut at_low, mut at_high) = (at_start, at_end);
        if at_low <= 0.0 {
            let above = [0.125, 0.25, 0.5, 0.75, 0.03, 0.004]
                .into_iter()
                .map(|share| start + share * (end - start))
                .map(|share| (share, at(share)))
                .find(|(_, value)| *value > 0.0);
            match above {
                Some(place) => (low, at_low) = place,
                None => return start,
            }
        }
        let mut last_was_low = None;
        for _ in 0..40 {
            let s = low + (high - low) * (at_low / (at_low - at_high));
            let value = at(s);
            if value.abs() < 2.0e-6 || high - low < 1.0e-6 {
                return s;
            }
            let is_low = value > 0.0;
            let again = last_was_low == Some(is_low);
            if is_low {
                (low, at_low) = (s, value);
                at_high *= if again { 0.5 } else { 1.0 };
            } else {
                (high, at_high) = (s, value);
                at_low *= if again { 0.5 } else { 1.0 };
            }
            last_was_low = Some(is_low);
        }
        high
    }
}
