//! The pin of the day, from the two counts of a pin sheet to a place.
//!
//! A pin sheet says how many paces the pin stands on from the front edge of
//! the green and how many in from its left or right edge. Here the *front* is
//! the point of the green met first along the approach; the depth is measured
//! along the approach from there, and the side square to it, from the
//! outermost edge of the green at that depth (practice).

use geo::{Contains, Coord, Intersects, Polygon};

use super::{Assumption, Hole, PinFrom, Surface};
use crate::diagnostic::{Place, Problem, Topic};
use crate::units::PACE_M;
use crate::units::parse::{PinPaces, Side};

/// Where a pin stands on `green`, in the plane's east and north metres, seen by a player who
/// approaches along `approach_bearing_deg` (clockwise from north).
///
/// # Errors
/// When the counts lead off the green, with the counts that would be on it.
pub fn place(
    green: &Polygon<f64>,
    approach_bearing_deg: f64,
    pin: &PinPaces,
) -> Result<Coord<f64>, Problem> {
    let wrong = |expected: String, remedy: &str| Problem {
        file: "command line".into(),
        place: Place::Argument(format!("--pin {pin}")),
        expected,
        found: format!("{pin}, which is not on this green"),
        remedy: remedy.into(),
    };
    let (sin, cos) = approach_bearing_deg.to_radians().sin_cos();
    // The plane turned so that `x` is right of the approach and `y` along it.
    let turned: Vec<Coord<f64>> = green
        .exterior()
        .coords()
        .map(|c| Coord {
            x: c.x * cos - c.y * sin,
            y: c.x * sin + c.y * cos,
        })
        .collect();
    let front = turned.iter().fold(f64::INFINITY, |least, c| least.min(c.y));
    let back = turned
        .iter()
        .fold(f64::NEG_INFINITY, |most, c| most.max(c.y));
    let along = front + pin.on_m();
    if !(along > front && along < back) {
        return Err(wrong(
            format!(
                "{} paces on from the front edge",
                between(0.0, back - front)
            ),
            "count the paces on from the front edge again, or leave --pin out",
        ));
    }
    // Where the outline crosses that depth. An edge owns its lower end only, so
    // that a corner counts once.
    let across: Vec<f64> = turned
        .windows(2)
        .filter(|edge| (edge[0].y <= along) != (edge[1].y <= along))
        .map(|edge| {
            let share = (along - edge[0].y) / (edge[1].y - edge[0].y);
            edge[0].x + share * (edge[1].x - edge[0].x)
        })
        .collect();
    let left = across.iter().fold(f64::INFINITY, |least, &x| least.min(x));
    let right = across
        .iter()
        .fold(f64::NEG_INFINITY, |most, &x| most.max(x));
    let x = match pin.side {
        Side::Left => left + pin.from_side_m(),
        Side::Right => right - pin.from_side_m(),
    };
    let at = Coord {
        x: x * cos + along * sin,
        y: along * cos - x * sin,
    };
    if !green.contains(&at) {
        return Err(wrong(
            format!(
                "{} paces from the {} edge, {} paces on",
                between(0.0, right - left),
                pin.side.word(),
                pin.on
            ),
            "count the paces from that edge again, mind L and R, or leave --pin out",
        ));
    }
    Ok(at)
}

/// Moves the pin of `hole` to where a pin sheet says, on the green it stands on, seen along the
/// last leg of the line of play.
///
/// # Errors
/// As [`place`], and when the hole has no green or its line of play no length.
pub fn set(hole: &mut Hole, pin: &PinPaces) -> Result<(), Problem> {
    let wrong = |expected: &str, found: &str| Problem {
        file: "command line".into(),
        place: Place::Argument(format!("--pin {pin}")),
        expected: expected.into(),
        found: found.into(),
        remedy: "leave --pin out, and draw the pin in the hole file".into(),
    };
    let green = hole
        .patches
        .iter()
        .filter(|patch| patch.surface == Surface::Green)
        .find(|patch| patch.outline.intersects(&hole.pin))
        .ok_or_else(|| {
            wrong(
                "a hole whose pin stands on a green",
                "no green around the pin",
            )
        })?;
    let bearing_deg = approach_deg(&hole.line_of_play)
        .ok_or_else(|| wrong("a line of play with a length", "a line without one"))?;
    hole.pin = place(&green.outline, bearing_deg, pin)?;
    hole.pin_from = PinFrom::Sheet;
    hole.assumed.retain(|each| *each != Assumption::Pin);
    hole.notes
        .retain(|each| !each.text.starts_with(super::collect::NO_PIN));
    // Which of several pins is the day's is settled.
    hole.questions.retain(|each| each.topic != Topic::TwoPins);
    hole.notes.retain(|each| each.topic != Some(Topic::TwoPins));
    Ok(())
}

/// Pins to try on the green that a hole's pin stands on, as seen along the
/// approach: front, back, left and right, each a fifth of the way in. None where
/// the pin stands on no green; one that would stand off it is left out.
#[must_use]
pub fn around(hole: &Hole) -> Vec<(&'static str, Coord<f64>)> {
    const IN: f64 = 0.2;
    let green = hole
        .patches
        .iter()
        .filter(|patch| patch.surface == Surface::Green)
        .find(|patch| patch.outline.intersects(&hole.pin));
    let (Some(green), Some(bearing_deg)) = (green, approach_deg(&hole.line_of_play)) else {
        return Vec::new();
    };
    let (sin, cos) = bearing_deg.to_radians().sin_cos();
    let turned: Vec<Coord<f64>> = green
        .outline
        .exterior()
        .coords()
        .map(|c| Coord {
            x: c.x * cos - c.y * sin,
            y: c.x * sin + c.y * cos,
        })
        .collect();
    let ends = |of: fn(&Coord<f64>) -> f64| {
        turned
            .iter()
            .map(of)
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], v| {
                [a.min(v), b.max(v)]
            })
    };
    let ([left, right], [front, back]) = (ends(|c| c.x), ends(|c| c.y));
    let at = |across: f64, along: f64| {
        let (x, y) = (
            left + across * (right - left),
            front + along * (back - front),
        );
        Coord {
            x: x * cos + y * sin,
            y: y * cos - x * sin,
        }
    };
    [
        ("front", at(0.5, IN)),
        ("back", at(0.5, 1.0 - IN)),
        ("left", at(IN, 0.5)),
        ("right", at(1.0 - IN, 0.5)),
    ]
    .into_iter()
    .filter(|(_, at)| green.outline.contains(at))
    .collect()
}

/// Bearing of the last leg of at least a metre of a line of play, degrees: the
/// approach that a pin sheet counts along. None where there is no such leg.
#[must_use]
pub fn approach_deg(line: &[Coord<f64>]) -> Option<f64> {
    let end = *line.last()?;
    line.iter()
        .rev()
        .map(|&from| end - from)
        .find(|leg| leg.x.hypot(leg.y) >= 1.0)
        .map(|leg| leg.x.atan2(leg.y).to_degrees())
}

/// "0 to 26.4", in paces.
fn between(from_m: f64, to_m: f64) -> String {
    format!("{:.0} to {:.1}", from_m / PACE_M, to_m / PACE_M)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::parse;
    use geo::polygon;

    fn put(green: &Polygon<f64>, bearing_deg: f64, text: &str) -> Result<Coord<f64>, String> {
        place(green, bearing_deg, &parse::pin(text).unwrap()).map_err(|problem| problem.to_string())
    }

    fn near(got: Result<Coord<f64>, String>, east: f64, north: f64) {
        let got = got.unwrap();
        assert!(
            (got.x - east).abs() < 1e-9 && (got.y - north).abs() < 1e-9,
            "{got:?} is not {east} {north}"
        );
    }

    /// 20 m east to west, 30 m south to north, its south-west corner at 100, 200.
    fn rectangle() -> Polygon<f64> {
        polygon![
            (x: 100.0, y: 200.0), (x: 120.0, y: 200.0),
            (x: 120.0, y: 230.0), (x: 100.0, y: 230.0),
        ]
    }

    /// By hand: 10 paces are 9.144 m, 5 paces 4.572 m.
    #[test]
    fn a_rectangle_from_each_of_the_four_sides() {
        let green = rectangle();
        near(put(&green, 0.0, "10,5L"), 104.572, 209.144);
        near(put(&green, 0.0, "10,5R"), 115.428, 209.144);
        // From the west, heading east: left is north.
        near(put(&green, 90.0, "10,5L"), 109.144, 225.428);
        near(put(&green, 180.0, "10,5L"), 115.428, 220.856);
        near(put(&green, 270.0, "10,5R"), 110.856, 225.428);
    }

    /// A square stood on its corner: half-diagonal 20 m. 10 m past the front corner it is 20 m
    /// wide, from −10 to 10; its edges run at 45°.
    #[test]
    fn the_side_counts_from_the_edge_at_that_depth() {
        let green = polygon![
            (x: 0.0, y: -20.0), (x: 20.0, y: 0.0), (x: 0.0, y: 20.0), (x: -20.0, y: 0.0),
        ];
        let on = 10.0 / PACE_M;
        let in_m = 2.0 / PACE_M;
        near(put(&green, 0.0, &format!("{on},{in_m}L")), -8.0, -10.0);
        near(put(&green, 0.0, &format!("{on},{in_m}R")), 8.0, -10.0);
    }

    /// Turning green and approach together turns the pin with them.
    #[test]
    fn the_frame_turns_with_the_approach() {
        let turn = |c: &Coord<f64>, deg: f64| {
            let (sin, cos) = deg.to_radians().sin_cos();
            Coord {
                x: c.x * cos + c.y * sin,
                y: c.y * cos - c.x * sin,
            }
        };
        let straight = put(&rectangle(), 0.0, "12,6R").unwrap();
        for deg in [17.0, 123.0, 301.5] {
            let outline = rectangle()
                .exterior()
                .coords()
                .map(|c| turn(c, deg))
                .collect();
            let green = Polygon::new(outline, vec![]);
            let want = turn(&straight, deg);
            near(put(&green, deg, "12,6R"), want.x, want.y);
        }
    }

    #[test]
    fn off_the_green_is_said_with_the_counts_that_would_be_on_it() {
        assert_eq!(
            put(&rectangle(), 0.0, "33,5L").unwrap_err(),
            "command line: --pin 33,5L\n  \
             expected: 0 to 32.8 paces on from the front edge\n  \
             found:    33,5L, which is not on this green\n  \
             remedy:   count the paces on from the front edge again, or leave --pin out"
        );
        assert_eq!(
            put(&rectangle(), 0.0, "10,22R").unwrap_err(),
            "command line: --pin 10,22R\n  \
             expected: 0 to 21.9 paces from the right edge, 10 paces on\n  \
             found:    10,22R, which is not on this green\n  \
             remedy:   count the paces from that edge again, mind L and R, or leave --pin out"
        );
        assert!(put(&rectangle(), 0.0, "0,5L").is_err());
    }

    /// A pond in the middle of a green is not green.
    #[test]
    fn an_island_in_the_green_is_refused() {
        let pond = polygon![
            (x: 105.0, y: 205.0), (x: 115.0, y: 205.0), (x: 115.0, y: 225.0), (x: 105.0, y: 225.0),
        ];
        let green = Polygon::new(
            rectangle().exterior().clone(),
            vec![pond.exterior().clone()],
        );
        assert!(put(&green, 0.0, "15,10L").is_err());
        near(
            put(&green, 0.0, "15,3L"),
            100.0 + 3.0 * PACE_M,
            200.0 + 15.0 * PACE_M,
        );
    }
}
