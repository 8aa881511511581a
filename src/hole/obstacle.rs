//! Trees: how high they stand, and the field of their crowns.
//!
//! # Heights
//! From `height`, else `est_height`, else by kind (practice, noted as
//! assumed). A crown is a cylinder from its base to the tree's height: the base
//! stands at a fixed share of the height, none for scrub (practice).
//!
//! # Clearings
//! A wood drawn over a tee, fairway, green or bunker has no crowns there: play
//! runs through a clearing that was not cut out of the wood's outline. A single
//! tree's crown hangs over fairways and bunkers but not over tees and greens.

use std::collections::HashMap;

use geo::{Coord, Polygon};

use super::grid::Cells;
use super::rows::Rows;
use super::surface::Labels;
use super::{Ground, Surface, Tree};
use crate::flight::Canopy;

/// Highest tree believed, m; the tallest known stands below 120 m.
pub(super) const TALLEST_M: f64 = 120.0;
/// Widest crown believed, m.
pub(super) const WIDEST_M: f64 = 60.0;

/// A kind of trees with what is assumed of it (practice).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Wood,
    Scrub,
    Row,
    Single,
}

impl Kind {
    /// Height where the map gives none, m.
    pub fn height_m(self) -> f64 {
        match self {
            Self::Wood => 15.0,
            Self::Scrub => 2.5,
            Self::Row | Self::Single => 10.0,
        }
    }

    /// Share of the height at which the crown begins.
    fn base_share(self) -> f64 {
        match self {
            Self::Wood => 0.15,
            Self::Scrub => 0.0,
            Self::Row | Self::Single => 0.25,
        }
    }

    /// Crown diameter where the map gives none, m.
    pub fn crown_m(self, height_m: f64) -> f64 {
        (0.6 * height_m).clamp(1.0, 14.0)
    }

    /// The crown of trees of this kind and height.
    pub fn canopy(self, height_m: f64) -> Canopy {
        Canopy {
            base_m: height_m * self.base_share(),
            top_m: height_m,
        }
    }
}

/// A wood: an area under one canopy.
#[derive(Clone, Debug)]
pub(super) struct Wood {
    pub outline: Polygon<f64>,
    pub canopy: Canopy,
}

/// A tree's crown seen from above, as a polygon of 16 corners with the area of
/// the circle.
pub(super) fn crown_outline(tree: &Tree) -> Polygon<f64> {
    const CORNERS: usize = 16;
    let step = std::f64::consts::TAU / CORNERS as f64;
    // A regular polygon of n corners has area n/2 r² sin(2π/n).
    let radius = tree.crown_m / 2.0 * (step / step.sin()).sqrt();
    let ring = (0..CORNERS).map(|corner| {
        let (sin, cos) = (corner as f64 * step).sin_cos();
        Coord {
            x: tree.at.x + radius * sin,
            y: tree.at.y + radius * cos,
        }
    });
    Polygon::new(ring.collect(), Vec::new())
}

/// The field of crowns over a hole, a canopy for every cell.
#[derive(Debug)]
pub(super) struct Crowns {
    cells: Cells,
    /// Index + 1 into `kinds`; 0 where there are no trees. Empty without trees.
    kind: Vec<u16>,
    kinds: Vec<Canopy>,
    highest_m: f64,
}

impl Crowns {
    /// Builds the field; where crowns overlap it reaches from the lowest base
    /// to the highest top.
    pub fn build(
        cells: Cells,
        woods: &[Wood],
        trees: &[Tree],
        labels: &Labels,
        ground: &Ground,
    ) -> Self {
        let mut field = Self {
            cells,
            kind: Vec::new(),
            kinds: Vec::new(),
            highest_m: f64::NEG_INFINITY,
        };
        if woods.is_empty() && trees.is_empty() {
            return field;
        }
        field.kind = vec![0; field.cells.count()];
        let mut known: HashMap<(u64, u64), u16> = HashMap::new();
        for wood in woods {
            let clear = [
                Surface::Tee,
                Surface::Fairway,
                Surface::Green,
                Surface::Bunker,
            ];
            field.add(&wood.outline, wood.canopy, &clear, labels, &mut known);
        }
        for tree in trees {
            let canopy = Kind::Single.canopy(tree.height_m);
            let clear = [Surface::Tee, Surface::Green];
            field.add(&crown_outline(tree), canopy, &clear, labels, &mut known);
        }
        let half = field.cells.side_m / 2.0;
        for (cell, &kind) in field.kind.iter().enumerate() {
            if kind > 0 {
                let middle = field.middle(cell);
                // Bilinear ground has its extremes at corners.
                let ground_m = [(-half, -half), (half, -half), (-half, half), (half, half)]
                    .iter()
                    .map(|(dx, dy)| ground.height_m(middle.x + dx, middle.y + dy))
                    .fold(f64::NEG_INFINITY, f64::max);
                field.highest_m = field
                    .highest_m
                    .max(ground_m + field.kinds[kind as usize - 1].top_m);
            }
        }
        field
    }

    fn middle(&self, cell: usize) -> Coord<f64> {
        self.cells
            .middle(cell % self.cells.columns, self.cells.row_of(cell))
    }

    fn add(
        &mut self,
        outline: &Polygon<f64>,
        canopy: Canopy,
        clear: &[Surface],
        labels: &Labels,
        known: &mut HashMap<(u64, u64), u16>,
    ) {
        let mut inside = Vec::new();
        Rows::of(&self.cells, outline).fill(&self.cells, |cell| inside.push(cell));
        // Most cells of an outline had the same crowns before.
        let mut last = (u16::MAX, 0);
        for cell in inside {
            if clear.contains(&labels.surface_at(self.middle(cell))) {
                continue;
            }
            let before = self.kind[cell];
            if before == last.0 {
                self.kind[cell] = last.1;
                continue;
            }
            let both = match self.kind[cell] {
                0 => canopy,
                kind => {
                    let old = self.kinds[kind as usize - 1];
                    Canopy {
                        base_m: old.base_m.min(canopy.base_m),
                        top_m: old.top_m.max(canopy.top_m),
                    }
                }
            };
            let key = (both.base_m.to_bits(), both.top_m.to_bits());
            if let Some(&kind) = known.get(&key) {
                self.kind[cell] = kind;
            } else if self.kinds.len() < usize::from(u16::MAX) {
                self.kinds.push(both);
                let kind = self.kinds.len() as u16;
                known.insert(key, kind);
                self.kind[cell] = kind;
            }
            last = (before, self.kind[cell]);
        }
    }

    /// The crowns over a point, if any.
    #[inline]
    pub fn at(&self, east_m: f64, north_m: f64) -> Option<Canopy> {
        if self.kind.is_empty() {
            return None;
        }
        match self.kind[self.cells.cell(east_m, north_m)?] {
            0 => None,
            kind => Some(self.kinds[kind as usize - 1]),
        }
    }

    /// Calls `visit([west_m, south_m], side_m, top_m)` for every cell with crowns.
    pub fn each(&self, mut visit: impl FnMut([f64; 2], f64, f64)) {
        let half = self.cells.side_m / 2.0;
        for (cell, &kind) in self.kind.iter().enumerate() {
            if kind > 0 {
                let middle = self.middle(cell);
                let corner = [middle.x - half, middle.y - half];
                let top_m = self.kinds[kind as usize - 1].top_m;
                visit(corner, self.cells.side_m, top_m);
            }
        }
    }

    /// Whether crowns stand over a cell.
    pub fn stands_over(&self, cell: usize) -> bool {
        self.kind.get(cell).is_some_and(|kind| *kind > 0)
    }

    /// Whether there are none at all.
    pub fn is_empty(&self) -> bool {
        self.kind.is_empty()
    }

    /// No crown reaches above this absolute height, m.
    pub fn highest_m(&self) -> f64 {
        self.highest_m
    }
}
