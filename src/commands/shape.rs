//! `bendline shape`: the shape a player has, in a coach's words and numbers.

use std::path::{Path, PathBuf};

use bendline::diagnostic::{Answers, Place, Problem, Problems, printable};
use bendline::draw;
use bendline::flight::Weather;
use bendline::plan::bag;
use bendline::plan::sentence::capital;
use bendline::player::invert::Range;
use bendline::player::words::ShapeReport;
use bendline::player::{Player, change, file, neighbours, questions, words};
use bendline::units::LengthUnit;

use super::{day, subject};
use crate::{cli, files, terminal};

/// Runs the command.
pub fn run(arguments: &cli::Shape) -> Result<(), Problems> {
    let outputs: Vec<&Path> = [&arguments.out, &arguments.draw, &arguments.fan]
        .into_iter()
        .flatten()
        .map(PathBuf::as_path)
        .collect();
    files::check_files(&outputs, files::Folder::There)?;
    let (mut own, other) = read(arguments)?;
    if own.is_filed && other.as_ref().is_none_or(|other| other.is_filed) {
        of_a_log(arguments)?;
    }
    if let Some(other) = other.as_ref().filter(|other| !other.is_filed) {
        terminal::notes(&other.player.notes);
    }
    let fill: Vec<&str> = arguments.fill.iter().map(|name| name.trim()).collect();
    neighbours::fill(&mut own.player, &fill, &own.weather)?;
    own.report.add_filled(&own.player, &own.range);
    own.report.turn_deg = arguments.turn;
    let shown = Shown {
        arguments,
        player: own.player,
        report: own.report,
        other: other.map(|other| other.report),
        unit: arguments.units.into(),
    };
    terminal::notes(&shown.player.notes);
    // The player file has no part in it: clubs may be filled in when it is read.
    terminal::notes(bag::note(&shown.player, shown.unit).as_slice());
    let outputs = shown.outputs();
    files::write_files(&outputs)?;
    let mut text = shown.text();
    for output in &outputs {
        text.push_str(&format!("\n{}", terminal::wrote(&output.path)));
    }
    terminal::say(&text)
}

/// The player, and the one to compare with; what is wrong with both files is said at once.
fn read(arguments: &cli::Shape) -> Result<(Known, Option<Known>), Problems> {
    let weather = day::weather(&arguments.day);
    let answers = arguments.confirmed.answers();
    let known = |path: &Path| {
        let bytes = files::read(path)?;
        let first = bytes.iter().find(|b| !b.is_ascii_whitespace());
        if first == Some(&b'{') {
            return filed(path, &bytes, &answers, &weather);
        }
        let who = subject::Who {
            handicap: arguments.handicap,
            handedness: arguments.hand.map(Into::into).unwrap_or_default(),
            dialect: arguments.written.into(),
            answers: &answers,
        };
        let firmness = arguments.day.firmness.into();
        let (log, fitted) = subject::fitted_to(path, bytes, who, weather, firmness)?;
        Ok(Known {
            report: words::report(&fitted, &log),
            player: fitted.player,
            range: fitted.range,
            weather,
            is_filed: false,
        })
    };
    let other = arguments.against.as_deref().map(known);
    match (known(&arguments.log), other.transpose()) {
        (Ok(own), Ok(other)) => Ok((own, other)),
        (one, two) => {
            let problems = [one.err(), two.err()].into_iter().flatten();
            Err(Problems(problems.flat_map(|p: Problems| p.0).collect()))
        }
    }
}

/// What the command shows.
struct Shown<'a> {
    arguments: &'a cli::Shape,
    player: Player,
    report: ShapeReport,
    /// The report to compare with.
    other: Option<ShapeReport>,
    unit: LengthUnit,
}

impl Shown<'_> {
    /// The files that are asked for.
    fn outputs(&self) -> Vec<files::Output> {
        let (player, report, unit) = (&self.player, &self.report, self.unit);
        let output = |path: &PathBuf, text: String| files::Output {
            path: path.clone(),
            bytes: text.into_bytes(),
        };
        let out = self.arguments.out.as_ref();
        let scatter = self.arguments.draw.as_ref();
        let fan = self.arguments.fan.as_ref();
        [
            out.map(|path| output(path, file::to_json(player))),
            scatter.map(|path| output(path, draw::shape::scatter(report, &player.name, unit))),
            fan.map(|path| {
                let fan = draw::fan::lay_out(report, self.other.as_ref(), &player.name, unit);
                output(path, draw::sheet::svg(&fan))
            }),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    /// The player, the report or the change since the other, and how it goes on a course.
    fn text(&self) -> String {
        let said = match (&self.other, &self.arguments.against) {
            (Some(other), Some(path)) => format!(
                "before: {}; after: {}\n\n{}",
                printable(&subject::shown(path)),
                printable(&subject::shown(&self.arguments.log)),
                change::compare(other, &self.report).text(self.unit)
            ),
            _ => self.report.text(self.unit),
        };
        let said = terminal::folded(&said, terminal::width());
        let player = &self.player;
        let there = format!("{}.", capital(&player.course_play().words(player)));
        let there = terminal::folded(&there, terminal::width());
        format!("{}\n\n{said}\n{there}\n", who(player))
    }
}

/// A player and the report on one, from a shot log or a player file.
struct Known {
    player: Player,
    report: ShapeReport,
    range: Range,
    /// Air of the shots.
    weather: Weather,
    /// Whether it is a player file.
    is_filed: bool,
}

/// The same of a player file: the report on its log, where it holds one and no pattern was changed
/// since; else the report on its patterns.
fn filed(
    path: &Path,
    bytes: &[u8],
    answers: &Answers,
    weather: &Weather,
) -> Result<Known, Problems> {
    let mut player = file::from_json(&subject::shown(path), bytes)?;
    let (asked, look) = questions::of_player(&subject::shown(path), &player);
    let (answered, problems) = answers.settle(asked);
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    terminal::notes(&answered);
    terminal::notes(&look);
    let of_patterns = words::report_of_player(&player, weather);
    let range = Range::new(weather).with(player.ball);
    let (report, range) = match subject::refitted(&subject::shown(path), &player)? {
        None => (of_patterns, range),
        Some((log, fitted)) => match subject::changed(&player, &fitted.player) {
            None => (words::report(&fitted, &log), fitted.range),
            Some(note) => {
                player.notes.push(note);
                (of_patterns, range)
            }
        },
    };
    let logged = player.log.as_ref().map(|log| log.weather());
    Ok(Known {
        player,
        report,
        range,
        weather: logged.unwrap_or(*weather),
        is_filed: true,
    })
}

/// Options that say how a log was hit and written mean nothing beside a player file.
fn of_a_log(arguments: &cli::Shape) -> Result<(), Problem> {
    let day = &arguments.day;
    let written = arguments.written.given();
    let given = [
        (arguments.handicap.is_some(), "--handicap"),
        (arguments.hand.is_some(), "--hand"),
        (day.temperature.is_some(), "--temperature"),
        (day.altitude.is_some(), "--altitude"),
        (day.pressure.is_some(), "--pressure"),
        (day.humidity.is_some(), "--humidity"),
        (day.firmness != cli::Ground::Medium, "--firmness"),
    ];
    let given = given.into_iter().filter(|(is_given, _)| *is_given);
    let given = given.map(|(_, name)| name.to_owned());
    match given.chain(written).next() {
        None => Ok(()),
        Some(option) => Err(Problem {
            file: "command line".into(),
            place: Place::Argument(option),
            expected: "a shot log, which this option is about".into(),
            found: "a player file, to which it does not apply".into(),
            remedy: "leave the option out, or give the log".into(),
        }),
    }
}

/// "range, right-handed, Handicap Index 12.0".
fn who(player: &Player) -> String {
    format!(
        "{}, {}, Handicap Index {:.1}",
        printable(&player.name),
        subject::hand(player.handedness),
        player.handicap
    )
}
