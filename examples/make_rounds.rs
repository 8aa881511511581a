//! Writes the invented rounds in `examples/rounds`: the plans of the nine demo holes played by the built-in
//! player, whose driver is wilder on a course than his log and handicap make likely.
//!
//!     cargo run --release --example make_rounds
//!
//! - `saturday.csv`: positions and scores; the driver on every hole that is not a par 3;
//! - `sunday.csv`: yards and sides, as the plans have it;
//! - `monday.csv`: words, distances to go and scores.

#[path = "../tests/review_made_up/mod.rs"]
mod review_made_up;

use std::fmt::Write as _;

use bendline::hole::Hole;
use bendline::hole::plane::Plane;
use bendline::outcome::Rest;
use bendline::planner::Planner;
use bendline::player::CoursePlay;
use bendline::player::course_play::Wider;
use bendline::units::YARD_M;
use review_made_up::{course, luck, player, score, tee_shots, words};

/// How a row tells where its ball ended.
#[derive(Clone, Copy, PartialEq)]
enum Told {
    Position,
    Yards,
    Words,
}

/// The driver's direction beside what log and handicap make likely.
const WILDER: f64 = 1.3;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let (course, player) = (course(), player());
    let likely = CoursePlay::of(&player);
    let play = CoursePlay {
        driver: Wider {
            direction: WILDER * likely.driver.direction,
            ..likely.driver
        },
        ..likely
    };
    let heads = [
        ("saturday", Told::Position, "hole,club,lon,lat,score"),
        (
            "sunday",
            Told::Yards,
            "hole,club,total_yd,side_yd,result,score",
        ),
        ("monday", Told::Words, "hole,club,result,to_go_yd,score"),
    ];
    let mut files: Vec<String> = heads.iter().map(|head| format!("{}\n", head.2)).collect();
    for hole in &course.holes {
        let planner = Planner::new(hole, &player);
        let tee = planner.look_back(&["driver".into()], &|_| {})?;
        for (number, (file, head)) in files.iter_mut().zip(&heads).enumerate() {
            let mut luck = luck(7 + 1000 * number as u64 + u64::from(hole.par) + seed(hole));
            let driven = tee.hits[0].as_ref().filter(|_| number == 0 && hole.par > 3);
            let priced = driven.map_or(&tee.choice, |hit| &hit.priced);
            let rest = tee_shots(&planner, &play, &priced.shot, (1, &mut luck))[0];
            let score = score(&planner, &tee, (&play, &priced.shot), (rest, &mut luck));
            let club = &tee.player.clubs[priced.shot.club].club;
            let end = told(head.1, hole, (&rest, priced.peg, priced.shot.aim_deg));
            writeln!(file, "{},{club},{end},{score}", hole.reference)?;
        }
    }
    std::fs::create_dir_all("examples/rounds")?;
    for ((name, ..), text) in heads.iter().zip(files) {
        std::fs::write(format!("examples/rounds/{name}.csv"), text)?;
    }
    Ok(())
}

/// A number of the hole's own.
fn seed(hole: &Hole) -> u64 {
    hole.reference.bytes().map(u64::from).sum()
}

fn told(told: Told, hole: &Hole, (rest, peg, aim_deg): (&Rest, geo::Coord<f64>, f64)) -> String {
    let (x, y) = (rest.at.x - peg.x, rest.at.y - peg.y);
    let (sin, cos) = aim_deg.to_radians().sin_cos();
    let right = (x * cos - y * sin) / YARD_M;
    let lie = words(hole, rest);
    match told {
        Told::Position => {
            let [lon, lat] = Plane::new(hole.origin_lon_lat).to_lon_lat(rest.at);
            format!("{lon:.6},{lat:.6}")
        }
        Told::Yards => {
            let side = if right < 0.0 { "L" } else { "R" };
            format!("{:.0},{:.0}{side},{lie}", x.hypot(y) / YARD_M, right.abs())
        }
        Told::Words => {
            let side = if right < 0.0 { "left" } else { "right" };
            let to_go = (rest.at.x - hole.pin.x).hypot(rest.at.y - hole.pin.y) / YARD_M;
            match lie {
                "penalty" | "out" => format!("{lie},"),
                "fairway" | "green" => format!("{lie},{to_go:.0}"),
                _ => format!("{lie} {side},{to_go:.0}"),
            }
        }
    }
}
