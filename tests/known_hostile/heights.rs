//! Heights of the ground through the program: rasters by another program, and heights that can be
//! read and cannot well be so.

use std::fs;
use std::path::Path;

use crate::{ONE_CLUB, bendline, limited, processor, text};

/// A hole of 323 m due north of longitude -3.2, latitude 55.8985, each position with the height
/// that `height` has for its feature, its number there, and how far north it lies, m.
fn course(height: impl Fn(&str, usize, f64) -> f64) -> String {
    let list = |name: &str, at: &[[f64; 2]]| {
        let at: Vec<String> = at
            .iter()
            .enumerate()
            .map(|(k, [lon, lat])| {
                let on_m = (lat - 55.8985) * 111_320.0;
                let k = if k + 1 == at.len() && at[0] == at[k] {
                    0
                } else {
                    k
                };
                format!("[{lon:.4}, {lat:.4}, {}]", height(name, k, on_m))
            })
            .collect();
        at.join(", ")
    };
    let ring = |west: f64, east: f64, south: f64, rows: usize| {
        let side = |lon: f64| (0..rows).map(move |k| [lon, south + 0.0002 * k as f64]);
        let mut ring: Vec<[f64; 2]> = side(west).collect();
        ring.extend(side(east).rev());
        ring.push(ring[0]);
        ring
    };
    let line = list("hole", &[[-3.2, 55.8985], [-3.2, 55.9014]]);
    let tee = list("tee", &[[-3.2, 55.8985]]);
    let green = list("green", &ring(-3.2002, -3.1998, 55.9013, 2));
    let fairway = list("fairway", &ring(-3.2003, -3.1997, 55.8991, 11));
    format!(
        r#"{{"type": "FeatureCollection", "features": [
{{"type": "Feature", "id": "line", "properties": {{"golf": "hole", "ref": "1", "par": "4"}}, "geometry": {{"type": "LineString", "coordinates": [{line}]}}}},
{{"type": "Feature", "id": "tee", "properties": {{"golf": "tee", "tee": "white"}}, "geometry": {{"type": "Point", "coordinates": {tee}}}}},
{{"type": "Feature", "id": "green", "properties": {{"golf": "green"}}, "geometry": {{"type": "Polygon", "coordinates": [[{green}]]}}}},
{{"type": "Feature", "id": "fairway", "properties": {{"golf": "fairway"}}, "geometry": {{"type": "Polygon", "coordinates": [[{fairway}]]}}}}
]}}"#
    )
}

/// The same on ground without heights.
fn bare() -> String {
    let with = course(|_, _, _| 7777.0);
    with.replace(", 7777]", "]")
}

/// An ESRI ASCII grid of 60 x 60 cells around the hole, from the north-west.
fn grid(height: impl Fn(usize, usize) -> f64) -> String {
    let mut text = String::from(
        "ncols 60\nnrows 60\nxllcorner -3.203\nyllcorner 55.897\ncellsize 0.0001\nNODATA_value -9999\n",
    );
    for row in 0..60 {
        let row: Vec<String> = (0..60)
            .map(|column| height(column, row).to_string())
            .collect();
        text.push_str(&row.join(" "));
        text.push('\n');
    }
    text
}

fn written(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("me.json"), ONE_CLUB).expect("a file");
    for (name, text) in files {
        fs::write(folder.path().join(name), text).expect("a file");
    }
    folder
}

fn data(name: &str) -> String {
    format!("{}/tests/data/{name}", env!("CARGO_MANIFEST_DIR"))
}

/// What a command says that ends with this code.
fn said(folder: &Path, code: i32, arguments: &[&str]) -> String {
    let run = bendline(folder, arguments);
    let said = format!("{}{}", text(&run.stdout), text(&run.stderr));
    assert_eq!(run.status.code(), Some(code), "{arguments:?}: {said}");
    said
}

const PLAN: [&str; 4] = ["plan", "hole.geojson", "--player", "me.json"];

/// Every raster that another program wrote is read by `check` and taken by `plan`: strips and
/// tiles, integers and floats, each predictor, degrees and metres, and the ASCII grid.
#[test]
fn rasters_of_another_program_through_the_commands() {
    let folder = written(&[("hole.geojson", &bare())]);
    let cases = [
        (
            "heights_slope_lonlat.tif",
            "60 x 60 cells of 0.0002 x 0.0001\n  coordinates EPSG:4326: ",
            "heights 40.2 to 84.2 m; without a height: 1 of 3600 cells",
        ),
        (
            "heights_slope_utm.tif",
            "60 x 60 cells of 10 x 10\n  coordinates EPSG:32630: ",
            "heights 40.0 to 84.0 m; without a height: 1 of 3600 cells",
        ),
        (
            "heights_hill.tif",
            "90 x 90 cells of 8 x 8\n  coordinates EPSG:32630: ",
            "heights 0.0 to 19.9 m; without a height: 0 of 8100 cells",
        ),
        (
            "heights_plane.tif",
            "150 x 70 cells of 0.0001 x 0.0001\n  coordinates EPSG:4326: ",
            "heights 51.0 to 268.0 m; without a height: 1 of 10500 cells",
        ),
        (
            "heights_plane.asc",
            "150 x 70 cells of 0.0001 x 0.0001\n  coordinates longitude and latitude (WGS 84): ",
            "heights 51.0 to 268.0 m; without a height: 1 of 10500 cells",
        ),
    ];
    for (name, cells, heights) in cases {
        let raster = data(name);
        let checked = said(folder.path(), 0, &["check", &raster]);
        assert!(
            checked.contains(cells) && checked.contains(heights),
            "{checked}"
        );
        let mut plan = PLAN.to_vec();
        plan.extend(["--heights", &raster, "--worth", "table"]);
        let planned = said(folder.path(), 0, &plan);
        let note = format!("ground heights are those of {name}");
        let plan = fs::read_to_string(folder.path().join("out/hole-1.json")).expect("a plan");
        assert!(plan.contains(&note), "{planned}");
    }
}

/// What is not read is refused by its name.
#[test]
fn rasters_that_are_not_read() {
    let folder = written(&[("hole.geojson", &bare())]);
    for (name, found) in [
        ("heights_slope_zstd.tif", "ZSTD"),
        ("heights_slope_turned.tif", "16 in the third"),
    ] {
        let raster = data(name);
        let checked = said(folder.path(), 1, &["check", &raster]);
        let mut plan = PLAN.to_vec();
        plan.extend(["--heights", &raster]);
        let planned = said(folder.path(), 1, &plan);
        assert!(checked.contains(found), "{checked}");
        assert!(planned.contains(found), "{planned}");
    }
    fs::write(folder.path().join("log.csv"), b"club,carry_yd\n\xff").expect("a file");
    let text = said(folder.path(), 1, &["check", "log.csv"]);
    assert!(
        text.contains(
            "log.csv: line 2\n  expected: text in UTF-8\n  found:    byte 0xFF, which is not UTF-8"
        ),
        "{text}"
    );
}

/// A header that claims four cells before a hundred million.
#[test]
fn a_raster_that_claims_less_than_it_holds() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut grid = String::from(
        "ncols 2\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\nNODATA_value -9999\n",
    );
    grid.push_str(&"1 ".repeat(100_000_000));
    fs::write(folder.path().join("big.asc"), grid).expect("a file");
    let limits = format!("ulimit -v 1000000; {}", processor(3.0));
    let run = limited(folder.path(), &limits, &["check", "big.asc"]);
    assert_eq!(run.status.code(), Some(1), "{}", text(&run.stderr));
    let said = text(&run.stderr);
    assert!(
        said.contains("big.asc: line 7\n  expected: 2 × 2 = 4 heights\n  found:    more, from 1\n"),
        "{said}"
    );
}

/// A fairway of 20 000 positions, a comb in ten thousand teeth, is planned on in a few times the time
/// of a usual one.
#[test]
fn a_fairway_of_twenty_thousand_positions() {
    let mut ring: Vec<String> = (0..20_000)
        .map(|k| {
            let lon = -3.2004 + 8e-4 * f64::from(k) / 20_000.0;
            let lat = if k % 2 == 0 { 55.9008 } else { 55.9003 };
            format!("[{lon:.9}, {lat}]")
        })
        .collect();
    ring.push("[-3.1996, 55.9002]".into());
    ring.push("[-3.2004, 55.9002]".into());
    ring.push(ring[0].clone());
    let bare = bare();
    let from = bare.rfind("[[").expect("a fairway") + 1;
    let to = bare.rfind("]]}").expect("its end");
    let comb = format!("{}{}{}", &bare[..from], ring.join(", "), &bare[to..]);
    let folder = written(&[("hole.geojson", &comb)]);
    let run = limited(folder.path(), &processor(6.0), &PLAN);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
}

/// The map's heights that cannot well be so: asked, and planned on once they are said to be so.
#[test]
fn heights_of_a_map_that_cannot_be() {
    let base = |on_m: f64| 30.0 + 0.01 * on_m;
    let fairway = |wrong: &dyn Fn(usize, f64) -> f64| {
        course(|name, k, on_m| match name {
            "fairway" => wrong(k, base(on_m)),
            _ => base(on_m),
        })
    };
    let cases = [
        (
            fairway(&|k, base| if k == 4 { -500.0 } else { base }),
            "hole.geojson: feature 4 (fairway)\n  \
             expected: ground between -430 m, the lowest land, and 6000 m\n  \
             found:    a height of -500 m at -3.2003, 55.8999\n  \
             remedy:   correct the third number of the position, or leave it out; if it is so, add \
             --it-is-so ground-heights (the ground is as high as the file has it)",
        ),
        (
            fairway(&|k, base| if k == 4 { 120.0 } else { base }),
            "hole.geojson: feature 4 (fairway)\n  \
             expected: ground that goes on from one position to the next\n  \
             found:    a height of 120 m at -3.2003, 55.8999, where those around it have 31.3 to 31.8 m\n",
        ),
        (
            fairway(&|k, base| if k % 7 == 3 { 0.0 } else { base }),
            "hole.geojson: feature 4 (fairway)\n  \
             expected: a height of the ground at each position, or none\n  \
             found:    a height of 0 m at -3.2003, 55.8997 (and 2 more), where the others lie between \
             30.0 and 33.3 m\n  \
             remedy:   a missing height was written as 0: leave it out; if it is so",
        ),
        (fairway(&|_, base| base / 0.3048), "found:    a height of "),
        (
            course(|_, _, on_m| if on_m > 250.0 { 300.0 } else { 0.0 } + base(on_m)),
            "expected: no cliff of more than 100 m on a hole\n",
        ),
    ];
    for (course, expected) in &cases {
        let folder = written(&[("hole.geojson", course)]);
        let checked = said(folder.path(), 1, &["check", "hole.geojson"]);
        assert!(checked.contains(expected), "{expected}\n{checked}");
        let planned = said(folder.path(), 1, &PLAN);
        assert!(planned.contains(expected), "{expected}\n{planned}");
        assert_eq!(planned.matches("remedy:").count(), 1, "{planned}");
        let so = ["check", "hole.geojson", "--it-is-so", "ground-heights"];
        said(folder.path(), 0, &so);
    }
    let folder = written(&[("hole.geojson", &cases[1].0)]);
    let mut so = PLAN.to_vec();
    so.extend(["--it-is-so", "ground-heights", "--worth", "table"]);
    let planned = said(folder.path(), 0, &so);
    assert!(
        planned.contains("--it-is-so ground-heights says that the ground is as high"),
        "{planned}"
    );
    let feet = &cases[3].0;
    let folder = written(&[("hole.geojson", feet)]);
    let checked = said(folder.path(), 1, &["check", "hole.geojson"]);
    assert!(
        checked.contains("expected: heights in metres in every feature\n")
            && checked.contains("remedy:   these are feet: multiply them by 0.3048; if it is so"),
        "{checked}"
    );
    let missing = fairway(&|k, base| if k == 4 { -9999.0 } else { base });
    let folder = written(&[("hole.geojson", &missing)]);
    let checked = said(folder.path(), 1, &["check", "hole.geojson"]);
    assert!(
        checked.contains("found:    a height of -9999\n"),
        "{checked}"
    );
}

/// The same of a raster's cells.
#[test]
fn heights_of_a_raster_that_cannot_be() {
    let base = |column: usize, row: usize| 30.0 + 0.1 * (column + row) as f64;
    let one = |wrong: f64| {
        grid(move |column, row| match [column, row] {
            [30, 24] => wrong,
            _ => base(column, row),
        })
    };
    let cases = [
        (
            one(-500.0),
            "g.asc: column 31, row 25\n  \
             expected: ground between -430 m, the lowest land, and 6000 m\n  \
             found:    a height of -500 m\n  \
             remedy:   if these cells have no height, name their value in the file (NODATA_value, or \
             the GDAL_NODATA tag of a GeoTIFF); if it is so, add --it-is-so ground-heights",
        ),
        (
            one(90.0),
            "g.asc: column 31, row 25\n  \
             expected: ground that goes on from one cell to the next\n  \
             found:    a height of 90 m, more than 15 m off all cells around it\n",
        ),
        (
            one(0.0),
            "g.asc: column 31, row 25\n  \
             expected: a height of the ground in each cell, or none\n  \
             found:    a height of 0 m, where the others lie between ",
        ),
        (
            grid(|column, row| if row < 30 { 300.0 } else { 0.0 } + base(column, row)),
            "expected: no cliff of more than 100 m on a hole\n",
        ),
    ];
    for (grid, expected) in &cases {
        let folder = written(&[("hole.geojson", &bare()), ("g.asc", grid)]);
        let checked = said(folder.path(), 1, &["check", "g.asc"]);
        assert!(checked.contains(expected), "{expected}\n{checked}");
        let mut plan = PLAN.to_vec();
        plan.extend(["--heights", "g.asc"]);
        let planned = said(folder.path(), 1, &plan);
        assert!(planned.contains(expected), "{expected}\n{planned}");
        let so = ["check", "g.asc", "--it-is-so", "ground-heights"];
        said(folder.path(), 0, &so);
    }
    // Feet beside a map in metres, which says so.
    let feet = grid(|column, row| base(column, row) / 0.3048);
    let map = course(|_, _, on_m| 37.4 - 0.1 * on_m / 11.132);
    let folder = written(&[("hole.geojson", &map), ("g.asc", &feet)]);
    let mut plan = PLAN.to_vec();
    plan.extend(["--heights", "g.asc"]);
    let planned = said(folder.path(), 1, &plan);
    assert!(
        planned.contains("expected: heights in metres, near those of the map\n")
            && planned.contains(
                "remedy:   the raster counts in feet: multiply the heights of the raster by 0.3048; \
                 if it is so"
            ),
        "{planned}"
    );
}

/// A hole that drops 60 m in 300, over a bank of 45°, is as it is: of the map and of a raster.
#[test]
fn a_steep_hole_is_not_questioned() {
    let steep = |on_m: f64| 160.0 - 0.2 * on_m - (on_m - 150.0).clamp(0.0, 22.0);
    let folder = written(&[
        ("hole.geojson", &course(|_, _, on_m| steep(on_m))),
        ("bare.geojson", &bare()),
        ("g.asc", &grid(|_, row| steep((44.5 - row as f64) * 11.132))),
    ]);
    for arguments in [&["check", "hole.geojson"][..], &["check", "g.asc"]] {
        let checked = said(folder.path(), 0, arguments);
        assert!(!checked.contains("it-is-so"), "{checked}");
    }
    let on_raster = [
        "plan",
        "bare.geojson",
        "--player",
        "me.json",
        "--heights",
        "g.asc",
    ];
    for plan in [&PLAN[..], &on_raster] {
        let planned = said(folder.path(), 0, &[plan, &["--worth", "table"]].concat());
        assert!(!planned.contains("it-is-so"), "{planned}");
    }
}

/// More than fourteen clubs are asked about, whatever their shapes; of more than 60 of both nothing
/// is planned.
#[test]
fn a_bag_of_more_than_fourteen_clubs() {
    let bag = |clubs: usize, shapes: usize| {
        let one = &ONE_CLUB[ONE_CLUB.find("{\"club\"").expect("a club")..ONE_CLUB.len() - 2];
        let all: Vec<String> = (0..clubs * shapes)
            .map(|k| {
                let club = format!("\"club\": \"c{}\"", k / shapes);
                let shape = format!("\"shape\": \"{}\"", ["draw", "low draw"][k % shapes]);
                one.replace("\"club\": \"driver\"", &club)
                    .replace("\"shape\": \"draw\"", &shape)
            })
            .collect();
        let head = &ONE_CLUB[..ONE_CLUB.find("{\"club\"").expect("a club")];
        format!("{head}{}]}}", all.join(", "))
    };
    let sizes = [
        ((14, 2), 0, "a player, right-handed"),
        (
            (15, 1),
            1,
            "me.json: key clubs\n  \
             expected: at most 14 clubs, each with any of its shapes (Rule 4.1b)\n  \
             found:    15 clubs\n  \
             remedy:   take out the clubs that stay at home; if it is so, add --it-is-so bag-size (the bag \
             holds so many clubs)",
        ),
        (
            (61, 1),
            1,
            "expected: at most 60 clubs and shapes\n  found:    61\n",
        ),
    ];
    for ((clubs, shapes), code, expected) in sizes {
        let folder = written(&[("me.json", &bag(clubs, shapes))]);
        let checked = said(folder.path(), code, &["check", "me.json"]);
        assert!(checked.contains(expected), "{expected}\n{checked}");
    }
}

/// A course with one more feature.
fn with(course: &str, id: &str, tag: &str, kind: &str, coordinates: &str) -> String {
    let end = course.rfind("\n]}").expect("an end");
    format!(
        r#"{},
{{"type": "Feature", "id": "{id}", "properties": {{"golf": "{tag}"}}, "geometry": {{"type": "{kind}", "coordinates": {coordinates}}}}}
]}}"#,
        &course[..end]
    )
}

/// A ring of so many positions around a place, each with a height.
fn ring([lon, lat]: [f64; 2], radius_m: f64, count: usize, height_m: f64) -> String {
    let at: Vec<String> = (0..=count)
        .map(|k| {
            let turn = std::f64::consts::TAU * (k % count) as f64 / count as f64;
            let east = lon + radius_m / 62_400.0 * turn.cos();
            let north = lat + radius_m / 111_320.0 * turn.sin();
            format!("[{east:.8}, {north:.8}, {height_m}]")
        })
        .collect();
    format!("[[{}]]", at.join(", "))
}

/// Steps of a map that no ground has: asked about around a place, noted first where they cross the
/// hole.
#[test]
fn steps_of_a_map_that_no_ground_has() {
    let base = |on_m: f64| 30.0 + 0.01 * on_m;
    let sound = course(|_, _, on_m| base(on_m));
    let raised = ring([-3.2, 55.9001], 4.0, 8, 90.0);
    let asked = [
        (
            with(&sound, "sand", "bunker", "Polygon", &raised),
            "hole.geojson: feature 5 (sand)\n  \
             expected: ground that goes on from one position to the next\n  \
             found:    a height of 90 m at ",
            " (and 7 more), and ",
        ),
        (
            with(&sound, "flag", "pin", "Point", "[-3.2, 55.9014, 73.2]"),
            "  expected: one height of the ground at each place\n  found:    a height of ",
            " at the same place (feature ",
        ),
    ];
    for (map, expected, more) in &asked {
        let folder = written(&[("hole.geojson", map)]);
        for arguments in [&["check", "hole.geojson"][..], &PLAN] {
            let said = said(folder.path(), 1, arguments);
            assert!(said.contains(expected) && said.contains(more), "{said}");
            assert_eq!(said.matches("remedy:").count(), 1, "{said}");
        }
        let so = ["check", "hole.geojson", "--it-is-so", "ground-heights"];
        said(folder.path(), 0, &so);
    }
    let cliff = course(|_, _, on_m| base(on_m) + if on_m > 150.0 { 50.0 } else { 0.0 });
    let folder = written(&[("hole.geojson", &cliff)]);
    let checked = said(folder.path(), 0, &["check", "hole.geojson"]);
    let wall = ": the ground is planned with a wall there; look at the two heights\n";
    assert!(
        checked.contains("check first: a height of ") && checked.contains(wall),
        "{checked}"
    );
}

/// A ring that ends where it starts, at another height.
#[test]
fn a_ring_that_ends_at_another_height() {
    let sound = course(|_, _, _| 30.0);
    let last = "[-3.2003, 55.8991, 30]";
    let at = sound.rfind(last).expect("the fairway's last position");
    let raised = format!(
        "{}[-3.2003, 55.8991, 31]{}",
        &sound[..at],
        &sound[at + last.len()..]
    );
    let folder = written(&[("hole.geojson", &raised)]);
    let checked = said(folder.path(), 1, &["check", "hole.geojson"]);
    assert!(
        checked.contains(
            "expected: closed rings: the last position equal to the first, height and all (RFC 7946 \
             §3.1.6)\n  \
             found:    ring 1 starts and ends at -3.2003, 55.8991, with 30 m first and 31 m last\n  \
             remedy:   give the two the same height\n"
        ),
        "{checked}"
    );
}

/// Nearly as many bunkers with heights as one hole may have are looked at in two seconds.
#[test]
fn heights_of_many_bunkers() {
    let mut map = course(|_, _, on_m| 30.0 + 0.01 * on_m);
    let bunkers: Vec<String> = (0..2900)
        .map(|k| {
            let [column, row] = [f64::from(k % 50), f64::from(k / 50)];
            let place = [-3.2022 + 8e-5 * column, 55.8985 + 5e-5 * row];
            let ring = ring(place, 1.5, 32, 30.0 + 0.01 * 5.5 * row);
            format!(
                r#"{{"type": "Feature", "id": "b{k}", "properties": {{"golf": "bunker"}}, "geometry": {{"type": "Polygon", "coordinates": {ring}}}}}"#
            )
        })
        .collect();
    let end = map.rfind("\n]}").expect("an end");
    map.replace_range(end.., &format!(",\n{}\n]}}", bunkers.join(",\n")));
    let folder = written(&[("hole.geojson", &map)]);
    let run = limited(folder.path(), &processor(0.6), &["check", "hole.geojson"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
}

/// A raster with places, or noise, that no ground has; a cliff across it is noted first.
#[test]
fn steps_of_a_raster_that_no_ground_has() {
    let base = |column: usize, row: usize| 30.0 + 0.1 * (column + row) as f64;
    let raised = |size: usize, by_m: f64| {
        grid(move |column, row| {
            let within = (30..30 + size).contains(&column) && (24..24 + size).contains(&row);
            base(column, row) + if within { by_m } else { 0.0 }
        })
    };
    let noise = grid(|column, row| {
        let mixed = ((column * 73_856_093) ^ (row * 19_349_663)).wrapping_mul(2_654_435_761);
        base(column, row) + ((mixed >> 16) % 21) as f64 - 10.0
    });
    let expected =
        "  expected: ground that goes on from one cell to the next\n  found:    a height of ";
    let asked = [
        (
            raised(2, 40.0),
            "g.asc: column 31, row 25\n",
            "75.4 m (and 3 more), with a step of more than 15 m all around, steeper than 60°\n",
        ),
        (
            raised(5, 60.0),
            "g.asc: column 31, row 25\n",
            "95.4 m (and 24 more), with a step of more than 15 m all around, steeper than 60°\n",
        ),
        (
            noise,
            "g.asc: column ",
            " m or more off the middle of the two beside them\n",
        ),
    ];
    for (grid, place, found) in &asked {
        let folder = written(&[("hole.geojson", &bare()), ("g.asc", grid)]);
        let mut plan = PLAN.to_vec();
        plan.extend(["--heights", "g.asc"]);
        for arguments in [&["check", "g.asc"][..], &plan] {
            let said = said(folder.path(), 1, arguments);
            for words in [expected, place, found] {
                assert!(said.contains(words), "{words}\n{said}");
            }
            assert_eq!(said.matches("remedy:").count(), 1, "{said}");
        }
        let so = ["check", "g.asc", "--it-is-so", "ground-heights"];
        said(folder.path(), 0, &so);
    }
    let cliff = grid(|column, row| base(column, row) + if row < 30 { 90.0 } else { 0.0 });
    let folder = written(&[("hole.geojson", &bare()), ("g.asc", &cliff)]);
    let checked = said(folder.path(), 0, &["check", "g.asc"]);
    assert!(
        checked.contains("check first: g.asc: column ")
            && checked.contains(
                "90 m off a cell beside it: the ground is planned with a wall there; look at the heights\n"
            ),
        "{checked}"
    );
    let mut plan = PLAN.to_vec();
    plan.extend(["--heights", "g.asc", "--worth", "table"]);
    let planned = said(folder.path(), 0, &plan);
    assert!(planned.contains("Check first: g.asc: column "), "{planned}");
}
