//! Hostile surroundings and hostile files, through the program as users run it: killed at any
//! moment, without room, without permission; files that are huge, deep, repetitive or about to
//! claim the earth. And friendly ones: the walk from an empty file to a plan, and what no change
//! to a sound file may do.
//!
//! The truth is in what is asked for: files whole or absent, an error in words, bounded time and
//! memory.

#[path = "../added_hazards/mod.rs"]
mod added_hazards;
mod big;
#[path = "../../examples/demo/mod.rs"]
#[allow(dead_code, reason = "the holes here are its own")]
mod demo;
mod disk;
mod hazards;
mod heights;
mod help;
mod kill;
#[path = "../known_player_made_up/mod.rs"]
mod known_player_made_up;
mod log_columns;
mod log_questions;
mod log_reading;
mod log_words;
#[path = "../../examples/make_logs.rs"]
mod make_logs;
mod mutation;
mod names;
mod places;
mod player_questions;
#[path = "../added_hazards/random.rs"]
mod random;
mod rooms;
mod same;
mod steps;
mod surroundings;
mod terminal;

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::sync::LazyLock;

/// The program, to be run in a folder of its own.
pub fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bendline"));
    command
        .current_dir(folder)
        .args(arguments)
        .stdin(Stdio::null());
    command
}

/// What a run of the program comes to.
pub fn bendline(folder: &Path, arguments: &[&str]) -> Output {
    command(folder, arguments)
        .output()
        .expect("the program starts")
}

/// The same under limits that a shell sets, such as `ulimit -v 1000000`.
pub fn limited(folder: &Path, limits: &str, arguments: &[&str]) -> Output {
    Command::new("sh")
        .current_dir(folder)
        .arg("-c")
        .arg(format!("{limits}; exec \"$0\" \"$@\""))
        .arg(env!("CARGO_BIN_EXE_bendline"))
        .args(arguments)
        .stdin(Stdio::null())
        .output()
        .expect("a shell")
}

/// Seconds of processor time that a plan of the built-in hole takes here: the yardstick of
/// [`processor`].
pub static USUAL_PLAN: LazyLock<f64> = LazyLock::new(|| {
    let folder = tempfile::tempdir().expect("a folder");
    let run = Command::new("sh")
        .current_dir(folder.path())
        .arg("-c")
        .arg("\"$0\" plan >plan.txt 2>&1 || exit 1; times")
        .arg(env!("CARGO_BIN_EXE_bendline"))
        .stdin(Stdio::null())
        .output()
        .expect("a shell");
    assert!(run.status.success(), "a plan of the built-in hole");
    let times = text(&run.stdout)
        .lines()
        .last()
        .expect("the children's times");
    let seconds = |time: &str| -> Option<f64> {
        let (minutes, seconds) = time.strip_suffix('s')?.split_once('m')?;
        Some(60.0 * minutes.parse::<f64>().ok()? + seconds.parse::<f64>().ok()?)
    };
    times
        .split(' ')
        .map(|time| seconds(time).expect("minutes and seconds"))
        .sum()
});

/// A limit of a run's processor time, in times of a plan of the built-in hole on this machine, for
/// [`limited`].
pub fn processor(plans: f64) -> String {
    format!("ulimit -t {:.0}", (plans * *USUAL_PLAN).ceil())
}

/// What a run printed.
pub fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).expect("UTF-8")
}

/// The names in a folder, sorted.
pub fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").file_name())
        .map(|name| name.into_string().expect("a name"))
        .collect();
    names.sort();
    names
}

/// A player with one club, who is planned for in a moment.
pub const ONE_CLUB: &str = r#"{"handedness": "right", "handicap": 9, "clubs": [{"club": "driver",
    "shape": "draw", "carry_m": 210, "dof": 7, "mishit_share": 0.01,
    "centre": [66, 12, 2, 2600, -5], "spread": [1.5, 1, 2, 200, 4]}]}"#;
