//! Whether the choice holds however the player scatters, in the plan file and in words.

use serde::Serialize;

use super::scene::turn_deg;
use super::sentence::{shot_name, side, whole};
use super::{PartSwing, round};
use crate::outcome::TeeShot;
use crate::player::{CoursePlay, Player};
use crate::strategy::robust::{self, AtEnd};
use crate::units::LengthUnit;

/// Whether the choice holds over the 80 % interval of course play.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Robust {
    /// Whether it holds at both ends.
    pub holds: bool,
    /// How many times as wide as on the range the plan takes the player's shots to scatter: to the
    /// side with the plan's club, or whatever else the ends change.
    pub times_as_planned: f64,
    /// The ends at which play is not that of the plan.
    pub ends: Vec<End>,
}

/// One end of the interval.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct End {
    /// `tighter` or `wider`.
    pub play: String,
    /// How many times as wide as on the range shots scatter there.
    pub times: f64,
    /// Tee shots that the choice was held against.
    pub tee_shots: usize,
    /// What is better there; null where the choice holds.
    pub instead: Option<Instead>,
}

/// A tee shot that is better at one end.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Instead {
    /// Club.
    pub club: String,
    /// Shape.
    pub shape: String,
    /// How much of a swing, where it is not a full one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part_swing: Option<PartSwing>,
    /// Whether club and shape are the plan's.
    pub same_club: bool,
    /// The peg, right of the plan's along the front line, m.
    pub peg_right_m: f64,
    /// The set-up line, right of the plan's, degrees.
    pub aim_right_deg: f64,
    /// How far right of the plan's the set-up line passes where the ball lands, m.
    pub aim_right_m: f64,
    /// Strokes that it saves there.
    pub saves: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// What it costs for the player as planned; null where it keeps no ball in play then.
    pub costs_as_planned: Option<f64>,
    /// Standard error of that.
    pub costs_as_planned_standard_error: Option<f64>,
    /// About how many times as wide as on the range shots scatter where both are as good.
    pub from_times: f64,
}

/// A factor below this is as on the range: players would not notice.
const AS_ON_THE_RANGE: f64 = 1.05;

/// What was found at the ends of course play, each with its name, for the plan file. `player` is the
/// player as planned, whose course play is `planned`.
#[must_use]
pub fn robust(
    found: &[(&str, CoursePlay, AtEnd)],
    planned: &CoursePlay,
    choice: TeeShot,
    player: &Player,
) -> Robust {
    let ends: Vec<&CoursePlay> = found.iter().map(|(_, play, _)| play).collect();
    let measure = measure(planned, &ends, choice, player);
    let instead = |found: &robust::Instead, play: &CoursePlay| {
        let hit = player.clubs.get(found.shot.club);
        let (club, shape) = hit.map_or(("", ""), |c| (c.club.as_str(), c.shape.as_str()));
        let turn = turn_deg(found.shot.aim_deg - choice.aim_deg);
        let peg_right_m = found.shot.from_left_m - choice.from_left_m;
        let as_planned = found.saves_as_planned;
        let (from, to) = (measure(planned), measure(play));
        Instead {
            club: club.into(),
            shape: shape.into(),
            part_swing: hit.and_then(PartSwing::of),
            same_club: found.shot.club == choice.club,
            peg_right_m: round::metres(peg_right_m),
            aim_right_deg: round::degrees(turn),
            aim_right_m: round::metres(peg_right_m + found.carry_m * turn.to_radians().sin()),
            saves: round::strokes(found.saves.strokes),
            standard_error: round::strokes(found.saves.standard_error),
            costs_as_planned: as_planned.map(|saves| round::strokes(-saves.strokes)),
            costs_as_planned_standard_error: as_planned
                .map(|saves| round::strokes(saves.standard_error)),
            from_times: round::strokes(from * (to / from).powf(found.from_share())),
        }
    };
    let ends: Vec<End> = found
        .iter()
        .map(|(name, play, at_end)| End {
            play: (*name).into(),
            times: round::strokes(measure(play)),
            tee_shots: at_end.rows,
            instead: at_end.instead.as_ref().map(|found| instead(found, play)),
        })
        .collect();
    Robust {
        holds: ends.iter().all(|end| end.instead.is_none()),
        times_as_planned: round::strokes(measure(planned)),
        ends,
    }
}

/// The factor that tells the ends apart: that of the plan's club to the side, unless the ends change
/// another only.
fn measure(
    planned: &CoursePlay,
    ends: &[&CoursePlay],
    choice: TeeShot,
    player: &Player,
) -> fn(&CoursePlay) -> f64 {
    const DRIVER: [fn(&CoursePlay) -> f64; 2] = [|p| p.driver.direction, |p| p.driver.distance];
    const OTHERS: [fn(&CoursePlay) -> f64; 2] = [|p| p.others.direction, |p| p.others.distance];
    const WEDGES: [fn(&CoursePlay) -> f64; 2] = [
        |p| p.others.direction * p.short_game.direction,
        |p| p.others.distance * p.short_game.distance,
    ];
    let all = match player.clubs.get(choice.club) {
        Some(club) if CoursePlay::is_drivers(club) => [DRIVER, OTHERS],
        Some(club) if CoursePlay::is_wedge(club) => [WEDGES, DRIVER],
        _ => [OTHERS, DRIVER],
    };
    let all = all.as_flattened();
    let differs = |of: &&fn(&CoursePlay) -> f64| {
        let far = |end: &&CoursePlay| (of(end) / of(planned)).ln().abs();
        !ends.is_empty() && ends.iter().all(|end| far(end) > AS_ON_THE_RANGE.ln())
    };
    *all.iter().find(differs).unwrap_or(&all[0])
}

/// What is said of a choice that holds.
const HOLDS: &str = "holds however you play";

impl Robust {
    /// In few words: "holds however you play", "3-wood, your draw from about 1.3 times your range
    /// scatter: saves 0.05 at 1.6".
    #[must_use]
    pub fn brief(&self, unit: LengthUnit) -> String {
        if self.holds {
            return HOLDS.into();
        }
        self.changes(unit, true)
    }

    /// What changes, with what that saves if so asked; nothing where the choice holds.
    #[must_use]
    pub fn changes(&self, unit: LengthUnit, with_saving: bool) -> String {
        let each = self.ends.iter().filter_map(|end| {
            let instead = end.instead.as_ref()?;
            let (name, from) = (instead.name(unit), instead.from_times);
            let (when, at) = match end.play.as_str() {
                "tighter" if from < AS_ON_THE_RANGE => (
                    "only if you hit it as on the range".to_owned(),
                    String::new(),
                ),
                play => (
                    format!("{} about {from:.1} times your range scatter", way(play)),
                    format!(" at {:.1}", end.times),
                ),
            };
            let saves = if with_saving {
                format!(": saves {:.2}{at}", instead.saves)
            } else {
                String::new()
            };
            Some(format!("{name} {when}{saves}"))
        });
        let each: Vec<String> = each.collect();
        each.join("; ")
    }

    /// In whole sentences.
    #[must_use]
    pub fn words(&self, unit: LengthUnit) -> Vec<String> {
        let times = |end: &End| format!("{:.1}", end.times);
        let planned = format!("{:.1}", self.times_as_planned);
        let mut words = Vec::new();
        let held: Vec<&End> = self.ends.iter().filter(|e| e.instead.is_none()).collect();
        if let Some(first) = held.first() {
            let at: Vec<String> = held.iter().map(|end| times(end)).collect();
            let at = at.join(" and at ");
            let shots = first.tee_shots;
            let how = if self.holds { " however you play" } else { "" };
            words.push(format!(
                "The plan, made for {planned} times the scatter of your range shots, holds{how}: at {at} \
                 times, none of {shots} other tee shots saves more than {:.2} strokes beyond chance.",
                robust::OFF
            ));
        }
        for end in &self.ends {
            let Some(instead) = &end.instead else {
                continue;
            };
            let way = way(&end.play);
            let error = super::why::shown_error(instead.standard_error);
            words.push(format!(
                "At {} times the scatter of your range shots (the plan takes {planned}), {} saves {:.2} ± \
                 {error:.2}; it is better {way} about {:.1} times.",
                times(end),
                instead.name(unit),
                instead.saves,
                instead.from_times,
            ));
        }
        if !self.ends.is_empty() {
            words.push(
                "These are the ends of the range that holds your scatter on a course in eight cases of \
                 ten. Tee shots are played out with later shots as planned; --what-if play plans the \
                 hole anew at both."
                    .into(),
            );
        }
        words
    }
}

/// On which side of where both are as good the other shot is better.
fn way(play: &str) -> &'static str {
    if play == "tighter" { "up to" } else { "from" }
}

impl Instead {
    /// The shot beside the plan's: another club, or how the aim moves.
    fn name(&self, unit: LengthUnit) -> String {
        if !self.same_club {
            return shot_name(&self.club, &self.shape, self.part_swing, unit);
        }
        let to = side(self.aim_right_deg);
        match whole(self.aim_right_m, unit).abs() {
            0 => format!("aim {:.1}° further {to}", self.aim_right_deg.abs()),
            off => format!("aim {off} further {to}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn end(play: &str, times: f64, instead: Option<Instead>) -> End {
        End {
            play: play.into(),
            times,
            tee_shots: 20,
            instead,
        }
    }

    fn instead(club: &str, same_club: bool, from_times: f64) -> Option<Instead> {
        Some(Instead {
            club: club.into(),
            shape: "draw".into(),
            part_swing: None,
            same_club,
            peg_right_m: 0.0,
            aim_right_deg: -2.0,
            aim_right_m: -8.0,
            saves: 0.0512,
            standard_error: 0.012,
            costs_as_planned: Some(0.02),
            costs_as_planned_standard_error: Some(0.01),
            from_times,
        })
    }

    fn of(ends: Vec<End>) -> Robust {
        Robust {
            holds: ends.iter().all(|end| end.instead.is_none()),
            times_as_planned: 1.2,
            ends,
        }
    }

    #[test]
    fn it_is_said_what_changes_and_from_where() {
        let brief = |ends| of(ends).brief(LengthUnit::Yards);
        let holds = vec![end("tighter", 1.0, None), end("wider", 1.6, None)];
        assert_eq!(brief(holds.clone()), "holds however you play");
        assert_eq!(
            of(holds).words(LengthUnit::Yards)[0],
            "The plan, made for 1.2 times the scatter of your range shots, holds however you play: at 1.0 \
             and at 1.6 times, none of 20 other tee shots saves more than 0.02 strokes beyond chance."
        );
        let wider = vec![
            end("tighter", 1.0, None),
            end("wider", 1.6, instead("3w", false, 1.31)),
        ];
        assert_eq!(
            brief(wider.clone()),
            "3-wood, your draw from about 1.3 times your range scatter: saves 0.05 at 1.6"
        );
        assert_eq!(
            of(wider).words(LengthUnit::Yards)[..2],
            [
                "The plan, made for 1.2 times the scatter of your range shots, holds: at 1.0 times, none of \
                 20 other tee shots saves more than 0.02 strokes beyond chance.",
                "At 1.6 times the scatter of your range shots (the plan takes 1.2), 3-wood, your draw saves \
                 0.05 ± 0.02; it is better from about 1.3 times.",
            ]
        );
        assert_eq!(
            brief(vec![end("tighter", 1.0, instead("driver", false, 1.04))]),
            "driver, your draw only if you hit it as on the range: saves 0.05"
        );
        assert_eq!(
            brief(vec![end("tighter", 1.0, instead("driver", true, 1.1))]),
            "aim 9 further left up to about 1.1 times your range scatter: saves 0.05 at 1.0"
        );
    }
}
