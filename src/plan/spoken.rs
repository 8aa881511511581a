//! A finished plan as its sentence is spoken from it.

use geo::Coord;

use super::Plan;
use super::landmark::Target;
use super::scene::turn_deg;
use super::sentence::{Centre, Shot};
use super::wind::cross_wind_m_s;

/// What `say` says of the plan's tee shot.
pub fn spoken<T>(plan: &Plan, say: impl FnOnce(&Shot<'_>) -> T) -> T {
    let shot = &plan.choice.shot;
    let aim = &shot.aim;
    let day = &plan.conditions;
    let centre = |key: &str| match key {
        "fairway" => Centre::Fairway,
        "pin" => Centre::Pin,
        _ => Centre::LineOfPlay,
    };
    let target = Target {
        at: Coord { x: 0.0, y: 0.0 },
        distance_m: aim.distance_m,
        right_deg: aim.target_right_deg,
        words: aim.words.clone(),
        is_landmark: aim.is_landmark,
        is_pin: aim.words == "the pin",
        measured: aim.measured.clone(),
    };
    say(&Shot {
        club: &shot.club,
        shape: &shot.shape,
        part_swing: shot.part_swing,
        from_left_m: shot.tee.from_left_marker_m,
        behind_front_m: shot.tee.behind_front_m,
        teeing_width_m: plan.hole.teeing_width_m,
        target: &target,
        carry_m: shot.carry_m,
        centre: centre(&aim.centre),
        aim_right_m: aim.right_of_centre_m,
        start_deg: turn_deg(shot.start_line.bearing_deg - aim.bearing_deg),
        curve_m: shot.curve_m,
        hand: plan.player.hand(),
        two_way: plan.choice.two_way_miss,
        is_two_way: plan.choice.is_two_way,
        cross_wind_m_s: cross_wind_m_s(day.wind_m_s, day.wind_from_deg, aim.bearing_deg),
        rest_centre: centre(&shot.rest_centre),
        rest_right_m: shot.rest_right_of_centre_m,
    })
}
