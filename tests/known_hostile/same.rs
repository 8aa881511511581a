//! The same input and seed give the same bytes at 1, 2 and 8 threads. That unoptimised code gives
//! them too is shown by `tests/same_answer.sh`.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::{ONE_CLUB, bendline, names, text};

/// Everything that the commands write and print.
fn outputs(threads: &str) -> BTreeMap<String, Vec<u8>> {
    let folder = tempfile::tempdir().expect("a folder");
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for from in ["holes/02-kestrel.geojson", "examples/logs/strong-draw.csv"] {
        let name = Path::new(from).file_name().expect("a name");
        fs::copy(root.join(from), folder.path().join(name)).expect("a copy");
    }
    fs::write(folder.path().join("me.json"), ONE_CLUB).expect("a player");
    let runs: [&[&str]; 4] = [
        &[
            "plan",
            "02-kestrel.geojson",
            "--player",
            "me.json",
            "--wind",
            "12mph@240",
            "--for",
            "points",
            "--also",
            "geojson,md,pdf",
            "--threads",
            threads,
        ],
        &[
            "book",
            "02-kestrel.geojson",
            "--player",
            "me.json",
            "--also",
            "phone",
            "--out",
            "out/book.pdf",
            "--threads",
            threads,
        ],
        &[
            "practice",
            "02-kestrel.geojson",
            "--player",
            "me.json",
            "--threads",
            threads,
        ],
        &[
            "shape",
            "strong-draw.csv",
            "--out",
            "out/shape.json",
            "--draw",
            "out/shape.svg",
        ],
    ];
    let mut written = BTreeMap::new();
    for arguments in runs {
        let run = bendline(folder.path(), arguments);
        assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
        written.insert(format!("{} to the terminal", arguments[0]), run.stdout);
    }
    let out = folder.path().join("out");
    for name in names(&out) {
        let bytes = fs::read(out.join(&name)).expect("a file");
        written.insert(name, bytes);
    }
    written
}

#[test]
fn the_same_bytes_at_any_number_of_threads() {
    let one = outputs("1");
    // Plan in five forms, book and phone page, player file and its drawing, four reports.
    assert_eq!(one.len(), 13, "{:?}", one.keys());
    assert!(one.values().all(|bytes| !bytes.is_empty()));
    for threads in ["2", "8"] {
        let other = outputs(threads);
        assert!(one.keys().eq(other.keys()));
        for (name, bytes) in &one {
            assert!(bytes == &other[name], "{name} with {threads} threads");
        }
    }
}
