//! The shot: aim, flight, finish, carries, width, what is left.

use super::frame::{Frame, Strip};
use super::ground::{Ground, inside};
use super::labels::{About, Board, Line, Request};
use super::page::{Lengths, MEDIUM, Placed, READ, SMALL};
use super::scene::{self, Fill, Node, Point, Step, Stroke, palette};
use super::{next_shot, text};
use crate::plan::spoken::spoken;
use crate::plan::{LonLat, Plan, card, why};
use geo::Coord;

/// A ring or the tip of an arrow keeps this far from the edge of a map.
pub(super) const RIM: f64 = 14.0;

/// What the shot adds to the page.
#[derive(Default)]
pub struct Marks {
    /// Below the labels.
    pub nodes: Vec<Node>,
    /// Labels in order of importance.
    pub requests: Vec<Request>,
}

/// Everything a drawing of the shot looks at.
pub struct Sight<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Its places on the plane.
    pub placed: &'a Placed,
    /// The map.
    pub frame: &'a Frame,
    /// The strip of land drawn.
    pub strip: &'a Strip,
    /// How lengths are said.
    pub lengths: Lengths,
}

/// The shot and what follows it on the ground of its map: the board that keeps labels off both, the
/// arcs of distance, and the marks of the shot.
pub fn on_ground(
    sight: &Sight<'_>,
    ground: &Ground,
    plane: &dyn Fn(LonLat) -> Coord<f64>,
) -> (Board, Marks, Marks) {
    let mut board = Board::new(sight.frame.area, |p| ground.weight_at(p, sight.strip));
    for edge in ground.edges() {
        board.keep_off(edge, 0.6);
    }
    let mut arcs = Marks::default();
    sight.arcs(&mut arcs, &mut board);
    let mut marks = Marks::default();
    shot(sight, &mut board, &mut marks);
    next_shot::draw(sight, plane, &mut marks, &mut board);
    (board, arcs, marks)
}

/// Draws the shot, and asks the board to keep labels off it.
fn shot(sight: &Sight<'_>, board: &mut Board, marks: &mut Marks) {
    sight.regions(marks, board);
    sight.left(marks, board);
    sight.width(marks, board);
    sight.aim(marks, board);
    sight.flight(marks, board);
    sight.carries(marks, board);
}

/// A needed label, tied to its point.
pub(super) fn label(at: Point, lines: Vec<Line>) -> Request {
    Request {
        about: About::Itself,
        at,
        or: None,
        lines,
        gap: 16.0,
        reach: 420.0,
        side: None,
        is_of_right: None,
        within: None,
        limit: f64::MAX,
        tied: true,
        needed: true,
    }
}

impl Sight<'_> {
    pub(super) fn peg(&self) -> Point {
        self.frame.place(self.placed.peg)
    }

    /// The flight over the ground, on paper.
    pub(super) fn flown(&self) -> Vec<Point> {
        let flight = self.placed.flight.iter();
        flight.map(|&c| self.frame.place(c)).collect()
    }

    /// A point at a true bearing and distance from the peg.
    pub(super) fn at(&self, bearing_deg: f64, distance_m: f64) -> Point {
        let d = self.frame.direction(bearing_deg);
        let r = self.frame.length(distance_m);
        let peg = self.peg();
        [peg[0] + d[0] * r, peg[1] + d[1] * r]
    }

    /// Thin arcs at every 50 of the page's unit: from the tee across the map, with
    /// their number on the left; from the middle of the green at its right edge.
    pub(super) fn arcs(&self, marks: &mut Marks, board: &mut Board) {
        let (peg, green) = (self.peg(), self.frame.place(self.placed.green));
        let every = self.lengths.to_m(50.0);
        let to_green_m = self.frame.metres(scene::distance(peg, green));
        for k in 1..20 {
            let from_m = every * f64::from(k);
            if from_m > to_green_m + 8.0 {
                break;
            }
            let radius = self.frame.length(from_m);
            let ahead = self.arc(peg, radius);
            self.number(k, ahead.first(), -1.0, marks);
            self.curve(&ahead, marks, board);
            let mut back = self.arc(green, radius);
            if let Some(end) = back.last().copied() {
                back.retain(|p| scene::distance(*p, end) <= 40.0);
            }
            self.number(k, back.last(), 1.0, marks);
            self.curve(&back, marks, board);
        }
    }

    /// The part of a circle that is in sight, left to right.
    fn arc(&self, centre: Point, radius: f64) -> Vec<Point> {
        let area = self.frame.area;
        let middle = [
            (area.left + area.right) / 2.0,
            (area.top + area.bottom) / 2.0,
        ];
        let ahead = scene::towards(centre, middle, radius);
        let d = [ahead[0] - centre[0], ahead[1] - centre[1]];
        let right = if d[1] > 0.0 { -1.0 } else { 1.0 };
        // A step is no longer than what the map is looked at beyond its edge.
        let seen = area.grown(14.0);
        let steps = (1.4 * radius / 14.0).clamp(8.0, 400.0).ceil();
        let mut run: Vec<Point> = Vec::new();
        for step in -(steps as i32)..=(steps as i32) {
            let (sin, cos) = (right * f64::from(step) * 1.4 / steps).sin_cos();
            let p = [
                centre[0] + d[0] * cos - d[1] * sin,
                centre[1] + d[1] * cos + d[0] * sin,
            ];
            if self.strip.holds(p, 0.0) && seen.holds(p) {
                run.push(p);
            } else if !run.is_empty() {
                break;
            }
        }
        run
    }

    fn curve(&self, run: &[Point], marks: &mut Marks, board: &mut Board) {
        if run.len() >= 3 {
            marks.nodes.push(Node::Path {
                steps: scene::polyline(run),
                fill: None,
                stroke: Some(Stroke::of(palette::STONE, 1.0).dashed(1.0, 7.0)),
            });
            board.keep_off(run, 0.05);
        }
    }

    /// How far an arc is, at its end.
    fn number(&self, k: i32, end: Option<&Point>, side: f64, marks: &mut Marks) {
        let Some(&end) = end else { return };
        // Where an arc leaves at the top or the foot of the map, its number would mislead.
        let area = self.frame.area;
        if end[1] < area.top + 12.0 || end[1] > area.bottom - 12.0 {
            return;
        }
        let words = format!("{}", k * 50);
        let about = if side < 0.0 {
            About::FromTee(k * 50)
        } else {
            About::ToGreen(k * 50)
        };
        marks.requests.push(Request {
            about,
            gap: 5.0,
            reach: 12.0,
            side: Some([-side, 0.0]),
            limit: 75.0,
            tied: false,
            needed: false,
            ..label(
                self.frame.area.grown(-2.0).nearest(end),
                vec![Line::new(words, SMALL, false, palette::STONE)],
            )
        });
    }

    pub(super) fn regions(&self, marks: &mut Marks, board: &mut Board) {
        let on_paper = |rings: &[Vec<Coord<f64>>]| -> Vec<Vec<Point>> {
            rings
                .iter()
                .map(|ring| ring.iter().map(|&c| self.frame.place(c)).collect())
                .collect()
        };
        let (half, ninety) = (on_paper(&self.placed.half), on_paper(&self.placed.ninety));
        let steps = |rings: &[Vec<Point>]| rings.iter().flat_map(|r| scene::ring(r)).collect();
        let fill = |opacity| {
            Some(Fill {
                colour: palette::ACCENT,
                opacity,
            })
        };
        marks.nodes.push(Node::Path {
            steps: steps(&ninety),
            fill: fill(0.10),
            stroke: Some(Stroke::of(palette::ACCENT, 1.2)),
        });
        marks.nodes.push(Node::Path {
            steps: steps(&half),
            fill: fill(0.18),
            stroke: Some(Stroke::of(palette::ACCENT, 2.2)),
        });
        // No lone specks: the balls of the regions, which show where they are dense.
        for &ball in &self.placed.balls {
            let p = self.frame.place(ball);
            if self.frame.area.holds(p) && inside(&ninety, p) {
                marks.nodes.push(Node::Circle {
                    id: None,
                    at: p,
                    radius: 2.0,
                    fill: fill(0.45),
                    stroke: None,
                });
            }
        }
        for (rings, words, about) in [
            (&half, "half", About::Half),
            (&ninety, "9 in 10", About::Ninety),
        ] {
            for ring in rings {
                board.keep_off(ring, 0.5);
            }
            let low = |p: &Point| p[1] + 0.3 * p[0];
            let all = rings.iter().flatten().copied();
            let lowest = all.max_by(|a, b| low(a).total_cmp(&low(b)));
            if let Some(at) = lowest {
                marks.requests.push(Request {
                    about,
                    gap: 4.0,
                    reach: 40.0,
                    limit: 260.0,
                    tied: false,
                    needed: false,
                    ..label(at, vec![Line::new(words, READ, false, palette::ACCENT)])
                });
            }
        }
    }

    pub(super) fn aim(&self, marks: &mut Marks, board: &mut Board) {
        let shot = &self.plan.choice.shot;
        let aim = &shot.aim;
        let peg = self.peg();
        let end = self.at(aim.bearing_deg, aim.distance_m.clamp(1.0, 3_000.0));
        let inner = self.frame.area.grown(-RIM);
        let (Some([from, _]), Some([_, to])) =
            (self.frame.area.part_of(peg, end), inner.part_of(peg, end))
        else {
            return;
        };
        let seen = scene::distance(to, end) < 1.0;
        let dashed = Stroke::of(palette::ACCENT, 2.6).dashed(22.0, 9.0);
        marks
            .nodes
            .push(scene::line(from, to, Stroke::of(palette::PAPER, 6.5)));
        marks.nodes.push(scene::line(from, to, dashed));
        board.keep_off(&[from, to], 1.4);
        self.bracket(marks, board);
        if seen {
            marks.nodes.push(Node::Circle {
                id: Some("target"),
                at: to,
                radius: 11.0,
                fill: None,
                stroke: Some(Stroke::of(palette::ACCENT, 3.4)),
            });
            marks
                .nodes
                .push(scene::disc(to, 3.0, palette::ACCENT, None));
        } else {
            let d = self.frame.direction(aim.bearing_deg);
            let wing = |s: f64| {
                [
                    to[0] - d[0] * 18.0 - d[1] * 8.0 * s,
                    to[1] - d[1] * 18.0 + d[0] * 8.0 * s,
                ]
            };
            marks.nodes.push(Node::Path {
                steps: scene::ring(&[to, wing(1.0), wing(-1.0)]),
                fill: Some(Fill::of(palette::ACCENT)),
                stroke: None,
            });
        }
        board.keep_clear(super::frame::Area {
            left: to[0] - 12.0,
            top: to[1] - 12.0,
            right: to[0] + 12.0,
            bottom: to[1] + 12.0,
        });
        let mut lines = vec![Line::new(
            format!("AIM {}", self.lengths.whole(aim.distance_m)),
            MEDIUM,
            true,
            palette::ACCENT,
        )];
        if let Some(words) = safe(self.plan, self.lengths) {
            for words in words.split_inclusive(", ").map(str::trim) {
                lines.push(Line::new(words, READ, false, palette::INK));
            }
        }
        marks.requests.insert(
            0,
            Request {
                about: About::Aim,
                ..label(to, lines)
            },
        );
    }

    /// Every aim in the window costs next to nothing: a bracket across the aim, where
    /// the ball lands.
    fn bracket(&self, marks: &mut Marks, board: &mut Board) {
        let Some(ends) = window_deg(self.plan) else {
            return;
        };
        let carry_m = self.plan.choice.shot.carry_m.clamp(0.0, 3_000.0);
        if carry_m.is_nan() {
            return;
        }
        let arc: Vec<Point> = (0..=16)
            .map(|k| self.at(ends[0] + (ends[1] - ends[0]) * f64::from(k) / 16.0, carry_m))
            .collect();
        marks.nodes.push(Node::Path {
            steps: scene::polyline(&arc),
            fill: None,
            stroke: Some(Stroke::of(palette::ACCENT, 2.0)),
        });
        let half_m = self.frame.metres(9.0);
        for end in ends {
            marks.nodes.push(scene::line(
                self.at(end, carry_m - half_m),
                self.at(end, carry_m + half_m),
                Stroke::of(palette::ACCENT, 2.4),
            ));
        }
        board.keep_off(&arc, 0.8);
    }
}

/// True bearings of the window of the aim; none where it is no window.
pub(super) fn window_deg(plan: &Plan) -> Option<[f64; 2]> {
    let aim = &plan.choice.shot.aim;
    let offset = aim.bearing_deg - aim.from_line_of_play_deg;
    let ends = plan.choice.aim_window_deg.map(|end| offset + end);
    let is_window = ends.iter().all(|end| end.is_finite()) && (ends[1] - ends[0]).abs() < 60.0;
    is_window.then_some(ends)
}

/// What to aim at: "3 left of the flag" where the line passes the thing on
/// that side.
pub(super) fn aim_words(plan: &Plan, lengths: Lengths) -> String {
    text::clean(&spoken(plan, |shot| shot.target.in_words(lengths.unit())))
}

/// "safe 4 left, 12 right": how far off the aim may be where the ball lands.
pub(super) fn safe(plan: &Plan, lengths: Lengths) -> Option<String> {
    let choice = &plan.choice;
    let aim_deg = choice.shot.aim.from_line_of_play_deg;
    let window_deg = choice.aim_window_deg.map(|edge| edge - aim_deg);
    let sides = why::safe(window_deg, choice.shot.carry_m, lengths.unit());
    sides.map(why::safe_words)
}

impl Sight<'_> {
    pub(super) fn flight(&self, marks: &mut Marks, board: &mut Board) {
        let shot = &self.plan.choice.shot;
        let points = self.flown();
        let air = self.plan.finishes.flight_airborne.min(points.len());
        let (flown, rolled) = (&points[..air], &points[air.saturating_sub(1)..]);
        let stroke = |colour, width| Some(Stroke::of(colour, width));
        let wide = self.other_ways(marks, board);
        // The start line, where it is not the aim: a dotted ray.
        let apart = shot.start_line.bearing_deg - shot.aim.bearing_deg;
        let apart = (apart + 540.0).rem_euclid(360.0) - 180.0;
        if apart.abs() >= 0.5 && apart.is_finite() {
            let reach = shot.carry_m * 0.8;
            let ray = self
                .frame
                .area
                .part_of(self.peg(), self.at(shot.start_line.bearing_deg, reach));
            if let Some([a, b]) = ray {
                marks.nodes.push(Node::Path {
                    steps: scene::polyline(&[a, b]),
                    fill: None,
                    stroke: Some(Stroke::of(palette::ACCENT, 2.2).dashed(1.0, 7.0)),
                });
                board.keep_off(&[a, b], 0.5);
            }
        }
        for (piece, width) in [(flown, wide), (rolled, 2.6)] {
            let steps = smooth(piece);
            marks.nodes.push(Node::Path {
                steps: steps.clone(),
                fill: None,
                stroke: stroke(palette::PAPER, width + 4.4),
            });
            marks.nodes.push(Node::Path {
                steps,
                fill: None,
                stroke: stroke(palette::ACCENT, width),
            });
        }
        board.keep_off(&points, 1.6);
        if let Some(&landing) = flown.last() {
            marks.nodes.push(scene::disc(
                landing,
                5.0,
                palette::PAPER,
                stroke(palette::ACCENT, 2.6),
            ));
        }
        let rest = self.frame.place(self.placed.rest);
        marks.nodes.push(scene::disc(
            rest,
            9.5,
            palette::ACCENT,
            stroke(palette::PAPER, 3.0),
        ));
        let peg = self.peg();
        marks.nodes.push(Node::Circle {
            id: Some("peg"),
            at: peg,
            radius: 6.5,
            fill: Some(Fill::of(palette::ACCENT)),
            stroke: stroke(palette::PAPER, 2.0),
        });
        for p in [rest, peg] {
            board.keep_clear(super::frame::Area {
                left: p[0] - 10.0,
                top: p[1] - 10.0,
                right: p[0] + 10.0,
                bottom: p[1] + 10.0,
            });
        }
        marks.requests.insert(
            1.min(marks.requests.len()),
            Request {
                about: About::Ball,
                ..label(
                    rest,
                    vec![
                        Line::new(
                            format!("ENDS {}", self.lengths.whole(shot.total_m)),
                            MEDIUM,
                            true,
                            palette::ACCENT,
                        ),
                        Line::new(
                            format!("carry {}", self.lengths.whole(shot.carry_m)),
                            READ,
                            false,
                            palette::INK,
                        ),
                    ],
                )
            },
        );
    }
}

/// How thick the flight of the usual ball is, that of two together, and where both ways stand beside
/// it.
const FLIGHT: f64 = 5.6;
const BOTH_FLIGHTS: f64 = 9.0;
const BETWEEN_BOTH: f64 = 2.0;

impl Sight<'_> {
    /// The other usual balls' flights, each as thick as its share of the balls; returns how thick the
    /// usual one's is.
    fn other_ways(&self, marks: &mut Marks, board: &mut Board) -> f64 {
        let others = &self.plan.finishes.other_ways;
        for (way, (other, points)) in others.iter().zip(self.other_flown()).enumerate() {
            let (Some(&rest), true) = (points.last(), points.len() > 2) else {
                continue;
            };
            let share = other.share.clamp(0.0, 1.0);
            let width = (BOTH_FLIGHTS * share).max(1.4);
            let steps = smooth(&points);
            for (colour, width) in [(palette::PAPER, width + 4.4), (palette::ACCENT, width)] {
                marks.nodes.push(Node::Path {
                    steps: steps.clone(),
                    fill: None,
                    stroke: Some(Stroke::of(colour, width)),
                });
            }
            let rim = Some(Stroke::of(palette::PAPER, 3.0));
            marks
                .nodes
                .push(scene::disc(rest, 7.0, palette::ACCENT, rim));
            board.keep_off(&points, 1.6);
            if !self.frame.area.holds(rest) {
                continue;
            }
            let is_right = other.curve_m > 0.0;
            let words = if is_right { "bend right" } else { "bend left" };
            marks.requests.push(Request {
                about: About::OtherWay(way),
                is_of_right: Some(is_right),
                ..label(
                    rest,
                    vec![
                        Line::new(card::in_hundred(share), MEDIUM, true, palette::ACCENT),
                        Line::new(words, READ, false, palette::INK),
                    ],
                )
            });
        }
        match others.as_slice() {
            [] => FLIGHT,
            [other] => BOTH_FLIGHTS * (1.0 - other.share.clamp(0.0, 0.5)),
            _ => BETWEEN_BOTH,
        }
    }

    /// The other usual balls' flights over the ground, on paper.
    pub(super) fn other_flown(&self) -> Vec<Vec<Point>> {
        let flights = self.placed.other_flights.iter();
        let on_paper = |flight: &Vec<Coord<f64>>| -> Vec<Point> {
            flight.iter().map(|&c| self.frame.place(c)).collect()
        };
        flights.map(on_paper).collect()
    }
}

/// A smooth line through points (Catmull and Rom's spline as Bézier pieces).
fn smooth(points: &[Point]) -> Vec<Step> {
    if points.len() < 3 {
        return scene::polyline(points);
    }
    let at = |i: isize| points[i.clamp(0, points.len() as isize - 1) as usize];
    let mut steps = vec![Step::Move(points[0])];
    for i in 0..points.len() as isize - 1 {
        let (p0, p1, p2, p3) = (at(i - 1), at(i), at(i + 1), at(i + 2));
        let control = |a: Point, b: Point, c: Point, s: f64| {
            [
                a[0] + s * (c[0] - b[0]) / 6.0,
                a[1] + s * (c[1] - b[1]) / 6.0,
            ]
        };
        steps.push(Step::Cubic(
            control(p1, p0, p2, 1.0),
            control(p2, p1, p3, -1.0),
            p2,
        ));
    }
    steps
}
