//! Lengths and speeds in another unit than that of their heading.
//!
//! Where the launch is logged, it is flown: a unit that makes the logged carry the flown one is the
//! likely one. Where it is not, a bag that carries as no player's does is asked about.

use super::{Asked, Logged, Rows};
use crate::diagnostic::Topic;
use crate::player::club::Family;
use crate::player::columns::{Kind, Quantity, unit_of};
use crate::player::group::median;
use crate::player::invert::Range;
use crate::player::pattern::{ANGLE, AXIS, SPEED, SPIN};
use crate::units::YARD_M;

/// Fewest rows that have a say.
const FEWEST: usize = 6;
/// Most rows that are flown.
const MOST_FLOWN: usize = 1200;
/// A carry further off its launch than this is no ball's and no air's, as a logarithm: models of
/// balls differ by a few per cent, 2000 m of height make 8 %, range balls lose some 10 %.
const NO_BALL: f64 = 0.16;
/// A carry that is off by more than this deserves a note.
const WORTH_A_NOTE: f64 = 0.07;
/// How near a metre for a yard is to its ratio, as a logarithm.
const TO_THE_DIGIT: f64 = 0.012;
/// Another unit explains a carry where what is left over is less than this.
const EXPLAINS: f64 = 0.1;
/// Carry of a bag beside that of a strong player: from a child's to a champion's (practice).
const BAG: [f64; 2] = [0.37, 1.3];
/// Ball speed over club speed of a sound shot is no less (practice: 1.1 with a wedge).
const LEAST_SMASH: f64 = 0.95;

pub(super) fn ask(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    if !by_launch(logged, asked) {
        by_bag(logged, asked);
    }
    smash(logged, asked);
}

/// A unit that a column may really be in: how much longer or faster it makes the figures.
struct Other {
    quantity: Quantity,
    unit: &'static str,
    by: f64,
}

fn others(logged: &Logged<'_>, quantity: Quantity, kind: Kind, units: &[&str]) -> Vec<Other> {
    let Some(said) = logged.log.headings.unit(quantity) else {
        return Vec::new();
    };
    let Some((_, said_si)) = unit_of(kind, said) else {
        return Vec::new();
    };
    units
        .iter()
        .filter_map(|unit| unit_of(kind, unit))
        .filter(|(unit, _)| *unit != said)
        .map(|(unit, si)| Other {
            quantity,
            unit,
            by: si / said_si,
        })
        .collect()
}

/// Compares carries with the flights of their launches; false where too few launches are logged.
fn by_launch(logged: &Logged<'_>, asked: &mut Asked<'_>) -> bool {
    let Some(launches) = Launches::of(logged) else {
        return false;
    };
    let off = launches.off(1.0);
    match best_unit(logged, &launches, off) {
        Some((left, other))
            if left.abs() < TO_THE_DIGIT && off.abs() > WORTH_A_NOTE
                || left.abs() < EXPLAINS && off.abs() > NO_BALL =>
        {
            ask_about_unit(logged, asked, launches.words(logged, off), &other, left);
        }
        _ if off.abs() > NO_BALL => {
            let [expected, found] = launches.words(logged, off);
            asked.question(
                Topic::LaunchAndCarry,
                logged.place(Quantity::Carry),
                [
                    expected,
                    found,
                    "look at the units, and whether carry stands in the column of the carry; say the \
                     air of the day with --altitude and --temperature"
                        .into(),
                ],
            );
        }
        _ if off.abs() > WORTH_A_NOTE => asked.note(
            Topic::LaunchAndCarry,
            logged.place(Quantity::Carry),
            format!(
                "the balls carry {} times as far as their launches fly here: range balls, wind, \
                 another height above the sea or a wrong unit do that",
                ratio(off)
            ),
        ),
        _ => {}
    }
    true
}

/// The logged launches with their carries, some of them where there are many.
struct Launches {
    range: Range,
    rows: Vec<([f64; 5], f64)>,
}

impl Launches {
    /// None of fewer than have a say.
    fn of(logged: &Logged<'_>) -> Option<Self> {
        let rows: Vec<([f64; 5], f64)> = logged
            .sound()
            .filter_map(|shot| {
                let mut five = [0.0; 5];
                five[SPEED] = shot.ball_speed_m_s?;
                five[ANGLE] = shot.launch_deg?;
                five[SPIN] = shot.spin_rpm?;
                five[AXIS] = shot.axis_deg.unwrap_or(0.0);
                (shot.carry_m > 20.0).then_some((five, shot.carry_m))
            })
            .collect();
        if rows.len() < FEWEST {
            return None;
        }
        let every = rows.len().div_ceil(MOST_FLOWN);
        Some(Self {
            range: Range::new(&logged.about.weather),
            rows: rows.into_iter().step_by(every).collect(),
        })
    }

    /// Median of logged over flown carry with the ball so many times as fast, as a logarithm.
    fn off(&self, faster: f64) -> f64 {
        let fives: Vec<[f64; 5]> = self
            .rows
            .iter()
            .map(|(five, _)| {
                let mut five = *five;
                five[SPEED] *= faster;
                five
            })
            .collect();
        let flown = self.range.land(&fives);
        median(
            self.rows
                .iter()
                .zip(flown)
                .map(|((_, carry_m), landing)| (carry_m / landing.carry_m.max(0.1)).ln()),
        )
    }

    /// Expected and found of carries that are off by so much.
    fn words(&self, logged: &Logged<'_>, off: f64) -> [String; 2] {
        [
            format!(
                "{} near the carry that {}, launch and spin fly in this air",
                logged.name(Quantity::Carry),
                logged.name(Quantity::BallSpeed)
            ),
            format!(
                "in the middle of {} rows {} times as far",
                self.rows.len(),
                ratio(off)
            ),
        ]
    }
}

/// A ratio in words, from its logarithm.
fn ratio(off: f64) -> String {
    format!("{:.3}", off.exp())
}

/// The other unit of carry or ball speed that explains carries best that are off by so much, and
/// what it leaves over, as a logarithm.
fn best_unit(logged: &Logged<'_>, launches: &Launches, off: f64) -> Option<(f64, Other)> {
    let lengths = others(logged, Quantity::Carry, Kind::Length, &["yd", "m", "ft"]);
    let speeds = others(
        logged,
        Quantity::BallSpeed,
        Kind::Speed,
        &["mph", "m/s", "km/h"],
    );
    lengths
        .into_iter()
        .map(|other| (off + other.by.ln(), other))
        .chain(
            speeds
                .into_iter()
                .map(|other| (launches.off(other.by), other)),
        )
        .min_by(|a, b| a.0.abs().total_cmp(&b.0.abs()))
}

/// Asks whether a column is in another unit, which leaves so much over.
fn ask_about_unit(
    logged: &Logged<'_>,
    asked: &mut Asked<'_>,
    [expected, found]: [String; 2],
    other: &Other,
    left: f64,
) {
    let column = logged.name(other.quantity);
    let (topic, also) = if other.quantity == Quantity::Carry {
        let also = ", and in those of the other lengths from the same device";
        (Topic::LengthUnit, also)
    } else {
        (Topic::SpeedUnit, "")
    };
    asked.question(
        topic,
        logged.place(other.quantity),
        [
            expected,
            format!(
                "{found}; with {column} read in {}, {} times",
                other.unit,
                ratio(left)
            ),
            format!("correct the unit in the heading {column}{also}"),
        ],
    );
}

/// A bag that carries as no player's does.
fn by_bag(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    let known: Vec<&Rows<'_>> = logged
        .clubs
        .iter()
        .filter(|rows| rows.club.known && rows.carry_m > 0.0)
        .collect();
    if known.iter().map(|rows| rows.sound.len()).sum::<usize>() < FEWEST {
        return;
    }
    let share = median(
        known
            .iter()
            .map(|rows| rows.carry_m / rows.club.strong_carry_m()),
    );
    let longest = known
        .iter()
        .max_by(|a, b| a.club.strong_carry_m().total_cmp(&b.club.strong_carry_m()));
    let Some(longest) = longest.filter(|_| !(BAG[0]..=BAG[1]).contains(&share)) else {
        return;
    };
    let yd = |m: f64| format!("{:.0} yd", m / YARD_M);
    let strong_m = longest.club.strong_carry_m();
    let would: String = others(logged, Quantity::Carry, Kind::Length, &["yd", "m", "ft"])
        .into_iter()
        .filter(|other| (BAG[0]..=BAG[1]).contains(&(share * other.by)))
        .map(|other| {
            format!(
                "; read in {} it would be {}",
                other.unit,
                yd(longest.carry_m * other.by)
            )
        })
        .collect();
    asked.question(
        Topic::LengthUnit,
        logged.place(Quantity::Carry),
        [
            format!(
                "a {} that carries {} to {}, from a child's to a champion's, and the other clubs \
                 as it",
                longest.name,
                yd(BAG[0] * strong_m),
                yd(BAG[1] * strong_m)
            ),
            format!("{} with the {}{would}", yd(longest.carry_m), longest.name),
            format!(
                "correct the unit in the heading {}, and in those of the other lengths",
                logged.name(Quantity::Carry)
            ),
        ],
    );
}

/// A ball leaves a club no slower than the club comes.
fn smash(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    let ratios: Vec<f64> = logged
        .clubs
        .iter()
        .filter(|rows| rows.club.family != Family::Wedge)
        .flat_map(|rows| rows.sound.iter())
        .filter_map(|shot| Some(shot.ball_speed_m_s? / shot.club_speed_m_s?))
        .collect();
    let middle = median(ratios.iter().copied());
    if ratios.len() < FEWEST || middle >= LEAST_SMASH {
        return;
    }
    asked.question(
        Topic::SpeedUnit,
        logged.place(Quantity::ClubSpeed),
        [
            format!(
                "{} 1.1 to 1.5 times {}",
                logged.name(Quantity::BallSpeed),
                logged.name(Quantity::ClubSpeed)
            ),
            format!("{middle:.2} times in the middle of {} rows", ratios.len()),
            "correct the unit in the heading of the one or the other".into(),
        ],
    );
}
