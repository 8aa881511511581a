//! The land: surfaces, trees, stakes, and what each costs a label to cover.

use super::frame::{Area, Frame, Strip, to_segment};
use super::page::Land;
use super::scene::{self, Fill, Node, Point, Step, Stroke, jitter, palette};
use crate::hole::{Patch, Surface};
use geo::{Coord, Intersects, LineString};

/// How strong another hole's land is drawn, without its edge.
const TINT: f64 = 0.4;

/// A surface's outline on paper: outer ring first, then its holes.
struct Shape {
    surface: Surface,
    assumed: bool,
    /// False for what belongs to another hole.
    is_own: bool,
    rings: Vec<Vec<Point>>,
    box_: Area,
}

/// The land as drawn.
pub struct Ground {
    /// Drawn lowest, cut to the strip.
    pub nodes: Vec<Node>,
    /// True when something on it is assumed and not mapped.
    pub assumed: bool,
    /// A tag for each kind of marked area in sight: its text and a place.
    pub tags: Vec<(&'static str, Point)>,
    shapes: Vec<Shape>,
}

impl Ground {
    /// Draws the hole's patches and trees which lie on the strip.
    #[must_use]
    pub fn of(hole: &Land<'_>, frame: &Frame, strip: &Strip) -> Self {
        let shapes: Vec<Shape> = hole
            .patches
            .iter()
            .filter_map(|p| shape(p, hole.line_of_play, frame))
            .collect();
        let mut nodes = Vec::new();
        let mut marks = Vec::new();
        let mut tags: Vec<(&'static str, Point)> = Vec::new();
        for shape in &shapes {
            shape.draw(frame, strip, &mut nodes, &mut marks);
            if let Some(words) = tag(shape.surface)
                && let Some(place) = shape.seat(&frame.area, strip)
                && tags.iter().filter(|t| t.0 == words).count() < 2
            {
                tags.push((words, place));
            }
        }
        let mut trees: Vec<(Point, f64)> = hole
            .trees
            .iter()
            .map(|t| {
                (
                    frame.place(t.at),
                    frame.length(t.crown_m / 2.0).clamp(7.0, 40.0),
                )
            })
            .filter(|(p, r)| frame.area.grown(-r).holds(*p) && strip.holds(*p, *r))
            .collect();
        trees.sort_by(|a, b| a.0[1].total_cmp(&b.0[1]));
        for (at, radius) in trees {
            crown(at, radius, &mut nodes);
            nodes.push(scene::disc(at, 1.8, palette::WOOD_EDGE, None));
        }
        nodes.append(&mut marks);
        let assumed = shapes
            .iter()
            .any(|s| s.assumed && s.surface != Surface::Rough && s.in_sight(strip));
        Self {
            nodes,
            assumed,
            tags,
            shapes,
        }
    }

    /// The edges of what a number is about, for labels to keep off.
    pub fn edges(&self) -> impl Iterator<Item = &[Point]> {
        self.shapes
            .iter()
            .filter(|s| {
                !matches!(
                    s.surface,
                    Surface::Rough | Surface::Trees | Surface::Fairway
                )
            })
            .flat_map(|s| s.rings.iter().map(Vec::as_slice))
    }

    /// How much it hurts to print over a point: nothing on paper, most on what
    /// a number is about.
    #[must_use]
    pub fn weight_at(&self, p: Point, strip: &Strip) -> f64 {
        if !strip.holds(p, 0.0) {
            return 0.0;
        }
        self.shapes
            .iter()
            .rev()
            .find(|s| s.box_.holds(p) && inside(&s.rings, p))
            .map_or(0.1, |s| match s.surface {
                Surface::Rough => 0.1,
                Surface::Fairway => 1.3,
                Surface::Trees => 1.2,
                Surface::OutOfBounds => 0.5,
                Surface::PenaltyRed | Surface::PenaltyYellow => 2.0,
                Surface::Tee => 2.0,
                Surface::Bunker => 3.0,
                Surface::Green => 3.5,
            })
    }
}

fn tag(surface: Surface) -> Option<&'static str> {
    match surface {
        Surface::PenaltyRed => Some("RED"),
        Surface::PenaltyYellow => Some("YELLOW"),
        Surface::OutOfBounds => Some("OB"),
        _ => None,
    }
}

fn shape(patch: &Patch, line_of_play: &[Coord<f64>], frame: &Frame) -> Option<Shape> {
    let mut rings = Vec::new();
    let mut box_ = Area {
        left: f64::MAX,
        top: f64::MAX,
        right: f64::MIN,
        bottom: f64::MIN,
    };
    for ring in std::iter::once(patch.outline.exterior()).chain(patch.outline.interiors()) {
        let points: Vec<Point> = ring.0.iter().map(|&c| frame.place(c)).collect();
        if points.len() < 3 || points.iter().flatten().any(|v| !v.is_finite()) {
            if rings.is_empty() {
                return None;
            }
            continue;
        }
        for p in &points {
            box_.left = box_.left.min(p[0]);
            box_.right = box_.right.max(p[0]);
            box_.top = box_.top.min(p[1]);
            box_.bottom = box_.bottom.max(p[1]);
        }
        rings.push(points);
    }
    (!rings.is_empty() && box_.overlaps(&frame.area)).then_some(Shape {
        surface: patch.surface,
        assumed: patch.assumed,
        is_own: is_own(patch, line_of_play),
        rings,
        box_,
    })
}

/// How near the line of play comes to what belongs to its hole, m; none for what all
/// holes share.
fn own_within_m(surface: Surface) -> Option<f64> {
    match surface {
        Surface::Fairway | Surface::Green => Some(12.0),
        Surface::Tee => Some(25.0),
        Surface::Bunker => Some(60.0),
        Surface::Rough
        | Surface::Trees
        | Surface::PenaltyRed
        | Surface::PenaltyYellow
        | Surface::OutOfBounds => None,
    }
}

/// Whether a patch belongs to the hole and not to another.
fn is_own(patch: &Patch, line_of_play: &[Coord<f64>]) -> bool {
    let Some(within_m) = own_within_m(patch.surface) else {
        return true;
    };
    let line = LineString::new(line_of_play.to_vec());
    if line_of_play.len() < 2 || patch.outline.intersects(&line) {
        return true;
    }
    let off_m = |c: &Coord<f64>| {
        line_of_play
            .windows(2)
            .map(|leg| to_segment([c.x, c.y], [leg[0].x, leg[0].y], [leg[1].x, leg[1].y]))
            .fold(f64::MAX, f64::min)
    };
    patch
        .outline
        .exterior()
        .coords()
        .any(|c| off_m(c) <= within_m)
}

/// Even-odd test.
pub(super) fn inside(rings: &[Vec<Point>], p: Point) -> bool {
    let mut odd = false;
    for ring in rings {
        let mut last = ring[ring.len() - 1];
        for &next in ring {
            if (next[1] > p[1]) != (last[1] > p[1])
                && p[0] < (last[0] - next[0]) * (p[1] - next[1]) / (last[1] - next[1]) + next[0]
            {
                odd = !odd;
            }
            last = next;
        }
    }
    odd
}

fn crown(at: Point, radius: f64, nodes: &mut Vec<Node>) {
    nodes.push(scene::disc(
        at,
        radius,
        palette::WOOD,
        Some(Stroke::of(palette::WOOD_EDGE, 1.5)),
    ));
}

impl Shape {
    fn steps(&self) -> Vec<Step> {
        self.rings.iter().flat_map(|r| scene::ring(r)).collect()
    }

    fn in_sight(&self, strip: &Strip) -> bool {
        self.rings.iter().flatten().any(|p| strip.holds(*p, 0.0))
    }

    /// Places of a jittered lattice inside the shape, on the strip and in the
    /// frame, from the top of the page down.
    fn lattice(&self, area: &Area, strip: &Strip, pitch: f64, margin: f64) -> Vec<(Point, f64)> {
        let row = pitch * 0.8;
        let first = |low: f64, step: f64| (low / step).floor() as i64;
        let (top, bottom) = (
            self.box_.top.max(area.top),
            self.box_.bottom.min(area.bottom),
        );
        let (left, right) = (
            self.box_.left.max(area.left),
            self.box_.right.min(area.right),
        );
        let mut out = Vec::new();
        for j in first(top, row)..=first(bottom, row) {
            for i in first(left, pitch)..=first(right, pitch) {
                let shift = if j.rem_euclid(2) == 0 { 0.0 } else { 0.5 };
                let p = [
                    (i as f64 + shift + 0.5 * (jitter(i, j, 1) - 0.5)) * pitch,
                    (j as f64 + 0.5 * (jitter(i, j, 2) - 0.5)) * row,
                ];
                if area.grown(-margin).holds(p) && strip.holds(p, margin) && inside(&self.rings, p)
                {
                    out.push((p, jitter(i, j, 3)));
                }
            }
        }
        out.sort_by(|a, b| a.0[1].total_cmp(&b.0[1]));
        out
    }

    fn hatch(&self, area: &Area, pitch: f64, angle_deg: f64) -> Vec<Step> {
        hatch(&self.rings, area, pitch, angle_deg)
    }

    /// Points every `pitch` along the edges, where they are in sight.
    fn stakes(&self, area: &Area, strip: &Strip, pitch: f64) -> Vec<Point> {
        let mut out = Vec::new();
        let area = area.grown(-8.0);
        for ring in &self.rings {
            let mut due = pitch / 2.0;
            let closed = ring.iter().chain(ring.first());
            let mut last: Option<Point> = None;
            for &next in closed {
                if let Some(from) = last {
                    // A far edge is skipped whole: it may be kilometres long.
                    let Some([a, b]) = area.part_of(from, next) else {
                        last = Some(next);
                        continue;
                    };
                    let length = scene::distance(a, b);
                    while due < length {
                        let p = scene::towards(a, b, due);
                        if strip.holds(p, 6.0) {
                            out.push(p);
                        }
                        due += pitch;
                    }
                    due -= length;
                }
                last = Some(next);
            }
        }
        out
    }

    /// A place well inside the shape, in sight.
    fn seat(&self, area: &Area, strip: &Strip) -> Option<Point> {
        let spots = self.lattice(area, strip, 28.0, 14.0);
        if spots.is_empty() {
            return None;
        }
        let count = spots.len() as f64;
        let mean = spots.iter().fold([0.0, 0.0], |m, (p, _)| {
            [m[0] + p[0] / count, m[1] + p[1] / count]
        });
        spots
            .iter()
            .map(|s| s.0)
            .min_by(|a, b| scene::distance(*a, mean).total_cmp(&scene::distance(*b, mean)))
    }

    fn draw(&self, frame: &Frame, strip: &Strip, nodes: &mut Vec<Node>, marks: &mut Vec<Node>) {
        let area = &frame.area;
        let steps = self.steps();
        let edge = |colour, width| {
            let stroke = Stroke::of(colour, width);
            Some(if self.assumed {
                stroke.dashed(7.0, 6.0)
            } else {
                stroke
            })
        };
        let mut area_of = |fill: Fill, stroke: Option<Stroke>| {
            let tinted = Fill {
                opacity: fill.opacity * TINT,
                ..fill
            };
            nodes.push(Node::Path {
                steps: steps.clone(),
                fill: Some(if self.is_own { fill } else { tinted }),
                stroke: stroke.filter(|_| self.is_own),
            });
        };
        match self.surface {
            Surface::Rough => {}
            Surface::Tee => area_of(Fill::of(palette::GREEN), edge(palette::WOOD_EDGE, 1.2)),
            Surface::Fairway => {
                area_of(Fill::of(palette::FAIRWAY), edge(palette::FAIRWAY_EDGE, 1.8));
            }
            Surface::Green => area_of(Fill::of(palette::GREEN), edge(palette::INK, 2.2)),
            Surface::Bunker => {
                area_of(Fill::of(palette::SAND), edge(palette::SAND_EDGE, 2.2));
                if self.is_own {
                    nodes.push(Node::Stipple {
                        steps: steps.clone(),
                        colour: palette::SAND_EDGE,
                    });
                }
            }
            Surface::Trees => {
                for (at, size) in self.lattice(area, strip, 21.0, 14.0) {
                    crown(at, 10.0 + 5.0 * size, nodes);
                }
                if self.assumed {
                    marks.push(path(&steps, edge(palette::WOOD_EDGE, 1.8)));
                }
            }
            Surface::PenaltyRed | Surface::PenaltyYellow => {
                area_of(Fill::of(palette::WATER), None);
                nodes.push(Node::Path {
                    steps: self.hatch(area, 13.0, 0.0),
                    fill: None,
                    stroke: Some(Stroke::of(palette::STONE, 1.0).dashed(16.0, 9.0)),
                });
                let red = self.surface == Surface::PenaltyRed;
                if red {
                    marks.push(path(&steps, edge(palette::RED, 5.0)));
                } else {
                    marks.push(path(&steps, edge(palette::INK, 7.0)));
                    marks.push(path(&steps, Some(Stroke::of(palette::YELLOW, 4.6))));
                }
                for p in self.stakes(area, strip, 52.0) {
                    if red {
                        marks.push(scene::disc(
                            p,
                            6.0,
                            palette::RED,
                            Some(Stroke::of(palette::PAPER, 1.4)),
                        ));
                    } else {
                        marks.push(diamond(p, 8.5));
                    }
                }
            }
            Surface::OutOfBounds => {
                nodes.push(Node::Path {
                    steps: self.hatch(area, 19.0, -45.0),
                    fill: None,
                    stroke: Some(Stroke::of(palette::MIST, 1.3)),
                });
                marks.push(path(&steps, edge(palette::INK, 5.4)));
                marks.push(path(&steps, Some(Stroke::of(palette::PAPER, 3.0))));
                for p in self.stakes(area, strip, 62.0) {
                    marks.push(Node::Path {
                        steps: scene::rectangle(p[0] - 5.0, p[1] - 5.0, 10.0, 10.0),
                        fill: Some(Fill::of(palette::PAPER)),
                        stroke: Some(Stroke::of(palette::INK, 2.0)),
                    });
                }
            }
        }
    }
}

/// Lines through a shape (even-odd rule), `pitch` apart, at an angle to the page.
pub fn hatch(rings: &[Vec<Point>], area: &Area, pitch: f64, angle_deg: f64) -> Vec<Step> {
    let (sin, cos) = angle_deg.to_radians().sin_cos();
    let turn = |p: Point| [p[0] * cos + p[1] * sin, p[1] * cos - p[0] * sin];
    let back = |p: Point| [p[0] * cos - p[1] * sin, p[0] * sin + p[1] * cos];
    let rings: Vec<Vec<Point>> = rings
        .iter()
        .filter(|ring| !ring.is_empty())
        .map(|r| r.iter().map(|&p| turn(p)).collect())
        .collect();
    let corners = [
        turn([area.left, area.top]),
        turn([area.right, area.top]),
        turn([area.left, area.bottom]),
        turn([area.right, area.bottom]),
    ];
    let of = |points: &mut dyn Iterator<Item = &Point>| {
        points.fold((f64::MAX, f64::MIN), |(a, b), p| (a.min(p[1]), b.max(p[1])))
    };
    let (page_low, page_high) = of(&mut corners.iter());
    let (low, high) = of(&mut rings.iter().flatten());
    let (low, high) = (low.max(page_low), high.min(page_high));
    let mut steps = Vec::new();
    let mut k = (low / pitch).ceil() as i64;
    while k as f64 * pitch <= high {
        let y = k as f64 * pitch;
        let mut cuts = Vec::new();
        for ring in &rings {
            let mut last = ring[ring.len() - 1];
            for &next in ring {
                if (next[1] > y) != (last[1] > y) {
                    cuts.push(last[0] + (next[0] - last[0]) * (y - last[1]) / (next[1] - last[1]));
                }
                last = next;
            }
        }
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.chunks_exact(2) {
            if let Some([a, b]) = area.part_of(back([pair[0], y]), back([pair[1], y])) {
                steps.extend([Step::Move(a), Step::Line(b)]);
            }
        }
        k += 1;
    }
    steps
}

fn path(steps: &[Step], stroke: Option<Stroke>) -> Node {
    Node::Path {
        steps: steps.to_vec(),
        fill: None,
        stroke,
    }
}

fn diamond(p: Point, r: f64) -> Node {
    Node::Path {
        steps: scene::ring(&[
            [p[0], p[1] - r],
            [p[0] + r, p[1]],
            [p[0], p[1] + r],
            [p[0] - r, p[1]],
        ]),
        fill: Some(Fill::of(palette::YELLOW)),
        stroke: Some(Stroke::of(palette::INK, 1.8)),
    }
}
