//! `bendline review`.

use std::path::{Path, PathBuf};

use clap::Args;

use super::{Game, Units};

/// After the round: what happened against the plan, and what it teaches the next one.
///
/// Reads what was played, a CSV with a hole a row (or a stroke a row): hole, club, where the ball
/// ended, score. Plans the holes again and says where each tee shot ended in its pattern, where the
/// strokes went, how much wider you play on a course than on a range, and which decisions change with
/// that. Writes review.md, review.json, drawings, and player.json, the player file for the next plan.
#[derive(Args, Debug)]
#[command(after_help = "\
Examples:
  bendline review
      a built-in round of the built-in player: nothing to prepare
  bendline review course.geojson --played saturday.csv --player me.json --round saturday.toml
      one round, on the day of the round file
  bendline review course.geojson --played rounds --player me.json --out season
      every CSV of the folder rounds, oldest first by name, into the folder season
  bendline review course.geojson --played saturday.csv --log range.csv --handicap 12 --json | head

What was played (CSV); only `hole` is needed, and every cell but the hole's may be empty:
  hole,club,lon,lat,total_yd,side_yd,result,to_go_yd,score,putts
  1,driver,-2.80187,56.35402,,,,,5,2
  2,driver,,,246,12R,,,4,1
  3,7 iron,,,,,bunker left,18,4,2
  4,,,,,,,,6,
Lengths end in _yd, _m or _ft; to_go is to the pin. side is where the ball ended, right of the line
that the plan aims along (left: 10L or -10): a right-hander's draw that is hit as planned starts
right of that line and ends left of it. result is fairway, rough, bunker, green, trees, penalty,
out or holed, with left or right. Of several rows of one hole, one under the other, the first is
the tee shot. Every round has its own file.")]
pub struct Review {
    #[command(flatten)]
    pub game: Game,

    /// What was played: a CSV, or a folder of them, oldest first by name; may be repeated, oldest
    /// first
    #[arg(help_heading = "What was played", long, value_name = "ROUND.csv")]
    pub played: Vec<PathBuf>,

    /// Old rounds fade: one counts half after so many newer ones
    #[arg(help_heading = "What was played", long, value_name = "ROUNDS", default_value_t = 20.0, value_parser = half_life)]
    pub half_life: f64,

    /// Lengths are shown in this unit
    #[arg(help_heading = "Results", long, value_enum, default_value_t = Units::Yd)]
    pub units: Units,

    /// Folder for the review, its drawings and the player file [default: out; with --json, none]
    #[arg(help_heading = "Results", long, value_name = "DIR")]
    pub out: Option<PathBuf>,

    /// Print the review as JSON on the standard output, and nothing else there; files are written only
    /// where --out says
    #[arg(help_heading = "Results", long)]
    pub json: bool,
}

impl Review {
    /// Every file that is read, but for those in folders.
    pub fn inputs(&self) -> Vec<&Path> {
        let played = self.played.iter().map(PathBuf::as_path);
        let played = played.filter(|path| !path.is_dir());
        self.game.inputs().into_iter().chain(played).collect()
    }
}

/// Reads a half-life.
fn half_life(text: &str) -> Result<f64, String> {
    let rounds: Option<f64> = text.trim().parse().ok();
    let rounds = rounds.filter(|rounds| (1.0..=1000.0).contains(rounds));
    rounds.ok_or_else(|| "expected a number of rounds from 1 to 1000; write it like 20".to_owned())
}
