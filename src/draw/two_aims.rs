//! A hundred balls, two aims: the same hundred balls with another aim on the left and as planned on
//! the right, on the same land at the same scale.
//!
//! The other aim is the player's own shot where one was asked for, else straight down the middle.
//! What a ball ends in is told by the shape of its mark; the numbers are those of all balls flown.

use super::frame::{Area, Frame, Strip};
use super::ground::Ground;
use super::labels::{Board, Line};
use super::page::{Drawn, Land, MEDIUM, PAGE, READ, area};
use super::panel::{INK_READ, put, rule};
use super::plate::extent;
use super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::sheet::{self, LEFT, RIGHT, TOP};
use super::{numbers, text};
use crate::hole::plane::Plane;
use crate::plan::hundred::Hundred;
use crate::plan::round::hundredths;
use crate::plan::scene::turn_deg;
use crate::plan::sentence::capital;
use crate::plan::why::{cost, is_tie};
use crate::plan::{LonLat, Plan, Shot, own_shot};
use geo::Coord;

/// Round scales of the panels.
const SCALES: [f64; 9] = [
    1_000.0, 1_250.0, 1_500.0, 2_000.0, 2_500.0, 3_000.0, 4_000.0, 5_000.0, 10_000.0,
];
/// Where the panels end, and white inside their neat lines.
const BOTTOM: f64 = 1_310.0;
const WHITE: f64 = 40.0;
/// Balls so far out on each side are not looked for a scale: topped and lost ones.
const OUTER: usize = 3;

/// Aims and pegs nearer to each other than this are one.
const SAME_DEG: f64 = 0.1;
const SAME_M: f64 = 0.1;

/// A shot beside the plan: what it is called, the shot, its balls, what it costs.
struct Other<'a> {
    name: String,
    shot: &'a Shot,
    hundred: &'a Hundred,
    cost: String,
    /// Whether its balls are the plan's.
    is_same_swing: bool,
}

/// The shot on the left: the player's own, else down the middle, else what has a name.
fn other(plan: &Plan) -> Option<Other<'_>> {
    let own = plan.own_shots.iter().find(|own| !own_shot::is_plan(own));
    if let Some(own) = own {
        return Some(Other {
            name: format!("yours: {}", own_shot::shorter(own, plan.unit())),
            shot: &own.shot,
            hundred: &own.page.finishes.hundred,
            cost: cost(own.costs, own.costs_standard_error),
            is_same_swing: own.shot.is_same_swing(&plan.choice.shot),
        });
    }
    // An aim that the plan has, too, would show the same picture twice.
    let aim = |shot: &Shot| (shot.aim.bearing_deg, shot.tee.from_left_marker_m);
    let (planned_deg, planned_m) = aim(&plan.choice.shot);
    let named = plan.comparisons.iter().filter(|other| {
        let (bearing_deg, from_left_m) = aim(&other.shot);
        turn_deg(bearing_deg - planned_deg).abs() >= SAME_DEG
            || (from_left_m - planned_m).abs() >= SAME_M
            || !is_tie(other.costs, other.costs_standard_error)
    });
    let middle = named.clone().find(|other| other.name == "down the middle");
    let other = middle.or_else(|| named.clone().next())?;
    Some(Other {
        name: other.name.clone(),
        shot: &other.shot,
        hundred: &other.hundred,
        cost: cost(other.costs, other.costs_standard_error),
        is_same_swing: true,
    })
}

/// The mark of a ball by what it ends in.
fn mark(end: &str, [x, y]: Point) -> Node {
    let violet = Stroke::of(palette::ACCENT, 2.2);
    let ink = Stroke::of(palette::INK, 2.2);
    let shape = |points: &[Point], stroke| Node::Path {
        steps: scene::ring(points),
        fill: Some(Fill::of(palette::PAPER)),
        stroke: Some(stroke),
    };
    match end {
        "fairway" | "green" => scene::disc([x, y], 5.0, palette::ACCENT, None),
        "rough" => scene::disc([x, y], 4.6, palette::PAPER, Some(violet)),
        "bunker" => shape(
            &[
                [x - 4.6, y - 4.6],
                [x + 4.6, y - 4.6],
                [x + 4.6, y + 4.6],
                [x - 4.6, y + 4.6],
            ],
            ink,
        ),
        "trees" => shape(&[[x, y - 6.6], [x + 6.0, y + 4.4], [x - 6.0, y + 4.4]], ink),
        _ => {
            let mut steps = scene::polyline(&[[x - 5.6, y - 5.6], [x + 5.6, y + 5.6]]);
            steps.extend(scene::polyline(&[[x - 5.6, y + 5.6], [x + 5.6, y - 5.6]]));
            Node::Path {
                steps,
                fill: None,
                stroke: Some(Stroke::of(palette::INK, 3.2)),
            }
        }
    }
}

/// Places on the plane: of a hundred balls, those that are places.
fn places(hundred: &Hundred, plane: &dyn Fn(LonLat) -> Coord<f64>) -> Vec<(Coord<f64>, usize)> {
    let all = hundred.at.iter().enumerate().map(|(k, &at)| (plane(at), k));
    all.filter(|(at, _)| at.x.abs() < 5_000.0 && at.y.abs() < 5_000.0)
        .collect()
}

/// Left, right, low and high of balls but for the outermost.
fn core(balls: &[Coord<f64>], peg: Coord<f64>, up_deg: f64) -> Option<[f64; 4]> {
    let each = balls.iter().filter_map(|&at| extent(&[at], peg, up_deg));
    let (mut right, mut ahead): (Vec<f64>, Vec<f64>) = each.map(|e| (e[0], e[2])).unzip();
    right.sort_by(f64::total_cmp);
    ahead.sort_by(f64::total_cmp);
    let out = OUTER.min(right.len().saturating_sub(1) / 2);
    let ends = |all: &[f64]| Some([*all.get(out)?, *all.get(all.len().checked_sub(1 + out)?)?]);
    let ([left, right], [low, high]) = (ends(&right)?, ends(&ahead)?);
    Some([left, right, low, high])
}

/// One scale and one piece of land for both panels.
fn frames(panels: [Area; 2], all: [f64; 4], peg: Coord<f64>, up_deg: f64) -> [Frame; 2] {
    let [left, right, low, high] = all;
    let fits = |scale: &f64| {
        let on_paper = |metres: f64| metres * 10_000.0 / scale;
        on_paper(right - left) <= panels[0].width() - 2.0 * WHITE
            && on_paper(high - low) <= panels[0].height() - 2.0 * WHITE
    };
    let scale = SCALES.into_iter().find(fits);
    let scale = scale.unwrap_or(SCALES[SCALES.len() - 1]);
    let (x, y) = ((left + right) / 2.0, (low + high) / 2.0);
    let (sin, cos) = up_deg.to_radians().sin_cos();
    let middle = Coord {
        x: peg.x + x * cos + y * sin,
        y: peg.y - x * sin + y * cos,
    };
    panels.map(|panel| Frame::at_scale(panel, middle, up_deg, scale))
}

/// One panel: the land, the aim, the balls, the usual ball; and how many balls lie outside it.
fn panel(
    frame: &Frame,
    land: &Land<'_>,
    shot: &Shot,
    hundred: &Hundred,
    plane: &dyn Fn(LonLat) -> Coord<f64>,
) -> (Vec<Node>, usize) {
    let strip = Strip::filling(&frame.area);
    let mut nodes = Ground::of(land, frame, &strip).nodes;
    let tee = LonLat {
        lon: shot.tee.lon,
        lat: shot.tee.lat,
    };
    let peg = frame.place(plane(tee));
    let way = frame.direction(shot.aim.bearing_deg);
    let long = frame.length(shot.aim.distance_m.clamp(1.0, 600.0).max(shot.carry_m));
    let end = [peg[0] + way[0] * long, peg[1] + way[1] * long];
    let aim = frame.area.part_of(peg, end);
    if let Some([from, to]) = aim.filter(|ends| ends.iter().flatten().all(|v| v.is_finite())) {
        nodes.push(scene::line(from, to, Stroke::of(palette::PAPER, 6.5)));
        let dashed = Stroke::of(palette::ACCENT, 2.8).dashed(22.0, 9.0);
        nodes.push(scene::line(from, to, dashed));
        if frame.area.grown(-14.0).holds(end) {
            for (colour, width) in [(palette::PAPER, 7.0), (palette::ACCENT, 3.4)] {
                nodes.push(Node::Circle {
                    id: None,
                    at: end,
                    radius: 11.0,
                    fill: None,
                    stroke: Some(Stroke::of(colour, width)),
                });
            }
        }
    }
    let mut outside = 0;
    for (at, k) in places(hundred, plane) {
        let at = frame.place(at);
        if frame.area.grown(-4.0).holds(at) {
            let end = hundred.ends.get(k).copied().unwrap_or("rough");
            nodes.push(mark(end, at));
        } else {
            outside += 1;
        }
    }
    let ball = frame.place(plane(shot.rest));
    if frame.area.holds(ball) {
        let rim = Some(Stroke::of(palette::PAPER, 3.0));
        nodes.push(scene::disc(ball, 11.0, palette::ACCENT, rim));
    }
    (nodes, outside)
}

/// Under both panels: what the balls of each end in, beside the mark.
fn counts(board: &mut Board, shots: [&Shot; 2], par: u8, edges: [f64; 2], top: f64) -> f64 {
    let each = shots.map(|shot| numbers::parts(&shot.finish, par));
    let [left, right] = each.map(|parts| hundredths(&parts.map(|part| part.1)));
    let keys = [
        "fairway", "green", "rough", "bunker", "trees", "penalty", "lost",
    ];
    let mut y = top;
    let middle = (edges[0] + edges[1]) / 2.0;
    let others = left.into_iter().zip(right);
    for (k, (one, two)) in others.enumerate().filter(|(_, (a, b))| a + b > 0) {
        // Marks and words in the middle, numbers on the side of their panel.
        let name = each[0][k].0;
        let wide = text::width(name, READ, false) + 26.0;
        let at = middle - wide / 2.0;
        board.nodes.push(mark(keys[k], [at + 6.0, y - 9.0]));
        put(board, name, INK_READ, [at + 26.0, y], Anchor::Start, 300.0);
        // The better number is bold: more of what is mown, less of all else.
        let is_better = |own: u32, other: u32| match keys[k] {
            "fairway" | "green" => own > other,
            _ => own < other,
        };
        for (count, other, x) in [(one, two, edges[0]), (two, one, edges[1])] {
            let style = (MEDIUM, is_better(count, other), palette::INK);
            put(
                board,
                &count.to_string(),
                style,
                [x, y],
                Anchor::Middle,
                90.0,
            );
        }
        y += 36.0;
    }
    y
}

/// The picture; none where nothing else stands beside the plan.
#[must_use]
pub fn lay_out(plan: &Plan, land: &Land<'_>) -> Option<Drawn> {
    let other = other(plan)?;
    let plane = Plane::new(land.origin_lon_lat);
    let to_plane = |p: LonLat| plane.to_plane(p.lon, p.lat);
    let pair = Pair::of(plan, &other, &to_plane)?;
    let mut board = Board::new(area(0.0, 0.0, PAGE[0], PAGE[1]), |_| 0.0);
    let under = if other.is_same_swing {
        "the same hundred balls, two aims"
    } else {
        "a hundred balls each"
    };
    sheet::head(&mut board, plan, [LEFT, RIGHT], under);
    let mut nodes = Vec::new();
    let mut outside = [0; 2];
    for (k, side) in pair.sides.iter().enumerate() {
        let frame = &pair.frames[k];
        let (drawn, out) = panel(frame, land, side.shot, side.hundred, &to_plane);
        outside[k] = out;
        nodes.extend(sheet::cut_to("balls", &frame.area, drawn));
        side.write_head(&mut board, &frame.area);
    }
    pair.write_scale(&mut board);
    let y = pair.write_counts(&mut board, plan.hole.par);
    write_legend(&mut board, plan, outside, y);
    let title = format!(
        "Hole {}: a hundred balls, {} and as planned",
        text::clean(&plan.hole.reference),
        text::clean(&other.name)
    );
    let map = area(LEFT, pair.frames[0].area.top, RIGHT, BOTTOM);
    let scale = pair.frames[0].scale;
    Some(sheet::finish(title, PAGE[1], nodes, board, (map, scale)))
}

/// What one panel shows.
struct Side<'a> {
    name: &'a str,
    shot: &'a Shot,
    hundred: &'a Hundred,
    /// What it costs beside the plan; none of the plan itself.
    cost: Option<&'a str>,
}

/// The other shot on the left and the plan on the right, on the same land at one scale.
struct Pair<'a> {
    sides: [Side<'a>; 2],
    frames: [Frame; 2],
}

impl<'a> Pair<'a> {
    /// None where the plan's own places are none on the hole.
    fn of(
        plan: &'a Plan,
        other: &'a Other<'a>,
        to_plane: &dyn Fn(LonLat) -> Coord<f64>,
    ) -> Option<Self> {
        let shot = &plan.choice.shot;
        let peg = to_plane(LonLat {
            lon: shot.tee.lon,
            lat: shot.tee.lat,
        });
        let up_deg = shot.aim.bearing_deg;
        if !(peg.x.abs() < 5_000.0 && peg.y.abs() < 5_000.0 && up_deg.abs() < 1e4) {
            return None;
        }
        let sides = [
            Side {
                name: &other.name,
                shot: other.shot,
                hundred: other.hundred,
                cost: Some(&other.cost),
            },
            Side {
                name: "the plan",
                shot,
                hundred: &plan.finishes.hundred,
                cost: None,
            },
        ];
        let balls = sides.iter().flat_map(|side| places(side.hundred, to_plane));
        let all: Vec<Coord<f64>> = balls.map(|ball| ball.0).collect();
        let all = core(&all, peg, up_deg)?;
        let middle = PAGE[0] / 2.0;
        let panels = [
            area(LEFT, TOP + 76.0, middle - 10.0, BOTTOM),
            area(middle + 10.0, TOP + 76.0, RIGHT, BOTTOM),
        ];
        Some(Self {
            sides,
            frames: frames(panels, all, peg, up_deg),
        })
    }

    fn write_scale(&self, board: &mut Board) {
        let scale = format!("1:{:.0}", self.frames[0].scale);
        let at = [self.frames[0].area.left + 10.0, BOTTOM - 12.0];
        let line = Line::new(scale, READ, false, palette::INK);
        board.write(&line, at, Anchor::Start, true);
    }

    /// What the balls of each side end in, and a rule below; where the page goes on.
    fn write_counts(&self, board: &mut Board, par: u8) -> f64 {
        let middles = [0, 1].map(|k| {
            let panel = &self.frames[k].area;
            (panel.left + panel.right) / 2.0
        });
        let shots = [self.sides[0].shot, self.sides[1].shot];
        let y = counts(board, shots, par, middles, BOTTOM + 48.0);
        let mist = Stroke::of(palette::MIST, 2.0);
        rule(board, &area(LEFT, 0.0, RIGHT, 0.0), y - 18.0, mist);
        y + 16.0
    }
}

impl Side<'_> {
    /// Above the panel: the name, the strokes, and what the shot costs.
    fn write_head(&self, board: &mut Board, panel: &Area) {
        let (left, room) = (panel.left, panel.width());
        let strong = (MEDIUM, true, palette::INK);
        let name = capital(self.name);
        let at = [left, TOP + 30.0];
        put(board, &name, strong, at, Anchor::Start, room);
        let strokes = format!("{:.2} strokes", self.shot.expected_strokes);
        let words = match self.cost {
            Some(cost) => format!("{strokes}, {cost}"),
            None => strokes,
        };
        let style = (READ, false, palette::INK);
        let at = [left, TOP + 62.0];
        put(board, &words, style, at, Anchor::Start, room);
    }
}

/// What numbers and marks mean, and how many balls end outside either panel.
fn write_legend(board: &mut Board, plan: &Plan, outside: [usize; 2], y: f64) {
    let mut words = format!(
        "Numbers: of 100, from all {} balls flown of each; the pictures show a hundred of them. \
         Large dot: the usual ball. Dashed: the aim.",
        plan.conditions.balls
    );
    if outside != [0, 0] {
        let [left, right] = outside;
        words.push_str(&format!(
            " Outside the picture end {left} on the left and {right} on the right."
        ));
    }
    let style = (READ, false, palette::STONE);
    sheet::paragraph(board, &words, style, [LEFT, y], RIGHT - LEFT, 5);
}
