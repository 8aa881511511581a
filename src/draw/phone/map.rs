//! A hole's two pictures as inline SVG: the whole hole, and its landing large. The land once, every
//! case over it.
//!
//! The same drawing as the book's page, with fewer and larger numbers: what a number means is told
//! where it is tapped, and in words below. Colours are classes, so that the page's style can turn them
//! dark.

use super::super::book::Chapter;
use super::super::frame::{Area, Frame, Strip};
use super::super::ground::Ground;
use super::super::labels::{Board, Layout, Line, Request};
use super::super::page::{Lengths, MEDIUM, Placed, area, view};
use super::super::plate::extent;
use super::super::scene::{self, Node, Stroke, palette};
use super::super::shot::{self, Sight};
use super::balls;
use super::names::{self, Named};
use super::pen::{Pen, number};
use crate::hole::plane::Plane;
use crate::plan::{LonLat, Plan};
use geo::Coord;

/// The drawing's width and height. 358 pixels of a phone show it at three quarters, 382 pixels of a
/// phone that lies at 0.56: the numbers are 22 and 17 pixels high.
pub const SIZE: [f64; 2] = [480.0, 680.0];
/// The widest the page's style shows it, mm: `max-width` in `page.css`.
pub const WIDEST_MM: f64 = 107.9;
/// A green may be shown at 1:480 at most; the drawing is that much smaller
/// than it is shown at its widest.
pub const LARGEST_SCALE: f64 = 480.0 * WIDEST_MM * 10.0 / SIZE[0];

/// All that is written on a picture: `font-size` in `page.css`.
pub const TYPE: f64 = MEDIUM;
/// White round what the landing has to show.
const WHITE: f64 = 46.0;
/// Of a hundred balls so many on each side may lie outside the landing: topped and lost ones.
const OUTER: usize = 4;

/// The pictures of a hole, and where their texts stand.
#[derive(Clone, Debug)]
pub struct Map {
    /// The whole hole: SVG text, to stand in HTML.
    pub svg: String,
    /// The landing.
    pub plate: String,
    /// Where the texts of each case stand on the whole hole, in yards and in metres.
    pub layouts: Vec<[Layout; 2]>,
    /// The same on the landing.
    pub plate_layouts: Vec<[Layout; 2]>,
    /// For each case, from the finish to the pin, m, and to the green's front
    /// and back on that line, where there is one.
    pub left_m: Vec<(f64, Option<[f64; 2]>)>,
}

/// Every case of a chapter, the day's first, then its turns.
struct Cases<'a> {
    chapter: &'a Chapter<'a>,
    plane: Plane,
    plans: Vec<&'a Plan>,
    placed: Vec<Placed>,
}

/// A picture before its frame is written round it.
struct Picture {
    inner: String,
    layouts: Vec<[Layout; 2]>,
}

/// The pictures of a chapter.
#[must_use]
pub fn draw(index: usize, chapter: &Chapter<'_>) -> Map {
    let plane = Plane::new(chapter.land.origin_lon_lat);
    let plans: Vec<&Plan> = std::iter::once(chapter.plan).chain(chapter.turns).collect();
    let placed: Vec<Placed> = plans
        .iter()
        .map(|plan| {
            Placed::of(plan, &chapter.land, &|p: LonLat| {
                plane.to_plane(p.lon, p.lat)
            })
        })
        .collect();
    let cases = Cases {
        chapter,
        plane,
        plans,
        placed,
    };
    let whole = cases.whole(index);
    let landing = cases.landing(index);
    let left_m = cases
        .placed
        .iter()
        .map(|p| {
            let long = (p.pin.x - p.rest.x).hypot(p.pin.y - p.rest.y);
            (long, p.green_from_rest_m)
        })
        .collect();
    Map {
        svg: whole.0,
        plate: landing.0,
        layouts: whole.1,
        plate_layouts: landing.1,
        left_m,
    }
}

impl Cases<'_> {
    /// The whole hole; the land runs to the frame.
    fn whole(&self, index: usize) -> (String, Vec<[Layout; 2]>) {
        let map = area(0.0, 0.0, SIZE[0], SIZE[1]);
        let frame = view(&self.placed, &self.chapter.land, map, LARGEST_SCALE);
        let picture = self.picture(format!("{index}"), &frame, false);
        let svg = format!(
            "<svg class=\"map\" role=\"group\" viewBox=\"0 0 {} {}\" data-scale=\"{:.0}\" \
             aria-label=\"The whole hole, green at the top\">{}</svg>\n",
            SIZE[0], SIZE[1], frame.scale, picture.inner
        );
        (svg, picture.layouts)
    }

    /// Where the balls of all cases land and end, large.
    fn landing(&self, index: usize) -> (String, Vec<[Layout; 2]>) {
        let frame = self.landing_frame(area(0.0, 0.0, SIZE[0], SIZE[1]));
        let picture = self.picture(format!("{index}-l"), &frame, true);
        let svg = format!(
            "<svg class=\"plate\" role=\"group\" viewBox=\"0 0 {} {}\" data-scale=\"{:.0}\" \
             aria-label=\"The landing, large, as seen from the tee\">{}</svg>\n",
            SIZE[0], SIZE[1], frame.scale, picture.inner
        );
        (svg, picture.layouts)
    }

    /// The line of play up, as on the dial; as large as shows where most balls of every case end, and no
    /// larger than a green may be shown.
    fn landing_frame(&self, plate: Area) -> Frame {
        let (Some(first), Some(plan)) = (self.placed.first(), self.plans.first()) else {
            return Frame::at_scale(plate, Coord { x: 0.0, y: 0.0 }, 0.0, LARGEST_SCALE);
        };
        let (peg, pin) = (first.peg, first.pin);
        let up_deg = match plan.hole.line_of_play_deg {
            deg if deg.is_finite() && deg.abs() < 1e4 => deg,
            _ => (pin.x - peg.x).atan2(pin.y - peg.y).to_degrees(),
        };
        let mut seen: Option<[f64; 4]> = None;
        let mut add = |part: Option<[f64; 4]>| {
            seen = match (seen, part) {
                (Some(a), Some(b)) => Some([
                    a[0].min(b[0]),
                    a[1].max(b[1]),
                    a[2].min(b[2]),
                    a[3].max(b[3]),
                ]),
                (a, b) => a.or(b),
            };
        };
        for (plan, placed) in self.plans.iter().zip(&self.placed) {
            let rest = extent(&[placed.rest], peg, up_deg);
            add(rest);
            add(extent(&self.most(plan), peg, up_deg));
            // A few balls topped far short have a ring of their own.
            let rings = placed.ninety.iter();
            let main = rings.filter_map(|ring| extent(ring, peg, up_deg));
            add(main.max_by(|a, b| (a[3] - a[2]).total_cmp(&(b[3] - b[2]))));
        }
        let [left, right, low, high] = seen.unwrap_or_default();
        let metres = |long: f64, room: f64| long * 10_000.0 / (room - 2.0 * WHITE);
        let scale = metres(right - left, plate.width()).max(metres(high - low, plate.height()));
        let scale = ((scale / 50.0).ceil() * 50.0).max(LARGEST_SCALE);
        let (x, y) = ((left + right) / 2.0, (low + high) / 2.0);
        let (sin, cos) = up_deg.to_radians().sin_cos();
        let middle = Coord {
            x: peg.x + x * cos + y * sin,
            y: peg.y - x * sin + y * cos,
        };
        Frame::at_scale(plate, middle, up_deg, scale)
    }

    /// The hundred balls of a case without the outermost: those nearest to the usual ball's end.
    fn most(&self, plan: &Plan) -> Vec<Coord<f64>> {
        let to_plane = |p: LonLat| self.plane.to_plane(p.lon, p.lat);
        let usual = to_plane(plan.choice.shot.rest);
        let off = |c: &Coord<f64>| (c.x - usual.x).hypot(c.y - usual.y);
        let all = plan.finishes.hundred.at.iter().map(|&p| to_plane(p));
        let mut all: Vec<Coord<f64>> = all.filter(|c| off(c) < 5_000.0).collect();
        all.sort_by(|a, b| off(a).total_cmp(&off(b)));
        all.truncate(all.len().saturating_sub(2 * OUTER));
        all
    }

    /// The land, the balls, and every case over them.
    fn picture(&self, name: String, frame: &Frame, is_near: bool) -> Picture {
        let strip = &Strip::filling(&frame.area);
        let mut ground = Ground::of(&self.chapter.land, frame, strip);
        let mut pen = Pen::new(name);
        let edge = frame.area;
        let rectangle = || scene::rectangle(edge.left, edge.top, edge.width(), edge.height());
        let within = |id, nodes| Node::Group {
            id,
            clip: Some(rectangle()),
            nodes,
        };
        pen.node(&within("land", std::mem::take(&mut ground.nodes)));
        self.balls(frame, is_near, &mut pen.out);
        let units = ["yd", "m"];
        let drawn: Vec<[Drawn; 2]> = self
            .plans
            .iter()
            .zip(&self.placed)
            .map(|(plan, placed)| {
                units.map(|unit| {
                    let sight = Sight {
                        plan,
                        placed,
                        frame,
                        strip,
                        lengths: Lengths::of_unit(unit),
                    };
                    labelled(&sight, &ground, &self.plane, is_near)
                })
            })
            .collect();
        // From one peg the arcs of all cases are the same.
        let is_one_peg = drawn.iter().all(|case| {
            let mut both = case.iter().zip(&drawn[0]);
            both.all(|(a, b)| a.arcs == b.arcs)
        });
        if is_one_peg {
            for (class, unit) in units.iter().zip(drawn.iter().take(1).flatten()) {
                pen.out.push_str(&format!("<g class=\"{class}\">"));
                pen.node(&within("arcs", unit.arcs.clone()));
                pen.out.push_str("</g>");
            }
        }
        let mut layouts = Vec::with_capacity(drawn.len());
        for (case, both) in drawn.into_iter().enumerate() {
            let hidden = if case == 0 { "" } else { " hidden=\"\"" };
            pen.out
                .push_str(&format!("<g class=\"case\" data-case=\"{case}\"{hidden}>"));
            // The shot itself is the same in both.
            pen.node(&within("shot", both[0].shot.clone()));
            for (class, unit) in units.iter().zip(&both) {
                pen.out.push_str(&format!("<g class=\"{class}\">"));
                if !is_one_peg {
                    pen.node(&within("arcs", unit.arcs.clone()));
                }
                names::write(&unit.named, &mut pen);
                pen.out.push_str("</g>");
            }
            pen.out.push_str("</g>");
            layouts.push(both.map(|unit| unit.layout));
        }
        pen.node(&Node::Path {
            steps: rectangle(),
            fill: None,
            stroke: Some(Stroke::of(palette::INK, 3.0)),
        });
        Picture {
            inner: pen.out,
            layouts,
        }
    }

    /// A hundred balls of every case.
    fn balls(&self, frame: &Frame, is_near: bool, out: &mut String) {
        let plans = self.plans.iter();
        let all: Vec<Vec<balls::Ball>> = plans
            .clone()
            .map(|plan| balls::of(plan, frame, &self.plane))
            .collect();
        let first = self.plans[0];
        let is_same = plans.map(|plan| {
            let (day, other) = (&first.conditions, &plan.conditions);
            first.choice.shot.is_same_swing(&plan.choice.shot)
                && (day.seed, day.balls) == (other.seed, other.balls)
        });
        let is_same: Vec<bool> = is_same.collect();
        balls::write(&all, &is_same, !is_near, out);
    }
}

/// One case in one unit.
struct Drawn {
    shot: Vec<Node>,
    arcs: Vec<Node>,
    named: Vec<Named>,
    layout: Layout,
}

fn labelled(sight: &Sight<'_>, ground: &Ground, plane: &Plane, is_near: bool) -> Drawn {
    let map = sight.frame.area;
    let to_plane = |p: LonLat| plane.to_plane(p.lon, p.lat);
    let (mut board, arcs, mut marks) = shot::on_ground(sight, ground, &to_plane);
    // The hundred balls are drawn apart, so that they can move.
    marks.nodes.retain(|node| !is_ball(node));
    if is_near {
        marks.requests.retain(|request| {
            if request.tied {
                map.holds(request.at)
            } else {
                !request.needed
            }
        });
    }
    if is_near {
        for ([x, y], _) in balls::of(sight.plan, sight.frame, plane) {
            board.keep_off(&[[x - 6.0, y], [x + 6.0, y]], 0.5);
        }
    }
    for request in marks.requests.iter().filter(|r| r.needed && r.tied) {
        let [x, y] = request.at;
        board.keep_clear(area(x, y, x, y).grown(8.0));
    }
    let mut named = names::ends(sight);
    let mut place = |request: &Request, is_needed: bool, words: String, board: &mut Board| {
        let before = board.nodes.len();
        // The number alone: its words are told where it is tapped, and so are those of hazards for
        // whose number there is no room.
        let lines = request.lines.iter().take(1).cloned();
        let placed = board.place(&Request {
            lines: lines.map(|line| Line { size: TYPE, ..line }).collect(),
            needed: is_needed,
            ..request.clone()
        });
        if placed || (request.tied && map.holds(request.at)) {
            named.push(Named {
                words,
                at: request.at,
                nodes: board.nodes.split_off(before),
            });
        }
    };
    let needed = marks.requests.iter().filter(|r| r.needed);
    for (rank, request) in needed.enumerate() {
        place(request, rank < 2, names::of(request, sight), &mut board);
    }
    let others = marks.requests.iter().filter(|r| is_near && !r.needed);
    for request in others.chain(&arcs.requests) {
        place(request, false, names::of(request, sight), &mut board);
    }
    for (words, at) in &ground.tags {
        let line = Line::new(*words, TYPE, true, palette::STONE);
        let request = Request::free(*at, vec![line]);
        place(&request, false, names::tag(words).to_owned(), &mut board);
    }
    Drawn {
        shot: marks.nodes,
        arcs: arcs.nodes,
        named,
        layout: Layout {
            page: map,
            map,
            scale: sight.frame.scale,
            texts: board.texts,
            unplaced: board.unplaced,
            plate: None,
        },
    }
}

/// A single ball: a translucent disc without an edge.
fn is_ball(node: &Node) -> bool {
    matches!(
        node,
        Node::Circle { fill: Some(fill), stroke: None, .. } if fill.opacity < 1.0
    )
}

/// What all pictures of a page share: the tile of dots, and the marks of balls.
#[must_use]
pub fn shared() -> String {
    let mut out = format!(
        "<svg class=\"unseen\" width=\"0\" height=\"0\" aria-hidden=\"true\"><defs>{}\
         <pattern id=\"dots\" width=\"{1}\" height=\"{1}\" patternUnits=\"userSpaceOnUse\">",
        balls::marks(),
        scene::TILE
    );
    let dots = scene::stipple();
    for radius in [0.9, 1.2] {
        let mut d = String::new();
        for (at, _) in dots.iter().filter(|dot| dot.1 == radius) {
            d.push_str(&format!("M{} {}h.01", number(at[0]), number(at[1])));
        }
        out.push_str(&format!(
            "<path class=\"s-sand-edge\" fill=\"none\" stroke-width=\"{}\" d=\"{d}\"/>",
            number(radius * 2.0)
        ));
    }
    out.push_str("</pattern></defs></svg>\n");
    out
}
