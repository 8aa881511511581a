//! `bendline shape`.

use std::path::PathBuf;

use bendline::units::parse;
use clap::Args;

use super::{Confirmed, Day, Hand, Handicap, Units, Written};

/// Say what shape a player has, from a log of shots.
///
/// For every club and shape: where the ball starts, how it bends, how far it carries, how these
/// scatter, how often the bend goes the other way, and on how many shots that rests. Say with
/// --temperature and the like in what air the shots were hit.
#[derive(Args, Debug)]
#[command(after_help = "\
Examples:
  bendline shape range.csv
  bendline shape range.csv --handicap 12 --hand left --out me.json --draw me.svg
  bendline shape after.csv --against before.csv
      what the lessons changed, and whether it is more than chance; or a student against a goal
  bendline shape range.csv --fan bag.svg
      every club on one field: start and bend, as thick as shots are logged
  bendline shape range.csv --fill 5i,gw --out me.json
      a 5-iron and a gap wedge without a shot, from the clubs beside them
  bendline shape range.csv --turn -4
      path, face and where it ends with the aim turned 4 degrees left

The log is a CSV file with a row for each shot and the unit in each heading:
  club, shape, carry_yd, side_yd
  driver, draw, 238, -6
Headings read where present: total, start_deg, curve, ball_speed, launch_deg, spin_rpm, axis_deg,
club_speed, attack_deg, path_deg, face_deg, strike_mm. Lengths end in _yd, _m or _ft, speeds in
_mph, _ms or _kmh. Right is positive; 10L, 29R, 10 left and 5 toe are read too, and a club in any
usual way: 7i, 7-iron, 7 iron. The shape column names the shape meant; remarks belong in a column
of another name.")]
pub struct Shape {
    /// The player's shots, CSV; or a player file made of them, which tells the same
    #[arg(value_name = "SHOTS.csv")]
    pub log: PathBuf,

    /// Handicap Index, +5 for a tour player to 54; +2 is better than scratch [default: 12]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub handicap: Option<Handicap>,

    /// Which hand the player plays with [default: right]
    #[arg(long, value_enum)]
    pub hand: Option<Hand>,

    /// Hold the log against this one: shots from before, or the goal's; a player file will do too.
    /// Says what changed, by how much, and whether it is more than chance
    #[arg(long, value_name = "SHOTS.csv")]
    pub against: Option<PathBuf>,

    /// Add these clubs, for which no shot is logged, filled from the clubs beside them,
    /// such as 4h,gw
    #[arg(long, value_name = "CLUB,CLUB", value_delimiter = ',')]
    pub fill: Vec<String>,

    /// Say what path, face and end become with the aim turned so many degrees right of the
    /// target; negative is left [default: onto the target on average]
    #[arg(long, value_name = "DEG", value_parser = parse::angle_deg, allow_hyphen_values = true)]
    pub turn: Option<f64>,

    /// Write the player file here: `bendline plan --player` takes it in place of the log
    #[arg(long, value_name = "PLAYER.json")]
    pub out: Option<PathBuf>,

    /// Draw the scatter here
    #[arg(long, value_name = "SHAPE.svg")]
    pub draw: Option<PathBuf>,

    /// Draw the whole bag here, every club on one field at one scale: where it starts, how it bends;
    /// with --against, arrows from before to now
    #[arg(long, value_name = "FAN.svg")]
    pub fan: Option<PathBuf>,

    /// Lengths are shown in this unit
    #[arg(long, value_enum, default_value_t = Units::Yd)]
    pub units: Units,

    #[command(flatten)]
    pub confirmed: Confirmed,

    #[command(flatten)]
    pub written: Written,

    #[command(flatten)]
    pub day: Day,
}
