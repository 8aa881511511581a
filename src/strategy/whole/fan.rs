//! How far it is clear of trees from one place, direction by direction.

use std::cell::Cell;

use super::grid::Grid;

/// Directions that are told apart: as many as a byte counts all the way round.
pub(super) const SECTORS: usize = 256;
pub(super) const SECTOR_DEG: f32 = 360.0 / SECTORS as f32;
/// What half a sector is across at a metre's distance, and a little for rounding, m.
const SPREAD: f32 = 0.012_4;
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
    /// north, at most a turn left of it; the second is not before the first.
    #[inline]
    pub fn clear_m(&self, from: f32, to: f32) -> f32 {
        let [mut sector, last] = [from, to].map(|at| (at + SECTORS as f32) as u16 as u8);
        let mut least = FAR_M;
        loop {
            let known = &self.clear_m[usize::from(sector)];
            let mut clear_m = known.get();
            if clear_m == UNKNOWN {
                clear_m = self.look(sector);
                known.set(clear_m);
            }
            if clear_m < least {
                least = clear_m;
            }
            if sector == last {
                return least;
            }
            sector = sector.wrapping_add(1);
        }
    }

    /// Along the middle of a sector, from what is clear about a place on it to the next.
    #[cold]
    #[inline(never)]
    fn look(&self, sector: u8) -> f32 {
        let middle_deg = (f32::from(sector) + 0.5) * SECTOR_DEG;
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

    /// Along several bearings within a sector no cell under a crown is met, felt for every
    /// quarter of a metre; and little less than what is clear is given.
    #[test]
    fn no_crown_is_met_within_what_is_clear() {
        let size = [150, 110];
        let scattered = |cell: usize, period: usize| match cell % period {
            17 => [2.0, 9.0],
            _ => [0.0; 2],
        };
        let (mut bound_m, mut true_m) = (0.0, 0.0);
        for period in [97, 1013, 16_501] {
            let crowns = (0..size[0] * size[1]).map(|cell| scattered(cell, period));
            let grid = Grid::of_crowns(size, 2.0, crowns.collect());
            for cell in (0..grid.len()).step_by(709) {
                let at = grid.middle(cell).map(|m| m + 0.7);
                let fan = Fan::of(&grid, at);
                for sector in (0..SECTORS).step_by(7) {
                    let within = |share: f32| sector as f32 + share;
                    let clear_m = fan.clear_m(within(0.0), within(0.99));
                    let is_met = |bearing: f32, way: f32| {
                        let east = at[0] + way * bearing.sin();
                        let cell = grid.cell(east, at[1] + way * bearing.cos());
                        grid.crowns[cell][1] > 0.0
                    };
                    let mut met_m = FAR_M;
                    for share in [0.0, 0.25, 0.5, 0.75, 0.999] {
                        let bearing = (within(share) * SECTOR_DEG).to_radians();
                        let mut ways = (0..4 * FAR_M as usize).map(|k| k as f32 / 4.0);
                        let met = ways.find(|way| is_met(bearing, *way));
                        met_m = met.map_or(met_m, |met| met.min(met_m));
                    }
                    assert!(clear_m <= met_m, "{clear_m} of {met_m}");
                    bound_m += clear_m;
                    true_m += met_m;
                }
            }
        }
        assert!(bound_m > 0.5 * true_m, "{bound_m} of {true_m}");
    }

    /// Across north, and over several sectors, the least of them counts.
    #[test]
    fn of_several_sectors_the_least_counts() {
        let size = [100, 100];
        let place = |cell: usize| [cell % size[0], cell / size[0]];
        let tree = |cell: usize| place(cell) == [52, 80];
        let crowns = (0..size[0] * size[1]).map(|cell| [0.0, f32::from(u8::from(tree(cell)))]);
        let grid = Grid::of_crowns(size, 2.0, crowns.collect());
        let fan = Fan::of(&grid, [101.0, 101.0]);
        // It stands 60 m north and 4 m east.
        for (from, to) in [(-3.0, 5.0), (-256.0, -250.0), (253.5, 260.0)] {
            let clear_m = fan.clear_m(from, to);
            assert!((50.0..60.0).contains(&clear_m), "{clear_m}");
        }
        assert!(fan.clear_m(20.0, 230.0) >= FAR_M);
    }
}
