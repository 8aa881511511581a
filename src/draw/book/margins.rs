//! Page numbers, and thumb tabs at the fore-edge by which a hole is found.

use super::super::labels::{AIR, TextBox, box_of};
use super::super::page::{PAGE, SMALL};
use super::super::scene::{self, Anchor, Fill, Node, Point, Text, palette};
use super::{BookPage, LEFT, RIGHT};

/// Lowest and highest baseline of page numbers, and the steps between.
const BASES: [f64; 2] = [1732.0, 1400.0];
const STEP: f64 = 14.0;
/// The tabs run from here down to there.
const TABS: [f64; 2] = [146.0, 1640.0];
/// How high a tab is at most, with the white below it; how far it reaches in from the edge.
const HIGHEST: f64 = 120.0;
const GAP: f64 = 12.0;
const DEEP: f64 = 32.0;

/// Numbers all pages and puts a tab on those of a hole: `holes` says of each page which hole it is of,
/// counted from 0.
pub(super) fn draw(pages: &mut [BookPage], holes: &[Option<usize>]) {
    let count = holes.iter().flatten().max().map_or(0, |last| last + 1);
    for (k, page) in pages.iter_mut().enumerate() {
        if let Some(hole) = holes.get(k).copied().flatten() {
            page.nodes.push(tab(hole, count, k % 2 == 0));
        }
        number(page, k + 1);
    }
}

/// A tab at the fore-edge: of odd pages, as the first, that is the right one.
fn tab(hole: usize, count: usize, is_right: bool) -> Node {
    let pitch = ((TABS[1] - TABS[0]) / count.max(1) as f64).min(HIGHEST);
    let left = if is_right { PAGE[0] - DEEP } else { 0.0 };
    let top = TABS[0] + hole as f64 * pitch;
    Node::Path {
        steps: scene::rectangle(left, top, DEEP, pitch - GAP),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    }
}

/// The number at the foot, as low as no text stands.
fn number(page: &mut BookPage, number: usize) {
    let words = number.to_string();
    let steps = ((BASES[0] - BASES[1]) / STEP) as u32;
    let mut places = (0..=steps).flat_map(|step| {
        let base = BASES[0] - STEP * f64::from(step);
        let places: [(Point, Anchor); 2] =
            [([RIGHT, base], Anchor::End), ([LEFT, base], Anchor::Start)];
        places
    });
    let free = places.find_map(|(at, anchor)| {
        let area = box_of(&words, SMALL, false, at, anchor);
        let wide = area.grown(AIR);
        let is_free = page
            .layout
            .texts
            .iter()
            .all(|text| !text.area.overlaps(&wide));
        is_free.then_some((at, anchor, area))
    });
    let Some((at, anchor, area)) = free else {
        return;
    };
    page.layout.texts.push(TextBox {
        area,
        words: words.clone(),
        size: SMALL,
    });
    page.nodes.push(Node::Text(Text {
        at,
        words,
        size: SMALL,
        bold: false,
        colour: palette::STONE,
        anchor,
        halo: false,
        tail: Vec::new(),
    }));
}
