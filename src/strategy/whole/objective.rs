//! What the player wants of the hole, and how well it can be had.
//!
//! Fewest strokes is one objective. Others look at the score alone: its worth
//! is 1 or 0 for *par or better* and for *no double bogey*, Stableford points
//! (Rule 21.1b), or the chance of winning the hole against an opponent's scores.
//! What is best then depends on the strokes already played: two down the hole
//! with par gone, nothing is left to lose. So the places are taken stroke by
//! stroke, from the last stroke that still matters backwards.
//!
//! # What is stated
//! - A halved hole counts as half a hole won. The opponent's score is taken to
//!   be drawn whatever the player does, and unseen.
//! - Stableford points are gross unless strokes are received: a score of one
//!   over the player's own target for the hole is 1 point, on it 2, and so on;
//!   every stroke received raises the target by one. On which holes they are
//!   received goes by stroke index: [`strokes_received`].

use std::fmt;

use rayon::prelude::*;

use super::chain::Chain;
use super::explicit::Spot;
use super::flat::{Flat, Worths};
use super::scores::Scores;

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

/// The best worth of every place after every number of strokes.
#[derive(Clone, Debug)]
pub struct Standing {
    /// By strokes already played, by place; 0 where a place is not played from.
    pub worth: Vec<Vec<f32>>,
    /// By strokes already played, by place: the choice that has it.
    pub choices: Vec<Vec<u16>>,
    /// Putts' worth after so many strokes: `[strokes][putts − 1]`.
    putts: Vec<[f64; 3]>,
    /// Worth of a hole that took so many.
    holed: Vec<f64>,
}

/// The best that can be had of an objective which looks at the score; none
/// for fewest strokes, which the solver finds.
#[must_use]
pub fn standing<C: Chain>(chain: &C, aim: &Objective, par: usize) -> Option<Standing> {
    standing_by(chain, aim, par, None, &|layer| {
        (0..chain.flat().places())
            .into_par_iter()
            .with_min_len(64)
            .map(|place| layer.best(place))
            .collect()
    })
}

/// All that is to be had after so many strokes by what is known of more of them.
pub(super) struct Layer<'a> {
    flat: &'a Flat,
    of: Worths<'a>,
    /// By place, two strokes later.
    again: &'a [f32],
}

impl Layer<'_> {
    /// What a choice is worth.
    pub fn worth(&self, place: usize, choice: usize) -> f64 {
        let again = self.again.get(place).copied().unwrap_or(0.0);
        self.of.of(self.flat.ways(place, choice), f64::from(again))
    }

    /// Worth and index of the best choice of a place.
    fn best(&self, place: usize) -> (f64, usize) {
        let mut best = (0.0, 0);
        for choice in 0..self.flat.choices(place) {
            let worth = self.worth(place, choice);
            if worth > best.0 {
                best = (worth, choice);
            }
        }
        best
    }
}

/// The worth and choice of every place.
pub(super) type Chosen = Vec<(f64, usize)>;

/// The same by choices of one's own: the worth and choice of every place. With the
/// strokes from every place a ball is dropped where they are least.
pub(super) fn standing_by<C: Chain>(
    chain: &C,
    aim: &Objective,
    par: usize,
    strokes_from: Option<&[f64]>,
    choose: &dyn Fn(&Layer<'_>) -> Chosen,
) -> Option<Standing> {
    let worthless = aim.worthless(par)?;
    // After `strokes` the hole takes one more at least.
    let layers = worthless.saturating_sub(1);
    let putts: Vec<[f64; 3]> = (0..layers + 2)
        .map(|strokes| std::array::from_fn(|more| aim.worth(strokes + more + 1, par)))
        .collect();
    let mut out = Standing {
        worth: vec![Vec::new(); layers],
        choices: vec![Vec::new(); layers],
        holed: (0..layers + 2).map(|score| aim.worth(score, par)).collect(),
        putts,
    };
    for strokes in (0..layers).rev() {
        let [reliefs, drops] = out.drops_after(chain, strokes, strokes_from);
        let layer = out.layer(chain.flat(), strokes, [&reliefs, &drops]);
        let chosen = choose(&layer);
        (out.worth[strokes], out.choices[strokes]) = chosen
            .into_iter()
            .map(|(worth, choice)| (worth as f32, choice as u16))
            .unzip();
    }
    Some(out)
}

/// The mean of putts by the chances of one, two and three.
fn putts([one, two, three]: [f64; 3]) -> f64 {
    one + 2.0 * two + 3.0 * three
}

impl Standing {
    /// Worth of a place after so many strokes; nothing once it is too late.
    #[must_use]
    pub fn of(&self, strokes: usize, place: usize) -> f64 {
        self.worth
            .get(strokes)
            .and_then(|layer| layer.get(place))
            .map_or(0.0, |worth| f64::from(*worth))
    }

    /// Worth of having holed out in so many strokes.
    #[must_use]
    pub fn holed(&self, strokes: usize) -> f64 {
        self.holed.get(strokes).copied().unwrap_or(0.0)
    }

    /// Worth of a ball on the green after so many strokes, by the chances of
    /// one, two and three putts.
    #[must_use]
    pub fn on_green(&self, strokes: usize, chances: [f64; 3]) -> f64 {
        self.putts.get(strokes).map_or(0.0, |worth| {
            worth.iter().zip(chances).map(|(w, c)| w * c).sum()
        })
    }

    /// Worth of the best drop of every relief after a stroke from `strokes`, its
    /// penalty counted, and after the penalty alone; the best by strokes, where those
    /// are given.
    fn drops_after<C: Chain>(
        &self,
        chain: &C,
        strokes: usize,
        strokes_from: Option<&[f64]>,
    ) -> [Vec<f32>; 2] {
        let worth = |spot: Spot, strokes: usize| match spot {
            Spot::Green(away) => self.on_green(strokes, chain.putt_chances(away)) as f32,
            Spot::State(place) => self.of(strokes, place as usize) as f32,
        };
        let best = |node: usize, strokes: usize| {
            let spots = chain.relief(node as u32).spots.iter().copied();
            let Some(value) = strokes_from else {
                return spots.map(|spot| worth(spot, strokes)).fold(0.0, f32::max);
            };
            let needs = |spot: &Spot| match *spot {
                Spot::Green(away) => putts(chain.putt_chances(away)),
                Spot::State(place) => value[place as usize],
            };
            spots
                .min_by(|a, b| needs(a).total_cmp(&needs(b)))
                .map_or(0.0, |spot| worth(spot, strokes))
        };
        let reliefs = || 0..chain.reliefs();
        [
            reliefs()
                .map(|node| {
                    let penalty = chain.relief(node as u32).penalty as usize;
                    best(node, strokes + 1 + penalty)
                })
                .collect(),
            reliefs().map(|node| best(node, strokes + 1)).collect(),
        ]
    }

    /// What choices are worth after so many strokes; the drops are
    /// [`Standing::drops_after`] these.
    fn layer<'a>(
        &'a self,
        flat: &'a Flat,
        strokes: usize,
        [reliefs, drops]: [&'a [f32]; 2],
    ) -> Layer<'a> {
        let places = |strokes: usize| self.worth.get(strokes).map_or(&[][..], |w| w);
        let next = strokes + 1;
        Layer {
            flat,
            of: Worths {
                places: places(next),
                reliefs,
                drops,
                putts: self.putts.get(next).copied().unwrap_or_default(),
                holed: self.holed(next),
            },
            again: places(next + 1),
        }
    }

    /// The best choice of a place after so many strokes, and its worth.
    #[must_use]
    pub fn choice<C: Chain>(&self, chain: &C, place: usize, strokes: usize) -> (f64, usize) {
        let [reliefs, drops] = self.drops_after(chain, strokes, None);
        self.layer(chain.flat(), strokes, [&reliefs, &drops])
            .best(place)
    }
}

#[cfg(test)]
mod tests {
    use super::super::chain::Written;
    use super::super::chain::made_up::{MadeUp, drop_in};
    use super::super::explicit::End;
    use super::*;

    fn opponent(text: &str, par: usize) -> Scores {
        Scores {
            by_strokes: crate::units::scores::read(text)
                .expect("scores")
                .by_strokes(par),
        }
    }

    /// A par 4 with two ways from the tee. *Safe*: always in place 1, two putts
    /// from the green after it, a 4. *Bold*: place 2 or lost; from place 2 one
    /// putt (a 3), and a lost ball starts again.
    fn two_ways(lost: f64) -> MadeUp {
        MadeUp {
            places: vec![
                vec![
                    vec![(1.0, End::Lies(1))],
                    vec![(1.0 - lost, End::Lies(2)), (lost, End::Replay)],
                ],
                vec![vec![(1.0, End::Green(1.0))]],
                vec![vec![(1.0, End::Green(0.0))]],
            ],
            ..MadeUp::default()
        }
    }

    fn best(chain: &MadeUp, aim: &Objective) -> (f64, usize) {
        standing(chain, aim, 4)
            .expect("a score")
            .choice(chain, 0, 0)
    }

    /// Closed forms: safe is always 4. Bold is 3 with 1 − p; lost, the third
    /// stroke is the next: bold again gives 5 with 1 − p, safe gives 6.
    #[test]
    fn aims_of_play_part_ways() {
        let p = 0.4;
        let chain = two_ways(p);
        // Strokes: 4 against 3 + 2p/(1 − p) = 4.33: safe. Par: safe, for sure.
        assert_eq!(best(&chain, &Objective::Par), (1.0, 0));
        assert_eq!(best(&chain, &Objective::NoDouble), (1.0, 0));
        // Points: safe 2; bold 3(1 − p) + p·(1 − p)·1 = 2.04.
        let (points, choice) = best(&chain, &Objective::Points { received: 0 });
        assert_eq!(choice, 1);
        assert!((points - (3.0 * (1.0 - p) + p * (1.0 - p))).abs() < 1e-6);
        // With two strokes received, safe is 4; bold 5(1 − p) and, lost, the
        // better of 3(1 − p) + p·(1 − p)·1 and 2: 3.82.
        let (points, choice) = best(&chain, &Objective::Points { received: 2 });
        assert_eq!((points, choice), (4.0, 0));
    }

    /// A ball in the water is dropped in place 1, from where the next goes in with 0.6
    /// and four more are needed if not, or in place 2, always three more: 2.6 strokes and
    /// 3. Fewest strokes take the first, no double bogey (5 at most) had rather the second.
    #[test]
    fn strokes_say_where_a_ball_is_dropped() {
        let chain = MadeUp {
            places: vec![
                vec![vec![(1.0, End::Relief(0))]],
                vec![vec![(0.6, End::Holed), (0.4, End::Lies(3))]],
                vec![vec![(1.0, End::Green(1.0))]],
                vec![vec![(1.0, End::Lies(2))]],
            ],
            drops: vec![drop_in(&[1, 2])],
            ..MadeUp::default()
        };
        let worth = |strokes_from: Option<&[f64]>| {
            let found = standing_by(&chain, &Objective::NoDouble, 4, strokes_from, &|layer| {
                (0..4).map(|place| layer.best(place)).collect()
            });
            found.expect("a score").of(0, 0)
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
            let chain = two_ways(p);
            let opponent = opponent(other, 4);
            let found = best(&chain, &Objective::Match { opponent });
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

    /// Every plan of play on a small chain with water, an unplayable ball and a
    /// three-putt, tried out one by one: none is better than what the layers
    /// find. A plan is a choice for every place and number of strokes.
    #[test]
    fn nothing_beats_the_layers() {
        let chain = MadeUp {
            places: vec![
                vec![
                    vec![(0.7, End::Lies(1)), (0.3, End::Relief(0))],
                    vec![(0.5, End::Green(0.6)), (0.5, End::Lies(2))],
                ],
                vec![
                    vec![
                        (0.7, End::Green(0.3)),
                        (0.2, End::Replay),
                        (0.1, End::Holed),
                    ],
                    vec![(1.0, End::Green(1.4))],
                ],
                vec![
                    vec![(0.6, End::Lies(2)), (0.4, End::Green(0.0))],
                    vec![(1.0, End::Drop(1))],
                ],
            ],
            drops: vec![drop_in(&[1, 2]), drop_in(&[1])],
            ..MadeUp::default()
        };
        let opponent = opponent("3:2,4:5,5:3", 4);
        for aim in [
            Objective::Par,
            Objective::NoDouble,
            Objective::Points { received: 0 },
            Objective::Match { opponent },
        ] {
            let found = best(&chain, &aim).0;
            // Choices after 0 to 4 strokes in three places: 2¹⁵ plans.
            let most = (0..1_u32 << 15)
                .map(|plan| worth_of(&chain, &aim, plan, 0, 0))
                .fold(0.0, f64::max);
            assert!((found - most).abs() < 1e-6, "{aim}: {found} {most}");
        }
    }

    /// A plan's worth by following every branch; drops and replays are tried
    /// both ways, for the better.
    fn worth_of(chain: &MadeUp, aim: &Objective, plan: u32, place: usize, strokes: usize) -> f64 {
        if strokes > 4 {
            return 0.0;
        }
        let choice = (plan >> (strokes * 3 + place) & 1) as usize;
        let next = strokes + 1;
        let mut sum = 0.0;
        chain.ways(place, choice, |weight, end| {
            let go = |place: usize, strokes: usize| worth_of(chain, aim, plan, place, strokes);
            let best = |node: u32, strokes: usize, least: f64| {
                chain.relief(node).spots.iter().fold(least, |most, spot| {
                    let Spot::State(place) = *spot else {
                        return most;
                    };
                    most.max(go(place as usize, strokes))
                })
            };
            sum += weight
                * match end {
                    End::Lies(there) => go(there as usize, next),
                    End::Green(away) => Chain::putt_chances(chain, away)
                        .iter()
                        .enumerate()
                        .map(|(more, chance)| chance * aim.worth(next + more + 1, 4))
                        .sum(),
                    End::Holed => aim.worth(next, 4),
                    End::Relief(node) => best(node, next + 1, go(place, next + 1)),
                    End::Drop(node) => best(node, next, 0.0),
                    End::Replay => go(place, next + 1),
                };
        });
        sum
    }
}
