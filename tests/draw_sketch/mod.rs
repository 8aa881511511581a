//! Holes and plans sketched in metres, for drawing: all of them invented.

#![allow(dead_code, reason = "each test binary uses its own part")]

pub mod demo;
pub mod generated;
pub mod hostile;
pub mod samples;

use bendline::draw::labels::Layout;
use bendline::draw::page::Land;
use bendline::flight::{Ball, Firmness, Weather, Wind};
use bendline::hole::plane::Plane;
use bendline::hole::{Hole, Patch, Surface, Tree};
use bendline::outcome::Day;
use bendline::plan::hundred::Hundred;
use bendline::plan::next::{Miss, Next, NextShot};
use bendline::plan::what_if::{Costs, WhatIf};
use bendline::plan::whole_hole::{ObjectiveFacts, ScoreShares, WholeHole};
use bendline::plan::{
    Aim, AimCost, Alternative, Carry, Choice, Comparison, Conditions, Finish, Finishes, HoleFacts,
    Line, LonLat, ModelFacts, Peg, Plan, PlayerFacts, Shot, TwoWay, Width, Words,
};
use geo::{Coord, LineString, Polygon};

pub const ORIGIN: [f64; 2] = [-3.2, 56.1];

/// A hole and plan sketched in metres: x to the right of the tee, y down the
/// hole, turned to a true bearing and perhaps mirrored.
pub struct Sketch {
    pub bearing_deg: f64,
    pub mirror: f64,
    pub plane: Plane,
    pub patches: Vec<Patch>,
    pub trees: Vec<Tree>,
    pub way: Vec<Coord<f64>>,
    pub origin: [f64; 2],
    pub raw: Vec<(Surface, Vec<[f64; 2]>)>,
}

/// A hazard: words, kind, to reach, to clear, share of balls.
pub type Hazard = (&'static str, &'static str, [f64; 2], [f64; 2], f64);

/// A plan's shot in sketch metres.
pub struct Call {
    pub club: &'static str,
    pub shape: &'static str,
    pub peg: [f64; 2],
    pub marker: f64,
    pub target: [f64; 2],
    pub words: &'static str,
    pub start_deg: f64,
    pub curve_m: f64,
    pub landing: [f64; 2],
    pub rest: [f64; 2],
    pub spread: [f64; 2],
    pub finish: Finish,
    pub window: [f64; 2],
    pub sentence: &'static str,
    pub left_hander: bool,
    pub carries: Vec<Hazard>,
    pub width: Option<([f64; 2], [f64; 2])>,
    pub pin: [f64; 2],
    pub par: u8,
    pub reference: &'static str,
    pub name: &'static str,
    pub unit: &'static str,
    pub wind: (f64, f64),
}

impl Sketch {
    pub fn new(bearing_deg: f64, mirrored: bool) -> Self {
        Self {
            bearing_deg,
            mirror: if mirrored { -1.0 } else { 1.0 },
            plane: Plane::new(ORIGIN),
            patches: Vec::new(),
            trees: Vec::new(),
            way: Vec::new(),
            origin: ORIGIN,
            raw: Vec::new(),
        }
    }

    pub fn at(&self, p: [f64; 2]) -> Coord<f64> {
        let (sin, cos) = self.bearing_deg.to_radians().sin_cos();
        let x = p[0] * self.mirror;
        Coord {
            x: x * cos + p[1] * sin,
            y: p[1] * cos - x * sin,
        }
    }

    /// A whole hole whose next shot goes from the finish to the pin.
    fn whole_hole(&self, call: &Call) -> WholeHole {
        let shot = NextShot {
            club: "7i".to_owned(),
            shape: "draw".to_owned(),
            swing: "full".to_owned(),
            bearing_deg: self.bearing_deg.rem_euclid(360.0),
            from_pin_deg: 1.0,
            words: "3 yd right of the pin".to_owned(),
            rest: self.lon_lat(call.pin),
            total_m: 140.0,
            left_m: 9.0,
            at_green: true,
            on_green: 0.6,
            strokes: 2.9,
            standard_error: 0.01,
            costs: 0.0,
            costs_standard_error: 0.0,
            by_aim: None,
        };
        WholeHole {
            expected_score: 4.4,
            spread: 0.8,
            by_table: 4.5,
            scores: ScoreShares {
                eagle_or_better: 0.0,
                birdie: 0.1,
                par: 0.5,
                bogey: 0.3,
                double_bogey: 0.08,
                triple_or_worse: 0.02,
            },
            decided_for: "strokes".to_owned(),
            received: None,
            aims_of_play: Vec::new(),
            next: Some(Next {
                from: self.lon_lat(call.rest),
                lie: "fairway".to_owned(),
                to_pin_m: 140.0,
                is_for_a_miss: false,
                choice: shot,
                miss: Miss {
                    side: "left".to_owned(),
                    left: 2.9,
                    right: 3.0,
                    standard_error: 0.01,
                },
                others: Vec::new(),
                lay_ups: Vec::new(),
                words: Vec::new(),
                for_aim: None,
            }),
            words: Vec::new(),
        }
    }

    pub fn lon_lat(&self, p: [f64; 2]) -> LonLat {
        let [lon, lat] = self.plane.to_lon_lat(self.at(p));
        LonLat { lon, lat }
    }

    pub fn patch(&mut self, surface: Surface, points: &[[f64; 2]], assumed: bool) {
        self.raw.push((surface, points.to_vec()));
        let outline: Vec<Coord<f64>> = points.iter().map(|&p| self.at(p)).collect();
        self.patches.push(Patch {
            surface,
            id: format!("way/{}", self.patches.len()),
            name: None,
            outline: Polygon::new(LineString(outline), Vec::new()),
            assumed,
        });
    }

    pub fn blob(&mut self, surface: Surface, at: [f64; 2], size: [f64; 2], turn_deg: f64) {
        let points = blob(at, size, turn_deg, 0.12);
        self.patch(surface, &points, false);
    }

    pub fn ribbon(&mut self, surface: Surface, stations: &[[f64; 3]]) {
        let points = ribbon(stations);
        self.patch(surface, &points, false);
    }

    pub fn tree(&mut self, at: [f64; 2], crown_m: f64) {
        let at = self.at(at);
        self.trees.push(Tree {
            at,
            height_m: 14.0,
            crown_m,
            id: format!("node/{}", self.trees.len()),
            name: None,
        });
    }

    pub fn land(&self) -> Land<'_> {
        Land {
            patches: &self.patches,
            trees: &self.trees,
            line_of_play: &self.way,
            origin_lon_lat: self.origin,
        }
    }

    pub fn plan(&self, call: &Call) -> Plan {
        let m = self.mirror;
        let bearing = |from: [f64; 2], to: [f64; 2]| {
            let (a, b) = (self.at(from), self.at(to));
            (b.x - a.x).atan2(b.y - a.y).to_degrees().rem_euclid(360.0)
        };
        let length = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
        let aim_deg = bearing(call.peg, call.target);
        let line_deg = self.bearing_deg;
        let from_line = |deg: f64| (deg - line_deg + 540.0).rem_euclid(360.0) - 180.0;
        let aim_from_line = from_line(aim_deg);
        let start_deg = aim_deg + call.start_deg * m;
        let peg = self.lon_lat(call.peg);
        let half_width = call.marker / 2.0;
        let side = if call.left_hander { -1.0 } else { 1.0 };
        let shot = |club: &str, shape: &str| Shot {
            club: club.to_owned(),
            shape: shape.to_owned(),
            part_swing: None,
            tee: Peg {
                from_left_marker_m: half_width + call.peg[0] * m,
                behind_front_m: -call.peg[1],
                lon: peg.lon,
                lat: peg.lat,
            },
            aim: Aim {
                bearing_deg: aim_deg,
                from_line_of_play_deg: aim_from_line,
                lon: self.lon_lat(call.target).lon,
                lat: self.lon_lat(call.target).lat,
                distance_m: length(call.peg, call.target),
                words: call.words.to_owned(),
                is_landmark: true,
                measured: None,
                target_right_deg: 0.0,
                right_of_centre_m: 8.0,
                centre: "fairway".to_owned(),
            },
            start_line: Line {
                bearing_deg: start_deg,
                from_line_of_play_deg: from_line(start_deg),
            },
            curve_m: call.curve_m * m,
            carry_m: length(call.peg, call.landing),
            total_m: length(call.peg, call.rest),
            rest: self.lon_lat(call.rest),
            rest_right_of_centre_m: 0.0,
            rest_centre: "fairway".to_owned(),
            expected_strokes: f64::from(call.par) + 0.214,
            standard_error: 0.004,
            finish: call.finish,
            shots_logged: 42,
        };
        let along = {
            let d = length(call.peg, call.rest);
            [
                (call.rest[0] - call.peg[0]) / d,
                (call.rest[1] - call.peg[1]) / d,
            ]
        };
        let turn = along[0].atan2(along[1]).to_degrees();
        let ring = |scale: f64| -> Vec<LonLat> {
            blob(
                call.rest,
                [call.spread[0] * scale, call.spread[1] * scale],
                -turn,
                0.07,
            )
            .into_iter()
            .map(|p| self.lon_lat(p))
            .collect()
        };
        // A bend that grows with the square of the distance, from the start
        // line to the landing, then a straight roll.
        let flight: Vec<[f64; 2]> = (0..=30)
            .map(|k| {
                let t = f64::from(k) / 24.0;
                if t <= 1.0 {
                    let straight = [
                        call.landing[0] - call.curve_m * along[1],
                        call.landing[1] + call.curve_m * along[0],
                    ];
                    let bend = call.curve_m * t * t;
                    [
                        call.peg[0] + (straight[0] - call.peg[0]) * t + bend * along[1],
                        call.peg[1] + (straight[1] - call.peg[1]) * t - bend * along[0],
                    ]
                } else {
                    let r = (t - 1.0) * 4.0;
                    [
                        call.landing[0] + (call.rest[0] - call.landing[0]) * r,
                        call.landing[1] + (call.rest[1] - call.landing[1]) * r,
                    ]
                }
            })
            .collect();
        let balls: Vec<LonLat> = (1..=120)
            .map(|k| {
                // Halton points, turned to a disc and stretched.
                let (u, v) = (halton(k, 2), halton(k, 3));
                let r = (-2.0 * (1.0 - u).max(1e-9).ln()).sqrt() / 2.15;
                let (s, c) = (v * std::f64::consts::TAU).sin_cos();
                let (x, y) = (r * c * call.spread[0], r * s * call.spread[1]);
                self.lon_lat([
                    call.rest[0] + x * along[1] + y * along[0],
                    call.rest[1] - x * along[0] + y * along[1],
                ])
            })
            .collect();
        Plan {
            format: 1,
            hole: HoleFacts {
                reference: call.reference.to_owned(),
                name: Some(call.name.to_owned()),
                par: call.par,
                length_m: self
                    .way
                    .windows(2)
                    .map(|w| (w[0].x - w[1].x).hypot(w[0].y - w[1].y))
                    .sum(),
                tee_colour: Some("white".to_owned()),
                teeing_area_assumed: false,
                teeing_width_m: call.marker,
                teeing_depth_m: 2.32,
                markers: if m > 0.0 {
                    [
                        self.lon_lat([-half_width, 0.0]),
                        self.lon_lat([half_width, 0.0]),
                    ]
                } else {
                    [
                        self.lon_lat([half_width, 0.0]),
                        self.lon_lat([-half_width, 0.0]),
                    ]
                },
                pin: self.lon_lat(call.pin),
                pin_from: bendline::hole::PinFrom::Map,
                line_of_play_deg: line_deg,
            },
            conditions: Conditions {
                wind_m_s: call.wind.0,
                wind_from_deg: call.wind.1,
                temperature_c: 16.0,
                pressure_pa: 101_325.0,
                humidity: 0.6,
                altitude_m: 30.0,
                density_kg_m3: 1.21,
                firmness: "medium".to_owned(),
                seed: 1,
                balls: 8192,
                model: ModelFacts::of(&Day::of(
                    &Weather::usual(),
                    Wind::blowing(call.wind.0, call.wind.1),
                    Ball::modern(),
                    Firmness::Medium,
                )),
            },
            player: PlayerFacts {
                name: "A. Player".to_owned(),
                handedness: if call.left_hander != (m < 0.0) {
                    "left"
                } else {
                    "right"
                }
                .to_owned(),
                handicap: 8.0,
                club_length_m: 1.16,
                course_play: bendline::player::CoursePlay::NONE,
            },
            choice: Choice {
                shot: shot(call.club, call.shape),
                aim_window_deg: if m > 0.0 {
                    [
                        aim_from_line + call.window[0],
                        aim_from_line + call.window[1],
                    ]
                } else {
                    [
                        aim_from_line - call.window[1],
                        aim_from_line - call.window[0],
                    ]
                },
                aim_costs: (-6..=6)
                    .map(|k| AimCost {
                        aim_deg: aim_from_line + f64::from(k),
                        costs: 0.01 * f64::from(k * k),
                        costs_standard_error: 0.004,
                    })
                    .collect(),
                two_way_miss: TwoWay {
                    left: 0.94,
                    right: 0.06,
                },
                is_two_way: false,
                ties: Vec::new(),
            },
            set_up: Default::default(),
            alternatives: vec![
                Alternative {
                    shot: shot("3-wood", call.shape),
                    costs: 0.062,
                    costs_standard_error: 0.004,
                },
                Alternative {
                    shot: shot("5-hybrid", "straight"),
                    costs: 0.171,
                    costs_standard_error: 0.006,
                },
                Alternative {
                    shot: shot("4-iron", "fade"),
                    costs: 0.233,
                    costs_standard_error: 0.007,
                },
            ],
            comparisons: vec![
                Comparison {
                    name: "down the middle".to_owned(),
                    shot: shot(call.club, call.shape),
                    costs: 0.118,
                    costs_standard_error: 0.005,
                    hundred: hundred(&balls),
                },
                Comparison {
                    name: "aiming off half your bend".to_owned(),
                    shot: shot(call.club, call.shape),
                    costs: 0.024,
                    costs_standard_error: 0.003,
                    hundred: hundred(&balls),
                },
            ],
            carries: call
                .carries
                .iter()
                .map(|(words, kind, reach, clear, share)| Carry {
                    words: (*words).to_owned(),
                    kind: (*kind).to_owned(),
                    reach_m: length(call.peg, *reach),
                    clear_m: length(call.peg, *clear),
                    is_crossed: false,
                    nearest: self.lon_lat(*reach),
                    share_short: 0.0,
                    reach: self.lon_lat(*reach),
                    clear: self.lon_lat(*clear),
                    offset_m: (reach[0] - call.rest[0]) * m * side * side,
                    share: *share,
                    share_left: if (reach[0] - call.rest[0]) * m * side * side < 0.0 {
                        *share
                    } else {
                        0.0
                    },
                    goes_on: *kind == "out_of_bounds",
                })
                .collect(),
            widths: call
                .width
                .iter()
                .map(|(left, right)| Width {
                    place: "landing",
                    distance_m: length(
                        call.peg,
                        [(left[0] + right[0]) / 2.0, (left[1] + right[1]) / 2.0],
                    ),
                    left: self.lon_lat(*left),
                    right: self.lon_lat(*right),
                    width_m: length(*left, *right),
                })
                .collect(),
            finishes: Finishes {
                half: vec![ring(0.55)],
                ninety: vec![ring(1.0)],
                hundred: hundred(&balls),
                other_ways: Vec::new(),
                balls,
                flight: flight.iter().map(|&p| self.lon_lat(p)).collect(),
                flight_height_m: flight.iter().map(|_| 0.0).collect(),
                flight_airborne: 25,
            },
            whole_hole: Some(self.whole_hole(call)),
            verified: None,
            robust: None,
            what_if: Vec::new(),
            own_shots: Vec::new(),
            landscape: None,
            asked: None,
            words: Words {
                leaves: String::new(),
                note: String::new(),
                sentence: call.sentence.to_owned(),
                why: vec!["Down the middle costs 0.12 strokes.".to_owned()],
                unit: call.unit.to_owned(),
            },
            assumed: Vec::new(),
            check_first: Vec::new(),
            notes: Vec::new(),
            cautions: vec![
                "Play only when nobody is within reach".to_owned(),
                "Local Rules and course marking go before any map".to_owned(),
                "Stop for lightning".to_owned(),
            ],
        }
    }
}

pub fn halton(mut index: u32, base: u32) -> f64 {
    let (mut share, mut out) = (1.0, 0.0);
    while index > 0 {
        share /= f64::from(base);
        out += share * f64::from(index % base);
        index /= base;
    }
    out
}

/// A rounded closed shape.
pub fn blob(at: [f64; 2], size: [f64; 2], turn_deg: f64, ripple: f64) -> Vec<[f64; 2]> {
    let (sin, cos) = turn_deg.to_radians().sin_cos();
    (0..=48)
        .map(|k| {
            let a = f64::from(k % 48) * std::f64::consts::TAU / 48.0;
            let r = 1.0 + ripple * (2.0 * a + 0.6).cos() + 0.5 * ripple * (3.0 * a + at[1]).sin();
            let (x, y) = (r * a.cos() * size[0], r * a.sin() * size[1]);
            [at[0] + x * cos - y * sin, at[1] + x * sin + y * cos]
        })
        .collect()
}

/// A band of changing width along stations `[x, y, width]`, rounded.
pub fn ribbon(stations: &[[f64; 3]]) -> Vec<[f64; 2]> {
    let n = stations.len();
    let spline = |t: f64| -> [f64; 3] {
        let i = (t.floor() as usize).min(n - 2);
        let f = t - i as f64;
        let p = |k: isize| stations[(i as isize + k).clamp(0, n as isize - 1) as usize];
        let (a, b, c, d) = (p(-1), p(0), p(1), p(2));
        std::array::from_fn(|k| {
            0.5 * (2.0 * b[k]
                + (c[k] - a[k]) * f
                + (2.0 * a[k] - 5.0 * b[k] + 4.0 * c[k] - d[k]) * f * f
                + (3.0 * b[k] - a[k] - 3.0 * c[k] + d[k]) * f * f * f)
        })
    };
    let (mut left, mut right) = (Vec::new(), Vec::new());
    let last = (n - 1) as f64;
    for k in 0..=60 {
        let t = f64::from(k) / 60.0 * last;
        let (here, next) = (spline(t), spline((t + 0.02).min(last)));
        let (here2, prev) = (here, spline((t - 0.02).max(0.0)));
        let d = [next[0] - prev[0], next[1] - prev[1]];
        let long = d[0].hypot(d[1]).max(1e-9);
        // Round off both ends.
        let s = (f64::from(k) / 60.0 * 2.0 - 1.0).abs();
        let w = here2[2] / 2.0 * (1.0 - s.powi(16)).max(0.0).sqrt();
        left.push([here[0] - d[1] / long * w, here[1] + d[0] / long * w]);
        right.push([here[0] + d[1] / long * w, here[1] - d[0] / long * w]);
    }
    right.reverse();
    left.extend(right);
    let first = left[0];
    left.push(first);
    left
}

/// Every text inside the page less a margin, none on another.
pub fn assert_apart(name: &str, layout: &Layout, margin: f64) {
    for (i, a) in layout.texts.iter().enumerate() {
        assert!(
            layout.page.grown(-margin).encloses(&a.area),
            "{name}: \"{}\" leaves the page: {:?}",
            a.words,
            a.area
        );
        for b in &layout.texts[i + 1..] {
            assert!(
                !a.area.overlaps(&b.area),
                "{name}: \"{}\" {:?} lies on \"{}\" {:?}",
                a.words,
                a.area,
                b.words,
                b.area
            );
        }
    }
    assert_eq!(layout.unplaced, Vec::<String>::new(), "{name}");
}

/// The same with the margin of a page to print: a printer leaves 3.5 mm white.
pub fn assert_clean(name: &str, layout: &Layout) {
    assert_apart(name, layout, 35.0);
}

/// What a hole's land is kept in.
pub enum Kept {
    Sketched(Box<Sketch>),
    Read(Box<Hole>),
}

impl Kept {
    pub fn land(&self) -> Land<'_> {
        match self {
            Self::Sketched(sketch) => sketch.land(),
            Self::Read(hole) => Land::of(hole),
        }
    }
}

/// An objective that a plan may be decided for.
pub fn no_double() -> ObjectiveFacts {
    ObjectiveFacts {
        aim: "no-double".to_owned(),
        unit: "chance".to_owned(),
        club: "driver".to_owned(),
        shape: "draw".to_owned(),
        part_swing: None,
        aim_right_of_plan_deg: 0.0,
        worth: 0.92,
        worth_of_plan: 0.92,
        standard_error: 0.003,
        expected_score: 4.5,
        plan_costs: 0.0,
        plan_costs_standard_error: 0.0,
        costs: Vec::new(),
    }
}

/// The first hundred balls, with all ends that there are.
fn hundred(balls: &[LonLat]) -> Hundred {
    let ends = [
        "fairway",
        "fairway",
        "rough",
        "fairway",
        "bunker",
        "green",
        "trees",
        "rough",
        "penalty_area",
        "out_of_bounds",
    ];
    let at: Vec<LonLat> = balls.iter().take(100).copied().collect();
    Hundred {
        ends: (0..at.len()).map(|k| ends[k % ends.len()]).collect(),
        at,
    }
}

/// Sixteen winds, in which all can happen.
pub fn other_winds() -> Vec<WhatIf> {
    let changes = ["nothing", "aim", "peg and aim", "club"];
    (0..16)
        .map(|case| WhatIf {
            kind: "wind".to_owned(),
            wind_m_s: if case < 8 { 4.5 } else { 9.0 },
            wind_from_deg: f64::from(case % 8) * 45.0,
            pin: "as planned".to_owned(),
            play: "as planned".into(),
            changes: changes[case as usize % 4].to_owned(),
            club: "3w".to_owned(),
            shape: "draw".to_owned(),
            part_swing: None,
            same_club: case % 4 != 3,
            peg_right_m: 0.0,
            aim_right_deg: 2.0,
            aim_right_m: 7.0,
            carry_m: 210.0,
            strokes: 4.4,
            standard_error: 0.01,
            costs_unit: "strokes".to_owned(),
            keep_club: None,
            keep_shot: (case != 5).then_some(Costs {
                costs: 0.03 * f64::from(case % 4),
                standard_error: 0.004,
            }),
            peg: "by the left marker".to_owned(),
            aim: "2 fingers left of the right edge of the far fairway bunker on the left"
                .to_owned(),
        })
        .collect()
}
