//! Broken hole files, each with its exact message.
//!
//! `tests/bad/hole/NAME.geojson` is read under its own file name, in the
//! coordinate system named in `NAME.crs` if there is one; what is said must be,
//! to the letter, what stands in `NAME.expected`. To write a new case, run with
//! `BENDLINE_WRITE_EXPECTED=1` and read what was written before keeping it.

use std::fs;
use std::path::{Path, PathBuf};

use bendline::hole::read_course;
use proptest::prelude::*;

/// The number of cases may grow, never fall.
const LEAST_CASES: usize = 71;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad/hole")
}

/// Everything that is wrong with a file, as text.
fn message(path: &Path) -> String {
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    let crs = fs::read_to_string(path.with_extension("crs")).ok();
    match read_course(
        &name,
        &fs::read(path).unwrap(),
        crs.as_deref().map(str::trim),
    ) {
        Err(problems) => format!("{problems}\n"),
        Ok(course) => course
            .broken
            .iter()
            .map(|(_, problems)| format!("{problems}\n"))
            .collect(),
    }
}

#[test]
fn every_broken_file_gets_its_exact_message() {
    let mut cases: Vec<PathBuf> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "geojson")
        })
        .collect();
    cases.sort();
    assert!(cases.len() >= LEAST_CASES, "{} cases", cases.len());
    let mut wrong = String::new();
    for path in &cases {
        let found = message(path);
        let beside = path.with_extension("expected");
        if std::env::var_os("BENDLINE_WRITE_EXPECTED").is_some() && !beside.exists() {
            fs::write(&beside, &found).unwrap();
        }
        let expected = fs::read_to_string(&beside).unwrap_or_default();
        if found.is_empty() || found != expected {
            wrong.push_str(&format!(
                "{}:\n--- expected\n{expected}--- found\n{found}\n",
                path.display()
            ));
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// A sound hole, as text: what the mutations below start from.
fn sound() -> String {
    r#"{"type": "FeatureCollection", "features": [
{"type": "Feature", "id": "way/1", "properties": {"golf": "hole", "ref": "1", "par": "4"}, "geometry": {"type": "LineString", "coordinates": [[-3.2, 55.8985], [-3.2, 55.9014]]}},
{"type": "Feature", "properties": {"golf": "tee", "tee": "white"}, "geometry": {"type": "Point", "coordinates": [-3.2, 55.8985, 12.5]}},
{"type": "Feature", "properties": {"golf": "green"}, "geometry": {"type": "Polygon", "coordinates": [[[-3.2002, 55.9013], [-3.1998, 55.9013], [-3.1998, 55.9015], [-3.2002, 55.9015], [-3.2002, 55.9013]]]}},
{"type": "Feature", "properties": {"natural": "wood", "height": "12"}, "geometry": {"type": "MultiPolygon", "coordinates": [[[[-3.202, 55.899], [-3.201, 55.899], [-3.201, 55.901], [-3.202, 55.901], [-3.202, 55.899]]]]}},
{"type": "Feature", "properties": {"golf": "out_of_bounds"}, "geometry": {"type": "LineString", "coordinates": [[-3.199, 55.898], [-3.199, 55.902]]}}
]}"#
    .to_string()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    /// Bytes changed, cut out or doubled anywhere: a hole or a message, never
    /// a panic; and what is read answers everywhere.
    #[test]
    fn no_mutation_of_a_sound_file_breaks_the_reader(
        edits in prop::collection::vec((0.0_f64..1.0, 0_u8..5, any::<u8>()), 1..4)
    ) {
        let mut bytes = sound().into_bytes();
        for (place, kind, byte) in edits {
            let at = (place * bytes.len() as f64) as usize;
            let number = b"0123456789.-e,[]{}\"";
            match kind {
                0 => bytes[at] = byte,
                1 => bytes[at] = number[usize::from(byte) % number.len()],
                2 => { bytes.remove(at); }
                3 => bytes.insert(at, number[usize::from(byte) % number.len()]),
                _ => bytes.truncate(at.max(bytes.len() / 2)),
            }
        }
        match read_course("mutated.geojson", &bytes, None) {
            Err(problems) => prop_assert!(!problems.0.is_empty()),
            Ok(course) => {
                for hole in &course.holes {
                    prop_assert!(!hole.tees.is_empty());
                    prop_assert!(hole.length_m.is_finite() && hole.length_m < 3000.0);
                    let (low, high) = (hole.bounds().min(), hole.bounds().max());
                    for step in 0..40 {
                        let at = low + (high - low) * (f64::from(step) / 39.0);
                        let _ = hole.surface_at(at);
                        let _ = hole.canopy_at(at.x, at.y);
                        prop_assert!(hole.ground().height_m(at.x, at.y).is_finite());
                    }
                }
            }
        }
    }
}
