//! Labels in two columns at the sides of a map, tied to what they name by a line
//! with one elbow.
//!
//! A boundary labelling (Bekos, Kaufmann, Symvonis and Wolff, *Computational
//! Geometry* 36(3) (2007), 215–236; memory) found by descent: each label has a
//! side and a wished height, the labels of a column are stacked by their wishes,
//! and the move that makes the whole cheapest is taken until none does. No line
//! may cross the shot's lines, another line or a text.

use super::frame::Area;
use super::labels::{AIR, Board, Line, Request, crosses, pitch};
use super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::text;

/// Widest that a label of a column may be.
pub const COLUMN: f64 = 180.0;
/// From the neat line to a column's text.
const INSET: f64 = 9.0;
/// The columns end this far above the map's foot, where its scale stands.
const FOOT: f64 = 46.0;
/// White between the labels of a column.
const APART: f64 = 9.0;
/// A tie ends this far from what it names, and begins this far from its text.
const ENDS_BEFORE: f64 = 12.0;
const BEGINS_AFTER: f64 = 5.0;
/// Nearer to the middle than this, a label may stand on either side.
const MIDDLE: f64 = 40.0;
/// Most moves of the descent.
const MOVES: usize = 80;
/// What may not be: a crossing, a text on a mark.
const FORBIDDEN: f64 = 4_000.0;
/// What is better than that only: a label on the other side of the ball's line, which it is near.
const OTHER_SIDE: f64 = 1_500.0;
/// Two labels of a column in another order than what they name: the further should stand higher.
const OUT_OF_ORDER: f64 = 1_200.0;
/// Nearer to each other than this up the page, what they name has no order.
const LEVEL: f64 = 12.0;

/// A label in its column, as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Leader {
    /// The label's first line.
    pub words: String,
    /// In the right column.
    pub is_right: bool,
    /// Whether it belongs there, where that is known.
    pub is_of_right: Option<bool>,
    /// What it names.
    pub names: Point,
    /// From the text by the elbow to what it names.
    pub points: [Point; 3],
}

/// What the columns stand beside.
pub struct Field<'a> {
    /// The map.
    pub area: Area,
    /// Lines that no tie may cross: the flight and the aim.
    pub barriers: &'a [Vec<Point>],
    /// What lies left of this is named on the left.
    pub middle: f64,
}

/// A label, and the points that it may be tied to.
struct Item<'a> {
    request: &'a Request,
    lines: Vec<&'a Line>,
    /// What it is tied to in the left and in the right column; none where it may not
    /// stand there.
    at: [Option<Point>; 2],
    /// How wide the first line is, and all of them.
    first: f64,
    width: f64,
    height: f64,
    is_of_right: Option<bool>,
}

/// Where a label would stand.
#[derive(Clone, Copy, Debug)]
struct Seat {
    is_right: bool,
    wish: f64,
}

impl Field<'_> {
    /// Whether a level line from a point to a side of the map crosses no barrier.
    #[must_use]
    pub fn is_open(&self, at: Point, is_right: bool) -> bool {
        let sign = if is_right { 1.0 } else { -1.0 };
        let end = if is_right {
            self.area.right + 1.0
        } else {
            self.area.left - 1.0
        };
        let level = [[at[0] + sign * 3.0, at[1]], [end, at[1]]];
        let meets = |line: &Vec<Point>| line.windows(2).any(|w| crosses(level, [w[0], w[1]]));
        !self.barriers.iter().any(meets)
    }

    fn item<'a>(&self, request: &'a Request) -> Option<Item<'a>> {
        let lines: Vec<&Line> = request
            .lines
            .iter()
            .filter(|l| !l.words.is_empty())
            .collect();
        let anchors = || std::iter::once(request.at).chain(request.or);
        let is_seat = |at: &Point, is_right: bool| {
            at.iter().all(|v| v.is_finite()) && self.is_open(*at, is_right)
        };
        let own = request.is_of_right;
        let own = own.filter(|own| anchors().any(|at| is_seat(&at, *own)));
        let at = [false, true].map(|is_right| {
            anchors().find(|at| {
                let off = if is_right {
                    at[0] - self.middle
                } else {
                    self.middle - at[0]
                };
                is_seat(at, is_right)
                    && (own == Some(is_right)
                        || off > -MIDDLE
                        || (own.is_none() && !self.is_open(*at, !is_right)))
            })
        });
        (!lines.is_empty() && at != [None, None]).then(|| Item {
            is_of_right: own,
            ..Item::new(request, lines, at)
        })
    }

    /// The labels' boxes, the columns stacked by the wishes.
    fn stacked(&self, items: &[Item<'_>], seats: &[Seat]) -> Vec<Area> {
        let mut tops: Vec<f64> = seats.iter().map(|seat| seat.wish).collect();
        let (high, low) = (self.area.top + INSET, self.area.bottom - FOOT);
        for is_right in [false, true] {
            let mut order: Vec<usize> = (0..items.len())
                .filter(|&i| seats[i].is_right == is_right)
                .collect();
            order.sort_by(|&a, &b| seats[a].wish.total_cmp(&seats[b].wish).then(a.cmp(&b)));
            let mut free = high;
            for &i in &order {
                tops[i] = tops[i].max(free);
                free = tops[i] + items[i].height + APART;
            }
            let mut limit = low;
            for &i in order.iter().rev() {
                tops[i] = tops[i].min(limit - items[i].height);
                limit = tops[i] - APART;
            }
        }
        let boxes = items.iter().zip(seats).zip(tops);
        boxes
            .map(|((item, seat), top)| {
                let left = if seat.is_right {
                    self.area.right - INSET - item.width
                } else {
                    self.area.left + INSET
                };
                Area {
                    left,
                    top,
                    right: left + item.width,
                    bottom: top + item.height,
                }
            })
            .collect()
    }
}

impl<'a> Item<'a> {
    fn new(request: &'a Request, lines: Vec<&'a Line>, at: [Option<Point>; 2]) -> Self {
        let widths = || lines.iter().map(|l| l.width());
        Self {
            first: widths().next().unwrap_or(0.0),
            width: widths().fold(0.0, f64::max),
            height: lines.iter().map(|l| pitch(l)).sum(),
            request,
            lines,
            at,
            is_of_right: None,
        }
    }

    /// The same without its last line but one.
    fn shortened(mut self) -> Self {
        self.lines.remove(self.lines.len() - 2);
        Self {
            is_of_right: self.is_of_right,
            ..Self::new(self.request, self.lines, self.at)
        }
    }

    /// What it is tied to in a column.
    fn anchor(&self, is_right: bool) -> Point {
        let [left, right] = self.at;
        let here = if is_right { right } else { left };
        here.or(left).or(right).unwrap_or_default()
    }

    /// The same to a point above or below the text.
    fn upright(&self, area: &Area, at: Point) -> [Point; 3] {
        let x = at[0].clamp(area.left + 8.0, (area.right - 8.0).max(area.left + 8.0));
        let (edge, sign) = if at[1] > area.bottom {
            (area.bottom, 1.0)
        } else {
            (area.top, -1.0)
        };
        let start = [x, edge + sign * 4.0];
        let room = (at[1] - start[1]).abs();
        let elbow = [
            x,
            start[1] + sign * (room - 1.2 * (at[0] - x).abs()).max(0.0) * 0.5,
        ];
        let end = if room > ENDS_BEFORE {
            scene::towards(at, elbow, ENDS_BEFORE)
        } else {
            elbow
        };
        [start, elbow, end]
    }

    /// From the text by the elbow to what it names.
    fn tie(&self, area: &Area, is_right: bool) -> [Point; 3] {
        let at = self.anchor(is_right);
        let first = &self.lines[0];
        let y = area.top + text::ascent(&first.words) * first.size - 0.33 * first.size;
        let sign = if is_right { -1.0 } else { 1.0 };
        let start = if is_right {
            area.right - self.first - BEGINS_AFTER
        } else {
            area.left + self.first + BEGINS_AFTER
        };
        let is_under = (at[0] - start) * sign < 6.0;
        if is_under && (at[1] < area.top || at[1] > area.bottom) {
            return self.upright(area, at);
        }
        // How far in from the text the elbow lies: as near to the point as 50° allow, and
        // past the other labels of the column where the point is.
        let room = (at[0] - start) * sign;
        let past = COLUMN + BEGINS_AFTER - self.first;
        let least = if room > past { past.max(6.0) } else { 6.0 };
        let level = (room - 0.8 * (at[1] - y).abs()).max(least);
        let elbow = [start + sign * level, y];
        let long = scene::distance(elbow, at);
        let end = if long > ENDS_BEFORE {
            scene::towards(at, elbow, ENDS_BEFORE)
        } else {
            elbow
        };
        [[start, y], elbow, end]
    }
}

/// What the labels cost in these seats; infinite where that is above the `limit`: no part of it is
/// negative.
fn cost(field: &Field<'_>, board: &Board, items: &[Item<'_>], seats: &[Seat], limit: f64) -> f64 {
    let boxes = field.stacked(items, seats);
    let ties: Vec<[Point; 3]> = items
        .iter()
        .zip(&boxes)
        .zip(seats)
        .map(|((item, area), seat)| item.tie(area, seat.is_right))
        .collect();
    let mut sum = 0.0;
    for (i, area) in boxes.iter().enumerate() {
        if sum > limit {
            return f64::INFINITY;
        }
        if area.top < field.area.top {
            sum += FORBIDDEN * 10.0;
        }
        if items[i]
            .is_of_right
            .is_some_and(|own| own != seats[i].is_right)
        {
            sum += OTHER_SIDE;
        }
        let wide = area.grown(AIR);
        sum += FORBIDDEN * board.taken.iter().filter(|t| t.overlaps(&wide)).count() as f64;
        sum += 0.5 * board.covered(area);
        for line in field.barriers {
            for w in line.windows(2) {
                if let Some([a, b]) = wide.part_of(w[0], w[1]) {
                    sum += 60.0 + 2.0 * scene::distance(a, b);
                }
            }
        }
        let [a, b, c] = ties[i];
        sum += 0.6 * (scene::distance(a, b) + scene::distance(b, c));
        sum += 0.8 * (b[1] - c[1]).abs();
        for leg in [[a, b], [b, c]] {
            let through = |t: &Area| t.part_of(leg[0], leg[1]).is_some();
            sum += FORBIDDEN * boxes.iter().filter(|t| through(t)).count() as f64;
            sum += FORBIDDEN * board.texts.iter().filter(|t| through(&t.area)).count() as f64;
            let meets = |line: &Vec<Point>| line.windows(2).any(|w| crosses(leg, [w[0], w[1]]));
            sum += FORBIDDEN * field.barriers.iter().filter(|l| meets(l)).count() as f64;
            let light = |s: &&([Point; 2], f64)| s.1 > 0.7 && crosses(leg, s.0);
            sum += 12.0 * board.strokes.iter().filter(light).count() as f64;
            for other in &ties[..i] {
                for o in [[other[0], other[1]], [other[1], other[2]]] {
                    if crosses(leg, o) {
                        sum += FORBIDDEN;
                    }
                }
            }
        }
        let height = |k: usize| items[k].anchor(seats[k].is_right)[1];
        let is_out_of_order = |k: &usize| {
            let lower = height(i) - height(*k);
            seats[i].is_right == seats[*k].is_right
                && lower.abs() > LEVEL
                && (area.top > boxes[*k].top) != (lower > 0.0)
        };
        sum += OUT_OF_ORDER * (0..i).filter(is_out_of_order).count() as f64;
        let anchors = items.iter().zip(seats);
        let covered = anchors.filter(|(item, seat)| wide.holds(item.anchor(seat.is_right)));
        sum += 500.0 * covered.count() as f64;
    }
    sum
}

/// Where the descent starts: labels that may stand on either side go where there is
/// more room.
fn first_seats(items: &[Item<'_>]) -> Vec<Seat> {
    let either = |item: &Item<'_>| item.at.iter().all(Option::is_some);
    let mut high = [0.0; 2];
    for item in items.iter().filter(|item| !either(item)) {
        high[usize::from(item.at[1].is_some())] += item.height;
    }
    let seat = |item: &Item<'_>| {
        let is_right = if either(item) {
            let is_right = item.is_of_right.unwrap_or(high[1] < high[0]);
            high[usize::from(is_right)] += item.height;
            is_right
        } else {
            item.at[1].is_some()
        };
        Seat {
            is_right,
            wish: item.anchor(is_right)[1] - 15.0,
        }
    };
    items.iter().map(seat).collect()
}

/// The seats that can be reached in one move; with `far`, a label may also go before
/// or behind any other.
fn moves(items: &[Item<'_>], seats: &[Seat], far: bool) -> Vec<Vec<Seat>> {
    const SHIFTS: [f64; 8] = [-160.0, -70.0, -30.0, -10.0, 10.0, 30.0, 70.0, 160.0];
    let mut all = Vec::new();
    for i in 0..items.len() {
        let here = seats[i];
        let mut offer = |seat: Seat| {
            if items[i].at[usize::from(seat.is_right)].is_some() {
                let mut moved = seats.to_vec();
                moved[i] = seat;
                all.push(moved);
            }
        };
        for shift in SHIFTS {
            let wish = here.wish + shift;
            offer(Seat { wish, ..here });
        }
        let is_right = !here.is_right;
        offer(Seat { is_right, ..here });
        if far {
            for other in seats {
                for shift in [-2.0, 2.0] {
                    let wish = other.wish + shift;
                    offer(Seat { wish, ..*other });
                }
            }
        }
        for k in (0..i).filter(|&k| seats[k].is_right == here.is_right) {
            let mut moved = seats.to_vec();
            (moved[i].wish, moved[k].wish) = (seats[k].wish, here.wish);
            all.push(moved);
        }
    }
    all
}

/// The seats that the descent ends in; where that is what is forbidden, others are tried
/// from columns that start higher or lower.
fn seated(field: &Field<'_>, board: &Board, items: &[Item<'_>]) -> Vec<Seat> {
    const STARTS: [f64; 5] = [0.0, -150.0, 150.0, -300.0, 300.0];
    let mut best: Option<(f64, Vec<Seat>)> = None;
    for shift in STARTS {
        let mut seats = first_seats(items);
        for seat in &mut seats {
            seat.wish += shift;
        }
        let found = descent(field, board, items, seats);
        if best.as_ref().is_none_or(|best| found.0 < best.0) {
            best = Some(found);
        }
        if best.as_ref().is_some_and(|best| best.0 < FORBIDDEN) {
            break;
        }
    }
    best.map(|best| best.1).unwrap_or_default()
}

/// What the best seats cost that are reached from these, and those seats.
fn descent(
    field: &Field<'_>,
    board: &Board,
    items: &[Item<'_>],
    mut seats: Vec<Seat>,
) -> (f64, Vec<Seat>) {
    let mut best = cost(field, board, items, &seats, f64::INFINITY);
    let mut far = false;
    for _ in 0..MOVES {
        let mut found: Option<(f64, Vec<Seat>)> = None;
        for moved in moves(items, &seats, far) {
            let limit = found.as_ref().map_or(best, |found| found.0);
            let cost = cost(field, board, items, &moved, limit);
            if cost < limit {
                found = Some((cost, moved));
            }
        }
        match found {
            Some((cost, moved)) if cost < best - 1e-6 => (best, seats) = (cost, moved),
            // Only what is forbidden is worth the longer search.
            _ if !far && best >= FORBIDDEN => far = true,
            _ => break,
        }
    }
    (best, seats)
}

/// A label whose tie crosses the shot's lines or the tie of one before it.
fn crossing(
    field: &Field<'_>,
    items: &[Item<'_>],
    boxes: &[Area],
    seats: &[Seat],
) -> Option<usize> {
    let legs: Vec<[[Point; 2]; 2]> = items
        .iter()
        .zip(boxes)
        .zip(seats)
        .map(|((item, area), seat)| {
            let [a, b, c] = item.tie(area, seat.is_right);
            [[a, b], [b, c]]
        })
        .collect();
    let meets_barrier = |leg: &[Point; 2]| {
        let meets = |line: &Vec<Point>| line.windows(2).any(|w| crosses(*leg, [w[0], w[1]]));
        field.barriers.iter().any(meets)
    };
    (0..items.len()).find(|&i| {
        let before = || legs[..i].iter().flatten();
        let mut own = legs[i].iter();
        own.any(|leg| meets_barrier(leg) || before().any(|other| crosses(*leg, *other)))
    })
}

/// Puts the requests into the columns, draws them and remembers them; gives back the
/// ties, and the requests that cannot be tied without crossing a line.
pub fn place<'a>(
    board: &mut Board,
    field: &Field<'_>,
    requests: &'a [Request],
) -> (Vec<Leader>, Vec<&'a Request>) {
    let mut items = Vec::new();
    let mut between = Vec::new();
    for request in requests.iter().filter(|r| r.tied) {
        match field.item(request) {
            Some(item) => items.push(item),
            None => between.push(request),
        }
    }
    let mut seats = seated(field, board, &items);
    let mut boxes = field.stacked(&items, &seats);
    // A column that is too high loses words: the number and the last line stay.
    while boxes.iter().any(|area| area.top < field.area.top)
        && let Some(longest) = (0..items.len()).max_by_key(|&i| items[i].lines.len())
        && items[longest].lines.len() > 2
    {
        let item = items.remove(longest).shortened();
        items.insert(longest, item);
        seats = seated(field, board, &items);
        boxes = field.stacked(&items, &seats);
    }
    // What cannot be tied without crossing a line is named where it stands.
    while let Some(crossing) = crossing(field, &items, &boxes, &seats) {
        between.push(items.remove(crossing).request);
        seats = seated(field, board, &items);
        boxes = field.stacked(&items, &seats);
    }
    let mut leaders = Vec::new();
    for ((item, area), seat) in items.iter().zip(&boxes).zip(&seats) {
        let points = item.tie(area, seat.is_right);
        let (anchor, x) = if seat.is_right {
            (Anchor::End, area.right)
        } else {
            (Anchor::Start, area.left)
        };
        let mut bases = Vec::new();
        let mut top = area.top;
        for line in &item.lines {
            let bottom = top + pitch(line);
            let (left, right) = match anchor {
                Anchor::End => (x - line.width(), x),
                _ => (x, x + line.width()),
            };
            let under = Area {
                left,
                top,
                right,
                bottom,
            };
            board.nodes.push(plaque(&under.grown(3.0)));
            bases.push(top + text::ascent(&line.words) * line.size);
            top = bottom;
        }
        let hair = Stroke::of(palette::STONE, 1.6);
        for stroke in [Stroke::of(palette::PAPER, 4.0), hair] {
            board.nodes.push(Node::Path {
                steps: scene::polyline(&points),
                fill: None,
                stroke: Some(stroke),
            });
        }
        for (line, base) in item.lines.iter().zip(bases) {
            board.write(line, [x, base], anchor, true);
        }
        if area.top < field.area.top {
            board.unplaced.push(item.lines[0].words.clone());
        }
        board.taken.push(*area);
        board.tie([points[0], points[1]]);
        board.tie([points[1], points[2]]);
        leaders.push(Leader {
            words: item.lines[0].words.clone(),
            is_right: seat.is_right,
            is_of_right: item.is_of_right,
            names: item.anchor(seat.is_right),
            points,
        });
    }
    (leaders, between)
}

/// A sheet of paper under a label, through which the land still shows.
fn plaque(area: &Area) -> Node {
    Node::Path {
        steps: scene::rectangle(area.left, area.top, area.width(), area.height()),
        fill: Some(Fill {
            colour: palette::PAPER,
            opacity: 0.72,
        }),
        stroke: None,
    }
}
