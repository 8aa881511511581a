//! One sentence to hit from.
//!
//! Three lines are kept apart: the aim, where the ball starts, where it ends.
//! Left and right are the field's, for left-handers as for right-handers; a
//! draw and a fade are the player's. The peg is given in tenths of the unit,
//! everything else in whole ones, which add up: aim, start and bend are where
//! the ball lands.

use super::bend::Bend;
use super::landmark::{Target, after_verb};
use super::{PartSwing, TwoWay};
use crate::player::Handedness;
use crate::units::LengthUnit;

/// A start this many whole units off the aim is the aim, and so small a bend is none.
pub(super) const SAME: i64 = 1;
/// Landing and end this many whole units apart from the middle are both said.
const LANDS_APART: i64 = 2;
/// Nearer than this, the peg is at the front or in the middle, m.
pub const AT_M: f64 = 0.15;
/// Nearer than this, it is at a marker, m.
pub const AT_MARKER_M: f64 = 0.5;

/// What "the middle" is on a shot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Centre {
    /// The middle of the fairway at the same distance.
    Fairway,
    /// The pin.
    Pin,
    /// The line of play, where there is no fairway.
    LineOfPlay,
}

impl Centre {
    /// The key used in the plan file.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Fairway => "fairway",
            Self::Pin => "pin",
            Self::LineOfPlay => "line of play",
        }
    }

    /// "of the middle"; `beside_another` where the middle of something else is spoken of.
    pub(super) fn of(self, beside_another: bool) -> &'static str {
        match self {
            Self::Fairway if beside_another => "of mid-fairway",
            Self::Fairway => "of the middle",
            Self::Pin => "of the pin",
            Self::LineOfPlay => "of the line of play",
        }
    }
}

/// What the sentence is made of. Lengths in metres, right positive.
#[derive(Clone, Copy, Debug)]
pub struct Shot<'a> {
    /// Club, as logged.
    pub club: &'a str,
    /// Shape, as logged.
    pub shape: &'a str,
    /// How much of a swing, where it is not a full one.
    pub part_swing: Option<PartSwing>,
    /// From the left marker, along the front line.
    pub from_left_m: f64,
    /// Behind the front line.
    pub behind_front_m: f64,
    /// Width of the teeing area.
    pub teeing_width_m: f64,
    /// What to aim at.
    pub target: &'a Target,
    /// Carry.
    pub carry_m: f64,
    /// What offsets are counted from.
    pub centre: Centre,
    /// The aim, right of the middle where the ball lands (at the pin on a par 3).
    pub aim_right_m: f64,
    /// Start direction of the usual ball, right of the aim, degrees.
    pub start_deg: f64,
    /// Bend of the usual ball from the start line.
    pub curve_m: f64,
    /// Which way the player stands.
    pub hand: Handedness,
    /// How many balls bend left and right of their start line.
    pub two_way: TwoWay,
    /// Whether neither way is the shape of the club.
    pub is_two_way: bool,
    /// The wind across the aim, m/s; positive pushes the ball right.
    pub cross_wind_m_s: f64,
    /// What the end is counted from.
    pub rest_centre: Centre,
    /// Where the usual ball ends, right of its middle.
    pub rest_right_m: f64,
}

/// What short grass off the green is called: a par 3 has no fairway, but a fringe.
#[must_use]
pub fn mown(par: u8) -> &'static str {
    if par == 3 { "fringe" } else { "fairway" }
}

/// A whole number of the unit.
#[must_use]
pub fn whole(metres: f64, unit: LengthUnit) -> i64 {
    #[allow(clippy::cast_possible_truncation)]
    let n = unit.of(metres).round().clamp(-1.0e6, 1.0e6) as i64;
    n
}

/// A whole length without its sign: "14 yd".
#[must_use]
pub fn length(metres: f64, unit: LengthUnit) -> String {
    format!("{} {}", whole(metres, unit).abs(), unit.name())
}

/// A height above the sea: "312 ft above the sea" with yards, "95 m above the sea".
#[must_use]
pub fn above_the_sea(altitude_m: f64, unit: LengthUnit) -> String {
    let (height, name) = match unit {
        LengthUnit::Yards => (3.0 * unit.of(altitude_m), "ft"),
        LengthUnit::Metres => (altitude_m, "m"),
    };
    match height.round() + 0.0 {
        0.0 => "at sea level".into(),
        height => format!("{height:.0} {name} above the sea"),
    }
}

/// "left" or "right".
#[must_use]
pub fn side(right: f64) -> &'static str {
    if right < 0.0 { "left" } else { "right" }
}

/// A club as it is spoken: `7i` is "7-iron", `3w` "3-wood", `pw` "pitching wedge".
#[must_use]
pub fn club(logged: &str) -> String {
    let plain = crate::diagnostic::printable(logged).trim().to_lowercase();
    match plain.as_str() {
        "d" | "dr" | "1w" => return "driver".into(),
        "pw" => return "pitching wedge".into(),
        "gw" | "aw" => return "gap wedge".into(),
        "sw" => return "sand wedge".into(),
        "lw" => return "lob wedge".into(),
        _ => {}
    }
    let digits: String = plain.chars().take_while(char::is_ascii_digit).collect();
    let kind = match plain[digits.len()..].trim_start_matches(['-', ' ', '_']) {
        "i" | "iron" => "iron",
        "w" | "wood" => "wood",
        "h" | "hybrid" => "hybrid",
        _ => return plain,
    };
    if digits.is_empty() {
        kind.into()
    } else {
        format!("{digits}-{kind}")
    }
}

/// Club and shape as spoken: "driver, your draw".
#[must_use]
pub fn club_and_shape(logged: &str, shape: &str) -> String {
    let shape = crate::diagnostic::printable(shape).trim().to_lowercase();
    let shape = match shape.as_str() {
        "" | "stock" | "normal" | "usual" => "usual shot".into(),
        "straight" => "straight ball".into(),
        "neutral" => "neutral shot".into(),
        "high" | "low" | "full" | "soft" => format!("{shape} shot"),
        _ => shape,
    };
    format!("{}, your {shape}", club(logged))
}

/// A part swing of more than this share of the full one's ball speed, about three
/// quarters of its carry, is a three-quarter (practice).
const THREE_QUARTER: f64 = 0.85;

/// What a part swing is called: "three-quarter", or "pitch" for less of a swing.
#[must_use]
pub fn swing(part: PartSwing) -> &'static str {
    if part.share > THREE_QUARTER {
        "three-quarter"
    } else {
        "pitch"
    }
}

/// A part swing as spoken, by what it carries: "pitch of 47 yd".
#[must_use]
pub fn part_swing(part: PartSwing, unit: LengthUnit) -> String {
    let of = if part.share > THREE_QUARTER {
        "for"
    } else {
        "of"
    };
    format!("{} {of} {}", swing(part), length(part.carry_m, unit))
}

/// A shot as spoken: "driver, your draw", "sand wedge, pitch of 47 yd".
#[must_use]
pub fn shot_name(logged: &str, shape: &str, part: Option<PartSwing>, unit: LengthUnit) -> String {
    match part {
        Some(part) => format!("{}, {}", club(logged), part_swing(part, unit)),
        None => club_and_shape(logged, shape),
    }
}

/// The first letter in upper case.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The sentence.
#[must_use]
pub fn sentence(shot: &Shot<'_>, unit: LengthUnit) -> String {
    let name = if shot.is_two_way && shot.part_swing.is_none() {
        format!("{}, two-way", club(shot.club))
    } else {
        shot_name(shot.club, shot.shape, shot.part_swing, unit)
    };
    format!(
        "{}. Peg {}. Aim {}; it {}.",
        capital(&name),
        peg(shot, unit),
        aim(shot, unit),
        flight(shot, unit),
    )
}

fn tenths(metres: f64, unit: LengthUnit) -> String {
    if !metres.is_finite() {
        return "–".into();
    }
    format!("{:.1} {}", unit.of(metres), unit.name())
}

/// A whole number and its side: "9 right".
fn aside(metres: f64, unit: LengthUnit) -> String {
    format!("{} {}", whole(metres, unit).abs(), side(metres))
}

/// Where across the teeing area: "by the right marker", "midway between the
/// markers", "1.5 yd in from the left marker".
#[must_use]
pub fn across(from_left_m: f64, teeing_width_m: f64, unit: LengthUnit) -> String {
    let from_right = teeing_width_m - from_left_m;
    let near = from_left_m.min(from_right);
    let marker = if from_left_m <= from_right {
        "left"
    } else {
        "right"
    };
    if near <= AT_MARKER_M {
        format!("by the {marker} marker")
    } else if (from_left_m - from_right).abs() <= 2.0 * AT_M {
        "midway between the markers".into()
    } else {
        format!("{} in from the {marker} marker", tenths(near, unit))
    }
}

/// The same in a table: "right", "middle", "1.5 yd in, left".
#[must_use]
pub fn across_short(from_left_m: f64, teeing_width_m: f64, unit: LengthUnit) -> String {
    let from_right = teeing_width_m - from_left_m;
    let near = from_left_m.min(from_right);
    let marker = side(from_left_m - from_right);
    if near <= AT_MARKER_M {
        marker.into()
    } else if (from_left_m - from_right).abs() <= 2.0 * AT_M {
        "middle".into()
    } else {
        format!("{} in, {marker}", tenths(near, unit))
    }
}

/// Behind the front of the teeing area: "1.1 yd back"; none at the front.
#[must_use]
pub fn back(behind_front_m: f64, unit: LengthUnit) -> Option<String> {
    (behind_front_m > AT_M).then(|| format!("{} back", tenths(behind_front_m, unit)))
}

/// Where to peg it: "by the right marker, 1.1 yd back".
#[must_use]
pub fn peg(shot: &Shot<'_>, unit: LengthUnit) -> String {
    let across = across(shot.from_left_m, shot.teeing_width_m, unit);
    match back(shot.behind_front_m, unit) {
        Some(back) => format!("{across}, {back}"),
        None => across,
    }
}

/// Where to aim: "at the lone tree, 9 right of the middle", "10 yd in from …".
#[must_use]
pub fn aim(shot: &Shot<'_>, unit: LengthUnit) -> String {
    let target = shot.target;
    let at = after_verb(&target.in_words(unit));
    // The words already count from the pin or from the line of play.
    let said = match shot.centre {
        Centre::Fairway => false,
        Centre::Pin => target.is_pin || !target.is_landmark,
        Centre::LineOfPlay => !target.is_landmark,
    };
    if said {
        return at;
    }
    match (whole(shot.aim_right_m, unit), shot.centre) {
        (0, Centre::Fairway) => format!("{at}, straight down the middle"),
        (0, Centre::Pin) => format!("{at}, in line with the pin"),
        (0, Centre::LineOfPlay) => format!("{at}, along the line of play"),
        _ => format!(
            "{at}, {} {}",
            aside(shot.aim_right_m, unit),
            shot.centre.of(names_a_middle(shot))
        ),
    }
}

/// Whether the aim is the middle of a thing, so that "the middle" alone is not the fairway's.
fn names_a_middle(shot: &Shot<'_>) -> bool {
    shot.target.is_landmark && shot.target.words.contains("middle")
}

/// How far beside the aim a ball starts, where it lands: "15 right"; none for a start
/// along it.
#[must_use]
pub fn start(carry_m: f64, start_deg: f64, unit: LengthUnit) -> Option<String> {
    let start_m = carry_m * start_deg.to_radians().tan();
    (whole(start_m, unit).abs() > SAME).then(|| aside(start_m, unit))
}

/// How the usual ball bends: ", draws 30", with what comes between it and the start.
fn bends(shot: &Shot<'_>, unit: LengthUnit) -> String {
    let bend = Bend {
        curve_m: shot.curve_m,
        shape: shot.shape,
        hand: shot.hand,
        cross_wind_m_s: shot.cross_wind_m_s,
    };
    let bends = bend.words(unit);
    match bend.held_up() {
        _ if shot.is_two_way => {
            let left = (100.0 * shot.two_way.left).round();
            let right = 100.0 - left;
            format!(", {left:.0} in 100 bend left and {right:.0} right, the usual ball {bends}")
        }
        Some(own) if whole(shot.curve_m, unit).abs() > SAME => {
            format!("; a {own}, held up by the wind: {bends}")
        }
        _ => format!(", {bends}"),
    }
}

/// What the usual ball does after its start: "draws 30, ends 4 left of the middle".
#[must_use]
pub fn after_start(shot: &Shot<'_>, unit: LengthUnit) -> String {
    let bend = Bend {
        curve_m: shot.curve_m,
        shape: shot.shape,
        hand: shot.hand,
        cross_wind_m_s: shot.cross_wind_m_s,
    };
    format!("{}{}", bend.words(unit), ends(shot, unit))
}

/// What the ball does: "starts 15 right of that, draws 30, ends 4 left of the middle".
#[must_use]
pub fn flight(shot: &Shot<'_>, unit: LengthUnit) -> String {
    let starts = match start(shot.carry_m, shot.start_deg, unit) {
        Some(aside) => format!("starts {aside} of that"),
        None => "starts there".to_string(),
    };
    format!("{starts}{}{}", bends(shot, unit), ends(shot, unit))
}

/// Where the ball ends, and where it lands if that is not the same: ", ends 4 left of the
/// middle".
fn ends(shot: &Shot<'_>, unit: LengthUnit) -> String {
    let start_m = shot.carry_m * shot.start_deg.to_radians().tan();
    let ends = match (whole(shot.rest_right_m, unit), shot.rest_centre) {
        (0, Centre::Fairway) => "ends in the middle".to_string(),
        (0, Centre::Pin) => "ends in line with the pin".into(),
        (0, Centre::LineOfPlay) => "ends on the line of play".into(),
        _ => format!(
            "ends {} {}",
            aside(shot.rest_right_m, unit),
            shot.rest_centre.of(names_a_middle(shot))
        ),
    };
    // Aim, start and bend, as they are said, add up to where the ball lands. Where
    // the middle has moved by the time it stops (a dogleg), or it runs off to one
    // side, both are said.
    let lands = whole(shot.aim_right_m, unit) + whole(start_m, unit) + whole(shot.curve_m, unit);
    let apart = lands - whole(shot.rest_right_m, unit);
    if shot.centre == shot.rest_centre && apart.abs() < LANDS_APART {
        return format!(", {ends}");
    }
    let lands = match lands {
        0 => match shot.centre {
            Centre::Fairway => "lands in the middle".to_string(),
            Centre::Pin => "lands in line with the pin".into(),
            Centre::LineOfPlay => "lands on the line of play".into(),
        },
        n => {
            let side = if n < 0 { "left" } else { "right" };
            if shot.centre == shot.rest_centre {
                format!("lands {} {side}", n.abs())
            } else {
                format!(
                    "lands {} {side} {}",
                    n.abs(),
                    shot.centre.of(names_a_middle(shot))
                )
            }
        }
    };
    format!(", {lands} and {ends}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::YARD_M;
    use geo::Coord;

    fn target(words: &str, right_deg: f64) -> Target {
        Target {
            at: Coord { x: 0.0, y: 0.0 },
            distance_m: 250.0,
            right_deg,
            words: words.into(),
            is_landmark: true,
            is_pin: words == "the pin",
            measured: None,
        }
    }

    /// The plan every other case below departs from.
    fn draw(target: &Target) -> Shot<'_> {
        Shot {
            club: "driver",
            shape: "draw",
            part_swing: None,
            from_left_m: 1.4,
            behind_front_m: 0.0,
            teeing_width_m: 8.0,
            target,
            carry_m: 220.0,
            centre: Centre::Fairway,
            aim_right_m: 9.0 * YARD_M,
            start_deg: 0.4,
            curve_m: -14.0 * YARD_M,
            hand: Handedness::Right,
            two_way: TwoWay {
                left: 0.97,
                right: 0.03,
            },
            is_two_way: false,
            cross_wind_m_s: 0.0,
            rest_centre: Centre::Fairway,
            rest_right_m: -4.0 * YARD_M,
        }
    }

    #[test]
    fn a_right_handers_draw() {
        let t = target("the right edge of the far bunker", 0.1);
        assert_eq!(
            sentence(&draw(&t), LengthUnit::Yards),
            "Driver, your draw. Peg 1.5 yd in from the left marker. Aim at the right edge of the \
             far bunker, 9 right of the middle; it starts 2 right of that, draws 14, ends 4 left \
             of the middle."
        );
        assert_eq!(
            sentence(&draw(&t), LengthUnit::Metres),
            "Driver, your draw. Peg 1.4 m in from the left marker. Aim at the right edge of the \
             far bunker, 8 right of the middle; it starts 2 right of that, draws 13, ends 4 left \
             of the middle."
        );
    }

    /// A left-hander's draw runs from left to right: the mirrored shot has the
    /// mirrored sentence, word for word.
    #[test]
    fn a_left_handers_draw() {
        let right = target("the right edge of the far bunker", 0.1);
        let left = target("the left edge of the far bunker", -0.1);
        let shot = draw(&right);
        let twin = Shot {
            from_left_m: shot.teeing_width_m - shot.from_left_m,
            target: &left,
            aim_right_m: -shot.aim_right_m,
            start_deg: -shot.start_deg,
            curve_m: -shot.curve_m,
            hand: Handedness::Left,
            rest_right_m: -shot.rest_right_m,
            ..shot
        };
        let swapped = sentence(&shot, LengthUnit::Yards)
            .replace("left", "·")
            .replace("right", "left")
            .replace('·', "right");
        assert_eq!(sentence(&twin, LengthUnit::Yards), swapped);
        assert_eq!(
            sentence(&twin, LengthUnit::Yards),
            "Driver, your draw. Peg 1.5 yd in from the right marker. Aim at the left edge of the \
             far bunker, 9 left of the middle; it starts 2 left of that, draws 14, ends 4 right \
             of the middle."
        );
    }

    /// 9 right, 2 for the start and 14 back make 3 left where it lands; then the
    /// fairway turns away.
    #[test]
    fn a_centre_that_moves_under_the_ball() {
        let t = target("the right edge of the far bunker", 0.1);
        let shot = Shot {
            rest_right_m: 6.0 * YARD_M,
            ..draw(&t)
        };
        assert!(
            sentence(&shot, LengthUnit::Yards).ends_with(
                "it starts 2 right of that, draws 14, lands 3 left and ends 6 right of the middle."
            ),
            "{}",
            sentence(&shot, LengthUnit::Yards)
        );
    }

    /// Start 2° right of the aim at 220 m is 7.68 m, 8 yd; it bends away.
    #[test]
    fn a_push_that_bends_away() {
        let t = target("the lone tree", 0.9);
        let shot = Shot {
            shape: "fade",
            from_left_m: 7.95,
            behind_front_m: 1.0,
            start_deg: 2.0,
            curve_m: 6.0 * YARD_M,
            rest_right_m: 23.0 * YARD_M,
            ..draw(&t)
        };
        // The tree is 0.9° right of the line: 3.93 m, 4 yd at 250 m.
        assert_eq!(
            sentence(&shot, LengthUnit::Yards),
            "Driver, your fade. Peg by the right marker, 1.1 yd back. Aim 4 left of the lone \
             tree, 9 right of the middle; it starts 8 right of that, fades 6, ends 23 right of \
             the middle."
        );
    }

    #[test]
    fn a_straight_iron_at_the_pin() {
        let t = target("the pin", 0.0);
        let shot = Shot {
            club: "7i",
            shape: "straight",
            from_left_m: 4.0,
            carry_m: 140.0,
            centre: Centre::Pin,
            aim_right_m: 0.0,
            curve_m: 0.5,
            rest_centre: Centre::Pin,
            rest_right_m: 2.0,
            ..draw(&t)
        };
        assert_eq!(
            sentence(&shot, LengthUnit::Yards),
            "7-iron, your straight ball. Peg midway between the markers. Aim at the pin; it \
             starts there, hardly bends, ends 2 right of the pin."
        );
        let edge = target("the left edge of the green", 0.0);
        let shot = Shot {
            target: &edge,
            aim_right_m: -11.0,
            start_deg: 0.0,
            curve_m: 0.0,
            rest_right_m: -10.0,
            ..shot
        };
        assert_eq!(
            sentence(&shot, LengthUnit::Metres),
            "7-iron, your straight ball. Peg midway between the markers. Aim at the left edge of \
             the green, 11 left of the pin; it starts there, hardly bends, ends 10 left of the \
             pin."
        );
    }

    /// 43 m are 47 yd.
    #[test]
    fn a_part_swing_by_what_it_carries() {
        let t = target("the pin", 0.0);
        let part_swing = Some(PartSwing {
            share: 0.6,
            carry_m: 43.0,
        });
        let shot = Shot {
            club: "sw",
            part_swing,
            ..draw(&t)
        };
        assert!(
            sentence(&shot, LengthUnit::Yards)
                .starts_with("Sand wedge, pitch of 47 yd. Peg 1.5 yd in")
        );
        assert!(
            sentence(&shot, LengthUnit::Metres)
                .starts_with("Sand wedge, pitch of 43 m. Peg 1.4 m in")
        );
        let longer = PartSwing {
            share: 0.9,
            carry_m: 80.0,
        };
        assert_eq!(
            super::part_swing(longer, LengthUnit::Metres),
            "three-quarter for 80 m"
        );
    }

    #[test]
    fn without_a_landmark() {
        let t = Target {
            is_landmark: false,
            ..target("14 yd in from the left edge of the fairway", 0.0)
        };
        let shot = Shot {
            aim_right_m: 0.2,
            rest_right_m: -12.0 * YARD_M,
            ..draw(&t)
        };
        assert_eq!(
            sentence(&shot, LengthUnit::Yards),
            "Driver, your draw. Peg 1.5 yd in from the left marker. Aim 14 yd in from the left \
             edge of the fairway, straight down the middle; it starts 2 right of that, draws 14, \
             ends 12 left of the middle."
        );
        let t = Target {
            is_landmark: false,
            ..target("the left edge of the fairway", 0.0)
        };
        assert!(
            sentence(&Shot { target: &t, ..shot }, LengthUnit::Yards)
                .contains("Aim at the left edge of the fairway, straight down the middle;")
        );
        let t = Target {
            is_landmark: false,
            ..target("9 yd right of the line of play", 0.0)
        };
        let shot = Shot {
            target: &t,
            centre: Centre::LineOfPlay,
            aim_right_m: 8.2,
            ..shot
        };
        assert!(
            sentence(&shot, LengthUnit::Yards).contains(
                "Aim 9 yd right of the line of play; it starts 2 right of that, draws 14"
            )
        );
    }

    /// "The middle" alone is the fairway's only where no other is spoken of.
    #[test]
    fn the_middle_of_a_thing_is_not_the_fairways() {
        let t = target("the middle of the far fairway bunker", 0.1);
        let shot = Shot {
            aim_right_m: -30.0 * YARD_M,
            rest_right_m: -12.0 * YARD_M,
            ..draw(&t)
        };
        let spoken = sentence(&shot, LengthUnit::Yards);
        assert!(
            spoken.contains("far fairway bunker, 30 left of mid-fairway;")
                && spoken.ends_with("12 left of mid-fairway."),
            "{spoken}"
        );
        let large = after_start(&draw(&target("the lone tree", 0.0)), LengthUnit::Yards);
        assert!(
            large.starts_with("draws ") && large.contains("ends "),
            "{large}"
        );
    }

    #[test]
    fn a_draw_held_up_by_the_wind() {
        let t = target("the right edge of the far bunker", 0.1);
        let shot = Shot {
            curve_m: 9.0 * YARD_M,
            cross_wind_m_s: 5.0,
            aim_right_m: -6.0 * YARD_M,
            rest_right_m: 5.0 * YARD_M,
            ..draw(&t)
        };
        let spoken = sentence(&shot, LengthUnit::Yards);
        assert!(
            spoken.ends_with(
                "6 left of the middle; it starts 2 right of that; a draw, held up by the wind: \
                 drifts 9 right, ends 5 right of the middle."
            ),
            "{spoken}"
        );
    }

    /// A club that goes either way has no shape, whatever the log calls it.
    #[test]
    fn a_two_way_club() {
        let t = target("the lone tree", 0.0);
        let shot = Shot {
            shape: "straight",
            two_way: TwoWay {
                left: 0.476,
                right: 0.524,
            },
            is_two_way: true,
            curve_m: 0.4,
            rest_right_m: 11.0 * YARD_M,
            ..draw(&t)
        };
        assert_eq!(
            sentence(&shot, LengthUnit::Yards),
            "Driver, two-way. Peg 1.5 yd in from the left marker. Aim at the lone tree, 9 right of \
             the middle; it starts 2 right of that, 48 in 100 bend left and 52 right, the usual \
             ball hardly bends, ends 11 right of the middle."
        );
    }

    /// The numbers of the sentence, right positive: the middle, the start from it, the
    /// bend and where it lands, or where it ends if that is the same within two.
    fn numbers(spoken: &str, hand: Handedness) -> [i64; 4] {
        let after = |from: &str, key: &str| -> i64 {
            let Some((_, rest)) = from.split_once(key) else {
                return 0;
            };
            let mut words = rest.split([' ', ',', ';', '.']).filter(|w| !w.is_empty());
            let Some(number) = words.next().and_then(|word| word.parse::<i64>().ok()) else {
                return 0;
            };
            if words.next() == Some("left") {
                -number
            } else {
                number
            }
        };
        #[allow(clippy::cast_possible_truncation)]
        let draws = -hand.sign() as i64;
        let (aim, rest) = spoken.split_once("; it").expect("two parts");
        let bend =
            after(rest, "draws ") * draws - after(rest, "fades ") * draws + after(rest, "drifts ");
        let end = if rest.contains("lands ") {
            after(rest, "lands ")
        } else {
            after(rest, "ends ")
        };
        [
            after(aim, "far bunker, "),
            after(rest, "starts "),
            bend,
            end,
        ]
    }

    proptest::proptest! {
        /// What the sentence says adds up, for either hand and in any wind.
        #[test]
        fn the_numbers_add_up(
            aim in -30.0_f64..30.0,
            start in -4.0_f64..4.0,
            curve in -40.0_f64..40.0,
            rest in -40.0_f64..40.0,
            cross in -8.0_f64..8.0,
            left in proptest::bool::ANY,
            shape in proptest::sample::select(vec!["draw", "fade", "stock", "straight"]),
        ) {
            let t = target("the far bunker", 0.0);
            let hand = if left { Handedness::Left } else { Handedness::Right };
            let shot = Shot {
                shape,
                hand,
                aim_right_m: aim,
                start_deg: start,
                curve_m: curve,
                cross_wind_m_s: cross,
                rest_right_m: rest,
                ..draw(&t)
            };
            for unit in [LengthUnit::Yards, LengthUnit::Metres] {
                let spoken = sentence(&shot, unit);
                let [aimed, started, bent, end] = numbers(&spoken, hand);
                proptest::prop_assert_eq!(aimed, whole(aim, unit), "{}", &spoken);
                // A unit each may hide in "starts there" and "hardly bends".
                let said = [("starts there", started), ("hardly bends", bent)];
                let hidden: i64 = said.iter().filter(|(w, _)| spoken.contains(w)).count() as i64;
                let within = hidden + if spoken.contains("lands ") { 0 } else { LANDS_APART - 1 };
                proptest::prop_assert!((aimed + started + bent - end).abs() <= within, "{}", &spoken);
                proptest::prop_assert!(bent == 0 || (bent < 0) == (curve < 0.0), "{}", &spoken);
            }
        }
    }

    #[test]
    fn clubs() {
        for (logged, spoken) in [
            ("driver", "driver"),
            ("7i", "7-iron"),
            ("3W", "3-wood"),
            ("4 hybrid", "4-hybrid"),
            ("pw", "pitching wedge"),
            ("é9", "é9"),
            ("", ""),
        ] {
            assert_eq!(club(logged), spoken);
        }
        assert_eq!(club_and_shape("5i", "stock"), "5-iron, your usual shot");
    }
}
