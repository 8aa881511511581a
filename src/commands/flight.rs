//! `bendline flight`: one launch or one delivery, or two deliveries beside each other.

use std::path::{Path, PathBuf};

use bendline::diagnostic::Problems;
use bendline::draw;
use bendline::flight::Launch;
use bendline::flight::air::{Air, ROUGHNESS_M};
use bendline::flight::ball::Ball;
use bendline::flight::impact::{self, Delivery};
use bendline::flight::level::{Flown, Followed, fly_level, follow_level};
use bendline::flight::words::{Shot, Speech, launch_line};
use bendline::plan::wind::{eighth, speed};
use bendline::units::{LengthUnit, MPH_M_S, RPM_RAD_S};
use comfy_table::{CellAlignment, Table, presets};

use super::day;
use crate::{cli, files, terminal};

/// Gusts at their middle: the mean wind.
const NO_GUST: [f64; 2] = [0.5, 0.5];

/// Runs the command.
pub fn run(arguments: &cli::Flight) -> Result<(), Problems> {
    let outputs: Vec<&Path> = arguments.draw.iter().map(PathBuf::as_path).collect();
    files::check_files(&outputs, files::Folder::There)?;
    let unit: LengthUnit = arguments.units.into();
    let balls = Balls::fly(arguments);
    let speech = Speech {
        left_handed: arguments.hand == cli::Hand::Left,
        unit,
    };
    let shots: Vec<Shot<'_>> = (0..balls.launches.len()).map(|i| balls.shot(i)).collect();
    let said: Vec<Vec<String>> = shots.iter().map(|shot| speech.say(shot)).collect();
    let compared = match shots.as_slice() {
        [first, second] => Some(speech.compare(first, second)),
        _ => None,
    };

    let mut text = String::new();
    for (i, words) in said.iter().enumerate() {
        let name = if said.len() > 1 { NAMES[i] } else { "" };
        let lead = if name.is_empty() {
            String::new()
        } else {
            format!("{name}: ")
        };
        text.push_str(&set(&format!("{lead}{}", words.join(" "))));
        text.push_str("\n\n");
    }
    if let Some(compared) = &compared {
        text.push_str(&set(compared));
        text.push_str("\n\n");
    }
    let flown: Vec<Flown> = balls.followed.iter().map(|f| f.flown).collect();
    text.push_str(&table(&balls.launches, &flown, unit));
    let ground = format!("Level fairway, {}.", circumstances(arguments, unit));
    text.push_str(&format!("\n\n{}", set(&ground)));
    if let Some(path) = &arguments.draw {
        let title = speech.title(&shots[0]);
        let head = compared.as_deref().unwrap_or(&title);
        let drawing =
            draw::flight::side_and_top(&balls.drawn(&said, unit), head, &foot(&ground), unit);
        files::write_files(&[files::Output {
            path: path.clone(),
            bytes: drawing.into_bytes(),
        }])?;
        text.push_str(&format!("\n{}", terminal::wrote(path)));
    }
    terminal::say(&text)
}

/// Words in lines that fit the terminal.
fn set(words: &str) -> String {
    terminal::set(words, terminal::width())
}

/// What two flights are called.
const NAMES: [&str; 2] = ["First", "Second"];

fn foot(ground: &str) -> String {
    format!("{ground} Full dots: landings. Rings: where the balls rest. Dotted: start lines.")
}

/// "medium, calm", "firm; wind 10 mph at 10 m, off the left: …".
fn circumstances(arguments: &cli::Flight, unit: LengthUnit) -> String {
    let firmness = match arguments.day.firmness {
        cli::Ground::Soft => "soft",
        cli::Ground::Medium => "medium",
        cli::Ground::Firm => "firm",
    };
    let wind = day::wind(&arguments.wind);
    if wind.speed_m_s == 0.0 {
        return format!("{firmness}, calm");
    }
    let speed = speed(wind.speed_m_s, unit);
    let to_the_aim = eighth(wind.from_deg, arguments.aim);
    format!("{firmness}; wind {speed} at 10 m, {to_the_aim}: what it does is in the bend")
}

/// The balls of a call, flown.
struct Balls {
    /// One for each launch; none where the launch was given.
    deliveries: Vec<Delivery>,
    launches: Vec<Launch>,
    followed: Vec<Followed>,
    /// The same deliveries from the middle of the face.
    centred: Vec<Flown>,
}

impl Balls {
    fn fly(arguments: &cli::Flight) -> Self {
        let air = Air::of(&day::weather(&arguments.day), ROUGHNESS_M);
        let wind = day::wind(&arguments.wind).in_aim(arguments.aim, NO_GUST);
        let firmness = arguments.day.firmness.into();
        let given = launch(arguments);
        let deliveries = if given.is_some() {
            Vec::new()
        } else {
            deliveries(arguments)
        };
        let head = arguments.delivery.head.into();
        let struck = |delivery: &Delivery| impact::strike(delivery, &head);
        let launches: Vec<Launch> = match given {
            Some(launch) => vec![launch],
            None => deliveries.iter().map(struck).collect(),
        };
        let centred: Vec<Launch> = deliveries
            .iter()
            .map(|delivery| {
                struck(&Delivery {
                    strike_right_mm: 0.0,
                    strike_high_mm: 0.0,
                    ..*delivery
                })
            })
            .collect();
        let winds = [wind; 2];
        let ball = Ball::modern();
        Self {
            followed: follow_level(&launches, &winds, &air, &ball, firmness),
            centred: fly_level(&centred, &winds, &air, &ball, firmness),
            deliveries,
            launches,
        }
    }

    fn shot(&self, i: usize) -> Shot<'_> {
        Shot {
            delivery: self.deliveries.get(i),
            launch: &self.launches[i],
            flown: &self.followed[i].flown,
            centred: self.centred.get(i),
        }
    }

    fn drawn(&self, said: &[Vec<String>], unit: LengthUnit) -> Vec<draw::flight::Drawn<'_>> {
        said.iter()
            .enumerate()
            .map(|(i, words)| draw::flight::Drawn {
                name: if said.len() > 1 {
                    NAMES[i].to_owned()
                } else {
                    "Ball".to_owned()
                },
                line: launch_line(&self.launches[i], unit),
                words: words.clone(),
                followed: &self.followed[i],
            })
            .collect()
    }
}

/// The launch, where the arguments give one in place of a delivery.
fn launch(arguments: &cli::Flight) -> Option<Launch> {
    let launch = &arguments.launch;
    // Ball speed, launch and spin are given together or not at all.
    Some(Launch {
        ball_speed_m_s: launch.ball_speed?,
        launch_deg: launch.launch?,
        start_deg: launch.start.unwrap_or(0.0),
        spin_rad_s: launch.spin? * RPM_RAD_S,
        axis_deg: launch.axis.unwrap_or(0.0),
    })
}

/// The delivery, and the one to compare it with where any `--versus-…` is given.
fn deliveries(arguments: &cli::Flight) -> Vec<Delivery> {
    let given = &arguments.delivery;
    let versus = &arguments.versus;
    // Towards the toe is to the right for a right-hander, to the left for a left-hander.
    let toe_is_right = match arguments.hand {
        cli::Hand::Right => 1.0,
        cli::Hand::Left => -1.0,
    };
    let first = Delivery {
        club_speed_m_s: given.club_speed.unwrap_or(0.0),
        attack_deg: given.attack.unwrap_or(0.0),
        path_deg: given.path.unwrap_or(0.0),
        face_deg: given.face.unwrap_or(0.0),
        dynamic_loft_deg: given.loft.unwrap_or(0.0),
        strike_right_mm: toe_is_right * given.strike.unwrap_or(0.0),
        strike_high_mm: given.strike_high.unwrap_or(0.0),
    };
    let second = Delivery {
        club_speed_m_s: versus.versus_club_speed.unwrap_or(first.club_speed_m_s),
        attack_deg: versus.versus_attack.unwrap_or(first.attack_deg),
        path_deg: versus.versus_path.unwrap_or(first.path_deg),
        face_deg: versus.versus_face.unwrap_or(first.face_deg),
        dynamic_loft_deg: versus.versus_loft.unwrap_or(first.dynamic_loft_deg),
        strike_right_mm: versus
            .versus_strike
            .map_or(first.strike_right_mm, |toe_mm| toe_is_right * toe_mm),
        strike_high_mm: versus.versus_strike_high.unwrap_or(first.strike_high_mm),
    };
    if versus.any() {
        vec![first, second]
    } else {
        vec![first]
    }
}

/// A row of the table: what it is, and how it reads from a launch and its flight.
type Row = (&'static str, fn(&Launch, &Flown, Show) -> Reading);

/// A number in its unit.
struct Reading {
    value: f64,
    decimals: usize,
    unit: &'static str,
    /// Left and right rather than minus and plus.
    sided: bool,
}

impl Reading {
    fn text(&self) -> String {
        let Self {
            value,
            decimals,
            unit,
            sided,
        } = self;
        let number = format!("{:.decimals$}", if *sided { value.abs() } else { *value });
        let nothing = number.chars().all(|c| matches!(c, '-' | '0' | '.'));
        let number = if nothing {
            number.trim_start_matches('-')
        } else {
            &number
        };
        match (sided, nothing, *value < 0.0) {
            (true, false, true) => format!("{number}{unit} left"),
            (true, false, false) => format!("{number}{unit} right"),
            _ => format!("{number}{unit}"),
        }
    }

    /// How far `self` is from `first`.
    fn less(self, first: &Self) -> Self {
        Self {
            value: self.value - first.value,
            ..self
        }
    }
}

/// In which units to show.
#[derive(Clone, Copy)]
struct Show(LengthUnit);

impl Show {
    fn yards(self) -> bool {
        self.0 == LengthUnit::Yards
    }
    fn length(self, metres: f64) -> Reading {
        let unit = if self.yards() { " yd" } else { " m" };
        Reading {
            value: self.0.of(metres),
            decimals: 1,
            unit,
            sided: false,
        }
    }
    fn side(self, metres: f64) -> Reading {
        Reading {
            sided: true,
            ..self.length(metres)
        }
    }
    fn speed(self, m_s: f64) -> Reading {
        let (value, unit) = if self.yards() {
            (m_s / MPH_M_S, " mph")
        } else {
            (m_s, " m/s")
        };
        Reading {
            value,
            decimals: 1,
            unit,
            sided: false,
        }
    }
    fn angle(self, degrees: f64) -> Reading {
        Reading {
            value: degrees,
            decimals: 1,
            unit: "°",
            sided: false,
        }
    }
    fn sided_angle(self, degrees: f64) -> Reading {
        Reading {
            sided: true,
            ..self.angle(degrees)
        }
    }
    fn spin(self, rpm: f64) -> Reading {
        Reading {
            value: rpm,
            decimals: 0,
            unit: " rpm",
            sided: false,
        }
    }
    fn seconds(self, seconds: f64) -> Reading {
        Reading {
            value: seconds,
            decimals: 2,
            unit: " s",
            sided: false,
        }
    }
}

const ROWS: [Row; 15] = [
    ("ball speed", |l, _, show| show.speed(l.ball_speed_m_s)),
    ("launch", |l, _, show| show.angle(l.launch_deg)),
    ("start", |l, _, show| show.sided_angle(l.start_deg)),
    ("spin", |l, _, show| show.spin(l.spin_rad_s / RPM_RAD_S)),
    ("spin axis", |l, _, show| show.sided_angle(l.axis_deg)),
    ("carry", |_, f, show| show.length(f.carry_m)),
    ("bends, from its start line", |_, f, show| {
        show.side(f.curve_m)
    }),
    ("lands, from the aim", |_, f, show| {
        show.side(f.landing_side_m)
    }),
    ("highest", |_, f, show| show.length(f.apex_m)),
    ("in the air", |_, f, show| show.seconds(f.time_s)),
    ("comes down at", |_, f, show| show.angle(f.descent_deg)),
    ("lands with", |_, f, show| show.speed(f.landing_m_s)),
    ("and spins", |_, f, show| show.spin(f.landing_spin_rpm)),
    ("total on level fairway", |_, f, show| {
        show.length(f.total_m)
    }),
    ("rests, from the aim", |_, f, show| show.side(f.side_m)),
];

fn table(launches: &[Launch], flown: &[Flown], unit: LengthUnit) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    if launches.len() == 2 {
        table.set_header(["", "first", "second", "difference"]);
    }
    for (name, read) in ROWS {
        let reading = |i: usize| read(&launches[i], &flown[i], Show(unit));
        let mut cells = vec![name.to_owned()];
        cells.extend((0..launches.len()).map(|i| reading(i).text()));
        if launches.len() == 2 {
            cells.push(reading(1).less(&reading(0)).text());
        }
        table.add_row(cells);
    }
    for column in table.column_iter_mut().skip(1) {
        column.set_cell_alignment(CellAlignment::Right);
    }
    terminal::flush_left(&table)
}
