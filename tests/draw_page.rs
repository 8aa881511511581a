//! The drawn page: whole, true to scale, nothing on anything else.
//!
//! The holes and players here are invented. Every page is left in
//! `target/tmp` to be looked at.

use bendline::draw::labels::Layout;
use bendline::draw::page::{Land, compose};
use bendline::hole::plane::Plane;
use bendline::hole::{Patch, Surface, Tree};
use bendline::plan::{
    Aim, Alternative, Carry, Choice, Comparison, Conditions, Finish, Finishes, HoleFacts, Line,
    LonLat, Peg, Plan, PlayerFacts, Shot, TwoWay, Width, Words,
};
use geo::{Coord, LineString, Polygon};

const ORIGIN: [f64; 2] = [-3.2, 56.1];

/// A hole and plan sketched in metres: x to the right of the tee, y down the
/// hole, turned to a true bearing and perhaps mirrored.
struct Sketch {
    bearing_deg: f64,
    mirror: f64,
    plane: Plane,
    patches: Vec<Patch>,
    trees: Vec<Tree>,
    way: Vec<Coord<f64>>,
    origin: [f64; 2],
    raw: Vec<(Surface, Vec<[f64; 2]>)>,
}

/// A plan's shot in sketch metres.
struct Call {
    club: &'static str,
    shape: &'static str,
    peg: [f64; 2],
    marker: f64,
    target: [f64; 2],
    words: &'static str,
    start_deg: f64,
    curve_m: f64,
    landing: [f64; 2],
    rest: [f64; 2],
    spread: [f64; 2],
    finish: Finish,
    window: [f64; 2],
    sentence: &'static str,
    left_hander: bool,
    carries: Vec<(&'static str, &'static str, [f64; 2], [f64; 2], f64)>,
    width: Option<([f64; 2], [f64; 2])>,
    pin: [f64; 2],
    par: u8,
    reference: &'static str,
    name: &'static str,
    unit: &'static str,
    wind: (f64, f64),
}

impl Sketch {
    fn new(bearing_deg: f64, mirrored: bool) -> Self {
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

    fn at(&self, p: [f64; 2]) -> Coord<f64> {
        let (sin, cos) = self.bearing_deg.to_radians().sin_cos();
        let x = p[0] * self.mirror;
        Coord {
            x: x * cos + p[1] * sin,
            y: p[1] * cos - x * sin,
        }
    }

    fn lon_lat(&self, p: [f64; 2]) -> LonLat {
        let [lon, lat] = self.plane.to_lon_lat(self.at(p));
        LonLat { lon, lat }
    }

    fn patch(&mut self, surface: Surface, points: &[[f64; 2]], assumed: bool) {
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

    fn blob(&mut self, surface: Surface, at: [f64; 2], size: [f64; 2], turn_deg: f64) {
        let points = blob(at, size, turn_deg, 0.12);
        self.patch(surface, &points, false);
    }

    fn ribbon(&mut self, surface: Surface, stations: &[[f64; 3]]) {
        let points = ribbon(stations);
        self.patch(surface, &points, false);
    }

    fn tree(&mut self, at: [f64; 2], crown_m: f64) {
        let at = self.at(at);
        self.trees.push(Tree {
            at,
            height_m: 14.0,
            crown_m,
            id: format!("node/{}", self.trees.len()),
            name: None,
        });
    }

    fn land(&self) -> Land<'_> {
        Land {
            patches: &self.patches,
            trees: &self.trees,
            line_of_play: &self.way,
            origin_lon_lat: self.origin,
        }
    }

    fn plan(&self, call: &Call) -> Plan {
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
                two_way_miss: TwoWay {
                    left: 0.94,
                    right: 0.06,
                },
                ties: Vec::new(),
            },
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
                },
                Comparison {
                    name: "half-gap rule".to_owned(),
                    shot: shot(call.club, call.shape),
                    costs: 0.024,
                    costs_standard_error: 0.003,
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
                    reach: self.lon_lat(*reach),
                    clear: self.lon_lat(*clear),
                    offset_m: (reach[0] - call.rest[0]) * m * side * side,
                    share: *share,
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
                balls,
                flight: flight.iter().map(|&p| self.lon_lat(p)).collect(),
                flight_height_m: flight.iter().map(|_| 0.0).collect(),
                flight_airborne: 25,
            },
            words: Words {
                sentence: call.sentence.to_owned(),
                why: vec!["Down the middle costs 0.12 strokes.".to_owned()],
                unit: call.unit.to_owned(),
            },
            notes: Vec::new(),
            cautions: vec![
                "Play only when nobody is within reach".to_owned(),
                "Local Rules and course marking go before any map".to_owned(),
                "Stop for lightning".to_owned(),
            ],
        }
    }
}

fn halton(mut index: u32, base: u32) -> f64 {
    let (mut share, mut out) = (1.0, 0.0);
    while index > 0 {
        share /= f64::from(base);
        out += share * f64::from(index % base);
        index /= base;
    }
    out
}

/// A rounded closed shape.
fn blob(at: [f64; 2], size: [f64; 2], turn_deg: f64, ripple: f64) -> Vec<[f64; 2]> {
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
fn ribbon(stations: &[[f64; 3]]) -> Vec<[f64; 2]> {
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

fn finish(parts: [f64; 7]) -> Finish {
    Finish {
        fairway: parts[0],
        rough: parts[1],
        bunker: parts[2],
        green: parts[3],
        trees: parts[4],
        penalty_area: parts[5],
        out_of_bounds: parts[6],
    }
}

fn dogleg(mirrored: bool) -> (Sketch, Call) {
    let mut s = Sketch::new(62.0, mirrored);
    s.way = [[0.0, -1.0], [8.0, 222.0], [-92.0, 338.0]]
        .iter()
        .map(|&p| s.at(p))
        .collect();
    s.patch(
        Surface::OutOfBounds,
        &[
            [58.0, 40.0],
            [66.0, 180.0],
            [60.0, 290.0],
            [0.0, 372.0],
            [-60.0, 420.0],
            [200.0, 500.0],
            [300.0, 40.0],
            [58.0, 40.0],
        ],
        false,
    );
    s.patch(
        Surface::Trees,
        &[
            [-26.0, 60.0],
            [-34.0, 120.0],
            [-36.0, 180.0],
            [-60.0, 225.0],
            [-100.0, 262.0],
            [-190.0, 240.0],
            [-160.0, 60.0],
            [-26.0, 60.0],
        ],
        false,
    );
    s.ribbon(
        Surface::Fairway,
        &[
            [1.0, 128.0, 24.0],
            [5.0, 170.0, 31.0],
            [6.0, 215.0, 36.0],
            [-12.0, 252.0, 35.0],
            [-44.0, 286.0, 29.0],
            [-72.0, 314.0, 24.0],
        ],
    );
    s.blob(Surface::Green, [-93.0, 339.0], [17.0, 13.0], 40.0);
    s.blob(Surface::Bunker, [31.0, 228.0], [6.0, 12.0], -10.0);
    s.blob(Surface::Bunker, [24.0, 256.0], [5.0, 9.0], 20.0);
    s.blob(Surface::Bunker, [-23.0, 208.0], [5.0, 9.0], 15.0);
    s.blob(Surface::Bunker, [-112.0, 326.0], [5.0, 8.0], 30.0);
    s.blob(Surface::Bunker, [-74.0, 345.0], [4.5, 7.5], 10.0);
    s.ribbon(
        Surface::PenaltyRed,
        &[
            [-120.0, 250.0, 9.0],
            [-84.0, 276.0, 10.0],
            [-60.0, 266.0, 16.0],
            [-38.0, 252.0, 12.0],
        ],
    );
    s.blob(Surface::Tee, [0.0, -5.0], [8.0, 9.0], 0.0);
    for (x, y, c) in [
        (44.0, 120.0, 9.0),
        (50.0, 140.0, 11.0),
        (47.0, 164.0, 8.0),
        (-120.0, 350.0, 10.0),
        (-128.0, 338.0, 12.0),
        (-84.0, 366.0, 9.0),
    ] {
        s.tree([x, y], c);
    }
    let call = Call {
        club: "driver",
        shape: "draw",
        peg: [2.1, -0.8],
        marker: 7.4,
        target: [30.0, 236.0],
        words: "the right edge of the far bunker",
        start_deg: -0.6,
        curve_m: -15.0,
        landing: [11.0, 214.0],
        rest: [2.0, 234.0],
        spread: [23.0, 27.0],
        finish: finish([0.612, 0.208, 0.083, 0.0, 0.047, 0.038, 0.012]),
        window: [-1.1, 2.4],
        sentence: "Driver, your draw. Peg 1.7 yd in from the right marker. Set up at the right edge of the far bunker, 9 yd right of centre; it starts there and bends 16 yd back.",
        left_hander: false,
        carries: vec![
            (
                "right bunker",
                "bunker",
                [28.0, 217.0],
                [33.0, 240.0],
                0.052,
            ),
            (
                "far right bunker",
                "bunker",
                [22.0, 247.0],
                [26.0, 265.0],
                0.021,
            ),
            (
                "left bunker",
                "bunker",
                [-22.0, 200.0],
                [-25.0, 217.0],
                0.01,
            ),
            (
                "creek",
                "penalty_area",
                [-38.0, 247.0],
                [-62.0, 276.0],
                0.038,
            ),
            (
                "out of bounds right",
                "out_of_bounds",
                [62.0, 110.0],
                [60.0, 290.0],
                0.012,
            ),
            ("left wood", "trees", [-30.0, 100.0], [-58.0, 224.0], 0.047),
        ],
        width: Some(([-12.0, 214.0], [24.0, 216.0])),
        pin: [-94.0, 341.0],
        par: 4,
        reference: "7",
        name: "Long Shadow",
        unit: "yd",
        wind: (5.4, 290.0),
    };
    (s, call)
}

fn par_three() -> (Sketch, Call) {
    let mut s = Sketch::new(201.0, false);
    s.way = [[0.0, -1.0], [4.0, 152.0]]
        .iter()
        .map(|&p| s.at(p))
        .collect();
    s.patch(
        Surface::Trees,
        &[
            [30.0, 60.0],
            [42.0, 110.0],
            [52.0, 190.0],
            [120.0, 180.0],
            [90.0, 50.0],
            [30.0, 60.0],
        ],
        false,
    );
    s.ribbon(
        Surface::PenaltyYellow,
        &[
            [-60.0, 108.0, 22.0],
            [-18.0, 112.0, 20.0],
            [16.0, 118.0, 17.0],
            [40.0, 132.0, 12.0],
        ],
    );
    s.blob(Surface::Fairway, [2.0, 136.0], [17.0, 7.0], 5.0);
    s.blob(Surface::Green, [3.0, 155.0], [14.0, 15.0], 20.0);
    s.blob(Surface::Bunker, [-15.0, 146.0], [5.0, 7.0], 30.0);
    s.blob(Surface::Bunker, [22.0, 158.0], [4.0, 9.0], 5.0);
    s.blob(Surface::Bunker, [4.0, 177.0], [9.0, 3.5], 0.0);
    s.patch(
        Surface::Tee,
        &[
            [-7.0, -9.0],
            [7.0, -9.0],
            [7.0, 2.0],
            [-7.0, 2.0],
            [-7.0, -9.0],
        ],
        true,
    );
    let call = Call {
        club: "6-iron",
        shape: "fade",
        peg: [-1.8, -0.4],
        marker: 5.2,
        target: [-5.0, 154.0],
        words: "paces 6 in from the left edge of the green",
        start_deg: 0.2,
        curve_m: 6.0,
        landing: [-0.5, 149.0],
        rest: [0.5, 153.0],
        spread: [14.0, 13.0],
        finish: finish([0.02, 0.18, 0.14, 0.58, 0.01, 0.07, 0.0]),
        window: [-0.9, 0.8],
        sentence: "6-iron, your fade. Peg 0.8 m in from the left marker. Set up 6 m inside the left edge of the green; it starts there and bends 6 m back to the middle.",
        left_hander: true,
        carries: vec![
            (
                "water in front",
                "penalty_area",
                [1.0, 104.0],
                [1.0, 126.0],
                0.07,
            ),
            (
                "left bunker",
                "bunker",
                [-14.0, 139.0],
                [-16.0, 153.0],
                0.08,
            ),
            ("right bunker", "bunker", [21.0, 149.0], [23.0, 168.0], 0.03),
            ("back bunker", "bunker", [4.0, 173.0], [4.0, 181.0], 0.03),
        ],
        width: None,
        pin: [6.0, 157.0],
        par: 3,
        reference: "12",
        name: "Heron",
        unit: "m",
        wind: (3.1, 120.0),
    };
    (s, call)
}

fn par_five() -> (Sketch, Call) {
    let mut s = Sketch::new(330.0, false);
    s.way = [[0.0, -1.0], [-6.0, 225.0], [40.0, 380.0], [28.0, 492.0]]
        .iter()
        .map(|&p| s.at(p))
        .collect();
    s.patch(
        Surface::OutOfBounds,
        &[
            [-60.0, -20.0],
            [-56.0, 200.0],
            [-30.0, 380.0],
            [-40.0, 540.0],
            [-300.0, 540.0],
            [-300.0, -20.0],
            [-60.0, -20.0],
        ],
        false,
    );
    s.patch(
        Surface::Trees,
        &[
            [34.0, 70.0],
            [36.0, 150.0],
            [40.0, 230.0],
            [70.0, 300.0],
            [96.0, 420.0],
            [220.0, 420.0],
            [200.0, 60.0],
            [34.0, 70.0],
        ],
        false,
    );
    s.ribbon(
        Surface::Fairway,
        &[
            [-2.0, 120.0, 28.0],
            [-7.0, 180.0, 38.0],
            [-4.0, 235.0, 40.0],
            [6.0, 276.0, 30.0],
        ],
    );
    s.ribbon(
        Surface::Fairway,
        &[
            [24.0, 330.0, 26.0],
            [38.0, 372.0, 36.0],
            [40.0, 420.0, 33.0],
            [34.0, 466.0, 24.0],
        ],
    );
    s.ribbon(
        Surface::PenaltyRed,
        &[
            [-70.0, 312.0, 22.0],
            [-20.0, 306.0, 24.0],
            [20.0, 302.0, 18.0],
            [90.0, 300.0, 15.0],
        ],
    );
    s.blob(Surface::Green, [28.0, 494.0], [13.0, 18.0], 0.0);
    s.blob(Surface::Bunker, [-30.0, 236.0], [5.0, 12.0], 8.0);
    s.blob(Surface::Bunker, [22.0, 214.0], [5.0, 9.0], -8.0);
    s.blob(Surface::Bunker, [10.0, 488.0], [4.0, 9.0], 8.0);
    s.blob(Surface::Bunker, [46.0, 484.0], [4.0, 9.0], 8.0);
    s.blob(Surface::Tee, [0.0, -5.0], [6.0, 8.0], 0.0);
    let call = Call {
        club: "driver",
        shape: "fade",
        peg: [-2.9, -2.0],
        marker: 8.2,
        target: [-20.0, 420.0],
        words: "the tall dead pine behind the second fairway, left of the chimney",
        start_deg: 1.0,
        curve_m: 11.0,
        landing: [-4.0, 221.0],
        rest: [-1.0, 243.0],
        spread: [26.0, 25.0],
        finish: finish([0.56, 0.25, 0.08, 0.0, 0.06, 0.004, 0.046]),
        window: [-0.4, 1.9],
        sentence: "Driver, your fade. Peg 1.3 yd in from the left marker, all the way back. Set up at the tall dead pine, 12 yd left of centre; it starts 4 yd inside that and bends 12 yd right.",
        left_hander: false,
        carries: vec![
            (
                "left bunker",
                "bunker",
                [-30.0, 224.0],
                [-31.0, 248.0],
                0.05,
            ),
            ("right bunker", "bunker", [22.0, 205.0], [23.0, 223.0], 0.03),
            ("burn", "penalty_area", [-4.0, 294.0], [-4.0, 318.0], 0.004),
            (
                "out of bounds left",
                "out_of_bounds",
                [-58.0, 100.0],
                [-40.0, 330.0],
                0.046,
            ),
            ("wood right", "trees", [34.0, 75.0], [70.0, 300.0], 0.06),
        ],
        width: Some(([-25.0, 222.0], [15.0, 220.0])),
        pin: [27.0, 497.0],
        par: 5,
        reference: "18",
        name: "Home",
        unit: "yd",
        wind: (7.5, 10.0),
    };
    (s, call)
}

fn draw(name: &str, sketch: &Sketch, plan: &Plan) -> (String, Layout) {
    let (svg, layout) = compose(plan, &sketch.land());
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.svg"));
    std::fs::write(path, &svg).expect("target/tmp can be written");
    (svg, layout)
}

/// Every text inside the page, none on another, none missing.
fn assert_clean(name: &str, layout: &Layout) {
    for (i, a) in layout.texts.iter().enumerate() {
        assert!(
            layout.page.grown(-35.0).encloses(&a.area),
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

fn pages() -> Vec<(&'static str, Sketch, Plan)> {
    let mut out = Vec::new();
    for (name, (sketch, call)) in [
        ("dogleg", dogleg(false)),
        ("dogleg-mirrored", dogleg(true)),
        ("par-three", par_three()),
        ("par-five", par_five()),
    ] {
        let plan = sketch.plan(&call);
        out.push((name, sketch, plan));
    }
    out
}

#[test]
fn no_text_lies_on_another_and_none_leaves_the_page() {
    let drawn: Vec<_> = pages()
        .iter()
        .map(|(name, sketch, plan)| (*name, draw(name, sketch, plan).1))
        .collect();
    for (name, layout) in drawn {
        assert_clean(name, &layout);
    }
}

/// XML 1.0 and the size on paper; text content comes back unescaped.
#[test]
fn a_page_is_a_whole_xml_document_of_pocket_size_without_outside_resources() {
    for (name, sketch, plan) in pages() {
        let (svg, layout) = compose(&plan, &sketch.land());
        let document = roxmltree::Document::parse(&svg).expect(name);
        let root = document.root_element();
        assert_eq!(root.attribute("width"), Some("108mm"));
        assert_eq!(root.attribute("height"), Some("178mm"));
        assert_eq!(root.attribute("viewBox"), Some("0 0 1080 1780"));
        for node in document.descendants().filter(|n| n.is_element()) {
            let tag = node.tag_name().name();
            assert!(
                [
                    "svg", "title", "defs", "clipPath", "path", "g", "circle", "text", "tspan"
                ]
                .contains(&tag),
                "{name}: <{tag}>"
            );
            for attribute in node.attributes() {
                let value = attribute.value();
                assert!(
                    !value.contains("http") && !value.contains("NaN") && !value.contains("inf"),
                    "{name}: {value}"
                );
                assert!(
                    !value.contains("url(") || value.starts_with("url(#cut-"),
                    "{name}: {value}"
                );
            }
        }
        // What the layout knows is what the page says.
        let mut written: Vec<String> = document
            .descendants()
            .filter(|n| n.has_tag_name("text"))
            .map(|n| {
                n.descendants()
                    .filter_map(|d| if d.is_text() { d.text() } else { None })
                    .collect::<Vec<_>>()
                    .join(" ")
            })
            .collect();
        let mut known: Vec<String> = layout.texts.iter().map(|t| t.words.clone()).collect();
        written.sort();
        known.sort();
        assert_eq!(written, known, "{name}");
    }
}

/// Karney's geodesic (geographiclib-rs) between peg and pin, and their
/// distance on paper times the stated scale, agree to a centimetre.
#[test]
fn the_map_is_true_to_its_stated_scale() {
    use geographiclib_rs::{Geodesic, InverseGeodesic};
    for (name, sketch, plan) in pages() {
        let (svg, layout) = compose(&plan, &sketch.land());
        let document = roxmltree::Document::parse(&svg).expect(name);
        let circle = |id: &str| -> [f64; 2] {
            let node = document
                .descendants()
                .find(|n| n.attribute("id") == Some(id))
                .unwrap_or_else(|| panic!("{name}: no {id}"));
            ["cx", "cy"].map(|key| node.attribute(key).unwrap_or_default().parse().expect(key))
        };
        let (peg, pin, target) = (circle("peg"), circle("pin"), circle("target"));
        let shot = &plan.choice.shot;
        let on_earth = |lon: f64, lat: f64| -> f64 {
            Geodesic::wgs84().inverse(shot.tee.lat, shot.tee.lon, lat, lon)
        };
        for (at, to) in [
            (pin, on_earth(plan.hole.pin.lon, plan.hole.pin.lat)),
            (target, on_earth(shot.aim.lon, shot.aim.lat)),
        ] {
            let paper_m = (at[0] - peg[0]).hypot(at[1] - peg[1]) / 10_000.0 * layout.scale;
            // Coordinates on paper are rounded to 0.001 mm: 1 cm at 1:10 000.
            assert!(
                (paper_m - to).abs() < 0.01,
                "{name}: {paper_m} m on paper, {to} m on earth"
            );
        }
        assert!(
            layout
                .texts
                .iter()
                .any(|t| t.words.ends_with(&format!("1:{:.0}", layout.scale))),
            "{name}: the scale is not stated"
        );
        // Tee at the bottom, green straight above it.
        assert!(
            (peg[0] - pin[0]).abs() < 0.05 && peg[1] > pin[1] + 400.0,
            "{name}"
        );
    }
}

/// resvg (an independent renderer) draws every page, and ink lands where the
/// layout says that text stands.
#[test]
fn resvg_draws_the_page_and_no_text_is_wider_than_its_box() {
    use resvg::{tiny_skia, usvg};
    let mut options = usvg::Options::default();
    options.fontdb_mut().load_system_fonts();
    for (name, sketch, plan) in pages() {
        let (svg, layout) = compose(&plan, &sketch.land());
        let tree = usvg::Tree::from_str(&svg, &options).expect(name);
        let mut pixmap = tiny_skia::Pixmap::new(638, 1051).expect("a picture");
        let zoom = 638.0 / tree.size().width();
        resvg::render(
            &tree,
            tiny_skia::Transform::from_scale(zoom, zoom),
            &mut pixmap.as_mut(),
        );
        let dark = |area: &bendline::draw::frame::Area| {
            let px = |v: f64| (v * 638.0 / 1080.0) as u32;
            let mut found = false;
            for y in px(area.top)..px(area.bottom) {
                for x in px(area.left)..px(area.right) {
                    let p = pixmap.pixel(x.min(637), y.min(1050)).expect("inside");
                    found |= u32::from(p.red()) + u32::from(p.green()) < 420;
                }
            }
            found
        };
        if options.fontdb.is_empty() {
            continue;
        }
        for text in &layout.texts {
            assert!(
                dark(&text.area),
                "{name}: nothing drawn for \"{}\"",
                text.words
            );
        }
        // The outer 3 mm stay white.
        for x in 0..638_u32 {
            for y in 0..1051_u32 {
                if (18..620).contains(&x) && (18..1033).contains(&y) {
                    continue;
                }
                let p = pixmap.pixel(x, y).expect("inside");
                assert_eq!(
                    [p.red(), p.green(), p.blue()],
                    [255; 3],
                    "{name}: ink at {x}, {y}"
                );
            }
        }
    }
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    for (name, sketch, plan) in pages() {
        assert_eq!(
            compose(&plan, &sketch.land()).0,
            compose(&plan, &sketch.land()).0,
            "{name}"
        );
    }
}

/// Markup, control characters, turned reading direction, and names without end.
#[test]
fn hostile_names_are_text_and_stay_in_their_place() {
    let long = "Endless ".repeat(900);
    let solid = "W".repeat(5_000);
    for hostile in [
        "<script>alert('x')</script>",
        "]]><svg onload=\"x\">&amp;&#0;",
        "a\u{0}b\u{1b}[31mc\u{202e}d\u{feff}e\u{ffff}\r\nf",
        "\u{1f3cc}\u{fe0f} 日本語の名前 עברית العربية",
        "",
        " ",
        long.as_str(),
        solid.as_str(),
    ] {
        let (sketch, call) = dogleg(false);
        let mut plan = sketch.plan(&call);
        let put = |s: &mut String| s.replace_range(.., hostile);
        put(&mut plan.hole.reference);
        plan.hole.name = Some(hostile.to_owned());
        plan.hole.tee_colour = Some(hostile.to_owned());
        put(&mut plan.player.name);
        put(&mut plan.choice.shot.club);
        put(&mut plan.choice.shot.shape);
        put(&mut plan.choice.shot.aim.words);
        put(&mut plan.words.sentence);
        put(&mut plan.conditions.firmness);
        plan.carries.iter_mut().for_each(|c| put(&mut c.words));
        plan.alternatives
            .iter_mut()
            .for_each(|a| put(&mut a.shot.club));
        plan.comparisons.iter_mut().for_each(|c| put(&mut c.name));
        plan.cautions = vec![hostile.to_owned()];
        let (svg, layout) = compose(&plan, &sketch.land());
        let document = roxmltree::Document::parse(&svg).expect("well-formed XML");
        assert!(document.descendants().all(|n| !n.has_tag_name("script")));
        assert_eq!(
            document
                .descendants()
                .filter(|n| n.has_tag_name("svg"))
                .count(),
            1
        );
        assert!(
            !svg.chars()
                .any(|c| (c.is_control() && c != '\n') || c == '\u{202e}')
        );
        assert!(svg.len() < 400_000, "{} bytes", svg.len());
        assert_clean(&hostile.chars().take(12).collect::<String>(), &layout);
    }
}

/// Numbers that are not numbers, places that are not on the earth, lists with
/// nothing in them: a page all the same, and never a panic.
#[test]
fn broken_numbers_draw_a_page() {
    for bad in [
        f64::NAN,
        f64::INFINITY,
        -f64::INFINITY,
        1e308,
        -1e308,
        0.0,
        -0.0,
    ] {
        for field in 0..12 {
            let (sketch, call) = dogleg(false);
            let mut plan = sketch.plan(&call);
            let shot = &mut plan.choice.shot;
            match field {
                0 => shot.tee.lon = bad,
                1 => shot.aim.bearing_deg = bad,
                2 => shot.aim.distance_m = bad,
                3 => shot.total_m = bad,
                4 => plan.choice.aim_window_deg = [bad, -bad],
                5 => plan.hole.pin.lat = bad,
                6 => plan.hole.teeing_width_m = bad,
                7 => plan.carries.iter_mut().for_each(|c| c.reach.lon = bad),
                8 => plan.finishes.flight.iter_mut().for_each(|p| p.lat = bad),
                9 => plan.conditions.wind_m_s = bad,
                10 => shot.finish.rough = bad,
                _ => {
                    shot.expected_strokes = bad;
                    shot.tee.from_left_marker_m = bad;
                    shot.tee.behind_front_m = bad;
                    plan.hole.markers[0].lon = bad;
                    plan.hole.length_m = bad;
                }
            }
            let (svg, _) = compose(&plan, &sketch.land());
            roxmltree::Document::parse(&svg).expect("well-formed XML");
            assert!(
                !svg.contains("NaN") && !svg.contains("\"inf"),
                "field {field}, {bad}"
            );
        }
    }
    let (sketch, call) = dogleg(false);
    let mut plan = sketch.plan(&call);
    plan.carries.clear();
    plan.widths.clear();
    plan.alternatives.clear();
    plan.comparisons.clear();
    plan.finishes.half.clear();
    plan.finishes.ninety.clear();
    plan.finishes.balls.clear();
    plan.finishes.flight.clear();
    plan.finishes.flight_airborne = 99;
    let empty = Land {
        patches: &[],
        trees: &[],
        line_of_play: &[],
        origin_lon_lat: ORIGIN,
    };
    let (svg, layout) = compose(&plan, &empty);
    roxmltree::Document::parse(&svg).expect("well-formed XML");
    assert_clean("empty", &layout);
}

/// Numbers that look random: a linear congruential generator (Knuth's MMIX
/// constants; memory).
struct Dice(u64);

impl Dice {
    fn share(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[(self.share() * from.len() as f64) as usize % from.len()]
    }
}

/// Where one is after a distance along a way, and the direction there.
fn along(way: &[[f64; 2]], distance: f64) -> ([f64; 2], [f64; 2]) {
    let mut left = distance;
    let mut last = (way[0], [0.0, 1.0]);
    for w in way.windows(2) {
        let long = (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]).max(1e-9);
        let d = [(w[1][0] - w[0][0]) / long, (w[1][1] - w[0][1]) / long];
        if left <= long {
            return ([w[0][0] + d[0] * left, w[0][1] + d[1] * left], d);
        }
        left -= long;
        last = (w[1], d);
    }
    last
}

/// A shot of some kind down a way, with a carry for each hazard beside it.
fn some_call(sketch: &Sketch, way: &[[f64; 2]], dice: &mut Dice) -> Call {
    let length: f64 = way
        .windows(2)
        .map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]))
        .sum();
    let total = if length < 230.0 {
        length + dice.between(-9.0, 5.0)
    } else {
        dice.between(170.0, 262.0)
    };
    let beside = |distance: f64, off: f64| {
        let (p, d) = along(way, distance);
        [p[0] + d[1] * off, p[1] - d[0] * off]
    };
    let off = dice.between(-9.0, 9.0);
    let rest = beside(total, off);
    let landing = beside(total - dice.between(2.0, 24.0), off * 0.9);
    let marker = dice.between(4.0, 11.0);
    let peg_x = dice.between(-0.5, 0.5) * (marker - 0.3);
    let mut carries = Vec::new();
    const WORDS: [&str; 6] = [
        "right bunker",
        "second fairway bunker on the left",
        "Old Mill Pond",
        "trees on the right",
        "burn",
        "the long dyke behind the barn",
    ];
    for (surface, points) in &sketch.raw {
        let kind = match surface {
            Surface::Bunker => "bunker",
            Surface::Trees => "trees",
            Surface::PenaltyRed | Surface::PenaltyYellow => "penalty_area",
            Surface::OutOfBounds => "out_of_bounds",
            _ => continue,
        };
        let far = |p: &[f64; 2]| (p[0] - peg_x).hypot(p[1]);
        let close: Vec<[f64; 2]> = points
            .iter()
            .copied()
            .filter(|p| (p[0] - rest[0]).hypot(p[1] - rest[1]) < 110.0)
            .collect();
        let near = close
            .iter()
            .copied()
            .min_by(|a, b| far(a).total_cmp(&far(b)));
        let away = close
            .iter()
            .copied()
            .max_by(|a, b| far(a).total_cmp(&far(b)));
        if let (Some(near), Some(away)) = (near, away) {
            carries.push((dice.pick(&WORDS), kind, near, away, dice.between(0.0, 0.12)));
        }
    }
    let mut shares = [0.0; 7].map(|_: f64| dice.share());
    let sum: f64 = shares.iter().sum();
    shares = shares.map(|s| s / sum);
    let sides = [dice.between(-3.0, -0.3), dice.between(0.3, 3.0)];
    let target = beside(
        (total + dice.between(-30.0, 90.0)).min(length),
        dice.between(-24.0, 24.0),
    );
    Call {
        club: dice.pick(&[
            "driver",
            "3w",
            "5-hybrid",
            "7i",
            "mini driver of my own make",
        ]),
        shape: dice.pick(&["draw", "fade", "stock", "low straight one"]),
        peg: [peg_x, -dice.between(0.1, 2.2)],
        marker,
        target,
        words: dice.pick(&[
            "the pin",
            "the right edge of the second fairway bunker on the left",
            "7 paces inside the left edge of the fairway",
        ]),
        start_deg: dice.between(-3.0, 3.0),
        curve_m: dice.between(-45.0, 45.0),
        landing,
        rest,
        spread: [dice.between(8.0, 34.0), dice.between(8.0, 30.0)],
        finish: finish(shares),
        window: sides,
        sentence: "Driver, your draw. Peg 2.3 yd in from the right marker. Set up 3 yd right of the right edge of the second greenside bunker on the right, 14 yd right of centre; it starts 12 yd right of that, bends 32 yd back and finishes 1 yd left of centre.",
        left_hander: dice.share() < 0.3,
        carries,
        width: (length > 230.0).then(|| {
            (
                beside(total - 10.0, -dice.between(9.0, 22.0)),
                beside(total - 10.0, dice.between(9.0, 22.0)),
            )
        }),
        pin: way[way.len() - 1],
        par: if length < 230.0 {
            3
        } else if length < 440.0 {
            4
        } else {
            5
        },
        reference: dice.pick(&["1", "9", "18", "B7"]),
        name: dice.pick(&["Home", "The Long Walk to the Lighthouse", ""]),
        unit: dice.pick(&["yd", "m"]),
        wind: (dice.between(0.0, 9.0), dice.between(0.0, 360.0)),
    }
}

/// A hole of some kind.
fn some_hole(dice: &mut Dice) -> (Sketch, Call) {
    let mut s = Sketch::new(dice.between(0.0, 360.0), dice.share() < 0.5);
    let length = dice.pick(&[
        120.0, 160.0, 195.0, 290.0, 350.0, 390.0, 430.0, 490.0, 540.0,
    ]) + dice.between(-10.0, 10.0);
    let bend = dice.between(-110.0, 110.0);
    let corner = length * dice.between(0.45, 0.7);
    let way = if length < 230.0 {
        vec![[0.0, 0.0], [dice.between(-5.0, 5.0), length]]
    } else {
        vec![
            [0.0, 0.0],
            [dice.between(-20.0, 20.0), corner],
            [bend, length - bend.abs() * 0.3],
        ]
    };
    s.way = way.iter().map(|&p| s.at(p)).collect();
    let whole: f64 = way
        .windows(2)
        .map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]))
        .sum();
    let beside = |distance: f64, off: f64| {
        let (p, d) = along(&way, distance);
        [p[0] + d[1] * off, p[1] - d[0] * off]
    };
    if dice.share() < 0.4 {
        let off = dice.between(30.0, 60.0);
        let side = if dice.share() < 0.5 { -1.0 } else { 1.0 };
        let mut ring: Vec<[f64; 2]> = (0..=20)
            .map(|k| beside(whole * f64::from(k) / 20.0, side * off))
            .collect();
        ring.extend([[side * 900.0, length], [side * 900.0, 0.0]]);
        ring.push(ring[0]);
        s.patch(Surface::OutOfBounds, &ring, dice.share() < 0.3);
    }
    for side in [-1.0, 1.0] {
        if dice.share() < 0.6 {
            let (low, high) = (dice.between(22.0, 45.0), dice.between(50.0, 160.0));
            let (from, to) = (
                whole * dice.between(0.05, 0.4),
                whole * dice.between(0.5, 0.95),
            );
            let mut ring: Vec<[f64; 2]> = (0..=12)
                .map(|k| beside(from + (to - from) * f64::from(k) / 12.0, side * low))
                .collect();
            ring.extend([beside(to, side * high), beside(from, side * high)]);
            ring.push(ring[0]);
            s.patch(Surface::Trees, &ring, dice.share() < 0.2);
        }
    }
    if length > 230.0 {
        let stations: Vec<[f64; 3]> = (0..6)
            .map(|k| {
                let p = beside(120.0 + (whole - 150.0) * f64::from(k) / 5.0, 0.0);
                [p[0], p[1], dice.between(22.0, 42.0)]
            })
            .collect();
        s.ribbon(Surface::Fairway, &stations);
    }
    if dice.share() < 0.5 {
        let at = whole * dice.between(0.3, 0.8);
        let kind = if dice.share() < 0.5 {
            Surface::PenaltyRed
        } else {
            Surface::PenaltyYellow
        };
        let a = beside(at, -70.0);
        let b = beside(at + dice.between(-30.0, 30.0), dice.between(-10.0, 80.0));
        let m = [(a[0] + b[0]) / 2.0 + 5.0, (a[1] + b[1]) / 2.0];
        s.ribbon(
            kind,
            &[[a[0], a[1], 14.0], [m[0], m[1], 18.0], [b[0], b[1], 12.0]],
        );
    }
    s.blob(
        Surface::Green,
        way[way.len() - 1],
        [dice.between(9.0, 17.0), dice.between(9.0, 17.0)],
        dice.between(0.0, 90.0),
    );
    for _ in 0..(dice.share() * 10.0) as usize {
        let distance = whole * dice.between(0.45, 1.05);
        let off = dice.pick(&[-1.0, 1.0]) * dice.between(12.0, 30.0);
        s.blob(
            Surface::Bunker,
            beside(distance, off),
            [dice.between(3.0, 6.0), dice.between(4.0, 12.0)],
            dice.between(0.0, 180.0),
        );
    }
    for _ in 0..(dice.share() * 12.0) as usize {
        let at = beside(
            whole * dice.share(),
            dice.pick(&[-1.0, 1.0]) * dice.between(18.0, 50.0),
        );
        s.tree(at, dice.between(5.0, 14.0));
    }
    let call = some_call(&s, &way, dice);
    (s, call)
}

#[test]
fn two_hundred_generated_holes_are_clean_and_miss_nothing() {
    let mut dice = Dice(20_231_109);
    for k in 0..200 {
        let (sketch, call) = some_hole(&mut dice);
        let plan = sketch.plan(&call);
        let (svg, layout) = compose(&plan, &sketch.land());
        if k < 12 {
            let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"))
                .join(format!("generated-{k}.svg"));
            std::fs::write(path, &svg).expect("target/tmp can be written");
        }
        roxmltree::Document::parse(&svg).expect("well-formed XML");
        assert_clean(&format!("generated {k}"), &layout);
    }
}

/// The demo holes as they are read from their files, with a made-up shot.
#[test]
fn every_demo_hole_is_clean() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("holes");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("holes/")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "geojson"))
        .collect();
    files.sort();
    assert!(files.len() >= 5);
    let mut dice = Dice(4);
    for file in files {
        let name = file.display().to_string();
        let bytes = std::fs::read(&file).expect("readable");
        let course = bendline::hole::read_course(&name, &bytes, None).expect("a sound file");
        for hole in &course.holes {
            let tee = hole.tee(None).expect("a tee");
            // Sketch metres from the middle of the markers, north up.
            let zero = Coord {
                x: (tee.left.x + tee.right.x) / 2.0,
                y: (tee.left.y + tee.right.y) / 2.0,
            };
            let mut way = vec![[0.0, 0.0]];
            way.extend(
                hole.line_of_play
                    .iter()
                    .skip(1)
                    .map(|c| [c.x - zero.x, c.y - zero.y]),
            );
            let mut s = Sketch::new(0.0, false);
            let plane = Plane::new(hole.origin_lon_lat);
            s.plane = Plane::new(plane.to_lon_lat(zero));
            s.origin = hole.origin_lon_lat;
            s.way = hole.line_of_play.clone();
            for patch in &hole.patches {
                let points: Vec<[f64; 2]> = patch
                    .outline
                    .exterior()
                    .0
                    .iter()
                    .map(|c| [c.x - zero.x, c.y - zero.y])
                    .collect();
                s.raw.push((patch.surface, points));
            }
            s.raw.truncate(40);
            let call = some_call(&s, &way, &mut dice);
            let mut plan = s.plan(&call);
            plan.hole.markers = [tee.left, tee.right].map(|c| {
                let [lon, lat] = plane.to_lon_lat(c);
                LonLat { lon, lat }
            });
            let (svg, layout) = bendline::draw::page::page_and_layout(&plan, hole);
            let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"))
                .join(format!("demo-{}.svg", hole.reference));
            std::fs::write(path, &svg).expect("target/tmp can be written");
            assert_eq!(svg, bendline::draw::page::page(&plan, hole));
            assert_clean(&format!("{name} {}", hole.reference), &layout);
        }
    }
}
