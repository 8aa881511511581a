//! If the wind turns: what each hole's decision becomes under other winds.
//!
//! Every case is a decision of its own, with every aim of every club that was
//! not hopeless in the day's wind, not a correction of the first one. What stays the same is said
//! as such.

use super::super::labels::Board;
use super::super::page::{Lengths, MEDIUM, PAGE, SMALL, area, fixed};
use super::super::panel::{INK_SMALL, STONE_SMALL, compass, is_windy, put, rule};
use super::super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::super::text;
use super::{Book, BookPage, Chapter, FOOT, LEFT, RIGHT, Unreached, finish, headed, paragraph};
use crate::plan::Plan;
use crate::plan::scene::turn_deg;
use crate::plan::sentence::{capital, club, swing};
use crate::plan::why::is_tie;

/// Holes on a page.
const ROWS: usize = 9;
/// Where the cells begin, and how wide they are for a number of cases.
const NAMES: f64 = 215.0;

/// The pages; none where no other wind was looked at.
#[must_use]
pub fn pages(book: &Book<'_>) -> Vec<BookPage> {
    let turned: Vec<&Chapter<'_>> = book
        .chapters
        .iter()
        .filter(|chapter| !columns(chapter).is_empty())
        .collect();
    let many = turned.len() > ROWS;
    turned
        .chunks(ROWS)
        .enumerate()
        .map(|(index, chapters)| page(chapters, many.then_some(index + 1)))
        .collect()
}

/// The other winds of a chapter in the book's order.
fn columns<'a>(chapter: &Chapter<'a>) -> Vec<Result<&'a Plan, &'a Unreached>> {
    let mut columns: Vec<_> = chapter.turns.iter().map(Ok).collect();
    for unreached in chapter.unreached {
        columns.insert(unreached.column.min(columns.len()), Err(unreached));
    }
    columns
}

fn page(chapters: &[&Chapter<'_>], part: Option<usize>) -> BookPage {
    let planned = chapters[0].plan;
    let lengths = Lengths::of_unit(&planned.words.unit);
    let title = "If the wind turns";
    let under = format!(
        "planned for {}; decided again for each of these",
        wind_words(planned, lengths)
    );
    let mut board = headed(title, &under);
    let cases = chapters.iter().map(|c| columns(c).len()).max().unwrap_or(1);
    let wide = (RIGHT - LEFT - NAMES) / cases.max(1) as f64;
    let column = |k: usize| LEFT + NAMES + k as f64 * wide;
    for (k, turn) in columns(chapters[0]).into_iter().enumerate() {
        let wind = match turn {
            Ok(plan) => (plan.conditions.wind_m_s, plan.conditions.wind_from_deg),
            Err(unreached) => (unreached.wind_m_s, unreached.wind_from_deg),
        };
        header(&mut board, wind, [column(k), 172.0], lengths);
    }
    let light = Stroke::of(palette::MIST, 2.0);
    let across = area(LEFT, 0.0, RIGHT, 0.0);
    let room = wide - 14.0;
    let highs: Vec<f64> = chapters.iter().map(|c| high(c, room, lengths)).collect();
    // Where the rows do not fit the page, all are lower by the same factor.
    let share = ((FOOT - 150.0 - 262.0) / highs.iter().sum::<f64>()).min(1.0);
    let mut y = 262.0;
    for (chapter, high) in chapters.iter().zip(&highs) {
        rule(&mut board, &across, y - 36.0, light);
        name(&mut board, chapter.plan, [LEFT, y], lengths);
        for (k, turn) in columns(chapter).into_iter().enumerate() {
            let mut at = [column(k), y];
            for (words, style) in cell(chapter.plan, turn, room, lengths) {
                put(&mut board, &words, style, at, Anchor::Start, room);
                at[1] += PITCH * share;
            }
        }
        y += high * share;
    }
    rule(&mut board, &across, y - 36.0, light);
    let words = format!(
        "The aim is beside the plan's, at the distance the ball lands; the peg beside the plan's; \
         both in {}. \
         \"Keep\" is what keeping the planned club costs in that wind, in strokes, over very \
         many rounds. Choose before the round which page to trust: measuring the wind during it is \
         against Rule 4.3a; feeling it is not.",
        lengths.name()
    );
    paragraph(&mut board, &words, STONE_SMALL, [LEFT, y], RIGHT - LEFT, 5);
    let name = match part {
        Some(part) => format!("{title}, {part}"),
        None => title.to_owned(),
    };
    finish(
        name,
        Vec::new(),
        board,
        1.0,
        area(0.0, 0.0, PAGE[0], PAGE[1]),
    )
}

fn wind_words(plan: &Plan, lengths: Lengths) -> String {
    let day = &plan.conditions;
    if is_windy(day.wind_m_s) {
        format!(
            "{} from {}",
            lengths.speed(day.wind_m_s),
            compass(day.wind_from_deg)
        )
    } else {
        "calm".to_owned()
    }
}

/// The case: an arrow on a dial with north up, and its name.
fn header(board: &mut Board, (speed_m_s, from_deg): (f64, f64), at: Point, lengths: Lengths) {
    let centre = [at[0] + 24.0, at[1] + 8.0];
    board.nodes.push(Node::Circle {
        id: None,
        at: centre,
        radius: 22.0,
        fill: Some(Fill::of(palette::PAPER)),
        stroke: Some(Stroke::of(palette::MIST, 1.6)),
    });
    let words = if is_windy(speed_m_s) {
        let (sin, cos) = (from_deg + 180.0).to_radians().sin_cos();
        let to = [sin, -cos];
        let on = |r: f64, s: f64| {
            [
                centre[0] + to[0] * r - to[1] * s,
                centre[1] + to[1] * r + to[0] * s,
            ]
        };
        let shaft = Stroke::of(palette::INK, 4.0);
        board
            .nodes
            .push(scene::line(on(-15.0, 0.0), on(6.0, 0.0), shaft));
        board.nodes.push(Node::Path {
            steps: scene::ring(&[on(18.0, 0.0), on(3.0, 8.0), on(3.0, -8.0)]),
            fill: Some(Fill::of(palette::INK)),
            stroke: None,
        });
        ["from", compass(from_deg)].join(" ")
    } else {
        "calm".to_owned()
    };
    let strong = (SMALL, true, palette::INK);
    let x = at[0] + 54.0;
    put(
        board,
        &words,
        strong,
        [x, at[1] + 4.0],
        Anchor::Start,
        150.0,
    );
    if is_windy(speed_m_s) {
        let speed = lengths.speed(speed_m_s);
        put(
            board,
            &speed,
            STONE_SMALL,
            [x, at[1] + 30.0],
            Anchor::Start,
            150.0,
        );
    }
}

fn name(board: &mut Board, plan: &Plan, at: Point, lengths: Lengths) {
    let shot = &plan.choice.shot;
    let number = text::cut(&text::clean(&plan.hole.reference), MEDIUM * 1.4, true, 70.0);
    let style = (MEDIUM * 1.4, true, palette::INK);
    put(
        board,
        &number,
        style,
        [at[0], at[1] + 8.0],
        Anchor::Start,
        70.0,
    );
    let x = at[0] + 78.0;
    let room = NAMES - 78.0 - 10.0;
    let club = capital(&text::clean(&club(&shot.club)));
    put(
        board,
        &club,
        (SMALL, true, palette::INK),
        [x, at[1]],
        Anchor::Start,
        room,
    );
    // The carry stands below: the column is narrow.
    let shape = match shot.part_swing {
        Some(part) => swing(part).to_owned(),
        None => text::clean(&shot.shape),
    };
    put(
        board,
        &shape,
        INK_SMALL,
        [x, at[1] + 27.0],
        Anchor::Start,
        room,
    );
    let carry = format!("carry {}", lengths.whole(shot.carry_m));
    put(
        board,
        &carry,
        STONE_SMALL,
        [x, at[1] + 54.0],
        Anchor::Start,
        room,
    );
}

/// What one case changes.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Another club or shape, and what keeping the planned one would cost,
    /// strokes with their standard error; no cost where it was not priced.
    pub club: Option<(String, Option<[f64; 2]>)>,
    /// The set-up line, right of the planned one where the ball lands, m.
    pub aim_right_m: f64,
    /// The peg, right of the planned one, m.
    pub peg_right_m: f64,
    /// Carry, m.
    pub carry_m: f64,
}

/// What a plan for another wind does differently.
#[must_use]
pub fn change(plan: &Plan, turn: &Plan) -> Change {
    let (planned, turned) = (&plan.choice.shot, &turn.choice.shot);
    let same = planned.is_same_swing(turned);
    let peg_right_m = turned.tee.from_left_marker_m - planned.tee.from_left_marker_m;
    let kept = turn
        .alternatives
        .iter()
        .find(|a| a.shot.is_same_swing(planned));
    Change {
        club: (!same).then(|| {
            (
                // The column is narrow: the shape only where it is another one.
                if let Some(part) = turned.part_swing {
                    // The carry follows.
                    match planned.club == turned.club {
                        true => "another swing".to_owned(),
                        false => format!("{}, {}", club(&turned.club), swing(part)),
                    }
                } else if planned.shape == turned.shape {
                    club(&turned.club)
                } else {
                    format!("{} {}", club(&turned.club), turned.shape)
                },
                kept.map(|a| [a.costs, a.costs_standard_error]),
            )
        }),
        aim_right_m: peg_right_m
            + turned.carry_m
                * turn_deg(turned.aim.bearing_deg - planned.aim.bearing_deg)
                    .to_radians()
                    .sin(),
        peg_right_m,
        carry_m: turned.carry_m,
    }
}

/// A peg that is moved by a yard or a metre at least.
#[must_use]
pub fn peg_words(right_m: f64, lengths: Lengths) -> Option<String> {
    let moved = lengths.whole(right_m.abs());
    let side = if right_m > 0.0 { "right" } else { "left" };
    (moved != "0").then(|| format!("peg {moved} {side}"))
}

/// From a line of a cell to the next.
const PITCH: f64 = 27.0;
/// Fewest lines of a row: the plan's club, shape and carry.
const LEAST_LINES: usize = 4;

/// How high a row is.
fn high(chapter: &Chapter<'_>, room: f64, lengths: Lengths) -> f64 {
    let lines = |turn| cell(chapter.plan, turn, room, lengths).len();
    let most = columns(chapter).into_iter().map(lines).max();
    PITCH * most.unwrap_or(0).max(LEAST_LINES) as f64 + 40.0
}

/// A size, whether it is bold, and a colour.
type Style = (f64, bool, scene::Colour);

/// The lines of a cell.
fn cell(
    plan: &Plan,
    turn: Result<&Plan, &Unreached>,
    room: f64,
    lengths: Lengths,
) -> Vec<(String, Style)> {
    let Ok(turn) = turn else {
        return vec![("not reached".to_owned(), INK_SMALL)];
    };
    let change = change(plan, turn);
    let strong = (SMALL, true, palette::INK);
    let mut lines: Vec<(String, Style)> = match &change.club {
        None => vec![("same club".to_owned(), STONE_SMALL)],
        // A long name takes two lines: a club must be read whole.
        Some((name, _)) => text::wrap(&capital(&text::clean(name)), SMALL, true, room, 2)
            .into_iter()
            .map(|line| (line, (SMALL, true, palette::ACCENT)))
            .collect(),
    };
    let aim = lengths.whole(change.aim_right_m.abs());
    lines.push(if aim == "0" || aim == "1" {
        ("same aim".to_owned(), STONE_SMALL)
    } else {
        let side = if change.aim_right_m > 0.0 {
            "right"
        } else {
            "left"
        };
        (format!("{aim} {side}"), strong)
    });
    lines.extend(peg_words(change.peg_right_m, lengths).map(|peg| (peg, strong)));
    let carry = format!("carry {}", lengths.whole(change.carry_m));
    lines.push((carry, STONE_SMALL));
    match change.club {
        Some((_, Some([costs, error]))) if is_tie(costs, error) => {
            lines.push(("keep: no worse".to_owned(), INK_SMALL));
        }
        Some((_, Some([costs, _]))) => {
            lines.push((format!("keep: {}", fixed(costs, 2)), INK_SMALL));
        }
        _ => {}
    }
    lines
}
