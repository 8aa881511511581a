//! Rounds looked back on (`bendline review`).

use super::*;

const COURSE: &str = "holes/course.geojson";

/// Two holes of a written round, reviewed for a player with four clubs.
fn review(folder: &Path, rows: &str, options: &[&str]) -> Output {
    fs::write(folder.join("played.csv"), rows).expect("a log");
    let (course, log) = (source(COURSE), source(FEW_CLUBS));
    let asked = ["review", &course, "--log", &log, "--played", "played.csv"];
    bendline(folder, &[&asked[..], options].concat())
}

/// What follows from the definitions: decision, strike and what followed add up to the score less the
/// plan's expectation, whatever is known of the tee shot; the JSON is as its schema says; the player file
/// is one.
#[test]
fn a_review_adds_up() {
    let folder = folder();
    let rows = "hole,club,total_yd,side_yd,result,to_go_yd,score,putts\n\
                1,driver,240,8R,,,5,2\n2,,,,,,3,\n6,7 iron,,,rough left,,5,\n7,7-iron,150,,,,,\n";
    let done = review(folder.path(), rows, &["--json", "--out", "season"]);
    let error = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(0), "{error}");
    let found: Value = serde_json::from_slice(&done.stdout).expect("JSON");
    let schema: Value = serde_json::from_str(bendline::review::SCHEMA).expect("a schema");
    assert!(jsonschema::meta::is_valid(&schema));
    let schema = jsonschema::validator_for(&schema).expect("a schema");
    let wrong: Vec<String> = schema.iter_errors(&found).map(|e| e.to_string()).collect();
    assert!(wrong.is_empty(), "{wrong:?}");

    let holes = found["rounds"][0]["holes"].as_array().expect("holes");
    let strokes = |figure: &Value| figure["strokes"].as_f64();
    let mut sum = 0.0;
    for hole in holes.iter().filter(|hole| hole["score"].is_number()) {
        let account = &hole["account"];
        let parts = ["decision", "strike", "after", "not_split"];
        let parts: f64 = parts
            .iter()
            .filter_map(|part| strokes(&account[*part]))
            .sum();
        let over = hole["score"].as_f64().expect("a score")
            - strokes(&hole["expected"]).expect("an average");
        assert!((parts - over).abs() < 0.0005, "{hole}");
        sum += over;
    }
    let total = &found["rounds"][0]["total"];
    assert_eq!((&total["holes"], &total["score"]), (&3.into(), &13.into()));
    let parts = ["decision", "strike", "after", "not_split"];
    let parts: f64 = parts.iter().filter_map(|part| strokes(&total[*part])).sum();
    assert!((parts - sum).abs() < 0.001, "{total}");
    // A hole without club has nothing split, one without a score no account of what followed.
    assert!(holes[1]["account"]["decision"].is_null() && holes[1]["club"].is_null());
    assert!(holes[3]["account"]["after"].is_null());
    assert_eq!(found["course_play"]["tee_shots"], serde_json::json!([1, 2]));
    assert_eq!(found["course_play"]["scores"], 1);
    let written = names(&folder.path().join("season"));
    let expected = [
        "course-play.svg",
        "hole-1-played.svg",
        "patterns.svg",
        "player.json",
        "review.json",
        "review.md",
    ];
    assert_eq!(written, expected);
    let player = fs::read(folder.path().join("season/player.json")).expect("a file");
    let player = bendline::player::file::from_json("player.json", &player).expect("a player");
    let learnt = &found["course_play"]["after"]["driver_direction"]["median"];
    let there = player.course_play.expect("course play").driver.direction;
    assert!((there - learnt.as_f64().expect("a figure")).abs() < 0.0001);
    let file = fs::read(folder.path().join("season/review.json")).expect("a file");
    assert_eq!(file, done.stdout);
}

/// Every problem of a log at once, and every row that contradicts course, bag or itself.
#[test]
fn what_is_wrong_with_a_round() {
    let folder = folder();
    let said = |rows: &str, options: &[&str]| {
        let done = review(folder.path(), rows, &[&["--json"], options].concat());
        (
            done.status.code(),
            String::from_utf8_lossy(&done.stderr).into_owned(),
        )
    };
    let rows = "hole,club,total_yd,side_yd,result,score\n\
                1,driver,abc,8R,beach,5\n,driver,230,5L,,4.5\n2,driver,9999,3T,,77\n";
    let (code, error) = said(rows, &[]);
    assert_eq!(code, Some(1));
    for wanted in [
        "line 2, column \"total_yd\"",
        "line 2, column \"result\"",
        "the hole that the row is of",
        "line 3, column \"score\"",
        "line 4, column \"total_yd\"",
        "line 4, column \"side_yd\"",
        "line 4, column \"score\"",
    ] {
        assert!(error.contains(wanted), "{wanted}: {error}");
    }
    let rows = "hole,club,total_yd,score,putts\n12,driver,230,4,2\n1,9-wood,200,4,2\n2,7i,260,4,2\n6,7i,140,3,3\n";
    let (code, error) = said(rows, &[]);
    assert_eq!(code, Some(1));
    for wanted in [
        "line 2, column \"hole\"",
        "--it-is-so other-hole",
        "line 3, column \"club\"",
        "--it-is-so other-club",
        "line 4, column \"total_yd\"",
        "--it-is-so far-ball",
        "line 5, column \"putts\"",
        "--it-is-so odd-score",
    ] {
        assert!(error.contains(wanted), "{wanted}: {error}");
    }
    assert!(error.contains("4 problems"), "{error}");
    let rows = "hole,lon,lat,result\n3,18.942637,52.424277,green\n";
    let (code, error) = said(rows, &[]);
    assert_eq!(code, Some(1));
    assert!(error.contains("--it-is-so lie-and-place"), "{error}");
}

/// Rows that contradict themselves: lengths and sides before anything is planned, the map at a total and a
/// side as soon as the plan's aim is known.
#[test]
fn rows_that_contradict_themselves() {
    let folder = folder();
    let said = |rows: &str, options: &[&str]| {
        let done = review(folder.path(), rows, &[&["--json"], options].concat());
        let error = String::from_utf8_lossy(&done.stderr).into_owned();
        assert_eq!(done.status.code(), Some(1), "{error}");
        error
    };
    let rows = "hole,club,lon,lat,carry_yd,total_yd,side_yd,result,to_go_yd,score\n\
                1,driver,,,260,200,0,,,5\n\
                2,7i,,,,,,green,150,3\n\
                3,driver,,,,240,300R,,,5\n\
                4,driver,,,,246,30L,rough right,,5\n\
                5,driver,,,,,,,20,6\n\
                6,driver,18.934528,52.419513,,120,,,,5\n\
                7,7i,,,,,,holed,,4\n\
                8,driver,52.419416,18.943399,,,,,,4\n\
                9,driver,,,,200,,,20,4\n";
    let error = said(rows, &[]);
    for wanted in [
        "line 2, column \"carry_yd\"",
        "line 3, column \"to_go_yd\"",
        "line 4, column \"side_yd\"",
        "line 5, column \"result\"",
        "line 6, column \"to_go_yd\"",
        "line 7, column \"total_yd\"",
        "line 8, column \"result\"",
        "line 9, column \"lon\"",
        "line 10, column \"to_go_yd\"",
        "lon and lat are exchanged",
        "--it-is-so carry-and-total",
        "9 problems",
    ] {
        assert!(error.contains(wanted), "{wanted}: {error}");
    }
    let rows = "hole,club,total_yd,side_yd,result,to_go_yd,score\n\
                1,driver,246,0,out,,5\n2,7i,165,4R,fairway,200,3\n";
    let error = said(rows, &["--hole", "1", "--hole", "2"]);
    for wanted in ["line 2, column \"result\"", "--it-is-so lie-and-place"] {
        assert!(error.contains(wanted), "{wanted}: {error}");
    }
}

/// A ball that was lost costs what a lost one costs, whatever length is written beside it; one that is holed
/// is the tee shot's; and what cannot be told apart says why.
#[test]
fn lost_and_holed_balls() {
    let folder = folder();
    let strikes = |name: &str, rows: &str| {
        let done = review(folder.path(), rows, &["--json", "--out", name]);
        let error = String::from_utf8_lossy(&done.stderr).into_owned();
        assert_eq!(done.status.code(), Some(0), "{error}");
        let found: Value = serde_json::from_slice(&done.stdout).expect("JSON");
        found["rounds"][0]["holes"].clone()
    };
    let lost = strikes(
        "words",
        "hole,club,result,score\nHole 6,driver,OB right,6\n02,7i,holed,1\n1,driver,OB right,7\n",
    );
    let long = strikes(
        "length",
        "hole,club,total_yd,result,score\n6,driver,250,OB right,6\n2,,,fairway,4\n",
    );
    let strike = |hole: &Value| hole["account"]["strike"]["strokes"].as_f64();
    assert_eq!(lost[0]["ref"], "6");
    assert!(strike(&lost[0]) > Some(1.5), "{lost}");
    assert_eq!(strike(&lost[0]), strike(&long[0]));
    assert!(long[0]["ended"].is_null(), "{long}");
    assert!(strike(&lost[1]) < Some(-2.0), "{lost}");
    assert_eq!(lost[1]["account"]["after"]["strokes"], 0.0);
    // None of the predicted balls is out there: the stroke and its distance are lost all the same.
    assert_eq!(strike(&lost[2]), Some(2.0));
    assert_eq!(long[1]["account"]["why_not_split"], "no_club");
    let said = fs::read_to_string(folder.path().join("length/review.md")).expect("a file");
    assert!(said.contains("| out of bounds right |"), "{said}");
    let drawing = fs::read_to_string(folder.path().join("words/course-play.svg"));
    assert!(!drawing.expect("a drawing").contains('…'));
}

/// The same round twice, hidden files, and holes that the course lacks beside one that is asked for.
#[test]
fn rounds_given_twice_and_holes_of_another_course() {
    let folder = folder();
    fs::create_dir(folder.path().join("rounds")).expect("a folder");
    let rows = "hole,club,total_yd,score\n1,driver,230,5\n77,driver,230,5\n2,7i,150,3\n";
    fs::write(folder.path().join("rounds/may.csv"), rows).expect("a log");
    fs::write(folder.path().join("rounds/._may.csv"), [0, 5, 22, 7]).expect("a file");
    let (course, log) = (source(COURSE), source(FEW_CLUBS));
    let asked = [
        "review",
        &course,
        "--log",
        &log,
        "--hole",
        "1",
        "--json",
        "--played",
        "rounds",
        "--played",
        "rounds/may.csv",
    ];
    let done = bendline(folder.path(), &asked);
    let error = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(1));
    for wanted in [
        "the rows of rounds/may.csv again",
        "--it-is-so repeated-rows",
        "line 3, column \"hole\"",
        "--it-is-so other-hole",
        "3 problems",
    ] {
        assert!(error.contains(wanted), "{wanted}: {error}");
    }
}

/// Figures where the heading lacks its unit, and no rounds at all.
#[test]
fn headings_and_rounds_that_are_not_there() {
    let folder = folder();
    let done = review(folder.path(), "club,total,lon\ndriver,230,18.9\n", &[]);
    let error = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(1));
    assert!(
        error.contains("a column \"hole\"") && error.contains("write total_yd"),
        "{error}"
    );
    let done = bendline(folder.path(), &["review", &source(COURSE)]);
    let error = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(1));
    assert!(error.contains("no --played"), "{error}");
    let empty = folder.path().join("rounds");
    fs::create_dir(&empty).expect("a folder");
    let done = bendline(
        folder.path(),
        &["review", &source(COURSE), "--played", "rounds"],
    );
    let error = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(1));
    assert!(error.contains("a folder with round logs"), "{error}");
}

/// A folder of rounds is a season, oldest first by name; old ones fade, and balls that all end to one side
/// are told as what more rounds do not mend.
#[test]
fn a_season_that_leans() {
    let folder = folder();
    fs::create_dir(folder.path().join("rounds")).expect("a folder");
    for round in 1..=8 {
        let name = format!("rounds/round-{round}.csv");
        let rows = format!("hole,club,total_yd,side_yd,score\n1,driver,21{round},4{round}R,6\n");
        fs::write(folder.path().join(name), rows).expect("a log");
    }
    let (course, log) = (source(COURSE), source(FEW_CLUBS));
    let asked = [
        "review",
        &course,
        "--log",
        &log,
        "--played",
        "rounds",
        "--half-life",
        "7",
        "--json",
        "--out",
        "out",
    ];
    let done = bendline(folder.path(), &asked);
    let error = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(0), "{error}");
    let found: Value = serde_json::from_slice(&done.stdout).expect("JSON");
    let rounds = found["rounds"].as_array().expect("rounds");
    assert_eq!(rounds[0]["file"], "rounds/round-1.csv");
    assert_eq!(
        (&rounds[0]["weight"], &rounds[7]["weight"]),
        (&0.5.into(), &1.0.into())
    );
    let right = &found["patterns"]["right"];
    assert!(
        right["mean"].as_f64() > Some(0.5) && right["p_value"].as_f64() < Some(0.02),
        "{right}"
    );
    let said = fs::read_to_string(folder.path().join("out/review.md")).expect("a file");
    assert!(
        said.contains("Your balls end right of the middle"),
        "{said}"
    );
    let wider = |when: &str| found["course_play"][when]["driver_direction"]["median"].as_f64();
    assert!(wider("after") > wider("before"), "{}", found["course_play"]);
}

/// Two clubs on one hole: each pattern has its club's name, and what has no place is counted; a hole is
/// noted once, however often it comes without a club.
#[test]
fn two_clubs_on_one_hole() {
    let folder = folder();
    fs::create_dir(folder.path().join("rounds")).expect("a folder");
    let ends = [
        "driver,240,12R,",
        "5w,190,5L,",
        "driver,,,rough right",
        ",,,",
        ",,,",
    ];
    for (round, end) in ends.iter().enumerate() {
        let rows = format!(
            "hole,club,total_yd,side_yd,result,score\n1,{end},{}\n",
            4 + round
        );
        fs::write(folder.path().join(format!("rounds/{round}.csv")), rows).expect("a log");
    }
    let (course, log) = (source(COURSE), source(FEW_CLUBS));
    let asked = [
        "review",
        &course,
        "--log",
        &log,
        "--played",
        "rounds",
        "--half-life",
        "1",
    ];
    let done = bendline(folder.path(), &asked);
    assert_eq!(done.status.code(), Some(0));
    let drawing = fs::read_to_string(folder.path().join("out/hole-1-played.svg"));
    let drawing = drawing.expect("a drawing");
    assert!(drawing.contains("1 more without a place"), "{drawing}");
    for club in [">driver, your draw<", ">5-wood, your draw<"] {
        assert_eq!(drawing.matches(club).count(), 1, "{club}");
    }
    let said = String::from_utf8_lossy(&done.stdout).replace('\n', " ");
    for wanted in [
        "with a pattern (hole 1).",
        "a round counts half after 1 newer round.",
        "3 tee shots and 2 scores: too few to tell",
    ] {
        assert!(said.contains(wanted), "{wanted}: {said}");
    }
}
