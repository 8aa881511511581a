//! A tee looked back on after the round: the plan again, the clubs that were hit, and what a place
//! where a ball ended is worth.

use super::Planner;
use crate::diagnostic::Problems;
use crate::hole::{Coord, Hole, Surface, TeeingArea};
use crate::outcome::{Day, Rest, TeeShot, Volley, is_penalty, play};
use crate::plan::{Plan, not_reached};
use crate::player::{ClubShape, CoursePlay, LaunchModel, Player};
use crate::sample::Point;
use crate::strategy::by_game::{EVALUATION_ERROR, Wants, solve_and_decide};
use crate::strategy::own_shot::{OwnShot, by_game};
use crate::strategy::part_swings::with_part_swings;
use crate::strategy::rules::{Price, Rules, Worth};
use crate::strategy::whole::held::Evaluated;
use crate::strategy::whole::objective::Objective;
use crate::strategy::whole::scores::Scores;
use crate::strategy::whole::simulation::{Game, Score, Start, play_on};
use crate::strategy::whole::{Options, Whole};
use crate::strategy::{Priced, Progress};

/// Rollouts of the strokes from a place: a standard error of about 0.01 strokes.
const ROLLOUTS: u64 = 4096;
/// Seed of these rollouts, apart from every other seed.
const SEED: u64 = 0x0010_0cba_c000_0000;
/// Depth below level ground to which a ball is followed, m.
const BELOW_M: f64 = 2.0;

/// A tee shot that was hit, as the best shot with its club.
#[derive(Clone, Debug)]
pub struct Hit {
    /// The shot with its samples and its price.
    pub priced: Priced,
    /// Strokes more than the plan's shot, and the standard error of that.
    pub costs: (f64, f64),
}

/// A tee decided by the player's own game, for looking back on a round.
pub struct LookedBack {
    /// The plan.
    pub plan: Plan,
    /// How often the hole takes how many strokes with the plan's shot.
    pub scores: Scores,
    /// The player as on the course, with the part swings of this tee.
    pub player: Player,
    /// The day.
    pub day: Day,
    /// The plan's tee shot.
    pub choice: Priced,
    /// Lowest and highest bearing within 0.02 strokes of the plan's aim, degrees.
    pub aim_window_deg: [f64; 2],
    /// Of every club that was asked for the best shot with it; none where the bag lacks it, or no
    /// ball of it stays in play.
    pub hits: Vec<Option<Hit>>,
    whole: Whole,
}

impl<'a> Planner<'a> {
    /// The hole that is planned.
    #[must_use]
    pub fn hole(&self) -> &'a Hole {
        self.hole
    }

    /// The player as on the range.
    #[must_use]
    pub fn player(&self) -> &'a Player {
        self.player
    }

    /// The teeing area that is played from.
    ///
    /// # Errors
    /// Where the hole lacks the tee.
    pub fn teeing_area(&self) -> Result<&'a TeeingArea, Problems> {
        Ok(self.hole.tee(self.tee.as_deref())?)
    }

    /// The same for another player.
    #[must_use]
    pub fn for_player<'b>(&self, player: &'b Player) -> Planner<'b>
    where
        'a: 'b,
    {
        Planner {
            player,
            ..self.clone()
        }
    }

    /// Decides the tee for fewest strokes, and prices beside the plan the best shot with every one
    /// of these clubs.
    ///
    /// # Errors
    /// As [`plan`](Self::plan).
    pub fn look_back(
        &self,
        clubs: &[String],
        tell: &(dyn Fn(Progress) + Sync),
    ) -> Result<LookedBack, Problems> {
        let tee = self.hole.tee(self.tee.as_deref())?;
        let day = self.day_in(self.wind);
        let there = self.player_there();
        let player = with_part_swings(&there, self.hole, tee, &day).into_owned();
        let question = self.question((tee, &player), &day);
        let options = Options {
            evaluation_tee_balls: self.effort.evaluation_tee_balls,
            swung: self.swung.clone(),
            ..Options::default()
        };
        let wants = Wants {
            aim: &Objective::Strokes,
            beside: &[],
        };
        let (mut whole, mut found) = solve_and_decide(&question, &options, &wants, tell)
            .map_err(|not| not_reached::problem(&self.file, &not, self.unit))?;
        let named: Vec<Vec<usize>> = clubs.iter().map(|club| player.clubs_named(club)).collect();
        let chosen = found.decision.choice.shot.club;
        let others = named.iter().filter(|clubs| !clubs.contains(&chosen));
        let own: Vec<OwnShot> = others
            .filter(|clubs| !clubs.is_empty())
            .map(|clubs| OwnShot {
                clubs: clubs.clone(),
                aim: None,
                from_left_m: None,
            })
            .collect();
        let beside = by_game(&question, &mut whole, &wants, &mut found, &own);
        let decision = &found.decision;
        let alternatives = || decision.alternatives.iter();
        let hit = |clubs: &Vec<usize>| {
            if clubs.contains(&decision.choice.shot.club) {
                return Some(Hit {
                    priced: decision.choice.clone(),
                    costs: (0.0, 0.0),
                });
            }
            let is_named = |shot: &TeeShot| clubs.contains(&shot.club);
            let priced = beside.iter().flatten();
            let own = priced.map(|beside| (&beside.decision.choice, beside.costs));
            let known = alternatives().map(|other| {
                let costs = (other.costs, other.costs_standard_error);
                (other, costs)
            });
            let mut all = own
                .chain(known)
                .filter(|(priced, _)| is_named(&priced.shot));
            all.next().map(|(priced, costs)| Hit {
                priced: priced.clone(),
                costs,
            })
        };
        Ok(LookedBack {
            plan: self.assembled(&question, decision),
            hits: named.iter().map(hit).collect(),
            choice: decision.choice.clone(),
            aim_window_deg: decision.aim_window_deg,
            scores: found.scores.clone(),
            player,
            day,
            whole,
        })
    }

    /// The launches of a tee shot's swing as they are with other course play.
    ///
    /// # Errors
    /// Where the hole lacks the tee.
    pub fn launches_with(
        &self,
        play: &CoursePlay,
        shot: &TeeShot,
    ) -> Result<Option<LaunchModel>, Problems> {
        let club = self.club_with(play, shot)?;
        Ok(club.map(|club| club.launches))
    }

    fn club_with(&self, play: &CoursePlay, shot: &TeeShot) -> Result<Option<ClubShape>, Problems> {
        let player = play.on(self.player);
        let full = player.clubs.len();
        if shot.club < full {
            return Ok(player.clubs.get(shot.club).cloned());
        }
        let tee = self.hole.tee(self.tee.as_deref())?;
        let player = with_part_swings(&player, self.hole, tee, &self.day_in(self.wind));
        Ok(player.clubs.get(shot.club).cloned())
    }

    /// The balls of a tee shot as it is with other course play: the same club and aim, with
    /// mishits at this share where one is given.
    ///
    /// # Errors
    /// Where the hole lacks the tee.
    pub fn swung_with(
        &self,
        play: &CoursePlay,
        shot: &TeeShot,
        (mishits, points): (Option<f64>, &[Point]),
    ) -> Result<Vec<Rest>, Problems> {
        let tee = self.hole.tee(self.tee.as_deref())?;
        let day = self.day_in(self.wind);
        let Some(mut club) = self.club_with(play, shot)? else {
            return Ok(Vec::new());
        };
        if let Some(share) = mishits {
            club.launches.mishit_share = share;
        }
        Ok(swung(self.hole, tee, &club, shot, (&day, points)))
    }
}

/// A club's balls from a peg along an aim.
fn swung(
    hole: &Hole,
    tee: &TeeingArea,
    club: &ClubShape,
    shot: &TeeShot,
    (day, points): (&Day, &[Point]),
) -> Vec<Rest> {
    let peg = tee.peg(shot.from_left_m, shot.behind_front_m);
    let ground = hole.ground();
    let floor_m = (ground.lowest_m() - ground.height_m(peg.x, peg.y)).min(0.0) - BELOW_M;
    let volley = Volley::fly(club, points, day, [shot.aim_deg; 2], floor_m);
    play(hole, &volley.toward(shot.aim_deg), peg)
}

impl LookedBack {
    /// Strokes that each ball of a tee shot comes to, this stroke and penalties included.
    #[must_use]
    pub fn by_ball(&self, hole: &Hole, rests: &[Rest]) -> Vec<f64> {
        let evaluated = Evaluated(&self.whole);
        let rules = Rules::new(hole, &evaluated, self.player.club_length_m);
        let worths: Vec<Worth> = rests.iter().map(|rest| rules.worth(rest)).collect();
        Price::of(&worths).by_ball
    }

    /// Strokes that a tee shot which ended so comes to, this stroke and penalties included, and the
    /// standard error: by rollouts from where the next stroke is played. `again` is what the hole
    /// takes where the tee shot is played again.
    #[must_use]
    pub fn strokes_of(&self, hole: &Hole, rest: &Rest, again: f64) -> (f64, f64) {
        let replayed = (2.0 + again, EVALUATION_ERROR);
        match self.next(hole, rest) {
            None => replayed,
            Some((at, taken)) => {
                let game = self.game(hole);
                let start = |luck| Start { at, taken, luck };
                let starts: Vec<Start> = (0..ROLLOUTS).map(start).collect();
                let scores = play_on(&game, &starts, SEED);
                let (strokes, error) = mean_and_error(scores.iter().map(|score| score.expected));
                let may_replay = is_penalty(rest.surface) || rest.surface == Surface::Trees;
                if may_replay && strokes > replayed.0 {
                    replayed
                } else {
                    (strokes, error.hypot(EVALUATION_ERROR))
                }
            }
        }
    }

    /// Where a tee shot that ended so is played on from, m, and after how many strokes; none where it
    /// is played again.
    #[must_use]
    pub fn next(&self, hole: &Hole, rest: &Rest) -> Option<(Coord<f64>, usize)> {
        let evaluated = Evaluated(&self.whole);
        let rules = Rules::new(hole, &evaluated, self.player.club_length_m);
        match rest.surface {
            Surface::OutOfBounds => None,
            surface if is_penalty(surface) => {
                let is_red = surface == Surface::PenaltyRed;
                rules
                    .drop_spot(rest.crossed?, is_red)
                    .map(|(at, _)| (at, 2))
            }
            _ => Some((rest.at, 1)),
        }
    }

    /// Plays on from where tee shots lie, by the plan's policy: what each comes to.
    #[must_use]
    pub fn played_on(&self, hole: &Hole, starts: &[Start], seed: u64) -> Vec<Score> {
        play_on(&self.game(hole), starts, seed)
    }

    fn game<'g>(&'g self, hole: &'g Hole) -> Game<'g> {
        let policy = self.whole.choosing();
        Game {
            hole,
            player: &self.player,
            day: &self.day,
            policy,
            decides: policy,
        }
    }
}

/// Mean and its standard error.
fn mean_and_error(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let count = values.clone().count().max(2) as f64;
    let mean = values.clone().sum::<f64>() / count;
    let squares: f64 = values.map(|value| (value - mean).powi(2)).sum();
    (mean, (squares / (count - 1.0) / count).sqrt())
}
