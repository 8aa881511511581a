//! `bendline plan`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Game, PlayFor, Units};

/// Plan the tee shot of a hole, or of every hole of a course.
///
/// Prints the decision (of several holes a line each) and writes a drawing (hole-REF.svg) and a plan file (hole-REF.json) for
/// every hole planned. Plan before the round: during it, Rule 4.3a does not allow a device that
/// recommends a line or a club.
#[derive(Args, Debug)]
#[command(after_help = "\
Examples:
  bendline plan
      the built-in hole and player: nothing to prepare
  bendline plan course.geojson --hole 7 --log range.csv --wind 12mph@240 --pin 18,4L
      hole 7, from a log of range shots; wind from the south-west; pin 18 paces on, 4 from the left
  bendline plan course.geojson --player me.json --tee white --units m --out plans
      every hole of the course from the white tees, in metres, into the folder plans
  bendline plan course.geojson --hole 7 --player me.json --for match --opponent par:60,bogey:40
      hole 7, to win it or halve it against somebody who makes par six times in ten
  bendline plan --instead 3w --instead \"driver, aim down the middle\"
      what two shots of your own would cost beside the plan, each with a drawing
  bendline plan --json | head
      the plan as JSON on the standard output; no files")]
pub struct Plan {
    #[command(flatten)]
    pub game: Game,

    #[command(flatten)]
    pub play: PlayFor,

    /// Decide each tee again in eight winds of 10 and 20 mph, on every shot of the hole, or for pins
    /// at the front, back, left and right of the green, or for play that scatters less and more than
    /// the plan takes it to: what changes, and what keeping to the plan would cost; takes a while.
    /// For all: winds,pins,play
    #[arg(
        help_heading = "What for",
        long,
        value_enum,
        value_name = "WHAT",
        value_delimiter = ','
    )]
    pub what_if: Vec<WhatIf>,

    /// Lengths are shown in this unit
    #[arg(help_heading = "Results", long, value_enum, default_value_t = Units::Yd)]
    pub units: Units,

    /// Print the tables too: what every other club and aim costs, where balls end, the carries, what
    /// other winds and pins change
    #[arg(help_heading = "Results", long, conflicts_with = "json")]
    pub full: bool,

    /// Write a page in large type too, for eyes that need it: club, aim and three numbers
    /// (hole-REF-large.svg)
    #[arg(help_heading = "Results", long)]
    pub large: bool,

    /// Folder for the drawings and plan files [default: out; with --json, none]
    #[arg(help_heading = "Results", long, value_name = "DIR")]
    pub out: Option<PathBuf>,

    /// Print the plan as JSON on the standard output, and nothing else there (if several holes are
    /// asked for, an object: their total under `course`, as in course.json, and the plans under
    /// `plans`); files are written only where --out says
    #[arg(help_heading = "Results", long)]
    pub json: bool,

    /// Write these beside the drawing and the plan file: geojson lays the plan over any map
    /// program's picture, md is the report as Markdown, pdf the drawing with its fonts, view what is
    /// seen from the tee, with the aim in it (hole-REF.view.svg), balls a hundred balls down the middle
    /// (or as your first --instead) beside the same hundred as planned, winds a flower of what other
    /// winds change (decides the tee in them, as --what-if winds does), landscape contours of the
    /// strokes still to play, round every hole straightened on one page (round.svg). Several: view,pdf
    #[cfg_attr(
        feature = "png",
        doc = "and png the drawing as a picture of 300 dots an inch"
    )]
    #[arg(
        help_heading = "Results",
        long,
        value_enum,
        value_name = "FORM",
        value_delimiter = ','
    )]
    pub also: Vec<Form>,
}

/// `winds`, `pins` or `play`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum WhatIf {
    Winds,
    Pins,
    Play,
}

/// `geojson`, `md`, `pdf`, `view`, `balls`, `winds`, `landscape` or `round`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Form {
    Geojson,
    Md,
    Pdf,
    View,
    Balls,
    Winds,
    Landscape,
    Round,
    #[cfg(feature = "png")]
    Png,
}
