//! A whole plan: a short hole drawn from the bytes, a player of one or two clubs, a day; decided
//! with few balls (`cfg(fuzzing)` cuts them), assembled, drawn and written in every form.
#![no_main]

mod common;
mod sketch;

use arbitrary::Arbitrary;
use bendline::draw::page;
use bendline::flight::Firmness;
use bendline::flight::air::{Air, Weather, Wind};
use bendline::flight::ball::Ball;
use bendline::hole;
use bendline::outcome::Day;
use bendline::plan::whole_hole::whole_hole;
use bendline::plan::{Conditions, ModelFacts, assemble};
use bendline::player::set_up::SetUp;
use bendline::player::{Basis, ClubShape, Handedness, LaunchModel, Player};
use bendline::report;
use bendline::strategy::by_game::{Wants, decide_by_game};
use bendline::strategy::range::PEG_MARGIN_M;
use bendline::strategy::whole::objective::Objective;
use bendline::strategy::whole::{Fineness, Options, Whole};
use bendline::strategy::{self, Question};
use bendline::units::LengthUnit;
use libfuzzer_sys::fuzz_target;

#[derive(Arbitrary, Debug)]
struct Input {
    clubs: Vec<[u8; 10]>,
    left_handed: bool,
    handicap: u8,
    wind: [u8; 2],
    firmness: u8,
    temperature: i8,
    /// Added to a hole that is sound by itself.
    features: Vec<sketch::Drawn>,
    length: u8,
    par: u8,
    /// What is played for; the published table for the last.
    play_for: u8,
}

fn share(byte: u8, low: f64, high: f64) -> f64 {
    low + (high - low) * f64::from(byte) / 255.0
}

fn club(bytes: &[u8; 10], index: usize, handedness: Handedness) -> ClubShape {
    let spread = [0.08, 4.0, 12.0, 900.0, 25.0];
    let centre = [
        share(bytes[0], 12.0, 80.0),
        share(bytes[1], 2.0, 40.0),
        share(bytes[2], -20.0, 20.0),
        share(bytes[3], 500.0, 9000.0),
        share(bytes[4], -40.0, 40.0),
    ];
    let mut scale = [[0.0; 5]; 5];
    for (axis, row) in scale.iter_mut().enumerate() {
        let mut sd = spread[axis] * share(bytes[5 + axis % 5], 0.01, 1.0);
        if axis == 0 {
            sd *= centre[0];
        }
        row[axis] = sd * sd;
    }
    ClubShape {
        club: format!("club {index}"),
        shape: "stock".into(),
        launches: LaunchModel {
            centre,
            scale,
            dof: 2.5 + f64::from(bytes[5]),
            mishit_share: share(bytes[6], 0.0, 0.2),
            handedness,
        },
        shots: usize::from(bytes[7]),
        basis: Basis::Given,
        carry_m: share(bytes[0], 10.0, 260.0),
        set_up: SetUp {
            path_face_deg: (bytes[8] > 127)
                .then(|| [share(bytes[9], -35.0, 35.0), share(bytes[8], -45.0, 45.0)]),
            forward: None,
        },
        part_share: None,
    }
}

/// A straight hole that is sound whatever else is drawn.
fn with_a_hole(features: &[sketch::Drawn], length: u8, par: u8) -> String {
    let more = sketch::file(features, 2e-5, [10.0, 50.0]);
    let mut file: serde_json::Value = serde_json::from_str(&more).expect("own JSON");
    let end = 50.0 + share(length, 0.0002, 0.0022);
    let ring = |lat: f64, half: f64| {
        serde_json::json!([[
            [10.0 - half, lat - half],
            [10.0 + half, lat - half],
            [10.0 + half, lat + half],
            [10.0 - half, lat + half],
            [10.0 - half, lat - half]
        ]])
    };
    let own = [
        serde_json::json!({"type": "Feature", "properties": {"golf": "hole", "ref": "9", "par": (3 + par % 3).to_string()},
            "geometry": {"type": "LineString", "coordinates": [[10.0, 50.0], [10.0, end]]}}),
        serde_json::json!({"type": "Feature", "properties": {"golf": "green"},
            "geometry": {"type": "Polygon", "coordinates": ring(end, 1e-4)}}),
        serde_json::json!({"type": "Feature", "properties": {"golf": "tee"},
            "geometry": {"type": "Polygon", "coordinates": ring(50.0, 5e-5)}}),
    ];
    if let Some(list) = file["features"].as_array_mut() {
        list.extend(own);
    }
    file.to_string()
}

/// The hole in large cells and few balls.
fn coarse() -> Options {
    Options {
        fineness: Fineness {
            cell_m: 8.0,
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
    let text = with_a_hole(&input.features, input.length, input.par);
    let Ok(course) = hole::read_course("fuzz.geojson", text.as_bytes(), None) else {
        return;
    };
    let hole = course
        .holes
        .iter()
        .min_by(|a, b| a.length_m.total_cmp(&b.length_m))
        .expect("a sound course has a hole");
    if hole.length_m > 400.0 {
        return;
    }
    let handedness = if input.left_handed {
        Handedness::Left
    } else {
        Handedness::Right
    };
    let clubs: Vec<ClubShape> = input
        .clubs
        .iter()
        .take(2)
        .enumerate()
        .map(|(index, bytes)| club(bytes, index, handedness))
        .collect();
    if clubs.is_empty() {
        return;
    }
    let player = Player {
        name: "Fuzz".into(),
        handedness,
        handicap: share(input.handicap, -5.0, 54.0),
        club_length_m: 1.143,
        clubs,
        notes: Vec::new(),
        course_play: None,
        log: None,
        ball: bendline::player::BallFactors::default(),
    };
    let weather = Weather {
        temperature_c: f64::from(input.temperature) / 3.0,
        pressure_pa: 101_325.0,
        humidity: 0.5,
    };
    let wind = Wind {
        speed_m_s: share(input.wind[0], 0.0, 30.0),
        from_deg: share(input.wind[1], 0.0, 359.0),
        gust_share: 0.15,
    };
    let day = Day {
        air: Air::of(&weather, 0.03),
        wind,
        ball: Ball::modern(),
        firmness: [Firmness::Soft, Firmness::Medium, Firmness::Firm]
            [usize::from(input.firmness % 3)],
    };
    let tee = hole.tee(None).expect("a hole has a tee");
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
    let (decision, whole) = match aims.get(usize::from(input.play_for % 5)) {
        None => match strategy::decide(&question, &|_| {}) {
            Ok(decision) => (decision, None),
            Err(_) => return,
        },
        Some(aim) => {
            let start = tee.peg(tee.width_m() / 2.0, PEG_MARGIN_M);
            let solved = Whole::of(hole, &player, &day, start, &coarse(), None);
            let wants = Wants {
                aim,
                beside: &aims,
            };
            let Ok(found) = decide_by_game(&question, &solved, &wants, &|_| {}) else {
                return;
            };
            let problem = solved.explicit.problem();
            let facts = whole_hole(&found, aim, None, hole, &player, problem, LengthUnit::Yards);
            assert!(facts.expected_score.is_finite() && facts.expected_score >= 1.0);
            (found.decision, Some(facts))
        }
    };
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
        balls: decision.choice.rests.len(),
        model: ModelFacts::of(&day),
    };
    let mut plan = assemble::assemble(&decision, hole, tee, &player, conditions, LengthUnit::Yards);
    plan.whole_hole = whole;
    assert!(plan.choice.shot.expected_strokes.is_finite());
    let finish = &plan.choice.shot.finish;
    let shares = serde_json::to_value(finish).expect("shares");
    let sum: f64 = shares
        .as_object()
        .expect("an object")
        .values()
        .filter_map(serde_json::Value::as_f64)
        .sum();
    assert!((sum - 1.0).abs() < 0.01, "{shares}");
    let drawing = page::page(&plan, hole);
    assert!(drawing.starts_with("<"));
    assert!(!drawing.contains("NaN"), "a drawing with NaN");
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
    let _ = report::geojson::geojson(&plan);
});
