//! The environment of the process: whatever stands in it, the same input gives the same bytes.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
#[cfg(target_os = "linux")]
use std::time::Duration;

use serde_json::{Value, json};
use tempfile::TempDir;

#[cfg(target_os = "linux")]
use crate::command;
use crate::{ONE_CLUB, names, text};

/// A par 3 on the British National Grid, and the player.
fn folder() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let feature = |golf: &str, of: &str, coordinates: Value| {
        json!({
            "type": "Feature",
            "properties": {"golf": golf, "ref": "1", "par": "3"},
            "geometry": {"type": of, "coordinates": coordinates},
        })
    };
    let square = |east: f64, north: f64, half: f64| {
        let corners = [[-1, -1], [1, -1], [1, 1], [-1, 1], [-1, -1]];
        json!([corners.map(|[x, y]| [east + half * f64::from(x), north + half * f64::from(y)])])
    };
    let hole = json!({
        "type": "FeatureCollection",
        "features": [
            feature("hole", "LineString", json!([[434_800, 178_000], [434_830, 178_160]])),
            feature("tee", "Polygon", square(434_800.0, 178_000.0, 5.0)),
            feature("green", "Polygon", square(434_830.0, 178_160.0, 14.0)),
        ],
    });
    let write = |name: &str, bytes: &str| {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().expect("a parent")).expect("a folder");
        fs::write(path, bytes).expect("a file");
    };
    write("grid.geojson", &hole.to_string());
    write("me.json", ONE_CLUB);
    folder
}

/// What a run wrote and printed, its code before all.
type Seen = (Option<i32>, String, String, BTreeMap<String, Vec<u8>>);

fn seen(folder: &Path, program: &Path, arguments: &[&str], set: &[(&str, &str)]) -> Seen {
    let out = folder.join("out");
    let _ = fs::remove_dir_all(&out);
    let run = Command::new(program)
        .current_dir(folder)
        .args(arguments)
        .envs(set.iter().copied())
        .stdin(Stdio::null())
        .output()
        .expect("the program starts");
    let written = match out.is_dir() {
        true => names(&out)
            .into_iter()
            .map(|name| {
                let bytes = fs::read(out.join(&name)).expect("a file");
                (name, bytes)
            })
            .collect(),
        false => BTreeMap::new(),
    };
    let words = |bytes: &[u8]| text(bytes).to_owned();
    let code = run.status.code();
    (code, words(&run.stdout), words(&run.stderr), written)
}

fn program() -> PathBuf {
    env!("CARGO_BIN_EXE_bendline").into()
}

/// The most threads that a run has at one time.
#[cfg(target_os = "linux")]
fn most_threads(folder: &Path, arguments: &[&str], set: &[(&str, &str)]) -> usize {
    let mut run = command(folder, arguments)
        .envs(set.iter().copied())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let tasks = format!("/proc/{}/task", run.id());
    let mut most = 0;
    while run.try_wait().expect("a child").is_none() {
        most = most.max(fs::read_dir(&tasks).map_or(0, Iterator::count));
        std::thread::sleep(Duration::from_millis(1));
    }
    assert!(run.wait().expect("an end").success(), "{arguments:?}");
    most
}

/// How many threads there are is for `--threads` to say, within what the machine has cores for:
/// of 1000 each waits for the others most of the time, and 100 000 leave none to anybody else.
#[cfg(target_os = "linux")]
#[test]
fn threads_are_bounded_by_the_cores() {
    /// The first thread, and those that wait for Ctrl-C and for the events of the work.
    const BESIDE: usize = 4;
    let cores = std::thread::available_parallelism().expect("cores").get();
    let folder = folder();
    let folder = folder.path();
    let log = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/examples/logs/twelve-shots.csv"
    );
    let hole = ["grid.geojson", "--crs", "EPSG:27700"];
    let commands = [
        &["plan", "--player", "me.json"][..],
        &["practice", "--player", "me.json"],
        &[
            "book",
            "--player",
            "me.json",
            "--no-turns",
            "--out",
            "out/book.pdf",
        ],
        &["check", log],
        &["shape", log],
        &[
            "flight",
            "--ball-speed",
            "160mph",
            "--launch",
            "11",
            "--spin",
            "2700",
        ],
    ];
    let many = [
        ("RAYON_NUM_THREADS", "99999"),
        ("RAYON_RS_NUM_CPUS", "99999"),
    ];
    for command in commands {
        let on_the_hole: &[&str] = match command[0] {
            "shape" | "flight" => &[],
            _ => &hole,
        };
        let arguments = [command, on_the_hole].concat();
        let most = most_threads(folder, &arguments, &many);
        assert!(most <= cores + BESIDE, "{arguments:?}: {most} threads");
        let usual = seen(folder, &program(), &arguments, &[]);
        assert_eq!(usual.0, Some(0), "{arguments:?}: {}", usual.2);
        let same = seen(folder, &program(), &arguments, &many) == usual;
        assert!(same, "{arguments:?}");
        if command.contains(&"--player") {
            let wanted = [&arguments[..], &["--threads", "256"]].concat();
            let most = most_threads(folder, &wanted, &[]);
            assert!(most <= 4 * cores + BESIDE, "{wanted:?}: {most} threads");
        }
    }
}

/// The program runs where there is the C runtime and nothing else.
#[cfg(target_os = "linux")]
#[test]
fn nothing_is_linked_beyond_the_runtime_of_c() {
    let runtime = [
        "libc.so",
        "libm.so",
        "libgcc_s.so",
        "ld-linux",
        "libpthread.so",
        "libdl.so",
        "librt.so",
    ];
    // Of binutils, which is there wherever a compiler is.
    let run = Command::new("readelf")
        .args(["--dynamic", "--wide", env!("CARGO_BIN_EXE_bendline")])
        .env("LC_ALL", "C")
        .output()
        .expect("readelf, of binutils");
    assert!(run.status.success(), "{}", text(&run.stderr));
    let needed: Vec<&str> = text(&run.stdout)
        .lines()
        .filter(|line| line.contains("(NEEDED)"))
        .filter_map(|line| line.split(['[', ']']).nth(1))
        .collect();
    assert!(
        needed.iter().any(|name| name.starts_with("libc.so")),
        "{needed:?}"
    );
    let beyond = |name: &&&str| !runtime.iter().any(|known| name.starts_with(known));
    let beyond: Vec<_> = needed.iter().filter(beyond).collect();
    assert!(beyond.is_empty(), "{beyond:?}");
}
