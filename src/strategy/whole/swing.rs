//! What a player can swing: full clubs, partial swings, punches.
//!
//! Nothing is swung that is not in the bag.
//!
//! - *Full*: every club and shape of the player, from every lie; a driver from
//!   a tee only (practice), where the bag has anything else.
//! - *Soft*: every club but the driver at 96 and 92 % of its ball speed, into
//!   the green only.
//! - *Partial*: the shortest club with less speed, for everything that is
//!   nearer than its full carry, from a tee too. A partial swing keeps the full one's relative
//!   scatter and adds to it the shorter it is; how much was set by the 20 and
//!   40 yd cells of the published table's fairway column (with a tour-level
//!   wedge); on a course pitches have the short game's factors on top ([`CoursePlay`]). With a club that launches low it is a bump and run: it lands
//!   early and rolls, and is taken down to slower swings for that. Where the
//!   shortest club was filled in, and is drawn wider for it, the shortest with
//!   logged shots makes short swings too: a filled club takes nothing away.
//! - *Punch*: low, under the branches, from trees only (practice).

use std::ops::Range;

use super::lie::{self, LIES, Lie};
use crate::player::club::{Club, Family};
use crate::player::gaps::WEDGE_LAUNCH_DEG;
use crate::player::pattern::{ANGLE, AXIS, SPEED, SPIN, START};
use crate::player::{Basis, ClubShape, CoursePlay, LaunchModel, Player};

/// How a club is swung.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A full swing.
    Full,
    /// A full swing held back to this share of its ball speed, to fit a
    /// distance between two clubs.
    Soft(f64),
    /// A partial swing with this share of the full ball speed.
    Partial(f64),
    /// A punch with this share of the full ball speed.
    Punch(f64),
}

/// One way to hit the ball.
#[derive(Clone, Debug, PartialEq)]
pub struct Swing {
    /// Index into `Player::clubs`.
    pub club: usize,
    /// How it is swung.
    pub kind: Kind,
    /// Its launches in each lie; none where it is not played.
    pub by_lie: [Option<LaunchModel>; LIES],
}

impl Swing {
    /// The lie with the same launches: a tee adds nothing but the driver, and
    /// from under trees a swing has the lie of rough.
    #[must_use]
    pub fn flies_as(&self, lie: Lie) -> Lie {
        let stand_in = match lie {
            Lie::Tee => Lie::Fairway,
            Lie::Recovery => Lie::Rough,
            other => other,
        };
        if self.by_lie[stand_in as usize].is_some() {
            stand_in
        } else {
            lie
        }
    }
}

/// Ball speeds of held-back swings (practice: a grip down, a shorter swing); the
/// launch and the scatter stay the full swing's.
const SOFT: [f64; 2] = [0.96, 0.92];
/// Shares of a club's ball speed for partial swings, of a wedge in so many steps.
const PARTIAL_STEPS: usize = 48;
const MOST_PARTIAL: f64 = 0.95;
const LEAST_PARTIAL: f64 = 0.18;
/// Ball speed of the shortest swing with a club that launches lower than
/// [`WEDGE_LAUNCH_DEG`], m/s: a chip of some 5 m with its roll.
const LEAST_CHIP_M_S: f64 = 4.0;
/// How much wider a partial swing scatters than a full one, relatively, as its
/// speed goes to nothing; calibrated on the 20 and 40 yd fairway cells.
const PARTIAL_SPREAD: f64 = 1.2;
/// Shares of ball speed and launch angle of punches (practice).
const PUNCHES: [f64; 4] = [0.42, 0.55, 0.68, 0.8];
const PUNCH_LAUNCH_DEG: f64 = 7.0;
/// How much wider a punch scatters than a full swing (practice).
const PUNCH_SPREAD: f64 = 1.3;

/// Everything this player, as on a course or on the range ([`CoursePlay::on`]), can swing: full
/// clubs in the player's order, then partial swings from long to short, club by club, then punches.
#[must_use]
pub fn swings(player: &Player) -> Vec<Swing> {
    let is_driver = |club: &ClubShape| Club::of(&club.club).family == Family::Driver;
    let clubs = player.full_clubs();
    let has_other = !clubs.iter().all(is_driver);
    let mut all: Vec<Swing> = clubs
        .iter()
        .enumerate()
        .map(|(index, club)| {
            let off_tee_only = has_other && is_driver(club);
            Swing {
                club: index,
                kind: Kind::Full,
                by_lie: Lie::ALL.map(|lie| {
                    (lie == Lie::Tee || !off_tee_only).then(|| {
                        lie.effect(1.0, club.launches.centre[ANGLE])
                            .on(&club.launches)
                    })
                }),
            }
        })
        .collect();
    for share in SOFT {
        for index in 0..all.len() {
            let swing = &all[index];
            if swing.kind != Kind::Full || swing.by_lie[Lie::Fairway as usize].is_none() {
                continue;
            }
            let by_lie = swing.by_lie.clone().map(|model| {
                model.map(|mut model| {
                    model.centre[SPEED] *= share;
                    model.centre[SPIN] *= share;
                    model.widen([share, 1.0, 1.0, share, 1.0]);
                    model
                })
            });
            all.push(Swing {
                club: swing.club,
                kind: Kind::Soft(share),
                by_lie,
            });
        }
    }
    let play = applied(player);
    for club in short_clubs(player) {
        let full = &clubs[club].launches;
        for share in partial_shares(full) {
            let from = |lie: Lie| {
                let model = partial(&clubs[club], share, (&play, lie));
                Some(lie.effect(share, full.centre[ANGLE]).on(&model))
            };
            all.push(Swing {
                club,
                kind: Kind::Partial(share),
                by_lie: Lie::ALL.map(from),
            });
        }
    }
    if let Some((club, model)) = punched(player) {
        for share in PUNCHES {
            let mut low = model.clone();
            low.centre[SPEED] *= share;
            low.centre[SPIN] *= share * 0.7;
            lie::launched_at(&mut low, PUNCH_LAUNCH_DEG);
            let mut factor = [PUNCH_SPREAD; 5];
            factor[SPEED] *= share;
            factor[SPIN] *= share;
            low.widen(factor);
            all.push(Swing {
                club,
                kind: Kind::Punch(share),
                by_lie: Lie::ALL.map(|lie| (lie == Lie::Recovery).then(|| low.clone())),
            });
        }
    }
    all
}

/// Shares of ball speed for partial swings with a club, in even ratios: 3.5 % of
/// speed, some 7 % of distance.
pub(in crate::strategy) fn partial_shares(full: &LaunchModel) -> Vec<f64> {
    let (mut least, mut steps) = (LEAST_PARTIAL, PARTIAL_STEPS - 1);
    let chip = LEAST_CHIP_M_S / full.centre[SPEED];
    if full.centre[ANGLE] < WEDGE_LAUNCH_DEG && chip < least {
        let further = (chip / MOST_PARTIAL).ln() / (least / MOST_PARTIAL).ln();
        least = chip;
        steps = (steps as f64 * further).ceil() as usize;
    }
    (0..=steps)
        .map(|step| MOST_PARTIAL * (least / MOST_PARTIAL).powf(step as f64 / steps as f64))
        .collect()
}

/// The full swing of a club with less speed, of a player with this course play.
pub(in crate::strategy) fn partial(
    club: &ClubShape,
    share: f64,
    (play, lie): (&CoursePlay, Lie),
) -> LaunchModel {
    let wider = 1.0 + PARTIAL_SPREAD * (1.0 - share);
    let mut model = club.launches.clone();
    model.centre[SPEED] *= share;
    model.centre[SPIN] *= share;
    // A shape bends less with less speed behind it.
    model.centre[AXIS] *= share;
    model.centre[START] *= share;
    let mut factor = [1.0; 5];
    factor[SPEED] = share * wider;
    factor[SPIN] = share;
    factor[START] = wider;
    model.widen(factor);
    model.widen(match lie {
        Lie::Sand => play.of_partial_in_sand(club, share),
        _ => play.of_partial(club, model.centre[SPEED]),
    });
    model
}

/// The course play that a player's patterns are widened by.
pub(in crate::strategy) fn applied(player: &Player) -> CoursePlay {
    player.course_play.unwrap_or(CoursePlay::NONE)
}

/// The clubs that short swings are made with, as indices into `Player::clubs`.
pub(in crate::strategy) fn short_clubs(player: &Player) -> Vec<usize> {
    let clubs = player.full_clubs();
    let shortest = clubs.len() - 1;
    let logged = |club: &ClubShape| club.basis != Basis::Neighbours;
    let mut short = vec![shortest];
    short.extend(clubs.iter().rposition(logged).filter(|c| *c != shortest));
    short
}

/// Of all swings, where the partial ones of each club stand, from long to short.
#[must_use]
pub fn partial_ranges(swings: &[Swing]) -> Vec<Range<usize>> {
    let mut ranges: Vec<Range<usize>> = Vec::new();
    for (index, swing) in swings.iter().enumerate() {
        if !matches!(swing.kind, Kind::Partial(_)) {
            continue;
        }
        match ranges.last_mut() {
            Some(last) if last.end == index && swings[last.start].club == swing.club => {
                last.end = index + 1;
            }
            _ => ranges.push(index..index + 1),
        }
    }
    ranges
}

/// The club nearest to a 6-iron by its launch: what a punch is hit with.
fn punched(player: &Player) -> Option<(usize, LaunchModel)> {
    const SIX_IRON_LAUNCH_DEG: f64 = 14.5;
    let off = |model: &LaunchModel| (model.centre[ANGLE] - SIX_IRON_LAUNCH_DEG).abs();
    player
        .full_clubs()
        .iter()
        .enumerate()
        .min_by(|a, b| off(&a.1.launches).total_cmp(&off(&b.1.launches)))
        .map(|(index, club)| (index, club.launches.clone()))
}
