//! `bendline practice`: what would save most strokes off the tee on these holes.

use bendline::diagnostic::{Problems, printable};
use bendline::hole::{Hole, TeeingArea};
use bendline::player::Player;
use bendline::player::face::{FaceAndStrike, split};
use bendline::strategy::practice::{Asked, Practice, Saving, most_helpful};
use bendline::units::LengthUnit;

use super::{day, game, subject};
use crate::{cli, terminal};

/// Half the width of an interval that holds 90 %, in standard errors.
const Z95: f64 = 1.645;

/// Runs the command.
pub fn run(arguments: &cli::Practice) -> Result<(), Problems> {
    // No length is shown: the unit does not matter.
    let (table, strikes) = game::read_for(&arguments.game, LengthUnit::Yards, player)?;
    terminal::notes(&table.player.notes);
    let places = table.places()?;
    let asked = Asked {
        holes: &places,
        player: &table.player,
        strikes: &strikes,
        day: &table.day(table.wind),
        seed: arguments.game.seed,
    };
    let progress = terminal::Progress::begin("weighing what to practise");
    let practice = most_helpful(&asked, &|step| {
        progress.at(step.done, step.total, step.doing);
    })
    .map_err(|nothing| game::nothing_in_play(&table.file, places[0].0, &nothing))?;
    drop(progress);
    terminal::say(&text(&practice, &table.player, &places))
}

type Strikes = Vec<Option<FaceAndStrike>>;

/// The player, with what the strike does to each club's bend where a log tells.
fn player(game: &cli::Game) -> Result<(Player, Strikes), Problems> {
    let Some(log) = &game.log else {
        return Ok((game::player(game)?, Vec::new()));
    };
    let who = subject::Who {
        handicap: game.handicap,
        handedness: game.hand.map(Into::into).unwrap_or_default(),
    };
    let (log, fitted) = subject::fitted_log(
        log,
        who,
        day::usual_weather(),
        bendline::flight::Firmness::Medium,
    )?;
    let strikes = fitted
        .evidence
        .iter()
        .map(|e| split(&e.group, &log.shots, fitted.player.handedness))
        .collect();
    Ok((fitted.player, strikes))
}

fn text(practice: &Practice, player: &Player, places: &[(&Hole, &TeeingArea)]) -> String {
    let strokes: f64 = practice.by_hole.iter().sum();
    let holes = match places {
        [(hole, _)] => format!("hole {}", printable(&hole.reference)),
        several => format!("{} holes", several.len()),
    };
    let mut lines = vec![
        format!(
            "{}, {}, Handicap Index {:.1}: {holes} in {strokes:.2} strokes as logged.",
            printable(&player.name),
            subject::hand(player.handedness),
            player.handicap
        ),
        String::new(),
        "What would help most here, strokes saved with club and aim chosen anew:".into(),
    ];
    let widest = practice
        .savings
        .iter()
        .map(|s| s.remedy.words().len())
        .max();
    for saving in &practice.savings {
        lines.push(line(saving, widest.unwrap_or(0), places));
    }
    for remedy in &practice.untold {
        lines.push(format!(
            "  {}: cannot be told; it needs a log with face, path and strike",
            remedy.words()
        ));
    }
    lines.push(String::new());
    lines.push(
        "Intervals hold the saving with 90 %, for the player as the log shows it: they are the \
         simulation's\nand the search's, not the log's. Every change is priced on the same balls."
            .into(),
    );
    lines.join("\n")
}

fn line(saving: &Saving, width: usize, places: &[(&Hole, &TeeingArea)]) -> String {
    let half = Z95 * saving.standard_error;
    let mut line = format!(
        "  {:<width$}  {:+.2} ({:+.2} to {:+.2})",
        saving.remedy.words(),
        saving.strokes,
        saving.strokes - half,
        saving.strokes + half
    );
    if places.len() > 1 {
        let most =
            (0..places.len()).max_by(|a, b| saving.by_hole[*a].total_cmp(&saving.by_hole[*b]));
        if let Some(most) = most.filter(|most| saving.by_hole[*most] > 0.005) {
            line.push_str(&format!(
                ", most on hole {} ({:+.2})",
                printable(&places[most].0.reference),
                saving.by_hole[most]
            ));
        }
    }
    line
}
