//! Plays a policy ball by ball with the continuous flight and ground.
//!
//! Nothing of the solver is used here: no template, no cell's outcome. Every
//! stroke is drawn from the swing's own pattern, flown and bounced on the true
//! hole by [`outcome`](crate::outcome), and the Rules are applied to where it
//! rests. From the policy come only the choices: what to hit from a place, and
//! which drop is best. [`play_as`] plays a tee shot that is not the policy's own,
//! and on for another objective than fewest strokes; [`play_on`] plays from where
//! balls lie already.
//!
//! Every ball has random numbers of its own: balls of the same number have the same luck
//! in every play of the same seed, as far as they take the same number of strokes (common
//! random numbers).

use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};
use rayon::prelude::*;

use super::action::Action;
use super::around::{fringe_putt_m, holed_chance};
use super::explicit::Explicit;
use super::held::Nearest;
use super::lie::Lie;
use super::policy::Policy;
use super::swing::Swing;
use crate::hole::{Coord, Hole, Surface};
use crate::mdp::{FiniteHorizon, StateId};
use crate::outcome::{Day, Strike, TeeShot, is_penalty, play_each};
use crate::player::pattern::Pattern;
use crate::player::{LaunchModel, Player};
use crate::sample::{DIMENSIONS, Point};
use crate::strategy::finish::StrokesToGo;
use crate::strategy::rules::{Rules, StrokesFrom};

/// Holes played side by side.
const TOGETHER: usize = 1000;
/// A hole is given up after this many strokes.
pub const MOST_STROKES: usize = 30;

/// What many holes came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Played {
    /// How many holes took so many strokes; the last counts those given up.
    pub by_strokes: Vec<u32>,
    /// Mean strokes, those on the green by their expectation: they are drawn from a table
    /// in [`Played::by_strokes`], which would only add noise here.
    pub mean: f64,
    /// Its standard error.
    pub standard_error: f64,
}

impl Played {
    fn of(scores: &[Score]) -> Self {
        let mut by_strokes = vec![0; MOST_STROKES + 1];
        for score in scores {
            by_strokes[score.strokes.min(MOST_STROKES)] += 1;
        }
        let count = scores.len() as f64;
        let mean = scores.iter().map(|s| s.expected).sum::<f64>() / count;
        let variance = scores
            .iter()
            .map(|s| (s.expected - mean).powi(2))
            .sum::<f64>()
            / (count - 1.0);
        Self {
            by_strokes,
            mean,
            standard_error: (variance / count).sqrt(),
        }
    }

    /// Share of holes that took at most this many strokes.
    #[must_use]
    pub fn at_most(&self, strokes: usize) -> f64 {
        let all: u32 = self.by_strokes.iter().sum();
        let few: u32 = self.by_strokes.iter().take(strokes + 1).sum();
        f64::from(few) / f64::from(all)
    }
}

/// What one ball came to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Score {
    /// Strokes, at most a putt or two beyond [`MOST_STROKES`].
    pub strokes: usize,
    /// The same with the expectation of its putts in their place.
    pub expected: f64,
}

/// A ball that lies somewhere already.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// Where, m.
    pub at: Coord<f64>,
    /// Strokes taken, penalties included.
    pub taken: usize,
    /// Number of its random stream.
    pub luck: u64,
}

/// What is played.
#[derive(Clone, Copy)]
pub struct Game<'a> {
    /// The hole.
    pub hole: &'a Hole,
    /// The player.
    pub player: &'a Player,
    /// The day.
    pub day: &'a Day,
    /// What the player hits from a place.
    pub policy: Policy<'a>,
    /// By whose values the player decides where a ball is dropped, and whether
    /// it is rather replayed.
    pub decides: Policy<'a>,
}

/// A stroke before it is hit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Whether the ball is on the peg.
    pub is_teed: bool,
    /// Where it lies.
    pub lie: Lie,
    /// How far the pin is, m.
    pub to_pin_m: f64,
}

/// Some strokes of a player who hits them otherwise than the policy was made for.
#[derive(Clone, Copy)]
pub struct Changed<'a> {
    /// Which.
    pub strokes: &'a (dyn Fn(Stroke) -> bool + Sync),
    /// What their launches become.
    pub launches: &'a (dyn Fn(&LaunchModel) -> LaunchModel + Sync),
}

/// How a hole is played where it is not the policy's own way.
#[derive(Clone, Copy, Default)]
pub struct Style<'a> {
    /// The tee shot and its peg, m; none for the policy's own.
    pub tee: Option<(TeeShot, Coord<f64>)>,
    /// Strokes that the hole takes with that tee shot: it is played again where that
    /// saves strokes. Where this is none, a ball in a penalty area is dropped wherever
    /// there is a place for it, and one among trees compared with the policy's own tee shot.
    pub tee_strokes: Option<f64>,
    /// By whose values that is decided; none for those of [`Game::decides`].
    pub tee_values: Option<&'a dyn StrokesFrom>,
    /// A place, m, and what is done from it first: the hole is played from there and
    /// not from the tee.
    pub begin: Option<(Coord<f64>, Action)>,
    /// Strokes taken before the hole is begun there; they count.
    pub taken: usize,
    /// An objective on the hole as its choices are numbered there, with the states
    /// of the policy: played for as long as there is anything to be had, then for
    /// fewest strokes.
    pub standing: Option<(&'a Explicit, &'a FiniteHorizon)>,
    /// Strokes that are hit otherwise.
    pub changed: Option<Changed<'a>>,
    /// The swings of a player who scatters otherwise than the policy was made for, in its order; none
    /// for the policy's own.
    pub swings: Option<&'a [Swing]>,
    /// How putts are holed; none for the level of the player's handicap.
    pub putts: Option<&'a StrokesToGo>,
}

/// Plays `holes` holes; the same for the same seed at any number of threads.
#[must_use]
pub fn play(game: &Game<'_>, holes: usize, seed: u64) -> Played {
    play_as(game, Style::default(), holes, seed)
}

/// The same in another way.
#[must_use]
pub fn play_as(game: &Game<'_>, style: Style<'_>, holes: usize, seed: u64) -> Played {
    Played::of(&scores_as(game, style, holes, seed))
}

/// What each of these holes comes to, in order.
#[must_use]
pub fn scores_as(game: &Game<'_>, style: Style<'_>, holes: usize, seed: u64) -> Vec<Score> {
    let from = style.begin.map(|(at, _)| at);
    let balls = (0..holes as u64).map(|luck| Ball {
        at: from.unwrap_or(game.policy.explicit.problem().start),
        teed: from.is_none(),
        strokes: style.taken,
        rng: luck_of(seed, luck),
        score: None,
    });
    all(game, style, balls.collect())
}

/// Plays on from where balls lie: what each comes to in all, in order. The same for the same
/// seed at any number of threads.
#[must_use]
pub fn play_on(game: &Game<'_>, starts: &[Start], seed: u64) -> Vec<Score> {
    play_on_as(game, Style::default(), starts, seed)
}

/// The same in another way.
#[must_use]
pub fn play_on_as(game: &Game<'_>, style: Style<'_>, starts: &[Start], seed: u64) -> Vec<Score> {
    let balls = starts.iter().map(|start| Ball {
        at: start.at,
        teed: false,
        strokes: start.taken,
        rng: luck_of(seed, start.luck),
        score: None,
    });
    all(game, style, balls.collect())
}

fn luck_of(seed: u64, luck: u64) -> Pcg64Mcg {
    Pcg64Mcg::seed_from_u64(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add(luck))
}

/// Plays every ball to the end.
fn all(game: &Game<'_>, style: Style<'_>, mut balls: Vec<Ball>) -> Vec<Score> {
    let own = StrokesToGo::for_handicap(game.player.handicap);
    let open = OutOfTrees(&game.decides);
    let tee_values = style.tee_values.unwrap_or(&game.decides);
    let nearest = style
        .standing
        .map(|(_, standing)| (standing, Nearest::of(game.policy.explicit)));
    let left: Vec<Left<'_>> = nearest
        .as_ref()
        .map_or_else(Vec::new, |(standing, nearest)| {
            (0..standing.value.len())
                .map(|strokes| Left {
                    policy: &game.policy,
                    decides: &game.decides,
                    nearest,
                    standing,
                    strokes,
                })
                .collect()
        });
    let tee = style
        .tee
        .and_then(|(shot, _)| game.player.clubs.get(shot.club))
        .map(|club| &club.launches);
    let own_swings = || game.policy.explicit.problem().swings.as_slice();
    let swings = style.swings.unwrap_or_else(own_swings);
    let table = Table {
        game,
        style,
        left: left
            .iter()
            .map(|left| {
                let rules = Rules::new(game.hole, left, game.player.club_length_m);
                (left, rules)
            })
            .collect(),
        tee: tee.map(LaunchModel::pattern),
        changed: style.changed.map(|changed| ChangedPatterns {
            strokes: changed.strokes,
            tee: tee.map(|model| (changed.launches)(model).pattern()),
            patterns: patterns(swings, changed.launches),
        }),
        to_go: style.putts.unwrap_or(&own),
        rules: Rules::new(game.hole, &game.decides, game.player.club_length_m),
        tee_values,
        tee_rules: Rules::new(game.hole, tee_values, game.player.club_length_m),
        out_of_trees: Rules::new(game.hole, &open, game.player.club_length_m),
        patterns: patterns(swings, &LaunchModel::clone),
    };
    balls
        .par_chunks_mut(TOGETHER)
        .for_each(|together| table.play(together));
    balls
        .iter()
        .map(|ball| {
            ball.score.unwrap_or(Score {
                strokes: MOST_STROKES,
                expected: MOST_STROKES as f64,
            })
        })
        .collect()
}

/// A pattern for each lie that a swing is made from.
type ByLie = [Option<Pattern>; super::lie::LIES];

/// The patterns of every swing, with launches that have become others.
fn patterns(swings: &[Swing], launches: &dyn Fn(&LaunchModel) -> LaunchModel) -> Vec<ByLie> {
    let pattern = |model: &Option<LaunchModel>| model.as_ref().map(|m| launches(m).pattern());
    swings
        .iter()
        .map(|swing| Lie::ALL.map(|lie| pattern(&swing.by_lie[lie as usize])))
        .collect()
}

/// The policy's values, and none among trees: nobody drops there again.
struct OutOfTrees<'a>(&'a Policy<'a>);

impl StrokesFrom for OutOfTrees<'_> {
    fn strokes_from(&self, surface: Surface, at: Coord<f64>, _: f64) -> f64 {
        if surface == Surface::Trees {
            f64::INFINITY
        } else {
            self.0.value(surface, at)
        }
    }
}

/// What is left to be had of an objective after so many strokes, as a loss.
struct Left<'a> {
    nearest: &'a Nearest,
    policy: &'a Policy<'a>,
    decides: &'a Policy<'a>,
    standing: &'a FiniteHorizon,
    strokes: usize,
}

impl Left<'_> {
    fn worth(&self, surface: Surface, at: Coord<f64>) -> f64 {
        let explicit = self.policy.explicit;
        if surface == Surface::Green {
            let problem = explicit.problem();
            let away = problem.to_pin_m([at.x as f32, at.y as f32]) as f32;
            return self
                .standing
                .utility
                .of_end(self.strokes, &explicit.green(away).by_cost);
        }
        self.nearest
            .shares(explicit, surface, at)
            .into_iter()
            .map(|(share, place)| share * self.standing.at(self.strokes, StateId(place)))
            .sum()
    }
}

impl StrokesFrom for Left<'_> {
    fn strokes_from(&self, surface: Surface, at: Coord<f64>, _: f64) -> f64 {
        -self.worth(surface, at)
    }
    // A chance is too noisy to choose a place by: `pooled_objective`.
    fn compared_at(&self, surface: Surface, at: Coord<f64>, _: f64) -> f64 {
        self.decides.value(surface, at)
    }
}

struct Table<'a> {
    game: &'a Game<'a>,
    style: Style<'a>,
    /// By strokes played, while there is something to be had.
    left: Vec<(&'a Left<'a>, Rules<'a>)>,
    /// Of the tee shot, where it is not the policy's own.
    tee: Option<Pattern>,
    to_go: &'a StrokesToGo,
    rules: Rules<'a>,
    /// For a ball from the tee.
    tee_values: &'a dyn StrokesFrom,
    tee_rules: Rules<'a>,
    /// For an unplayable ball.
    out_of_trees: Rules<'a>,
    patterns: Vec<ByLie>,
    changed: Option<ChangedPatterns<'a>>,
}

/// The patterns of strokes that are hit otherwise.
struct ChangedPatterns<'a> {
    strokes: &'a (dyn Fn(Stroke) -> bool + Sync),
    tee: Option<Pattern>,
    patterns: Vec<ByLie>,
}

struct Ball {
    at: Coord<f64>,
    teed: bool,
    strokes: usize,
    rng: Pcg64Mcg,
    /// None while it is in play, and of one that is given up.
    score: Option<Score>,
}

impl Table<'_> {
    fn play(&self, balls: &mut [Ball]) {
        for _ in 0..2 * MOST_STROKES {
            let mut hitters = Vec::new();
            let mut strikes = Vec::new();
            let mut in_play = false;
            for (index, ball) in balls.iter_mut().enumerate() {
                if ball.score.is_some() || ball.strokes >= MOST_STROKES {
                    continue;
                }
                in_play = true;
                if let Some(strike) = self.next(ball) {
                    hitters.push(index);
                    strikes.push(strike);
                }
            }
            if !in_play {
                break;
            }
            let rests = play_each(self.game.hole, &strikes, self.game.day);
            for (index, rest) in hitters.into_iter().zip(rests) {
                let ball = &mut balls[index];
                ball.strokes += 1;
                let relief = match rest.surface {
                    Surface::OutOfBounds => None,
                    surface if is_penalty(surface) => rest.crossed.and_then(|crossed| {
                        self.relief(ball, crossed, surface == Surface::PenaltyRed)
                    }),
                    Surface::Trees
                        if self.worth_in_trees(ball, rest.at) > 1.0 + self.worth_again(ball) =>
                    {
                        None
                    }
                    surface => {
                        ball.at = rest.at;
                        ball.teed = false;
                        if surface == Surface::Green {
                            let pin = self.game.hole.pin;
                            let holed = holed_chance(rest.landed, rest.at, pin);
                            let away_m = (rest.at.x - pin.x).hypot(rest.at.y - pin.y);
                            self.putt_out(ball, away_m, holed);
                        }
                        continue;
                    }
                };
                // One penalty stroke; without relief the ball is played from where it
                // was, as an unplayable one may be.
                ball.strokes += 1;
                if let Some(spot) = relief {
                    ball.at = spot;
                    ball.teed = false;
                }
            }
        }
    }

    /// Where a ball that was just struck is dropped; none where it is replayed.
    fn relief(&self, ball: &Ball, crossed: Coord<f64>, red: bool) -> Option<Coord<f64>> {
        let own_tee = self.style.tee.is_some() && ball.teed;
        // The stroke is counted; its penalty is the next.
        if let Some((left, rules)) = self.left.get(ball.strokes + 1) {
            let (spot, loss) = rules.drop_spot(crossed, red)?;
            let again = if own_tee {
                0.0
            } else {
                let surface = self.game.hole.surface_at(ball.at);
                -left.worth(surface, ball.at)
            };
            if loss < 0.0 || again < 0.0 {
                return (loss <= again).then_some(spot);
            }
        }
        let rules = if ball.teed {
            &self.tee_rules
        } else {
            &self.rules
        };
        let (spot, strokes) = rules.drop_spot(crossed, red)?;
        let everywhere = own_tee && self.style.tee_strokes.is_none();
        (everywhere || strokes <= self.worth_again(ball)).then_some(spot)
    }

    /// What is done from a place off the green.
    fn action(&self, ball: &Ball, lie: Lie) -> Option<Action> {
        let policy = &self.game.policy;
        let for_aim = self.style.standing.and_then(|(explicit, standing)| {
            let state = policy.near([ball.at.x as f32, ball.at.y as f32], lie)?;
            if standing.at(ball.strokes, StateId(state)) <= 0.0 {
                return None;
            }
            let choice = *standing.actions.get(ball.strokes)?.get(state as usize)?;
            let choices = explicit.choices(state);
            choices.get(usize::from(choice)).copied()
        });
        for_aim.or_else(|| policy.action(ball.at, lie))
    }

    /// Strokes from a place among trees where a ball that was just struck lies.
    fn worth_in_trees(&self, ball: &Ball, at: Coord<f64>) -> f64 {
        if !ball.teed {
            return self.game.decides.value(Surface::Trees, at);
        }
        let pin = self.game.hole.pin;
        let to_pin_m = (at.x - pin.x).hypot(at.y - pin.y);
        self.tee_values.strokes_from(Surface::Trees, at, to_pin_m)
    }

    fn worth_again(&self, ball: &Ball) -> f64 {
        if ball.teed {
            let own = self.style.tee_strokes;
            return own.unwrap_or(self.game.decides.solution.start);
        }
        let surface = self.game.hole.surface_at(ball.at);
        self.game.decides.value(surface, ball.at)
    }

    /// The next strike; none where the ball was putted out or dropped.
    fn next(&self, ball: &mut Ball) -> Option<Strike> {
        let hole = self.game.hole;
        let surface = hole.surface_at(ball.at);
        if !ball.teed && surface == Surface::Green {
            let away_m = (ball.at.x - hole.pin.x).hypot(ball.at.y - hole.pin.y);
            self.putt_out(ball, away_m, 0.0);
            return None;
        }
        let lie = if ball.teed {
            Lie::Tee
        } else {
            Lie::on(surface).unwrap_or(Lie::Rough)
        };
        let stroke = Stroke {
            is_teed: ball.teed,
            lie,
            to_pin_m: (ball.at.x - hole.pin.x).hypot(ball.at.y - hole.pin.y),
        };
        let changed = self.changed.as_ref();
        let changed = changed.filter(|changed| (changed.strokes)(stroke));
        let tee = changed.map_or(&self.tee, |changed| &changed.tee);
        if let (true, Some(pattern), Some((shot, peg))) = (ball.teed, tee, self.style.tee) {
            let point: Point =
                std::array::from_fn::<f64, DIMENSIONS, _>(|_| uniform(&mut ball.rng));
            return Some(Strike {
                from: peg,
                aim_deg: shot.aim_deg,
                launch: pattern.draw(&point),
                luck: point,
            });
        }
        let mut action = if ball.teed {
            self.game.policy.tee().1
        } else if let Some((_, first)) = self
            .style
            .begin
            .filter(|_| ball.strokes == self.style.taken)
        {
            first
        } else {
            self.action(ball, lie)?
        };
        if action == Action::UNPLAYABLE {
            if let Some((spot, strokes)) = self.out_of_trees.drop_spot(ball.at, true)
                && strokes.is_finite()
            {
                ball.strokes += 1;
                ball.at = spot;
                return None;
            }
            action = self
                .game
                .policy
                .explicit
                .rough_action([ball.at.x as f32, ball.at.y as f32], lie)?;
        }
        if action == Action::PUTT {
            if let Some(length_m) = fringe_putt_m(hole, ball.at) {
                self.putt_out(ball, length_m, 0.0);
                return None;
            }
            action = self
                .game
                .policy
                .explicit
                .rough_action([ball.at.x as f32, ball.at.y as f32], lie)?;
        }
        let point: Point = std::array::from_fn::<f64, DIMENSIONS, _>(|_| uniform(&mut ball.rng));
        let swing = usize::from(action.swing);
        let stand_in = self.game.policy.explicit.problem().swings[swing].flies_as(lie);
        let patterns = changed.map_or(&self.patterns, |changed| &changed.patterns);
        let pattern = patterns[swing][stand_in as usize].as_ref()?;
        let pin_deg = (hole.pin.x - ball.at.x)
            .atan2(hole.pin.y - ball.at.y)
            .to_degrees();
        Some(Strike {
            from: ball.at,
            aim_deg: action.bearing_deg(pin_deg),
            launch: pattern.draw(&point),
            luck: point,
        })
    }

    /// Holes a ball out that has gone in already with the chance `holed`.
    fn putt_out(&self, ball: &mut Ball, length_m: f64, holed: f64) {
        let [one, two, three] = self.to_go.putt_chances(length_m);
        let putts = if holed > 0.0 && uniform(&mut ball.rng) < holed {
            0
        } else {
            let luck = uniform(&mut ball.rng);
            1 + usize::from(luck >= one) + usize::from(luck >= one + two)
        };
        ball.score = Some(Score {
            strokes: ball.strokes + putts,
            expected: ball.strokes as f64 + (1.0 - holed) * (one + 2.0 * two + 3.0 * three),
        });
    }
}

/// A uniform strictly between 0 and 1.
fn uniform(rng: &mut Pcg64Mcg) -> f64 {
    ((rng.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
}
