//! What comes after the tee shot, measured and worded.

use geo::Coord;
use serde::Serialize;

use super::LonLat;
use super::landmark;
use super::round;
use super::scene::{Scene, bearing_deg, distance_m, turn_deg};
use super::sentence::{club, club_and_shape, length};
use super::things::things;
use super::why::{cost, is_tie, shown_error};
use super::widths::section;
use crate::hole::{Hole, Surface};
use crate::player::Player;
use crate::strategy::whole::problem::Problem;
use crate::strategy::whole::swing::Kind;
use crate::strategy::whole::way_home::{Onward, WayHome, manner};
use crate::units::LengthUnit;

/// Ways to play on shown beside the best.
const OTHERS: usize = 3;
/// Distances left shown.
const LAY_UPS: usize = 4;
/// A lay-up is worth a word from this far out, m; nearer, the green is the target.
const FAR_M: f64 = 160.0;
/// A shot that loses this share of its balls is worth a word on the other way too.
const RISKY: f64 = 0.05;
/// Sides that are nearer than this are no matter, strokes.
const NO_SIDE: f64 = 0.03;
/// A lay-up that is this much dearer is no question, strokes.
const NO_QUESTION: f64 = 0.6;

/// What comes after the tee shot.
#[derive(Clone, Debug, Serialize)]
pub struct Next {
    /// From here: the middle of where the tee shot is played from next.
    pub from: LonLat,
    /// What lies there: `fairway`, `rough`, `bunker` or `trees`.
    pub lie: String,
    /// How far the pin is, m.
    pub to_pin_m: f64,
    /// The shot to play.
    pub choice: NextShot,
    /// Its better miss.
    pub miss: Miss,
    /// The best with other clubs, best first.
    pub others: Vec<NextShot>,
    /// The best shots that leave some way, by how far, best first.
    pub lay_ups: Vec<NextShot>,
    /// In words, a line each.
    pub words: Vec<String>,
}

/// One way to play on.
#[derive(Clone, Debug, Serialize)]
pub struct NextShot {
    /// Club; the usual wedge of this level where the bag has none.
    pub club: String,
    /// Shape.
    pub shape: String,
    /// `full`, `held back`, `a partial swing` or `punched low`.
    pub swing: String,
    /// True bearing of the set-up, degrees.
    pub bearing_deg: f64,
    /// That, right of the pin, degrees.
    pub from_pin_deg: f64,
    /// What to set up at, in words.
    pub words: String,
    /// Where it finishes on average.
    pub rest: LonLat,
    /// How far that is, m.
    pub total_m: f64,
    /// Average way left to the pin, m.
    pub left_m: f64,
    /// Whether it is meant for the green.
    pub at_green: bool,
    /// Share of balls on the green.
    pub on_green: f64,
    /// Strokes to hole out, this one included.
    pub strokes: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// Strokes more than the best, on the same balls.
    pub costs: f64,
    /// Standard error of that.
    pub costs_standard_error: f64,
}

/// The side to miss on.
#[derive(Clone, Debug, Serialize)]
pub struct Miss {
    /// `left`, `right` or `either`.
    pub side: String,
    /// Strokes to hole out of the half of the balls that finishes left.
    pub left: f64,
    /// Of the half that finishes right.
    pub right: f64,
    /// Standard error of the difference.
    pub standard_error: f64,
}

/// The way home for the plan file.
#[must_use]
pub fn next(
    way: &WayHome,
    hole: &Hole,
    player: &Player,
    problem: &Problem,
    unit: LengthUnit,
) -> Next {
    let plane = crate::hole::plane::Plane::new(hole.origin_lon_lat);
    let height = |c: Coord<f64>| hole.ground().height_m(c.x, c.y);
    let canopy = |c: Coord<f64>| hole.canopy_at(c.x, c.y);
    let to_lon_lat = |c: Coord<f64>| plane.to_lon_lat(c);
    let scene = Scene {
        height_m: &height,
        canopy: &canopy,
        to_lon_lat: &to_lon_lat,
        ..Scene::new(
            hole.par,
            &hole.line_of_play,
            hole.pin,
            &hole.patches,
            &hole.trees,
        )
    };
    let seen = things(&scene);
    let lon_lat = |c: Coord<f64>| {
        let [lon, lat] = plane.to_lon_lat(c);
        LonLat {
            lon: round::lon_lat(lon),
            lat: round::lon_lat(lat),
        }
    };
    let shot = |onward: &Onward| {
        let swing = &problem.swings[usize::from(onward.action.swing)];
        let (club, shape) = swing
            .club
            .and_then(|index| player.clubs.get(index))
            .map_or(("wedge", "straight"), |c| {
                (c.club.as_str(), c.shape.as_str())
            });
        let from_pin_deg = turn_deg(onward.aim_deg - bearing_deg(way.from, hole.pin));
        let words = if onward.goes_for_green() || way.to_pin_m < onward.total_m + 15.0 {
            let beside = distance_m(way.from, hole.pin) * from_pin_deg.to_radians().tan();
            beside_pin(beside, unit)
        } else {
            let cut = section(&scene, way.from, onward.carry_m, onward.landing);
            landmark::choose(
                &scene,
                &seen,
                way.from,
                onward.aim_deg,
                onward.carry_m,
                cut.as_ref(),
            )
            .words
        };
        NextShot {
            club: club.into(),
            shape: shape.into(),
            swing: match swing.kind {
                Kind::Full => "full".into(),
                kind => manner(kind).into(),
            },
            bearing_deg: round::bearing(onward.aim_deg),
            from_pin_deg: round::degrees(from_pin_deg),
            words,
            rest: lon_lat(onward.rest),
            total_m: round::metres(onward.total_m),
            left_m: round::metres(onward.left_m),
            at_green: onward.goes_for_green(),
            on_green: round::strokes(onward.on_green),
            strokes: round::strokes(onward.strokes),
            standard_error: round::strokes(onward.standard_error),
            costs: round::strokes(onward.costs),
            costs_standard_error: round::strokes(onward.costs_standard_error),
        }
    };
    let misses = &way.misses;
    let apart = misses.left - misses.right;
    let side = if is_tie(apart, misses.standard_error) || apart.abs() < NO_SIDE {
        "either"
    } else if misses.left < misses.right {
        "left"
    } else {
        "right"
    };
    let mut next = Next {
        from: lon_lat(way.from),
        lie: match way.surface {
            Surface::Bunker => "bunker",
            Surface::Trees => "trees",
            Surface::Rough => "rough",
            _ => "fairway",
        }
        .into(),
        to_pin_m: round::metres(way.to_pin_m),
        choice: shot(&way.choice),
        miss: Miss {
            side: side.into(),
            left: round::strokes(misses.left),
            right: round::strokes(misses.right),
            standard_error: round::strokes(misses.standard_error),
        },
        others: way.others.iter().take(OTHERS).map(shot).collect(),
        lay_ups: way.lay_ups.iter().take(LAY_UPS).map(shot).collect(),
        words: Vec::new(),
    };
    next.words = words(&next, way.choice.lost, unit);
    next
}

/// "at the pin", "6 yd right of the pin".
fn beside_pin(right_m: f64, unit: LengthUnit) -> String {
    if unit.of(right_m).abs() < 0.5 {
        "the pin".into()
    } else {
        format!(
            "{} {} of the pin",
            length(right_m, unit),
            super::sentence::side(right_m)
        )
    }
}

/// "7-iron, your draw, held back".
#[must_use]
pub fn named(shot: &NextShot) -> String {
    match shot.swing.as_str() {
        "full" => club_and_shape(&shot.club, &shot.shape),
        // A partial or low swing has not the full one's shape.
        manner => format!("{}, {manner}", club(&shot.club)),
    }
}

fn set_up(shot: &NextShot) -> String {
    if shot.words.starts_with(|c: char| c.is_ascii_digit()) {
        format!("set up {}", shot.words)
    } else {
        format!("set up at {}", shot.words)
    }
}

fn words(next: &Next, lost: f64, unit: LengthUnit) -> Vec<String> {
    let choice = &next.choice;
    let lie = match next.lie.as_str() {
        "trees" => "among the trees".to_owned(),
        "bunker" => "in the bunker".to_owned(),
        other => format!("on the {other}").replace("on the rough", "in the rough"),
    };
    let leaves = if choice.at_green {
        String::new()
    } else {
        format!(", leaving {}", length(choice.left_m, unit))
    };
    let mut lines = vec![format!(
        "Next, from the middle of where it finishes ({lie}, {} to the pin): {}; {}{leaves}; {:.2} \
         ± {:.2} strokes from there.",
        length(next.to_pin_m, unit),
        named(choice),
        set_up(choice),
        choice.strokes,
        shown_error(choice.standard_error)
    )];
    let apart = (next.miss.left - next.miss.right).abs();
    lines.push(match next.miss.side.as_str() {
        "either" => format!(
            "Neither side is the better miss there (left against right {:+.2} ± {:.2} strokes).",
            next.miss.left - next.miss.right,
            shown_error(next.miss.standard_error)
        ),
        better => {
            let worse = if better == "left" { "right" } else { "left" };
            format!(
                "Miss it {better}, not {worse}: the {worse} half of {} takes {:.2} ± {:.2} strokes \
                 more.",
                if choice.at_green {
                    "balls around the pin's line"
                } else {
                    "its balls"
                },
                apart,
                shown_error(next.miss.standard_error)
            )
        }
    });
    if next.to_pin_m >= FAR_M || lost >= RISKY || !choice.at_green {
        lines.extend(lay_up_words(next, unit));
    }
    lines
}

/// The distance worth leaving, and the one that is not.
fn lay_up_words(next: &Next, unit: LengthUnit) -> Vec<String> {
    let choice = &next.choice;
    let mut lines = Vec::new();
    let amount = |s: &NextShot| {
        if is_tie(s.costs, s.costs_standard_error) {
            "is as good".to_owned()
        } else {
            format!("costs {}", cost(s.costs, s.costs_standard_error))
        }
    };
    if choice.at_green {
        if let Some(best) = next.lay_ups.first() {
            let verb = if best.costs > NO_QUESTION {
                "Do not lay up: to"
            } else {
                "Laying up to"
            };
            lines.push(format!(
                "{verb} {} with {} {}.",
                length(best.left_m, unit),
                named(best),
                amount(best)
            ));
        }
        return lines;
    }
    if let Some(green) = next.others.iter().find(|o| o.at_green) {
        lines.push(format!(
            "Going for the green with {} {}.",
            named(green),
            amount(green)
        ));
    }
    // The nearest and the furthest distance that are dearer than the choice's.
    let dearer = |nearer: bool| {
        next.lay_ups
            .iter()
            .filter(|l| (l.left_m < choice.left_m) == nearer)
            .find(|l| (l.left_m - choice.left_m).abs() > 10.0)
    };
    for (nearer, verb) in [(true, "Leaving less"), (false, "Leaving more")] {
        if let Some(other) = dearer(nearer) {
            lines.push(format!(
                "{verb}, {} with {}, {}.",
                length(other.left_m, unit),
                named(other),
                amount(other)
            ));
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shot(club: &str, left_m: f64, costs: f64, at_green: bool) -> NextShot {
        NextShot {
            club: club.into(),
            shape: "draw".into(),
            swing: "full".into(),
            bearing_deg: 0.0,
            from_pin_deg: 2.0,
            words: "6 yd right of the pin".into(),
            rest: LonLat { lon: 0.0, lat: 0.0 },
            total_m: 150.0,
            left_m,
            at_green,
            on_green: 0.0,
            strokes: 3.1 + costs,
            standard_error: 0.012,
            costs,
            costs_standard_error: if costs == 0.0 { 0.0 } else { 0.01 },
        }
    }

    fn next(choice: NextShot, left: f64, right: f64) -> Next {
        Next {
            from: LonLat { lon: 0.0, lat: 0.0 },
            lie: "fairway".into(),
            to_pin_m: 210.0,
            choice,
            miss: Miss {
                side: if (left - right).abs() < 0.04 {
                    "either"
                } else if left < right {
                    "left"
                } else {
                    "right"
                }
                .into(),
                left,
                right,
                standard_error: 0.02,
            },
            others: vec![shot("3w", 12.0, 0.08, true)],
            lay_ups: vec![
                shot("7i", 82.0, 0.0, false),
                shot("5i", 50.0, 0.005, false),
                shot("9i", 101.0, 0.09, false),
            ],
            words: Vec::new(),
        }
    }

    #[test]
    fn laying_up_is_told_by_the_distance_left() {
        let told = words(
            &next(shot("7i", 82.0, 0.0, false), 3.2, 3.0),
            0.0,
            LengthUnit::Metres,
        );
        assert_eq!(
            told,
            [
                "Next, from the middle of where it finishes (on the fairway, 210 m to the pin): \
                 7-iron, your draw; set up 6 yd right of the pin, leaving 82 m; 3.10 ± 0.02 \
                 strokes from there.",
                "Miss it right, not left: the left half of its balls takes 0.20 ± 0.02 strokes \
                 more.",
                "Going for the green with 3-wood, your draw costs 0.08 ± 0.01 strokes more.",
                "Leaving less, 50 m with 5-iron, your draw, is as good.",
                "Leaving more, 101 m with 9-iron, your draw, costs 0.09 ± 0.01 strokes more.",
            ]
        );
    }

    #[test]
    fn going_for_the_green_names_the_lay_up_that_is_not_worth_it() {
        let mut going = next(shot("3w", 12.0, 0.0, true), 3.1, 3.11);
        going.lay_ups = vec![shot("7i", 82.0, 0.35, false)];
        let told = words(&going, 0.0, LengthUnit::Yards);
        assert_eq!(
            told[1],
            "Neither side is the better miss there (left against right -0.01 ± 0.02 strokes)."
        );
        assert_eq!(
            told[2],
            "Laying up to 90 yd with 7-iron, your draw costs 0.35 ± 0.01 strokes more."
        );
        // Close in, nobody asks.
        going.to_pin_m = 120.0;
        assert_eq!(words(&going, 0.01, LengthUnit::Yards).len(), 2);
    }
}
