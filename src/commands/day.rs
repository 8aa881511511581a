//! The day's air and wind, from the options that describe it.

use bendline::flight::Firmness;
use bendline::flight::air::{Weather, Wind};
use bendline::round::Round;

use crate::cli;

/// Temperature where none is given, °C: a mild day.
const USUAL_TEMPERATURE_C: f64 = 20.0;
/// Relative humidity where none is given.
const USUAL_HUMIDITY: f64 = 0.5;
/// Roughness length of open grass, m (Davenport–Wieringa class 3).
pub const ROUGHNESS_M: f64 = 0.03;
/// Standard deviation of the wind a ball meets, as a share of the mean. The turbulence intensity
/// at 10 m is 1/ln(10/0.03) = 0.17; a flight of six seconds evens some of it out (practice).
const GUST_SHARE: f64 = 0.15;

/// The day of a round file, as options would give it.
pub fn of_round(round: &Round) -> cli::Day {
    cli::Day {
        temperature: round.temperature_c,
        altitude: round.altitude_m,
        pressure: round.pressure_pa,
        humidity: round.humidity,
        firmness: match round.firmness.unwrap_or_default() {
            Firmness::Soft => cli::Ground::Soft,
            Firmness::Medium => cli::Ground::Medium,
            Firmness::Firm => cli::Ground::Firm,
        },
    }
}

/// Air of the day: what is not given is a mild day in the standard atmosphere of the altitude.
pub fn weather(day: &cli::Day) -> Weather {
    let standard = Weather::at_altitude(altitude_m(day));
    Weather {
        temperature_c: day.temperature.unwrap_or(USUAL_TEMPERATURE_C),
        pressure_pa: day.pressure.unwrap_or(standard.pressure_pa),
        humidity: day.humidity.unwrap_or(USUAL_HUMIDITY),
    }
}

/// Air where nothing is known of the day: a mild one at sea level.
pub fn usual_weather() -> Weather {
    Weather {
        temperature_c: USUAL_TEMPERATURE_C,
        pressure_pa: Weather::at_altitude(0.0).pressure_pa,
        humidity: USUAL_HUMIDITY,
    }
}

/// Height above the sea, m.
pub fn altitude_m(day: &cli::Day) -> f64 {
    day.altitude.unwrap_or(0.0)
}

/// Wind of the day; calm where none is given.
pub fn wind(wind: &cli::Wind) -> Wind {
    wind.wind.map_or(
        Wind {
            speed_m_s: 0.0,
            from_deg: 0.0,
            gust_share: 0.0,
        },
        |given| Wind {
            speed_m_s: given.speed_m_s,
            from_deg: given.from_deg,
            gust_share: GUST_SHARE,
        },
    )
}
