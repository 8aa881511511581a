//! The command line: parse, run one command, show what was wrong, say so in the exit code.

mod cli;
mod commands;
mod files;
mod terminal;

use std::collections::HashMap;
use std::ffi::OsString;
use std::io::ErrorKind;
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

/// What PROJ's variables are named by.
const OF_PROJ: &str = "PROJ_";
/// What PROJ reads in their place. It writes no line of its own beside our messages. It takes its
/// data base out of the program: not from the user's folder, and not from one beside the program's,
/// which it leaves out where it is given a folder, as this one that never holds a file.
const FOR_PROJ: [(&str, &str); 3] = [
    ("PROJ_DEBUG", "0"),
    ("PROJ_SKIP_READ_USER_WRITABLE_DIRECTORY", "YES"),
    ("PROJ_DATA", "/dev/null"),
];

fn main() {
    let end = || -> ! { process::exit(i32::from(program())) };
    // PROJ reads all of this from the environment, and the bindings reach none of it otherwise.
    // Setting it is sound here, before there is a second thread; taking it back at the end would not
    // be, with the search's threads still there: so the process ends within, and it is never taken
    // back.
    let mut environment: HashMap<OsString, Option<&str>> = std::env::vars_os()
        .filter(|(name, _)| name.as_encoded_bytes().starts_with(OF_PROJ.as_bytes()))
        .map(|(name, _)| (name, None))
        .collect();
    environment.extend(FOR_PROJ.map(|(name, value)| (name.into(), Some(value))));
    temp_env::with_vars(environment.into_iter().collect::<Vec<_>>(), end);
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
