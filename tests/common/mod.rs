//! Holes sketched in plane metres, and players given by their numbers.
#![allow(dead_code, reason = "each test binary uses its own part")]

use bendline::flight::Firmness;
use bendline::flight::air::{Air, Weather, Wind};
use bendline::flight::ball::Ball;
use bendline::hole::plane::Plane;
use bendline::hole::{Course, Hole, read_course};
use bendline::outcome::Day;
use bendline::player::{Basis, ClubShape, Handedness, LaunchModel, Player};
use serde_json::{Value, json};

/// Somewhere, for holes that are nowhere.
pub const ORIGIN: [f64; 2] = [10.0, 50.0];

/// 20 °C at sea level, medium turf, and a steady wind.
pub fn day(speed_m_s: f64, from_deg: f64) -> Day {
    let weather = Weather {
        temperature_c: 20.0,
        pressure_pa: 101_325.0,
        humidity: 0.5,
    };
    Day {
        air: Air::of(&weather, 0.03),
        wind: Wind {
            speed_m_s,
            from_deg,
            gust_share: 0.0,
        },
        ball: Ball::modern(),
        firmness: Firmness::Medium,
    }
}

/// A hole file drawn in metres east and north.
#[derive(Clone, Default)]
pub struct Sketch {
    features: Vec<(Value, &'static str, Vec<[f64; 2]>)>,
}

impl Sketch {
    pub fn area(mut self, properties: Value, ring: &[[f64; 2]]) -> Self {
        let mut ring = ring.to_vec();
        ring.push(ring[0]);
        self.features.push((properties, "Polygon", ring));
        self
    }

    pub fn line(mut self, properties: Value, points: &[[f64; 2]]) -> Self {
        self.features
            .push((properties, "LineString", points.to_vec()));
        self
    }

    pub fn point(mut self, properties: Value, at: [f64; 2]) -> Self {
        self.features.push((properties, "Point", vec![at]));
        self
    }

    /// With a teeing area about the origin, its markers 7 m apart.
    pub fn teed(self) -> Self {
        self.area(
            json!({"golf": "tee", "tee": "white"}),
            &[[-5.0, -8.0], [5.0, -8.0], [5.0, 3.0], [-5.0, 3.0]],
        )
        .point(
            json!({"bendline": "tee_marker", "tee": "white"}),
            [-3.5, 0.0],
        )
        .point(
            json!({"bendline": "tee_marker", "tee": "white"}),
            [3.5, 0.0],
        )
    }

    /// With another line of play.
    pub fn along(mut self, points: &[[f64; 2]]) -> Self {
        for (properties, _, line) in &mut self.features {
            if properties["golf"] == "hole" {
                *line = points.to_vec();
            }
        }
        self
    }

    /// East for west.
    pub fn mirrored(&self) -> Self {
        let mut copy = self.clone();
        for (_, _, points) in &mut copy.features {
            for p in points {
                p[0] = -p[0];
            }
        }
        copy
    }

    pub fn text(&self) -> String {
        let plane = Plane::new(ORIGIN);
        let features: Vec<Value> = self
            .features
            .iter()
            .enumerate()
            .map(|(i, (properties, kind, points))| {
                let at: Vec<Value> = points
                    .iter()
                    .map(|p| json!(plane.to_lon_lat(bendline::hole::Coord { x: p[0], y: p[1] })))
                    .collect();
                let coordinates = match *kind {
                    "Polygon" => json!([at]),
                    "LineString" => json!(at),
                    _ => at[0].clone(),
                };
                json!({
                    "type": "Feature", "id": format!("sketch/{i}"), "properties": properties,
                    "geometry": {"type": kind, "coordinates": coordinates}
                })
            })
            .collect();
        json!({"type": "FeatureCollection", "features": features}).to_string()
    }

    pub fn course(&self) -> Course {
        match read_course("sketch.geojson", self.text().as_bytes(), None) {
            Ok(course) => course,
            Err(problems) => panic!("{problems}"),
        }
    }

    pub fn hole(&self) -> Hole {
        let mut course = self.course();
        assert_eq!(course.holes.len(), 1, "{:?}", course.broken);
        course.holes.remove(0)
    }
}

/// A straight hole northwards: tee at the origin, pin at `length_m`, fairway
/// `width_m` wide from 130 m to 25 m short of the pin, a round green.
pub fn straight(length_m: f64, width_m: f64, par: u8) -> Sketch {
    let w = width_m / 2.0;
    let green: Vec<[f64; 2]> = (0..24)
        .map(|k| {
            let angle = std::f64::consts::TAU * f64::from(k) / 24.0;
            [12.0 * angle.cos(), length_m + 14.0 * angle.sin()]
        })
        .collect();
    Sketch::default()
        .line(
            json!({"golf": "hole", "ref": "1", "par": par.to_string()}),
            &[[0.0, 0.0], [0.0, length_m]],
        )
        .teed()
        .area(
            json!({"golf": "fairway"}),
            &[
                [-w, 130.0],
                [w, 130.0],
                [w, length_m - 25.0],
                [-w, length_m - 25.0],
            ],
        )
        .area(json!({"golf": "green"}), &green)
        .point(json!({"golf": "pin"}), [0.0, length_m])
}

/// A club by its numbers: m/s, degrees, rpm; the last two are the standard
/// deviations of start direction and axis tilt.
pub struct Numbers {
    pub club: &'static str,
    pub speed: f64,
    pub launch: f64,
    pub spin: f64,
    pub start: f64,
    pub axis: f64,
    pub start_sd: f64,
    pub axis_sd: f64,
}

pub fn club(n: &Numbers) -> ClubShape {
    let sd = [0.03 * n.speed, 1.3, n.start_sd, 0.08 * n.spin, n.axis_sd];
    let mut scale = [[0.0; 5]; 5];
    for (i, s) in sd.iter().enumerate() {
        scale[i][i] = s * s;
    }
    ClubShape {
        club: n.club.to_owned(),
        shape: "stock".to_owned(),
        launches: LaunchModel {
            centre: [n.speed, n.launch, n.start, n.spin, n.axis],
            scale,
            dof: 8.0,
            mishit_share: 0.0,
            handedness: Handedness::Right,
        },
        shots: 100,
        basis: Basis::Given,
        carry_m: 0.0,
        set_up: Default::default(),
        part_share: None,
    }
}

pub fn player(handicap: f64, clubs: Vec<ClubShape>) -> Player {
    Player {
        name: "A. Nobody".to_owned(),
        handedness: Handedness::Right,
        handicap,
        club_length_m: 1.143,
        clubs,
        ball: Default::default(),
        notes: Vec::new(),
        course_play: None,
        log: None,
    }
}
