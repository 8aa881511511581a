//! What can be done from a place, and how finely a hole is cut.

/// Bearings a shot can be aimed along, evenly round.
pub const AIMS: usize = 360;
/// Degrees between two of them.
pub const AIM_STEP_DEG: f64 = 360.0 / AIMS as f64;

/// How finely the hole is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Side of a cell, m.
    pub cell_m: f64,
    /// Balls by which a choice is priced that is often met; a power of two, at most 256.
    pub balls: usize,
    /// Balls of a choice that is seldom met, and of every choice while scouting.
    pub seldom_balls: usize,
    /// Choices kept for a state that is often reached.
    pub choices: usize,
    /// Seed of the balls.
    pub seed: u32,
}

impl Default for Fineness {
    fn default() -> Self {
        Self {
            cell_m: 2.0,
            balls: 32,
            seldom_balls: 4,
            choices: 8,
            seed: 1,
        }
    }
}

/// A shot: a swing along a bearing; a putt from off the green; or a drop under
/// Rule 19.2.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Action {
    /// Index into the problem's swings; those of the constants are beyond.
    pub swing: u16,
    /// Steps of [`AIM_STEP_DEG`] right of the pin, counted all the way round.
    pub aim: u16,
}

impl Action {
    /// The ball is declared unplayable and dropped in the best place.
    pub const UNPLAYABLE: Self = Self {
        swing: u16::MAX,
        aim: 0,
    };
    /// Nothing: the place is not played from.
    pub const NONE: Self = Self {
        swing: u16::MAX,
        aim: 1,
    };
    /// A putt from off the green.
    pub const PUTT: Self = Self {
        swing: u16::MAX,
        aim: 2,
    };

    /// Neither a putt from off the green nor a drop.
    pub(super) fn is_swing(self) -> bool {
        self != Self::PUTT && self != Self::UNPLAYABLE
    }

    /// Its bearing from a place from which the pin bears `pin_deg`, degrees.
    #[must_use]
    pub fn bearing_deg(self, pin_deg: f64) -> f64 {
        (pin_deg + f64::from(self.aim) * AIM_STEP_DEG).rem_euclid(360.0)
    }

    /// The same swing aimed so many steps further right.
    #[must_use]
    pub fn turned(self, steps: i32) -> Self {
        let aim = (i32::from(self.aim) + steps).rem_euclid(AIMS as i32);
        Self {
            aim: aim as u16,
            ..self
        }
    }
}
