//! Names that command a terminal, end a line or turn the direction of reading are shown harmless
//! everywhere; and what is said of long names is said to its end.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::{ONE_CLUB, bendline, names, text};

/// Each of these acts on what is shown around it, and shows nothing itself.
const ACTING: &str = "\u{1b}\u{7f}\u{9b}\u{ad}\u{61c}\u{200b}\u{200e}\u{200f}\u{2028}\u{2029}\
                      \u{202a}\u{202b}\u{202c}\u{202d}\u{202e}\u{2066}\u{2067}\u{2068}\u{2069}\u{feff}";

fn is_harmless(shown: &str, of: &str) {
    let acting = shown.chars().find(|c| ACTING.contains(*c));
    assert!(
        acting.is_none(),
        "{of}: {:x}",
        u32::from(acting.unwrap_or(' '))
    );
}

/// The first demo hole under another name and number.
fn hole(name: &str, number: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("holes/01-sickle.geojson");
    let file = fs::read_to_string(path).expect("a demo hole");
    let mut file: Value = serde_json::from_str(&file).expect("JSON");
    let features = file["features"].as_array_mut().expect("features");
    let line = features
        .iter_mut()
        .find(|each| each["properties"]["golf"] == "hole")
        .expect("a line of play");
    line["properties"]["name"] = name.into();
    line["properties"]["ref"] = number.into();
    file.to_string()
}

#[test]
fn names_do_nothing_to_what_shows_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let acting: String = ACTING.chars().flat_map(|c| ['a', c]).collect();
    let name = format!("Sic{acting}kle");
    fs::write(
        folder.join("map.geojson"),
        hole(&name, &format!("1{acting}")),
    )
    .expect("a map");
    let player = ONE_CLUB.replacen('{', "{\"name\": NAME, ", 1);
    let player = player.replacen("NAME", &Value::from(name.as_str()).to_string(), 1);
    fs::write(folder.join("me.json"), player).expect("a player");
    fs::write(folder.join(format!("log{}.csv", &acting[..8])), "club\n").expect("a log");
    let round = format!("course = {}\n", Value::from("The \u{202e}Nine"));
    fs::write(folder.join("round.toml"), round).expect("a round");
    let who = ["map.geojson", "--player", "me.json"];
    let mut shown: BTreeMap<String, String> = BTreeMap::new();
    let plan = ["--also", "geojson,md,pdf", "--what-if", "pins"];
    let book = [
        "--out",
        "out/b.pdf",
        "--also",
        "phone",
        "--no-turns",
        "--round",
        "round.toml",
    ];
    for (command, more) in [
        ("plan", &plan[..]),
        ("plan", &["--json"]),
        ("book", &book),
        ("practice", &["--json"]),
        ("practice", &[]),
    ] {
        let run = bendline(folder, &[&[command], &who[..], more].concat());
        assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
        let key = format!("{command} {more:?}");
        shown.insert(format!("{key} out"), text(&run.stdout).to_owned());
        shown.insert(format!("{key} err"), text(&run.stderr).to_owned());
    }
    let files: Vec<String> = names(folder).into_iter().filter(|n| n != "out").collect();
    let files: Vec<&str> = files.iter().map(String::as_str).collect();
    let run = bendline(folder, &[&["check"], &files[..]].concat());
    shown.insert("check out".into(), text(&run.stdout).to_owned());
    shown.insert("check err".into(), text(&run.stderr).to_owned());
    let out = folder.join("out");
    for name in names(&out) {
        let bytes = fs::read(out.join(&name)).expect("a file");
        // The words of a PDF are seen through `text::clean`, as those of a drawing.
        if !name.ends_with(".pdf") {
            shown.insert(name, String::from_utf8(bytes).expect("UTF-8"));
        }
    }
    assert_eq!(shown.len(), 17, "{:?}", shown.keys());
    for (of, shown) in &shown {
        is_harmless(shown, of);
    }
    // The plan file still holds the name as it is.
    let plan = shown
        .iter()
        .find(|(name, _)| name.ends_with(".json") && name.starts_with("hole-"));
    let plan: Value = serde_json::from_str(plan.expect("a plan file").1).expect("JSON");
    assert_eq!(plan["hole"]["name"], name.as_str());
}

/// A note on thirteen clubs, longer than four hundred characters, ends with what was done.
#[test]
fn a_long_note_is_shown_to_its_end() {
    let folder = tempfile::tempdir().expect("a folder");
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/logs/strong-draw.csv");
    let demo = fs::read_to_string(demo).expect("the demo log");
    let mut lines = demo.lines();
    let head = lines.next().expect("headings");
    let at = head.split(',').position(|h| h == "ball_speed_mph");
    let at = at.expect("a column of ball speeds");
    let mut log = format!("{head}\n");
    let mut clubs: Vec<&str> = Vec::new();
    for line in lines {
        let mut cells: Vec<String> = line.split(',').map(String::from).collect();
        let club = line.split(',').next().expect("a club");
        if !clubs.contains(&club) {
            clubs.push(club);
        }
        // Every other club is measured fast, the others slow: no ball explains both.
        let odd = clubs.iter().position(|known| *known == club).unwrap_or(0) % 2 == 1;
        if let Ok(speed) = cells[at].parse::<f64>() {
            cells[at] = format!("{:.1}", speed * if odd { 1.06 } else { 0.96 });
        }
        log.push_str(&cells.join(","));
        log.push('\n');
    }
    fs::write(folder.path().join("range.csv"), log).expect("a log");
    let run = bendline(folder.path(), &["shape", "range.csv"]);
    let said = text(&run.stderr);
    assert_eq!(run.status.code(), Some(0), "{said}");
    let note = said
        .lines()
        .find(|line| line.contains("do not fly here as"));
    let note = note.expect("a note on launches");
    assert!(note.chars().count() > 430, "{note}");
    assert!(note.contains("sw ("), "{note}");
    let end = "; ball speed and axis tilt are corrected so that they do";
    assert!(note.ends_with(end), "{note}");
}

/// A name of ten thousand letters is shortened, and what is said of it is not.
#[test]
fn a_long_name_is_shortened_in_a_whole_sentence() {
    let folder = tempfile::tempdir().expect("a folder");
    let club = "x".repeat(10_000);
    let log = format!("club,carry_yd,side_yd\n{club},230,about 5\n");
    fs::write(folder.path().join("range.csv"), log).expect("a log");
    for arguments in [&["shape", "range.csv"][..], &["check", "range.csv"]] {
        let run = bendline(folder.path(), arguments);
        let said = text(&run.stderr);
        assert_eq!(run.status.code(), Some(1), "{said}");
        assert!(said.contains("remedy:   ") && said.len() < 20_000, "{said}");
        assert!(!said.contains(&"x".repeat(2500)), "{said}");
    }
}
