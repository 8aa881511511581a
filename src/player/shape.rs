//! A player's shapes in numbers: what a coach would want to know of each club.

use super::ball_fit::BallFit;
use super::face::{FaceAndStrike, Figure, split};
use super::fit::{Evidence, Fitted};
use super::group::{Sight, median};
use super::invert::{Landing, Range};
use super::pattern::{ANGLE, AXIS, SPEED, SPIN, START};
use super::posterior::TAILS;
use super::region::Region;
use super::roll::{Roll, Run};
use super::set_up::SetUp;
use super::shotlog::ShotLog;
use super::special::{beta_quantile, chi_square_quantile, t_quantile, t_share_below};
use super::{Basis, ClubShape, Handedness, LaunchModel, Player};
use crate::flight::Weather;
use crate::sample::{Point, normal_quantile, points};

/// How much wider, in the logarithm, the interval of the carry's spread is than
/// that of one number's: set so that it holds the truth of made-up players.
const CARRY_WIDER: f64 = 1.3;
/// Balls flown for each club's figures.
const BALLS: usize = 4096;

/// The shapes of a player.
#[derive(Clone, Debug, PartialEq)]
pub struct ShapeReport {
    /// Which way the player stands.
    pub handedness: Handedness,
    /// Handicap Index the levels were taken from.
    pub handicap: f64,
    /// Each club with each shape, longest first.
    pub clubs: Vec<ClubReport>,
    /// How far the set-up is turned for the line to play, degrees right; none
    /// for the turn that brings each club's average ball onto the target.
    pub turn_deg: Option<f64>,
    /// What the log says of the ball.
    pub ball: Option<BallFit>,
}

/// A scatter: standard deviation, and the widths that hold the middle half and
/// the middle nine tenths.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread {
    /// Standard deviation.
    pub sd: f64,
    /// Width of the middle half.
    pub half: f64,
    /// Width of the middle nine tenths.
    pub most: f64,
    /// What holds the player's own standard deviation with 90 %; none where the
    /// spread is meant as given.
    pub sd_interval: Option<[f64; 2]>,
}

/// One club with one shape. Right is positive; lengths in metres, angles in
/// degrees; figures carry 90 % intervals, which are as wide as the value where
/// the player file does not say how sure it is (`sure` false).
#[derive(Clone, Debug, PartialEq)]
pub struct ClubReport {
    /// The club.
    pub club: String,
    /// The shape.
    pub shape: String,
    /// Logged shots it rests on.
    pub shots: usize,
    /// How many well-behaved shots they are worth.
    pub effective_shots: f64,
    /// What they told.
    pub basis: Basis,
    /// Whether the intervals mean anything: there is a log behind them.
    pub sure: bool,
    /// Mean start direction; none where it cannot be told from the curve.
    pub start_deg: Option<Figure>,
    /// Median curve at the landing; none likewise.
    pub curve_m: Option<Figure>,
    /// Median landing, right of the aim.
    pub side_m: Figure,
    /// Median carry.
    pub carry_m: Figure,
    /// Scatter of the start direction, degrees; none where it cannot be told.
    pub start_spread_deg: Option<Spread>,
    /// Scatter of the landing across the aim, m.
    pub side_spread_m: Spread,
    /// Scatter of the carry, m.
    pub carry_spread_m: Spread,
    /// How far balls run after the landing, on level fairway of the log's firmness.
    pub run: Run,
    /// The logged run beside it, where totals are logged.
    pub logged_run: Option<Roll>,
    /// Share of balls that bend against the stock shape; none where the curve
    /// cannot be told.
    pub two_way: Option<Figure>,
    /// Share of balls that land left of the aim.
    pub left_share: f64,
    /// Share of mishits.
    pub mishits: Figure,
    /// Half-width of the side total's interval now, and after 30 more shots, m.
    pub after_thirty_m: Option<[f64; 2]>,
    /// Path and face set up straight, and the ball further forward.
    pub set_up: SetUp,
    /// Face and strike, where logged.
    pub face: Option<FaceAndStrike>,
    /// Where balls land.
    pub region: Option<Region>,
    /// Logged landings, right and along, m; empty without a log.
    pub logged_m: Vec<[f64; 2]>,
    /// Flights from the ball to the landing: right of the aim, ahead and up, m; the first is the mean
    /// launch's.
    pub flights_m: Vec<Vec<[f64; 3]>>,
    /// Logged strikes, mm towards the toe, with the axis tilt they went with.
    pub strikes: Vec<[f64; 2]>,
}

/// The report on a fitted log.
#[must_use]
pub fn report(fitted: &Fitted, log: &ShotLog) -> ShapeReport {
    let clubs = fitted
        .player
        .clubs
        .iter()
        .zip(&fitted.evidence)
        .map(|(club, evidence)| {
            let mut report = predicted(club, &fitted.range);
            add_evidence(&mut report, club, evidence, &fitted.range);
            report.logged_run = evidence.group.roll;
            report.face = split(&evidence.group, &log.shots, fitted.player.handedness);
            add_logged(&mut report, evidence, log, &fitted.range);
            report
        })
        .collect();
    ShapeReport {
        handedness: fitted.player.handedness,
        handicap: fitted.player.handicap,
        clubs,
        turn_deg: None,
        ball: fitted.ball,
    }
}

impl ShapeReport {
    /// Adds the clubs of `player` that this report does not have: those filled
    /// from their neighbours after the fit.
    pub fn add_filled(&mut self, player: &Player, range: &Range) {
        for club in player.clubs.iter().filter(|c| c.basis == Basis::Neighbours) {
            if !self.clubs.iter().any(|c| c.club == club.club) {
                self.clubs.push(predicted(club, range));
            }
        }
        self.clubs
            .sort_by(|a, b| b.carry_m.value.total_cmp(&a.carry_m.value));
    }
}

/// The report on a player whose log is not at hand.
#[must_use]
pub fn report_of_player(player: &Player, weather: &Weather) -> ShapeReport {
    let range = Range::new(weather).with(player.ball);
    let clubs = player
        .clubs
        .iter()
        .map(|club| predicted(club, &range))
        .collect();
    ShapeReport {
        handedness: player.handedness,
        handicap: player.handicap,
        clubs,
        turn_deg: None,
        ball: None,
    }
}

fn certain(value: f64) -> Figure {
    Figure {
        value,
        low: value,
        high: value,
    }
}

fn around(value: f64, half: f64) -> Figure {
    Figure {
        value,
        low: value - half,
        high: value + half,
    }
}

fn spread(mut values: Vec<f64>) -> Spread {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let sd = (values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / (n - 1.0)).sqrt();
    values.sort_by(f64::total_cmp);
    let at = |share: f64| values[((share * n) as usize).min(values.len() - 1)];
    Spread {
        sd,
        half: at(0.75) - at(0.25),
        most: at(0.95) - at(0.05),
        sd_interval: None,
    }
}

fn place(landing: &Landing) -> [f64; 2] {
    let along = landing.carry_m * landing.carry_m - landing.side_m * landing.side_m;
    [landing.side_m, along.max(0.0).sqrt()]
}

/// What the pattern alone says. Mishits are left out of every figure but their
/// own share and the region.
fn predicted(club: &ClubShape, range: &Range) -> ClubReport {
    let points: Vec<Point> = points(1, BALLS);
    let model = &club.launches;
    let fly = |model: &LaunchModel| {
        let pattern = model.pattern();
        let fives: Vec<[f64; 5]> = points.iter().map(|p| pattern.draw_five(p)).collect();
        let landings = range.land(&fives);
        (fives, landings)
    };
    let (fives, sound) = fly(&LaunchModel {
        mishit_share: 0.0,
        ..model.clone()
    });
    let (_, all) = fly(model);
    let median = |of: &dyn Fn(&Landing) -> f64| median(sound.iter().map(of));
    let curve = median(&|l| l.curve_m);
    let against = sound.iter().filter(|l| l.curve_m * curve < 0.0).count();
    let left = sound.iter().filter(|l| l.side_m < 0.0).count();
    let told = club.basis != Basis::SideOnly;
    let runs: Vec<[f64; 2]> = range
        .run(&fives)
        .into_iter()
        .map(|[carry, total]| [carry, total - carry])
        .collect();
    let places = |landings: &[Landing]| landings.iter().map(place).collect::<Vec<_>>();
    ClubReport {
        club: club.club.clone(),
        shape: club.shape.clone(),
        shots: club.shots,
        effective_shots: club.shots as f64,
        basis: club.basis,
        sure: false,
        start_deg: told.then(|| certain(model.centre[START])),
        curve_m: told.then(|| certain(curve)),
        side_m: certain(median(&|l| l.side_m)),
        carry_m: certain(median(&|l| l.carry_m)),
        start_spread_deg: told.then(|| spread(fives.iter().map(|f| f[START]).collect())),
        side_spread_m: spread(sound.iter().map(|l| l.side_m).collect()),
        carry_spread_m: spread(sound.iter().map(|l| l.carry_m).collect()),
        run: Run::of(&runs).unwrap_or_default(),
        logged_run: None,
        two_way: told.then(|| certain(against as f64 / BALLS as f64)),
        left_share: left as f64 / BALLS as f64,
        mishits: certain(model.mishit_share),
        after_thirty_m: None,
        set_up: club.set_up.clone(),
        face: None,
        region: Region::of(&places(&sound), &places(&all)),
        logged_m: Vec::new(),
        flights_m: range.flights(
            &std::iter::once(model.centre)
                .chain(fives.iter().take(24).copied())
                .collect::<Vec<_>>(),
        ),
        strikes: Vec::new(),
    }
}

/// Puts the intervals round the figures.
fn add_evidence(report: &mut ClubReport, club: &ClubShape, evidence: &Evidence, range: &Range) {
    report.sure = true;
    report.effective_shots = evidence.effective_shots;
    let t = t_quantile(0.95, evidence.mean_dof);
    let m = &evidence.mean_scale;
    let half = |h: &[f64; 5]| {
        let mut square = 0.0;
        for i in 0..5 {
            for j in 0..5 {
                square += h[i] * m[i][j] * h[j];
            }
        }
        t * square.max(0.0).sqrt()
    };
    let unit = |k: usize| {
        let mut h = [0.0; 5];
        h[k] = 1.0;
        h
    };
    let per_degree = report.carry_m.value.to_radians();
    if let Some(start) = &mut report.start_deg {
        *start = around(start.value, half(&unit(START)));
    }
    let mut bend = unit(AXIS);
    bend[AXIS] = evidence.bend_per_axis * per_degree;
    if let Some(curve) = &mut report.curve_m {
        *curve = around(curve.value, half(&bend));
    }
    let mut side = bend;
    side[START] = per_degree;
    let side_half = half(&side);
    report.side_m = around(report.side_m.value, side_half);
    let mut carry = range.carry_gradient(&club.launches.centre);
    if evidence.group.sight != Sight::Whole {
        // Launch and spin are supposed, and speed made to fit them.
        carry[ANGLE] = 0.0;
        carry[SPIN] = 0.0;
    }
    report.carry_m = around(report.carry_m.value, half(&carry));
    if let Some(two_way) = &mut report.two_way {
        *two_way = two_way_interval(two_way.value, evidence);
    }
    let [low, high] = spread_interval(evidence);
    let spreads = [
        report.start_spread_deg.as_mut(),
        Some(&mut report.side_spread_m),
        Some(&mut report.carry_spread_m),
    ];
    for spread in spreads.into_iter().flatten() {
        spread.sd_interval = Some([low * spread.sd, high * spread.sd]);
    }
    // Three launch numbers that go together in ways of their own make a carry.
    let carry = &mut report.carry_spread_m;
    let middle = (low * high).sqrt();
    carry.sd_interval = Some([low, high].map(|end| {
        let wider = middle * (end / middle).powf(CARRY_WIDER);
        wider * carry.sd
    }));
    let [a, b] = evidence.mishits;
    report.mishits = Figure {
        value: report.mishits.value,
        low: beta_quantile(0.05, a, b),
        high: beta_quantile(0.95, a, b),
    };
    let later = (evidence.mean_shots / (evidence.mean_shots + 30.0)).sqrt()
        * t_quantile(0.95, evidence.mean_dof + 30.0)
        / t;
    report.after_thirty_m = Some([side_half, side_half * later]);
}

/// A tail picked by its odds at a coordinate.
fn tail_at(evidence: &Evidence, coordinate: f64) -> usize {
    let mut tail = 0;
    let mut odds = evidence.tail_odds[0];
    while tail + 1 < TAILS.len() && coordinate > odds {
        tail += 1;
        odds += evidence.tail_odds[tail];
    }
    tail
}

/// What the player's own standard deviation may be, over that of future balls:
/// the latter is wider by what is not known of it. Over what spread and tails may be.
fn spread_interval(evidence: &Evidence) -> [f64; 2] {
    let dof = evidence.mean_dof;
    let quartile = TAILS.map(|(tail, _)| t_quantile(0.75, tail));
    let mut squares: Vec<f64> = points(3, 500)
        .iter()
        .map(|p| {
            let k = tail_at(evidence, p[1]);
            let tail = TAILS[k].0;
            // Heavier tails go with a narrower middle: the quartiles stay.
            tail / (tail - 2.0) / quartile[k].powi(2) * dof / chi_square_quantile(p[0], dof)
        })
        .collect();
    squares.sort_by(f64::total_cmp);
    let mean = squares.iter().sum::<f64>() / squares.len() as f64;
    let future = mean * (1.0 + 1.0 / evidence.mean_shots);
    [25, 475].map(|at| (squares[at] / future).sqrt())
}

/// The two-way share over what mean, spread and tails of the axis tilt may be.
fn two_way_interval(value: f64, evidence: &Evidence) -> Figure {
    let mean = evidence.mean[AXIS];
    let variance = evidence.mean_scale[AXIS][AXIS];
    let dof = evidence.mean_dof;
    let typical = evidence.typical_scale[AXIS];
    // Heavier tails go with a narrower middle: the quartiles stay.
    let quartile = t_quantile(0.75, evidence.tail_dof);
    let narrower = TAILS.map(|(tail, _)| quartile / t_quantile(0.75, tail));
    let mut shares: Vec<f64> = points(2, 500)
        .iter()
        .map(|p| {
            let stretch = dof / chi_square_quantile(p[0], dof);
            let tail = tail_at(evidence, p[2]);
            let sd = typical * stretch.sqrt() * narrower[tail];
            let at = mean + (variance * stretch).sqrt() * normal_quantile(p[1]);
            t_share_below(-at * mean.signum() / sd.max(1e-9), TAILS[tail].0)
        })
        .collect();
    shares.sort_by(f64::total_cmp);
    Figure {
        value,
        low: shares[25].min(value),
        high: shares[475].max(value),
    }
}

fn add_logged(report: &mut ClubReport, evidence: &Evidence, log: &ShotLog, range: &Range) {
    let group = &evidence.group;
    report.logged_m = group
        .rows
        .iter()
        .filter(|row| {
            !matches!(
                row.fate,
                super::group::Fate::Dropped(_) | super::group::Fate::Poorer
            )
        })
        .filter_map(|row| {
            let carry = log.shots.get(row.shot)?.carry_m;
            let (sin, cos) = row.direction_deg.to_radians().sin_cos();
            Some([carry * sin, carry * cos])
        })
        .collect();
    if group.sight == Sight::SideOnly {
        return;
    }
    let first = report.flights_m.first().cloned();
    let fives: Vec<[f64; 5]> = group.used().take(60).map(|row| row.five).collect();
    report.flights_m = first.into_iter().chain(range.flights(&fives)).collect();
    report.strikes = group
        .used()
        .filter_map(|row| Some([log.shots.get(row.shot)?.strike_mm?, row.five[AXIS]]))
        .collect();
}

impl Range {
    /// Flights to the landing: right of the aim, ahead and up, m.
    #[must_use]
    pub fn flights(&self, fives: &[[f64; 5]]) -> Vec<Vec<[f64; 3]>> {
        let mut out = Vec::with_capacity(fives.len());
        for (five, path) in fives.iter().zip(self.paths(fives)) {
            let (sin, cos) = five[START].to_radians().sin_cos();
            debug_assert!(five[SPEED] > 0.0);
            out.push(
                path.iter()
                    .map(|[right, ahead, up]| {
                        [right * cos + ahead * sin, ahead * cos - right * sin, *up]
                    })
                    .collect(),
            );
        }
        out
    }
}
