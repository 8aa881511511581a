//! Strokes to hole out by level, lie and distance, beside the published table scaled to the level.
//!
//!     cargo run --release --example levels              all levels
//!     cargo run --release --example levels -- 6 18      these
//!     cargo run --release --example levels -- short 1.2 others 1.1 6
//!                                                       with these factors on scatter
//!
//! Typical players of a level, with their course play, on a plain hole of 520 yd with a bunker at each
//! distance. The table: Broadie (2012, 2014), scaled by the Course Rating formulas
//! (`strategy::finish`), so that beyond the tour's column it is no more than a frame. Then how often two
//! strokes are enough from the bunkers beside the green, 10 to 20 yd from the pin, played out.

#[path = "../tests/common/mod.rs"]
mod common;
#[path = "../tests/reference_course/mod.rs"]
mod reference_course;
#[path = "../tests/whole_made_up/mod.rs"]
mod whole_made_up;

use bendline::hole::{Coord, Hole, Surface};
use bendline::player::course_play::Wider;
use bendline::player::{CoursePlay, Player};
use bendline::strategy::finish::StrokesToGo;
use bendline::strategy::whole::simulation::{Game, Start, play_on};
use bendline::strategy::whole::{Options, Whole};
use bendline::units::YARD_M;
use reference_course::typical;
use serde_json::json;
use whole_made_up::{calm, plain};

const LEVELS: [f64; 6] = [0.0, 6.0, 12.0, 18.0, 28.0, 40.0];
const YD: [f64; 9] = [20.0, 30.0, 40.0, 60.0, 80.0, 100.0, 130.0, 160.0, 200.0];
/// Where each lie is found: right of the line of play, m.
const RIGHT_M: [(Surface, &str, f64); 3] = [
    (Surface::Fairway, "fairway", 0.0),
    (Surface::Rough, "rough", -22.0),
    (Surface::Bunker, "sand", 17.0),
];

fn main() {
    let (mut asked, mut short_game, mut others) = (Vec::<f64>::new(), None, None);
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        let mut factor = || arguments.next().and_then(|a| a.parse().ok()).map(evenly);
        match argument.as_str() {
            "short" => short_game = factor(),
            "others" => others = factor(),
            level => asked.push(level.parse().expect("a Handicap Index")),
        }
    }
    let levels = if asked.is_empty() {
        &LEVELS[..]
    } else {
        &asked
    };
    let hole = hole();
    for &index in levels {
        let level = CoursePlay::of_level(index);
        let play = CoursePlay {
            short_game: short_game.unwrap_or(level.short_game),
            others: others.unwrap_or(level.others),
            ..level
        };
        let player = play.on(&typical(index));
        let table = StrokesToGo::for_handicap(index);
        let also: Vec<[f32; 2]> = places(&hole).flat_map(|(_, _, at)| about(at)).collect();
        let wholes: Vec<Whole> = (1..=3)
            .map(|seed| solved(&hole, &player, &also, seed))
            .collect();
        println!("index {index}: strokes, less the table's");
        println!(
            "  {:>10}{}",
            "yd",
            YD.map(|yd| format!("{yd:>12}")).concat()
        );
        for (surface, name, _) in RIGHT_M {
            let cells = YD.map(|yd| {
                let found = places(&hole).find(|(lie, away, _)| *lie == surface && *away == yd);
                let Some((_, _, at)) = found else {
                    return format!("{:>12}", "–");
                };
                let each = wholes.iter().map(|whole| mean_about(whole, surface, at));
                let ours = each.sum::<f64>() / wholes.len() as f64;
                let published = table.from(surface, yd * YARD_M);
                format!("{:>12}", format!("{ours:.2} {:+.2}", ours - published))
            });
            println!("  {name:>10}{}", cells.concat());
        }
        let share = up_and_down(&hole, &player, &wholes[0]);
        println!("  up and down from sand: {:.0} %", 100.0 * share);
    }
}

fn evenly(factor: f64) -> Wider {
    Wider {
        direction: factor,
        distance: factor,
    }
}

/// How often two strokes are enough from the bunkers beside the green, 10 to 20 yd from the pin.
fn up_and_down(hole: &Hole, player: &Player, whole: &Whole) -> f64 {
    let policy = whole.choosing();
    let game = Game {
        hole,
        player,
        day: &calm(),
        policy,
        decides: policy,
    };
    let beside = (-40..40).flat_map(|x| (-40..40).map(move |y| [f64::from(x), f64::from(y)]));
    let in_sand = beside
        .map(|[x, y]| Coord {
            x: hole.pin.x + x,
            y: hole.pin.y + y,
        })
        .filter(|at| hole.surface_at(*at) == Surface::Bunker)
        .filter(|at| {
            let yd = (at.x - hole.pin.x).hypot(at.y - hole.pin.y) / YARD_M;
            (10.0..20.0).contains(&yd)
        });
    let starts: Vec<Start> = in_sand
        .flat_map(|at| (0..BALLS).map(move |ball| (at, ball)))
        .enumerate()
        .map(|(luck, (at, _))| Start {
            at,
            taken: 0,
            luck: luck as u64,
        })
        .collect();
    let scores = play_on(&game, &starts, 1);
    let saved = scores.iter().filter(|score| score.strokes <= 2).count();
    saved as f64 / scores.len() as f64
}

/// Balls from each square metre of sand.
const BALLS: usize = 200;

/// The plain hole with a round bunker of 5 m radius at each distance.
fn hole() -> Hole {
    let pin = 520.0 * YARD_M;
    let bunkers = YD.iter().filter(|yd| **yd >= 30.0);
    let sketch = bunkers.fold(plain(520.0), |sketch, yd| {
        let right = RIGHT_M[2].2;
        let away = ((yd * YARD_M).powi(2) - right * right).sqrt();
        let points = (0..24).map(|k| std::f64::consts::TAU * f64::from(k) / 24.0);
        let ring: Vec<[f64; 2]> = points
            .map(|angle| [right + 5.0 * angle.cos(), pin - away + 5.0 * angle.sin()])
            .collect();
        sketch.area(json!({"golf": "bunker"}), &ring)
    });
    sketch.hole()
}

/// Every lie and distance that the hole has, and where.
fn places(hole: &Hole) -> impl Iterator<Item = (Surface, f64, [f32; 2])> + '_ {
    RIGHT_M.into_iter().flat_map(move |(surface, _, right_m)| {
        YD.into_iter().filter_map(move |yd| {
            let along = ((yd * YARD_M).powi(2) - right_m * right_m).max(0.0).sqrt();
            let at = [(hole.pin.x + right_m) as f32, (hole.pin.y - along) as f32];
            let is_there = about(at)
                .iter()
                .all(|at| hole.surface_at(coordinate(*at)) == surface);
            is_there.then_some((surface, yd, at))
        })
    })
}

fn coordinate(at: [f32; 2]) -> Coord<f64> {
    Coord {
        x: f64::from(at[0]),
        y: f64::from(at[1]),
    }
}

/// Sixteen cells about a place: one state's samples are few.
fn about(at: [f32; 2]) -> Vec<[f32; 2]> {
    let off = |k: i32| k as f32 * 1.6 - 2.4;
    (0..16)
        .map(|k| [at[0] + off(k % 4), at[1] + off(k / 4)])
        .collect()
}

fn mean_about(whole: &Whole, surface: Surface, at: [f32; 2]) -> f64 {
    let policy = whole.evaluating();
    let each = about(at)
        .into_iter()
        .map(|at| policy.value(surface, coordinate(at)));
    each.sum::<f64>() / 16.0
}

fn solved(hole: &Hole, player: &Player, also: &[[f32; 2]], seed: u32) -> Whole {
    let tee = hole.tee(None).expect("a tee");
    let start = tee.peg(tee.width_m() / 2.0, 0.1);
    let mut options = Options {
        also: also.to_vec(),
        ..Options::default()
    };
    options.fineness.seed = seed;
    Whole::of(hole, player, &calm(), start, &options, None)
}
