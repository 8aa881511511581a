//! Quantities as people type them, each a number with its unit.
//!
//! Numbers are plain decimals (`12`, `-3.5`, `.5`): no exponents, no `inf`,
//! no thousands separators. Units may be in either case and stand off by
//! spaces. A number without a unit is refused rather than guessed. Every
//! quantity has a widest sensible range, which its error names.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use std::fmt;

use super::{FOOT_M, HPA_PA, INHG_PA, KMH_M_S, MPH_M_S, PACE_M, YARD_M};
use crate::diagnostic::printable;

/// Why a quantity was not understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misread {
    /// What should have stood there.
    pub expected: String,
    /// What stands there.
    pub found: String,
    /// What to write instead.
    pub remedy: String,
}

impl fmt::Display for Misread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "expected {}, found {}; {}",
            self.expected, self.found, self.remedy
        )
    }
}

impl std::error::Error for Misread {}

/// What a kind of quantity may look like.
struct Kind {
    /// With its article: `a speed`.
    name: &'static str,
    /// Accepted unit names, lower case, with factor and offset to SI.
    units: &'static [(&'static str, f64, f64)],
    /// Smallest and largest accepted value, SI.
    range: [f64; 2],
    /// The range in words.
    range_words: &'static str,
    /// What to write, for the remedy.
    example: &'static str,
}

const BALL_SPEED: Kind = Kind {
    name: "a speed with its unit",
    units: SPEED_UNITS,
    range: [0.0, 120.0],
    range_words: "0 to 120 m/s (268 mph)",
    example: "167mph, 74.7m/s or 269km/h",
};

/// In a stronger wind nobody stands, and a ball may come down anywhere: what follows on a tee shot
/// has too many places then.
const WIND_SPEED: Kind = Kind {
    name: "a wind speed with its unit",
    units: SPEED_UNITS,
    range: [0.0, 27.0],
    range_words: "0 to 27 m/s (60 mph)",
    example: "12mph@240, 5m/s@240 or 20km/h@SW",
};

const SPEED_UNITS: &[(&str, f64, f64)] = &[
    ("mph", MPH_M_S, 0.0),
    ("m/s", 1.0, 0.0),
    ("ms", 1.0, 0.0),
    ("km/h", KMH_M_S, 0.0),
    ("kmh", KMH_M_S, 0.0),
];

const LENGTH_UNITS: &[(&str, f64, f64)] = &[
    ("yd", YARD_M, 0.0),
    ("yds", YARD_M, 0.0),
    ("yard", YARD_M, 0.0),
    ("yards", YARD_M, 0.0),
    ("m", 1.0, 0.0),
    ("metres", 1.0, 0.0),
    ("meters", 1.0, 0.0),
    ("ft", FOOT_M, 0.0),
    ("feet", FOOT_M, 0.0),
];

const LENGTH: Kind = Kind {
    name: "a length with its unit",
    units: LENGTH_UNITS,
    range: [0.0, 2_000.0],
    range_words: "0 to 2000 m",
    example: "265yd, 240m or 790ft",
};

const ALTITUDE: Kind = Kind {
    name: "an altitude with its unit",
    units: LENGTH_UNITS,
    range: [-500.0, 5_000.0],
    range_words: "-500 to 5000 m",
    example: "300m or 1000ft",
};

const STRIKE: Kind = Kind {
    name: "a distance on the club face with its unit",
    units: &[("mm", 1.0, 0.0), ("cm", 10.0, 0.0), ("in", 25.4, 0.0)],
    range: [-40.0, 40.0],
    range_words: "-40 to 40 mm",
    example: "8mm or -8mm",
};

const TEMPERATURE: Kind = Kind {
    name: "a temperature with its unit",
    // Celsius and Fahrenheit meet at -40.
    units: &[
        ("c", 1.0, 0.0),
        ("°c", 1.0, 0.0),
        ("f", 5.0 / 9.0, -160.0 / 9.0),
        ("°f", 5.0 / 9.0, -160.0 / 9.0),
    ],
    range: [-30.0, 55.0],
    range_words: "-30 to 55 C",
    example: "18C or 64F",
};

const PRESSURE: Kind = Kind {
    name: "an air pressure with its unit",
    units: &[
        ("hpa", HPA_PA, 0.0),
        ("mbar", HPA_PA, 0.0),
        ("kpa", 1_000.0, 0.0),
        ("pa", 1.0, 0.0),
        ("inhg", INHG_PA, 0.0),
    ],
    range: [50_000.0, 110_000.0],
    range_words: "500 to 1100 hPa at the course, not reduced to sea level",
    example: "1013hPa or 29.9inHg",
};

const HUMIDITY: Kind = Kind {
    name: "a relative humidity in per cent",
    units: &[("%", 0.01, 0.0)],
    range: [0.0, 1.0],
    range_words: "0 to 100 %",
    example: "50%",
};

const ANGLE: Kind = Kind {
    name: "an angle in degrees",
    units: &[("", 1.0, 0.0), ("deg", 1.0, 0.0), ("°", 1.0, 0.0)],
    range: [-360.0, 360.0],
    range_words: "-360 to 360 degrees",
    example: "10.9 or -5",
};

const CLIMB: Kind = Kind {
    name: "an angle against the horizontal in degrees",
    units: ANGLE.units,
    range: [-20.0, 85.0],
    range_words: "-20 to 85 degrees",
    example: "10.9 or -1.5",
};

const SPIN: Kind = Kind {
    name: "a spin in revolutions a minute",
    units: &[("", 1.0, 0.0), ("rpm", 1.0, 0.0)],
    range: [0.0, 15_000.0],
    range_words: "0 to 15000 rpm",
    example: "2690 or 2690rpm",
};

/// A speed of club or ball, m/s: `167mph`, `74.7m/s`, `269km/h`.
///
/// # Errors
/// What was expected, found, and what to write, when it is none or above 120 m/s.
pub fn speed_m_s(text: &str) -> Result<f64, Misread> {
    quantity(text, &BALL_SPEED)
}

/// A length, m: `265yd`, `240m`, `790ft`.
///
/// # Errors
/// When it is no length, negative or above 2000 m.
pub fn length_m(text: &str) -> Result<f64, Misread> {
    quantity(text, &LENGTH)
}

/// A height above sea level, m: `300m`, `1000ft`.
///
/// # Errors
/// When it is no length or outside −500 to 5000 m.
pub fn altitude_m(text: &str) -> Result<f64, Misread> {
    quantity(text, &ALTITUDE)
}

/// A distance on the club face, mm: `8mm`, `-0.3in`.
///
/// # Errors
/// When it is none or further than 40 mm from the middle.
pub fn strike_mm(text: &str) -> Result<f64, Misread> {
    quantity(text, &STRIKE)
}

/// A temperature, °C: `18C`, `64F`.
///
/// # Errors
/// When it is none or outside −30 to 55 °C.
pub fn temperature_c(text: &str) -> Result<f64, Misread> {
    quantity(text, &TEMPERATURE)
}

/// An air pressure at the course, Pa: `1013hPa`, `29.9inHg`.
///
/// # Errors
/// When it is none or outside 500 to 1100 hPa.
pub fn pressure_pa(text: &str) -> Result<f64, Misread> {
    quantity(text, &PRESSURE)
}

/// A relative humidity, 0 to 1: `50%`.
///
/// # Errors
/// When it is none or outside 0 to 100 %.
pub fn humidity(text: &str) -> Result<f64, Misread> {
    quantity(text, &HUMIDITY)
}

/// An angle, degrees: `10.9`, `-5`, `10.9deg`.
///
/// # Errors
/// When it is none or beyond a full turn.
pub fn angle_deg(text: &str) -> Result<f64, Misread> {
    quantity(text, &ANGLE)
}

/// An angle against the horizontal, up positive, degrees: launch, attack, loft.
///
/// # Errors
/// When it is none or outside −20 to 85 degrees.
pub fn climb_deg(text: &str) -> Result<f64, Misread> {
    quantity(text, &CLIMB)
}

/// A spin, revolutions a minute: `2690`, `2690rpm`.
///
/// # Errors
/// When it is none, negative or above 15 000 rpm.
pub fn spin_rpm(text: &str) -> Result<f64, Misread> {
    quantity(text, &SPIN)
}

/// The wind at 10 m above the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WindText {
    /// Speed, m/s.
    pub speed_m_s: f64,
    /// True bearing it blows from, degrees, 0 to below 360.
    pub from_deg: f64,
}

impl fmt::Display for WindText {
    /// As [`wind`] reads it back, exactly.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}m/s@{}", self.speed_m_s, self.from_deg)
    }
}

/// The sixteen points of the compass, clockwise from north.
const COMPASS: [&str; 16] = [
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW",
    "NNW",
];

/// A wind: `12mph@240`, `5m/s@240`, `20km/h@SW`: speed at 10 m, and the true
/// bearing or compass point it blows *from*.
///
/// # Errors
/// When the speed has no unit or is above 27 m/s, or the direction is neither
/// a bearing from 0 to 360 nor one of the sixteen compass points.
pub fn wind(text: &str) -> Result<WindText, Misread> {
    let Some((speed, from)) = text.split_once('@') else {
        return Err(Misread {
            expected: "a wind as SPEED@FROM".into(),
            found: quoted(text),
            remedy: "write the speed and, after @, where it blows from, such as 12mph@240".into(),
        });
    };
    let speed_m_s = quantity(speed, &WIND_SPEED)?;
    let from = from.trim();
    let point = COMPASS
        .iter()
        .position(|name| name.eq_ignore_ascii_case(from));
    let from_deg = match (point, split(from)) {
        (Some(point), _) => point as f64 * 22.5,
        (None, Some((degrees, ""))) if (0.0..=360.0).contains(&degrees) => degrees % 360.0,
        _ => {
            return Err(Misread {
                expected: "the bearing the wind blows from, 0 to 360 degrees".into(),
                found: quoted(from),
                remedy: "write 240 or SW after the @, such as 12mph@240 or 12mph@SW".into(),
            });
        }
    };
    Ok(WindText {
        speed_m_s,
        from_deg,
    })
}

/// Left or right, seen from where the shot comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

impl Side {
    /// The word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

/// Where the pin stands, as pin sheets give it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PinPaces {
    /// Paces on from the front edge of the green.
    pub on: f64,
    /// Paces in from the edge on `side`, at that depth.
    pub from_side: f64,
    /// Which edge.
    pub side: Side,
}

impl PinPaces {
    /// On from the front edge, m.
    #[must_use]
    pub fn on_m(&self) -> f64 {
        self.on * PACE_M
    }

    /// In from the side, m.
    #[must_use]
    pub fn from_side_m(&self) -> f64 {
        self.from_side * PACE_M
    }
}

impl fmt::Display for PinPaces {
    /// As [`pin`] reads it back, exactly.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let letter = match self.side {
            Side::Left => 'L',
            Side::Right => 'R',
        };
        write!(f, "{},{}{letter}", self.on, self.from_side)
    }
}

/// A pin: `18,4L` is 18 paces on from the front edge and 4 in from the left
/// edge; `R` counts from the right edge.
///
/// # Errors
/// When it has not that form, or a count is negative or above 100 paces.
pub fn pin(text: &str) -> Result<PinPaces, Misread> {
    let wrong = |remedy: &str| Misread {
        expected: "a pin as ON,SIDE in paces, such as 18,4L".into(),
        found: quoted(text),
        remedy: remedy.into(),
    };
    let (on, side) = text.split_once(',').ok_or_else(|| {
        wrong("write paces on from the front edge, a comma, paces from the left (L) or right (R) edge")
    })?;
    let paces = |(number, unit): (f64, &str)| {
        ((0.0..=100.0).contains(&number)).then(|| (number, unit.to_ascii_uppercase()))
    };
    let (on, unit) = split(on).and_then(paces).ok_or_else(|| {
        wrong("before the comma, count the paces on from the front edge, 0 to 100")
    })?;
    if !unit.is_empty() {
        return Err(wrong(
            "before the comma, give paces as a number without a unit",
        ));
    }
    let (from_side, letter) = split(side).and_then(paces).ok_or_else(|| {
        wrong("after the comma, count the paces from the edge, 0 to 100, then L or R")
    })?;
    let side = match letter.as_str() {
        "L" => Side::Left,
        "R" => Side::Right,
        _ => {
            return Err(wrong(
                "end with L for the left edge or R for the right edge",
            ));
        }
    };
    Ok(PinPaces {
        on,
        from_side,
        side,
    })
}

/// Where something to aim at stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TargetText {
    /// Longitude and latitude, degrees.
    Position([f64; 2]),
    /// Along the line of play from the tee and to the right of it, m.
    OnAndRight([f64; 2]),
}

/// Furthest that something to aim at stands off along the line of play, and beside it, yd.
const FURTHEST_YD: [f64; 2] = [3000.0, 1000.0];

/// Where something to aim at stands: `410,25R` in yards on from the tee and right of the line of
/// play, or longitude and latitude as `-3.2012, 55.9012`.
///
/// # Errors
/// When it is neither.
pub fn target(text: &str) -> Result<TargetText, Misread> {
    let wrong = |remedy: &str| Misread {
        expected:
            "a place as ON,SIDE in yards from the tee, such as 410,25R, or as longitude, latitude"
                .into(),
        found: quoted(text),
        remedy: remedy.into(),
    };
    let read = |part: &str| split(part).map(|(number, unit)| (number, unit.to_ascii_uppercase()));
    let both = text.split_once(',');
    let (on, side) = both
        .and_then(|(on, side)| read(on).zip(read(side)))
        .ok_or_else(|| wrong("write two numbers with a comma between them"))?;
    let ((on, unit), (beside, letter)) = (on, side);
    if !unit.is_empty() {
        return Err(wrong("write the first number without a unit"));
    }
    let right = match letter.as_str() {
        "" if on.abs() <= 180.0 && beside.abs() <= 90.0 => {
            return Ok(TargetText::Position([on, beside]));
        }
        "L" => -beside,
        "R" => beside,
        _ => {
            return Err(wrong(
                "end with L or R for left or right of the line of play",
            ));
        }
    };
    if !(0.0..=FURTHEST_YD[0]).contains(&on) || !(0.0..=FURTHEST_YD[1]).contains(&beside) {
        return Err(wrong("write 0 to 3000 yd on and 0 to 1000 yd to the side"));
    }
    Ok(TargetText::OnAndRight(
        [on, right].map(|yards| yards * YARD_M),
    ))
}

/// Number and unit of `text`, the unit trimmed; none without a plain number in front.
fn split(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let sign = text.len() - unsigned.len();
    let end = unsigned
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(unsigned.len());
    let number: f64 = text[..sign + end].parse().ok()?;
    number.is_finite().then(|| (number, unsigned[end..].trim()))
}

/// Reads `text` as a quantity of `kind`, in SI.
fn quantity(text: &str, kind: &Kind) -> Result<f64, Misread> {
    let wrong = |expected: &str| Misread {
        expected: expected.into(),
        found: quoted(text),
        remedy: format!("write it like {}", kind.example),
    };
    let (number, unit) = split(text).ok_or_else(|| wrong(kind.name))?;
    let unit = unit.to_lowercase();
    let &(_, factor, offset) = kind
        .units
        .iter()
        .find(|(name, ..)| *name == unit)
        .ok_or_else(|| wrong(kind.name))?;
    let value = number * factor + offset;
    // Half a millionth of slack, so that the range's own ends pass in every unit.
    let slack = (kind.range[1] - kind.range[0]) * 5.0e-7;
    if value < kind.range[0] - slack || value > kind.range[1] + slack {
        return Err(wrong(&format!("{}, {}", kind.name, kind.range_words)));
    }
    Ok(value)
}

/// `text` in quotes, safe to print, at most 40 characters of it.
fn quoted(text: &str) -> String {
    let shown: String = text.chars().take(40).collect();
    let more = if text.chars().count() > 40 { "…" } else { "" };
    format!("\"{}{more}\"", printable(&shown))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn close(got: f64, want: f64) {
        assert!((got - want).abs() < 1e-9, "{got} is not {want}");
    }

    #[test]
    fn places_to_aim_at() {
        let place = |text| target(text).unwrap();
        let close_to = |text, [on_yd, right_yd]: [f64; 2]| match place(text) {
            TargetText::OnAndRight([on_m, right_m]) => {
                close(on_m, 0.9144 * on_yd);
                close(right_m, 0.9144 * right_yd);
            }
            TargetText::Position(_) => panic!("{text}"),
        };
        close_to("410,25R", [410.0, 25.0]);
        close_to(" 1760 , 12.5 l ", [1760.0, -12.5]);
        close_to("410,0R", [410.0, 0.0]);
        assert_eq!(
            place("-3.2012, 55.9012"),
            TargetText::Position([-3.2012, 55.9012])
        );
        for wrong in [
            "",
            "410",
            "410,25",
            "410yd,25R",
            "-5,10L",
            "4000,10L",
            "10,-5L",
            "10,2000R",
            "200,100",
            "NaN,5R",
            "1e400,5R",
            "410,25X",
            "410,25R,3",
        ] {
            assert!(target(wrong).is_err(), "{wrong}");
        }
    }

    /// Factors are exact by definition (trade: 1 yd = 0.9144 m, 1 mph = 0.44704 m/s).
    #[test]
    fn the_forms_of_the_manual_are_read() {
        close(speed_m_s("167mph").unwrap(), 74.655_68);
        close(speed_m_s("74.7 m/s").unwrap(), 74.7);
        close(speed_m_s("90 KMH").unwrap(), 25.0);
        close(length_m("265yd").unwrap(), 242.316);
        close(length_m("240m").unwrap(), 240.0);
        close(altitude_m("1000ft").unwrap(), 304.8);
        close(altitude_m("-100m").unwrap(), -100.0);
        close(temperature_c("18C").unwrap(), 18.0);
        close(temperature_c("64F").unwrap(), 17.777_777_777_777_8);
        close(temperature_c("-22 °F").unwrap(), -30.0);
        close(pressure_pa("1013.25hPa").unwrap(), 101_325.0);
        close(pressure_pa("29.92inHg").unwrap(), 101_320.758_88);
        close(humidity("55%").unwrap(), 0.55);
        close(angle_deg("-5").unwrap(), -5.0);
        close(spin_rpm("2690rpm").unwrap(), 2690.0);
        close(strike_mm("-8mm").unwrap(), -8.0);
    }

    #[test]
    fn a_wind_is_a_speed_and_where_it_blows_from() {
        let west_by_bearing = wind("12mph@270").unwrap();
        close(west_by_bearing.speed_m_s, 5.364_48);
        close(west_by_bearing.from_deg, 270.0);
        assert_eq!(west_by_bearing, wind("12 mph @ w").unwrap());
        close(wind("20kmh@360").unwrap().from_deg, 0.0);
        close(wind("5m/s@nnw").unwrap().from_deg, 337.5);
    }

    #[test]
    fn a_pin_is_paces_of_a_yard() {
        let pin = pin("18,4L").unwrap();
        assert_eq!(pin.side, Side::Left);
        close(pin.on_m(), 16.4592);
        close(pin.from_side_m(), 3.6576);
        assert_eq!(super::pin(" 7.5 , 3 r").unwrap().side, Side::Right);
    }

    #[test]
    fn errors_say_expected_found_and_remedy() {
        let said = |result: Result<f64, Misread>| result.unwrap_err().to_string();
        assert_eq!(
            said(speed_m_s("167")),
            "expected a speed with its unit, found \"167\"; write it like 167mph, 74.7m/s or 269km/h"
        );
        assert_eq!(
            said(length_m("9km")),
            "expected a length with its unit, found \"9km\"; write it like 265yd, 240m or 790ft"
        );
        assert_eq!(
            said(temperature_c("80C")),
            "expected a temperature with its unit, -30 to 55 C, found \"80C\"; write it like 18C or 64F"
        );
        assert_eq!(
            wind("12mph").unwrap_err().to_string(),
            "expected a wind as SPEED@FROM, found \"12mph\"; write the speed and, after @, where \
             it blows from, such as 12mph@240"
        );
        assert_eq!(
            wind("12mph@400").unwrap_err().to_string(),
            "expected the bearing the wind blows from, 0 to 360 degrees, found \"400\"; write 240 \
             or SW after the @, such as 12mph@240 or 12mph@SW"
        );
        assert_eq!(
            pin("18,4").unwrap_err().to_string(),
            "expected a pin as ON,SIDE in paces, such as 18,4L, found \"18,4\"; end with L for \
             the left edge or R for the right edge"
        );
        for not_a_number in [
            "", "mph", "NaNmph", "infmph", "1e3mph", "--5mph", "1,5mph", "½mph",
        ] {
            assert!(speed_m_s(not_a_number).is_err(), "{not_a_number}");
        }
    }

    proptest! {
        #[test]
        fn no_text_makes_a_reader_panic(text in "\\PC*") {
            let _ = speed_m_s(&text);
            let _ = length_m(&text);
            let _ = temperature_c(&text);
            let _ = pressure_pa(&text);
            let _ = humidity(&text);
            let _ = wind(&text);
            let _ = pin(&text);
        }

        #[test]
        fn near_misses_do_not_panic(text in "[-+]?[0-9.]{0,9}[ @,°%a-zA-Z/]{0,6}[-+0-9.]{0,6}[LRlr°é]?") {
            let _ = speed_m_s(&text);
            let _ = angle_deg(&text);
            let _ = wind(&text);
            let _ = pin(&text);
        }

        #[test]
        fn speeds_go_round(m_s in 0.0..120.0f64) {
            prop_assert_eq!(speed_m_s(&format!("{m_s}m/s")).unwrap(), m_s);
            let by_mph = speed_m_s(&format!("{}mph", m_s / MPH_M_S)).unwrap();
            prop_assert!((by_mph - m_s).abs() < 1e-10);
            let by_kmh = speed_m_s(&format!("{}km/h", m_s * 3.6)).unwrap();
            prop_assert!((by_kmh - m_s).abs() < 1e-10);
        }

        #[test]
        fn lengths_and_temperatures_go_round(m in 0.0..2000.0f64, c in -30.0..55.0f64) {
            let by_yd = length_m(&format!("{}yd", m / YARD_M)).unwrap();
            prop_assert!((by_yd - m).abs() < 1e-9);
            let by_ft = length_m(&format!("{}ft", m / FOOT_M)).unwrap();
            prop_assert!((by_ft - m).abs() < 1e-9);
            let by_f = temperature_c(&format!("{}F", c * 1.8 + 32.0)).unwrap();
            prop_assert!((by_f - c).abs() < 1e-9);
        }

        #[test]
        fn winds_and_pins_go_round_exactly(
            speed_m_s in 0.0..27.0f64, from_deg in 0.0..360.0f64,
            on in 0.0..100.0f64, from_side in 0.0..100.0f64, left: bool,
        ) {
            let blowing = WindText { speed_m_s, from_deg };
            prop_assert_eq!(wind(&blowing.to_string()).unwrap(), blowing);
            let side = if left { Side::Left } else { Side::Right };
            let cut = PinPaces { on, from_side, side };
            prop_assert_eq!(pin(&cut.to_string()).unwrap(), cut);
        }
    }
}
