//! The shot log that a player was fitted to, kept in the player file.
//!
//! Patterns do not hold their uncertainty, nor strikes, runs and landings. Refitting the log restores
//! them.

use serde::{Deserialize, Serialize};

use super::dialect::{Decimal, Delimiter, Dialect};
use crate::diagnostic::Topic;
use crate::flight::{Firmness, Weather};

/// A log as it was read, and what else the fit depends on beside hand and name.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Logged {
    /// What separated its cells, where the user said so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub delimiter: Option<Delimiter>,
    /// Its decimal sign, likewise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decimal: Option<Decimal>,
    /// Questions that the user answered with "it is so".
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub it_is_so: Vec<Topic>,
    /// Air of the shots: temperature, °C.
    pub temperature_c: f64,
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
    /// Ground of the shots.
    pub firmness: Firmness,
    /// Handicap Index that was given for the fit; none where it was left to the usual one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub handicap: Option<f64>,
    /// The log, as it was written.
    pub csv: String,
}

/// Bounds of the figures, as in `units::parse` and the player file: °C, Pa, share, Handicap Index.
const TEMPERATURE_C: [f64; 2] = [-30.0, 55.0];
const PRESSURE_PA: [f64; 2] = [50_000.0, 110_000.0];
const SHARE: [f64; 2] = [0.0, 1.0];
const HANDICAP: [f64; 2] = [-10.0, 54.0];

impl Logged {
    /// Air of the shots.
    #[must_use]
    pub fn weather(&self) -> Weather {
        Weather {
            temperature_c: self.temperature_c,
            pressure_pa: self.pressure_pa,
            humidity: self.humidity,
        }
    }

    /// How the log is written, as far as the user said so.
    #[must_use]
    pub fn dialect(&self) -> Dialect {
        Dialect {
            delimiter: self.delimiter,
            decimal: self.decimal,
        }
    }

    /// A key with what it is, its bounds, and the value that lies outside them.
    pub(super) fn outside(&self) -> Vec<(&'static str, &'static str, [f64; 2], f64)> {
        let handicap = self.handicap.unwrap_or(0.0);
        [
            (
                "temperature_c",
                "a temperature in °C",
                TEMPERATURE_C,
                self.temperature_c,
            ),
            (
                "pressure_pa",
                "a pressure in Pa",
                PRESSURE_PA,
                self.pressure_pa,
            ),
            ("humidity", "a relative humidity", SHARE, self.humidity),
            ("handicap", "a Handicap Index", HANDICAP, handicap),
        ]
        .into_iter()
        .filter(|(_, _, [low, high], value)| !(*low..=*high).contains(value))
        .collect()
    }
}
