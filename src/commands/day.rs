//! The day's air and wind, from the options that describe it.

use bendline::diagnostic::{Place, Problem, Question, Topic};
use bendline::flight::Firmness;
use bendline::flight::air::{USUAL_HUMIDITY, USUAL_TEMPERATURE_C, Weather, Wind};
use bendline::round::Round;
use bendline::units::MPH_M_S;

use crate::cli;

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

/// How far the air pressure moves from the standard atmosphere's, as a share of it: 950 to 1050 hPa
/// at sea level holds nearly all weather.
const PRESSURE_SHARE: f64 = 0.05;
/// Highest pressure ever read, reduced to sea level, Pa (WMO: 1085 hPa, Mongolia 2001).
const HIGHEST_PA: f64 = 108_500.0;
/// Highest place that is planned for without being named, m.
const HIGHEST_PLACE_M: f64 = 3000.0;
/// Beaufort 9, strong gale, begins at 20.8 m/s (WMO Manual on Codes): slight structural damage. The
/// strongest wind planned without a question.
const GALE_M_S: f64 = 20.8;

/// Questions about the day: a pressure that is no pressure of that altitude, a wind in which nobody
/// plays. `file` is the round file or the command line.
pub fn questions(file: &str, day: &cli::Day, wind: Wind) -> Vec<Question> {
    let mut questions = Vec::new();
    let mut ask = |topic, argument: String, expected: String, found: String, remedy: &str| {
        questions.push(Question {
            topic,
            problem: Problem {
                file: file.to_owned(),
                place: Place::Argument(argument),
                expected,
                found,
                remedy: remedy.to_owned(),
            },
        });
    };
    if let (Some(pressure_pa), Some(altitude_m)) = (day.pressure, day.altitude) {
        let standard_pa = Weather::at_altitude(altitude_m).pressure_pa;
        let hpa = |pa: f64| pa / 100.0;
        if (pressure_pa - standard_pa).abs() > PRESSURE_SHARE * standard_pa {
            ask(
                Topic::StationPressure,
                format!("pressure {:.0} hPa", hpa(pressure_pa)),
                format!(
                    "the pressure at the course, about {:.0} hPa at {altitude_m:.0} m",
                    hpa(standard_pa)
                ),
                format!("{:.0} hPa", hpa(pressure_pa)),
                "forecasts give the pressure reduced to sea level: leave the pressure out, and the \
                 altitude tells it",
            );
        }
    }
    if let (Some(pressure_pa), None) = (day.pressure, day.altitude) {
        let lowest_pa = Weather::at_altitude(HIGHEST_PLACE_M).pressure_pa * (1.0 - PRESSURE_SHARE);
        let hpa = |pa: f64| pa / 100.0;
        if !(lowest_pa..=HIGHEST_PA).contains(&pressure_pa) {
            ask(
                Topic::StationPressure,
                format!("pressure {:.0} hPa", hpa(pressure_pa)),
                format!(
                    "the pressure at the course, {:.0} to {:.0} hPa for one below {HIGHEST_PLACE_M:.0} m",
                    hpa(lowest_pa),
                    hpa(HIGHEST_PA)
                ),
                format!("{:.0} hPa, and no altitude", hpa(pressure_pa)),
                "correct the pressure or its unit, or give the altitude",
            );
        }
    }
    if wind.speed_m_s >= GALE_M_S {
        ask(
            Topic::Gale,
            format!("wind {:.0} mph", wind.speed_m_s / MPH_M_S),
            format!(
                "a wind in which golf is played, less than {:.0} mph ({GALE_M_S} m/s, a strong gale)",
                GALE_M_S / MPH_M_S
            ),
            format!(
                "{:.0} mph ({:.1} m/s)",
                wind.speed_m_s / MPH_M_S,
                wind.speed_m_s
            ),
            "correct the speed or its unit",
        );
    }
    questions
}

/// Height above the sea, m.
pub fn altitude_m(day: &cli::Day) -> f64 {
    day.altitude.unwrap_or(0.0)
}

/// Wind of the day; calm where none is given.
pub fn wind(wind: &cli::Wind) -> Wind {
    wind.wind.map_or_else(Wind::default, |given| {
        Wind::blowing(given.speed_m_s, given.from_deg)
    })
}
