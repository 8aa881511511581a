//! `bendline plan`: a hole and a player in; the decision, a drawing and a plan file out.

use std::path::{Path, PathBuf};

use bendline::diagnostic::{Place, Problem, Problems};
use bendline::draw::page;
use bendline::flight::Firmness;
use bendline::flight::air::{Air, Weather};
use bendline::flight::ball::Ball;
use bendline::hole::{Course, Heights, Hole, pin};
use bendline::outcome::Day;
use bendline::plan::{Conditions, Plan, assemble};
use bendline::player::Player;
use bendline::report;
use bendline::strategy::{self, NothingInPlay, Question};
use bendline::units::LengthUnit;

use super::{day, subject};
use crate::{cli, files, terminal};

/// Folder for the results where none is named.
const USUAL_FOLDER: &str = "out";

/// Runs the command.
pub fn run(arguments: &cli::Plan) -> Result<(), Problems> {
    use_threads(arguments.threads)?;
    if let Some(folder) = folder(arguments) {
        files::check_folder(folder)?;
    }
    let (course, player, heights) = read(arguments)?;
    // What was noted of the player and of each hole stands in its plan.
    terminal::notes(&course.notes);
    let file = hole_file(arguments);
    let mut holes = choose(course, &arguments.holes, &file)?;
    if let Some(heights) = &heights {
        set_heights(&mut holes, heights)?;
    }
    if let Some(paces) = &arguments.pin {
        set_pin(&mut holes, paces)?;
    }
    let given = Given::of(arguments);
    let planned: Vec<Planned> = holes
        .iter()
        .map(|hole| plan_hole(hole, &player, &given, arguments))
        .collect::<Result<_, _>>()?;
    let written = write(&planned, arguments)?;
    show(&planned, &written, arguments)
}

/// One hole's results.
struct Planned {
    plan: Plan,
    drawing: String,
    json: String,
}

/// The day as given, and as the computation takes it.
struct Given {
    weather: Weather,
    altitude_m: f64,
    day: Day,
}

impl Given {
    fn of(arguments: &cli::Plan) -> Self {
        let weather = day::weather(&arguments.day);
        Self {
            weather,
            altitude_m: day::altitude_m(&arguments.day),
            day: Day {
                air: Air::of(&weather, day::ROUGHNESS_M),
                wind: day::wind(&arguments.wind),
                ball: Ball::modern(),
                firmness: arguments.day.firmness.into(),
            },
        }
    }

    fn conditions(&self, seed: u32, balls: usize) -> Conditions {
        Conditions {
            wind_m_s: self.day.wind.speed_m_s,
            wind_from_deg: self.day.wind.from_deg,
            temperature_c: self.weather.temperature_c,
            pressure_pa: self.weather.pressure_pa,
            humidity: self.weather.humidity,
            altitude_m: self.altitude_m,
            density_kg_m3: self.day.air.density_kg_m3,
            firmness: match self.day.firmness {
                Firmness::Soft => "soft",
                Firmness::Medium => "medium",
                Firmness::Firm => "firm",
            }
            .into(),
            seed,
            balls,
        }
    }
}

fn use_threads(threads: Option<u16>) -> Result<(), Problem> {
    let Some(threads) = threads else {
        return Ok(());
    };
    rayon::ThreadPoolBuilder::new()
        .num_threads(usize::from(threads))
        .build_global()
        .map_err(|error| Problem {
            file: "command line".into(),
            place: Place::Argument(format!("--threads {threads}")),
            expected: "a number of threads this machine can start".into(),
            found: error.to_string(),
            remedy: "give a smaller number, or leave --threads out".into(),
        })
}

/// Every hole on the ground of the raster, or every hole that it does not cover.
fn set_heights(holes: &mut [Hole], heights: &Heights) -> Result<(), Problems> {
    let problems: Vec<Problem> = holes
        .iter_mut()
        .filter_map(|hole| hole.set_heights(heights).err())
        .collect();
    if problems.is_empty() {
        Ok(())
    } else {
        Err(Problems(problems))
    }
}

/// Reads course, player and heights, and reports what is wrong with all of them together.
fn read(arguments: &cli::Plan) -> Result<(Course, Player, Option<Heights>), Problems> {
    let heights = subject::heights(
        arguments.heights.as_deref(),
        arguments.heights_crs.as_deref(),
    );
    let course = subject::course(arguments.hole_file.as_deref(), arguments.crs.as_deref());
    let player = match (&arguments.log, &arguments.player) {
        (Some(log), _) => {
            let who = subject::Who {
                handicap: arguments.handicap,
                handedness: arguments.hand.map(Into::into).unwrap_or_default(),
            };
            subject::from_log(log, who)
        }
        (None, Some(file)) => subject::from_player_file(file, arguments.handicap),
        (None, None) => {
            if arguments.hole_file.is_some() {
                terminal::aside(
                    "note: no --log or --player: planning for the built-in player, not for you",
                );
            }
            subject::demo_player(arguments.handicap)
        }
    };
    match (course, player, heights) {
        (Ok(course), Ok(player), Ok(heights)) => Ok((course, player, heights)),
        (course, player, heights) => Err(Problems(
            [course.err(), player.err(), heights.err()]
                .into_iter()
                .flatten()
                .flat_map(|problems| problems.0)
                .collect(),
        )),
    }
}

fn hole_file(arguments: &cli::Plan) -> String {
    arguments
        .hole_file
        .as_deref()
        .map_or_else(|| "built-in hole".into(), subject::shown)
}

/// The holes asked for, in the order of the file; all of them when none is named.
///
/// A hole that could not be read stops the work only if it was asked for: by name, or by asking
/// for all.
pub(super) fn choose(course: Course, wanted: &[String], file: &str) -> Result<Vec<Hole>, Problems> {
    let is = |reference: &str, wanted: &str| reference.eq_ignore_ascii_case(wanted.trim());
    let asked = |reference: &str| wanted.is_empty() || wanted.iter().any(|w| is(reference, w));
    let sound: Vec<&str> = course.holes.iter().map(|h| h.reference.as_str()).collect();
    let mut problems = Vec::new();
    for wanted in wanted {
        let known = sound
            .iter()
            .copied()
            .chain(
                course
                    .broken
                    .iter()
                    .map(|(reference, _)| reference.as_str()),
            )
            .any(|reference| is(reference, wanted));
        if !known {
            problems.push(Problem {
                file: file.into(),
                place: Place::Argument(format!("--hole {wanted}")),
                expected: format!("a hole of this file: {}", sound.join(", ")),
                found: format!("\"{wanted}\""),
                remedy: "name one of these, or leave --hole out to plan them all".into(),
            });
        }
    }
    let mut broken = course.broken;
    broken.retain(|(reference, _)| asked(reference));
    if wanted.is_empty() && !broken.is_empty() && !sound.is_empty() {
        terminal::aside(&format!(
            "note: holes {} can be planned: name them with --hole",
            sound.join(", ")
        ));
    }
    problems.extend(broken.into_iter().flat_map(|(_, problems)| problems.0));
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let mut holes = course.holes;
    holes.retain(|hole| asked(&hole.reference));
    Ok(holes)
}

fn set_pin(holes: &mut [Hole], paces: &bendline::units::parse::PinPaces) -> Result<(), Problem> {
    match holes {
        [hole] => pin::set(hole, paces),
        _ => Err(Problem {
            file: "command line".into(),
            place: Place::Argument(format!("--pin {paces}")),
            expected: "one hole to set the pin on".into(),
            found: format!("{} holes", holes.len()),
            remedy: "name the hole with --hole".into(),
        }),
    }
}

fn plan_hole(
    hole: &Hole,
    player: &Player,
    given: &Given,
    arguments: &cli::Plan,
) -> Result<Planned, Problems> {
    let tee = hole.tee(arguments.tee.as_deref())?;
    let progress = terminal::Progress::begin(&format!("planning hole {}", hole.reference));
    let decision = strategy::decide(
        &Question {
            hole,
            tee,
            player,
            day: &given.day,
            seed: arguments.seed,
        },
        &|step| progress.at(step.done, step.total, step.doing),
    )
    .map_err(|nothing| nothing_in_play(&hole_file(arguments), hole, &nothing))?;
    drop(progress);
    let conditions = given.conditions(arguments.seed, decision.choice.rests.len());
    let unit: LengthUnit = arguments.units.into();
    let plan = assemble::assemble(&decision, hole, tee, player, conditions, unit);
    Ok(Planned {
        drawing: page::page(&plan, hole),
        json: report::json(&plan),
        plan,
    })
}

pub(super) fn nothing_in_play(file: &str, hole: &Hole, nothing: &NothingInPlay) -> Problem {
    Problem {
        file: file.into(),
        place: Place::Key(format!("hole {}", hole.reference)),
        expected: "ground within a drive of the tee where a ball is in play".into(),
        found: nothing.to_string(),
        remedy: "look at what is drawn around the tee: an out of bounds or water area may be on \
                 the wrong side of its line"
            .into(),
    }
}

/// Where the results go; nowhere for bare `--json`.
fn folder(arguments: &cli::Plan) -> Option<&Path> {
    match (&arguments.out, arguments.json) {
        (Some(folder), _) => Some(folder),
        (None, false) => Some(Path::new(USUAL_FOLDER)),
        (None, true) => None,
    }
}

/// Writes a drawing and a plan file a hole, all or none; nothing for bare `--json`.
fn write(planned: &[Planned], arguments: &cli::Plan) -> Result<Vec<PathBuf>, Problems> {
    let Some(folder) = folder(arguments) else {
        return Ok(Vec::new());
    };
    let mut names: Vec<String> = Vec::new();
    let mut outputs = Vec::new();
    for hole in planned {
        let name = files::safe_name(&hole.plan.hole.reference, &names);
        outputs.push((
            format!("hole-{name}.svg"),
            hole.drawing.clone().into_bytes(),
        ));
        outputs.push((format!("hole-{name}.json"), hole.json.clone().into_bytes()));
        names.push(name);
    }
    files::write_folder(folder, outputs)
}

/// Prints the plans, and where they were written.
fn show(planned: &[Planned], written: &[PathBuf], arguments: &cli::Plan) -> Result<(), Problems> {
    let wrote: Vec<String> = written
        .iter()
        .map(|path| format!("wrote {}", path.display()))
        .collect();
    if arguments.json {
        for line in wrote {
            terminal::aside(&line);
        }
        return terminal::say(&as_json(planned));
    }
    let width = terminal::width();
    let mut text: Vec<String> = planned
        .iter()
        .map(|hole| report::terminal(&hole.plan, width))
        .collect();
    text.push(wrote.join("\n"));
    terminal::say(&text.join("\n"))
}

/// One plan as it is, several as an array.
fn as_json(planned: &[Planned]) -> String {
    match planned {
        [only] => only.json.clone(),
        several => {
            let plans: Vec<&str> = several.iter().map(|hole| hole.json.trim_end()).collect();
            format!("[\n{}\n]", plans.join(",\n"))
        }
    }
}
