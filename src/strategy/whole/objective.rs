//! What the player wants of the hole, and how well it can be had.
//!
//! Fewest strokes is one objective. Others look at the score alone: its worth
//! is 1 or 0 for *par or better* and for *no double bogey*, Stableford points
//! (Rule 21.1b), or the chance of winning the hole against an opponent's scores.
//! What is best then depends on the strokes already played: two down the hole
//! with par gone, nothing is left to lose. [`FiniteHorizon`](crate::mdp::FiniteHorizon) finds it.
//!
//! # What is stated
//! - A halved hole counts as half a hole won. The opponent's score is taken to
//!   be drawn whatever the player does, and unseen.
//! - Stableford points are gross unless strokes are received: a score of one
//!   over the player's own target for the hole is 1 point, on it 2, and so on;
//!   every stroke received raises the target by one. On which holes they are
//!   received goes by stroke index: [`strokes_received`].

use std::fmt;

use super::scores::Scores;
use crate::mdp::Utility;

/// What the player wants.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Objective {
    /// Fewest strokes on average.
    #[default]
    Strokes,
    /// The best chance of par or better.
    Par,
    /// The best chance of one over par or better.
    NoDouble,
    /// Most Stableford points on average.
    Points {
        /// Handicap strokes received on this hole; below 0 given back.
        received: i8,
    },
    /// Winning the hole, a half counted as half, against an opponent.
    Match {
        /// How often the opponent takes how many strokes.
        opponent: Scores,
    },
}

impl Objective {
    /// Its key, as in files and options.
    #[must_use]
    pub fn key(&self) -> &'static str {
        match self {
            Self::Strokes => "strokes",
            Self::Par => "par",
            Self::NoDouble => "no-double",
            Self::Points { .. } => "points",
            Self::Match { .. } => "match",
        }
    }

    /// In words.
    #[must_use]
    pub fn words(&self) -> &'static str {
        match self {
            Self::Strokes => "fewest strokes",
            Self::Par => "par or better",
            Self::NoDouble => "no double bogey",
            Self::Points { .. } => "Stableford points",
            Self::Match { .. } => "winning the hole",
        }
    }

    /// Whether its worth is a chance, 0 to 1.
    #[must_use]
    pub fn is_chance(&self) -> bool {
        matches!(self, Self::Par | Self::NoDouble | Self::Match { .. })
    }

    /// What a score is worth; more is better.
    #[must_use]
    pub fn worth(&self, score: usize, par: usize) -> f64 {
        let chance = |yes: bool| f64::from(u8::from(yes));
        match self {
            Self::Strokes => -(score as f64),
            Self::Par => chance(score <= par),
            Self::NoDouble => chance(score <= par + 1),
            Self::Points { received } => {
                let first_worthless = worthless_points(par, *received);
                first_worthless.saturating_sub(score) as f64
            }
            Self::Match { opponent } => {
                let halved = opponent.by_strokes.get(score).copied().unwrap_or(0.0);
                (1.0 - opponent.at_most(score)).max(0.0) + 0.5 * halved
            }
        }
    }

    /// The first score from which on all are worth nothing; none where every
    /// stroke always counts.
    #[must_use]
    pub fn worthless(&self, par: usize) -> Option<usize> {
        match self {
            Self::Strokes => None,
            Self::Par => Some(par + 1),
            Self::NoDouble => Some(par + 2),
            Self::Points { received } => Some(worthless_points(par, *received)),
            Self::Match { opponent } => Some(opponent.by_strokes.len()),
        }
    }

    /// Its worth as a utility of the strokes; none for fewest strokes, which value iteration finds.
    #[must_use]
    pub fn utility(&self, par: usize) -> Option<Utility> {
        let worthless = self.worthless(par)?;
        Some(Utility::new(worthless, |score| self.worth(score, par)))
    }
}

/// The first score that is worth no point: two over par and what is received.
fn worthless_points(par: usize, received: i8) -> usize {
    (par + 2).saturating_add_signed(isize::from(received))
}

/// Strokes received on a hole by its stroke index, of so many over a round of
/// `holes` holes whose indices run from 1 to that: one on each hole from index 1 on,
/// then a second on each; below 0, one given back on each from the last index
/// backwards (Rules of Handicapping, Appendix E).
#[must_use]
pub fn strokes_received(over_the_round: i32, index: u8, holes: u8) -> i8 {
    let holes = i32::from(holes.max(1));
    let each = over_the_round.div_euclid(holes);
    let more = i32::from(i32::from(index) <= over_the_round.rem_euclid(holes));
    (each + more).clamp(-9, 9) as i8
}

impl fmt::Display for Objective {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mdp::{Builder, FiniteHorizon, Kernel, Outcome, StateId, Successor, Terminal};

    fn opponent(text: &str, par: usize) -> Scores {
        Scores {
            by_strokes: crate::units::scores::read(text)
                .expect("scores")
                .by_strokes(par),
        }
    }

    /// So many putts.
    fn putts(count: usize) -> Outcome {
        let mut by_cost = [0.0; 4];
        by_cost[count] = 1.0;
        Outcome::Terminal(Terminal {
            mean: count as f64,
            by_cost,
        })
    }

    fn lies(state: u32) -> Outcome {
        Outcome::State(StateId(state))
    }

    fn kernel(states: &[&[&[(f32, Outcome)]]]) -> Kernel {
        let mut builder = Builder::default();
        for actions in states {
            builder.next_state();
            for outcomes in *actions {
                builder.action(outcomes.iter().copied());
            }
        }
        builder.finish().expect("a kernel")
    }

    /// A par 4 with two ways from the tee. *Safe*: always in state 1, two putts
    /// from the green after it, a 4. *Bold*: state 2 or lost; from state 2 one
    /// putt (a 3), and a lost ball starts again.
    fn two_ways(lost: f32) -> Kernel {
        kernel(&[
            &[
                &[(1.0, lies(1))],
                &[(1.0 - lost, lies(2)), (lost, Outcome::Restart)],
            ],
            &[&[(1.0, putts(2))]],
            &[&[(1.0, putts(1))]],
        ])
    }

    fn best(kernel: &Kernel, aim: &Objective) -> (f64, usize) {
        let found = FiniteHorizon::of(kernel, aim.utility(4).expect("a score"));
        let tee = StateId(0);
        (found.at(0, tee), usize::from(found.actions[0][0]))
    }

    /// Closed forms: safe is always 4. Bold is 3 with 1 − p; lost, the third
    /// stroke is the next: bold again gives 5 with 1 − p, safe gives 6.
    #[test]
    fn objectives_part_ways() {
        let p = 0.4;
        let kernel = two_ways(0.4);
        // Strokes: 4 against 3 + 2p/(1 − p) = 4.33: safe. Par: safe, for sure.
        assert_eq!(best(&kernel, &Objective::Par), (1.0, 0));
        assert_eq!(best(&kernel, &Objective::NoDouble), (1.0, 0));
        // Points: safe 2; bold 3(1 − p) + p·(1 − p)·1 = 2.04.
        let (points, choice) = best(&kernel, &Objective::Points { received: 0 });
        assert_eq!(choice, 1);
        assert!((points - (3.0 * (1.0 - p) + p * (1.0 - p))).abs() < 1e-6);
        // With two strokes received, safe is 4; bold 5(1 − p) and, lost, the
        // better of 3(1 − p) + p·(1 − p)·1 and 2: 3.82.
        let (points, choice) = best(&kernel, &Objective::Points { received: 2 });
        assert_eq!((points, choice), (4.0, 0));
    }

    /// A ball in the water is dropped in state 1, from where the next goes in with 0.6
    /// and four more are needed if not, or in state 2, always three more: 2.6 strokes and
    /// 3. Fewest strokes take the first, no double bogey (5 at most) had rather the second.
    #[test]
    fn strokes_say_where_a_ball_is_dropped() {
        let mut builder = Builder::default();
        let places = [1, 2].map(|state| Successor::State(StateId(state)));
        let water = builder.node(1, true, places);
        for outcomes in [
            &[(1.0, Outcome::Node(water))][..],
            &[(0.6, Outcome::Terminal(Terminal::END)), (0.4, lies(3))],
            &[(1.0, putts(2))],
            &[(1.0, lies(2))],
        ] {
            builder.next_state();
            builder.action(outcomes.iter().copied());
        }
        let kernel = builder.finish().expect("a kernel");
        let worth = |strokes_from: Option<&[f64]>| {
            let utility = Objective::NoDouble.utility(4).expect("a score");
            let found = FiniteHorizon::by(&kernel, utility, strokes_from, &|layer| {
                let states = (0..4).map(StateId);
                states.map(|state| (layer.value(state, 0), 0)).collect()
            });
            found.at(0, StateId(0))
        };
        // Two in the water, and three; holed with the third, or seven.
        assert_eq!(worth(None), 1.0);
        assert!((worth(Some(&[4.6, 2.6, 3.0, 4.0])) - 0.6).abs() < 1e-6);
        assert_eq!(worth(Some(&[4.6, 3.1, 3.0, 4.0])), 1.0);
    }

    /// Against one who always makes a three a four is lost and a three halved;
    /// against one who always makes a four the safe way halves, the bold one
    /// wins 1 − p.
    #[test]
    fn a_match_is_played_against_somebody() {
        for (p, other, worth, choice) in [
            (0.4, "birdie:1", 0.5 * 0.6, 1),
            (0.4, "par:1", 0.6, 1),
            (0.6, "par:1", 0.5, 0),
            (0.4, "5:1", 1.0, 0),
        ] {
            let kernel = two_ways(p);
            let opponent = opponent(other, 4);
            let found = best(&kernel, &Objective::Match { opponent });
            assert!((found.0 - worth).abs() < 1e-6, "{other}: {found:?}");
            assert_eq!(found.1, choice, "{other}");
        }
    }

    /// The definition, hole by hole: a stroke on index 1, then on 2, … to 18, then
    /// again from 1; a plus player gives them back from 18 on.
    #[test]
    fn strokes_fall_by_stroke_index() {
        for holes in [9, 18] {
            for all in -(2 * holes)..=3 * holes {
                let mut by_hand = vec![0_i8; holes as usize];
                for k in 0..all {
                    by_hand[(k % holes) as usize] += 1;
                }
                for k in 0..-all {
                    by_hand[(holes - 1 - k % holes) as usize] -= 1;
                }
                let evaluated: Vec<i8> = (1..=holes)
                    .map(|index| strokes_received(all, index as u8, holes as u8))
                    .collect();
                assert_eq!(evaluated, by_hand, "{all} over {holes}");
                assert_eq!(evaluated.iter().map(|n| i32::from(*n)).sum::<i32>(), all);
            }
        }
    }

    /// Rule 21.1b(1): 0 points for more than one over the fixed score, then 1, 2, 3,
    /// 4 for one over, on it, one and two under, and so on.
    #[test]
    fn points_are_by_the_rule() {
        for (received, target) in [(0, 4), (1, 5), (2, 6), (-1, 3)] {
            let aim = Objective::Points { received };
            for (over, points) in [(3, 0.0), (2, 0.0), (1, 1.0), (0, 2.0), (-1, 3.0), (-2, 4.0)] {
                let score = (target + over) as usize;
                assert_eq!(aim.worth(score, 4), points, "{received} {over}");
                assert_eq!(aim.worthless(4), Some((target + 2) as usize));
            }
        }
    }
}
