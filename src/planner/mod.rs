//! One tee of one hole, planned for one player on one day.
//!
//! A [`Planner`] holds what is asked; [`Planner::plan`] answers with a [`Plan`], plain data that is
//! written to a file and drawn. The command line and the book plan by this entry.
//!
//! 1. The hole is solved by the player's own game ([`strategy::whole`]), or
//!    every place is worth what a published table says ([`Valuation`]).
//! 2. The tee is searched, evaluated on fresh samples and held to rollouts
//!    ([`strategy::by_game`]).
//! 3. The decision is measured and put into words ([`assemble`](crate::plan::assemble())).
//! 4. The choice is held against other tee shots at both ends of course play, by play
//!    ([`strategy::robust`]).
//! 5. Where that is asked for, shots of the player's own are priced beside it, and the tee is decided
//!    again in other winds, to other pins and with other course play ([`Cases`]).

mod cases;
mod landscape;
pub mod looked_back;
mod own_shots;
pub mod practised;
mod robust;

use crate::diagnostic::{Problems, printable};
use crate::flight::Firmness;
use crate::flight::air::{Weather, Wind};
use crate::hole::{Hole, TeeingArea};
use crate::outcome::Day;
use crate::plan::verified::verified;
use crate::plan::what_if::point;
use crate::plan::whole_hole::whole_hole;
use crate::plan::wind::speed;
use crate::plan::{Conditions, ModelFacts, Plan, assemble, not_reached};
use crate::player::{CoursePlay, Player};
use crate::strategy::by_game::{ByGame, Wants, solve_and_decide};
use crate::strategy::finish::StrokesToGo;
use crate::strategy::other_wind::decision_in_wind;
use crate::strategy::own_shot::OwnShot;
use crate::strategy::part_swings::with_part_swings;
use crate::strategy::whole::objective::Objective;
use crate::strategy::whole::{Options, Swung, Whole};
use crate::strategy::{self, Decision, NotReached, Progress, Question};
use crate::units::LengthUnit;

/// How the strokes after the tee shot are valued.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Valuation {
    /// By the player's own next shots: the hole solved to the last putt.
    #[default]
    OwnGame,
    /// By a published table of mean strokes at the player's level.
    Table,
}

/// How much is computed: the command line and the library have the same default.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Samples of the tee shot in the evaluation of the policy: they find the states that it leads to.
    /// The tee shot itself is priced by the decision, on samples of its own.
    pub evaluation_tee_balls: usize,
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            evaluation_tee_balls: if cfg!(fuzzing) { 64 } else { 16_384 },
        }
    }
}

/// What is played for: the objective of the tee, and those that are reported beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Played {
    /// What the tee is decided for.
    pub aim: Objective,
    /// Objectives that are reported beside it.
    pub beside: Vec<Objective>,
    /// Strokes received on the hole; none where all is gross.
    pub received: Option<i8>,
}

impl Default for Played {
    /// Fewest strokes, gross; beside them par or better, no double bogey and points.
    fn default() -> Self {
        Self {
            aim: Objective::Strokes,
            beside: vec![
                Objective::Strokes,
                Objective::Par,
                Objective::NoDouble,
                Objective::Points { received: 0 },
            ],
            received: None,
        }
    }
}

/// In which cases a tee is decided again.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cases {
    /// Other winds.
    pub winds: Vec<Wind>,
    /// Pins around the green.
    pub pins: bool,
    /// Course play at either end of its 80 % interval.
    pub play: bool,
}

/// What is to be planned, and how.
#[derive(Clone)]
pub struct Planner<'a> {
    hole: &'a Hole,
    player: &'a Player,
    tee: Option<String>,
    weather: Weather,
    altitude_m: f64,
    firmness: Firmness,
    wind: Wind,
    seed: u32,
    unit: LengthUnit,
    file: String,
    played: Played,
    valuation: Valuation,
    as_on_the_range: bool,
    effort: Effort,
    cases: Cases,
    own_shots: Vec<(String, OwnShot)>,
    note: String,
    has_landscape: bool,
    checks_course_play: bool,
    swung: Option<Swung>,
}

/// A plan with what it was decided by, so that the same tee can be decided in another wind.
pub struct Planned {
    /// The plan.
    pub plan: Plan,
    decision: Decision,
    /// The solved hole; none where the published table priced it.
    solved: Option<Whole>,
}

impl<'a> Planner<'a> {
    /// A hole for a player: from its usual tee, in calm and mild air at sea level, for fewest strokes.
    #[must_use]
    pub fn new(hole: &'a Hole, player: &'a Player) -> Self {
        Self {
            hole,
            player,
            tee: None,
            weather: Weather::usual(),
            altitude_m: 0.0,
            firmness: Firmness::Medium,
            wind: Wind::default(),
            seed: 1,
            unit: LengthUnit::Yards,
            file: "hole file".into(),
            played: Played::default(),
            valuation: Valuation::default(),
            as_on_the_range: false,
            effort: Effort::default(),
            cases: Cases::default(),
            own_shots: Vec::new(),
            note: String::new(),
            has_landscape: false,
            checks_course_play: true,
            swung: None,
        }
    }

    /// From the tee of this colour; none for the one where the line of play starts.
    #[must_use]
    pub fn tee(mut self, colour: Option<&str>) -> Self {
        self.tee = colour.map(Into::into);
        self
    }

    /// In this wind.
    #[must_use]
    pub fn wind(mut self, wind: Wind) -> Self {
        self.wind = wind;
        self
    }

    /// In this air, at this height above the sea, m, on this ground.
    #[must_use]
    pub fn day(mut self, weather: Weather, altitude_m: f64, firmness: Firmness) -> Self {
        (self.weather, self.altitude_m, self.firmness) = (weather, altitude_m, firmness);
        self
    }

    /// With another seed of the random samples.
    #[must_use]
    pub fn seed(mut self, seed: u32) -> Self {
        self.seed = seed;
        self
    }

    /// With words in this unit, and messages that name this file.
    #[must_use]
    pub fn words(mut self, unit: LengthUnit, file: &str) -> Self {
        (self.unit, self.file) = (unit, file.into());
        self
    }

    /// Played for this.
    #[must_use]
    pub fn playing_for(mut self, played: Played) -> Self {
        self.played = played;
        self
    }

    /// With strokes after the tee shot valued so. A table knows fewest strokes only.
    #[must_use]
    pub fn valued_by(mut self, valuation: Valuation) -> Self {
        self.valuation = valuation;
        self
    }

    /// With launches as on the range, where `is_so`; else as [course play](crate::player::course_play)
    /// widens them.
    #[must_use]
    pub fn as_on_the_range(mut self, is_so: bool) -> Self {
        self.as_on_the_range = is_so;
        self
    }

    /// With so much computed.
    #[must_use]
    pub fn effort(mut self, effort: Effort) -> Self {
        self.effort = effort;
        self
    }

    /// With the tee decided again in these cases.
    #[must_use]
    pub fn what_if(mut self, cases: Cases) -> Self {
        self.cases = cases;
        self
    }

    /// With tee shots of the player's own beside the plan, each under the player's words for it.
    #[must_use]
    pub fn own_shots(mut self, shots: Vec<(String, OwnShot)>) -> Self {
        self.own_shots = shots;
        self
    }

    /// With the player's own words for the hole; none where empty.
    #[must_use]
    pub fn note(mut self, words: String) -> Self {
        self.note = words;
        self
    }

    /// With strokes still to play over the ground where the balls end, where `is_so` and the hole is
    /// solved.
    #[must_use]
    pub fn landscape(mut self, is_so: bool) -> Self {
        self.has_landscape = is_so;
        self
    }

    /// Whether the plan says if its choice holds however the player scatters (it does unless switched off).
    #[must_use]
    pub fn with_course_play_check(mut self, is_so: bool) -> Self {
        self.checks_course_play = is_so;
        self
    }

    /// With launches and calm flights that it has in common with the player's other holes of the day:
    /// the same comes out, sooner.
    #[must_use]
    pub fn sharing(mut self, swung: Option<Swung>) -> Self {
        self.swung = swung;
        self
    }

    /// The plan.
    ///
    /// # Errors
    /// Where the hole lacks the tee, or is not reached in twice its par and five strokes.
    pub fn plan(&self) -> Result<Plan, Problems> {
        self.plan_with(&|_| {}).map(|planned| planned.plan)
    }

    /// The same; reports progress, and returns the solved hole too, which [`plan_in`](Self::plan_in)
    /// begins with.
    ///
    /// # Errors
    /// As [`plan`](Self::plan).
    pub fn plan_with(&self, tell: &(dyn Fn(Progress) + Sync)) -> Result<Planned, Problems> {
        let tee = self.hole.tee(self.tee.as_deref())?;
        let day = self.day_in(self.wind);
        let player = self.player_there();
        let player = &*with_part_swings(&player, self.hole, tee, &day);
        let question = self.question((tee, player), &day);
        match self.valuation {
            Valuation::Table => self.plan_by_table(&question, tell),
            Valuation::OwnGame => self.plan_by_game(&question, tell),
        }
        .map_err(|not| not_reached::problem(&self.file, &not, self.unit).into())
    }

    fn plan_by_table(
        &self,
        question: &Question<'_>,
        tell: &(dyn Fn(Progress) + Sync),
    ) -> Result<Planned, NotReached> {
        let decision = strategy::decide(question, tell)?;
        let mut plan = self.assembled(question, &decision);
        plan.notes.push(BY_TABLE.into());
        self.add_cases(&mut plan, question, (&decision, None), tell);
        self.add_own_by_table(&mut plan, question, &decision);
        Ok(Planned {
            plan,
            decision,
            solved: None,
        })
    }

    fn plan_by_game(
        &self,
        question: &Question<'_>,
        tell: &(dyn Fn(Progress) + Sync),
    ) -> Result<Planned, NotReached> {
        tell(Progress {
            done: 0,
            total: 5,
            doing: "solving the whole hole",
        });
        let options = Options {
            evaluation_tee_balls: self.effort.evaluation_tee_balls,
            swung: self.swung.clone(),
            ..Options::default()
        };
        let wants = Wants {
            aim: &self.played.aim,
            beside: &self.played.beside,
        };
        let (mut solved, mut found) = solve_and_decide(question, &options, &wants, tell)?;
        let own = self.own_by_game(question, &wants, &mut solved, &mut found);
        let mut plan = self.assembled(question, &found.decision);
        let whole = |found: &ByGame| {
            let (aim, received) = (&self.played.aim, self.played.received);
            let problem = solved.explicit.problem();
            let player = question.player;
            whole_hole(found, aim, received, self.hole, player, problem, self.unit)
        };
        plan.whole_hole = Some(whole(&found));
        if self.has_landscape {
            plan.landscape = self.landscape_of(&found.decision, &solved);
        }
        plan.verified = verified(&found, question.player);
        let note = plan.verified.as_ref();
        plan.notes
            .extend(note.and_then(|verified| verified.note(self.unit)));
        if self.checks_course_play && !self.cases.play {
            plan.robust = self.robust(question, &found.decision, &solved);
        }
        self.add_cases(&mut plan, question, (&found.decision, Some(&solved)), tell);
        self.add_own(&mut plan, own, question, &self.played.beside, &|found| {
            Some(whole(found))
        });
        Ok(Planned {
            plan,
            decision: found.decision,
            solved: Some(solved),
        })
    }

    /// The same tee decided again in another wind; a whole sentence where the hole is not reached in it.
    ///
    /// # Errors
    /// Where the hole lacks the tee.
    pub fn plan_in(&self, wind: Wind, before: &Planned) -> Result<Result<Plan, String>, Problems> {
        let tee = self.hole.tee(self.tee.as_deref())?;
        let day = self.day_in(wind);
        // The same swings in every wind.
        let player = self.player_there();
        let player = &*with_part_swings(&player, self.hole, tee, &day);
        let question = self.question((tee, player), &day);
        let decision = match &before.solved {
            Some(solved) => decision_in_wind(&question, solved, &before.decision, &self.played.aim),
            None => {
                let to_go = StrokesToGo::for_handicap(self.player.handicap);
                strategy::decide_again(&question, &to_go, &before.decision, &|_| {})
            }
        };
        Ok(match decision {
            Ok(decision) => Ok(self.assembled(&question, &decision)),
            Err(not) => Err(not_reached_in(wind, &not, self.unit)),
        })
    }

    /// The player as on a course.
    fn player_there(&self) -> Player {
        if self.as_on_the_range {
            CoursePlay::NONE.on(self.player)
        } else {
            self.player.course_play().on(self.player)
        }
    }

    /// The day in this wind.
    fn day_in(&self, wind: Wind) -> Day {
        Day::of(&self.weather, wind, self.player.own_ball(), self.firmness)
    }

    fn question<'q>(
        &self,
        (tee, player): (&'q TeeingArea, &'q Player),
        day: &'q Day,
    ) -> Question<'q>
    where
        'a: 'q,
    {
        Question {
            hole: self.hole,
            tee,
            player,
            day,
            seed: self.seed,
        }
    }

    fn assembled(&self, question: &Question<'_>, decision: &Decision) -> Plan {
        let conditions = self.conditions(question.day, decision.choice.rests.len());
        let (hole, tee, player) = (question.hole, question.tee, question.player);
        let mut plan = assemble::assemble(decision, hole, tee, player, conditions, self.unit);
        plan.words.note.clone_from(&self.note);
        plan
    }

    fn conditions(&self, day: &Day, balls: usize) -> Conditions {
        Conditions {
            wind_m_s: day.wind.speed_m_s,
            wind_from_deg: day.wind.from_deg,
            temperature_c: self.weather.temperature_c,
            pressure_pa: self.weather.pressure_pa,
            humidity: self.weather.humidity,
            altitude_m: self.altitude_m,
            density_kg_m3: day.air.density_kg_m3,
            firmness: match self.firmness {
                Firmness::Soft => "soft",
                Firmness::Medium => "medium",
                Firmness::Firm => "firm",
            }
            .into(),
            seed: self.seed,
            balls,
            model: ModelFacts::of(day),
        }
    }
}

/// What a plan says that was made by the published table.
const BY_TABLE: &str = "Decided by the published table of strokes at this level, not by what this \
                        player's own next shots would make of the hole (--worth table).";

/// A sentence about a wind in which a hole is not reached.
fn not_reached_in(wind: Wind, not: &NotReached, unit: LengthUnit) -> String {
    let not = printable(&not.to_string());
    if wind.speed_m_s == 0.0 {
        return format!("In calm air, {not}.");
    }
    let (speed, from) = (speed(wind.speed_m_s, unit), point(wind.from_deg));
    format!("In a wind of {speed} from {from}, {not}.")
}
