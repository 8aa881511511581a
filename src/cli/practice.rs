//! `bendline practice`.

use clap::Args;

use super::Game;

/// Say what would save most strokes off these tees.
///
/// Prices the holes for the player as logged, and again for the player with one thing changed: half
/// the bend, a one-way miss, less spread in direction or in distance, finding the middle of the
/// face, 10 yd more, another shape. Club and aim are chosen anew each time, on the same random
/// balls. A coach's list of what to practise, the most helpful first.
#[derive(Args, Debug)]
#[command(after_help = "\
Examples:
  bendline practice course.geojson --log range.csv --handicap 12
  bendline practice course.geojson --hole 3 --hole 4 --player me.json
  bendline practice course.geojson --player me.json --json | head")]
pub struct Practice {
    #[command(flatten)]
    pub game: Game,

    /// Print the list as JSON on the standard output, and nothing else there
    #[arg(help_heading = "Results", long)]
    pub json: bool,
}
