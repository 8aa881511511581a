//! The shot: aim, flight, finish, carries, width, what is left.

use super::frame::{Frame, Strip};
use super::labels::{Board, Line, Request};
use super::page::{Lengths, MEDIUM, Placed, SMALL};
use super::scene::{self, Fill, Node, Point, Step, Stroke, palette};
use super::text;
use crate::plan::bend::Bend;
use crate::plan::sentence;
use crate::plan::{Plan, why};

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

/// Draws the shot, and asks the board to keep labels off it.
#[must_use]
pub fn draw(sight: &Sight<'_>, board: &mut Board) -> Marks {
    let mut marks = Marks::default();
    sight.arcs(&mut marks, board);
    shot(sight, board, &mut marks);
    marks
}

/// The shot without the arcs round the peg.
pub(super) fn shot(sight: &Sight<'_>, board: &mut Board, marks: &mut Marks) {
    sight.regions(marks, board);
    sight.left(marks, board);
    sight.width(marks, board);
    sight.aim(marks, board);
    sight.flight(marks, board);
    sight.carries(marks, board);
    // Aim and finish first, then what to carry, width, what is left.
}

/// A needed label, tied to its point.
pub(super) fn label(at: Point, lines: Vec<Line>) -> Request {
    Request {
        at,
        lines,
        gap: 16.0,
        reach: 420.0,
        side: None,
        within: None,
        limit: f64::MAX,
        tied: true,
        needed: true,
    }
}

/// "3° right", "straight", for an angle right of something.
#[must_use]
pub fn side_words(value: f64, shown: &str, unit: &str) -> String {
    let side = if value < 0.0 { "left" } else { "right" };
    format!("{shown}{unit} {side}")
}

impl Sight<'_> {
    pub(super) fn peg(&self) -> Point {
        self.frame.place(self.placed.peg)
    }

    /// A point at a true bearing and distance from the peg.
    fn at(&self, bearing_deg: f64, distance_m: f64) -> Point {
        let d = self.frame.direction(bearing_deg);
        let r = self.frame.length(distance_m);
        let peg = self.peg();
        [peg[0] + d[0] * r, peg[1] + d[1] * r]
    }

    /// Thin arcs round the peg at every 50 of the page's unit.
    pub(super) fn arcs(&self, marks: &mut Marks, board: &mut Board) {
        let peg = self.peg();
        let far = scene::distance(peg, self.frame.place(self.placed.pin)) + self.frame.length(8.0);
        let every = self.lengths.to_m(50.0);
        let first = if far < self.frame.length(self.lengths.to_m(120.0)) {
            1
        } else {
            2
        };
        for k in first..20 {
            let radius = self.frame.length(every * f64::from(k));
            if radius > far {
                break;
            }
            let mut run: Vec<Point> = Vec::new();
            for step in -140..=140 {
                let (sin, cos) = (f64::from(step) * 0.5_f64).to_radians().sin_cos();
                let p = [peg[0] + radius * sin, peg[1] - radius * cos];
                if self.strip.holds(p, 3.0) && self.frame.area.grown(-2.0).holds(p) {
                    run.push(p);
                } else if !run.is_empty() {
                    break;
                }
            }
            if run.len() < 3 {
                continue;
            }
            marks.nodes.push(Node::Path {
                steps: scene::polyline(&run),
                fill: None,
                stroke: Some(Stroke::of(palette::STONE, 1.0).dashed(1.0, 7.0)),
            });
            board.keep_off(&run, 0.05);
            let words = format!("{}", k * 50);
            for (at, side) in [(run[0], [-1.0, 0.0]), (run[run.len() - 1], [1.0, 0.0])] {
                marks.requests.push(Request {
                    gap: 7.0,
                    reach: 12.0,
                    side: Some(side),
                    limit: 55.0,
                    tied: false,
                    needed: false,
                    ..label(
                        at,
                        vec![Line::new(words.clone(), SMALL, false, palette::STONE)],
                    )
                });
            }
        }
    }

    fn regions(&self, marks: &mut Marks, board: &mut Board) {
        let steps = |rings: &[Vec<geo::Coord<f64>>]| -> Vec<Step> {
            rings
                .iter()
                .flat_map(|r| {
                    let points: Vec<Point> = r.iter().map(|&c| self.frame.place(c)).collect();
                    scene::ring(&points)
                })
                .collect()
        };
        let fill = |opacity| {
            Some(Fill {
                colour: palette::ACCENT,
                opacity,
            })
        };
        marks.nodes.push(Node::Path {
            steps: steps(&self.placed.ninety),
            fill: fill(0.10),
            stroke: Some(Stroke::of(palette::ACCENT, 2.0).dashed(8.0, 6.0)),
        });
        marks.nodes.push(Node::Path {
            steps: steps(&self.placed.half),
            fill: fill(0.18),
            stroke: Some(Stroke::of(palette::ACCENT, 2.2)),
        });
        for &ball in &self.placed.balls {
            let p = self.frame.place(ball);
            if self.frame.area.holds(p) {
                marks.nodes.push(Node::Circle {
                    id: None,
                    at: p,
                    radius: 1.8,
                    fill: fill(0.45),
                    stroke: None,
                });
            }
        }
        for (rings, words) in [(&self.placed.half, "50 %"), (&self.placed.ninety, "90 %")] {
            // The label goes to the ring that holds most.
            let mut largest: Vec<Point> = Vec::new();
            let tall = |points: &[Point]| {
                points
                    .iter()
                    .fold((f64::MAX, f64::MIN), |(a, b), p| (a.min(p[1]), b.max(p[1])))
            };
            let height = |points: &[Point]| {
                let (low, high) = tall(points);
                high - low
            };
            for ring in rings {
                let points: Vec<Point> = ring.iter().map(|&c| self.frame.place(c)).collect();
                board.keep_off(&points, 0.5);
                if largest.is_empty() || height(&points) > height(&largest) {
                    largest = points;
                }
            }
            let lowest = largest
                .iter()
                .copied()
                .max_by(|a, b| (a[1] + 0.3 * a[0]).total_cmp(&(b[1] + 0.3 * b[0])));
            if let Some(at) = lowest {
                marks.requests.push(Request {
                    gap: 6.0,
                    reach: 40.0,
                    tied: false,
                    needed: false,
                    ..label(at, vec![Line::new(words, SMALL, false, palette::ACCENT)])
                });
            }
        }
    }

    fn aim(&self, marks: &mut Marks, board: &mut Board) {
        let shot = &self.plan.choice.shot;
        let aim = &shot.aim;
        let peg = self.peg();
        let end = self.at(aim.bearing_deg, aim.distance_m.clamp(1.0, 3_000.0));
        let inner = self.frame.area.grown(-14.0);
        let Some([from, to]) = inner.part_of(peg, end) else {
            return;
        };
        // The ring stands round the thing itself, which may lie a little to
        // the side of the line.
        let target = self.placed.target.map_or(end, |t| self.frame.place(t));
        let seen = scene::distance(to, end) < 1.0 && inner.holds(target);
        let rim = if seen { target } else { to };
        let dashed = Stroke::of(palette::ACCENT, 2.6).dashed(22.0, 9.0);
        marks
            .nodes
            .push(scene::line(from, to, Stroke::of(palette::PAPER, 6.5)));
        marks.nodes.push(scene::line(from, to, dashed));
        board.keep_off(&[from, to], 1.4);
        // Every aim in the window costs next to nothing: a bracket across the line.
        let window = self.plan.choice.aim_window_deg;
        let reach_m = if seen { aim.distance_m } else { shot.total_m };
        let offset = aim.bearing_deg - aim.from_line_of_play_deg;
        let ends = [offset + window[0], offset + window[1]];
        if (window[1] - window[0]).abs() < 60.0 && window[0].is_finite() && window[1].is_finite() {
            let arc: Vec<Point> = (0..=16)
                .map(|k| self.at(ends[0] + (ends[1] - ends[0]) * f64::from(k) / 16.0, reach_m))
                .collect();
            if arc.iter().all(|p| self.frame.area.holds(*p)) {
                marks.nodes.push(Node::Path {
                    steps: scene::polyline(&arc),
                    fill: None,
                    stroke: Some(Stroke::of(palette::ACCENT, 2.0)),
                });
                for end in ends {
                    marks.nodes.push(scene::line(
                        self.at(end, reach_m - self.frame.scale * 0.0009),
                        self.at(end, reach_m + self.frame.scale * 0.0009),
                        Stroke::of(palette::ACCENT, 2.4),
                    ));
                }
                board.keep_off(&arc, 0.8);
            }
        }
        if seen {
            marks.nodes.push(Node::Circle {
                id: Some("target"),
                at: rim,
                radius: 11.0,
                fill: None,
                stroke: Some(Stroke::of(palette::ACCENT, 3.4)),
            });
            marks
                .nodes
                .push(scene::disc(rim, 3.0, palette::ACCENT, None));
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
            left: rim[0] - 12.0,
            top: rim[1] - 12.0,
            right: rim[0] + 12.0,
            bottom: rim[1] + 12.0,
        });
        let mut lines = vec![Line::new(
            format!("AIM {}", self.lengths.whole(aim.distance_m)),
            MEDIUM,
            true,
            palette::ACCENT,
        )];
        let words = aim_words(self.plan, self.lengths);
        for words in text::wrap(&words, SMALL, true, 250.0, 6) {
            lines.push(Line::new(words, SMALL, true, palette::INK));
        }
        if let Some(words) = safe(self.plan, self.lengths) {
            lines.push(Line::new(words, SMALL, false, palette::INK));
        }
        marks.requests.insert(0, label(rim, lines));
    }
}

/// What to aim at: "3 left of the flag" where the line passes the thing on
/// that side.
pub(super) fn aim_words(plan: &Plan, lengths: Lengths) -> String {
    let aim = &plan.choice.shot.aim;
    let beside_m = -aim.distance_m * aim.target_right_deg.to_radians().tan();
    let words = text::clean(&aim.words);
    if aim.is_landmark && lengths.of(beside_m).abs() >= 0.5 {
        let beside = side_words(beside_m, &lengths.whole(beside_m.abs()), "");
        format!("{beside} of {words}")
    } else {
        words
    }
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
    fn flight(&self, marks: &mut Marks, board: &mut Board) {
        let shot = &self.plan.choice.shot;
        let points: Vec<Point> = self
            .placed
            .flight
            .iter()
            .map(|&c| self.frame.place(c))
            .filter(|p| self.frame.area.holds(*p))
            .collect();
        let air = self.plan.finishes.flight_airborne.min(points.len());
        let (flown, rolled) = (&points[..air], &points[air.saturating_sub(1)..]);
        let stroke = |colour, width| Some(Stroke::of(colour, width));
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
                let start = sentence::start(shot.carry_m, apart, self.lengths.unit());
                let words = start.map_or("starts on the aim".to_owned(), |aside| {
                    format!("starts {aside} of the aim")
                });
                marks.requests.push(Request {
                    needed: false,
                    reach: 200.0,
                    ..label(b, vec![Line::new(words, SMALL, false, palette::ACCENT)])
                });
            }
        }
        for (piece, dash) in [(flown, None), (rolled, Some([1.0, 9.0]))] {
            let steps = smooth(piece);
            marks.nodes.push(Node::Path {
                steps: steps.clone(),
                fill: None,
                stroke: stroke(palette::PAPER, 10.0),
            });
            marks.nodes.push(Node::Path {
                steps,
                fill: None,
                stroke: Some(Stroke {
                    dash,
                    ..Stroke::of(palette::ACCENT, 5.6)
                }),
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
            label(
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
                        SMALL,
                        false,
                        palette::INK,
                    ),
                ],
            ),
        );
        if let Some(&middle) = flown.get(flown.len() * 2 / 5)
            && (self.lengths.of(shot.curve_m).abs() >= 0.5 || self.plan.choice.is_two_way)
        {
            let mut lines = vec![Line::new(
                Bend::of_plan(self.plan).words(self.plan.unit()),
                SMALL,
                true,
                palette::ACCENT,
            )];
            // Both ways must be played for: say so.
            if let Some(words) =
                why::both_ways(self.plan.choice.two_way_miss, self.plan.choice.is_two_way)
            {
                lines.push(Line::new(words, SMALL, false, palette::INK));
            }
            marks.requests.push(Request {
                tied: false,
                needed: false,
                gap: 12.0,
                reach: 60.0,
                ..label(middle, lines)
            });
        }
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
