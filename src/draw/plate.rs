//! The landing plate: where the ball comes down, large, at a round scale, with every
//! label; and the strip beside it with the whole hole.

use super::columns::{self, Field, Leader};
use super::frame::{Area, Frame};
use super::ground::Ground;
use super::labels::{Board, Line, Request};
use super::next_shot;
use super::page::{Land, Placed, READ};
use super::scene::{self, Anchor, Node, Point, Stroke, palette};
use super::shot::{self, Marks, Sight};
use crate::plan::LonLat;
use geo::Coord;

/// Round scales, so that a thumb learns them.
pub const SCALES: [f64; 5] = [1_000.0, 1_250.0, 1_500.0, 2_000.0, 2_500.0];
/// Nine in ten balls take at least this share of the plate's width, where a scale can.
pub const LEAST_SHARE: f64 = 0.4;
/// From the neat line to what the plate has to show.
const MARGIN: f64 = 36.0;

/// Where what is drawn on a plate lies on the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// Inside the neat line.
    pub area: Area,
    /// One to this on paper.
    pub scale: f64,
    /// The labels in its columns, and the lines that tie them.
    pub leaders: Vec<Leader>,
    /// What lies left of this is named on the left.
    pub middle: f64,
    /// The aim as drawn.
    pub aim: Vec<Point>,
    /// The flight and the roll.
    pub flight: Vec<Point>,
    /// The flights of the other usual balls.
    pub other_flights: Vec<Vec<Point>>,
    /// The ring, where what is aimed at lies on the plate.
    pub ring: Option<Point>,
    /// Where the usual ball ends.
    pub ball: Point,
    /// Rings round half of the balls.
    pub half: Vec<Vec<Point>>,
    /// Rings round nine in ten.
    pub ninety: Vec<Vec<Point>>,
    /// The bar of the fairway's width as drawn.
    pub width: Option<[Point; 2]>,
}

/// Left, right, low and high of places, seen from the peg along a bearing, m.
pub(super) fn extent(places: &[Coord<f64>], peg: Coord<f64>, bearing_deg: f64) -> Option<[f64; 4]> {
    let (sin, cos) = bearing_deg.to_radians().sin_cos();
    let seen = places.iter().map(|c| {
        let (dx, dy) = (c.x - peg.x, c.y - peg.y);
        [dx * cos - dy * sin, dx * sin + dy * cos]
    });
    seen.fold(None, |all: Option<[f64; 4]>, [x, y]| {
        let [a, b, c, d] = all.unwrap_or([x, x, y, y]);
        Some([a.min(x), b.max(x), c.min(y), d.max(y)])
    })
}

/// The middle of a view of `2 half` that shows `low..high` in its middle, moved as
/// little as the wishes ask that it can grant; the first wish goes first.
fn middle([low, high]: [f64; 2], half: f64, wishes: &[[f64; 2]]) -> f64 {
    let centre = (low + high) / 2.0;
    let spare = (half - (high - low) / 2.0).max(0.0);
    let mut room = [centre - spare, centre + spare];
    for [from, to] in wishes {
        let both = [room[0].max(to - half), room[1].min(from + half)];
        if both[0] <= both[1] {
            room = both;
        }
    }
    centre.clamp(room[0], room[1])
}

/// The bearing that is up on the plate: the aim.
fn up_deg(sight_of: &Placed, bearing_deg: f64) -> f64 {
    if bearing_deg.is_finite() && bearing_deg.abs() < 1e4 {
        return bearing_deg;
    }
    let (peg, pin) = (sight_of.peg, sight_of.pin);
    (pin.x - peg.x).atan2(pin.y - peg.y).to_degrees()
}

/// The plate's frame: the aim upwards, where the balls end in its middle, at the
/// smallest round scale at which nine in ten take [`LEAST_SHARE`] of its width. A par
/// 3's holds the green; the ring is on it where it can be.
#[must_use]
pub fn frame(plate: Area, placed: &Placed, land: &Land<'_>, plan: &crate::plan::Plan) -> Frame {
    let shot = &plan.choice.shot;
    let (peg, bearing_deg) = (placed.peg, up_deg(placed, shot.aim.bearing_deg));
    let of = |places: &[Coord<f64>]| extent(places, peg, bearing_deg);
    let rest = of(&[placed.rest]).unwrap_or_default();
    let all: Vec<Coord<f64>> = placed.ninety.iter().flatten().copied().collect();
    let across = of(&all).unwrap_or(rest);
    // A few balls topped far short have a ring of their own: the plate shows the others.
    let rings = placed.ninety.iter().filter_map(|ring| of(ring));
    let main = rings
        .filter(|r| r[2] <= rest[3] + 1.0 && r[3] >= rest[2] - 1.0)
        .max_by(|a, b| (a[3] - a[2]).total_cmp(&(b[3] - b[2])))
        .unwrap_or(rest);
    let on_paper = |metres: f64, scale: f64| metres * 10_000.0 / scale;
    let share = |scale: f64| on_paper(across[1] - across[0], scale) / plate.width();
    let enough = |scale: &f64| share(*scale) >= LEAST_SHARE;
    let scale = SCALES.into_iter().rev().find(enough).unwrap_or(SCALES[0]);
    let half = |paper: f64| ((paper / 2.0 - MARGIN) * scale / 10_000.0).max(1.0);
    let mut wishes = Vec::new();
    if plan.hole.par == 3 {
        // The whole green round the pin.
        let green = land.green(placed.pin);
        let green = green.map_or_else(|| vec![placed.pin], |p| p.outline.exterior().0.clone());
        wishes.extend(of(&green));
    }
    wishes.push(rest);
    wishes.extend(placed.target.and_then(|ring| of(&[ring])));
    let wide: Vec<[f64; 2]> = wishes.iter().map(|w| [w[0], w[1]]).collect();
    let tall: Vec<[f64; 2]> = wishes.iter().map(|w| [w[2], w[3]]).collect();
    let x = middle([across[0], across[1]], half(plate.width()), &wide);
    let y = middle([main[2], main[3]], half(plate.height()), &tall);
    let (sin, cos) = bearing_deg.to_radians().sin_cos();
    let centre = Coord {
        x: peg.x + x * cos + y * sin,
        y: peg.y - x * sin + y * cos,
    };
    Frame::at_scale(plate, centre, bearing_deg, scale)
}

/// A map inside its neat line: what is drawn in it, its board, and what is assumed.
pub struct Drawn {
    /// What is drawn, lowest first: the map, then its labels.
    pub nodes: Vec<Node>,
    /// Where its texts stand.
    pub board: Board,
    /// What lies where on it.
    pub plate: Plate,
    /// Whether something on it is assumed and not mapped.
    pub assumed: bool,
}

/// The plate with its labels.
#[must_use]
pub fn draw(sight: &Sight<'_>, land: &Land<'_>, plane: &dyn Fn(LonLat) -> Coord<f64>) -> Drawn {
    let map = sight.frame.area;
    let ground = Ground::of(land, sight.frame, sight.strip);
    let (mut board, arcs, mut marks) = shot::on_ground(sight, &ground, plane);
    // How far the pin is stands on the card.
    let is_here = |r: &Request| if r.tied { map.holds(r.at) } else { !r.needed };
    marks.requests.retain(is_here);
    state_scale(sight.frame, &mut board);
    let mut plate = facts(sight);
    let mut barriers = vec![plate.flight.clone(), plate.aim.clone()];
    barriers.extend(plate.other_flights.iter().cloned());
    let field = Field {
        area: map,
        barriers: &barriers,
        middle: plate.middle,
    };
    let (leaders, between) = columns::place(&mut board, &field, &marks.requests);
    plate.leaders = leaders;
    for request in between {
        board.place(&Request {
            tied: false,
            gap: 12.0,
            ..request.clone()
        });
    }
    let mut nodes = ground.nodes;
    nodes.extend(arcs.nodes);
    nodes.extend(unnamed(marks.nodes, &["peg", "pin"]));
    nodes.extend(breaks(&plate, sight.peg()));
    for request in marks
        .requests
        .iter()
        .filter(|r| !r.tied)
        .chain(&arcs.requests)
    {
        board.place(request);
    }
    for (words, at) in &ground.tags {
        let line = Line::new(*words, READ, true, palette::STONE);
        board.place(&Request::free(*at, vec![line]));
    }
    let labels = std::mem::take(&mut board.nodes);
    Drawn {
        nodes: vec![
            within("plate", map, nodes),
            neat_line(map),
            super::page::group("labels", labels),
        ],
        board,
        plate,
        assumed: ground.assumed,
    }
}

/// The whole hole, small: where the plate lies on it, every 50, and its scale.
#[must_use]
pub fn strip(
    sight: &Sight<'_>,
    land: &Land<'_>,
    plane: &dyn Fn(LonLat) -> Coord<f64>,
    plate: &Frame,
) -> Drawn {
    let map = sight.frame.area;
    let ground = Ground::of(land, sight.frame, sight.strip);
    let mut board = Board::new(map, |_| 0.0);
    let mut arcs = Marks::default();
    sight.arcs(&mut arcs, &mut board);
    let mut marks = Marks::default();
    sight.left(&mut marks, &mut board);
    sight.aim(&mut marks, &mut board);
    sight.flight(&mut marks, &mut board);
    next_shot::draw(sight, plane, &mut marks, &mut board);
    let edge = plate.area;
    let corners = [
        [edge.left, edge.top],
        [edge.right, edge.top],
        [edge.right, edge.bottom],
        [edge.left, edge.bottom],
    ];
    let corners = corners.map(|p| sight.frame.place(plate.plane(p)));
    state_scale(sight.frame, &mut board);
    for request in &arcs.requests {
        board.place(request);
    }
    let mut nodes = ground.nodes;
    nodes.extend(arcs.nodes);
    nodes.push(Node::Path {
        steps: scene::ring(&corners),
        fill: None,
        stroke: Some(Stroke::of(palette::PAPER, 6.0)),
    });
    nodes.push(Node::Path {
        steps: scene::ring(&corners),
        fill: None,
        stroke: Some(Stroke::of(palette::INK, 2.4)),
    });
    nodes.extend(unnamed(marks.nodes, &["target", "next"]));
    let labels = std::mem::take(&mut board.nodes);
    Drawn {
        nodes: vec![
            within("hole", map, nodes),
            neat_line(map),
            super::page::group("ticks", labels),
        ],
        board,
        plate: facts(sight),
        assumed: ground.assumed,
    }
}

/// Where the shot lies on a map.
fn facts(sight: &Sight<'_>) -> Plate {
    let (map, shot) = (sight.frame.area, &sight.plan.choice.shot);
    let on_paper = |rings: &[Vec<Coord<f64>>]| -> Vec<Vec<Point>> {
        let ring = |r: &Vec<Coord<f64>>| r.iter().map(|&c| sight.frame.place(c)).collect();
        rings.iter().map(ring).collect()
    };
    let ball = sight.frame.place(sight.placed.rest);
    let end = sight.at(
        shot.aim.bearing_deg,
        shot.aim.distance_m.clamp(1.0, 3_000.0),
    );
    let inner = map.grown(-shot::RIM);
    let aim = inner.part_of(sight.peg(), end);
    let is_seen = aim.is_some_and(|[_, to]| scene::distance(to, end) < 1.0);
    Plate {
        area: map,
        scale: sight.frame.scale,
        leaders: Vec::new(),
        middle: ball[0],
        aim: aim.map(Vec::from).unwrap_or_default(),
        flight: sight.flown(),
        other_flights: sight.other_flown(),
        ring: is_seen.then_some(end),
        ball,
        half: on_paper(&sight.placed.half),
        ninety: on_paper(&sight.placed.ninety),
        width: sight.width_bar().and_then(|(_, [a, b])| map.part_of(a, b)),
    }
}

/// States a map's scale in its lower left corner.
fn state_scale(frame: &Frame, board: &mut Board) {
    let scale = format!("1:{:.0}", frame.scale);
    let scale = Line::new(scale, READ, false, palette::INK);
    let at = [frame.area.left + 10.0, frame.area.bottom - 12.0];
    let written = board.write(&scale, at, Anchor::Start, true);
    board.keep_clear(written);
}

/// Marks across the flight and the aim where they come onto the plate: the way from
/// the peg is left out.
fn breaks(plate: &Plate, peg: Point) -> Vec<Node> {
    let mut nodes = Vec::new();
    if plate.area.holds(peg) {
        return nodes;
    }
    let entry = |line: &Vec<Point>| {
        let mut legs = line.windows(2);
        legs.find_map(|w| plate.area.part_of(w[0], w[1]).map(|[a, b]| (a, b)))
    };
    for (at, on) in [entry(&plate.flight), entry(&plate.aim)]
        .into_iter()
        .flatten()
    {
        let middle = scene::towards(at, on, 16.0);
        let cut = |shift: f64| {
            let y = middle[1] + shift;
            [[middle[0] - 13.0, y + 5.0], [middle[0] + 13.0, y - 5.0]]
        };
        let [a, b] = cut(-4.0);
        let [c, d] = cut(4.0);
        nodes.push(Node::Path {
            steps: scene::ring(&[a, b, d, c]),
            fill: Some(scene::Fill::of(palette::PAPER)),
            stroke: None,
        });
        for [a, b] in [[a, b], [c, d]] {
            nodes.push(scene::line(a, b, Stroke::of(palette::INK, 1.8)));
        }
    }
    nodes
}

/// The nodes without all names but these.
fn unnamed(mut nodes: Vec<Node>, names: &[&str]) -> Vec<Node> {
    for node in &mut nodes {
        if let Node::Circle { id, .. } = node
            && id.is_some_and(|id| names.contains(&id))
        {
            *id = None;
        }
    }
    nodes
}

/// Nodes cut to a map's neat line.
fn within(id: &'static str, map: Area, nodes: Vec<Node>) -> Node {
    Node::Group {
        id,
        clip: Some(scene::rectangle(
            map.left,
            map.top,
            map.width(),
            map.height(),
        )),
        nodes,
    }
}

/// The neat line round a map.
fn neat_line(map: Area) -> Node {
    Node::Path {
        steps: scene::rectangle(map.left, map.top, map.width(), map.height()),
        fill: None,
        stroke: Some(Stroke::of(palette::INK, 2.0)),
    }
}
