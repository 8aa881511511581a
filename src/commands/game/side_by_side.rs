//! Holes planned side by side.
//!
//! One hole does not keep every core busy to its end, two do nearly. What is said and
//! what comes out goes by the order of the tasks, whoever is done first.

use std::collections::VecDeque;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{self, Sender};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;

use bendline::diagnostic::{Place, Problem, Problems};
use bendline::strategy;

use super::progress::Timed;
use super::{Done, Planned, Table, Task};

/// So many holes at once: of more, each would only take the others' memory.
const AT_ONCE: usize = 2;

/// What is heard while the work goes on; tasks by their number.
enum Event {
    Step(usize, strategy::Progress),
    Made(usize, Result<Planned, Problems>),
    BrokeOff,
    Stop,
}

/// Tells of a thread that ends by a panic: the others and the answer to Ctrl-C keep
/// the channel open.
struct LastWord(Sender<Event>);

impl Drop for LastWord {
    fn drop(&mut self) {
        if thread::panicking() {
            let _ = self.0.send(Event::BrokeOff);
        }
    }
}

/// The tasks of one hole, which build on each other, with the number of the first.
type OneHole = (usize, Vec<Task>);

fn by_hole(tasks: Vec<Task>) -> VecDeque<OneHole> {
    let mut holes: VecDeque<OneHole> = VecDeque::new();
    for (number, task) in tasks.into_iter().enumerate() {
        match holes.back_mut() {
            Some((_, same)) if same[0].hole == task.hole => same.push(task),
            _ => holes.push_back((number, vec![task])),
        }
    }
    holes
}

/// Plans every task, until all are done, one fails, or Ctrl-C is pressed.
///
/// # Errors
/// The first task's that fails, in their order.
pub(super) fn plan(table: &Arc<Table>, tasks: Vec<Task>) -> Result<Done, Problems> {
    let (events, heard) = mpsc::channel();
    let stop = events.clone();
    // Only one command runs in a process. Where no handler can be set, Ctrl-C ends the
    // process: files are moved into place whole, so none is left half written.
    let _ = ctrlc::set_handler(move || {
        let _ = stop.send(Event::Stop);
    });
    let total = tasks.len();
    let names: Vec<String> = tasks.iter().map(|task| table.begin(*task)).collect();
    let holes = Arc::new(Mutex::new(by_hole(tasks)));
    // Not this thread's work, so that the answer to Ctrl-C need not wait for it. It is the
    // pool's own: handed in from outside, each of a hole's thousand short parallel parts
    // would wake a thread first, and two cores would stand still a twelfth of their time.
    // Of work that is told to each thread none can start within another's, waiting for it.
    rayon::spawn_broadcast({
        let table = Arc::clone(table);
        move |thread| {
            if thread.index() < AT_ONCE {
                let events = events.clone();
                // Whoever panics has told so by its last word.
                let _ = catch_unwind(AssertUnwindSafe(|| work(&table, &holes, events)));
            }
        }
    });

    let mut progress = Timed::new(total);
    let mut made: Vec<Option<Planned>> = (0..total).map(|_| None).collect();
    let mut failed: Vec<(usize, Problems)> = Vec::new();
    // The first task that is not done.
    let mut next = 0;
    if let Some(name) = names.first() {
        progress.begin(name);
    }
    let mut stopped = false;
    while next < total {
        match heard.recv() {
            Ok(Event::Step(task, step)) if task == next => progress.step(next, step),
            Ok(Event::Step(..)) => {}
            Ok(Event::Made(task, plan)) => match plan {
                Ok(plan) => made[task] = Some(plan),
                Err(problems) => failed.push((task, problems)),
            },
            Ok(Event::Stop) => {
                stopped = true;
                break;
            }
            Ok(Event::BrokeOff) | Err(_) => return Err(broke_off(table).into()),
        }
        while made.get(next).is_some_and(Option::is_some) {
            next += 1;
            if let Some(name) = names.get(next) {
                progress.begin(name);
            }
        }
        if let Some(at) = failed.iter().position(|(task, _)| *task == next) {
            return Err(failed.swap_remove(at).1);
        }
    }
    made.truncate(next);
    Ok(Done {
        plans: made.into_iter().flatten().collect(),
        stopped,
    })
}

fn work(table: &Table, holes: &Mutex<VecDeque<OneHole>>, events: Sender<Event>) {
    let events = LastWord(events);
    let take = || {
        let mut holes = holes.lock().unwrap_or_else(PoisonError::into_inner);
        holes.pop_front()
    };
    while let Some((first, tasks)) = take() {
        let mut before = None;
        for (number, task) in (first..).zip(tasks) {
            let tell = |step| {
                let _ = events.0.send(Event::Step(number, step));
            };
            let made = table.plan_one(task, &tell, &mut before);
            let over = made.is_err();
            let told = events.0.send(Event::Made(number, made));
            if told.is_err() {
                return;
            }
            if over {
                break;
            }
        }
    }
}

fn broke_off(table: &Table) -> Problem {
    Problem {
        file: table.file.clone(),
        place: Place::File,
        expected: "a search that comes to an end".into(),
        found: "one that broke off".into(),
        remedy: "please report this, with the files".into(),
    }
}
