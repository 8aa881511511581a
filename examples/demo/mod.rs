//! The demo's holes, one of its players and a day, for the programs that check plans on
//! them.

use bendline::flight::Firmness;
use bendline::flight::air::{Air, Weather, Wind};
use bendline::flight::ball::Ball;
use bendline::hole::{Course, read_course};
use bendline::outcome::Day;
use bendline::player::fit::{FitOptions, fit};
use bendline::player::{Handedness, Player, shotlog};

const COURSE: &str = include_str!("../../holes/course.geojson");
const LOG: &str = include_str!("../logs/strong-draw.csv");

/// The nine holes.
pub fn course() -> Course {
    read_course("course", COURSE.as_bytes(), None).expect("the course is sound")
}

/// The built-in player, as `examples/logs/README.md` gives him.
pub fn player() -> Player {
    let log = shotlog::read("log", LOG.as_bytes()).expect("the log is sound");
    let options = FitOptions {
        handedness: Handedness::Right,
        handicap: Some(6.0),
        weather: Weather::at_altitude(0.0),
        firmness: Firmness::Medium,
    };
    fit(&log, &options).expect("the log fits")
}

/// A usual day with a wind: m/s, and the true bearing it blows from.
pub fn day(speed_m_s: f64, from_deg: f64) -> Day {
    Day {
        air: Air::of(&Weather::at_altitude(0.0), 0.03),
        wind: Wind {
            speed_m_s,
            from_deg,
            gust_share: 0.2,
        },
        ball: Ball::modern(),
        firmness: Firmness::Medium,
    }
}
