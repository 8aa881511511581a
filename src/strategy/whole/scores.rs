//! How many strokes a hole takes, not on average but how often.
//!
//! A forward pass over strokes: what share of balls lies where after each. Exact
//! for the chain, its putts by the published share of single putts and the mean
//! (see [`StrokesToGo::putt_chances`](crate::strategy::finish::StrokesToGo)): never
//! more than three, and no shot from off the green goes in, so that the best and
//! the worst scores are a little rarer here than on grass.

use super::chain::Chain;
use super::explicit::Spot;

/// A hole still going after so many strokes is left (less than one in 10¹² is).
const MOST: usize = 200;
/// Less than this is no share.
const NOTHING: f64 = 1.0e-12;

/// How far a distribution is tilted at most, of the logarithm of a share, a stroke; and how exactly.
const MOST_TILT: f64 = 2.0;
const TILT_STEP: f64 = 1.0e-12;

/// How often a hole takes how many strokes; adds to 1.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scores {
    /// The share of holes that take so many strokes, from 0 on.
    pub by_strokes: Vec<f64>,
}

/// The shares by name; they add to 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Named {
    /// Two under par or better.
    pub eagle_or_better: f64,
    /// One under.
    pub birdie: f64,
    /// Par.
    pub par: f64,
    /// One over.
    pub bogey: f64,
    /// Two over.
    pub double_bogey: f64,
    /// Three over or worse.
    pub triple_or_worse: f64,
}

impl Scores {
    /// Mean strokes.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.expect(|strokes| strokes as f64)
    }

    /// Variance, strokes².
    #[must_use]
    pub fn variance(&self) -> f64 {
        let mean = self.mean();
        self.expect(|strokes| (strokes as f64 - mean).powi(2))
    }

    /// The mean of a worth of the score.
    #[must_use]
    pub fn expect(&self, worth: impl Fn(usize) -> f64) -> f64 {
        self.by_strokes
            .iter()
            .enumerate()
            .map(|(strokes, share)| share * worth(strokes))
            .sum()
    }

    /// Share of holes that take at most so many strokes.
    #[must_use]
    pub fn at_most(&self, strokes: usize) -> f64 {
        self.by_strokes.iter().take(strokes + 1).sum()
    }

    /// The same moved to another mean: of all shares that have it, those with the least relative
    /// entropy to these, which are `share · exp(tilt · strokes)` up to a factor. Where no shares of
    /// these scores have that mean, they are left as they are.
    #[must_use]
    pub fn moved_to(&self, mean: f64) -> Self {
        let tilted = |tilt: f64| -> Self {
            let weight = |strokes: usize| (tilt * (strokes as f64 - mean)).exp();
            let all = self.by_strokes.iter().enumerate();
            let by_strokes: Vec<f64> = all
                .map(|(strokes, share)| share * weight(strokes))
                .collect();
            let sum: f64 = by_strokes.iter().sum();
            Self {
                by_strokes: by_strokes.iter().map(|share| share / sum).collect(),
            }
        };
        // The mean grows with the tilt.
        let (mut low, mut high) = (-MOST_TILT, MOST_TILT);
        if !(tilted(low).mean() <= mean && mean <= tilted(high).mean()) {
            return self.clone();
        }
        while high - low > TILT_STEP {
            let middle = f64::midpoint(low, high);
            if tilted(middle).mean() < mean {
                low = middle;
            } else {
                high = middle;
            }
        }
        tilted(low)
    }

    /// The same with so many strokes more on every hole; none below one stroke.
    #[must_use]
    pub fn raised(&self, strokes: i8) -> Self {
        let mut raised = Self::default();
        for (score, share) in self.by_strokes.iter().enumerate().filter(|s| *s.1 > 0.0) {
            let score = score.saturating_add_signed(isize::from(strokes)).max(1);
            raised.add(score, *share);
        }
        raised
    }

    /// The shares by name.
    #[must_use]
    pub fn named(&self, par: usize) -> Named {
        let over = |low: i64, high: i64| {
            self.expect(|strokes| {
                let over = strokes as i64 - par as i64;
                f64::from(u8::from((low..=high).contains(&over)))
            })
        };
        Named {
            eagle_or_better: over(i64::MIN, -2),
            birdie: over(-1, -1),
            par: over(0, 0),
            bogey: over(1, 1),
            double_bogey: over(2, 2),
            triple_or_worse: over(3, i64::MAX),
        }
    }

    fn add(&mut self, strokes: usize, share: f64) {
        if self.by_strokes.len() <= strokes {
            self.by_strokes.resize(strokes + 1, 0.0);
        }
        self.by_strokes[strokes] += share;
    }
}

/// Where a ball is after a shot that is not of the chain, such as a tee shot
/// that was aimed between its bearings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum After {
    /// It is played from this place next.
    Lies(u32),
    /// It was dropped here, under a penalty of one stroke.
    Dropped(u32),
    /// It was dropped on the green, this far from the pin, m, under a penalty of
    /// one stroke.
    DroppedOnGreen(f32),
    /// It is on the green, this far from the pin, m.
    Green(f32),
    /// The shot is played again, under a penalty of one stroke.
    Again,
}

/// What a player does: a choice for every place after every number of strokes, and
/// how a place is liked then, which decides where a ball is dropped, and whether it
/// is rather replayed.
pub trait Plays: Sync {
    /// The chosen choice of a place after so many strokes.
    fn choice(&self, strokes: usize, place: usize) -> usize;
    /// How bad it is to lie in a place after so many strokes: for fewest strokes
    /// the score to expect.
    fn loss(&self, strokes: usize, place: usize) -> f64;
    /// The same on the green, by the chances of one, two and three putts.
    fn loss_on_green(&self, strokes: usize, chances: [f64; 3]) -> f64 {
        let [one, two, three] = chances;
        strokes as f64 + one + 2.0 * two + 3.0 * three
    }
    /// What places to drop a ball in are compared by.
    fn drop_loss(&self, strokes: usize, place: usize) -> f64 {
        self.loss(strokes, place)
    }
    /// The same on the green.
    fn drop_loss_on_green(&self, strokes: usize, chances: [f64; 3]) -> f64 {
        self.loss_on_green(strokes, chances)
    }
}

impl Scores {
    /// From a place of the chain.
    #[must_use]
    pub fn from<C: Chain>(chain: &C, plays: &impl Plays, place: usize) -> Self {
        Run::new(chain, plays).played_out(|run| run.put(0, place as u32, 1.0), &[])
    }

    /// After a tee shot given by where its balls are: `(weight, after)`, weights
    /// adding to 1.
    #[must_use]
    pub fn after<C: Chain>(chain: &C, plays: &impl Plays, shot: &[(f64, After)]) -> Self {
        Run::new(chain, plays).played_out(|run| run.tee(0, 1.0, shot), shot)
    }

    /// The same for a shot that is played after so many strokes; `seen` hears of every
    /// place that balls are played from, after how many strokes and what share of them.
    #[must_use]
    pub fn seen_after<C: Chain>(
        chain: &C,
        plays: &impl Plays,
        strokes: usize,
        shot: &[(f64, After)],
        seen: &mut dyn FnMut(usize, usize, f64),
    ) -> Self {
        let run = Run {
            seen: Some(seen),
            ..Run::new(chain, plays)
        };
        run.played_out(|run| run.tee(strokes, 1.0, shot), shot)
    }
}

/// Strokes that shares of balls are looked ahead: a stroke and two penalties.
const AHEAD: usize = 4;

struct Run<'a, C, P> {
    chain: &'a C,
    plays: &'a P,
    /// Shares of balls in places after so many strokes and up to three more, in
    /// turn, and the share that is back on the tee.
    shares: [Vec<f64>; AHEAD],
    on_tee: [f64; AHEAD],
    scores: Scores,
    left: f64,
    seen: Option<&'a mut dyn FnMut(usize, usize, f64)>,
}

impl<'a, C: Chain, P: Plays> Run<'a, C, P> {
    fn new(chain: &'a C, plays: &'a P) -> Self {
        Self {
            chain,
            plays,
            shares: std::array::from_fn(|_| vec![0.0; chain.flat().places()]),
            on_tee: [0.0; AHEAD],
            scores: Scores::default(),
            left: 1.0,
            seen: None,
        }
    }

    fn played_out(mut self, begin: impl Fn(&mut Self), shot: &[(f64, After)]) -> Scores {
        begin(&mut self);
        for strokes in 0..MOST {
            if self.left < NOTHING {
                break;
            }
            let again = std::mem::take(&mut self.on_tee[strokes % AHEAD]);
            if again > 0.0 {
                self.tee(strokes, again, shot);
            }
            let mut here = std::mem::take(&mut self.shares[strokes % AHEAD]);
            for (place, share) in here.iter_mut().enumerate() {
                let share = std::mem::take(share);
                if share > 0.0 {
                    self.play(strokes, place, share);
                }
            }
            self.shares[strokes % AHEAD] = here;
        }
        // What is left never comes to an end, or as good as never.
        let last = self.scores.by_strokes.len().max(MOST);
        if self.left >= NOTHING {
            self.scores.add(last, self.left);
        } else if let Some(most) = self
            .scores
            .by_strokes
            .iter_mut()
            .max_by(|a, b| a.total_cmp(b))
        {
            *most += self.left;
        }
        self.scores
    }

    /// A ball in a place after so many strokes.
    fn put(&mut self, strokes: usize, place: u32, share: f64) {
        // The list in hand is away while it is worked: a way that takes no
        // stroke at all, which no chain has, is let go.
        if let Some(there) = self.shares[strokes % AHEAD].get_mut(place as usize) {
            *there += share;
        }
    }

    fn drop(&mut self, strokes: usize, spot: Spot, share: f64) {
        match spot {
            Spot::State(place) => self.put(strokes, place, share),
            Spot::Green(away) => self.putt(strokes, away, share),
        }
    }

    fn putt(&mut self, strokes: usize, away: f32, share: f64) {
        let chances = self.chain.putt_chances(away);
        self.hole_out(strokes, chances.map(|chance| share * chance));
    }

    /// These shares hole out with one, two and three putts.
    fn hole_out(&mut self, strokes: usize, shares: [f64; 3]) {
        for (putts, share) in shares.into_iter().enumerate() {
            self.scores.add(strokes + putts + 1, share);
            self.left -= share;
        }
    }

    fn tee(&mut self, strokes: usize, share: f64, shot: &[(f64, After)]) {
        for &(weight, after) in shot {
            let share = share * weight;
            match after {
                After::Lies(place) => self.put(strokes + 1, place, share),
                After::Dropped(place) => self.put(strokes + 2, place, share),
                After::DroppedOnGreen(away) => self.putt(strokes + 2, away, share),
                After::Green(away) => self.putt(strokes + 1, away, share),
                After::Again => self.on_tee[(strokes + 2) % AHEAD] += share,
            }
        }
    }

    fn play(&mut self, strokes: usize, place: usize, share: f64) {
        let chain = self.chain;
        if let Some(seen) = &mut self.seen {
            seen(strokes, place, share);
        }
        let choice = self.plays.choice(strokes, place);
        if choice >= chain.flat().choices(place) {
            return;
        }
        let next = strokes + 1;
        let ways = chain.flat().ways(place, choice);
        for (weight, there) in ways.lies() {
            self.put(next, there, share * weight);
        }
        let again = |run: &Self| run.plays.loss(next + 1, place);
        for (weight, there) in ways.woods() {
            if self.plays.loss(next, there as usize) > again(self) {
                self.put(next + 1, place as u32, share * weight);
            } else {
                self.put(next, there, share * weight);
            }
        }
        for (weight, node) in ways.reliefs() {
            let penalty = chain.relief(node).penalty as usize;
            let (spot, loss) = self.best_drop(next + penalty, node);
            // Rather replayed, where that is less bad.
            if chain.settled() || loss <= again(self) {
                self.drop(next + penalty, spot, share * weight);
            } else {
                self.put(next + 1, place as u32, share * weight);
            }
        }
        // The stroke is the penalty.
        for (weight, node) in ways.drops() {
            self.drop(next, self.best_drop(next, node).0, share * weight);
        }
        if ways.putts() != [0.0; 3] {
            self.hole_out(next, ways.putts().map(|chance| share * chance));
        }
        if ways.holed() > 0.0 {
            self.scores.add(next, share * ways.holed());
            self.left -= share * ways.holed();
        }
        if ways.replayed() > 0.0 {
            self.put(next + 1, place as u32, share * ways.replayed());
        }
    }

    fn best_drop(&self, strokes: usize, node: u32) -> (Spot, f64) {
        best_drop(self.chain, self.plays, strokes, node)
    }
}

/// The drop of a relief that is taken after so many strokes, and how bad it is.
pub(super) fn best_drop<C: Chain>(
    chain: &C,
    plays: &impl Plays,
    strokes: usize,
    node: u32,
) -> (Spot, f64) {
    let mut best = (Spot::Green(0.0), f64::INFINITY);
    for &spot in &chain.relief(node).spots {
        let loss = match spot {
            Spot::Green(away) => plays.drop_loss_on_green(strokes, chain.putt_chances(away)),
            Spot::State(place) => plays.drop_loss(strokes, place as usize),
        };
        if loss < best.1 {
            best = (spot, loss);
        }
    }
    let loss = match best.0 {
        _ if best.1 == f64::INFINITY => best.1,
        Spot::Green(away) => plays.loss_on_green(strokes, chain.putt_chances(away)),
        Spot::State(place) => plays.loss(strokes, place as usize),
    };
    (best.0, loss)
}

/// The policy of a solution, and its values.
impl Plays for super::solver::Solution {
    fn choice(&self, _: usize, place: usize) -> usize {
        self.policy[place] as usize
    }
    fn loss(&self, strokes: usize, place: usize) -> f64 {
        strokes as f64 + self.value[place]
    }
}

#[cfg(test)]
mod tests {
    use super::super::chain::made_up::{MadeUp, drop_in};
    use super::super::explicit::End;
    use super::*;

    /// Shares of 2 and 4 at a half each, moved to a mean of 3.5: three quarters are four. A
    /// mean that no such shares have leaves them.
    #[test]
    fn scores_are_moved_to_a_mean() {
        let even = Scores {
            by_strokes: vec![0.0, 0.0, 0.5, 0.0, 0.5],
        };
        let moved = even.moved_to(3.5);
        for (share, wanted) in moved.by_strokes.iter().zip([0.0, 0.0, 0.25, 0.0, 0.75]) {
            assert!((share - wanted).abs() < 1.0e-9, "{moved:?}");
        }
        assert_eq!(even.moved_to(5.0), even);
    }

    /// Always the first choice, and values to go with it.
    struct First(Vec<f64>);

    impl Plays for First {
        fn choice(&self, _: usize, _: usize) -> usize {
            0
        }
        fn loss(&self, strokes: usize, place: usize) -> f64 {
            strokes as f64 + self.0[place]
        }
    }

    /// A share p out of bounds, the rest beside the hole. The replays are a
    /// geometric series: P(2 + 2k) = (1 − p) pᵏ, mean 2 + 2p/(1 − p).
    #[test]
    fn stroke_and_distance_is_a_geometric_series() {
        let p: f64 = 0.2;
        let chain = MadeUp {
            places: vec![vec![vec![(p, End::Replay), (1.0 - p, End::Green(0.0))]]],
            ..MadeUp::default()
        };
        let scores = Scores::from(&chain, &First(vec![2.5]), 0);
        for k in 0..6 {
            let share = scores.by_strokes[2 + 2 * k];
            assert!((share - (1.0 - p) * p.powi(k as i32)).abs() < 1e-12, "{k}");
            assert_eq!(scores.by_strokes[1 + 2 * k], 0.0);
        }
        assert!((scores.mean() - 2.5).abs() < 1e-9, "{}", scores.mean());
        let total: f64 = scores.by_strokes.iter().sum();
        assert!((total - 1.0).abs() < 1e-12);
        // Variance of 2K for a geometric K: 4p/(1 − p)².
        assert!((scores.variance() - 4.0 * p / (1.0 - p).powi(2)).abs() < 1e-8);
        // The same as a shot off the tee.
        let shot = [(p, After::Again), (1.0 - p, After::Green(0.0))];
        let evaluated = Scores::after(&chain, &First(vec![2.5]), &shot);
        assert!((evaluated.mean() - scores.mean()).abs() < 1e-9);
    }

    /// Two places, water before the second with a drop back in the first, and an
    /// unplayable ball: the mean is the value that the linear equations give.
    ///
    /// Place 0: half lies in 1, half in the water (drop: 0 or 2, and 2 is worth
    /// less). Place 1: on the green, 1 m. Place 2: picked up and dropped in 1.
    /// V1 = 1 + 2, V2 = 1 + V1 = 4, V0 = 1 + ½ V1 + ½ (1 + min(V0, V2)), and
    /// V0 < V2 if V0 = 1 + 1.5 + 0.5 + V0/2 → V0 = 6 ≥ 4, so V0 = 1 + 1.5 + 2.5 = 5.
    #[test]
    fn the_mean_is_the_value() {
        let chain = MadeUp {
            places: vec![
                vec![vec![(0.5, End::Lies(1)), (0.5, End::Relief(0))]],
                vec![vec![(1.0, End::Green(1.0))]],
                vec![vec![(1.0, End::Drop(1))]],
            ],
            drops: vec![drop_in(&[0, 2]), drop_in(&[1])],
            ..MadeUp::default()
        };
        let plays = First(vec![5.0, 3.0, 4.0]);
        for (place, value) in [(0, 5.0), (1, 3.0), (2, 4.0)] {
            let scores = Scores::from(&chain, &plays, place);
            assert!((scores.mean() - value).abs() < 1e-12, "{place}: {scores:?}");
        }
        let scores = Scores::from(&chain, &plays, 0);
        assert!((scores.by_strokes[4] - 0.5).abs() < 1e-15);
        assert!((scores.by_strokes[6] - 0.5).abs() < 1e-15);
        let named = scores.named(4);
        assert!((named.par - 0.5).abs() < 1e-15 && (named.double_bogey - 0.5).abs() < 1e-15);
    }

    /// A share p among trees that one stroke in ten leaves: each is worth 10 and one
    /// putt there, V = 2 + 2p/(1 − p) by going back, as if it were out of bounds.
    #[test]
    fn a_wood_is_left_by_going_back() {
        let p: f64 = 0.2;
        let chain = MadeUp {
            places: vec![
                vec![vec![(p, End::Lies(1)), (1.0 - p, End::Green(0.0))]],
                vec![vec![(0.9, End::Lies(1)), (0.1, End::Green(0.0))]],
            ],
            woods: vec![1],
            ..MadeUp::default()
        };
        let scores = Scores::from(&chain, &First(vec![2.5, 11.0]), 0);
        assert!((scores.mean() - 2.5).abs() < 1e-9, "{}", scores.mean());
        assert!((scores.by_strokes[4] - p * (1.0 - p)).abs() < 1e-12);
        // From among them nothing is gained by going back there.
        let there = Scores::from(&chain, &First(vec![2.5, 11.0]), 1);
        assert!((there.by_strokes[2] - 0.1).abs() < 1e-12);
        assert!((there.mean() - 11.0).abs() < 1e-6, "{}", there.mean());
    }

    /// A chip that goes in ends the hole; Model Local Rule E-5 costs two strokes.
    #[test]
    fn holed_shots_and_two_stroke_drops() {
        let chain = MadeUp {
            places: vec![
                vec![vec![(0.25, End::Holed), (0.75, End::Relief(0))]],
                vec![vec![(1.0, End::Green(0.0))]],
            ],
            drops: vec![super::super::explicit::Node {
                penalty: 2,
                ..drop_in(&[1])
            }],
            ..MadeUp::default()
        };
        // V1 = 2, V0 = 0.25 + 0.75 (1 + 2 + 2) = 4, and a replay is dearer by none.
        let scores = Scores::from(&chain, &First(vec![4.0, 2.0]), 0);
        assert_eq!(scores.by_strokes[1], 0.25);
        assert!((scores.by_strokes[5] - 0.75).abs() < 1e-15);
        assert!((scores.mean() - 4.0).abs() < 1e-12);
    }

    /// Putts split a score by their chances.
    #[test]
    fn putts_are_told_by_their_chances() {
        let chain = MadeUp {
            places: vec![vec![vec![(1.0, End::Green(0.25))]]],
            ..MadeUp::default()
        };
        let scores = Scores::from(&chain, &First(vec![2.25]), 0);
        assert_eq!(scores.by_strokes, [0.0, 0.0, 0.75, 0.25, 0.0]);
        assert!((scores.at_most(2) - 0.75).abs() < 1e-15);
        let named = scores.named(3);
        let total = named.eagle_or_better
            + named.birdie
            + named.par
            + named.bogey
            + named.double_bogey
            + named.triple_or_worse;
        assert!((total - 1.0).abs() < 1e-15);
    }
}
