//! Valid holes with hazards added anywhere, planned as the command line plans them, in large cells
//! and with few balls: every plan holds, and what is refused says why.
#![no_main]

#[path = "../../added_hazards/mod.rs"]
mod added_hazards;
mod common;

use std::sync::LazyLock;

use added_hazards::{Area, holds_whole, most, usual_tee, with_areas};
use arbitrary::Arbitrary;
use bendline::draw::page;
use bendline::flight::Firmness;
use bendline::flight::air::{Air, Weather, Wind};
use bendline::hole;
use bendline::outcome::Day;
use bendline::plan::whole_hole::whole_hole;
use bendline::plan::{Conditions, ModelFacts, assemble, not_reached};
use bendline::player::fit::{FitOptions, fit};
use bendline::player::{Handedness, Player, shotlog};
use bendline::report;
use bendline::strategy::Question;
use bendline::strategy::by_game::{Wants, solve_and_decide};
use bendline::strategy::whole::objective::Objective;
use bendline::strategy::whole::{Fineness, Options};
use bendline::units::LengthUnit;
use libfuzzer_sys::fuzz_target;

#[derive(Arbitrary, Debug)]
struct Input {
    hole: u8,
    areas: Vec<[u8; 7]>,
    player: u8,
    handicap: u8,
    /// Calm for half of them.
    wind: [u8; 2],
    play_for: u8,
}

const HOLES: [&str; 9] = [
    include_str!("../../../holes/01-sickle.geojson"),
    include_str!("../../../holes/02-kestrel.geojson"),
    include_str!("../../../holes/03-contrary.geojson"),
    include_str!("../../../holes/04-flue.geojson"),
    include_str!("../../../holes/05-two-bites.geojson"),
    include_str!("../../../holes/06-boundary.geojson"),
    include_str!("../../../holes/07-millpond.geojson"),
    include_str!("../../../holes/08-pepperpot.geojson"),
    include_str!("../../../holes/09-long-drop.geojson"),
];

/// The invented logs, fitted; of each player a few clubs, so that a plan is quickly made.
static PLAYERS: LazyLock<Vec<Player>> = LazyLock::new(|| {
    let logs = [
        include_str!("../../../examples/logs/strong-draw.csv"),
        include_str!("../../../examples/logs/fade.csv"),
        include_str!("../../../examples/logs/left-hander.csv"),
        include_str!("../../../examples/logs/two-way.csv"),
    ];
    let fitted = logs.into_iter().map(|log| {
        let log = shotlog::read("log", log.as_bytes()).expect("the log is sound");
        let options = FitOptions {
            handedness: Handedness::Right,
            handicap: Some(12.0),
            weather: Weather::at_altitude(0.0),
            firmness: Firmness::Medium,
        };
        let mut player = fit(&log, &options).expect("the log fits");
        let clubs = std::mem::take(&mut player.clubs);
        player.clubs = clubs.into_iter().step_by(4).collect();
        player
    });
    fitted.collect()
});

/// The hole in large cells and few balls.
fn coarse() -> Options {
    Options {
        fineness: Fineness {
            cell_m: 12.0,
            balls: 4,
            seldom_balls: 1,
            choices: 2,
            seed: 1,
        },
        tee_balls: 16,
        ..Options::default()
    }
}

fuzz_target!(|input: Input| {
    common::one_thread();
    let areas: Vec<Area> = input.areas.iter().take(4).map(Area::of).collect();
    let text = HOLES[usize::from(input.hole) % HOLES.len()];
    let text = with_areas(text, &areas);
    let Ok(course) = hole::read_course("fuzz.geojson", text.as_bytes(), None) else {
        return;
    };
    let hole = course.holes.first().expect("a sound course has a hole");
    let mut player = PLAYERS[usize::from(input.player) % PLAYERS.len()].clone();
    player.handicap = f64::from(input.handicap % 55);
    let weather = Weather::at_altitude(0.0);
    let wind = Wind {
        speed_m_s: f64::from(input.wind[0].saturating_sub(127)) / 4.0,
        from_deg: f64::from(input.wind[1]) * 1.4,
        gust_share: 0.15,
    };
    let day = Day {
        air: Air::of(&weather, 0.03),
        wind,
        ball: player.own_ball(),
        firmness: Firmness::Medium,
    };
    let tee = usual_tee(hole);
    let question = Question {
        hole,
        tee,
        player: &player,
        day: &day,
        seed: 1,
    };
    let aims = [
        Objective::Strokes,
        Objective::Par,
        Objective::NoDouble,
        Objective::Points { received: 1 },
    ];
    let aim = &aims[usize::from(input.play_for.saturating_sub(127) / 33) % 4];
    let wants = Wants { aim, beside: &aims };
    let (solved, found) = match solve_and_decide(&question, &coarse(), &wants, &|_| {}) {
        Ok(found) => found,
        Err(not) => {
            assert!(not.strokes > most(hole), "{not:?}");
            let problem = not_reached::problem("fuzz.geojson", &not, LengthUnit::Yards);
            common::whole(&problem.into());
            return;
        }
    };
    if let Err(why) = holds_whole(&found, hole, *aim == Objective::Strokes) {
        panic!("{why}");
    }
    let problem = solved.explicit.problem();
    let facts = whole_hole(&found, aim, None, hole, &player, problem, LengthUnit::Yards);
    assert!(facts.expected_score.is_finite() && facts.expected_score >= 1.0);
    let conditions = Conditions {
        wind_m_s: wind.speed_m_s,
        wind_from_deg: wind.from_deg,
        temperature_c: weather.temperature_c,
        pressure_pa: weather.pressure_pa,
        humidity: weather.humidity,
        altitude_m: 0.0,
        density_kg_m3: day.air.density_kg_m3,
        firmness: "medium".into(),
        seed: 1,
        balls: found.decision.choice.rests.len(),
        model: ModelFacts::of(&day),
    };
    let unit = LengthUnit::Yards;
    let mut plan = assemble::assemble(&found.decision, hole, tee, &player, conditions, unit);
    plan.whole_hole = Some(facts);
    assert!(!page::page(&plan, hole).contains("NaN"), "a drawing with NaN");
    let json = report::json(&plan);
    assert!(serde_json::from_str::<serde_json::Value>(&json).is_ok());
    let _ = report::terminal(
        std::slice::from_ref(&plan),
        &report::Setting {
            width: 80,
            full: true,
            look: report::Look::Plain,
        },
    );
    let _ = report::markdown::markdown(&plan);
});
