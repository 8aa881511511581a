//! Other winds, as `--what-if winds` and the book's other winds decide them, held to the
//! hole solved anew in the wind: are the strokes the same, and what does the chosen
//! shot lose?
//!
//!     cargo run --release --example whole_winds              holes 1, 4, 5 and 9
//!     cargo run --release --example whole_winds -- 5 9       these
//!
//! Every hole is decided in calm air; then in 10 and 20 mph against the way from the tee
//! to the pin, from its right, behind it and from its left. *Price* is by how much the strokes of the
//! chosen shot are off; *tee only*, by how much they would be if what follows were worth
//! what it is in calm air; *loses*, what the chosen shot costs beside the full solve's
//! choice, both on 65 536 balls and by the full solve.
//!
//! Exit code 1 where the root mean square of *price* is beyond the stated
//! standard error, or *loses* beyond 0.01 on average.

mod demo;

use std::process::ExitCode;

use bendline::hole::Hole;
use bendline::outcome::{Day, Rest, TeeShot, Volley, play};
use bendline::player::Player;
use bendline::sample::points;
use bendline::strategy::Question;
use bendline::strategy::by_game::{Wants, decide_by_game};
use bendline::strategy::other_wind::{FEWER_ACTIONS_ERROR, case_in_wind};
use bendline::strategy::rules::{Price, Rules, StrokesFrom, Worth};
use bendline::strategy::whole::held::Evaluated;
use bendline::strategy::whole::objective::Objective;

use bendline::strategy::whole::{Options, Whole};
use bendline::units::MPH_M_S;

const BALLS: usize = 65_536;
const SEED: u32 = 20_251;
const WANTS: Wants<'_> = Wants {
    aim: &Objective::Strokes,
    beside: &[],
};

fn main() -> ExitCode {
    let mut wanted: Vec<usize> = std::env::args()
        .skip(1)
        .filter_map(|a| a.parse().ok())
        .collect();
    if wanted.is_empty() {
        wanted = vec![1, 4, 5, 9];
    }
    let player = demo::player();
    let course = demo::course();
    let (mut off, mut tee_only, mut loses) = (Vec::new(), Vec::new(), Vec::new());
    for number in wanted {
        let hole = &course.holes[number - 1];
        let tee = hole.tee(None).expect("a tee");
        let start = tee.peg(tee.width_m() / 2.0, 0.1);
        let calm = demo::day(0.0, 0.0);
        let solve = |day: &Day| Whole::of(hole, &player, day, start, &Options::default(), None);
        let solved = solve(&calm);
        let planned = decide_by_game(&asked(hole, &player, &calm), &solved, &WANTS, &|_| {})
            .expect("in play");
        println!("{number}:");
        let way_deg = (hole.pin.x - start.x)
            .atan2(hole.pin.y - start.y)
            .to_degrees();
        for mph in [10.0, 20.0] {
            for (turn, from) in [
                (0.0, "against"),
                (90.0, "right"),
                (180.0, "behind"),
                (270.0, "left"),
            ] {
                let day = demo::day(mph * MPH_M_S, f64::rem_euclid(way_deg + turn, 360.0));
                let question = asked(hole, &player, &day);
                let begun = cpu_s();
                let decision = &planned.decision;
                let case = case_in_wind(&question, &solved, decision, &Objective::Strokes);
                let case = case.expect("in play");
                let spent = cpu_s() - begun;
                let truth = solve(&day);
                let best = decide_by_game(&question, &truth, &WANTS, &|_| {}).expect("in play");
                let rests = |shot: &TeeShot| flown(&question, shot);
                let of =
                    |rests: &[Rest], worth: &dyn StrokesFrom| price(hole, &player, worth, rests);
                let (ours, theirs) = (rests(&case.shot), rests(&best.decision.choice.shot));
                let real = of(&ours, &Evaluated(&truth));
                off.push(case.strokes - real);
                tee_only.push(of(&ours, &Evaluated(&solved)) - real);
                loses.push(real - of(&theirs, &Evaluated(&truth)));
                let club = |shot: &TeeShot| &player.clubs[shot.club].club;
                println!(
                    "  {mph} mph {from:8} {:4} {:.3}, solved anew {:4} {real:.3}: price {:+.4} ± {:.4}, tee \
                     only {:+.4}, loses {:+.4}; processor {spent:.2} s",
                    club(&case.shot),
                    case.strokes,
                    club(&best.decision.choice.shot),
                    off[off.len() - 1],
                    case.standard_error,
                    tee_only[tee_only.len() - 1],
                    loses[loses.len() - 1],
                );
            }
        }
    }
    let mean = |all: &[f64]| all.iter().sum::<f64>() / all.len() as f64;
    let rms = |all: &[f64]| (all.iter().map(|x| x * x).sum::<f64>() / all.len() as f64).sqrt();
    for (name, all) in [("price", &off), ("tee only", &tee_only), ("loses", &loses)] {
        let most = all.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
        println!(
            "{name:8} mean {:+.4}, root mean square {:.4}, most {most:.4}",
            mean(all),
            rms(all)
        );
    }
    if rms(&off) <= FEWER_ACTIONS_ERROR.hypot(0.005) && mean(&loses) <= 0.01 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

fn asked<'a>(hole: &'a Hole, player: &'a Player, day: &'a Day) -> Question<'a> {
    Question {
        hole,
        tee: hole.tee(None).expect("a tee"),
        player,
        day,
        seed: 1,
    }
}

/// Balls that neither decision has seen.
fn flown(question: &Question<'_>, shot: &TeeShot) -> Vec<Rest> {
    let hole = question.hole;
    let club = &question.player.clubs[shot.club];
    let peg = question.tee.peg(shot.from_left_m, shot.behind_front_m);
    let floor_m = (hole.ground().lowest_m() - hole.ground().height_m(peg.x, peg.y)).min(0.0) - 2.0;
    points(SEED, BALLS)
        .chunks(1024)
        .flat_map(|part| {
            let volley = Volley::fly(club, part, question.day, [shot.aim_deg; 2], floor_m);
            play(hole, &volley.toward(shot.aim_deg), peg)
        })
        .collect()
}

fn price(hole: &Hole, player: &Player, worth: &dyn StrokesFrom, rests: &[Rest]) -> f64 {
    let rules = Rules::new(hole, worth, player.club_length_m);
    let worths: Vec<Worth> = rests.iter().map(|rest| rules.worth(rest)).collect();
    Price::of(&worths).strokes
}

/// Processor time of this program so far, s, where the system tells it in hundredths.
fn cpu_s() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let after_name = stat.rsplit(')').next().unwrap_or_default();
    let fields: Vec<&str> = after_name.split_whitespace().collect();
    let ticks = |k: usize| fields.get(k).and_then(|f| f.parse::<f64>().ok());
    (ticks(11).unwrap_or(0.0) + ticks(12).unwrap_or(0.0)) / 100.0
}
