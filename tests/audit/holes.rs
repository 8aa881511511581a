//! Holes, players and days at random, the same on every machine.

use std::f64::consts::TAU;
use std::fmt::Write as _;

use bendline::flight::Firmness;
use bendline::flight::air::{Weather, Wind};
use bendline::hole::{Hole, read_course};
use bendline::outcome::Day;
use bendline::player::fit::{FitOptions, fit};
use bendline::player::{Handedness, Player, shotlog};
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};
use serde_json::{Value, json};

use super::common::{ORIGIN, Sketch, day};
use super::whole_made_up::bag;

const YD_M: f64 = 0.9144;
/// Metres in a degree of latitude, for heights: near enough.
const DEGREE_M: f64 = 111_200.0;

/// Invented logs, with the handedness and the Handicap Index of their players.
const LOGS: [(&str, &str, Handedness, f64); 6] = [
    log(
        "strong draw",
        include_str!("../../examples/logs/strong-draw.csv"),
        Handedness::Right,
        6.0,
    ),
    log(
        "fade",
        include_str!("../../examples/logs/fade.csv"),
        Handedness::Right,
        14.0,
    ),
    log(
        "two-way",
        include_str!("../../examples/logs/two-way.csv"),
        Handedness::Right,
        18.0,
    ),
    log(
        "left-hander",
        include_str!("../../examples/logs/left-hander.csv"),
        Handedness::Left,
        9.0,
    ),
    log(
        "carry and side",
        include_str!("../../examples/logs/carry-and-side.csv"),
        Handedness::Right,
        20.0,
    ),
    log(
        "twelve shots",
        include_str!("../../examples/logs/twelve-shots.csv"),
        Handedness::Right,
        14.0,
    ),
];

const fn log(
    name: &'static str,
    text: &'static str,
    hand: Handedness,
    handicap: f64,
) -> (&'static str, &'static str, Handedness, f64) {
    (name, text, hand, handicap)
}

/// Random numbers of a seed.
pub struct Numbers(Pcg64Mcg);

impl Numbers {
    pub fn new(seed: u64) -> Self {
        Self(Pcg64Mcg::seed_from_u64(seed))
    }

    fn share(&mut self) -> f64 {
        f64::from(self.0.next_u32()) / (f64::from(u32::MAX) + 1.0)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    fn chance(&mut self, chance: f64) -> bool {
        self.share() < chance
    }

    fn below(&mut self, count: usize) -> usize {
        (self.share() * count as f64) as usize
    }

    fn side(&mut self) -> f64 {
        if self.chance(0.5) { 1.0 } else { -1.0 }
    }
}

/// What is planned.
#[derive(Clone)]
pub struct Setting {
    pub words: String,
    sketch: Sketch,
    slope: Option<Slope>,
    pub tee: Option<&'static str>,
    pub player: Player,
    pub day: Day,
}

/// Ground that tilts and rolls.
#[derive(Clone, Copy)]
struct Slope {
    east: f64,
    north: f64,
    roll_m: f64,
    long_m: f64,
}

impl Slope {
    fn height_m(&self, x: f64, y: f64) -> f64 {
        let roll = (TAU * x / self.long_m).sin() * (TAU * y / self.long_m).cos();
        100.0 + self.east * x + self.north * y + self.roll_m * roll
    }
}

impl Setting {
    /// The setting of a seed.
    pub fn of(seed: u64) -> Self {
        let mut numbers = Numbers::new(seed);
        let mut words = String::new();
        let (sketch, tee) = hole(&mut numbers, &mut words);
        let slope = numbers.chance(0.25).then(|| Slope {
            east: numbers.between(-0.03, 0.03),
            north: numbers.between(-0.04, 0.04),
            roll_m: numbers.between(0.0, 2.5),
            long_m: numbers.between(120.0, 300.0),
        });
        if slope.is_some() {
            words += ", slopes";
        }
        let player = player(&mut numbers, &mut words);
        let day = weather(&mut numbers, &mut words);
        Self {
            words,
            sketch,
            slope,
            tee,
            player,
            day,
        }
    }

    /// Left for right: hole, player and wind.
    pub fn mirrored(&self) -> Self {
        let mut other = self.clone();
        other.sketch = self.sketch.mirrored();
        if let Some(slope) = &mut other.slope {
            slope.east = -slope.east;
            slope.roll_m = -slope.roll_m;
        }
        for club in &mut other.player.clubs {
            club.launches = club.launches.mirrored();
        }
        other.player.handedness = match self.player.handedness {
            Handedness::Right => Handedness::Left,
            Handedness::Left => Handedness::Right,
        };
        other.day.wind.from_deg = -self.day.wind.from_deg;
        other
    }

    /// The hole; none where the file is not one.
    pub fn hole(&self) -> Option<Hole> {
        let mut text = self.sketch.text();
        if let Some(slope) = self.slope {
            let mut file: Value = serde_json::from_str(&text).ok()?;
            for feature in file["features"].as_array_mut()? {
                raise(&mut feature["geometry"]["coordinates"], &slope);
            }
            text = file.to_string();
        }
        let course = read_course("audit", text.as_bytes(), None).ok()?;
        course.holes.into_iter().next()
    }
}

/// Gives every position its height.
fn raise(coordinates: &mut Value, slope: &Slope) {
    let Some(parts) = coordinates.as_array_mut() else {
        return;
    };
    if let [lon, lat] = parts.as_slice()
        && let (Some(lon), Some(lat)) = (lon.as_f64(), lat.as_f64())
    {
        let x = (lon - ORIGIN[0]) * DEGREE_M * ORIGIN[1].to_radians().cos();
        let y = (lat - ORIGIN[1]) * DEGREE_M;
        parts.push(json!(slope.height_m(x, y)));
        return;
    }
    parts.iter_mut().for_each(|part| raise(part, slope));
}

/// The way a hole goes.
struct Way {
    /// Where it begins, bends and ends.
    points: Vec<[f64; 2]>,
}

impl Way {
    fn length_m(&self) -> f64 {
        self.points
            .windows(2)
            .map(|leg| apart(leg[0], leg[1]))
            .sum()
    }

    /// A place so far along it and so far right of it.
    fn at(&self, along_m: f64, right_m: f64) -> [f64; 2] {
        let mut left_m = along_m;
        let legs = self.points.len() - 1;
        for (number, leg) in self.points.windows(2).enumerate() {
            let long = apart(leg[0], leg[1]);
            if left_m <= long || number + 1 == legs {
                let [x, y] = [0, 1].map(|i| (leg[1][i] - leg[0][i]) / long);
                return [
                    leg[0][0] + left_m * x + right_m * y,
                    leg[0][1] + left_m * y - right_m * x,
                ];
            }
            left_m -= long;
        }
        self.points[legs]
    }

    /// A strip along it from one distance to another, between two sides of it.
    fn strip(&self, [from_m, to_m]: [f64; 2], [left_m, right_m]: [f64; 2]) -> Vec<[f64; 2]> {
        let steps = ((to_m - from_m) / 20.0).ceil().max(1.0) as usize;
        let along = |k: usize| from_m + (to_m - from_m) * k as f64 / steps as f64;
        let right = (0..=steps).map(|k| (self.at(along(k), right_m), right_m));
        let left = (0..=steps)
            .rev()
            .map(|k| (self.at(along(k), left_m), left_m));
        // Inside a bend the sides would cross themselves.
        let is_beside = |(at, off_m): &([f64; 2], f64)| self.off_m(*at) > off_m.abs() - 0.5;
        right
            .chain(left)
            .filter(is_beside)
            .map(|(at, _)| at)
            .collect()
    }

    /// How far a place is from it.
    fn off_m(&self, at: [f64; 2]) -> f64 {
        let legs = self.points.len() - 1;
        let from_leg = |(number, leg): (usize, &[[f64; 2]])| {
            let [dx, dy] = [0, 1].map(|i| leg[1][i] - leg[0][i]);
            let ahead = (at[0] - leg[0][0]) * dx + (at[1] - leg[0][1]) * dy;
            // It goes on before its beginning and beyond its end.
            let low = if number == 0 { f64::NEG_INFINITY } else { 0.0 };
            let high = if number + 1 == legs {
                f64::INFINITY
            } else {
                1.0
            };
            let part = (ahead / (dx * dx + dy * dy)).clamp(low, high);
            apart(at, [leg[0][0] + part * dx, leg[0][1] + part * dy])
        };
        let of_legs = self.points.windows(2).enumerate().map(from_leg);
        of_legs.fold(f64::INFINITY, f64::min)
    }
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

fn round(middle: [f64; 2], across_m: f64, along_m: f64) -> Vec<[f64; 2]> {
    (0..20)
        .map(|k| {
            let angle = TAU * f64::from(k) / 20.0;
            [
                middle[0] + across_m * angle.cos(),
                middle[1] + along_m * angle.sin(),
            ]
        })
        .collect()
}

fn hole(numbers: &mut Numbers, words: &mut String) -> (Sketch, Option<&'static str>) {
    let yards = numbers.between(100.0, 600.0).round();
    let length_m = yards * YD_M;
    let par = match yards {
        yards if yards < 250.0 => 3,
        yards if yards < 470.0 => 4,
        _ => 5,
    };
    let bend_deg = if par > 3 && numbers.chance(0.6) {
        numbers.between(-50.0, 50.0)
    } else {
        0.0
    };
    let corner_m = length_m * numbers.between(0.45, 0.65);
    let (sin, cos) = bend_deg.to_radians().sin_cos();
    let rest_m = length_m - corner_m;
    let way = Way {
        points: vec![
            [0.0, 0.0],
            [0.0, corner_m],
            [rest_m * sin, corner_m + rest_m * cos],
        ],
    };
    let _ = write!(words, "par {par}, {yards} yd, bend {bend_deg:.0}°");
    let middle = way.points[2];
    let size = [numbers.between(8.0, 15.0), numbers.between(9.0, 17.0)];
    let pin = [
        middle[0] + numbers.between(-0.55, 0.55) * size[0],
        middle[1] + numbers.between(-0.55, 0.55) * size[1],
    ];
    let half_m = numbers.between(10.0, 23.0);
    let begins_m = if par == 3 {
        length_m - 35.0
    } else {
        length_m * numbers.between(0.2, 0.4)
    };
    let mut line = way.points.clone();
    line[2] = pin;
    if par == 3 {
        line.remove(1);
    }
    let mut sketch = Sketch::default()
        .line(
            json!({"golf": "hole", "ref": "1", "par": par.to_string()}),
            &line,
        )
        .area(
            json!({"golf": "fairway"}),
            &way.strip(
                [begins_m.max(20.0), length_m - size[1] - 4.0],
                [-half_m, half_m],
            ),
        );
    sketch = hazards(numbers, words, sketch, (&way, half_m, size));
    sketch = sketch
        .area(json!({"golf": "green"}), &round(middle, size[0], size[1]))
        .point(json!({"golf": "pin"}), pin);
    let forward = par > 3 && numbers.chance(0.3);
    let mut tees = vec![("white", 0.0)];
    if forward {
        tees.push(("red", numbers.between(40.0, 110.0)));
        *words += ", forward tee";
    }
    for (colour, along_m) in tees {
        let tee = json!({"golf": "tee", "tee": colour});
        sketch = sketch.area(tee, &way.strip([along_m - 8.0, along_m + 3.0], [-5.0, 5.0]));
        for right_m in [-3.5, 3.5] {
            let marker = json!({"bendline": "tee_marker", "tee": colour});
            sketch = sketch.point(marker, way.at(along_m, right_m));
        }
    }
    (sketch, Some(if forward { "red" } else { "white" }))
}

/// What makes a hole dear: bunkers, water, woods, a boundary, the next hole's fairway.
fn hazards(
    numbers: &mut Numbers,
    words: &mut String,
    mut sketch: Sketch,
    (way, half_m, size): (&Way, f64, [f64; 2]),
) -> Sketch {
    let length_m = way.length_m();
    let middle = way.points[2];
    for _ in 0..numbers.below(4) {
        let angle = numbers.between(0.0, TAU);
        let off = 5.0 + numbers.between(0.0, 6.0);
        let at = [
            middle[0] + (size[0] + off) * angle.cos(),
            middle[1] + (size[1] + off) * angle.sin(),
        ];
        sketch = sketch.area(json!({"golf": "bunker"}), &round(at, 4.0, 5.0));
    }
    for _ in 0..numbers.below(4) {
        let (side, off) = (numbers.side(), numbers.between(0.0, 8.0));
        let at = way.at(numbers.between(0.4, 0.75) * length_m, side * (half_m + off));
        sketch = sketch.area(json!({"golf": "bunker"}), &round(at, 5.0, 7.0));
    }
    if numbers.chance(0.15) {
        *words += ", island green";
        let moat = round(middle, size[0] + 30.0, size[1] + 30.0);
        let kind = ["water_hazard", "lateral_water_hazard"][numbers.below(2)];
        // A hole in the water: the land with the green.
        sketch = around(
            sketch,
            kind,
            &moat,
            &round(middle, size[0] + 5.0, size[1] + 5.0),
        );
    } else if numbers.chance(0.3) {
        *words += ", water across";
        let from_m = numbers.between(0.35, 0.85) * length_m;
        let to_m = (from_m + numbers.between(10.0, 45.0)).min(length_m - size[1] - 6.0);
        if to_m > from_m + 4.0 {
            let wide = numbers.between(30.0, 90.0);
            let ring = way.strip([from_m, to_m], [-wide, wide]);
            sketch = sketch.area(json!({"golf": "water_hazard"}), &ring);
        }
    }
    if numbers.chance(0.35) {
        *words += ", water beside";
        let side = numbers.side();
        let near = half_m + numbers.between(2.0, 15.0);
        let far = near + numbers.between(10.0, 60.0);
        let sides = if side > 0.0 {
            [near, far]
        } else {
            [-far, -near]
        };
        let from = numbers.between(0.2, 0.6);
        let ends = [from, from + numbers.between(0.15, 0.4)].map(|part| part * length_m);
        sketch = sketch.area(
            json!({"golf": "lateral_water_hazard"}),
            &way.strip(ends, sides),
        );
    }
    for side in [-1.0, 1.0] {
        if numbers.chance(0.4) {
            *words += ", wood";
            let near = half_m.max(size[0]) + numbers.between(6.0, 25.0);
            let far = near + numbers.between(15.0, 50.0);
            let sides = if side > 0.0 {
                [near, far]
            } else {
                [-far, -near]
            };
            let ends = [numbers.between(0.05, 0.5), numbers.between(0.6, 1.0)];
            let tree =
                json!({"natural": "wood", "height": format!("{:.0}", numbers.between(8.0, 25.0))});
            sketch = sketch.area(tree, &way.strip(ends.map(|part| part * length_m), sides));
        }
    }
    if numbers.chance(0.4) {
        *words += ", out of bounds";
        let near = half_m.max(size[0]) + numbers.between(12.0, 40.0);
        let far = near + 150.0;
        let sides = if numbers.chance(0.5) {
            [near, far]
        } else {
            [-far, -near]
        };
        let ring = way.strip([-20.0, length_m + 60.0], sides);
        sketch = sketch.area(json!({"golf": "out_of_bounds"}), &ring);
    }
    if numbers.chance(0.25) {
        *words += ", next fairway";
        let near = half_m + numbers.between(20.0, 45.0);
        let sides = if numbers.chance(0.5) {
            [near, near + 30.0]
        } else {
            [-near - 30.0, -near]
        };
        let ring = way.strip([0.2 * length_m, 0.9 * length_m], sides);
        sketch = sketch.area(json!({"golf": "fairway"}), &ring);
    }
    sketch
}

/// Water around land: two halves of a ring, for a sketch has no inner rings.
fn around(sketch: Sketch, kind: &str, outer: &[[f64; 2]], inner: &[[f64; 2]]) -> Sketch {
    let half = outer.len() / 2;
    let part = |from: usize| -> Vec<[f64; 2]> {
        let index = |k: usize| (from + k) % outer.len();
        let out = (0..=half).map(|k| outer[index(k)]);
        let back = (0..=half).rev().map(|k| inner[index(k)]);
        out.chain(back).collect()
    };
    let water = json!({"golf": kind});
    sketch
        .area(water.clone(), &part(0))
        .area(water, &part(half))
}

fn player(numbers: &mut Numbers, words: &mut String) -> Player {
    let (name, mut player) = if numbers.chance(0.5) {
        let (name, text, handedness, handicap) = LOGS[numbers.below(LOGS.len())];
        let log = shotlog::read(name, text.as_bytes()).expect("the log is sound");
        let options = FitOptions {
            handedness,
            handicap: Some(handicap),
            weather: Weather::at_altitude(0.0),
            firmness: Firmness::Medium,
        };
        (name, fit(&log, &options).expect("the log fits"))
    } else {
        let handicap = numbers.between(-2.0, 36.0).round();
        let share = 1.02 - 0.009 * handicap + numbers.between(-0.05, 0.05);
        ("straight bag", bag(handicap, share))
    };
    let _ = write!(words, "; {name}, handicap {}", player.handicap);
    if numbers.chance(0.2) {
        *words += ", few clubs";
        let mut number = 0;
        player.clubs.retain(|_| {
            number += 1;
            number % 3 == 1
        });
    }
    player
}

fn weather(numbers: &mut Numbers, words: &mut String) -> Day {
    let wind = if numbers.chance(0.5) {
        Wind {
            speed_m_s: numbers.between(2.0, 9.0),
            from_deg: numbers.between(0.0, 360.0).round(),
            gust_share: 0.2,
        }
    } else {
        day(0.0, 0.0).wind
    };
    let firmness = [Firmness::Soft, Firmness::Medium, Firmness::Firm][numbers.below(3)];
    let _ = write!(
        words,
        "; wind {:.1} m/s from {:.0}°, {firmness:?}",
        wind.speed_m_s, wind.from_deg
    );
    Day {
        wind,
        firmness,
        ..day(0.0, 0.0)
    }
}
