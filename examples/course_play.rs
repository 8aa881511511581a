//! Calibrates course play: with which scatter do the handicap scores of a typical player make the
//! player's own index?
//!
//!     cargo run --release --example course_play              all levels
//!     cargo run --release --example course_play -- 12 18     these
//!     cargo run --release --example course_play -- solve 12  the factor with which 12 is 12
//!     cargo run --release --example course_play -- short 1.2 mishits 0.03 12
//!                                                            with these in place of the level's

#[path = "../tests/common/mod.rs"]
mod common;
#[path = "../tests/reference_course/mod.rs"]
mod reference_course;
#[path = "../tests/whole_made_up/mod.rs"]
mod whole_made_up;

use bendline::hole::Hole;
use bendline::player::CoursePlay;
use bendline::player::course_play::Wider;
use reference_course::{HOLES, ODDS, Round, rating, score_of, scores, slope, typical};
use whole_made_up::calm;

const LEVELS: [f64; 7] = [0.0, 6.0, 12.0, 18.0, 28.0, 40.0, 54.0];

fn main() {
    let (mut asked, mut solves) = (Vec::<f64>::new(), false);
    let (mut short_game, mut mishits) = (None, None);
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        let mut value = || arguments.next().and_then(|a| a.parse::<f64>().ok());
        match argument.as_str() {
            "solve" => solves = true,
            "short" => short_game = value().map(evenly),
            "mishits" => mishits = value(),
            level => asked.push(level.parse().expect("a Handicap Index")),
        }
    }
    let levels = if asked.is_empty() {
        &LEVELS[..]
    } else {
        &asked
    };
    let holes: Vec<Hole> = (0..HOLES.len()).map(reference_course::hole).collect();
    println!("rating {:.1}, slope {:.0}", rating(), slope());
    for &index in levels {
        let level = CoursePlay::of_level(index);
        let play = CoursePlay {
            short_game: short_game.unwrap_or(level.short_game),
            more_mishits: mishits.unwrap_or(level.more_mishits),
            ..level
        };
        if !solves {
            show(&holes, index, play);
            continue;
        }
        // The index grows with the scatter: regula falsi.
        let with = |factor: f64| {
            let others = evenly(factor);
            show(&holes, index, CoursePlay { others, ..play })
        };
        let near = level.others.direction;
        let [mut low, mut high] = [near / 1.15, near].map(|factor| (factor, with(factor)));
        for _ in 0..2 {
            let factor = low.0 + (index - low.1) * (high.0 - low.0) / (high.1 - low.1);
            let at = with(factor);
            if at < index {
                low = (factor, at);
            } else {
                high = (factor, at);
            }
        }
    }
}

fn evenly(factor: f64) -> Wider {
    Wider {
        direction: factor,
        distance: factor,
    }
}

/// Prints what a typical player takes with this course play; the index that it makes.
fn show(holes: &[Hole], index: f64, play: CoursePlay) -> f64 {
    let scores = scores(holes, &play.on(&typical(index)), &calm());
    let (round, adjusted) = (Round::of(&scores), Round::adjusted(&scores, index));
    let then = Round::adjusted_then(&scores, index);
    let made = adjusted.index();
    println!(
        "{index:4}, others {:.3}, short game {:.3}, {:.1} % mishits: makes an index of {made:.2}; mean {:.2}, {:+.2} over \
         the index, standard deviation {:.2}",
        play.others.direction,
        play.short_game.direction,
        100.0 * play.more_mishits,
        round.mean(),
        round.mean() - score_of(index),
        round.spread(),
    );
    let odds = ODDS.iter().find(|(to, _)| index <= *to).map(|band| band.1);
    for (k, published) in odds.into_iter().flatten().take(4).enumerate() {
        let ours = 1.0 / then.at_most(-(k as f64));
        println!(
            "      net {}: one round in {ours:.1}, published {published:.0}",
            -(k as f64)
        );
    }
    made
}
