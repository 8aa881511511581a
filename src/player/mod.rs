//! A player: clubs, each with a pattern of launches.

pub mod ball_fit;
pub(crate) mod cells;
pub mod change;
pub mod club;
pub mod cluster;
pub mod columns;
pub mod course_play;
pub(crate) mod dialect;
pub mod face;
pub mod file;
pub mod fit;
pub mod gaps;
pub mod group;
pub mod invert;
mod learnt;
pub mod logged;
pub mod matrix;
mod names;
pub mod neighbours;
pub mod pattern;
pub mod posterior;
pub mod prior;
pub mod questions;
pub mod region;
mod remarks;
pub mod roll;
pub(crate) mod rows;
pub mod sampled;
pub mod set_up;
pub mod shape;
pub mod shotlog;
pub mod special;
pub mod stretch;
pub mod strike_cost;
pub(crate) mod tally;
pub mod words;

pub use ball_fit::BallFactors;
pub use course_play::CoursePlay;

use std::sync::Arc;

use crate::diagnostic::{Answers, Note, Problems};
use crate::flight::{Ball, Firmness, Weather};

/// Which way the player stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Handedness {
    /// Stands left of the ball's flight.
    #[default]
    Right,
    /// Stands right of it.
    Left,
}

impl Handedness {
    /// The other hand.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }

    /// The sign that turns "right +" into "to the slice side +": +1 for a
    /// right-hander, −1 for a left-hander.
    #[must_use]
    pub fn sign(self) -> f64 {
        match self {
            Self::Right => 1.0,
            Self::Left => -1.0,
        }
    }
}

/// What a club's pattern rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Ball speed, launch, start, spin and axis were all logged.
    FullLaunch,
    /// Carry, start and curve were logged; the rest was found by inverting the flight.
    StartAndCurve,
    /// Carry and side were logged; start and curve cannot be told apart.
    SideOnly,
    /// No shot was logged: filled from neighbouring clubs.
    Neighbours,
    /// Written by hand in a player file.
    Given,
}

/// A joint distribution of launches: a multivariate t, with a small share of
/// mishits. The order of the five is always: ball speed (m/s), launch angle
/// (deg), start direction (deg, right +), spin (rpm), axis tilt (deg, right +).
#[derive(Clone, Debug, PartialEq)]
pub struct LaunchModel {
    /// Centre.
    pub centre: [f64; 5],
    /// Scale matrix of the t distribution (its covariance is `dof/(dof-2)` of this).
    pub scale: [[f64; 5]; 5],
    /// Degrees of freedom, above 2.
    pub dof: f64,
    /// Share of mishits, 0 to 0.2.
    pub mishit_share: f64,
    /// Which way the player stands: shanks go away from the player.
    pub handedness: Handedness,
}

/// One club with one shape.
#[derive(Clone, Debug, PartialEq)]
pub struct ClubShape {
    /// The club's name as logged, such as `driver` or `7i`.
    pub club: String,
    /// The shape's name, such as `draw`; never empty.
    pub shape: String,
    /// Its launches.
    pub launches: LaunchModel,
    /// How many logged shots it rests on.
    pub shots: usize,
    /// What they told.
    pub basis: Basis,
    /// Mean carry in the log's conditions, m.
    pub carry_m: f64,
    /// Path and face set up straight, and the ball further forward, where logged.
    pub set_up: set_up::SetUp,
    /// Share of the full ball speed of a part swing; none of a full swing.
    pub part_share: Option<f64>,
}

/// A player, ready to play.
#[derive(Clone, Debug, PartialEq)]
pub struct Player {
    /// A name to put on the plan: hostile text until escaped.
    pub name: String,
    /// Which way the player stands.
    pub handedness: Handedness,
    /// Handicap Index; −5 stands for a tour player.
    pub handicap: f64,
    /// Longest club other than the putter, m: half the depth of a teeing area.
    pub club_length_m: f64,
    /// Clubs with their shapes, longest carry first; never empty. Where a tee is too near
    /// for a full swing, part swings stand after them.
    pub clubs: Vec<ClubShape>,
    /// How the ball flies beside the usual modern one.
    pub ball: BallFactors,
    /// What was assumed, dropped or looked odd.
    pub notes: Vec<Note>,
    /// Course play, where the player file gives it; none for what log and index make likely. Of the player
    /// that a plan is made with: what has been applied to the patterns.
    pub course_play: Option<CoursePlay>,
    /// The shot log that the patterns were fitted to, where the player file holds it.
    pub log: Option<Arc<logged::Logged>>,
}

impl Player {
    /// The player of a shot log (CSV) hit in the usual air on ground of medium firmness, a
    /// right-hander with this Handicap Index.
    ///
    /// # Errors
    /// Every problem of the log, and every question that it raises.
    pub fn from_log(csv: &[u8], handicap: f64) -> Result<Self, Problems> {
        let log = shotlog::read("shot log", csv)?;
        let about = questions::About {
            handedness: Some(Handedness::Right),
            handicap: Some(handicap),
            weather: Weather::usual(),
        };
        let (asked, _) = questions::of_log(&log, &about);
        let (_, problems) = Answers::default().settle(asked);
        if !problems.is_empty() {
            return Err(Problems(problems));
        }
        let options = fit::FitOptions {
            handedness: Handedness::Right,
            handicap: Some(handicap),
            weather: Weather::usual(),
            firmness: Firmness::Medium,
        };
        fit::fit(&log, &options)
    }

    /// How this player's launches on a course differ from the patterns.
    #[must_use]
    pub fn course_play(&self) -> CoursePlay {
        self.course_play.unwrap_or_else(|| CoursePlay::of(self))
    }

    /// The clubs with their full swings.
    #[must_use]
    pub fn full_clubs(&self) -> &[ClubShape] {
        let part = self.clubs.iter().position(|club| club.part_share.is_some());
        &self.clubs[..part.unwrap_or(self.clubs.len())]
    }

    /// The ball this player hits: what a [`Day`](crate::outcome::Day) is made with.
    #[must_use]
    pub fn own_ball(&self) -> Ball {
        Ball::modern().scaled(self.ball.drag, self.ball.lift)
    }

    /// The clubs that `text` means, by their indices: a club in any spelling with all of its shapes,
    /// or with the shape that follows (`3-wood draw`).
    #[must_use]
    pub fn clubs_named(&self, text: &str) -> Vec<usize> {
        let text = text.trim();
        let fits = |club: &ClubShape| {
            let shaped = text
                .get(text.len().saturating_sub(club.shape.len())..)
                .filter(|end| !club.shape.is_empty() && end.eq_ignore_ascii_case(&club.shape))
                .map(|end| text[..text.len() - end.len()].trim_end_matches([' ', ',', '-']))
                .map(|rest| {
                    rest.strip_suffix(" your")
                        .unwrap_or(rest)
                        .trim_end_matches(',')
                });
            club::means(text, &club.club)
                || shaped.is_some_and(|rest| !rest.is_empty() && club::means(rest, &club.club))
        };
        let indices = 0..self.clubs.len();
        indices.filter(|&index| fits(&self.clubs[index])).collect()
    }
}
