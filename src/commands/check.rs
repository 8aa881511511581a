//! `bendline check`: every problem of a file, or what is in it.

use std::fmt::Write;
use std::path::Path;

use bendline::diagnostic::{Problems, printable};
use bendline::hole;
use bendline::player::shotlog::{self, ShotLog};
use bendline::player::{Player, file};
use bendline::units::LengthUnit;
use serde::Deserialize;
use serde::de::IgnoredAny;

use super::subject::{self, shown};
use crate::{cli, files, terminal};

/// Runs the command.
pub fn run(arguments: &cli::Check) -> Result<(), Problems> {
    let mut problems = Vec::new();
    for path in &arguments.files {
        match check(path, arguments) {
            Ok(summary) => terminal::say(&summary)?,
            Err(found) => problems.extend(found.0),
        }
    }
    if problems.is_empty() {
        Ok(())
    } else {
        Err(Problems(problems))
    }
}

/// What a file is, by what is in it.
enum Sort {
    Hole,
    Player,
    Log,
    Heights,
}

/// Keys that tell JSON files apart.
#[derive(Deserialize)]
struct Keys {
    clubs: Option<IgnoredAny>,
    features: Option<IgnoredAny>,
}

fn sort_of(path: &Path, bytes: &[u8]) -> Sort {
    if hole::looks_like_heights(bytes) {
        return Sort::Heights;
    }
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let first = bytes.iter().find(|byte| !byte.is_ascii_whitespace());
    if !matches!(first, Some(b'{' | b'[')) {
        return Sort::Log;
    }
    match serde_json::from_slice::<Keys>(bytes) {
        Ok(Keys {
            clubs: Some(_),
            features: None,
        }) => Sort::Player,
        Ok(_) => Sort::Hole,
        // Broken JSON: whichever reader the name suggests will say how.
        Err(_)
            if path
                .extension()
                .is_some_and(|ending| ending.eq_ignore_ascii_case("json")) =>
        {
            Sort::Player
        }
        Err(_) => Sort::Hole,
    }
}

fn check(path: &Path, arguments: &cli::Check) -> Result<String, Problems> {
    let bytes = files::read(path)?;
    let name = shown(path);
    let _progress = subject::shown_if_long(&name, &bytes);
    match sort_of(path, &bytes) {
        Sort::Hole => {
            let course = hole::read_course(&name, &bytes, arguments.crs.as_deref())?;
            let text = hole::summary_text(&hole::summarise(&course), LengthUnit::Yards);
            if course.broken.is_empty() {
                return Ok(text);
            }
            terminal::say(&text)?;
            let broken = course
                .broken
                .into_iter()
                .flat_map(|(_, problems)| problems.0);
            Err(Problems(broken.collect()))
        }
        Sort::Player => {
            let player = file::from_json(&name, &bytes)?;
            terminal::notes(&player.notes);
            Ok(about_player(&name, &player))
        }
        Sort::Heights => {
            let crs = arguments.crs.as_deref();
            Ok(hole::read_heights_beside(&name, &bytes, None, crs)?.summary_text())
        }
        Sort::Log => {
            let log = shotlog::read_as(&name, &bytes, arguments.written.into())?;
            terminal::notes(&log.notes);
            Ok(about_log(&name, &log))
        }
    }
}

fn about_player(file: &str, player: &Player) -> String {
    let mut text = format!(
        "{}: a player, {}, Handicap Index {:.1}, {}",
        printable(file),
        subject::hand(player.handedness),
        player.handicap,
        count(player.clubs.len(), "club")
    );
    for club in &player.clubs {
        let _ = write!(
            text,
            "\n  {} {}: carries {:.0} m, from {}",
            printable(&club.club),
            printable(&club.shape),
            club.carry_m,
            count(club.shots, "shot")
        );
    }
    text
}

fn about_log(file: &str, log: &ShotLog) -> String {
    let mut text = format!(
        "{}: a log of {}",
        printable(file),
        count(log.shots.len(), "shot")
    );
    // In the order of the file: a log has few clubs, so looking each up is cheap.
    let mut clubs: Vec<(String, usize)> = Vec::new();
    for shot in &log.shots {
        let shape = shot.shape.as_deref().unwrap_or_default();
        let name = printable(format!("{} {shape}", shot.club).trim());
        match clubs.iter_mut().find(|(known, _)| *known == name) {
            Some((_, shots)) => *shots += 1,
            None => clubs.push((name, 1)),
        }
    }
    for (name, shots) in clubs {
        let _ = write!(text, "\n  {name}: {}", count(shots, "shot"));
    }
    text
}

/// "1 shot", "2 shots".
fn count(number: usize, thing: &str) -> String {
    let ending = if number == 1 { "" } else { "s" };
    format!("{number} {thing}{ending}")
}
