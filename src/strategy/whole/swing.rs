//! What a player can swing: full clubs, partial wedges, punches.
//!
//! - *Full*: every club and shape of the player, from every lie; a driver from
//!   a tee only (practice).
//! - *Soft*: every club but the driver at 96 and 92 % of its ball speed, into
//!   the green only.
//! - *Partial*: the shortest club with less speed, for everything that is
//!   nearer than its full carry. A partial swing keeps the full one's relative
//!   scatter and adds to it the shorter it is; how much was set by the 20 and
//!   40 yd cells of the published table's fairway column (with a tour-level
//!   wedge). A bag whose shortest club launches below 22° gets an assumed
//!   wedge for it.
//! - *Punch*: low, under the branches, from trees only (practice).

use super::lie::{self, LIES, Lie};
use crate::flight::air::{Air, Weather};
use crate::flight::ball::Ball;
use crate::flight::level::fly_level;
use crate::flight::{Firmness, Launch};
use crate::player::club::{Club, Family};
use crate::player::pattern::{ANGLE, AXIS, SPEED, SPIN, START};
use crate::player::{LaunchModel, Player, prior};
use crate::units::RPM_RAD_S;

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
    /// Index into `Player::clubs`; none for the assumed wedge.
    pub club: Option<usize>,
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
/// Shares of the wedge's ball speed for partial swings.
const PARTIAL_STEPS: usize = 48;
const MOST_PARTIAL: f64 = 0.95;
const LEAST_PARTIAL: f64 = 0.18;
/// How much wider a partial swing scatters than a full one, relatively, as its
/// speed goes to nothing; calibrated on the 20 and 40 yd fairway cells.
const PARTIAL_SPREAD: f64 = 1.2;
/// Shares of ball speed and launch angle of punches (practice).
const PUNCHES: [f64; 4] = [0.42, 0.55, 0.68, 0.8];
const PUNCH_LAUNCH_DEG: f64 = 7.0;
/// How much wider a punch scatters than a full swing (practice).
const PUNCH_SPREAD: f64 = 1.3;
/// A club that launches lower than this is no wedge, degrees.
const WEDGE_LAUNCH_DEG: f64 = 22.0;
/// Carry of the assumed wedge against the longest club's (practice).
const WEDGE_CARRY_SHARE: f64 = 0.36;

/// Everything this player can swing: full clubs in the player's order, then
/// partial swings from long to short, then punches.
#[must_use]
pub fn swings(player: &Player) -> Vec<Swing> {
    let mut all: Vec<Swing> = player
        .clubs
        .iter()
        .enumerate()
        .map(|(index, club)| {
            let off_tee_only = Club::of(&club.club).family == Family::Driver;
            Swing {
                club: Some(index),
                kind: Kind::Full,
                by_lie: Lie::ALL.map(|lie| {
                    (lie == Lie::Tee || !off_tee_only).then(|| lie.effect(false).on(&club.launches))
                }),
            }
        })
        .collect();
    let (wedge_club, wedge) = wedge(player);
    if wedge_club.is_none() {
        all.push(Swing {
            club: None,
            kind: Kind::Full,
            by_lie: Lie::ALL.map(|lie| Some(lie.effect(false).on(&wedge))),
        });
    }
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
                    lie::scale(&mut model, [share, 1.0, 1.0, share, 1.0]);
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
    for step in 0..PARTIAL_STEPS {
        // Even ratios: 3.5 % of speed, some 7 % of distance.
        let done = step as f64 / (PARTIAL_STEPS - 1) as f64;
        let share = MOST_PARTIAL * (LEAST_PARTIAL / MOST_PARTIAL).powf(done);
        let model = partial(&wedge, share);
        all.push(Swing {
            club: wedge_club,
            kind: Kind::Partial(share),
            by_lie: Lie::ALL.map(|lie| (lie != Lie::Tee).then(|| lie.effect(true).on(&model))),
        });
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
            lie::scale(&mut low, factor);
            all.push(Swing {
                club: Some(club),
                kind: Kind::Punch(share),
                by_lie: Lie::ALL.map(|lie| (lie == Lie::Recovery).then(|| low.clone())),
            });
        }
    }
    all
}

/// The full swing of `wedge` with less speed.
fn partial(wedge: &LaunchModel, share: f64) -> LaunchModel {
    let wider = 1.0 + PARTIAL_SPREAD * (1.0 - share);
    let mut model = wedge.clone();
    model.centre[SPEED] *= share;
    model.centre[SPIN] *= share;
    // A shape bends less with less speed behind it.
    model.centre[AXIS] *= share;
    model.centre[START] *= share;
    let mut factor = [1.0; 5];
    factor[SPEED] = share * wider;
    factor[SPIN] = share;
    factor[START] = wider;
    lie::scale(&mut model, factor);
    model
}

/// The player's shortest club if it is a wedge, or an assumed one.
fn wedge(player: &Player) -> (Option<usize>, LaunchModel) {
    let shortest = player.clubs.len() - 1;
    let launches = &player.clubs[shortest].launches;
    if launches.centre[ANGLE] >= WEDGE_LAUNCH_DEG {
        return (Some(shortest), launches.clone());
    }
    let longest_m = player
        .clubs
        .iter()
        .map(|club| carry_m(&club.launches))
        .fold(0.0, f64::max);
    let carry = WEDGE_CARRY_SHARE * longest_m;
    (None, assumed_model("56", carry, player))
}

/// A model for a club by its name and carry, at the player's level, that
/// starts and flies straight.
fn assumed_model(name: &str, carry: f64, player: &Player) -> LaunchModel {
    let club = Club::of(name);
    let (launch_deg, spin_rpm) = club.usual_launch(carry);
    let model = |speed: f64| LaunchModel {
        centre: [speed, launch_deg, 0.0, spin_rpm, 0.0],
        scale: [[0.0; 5]; 5],
        dof: 8.0,
        mishit_share: prior::mishit_share(player.handicap),
        handedness: player.handedness,
    };
    let (mut low, mut high) = (5.0, 95.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if carry_m(&model(middle)) < carry {
            low = middle;
        } else {
            high = middle;
        }
    }
    let mut found = model(low);
    let covariance = prior::covariance(player.handicap, club.family, low, spin_rpm);
    let shrink = (found.dof - 2.0) / found.dof;
    found.scale = covariance.map(|row| row.map(|cell| cell * shrink));
    found
}

/// The club nearest to a 6-iron by its launch: what a punch is hit with.
fn punched(player: &Player) -> Option<(usize, LaunchModel)> {
    const SIX_IRON_LAUNCH_DEG: f64 = 14.5;
    let off = |model: &LaunchModel| (model.centre[ANGLE] - SIX_IRON_LAUNCH_DEG).abs();
    player
        .clubs
        .iter()
        .enumerate()
        .min_by(|a, b| off(&a.1.launches).total_cmp(&off(&b.1.launches)))
        .map(|(index, club)| (index, club.launches.clone()))
}

/// Carry of a model's centre in still, standard air, m.
fn carry_m(model: &LaunchModel) -> f64 {
    let launch = Launch {
        ball_speed_m_s: model.centre[SPEED],
        launch_deg: model.centre[ANGLE],
        start_deg: 0.0,
        spin_rad_s: model.centre[SPIN] * RPM_RAD_S,
        axis_deg: 0.0,
    };
    let air = Air::of(&Weather::at_altitude(0.0), 0.03);
    fly_level(&[launch], &[], &air, &Ball::modern(), Firmness::Medium)[0].carry_m
}
