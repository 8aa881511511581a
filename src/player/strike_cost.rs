//! What strikes off the middle of the face cost beside the bend: ball speed, and
//! where the ball starts.
//!
//! Within a club ball speed is taken as linear in the square of the strike (and
//! in club speed, where that is logged), the start direction as linear in the
//! strike (and in the face): least squares, drawn towards what the impact model
//! says of such a head (`flight::strike`), as much as half of that is doubted.

use super::Handedness;
use super::club::{Club, Family};
use super::face::LEAST_ROWS;
use super::group::{Group, Sight};
use super::pattern::{SPEED, START};
use super::shotlog::Shot;
use crate::flight::{ClubHead, Delivery, strike};

/// What a club's strikes cost.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StrikeCost {
    /// Ball speed, m/s for each mm² off the middle; negative.
    pub speed_m_s_per_mm2: f64,
    /// Ball speed lost on average, m/s.
    pub speed_lost_m_s: f64,
    /// Share of the ball speed's variance.
    pub speed_share: f64,
    /// Start direction, degrees right for each mm towards the toe.
    pub start_deg_per_mm: f64,
    /// What the average strike adds to the start direction, degrees.
    pub start_moved_deg: f64,
    /// Share of the start direction's variance.
    pub start_share: f64,
}

/// One row: outcome, what else explains it, strike term.
type Row = [f64; 3];

/// What strikes cost; `None` where fewer than [`LEAST_ROWS`] used rows log a
/// strike beside a full launch.
#[must_use]
pub fn of(group: &Group, shots: &[Shot], handedness: Handedness) -> Option<StrikeCost> {
    if group.sight != Sight::Whole {
        return None;
    }
    let rows: Vec<(&Shot, &[f64; 5], f64)> = group
        .used()
        .filter_map(|row| {
            let shot = shots.get(row.shot)?;
            Some((shot, &row.five, shot.strike_mm?))
        })
        .filter(|(shot, _, _)| shot.ball_speed_m_s.is_some() && shot.face_deg.is_some())
        .collect();
    if rows.len() < LEAST_ROWS {
        return None;
    }
    let n = rows.len() as f64;
    let mean = |of: &dyn Fn(f64) -> f64| rows.iter().map(|(_, _, s)| of(*s)).sum::<f64>() / n;
    let middle_mm = mean(&|s| s);
    let square_mm2 = mean(&|s| s * s);
    let club_speed = rows
        .iter()
        .all(|(shot, _, _)| shot.club_speed_m_s.is_some());
    let by_speed: Vec<Row> = rows
        .iter()
        .map(|(shot, five, s)| {
            let club = shot.club_speed_m_s.filter(|_| club_speed).unwrap_or(0.0);
            [five[SPEED], club, s * s]
        })
        .collect();
    let by_start: Vec<Row> = rows
        .iter()
        .map(|(shot, five, s)| [five[START], shot.face_deg.unwrap_or(0.0), *s])
        .collect();
    let ball_speed = by_speed.iter().map(|row| row[0]).sum::<f64>() / n;
    let [lost, turned] = of_head(Club::of(&group.club).family, handedness);
    let per_mm2 = lost * ball_speed;
    let speed = slopes(&by_speed, [1.45, per_mm2], [0.3, 0.5 * per_mm2.abs()])[1];
    let start = slopes(
        &by_start,
        [0.8, turned],
        [0.2, 0.5 * turned.abs().max(0.01)],
    )[1];
    // A loss at most: nobody gains ball speed off the middle.
    let speed = speed.min(0.0);
    let variance = |values: &[f64]| {
        let m = values.iter().sum::<f64>() / n;
        values.iter().map(|v| (v - m).powi(2)).sum::<f64>() / (n - 1.0)
    };
    let share = |rows: &[Row], slope: f64| {
        let [all, own] = [0, 2].map(|k| variance(&rows.iter().map(|r| r[k]).collect::<Vec<_>>()));
        (slope * slope * own / all.max(1e-12)).clamp(0.0, 0.95)
    };
    Some(StrikeCost {
        speed_m_s_per_mm2: speed,
        speed_lost_m_s: -speed * square_mm2,
        speed_share: share(&by_speed, speed),
        start_deg_per_mm: start,
        start_moved_deg: start * middle_mm,
        start_share: share(&by_start, start),
    })
}

/// What the impact model says of 10 mm off the middle: share of ball speed lost
/// (negative) for each mm², and degrees of start for each mm towards the toe.
fn of_head(family: Family, handedness: Handedness) -> [f64; 2] {
    let (head, loft) = match family {
        Family::Driver => (ClubHead::driver(), 13.0),
        Family::Wood => (ClubHead::fairway_wood(), 16.0),
        Family::Iron => (ClubHead::iron(), 26.0),
        Family::Wedge => (ClubHead::wedge(), 40.0),
    };
    let off = 10.0;
    let at = |strike_right_mm: f64| {
        strike(
            &Delivery {
                club_speed_m_s: 42.0,
                attack_deg: 0.0,
                path_deg: 0.0,
                face_deg: 0.0,
                dynamic_loft_deg: loft,
                strike_right_mm,
                strike_high_mm: 0.0,
            },
            &head,
        )
    };
    let toe = handedness.sign() * off;
    let [middle, struck] = [at(0.0), at(toe)];
    [
        (struck.ball_speed_m_s / middle.ball_speed_m_s - 1.0) / (off * off),
        (struck.start_deg - middle.start_deg) / off,
    ]
}

/// Slopes of two terms by least squares about the means, with normal beliefs
/// about them; what neither explains is found in three rounds.
fn slopes(rows: &[Row], expected: [f64; 2], doubt: [f64; 2]) -> [f64; 2] {
    let n = rows.len() as f64;
    let mean: Row = std::array::from_fn(|k| rows.iter().map(|r| r[k]).sum::<f64>() / n);
    let moment = |i: usize, j: usize| {
        rows.iter()
            .map(|r| (r[i] - mean[i]) * (r[j] - mean[j]))
            .sum::<f64>()
    };
    let (xx, xz, zz) = (moment(1, 1), moment(1, 2), moment(2, 2));
    let (xy, zy) = (moment(0, 1), moment(0, 2));
    let precision = doubt.map(|d| 1.0 / (d * d).max(1e-18));
    let mut slope = expected;
    for _ in 0..3 {
        let left: f64 = rows
            .iter()
            .map(|r| {
                let fitted = slope[0] * (r[1] - mean[1]) + slope[1] * (r[2] - mean[2]);
                (r[0] - mean[0] - fitted).powi(2)
            })
            .sum();
        let noise = (left / (n - 1.0)).max(1e-9);
        let [a, b, d] = [
            xx / noise + precision[0],
            xz / noise,
            zz / noise + precision[1],
        ];
        let right = [
            xy / noise + precision[0] * expected[0],
            zy / noise + precision[1] * expected[1],
        ];
        let determinant = a * d - b * b;
        if determinant <= 0.0 {
            return expected;
        }
        slope = [
            (d * right[0] - b * right[1]) / determinant,
            (a * right[1] - b * right[0]) / determinant,
        ];
    }
    slope
}
