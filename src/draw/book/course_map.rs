//! The course as a map: north up, one scale, one wind, every hole with its number and the usual
//! ball's way off its tee.

use super::super::frame::{Area, Frame};
use super::super::labels::{Board, Line, Request};
use super::super::page::{MEDIUM, Placed};
use super::super::panel;
use super::super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::super::text;
use super::{Book, Chapter};
use crate::hole::plane::Plane;
use crate::hole::{Patch, Surface};
use crate::plan::LonLat;
use geo::Coord;

/// White inside the map's edge.
const WHITE: f64 = 46.0;
/// Land further than this from every line of play is not looked for a scale, m.
const LARGEST: f64 = 2_500.0;

/// A hole on the course's own plane.
struct Hole<'a> {
    chapter: &'a Chapter<'a>,
    own: Plane,
    line: Vec<Coord<f64>>,
    placed: Placed,
}

impl<'a> Hole<'a> {
    fn of(chapter: &'a Chapter<'a>, course: &Plane) -> Self {
        let own = Plane::new(chapter.land.origin_lon_lat);
        let across = |at: &Coord<f64>| moved(&own, course, *at);
        let placed = Placed::of(chapter.plan, &chapter.land, &|p: LonLat| {
            own.to_plane(p.lon, p.lat)
        });
        let line = chapter.land.line_of_play.iter().map(across);
        let line = line.filter(|at| at.x.abs() < 20_000.0 && at.y.abs() < 20_000.0);
        Self {
            line: line.collect(),
            own,
            chapter,
            placed,
        }
    }
}

/// A place of one plane on another.
fn moved(from: &Plane, to: &Plane, at: Coord<f64>) -> Coord<f64> {
    let [lon, lat] = from.to_lon_lat(at);
    to.to_plane(lon, lat)
}

/// How a surface is drawn, its rank in the order of overlap first.
fn dress(surface: Surface) -> Option<(u8, scene::Colour, Option<Stroke>)> {
    let stroke = |colour, width| Some(Stroke::of(colour, width));
    Some(match surface {
        Surface::Rough => return None,
        Surface::Trees => (0, palette::WOOD, stroke(palette::WOOD_EDGE, 0.8)),
        Surface::Fairway => (1, palette::FAIRWAY, stroke(palette::FAIRWAY_EDGE, 0.9)),
        Surface::Tee => (2, palette::GREEN, None),
        Surface::Green => (3, palette::GREEN, stroke(palette::INK, 1.4)),
        Surface::Bunker => (4, palette::SAND, stroke(palette::SAND_EDGE, 1.0)),
        Surface::PenaltyRed => (5, palette::WATER, stroke(palette::RED, 1.8)),
        Surface::PenaltyYellow => (5, palette::WATER, stroke(palette::YELLOW, 2.4)),
        Surface::OutOfBounds => (6, palette::PAPER, stroke(palette::INK, 1.6)),
    })
}

/// The land of all holes, what several of them have once.
fn land(holes: &[Hole<'_>], course: &Plane, frame: &Frame) -> Vec<Node> {
    let mut seen: Vec<(Surface, Point, usize)> = Vec::new();
    let mut drawn: Vec<(u8, Vec<Node>)> = Vec::new();
    for hole in holes {
        for patch in hole.chapter.land.patches {
            let Some((rank, fill, stroke)) = dress(patch.surface) else {
                continue;
            };
            let rings = outlines(patch, &hole.own, course, frame);
            let Some(first) = rings.first().and_then(|ring| ring.first()).copied() else {
                continue;
            };
            let same = |known: &(Surface, Point, usize)| {
                known.0 == patch.surface
                    && known.2 == rings[0].len()
                    && scene::distance(known.1, first) < 0.5
            };
            if seen.iter().any(same) {
                continue;
            }
            seen.push((patch.surface, first, rings[0].len()));
            let steps: Vec<scene::Step> = rings.iter().flat_map(|ring| scene::ring(ring)).collect();
            let fill = Some(Fill::of(fill));
            // Beyond the boundary the paper stays.
            let fill = fill.filter(|_| patch.surface != Surface::OutOfBounds);
            let path = Node::Path {
                steps,
                fill,
                stroke,
            };
            drawn.push((rank, vec![path]));
        }
    }
    drawn.sort_by_key(|(rank, _)| *rank);
    drawn.into_iter().flat_map(|(_, nodes)| nodes).collect()
}

fn outlines(patch: &Patch, own: &Plane, course: &Plane, frame: &Frame) -> Vec<Vec<Point>> {
    let rings = std::iter::once(patch.outline.exterior()).chain(patch.outline.interiors());
    let rings = rings.map(|ring| -> Vec<Point> {
        let points = ring.0.iter().map(|&at| frame.place(moved(own, course, at)));
        points.filter(|p| p.iter().all(|v| v.abs() < 1e6)).collect()
    });
    rings.filter(|ring| ring.len() > 2).collect()
}

/// The usual ball's way off a tee, what follows to the pin, the flag.
fn way(hole: &Hole<'_>, course: &Plane, frame: &Frame, nodes: &mut Vec<Node>) {
    let on = |at: Coord<f64>| frame.place(moved(&hole.own, course, at));
    let (rest, pin) = (on(hole.placed.rest), on(hole.placed.pin));
    let ink = Stroke::of(palette::INK, 1.6).dashed(8.0, 6.0);
    nodes.push(scene::line(rest, pin, ink));
    let flight: Vec<Point> = hole.placed.flight.iter().map(|&at| on(at)).collect();
    for (colour, width) in [(palette::PAPER, 6.0), (palette::ACCENT, 3.4)] {
        nodes.push(Node::Path {
            steps: scene::polyline(&flight),
            fill: None,
            stroke: Some(Stroke::of(colour, width)),
        });
    }
    let rim = Some(Stroke::of(palette::PAPER, 1.6));
    nodes.push(scene::disc(rest, 6.0, palette::ACCENT, rim));
    let top = [pin[0], pin[1] - 18.0];
    nodes.push(scene::line(pin, top, Stroke::of(palette::INK, 1.8)));
    nodes.push(Node::Path {
        steps: scene::ring(&[top, [top[0] + 11.0, top[1] + 4.0], [top[0], top[1] + 8.0]]),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    });
}

/// The map in a field; returns what is drawn and its scale.
pub(super) fn draw(board: &mut Board, book: &Book<'_>, field: Area) -> (Vec<Node>, f64) {
    let Some(first) = book.chapters.first() else {
        return (Vec::new(), 1.0);
    };
    let course = Plane::new(first.land.origin_lon_lat);
    let each = book.chapters.iter();
    let holes: Vec<Hole<'_>> = each.map(|chapter| Hole::of(chapter, &course)).collect();
    let places = holes.iter().flat_map(|hole| hole.line.iter().copied());
    let edges = places.fold(
        [f64::MAX, f64::MIN, f64::MAX, f64::MIN],
        |[a, b, c, d], at| [a.min(at.x), b.max(at.x), c.min(at.y), d.max(at.y)],
    );
    if edges[0] > edges[1] {
        return (Vec::new(), 1.0);
    }
    let [west, east, south, north] = edges;
    let wide = (east - west).max(50.0) * 10_000.0 / (field.width() - 2.0 * WHITE);
    let tall = (north - south).max(50.0) * 10_000.0 / (field.height() - 2.0 * WHITE);
    let scale = (wide.max(tall).max(LARGEST) / 100.0).ceil() * 100.0;
    let middle = Coord {
        x: (west + east) / 2.0,
        y: (south + north) / 2.0,
    };
    let frame = Frame::at_scale(field, middle, 0.0, scale);
    let mut nodes = land(&holes, &course, &frame);
    let dial_at = [field.right - 54.0, field.top + 66.0];
    board.keep_clear(Area {
        left: field.right - 130.0,
        top: field.top,
        right: field.right,
        bottom: field.top + 130.0,
    });
    for hole in &holes {
        way(hole, &course, &frame, &mut nodes);
        let on = |at: Coord<f64>| frame.place(moved(&hole.own, &course, at));
        let flight: Vec<Point> = hole.placed.flight.iter().map(|&at| on(at)).collect();
        board.keep_off(&flight, 1.5);
    }
    for hole in &holes {
        let at = frame.place(moved(&hole.own, &course, hole.placed.peg));
        let number = text::cut(
            &text::clean(&hole.chapter.plan.hole.reference),
            MEDIUM,
            true,
            90.0,
        );
        board.place(&Request {
            gap: 7.0,
            reach: 60.0,
            within: Some(field),
            ..Request::free(at, vec![Line::new(number, MEDIUM, true, palette::INK)])
        });
    }
    let day = &first.plan.conditions;
    let ways = [0.0, day.wind_from_deg + 180.0].map(|deg| frame.direction(deg));
    panel::dial(board, dial_at, ways, day.wind_m_s);
    let words = Line::new(
        format!("1:{scale:.0}"),
        super::SMALL_TYPE,
        false,
        palette::INK,
    );
    let at = [field.left + 10.0, field.bottom - 12.0];
    board.write(&words, at, Anchor::Start, true);
    let cut = super::super::sheet::cut_to("course", &field, nodes);
    (cut.into(), scale)
}
