//! How far it is clear of trees from one place, direction by direction.

use std::cell::Cell;

use super::grid::Grid;

/// Directions that are told apart.
pub(super) const SECTORS: usize = 180;
pub(super) const SECTOR_DEG: f32 = 360.0 / SECTORS as f32;
/// What half a sector is across at a metre's distance, and a little for rounding, m.
const SPREAD: f32 = 0.017_6;
/// Not looked further than this, m.
const FAR_M: f32 = 400.0;
/// Nor where it would take steps shorter than this, m.
const LEAST_STEP_M: f32 = 1.0;
const UNKNOWN: f32 = -1.0;

/// How far it is clear of trees from one place: all shots from there have it in common.
/// Looked for only where a ball flies.
pub(super) struct Fan<'a> {
    grid: &'a Grid,
    pub at: [f32; 2],
    clear_m: [Cell<f32>; SECTORS],
}

impl<'a> Fan<'a> {
    pub fn of(grid: &'a Grid, at: [f32; 2]) -> Self {
        Self {
            grid,
            at,
            clear_m: [const { Cell::new(UNKNOWN) }; SECTORS],
        }
    }

    /// No cell under a crown is met within this, m, between two bearings in sectors from
    /// north; the second is not before the first.
    #[inline]
    pub fn clear_m(&self, from: f32, to: f32) -> f32 {
        // Casts saturate; what is left of north is counted from a turn before.
        let [from, to] = [from, to].map(|at| usize::from((at + SECTORS as f32) as u16));
        (from..=to).fold(FAR_M, |least, sector| {
            least.min(self.clear_within(sector % SECTORS))
        })
    }

    #[inline]
    fn clear_within(&self, sector: usize) -> f32 {
        let known = &self.clear_m[sector];
        if known.get() == UNKNOWN {
            known.set(self.look(sector));
        }
        known.get()
    }

    /// Along the middle of a sector, from what is clear about a place on it to the next.
    #[cold]
    fn look(&self, sector: usize) -> f32 {
        let middle_deg = (sector as f32 + 0.5) * SECTOR_DEG;
        let (sin, cos) = middle_deg.to_radians().sin_cos();
        let mut way = 0.0;
        while way < FAR_M {
            let cell = self
                .grid
                .cell(self.at[0] + way * sin, self.at[1] + way * cos);
            let clear = self.grid.clear[cell];
            let next = (way + f32::from(clear.saturating_sub(1))) / (1.0 + SPREAD);
            if next < way + LEAST_STEP_M {
                return next.max(way);
            }
            way = next;
        }
        FAR_M
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hole::Hole;

    /// Along many bearings within a sector no cell under a crown is met, felt for every
    /// quarter of a metre; and all in all little less than what is clear is told.
    #[test]
    fn no_crown_is_met_within_what_is_clear() {
        let course = std::fs::read("holes/course.geojson").unwrap();
        let (mut told_m, mut true_m) = (0.0, 0.0);
        for number in [1, 4, 5] {
            let hole = Hole::from_geojson(&course, number);
            let grid = Grid::of(&hole, 2.0);
            assert!(!grid.crowns.is_empty());
            for cell in (0..grid.len()).step_by(1 + grid.len() / 40) {
                let at = grid.middle(cell).map(|m| m + 0.7);
                let fan = Fan::of(&grid, at);
                for sector in (0..SECTORS).step_by(7) {
                    let within = |share: f32| sector as f32 + share;
                    let clear_m = fan.clear_m(within(0.0), within(0.99));
                    let mut met_m = FAR_M;
                    for share in [0.0, 0.25, 0.5, 0.75, 0.999] {
                        let bearing = (within(share) * SECTOR_DEG).to_radians();
                        let met = (0..4 * FAR_M as usize).map(|k| k as f32 / 4.0).find(|way| {
                            let place = [at[0] + way * bearing.sin(), at[1] + way * bearing.cos()];
                            grid.crowns[grid.cell(place[0], place[1])][1] > 0.0
                        });
                        met_m = met.map_or(met_m, |met| met.min(met_m));
                    }
                    assert!(clear_m <= met_m, "{clear_m} of {met_m}");
                    told_m += clear_m;
                    true_m += met_m;
                }
            }
        }
        assert!(told_m > 0.7 * true_m, "{told_m} of {true_m}");
    }
}
