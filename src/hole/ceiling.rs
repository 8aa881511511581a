//! How high the ground and the crowns of trees reach near a place: above that a
//! flight meets neither, whatever stands on the hole's highest hill.

use geo::{Coord, Rect};

use super::Ground;
use super::grid::{Cells, whole};
use super::obstacle::Crowns;
use crate::flight::{CEILING_REACH_M, Ceilings, WIDE_REACH_M};

/// Side of a block that has one ceiling, m.
const BLOCK_M: f64 = 8.0;
/// A place within reach, and within the wide reach, is at most so many blocks on.
const REACHES: [usize; 2] = [
    (CEILING_REACH_M / BLOCK_M) as usize,
    (WIDE_REACH_M / BLOCK_M) as usize,
];
/// More than any rounding in comparing a height with a ceiling, m.
const SLACK_M: f64 = 1e-3;

/// Ceilings of ground and of crowns, by block.
#[derive(Debug)]
pub(super) struct Heights {
    /// Whatever lies beyond them counts as the block nearest to it.
    blocks: Cells,
    /// The number of the last column and of the last row.
    last: [usize; 2],
    /// Ground and crowns within reach, then within the wide reach. In single precision
    /// and side by side: a flight asks for all four, and for many.
    near_m: Vec<[f32; 4]>,
}

impl Heights {
    pub fn build(window: Rect<f64>, ground: &Ground, crowns: &Crowns) -> Self {
        let blocks = Cells::over(window, BLOCK_M);
        let (columns, rows) = (blocks.columns, blocks.rows);
        // The first and the last block of a line reach on without end.
        let side = |from_m: f64, at: usize, count: usize| {
            let low = from_m + at as f64 * BLOCK_M;
            [
                if at == 0 { f64::NEG_INFINITY } else { low },
                if at + 1 == count {
                    f64::INFINITY
                } else {
                    low + BLOCK_M
                },
            ]
        };
        let ground_m: Vec<f64> = (0..blocks.count())
            .map(|block| {
                ground.highest_within_m(
                    side(blocks.west_m, block % columns, columns),
                    side(blocks.south_m, block / columns, rows),
                )
            })
            .collect();
        let mut tops_m = vec![f64::NEG_INFINITY; blocks.count()];
        crowns.each(|[west_m, south_m], side_m, top_m| {
            for y in [south_m, south_m + side_m] {
                for x in [west_m, west_m + side_m] {
                    let top = &mut tops_m[block(&blocks, x, y)];
                    *top = top.max(top_m);
                }
            }
        });
        let crowns_m: Vec<f64> = ground_m.iter().zip(tops_m).map(|(g, t)| g + t).collect();
        let around = REACHES
            .map(|reach| [&ground_m, &crowns_m].map(|own| highest_around(own, columns, reach)));
        let [near, wide] = &around;
        Self {
            near_m: (0..blocks.count())
                .map(|b| [near[0][b], near[1][b], wide[0][b], wide[1][b]].map(above))
                .collect(),
            last: [columns - 1, rows - 1],
            blocks,
        }
    }

    /// What [`Ceilings`] says of a place.
    #[inline]
    pub fn near(&self, at: Coord<f64>) -> Ceilings {
        // A cast takes what lies before the first block, and NaN, to it.
        let [column, row] = whole(self.blocks.place(at.x, at.y));
        let [column, row] = [column.min(self.last[0]), row.min(self.last[1])];
        let block = row.wrapping_mul(self.blocks.columns).wrapping_add(column);
        let told = self.near_m[block].map(f64::from);
        Ceilings {
            ground_m: told[0],
            crowns_m: told[1],
            wide_ground_m: told[2],
            wide_crowns_m: told[3],
        }
    }
}

/// The block of a place, or the one nearest to it.
fn block(blocks: &Cells, x: f64, y: f64) -> usize {
    let [column, row] = whole(blocks.place(x, y));
    row.min(blocks.rows - 1) * blocks.columns + column.min(blocks.columns - 1)
}

/// The least number of single precision that surely lies above a height.
fn above(height_m: f64) -> f32 {
    ((height_m + SLACK_M) as f32).next_up()
}

/// By block: the highest of it and of those up to `reach` on, by rows, then columns.
fn highest_around(own: &[f64], columns: usize, reach: usize) -> Vec<f64> {
    let rows = own.len() / columns;
    let highest = |list: &[f64], step: usize, at: usize, count: usize| {
        let first = at.saturating_sub(reach);
        let last = (at + reach).min(count - 1);
        (first..=last)
            .map(|k| list[k * step])
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let across: Vec<f64> = (0..own.len())
        .map(|b| highest(&own[b / columns * columns..], 1, b % columns, columns))
        .collect();
    (0..own.len())
        .map(|b| highest(&across[b % columns..], columns, b / columns, rows))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hole::obstacle::{Kind, Wood};
    use crate::hole::surface::Labels;

    /// Against the ground and the crowns within reach, place by place, inside of the
    /// window and beyond it: never below them, and well below what stands further off.
    #[test]
    fn nothing_near_rises_above_its_ceiling() {
        let at = |x: f64, y: f64| Coord { x, y };
        let window = Rect::new(at(-3.0, 5.0), at(150.0, 116.5));
        let cells = Cells::over(window, 1.0);
        let coarse = Cells::over(window, 4.0);
        // A hillside with bumps, and a steep bank to the east.
        let height = |x: f64, y: f64| {
            0.08 * y + 2.0 * (0.11 * x).sin() * (0.07 * y).cos() + 3.0 * (x - 110.0).max(0.0)
        };
        let heights = (0..(coarse.columns + 1) * (coarse.rows + 1))
            .map(|i| [i % (coarse.columns + 1), i / (coarse.columns + 1)].map(|n| n as f64 * 4.0))
            .map(|[x, y]| height(coarse.west_m + x, coarse.south_m + y))
            .collect();
        let ground = Ground::sampled(coarse, heights);
        let labels = Labels::build(cells.clone(), &[], 0, &[]);
        let wood = |west: f64, south: f64, side: f64, top: f64| Wood {
            outline: Rect::new(at(west, south), at(west + side, south + side)).to_polygon(),
            canopy: Kind::Wood.canopy(top),
        };
        let woods = [wood(11.3, 20.0, 9.0, 12.0), wood(60.0, 71.6, 30.0, 21.0)];
        let crowns = Crowns::build(cells, &woods, &[], &labels, &ground);
        let told = Heights::build(window, &ground, &crowns);
        let grid = |low: f64, high: f64, step: f64| {
            let count = ((high - low) / step) as usize;
            (0..=count).map(move |k| low + step * k as f64)
        };
        for x in grid(-60.0, 200.0, 7.3) {
            for y in grid(-50.0, 170.0, 6.1) {
                let near = told.near(at(x, y));
                for dx in grid(-CEILING_REACH_M, CEILING_REACH_M, 1.6) {
                    for dy in grid(-CEILING_REACH_M, CEILING_REACH_M, 1.6) {
                        let (east, north) = (x + dx, y + dy);
                        let ground_m = ground.height_m(east, north);
                        assert!(ground_m < near.ground_m, "{ground_m} above {near:?}");
                        let top_m = crowns.at(east, north).map(|c| ground_m + c.top_m);
                        assert!(top_m.is_none_or(|top| top < near.crowns_m), "{top_m:?}");
                    }
                }
                for dx in grid(-WIDE_REACH_M, WIDE_REACH_M, 6.4) {
                    for dy in grid(-WIDE_REACH_M, WIDE_REACH_M, 6.4) {
                        let (east, north) = (x + dx, y + dy);
                        let ground_m = ground.height_m(east, north);
                        assert!(ground_m < near.wide_ground_m, "{ground_m} above {near:?}");
                        let top_m = crowns.at(east, north).map(|c| ground_m + c.top_m);
                        assert!(
                            top_m.is_none_or(|top| top < near.wide_crowns_m),
                            "{top_m:?}"
                        );
                    }
                }
            }
        }
        assert!(told.near(at(20.0, 24.0)).ground_m < ground.highest_m() - 90.0);
        assert!(told.near(at(20.0, 24.0)).crowns_m < crowns.highest_m() - 5.0);
        assert_eq!(told.near(at(140.0, 20.0)).crowns_m, f64::from(f32::MIN));
        assert!(told.near(at(20.0, 24.0)).wide_ground_m < ground.highest_m() - 90.0);
    }
}
