//! `bendline shape`: the shape a player has, in a coach's words and numbers.

use bendline::diagnostic::{Problems, printable};
use bendline::draw::scatter;
use bendline::flight::air::Air;
use bendline::player::summary::{Spread, Summary, summarise};
use bendline::player::{Basis, ClubShape, Handedness, Player, file};
use bendline::units::LengthUnit;
use comfy_table::{CellAlignment, Table, presets};

use super::{day, subject};
use crate::{cli, files, terminal};

/// Below this share of balls bending the other way a bend can be counted on (practice).
const SAFE_SHARE: f64 = 0.10;
/// Above this share both misses have to be planned for (practice).
const TWO_WAY_SHARE: f64 = 0.25;
/// A club with fewer shots than this says little yet (practice).
const FEW_SHOTS: usize = 15;

/// Runs the command.
pub fn run(arguments: &cli::Shape) -> Result<(), Problems> {
    let weather = day::weather(&arguments.day);
    let firmness = arguments.day.firmness.into();
    let player = subject::from_log(
        &arguments.log,
        subject::Who {
            handicap: arguments.handicap,
            handedness: arguments.hand.map(Into::into).unwrap_or_default(),
        },
        weather,
        firmness,
    )?;
    terminal::notes(&player.notes);
    let air = Air::of(&weather, day::ROUGHNESS_M);
    let summaries: Vec<Summary> = player
        .clubs
        .iter()
        .map(|club| summarise(club, &air, firmness))
        .collect();
    let unit: LengthUnit = arguments.units.into();

    let mut outputs = Vec::new();
    if let Some(path) = &arguments.out {
        outputs.push(files::Output {
            path: path.clone(),
            bytes: file::to_json(&player).into_bytes(),
        });
    }
    if let Some(path) = &arguments.draw {
        outputs.push(files::Output {
            path: path.clone(),
            bytes: scatter::page(&player, &summaries, unit).into_bytes(),
        });
    }
    files::write_files(&outputs)?;

    let mut text = words(&player, &summaries, unit);
    for output in &outputs {
        text.push_str(&format!("\nwrote {}", output.path.display()));
    }
    terminal::say(&text)
}

fn words(player: &Player, summaries: &[Summary], unit: LengthUnit) -> String {
    let hand = match player.handedness {
        Handedness::Right => "right-handed",
        Handedness::Left => "left-handed",
    };
    let mut text = format!(
        "{}, {hand}, Handicap Index {:.1}\n",
        printable(&player.name),
        player.handicap
    );
    if let (Some(club), Some(summary)) = (player.clubs.first(), summaries.first()) {
        text.push_str(&format!("\n{}\n", story(club, summary, unit)));
    }
    text.push_str(&format!("\n{}\n", table(player, summaries, unit)));
    text.push_str(
        "\nOn level fairway in still air. Left and right: start and finish of the aim, bend of \
         the ball's own start line.\nIn brackets: 8 of 10 balls. Other way: balls that bend \
         against the club's usual bend.",
    );
    text
}

/// The longest club in sentences.
fn story(club: &ClubShape, summary: &Summary, unit: LengthUnit) -> String {
    let name = format!("{} {}", printable(&club.club), printable(&club.shape));
    let in_100 = (100.0 * summary.two_way_miss()).round();
    let mut lines = vec![if told_apart(club) {
        format!(
            "{name}: starts {}, bends {} in the air, and finishes {} of the aim.",
            degrees(summary.start_deg.mean),
            sided(summary.curve_m.mean, unit),
            sided(summary.side_m.mean, unit),
        )
    } else {
        format!(
            "{name}: finishes {} of the aim; carry and side alone do not tell the start line from \
             the bend.",
            sided(summary.side_m.mean, unit),
        )
    }];
    lines.push(format!(
        "Side total, from its start line to where it rests: {}; the half-gap rule would aim {}.",
        sided(summary.side_total_m.mean, unit),
        sided(-0.5 * summary.side_total_m.mean, unit),
    ));
    if told_apart(club) {
        let other = if summary.curve_m.mean < 0.0 {
            "right"
        } else {
            "left"
        };
        let advice = if summary.two_way_miss() < SAFE_SHARE {
            "the bend can be counted on"
        } else if summary.two_way_miss() < TWO_WAY_SHARE {
            "mostly one way, but not to be relied on beside trouble"
        } else {
            "a two-way miss: plan for both sides"
        };
        lines.push(format!(
            "{in_100:.0} in 100 bend {other} instead: {advice}."
        ));
    }
    lines.push(format!("Rests on {}.", rests_on(club)));
    lines.join("\n")
}

fn told_apart(club: &ClubShape) -> bool {
    club.basis != Basis::SideOnly
}

fn rests_on(club: &ClubShape) -> String {
    let what = match club.basis {
        Basis::FullLaunch => "with launch data",
        Basis::StartAndCurve => "with start and curve",
        Basis::SideOnly => "with carry and side only",
        Basis::Neighbours => "of its own: filled in from the neighbouring clubs",
        Basis::Given => "as the player file says",
    };
    let little = if club.shots < FEW_SHOTS && club.basis != Basis::Given {
        ", too few to be sure of"
    } else {
        ""
    };
    let shots = if club.shots == 1 { "shot" } else { "shots" };
    format!("{} {shots} {what}{little}", club.shots)
}

fn table(player: &Player, summaries: &[Summary], unit: LengthUnit) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_header([
        "club",
        "shape",
        "shots",
        "start",
        "bend",
        "finish",
        "carry",
        "total",
        "other way",
    ]);
    for (club, summary) in player.clubs.iter().zip(summaries) {
        let unknown = || "?".to_owned();
        let known = told_apart(club);
        table.add_row([
            printable(&club.club),
            printable(&club.shape),
            club.shots.to_string(),
            if known {
                degrees(summary.start_deg.mean)
            } else {
                unknown()
            },
            if known {
                sided(summary.curve_m.mean, unit)
            } else {
                unknown()
            },
            format!(
                "{} ({})",
                sided(summary.side_m.mean, unit),
                range(&summary.side_m, unit, true)
            ),
            format!(
                "{} ({})",
                length(summary.carry_m.mean, unit),
                range(&summary.carry_m, unit, false)
            ),
            length(summary.total_m.mean, unit),
            if known {
                format!("{:.0} %", 100.0 * summary.two_way_miss())
            } else {
                unknown()
            },
        ]);
    }
    for column in table.column_iter_mut().skip(2) {
        column.set_cell_alignment(CellAlignment::Right);
    }
    terminal::flush_left(&table)
}

/// "8.2 yd left".
fn sided(metres: f64, unit: LengthUnit) -> String {
    side_of(unit.of(metres), &format!(" {}", unit.name()))
}

/// "2.3° right".
fn degrees(degrees: f64) -> String {
    side_of(degrees, "°")
}

fn side_of(value: f64, unit: &str) -> String {
    let number = format!("{:.1}", value.abs());
    if number == "0.0" {
        return format!("0{unit}");
    }
    let side = if value < 0.0 { "left" } else { "right" };
    format!("{number}{unit} {side}")
}

fn length(metres: f64, unit: LengthUnit) -> String {
    format!("{:.0} {}", unit.of(metres), unit.name())
}

/// "24 left to 17 right", "228 to 254".
fn range(spread: &Spread, unit: LengthUnit, is_sided: bool) -> String {
    let end = |metres: f64| {
        let value = unit.of(metres).round();
        match (is_sided, value) {
            (false, _) | (true, 0.0) => format!("{:.0}", value.abs()),
            (true, _) if value < 0.0 => format!("{:.0} left", -value),
            (true, _) => format!("{value:.0} right"),
        }
    };
    format!("{} to {}", end(spread.tenth), end(spread.ninetieth))
}
