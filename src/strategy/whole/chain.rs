//! A hole as a chain of choices: the little that the score's distribution and
//! the objectives need of it.
//!
//! Every way on from a place adds at least one stroke, so that anything said
//! stroke by stroke (how many strokes a hole takes; the best chance of par) is
//! found by one pass from the last stroke to the first, with no equation to
//! solve: a ball that is replayed comes back two strokes later.

use super::explicit::{Choice, End, Explicit, Node};
use super::flat::Flat;

/// A finite chain of choices. Every choice takes one stroke.
pub trait Chain: Sync {
    /// Its places and choices, and every way on.
    fn flat(&self) -> &Flat;

    /// The places of a relief, and its penalty: at most 2.
    fn relief(&self, node: u32) -> &Node;

    /// How many reliefs there are.
    fn reliefs(&self) -> usize;

    /// Chances of one, two and three putts.
    fn putt_chances(&self, distance_m: f32) -> [f64; 3];

    /// Whether reliefs are taken, whatever going back is worth.
    fn settled(&self) -> bool {
        false
    }
}

/// A chain as it is written out, way by way.
pub trait Written {
    /// How many places a ball can lie in.
    fn places(&self) -> usize;

    /// How many choices there are in a place; 0 where it is not played from.
    fn choices(&self, place: usize) -> usize;

    /// Every way on, with its weight; weights add to 1. [`End::Lies`] names a
    /// place.
    fn ways(&self, place: usize, choice: usize, visit: impl FnMut(f64, End));

    /// Chances of one, two and three putts.
    fn putt_chances(&self, distance_m: f32) -> [f64; 3];

    /// Whether a ball that came to lie in a place may be replayed from where it was
    /// played (Rule 19.2a).
    fn may_go_back(&self, place: usize) -> bool;
}

/// A hole as it is written out; its places are the states.
impl Written for Explicit {
    fn places(&self) -> usize {
        self.states().len()
    }
    fn choices(&self, place: usize) -> usize {
        Self::choices(self, place as u32).len()
    }
    fn ways(&self, place: usize, choice: usize, mut visit: impl FnMut(f64, End)) {
        let choice: &Choice = &Self::choices(self, place as u32)[choice];
        for way in Self::ways(self, choice) {
            visit(f64::from(way.weight), way.end);
        }
    }
    fn putt_chances(&self, distance_m: f32) -> [f64; 3] {
        Self::putt_chances(self, distance_m)
    }
    fn may_go_back(&self, place: usize) -> bool {
        Self::may_go_back(self, place as u32)
    }
}

impl Chain for Explicit {
    fn flat(&self) -> &Flat {
        Self::flat(self)
    }
    fn relief(&self, node: u32) -> &Node {
        self.drops(node)
    }
    fn reliefs(&self) -> usize {
        self.drop_count()
    }
    fn putt_chances(&self, distance_m: f32) -> [f64; 3] {
        Self::putt_chances(self, distance_m)
    }
    fn settled(&self) -> bool {
        self.is_settled()
    }
}

/// A chain written out by hand, for tests against closed forms.
#[cfg(test)]
pub(super) mod made_up {
    use std::sync::OnceLock;

    use super::super::explicit::Spot;
    use super::*;

    /// A relief of one stroke into these places.
    pub fn drop_in(places: &[u32]) -> Node {
        Node {
            penalty: 1,
            spots: places.iter().map(|p| Spot::State(*p)).collect(),
        }
    }

    /// One choice: its ways.
    pub type Choice = Vec<(f64, End)>;

    /// Places with their choices, and drops.
    #[derive(Default)]
    pub struct MadeUp {
        pub places: Vec<Vec<Choice>>,
        pub drops: Vec<Node>,
        /// Places among trees.
        pub woods: Vec<usize>,
        pub flat: OnceLock<Flat>,
    }

    impl Written for MadeUp {
        fn places(&self) -> usize {
            self.places.len()
        }
        fn choices(&self, place: usize) -> usize {
            self.places[place].len()
        }
        fn ways(&self, place: usize, choice: usize, mut visit: impl FnMut(f64, End)) {
            for &(weight, end) in &self.places[place][choice] {
                visit(weight, end);
            }
        }
        fn may_go_back(&self, place: usize) -> bool {
            self.woods.contains(&place)
        }
        /// One putt from 0 m, two from 1 m, three from 2 m, in between linear.
        fn putt_chances(&self, distance_m: f32) -> [f64; 3] {
            let d = f64::from(distance_m);
            let near = (1.0 - d).max(0.0);
            let far = (d - 1.0).max(0.0);
            [near, 1.0 - near - far, far]
        }
    }

    impl Chain for MadeUp {
        fn flat(&self) -> &Flat {
            self.flat.get_or_init(|| Flat::of(self))
        }
        fn relief(&self, node: u32) -> &Node {
            &self.drops[node as usize]
        }
        fn reliefs(&self) -> usize {
            self.drops.len()
        }
        fn putt_chances(&self, distance_m: f32) -> [f64; 3] {
            Written::putt_chances(self, distance_m)
        }
    }
}
