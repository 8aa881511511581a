//! Strokes still to play over the ground where tee shots end, for this player: the hole as a
//! landscape.

use serde::Serialize;

use super::LonLat;

/// Strokes to hole out on a lattice of the hole's plane, west to east and south to north.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Landscape {
    /// The south-western place of the lattice.
    pub origin: LonLat,
    /// From a place to the next, east and north, m.
    pub step_m: f64,
    /// Places in a row.
    pub columns: usize,
    /// By rows from the south; none where hardly any ball of the tee shot ends, and in penalty areas
    /// and out of bounds.
    pub strokes: Vec<Option<f64>>,
}

impl Landscape {
    /// How many rows it has.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.strokes.len().checked_div(self.columns).unwrap_or(0)
    }

    /// Strokes at a place of the lattice.
    #[must_use]
    pub fn at(&self, column: usize, row: usize) -> Option<f64> {
        if column >= self.columns {
            return None;
        }
        self.strokes
            .get(row * self.columns + column)
            .copied()
            .flatten()
    }
}
