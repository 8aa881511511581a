//! Every demo hole decided for every objective, and played for it: do the
//! stated chances hold, and is the policy for an aim better at it than the policy
//! for fewest strokes? And the next shot that each of them tells, played from there: do
//! its strokes and chances hold?
//!
//!     cargo run --release --example whole_aims                  every hole, 100 000 times
//!     cargo run --release --example whole_aims -- 20000 5 9     these, 20 000 times
//!
//! Exit code 1 where the evaluation and the play differ by more than three standard
//! errors, of both together, or where playing for an aim did worse at it than playing for
//! fewest strokes by more than that.

mod demo;

use std::process::ExitCode;

use bendline::mdp::FiniteHorizon;
use bendline::strategy::Question;
use bendline::strategy::by_game::{Wants, decide_by_game, solve_and_decide};
use bendline::strategy::whole::next_shot::NextShotAdvice;
use bendline::strategy::whole::objective::Objective;
use bendline::strategy::whole::pooled_objective::standing_together;
use bendline::strategy::whole::scores::Scores;
use bendline::strategy::whole::simulation::{Game, Played, Style, play_as};
use bendline::strategy::whole::{Options, Whole};
use bendline::units::scores;

/// The next shot for an objective after the tee shot, evaluated and played for it: how many
/// of the evaluations do not hold.
fn ways_home_for(
    game: &Game<'_>,
    (whole, aim, standing): (&Whole, &Objective, &FiniteHorizon),
    way: Option<&NextShotAdvice>,
    times: usize,
) -> usize {
    let Some((way, by)) = way.and_then(|way| Some((way, way.for_aim.as_ref()?))) else {
        return 0;
    };
    let par = usize::from(game.hole.par);
    let shots = std::iter::once(&way.choice)
        .chain(&by.fewest_strokes)
        .chain(way.others.iter().take(2))
        .chain(way.lay_ups.iter().take(3));
    let mut known = Vec::new();
    let mut first: Option<(f64, f64)> = None;
    let mut fail = 0;
    for shot in shots {
        let Some(had) = shot.by_aim.filter(|_| !known.contains(&shot.action)) else {
            continue;
        };
        known.push(shot.action);
        let style = Style {
            begin: Some((way.from, shot.action)),
            taken: 1,
            standing: Some((&whole.explicit, standing)),
            ..Style::default()
        };
        let played = play_as(game, style, times, 9);
        let mean = |of: &dyn Fn(f64) -> f64| {
            let all = played.by_strokes.iter().enumerate();
            all.map(|(score, n)| f64::from(*n) * of(aim.worth(score, par)))
                .sum::<f64>()
                / times as f64
        };
        let worth = mean(&|w| w);
        let error = ((mean(&|w| w * w) - worth * worth) / times as f64).sqrt();
        let off = (worth - had.worth) / error.hypot(had.standard_error);
        let (choice, of_choice) = *first.get_or_insert((worth, error));
        let lost = choice - worth;
        let both = error.hypot(of_choice);
        let off_cost = (lost - had.costs) / both.hypot(had.costs_standard_error);
        let swing = &game.policy.explicit.problem().swings[usize::from(shot.action.swing)];
        println!(
            "    for {} from {:.0} m: {} {:?}, leaves {:.0} m: told {:.4}, played {worth:.4} ± \
             {error:.4} ({off:+.1}); loses {:.4}, played {lost:.4} ± {both:.4} ({off_cost:+.1}); \
             {:.3} strokes",
            aim.key(),
            way.to_pin_m,
            game.player.clubs[swing.club].club,
            swing.kind,
            shot.left_m,
            had.worth,
            had.costs,
            shot.strokes
        );
        fail += usize::from(!holds(off)) + usize::from(!holds(off_cost));
    }
    fail
}

/// The next shot, evaluated and played: the shot, other clubs, the distances left. How many of
/// them do not hold.
fn ways_home(game: &Game<'_>, way: Option<&NextShotAdvice>, times: usize) -> usize {
    let Some(way) = way else {
        return 0;
    };
    let mut fail = 0;
    let shots = std::iter::once(&way.choice)
        .chain(way.others.iter().take(2))
        .chain(way.lay_ups.iter().take(4));
    let mut known = Vec::new();
    for shot in shots {
        if known.contains(&shot.action) {
            continue;
        }
        known.push(shot.action);
        let style = Style {
            begin: Some((way.from, shot.action)),
            ..Style::default()
        };
        let played = play_as(game, style, times, 8);
        let error = played.standard_error.hypot(shot.standard_error);
        let errors = (played.mean - shot.strokes) / error;
        fail += usize::from(!holds(errors));
        let swing = &game.policy.explicit.problem().swings[usize::from(shot.action.swing)];
        println!(
            "    from {:.0} m: {} {:?}, leaves {:.0} m: told {:.4}, played {:.4} ± {error:.4} \
             ({errors:+.1}{})",
            way.to_pin_m,
            game.player.clubs[swing.club].club,
            swing.kind,
            shot.left_m,
            shot.strokes,
            played.mean,
            marked(errors)
        );
    }
    fail
}

/// Whether the evaluation and the play, so many standard errors apart, are the same.
fn holds(errors: f64) -> bool {
    errors.abs() <= 3.0
}

fn marked(errors: f64) -> &'static str {
    if holds(errors) { "" } else { ", FAILS" }
}

fn main() -> ExitCode {
    let numbers: Vec<usize> = std::env::args()
        .skip(1)
        .filter_map(|a| a.parse().ok())
        .collect();
    let (times, wanted) = numbers.split_first().unwrap_or((&100_000, &[]));
    let player = demo::player();
    let day = demo::day(0.0, 250.0);
    let list = scores::read("birdie:10,par:50,bogey:30,double:10").expect("scores");
    let course = demo::course();
    let mut fail = 0;
    for (number, hole) in (1..).zip(&course.holes) {
        if !wanted.is_empty() && !wanted.contains(&number) {
            continue;
        }
        let par = usize::from(hole.par);
        let tee = hole.tee(None).expect("a tee");
        let aims = [
            Objective::Strokes,
            Objective::Par,
            Objective::NoDouble,
            Objective::Points { received: 0 },
            Objective::Match {
                opponent: Scores {
                    by_strokes: list.by_strokes(par),
                },
            },
        ];
        let question = Question {
            hole,
            tee,
            player: &player,
            day: &day,
            seed: 1,
        };
        let strokes = Wants {
            aim: &aims[0],
            beside: &[],
        };
        let options = Options::default();
        let (whole, _) = solve_and_decide(&question, &options, &strokes, &|_| {}).expect("in play");
        let game = Game {
            hole,
            player: &player,
            day: &day,
            policy: whole.choosing(),
            decides: whole.choosing(),
        };
        for aim in &aims {
            let wants = Wants { aim, beside: &aims };
            let found = decide_by_game(&question, &whole, &wants, &|_| {}).expect("in play");
            let judged = found
                .aims
                .iter()
                .find(|j| j.aim == *aim)
                .expect("asked for");
            let choice = &found.decision.choice;
            let mine = standing_together(&whole, aim, par);
            let tee = Some((choice.shot, choice.peg));
            let run = |standing: Option<&FiniteHorizon>| {
                let style = Style {
                    tee,
                    standing: standing.map(|standing| (&whole.explicit, standing)),
                    ..Style::default()
                };
                play_as(&game, style, *times, 7)
            };
            let of = |played: &Played| {
                let mean = |of: &dyn Fn(f64) -> f64| {
                    let all = played.by_strokes.iter().enumerate();
                    all.map(|(score, n)| f64::from(*n) * of(aim.worth(score, par)))
                        .sum::<f64>()
                        / *times as f64
                };
                let worth = mean(&|w| w);
                let error = ((mean(&|w| w * w) - worth * worth) / *times as f64).sqrt();
                (worth, error)
            };
            let by_strokes = run(None);
            let (usual, usual_error) = of(&by_strokes);
            let told = found.scores.expect(|score| aim.worth(score, par));
            let mean = judged.scores.mean();
            let (played, error) = of(&mine.as_ref().map_or(by_strokes, |m| run(Some(m))));
            let stated = judged.scores.expect(|score| aim.worth(score, par));
            let both = error.hypot(judged.standard_error);
            let off = (played - stated) / both;
            let gains = (played - usual) / error.hypot(usual_error);
            println!(
                "{number} {:9}: stated {stated:.4}, played {played:.4} ± {both:.4} of both, \
                 {error:.4} of the played ({off:+.1}{}); played on for fewest strokes {usual:.4} \
                 ({gains:+.1}{}), told by the scores {told:.4}; mean {mean:.4}",
                aim.key(),
                marked(off),
                marked(gains.min(0.0)),
            );
            fail += usize::from(!holds(off)) + usize::from(!holds(gains.min(0.0)));
            if *aim == Objective::Strokes {
                fail += ways_home(&game, found.next_shot.as_ref(), *times);
            }
            if let Some(standing) = &mine {
                let told = (&whole, aim, standing);
                fail += ways_home_for(&game, told, found.next_shot.as_ref(), *times);
            }
        }
    }
    if fail == 0 {
        ExitCode::SUCCESS
    } else {
        println!("{fail} of what is told or played for do not hold");
        ExitCode::FAILURE
    }
}
