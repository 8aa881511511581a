//! The usual ball is one thing: carry, bend, end, drawn flight and the half-of-balls region agree.

use std::process::Command;

use geo::{Contains, Coord, LineString, Polygon};
use serde_json::Value;

/// Metres of a degree of latitude.
const DEGREE_M: f64 = 111_200.0;
/// A degree is so much of that more or less, by latitude and direction.
const DEGREE_IS: f64 = 0.006;

fn source(name: &str) -> String {
    format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))
}

/// Plans of the nine demo holes by the published table.
fn planned(log: &str, more: &[&str]) -> Vec<Value> {
    let folder = tempfile::tempdir().expect("a folder");
    let log = source(&format!("examples/logs/{log}.csv"));
    let run = Command::new(env!("CARGO_BIN_EXE_bendline"))
        .current_dir(folder.path())
        .args(["plan", &source("holes/course.geojson"), "--log", &log])
        .args(["--handicap", "9", "--worth", "table", "--json"])
        .args([
            "--hand",
            if log.contains("left-hander") {
                "left"
            } else {
                "right"
            },
        ])
        .args(more)
        .output()
        .expect("the program starts");
    let said = String::from_utf8_lossy(&run.stderr);
    assert_eq!(run.status.code(), Some(0), "{said}");
    let all: Value = serde_json::from_slice(&run.stdout).expect("plans");
    all["plans"].as_array().expect("a list").clone()
}

/// Metres east and north of another place.
fn place(value: &Value, from: &Value) -> Coord<f64> {
    let degrees = |of: &Value, key: &str| of[key].as_f64().expect("degrees");
    let off = |key: &str| (degrees(value, key) - degrees(from, key)) * DEGREE_M;
    Coord {
        x: off("lon") * degrees(from, "lat").to_radians().cos(),
        y: off("lat"),
    }
}

fn apart_m(a: Coord<f64>, b: Coord<f64>) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}

/// The next shot is played from where the usual ball ends, and says how far it is from there.
#[test]
fn the_next_shot_is_played_from_the_usual_ball() {
    let folder = tempfile::tempdir().expect("a folder");
    let log = source("examples/logs/fade.csv");
    for hole in ["01-sickle", "06-boundary"] {
        let run = Command::new(env!("CARGO_BIN_EXE_bendline"))
            .current_dir(folder.path())
            .args(["plan", &source(&format!("holes/{hole}.geojson"))])
            .args(["--log", &log, "--json"])
            .output()
            .expect("the program starts");
        let plan: Value = serde_json::from_slice(&run.stdout).expect("a plan");
        let (choice, next) = (&plan["choice"], &plan["whole_hole"]["next"]);
        let peg = &choice["tee"];
        let [rest, from, pin] =
            [&choice["rest"], &next["from"], &plan["hole"]["pin"]].map(|value| place(value, peg));
        assert!(apart_m(rest, from) < 2.0, "{hole}: {}", apart_m(rest, from));
        let to_pin_m = next["to_pin_m"].as_f64().expect("a length");
        let there_m = apart_m(from, pin);
        assert!(
            (there_m / to_pin_m - 1.0).abs() < 0.01,
            "{hole}: {there_m} {to_pin_m}"
        );
    }
}

/// Over nine holes, four players and two days: the drawn flight lands at the carry, ends where the
/// plan file has the end, and that is inside the region that holds half of the balls.
#[test]
fn the_drawn_flight_ends_where_the_usual_ball_does() {
    let mut outside = Vec::new();
    let mut all = 0;
    for log in ["strong-draw", "fade", "left-hander", "two-way"] {
        for more in [&[][..], &["--wind", "15mph@240"]] {
            for plan in planned(log, more) {
                let (choice, finishes) = (&plan["choice"], &plan["finishes"]);
                let name = format!("{log} {more:?} hole {}", plan["hole"]["ref"]);
                let peg = &choice["tee"];
                let place = |value: &Value| place(value, peg);
                let flight: Vec<Coord<f64>> = finishes["flight"]
                    .as_array()
                    .expect("a flight")
                    .iter()
                    .map(place)
                    .collect();
                let landing =
                    flight[finishes["flight_airborne"].as_u64().expect("a count") as usize - 1];
                let carry_m = choice["carry_m"].as_f64().expect("a carry");
                let flown_m = landing.x.hypot(landing.y);
                assert!(
                    (flown_m / carry_m - 1.0).abs() < DEGREE_IS,
                    "{name}: {flown_m} for {carry_m}"
                );
                let rest = place(&choice["rest"]);
                let end = flight[flight.len() - 1];
                assert!(apart_m(end, rest) < 0.3, "{name}: {}", apart_m(end, rest));
                let holds = finishes["half"]
                    .as_array()
                    .expect("rings")
                    .iter()
                    .any(|ring| {
                        let ring: LineString<f64> =
                            ring.as_array().expect("a ring").iter().map(place).collect();
                        Polygon::new(ring, Vec::new()).contains(&rest)
                    });
                all += 1;
                if !holds {
                    outside.push(name);
                }
            }
        }
    }
    assert_eq!(all, 72);
    assert!(outside.is_empty(), "{outside:?}");
}
