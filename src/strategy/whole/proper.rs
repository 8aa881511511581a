//! States from which the hole is never reached.
//!
//! Going back under stroke and distance is always allowed, so a hole can be finished from a
//! state where a ball of one of its choices comes to the green or to a state that it can be
//! finished from. From any other state it is never finished: every choice of it leads to
//! balls that are replayed, and to states of that kind. Its value is infinite; iteration
//! would count sweeps. A ball that comes to lie in such a state goes back.

use super::explicit::{End, Explicit, Spot};

impl Explicit {
    /// Takes the choices from the states that the hole is never finished from, makes every way
    /// to such a state one that goes back, and strikes such states from the drops.
    pub(super) fn strike_dead_ends(&mut self) {
        let lives = Lives::of(self);
        if lives.are_all() {
            return;
        }
        let lies = |state: u32| lives.states[state as usize];
        for (node, lives) in self.nodes.iter_mut().zip(&lives.nodes) {
            // Nobody takes a relief without a place: it keeps those that it has.
            node.spots.retain(|spot| match *spot {
                Spot::State(state) => !lives || lies(state),
                Spot::Green(_) => true,
            });
        }
        for way in &mut self.ways {
            let goes_on = match way.end {
                End::Lies(state) => lies(state),
                End::Relief(node) | End::Drop(node) => lives.nodes[node as usize],
                End::Green(_) | End::Holed | End::Replay => true,
            };
            if !goes_on {
                way.end = End::Replay;
            }
        }
        let mut kept = Vec::with_capacity(self.choices.len());
        let mut first_choice = vec![0];
        for state in 0..self.states.len() as u32 {
            if lies(state) {
                kept.extend_from_slice(self.choices(state));
            }
            first_choice.push(kept.len() as u32);
        }
        (self.choices, self.first_choice) = (kept, first_choice);
        self.dead_ends = lives.states.iter().map(|lives| !lives).collect();
    }

    /// Whether the hole is never finished from a state.
    #[must_use]
    pub fn is_dead_end(&self, state: u32) -> bool {
        self.dead_ends.get(state as usize).is_some_and(|dead| *dead)
    }
}

/// States that the hole is finished from, and reliefs with a place of that kind.
pub(super) struct Lives {
    pub states: Vec<bool>,
    nodes: Vec<bool>,
}

impl Lives {
    pub fn of(explicit: &Explicit) -> Self {
        let mut out = Self {
            states: vec![false; explicit.states.len()],
            nodes: vec![false; explicit.nodes.len()],
        };
        // States are numbered from the tee on: most are settled in the first pass.
        let mut open: Vec<u32> = (0..explicit.states.len() as u32).rev().collect();
        let mut reliefs: Vec<usize> = (0..explicit.nodes.len()).collect();
        loop {
            let before = (open.len(), reliefs.len());
            open.retain(|&state| {
                let lives = out.finishes(explicit, state);
                out.states[state as usize] = lives;
                !lives
            });
            reliefs.retain(|&node| {
                let lives = explicit.nodes[node].spots.iter().any(|spot| match *spot {
                    Spot::State(state) => out.states[state as usize],
                    Spot::Green(_) => true,
                });
                out.nodes[node] = lives;
                !lives
            });
            if before == (open.len(), reliefs.len()) {
                return out;
            }
        }
    }

    fn are_all(&self) -> bool {
        self.states.iter().all(|lives| *lives)
    }

    fn finishes(&self, explicit: &Explicit, state: u32) -> bool {
        let ways = |choice| explicit.ways(choice).iter();
        explicit.choices(state).iter().flat_map(ways).any(|way| {
            way.weight > 0.0
                && match way.end {
                    End::Lies(state) => self.states[state as usize],
                    End::Relief(node) | End::Drop(node) => self.nodes[node as usize],
                    End::Green(_) | End::Holed => true,
                    End::Replay => false,
                }
        })
    }
}
