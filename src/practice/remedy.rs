//! What a player may practise, and what it changes.

use crate::player::face::FaceAndStrike;
use crate::player::pattern::{ANGLE, AXIS, SPEED, SPIN, START};
use crate::player::{LaunchModel, Player};
use crate::strategy::whole::lie::Lie;
use crate::strategy::whole::simulation::Stroke;
use crate::units::YARD_M;

/// Scatter that is practised becomes this share of what it was: half of the balls are within a gate
/// before, six in ten after.
pub const TIGHTER: f64 = 0.8;
/// Mishits, and how far strikes are from the middle of the face, become this share.
pub const HALF: f64 = 0.5;
/// Putts are holed as by a player whose Handicap Index is so many strokes lower.
pub const LOWER: f64 = 5.0;
/// So much more carry with the longest club, m.
const LONGER_M: f64 = 10.0 * YARD_M;

/// From so far off the pin, m: chips up to here, pitches up to there, approaches beyond.
const CHIP_M: f64 = 30.0 * YARD_M;
const PITCH_M: f64 = 100.0 * YARD_M;

/// The parts of a game.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Tee shots on par 4s and par 5s.
    Tee,
    /// Everything else from beyond a hundred yards, sand left out.
    Approach,
    /// From thirty to a hundred yards, sand left out.
    Pitch,
    /// Within thirty yards and off the green, sand left out.
    Chip,
    /// From bunkers.
    Sand,
}

impl Part {
    /// Where a stroke belongs on a hole of this par.
    #[must_use]
    pub fn of(stroke: Stroke, par: u8) -> Self {
        if stroke.is_teed && par > 3 {
            Self::Tee
        } else if stroke.lie == Lie::Sand {
            Self::Sand
        } else if stroke.to_pin_m <= CHIP_M {
            Self::Chip
        } else if stroke.to_pin_m <= PITCH_M {
            Self::Pitch
        } else {
            Self::Approach
        }
    }
}

/// What may be practised.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remedy {
    /// Tee shots start straighter.
    TeeStart,
    /// They bend more alike.
    TeeBend,
    /// They go more alike in length.
    TeeDistance,
    /// Fewer of them are mishit.
    TeeMishits,
    /// Approaches start and bend more alike.
    ApproachDirection,
    /// They go more alike in length.
    ApproachDistance,
    /// Fewer of them are mishit.
    ApproachMishits,
    /// Pitches scatter less.
    Pitches,
    /// Bunker shots do.
    Sand,
    /// Chips do.
    Chips,
    /// More putts are holed.
    Putting,
    /// Strikes are nearer the middle of the face, with every club: their part of the scatter of bend,
    /// start and ball speed shrinks, their part of the average bend and start as well, and ball speed
    /// lost off the middle is won back.
    CentredStrike,
    /// The longest club carries ten yards more, the others in proportion.
    Longer,
}

impl Remedy {
    /// All of them.
    pub const ALL: [Self; 13] = [
        Self::TeeStart,
        Self::TeeBend,
        Self::TeeDistance,
        Self::TeeMishits,
        Self::ApproachDirection,
        Self::ApproachDistance,
        Self::ApproachMishits,
        Self::Pitches,
        Self::Sand,
        Self::Chips,
        Self::Putting,
        Self::CentredStrike,
        Self::Longer,
    ];

    /// The part of the game whose strokes it changes, where it moves no ball's usual flight: the plan
    /// stays what it was.
    #[must_use]
    pub fn part(self) -> Option<Part> {
        match self {
            Self::TeeStart | Self::TeeBend | Self::TeeDistance | Self::TeeMishits => {
                Some(Part::Tee)
            }
            Self::ApproachDirection | Self::ApproachDistance | Self::ApproachMishits => {
                Some(Part::Approach)
            }
            Self::Pitches => Some(Part::Pitch),
            Self::Sand => Some(Part::Sand),
            Self::Chips => Some(Part::Chip),
            Self::Putting | Self::CentredStrike | Self::Longer => None,
        }
    }

    /// Whether usual flights change, so that a new plan is made.
    #[must_use]
    pub fn is_planned_anew(self) -> bool {
        matches!(self, Self::CentredStrike | Self::Longer)
    }

    /// Whether it rests on the model of part swings, sand, chips and putts, by handicap and full
    /// swings, and not on logged shots.
    #[must_use]
    pub fn is_model(self) -> bool {
        matches!(
            self,
            Self::Pitches | Self::Sand | Self::Chips | Self::Putting
        )
    }

    /// The launches of a stroke that it changes.
    #[must_use]
    pub fn launches(self, model: &LaunchModel) -> LaunchModel {
        let mut model = model.clone();
        match self {
            Self::TeeStart => narrow(&mut model, &[START], TIGHTER),
            Self::TeeBend => narrow(&mut model, &[AXIS], TIGHTER),
            Self::ApproachDirection => narrow(&mut model, &[START, AXIS], TIGHTER),
            Self::TeeDistance | Self::ApproachDistance => {
                narrow(&mut model, &[SPEED, ANGLE, SPIN], TIGHTER);
            }
            Self::TeeMishits | Self::ApproachMishits => model.mishit_share *= HALF,
            Self::Pitches | Self::Sand | Self::Chips => model.widen([TIGHTER; 5]),
            Self::Putting | Self::CentredStrike | Self::Longer => {}
        }
        model
    }

    /// The player with it, of a remedy that is planned anew. `strikes` are, for each club, what its
    /// strike does to the bend, where logged. How much wider the player plays on a course stays.
    #[must_use]
    pub fn applied(self, player: &Player, strikes: &[Option<FaceAndStrike>]) -> Player {
        let there = player.course_play();
        let mut player = player.clone();
        player.course_play = Some(there);
        let longest_m = player.clubs.first().map_or(1.0, |club| club.carry_m);
        // Carry goes with speed to about the 1.6.
        let faster = ((longest_m + LONGER_M) / longest_m).powf(1.0 / 1.6);
        for (index, club) in player.clubs.iter_mut().enumerate() {
            match self {
                Self::Longer => {
                    club.launches.centre[SPEED] *= faster;
                    club.carry_m *= faster.powf(1.6);
                }
                Self::CentredStrike => {
                    if let Some(strike) = strikes.get(index).and_then(Option::as_ref) {
                        centre_strike(&mut club.launches, strike);
                    }
                }
                _ => {}
            }
        }
        player
    }
}

/// Standard deviations of some of the five made smaller, correlations kept.
fn narrow(model: &mut LaunchModel, which: &[usize], factor: f64) {
    model.widen(std::array::from_fn(|k| {
        if which.contains(&k) { factor } else { 1.0 }
    }));
}

/// Strikes half as far from the middle: so much of what the average strike adds to tilt and start goes,
/// and as its square what it takes of the variances and of the ball speed.
fn centre_strike(model: &mut LaunchModel, strike: &FaceAndStrike) {
    let (Some(per_mm), Some([at_mm, _])) = (strike.per_mm, strike.strike_mm) else {
        return;
    };
    let (gone, of_square) = (1.0 - HALF, 1.0 - HALF * HALF);
    let left = |share: f64| (1.0 - of_square * share).clamp(0.01, 1.0).sqrt();
    model.centre[AXIS] -= gone * per_mm.value * at_mm;
    narrow(model, &[AXIS], left(strike.shares[1]));
    if let Some(cost) = strike.strike_cost {
        model.centre[SPEED] += of_square * cost.speed_lost_m_s;
        model.centre[START] -= gone * cost.start_moved_deg;
        narrow(model, &[SPEED], left(cost.speed_share));
        narrow(model, &[START], left(cost.start_share));
    }
}

/// Whether a log tells what the strike does with any club.
#[must_use]
pub fn tells_of_strike(strikes: &[Option<FaceAndStrike>]) -> bool {
    let mut told = strikes.iter().flatten();
    told.any(|strike| strike.per_mm.is_some() && strike.strike_mm.is_some())
}
