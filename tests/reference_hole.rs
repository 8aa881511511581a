//! The plane and the file format against truth outside the project.

use bendline::hole::plane::Plane;
use bendline::hole::{Coord, Surface, read_course};
use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};
use proj_core::Transform;
use proj_wkt::transform_from_crs_strings;
use serde_json::{Value, json};

/// Degrees from degrees, minutes and seconds.
fn dms(degrees: f64, minutes: f64, seconds: f64) -> f64 {
    degrees.signum() * (degrees.abs() + minutes / 60.0 + seconds / 3600.0)
}

/// T. Vincenty, "Direct and inverse solutions of geodesics on the ellipsoid",
/// Survey Review XXIII (1975), and the Geocentric Datum of Australia manual's
/// worked example: Flinders Peak to Buninyong, 54 972.271 m, 306°52′05.37″.
/// Computed here with Karney's method, which the next test rests on.
#[test]
fn the_geodesics_are_those_of_the_worked_example() {
    let earth = Geodesic::wgs84();
    let (distance_m, azimuth_deg, _, _): (f64, f64, f64, f64) = earth.inverse(
        dms(-37.0, 57.0, 3.72030),
        dms(144.0, 25.0, 29.52440),
        dms(-37.0, 39.0, 10.15610),
        dms(143.0, 55.0, 35.38390),
    );
    assert!((distance_m - 54_972.271).abs() < 0.0005, "{distance_m}");
    let expected = dms(306.0, 52.0, 5.37);
    assert!(
        (azimuth_deg.rem_euclid(360.0) - expected).abs() < 0.005 / 3600.0,
        "{azimuth_deg}"
    );
}

/// C. F. F. Karney, "Algorithms for geodesics", J. Geodesy 87 (2013): a tee
/// shot's distances and bearings on the plane are the earth's, to 1 mm.
#[test]
fn the_plane_agrees_with_geodesics_within_a_millimetre_over_600_m() {
    let earth = Geodesic::wgs84();
    for lat in [0.0, 51.5, 70.0, -37.8] {
        for lon in [0.0, -3.2, 179.999] {
            let plane = Plane::new([lon, lat]);
            // Two points up to 600 m apart, both up to 300 m from the origin,
            // and 600 m out from the origin itself.
            for from in 0..24 {
                for to in 0..24 {
                    let place = |turn: i32, out_m: f64| -> [f64; 2] {
                        let (lat, lon): (f64, f64) =
                            earth.direct(lat, lon, f64::from(turn) * 15.0, out_m);
                        [lon, lat]
                    };
                    for (a, b) in [
                        (place(from, 300.0), place(to, 300.0)),
                        ([lon, lat], place(to, 600.0)),
                    ] {
                        if a == b {
                            continue;
                        }
                        let (true_m, azimuth_deg, _, _): (f64, f64, f64, f64) =
                            earth.inverse(a[1], a[0], b[1], b[0]);
                        let (p, q) = (plane.to_plane(a[0], a[1]), plane.to_plane(b[0], b[1]));
                        let d = Coord {
                            x: q.x - p.x,
                            y: q.y - p.y,
                        };
                        assert!((d.x.hypot(d.y) - true_m).abs() < 0.001, "{lat} {from} {to}");
                        if a == [lon, lat] {
                            // From the origin the bearing is true as well.
                            let off_deg = d.x.atan2(d.y).to_degrees() - azimuth_deg;
                            let off_deg = (off_deg + 540.0).rem_euclid(360.0) - 180.0;
                            let across_m = off_deg.to_radians() * true_m;
                            assert!(across_m.abs() < 0.001, "{lat} {to}: {across_m}");
                        }
                    }
                }
            }
        }
    }
}

/// Metres in a degree of latitude (half a degree either way along the
/// meridian) and of longitude (over a thousandth of a degree) on WGS 84,
/// computed with pyproj's `Geod` and rounded to a centimetre.
#[test]
fn a_degree_is_as_long_as_it_is_on_wgs_84() {
    for (lat, north_m, east_m) in [
        (45.0, 111_131.78, 78_846.84),
        (51.5, 111_257.83, 69_440.52),
        (56.34, 111_347.98, 61_843.91),
    ] {
        let plane = Plane::new([10.0, lat]);
        let (north, south) = (
            plane.to_plane(10.0, lat + 0.5),
            plane.to_plane(10.0, lat - 0.5),
        );
        let east = plane.to_plane(10.001, lat);
        assert!((north.y - south.y - north_m).abs() < 0.006, "{lat}");
        assert!(
            (east.x.hypot(east.y) * 1000.0 - east_m).abs() < 0.006,
            "{lat}"
        );
    }
}

/// PROJ's own test suite (`test/gie/builtins.gie`): tmerc on GRS80 at longitude 2°, latitude 1°. WGS 84's
/// semi-minor axis is 0.1 mm longer.
#[test]
fn the_plane_is_projs_published_transverse_mercator() {
    let plane = Plane::new([0.0, 0.0]);
    let at = plane.to_plane(2.0, 1.0);
    assert!((at.x - 222_650.796_797_586).abs() < 1e-5, "{at:?}");
    assert!((at.y - 110_642.229_411_933).abs() < 1e-5, "{at:?}");
}

/// Planes about three places, across the 180th meridian too: the same as a projection with its origin
/// there, and back to where one began.
#[test]
fn the_plane_is_a_projection_about_its_origin_and_turns_back() {
    for [lon, lat] in [[-3.2, 55.9], [180.0, -17.0], [144.4, -37.9]] {
        let plane = Plane::new([lon, lat]);
        let there = format!("+proj=tmerc +lat_0={lat} +lon_0={lon} +datum=WGS84 +units=m");
        let projection = transform_from_crs_strings("EPSG:4326", &there).expect("a projection");
        for (east, north) in [(0.0, 0.0), (0.004, 0.003), (-0.01, 0.002)] {
            let at = plane.to_plane(lon + east, lat + north);
            let (x, y): (f64, f64) = projection
                .convert((lon + east, lat + north))
                .expect("a place");
            assert!(
                (at.x - x).abs() < 1e-6 && (at.y - y).abs() < 1e-6,
                "{at:?} {x} {y}"
            );
            let back = plane.to_lon_lat(at);
            let turned = (back[0] - lon - east + 540.0).rem_euclid(360.0) - 180.0;
            assert!(
                turned.abs() < 1e-11 && (back[1] - lat - north).abs() < 1e-11,
                "{back:?}"
            );
        }
    }
}

/// Systems whose datum has several formulas to WGS 84, where PROJ takes another: how far off at most, m.
const BY_ANOTHER_FORMULA: [(&str, f64); 5] = [
    ("5514", 0.1),
    ("31370", 0.1),
    ("2927", 2.0),
    ("28191", 100.0),
    ("3295", 400.0),
];

/// A hole in each of over a hundred systems, as the program reads a map in it, lies where PROJ puts it
/// (`data/coordinate_systems.csv`), to a millimetre.
#[test]
fn maps_in_other_systems_lie_where_proj_puts_them() {
    let text = include_str!("data/coordinate_systems.csv");
    for row in text.lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let [x, y, lon, lat] = [2, 3, 4, 5].map(|k| cells[k].parse::<f64>().expect("a number"));
        let in_degrees = x.abs() <= 180.0 && y.abs() <= 90.0;
        let unit = if in_degrees { 1e-5 } else { 1.0 };
        let square = |half: f64| {
            let corners = [
                [-1.0, -1.0],
                [1.0, -1.0],
                [1.0, 1.0],
                [-1.0, 1.0],
                [-1.0, -1.0],
            ];
            json!([corners.map(|[a, b]: [f64; 2]| [x + a * half * unit, y + b * half * unit])])
        };
        let feature = |golf: &str, of: &str, coordinates: Value| {
            json!({"type": "Feature", "properties": {"golf": golf, "ref": "1", "par": "3"},
                   "geometry": {"type": of, "coordinates": coordinates}})
        };
        let file = json!({"type": "FeatureCollection", "features": [
            feature("hole", "LineString", json!([[x, y], [x, y + 150.0 * unit]])),
            feature("tee", "Polygon", square(5.0)),
            feature("green", "Polygon", json!([[
                [x - 10.0 * unit, y + 140.0 * unit], [x + 10.0 * unit, y + 140.0 * unit],
                [x + 10.0 * unit, y + 160.0 * unit], [x - 10.0 * unit, y + 160.0 * unit],
                [x - 10.0 * unit, y + 140.0 * unit]
            ]])),
        ]});
        let system = format!("EPSG:{}", cells[0]);
        let course = read_course("grid.geojson", file.to_string().as_bytes(), Some(&system))
            .unwrap_or_else(|problems| panic!("{row}: {problems}"));
        let hole = &course.holes[0];
        let begins = Plane::new(hole.origin_lon_lat).to_lon_lat(hole.line_of_play[0]);
        let proj = Plane::new([lon, lat]).to_plane(begins[0], begins[1]);
        let off_m = proj.x.hypot(proj.y);
        let several = BY_ANOTHER_FORMULA
            .iter()
            .find(|(code, _)| *code == cells[0]);
        assert!(
            off_m < several.map_or(0.001, |(_, most)| *most),
            "{row}: {off_m} m"
        );
    }
}

/// A system by an URN counts in its authority's order, northing first here; a file has the easting
/// first all the same. EPSG:2048 counts to the west and south, EPSG:27572 from Paris: refused, not
/// guessed.
#[test]
fn the_easting_comes_first_and_what_cannot_be_converted_is_refused() {
    let to_grid = transform_from_crs_strings("EPSG:4326", "EPSG:31467").unwrap();
    let mut file: Value = serde_json::from_slice(&hole_file(Vec::new())).unwrap();
    let nine_east = |value: &mut Value| {
        fn moved(value: &mut Value) {
            let items = value.as_array_mut().unwrap();
            if items[0].is_number() {
                let [lon, lat] = [0, 1].map(|k| items[k].as_f64().unwrap());
                *value = json!([lon - 91.0, lat + 50.0]);
            } else {
                items.iter_mut().for_each(moved);
            }
        }
        moved(value);
    };
    for feature in file["features"].as_array_mut().unwrap() {
        nine_east(&mut feature["geometry"]["coordinates"]);
        turn(&mut feature["geometry"]["coordinates"], &to_grid);
    }
    let bytes = file.to_string().into_bytes();
    let read = |system: &str| read_course("grid.geojson", &bytes, Some(system));
    let [by_code, by_urn] = ["EPSG:31467", "urn:ogc:def:crs:EPSG::31467"]
        .map(|system| read(system).unwrap().holes[0].origin_lon_lat);
    assert_eq!(by_code, by_urn);
    assert!(
        (by_code[0] - 9.0).abs() < 0.01 && (by_code[1] - 50.0).abs() < 0.01,
        "{by_code:?}"
    );
    for system in ["EPSG:2048", "EPSG:27572"] {
        let problems = read(system).unwrap_err();
        assert!(
            problems.to_string().contains("export in WGS 84"),
            "{problems}"
        );
    }
}

fn hole_file(extra: Vec<Value>) -> Vec<u8> {
    // A hole along the equator of RFC 7946's examples: 100.02° to 100.022° E.
    let mut features = vec![
        json!({"type": "Feature", "properties": {"golf": "hole", "ref": "1", "par": "4"},
               "geometry": {"type": "LineString", "coordinates": [[100.0002, 0.0005], [100.0032, 0.0005]]}}),
        json!({"type": "Feature", "properties": {"golf": "tee"},
               "geometry": {"type": "Point", "coordinates": [100.0002, 0.0005]}}),
        json!({"type": "Feature", "properties": {"golf": "green"},
               "geometry": {"type": "Polygon", "coordinates":
                   [[[100.0031, 0.0004], [100.0033, 0.0004], [100.0033, 0.0006], [100.0031, 0.0006], [100.0031, 0.0004]]]}}),
    ];
    features.extend(extra);
    json!({"type": "FeatureCollection", "features": features})
        .to_string()
        .into_bytes()
}

/// RFC 7946 appendix A.3: a polygon with a hole in it, shrunk a thousandfold so
/// that it fits a fairway; and §3.1.6: parsers should not reject either winding.
#[test]
fn the_polygon_with_a_hole_of_rfc_7946_is_read_in_either_winding() {
    let shrunk = |lon: f64, lat: f64| json!([100.0 + (lon - 100.0) * 1e-3, lat * 1e-3]);
    let outer: Vec<Value> = [
        (100.0, 0.0),
        (101.0, 0.0),
        (101.0, 1.0),
        (100.0, 1.0),
        (100.0, 0.0),
    ]
    .iter()
    .map(|&(lon, lat)| shrunk(lon, lat))
    .collect();
    let inner: Vec<Value> = [
        (100.8, 0.8),
        (100.8, 0.2),
        (100.2, 0.2),
        (100.2, 0.8),
        (100.8, 0.8),
    ]
    .iter()
    .map(|&(lon, lat)| shrunk(lon, lat))
    .collect();
    for (flip_outer, flip_inner) in [(false, false), (true, false), (false, true), (true, true)] {
        let (mut outer, mut inner) = (outer.clone(), inner.clone());
        if flip_outer {
            outer.reverse();
        }
        if flip_inner {
            inner.reverse();
        }
        let file = hole_file(vec![json!({
            "type": "Feature", "properties": {"golf": "bunker"},
            "geometry": {"type": "Polygon", "coordinates": [outer, inner]},
        })]);
        let course = read_course("rfc7946.geojson", &file, None).unwrap();
        let hole = &course.holes[0];
        let plane = Plane::new(hole.origin_lon_lat);
        let surface = |lon: f64, lat: f64| hole.surface_at(plane.to_plane(lon, lat));
        assert_eq!(surface(100.0001, 0.0001), Surface::Bunker);
        assert_eq!(surface(100.0009, 0.0009), Surface::Bunker);
        assert_eq!(
            surface(100.0005, 0.0006),
            Surface::Rough,
            "in the hole of the polygon"
        );
        assert_eq!(surface(100.0011, 0.0005), Surface::Rough);
    }
}

/// RFC 7946 §1.5, the example of a FeatureCollection: sound GeoJSON, but no
/// hole. What is said is the one next thing that is missing.
#[test]
fn the_example_collection_of_rfc_7946_is_read_and_has_no_line_of_play() {
    let example = br#"{"type": "FeatureCollection", "features": [
        {"type": "Feature", "geometry": {"type": "Point", "coordinates": [102.0, 0.5]},
         "properties": {"prop0": "value0"}},
        {"type": "Feature", "geometry": {"type": "LineString", "coordinates":
            [[102.0, 0.0], [103.0, 1.0], [104.0, 0.0], [105.0, 1.0]]},
         "properties": {"prop0": "value0", "prop1": 0.0}},
        {"type": "Feature", "geometry": {"type": "Polygon", "coordinates":
            [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]]},
         "properties": {"prop0": "value0", "prop1": {"this": "that"}}}]}"#;
    let problems = read_course("rfc7946.geojson", example, None).unwrap_err();
    assert_eq!(problems.0.len(), 1, "{problems}");
    assert!(
        problems.0[0].found.contains("no line of play"),
        "{problems}"
    );
}

/// Longitude and latitude to a grid, wherever they stand below.
fn turn(value: &mut Value, to_grid: &Transform) {
    let Some(items) = value.as_array_mut() else {
        return;
    };
    if items[0].is_number() {
        let (lon, lat) = (items[0].as_f64().unwrap(), items[1].as_f64().unwrap());
        let (x, y): (f64, f64) = to_grid.convert((lon, lat)).unwrap();
        *value = json!([x, y]);
    } else {
        items.iter_mut().for_each(|item| turn(item, to_grid));
    }
}

/// The nine demo holes, with woods and roughs hundreds of metres wide, in a grid.
#[test]
fn a_whole_course_in_a_grid_reads_the_same() {
    let utm = "+proj=utm +zone=34 +ellps=WGS84 +units=m +no_defs +type=crs";
    let to_grid = transform_from_crs_strings("EPSG:4326", "EPSG:32634").unwrap();
    let bytes = include_bytes!("../holes/course.geojson");
    let mut file: Value = serde_json::from_slice(bytes).unwrap();
    for feature in file["features"].as_array_mut().unwrap() {
        turn(&mut feature["geometry"]["coordinates"], &to_grid);
    }
    let grid_bytes = file.to_string().into_bytes();
    let plain = read_course("plain.geojson", bytes, None).unwrap();
    let grid = read_course("utm.geojson", &grid_bytes, Some(utm)).unwrap();
    assert_eq!((plain.holes.len(), grid.holes.len()), (9, 9));
    for (one, other) in plain.holes.iter().zip(&grid.holes) {
        assert!((one.length_m - other.length_m).abs() < 1e-3);
        let (low, size) = (one.bounds().min(), one.bounds().max() - one.bounds().min());
        // Well within: the box's own edge is where the drawing of the surroundings ends.
        for k in 0..400_u32 {
            let share = [k % 20, k / 20].map(|step| (f64::from(step) + 0.5) / 20.0);
            let at = low
                + Coord {
                    x: size.x * share[0],
                    y: size.y * share[1],
                };
            let (of_one, of_other) = (one.surface_at(at), other.surface_at(at));
            assert_eq!(of_one, of_other, "hole {} at {at:?}", one.reference);
        }
    }
    // Without the system's name that is all that is said.
    let problems = read_course("utm.geojson", &grid_bytes, None).unwrap_err();
    assert_eq!(problems.0.len(), 1, "{problems}");
    assert!(
        problems.to_string().contains("projected metres"),
        "{problems}"
    );
}

/// A hole written in UTM zone 47 reads the same to a millimetre, its system by name or spelt out.
#[test]
fn a_file_in_another_coordinate_system_reads_the_same() {
    let utm = "+proj=utm +zone=47 +ellps=WGS84 +units=m +no_defs +type=crs";
    let to_grid = transform_from_crs_strings("EPSG:4326", "EPSG:32647").unwrap();
    let mut file: Value = serde_json::from_slice(&hole_file(Vec::new())).unwrap();
    for feature in file["features"].as_array_mut().unwrap() {
        turn(&mut feature["geometry"]["coordinates"], &to_grid);
    }
    let plain = read_course("plain.geojson", &hole_file(Vec::new()), None).unwrap();
    let grid = read_course("utm.geojson", file.to_string().as_bytes(), Some(utm)).unwrap();
    assert!((plain.holes[0].length_m - grid.holes[0].length_m).abs() < 1e-3);
    for axis in 0..2 {
        let off = plain.holes[0].origin_lon_lat[axis] - grid.holes[0].origin_lon_lat[axis];
        assert!(off.abs() < 1e-8, "{off}");
    }
    // Without the system's name the mistake is named.
    let problems = read_course("utm.geojson", file.to_string().as_bytes(), None).unwrap_err();
    assert!(
        problems.to_string().contains("projected metres"),
        "{problems}"
    );
}
