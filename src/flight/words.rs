//! A delivery in a coach's words.
//!
//! Left and right are those of the aim for everybody; *closed*, *open*, *draw*,
//! *fade*, *toe* and *in to out* are those of the player's own hand. A number
//! and its unit are held together by a no-break space.

use super::Launch;
use super::impact::Delivery;
use super::level::Flown;
use crate::units::{LengthUnit, MPH_M_S, RPM_RAD_S};

/// Below this an angle counts as none, degrees; it would print as 0.0.
const NO_ANGLE_DEG: f64 = 0.05;
/// Below this a length across counts as none, m.
const NO_SIDE_M: f64 = 0.5;
/// Below this a strike counts as central, mm.
const NO_STRIKE_MM: f64 = 0.5;

/// How to speak: whose hand, which unit.
#[derive(Clone, Copy, Debug)]
pub struct Speech {
    /// True for a player who plays left-handed.
    pub left_handed: bool,
    /// The unit of lengths.
    pub unit: LengthUnit,
}

/// A delivery with its launch and its flight.
#[derive(Clone, Copy, Debug)]
pub struct Shot<'a> {
    /// How the club came; none where only the launch is known.
    pub delivery: Option<&'a Delivery>,
    /// How the ball left.
    pub launch: &'a Launch,
    /// What it did.
    pub flown: &'a Flown,
    /// What the same delivery does from the middle of the face.
    pub centred: Option<&'a Flown>,
}

impl Speech {
    /// +1 where right is the toe's side, −1 where it is the heel's.
    fn hand(self) -> f64 {
        if self.left_handed { -1.0 } else { 1.0 }
    }

    /// "12 yd".
    fn length(self, metres: f64) -> String {
        format!(
            "{:.0}\u{a0}{}",
            self.unit.of(metres.abs()),
            self.unit.name()
        )
    }

    /// "draw" or "fade".
    fn bend(self, right_m: f64) -> &'static str {
        if right_m * self.hand() < 0.0 {
            "draw"
        } else {
            "fade"
        }
    }

    fn closed(self, face_right_deg: f64) -> &'static str {
        if face_right_deg * self.hand() < 0.0 {
            "closed"
        } else {
            "open"
        }
    }

    /// "10 mm towards the toe and 4 mm low"; none in the middle.
    fn strike(self, delivery: &Delivery) -> Option<String> {
        let toe_mm = delivery.strike_right_mm * self.hand();
        let mut parts = Vec::new();
        if toe_mm.abs() >= NO_STRIKE_MM {
            let end = if toe_mm > 0.0 { "toe" } else { "heel" };
            parts.push(format!("{:.0}\u{a0}mm towards the {end}", toe_mm.abs()));
        }
        let high_mm = delivery.strike_high_mm;
        if high_mm.abs() >= NO_STRIKE_MM {
            let end = if high_mm > 0.0 { "high" } else { "low" };
            parts.push(format!("{:.0}\u{a0}mm {end}", high_mm.abs()));
        }
        (!parts.is_empty()).then(|| parts.join(" and "))
    }

    /// The flight in a few words: "Starts 1.6° right, draws 38 yd".
    #[must_use]
    pub fn title(self, shot: &Shot<'_>) -> String {
        let start_deg = shot.launch.start_deg;
        let curve_m = shot.flown.curve_m;
        let start = if start_deg.abs() < NO_ANGLE_DEG {
            "Starts on the aim".to_owned()
        } else {
            format!("Starts {}", angle(start_deg))
        };
        if curve_m.abs() < NO_SIDE_M {
            return format!("{start}, hardly bends");
        }
        format!("{start}, {}s {}", self.bend(curve_m), self.length(curve_m))
    }

    /// What the ball does, in sentences.
    #[must_use]
    pub fn say(self, shot: &Shot<'_>) -> Vec<String> {
        let mut lines = Vec::new();
        if let Some(delivery) = shot.delivery {
            lines.push(self.meeting(delivery));
        }
        lines.push(self.ball(shot));
        if let (Some(delivery), Some(centred)) = (shot.delivery, shot.centred)
            && let Some(place) = self.strike(delivery)
        {
            lines.push(self.cost_of_strike(&place, shot.flown, centred));
        }
        lines
    }

    /// "The path is 4.0° right of the aim, in to out; the face looks 1.0° right
    /// of the aim: 3.0° closed to the path."
    fn meeting(self, delivery: &Delivery) -> String {
        let path = if delivery.path_deg.abs() < NO_ANGLE_DEG {
            "The path is straight along the aim".to_owned()
        } else {
            let way = if delivery.path_deg * self.hand() > 0.0 {
                "in to out"
            } else {
                "out to in"
            };
            format!("The path is {} of the aim, {way}", angle(delivery.path_deg))
        };
        let looks = if delivery.face_deg.abs() < NO_ANGLE_DEG {
            "the face looks along the aim".to_owned()
        } else {
            format!("the face looks {} of the aim", angle(delivery.face_deg))
        };
        let to_path = delivery.face_to_path_deg();
        let relation = if to_path.abs() < NO_ANGLE_DEG {
            "square to the path".to_owned()
        } else {
            format!("{:.1}° {} to the path", to_path.abs(), self.closed(to_path))
        };
        format!("{path}; {looks}: {relation}.")
    }

    /// "The ball starts 1.5° right of the aim, 2.5° left of the path, draws
    /// 23 yd and lands 16 yd left of the aim."
    fn ball(self, shot: &Shot<'_>) -> String {
        let flown = shot.flown;
        let start_deg = shot.launch.start_deg;
        let mut parts = Vec::new();
        let mut start = if start_deg.abs() < NO_ANGLE_DEG {
            "starts on the aim".to_owned()
        } else {
            format!("starts {} of the aim", angle(start_deg))
        };
        if let Some(delivery) = shot.delivery {
            let from_path = start_deg - delivery.path_deg;
            if from_path.abs() >= NO_ANGLE_DEG && delivery.path_deg.abs() >= NO_ANGLE_DEG {
                start.push_str(&format!(", {} of the path", angle(from_path)));
            }
        }
        parts.push(start);
        let bends = flown.curve_m.abs() >= NO_SIDE_M;
        let over = start_deg * flown.landing_side_m < 0.0
            && start_deg.abs() >= NO_ANGLE_DEG
            && flown.landing_side_m.abs() >= NO_SIDE_M;
        if bends {
            parts.push(format!(
                "{}s {}",
                self.bend(flown.curve_m),
                self.length(flown.curve_m)
            ));
        } else {
            parts.push("hardly bends".to_owned());
        }
        let lands = if flown.landing_side_m.abs() < NO_SIDE_M {
            "lands on the aim line".to_owned()
        } else if over {
            format!(
                "lands across the aim line, {} {} of it",
                self.length(flown.landing_side_m),
                side(flown.landing_side_m)
            )
        } else {
            format!(
                "lands {} {} of the aim line",
                self.length(flown.landing_side_m),
                side(flown.landing_side_m)
            )
        };
        format!(
            "The ball {}, {} and {lands}. It carries {}, climbs {} and comes to rest {} away.",
            parts[0],
            parts[1],
            self.length(flown.carry_m),
            self.length(flown.apex_m),
            self.length(flown.total_m)
        )
    }

    /// What the strike did, beside the same delivery from the middle.
    fn cost_of_strike(self, place: &str, flown: &Flown, centred: &Flown) -> String {
        format!(
            "It is caught {place} of the middle; from the middle the same swing would have {}.",
            joined(&self.differences(flown, centred, Tense::Perfect))
        )
    }

    /// The second delivery beside the first: "With the face 2.0° more closed
    /// the ball starts 1.6° further left, …".
    #[must_use]
    pub fn compare(self, first: &Shot<'_>, second: &Shot<'_>) -> String {
        let what = match (first.delivery, second.delivery) {
            (Some(a), Some(b)) => self.changes(a, b),
            _ => Vec::new(),
        };
        let does = self.differences(first.flown, second.flown, Tense::Present);
        if what.is_empty() {
            return format!("Beside the first, the ball {}.", joined(&does));
        }
        format!("With {} the ball {}.", joined(&what), joined(&does))
    }

    /// What the second club does differently.
    fn changes(self, a: &Delivery, b: &Delivery) -> Vec<String> {
        let mut list = Vec::new();
        let speed = b.club_speed_m_s - a.club_speed_m_s;
        let (speed, name) = match self.unit {
            LengthUnit::Yards => (speed / MPH_M_S, "mph"),
            LengthUnit::Metres => (speed, "m/s"),
        };
        if speed.abs() >= 0.05 {
            let more = if speed > 0.0 { "more" } else { "less" };
            list.push(format!("{:.1}\u{a0}{name} {more} club speed", speed.abs()));
        }
        let face = b.face_deg - a.face_deg;
        if face.abs() >= NO_ANGLE_DEG {
            list.push(format!(
                "the face {:.1}° more {}",
                face.abs(),
                self.closed(face)
            ));
        }
        let path = b.path_deg - a.path_deg;
        if path.abs() >= NO_ANGLE_DEG {
            let way = if path * self.hand() > 0.0 {
                "from the inside"
            } else {
                "from the outside"
            };
            list.push(format!("the path {:.1}° more {way}", path.abs()));
        }
        let attack = b.attack_deg - a.attack_deg;
        if attack.abs() >= NO_ANGLE_DEG {
            let way = if attack > 0.0 { "upwards" } else { "downwards" };
            list.push(format!("an attack {:.1}° more {way}", attack.abs()));
        }
        let loft = b.dynamic_loft_deg - a.dynamic_loft_deg;
        if loft.abs() >= NO_ANGLE_DEG {
            let more = if loft > 0.0 { "more" } else { "less" };
            list.push(format!("{:.1}° {more} loft", loft.abs()));
        }
        let across = (b.strike_right_mm - a.strike_right_mm).abs() >= NO_STRIKE_MM;
        if across || (b.strike_high_mm - a.strike_high_mm).abs() >= NO_STRIKE_MM {
            list.push(match self.strike(b) {
                Some(place) => format!("the strike {place} of the middle"),
                None => "the strike in the middle".to_owned(),
            });
        }
        list
    }

    /// What `b` does that `a` does not: "starts 1.6° further left", or "started
    /// 1.6° further left" for use after "would have".
    fn differences(self, a: &Flown, b: &Flown, tense: Tense) -> Vec<String> {
        let mut list = Vec::new();
        let start = b.start_deg - a.start_deg;
        if start.abs() >= NO_ANGLE_DEG {
            let starts = tense.of("starts", "started");
            list.push(format!(
                "{starts} {:.1}° further {}",
                start.abs(),
                side(start)
            ));
        }
        let none = |m: f64| m.abs() < NO_SIDE_M;
        if !none(b.curve_m - a.curve_m) {
            list.push(self.other_bend(a.curve_m, b.curve_m, tense));
        }
        let carry = b.carry_m - a.carry_m;
        if !none(carry) {
            let carries = tense.of("carries", "carried");
            let word = if carry > 0.0 { "further" } else { "less" };
            list.push(format!("{carries} {} {word}", self.length(carry)));
        }
        let across = b.landing_side_m - a.landing_side_m;
        if !none(across) {
            let lands = tense.of("lands", "landed");
            list.push(format!(
                "{lands} {} further {}",
                self.length(across),
                side(across)
            ));
        }
        if list.is_empty() {
            list.push(tense.of("does the same", "done the same").to_owned());
        }
        list
    }

    /// A bend of `b` m beside one of `a`, right positive.
    fn other_bend(self, a: f64, b: f64, tense: Tense) -> String {
        let none = |m: f64| m.abs() < NO_SIDE_M;
        if none(b) {
            return tense.of("hardly bends", "hardly bent").to_owned();
        }
        let bends = match self.bend(b) {
            "draw" => tense.of("draws", "drawn"),
            _ => tense.of("fades", "faded"),
        };
        if none(a) {
            return format!("{bends} {}", self.length(b));
        }
        if a * b > 0.0 {
            let more = b.abs() - a.abs();
            let word = if more > 0.0 { "more" } else { "less" };
            return format!("{bends} {} {word}", self.length(more));
        }
        let other = match (self.bend(a), tense) {
            ("draw", Tense::Present) => "the first draws",
            (_, Tense::Present) => "the first fades",
            ("draw", Tense::Perfect) => "it now draws",
            (_, Tense::Perfect) => "it now fades",
        };
        format!(
            "{bends} {} where {other} {}",
            self.length(b),
            self.length(a)
        )
    }
}

/// Whether something is, or would have been.
#[derive(Clone, Copy)]
enum Tense {
    Present,
    Perfect,
}

impl Tense {
    fn of(self, present: &'static str, past: &'static str) -> &'static str {
        match self {
            Self::Present => present,
            Self::Perfect => past,
        }
    }
}

/// How the ball leaves, in a line: "ball speed 167 mph, launch 10.9°, spin 2690 rpm".
#[must_use]
pub fn launch_line(launch: &Launch, unit: LengthUnit) -> String {
    let (speed, name) = match unit {
        LengthUnit::Yards => (launch.ball_speed_m_s / MPH_M_S, "mph"),
        LengthUnit::Metres => (launch.ball_speed_m_s, "m/s"),
    };
    format!(
        "ball speed {speed:.0} {name}, launch {:.1}°, spin {:.0} rpm",
        launch.launch_deg,
        launch.spin_rad_s / RPM_RAD_S
    )
}

/// "1.5° left".
fn angle(right_deg: f64) -> String {
    format!("{:.1}° {}", right_deg.abs(), side(right_deg))
}

fn side(right: f64) -> &'static str {
    if right < 0.0 { "left" } else { "right" }
}

/// "a, b and c".
fn joined(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flight::level::fly_level;
    use crate::flight::{Air, Ball, ClubHead, Firmness, Weather, strike};

    fn swing(path_deg: f64, face_deg: f64, strike_right_mm: f64) -> Delivery {
        Delivery {
            club_speed_m_s: 50.0,
            attack_deg: 2.0,
            path_deg,
            face_deg,
            dynamic_loft_deg: 14.0,
            strike_right_mm,
            strike_high_mm: 0.0,
        }
    }

    struct Flight {
        delivery: Delivery,
        launch: Launch,
        flown: [Flown; 2],
    }

    fn flight(delivery: Delivery) -> Flight {
        let centred = Delivery {
            strike_right_mm: 0.0,
            strike_high_mm: 0.0,
            ..delivery
        };
        let launches = [delivery, centred].map(|d| strike(&d, &ClubHead::driver()));
        let air = Air::of(&Weather::default(), 0.03);
        let flown = fly_level(&launches, &[], &air, &Ball::modern(), Firmness::Medium);
        Flight {
            delivery,
            launch: launches[0],
            flown: [flown[0], flown[1]],
        }
    }

    impl Flight {
        fn shot(&self) -> Shot<'_> {
            Shot {
                delivery: Some(&self.delivery),
                launch: &self.launch,
                flown: &self.flown[0],
                centred: Some(&self.flown[1]),
            }
        }
    }

    fn speech(left_handed: bool) -> Speech {
        Speech {
            left_handed,
            unit: LengthUnit::Yards,
        }
    }

    /// A left-hander's swing is the mirror image, and so are the words: left for
    /// right, but closed, draw, toe and in to out stay.
    #[test]
    fn the_other_hand_says_the_same_with_left_for_right() {
        let mirror = |words: &str| {
            words
                .replace("left", "\0")
                .replace("right", "left")
                .replace('\0', "right")
        };
        for (path, face, toe) in [
            (4.0, 1.0, 0.0),
            (-3.0, 1.0, 9.0),
            (0.0, 0.0, -12.0),
            (2.0, 2.0, 5.0),
        ] {
            let here = flight(swing(path, face, toe));
            let there = flight(here.delivery.mirrored());
            let right = speech(false).say(&here.shot()).join(" ");
            let left = speech(true).say(&there.shot()).join(" ");
            assert_eq!(mirror(&right), left);
            let other = flight(swing(path, face - 2.0, toe + 4.0));
            let there_too = flight(other.delivery.mirrored());
            assert_eq!(
                mirror(&speech(false).compare(&here.shot(), &other.shot())),
                speech(true).compare(&there.shot(), &there_too.shot())
            );
        }
    }

    /// The sentences say what the numbers say.
    #[test]
    fn words_and_numbers_agree() {
        let drawn = flight(swing(4.0, 1.0, 0.0));
        let words = speech(false).say(&drawn.shot()).join(" ");
        let curve_yd = drawn.flown[0].curve_m.abs() / crate::units::YARD_M;
        assert!(drawn.flown[0].curve_m < 0.0 && drawn.launch.start_deg > 0.0);
        for part in [
            "The path is 4.0° right of the aim, in to out",
            "the face looks 1.0° right of the aim: 3.0° closed to the path.",
            &format!("draws {curve_yd:.0}\u{a0}yd and lands across the aim line"),
        ] {
            assert!(words.contains(part), "{part:?} is not in {words:?}");
        }
        let faded = flight(swing(0.0, 3.0, 0.0));
        let words = speech(false).say(&faded.shot()).join(" ");
        assert!(
            words.contains("3.0° open to the path") && words.contains("fades "),
            "{words}"
        );
        // From there to a draw is told from both sides.
        let words = speech(false).compare(&faded.shot(), &drawn.shot());
        assert!(words.starts_with("With the face 2.0° more closed and the path 4.0° more from the inside the ball starts"), "{words}");
        assert!(words.contains("where the first fades"), "{words}");
        assert!(speech(false).title(&drawn.shot()).starts_with("Starts 1."));
    }

    /// A strike off the toe is told apart from the face.
    #[test]
    fn the_strike_is_told_apart() {
        let toe = flight(swing(0.0, 0.0, 10.0));
        let words = speech(false).say(&toe.shot()).join(" ");
        assert!(
            words.contains("It is caught 10\u{a0}mm towards the toe of the middle; from the middle the same swing would have started"),
            "{words}"
        );
        let words = speech(true).say(&toe.shot()).join(" ");
        assert!(
            words.contains("towards the heel") && words.contains("fades"),
            "{words}"
        );
        let centred = flight(swing(0.0, 0.0, 0.0));
        assert!(
            !speech(false)
                .say(&centred.shot())
                .join(" ")
                .contains("caught")
        );
        let same = speech(false).compare(&centred.shot(), &centred.shot());
        assert_eq!(same, "Beside the first, the ball does the same.");
    }
}
