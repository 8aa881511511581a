//! `bendline practice`: what would save most strokes off the tee on these holes.

use bendline::diagnostic::{self, Problems, printable};
use bendline::flight::{Firmness, Weather};
use bendline::hole::{Hole, TeeingArea};
use bendline::plan::not_reached;
use bendline::player::doubt::Doubt;
use bendline::player::face::{FaceAndStrike, split};
use bendline::player::{Basis, ClubShape, Player};
use bendline::strategy::practice::{Asked, Practice, Remedy, Saving, most_helpful};
use bendline::units::LengthUnit;

use super::subject::{changed, is_as_fitted};
use super::{game, subject};
use crate::{cli, terminal};

/// Runs the command.
pub fn run(arguments: &cli::Practice) -> Result<(), Problems> {
    // No length is shown: the unit does not matter.
    let (table, known) = game::read_for(&arguments.game, LengthUnit::Yards, player)?;
    terminal::notes(&table.player.notes);
    let places = table.places()?;
    let asked = Asked {
        holes: &places,
        player: &table.player,
        strikes: &known.strikes,
        doubts: &known.doubts,
        day: &table.day(table.wind),
        seed: arguments.game.seed,
    };
    let progress = terminal::Progress::begin("weighing what to practise");
    let practice = most_helpful(&asked, &|step| {
        progress.at(step.done, step.total, step.doing);
    })
    .map_err(|not| not_reached::problem(&table.file, &not, LengthUnit::Yards))?;
    drop(progress);
    if arguments.json {
        return terminal::say(&json(&practice, &table.player, &places));
    }
    terminal::say(&text(&practice, &table.player, &places))
}

/// What is known of a player beside the patterns, club by club.
struct Known {
    /// What the strike does, where a log tells.
    strikes: Vec<Option<FaceAndStrike>>,
    /// What is not known.
    doubts: Vec<Option<Doubt>>,
}

/// The player, with what a log or file tells beyond the patterns.
fn player(game: &cli::Game) -> Result<(Player, Known), Problems> {
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
            let known = Known {
                strikes: Vec::new(),
                doubts: player.clubs.iter().map(Doubt::of_file).collect(),
            };
            return Ok((player, known));
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
    let known = Known {
        strikes: player
            .clubs
            .iter()
            .map(|club| split(&of(club)?.group, &log.shots, player.handedness))
            .collect(),
        doubts: player
            .clubs
            .iter()
            .map(|club| match of(club) {
                Some(evidence) => Some(Doubt::of_log(club, evidence)),
                None if club.basis != Basis::Neighbours && player.log.is_some() => None,
                None => Doubt::of_file(club),
            })
            .collect(),
    };
    Ok((player, known))
}

/// A change in a player's words.
fn words(remedy: Remedy) -> &'static str {
    match remedy {
        Remedy::HalfCurve => "half the bend",
        Remedy::NeverCrosses => "a one-way miss",
        Remedy::Direction => "10 % straighter",
        Remedy::Distance => "10 % surer of distance",
        Remedy::CentredStrike => "finding the middle of the face",
        Remedy::TenYards => "10 yd more with the longest club",
        Remedy::OtherShape => "the other shape as well",
    }
}

/// The same as JSON: strokes to four decimals.
fn json(practice: &Practice, player: &Player, places: &[(&Hole, &TeeingArea)]) -> String {
    let round = |strokes: f64| (strokes * 1e4).round() / 1e4 + 0.0;
    let by_hole = |strokes: &[f64]| -> Vec<serde_json::Value> {
        places
            .iter()
            .zip(strokes)
            .map(|((hole, _), strokes)| {
                serde_json::json!({ "ref": hole.reference, "strokes": round(*strokes) })
            })
            .collect()
    };
    let savings: Vec<serde_json::Value> = practice
        .savings
        .iter()
        .map(|saving| {
            serde_json::json!({
                "change": words(saving.remedy),
                "strokes": round(saving.strokes),
                "standard_error": round(saving.standard_error),
                "interval_90": saving.interval.map(round),
                "by_hole": by_hole(&saving.by_hole),
            })
        })
        .collect();
    let all = serde_json::json!({
        "format": 1,
        "player": player.name,
        "handicap": player.handicap,
        "expected_strokes": by_hole(&practice.by_hole),
        "savings": savings,
        "untold": practice.undetermined.iter().map(|r| words(*r)).collect::<Vec<_>>(),
        "players_drawn": practice.players_drawn,
    });
    // Plain values and strings: writing them cannot fail.
    diagnostic::json(&serde_json::to_string_pretty(&all).unwrap_or_default())
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
    let widest = practice.savings.iter().map(|s| words(s.remedy).len()).max();
    for saving in &practice.savings {
        lines.push(line(saving, widest.unwrap_or(0), places));
    }
    for remedy in &practice.undetermined {
        lines.push(format!(
            "  {}: cannot be told; it needs a log with face, path and strike",
            words(*remedy)
        ));
    }
    lines.push(String::new());
    lines.push(match practice.players_drawn {
        0 => "Intervals hold the saving with 90 %, for the player taken as meant: they are the \
              simulation's and the search's. Every change is priced on the same balls."
            .into(),
        drawn => format!(
            "Intervals hold the saving with 90 %: simulation, search, and what the log leaves open \
             of the player ({drawn} players whom it allows, priced the same way). Every change is \
             priced on the same balls. What a change takes to learn is not in them."
        ),
    });
    lines.push(
        "After the tee shot the published table for the handicap is counted, not the player's own \
         next shots as in a plan: the strokes are not those of a plan, the savings can be compared."
            .into(),
    );
    terminal::paragraphs(&lines.join("\n"))
}

fn line(saving: &Saving, width: usize, places: &[(&Hole, &TeeingArea)]) -> String {
    let [low, high] = saving.interval;
    let mut line = format!(
        "  {:<width$}  {:+.2} ({low:+.2} to {high:+.2})",
        words(saving.remedy),
        saving.strokes,
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
