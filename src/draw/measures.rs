//! What is left to the green, and how wide the fairway is where the ball lands.

use super::labels::{About, Board, Line, Request};
use super::page::{MEDIUM, READ};
use super::scene::{self, Fill, Node, Point, Stroke, palette};
use super::shot::{Marks, Sight, label};
use geo::Coord;

impl Sight<'_> {
    /// The way to the pin, the flag, and what is left.
    pub(super) fn left(&self, marks: &mut Marks, board: &mut Board) {
        let (rest, pin) = (
            self.frame.place(self.placed.rest),
            self.frame.place(self.placed.pin),
        );
        let left_m = {
            let (a, b) = (self.placed.rest, self.placed.pin);
            (a.x - b.x).hypot(a.y - b.y)
        };
        if !left_m.is_finite() {
            return;
        }
        let say = |m: f64| self.lengths.whole(m);
        // A next shot that goes to the green has its own line.
        let next = self.plan.whole_hole.as_ref().and_then(|w| w.next.as_ref());
        if let Some([a, b]) = self.frame.area.part_of(rest, pin)
            && next.is_none_or(|next| !next.choice.at_green)
        {
            marks.nodes.push(scene::line(
                a,
                b,
                Stroke::of(palette::INK, 1.5).dashed(1.5, 8.0),
            ));
            board.keep_off(&[a, b], 0.4);
        }
        // The flag.
        let top = [pin[0], pin[1] - 34.0];
        marks
            .nodes
            .push(scene::line(pin, top, Stroke::of(palette::INK, 2.4)));
        marks.nodes.push(Node::Path {
            steps: scene::ring(&[top, [top[0] + 21.0, top[1] + 7.0], [top[0], top[1] + 15.0]]),
            fill: Some(Fill::of(palette::INK)),
            stroke: None,
        });
        marks.nodes.push(Node::Circle {
            id: Some("pin"),
            at: pin,
            radius: 3.2,
            fill: Some(Fill::of(palette::PAPER)),
            stroke: Some(Stroke::of(palette::INK, 2.0)),
        });
        board.keep_clear(super::frame::Area {
            left: pin[0] - 5.0,
            top: top[1] - 2.0,
            right: pin[0] + 23.0,
            bottom: pin[1] + 5.0,
        });
        let mut lines = vec![Line::new(
            format!("{} to go", say(left_m)),
            MEDIUM,
            true,
            palette::INK,
        )];
        if let Some([front, back]) = self.placed.green_from_rest_m
            && left_m > 30.0
        {
            lines.push(Line::new(
                format!("front {} · back {}", say(front), say(back)),
                READ,
                false,
                palette::INK,
            ));
        }
        let at = if left_m > 30.0 {
            [
                rest[0] * 0.45 + pin[0] * 0.55,
                rest[1] * 0.45 + pin[1] * 0.55,
            ]
        } else {
            pin
        };
        marks.requests.insert(
            0,
            Request {
                about: About::ToGo,
                tied: left_m <= 30.0,
                ..label(at, lines)
            },
        );
    }

    /// The fairway's width where the ball lands, m, and its edges there on paper.
    pub(super) fn width_bar(&self) -> Option<(f64, [Point; 2])> {
        let carry_m = self.plan.choice.shot.carry_m;
        let off = |w: &&(f64, f64, Coord<f64>, Coord<f64>)| (w.0 - carry_m).abs();
        let widths = self.placed.widths.iter();
        let &(_, width_m, left, right) = widths.min_by(|a, b| off(a).total_cmp(&off(b)))?;
        Some((width_m, [self.frame.place(left), self.frame.place(right)]))
    }

    /// Draws it.
    pub(super) fn width(&self, marks: &mut Marks, board: &mut Board) {
        let Some((width_m, [a, b])) = self.width_bar() else {
            return;
        };
        let Some([from, to]) = self.frame.area.part_of(a, b) else {
            return;
        };
        let long = scene::distance(a, b).max(1e-6);
        let across = [(b[0] - a[0]) / long, (b[1] - a[1]) / long];
        let tick = |p: Point| {
            scene::line(
                [p[0] - across[1] * 9.0, p[1] + across[0] * 9.0],
                [p[0] + across[1] * 9.0, p[1] - across[0] * 9.0],
                Stroke::of(palette::INK, 2.4),
            )
        };
        marks
            .nodes
            .push(scene::line(from, to, Stroke::of(palette::INK, 1.5)));
        // An edge beyond the map has no tick: the bar runs to the map's own edge.
        for edge in [a, b] {
            if self.frame.area.holds(edge) {
                marks.nodes.push(tick(edge));
            }
        }
        let inner = self.frame.area.grown(-4.0);
        let [a, b] = [a, b].map(|edge| inner.nearest(edge));
        board.keep_off(&[a, b], 0.8);
        // On the side away from the finish, where there is more white.
        let rest = self.frame.place(self.placed.rest);
        let (at, or, side) = if scene::distance(rest, a) > scene::distance(rest, b) {
            (a, b, [-across[0], -across[1]])
        } else {
            (b, a, across)
        };
        marks.requests.insert(
            0,
            Request {
                about: About::Width,
                or: Some(or),
                side: Some(side),
                gap: 12.0,
                ..label(
                    at,
                    vec![
                        Line::new(
                            format!("{} wide", self.lengths.whole(width_m)),
                            MEDIUM,
                            true,
                            palette::INK,
                        ),
                        Line::new("fairway".to_owned(), READ, false, palette::INK),
                    ],
                )
            },
        );
    }
}
