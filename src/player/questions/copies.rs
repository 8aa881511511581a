//! Rows that are alike: copied, or the same shot again and again. Either makes the intervals
//! shrink to nothing.
//!
//! Two shots of a club are alike by chance where figures are rounded: as often as their carries
//! are alike times as often as their directions are.

use std::collections::{HashMap, HashSet};

use super::{Asked, Logged};
use crate::diagnostic::{Place, Topic};
use crate::player::shotlog::Shot;

/// Fewest rows of a club that are asked about when all are alike.
const FEWEST: usize = 4;
/// Copies beyond chance that are asked about; fewer are noted.
const MANY: f64 = 3.0;
/// The same where so many figures of a row are logged.
const MANY_FINE: f64 = 2.0;
const FINE: usize = 6;
/// A single copy is noted where chance gives fewer than this.
const CHANCE: f64 = 0.1;

/// The figures of a row, to the bit.
fn figures(shot: &Shot) -> [u64; 14] {
    let bits = |value: Option<f64>| value.map_or(u64::MAX, f64::to_bits);
    [
        Some(shot.carry_m),
        shot.total_m,
        shot.side_m,
        shot.start_deg,
        shot.curve_m,
        shot.ball_speed_m_s,
        shot.launch_deg,
        shot.spin_rpm,
        shot.axis_deg,
        shot.club_speed_m_s,
        shot.attack_deg,
        shot.path_deg,
        shot.face_deg,
        shot.strike_mm,
    ]
    .map(bits)
}

/// Share of pairs that are alike in one figure.
fn alike(rows: &[&Shot], figure: impl Fn(&Shot) -> u64) -> f64 {
    let mut counts: HashMap<u64, f64> = HashMap::new();
    for shot in rows {
        *counts.entry(figure(shot)).or_default() += 1.0;
    }
    // Whole numbers: the sum is the same in any order.
    let pairs: f64 = counts.values().map(|n| n * (n - 1.0)).sum();
    let n = rows.len() as f64;
    pairs / (n * (n - 1.0)).max(1.0)
}

pub(super) fn ask(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    let mut clubs: Vec<(&str, Vec<&Shot>)> = Vec::new();
    for shot in logged.log.shots.iter().filter(|shot| shot.carry_m > 5.0) {
        match clubs.iter_mut().find(|(name, _)| *name == shot.club) {
            Some((_, rows)) => rows.push(shot),
            None => clubs.push((&shot.club, vec![shot])),
        }
    }
    let mut first: Option<(&Shot, &Shot)> = None;
    let (mut copies, mut by_chance) = (0.0, 0.0);
    for (name, rows) in &clubs {
        let mut seen: HashMap<[u64; 14], &Shot> = HashMap::new();
        let mut here = 0.0;
        let mut twins: Option<(&Shot, &Shot)> = None;
        for shot in rows {
            match seen.get(&figures(shot)) {
                Some(earlier) => {
                    here += 1.0;
                    twins.get_or_insert((earlier, shot));
                }
                None => {
                    seen.insert(figures(shot), shot);
                }
            }
        }
        if seen.len() == 1 && rows.len() >= FEWEST {
            asked.question(
                Topic::RepeatedRows,
                Place::Line(rows[0].line),
                [
                    "shots that differ: nobody hits two alike".into(),
                    format!("all {} rows of {name} alike", rows.len()),
                    "log every shot as it was, not an average or a goal".into(),
                ],
            );
            continue;
        }
        // Chance is that of the rows that differ: copies are alike in all.
        let own: Vec<&Shot> = {
            let mut met: HashSet<[u64; 14]> = HashSet::new();
            rows.iter()
                .copied()
                .filter(|shot| met.insert(figures(shot)))
                .collect()
        };
        let n = rows.len() as f64;
        let bits = |value: Option<f64>| value.map_or(u64::MAX, f64::to_bits);
        // Where the side is logged, start and curve follow from it in part.
        let across = if own.iter().any(|shot| shot.side_m.is_some()) {
            alike(&own, |shot| bits(shot.side_m))
        } else {
            alike(&own, |shot| bits(shot.start_deg)) * alike(&own, |shot| bits(shot.curve_m))
        };
        by_chance += 0.5 * n * (n - 1.0) * alike(&own, |shot| shot.carry_m.to_bits()) * across;
        copies += here;
        first = match (first, twins) {
            (Some(known), Some(new)) if new.1.line < known.1.line => Some(new),
            (known, new) => known.or(new),
        };
    }
    let Some((earlier, shot)) = first else {
        return;
    };
    // Far out in the tail of what chance gives; a launch in decimals does not come twice.
    let fine = figures(shot).iter().filter(|x| **x != u64::MAX).count() >= FINE;
    let many = if fine { MANY_FINE } else { MANY };
    if copies >= many && copies > by_chance + 5.0 * by_chance.sqrt() + many - 1.0 {
        asked.question(
            Topic::RepeatedRows,
            Place::Line(shot.line),
            [
                format!(
                    "rows that differ: figures so fine repeat by chance in {}",
                    about(by_chance)
                ),
                format!(
                    "{copies:.0} rows that repeat an earlier one in every figure, first line {} \
                     that of line {}",
                    shot.line, earlier.line
                ),
                "delete what was copied: shots counted twice make the figures look surer than they \
                 are"
                    .into(),
            ],
        );
    } else if by_chance < CHANCE {
        asked.note(
            Topic::RepeatedRows,
            Place::Line(shot.line),
            format!(
                "the row repeats line {} in every figure: delete one if it was copied",
                earlier.line
            ),
        );
    }
}

fn about(by_chance: f64) -> String {
    match by_chance.round() {
        n if n < 1.0 => "no row".into(),
        n if n < 2.0 => "one row".into(),
        n => format!("about {n:.0} rows"),
    }
}
