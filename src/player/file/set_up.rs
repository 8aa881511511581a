//! The set-up of a club in the player file: written and read.

use std::fmt::Write as _;

use serde_json::{Map, Value};

use super::Reader;
use super::words::{found, join};
use super::write::number;
use crate::player::set_up::{Forward, SetUp};

/// Bounds of path and face, degrees: what a shot log may hold.
const PATH_DEG: [f64; 2] = [-35.0, 35.0];
const FACE_DEG: [f64; 2] = [-45.0, 45.0];
/// Bounds of what a ball further forward changes, degrees and metres.
const CHANGE_DEG: [f64; 2] = [-30.0, 30.0];
const CHANGE_M: [f64; 2] = [-200.0, 200.0];

/// What an angle is, in words.
const DEGREES: &str = "an angle in degrees, right and up +";

/// Adds the key, where there is something to say.
pub(super) fn write(out: &mut String, set_up: &SetUp) {
    let Some([path, face]) = set_up.path_face_deg else {
        return;
    };
    // Writing to a String cannot fail.
    let _ = write!(
        out,
        "      \"set_up\": {{\n        \"path_deg\": {},\n        \"face_deg\": {}",
        number(path),
        number(face)
    );
    if let Some(forward) = set_up.forward {
        let [path, face] = forward.path_face_deg;
        let _ = write!(
            out,
            ",\n        \"ball_forward\": {{\n          \"path_deg\": {},\n          \"face_deg\": \
             {},\n          \"start_deg\": {},\n          \"launch_deg\": {},\n          \
             \"curve_m\": {},\n          \"carry_m\": {}\n        }}",
            number(path),
            number(face),
            number(forward.start_deg),
            number(forward.launch_deg),
            number(forward.curve_m),
            number(forward.carry_m)
        );
    }
    out.push_str("\n      },\n");
}

/// Reads it; nothing where the key is missing.
pub(super) fn read(reader: &mut Reader<'_>, club: &Map<String, Value>, path: &str) -> SetUp {
    let here = join(path, "set_up");
    let Some(object) = braces(reader, club.get("set_up"), &here, "path_deg and face_deg") else {
        return SetUp::default();
    };
    reader.known(object, &here, &["path_deg", "face_deg", "ball_forward"]);
    let path_deg = reader.field(object, &here, "path_deg", (DEGREES, PATH_DEG), None);
    let face_deg = reader.field(object, &here, "face_deg", (DEGREES, FACE_DEG), None);
    let there = join(&here, "ball_forward");
    let keys = [
        "path_deg",
        "face_deg",
        "start_deg",
        "launch_deg",
        "curve_m",
        "carry_m",
    ];
    let forward = braces(reader, object.get("ball_forward"), &there, &keys.join(", ")).map(|own| {
        reader.known(own, &there, &keys);
        let [path, face, start_deg, launch_deg, curve_m, carry_m] = keys.map(|key| {
            let bounds = if key.ends_with("_m") {
                ("a change in metres", CHANGE_M)
            } else {
                (DEGREES, CHANGE_DEG)
            };
            reader.field(own, &there, key, bounds, None)
        });
        Forward {
            path_face_deg: [path, face],
            start_deg,
            launch_deg,
            curve_m,
            carry_m,
        }
    });
    SetUp {
        path_face_deg: Some([path_deg, face_deg]),
        forward,
    }
}

/// An object, or a problem where something else stands in its place.
pub(super) fn braces<'v>(
    reader: &mut Reader<'_>,
    value: Option<&'v Value>,
    path: &str,
    keys: &str,
) -> Option<&'v Map<String, Value>> {
    match value? {
        Value::Object(object) => Some(object),
        other => {
            let expected = format!("{keys} in braces");
            reader.problem(
                path,
                &expected,
                found(other),
                "write them so, or remove the key",
            );
            None
        }
    }
}
