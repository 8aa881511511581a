//! Which holes, for whom, on which day: read, checked, and planned hole by hole.

mod holes;
mod own;
mod progress;
mod side_by_side;
mod wants;

use std::sync::Arc;

use bendline::diagnostic::{self, Answers, Place, Problem, Problems};
use bendline::flight::Firmness;
use bendline::flight::air::{Weather, Wind};
use bendline::hole::{Course, Heights, Hole, TeeingArea};
use bendline::outcome::Day;
use bendline::plan::{Plan, bag};
use bendline::planner::{self, Cases, Planner, Valuation};
use bendline::player::{Player, neighbours};
use bendline::round::{self, Round};
use bendline::strategy::{self, whole};
use bendline::units::scores::ScoreList;
use bendline::units::{LengthUnit, MPH_M_S};

use holes::{check_notes, choose, first, set_heights, set_pin, set_pins};

pub(super) use holes::check_tees;

use super::{day, subject};
use crate::{cli, files, terminal};

/// Everything a planning needs, read and checked.
pub struct Table {
    /// The holes asked for, in the order of the file, with the pins of the day.
    pub holes: Arc<Vec<Hole>>,
    /// The round file, or what it would say without one.
    pub round: Round,
    /// The wind of the day.
    pub wind: Wind,
    /// The player.
    pub player: Player,
    /// The file of the holes, as messages name it.
    pub file: String,
    /// Every hole of the file by name, also those that are not asked for.
    pub names: Vec<String>,
    tee: Option<String>,
    weather: Weather,
    altitude_m: f64,
    firmness: Firmness,
    seed: u32,
    unit: LengthUnit,
    aim: cli::Aim,
    opponent: Option<ScoreList>,
    /// Strokes received on every hole, in order; none where all is gross.
    received: Option<Vec<i8>>,
    /// Of every hole of the file, its stroke index.
    indices: Vec<Option<u8>>,
    /// What is asked about them where strokes are received, and what the user answers.
    stroke_indices: Vec<diagnostic::Question>,
    answers: Answers,
    worth: cli::Worth,
    /// Whether shots on the course are as those on the range.
    as_on_the_range: bool,
    what_if: Vec<cli::WhatIf>,
    has_landscape: bool,
    /// Of every hole, the shots of the player's own.
    own: Vec<Vec<own::Own>>,
    /// What the holes have in common; none where there is one.
    swung: Option<whole::Swung>,
}

/// One thing to plan: a hole, by its index, in a wind.
#[derive(Clone, Copy)]
pub struct Task {
    /// Index of the hole.
    pub hole: usize,
    /// Wind.
    pub wind: Wind,
}

/// What came of a task.
pub enum Planned {
    /// A plan.
    Plan(Box<Plan>),
    /// The hole is not reached in a wind other than the day's: the wind, and a whole sentence.
    NotReached(Wind, String),
}

/// What came of a list of tasks.
pub struct Done {
    /// The plans, in the order of the tasks; fewer where it was stopped.
    pub plans: Vec<Planned>,
    /// True where Ctrl-C ended it early.
    pub stopped: bool,
}

/// Reads everything and says what is wrong with all of it together.
///
/// # Errors
/// Every problem with the course, the player and the round file, and with what the options ask of
/// them.
pub fn read(game: &cli::Game, unit: LengthUnit) -> Result<Table, Problems> {
    let player = |game: &cli::Game| player(game).map(|player| (player, ()));
    read_for(game, unit, player).map(|(table, ())| table)
}

/// The same, where more is wanted of the player than a plan takes: `player` reads both.
///
/// # Errors
/// As [`read`].
pub fn read_for<T>(
    game: &cli::Game,
    unit: LengthUnit,
    player: impl FnOnce(&cli::Game) -> Result<(Player, T), Problems> + Send,
) -> Result<(Table, T), Problems>
where
    T: Send,
{
    check_written(game)?;
    let round = game.round.as_deref().map(|path| {
        let bytes = files::read(path)?;
        round::read(&subject::shown(path), &bytes)
    });
    let course = || {
        let course = subject::course(game.hole_file.as_deref(), game.crs.as_deref())?;
        // Other heights would be other ground.
        if game.heights.is_none()
            && let Some(first) = first(&course, &game.holes)
        {
            first.prepare();
        }
        Ok(course)
    };
    let (course, player) = rayon::join(course, || player(game));
    let heights = subject::heights(
        game.heights.as_deref(),
        game.heights_crs.as_deref(),
        game.crs.as_deref(),
    );
    let mut problems = Vec::new();
    let mut or_problems = |found: Problems| problems.extend(found.0);
    let course = course.map_err(&mut or_problems).ok();
    let player = player.map_err(&mut or_problems).ok();
    let round = round.transpose().map_err(&mut or_problems).ok();
    let heights = heights.map_err(&mut or_problems).ok();
    let (Some(course), Some((player, more)), Some(round), Some(heights)) =
        (course, player, round, heights)
    else {
        return Err(Problems(problems));
    };
    // What was noted of the player and of each hole stands in its plan.
    terminal::notes(&course.notes);
    let read = Read {
        course,
        player,
        round,
        heights,
    };
    seat(read, game, unit).map(|table| (table, more))
}

/// What has been read for a planning, file by file.
pub(super) struct Read {
    /// The hole file's.
    pub course: Course,
    /// The log's or the player file's.
    pub player: Player,
    /// The round file's.
    pub round: Option<Round>,
    /// The raster's.
    pub heights: Option<Heights>,
}

/// Puts together what has been read, as the options ask.
///
/// # Errors
/// Every problem of the files with each other and with the options.
pub(super) fn seat(read: Read, game: &cli::Game, unit: LengthUnit) -> Result<Table, Problems> {
    let Read {
        mut course,
        mut player,
        round,
        heights,
    } = read;
    player.notes.extend(bag::note(&player, unit));
    let file = game
        .hole_file
        .as_deref()
        .map_or_else(|| "built-in hole".into(), subject::shown);
    let known: Vec<String> = course
        .holes
        .iter()
        .map(|hole| hole.reference.clone())
        .chain(course.broken.iter().map(|(name, _)| name.clone()))
        .collect();
    let indices = if course.broken.is_empty() {
        course.holes.iter().map(|hole| hole.stroke_index).collect()
    } else {
        Vec::new()
    };
    let course_questions = std::mem::take(&mut course.questions);
    let stroke_indices = std::mem::take(&mut course.stroke_indices);
    let mut holes = choose(course, &game.holes, &file)?;
    if let Some(heights) = &heights {
        set_heights(&mut holes, heights)?;
    }
    if let Some(paces) = &game.pin {
        set_pin(&mut holes, paces)?;
    }
    let mut day = game.day;
    let mut wind = game.wind;
    let mut tee = game.tee.clone();
    let round = round.unwrap_or_default();
    if game.round.is_some() {
        set_pins(&mut holes, &known, &round)?;
        check_notes(&known, &round)?;
        wind = cli::Wind { wind: round.wind };
        day = day::of_round(&round);
        tee.clone_from(&round.tees);
    }
    let answers = game.confirmed.answers();
    let about_day = match &game.round {
        Some(path) => subject::shown(path),
        None => "command line".into(),
    };
    let mut of_all = day::questions(&about_day, &day, day::wind(&wind));
    of_all.extend(course_questions);
    let (answered, mut unanswered) = answers.settle(of_all);
    for hole in &mut holes {
        let (asked, of_other_tees) = hole.asked_from(tee.as_deref());
        let (notes, problems) = answers.settle(asked);
        hole.notes.extend(of_other_tees);
        hole.notes.extend(notes);
        hole.notes.extend(answered.iter().cloned());
        // What several holes are asked about is asked once.
        for problem in problems {
            if !unanswered.contains(&problem) {
                unanswered.push(problem);
            }
        }
    }
    if !unanswered.is_empty() {
        return Err(Problems(unanswered));
    }
    check_tees(&holes, tee.as_deref())?;
    Ok(Table {
        swung: (holes.len() > 1).then(whole::Swung::default),
        holes: Arc::new(holes),
        wind: day::wind(&wind),
        player,
        tee,
        weather: day::weather(&day),
        altitude_m: day::altitude_m(&day),
        firmness: day.firmness.into(),
        round,
        file,
        names: known,
        seed: game.seed,
        unit,
        aim: cli::Aim::Strokes,
        opponent: None,
        received: None,
        indices,
        stroke_indices,
        answers,
        worth: cli::Worth::Table,
        as_on_the_range: false,
        what_if: Vec::new(),
        has_landscape: false,
        own: Vec::new(),
    })
}

/// How a log is written matters only where there is one.
fn check_written(game: &cli::Game) -> Result<(), Problem> {
    match game.written.given().into_iter().next() {
        Some(given) if game.log.is_none() => Err(Problem {
            file: "command line".into(),
            place: Place::Argument(given),
            expected: "a shot log, which this option is about".into(),
            found: "no --log".into(),
            remedy: "name the log with --log, or leave the option out".into(),
        }),
        _ => Ok(()),
    }
}

/// The player of the options, with the clubs to fill in; the built-in one where none is named.
pub(super) fn player(game: &cli::Game) -> Result<Player, Problems> {
    let mut player = named_player(game)?;
    fill(game, &mut player)?;
    Ok(player)
}

/// Adds the clubs that are to be filled from their neighbours.
pub(super) fn fill(game: &cli::Game, player: &mut Player) -> Result<(), Problems> {
    let names: Vec<&str> = game.fill.iter().map(|name| name.trim()).collect();
    neighbours::fill(player, &names, &Weather::usual())
}

fn named_player(game: &cli::Game) -> Result<Player, Problems> {
    match (&game.log, &game.player) {
        (Some(log), _) => {
            let who = subject::Who {
                handicap: game.handicap,
                handedness: game.hand.map(Into::into).unwrap_or_default(),
                dialect: game.written.into(),
                answers: &game.confirmed.answers(),
            };
            subject::from_log(log, who)
        }
        (None, Some(file)) => {
            subject::from_player_file(file, game.handicap, &game.confirmed.answers())
        }
        (None, None) => {
            if game.hole_file.is_some() {
                terminal::aside(
                    "note: no --log or --player: planning for the built-in player, not for you",
                );
            }
            subject::demo_player(game.handicap)
        }
    }
}

impl Table {
    /// The day's own wind on every hole.
    pub fn tasks(&self) -> Vec<Task> {
        (0..self.holes.len())
            .map(|hole| Task {
                hole,
                wind: self.wind,
            })
            .collect()
    }

    /// Every hole with its teeing area.
    ///
    /// # Errors
    /// Where a hole lacks the tee, which [`read`] has looked for.
    pub fn places(&self) -> Result<Vec<(&Hole, &TeeingArea)>, Problems> {
        let place = |hole| Hole::tee(hole, self.tee.as_deref()).map(|tee| (hole, tee));
        let places: Result<Vec<_>, Problem> = self.holes.iter().map(place).collect();
        Ok(places?)
    }

    /// The same, played for fewest strokes by the player's own game.
    pub fn by_game(self, as_on_the_range: bool) -> Self {
        Self {
            worth: cli::Worth::Game,
            as_on_the_range,
            ..self
        }
    }

    /// The day in this wind.
    pub fn day(&self, wind: Wind) -> Day {
        Day::of(&self.weather, wind, self.player.own_ball(), self.firmness)
    }

    /// What the books call the course: the round file's name for it, or the file's own.
    pub fn course_name(&self) -> String {
        self.round.course.clone().unwrap_or_else(|| {
            let path = std::path::Path::new(&self.file);
            let stem = path.file_stem().unwrap_or(path.as_os_str());
            stem.to_string_lossy().into_owned()
        })
    }

    /// Plans every task, until all are done, one fails, or Ctrl-C is pressed.
    ///
    /// # Errors
    /// When some hole is not reached.
    pub fn plan(self: &Arc<Self>, tasks: Vec<Task>) -> Result<Done, Problems> {
        side_by_side::plan(self, tasks)
    }

    /// What is said when a task begins.
    fn begin(&self, task: Task) -> String {
        format!("planning hole {}", self.holes[task.hole].reference)
    }

    /// `before` holds what was planned last: the same hole in another wind begins there.
    fn plan_one(
        &self,
        task: Task,
        tell: &(dyn Fn(strategy::Progress) + Sync),
        before: &mut Option<(usize, planner::Planned)>,
    ) -> Result<Planned, Problems> {
        let planner = self.planner(task);
        if let Some((_, known)) = before.as_ref().filter(|(hole, _)| *hole == task.hole) {
            tell(strategy::Progress {
                done: 0,
                total: 1,
                doing: "deciding for another wind",
            });
            return Ok(match planner.plan_in(task.wind, known)? {
                Ok(plan) => Planned::Plan(Box::new(plan)),
                Err(words) => Planned::NotReached(task.wind, words),
            });
        }
        let planned = planner.plan_with(tell)?;
        let plan = planned.plan.clone();
        *before = Some((task.hole, planned));
        Ok(Planned::Plan(Box::new(plan)))
    }

    /// A hole in the day's wind as the planner takes it, for fewest strokes.
    pub fn planned(&self, hole: usize) -> Planner<'_> {
        self.planner(Task {
            hole,
            wind: self.wind,
        })
    }

    /// A task as the planner takes it.
    fn planner(&self, task: Task) -> Planner<'_> {
        let hole = &self.holes[task.hole];
        let winds = if self.what_if.contains(&cli::WhatIf::Winds) {
            other_winds()
        } else {
            Vec::new()
        };
        Planner::new(hole, &self.player)
            .tee(self.tee.as_deref())
            .day(self.weather, self.altitude_m, self.firmness)
            .wind(task.wind)
            .seed(self.seed)
            .words(self.unit, &self.file)
            .playing_for(self.played(task.hole))
            .valued_by(match self.worth {
                cli::Worth::Game => Valuation::OwnGame,
                cli::Worth::Table => Valuation::Table,
            })
            .as_on_the_range(self.as_on_the_range)
            .what_if(Cases {
                winds,
                pins: self.what_if.contains(&cli::WhatIf::Pins),
                play: self.what_if.contains(&cli::WhatIf::Play),
            })
            .own_shots(self.shots(task.hole))
            .note(self.note(task.hole))
            .landscape(self.has_landscape)
            .sharing(self.swung.clone())
    }

    /// The player's own words for a hole; empty where there are none.
    fn note(&self, hole: usize) -> String {
        let name = &self.holes[hole].reference;
        let mut notes = self.round.notes.iter();
        let note = notes.find(|note| note.hole.eq_ignore_ascii_case(name));
        note.map_or_else(String::new, |note| diagnostic::sentence(&note.words))
    }
}

/// Winds of `--what-if winds`: two speeds from eight sides.
fn other_winds() -> Vec<Wind> {
    let speeds = [10.0 * MPH_M_S, 20.0 * MPH_M_S].into_iter();
    let winds = speeds.flat_map(|speed_m_s| {
        (0..8_u8).map(move |eighth| Wind::blowing(speed_m_s, 45.0 * f64::from(eighth)))
    });
    winds.collect()
}
