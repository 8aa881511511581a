//! Ground from a raster, in closed form: a tilted plane and a hill, as an ESRI
//! ASCII grid and as a GeoTIFF, in degrees and in a projected system.

use bendline::flight::{
    Air, Ball, Canopy, Firmness, Launch, Terrain, Turf, Weather, come_to_rest, fly,
};
use bendline::hole::{
    Ground, Heights, Hole, looks_like_heights, read_heights, read_heights_beside,
};
use bendline::units::{MPH_M_S, RPM_RAD_S};
use serde_json::json;

use crate::draw::{Draw, Point2};

/// UTM zone 30 holds the drawn hole (3.2° W, 55.9° N).
const UTM: &str = "EPSG:32630";

/// Rows from the north of heights at the middles of cells of `side` degrees or
/// metres about a place.
fn cells(
    first: Point2,
    step: Point2,
    size: [usize; 2],
    height: impl Fn(Point2) -> f64,
) -> Vec<Vec<f64>> {
    (0..size[1])
        .map(|row| {
            (0..size[0])
                .map(|column| {
                    height([
                        first[0] + step[0] * column as f64,
                        first[1] - step[1] * row as f64,
                    ])
                })
                .collect()
        })
        .collect()
}

fn ascii(first: Point2, step: f64, rows: &[Vec<f64>]) -> String {
    let south = first[1] - step * (rows.len() as f64 - 1.0);
    let mut text = format!(
        "ncols {}\nnrows {}\nxllcorner {:.12}\nyllcenter {:.12}\ncellsize {step}\nNODATA_value -9999\n",
        rows[0].len(),
        rows.len(),
        first[0] - step / 2.0,
        south,
    );
    for row in rows {
        let row: Vec<String> = row.iter().map(|h| format!("{h:.6}")).collect();
        text.push_str(&row.join(" "));
        text.push('\n');
    }
    text
}

/// A GeoTIFF written by hand (TIFF 6.0, OGC 19-008r4): one strip of floats.
/// `point` says that coordinates are those of the cells' middles.
fn geotiff(first: Point2, step: Point2, rows: &[Vec<f64>], epsg: u16, point: bool) -> Vec<u8> {
    let (columns, count) = (rows[0].len() as u32, rows.len() as u32);
    let half = if point { 0.0 } else { 0.5 };
    let corner = [first[0] - half * step[0], first[1] + half * step[1]];
    let doubles = |list: &[f64]| -> Vec<u8> { list.iter().flat_map(|d| d.to_le_bytes()).collect() };
    let shorts = |list: &[u16]| -> Vec<u8> { list.iter().flat_map(|s| s.to_le_bytes()).collect() };
    let geographic = epsg == 4326;
    let keys = [
        1,
        1,
        0,
        3,
        1024,
        0,
        1,
        if geographic { 2 } else { 1 },
        1025,
        0,
        1,
        if point { 2 } else { 1 },
        if geographic { 2048 } else { 3072 },
        0,
        1,
        epsg,
    ];
    let pixels: Vec<u8> = rows
        .iter()
        .flatten()
        .flat_map(|h| (*h as f32).to_le_bytes())
        .collect();
    // tag, type, count, bytes
    let entries: Vec<(u16, u16, u32, Vec<u8>)> = vec![
        (256, 4, 1, columns.to_le_bytes().to_vec()),
        (257, 4, 1, count.to_le_bytes().to_vec()),
        (258, 3, 1, shorts(&[32, 0])),
        (259, 3, 1, shorts(&[1, 0])),
        (262, 3, 1, shorts(&[1, 0])),
        (273, 4, 1, 8_u32.to_le_bytes().to_vec()),
        (277, 3, 1, shorts(&[1, 0])),
        (278, 4, 1, count.to_le_bytes().to_vec()),
        (279, 4, 1, (pixels.len() as u32).to_le_bytes().to_vec()),
        (339, 3, 1, shorts(&[3, 0])),
        (33550, 12, 3, doubles(&[step[0], step[1], 0.0])),
        (
            33922,
            12,
            6,
            doubles(&[0.0, 0.0, 0.0, corner[0], corner[1], 0.0]),
        ),
        (34735, 3, keys.len() as u32, shorts(&keys)),
        (42113, 2, 6, b"-9999\0".to_vec()),
    ];
    let directory_at = 8 + pixels.len();
    let mut extra_at = directory_at + 2 + 12 * entries.len() + 4;
    let mut bytes = b"II*\0".to_vec();
    bytes.extend((directory_at as u32).to_le_bytes());
    bytes.extend(&pixels);
    bytes.extend((entries.len() as u16).to_le_bytes());
    let mut extra: Vec<u8> = Vec::new();
    for (tag, kind, count, value) in &entries {
        bytes.extend(tag.to_le_bytes());
        bytes.extend(kind.to_le_bytes());
        bytes.extend(count.to_le_bytes());
        if value.len() <= 4 {
            let mut four = value.clone();
            four.resize(4, 0);
            bytes.extend(four);
        } else {
            bytes.extend((extra_at as u32).to_le_bytes());
            extra.extend(value);
            extra_at += value.len();
        }
    }
    bytes.extend([0; 4]);
    bytes.extend(extra);
    bytes
}

fn heights(name: &str, bytes: &[u8], crs: Option<&str>) -> Heights {
    read_heights(name, bytes, crs).unwrap_or_else(|problems| panic!("{problems}"))
}

fn on(hole: &mut Hole, heights: &Heights) {
    hole.set_heights(heights)
        .unwrap_or_else(|problem| panic!("{problem}"));
}

const PLACES: [Point2; 5] = [
    [0.0, 0.0],
    [33.3, -71.7],
    [-90.1, 140.2],
    [100.0, 200.0],
    [0.0, 160.0],
];

/// A plane in degrees is, over a hole, a plane in metres: it comes back as it
/// is at every point, from either format.
#[test]
fn a_tilted_plane_in_degrees_comes_back() {
    let draw = Draw::hole();
    let step = 4.0e-5;
    let first = [-3.21, 55.905];
    let plane = |at: Point2| 100.0 + 900.0 * (at[0] + 3.2) - 1500.0 * (at[1] - 55.9);
    let rows = cells(first, [step; 2], [500, 260], plane);
    let text = ascii(first, step, &rows);
    for raster in [
        heights("plane.asc", text.as_bytes(), None),
        heights(
            "plane.tif",
            &geotiff(first, [step; 2], &rows, 4326, false),
            None,
        ),
        heights(
            "plane.tif",
            &geotiff(first, [step; 2], &rows, 4326, true),
            None,
        ),
    ] {
        let mut hole = draw.only();
        assert!(hole.ground().is_flat());
        on(&mut hole, &raster);
        for at in PLACES {
            let position = draw.lon_lat(at);
            let expected = plane([position[0].as_f64().unwrap(), position[1].as_f64().unwrap()]);
            let here = draw.on(&hole, at);
            let found = hole.ground().height_m(here.x, here.y);
            assert!(
                (found - expected).abs() < 1e-3,
                "{at:?}: {found}, not {expected}"
            );
        }
        let words: Vec<&str> = hole.notes.iter().map(|note| note.text.as_str()).collect();
        assert!(
            words
                .iter()
                .any(|text| text.starts_with("ground heights are those of plane.")),
            "{words:?}"
        );
        assert!(
            !words.iter().any(|text| text.contains("taken as flat")),
            "{words:?}"
        );
    }
}

/// A hill, `20 m · exp(−r²/2·60²)`, in UTM: height and slope are those of the
/// formula, to the sampling's h²/8 times the curvature.
#[test]
fn a_hill_in_utm_comes_back() {
    let draw = Draw::hole();
    let to_utm = proj_utm();
    let top: Point2 = to_utm(&draw, [40.0, 20.0]);
    let hill = |at: Point2| {
        let r2 = (at[0] - top[0]).powi(2) + (at[1] - top[1]).powi(2);
        20.0 * (-r2 / 7200.0).exp()
    };
    let first = [top[0] - 500.0, top[1] + 500.0];
    let rows = cells(first, [2.0; 2], [501, 501], hill);
    for raster in [
        heights(
            "hill.tif",
            &geotiff(first, [2.0; 2], &rows, 32630, false),
            None,
        ),
        heights("hill.asc", ascii(first, 2.0, &rows).as_bytes(), Some(UTM)),
    ] {
        let mut hole = draw.only();
        on(&mut hole, &raster);
        for at in [
            [40.0, 20.0],
            [0.0, 0.0],
            [70.0, -30.0],
            [-60.0, 90.0],
            [40.0, 80.0],
        ] {
            let here = draw.on(&hole, at);
            let expected = hill(to_utm(&draw, at));
            let found = hole.ground().height_m(here.x, here.y);
            // Curvature 20/60² = 0.0056 per metre, cells of 2 m sampled twice.
            assert!(
                (found - expected).abs() < 0.02,
                "{at:?}: {found}, not {expected}"
            );
            let [east, north] = hole.ground().gradient(here.x, here.y);
            let d = 1.0;
            let slope = |a: Point2, b: Point2| {
                (hill(to_utm(&draw, b)) - hill(to_utm(&draw, a))) / (2.0 * d)
            };
            let (x, y) = (
                slope([at[0] - d, at[1]], [at[0] + d, at[1]]),
                slope([at[0], at[1] - d], [at[0], at[1] + d]),
            );
            assert!(
                (east - x).abs() < 0.01 && (north - y).abs() < 0.01,
                "{at:?}: {east} {north}, not {x} {y}"
            );
        }
    }
}

/// What GDAL wrote (tests/peers/raster_oracle.py): tiles, LZW, predictors, integers,
/// middles of cells as coordinates, a cell without height, and its ASCII grid.
#[test]
fn rasters_that_gdal_wrote_are_read() {
    let draw = Draw::hole();
    let plane = |at: Point2| {
        let position = draw.lon_lat(at);
        let [lon, lat] = [position[0].as_f64().unwrap(), position[1].as_f64().unwrap()];
        50.0 + (lon + 3.2075) / 1.0e-4 + (55.9035 - lat) / 1.0e-4
    };
    let tif: &[u8] = include_bytes!("../data/heights_plane.tif");
    let asc: &[u8] = include_bytes!("../data/heights_plane.asc");
    for raster in [
        heights("plane.tif", tif, None),
        heights("plane.asc", asc, None),
    ] {
        let mut hole = draw.only();
        on(&mut hole, &raster);
        for at in PLACES {
            let here = draw.on(&hole, at);
            let found = hole.ground().height_m(here.x, here.y);
            assert!(
                (found - plane(at)).abs() < 2e-3,
                "{at:?}: {found}, not {}",
                plane(at)
            );
        }
    }
    let hill: &[u8] = include_bytes!("../data/heights_hill.tif");
    let mut hole = draw.only();
    on(&mut hole, &heights("hill.tif", hill, None));
    let to_utm = proj_utm();
    let top = to_utm(&draw, [0.0, 0.0]);
    for at in [[0.0, 0.0], [30.0, -20.0], [-60.0, 90.0], [90.0, 150.0]] {
        let here = to_utm(&draw, at);
        let r2 = (here[0] - top[0]).powi(2) + (here[1] - top[1]).powi(2);
        let expected = 20.0 * (-r2 / 7200.0).exp();
        let here = draw.on(&hole, at);
        let found = hole.ground().height_m(here.x, here.y);
        // Cells of 8 m read bilinearly: up to h²/4 times a curvature of 20/60².
        assert!(
            (found - expected).abs() < 0.1,
            "{at:?}: {found}, not {expected}"
        );
    }
}

/// The drawn place in UTM.
fn proj_utm() -> impl Fn(&Draw, Point2) -> Point2 {
    let to_utm = proj_wkt::transform_from_crs_strings("EPSG:4326", UTM).expect("two systems");
    move |draw, at| {
        let position = draw.lon_lat(at);
        let (x, y): (f64, f64) = to_utm
            .convert((position[0].as_f64().unwrap(), position[1].as_f64().unwrap()))
            .expect("on the earth");
        [x, y]
    }
}

/// The map's heights count from the ellipsoid, the raster's from the sea: never
/// both on one hole, and a note says which. A raster lifted by 50 m gives the same ground.
#[test]
fn a_raster_takes_the_place_of_the_maps_heights() {
    let mut draw = Draw::hole();
    for (at, height) in [
        ([60.0, 0.0], 130.0),
        ([-6.0, 150.0], 120.0),
        ([10.0, -150.0], 125.0),
    ] {
        let mut position = draw.lon_lat(at);
        position.as_array_mut().unwrap().push(json!(height));
        draw.add("Point", position, json!({"natural": "tree"}));
    }
    let step = 1.0e-4;
    let first = [-3.21, 55.906];
    let plane = |at: Point2| 1000.0 * (at[1] - 55.9);
    let with = |lift: f64| {
        let rows = cells(first, [step; 2], [200, 120], |at| lift + plane(at));
        let mut hole = draw.only();
        assert!(hole.ground().height_m(0.0, 0.0) > 100.0, "the map's own");
        on(
            &mut hole,
            &heights("sea.asc", ascii(first, step, &rows).as_bytes(), None),
        );
        hole
    };
    let (low, high) = (with(0.0), with(50.0));
    for at in PLACES {
        let here = draw.on(&low, at);
        let lift = high.ground().height_m(here.x, here.y) - low.ground().height_m(here.x, here.y);
        assert!((lift - 50.0).abs() < 1e-6, "{lift}");
        let slopes = [&low, &high].map(|hole| hole.ground().gradient(here.x, here.y));
        assert!((slopes[0][1] - slopes[1][1]).abs() < 1e-6);
        assert!(
            low.ground().height_m(here.x, here.y) < 30.0,
            "nothing of the map's heights"
        );
    }
    let said = |text: &str| low.notes.iter().any(|note| note.text.contains(text));
    assert!(said("the map's own heights are left out"));
    assert!(!said("have no ground height"));
}

/// Where the raster ends or has holes: none on the line of play, the nearest
/// height elsewhere, and the share is told.
#[test]
fn a_raster_must_cover_the_play() {
    let draw = Draw::hole();
    let step = 5.0e-5;
    let first = [-3.2015, 55.903];
    let plane = |at: Point2| 50.0 + 2000.0 * (at[0] + 3.2);
    // About 94 m to either side: less than the hole's margin.
    let rows = cells(first, [step; 2], [61, 120], plane);
    let mut hole = draw.only();
    on(
        &mut hole,
        &heights("narrow.asc", ascii(first, step, &rows).as_bytes(), None),
    );
    let east = draw.on(&hole, [110.0, 0.0]);
    let edge = plane([first[0] + step * 60.0, 0.0]);
    let found = hole.ground().height_m(east.x, east.y);
    assert!((found - edge).abs() < 0.15, "{found}, not {edge}");
    assert!(
        hole.notes
            .iter()
            .any(|note| note.text.contains("% of the hole's surroundings"))
    );

    let rows = cells(first, [step; 2], [61, 120], |at| {
        if (at[1] - 55.9).abs() < 2.0e-4 {
            -9999.0
        } else {
            plane(at)
        }
    });
    let torn = heights("torn.asc", ascii(first, step, &rows).as_bytes(), None);
    let problem = draw.only().set_heights(&torn).unwrap_err();
    let words = problem.to_string();
    for part in [
        "torn.asc",
        "heights all over hole 1",
        "no height at ",
        "take a larger cut",
    ] {
        assert!(words.contains(part), "{words}");
    }
}

/// The system of the map counts for a raster that names none, and is blamed by
/// the option that named it; the raster's own, and one given for it, come first.
#[test]
fn a_raster_without_a_system_has_the_maps() {
    let grid = b"ncols 2\nnrows 2\nxllcorner 400000\nyllcorner 300000\ncellsize 5\n1 2\n3 4\n";
    let of = |crs, map_crs| read_heights_beside("h.asc", grid, crs, map_crs);
    assert!(of(None, None).is_err(), "400000 is no longitude");
    let said = |crs, map_crs| of(crs, map_crs).expect("sound").summary_text();
    let utm = "+proj=utm +zone=33 +datum=WGS84 +type=crs";
    let other = "+proj=utm +zone=32 +datum=WGS84 +type=crs";
    assert!(said(None, Some(utm)).contains(utm));
    assert!(said(Some(other), Some(utm)).contains(other));
    for (crs, map_crs, option) in [
        (None, Some("nonsense"), "--crs nonsense"),
        (Some("nonsense"), Some(utm), "--heights-crs nonsense"),
    ] {
        let words = of(crs, map_crs).map(|_| ()).unwrap_err().to_string();
        assert!(words.contains(option), "{words}");
    }
    let tiff = include_bytes!("../data/heights_hill.tif");
    let own = heights("hill.tif", tiff, None).summary_text();
    let beside = read_heights_beside("hill.tif", tiff, None, Some(other)).expect("sound");
    assert_eq!(
        beside.summary_text(),
        own,
        "a GeoTIFF's own system counts first"
    );
}

/// A raster is known by its first bytes and summed up in three lines.
#[test]
fn a_raster_is_known_and_summed_up() {
    let grid = b"NCOLS 3\nNROWS 2\nxllcenter 10\nyllcenter 50\ncellsize 0.5\nNODATA_value -9\n\
        1 2.5 -9\n3 4 7\n";
    assert!(looks_like_heights(grid));
    assert!(looks_like_heights(include_bytes!(
        "../data/heights_plane.tif"
    )));
    for other in [
        &b"club,carry_yd,side_yd\n"[..],
        b"{\"type\": 1}",
        b"",
        b"ncols",
        b"ncols,1",
        b"\xff\xfe\x00",
    ] {
        assert!(!looks_like_heights(other), "{other:?}");
    }
    assert_eq!(
        heights("dir/h.asc", grid, None).summary_text(),
        "dir/h.asc: heights of the ground, 3 x 2 cells of 0.5 x 0.5\n  \
         coordinates longitude and latitude (WGS 84): 10 to 11 across, 50 to 50.5 up\n  \
         heights 1.0 to 7.0 m; without a height: 1 of 6 cells"
    );
}

/// Everything that is wrong with a raster at once, and nothing panics.
#[test]
fn broken_rasters_are_told_in_full() {
    let told = |bytes: &[u8], crs: Option<&str>| {
        read_heights("bad.asc", bytes, crs)
            .map(|_| ())
            .unwrap_err()
            .to_string()
    };
    let all = |bytes: &[u8], crs: Option<&str>, parts: &[&str]| {
        let words = told(bytes, crs);
        for part in parts {
            assert!(words.contains(part), "{part:?} is not in\n{words}");
        }
    };
    all(
        b"",
        None,
        &[
            "no ncols",
            "no nrows",
            "no xllcorner",
            "no yllcorner",
            "no cellsize",
        ],
    );
    all(
        b"{\"type\": 1}",
        None,
        &["line 1", "ESRI ASCII grid's header", "remedy"],
    );
    all(b"\xff\xfe", None, &["bytes that are no text, from byte 1"]);
    let head = "ncols 2\nnrows 2\nxllcorner 0\nyllcorner 50\ncellsize 0.001\n";
    all(
        format!("{head}1 2\n3,5 x").as_bytes(),
        None,
        &["line 7", "3,5", "x", "a point for the decimals"],
    );
    all(
        format!("{head}1 2 3").as_bytes(),
        None,
        &["2 × 2 = 4 heights", "found:    3", "cut off"],
    );
    all(
        format!("{head}1 2 3 -32768").as_bytes(),
        None,
        &["cells outside: 1, the first -32768", "NODATA_value"],
    );
    all(
        head.replace("0.001", "-1").as_bytes(),
        None,
        &["a size above zero"],
    );
    all(
        head.replace("ncols 2", "ncols 2.5").as_bytes(),
        None,
        &["key ncols", "2.5"],
    );
    all(
        head.replace("ncols 2", "ncols 30000000")
            .replace("nrows 2", "nrows 30000000")
            .as_bytes(),
        None,
        &["at most 32 million cells"],
    );
    let far = head.replace("xllcorner 0", "xllcorner 412000");
    all(
        format!("{far}1 2 3 4").as_bytes(),
        None,
        &[
            "a raster in longitude and latitude",
            "412000",
            "--heights-crs",
        ],
    );
    all(
        format!("{head}1 2 3 4").as_bytes(),
        Some("EPSG:1"),
        &["--heights-crs EPSG:1", "by its EPSG code"],
    );
    all(
        b"II*\0\x08\0\0\0",
        None,
        &["a GeoTIFF with one height a cell"],
    );
    // Any byte of a sound GeoTIFF may be wrong, and its end may be missing.
    let rows = cells([0.0, 50.0], [0.001; 2], [5, 4], |at| at[0] * 100.0);
    let sound = geotiff([0.0, 50.0], [0.001; 2], &rows, 4326, false);
    assert!(read_heights("sound.tif", &sound, None).is_ok());
    for at in 0..sound.len() {
        for value in [0, 255] {
            let mut broken = sound.clone();
            broken[at] = value;
            let _ = read_heights("broken.tif", &broken, None);
        }
        let _ = read_heights("cut.tif", &sound[..at], None);
    }
}

/// Rough on the ground of a hole.
struct Rough<'a>(&'a Ground);

impl Terrain for Rough<'_> {
    fn height_m(&self, east_m: f64, north_m: f64) -> f64 {
        self.0.height_m(east_m, north_m)
    }
    fn gradient(&self, east_m: f64, north_m: f64) -> [f64; 2] {
        self.0.gradient(east_m, north_m)
    }
    fn turf(&self, _: f64, _: f64) -> Turf {
        Turf::Rough
    }
    fn canopy(&self, _: f64, _: f64) -> Option<Canopy> {
        None
    }
    fn highest_canopy_m(&self) -> f64 {
        f64::NEG_INFINITY
    }
}

/// A 7-iron to a plain 10 m below the tee carries what its path says at that
/// height, and about a yard a yard further than on the level (practice); to
/// one 10 m above, as much shorter.
#[test]
fn a_lower_green_is_a_longer_carry() {
    let draw = Draw::hole();
    let step = 2.0e-5;
    let first = [-3.2045, 55.9035];
    let carry = |drop_m: f64| {
        // Level about the tee, a ramp of 60 m, and level again 100 m on.
        let rows = cells(first, [step; 2], [450, 350], |at| {
            let on_m = (at[1] - 55.9) * 111_340.0 + 160.0;
            100.0 - drop_m * ((on_m - 40.0) / 60.0).clamp(0.0, 1.0)
        });
        let mut hole = draw.only();
        on(
            &mut hole,
            &heights("drop.asc", ascii(first, step, &rows).as_bytes(), None),
        );
        let tee = draw.on(&hole, [0.0, -160.0]);
        let peg = [tee.x, tee.y, hole.ground().height_m(tee.x, tee.y)];
        let shot = Launch {
            ball_speed_m_s: 120.0 * MPH_M_S,
            launch_deg: 16.3,
            start_deg: 0.0,
            spin_rad_s: 7097.0 * RPM_RAD_S,
            axis_deg: 0.0,
        };
        let air = Air::of(&Weather::default(), 0.03);
        let flights = fly(&[shot], &[], &air, &Ball::modern(), -30.0);
        let ball = flights.ball(0);
        let mut track = Vec::new();
        let rest = come_to_rest(
            &Rough(hole.ground()),
            ball,
            peg,
            0.5,
            Firmness::Medium,
            &mut track,
        );
        let path = f64::from(ball.landing_on_level(-drop_m as f32 as f64).position_m[1]);
        let carry_m = rest.landed[1] - tee.y;
        assert!(
            (carry_m - path).abs() < 0.05,
            "{drop_m}: {carry_m}, not {path}"
        );
        carry_m
    };
    let level = carry(0.0);
    let (further, shorter) = (carry(10.0) - level, level - carry(-10.0));
    assert!(
        (6.0..11.0).contains(&further),
        "{further} m further for 10 m of drop"
    );
    assert!(
        (8.0..14.0).contains(&shorter) && shorter > further,
        "{shorter} m shorter for 10 m of rise"
    );
}
