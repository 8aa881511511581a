//! A page for eyes that need it: the club, the aim and three numbers, in the largest type
//! that the page holds; then where to peg and where to miss.

use super::labels::{Board, Layout};
use super::page::{Drawn, LARGE, MEDIUM, PAGE, SMALL, area};
use super::panel::{put, rule};
use super::scene::{self, Anchor, Colour, Fill, Node, Stroke, palette};
use super::{page, svg, text};
use crate::plan::card::{card, to_go_m};
use crate::plan::sentence::{self, capital, whole};
use crate::plan::spoken::spoken;
use crate::plan::wind::{is_windy, to_the_aim};
use crate::plan::{Plan, scene as plane};

/// White on both sides, and what is left between.
const LEFT: f64 = 60.0;
const WIDE: f64 = PAGE[0] - 2.0 * LEFT;
/// The club, at most; the three numbers; what is read: 17 points.
const CLUB: f64 = 210.0;
const NUMBER: f64 = 160.0;
const WORDS: f64 = 60.0;
/// The least that the aim is set in: 13 points.
const LEAST: f64 = 46.0;
/// How tall a line is over its base line, of its size.
const TALL: f64 = 0.9;
/// Base line of the aim; from one number's base line to the next, from what follows the aim to
/// the first and from the last to the words below it.
const AIM: f64 = 502.0;
const PITCH: f64 = 162.0;
const ABOVE: f64 = 92.0;
const BELOW: f64 = 88.0;

/// The large page as SVG text.
#[must_use]
pub fn large(plan: &Plan) -> String {
    let drawn = lay_out(plan);
    svg::write(PAGE, &drawn.title, &drawn.nodes)
}

/// The largest size, from `most` down to `least`, at which words are `wide` at most on so
/// many lines; the lines with it.
fn fitted(words: &str, [most, least]: [f64; 2], bold: bool, lines: usize) -> (f64, Vec<String>) {
    let mut size = most;
    loop {
        let set = text::wrap(words, size, bold, WIDE, lines + 1);
        let is_cut = set.iter().any(|line| line.ends_with('…'));
        let fits = set.len() <= lines && !is_cut;
        if fits || size <= least {
            return (size, text::wrap(words, size, bold, WIDE, lines));
        }
        size = (size - 4.0).max(least);
    }
}

/// Words on so many lines at most, from `top` down; the top of what follows.
fn set(board: &mut Board, words: &str, colour: Colour, top: f64, lines: usize) -> f64 {
    let (size, lines) = fitted(&text::clean(words), [WORDS, LEAST], true, lines);
    let tall = lines.iter().map(|line| text::ascent(line));
    let tall = tall.fold(TALL, f64::max);
    let pitch = size * (tall + text::DESCENT);
    for (k, line) in lines.iter().enumerate() {
        let at = [LEFT, top + size * tall + pitch * k as f64];
        put(board, line, (size, true, colour), at, Anchor::Start, WIDE);
    }
    top + pitch * lines.len() as f64
}

/// What the three numbers are and what each is: carry, start, what is left.
fn numbers(plan: &Plan) -> [(String, String); 3] {
    let unit = plan.unit();
    let name = unit.name();
    let shot = &plan.choice.shot;
    let start_deg = plane::turn_deg(shot.start_line.bearing_deg - shot.aim.bearing_deg);
    let start_m = shot.carry_m * start_deg.to_radians().tan();
    let is_apart = sentence::start(shot.carry_m, start_deg, unit).is_some();
    let start = match (is_apart, start_m < 0.0) {
        (false, _) => (0, format!("{name} beside the aim: starts there")),
        (true, is_left) => {
            let side = if is_left { "left" } else { "right" };
            let what = format!("{name} {side} of the aim: starts there");
            (whole(start_m, unit).abs(), what)
        }
    };
    [
        (
            whole(shot.carry_m, unit).to_string(),
            format!("{name} carry"),
        ),
        (start.0.to_string(), start.1),
        (
            whole(to_go_m(plan), unit).to_string(),
            format!("{name} to the pin from where it ends"),
        ),
    ]
}

/// How the usual ball bends and where it ends, and the wind: as much as three lines hold.
fn bends(plan: &Plan) -> String {
    let said = spoken(plan, |shot| sentence::after_start(shot, plan.unit()));
    let said = format!("It {said}.");
    let day = &plan.conditions;
    let aim_deg = plan.choice.shot.aim.bearing_deg;
    let wind = to_the_aim(day.wind_m_s, day.wind_from_deg, aim_deg, plan.unit());
    if wind.is_empty() || !is_windy(day.wind_m_s) {
        return said;
    }
    let both = format!("{said} Wind {wind}.");
    let lines = text::wrap(&text::clean(&both), LEAST, true, WIDE, 3);
    if lines.len() <= 2 { both } else { said }
}

/// The large page before it is written.
#[must_use]
pub fn lay_out(plan: &Plan) -> Drawn {
    let whole_page = area(0.0, 0.0, PAGE[0], PAGE[1]);
    let mut board = Board::new(whole_page, |_| 0.0);
    let right = LEFT + WIDE;
    let ink = |size: f64| (size, true, palette::INK);
    let number = put(
        &mut board,
        &plan.hole.reference,
        ink(LARGE),
        [LEFT, 115.0],
        Anchor::Start,
        260.0,
    );
    let name = plan.hole.name.clone().unwrap_or_default();
    let at = [number.right + 30.0, 108.0];
    let room = right - at[0];
    put(&mut board, &name, ink(LEAST), at, Anchor::Start, room);
    let head = area(LEFT, 40.0, right, 132.0);
    rule(&mut board, &head, 132.0, Stroke::of(palette::INK, 3.0));
    let shot = &plan.choice.shot;
    let club = text::clean(&capital(&sentence::club(&shot.club)));
    let (size, lines) = fitted(&club, [CLUB, MEDIUM], true, 1);
    for line in &lines {
        // Room for accents too.
        let tall = text::ascent(line);
        let size = size.min(CLUB / (tall + text::DESCENT));
        let at = [LEFT, 145.0 + size * tall];
        put(&mut board, line, ink(size), at, Anchor::Start, WIDE);
    }
    let manner = if shot.part_swing.is_none() && plan.choice.is_two_way {
        "two-way".to_owned()
    } else {
        shot.manner(plan.unit())
    };
    let violet = (WORDS, true, palette::ACCENT);
    put(
        &mut board,
        &manner,
        violet,
        [LEFT, 424.0],
        Anchor::Start,
        WIDE,
    );
    let aim = spoken(plan, |shot| shot.target.in_words(plan.unit()));
    let aim = format!("Aim: {aim}");
    let mut base =
        set(&mut board, &aim, palette::INK, AIM - WORDS * TALL, 4) + WORDS * TALL + ABOVE;
    for (number, what) in &numbers(plan) {
        let at = [LEFT + 380.0, base];
        let strong = (NUMBER, true, palette::INK);
        put(&mut board, number, strong, at, Anchor::End, 380.0);
        let lines = text::wrap(what, LEAST, true, WIDE - 410.0, 2);
        for (k, line) in lines.iter().rev().enumerate() {
            let at = [LEFT + 410.0, base - LEAST * 1.2 * k as f64];
            put(&mut board, line, ink(LEAST), at, Anchor::Start, WIDE);
        }
        base += PITCH;
    }
    let first = base - PITCH + BELOW - WORDS * TALL;
    let next = set(&mut board, &bends(plan), palette::INK, first, 2);
    let card = card(plan, None);
    let next = set(
        &mut board,
        &format!("Peg {}", card.peg),
        palette::INK,
        next,
        2,
    );
    set(
        &mut board,
        &format!("Miss {}", card.miss),
        palette::INK,
        next,
        3,
    );
    let foot = "Made before the round, as Rule 4.3a allows.";
    let style = (SMALL, false, palette::STONE);
    put(&mut board, foot, style, [LEFT, 1736.0], Anchor::Start, WIDE);
    let sheet = Node::Path {
        steps: scene::rectangle(0.0, 0.0, PAGE[0], PAGE[1]),
        fill: Some(Fill::of(palette::PAPER)),
        stroke: None,
    };
    let reference = text::clean(&plan.hole.reference);
    Drawn {
        title: format!("Hole {reference}, in large type"),
        nodes: vec![sheet, page::group("words", board.nodes)],
        layout: Layout {
            page: whole_page,
            map: area(0.0, 0.0, 0.0, 0.0),
            scale: 0.0,
            texts: board.texts,
            unplaced: board.unplaced,
            plate: None,
        },
    }
}
