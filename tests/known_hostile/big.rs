//! Files that are huge, deep, repetitive, or claim to be: an error in words, within seconds and
//! within bounded memory. All are made at run time.

use std::fs;
use std::io::Write;
use std::path::Path;
use std::time::{Duration, Instant};

use bendline::diagnostic::{MOST_PROBLEMS, Problems};
use bendline::hole::{read_course, read_heights};
use bendline::player::{file, shotlog};
use bendline::round;

use crate::{USUAL_PLAN, limited, processor, text};

/// Longest that any of them may take, in plans of the built-in hole; most are done in a tenth of it.
const LONGEST: f64 = 3.0;

/// Limits of a run: a gigabyte of address space, and [`LONGEST`] of a processor.
fn limits() -> String {
    format!("ulimit -v 1000000; {}", processor(LONGEST))
}

fn longest() -> Duration {
    Duration::from_secs_f64(LONGEST * *USUAL_PLAN)
}

/// Time that this thread has had a processor, so that a busy machine does not count; elsewhere
/// than on Linux, time that has passed.
fn worked(started: Instant) -> Duration {
    let had = fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanoseconds = had.and_then(|text| text.split(' ').next()?.parse().ok());
    nanoseconds.map_or_else(|| started.elapsed(), Duration::from_nanos)
}

/// The problems, and in time.
fn refused<T>(what: &str, read: impl FnOnce() -> Result<T, Problems>) -> Problems {
    let started = Instant::now();
    let before = worked(started);
    let read = read();
    let took = worked(started).saturating_sub(before);
    assert!(took < longest(), "{what}: {took:?}");
    match read {
        Err(problems) => {
            assert!(problems.0.len() <= MOST_PROBLEMS + 1, "{what}");
            problems
        }
        Ok(_) => panic!("{what} was taken"),
    }
}

/// `check` of a file of `bytes`, written here piece by piece, with at most 1 GB of address space:
/// what it says.
fn checked(name: &str, start: &str, piece: &str, bytes: usize) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let mut file = fs::File::create(folder.path().join(name)).expect("a file");
    file.write_all(start.as_bytes()).expect("room");
    let block = piece.repeat((1 << 16) / piece.len());
    for _ in 0..bytes / block.len() {
        file.write_all(block.as_bytes()).expect("room");
    }
    drop(file);
    let run = limited(folder.path(), &limits(), &["check", name]);
    let said = text(&run.stderr).to_owned();
    assert_eq!(run.status.code(), Some(1), "{name}: {said}");
    said
}

#[test]
fn files_of_200_mb() {
    let feature = "{\"type\": \"Feature\", \"properties\": {}, \"geometry\": null},\n";
    let hole = "{\"type\": \"FeatureCollection\", \"features\": [\n";
    let said = checked("course.geojson", hole, feature, 200 << 20);
    assert!(said.contains("expected: at most 32 MB"), "{said}");
    let log = "club,carry_yd,side_yd\n";
    let said = checked("log.csv", log, "driver,230,-6\n", 200 << 20);
    assert!(said.contains("expected: at most 50000 shots"), "{said}");
    let player = "{\"clubs\": [";
    let said = checked("me.json", player, "[],", 200 << 20);
    assert!(
        said.contains("expected: a player file of at most 16 MB"),
        "{said}"
    );
    let said = checked("round.toml", "# a round\n", "[pins]\n", 200 << 20);
    assert!(
        said.contains("expected: a round file of at most 256 KB"),
        "{said}"
    );
}

/// A mistake in every row of a long log is one problem of its column; one in some rows is told a
/// thousand times, not a million.
#[test]
fn nothing_but_mistakes() {
    let heading = "club,carry_yd,side_yd\n";
    let said = checked("log.csv", heading, "driver,x,y\n", 100 << 20);
    assert!(said.contains("and the like in"), "{said}");
    assert!(said.contains("expected: at most 50000 shots"), "{said}");
    assert!(said.contains("3 problems"), "{said}");
    let some = "driver,230,1\ndriver,231,2\ndriver,232,3\ndriver,233,4\ndriver,x,y\n";
    let said = checked("log.csv", heading, some, 512 << 10);
    assert!(
        said.contains("expected: at most 1000 problems in a file"),
        "{said}"
    );
    assert!(said.contains("1001 problems"), "{said}");
}

/// The smallest pieces that JSON can be made of, as many as a hole file may hold.
#[test]
fn repetition_that_swells_when_it_is_parsed() {
    for piece in ["{},", "[],", "0,", "[[]],", "{\"\":0},", "\"\","] {
        let start = "{\"type\": \"FeatureCollection\", \"features\": [";
        let said = checked("course.geojson", start, piece, 31 << 20);
        assert!(said.contains("error: course.geojson: "), "{said}");
    }
}

#[test]
fn a_deep_nest() {
    let deep = |open: &str, close: &str| open.repeat(100_000) + &close.repeat(100_000);
    for text in [
        deep("[", "]"),
        deep("{\"a\":", "}"),
        deep("{\"clubs\":[", "]}"),
    ] {
        let bytes = text.as_bytes();
        let problems = refused("hole", || read_course("h", bytes, None));
        assert!(
            problems.to_string().contains("nested more than 127 deep"),
            "{problems}"
        );
        refused("player", || file::from_json("p", bytes));
        refused("round", || round::read("r", bytes));
        refused("log", || shotlog::read("l", bytes));
    }
    let toml = format!("pins = {}", deep("[", "]"));
    refused("round", || round::read("r", toml.as_bytes()));
    let toml = format!("pins = {}1{}", "{a=".repeat(20_000), "}".repeat(20_000));
    refused("round", || round::read("r", toml.as_bytes()));
}

fn hole_with(feature: &str) -> String {
    let tee = r#"{"type":"Feature","properties":{"golf":"tee"},"geometry":{"type":"Point","coordinates":[10,50]}}"#;
    let line = r#"{"type":"Feature","properties":{"golf":"hole","ref":"1"},"geometry":{"type":"LineString","coordinates":[[10,50],[10,50.003]]}}"#;
    let green = r#"{"type":"Feature","properties":{"golf":"green"},"geometry":{"type":"Polygon","coordinates":[[[9.9999,50.0029],[10.0001,50.0029],[10.0001,50.0031],[9.9999,50.0031],[9.9999,50.0029]]]}}"#;
    format!(r#"{{"type":"FeatureCollection","features":[{tee},{line},{green},{feature}]}}"#)
}

#[test]
fn numbers_at_the_end_of_their_range() {
    for number in [
        "1e308",
        "-1e308",
        "1e309",
        "1e99999",
        "5e-324",
        "123456789012345678901234567890",
    ] {
        let area = format!(
            r#"{{"type":"Feature","properties":{{"golf":"bunker"}},"geometry":{{"type":"Polygon","coordinates":[[[{number},50],[10,{number}],[10.001,50],[{number},50]]]}}}}"#
        );
        if number == "5e-324" {
            // As good as 0: a place on the earth, and a bunker wider than any feature may be.
            refused(number, || {
                read_course("h", hole_with(&area).as_bytes(), None)
            });
            continue;
        }
        let problems = refused(number, || {
            read_course("h", hole_with(&area).as_bytes(), None)
        });
        let told = problems.0.iter().all(|p| !p.found.contains("NaN"));
        assert!(told, "{problems}");
        let log = format!("club,carry_yd,side_yd\ndriver,{number},0\n");
        refused(number, || shotlog::read("l", log.as_bytes()));
        let grid = format!("ncols {number}\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n1 2\n");
        refused(number, || read_heights("g", grid.as_bytes(), None));
    }
}

/// More vertices than any outline has: in one ring, in many, and only claimed.
#[test]
fn vertices_without_end() {
    let ring = |count: usize, at: &dyn Fn(usize) -> [f64; 2]| {
        let mut ring: Vec<[f64; 2]> = (0..count).map(at).collect();
        ring.push(ring[0]);
        serde_json::to_string(&ring).expect("JSON")
    };
    let bunker = |rings: &str| {
        format!(
            r#"{{"type":"Feature","properties":{{"golf":"bunker"}},"geometry":{{"type":"Polygon","coordinates":[{rings}]}}}}"#
        )
    };
    let round = |k: usize| {
        let angle = k as f64 * 1e-5;
        [10.0 + 1e-4 * angle.cos(), 50.0 + 1e-4 * angle.sin()]
    };
    let many = hole_with(&bunker(&ring(300_000, &round)));
    let problems = refused("300 000 positions", || {
        read_course("h", many.as_bytes(), None)
    });
    assert!(
        problems
            .to_string()
            .contains("rings of at most 50000 positions")
    );
    // A comb: every tooth beside every other, so that a sweep has all of them before it.
    let comb = |k: usize| {
        let tooth = (k / 2) as f64 * 1e-7;
        let end = if (k / 2 + k).is_multiple_of(2) {
            0.0
        } else {
            0.01
        };
        if k == 49_998 {
            [10.0 - 1e-3, 50.0 + tooth]
        } else {
            [10.0 + end, 50.0 + tooth]
        }
    };
    let teeth = hole_with(&bunker(&ring(49_999, &comb)));
    let teeth = teeth.as_bytes();
    refused("a comb", || read_course("h", teeth, None));
    let grid = "ncols 1000000000\nnrows 1000000000\nxllcorner 0\nyllcorner 0\ncellsize 1\n1 2\n";
    let problems = refused("a claim", || read_heights("g", grid.as_bytes(), None));
    assert!(problems.to_string().contains("1000000000"), "{problems}");
}

/// The same area many thousand times over: told, not drawn.
#[test]
fn areas_without_end() {
    let big = r#"{"type":"Feature","properties":{"golf":"bunker"},"geometry":{"type":"Polygon","coordinates":[[[9.99,49.99],[10.01,49.99],[10.01,50.01],[9.99,50.01],[9.99,49.99]]]}}"#;
    let many = hole_with(&vec![big; 20_000].join(","));
    let problems = refused("20 000 areas", || read_course("h", many.as_bytes(), None));
    assert!(
        problems.to_string().contains("at most 3000 drawn areas"),
        "{problems}"
    );
    let tee = r#"{"type":"Feature","properties":{"golf":"tee"},"geometry":{"type":"Point","coordinates":[10,50]}}"#;
    let many = hole_with(&vec![tee; 20_000].join(","));
    let problems = refused("20 000 tees", || read_course("h", many.as_bytes(), None));
    assert!(
        problems.to_string().contains("at most 3000 tees"),
        "{problems}"
    );
}

#[test]
fn columns_clubs_and_keys_without_end() {
    let wide = (0..200_000).map(|k| format!("c{k},")).collect::<String>();
    let wide = format!("club,carry_yd,side_yd,{wide}\ndriver,1,1\n");
    let problems = refused("columns", || shotlog::read("l", wide.as_bytes()));
    assert!(
        problems.to_string().contains("at most 500 columns"),
        "{problems}"
    );
    let clubs: String = (0..200_000).map(|k| format!("club {k},100,1\n")).collect();
    let clubs = format!("club,carry_yd,side_yd\n{clubs}");
    let problems = refused("clubs", || shotlog::read("l", clubs.as_bytes()));
    assert!(
        problems.to_string().contains("at most 60 clubs"),
        "{problems}"
    );
    let keys: String = (0..100_000)
        .map(|k| format!("\"k{}\": 1,", k % 50_000))
        .collect();
    let keys = format!("{{{keys} \"clubs\": []}}");
    refused("keys", || file::from_json("p", keys.as_bytes()));
    let long = format!(
        "{{\"{}\": [{}0]}}",
        "k".repeat(4_000_000),
        "0,".repeat(1_000_000)
    );
    refused("a long key", || file::from_json("p", long.as_bytes()));
    let pins: String = (0..12_000).map(|k| format!("{k} = \"9,6R\"\n")).collect();
    let started = Instant::now();
    let before = worked(started);
    let _ = round::read("r", format!("[pins]\n{pins}").as_bytes());
    assert!(worked(started).saturating_sub(before) < longest());
    let errors = "= 1\n".repeat(60_000);
    refused("errors", || round::read("r", errors.as_bytes()));
}

/// The longest log in under two seconds of a processor.
#[test]
fn fifty_thousand_rows_are_read() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut rows = String::from(
        "club,carry_yd,side_yd,start_deg,curve_yd,ball_speed_mph,launch_deg,spin_rpm\n",
    );
    let wobble = |k: u32| f64::from(k.wrapping_mul(2_654_435_761) >> 20) / 4096.0;
    for k in 0..50_000_u32 {
        let [speed, start, bend, spin] = [0, 1, 2, 3].map(|part| wobble(4 * k + part) - 0.5);
        let carry = 220.0 + 20.0 * speed;
        let (start_deg, curve) = (1.5 + 2.0 * start, -8.0 - 5.0 * bend);
        let side = carry * start_deg.to_radians().sin() + curve;
        rows.push_str(&format!(
            "driver,{carry:.1},{side:.1},{start_deg:.1},{curve:.1},{:.1},{:.1},{:.0}\n",
            141.0 + 12.0 * speed,
            12.1 + spin,
            2650.0 - 400.0 * spin
        ));
    }
    fs::write(folder.path().join("log.csv"), rows).expect("a file");
    let limits = format!("ulimit -v 1000000; {}", processor(0.6));
    let run = limited(folder.path(), &limits, &["check", "log.csv"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    assert!(text(&run.stdout).contains("a log of 50000 shots"));
}

/// A pipe that never ends is read no further than a file may be long.
#[test]
#[cfg(target_os = "linux")]
fn a_file_without_end() {
    let run = limited(Path::new("/tmp"), &limits(), &["check", "/dev/zero"]);
    assert_eq!(run.status.code(), Some(1));
    assert!(
        text(&run.stderr).contains("at most 256 MB"),
        "{}",
        text(&run.stderr)
    );
}
