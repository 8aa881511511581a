//! The columns of a round log.

use crate::player::columns::{Kind, Quantity, Rule, plain, unit_of};
use crate::units::YARD_M;

/// A column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Field {
    /// The hole.
    Hole,
    /// The club.
    Club,
    /// Longitude.
    Lon,
    /// Latitude.
    Lat,
    /// Carry.
    Carry,
    /// Total.
    Total,
    /// Side.
    Side,
    /// Distance to go.
    ToGo,
    /// Result in words.
    Result,
    /// Score.
    Score,
    /// Putts.
    Putts,
}

/// The columns, for messages.
pub(super) const COLUMNS: &str = "hole, club, lon, lat, carry_yd, total_yd, side_yd, result, to_go_yd, score, putts \
                       (lengths also _m and _ft)";

const fn length(quantity: Quantity, name: &'static str, least: f64, most: f64) -> Rule {
    Rule {
        quantity,
        name,
        kind: Kind::Length,
        least: least * YARD_M,
        most: most * YARD_M,
    }
}

/// What the lengths can be at all (practice).
const CARRY: Rule = length(Quantity::Carry, "carry", 0.0, 500.0);
const TOTAL: Rule = length(Quantity::Total, "total", 0.0, 800.0);
const SIDE: Rule = length(Quantity::Side, "side", -400.0, 400.0);
const TO_GO: Rule = length(Quantity::Total, "to_go", 0.0, 1000.0);

/// A column with its unit where it has one.
#[derive(Clone, Copy)]
pub(super) struct Column {
    pub(super) field: Field,
    /// The rule, the unit's name and what it is in metres.
    pub(super) length: Option<(&'static Rule, &'static str, f64)>,
}

/// What a heading means; the error is the name of a length without its unit.
pub(super) fn column_of(heading: &str) -> Result<Option<Column>, &'static str> {
    let name = plain(heading);
    let simple = match name.as_str() {
        "hole" | "ref" => Some(Field::Hole),
        "club" => Some(Field::Club),
        "lon" | "lng" | "longitude" => Some(Field::Lon),
        "lat" | "latitude" => Some(Field::Lat),
        "result" | "lie" | "ended" => Some(Field::Result),
        "score" | "strokes" => Some(Field::Score),
        "putts" => Some(Field::Putts),
        _ => None,
    };
    if let Some(field) = simple {
        return Ok(Some(Column {
            field,
            length: None,
        }));
    }
    let lengths = [
        (Field::Carry, &CARRY),
        (Field::Total, &TOTAL),
        (Field::Side, &SIDE),
        (Field::ToGo, &TO_GO),
    ];
    for (field, rule) in lengths {
        if name == rule.name {
            return Err(rule.name);
        }
        let unit = name.strip_prefix(rule.name);
        let unit = unit.and_then(|rest| rest.strip_prefix('_'));
        if let Some((unit, metres)) = unit.and_then(|unit| unit_of(Kind::Length, unit)) {
            let length = Some((rule, unit, metres));
            return Ok(Some(Column { field, length }));
        }
    }
    Ok(None)
}
