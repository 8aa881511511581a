//! A hole laid out by hand, a shot on it, and the plan for both.

use bendline::flight::{Ball, Firmness, Weather, Wind};
use bendline::hole::plane::Plane;
use bendline::hole::{Coord, Hole, Surface, TeeingArea, read_course};
use bendline::outcome::{Day, Rest, TeeShot};
use bendline::plan::{self, Conditions, Finish, ModelFacts, Plan};
use bendline::player::{Basis, ClubShape, Handedness, LaunchModel, Player};
use bendline::sample::{normal_quantile, points};
use bendline::strategy::{Decision, Priced};
use bendline::units::LengthUnit;

/// The layout's plane: the middle of the front of the tee at the origin.
const TEE: [f64; 2] = [0.0, 52.0];
/// Balls of the chosen shot.
const BALLS: usize = 2048;

/// A hole due north, drawn in metres from the tee, `side` = −1 for its mirror
/// image: a fairway from 18 m left to 18 m right, water 12 m wide across it at
/// 120 m, a near bunker on the left at 190 m, a far bunker on the right at 250 m,
/// out of bounds from 45 m right.
pub struct Layout {
    side: f64,
    plane: Plane,
}

impl Layout {
    /// The layout, or for `side` = −1 its mirror image.
    pub fn new(side: f64) -> Self {
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
                let (u, v) = ball(along - 17.0, right - 12.0);
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
                    start_deg: self.side * 0.5,
                    is_sound: true,
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
                    "aiming off half your bend".into(),
                    self.priced(hole, 0, -2.6, 2.4, 0.003),
                ),
            ],
            choice,
            aim_window_deg: window,
            aim_costs: Vec::new(),
            further_back_costs: (0.0, 0.0),
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
            set_up: Default::default(),
            part_share: None,
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
            ball: Default::default(),
            notes: Vec::new(),
            course_play: None,
            log: None,
        }
    }

    /// The plan for it.
    pub fn plan(&self, unit: LengthUnit) -> Plan {
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
        model: ModelFacts::of(&Day::of(
            &Weather::usual(),
            Wind::blowing(4.4704, 240.0),
            Ball::modern(),
            Firmness::Medium,
        )),
    }
}
