//! The decision in few lines, and a course in a line a hole.

use super::Setting;
use super::full::{Rows, wind};
use super::layout::{bullet, folded, section};
use crate::plan::card::{card, decided_for, shots};
use crate::plan::course::CourseTotal;
use crate::plan::round::{RARE, hundredths};
use crate::plan::sentence::{above_the_sea, across_short, capital, mown, whole};
use crate::plan::spoken::spoken;
use crate::plan::why::{cost, cost_alone, is_tie};
use crate::plan::wind::{is_windy, to_the_aim};
use crate::plan::{Finish, Plan, own_shot};

/// Columns of the rows' keys, with what stands on either side.
const KEYS: usize = 10;
/// Balls that a whole block of a bar may stand for, the longest bar first.
const BALLS: [f64; 5] = [2.5, 4.0, 5.0, 10.0, 20.0];
/// From this width on, a course's table has these columns too.
const WITH_PEG: usize = 72;
const WITH_TARGET: usize = 110;

/// Who plays and in which air, which is the same on every hole: "built-in player,
/// handicap 6.0: calm, 20 °C, medium ground".
pub(super) fn player_and_day(plan: &Plan) -> String {
    let (day, player) = (&plan.conditions, &plan.player);
    let unit = plan.unit();
    let who = if player.name.is_empty() {
        format!("{}-handed", player.handedness)
    } else {
        player.name.clone()
    };
    let wind = wind(day.wind_m_s, day.wind_from_deg, unit);
    let height = if whole(day.altitude_m, unit) == 0 {
        String::new()
    } else {
        format!("{}, ", above_the_sea(day.altitude_m, unit))
    };
    format!(
        "For {who}, handicap {:.1}: {wind}, {:.0} °C, {height}{} ground.",
        player.handicap, day.temperature_c, day.firmness
    )
}

/// Most lines that a decision is meant to take, from [`NARROWEST`] columns on.
const MOST_LINES: usize = 15;
const NARROWEST: usize = 60;

/// How much of a decision is said.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Share {
    All,
    /// Without what straight down the middle costs.
    WithoutMiddle,
    /// And without the wind along the aim, which the day's line has by the compass.
    WithoutWind,
    /// And of other winds and pins only how many leave the plan as it is, of one's own shots
    /// the bare costs, of other play no saving.
    Counted,
    /// And without how many shots are logged.
    WithoutLog,
    /// And without how often which score comes, which the page has.
    WithoutScores,
    /// And without where a hundred balls end.
    WithoutBalls,
}

/// The decision: what to hit from where, what comes of it, what else there is.
pub(super) fn decision(out: &mut String, plan: &Plan, setting: &Setting) {
    let mut said = String::new();
    for share in [
        Share::All,
        Share::WithoutMiddle,
        Share::WithoutWind,
        Share::Counted,
        Share::WithoutLog,
        Share::WithoutScores,
        Share::WithoutBalls,
    ] {
        said.clear();
        decided(&mut said, plan, setting, share);
        if setting.width < NARROWEST || said.lines().count() <= MOST_LINES {
            break;
        }
    }
    out.push_str(&said);
}

fn decided(out: &mut String, plan: &Plan, setting: &Setting, share: Share) {
    let look = setting.look;
    for line in folded(&heading(plan), setting.width, "", "") {
        out.push_str(&look.bold(&line));
        out.push('\n');
    }
    let card = card(plan, None);
    let shot = &plan.choice.shot;
    let club = plan.tee_shot_name();
    let day = &plan.conditions;
    let to_the_aim = to_the_aim(
        day.wind_m_s,
        day.wind_from_deg,
        shot.aim.bearing_deg,
        plan.unit(),
    );
    let rests = [
        (share < Share::WithoutLog).then(|| shots(shot.shots_logged)),
        (is_windy(day.wind_m_s) && !to_the_aim.is_empty() && share < Share::WithoutWind)
            .then(|| format!("wind {to_the_aim}")),
        decided_for(plan),
        holds(plan),
    ];
    let rests: Vec<String> = rests.into_iter().flatten().collect();
    let club = capital(&club);
    let words = [vec![club.clone()], rests].concat().join("; ");
    for (k, line) in folded(&words, setting.width, "", "  ").iter().enumerate() {
        let line = match line.strip_prefix(&club) {
            Some(rest) if k == 0 => look.bold(&club) + &look.dim(rest),
            _ => look.dim(line),
        };
        out.push_str(&line);
        out.push('\n');
    }
    let whole_hole = plan.whole_hole.as_ref();
    let score = whole_hole.map_or(shot.expected_strokes, |whole| whole.expected_score);
    let scores = whole_hole.map_or_else(Vec::new, |whole| whole.scores.counts().to_vec());
    let level = whole_hole.map_or_else(String::new, |whole| {
        format!(" (your handicap averages {:.2})", whole.by_table)
    });
    let room = setting.width - KEYS;
    for (key, words) in [
        ("peg", card.peg),
        ("aim", card.aim),
        ("ball", card.ball),
        ("miss", card.miss),
        ("then", card.then),
        ("note", card.note),
        (
            "score",
            if share < Share::WithoutScores || level.is_empty() {
                bars(&format!("{score:.2}{level}"), &scores, room)
            } else {
                format!("{score:.2}{level}")
            },
        ),
        (
            "balls",
            if share < Share::WithoutBalls {
                balls(plan, room)
            } else {
                String::new()
            },
        ),
        ("instead", instead(plan, share)),
        ("yours", yours(plan, share)),
        ("play", changes(plan, share)),
        ("if", what_if(plan, share)),
    ] {
        row(out, key, &words, setting);
    }
}

/// A row: its key, then its words beside it.
fn row(out: &mut String, key: &str, words: &str, setting: &Setting) {
    if words.is_empty() {
        return;
    }
    let first = format!("  {key:<8}");
    for line in folded(words, setting.width, &first, &" ".repeat(KEYS)) {
        match line.strip_prefix(&first) {
            Some(rest) => out.push_str(&(setting.look.dim(&first) + rest)),
            None => out.push_str(&line),
        }
        out.push('\n');
    }
}

/// "Hole 1, Sickle, par 4, 424 yd from the white tee, pin from the map".
fn heading(plan: &Plan) -> String {
    let hole = &plan.hole;
    let unit = plan.unit();
    let mut text = named(plan);
    text += &format!(
        ", par {}, {} {}",
        hole.par,
        whole(hole.length_m, unit),
        unit.name()
    );
    if let Some(colour) = &hole.tee_colour {
        text += &format!(" from the {colour} tee");
    }
    if let Some(pin) = hole.pin_from.words() {
        text += &format!(", {pin}");
    }
    text
}

/// "Hole 1, Sickle".
fn named(plan: &Plan) -> String {
    let name = plan.hole.name.as_ref();
    let name = name.map_or_else(String::new, |name| format!(", {name}"));
    format!("Hole {}{name}", plan.hole.reference)
}

/// Of a hundred, how many of each kind: a number and a bar each, as long as one line
/// lets them be; without bars where not even short ones fit.
fn bars(first: &str, counts: &[(&str, u32)], room: usize) -> String {
    let set = |balls: Option<f64>| -> String {
        let shown = counts.iter().filter(|(_, count)| *count > 0);
        let each = shown.map(|(name, count)| {
            let bar = balls.map_or_else(String::new, |balls| bar(*count, balls));
            format!("{name} {count}{bar}")
        });
        let all: Vec<String> = each.collect();
        match (first, all.is_empty()) {
            ("", _) => all.join(", "),
            (_, true) => format!("{first} strokes"),
            (_, false) => format!("{first}: {}", all.join(", ")),
        }
    };
    let fits = |balls: &f64| set(Some(*balls)).chars().count() <= room;
    set(BALLS.into_iter().find(fits))
}

/// A bar of blocks and halves of blocks, held to its number.
fn bar(count: u32, balls: f64) -> String {
    let halves = (f64::from(count) * 2.0 / balls).round() as usize;
    if halves == 0 {
        return String::new();
    }
    let half = if halves % 2 == 1 { "▌" } else { "" };
    format!(" {}{half}", "█".repeat(halves / 2))
}

/// Where a hundred balls end, most first.
fn ends(finish: &Finish, par: u8) -> Vec<(&'static str, u32, f64)> {
    let kinds = [
        (mown(par), finish.fairway),
        ("green", finish.green),
        ("rough", finish.rough),
        ("bunker", finish.bunker),
        ("trees", finish.trees),
        ("penalty area", finish.penalty_area),
        ("out of bounds", finish.out_of_bounds),
    ];
    let counts = hundredths(&kinds.map(|kind| kind.1));
    let mut ends: Vec<(&str, u32, f64)> = kinds
        .into_iter()
        .zip(counts)
        .map(|((name, share), count)| (name, count, share))
        .collect();
    ends.sort_by_key(|end| std::cmp::Reverse(end.1));
    ends
}

/// Of a hundred balls, how many end where, and what fewer than one ends in.
fn balls(plan: &Plan, room: usize) -> String {
    let ends = ends(&plan.choice.shot.finish, plan.hole.par);
    let rare = ends.iter().filter(|end| end.1 == 0 && end.2 > RARE);
    let rare: String = rare.map(|end| format!(", {} <1", end.0)).collect();
    let counts: Vec<(&str, u32)> = ends.iter().map(|end| (end.0, end.1)).collect();
    let left = room.saturating_sub(rare.chars().count());
    bars("", &counts, left) + &rare
}

/// That the plan holds however the player scatters, where it does.
fn holds(plan: &Plan) -> Option<String> {
    let robust = plan.robust.as_ref().filter(|robust| robust.holds)?;
    Some(robust.brief(plan.unit()))
}

/// What changes with how wide the player scatters.
fn changes(plan: &Plan, share: Share) -> String {
    let robust = plan.robust.as_ref();
    robust.map_or_else(String::new, |robust| {
        robust.changes(plan.unit(), share < Share::Counted)
    })
}

/// The player's own shots and what each costs; how the first is aimed says what the
/// others are counted from.
fn yours(plan: &Plan, share: Share) -> String {
    let unit = plan.unit();
    let own = plan.own_shots.iter().enumerate();
    let own = own.map(|(k, own)| {
        let cost = match share {
            _ if own_shot::is_plan(own) => "is the plan".to_owned(),
            Share::Counted => cost_alone(own.costs, own.costs_standard_error),
            _ => cost(own.costs, own.costs_standard_error),
        };
        let name = own_shot::shorter(own, unit);
        let name = if k > 0 {
            name.trim_end_matches(" of the plan")
        } else {
            &name
        };
        format!("{}. {name}: {cost}", own.number)
    });
    own.collect::<Vec<String>>().join("; ")
}

/// The next best club, and straight down the middle where that costs something.
fn instead(plan: &Plan, share: Share) -> String {
    let unit = plan.unit();
    let club = plan.listed_alternatives().next().map(|other| {
        let cost = cost(other.costs, other.costs_standard_error);
        format!("{}: {cost}", other.shot.name(unit))
    });
    let dear = |costs: f64, error: f64| costs > 0.0 && !is_tie(costs, error);
    let middle = plan.comparisons.iter().find(|other| {
        other.name == "down the middle"
            && share < Share::WithoutMiddle
            && dear(other.costs, other.costs_standard_error)
    });
    let middle = middle.map(|other| {
        let cost = cost(other.costs, other.costs_standard_error);
        format!("{}: {cost}", other.name)
    });
    let all: Vec<String> = club.into_iter().chain(middle).collect();
    all.join("; ")
}

/// In how many other winds, to how many pins and with how many kinds of play what
/// changes.
fn what_if(plan: &Plan, share: Share) -> String {
    let kinds = [
        ("wind", "winds"),
        ("pin", "pins"),
        ("play", "kinds of play"),
    ];
    let each = kinds.into_iter().filter_map(|(kind, many)| {
        let of = plan.what_if.iter().filter(|case| case.kind == kind);
        let changes: Vec<&str> = of.map(|case| case.changes.as_str()).collect();
        let count = |is: fn(&str) -> bool| changes.iter().filter(|change| is(change)).count();
        let all = changes.len();
        let parts = [
            (count(|change| change == "nothing"), "as planned"),
            (count(|change| change.ends_with("aim")), "another aim"),
            (count(|change| change == "club"), "another club"),
        ];
        let counted = share == Share::Counted;
        let parts: Vec<String> = parts
            .into_iter()
            .take(if counted { 1 } else { parts.len() })
            .filter(|part| part.0 > 0 || counted)
            .map(|(count, what)| {
                if count == all {
                    what.to_owned()
                } else {
                    format!("{count} {what}")
                }
            })
            .collect();
        (all > 0).then(|| format!("{all} {many}: {}", parts.join(", ")))
    });
    let all: Vec<String> = each.collect();
    all.join("; ")
}

/// A course: a line a hole, the total, what is said of both.
pub(super) fn course(out: &mut String, plans: &[Plan], total: &CourseTotal, setting: &Setting) {
    let width = setting.width;
    let mut rows = Rows::new();
    let unit = plans.first().map_or("", |plan| plan.unit().name());
    let columns = |peg: String, target: String, cells: [String; 8]| -> Vec<String> {
        let [hole, par, length, shot, aim, strokes, spread, stake] = cells;
        let mut row = vec![hole, par, length, shot];
        row.extend((width >= WITH_PEG).then_some(peg));
        row.push(aim);
        row.extend((width >= WITH_TARGET).then_some(target));
        row.push(strokes);
        row.extend((width >= WITH_PEG).then_some(spread));
        row.push(stake);
        row
    };
    let heads = [
        "", "par", unit, "tee shot", "aim", "strokes", "spread", "at stake",
    ];
    rows.push(columns("peg".into(), "at".into(), heads.map(String::from)));
    let spread = |spread: Option<f64>| spread.map_or("–".into(), |s| format!("{s:.2}"));
    for (plan, hole) in plans.iter().zip(&total.holes) {
        let unit = plan.unit();
        let shot = &plan.choice.shot;
        let club = crate::plan::sentence::club(&shot.club);
        let manner = if plan.choice.is_two_way && shot.part_swing.is_none() {
            "two-way".to_owned()
        } else {
            shot.manner(unit)
        };
        let peg = spoken(plan, |shot| {
            across_short(shot.from_left_m, shot.teeing_width_m, unit)
        });
        let stake = if hole.at_stake > 0.0 {
            format!("{:.2}", hole.at_stake)
        } else {
            "–".into()
        };
        rows.push(columns(
            peg,
            card(plan, None).aim,
            [
                hole.reference.clone(),
                hole.par.to_string(),
                whole(plan.hole.length_m, unit).to_string(),
                format!("{club}, {manner}"),
                shot.aim.short(unit),
                format!("{:.2}", hole.expected_score),
                spread(hole.spread),
                stake,
            ],
        ));
    }
    let length_m: f64 = plans.iter().map(|plan| plan.hole.length_m).sum();
    let all = [
        "all".into(),
        total.par.to_string(),
        plans
            .first()
            .map_or_else(String::new, |plan| whole(length_m, plan.unit()).to_string()),
        String::new(),
        String::new(),
        format!("{:.2}", total.expected_score),
        spread(total.spread),
        String::new(),
    ];
    rows.push(columns(String::new(), String::new(), all));
    section(out, "Hole by hole", &rows, width);
    out.push('\n');
    let par_three = if plans.iter().any(|plan| plan.hole.par == 3) {
        ", on a par 3 from the pin"
    } else {
        ""
    };
    let counted =
        format!("aim: counted from the middle of the fairway where the ball lands{par_three}.");
    bullet(out, &counted, width);
    for line in &total.words {
        bullet(out, line, width);
    }
    for line in however_played(plans) {
        bullet(out, &line, width);
    }
    if !setting.full {
        others(out, plans, setting);
    }
}

/// On which holes the tee shot changes with how wide the player scatters.
fn however_played(plans: &[Plan]) -> Vec<String> {
    let told = || plans.iter().filter(|plan| plan.robust.is_some());
    let mut lines: Vec<String> = told()
        .map(|plan| (plan, changes(plan, Share::All)))
        .filter(|(_, changes)| !changes.is_empty())
        .map(|(plan, changes)| format!("{}: {changes}.", named(plan)))
        .collect();
    let all = told().count();
    if all == plans.len() && lines.is_empty() {
        lines.push("Every tee shot holds however you play.".into());
    } else if all > lines.len() {
        let how_many = if all == plans.len() {
            "All other tee shots hold".to_owned()
        } else {
            format!("{} tee shots hold", all - lines.len())
        };
        lines.push(format!("{how_many} however you play."));
    }
    lines
}

/// Of each hole the player's own shots and the other winds, pins and play.
fn others(out: &mut String, plans: &[Plan], setting: &Setting) {
    for plan in plans {
        for own in &plan.own_shots {
            let name = own_shot::shorter(own, plan.unit());
            let cost = cost(own.costs, own.costs_standard_error);
            let line = format!("{}: yours, {name}: {cost}.", named(plan));
            bullet(out, &line, setting.width);
        }
        let what_if = what_if(plan, Share::All);
        if !what_if.is_empty() {
            let line = format!("{}: {what_if}.", named(plan));
            bullet(out, &line, setting.width);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_are_as_long_as_a_line_lets_them_be() {
        let counts = [("fairway", 58), ("rough", 29), ("bunker", 13), ("trees", 0)];
        let long = bars("", &counts, 80);
        assert!(
            long.starts_with(&format!("fairway 58 {}, rough", "█".repeat(23))),
            "{long}"
        );
        for room in 40..90 {
            let set = bars("", &counts, room);
            assert!(set.chars().count() <= room, "{room}: {set}");
            assert!(set.contains("bunker 13") && !set.contains("trees"), "{set}");
        }
        assert_eq!(bars("", &counts, 30), "fairway 58, rough 29, bunker 13");
        assert_eq!(bars("4.42", &[], 30), "4.42 strokes");
    }
}
