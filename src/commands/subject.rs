//! Who plays what: the player and the course that a command is about.

use std::path::Path;
use std::sync::Arc;

use bendline::diagnostic::{Answers, Note, Place, Problems};
use bendline::flight::Firmness;
use bendline::flight::air::Weather;
use bendline::hole::{self, Course, Heights};
use bendline::plan::sentence::club_and_shape;
use bendline::player::fit::{self, FitOptions, Fitted};
use bendline::player::logged::Logged;
use bendline::player::questions::{self, About};
use bendline::player::shotlog::{self, Dialect, ShotLog};
use bendline::player::{Basis, ClubShape, CoursePlay, Handedness, Player, file};

use crate::cli::Handicap;
use crate::{files, terminal};

/// The hole that is planned when none is named: a dogleg that fits a draw.
const DEMO_HOLE: (&str, &str) = (
    "built-in hole",
    include_str!("../../holes/01-sickle.geojson"),
);
/// The player who plays when none is named: an invented right-hander with a strong draw.
const DEMO_LOG: (&str, &str) = (
    "built-in player",
    include_str!("../../examples/logs/strong-draw.csv"),
);
/// That player's Handicap Index.
const DEMO_HANDICAP: f64 = 6.0;

/// A file of this many bytes may take a second to read.
const LONG_FILE: usize = 1_000_000;

/// What the command line says of the player beside the files.
#[derive(Clone, Copy)]
pub struct Who<'a> {
    /// Handicap Index, if given.
    pub handicap: Option<Handicap>,
    /// Handedness.
    pub handedness: Handedness,
    /// How the log is written.
    pub dialect: Dialect,
    /// What the user says is so.
    pub answers: &'a Answers,
}

/// The course of a file, or the built-in hole.
pub fn course(path: Option<&Path>, crs: Option<&str>) -> Result<Course, Problems> {
    let Some(path) = path else {
        return hole::read_course(DEMO_HOLE.0, DEMO_HOLE.1.as_bytes(), None);
    };
    let bytes = files::read(path)?;
    let _progress = shown_if_long(&shown(path), &bytes);
    let mut course = hole::read_course(&shown(path), &bytes, crs)?;
    // A plan names the file its notes are about, not the folder it was in.
    if let Some(name) = path.file_name() {
        let notes = course.holes.iter_mut().flat_map(|hole| &mut hole.notes);
        notes.for_each(|note| note.file = name.to_string_lossy().into_owned());
    }
    Ok(course)
}

/// The heights of the ground from a raster, if one is given, for a map in `map_crs`.
pub fn heights(
    path: Option<&Path>,
    crs: Option<&str>,
    map_crs: Option<&str>,
) -> Result<Option<Heights>, Problems> {
    let Some(path) = path else {
        return Ok(None);
    };
    let bytes = files::read_bytes(path)?;
    let _progress = shown_if_long(&shown(path), &bytes);
    hole::read_heights_beside(&shown(path), &bytes, crs, map_crs).map(Some)
}

/// A log of shots hit in this air on this ground, and the player fitted to it.
pub fn fitted_log(
    path: &Path,
    who: Who<'_>,
    weather: Weather,
    firmness: Firmness,
) -> Result<(ShotLog, Fitted), Problems> {
    fitted_to(path, files::read(path)?, who, weather, firmness)
}

/// The same of a log whose bytes have been read.
pub fn fitted_to(
    path: &Path,
    bytes: Vec<u8>,
    who: Who<'_>,
    weather: Weather,
    firmness: Firmness,
) -> Result<(ShotLog, Fitted), Problems> {
    let name = path.file_stem().map(|stem| stem.to_string_lossy());
    let about = About {
        handedness: Some(who.handedness),
        handicap: who.handicap.map(Handicap::index),
        weather,
    };
    let _progress = shown_if_long(&shown(path), &bytes);
    let (log, notes) = questioned_log(&shown(path), &bytes, who.dialect, &about, who.answers)?;
    let options = FitOptions {
        handedness: who.handedness,
        handicap: about.handicap,
        weather,
        firmness,
    };
    let mut fitted = fitted(&name.unwrap_or_default(), &log, &options)?;
    fitted.player.log = String::from_utf8(bytes).ok().map(|csv| {
        Arc::new(Logged {
            delimiter: who.dialect.delimiter,
            decimal: who.dialect.decimal,
            it_is_so: who.answers.0.clone(),
            temperature_c: weather.temperature_c,
            pressure_pa: weather.pressure_pa,
            humidity: weather.humidity,
            firmness,
            handicap: about.handicap,
            csv,
        })
    });
    let notes = notes
        .into_iter()
        .chain(who.handicap.and_then(Handicap::note));
    fitted.player.notes.splice(0..0, notes);
    Ok((log, fitted))
}

/// The log that a player file holds, and the player fitted to it again; none where it holds none.
pub fn refitted(file: &str, player: &Player) -> Result<Option<(ShotLog, Fitted)>, Problems> {
    let Some(logged) = &player.log else {
        return Ok(None);
    };
    let about = About {
        handedness: Some(player.handedness),
        handicap: logged.handicap,
        weather: logged.weather(),
    };
    let answers = Answers(logged.it_is_so.clone());
    let file = format!("{file}: log");
    let csv = logged.csv.as_bytes();
    let (log, _) = questioned_log(&file, csv, logged.dialect(), &about, &answers)?;
    let options = FitOptions {
        handedness: player.handedness,
        handicap: logged.handicap,
        weather: logged.weather(),
        firmness: logged.firmness,
    };
    let fitted = fitted(&player.name, &log, &options)?;
    Ok(Some((log, fitted)))
}

/// Whether a club is still the one that was fitted.
pub fn is_as_fitted(club: &ClubShape, fitted: &ClubShape) -> bool {
    club.club == fitted.club
        && club.shape == fitted.shape
        && club.basis == fitted.basis
        && club.launches == fitted.launches
        && club.carry_m == fitted.carry_m
}

/// A note of the clubs of a player file that are no longer as they were fitted to its log.
pub fn changed(player: &Player, fitted: &Player) -> Option<Note> {
    let is_changed = |club: &&ClubShape| {
        club.basis != Basis::Neighbours
            && !fitted.clubs.iter().any(|known| is_as_fitted(club, known))
    };
    let names = player.clubs.iter().filter(is_changed);
    let names: Vec<String> = names
        .map(|club| club_and_shape(&club.club, &club.shape))
        .collect();
    (!names.is_empty()).then(|| Note {
        file: player.name.clone(),
        place: Place::File,
        text: format!(
            "changed by hand since the log was fitted, so that the log tells nothing of it: {}",
            names.join("; ")
        ),
        topic: None,
    })
}

/// A log with its questions settled, and the notes that came of them.
pub fn questioned_log(
    file: &str,
    bytes: &[u8],
    dialect: Dialect,
    about: &About,
    answers: &Answers,
) -> Result<(ShotLog, Vec<Note>), Problems> {
    let log = shotlog::read_as(file, bytes, dialect)?;
    let (asked, mut notes) = questions::of_log(&log, about);
    let (answered, problems) = answers.settle(asked);
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    notes.splice(0..0, answered);
    Ok((log, notes))
}

/// The player of a log hit in the usual air on the usual ground, to plan for.
pub fn from_log(path: &Path, who: Who<'_>) -> Result<Player, Problems> {
    let (_, fitted) = fitted_log(path, who, Weather::usual(), Firmness::Medium)?;
    as_filed(&fitted.player)
}

/// The player of a log that has been read, as [`from_log`] has it.
pub fn of_log(path: &Path, log: &ShotLog, who: Who<'_>) -> Result<Player, Problems> {
    let options = FitOptions {
        handedness: who.handedness,
        handicap: who.handicap.map(Handicap::index),
        weather: Weather::usual(),
        firmness: Firmness::Medium,
    };
    let name = path.file_stem().map(|stem| stem.to_string_lossy());
    as_filed(&fitted(&name.unwrap_or_default(), log, &options)?.player)
}

/// The player of a player file, at the Handicap Index given beside it if there is one, to plan for.
pub fn from_player_file(
    path: &Path,
    handicap: Option<Handicap>,
    answers: &Answers,
) -> Result<Player, Problems> {
    let mut player = file::from_json(&shown(path), &files::read(path)?)?;
    let (asked, look) = questions::of_player(&shown(path), &player);
    let (notes, problems) = answers.settle(asked);
    player.notes.extend(look);
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    player.notes.extend(notes);
    if let Some(handicap) = handicap {
        // What was weighed by the handicap of the file is weighed anew; what was set by hand stays.
        player.course_play = player
            .course_play
            .filter(|play| *play != CoursePlay::of(&player));
        player.handicap = handicap.index();
        player.notes.extend(handicap.note());
    }
    Ok(named(player))
}

/// The built-in player.
pub fn demo_player(handicap: Option<Handicap>) -> Result<Player, Problems> {
    let options = FitOptions {
        handedness: Handedness::Right,
        handicap: Some(handicap.map_or(DEMO_HANDICAP, Handicap::index)),
        weather: Weather::usual(),
        firmness: Firmness::Medium,
    };
    let (name, text) = DEMO_LOG;
    let log = shotlog::read(name, text.as_bytes())?;
    let mut fitted = fitted(name, &log, &options)?;
    fitted
        .player
        .notes
        .extend(handicap.and_then(Handicap::note));
    as_filed(&fitted.player)
}

/// The player as its player file gives it back, so that a log and the file made from it lead to
/// the same plan by construction.
fn as_filed(player: &Player) -> Result<Player, Problems> {
    let patterns = Player {
        log: None,
        ..player.clone()
    };
    file::from_json(&player.name, file::to_json(&patterns).as_bytes()).map(named)
}

/// The player with notes under the player's name: a plan does not say in which file on whose
/// computer they arose.
fn named(mut player: Player) -> Player {
    for note in &mut player.notes {
        note.file.clone_from(&player.name);
    }
    player
}

fn fitted(name: &str, log: &ShotLog, options: &FitOptions) -> Result<Fitted, Problems> {
    let mut fitted = fit::fit_in_detail(log, options)?;
    if fitted.player.name.is_empty() {
        fitted.player.name = name.into();
    }
    Ok(fitted)
}

/// Progress for a file long enough to keep somebody waiting.
pub fn shown_if_long(file: &str, bytes: &[u8]) -> Option<terminal::Progress> {
    (bytes.len() > LONG_FILE).then(|| terminal::Progress::begin(&format!("reading {file}")))
}

/// Handedness in words.
pub fn hand(handedness: Handedness) -> &'static str {
    match handedness {
        Handedness::Right => "right-handed",
        Handedness::Left => "left-handed",
    }
}

/// A path as messages name it.
pub fn shown(path: &Path) -> String {
    path.display().to_string()
}
