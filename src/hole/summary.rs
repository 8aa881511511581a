//! What a file holds, on one screen.

use super::{Course, Surface};
use crate::units::LengthUnit;

/// What a course file holds.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseSummary {
    /// The file, as the user named it.
    pub file: String,
    /// Its sound holes.
    pub holes: Vec<HoleSummary>,
    /// Refs of the holes that cannot be played.
    pub broken: Vec<String>,
    /// What may be so and is to be checked first, alike ones once, with how often.
    pub first: Vec<(String, usize)>,
    /// The other notes on the file and on its holes, alike ones once, with how often.
    pub notes: Vec<(String, usize)>,
}

/// What one hole holds.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleSummary {
    /// The hole's `ref`.
    pub reference: String,
    /// Its name: hostile text until escaped.
    pub name: Option<String>,
    /// Par.
    pub par: u8,
    /// Length from the usual tee to the pin, m.
    pub length_m: f64,
    /// Colours of its tees, longest first; "–" for one without.
    pub tees: Vec<String>,
    /// True where every teeing area was put by rule.
    pub tees_assumed: bool,
    /// Drawn areas: fairway, green, bunker, penalty areas, out of bounds, trees.
    pub areas: [usize; 6],
    /// Single trees and trees of rows.
    pub trees: usize,
    /// Lowest and highest ground, m; `None` where the hole is flat.
    pub relief_m: Option<f64>,
}

/// Sums up a course.
#[must_use]
pub fn summarise(course: &Course) -> CourseSummary {
    let holes = course
        .holes
        .iter()
        .map(|hole| {
            let count = |wanted: &[Surface]| {
                hole.patches
                    .iter()
                    .filter(|patch| wanted.contains(&patch.surface))
                    .count()
            };
            let heights = &hole.field.heights;
            let low = heights
                .iter()
                .map(|each| each.1)
                .fold(f64::INFINITY, f64::min);
            let high = heights
                .iter()
                .map(|each| each.1)
                .fold(f64::NEG_INFINITY, f64::max);
            HoleSummary {
                reference: hole.reference.clone(),
                name: hole.name.clone(),
                par: hole.par,
                length_m: hole.length_m,
                tees: hole
                    .tees
                    .iter()
                    .map(|tee| {
                        if tee.colours.is_empty() {
                            "–".to_string()
                        } else {
                            tee.colours.join(";")
                        }
                    })
                    .collect(),
                tees_assumed: hole.tees.iter().all(|tee| tee.assumed),
                areas: [
                    count(&[Surface::Fairway]),
                    count(&[Surface::Green]),
                    count(&[Surface::Bunker]),
                    count(&[Surface::PenaltyRed, Surface::PenaltyYellow]),
                    count(&[Surface::OutOfBounds]),
                    count(&[Surface::Trees]),
                ],
                trees: hole.trees.len(),
                relief_m: (high > low).then_some(high - low),
            }
        })
        .collect();
    let mut first: Vec<(String, usize)> = Vec::new();
    let mut notes: Vec<(String, usize)> = Vec::new();
    let all = course
        .notes
        .iter()
        .chain(course.holes.iter().flat_map(|hole| &hole.notes));
    for note in all {
        let list = match note.topic {
            Some(_) => &mut first,
            None => &mut notes,
        };
        match list.iter_mut().find(|each| each.0 == note.text) {
            Some(each) => each.1 += 1,
            None => list.push((note.text.clone(), 1)),
        }
    }
    CourseSummary {
        file: course.file.clone(),
        holes,
        broken: course.broken.iter().map(|each| each.0.clone()).collect(),
        first,
        notes,
    }
}

/// A summary as text for a terminal, a line a hole.
#[must_use]
pub fn summary_text(summary: &CourseSummary, unit: LengthUnit) -> String {
    use crate::diagnostic::printable;
    use std::fmt::Write as _;
    let mut text = String::new();
    // Writing to a String cannot fail.
    let _ = writeln!(
        text,
        "{}: {} hole{}",
        printable(&summary.file),
        summary.holes.len(),
        plural(summary.holes.len())
    );
    let _ = writeln!(
        text,
        "hole  par  {:>6}  fairway green bunker penalty out wood tree  tees",
        unit.name()
    );
    for hole in &summary.holes {
        let [fairway, green, bunker, penalty, out, wood] = hole.areas;
        let _ = write!(
            text,
            "{:<4}  {:>3}  {:>6.0}  {fairway:>7} {green:>5} {bunker:>6} {penalty:>7} {out:>3} {wood:>4} {:>4}  {}",
            printable(&hole.reference),
            hole.par,
            unit.of(hole.length_m),
            hole.trees,
            printable(&hole.tees.join(", ")),
        );
        if hole.tees_assumed {
            text.push_str(" (markers assumed)");
        }
        if let Some(name) = &hole.name {
            let _ = write!(text, "  {}", printable(name));
        }
        text.push('\n');
    }
    if !summary.broken.is_empty() {
        let _ = writeln!(
            text,
            "not playable: {}",
            printable(&summary.broken.join(", "))
        );
    }
    let first = summary.first.iter().map(|note| ("check first", note));
    let notes = summary.notes.iter().map(|note| ("note", note));
    for (kind, (note, times)) in first.chain(notes) {
        let _ = match times {
            1 => writeln!(text, "{kind}: {}", printable(note)),
            n => writeln!(text, "{kind}: {} (×{n})", printable(note)),
        };
    }
    text
}

fn plural(n: usize) -> &'static str {
    if n == 1 { "" } else { "s" }
}
