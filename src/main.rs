//! The command line: parse, run one command, show what was wrong, say so in the exit code.

mod cli;
mod commands;
mod files;
mod terminal;

use std::process::ExitCode;

use clap::Parser;

use commands::Ending;

/// Something was wrong with an input.
const BAD_INPUT: u8 = 1;
/// The command line was not understood.
const BAD_USAGE: u8 = 2;
/// Stopped by Ctrl-C: 128 and the signal's number, as shells have it.
const STOPPED: u8 = 130;

/// PROJ's own switch for how much it prints.
const PROJ_DEBUG: &str = "PROJ_DEBUG";

fn main() -> ExitCode {
    // PROJ writes a line of its own beside our message where it does not know a coordinate system.
    // Its level is read from the environment, which is set here, before there is a second thread.
    match std::env::var_os(PROJ_DEBUG) {
        Some(_) => program(),
        None => temp_env::with_var(PROJ_DEBUG, Some("0"), program),
    }
}

fn program() -> ExitCode {
    let arguments = match cli::Cli::try_parse() {
        Ok(arguments) => arguments,
        Err(shown) => {
            // Help and version come this way too, and are no error.
            let _ = shown.print();
            return match shown.exit_code() {
                0 => ExitCode::SUCCESS,
                _ => ExitCode::from(BAD_USAGE),
            };
        }
    };
    match commands::run(arguments.command) {
        Ok(Ending::Whole) => ExitCode::SUCCESS,
        Ok(Ending::Stopped) => ExitCode::from(STOPPED),
        Ok(Ending::Faulty) => ExitCode::from(BAD_INPUT),
        Err(problems) => {
            terminal::problems(&problems);
            ExitCode::from(BAD_INPUT)
        }
    }
}
