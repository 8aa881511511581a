//! `bendline practice`.

use std::path::PathBuf;

use clap::Args;

use super::{Game, Units};

/// Say what would save most strokes on these holes, and how to practise it.
///
/// Plans every hole as `plan` does, and plays it to the last putt thousands of times by the player's own
/// game: as it is, and with one thing practised: straighter starts, a steadier bend or carry, fewer
/// mishits off the tee and on approaches, strikes nearer the middle of the face, pitches, bunker shots,
/// chips, putts. The same luck each time, so that small differences can be seen; those that are noise
/// share a place. With --sheet a page to take along: three things to work on, each with a target number, a
/// test and the holes that it pays on.
#[derive(Args, Debug)]
#[command(after_help = "\
Examples:
  bendline practice course.geojson --log range.csv --handicap 12
  bendline practice course.geojson --player me.json --sheet practice.svg
  bendline practice course.geojson --hole 3 --hole 4 --player me.json --units m
  bendline practice course.geojson --player me.json --json | head")]
pub struct Practice {
    #[command(flatten)]
    pub game: Game,

    /// Take your shots on the course to be as they were logged; else they scatter more, by your handicap
    /// and the log
    #[arg(help_heading = "What for", long)]
    pub as_on_the_range: bool,

    /// Write a page to practise by, SVG or PDF by the name's ending
    #[arg(help_heading = "Results", long, value_name = "SHEET.svg")]
    pub sheet: Option<PathBuf>,

    /// Lengths are shown in this unit
    #[arg(help_heading = "Results", long, value_enum, default_value_t = Units::Yd)]
    pub units: Units,

    /// Print the list as JSON on the standard output, and nothing else there
    #[arg(help_heading = "Results", long)]
    pub json: bool,
}
