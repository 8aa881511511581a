//! `bendline check`: every problem of a file, or what is in it.

mod together;

use std::fmt::Write;
use std::path::Path;

use bendline::diagnostic::{Answers, Note, Place, Problem, Problems, printable, sentence};
use bendline::flight::Weather;
use bendline::hole;
use bendline::plan::bag;
use bendline::player::questions::{self, About};
use bendline::player::shotlog::ShotLog;
use bendline::player::{Handedness, Player, file};
use bendline::round::{self, Round};
use bendline::units::LengthUnit;
use serde::Deserialize;
use serde::de::IgnoredAny;

use super::Ending;
use super::subject::{self, shown};
use together::{Content, Next, Sound};

use crate::{cli, files, terminal};

/// Runs the command.
pub fn run(arguments: &cli::Check) -> Result<Ending, Problems> {
    let mut problems = Vec::new();
    let mut next = None;
    let mut sound = Sound::default();
    for path in &arguments.files {
        let checked = check(path, arguments);
        if let Some(said) = &checked.said {
            terminal::say(said)?;
        }
        problems.extend(checked.problems);
        if let Some(content) = checked.content
            && let Err(refused) = sound.note(path, content)
        {
            problems.extend(refused.0);
        }
        next = next.or(checked.next);
    }
    let ready = sound.next(arguments);
    let without_hole = sound.is_without_hole();
    if problems.is_empty() {
        problems = sound.problems(&ready);
        if !problems.is_empty() {
            next = Some(MEND.to_owned());
        }
    }
    let faulty = !problems.is_empty();
    terminal::problems(&Problems(problems));
    if !faulty && without_hole && matches!(&ready, Next::Command(words) if words[1] == "plan") {
        terminal::aside("note: no hole file is among these: the plan is of the built-in hole");
    }
    let next = match next {
        Some(next) if faulty => next,
        None if faulty => MEND.to_owned(),
        Some(next) => format!("{next}; or go on as it is: {}", ready.text()),
        None => ready.text(),
    };
    terminal::aside(&format!("next: {next}"));
    Ok(if faulty {
        Ending::Faulty
    } else {
        Ending::Whole
    })
}

/// What a check of one file comes to.
struct Checked {
    /// What is in the file, where it is sound.
    content: Option<Content>,
    /// The same in words, where that can be said.
    said: Option<String>,
    problems: Vec<Problem>,
    /// The next thing to do with the file, where it is not ready.
    next: Option<String>,
}

/// What a file is, by what is in it.
#[derive(Clone, Copy)]
enum Sort {
    Hole,
    Player,
    Log,
    Heights,
    Round,
}

/// What a file is to become, by its name: what is in it does not say yet.
fn by_name(path: &Path) -> Sort {
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("csv" | "tsv" | "txt") => Sort::Log,
        Some("toml") => Sort::Round,
        Some("asc" | "tif" | "tiff") => Sort::Heights,
        _ => Sort::Hole,
    }
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
        // A table in brackets may begin a round file, never a log.
        return match by_name(path) {
            Sort::Hole if first.is_none() => Sort::Hole,
            Sort::Round => Sort::Round,
            _ => Sort::Log,
        };
    }
    if matches!(by_name(path), Sort::Round) {
        return Sort::Round;
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

impl Checked {
    /// A sound file, with the next thing to do where it is not ready.
    fn sound(content: Content, said: String, next: Option<String>) -> Self {
        Self {
            content: Some(content),
            said: Some(said),
            problems: Vec::new(),
            next,
        }
    }

    /// A file that can be read, with the problems of its questions; to be mended where it has any.
    fn asked(content: Content, said: String, problems: Vec<Problem>) -> Self {
        let next = (!problems.is_empty()).then(|| MEND.to_owned());
        Self {
            content: problems.is_empty().then_some(content),
            said: Some(said),
            problems,
            next,
        }
    }

    /// A file that cannot be read.
    fn faulty(problems: Problems, next: Option<String>) -> Self {
        Self {
            content: None,
            said: None,
            problems: problems.0,
            next,
        }
    }

    fn to_mend(problems: Problems) -> Self {
        Self::faulty(problems, Some(MEND.to_owned()))
    }
}

fn check(path: &Path, arguments: &cli::Check) -> Checked {
    let read = files::read_bytes(path).and_then(|bytes| {
        if !hole::looks_like_heights(&bytes) {
            files::check_utf8(path, &bytes)?;
        }
        Ok(bytes)
    });
    let bytes = match read {
        Ok(bytes) => bytes,
        Err(problems) => return unreadable(path, problems),
    };
    let name = shown(path);
    let _progress = subject::shown_if_long(&name, &bytes);
    let file = Input {
        path,
        name: &name,
        bytes: &bytes,
        arguments,
        answers: arguments.confirmed.answers(),
    };
    match sort_of(path, &bytes) {
        Sort::Hole => file.hole(),
        Sort::Player => file.player(),
        Sort::Log => file.log(),
        Sort::Heights => file.heights(),
        Sort::Round => file.round(),
    }
}

/// An empty file is begun, another one mended.
fn unreadable(path: &Path, problems: Problems) -> Checked {
    let is_empty = path
        .metadata()
        .is_ok_and(|about| about.is_file() && about.len() == 0);
    let next = if is_empty {
        first(by_name(path))
    } else {
        MEND.to_owned()
    };
    Checked::faulty(problems, Some(next))
}

/// A file to check, and how.
struct Input<'a> {
    path: &'a Path,
    /// The path as messages show it.
    name: &'a str,
    bytes: &'a [u8],
    arguments: &'a cli::Check,
    answers: Answers,
}

impl Input<'_> {
    fn hole(&self) -> Checked {
        let crs = self.arguments.crs.as_deref();
        let read = hole::read_course(self.name, self.bytes, crs);
        let next = hole::next_step(self.bytes, crs, read.as_ref());
        let mut course = match read {
            Ok(course) => course,
            Err(problems) => return Checked::faulty(problems, next),
        };
        let mut asked = std::mem::take(&mut course.questions);
        asked.append(&mut course.stroke_indices);
        for hole in &course.holes {
            let (of_hole, of_other_tees) = hole.asked_from(None);
            course.notes.extend(of_other_tees);
            for question in of_hole {
                if !asked.contains(&question) {
                    asked.push(question);
                }
            }
        }
        let (notes, mut problems) = self.answers.settle(asked);
        course.notes.extend(notes);
        let said = hole::summary_text(&hole::summarise(&course), LengthUnit::Yards);
        let next = next.or_else(|| (!problems.is_empty()).then(|| MEND.to_owned()));
        let broken = course.broken.iter();
        problems.extend(broken.flat_map(|(_, problems)| problems.0.iter().cloned()));
        Checked {
            next,
            ..Checked::asked(Content::Hole(course), said, problems)
        }
    }

    fn player(&self) -> Checked {
        let mut player = match file::from_json(self.name, self.bytes) {
            Ok(player) => player,
            Err(problems) => return Checked::to_mend(problems),
        };
        let (asked, look) = questions::of_player(self.name, &player);
        let (notes, problems) = self.answers.settle(asked);
        player.notes.extend(look);
        player.notes.extend(notes);
        terminal::notes(&player.notes);
        terminal::notes(lacks(self.name, &player).as_slice());
        let said = about_player(self.name, &player);
        Checked::asked(Content::Player(player), said, problems)
    }

    fn log(&self) -> Checked {
        let (log, notes) = match log(self.name, self.bytes, self.arguments, &self.answers) {
            Ok(read) => read,
            Err(problems) => {
                let next = self.after_faulty_log(&problems);
                return Checked::faulty(problems, Some(next));
            }
        };
        terminal::notes(&log.notes);
        terminal::notes(&notes);
        let said = about_log(self.name, &log);
        let who = subject::Who {
            handicap: None,
            handedness: Handedness::default(),
            dialect: self.arguments.written.into(),
            answers: &self.answers,
        };
        // The same refusals as of the whole log, in a time that its length does not set.
        let tried = subject::of_log(self.path, &first_shots(&log), who)
            .or_else(|_| subject::of_log(self.path, &log, who));
        match tried {
            Ok(player) => {
                terminal::notes(lacks(self.name, &player).as_slice());
                Checked::sound(Content::Log(player), said, more_shots(&log))
            }
            Err(problems) => Checked {
                said: Some(said),
                ..Checked::to_mend(problems)
            },
        }
    }

    /// The next thing to do with a log that cannot be read.
    fn after_faulty_log(&self, problems: &Problems) -> String {
        let bytes = self.bytes.trim_ascii();
        let rows = bytes.split(|&b| b == b'\n').count();
        match (bytes.is_empty(), rows) {
            (true, _) => first(Sort::Log),
            (false, 1) if problems.0.iter().all(|p| p.place == Place::File) => {
                "add a row for each shot, no shot left out: the bad ones are the point".to_owned()
            }
            _ => MEND.to_owned(),
        }
    }

    fn heights(&self) -> Checked {
        let crs = self.arguments.crs.as_deref();
        let heights = match hole::read_heights_beside(self.name, self.bytes, None, crs) {
            Ok(heights) => heights,
            Err(problems) => return Checked::to_mend(problems),
        };
        let (asked, first) = heights.asked();
        let (notes, problems) = self.answers.settle(asked);
        terminal::notes(&first);
        terminal::notes(&notes);
        let said = heights.summary_text();
        Checked::asked(Content::Heights(heights), said, problems)
    }

    fn round(&self) -> Checked {
        match round::read(self.name, self.bytes) {
            Ok(round) => {
                let said = about_round(self.name, &round);
                Checked::sound(Content::Round(round), said, None)
            }
            Err(problems) => Checked::to_mend(problems),
        }
    }
}

/// What the bag of a file lacks.
fn lacks(file: &str, player: &Player) -> Option<Note> {
    let file = file.to_owned();
    bag::note(player, LengthUnit::Yards).map(|note| Note { file, ..note })
}

/// A log and the notes on it, with its questions settled. Nobody says whose it is.
fn log(
    name: &str,
    bytes: &[u8],
    arguments: &cli::Check,
    answers: &Answers,
) -> Result<(ShotLog, Vec<Note>), Problems> {
    let about = About {
        handedness: None,
        handicap: None,
        weather: Weather::usual(),
    };
    subject::questioned_log(name, bytes, arguments.written.into(), &about, answers)
}

const MEND: &str = "mend the first problem above: the others may go with it";

/// What to put first into an empty file.
fn first(sort: Sort) -> String {
    match sort {
        Sort::Log => {
            "write a heading line, such as club,carry_yd,side_yd, and below it a row for each shot"
        }
        Sort::Round => "write a line such as wind = \"12mph@240\", or leave the file out",
        Sort::Heights => "export the heights as an ESRI ASCII grid or a GeoTIFF",
        Sort::Hole | Sort::Player => {
            "draw the line of play in a map editor and save it here as GeoJSON: a line from the \
             tee, along the way the hole is played, to the middle of the green, with the \
             properties golf=hole, ref=1 and par=4"
        }
    }
    .to_owned()
}

/// Shots of a club that a check fits a pattern to.
const FITTED_SHOTS: usize = 1000;

/// The first shots of every club.
fn first_shots(log: &ShotLog) -> ShotLog {
    let mut taken: Vec<(&str, usize)> = Vec::new();
    let mut is_taken = |club| {
        let at = taken.iter().position(|(known, _)| *known == club);
        let at = at.unwrap_or_else(|| {
            taken.push((club, 0));
            taken.len() - 1
        });
        taken[at].1 += 1;
        taken[at].1 <= FITTED_SHOTS
    };
    let shots = log.shots.iter().filter(|shot| is_taken(shot.club.as_str()));
    ShotLog {
        file: log.file.clone(),
        shots: shots.cloned().collect(),
        notes: log.notes.clone(),
        headings: log.headings.clone(),
    }
}

/// Shots of a club before its misses can be believed.
const ENOUGH_SHOTS: usize = 30;

/// Asks for more shots where no club has enough.
fn more_shots(log: &ShotLog) -> Option<String> {
    let clubs = clubs(log);
    let (name, shots) = clubs.iter().max_by_key(|(_, shots)| *shots)?;
    (*shots < ENOUGH_SHOTS).then(|| {
        format!(
            "log more shots: a club wants {ENOUGH_SHOTS} or more before its misses can be \
             believed, and {name} has {shots}"
        )
    })
}

fn about_round(file: &str, round: &Round) -> String {
    let pins = match round.pins.len() {
        0 => "no pins".to_owned(),
        n => format!("pins of {}", count(n, "hole")),
    };
    let more = [
        (round.notes.len(), "note"),
        (round.targets.len(), "thing to aim at"),
    ];
    let more = more.into_iter().filter(|(n, _)| *n > 0);
    let more: String = more
        .map(|(n, what)| format!(", {}", count(n, what)))
        .collect();
    let more = more.replace("thing to aim ats", "things to aim at");
    let course = round.course.as_deref().unwrap_or("a course without a name");
    let date = round.date.as_deref().unwrap_or("no date");
    sentence(&format!("{file}: a round: {course}, {date}, {pins}{more}"))
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
            "\n  {} {}: carries {}, from {}",
            printable(&club.club),
            printable(&club.shape),
            bendline::plan::sentence::length(club.carry_m, LengthUnit::Yards),
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
    for (name, shots) in clubs(log) {
        let _ = write!(text, "\n  {name}: {}", count(shots, "shot"));
    }
    text
}

/// The clubs of a log, with their shapes, in the order of the file, and how many shots each has.
fn clubs(log: &ShotLog) -> Vec<(String, usize)> {
    // A log has few clubs, so looking each up is cheap.
    let mut clubs: Vec<(String, usize)> = Vec::new();
    for shot in &log.shots {
        let shape = shot.shape.as_deref().unwrap_or_default();
        let name = printable(format!("{} {shape}", shot.club).trim());
        match clubs.iter_mut().find(|(known, _)| *known == name) {
            Some((_, shots)) => *shots += 1,
            None => clubs.push((name, 1)),
        }
    }
    clubs
}

/// "1 shot", "2 shots".
fn count(number: usize, thing: &str) -> String {
    let ending = if number == 1 { "" } else { "s" };
    format!("{number} {thing}{ending}")
}
