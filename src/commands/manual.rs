//! `bendline manual`: completions and man pages, from the definitions of the arguments.

use bendline::diagnostic::{Place, Problem, Problems};
use clap::CommandFactory;

use crate::{cli, files, terminal};

/// Runs the command.
pub fn run(arguments: &cli::Manual) -> Result<(), Problems> {
    let mut command = cli::Cli::command();
    if let Some(shell) = arguments.completions {
        let mut script = Vec::new();
        clap_complete::generate(shell, &mut command, "bendline", &mut script);
        terminal::say(&String::from_utf8_lossy(&script))?;
    }
    let Some(folder) = &arguments.pages else {
        return Ok(());
    };
    files::check_folder(folder)?;
    command.build();
    let mut pages = vec![page("bendline", command.clone())?];
    for each in command.get_subcommands().filter(|c| c.get_name() != "help") {
        let name = format!("bendline-{}", each.get_name());
        pages.push(page(&name, each.clone())?);
    }
    let written = files::write_folder(folder, pages)?;
    let wrote: Vec<String> = written.iter().map(|path| terminal::wrote(path)).collect();
    terminal::say(&wrote.join("\n"))
}

/// The man page of one command: its file's name and text.
fn page(name: &str, command: clap::Command) -> Result<(String, Vec<u8>), Problem> {
    let mut text = Vec::new();
    // `man` finds it, and its synopsis names it, by the whole name.
    let command = command.display_name(name.to_owned());
    clap_mangen::Man::new(command)
        .title(name.to_owned())
        .render(&mut text)
        .map_err(|error| Problem {
            file: format!("{name}.1"),
            place: Place::File,
            expected: "a page that can be set".into(),
            found: error.to_string(),
            remedy: "please report this".into(),
        })?;
    Ok((format!("{name}.1"), text))
}
