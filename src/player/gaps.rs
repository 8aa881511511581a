//! Distances that no club of a bag is for.
//!
//! Practice: neighbouring clubs of a full bag carry 10 to 20 yd apart. More than
//! `WIDEST_M` between two neighbours is a gap, and a bag without a wedge has one
//! at its short end: every short swing is then made with a club that is not for it.

use super::club::{Club, Family};
use super::pattern::ANGLE;
use super::{ClubShape, Player};
use crate::units::YARD_M;

/// Neighbouring carries further apart than this leave a gap, m.
const WIDEST_M: f64 = 35.0 * YARD_M;
/// A club that launches lower than this is no wedge, degrees (practice).
pub const WEDGE_LAUNCH_DEG: f64 = 22.0;
/// What is looked through for a club that would fill a gap.
const USUAL: [&str; 13] = [
    "3w", "5w", "4h", "4i", "5i", "6i", "7i", "8i", "9i", "pw", "gw", "sw", "lw",
];
/// What would fill the short end.
const WEDGE: &str = "sw";

/// No club carries between these two.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// The longer club, as logged.
    pub longer: String,
    /// The next shorter one, as logged.
    pub shorter: String,
    /// Carry of the longer, m.
    pub from_m: f64,
    /// Carry of the shorter, m.
    pub to_m: f64,
}

/// What a bag lacks.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Gaps {
    /// Gaps between neighbours, from long to short.
    pub between: Vec<Gap>,
    /// The shortest club, as logged, where no club is a wedge.
    pub no_wedge: Option<String>,
    /// Clubs that would fill them, as `--fill` takes them.
    pub fill: Vec<&'static str>,
}

impl Gaps {
    /// Whether the bag lacks nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.between.is_empty() && self.no_wedge.is_none()
    }

    /// What a player's bag lacks.
    #[must_use]
    pub fn of(player: &Player) -> Self {
        let mut clubs: Vec<&ClubShape> = player.clubs.iter().collect();
        clubs.sort_by(|a, b| b.carry_m.total_cmp(&a.carry_m));
        let mut gaps = Self::default();
        for pair in clubs.windows(2) {
            let (longer, shorter) = (pair[0], pair[1]);
            if longer.carry_m - shorter.carry_m > WIDEST_M {
                gaps.between.push(Gap {
                    longer: longer.club.clone(),
                    shorter: shorter.club.clone(),
                    from_m: longer.carry_m,
                    to_m: shorter.carry_m,
                });
                gaps.fill.extend(between(longer, shorter));
            }
        }
        if !clubs.iter().any(|club| is_wedge(club)) {
            if let Some(shortest) = clubs.last() {
                gaps.no_wedge = Some(shortest.club.clone());
                // The wedge itself may leave a gap above it.
                gaps.fill.extend(between(shortest, &wedge_beside(shortest)));
            }
            gaps.fill.push(WEDGE);
        }
        gaps
    }
}

fn is_wedge(club: &ClubShape) -> bool {
    let kind = Club::of(&club.club);
    if kind.known {
        kind.family == Family::Wedge
    } else {
        club.launches.centre[ANGLE] > WEDGE_LAUNCH_DEG
    }
}

/// The wedge that would fill the short end, by what it usually carries beside a club.
fn wedge_beside(club: &ClubShape) -> ClubShape {
    let share = Club::of(WEDGE).strong_carry_m() / Club::of(&club.club).strong_carry_m();
    ClubShape {
        club: WEDGE.to_owned(),
        carry_m: share * club.carry_m,
        ..club.clone()
    }
}

/// As many usual clubs as leave no gap between two, the carries of a strong player's in
/// between; none where the names of the two do not say what lies between them.
fn between(longer: &ClubShape, shorter: &ClubShape) -> Vec<&'static str> {
    let (long, short) = (Club::of(&longer.club), Club::of(&shorter.club));
    let (from_m, to_m) = (long.strong_carry_m(), short.strong_carry_m());
    let gap_m = longer.carry_m - shorter.carry_m;
    if !long.known || !short.known || gap_m <= WIDEST_M {
        return Vec::new();
    }
    let parts = (gap_m / WIDEST_M).ceil().clamp(2.0, USUAL.len() as f64) as usize;
    let mut found: Vec<&'static str> = Vec::new();
    for part in 1..parts {
        let wanted_m = from_m + (to_m - from_m) * part as f64 / parts as f64;
        let off = |name: &str| (Club::of(name).strong_carry_m() - wanted_m).abs();
        let inside = |name: &str| {
            let carry_m = Club::of(name).strong_carry_m();
            carry_m < from_m && carry_m > to_m
        };
        let best = USUAL
            .into_iter()
            .filter(|name| inside(name) && !found.contains(name))
            .min_by(|a, b| off(a).total_cmp(&off(b)));
        found.extend(best);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::player::{Basis, Handedness, LaunchModel};

    fn bag(clubs: &[(&str, f64)]) -> Player {
        let club = |(name, carry_yd): &(&str, f64)| ClubShape {
            club: (*name).to_owned(),
            shape: "stock".to_owned(),
            launches: LaunchModel {
                centre: [55.0, 15.0, 0.0, 5000.0, 0.0],
                scale: [[0.0; 5]; 5],
                dof: 8.0,
                mishit_share: 0.0,
                handedness: Handedness::Right,
            },
            shots: 30,
            basis: Basis::Given,
            carry_m: carry_yd * YARD_M,
            set_up: Default::default(),
            part_share: None,
        };
        Player {
            name: String::new(),
            handedness: Handedness::Right,
            handicap: 12.0,
            club_length_m: 1.143,
            clubs: clubs.iter().map(club).collect(),
            ball: Default::default(),
            notes: Vec::new(),
            course_play: None,
            log: None,
        }
    }

    /// Fifty-five yards between two clubs, and no wedge below them. Of a strong player's 192 and
    /// 158 yd the middle is 175, which 170 yd of a 7-iron are nearest to; a sand wedge goes some
    /// 46 yd less far than this 8-iron, and a pitching wedge lies between.
    #[test]
    fn three_clubs_leave_gaps() {
        let gaps = Gaps::of(&bag(&[("driver", 225.0), ("5i", 195.0), ("8i", 140.0)]));
        assert_eq!(gaps.between.len(), 1);
        assert_eq!(gaps.between[0].longer, "5i");
        assert_eq!(gaps.no_wedge.as_deref(), Some("8i"));
        assert_eq!(gaps.fill, ["7i", "pw", "sw"]);
    }

    /// A hundred yards want two clubs; a club of an unknown name says nothing of them.
    #[test]
    fn a_wide_gap_takes_several_clubs() {
        let wide = Gaps::of(&bag(&[("driver", 250.0), ("9i", 150.0), ("sw", 120.0)]));
        assert_eq!(wide.fill.len(), 2, "{wide:?}");
        let unknown = Gaps::of(&bag(&[("old faithful", 250.0), ("pw", 150.0)]));
        assert_eq!((unknown.between.len(), unknown.fill.len()), (1, 0));
    }

    #[test]
    fn neighbours_leave_none() {
        let full = bag(&[("7i", 160.0), ("9i", 130.0), ("pw", 118.0), ("54", 95.0)]);
        assert!(Gaps::of(&full).is_empty());
    }
}
