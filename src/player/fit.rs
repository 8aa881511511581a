//! From a shot log to a player.
//!
//! Each club with each shape gets its own pattern. What a few shots cannot
//! show is taken from the player's level ([`prior`]) and from the
//! player's other clubs: their spreads, set against what the level expects, and
//! the mean direction and bend of the same shape.

use rayon::prelude::*;

use super::ball_fit::{self, BallFit};
use super::cluster;
use super::file::{USUAL_CLUB_LENGTH_M, USUAL_HANDICAP};
use super::group::{Fate, Group, Sight, gather};
use super::invert::Range;
use super::learnt::{Learnt, Look, Start};
use super::matrix::{Matrix, symmetric};
use super::pattern::AXIS;
use super::prior;
use super::remarks;
use super::roll;
use super::set_up;
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
    /// The ground there: where totals are logged, how far balls ran on it tells
    /// how they came down.
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
    /// Posterior odds of each of [`TAILS`](super::posterior::TAILS).
    pub tail_odds: [f64; 5],
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
    /// What the log says of the ball; none where too few rows tell.
    pub ball: Option<BallFit>,
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
    let range = Range::new(&options.weather).on(options.firmness);
    let ball = ball_fit::fit(&range, log);
    let factors = ball.map(|ball| ball.factors).unwrap_or_default();
    let range = range.with(factors);
    let handicap = options.handicap.unwrap_or(USUAL_HANDICAP);
    let mut notes = log.notes.clone();
    if options.handicap.is_none() {
        notes.push(usual_handicap_note(log));
    }
    let Sorted {
        mut groups,
        notes: mut more,
        unused,
    } = sorted(log, &range);
    notes.append(&mut more);
    if groups.is_empty() {
        return Err(no_usable_row(log).into());
    }
    for group in &mut groups {
        group.roll = roll::learn(&range, group, &log.shots);
    }
    let fit = Fit {
        log,
        range: &range,
        handedness: options.handedness,
        handicap,
    };
    let learnt = fit.learn(&groups);
    let mut clubs = fit.clubs(&groups, learnt);
    clubs.sort_by(|a, b| b.0.carry_m.total_cmp(&a.0.carry_m));
    notes.extend(unused);
    notes.extend(remarks::of_fit(&log.file, &clubs, &range));
    notes.extend(remarks::of_ground(&log.file, &range, &groups));
    notes.extend(ball.and_then(|ball| ball.note(&log.file)));
    let (clubs, evidence) = clubs.into_iter().unzip();
    let player = Player {
        name: String::new(),
        handedness: options.handedness,
        handicap,
        club_length_m: USUAL_CLUB_LENGTH_M,
        clubs,
        ball: factors,
        notes,
        course_play: None,
        log: None,
    };
    Ok(Fitted {
        player,
        evidence,
        range,
        ball,
    })
}

/// A note on the whole log.
fn note(log: &ShotLog, text: String) -> Note {
    Note {
        file: log.file.clone(),
        place: Place::File,
        text,
        topic: None,
    }
}

fn usual_handicap_note(log: &ShotLog) -> Note {
    let text = format!(
        "no handicap given: Handicap Index {USUAL_HANDICAP:.0} assumed; say it to sharpen the spreads"
    );
    note(log, text)
}

fn no_usable_row(log: &ShotLog) -> Problem {
    Problem {
        file: log.file.clone(),
        place: Place::File,
        expected: "at least one shot that a club can hit".to_owned(),
        found: match log.shots.len() {
            1 => "one row, which cannot be used".to_owned(),
            n => format!("{n} rows, none of which can be used"),
        },
        remedy: "look at the units in the headings".to_owned(),
    }
}

/// The rows of a log as groups of one club and shape each.
struct Sorted {
    groups: Vec<Group>,
    notes: Vec<Note>,
    /// Remarks on the rows of clubs that are left out.
    unused: Vec<Note>,
}

/// Groups the rows by club and shape. A club whose unnamed shape is two becomes two groups; a club
/// without a usable row is left out.
fn sorted(log: &ShotLog, range: &Range) -> Sorted {
    let mut sorted = Sorted {
        groups: Vec::new(),
        notes: Vec::new(),
        unused: Vec::new(),
    };
    for (club, shape, shots) in split(&log.shots) {
        let group = gather(range, &club, shape.as_deref(), &shots);
        if let Some([left, right]) = two_shapes(&group, &shots) {
            let text = format!(
                "{club}: the balls fall into two shapes ({} and {} shots), which are fitted apart; \
                 name them in a column \"shape\" to have the say",
                left.len(),
                right.len()
            );
            sorted.notes.push(note(log, text));
            let both = [left, right].map(|shots| gather(range, &club, None, &shots));
            sorted.groups.extend(both);
        } else if group.used().next().is_none() {
            let text = format!("no row of {club} can be used for a pattern: the club is left out");
            sorted.notes.push(note(log, text));
            let rows = remarks::of_rows(&log.file, &group, &club);
            sorted.unused.extend(rows);
        } else {
            sorted.groups.push(group);
        }
    }
    sorted
}

/// What all clubs of a fit share.
struct Fit<'a> {
    log: &'a ShotLog,
    range: &'a Range,
    handedness: Handedness,
    handicap: f64,
}

/// What a fit finds of one group.
struct Found {
    learnt: Learnt,
    /// Mishits: Beta(a, b) belief about their share.
    mishits: [f64; 2],
    launches: LaunchModel,
    carry_m: f64,
}

impl Fit<'_> {
    /// Learns twice: each club alone, then with what the others showed.
    fn learn(&self, groups: &[Group]) -> Vec<Found> {
        let alone: Vec<Learnt> = groups
            .par_iter()
            .map(|group| {
                let start = Start::plain(group, self.handedness);
                Learnt::of(self.range, group, &start, self.handicap, Look::Quick)
            })
            .collect();
        let look = Look::Close(self.handedness);
        (0..groups.len())
            .into_par_iter()
            .map(|i| {
                let start = Start::among(i, groups, &alone, self.handedness);
                let learnt = Learnt::of(self.range, &groups[i], &start, self.handicap, look);
                self.found(&groups[i], learnt)
            })
            .collect()
    }

    /// The pattern of a group, with its share of mishits and its mean carry.
    fn found(&self, group: &Group, learnt: Learnt) -> Found {
        let share = prior::mishit_share(self.handicap);
        let mishits = [
            prior::MISHIT_SHOTS * share + group.mishits() as f64,
            prior::MISHIT_SHOTS * (1.0 - share) + group.used().count() as f64,
        ];
        let launches = LaunchModel {
            centre: learnt.centre(),
            scale: symmetric(&learnt.scale),
            dof: learnt.dof,
            mishit_share: (mishits[0] / (mishits[0] + mishits[1])).min(0.2),
            handedness: self.handedness,
        };
        let carry_m = mean_carry_m(self.range, &launches);
        Found {
            learnt,
            mishits,
            launches,
            carry_m,
        }
    }

    /// The player's clubs, in the order of their groups, with what each rests on.
    fn clubs(&self, groups: &[Group], found: Vec<Found>) -> Vec<(ClubShape, Evidence)> {
        let mut taken: Vec<(String, String)> = groups
            .iter()
            .filter_map(|g| Some((g.club.clone(), g.shape.clone()?)))
            .collect();
        groups
            .iter()
            .zip(found)
            .map(|(group, found)| {
                let shape = self.shape_name(group, &found.learnt, &mut taken);
                self.club(group, shape, found)
            })
            .collect()
    }

    /// The shape as logged, or a name by the bend; `usual` where that name is `taken` by another
    /// group of the club.
    fn shape_name(
        &self,
        group: &Group,
        learnt: &Learnt,
        taken: &mut Vec<(String, String)>,
    ) -> String {
        if let Some(logged) = &group.shape {
            return logged.clone();
        }
        // Carry and side alone cannot name a bend.
        let name = match group.sight {
            Sight::SideOnly => "usual",
            _ => prior::shape_name(learnt.mean[AXIS], self.handedness),
        };
        let by_bend = (group.club.clone(), name.to_owned());
        let name = if taken.contains(&by_bend) {
            "usual"
        } else {
            name
        };
        taken.push((group.club.clone(), name.to_owned()));
        name.to_owned()
    }

    fn club(&self, group: &Group, shape: String, found: Found) -> (ClubShape, Evidence) {
        let learnt = found.learnt;
        let evidence = Evidence {
            group: group.clone(),
            mean: learnt.mean,
            mean_scale: learnt.mean_scale,
            typical_scale: learnt.typical,
            mean_dof: learnt.mean_dof,
            mean_shots: learnt.mean_shots,
            tail_dof: learnt.tail_dof,
            tail_odds: learnt.tail_odds,
            effective_shots: learnt.effective_shots,
            mishits: found.mishits,
            bend_per_axis: learnt.bend_per_axis,
        };
        let club = ClubShape {
            club: group.club.clone(),
            shape,
            launches: found.launches,
            shots: group.used().count() + group.mishits(),
            basis: group.basis,
            carry_m: found.carry_m,
            set_up: set_up::of(self.range, group, &self.log.shots, self.handedness),
            part_share: None,
        };
        (club, evidence)
    }
}

type Rows<'a> = Vec<(usize, &'a Shot)>;

/// The rows of a club without a named shape, parted where the data call for
/// two; rows whose bend is not known (mishits) go with the larger part.
fn two_shapes<'a>(group: &Group, shots: &[(usize, &'a Shot)]) -> Option<[Rows<'a>; 2]> {
    if group.shape.is_some() || group.sight == Sight::SideOnly {
        return None;
    }
    let axes: Vec<f64> = group.used().map(|row| row.five[AXIS]).collect();
    let parting = cluster::parting(&axes)?;
    let left_is_larger = 2 * axes.iter().filter(|a| **a < parting).count() > axes.len();
    let (left, right): (Vec<_>, Vec<_>) = group.rows.iter().zip(shots).partition(|(row, _)| {
        if matches!(row.fate, Fate::Used | Fate::Odd(_)) {
            row.five[AXIS] < parting
        } else {
            left_is_larger
        }
    });
    Some([left, right].map(|part| part.into_iter().map(|(_, shot)| *shot).collect()))
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

/// Mean carry of the pattern's balls, mishits left out, m.
pub(super) fn mean_carry_m(range: &Range, launches: &LaunchModel) -> f64 {
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
