//! How to read the book, and what to take care of.

use super::super::labels::Board;
use super::super::page::{MEDIUM, PAGE, area};
use super::super::panel::{INK_SMALL, rule};
use super::super::pdf::circle;
use super::super::scene::{self, Fill, Node, Point, Step, Stroke, palette};
use super::{Book, BookPage, LEFT, RIGHT, finish, headed, paragraph};
use crate::plan::cautions;

/// A mark and what it means.
type Entry = (fn(Point) -> Vec<Node>, &'static str);

const ENTRIES: [Entry; 9] = [
    (
        aim,
        "Aim: at the ring. The bracket across it, where the ball lands, is safe: every aim within it \
         costs at most 0.02 strokes. The axis below the plate says what others cost, 5 a tick.",
    ),
    (
        flight,
        "Flight over the ground. It starts along the dotted line and bends as your shots do. The \
         body lines up on the aim, not on the start.",
    ),
    (
        finishes,
        "Where the usual ball ends. Half of all balls end inside the inner ring, nine of ten inside the \
         outer one.",
    ),
    (
        carry,
        "189–197: from the peg to reach it, and to clear it. 315 on: it begins there. The share is \
         how often a ball ends in it.",
    ),
    (
        left,
        "145 to go: from where the ball ends to the pin; front and back of the green on the same line.",
    ),
    (red, "Red penalty area, with dots on its edge (Rule 17)."),
    (yellow, "Yellow penalty area, with diamonds."),
    (
        bounds,
        "Out of bounds, with squares. Stroke and distance (Rule 18.2).",
    ),
    (
        assumed,
        "Broken edge: assumed, not mapped. Look at it in practice.",
    ),
];

/// The page.
#[must_use]
pub fn page(book: &Book<'_>) -> BookPage {
    let mut board = headed("How to read it", "the marks of a hole's page");
    let mut y = 182.0;
    let x = LEFT + 150.0;
    for (mark, words) in ENTRIES {
        board.nodes.extend(mark([LEFT + 55.0, y - 6.0]));
        y = paragraph(&mut board, words, INK_SMALL, [x, y], RIGHT - x, 4) + 26.0;
    }
    let numbers = "Strokes: expected to hole out from this tee, over very many rounds. \"0.05\" is \
                   what another choice costs; \"no worse\" is too little to count. It knows the \
                   shots in the log and the map; it does not know today's swing.";
    let light = Stroke::of(palette::MIST, 2.0);
    rule(&mut board, &area(LEFT, 0.0, RIGHT, 0.0), y - 22.0, light);
    y = paragraph(
        &mut board,
        numbers,
        INK_SMALL,
        [LEFT, y + 16.0],
        RIGHT - LEFT,
        5,
    ) + 30.0;
    care(&mut board, book, y);
    finish(
        "How to read it".into(),
        Vec::new(),
        board,
        1.0,
        area(0.0, 0.0, PAGE[0], PAGE[1]),
    )
}

fn care(board: &mut Board, book: &Book<'_>, top: f64) {
    let strong = (MEDIUM, true, palette::INK);
    let mut y = paragraph(board, "Take care", strong, [LEFT, top], RIGHT - LEFT, 1) + 4.0;
    let size = "Rule 4.3a: a book may be carried that was made before the round, is no larger than \
                4¼ × 7 in and shows greens at no more than 3/8 in to 5 yd. This one keeps to both if \
                it is printed at 100 %.";
    let given = book
        .chapters
        .first()
        .map_or_else(cautions::cautions, |chapter| chapter.plan.cautions.clone());
    for words in given.iter().map(String::as_str).chain([size]) {
        board
            .nodes
            .push(scene::disc([LEFT + 8.0, y - 8.0], 4.0, palette::INK, None));
        y = paragraph(
            board,
            words,
            INK_SMALL,
            [LEFT + 28.0, y],
            RIGHT - LEFT - 28.0,
            4,
        ) + 8.0;
        if y > super::FOOT {
            break;
        }
    }
}

fn stroke(colour: scene::Colour, width: f64) -> Option<Stroke> {
    Some(Stroke::of(colour, width))
}

fn ring(at: Point, radius: f64, stroke: Stroke, opacity: f64) -> Node {
    Node::Path {
        steps: circle(at, radius),
        fill: Some(Fill {
            colour: palette::ACCENT,
            opacity,
        }),
        stroke: Some(stroke),
    }
}

fn aim([x, y]: Point) -> Vec<Node> {
    let dashed = Stroke::of(palette::ACCENT, 2.6).dashed(22.0, 9.0);
    vec![
        scene::line([x - 50.0, y], [x + 34.0, y], dashed),
        Node::Circle {
            id: None,
            at: [x + 34.0, y],
            radius: 11.0,
            fill: None,
            stroke: stroke(palette::ACCENT, 3.4),
        },
        scene::disc([x + 34.0, y], 3.0, palette::ACCENT, None),
    ]
}

fn flight([x, y]: Point) -> Vec<Node> {
    let dotted = Stroke::of(palette::ACCENT, 2.4).dashed(2.0, 6.0);
    vec![
        scene::line([x - 50.0, y + 12.0], [x + 40.0, y + 12.0], dotted),
        Node::Path {
            steps: vec![
                Step::Move([x - 50.0, y + 12.0]),
                Step::Cubic(
                    [x - 10.0, y + 12.0],
                    [x + 22.0, y + 6.0],
                    [x + 44.0, y - 12.0],
                ),
            ],
            fill: None,
            stroke: stroke(palette::ACCENT, 6.0),
        },
    ]
}

fn finishes(at: Point) -> Vec<Node> {
    let outer = Stroke::of(palette::ACCENT, 1.2);
    vec![
        ring(at, 30.0, outer, 0.10),
        ring(at, 17.0, Stroke::of(palette::ACCENT, 2.2), 0.18),
        scene::disc(at, 7.5, palette::ACCENT, stroke(palette::PAPER, 1.6)),
    ]
}

fn carry([x, y]: Point) -> Vec<Node> {
    let ink = Stroke::of(palette::INK, 3.0);
    let mut nodes = vec![Node::Path {
        steps: scene::rectangle(x - 24.0, y - 12.0, 48.0, 24.0),
        fill: Some(Fill::of(palette::SAND)),
        stroke: stroke(palette::SAND_EDGE, 2.2),
    }];
    for k in 0..10_u32 {
        let dot = [
            x - 18.0 + f64::from(k % 5) * 9.0,
            y - 5.0 + f64::from(k / 5) * 10.0,
        ];
        nodes.push(scene::disc(dot, 1.2, palette::SAND_EDGE, None));
    }
    for side in [-1.0, 1.0] {
        let at = x + side * 26.0;
        nodes.push(scene::line([at, y - 16.0], [at, y + 16.0], ink));
    }
    nodes
}

fn left([x, y]: Point) -> Vec<Node> {
    let dotted = Stroke::of(palette::INK, 1.5).dashed(1.5, 8.0);
    let top = [x + 40.0, y - 20.0];
    vec![
        scene::line([x - 50.0, y + 12.0], [x + 40.0, y + 12.0], dotted),
        scene::line([x + 40.0, y + 12.0], top, Stroke::of(palette::INK, 2.4)),
        Node::Path {
            steps: scene::ring(&[top, [top[0] + 21.0, top[1] + 7.0], [top[0], top[1] + 15.0]]),
            fill: Some(Fill::of(palette::INK)),
            stroke: None,
        },
    ]
}

fn edge([x, y]: Point, strokes: &[Stroke]) -> Vec<Node> {
    strokes
        .iter()
        .map(|&stroke| scene::line([x - 50.0, y], [x + 50.0, y], stroke))
        .collect()
}

fn red([x, y]: Point) -> Vec<Node> {
    let mut nodes = edge([x, y], &[Stroke::of(palette::RED, 5.0)]);
    for k in [-30.0, 0.0, 30.0] {
        let rim = stroke(palette::PAPER, 1.4);
        nodes.push(scene::disc([x + k, y], 6.0, palette::RED, rim));
    }
    nodes
}

fn yellow([x, y]: Point) -> Vec<Node> {
    let lines = [
        Stroke::of(palette::INK, 7.0),
        Stroke::of(palette::YELLOW, 4.6),
    ];
    let mut nodes = edge([x, y], &lines);
    for k in [-30.0, 0.0, 30.0] {
        let r = 8.5;
        nodes.push(Node::Path {
            steps: scene::ring(&[
                [x + k, y - r],
                [x + k + r, y],
                [x + k, y + r],
                [x + k - r, y],
            ]),
            fill: Some(Fill::of(palette::YELLOW)),
            stroke: stroke(palette::INK, 1.8),
        });
    }
    nodes
}

fn bounds([x, y]: Point) -> Vec<Node> {
    let lines = [
        Stroke::of(palette::INK, 5.4),
        Stroke::of(palette::PAPER, 3.0),
    ];
    let mut nodes = edge([x, y], &lines);
    for k in [-30.0, 0.0, 30.0] {
        nodes.push(Node::Path {
            steps: scene::rectangle(x + k - 5.0, y - 5.0, 10.0, 10.0),
            fill: Some(Fill::of(palette::PAPER)),
            stroke: stroke(palette::INK, 2.0),
        });
    }
    nodes
}

fn assumed(at: Point) -> Vec<Node> {
    edge(at, &[Stroke::of(palette::INK, 2.4).dashed(9.0, 7.0)])
}
