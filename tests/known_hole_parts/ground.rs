//! Trees and ground.

use bendline::hole::Surface;
use serde_json::json;

use crate::draw::{Draw, Point2, boxed};

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

/// Heights of a neighbouring hole's features, far from this hole's tee, do not
/// tilt it: all on one plane that rises by a tenth, they would lift the pin.
#[test]
fn a_neighbours_heights_do_not_tilt_the_hole() {
    let mut draw = Draw::hole();
    for x in 1..=4 {
        for y in 1..=4 {
            let at = [60.0 + f64::from(x) * 10.0, f64::from(y) * 10.0];
            let mut position = draw.lon_lat(at);
            position
                .as_array_mut()
                .unwrap()
                .push(json!(100.0 + 0.1 * at[1]));
            draw.add(
                "Point",
                position,
                json!({"natural": "tree", "height": "9", "diameter_crown": "8"}),
            );
        }
    }
    let hole = draw.only();
    assert!(hole.ground().is_flat());
    assert!(
        hole.notes
            .iter()
            .any(|note| note.text.contains("no heights for this hole"))
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
            .any(|note| note.text.contains("taken as flat"))
    );
}
