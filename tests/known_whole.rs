//! The whole hole: what must hold whatever the hole, in closed form.

mod common;
mod whole_made_up;

use bendline::hole::Surface;
use bendline::strategy::finish::StrokesToGo;
use bendline::strategy::whole::{Effort, Fineness, Problem, bounds, solve};
use common::{Sketch, straight};
use serde_json::json;
use whole_made_up::{bag, calm};

const YD: f64 = 0.9144;

/// A short par 4 with a pond across, out of bounds on the right, a wood on the left.
fn troubled() -> Sketch {
    straight(330.0 * YD, 32.0, 4)
        .area(
            json!({"golf": "water_hazard"}),
            &[[-30.0, 215.0], [20.0, 215.0], [20.0, 235.0], [-30.0, 235.0]],
        )
        .area(
            json!({"golf": "lateral_water_hazard"}),
            &[
                [-16.0, 250.0],
                [-40.0, 250.0],
                [-40.0, 290.0],
                [-16.0, 290.0],
            ],
        )
        .area(
            json!({"golf": "out_of_bounds"}),
            &[[45.0, -60.0], [90.0, -60.0], [90.0, 400.0], [45.0, 400.0]],
        )
        .area(
            json!({"natural": "wood", "height": "14"}),
            &[[-50.0, 40.0], [-80.0, 40.0], [-80.0, 300.0], [-50.0, 300.0]],
        )
}

fn problem(cell_m: f64, balls: usize) -> Problem {
    let hole = troubled().hole();
    let start = hole.tee(None).expect("a tee").peg(3.5, 0.1);
    Problem::of(
        &hole,
        &bag(10.0, 0.88),
        &calm(),
        start,
        Fineness {
            cell_m,
            balls,
            seed: 3,
        },
    )
}

/// The optimum satisfies Bellman's equation: another full sweep changes
/// nothing, and no policy found with less effort does better (monotone
/// bounds of Bertsekas & Tsitsiklis, see the solver).
#[test]
fn the_exact_solution_is_a_fixed_point_and_nothing_beats_it() {
    let problem = problem(10.0, 16);
    let exact = solve(&problem, &Effort::exact());
    let proof = bounds(&problem, &exact);
    assert!(proof.fall <= 2.0e-5 && proof.rise <= 2.0e-5, "{proof:?}");
    let quick = solve(
        &problem,
        &Effort {
            screen: 8,
            ..Effort::default()
        },
    );
    let allowed = bounds(&problem, &quick);
    let mut worst = 0.0_f64;
    for cell in 0..problem.grid.len() {
        let (best, found) = (f64::from(exact.value[cell]), f64::from(quick.value[cell]));
        if !best.is_finite() || !found.is_finite() {
            continue;
        }
        worst = worst.max(found - best);
        // What was held may have come from a neighbour's list, so a hair below.
        assert!(
            best <= allowed.of(found)[1] + 1.0e-3,
            "{cell}: {best} {found}"
        );
        assert!(
            best >= allowed.of(found)[0] - 1.0e-3,
            "{cell}: {best} {found}"
        );
    }
    eprintln!("quick: {allowed:?}, dearer by up to {worst:.4}");
    assert!(
        (exact.tee.0 - quick.tee.0).abs() < 0.02,
        "{} {}",
        exact.tee.0,
        quick.tee.0
    );
}

/// Every ball of every shot ends somewhere, once: weights add to 1.
#[test]
fn outcomes_are_a_distribution() {
    let problem = problem(8.0, 16);
    let mut actions = Vec::new();
    for cell in (0..problem.grid.len()).step_by(37) {
        let Some(lie) = problem.lie(cell) else {
            continue;
        };
        let at = problem.grid.middle(cell);
        problem.actions(at, lie, &mut actions);
        assert!(!actions.is_empty(), "{lie:?} {at:?}");
        for action in actions.iter().step_by(11) {
            let sum: f64 = problem.outcomes(at, lie, *action).iter().map(|o| o.0).sum();
            assert!((sum - 1.0).abs() < 1.0e-5, "{sum}");
        }
    }
}

/// The same bytes at any number of threads.
#[test]
fn threads_change_nothing() {
    let problem = problem(8.0, 16);
    let by = |threads: usize| {
        rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads")
            .install(|| solve(&problem, &Effort::default()))
    };
    let (one, three) = (by(1), by(3));
    assert_eq!(one.policy, three.policy);
    assert!(
        one.value
            .iter()
            .zip(&three.value)
            .all(|(a, b)| a.to_bits() == b.to_bits())
    );
    assert_eq!(one.tee, three.tee);
}

/// Chances of one, two and three putts add to 1 and have the table's mean.
#[test]
fn putts_keep_their_mean() {
    for handicap in [-5.0, 0.0, 10.0, 25.0] {
        let table = StrokesToGo::for_handicap(handicap);
        for decimetre in 0..300 {
            let away = f64::from(decimetre) * 0.1;
            let [one, two, three] = table.putt_chances(away);
            assert!(one >= -1e-12 && two >= -1e-12 && three >= -1e-12);
            assert!((one + two + three - 1.0).abs() < 1e-12);
            let mean = one + 2.0 * two + 3.0 * three;
            let table = table.from(Surface::Green, away).clamp(1.0, 3.0);
            assert!(
                (mean - table).abs() < 1e-12,
                "{handicap} {away}: {mean} {table}"
            );
        }
    }
}
