//! One file for each command.

use crate::cli::Command;
use bendline::diagnostic::Problems;

/// Runs one command.
pub fn run(command: Command) -> Result<(), Problems> {
    crate::terminal::say(&format!("{command:?}"))?;
    Ok(())
}
