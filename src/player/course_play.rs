//! Course play: what changes between a range and a course.
//!
//! On a range the lie is level, the club stays the same from ball to ball and no score is written
//! down. A log from there is truer than a round: planned by the invented logs alone, 270 demo and mapped holes
//! took 0.42 strokes a hole fewer than the published table has for the same Handicap Index. Course play widens a player's
//! patterns by two sources, weighed by how sure each is:
//!
//! - the player's own log, widened as play on a course widens range play (a quarter, practice);
//! - the scatter of players of this index, with which the handicap scores of a round on a course of
//!   standard length and obstacles make this index ([`CoursePlay::of_level`]).
//!
//! Wedges and partial swings scatter more than that again, by a factor of the index alone: without it
//! pitches of 40 to 100 yd were 0.05 to 0.2 strokes cheaper than the table scaled to the level. The factor was
//! set by what it adds on plain par 3s of these lengths, strokes at a factor of 1.15 and 1.28:
//!
//! | index | 40 yd | 60 | 80 | 100 |
//! | --- | --- | --- | --- | --- |
//! | 0 | 0.07, 0.12 | 0.07, 0.12 | 0.06, 0.11 | 0.06, 0.11 |
//! | 18 | 0.08, 0.15 | 0.09, 0.17 | 0.11, 0.23 | 0.03, 0.06 |
//! | 28 | 0.11, 0.21 | 0.13, 0.27 | 0.12, 0.16 | 0.07, 0.14 |
//!
//! Typical players of a level on that course, calm, `cargo run --release --example course_play`
//! (published odds: Handicap System Manual of a governing
//! body, 2008–2015, Appendix E):
//!
//! | index | scatter of other clubs | short game | mishits | makes an index of | mean over the index | sd of a round | net 0, −1, −2, −3: one round in | published |
//! | --- | --- | --- | --- | --- | --- | --- | --- | --- |
//! | 0 | 0.99 | 1.28 | 1.0 % | 0.00 | 2.4 | 2.6 | 4.5, 8.1, 16, 38 | 5, 10, 23, 57 |
//! | 6 | 1.01 | 1.28 | 2.9 % | 5.97 | 2.8 | 3.0 | 5.1, 8.6, 16, 34 | 5, 10, 22, 51 |
//! | 12 | 1.07 | 1.25 | 4.8 % | 11.90 | 3.2 | 3.4 | 5.6, 9.1, 16, 32 | 5, 10, 22, 51 |
//! | 18 | 1.14 | 1.22 | 6.7 % | 18.02 | 3.7 | 3.9 | 6.2, 9.9, 17, 32 | 5.5, 10, 21, 43 |
//! | 28 | 1.28 | 1.12 | 9.9 % | 27.93 | 4.7 | 4.6 | 6.8, 10, 17, 28 | 5, 8, 13, 23 |
//! | 40 | 1.48 | 1.12 | 13.7 % | 40.00 | 6.0 | 5.4 | 7.4, 10, 16, 24 | 5, 7, 10, 15 |
//! | 54 | 2.06 | 1.12 | 18.2 % | 53.99 | 9.3 | 7.3 | 8.1, 11, 15, 21 | 5, 7, 10, 15 |
//!
//! Net differentials are reckoned as in the years of the published odds: Equitable Stroke Control, an
//! index of 96 % of the mean of the best 10 of 20 differentials (memory). The index that is made is the
//! World Handicap System's. Between the indices 0 and 28 the odds are within two fifths of the published
//! ones; −3 comes too often from 0 to 18, and net 0 too seldom from 28 on. Holes of a round are
//! independent of each other. A form of the day would make rounds spread more: it would mend the second
//! and spoil the first.

use std::fmt::Write as _;

use serde::Serialize;

use super::club::{Club, Family, between};
use super::pattern::{ANGLE, AXIS, SPEED, SPIN, START};
use super::prior;
use super::{Basis, ClubShape, Player};
use crate::diagnostic::{Note, Place};
use crate::sample::normal_quantile;

/// How much wider play on a course scatters than the same player's range play, and the standard
/// deviation of its logarithm over players (practice).
const FROM_RANGE: f64 = 1.25;
const FROM_RANGE_LOG_SD: f64 = 0.25;
/// Standard deviation of the logarithm of scatter over players of one index (practice: a quarter of
/// them scatter by a tenth less or more than the middle one).
const LEVEL_LOG_SD: f64 = 0.15;
/// Largest factor on a scatter; the least is 1 (practice).
const WIDEST: f64 = 2.5;

/// Factors on the standard deviations of a full swing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Wider {
    /// Start direction and axis tilt.
    pub direction: f64,
    /// Ball speed, launch angle and spin.
    pub distance: f64,
}

impl Wider {
    /// As on the range.
    const NOT: Self = Self {
        direction: 1.0,
        distance: 1.0,
    };

    /// The same factor on all.
    fn evenly(factor: f64) -> Self {
        Self {
            direction: factor,
            distance: factor,
        }
    }

    /// "1.4 times as wide to the side and 1.3 in distance"; "1.4 times as wide" where it is one factor.
    #[must_use]
    pub fn words(self) -> String {
        let (direction, distance) = (self.direction, self.distance);
        if self == Self::evenly(direction) {
            format!("{direction:.1} times as wide")
        } else if direction < HARDLY {
            format!("{distance:.1} times as wide in distance")
        } else if distance < HARDLY {
            format!("{direction:.1} times as wide to the side")
        } else {
            format!("{direction:.1} times as wide to the side and {distance:.1} in distance")
        }
    }

    /// Whether a player would not notice.
    #[must_use]
    pub fn is_hardly(self) -> bool {
        self.direction < HARDLY && self.distance < HARDLY
    }

    /// So many times as wide, within what a player file may hold, and no tighter than the range
    /// where it was not.
    fn times(self, factor: f64) -> Self {
        let of = |own: f64| (own * factor).clamp(own.min(1.0), FACTORS[1]);
        Self {
            direction: of(self.direction),
            distance: of(self.distance),
        }
    }

    fn factors(self) -> [f64; 5] {
        let mut factors = [self.distance; 5];
        factors[START] = self.direction;
        factors[AXIS] = self.direction;
        factors
    }
}

/// How a player's launches on a course differ from those on a range.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CoursePlay {
    /// The driver's scatter.
    pub driver: Wider,
    /// That of all other clubs.
    pub others: Wider,
    /// How much wider than that wedges, in full swings too, and pitches scatter.
    pub short_game: Wider,
    /// How many more of all full swings are mishit, as a share.
    pub more_mishits: f64,
}

impl CoursePlay {
    /// None: the course is played as the range.
    pub const NONE: Self = Self {
        driver: Wider::NOT,
        others: Wider::NOT,
        short_game: Wider::NOT,
        more_mishits: 0.0,
    };

    /// That of an index: of a player whose range play is as [`prior::covariance`] has it, without a
    /// mishit.
    #[must_use]
    pub fn of_level(index: f64) -> Self {
        Self {
            driver: Wider::NOT,
            others: Wider::evenly(between(&LEVEL_OTHERS, index)[1]),
            short_game: Wider::evenly(between(&LEVEL_SHORT_GAME, index)[1]),
            more_mishits: between(&LEVEL_MISHITS, index)[1],
        }
    }

    /// What a player's log and index make likely.
    #[must_use]
    pub fn of(player: &Player) -> Self {
        let (drivers, others) = by_driver(player);
        let wider = |clubs: &[&ClubShape], level: Wider| Wider {
            direction: factor(clubs, player.handicap, &[START, AXIS], level.direction),
            distance: factor(
                clubs,
                player.handicap,
                &[SPEED, ANGLE, SPIN],
                level.distance,
            ),
        };
        let all = || drivers.iter().chain(&others);
        let shots: usize = all().map(|club| club.shots).sum();
        let of_log = mean(all().map(|club| (club.shots, club.launches.mishit_share)));
        // A share is known as from so many shots, as the fit has it; the level's as from as many
        // again.
        let say = (shots as f64).min(prior::MISHIT_SHOTS) / (2.0 * prior::MISHIT_SHOTS);
        let level = Self::of_level(player.handicap);
        Self {
            driver: wider(&drivers, level.driver),
            others: wider(&others, level.others),
            short_game: level.short_game,
            more_mishits: ((1.0 - say) * (level.more_mishits - of_log)).max(0.0),
        }
    }

    /// The ends of the 80 % interval of a player's course play: tighter and wider. No end is tighter
    /// than the range, the share of mishits goes with the scatter of the other clubs, and so does the
    /// short game, whose factor is one on theirs (practice).
    #[must_use]
    pub fn ends(&self, player: &Player) -> [Self; 2] {
        let log_sds = Self::log_sds(player);
        [0.1, 0.9].map(|share| {
            let [driver, others] = log_sds.map(|log_sd| (normal_quantile(share) * log_sd).exp());
            Self {
                driver: self.driver.times(driver),
                others: self.others.times(others),
                short_game: self.short_game,
                more_mishits: self.more_mishits * others,
            }
        })
    }

    /// Standard deviations of the logarithm of the factors, the driver's and those of the other clubs.
    #[must_use]
    pub fn log_sds(player: &Player) -> [f64; 2] {
        let (drivers, others) = by_driver(player);
        [drivers, others].map(|clubs| (by_log(shots(&clubs)) + BY_LEVEL).recip().sqrt())
    }

    /// This course play with every factor and share within what a player file may hold.
    #[must_use]
    pub fn within_bounds(&self) -> Self {
        let wider = |wider: Wider| Wider {
            direction: wider.direction.clamp(FACTORS[0], FACTORS[1]),
            distance: wider.distance.clamp(FACTORS[0], FACTORS[1]),
        };
        Self {
            driver: wider(self.driver),
            others: wider(self.others),
            short_game: wider(self.short_game),
            more_mishits: self.more_mishits.clamp(0.0, MOST_MISHITS),
        }
    }

    /// Whether a club has the driver's factors.
    #[must_use]
    pub fn is_drivers(club: &ClubShape) -> bool {
        is_driver(club)
    }

    /// Whether a club has the factors of the short game.
    #[must_use]
    pub fn is_wedge(club: &ClubShape) -> bool {
        Club::of(&club.club).family == Family::Wedge
    }

    /// The player as on a course, with a note that says so; its [`Player::course_play`] is what has been
    /// applied.
    #[must_use]
    pub fn on(&self, player: &Player) -> Player {
        let note = self.note(player);
        let mut player = player.clone();
        player.course_play = Some(*self);
        player.notes.extend(note);
        for club in &mut player.clubs {
            let wider = if is_driver(club) {
                self.driver
            } else {
                self.others
            };
            club.launches.widen(wider.factors());
            if Self::is_wedge(club) {
                club.launches.widen(self.short_game.factors());
            }
            let mishits = club.launches.mishit_share + self.more_mishits;
            club.launches.mishit_share = mishits.min(MOST_MISHITS);
        }
        player
    }

    /// How much wider a partial swing with this ball speed scatters, relatively, than the club's full
    /// swing as [`on`](Self::on) leaves it, beside what a partial swing adds on the range: chips hardly,
    /// pitches by the short game's factors.
    #[must_use]
    pub fn of_partial(&self, club: &ClubShape, speed_m_s: f64) -> [f64; 5] {
        self.of_part(club, between(&CHIP_TO_PITCH, speed_m_s)[1])
    }

    /// The same from sand, by the share of the full swing's ball speed: short swings have what the lie adds
    /// and no more, longer ones the short game's factors more and more.
    #[must_use]
    pub fn of_partial_in_sand(&self, club: &ClubShape, share: f64) -> [f64; 5] {
        self.of_part(club, between(&SAND_TO_FULL, share)[1])
    }

    /// The same with so much of the short game's factors, 0 to 1.
    fn of_part(&self, club: &ClubShape, weight: f64) -> [f64; 5] {
        let has = Self::is_wedge(club);
        self.short_game.factors().map(|factor| {
            let partial = 1.0 + weight * (factor - 1.0);
            if has { partial / factor } else { partial }
        })
    }
}

impl CoursePlay {
    /// What a plan says of it; none where the course is played as the range.
    fn note(&self, player: &Player) -> Option<Note> {
        (*self != Self::NONE).then(|| Note {
            file: player.name.clone(),
            place: Place::File,
            text: format!("{}; --as-on-the-range leaves that out", self.words(player)),
            topic: None,
        })
    }

    /// Course play in a player's words, and whose range shots the log's are like.
    #[must_use]
    pub fn words(&self, player: &Player) -> String {
        let is_from_log = *self == Self::of(player);
        let is_logged = logged(player).any(|club| club.shots > 0);
        let from = match (is_from_log, is_logged) {
            (true, true) => "by your handicap and your log",
            (true, false) => "by your handicap",
            (false, _) => "by the player file",
        };
        let (drivers, others) = by_driver(player);
        let groups = [
            ("your driver", drivers, self.driver),
            ("your other clubs", others, self.others),
        ];
        let mut parts: Vec<String> = groups
            .into_iter()
            .filter(|(_, clubs, wider)| !clubs.is_empty() && !wider.is_hardly())
            .map(|(name, _, wider)| format!("{name} {}", wider.words()))
            .collect();
        if parts.is_empty() {
            parts.push("your clubs as wide as there".into());
        }
        if !self.short_game.is_hardly() {
            let further = self.short_game.words();
            parts.push(format!("with wedges and pitches {further} on top of that"));
        }
        let more = (100.0 * self.more_mishits).round();
        if more > 0.0 {
            parts.push(format!("{more:.0} in 100 more mishits"));
        }
        let mut text = format!(
            "shots on a course scatter more than on a range; {from}: {}",
            parts.join(", ")
        );
        if let Some(like) = like(player).filter(|_| is_from_log) {
            let own = player.handicap;
            let _ = write!(
                text,
                "; your range shots are {like}, and your handicap is {own:.0}"
            );
        }
        text
    }
}

/// Whose range shots a log's are like, in words; none where that is the player's own level, or few
/// shots tell.
fn like(player: &Player) -> Option<String> {
    // The driver's level on a course is that of the fit: it tells less.
    let (_, clubs) = by_driver(player);
    let shots = shots(&clubs);
    let tighter = |index: f64| {
        let all = [SPEED, ANGLE, START, SPIN, AXIS];
        let of_log = mean(
            clubs
                .iter()
                .map(|club| (club.shots, log_ratio(club, index, &all))),
        );
        of_log + FROM_RANGE.ln() < between(&LEVEL_OTHERS, index)[1].ln()
    };
    let index = (-5..=54).map(f64::from).find(|index| tighter(*index));
    let is_own = index.is_some_and(|index| (index - player.handicap).abs() < SAME_LEVEL);
    if shots < ENOUGH_SHOTS || is_own {
        return None;
    }
    Some(match index {
        Some(index) if index < 0.0 => "as tight as those of a better player than scratch".into(),
        Some(index) => format!("like those of a handicap of {index:.0}"),
        None => "wider than those of any handicap".into(),
    })
}

/// Within so many strokes of index two levels are one (practice).
const SAME_LEVEL: f64 = 3.0;
/// Fewer shots do not tell a level (practice).
const ENOUGH_SHOTS: usize = 30;

/// How many shots these clubs rest on.
fn shots(clubs: &[&ClubShape]) -> usize {
    clubs.iter().map(|club| club.shots).sum()
}

/// A factor below this is not spoken of (practice).
const HARDLY: f64 = 1.05;

fn is_driver(club: &ClubShape) -> bool {
    Club::of(&club.club).family == Family::Driver
}

/// The drivers, and all other clubs, as far as [`logged`].
fn by_driver(player: &Player) -> (Vec<&ClubShape>, Vec<&ClubShape>) {
    logged(player).partition(|club| is_driver(club))
}

/// The clubs that shots were logged with, or that were given by hand.
fn logged(player: &Player) -> impl Iterator<Item = &ClubShape> {
    let all = player.full_clubs().iter();
    all.filter(|club| club.basis != Basis::Neighbours)
}

/// Bounds of a factor in a player file (practice).
pub(super) const FACTORS: [f64; 2] = [0.5, 4.0];
/// Largest share of mishits, as in a player file.
pub(super) const MOST_MISHITS: f64 = 0.2;

/// The factor for the scatter of some clubs in some of the five; `level` is the scatter of the level
/// on a course over that of [`prior::covariance`].
fn factor(clubs: &[&ClubShape], handicap: f64, five: &[usize], level: f64) -> f64 {
    let of_log = mean(
        clubs
            .iter()
            .map(|club| (club.shots, log_ratio(club, handicap, five))),
    );
    let of_shots = by_log(shots(clubs));
    let course =
        (of_shots * (of_log + FROM_RANGE.ln()) + BY_LEVEL * level.ln()) / (of_shots + BY_LEVEL);
    (course - of_log).exp().clamp(1.0, WIDEST)
}

/// What a log of so many shots says of the logarithm of course scatter, as an inverse variance: a
/// standard deviation from n shots is known to about 1/√2n.
fn by_log(shots: usize) -> f64 {
    let known = 2.0 * (shots as f64 + prior::SPREAD_DOF);
    (FROM_RANGE_LOG_SD.powi(2) + known.recip()).recip()
}

/// The same of a handicap.
const BY_LEVEL: f64 = 1.0 / (LEVEL_LOG_SD * LEVEL_LOG_SD);

/// How wide a club scatters against what is expected at a level, in the logarithm of standard
/// deviations.
fn log_ratio(club: &ClubShape, handicap: f64, five: &[usize]) -> f64 {
    let launches = &club.launches;
    let family = Club::of(&club.club).family;
    let [speed, spin] = [SPEED, SPIN].map(|k| launches.centre[k]);
    let level = prior::covariance(handicap, family, speed, spin);
    let spread = launches.spread();
    let ratios = five.iter().map(|&k| (spread[k] / level[k][k].sqrt()).ln());
    ratios.sum::<f64>() / five.len() as f64
}

/// The mean over clubs, each by its shots and one more.
fn mean(clubs: impl Iterator<Item = (usize, f64)>) -> f64 {
    let (mut sum, mut weight) = (0.0, 0.0);
    for (shots, value) in clubs {
        sum += (shots + 1) as f64 * value;
        weight += (shots + 1) as f64;
    }
    if weight > 0.0 { sum / weight } else { 0.0 }
}

/// Scatter of all clubs but the driver on a course over that of [`prior::covariance`], by index:
/// calibrated so that the handicap scores of a typical player on the reference course make that
/// index (`examples/course_play`). The driver's is 1: what is published of it is of play on a course.
const LEVEL_OTHERS: [[f64; 2]; 6] = [
    [0.0, 0.99],
    [6.0, 1.01],
    [18.0, 1.14],
    [28.0, 1.285],
    [40.0, 1.48],
    [54.0, 2.06],
];
/// What wedges and partial swings scatter beside the other clubs, by index: what pitches of 40 to 100 yd from
/// fairway and rough lacked, on their mean, of the table scaled to the level (see the module). The tour has none.
const LEVEL_SHORT_GAME: [[f64; 2]; 6] = [
    [-5.0, 1.0],
    [0.0, 1.28],
    [6.0, 1.28],
    [18.0, 1.22],
    [28.0, 1.12],
    [54.0, 1.12],
];
/// By ball speed, m/s: how much of the short game's factors a partial swing has. Chips of 20 yd have
/// none, pitches of 40 yd all of them (practice): below 30 yd the strokes were those of the scaled table.
const CHIP_TO_PITCH: [[f64; 2]; 2] = [[14.0, 0.0], [21.0, 1.0]];
/// The same from sand: none up to 60 % of the full swing's ball speed, all at 100 % (practice).
const SAND_TO_FULL: [[f64; 2]; 2] = [[0.6, 0.0], [1.0, 1.0]];
/// Share of mishits on a course by index (practice).
const LEVEL_MISHITS: [[f64; 2]; 3] = [[-5.0, 0.005], [0.0, 0.01], [54.0, 0.182]];
