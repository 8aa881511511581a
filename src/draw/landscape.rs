//! The hole as a landscape: contours of strokes still to play, for this player, under the cloud of
//! the tee shot's balls.
//!
//! Contours are lines between the places of the plan's lattice (marching squares); downhill is where
//! fewer strokes are left. They stop at a step: where an edge of rough, sand or trees costs strokes
//! within one cell of the lattice, the numbers on both sides say how many.

use super::frame::{Frame, Strip};
use super::ground::Ground;
use super::labels::{Board, Line, Request};
use super::page::{Drawn, Land, Lengths, PAGE, Placed, READ, area};
use super::plate;
use super::scene::{self, Anchor, Node, Point, Stroke, palette};
use super::sheet::{self, LEFT, RIGHT, TOP};
use super::shot::{Marks, Sight};
use super::text;
use crate::hole::plane::Plane;
use crate::plan::landscape::Landscape;
use crate::plan::{LonLat, Plan};
use geo::Coord;

/// Where the map ends.
const BOTTOM: f64 = 1_500.0;
/// From a contour to the next, strokes, and every how many one is heavy and has its number.
const STEP: f64 = 0.1;
const HEAVY: i64 = 2;
/// A cell whose corners differ by more has a step in it, strokes: four metres nearer to the hole are
/// worth 0.05 at most (the published table, 20 to 40 yd), so that no slope is as steep.
const CLIFF: f64 = 0.12;
/// Numbers of one contour are so far apart on paper, those of any two so far, and one contour has at
/// most so many.
const APART: f64 = 260.0;
const CLEAR: f64 = 64.0;
const NUMBERS: usize = 3;

/// A contour: how many steps above none, and its pieces on paper.
struct Contour {
    level: i64,
    pieces: Vec<[Point; 2]>,
}

/// Where a level crosses the side between two places.
fn crossing(a: (Point, f64), b: (Point, f64), level: f64) -> Option<Point> {
    if (a.1 >= level) == (b.1 >= level) {
        return None;
    }
    let part = (level - a.1) / (b.1 - a.1);
    Some([
        a.0[0] + (b.0[0] - a.0[0]) * part,
        a.0[1] + (b.0[1] - a.0[1]) * part,
    ])
}

/// All contours of the lattice, by `place` on paper.
fn contours(land: &Landscape, place: &dyn Fn(usize, usize) -> Point) -> Vec<Contour> {
    let known = land.strokes.iter().flatten().copied();
    let (low, high) = known.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
    if !(low.is_finite() && high.is_finite() && high - low < 20.0) {
        return Vec::new();
    }
    let levels = (low / STEP).ceil() as i64..=(high / STEP).floor() as i64;
    let each = levels.map(|level| {
        let strokes = level as f64 * STEP;
        let mut pieces = Vec::new();
        for row in 1..land.rows() {
            for column in 1..land.columns {
                let corners = [
                    (column - 1, row - 1),
                    (column, row - 1),
                    (column, row),
                    (column - 1, row),
                ];
                let corners = corners.map(|(c, r)| land.at(c, r).map(|v| (place(c, r), v)));
                let [Some(a), Some(b), Some(c), Some(d)] = corners else {
                    continue;
                };
                let high = a.1.max(b.1).max(c.1).max(d.1);
                if high - a.1.min(b.1).min(c.1).min(d.1) > CLIFF {
                    continue;
                }
                let sides = [(a, b), (b, c), (c, d), (d, a)];
                let cuts = sides.iter().filter_map(|(a, b)| crossing(*a, *b, strokes));
                let cuts: Vec<Point> = cuts.collect();
                match cuts.as_slice() {
                    [p, q] => pieces.push([*p, *q]),
                    // A saddle: the middle says which corners belong together.
                    [p, q, r, s] => {
                        let middle = (a.1 + b.1 + c.1 + d.1) / 4.0;
                        if (middle >= strokes) == (a.1 >= strokes) {
                            pieces.extend([[*p, *q], [*r, *s]]);
                        } else {
                            pieces.extend([[*s, *p], [*q, *r]]);
                        }
                    }
                    _ => {}
                }
            }
        }
        Contour { level, pieces }
    });
    each.filter(|contour| !contour.pieces.is_empty()).collect()
}

/// Draws the contours and asks for the numbers of the heavy ones.
fn draw(contours: &[Contour], frame: &Frame, nodes: &mut Vec<Node>) -> Vec<Request> {
    let mut numbers: Vec<Request> = Vec::new();
    let mut taken: Vec<Point> = Vec::new();
    for contour in contours {
        let is_heavy = contour.level % HEAVY == 0;
        let steps: Vec<scene::Step> = contour
            .pieces
            .iter()
            .filter_map(|[a, b]| frame.area.part_of(*a, *b))
            .flat_map(|ends| scene::polyline(&ends))
            .collect();
        nodes.push(Node::Path {
            steps,
            fill: None,
            stroke: Some(Stroke::of(palette::INK, if is_heavy { 2.2 } else { 1.1 })),
        });
        if !is_heavy {
            continue;
        }
        let mut seats: Vec<Point> = Vec::new();
        let inner = frame.area.grown(-50.0);
        for [a, b] in &contour.pieces {
            let at = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
            let is_far = |seat: &Point| scene::distance(*seat, at) > APART;
            let is_clear = |seat: &Point| scene::distance(*seat, at) > CLEAR;
            if inner.holds(at)
                && seats.len() < NUMBERS
                && seats.iter().all(is_far)
                && taken.iter().all(is_clear)
            {
                seats.push(at);
                taken.push(at);
                let words = format!("{:.1}", contour.level as f64 * STEP);
                numbers.push(Request {
                    gap: 0.0,
                    reach: 26.0,
                    ..Request::free(at, vec![Line::new(words, READ, false, palette::INK)])
                });
            }
        }
    }
    numbers
}

/// The picture; none of a plan without a landscape.
#[must_use]
pub fn lay_out(plan: &Plan, hole: &Land<'_>) -> Option<Drawn> {
    let land = plan.landscape.as_ref()?;
    let plane = Plane::new(hole.origin_lon_lat);
    let to_plane = |p: LonLat| plane.to_plane(p.lon, p.lat);
    let placed = Placed::of(plan, hole, &to_plane);
    let map = area(LEFT, TOP, RIGHT, BOTTOM);
    let frame = plate::frame(map, &placed, hole, plan);
    let strip = Strip::filling(&map);
    let sight = Sight {
        plan,
        placed: &placed,
        frame: &frame,
        strip: &strip,
        lengths: Lengths::of_unit(&plan.words.unit),
    };
    let ground = Ground::of(hole, &frame, &strip);
    let mut board = Board::new(area(0.0, 0.0, PAGE[0], PAGE[1]), |_| 0.0);
    sheet::head(&mut board, plan, [LEFT, RIGHT], "strokes still to play");
    let origin = to_plane(land.origin);
    let place = |column: usize, row: usize| {
        frame.place(Coord {
            x: origin.x + column as f64 * land.step_m,
            y: origin.y + row as f64 * land.step_m,
        })
    };
    let mut nodes = ground.nodes;
    let numbers = draw(&contours(land, &place), &frame, &mut nodes);
    let mut marks = Marks::default();
    sight.regions(&mut marks, &mut board);
    sight.aim(&mut marks, &mut board);
    sight.flight(&mut marks, &mut board);
    nodes.extend(marks.nodes);
    for request in &numbers {
        board.place(request);
    }
    let scale = Line::new(format!("1:{:.0}", frame.scale), READ, false, palette::INK);
    let at = [map.left + 10.0, map.bottom - 12.0];
    board.write(&scale, at, Anchor::Start, true);
    let words = format!(
        "Numbers: strokes still to play from there, by your own game. Lines: every {STEP:.1}; where \
         they stop, an edge costs what the numbers beside it differ by, or hardly \
         any ball ends there. Violet: where half of the balls and nine in ten end. With this plan the hole takes \
         {:.2}, the tee shot included.",
        plan.choice.shot.expected_strokes
    );
    let style = (READ, false, palette::STONE);
    let at = [LEFT, BOTTOM + 44.0];
    sheet::paragraph(&mut board, &words, style, at, RIGHT - LEFT, 6);
    let title = format!(
        "Hole {}: strokes still to play",
        text::clean(&plan.hole.reference)
    );
    let nodes = sheet::cut_to("landscape", &map, nodes).into();
    Some(sheet::finish(
        title,
        PAGE[1],
        nodes,
        board,
        (map, frame.scale),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::LonLat;

    fn land(strokes: impl Fn(usize, usize) -> Option<f64>) -> Landscape {
        let all = (0..20).flat_map(|row| (0..20).map(move |column| (column, row)));
        Landscape {
            origin: LonLat { lon: 0.0, lat: 0.0 },
            step_m: 4.0,
            columns: 20,
            strokes: all.map(|(column, row)| strokes(column, row)).collect(),
        }
    }

    /// On a slope of 0.02 a place from 3.00 the contour of 3.10 is the line at place 5.
    #[test]
    fn contours_of_a_slope_are_straight() {
        let land = land(|column, row| (row != 12).then_some(3.0 + 0.02 * column as f64 + 1e-9));
        let place = |column: usize, row: usize| [column as f64, row as f64];
        let all = contours(&land, &place);
        let of = |level: i64| all.iter().find(|c| c.level == level).expect("a contour");
        let pieces = &of(31).pieces;
        // Nineteen rows of cells, but the two beside the row that is not known.
        assert_eq!(pieces.len(), 17);
        assert!(pieces.iter().flatten().all(|p| (p[0] - 5.0).abs() < 1e-6));
        assert_eq!(all.iter().map(|c| c.level).min(), Some(31));
    }

    /// The contour of a round hill is closed: each of its points ends two pieces.
    #[test]
    fn contours_of_a_hill_are_closed() {
        let land = land(|column, row| {
            let (x, y) = (column as f64 - 9.5, row as f64 - 9.4);
            Some(4.0 - 0.004 * (x * x + y * y))
        });
        let place = |column: usize, row: usize| [column as f64, row as f64];
        let all = contours(&land, &place);
        let contour = all.iter().find(|c| c.level == 39).expect("a contour");
        for end in contour.pieces.iter().flatten() {
            let here = contour.pieces.iter().flatten();
            let same = here.filter(|p| scene::distance(**p, *end) < 1e-9).count();
            assert_eq!(same, 2, "{end:?}");
        }
    }
}
