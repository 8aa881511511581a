//! `bendline flight`.

use std::path::PathBuf;

use bendline::flight::impact::ClubHead;
use bendline::units::parse;
use clap::{ArgGroup, Args, ValueEnum};

use super::{Day, Hand, Units, Wind};

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
