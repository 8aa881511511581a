//! What lies on top where drawn areas overlap.
//!
//! # Order of overlap
//! From the top:
//! 1. out of bounds,
//! 2. a bunker drawn wholly within a green,
//! 3. green,
//! 4. penalty areas drawn as such, then water drawn without a golf tag; sand
//!    inside a penalty area belongs to it (Rules of Golf 2023, definition
//!    "Bunker"), and an island green drawn without an island in the water
//!    still stands out of it,
//! 5. bunker,
//! 6. tee,
//! 7. fairway,
//! 8. crowns of single trees and tree rows,
//! 9. drawn rough and woods,
//! 10. rough, where nobody drew anything.
//!
//! Within one place of this order the smaller area lies on top, so that a
//! clearing in a wood and a copse in the rough are both what they look like.

use geo::{Area, Contains, Coord, Polygon};

use super::grid::{Cells, NOTHING};
use super::obstacle::crown_outline;
use super::rows::Rows;
use super::{Patch, Surface, Tree};
use crate::flight::Turf;

/// Place in the order of overlap; higher lies on top.
fn place_in_order(patch: &Patch, within_green: bool) -> u8 {
    match patch.surface {
        Surface::OutOfBounds => 9,
        Surface::Bunker if within_green => 8,
        Surface::Green => 7,
        Surface::PenaltyRed | Surface::PenaltyYellow if !patch.assumed => 6,
        Surface::PenaltyRed | Surface::PenaltyYellow => 5,
        Surface::Bunker => 4,
        Surface::Tee => 3,
        Surface::Fairway => 2,
        Surface::Rough | Surface::Trees => 0,
    }
}

/// Place of tree crowns: over rough and woods, under everything else.
const CROWNS: u8 = 1;

/// What lies on top at a point.
pub(super) enum Topmost<'a> {
    Patch(&'a Patch),
    /// The crown of a single tree.
    Crown(&'a Tree),
    Nothing,
}

/// What lies on top at a point of sorted patches, as [`Labels::surface_at`] has it, without a grid:
/// for a few points of a hole that may never be played.
pub(super) fn topmost<'a>(
    patches: &'a [Patch],
    under: usize,
    trees: &'a [Tree],
    at: Coord<f64>,
) -> Topmost<'a> {
    let (low, high) = patches.split_at(under.min(patches.len()));
    let within = |patch: &&Patch| patch.outline.contains(&at);
    if let Some(patch) = high.iter().rev().find(within) {
        return Topmost::Patch(patch);
    }
    let crown = |tree: &&Tree| {
        (tree.at.x - at.x).hypot(tree.at.y - at.y) <= tree.crown_m
            && crown_outline(tree).contains(&at)
    };
    if let Some(tree) = trees.iter().find(crown) {
        return Topmost::Crown(tree);
    }
    low.iter()
        .rev()
        .find(within)
        .map_or(Topmost::Nothing, Topmost::Patch)
}

/// Sorts patches lowest first; returns how many lie under tree crowns.
pub(super) fn sort(patches: Vec<Patch>) -> (Vec<Patch>, usize) {
    let greens: Vec<Polygon<f64>> = patches
        .iter()
        .filter(|patch| patch.surface == Surface::Green)
        .map(|patch| patch.outline.clone())
        .collect();
    let mut keyed: Vec<(u8, f64, usize, Patch)> = patches
        .into_iter()
        .enumerate()
        .map(|(at, patch)| {
            let within = patch.surface == Surface::Bunker
                && greens.iter().any(|green| green.contains(&patch.outline));
            (
                place_in_order(&patch, within),
                patch.outline.unsigned_area(),
                at,
                patch,
            )
        })
        .collect();
    keyed.sort_by(|one, other| {
        one.0
            .cmp(&other.0)
            .then(other.1.total_cmp(&one.1))
            .then(one.2.cmp(&other.2))
    });
    let under = keyed.iter().filter(|each| each.0 < CROWNS).count();
    (keyed.into_iter().map(|each| each.3).collect(), under)
}

/// The label of cells in which an outline runs.
const EDGE: u8 = u8::MAX;

/// A drawn outline with its edges filed by rows of cells.
#[derive(Debug)]
struct Outline {
    surface: Surface,
    /// Index among the hole's patches, or [`NOTHING`] for a tree's crown.
    patch: u32,
    rows: Rows,
}

/// The label grid: a surface for every cell that no outline crosses, and the
/// exact test, among the few outlines that do cross, for the others.
#[derive(Debug)]
pub(super) struct Labels {
    cells: Cells,
    /// A surface's number, or [`EDGE`].
    label: Vec<u8>,
    /// Index + 1 into `lists` for a cell that outlines cross; otherwise the
    /// complement of the outline that covers the cell (0xFFFF_FFFF − index),
    /// 0 where nothing does.
    detail: Vec<u32>,
    /// Where each crossed cell's outlines start in `crossing`; one more at the end.
    starts: Vec<u32>,
    /// Outlines that cross a cell, topmost first, then what covers it below.
    crossing: Vec<u32>,
    outlines: Vec<Outline>,
}

impl Labels {
    /// Builds the grid for sorted patches; `under` of them lie under the crowns.
    pub fn build(cells: Cells, patches: &[Patch], under: usize, crowns: &[Polygon<f64>]) -> Self {
        let patch_outline = |at: usize| Outline {
            surface: patches[at].surface,
            patch: at as u32,
            rows: Rows::of(&cells, &patches[at].outline),
        };
        let mut outlines: Vec<Outline> = (0..under.min(patches.len())).map(patch_outline).collect();
        outlines.extend(crowns.iter().map(|crown| Outline {
            surface: Surface::Trees,
            patch: NOTHING,
            rows: Rows::of(&cells, crown),
        }));
        outlines.extend((under..patches.len()).map(patch_outline));

        let count = cells.count();
        let mut covered: Vec<u32> = vec![NOTHING; count];
        let mut list_of: Vec<u32> = vec![0; count];
        let mut lists: Vec<Vec<u32>> = Vec::new();
        for at in (0..outlines.len()).rev() {
            outlines[at].rows.scan(&cells, |cell, crossed| {
                if covered[cell] != NOTHING {
                } else if crossed {
                    if list_of[cell] == 0 {
                        lists.push(Vec::new());
                        list_of[cell] = lists.len() as u32;
                    }
                    lists[list_of[cell] as usize - 1].push(at as u32);
                } else {
                    covered[cell] = at as u32;
                }
            });
        }

        let surface = |at: u32| {
            outlines
                .get(at as usize)
                .map_or(Surface::Rough, |o| o.surface)
        };
        let mut label = vec![Surface::Rough as u8; count];
        let mut detail = vec![0_u32; count];
        let mut starts = vec![0_u32];
        let mut crossing: Vec<u32> = Vec::new();
        for cell in 0..count {
            let below = surface(covered[cell]);
            if list_of[cell] == 0 {
                label[cell] = below as u8;
                detail[cell] = if covered[cell] == NOTHING {
                    0
                } else {
                    u32::MAX - covered[cell]
                };
            } else {
                let list = &lists[list_of[cell] as usize - 1];
                let one_surface = list.iter().all(|&at| surface(at) == below);
                label[cell] = if one_surface { below as u8 } else { EDGE };
                detail[cell] = starts.len() as u32;
                crossing.extend(list);
                crossing.push(covered[cell]);
                starts.push(crossing.len() as u32);
            }
        }
        Self {
            cells,
            label,
            detail,
            starts,
            crossing,
            outlines,
        }
    }

    /// The grid.
    pub fn cells(&self) -> &Cells {
        &self.cells
    }

    /// The turf of a cell; none where an outline runs through it.
    pub fn turf_of(&self, cell: usize) -> Option<Turf> {
        match self.label[cell] {
            EDGE => None,
            label => Some(surface_of(label).turf()),
        }
    }

    /// What lies at a point. Outside of the grid: out of bounds where the
    /// nearest cell of the grid's edge is, rough elsewhere.
    #[inline]
    pub fn surface_at(&self, at: Coord<f64>) -> Surface {
        let Some(cell) = self.cells.cell(at.x, at.y) else {
            return self.outside(at);
        };
        match self.label[cell] {
            EDGE => self.exact(cell, at),
            label => surface_of(label),
        }
    }

    /// The patch that lies on top at a point, if one does.
    pub fn patch_at(&self, at: Coord<f64>) -> Option<usize> {
        let cell = self.cells.cell(at.x, at.y)?;
        let outline = self.topmost(cell, at)?;
        (outline.patch != NOTHING).then_some(outline.patch as usize)
    }

    /// The patch that lies on top at a point, crowns aside.
    pub fn drawn_at(&self, at: Coord<f64>) -> Option<usize> {
        let cell = self.cells.cell(at.x, at.y)?;
        let topmost = self.topmost(cell, at)?;
        if topmost.patch != NOTHING {
            return Some(topmost.patch as usize);
        }
        // Under a crown: rough and woods, which come first among the outlines.
        let row = self.cells.row_of(cell);
        let under = self
            .outlines
            .iter()
            .take_while(|each| each.patch != NOTHING);
        let holds = |each: &&Outline| each.rows.contains(row, at.x, at.y);
        let found = under.filter(holds).last()?;
        Some(found.patch as usize)
    }

    #[cold]
    fn outside(&self, at: Coord<f64>) -> Surface {
        let Some(inside) = self.cells.nearest_inside(at) else {
            return Surface::Rough;
        };
        match self.surface_at(inside) {
            Surface::OutOfBounds => Surface::OutOfBounds,
            _ => Surface::Rough,
        }
    }

    fn exact(&self, cell: usize, at: Coord<f64>) -> Surface {
        self.topmost(cell, at)
            .map_or(Surface::Rough, |outline| outline.surface)
    }

    fn topmost(&self, cell: usize, at: Coord<f64>) -> Option<&Outline> {
        let detail = self.detail[cell];
        if detail == 0 {
            return None;
        }
        if detail as usize >= self.starts.len() {
            return self.outlines.get((u32::MAX - detail) as usize);
        }
        let (from, to) = (
            self.starts[detail as usize - 1] as usize,
            self.starts[detail as usize] as usize,
        );
        let row = self.cells.row_of(cell);
        for &at_outline in &self.crossing[from..to - 1] {
            let outline = &self.outlines[at_outline as usize];
            if outline.rows.contains(row, at.x, at.y) {
                return Some(outline);
            }
        }
        self.outlines.get(self.crossing[to - 1] as usize)
    }
}

/// A label back to its surface.
#[inline]
fn surface_of(label: u8) -> Surface {
    const ALL: [Surface; 9] = [
        Surface::Rough,
        Surface::Tee,
        Surface::Fairway,
        Surface::Green,
        Surface::Bunker,
        Surface::Trees,
        Surface::PenaltyRed,
        Surface::PenaltyYellow,
        Surface::OutOfBounds,
    ];
    ALL.get(label as usize).copied().unwrap_or(Surface::Rough)
}
