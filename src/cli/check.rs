//! `bendline check`.

use std::path::PathBuf;

use clap::Args;

use super::{Confirmed, Written};

/// Say what is wrong with files, or what is in them.
///
/// Takes hole, course, shot log, player, round and height files in any mixture, tells them apart by
/// what is in them, and lists every problem of each with its place and remedy; a sound file gets a summary.
/// The last line says the one next thing to do: start with an empty file, and follow it to a plan.
#[derive(Args, Debug)]
#[command(after_help = "\
Examples:
  bendline check course.geojson
  bendline check course.geojson range.csv me.json
  bendline check holes/*.geojson")]
pub struct Check {
    /// Hole, course, shot log, player or round files, or heights of the ground (ESRI ASCII grid,
    /// GeoTIFF)
    #[arg(value_name = "FILE", required = true)]
    pub files: Vec<PathBuf>,

    /// Coordinate system of the hole files, and of heights that name none, if it is not longitude
    /// and latitude: a name such as EPSG:27700, or a PROJ string
    #[arg(long, value_name = "CRS")]
    pub crs: Option<String>,

    #[command(flatten)]
    pub confirmed: Confirmed,

    #[command(flatten)]
    pub written: Written,
}
