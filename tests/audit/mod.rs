//! Plans held to rollouts: what every row says against what playing on from it comes to, by random
//! numbers that the plan's own check does not use.
#![allow(dead_code, reason = "each binary that includes it uses its own part")]

pub mod holes;

use std::borrow::Cow;

use bendline::hole::Hole;
use bendline::outcome::{Day, TeeShot};
use bendline::planner::Effort;
use bendline::player::Player;
use bendline::strategy::by_game::{ByGame, Wants, solve_and_decide};
use bendline::strategy::other_wind::case_in_wind;
use bendline::strategy::part_swings::with_part_swings;
use bendline::strategy::whole::held::Evaluated;
use bendline::strategy::whole::objective::Objective;
use bendline::strategy::whole::simulation::{Game, Played, Style, play_as};
use bendline::strategy::whole::{Options, Whole};
use bendline::strategy::{NotReached, Priced, Question};

use super::{common, whole_made_up};
use holes::Setting;

/// Rows that cost at most this contend, strokes.
const CONTENDS: f64 = 0.1;
/// A row is off beyond this, strokes, and so many standard errors.
const OFF: f64 = 0.03;
const OFF_ERRORS: f64 = 4.0;
/// A row beats its choice by more than this when both are played, and so many standard errors.
const BEATS: f64 = 0.01;
const BEATS_ERRORS: f64 = 3.0;
/// The score's distribution has the choice's strokes for its mean, within this.
const SAME_MEAN: f64 = 0.005;
/// Strokes of a plan in another wind, by the what-if and by a plan made in it, within this.
const SAME_WIND: f64 = 0.03;
/// Of the rollouts, apart for every plan; the plan's own check has others.
const SEED: u64 = 900_001;

/// How much is played.
#[derive(Clone, Copy)]
pub struct Rolls {
    /// Rollouts of the choice and of rows that contend; of others a quarter.
    pub rollouts: usize,
    /// Whether another seed, the mirror image and another wind are planned too, each on one plan
    /// of three.
    pub others: bool,
}

/// One row of a plan.
#[derive(Clone, Debug)]
pub struct Row {
    pub words: String,
    /// Whether it is the choice.
    pub is_choice: bool,
    pub costs: f64,
    pub evaluated: f64,
    pub evaluated_error: f64,
    pub played: f64,
    pub played_error: f64,
    /// Whether the plan's own check priced it.
    pub is_repriced: bool,
}

impl Row {
    pub fn contends(&self) -> bool {
        self.costs <= CONTENDS
    }

    pub fn off(&self) -> f64 {
        self.evaluated - self.played
    }

    pub fn error(&self) -> f64 {
        self.evaluated_error.hypot(self.played_error)
    }

    /// Standard errors that it is off by.
    pub fn z(&self) -> f64 {
        self.off() / self.error()
    }

    pub fn is_off(&self) -> bool {
        self.off().abs() > OFF + OFF_ERRORS * self.error()
    }
}

/// A plan held to rollouts.
#[derive(Clone, Debug, Default)]
pub struct Held {
    pub rows: Vec<Row>,
    /// Spread of the score.
    pub spread: f64,
    /// What does not hold beside the rows, in words.
    pub faults: Vec<String>,
    /// Strokes that the mirror image differs by.
    pub mirror: Option<f64>,
    /// Strokes that another wind differs by.
    pub wind: Option<f64>,
}

struct Planned<'a> {
    /// Of its rollouts.
    luck: u64,
    question: Question<'a>,
    whole: Whole,
    found: ByGame,
}

/// The player with the part swings that the tee asks for, as `bendline plan` has it.
fn player_of<'a>(setting: &'a Setting, hole: &Hole, day: &Day) -> Cow<'a, Player> {
    let tee = hole.tee(setting.tee).expect("the sketch has the tee");
    with_part_swings(&setting.player, hole, tee, day)
}

fn plan<'a>(
    setting: &'a Setting,
    (hole, player): (&'a Hole, &'a Player),
    day: &'a Day,
    (luck, seed): (u64, u32),
) -> Result<Planned<'a>, NotReached> {
    let tee = hole.tee(setting.tee).expect("the sketch has the tee");
    let question = Question {
        hole,
        tee,
        player,
        day,
        seed,
    };
    let options = Options {
        evaluation_tee_balls: Effort::default().evaluation_tee_balls,
        ..Options::default()
    };
    let wants = Wants {
        aim: &Objective::Strokes,
        beside: &[Objective::Strokes],
    };
    let (whole, found) = solve_and_decide(&question, &options, &wants, &|_| {})?;
    Ok(Planned {
        luck: SEED + luck,
        question,
        whole,
        found,
    })
}

impl Planned<'_> {
    fn play(&self, shot: TeeShot, strokes: f64, rollouts: usize) -> Played {
        let game = Game {
            hole: self.question.hole,
            player: self.question.player,
            day: self.question.day,
            policy: self.whole.choosing(),
            decides: self.whole.choosing(),
        };
        let peg = self.question.tee.peg(shot.from_left_m, shot.behind_front_m);
        let style = Style {
            tee: Some((shot, peg)),
            tee_strokes: Some(strokes),
            tee_values: Some(&Evaluated(&self.whole)),
            ..Style::default()
        };
        play_as(&game, style, rollouts, self.luck)
    }

    fn row(&self, name: &str, priced: &Priced, rollouts: usize) -> Row {
        let rollouts = if priced.costs <= CONTENDS {
            rollouts
        } else {
            rollouts / 4
        };
        let played = self.play(priced.shot, priced.strokes, rollouts);
        let club = &self.question.player.clubs[priced.shot.club];
        Row {
            words: format!("{name} {} {}", club.club, club.shape),
            is_choice: false,
            costs: priced.costs,
            evaluated: priced.strokes,
            evaluated_error: priced.standard_error,
            played: played.mean,
            played_error: played.standard_error,
            is_repriced: self.found.rollouts.has_repriced(priced.shot),
        }
    }
}

/// Plans a setting and holds it to rollouts.
///
/// # Errors
/// In words where there is no plan.
pub fn hold(seed: u64, setting: &Setting, effort: Rolls) -> Result<Held, String> {
    let hole = setting.hole().ok_or("no hole")?;
    let player = player_of(setting, &hole, &setting.day);
    let planned =
        plan(setting, (&hole, &player), &setting.day, (seed, 1)).map_err(|not| not.to_string())?;
    let decision = &planned.found.decision;
    let choice = Row {
        is_choice: true,
        ..planned.row("choice", &decision.choice, effort.rollouts)
    };
    let named = decision.comparisons.iter();
    let named = named.map(|(name, named)| planned.row(name, named, effort.rollouts));
    let others = decision.alternatives.iter();
    let others = others.map(|other| planned.row("alternative", other, effort.rollouts));
    let mut held = Held {
        rows: std::iter::once(choice).chain(named).chain(others).collect(),
        spread: planned.found.scores.variance().max(0.0).sqrt(),
        ..Held::default()
    };
    for row in &held.rows {
        if row.is_off() {
            let (off, error) = (row.off(), row.error());
            held.faults
                .push(format!("{} off by {off:+.4} ± {error:.4}", row.words));
        }
        let saves = held.rows[0].played - row.played;
        let error = held.rows[0].played_error.hypot(row.played_error);
        if saves > BEATS + BEATS_ERRORS * error {
            held.faults
                .push(format!("{} saves {saves:.4} ± {error:.4}", row.words));
        }
    }
    let apart = planned.found.scores.mean() - decision.choice.strokes;
    if apart.abs() > SAME_MEAN {
        held.faults
            .push(format!("the scores' mean is {apart:+.4} from the choice"));
    }
    if effort.others {
        match seed % 3 {
            0 => other_seed(setting, &hole, &planned, effort, &mut held),
            1 => mirror(setting, &planned, &mut held),
            _ => other_wind(seed, setting, &hole, &planned, &mut held),
        }
    }
    Ok(held)
}

/// Another seed's choice is worth the same.
fn other_seed(
    setting: &Setting,
    hole: &Hole,
    planned: &Planned<'_>,
    effort: Rolls,
    held: &mut Held,
) {
    let of = (hole, planned.question.player);
    let Ok(other) = plan(setting, of, &setting.day, (planned.luck, 77)) else {
        return held.faults.push("another seed does not reach it".into());
    };
    let choice = &other.found.decision.choice;
    let there = planned.play(choice.shot, choice.strokes, effort.rollouts);
    let here = &held.rows[0];
    let (more, error) = (
        there.mean - here.played,
        there.standard_error.hypot(here.played_error),
    );
    if more.abs() > BEATS + BEATS_ERRORS * error {
        held.faults.push(format!(
            "another seed's choice is played {more:+.4} ± {error:.4}"
        ));
    }
}

/// The mirror image has the mirrored plan: the same strokes within noise, for the solver's own
/// samples are not mirrored.
fn mirror(setting: &Setting, planned: &Planned<'_>, held: &mut Held) {
    let other = setting.mirrored();
    let Some(hole) = other.hole() else {
        return held.faults.push("the mirror image is no hole".into());
    };
    let player = player_of(&other, &hole, &other.day);
    let Ok(other) = plan(&other, (&hole, &player), &other.day, (planned.luck, 1)) else {
        return held.faults.push("the mirror image is not reached".into());
    };
    let [here, there] = [planned, &other].map(|planned| &planned.found.decision.choice);
    held.mirror = Some(there.strokes - here.strokes);
    let apart = there.strokes - here.strokes;
    let error = here.standard_error.hypot(there.standard_error);
    if apart.abs() > BEATS + BEATS_ERRORS * error {
        held.faults.push(format!(
            "the mirror image differs by {apart:+.4} ± {error:.4}"
        ));
    }
}

/// What is said of another wind is the plan made in it.
fn other_wind(seed: u64, setting: &Setting, hole: &Hole, planned: &Planned<'_>, held: &mut Held) {
    let mut day = setting.day;
    day.wind.speed_m_s = [4.5, 9.0][(seed / 3 % 2) as usize];
    day.wind.from_deg = (seed * 45 % 360) as f64;
    let (whole, decision) = (&planned.whole, &planned.found.decision);
    let question = Question {
        day: &day,
        ..planned.question
    };
    match (
        case_in_wind(&question, whole, decision, &Objective::Strokes),
        plan(setting, (hole, question.player), &day, (seed, 1)),
    ) {
        (Ok(case), Ok(there)) => {
            let apart = case.strokes - there.found.decision.choice.strokes;
            held.wind = Some(apart);
            if apart.abs() > SAME_WIND {
                let errors = case.standard_error;
                held.faults.push(format!(
                    "another wind is {apart:+.4} ± {errors:.4} from its plan"
                ));
            }
        }
        (Err(_), Err(_)) => {}
        _ => held
            .faults
            .push("another wind is reached by one and not by the other".into()),
    }
}

/// Root mean square.
pub fn rms(values: impl Iterator<Item = f64>) -> f64 {
    let (count, sum) = values.fold((0.0, 0.0), |(n, sum), v| (n + 1.0, sum + v * v));
    (sum / f64::max(count, 1.0)).sqrt()
}
