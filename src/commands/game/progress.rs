//! What a planning says while it goes on.

use std::time::Instant;

use bendline::strategy;

use crate::terminal;

/// Progress over many tasks, with the time left.
pub(super) struct Timed {
    started: Instant,
    total: usize,
    bar: Option<terminal::Progress>,
}

impl Timed {
    pub fn new(total: usize) -> Self {
        Self {
            started: Instant::now(),
            total,
            bar: None,
        }
    }

    pub fn begin(&mut self, what: &str) {
        // The old bar goes before the new one comes.
        self.bar = None;
        self.bar = Some(terminal::Progress::begin(what));
    }

    pub fn step(&self, finished: usize, step: strategy::Progress) {
        let Some(bar) = &self.bar else {
            return;
        };
        let share = step.done as f64 / step.total.max(1) as f64;
        let done = (finished as f64 + share) / self.total.max(1) as f64;
        let spent = self.started.elapsed().as_secs_f64();
        let doing = if self.total > 1 && done > 0.01 {
            format!(
                "{} ({} of {}, about {:.0} s left)",
                step.doing,
                finished + 1,
                self.total,
                spent / done - spent
            )
        } else {
            step.doing.to_owned()
        };
        bar.at(step.done, step.total, &doing);
    }
}
