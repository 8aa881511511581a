//! One club with one shape: its logged rows made into launches.
//!
//! Rows are sorted before anything is learnt from them, by rules that the
//! notes repeat:
//! - a *mishit* carries less than [`MISHIT_CARRY`] of the club's median
//!   (of the rows that are not far short), or flies more than [`MISHIT_DEG`] from its median direction; it counts
//!   towards the share of mishits and not towards the pattern;
//! - a *suspect* row carries more than [`LONGEST_CARRY`] of the median, lands
//!   where no launch could put it, or lies more than [`DROP_SPREADS`] robust
//!   spreads out in some logged value: dropped as mistyped; from
//!   [`NAME_SPREADS`] on it is named and kept.
//!
//! The rules that need a median ask for [`RULE_SHOTS`] shots or more.

use super::Basis;
use super::club::Club;
use super::invert::{Range, Sought, find};
use super::pattern::{ANGLE, AXIS, BOUNDS, SPEED, SPIN, START};
use super::roll::Roll;
use super::shotlog::Shot;

/// Below this share of the median carry a ball is a mishit (practice).
pub const MISHIT_CARRY: f64 = 0.75;
/// Further than this from the median direction a ball is a mishit, degrees (practice).
pub const MISHIT_DEG: f64 = 30.0;
/// Beyond this share of the median carry a row is taken for mistyped (practice).
pub const LONGEST_CARRY: f64 = 1.3;
/// Robust spreads beyond which a row is dropped as mistyped.
pub const DROP_SPREADS: f64 = 9.0;
/// Robust spreads beyond which a row is named and kept.
pub const NAME_SPREADS: f64 = 6.0;
/// Rows needed before a median is trusted to judge a row.
pub const RULE_SHOTS: usize = 6;

/// A logged curve that is less than this share of the flown one, or to the other side, is none that
/// a factor mends.
pub(super) const LEAST_CURVE: f64 = 0.1;
/// Balls that bend less than this share of their carry cannot tell how the
/// logged bend compares with the simulated one: it is 0.8°, four times what a
/// monitor's start line and axis are off by (practice).
const LEAST_BEND: f64 = 0.014;
/// How much more spin than usual a ball gets that bends beyond the usual (practice).
const MORE_SPIN: f64 = 1.6;

/// What became of a logged row.
#[derive(Clone, Debug, PartialEq)]
pub enum Fate {
    /// It shapes the pattern.
    Used,
    /// It shapes the pattern but looks odd: why.
    Odd(String),
    /// It counts as a mishit.
    Mishit,
    /// It is taken for mistyped and left out: why.
    Dropped(String),
    /// It tells less than the club's other rows and is left out.
    Poorer,
}

/// How far the rows of a club let one see.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sight {
    /// Ball speed, launch, start, spin and axis.
    Whole,
    /// Carry, start and curve.
    StartAndCurve,
    /// Carry and side.
    SideOnly,
}

/// A row as a launch.
#[derive(Clone, Debug)]
pub struct Row {
    /// Line of the log.
    pub line: usize,
    /// Index into the log's shots.
    pub shot: usize,
    /// The launch; start and axis of a side-only row are both 0.
    pub five: [f64; 5],
    /// Direction of the landing, degrees right of the aim.
    pub direction_deg: f64,
    /// What became of it.
    pub fate: Fate,
}

/// How the simulated flight of fully logged launches compares with where they
/// were logged to land, before correction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Calibration {
    /// Rows it rests on.
    pub rows: usize,
    /// Median of logged over simulated carry.
    pub carry_ratio: f64,
    /// Factor put on ball speed so that the median carry is the logged one.
    pub speed_factor: f64,
    /// Median of logged over simulated curve, each row weighing as it bends;
    /// none where no curve was logged beside an axis tilt.
    pub curve_ratio: Option<f64>,
    /// Factor put on the axis tilt for it, where the ratio differs from 1 by more
    /// than three of its standard errors: a factor and not a shift, so that a ball
    /// that bent left still bends left.
    pub axis_factor: f64,
}

/// All rows of one club and shape.
#[derive(Clone, Debug)]
pub struct Group {
    /// The club.
    pub club: String,
    /// The shape as logged.
    pub shape: Option<String>,
    /// Rows in the order of the log.
    pub rows: Vec<Row>,
    /// What they show.
    pub sight: Sight,
    /// What the player file says they show.
    pub basis: Basis,
    /// Median carry, m.
    pub carry_m: f64,
    /// Whether launch angle and spin are taken as usual for the club.
    pub usual_launch: bool,
    /// How logged launches fly against where they landed.
    pub calibration: Option<Calibration>,
    /// How far its balls run beside what the model rolls, once that is learnt.
    pub roll: Option<Roll>,
}

impl Group {
    /// Rows that shape the pattern.
    pub fn used(&self) -> impl Iterator<Item = &Row> {
        self.rows
            .iter()
            .filter(|row| matches!(row.fate, Fate::Used | Fate::Odd(_)))
    }

    /// How many rows were mishits.
    #[must_use]
    pub fn mishits(&self) -> usize {
        self.rows
            .iter()
            .filter(|row| row.fate == Fate::Mishit)
            .count()
    }
}

/// The middle value; 0 of nothing.
#[must_use]
pub fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    let count = values.len();
    if count == 0 {
        return 0.0;
    }
    let (below, &mut middle, _) = values.select_nth_unstable_by(count / 2, f64::total_cmp);
    if count % 2 == 1 {
        return middle;
    }
    let before = below.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    0.5 * (before + middle)
}

/// The median carry of the rows that were not far short: a club half of whose
/// few rows are tops still has a carry. "Far short" is below 0.6 of the upper
/// quartile.
fn sound_carry_m(shots: &[(usize, &Shot)]) -> f64 {
    let carries: Vec<f64> = shots.iter().map(|(_, s)| s.carry_m).collect();
    sound_middle(&carries)
}

/// The same of carries alone.
pub(super) fn sound_middle<T: Copy + Into<f64>>(carries: &[T]) -> f64 {
    let mut carries: Vec<f64> = carries.iter().map(|carry| (*carry).into()).collect();
    carries.sort_by(f64::total_cmp);
    let upper = carries.get(carries.len() * 3 / 4).copied().unwrap_or(0.0);
    median(carries.into_iter().filter(|c| *c >= 0.6 * upper))
}

fn direction_deg(across_m: f64, carry_m: f64) -> f64 {
    (across_m / carry_m.max(1e-6))
        .clamp(-1.0, 1.0)
        .asin()
        .to_degrees()
}

/// A shot's own start direction, if logged or told by side and curve.
fn start_of(shot: &Shot) -> Option<f64> {
    shot.start_deg.or_else(|| {
        let (side, curve) = (shot.side_m?, shot.curve_m?);
        Some(direction_deg(side, shot.carry_m) - direction_deg(curve, shot.carry_m))
    })
}

/// A shot's own curve, if logged or told by side and start.
fn curve_of(shot: &Shot) -> Option<f64> {
    shot.curve_m.or_else(|| {
        let (side, start) = (shot.side_m?, shot.start_deg?);
        let turned = direction_deg(side, shot.carry_m) - start;
        Some(shot.carry_m * turned.to_radians().sin())
    })
}

/// Whether a ball ends farther aside than it carried, as a topped one may.
fn is_wide(shot: &Shot) -> bool {
    let aside = [shot.side_m, shot.curve_m].into_iter().flatten();
    aside.map(f64::abs).any(|m| m > shot.carry_m + 1e-9)
}

fn landing_deg(shot: &Shot) -> f64 {
    match (shot.side_m, shot.start_deg, shot.curve_m) {
        (Some(side), _, _) => direction_deg(side, shot.carry_m),
        (None, Some(start), Some(curve)) => start + direction_deg(curve, shot.carry_m),
        _ => 0.0,
    }
}

fn sight_of(shot: &Shot) -> Sight {
    let start = start_of(shot).is_some() || (shot.axis_deg.is_some() && shot.side_m.is_some());
    let bend = shot.axis_deg.is_some() || curve_of(shot).is_some();
    if !(start && bend) {
        Sight::SideOnly
    } else if shot.launch_deg.is_some() && shot.spin_rpm.is_some() {
        Sight::Whole
    } else {
        Sight::StartAndCurve
    }
}

/// The richest sight that enough rows allow: half of them, or a dozen.
fn sight_for(shots: &[(usize, &Shot)]) -> Sight {
    let count = |sight: Sight| {
        shots
            .iter()
            .filter(|(_, s)| match sight {
                Sight::Whole => sight_of(s) == Sight::Whole,
                Sight::StartAndCurve => sight_of(s) != Sight::SideOnly,
                Sight::SideOnly => true,
            })
            .count()
    };
    let enough = |n: usize| n >= 12 || 2 * n >= shots.len();
    if enough(count(Sight::Whole)) && count(Sight::Whole) > 0 {
        Sight::Whole
    } else if enough(count(Sight::StartAndCurve)) && count(Sight::StartAndCurve) > 0 {
        Sight::StartAndCurve
    } else {
        Sight::SideOnly
    }
}

/// Makes the rows of one club and shape into launches.
#[must_use]
pub fn gather(range: &Range, club: &str, shape: Option<&str>, shots: &[(usize, &Shot)]) -> Group {
    let kind = Club::of(club);
    let rules = RowRules::of(shots);
    let sight = rules.sight;
    let (mut rows, mut sought): (Vec<Row>, Vec<Sought>) = shots
        .iter()
        .map(|&(index, shot)| {
            let sought = sought(shot, kind, sight);
            let row = Row {
                line: shot.line,
                shot: index,
                five: sought.five,
                direction_deg: landing_deg(shot),
                fate: rules.fate(shot),
            };
            (row, sought)
        })
        .unzip();
    find_launches(range, &mut rows, &mut sought, sight);
    let calibration = (sight == Sight::Whole)
        .then(|| calibrate(range, &mut rows, shots))
        .flatten();
    start_from_side(range, &mut rows, shots, sight);
    let basis = basis(&rows, shots, sight);
    let mut group = Group {
        club: club.to_owned(),
        shape: shape.map(str::to_owned),
        rows,
        sight,
        basis,
        carry_m: rules.carry_m,
        usual_launch: sight != Sight::Whole,
        calibration,
        roll: None,
    };
    name_the_odd(&mut group);
    group
}

/// What a row of a club is measured by.
struct RowRules {
    sight: Sight,
    /// Median carry of the rows that are not far short, m.
    carry_m: f64,
    /// Median direction of the landings, degrees.
    middle_deg: f64,
    /// Whether there are rows enough to trust the medians.
    judged: bool,
}

impl RowRules {
    fn of(shots: &[(usize, &Shot)]) -> Self {
        let carry_m = sound_carry_m(shots);
        let sound = shots
            .iter()
            .map(|(_, s)| *s)
            .filter(|s| s.carry_m >= MISHIT_CARRY * carry_m);
        Self {
            sight: sight_for(shots),
            carry_m,
            middle_deg: median(sound.map(landing_deg)),
            judged: shots.len() >= RULE_SHOTS,
        }
    }

    /// What becomes of a row before its launch is looked for.
    fn fate(&self, shot: &Shot) -> Fate {
        let carry_m = self.carry_m;
        let poorer = match self.sight {
            Sight::Whole => sight_of(shot) != Sight::Whole,
            Sight::StartAndCurve => sight_of(shot) == Sight::SideOnly,
            Sight::SideOnly => false,
        };
        if self.judged && shot.carry_m > LONGEST_CARRY * carry_m {
            Fate::Dropped(format!(
                "it carries more than {LONGEST_CARRY} times the club's median"
            ))
        } else if (self.judged
            && (shot.carry_m < MISHIT_CARRY * carry_m
                || (landing_deg(shot) - self.middle_deg).abs() > MISHIT_DEG))
            || shot.carry_m < 5.0
            || is_wide(shot)
        {
            Fate::Mishit
        } else if poorer {
            Fate::Poorer
        } else {
            Fate::Used
        }
    }
}

/// The launch that a row logs, usual for its club in what it does not log, and what has to be found
/// of it.
fn sought(shot: &Shot, kind: Club, sight: Sight) -> Sought {
    let (usual_launch, usual_spin) = kind.usual_launch(shot.carry_m);
    let with_launch = sight == Sight::Whole;
    let five = [
        shot.ball_speed_m_s.unwrap_or(0.0),
        shot.launch_deg
            .filter(|_| with_launch || sight == Sight::SideOnly)
            .unwrap_or(usual_launch),
        start_of(shot)
            .filter(|_| sight != Sight::SideOnly)
            .unwrap_or(0.0),
        shot.spin_rpm
            .filter(|_| with_launch || sight == Sight::SideOnly)
            .unwrap_or(usual_spin),
        shot.axis_deg
            .filter(|_| sight != Sight::SideOnly)
            .unwrap_or(0.0),
    ];
    // A logged ball speed is only used beside a logged launch: with a usual
    // launch the speed must make up for what is not known, or carry is lost.
    let speed_known = shot.ball_speed_m_s.is_some() && with_launch;
    let bend_known = shot.axis_deg.is_some() || sight == Sight::SideOnly;
    Sought {
        five,
        carry_m: (!speed_known).then_some(shot.carry_m),
        curve_m: if bend_known { None } else { curve_of(shot) },
    }
}

/// Finds the launches of the used rows; drops those that no launch explains.
fn find_launches(range: &Range, rows: &mut [Row], sought: &mut [Sought], sight: Sight) {
    let wanted: Vec<usize> = (0..rows.len())
        .filter(|&i| rows[i].fate == Fate::Used)
        .collect();
    let found = find(
        range,
        &wanted.iter().map(|&i| sought[i]).collect::<Vec<_>>(),
    );
    // A ball that bends more than the usual spin allows had more spin.
    let more: Vec<usize> = wanted
        .iter()
        .zip(&found)
        .filter(|(i, f)| {
            f.is_none() && sight == Sight::StartAndCurve && sought[**i].curve_m.is_some()
        })
        .map(|(&i, _)| i)
        .collect();
    for &i in &more {
        sought[i].five[SPIN] *= MORE_SPIN;
    }
    let again = find(range, &more.iter().map(|&i| sought[i]).collect::<Vec<_>>());
    let retried = more.into_iter().zip(again);
    for (i, five) in wanted.into_iter().zip(found).chain(retried) {
        match five {
            Some(five) => {
                rows[i].five = five;
                rows[i].fate = Fate::Used;
            }
            None => {
                let text = "no launch of this club lands there in calm air";
                rows[i].fate = Fate::Dropped(text.to_owned());
            }
        }
    }
}

/// What the player file says the rows show.
fn basis(rows: &[Row], shots: &[(usize, &Shot)], sight: Sight) -> Basis {
    let full = || {
        rows.iter()
            .zip(shots)
            .filter(|(row, _)| row.fate == Fate::Used)
            .all(|(_, (_, s))| {
                s.ball_speed_m_s.is_some() && s.axis_deg.is_some() && s.start_deg.is_some()
            })
    };
    match sight {
        Sight::Whole if full() => Basis::FullLaunch,
        Sight::Whole | Sight::StartAndCurve => Basis::StartAndCurve,
        Sight::SideOnly => Basis::SideOnly,
    }
}

/// Where start is not logged but axis and side are: the start is the landing's
/// direction less what the flight bends.
fn start_from_side(range: &Range, rows: &mut [Row], shots: &[(usize, &Shot)], sight: Sight) {
    if sight == Sight::SideOnly {
        return;
    }
    let open: Vec<usize> = (0..rows.len())
        .filter(|&i| rows[i].fate == Fate::Used && start_of(shots[i].1).is_none())
        .collect();
    let fives: Vec<[f64; 5]> = open.iter().map(|&i| rows[i].five).collect();
    for (&i, landing) in open.iter().zip(range.land(&fives)) {
        let bend_deg = direction_deg(landing.curve_m, landing.carry_m);
        rows[i].five[START] = rows[i].direction_deg - bend_deg;
    }
}

/// Compares the flights of logged launches with where they were logged to
/// land, and corrects ball speed and axis tilt by the medians.
fn calibrate(range: &Range, rows: &mut [Row], shots: &[(usize, &Shot)]) -> Option<Calibration> {
    let whole: Vec<usize> = (0..rows.len())
        .filter(|&i| rows[i].fate == Fate::Used && shots[i].1.ball_speed_m_s.is_some())
        .collect();
    if whole.is_empty() {
        return None;
    }
    let flown = |rows: &[Row]| range.land(&whole.iter().map(|&i| rows[i].five).collect::<Vec<_>>());
    let ratio = |rows: &[Row]| {
        let landings = flown(rows);
        median(
            whole
                .iter()
                .zip(&landings)
                .map(|(&i, l)| shots[i].1.carry_m / l.carry_m.max(1.0)),
        )
    };
    let carry_ratio = ratio(rows);
    let mut speed_factor = 1.0;
    for round in 0..4 {
        // Carry goes with speed to about the 1.6; the rounds do the rest.
        let now = if round == 0 { carry_ratio } else { ratio(rows) };
        let step = now.powf(1.0 / 1.6).clamp(0.8, 1.25);
        speed_factor *= step;
        for &i in &whole {
            let speed = &mut rows[i].five[SPEED];
            *speed = (*speed * step).clamp(BOUNDS[SPEED][0], BOUNDS[SPEED][1]);
        }
    }
    let with_curve: Vec<(usize, f64)> = whole
        .iter()
        .enumerate()
        .filter(|&(_, &i)| shots[i].1.axis_deg.is_some())
        .filter_map(|(k, &i)| Some((k, curve_of(shots[i].1)?)))
        .collect();
    let mut curve_ratio = None;
    let mut axis_factor = 1.0;
    let landings = flown(rows);
    let ratios: Vec<[f64; 2]> = with_curve
        .iter()
        .map(|&(k, curve)| [curve / landings[k].curve_m, landings[k].curve_m.abs()])
        .filter(|[ratio, _]| ratio.is_finite())
        .collect();
    if ratios.len() >= RULE_SHOTS {
        let ratio = weighted_median(ratios);
        curve_ratio = Some(ratio);
        // What the ratio leaves unexplained, robustly, over what there is to
        // explain: a wedge that bends by a yard cannot tell a ratio from noise, and
        // among a dozen clubs some ratio is two errors off by chance.
        let left = median(
            with_curve
                .iter()
                .map(|&(k, curve)| (curve - ratio * landings[k].curve_m).abs()),
        );
        let bend = with_curve
            .iter()
            .map(|&(k, _)| landings[k].curve_m.powi(2))
            .sum::<f64>();
        let error = 1.2533 * 1.4826 * left / bend.sqrt().max(1e-9);
        let carry = whole
            .iter()
            .map(|&i| shots[i].1.carry_m.powi(2))
            .sum::<f64>();
        let tells = bend.sqrt() > LEAST_BEND * carry.sqrt();
        if tells && ratio >= LEAST_CURVE && (ratio - 1.0).abs() > 3.0 * error {
            axis_factor = ratio.clamp(0.6, 1.6);
        }
        for &(k, _) in &with_curve {
            let axis = &mut rows[whole[k]].five[AXIS];
            *axis = (*axis * axis_factor).clamp(BOUNDS[AXIS][0], BOUNDS[AXIS][1]);
        }
    }
    Some(Calibration {
        rows: whole.len(),
        carry_ratio,
        speed_factor,
        curve_ratio,
        axis_factor,
    })
}

/// The value half of the weight lies below; 1 of nothing.
fn weighted_median(mut pairs: Vec<[f64; 2]>) -> f64 {
    pairs.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let half = 0.5 * pairs.iter().map(|p| p[1]).sum::<f64>();
    let mut sum = 0.0;
    for [value, weight] in &pairs {
        sum += weight;
        if sum >= half {
            return *value;
        }
    }
    1.0
}

/// Looks at each seen value of each used row against the others.
fn name_the_odd(group: &mut Group) {
    let used: Vec<usize> = (0..group.rows.len())
        .filter(|&i| group.rows[i].fate == Fate::Used)
        .collect();
    if used.len() < RULE_SHOTS {
        return;
    }
    let value = |row: &Row, k: usize| {
        if k == 5 {
            row.direction_deg
        } else {
            row.five[k]
        }
    };
    let seen: &[(usize, &str, f64)] = match group.sight {
        Sight::Whole => &[
            (SPEED, "ball speed", 1.0),
            (ANGLE, "launch angle", 1.0),
            (START, "start direction", 1.5),
            (SPIN, "spin", 150.0),
            (AXIS, "axis tilt", 3.0),
        ],
        Sight::StartAndCurve => &[
            (SPEED, "carry", 1.0),
            (START, "start direction", 1.5),
            (AXIS, "curve", 3.0),
        ],
        Sight::SideOnly => &[(SPEED, "carry", 1.0), (5, "side", 2.0)],
    };
    for &(k, name, least_spread) in seen {
        let middle = median(used.iter().map(|&i| value(&group.rows[i], k)));
        // 1.4826 times the median deviation is the spread of a normal; never
        // less than `least_spread`, or an eerily even log would lose rows.
        let spread = (1.4826
            * median(
                used.iter()
                    .map(|&i| (value(&group.rows[i], k) - middle).abs()),
            ))
        .max(least_spread);
        for &i in &used {
            let out = (value(&group.rows[i], k) - middle).abs() / spread;
            if out > DROP_SPREADS {
                group.rows[i].fate =
                    Fate::Dropped(format!("its {name} is far from the club's usual"));
            } else if out > NAME_SPREADS && group.rows[i].fate == Fate::Used {
                group.rows[i].fate = Fate::Odd(format!("its {name} is far from the club's usual"));
            }
        }
    }
}
