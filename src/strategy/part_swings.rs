//! Part swings from a tee that a full swing goes too far from.
//!
//! A tee shot's club is an index into [`Player::clubs`]. On such a tee part swings of the
//! shortest club stand there after the full ones, so that they are searched, evaluated
//! and played out like any other. They launch as the partial swings of
//! [`swing`](super::whole::swing) do. Their distances cover the green about the pin
//! finely; the peg's depth does the rest.

use std::borrow::Cow;

use super::whole::lie::Lie;
use super::whole::swing::{applied, partial, partial_shares, short_clubs};
use crate::flight::Launch;
use crate::flight::level::{Flown, fly_level};
use crate::hole::{Coord, Hole, Surface, TeeingArea};
use crate::outcome::Day;
use crate::player::pattern::{ANGLE, AXIS, SPEED, SPIN, START};
use crate::player::{ClubShape, CoursePlay, LaunchModel, Player};
use crate::sample::points;
use crate::units::RPM_RAD_S;

/// Target distances run from so far short of the pin to as far past it, m, but not beyond the green
/// (practice).
const ABOUT_PIN_M: f64 = 10.0;
/// Both ends are moved out by this share of the distance, for wind (practice).
const FOR_WIND: f64 = 0.06;
/// Distances are so far apart, m, and at most so many: about half of what a pitch scatters in distance
/// (practice).
const APART_M: f64 = 3.4;
const MOST: usize = 8;
/// Steps along the way to the pin, and how far a green is looked along either way, m.
const STEP_M: f64 = 0.5;
const GREEN_M: f64 = 60.0;
/// Balls that say how far a part swing carries on average.
const CARRY_BALLS: usize = 1024;

/// The player with the part swings that this tee asks for; as the player is where it asks
/// for none.
#[must_use]
pub fn with_part_swings<'a>(
    player: &'a Player,
    hole: &Hole,
    tee: &TeeingArea,
    day: &Day,
) -> Cow<'a, Player> {
    let ([low_m, high_m], play) = (wanted_m(hole, tee), applied(player));
    let mut parts: Vec<ClubShape> = Vec::new();
    for club in short_clubs(player) {
        let full = &player.clubs[club];
        let drop_m = drop_m(hole, tee);
        parts.extend(part_swings((full, &play), [low_m, high_m], drop_m, day));
    }
    if parts.is_empty() {
        return Cow::Borrowed(player);
    }
    let mut player = player.clone();
    player.clubs.extend(parts);
    Cow::Owned(player)
}

/// Where the tee shot starts.
fn start(tee: &TeeingArea) -> Coord<f64> {
    tee.peg(tee.width_m() / 2.0, 0.0)
}

/// How much lower the pin is than the tee, m.
fn drop_m(hole: &Hole, tee: &TeeingArea) -> f64 {
    let (from, ground) = (start(tee), hole.ground());
    ground.height_m(from.x, from.y) - ground.height_m(hole.pin.x, hole.pin.y)
}

/// The shortest and the longest way that a ball is to go, m.
fn wanted_m(hole: &Hole, tee: &TeeingArea) -> [f64; 2] {
    let (from, pin) = (start(tee), hole.pin);
    let to_pin_m = (pin.x - from.x).hypot(pin.y - from.y);
    // Along a line that has no direction where the pin stands on the tee.
    let ahead = [(pin.x - from.x), (pin.y - from.y)].map(|part| part / to_pin_m.max(STEP_M));
    let green_m = |way: f64| {
        let steps = (1..=(GREEN_M / STEP_M) as usize).map(|step| step as f64 * STEP_M);
        steps
            .take_while(|on| {
                let at = Coord {
                    x: pin.x + way * on * ahead[0],
                    y: pin.y + way * on * ahead[1],
                };
                hole.surface_at(at) == Surface::Green
            })
            .last()
            .unwrap_or(0.0)
            .min(ABOUT_PIN_M)
    };
    let low_m = (to_pin_m - green_m(-1.0)) * (1.0 - FOR_WIND);
    let high_m = (to_pin_m + green_m(1.0)) * (1.0 + FOR_WIND);
    [low_m, high_m]
}

/// Part swings of a club that go so far, from long to short; none where the full swing
/// is no longer than the shortest of them.
fn part_swings(
    (full, play): (&ClubShape, &CoursePlay),
    [low_m, high_m]: [f64; 2],
    drop_m: f64,
    day: &Day,
) -> Vec<ClubShape> {
    // Nothing is flown for a tee that is far off.
    if low_m > 1.5 * full.carry_m.max(1.0) + drop_m.max(0.0) {
        return Vec::new();
    }
    let shares = partial_shares(&full.launches);
    let launches: Vec<Launch> = shares
        .iter()
        .map(|share| centre(&partial(full, *share, (play, Lie::Tee))))
        .collect();
    let reach_m: Vec<f64> = fly_level(&launches, &[], &day.air, &day.ball, day.firmness)
        .iter()
        .map(|flown| goes_m(flown, drop_m))
        .collect();
    let count = ((high_m - low_m) / APART_M)
        .ceil()
        .clamp(1.0, (MOST - 1) as f64) as usize;
    let mut chosen: Vec<f64> = (0..=count)
        .rev()
        .map(|k| low_m + (high_m - low_m) * k as f64 / count as f64)
        .filter_map(|wanted_m| share_for(&shares, &reach_m, wanted_m))
        .collect();
    chosen.dedup();
    chosen
        .into_iter()
        .map(|share| part((full, play), share, day))
        .collect()
}

/// The share of ball speed that goes so far, the slowest for all that is nearer; none for
/// what is further than the fastest goes. `shares` and how far they go are from long to short.
fn share_for(shares: &[f64], reach_m: &[f64], wanted_m: f64) -> Option<f64> {
    let first = reach_m.iter().position(|reach| *reach <= wanted_m);
    match first {
        Some(0) if reach_m[0] < wanted_m => None,
        Some(0) => Some(shares[0]),
        Some(at) => {
            let (long, short) = (reach_m[at - 1], reach_m[at]);
            let share = (wanted_m - short) / (long - short);
            Some(shares[at] + share * (shares[at - 1] - shares[at]))
        }
        None => shares.last().copied(),
    }
}

/// How far a ball goes to a place so much lower than level.
fn goes_m(flown: &Flown, drop_m: f64) -> f64 {
    let steep = flown.descent_deg.clamp(20.0, 80.0).to_radians().tan();
    (flown.total_m + drop_m / steep).max(0.0)
}

fn centre(model: &LaunchModel) -> Launch {
    Launch {
        ball_speed_m_s: model.centre[SPEED],
        launch_deg: model.centre[ANGLE],
        start_deg: model.centre[START],
        spin_rad_s: model.centre[SPIN] * RPM_RAD_S,
        axis_deg: model.centre[AXIS],
    }
}

/// A part swing as an entry of the player's clubs.
fn part((full, play): (&ClubShape, &CoursePlay), share: f64, day: &Day) -> ClubShape {
    let launches = partial(full, share, (play, Lie::Tee));
    let balls = launches.draw_all(&points(1, CARRY_BALLS));
    let flown = fly_level(&balls, &[], &day.air, &day.ball, day.firmness);
    let carry_m = flown.iter().map(|ball| ball.carry_m).sum::<f64>() / flown.len() as f64;
    ClubShape {
        launches,
        carry_m,
        // Path and face were logged of full swings.
        set_up: Default::default(),
        part_share: Some(share),
        ..full.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ways between two flown ones are between them; the ends are the ends.
    #[test]
    fn a_share_for_every_way() {
        let (shares, reach_m) = ([0.9, 0.6, 0.3], [90.0, 50.0, 10.0]);
        let of = |wanted_m| share_for(&shares, &reach_m, wanted_m);
        assert_eq!(of(91.0), None);
        assert_eq!(of(90.0), Some(0.9));
        assert!((of(70.0).expect("a share") - 0.75).abs() < 1e-12);
        assert!((of(10.0).expect("a share") - 0.3).abs() < 1e-12);
        assert_eq!(of(2.0), Some(0.3));
    }
}
