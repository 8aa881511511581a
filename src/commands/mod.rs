//! One file for each command.

mod book;
mod check;
mod day;
mod flight;
mod game;
mod manual;
mod plan;
mod practice;
mod review;
mod shape;
mod subject;
mod threads;

use bendline::diagnostic::Problems;

use crate::cli::Command;
use crate::files;

/// How a command ended that found nothing wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// With everything done.
    Whole,
    /// Early, by Ctrl-C; what was done is written.
    Stopped,
    /// With problems found and shown: finding them was the work.
    Faulty,
}

/// Runs one command.
///
/// # Errors
/// Every problem found with its inputs; nothing has then been written.
pub fn run(command: Command) -> Result<Ending, Problems> {
    threads::start(command.threads())?;
    files::keep(command.inputs());
    match command {
        Command::Plan(arguments) => return plan::run(&arguments),
        Command::Book(arguments) => return book::run(&arguments),
        Command::Shape(arguments) => shape::run(&arguments),
        Command::Practice(arguments) => practice::run(&arguments),
        Command::Review(arguments) => review::run(&arguments),
        Command::Check(arguments) => return check::run(&arguments),
        Command::Flight(arguments) => flight::run(&arguments),
        Command::Manual(arguments) => manual::run(&arguments),
    }
    .map(|()| Ending::Whole)
}
