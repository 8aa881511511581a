//! The arguments, and nothing else.

use std::path::PathBuf;

use bendline::flight::Firmness;
use bendline::flight::impact::ClubHead;
use bendline::player::Handedness;
use bendline::units::{LengthUnit, parse};
use clap::{ArgGroup, Args, Parser, Subcommand, ValueEnum};

/// Plans tee shots for a player with a bend.
///
/// Reads a hole (GeoJSON) and a player's shots (CSV), and says where in the teeing area to peg the
/// ball, which club and shape to hit and which line to set up on, so that the player's usual bend
/// and usual misses finish where they cost least.
#[derive(Debug, Parser)]
#[command(
    name = "bendline",
    version,
    arg_required_else_help = true,
    max_term_width = 100,
    after_help = "\
Start here:
  bendline plan                                    plan a built-in hole for a built-in player
  bendline shape range.csv --out me.json           what bend do I have, and how safe is it?
  bendline check course.geojson range.csv          are my files sound?
  bendline plan course.geojson --hole 7 --player me.json --wind 12mph@240
  bendline book course.geojson --player me.json    the whole course, to print and carry

Exit code: 0 done, 1 something is wrong with an input, 2 the command line was not understood,
130 stopped by Ctrl-C: the holes that were done are written."
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// One command each.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Plan the tee shot of a hole, or of every hole of a course
    Plan(Box<Plan>),
    /// Make the pocket book of a course
    Book(Box<Book>),
    /// Say what shape a player has, from a log of shots
    Shape(Shape),
    /// Say what would save most strokes off these tees
    Practice(Box<Practice>),
    /// Say what is wrong with files, or what is in them
    Check(Check),
    /// Fly one ball, from its launch or from the club's delivery
    Flight(Box<Flight>),
}

/// Plan the tee shot of a hole, or of every hole of a course.
///
/// Prints the decision and writes a drawing (hole-REF.svg) and a plan file (hole-REF.json) for
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
  bendline plan --json | head
      the plan as JSON on the standard output; no files")]
pub struct Plan {
    #[command(flatten)]
    pub game: Game,

    /// Folder for the drawings and plan files [default: out; with --json, none]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,

    /// Print the plan as JSON on the standard output, and nothing else there (an array if several
    /// holes are planned); files are written only where --out says
    #[arg(long)]
    pub json: bool,

    /// Write these beside the drawing and the plan file: geojson lays the plan over any map
    /// program's picture, md is the report as Markdown, pdf the drawing with its fonts
    #[arg(long, value_enum, value_name = "FORM", value_delimiter = ',')]
    pub also: Vec<Form>,
}

/// Make the pocket book of a course: one PDF to print, cut and carry.
///
/// A cover, then for each hole its page and its green to scale, what changes if the wind turns, the
/// decisions that matter most, and how to read it. Pages are 107.9 x 177.8 mm and greens at most
/// 1:480, as Rule 4.3a wants of a book that is carried: print it at 100 %. Ctrl-C makes the book of
/// the holes that are done.
#[derive(Args, Debug)]
#[command(after_help = "\
Examples:
  bendline book course.geojson --player me.json --round saturday.toml
      every hole of the course, for the day and the pin sheet of the round file
  bendline book course.geojson --log range.csv --wind 12mph@240 --impose a4
      two pages on each side of A4, with marks to fold and cut along
  bendline book --no-turns
      a book of the built-in hole, for the day's wind only

A round file (TOML); every key may be left out:
  course = \"The Nine\"
  date = 2026-06-14
  tees = \"white\"
  wind = \"12mph@240\"
  temperature = \"18C\"        # also altitude, pressure, humidity
  firmness = \"firm\"
  [pins]
  1 = \"18,4L\"               # hole 1: 18 paces on, 4 from the left")]
pub struct Book {
    #[command(flatten)]
    pub game: Game,

    /// The book
    #[arg(long, value_name = "BOOK.pdf", default_value = "out/book.pdf")]
    pub out: PathBuf,

    /// Two pages on each side of this paper, in the order of a folded booklet, with fold and cut
    /// marks [default: single pages]
    #[arg(long, value_enum, value_name = "PAPER")]
    pub impose: Option<Paper>,

    /// Leave out the page on other winds: it decides every hole four times more
    #[arg(long)]
    pub no_turns: bool,
}

/// Which holes, for whom, on which day: what planning needs.
#[derive(Args, Debug)]
pub struct Game {
    /// The hole or course: GeoJSON with OpenStreetMap's golf tags [default: a built-in hole]
    #[arg(value_name = "HOLE.geojson")]
    pub hole_file: Option<PathBuf>,

    /// Plan only this hole, by its ref in the file; may be repeated
    #[arg(long = "hole", value_name = "REF")]
    pub holes: Vec<String>,

    /// Play from the tee of this colour [default: the longest]
    #[arg(long, value_name = "COLOUR")]
    pub tee: Option<String>,

    /// Coordinate system of the hole file, if it is not longitude and latitude: EPSG:CODE or a
    /// PROJ string
    #[arg(long, value_name = "CRS")]
    pub crs: Option<String>,

    /// Heights of the ground: an ESRI ASCII grid, or a GeoTIFF, in place of the hole file's own
    #[arg(long, value_name = "RASTER")]
    pub heights: Option<PathBuf>,

    /// Coordinate system of the heights [default: the GeoTIFF's own; else longitude and latitude]
    #[arg(long, value_name = "CRS", requires = "heights")]
    pub heights_crs: Option<String>,

    /// The player's shots, CSV, hit in still air of 20C at sea level; for others make a player file
    /// with `bendline shape` [default: a built-in player]
    #[arg(long, value_name = "SHOTS.csv", conflicts_with = "player")]
    pub log: Option<PathBuf>,

    /// The player, as written by `bendline shape --out`
    #[arg(long, value_name = "PLAYER.json")]
    pub player: Option<PathBuf>,

    /// Handicap Index, -5 for a tour player to 54 [default: 12, or the player file's]
    #[arg(long, value_name = "N", value_parser = handicap, allow_hyphen_values = true)]
    pub handicap: Option<f64>,

    /// Which hand the player of the log plays with [default: right]
    #[arg(long, value_enum, requires = "log", conflicts_with = "player")]
    pub hand: Option<Hand>,

    /// Where the pin stands: paces on from the front of the green, then paces in from its left (L)
    /// or right (R) edge; one hole only
    #[arg(long, value_name = "18,4L", value_parser = parse::pin, allow_hyphen_values = true)]
    pub pin: Option<parse::PinPaces>,

    /// The round: date, tees, pin sheet, wind, air and ground, from a TOML file, in place of the
    /// options that say the same (`bendline book --help` shows one)
    #[arg(long, value_name = "ROUND.toml", conflicts_with_all = ["tee", "pin", "wind", "temperature", "altitude", "pressure", "humidity", "firmness"])]
    pub round: Option<PathBuf>,

    /// Lengths are shown in this unit
    #[arg(long, value_enum, default_value_t = Units::Yd)]
    pub units: Units,

    /// Seed of the random balls: the same seed gives the same plan, byte for byte
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = seed, allow_hyphen_values = true)]
    pub seed: u32,

    /// Use this many threads [default: one a core]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub threads: Option<u16>,

    #[command(flatten)]
    pub wind: Wind,

    #[command(flatten)]
    pub day: Day,
}

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
  bendline shape range.csv --fill 5i,gw --out me.json
      a 5-iron and a gap wedge without a shot, from the clubs beside them
  bendline shape range.csv --turn -4
      path, face and finish with the set-up turned 4 degrees left

The log is a CSV file with a row for each shot and the unit in each heading:
  club, shape, carry_yd, side_yd
  driver, draw, 238, -6
Headings read where present: total, start_deg, curve, ball_speed, launch_deg, spin_rpm, axis_deg,
club_speed, attack_deg, path_deg, face_deg, strike_mm. Lengths end in _yd, _m or _ft, speeds in
_mph, _ms or _kmh. Right is positive.")]
pub struct Shape {
    /// The player's shots, CSV
    #[arg(value_name = "SHOTS.csv")]
    pub log: PathBuf,

    /// Handicap Index, -5 for a tour player to 54 [default: 12]
    #[arg(long, value_name = "N", value_parser = handicap, allow_hyphen_values = true)]
    pub handicap: Option<f64>,

    /// Which hand the player plays with [default: right]
    #[arg(long, value_enum)]
    pub hand: Option<Hand>,

    /// Hold the log against this one: shots from before, or the goal's; a player file will do too.
    /// Says what changed, by how much, and whether it is more than chance
    #[arg(long, value_name = "SHOTS.csv")]
    pub against: Option<PathBuf>,

    /// Add these clubs, for which no shot is logged, filled from the clubs beside them
    #[arg(long, value_name = "CLUB,CLUB", value_delimiter = ',')]
    pub fill: Vec<String>,

    /// Say what path, face and finish become with the set-up turned so many degrees right of the
    /// target; negative is left [default: onto the target on average]
    #[arg(long, value_name = "DEG", value_parser = parse::angle_deg, allow_hyphen_values = true)]
    pub turn: Option<f64>,

    /// Write the player file here: `bendline plan --player` takes it in place of the log
    #[arg(long, value_name = "PLAYER.json")]
    pub out: Option<PathBuf>,

    /// Draw the scatter here
    #[arg(long, value_name = "SHAPE.svg")]
    pub draw: Option<PathBuf>,

    /// Lengths are shown in this unit
    #[arg(long, value_enum, default_value_t = Units::Yd)]
    pub units: Units,

    #[command(flatten)]
    pub day: Day,
}

/// Say what would save most strokes off these tees.
///
/// Prices the holes for the player as logged, and again for the player with one thing changed: half
/// the curve, a curve that never crosses, less spread in direction or in distance, a centred
/// strike, 10 yd more, another shape. Club and aim are chosen anew each time, on the same random
/// balls. A coach's list of what to practise, the most helpful first.
#[derive(Args, Debug)]
#[command(after_help = "\
Examples:
  bendline practice course.geojson --log range.csv --handicap 12
  bendline practice course.geojson --hole 3 --hole 4 --player me.json")]
pub struct Practice {
    /// The hole or course: GeoJSON with OpenStreetMap's golf tags [default: a built-in hole]
    #[arg(value_name = "HOLE.geojson")]
    pub hole_file: Option<PathBuf>,

    /// Only this hole, by its ref in the file; may be repeated
    #[arg(long = "hole", value_name = "REF")]
    pub holes: Vec<String>,

    /// Play from the tee of this colour [default: the longest]
    #[arg(long, value_name = "COLOUR")]
    pub tee: Option<String>,

    /// Coordinate system of the hole file, if it is not longitude and latitude
    #[arg(long, value_name = "CRS")]
    pub crs: Option<String>,

    /// The player's shots, CSV, hit in still air of 20C at sea level [default: a built-in player]
    #[arg(long, value_name = "SHOTS.csv", conflicts_with = "player")]
    pub log: Option<PathBuf>,

    /// The player, as written by `bendline shape --out`; what the strike does is not in it
    #[arg(long, value_name = "PLAYER.json")]
    pub player: Option<PathBuf>,

    /// Handicap Index, -5 for a tour player to 54 [default: 12, or the player file's]
    #[arg(long, value_name = "N", value_parser = handicap, allow_hyphen_values = true)]
    pub handicap: Option<f64>,

    /// Which hand the player of the log plays with [default: right]
    #[arg(long, value_enum, requires = "log", conflicts_with = "player")]
    pub hand: Option<Hand>,

    /// Seed of the random balls: the same seed gives the same figures
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = seed, allow_hyphen_values = true)]
    pub seed: u32,

    #[command(flatten)]
    pub wind: Wind,

    #[command(flatten)]
    pub day: Day,
}

/// Say what is wrong with files, or what is in them.
///
/// Takes hole, course, shot log and player files in any mixture, tells them apart by what is in
/// them, and lists every problem of each with its place and remedy; a sound file gets a summary.
#[derive(Args, Debug)]
#[command(after_help = "\
Examples:
  bendline check course.geojson
  bendline check course.geojson range.csv me.json
  bendline check holes/*.geojson")]
pub struct Check {
    /// Hole, course, shot log or player files
    #[arg(value_name = "FILE", required = true)]
    pub files: Vec<PathBuf>,

    /// Coordinate system of the hole files, if it is not longitude and latitude
    #[arg(long, value_name = "CRS")]
    pub crs: Option<String>,
}

/// Fly one ball, from its launch or from the club's delivery.
///
/// Right is positive, of start, axis, path and face, for left-handers too. Angles are in degrees.
/// Give either a launch (--ball-speed, --launch, --spin, --axis, --start) or a delivery
/// (--club-speed, --attack, --path, --face, --loft, --strike); with --versus-… a second delivery is
/// flown beside the first, which differs from it only in what the --versus-… options say.
#[derive(Args, Debug)]
#[command(group = ArgGroup::new("shot").required(true).args(["ball_speed", "club_speed"]))]
#[command(after_help = "\
Examples:
  bendline flight --ball-speed 167mph --launch 10.9 --spin 2690 --axis -5 --start 2
      a launch as a launch monitor gives it: starts 2 degrees right, bends left
  bendline flight --club-speed 113mph --attack 3 --path 4 --face 1 --loft 14
      a delivery: the face is 3 degrees closed to the path
  bendline flight --club-speed 113mph --path 3 --face 1 --loft 14 --versus-face -1 --draw it.svg
      what if the face were 2 degrees more closed: in words, in numbers and drawn
  bendline flight --club-speed 113mph --path 0 --face 1 --loft 14 --versus-strike 12mm
      the same swing off the middle, and 12 mm towards the toe
  bendline flight --ball-speed 167mph --launch 10.9 --spin 2690 --wind 10mph@90
      wind from the right: the ball flies towards bearing 0 unless --aim says otherwise")]
pub struct Flight {
    /// True bearing the player aims along, for the wind
    #[arg(long, value_name = "DEG", value_parser = parse::angle_deg, allow_hyphen_values = true, default_value = "0")]
    pub aim: f64,

    /// Which hand the player plays with: it says on which side the toe is, and what is a draw
    #[arg(long, value_enum, default_value_t = Hand::Right)]
    pub hand: Hand,

    /// Lengths are shown in this unit
    #[arg(long, value_enum, default_value_t = Units::Yd)]
    pub units: Units,

    /// Draw the flight from the side and from above here
    #[arg(long, value_name = "FLIGHT.svg")]
    pub draw: Option<PathBuf>,

    #[command(flatten)]
    pub launch: Launch,

    #[command(flatten)]
    pub delivery: Delivery,

    #[command(flatten)]
    pub versus: Versus,

    #[command(flatten)]
    pub wind: Wind,

    #[command(flatten)]
    pub day: Day,
}

/// How the ball leaves the club.
#[derive(Args, Debug)]
#[command(next_help_heading = "Launch")]
pub struct Launch {
    /// Ball speed, such as 167mph, 74.7m/s or 269km/h
    #[arg(long, value_name = "SPEED", value_parser = parse::speed_m_s, requires_all = ["launch", "spin"])]
    pub ball_speed: Option<f64>,

    /// Launch angle above the horizontal
    #[arg(long, value_name = "DEG", value_parser = parse::climb_deg, allow_hyphen_values = true, requires = "ball_speed")]
    pub launch: Option<f64>,

    /// Spin, revolutions a minute
    #[arg(long, value_name = "RPM", value_parser = parse::spin_rpm, requires = "ball_speed")]
    pub spin: Option<f64>,

    /// Tilt of the spin axis; positive bends right [default: 0]
    #[arg(long, value_name = "DEG", value_parser = parse::angle_deg, allow_hyphen_values = true, requires = "ball_speed")]
    pub axis: Option<f64>,

    /// Start direction, right of the aim [default: 0]
    #[arg(long, value_name = "DEG", value_parser = parse::angle_deg, allow_hyphen_values = true, requires = "ball_speed")]
    pub start: Option<f64>,
}

/// How the club meets the ball.
#[derive(Args, Debug)]
#[command(next_help_heading = "Delivery")]
pub struct Delivery {
    /// Club speed, such as 113mph
    #[arg(long, value_name = "SPEED", value_parser = parse::speed_m_s, requires = "loft")]
    pub club_speed: Option<f64>,

    /// Attack angle; positive is upwards [default: 0]
    #[arg(long, value_name = "DEG", value_parser = parse::climb_deg, allow_hyphen_values = true, requires = "club_speed")]
    pub attack: Option<f64>,

    /// Club path, right of the aim [default: 0]
    #[arg(long, value_name = "DEG", value_parser = parse::angle_deg, allow_hyphen_values = true, requires = "club_speed")]
    pub path: Option<f64>,

    /// Face angle, right of the aim [default: 0]
    #[arg(long, value_name = "DEG", value_parser = parse::angle_deg, allow_hyphen_values = true, requires = "club_speed")]
    pub face: Option<f64>,

    /// Loft of the face as it meets the ball
    #[arg(long, value_name = "DEG", value_parser = parse::climb_deg, requires = "club_speed")]
    pub loft: Option<f64>,

    /// Where on the face, from its middle towards the toe, such as 8mm; -8mm is the heel
    /// [default: 0mm]
    #[arg(long, value_name = "MM", value_parser = parse::strike_mm, allow_hyphen_values = true, requires = "club_speed")]
    pub strike: Option<f64>,

    /// The same upwards; -5mm is low on the face [default: 0mm]
    #[arg(long, value_name = "MM", value_parser = parse::strike_mm, allow_hyphen_values = true, requires = "club_speed")]
    pub strike_high: Option<f64>,

    /// What kind of head: how heavy it is and how it twists
    #[arg(long, value_enum, default_value_t = Head::Driver)]
    pub head: Head,
}

/// What the second delivery does differently.
#[derive(Args, Debug)]
#[command(next_help_heading = "A second delivery to compare with")]
pub struct Versus {
    /// Club speed of the second delivery
    #[arg(long, value_name = "SPEED", value_parser = parse::speed_m_s, requires = "club_speed")]
    pub versus_club_speed: Option<f64>,

    /// Attack angle of the second delivery
    #[arg(long, value_name = "DEG", value_parser = parse::climb_deg, allow_hyphen_values = true, requires = "club_speed")]
    pub versus_attack: Option<f64>,

    /// Club path of the second delivery
    #[arg(long, value_name = "DEG", value_parser = parse::angle_deg, allow_hyphen_values = true, requires = "club_speed")]
    pub versus_path: Option<f64>,

    /// Face angle of the second delivery
    #[arg(long, value_name = "DEG", value_parser = parse::angle_deg, allow_hyphen_values = true, requires = "club_speed")]
    pub versus_face: Option<f64>,

    /// Loft of the second delivery
    #[arg(long, value_name = "DEG", value_parser = parse::climb_deg, requires = "club_speed")]
    pub versus_loft: Option<f64>,

    /// Strike of the second delivery
    #[arg(long, value_name = "MM", value_parser = parse::strike_mm, allow_hyphen_values = true, requires = "club_speed")]
    pub versus_strike: Option<f64>,

    /// Strike above the middle of the second delivery
    #[arg(long, value_name = "MM", value_parser = parse::strike_mm, allow_hyphen_values = true, requires = "club_speed")]
    pub versus_strike_high: Option<f64>,
}

impl Versus {
    /// True where a second delivery is asked for.
    pub fn any(&self) -> bool {
        [
            self.versus_club_speed,
            self.versus_attack,
            self.versus_path,
            self.versus_face,
            self.versus_loft,
            self.versus_strike,
            self.versus_strike_high,
        ]
        .iter()
        .any(Option::is_some)
    }
}

/// The wind of the day.
#[derive(Args, Clone, Copy, Debug)]
#[command(next_help_heading = "The day")]
pub struct Wind {
    /// Wind at 10 m: speed, and the true bearing or compass point it blows FROM, such as 12mph@240
    /// or 5m/s@SW [default: calm]
    #[arg(long, value_name = "SPEED@FROM", value_parser = parse::wind, allow_hyphen_values = true)]
    pub wind: Option<parse::WindText>,
}

/// The air and the ground of the day.
#[derive(Args, Clone, Copy, Debug)]
#[command(next_help_heading = "The day")]
pub struct Day {
    /// Air temperature, such as 18C or 64F [default: 20C]
    #[arg(long, value_name = "TEMP", value_parser = parse::temperature_c, allow_hyphen_values = true)]
    pub temperature: Option<f64>,

    /// Height of the course above the sea, such as 300m or 1000ft [default: 0m]
    #[arg(long, value_name = "HEIGHT", value_parser = parse::altitude_m, allow_hyphen_values = true)]
    pub altitude: Option<f64>,

    /// Air pressure at the course, not reduced to sea level, such as 1013hPa or 29.9inHg
    /// [default: the standard atmosphere's at the altitude]
    #[arg(long, value_name = "PRESSURE", value_parser = parse::pressure_pa)]
    pub pressure: Option<f64>,

    /// Relative humidity, such as 50% [default: 50%]
    #[arg(long, value_name = "SHARE", value_parser = parse::humidity)]
    pub humidity: Option<f64>,

    /// How firm the ground plays
    #[arg(long, value_enum, default_value_t = Ground::Medium)]
    pub firmness: Ground,
}

/// Reads a Handicap Index.
fn handicap(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(index) if (-5.0..=54.0).contains(&index) => Ok(index),
        _ => Err("expected a Handicap Index from -5 to 54; write it like 12 or 3.4".into()),
    }
}

/// Reads a seed.
fn seed(text: &str) -> Result<u32, String> {
    let wrong = |_| "expected a whole number from 0 to 4294967295; write it like 7".to_owned();
    text.trim().parse().map_err(wrong)
}

/// `yd` or `m`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Units {
    Yd,
    M,
}

impl From<Units> for LengthUnit {
    fn from(units: Units) -> Self {
        match units {
            Units::Yd => Self::Yards,
            Units::M => Self::Metres,
        }
    }
}

/// `right` or `left`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Hand {
    Right,
    Left,
}

impl From<Hand> for Handedness {
    fn from(hand: Hand) -> Self {
        match hand {
            Hand::Right => Self::Right,
            Hand::Left => Self::Left,
        }
    }
}

/// `soft`, `medium` or `firm`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Ground {
    /// A drive runs about 5 yd
    Soft,
    /// About 20 yd
    Medium,
    /// About 35 yd
    Firm,
}

impl From<Ground> for Firmness {
    fn from(ground: Ground) -> Self {
        match ground {
            Ground::Soft => Self::Soft,
            Ground::Medium => Self::Medium,
            Ground::Firm => Self::Firm,
        }
    }
}

/// `driver`, `wood`, `iron` or `wedge`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Head {
    Driver,
    Wood,
    Iron,
    Wedge,
}

impl From<Head> for ClubHead {
    fn from(head: Head) -> Self {
        match head {
            Head::Driver => Self::driver(),
            Head::Wood => Self::fairway_wood(),
            Head::Iron => Self::iron(),
            Head::Wedge => Self::wedge(),
        }
    }
}

/// `geojson`, `md` or `pdf`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Form {
    Geojson,
    Md,
    Pdf,
    #[cfg(feature = "png")]
    Png,
}

/// `a4` or `letter`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    A4,
    Letter,
}

impl From<Paper> for bendline::draw::book::impose::Paper {
    fn from(paper: Paper) -> Self {
        match paper {
            Paper::A4 => Self::A4,
            Paper::Letter => Self::Letter,
        }
    }
}
