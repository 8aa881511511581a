//! Two reports beside each other: before and after lessons, student and goal.
//!
//! Each figure's difference carries the interval that holds it with 90 %: the
//! two reports' own intervals, taken as independent and added in quadrature.
//! "More than chance" is said where that interval leaves out no change at all.

use std::fmt::Write as _;

use super::Basis;
use super::face::Figure;
use super::prior::SPREAD_DOF;
use super::shape::{ClubReport, ShapeReport};
use crate::units::LengthUnit;

/// The 95th percentile of the standard normal.
const Z95: f64 = 1.644_854;

/// What can change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Mean start direction, degrees.
    StartDeg,
    /// Mean curve, m.
    CurveM,
    /// Mean landing off the aim, m.
    SideM,
    /// Mean carry, m.
    CarryM,
    /// Standard deviation across the aim: after over before.
    SideSpread,
    /// Standard deviation of the carry: after over before.
    CarrySpread,
    /// Share of balls that bend the other way.
    TwoWay,
}

/// One figure, before and after.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// Which figure.
    pub what: What,
    /// Before.
    pub before: f64,
    /// After.
    pub after: f64,
    /// After less before with its interval; for spreads after over before.
    pub difference: Figure,
    /// Whether the interval leaves out no change.
    pub more_than_chance: bool,
}

/// One club with one shape in both reports.
#[derive(Clone, Debug, PartialEq)]
pub struct ClubChange {
    /// The club.
    pub club: String,
    /// The shape before and after.
    pub shapes: [String; 2],
    /// Its figures; only those both reports tell.
    pub changes: Vec<Change>,
}

/// What changed between two reports.
#[derive(Clone, Debug, PartialEq)]
pub struct ChangeReport {
    /// Clubs in both, longest first.
    pub clubs: Vec<ClubChange>,
    /// Clubs in one only.
    pub unmatched: Vec<String>,
}

/// Compares two reports. A club's shapes are matched by name; where a club has
/// one shape on either side they are matched whatever their names.
#[must_use]
pub fn compare(before: &ShapeReport, after: &ShapeReport) -> ChangeReport {
    let mut clubs = Vec::new();
    let mut unmatched = Vec::new();
    let same = |a: &str, b: &str| a.to_lowercase() == b.to_lowercase();
    let of = |report: &ShapeReport, club: &str| {
        report
            .clubs
            .iter()
            .filter(|c| same(&c.club, club))
            .cloned()
            .collect::<Vec<ClubReport>>()
    };
    let mut matched = Vec::new();
    for old in &before.clubs {
        let (olds, news) = (of(before, &old.club), of(after, &old.club));
        let by_name = after
            .clubs
            .iter()
            .position(|c| same(&c.club, &old.club) && same(&c.shape, &old.shape));
        let alone = (olds.len() == 1 && news.len() == 1)
            .then(|| after.clubs.iter().position(|c| same(&c.club, &old.club)))
            .flatten();
        match by_name.or(alone) {
            Some(index) => {
                matched.push(index);
                clubs.push(club_change(old, &after.clubs[index]));
            }
            None => unmatched.push(format!("{}, {}", old.club, old.shape)),
        }
    }
    for (index, new) in after.clubs.iter().enumerate() {
        if !matched.contains(&index) {
            unmatched.push(format!("{}, {}", new.club, new.shape));
        }
    }
    ChangeReport { clubs, unmatched }
}

fn club_change(old: &ClubReport, new: &ClubReport) -> ClubChange {
    let mut changes = Vec::new();
    let mut mean = |what, a: Option<Figure>, b: Option<Figure>| {
        if let (Some(a), Some(b)) = (a, b) {
            changes.push(difference(what, a, b));
        }
    };
    mean(What::StartDeg, old.start_deg, new.start_deg);
    mean(What::CurveM, old.curve_m, new.curve_m);
    mean(What::SideM, Some(old.side_m), Some(new.side_m));
    mean(What::CarryM, Some(old.carry_m), Some(new.carry_m));
    mean(What::TwoWay, old.two_way, new.two_way);
    changes.push(ratio(What::SideSpread, [old, new], |c| c.side_spread_m.sd));
    changes.push(ratio(What::CarrySpread, [old, new], |c| {
        c.carry_spread_m.sd
    }));
    ClubChange {
        club: new.club.clone(),
        shapes: [old.shape.clone(), new.shape.clone()],
        changes,
    }
}

fn difference(what: What, a: Figure, b: Figure) -> Change {
    // Towards less the far ends are b's low and a's high, towards more the
    // other two; the ends of a share's interval are not alike.
    let less = (b.value - b.low).hypot(a.high - a.value);
    let more = (b.high - b.value).hypot(a.value - a.low);
    let value = b.value - a.value;
    let difference = Figure {
        value,
        low: value - less,
        high: value + more,
    };
    change(what, a.value, b.value, difference, 0.0)
}

/// A spread given by hand is taken as meant; any other's log is known to `1/√(2·dof)`; half as much again in variance for
/// tails heavier than a normal's.
fn ratio(what: What, clubs: [&ClubReport; 2], of: fn(&ClubReport) -> f64) -> Change {
    let [a, b] = clubs.map(of);
    let variance: f64 = clubs
        .iter()
        .filter(|c| c.basis != Basis::Given)
        .map(|c| 1.5 * 0.5 / (c.effective_shots + SPREAD_DOF))
        .sum();
    let value = b / a.max(1e-9);
    let factor = (Z95 * variance.sqrt()).exp();
    let difference = Figure {
        value,
        low: value / factor,
        high: value * factor,
    };
    change(what, a, b, difference, 1.0)
}

fn change(what: What, before: f64, after: f64, difference: Figure, none: f64) -> Change {
    let more_than_chance = difference.low > none || difference.high < none;
    Change {
        what,
        before,
        after,
        difference,
        more_than_chance,
    }
}

impl ChangeReport {
    /// The report as text for a terminal.
    #[must_use]
    pub fn text(&self, unit: LengthUnit) -> String {
        let mut out = String::new();
        for club in &self.clubs {
            let [old, new] = &club.shapes;
            let shape = if old == new {
                old.clone()
            } else {
                format!("{old} before, {new} after")
            };
            let title = crate::diagnostic::printable(&format!("{}, {shape}", club.club));
            // Writing to a String cannot fail.
            let _ = writeln!(out, "{title}");
            for change in &club.changes {
                let _ = writeln!(out, "  {}", said(change, unit));
            }
        }
        for club in &self.unmatched {
            let _ = writeln!(
                out,
                "{}: in one of the two only",
                crate::diagnostic::printable(club)
            );
        }
        out.push_str(
            "Intervals hold the change with 90 %; \"within chance\" means that no change is among \
             what they hold.\n",
        );
        out
    }
}

fn said(change: &Change, unit: LengthUnit) -> String {
    let name = unit.name();
    let lengths = |v: f64| unit.of(v);
    let plain = |v: f64| v;
    let hundred = |v: f64| 100.0 * v;
    let (title, suffix, digits, of): (_, String, usize, &dyn Fn(f64) -> f64) = match change.what {
        What::StartDeg => ("start", "°".to_owned(), 1, &plain),
        What::CurveM => ("bend", format!(" {name}"), 0, &lengths),
        What::SideM => ("ends", format!(" {name}"), 0, &lengths),
        What::CarryM => ("carry", format!(" {name}"), 0, &lengths),
        What::SideSpread => ("ends, sd", format!(" {name}"), 0, &lengths),
        What::CarrySpread => ("carry, sd", format!(" {name}"), 0, &lengths),
        What::TwoWay => ("other way", " in 100".to_owned(), 0, &hundred),
    };
    let sided = matches!(change.what, What::StartDeg | What::CurveM | What::SideM);
    let side = |v: f64| match (sided, v < 0.0) {
        (false, _) => "",
        (true, true) => " left",
        (true, false) => " right",
    };
    let value = |v: f64| {
        let shown = if sided { of(v).abs() } else { of(v) };
        format!("{shown:.digits$}{suffix}{}", side(v))
    };
    let d = change.difference;
    let by = if matches!(change.what, What::SideSpread | What::CarrySpread) {
        format!("× {:.2} ({:.2} to {:.2})", d.value, d.low, d.high)
    } else {
        format!(
            "{:+.digits$}{suffix} ({:+.digits$} to {:+.digits$})",
            of(d.value),
            of(d.low),
            of(d.high)
        )
    };
    let chance = if change.more_than_chance {
        "more than chance"
    } else {
        "within chance"
    };
    format!(
        "{title:<13} {} before, {} after: {by}, {chance}",
        value(change.before),
        value(change.after)
    )
}
