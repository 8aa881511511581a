//! One sentence to hit from.
//!
//! Three lines are kept apart: where the set-up points (the aim), where the
//! ball starts, where it finishes. Left and right are the field's, for
//! left-handers as for right-handers. The peg is told in tenths of the unit,
//! everything else in whole ones.

use super::PartSwing;
use super::landmark::Target;
use crate::units::LengthUnit;

/// A start line this close to the aim is the aim, degrees.
const SAME_LINE_DEG: f64 = 1.0;
/// A target further off the aim than this is not quite the aim, degrees.
const ON_TARGET_DEG: f64 = 0.35;
/// Landing and finish this many whole units apart from the centre are both said.
const LANDS_APART: i64 = 3;
/// Nearer than this, the peg is at the front or in the middle, m.
const AT_M: f64 = 0.15;
/// Nearer than this, it is at a marker, m.
const AT_MARKER_M: f64 = 0.5;

/// What "centre" is on a shot.
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

    fn of(self) -> &'static str {
        match self {
            Self::Fairway => "of centre",
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
    /// What to set up at.
    pub target: &'a Target,
    /// Carry.
    pub carry_m: f64,
    /// What offsets are counted from.
    pub centre: Centre,
    /// The set-up line, right of centre where the ball lands (at the pin on a par 3).
    pub aim_right_m: f64,
    /// Mean start direction, right of the set-up line, degrees.
    pub start_deg: f64,
    /// Mean bend from the start line.
    pub curve_m: f64,
    /// What the finish is counted from.
    pub rest_centre: Centre,
    /// Mean finish, right of its centre.
    pub rest_right_m: f64,
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

/// A part swing as spoken, by what it carries: "part swing for 47 yd".
#[must_use]
pub fn part_swing(part: PartSwing, unit: LengthUnit) -> String {
    format!("part swing for {}", length(part.carry_m, unit))
}

/// A shot as spoken: "driver, your draw", "sand wedge, part swing for 47 yd".
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
    format!(
        "{}. {}. {}; it {}.",
        capital(&shot_name(shot.club, shot.shape, shot.part_swing, unit)),
        peg(shot, unit),
        set_up(shot, unit),
        flight(shot, unit),
    )
}

fn tenths(metres: f64, unit: LengthUnit) -> String {
    format!("{:.1} {}", unit.of(metres), unit.name())
}

fn peg(shot: &Shot<'_>, unit: LengthUnit) -> String {
    let from_right = shot.teeing_width_m - shot.from_left_m;
    let near = shot.from_left_m.min(from_right);
    let marker = if shot.from_left_m <= from_right {
        "left"
    } else {
        "right"
    };
    let across = if near <= AT_MARKER_M {
        format!("Peg at the {marker} marker")
    } else if (shot.from_left_m - from_right).abs() <= 2.0 * AT_M {
        "Peg midway between the markers".into()
    } else {
        format!("Peg {} in from the {marker} marker", tenths(near, unit))
    };
    if shot.behind_front_m > AT_M {
        format!(
            "{across}, {} behind the front",
            tenths(shot.behind_front_m, unit)
        )
    } else {
        across
    }
}

fn set_up(shot: &Shot<'_>, unit: LengthUnit) -> String {
    let target = shot.target;
    // How far the line passes beside the target, there.
    let beside = -target.distance_m * target.right_deg.to_radians().tan();
    let exact = target.right_deg.abs() <= ON_TARGET_DEG || whole(beside, unit) == 0;
    let at = if !target.is_landmark {
        format!("Set up {}", target.words)
    } else if exact {
        format!("Set up at {}", target.words)
    } else {
        format!(
            "Set up {} {} of {}",
            length(beside, unit),
            side(beside),
            target.words
        )
    };
    let at = if !target.is_landmark && !target.words.starts_with(|c: char| c.is_ascii_digit()) {
        format!("Set up at {}", target.words)
    } else {
        at
    };
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
        (0, Centre::Fairway) => format!("{at}, over the centre of the fairway"),
        (0, Centre::Pin) => format!("{at}, in line with the pin"),
        (0, Centre::LineOfPlay) => format!("{at}, along the line of play"),
        _ => format!(
            "{at}, {} {} {}",
            length(shot.aim_right_m, unit),
            side(shot.aim_right_m),
            shot.centre.of()
        ),
    }
}

fn flight(shot: &Shot<'_>, unit: LengthUnit) -> String {
    let start_m = shot.carry_m * shot.start_deg.to_radians().tan();
    let (starts, from_centre) =
        if shot.start_deg.abs() <= SAME_LINE_DEG || whole(start_m, unit) == 0 {
            ("starts there".to_string(), shot.aim_right_m)
        } else {
            let there = format!("starts {} {} of that", length(start_m, unit), side(start_m));
            (there, shot.aim_right_m + start_m)
        };
    let bend = length(shot.curve_m, unit);
    let bends = if whole(shot.curve_m, unit).abs() <= 1 {
        "hardly bends".to_string()
    } else if whole(from_centre, unit).abs() <= 1 {
        format!("bends {bend} {}", side(shot.curve_m))
    } else if (from_centre < 0.0) == (shot.curve_m < 0.0) {
        format!("bends {bend} further {}", side(shot.curve_m))
    } else {
        format!("bends {bend} back")
    };
    let finishes = match (whole(shot.rest_right_m, unit), shot.rest_centre) {
        (0, Centre::Fairway) => "finishes in the centre".to_string(),
        (0, Centre::Pin) => "finishes on the pin's line".into(),
        (0, Centre::LineOfPlay) => "finishes on the line of play".into(),
        _ => format!(
            "finishes {} {} {}",
            length(shot.rest_right_m, unit),
            side(shot.rest_right_m),
            shot.rest_centre.of()
        ),
    };
    // Aim, start and bend add up where the ball lands. Where the centre has moved
    // by the time it stops (a dogleg), or it runs off to one side, say both.
    let landed_m = shot.aim_right_m + start_m + shot.curve_m;
    let apart = whole(landed_m, unit) - whole(shot.rest_right_m, unit);
    if shot.centre == shot.rest_centre && apart.abs() >= LANDS_APART {
        let lands = match whole(landed_m, unit) {
            0 => "lands on it".to_string(),
            _ => format!("lands {} {}", length(landed_m, unit), side(landed_m)),
        };
        return format!("{starts}, {bends}, {lands} and {finishes}");
    }
    format!("{starts}, {bends} and {finishes}")
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
            rest_centre: Centre::Fairway,
            rest_right_m: -4.0 * YARD_M,
        }
    }

    #[test]
    fn a_right_handers_draw() {
        let t = target("the right edge of the far bunker", 0.1);
        assert_eq!(
            sentence(&draw(&t), LengthUnit::Yards),
            "Driver, your draw. Peg 1.5 yd in from the left marker. Set up at the right edge of \
             the far bunker, 9 yd right of centre; it starts there, bends 14 yd back and finishes \
             4 yd left of centre."
        );
        assert_eq!(
            sentence(&draw(&t), LengthUnit::Metres),
            "Driver, your draw. Peg 1.4 m in from the left marker. Set up at the right edge of \
             the far bunker, 8 m right of centre; it starts there, bends 13 m back and finishes \
             4 m left of centre."
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
            "Driver, your draw. Peg 1.5 yd in from the right marker. Set up at the left edge of \
             the far bunker, 9 yd left of centre; it starts there, bends 14 yd back and finishes \
             4 yd right of centre."
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
                "it starts there, bends 14 yd back, lands 3 yd left and finishes 6 yd right of \
                 centre."
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
            "Driver, your fade. Peg at the right marker, 1.1 yd behind the front. Set up 4 yd \
             left of the lone tree, 9 yd right of centre; it starts 8 yd right of that, bends 6 \
             yd further right and finishes 23 yd right of centre."
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
            "7-iron, your straight ball. Peg midway between the markers. Set up at the pin; it \
             starts there, hardly bends and finishes 2 yd right of the pin."
        );
        let edge = target("the left edge of the green", 0.0);
        let shot = Shot {
            target: &edge,
            aim_right_m: -11.0,
            curve_m: 0.0,
            rest_right_m: -10.0,
            ..shot
        };
        assert_eq!(
            sentence(&shot, LengthUnit::Metres),
            "7-iron, your straight ball. Peg midway between the markers. Set up at the left edge \
             of the green, 11 m left of the pin; it starts there, hardly bends and finishes 10 m \
             left of the pin."
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
                .starts_with("Sand wedge, part swing for 47 yd. Peg 1.5 yd in")
        );
        assert!(
            sentence(&shot, LengthUnit::Metres)
                .starts_with("Sand wedge, part swing for 43 m. Peg 1.4 m in")
        );
    }

    #[test]
    fn without_a_landmark() {
        let t = Target {
            is_landmark: false,
            ..target("14 paces in from the left edge of the fairway", 0.0)
        };
        let shot = Shot {
            aim_right_m: 0.2,
            rest_right_m: -12.0 * YARD_M,
            ..draw(&t)
        };
        assert_eq!(
            sentence(&shot, LengthUnit::Yards),
            "Driver, your draw. Peg 1.5 yd in from the left marker. Set up 14 paces in from the \
             left edge of the fairway, over the centre of the fairway; it starts there, bends 14 \
             yd left and finishes 12 yd left of centre."
        );
        let t = Target {
            is_landmark: false,
            ..target("the left edge of the fairway", 0.0)
        };
        assert!(
            sentence(&Shot { target: &t, ..shot }, LengthUnit::Yards)
                .contains("Set up at the left edge of the fairway, over")
        );
        let t = Target {
            is_landmark: false,
            ..target("9 paces right of the line of play", 0.0)
        };
        let shot = Shot {
            target: &t,
            centre: Centre::LineOfPlay,
            aim_right_m: 8.2,
            ..shot
        };
        assert!(sentence(&shot, LengthUnit::Yards).contains(
            "Set up 9 paces right of the line of play; it starts there, bends 14 yd back"
        ));
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
