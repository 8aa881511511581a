//! A page to practise by: three things to work on, each with a target number, a test and the holes that it
//! pays on.
//!
//! It lies beside a bucket of balls. The target is the largest thing on it; the balls below it are
//! those of the test, full as many as count today, ringed up to the target, so that they are told apart in
//! grey; three rows of boxes take what three days make of it.

use super::page::PAGE;
use super::scene::{self, Anchor, Fill, Node, Point, Stroke, Text, palette};
use super::{svg, text};
use crate::plan::sentence::capital;
use crate::player::Player;
use crate::practice::drill::{Drill, Picture};
use crate::practice::words::{pays_on, saved, three};
use crate::practice::{Practice, Saving};
use crate::units::LengthUnit;

/// White on both sides, and what is left between.
const LEFT: f64 = 60.0;
const WIDE: f64 = PAGE[0] - 2.0 * LEFT;
/// Sizes of text: the head, the target, what is practised, what is read.
const HEAD: f64 = 64.0;
const TARGET: f64 = 88.0;
const THING: f64 = 42.0;
const READ: f64 = 31.0;
const SMALL: f64 = 26.0;
/// From one base line to the next, of the size.
const PITCH: f64 = 1.24;
/// Top of the first thing, and from one to the next.
const TOP: f64 = 186.0;
const BLOCK: f64 = 486.0;
/// Balls of a row, and the radius of one.
const ROW: u32 = 20;
const BALL: f64 = 12.0;
const BALL_PITCH: f64 = 31.0;
/// Half the width and half the height of a picture, and how far its middle is from the right edge.
const PICTURE: Point = [62.0, 44.0];
const ASIDE: f64 = 80.0;
/// Days that have a box.
const DAYS: usize = 3;

/// The page before it is written.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// What it says in a line.
    pub title: String,
    /// What is on it, lowest first.
    pub nodes: Vec<Node>,
}

impl Drawn {
    /// As SVG text.
    #[must_use]
    pub fn svg(&self) -> String {
        svg::write(PAGE, &self.title, &self.nodes)
    }
}

/// How words are set.
#[derive(Clone, Copy)]
struct Style {
    size: f64,
    bold: bool,
    colour: scene::Colour,
    anchor: Anchor,
}

const fn ink(size: f64, bold: bool) -> Style {
    Style {
        size,
        bold,
        colour: palette::INK,
        anchor: Anchor::Start,
    }
}

fn write(nodes: &mut Vec<Node>, words: &str, style: Style, at: Point, room: f64) {
    nodes.push(Node::Text(Text {
        at,
        words: text::cut(&text::clean(words), style.size, style.bold, room),
        size: style.size,
        bold: style.bold,
        colour: style.colour,
        anchor: style.anchor,
        halo: false,
        tail: Vec::new(),
    }));
}

/// Words on several lines, and the base line of what follows.
fn lines(nodes: &mut Vec<Node>, words: &str, style: Style, at: Point, most: usize) -> f64 {
    let room = LEFT + WIDE - at[0];
    let words = text::hold_units(&text::clean(words));
    let set = text::wrap(&words, style.size, style.bold, room, most);
    let mut y = at[1];
    for line in &set {
        write(nodes, line, style, [at[0], y], room);
        y += style.size * PITCH;
    }
    y
}

/// The page of what practising saves, with the drill of every saving.
#[must_use]
pub fn lay_out(
    practice: &Practice,
    drills: &[Option<Drill>],
    player: &Player,
    unit: LengthUnit,
) -> Drawn {
    let mut nodes = Vec::new();
    let title = "Three things to work on";
    write(&mut nodes, title, ink(HEAD, true), [LEFT, 104.0], WIDE);
    let holes = match practice.holes.as_slice() {
        [(only, _)] => format!("hole {only}"),
        several => format!("{} holes", several.len()),
    };
    let who = format!(
        "{}, Handicap Index {:.1}: {holes} in {:.2} strokes on average",
        player.name, player.handicap, practice.strokes
    );
    let stone = Style {
        colour: palette::STONE,
        ..ink(SMALL, false)
    };
    write(&mut nodes, &who, stone, [LEFT, 148.0], WIDE);
    let things = three(practice, drills);
    for (number, (saving, drill)) in things.iter().enumerate() {
        let top = TOP + BLOCK * number as f64;
        thing(
            &mut nodes,
            (number + 1, top),
            (practice, saving, drill),
            unit,
        );
    }
    if things.is_empty() {
        let words = "Nothing that can be practised on a range saves strokes here beyond noise.";
        lines(&mut nodes, words, ink(READ, false), [LEFT, TOP + 60.0], 3);
    }
    let is_model = things.iter().any(|(saving, _)| saving.remedy.is_model());
    let model = if is_model {
        " Pitches, bunker shots, chips and putts are model, by your handicap and full swings."
    } else {
        ""
    };
    let foot = format!(
        "Full: how many count today. Ringed: as many more are the target. A day differs from the next by \
         chance: look at three together.{model}"
    );
    let at = [LEFT, PAGE[1] - 104.0];
    let rule = Stroke::of(palette::MIST, 2.0);
    nodes.push(scene::line(
        [LEFT, at[1] - 34.0],
        [LEFT + WIDE, at[1] - 34.0],
        rule,
    ));
    lines(&mut nodes, &foot, stone, at, 3);
    Drawn {
        title: text::clean(&format!("{title}: {}", player.name)),
        nodes,
    }
}

/// One thing to work on.
fn thing(
    nodes: &mut Vec<Node>,
    (number, top): (usize, f64),
    (practice, saving, drill): (&Practice, &Saving, &Drill),
    unit: LengthUnit,
) {
    let rule = Stroke::of(palette::INK, 3.0);
    nodes.push(scene::line([LEFT, top], [LEFT + WIDE, top], rule));
    let title = format!("{number}  {}", capital(&saving.remedy.words(unit)));
    write(nodes, &title, ink(THING, true), [LEFT, top + 54.0], WIDE);
    let pays = pays_on(practice, saving).map_or_else(String::new, |holes| format!(", {holes}"));
    let saves = format!("saves {} strokes here{pays}", saved(saving.all));
    write(nodes, &saves, ink(SMALL, false), [LEFT, top + 92.0], WIDE);
    let target = format!("{} of {}", drill.target, drill.balls);
    let accent = Style {
        colour: palette::ACCENT,
        ..ink(TARGET, true)
    };
    let base = top + 194.0;
    write(nodes, &target, accent, [LEFT, base], WIDE);
    let beside = LEFT + text::width(&target, TARGET, true) + 24.0;
    let room = LEFT + WIDE - 2.0 * ASIDE - 10.0 - beside;
    write(
        nodes,
        drill.counted,
        ink(SMALL, true),
        [beside, base - 40.0],
        room,
    );
    let today = format!("{}; today {}", drill.club, drill.today);
    write(nodes, &today, ink(SMALL, false), [beside, base], room);
    picture(nodes, drill, [LEFT + WIDE - ASIDE, base - 40.0]);
    let below = balls(nodes, drill, [LEFT + BALL + 2.0, base + 42.0]);
    let after = lines(
        nodes,
        &drill.test,
        ink(READ, false),
        [LEFT, below + 46.0],
        3,
    );
    boxes(nodes, drill, after.max(top + 420.0) + 2.0);
}

/// What the balls of a test are to pass or to reach, about a point, with its width below.
fn picture(nodes: &mut Vec<Node>, drill: &Drill, [x, y]: Point) {
    let [wide, high] = PICTURE;
    let full = Stroke::of(palette::INK, 5.0);
    let hair = Stroke::of(palette::INK, 3.0);
    match drill.picture {
        Picture::Gate => {
            for side in [x - wide, x + wide] {
                nodes.push(scene::line([side, y - high], [side, y + high], full));
            }
            let way = Stroke::of(palette::ACCENT, 4.0).dashed(10.0, 8.0);
            nodes.push(scene::line([x, y + high], [x, y - high], way));
        }
        Picture::Ring => {
            nodes.push(scene::disc([x, y], high, palette::PAPER, Some(full)));
            nodes.push(scene::disc([x, y], 6.0, palette::ACCENT, None));
        }
        Picture::Lines => {
            let ends = |k: f64| [[x - wide, y + k * high], [x + wide, y + k * high]];
            let middle = Stroke::of(palette::ACCENT, 5.0);
            for (at, stroke) in [(-1.0, hair), (0.0, middle), (1.0, hair)] {
                let [left, right] = ends(at);
                nodes.push(scene::line(left, right, stroke));
            }
        }
        Picture::Count => return,
    }
    let style = Style {
        anchor: Anchor::Middle,
        ..ink(SMALL, true)
    };
    write(
        nodes,
        &drill.width,
        style,
        [x, y + high + 34.0],
        2.0 * ASIDE,
    );
}

/// The balls of a test, and where the last row lies: full today, ringed up to the target. Where fewer
/// are better those between the target and today are crossed out.
fn balls(nodes: &mut Vec<Node>, drill: &Drill, from: Point) -> f64 {
    // A long test has as many balls in a row as fit: each stands for several.
    let each = drill.balls.div_ceil(2 * ROW).max(1);
    let (all, today, target) = (drill.balls / each, drill.today / each, drill.target / each);
    let mut last = from[1];
    for ball in 0..all {
        let at = [
            from[0] + BALL_PITCH * f64::from(ball % ROW),
            from[1] + BALL_PITCH * f64::from(ball / ROW),
        ];
        last = at[1];
        let full = palette::INK;
        let (fill, stroke) = if ball < today.min(target) {
            (full, Stroke::of(full, 2.0))
        } else if ball < target {
            (palette::PAPER, Stroke::of(palette::ACCENT, 5.0))
        } else if ball < today {
            (full, Stroke::of(full, 2.0))
        } else {
            (palette::PAPER, Stroke::of(palette::MIST, 2.0))
        };
        nodes.push(scene::disc(at, BALL, fill, Some(stroke)));
        if ball >= target && ball < today {
            let line = Stroke::of(palette::ACCENT, 5.0);
            let reach = BALL + 3.0;
            let ends = [
                [at[0] - reach, at[1] + reach],
                [at[0] + reach, at[1] - reach],
            ];
            nodes.push(scene::line(ends[0], ends[1], line));
        }
    }
    last
}

/// A box for each of three days.
fn boxes(nodes: &mut Vec<Node>, drill: &Drill, top: f64) {
    let wide = WIDE / DAYS as f64;
    for day in 0..DAYS {
        let left = LEFT + wide * day as f64;
        let words = format!("day {}", day + 1);
        let stone = Style {
            colour: palette::STONE,
            ..ink(SMALL, false)
        };
        let base = top + 36.0;
        write(nodes, &words, stone, [left, base], wide);
        let at = left + 88.0;
        let steps = scene::rectangle(at, top, 80.0, 50.0);
        nodes.push(Node::Path {
            steps,
            fill: Some(Fill::of(palette::PAPER)),
            stroke: Some(Stroke::of(palette::INK, 2.0)),
        });
        let of = format!("of {}", drill.balls);
        write(nodes, &of, stone, [at + 94.0, base], wide - 190.0);
    }
}
