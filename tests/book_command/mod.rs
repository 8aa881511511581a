//! `bendline book`, round files, and a plan's other forms, as a user runs them.

use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Command, Output, Stdio};

use super::paper::Paper;

/// A player with four clubs, who is planned for in a third of the time of a full bag.
const FEW_CLUBS: &str = "examples/logs/twelve-shots.csv";
const COURSE: &str = "holes/course.geojson";

fn source(name: &str) -> String {
    format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))
}

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bendline"));
    command
        .current_dir(folder)
        .args(arguments)
        .stdin(Stdio::null());
    command
}

fn bendline(folder: &Path, arguments: &[&str]) -> Output {
    command(folder, arguments).output().expect("it starts")
}

fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).expect("UTF-8")
}

#[test]
fn a_round_file_makes_a_book_of_its_day() {
    let folder = tempfile::tempdir().expect("a folder");
    let (course, log) = (source(COURSE), source(FEW_CLUBS));
    let round = source("examples/round.toml");
    let book = |out: &str, more: &[&str]| {
        let mut arguments = vec![
            "book", &course, "--log", &log, "--round", &round, "--hole", "7", "--out", out,
        ];
        arguments.extend(more);
        let run = bendline(folder.path(), &arguments);
        assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
        fs::read(folder.path().join(out)).expect("a book")
    };
    let alone = book("alone.pdf", &["--no-turns", "--threads", "1"]);
    assert!(
        alone == book("books/two.pdf", &["--no-turns", "--threads", "2"]),
        "the threads change the book"
    );
    let bytes = book("one.pdf", &["--hole", "2"]);
    let paper = Paper::read(&bytes);
    assert_eq!(paper.pages(), 1 + 2 * 2 + 4);
    for words in [
        "Nine invented holes",
        "2026-06-14",
        "12 mph from WSW",
        "17 °C",
        "firm ground",
        "white tees",
    ] {
        assert!(paper.text(0).contains(words), "{}", paper.text(0));
    }
    let green = paper.text(2);
    assert!(
        green.contains("pin 14 on") && green.contains("6 from the left"),
        "{green}"
    );
    let green = paper.text(4);
    assert!(
        green.contains("pin 12 on") && green.contains("8 from the right"),
        "{green}"
    );
    // The other three quarters, and no wind.
    let turns = paper.text(5);
    for words in ["from NNW", "from ENE", "from SSE", "calm"] {
        assert!(turns.contains(words), "{turns}");
    }
}

#[test]
fn every_problem_of_a_round_file_is_told_and_nothing_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let course = source(COURSE);
    let refused = |round: &str, words: &[&str]| {
        fs::write(folder.path().join("round.toml"), round).expect("written");
        for command in ["plan", "book"] {
            let run = bendline(folder.path(), &[command, &course, "--round", "round.toml"]);
            let said = text(&run.stderr);
            assert_eq!(run.status.code(), Some(1), "{said}");
            for word in words {
                assert!(said.contains(word), "no \"{word}\" in:\n{said}");
            }
            assert_eq!(fs::read_dir(folder.path()).expect("there").count(), 1);
        }
    };
    refused(
        "wind = \"12\"\ncolour = \"white\"\n[pins]\n3 = \"7\"\n",
        &[
            "round.toml: line 1",
            "expected: wind: a wind as SPEED@FROM",
            "round.toml: line 2",
            "found:    the key \"colour\"",
            "round.toml: line 4",
            "expected: pins, hole 3: a pin as ON,SIDE",
            "3 problems",
        ],
    );
    refused(
        "[pins]\n2 = \"90,4L\"\n19 = \"9,4L\"\n",
        &[
            "round.toml: line 2",
            "expected: pins, hole 2:",
            "round.toml: line 3",
            "expected: a hole of the course: 1, 2, 3",
            "found:    \"19\"",
            "2 problems",
        ],
    );
    refused("tees = \"mauve\"\n", &["found:    mauve", "9 problems"]);
}

/// RFC 7946: positions, closed rings that turn left; and what is on the map is what the plan says.
#[test]
fn a_plan_in_its_other_forms() {
    let folder = tempfile::tempdir().expect("a folder");
    let (course, log) = (source(COURSE), source(FEW_CLUBS));
    let run = bendline(
        folder.path(),
        &[
            "plan",
            &course,
            "--hole",
            "2",
            "--log",
            &log,
            "--also",
            "geojson,md,pdf,md",
        ],
    );
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    assert!(
        text(&run.stdout).ends_with(
            "wrote out/hole-2.svg\nwrote out/hole-2.json\nwrote out/hole-2.geojson\n\
             wrote out/hole-2.md\nwrote out/hole-2.pdf\n"
        ),
        "{}",
        text(&run.stdout)
    );
    let read = |ending: &str| {
        fs::read(folder.path().join(format!("out/hole-2.{ending}"))).expect("written")
    };
    let plan: serde_json::Value = serde_json::from_slice(&read("json")).expect("JSON");
    let map: geojson::GeoJson = text(&read("geojson")).parse().expect("GeoJSON");
    let geojson::GeoJson::FeatureCollection(map) = map else {
        panic!("a feature collection")
    };
    let called = |what: &str| {
        map.features
            .iter()
            .find(|f| f.property("what").and_then(|w| w.as_str()) == Some(what))
            .unwrap_or_else(|| panic!("no {what}"))
    };
    let aim: geo::LineString<f64> = called("aim line")
        .geometry
        .clone()
        .and_then(|g| g.try_into().ok())
        .expect("a line");
    let number = |path: &str| {
        plan.pointer(path)
            .and_then(|v| v.as_f64())
            .expect("a number")
    };
    for (c, place) in [(aim.0[0], "tee"), (aim.0[1], "aim")] {
        let lon = number(&format!("/choice/{place}/lon"));
        let lat = number(&format!("/choice/{place}/lat"));
        assert!((c.x - lon).abs() < 1e-6 && (c.y - lat).abs() < 1e-6);
    }
    for what in ["half of the balls", "nine tenths of the balls"] {
        use geo::Area;
        let region: geo::Polygon<f64> = called(what)
            .geometry
            .clone()
            .and_then(|g| g.try_into().ok())
            .expect("an area");
        assert!(region.signed_area() > 0.0, "{what} turns right");
        assert!(region.exterior().is_closed());
    }
    let report = read("md");
    let report = text(&report);
    assert!(report.starts_with("# Hole 2 "), "{report}");
    let sentence = plan["words"]["sentence"].as_str().expect("words");
    assert!(report.contains(&format!("**{sentence}**")), "{report}");
    assert!(report.contains("## Take care"));
    let paper = Paper::read(&read("pdf"));
    assert_eq!((paper.pages(), paper.fonts()), (1, [2, 2]));
    let size = paper.size(0);
    assert!((size[0] - 1079.0).abs() < 0.01 && (size[1] - 1778.0).abs() < 0.01);
}

/// Interrupted at the third hole: a book of the first two, whole, and nothing else.
#[cfg(unix)]
#[test]
fn ctrl_c_leaves_the_finished_holes_and_no_half_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let (course, log) = (source(COURSE), source(FEW_CLUBS));
    let mut run = command(
        folder.path(),
        &["book", &course, "--log", &log, "--no-turns"],
    )
    .stdout(Stdio::piped())
    .stderr(Stdio::piped())
    .spawn()
    .expect("it starts");
    let mut lines = BufReader::new(run.stderr.take().expect("piped"));
    let mut line = String::new();
    while !line.contains("planning hole 3") {
        line.clear();
        assert!(
            lines.read_line(&mut line).expect("text") > 0,
            "it ended early"
        );
    }
    let sent = Command::new("kill")
        .args(["-INT", &run.id().to_string()])
        .status();
    assert!(sent.expect("kill").success());
    let mut said = String::new();
    lines.read_to_string(&mut said).expect("text");
    assert_eq!(run.wait().expect("an end").code(), Some(130), "{said}");
    assert!(said.contains("stopped: without holes 3, 4, 5"), "{said}");
    let mut out = String::new();
    let mut piped = run.stdout.take().expect("piped");
    piped.read_to_string(&mut out).expect("text");
    assert_eq!(out, "wrote out/book.pdf: 2 holes\n");
    let names: Vec<_> = fs::read_dir(folder.path().join("out"))
        .expect("a folder")
        .map(|entry| entry.expect("an entry").file_name())
        .collect();
    assert_eq!(names, ["book.pdf"]);
    let paper = Paper::read(&fs::read(folder.path().join("out/book.pdf")).expect("a book"));
    assert_eq!(paper.pages(), 1 + 2 * 2 + 3);
    assert!(paper.text(0).contains("Stopped before holes 3, 4, 5"));
}

/// The page says in yards what a plan in yards says, though the book was asked for in metres.
#[test]
fn a_book_comes_as_a_page_for_the_phone_too() {
    let folder = tempfile::tempdir().expect("a folder");
    let (course, log) = (source(COURSE), source(FEW_CLUBS));
    let game = [course.as_str(), "--hole", "7", "--log", &log, "--units"];
    let said = |command: &str, unit: &str, more: &[&str]| {
        let mut arguments = vec![command];
        arguments.extend(game);
        arguments.push(unit);
        arguments.extend(more);
        let run = bendline(folder.path(), &arguments);
        assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
        text(&run.stdout).to_owned()
    };
    let more = ["--no-turns", "--out", "b/one.pdf", "--also", "phone,phone"];
    assert_eq!(
        said("book", "m", &more),
        "wrote b/one.pdf: 1 hole\nwrote b/one.html: 1 hole\n"
    );
    let page = fs::read(folder.path().join("b/one.html")).expect("a page");
    let page = text(&page).replace('\u{a0}', " ");
    assert!(page.contains("<html lang=\"en\" data-unit=\"m\">"));
    let plan = said("plan", "yd", &["--json"]);
    let plan: serde_json::Value = serde_json::from_str(&plan).expect("JSON");
    let sentence = plan["words"]["sentence"].as_str().expect("words");
    // Numbers that are the same in both units are said once.
    let words = sentence.replace('\'', "&#39;");
    let yards = format!("<span class=\"yd\">{words}</span>");
    let both = format!("<p class=\"sentence\">{words}</p>");
    assert!(
        page.contains(&yards) || page.contains(&both),
        "no \"{sentence}\""
    );
    // A name that the page would take for itself.
    let run = bendline(
        folder.path(),
        &["book", &course, "--out", "b.html", "--also", "phone"],
    );
    assert_eq!(run.status.code(), Some(1));
    assert!(text(&run.stderr).contains("name the book BOOK.pdf"));
}

/// A carry that the player makes down the wind and not against it: the book is made, and says so on
/// a page of its own, in the table of other winds and on the phone; so does `--what-if`.
#[test]
fn a_wind_in_which_a_hole_is_not_reached_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let (hole, log) = (
        source("tests/bad/not_reached/wide_water.geojson"),
        source(FEW_CLUBS),
    );
    let words = "In a wind of 40 mph from N, hole 1 is not reached in 13 strokes.";
    let day = ["--log", &log, "--wind", "40mph@180"];
    let book = ["book", &hole, "--out", "one.pdf", "--also", "phone"];
    let run = bendline(folder.path(), &[&book[..], &day].concat());
    let said = text(&run.stderr);
    assert_eq!(run.status.code(), Some(0), "{said}");
    assert!(said.contains(&format!("note: {words}")), "{said}");
    let bytes = fs::read(folder.path().join("one.pdf")).expect("a book");
    let paper = Paper::read(&bytes);
    let page = running(&paper.text(1));
    assert!(
        page.contains("Check first") && page.contains(words),
        "{page}"
    );
    let turns = paper.text(4);
    assert!(turns.contains("N: not reached"), "{turns}");
    let phone = fs::read(folder.path().join("one.html")).expect("a page");
    assert!(text(&phone).contains(&format!("Check first:</strong> {words}")));
}

/// Lines run together.
fn running(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A question that was answered stands in the book, on the phone page and on the drawing too.
#[test]
fn an_answered_question_stands_in_the_book() {
    let folder = tempfile::tempdir().expect("a folder");
    let (hole, log) = (
        source("tests/bad/question/tag_pond.geojson"),
        source(FEW_CLUBS),
    );
    let day = [hole.as_str(), "--log", &log, "--it-is-so", "map-tag"];
    let book = ["--no-turns", "--out", "one.pdf", "--also", "phone"];
    let run = bendline(folder.path(), &[&["book"], &day[..], &book].concat());
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let run = bendline(folder.path(), &[&["plan", "--json"], &day[..]].concat());
    let plan: serde_json::Value = serde_json::from_str(text(&run.stdout)).expect("JSON");
    let words = plan["check_first"][0].as_str().expect("a first line");
    let bytes = fs::read(folder.path().join("one.pdf")).expect("a book");
    let paper = Paper::read(&bytes);
    let page = running(&paper.text(1));
    assert!(
        page.starts_with("Check first") && page.contains(&running(words)),
        "{page}"
    );
    assert!(
        paper
            .text(2)
            .contains("An input looks wrong and is planned as it stands")
    );
    let phone = fs::read(folder.path().join("one.html")).expect("a page");
    assert!(text(&phone).contains("class=\"check\"><strong>Check first:</strong> "));
}
