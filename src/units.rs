//! Yards, feet and miles an hour at the edges; SI inside.
//!
//! [`parse`] reads what people type: `12mph@240`, `265yd`, `64F`, `18,4L`;
//! [`scores`] a list of scores: `birdie:10,par:50,bogey:40`; [`own_shot`] a tee shot:
//! `3-wood draw, aim 10yd left`.

pub mod own_shot;
pub mod parse;
pub mod scores;

/// Metres in a yard, exactly (international yard, 1959).
pub const YARD_M: f64 = 0.9144;
/// Metres per second in a mile an hour, exactly.
pub const MPH_M_S: f64 = 0.447_04;
/// Metres in a foot, exactly.
pub const FOOT_M: f64 = 0.3048;
/// Radians per second in a revolution a minute.
pub const RPM_RAD_S: f64 = std::f64::consts::TAU / 60.0;
/// Metres per second in a kilometre an hour, exactly.
pub const KMH_M_S: f64 = 1.0 / 3.6;
/// Pascals in a hectopascal (or millibar), exactly.
pub const HPA_PA: f64 = 100.0;
/// Pascals in a conventional inch of mercury (0 °C, standard gravity).
pub const INHG_PA: f64 = 3_386.389;
/// Metres in a pace: pin sheets count paces of a yard (practice).
pub const PACE_M: f64 = YARD_M;

/// In which unit lengths are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LengthUnit {
    /// Yards.
    #[default]
    Yards,
    /// Metres.
    Metres,
}

impl LengthUnit {
    /// A length in this unit.
    #[must_use]
    pub fn of(self, metres: f64) -> f64 {
        match self {
            Self::Yards => metres / YARD_M,
            Self::Metres => metres,
        }
    }

    /// The unit's short name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Yards => "yd",
            Self::Metres => "m",
        }
    }
}
