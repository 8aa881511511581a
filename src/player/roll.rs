//! How far balls run after the landing: what the log says beside what the
//! model rolls.
//!
//! Where totals are logged, the run of a row is its total less its carry. The
//! same rows' launches are landed on level fairway of the range's firmness, and
//! the two are compared: mean, spread, and how the run goes with the carry.
//!
//! The run says how steeply and with how much spin a ball came down. For a club
//! without logged launches that is used: of all launch angles and spins that
//! give the logged carry, those are taken that also give the logged run, as far
//! as the usual launch of such a club and the unevenness of real turf allow (one
//! normal observation on two unknowns, solved by Gauss–Newton steps about the
//! usual). A club whose launches are logged keeps them: there a difference
//! speaks of the ground, not of the player.

use super::group::{Fate, Group, RULE_SHOTS, Sight};
use super::invert::{Range, Sought, find};
use super::pattern::{ANGLE, BOUNDS, SPEED, SPIN};
use super::shotlog::Shot;
use crate::flight::Firmness;

/// How players differ in launch angle, degrees, and spin, as a share, with the
/// same club and carry (practice).
const USUAL_SPREAD: [f64; 2] = [2.0, 0.15];
/// The launch is moved from the usual by at most so many of these.
const MOST_SPREADS: f64 = 1.5;
/// How well the run on real turf is known from its firmness in a word, as a
/// share of it (practice).
const TURF_SHARE: f64 = 0.05;
/// The same, at least, m.
const TURF_M: f64 = 0.5;

/// The run of one club's rows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Roll {
    /// Rows with a total.
    pub rows: usize,
    /// What was logged.
    pub logged: Run,
    /// What the same rows' launches run here, before anything was learnt from it.
    pub simulated: Run,
    /// Added to the usual launch angle, degrees, and factor on the usual spin,
    /// so that the balls run as logged; none where launches are logged.
    pub moved: Option<[f64; 2]>,
    /// Mean run here after that, m.
    pub here_m: f64,
}

/// Runs of several balls, m.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Run {
    /// Mean.
    pub mean_m: f64,
    /// Standard deviation.
    pub sd_m: f64,
    /// Metres of run gained per metre of carry: least squares.
    pub per_carry: f64,
}

impl Run {
    /// Of pairs of carry and run; none of fewer than two.
    #[must_use]
    pub fn of(pairs: &[[f64; 2]]) -> Option<Self> {
        let n = pairs.len() as f64;
        if pairs.len() < 2 {
            return None;
        }
        let mean = |k: usize| pairs.iter().map(|p| p[k]).sum::<f64>() / n;
        let middle = [mean(0), mean(1)];
        let moment = |i: usize, j: usize| {
            pairs
                .iter()
                .map(|p| (p[i] - middle[i]) * (p[j] - middle[j]))
                .sum::<f64>()
                / (n - 1.0)
        };
        let across = moment(0, 0);
        Some(Self {
            mean_m: middle[1],
            sd_m: moment(1, 1).sqrt(),
            per_carry: if across > 1e-6 {
                moment(0, 1) / across
            } else {
                0.0
            },
        })
    }
}

impl Roll {
    /// Whether logged and simulated differ by more than uneven turf and few
    /// balls explain: by more than a quarter and 3 m, and by twice the standard
    /// error of the logged mean.
    #[must_use]
    pub fn disagrees(&self) -> bool {
        let off = (self.here_m - self.logged.mean_m).abs();
        let error = self.logged.sd_m / (self.rows as f64).sqrt();
        off > 3.0 && off > 0.25 * self.logged.mean_m.max(0.0) && off > 2.0 * error
    }
}

/// Compares the runs of a club's rows, and moves the supposed launches of a club
/// without logged ones towards those that run as logged. `None` where fewer
/// than [`RULE_SHOTS`] used rows have a total.
#[must_use]
pub fn learn(range: &Range, group: &mut Group, shots: &[Shot]) -> Option<Roll> {
    let with_total: Vec<usize> = used(group)
        .filter(|&i| {
            shots
                .get(group.rows[i].shot)
                .is_some_and(|s| s.total_m.is_some())
        })
        .collect();
    if with_total.len() < RULE_SHOTS {
        return None;
    }
    let pairs: Vec<[f64; 2]> = with_total
        .iter()
        .filter_map(|&i| shots.get(group.rows[i].shot))
        .filter_map(|s| Some([s.carry_m, s.total_m? - s.carry_m]))
        .collect();
    let logged = Run::of(&pairs)?;
    let simulated = run(range, group, &with_total)?;
    let roll = Roll {
        rows: with_total.len(),
        logged,
        simulated,
        moved: None,
        here_m: simulated.mean_m,
    };
    if group.sight == Sight::Whole {
        return Some(roll);
    }
    let moved = move_launches(range, group, shots, &with_total, roll);
    // Where no launch gives a row's carry, none is moved.
    Some(moved.unwrap_or(roll))
}

/// The runs of a club's rows here.
fn run(range: &Range, group: &Group, rows: &[usize]) -> Option<Run> {
    let fives: Vec<[f64; 5]> = rows.iter().map(|&i| group.rows[i].five).collect();
    let pairs: Vec<[f64; 2]> = range
        .run(&fives)
        .into_iter()
        .map(|[carry, total]| [carry, total - carry])
        .collect();
    Run::of(&pairs)
}

/// The launch angle and spin of a club's rows moved so that their balls run as logged; none, and
/// nothing moved, where no launch gives a row's carry then.
fn move_launches(
    range: &Range,
    group: &mut Group,
    shots: &[Shot],
    with_total: &[usize],
    mut roll: Roll,
) -> Option<Roll> {
    let Roll {
        logged, simulated, ..
    } = roll;
    // One launch stands for the club: the mean of its rows.
    let rows: Vec<[f64; 5]> = with_total.iter().map(|&i| group.rows[i].five).collect();
    let n = rows.len() as f64;
    let middle: [f64; 5] = std::array::from_fn(|k| rows.iter().map(|r| r[k]).sum::<f64>() / n);
    let carry_m = range.land(&[middle])[0].carry_m;
    let run_of = |moves: [f64; 2]| -> Option<f64> {
        let sought = Sought {
            five: moved(&middle, moves),
            carry_m: Some(carry_m),
            curve_m: None,
        };
        let five = find(range, &[sought])[0]?;
        range
            .run(&[five])
            .first()
            .map(|[carry, total]| total - carry)
    };
    let base = run_of([0.0; 2])?;
    // The club's own mean run, as a multiple of the mean launch's.
    let wanted = logged.mean_m * (base / simulated.mean_m.max(0.1)).clamp(0.8, 1.25);
    let noise = (TURF_SHARE * wanted)
        .hypot(TURF_M)
        .hypot(logged.sd_m / n.sqrt());
    let mut moves = [0.0; 2];
    for _ in 0..6 {
        let here = run_of(moves)?;
        let step = [0.5, 0.25];
        let mut slope = [0.0; 2];
        for (k, s) in slope.iter_mut().enumerate() {
            let mut other = moves;
            other[k] += step[k];
            *s = (run_of(other)? - here) / step[k];
        }
        // Moves are in spreads, so their prior is standard normal.
        let expected = here - slope[0] * moves[0] - slope[1] * moves[1];
        let gain =
            (wanted - expected) / (slope[0] * slope[0] + slope[1] * slope[1] + noise * noise);
        moves = slope.map(|s| (s * gain).clamp(-MOST_SPREADS, MOST_SPREADS));
    }
    take(range, group, shots, moves)?;
    roll.moved = Some([
        moves[0] * USUAL_SPREAD[0],
        (moves[1] * USUAL_SPREAD[1]).exp(),
    ]);
    roll.here_m = run(range, group, with_total)?.mean_m;
    Some(roll)
}

fn used(group: &Group) -> impl Iterator<Item = usize> {
    (0..group.rows.len()).filter(|&i| matches!(group.rows[i].fate, Fate::Used | Fate::Odd(_)))
}

/// A launch with angle and spin moved by so many usual spreads.
fn moved(five: &[f64; 5], moves: [f64; 2]) -> [f64; 5] {
    let mut other = *five;
    let clamp = |k: usize, v: f64| v.clamp(BOUNDS[k][0], BOUNDS[k][1]);
    other[ANGLE] = clamp(ANGLE, five[ANGLE] + moves[0] * USUAL_SPREAD[0]);
    other[SPIN] = clamp(SPIN, five[SPIN] * (moves[1] * USUAL_SPREAD[1]).exp());
    other
}

/// Gives every used row the moved launch, with the speed and tilt that land it
/// where it did; `None`, and nothing changed, where one cannot be found.
fn take(range: &Range, group: &mut Group, shots: &[Shot], moves: [f64; 2]) -> Option<()> {
    let rows: Vec<usize> = used(group).collect();
    let fives: Vec<[f64; 5]> = rows.iter().map(|&i| group.rows[i].five).collect();
    let tilt_logged = |i: usize| {
        shots
            .get(group.rows[i].shot)
            .is_some_and(|s| s.axis_deg.is_some())
    };
    let sought: Vec<Sought> = rows
        .iter()
        .zip(range.land(&fives))
        .map(|(&i, landing)| Sought {
            five: moved(&group.rows[i].five, moves),
            carry_m: Some(landing.carry_m),
            curve_m: (group.sight == Sight::StartAndCurve && !tilt_logged(i))
                .then_some(landing.curve_m),
        })
        .collect();
    let found: Vec<[f64; 5]> = find(range, &sought).into_iter().collect::<Option<_>>()?;
    for (&i, five) in rows.iter().zip(found) {
        debug_assert!(five[SPEED] > 0.0);
        group.rows[i].five = five;
    }
    Some(())
}

/// The firmness on which the logged launches of all clubs run most as logged,
/// if another than the range's own fits clearly better: less than half the
/// squared misfit.
#[must_use]
pub fn firmness_that_fits(range: &Range, groups: &[Group]) -> Option<Firmness> {
    let clubs: Vec<(&Group, Roll)> = groups
        .iter()
        .filter(|g| g.sight == Sight::Whole)
        .filter_map(|g| Some((g, g.roll?)))
        .collect();
    if clubs.is_empty() {
        return None;
    }
    let misfit = |firmness: Firmness| {
        let range = range.clone().on(firmness);
        clubs
            .iter()
            .map(|(group, roll)| {
                let fives: Vec<[f64; 5]> = group.used().map(|row| row.five).collect();
                let run = range.run(&fives);
                let mean = run.iter().map(|[c, t]| t - c).sum::<f64>() / run.len().max(1) as f64;
                (mean - roll.logged.mean_m).powi(2) * roll.rows as f64
            })
            .sum::<f64>()
    };
    let own = misfit(range.firmness());
    [Firmness::Soft, Firmness::Medium, Firmness::Firm]
        .into_iter()
        .filter(|f| *f != range.firmness())
        .map(|f| (f, misfit(f)))
        .filter(|(_, other)| *other < 0.5 * own)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(f, _)| f)
}

/// A firmness as the command line calls it.
#[must_use]
pub fn word(firmness: Firmness) -> &'static str {
    match firmness {
        Firmness::Soft => "soft",
        Firmness::Medium => "medium",
        Firmness::Firm => "firm",
    }
}
