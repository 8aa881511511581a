//! Plan to GeoJSON, to lie over any map program's picture.
//!
//! An RFC 7946 `FeatureCollection` in WGS 84 longitude and latitude: peg, aim
//! line and target, flight, finish, where half and nine tenths of the balls
//! finish, and the points that carries are measured to. Each feature says what
//! it is by its `what`, and carries the simple style keys that map programs
//! read (`stroke`, `fill`, `marker-color`).

use serde_json::{Map, Value, json};

use crate::plan::sentence::length;
use crate::plan::{LonLat, Plan};

/// Decimals of a coordinate: a centimetre.
const DECIMALS: f64 = 1e7;
/// The colour of the shot.
const ACCENT: &str = "#421ac4";
const INK: &str = "#18221f";

/// The plan as GeoJSON, with a line break at the end.
#[must_use]
pub fn geojson(plan: &Plan) -> String {
    let shot = &plan.choice.shot;
    let peg = LonLat {
        lon: shot.tee.lon,
        lat: shot.tee.lat,
    };
    let target = LonLat {
        lon: shot.aim.lon,
        lat: shot.aim.lat,
    };
    let mut features = Vec::new();
    for (what, rings, opacity) in [
        ("nine tenths of the balls", &plan.finishes.ninety, 0.1),
        ("half of the balls", &plan.finishes.half, 0.2),
    ] {
        features.extend(rings.iter().filter_map(|ring| region(what, ring, opacity)));
    }
    features.push(line("aim line", &[peg, target], "where to aim"));
    if plan.finishes.flight.len() > 1 {
        let words = "the ball's typical way over the ground";
        features.push(line("flight", &plan.finishes.flight, words));
    }
    features.push(point("peg", peg, ACCENT, &plan.words.sentence));
    features.push(point("aim", target, ACCENT, &shot.aim.words));
    features.push(point(
        "finish",
        shot.rest,
        ACCENT,
        "where the usual ball ends",
    ));
    let pin = plan.hole.pin_from.words().unwrap_or("pin of the day");
    features.push(point("pin", plan.hole.pin, INK, pin));
    let unit = plan.unit();
    for [what, words, value] in [0, 1].into_iter().flat_map(|end| {
        plan.carries
            .iter()
            .filter(move |carry| end == 0 || !carry.goes_on)
            .map(move |carry| {
                let (what, at, far) = if end == 0 {
                    let far = if carry.goes_on {
                        carry.stretch(unit)
                    } else {
                        length(carry.reach_m, unit)
                    };
                    ("to reach", carry.reach, far)
                } else {
                    ("to clear", carry.clear, length(carry.clear_m, unit))
                };
                [
                    json!(what),
                    json!(format!("{}: {far}", carry.words)),
                    position(at),
                ]
            })
    }) {
        features.push(feature(
            "Point",
            value,
            [
                ("what", what),
                ("words", words),
                ("marker-color", json!(INK)),
            ],
        ));
    }
    let mut collection = Map::new();
    collection.insert("type".into(), json!("FeatureCollection"));
    collection.insert("features".into(), Value::Array(features));
    let text = serde_json::to_string_pretty(&Value::Object(collection)).unwrap_or_default();
    let mut text = crate::diagnostic::json(&text);
    text.push('\n');
    text
}

fn position(at: LonLat) -> Value {
    let round = |v: f64| (v * DECIMALS).round() / DECIMALS + 0.0;
    json!([round(at.lon), round(at.lat)])
}

fn feature<const N: usize>(
    kind: &str,
    coordinates: Value,
    properties: [(&str, Value); N],
) -> Value {
    let properties: Map<String, Value> = properties
        .into_iter()
        .map(|(key, value)| (key.to_owned(), value))
        .collect();
    json!({
        "type": "Feature",
        "geometry": { "type": kind, "coordinates": coordinates },
        "properties": properties,
    })
}

fn point(what: &str, at: LonLat, colour: &str, words: &str) -> Value {
    feature(
        "Point",
        position(at),
        [
            ("what", json!(what)),
            ("words", json!(words)),
            ("marker-color", json!(colour)),
        ],
    )
}

fn line(what: &str, points: &[LonLat], words: &str) -> Value {
    let points: Vec<Value> = points.iter().map(|&p| position(p)).collect();
    feature(
        "LineString",
        Value::Array(points),
        [
            ("what", json!(what)),
            ("words", json!(words)),
            ("stroke", json!(ACCENT)),
            ("stroke-width", json!(3)),
        ],
    )
}

/// A ring as a polygon: closed, and counterclockwise, as RFC 7946 wants an
/// outer ring; none for fewer than three points.
fn region(what: &str, ring: &[LonLat], opacity: f64) -> Option<Value> {
    let mut points = ring.to_vec();
    if points.len() > 1 && points.first() == points.last() {
        points.pop();
    }
    if points.len() < 3 {
        return None;
    }
    let turn: f64 = (0..points.len())
        .map(|i| {
            let (a, b) = (points[i], points[(i + 1) % points.len()]);
            // Counted from the first point: the products stay exact enough.
            let (ax, ay) = (a.lon - points[0].lon, a.lat - points[0].lat);
            let (bx, by) = (b.lon - points[0].lon, b.lat - points[0].lat);
            ax * by - bx * ay
        })
        .sum();
    if turn < 0.0 {
        points.reverse();
    }
    points.push(points[0]);
    let ring: Vec<Value> = points.into_iter().map(position).collect();
    Some(feature(
        "Polygon",
        json!([ring]),
        [
            ("what", json!(what)),
            ("fill", json!(ACCENT)),
            ("fill-opacity", json!(opacity)),
            ("stroke", json!(ACCENT)),
        ],
    ))
}
