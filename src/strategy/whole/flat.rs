//! Every choice's ways sorted by what they are worth something by.
//!
//! Whoever asks stroke by stroke asks the same choices again and again. Balls on the
//! green are the most ways and are worth what their putts are: their chances are added
//! up once. The others stand side by side, each kind for itself, so that nothing is
//! asked of a way but its weight and where it leads.

use super::chain::Written;
use super::explicit::End;

/// The ways of all choices of a chain.
#[derive(Clone, Debug, Default)]
pub struct Flat {
    /// By place, where its choices end.
    ends: Vec<u32>,
    choices: Vec<Sorted>,
    /// Of the ways that lead on, kind by kind: the weight, and the place or relief.
    weights: Vec<f64>,
    to: Vec<u32>,
    /// Those of the choice in hand.
    in_hand: [Vec<(f64, u32)>; 4],
}

/// The ways of a choice; where each kind begins among those that lead on.
#[derive(Clone, Copy, Debug)]
struct Sorted {
    kinds: [u32; 5],
    putts: [f64; 3],
    holed: f64,
    replayed: f64,
}

const LIES: usize = 0;
const WOODS: usize = 1;
const RELIEFS: usize = 2;
const DROPS: usize = 3;

/// The ways of one choice.
#[derive(Clone, Copy)]
pub(super) struct Ways<'a> {
    flat: &'a Flat,
    sorted: &'a Sorted,
}

impl<'a> Ways<'a> {
    fn kind(self, kind: usize) -> impl Iterator<Item = (f64, u32)> + 'a {
        let [from, to] = [kind, kind + 1].map(|k| self.sorted.kinds[k] as usize);
        let weights = &self.flat.weights[from..to];
        weights
            .iter()
            .copied()
            .zip(self.flat.to[from..to].iter().copied())
    }
    /// Balls that are played from a place next.
    pub fn lies(self) -> impl Iterator<Item = (f64, u32)> + 'a {
        self.kind(LIES)
    }
    /// The same among trees, where one may go back.
    pub fn woods(self) -> impl Iterator<Item = (f64, u32)> + 'a {
        self.kind(WOODS)
    }
    /// Balls that are dropped under a penalty, by relief.
    pub fn reliefs(self) -> impl Iterator<Item = (f64, u32)> + 'a {
        self.kind(RELIEFS)
    }
    /// The same where the stroke is the penalty.
    pub fn drops(self) -> impl Iterator<Item = (f64, u32)> + 'a {
        self.kind(DROPS)
    }
    /// Chances to be on the green and to hole out in one, two and three putts.
    pub fn putts(self) -> [f64; 3] {
        self.sorted.putts
    }
    /// The share that goes in.
    pub fn holed(self) -> f64 {
        self.sorted.holed
    }
    /// The share that is replayed.
    pub fn replayed(self) -> f64 {
        self.sorted.replayed
    }
}

impl Flat {
    /// The ways of a chain as it is written.
    pub fn of(written: &impl Written) -> Self {
        let mut out = Self::default();
        for place in 0..written.places() {
            for choice in 0..written.choices(place) {
                let mut sorted = Sorted {
                    kinds: [0; 5],
                    putts: [0.0; 3],
                    holed: 0.0,
                    replayed: 0.0,
                };
                let kinds = &mut out.in_hand;
                written.ways(place, choice, |weight, end| match end {
                    End::Lies(there) if written.may_go_back(there as usize) => {
                        kinds[WOODS].push((weight, there));
                    }
                    End::Lies(there) => kinds[LIES].push((weight, there)),
                    End::Relief(node) => kinds[RELIEFS].push((weight, node)),
                    End::Drop(node) => kinds[DROPS].push((weight, node)),
                    End::Green(away) => {
                        let chances = written.putt_chances(away);
                        for (sum, chance) in sorted.putts.iter_mut().zip(chances) {
                            *sum += weight * chance;
                        }
                    }
                    End::Holed => sorted.holed += weight,
                    End::Replay => sorted.replayed += weight,
                });
                out.push(sorted);
            }
            out.close_place();
        }
        out
    }

    /// One more choice of the place in hand, and the ways in hand.
    fn push(&mut self, sorted: Sorted) {
        let mut starts = [self.to.len() as u32; 5];
        for (kind, start) in self.in_hand.iter_mut().zip(&mut starts[1..]) {
            for (weight, to) in kind.drain(..) {
                self.weights.push(weight);
                self.to.push(to);
            }
            *start = self.to.len() as u32;
        }
        self.choices.push(Sorted {
            kinds: starts,
            ..sorted
        });
    }

    /// No more choices in this place.
    pub(super) fn close_place(&mut self) {
        self.ends.push(self.choices.len() as u32);
    }

    /// One more choice of the place in hand: another chain's, its places and reliefs
    /// numbered anew. `woods` says among which places one may go back.
    pub(super) fn push_other(
        &mut self,
        ways: Ways<'_>,
        place: impl Fn(u32) -> u32,
        first_relief: u32,
        woods: impl Fn(u32) -> bool,
    ) {
        let kinds = &mut self.in_hand;
        for (weight, to) in ways.lies().chain(ways.woods()) {
            let there = place(to);
            let kind = if woods(there) { WOODS } else { LIES };
            kinds[kind].push((weight, there));
        }
        let moved = |(weight, node)| (weight, node + first_relief);
        kinds[RELIEFS].extend(ways.reliefs().map(moved));
        kinds[DROPS].extend(ways.drops().map(moved));
        self.push(*ways.sorted);
    }

    /// How many places there are.
    pub(super) fn places(&self) -> usize {
        self.ends.len()
    }

    fn first(&self, place: usize) -> usize {
        place
            .checked_sub(1)
            .map_or(0, |before| self.ends[before] as usize)
    }

    /// How many choices there are in a place.
    pub(super) fn choices(&self, place: usize) -> usize {
        self.ends[place] as usize - self.first(place)
    }

    /// The ways of a choice of a place.
    #[inline]
    pub(super) fn ways(&self, place: usize, choice: usize) -> Ways<'_> {
        Ways {
            flat: self,
            sorted: &self.choices[self.first(place) + choice],
        }
    }
}

/// What the ways lead to is worth.
pub(super) struct Worths<'a> {
    /// By place, after one stroke more; empty once nothing is worth anything.
    pub places: &'a [f32],
    /// By relief, after a stroke and its penalty.
    pub reliefs: &'a [f32],
    /// By relief, where the stroke is the penalty.
    pub drops: &'a [f32],
    /// One, two and three putts after one stroke more.
    pub putts: [f64; 3],
    /// To have holed out with this stroke.
    pub holed: f64,
}

impl Worths<'_> {
    /// What these ways are worth; `again` is what it is worth to be back in their place
    /// two strokes later.
    pub fn of(&self, ways: Ways<'_>, again: f64) -> f64 {
        let there = |place: u32| f64::from(self.places.get(place as usize).copied().unwrap_or(0.0));
        let mut sum = 0.0;
        for (weight, place) in ways.lies() {
            sum += weight * there(place);
        }
        for (weight, place) in ways.woods() {
            sum += weight * there(place).max(again);
        }
        for (weight, node) in ways.reliefs() {
            sum += weight * f64::from(self.reliefs[node as usize]).max(again);
        }
        for (weight, node) in ways.drops() {
            sum += weight * f64::from(self.drops[node as usize]);
        }
        for (chance, worth) in ways.putts().into_iter().zip(self.putts) {
            sum += chance * worth;
        }
        sum + ways.holed() * self.holed + ways.replayed() * again
    }
}
