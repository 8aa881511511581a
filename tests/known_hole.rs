//! Holes against what is known of them in closed form: drawn in metres on a
//! plane, written as GeoJSON, and read back.

use bendline::hole::plane::Plane;
use bendline::hole::{Coord, Course, Hole, Surface, read_course};
use std::cell::RefCell;

use geo::{Contains, LineString, Point, Polygon};
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::Rng;
use serde_json::{Value, json};

/// Draws features in metres around a place.
struct Draw {
    plane: Plane,
    features: Vec<Value>,
    mirrored: bool,
    /// The plane of the hole last asked about: making one takes milliseconds.
    of_hole: RefCell<Option<Plane>>,
}

type Point2 = [f64; 2];

impl Draw {
    fn at(lon: f64, lat: f64) -> Self {
        Self {
            plane: Plane::new([lon, lat]),
            features: Vec::new(),
            mirrored: false,
            of_hole: RefCell::new(None),
        }
    }

    /// A hole of 320 m to the north with a tee, a green and a pin.
    fn hole() -> Self {
        let mut draw = Self::at(-3.2, 55.9);
        draw.line(
            &[[0.0, -160.0], [0.0, 160.0]],
            json!({"golf": "hole", "ref": "1", "par": "4"}),
        );
        draw.area(&[&boxed(-5.0, -170.0, 5.0, -150.0)], json!({"golf": "tee"}));
        draw.area(
            &[&boxed(-12.0, 148.0, 12.0, 172.0)],
            json!({"golf": "green"}),
        );
        draw.point([0.0, 160.0], json!({"golf": "pin"}));
        draw
    }

    fn lon_lat(&self, at: Point2) -> Value {
        let x = if self.mirrored { -at[0] } else { at[0] };
        let [lon, lat] = self.plane.to_lon_lat(Coord { x, y: at[1] });
        json!([lon, lat])
    }

    fn add(&mut self, kind: &str, coordinates: Value, tags: Value) {
        self.features.push(json!({
            "type": "Feature",
            "properties": tags,
            "geometry": {"type": kind, "coordinates": coordinates},
        }));
    }

    fn point(&mut self, at: Point2, tags: Value) {
        let position = self.lon_lat(at);
        self.add("Point", position, tags);
    }

    fn line(&mut self, line: &[Point2], tags: Value) {
        let positions: Vec<Value> = line.iter().map(|&at| self.lon_lat(at)).collect();
        self.add("LineString", json!(positions), tags);
    }

    /// An area from rings that are not yet closed.
    fn area(&mut self, rings: &[&[Point2]], tags: Value) {
        let rings: Vec<Vec<Value>> = rings
            .iter()
            .map(|ring| {
                ring.iter()
                    .chain(ring.first())
                    .map(|&at| self.lon_lat(at))
                    .collect()
            })
            .collect();
        self.add("Polygon", json!(rings), tags);
    }

    fn text(&self) -> Vec<u8> {
        json!({"type": "FeatureCollection", "features": self.features})
            .to_string()
            .into_bytes()
    }

    fn course(&self) -> Course {
        read_course("drawn.geojson", &self.text(), None)
            .unwrap_or_else(|problems| panic!("{problems}"))
    }

    fn only(&self) -> Hole {
        let mut course = self.course();
        assert!(course.broken.is_empty(), "{:?}", course.broken);
        assert_eq!(course.holes.len(), 1);
        course.holes.remove(0)
    }

    /// A drawn point on the hole's own plane.
    fn on(&self, hole: &Hole, at: Point2) -> Coord<f64> {
        let position = self.lon_lat(at);
        let [lon, lat] = [position[0].as_f64().unwrap(), position[1].as_f64().unwrap()];
        let mut of_hole = self.of_hole.borrow_mut();
        match of_hole.as_ref() {
            Some(plane) if plane.origin_lon_lat() == hole.origin_lon_lat => {
                plane.to_plane(lon, lat)
            }
            _ => of_hole
                .insert(Plane::new(hole.origin_lon_lat))
                .to_plane(lon, lat),
        }
    }

    fn surface(&self, hole: &Hole, at: Point2) -> Surface {
        hole.surface_at(self.on(hole, at))
    }
}

fn boxed(w: f64, s: f64, e: f64, n: f64) -> [Point2; 4] {
    [[w, s], [e, s], [e, n], [w, n]]
}

/// A star-shaped outline around a point.
fn blob(
    random: &mut impl FnMut() -> f64,
    centre: Point2,
    radius: f64,
    corners: usize,
) -> Vec<Point2> {
    (0..corners)
        .map(|corner| {
            let angle = corner as f64 / corners as f64 * std::f64::consts::TAU;
            let r = radius * (0.55 + 0.45 * random());
            [centre[0] + r * angle.cos(), centre[1] + r * angle.sin()]
        })
        .collect()
}

fn uniform(seed: u64) -> impl FnMut() -> f64 {
    let mut random = Pcg64Mcg::new(u128::from(seed) | 1);
    move || (random.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
}

fn close(a: Coord<f64>, b: Coord<f64>, within: f64) -> bool {
    (a.x - b.x).hypot(a.y - b.y) < within
}

#[test]
fn every_lie_agrees_with_exact_containment_of_the_drawn_areas() {
    let mut random = uniform(7);
    let mut draw = Draw::hole();
    // From the lowest to the topmost of different places in the order of
    // overlap, so that the oracle needs no areas: the last that contains wins.
    let kinds = [
        (
            json!({"natural": "wood", "height": "12"}),
            Surface::Trees,
            1,
            90.0,
            60,
        ),
        (json!({"golf": "fairway"}), Surface::Fairway, 6, 45.0, 40),
        (json!({"golf": "bunker"}), Surface::Bunker, 9, 16.0, 24),
        (
            json!({"golf": "lateral_water_hazard"}),
            Surface::PenaltyRed,
            1,
            50.0,
            90,
        ),
        (
            json!({"golf": "out_of_bounds"}),
            Surface::OutOfBounds,
            2,
            70.0,
            17,
        ),
    ];
    let mut drawn: Vec<(Surface, Vec<Vec<Point2>>)> = Vec::new();
    for (tags, surface, count, radius, corners) in kinds {
        for _ in 0..count {
            let centre = [(random() - 0.5) * 240.0, (random() - 0.3) * 300.0 - 40.0];
            let outer = blob(&mut random, centre, radius, corners);
            let island = blob(&mut random, centre, radius * 0.5, corners / 2);
            draw.area(&[&outer, &island], tags.clone());
            drawn.push((surface, vec![outer, island]));
        }
    }
    let hole = draw.only();
    let polygons: Vec<(Surface, Polygon<f64>)> = drawn
        .iter()
        .map(|(surface, rings)| {
            let ring = |ring: &Vec<Point2>| {
                LineString::new(ring.iter().map(|&at| draw.on(&hole, at)).collect())
            };
            (
                *surface,
                Polygon::new(ring(&rings[0]), vec![ring(&rings[1])]),
            )
        })
        .collect();
    let tee = draw.on(&hole, [0.0, -160.0]);
    let bounds = hole.bounds();
    let mut seen = [0_usize; 9];
    for _ in 0..100_000 {
        let at = Coord {
            x: bounds.min().x + random() * bounds.width(),
            y: bounds.min().y + random() * bounds.height(),
        };
        if close(at, tee, 15.0) || close(at, hole.pin, 20.0) {
            continue;
        }
        let expected = polygons
            .iter()
            .rfind(|(_, polygon)| polygon.contains(&Point(at)))
            .map_or(Surface::Rough, |each| each.0);
        assert_eq!(hole.surface_at(at), expected, "at {at:?}");
        if let Some(patch) = hole.patch_at(at) {
            assert_eq!(patch.surface, expected, "patch at {at:?}");
        } else {
            assert_eq!(expected, Surface::Rough, "no patch at {at:?}");
        }
        seen[expected as usize] += 1;
    }
    for surface in [
        Surface::Rough,
        Surface::Trees,
        Surface::Fairway,
        Surface::Bunker,
        Surface::PenaltyRed,
        Surface::OutOfBounds,
    ] {
        assert!(
            seen[surface as usize] > 300,
            "{surface:?} seen {} times",
            seen[surface as usize]
        );
    }
}

#[test]
fn overlapping_areas_lie_in_the_documented_order() {
    // Each of these covers the same spot; the next one lies on top.
    let order = [
        (json!({"golf": "rough"}), Surface::Rough),
        (json!({"golf": "fairway"}), Surface::Fairway),
        (json!({"golf": "tee"}), Surface::Tee),
        (json!({"golf": "bunker"}), Surface::Bunker),
        (json!({"natural": "water"}), Surface::PenaltyRed),
        (json!({"golf": "water_hazard"}), Surface::PenaltyYellow),
        (json!({"golf": "green"}), Surface::Green),
        (json!({"golf": "out_of_bounds"}), Surface::OutOfBounds),
    ];
    for reversed in [false, true] {
        for top in 1..=order.len() {
            let mut draw = Draw::hole();
            let mut some: Vec<_> = order[..top].to_vec();
            if reversed {
                some.reverse();
            }
            for (size, (tags, _)) in some.iter().enumerate() {
                // Shifted, so that none lies wholly within another.
                let east = 30.0 + size as f64;
                draw.area(
                    &[&boxed(east - 10.0, 10.0, east + 10.0, 30.0)],
                    tags.clone(),
                );
            }
            let hole = draw.only();
            assert_eq!(
                draw.surface(&hole, [30.0, 20.0]),
                order[top - 1].1,
                "reversed {reversed}"
            );
        }
    }
}

#[test]
fn the_smaller_of_wood_and_rough_and_bunker_and_green_lies_on_top() {
    let mut draw = Draw::hole();
    draw.area(
        &[&boxed(20.0, -50.0, 90.0, 50.0)],
        json!({"natural": "wood"}),
    );
    draw.area(&[&boxed(30.0, -20.0, 60.0, 20.0)], json!({"golf": "rough"}));
    draw.area(
        &[&boxed(40.0, -5.0, 50.0, 5.0)],
        json!({"natural": "scrub"}),
    );
    draw.area(
        &[&boxed(-4.0, 152.0, 0.0, 156.0)],
        json!({"golf": "bunker"}),
    );
    draw.area(
        &[&boxed(-40.0, 120.0, -5.0, 165.0)],
        json!({"golf": "bunker"}),
    );
    let hole = draw.only();
    assert_eq!(draw.surface(&hole, [25.0, 0.0]), Surface::Trees);
    assert_eq!(draw.surface(&hole, [35.0, 0.0]), Surface::Rough);
    assert_eq!(draw.surface(&hole, [45.0, 0.0]), Surface::Trees);
    assert_eq!(
        draw.surface(&hole, [-2.0, 154.0]),
        Surface::Bunker,
        "a bunker wholly within the green"
    );
    assert_eq!(
        draw.surface(&hole, [-8.0, 154.0]),
        Surface::Green,
        "a bunker that overlaps the green's edge"
    );
    assert_eq!(draw.surface(&hole, [-20.0, 154.0]), Surface::Bunker);
}

#[test]
fn an_island_green_in_a_multipolygon_stands_out_of_the_water() {
    let mut draw = Draw::hole();
    let rings = |draw: &Draw, rings: &[&[Point2]]| -> Value {
        json!(
            rings
                .iter()
                .map(|ring| ring
                    .iter()
                    .chain(ring.first())
                    .map(|&at| draw.lon_lat(at))
                    .collect::<Vec<_>>())
                .collect::<Vec<_>>()
        )
    };
    let lake = rings(
        &draw,
        &[
            &boxed(-60.0, 100.0, 60.0, 220.0),
            &boxed(-20.0, 140.0, 20.0, 180.0),
        ],
    );
    let pond = rings(&draw, &[&boxed(30.0, 0.0, 40.0, 10.0)]);
    draw.add(
        "MultiPolygon",
        json!([lake, pond]),
        json!({"golf": "water_hazard"}),
    );
    let hole = draw.only();
    assert_eq!(draw.surface(&hole, [0.0, 160.0]), Surface::Green);
    assert_eq!(
        draw.surface(&hole, [17.0, 160.0]),
        Surface::Rough,
        "the island's fringe"
    );
    assert_eq!(draw.surface(&hole, [30.0, 160.0]), Surface::PenaltyYellow);
    assert_eq!(draw.surface(&hole, [35.0, 5.0]), Surface::PenaltyYellow);
}

#[test]
fn a_wood_kilometres_wide_is_cut_to_the_hole_and_still_lies_where_it_lay() {
    let mut draw = Draw::hole();
    draw.area(
        &[
            &boxed(-9000.0, -8000.0, 9000.0, 8000.0),
            &boxed(-40.0, -200.0, 35.0, 200.0),
        ],
        json!({"landuse": "forest", "height": "20 m"}),
    );
    let hole = draw.only();
    let bounds = hole.bounds();
    for patch in &hole.patches {
        for at in patch.outline.exterior().coords() {
            assert!(at.x > bounds.min().x - 0.01 && at.x < bounds.max().x + 0.01);
            assert!(at.y > bounds.min().y - 0.01 && at.y < bounds.max().y + 0.01);
        }
    }
    assert_eq!(draw.surface(&hole, [-45.0, 0.0]), Surface::Trees);
    assert_eq!(draw.surface(&hole, [-39.0, 0.0]), Surface::Rough);
    assert_eq!(draw.surface(&hole, [34.0, 0.0]), Surface::Rough);
    assert_eq!(draw.surface(&hole, [36.0, 0.0]), Surface::Trees);
    // Beyond the window everything is rough.
    assert_eq!(draw.surface(&hole, [-2000.0, 0.0]), Surface::Rough);
}

#[test]
fn a_boundary_line_puts_everything_behind_it_out() {
    let mut draw = Draw::hole();
    // Down the right, then around behind the green: out is outside the corner.
    draw.line(
        &[[40.0, -180.0], [40.0, 200.0], [-50.0, 200.0]],
        json!({"golf": "out_of_bounds"}),
    );
    // A garden that juts in from the left: out is inside the corner.
    draw.line(
        &[[-100.0, 40.0], [-30.0, 40.0], [-30.0, 90.0], [-100.0, 90.0]],
        json!({"golf": "out_of_bounds"}),
    );
    let hole = draw.only();
    let out = |at| draw.surface(&hole, at) == Surface::OutOfBounds;
    for at in [
        [41.0, 0.0],
        [150.0, -100.0],
        [41.0, 260.0],
        [0.0, 201.0],
        [900.0, 0.0],
        [-31.0, 60.0],
        [-99.0, 50.0],
    ] {
        assert!(out(at), "{at:?} is out");
    }
    for at in [
        [39.0, 0.0],
        [0.0, 199.0],
        [-100.0, 250.0],
        [41.0, -190.0],
        [-29.0, 60.0],
        [-40.0, 39.0],
        [-40.0, 91.0],
    ] {
        assert!(!out(at), "{at:?} is in");
    }
}

#[test]
fn a_closed_boundary_around_the_hole_puts_the_outside_out() {
    let mut draw = Draw::hole();
    draw.line(
        &[
            [-70.0, -200.0],
            [70.0, -200.0],
            [70.0, 200.0],
            [-70.0, 200.0],
            [-70.0, -200.0],
        ],
        json!({"golf": "out_of_bounds"}),
    );
    let hole = draw.only();
    assert_eq!(draw.surface(&hole, [71.0, 0.0]), Surface::OutOfBounds);
    assert_eq!(draw.surface(&hole, [69.0, 0.0]), Surface::Rough);
}

#[test]
fn trees_stand_where_they_are_drawn_and_woods_are_cleared_for_play() {
    let mut draw = Draw::hole();
    draw.area(
        &[&boxed(-80.0, -100.0, 80.0, 100.0)],
        json!({"natural": "wood", "height": "20"}),
    );
    draw.area(
        &[&boxed(-15.0, -90.0, 15.0, 90.0)],
        json!({"golf": "fairway"}),
    );
    draw.point(
        [60.0, 130.0],
        json!({"natural": "tree", "height": "9", "diameter_crown": "8"}),
    );
    draw.line(
        &[[-60.0, 110.0], [-60.0, 140.0]],
        json!({"natural": "tree_row", "diameter_crown": "6", "est_height": "7"}),
    );
    let hole = draw.only();
    let canopy = |at: Point2| {
        let at = draw.on(&hole, at);
        hole.canopy_at(at.x, at.y)
    };
    assert_eq!(canopy([0.0, 0.0]), None, "over the fairway");
    assert_eq!(canopy([13.9, 0.0]), None);
    assert_eq!(canopy([20.0, 0.0]).map(|c| c.top_m), Some(20.0));
    assert_eq!(
        canopy([60.0, 130.0]).map(|c| (c.base_m, c.top_m)),
        Some((2.25, 9.0))
    );
    assert_eq!(canopy([60.0, 135.5]), None);
    assert_eq!(
        draw.surface(&hole, [60.0, 133.0]),
        Surface::Trees,
        "under the crown"
    );
    assert_eq!(draw.surface(&hole, [60.0, 135.0]), Surface::Rough);
    // A row of 30 m of crowns 6 m wide: six trees, both ends included.
    assert_eq!(hole.trees.len(), 7);
    assert_eq!(canopy([-60.0, 125.0]).map(|c| c.top_m), Some(7.0));
    assert_eq!(hole.highest_canopy_m(), 20.0);
    // The crowns' area on the grid is that of the circle, to the cells' width.
    let mut cells = 0;
    for x in 0..200 {
        for y in 0..200 {
            let at = [
                60.0 + (f64::from(x) - 99.5) * 0.1,
                130.0 + (f64::from(y) - 99.5) * 0.1,
            ];
            cells += usize::from(canopy(at).is_some());
        }
    }
    let area = cells as f64 * 0.01;
    assert!((area - std::f64::consts::PI * 16.0).abs() < 6.0, "{area}");
}

#[test]
fn no_trees_no_canopy() {
    assert_eq!(Draw::hole().only().highest_canopy_m(), f64::NEG_INFINITY);
}

#[test]
fn tilted_ground_is_read_as_the_plane_it_is() {
    let mut draw = Draw::hole();
    let height = |at: Point2| 30.0 + 0.02 * at[0] - 0.03 * at[1];
    for x in -6..=6 {
        for y in -8..=8 {
            let at = [f64::from(x) * 50.0, f64::from(y) * 50.0];
            let mut position = draw.lon_lat(at);
            position.as_array_mut().unwrap().push(json!(height(at)));
            draw.add(
                "Point",
                position,
                json!({"natural": "tree", "height": "1", "diameter_crown": "1"}),
            );
        }
    }
    let hole = draw.only();
    let ground = hole.ground();
    assert!(!ground.is_flat());
    for at in [[0.0, 0.0], [33.3, -71.7], [-90.1, 140.2], [100.0, 200.0]] {
        let here = draw.on(&hole, at);
        assert!(
            (ground.height_m(here.x, here.y) - height(at)).abs() < 1e-3,
            "{at:?}"
        );
        let [east, north] = ground.gradient(here.x, here.y);
        assert!(
            (east - 0.02).abs() < 1e-5 && (north + 0.03).abs() < 1e-5,
            "{east} {north}"
        );
    }
    let bounds = hole.bounds();
    assert!((ground.lowest_m() - height([bounds.min().x, bounds.max().y])).abs() < 0.01);
    assert!(
        hole.notes
            .iter()
            .any(|note| note.text.contains("have no ground height"))
    );
}

#[test]
fn without_heights_the_ground_is_flat() {
    let hole = Draw::hole().only();
    assert!(hole.ground().is_flat());
    assert_eq!(hole.ground().height_m(10.0, 10.0), 0.0);
    assert_eq!(hole.ground().gradient(10.0, 10.0), [0.0, 0.0]);
    assert!(
        hole.notes
            .iter()
            .any(|note| note.text.contains("taken for flat"))
    );
}

#[test]
fn a_tee_gets_its_markers_from_its_outline_and_node() {
    let mut draw = Draw::hole();
    draw.features.remove(1);
    draw.area(&[&boxed(-7.0, -170.0, 5.0, -150.0)], json!({"golf": "tee"}));
    draw.point(
        [0.0, -155.0],
        json!({"golf": "tee", "tee": "White; Yellow"}),
    );
    draw.point([1.0, -100.0], json!({"golf": "tee", "tee": "red"}));
    let hole = draw.only();
    assert_eq!(hole.tees.len(), 2);
    let white = hole.tee(Some("YELLOW")).unwrap();
    assert_eq!(white.colours, ["white", "yellow"]);
    assert!(white.assumed);
    // Half a metre is left free at either side; square to the line of play.
    assert!(
        close(white.left, draw.on(&hole, [-6.5, -155.0]), 0.01),
        "{:?}",
        white.left
    );
    assert!(
        close(white.right, draw.on(&hole, [4.5, -155.0]), 0.01),
        "{:?}",
        white.right
    );
    assert!((white.width_m() - 11.0).abs() < 0.01);
    let [east, north] = white.forward();
    assert!(east.abs() < 0.01 && (north - 1.0).abs() < 1e-3);
    assert!((hole.length_from_m(white) - 315.0).abs() < 0.1);
    assert!(
        (hole.length_m - 315.0).abs() < 0.1,
        "the tee nearest to the line's start"
    );
    let red = hole.tee(Some("red")).unwrap();
    assert!((red.width_m() - 6.0).abs() < 1e-9);
    assert!((hole.length_from_m(red) - 260.0).abs() < 0.1);
    let problem = hole.tee(Some("blue")).unwrap_err();
    assert_eq!(
        problem.expected,
        "a tee colour of hole 1: red, white, yellow"
    );
    assert_eq!(problem.found, "blue");
}

#[test]
fn two_tee_markers_give_the_teeing_area() {
    let mut draw = Draw::hole();
    draw.point(
        [4.0, -158.0],
        json!({"bendline": "tee_marker", "tee": "white"}),
    );
    draw.point(
        [-3.0, -158.0],
        json!({"bendline": "tee_marker", "tee": "white"}),
    );
    let hole = draw.only();
    assert_eq!(
        hole.tees.len(),
        1,
        "the markers stand on the drawn tee and take its place"
    );
    let tee = hole.tee(None).unwrap();
    assert!(!tee.assumed);
    assert!(close(tee.left, draw.on(&hole, [-3.0, -158.0]), 1e-6));
    assert!(close(tee.right, draw.on(&hole, [4.0, -158.0]), 1e-6));
    // Rules of Golf 2023, definition "Teeing Area": back from the front line.
    let peg = tee.peg(2.0, 1.5);
    assert!(close(peg, draw.on(&hole, [-1.0, -159.5]), 0.01), "{peg:?}");
    assert!(close(tee.peg(0.0, 0.0), tee.left, 1e-12));
    assert!(close(tee.peg(tee.width_m(), 0.0), tee.right, 1e-9));
}

#[test]
fn features_belong_to_holes_by_where_they_lie() {
    let mut draw = Draw::hole();
    // The next hole starts beside the first green and comes back.
    draw.line(
        &[[45.0, 160.0], [70.0, -160.0]],
        json!({"golf": "hole", "ref": "2", "name": "Back (Par 4)"}),
    );
    draw.area(
        &[&boxed(42.0, 165.0, 48.0, 175.0)],
        json!({"golf": "tee", "tee": "white"}),
    );
    draw.area(
        &[&boxed(60.0, -170.0, 80.0, -150.0)],
        json!({"golf": "green"}),
    );
    // A tee of a hole that the file does not hold, beside the first tee.
    draw.point([8.0, -165.0], json!({"golf": "tee", "ref": "17"}));
    // The range: by its area, and by its name.
    draw.area(
        &[&boxed(-220.0, -100.0, -120.0, 150.0)],
        json!({"golf": "driving_range"}),
    );
    draw.line(
        &[[-170.0, -110.0], [-170.0, 130.0]],
        json!({"golf": "hole", "ref": "10"}),
    );
    draw.point([-170.0, -110.0], json!({"golf": "tee"}));
    draw.line(
        &[[-250.0, -100.0], [-250.0, 100.0]],
        json!({"golf": "hole", "ref": "0", "name": "Driving Range"}),
    );
    let course = draw.course();
    assert!(course.broken.is_empty());
    let refs: Vec<&str> = course
        .holes
        .iter()
        .map(|hole| hole.reference.as_str())
        .collect();
    assert_eq!(refs, ["1", "2"]);
    assert_eq!(course.holes[0].tees.len(), 1);
    assert_eq!(course.holes[1].tees.len(), 1);
    assert_eq!(course.holes[1].tees[0].colours, ["white"]);
    assert_eq!(course.holes[1].par, 4);
    assert!(close(
        course.holes[0].pin,
        draw.on(&course.holes[0], [0.0, 160.0]),
        1e-6
    ));
    // No pin was drawn on the second green: its middle.
    assert!(close(
        course.holes[1].pin,
        draw.on(&course.holes[1], [70.0, -160.0]),
        0.01
    ));
    // A ball may well finish on the neighbour's green.
    assert_eq!(
        draw.surface(&course.holes[0], [70.0, -160.0]),
        Surface::Green
    );
    assert_eq!(
        course
            .notes
            .iter()
            .filter(|note| note.text.contains("practice range"))
            .count(),
        2
    );
}

#[test]
fn one_unplayable_hole_leaves_the_others_playable() {
    let mut draw = Draw::hole();
    draw.line(
        &[[200.0, 0.0], [200.0, 300.0]],
        json!({"golf": "hole", "ref": "2"}),
    );
    let course = draw.course();
    assert_eq!(course.holes.len(), 1);
    assert_eq!(course.broken.len(), 1);
    assert_eq!(course.broken[0].0, "2");
    assert!(course.broken[0].1.to_string().contains("a green"));
}

#[test]
fn par_comes_from_the_tag_then_the_name_then_the_length() {
    for (tags, length, expected) in [
        (
            json!({"golf": "hole", "par": 5, "name": "Elm (Par 4)"}),
            320.0,
            5,
        ),
        (json!({"golf": "hole", "name": "Elm (Par 5)"}), 320.0, 5),
        (json!({"golf": "hole", "name": "Parson's 3"}), 320.0, 4),
        (json!({"golf": "hole"}), 150.0, 3),
        (json!({"golf": "hole"}), 500.0, 5),
    ] {
        let mut draw = Draw::at(10.0, 45.0);
        draw.line(&[[0.0, 0.0], [0.0, length]], tags.clone());
        draw.point([0.0, 0.0], json!({"golf": "tee"}));
        draw.area(
            &[&boxed(-10.0, length - 10.0, 10.0, length + 10.0)],
            json!({"golf": "green"}),
        );
        assert_eq!(draw.only().par, expected, "{tags}");
    }
}

#[test]
fn a_mirrored_file_gives_a_mirrored_hole() {
    let draw_all = |mirrored: bool| {
        let mut random = uniform(3);
        let mut draw = Draw {
            mirrored,
            ..Draw::at(7.0, 50.0)
        };
        draw.line(
            &[[0.0, -160.0], [30.0, 40.0], [0.0, 160.0]],
            json!({"golf": "hole", "ref": "1"}),
        );
        draw.area(&[&boxed(-5.0, -170.0, 8.0, -150.0)], json!({"golf": "tee"}));
        draw.area(
            &[&boxed(-12.0, 148.0, 12.0, 172.0)],
            json!({"golf": "green"}),
        );
        draw.line(
            &[[60.0, -200.0], [70.0, 20.0], [60.0, 230.0]],
            json!({"golf": "out_of_bounds"}),
        );
        for (tags, radius) in [
            (json!({"golf": "fairway"}), 50.0),
            (json!({"golf": "bunker"}), 15.0),
            (json!({"natural": "wood"}), 40.0),
            (json!({"natural": "water"}), 30.0),
        ] {
            for _ in 0..4 {
                let centre = [(random() - 0.5) * 120.0, (random() - 0.5) * 240.0];
                let outline = blob(&mut random, centre, radius, 23);
                draw.area(&[&outline], tags.clone());
            }
        }
        draw.line(
            &[[-50.0, -100.0], [-55.0, 30.0]],
            json!({"natural": "tree_row"}),
        );
        draw.only()
    };
    let (plain, mirrored) = (draw_all(false), draw_all(true));
    let middle = |hole: &Hole| (hole.bounds().min() + hole.bounds().max()) / 2.0;
    let (a, b) = (middle(&plain), middle(&mirrored));
    assert!((plain.length_m - mirrored.length_m).abs() < 1e-6);
    let (tee, twin) = (plain.tee(None).unwrap(), mirrored.tee(None).unwrap());
    assert!((tee.left.x - a.x + (twin.right.x - b.x)).abs() < 1e-6);
    assert!((tee.width_m() - twin.width_m()).abs() < 1e-6);
    let mut random = uniform(11);
    let mut seen = std::collections::BTreeSet::new();
    for _ in 0..50_000 {
        let (x, y) = (
            (random() - 0.5) * plain.bounds().width(),
            (random() - 0.5) * plain.bounds().height(),
        );
        let here = plain.surface_at(Coord {
            x: a.x + x,
            y: a.y + y,
        });
        assert_eq!(
            here,
            mirrored.surface_at(Coord {
                x: b.x - x,
                y: b.y + y
            }),
            "at {x}, {y}"
        );
        seen.insert(here);
        let canopy = plain.canopy_at(a.x + x, a.y + y);
        assert_eq!(
            canopy,
            mirrored.canopy_at(b.x - x, b.y + y),
            "canopy at {x}, {y}"
        );
    }
    assert_eq!(seen.len(), 8, "{seen:?}");
}

#[test]
fn holes_lie_as_drawn_at_the_180th_meridian_and_far_north() {
    for (lon, lat) in [(180.0, -17.0), (-179.9995, 66.0), (25.0, 71.0), (0.0, 0.0)] {
        let mut draw = Draw::at(lon, lat);
        draw.line(&[[-150.0, 0.0], [150.0, 20.0]], json!({"golf": "hole"}));
        draw.area(&[&boxed(-155.0, -5.0, -145.0, 5.0)], json!({"golf": "tee"}));
        draw.area(
            &[&boxed(140.0, 10.0, 160.0, 30.0)],
            json!({"golf": "green"}),
        );
        draw.area(
            &[&boxed(-40.0, -10.0, 60.0, 30.0)],
            json!({"golf": "fairway"}),
        );
        let hole = draw.only();
        assert!((hole.length_m - 300.67).abs() < 0.05, "{}", hole.length_m);
        assert_eq!(draw.surface(&hole, [-39.5, 0.0]), Surface::Fairway);
        assert_eq!(draw.surface(&hole, [59.5, 0.0]), Surface::Fairway);
        assert_eq!(draw.surface(&hole, [60.5, 0.0]), Surface::Rough);
    }
}

#[test]
fn assumptions_are_noted() {
    let mut draw = Draw::hole();
    draw.area(
        &[&boxed(20.0, 0.0, 40.0, 20.0)],
        json!({"natural": "water", "name": "<Pond>"}),
    );
    draw.area(
        &[&boxed(-90.0, 0.0, -60.0, 20.0)],
        json!({"natural": "wood"}),
    );
    draw.area(
        &[&boxed(-500.0, -500.0, 500.0, 500.0)],
        json!({"leisure": "golf_course"}),
    );
    let course = draw.course();
    let hole = &course.holes[0];
    for words in [
        "no tee-markers",
        "red penalty area",
        "15 m is assumed",
        "taken for flat",
    ] {
        assert!(
            hole.notes.iter().any(|note| note.text.contains(words)),
            "{words}: {:?}",
            hole.notes
        );
    }
    assert!(
        course
            .notes
            .iter()
            .any(|note| note.text.contains("not taken for out of bounds"))
    );
    let pond = hole.patch_at(draw.on(hole, [30.0, 10.0])).unwrap();
    assert_eq!(pond.name.as_deref(), Some("<Pond>"));
    assert!(pond.assumed);
}
