//! Plays a policy ball by ball with the continuous flight and ground.
//!
//! Nothing of the solver is used here: no template, no cell's outcome. Every
//! stroke is drawn from the swing's own pattern, flown and bounced on the true
//! hole by [`outcome`](crate::outcome), and the Rules are applied to where it
//! rests. From the policy come only the choices: what to hit from a place, and
//! which drop is best. [`play_as`] plays a tee shot that is not the policy's own,
//! and on for another aim of play than fewest strokes.

use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};
use rayon::prelude::*;

use super::action::Action;
use super::aims_of_play::Standing;
use super::around::{fringe_putt_m, holed_chance};
use super::explicit::Explicit;
use super::held::Nearest;
use super::lie::Lie;
use super::policy::Policy;
use crate::hole::{Coord, Hole, Surface};
use crate::outcome::{Day, Strike, TeeShot, is_penalty, play_each};
use crate::player::Player;
use crate::player::pattern::Pattern;
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
    /// Mean strokes.
    pub mean: f64,
    /// Its standard error.
    pub standard_error: f64,
}

impl Played {
    fn of(scores: &[usize]) -> Self {
        let mut by_strokes = vec![0; MOST_STROKES + 1];
        for &score in scores {
            by_strokes[score.min(MOST_STROKES)] += 1;
        }
        let count = scores.len() as f64;
        let mean = scores.iter().map(|s| *s as f64).sum::<f64>() / count;
        let variance = scores
            .iter()
            .map(|s| (*s as f64 - mean).powi(2))
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

/// How a hole is played where it is not the policy's own way.
#[derive(Clone, Copy, Default)]
pub struct Style<'a> {
    /// The tee shot and its peg, m; none for the policy's own. A ball in a
    /// penalty area is then dropped wherever there is a place for it.
    pub tee: Option<(TeeShot, Coord<f64>)>,
    /// A place, m, and what is done from it first: the hole is played from there and
    /// not from the tee.
    pub begin: Option<(Coord<f64>, Action)>,
    /// Strokes taken before the hole is begun there; they count.
    pub taken: usize,
    /// An aim of play on the hole as its choices are numbered there, with the states
    /// of the policy: played for as long as there is anything to be had, then for
    /// fewest strokes.
    pub standing: Option<(&'a Explicit, &'a Standing)>,
}

/// Plays `holes` holes; the same for the same seed at any number of threads.
#[must_use]
pub fn play(game: &Game<'_>, holes: usize, seed: u64) -> Played {
    play_as(game, Style::default(), holes, seed)
}

/// The same in another way.
#[must_use]
pub fn play_as(game: &Game<'_>, style: Style<'_>, holes: usize, seed: u64) -> Played {
    let to_go = StrokesToGo::for_handicap(game.player.handicap);
    let open = OutOfTrees(&game.decides);
    let nearest = Nearest::of(game.policy.explicit);
    let left: Vec<Left<'_>> = style.standing.map_or_else(Vec::new, |(_, standing)| {
        (0..standing.worth.len())
            .map(|strokes| Left {
                policy: &game.policy,
                decides: &game.decides,
                nearest: &nearest,
                standing,
                strokes,
            })
            .collect()
    });
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
        tee: style
            .tee
            .and_then(|(shot, _)| game.player.clubs.get(shot.club))
            .map(|club| club.launches.pattern()),
        to_go: &to_go,
        rules: Rules::new(game.hole, &game.decides, game.player.club_length_m),
        out_of_trees: Rules::new(game.hole, &open, game.player.club_length_m),
        patterns: game
            .policy
            .explicit
            .problem()
            .swings
            .iter()
            .map(|swing| {
                Lie::ALL.map(|lie| swing.by_lie[lie as usize].as_ref().map(|m| m.pattern()))
            })
            .collect(),
    };
    let groups: Vec<usize> = (0..holes.div_ceil(TOGETHER)).collect();
    let scores: Vec<usize> = groups
        .into_par_iter()
        .flat_map_iter(|group| {
            let count = TOGETHER.min(holes - group * TOGETHER);
            table.play(
                count,
                seed.wrapping_mul(1_000_003).wrapping_add(group as u64),
            )
        })
        .collect();
    Played::of(&scores)
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

/// What is left to be had of an aim of play after so many strokes, as a loss.
struct Left<'a> {
    nearest: &'a Nearest,
    policy: &'a Policy<'a>,
    decides: &'a Policy<'a>,
    standing: &'a Standing,
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
                .on_green(self.strokes, explicit.putt_chances(away));
        }
        self.nearest
            .shares(explicit, surface, at)
            .into_iter()
            .map(|(share, place)| share * self.standing.of(self.strokes, place as usize))
            .sum()
    }
}

impl StrokesFrom for Left<'_> {
    fn strokes_from(&self, surface: Surface, at: Coord<f64>, _: f64) -> f64 {
        -self.worth(surface, at)
    }
    // A chance is too noisy to choose a place by: `aim_together`.
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
    /// For an unplayable ball.
    out_of_trees: Rules<'a>,
    patterns: Vec<[Option<Pattern>; super::lie::LIES]>,
}

#[derive(Clone, Copy)]
struct Ball {
    at: Coord<f64>,
    teed: bool,
    strokes: usize,
    done: bool,
}

impl Table<'_> {
    fn play(&self, count: usize, seed: u64) -> Vec<usize> {
        let mut rng = Pcg64Mcg::seed_from_u64(seed);
        let begin = self.style.begin.map(|(at, _)| at);
        let mut balls = vec![
            Ball {
                at: begin.unwrap_or(self.game.policy.explicit.problem().start),
                teed: begin.is_none(),
                strokes: self.style.taken,
                done: false,
            };
            count
        ];
        for _ in 0..2 * MOST_STROKES {
            let mut hitters = Vec::new();
            let mut strikes = Vec::new();
            for (index, ball) in balls.iter_mut().enumerate() {
                if ball.done {
                    continue;
                }
                if ball.strokes >= MOST_STROKES {
                    ball.done = true;
                } else if let Some(strike) = self.next(ball, &mut rng) {
                    hitters.push(index);
                    strikes.push(strike);
                }
            }
            if balls.iter().all(|ball| ball.done) {
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
                        if self.game.decides.value(Surface::Trees, rest.at)
                            > 1.0 + self.worth_again(ball) =>
                    {
                        None
                    }
                    surface => {
                        let holed = if surface == Surface::Green {
                            holed_chance(rest.landed, rest.at, self.game.hole.pin)
                        } else {
                            0.0
                        };
                        if holed > 0.0 && uniform(&mut rng) < holed {
                            ball.done = true;
                        }
                        ball.at = rest.at;
                        ball.teed = false;
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
        balls
            .iter()
            .map(|ball| {
                if ball.done {
                    ball.strokes
                } else {
                    MOST_STROKES
                }
            })
            .collect()
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
        let (spot, strokes) = self.rules.drop_spot(crossed, red)?;
        (own_tee || strokes <= self.worth_again(ball)).then_some(spot)
    }

    /// What is done from a place off the green.
    fn action(&self, ball: &Ball, lie: Lie) -> Option<Action> {
        let policy = &self.game.policy;
        let for_aim = self.style.standing.and_then(|(explicit, standing)| {
            let state = policy.near([ball.at.x as f32, ball.at.y as f32], lie)?;
            if standing.of(ball.strokes, state as usize) <= 0.0 {
                return None;
            }
            let choice = *standing.choices.get(ball.strokes)?.get(state as usize)?;
            let choices = explicit.choices(state);
            choices.get(usize::from(choice)).map(|c| c.action)
        });
        for_aim.or_else(|| policy.action(ball.at, lie))
    }

    fn worth_again(&self, ball: &Ball) -> f64 {
        if ball.teed {
            return self.game.decides.solution.tee;
        }
        let surface = self.game.hole.surface_at(ball.at);
        self.game.decides.value(surface, ball.at)
    }

    /// The next strike; none where the ball was putted out or dropped.
    fn next(&self, ball: &mut Ball, rng: &mut Pcg64Mcg) -> Option<Strike> {
        let hole = self.game.hole;
        let surface = hole.surface_at(ball.at);
        let away = (ball.at.x - hole.pin.x).hypot(ball.at.y - hole.pin.y);
        if !ball.teed && surface == Surface::Green {
            self.putt_out(ball, away, rng);
            return None;
        }
        let lie = if ball.teed {
            Lie::Tee
        } else {
            Lie::on(surface).unwrap_or(Lie::Rough)
        };
        if let (true, Some(pattern), Some((shot, peg))) = (ball.teed, &self.tee, self.style.tee) {
            let point: Point = std::array::from_fn::<f64, DIMENSIONS, _>(|_| uniform(rng));
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
                self.putt_out(ball, length_m, rng);
                return None;
            }
            action = self
                .game
                .policy
                .explicit
                .rough_action([ball.at.x as f32, ball.at.y as f32], lie)?;
        }
        let point: Point = std::array::from_fn::<f64, DIMENSIONS, _>(|_| uniform(rng));
        let swing = usize::from(action.swing);
        let stand_in = self.game.policy.explicit.problem().swings[swing].flies_as(lie);
        let pattern = self.patterns[swing][stand_in as usize].as_ref()?;
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

    fn putt_out(&self, ball: &mut Ball, length_m: f64, rng: &mut Pcg64Mcg) {
        let [one, two, _] = self.to_go.putt_chances(length_m);
        let luck = uniform(rng);
        ball.strokes += if luck < one {
            1
        } else if luck < one + two {
            2
        } else {
            3
        };
        ball.done = true;
    }
}

/// A uniform strictly between 0 and 1.
fn uniform(rng: &mut Pcg64Mcg) -> f64 {
    ((rng.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
}
