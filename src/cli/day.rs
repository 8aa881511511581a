//! The day's wind, air and ground.

use bendline::flight::Firmness;
use bendline::units::parse;
use clap::{Args, ValueEnum};

/// The wind of the day.
#[derive(Args, Clone, Copy, Debug)]
#[command(next_help_heading = "The day")]
pub struct Wind {
    /// Wind at 10 m: speed, and the true bearing or compass point it blows FROM, such as 12mph@240
    /// or 5m/s@SW [default: calm]
    #[arg(long, value_name = "SPEED@FROM", value_parser = parse::wind, allow_hyphen_values = true)]
    pub wind: Option<parse::WindText>,
}

/// The air and the ground of the day.
#[derive(Args, Clone, Copy, Debug)]
#[command(next_help_heading = "The day")]
pub struct Day {
    /// Air temperature, such as 18C or 64F [default: 20C]
    #[arg(long, value_name = "TEMP", value_parser = parse::temperature_c, allow_hyphen_values = true)]
    pub temperature: Option<f64>,

    /// Height of the course above the sea, such as 300m or 1000ft [default: 0m]
    #[arg(long, value_name = "HEIGHT", value_parser = parse::altitude_m, allow_hyphen_values = true)]
    pub altitude: Option<f64>,

    /// Air pressure at the course, not reduced to sea level, such as 1013hPa or 29.9inHg
    /// [default: the standard atmosphere's at the altitude]
    #[arg(long, value_name = "PRESSURE", value_parser = parse::pressure_pa)]
    pub pressure: Option<f64>,

    /// Relative humidity, such as 50% [default: 50%]
    #[arg(long, value_name = "SHARE", value_parser = parse::humidity)]
    pub humidity: Option<f64>,

    /// How firm the ground plays
    #[arg(long, value_enum, default_value_t = Ground::Medium)]
    pub firmness: Ground,
}

/// `soft`, `medium` or `firm`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Ground {
    /// A drive runs about 5 yd
    Soft,
    /// About 20 yd
    Medium,
    /// About 35 yd
    Firm,
}

impl From<Ground> for Firmness {
    fn from(ground: Ground) -> Self {
        match ground {
            Ground::Soft => Self::Soft,
            Ground::Medium => Self::Medium,
            Ground::Firm => Self::Firm,
        }
    }
}
