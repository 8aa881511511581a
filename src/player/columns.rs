//! The columns of a shot log: names, units, and what a value can be at all.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use super::shotlog::Shot;
use crate::diagnostic::Place;
use crate::units::{FOOT_M, MPH_M_S, YARD_M};

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Quantity {
    Carry,
    Total,
    Side,
    Start,
    Curve,
    BallSpeed,
    Launch,
    Spin,
    Axis,
    ClubSpeed,
    Attack,
    Path,
    Face,
    Strike,
}

#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Kind {
    Length,
    Speed,
    Fixed(&'static str),
}

/// A quantity: its name in headings, the kind of unit, and what a ball or a
/// club can do at all (SI, degrees, rpm or mm).
pub(crate) struct Rule {
    pub(crate) quantity: Quantity,
    pub(crate) name: &'static str,
    pub(crate) kind: Kind,
    pub(crate) least: f64,
    pub(crate) most: f64,
}

const fn rule(quantity: Quantity, name: &'static str, kind: Kind, least: f64, most: f64) -> Rule {
    Rule {
        quantity,
        name,
        kind,
        least,
        most,
    }
}

// Bounds are practice: wide enough for any golfer and any mishit, narrow
// enough to catch a wrong unit or a slipped decimal point.
const DEG: Kind = Kind::Fixed("deg");
pub(crate) const RULES: [Rule; 14] = [
    rule(Quantity::Carry, "carry", Kind::Length, 0.0, 400.0 * YARD_M),
    rule(Quantity::Total, "total", Kind::Length, 0.0, 500.0 * YARD_M),
    rule(
        Quantity::Side,
        "side",
        Kind::Length,
        -200.0 * YARD_M,
        200.0 * YARD_M,
    ),
    rule(Quantity::Start, "start", DEG, -80.0, 80.0),
    rule(
        Quantity::Curve,
        "curve",
        Kind::Length,
        -150.0 * YARD_M,
        150.0 * YARD_M,
    ),
    rule(
        Quantity::BallSpeed,
        "ball_speed",
        Kind::Speed,
        5.0 * MPH_M_S,
        240.0 * MPH_M_S,
    ),
    rule(Quantity::Launch, "launch", DEG, -20.0, 75.0),
    // Below 100 rpm is no ball hit by a club, but a device that did not measure
    // it, or 2.650 for 2650.
    rule(Quantity::Spin, "spin", Kind::Fixed("rpm"), 100.0, 16_000.0),
    rule(Quantity::Axis, "axis", DEG, -80.0, 80.0),
    rule(
        Quantity::ClubSpeed,
        "club_speed",
        Kind::Speed,
        5.0 * MPH_M_S,
        170.0 * MPH_M_S,
    ),
    rule(Quantity::Attack, "attack", DEG, -25.0, 25.0),
    rule(Quantity::Path, "path", DEG, -35.0, 35.0),
    rule(Quantity::Face, "face", DEG, -45.0, 45.0),
    rule(Quantity::Strike, "strike", Kind::Fixed("mm"), -60.0, 60.0),
];

pub(crate) const COLUMNS: &str = "club, shape, carry_yd, total_yd, side_yd, start_deg, curve_yd, \
    ball_speed_mph, launch_deg, spin_rpm, axis_deg, club_speed_mph, attack_deg, path_deg, \
    face_deg, strike_mm (lengths also _m and _ft, speeds also _ms and _kmh)";

#[derive(Clone, Copy)]
pub(crate) enum Column {
    Club,
    Shape,
    Number {
        rule: &'static Rule,
        unit: &'static str,
        si: f64,
    },
    Other,
}

/// What a heading means; `None` where it is not one of ours. `Carry (yd)`, `carry-yd` and
/// `CARRY [yards]` say the same as `carry_yd`.
pub(crate) fn column_of(heading: &str) -> Option<Column> {
    let heading = plain(heading);
    match heading.as_str() {
        "club" => return Some(Column::Club),
        "shape" => return Some(Column::Shape),
        _ => {}
    }
    let (name, unit) = heading.rsplit_once('_')?;
    let rule = rule_of(name)?;
    let (unit, si) = unit_of(rule.kind, unit)?;
    Some(Column::Number { rule, unit, si })
}

/// A unit as it is named in messages, and what it is in SI (degrees, rpm or mm).
pub(crate) fn unit_of(kind: Kind, word: &str) -> Option<(&'static str, f64)> {
    Some(match (kind, word) {
        (Kind::Length, "yd" | "yds" | "yard" | "yards") => ("yd", YARD_M),
        (Kind::Length, "m" | "metre" | "metres" | "meter" | "meters") => ("m", 1.0),
        (Kind::Length, "ft" | "foot" | "feet") => ("ft", FOOT_M),
        (Kind::Speed, "mph") => ("mph", MPH_M_S),
        (Kind::Speed, "ms" | "mps" | "m/s") => ("m/s", 1.0),
        (Kind::Speed, "kmh" | "kph" | "km/h") => ("km/h", 1.0 / 3.6),
        (Kind::Fixed("deg"), "deg" | "degree" | "degrees" | "\u{b0}") => ("deg", 1.0),
        (Kind::Fixed(fixed), unit) if fixed == unit => (fixed, 1.0),
        _ => return None,
    })
}

/// Whether a word is a unit of any column.
pub(crate) fn is_unit(word: &str) -> bool {
    let kinds = [
        Kind::Length,
        Kind::Speed,
        DEG,
        Kind::Fixed("rpm"),
        Kind::Fixed("mm"),
    ];
    kinds.iter().any(|kind| unit_of(*kind, word).is_some())
}

/// A heading in small letters, its words joined by single `_`; `m/s` and `km/h` without the stroke.
pub(crate) fn plain(heading: &str) -> String {
    let heading = heading.trim().to_lowercase();
    let heading = heading.replace("m/s", "ms").replace("km/h", "kmh");
    let heading = heading.replace('\u{b0}', "_deg");
    let words = heading.split(|c: char| "_ -()[],\u{a0}".contains(c));
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join("_")
}

fn rule_of(name: &str) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.name == name)
}

/// The quantity a heading that is not read seems to mean: right name, no unit
/// or one that is not known.
pub(crate) fn meant(heading: &str) -> Option<&'static Rule> {
    let heading = plain(heading);
    RULES
        .iter()
        .find(|rule| heading == rule.name || heading.starts_with(&format!("{}_", rule.name)))
}

/// Whether what stands for a club is what devices head their sums with.
pub(crate) fn is_summary(club: &str) -> bool {
    let club = plain(&club.replace('.', ""));
    let words = [
        "average",
        "averages",
        "avg",
        "mean",
        "median",
        "std",
        "std_dev",
        "stdev",
        "deviation",
        "standard_deviation",
        "total",
        "totals",
        "sum",
        "min",
        "max",
        "consistency",
    ];
    words.contains(&club.as_str())
}

pub(crate) fn example(rule: &Rule) -> String {
    let unit = match rule.kind {
        Kind::Length => "yd",
        Kind::Speed => "mph",
        Kind::Fixed(unit) => unit,
    };
    format!("{}_{unit}", rule.name)
}

pub(crate) fn put(shot: &mut Shot, quantity: Quantity, value: f64) {
    match quantity {
        Quantity::Carry => shot.carry_m = value,
        Quantity::Total => shot.total_m = Some(value),
        Quantity::Side => shot.side_m = Some(value),
        Quantity::Start => shot.start_deg = Some(value),
        Quantity::Curve => shot.curve_m = Some(value),
        Quantity::BallSpeed => shot.ball_speed_m_s = Some(value),
        Quantity::Launch => shot.launch_deg = Some(value),
        Quantity::Spin => shot.spin_rpm = Some(value),
        Quantity::Axis => shot.axis_deg = Some(value),
        Quantity::ClubSpeed => shot.club_speed_m_s = Some(value),
        Quantity::Attack => shot.attack_deg = Some(value),
        Quantity::Path => shot.path_deg = Some(value),
        Quantity::Face => shot.face_deg = Some(value),
        Quantity::Strike => shot.strike_mm = Some(value),
    }
}

/// The headings of a log's columns that are read, as written in the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Headings {
    /// Line of the headings, counted from 1.
    pub(crate) line: usize,
    /// The heading of the shapes, if there is one.
    pub(crate) shape: Option<String>,
    /// Quantity, heading, unit.
    numbers: Vec<(Quantity, String, &'static str)>,
}

impl Headings {
    pub(crate) fn of(headings: &[String], columns: &[Column], line: usize) -> Self {
        let mut all = Self {
            line,
            ..Self::default()
        };
        for (heading, column) in headings.iter().zip(columns) {
            match column {
                Column::Shape => all.shape = Some(heading.clone()),
                Column::Number { rule, unit, .. } => {
                    all.numbers.push((rule.quantity, heading.clone(), unit));
                }
                Column::Club | Column::Other => {}
            }
        }
        all
    }

    fn find(&self, quantity: Quantity) -> Option<&(Quantity, String, &'static str)> {
        self.numbers.iter().find(|(q, ..)| *q == quantity)
    }

    /// The heading as written; the plain name where the log came from elsewhere.
    pub(crate) fn name(&self, quantity: Quantity) -> String {
        self.find(quantity).map_or_else(
            || {
                let rule = RULES.iter().find(|rule| rule.quantity == quantity);
                rule.map_or_else(String::new, example)
            },
            |(_, heading, _)| heading.trim().to_owned(),
        )
    }

    /// The unit of a column.
    pub(crate) fn unit(&self, quantity: Quantity) -> Option<&'static str> {
        self.find(quantity).map(|(_, _, unit)| *unit)
    }

    /// The place of a column: the cell of its heading.
    pub(crate) fn place(&self, quantity: Quantity) -> Place {
        match self.find(quantity) {
            Some((_, heading, _)) => Place::Cell {
                line: self.line,
                column: heading.clone(),
            },
            None => Place::File,
        }
    }
}
