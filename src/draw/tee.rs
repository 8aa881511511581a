//! The ground at the golfer's feet.

use super::frame::Area;
use super::labels::{About, Board, Line, Request};
use super::page::{Lengths, MEDIUM, Placed, READ, fixed};
use super::panel::put;
use super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::text;
use crate::plan::Plan;
use crate::plan::sentence::{AT_M, AT_MARKER_M};

/// A value kept within bounds; the lower bound for what is not a number.
fn within(value: f64, low: f64, high: f64) -> f64 {
    if value.is_nan() {
        low
    } else {
        value.clamp(low, high)
    }
}

/// The ground at the golfer's feet: markers, peg, feet, the aim.
pub fn tee(board: &mut Board, area: &Area, plan: &Plan, placed: &Placed, lengths: Lengths) {
    let picture = Picture::of(area, plan, lengths);
    picture.draw_ground(board);
    picture.draw_markers(board);
    picture.draw_aim(board, placed.aim_from_square_deg);
    picture.draw_measures(board);
    picture.draw_peg(board);
    // The distance to pace comes first, then how far back: at the front there is nothing to measure.
    let [nearer, other] = picture.distances_in();
    board.place(&nearer);
    if picture.behind_m > AT_M {
        board.place(&picture.distance_back());
    }
    board.place(&other);
}

/// The teeing area on the board, seen from above with the hole up.
struct Picture<'a> {
    area: &'a Area,
    plan: &'a Plan,
    lengths: Lengths,
    /// Units of the board a metre.
    scale: f64,
    /// The markers' sides, and the lines through the markers and behind.
    left: f64,
    right: f64,
    front: f64,
    back: f64,
    peg: Point,
    /// From marker to marker, m.
    width_m: f64,
    /// The peg from the left marker and behind the line of the markers, m.
    from_left_m: f64,
    behind_m: f64,
}

/// The line of the aim from the peg, in the picture.
struct AimLine {
    peg: Point,
    sin: f64,
    cos: f64,
}

impl AimLine {
    /// The point so far along the line and to its right.
    fn at(&self, along: f64, off: f64) -> Point {
        let Self { peg, sin, cos } = self;
        [
            peg[0] + sin * along + cos * off,
            peg[1] - cos * along + sin * off,
        ]
    }
}

/// A distance in words.
fn bold(words: String) -> Line {
    Line::new(words, MEDIUM, true, palette::INK)
}

/// The words beside it.
fn small(words: String) -> Line {
    Line::new(words, READ, false, palette::INK)
}

impl<'a> Picture<'a> {
    fn of(area: &'a Area, plan: &'a Plan, lengths: Lengths) -> Self {
        let shot = &plan.choice.shot;
        let width_m = within(plan.hole.teeing_width_m, 0.5, 60.0);
        let depth_m = within(plan.hole.teeing_depth_m, 0.5, 5.0);
        let scale = ((area.width() - 140.0) / width_m).min((area.height() - 130.0) / depth_m);
        let left = (area.left + area.right - width_m * scale) / 2.0;
        let front = area.bottom - 22.0 - depth_m * scale;
        let from_left_m = within(shot.tee.from_left_marker_m, 0.0, width_m);
        let behind_m = within(shot.tee.behind_front_m, 0.0, depth_m);
        Self {
            area,
            plan,
            lengths,
            scale,
            left,
            right: left + width_m * scale,
            front,
            back: front + depth_m * scale,
            peg: [left + from_left_m * scale, front + behind_m * scale],
            width_m,
            from_left_m,
            behind_m,
        }
    }

    fn is_left_handed(&self) -> bool {
        self.plan.player.handedness == "left"
    }

    /// Where the distances from the markers are measured.
    fn level(&self) -> f64 {
        self.front - 26.0
    }

    /// The grass, the line of the markers, and the edges behind it.
    fn draw_ground(&self, board: &mut Board) {
        let &Self {
            left,
            right,
            front,
            back,
            ..
        } = self;
        let ink = Stroke::of(palette::INK, 2.4);
        board.nodes.push(Node::Path {
            steps: scene::rectangle(left, front, right - left, back - front),
            fill: Some(Fill {
                colour: palette::FAIRWAY,
                opacity: 0.75,
            }),
            stroke: None,
        });
        let edge = if self.plan.hole.teeing_area_assumed {
            ink.dashed(9.0, 7.0)
        } else {
            ink
        };
        board
            .nodes
            .push(scene::line([left, front], [right, front], edge));
        let behind = [[left, front], [left, back], [right, back], [right, front]];
        board.nodes.push(Node::Path {
            steps: scene::polyline(&behind),
            fill: None,
            stroke: Some(Stroke::of(palette::STONE, 1.5).dashed(5.0, 5.0)),
        });
        board.keep_off(&behind, 6.0);
    }

    fn draw_markers(&self, board: &mut Board) {
        let &Self {
            left, right, front, ..
        } = self;
        for x in [left, right] {
            board.nodes.push(scene::disc(
                [x, front],
                9.0,
                palette::INK,
                Some(Stroke::of(palette::PAPER, 2.0)),
            ));
            board.keep_clear(around([x, front], 10.0));
        }
        board.keep_off(&[[left, front], [right, front]], 0.6);
    }

    /// The aim, at its true angle to the markers, with the feet beside it.
    fn draw_aim(&self, board: &mut Board, angle_deg: f64) {
        if !(angle_deg.is_finite() && angle_deg.abs() < 80.0) {
            return;
        }
        let (peg, area) = (self.peg, self.area);
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        let aim = AimLine { peg, sin, cos };
        let tip_y = area.top + 20.0;
        let long = ((peg[1] - tip_y) / cos).min(if sin.abs() > 1e-9 {
            (if sin > 0.0 {
                area.right - peg[0]
            } else {
                peg[0] - area.left
            } - 8.0)
                / sin.abs()
        } else {
            f64::MAX
        });
        let tip = aim.at(long, 0.0);
        board.nodes.push(scene::line(
            peg,
            aim.at(long - 14.0, 0.0),
            Stroke::of(palette::ACCENT, 3.4).dashed(22.0, 9.0),
        ));
        board.nodes.push(Node::Path {
            steps: scene::ring(&[tip, aim.at(long - 20.0, 9.0), aim.at(long - 20.0, -9.0)]),
            fill: Some(Fill::of(palette::ACCENT)),
            stroke: None,
        });
        board.keep_off(&[peg, tip], 4.0);
        self.draw_feet(board, &aim);
    }

    /// The feet: left of the ball for a right-hander, seen down the hole.
    fn draw_feet(&self, board: &mut Board, aim: &AimLine) {
        let scale = self.scale;
        let AimLine { sin, cos, .. } = aim;
        let side = if self.is_left_handed() { 1.0 } else { -1.0 };
        for along in [-0.24, 0.24] {
            let centre = aim.at(along * scale, side * 0.75 * scale);
            let foot = |a: f64, b: f64| {
                // A foot is longer across the line than along it.
                let (x, y) = (b * (0.145 * scale).max(10.0), a * (0.06 * scale).max(4.0));
                [centre[0] + sin * y + cos * x, centre[1] - cos * y + sin * x]
            };
            let outline: Vec<Point> = (0..24)
                .map(|k| {
                    let (s, c) = (f64::from(k) * std::f64::consts::TAU / 24.0).sin_cos();
                    foot(s, c)
                })
                .collect();
            if outline.iter().all(|p| self.area.holds(*p)) {
                board.nodes.push(Node::Path {
                    steps: scene::ring(&outline),
                    fill: Some(Fill::of(palette::MIST)),
                    stroke: Some(Stroke::of(palette::STONE, 1.4)),
                });
                board.keep_off(&[foot(0.0, -1.0), foot(0.0, 1.0)], 1.5);
            }
        }
    }

    /// The lines along which it is measured how far in from both markers, and how far back.
    fn draw_measures(&self, board: &mut Board) {
        let &Self {
            left, right, peg, ..
        } = self;
        let level = self.level();
        let thin = Stroke::of(palette::INK, 1.4);
        for [from, to] in [[left, peg[0]], [peg[0], right]] {
            board
                .nodes
                .push(scene::line([from, level], [to, level], thin));
            for x in [from, to] {
                board
                    .nodes
                    .push(scene::line([x, level - 6.0], [x, level + 6.0], thin));
            }
        }
        board.nodes.push(scene::line(
            [peg[0], level + 6.0],
            [peg[0], peg[1]],
            thin.dashed(2.0, 5.0),
        ));
        board.keep_off(&[[left, level], [right, level]], 3.0);
        board.keep_off(&[[peg[0], level], peg], 3.0);
    }

    fn draw_peg(&self, board: &mut Board) {
        board.nodes.push(scene::disc(
            self.peg,
            9.5,
            palette::ACCENT,
            Some(Stroke::of(palette::PAPER, 2.4)),
        ));
        board.keep_clear(around(self.peg, 12.0));
    }

    /// The distances from both markers, the nearer first.
    fn distances_in(&self) -> [Request; 2] {
        let &Self {
            left,
            right,
            peg,
            width_m,
            from_left_m,
            ..
        } = self;
        let is_left_nearer = from_left_m <= width_m / 2.0;
        let from_left = self.distance_in((left + peg[0]) / 2.0, from_left_m, is_left_nearer);
        let from_right = self.distance_in(
            (peg[0] + right) / 2.0,
            width_m - from_left_m,
            from_left_m > width_m / 2.0,
        );
        if is_left_nearer {
            [from_left, from_right]
        } else {
            [from_right, from_left]
        }
    }

    /// How far the peg is from a marker; in bold from the nearer one.
    fn distance_in(&self, at: f64, metres: f64, nearer: bool) -> Request {
        let (lengths, peg) = (self.lengths, self.peg);
        let at_marker = nearer && metres <= AT_MARKER_M;
        let lines = if at_marker {
            vec![small("by the marker".to_owned())]
        } else if nearer {
            vec![
                bold(lengths.tenth(metres)),
                small(format!("{} in", lengths.name())),
            ]
        } else {
            vec![small(lengths.tenth(metres))]
        };
        // Each distance keeps to its own side of the peg.
        let within = if at < peg[0] {
            Area {
                right: peg[0] - 3.0,
                ..*self.area
            }
        } else {
            Area {
                left: peg[0] + 3.0,
                ..*self.area
            }
        };
        Request {
            about: About::Itself,
            at: [at, self.level()],
            or: None,
            lines,
            gap: 7.0,
            reach: if at_marker { 260.0 } else { 90.0 },
            is_of_right: None,
            side: Some([0.0, -1.0]),
            within: (!at_marker).then_some(within),
            limit: f64::MAX,
            tied: false,
            needed: true,
        }
    }

    /// How far the peg is behind the line of the markers.
    fn distance_back(&self) -> Request {
        let (lengths, peg) = (self.lengths, self.peg);
        Request {
            about: About::Itself,
            at: [peg[0], (self.front + peg[1]) / 2.0],
            or: None,
            lines: vec![
                bold(lengths.tenth(self.behind_m)),
                small(format!("{} back", lengths.name())),
            ],
            gap: 13.0,
            reach: 120.0,
            is_of_right: None,
            side: Some(if self.is_left_handed() {
                [-1.0, 0.4]
            } else {
                [1.0, 0.4]
            }),
            within: None,
            limit: f64::MAX,
            tied: false,
            needed: true,
        }
    }
}

/// The square about a point.
fn around([x, y]: Point, half: f64) -> Area {
    Area {
        left: x - half,
        top: y - half,
        right: x + half,
        bottom: y + half,
    }
}

/// Under the picture of the tee: what the markers do to the eye.
pub fn tee_note(board: &mut Board, area: &Area, plan: &Plan, placed: &Placed) {
    let angle = placed.aim_from_square_deg;
    let markers = if !angle.is_finite() {
        String::new()
    } else if angle.abs() < 0.75 {
        "markers square to the aim".to_owned()
    } else {
        format!(
            "markers point {}° {} of the aim",
            fixed(angle.abs(), 0),
            if angle > 0.0 { "left" } else { "right" }
        )
    };
    // Where no markers are known, how they point is not either.
    let words = if plan.hole.teeing_area_assumed {
        "assumed: measure at the markers".to_owned()
    } else {
        markers
    };
    let lines = text::wrap(&words, READ, false, area.width(), 2);
    for (k, line) in lines.iter().enumerate() {
        let at = [area.left, area.top + READ + k as f64 * 30.0];
        let style = (READ, false, palette::STONE);
        put(board, line, style, at, Anchor::Start, area.width());
    }
}
