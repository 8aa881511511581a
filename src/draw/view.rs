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
use super::labels::{Board, Layout, Line};
use super::page::{Drawn, LARGE, MEDIUM, PAGE, READ, area};
use super::panel::{put, rule};
use super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::{page, svg, text};
use crate::hole::plane::Plane;
use crate::hole::{Coord, Hole};
use crate::plan::landmark::{EYES_M, FINGER_DEG};
use crate::plan::sentence::{self, capital};
use crate::plan::spoken::spoken;
use crate::plan::{LonLat, Plan};

/// Paper for a degree: 3.2 mm.
const DEGREE: f64 = 32.0;
/// Below the eyes' level, and at least and at most above it, degrees.
const BELOW_DEG: f64 = 4.5;
const LEAST_ABOVE_DEG: f64 = 5.0;
const MOST_ABOVE_DEG: f64 = 14.0;
/// The picture's top on the page.
const TOP: f64 = 150.0;

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

/// What the player does: the aim, and the usual ball's flight from where it starts.
fn shot(eyes: &Eyes<'_>, paper: &Paper, plan: &Plan, flown: &[(f64, f64)], nodes: &mut Vec<Node>) {
    let violet = |width: f64| Stroke::of(palette::ACCENT, width);
    let white = |width: f64| Stroke::of(palette::PAPER, width);
    let ring = eyes.at(0.0, ring_m(plan));
    let ring = paper.of(0.0, eyes.up_deg(ring, EYES_M));
    landmark(eyes, paper, plan, nodes);
    let foot = paper.area.bottom;
    let ends = ([paper.x(0.0), foot], [paper.x(0.0), ring[1] + 15.0]);
    nodes.push(scene::line(ends.0, ends.1, white(9.0)));
    nodes.push(scene::line(ends.0, ends.1, violet(4.0).dashed(26.0, 10.0)));
    let arc: Vec<Point> = flown
        .iter()
        .map(|(right, up)| paper.of(*right, *up))
        .collect();
    if arc.len() > 1 {
        for stroke in [white(9.0), violet(5.0)] {
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

/// Parts of a piece of the flight: near the eyes a straight piece is seen bent.
const PARTS: u32 = 6;

/// The usual ball's way through the air, right of the aim and up, degrees.
fn flown(eyes: &Eyes<'_>, plan: &Plan, plane: &dyn Fn(LonLat) -> Coord<f64>) -> Vec<(f64, f64)> {
    let finishes = &plan.finishes;
    let air = finishes.flight_airborne.min(finishes.flight.len());
    let flight = finishes.flight[..air].iter().zip(&finishes.flight_height_m);
    let places: Vec<(Coord<f64>, f64)> = flight.map(|(at, up_m)| (plane(*at), *up_m)).collect();
    let mut seen = Vec::new();
    for pair in places.windows(2) {
        let [(from, low), (to, high)] = [pair[0], pair[1]];
        for k in 0..=PARTS {
            let part = f64::from(k) / f64::from(PARTS);
            let at = Coord {
                x: from.x + (to.x - from.x) * part,
                y: from.y + (to.y - from.y) * part,
            };
            let away_m = eyes.away_m(at);
            let up_deg = (low + (high - low) * part - EYES_M)
                .atan2(away_m)
                .to_degrees();
            if away_m > 1.0 && up_deg.is_finite() {
                seen.push((eyes.right_deg(at), up_deg));
            }
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
    let large = (LARGE, true, palette::INK);
    let number = put(
        board,
        &plan.hole.reference,
        large,
        [left, 118.0],
        Anchor::Start,
        170.0,
    );
    let at = number.right + 30.0;
    let strong = (MEDIUM, true, palette::INK);
    let club = capital(&sentence::club(&plan.choice.shot.club));
    let club = put(board, &club, strong, [right, 85.0], Anchor::End, 420.0);
    let peg = format!(
        "from the tee, {}",
        spoken(plan, |shot| sentence::peg(shot, unit))
    );
    let name = plan.hole.name.clone().unwrap_or_default();
    put(
        board,
        &name,
        strong,
        [at, 85.0],
        Anchor::Start,
        club.left - at - 20.0,
    );
    let plain = (READ, false, palette::INK);
    put(board, &peg, plain, [at, 118.0], Anchor::Start, right - at);
    rule(
        board,
        &area(left, 40.0, right, 132.0),
        132.0,
        Stroke::of(palette::INK, 3.0),
    );
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
    let drawn = lay_out(plan, hole);
    let page = &drawn.layout.page;
    svg::write([page.right, page.bottom], &drawn.title, &drawn.nodes)
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
    let flown = flown(&eyes, plan, &to_plane);
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
    self::shot(&eyes, &paper, plan, &flown, &mut seen);
    let mut board = Board::new(size, |_| 0.0);
    let balls = plan.finishes.balls.iter().map(|&p| to_plane(p));
    let ends: Vec<f64> = balls.filter(is_near).map(|at| eyes.right_deg(at)).collect();
    scale(&mut board, &paper, &ends);
    words(&mut board, plan, &paper);
    let frame = scene::rectangle(paper.area.left, TOP, 2.0 * side, bottom - TOP);
    let whole = scene::rectangle(0.0, 0.0, size.right, size.bottom);
    let nodes = vec![
        Node::Path {
            steps: whole,
            fill: Some(Fill::of(palette::PAPER)),
            stroke: None,
        },
        Node::Group {
            id: "view",
            clip: Some(frame.clone()),
            nodes: seen,
        },
        Node::Path {
            steps: frame,
            fill: None,
            stroke: Some(Stroke::of(palette::INK, 2.0)),
        },
        page::group("words", board.nodes),
    ];
    Drawn {
        title: format!(
            "Hole {}: the view from the tee",
            text::clean(&plan.hole.reference)
        ),
        nodes,
        layout: Layout {
            page: size,
            map: paper.area,
            scale: 0.0,
            texts: board.texts,
            unplaced: board.unplaced,
            plate: None,
        },
    }
}
