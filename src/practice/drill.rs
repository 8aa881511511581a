//! A target number for a remedy, and a test on the range that tells whether it is met.
//!
//! A gate is as wide as holds half of the balls today. What it holds with the remedy is the target: with a
//! fifth less scatter six in ten. Balls are those of the range patterns, for the test is made there;
//! pitches, chips and sand are those of the model of part swings.

use super::Practice;
use super::remedy::{LOWER, Remedy};
use crate::flight::air::{Weather, Wind};
use crate::flight::level::{Flown, fly_level};
use crate::flight::{Firmness, Launch};
use crate::outcome::Day;
use crate::plan::sentence;
use crate::player::face::FaceAndStrike;
use crate::player::special::normal_share_below;
use crate::player::{ClubShape, CoursePlay, LaunchModel, Player};
use crate::sample::points;
use crate::strategy::finish::StrokesToGo;
use crate::strategy::whole::lie::Lie;
use crate::strategy::whole::swing::{Kind, swings};
use crate::units::{FOOT_M, LengthUnit, RPM_RAD_S, YARD_M};

/// Balls that a gate is cut by.
const BALLS: usize = 4096;
/// How far ahead the gate of the start line stands, in the player's unit.
const AHEAD: f64 = 5.0;
/// Carries of the club that approaches are tested with, of a pitch, of a chip and of a bunker shot, m.
const APPROACH_M: f64 = 150.0 * YARD_M;
const PITCH_YD: f64 = 60.0;
const PITCH_M: f64 = 55.0;
const CHIP_YD: f64 = 12.0;
const CHIP_M: f64 = 11.0;
/// Length of the putts, m.
const PUTT_FT: f64 = 8.0;
const PUTT_M: f64 = 2.5;
/// Numbers of balls that a test may have: the fewest at which today and the target are so many apart.
const COUNTS: [u32; 4] = [20, 40, 60, 100];
const APART: i64 = 2;

/// What is seen in the picture beside the words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Picture {
    /// Two sticks to pass between.
    Gate,
    /// A ring to land in.
    Ring,
    /// A line to carry to, with one short of it and one past it.
    Lines,
    /// Balls to count.
    Count,
}

/// A test with its target.
#[derive(Clone, Debug, PartialEq)]
pub struct Drill {
    /// What is tested with.
    pub club: String,
    /// What to do.
    pub test: String,
    /// What is counted: "through the gate".
    pub counted: &'static str,
    /// Of how many balls.
    pub balls: u32,
    /// How many count today.
    pub today: u32,
    /// How many are to.
    pub target: u32,
    /// What is drawn.
    pub picture: Picture,
    /// How wide it is, in words: "21 in".
    pub width: String,
}

/// The drill of a remedy; none where there is nothing to count on a range.
#[must_use]
pub fn drill(
    remedy: Remedy,
    practice: &Practice,
    player: &Player,
    strikes: &[Option<FaceAndStrike>],
    unit: LengthUnit,
) -> Option<Drill> {
    let tee = player.clubs.get(*practice.tee_clubs.first()?)?;
    let bench = Bench {
        remedy,
        player,
        unit,
    };
    match remedy {
        Remedy::TeeStart => Some(bench.start(tee)),
        Remedy::TeeBend => Some(bench.bend(tee)),
        Remedy::TeeDistance => Some(bench.carry(tee)),
        Remedy::TeeMishits => Some(bench.mishits(tee)),
        Remedy::ApproachDirection => Some(bench.side(bench.approach_club()?)),
        Remedy::ApproachDistance => Some(bench.carry(bench.approach_club()?)),
        Remedy::ApproachMishits => Some(bench.mishits(bench.approach_club()?)),
        Remedy::Pitches => bench.ring(Lie::Fairway, bench.round(PITCH_YD, PITCH_M)),
        Remedy::Chips => bench.ring(Lie::Fairway, bench.round(CHIP_YD, CHIP_M)),
        Remedy::Sand => bench.ring(Lie::Sand, bench.round(CHIP_YD, CHIP_M)),
        Remedy::Putting => Some(bench.putts()),
        Remedy::CentredStrike => {
            let told = player.clubs.iter().zip(strikes).find_map(|(club, strike)| {
                let [mean, sd] = strike.as_ref()?.strike_mm?;
                Some((club, mean, sd))
            });
            told.map(|(club, mean, sd)| bench.strike(club, [mean, sd]))
        }
        Remedy::Longer => None,
    }
}

/// What a drill is made with.
struct Bench<'a> {
    remedy: Remedy,
    player: &'a Player,
    unit: LengthUnit,
}

impl Bench<'_> {
    /// A length that is round in the player's unit, m.
    fn round(&self, yards: f64, metres: f64) -> f64 {
        match self.unit {
            LengthUnit::Yards => yards * YARD_M,
            LengthUnit::Metres => metres,
        }
    }

    /// "8 yd", of short ones "7 ft" or "2.1 m".
    fn length(&self, metres: f64) -> String {
        match self.unit {
            LengthUnit::Yards if metres < 10.0 * YARD_M => format!("{:.0} ft", metres / FOOT_M),
            LengthUnit::Metres if metres < 10.0 => format!("{metres:.1} m"),
            unit => format!("{:.0} {}", unit.of(metres), unit.name()),
        }
    }

    /// The club whose carry is nearest to a usual approach.
    fn approach_club(&self) -> Option<&ClubShape> {
        let off = |club: &&ClubShape| (club.carry_m - APPROACH_M).abs();
        let clubs = self.player.full_clubs().iter();
        clubs.min_by(|a, b| off(a).total_cmp(&off(b)))
    }

    fn flown(&self, model: &LaunchModel) -> Vec<Flown> {
        let sound = LaunchModel {
            mishit_share: 0.0,
            ..model.clone()
        };
        self.fly(&sound.draw_all(&points(1, BALLS)))
    }

    fn fly(&self, launches: &[Launch]) -> Vec<Flown> {
        let day = Day::of(
            &Weather::usual(),
            Wind::default(),
            self.player.own_ball(),
            Firmness::Medium,
        );
        fly_level(launches, &[], &day.air, &day.ball, Firmness::Medium)
    }

    /// The middle of a measure of today's balls, half the width that holds half of them, and the share
    /// that this holds of the balls with the remedy, sound ones of all.
    fn gate(&self, model: &LaunchModel, measure: impl Fn(&Flown) -> f64) -> Gate {
        let of =
            |model: &LaunchModel| -> Vec<f64> { self.flown(model).iter().map(&measure).collect() };
        let (today, then) = (of(model), of(&self.remedy.launches(model)));
        let middle = median(&today);
        let half = median(&off(&today, middle));
        Gate {
            middle,
            half,
            target: within(&off(&then, median(&then)), half),
        }
    }

    fn start(&self, club: &ClubShape) -> Drill {
        let gate = self.gate(&club.launches, |ball| ball.start_deg);
        let ahead_m = self.round(AHEAD, AHEAD);
        let width_m = 2.0 * ahead_m * gate.half.to_radians().tan();
        let width = match self.unit {
            LengthUnit::Yards => format!("{:.0} in", width_m / (FOOT_M / 12.0)),
            LengthUnit::Metres => format!("{:.0} cm", 100.0 * width_m),
        };
        let name = self.unit.name();
        let side = side_words(gate.middle, 0.5, |deg| format!("{deg:.0}°"));
        Drill {
            test: format!(
                "Two sticks {width} apart, {AHEAD:.0} {name} in front of the ball, about your usual \
                 start line ({side}). Count the balls that start between them."
            ),
            counted: "start through the gate",
            ..self.drill(club, gate.target, Picture::Gate, width)
        }
    }

    fn bend(&self, club: &ClubShape) -> Drill {
        let gate = self.gate(&club.launches, |ball| ball.curve_m);
        let width = self.length(gate.half);
        let bend = side_words(gate.middle, 0.5 * YARD_M, |m| self.length(m));
        Drill {
            test: format!(
                "From its start line your ball bends {bend}. Count the balls that bend within {width} \
                 of that, with a launch monitor or by a friend who stands behind."
            ),
            counted: "bend as usual",
            ..self.drill(club, gate.target, Picture::Lines, format!("± {width}"))
        }
    }

    fn side(&self, club: &ClubShape) -> Drill {
        let gate = self.gate(&club.launches, |ball| ball.landing_side_m);
        let width = self.length(2.0 * gate.half);
        let carry = self.length(club.carry_m);
        Drill {
            test: format!(
                "Choose two marks {width} apart at about {carry} and aim so that your usual ball lands \
                 between them. Count the balls that do."
            ),
            counted: "land between the marks",
            ..self.drill(club, gate.target, Picture::Gate, width)
        }
    }

    fn carry(&self, club: &ClubShape) -> Drill {
        let gate = self.gate(&club.launches, |ball| ball.carry_m);
        let width = self.length(gate.half);
        let carry = self.length(gate.middle);
        Drill {
            test: format!(
                "Your usual carry is {carry}. Count the balls that carry within {width} of it, shorter \
                 or longer."
            ),
            counted: "carry the distance",
            ..self.drill(club, gate.target, Picture::Lines, format!("± {width}"))
        }
    }

    fn mishits(&self, club: &ClubShape) -> Drill {
        let share = club.launches.mishit_share;
        let after = self.remedy.launches(&club.launches).mishit_share;
        let (balls, today, target) = counts([share, after]);
        Drill {
            test: "Hit every ball to a target, and count tops, skied balls and shanks: what carries less \
                   than three quarters of your usual. Fewer is better."
                .into(),
            counted: "mishits at most",
            balls,
            today,
            target,
            ..self.drill(club, 0.5, Picture::Count, String::new())
        }
    }

    /// A part swing to a ring on the ground.
    fn ring(&self, lie: Lie, carry_m: f64) -> Option<Drill> {
        let on_the_range = CoursePlay::NONE.on(self.player);
        let all = swings(&on_the_range);
        let mut nearest: Option<(f64, usize, LaunchModel)> = None;
        let partial = all
            .iter()
            .filter(|swing| matches!(swing.kind, Kind::Partial(_)));
        for swing in partial {
            let Some(model) = &swing.by_lie[lie as usize] else {
                continue;
            };
            let [speed, angle, start, spin, axis] = model.centre;
            let middle = Launch {
                ball_speed_m_s: speed,
                launch_deg: angle,
                start_deg: start,
                spin_rad_s: spin * RPM_RAD_S,
                axis_deg: axis,
            };
            let carry = self.fly(&[middle]).first().map_or(0.0, |ball| ball.carry_m);
            let off_m = (carry - carry_m).abs();
            if nearest.as_ref().is_none_or(|(known, ..)| off_m < *known) {
                nearest = Some((off_m, swing.club, model.clone()));
            }
        }
        let (_, club, model) = nearest?;
        let club = self.player.clubs.get(club)?;
        let place = |ball: &Flown| {
            let side = ball.landing_side_m;
            [
                side,
                (ball.carry_m * ball.carry_m - side * side).max(0.0).sqrt(),
            ]
        };
        let of = |model: &LaunchModel| -> Vec<f64> {
            let places: Vec<[f64; 2]> = self.flown(model).iter().map(place).collect();
            let middle = [0, 1].map(|k| median(&places.iter().map(|p| p[k]).collect::<Vec<_>>()));
            let away = |p: &[f64; 2]| (p[0] - middle[0]).hypot(p[1] - middle[1]);
            places.iter().map(away).collect()
        };
        let half = median(&of(&model));
        let target = within(&of(&self.remedy.launches(&model)), half);
        let (radius, far) = (self.length(half), self.length(carry_m));
        let from = if lie == Lie::Sand {
            "From a bunker, lay"
        } else {
            "Lay"
        };
        Some(Drill {
            test: format!(
                "{from} a towel at {far} and count the balls that come down within {radius} of it."
            ),
            counted: "come down in the ring",
            ..self.drill(club, target, Picture::Ring, radius)
        })
    }

    fn putts(&self) -> Drill {
        let away_m = match self.unit {
            LengthUnit::Yards => PUTT_FT * FOOT_M,
            LengthUnit::Metres => PUTT_M,
        };
        let one = |handicap: f64| StrokesToGo::for_handicap(handicap).putt_chances(away_m)[0];
        let handicap = self.player.handicap;
        let (balls, today, target) = counts([one(handicap), one(handicap - LOWER)]);
        Drill {
            club: "putter".into(),
            test: format!(
                "Putts of {}, each from another side of the hole. Count those that go in.",
                self.length(away_m)
            ),
            counted: "go in",
            balls,
            today,
            target,
            picture: Picture::Count,
            width: String::new(),
        }
    }

    fn strike(&self, club: &ClubShape, [mean, sd]: [f64; 2]) -> Drill {
        let held = |mean: f64, sd: f64, half: f64| {
            normal_share_below((half - mean) / sd) - normal_share_below((-half - mean) / sd)
        };
        let sd = sd.max(0.1);
        // Half of today's strikes are nearer to the middle than this.
        let (mut low, mut high) = (0.0, mean.abs() + 3.0 * sd);
        for _ in 0..40 {
            let half = 0.5 * (low + high);
            if held(mean, sd, half) < 0.5 {
                low = half;
            } else {
                high = half;
            }
        }
        let target = held(super::remedy::HALF * mean, super::remedy::HALF * sd, high);
        let width = format!("{:.0} mm", 2.0 * high);
        Drill {
            test: format!(
                "Spray or tape on the face, and a mark {width} wide about its middle. Count the strikes \
                 in it."
            ),
            counted: "strike the mark",
            ..self.drill(club, target, Picture::Gate, width)
        }
    }

    /// The frame of a drill whose gate holds half of today's balls.
    fn drill(&self, club: &ClubShape, target: f64, picture: Picture, width: String) -> Drill {
        let (balls, today, target) = counts([0.5, target]);
        Drill {
            club: sentence::club(&club.club),
            test: String::new(),
            counted: "",
            balls,
            today,
            target,
            picture,
            width,
        }
    }
}

struct Gate {
    middle: f64,
    half: f64,
    target: f64,
}

/// "5 yd left", "2° right"; "straight" where less than this.
fn side_words(value: f64, least: f64, of: impl Fn(f64) -> String) -> String {
    if value.abs() < least {
        "straight".into()
    } else {
        let side = if value < 0.0 { "left" } else { "right" };
        format!("{} {side}", of(value.abs()))
    }
}

/// Balls of the shortest test in which two shares are whole balls apart, and how many are counted.
fn counts(shares: [f64; 2]) -> (u32, u32, u32) {
    let of = |balls: u32| shares.map(|share| (share * f64::from(balls)).round() as i64);
    let apart = |balls: &u32| {
        let [today, then] = of(*balls);
        (then - today).abs() >= APART
    };
    let last = COUNTS[COUNTS.len() - 1];
    let balls = COUNTS
        .into_iter()
        .find(|balls| apart(balls))
        .unwrap_or(last);
    let [today, target] = of(balls).map(|count| u32::try_from(count).unwrap_or(0));
    (balls, today, target)
}

fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(0.0)
}

fn off(values: &[f64], middle: f64) -> Vec<f64> {
    values.iter().map(|value| (value - middle).abs()).collect()
}

fn within(off: &[f64], half: f64) -> f64 {
    let held = off.iter().filter(|off| **off <= half).count();
    held as f64 / off.len().max(1) as f64
}
