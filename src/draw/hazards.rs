//! What to carry, and where not to be.

use super::columns::COLUMN;
use super::labels::{About, Board, Line, Request};
use super::page::{MEDIUM, READ};
use super::scene::{self, Point, Stroke, palette};
use super::shot::{Marks, Sight, label};
use super::text;
use crate::plan::card;
use crate::plan::{Carry, Plan};
use geo::Coord;

/// At most so many hazards, and so many off the map: the worst.
const MOST: usize = 6;
const MOST_OFF: usize = 2;

/// Half a ball of a hundred: a hazard with fewer is named for where it lies only.
const LEAST_SHARE: f64 = 0.005;

fn is_bounds(carry: &Carry) -> bool {
    carry.kind == "out_of_bounds"
}

/// Whether a hazard is worth a number: balls end in it, or it lies beside or
/// across the ball's own way within reach.
pub(super) fn matters(carry: &Carry, total_m: f64) -> bool {
    let (beside_m, beyond_m) = match carry.kind.as_str() {
        "trees" => (12.0, 20.0),
        "bunker" => (25.0, 35.0),
        _ => (40.0, 80.0),
    };
    carry.share >= LEAST_SHARE
        || (carry.offset_m.abs() < beside_m && carry.reach_m < total_m + beyond_m)
}

/// Whether a hazard is told how many balls end in it.
fn is_share_told(carry: &Carry) -> bool {
    carry.share >= LEAST_SHARE || (is_bounds(carry) && carry.share > 0.0)
}

/// "6 in 100": how many balls end in one of the plan's carries, where that is told.
pub(super) fn told_share(plan: &Plan, index: usize, carry: &Carry) -> Option<String> {
    let count = || card::counts(plan).get(index).copied().unwrap_or_default();
    is_share_told(carry).then(|| card::of_hundred(count()))
}

/// On which side of the ball's own line a hazard lies, right where true; of what lies across it the
/// side that its words name.
pub(super) fn is_of_right(carry: &Carry) -> Option<bool> {
    match carry.offset_m {
        off if off.abs() >= card::ACROSS_M => Some(off > 0.0),
        _ if carry.words.ends_with(" on the left") => Some(false),
        _ if carry.words.ends_with(" on the right") => Some(true),
        _ => None,
    }
}

/// Words without the side that their place on the map says.
fn without_side(words: &str, side: f64) -> &str {
    let ending = if side < 0.0 {
        " on the left"
    } else {
        " on the right"
    };
    words.strip_suffix(ending).unwrap_or(words)
}

/// A hazard and the points that its numbers measure to.
type Named<'a> = (&'a Carry, [Coord<f64>; 3]);

impl Sight<'_> {
    /// Hazards that matter, worst first.
    pub(super) fn carries(&self, marks: &mut Marks, board: &mut Board) {
        let total = self.plan.choice.shot.total_m;
        let counts = card::counts(self.plan);
        let mut chosen: Vec<(usize, Named<'_>)> = self
            .plan
            .carries
            .iter()
            .zip(self.placed.carries.iter().copied())
            .enumerate()
            .filter(|(_, (carry, ends))| {
                let is_seen = self.is_seen(ends);
                let is_bounds = is_seen && is_bounds(carry);
                is_bounds || (matters(carry, total) && (carry.share >= LEAST_SHARE || is_seen))
            })
            .collect();
        // Out of bounds in sight is named however few balls end there.
        let weight = |carry: &Carry| {
            if is_bounds(carry) {
                carry.share.max(LEAST_SHARE)
            } else {
                carry.share
            }
        };
        chosen.sort_by(|(_, (a, _)), (_, (b, _))| {
            weight(b)
                .total_cmp(&weight(a))
                .then(a.offset_m.abs().total_cmp(&b.offset_m.abs()))
        });
        let mut off = 0;
        chosen.retain(|(_, (_, ends))| {
            off += usize::from(!self.is_seen(ends));
            self.is_seen(ends) || off <= MOST_OFF
        });
        chosen.truncate(MOST);
        let mut requests = Vec::new();
        for (index, (carry, ends)) in chosen {
            let [reach, clear, nearest] = ends.map(|e| self.frame.place(e));
            // What runs on has no end, and begins off the ball's line.
            for p in [reach, clear] {
                if !carry.goes_on && self.frame.area.holds(p) {
                    self.tick(p, marks);
                }
            }
            let side = match is_of_right(carry) {
                Some(false) => -1.0,
                _ => 1.0,
            };
            let numbers = carry.stretch(self.lengths.unit());
            let mut lines = vec![Line::new(numbers, MEDIUM, true, palette::INK)];
            let words = text::clean(&carry.words);
            let mut words = text::wrap(without_side(&words, side), READ, false, COLUMN, 4);
            if is_share_told(carry) {
                let share = card::of_hundred(counts.get(index).copied().unwrap_or_default());
                match words.last_mut() {
                    Some(last)
                        if text::width(&format!("{last}, {share}"), READ, false) <= COLUMN =>
                    {
                        *last = format!("{last}, {share}");
                    }
                    _ => words.push(share),
                }
            }
            lines.extend(
                words
                    .into_iter()
                    .map(|w| Line::new(w, READ, false, palette::INK)),
            );
            // Of what runs along the hole the part beside the balls is named.
            let runs = matches!(carry.kind.as_str(), "trees" | "out_of_bounds");
            let places = if runs && self.frame.area.holds(nearest) {
                [nearest, reach, clear]
            } else {
                [reach, clear, nearest]
            };
            let (at, or) = self.named_at(places, side);
            requests.push(Request {
                about: About::Hazard(index),
                or: Some(or),
                is_of_right: is_of_right(carry),
                ..label(at, lines)
            });
        }
        let place = 2.min(marks.requests.len());
        marks.requests.splice(place..place, requests);
        board.keep_clear(super::frame::Area {
            left: self.peg()[0] - 40.0,
            top: self.peg()[1] - 30.0,
            right: self.peg()[0] + 40.0,
            bottom: self.peg()[1] + 12.0,
        });
    }

    /// The points that a label may be tied to: where the hazard begins, else where it ends,
    /// else where it is nearest to the ball's end; of what lies off the map the edge on its
    /// side.
    fn named_at(&self, ends: [Point; 3], side: f64) -> (Point, Point) {
        let map = self.frame.area;
        let inner = map.grown(-4.0);
        let [reach, clear, nearest] = ends.map(|p| inner.nearest(p));
        match ends.map(|p| map.holds(p)) {
            [true, false, true] => (reach, nearest),
            [true, ..] => (reach, clear),
            [false, true, true] => (clear, nearest),
            [false, true, false] => (clear, reach),
            [false, false, true] => (nearest, nearest),
            [false, false, false] => {
                let x = if side < 0.0 {
                    reach[0].min(map.left + COLUMN)
                } else {
                    reach[0].max(map.right - COLUMN)
                };
                ([x, reach[1]], reach)
            }
        }
    }

    /// Whether a hazard begins or ends on the map.
    fn is_seen(&self, ends: &[Coord<f64>]) -> bool {
        let mut places = ends.iter().map(|&e| self.frame.place(e));
        places.any(|p| self.frame.area.holds(p))
    }

    /// A short mark square to the line from the peg.
    fn tick(&self, p: Point, marks: &mut Marks) {
        let peg = self.peg();
        let long = scene::distance(p, peg);
        if long < 1.0 {
            return;
        }
        let across = [-(p[1] - peg[1]) / long * 9.0, (p[0] - peg[0]) / long * 9.0];
        let ends = (
            [p[0] - across[0], p[1] - across[1]],
            [p[0] + across[0], p[1] + across[1]],
        );
        marks
            .nodes
            .push(scene::line(ends.0, ends.1, Stroke::of(palette::PAPER, 6.0)));
        marks
            .nodes
            .push(scene::line(ends.0, ends.1, Stroke::of(palette::INK, 3.0)));
    }
}
