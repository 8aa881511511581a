//! Calibrates course play: with which scatter do the handicap scores of a typical player make the
//! player's own index?
//!
//!     cargo run --release --example course_play              all levels
//!     cargo run --release --example course_play -- 12 18     these
//!     cargo run --release --example course_play -- solve 12  the factor with which 12 is 12

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
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let asked: Vec<f64> = arguments.iter().filter_map(|a| a.parse().ok()).collect();
    let levels = if asked.is_empty() {
        &LEVELS[..]
    } else {
        &asked
    };
    let holes: Vec<Hole> = (0..HOLES.len()).map(reference_course::hole).collect();
    println!("rating {:.1}, slope {:.0}", rating(), slope());
    for &index in levels {
        let play = CoursePlay::of_level(index);
        if !arguments.iter().any(|a| a == "solve") {
            show(&holes, index, play);
            continue;
        }
        // The index grows with the scatter: regula falsi.
        let with = |factor: f64| {
            let others = Wider {
                direction: factor,
                distance: factor,
            };
            show(&holes, index, CoursePlay { others, ..play })
        };
        let (mut low, mut high) = ((1.0, with(1.0)), (1.5, with(1.5)));
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

/// Prints what a typical player takes with this course play; the index that it makes.
fn show(holes: &[Hole], index: f64, play: CoursePlay) -> f64 {
    let scores = scores(holes, &play.on(&typical(index)), &calm());
    let (round, adjusted) = (Round::of(&scores), Round::adjusted(&scores, index));
    let made = adjusted.index();
    println!(
        "{index:4}, others {:.3}, {:.1} % mishits: makes an index of {made:.2}; mean {:.2}, {:+.2} over \
         the index, standard deviation {:.2}",
        play.others.direction,
        100.0 * play.more_mishits,
        round.mean(),
        round.mean() - score_of(index),
        round.spread(),
    );
    let odds = ODDS.iter().find(|(to, _)| index <= *to).map(|band| band.1);
    for (k, published) in odds.into_iter().flatten().take(4).enumerate() {
        let ours = 1.0 / adjusted.at_most(-(k as f64), index);
        println!(
            "      net {}: one round in {ours:.1}, published {published:.0}",
            -(k as f64)
        );
    }
    made
}
