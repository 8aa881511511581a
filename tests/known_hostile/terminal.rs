//! The terminal: its width, and a standard output that is closed, full or not listened to.
#![cfg(unix)]

use std::fs;
use std::process::{Command, Stdio};

use crate::{ONE_CLUB, command, limited, names, text};

/// What is printed on a terminal of so many columns; none where there is no `script` to make one.
fn on_a_terminal(columns: u32, set_up: &str) -> Option<String> {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("me.json"), ONE_CLUB).expect("a player");
    let line = format!(
        "stty rows 40 cols {columns}; {set_up} exec '{}' plan --player me.json 2> errors",
        env!("CARGO_BIN_EXE_bendline")
    );
    let run = Command::new("script")
        .current_dir(folder.path())
        .args(["-q", "-e", "-c", &line, "/dev/null"])
        .env_remove("COLUMNS")
        .stdin(Stdio::null())
        .output();
    let Ok(run) = run else {
        eprintln!("no script(1): a terminal is not tried");
        return None;
    };
    assert!(run.status.success(), "{}", text(&run.stdout));
    Some(text(&run.stdout).replace('\r', ""))
}

/// Text without the sequences for bold and dim.
fn plain(shown: &str) -> String {
    ["\u{1b}[1m", "\u{1b}[2m", "\u{1b}[22m"]
        .iter()
        .fold(shown.to_owned(), |text, sequence| {
            text.replace(sequence, "")
        })
}

/// Bold and dim are for a terminal that wants them: not with `NO_COLOR`, not for a dumb one, not in
/// a pipe.
#[test]
fn bold_and_dim_are_for_terminals() {
    let bold = "\u{1b}[1mHole 1";
    let Some(shown) = on_a_terminal(80, "TERM=xterm; export TERM;") else {
        return;
    };
    assert!(shown.contains(bold), "{shown}");
    for set_up in ["NO_COLOR=1; export NO_COLOR;", "TERM=dumb; export TERM;"] {
        let same = on_a_terminal(80, set_up).expect("a terminal");
        assert!(!same.contains('\u{1b}'), "{same}");
        assert_eq!(same, plain(&shown));
    }
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("me.json"), ONE_CLUB).expect("a player");
    let run = command(folder.path(), &["plan", "--player", "me.json"])
        .env_remove("COLUMNS")
        .output()
        .expect("the program starts");
    assert_eq!(text(&run.stdout), plain(&shown));
}

fn widest(shown: &str) -> usize {
    let letters = shown.lines().map(|line| line.chars().count());
    letters.max().unwrap_or(0)
}

/// The terminal itself is asked for its width; `COLUMNS` goes before it; and lines end between
/// words.
#[test]
fn the_terminal_is_asked_for_its_width() {
    let Some(narrow) = on_a_terminal(50, "TERM=dumb; export TERM;") else {
        return;
    };
    let on = |columns, set_up: &str| plain(&on_a_terminal(columns, set_up).expect("a terminal"));
    let wide = on(96, "");
    assert!((40..=50).contains(&widest(&narrow)), "{narrow}");
    assert!((81..=96).contains(&widest(&wide)), "{wide}");
    let words = |text: &str| -> Vec<String> {
        let words = text.split_whitespace();
        let words = words.filter(|word| word.chars().all(char::is_alphabetic));
        words.map(String::from).collect()
    };
    // Every word of the narrow text stands in the wide one.
    let all = words(&wide);
    let broken: Vec<String> = words(&narrow)
        .into_iter()
        .filter(|word| !all.contains(word))
        .collect();
    assert!(broken.is_empty(), "{broken:?}\n{narrow}");
    let said = on(50, "COLUMNS=90; export COLUMNS;");
    assert!((81..=90).contains(&widest(&said)), "{said}");
}

/// A full standard output is an error, and says that the files are there; a closed one, or a reader
/// that has gone, is none.
#[test]
fn a_standard_output_that_takes_nothing() {
    for (redirected, code) in [
        ("exec >/dev/full", 1),
        ("exec >&-", 0),
        ("exec >/dev/null", 0),
    ] {
        let folder = tempfile::tempdir().expect("a folder");
        fs::write(folder.path().join("me.json"), ONE_CLUB).expect("a player");
        let run = limited(folder.path(), redirected, &["plan", "--player", "me.json"]);
        let said = text(&run.stderr);
        assert_eq!(run.status.code(), Some(code), "{redirected}: {said}");
        assert_eq!(
            said.contains("standard output: whole file"),
            code == 1,
            "{said}"
        );
        assert_eq!(
            said.contains("files that were asked for are written"),
            code == 1,
            "{said}"
        );
        let out = names(&folder.path().join("out"));
        assert_eq!(out, ["hole-1.json", "hole-1.svg"], "{redirected}");
        for command in ["--help", "--version"] {
            let run = limited(folder.path(), redirected, &[command]);
            assert_eq!(run.status.code(), Some(code), "{redirected} {command}");
        }
    }
    let folder = tempfile::tempdir().expect("a folder");
    let mut run = command(
        folder.path(),
        &["flight", "--ball-speed", "160mph", "--launch", "11"],
    )
    .args(["--spin", "2600"])
    .stdout(Stdio::piped())
    .stderr(Stdio::piped())
    .spawn()
    .expect("the program starts");
    drop(run.stdout.take());
    let run = run.wait_with_output().expect("an end");
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    assert!(run.stderr.is_empty(), "{}", text(&run.stderr));
}
