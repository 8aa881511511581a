//! A plan assembled on a hole laid out by hand, against the layout's own
//! numbers; its schema; its mirror image.

use bendline::hole::plane::Plane;
use bendline::hole::{Coord, Hole, Surface, TeeingArea, read_course};
use bendline::outcome::{Rest, TeeShot};
use bendline::plan::{self, Conditions, Finish, LonLat, Plan};
use bendline::player::{Basis, ClubShape, Handedness, LaunchModel, Player};
use bendline::report;
use bendline::sample::{normal_quantile, points};
use bendline::strategy::{Decision, Priced};
use bendline::units::{LengthUnit, YARD_M};

/// The layout's plane: the middle of the front of the tee at the origin.
const TEE: [f64; 2] = [0.0, 52.0];
/// Balls of the chosen shot.
const BALLS: usize = 2048;

/// A hole due north, drawn in metres from the tee, `side` = −1 for its mirror
/// image: a fairway from 18 m left to 18 m right, water 12 m wide across it at
/// 120 m, a near bunker on the left at 190 m, a far bunker on the right at 250 m,
/// out of bounds from 45 m right.
struct Layout {
    side: f64,
    plane: Plane,
}

impl Layout {
    fn new(side: f64) -> Self {
        Self {
            side,
            plane: Plane::new(TEE),
        }
    }

    fn position(&self, x: f64, y: f64) -> String {
        let [lon, lat] = self.plane.to_lon_lat(Coord {
            x: self.side * x,
            y,
        });
        format!("[{lon:.10},{lat:.10}]")
    }

    fn area(&self, tags: &str, id: &str, x: [f64; 2], y: [f64; 2]) -> String {
        let corners = [
            (x[0], y[0]),
            (x[1], y[0]),
            (x[1], y[1]),
            (x[0], y[1]),
            (x[0], y[0]),
        ]
        .map(|(x, y)| self.position(x, y))
        .join(",");
        format!(
            r#"{{"type":"Feature","id":"{id}","properties":{{{tags}}},
            "geometry":{{"type":"Polygon","coordinates":[[{corners}]]}}}}"#
        )
    }

    fn point(&self, tags: &str, id: &str, x: f64, y: f64) -> String {
        format!(
            r#"{{"type":"Feature","id":"{id}","properties":{{{tags}}},
            "geometry":{{"type":"Point","coordinates":{}}}}}"#,
            self.position(x, y)
        )
    }

    fn geojson(&self, par: u8) -> String {
        let features = [
            format!(
                r#"{{"type":"Feature","id":"hole","properties":{{"golf":"hole","ref":"7",
                "par":"{par}","name":"Plain"}},
                "geometry":{{"type":"LineString","coordinates":[{},{}]}}}}"#,
                self.position(0.0, 0.0),
                self.position(0.0, 380.0)
            ),
            self.area(
                r#""golf":"tee","tee":"white""#,
                "tee",
                [-6.0, 6.0],
                [-8.0, 2.0],
            ),
            self.point(r#""bendline":"tee_marker","tee":"white""#, "m1", -4.0, 0.0),
            self.point(r#""bendline":"tee_marker","tee":"white""#, "m2", 4.0, 0.0),
            self.area(
                r#""golf":"fairway""#,
                "fairway",
                [-18.0, 18.0],
                [100.0, 360.0],
            ),
            self.area(r#""golf":"green""#, "green", [-12.0, 12.0], [368.0, 392.0]),
            self.point(r#""golf":"pin""#, "pin", 0.0, 380.0),
            self.area(
                r#""golf":"lateral_water_hazard""#,
                "water",
                [-60.0, 60.0],
                [120.0, 132.0],
            ),
            self.area(r#""golf":"bunker""#, "near", [-30.0, -20.0], [190.0, 200.0]),
            self.area(r#""golf":"bunker""#, "far", [1.0, 9.8], [250.0, 260.0]),
            self.area(
                r#""golf":"out_of_bounds""#,
                "bounds",
                [45.0, 90.0],
                [-50.0, 450.0],
            ),
        ];
        format!(
            r#"{{"type":"FeatureCollection","features":[{}]}}"#,
            features.join(",")
        )
    }

    fn hole(&self, par: u8) -> Hole {
        let mut course = read_course("plain.geojson", self.geojson(par).as_bytes(), None)
            .unwrap_or_else(|problems| panic!("{problems}"));
        assert!(course.broken.is_empty(), "{:?}", course.broken);
        course.holes.remove(0)
    }

    /// A place of the layout on the hole's own plane.
    fn on(&self, own: &Plane, x: f64, y: f64) -> Coord<f64> {
        let [lon, lat] = self.plane.to_lon_lat(Coord {
            x: self.side * x,
            y,
        });
        own.to_plane(lon, lat)
    }

    /// Balls that start 0.5° right of an aim of `aim_deg` from `peg_x` and bend
    /// 12 m left, spread 12 m to the sides and 9 m along.
    fn priced(&self, hole: &Hole, club: usize, peg_x: f64, aim_deg: f64, costs: f64) -> Priced {
        let carry_m = 215.0;
        let own = Plane::new(hole.origin_lon_lat);
        let mut finish = [0_u32; 3];
        let rests: Vec<Rest> = points(3, BALLS)
            .iter()
            .map(|p| {
                let right = 12.0 * normal_quantile(p[0]);
                let along = 232.0 + 9.0 * normal_quantile(p[1]);
                let aim = (aim_deg + 0.5).to_radians();
                let ball = |d: f64, r: f64| {
                    (
                        peg_x + d * aim.sin() + r * aim.cos(),
                        d * aim.cos() - r * aim.sin(),
                    )
                };
                let (x, y) = ball(along, right - 12.0);
                let (u, v) = ball(along - 17.0, 0.9 * right - 11.0);
                let at = self.on(&own, x, y);
                let surface = hole.surface_at(at);
                finish[match surface {
                    Surface::Fairway => 0,
                    Surface::Bunker => 1,
                    _ => 2,
                }] += 1;
                Rest {
                    at,
                    surface,
                    crossed: None,
                    landed: self.on(&own, u, v),
                    curve_m: self.side * (right - 12.0),
                    start_deg: self.side * 0.5,
                }
            })
            .collect();
        let share = |i: usize| f64::from(finish[i]) / BALLS as f64;
        Priced {
            shot: TeeShot {
                club,
                from_left_m: 4.0 + self.side * peg_x,
                behind_front_m: 0.0,
                aim_deg: (self.side * aim_deg).rem_euclid(360.0),
            },
            peg: self.on(&own, peg_x, 0.0),
            strokes: 4.2 + costs,
            standard_error: 0.01,
            costs,
            costs_standard_error: 0.004,
            rests,
            finish: Finish {
                fairway: share(0),
                bunker: share(1),
                rough: share(2),
                ..Finish::default()
            },
            carry_m,
        }
    }

    fn decision(&self, hole: &Hole) -> Decision {
        let own = Plane::new(hole.origin_lon_lat);
        let choice = self.priced(hole, 0, -2.6, 2.7, 0.0);
        let flight = (0..=58)
            .map(|k| {
                let d = f64::from(k) * 4.0;
                let aim = 3.2_f64.to_radians();
                let bend = -12.0 * (d / 232.0).powi(2);
                let at = self.on(
                    &own,
                    -2.6 + d * aim.sin() + bend * aim.cos(),
                    d * aim.cos() - bend * aim.sin(),
                );
                [at.x, at.y, (d * (215.0 - d) / 400.0).max(0.0)]
            })
            .collect();
        let aim = choice.shot.aim_deg;
        let mut window = [aim - 1.0, aim + 1.5];
        if self.side < 0.0 {
            window = [aim - 1.5, aim + 1.0];
        }
        Decision {
            alternatives: vec![
                self.priced(hole, 1, -2.6, 2.0, 0.004),
                self.priced(hole, 2, 0.0, 1.0, 0.06),
            ],
            comparisons: vec![
                (
                    "down the middle".into(),
                    self.priced(hole, 0, -2.6, 0.0, 0.11),
                ),
                (
                    "half-gap rule".into(),
                    self.priced(hole, 0, -2.6, 2.4, 0.003),
                ),
            ],
            choice,
            aim_window_deg: window,
            flight,
            flight_airborne: 54,
        }
    }

    fn player(&self) -> Player {
        let club = |club: &str, shape: &str| ClubShape {
            club: club.into(),
            shape: shape.into(),
            launches: LaunchModel {
                handedness: if self.side > 0.0 {
                    Handedness::Right
                } else {
                    Handedness::Left
                },
                centre: [67.0, 12.0, 0.5, 2500.0, -6.0],
                scale: [[0.0; 5]; 5],
                dof: 5.0,
                mishit_share: 0.02,
            },
            shots: 40,
            basis: Basis::FullLaunch,
            carry_m: 215.0,
        };
        Player {
            name: "Robin Example".into(),
            handedness: if self.side > 0.0 {
                Handedness::Right
            } else {
                Handedness::Left
            },
            handicap: 8.0,
            club_length_m: 1.1684,
            clubs: vec![
                club("driver", "draw"),
                club("driver", "fade"),
                club("3w", "draw"),
            ],
            notes: Vec::new(),
        }
    }

    fn plan(&self, unit: LengthUnit) -> Plan {
        let hole = self.hole(4);
        let tee: &TeeingArea = hole.tee(Some("white")).expect("the layout has a white tee");
        plan::assemble(
            &self.decision(&hole),
            &hole,
            tee,
            &self.player(),
            day(),
            unit,
        )
    }
}

fn day() -> Conditions {
    Conditions {
        wind_m_s: 4.4704,
        wind_from_deg: 240.0,
        temperature_c: 18.0,
        pressure_pa: 101_325.0,
        humidity: 0.6,
        altitude_m: 20.0,
        density_kg_m3: 1.2075,
        firmness: "medium".into(),
        seed: 1,
        balls: BALLS,
    }
}

fn swapped(text: &str) -> String {
    text.replace("left", "·")
        .replace("right", "left")
        .replace('·', "right")
}

/// Aim 2.7° right from 2.6 m left of the middle passes 7.54 m right of centre
/// at 215 m, 8 yd; balls bend 12 m, 13 yd; the mean finish is
/// −2.6 + 232 sin 3.2° − 12 cos 3.2° = −1.63 m, 2 yd left. The right edge of the
/// far bunker is its near corner 9.8 m right at 250 m: 2.84° right of north from
/// the peg, 0.14° right of the aim: on it.
#[test]
fn the_sentence() {
    let plan = Layout::new(1.0).plan(LengthUnit::Yards);
    assert_eq!(
        plan.words.sentence,
        "Driver, your draw. Peg 1.5 yd in from the left marker. Set up at the right edge of \
         the far bunker, 8 yd right of centre; it starts there, bends 13 yd back and \
         finishes 2 yd left of centre."
    );
    let plan = Layout::new(1.0).plan(LengthUnit::Metres);
    assert_eq!(
        plan.words.sentence,
        "Driver, your draw. Peg 1.4 m in from the left marker. Set up at the right edge of \
         the far bunker, 8 m right of centre; it starts there, bends 12 m back and \
         finishes 2 m left of centre."
    );
}

#[test]
fn measurements() {
    let plan = Layout::new(1.0).plan(LengthUnit::Yards);
    let choice = &plan.choice.shot;
    assert!(
        (plan.hole.length_m - 380.0).abs() < 0.02,
        "{}",
        plan.hole.length_m
    );
    assert!((plan.hole.teeing_width_m - 8.0).abs() < 0.01);
    // Two club-lengths of 46 in: Model Local Rule G-10.
    assert!((plan.hole.teeing_depth_m - 2.3368).abs() < 1e-9);
    assert!((choice.aim.from_line_of_play_deg - 2.7).abs() < 0.011);
    assert!((choice.start_line.from_line_of_play_deg - 3.2).abs() < 0.011);
    assert!(
        (choice.aim.right_of_centre_m - (215.0 * 2.7_f64.to_radians().tan() - 2.6)).abs() < 0.1
    );
    assert!((choice.curve_m + 12.0).abs() < 0.05, "{}", choice.curve_m);
    assert!((choice.aim.target_right_deg - 0.14).abs() < 0.011);
    for (got, want) in plan.choice.aim_window_deg.iter().zip([1.7, 4.2]) {
        assert!((got - want).abs() < 0.011, "{got} for {want}");
    }
    // The normal share of balls that bend right: 12 m of 12 m spread, Φ(−1) = 0.1587.
    assert!((plan.choice.two_way_miss.right - 0.1587).abs() < 0.005);
    for width in &plan.widths {
        // Beyond the far bunker's near edge only what is left of it counts.
        assert!((width.width_m - 36.0).abs() < 0.02, "{width:?}");
    }
    let names: Vec<&str> = plan.widths.iter().map(|w| w.place).collect();
    // Balls finish 3 m short of "long": not worth a line of its own.
    assert_eq!(names, ["short", "landing", "long"]);
    let carries: Vec<(&str, i32, i32)> = plan
        .carries
        .iter()
        .map(|c| {
            (
                c.words.as_str(),
                c.reach_m.round() as i32,
                c.clear_m.round() as i32,
            )
        })
        .collect();
    assert_eq!(carries[0], ("water", 120, 132));
    assert_eq!(carries[1].0, "near bunker");
    // The line of the ball bears 3.2° right and bends back: along it a square
    // edge at 250 m is within half a metre of 250 m.
    assert_eq!(carries[2].0, "far bunker");
    assert!(
        (plan.carries[2].reach_m - 250.0).abs() < 1.0,
        "{:?}",
        plan.carries[2]
    );
    let at = |words: &str| plan.carries.iter().find(|c| c.words == words);
    assert!(at("near bunker").is_some_and(|c| c.offset_m < -10.0));
    let bunkers: f64 = plan
        .carries
        .iter()
        .filter(|c| c.kind == "bunker")
        .map(|c| c.share)
        .sum();
    assert!((bunkers - choice.finish.bunker).abs() < 1e-3);
    assert_eq!(plan.choice.ties, ["driver, your fade"]);
    assert_eq!(plan.finishes.balls.len(), 200);
    assert_eq!(
        plan.finishes.flight.len(),
        plan.finishes.flight_height_m.len()
    );
    assert!(plan.finishes.flight_airborne <= plan.finishes.flight.len());
}

/// Share of the balls drawn inside rings on longitude and latitude: even-odd.
fn inside(rings: &[Vec<LonLat>], at: LonLat) -> bool {
    rings
        .iter()
        .flat_map(|r| r.windows(2))
        .fold(false, |odd, edge| {
            let (a, b) = (edge[0], edge[1]);
            let crosses = (a.lat > at.lat) != (b.lat > at.lat)
                && at.lon < a.lon + (b.lon - a.lon) * (at.lat - a.lat) / (b.lat - a.lat);
            odd != crosses
        })
}

#[test]
fn regions_hold_what_they_say() {
    let plan = Layout::new(1.0).plan(LengthUnit::Yards);
    for (rings, share) in [(&plan.finishes.half, 0.5), (&plan.finishes.ninety, 0.9)] {
        let held = plan
            .finishes
            .balls
            .iter()
            .filter(|b| inside(rings, **b))
            .count();
        // 200 balls: three standard errors are 11 and 6 points.
        let off = (held as f64 / 200.0 - share).abs();
        assert!(
            off < 3.0 * (share * (1.0 - share) / 200.0_f64).sqrt(),
            "{held} of 200"
        );
        assert!(rings.iter().all(|r| r.first() == r.last()));
    }
}

#[test]
fn the_plan_file_keeps_its_schema() {
    let schema: serde_json::Value = serde_json::from_str(plan::SCHEMA).expect("the schema is JSON");
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&schema).expect("the schema compiles");
    for (side, unit) in [(1.0, LengthUnit::Yards), (-1.0, LengthUnit::Metres)] {
        let text = report::json(&Layout::new(side).plan(unit));
        let file: serde_json::Value = serde_json::from_str(&text).expect("the plan file is JSON");
        let errors: Vec<String> = validator
            .iter_errors(&file)
            .map(|e| format!("{}: {e}", e.instance_path()))
            .collect();
        assert_eq!(errors, Vec::<String>::new());
        assert!(
            !text.contains("-0.0,") && !text.contains("-0.0\n"),
            "negative zero"
        );
        let shots = std::iter::once(&file["choice"])
            .chain(file["alternatives"].as_array().into_iter().flatten())
            .chain(file["comparisons"].as_array().into_iter().flatten());
        let mut count = 0;
        for shot in shots {
            count += 1;
            let sum: f64 = shot["finish"]
                .as_object()
                .into_iter()
                .flat_map(|o| o.values())
                .filter_map(serde_json::Value::as_f64)
                .sum();
            assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        }
        assert_eq!(count, 5);
        // The schema is strict: a key more, a key less or a share above 1 is an error.
        for (pointer, value) in [
            ("/choice/extra", serde_json::json!(1)),
            ("/choice/finish/fairway", serde_json::json!(1.1)),
            ("/alternatives/0/costs", serde_json::json!("1")),
        ] {
            let mut bad = file.clone();
            let (parent, key) = pointer.rsplit_once('/').expect("a path");
            bad.pointer_mut(parent).expect("it is there")[key] = value;
            assert!(!validator.is_valid(&bad), "{pointer}");
        }
        let mut bad = file.clone();
        bad["choice"]
            .as_object_mut()
            .expect("an object")
            .remove("curve_m");
        assert!(!validator.is_valid(&bad));
    }
}

/// Every key of the plan file that the design promises.
#[test]
fn promised_keys() {
    let file: serde_json::Value =
        serde_json::from_str(&report::json(&Layout::new(1.0).plan(LengthUnit::Yards)))
            .expect("JSON");
    for key in [
        "hole/ref",
        "hole/par",
        "hole/length_m",
        "conditions",
        "player",
    ] {
        assert!(file.pointer(&format!("/{key}")).is_some(), "{key}");
    }
    for shot in ["choice", "alternatives/0", "comparisons/1"] {
        for key in [
            "club",
            "shape",
            "tee/from_left_marker_m",
            "tee/behind_front_m",
            "tee/lon",
            "tee/lat",
            "aim/bearing_deg",
            "aim/from_line_of_play_deg",
            "aim/lon",
            "aim/lat",
            "aim/distance_m",
            "aim/words",
            "start_line/bearing_deg",
            "start_line/from_line_of_play_deg",
            "curve_m",
            "rest/lon",
            "rest/lat",
            "expected_strokes",
            "standard_error",
            "finish/fairway",
            "finish/rough",
            "finish/bunker",
            "finish/green",
            "finish/trees",
            "finish/penalty_area",
            "finish/out_of_bounds",
        ] {
            assert!(
                file.pointer(&format!("/{shot}/{key}")).is_some(),
                "{shot}/{key}"
            );
        }
    }
    for key in [
        "aim_window_deg/1",
        "two_way_miss/left",
        "two_way_miss/right",
    ] {
        assert!(file.pointer(&format!("/choice/{key}")).is_some(), "{key}");
    }
}

/// The mirrored hole with the mirrored shot of a left-hander has the mirrored
/// plan: words with left and right exchanged, numbers with the sign exchanged.
#[test]
fn mirrored() {
    let plan = Layout::new(1.0).plan(LengthUnit::Yards);
    let twin = Layout::new(-1.0).plan(LengthUnit::Yards);
    assert_eq!(twin.player.handedness, "left");
    assert_eq!(twin.words.sentence, swapped(&plan.words.sentence));
    assert_eq!(twin.words.why.len(), plan.words.why.len());
    for (a, b) in plan.words.why.iter().zip(&twin.words.why) {
        if a.starts_with("Aims from") {
            continue; // told from left to right, so its two halves change places
        }
        if a.starts_with("It goes both ways") {
            continue; // likewise
        }
        assert_eq!(*b, swapped(a));
    }
    let (a, b) = (&plan.choice, &twin.choice);
    let near = |x: f64, y: f64| assert!((x - y).abs() < 0.02, "{x} for {y}");
    near(
        b.shot.aim.from_line_of_play_deg,
        -a.shot.aim.from_line_of_play_deg,
    );
    near(
        b.shot.start_line.from_line_of_play_deg,
        -a.shot.start_line.from_line_of_play_deg,
    );
    near(b.shot.curve_m, -a.shot.curve_m);
    near(b.shot.aim.right_of_centre_m, -a.shot.aim.right_of_centre_m);
    near(
        b.shot.rest_right_of_centre_m,
        -a.shot.rest_right_of_centre_m,
    );
    near(
        b.shot.tee.from_left_marker_m,
        8.0 - a.shot.tee.from_left_marker_m,
    );
    near(b.aim_window_deg[0], -a.aim_window_deg[1]);
    near(b.two_way_miss.left, a.two_way_miss.right);
    assert_eq!(plan.carries.len(), twin.carries.len());
    for (c, d) in plan.carries.iter().zip(&twin.carries) {
        assert_eq!(d.words, swapped(&c.words));
        near(d.reach_m, c.reach_m);
        near(d.clear_m, c.clear_m);
        near(d.offset_m, -c.offset_m);
        near(d.share, c.share);
    }
    for (c, d) in plan.widths.iter().zip(&twin.widths) {
        near(d.width_m, c.width_m);
    }
}

/// The same plan twice is the same bytes.
#[test]
fn same_bytes() {
    let one = report::json(&Layout::new(1.0).plan(LengthUnit::Yards));
    let two = report::json(&Layout::new(1.0).plan(LengthUnit::Yards));
    assert_eq!(one, two);
}

/// Nothing on the terminal is wider than asked for, and nothing is a control
/// character: it reads the same in a pipe.
#[test]
fn terminal_text() {
    let plan = Layout::new(1.0).plan(LengthUnit::Yards);
    for width in [60, 80, 100] {
        let text = report::terminal(&plan, width);
        for line in text.lines() {
            assert!(line.chars().count() <= width, "{width}: {line}");
            assert!(!line.chars().any(char::is_control));
            assert_eq!(line.trim_end(), line);
        }
        for part in [
            "What happens how often",
            "Other clubs",
            "To reach and to clear",
            "Take care",
        ] {
            assert!(text.contains(part), "{part}");
        }
    }
    let text = report::terminal(&plan, 80);
    assert!(text.contains(&format!("par 4, {:.0} yd", 380.0 / YARD_M)));
    if std::env::var_os("SHOW").is_some() {
        eprintln!("{text}");
    }
}
