//! The whole hole by the player's own game, in the plan file and in words: how
//! often it takes how many strokes, what other objectives would rather hit,
//! and what comes next.

use serde::Serialize;

use super::next::{self, Next};
use super::scene::turn_deg;
use super::sentence::{shot_name, side};
use super::why::{cost, is_tie};
use super::{PartSwing, round};
use crate::hole::Hole;
use crate::player::{CoursePlay, Player};
use crate::strategy::by_game::{ByGame, Judged};
use crate::strategy::usual::Usual;
use crate::strategy::whole::objective::Objective;
use crate::strategy::whole::problem::Problem;
use crate::strategy::whole::scores::Scores;
use crate::units::LengthUnit;

/// The whole hole, as solved.
#[derive(Clone, Debug, Serialize)]
pub struct WholeHole {
    /// Mean score with the plan's tee shot, played on for what it was decided for.
    pub expected_score: f64,
    /// Standard deviation of the score, strokes.
    pub spread: f64,
    /// Strokes with the plan's tee shot by the published table for the handicap.
    pub by_table: f64,
    /// How often it takes how many.
    pub scores: ScoreShares,
    /// What the tee was decided for: `strokes`, `par`, `no-double`, `points` or
    /// `match`.
    pub decided_for: String,
    /// Handicap strokes received on this hole, by which points and a match are net;
    /// null where they are gross.
    pub received: Option<i8>,
    /// Objectives beside each other.
    pub aims_of_play: Vec<ObjectiveFacts>,
    /// What comes after the tee shot; null where it goes for the green.
    pub next: Option<Next>,
    /// The same in words, a line each.
    pub words: Vec<String>,
}

/// Shares of scores; they add to 1.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ScoreShares {
    /// Two under par or better.
    pub eagle_or_better: f64,
    /// One under.
    pub birdie: f64,
    /// Par.
    pub par: f64,
    /// One over.
    pub bogey: f64,
    /// Two over.
    pub double_bogey: f64,
    /// Three over or worse.
    pub triple_or_worse: f64,
}

/// One objective on this tee.
#[derive(Clone, Debug, Serialize)]
pub struct ObjectiveFacts {
    /// `strokes`, `par`, `no-double`, `points` or `match`.
    pub aim: String,
    /// What `worth` is: mean `strokes`, a `chance` or `points`.
    pub unit: String,
    /// Club and shape of its best tee shot among those looked at.
    pub club: String,
    /// Shape.
    pub shape: String,
    /// How much of a swing, where it is not a full one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part_swing: Option<PartSwing>,
    /// That shot's aim, right of the plan's, degrees.
    pub aim_right_of_plan_deg: f64,
    /// Its worth.
    pub worth: f64,
    /// The worth of the plan's shot, played on for this aim.
    pub worth_of_plan: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// Mean score of the plan's shot, played on for this aim.
    pub expected_score: f64,
    /// What the plan's shot costs by this objective, in its unit.
    pub plan_costs: f64,
    /// Standard error of that.
    pub plan_costs_standard_error: f64,
    /// What this aim's shot costs by each objective, in that one's unit.
    pub costs: Vec<CostsBy>,
}

/// What a shot costs by an objective.
#[derive(Clone, Debug, Serialize)]
pub struct CostsBy {
    /// The objective.
    pub aim: String,
    /// How much worse than that aim's own best.
    pub costs: f64,
    /// Standard error.
    pub standard_error: f64,
}

/// The whole hole for the plan file.
#[must_use]
pub fn whole_hole(
    found: &ByGame,
    decided_for: &Objective,
    received: Option<i8>,
    hole: &Hole,
    player: &Player,
    problem: &Problem,
    unit: LengthUnit,
) -> WholeHole {
    let par_of_hole = usize::from(hole.par);
    let asked = found.aims.iter().find(|judged| judged.aim == *decided_for);
    let played = asked.map_or(&found.scores, |judged| &judged.scores);
    let named = played.named(par_of_hole);
    let [
        eagle_or_better,
        birdie,
        par,
        bogey,
        double_bogey,
        triple_or_worse,
    ] = round::shares([
        named.eagle_or_better,
        named.birdie,
        named.par,
        named.bogey,
        named.double_bogey,
        named.triple_or_worse,
    ]);
    let scores = ScoreShares {
        eagle_or_better,
        birdie,
        par,
        bogey,
        double_bogey,
        triple_or_worse,
    };
    let expected_score = round::strokes(played.mean());
    let spread = round::strokes(played.variance().max(0.0).sqrt());
    let facts: Vec<ObjectiveFacts> = found
        .aims
        .iter()
        .map(|judged| facts(judged, found, player))
        .collect();
    let next = found.next_shot.as_ref().map(|way| {
        let choice = &found.decision.choice;
        let usual = Usual::of(choice.peg, choice.shot.aim_deg, &choice.rests);
        let ends = usual.map_or(way.from, |usual| usual.rest);
        next::next((way, ends), decided_for, hole, player, problem, unit)
    });
    let mut words: Vec<String> = facts
        .iter()
        .find(|f| f.aim == decided_for.key() && f.aim != "strokes")
        .map(|f| decided_words(f, round::strokes(found.scores.mean())))
        .into_iter()
        .collect();
    words.push(score_words(
        &average([found.by_table, expected_score]),
        &scores,
    ));
    words.extend(beside_table(
        round::strokes(found.scores.mean()),
        found.by_table,
        player.course_play == Some(CoursePlay::NONE),
    ));
    words.extend(agreement(&facts, decided_for, unit));
    words.extend(received.map(received_words));
    words.extend(found.aims.iter().find_map(|judged| match &judged.aim {
        Objective::Match { opponent } => {
            Some(against(opponent, par_of_hole, received.unwrap_or(0)))
        }
        _ => None,
    }));
    if let Some(next) = &next {
        words.extend(next.words.iter().cloned());
    }
    WholeHole {
        expected_score,
        spread,
        by_table: round::strokes(found.by_table),
        scores,
        decided_for: decided_for.key().into(),
        received,
        aims_of_play: facts,
        next,
        words,
    }
}

pub(super) fn unit_of(aim: &Objective) -> &'static str {
    match aim {
        Objective::Strokes => "strokes",
        Objective::Points { .. } => "points",
        Objective::Par | Objective::NoDouble | Objective::Match { .. } => "chance",
    }
}

fn facts(judged: &Judged, found: &ByGame, player: &Player) -> ObjectiveFacts {
    let hit = player.clubs.get(judged.shot.club);
    let (club, shape) = hit.map_or(("", ""), |c| (c.club.as_str(), c.shape.as_str()));
    ObjectiveFacts {
        aim: judged.aim.key().into(),
        unit: unit_of(&judged.aim).into(),
        club: club.into(),
        shape: shape.into(),
        part_swing: hit.and_then(PartSwing::of),
        aim_right_of_plan_deg: round::degrees(turn_deg(
            judged.shot.aim_deg - found.decision.choice.shot.aim_deg,
        )),
        worth: round::strokes(judged.worth),
        worth_of_plan: round::strokes(judged.of_choice),
        standard_error: round::strokes(judged.standard_error),
        expected_score: round::strokes(judged.scores.mean()),
        plan_costs: round::strokes(judged.choice_costs.0),
        plan_costs_standard_error: round::strokes(judged.choice_costs.1),
        costs: found
            .aims
            .iter()
            .zip(&judged.costs)
            .map(|(by, &(costs, standard_error))| CostsBy {
                aim: by.aim.key().into(),
                costs: round::strokes(costs),
                standard_error: round::strokes(standard_error),
            })
            .collect(),
    }
}

/// A score further from the table's than this is worth a word, strokes.
const APART: f64 = 0.15;

/// What the published table says for the handicap, where that is another score.
fn beside_table(expected: f64, by_table: f64, is_as_on_range: bool) -> Option<String> {
    let apart = by_table - expected;
    let why = if apart > APART && !is_as_on_range {
        "your logged shots are better than usual for it, and every next shot here is well chosen. \
         Trust the comparisons more than the score"
    } else if apart > APART {
        "your shots are taken to be as on the range, and every next shot here is well chosen. \
         Trust the comparisons more than the score"
    } else if apart < -APART {
        "your shots are worse than usual for it"
    } else {
        return None;
    };
    Some(format!(
        "The published table says {by_table:.2} for this handicap: {why}."
    ))
}

/// What the tee was decided for, how much of it there is, and what that costs in
/// strokes.
fn decided_words(f: &ObjectiveFacts, for_strokes: f64) -> String {
    let worth = had_words(f.worth_of_plan, &f.unit);
    let more = f.expected_score - for_strokes;
    let strokes = if more < 0.005 {
        format!("{for_strokes:.2} strokes on average either way")
    } else {
        format!(
            "{:.2} strokes on average that way, {for_strokes:.2} played on for fewest strokes",
            f.expected_score
        )
    };
    format!(
        "Decided for {}, and played on for it: {worth}; {strokes}.",
        aim_words(&f.aim)
    )
}

/// "77.6 in 100", "1.84 points".
pub(super) fn had_words(worth: f64, unit: &str) -> String {
    match unit {
        "chance" => format!("{:.1} in 100", worth * 100.0),
        _ => format!("{worth:.2} points"),
    }
}

/// What is received on the hole.
fn received_words(received: i8) -> String {
    let strokes = match received.unsigned_abs() {
        1 => "1 stroke".to_owned(),
        n => format!("{n} strokes"),
    };
    match received {
        0 => "No stroke is received here: points and a match are as on the card.".to_owned(),
        n if n > 0 => format!("{strokes} received here: points and a match are net."),
        _ => format!("{strokes} given back here: points and a match are net."),
    }
}

/// Whom the hole is to be won against; `opponent` is raised by what is received.
fn against(opponent: &Scores, par: usize, received: i8) -> String {
    let named = opponent.named(par.saturating_add_signed(isize::from(received)));
    let shares = ScoreShares {
        eagle_or_better: named.eagle_or_better,
        birdie: named.birdie,
        par: named.par,
        bogey: named.bogey,
        double_bogey: named.double_bogey,
        triple_or_worse: named.triple_or_worse,
    };
    format!(
        "Winning the hole is against somebody who in 100 takes {}; a halved hole counts as half.",
        shares.of_hundred()
    )
}

impl ScoreShares {
    /// "13 birdies, 64 pars, 21 bogeys, 2 doubles": of 100, adding to 100; empty for no
    /// shares.
    #[must_use]
    pub fn of_hundred(&self) -> String {
        let many = ["eagles", "birdies", "pars", "bogeys", "doubles", "worse"];
        let parts: Vec<String> = self
            .counts()
            .into_iter()
            .zip(many)
            .filter(|((_, count), _)| *count > 0)
            .map(|((one, count), many)| format!("{count} {}", if count == 1 { one } else { many }))
            .collect();
        parts.join(", ")
    }

    /// How many of 100 plays take which score, best first; they add to 100.
    #[must_use]
    pub fn counts(&self) -> [(&'static str, u32); 6] {
        let shares = [
            self.eagle_or_better,
            self.birdie,
            self.par,
            self.bogey,
            self.double_bogey,
            self.triple_or_worse,
        ];
        let names = ["eagle", "birdie", "par", "bogey", "double", "worse"];
        let counts = round::hundredths(&shares);
        std::array::from_fn(|k| (names[k], counts[k]))
    }
}

impl WholeHole {
    /// "A player of your handicap averages 4.57 here, you 4.49".
    #[must_use]
    pub fn average(&self) -> String {
        average([self.by_table, self.expected_score])
    }
}

/// The score by the published table for the handicap, and the player's own.
fn average([by_table, expected]: [f64; 2]) -> String {
    format!("A player of your handicap averages {by_table:.2} here, you {expected:.2}")
}

/// "A player of your handicap averages 4.20 here, you 4.12; of 100: 13 birdies, 64 pars, 21 bogeys, 2
/// doubles."
fn score_words(average: &str, scores: &ScoreShares) -> String {
    format!("{average}; of 100: {}.", scores.of_hundred())
}

/// What the objectives say of each other: where they disagree, and by how much.
fn agreement(facts: &[ObjectiveFacts], decided_for: &Objective, unit: LengthUnit) -> Vec<String> {
    let others: Vec<&ObjectiveFacts> = facts
        .iter()
        .filter(|f| f.aim != decided_for.key())
        .collect();
    if others.is_empty() {
        return Vec::new();
    }
    let apart: Vec<&&ObjectiveFacts> = others
        .iter()
        .filter(|f| !is_tie(f.plan_costs, f.plan_costs_standard_error))
        .collect();
    let in_strokes = facts
        .iter()
        .find(|f| f.aim == "strokes")
        .map_or((0.0, 0.0), |f| (f.plan_costs, f.plan_costs_standard_error));
    let mut lines: Vec<String> = apart
        .iter()
        .map(|f| {
            let shot = shot_words(f, unit);
            let gain = gain_words(f);
            let mut line = format!(
                "For {} another tee shot is better: {shot} has {} where the plan has {}, {gain} more",
                aim_words(&f.aim),
                worth_words(f.worth, &f.unit),
                worth_words(f.worth_of_plan, &f.unit)
            );
            if let Some(by) = f.costs.iter().find(|c| c.aim == "strokes")
                && f.aim != "strokes"
            {
                // Beside the plan, which may not be the best in strokes itself.
                let more = by.costs - in_strokes.0;
                let error = by.standard_error.hypot(in_strokes.1);
                line += &if is_tie(more, error) {
                    "; in strokes it is no worse".to_owned()
                } else {
                    format!("; in strokes it {}", cost(more, error))
                };
            }
            if f.unit == "strokes" {
                line = format!(
                    "Fewest strokes would be {}: the plan {}",
                    shot.trim_end_matches(','),
                    cost(f.plan_costs, f.plan_costs_standard_error)
                );
            }
            line + "."
        })
        .collect();
    let agreed: Vec<String> = others
        .iter()
        .filter(|f| is_tie(f.plan_costs, f.plan_costs_standard_error))
        .map(|f| {
            let worth = match f.unit.as_str() {
                "strokes" => format!("{:.2}", f.worth_of_plan),
                unit => worth_words(f.worth_of_plan, unit),
            };
            format!("{} ({worth})", aim_words(&f.aim))
        })
        .collect();
    if let Some((last, before)) = agreed.split_last() {
        let all = if before.is_empty() {
            last.clone()
        } else {
            format!("{} or {last}", before.join(", "))
        };
        lines.insert(0, format!("No tee shot is better for {all}."));
    }
    lines
}

fn shot_words(f: &ObjectiveFacts, unit: LengthUnit) -> String {
    let aim = f.aim_right_of_plan_deg;
    let name = shot_name(&f.club, &f.shape, f.part_swing, unit);
    if aim.abs() < 0.05 {
        format!("{name}, at the same aim,")
    } else {
        format!("{name}, {:.1}° {} of the plan's aim,", aim.abs(), side(aim))
    }
}

/// An objective by its key, in words.
#[must_use]
pub fn aim_words(key: &str) -> &'static str {
    match key {
        "par" => "par or better",
        "no-double" => "bogey or better",
        "points" => "Stableford points",
        "match" => "winning the hole",
        _ => "fewest strokes",
    }
}

fn worth_words(worth: f64, unit: &str) -> String {
    match unit {
        "chance" => format!("{:.1} in 100", worth * 100.0),
        "points" => format!("{worth:.2}"),
        _ => format!("{worth:.2} strokes"),
    }
}

/// What the better shot has more, of the two worths as they are shown.
fn gain_words(f: &ObjectiveFacts) -> String {
    let size = if f.unit == "chance" { 1_000.0 } else { 100.0 };
    let shown = |worth: f64| (worth * size).round() / size;
    let gain = (shown(f.worth) - shown(f.worth_of_plan)).abs();
    if gain * size < 0.5 {
        "a little".to_owned()
    } else {
        amount(gain, &f.unit)
    }
}

/// "2.2 in 100", "0.04".
pub(super) fn amount(costs: f64, unit: &str) -> String {
    match unit {
        "chance" => format!("{:.1} in 100", costs * 100.0),
        _ => format!("{costs:.2}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(aim: &str, unit: &str, plan_costs: f64) -> ObjectiveFacts {
        ObjectiveFacts {
            aim: aim.into(),
            unit: unit.into(),
            club: "3w".into(),
            shape: "draw".into(),
            part_swing: None,
            aim_right_of_plan_deg: -2.0,
            worth: 0.412,
            worth_of_plan: 0.412 - plan_costs,
            standard_error: 0.003,
            expected_score: 4.53,
            plan_costs,
            plan_costs_standard_error: 0.004,
            costs: vec![CostsBy {
                aim: "strokes".into(),
                costs: 0.06,
                standard_error: 0.01,
            }],
        }
    }

    #[test]
    fn disagreements_are_told_with_their_size() {
        let lines = agreement(
            &[
                facts("par", "chance", 0.022),
                facts("no-double", "chance", 0.003),
            ],
            &Objective::Strokes,
            LengthUnit::Yards,
        );
        assert_eq!(
            lines,
            [
                "No tee shot is better for bogey or better (40.9 in 100).",
                "For par or better another tee shot is better: 3-wood, your draw, 2.0° left of \
                 the plan's aim, has 41.2 in 100 where the plan has 39.0 in 100, 2.2 in 100 more; \
                 in strokes it costs 0.06."
            ]
        );
        assert!(agreement(&[], &Objective::Strokes, LengthUnit::Yards).is_empty());
    }

    /// The difference is that of the figures beside it, whatever the next digit.
    #[test]
    fn a_gain_is_the_difference_of_what_is_shown() {
        let mut f = facts("par", "chance", 0.011);
        (f.worth, f.worth_of_plan) = (0.7136, 0.7024);
        let lines = agreement(&[f], &Objective::Strokes, LengthUnit::Yards);
        assert!(
            lines[0].contains("71.4 in 100 where the plan has 70.2 in 100, 1.2 in 100 more"),
            "{lines:?}"
        );
    }

    #[test]
    fn what_was_decided_for_is_told_first() {
        assert_eq!(
            decided_words(&facts("par", "chance", 0.0), 4.5),
            "Decided for par or better, and played on for it: 41.2 in 100; 4.53 strokes on \
             average that way, 4.50 played on for fewest strokes."
        );
        assert_eq!(
            decided_words(&facts("points", "points", 0.0), 4.528),
            "Decided for Stableford points, and played on for it: 0.41 points; 4.53 strokes on \
             average either way."
        );
        assert_eq!(
            received_words(1),
            "1 stroke received here: points and a match are net."
        );
    }

    /// One received on a par 4: the other's pars are bogeys to this player, and are
    /// told as pars.
    #[test]
    fn an_opponent_is_told_as_given() {
        let by_strokes = crate::units::scores::read("par:60,bogey:40")
            .expect("scores")
            .by_strokes(4);
        let opponent = Scores { by_strokes }.raised(1);
        assert_eq!(opponent.by_strokes, [0.0, 0.0, 0.0, 0.0, 0.0, 0.6, 0.4]);
        assert_eq!(
            against(&opponent, 4, 1),
            "Winning the hole is against somebody who in 100 takes 60 pars, 40 bogeys; a halved \
             hole counts as half."
        );
    }

    #[test]
    fn scores_are_told_of_100() {
        let scores = ScoreShares {
            eagle_or_better: 0.0,
            birdie: 0.1,
            par: 0.4,
            bogey: 0.4,
            double_bogey: 0.098,
            triple_or_worse: 0.002,
        };
        assert_eq!(
            score_words(&average([4.57, 4.5]), &scores),
            "A player of your handicap averages 4.57 here, you 4.50; of 100: 10 birdies, 40 pars, 40 \
             bogeys, 10 doubles."
        );
    }
}
