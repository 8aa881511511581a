//! What every target holds the readers to.
#![allow(dead_code, reason = "each target uses its own part")]

use std::sync::Once;

use bendline::diagnostic::{Note, Problems};

/// An error names at least one problem, and each of them in full, on lines that a terminal can
/// show as they are.
pub fn whole(problems: &Problems) {
    assert!(!problems.0.is_empty(), "an error without a problem");
    for problem in &problems.0 {
        for part in [&problem.expected, &problem.found, &problem.remedy] {
            assert!(!part.trim().is_empty(), "{problem:?}");
        }
    }
    let shown = problems.to_string();
    assert!(!shown.chars().any(|c| c.is_control() && c != '\n'));
}

/// A note says something that a terminal can show as it is.
pub fn noted(notes: &[Note]) {
    for note in notes {
        assert!(!note.text.trim().is_empty());
        assert!(!note.to_string().chars().any(char::is_control));
    }
}

/// A cheap hash of the input, to do costly things with a share of the inputs only.
pub fn one_in(data: &[u8], of: u32) -> bool {
    let hash = data.iter().fold(2_166_136_261_u32, |hash, &byte| {
        (hash ^ u32::from(byte)).wrapping_mul(16_777_619)
    });
    (hash >> 8) % of == 0
}

/// One thread: what is fuzzed is the work, not the scheduler.
pub fn one_thread() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let _ = rayon::ThreadPoolBuilder::new().num_threads(1).build_global();
    });
}
