//! Strokes to hole out, by distance, lie and the player's level.
//!
//! The tour averages are a published table; a player's level is laid over it
//! with the published Course Rating formulas. Nothing here knows what lies
//! between the ball and the hole.
//!
//! # References
//! - M. Broadie, *Assessing Golfer Performance on the PGA TOUR*, Interfaces
//!   42(2) (2012) 146–165, and his 2014 book. The cells are from memory: about
//!   90 % sure from 100 yd, 75 % below.
//! - Course Rating System: expected score of scratch and bogey golfer by length
//!   (scratch man as read, bogey man from memory, 90 %).

use crate::hole::Surface;
use crate::units::{FOOT_M, YARD_M};

/// Distances of the table's rows, yards.
const ROWS_YD: [f64; 30] = [
    20.0, 40.0, 60.0, 80.0, 100.0, 120.0, 140.0, 160.0, 180.0, 200.0, 220.0, 240.0, 260.0, 280.0,
    300.0, 320.0, 340.0, 360.0, 380.0, 400.0, 420.0, 440.0, 460.0, 480.0, 500.0, 520.0, 540.0,
    560.0, 580.0, 600.0,
];
const FAIRWAY: [f64; 30] = [
    2.40, 2.60, 2.70, 2.75, 2.80, 2.85, 2.91, 2.98, 3.08, 3.19, 3.32, 3.45, 3.58, 3.69, 3.78, 3.84,
    3.88, 3.95, 4.03, 4.11, 4.15, 4.20, 4.29, 4.40, 4.53, 4.66, 4.78, 4.86, 4.91, 4.94,
];
const ROUGH: [f64; 30] = [
    2.59, 2.78, 2.91, 2.96, 3.02, 3.08, 3.15, 3.23, 3.31, 3.42, 3.53, 3.64, 3.74, 3.83, 3.90, 3.95,
    4.02, 4.11, 4.21, 4.30, 4.34, 4.39, 4.48, 4.59, 4.72, 4.85, 4.97, 5.05, 5.10, 5.13,
];
const SAND: [f64; 30] = [
    2.53, 2.82, 3.15, 3.24, 3.23, 3.21, 3.22, 3.28, 3.40, 3.55, 3.70, 3.84, 3.93, 4.00, 4.04, 4.12,
    4.26, 4.41, 4.55, 4.69, 4.73, 4.78, 4.87, 4.98, 5.11, 5.24, 5.36, 5.44, 5.49, 5.52,
];
/// The table has no recovery below 100 yd: the first cell is held there.
const RECOVERY: [f64; 30] = [
    3.80, 3.80, 3.80, 3.80, 3.80, 3.78, 3.80, 3.81, 3.82, 3.87, 3.92, 3.97, 4.03, 4.10, 4.20, 4.31,
    4.44, 4.56, 4.66, 4.75, 4.79, 4.84, 4.93, 5.04, 5.17, 5.30, 5.42, 5.50, 5.55, 5.58,
];
/// Strokes from the edge of the green, at 2 yd, where the table is silent
/// (practice): a line joins it to the 20 yd row.
const BESIDE_GREEN_YD: f64 = 2.0;
const BESIDE_GREEN: [f64; 3] = [2.05, 2.25, 2.40];

/// Putts, tour mean, by feet (memory, 90 %). A tap-in takes one.
const PUTTS: [(f64, f64); 17] = [
    (0.0, 1.0),
    (2.0, 1.01),
    (3.0, 1.04),
    (4.0, 1.13),
    (5.0, 1.23),
    (6.0, 1.34),
    (7.0, 1.42),
    (8.0, 1.50),
    (9.0, 1.56),
    (10.0, 1.61),
    (15.0, 1.78),
    (20.0, 1.87),
    (30.0, 1.98),
    (40.0, 2.06),
    (50.0, 2.14),
    (60.0, 2.21),
    (90.0, 2.40),
];

/// The Handicap Index that stands for a tour player. With it the extra strokes
/// below come out at about 0.3 from 400 yd between a tour player and a scratch
/// golfer; the Course Rating formula and the better-half allowance give 0.24.
pub const TOUR_HANDICAP: f64 = -5.0;
/// The Handicap Index in the middle of the Course Rating System's bogey golfer
/// (17.5–22.4).
const BOGEY_HANDICAP: f64 = 20.0;

/// Strokes to hole out from anywhere, for one level of player.
#[derive(Clone, Debug)]
pub struct StrokesToGo {
    /// Per lie (fairway, rough, sand, recovery, green): strokes at every metre.
    by_metre: [Vec<f64>; 5],
    /// How much longer than it is a putt looks to this player.
    putting: f64,
}

/// Share of putts holed by tour players, by feet (Broadie 2014, read; 1 where
/// the table does not reach, at the hole).
const ONE_PUTT: [(f64, f64); 13] = [
    (0.0, 1.0),
    (2.0, 0.99),
    (3.0, 0.96),
    (4.0, 0.88),
    (5.0, 0.77),
    (8.0, 0.50),
    (10.0, 0.40),
    (15.0, 0.23),
    (20.0, 0.15),
    (30.0, 0.07),
    (40.0, 0.04),
    (50.0, 0.03),
    (60.0, 0.02),
];

/// By whole feet, the last row that is not further.
const ROW_OF_FOOT: [usize; 61] = {
    let mut rows = [0; 61];
    let mut foot = 0;
    while foot < rows.len() {
        let mut row = 0;
        while row + 1 < ONE_PUTT.len() && ONE_PUTT[row + 1].0 <= foot as f64 {
            row += 1;
        }
        rows[foot] = row;
        foot += 1;
    }
    rows
};

/// Distances tabulated, m: further than any hole that is read.
const REACH_M: usize = 1400;

impl StrokesToGo {
    /// For a player of this Handicap Index; [`TOUR_HANDICAP`] for a tour player.
    #[must_use]
    pub fn for_handicap(handicap: f64) -> Self {
        let level = (handicap - TOUR_HANDICAP).max(0.0) / (BOGEY_HANDICAP - 0.0);
        let columns = [&FAIRWAY, &ROUGH, &SAND, &RECOVERY];
        let lie = |column: usize| -> Vec<f64> {
            (0..=REACH_M)
                .map(|metre| {
                    let yd = metre as f64 / YARD_M;
                    tour(columns[column], column, yd) + level * bogey_extra(yd)
                })
                .collect()
        };
        let putting = 1.0 + PUTT_STRETCH * level;
        let green = (0..=REACH_M)
            .map(|metre| putts(metre as f64 / FOOT_M * putting))
            .collect();
        Self {
            by_metre: [lie(0), lie(1), lie(2), lie(3), green],
            putting,
        }
    }

    /// Chances of holing out in one, two and three putts from `distance_m`:
    /// the published share of single putts at this player's level, and what the
    /// mean of [`StrokesToGo::from`] leaves for two and three.
    #[must_use]
    pub fn putt_chances(&self, distance_m: f64) -> [f64; 3] {
        let feet = distance_m / FOOT_M * self.putting;
        // Asked for by every ball on a green: the search begins at its whole foot.
        let first = ROW_OF_FOOT[(feet as usize).min(ROW_OF_FOOT.len() - 1)];
        let table = ONE_PUTT[first..]
            .windows(2)
            .find(|pair| feet <= pair[1].0)
            .map_or(0.02, |pair| {
                let ((near, many), (far, few)) = (pair[0], pair[1]);
                many + (few - many) * (feet - near) / (far - near)
            });
        let mean = self.from(Surface::Green, distance_m).clamp(1.0, 3.0);
        // one + two + three = 1 and one + 2 two + 3 three = mean.
        let one = table.clamp((2.0 - mean).max(0.0), (3.0 - mean) / 2.0);
        let three = mean - 2.0 + one;
        [one, 1.0 - one - three, three]
    }

    /// Expected strokes to hole out from `distance_m` in this lie. Penalty
    /// areas and out of bounds have no value of their own: a ball dropped
    /// beside them does; they are read as rough.
    #[must_use]
    pub fn from(&self, surface: Surface, distance_m: f64) -> f64 {
        let table = &self.by_metre[match surface {
            Surface::Tee | Surface::Fairway => 0,
            Surface::Rough
            | Surface::PenaltyRed
            | Surface::PenaltyYellow
            | Surface::OutOfBounds => 1,
            Surface::Bunker => 2,
            Surface::Trees => 3,
            Surface::Green => 4,
        }];
        let at = distance_m.clamp(0.0, (REACH_M - 1) as f64);
        let low = at as usize;
        let part = at - low as f64;
        table[low] * (1.0 - part) + table[low + 1] * part
    }
}

/// How much longer than it is a putt looks to a bogey golfer. Tour players
/// hole half their putts from 8 ft, a player who shoots 90 from 5 ft (read):
/// 8/5 = 1.6 at a Handicap Index of about 18, 23 above a tour player's.
const PUTT_STRETCH: f64 = 0.6 * 20.0 / 23.0;

/// Tour strokes at a distance of one column.
fn tour(column: &[f64; 30], lie: usize, yd: f64) -> f64 {
    let first = ROWS_YD[0];
    let last = ROWS_YD[29];
    if yd < first {
        let near = *BESIDE_GREEN.get(lie).unwrap_or(&column[0]);
        let part = ((yd - BESIDE_GREEN_YD) / (first - BESIDE_GREEN_YD)).max(0.0);
        return near + part * (column[0] - near);
    }
    if yd >= last {
        // Beyond the table: about a stroke for every 190 yd, as between its
        // 400 and 600 yd rows.
        let slope = (column[29] - column[19]) / (last - ROWS_YD[19]);
        return column[29] + (yd - last) * slope;
    }
    let row = ((yd - first) / 20.0) as usize;
    let part = (yd - ROWS_YD[row]) / 20.0;
    column[row] * (1.0 - part) + column[row + 1] * part
}

/// A bogey golfer's extra strokes over a scratch golfer's at `yd` from the
/// hole: l/160 − l/220 + 0.54 (Course Rating formulas, see the module). The
/// constant is for a whole hole, its last hundred yards and putting included;
/// closer in, a part of it has already been played (practice: 0.6 of it is
/// left beside the green).
fn bogey_extra(yd: f64) -> f64 {
    let close = 0.6 + 0.4 * (yd / 100.0).min(1.0);
    yd / 160.0 - yd / 220.0 + (50.7 - 40.9) / 18.0 * close
}

fn putts(feet: f64) -> f64 {
    for pair in PUTTS.windows(2) {
        let ((near, few), (far, many)) = (pair[0], pair[1]);
        if feet <= far {
            return few + (many - few) * (feet - near) / (far - near);
        }
    }
    // Beyond the table, on with its last slope.
    2.40 + (feet - 90.0) * (2.40 - 2.21) / 30.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The cells marked as read in the source, for a tour player.
    #[test]
    fn gives_the_published_cells_back() {
        let tour = StrokesToGo::for_handicap(TOUR_HANDICAP);
        for (surface, yd, strokes) in [
            (Surface::Rough, 80.0, 2.96),
            (Surface::Fairway, 140.0, 2.91),
            (Surface::Rough, 140.0, 3.15),
            (Surface::Fairway, 160.0, 2.98),
            (Surface::Rough, 180.0, 3.31),
        ] {
            let got = tour.from(surface, yd * YARD_M);
            // The table is held at whole metres, so a kink at a row is cut by a little.
            assert!((got - strokes).abs() < 0.005, "{surface:?} {yd}: {got}");
        }
    }

    /// Half the putts are holed where the mean is about 1.5.
    #[test]
    fn putting_level_moves_the_half_way_distance() {
        let half = |handicap: f64| {
            let table = StrokesToGo::for_handicap(handicap);
            (0..400)
                .map(|i| f64::from(i) * 0.01)
                .find(|m| table.from(Surface::Green, *m) >= 1.5)
                .expect("a distance")
                / FOOT_M
        };
        // Read: tour 8 ft, shoots 90 5 ft, handicaps 0–9 6 ft. By metres, so coarse.
        assert!(
            (half(TOUR_HANDICAP) - 8.0).abs() < 0.5,
            "{}",
            half(TOUR_HANDICAP)
        );
        assert!((half(18.0) - 5.0).abs() < 0.5, "{}", half(18.0));
        assert!((half(4.5) - 6.4).abs() < 0.6, "{}", half(4.5));
    }

    /// Course Rating: over a hole of 400 yd a bogey golfer takes
    /// 400/160 − 400/220 + 0.544 = 1.226 more than scratch.
    #[test]
    fn level_follows_course_rating() {
        let at = |handicap: f64| {
            StrokesToGo::for_handicap(handicap).from(Surface::Fairway, 400.0 * YARD_M)
        };
        assert!((at(20.0) - at(0.0) - 1.226).abs() < 0.002);
    }

    #[test]
    fn further_is_never_easier() {
        let table = StrokesToGo::for_handicap(12.0);
        for surface in [Surface::Fairway, Surface::Rough, Surface::Green] {
            for metre in 1..700 {
                let near = table.from(surface, f64::from(metre - 1));
                let far = table.from(surface, f64::from(metre));
                assert!(far >= near - 1e-9, "{surface:?} at {metre} m");
            }
        }
    }
}
