//! Holes drawn from fuzz bytes: always GeoJSON, and always about the same place, so that much of
//! what the bytes say is geometry and tags rather than syntax.

use arbitrary::Arbitrary;
use serde_json::{Value, json};

/// One feature.
#[derive(Arbitrary, Debug)]
pub struct Drawn {
    kind: u8,
    shape: u8,
    tag: u8,
    points: Vec<(i8, i8, i8)>,
}

/// What a feature can be.
const KINDS: [(&str, &str); 20] = [
    ("golf", "hole"),
    ("golf", "tee"),
    ("golf", "green"),
    ("golf", "fairway"),
    ("golf", "bunker"),
    ("golf", "rough"),
    ("golf", "pin"),
    ("golf", "water_hazard"),
    ("golf", "lateral_water_hazard"),
    ("golf", "out_of_bounds"),
    ("golf", "driving_range"),
    ("bendline", "tee_marker"),
    ("natural", "water"),
    ("natural", "coastline"),
    ("natural", "wood"),
    ("natural", "tree"),
    ("natural", "tree_row"),
    ("natural", "sand"),
    ("waterway", "stream"),
    ("leisure", "golf_course"),
];

/// Tags that come with it.
const TAGS: [(&str, &str); 16] = [
    ("ref", "1"),
    ("ref", "2"),
    ("par", "4"),
    ("par", "x"),
    ("tee", "white"),
    ("tee", "white;red"),
    ("height", "12"),
    ("height", "1e9"),
    ("diameter_crown", "0.5 m"),
    ("width", "4"),
    ("name", "Black (Par 3)"),
    ("name", "<b>\u{1b}[31m"),
    ("name", "Driving Range"),
    ("est_height", "30m"),
    ("bendline", "other"),
    ("landuse", "forest"),
];

/// The features as a file. `scale` is what a step of a coordinate is, degrees.
pub fn file(features: &[Drawn], scale: f64, [lon, lat]: [f64; 2]) -> String {
    let features: Vec<Value> = features
        .iter()
        .enumerate()
        .map(|(index, drawn)| {
            let (key, value) = KINDS[usize::from(drawn.kind) % KINDS.len()];
            let (more, text) = TAGS[usize::from(drawn.tag) % TAGS.len()];
            let mut properties = json!({"@id": format!("fuzz/{index}")});
            properties[more] = json!(text);
            properties[key] = json!(value);
            let with_height = drawn.shape & 8 != 0;
            let mut at: Vec<Value> = drawn
                .points
                .iter()
                .map(|&(x, y, z)| {
                    let x = lon + f64::from(x) * scale;
                    let y = lat + f64::from(y) * scale;
                    if with_height {
                        json!([x, y, f64::from(z)])
                    } else {
                        json!([x, y])
                    }
                })
                .collect();
            let geometry = match drawn.shape % 4 {
                0 => json!({"type": "Point", "coordinates": at.first()}),
                1 => json!({"type": "LineString", "coordinates": at}),
                2 => {
                    at.extend(at.first().cloned());
                    json!({"type": "Polygon", "coordinates": [at]})
                }
                _ => {
                    // An outline and an island in it.
                    let rings: Vec<Vec<Value>> = at
                        .chunks(6)
                        .map(|ring| ring.iter().chain(ring.first()).cloned().collect())
                        .collect();
                    json!({"type": "MultiPolygon", "coordinates": [rings]})
                }
            };
            json!({"type": "Feature", "properties": properties, "geometry": geometry})
        })
        .collect();
    json!({"type": "FeatureCollection", "features": features}).to_string()
}
