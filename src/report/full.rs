//! The whole report: the sentence, what it costs to do otherwise, and every table.

use super::layout::{bullet, list, section, wrap};
use crate::plan::round::hundredths;
use crate::plan::sentence::{capital, mown, part_swing, shot_name};
use crate::plan::what_if::{point, what_stays};
use crate::plan::whole_hole::{ObjectiveFacts, WholeHole};
use crate::plan::why::{cost_alone, is_tie, shown_error};
use crate::plan::wind::{compass, eighth, is_windy, speed};
use crate::plan::{Carry, Finish, Plan, Shot, Width, own_shot};
use crate::units::LengthUnit;

/// Alternatives shown; the plan file has them all.
const SHOWN: usize = 6;

/// The report below the decision, `width` columns wide.
pub(super) fn tables(out: &mut String, plan: &Plan, width: usize) {
    let unit = plan.unit();
    out.push('\n');
    wrap(out, &plan.words.sentence, width, "  ");
    out.push('\n');
    for line in &plan.words.why {
        bullet(out, line, width);
    }
    list(out, "Aim", &plan.set_up.words, width);
    if let Some(whole) = &plan.whole_hole {
        list(out, "The whole hole", &whole.words, width);
        section(
            out,
            "What the tee shot is good for",
            &aims_of_play(whole, plan.unit()),
            width,
        );
    }
    section(out, "Where 100 balls end", &finishes(plan), width);
    section(
        out,
        "Other clubs and shapes",
        &alternatives(plan, unit),
        width,
    );
    let listed = plan.listed_alternatives().take(SHOWN).count();
    if plan.alternatives.len() > listed {
        let more = plan.alternatives.len() - listed;
        wrap(
            out,
            &format!("and {more} more in the plan file"),
            width,
            "  ",
        );
    }
    if !plan.choice.ties.is_empty() {
        let ties = format!("No worse: {}.", plan.choice.ties.join("; "));
        wrap(out, &ties, width, "  ");
    }
    own_shots(out, plan, width);
    section(
        out,
        "If the wind, the pin or your play is another",
        &what_if(plan, unit),
        width,
    );
    for line in what_if_words(plan, unit) {
        bullet(out, &line, width);
    }
    if let Some(robust) = &plan.robust {
        list(out, HOWEVER_PLAYED, &robust.words(unit), width);
    }
    section(
        out,
        "Carries from the tee",
        &carries(&plan.carries, plan.choice.shot.total_m, unit),
        width,
    );
    section(out, "Fairway", &widths(&plan.widths, unit), width);
}

/// The player's own shots beside the plan: a table, then each in words.
fn own_shots(out: &mut String, plan: &Plan, width: usize) {
    section(out, OWN_SHOTS, &own_shot_rows(plan), width);
    for own in &plan.own_shots {
        let words = format!("{}. {}", own.number, own.words.join(" "));
        bullet(out, &words, width);
    }
}

pub(super) const HOWEVER_PLAYED: &str = "If you scatter less or more";
pub(super) const OWN_SHOTS: &str = "Your own shots instead";

/// The plan and the player's own shots, a row each.
pub(super) fn own_shot_rows(plan: &Plan) -> Rows {
    if plan.own_shots.is_empty() {
        return Vec::new();
    }
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let row = |name: String, shot: &Shot, costs: String| {
        let finish = &shot.finish;
        let shares = [
            finish.fairway + finish.green,
            finish.rough,
            finish.bunker,
            finish.trees,
            finish.penalty_area + finish.out_of_bounds,
        ];
        let mut row = vec![name, format!("{:.2}", shot.expected_strokes), costs];
        row.extend(shares.map(percent));
        row
    };
    let mut rows: Rows = vec![
        [
            "", "strokes", "costs", "mown", "rough", "sand", "trees", "lost",
        ]
        .map(String::from)
        .into(),
    ];
    let choice = &plan.choice.shot;
    let unit = plan.unit();
    let name = choice.name(unit);
    rows.push(row(format!("the plan: {name}"), choice, "–".into()));
    for own in &plan.own_shots {
        let name = format!("{}. {}", own.number, own_shot::short(own, unit));
        let costs = if own_shot::is_plan(own) {
            "–".into()
        } else {
            full_cost(own.costs, own.costs_standard_error)
        };
        rows.push(row(name, &own.shot, costs));
    }
    rows
}

/// What other winds and pins change and what they do not, a line each.
pub(super) fn what_if_words(plan: &Plan, unit: LengthUnit) -> Vec<String> {
    let club = crate::plan::sentence::club(&plan.choice.shot.club);
    let mut words = what_stays(&plan.what_if, &club, unit, &|m_s| speed(m_s, unit));
    if !words.is_empty() {
        words.push(
            "Aims are beside the plan's, where the ball lands. What would gain 0.02 strokes or points or \
             half a chance in 100 at most, or nothing beyond chance, stays as planned. The last \
             column is what the plan's own club, peg and aim cost then."
                .into(),
        );
    }
    if plan.what_if.iter().any(|case| case.kind == "play") {
        words.push(
            "Tighter and wider play are the ends of the range that holds your scatter on a course in \
             eight cases of ten."
                .into(),
        );
    }
    if plan.what_if.iter().any(|case| case.kind == "wind") {
        words.push(other_winds_count(plan).into());
    }
    words
}

/// What strokes in another wind count.
fn other_winds_count(plan: &Plan) -> &'static str {
    if plan.whole_hole.is_none() {
        "In these winds strokes count what the wind does to the tee shot only: the published table \
         knows no wind."
    } else {
        "In these winds strokes count the wind on every shot to the last putt."
    }
}

/// One row a case: what changes in club, peg and aim; a dash is no change.
pub(super) fn what_if(plan: &Plan, unit: LengthUnit) -> Rows {
    let mut rows = Rows::new();
    let windy = plan.what_if.iter().any(|case| case.kind == "wind");
    for case in &plan.what_if {
        if rows.is_empty() {
            let mut head = vec!["if".to_owned()];
            head.extend(windy.then(|| "to this shot".to_owned()));
            let [peg, aim] = ["peg", "aim"].map(|what| format!("{what}, {}", unit.name()));
            let rest = ["club", &peg, &aim, "carry", "strokes", "plan kept"];
            head.extend(rest.map(String::from));
            rows.push(head);
        }
        let mut row = vec![match case.kind.as_str() {
            "pin" => format!("pin {}", case.pin),
            "play" => format!("{} play", case.play),
            _ => {
                let from = point(case.wind_from_deg);
                format!("{} {from}", speed(case.wind_m_s, unit))
            }
        }];
        if windy {
            let bearing = plan.choice.shot.aim.bearing_deg;
            row.push(match case.kind.as_str() {
                "wind" => eighth(case.wind_from_deg, bearing).to_owned(),
                _ => String::new(),
            });
        }
        let sideways = |metres: f64, decimals: usize| {
            let value = unit.of(metres);
            if value.abs() < 0.5 {
                "–".to_owned()
            } else {
                let side = if value < 0.0 { "L" } else { "R" };
                format!("{:.decimals$} {side}", value.abs())
            }
        };
        row.extend([
            if case.same_club {
                "–".into()
            } else if let Some(part) = case.part_swing
                && case.club == plan.choice.shot.club
            {
                capital(&part_swing(part, unit))
            } else if case.part_swing.is_none() && case.shape == plan.choice.shot.shape {
                capital(&crate::plan::sentence::club(&case.club))
            } else {
                capital(&shot_name(&case.club, &case.shape, case.part_swing, unit))
            },
            sideways(case.peg_right_m, 1),
            sideways(case.aim_right_m, 0),
            format!("{:.0}", unit.of(case.carry_m)),
            format!("{:.2}", case.strokes),
            match case.keep_shot {
                Some(c) if is_tie(c.costs, c.standard_error) => "no worse".into(),
                Some(c) => match case.costs_unit.as_str() {
                    "chance" => {
                        let less = if c.costs > 0.0 { "fewer" } else { "more" };
                        format!("{:.1} {less} in 100", c.costs.abs() * 100.0)
                    }
                    "points" => {
                        let verb = if c.costs > 0.0 { "costs" } else { "gains" };
                        format!("{verb} {:.2} points", c.costs.abs())
                    }
                    _ => cost_alone(c.costs, c.standard_error),
                },
                None => "no ball in play".into(),
            },
        ]);
        rows.push(row);
    }
    rows
}

/// "calm", or "wind 10 mph from the W".
pub(super) fn wind(wind_m_s: f64, from_deg: f64, unit: LengthUnit) -> String {
    if !is_windy(wind_m_s) {
        return "calm".into();
    }
    format!(
        "wind {} from the {}",
        speed(wind_m_s, unit),
        compass(from_deg)
    )
}

fn percent(share: f64) -> String {
    let percent = share * 100.0;
    if share > 0.0 && percent < 0.5 {
        "<1 %".into()
    } else {
        format!("{percent:.0} %")
    }
}

/// A table: a heading and a row each.
pub(super) type Rows = Vec<Vec<String>>;
/// One kind of finish out of all.
type ShareOf = fn(&Finish) -> f64;

/// An objective in a table.
fn aim_words(aim: &str, net: bool) -> &'static str {
    match (aim, net) {
        ("par", _) => "par or better",
        ("no-double", _) => "bogey or better",
        ("points", false) => "Stableford points, gross",
        ("points", true) => "Stableford points, net",
        ("match", false) => "winning the hole",
        ("match", true) => "winning the hole, net",
        _ => "strokes",
    }
}

/// One row an objective: what the plan's shot is worth by it, and the best.
pub(super) fn aims_of_play(whole: &WholeHole, unit: LengthUnit) -> Rows {
    let mut rows = Rows::new();
    let tied = |aim: &ObjectiveFacts| is_tie(aim.plan_costs, aim.plan_costs_standard_error);
    // Where all agree the words have said it.
    if whole.aims_of_play.iter().all(tied) {
        return rows;
    }
    for aim in &whole.aims_of_play {
        if rows.is_empty() {
            rows.push(
                ["", "this plan", "best", "with (aim beside the plan's)"]
                    .map(String::from)
                    .into(),
            );
        }
        let worth = |worth: f64| match aim.unit.as_str() {
            "chance" => format!("{:.1} in 100", worth * 100.0),
            _ => format!("{worth:.2}"),
        };
        let tie = tied(aim);
        let words = aim_words(&aim.aim, whole.received.is_some());
        rows.push(vec![
            if aim.aim == whole.decided_for && aim.aim != "strokes" {
                format!("{words} (decided for)")
            } else {
                words.into()
            },
            worth(aim.worth_of_plan),
            if tie {
                "no better".into()
            } else {
                worth(aim.worth)
            },
            if tie {
                String::new()
            } else {
                format!(
                    "{} {}",
                    shot_name(&aim.club, &aim.shape, aim.part_swing, unit),
                    direction(aim.aim_right_of_plan_deg)
                )
            },
        ]);
    }
    rows
}

/// One row a kind of finish, one column a shot.
fn finishes(plan: &Plan) -> Rows {
    let mut columns: Vec<(String, &Finish, f64)> = vec![(
        "this plan".into(),
        &plan.choice.shot.finish,
        plan.choice.shot.expected_strokes,
    )];
    columns.extend(
        plan.comparisons
            .iter()
            .map(|c| (c.name.clone(), &c.shot.finish, c.shot.expected_strokes)),
    );
    let mut rows: Rows = vec![
        std::iter::once(String::new())
            .chain(columns.iter().map(|c| c.0.clone()))
            .collect(),
    ];
    let kinds: [(&str, ShareOf); 7] = [
        (mown(plan.hole.par), |f| f.fairway),
        ("green", |f| f.green),
        ("rough", |f| f.rough),
        ("bunker", |f| f.bunker),
        ("trees", |f| f.trees),
        ("penalty area", |f| f.penalty_area),
        ("out of bounds", |f| f.out_of_bounds),
    ];
    let counts: Vec<[u32; 7]> = columns
        .iter()
        .map(|column| hundredths(&kinds.map(|(_, share)| share(column.1))))
        .collect();
    for (at, (name, share)) in kinds.into_iter().enumerate() {
        if columns.iter().any(|c| share(c.1) > 0.0) {
            let shown = columns.iter().zip(&counts).map(|(column, counts)| {
                if counts[at] == 0 && share(column.1) > 0.0 {
                    "<1".to_owned()
                } else {
                    counts[at].to_string()
                }
            });
            rows.push(std::iter::once(name.to_string()).chain(shown).collect());
        }
    }
    rows.push(
        std::iter::once("strokes".to_string())
            .chain(columns.iter().map(|c| format!("{:.2}", c.2)))
            .collect(),
    );
    rows
}

fn alternatives(plan: &Plan, unit: LengthUnit) -> Rows {
    let mut rows = Rows::new();
    for other in plan.listed_alternatives().take(SHOWN) {
        if rows.is_empty() {
            rows.push(
                ["", "carry", "aim", mown(plan.hole.par), "costs"]
                    .map(String::from)
                    .into_iter()
                    .collect(),
            );
        }
        let shot = &other.shot;
        rows.push(vec![
            capital(&shot.name(unit)),
            format!("{:.0} {}", unit.of(shot.carry_m), unit.name()),
            shot.aim.short(unit),
            percent(shot.finish.fairway + shot.finish.green),
            full_cost(other.costs, other.costs_standard_error),
        ]);
    }
    if let (Some(head), true) = (
        rows.first_mut(),
        plan.listed_alternatives()
            .take(SHOWN)
            .any(|a| a.shot.finish.green > 0.0),
    ) {
        head[3] = format!("{}, green", mown(plan.hole.par));
    }
    rows
}

/// "0.12 ± 0.02", the error rounded up, or "no worse": the report tells the error too.
pub(super) fn full_cost(costs: f64, standard_error: f64) -> String {
    let words = cost_alone(costs, standard_error);
    if is_tie(costs, standard_error) {
        words
    } else {
        format!("{words} ± {:.2}", shown_error(standard_error))
    }
}

/// "3.2° R" of the plan's aim.
fn direction(degrees: f64) -> String {
    match degrees {
        d if d.abs() < 0.05 => "straight".into(),
        d if d < 0.0 => format!("{:.1}° L", -d),
        d => format!("{d:.1}° R"),
    }
}

fn carries(carries: &[Carry], total_m: f64, unit: LengthUnit) -> Rows {
    let mut rows = Rows::new();
    for hazard in carries {
        if rows.is_empty() {
            rows.push(
                ["", "where", "from your line", "balls in it"]
                    .map(String::from)
                    .into_iter()
                    .collect(),
            );
        }
        let off = match unit.of(hazard.offset_m).round() {
            o if o.abs() < 0.5 && hazard.is_reached(total_m) => "on it".to_string(),
            // The line comes to it behind the usual ball only.
            o if o.abs() < 0.5 => "past your ball".to_string(),
            o if o < 0.0 => format!("{:.0} {} left", -o, unit.name()),
            o => format!("{o:.0} {} right", unit.name()),
        };
        rows.push(vec![
            hazard.words.clone(),
            hazard.stretch(unit),
            off,
            percent(hazard.share),
        ]);
    }
    rows
}

fn widths(widths: &[Width], unit: LengthUnit) -> Rows {
    let mut rows = Rows::new();
    for cut in widths {
        if rows.is_empty() {
            rows.push(
                ["", "from the peg", "wide"]
                    .map(String::from)
                    .into_iter()
                    .collect(),
            );
        }
        let name = match cut.place {
            "short" => "short of the landing",
            "landing" => "where it lands",
            "long" => "past the landing",
            _ => "where it ends",
        };
        rows.push(vec![
            name.into(),
            format!("{:.0} {}", unit.of(cut.distance_m), unit.name()),
            format!("{:.0} {}", unit.of(cut.width_m), unit.name()),
        ]);
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_words() {
        assert_eq!(percent(0.0), "0 %");
        assert_eq!(percent(0.001), "<1 %");
        assert_eq!(percent(0.125), "12 %");
        assert_eq!(direction(-3.21), "3.2° L");
        assert_eq!(direction(0.01), "straight");
    }
}
