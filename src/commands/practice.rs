//! `bendline practice`: what practising would save on these holes, and a sheet to practise by.

use std::path::Path;

use bendline::diagnostic::{self, Place, Problem, Problems, printable};
use bendline::draw::page::PAGE;
use bendline::draw::pdf::{self, About, Sheet};
use bendline::draw::practice as sheet;
use bendline::flight::{Firmness, Weather};
use bendline::planner::practised::Practising;
use bendline::player::face::{FaceAndStrike, split};
use bendline::player::{ClubShape, Player};
use bendline::practice::drill::{Drill, drill};
use bendline::practice::{Practice, Practised, remedies, words};
use bendline::strategy::{Progress, whole};
use bendline::units::LengthUnit;

use super::plan::no_pdf;
use super::subject::{changed, is_as_fitted};
use super::{game, subject};
use crate::{cli, files, terminal};

/// Runs the command.
pub fn run(arguments: &cli::Practice) -> Result<(), Problems> {
    let form = arguments.sheet.as_deref().map(form).transpose()?;
    if let Some(path) = &arguments.sheet {
        files::check_files(&[path.as_path()], files::Folder::There)?;
    }
    let unit: LengthUnit = arguments.units.into();
    let (table, strikes) = game::read_for(&arguments.game, unit, player)?;
    let table = table.by_game(arguments.as_on_the_range);
    terminal::notes(&table.player.notes);
    let there = table.player.course_play();
    let practice = practised(&table, &strikes)?;
    let player = &table.player;
    let drills: Vec<Option<Drill>> = practice
        .savings
        .iter()
        .map(|saving| drill(saving.remedy, &practice, player, &strikes, unit))
        .collect();
    if let (Some(path), Some(form)) = (&arguments.sheet, form) {
        let bytes = sheet_bytes(form, &practice, &drills, player, unit)?;
        let path = path.clone();
        files::write_files(&[files::Output { path, bytes }])?;
    }
    let wrote = arguments.sheet.as_deref().map(terminal::wrote);
    if arguments.json {
        if let Some(wrote) = wrote {
            terminal::aside(&wrote);
        }
        let json = words::json(&practice, player, &drills, unit);
        // Plain values and strings: writing them cannot fail.
        let json = serde_json::to_string_pretty(&json).unwrap_or_default();
        return terminal::say(&diagnostic::json(&json));
    }
    let mut text = words::text(&practice, &who(player), unit);
    if arguments.as_on_the_range {
        text.push_str("\nYour shots are taken to scatter as on the range.");
    } else {
        text.push_str(&format!("\nOn the course: {}.", there.words(player)));
    }
    text.push_str("\n\nTo work on:");
    for (saving, drill) in words::three(&practice, &drills) {
        text.push_str(&format!(
            "\n  {}. {}. {}.",
            bendline::plan::sentence::capital(&saving.remedy.words(unit)),
            drill.test.trim_end_matches('.'),
            words::target(drill)
        ));
    }
    if let Some(wrote) = wrote {
        text.push_str(&format!("\n\n{wrote}"));
    }
    terminal::say(&terminal::paragraphs(&text))
}

/// For each of a player's clubs what its strike does to the bend; empty where no log tells.
type Strikes = Vec<Option<FaceAndStrike>>;

/// How a sheet is written.
#[derive(Clone, Copy)]
enum Form {
    Svg,
    Pdf,
}

/// The form that a sheet's name asks for.
fn form(path: &Path) -> Result<Form, Problem> {
    let ending = path.extension().and_then(|ending| ending.to_str());
    match ending.map(str::to_ascii_lowercase).as_deref() {
        Some("svg") => Ok(Form::Svg),
        Some("pdf") => Ok(Form::Pdf),
        _ => Err(Problem {
            file: "command line".into(),
            place: Place::Argument("--sheet".into()),
            expected: "a name that ends in .svg or .pdf".into(),
            found: format!("\u{201c}{}\u{201d}", subject::shown(path)),
            remedy: "write it like practice.svg".into(),
        }),
    }
}

fn sheet_bytes(
    form: Form,
    practice: &Practice,
    drills: &[Option<Drill>],
    player: &Player,
    unit: LengthUnit,
) -> Result<Vec<u8>, Problem> {
    let drawn = sheet::lay_out(practice, drills, player, unit);
    match form {
        Form::Svg => Ok(drawn.svg().into_bytes()),
        Form::Pdf => {
            let about = About {
                title: drawn.title,
                player: None,
            };
            let sheet = Sheet {
                size: PAGE,
                parts: vec![([0.0, 0.0], drawn.nodes)],
                name: None,
            };
            pdf::write(&about, &[sheet]).map_err(no_pdf)
        }
    }
}

/// Plans and plays every hole.
fn practised(table: &game::Table, strikes: &Strikes) -> Result<Practice, Problems> {
    let (priced, untold) = remedies(strikes);
    let swung: Vec<whole::Swung> = priced.iter().map(|_| whole::Swung::default()).collect();
    let practising = Practising {
        remedies: &priced,
        strikes,
        swung: &swung,
    };
    let progress = terminal::Progress::begin("weighing what to practise");
    let total = table.holes.len();
    let one = |hole: usize| {
        let doing = "planning and playing the holes";
        let tell = |step: Progress| {
            let of_hole = step.done.min(step.total) as f64 / step.total.max(1) as f64;
            let done = ((hole as f64 + of_hole) * 100.0) as usize;
            progress.at(done, total * 100, doing);
        };
        table
            .planned(hole)
            .practise(&practising, hole as u64, &tell)
    };
    // The pool's own work: handed in from outside, each short part would wake a thread first.
    let made: Result<Vec<Practised>, Problems> = rayon::scope(|_| (0..total).map(one).collect());
    drop(progress);
    let nothing = || Problem {
        file: table.file.clone(),
        place: Place::File,
        expected: "a hole".into(),
        found: "none".into(),
        remedy: "name a file with holes".into(),
    };
    let practice = Practice::of(&made?, &table.player, (&priced, untold));
    Ok(practice.ok_or_else(nothing)?)
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

/// The player, with what a log or file tells beyond the patterns.
fn player(game: &cli::Game) -> Result<(Player, Strikes), Problems> {
    let (player, log, fitted) = if let Some(log) = &game.log {
        let who = subject::Who {
            handicap: game.handicap,
            handedness: game.hand.map(Into::into).unwrap_or_default(),
            dialect: game.written.into(),
            answers: &game.confirmed.answers(),
        };
        let weather = Weather::usual();
        let (log, fitted) = subject::fitted_log(log, who, weather, Firmness::Medium)?;
        let mut player = fitted.player.clone();
        game::fill(game, &mut player)?;
        (player, log, fitted)
    } else {
        let mut player = game::player(game)?;
        let file = game.player.as_deref().map(subject::shown);
        let Some((log, fitted)) = subject::refitted(&file.unwrap_or_default(), &player)? else {
            return Ok((player, Strikes::new()));
        };
        player.notes.extend(changed(&player, &fitted.player));
        (player, log, fitted)
    };
    // Filled clubs stand between the logged ones; one that was changed by hand is taken as meant.
    let of = |club: &ClubShape| {
        let logged = fitted.player.clubs.iter();
        let mut logged = logged.zip(&fitted.evidence);
        let found = logged.find(|(known, _)| is_as_fitted(club, known));
        found.map(|(_, evidence)| evidence)
    };
    let strikes = player
        .clubs
        .iter()
        .map(|club| split(&of(club)?.group, &log.shots, player.handedness))
        .collect();
    Ok((player, strikes))
}
