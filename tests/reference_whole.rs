//! The whole hole against the published table of strokes to hole out.

mod common;
mod whole_made_up;

use bendline::hole::{Coord, Hole, Surface};
use bendline::player::Player;
use bendline::strategy::whole::{Effort, Fineness, Policy, Problem, Solution, evaluate, solve};
use bendline::units::YARD_M;
use whole_made_up::{calm, plain, tour};

/// The problem, and its policy's worth on fresh balls.
fn solved(hole: &Hole, player: &Player, cell_m: f64) -> (Problem, Solution) {
    let tee = hole.tee(None).expect("a tee");
    let start = tee.peg(tee.width_m() / 2.0, 0.1);
    let fineness = Fineness {
        cell_m,
        ..Fineness::default()
    };
    let problem = Problem::of(hole, player, &calm(), start, fineness);
    let found = solve(&problem, &Effort::default());
    let fresh = problem.on_fresh_balls(&calm(), 512, 99);
    let told = evaluate(&fresh, &found, 1.0e-4);
    (problem, told)
}

/// The fairway column from 60 to 240 yd (Broadie, *Interfaces* 42(2) (2012) and
/// his 2014 book, memory 75–90 %), by a tour-level player on a plain hole. None
/// of these cells was used to set the model: partial swings were set by the 20
/// and 40 yd cells, rough by the rough column.
#[test]
fn a_tour_player_needs_what_the_fairway_column_says() {
    let hole = plain(520.0).hole();
    let (problem, told) = solved(&hole, &tour(), 3.0);
    let policy = Policy {
        problem: &problem,
        solution: &told,
    };
    let published = [
        (60.0, 2.70),
        (80.0, 2.75),
        (100.0, 2.80),
        (120.0, 2.85),
        (140.0, 2.91),
        (160.0, 2.98),
        (180.0, 3.08),
        (200.0, 3.19),
        (220.0, 3.32),
        (240.0, 3.45),
    ];
    for (yd, strokes) in published {
        let at = Coord {
            x: hole.pin.x,
            y: hole.pin.y - yd * YARD_M,
        };
        assert_eq!(hole.surface_at(at), Surface::Fairway);
        let ours = policy.value(Surface::Fairway, at);
        let rough = Coord {
            x: hole.pin.x - 22.0,
            y: hole.pin.y - ((yd * YARD_M).powi(2) - 22.0_f64.powi(2)).sqrt(),
        };
        let dearer = policy.value(Surface::Rough, rough) - ours;
        eprintln!("{yd} yd: {ours:.3}, published {strokes:.2}; rough {dearer:+.3}");
        assert!((ours - strokes).abs() <= 0.12, "{yd} yd: {ours:.3}");
    }
}

/// The tee column from 360 to 480 yd (same source), whole holes.
#[test]
fn a_tour_player_needs_what_the_tee_column_says() {
    for (yd, strokes) in [(360.0, 3.92), (400.0, 3.99), (440.0, 4.08), (480.0, 4.28)] {
        let (_, told) = solved(&plain(yd).hole(), &tour(), 3.0);
        eprintln!("{yd} yd: {:.3}, published {strokes:.2}", told.tee.0);
        assert!(
            (told.tee.0 - strokes).abs() <= 0.15,
            "{yd} yd: {:.3}",
            told.tee.0
        );
    }
}
