//! A hole as a chain of choices: the little that the score's distribution and
//! the aims of play need of it.
//!
//! Every way on from a place adds at least one stroke, so that anything told
//! stroke by stroke (how many strokes a hole takes; the best chance of par) is
//! found by one pass from the last stroke to the first, with no equation to
//! solve: a ball that is replayed comes back two strokes later.

use super::problem::End;

/// What becomes of a ball.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// It is played from this place next.
    Lies(u32),
    /// It is on the green, this far from the pin, m.
    Green(f32),
    /// One penalty stroke, and dropped in the best place of this crossing, or
    /// replayed, whichever is better.
    Penalty(u32),
    /// One penalty stroke, and dropped in this place.
    Dropped(u32),
    /// One penalty stroke, and replayed.
    Replay,
}

impl From<End> for Step {
    fn from(end: End) -> Self {
        match end {
            End::Lies(cell) => Self::Lies(cell),
            End::Green(away) => Self::Green(away),
            End::Penalty(node) => Self::Penalty(node),
            End::Replay => Self::Replay,
        }
    }
}

/// A finite chain of choices.
pub trait Chain: Sync {
    /// How many places a ball can lie in.
    fn places(&self) -> usize;

    /// How many choices there are in a place; 0 where it is not played from.
    fn choices(&self, place: usize) -> usize;

    /// Strokes that a choice takes before any penalty: 1, or 0 for a ball that
    /// is picked up and dropped, whose every way must then be a penalty.
    fn takes(&self, place: usize, choice: usize) -> usize;

    /// Every way on, with its weight; weights add to 1.
    fn ways(&self, place: usize, choice: usize, visit: impl FnMut(f64, Step));

    /// The places that a ball of this crossing may be dropped in; never empty.
    fn drops(&self, node: u32) -> &[u32];

    /// How many crossings there are.
    fn nodes(&self) -> usize;

    /// For a place on a green, which only a drop leads to: the way to the pin, m.
    fn green_m(&self, place: usize) -> Option<f32>;

    /// Chances of one, two and three putts.
    fn putt_chances(&self, distance_m: f32) -> [f64; 3];
}

/// A chain written out by hand, for tests against closed forms.
#[cfg(test)]
pub(super) mod made_up {
    use super::*;

    /// One choice: the strokes it takes, and its ways.
    pub type Choice = (usize, Vec<(f64, Step)>);

    /// Places with their choices, and drops.
    #[derive(Default)]
    pub struct MadeUp {
        pub places: Vec<Vec<Choice>>,
        pub drops: Vec<Vec<u32>>,
    }

    impl Chain for MadeUp {
        fn places(&self) -> usize {
            self.places.len()
        }
        fn choices(&self, place: usize) -> usize {
            self.places[place].len()
        }
        fn takes(&self, place: usize, choice: usize) -> usize {
            self.places[place][choice].0
        }
        fn ways(&self, place: usize, choice: usize, mut visit: impl FnMut(f64, Step)) {
            for &(weight, end) in &self.places[place][choice].1 {
                visit(weight, end);
            }
        }
        fn drops(&self, node: u32) -> &[u32] {
            &self.drops[node as usize]
        }
        fn nodes(&self) -> usize {
            self.drops.len()
        }
        fn green_m(&self, _: usize) -> Option<f32> {
            None
        }
        /// One putt from 0 m, two from 1 m, three from 2 m, in between linear.
        fn putt_chances(&self, distance_m: f32) -> [f64; 3] {
            let d = f64::from(distance_m);
            let near = (1.0 - d).max(0.0);
            let far = (d - 1.0).max(0.0);
            [near, 1.0 - near - far, far]
        }
    }
}
