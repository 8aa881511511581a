//! One file for each command.

mod check;
mod day;
mod flight;
mod plan;
mod practice;
mod shape;
mod subject;

use bendline::diagnostic::Problems;

use crate::cli::Command;

/// Runs one command.
///
/// # Errors
/// Every problem found with its inputs; nothing has then been written.
pub fn run(command: Command) -> Result<(), Problems> {
    match command {
        Command::Plan(arguments) => plan::run(&arguments),
        Command::Shape(arguments) => shape::run(&arguments),
        Command::Practice(arguments) => practice::run(&arguments),
        Command::Check(arguments) => check::run(&arguments),
        Command::Flight(arguments) => flight::run(&arguments),
    }
}
