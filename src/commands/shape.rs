//! `bendline shape`: the shape a player has, in a coach's words and numbers.

use std::path::{Path, PathBuf};

use bendline::diagnostic::{Problems, printable};
use bendline::draw;
use bendline::plan::bag;
use bendline::player::{Player, change, file, neighbours, words};
use bendline::units::LengthUnit;

use super::{day, subject};
use crate::{cli, files, terminal};

/// Runs the command.
pub fn run(arguments: &cli::Shape) -> Result<(), Problems> {
    let outputs: Vec<&Path> = [&arguments.out, &arguments.draw]
        .into_iter()
        .flatten()
        .map(PathBuf::as_path)
        .collect();
    files::check_files(&outputs, files::Folder::There)?;
    let weather = day::weather(&arguments.day);
    let answers = arguments.confirmed.answers();
    let fitted_log = |path: &Path| {
        subject::fitted_log(
            path,
            subject::Who {
                handicap: arguments.handicap,
                handedness: arguments.hand.map(Into::into).unwrap_or_default(),
                dialect: arguments.written.into(),
                answers: &answers,
            },
            weather,
            arguments.day.firmness.into(),
        )
    };
    let other = arguments.against.as_deref().map(|path| {
        if let Some(player) = player_file(path)? {
            return Ok(words::report_of_player(&player, &weather));
        }
        let (log, fitted) = fitted_log(path)?;
        terminal::notes(&fitted.player.notes);
        Ok(words::report(&fitted, &log))
    });
    // What is wrong with both files is said at once.
    let (log, mut fitted, other) = match (fitted_log(&arguments.log), other.transpose()) {
        (Ok((log, fitted)), Ok(other)) => (log, fitted, other),
        (one, two) => {
            let problems = [one.err(), two.err()].into_iter().flatten();
            return Err(Problems(problems.flat_map(|p: Problems| p.0).collect()));
        }
    };
    let mut report = words::report(&fitted, &log);
    let fill: Vec<&str> = arguments.fill.iter().map(|name| name.trim()).collect();
    neighbours::fill(&mut fitted.player, &fill, &weather)?;
    report.add_filled(&fitted.player, &fitted.range);
    report.turn_deg = arguments.turn;
    let player = &fitted.player;
    let unit: LengthUnit = arguments.units.into();
    terminal::notes(&player.notes);
    // The player file has no part in it: clubs may be filled in when it is read.
    terminal::notes(bag::note(player, unit).as_slice());

    let mut outputs = Vec::new();
    if let Some(path) = &arguments.out {
        outputs.push(files::Output {
            path: path.clone(),
            bytes: file::to_json(player).into_bytes(),
        });
    }
    if let Some(path) = &arguments.draw {
        outputs.push(files::Output {
            path: path.clone(),
            bytes: draw::shape::scatter(&report, &player.name, unit).into_bytes(),
        });
    }
    files::write_files(&outputs)?;

    let said = match (&other, &arguments.against) {
        (Some(other), Some(path)) => format!(
            "before: {}; after: {}\n\n{}",
            printable(&subject::shown(path)),
            printable(&subject::shown(&arguments.log)),
            change::compare(other, &report).text(unit)
        ),
        _ => report.text(unit),
    };
    let said = terminal::folded(&said, terminal::width());
    let mut text = format!("{}\n\n{said}", who(player));
    for output in &outputs {
        text.push_str(&format!("\n{}", terminal::wrote(&output.path)));
    }
    terminal::say(&text)
}

/// The player of a file that is JSON; none of another.
fn player_file(path: &Path) -> Result<Option<Player>, Problems> {
    let bytes = files::read(path)?;
    let first = bytes.iter().find(|b| !b.is_ascii_whitespace());
    if first != Some(&b'{') {
        return Ok(None);
    }
    file::from_json(&subject::shown(path), &bytes).map(Some)
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
