//! `bendline shape`: the shape a player has, in a coach's words and numbers.

use std::path::{Path, PathBuf};

use bendline::diagnostic::{Problems, printable};
use bendline::draw;
use bendline::player::{Player, file, words};
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
    files::check_files(&outputs)?;
    let (log, fitted) = subject::fitted_log(
        &arguments.log,
        subject::Who {
            handicap: arguments.handicap,
            handedness: arguments.hand.map(Into::into).unwrap_or_default(),
        },
        day::weather(&arguments.day),
        arguments.day.firmness.into(),
    )?;
    let player = &fitted.player;
    terminal::notes(&player.notes);
    let report = words::report(&fitted, &log);
    let unit: LengthUnit = arguments.units.into();

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

    let mut text = format!("{}\n\n{}", who(player), report.text(unit));
    for output in &outputs {
        text.push_str(&format!("\nwrote {}", output.path.display()));
    }
    terminal::say(&text)
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
