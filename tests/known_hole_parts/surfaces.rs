//! What lies where.

use bendline::flight::{Footing, Turf};
use bendline::hole::{Coord, Surface};
use geo::{Contains, LineString, Point, Polygon};
use serde_json::{Value, json};

use crate::draw::{Draw, Point2, blob, boxed, close, uniform};

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

/// A square green in a wider fairway in rough: distances to its sides are the oracle. The rule: within a
/// metre outside of a green's or fairway's outline, turf is between the two.
#[test]
fn turf_changes_over_a_metre_outside_of_greens_and_fairways() {
    let mut draw = Draw::hole();
    draw.area(
        &[&boxed(-20.0, 30.0, 20.0, 90.0)],
        json!({"golf": "fairway"}),
    );
    draw.area(&[&boxed(-8.0, 52.0, 8.0, 68.0)], json!({"golf": "green"}));
    let hole = draw.only();
    let mut random = uniform(11);
    let mut seen = [0; 3];
    for _ in 0..20_000 {
        let [x, y] = [(random() - 0.5) * 48.0, 60.0 + (random() - 0.5) * 68.0];
        let footing = hole.footing_at(draw.on(&hole, [x, y]));
        let off = |half_x: f64, half_y: f64| {
            let (dx, dy) = (x.abs() - half_x, (y - 60.0).abs() - half_y);
            (
                dx.max(dy).min(0.0) + dx.max(0.0).hypot(dy.max(0.0)),
                dx.max(0.0) * dy.max(0.0) > 0.0,
            )
        };
        let ((green_m, at_corner), (fairway_m, _)) = (off(8.0, 8.0), off(20.0, 30.0));
        let (turf, beside, off_m) = if green_m < 0.0 {
            (Turf::Green, Turf::Green, 9.0)
        } else if fairway_m < 0.0 {
            (Turf::Fairway, Turf::Green, green_m)
        } else {
            (Turf::Rough, Turf::Fairway, fairway_m)
        };
        assert_eq!(footing.turf, turf, "{x} {y}");
        // Beside the sides, to the rounding of the kept distances.
        let within_band = (off_m * f64::from(Footing::BANDS)).fract();
        if at_corner || (off_m < 1.1 && !(0.1..0.9).contains(&within_band)) {
            continue;
        }
        let expected = if off_m < 1.0 {
            seen[usize::from(beside == Turf::Green)] += 1;
            Footing::beside(turf, beside, off_m)
        } else {
            seen[2] += 1;
            Footing::of(turf)
        };
        let corner = fairway_m > 0.0 && x.abs() > 20.0 && (y - 60.0).abs() > 30.0;
        if !corner {
            assert_eq!(footing, expected, "{x} {y}: {off_m} m off");
        }
        // Nothing changes nearer than is said.
        let change_m = match turf {
            Turf::Green => -green_m,
            Turf::Fairway => (green_m - 1.0).max(0.0).min(-fairway_m),
            _ => (fairway_m - 1.0).max(0.0),
        };
        let said_m = hole.to_change_m(draw.on(&hole, [x, y]));
        assert!(said_m <= change_m + 0.05, "{x} {y}: {said_m}, {change_m}");
    }
    assert!(seen.iter().all(|count| *count > 300), "{seen:?}");
}
