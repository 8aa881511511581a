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

/// A label in its column, as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Leader {
    /// The label's first line.
    pub words: String,
    /// In the right column.
    pub is_right: bool,
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

/// A label that has a side to stand on.
struct Item<'a> {
    lines: Vec<&'a Line>,
    at: Point,
    /// Whether it may stand left and right.
    sides: [bool; 2],
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
        let mut lines = request.lines.iter().filter(|l| !l.words.is_empty());
        let lines: Vec<&Line> = lines.by_ref().collect();
        let mut anchors = std::iter::once(request.at).chain(request.or);
        let (at, sides) = anchors.find_map(|at| {
            let sides = [self.is_open(at, false), self.is_open(at, true)];
            (at.iter().all(|v| v.is_finite()) && sides != [false; 2]).then_some((at, sides))
        })?;
        let off = match request.side {
            Some(side) if at == request.at => side[0] * self.area.width(),
            _ => at[0] - self.middle,
        };
        let sides = match sides {
            [true, true] if off < -MIDDLE => [true, false],
            [true, true] if off > MIDDLE => [false, true],
            sides => sides,
        };
        (!lines.is_empty()).then_some(Item { lines, at, sides })
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
                free = tops[i] + items[i].height() + APART;
            }
            let mut limit = low;
            for &i in order.iter().rev() {
                tops[i] = tops[i].min(limit - items[i].height());
                limit = tops[i] - APART;
            }
        }
        let boxes = items.iter().zip(seats).zip(tops);
        boxes
            .map(|((item, seat), top)| {
                let left = if seat.is_right {
                    self.area.right - INSET - item.width()
                } else {
                    self.area.left + INSET
                };
                Area {
                    left,
                    top,
                    right: left + item.width(),
                    bottom: top + item.height(),
                }
            })
            .collect()
    }
}

impl Item<'_> {
    fn width(&self) -> f64 {
        self.lines.iter().map(|l| l.width()).fold(0.0, f64::max)
    }

    fn height(&self) -> f64 {
        self.lines.iter().map(|l| pitch(l)).sum()
    }

    /// From the text by the elbow to what it names.
    fn tie(&self, area: &Area, is_right: bool) -> [Point; 3] {
        let first = self.lines[0];
        let y = area.top + text::ascent(&first.words) * first.size - 0.33 * first.size;
        let sign = if is_right { -1.0 } else { 1.0 };
        let start = if is_right {
            area.right - first.width() - BEGINS_AFTER
        } else {
            area.left + first.width() + BEGINS_AFTER
        };
        // How far in from the text the elbow lies: as near to the point as 50° allow.
        let room = (self.at[0] - start) * sign;
        let level = (room - 0.8 * (self.at[1] - y).abs()).max(6.0);
        let elbow = [start + sign * level, y];
        let long = scene::distance(elbow, self.at);
        let end = if long > ENDS_BEFORE {
            scene::towards(self.at, elbow, ENDS_BEFORE)
        } else {
            elbow
        };
        [[start, y], elbow, end]
    }
}

/// What the labels cost in these seats.
fn cost(field: &Field<'_>, board: &Board, items: &[Item<'_>], seats: &[Seat]) -> f64 {
    let boxes = field.stacked(items, seats);
    let ties: Vec<[Point; 3]> = items
        .iter()
        .zip(&boxes)
        .zip(seats)
        .map(|((item, area), seat)| item.tie(area, seat.is_right))
        .collect();
    let mut sum = 0.0;
    for (i, area) in boxes.iter().enumerate() {
        if area.top < field.area.top {
            sum += FORBIDDEN * 10.0;
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
        let covers = |item: &&Item<'_>| wide.holds(item.at);
        sum += 500.0 * items.iter().filter(covers).count() as f64;
    }
    sum
}

/// The seats that the descent ends in.
fn seated(field: &Field<'_>, board: &Board, items: &[Item<'_>]) -> Vec<Seat> {
    const SHIFTS: [f64; 8] = [-160.0, -70.0, -30.0, -10.0, 10.0, 30.0, 70.0, 160.0];
    let mut seats: Vec<Seat> = items
        .iter()
        .map(|item| Seat {
            is_right: !item.sides[0] || (item.sides[1] && item.at[0] > field.middle),
            wish: item.at[1] - 15.0,
        })
        .collect();
    let mut best = cost(field, board, items, &seats);
    for _ in 0..MOVES {
        let mut found: Option<(f64, Vec<Seat>)> = None;
        let mut offer = |moved: Vec<Seat>| {
            let cost = cost(field, board, items, &moved);
            if cost < found.as_ref().map_or(best, |f| f.0) - 1e-6 {
                found = Some((cost, moved));
            }
        };
        for i in 0..items.len() {
            let with = |seat: Seat| {
                let mut moved = seats.clone();
                moved[i] = seat;
                moved
            };
            for shift in SHIFTS {
                let wish = seats[i].wish + shift;
                if wish > field.area.top - 40.0 && wish < field.area.bottom + 40.0 {
                    offer(with(Seat { wish, ..seats[i] }));
                }
            }
            if items[i].sides[usize::from(!seats[i].is_right)] {
                offer(with(Seat {
                    is_right: !seats[i].is_right,
                    ..seats[i]
                }));
            }
            for k in 0..i {
                if seats[k].is_right == seats[i].is_right {
                    let mut moved = seats.clone();
                    (moved[i].wish, moved[k].wish) = (seats[k].wish, seats[i].wish);
                    offer(moved);
                }
            }
        }
        let Some((cost, moved)) = found else { break };
        (best, seats) = (cost, moved);
    }
    seats
}

/// Puts the requests into the columns, draws them and remembers them; gives back the
/// ties, and the requests that lie between the shot's lines and cannot be tied.
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
        && let Some(longest) = items.iter_mut().max_by_key(|item| item.lines.len())
        && longest.lines.len() > 2
    {
        longest.lines.remove(longest.lines.len() - 2);
        seats = seated(field, board, &items);
        boxes = field.stacked(&items, &seats);
    }
    let mut leaders = Vec::new();
    for ((item, area), seat) in items.iter().zip(&boxes).zip(&seats) {
        let points = item.tie(area, seat.is_right);
        board.nodes.push(plaque(&area.grown(3.0)));
        let hair = Stroke::of(palette::STONE, 1.6);
        for stroke in [Stroke::of(palette::PAPER, 4.0), hair] {
            board.nodes.push(Node::Path {
                steps: scene::polyline(&points),
                fill: None,
                stroke: Some(stroke),
            });
        }
        let (anchor, x) = if seat.is_right {
            (Anchor::End, area.right)
        } else {
            (Anchor::Start, area.left)
        };
        let mut top = area.top;
        for line in &item.lines {
            let base = top + text::ascent(&line.words) * line.size;
            board.write(line, [x, base], anchor, true);
            top += pitch(line);
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
            names: item.at,
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
