//! No change to a sound file is repaired in silence.
//!
//! Every node of a sound file is changed in every way below, one at a time, and the reader must do
//! one of three things: refuse the file, note something it did not note before, or give another
//! result. What the formats say may be left out without a trace is listed here, and nothing else.

use bendline::diagnostic::Note;
use bendline::hole::read_course;
use bendline::player::{file, shotlog};
use bendline::round;
use serde_json::{Value, json};

/// Changes that a value may suffer; none of them says the same as the value.
fn changed(value: &Value) -> Vec<Value> {
    let mut all = vec![Value::Null, json!(true), json!([[]]), json!({"a": 1})];
    match value {
        Value::Number(number) => {
            let n = number.as_f64().expect("a number");
            all.extend([
                json!(n + 0.0005),
                json!(n * 1e6 + 1.0),
                json!("12 x"),
                json!(1e308),
            ]);
            if n != 0.0 {
                all.push(json!(-n));
            }
        }
        Value::String(text) => {
            all.extend([
                json!(""),
                json!(format!("{text}x")),
                json!([text]),
                json!(-7.25),
            ]);
        }
        Value::Array(items) => {
            all.push(json!([]));
            all.push(json!("x"));
            if items.len() > 1 {
                let mut fewer = items.clone();
                fewer.pop();
                all.push(json!(fewer));
                let mut turned = items.clone();
                turned.swap(0, 1);
                if turned != *items {
                    all.push(json!(turned));
                }
            }
            if let Some(first) = items.first() {
                let mut more = items.clone();
                more.insert(0, first.clone());
                all.push(json!(more));
            }
        }
        Value::Object(_) => all.extend([json!([]), json!("x"), json!(4)]),
        Value::Null | Value::Bool(_) => {}
    }
    all.retain(|each| each != value);
    all
}

/// Every way to change one node of a value, or to leave it out: what was done, and the whole.
fn mutations(whole: &Value) -> Vec<(String, Value)> {
    let mut paths = vec![String::new()];
    let mut at = 0;
    while at < paths.len() {
        let here = paths[at].clone();
        match whole.pointer(&here).expect("a path") {
            Value::Array(items) => {
                paths.extend((0..items.len()).map(|index| format!("{here}/{index}")));
            }
            Value::Object(members) => {
                let key = |key: &String| key.replace('~', "~0").replace('/', "~1");
                paths.extend(members.keys().map(|k| format!("{here}/{}", key(k))));
            }
            _ => {}
        }
        at += 1;
    }
    let mut all = Vec::new();
    for path in &paths {
        for value in changed(whole.pointer(path).expect("a path")) {
            let mut copy = whole.clone();
            let shown = value.to_string();
            *copy.pointer_mut(path).expect("a path") = value;
            all.push((format!("{path} = {shown}"), copy));
        }
        if let Some((parent, last)) = path.rsplit_once('/') {
            let mut copy = whole.clone();
            match copy.pointer_mut(parent).expect("a path") {
                Value::Array(items) => {
                    items.remove(last.parse().expect("an index"));
                }
                Value::Object(members) => {
                    members.remove(&last.replace("~1", "/").replace("~0", "~"));
                }
                _ => unreachable!("a node has a parent"),
            }
            all.push((format!("{path} left out"), copy));
        }
    }
    all
}

fn all_silent<T>(
    sound: &Value,
    mut seen: impl FnMut(&[u8]) -> Option<T>,
    mut may: impl FnMut(&str) -> bool,
) -> Vec<String>
where
    T: PartialEq,
{
    let before = seen(sound.to_string().as_bytes());
    assert!(before.is_some(), "the file to start from is not sound");
    let mutations = mutations(sound);
    assert!(mutations.len() > 100, "{}", mutations.len());
    mutations
        .into_iter()
        .filter(|(what, _)| !may(what))
        .filter(|(_, changed)| seen(changed.to_string().as_bytes()) == before)
        .map(|(what, _)| what)
        .collect()
}

fn texts(notes: &[Note]) -> Vec<String> {
    notes.iter().map(ToString::to_string).collect()
}

/// A hole with everything in it that is read.
fn hole() -> Value {
    let area = |w: f64, s: f64, e: f64, n: f64| json!([[[w, s], [e, s], [e, n], [w, n], [w, s]]]);
    let feature = |id: &str, tags: Value, kind: &str, coordinates: Value| {
        json!({"type": "Feature", "id": id, "properties": tags,
            "geometry": {"type": kind, "coordinates": coordinates}})
    };
    json!({"type": "FeatureCollection", "features": [
        feature("way/1", json!({"golf": "hole", "ref": "7", "par": "4", "name": "Bend"}), "LineString",
            json!([[-3.2, 55.8985, 12.5], [-3.2001, 55.9, 13.0], [-3.2, 55.9014, 14.0]])),
        feature("node/2", json!({"golf": "tee", "tee": "red"}), "Point", json!([-3.2, 55.8989, 12.5])),
        feature("node/3", json!({"bendline": "tee_marker", "tee": "white"}), "Point", json!([-3.20005, 55.8985, 12.5])),
        feature("node/4", json!({"bendline": "tee_marker", "tee": "white"}), "Point", json!([-3.19995, 55.8985, 12.5])),
        feature("way/5", json!({"golf": "green"}), "Polygon", area(-3.2002, 55.9013, -3.1998, 55.9015)),
        feature("node/6", json!({"golf": "pin"}), "Point", json!([-3.2, 55.9014, 14.0])),
        feature("way/7", json!({"golf": "fairway", "name": "Main"}), "Polygon", area(-3.2004, 55.8995, -3.1997, 55.901)),
        feature("way/8", json!({"natural": "wood", "height": "12"}), "MultiPolygon",
            json!([area(-3.202, 55.899, -3.201, 55.901)])),
        feature("way/9", json!({"golf": "lateral_water_hazard", "width": "4"}), "LineString",
            json!([[-3.1995, 55.899], [-3.1994, 55.901]])),
        feature("way/10", json!({"golf": "out_of_bounds"}), "LineString", json!([[-3.199, 55.898], [-3.199, 55.902]])),
        feature("node/11", json!({"natural": "tree", "height": 9, "diameter_crown": "5"}), "Point", json!([-3.2006, 55.9])),
        feature("way/12", json!({"golf": "bunker"}), "Polygon", area(-3.2003, 55.901, -3.2001, 55.9011))
    ]})
}

#[test]
fn of_a_hole() {
    let seen = |bytes: &[u8]| {
        let course = read_course("hole.geojson", bytes, None).ok()?;
        // What is read of a hole is in its every field.
        let holes: Vec<String> = course
            .holes
            .iter()
            .map(|hole| format!("{hole:?}"))
            .collect();
        course
            .broken
            .is_empty()
            .then(|| (holes, texts(&course.notes)))
    };
    // An id names a feature in messages, and a boundary runs either way: out is the side away from
    // the line of play.
    let boundary = "/features/9/geometry/coordinates = [[-3.199,55.902],[-3.199,55.898]]";
    let may = |what: &str| {
        what == boundary || what.split([' ']).next().is_some_and(|p| p.ends_with("/id"))
    };
    let silent = all_silent(&hole(), seen, may);
    assert!(
        silent.is_empty(),
        "{} silent:\n{}",
        silent.len(),
        silent.join("\n")
    );
}

#[test]
fn of_a_player_file() {
    let sound = json!({"format": 1, "name": "A. Nobody", "handedness": "left", "handicap": 9.5,
    "club_length_m": 1.15, "notes": ["a note"],
    "clubs": [
        {"club": "driver", "shape": "draw", "shots": 40, "basis": "full_launch", "carry_m": 210.5,
         "dof": 7.5, "mishit_share": 0.02, "centre": [66.0, 12.0, 2.0, 2600.0, -5.0],
         "scale": [[1.0, 0.1, 0.0, 0.0, 0.0], [0.1, 1.0, 0.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0, 0.3],
                   [0.0, 0.0, 0.0, 90.0, 0.0], [0.0, 0.0, 0.3, 0.0, 4.0]]},
        {"club": "7i", "shape": "fade", "carry_m": 140.5, "dof": 5.0, "mishit_share": 0.01,
         "centre": [50.0, 17.0, 1.0, 6500.0, 4.0], "spread": [1.0, 1.0, 2.0, 300.0, 3.0]}
    ]});
    let seen = |bytes: &[u8]| file::from_json("me.json", bytes).ok();
    // The clubs' order in the file says nothing, and the format may be left out.
    let may = |what: &str| {
        what == "/format left out"
            || what.starts_with("/clubs = [{\"basis\"")
            || what.starts_with("/clubs = [{\"carry_m\":140.5")
    };
    let silent = all_silent(&sound, seen, may);
    assert!(
        silent.is_empty(),
        "{} silent:\n{}",
        silent.len(),
        silent.join("\n")
    );
}

/// Lines of a text file with one cell or word changed, a line left out, doubled or blanked.
fn text_mutations(text: &str, apart: char, others: &[&str]) -> Vec<String> {
    let lines: Vec<&str> = text.lines().collect();
    let mut all = Vec::new();
    let mut put = |at: usize, with: &[&str]| {
        let mut copy = lines.clone();
        copy.splice(at..=at, with.iter().copied());
        all.push(copy.join("\n") + "\n");
    };
    for (at, line) in lines.iter().enumerate() {
        put(at, &[]);
        put(at, &[line, line]);
        let cells: Vec<&str> = line.split(apart).collect();
        for k in 0..cells.len() {
            for other in others {
                if *other != cells[k] {
                    let mut copy = cells.clone();
                    copy[k] = other;
                    put(at, &[&copy.join(&apart.to_string())]);
                }
            }
            let mut fewer = cells.clone();
            fewer.remove(k);
            put(at, &[&fewer.join(&apart.to_string())]);
            let mut more = cells.clone();
            more.insert(k, "3");
            put(at, &[&more.join(&apart.to_string())]);
        }
    }
    all
}

#[test]
fn of_a_log() {
    let sound = "club,shape,carry_yd,total_yd,side_yd,start_deg,curve_yd,spin_rpm\n\
                 driver,draw,230.5,251,-6,2.1,-15,2650\n\
                 7i,,150,155,2,0.5,1.5,6900\n\
                 pw,fade,110,111,-1,-0.5,0.5,8900\n";
    let seen = |text: &str| {
        let log = shotlog::read("log.csv", text.as_bytes()).ok()?;
        Some((log.shots.clone(), texts(&log.notes)))
    };
    let before = seen(sound);
    assert!(before.is_some());
    let others = [
        "", "x", "12L", "29R", "-5L", "238 m", "1e308", "-0.25", "\"1,5\"", "NaN", "1.5.5", "#",
        "\"", "7;8", "carry_m", "side_m", "spin", "'", "\u{feff}",
    ];
    let silent: Vec<String> = text_mutations(sound, ',', &others)
        .into_iter()
        .filter(|text| seen(text) == before)
        .collect();
    assert!(
        silent.is_empty(),
        "{} silent:\n{}",
        silent.len(),
        silent.join("\n")
    );
}

#[test]
fn of_a_round_file() {
    let sound = "course = \"The Nine\"\ndate = 2026-06-14\ntees = \"white\"\nwind = \"10m/s@SW\"\n\
                 temperature = \"18C\"\naltitude = \"300m\"\npressure = \"1000hPa\"\n\
                 humidity = \"40%\"\nfirmness = \"firm\"\n[pins]\n9 = \"9,6R\"\n1 = \"18,4L\"\n";
    let seen = |text: &str| round::read("round.toml", text.as_bytes()).ok();
    let before = seen(sound);
    assert!(before.is_some());
    let others = [
        "",
        "\"\"",
        "x",
        "12",
        "\"12\"",
        "\"7m/s@90\"",
        "\"18X\"",
        "true",
        "[]",
        "{}",
        "\"firm\"x",
        "1979-05-27",
        "\"9,6L\"",
        "[pins",
        "\"\u{1b}\"",
        "wind",
    ];
    let silent: Vec<String> = text_mutations(sound, ' ', &others)
        .into_iter()
        .filter(|text| seen(text) == before)
        .collect();
    assert!(
        silent.is_empty(),
        "{} silent:\n{}",
        silent.len(),
        silent.join("\n")
    );
}
