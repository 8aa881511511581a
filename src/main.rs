//! The command line: parse, run one command, show what was wrong, say so in the exit code.

mod cli;
mod commands;
mod files;
mod terminal;

use std::io::ErrorKind;
use std::process::ExitCode;

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

fn main() -> ExitCode {
    ExitCode::from(program())
}

/// Runs the command line; the exit code.
fn program() -> u8 {
    let arguments = match cli::Cli::try_parse() {
        Ok(arguments) => arguments,
        Err(shown) => {
            // Help and version come this way too, and are no error.
            let printed = shown.print();
            let is_lost = printed.is_err_and(|e| e.kind() != ErrorKind::BrokenPipe);
            return match shown.exit_code() {
                0 if is_lost => BAD_INPUT,
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
