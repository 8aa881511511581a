//! Which holes, for whom, on which day: what `plan`, `book` and `practice` share.

use std::path::{Path, PathBuf};

use bendline::units::parse;
use clap::Args;

use super::{Confirmed, Day, Hand, Handicap, Wind, Written, seed};

/// Which holes, for whom, on which day: what planning needs.
#[derive(Args, Debug)]
pub struct Game {
    /// The hole or course: GeoJSON with OpenStreetMap's golf tags [default: a built-in hole]
    #[arg(value_name = "HOLE.geojson")]
    pub hole_file: Option<PathBuf>,

    /// Only this hole, by its number in the file (the tag ref), such as 7; may be repeated
    #[arg(long = "hole", value_name = "REF")]
    pub holes: Vec<String>,

    /// Play from the tee of this colour, as the file's tag tee has it, such as white [default: the
    /// one where the line of play starts]
    #[arg(long, value_name = "COLOUR")]
    pub tee: Option<String>,

    /// Coordinate system of the hole file, if it is not longitude and latitude: a name such
    /// as EPSG:27700, or a PROJ string
    #[arg(long, value_name = "CRS")]
    pub crs: Option<String>,

    /// Heights of the ground: an ESRI ASCII grid, or a GeoTIFF, in place of the hole file's own
    #[arg(long, value_name = "RASTER")]
    pub heights: Option<PathBuf>,

    /// Coordinate system of the heights [default: the GeoTIFF's own; else that of --crs; else
    /// longitude and latitude]
    #[arg(long, value_name = "CRS", requires = "heights")]
    pub heights_crs: Option<String>,

    /// The player's shots, CSV, taken to be hit in still air of 20C at sea level; of shots hit in
    /// other air make a player file with `bendline shape` [default: a built-in player]
    #[arg(long, value_name = "SHOTS.csv", conflicts_with = "player")]
    pub log: Option<PathBuf>,

    /// The player, as written by `bendline shape --out`
    #[arg(long, value_name = "PLAYER.json")]
    pub player: Option<PathBuf>,

    /// Handicap Index, +5 for a tour player to 54; +2 is better than scratch [default: 12, or the player file's]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub handicap: Option<Handicap>,

    /// Which hand the player of the log plays with [default: right]
    #[arg(long, value_enum, requires = "log", conflicts_with = "player")]
    pub hand: Option<Hand>,

    /// Add these clubs, for which no shot is logged, filled from the clubs beside them,
    /// such as 4h,gw
    #[arg(long, value_name = "CLUB,CLUB", value_delimiter = ',')]
    pub fill: Vec<String>,

    /// Where the pin stands: paces on from the front of the green, then paces in from its left (L)
    /// or right (R) edge; one hole only
    #[arg(long, value_name = "18,4L", value_parser = parse::pin, allow_hyphen_values = true)]
    pub pin: Option<parse::PinPaces>,

    /// The round: date, tees, pin sheet, wind, air, ground, notes and things to aim at, from a TOML
    /// file, in place of the options that say the same (`bendline book --help` shows one)
    #[arg(long, value_name = "ROUND.toml", conflicts_with_all = ["tee", "pin", "wind", "temperature", "altitude", "pressure", "humidity", "firmness"])]
    pub round: Option<PathBuf>,

    /// Seed of the random balls: the same seed gives the same plan, byte for byte
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = seed, allow_hyphen_values = true)]
    pub seed: u32,

    /// Use this many threads, at most four a core [default: one a core]; RAYON_NUM_THREADS is not
    /// read
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub threads: Option<u16>,

    #[command(flatten)]
    pub confirmed: Confirmed,

    #[command(flatten)]
    pub written: Written,

    #[command(flatten)]
    pub wind: Wind,

    #[command(flatten)]
    pub day: Day,
}

impl Game {
    /// Every file that is read.
    pub fn inputs(&self) -> Vec<&Path> {
        let files = [
            &self.hole_file,
            &self.heights,
            &self.log,
            &self.player,
            &self.round,
        ];
        let files = files.into_iter().flatten();
        files.map(PathBuf::as_path).collect()
    }
}
