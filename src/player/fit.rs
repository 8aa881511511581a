//! From a shot log to a player.
//!
//! Each club with each shape gets its own pattern. What a few shots cannot
//! show is taken from the player's level ([`prior`](super::prior)) and from the
//! player's other clubs: their spreads, set against what the level expects, and
//! the mean direction and bend of the same shape.

use super::club::{Club, Family};
use super::file::{USUAL_CLUB_LENGTH_M, USUAL_HANDICAP};
use super::group::{Fate, Group, Sight, gather, median};
use super::invert::Range;
use super::matrix::{Matrix, cholesky, symmetric};
use super::pattern::{ANGLE, AXIS, BOUNDS, SPEED, SPIN, START};
use super::posterior::{Belief, Posterior, learn};
use super::prior;
use super::shotlog::{Shot, ShotLog};
use super::{ClubShape, Handedness, LaunchModel, Player};
use crate::diagnostic::{Note, Place, Problem, Problems};
use crate::flight::{Firmness, Weather};
use crate::sample::points;

/// What a log does not say about its player.
#[derive(Clone, Debug)]
pub struct FitOptions {
    /// Which way the player stands.
    pub handedness: Handedness,
    /// Handicap Index, if known; −5 stands for a tour player.
    pub handicap: Option<f64>,
    /// The air in which the shots were logged.
    pub weather: Weather,
    /// The ground there. Carries are used, not totals, so nothing follows from
    /// it yet; it stands for logs with totals only.
    pub firmness: Firmness,
}

/// What is known of one club with one shape beyond its pattern.
#[derive(Clone, Debug)]
pub struct Evidence {
    /// Its rows.
    pub group: Group,
    /// Belief about the five's means: centre of a multivariate t.
    pub mean: [f64; 5],
    /// Its scale matrix; the level's whole spread where the rows do not show a
    /// coordinate.
    pub mean_scale: Matrix<5>,
    /// Typical spread parameter of each coordinate (the t's scale).
    pub typical_scale: [f64; 5],
    /// Its degrees of freedom, and those of the spreads.
    pub mean_dof: f64,
    /// How many shots the means rest on, prior included.
    pub mean_shots: f64,
    /// Degrees of freedom of the balls' own tails.
    pub tail_dof: f64,
    /// How many well-behaved shots the rows are worth.
    pub effective_shots: f64,
    /// Mishits: Beta(a, b) belief about their share.
    pub mishits: [f64; 2],
    /// Landing direction per degree of axis tilt at the centre.
    pub bend_per_axis: f64,
}

/// A player, with what each club rests on.
#[derive(Clone, Debug)]
pub struct Fitted {
    /// The player.
    pub player: Player,
    /// For each of the player's clubs, in their order.
    pub evidence: Vec<Evidence>,
    /// The range the log was flown on.
    pub range: Range,
}

/// Fits a player to a log.
///
/// # Errors
/// Where no row of the log can be used.
pub fn fit(log: &ShotLog, options: &FitOptions) -> Result<Player, Problems> {
    fit_in_detail(log, options).map(|fitted| fitted.player)
}

/// Fits a player to a log and keeps what each club rests on.
///
/// # Errors
/// Where no row of the log can be used.
pub fn fit_in_detail(log: &ShotLog, options: &FitOptions) -> Result<Fitted, Problems> {
    let range = Range::new(&options.weather);
    let mut notes = log.notes.clone();
    let mut note = |place: Place, text: String| {
        notes.push(Note {
            file: log.file.clone(),
            place,
            text,
        });
    };
    let handicap = options.handicap.unwrap_or_else(|| {
        let text = format!(
            "no handicap given: Handicap Index {USUAL_HANDICAP:.0} assumed; say it to sharpen the spreads"
        );
        note(Place::File, text);
        USUAL_HANDICAP
    });
    let mut groups: Vec<Group> = Vec::new();
    for (club, shape, shots) in split(&log.shots) {
        let group = gather(&range, &club, shape.as_deref(), &shots);
        if group.used().next().is_none() {
            let text = format!("no row of {club} can be used for a pattern: the club is left out");
            note(Place::File, text);
        } else {
            groups.push(group);
        }
    }
    if groups.is_empty() {
        return Err(Problem {
            file: log.file.clone(),
            place: Place::File,
            expected: "at least one shot that a club can hit".to_owned(),
            found: match log.shots.len() {
                1 => "one row, which cannot be used".to_owned(),
                n => format!("{n} rows, none of which can be used"),
            },
            remedy: "look at the units in the headings".to_owned(),
        }
        .into());
    }
    // Twice: each club alone, then with what the others showed.
    let alone: Vec<Learnt> = groups
        .iter()
        .map(|group| {
            Learnt::of(
                &range,
                group,
                &Start::plain(group, options.handedness),
                handicap,
            )
        })
        .collect();
    let mut clubs: Vec<(ClubShape, Evidence)> = Vec::new();
    let mut taken: Vec<(String, String)> = groups
        .iter()
        .filter_map(|g| Some((g.club.clone(), g.shape.clone()?)))
        .collect();
    for (i, group) in groups.iter().enumerate() {
        let start = Start::among(i, &groups, &alone, options.handedness);
        let learnt = Learnt::of(&range, group, &start, handicap);
        let mishits = [
            prior::MISHIT_SHOTS * prior::mishit_share(handicap) + group.mishits() as f64,
            prior::MISHIT_SHOTS * (1.0 - prior::mishit_share(handicap))
                + group.used().count() as f64,
        ];
        let launches = LaunchModel {
            centre: learnt.centre(),
            scale: symmetric(&learnt.scale),
            dof: learnt.dof,
            mishit_share: (mishits[0] / (mishits[0] + mishits[1])).min(0.2),
            handedness: options.handedness,
        };
        let shape = group.shape.clone().unwrap_or_else(|| {
            // Carry and side alone cannot name a bend.
            let name = match group.sight {
                Sight::SideOnly => "usual",
                _ => prior::shape_name(learnt.mean[AXIS], options.handedness),
            };
            let name = name.to_owned();
            let clash = taken.contains(&(group.club.clone(), name.clone()));
            let name = if clash { "usual".to_owned() } else { name };
            taken.push((group.club.clone(), name.clone()));
            name
        });
        let carry_m = mean_carry_m(&range, &launches);
        let kind = Club::of(&group.club);
        say(&mut note, group, &shape, &learnt, kind);
        let evidence = Evidence {
            group: group.clone(),
            mean: learnt.mean,
            mean_scale: learnt.mean_scale,
            typical_scale: learnt.typical,
            mean_dof: learnt.mean_dof,
            mean_shots: learnt.mean_shots,
            tail_dof: learnt.tail_dof,
            effective_shots: learnt.effective_shots,
            mishits,
            bend_per_axis: learnt.bend_per_axis,
        };
        let shots = group.used().count() + group.mishits();
        let basis = group.basis;
        let club = group.club.clone();
        clubs.push((
            ClubShape {
                club,
                shape,
                launches,
                shots,
                basis,
                carry_m,
            },
            evidence,
        ));
    }
    clubs.sort_by(|a, b| b.0.carry_m.total_cmp(&a.0.carry_m));
    let (clubs, evidence) = clubs.into_iter().unzip();
    let player = Player {
        name: String::new(),
        handedness: options.handedness,
        handicap,
        club_length_m: USUAL_CLUB_LENGTH_M,
        clubs,
        notes,
    };
    Ok(Fitted {
        player,
        evidence,
        range,
    })
}

type Split<'a> = Vec<(String, Option<String>, Vec<(usize, &'a Shot)>)>;

/// Rows by club and shape, in the order in which they first appear.
fn split(shots: &[Shot]) -> Split<'_> {
    let mut groups: Split<'_> = Vec::new();
    for (index, shot) in shots.iter().enumerate() {
        match groups
            .iter_mut()
            .find(|(c, s, _)| *c == shot.club && *s == shot.shape)
        {
            Some((_, _, rows)) => rows.push((index, shot)),
            None => groups.push((shot.club.clone(), shot.shape.clone(), vec![(index, shot)])),
        }
    }
    groups
}

/// Notes on one club.
fn say(
    note: &mut impl FnMut(Place, String),
    group: &Group,
    shape: &str,
    learnt: &Learnt,
    kind: Club,
) {
    let name = format!("{} ({shape})", group.club);
    let used = group.used().count();
    if !kind.known {
        let text = format!(
            "{name}: this club's name says nothing of its loft; a loft is taken from its carry"
        );
        note(Place::File, text);
    }
    if used < 20 {
        let few = if used == 1 {
            "1 shot is little".to_owned()
        } else {
            format!("{used} shots are few")
        };
        let text =
            format!("{name}: {few}; the pattern leans on the level and is drawn wider for it");
        note(Place::File, text);
    }
    if group.sight == Sight::SideOnly {
        let text = format!(
            "{name}: only carry and side are logged: start and curve cannot be told apart; \
             they are split as usual for this shape (start {:+.1}°, axis tilt {:+.1}° on average)",
            learnt.mean[START], learnt.mean[AXIS]
        );
        note(Place::File, text);
    } else if group.usual_launch {
        let text = format!(
            "{name}: launch angle and spin are taken as usual for the club ({:.1}°, {:.0} rpm)",
            learnt.mean[ANGLE], learnt.mean[SPIN]
        );
        note(Place::File, text);
    }
    if let Some(c) = group.calibration
        && ((c.carry_ratio - 1.0).abs() > 0.02 || (c.axis_factor - 1.0).abs() > 0.1)
    {
        let bend = c.curve_ratio.map_or(String::new(), |r| {
            format!(" and bend {:.0} % of the logged curve", 100.0 / r.max(0.01))
        });
        let text = format!(
            "{name}: the logged launches fly {:.1} % of the logged carry{bend}; ball speed is \
             corrected by {:+.1} % and axis tilt by {:+.0} %",
            100.0 / c.carry_ratio,
            100.0 * (c.speed_factor - 1.0),
            100.0 * (c.axis_factor - 1.0)
        );
        note(Place::File, text);
    }
    let mut poorer = 0;
    for row in &group.rows {
        match &row.fate {
            Fate::Dropped(why) => {
                note(
                    Place::Line(row.line),
                    format!("{name}: row left out as mistyped: {why}"),
                );
            }
            Fate::Odd(why) => {
                note(
                    Place::Line(row.line),
                    format!("{name}: row looks odd but is kept: {why}"),
                );
            }
            Fate::Poorer => poorer += 1,
            Fate::Used | Fate::Mishit => {}
        }
    }
    if poorer > 0 {
        let text = format!("{name}: {poorer} rows tell less than the others and are left out");
        note(Place::File, text);
    }
}

/// Where the learning starts from.
struct Start {
    /// Prior mean of start and axis.
    shape: [f64; 2],
    /// Factor on the level's variances: of distance and of direction.
    spread: [f64; 2],
}

/// How many shots the level's own spread and the shape's own mean count for
/// when they are averaged with what other clubs showed.
const LEVEL_SHOTS: f64 = 15.0;

impl Start {
    fn plain(group: &Group, handedness: Handedness) -> Self {
        Self {
            shape: prior::named_shape(group.shape.as_deref(), handedness),
            spread: [1.0, 1.0],
        }
    }

    /// With what the player's other clubs showed, the nearer in carry the more.
    fn among(i: usize, groups: &[Group], alone: &[Learnt], handedness: Handedness) -> Self {
        let plain = Self::plain(&groups[i], handedness);
        let mut log_spread = [0.0; 2];
        let mut shape = plain.shape.map(|s| s * LEVEL_SHOTS);
        let (mut spread_shots, mut shape_shots) = (LEVEL_SHOTS, LEVEL_SHOTS);
        for (j, other) in alone.iter().enumerate().filter(|(j, _)| *j != i) {
            // Half the say at a third of the carry away (practice).
            let apart = (groups[j].carry_m / groups[i].carry_m.max(1.0)).ln() / 0.35;
            let say = other.effective_shots.min(60.0) / (1.0 + apart * apart);
            for (sum, ratio) in log_spread.iter_mut().zip(other.spread_ratio) {
                *sum += say * ratio.ln();
            }
            spread_shots += say;
            if groups[j].shape == groups[i].shape && groups[j].sight != Sight::SideOnly {
                shape[0] += say * other.mean[START];
                shape[1] += say * other.mean[AXIS];
                shape_shots += say;
            }
        }
        Self {
            shape: shape.map(|s| s / shape_shots),
            spread: log_spread.map(|s| (s / spread_shots).exp().clamp(0.25, 4.0)),
        }
    }
}

/// One club's learnt pattern in the five, whatever its rows show.
struct Learnt {
    mean: [f64; 5],
    mean_scale: Matrix<5>,
    typical: [f64; 5],
    mean_dof: f64,
    mean_shots: f64,
    tail_dof: f64,
    effective_shots: f64,
    scale: Matrix<5>,
    dof: f64,
    /// Learnt over expected variance: of distance and of direction.
    spread_ratio: [f64; 2],
    bend_per_axis: f64,
}

impl Learnt {
    fn of(range: &Range, group: &Group, start: &Start, handicap: f64) -> Self {
        let club = Club::of(&group.club);
        let family = if club.known {
            club.family
        } else {
            family_by_carry(group.carry_m)
        };
        let n = group.used().count() as f64;
        let (usual_angle, usual_spin) = club.usual_launch(group.carry_m);
        // The middle of the rows themselves, with two shots' worth of the usual.
        let middle = |k: usize, usual: f64| {
            (n * median(group.used().map(|row| row.five[k])) + 2.0 * usual) / (n + 2.0)
        };
        let mut mean = [0.0; 5];
        mean[SPEED] = median(group.used().map(|row| row.five[SPEED]));
        mean[ANGLE] = middle(ANGLE, usual_angle);
        mean[SPIN] = middle(SPIN, usual_spin);
        mean[START] = start.shape[0];
        mean[AXIS] = start.shape[1];
        let level = prior::covariance(handicap, family, mean[SPEED], mean[SPIN]);
        let factor = |k: usize| start.spread[usize::from(k == START || k == AXIS)].sqrt();
        let expected: Matrix<5> =
            std::array::from_fn(|i| std::array::from_fn(|j| level[i][j] * factor(i) * factor(j)));
        let bend_per_axis = range.curve_deg_per_axis_deg(&mean).clamp(0.05, 1.5);
        match group.sight {
            Sight::Whole => {
                let rows: Vec<[f64; 5]> = group.used().map(|row| row.five).collect();
                let belief =
                    Belief::expecting(mean, prior::MEAN_SHOTS, &expected, prior::SPREAD_DOF);
                let posterior = learn(&belief, &rows);
                Self::whole(&posterior, &level, bend_per_axis)
            }
            Sight::StartAndCurve => {
                let pick = [SPEED, START, AXIS];
                let rows: Vec<[f64; 3]> =
                    group.used().map(|row| pick.map(|k| row.five[k])).collect();
                let prior_mean = pick.map(|k| mean[k]);
                let prior_scale = pick.map(|i| pick.map(|j| expected[i][j]));
                let belief = Belief::expecting(
                    prior_mean,
                    prior::MEAN_SHOTS,
                    &prior_scale,
                    prior::SPREAD_DOF,
                );
                let posterior = learn(&belief, &rows);
                Self::without_launch(range, &posterior, mean, &expected, &level, bend_per_axis)
            }
            Sight::SideOnly => {
                let rows: Vec<[f64; 2]> = group
                    .used()
                    .map(|row| [row.five[SPEED], row.direction_deg])
                    .collect();
                let k = bend_per_axis;
                let direction = expected[START][START]
                    + 2.0 * k * expected[START][AXIS]
                    + k * k * expected[AXIS][AXIS];
                let prior_mean = [mean[SPEED], mean[START] + k * mean[AXIS]];
                let prior_scale = [[expected[SPEED][SPEED], 0.0], [0.0, direction]];
                let belief = Belief::expecting(
                    prior_mean,
                    prior::MEAN_SHOTS,
                    &prior_scale,
                    prior::SPREAD_DOF,
                );
                let posterior = learn(&belief, &rows);
                let split = posterior.by_usual_shape([mean[START], mean[AXIS]], &expected, k);
                Self::without_launch(range, &split, mean, &expected, &level, bend_per_axis)
            }
        }
    }

    fn centre(&self) -> [f64; 5] {
        std::array::from_fn(|k| self.mean[k].clamp(BOUNDS[k][0], BOUNDS[k][1]))
    }

    fn whole(posterior: &Posterior<5>, level: &Matrix<5>, bend_per_axis: f64) -> Self {
        let belief = &posterior.belief;
        let (scale, dof) = posterior.predictive();
        let typical = belief.typical_scale();
        let typical = std::array::from_fn(|k| typical[k][k].sqrt());
        let scale = if cholesky(&scale).is_some() {
            scale
        } else {
            diagonal_of(&scale)
        };
        Self {
            mean: belief.mean,
            mean_scale: posterior.mean_scale(),
            typical,
            mean_dof: belief.marginal_dof(),
            mean_shots: belief.mean_shots,
            tail_dof: posterior.tail_dof,
            effective_shots: posterior.effective_shots(),
            scale,
            dof,
            spread_ratio: ratios(&typical, level, &[SPEED, ANGLE, SPIN]),
            bend_per_axis,
        }
    }

    /// Puts launch angle and spin back, with the level's spreads: as much of
    /// them as explains at most half of the carry's scatter, and that much less
    /// of it left to ball speed.
    fn without_launch(
        range: &Range,
        posterior: &Posterior<3>,
        usual: [f64; 5],
        expected: &Matrix<5>,
        level: &Matrix<5>,
        bend_per_axis: f64,
    ) -> Self {
        let belief = &posterior.belief;
        let (three, dof) = posterior.predictive();
        let pick = [SPEED, START, AXIS];
        let mut mean = usual;
        for (a, &k) in pick.iter().enumerate() {
            mean[k] = belief.mean[a];
        }
        let gradient = range.carry_gradient(&std::array::from_fn(|k| {
            mean[k].clamp(BOUNDS[k][0], BOUNDS[k][1])
        }));
        // The level's launch and spin as a scale matrix of the same t.
        let to_scale = (dof - 2.0) / dof;
        let hidden = [ANGLE, SPIN];
        let carry_of_hidden: f64 = hidden
            .iter()
            .flat_map(|&i| hidden.iter().map(move |&j| (i, j)))
            .map(|(i, j)| gradient[i] * gradient[j] * expected[i][j] * to_scale)
            .sum();
        let carry_seen = gradient[SPEED] * gradient[SPEED] * three[0][0];
        let share = if carry_of_hidden > 0.5 * carry_seen {
            0.5 * carry_seen / carry_of_hidden
        } else {
            1.0
        };
        let left = (1.0 - share * carry_of_hidden / carry_seen.max(1e-12)).clamp(0.5, 1.0);
        let mut scale = [[0.0; 5]; 5];
        for (a, &i) in pick.iter().enumerate() {
            for (b, &j) in pick.iter().enumerate() {
                let shrink = |k: usize| if k == SPEED { left.sqrt() } else { 1.0 };
                scale[i][j] = three[a][b] * shrink(i) * shrink(j);
            }
        }
        for &i in &hidden {
            for &j in &hidden {
                scale[i][j] = expected[i][j] * to_scale * share;
            }
        }
        let scale = if cholesky(&scale).is_some() {
            scale
        } else {
            diagonal_of(&scale)
        };
        let typical_three = belief.typical_scale();
        let mean_three = posterior.mean_scale();
        let mut typical: [f64; 5] = std::array::from_fn(|k| scale[k][k].sqrt());
        let mut mean_scale = diagonal_of(expected);
        for (a, &k) in pick.iter().enumerate() {
            typical[k] = typical_three[a][a].sqrt();
            for (b, &j) in pick.iter().enumerate() {
                mean_scale[k][j] = mean_three[a][b];
            }
        }
        Self {
            mean,
            mean_scale,
            typical,
            mean_dof: belief.marginal_dof(),
            mean_shots: belief.mean_shots,
            tail_dof: posterior.tail_dof,
            effective_shots: posterior.effective_shots(),
            scale,
            dof,
            spread_ratio: ratios(&typical, level, &[SPEED]),
            bend_per_axis,
        }
    }
}

impl Posterior<2> {
    /// Splits speed and landing direction into speed, start and axis: given the
    /// direction, start and axis are what the usual shape and the usual spreads
    /// make most likely, and scatter as those leave open.
    fn by_usual_shape(&self, shape: [f64; 2], expected: &Matrix<5>, bend: f64) -> Posterior<3> {
        let s = [
            [expected[START][START], expected[START][AXIS]],
            [expected[AXIS][START], expected[AXIS][AXIS]],
        ];
        let h = [1.0, bend];
        let sh: [f64; 2] = std::array::from_fn(|i| s[i][0] * h[0] + s[i][1] * h[1]);
        let direction = h[0] * sh[0] + h[1] * sh[1];
        let gain = sh.map(|v| v / direction.max(1e-12));
        let off = self.belief.mean[1] - (shape[0] + bend * shape[1]);
        let b = &self.belief;
        let m = &b.matrix;
        // What the direction leaves open scatters along the line where start
        // and bend cancel, in the same measure as the direction itself.
        let measure = m[1][1] / direction.max(1e-12);
        let mut matrix = [[0.0; 3]; 3];
        matrix[0][0] = m[0][0];
        for i in 0..2 {
            matrix[0][i + 1] = gain[i] * m[0][1];
            matrix[i + 1][0] = matrix[0][i + 1];
            for j in 0..2 {
                let open = s[i][j] - gain[i] * sh[j];
                matrix[i + 1][j + 1] = gain[i] * gain[j] * m[1][1] + open * measure;
            }
        }
        Posterior {
            belief: Belief {
                mean: [
                    b.mean[0],
                    shape[0] + gain[0] * off,
                    shape[1] + gain[1] * off,
                ],
                mean_shots: b.mean_shots,
                dof: b.dof + 1.0,
                matrix,
            },
            tail_dof: self.tail_dof,
            weights: self.weights.clone(),
        }
    }
}

fn diagonal_of(scale: &Matrix<5>) -> Matrix<5> {
    let mut out = [[0.0; 5]; 5];
    for (k, row) in out.iter_mut().enumerate() {
        row[k] = scale[k][k].max(1e-9);
    }
    out
}

/// Learnt over expected variance, geometric mean over the coordinates seen.
fn ratios(typical: &[f64; 5], level: &Matrix<5>, distance: &[usize]) -> [f64; 2] {
    let ratio = |over: &[usize]| {
        let sum: f64 = over
            .iter()
            .map(|&k| (typical[k] * typical[k] / level[k][k]).ln())
            .sum();
        (sum / over.len() as f64).exp()
    };
    [ratio(distance), ratio(&[START, AXIS])]
}

fn family_by_carry(carry_m: f64) -> Family {
    if carry_m > 190.0 {
        Family::Wood
    } else if carry_m > 105.0 {
        Family::Iron
    } else {
        Family::Wedge
    }
}

/// Mean carry of the pattern's balls, mishits left out, m.
fn mean_carry_m(range: &Range, launches: &LaunchModel) -> f64 {
    let pattern = LaunchModel {
        mishit_share: 0.0,
        ..launches.clone()
    }
    .pattern();
    let fives: Vec<[f64; 5]> = points(1, 512)
        .iter()
        .map(|p| pattern.draw_five(p))
        .collect();
    let landings = range.land(&fives);
    let mean = landings.iter().map(|l| l.carry_m).sum::<f64>() / landings.len() as f64;
    mean.clamp(1.0, 366.0)
}
