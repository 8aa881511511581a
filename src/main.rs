//! The command line: parse, run one command, show what was wrong, say so in the exit code.

mod cli;
mod commands;
mod files;
mod terminal;

use std::process;

use clap::Parser;

use commands::Ending;

/// Done.
const DONE: u8 = 0;
/// Something was wrong with an input.
const BAD_INPUT: u8 = 1;
/// The command line was not understood.
const BAD_USAGE: u8 = 2;
/// Stopped by Ctrl-C: 128 and the signal's number, as shells have it.
const STOPPED: u8 = 130;

/// PROJ's own switch for how much it prints.
const PROJ_DEBUG: &str = "PROJ_DEBUG";

fn main() {
    let end = || -> ! { process::exit(i32::from(program())) };
    // PROJ writes a line of its own beside our message where it does not know a coordinate system.
    // Its level is read from the environment and from nowhere else that the bindings reach. Setting
    // it is sound here, before there is a second thread; taking it back at the end would not be,
    // with the search's threads still there: so the process ends within, and it is never taken back.
    match std::env::var_os(PROJ_DEBUG) {
        Some(_) => end(),
        None => temp_env::with_var(PROJ_DEBUG, Some("0"), end),
    }
}

/// Runs the command line; the exit code.
fn program() -> u8 {
    let arguments = match cli::Cli::try_parse() {
        Ok(arguments) => arguments,
        Err(shown) => {
            // Help and version come this way too, and are no error.
            let _ = shown.print();
            return match shown.exit_code() {
                0 => DONE,
                _ => BAD_USAGE,
            };
        }
    };
    match commands::run(arguments.command) {
        Ok(Ending::Whole) => DONE,
        Ok(Ending::Stopped) => STOPPED,
        Ok(Ending::Faulty) => BAD_INPUT,
        Err(problems) => {
            terminal::problems(&problems);
            BAD_INPUT
        }
    }
}
