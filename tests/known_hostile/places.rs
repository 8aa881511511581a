//! No output takes the place of an input, of another output, or of what is no file; files of earlier
//! runs are named.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Output;

use crate::{ONE_CLUB, bendline, names, text};

const LOG: &str = "club,carry_yd,side_yd\ndriver,230,-6\ndriver,226,4\ndriver,235,-12\n";
const ROUND: &str = "course = \"The Nine\"\nwind = \"5mph@240\"\n";

/// Heights all over the first demo hole.
fn heights() -> String {
    let row = "100 ".repeat(20);
    let head = "ncols 20\nnrows 20\nxllcorner 18.937\nyllcorner 52.41\ncellsize 0.001\n";
    format!("{head}{}", format!("{}\n", row.trim_end()).repeat(20))
}

fn hole() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("holes/01-sickle.geojson");
    fs::read_to_string(path).expect("a demo hole")
}

/// The first demo hole and another one beside it.
fn course() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("holes/course.geojson");
    fs::read_to_string(path).expect("the demo course")
}

/// Every file of a folder with its contents; pipes and links by name.
fn all(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let held = |name: String| {
        let path = folder.join(&name);
        let is_file = fs::symlink_metadata(&path).is_ok_and(|about| about.is_file());
        let bytes = if is_file {
            fs::read(&path).expect("a file")
        } else {
            Vec::new()
        };
        (name, bytes)
    };
    names(folder).into_iter().map(held).collect()
}

/// Runs a command that must be refused with these words before anything is planned, and must leave
/// everything as it is.
fn refused(folder: &Path, arguments: &[&str], words: &[&str]) {
    let before = all(folder);
    let run: Output = bendline(folder, arguments);
    let said = text(&run.stderr);
    assert_eq!(run.status.code(), Some(1), "{arguments:?}\n{said}");
    for words in words {
        assert!(said.contains(words), "{words}: {arguments:?}\n{said}");
    }
    assert!(!said.contains("planning hole"), "{arguments:?}\n{said}");
    assert!(run.stdout.is_empty(), "{arguments:?}");
    assert!(all(folder) == before, "{arguments:?}: {:?}", names(folder));
}

const PLACE: &str = "expected: an output that takes no input's place";

/// Every input in the place of every output, under the same name.
#[test]
fn no_output_takes_an_inputs_place() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let inputs = [
        ("", hole()),
        ("--player", ONE_CLUB.to_owned()),
        ("--log", LOG.to_owned()),
        ("--round", ROUND.to_owned()),
        ("--heights", heights()),
    ];
    let plan = ["plan", "--out", ".", "--also", "geojson,md,pdf"];
    let plans = ["svg", "json", "geojson", "md", "pdf"].map(|ending| format!("hole-1.{ending}"));
    let book = ["book", "--out", "b.pdf", "--also", "phone"];
    let books = ["b.pdf".to_owned(), "b.html".to_owned()];
    for (command, outputs) in [(&plan, &plans[..]), (&book, &books[..])] {
        for output in outputs {
            for (option, contents) in &inputs {
                fs::write(folder.join(output), contents).expect("a file");
                let mut arguments = command.to_vec();
                if option.is_empty() {
                    arguments.insert(1, output);
                } else {
                    arguments.extend([*option, output.as_str()]);
                }
                refused(
                    folder,
                    &arguments,
                    &[output, PLACE, "the file that is read"],
                );
                fs::remove_file(folder.join(output)).expect("a file");
            }
        }
    }
    // The total of several holes.
    fs::write(folder.join("course.json"), course()).expect("a file");
    let total = [
        "plan",
        "course.json",
        "--hole",
        "1",
        "--hole",
        "2",
        "--out",
        ".",
    ];
    refused(folder, &total, &["course.json", PLACE]);
    // The log, and the one that it is held against.
    fs::write(folder.join("a.csv"), LOG).expect("a file");
    fs::write(folder.join("b.csv"), LOG).expect("a file");
    for input in ["a.csv", "b.csv"] {
        for option in ["--out", "--draw"] {
            let shape = ["shape", "a.csv", "--against", "b.csv", option, input];
            refused(folder, &shape, &[input, PLACE]);
        }
    }
}

/// The same file under another name: by another way, a link, a second name.
#[cfg(unix)]
#[test]
fn an_input_is_known_under_any_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    fs::write(folder.join("range.csv"), LOG).expect("a file");
    fs::create_dir(folder.join("in")).expect("a folder");
    std::os::unix::fs::symlink("range.csv", folder.join("soft")).expect("a link");
    fs::hard_link(folder.join("range.csv"), folder.join("hard")).expect("a second name");
    for name in ["./range.csv", "in/../range.csv", "soft", "hard"] {
        for option in ["--out", "--draw"] {
            let words = [name, PLACE, "found:    the file that is read as range.csv"];
            refused(folder, &["shape", "range.csv", option, name], &words);
        }
    }
    // And the other way round: the input is read by the link.
    refused(
        folder,
        &["shape", "soft", "--out", "range.csv"],
        &[PLACE, "read as soft"],
    );
}

#[cfg(unix)]
#[test]
fn two_outputs_of_one_place_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    fs::write(folder.join("range.csv"), LOG).expect("a file");
    fs::write(folder.join("me.json"), ONE_CLUB).expect("a player");
    let one = "expected: a file for each output";
    let shape = ["shape", "range.csv", "--out", "a.x", "--draw"];
    for (other, words) in [
        ("a.x", "found:    two outputs of one name"),
        ("./a.x", "found:    the same file as the output a.x"),
    ] {
        refused(folder, &[&shape[..], &[other]].concat(), &[one, words]);
    }
    fs::write(folder.join("book.pdf"), "old").expect("a file");
    std::os::unix::fs::symlink("book.pdf", folder.join("book.html")).expect("a link");
    let book = [
        "book", "--player", "me.json", "--out", "book.pdf", "--also", "phone",
    ];
    refused(
        folder,
        &book,
        &[one, "the same file as the output book.pdf"],
    );
}

/// What is no file is neither replaced nor written into.
#[cfg(unix)]
#[test]
fn pipes_and_devices_are_left_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    fs::write(folder.join("range.csv"), LOG).expect("a file");
    let _socket = std::os::unix::net::UnixListener::bind(folder.join("socket")).expect("a socket");
    let made = std::process::Command::new("mkfifo")
        .arg(folder.join("pipe"))
        .status();
    assert!(made.is_ok_and(|made| made.success()), "mkfifo");
    let words = ["expected: a file to write", "a pipe, a socket or a device"];
    // By a link of its own, so that no mistake can take the machine's device.
    std::os::unix::fs::symlink("/dev/full", folder.join("device")).expect("a link");
    for name in ["pipe", "socket", "device"] {
        refused(folder, &["shape", "range.csv", "--out", name], &words);
        let flight = [
            "flight",
            "--ball-speed",
            "160mph",
            "--launch",
            "11",
            "--spin",
            "2600",
        ];
        refused(folder, &[&flight[..], &["--draw", name]].concat(), &words);
        refused(folder, &["book", "--out", name], &words);
    }
    fs::create_dir(folder.join("out")).expect("a folder");
    let made = std::process::Command::new("mkfifo")
        .arg(folder.join("out/hole-1.svg"))
        .status();
    assert!(made.is_ok_and(|made| made.success()), "mkfifo");
    refused(folder, &["plan"], &words);
    refused(
        folder,
        &["shape", "range.csv", "--out", "out"],
        &["a folder of that name"],
    );
}

/// A place where nothing can be written is known before anything is planned.
#[cfg(unix)]
#[test]
fn a_hopeless_place_is_known_before_the_work() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    fs::write(folder.join("me.json"), ONE_CLUB).expect("a player");
    fs::write(folder.join("file"), "").expect("a file");
    let long = "n".repeat(300);
    let player = ["--player", "me.json", "--out"];
    let words = "a folder you may write into";
    for (out, words) in [
        ("/proc/nothing", words),
        (long.as_str(), words),
        (&format!("new/{long}"), words),
        ("file/out", "file is a file"),
    ] {
        refused(folder, &[&["plan"], &player[..], &[out]].concat(), &[words]);
        let book = format!("{out}/book.pdf");
        refused(
            folder,
            &[&["book"], &player[..], &[&book]].concat(),
            &[words],
        );
    }
    let book = format!("{long}.pdf");
    let words = "a name that no file can bear";
    refused(
        folder,
        &[&["book"], &player[..], &[&book]].concat(),
        &[words],
    );
}

/// Files of an earlier run stay, and are named.
#[test]
fn files_of_an_earlier_run_are_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    fs::write(folder.join("me.json"), ONE_CLUB).expect("a player");
    let out = folder.join("out");
    let said = |arguments: &[&str]| {
        let run = bendline(folder, &[arguments, &["--player", "me.json"]].concat());
        let said = text(&run.stderr).to_owned();
        assert_eq!(run.status.code(), Some(0), "{said}");
        said
    };
    assert!(!said(&["plan"]).contains("earlier run"));
    assert!(
        !said(&["plan"]).contains("earlier run"),
        "the same files anew"
    );
    fs::copy(out.join("hole-1.json"), out.join("hole-2.json")).expect("a file");
    fs::copy(out.join("hole-1.svg"), out.join("hole-2.svg")).expect("a file");
    fs::write(out.join("course.json"), "{\"format\": 1}").expect("a file");
    // Not ours: a map and a player called like a plan, a note.
    fs::write(out.join("hole-3.geojson"), hole()).expect("a file");
    fs::write(out.join("hole-3.json"), ONE_CLUB).expect("a file");
    fs::write(out.join("notes.txt"), "").expect("a file");
    let line = |more: &str| {
        format!(
            "note: out also holds files of an earlier run, which this one did not write: \
             course.json, hole-2.json, hole-2.svg{more}\n"
        )
    };
    let before = all(&out);
    assert!(said(&["plan"]).ends_with(&line("")));
    assert!(all(&out) == before);
    let with_pdf = said(&["plan", "--also", "pdf"]);
    assert!(with_pdf.ends_with(&line("")), "{with_pdf}");
    // Now the drawing of this hole as PDF is an earlier run's.
    let said = said(&["plan"]);
    let all = "course.json, hole-1.pdf, hole-2.json, hole-2.svg\n";
    assert!(said.ends_with(all), "{said}");
}

/// An earlier phone page beside a new book.
#[test]
fn an_older_phone_page_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    fs::write(folder.join("me.json"), ONE_CLUB).expect("a player");
    fs::write(folder.join("saturday.html"), "<html>").expect("a file");
    fs::write(folder.join("sunday.html"), "<html>").expect("a file");
    let run = bendline(
        folder,
        &[
            "book",
            "--player",
            "me.json",
            "--no-turns",
            "--out",
            "saturday.pdf",
        ],
    );
    let said = text(&run.stderr);
    assert_eq!(run.status.code(), Some(0), "{said}");
    let line = "note: . also holds files of an earlier run, which this one did not write: \
                saturday.html\n";
    assert!(said.ends_with(line), "{said}");
}
