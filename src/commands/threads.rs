//! The threads that a command computes on.

use std::num::NonZero;
use std::thread;

use bendline::diagnostic::{Place, Problem};

/// More threads a core only wait for each other.
const MOST_A_CORE: usize = 4;
/// More threads than `--threads` takes are not started on any machine.
const MOST: usize = 256;

/// Starts them: as many as wanted, within what the machine has cores for, or one a core. A number
/// that is set here is rayon's; otherwise it would take any that its environment variable holds.
///
/// # Errors
/// When the machine does not start as many.
pub fn start(wanted: Option<u16>) -> Result<(), Problem> {
    let cores = thread::available_parallelism().map_or(1, NonZero::get);
    let threads = wanted
        .map_or(cores, usize::from)
        .min(MOST_A_CORE * cores)
        .clamp(1, MOST);
    rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build_global()
        .map_err(|error| Problem {
            file: "command line".into(),
            place: Place::Argument(format!("--threads {threads}")),
            expected: "a number of threads this machine can start".into(),
            found: error.to_string(),
            remedy: "give a smaller number to --threads".into(),
        })
}
