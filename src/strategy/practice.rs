//! What would help most on these holes: the tee shots of a player who had
//! changed one thing, beside those of the player as logged.
//!
//! Each change is made to every club's pattern; then club and aim are chosen
//! anew, the same way and on the same random points for every change and for
//! the player as logged: a coarse scan of aims and pegs, a fine one around the
//! best, and a price on fresh balls that the scans have not seen. The strokes
//! saved are differences on those same fresh balls (common random numbers).
//! Their standard error is the simulation's and the search's. How sure the log
//! is of the player is seen by doing all of it again, with fewer balls, for
//! players drawn from what the log allows ([`crate::player::doubt`]): how far
//! their savings lie from the logged player's makes the interval.
//!
//! Full swings only are hit from a tee, also where a plan has part swings
//! ([`part_swings`](super::part_swings)).

use rayon::prelude::*;

use super::finish::StrokesToGo;
use super::range::{FRESH_SETS, PEG_MARGIN_M, Range, Stage};
use super::reached::{NotReached, takes};
use super::{Progress, Question};
use crate::hole::{Hole, TeeingArea};
use crate::outcome::{Day, TeeShot};
use crate::player::doubt::{Doubt, drawn};
use crate::player::face::FaceAndStrike;
use crate::player::pattern::{ANGLE, AXIS, SPEED, SPIN, START};
use crate::player::special::t_quantile;
use crate::player::{Basis, ClubShape, LaunchModel, Player};
use crate::sample::{Point, points};
use crate::units::YARD_M;

/// What may change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remedy {
    /// Every club bends half as far on average, scatter as it is.
    HalfCurve,
    /// Balls that bend against the stock shape fly straight instead.
    NeverCrosses,
    /// Start and bend scatter a tenth less.
    Direction,
    /// Speed, launch and spin scatter a tenth less.
    Distance,
    /// The strike is on the middle of the face: its share of the scatter of
    /// bend, start and ball speed is gone, its part of the average bend and
    /// start as well, and the ball speed lost off the middle is won back.
    CentredStrike,
    /// The longest club carries 10 yd more, the others in proportion.
    TenYards,
    /// Beside every shape its mirror image, as well played as the own.
    OtherShape,
}

impl Remedy {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::HalfCurve,
        Self::NeverCrosses,
        Self::Direction,
        Self::Distance,
        Self::CentredStrike,
        Self::TenYards,
        Self::OtherShape,
    ];

    /// In a coach's words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::HalfCurve => "half the curve",
            Self::NeverCrosses => "a curve that never crosses",
            Self::Direction => "10 % less spread in direction",
            Self::Distance => "10 % less spread in distance",
            Self::CentredStrike => "a centred strike",
            Self::TenYards => "10 yd more with the longest club",
            Self::OtherShape => "the other shape as well",
        }
    }
}

/// Strokes that one change saves, on all holes together.
#[derive(Clone, Debug, PartialEq)]
pub struct Saving {
    /// The change.
    pub remedy: Remedy,
    /// Strokes saved; negative where it would cost some.
    pub strokes: f64,
    /// Standard error of simulation and search, for the player as logged.
    pub standard_error: f64,
    /// Holds the saving with 90 %: simulation, search, and the player himself
    /// being no surer than the log makes him (where [`Asked::doubts`] tells).
    pub interval: [f64; 2],
    /// Hole by hole.
    pub by_hole: Vec<f64>,
}

/// What would help most.
#[derive(Clone, Debug, PartialEq)]
pub struct Practice {
    /// Expected strokes of the player as logged, hole by hole.
    pub by_hole: Vec<f64>,
    /// What each change saves, the most helpful first.
    pub savings: Vec<Saving>,
    /// Changes that cannot be priced: the log does not tell.
    pub undetermined: Vec<Remedy>,
    /// How many players drawn from what the log allows are in the intervals.
    pub players_drawn: usize,
}

/// What is asked.
#[derive(Clone, Copy)]
pub struct Asked<'a> {
    /// The holes, each with its teeing area.
    pub holes: &'a [(&'a Hole, &'a TeeingArea)],
    /// The player as logged.
    pub player: &'a Player,
    /// For each of the player's clubs what its strike does to the bend, where logged.
    pub strikes: &'a [Option<FaceAndStrike>],
    /// For each of the player's clubs what is not known of it; empty to take the
    /// player as meant.
    pub doubts: &'a [Option<Doubt>],
    /// The day.
    pub day: &'a Day,
    /// Seed of every random point.
    pub seed: u32,
}

/// How much work goes into one answer.
#[derive(Clone, Copy)]
struct Effort {
    pegs: usize,
    scan_balls: usize,
    close_balls: usize,
    fresh_sets: usize,
}

/// For the player as logged.
const FULL: Effort = Effort {
    pegs: 3,
    scan_balls: 256,
    close_balls: 1024,
    fresh_sets: FRESH_SETS,
};
/// For each of the players drawn.
const LIGHT: Effort = Effort {
    pegs: 1,
    scan_balls: 128,
    close_balls: 256,
    fresh_sets: 4,
};
/// Players drawn from what the log allows.
const DRAWS: usize = 12;

/// Clubs that are looked at with every change, beside the longest.
const CONTENDERS: usize = 3;
const SCAN_STEP_DEG: f64 = 2.0;
const CLOSE_STEP_DEG: f64 = 0.5;
/// Standard error that the search for club and aim adds on one hole, strokes:
/// how much savings differed between seeds, beyond their own errors.
const SEARCH_ERROR: f64 = 0.004;

/// Prices every change on every hole.
///
/// # Errors
/// [`NotReached`] when some hole is not reached, as logged or with a change.
pub fn most_helpful(
    asked: &Asked<'_>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<Practice, NotReached> {
    let (evaluated, undetermined): (Vec<Remedy>, Vec<Remedy>) = Remedy::ALL
        .into_iter()
        .partition(|r| *r != Remedy::CentredStrike || tells_of_strike(asked.strikes));
    let doubted = asked.doubts.iter().any(Option::is_some);
    let draws = if doubted { DRAWS } else { 0 };
    let each = 1 + evaluated.len();
    let total = asked.holes.len() * each + draws;
    let mut done = 0;
    let mut step = |doing| {
        progress(Progress { done, total, doing });
        done += 1;
    };
    let mut by_hole = Vec::new();
    let mut clubs = Vec::new();
    let mut differences: Vec<Vec<Vec<f64>>> = vec![Vec::new(); evaluated.len()];
    for place in asked.holes {
        step("the player as logged");
        let own = priced(asked, *place, asked.player, |range| {
            let clubs = range.contenders();
            let base = range.best_of(&clubs, FULL)?;
            Some((clubs, base))
        });
        let (contenders, base) = own.unwrap_or_default();
        reached(asked, *place, asked.player, &base)?;
        by_hole.push(mean(&base));
        for (remedy, differences) in evaluated.iter().zip(&mut differences) {
            step(remedy.words());
            let other = remedy.priced(asked, *place, asked.player, &contenders, FULL)?;
            differences.push(base.iter().zip(&other).map(|(a, b)| a - b).collect());
        }
        clubs.push(contenders);
    }
    let mut squares = vec![0.0; evaluated.len()];
    let strokes: Vec<f64> = differences
        .iter()
        .map(|by_set| by_set.iter().map(|hole| mean(hole)).sum())
        .collect();
    for number in 0..draws {
        step("players the log allows");
        let player = drawn(asked.player, asked.doubts, asked.seed, number);
        let saved = savings_of(asked, &player, &evaluated, &clubs)?;
        for ((square, saved), own) in squares.iter_mut().zip(saved).zip(&strokes) {
            *square += (saved - own).powi(2);
        }
    }
    progress(Progress {
        done: total,
        total,
        doing: "done",
    });
    let mut savings: Vec<Saving> = evaluated
        .into_iter()
        .zip(differences)
        .zip(squares.iter().zip(strokes))
        .map(|((remedy, by_set), (square, strokes))| {
            let standard_error = by_set
                .iter()
                .map(|hole| {
                    // The very same shot with the very same balls has no error.
                    let same = hole.iter().all(|d| *d == 0.0);
                    if same {
                        0.0
                    } else {
                        error(hole).powi(2) + SEARCH_ERROR.powi(2)
                    }
                })
                .sum::<f64>()
                .sqrt();
            let of_player = if draws > 0 {
                t_quantile(0.95, draws as f64) * (square / draws as f64).sqrt()
            } else {
                0.0
            };
            let half = of_player.hypot(Z95 * standard_error);
            Saving {
                remedy,
                strokes,
                standard_error,
                interval: [strokes - half, strokes + half],
                by_hole: by_set.iter().map(|hole| mean(hole)).collect(),
            }
        })
        .collect();
    savings.sort_by(|a, b| b.strokes.total_cmp(&a.strokes));
    Ok(Practice {
        by_hole,
        savings,
        undetermined,
        players_drawn: draws,
    })
}

/// Half the width of a normal's interval that holds 90 %, in standard errors.
const Z95: f64 = 1.644_854;

/// What each change saves a player, on all holes together.
fn savings_of(
    asked: &Asked<'_>,
    player: &Player,
    remedies: &[Remedy],
    clubs: &[Vec<usize>],
) -> Result<Vec<f64>, NotReached> {
    let mut saved = vec![0.0; remedies.len()];
    for (place, clubs) in asked.holes.iter().zip(clubs) {
        let base = priced(asked, *place, player, |range| range.best_of(clubs, LIGHT));
        let base = base.unwrap_or_default();
        reached(asked, *place, player, &base)?;
        let base = mean(&base);
        for (saved, remedy) in saved.iter_mut().zip(remedies) {
            *saved += base - mean(&remedy.priced(asked, *place, player, clubs, LIGHT)?);
        }
    }
    Ok(saved)
}

/// Something of a player on a hole.
fn priced<T>(
    asked: &Asked<'_>,
    (hole, tee): (&Hole, &TeeingArea),
    player: &Player,
    of: impl FnOnce(&Range<'_>) -> T,
) -> T {
    let question = asked_of(asked, (hole, tee), player);
    let to_go = StrokesToGo::for_handicap(player.handicap);
    of(&Range::new(&question, &to_go))
}

fn asked_of<'a>(
    asked: &Asked<'a>,
    (hole, tee): (&'a Hole, &'a TeeingArea),
    player: &'a Player,
) -> Question<'a> {
    Question {
        hole,
        tee,
        player,
        day: asked.day,
        seed: asked.seed,
    }
}

/// Whether these strokes, by sets of balls, reach the hole; without any, no ball stays in
/// play.
fn reached(
    asked: &Asked<'_>,
    place: (&Hole, &TeeingArea),
    player: &Player,
    by_set: &[f64],
) -> Result<(), NotReached> {
    let strokes = match by_set {
        [] => f64::INFINITY,
        _ => mean(by_set),
    };
    takes(&asked_of(asked, place, player), strokes)
}

fn tells_of_strike(strikes: &[Option<FaceAndStrike>]) -> bool {
    strikes.iter().flatten().any(|s| s.per_mm.is_some())
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn error(values: &[f64]) -> f64 {
    let middle = mean(values);
    let n = values.len() as f64;
    let variance = values.iter().map(|v| (v - middle).powi(2)).sum::<f64>() / (n - 1.0);
    (variance / n).sqrt()
}

impl Remedy {
    /// The price for a player with this change, by sets of fresh balls.
    fn priced(
        self,
        asked: &Asked<'_>,
        place: (&Hole, &TeeingArea),
        player: &Player,
        clubs: &[usize],
        effort: Effort,
    ) -> Result<Vec<f64>, NotReached> {
        let mut looked_at = clubs.to_vec();
        if self == Self::OtherShape {
            let own = player.clubs.len();
            looked_at.extend(clubs.iter().map(|club| own + club));
        }
        let changed = self.applied(player, asked.strikes);
        let found = priced(asked, place, &changed, |range| {
            range.best_of(&looked_at, effort)
        });
        let found = found.unwrap_or_default();
        reached(asked, place, &changed, &found).map(|()| found)
    }

    /// The player with this change; `strikes` as in [`Asked`].
    #[must_use]
    pub fn applied(self, player: &Player, strikes: &[Option<FaceAndStrike>]) -> Player {
        let mut player = player.clone();
        let longest_m = player.clubs.first().map_or(1.0, |c| c.carry_m);
        // Carry goes with speed to about the 1.6.
        let faster = ((longest_m + 10.0 * YARD_M) / longest_m).powf(1.0 / 1.6);
        for (index, club) in player.clubs.iter_mut().enumerate() {
            let model = &mut club.launches;
            match self {
                Self::HalfCurve => model.centre[AXIS] *= 0.5,
                Self::NeverCrosses => *model = one_way(model),
                Self::Direction => narrow(model, &[START, AXIS], 0.9),
                Self::Distance => narrow(model, &[SPEED, ANGLE, SPIN], 0.9),
                Self::TenYards => {
                    model.centre[SPEED] *= faster;
                    club.carry_m *= faster.powf(1.6);
                }
                Self::CentredStrike => {
                    if let Some(strike) = strikes.get(index).and_then(Option::as_ref) {
                        centre_strike(model, strike);
                    }
                }
                Self::OtherShape => {}
            }
        }
        if self == Self::OtherShape {
            let others: Vec<ClubShape> = player.clubs.iter().map(mirrored_bend).collect();
            player.clubs.extend(others);
        }
        player
    }
}

/// Standard deviations of some of the five made smaller, correlations kept.
fn narrow(model: &mut LaunchModel, which: &[usize], factor: f64) {
    let by = |k: usize| if which.contains(&k) { factor } else { 1.0 };
    for i in 0..5 {
        for j in 0..5 {
            model.scale[i][j] *= by(i) * by(j);
        }
    }
}

/// The pattern with the mean and covariance that the balls have when those that
/// bend against the stock shape fly straight.
fn one_way(model: &LaunchModel) -> LaunchModel {
    let stock = if model.centre[AXIS] < 0.0 { -1.0 } else { 1.0 };
    let sound = LaunchModel {
        mishit_share: 0.0,
        ..model.clone()
    };
    let pattern = sound.pattern();
    let balls: Vec<Point> = points(1, 4096);
    let tilts: Vec<f64> = balls.iter().map(|p| pattern.draw_five(p)[AXIS]).collect();
    let folded: Vec<f64> = tilts
        .iter()
        .map(|tilt| if tilt * stock < 0.0 { 0.0 } else { *tilt })
        .collect();
    let sd = |values: &[f64]| {
        let middle = mean(values);
        mean(
            &values
                .iter()
                .map(|v| (v - middle).powi(2))
                .collect::<Vec<_>>(),
        )
        .sqrt()
    };
    let mut changed = model.clone();
    changed.centre[AXIS] += mean(&folded) - mean(&tilts);
    narrow(&mut changed, &[AXIS], sd(&folded) / sd(&tilts).max(1e-9));
    changed
}

/// The strike's share of the variances gone, and what the average strike adds to
/// tilt and start and takes of the ball speed.
fn centre_strike(model: &mut LaunchModel, strike: &FaceAndStrike) {
    let (Some(per_mm), Some([at_mm, _])) = (strike.per_mm, strike.strike_mm) else {
        return;
    };
    model.centre[AXIS] -= per_mm.value * at_mm;
    narrow(
        model,
        &[AXIS],
        (1.0 - strike.shares[1]).clamp(0.01, 1.0).sqrt(),
    );
    if let Some(cost) = strike.strike_cost {
        model.centre[SPEED] += cost.speed_lost_m_s;
        model.centre[START] -= cost.start_moved_deg;
        narrow(model, &[SPEED], (1.0 - cost.speed_share).sqrt());
        narrow(model, &[START], (1.0 - cost.start_share).sqrt());
    }
}

/// A club's shape in a mirror; the player stands as before.
fn mirrored_bend(club: &ClubShape) -> ClubShape {
    let mut other = club.clone();
    other.launches.centre[START] *= -1.0;
    other.launches.centre[AXIS] *= -1.0;
    other.shape = format!("{} mirrored", club.shape);
    other.basis = Basis::Given;
    other
}

/// A shot and its price on the balls of a scan.
#[derive(Clone, Copy)]
struct Scanned {
    shot: TeeShot,
    strokes: f64,
}

impl Range<'_> {
    /// The clubs worth a look on this hole: the best of a coarse scan, and the longest.
    fn contenders(&self) -> Vec<usize> {
        let mut scanned: Vec<Scanned> = (0..self.q.player.clubs.len())
            .into_par_iter()
            .filter_map(|club| self.coarse(club, FULL))
            .collect();
        scanned.sort_by(|a, b| a.strokes.total_cmp(&b.strokes));
        let mut clubs: Vec<usize> = scanned
            .iter()
            .take(CONTENDERS)
            .map(|s| s.shot.club)
            .collect();
        if !clubs.contains(&0) {
            clubs.push(0);
        }
        clubs.sort_unstable();
        clubs
    }

    /// The best of these clubs, priced on every set of fresh balls; none where
    /// no ball stays in play.
    fn best_of(&self, clubs: &[usize], effort: Effort) -> Option<Vec<f64>> {
        let found: Vec<Scanned> = clubs
            .par_iter()
            .filter_map(|club| self.fine(self.coarse(*club, effort)?, effort))
            .collect();
        let best = found
            .into_iter()
            .reduce(|a, b| if b.strokes < a.strokes { b } else { a })?;
        let (priced, by_set) = self.price_on(best.shot, effort.fresh_sets);
        priced.strokes.is_finite().then_some(by_set)
    }

    /// The best of a coarse scan of aims and pegs with one club.
    fn coarse(&self, club: usize, effort: Effort) -> Option<Scanned> {
        let [low, high] = self.aims(club);
        let steps = ((high - low) / SCAN_STEP_DEG).ceil() as i32;
        let aims: Vec<f64> = (0..=steps)
            .map(|k| low + f64::from(k) * SCAN_STEP_DEG)
            .collect();
        let pegs = self.laterals(effort.pegs);
        self.scan(club, &aims, &pegs, Stage::Survey, effort.scan_balls)
    }

    /// The best of a fine scan of aims around a shot.
    fn fine(&self, from: Scanned, effort: Effort) -> Option<Scanned> {
        let aims: Vec<f64> = (-6..=6)
            .map(|k| from.shot.aim_deg + f64::from(k) * CLOSE_STEP_DEG)
            .collect();
        self.scan(
            from.shot.club,
            &aims,
            &[from.shot.from_left_m],
            Stage::Contenders,
            effort.close_balls,
        )
    }

    fn scan(
        &self,
        club: usize,
        aims: &[f64],
        pegs: &[f64],
        stage: Stage,
        balls: usize,
    ) -> Option<Scanned> {
        let ends = [*aims.first()?, *aims.last()?];
        let volley = self.volley(club, stage, 0, balls, ends);
        let scanned: Vec<Scanned> = aims
            .par_iter()
            .flat_map_iter(|aim_deg| {
                let toward = volley.toward(*aim_deg);
                pegs.iter()
                    .map(|from_left_m| {
                        let shot = TeeShot {
                            club,
                            from_left_m: *from_left_m,
                            behind_front_m: PEG_MARGIN_M,
                            aim_deg: *aim_deg,
                        };
                        let strokes = self.price(&self.rests(&toward, &shot)).strokes;
                        Scanned { shot, strokes }
                    })
                    .collect::<Vec<_>>()
            })
            .collect();
        scanned
            .into_iter()
            .filter(|s| s.strokes.is_finite())
            .reduce(|a, b| if b.strokes < a.strokes { b } else { a })
    }
}
