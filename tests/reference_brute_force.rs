//! The solver against a plain Monte Carlo that shares no search code with it
//! (`examples/brute`): a coarser lattice and fewer shots than
//! `examples/brute_force.rs`, over the same range: every club, every feasible
//! aim, pegs between half a yard inside each marker, front and back.

#[path = "../examples/brute/cases.rs"]
mod cases;
#[path = "../examples/brute/lattice.rs"]
mod lattice;

use cases::{BY_GAME, CASES, Case, Setting};
use lattice::Effort;

const EFFORT: Effort = Effort {
    aim_step_deg: 1.0,
    pegs_across: 3,
    pegs_deep: 2,
    shots: 400,
    finalists: 20,
    final_shots: 20_000,
    seed: 7,
};

fn check(case: &Case) {
    judge(case, &Setting::of(case));
}

/// The same where the whole hole's own values price every ball, on both sides.
fn check_by_game(case: &Case) {
    judge(case, &Setting::by_game(case));
}

fn judge(case: &Case, setting: &Setting) {
    let decision = setting.decide();
    let verdict = lattice::judge(&setting.tee(), &EFFORT, decision.choice.shot);
    let (gap, allowed) =
        verdict.disagreement(decision.choice.strokes, setting.own_error(&decision.choice));
    assert!(
        gap.abs() <= allowed,
        "{case}: the solver says {:.4} ± {:.4}, the brute force {:.4} ± {:.4}",
        decision.choice.strokes,
        decision.choice.standard_error,
        verdict.choice.strokes,
        verdict.choice.standard_error,
    );
    let best = &verdict.rivals[0];
    assert!(
        verdict.most_beaten() <= 0.0,
        "{case}: of {} shots, {:?} saves {:.4} ± {:.4} against {:?}",
        verdict.candidates,
        best.estimate.shot,
        best.saves,
        best.saves_standard_error,
        verdict.choice.shot,
    );
    // The range is wide enough to have held something better.
    let [low, high] = verdict.aims_deg;
    let aim = low + (decision.choice.shot.aim_deg - low).rem_euclid(360.0);
    assert!(
        aim > low + 5.0 && aim < high - 5.0,
        "{case}: aim {aim} of {low} to {high}"
    );
}

/// The check can fail: the choice, set up 3° off, is found out on either side.
#[test]
fn a_shot_set_up_three_degrees_off_is_beaten() {
    let setting = Setting::of(&CASES[2]);
    let choice = setting.decide().choice.shot;
    for turn in [-3.0, 3.0] {
        let off = bendline::outcome::TeeShot {
            aim_deg: choice.aim_deg + turn,
            ..choice
        };
        let effort = Effort {
            aim_step_deg: 2.0,
            pegs_deep: 1,
            finalists: 5,
            ..EFFORT
        };
        let verdict = lattice::judge(&setting.tee(), &effort, off);
        assert!(verdict.most_beaten() > 0.0, "turned by {turn}°");
    }
}

#[test]
fn nothing_beats_the_solver_where_a_draw_runs_into_trouble() {
    check(&CASES[0]);
}

#[test]
fn nothing_beats_the_solver_with_a_lake_to_carry_in_the_wind() {
    check(&CASES[1]);
}

#[test]
fn nothing_beats_the_solver_beside_out_of_bounds() {
    check(&CASES[2]);
}

#[test]
fn nothing_beats_the_solver_with_a_two_way_miss() {
    check(&CASES[3]);
}

#[test]
fn nothing_beats_the_solver_with_an_island_green() {
    check(&CASES[4]);
}

#[test]
fn nothing_beats_the_solver_by_the_players_own_game() {
    check_by_game(&BY_GAME[2]);
}

#[test]
fn nothing_beats_it_by_the_own_game_beside_out_of_bounds_in_wind() {
    check_by_game(&CASES[2]);
}

#[test]
fn nothing_beats_it_by_the_own_game_from_a_forward_tee() {
    check_by_game(&BY_GAME[13]);
}
