//! The holes asked for, with their heights, pins and tees.

use bendline::diagnostic::{Place, Problem, Problems, printable};
use bendline::hole::{Course, Heights, Hole, pin};
use bendline::plan::own_target;
use bendline::round::Round;

use crate::terminal;

/// The first hole that is wanted.
pub(super) fn first<'a>(course: &'a Course, wanted: &[String]) -> Option<&'a Hole> {
    let asked = |hole: &&Hole| wanted.is_empty() || wanted.iter().any(|w| is(&hole.reference, w));
    course.holes.iter().find(asked)
}

/// The holes asked for, in the order of the file; all of them when none is named.
///
/// A hole that could not be read stops the work only if it was asked for: by name, or by asking
/// for all.
pub(super) fn choose(course: Course, wanted: &[String], file: &str) -> Result<Vec<Hole>, Problems> {
    let asked = |reference: &str| wanted.is_empty() || wanted.iter().any(|w| is(reference, w));
    let sound: Vec<&str> = course.holes.iter().map(|h| h.reference.as_str()).collect();
    let mut problems = Vec::new();
    for wanted in wanted {
        let known = sound
            .iter()
            .copied()
            .chain(
                course
                    .broken
                    .iter()
                    .map(|(reference, _)| reference.as_str()),
            )
            .any(|reference| is(reference, wanted));
        if !known {
            problems.push(Problem {
                file: file.into(),
                place: Place::Argument(format!("--hole {wanted}")),
                expected: format!("a hole of this file: {}", sound.join(", ")),
                found: format!("\"{wanted}\""),
                remedy: "name one of these, or leave --hole out to plan them all".into(),
            });
        }
    }
    let mut broken = course.broken;
    broken.retain(|(reference, _)| asked(reference));
    if wanted.is_empty() && !broken.is_empty() && !sound.is_empty() {
        terminal::aside(&format!(
            "note: holes {} can be planned: name them with --hole",
            sound.join(", ")
        ));
    }
    problems.extend(broken.into_iter().flat_map(|(_, problems)| problems.0));
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let mut holes = course.holes;
    holes.retain(|hole| asked(&hole.reference));
    Ok(holes)
}

fn is(reference: &str, wanted: &str) -> bool {
    reference.eq_ignore_ascii_case(wanted.trim())
}

/// Every hole on the ground of the raster, or every hole that it does not cover.
pub(super) fn set_heights(holes: &mut [Hole], heights: &Heights) -> Result<(), Problems> {
    let problems: Vec<Problem> = holes
        .iter_mut()
        .filter_map(|hole| hole.set_heights(heights).err())
        .collect();
    all_right(problems)
}

pub(super) fn set_pin(
    holes: &mut [Hole],
    paces: &bendline::units::parse::PinPaces,
) -> Result<(), Problem> {
    match holes {
        [hole] => pin::set(hole, paces),
        _ => Err(Problem {
            file: "command line".into(),
            place: Place::Argument(format!("--pin {paces}")),
            expected: "one hole to set the pin on".into(),
            found: format!("{} holes", holes.len()),
            remedy: "name the hole with --hole, or give a pin sheet with --round".into(),
        }),
    }
}

fn all_right(problems: Vec<Problem>) -> Result<(), Problems> {
    if problems.is_empty() {
        Ok(())
    } else {
        Err(Problems(problems))
    }
}

/// The player's own words for holes that the course has not are a mistake.
pub(super) fn check_notes(known: &[String], round: &Round) -> Result<(), Problems> {
    let unknown = round
        .notes
        .iter()
        .filter(|note| !known.iter().any(|name| is(name, &note.hole)));
    let problems: Vec<Problem> = unknown
        .map(|note| no_such_hole(known, round, (&note.hole, note.line)))
        .collect();
    all_right(problems)
}

/// Adds what the round file has to aim at. A line for a hole of the course that is not planned is passed
/// over; one for a hole that the course has not is a mistake.
pub(super) fn add_targets(
    holes: &mut [Hole],
    known: &[String],
    round: &Round,
) -> Result<(), Problems> {
    let mut problems = Vec::new();
    let tee = round.tees.as_deref();
    for own in &round.targets {
        let hole = holes.iter_mut().find(|hole| is(&hole.reference, &own.hole));
        match hole {
            Some(hole) => {
                problems.extend(own_target::add(hole, tee, &own.name, &own.place).err().map(
                    |problem| Problem {
                        file: round.file.clone(),
                        place: Place::Line(own.line),
                        expected: format!(
                            "targets, hole {}, {}: {}",
                            own.hole,
                            printable(&own.name),
                            problem.expected
                        ),
                        ..problem
                    },
                ));
            }
            None if known.iter().any(|name| is(name, &own.hole)) => {}
            None => problems.push(no_such_hole(known, round, (&own.hole, own.line))),
        }
    }
    all_right(problems)
}

fn no_such_hole(known: &[String], round: &Round, (hole, line): (&str, usize)) -> Problem {
    Problem {
        file: round.file.clone(),
        place: Place::Line(line),
        expected: format!("a hole of the course: {}", known.join(", ")),
        found: format!("\"{hole}\""),
        remedy: "write the hole as in the hole file, or take the line out".into(),
    }
}

/// Sets the pins of a sheet. A line for a hole of the course that is not planned is passed over;
/// one for a hole that the course has not is a mistake.
pub(super) fn set_pins(
    holes: &mut [Hole],
    known: &[String],
    round: &Round,
) -> Result<(), Problems> {
    let mut problems = Vec::new();
    for pin in &round.pins {
        let at = |problem: Problem, remedy: &str| Problem {
            file: round.file.clone(),
            place: Place::Line(pin.line),
            remedy: remedy.into(),
            ..problem
        };
        let hole = holes.iter_mut().find(|hole| is(&hole.reference, &pin.hole));
        match hole {
            Some(hole) => {
                if let Err(problem) = pin::set(hole, &pin.paces) {
                    let expected = format!("pins, hole {}: {}", pin.hole, problem.expected);
                    let problem = Problem {
                        expected,
                        ..problem
                    };
                    problems.push(at(
                        problem,
                        "count the paces again, mind L and R, or take the line out",
                    ));
                }
            }
            None if known.iter().any(|name| is(name, &pin.hole)) => {}
            None => problems.push(no_such_hole(known, round, (&pin.hole, pin.line))),
        }
    }
    all_right(problems)
}

/// Says before anything is planned which holes lack the tee.
pub fn check_tees(holes: &[Hole], tee: Option<&str>) -> Result<(), Problems> {
    let problems: Vec<Problem> = holes
        .iter()
        .filter_map(|hole| hole.tee(tee).err())
        .collect();
    all_right(problems)
}
