//! The view from the tee: what the player's eyes see round the aim, at one scale for
//! angles, so that it says where to look.
//!
//! Eyes are 1.6 m above the peg. Ground that hides what lies behind it is the skyline of
//! its direction; woods are the outline of their crowns, the farthest first; bunkers,
//! water and greens are never drawn thinner than the eye can find. The picture stands
//! upright as a photograph would, on angles instead of a plane, and what is within a few
//! paces of the peg lies below its edge.

mod eyes;
mod land;

use eyes::{Eyes, SIDE_DEG, crowns};
use land::land;

use super::frame::Area;
use super::labels::{Board, Line};
use super::page::{Drawn, MEDIUM, PAGE, READ, area};
use super::panel::put;
use super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::{sheet, text};
use crate::hole::plane::Plane;
use crate::hole::{Coord, Hole};
use crate::plan::landmark::{EYES_M, FINGER_DEG};
use crate::plan::sentence;
use crate::plan::spoken::spoken;
use crate::plan::{LonLat, Plan};

/// Paper for a degree: 3.2 mm.
const DEGREE: f64 = 32.0;
/// Below the eyes' level, and at least and at most above it, degrees.
const BELOW_DEG: f64 = 4.5;
const LEAST_ABOVE_DEG: f64 = 5.0;
const MOST_ABOVE_DEG: f64 = 14.0;
/// The picture's top on the page.
const TOP: f64 = sheet::TOP;

/// How thick two usual balls' flights are together.
const BOTH_FLIGHTS: f64 = 8.0;

/// Where a direction and a height lie on paper.
struct Paper {
    area: Area,
    above_deg: f64,
}

impl Paper {
    fn x(&self, right_deg: f64) -> f64 {
        (self.area.left + self.area.right) / 2.0 + right_deg * DEGREE
    }

    fn y(&self, up_deg: f64) -> f64 {
        self.area.top + (self.above_deg - up_deg) * DEGREE
    }

    fn of(&self, right_deg: f64, up_deg: f64) -> Point {
        // Far outside, so that what leaves the picture leaves it in its direction.
        [
            self.x(right_deg.clamp(-170.0, 170.0)),
            self.y(up_deg.clamp(-60.0, 60.0)),
        ]
    }
}

/// Another usual ball's flight, as thick as its share of the balls.
fn other(paper: &Paper, share: f64, flown: &[(f64, f64)], nodes: &mut Vec<Node>) {
    let wide = (BOTH_FLIGHTS * share.clamp(0.0, 1.0)).max(1.4);
    let arc: Vec<Point> = flown.iter().map(|(r, up)| paper.of(*r, *up)).collect();
    for (colour, wide) in [(palette::PAPER, wide + 2.4), (palette::ACCENT, wide)] {
        nodes.push(Node::Path {
            steps: scene::polyline(&arc),
            fill: None,
            stroke: Some(Stroke::of(colour, wide)),
        });
    }
    if let Some(&end) = arc.last() {
        let rim = Some(Stroke::of(palette::PAPER, 2.0));
        nodes.push(scene::disc(end, 6.0, palette::ACCENT, rim));
    }
}

/// What the player does: the aim, and the usual ball's flight from where it starts.
fn shot(eyes: &Eyes<'_>, paper: &Paper, plan: &Plan, flown: &[(f64, f64)], nodes: &mut Vec<Node>) {
    let violet = |width: f64| Stroke::of(palette::ACCENT, width);
    let white = |width: f64| Stroke::of(palette::PAPER, width);
    let ring = eyes.at(0.0, ring_m(plan));
    let ring = paper.of(0.0, eyes.up_deg(ring, EYES_M));
    landmark(eyes, paper, plan, nodes);
    let foot = paper.area.bottom;
    let ends = ([paper.x(0.0), foot], [paper.x(0.0), ring[1] + 15.0]);
    // A thin rim: the land on either side stays.
    nodes.push(scene::line(ends.0, ends.1, white(6.4)));
    nodes.push(scene::line(ends.0, ends.1, violet(4.0).dashed(26.0, 10.0)));
    let arc: Vec<Point> = flown
        .iter()
        .map(|(right, up)| paper.of(*right, *up))
        .collect();
    if arc.len() > 1 {
        let wide = match plan.finishes.other_ways.as_slice() {
            [] => 5.0,
            [other] => BOTH_FLIGHTS * (1.0 - other.share.clamp(0.0, 0.5)),
            _ => 2.0,
        };
        for stroke in [white(wide + 2.4), violet(wide)] {
            nodes.push(Node::Path {
                steps: scene::polyline(&arc),
                fill: None,
                stroke: Some(stroke),
            });
        }
    }
    if let Some(&end) = arc.last() {
        nodes.push(scene::disc(end, 8.0, palette::ACCENT, Some(white(2.0))));
    }
    nodes.push(Node::Circle {
        id: Some("aim"),
        at: ring,
        radius: 14.0,
        fill: None,
        stroke: Some(white(9.0)),
    });
    nodes.push(Node::Circle {
        id: None,
        at: ring,
        radius: 14.0,
        fill: None,
        stroke: Some(violet(4.5)),
    });
}

/// How far off what is aimed by is drawn, m.
fn ring_m(plan: &Plan) -> f64 {
    let aim = &plan.choice.shot.aim;
    let away_m = Some(aim.distance_m).filter(|m| m.is_finite());
    away_m.unwrap_or(200.0).clamp(20.0, 450.0)
}

/// A wedge below the thing that is aimed by.
fn landmark(eyes: &Eyes<'_>, paper: &Paper, plan: &Plan, nodes: &mut Vec<Node>) {
    let aim = &plan.choice.shot.aim;
    if !aim.is_landmark || !aim.target_right_deg.is_finite() {
        return;
    }
    let at = eyes.at(aim.target_right_deg, ring_m(plan));
    let tip = paper.of(aim.target_right_deg, eyes.up_deg(at, 0.0));
    let tip = [tip[0], tip[1] + 6.0];
    let wedge = [
        tip,
        [tip[0] - 13.0, tip[1] + 30.0],
        [tip[0] + 13.0, tip[1] + 30.0],
    ];
    nodes.push(Node::Path {
        steps: scene::ring(&wedge),
        fill: Some(Fill::of(palette::INK)),
        stroke: Some(Stroke::of(palette::PAPER, 3.0)),
    });
}

/// Parts of a piece of the flight, and of its first: near the eyes a piece is seen bent.
const PARTS: u32 = 8;
const FIRST_PARTS: u32 = 40;

/// A smooth way through places and heights (Catmull and Rom's spline), from the first to the last.
fn smooth(places: &[[f64; 3]]) -> Vec<[f64; 3]> {
    let count = places.len();
    if count < 3 {
        return places.to_vec();
    }
    // Beyond either end the way goes on as it came.
    let beyond = |end: [f64; 3], next: [f64; 3], after: [f64; 3]| -> [f64; 3] {
        std::array::from_fn(|k| 3.0 * end[k] - 3.0 * next[k] + after[k])
    };
    let mut all = vec![beyond(places[0], places[1], places[2])];
    all.extend_from_slice(places);
    all.push(beyond(
        places[count - 1],
        places[count - 2],
        places[count - 3],
    ));
    let mut way = vec![places[0]];
    for (leg, four) in all.windows(4).enumerate() {
        let parts = if leg == 0 { FIRST_PARTS } else { PARTS };
        way.extend((1..=parts).map(|part| {
            let t = f64::from(part) / f64::from(parts);
            let weights = [
                ((2.0 - t) * t - 1.0) * t,
                (3.0 * t - 5.0) * t * t + 2.0,
                ((4.0 - 3.0 * t) * t + 1.0) * t,
                (t - 1.0) * t * t,
            ];
            std::array::from_fn(|k| {
                let each = weights.iter().zip(four);
                each.map(|(weight, place)| 0.5 * weight * place[k]).sum()
            })
        }));
    }
    way
}

/// A ball's way through the air, right of the aim and up, degrees: the usual ball's heights serve for
/// the other one too.
fn flown(
    eyes: &Eyes<'_>,
    (flight, air): (&[LonLat], usize),
    plan: &Plan,
    plane: &dyn Fn(LonLat) -> Coord<f64>,
) -> Vec<(f64, f64)> {
    let flight = &flight[..air.min(flight.len())];
    let flight = flight.iter().zip(&plan.finishes.flight_height_m);
    let places = flight.map(|(at, up_m)| {
        let Coord { x, y } = plane(*at);
        [x, y, *up_m]
    });
    let places: Vec<[f64; 3]> = places.collect();
    let mut seen = Vec::new();
    for [x, y, up_m] in smooth(&places) {
        let at = Coord { x, y };
        let away_m = eyes.away_m(at);
        let up_deg = (up_m - EYES_M).atan2(away_m).to_degrees();
        if away_m > 1.0 && up_deg.is_finite() {
            seen.push((eyes.right_deg(at), up_deg));
        }
    }
    seen
}

/// Below the picture: where half of the balls and nine in ten end, and fingers.
fn scale(board: &mut Board, paper: &Paper, ends_deg: &[f64]) {
    let area = &paper.area;
    let within = |right_deg: f64| paper.x(right_deg).clamp(area.left, area.right);
    let mut sorted: Vec<f64> = ends_deg.to_vec();
    sorted.sort_by(f64::total_cmp);
    let quantile = |share: f64| {
        let rank = (sorted.len().saturating_sub(1)) as f64 * share;
        sorted.get(rank.round() as usize).copied()
    };
    let y = area.bottom + 20.0;
    for (low, high, width) in [(0.05, 0.95, 4.0), (0.25, 0.75, 13.0)] {
        if let (Some(low), Some(high)) = (quantile(low), quantile(high)) {
            let ends = [within(low), within(high)];
            let stroke = Stroke::of(palette::ACCENT, width);
            board
                .nodes
                .push(scene::line([ends[0], y], [ends[1], y], stroke));
        }
    }
    let y = area.bottom + 46.0;
    let ink = Stroke::of(palette::INK, 1.8);
    board
        .nodes
        .push(scene::line([area.left, y], [area.right, y], ink));
    let most = (SIDE_DEG / FINGER_DEG).floor() as i32;
    for k in -most..=most {
        let x = paper.x(f64::from(k) * FINGER_DEG);
        let long = if k == 0 { 12.0 } else { 8.0 };
        board.nodes.push(scene::line([x, y - long], [x, y], ink));
        let words = if k == 0 {
            "aim".to_owned()
        } else {
            k.abs().to_string()
        };
        let (bold, colour) = if k == 0 {
            (true, palette::ACCENT)
        } else {
            (false, palette::INK)
        };
        let line = Line::new(words, READ, bold, colour);
        board.write(&line, [x, y + 29.0], Anchor::Middle, false);
    }
}

/// Words round the picture.
fn words(board: &mut Board, plan: &Plan, paper: &Paper) {
    let unit = plan.unit();
    let (left, right) = (paper.area.left, paper.area.right);
    let peg = format!(
        "from the tee, {}",
        spoken(plan, |shot| sentence::peg(shot, unit))
    );
    sheet::head(board, plan, [left, right], &peg);
    let base = paper.area.bottom + 118.0;
    let aim = spoken(plan, |shot| sentence::aim(shot, unit));
    let aim = text::clean(&format!("Aim {aim}."));
    for (k, line) in text::wrap(&aim, MEDIUM, true, right - left, 2)
        .iter()
        .enumerate()
    {
        let at = [left, base + 36.0 * k as f64];
        put(
            board,
            line,
            (MEDIUM, true, palette::ACCENT),
            at,
            Anchor::Start,
            right - left,
        );
    }
    let wedge = if plan.choice.shot.aim.is_landmark {
        "Ring: the aim. Wedge: what it is aimed by."
    } else {
        "Ring: the aim."
    };
    let key = [
        wedge,
        "Line: the usual ball. Bar: where half of the balls and nine in ten end.",
        "Numbers: fingers at arm\u{2019}s length, about 2° each.",
    ];
    for (k, line) in key.iter().enumerate() {
        let at = [left, base + 76.0 + 32.0 * k as f64];
        let stone = (READ, false, palette::STONE);
        put(board, line, stone, at, Anchor::Start, right - left);
    }
}

/// The view as SVG text.
#[must_use]
pub fn view(plan: &Plan, hole: &Hole) -> String {
    sheet::svg(&lay_out(plan, hole))
}

/// The view before it is written.
#[must_use]
pub fn lay_out(plan: &Plan, hole: &Hole) -> Drawn {
    let plane = Plane::new(hole.origin_lon_lat);
    let to_plane = |p: LonLat| plane.to_plane(p.lon, p.lat);
    let shot = &plan.choice.shot;
    let tee = LonLat {
        lon: shot.tee.lon,
        lat: shot.tee.lat,
    };
    let is_near = |c: &Coord<f64>| c.x.abs() < 5_000.0 && c.y.abs() < 5_000.0;
    let first = hole.line_of_play.first().copied().unwrap_or_default();
    let peg = Some(to_plane(tee)).filter(is_near).unwrap_or(first);
    let aim_deg = Some(shot.aim.bearing_deg).filter(|deg| deg.abs() < 1e4);
    let eyes = Eyes::of(hole, peg, aim_deg.unwrap_or(plan.hole.line_of_play_deg));
    let bands = crowns(&eyes);
    let finishes = &plan.finishes;
    let usual = (finishes.flight.as_slice(), finishes.flight_airborne);
    let others = finishes.other_ways.iter().map(|other| {
        let flight = (other.flight.as_slice(), other.flight_airborne);
        (other.share, flown(&eyes, flight, plan, &to_plane))
    });
    let others: Vec<(f64, Vec<(f64, f64)>)> = others.collect();
    let flown = flown(&eyes, usual, plan, &to_plane);
    let crowns_deg = bands.iter().flatten().flatten().map(|crown| crown.top_deg);
    let highest = crowns_deg
        .chain(flown.iter().map(|(_, up)| *up))
        .fold(LEAST_ABOVE_DEG, f64::max);
    let above_deg = (highest + 0.8).min(MOST_ABOVE_DEG);
    let side = SIDE_DEG * DEGREE;
    let middle = PAGE[0] / 2.0;
    let bottom = TOP + (above_deg + BELOW_DEG) * DEGREE;
    let paper = Paper {
        area: area(middle - side, TOP, middle + side, bottom),
        above_deg,
    };
    let size = area(0.0, 0.0, PAGE[0], bottom + 330.0);
    let mut seen = land(&eyes, &paper, &bands);
    for (share, flown) in &others {
        other(&paper, *share, flown, &mut seen);
    }
    self::shot(&eyes, &paper, plan, &flown, &mut seen);
    let mut board = Board::new(size, |_| 0.0);
    let balls = plan.finishes.balls.iter().map(|&p| to_plane(p));
    let ends: Vec<f64> = balls.filter(is_near).map(|at| eyes.right_deg(at)).collect();
    scale(&mut board, &paper, &ends);
    words(&mut board, plan, &paper);
    let title = format!(
        "Hole {}: the view from the tee",
        text::clean(&plan.hole.reference)
    );
    let nodes = sheet::cut_to("view", &paper.area, seen).into();
    sheet::finish(title, size.bottom, nodes, board, (paper.area, 0.0))
}
