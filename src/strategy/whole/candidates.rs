//! Which shots are priced from a state and from the tee, by what they are roughly worth.

use super::action::Action;
use super::explicit::{State, Table};
use super::lie::Lie;
use super::screen::steps_apart;

/// Choices kept for the tee shot: where a contending club's balls lie is priced only where it
/// was among them. With 12 what plans tell is 0.0014 strokes more (22 tees, four seeds of the
/// balls; 0.0007 less with the twentieth of the time that 0.2 for `TEE_MARGIN` takes).
const TEE_CHOICES: usize = 20;
/// A swing whose best rough price from the tee is this much dearer than the best need not be
/// among them, strokes.
const TEE_ROUGHLY: f32 = 0.25;
/// Aims of one swing nearer than this to a better one's are left out, steps.
const TOO_LIKE: usize = 1;

/// The best of a rough list, each unlike those before it.
fn chosen(list: &[(f32, Action)], count: usize) -> Vec<Action> {
    let mut out: Vec<Action> = Vec::new();
    for &(_, action) in list {
        if out.len() >= count {
            break;
        }
        let like = |b: &Action| b.swing == action.swing && steps_apart(*b, action) <= TOO_LIKE;
        if !out.iter().any(like) {
            out.push(action);
        }
    }
    out
}

/// The shots that are priced from the tee, at least so many if there are, of a rough list, the
/// best first: those that are best of their swing before others.
pub(super) fn tee_candidates(list: &[(f32, Action)], least_count: usize) -> Vec<Action> {
    let count = TEE_CHOICES.max(least_count);
    let least = list.first().map_or(f32::INFINITY, |first| first.0);
    let near = list.iter().take_while(|shot| shot.0 <= least + TEE_ROUGHLY);
    let mut first: Vec<(f32, Action)> = Vec::new();
    for &(strokes, action) in near {
        if first.len() < count && first.iter().all(|f| f.1.swing != action.swing) {
            first.push((strokes, action));
        }
    }
    first.extend(list);
    chosen(&first, count)
}

/// The shots that are priced from a state, so many at most, and what is always there to do.
pub(super) fn candidates(table: &Table, state: &State, count: usize) -> Vec<Action> {
    let (problem, screening) = (&table.problem, &table.screening);
    let quick = match count {
        1 => screening.quick_shot(problem, state.at, state.lie),
        _ => None,
    };
    let mut out = match quick {
        Some(action) => vec![action],
        None => chosen(
            &screening.shots(problem, state.at, state.lie, 4 * count),
            count,
        ),
    };
    match state.lie {
        Lie::Recovery => out.push(Action::UNPLAYABLE),
        Lie::Fairway => out.push(Action::PUTT),
        _ => {}
    }
    out
}
