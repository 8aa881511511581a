//! `bendline review`: rounds that were played; what happened, and what it teaches.

use std::fs;
use std::path::{Path, PathBuf};

use bendline::diagnostic::{Answers, Note, Place, Problem, Problems, Question, Topic};
use bendline::draw;
use bendline::hole::{self, Hole};
use bendline::planner::Planner;
use bendline::player::{Player, file};
use bendline::review::learn::Fading;
use bendline::review::log::{self, RoundLog};
use bendline::review::questions::{self, Known};
use bendline::review::{self, Asked, Review, report};
use bendline::round;
use bendline::units::LengthUnit;

use super::game::{self, Table};
use super::subject;
use crate::{cli, files, terminal};

/// Folder for the results where none is named.
const USUAL_FOLDER: &str = "out";
/// Most rounds of one review.
const MOST_ROUNDS: usize = 500;

/// The course that is reviewed when none is named, and a round of the built-in player on it
/// (`examples/make_rounds.rs`).
const DEMO_COURSE: (&str, &str) = (
    "built-in course",
    include_str!("../../holes/course.geojson"),
);
const DEMO_ROUND: (&str, &str) = (
    "built-in round",
    include_str!("../../examples/rounds/saturday.csv"),
);

/// Runs the command.
pub fn run(arguments: &cli::Review) -> Result<(), Problems> {
    if let Some(folder) = folder(arguments) {
        files::check_folder(folder)?;
    }
    let unit: LengthUnit = arguments.units.into();
    let logs = logs(arguments);
    let table = table(arguments, unit);
    let (table, logs) = match (table, logs) {
        (Ok(table), Ok(logs)) => (table, logs),
        (one, two) => {
            let problems = [one.err(), two.err()].into_iter().flatten();
            return Err(Problems(problems.flat_map(|p: Problems| p.0).collect()));
        }
    };
    let logs = settled(&table, logs, arguments, unit)?;
    if let Some(folder) = folder(arguments) {
        let names = names(&table.holes, &logs);
        let outputs: Vec<PathBuf> = names.iter().map(|name| folder.join(name)).collect();
        let outputs: Vec<&Path> = outputs.iter().map(PathBuf::as_path).collect();
        files::check_files(&outputs, files::Folder::Made)?;
    }
    terminal::notes(&table.player.notes);
    let tees: Vec<Planner<'_>> = (0..table.holes.len())
        .map(|hole| table.planned(hole))
        .collect();
    let answers = arguments.game.confirmed.answers();
    let asked = Asked {
        answers: &answers,
        tees: &tees,
        rounds: &logs,
        fading: Fading {
            half_life_rounds: arguments.half_life,
        },
        unit,
    };
    let progress = terminal::Progress::begin("looking back");
    let review = review::review(&asked, &|step| {
        progress.at(step.done, step.total, &step.doing);
    })?;
    drop(progress);
    terminal::notes(&review.answered);
    let written = match folder(arguments) {
        Some(folder) => {
            let outputs = outputs(&review, &table.holes, &table.player);
            files::write_folder(folder, outputs)?
        }
        None => Vec::new(),
    };
    let wrote: Vec<String> = written.iter().map(|path| terminal::wrote(path)).collect();
    if arguments.json {
        for line in wrote {
            terminal::aside(&line);
        }
        return terminal::say(report::json(&review).trim_end());
    }
    let text = terminal::paragraphs(&report::text(&review));
    terminal::say(&format!("{text}\n\n{}", wrote.join("\n")))
}

/// Where the results go; nowhere for bare `--json`.
fn folder(arguments: &cli::Review) -> Option<&Path> {
    match (&arguments.out, arguments.json) {
        (Some(folder), _) => Some(folder),
        (None, false) => Some(Path::new(USUAL_FOLDER)),
        (None, true) => None,
    }
}

/// The holes and the player; the built-in course where none is named.
fn table(arguments: &cli::Review, unit: LengthUnit) -> Result<Table, Problems> {
    let game = &arguments.game;
    if game.hole_file.is_some() {
        return game::read(game, unit);
    }
    let (name, text) = DEMO_COURSE;
    let course = hole::read_course(name, text.as_bytes(), None)?;
    let player = game::player(game)?;
    let round = game.round.as_deref().map(|path| {
        let bytes = files::read(path)?;
        round::read(&subject::shown(path), &bytes)
    });
    let heights = subject::heights(
        game.heights.as_deref(),
        game.heights_crs.as_deref(),
        game.crs.as_deref(),
    );
    let read = game::Read {
        course,
        player,
        round: round.transpose()?,
        heights: heights?,
    };
    game::seat(read, game, unit)
}

/// The rounds, oldest first.
fn logs(arguments: &cli::Review) -> Result<Vec<RoundLog>, Problems> {
    if arguments.played.is_empty() {
        if arguments.game.hole_file.is_none() {
            let (name, text) = DEMO_ROUND;
            return Ok(vec![log::read(name, text.as_bytes())?]);
        }
        return Err(Problem {
            file: "command line".into(),
            place: Place::Argument("--played".into()),
            expected: "what was played on this course".into(),
            found: "no --played".into(),
            remedy: "name a CSV or a folder of them, such as --played saturday.csv".into(),
        }
        .into());
    }
    let (mut logs, mut problems) = (Vec::new(), Vec::new());
    for path in &arguments.played {
        match rounds_in(path) {
            Ok(paths) => {
                for path in paths {
                    let read = files::read(&path);
                    match read.and_then(|bytes| log::read(&subject::shown(&path), &bytes)) {
                        Ok(log) => logs.push(log),
                        Err(found) => problems.extend(found.0),
                    }
                }
            }
            Err(found) => problems.push(found),
        }
    }
    if logs.len() > MOST_ROUNDS {
        problems.push(Problem {
            file: "command line".into(),
            place: Place::Argument("--played".into()),
            expected: format!("at most {MOST_ROUNDS} rounds"),
            found: logs.len().to_string(),
            remedy: "leave out the oldest: they count least".into(),
        });
    }
    if problems.is_empty() {
        Ok(logs)
    } else {
        Err(Problems(problems))
    }
}

/// Whether a file is one that no listing shows: what an editor or another machine leaves beside a log.
fn is_hidden(path: &Path) -> bool {
    let name = path.file_name().map(|name| name.to_string_lossy());
    name.is_some_and(|name| name.starts_with('.'))
}

/// Rounds that were given before, under the same name or another.
fn repeated(logs: &[RoundLog]) -> Vec<Question> {
    let mut questions = Vec::new();
    for (number, log) in logs.iter().enumerate() {
        let same = logs[..number].iter().find(|one| one.holes == log.holes);
        if let Some(same) = same {
            questions.push(Question {
                topic: Topic::RepeatedRows,
                problem: Problem {
                    file: log.file.clone(),
                    place: Place::File,
                    expected: "a round that is not given twice".into(),
                    found: format!("the rows of {} again", same.file),
                    remedy: "name every round once, and a folder without its files".into(),
                },
            });
        }
    }
    questions
}

/// A file, or the CSV files of a folder by name.
fn rounds_in(path: &Path) -> Result<Vec<PathBuf>, Problem> {
    if !path.is_dir() {
        return Ok(vec![path.to_path_buf()]);
    }
    let wrong = |found: String, remedy: &str| Problem {
        file: subject::shown(path),
        place: Place::File,
        expected: "a folder with round logs, NAME.csv".into(),
        found,
        remedy: remedy.into(),
    };
    let unread =
        |error: std::io::Error| wrong(error.to_string(), "name the files one by one with --played");
    let mut found = Vec::new();
    for entry in fs::read_dir(path).map_err(unread)? {
        let path = entry.map_err(unread)?.path();
        let is_csv = path
            .extension()
            .is_some_and(|end| end.eq_ignore_ascii_case("csv"));
        if is_csv && !is_hidden(&path) && path.is_file() {
            found.push(path);
        }
    }
    found.sort();
    if found.is_empty() {
        return Err(wrong(
            "none".into(),
            "name the folder that the round logs are in",
        ));
    }
    Ok(found)
}

/// The rounds without what the user says is to be left out, and with every question answered.
fn settled(
    table: &Table,
    mut logs: Vec<RoundLog>,
    arguments: &cli::Review,
    unit: LengthUnit,
) -> Result<Vec<RoundLog>, Problems> {
    let answers: Answers = arguments.game.confirmed.answers();
    let places = table.places()?;
    let holes: Vec<&Hole> = places.iter().map(|(hole, _)| *hole).collect();
    let course: Vec<Known<'_>> = places
        .iter()
        .map(|(hole, tee)| Known { hole, tee })
        .collect();
    let names: Vec<String> = table
        .names
        .iter()
        .map(|name| log::hole_name(name))
        .collect();
    let mut asked = repeated(&logs);
    for log in &mut logs {
        terminal::notes(&log.notes);
        let is_on = |played: &log::PlayedHole| questions::find(&holes, played).is_some();
        // Rows of holes that are not asked for are none of this review's; those that the course lacks
        // are asked about.
        let is_of_course = |played: &log::PlayedHole| names.contains(&log::hole_name(&played.hole));
        log.holes
            .retain(|played| is_on(played) || !is_of_course(played));
        let course = (&course[..], &table.names[..]);
        asked.extend(questions::of_round(log, course, &table.player, unit));
        log.holes.retain(is_on);
    }
    let (notes, problems): (Vec<Note>, Vec<Problem>) = answers.settle(asked);
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    terminal::notes(&notes);
    if logs.iter().all(|log| log.holes.is_empty()) {
        return Err(Problem {
            file: logs
                .first()
                .map_or_else(|| "round log".into(), |log| log.file.clone()),
            place: Place::File,
            expected: "a row of a hole that is asked for".into(),
            found: "none".into(),
            remedy: "leave --hole out, or name a hole that was played".into(),
        }
        .into());
    }
    Ok(logs)
}

/// The names of every file that may be written.
fn names(holes: &[Hole], logs: &[RoundLog]) -> Vec<String> {
    let fixed = [
        "review.md",
        "review.json",
        "player.json",
        "course-play.svg",
        "patterns.svg",
    ];
    let mut names: Vec<String> = fixed.map(Into::into).into();
    let all: Vec<&Hole> = holes.iter().collect();
    let is_played = |hole: usize| {
        let mut played = logs.iter().flat_map(|log| &log.holes);
        played.any(|played| questions::find(&all, played) == Some(hole))
    };
    let drawn = drawings(holes).into_iter().enumerate();
    names.extend(
        drawn
            .filter(|(hole, _)| is_played(*hole))
            .map(|(_, name)| name),
    );
    names
}

/// The name of every hole's drawing.
fn drawings(holes: &[Hole]) -> Vec<String> {
    let mut taken: Vec<String> = Vec::new();
    let name = |hole: &Hole| {
        let name = files::safe_name(&hole.reference, &taken);
        taken.push(name.clone());
        format!("hole-{name}-played.svg")
    };
    holes.iter().map(name).collect()
}

/// The files.
fn outputs(review: &Review, holes: &[Hole], player: &Player) -> Vec<(String, Vec<u8>)> {
    let mut outputs = vec![
        ("review.md".to_owned(), report::markdown(review)),
        ("review.json".to_owned(), report::json(review)),
        ("patterns.svg".to_owned(), draw::review::patterns(review)),
    ];
    if review.teaches() {
        let learnt = report::player(review, player);
        outputs.push(("player.json".to_owned(), file::to_json(&learnt)));
        outputs.push((
            "course-play.svg".to_owned(),
            draw::review::course_play(review),
        ));
    }
    for (tee, name) in drawings(holes).into_iter().enumerate() {
        if let Some(drawing) = draw::review::hole(review, tee, &holes[tee]) {
            outputs.push((name, drawing));
        }
    }
    outputs
        .into_iter()
        .map(|(name, text)| (name, text.into_bytes()))
        .collect()
}
