//! What a plan of play that is held fixed is worth from every place after every
//! number of strokes, by an objective that looks at the score.
//!
//! The other way round from [`Scores`](super::scores::Scores): not how often which
//! score comes of one place, but the mean worth of the score from all of them.

use rayon::prelude::*;

use super::chain::Chain;
use super::explicit::Spot;
use super::objective::Standing;
use super::scores::{Plays, best_drop};

/// The worth of every place by strokes already played, from `first` on; nothing is
/// evaluated for fewer. `standing` knows what scores and putts are worth.
#[must_use]
pub fn policy_evaluation<C: Chain>(
    chain: &C,
    plays: &impl Plays,
    standing: &Standing,
    first: usize,
) -> Vec<Vec<f64>> {
    let layers = standing.worth.len();
    let mut by_strokes: Vec<Vec<f64>> = vec![Vec::new(); layers];
    for strokes in (first..layers).rev() {
        let ahead = Ahead {
            chain,
            plays,
            standing,
            by_strokes: &by_strokes,
        };
        let here = (0..chain.flat().places())
            .into_par_iter()
            .with_min_len(64)
            .map(|place| ahead.of_choice(strokes, place))
            .collect();
        by_strokes[strokes] = here;
    }
    by_strokes
}

struct Ahead<'a, C, P> {
    chain: &'a C,
    plays: &'a P,
    standing: &'a Standing,
    by_strokes: &'a [Vec<f64>],
}

impl<C: Chain, P: Plays> Ahead<'_, C, P> {
    fn of(&self, strokes: usize, place: usize) -> f64 {
        let layer = self.by_strokes.get(strokes);
        layer
            .and_then(|layer| layer.get(place))
            .copied()
            .unwrap_or(0.0)
    }

    fn of_choice(&self, strokes: usize, place: usize) -> f64 {
        let choice = self.plays.choice(strokes, place);
        if choice >= self.chain.flat().choices(place) {
            return 0.0;
        }
        let next = strokes + 1;
        let again = self.of(next + 1, place);
        let loss_again = self.plays.loss(next + 1, place);
        let ways = self.chain.flat().ways(place, choice);
        let mut sum = self.standing.on_green(next, ways.putts())
            + ways.holed() * self.standing.holed(next)
            + ways.replayed() * again;
        for (weight, there) in ways.lies() {
            sum += weight * self.of(next, there as usize);
        }
        for (weight, there) in ways.woods() {
            let goes_back = self.plays.loss(next, there as usize) > loss_again;
            sum += weight
                * if goes_back {
                    again
                } else {
                    self.of(next, there as usize)
                };
        }
        for (weight, node) in ways.reliefs() {
            let after = next + self.chain.relief(node).penalty as usize;
            let (spot, loss) = best_drop(self.chain, self.plays, after, node);
            let dropped = self.chain.settled() || loss <= loss_again;
            sum += weight
                * if dropped {
                    self.dropped(after, spot)
                } else {
                    again
                };
        }
        // The stroke is the penalty.
        for (weight, node) in ways.drops() {
            let (spot, _) = best_drop(self.chain, self.plays, next, node);
            sum += weight * self.dropped(next, spot);
        }
        sum
    }

    fn dropped(&self, strokes: usize, spot: Spot) -> f64 {
        match spot {
            Spot::Green(away) => {
                let chances = self.chain.putt_chances(away);
                self.standing.on_green(strokes, chances)
            }
            Spot::State(place) => self.of(strokes, place as usize),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::chain::made_up::{MadeUp, drop_in};
    use super::super::explicit::End;
    use super::super::objective::{Objective, standing};
    use super::super::scores::Scores;
    use super::*;

    /// Who plays for a standing, and does not know better where it has nothing.
    struct For<'a>(&'a Standing);

    impl Plays for For<'_> {
        fn choice(&self, strokes: usize, place: usize) -> usize {
            let layer = self.0.choices.get(strokes);
            layer.map_or(0, |layer| usize::from(layer[place]))
        }
        fn loss(&self, strokes: usize, place: usize) -> f64 {
            strokes as f64 - 1.0e3 * self.0.of(strokes, place)
        }
        fn loss_on_green(&self, strokes: usize, chances: [f64; 3]) -> f64 {
            strokes as f64 - 1.0e3 * self.0.on_green(strokes, chances)
        }
    }

    /// Water, a wood to go back from, a replay, a chip that goes in, an unplayable
    /// ball: the mean worth of the scores that the same plan of play comes to, evaluated
    /// forward, place by place; and what the layers found, which is the best plan's.
    #[test]
    fn backward_and_forward_agree() {
        let chain = MadeUp {
            places: vec![
                vec![
                    vec![(0.7, End::Lies(1)), (0.3, End::Relief(0))],
                    vec![
                        (0.5, End::Green(0.6)),
                        (0.3, End::Lies(2)),
                        (0.2, End::Lies(3)),
                    ],
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
                vec![vec![(0.9, End::Lies(3)), (0.1, End::Green(0.0))]],
            ],
            drops: vec![drop_in(&[1, 2]), drop_in(&[1])],
            woods: vec![3],
            ..MadeUp::default()
        };
        let by_strokes = [0.0, 0.0, 0.0, 0.2, 0.5, 0.3].to_vec();
        let opponent = Scores { by_strokes };
        for aim in [
            Objective::Par,
            Objective::NoDouble,
            Objective::Points { received: 1 },
            Objective::Match { opponent },
        ] {
            let standing = standing(&chain, &aim, 4).expect("a score");
            let plays = For(&standing);
            let evaluated = policy_evaluation(&chain, &plays, &standing, 0);
            for (place, backward) in evaluated[0].iter().enumerate() {
                let scores = Scores::from(&chain, &plays, place);
                let forward = scores.expect(|score| aim.worth(score, 4));
                assert!((forward - *backward).abs() < 1e-6, "{aim} {place}");
                assert!(
                    (backward - standing.of(0, place)).abs() < 1e-6,
                    "{aim} {place}"
                );
            }
            let late = policy_evaluation(&chain, &plays, &standing, 2);
            assert_eq!((&late[0], &late[2]), (&Vec::new(), &evaluated[2]));
        }
    }
}
