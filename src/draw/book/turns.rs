//! If the wind turns: what each hole's decision becomes under other winds.
//!
//! Every case is a decision of its own, with every aim of every club that was
//! not hopeless in the day's wind, not a correction of the first one. What stays the same is said
//! as such.

use super::super::flower::aimed;
use super::super::labels::Board;
use super::super::page::{Lengths, MEDIUM, PAGE, SMALL, area};
use super::super::panel::{INK_SMALL, STONE_SMALL, compass, is_windy, put, rule};
use super::super::scene::{self, Anchor, Fill, Node, Point, Stroke, palette};
use super::super::text;
use super::{Book, BookPage, Chapter, FOOT, LEFT, RIGHT, Unreached, finish, headed, paragraph};
use crate::plan::Plan;
use crate::plan::scene::turn_deg;
use crate::plan::sentence::{self, capital, club, swing};
use crate::plan::spoken::spoken;
use crate::plan::why::cost;

/// Where the flower of a hole has its middle, and where what to do begins.
const FLOWER: f64 = LEFT + 290.0;
const WORDS: f64 = LEFT + 370.0;
/// A flower's petals: where they begin, the longest, the cost that makes it, strokes, half a width.
const BUD: f64 = 16.0;
const LONGEST: f64 = 44.0;
const COST: f64 = 0.3;
const HALF: f64 = 9.0;

/// The pages; none where no other wind was looked at.
#[must_use]
pub fn pages(book: &Book<'_>) -> Vec<BookPage> {
    let turned: Vec<&Chapter<'_>> = book
        .chapters
        .iter()
        .filter(|chapter| !columns(chapter).is_empty())
        .collect();
    let mut parts: Vec<Vec<&Chapter<'_>>> = Vec::new();
    let mut used = f64::MAX;
    for chapter in turned {
        let high = high(&in_words(chapter));
        if used + high > FOOT - LAST_WORDS {
            parts.push(Vec::new());
            used = FIRST_ROW;
        }
        used += high;
        if let Some(part) = parts.last_mut() {
            part.push(chapter);
        }
    }
    let many = parts.len() > 1;
    let parts = parts.iter().enumerate();
    parts
        .map(|(index, chapters)| page(chapters, many.then_some(index + 1)))
        .collect()
}

/// How high the row of a hole with so many lines is.
fn high(lines: &[(String, Style)]) -> f64 {
    lines.len().max(LEAST_LINES) as f64 * PITCH + BETWEEN
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
    let others = columns(chapters[0]).into_iter().map(|turn| wind_of(turn).0);
    let strong = others.fold(0.0, f64::max);
    let again = if is_windy(strong) {
        format!("{} from elsewhere", lengths.speed(strong))
    } else {
        "each of these".to_owned()
    };
    let under = format!(
        "planned for {}; decided again for {again}",
        wind_words(planned, lengths)
    );
    let mut board = headed(title, &under);
    let light = Stroke::of(palette::MIST, 2.0);
    let across = area(LEFT, 0.0, RIGHT, 0.0);
    let mut y = FIRST_ROW;
    for chapter in chapters {
        let lines = in_words(chapter);
        rule(&mut board, &across, y - 32.0, light);
        name(&mut board, chapter.plan, [LEFT, y], lengths);
        flower(&mut board, chapter, [FLOWER, y + 28.0]);
        let mut at = [WORDS, y - 4.0];
        for (words, style) in &lines {
            put(&mut board, words, *style, at, Anchor::Start, RIGHT - WORDS);
            at[1] += PITCH;
        }
        y += high(&lines);
    }
    rule(&mut board, &across, y - 32.0, light);
    let words = format!(
        "A petal points to where a wind comes from, the hole upwards; it is as long as keeping the \
         planned club costs, and full where another club is better; a ring: the same club. Costs are in \
         strokes, lengths in {}. Choose before the round which line to trust: measuring the wind \
         during it is against Rule 4.3a; feeling it is not.",
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

/// The flower of a hole: a petal for each wind.
fn flower(board: &mut Board, chapter: &Chapter<'_>, middle: Point) {
    let mist = Stroke::of(palette::MIST, 1.6);
    board.nodes.push(Node::Circle {
        id: None,
        at: middle,
        radius: BUD,
        fill: Some(Fill::of(palette::PAPER)),
        stroke: Some(mist),
    });
    let ink = Stroke::of(palette::INK, 2.0);
    let ends = ([middle[0], middle[1] + 9.0], [middle[0], middle[1] - 9.0]);
    board.nodes.push(scene::line(ends.0, ends.1, ink));
    let flag = [
        ends.1,
        [ends.1[0] + 7.0, ends.1[1] + 3.0],
        [ends.1[0], ends.1[1] + 6.0],
    ];
    board.nodes.push(Node::Path {
        steps: scene::ring(&flag),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    });
    let planned = chapter.plan;
    for turn in columns(chapter) {
        let (wind_m_s, from_deg) = wind_of(turn);
        if !is_windy(wind_m_s) || !from_deg.is_finite() {
            continue;
        }
        let turned = (from_deg - planned.hole.line_of_play_deg).to_radians();
        let (sin, cos) = turned.sin_cos();
        let on = |ahead: f64, right: f64| {
            [
                middle[0] + ahead * sin + right * cos,
                middle[1] - ahead * cos + right * sin,
            ]
        };
        let change = turn.ok().map(|turn| change(planned, turn));
        let other = change.and_then(|change| change.club);
        let violet = Stroke::of(palette::ACCENT, 2.0);
        let Some((_, costs)) = other else {
            let ring = Some(if turn.is_ok() { violet } else { ink });
            let at = on(BUD + 6.0, 0.0);
            board.nodes.push(scene::disc(at, 5.0, palette::PAPER, ring));
            continue;
        };
        let costs = costs.map_or(0.0, |[costs, _]| costs.clamp(0.0, COST));
        let long = BUD + 12.0 + (LONGEST - BUD - 12.0) * costs / COST;
        let (foot, tip) = (on(BUD, 0.0), on(long, 0.0));
        let belly = |side: f64| on((BUD + long) * 0.55, side * HALF);
        board.nodes.push(Node::Path {
            steps: vec![
                scene::Step::Move(foot),
                scene::Step::Cubic(belly(1.0), belly(1.0), tip),
                scene::Step::Cubic(belly(-1.0), belly(-1.0), foot),
                scene::Step::Close,
            ],
            fill: Some(Fill::of(palette::ACCENT)),
            stroke: None,
        });
    }
}

/// Speed and direction of a case's wind.
fn wind_of(turn: Result<&Plan, &Unreached>) -> (f64, f64) {
    match turn {
        Ok(plan) => (plan.conditions.wind_m_s, plan.conditions.wind_from_deg),
        Err(unreached) => (unreached.wind_m_s, unreached.wind_from_deg),
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
    let room = FLOWER - LONGEST - 8.0 - x;
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

/// From a line to the next; lines of a row at least, for the club, its shape and carry; between rows.
const PITCH: f64 = 27.0;
const LEAST_LINES: usize = 3;
const BETWEEN: f64 = 34.0;
/// The first row's baseline, and what the words below the rows take.
const FIRST_ROW: f64 = 184.0;
const LAST_WORDS: f64 = 110.0;

/// A size, whether it is bold, and a colour.
type Style = (f64, bool, scene::Colour);

/// What to do on a hole in the other winds: the same in several stands once.
fn in_words(chapter: &Chapter<'_>) -> Vec<(String, Style)> {
    let lengths = Lengths::of_unit(&chapter.plan.words.unit);
    let mut groups: Vec<(Vec<&str>, String, bool)> = Vec::new();
    for turn in columns(chapter) {
        let (wind_m_s, from_deg) = wind_of(turn);
        let wind = if is_windy(wind_m_s) {
            compass(from_deg)
        } else {
            "calm"
        };
        let (words, is_other) = in_wind(chapter.plan, turn, lengths);
        match groups.iter_mut().find(|group| group.1 == words) {
            Some(group) => group.0.push(wind),
            None => groups.push((vec![wind], words, is_other)),
        }
    }
    let lines = groups.into_iter().flat_map(|(winds, words, is_other)| {
        let winds = winds.join(", ");
        let from = if winds.starts_with("calm") {
            ""
        } else {
            "from "
        };
        let words = text::hold_units(&text::clean(&format!("{from}{winds}: {words}")));
        let style = (SMALL, is_other, palette::INK);
        let lines = text::wrap(&words, SMALL, is_other, RIGHT - WORDS, 6);
        lines.into_iter().map(move |line| (line, style))
    });
    lines.collect()
}

/// What to do in one wind: club, peg and aim where they change, and what keeping the club costs; and
/// whether that is another club.
fn in_wind(plan: &Plan, turn: Result<&Plan, &Unreached>, lengths: Lengths) -> (String, bool) {
    let Ok(turn) = turn else {
        return ("not reached".to_owned(), true);
    };
    let change = change(plan, turn);
    let mut parts = Vec::new();
    if let Some((name, _)) = &change.club {
        parts.push(capital(name));
    }
    if peg_words(change.peg_right_m, lengths).is_some() {
        let peg = spoken(turn, |shot| sentence::peg(shot, turn.unit()));
        parts.push(format!("peg {peg}"));
    }
    let aim = lengths.whole(change.aim_right_m.abs());
    if change.club.is_some() || !(aim == "0" || aim == "1") {
        let aim = spoken(turn, |shot| shot.target.in_words(turn.unit()));
        parts.push(aimed(&aim));
    }
    if parts.is_empty() {
        parts.push("as planned".to_owned());
    }
    let mut words = parts.join(", ");
    if let Some((_, Some([costs, error]))) = change.club {
        words.push_str(&format!("; the planned club {}", cost(costs, error)));
    }
    (words, change.club.is_some())
}
