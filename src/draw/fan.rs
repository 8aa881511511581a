//! The bag fan: all clubs on one field at one scale, as seen from above.
//!
//! Each club has two legs: the start line from the tee, in ink, and from its end square to it the
//! bend, in violet, to where the usual ball lands. Legs are as thick as shots are logged, and broken
//! where these are few. The regions hold half of the balls and nine in ten. Beside another report
//! the fan shows what changed: what was before in grey, an arrow from there to now.

use super::frame::Area;
use super::labels::{Board, Line};
use super::page::{Drawn, LARGE, MEDIUM, READ, area};
use super::panel::{put, rule};
use super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::sheet;
use super::text;
use crate::plan::sentence::{capital, club};
use crate::player::Handedness;
use crate::player::words::{ClubReport, ShapeReport, bends};
use crate::units::LengthUnit;

/// A4.
const PAGE: [f64; 2] = [2_100.0, 2_970.0];
const LEFT: f64 = 110.0;
const RIGHT: f64 = PAGE[0] - 110.0;
/// The field between its columns of labels.
const FIELD: Area = Area {
    left: 600.0,
    top: 300.0,
    right: PAGE[0] - 600.0,
    bottom: 2_760.0,
};
/// Round scales.
const SCALES: [f64; 8] = [
    500.0, 750.0, 1_000.0, 1_250.0, 1_500.0, 2_000.0, 2_500.0, 5_000.0,
];
/// Fewer shots than this are early days: their legs are broken.
const FEW: usize = 20;
/// A label's height, and white between two.
const HIGH: f64 = 70.0;
const APART: f64 = 12.0;
/// Moved less than this, a club has no arrow, m.
const MOVED_M: f64 = 1.0;

/// Where a club's balls land and where its start line ends, right and ahead, m.
struct Legs<'a> {
    club: &'a ClubReport,
    landing: Point,
    /// None where start and bend cannot be told apart.
    corner: Option<Point>,
}

impl<'a> Legs<'a> {
    fn of(club: &'a ClubReport) -> Option<Self> {
        let side_m = club.side_m.value;
        let ahead_m = (club.carry_m.value.powi(2) - side_m.powi(2))
            .max(0.0)
            .sqrt();
        let centre = club.region.as_ref().map(|region| region.centre_m);
        let landing = centre.unwrap_or([side_m, ahead_m]);
        let is_place = landing.iter().all(|v| v.is_finite() && v.abs() < 1_000.0);
        let corner = club.start_deg.zip(club.curve_m).map(|(start, curve)| {
            let (sin, cos) = start.value.to_radians().sin_cos();
            [
                landing[0] - curve.value * cos,
                landing[1] + curve.value * sin,
            ]
        });
        let corner = corner.filter(|at| at.iter().all(|v| v.is_finite()));
        (is_place && landing[1] > 1.0).then_some(Self {
            club,
            landing,
            corner,
        })
    }

    /// How thick its legs are.
    fn thick(&self) -> f64 {
        1.6 + 0.62 * (self.club.shots.min(120) as f64).sqrt()
    }

    fn stroke(&self, colour: scene::Colour) -> Stroke {
        let stroke = Stroke::of(colour, self.thick());
        if self.club.shots < FEW {
            stroke.dashed(14.0, 10.0)
        } else {
            stroke
        }
    }
}

/// The field on paper, the tee at its foot.
struct Paper {
    scale: f64,
}

impl Paper {
    fn of(legs: &[Legs<'_>]) -> Self {
        let edges = legs.iter().flat_map(|legs| {
            let region = legs.club.region.as_ref();
            let edge = region.map(|region| region.edge(1, 24)).unwrap_or_default();
            edge.into_iter().chain([legs.landing])
        });
        let (wide, long) = edges.fold((1.0, 1.0), |(wide, long): (f64, f64), [x, y]| {
            (wide.max(x.abs()), long.max(y))
        });
        let fits = |scale: &f64| {
            let on_paper = |metres: f64| metres * 10_000.0 / scale;
            on_paper(wide) <= FIELD.width() / 2.0 && on_paper(long) <= FIELD.height()
        };
        let scale = SCALES.into_iter().find(fits);
        Self {
            scale: scale.unwrap_or(SCALES[SCALES.len() - 1]),
        }
    }

    fn at(&self, [right_m, ahead_m]: Point) -> Point {
        let per_m = 10_000.0 / self.scale;
        [
            PAGE[0] / 2.0 + right_m * per_m,
            FIELD.bottom - ahead_m * per_m,
        ]
    }
}

fn path(steps: Vec<scene::Step>, fill: Option<Fill>, stroke: Option<Stroke>) -> Node {
    Node::Path {
        steps,
        fill,
        stroke,
    }
}

/// Arcs every 50 from the tee with their numbers, and the aim.
fn field(board: &mut Board, paper: &Paper, unit: LengthUnit) {
    let every_m = 50.0 / unit.of(1.0);
    let stroke = Stroke::of(palette::STONE, 1.2).dashed(1.0, 9.0);
    let foot = paper.at([0.0, 0.0]);
    for k in 1..20 {
        let long = foot[1] - paper.at([0.0, f64::from(k) * every_m])[1];
        if long > FIELD.height() {
            break;
        }
        let reach = (FIELD.width() / 2.0 / long).min(1.0).asin();
        let arc: Vec<Point> = (-30..=30)
            .map(|step| {
                let (sin, cos) = (reach * f64::from(step) / 30.0).sin_cos();
                [foot[0] + long * sin, foot[1] - long * cos]
            })
            .collect();
        board
            .nodes
            .push(path(scene::polyline(&arc), None, Some(stroke)));
        let words = Line::new((k * 50).to_string(), READ, false, palette::STONE);
        let written = board.write(
            &words,
            [foot[0] + 8.0, foot[1] - long + 9.0],
            Anchor::Start,
            true,
        );
        board.keep_clear(written);
    }
    let aim = Stroke::of(palette::INK, 1.6).dashed(18.0, 12.0);
    board
        .nodes
        .push(scene::line(foot, [foot[0], FIELD.top - 20.0], aim));
    let words = Line::new("aim", READ, true, palette::INK);
    board.write(&words, [foot[0], FIELD.top - 32.0], Anchor::Middle, true);
    board.nodes.push(scene::disc(foot, 9.0, palette::INK, None));
}

/// A club's regions, then its legs and the ball.
fn club_on(paper: &Paper, legs: &Legs<'_>, nodes: &mut Vec<Node>) {
    let fill = |opacity| {
        Some(Fill {
            colour: palette::ACCENT,
            opacity,
        })
    };
    if let Some(region) = &legs.club.region {
        let edge = |which| {
            let points = region.edge(which, 72);
            let points: Vec<Point> = points.into_iter().map(|at| paper.at(at)).collect();
            scene::ring(&points)
        };
        let thin = Stroke::of(palette::ACCENT, 1.3);
        nodes.push(path(edge(1), fill(0.05), Some(thin.dashed(9.0, 7.0))));
        nodes.push(path(edge(0), fill(0.14), Some(thin)));
    }
    let (tee, landing) = (paper.at([0.0, 0.0]), paper.at(legs.landing));
    if let Some(corner) = legs.corner.map(|at| paper.at(at)) {
        nodes.push(scene::line(tee, corner, legs.stroke(palette::INK)));
        nodes.push(scene::line(corner, landing, legs.stroke(palette::ACCENT)));
        nodes.push(scene::disc(corner, 5.0, palette::INK, None));
    } else {
        let light = Stroke::of(palette::STONE, 1.6).dashed(4.0, 8.0);
        nodes.push(scene::line(tee, landing, light));
    }
    let rim = Some(Stroke::of(palette::PAPER, 3.0));
    nodes.push(scene::disc(landing, 11.0, palette::ACCENT, rim));
}

/// What was before: its legs in grey, and an arrow to what is now.
fn before_on(paper: &Paper, old: &Legs<'_>, new: &Legs<'_>, nodes: &mut Vec<Node>) {
    let grey = Stroke::of(palette::STONE, 2.0);
    let (tee, from, to) = (
        paper.at([0.0, 0.0]),
        paper.at(old.landing),
        paper.at(new.landing),
    );
    if let Some(corner) = old.corner.map(|at| paper.at(at)) {
        nodes.push(scene::line(tee, corner, grey));
        nodes.push(scene::line(corner, from, grey));
    }
    nodes.push(scene::disc(
        from,
        9.0,
        palette::PAPER,
        Some(Stroke::of(palette::STONE, 3.0)),
    ));
    let moved_m = scene::distance(old.landing, new.landing);
    if moved_m < MOVED_M {
        return;
    }
    let long = scene::distance(from, to);
    let tip = scene::towards(from, to, (long - 14.0).max(long * 0.5));
    let ahead = [(to[0] - from[0]) / long, (to[1] - from[1]) / long];
    let wing = |side: f64| {
        [
            tip[0] - ahead[0] * 22.0 - ahead[1] * side * 11.0,
            tip[1] - ahead[1] * 22.0 + ahead[0] * side * 11.0,
        ]
    };
    for (colour, width) in [(palette::PAPER, 9.0), (palette::INK, 4.6)] {
        nodes.push(scene::line(from, tip, Stroke::of(colour, width)));
    }
    let head = scene::ring(&[tip, wing(1.0), wing(-1.0)]);
    nodes.push(path(head, Some(Fill::of(palette::INK)), None));
}

/// Tops of labels of one height that wish to stand around these places, in order from the top.
fn stacked(wishes: &[f64]) -> Vec<f64> {
    let mut tops: Vec<f64> = wishes.to_vec();
    let pitch = HIGH + APART;
    for k in 0..tops.len() {
        let free = if k == 0 {
            FIELD.top
        } else {
            tops[k - 1] + pitch
        };
        tops[k] = tops[k].max(free);
    }
    let mut limit = FIELD.bottom;
    for top in tops.iter_mut().rev() {
        *top = top.min(limit - HIGH);
        limit = *top - APART;
    }
    tops
}

/// A label of two lines and the line that ties it to its place.
struct Label {
    at: Point,
    lines: [Line; 2],
}

/// Writes labels into the column at one side of the field.
fn column(board: &mut Board, mut labels: Vec<Label>, is_right: bool) {
    labels.sort_by(|a, b| a.at[1].total_cmp(&b.at[1]));
    let wishes: Vec<f64> = labels.iter().map(|l| l.at[1] - HIGH / 2.0).collect();
    for (label, top) in labels.iter().zip(stacked(&wishes)) {
        let (x, anchor, sign) = if is_right {
            (FIELD.right + 40.0, Anchor::Start, -1.0)
        } else {
            (FIELD.left - 40.0, Anchor::End, 1.0)
        };
        let room = if is_right { RIGHT - x } else { x - LEFT };
        let level = top + 24.0;
        let hair = Stroke::of(palette::STONE, 1.5);
        let elbow = [x + sign * 40.0, level];
        let ends = [
            [x + sign * 8.0, level],
            elbow,
            scene::towards(label.at, elbow, 14.0),
        ];
        board
            .nodes
            .push(path(scene::polyline(&ends), None, Some(hair)));
        for (k, line) in label.lines.iter().enumerate() {
            let at = [x, top + 33.0 + 34.0 * k as f64];
            let style = (line.size, line.bold, line.colour);
            put(board, &line.words, style, at, anchor, room);
        }
    }
}

/// The labels of the start legs and of the bends.
fn labels(legs: &[Legs<'_>], paper: &Paper, hand: Handedness, unit: LengthUnit) -> [Vec<Label>; 2] {
    let whole = |metres: f64| format!("{:.0}", unit.of(metres.abs()));
    let side = |right: f64| if right < 0.0 { "left" } else { "right" };
    let line = |words: String, bold, colour| Line::new(words, MEDIUM, bold, colour);
    let mut starts = Vec::new();
    let mut balls = Vec::new();
    for legs in legs {
        let report = legs.club;
        let [right_m, _] = legs.landing;
        let lands = match whole(right_m).as_str() {
            "0" => "lands on the aim".to_owned(),
            n => format!("lands {n} {}", side(right_m)),
        };
        let bend = report.curve_m.filter(|_| legs.corner.is_some());
        let bend =
            bend.map(|curve| format!("{} {}, ", bends(curve.value, hand), whole(curve.value)));
        let name = format!(
            "{}, {} {}",
            capital(&club(&report.club)),
            report.shape,
            whole(report.carry_m.value)
        );
        balls.push(Label {
            at: paper.at(legs.landing),
            lines: [
                line(name, true, palette::INK),
                line(
                    format!("{}{lands}", bend.unwrap_or_default()),
                    false,
                    palette::ACCENT,
                ),
            ],
        });
        let shots = match report.shots {
            0 => "no shots: filled in".to_owned(),
            1 => "1 shot".to_owned(),
            n => format!("{n} shots"),
        };
        let (Some(corner), Some(start)) = (legs.corner, report.start_deg) else {
            starts.push(Label {
                at: paper.at(legs.landing),
                lines: [
                    line("start not logged".to_owned(), false, palette::STONE),
                    line(shots, false, palette::STONE),
                ],
            });
            continue;
        };
        let off_m = report.carry_m.value * start.value.to_radians().tan();
        let starts_at = match whole(off_m).as_str() {
            "0" => "starts on the aim".to_owned(),
            n => format!("starts {n} {}", side(start.value)),
        };
        starts.push(Label {
            at: paper.at(corner),
            lines: [
                line(starts_at, false, palette::INK),
                line(shots, false, palette::STONE),
            ],
        });
    }
    [starts, balls]
}

/// What a club was before: with the shape of the same name, or where it has one shape now and then,
/// with that.
fn of_before<'a>(old: &'a [Legs<'a>], new: &Legs<'_>, all: &[Legs<'_>]) -> Option<&'a Legs<'a>> {
    let is = |of: &Legs<'_>| of.club.club.eq_ignore_ascii_case(&new.club.club);
    let then: Vec<&Legs<'_>> = old.iter().filter(|of| is(of)).collect();
    let same = then.iter().copied();
    let mut same = same.filter(|of| of.club.shape.eq_ignore_ascii_case(&new.club.shape));
    let is_alone = then.len() == 1 && all.iter().filter(|of| is(of)).count() == 1;
    same.next()
        .or_else(|| then.first().copied().filter(|_| is_alone))
}

/// The fan of a report, and of what was before it.
#[must_use]
pub fn lay_out(
    report: &ShapeReport,
    before: Option<&ShapeReport>,
    name: &str,
    unit: LengthUnit,
) -> Drawn {
    let page = area(0.0, 0.0, PAGE[0], PAGE[1]);
    let mut board = Board::new(page, |_| 0.0);
    let legs: Vec<Legs<'_>> = report.clubs.iter().filter_map(Legs::of).collect();
    let old: Vec<Legs<'_>> = before
        .into_iter()
        .flat_map(|before| before.clubs.iter().filter_map(Legs::of))
        .collect();
    let paper = Paper::of(&legs);
    let title = text::clean(name);
    let title = if title.is_empty() {
        "The bag".to_owned()
    } else {
        title
    };
    let room = RIGHT - LEFT;
    let strong = (LARGE, true, palette::INK);
    put(
        &mut board,
        &title,
        strong,
        [LEFT, 150.0],
        Anchor::Start,
        room,
    );
    let under = format!(
        "every club aimed straight, from above, 1:{:.0}, in {}",
        paper.scale,
        unit.name()
    );
    let style = (MEDIUM, false, palette::INK);
    put(
        &mut board,
        &under,
        style,
        [LEFT, 196.0],
        Anchor::Start,
        room,
    );
    let heavy = Stroke::of(palette::INK, 3.0);
    rule(&mut board, &area(LEFT, 0.0, RIGHT, 0.0), 216.0, heavy);
    field(&mut board, &paper, unit);
    let mut nodes = std::mem::take(&mut board.nodes);
    // Long clubs first, so that short ones stay seen.
    for legs in &legs {
        club_on(&paper, legs, &mut nodes);
    }
    for new in &legs {
        if let Some(old) = of_before(&old, new, &legs) {
            before_on(&paper, old, new, &mut nodes);
        }
    }
    let [starts, balls] = labels(&legs, &paper, report.handedness, unit);
    // The start lines lie on the side that most of them lean to.
    let corners = legs
        .iter()
        .filter_map(|legs| Some(legs.corner?[0] - legs.landing[0]));
    let is_right = corners.sum::<f64>() >= 0.0;
    column(&mut board, starts, is_right);
    column(&mut board, balls, !is_right);
    let mut words = format!(
        "Ink: the start line. Violet: the bend, to where the usual ball lands. The thicker, the more \
         shots are logged; broken: fewer than {FEW}. Filled: half of the balls; dashed: nine in ten."
    );
    if before.is_some() {
        words.push_str(" Grey: before; arrows lead from before to now.");
    }
    let style = (READ, false, palette::STONE);
    let at = [LEFT, FIELD.bottom + 70.0];
    sheet::paragraph(&mut board, &words, style, at, room, 3);
    let mut drawn = sheet::finish(
        format!("The bag: {title}"),
        PAGE[1],
        nodes,
        board,
        (FIELD, paper.scale),
    );
    drawn.layout.page = page;
    if let Some(Node::Path { steps, .. }) = drawn.nodes.first_mut() {
        *steps = scene::rectangle(0.0, 0.0, PAGE[0], PAGE[1]);
    }
    drawn
}
