//! The notes on a fit: one note a kind, naming its clubs.

use super::ClubShape;
use super::club::Club;
use super::fit::Evidence;
use super::group::{Fate, Group, LEAST_CURVE, Sight};
use super::invert::Range;
use super::pattern::{ANGLE, SPIN};
use super::roll::{self, Roll};
use crate::diagnostic::{Note, Place};
use crate::units::YARD_M;

/// Fewer used shots than this are called few.
const FEW: usize = 20;

/// Notes on all clubs of a fit, then on single rows in the order of the clubs.
pub(super) fn of_fit(file: &str, clubs: &[(ClubShape, Evidence)], range: &Range) -> Vec<Note> {
    let texts = [
        unknown_loft(clubs),
        few_shots(clubs),
        side_only(clubs),
        usual_launch(clubs),
        corrected(clubs),
        moved_by_run(clubs),
        other_run(clubs, range),
    ];
    let note = |text: String| Note {
        file: file.to_owned(),
        place: Place::File,
        text,
        topic: None,
    };
    let mut notes: Vec<Note> = texts.into_iter().flatten().map(note).collect();
    for (club, evidence) in clubs {
        notes.extend(of_rows(file, &evidence.group, &named(club)));
    }
    notes
}

/// "7-iron (draw)".
fn named(club: &ClubShape) -> String {
    format!("{} ({})", club.club, club.shape)
}

/// The clubs that `pick` says something about; none of none.
fn list(
    clubs: &[(ClubShape, Evidence)],
    pick: impl Fn(&ClubShape, &Evidence) -> Option<String>,
) -> Option<String> {
    let said: Vec<String> = clubs.iter().filter_map(|(club, e)| pick(club, e)).collect();
    (!said.is_empty()).then(|| said.join(", "))
}

fn unknown_loft(clubs: &[(ClubShape, Evidence)]) -> Option<String> {
    let clubs = list(clubs, |club, _| {
        (!Club::of(&club.club).known).then(|| named(club))
    })?;
    Some(format!(
        "a loft is taken from the carry where the name tells none: {clubs}"
    ))
}

fn few_shots(clubs: &[(ClubShape, Evidence)]) -> Option<String> {
    let clubs = list(clubs, |club, e| {
        let used = e.group.used().count();
        (used < FEW).then(|| format!("{} {used}", named(club)))
    })?;
    Some(format!(
        "few shots: {clubs}; these patterns lean on the level and the other clubs and are \
         drawn wider for it"
    ))
}

fn side_only(clubs: &[(ClubShape, Evidence)]) -> Option<String> {
    let clubs = list(clubs, |club, e| {
        (e.group.sight == Sight::SideOnly).then(|| named(club))
    })?;
    Some(format!(
        "only carry and side are logged for {clubs}: start and curve cannot be told apart and \
         are split as usual for the shape"
    ))
}

fn usual_launch(clubs: &[(ClubShape, Evidence)]) -> Option<String> {
    let clubs = list(clubs, |club, e| {
        e.group.usual_launch.then(|| {
            format!(
                "{} {:.1}° {:.0} rpm",
                named(club),
                e.mean[ANGLE],
                e.mean[SPIN]
            )
        })
    })?;
    Some(format!(
        "launch angle and spin are not logged and taken as usual: {clubs}"
    ))
}

/// Clubs whose logged launches do not fly to where they were logged to land.
fn corrected(clubs: &[(ClubShape, Evidence)]) -> Option<String> {
    let clubs = list(clubs, |club, e| {
        let c = e.group.calibration?;
        if (c.carry_ratio - 1.0).abs() <= 0.02 && (c.axis_factor - 1.0).abs() <= 0.1 {
            return None;
        }
        let bend = match c.curve_ratio {
            None => String::new(),
            Some(ratio) if ratio < LEAST_CURVE => {
                " (the curve to the other side, which no factor mends: left as logged)".to_owned()
            }
            Some(ratio) => format!(" and {:.0} % of the curve", 100.0 / ratio),
        };
        Some(format!(
            "{} {:.0} % of the carry{bend}",
            named(club),
            100.0 / c.carry_ratio
        ))
    })?;
    Some(format!(
        "the logged launches do not fly here as they were logged to land: {clubs}; ball speed \
         and axis tilt are corrected so that they do"
    ))
}

/// Clubs whose logged runs moved what launch and spin are taken for.
fn moved_by_run(clubs: &[(ClubShape, Evidence)]) -> Option<String> {
    let clubs = list(clubs, |club, e| {
        let roll = e.group.roll.filter(|r| r.moved.is_some())?;
        Some(format!(
            "{} {:.0} yd",
            named(club),
            roll.logged.mean_m / YARD_M
        ))
    })?;
    Some(format!(
        "that launch and spin are bent towards what makes the balls run as far as logged: \
         {clubs}"
    ))
}

/// Clubs whose balls run here as they did not in the log.
fn other_run(clubs: &[(ClubShape, Evidence)], range: &Range) -> Option<String> {
    let clubs = list(clubs, |club, e| {
        let roll = e.group.roll.filter(Roll::disagrees)?;
        Some(format!(
            "{} {:.0} yd, here {:.0} yd",
            named(club),
            roll.logged.mean_m / YARD_M,
            roll.here_m / YARD_M
        ))
    })?;
    Some(format!(
        "the logged balls do not run as they would here on {} ground: {clubs}; plans roll \
         balls on the ground of the day, not of the log",
        roll::word(range.firmness())
    ))
}

/// A note where the logged runs speak of other ground than was said.
pub(super) fn of_ground(file: &str, range: &Range, groups: &[Group]) -> Option<Note> {
    if !groups.iter().any(|g| g.roll.is_some_and(|r| r.disagrees())) {
        return None;
    }
    let fits = roll::firmness_that_fits(range, groups)?;
    Some(Note {
        file: file.to_owned(),
        place: Place::File,
        text: format!(
            "the logged launches run as on {} ground: say so with --firmness {}",
            roll::word(fits),
            roll::word(fits)
        ),
        topic: None,
    })
}

/// Notes on the rows that were dropped, look odd or tell too little.
pub(super) fn of_rows(file: &str, group: &Group, name: &str) -> Vec<Note> {
    let mut notes = Vec::new();
    let mut note = |place: Place, text: String| {
        notes.push(Note {
            file: file.to_owned(),
            place,
            text,
            topic: None,
        });
    };
    let mut poorer = 0;
    for row in &group.rows {
        match &row.fate {
            Fate::Dropped(why) => {
                let text = format!("{name}: row left out as mistyped: {why}");
                note(Place::Line(row.line), text);
            }
            Fate::Odd(why) => {
                note(
                    Place::Line(row.line),
                    format!("{name}: this shot looks like a misread: check it ({why})"),
                );
            }
            Fate::Poorer => poorer += 1,
            Fate::Used | Fate::Mishit => {}
        }
    }
    if poorer > 0 {
        let text = format!("{name}: {poorer} rows tell less than the others and are left out");
        note(Place::File, text);
    }
    notes
}
