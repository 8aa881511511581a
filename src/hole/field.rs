//! What the grids of a hole are built from, and the grids.

use geo::{Coord, Rect};

use super::ceiling::Heights;
use super::clearing::Clearings;
use super::fringe::Fringes;
use super::grid::Cells;
use super::obstacle::{Crowns, Wood, crown_outline};
use super::surface::Labels;
use super::{Ground, Patch, Tree};

/// Side of the cells of surfaces and crowns, m.
const CELL_M: f64 = 1.0;

/// What the grids are built from, beside the patches and trees.
#[derive(Clone, Debug)]
pub(super) struct Field {
    /// The part of the plane that is mapped.
    pub window: Rect<f64>,
    pub woods: Vec<Wood>,
    /// Ground heights, m.
    pub heights: Vec<(Coord<f64>, f64)>,
    /// Heights from elsewhere, in place of those.
    pub ground: Option<Ground>,
    /// How many of the patches lie under tree crowns.
    pub under_crowns: usize,
}

/// The grids of one hole.
#[derive(Debug)]
pub(super) struct Grids {
    pub labels: Labels,
    pub fringes: Fringes,
    pub ground: Ground,
    pub crowns: Crowns,
    pub clearings: Clearings,
    pub ceilings: Heights,
}

impl Grids {
    pub fn build(field: &Field, patches: &[Patch], trees: &[Tree]) -> Self {
        let cells = Cells::over(field.window, CELL_M);
        let outlines: Vec<_> = trees.iter().map(crown_outline).collect();
        let labels = Labels::build(cells.clone(), patches, field.under_crowns, &outlines);
        let ground = field
            .ground
            .clone()
            .unwrap_or_else(|| Ground::through(&field.heights, field.window));
        let fringes = Fringes::build(&cells, patches);
        let crowns = Crowns::build(cells, &field.woods, trees, &labels, &ground);
        Self {
            clearings: Clearings::build(&labels, &crowns, &fringes),
            ceilings: Heights::build(field.window, &ground, &crowns),
            labels,
            fringes,
            ground,
            crowns,
        }
    }
}
