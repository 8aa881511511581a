//! The command line: what it prints to the letter, its exit codes, and that nothing is written
//! when something is wrong.

use std::fs::{self, File};
use std::io::Read;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

#[path = "cli/own_shots.rs"]
mod own_shots;
#[path = "cli/practice.rs"]
mod practice;
#[path = "cli/review.rs"]
mod review;

/// A player with four clubs, who is planned for in a third of the time of a full bag.
const FEW_CLUBS: &str = "examples/logs/twelve-shots.csv";

/// Help pages, usage errors and bad inputs, word for word.
#[test]
fn words() {
    trycmd::TestCases::new()
        .case("tests/cli/*.trycmd")
        .case("tests/cli/plan-*.toml")
        .case("tests/bad/usage/*.trycmd");
}

/// The program, run in a folder of its own.
fn bendline(folder: &Path, arguments: &[&str]) -> Output {
    command(folder, arguments)
        .output()
        .expect("the program starts")
}

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bendline"));
    command
        .current_dir(folder)
        .args(arguments)
        .stdin(Stdio::null());
    command
}

fn folder() -> TempDir {
    tempfile::tempdir().expect("a folder")
}

/// A file of the source tree, by its full name.
fn source(name: &str) -> String {
    format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .into_string()
                .expect("a name")
        })
        .collect();
    names.sort();
    names
}

fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).expect("UTF-8")
}

/// Exit code 1, these words on the standard error, nothing on the standard output, nothing new in
/// the folder.
fn refused(folder: &Path, arguments: &[&str], words: &[&str]) {
    let before = names(folder);
    let run = bendline(folder, arguments);
    let said = text(&run.stderr);
    assert_eq!(run.status.code(), Some(1), "{arguments:?}: {said}");
    assert_eq!(text(&run.stdout), "", "{arguments:?}");
    for word in words {
        assert!(
            said.contains(word),
            "{arguments:?}: no \"{word}\" in:\n{said}"
        );
    }
    assert_eq!(names(folder), before, "{arguments:?}");
}

#[test]
fn without_a_file_the_built_in_hole_is_planned() {
    let folder = folder();
    let run = bendline(folder.path(), &["plan", "--full"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    assert_eq!(names(folder.path()), ["out"]);
    assert_eq!(
        names(&folder.path().join("out")),
        ["hole-1.json", "hole-1.svg"]
    );
    let said = text(&run.stdout);
    assert!(
        said.contains("wrote out/hole-1.svg\nwrote out/hole-1.json\n"),
        "{said}"
    );
    assert!(text(&run.stderr).contains("planning hole 1 …\n"));
    let plan: Value = read_json(&folder.path().join("out/hole-1.json"));
    let sentence = plan["words"]["sentence"].as_str().expect("a sentence");
    // The report may wrap its lines.
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat(said).contains(&flat(sentence)), "{said}");
    let drawing = fs::read_to_string(folder.path().join("out/hole-1.svg")).expect("a drawing");
    let drawing = roxmltree::Document::parse(&drawing).expect("well-formed XML");
    assert_eq!(drawing.root_element().tag_name().name(), "svg");
}

/// On every demo hole, in wind, to other pins and beside shots of one's own, the decision takes at
/// most fifteen lines of 80 columns, the club and the aim in it.
#[test]
fn a_decision_takes_fifteen_lines() {
    let folder = folder();
    let log = source("examples/logs/two-way.csv");
    let course = source("holes/course.geojson");
    for hole in 1..=9 {
        let hole = hole.to_string();
        let arguments = [
            "plan",
            &course,
            "--hole",
            &hole,
            "--log",
            &log,
            "--wind",
            "12mph@240",
            "--worth",
            "table",
            "--what-if",
            "pins,winds",
            "--instead",
            "3w",
            "--instead",
            "driver, aim down the middle",
        ];
        let run = command(folder.path(), &arguments)
            .env_remove("COLUMNS")
            .output()
            .expect("the program starts");
        assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
        let said = text(&run.stdout);
        let decision: Vec<&str> = said.lines().take_while(|line| !line.is_empty()).collect();
        assert!(decision.len() <= 15, "{} lines: {said}", decision.len());
        assert!(
            decision.iter().all(|line| line.chars().count() <= 80),
            "{said}"
        );
        for row in [
            "peg", "aim", "ball", "miss", "then", "score", "balls", "yours", "if",
        ] {
            let is_there = |line: &&str| line.starts_with(&format!("  {row} "));
            assert!(decision.iter().any(is_there), "{row}: {said}");
        }
    }
}

/// A usual decision takes at most fifteen lines of 60 and of 120 columns too, with club, aim, ball, miss,
/// score and what else there is.
#[test]
fn a_decision_takes_fifteen_lines_of_60_and_120_columns() {
    let folder = folder();
    let log = source("examples/logs/two-way.csv");
    let course = source("holes/course.geojson");
    for (hole, columns) in [("1", 60), ("7", 60), ("9", 60), ("1", 120)] {
        let plan = [
            "plan",
            &course,
            "--hole",
            hole,
            "--log",
            &log,
            "--wind",
            "12mph@240",
        ];
        let run = command(folder.path(), &plan)
            .env("COLUMNS", columns.to_string())
            .output()
            .expect("the program starts");
        assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
        let said = text(&run.stdout);
        let decision: Vec<&str> = said.lines().take_while(|line| !line.is_empty()).collect();
        assert!(decision.len() <= 15, "{} lines: {said}", decision.len());
        let is_narrow = |line: &&str| line.chars().count() <= columns;
        assert!(decision.iter().all(is_narrow), "{said}");
        for row in ["peg", "aim", "ball", "miss", "then", "score", "instead"] {
            let is_there = |line: &&str| line.starts_with(&format!("  {row} "));
            assert!(decision.iter().any(is_there), "{row}: {said}");
        }
    }
}

fn read_json(path: &Path) -> Value {
    serde_json::from_slice(&fs::read(path).expect("a file")).expect("JSON")
}

fn schema() -> jsonschema::Validator {
    let schema = read_json(Path::new(&source("src/plan/plan.schema.json")));
    jsonschema::validator_for(&schema).expect("a sound schema")
}

/// What `--json` prints is one JSON value that the published schema accepts, the same bytes as the
/// plan file; without `--out` no file is written.
#[test]
fn json_goes_to_the_standard_output_alone() {
    let folder = folder();
    let bare = bendline(folder.path(), &["plan", "--json"]);
    assert_eq!(bare.status.code(), Some(0), "{}", text(&bare.stderr));
    assert!(names(folder.path()).is_empty());
    let plan: Value = serde_json::from_slice(&bare.stdout).expect("one JSON value");
    let errors: Vec<String> = schema().iter_errors(&plan).map(|e| e.to_string()).collect();
    assert!(errors.is_empty(), "{errors:#?}");

    let filed = bendline(folder.path(), &["plan", "--json", "--out", "a/b"]);
    assert_eq!(filed.stdout, bare.stdout);
    assert_eq!(
        names(&folder.path().join("a/b")),
        ["hole-1.json", "hole-1.svg"]
    );
    let file = fs::read(folder.path().join("a/b/hole-1.json")).expect("a plan file");
    assert_eq!(file, bare.stdout);
}

/// A plan says how it was held to rollouts: their mean is the choice's strokes within four standard
/// errors of both, or the choice is priced by them. By the table nothing is played out.
#[test]
fn a_plan_says_how_it_was_played_out() {
    let folder = folder();
    let plan = |more: &[&str]| -> Value {
        let run = bendline(folder.path(), &[&["plan", "--json"], more].concat());
        assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
        serde_json::from_slice(&run.stdout).expect("one JSON value")
    };
    let solved = plan(&[]);
    let (verified, choice) = (&solved["verified"], &solved["choice"]);
    let number = |value: &Value| value.as_f64().expect("a number");
    assert!(number(&verified["rollouts"]) >= 1000.0, "{verified}");
    let rows = 1 + ["alternatives", "comparisons"]
        .map(|rows| solved[rows].as_array().expect("rows").len())
        .iter()
        .sum::<usize>();
    assert_eq!(verified["rows"], rows, "{verified}");
    let error = number(&verified["standard_error"]).hypot(number(&choice["standard_error"]));
    let apart = number(&verified["strokes"]) - number(&choice["expected_strokes"]);
    assert!(apart.abs() <= f64::max(0.02, 4.0 * error), "{verified}");
    let notes = solved["notes"].to_string();
    let repriced = verified["repriced"].as_array().expect("rows").len();
    assert_eq!(notes.contains("Played out to the last putt"), repriced > 0);
    assert_eq!(plan(&["--worth", "table"])["verified"], Value::Null);
}

/// What comes next is for what the tee was decided for: told in its unit beside strokes,
/// none of its shots better than the choice beyond noise, and the schema knows it.
#[test]
fn what_comes_next_is_for_the_aim_of_play() {
    let folder = folder();
    let hole = source("holes/04-flue.geojson");
    let args = ["plan", &hole, "--for", "no-double", "--json"];
    let run = bendline(folder.path(), &args);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let plan: Value = serde_json::from_slice(&run.stdout).expect("one JSON value");
    let errors: Vec<String> = schema().iter_errors(&plan).map(|e| e.to_string()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let next = &plan["whole_hole"]["next"];
    let by = &next["for_aim"];
    assert_eq!(
        (&by["aim"], &by["unit"]),
        (&"no-double".into(), &"chance".into())
    );
    assert_eq!(by["by_strokes"], Value::Null);
    let number = |of: &Value| of.as_f64().expect("a number");
    let choice = &next["choice"];
    assert_eq!(number(&choice["by_aim"]["costs"]), 0.0);
    let others = ["others", "lay_ups"].map(|list| next[list].as_array().expect("an array"));
    let fewest = Some(&by["fewest_strokes"]).filter(|shot| shot.is_object());
    for shot in others.into_iter().flatten().chain(fewest) {
        let had = &shot["by_aim"];
        let error = number(&had["costs_standard_error"]);
        assert!(number(&had["costs"]) > -2.0 * error - 0.002, "{shot}");
        let apart = number(&choice["by_aim"]["worth"]) - number(&had["worth"]);
        assert!((apart - number(&had["costs"])).abs() < 0.0021, "{shot}");
        assert!((0.0..=1.0).contains(&number(&had["worth"])));
    }
    // The better half has at least as much.
    let sides = ["left", "right"].map(|side| number(&next["miss"][side]));
    assert!(sides.iter().all(|side| (0.0..=1.0).contains(side)));
    match next["miss"]["side"].as_str() {
        Some("left") => assert!(sides[0] > sides[1]),
        Some("right") => assert!(sides[0] < sides[1]),
        _ => {}
    }
}

/// Something to aim at that the round file names is aimed by, in the terminal, the plan file and on the
/// page, and can be named on the command line; one nowhere near, or of no hole, is a mistake.
#[test]
fn targets_of_the_round_file_are_aimed_by() {
    let folder = folder();
    let course = source("holes/course.geojson");
    let plan = |targets: &str, more: &[&str]| {
        std::fs::write(folder.path().join("day.toml"), targets).expect("a round file");
        let plan = [
            "plan", &course, "--hole", "2", "--round", "day.toml", "--out", "out",
        ];
        bendline(folder.path(), &[&plan[..], more].concat())
    };
    let run = plan("# nothing yet\n", &[]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let file = read_json(&folder.path().join("out/hole-2.json"));
    // A tower a mile off, on the plan's aim.
    let aim_deg = file["choice"]["aim"]["from_line_of_play_deg"].as_f64();
    let right = 1760.0 * aim_deg.expect("an aim").to_radians().tan();
    let side = if right < 0.0 { "L" } else { "R" };
    let place = format!("1760,{:.0}{side}", right.abs());
    let named = format!("[targets]\n2 = {{ \"the water tower\" = \"{place}\" }}\n");
    let run = plan(&named, &["--instead", "driver, aim at the water tower"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let said = text(&run.stdout);
    assert!(said.contains("  aim     the water tower"), "{said}");
    let file = read_json(&folder.path().join("out/hole-2.json"));
    assert!(schema().is_valid(&file));
    let aim = &file["choice"]["aim"];
    assert_eq!(aim["words"], "the water tower");
    let page = std::fs::read_to_string(folder.path().join("out/hole-2.svg")).expect("a page");
    assert!(page.contains("water tower"));
    for (wrong, expected) in [
        (
            "2 = { \"the tower\" = \"40.5, 170.2\" }",
            "longitude, latitude",
        ),
        (
            "2 = { \"the tower\" = \"140.5, 50.2\" }",
            "within 30 km of the hole",
        ),
        ("2 = { \"the tower\" = \"410,25\" }", "end with L or R"),
        ("2 = \"the tower\"", "names, and where each stands"),
        (
            "20 = { \"the tower\" = \"410,25R\" }",
            "a hole of the course: 1, 2",
        ),
    ] {
        let run = plan(&format!("[targets]\n{wrong}\n"), &[]);
        assert_eq!(run.status.code(), Some(1), "{wrong}");
        let said = text(&run.stderr);
        assert!(
            said.contains("day.toml: line 2") && said.contains(expected),
            "{said}"
        );
    }
}

/// The player's own words for a hole stand in the terminal's plan, the plan file, on the page and in
/// Markdown, without what commands a terminal; words for a hole that there is not are a mistake.
#[test]
fn notes_of_the_round_file_are_on_the_page() {
    let folder = folder();
    let course = source("holes/course.geojson");
    let log = source(FEW_CLUBS);
    let plan = |notes: &str| {
        std::fs::write(folder.path().join("day.toml"), notes).expect("a round file");
        let also = ["--also", "md", "--out", "out"];
        let plan = [
            "plan", &course, "--hole", "7", "--log", &log, "--round", "day.toml",
        ];
        bendline(folder.path(), &[&plan[..], &also].concat())
    };
    let run = plan("[notes]\n7 = \"wait for\\u001b a lull\"\n2 = \"never short\"\n");
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    assert!(
        text(&run.stdout).contains("  note    wait for a lull\n"),
        "{}",
        text(&run.stdout)
    );
    let file = read_json(&folder.path().join("out/hole-7.json"));
    assert_eq!(file["words"]["note"], "wait for  a lull");
    assert!(schema().is_valid(&file));
    for (name, words) in [
        ("hole-7.svg", ">NOTE<"),
        ("hole-7.md", "Your note: wait for  a lull"),
    ] {
        let drawn = std::fs::read_to_string(folder.path().join("out").join(name)).expect(name);
        assert!(drawn.contains(words), "{name}");
        assert!(!drawn.contains("never short"), "{name}");
    }
    let run = plan("[notes]\n10 = \"a hole too many\"\n");
    assert_eq!(run.status.code(), Some(1));
    let said = text(&run.stderr);
    assert!(
        said.contains("line 2") && said.contains("a hole of the course: 1, 2"),
        "{said}"
    );
}

/// The costs of other aims: from left to right, the choice's own 0, the window's ends at 0.02 strokes,
/// and the named aim down the middle, which other samples and rollouts price, on the curve.
#[test]
fn costs_of_aims_agree_with_the_window_and_the_named_aim() {
    let folder = folder();
    let run = bendline(folder.path(), &["plan", "--json"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let plan: Value = serde_json::from_slice(&run.stdout).expect("one JSON value");
    let number = |of: &Value| of.as_f64().expect("a number");
    let choice = &plan["choice"];
    let costs = choice["aim_costs"].as_array().expect("an array");
    let curve: Vec<[f64; 2]> = costs
        .iter()
        .map(|cost| [number(&cost["aim_deg"]), number(&cost["costs"])])
        .collect();
    assert!(
        curve.windows(2).all(|pair| pair[0][0] < pair[1][0]),
        "{curve:?}"
    );
    let at = |deg: f64| {
        let pair = curve
            .windows(2)
            .find(|pair| (pair[0][0]..=pair[1][0]).contains(&deg))
            .expect("an aim on the curve");
        let share = (deg - pair[0][0]) / (pair[1][0] - pair[0][0]);
        pair[0][1] + share * (pair[1][1] - pair[0][1])
    };
    assert!(at(number(&choice["aim"]["from_line_of_play_deg"])).abs() < 1e-9);
    for end in choice["aim_window_deg"].as_array().expect("two") {
        assert!((at(number(end)) - 0.02).abs() < 0.001, "{end}: {curve:?}");
    }
    let named = plan["comparisons"].as_array().expect("an array");
    let middle = named.iter().find(|aim| aim["name"] == "down the middle");
    let middle = middle.expect("a named aim");
    let off = at(number(&middle["aim"]["from_line_of_play_deg"])) - number(&middle["costs"]);
    assert!(
        off.abs() < 0.01 + 3.0 * number(&middle["costs_standard_error"]),
        "{off}"
    );
}

/// Several holes are an object: the total, and the plans in the order of the file, each accepted
/// by its schema; the total is what `course.json` holds, and adds up.
#[test]
fn several_holes_come_with_their_total() {
    let folder = folder();
    let course = source("holes/course.geojson");
    let log = source(FEW_CLUBS);
    let run = bendline(
        folder.path(),
        &[
            "plan", &course, "--hole", "7", "--hole", "2", "--log", &log, "--json", "--out", "out",
        ],
    );
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let several: Value = serde_json::from_slice(&run.stdout).expect("one JSON value");
    let plans = several["plans"].as_array().expect("an array");
    let holes: Vec<&str> = plans
        .iter()
        .filter_map(|p| p["hole"]["ref"].as_str())
        .collect();
    assert_eq!(holes, ["2", "7"]);
    let schema = schema();
    assert!(plans.iter().all(|plan| schema.is_valid(plan)));
    let total = &several["course"];
    assert_eq!(*total, read_json(&folder.path().join("out/course.json")));
    let total_schema = read_json(Path::new(&source("src/plan/course.schema.json")));
    assert!(jsonschema::meta::is_valid(&total_schema));
    let total_schema = jsonschema::validator_for(&total_schema).expect("a sound schema");
    let errors: Vec<String> = total_schema
        .iter_errors(total)
        .map(|e| e.to_string())
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let sum: f64 = plans
        .iter()
        .filter_map(|plan| plan["whole_hole"]["expected_score"].as_f64())
        .sum();
    let told = total["expected_score"].as_f64().expect("a score");
    assert!((sum - told).abs() < 1e-3, "{sum} {told}");
    assert_eq!(
        names(&folder.path().join("out")),
        [
            "course.json",
            "hole-2.json",
            "hole-2.svg",
            "hole-7.json",
            "hole-7.svg"
        ]
    );
}

/// The view from the tee and the page in large type stand beside the drawing, each whole XML.
#[test]
fn a_view_and_a_large_page() {
    let folder = folder();
    let log = source(FEW_CLUBS);
    let arguments = [
        "plan", "--log", &log, "--worth", "table", "--also", "view", "--large",
    ];
    let run = bendline(folder.path(), &arguments);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let out = folder.path().join("out");
    let pictures = [
        "hole-1-large.svg",
        "hole-1.json",
        "hole-1.svg",
        "hole-1.view.svg",
    ];
    assert_eq!(names(&out), pictures);
    for picture in pictures.iter().filter(|name| name.ends_with("svg")) {
        let drawing = fs::read_to_string(out.join(picture)).expect("a drawing");
        roxmltree::Document::parse(&drawing).expect("well-formed XML");
    }
}

/// Strokes are allotted by stroke index: where a hole has none the plan says so and stops.
#[test]
fn strokes_received_need_a_stroke_index() {
    let folder = folder();
    let hole = fs::read_to_string(source("holes/01-sickle.geojson")).expect("a hole");
    let hole = hole.replace("\"handicap\": \"5\", ", "");
    fs::write(folder.path().join("hole.geojson"), hole).expect("a file");
    let run = bendline(folder.path(), &["plan", "hole.geojson", "--receives", "9"]);
    assert_eq!(run.status.code(), Some(1));
    let said = text(&run.stderr);
    for wanted in [
        "hole 1",
        "a stroke index, handicap=1 to 18",
        "points are then gross",
    ] {
        let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(wanted), "{wanted}: {said}");
    }
    assert_eq!(names(folder.path()), ["hole.geojson"]);
}

/// The same input and seed give the same bytes with one, two and eight threads.
#[test]
fn the_number_of_threads_does_not_show() {
    let folder = folder();
    let log = source(FEW_CLUBS);
    for threads in ["1", "2", "8"] {
        let run = bendline(
            folder.path(),
            &[
                "plan",
                "--log",
                &log,
                "--wind",
                "5m/s@250",
                "--threads",
                threads,
                "--out",
                threads,
            ],
        );
        assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    }
    for file in ["hole-1.json", "hole-1.svg"] {
        let read = |threads: &str| fs::read(folder.path().join(threads).join(file)).expect(file);
        assert!(
            read("1") == read("2") && read("2") == read("8"),
            "{file} differs"
        );
    }
}

/// A player file in place of the log it came from gives the same plan.
#[test]
fn a_player_file_stands_for_its_log() {
    let folder = folder();
    let log = source(FEW_CLUBS);
    let who = ["--hand", "left", "--handicap", "9"];
    let shape = [
        &["shape", &log, "--out", "me.json", "--draw", "me.svg"][..],
        &who,
    ]
    .concat();
    let run = bendline(folder.path(), &shape);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    assert_eq!(names(folder.path()), ["me.json", "me.svg"]);
    let drawing = fs::read_to_string(folder.path().join("me.svg")).expect("a drawing");
    roxmltree::Document::parse(&drawing).expect("well-formed XML");

    let by_log = [&["plan", "--json", "--log", &log][..], &who].concat();
    let by_log = bendline(folder.path(), &by_log);
    let by_file = bendline(folder.path(), &["plan", "--json", "--player", "me.json"]);
    assert_eq!(by_log.status.code(), Some(0), "{}", text(&by_log.stderr));
    assert_eq!(by_file.status.code(), Some(0), "{}", text(&by_file.stderr));
    assert!(by_log.stdout == by_file.stdout, "the plans differ");
}

/// The pin goes where the pin sheet says: further on means further from the tee.
#[test]
fn the_pin_moves_the_hole_s_length() {
    let folder = folder();
    let log = source(FEW_CLUBS);
    let length_m = |pin: &str| {
        let run = bendline(
            folder.path(),
            &["plan", "--log", &log, "--json", "--pin", pin],
        );
        assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
        let plan: Value = serde_json::from_slice(&run.stdout).expect("JSON");
        plan["hole"]["length_m"].as_f64().expect("a length")
    };
    // Eight paces of a yard further on along the last leg.
    let further_m = length_m("16,8L") - length_m("8,8L");
    assert!((further_m - 8.0 * 0.9144).abs() < 0.5, "{further_m}");
}

/// A reader that stops listening, as `head` does, is no error and no panic.
#[cfg(unix)]
#[test]
fn a_closed_pipe_is_quiet() {
    let folder = folder();
    for arguments in [
        &["plan", "--json"][..],
        &["flight", "--help"],
        &["check", "x"],
    ] {
        let mut run = command(folder.path(), arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        drop(run.stdout.take());
        let mut said = String::new();
        run.stderr
            .take()
            .expect("a pipe")
            .read_to_string(&mut said)
            .expect("UTF-8");
        let status = run.wait().expect("an end");
        assert!(!said.contains("panicked"), "{said}");
        assert_eq!(
            status.code(),
            Some(i32::from(arguments == ["check", "x"])),
            "{said}"
        );
    }
}

/// A file that is larger than 256 MB is refused by its size, unread.
#[test]
fn a_file_that_is_too_large_is_refused() {
    let folder = folder();
    let large = File::create(folder.path().join("large.csv")).expect("a file");
    large.set_len(256 * 1024 * 1024 + 1).expect("a sparse file");
    refused(
        folder.path(),
        &["shape", "large.csv", "--out", "me.json"],
        &["error: large.csv: whole file\n  expected: a file of at most 256 MB\n"],
    );
}

#[test]
fn text_in_another_encoding_is_refused_with_its_line() {
    let folder = folder();
    fs::write(
        folder.path().join("latin.csv"),
        b"club,carry_m,side_m\ndriver,200,\xE9\n",
    )
    .unwrap();
    fs::write(folder.path().join("utf16.csv"), b"\xFF\xFEc\0l\0u\0b\0").unwrap();
    fs::write(folder.path().join("empty.csv"), b"").unwrap();
    for (file, words) in [
        (
            "latin.csv",
            "latin.csv: line 2\n  expected: text in UTF-8\n  found:    byte 0xE9",
        ),
        (
            "utf16.csv",
            "utf16.csv: line 1\n  expected: text in UTF-8\n  found:    text in UTF-16",
        ),
        (
            "empty.csv",
            "empty.csv: whole file\n  expected: a file with something in it",
        ),
    ] {
        refused(folder.path(), &["shape", file], &[words]);
        refused(folder.path(), &["plan", "--log", file], &[words]);
        refused(folder.path(), &["plan", file], &[words]);
        refused(folder.path(), &["check", file], &[words]);
    }
}

/// A folder without write permission; root, who may write anywhere, is sent to `/proc`.
#[cfg(unix)]
#[test]
fn a_read_only_folder_is_refused() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder();
    let locked = folder.path().join("locked");
    fs::create_dir(&locked).unwrap();
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o555)).unwrap();
    let is_root = fs::write(locked.join("probe"), "").is_ok();
    let _ = fs::remove_file(locked.join("probe"));
    if is_root {
        refused(
            folder.path(),
            &["plan", "--out", "/proc/plans"],
            &["/proc/plans: whole file\n"],
        );
    } else {
        refused(
            folder.path(),
            &["plan", "--out", "locked"],
            &["a folder you may write into"],
        );
        assert!(names(&locked).is_empty());
    }
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o755)).unwrap();
}

/// A full disk: nothing half-written, a message, exit code 1.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_under_the_standard_output_is_an_error() {
    let folder = folder();
    let full = fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .expect("/dev/full");
    let run = command(folder.path(), &["plan", "--json"])
        .stdout(full)
        .output()
        .expect("the program starts");
    assert_eq!(run.status.code(), Some(1));
    let said = text(&run.stderr);
    assert!(
        said.contains("error: standard output: whole file"),
        "{said}"
    );
}

/// Hostile refs and names: no file leaves the folder, and the drawing stays well-formed.
#[test]
fn a_hostile_name_stays_in_its_place() {
    let folder = folder();
    let hole = fs::read_to_string(source("holes/01-sickle.geojson")).expect("a hole");
    let mut hole: Value = serde_json::from_str(&hole).expect("JSON");
    let features = hole["features"].as_array_mut().expect("features");
    for feature in features {
        let properties = &mut feature["properties"];
        if properties["golf"] == "hole" {
            properties["ref"] = "../../<b>&\u{1b}[31m".into();
            properties["name"] = "]]><script>alert(1)</script>\u{0}\n".into();
        } else {
            properties["name"] = "<text/>&amp;\u{7}".into();
        }
    }
    fs::write(folder.path().join("hostile.geojson"), hole.to_string()).unwrap();
    let run = bendline(
        folder.path(),
        &["plan", "hostile.geojson", "--out", "in/out"],
    );
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    assert_eq!(names(folder.path()), ["hostile.geojson", "in"]);
    assert_eq!(names(&folder.path().join("in")), ["out"]);
    let files = names(&folder.path().join("in/out"));
    assert_eq!(
        files,
        ["hole-_______b____31m.json", "hole-_______b____31m.svg"]
    );
    for output in [&run.stdout, &run.stderr] {
        assert!(text(output).chars().all(|c| c == '\n' || !c.is_control()));
    }
    let drawing = fs::read_to_string(folder.path().join("in/out").join(&files[1])).unwrap();
    let drawing = roxmltree::Document::parse(&drawing).expect("well-formed XML");
    let script = drawing
        .descendants()
        .any(|node| node.has_tag_name("script"));
    assert!(!script, "the name became markup");
}

/// The value and side of one row of `bendline flight`.
fn row(said: &str, name: &str) -> String {
    let line = said.lines().find_map(|line| line.strip_prefix(name));
    line.unwrap_or_else(|| panic!("no {name} in {said}"))
        .trim()
        .to_owned()
}

fn flight(arguments: &str) -> String {
    let all: Vec<&str> = ["flight"].into_iter().chain(arguments.split(' ')).collect();
    let run = bendline(&std::env::temp_dir(), &all);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    text(&run.stdout).to_owned()
}

/// Practice: a face 1° open to a straight path still bends left off the toe, and bends right from
/// the middle; a face well closed to the path draws off the heel too, only less.
#[test]
fn the_toe_bends_an_open_face_left() {
    let swing = "--club-speed 100mph --attack 2 --loft 13 --path 0 --face 1";
    assert!(row(&flight(swing), "bends, from its start line").ends_with("right"));
    let toe = flight(&format!("{swing} --strike 15mm"));
    assert!(
        row(&toe, "bends, from its start line").ends_with("left"),
        "{toe}"
    );

    let closed = "--club-speed 100mph --attack 2 --loft 13 --path 4 --face -2";
    let yards = |said: &str| -> f64 {
        let bend = row(said, "bends, from its start line");
        let (number, side) = bend.split_once(" yd ").expect("yards to a side");
        let sign = if side == "left" { -1.0 } else { 1.0 };
        sign * number.parse::<f64>().expect("a number")
    };
    let (middle, heel) = (
        yards(&flight(closed)),
        yards(&flight(&format!("{closed} --strike -10mm"))),
    );
    assert!(middle < heel && heel < 0.0, "{middle} {heel}");
}

/// A left-hander's mirrored delivery gives the mirrored flight, to the last digit shown.
#[test]
fn a_left_hander_is_a_mirror() {
    let right =
        flight("--club-speed 100mph --loft 13 --path 3 --face 1 --strike 9mm --wind 8mph@90");
    let left = flight(
        "--hand left --club-speed 100mph --loft 13 --path -3 --face -1 --strike 9mm --wind 8mph@270",
    );
    let swapped = right
        .replace("left", "?")
        .replace("right", "left")
        .replace('?', "right");
    let flat = |text: &str| {
        text.split_whitespace()
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert_eq!(flat(&left), flat(&swapped));
}

/// Yards and metres are the same flight: 1 yd = 0.9144 m, 1 mph = 0.44704 m/s, exactly.
#[test]
fn units_change_the_words_not_the_flight() {
    let launch = "--ball-speed 160mph --launch 12 --spin 2500";
    let number = |said: &str, name: &str| -> f64 {
        let value = row(said, name);
        value
            .split(' ')
            .next()
            .and_then(|n| n.parse().ok())
            .expect("a number")
    };
    let (yards, metres) = (flight(launch), flight(&format!("{launch} --units m")));
    for name in ["carry", "highest", "total on level fairway"] {
        let difference = number(&yards, name) * 0.9144 - number(&metres, name);
        assert!(difference.abs() < 0.1, "{name}: {difference}");
    }
    let speed = number(&yards, "ball speed") * 0.447_04 - number(&metres, "ball speed");
    assert!(speed.abs() < 0.08, "{speed}");
}

/// `check` sums up sound files, whatever they are, and reports the others with exit code 1.
#[test]
fn check_tells_files_apart() {
    let folder = folder();
    let log = source(FEW_CLUBS);
    let run = bendline(folder.path(), &["shape", &log, "--out", "me.json"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let hole = source("holes/04-flue.geojson");
    let run = bendline(folder.path(), &["check", "me.json", &hole, &log]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let said = text(&run.stdout);
    assert!(said.contains("me.json: a player, right-handed"), "{said}");
    assert!(said.contains("04-flue.geojson: 1 hole\n"), "{said}");
    assert!(
        said.contains("twelve-shots.csv: a log of 30 shots"),
        "{said}"
    );

    fs::write(folder.path().join("broken.json"), "{\"clubs\": [").unwrap();
    let run = bendline(folder.path(), &["check", "broken.json", &log]);
    assert_eq!(run.status.code(), Some(1));
    assert!(
        text(&run.stderr).contains("error: broken.json: "),
        "{}",
        text(&run.stderr)
    );
    assert!(text(&run.stdout).contains("a log of 30 shots"));
}

/// A hole that cannot be played stops the work only when it is asked for.
#[test]
fn a_broken_hole_does_not_spoil_the_others() {
    let folder = folder();
    let course = fs::read_to_string(source("holes/course.geojson")).expect("a course");
    let mut course: Value = serde_json::from_str(&course).expect("JSON");
    let third = course["features"]
        .as_array_mut()
        .expect("features")
        .iter_mut()
        .find(|f| f["properties"]["golf"] == "hole" && f["properties"]["ref"] == "3")
        .expect("hole 3");
    // A line of play of 6 km: a degree of latitude is 111 km.
    let line = third["geometry"]["coordinates"]
        .as_array_mut()
        .expect("a line");
    let far = line.last_mut().expect("an end");
    far[1] = (far[1].as_f64().expect("a latitude") + 6.0 / 111.0).into();
    fs::write(folder.path().join("course.geojson"), course.to_string()).unwrap();

    let words = [
        "note: holes 1, 2, 4, 5, 6, 7, 8, 9 can be planned",
        "error: ",
    ];
    refused(folder.path(), &["plan", "course.geojson"], &words);
    let three = ["plan", "course.geojson", "--hole", "3"];
    refused(folder.path(), &three, &["error: course.geojson: "]);

    let log = source(FEW_CLUBS);
    let four = ["plan", "course.geojson", "--hole", "4", "--log", &log];
    let run = bendline(folder.path(), &four);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let out = folder.path().join("out");
    assert_eq!(names(&out), ["hole-4.json", "hole-4.svg"]);
}

/// Two runs at once into one folder leave whole files of the one or the other.
#[test]
fn two_runs_at_once_leave_whole_files() {
    let folder = folder();
    let log = source(FEW_CLUBS);
    let runs: Vec<_> = ["1", "2"]
        .iter()
        .map(|seed| {
            command(folder.path(), &["plan", "--log", &log, "--seed", seed])
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .expect("the program starts")
        })
        .collect();
    for mut run in runs {
        assert_eq!(run.wait().expect("an end").code(), Some(0));
    }
    let out = folder.path().join("out");
    assert_eq!(names(&out), ["hole-1.json", "hole-1.svg"]);
    let plan = read_json(&out.join("hole-1.json"));
    assert!(schema().is_valid(&plan));
    let drawing = fs::read_to_string(out.join("hole-1.svg")).expect("a drawing");
    roxmltree::Document::parse(&drawing).expect("well-formed XML");
}

/// A club filled in by `plan` is the club filled in by `shape`: the same plan from either.
#[test]
fn a_filled_club_is_the_same_for_plan_and_shape() {
    let folder = folder();
    let log = source(FEW_CLUBS);
    let shape = ["shape", &log, "--fill", "4h", "--out", "me.json"];
    assert!(bendline(folder.path(), &shape).status.success());
    let quick = ["--json", "--worth", "table"];
    let from_log = bendline(
        folder.path(),
        &[&["plan", "--log", &log, "--fill", "4h"][..], &quick].concat(),
    );
    let from_file = bendline(
        folder.path(),
        &[&["plan", "--player", "me.json"][..], &quick].concat(),
    );
    assert!(from_log.status.success() && from_file.status.success());
    let plans = [from_log, from_file].map(|output| {
        let mut plan: Value = serde_json::from_slice(&output.stdout).expect("a plan");
        // The player is named after the file.
        plan["player"]["name"] = Value::Null;
        plan["notes"] = Value::Null;
        plan
    });
    assert_eq!(plans[0], plans[1]);
    let clubs = plans[0]["alternatives"].as_array().expect("alternatives");
    assert!(
        clubs
            .iter()
            .any(|c| c["club"] == "4h" && c["shots_logged"] == 0)
    );
    let words = plans[0]["set_up"]["words"]
        .as_array()
        .expect("words of the aim");
    assert!(
        words[0]
            .as_str()
            .is_some_and(|w| w.contains("of the middle")),
        "{words:?}"
    );
    // A club that is there, or whose name says nothing, is a problem that names the option's club.
    let wrong = bendline(
        folder.path(),
        &["plan", "--log", &log, "--fill", "driver,thing"],
    );
    assert_eq!(wrong.status.code(), Some(1));
    let said = String::from_utf8_lossy(&wrong.stderr);
    assert!(
        said.contains("\"driver\", which has shots") && said.contains("\"thing\""),
        "{said}"
    );
}
