//! The wind in a player's words: how strong, from where, and what it is to the shot.

use crate::units::{LengthUnit, MPH_M_S};

/// Whether a wind is worth a word.
#[must_use]
pub fn is_windy(speed_m_s: f64) -> bool {
    speed_m_s >= 0.25
}

/// One of sixteen names for where a wind blows from; empty for no number.
#[must_use]
pub fn compass(from_deg: f64) -> &'static str {
    const NAMES: [&str; 16] = [
        "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW",
        "NW", "NNW",
    ];
    if !from_deg.is_finite() {
        return "";
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let at = (from_deg.rem_euclid(360.0) / 22.5).round() as usize;
    NAMES[at % 16]
}

/// A speed without its unit: whole miles an hour, tenths of a metre a second.
#[must_use]
pub fn number(m_s: f64, unit: LengthUnit) -> String {
    let (value, decimals) = match unit {
        LengthUnit::Yards => (m_s / MPH_M_S, 0),
        LengthUnit::Metres => (m_s, 1),
    };
    if value.is_nan() || value.abs() >= 1.0e6 {
        return "–".into();
    }
    let words = format!("{value:.decimals$}");
    let nothing = words.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if nothing { "0".into() } else { words }
}

/// A speed with its unit.
#[must_use]
pub fn speed(m_s: f64, unit: LengthUnit) -> String {
    let name = match unit {
        LengthUnit::Yards => "mph",
        LengthUnit::Metres => "m/s",
    };
    format!("{} {name}", number(m_s, unit))
}

/// The wind across an aim, m/s; positive pushes the ball right.
#[must_use]
pub fn cross_wind_m_s(speed_m_s: f64, from_deg: f64, aim_deg: f64) -> f64 {
    -speed_m_s * (from_deg - aim_deg).to_radians().sin()
}

/// "10 into, 9 off the left": a wind along and across an aim; empty for none.
#[must_use]
pub fn to_the_aim(speed_m_s: f64, from_deg: f64, aim_deg: f64, unit: LengthUnit) -> String {
    let turn = (from_deg - aim_deg).to_radians();
    let (head, cross) = (speed_m_s * turn.cos(), speed_m_s * turn.sin());
    let along = if head > 0.0 { "into" } else { "helping" };
    let across = if cross > 0.0 {
        "off the right"
    } else {
        "off the left"
    };
    let parts: Vec<String> = [(head, along), (cross, across)]
        .into_iter()
        .map(|(m_s, words)| (number(m_s.abs(), unit), words))
        .filter(|(number, _)| number != "0" && number != "–")
        .map(|(number, words)| format!("{number} {words}"))
        .collect();
    parts.join(", ")
}

/// Where a wind comes from, seen along the shot, in eight steps.
#[must_use]
pub fn eighth(from_deg: f64, aim_deg: f64) -> &'static str {
    const NAMES: [&str; 8] = [
        "into",
        "into, off the right",
        "off the right",
        "helping, off the right",
        "helping",
        "helping, off the left",
        "off the left",
        "into, off the left",
    ];
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let at = ((from_deg - aim_deg).rem_euclid(360.0) / 45.0).round() as usize;
    NAMES[at % 8]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn winds_by_the_aim() {
        let to =
            |from_deg, aim_deg| to_the_aim(10.0 * MPH_M_S, from_deg, aim_deg, LengthUnit::Yards);
        assert_eq!(to(0.0, 0.0), "10 into");
        assert_eq!(to(180.0, 0.0), "10 helping");
        assert_eq!(to(270.0, 0.0), "10 off the left");
        assert_eq!(to(90.0, 0.0), "10 off the right");
        assert_eq!(to(315.0, 0.0), "7 into, 7 off the left");
        assert_eq!(to_the_aim(0.01, 12.0, 40.0, LengthUnit::Yards), "");
        assert_eq!(
            to_the_aim(4.5, 100.0, 100.0, LengthUnit::Metres),
            "4.5 into"
        );
        assert_eq!(eighth(44.0, 0.0), "into, off the right");
        assert_eq!(eighth(10.0, 190.0), "helping");
        assert_eq!(eighth(f64::NAN, 190.0), "into");
    }

    #[test]
    fn names_and_numbers() {
        assert_eq!((compass(0.0), compass(359.0)), ("N", "N"));
        assert_eq!((compass(247.5), compass(f64::NAN)), ("WSW", ""));
        assert_eq!(speed(4.0 * MPH_M_S, LengthUnit::Yards), "4 mph");
        assert_eq!(speed(4.26, LengthUnit::Metres), "4.3 m/s");
        assert_eq!(number(-0.01, LengthUnit::Metres), "0");
        assert_eq!(number(f64::NAN, LengthUnit::Yards), "–");
    }

    #[test]
    fn the_wind_across_an_aim() {
        // Wind from the west across an aim to the north pushes right.
        assert!((cross_wind_m_s(5.0, 270.0, 0.0) - 5.0).abs() < 1e-9);
        assert!((cross_wind_m_s(5.0, 45.0, 45.0)).abs() < 1e-9);
        assert!((cross_wind_m_s(5.0, 100.0, 10.0) + 5.0).abs() < 1e-9);
    }
}
