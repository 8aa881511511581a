//! The map of a hole as inline SVG: the land once, every case over it.
//!
//! The same drawing as the book's page, with fewer and larger numbers: what
//! stands beside them is told in words below the map. Colours are classes, so
//! that the page's style can turn them dark.

use super::super::book::Chapter;
use super::super::frame::Area;
use super::super::frame::Strip;
use super::super::ground::Ground;
use super::super::labels::{Layout, Line, Request};
use super::super::page::{Lengths, Placed, SMALL, area, view};
use super::super::scene::{self, Anchor, Colour, Fill, Node, Step, Stroke, palette};
use super::super::shot::{self, Sight};
use super::html::escape;
use crate::hole::plane::Plane;
use crate::plan::{LonLat, Plan};

/// The drawing's width and height: 358 pixels of a phone show it at three
/// quarters, which makes the numbers 22 pixels high.
pub const SIZE: [f64; 2] = [480.0, 700.0];
/// The widest the page's style shows it, mm: `max-width` in `page.css`.
pub const WIDEST_MM: f64 = 107.9;
/// A green may be shown at 1:480 at most; the drawing is that much smaller
/// than it is shown at its widest.
pub const LARGEST_SCALE: f64 = 480.0 * WIDEST_MM * 10.0 / SIZE[0];

/// A map, and where its texts stand.
#[derive(Clone, Debug)]
pub struct Map {
    /// SVG text, to stand in HTML.
    pub svg: String,
    /// Where the texts of each case stand, in yards and in metres.
    pub layouts: Vec<[Layout; 2]>,
    /// For each case, from the finish to the pin, m, and to the green's front
    /// and back on that line, where there is one.
    pub left_m: Vec<(f64, Option<[f64; 2]>)>,
}

/// The map of a chapter: the day's case first, then its turns.
#[must_use]
pub fn draw(index: usize, chapter: &Chapter<'_>) -> Map {
    let map = area(0.0, 0.0, SIZE[0], SIZE[1]);
    let plane = Plane::new(chapter.land.origin_lon_lat);
    let cases: Vec<&Plan> = std::iter::once(chapter.plan).chain(chapter.turns).collect();
    let placed: Vec<Placed> = cases
        .iter()
        .map(|plan| {
            Placed::of(plan, &chapter.land, &|p: LonLat| {
                plane.to_plane(p.lon, p.lat)
            })
        })
        .collect();
    let (way, half_m, frame) = view(&placed, &chapter.land, map, LARGEST_SCALE);
    let strip = Strip::new(
        way.iter().map(|&c| frame.place(c)).collect(),
        frame.length(half_m),
    );
    let mut ground = Ground::of(&chapter.land, &frame, &strip);
    let mut pen = Pen {
        hole: index,
        clips: 0,
        out: String::new(),
    };
    let land = Node::Group {
        id: "land",
        clip: Some(strip.outline()),
        nodes: std::mem::take(&mut ground.nodes),
    };
    pen.node(&land);
    let mut layouts = Vec::with_capacity(cases.len());
    for (case, (plan, placed)) in cases.iter().zip(&placed).enumerate() {
        let hidden = if case == 0 { "" } else { " hidden=\"\"" };
        pen.out
            .push_str(&format!("<g class=\"case\" data-case=\"{case}\"{hidden}>"));
        let [yards, metres] = ["yd", "m"].map(|unit| {
            let sight = Sight {
                plan,
                placed,
                frame: &frame,
                strip: &strip,
                lengths: Lengths::of_unit(unit),
            };
            labelled(&sight, &ground, &map, &plane)
        });
        // The shot itself is the same in both.
        pen.nodes(&yards.shot);
        for (class, drawn) in [("yd", &yards), ("m", &metres)] {
            pen.out.push_str(&format!("<g class=\"{class}\">"));
            pen.nodes(&drawn.numbers);
            pen.out.push_str("</g>");
        }
        pen.out.push_str("</g>");
        layouts.push([yards.layout, metres.layout]);
    }
    // Cut to what is seen of the hole: from behind the tee to behind the green.
    let texts = || {
        let all = layouts.iter().flatten();
        all.flat_map(|layout: &Layout| layout.texts.iter().map(|text| text.area))
    };
    let (peg, pin) = (frame.place(placed[0].peg)[1], frame.place(placed[0].pin)[1]);
    let top = texts()
        .map(|area| area.top)
        .fold(pin - frame.length(28.0), f64::min);
    let bottom = texts()
        .map(|area| area.bottom)
        .fold(peg + frame.length(14.0), f64::max);
    let (top, bottom) = ((top - 6.0).max(0.0), (bottom + 6.0).min(SIZE[1]));
    let svg = format!(
        "<svg class=\"map\" role=\"img\" viewBox=\"0 {} {} {}\" data-scale=\"{:.0}\" \
         aria-label=\"Map, green at the top; its numbers stand below in words\">{}</svg>\n",
        number(top),
        SIZE[0],
        number((bottom - top).max(1.0)),
        frame.scale,
        pen.out
    );
    let left_m = placed
        .iter()
        .map(|p| {
            let long = (p.pin.x - p.rest.x).hypot(p.pin.y - p.rest.y);
            (long, p.green_from_rest_m)
        })
        .collect();
    Map {
        svg,
        layouts,
        left_m,
    }
}

/// One case in one unit.
struct Drawn {
    shot: Vec<Node>,
    numbers: Vec<Node>,
    layout: Layout,
}

fn labelled(sight: &Sight<'_>, ground: &Ground, map: &Area, plane: &Plane) -> Drawn {
    let to_plane = |p: LonLat| plane.to_plane(p.lon, p.lat);
    let (mut board, arcs, mut marks) = shot::on_ground(sight, ground, &to_plane);
    // A sample of balls is dust at this size; the regions say it.
    marks.nodes.retain(|node| !is_ball(node));
    for request in marks.requests.iter().filter(|r| r.needed && r.tied) {
        let [x, y] = request.at;
        board.keep_clear(area(x, y, x, y).grown(8.0));
    }
    // The number alone; its words stand below the map, and so do the numbers
    // of hazards for which there is no room.
    for (place, request) in marks.requests.iter().filter(|r| r.needed).enumerate() {
        board.place(&Request {
            lines: request.lines.iter().take(1).cloned().collect(),
            needed: place < 2,
            ..request.clone()
        });
    }
    for request in &arcs.requests {
        board.place(request);
    }
    for (words, at) in &ground.tags {
        let line = Line::new(*words, SMALL, true, palette::STONE);
        board.place(&Request::free(*at, vec![line]));
    }
    let mut numbers = arcs.nodes;
    numbers.extend(board.nodes);
    Drawn {
        shot: marks.nodes,
        numbers,
        layout: Layout {
            page: *map,
            map: *map,
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

/// The tile of dots that all maps of a page share.
#[must_use]
pub fn tile() -> String {
    let mut out = format!(
        "<svg class=\"unseen\" width=\"0\" height=\"0\" aria-hidden=\"true\"><defs>\
         <pattern id=\"dots\" width=\"{0}\" height=\"{0}\" patternUnits=\"userSpaceOnUse\">",
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

/// A number with at most one decimal: a screen has no finer.
fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0" } else { text }.to_owned()
}

/// The class that gives a colour, in light and in dark.
fn class(colour: Colour) -> &'static str {
    match colour {
        palette::PAPER => "paper",
        palette::STONE => "stone",
        palette::MIST => "mist",
        palette::ACCENT => "accent",
        palette::FAIRWAY => "fairway",
        palette::FAIRWAY_EDGE => "fairway-edge",
        palette::GREEN => "green",
        palette::SAND => "sand",
        palette::SAND_EDGE => "sand-edge",
        palette::WOOD => "wood",
        palette::WOOD_EDGE => "wood-edge",
        palette::WATER => "water",
        palette::RED => "red",
        palette::YELLOW => "yellow",
        _ => "ink",
    }
}

struct Pen {
    hole: usize,
    clips: usize,
    out: String,
}

impl Pen {
    fn nodes(&mut self, nodes: &[Node]) {
        for node in nodes {
            self.node(node);
        }
    }

    fn node(&mut self, node: &Node) {
        match node {
            Node::Path {
                steps,
                fill,
                stroke,
            } => {
                if steps.is_empty() {
                    return;
                }
                let rule = if fill.is_some() {
                    " fill-rule=\"evenodd\""
                } else {
                    ""
                };
                let dress = dress(*fill, *stroke);
                self.out
                    .push_str(&format!("<path{dress}{rule} d=\"{}\"/>", trace(steps)));
            }
            Node::Stipple { steps, .. } => {
                if !steps.is_empty() {
                    self.out.push_str(&format!(
                        "<path fill=\"url(#dots)\" fill-rule=\"evenodd\" d=\"{}\"/>",
                        trace(steps)
                    ));
                }
            }
            Node::Circle {
                id,
                at,
                radius,
                fill,
                stroke,
            } => {
                let name = id.map_or_else(String::new, |id| format!(" data-at=\"{id}\""));
                let dress = dress(*fill, *stroke);
                self.out.push_str(&format!(
                    "<circle{dress}{name} cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                    number(at[0]),
                    number(at[1]),
                    number(radius.max(0.0))
                ));
            }
            Node::Text(text) => {
                let anchor = match text.anchor {
                    Anchor::Start => "",
                    Anchor::Middle => " text-anchor=\"middle\"",
                    Anchor::End => " text-anchor=\"end\"",
                };
                let strong = if text.bold { " b" } else { "" };
                let halo = if text.halo { " halo" } else { "" };
                self.out.push_str(&format!(
                    "<text class=\"f-{}{strong}{halo}\" x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}>{}</text>",
                    class(text.colour),
                    number(text.at[0]),
                    number(text.at[1]),
                    number(text.size),
                    escape(&text.words)
                ));
            }
            Node::Group { clip, nodes, .. } => {
                let Some(steps) = clip else {
                    self.nodes(nodes);
                    return;
                };
                self.clips += 1;
                let id = format!("cut-{}-{}", self.hole, self.clips);
                self.out.push_str(&format!(
                    "<clipPath id=\"{id}\"><path d=\"{}\"/></clipPath><g clip-path=\"url(#{id})\">",
                    trace(steps)
                ));
                self.nodes(nodes);
                self.out.push_str("</g>");
            }
        }
    }
}

fn dress(fill: Option<Fill>, stroke: Option<Stroke>) -> String {
    let mut classes = Vec::new();
    let mut more = String::new();
    match fill {
        Some(fill) => {
            classes.push(format!("f-{}", class(fill.colour)));
            if fill.opacity < 1.0 {
                more.push_str(&format!(" fill-opacity=\"{:.2}\"", fill.opacity));
            }
        }
        None => more.push_str(" fill=\"none\""),
    }
    if let Some(stroke) = stroke {
        classes.push(format!("s-{}", class(stroke.colour)));
        more.push_str(&format!(" stroke-width=\"{}\"", number(stroke.width)));
        if let Some([dash, gap]) = stroke.dash {
            more.push_str(&format!(
                " stroke-dasharray=\"{} {}\"",
                number(dash),
                number(gap)
            ));
        }
        if stroke.opacity < 1.0 {
            more.push_str(&format!(" stroke-opacity=\"{:.2}\"", stroke.opacity));
        }
    }
    if classes.is_empty() {
        more
    } else {
        format!(" class=\"{}\"{more}", classes.join(" "))
    }
}

fn trace(steps: &[Step]) -> String {
    let pair = |p: &[f64; 2]| format!("{} {}", number(p[0]), number(p[1]));
    let mut d = String::new();
    for step in steps {
        match step {
            Step::Move(p) => d.push_str(&format!("M{}", pair(p))),
            Step::Line(p) => d.push_str(&format!("L{}", pair(p))),
            Step::Cubic(a, b, c) => {
                d.push_str(&format!("C{} {} {}", pair(a), pair(b), pair(c)));
            }
            Step::Close => d.push('Z'),
        }
    }
    d
}
