//! `kill -9` at a hundred moments during `plan` and `book`: fifty with one output or two, fifty with
//! several, half of these while the files are written and moved into place.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Stdio;
use std::time::{Duration, Instant};

use crate::{ONE_CLUB, bendline, command, names, text};

/// The files of a folder, by name.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    if !folder.exists() {
        return BTreeMap::new();
    }
    let whole = |name: String| {
        let bytes = fs::read(folder.join(&name)).expect("a file");
        (name, bytes)
    };
    names(folder).into_iter().map(whole).collect()
}

/// Kills runs at random moments and compares what is there with what stood there before and with
/// what a whole run writes: every file must be one of the two, byte for byte.
fn killed_at_random(arguments: &[&str], before: &[&str], moments: u32) {
    killed(arguments, before, moments, false);
}

/// The passing names in a folder.
fn passing(folder: &Path) -> usize {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let names = entries.filter_map(|entry| entry.file_name().into_string().ok());
    names.filter(|name| is_passing(name)).count()
}

/// What is not yet whole, or an older file's second name.
fn is_passing(name: &str) -> bool {
    name.starts_with(".bendline-") && (name.ends_with(".part") || name.ends_with(".old"))
}

/// The same; `in_writing`: every other run is killed so many moments after the second passing name
/// is there (the first is the trial before the work).
fn killed(arguments: &[&str], before: &[&str], moments: u32, in_writing: bool) {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("me.json"), ONE_CLUB).expect("a player");
    let whole = tempfile::tempdir().expect("a folder");
    fs::write(whole.path().join("me.json"), ONE_CLUB).expect("a player");
    let run = bendline(whole.path(), before);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let old = files(&whole.path().join("out"));
    let started = Instant::now();
    let run = bendline(whole.path(), arguments);
    let took = started.elapsed();
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let new = files(&whole.path().join("out"));
    assert!(!new.is_empty() && new.iter().all(|(name, bytes)| old.get(name) != Some(bytes)));

    let out = folder.path().join("out");
    // Knuth's MMIX generator: the same moments each time, as shares of a whole run.
    let mut state = 7_u64;
    let (mut finished, mut mixed) = (0, 0);
    for moment in 0..moments {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let share = (state >> 11) as f64 / (1_u64 << 53) as f64;
        let _ = fs::remove_dir_all(&out);
        // Into an empty place, and over an older run.
        let there = if moment % 2 == 0 {
            BTreeMap::new()
        } else {
            fs::create_dir(&out).expect("a folder");
            for (name, bytes) in &old {
                fs::write(out.join(name), bytes).expect("a file");
            }
            old.clone()
        };
        let mut run = command(folder.path(), arguments)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        if in_writing && moment % 4 > 1 {
            let begun = Instant::now();
            while passing(&out) < 2 && begun.elapsed() < 20 * took.max(Duration::from_secs(1)) {
                if run.try_wait().expect("a state").is_some() {
                    break;
                }
                std::thread::sleep(Duration::from_micros(200));
            }
            std::thread::sleep(Duration::from_micros(300) * (moment / 4));
        } else {
            // Some after the work, while files are written.
            std::thread::sleep(took.mul_f64(1.15 * share).max(Duration::from_millis(1)));
        }
        let _ = run.kill();
        let ended = run.wait().expect("an end");
        finished += u32::from(ended.success());
        let left = files(&out);
        mixed += u32::from(left.keys().any(|name| is_passing(name)));
        for (name, bytes) in left {
            if is_passing(&name) {
                continue;
            }
            let known = there.get(&name) == Some(&bytes) || new.get(&name) == Some(&bytes);
            assert!(known, "{name} is neither the old nor the new one");
        }
        for name in there.keys() {
            assert!(out.join(name).exists(), "{name} was lost");
        }
        let mut around = names(folder.path());
        around.retain(|name| name != "out");
        assert_eq!(around, ["me.json"]);
    }
    assert!(
        finished < moments,
        "every run was over before it was killed"
    );
    assert!(!in_writing || mixed > 0, "no run was killed in its writing");
}

#[test]
fn a_killed_plan_leaves_whole_files() {
    let plan = ["plan", "--player", "me.json"];
    let other = ["plan", "--player", "me.json", "--seed", "2"];
    killed_at_random(&plan, &other, 25);
}

#[test]
fn a_killed_book_leaves_a_whole_book() {
    let book = ["book", "--player", "me.json", "--no-turns"];
    let other = ["book", "--player", "me.json", "--no-turns", "--seed", "2"];
    killed_at_random(&book, &other, 25);
}

#[test]
fn a_killed_plan_of_several_files_leaves_each_whole() {
    let plan = ["plan", "--player", "me.json", "--also", "geojson,md,pdf"];
    let other = [&plan[..], &["--seed", "2"]].concat();
    killed(&plan, &other, 50, true);
}
