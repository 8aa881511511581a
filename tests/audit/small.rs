//! A few plans of random holes held to rollouts (`examples/audit.rs` holds many, and to more of them).

use bendline::strategy::Question;
use bendline::strategy::by_game::{Wants, decide_by_game};
use bendline::strategy::whole::objective::Objective;
use bendline::strategy::whole::simulation::{Game, Style, play_as};
use bendline::strategy::whole::{Options, Whole};

use super::audit::holes::Setting;
use super::audit::{Rolls, hold};
use super::common::straight;
use super::whole_made_up::{bag, calm};

/// What the plan says of its rows is what playing on from them comes to: truth is the play, by code
/// that shares with the solver nothing but the outcome of a stroke and the policy. Rows of one plan
/// share states and luck, so that the choices alone are independent of each other: the sum of their
/// squared errors, in standard errors, has a chi-squared distribution where the errors are what they
/// are said to be.
#[test]
fn random_plans_are_what_they_play() {
    const EFFORT: Rolls = Rolls {
        rollouts: 8_000,
        others: false,
    };
    const SEEDS: [u64; 6] = [1, 2, 3, 5, 8, 13];
    /// Of six choices, exceeded once in 1000 times.
    const CHI_SQUARED: f64 = 22.46;
    let (mut squares, mut faults) = (0.0, Vec::new());
    for seed in SEEDS {
        let setting = Setting::of(seed);
        let held = match hold(seed, &setting, EFFORT) {
            Ok(held) => held,
            Err(why) => panic!("{seed}: {}: {why}", setting.words),
        };
        let choice = &held.rows[0];
        println!("{seed}: {}: {choice:?}", setting.words);
        squares += choice.z().powi(2);
        let faulty = held.faults.iter();
        faults.extend(faulty.map(|fault| format!("{seed}: {}: {fault}", setting.words)));
    }
    assert!(faults.is_empty(), "{faults:#?}");
    assert!(squares < CHI_SQUARED, "chi-squared {squares:.1}");
}

/// What is said of another wind is what the plan made in it says: on par 3s, where the wind asks for
/// clubs that were hopeless on the day and a missed green leaves sand, water or a wood.
#[test]
fn another_wind_is_the_plan_made_in_it() {
    const EFFORT: Rolls = Rolls {
        rollouts: 4_000,
        others: true,
    };
    for seed in [308, 311, 347] {
        let setting = Setting::of(seed);
        let held = match hold(seed, &setting, EFFORT) {
            Ok(held) => held,
            Err(why) => panic!("{seed}: {}: {why}", setting.words),
        };
        assert!(held.wind.is_some(), "{seed}");
        assert!(held.faults.is_empty(), "{seed}: {:?}", held.faults);
    }
}

/// Where every value after the tee shot is a tenth of a stroke too low, the rollouts find it: the
/// contending rows are priced by them, and what the plan says is what is played.
#[test]
fn values_that_are_wrong_are_repriced() {
    const TOO_LOW: f64 = 0.1;
    let hole = straight(340.0, 32.0, 4).hole();
    let (player, day) = (bag(10.0, 0.9), calm());
    let tee = hole.tee(None).expect("a tee");
    let start = tee.peg(tee.width_m() / 2.0, 0.1);
    let mut whole = Whole::of(&hole, &player, &day, start, &Options::default(), None);
    for value in &mut whole.worth.value {
        *value -= TOO_LOW;
    }
    let question = Question {
        hole: &hole,
        tee,
        player: &player,
        day: &day,
        seed: 1,
    };
    let wants = Wants {
        aim: &Objective::Strokes,
        beside: &[Objective::Strokes],
    };
    let found = decide_by_game(&question, &whole, &wants, &|_| {}).expect("in play");
    let choice = &found.decision.choice;
    let row = found
        .rollouts
        .of(choice.shot)
        .expect("the choice is played");
    assert!(row.is_repriced, "{row:?}");
    // A few balls are on the green from the tee and have the table's putts.
    assert!(
        (row.strokes - row.evaluated - TOO_LOW).abs() < 0.03,
        "{row:?}"
    );
    let game = Game {
        hole: &hole,
        player: &player,
        day: &day,
        policy: whole.choosing(),
        decides: whole.choosing(),
    };
    let style = Style {
        tee: Some((choice.shot, choice.peg)),
        tee_strokes: Some(choice.strokes),
        ..Style::default()
    };
    let played = play_as(&game, style, 20_000, 31);
    let error = played.standard_error.hypot(choice.standard_error);
    let off = choice.strokes - played.mean;
    assert!(off.abs() < 4.0 * error, "{off} ± {error}");
    assert!((found.scores.mean() - choice.strokes).abs() < 1.0e-3);
    let aim = &found.aims[0];
    assert!((aim.of_choice - choice.strokes).abs() < 1.0e-9, "{aim:?}");
    // Compared on one footing, though only some of the rows would be off by themselves.
    for (name, named) in &found.decision.comparisons {
        if named.costs <= 0.1 {
            assert!(found.rollouts.has_repriced(named.shot), "{name}");
        }
    }
}
