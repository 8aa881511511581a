//! A player's shape as a picture: where the balls of each club finish, seen from above.
//!
//! The longest club is drawn in full: its balls, the line it starts on, its bend. Every other
//! club is a box that holds its middle 80 of 100, in distance and to the sides.

use super::scene::palette::{ACCENT, INK, MIST, PAPER, STONE};
use super::scene::{Anchor, Fill, Node, Point, Step, Stroke, Text, disc, line, rectangle};
use super::{svg, text};
use crate::player::summary::{Spread, Summary};
use crate::player::{Basis, Player};
use crate::units::LengthUnit;

/// The page, tenths of a millimetre: that of a yardage book.
const PAGE: Point = [1080.0, 1780.0];
/// Where the picture stands: left, top, right, bottom.
const PICTURE: [f64; 4] = [90.0, 230.0, 1030.0, 1640.0];
/// Most balls drawn.
const DOTS: usize = 400;
/// Most clubs boxed: more would hide each other.
const BOXES: usize = 13;

/// The picture of a player's clubs, SVG text; `summaries` go with `player.clubs`.
#[must_use]
pub fn page(player: &Player, summaries: &[Summary], unit: LengthUnit) -> String {
    let title = format!("{}: where the balls finish", text::clean(&player.name));
    let mut nodes = vec![
        words([PICTURE[0], 90.0], &text::cut(&title, 46.0, true, 940.0), 46.0, Anchor::Start, true),
        words(
            [PICTURE[0], 140.0],
            "Seen from above, on level fairway in still air. The straight line is the aim.",
            26.0,
            Anchor::Start,
            false,
        ),
    ];
    let scale = Scale::holding(summaries);
    nodes.extend(grid(&scale, unit));
    for (club, summary) in player.clubs.iter().zip(summaries).skip(1).take(BOXES) {
        nodes.extend(boxed(&club.club, summary, &scale));
    }
    if let (Some(club), Some(summary)) = (player.clubs.first(), summaries.first()) {
        let name = format!("{} {}", text::clean(&club.club), text::clean(&club.shape));
        nodes.extend(longest(&name, summary, club.basis != Basis::SideOnly, &scale));
    }
    svg::write(PAGE, &title, &nodes)
}

/// Metres to paper.
struct Scale {
    per_m: f64,
    tee: Point,
    far_m: f64,
    wide_m: f64,
}

impl Scale {
    /// The largest scale that holds 98 of 100 balls of the longest club and every club's box.
    fn holding(summaries: &[Summary]) -> Self {
        let mut totals: Vec<f64> = Vec::new();
        let mut sides: Vec<f64> = Vec::new();
        if let Some(first) = summaries.first() {
            totals.extend(first.balls.iter().map(|ball| ball.total_m));
            sides.extend(first.balls.iter().map(|ball| ball.side_m.abs()));
        }
        let most = |values: &mut Vec<f64>| {
            values.sort_by(f64::total_cmp);
            let at = (values.len() as f64 * 0.98) as usize;
            values.get(at).copied().unwrap_or(0.0)
        };
        let far_m = most(&mut totals).max(20.0) * 1.03;
        let box_side = |s: &Summary| s.side_m.tenth.abs().max(s.side_m.ninetieth.abs());
        let wide_m = summaries.iter().map(box_side).fold(most(&mut sides), f64::max).max(10.0);
        let [left, top, right, bottom] = PICTURE;
        Self {
            per_m: ((bottom - top) / far_m).min((right - left) / 2.0 / wide_m),
            tee: [f64::midpoint(left, right), bottom],
            far_m,
            wide_m: (right - left) / 2.0,
        }
    }

    fn at(&self, side_m: f64, on_m: f64) -> Point {
        [self.tee[0] + side_m * self.per_m, self.tee[1] - on_m * self.per_m]
    }

    fn holds(&self, [x, y]: Point) -> bool {
        (x - self.tee[0]).abs() <= self.wide_m && y >= PICTURE[1] && y <= self.tee[1]
    }
}

/// The aim and a line at every 50 of the unit.
fn grid(scale: &Scale, unit: LengthUnit) -> Vec<Node> {
    let half = scale.wide_m;
    let [x, y] = scale.tee;
    let mut nodes = vec![line(
        scale.tee,
        scale.at(0.0, scale.far_m),
        Stroke::of(INK, 2.5),
    )];
    let one_m = 1.0 / unit.of(1.0);
    for fifty in 1.. {
        let on_m = f64::from(fifty) * 50.0 * one_m;
        if on_m > scale.far_m {
            break;
        }
        let up = y - on_m * scale.per_m;
        nodes.push(line([x - half, up], [x + half, up], Stroke::of(MIST, 1.0).dashed(6.0, 6.0)));
        let name = format!("{} {}", fifty * 50, unit.name());
        nodes.push(words([x - half, up - 8.0], &name, 24.0, Anchor::Start, false));
    }
    nodes
}

/// The middle 80 of 100 of one club, with its name.
fn boxed(club: &str, summary: &Summary, scale: &Scale) -> Vec<Node> {
    let ends = |spread: &Spread| [spread.tenth, spread.ninetieth];
    let ([left, right], [near, far]) = (ends(&summary.side_m), ends(&summary.total_m));
    let (a, b) = (scale.at(left, far), scale.at(right, near));
    vec![
        Node::Path {
            steps: rectangle(a[0], a[1], b[0] - a[0], b[1] - a[1]),
            fill: None,
            stroke: Some(Stroke::of(STONE, 2.5)),
        },
        words(
            [b[0] + 8.0, f64::midpoint(a[1], b[1]) + 8.0],
            &text::cut(&text::clean(club), 24.0, false, 160.0),
            24.0,
            Anchor::Start,
            false,
        ),
    ]
}

/// The longest club: balls, start line, bend and finish.
fn longest(name: &str, summary: &Summary, told_apart: bool, scale: &Scale) -> Vec<Node> {
    let mut nodes: Vec<Node> = summary
        .balls
        .iter()
        .take(DOTS)
        .map(|ball| {
            let on_m = (ball.total_m.powi(2) - ball.side_m.powi(2)).max(0.0).sqrt();
            scale.at(ball.side_m, on_m)
        })
        .filter(|&at| scale.holds(at))
        .map(|at| Node::Circle {
            id: None,
            at,
            radius: 4.0,
            fill: Some(Fill { colour: INK, opacity: 0.45 }),
            stroke: None,
        })
        .collect();
    let finish = scale.at(summary.side_m.mean, summary.total_m.mean);
    if told_apart {
        let (sin, cos) = summary.start_deg.mean.to_radians().sin_cos();
        let on = |share: f64| scale.at(sin * share * scale.far_m, cos * share * scale.far_m);
        nodes.push(line(scale.tee, on(0.98), Stroke::of(ACCENT, 3.0).dashed(14.0, 10.0)));
        // A bend grows with the square of the way: a parabola that leaves along the start line.
        let half = scale.at(
            sin * 0.5 * summary.total_m.mean,
            cos * 0.5 * summary.total_m.mean,
        );
        let towards = |from: Point| {
            [from[0] + (half[0] - from[0]) * 2.0 / 3.0, from[1] + (half[1] - from[1]) * 2.0 / 3.0]
        };
        nodes.push(Node::Path {
            steps: vec![
                Step::Move(scale.tee),
                Step::Cubic(towards(scale.tee), towards(finish), finish),
            ],
            fill: None,
            stroke: Some(Stroke::of(ACCENT, 6.0)),
        });
    }
    nodes.push(disc(finish, 12.0, ACCENT, Some(Stroke::of(PAPER, 3.0))));
    nodes.push(words(
        [PICTURE[0], 190.0],
        &text::cut(
            &format!("{name}: dashed its start line, solid its bend, the dot its average finish"),
            26.0,
            false,
            940.0,
        ),
        26.0,
        Anchor::Start,
        false,
    ));
    nodes
}

fn words(at: Point, words: &str, size: f64, anchor: Anchor, bold: bool) -> Node {
    Node::Text(Text {
        at,
        words: words.to_owned(),
        size,
        bold,
        colour: INK,
        anchor,
        halo: true,
    })
}
