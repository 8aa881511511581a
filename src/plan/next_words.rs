//! What comes after the tee shot, in words.

use super::landmark::after_verb;
use super::next::{ALL_THE_SAME, Next, NextFor, NextShot, OUT_OF_REACH, named};
use super::sentence::{length, mown};
use super::whole_hole::{aim_words, had_words};
use super::why::{cost, is_tie};
use crate::strategy::whole::next_shot_for::SAME_CHANCE;
use crate::units::LengthUnit;

/// A lay-up is worth a word from this far out, m; nearer, the green is the target.
const FAR_M: f64 = 160.0;
/// A shot that loses this share of its balls is worth a word on the other way too.
const RISKY: f64 = 0.05;
/// A lay-up that is this much dearer is no question, strokes.
const NO_QUESTION: f64 = 0.6;
/// The same of a chance, and of points.
const NO_QUESTION_CHANCE: f64 = 0.25;

/// What comes next, a line each; `lost` is the share of the choice's balls that is.
pub fn words(next: &Next, lost: f64, par: u8, unit: LengthUnit) -> Vec<String> {
    let by_aim = by_aim(next);
    let mut lines = vec![shot_words(next, par, unit), side_words(next)];
    if next.to_pin_m >= FAR_M || lost >= RISKY || !next.choice.at_green {
        lines.extend(lay_up_words(next, unit));
    }
    match &next.for_aim {
        Some(_) if by_aim.is_some() => lines.push(beside_strokes(next)),
        Some(by) => lines.extend(by_strokes(by, &next.choice)),
        None => {}
    }
    lines
}

/// The objective that the choice goes by; none where that is strokes.
fn by_aim(next: &Next) -> Option<&NextFor> {
    let by = next.for_aim.as_ref();
    by.filter(|by| by.by_strokes.is_none())
}

fn aim_at(shot: &NextShot) -> String {
    format!("aim {}", after_verb(&shot.words))
}

fn shot_words(next: &Next, par: u8, unit: LengthUnit) -> String {
    let choice = &next.choice;
    let lie = match next.lie.as_str() {
        "trees" => "among the trees".to_owned(),
        "bunker" => "in the bunker".to_owned(),
        "fairway" => format!("on the {}", mown(par)),
        other => format!("on the {other}").replace("on the rough", "in the rough"),
    };
    let leaves = if choice.at_green {
        String::new()
    } else {
        format!(", leaving {}", length(choice.left_m, unit))
    };
    let (aim, had) = match (by_aim(next), &choice.by_aim) {
        (Some(by), Some(had)) => (
            format!(" for {}", aim_words(&by.aim)),
            format!("{} from there, ", had_words(had.worth, &by.unit)),
        ),
        _ => Default::default(),
    };
    let there = if had.is_empty() { " from there" } else { "" };
    let from = if next.is_for_a_miss {
        format!("if it misses the green ({lie})")
    } else {
        let to_go = length(next.to_pin_m, unit);
        format!("from where it usually ends ({lie}, {to_go} to go)")
    };
    format!(
        "Then{aim}, {from}: {}; {}{leaves}; {had}{:.2} strokes{there}.",
        named(choice),
        aim_at(choice),
        choice.strokes
    )
}

/// The side to miss on.
fn side_words(next: &Next) -> String {
    let miss = &next.miss;
    let apart = miss.left - miss.right;
    let by = by_aim(next);
    match miss.side.as_str() {
        "either" => "Neither side is the better miss there.".into(),
        better => {
            let worse = if better == "left" { "right" } else { "left" };
            let half = if next.choice.at_green {
                "balls around the pin's line"
            } else {
                "its balls"
            };
            let by_how_much = match by {
                Some(by) => format!("has {} less", in_unit(apart.abs(), &by.unit)),
                None => format!("costs {:.2}", apart.abs()),
            };
            format!(
                "Miss that one {better}, not {worse}: the {worse} half of {half} {by_how_much}."
            )
        }
    }
}

/// "2.2 in 100", "0.04 points".
fn in_unit(amount: f64, unit: &str) -> String {
    let points = if unit == "points" { " points" } else { "" };
    super::whole_hole::amount(amount, unit) + points
}

/// What another shot costs by what the choice goes by.
fn costs(next: &Next, shot: &NextShot) -> (f64, f64) {
    match (by_aim(next), &shot.by_aim) {
        (Some(_), Some(had)) => (had.costs, had.costs_standard_error),
        _ => (shot.costs, shot.costs_standard_error),
    }
}

/// Whether a difference is none by what the choice goes by.
fn same(next: &Next, more: f64, error: f64) -> bool {
    match by_aim(next) {
        Some(by) if by.unit == "chance" => more.abs() <= 2.0 * error || more.abs() < SAME_CHANCE,
        _ => is_tie(more, error),
    }
}

fn costs_words(next: &Next, shot: &NextShot) -> String {
    let (more, error) = costs(next, shot);
    match by_aim(next) {
        _ if same(next, more, error) => "is no worse".to_owned(),
        None => cost(more, error),
        Some(by) => {
            let verb = if more > 0.0 { "costs" } else { "gains" };
            format!("{verb} {}", in_unit(more.abs(), &by.unit))
        }
    }
}

/// The distance worth leaving, and the one that is not.
fn lay_up_words(next: &Next, unit: LengthUnit) -> Vec<String> {
    let choice = &next.choice;
    let mut lines = Vec::new();
    let amount = |s: &NextShot| costs_words(next, s);
    if choice.at_green {
        if let Some(best) = next.lay_ups.first() {
            let no_question = match by_aim(next) {
                Some(by) if by.unit == "chance" => NO_QUESTION_CHANCE,
                _ => NO_QUESTION,
            };
            let verb = if costs(next, best).0 > no_question {
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

/// The shot for an objective beside the one for fewest strokes: what each loses by
/// the other's measure.
fn beside_strokes(next: &Next) -> String {
    let choice = &next.choice;
    let Some(by) = &next.for_aim else {
        return String::new();
    };
    let Some((fewest, had)) = by
        .fewest_strokes
        .as_ref()
        .and_then(|shot| Some((shot, shot.by_aim?)))
    else {
        return format!(
            "It is the shot for fewest strokes too: none is better for {}.",
            aim_words(&by.aim)
        );
    };
    let in_strokes = if is_tie(choice.costs, choice.costs_standard_error) {
        "in strokes this one is no worse".to_owned()
    } else {
        format!(
            "in strokes this one {}",
            cost(choice.costs, choice.costs_standard_error)
        )
    };
    format!(
        "Fewest strokes would be {}, {}: it costs {}; {in_strokes}.",
        named(fewest),
        aim_at(fewest),
        in_unit(had.costs, &by.unit)
    )
}

/// Why what comes next goes by strokes though the tee was decided for something else.
fn by_strokes(by: &NextFor, choice: &NextShot) -> Option<String> {
    let had = choice.by_aim?;
    let had = had_words(had.worth, &by.unit);
    let aim = aim_words(&by.aim);
    match by.by_strokes.as_deref()? {
        OUT_OF_REACH => Some(format!(
            "What comes next is for fewest strokes: from there {aim} is out of reach, whatever \
             is hit ({had})."
        )),
        ALL_THE_SAME => Some(format!(
            "What comes next is for fewest strokes: for {aim} no shot looked at is worse \
             from there ({had})."
        )),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::LonLat;
    use super::super::next::{ByAim, Miss};
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
            by_aim: None,
        }
    }

    fn next(choice: NextShot, left: f64, right: f64) -> Next {
        Next {
            from: LonLat { lon: 0.0, lat: 0.0 },
            lie: "fairway".into(),
            to_pin_m: 210.0,
            is_for_a_miss: false,
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
            for_aim: None,
        }
    }

    #[test]
    fn laying_up_is_told_by_the_distance_left() {
        let said = words(
            &next(shot("7i", 82.0, 0.0, false), 3.2, 3.0),
            0.0,
            4,
            LengthUnit::Metres,
        );
        assert_eq!(
            said,
            [
                "Then, from where it usually ends (on the fairway, 210 m to go): 7-iron, your \
                 draw; aim 6 yd right of the pin, leaving 82 m; 3.10 strokes from there.",
                "Miss that one right, not left: the left half of its balls costs 0.20.",
                "Going for the green with 3-wood, your draw costs 0.08.",
                "Leaving less, 50 m with 5-iron, your draw, is no worse.",
                "Leaving more, 101 m with 9-iron, your draw, costs 0.09.",
            ]
        );
    }

    #[test]
    fn going_for_the_green_names_the_lay_up_that_is_not_worth_it() {
        let mut going = next(shot("3w", 12.0, 0.0, true), 3.1, 3.11);
        going.lay_ups = vec![shot("7i", 82.0, 0.35, false)];
        let said = words(&going, 0.0, 4, LengthUnit::Yards);
        assert_eq!(said[1], "Neither side is the better miss there.");
        assert_eq!(
            said[2],
            "Laying up to 90 yd with 7-iron, your draw costs 0.35."
        );
        // Close in, nobody asks.
        going.to_pin_m = 120.0;
        assert_eq!(words(&going, 0.01, 4, LengthUnit::Yards).len(), 2);
    }
    fn had(worth: f64, costs: f64, shot: NextShot) -> NextShot {
        NextShot {
            by_aim: Some(ByAim {
                worth,
                standard_error: 0.0041,
                costs,
                costs_standard_error: if costs == 0.0 { 0.0 } else { 0.005 },
            }),
            ..shot
        }
    }

    /// The same places for bogey or better, where the lay-up costs a little in strokes.
    fn for_aim(aim: &str, unit: &str) -> Next {
        let mut next = next(had(0.912, 0.0, shot("7i", 82.0, 0.04, false)), 0.94, 0.884);
        next.miss.side = "left".into();
        let wood = shot("3w", 12.0, 0.0, true);
        next.others = vec![had(0.87, 0.042, wood.clone())];
        next.lay_ups = vec![
            next.choice.clone(),
            had(0.905, 0.007, shot("5i", 50.0, 0.045, false)),
            had(0.88, 0.032, shot("9i", 101.0, 0.13, false)),
        ];
        next.for_aim = Some(NextFor {
            aim: aim.into(),
            unit: unit.into(),
            by_strokes: None,
            fewest_strokes: Some(had(0.87, 0.042, wood)),
        });
        next
    }

    #[test]
    fn an_aim_of_play_is_told_in_its_own_unit() {
        let said = words(&for_aim("no-double", "chance"), 0.0, 4, LengthUnit::Metres);
        assert_eq!(
            said,
            [
                "Then for bogey or better, from where it usually ends (on the fairway, 210 m to \
                 go): 7-iron, your draw; aim 6 yd right of the pin, leaving 82 m; 91.2 in 100 from \
                 there, 3.14 strokes.",
                "Miss that one left, not right: the right half of its balls has 5.6 in 100 less.",
                "Going for the green with 3-wood, your draw costs 4.2 in 100.",
                "Leaving less, 50 m with 5-iron, your draw, is no worse.",
                "Leaving more, 101 m with 9-iron, your draw, costs 3.2 in 100.",
                "Fewest strokes would be 3-wood, your draw, aim 6 yd right of the pin: it costs \
                 4.2 in 100; in strokes this one costs 0.04.",
            ]
        );
        let said = words(&for_aim("points", "points"), 0.0, 4, LengthUnit::Metres);
        assert_eq!(
            said[2],
            "Going for the green with 3-wood, your draw costs 0.04 points."
        );
    }

    #[test]
    fn where_the_aim_has_no_say_strokes_do_and_it_is_said() {
        let mut next = for_aim("par", "chance");
        let by = next.for_aim.as_mut().expect("an aim");
        (by.by_strokes, by.fewest_strokes) = (Some(OUT_OF_REACH.into()), None);
        next.choice = had(0.001, 0.0, shot("7i", 82.0, 0.0, false));
        (next.miss.left, next.miss.right) = (3.0, 3.2);
        let said = words(&next, 0.0, 4, LengthUnit::Metres);
        assert!(said[0].ends_with("leaving 82 m; 3.10 strokes from there."));
        assert!(said[1].ends_with("costs 0.20."));
        assert_eq!(
            said.last().map(String::as_str),
            Some(
                "What comes next is for fewest strokes: from there par or better is out of \
                 reach, whatever is hit (0.1 in 100)."
            )
        );
        next.for_aim.as_mut().expect("an aim").by_strokes = Some(ALL_THE_SAME.into());
        let said = words(&next, 0.0, 4, LengthUnit::Metres).pop();
        assert!(said.is_some_and(|line| line.contains("no shot looked at is worse")));
        // The same shot for both: nothing to set beside it.
        let by = next.for_aim.as_mut().expect("an aim");
        by.by_strokes = None;
        assert_eq!(
            words(&next, 0.0, 4, LengthUnit::Metres).pop().as_deref(),
            Some("It is the shot for fewest strokes too: none is better for par or better.")
        );
    }
}
