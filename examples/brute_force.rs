//! Is anything better than the solver's choice? A plain Monte Carlo over a fine
//! lattice of peg, club and aim: 5 000 shots a candidate, then 200 000 for the
//! twenty best and for the choice. Nothing may save more than 0.005 strokes, by the
//! table or by the player's own game as `bendline plan` has it. (Candidates that
//! are 0.3 strokes off the pace after 500 shots are left at that.)
//!
//!     cargo run --release --example brute_force             every case by the table
//!     cargo run --release --example brute_force -- 2 4      these cases
//!     cargo run --release --example brute_force -- whole    the cases by the player's own game
//!     cargo run --release --example brute_force -- whole 7  this one
//!
//! Takes a minute or more a case. Exit code 1 when a case fails.

#[path = "brute/cases.rs"]
mod cases;
#[path = "brute/lattice.rs"]
mod lattice;

use std::process::ExitCode;
use std::time::Instant;

use bendline::player::Player;
use bendline::units::YARD_M;
use cases::{BY_GAME, CASES, Case, Setting};
use lattice::{Effort, Estimate, MAY_BE_BETTER, Verdict};

const EFFORT: Effort = Effort {
    aim_step_deg: 0.5,
    pegs_across: 5,
    pegs_deep: 2,
    shots: 5_000,
    finalists: 20,
    final_shots: 200_000,
    seed: 20_240_607,
};

/// Rivals that are shown.
const SHOWN: usize = 6;

fn main() -> ExitCode {
    let wanted: Vec<usize> = std::env::args()
        .skip(1)
        .filter_map(|a| a.parse().ok())
        .collect();
    let mut all_hold = true;
    let by_game = std::env::args().any(|a| a == "whole");
    let cases: &[Case] = if by_game { &BY_GAME } else { &CASES };
    for (number, case) in (1..).zip(cases) {
        if wanted.is_empty() || wanted.contains(&number) {
            let setting = if by_game {
                Setting::by_game(case)
            } else {
                Setting::of(case)
            };
            all_hold &= run(number, case, &setting);
        }
    }
    if all_hold {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

fn run(number: usize, case: &Case, setting: &Setting) -> bool {
    let begun = Instant::now();
    let decision = setting.decide();
    let decided = begun.elapsed();
    let verdict = lattice::judge(&setting.tee(), &EFFORT, decision.choice.shot);
    println!("{number}. {case}");
    println!(
        "   {} candidates, aims {:.1} to {:.1}°, {:.0} s (the solver took {:.1} s)",
        verdict.candidates,
        verdict.aims_deg[0],
        verdict.aims_deg[1],
        (begun.elapsed() - decided).as_secs_f64(),
        decided.as_secs_f64(),
    );
    println!(
        "   solver's choice  {}",
        shot(&setting.player, &verdict.choice)
    );
    println!(
        "   solver's figure  {:.4} ± {:.4}",
        decision.choice.strokes, decision.choice.standard_error
    );
    for rival in verdict.rivals.iter().take(SHOWN) {
        println!(
            "   saves {:+.4} ± {:.4}  {}",
            rival.saves,
            rival.saves_standard_error,
            shot(&setting.player, &rival.estimate)
        );
    }
    let error = setting.own_error(&decision.choice);
    report(&verdict, decision.choice.strokes, error)
}

fn report(verdict: &Verdict, printed: f64, printed_error: f64) -> bool {
    let (gap, allowed) = verdict.disagreement(printed, printed_error);
    let agrees = gap.abs() <= allowed;
    println!(
        "   prices differ by {gap:+.4}, allowed {allowed:.4}: {}",
        held(agrees)
    );
    let beaten = verdict.most_beaten();
    let best = &verdict.rivals[0];
    println!(
        "   best rival saves {:+.4} ± {:.4}, allowed {} + 3 × {:.4}: {}",
        best.saves,
        best.saves_standard_error,
        MAY_BE_BETTER,
        best.saves_standard_error,
        held(beaten <= 0.0)
    );
    agrees && beaten <= 0.0
}

fn held(holds: bool) -> &'static str {
    if holds { "holds" } else { "FAILS" }
}

fn shot(player: &Player, estimate: &Estimate) -> String {
    let shot = &estimate.shot;
    let club = &player.clubs[shot.club];
    format!(
        "{:.4} ± {:.4}  {} {}, {:.2} yd in, {:.2} yd back, aim {:.2}°",
        estimate.strokes,
        estimate.standard_error,
        club.club,
        club.shape,
        shot.from_left_m / YARD_M,
        shot.behind_front_m / YARD_M,
        shot.aim_deg.rem_euclid(360.0),
    )
}
