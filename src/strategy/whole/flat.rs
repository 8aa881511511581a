//! Every choice's ways sorted by what they are worth something by.
//!
//! An aim of play asks what the same choices are worth after every number of strokes.
//! Balls on the green are the most ways and are worth what their putts are: their
//! chances are added up once. The others stand side by side, each kind for itself, so
//! that nothing is asked of a way but its weight and where it leads.

use super::chain::Chain;
use super::explicit::End;

/// The ways of all choices of a chain.
#[derive(Clone, Debug)]
pub(super) struct Flat {
    /// By place, the number of its first choice; one more at the end.
    first: Vec<u32>,
    choices: Vec<Sorted>,
    /// Weights, and where each leads: to places and reliefs, kind by kind.
    leads: Vec<(f32, u32)>,
}

/// The ways of a choice; where each kind begins among the leads.
#[derive(Clone, Debug)]
struct Sorted {
    lies: u32,
    woods: u32,
    reliefs: u32,
    drops: u32,
    end: u32,
    /// Chances to be on the green and to hole out in one, two and three putts.
    putts: [f32; 3],
    holed: f32,
    replayed: f32,
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

impl Flat {
    pub fn of(chain: &impl Chain) -> Self {
        let mut out = Self {
            first: Vec::with_capacity(chain.places() + 1),
            choices: Vec::new(),
            leads: Vec::new(),
        };
        let mut kinds: [Vec<(f32, u32)>; 4] = Default::default();
        for place in 0..chain.places() {
            out.first.push(out.choices.len() as u32);
            for choice in 0..chain.choices(place) {
                let mut putts = [0.0_f64; 3];
                let (mut holed, mut replayed) = (0.0, 0.0);
                chain.ways(place, choice, |weight, end| {
                    let mut lead = |kind: usize, to: u32| kinds[kind].push((weight as f32, to));
                    match end {
                        End::Lies(there) if chain.may_go_back(there as usize) => lead(1, there),
                        End::Lies(there) => lead(0, there),
                        End::Relief(node) => lead(2, node),
                        End::Drop(node) => lead(3, node),
                        End::Green(away) => {
                            for (sum, chance) in putts.iter_mut().zip(chain.putt_chances(away)) {
                                *sum += weight * chance;
                            }
                        }
                        End::Holed => holed += weight,
                        End::Replay => replayed += weight,
                    }
                });
                let mut starts = [0_u32; 4];
                for (start, kind) in starts.iter_mut().zip(&mut kinds) {
                    *start = out.leads.len() as u32;
                    out.leads.append(kind);
                }
                let [lies, woods, reliefs, drops] = starts;
                out.choices.push(Sorted {
                    lies,
                    woods,
                    reliefs,
                    drops,
                    end: out.leads.len() as u32,
                    putts: putts.map(|p| p as f32),
                    holed: holed as f32,
                    replayed: replayed as f32,
                });
            }
        }
        out.first.push(out.choices.len() as u32);
        out
    }

    /// What a choice of a place is worth; `again` is what it is worth to be back in
    /// the place two strokes later.
    pub fn worth(&self, [place, choice]: [usize; 2], again: f64, of: &Worths<'_>) -> f64 {
        let ways = &self.choices[self.first[place] as usize + choice];
        let leads = |from: u32, to: u32| &self.leads[from as usize..to as usize];
        let there = |place: u32| f64::from(of.places.get(place as usize).copied().unwrap_or(0.0));
        let mut sum = 0.0;
        for &(weight, to) in leads(ways.lies, ways.woods) {
            sum += f64::from(weight) * there(to);
        }
        for &(weight, to) in leads(ways.woods, ways.reliefs) {
            sum += f64::from(weight) * there(to).max(again);
        }
        for &(weight, to) in leads(ways.reliefs, ways.drops) {
            sum += f64::from(weight) * f64::from(of.reliefs[to as usize]).max(again);
        }
        for &(weight, to) in leads(ways.drops, ways.end) {
            sum += f64::from(weight) * f64::from(of.drops[to as usize]);
        }
        for (chance, worth) in ways.putts.iter().zip(of.putts) {
            sum += f64::from(*chance) * worth;
        }
        sum + f64::from(ways.holed) * of.holed + f64::from(ways.replayed) * again
    }
}
