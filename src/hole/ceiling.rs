//! How high the ground and the crowns of trees reach near a place: above that a
//! flight meets neither, whatever stands on the hole's highest hill.

use geo::{Coord, Rect};

use super::Ground;
use super::grid::Cells;
use super::obstacle::Crowns;
use crate::flight::{CEILING_REACH_M, Ceilings};

/// Side of a block that has one ceiling, m.
const BLOCK_M: f64 = 8.0;
/// A place within reach is at most so many blocks on.
const REACH: usize = (CEILING_REACH_M / BLOCK_M) as usize;
/// More than any rounding in comparing a height with a ceiling, m.
const SLACK_M: f64 = 1e-3;

/// Ceilings of ground and of crowns, by block.
#[derive(Debug)]
pub(super) struct Heights {
    /// Whatever lies beyond them counts as the block nearest to it.
    blocks: Cells,
    /// In single precision and side by side: a flight asks for both, and for many.
    near_m: Vec<[f32; 2]>,
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
        let near_m = [&ground_m, &crowns_m].map(|own| highest_around(own, columns));
        Self {
            near_m: near_m[0]
                .iter()
                .zip(&near_m[1])
                .map(|(ground, crowns)| [above(*ground), above(*crowns)])
                .collect(),
            blocks,
        }
    }

    /// What [`Ceilings`] says of a place.
    #[inline]
    pub fn near(&self, at: Coord<f64>) -> Ceilings {
        let [ground_m, crowns_m] = self.near_m[block(&self.blocks, at.x, at.y)].map(f64::from);
        Ceilings { ground_m, crowns_m }
    }
}

/// The block of a place, or the one nearest to it.
#[inline]
fn block(blocks: &Cells, x: f64, y: f64) -> usize {
    // A cast takes what lies before it, and NaN, to the first block.
    let column = ((x - blocks.west_m) * blocks.per_m) as u32 as usize;
    let row = ((y - blocks.south_m) * blocks.per_m) as u32 as usize;
    row.min(blocks.rows - 1) * blocks.columns + column.min(blocks.columns - 1)
}

/// The least number of single precision that surely lies above a height.
fn above(height_m: f64) -> f32 {
    ((height_m + SLACK_M) as f32).next_up()
}

/// By block: the highest of it and of those within reach of it, by rows, then columns.
fn highest_around(own: &[f64], columns: usize) -> Vec<f64> {
    let rows = own.len() / columns;
    let highest = |list: &[f64], step: usize, at: usize, count: usize| {
        let first = at.saturating_sub(REACH);
        let last = (at + REACH).min(count - 1);
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
