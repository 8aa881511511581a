//! Valid holes with hazards added anywhere: over the landing, the green, the tee, the whole hole;
//! and what every plan of such a hole is held to.
#![allow(dead_code, reason = "each binary that includes it uses its own part")]

use bendline::hole::{Hole, TeeingArea};
use bendline::strategy::Decision;
use bendline::strategy::by_game::ByGame;
use serde_json::{Value, json};

/// What an area can be: its tag, and the value.
const KINDS: [(&str, &str); 5] = [
    ("golf", "water_hazard"),
    ("golf", "lateral_water_hazard"),
    ("golf", "out_of_bounds"),
    ("natural", "wood"),
    ("golf", "bunker"),
];
/// Half the width of the smallest area and of the widest, m.
const HALF_M: [f64; 2] = [4.0, 320.0];
/// How far beside the line of play an area's middle is at most, m.
const BESIDE_M: f64 = 120.0;
/// Metres in a degree of latitude: near enough for a made-up area.
const DEGREE_M: f64 = 111_200.0;

/// One area, each part of it from a byte.
#[derive(Clone, Copy, Debug)]
pub struct Area {
    pub kind: u8,
    /// Along the line of play, from a little behind the tee to a little beyond the green.
    pub along: u8,
    /// From far left of it to far right.
    pub beside: u8,
    pub size: u8,
    /// From as long as wide to six times as long.
    pub longer: u8,
    /// Which way it is long.
    pub turned: u8,
    pub corners: u8,
}

fn share(byte: u8, low: f64, high: f64) -> f64 {
    low + (high - low) * f64::from(byte) / 255.0
}

impl Area {
    /// From a byte for each part.
    pub fn of(&[kind, along, beside, size, longer, turned, corners]: &[u8; 7]) -> Self {
        Self {
            kind,
            along,
            beside,
            size,
            longer,
            turned,
            corners,
        }
    }

    /// In words, for messages.
    pub fn kind(&self) -> &'static str {
        KINDS[usize::from(self.kind) % KINDS.len()].1
    }

    fn feature(&self, line: &[[f64; 2]], number: usize) -> Value {
        let east_m = DEGREE_M * line[0][1].to_radians().cos();
        let metres = |at: [f64; 2]| [at[0] * east_m, at[1] * DEGREE_M];
        let along = share(self.along, -0.08, 1.08);
        let legs: Vec<[[f64; 2]; 2]> = line
            .windows(2)
            .map(|leg| [metres(leg[0]), metres(leg[1])])
            .collect();
        let length = |leg: &[[f64; 2]; 2]| (leg[1][0] - leg[0][0]).hypot(leg[1][1] - leg[0][1]);
        let mut left_m = along * legs.iter().map(length).sum::<f64>();
        let (last, before) = legs.split_last().expect("a line has a leg");
        let leg = before
            .iter()
            .find(|leg| {
                let is_on = left_m <= length(leg);
                if !is_on {
                    left_m -= length(leg);
                }
                is_on
            })
            .unwrap_or(last);
        let [x, y] = [0, 1].map(|i| (leg[1][i] - leg[0][i]) / length(leg));
        let off = share(self.beside, -1.0, 1.0);
        let off_m = BESIDE_M * off * off.abs();
        let middle = [
            leg[0][0] + left_m * x + off_m * y,
            leg[0][1] + left_m * y - off_m * x,
        ];
        let half_m = HALF_M[0] * (HALF_M[1] / HALF_M[0]).powf(share(self.size, 0.0, 1.0));
        let long_m = half_m * share(self.longer, 1.0, 2.45).powi(2);
        let turned = share(self.turned, 0.0, std::f64::consts::TAU);
        let count = 4 + usize::from(self.corners % 9);
        let mut ring: Vec<[f64; 2]> = (0..count)
            .map(|k| {
                let angle = std::f64::consts::TAU * k as f64 / count as f64;
                let (across, ahead) = (half_m * angle.cos(), long_m * angle.sin());
                let (sin, cos) = turned.sin_cos();
                let at = [across * cos - ahead * sin, across * sin + ahead * cos];
                [(middle[0] + at[0]) / east_m, (middle[1] + at[1]) / DEGREE_M]
            })
            .collect();
        ring.push(ring[0]);
        let (key, value) = KINDS[usize::from(self.kind) % KINDS.len()];
        json!({"type": "Feature", "id": format!("added/{number}"), "properties": {key: value},
            "geometry": {"type": "Polygon", "coordinates": [ring]}})
    }
}

/// A hole file with these areas more.
pub fn with_areas(text: &str, areas: &[Area]) -> String {
    let mut file: Value = serde_json::from_str(text).expect("a hole file");
    let features = file["features"].as_array_mut().expect("features");
    let line = features
        .iter()
        .find(|feature| feature["properties"]["golf"] == "hole")
        .map(|feature| &feature["geometry"]["coordinates"])
        .expect("a line of play");
    let line: Vec<[f64; 2]> = line
        .as_array()
        .expect("positions")
        .iter()
        .map(|at| [0, 1].map(|i| at[i].as_f64().expect("a number")))
        .collect();
    let added = areas.iter().enumerate();
    features.extend(added.map(|(number, area)| area.feature(&line, number)));
    file.to_string()
}

/// Most strokes that a hole is planned with: twice its par and five.
pub fn most(hole: &Hole) -> f64 {
    2.0 * f64::from(hole.par) + 5.0
}

/// What every decision is held to: finite figures, shares that add to 1, no more strokes than the
/// hole is planned with, and no other shot told that is better beyond noise.
pub fn holds(found: &Decision, hole: &Hole, by_strokes: bool) -> Result<(), String> {
    let choice = &found.choice;
    let named = found.comparisons.iter().map(|(_, priced)| priced);
    for priced in std::iter::once(choice)
        .chain(&found.alternatives)
        .chain(named)
    {
        let figures = [
            priced.strokes,
            priced.standard_error,
            priced.costs,
            priced.costs_standard_error,
            priced.carry_m,
            priced.peg.x,
            priced.peg.y,
        ];
        if figures.iter().any(|figure| !figure.is_finite()) {
            return Err(format!("not finite: {figures:?}"));
        }
        let all = serde_json::to_value(priced.finish).map_err(|error| error.to_string())?;
        let shares: Vec<f64> = all
            .as_object()
            .into_iter()
            .flat_map(|all| all.values())
            .filter_map(Value::as_f64)
            .collect();
        if (shares.iter().sum::<f64>() - 1.0).abs() > 1.0e-6 {
            return Err(format!("shares: {shares:?}"));
        }
    }
    if choice.strokes > most(hole) {
        return Err(format!(
            "{:.2} strokes on a par {}",
            choice.strokes, hole.par
        ));
    }
    if by_strokes {
        for other in found
            .alternatives
            .iter()
            .chain(found.comparisons.iter().map(|(_, priced)| priced))
        {
            if other.costs < -0.01 && other.costs < -3.0 * other.costs_standard_error {
                return Err(format!(
                    "club {} costs {:.3} ± {:.3}",
                    other.shot.club, other.costs, other.costs_standard_error
                ));
            }
        }
    }
    Ok(())
}

/// The same, and what is told of the whole hole.
pub fn holds_whole(found: &ByGame, hole: &Hole, by_strokes: bool) -> Result<(), String> {
    holds(&found.decision, hole, by_strokes)?;
    let shares: f64 = found.scores.by_strokes.iter().sum();
    if (shares - 1.0).abs() > 1.0e-3 {
        return Err(format!("scores add to {shares}"));
    }
    if !found.by_table.is_finite() {
        return Err("by the table: not finite".into());
    }
    for judged in &found.aims {
        let figures = [
            judged.worth,
            judged.of_choice,
            judged.standard_error,
            judged.choice_costs.0,
            judged.choice_costs.1,
        ];
        if figures.iter().any(|figure| !figure.is_finite()) {
            return Err(format!("{:?}: {figures:?}", judged.aim));
        }
    }
    if by_strokes
        && let Some(strokes) = found.aims.first()
        && strokes.choice_costs.0 > 0.01
        && strokes.choice_costs.0 > 3.0 * strokes.choice_costs.1
    {
        let (costs, error) = strokes.choice_costs;
        return Err(format!(
            "another tee shot saves {costs:.3} ± {error:.3} strokes"
        ));
    }
    Ok(())
}

/// A tee of a hole, the usual one.
pub fn usual_tee(hole: &Hole) -> &TeeingArea {
    hole.tee(None).expect("a hole has a tee")
}
