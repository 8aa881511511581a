//! Two pages on a sheet, to be printed on both sides, folded and cut.
//!
//! The sheets make one booklet: printed at full size on both sides, turned on
//! the short edge, laid in a pile with the first front outermost, folded along
//! the middle and cut along the marks, the pages follow one another.

use super::super::page::{PAGE, SMALL, area};
use super::super::pdf::Sheet;
use super::super::scene::{self, Anchor, Node, Point, Stroke, palette};
use super::BookPage;
use crate::draw::labels::{Board, Line};

/// Paper to print on, laid crosswise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 297 × 210 mm (ISO 216).
    A4,
    /// 11 × 8½ in.
    Letter,
}

impl Paper {
    /// Width and height, tenths of a millimetre.
    #[must_use]
    pub fn size(self) -> Point {
        match self {
            Self::A4 => [2970.0, 2100.0],
            Self::Letter => [2794.0, 2159.0],
        }
    }
}

/// Which pages stand left and right on each side of each sheet, as indices;
/// what is not below `pages` stays white. Sides come in the order printed.
#[must_use]
pub fn order(pages: usize) -> Vec<[usize; 2]> {
    let all = pages.div_ceil(4) * 4;
    (0..all / 4)
        .flat_map(|sheet| {
            let (first, last) = (2 * sheet, all - 1 - 2 * sheet);
            [[last, first], [first + 1, last - 1]]
        })
        .collect()
}

/// The sheets of a booklet of `pages`.
#[must_use]
pub fn two_up(pages: Vec<BookPage>, paper: Paper) -> Vec<Sheet> {
    let size = paper.size();
    let order = order(pages.len());
    let mut pages: Vec<Option<BookPage>> = pages.into_iter().map(Some).collect();
    let fold = size[0] / 2.0;
    let top = (size[1] - PAGE[1]) / 2.0;
    let origins = [[fold - PAGE[0], top], [fold, top]];
    let sheets = order.len() / 2;
    order
        .into_iter()
        .enumerate()
        .map(|(side, pair)| {
            let mut parts = Vec::new();
            let mut names = Vec::new();
            for (index, origin) in pair.into_iter().zip(origins) {
                // Each page stands on one side of one sheet.
                if let Some(page) = pages.get_mut(index).and_then(Option::take) {
                    names.push(page.name);
                    parts.push((origin, page.nodes));
                }
            }
            let face = if side % 2 == 0 { "front" } else { "back" };
            let label = format!("Sheet {} of {sheets}, {face}", side / 2 + 1);
            parts.push(([0.0, 0.0], marks(size, fold, top, &label)));
            Sheet {
                size,
                parts,
                name: (!names.is_empty()).then(|| names.join(" | ")),
            }
        })
        .collect()
}

/// Where to fold and where to cut: in the margins only.
fn marks(size: Point, fold: f64, top: f64, label: &str) -> Vec<Node> {
    let bottom = top + PAGE[1];
    let thin = Stroke::of(palette::INK, 1.4);
    let (gap, long) = (20.0, 70.0);
    let mut board = Board::new(area(0.0, 0.0, size[0], size[1]), |_| 0.0);
    for x in [fold - PAGE[0], fold + PAGE[0]] {
        let out = if x < fold { -1.0 } else { 1.0 };
        for (y, away) in [(top, -1.0), (bottom, 1.0)] {
            let nodes = &mut board.nodes;
            nodes.push(scene::line([x, y + away * gap], [x, y + away * long], thin));
            nodes.push(scene::line([x + out * gap, y], [x + out * long, y], thin));
        }
    }
    for (y, away) in [(top, -1.0), (bottom, 1.0)] {
        board.nodes.push(scene::line(
            [fold, y + away * gap],
            [fold, y + away * long],
            thin.dashed(9.0, 7.0),
        ));
    }
    let how = "print at 100 %, both sides, turn on the short edge; fold, then cut";
    for (words, side) in [(label, -0.5), (how, 0.5)] {
        let words = Line::new(words, SMALL, false, palette::STONE);
        let at = [fold + side * PAGE[0], bottom + 60.0];
        board.write(&words, at, Anchor::Middle, false);
    }
    board.nodes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: a folded pile of two sheets.
    #[test]
    fn a_booklet_of_eight_pages() {
        assert_eq!(order(8), [[7, 0], [1, 6], [5, 2], [3, 4]]);
        assert_eq!(order(5).len(), 4);
        assert_eq!(order(1), [[3, 0], [1, 2]]);
        assert!(order(0).is_empty());
    }

    #[test]
    fn two_pages_fit_on_either_paper() {
        for paper in [Paper::A4, Paper::Letter] {
            let [width, height] = paper.size();
            assert!(width >= 2.0 * (PAGE[0] + 70.0) && height >= PAGE[1] + 2.0 * 110.0);
        }
    }
}
