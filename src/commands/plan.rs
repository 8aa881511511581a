//! `bendline plan`: a hole and a player in; the decision, a drawing and a plan file out.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use bendline::diagnostic::{Place, Problem, Problems};
use bendline::draw::page::{self, Drawn, Land, PAGE};
use bendline::draw::pdf::{self, About, Sheet};
use bendline::draw::{flower, ladders, landscape, large, sheet, two_aims, view};
use bendline::hole::Hole;
use bendline::plan::Plan;
use bendline::plan::course::course_total;
use bendline::report::{self, Setting, geojson, markdown};

use rayon::prelude::*;

use super::Ending;
use super::game::{self, Planned};
use crate::{cli, files, terminal};

/// Folder for the results where none is named.
const USUAL_FOLDER: &str = "out";
/// Width of a picture, pixels: 300 to the inch.
#[cfg(feature = "png")]
const PICTURE_WIDTH: u32 = 1275;

/// Runs the command.
pub fn run(arguments: &cli::Plan) -> Result<Ending, Problems> {
    if let Some(folder) = folder(arguments) {
        files::check_folder(folder)?;
    }
    let table = Arc::new(
        game::read(&arguments.game, arguments.units.into())?
            .playing(&arguments.play)?
            .asking(&asked(arguments))
            .with_landscape(arguments.also.contains(&cli::Form::Landscape)),
    );
    let own: Vec<usize> = (0..table.holes.len())
        .map(|hole| table.own_shots(hole))
        .collect();
    let names = names(&table.holes, &own, arguments);
    if let Some(folder) = folder(arguments) {
        let outputs: Vec<PathBuf> = names.all().map(|name| folder.join(name)).collect();
        let outputs: Vec<&Path> = outputs.iter().map(PathBuf::as_path).collect();
        files::check_files(&outputs, files::Folder::Made)?;
    }
    let done = table.plan(table.tasks())?;
    // In the day's wind a hole that is not reached is a problem.
    let plans = done.plans.into_iter().filter_map(|planned| match planned {
        Planned::Plan(plan) => Some(*plan),
        Planned::NotReached(..) => None,
    });
    let plans: Vec<Plan> = plans.collect();
    let written = write(&plans, &table.holes, &names, arguments)?;
    show(&plans, &written, table.holes.len(), arguments)?;
    if let (Some(folder), false) = (folder(arguments), written.is_empty()) {
        terminal::older(folder, &written, None);
    }
    if !done.stopped {
        return Ok(Ending::Whole);
    }
    terminal::aside(&format!(
        "stopped: {} of {} holes are planned",
        plans.len(),
        table.holes.len()
    ));
    Ok(Ending::Stopped)
}

/// In which cases the tee is decided again: a flower of winds takes these.
fn asked(arguments: &cli::Plan) -> Vec<cli::WhatIf> {
    let mut asked = arguments.what_if.clone();
    if arguments.also.contains(&cli::Form::Winds) && !asked.contains(&cli::WhatIf::Winds) {
        asked.push(cli::WhatIf::Winds);
    }
    asked
}

/// Where the results go; nowhere for bare `--json`.
fn folder(arguments: &cli::Plan) -> Option<&Path> {
    match (&arguments.out, arguments.json) {
        (Some(folder), _) => Some(folder),
        (None, false) => Some(Path::new(USUAL_FOLDER)),
        (None, true) => None,
    }
}

/// The names of the files, known before anything is planned.
struct Names {
    /// Of every hole, what each form is written as.
    holes: Vec<Vec<(File, String)>>,
    /// The total's, where there are several holes.
    total: Option<&'static str>,
    /// Of the round's pages.
    round: Vec<String>,
}

/// What is in a file of a hole.
#[derive(Clone, Copy)]
enum File {
    Drawing,
    /// Of a shot of the player's own, by its number.
    Own(usize),
    Plan,
    Also(cli::Form),
    /// In large type.
    Large,
}

impl Names {
    fn all(&self) -> impl Iterator<Item = &str> {
        let holes = self.holes.iter().flatten();
        let holes = holes.map(|(_, name)| name.as_str()).chain(self.total);
        holes.chain(self.round.iter().map(String::as_str))
    }
}

/// `own` is the number of the player's own shots on every hole.
fn names(holes: &[Hole], own: &[usize], arguments: &cli::Plan) -> Names {
    let mut forms = vec![(File::Drawing, "svg"), (File::Plan, "json")];
    let of_holes = arguments.also.iter();
    for form in of_holes.filter(|form| **form != cli::Form::Round) {
        let ending = ending(*form);
        // A form named twice is written once.
        if !forms.iter().any(|(_, known)| *known == ending) {
            forms.push((File::Also(*form), ending));
        }
    }
    let mut taken: Vec<String> = Vec::new();
    let mut of_hole = |(hole, own): (&Hole, &usize)| {
        let name = files::safe_name(&hole.reference, &taken);
        let each = forms.iter();
        let each = each.map(|(form, ending)| (*form, format!("hole-{name}.{ending}")));
        let own = (1..=*own).map(|k| (File::Own(k), format!("hole-{name}-instead-{k}.svg")));
        let large = arguments
            .large
            .then(|| (File::Large, format!("hole-{name}-large.svg")));
        let all = each.chain(own).chain(large).collect();
        taken.push(name);
        all
    };
    Names {
        holes: holes.iter().zip(own).map(&mut of_hole).collect(),
        total: (holes.len() > 1).then_some("course.json"),
        round: if arguments.also.contains(&cli::Form::Round) {
            let pages = holes.len().div_ceil(ladders::ON_A_PAGE);
            let name = |page| match page {
                1 => "round.svg".to_owned(),
                page => format!("round-{page}.svg"),
            };
            (1..=pages).map(name).collect()
        } else {
            Vec::new()
        },
    }
}

/// Writes a drawing, a plan file and what else is asked for a hole, all or none; nothing for bare
/// `--json`.
fn write(
    plans: &[Plan],
    holes: &[Hole],
    names: &Names,
    arguments: &cli::Plan,
) -> Result<Vec<PathBuf>, Problems> {
    let Some(folder) = folder(arguments) else {
        return Ok(Vec::new());
    };
    if plans.is_empty() {
        return Ok(Vec::new());
    }
    let mut outputs = Vec::new();
    let pairs = plans.par_iter().zip(holes);
    let drawings: Vec<String> = pairs.map(|(plan, hole)| page::page(plan, hole)).collect();
    for (((plan, hole), drawing), names) in plans.iter().zip(holes).zip(drawings).zip(&names.holes)
    {
        for (file, name) in names {
            let bytes = match file {
                File::Drawing => drawing.clone().into_bytes(),
                // A shot that keeps no ball in play has no page.
                File::Own(number) => {
                    match plan.own_shots.iter().find(|own| own.number == *number) {
                        Some(own) => page::page(&own.page, hole).into_bytes(),
                        None => continue,
                    }
                }
                File::Plan => report::json(plan).into_bytes(),
                File::Also(form) => match also(*form, plan, hole)? {
                    Some(bytes) => bytes,
                    // What the plan lacks is not drawn.
                    None => continue,
                },
                File::Large => large::large(plan).into_bytes(),
            };
            outputs.push((name.clone(), bytes));
        }
    }
    let round: Vec<ladders::Hole<'_>> = plans
        .iter()
        .zip(holes)
        .map(|(plan, hole)| ladders::Hole {
            plan,
            land: Land::of(hole),
        })
        .collect();
    if !names.round.is_empty() {
        let pages = ladders::pages("The round", &round).into_iter();
        let pages = pages.map(|page| sheet::svg(&page).into_bytes());
        outputs.extend(names.round.iter().cloned().zip(pages));
    }
    if let (Some(total), Some(name), true) = (course_total(plans), names.total, plans.len() > 1) {
        let bytes = report::course_json(&total).into_bytes();
        outputs.push((name.to_owned(), bytes));
    }
    files::write_folder(folder, outputs)
}

/// What the name of a file of this form ends in.
fn ending(form: cli::Form) -> &'static str {
    match form {
        cli::Form::Geojson => "geojson",
        cli::Form::Md => "md",
        cli::Form::Pdf => "pdf",
        cli::Form::View => "view.svg",
        cli::Form::Balls => "balls.svg",
        cli::Form::Winds => "winds.svg",
        cli::Form::Landscape => "landscape.svg",
        cli::Form::Round => "round.svg",
        #[cfg(feature = "png")]
        cli::Form::Png => "png",
    }
}

/// One more form of a plan; none where the plan lacks what it shows.
fn also(form: cli::Form, plan: &Plan, hole: &Hole) -> Result<Option<Vec<u8>>, Problem> {
    let land = Land::of(hole);
    let svg = |drawn: Option<Drawn>| drawn.map(|drawn| sheet::svg(&drawn).into_bytes());
    Ok(Some(match form {
        cli::Form::Balls => return Ok(svg(two_aims::lay_out(plan, &land))),
        cli::Form::Winds => return Ok(svg(flower::lay_out(plan))),
        cli::Form::Landscape => return Ok(svg(landscape::lay_out(plan, &land))),
        // A page of all holes.
        cli::Form::Round => return Ok(None),
        cli::Form::Geojson => geojson::geojson(plan).into_bytes(),
        cli::Form::Md => markdown::markdown(plan).into_bytes(),
        cli::Form::View => view::view(plan, hole).into_bytes(),
        cli::Form::Pdf => {
            let drawn = page::lay_out(plan, &Land::of(hole));
            let texts = drawn.layout.texts.iter().map(|text| text.words.as_str());
            terminal::boxed(&pdf::boxed(texts));
            let about = About {
                title: drawn.title,
                player: None,
            };
            let sheet = Sheet {
                size: PAGE,
                parts: vec![([0.0, 0.0], drawn.nodes)],
                name: None,
            };
            pdf::write(&about, &[sheet]).map_err(no_pdf)?
        }
        #[cfg(feature = "png")]
        cli::Form::Png => {
            let bytes = bendline::draw::png::write(&page::page(plan, hole), PICTURE_WIDTH);
            bytes.map_err(|error| broken(error.to_string()))?
        }
    }))
}

/// What to say when a PDF was refused.
pub fn no_pdf(error: pdf::NoPdf) -> Problem {
    broken(error.to_string())
}

fn broken(found: String) -> Problem {
    Problem {
        file: "drawing".into(),
        place: Place::File,
        expected: "a drawing that can be written".into(),
        found,
        remedy: "please report this, with the plan file".into(),
    }
}

/// Prints the plans of so many holes that were asked for, and where they were written.
fn show(
    plans: &[Plan],
    written: &[PathBuf],
    asked: usize,
    arguments: &cli::Plan,
) -> Result<(), Problems> {
    let wrote: Vec<String> = written.iter().map(|path| terminal::wrote(path)).collect();
    if arguments.json {
        for line in wrote {
            terminal::aside(&line);
        }
        return terminal::say(&match (plans, asked) {
            ([only], 1) => report::json(only),
            _ => report::several_json(course_total(plans).as_ref(), plans),
        });
    }
    if plans.is_empty() {
        return Ok(());
    }
    let setting = Setting {
        width: terminal::width(),
        full: arguments.full,
        look: terminal::look(),
    };
    let text = report::terminal(plans, &setting);
    terminal::say(&format!("{text}\n{}", wrote.join("\n")))
}
