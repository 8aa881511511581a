//! Plan to Markdown (CommonMark, with the pipe tables that most readers know).

use std::fmt::Write;

use crate::diagnostic::sentence;
use crate::plan::round::hundredths;
use crate::plan::sentence::{capital, mown};
use crate::plan::wind::{is_windy, to_the_aim};
use crate::plan::{Plan, Shot};
use crate::units::LengthUnit;

/// Alternatives shown, as in the terminal's report.
const SHOWN: usize = 6;

/// "calm", or "wind 10 mph from the W (7 into, 7 off the left)".
fn wind(plan: &Plan, unit: LengthUnit) -> String {
    let day = &plan.conditions;
    let wind = super::full::wind(day.wind_m_s, day.wind_from_deg, unit);
    let aim_deg = plan.choice.shot.aim.bearing_deg;
    match to_the_aim(day.wind_m_s, day.wind_from_deg, aim_deg, unit).as_str() {
        to_the_aim if is_windy(day.wind_m_s) && !to_the_aim.is_empty() => {
            format!("{wind} ({to_the_aim})")
        }
        _ => wind,
    }
}

/// The plan as Markdown, with a line break at the end.
#[must_use]
pub fn markdown(plan: &Plan) -> String {
    let unit = plan.unit();
    let mut out = String::new();
    let hole = &plan.hole;
    let name = hole.name.as_deref().unwrap_or_default();
    let title = format!("Hole {} {name}", hole.reference);
    let _ = writeln!(out, "# {}\n", plain(title.trim()));
    let tee = hole.tee_colour.as_deref().map(|c| format!(", {c} tee"));
    let pin = hole.pin_from.words().map(|pin| format!(", {pin}"));
    let day = &plan.conditions;
    let _ = writeln!(
        out,
        "Par {}, {}{}{}. For {}: {}, {:.0} °C, {} ground.\n",
        hole.par,
        length(hole.length_m, unit),
        plain(&tee.unwrap_or_default()),
        pin.unwrap_or_default(),
        plain(&plan.player.name),
        wind(plan, unit),
        day.temperature_c,
        plain(&day.firmness),
    );
    for line in &plan.check_first {
        let _ = writeln!(out, "**Check first:** {}.\n", plain(line));
    }
    let _ = writeln!(out, "**{}**\n", plain(&plan.words.sentence));
    if !plan.words.note.is_empty() {
        let _ = writeln!(out, "Your note: {}\n", plain(&plan.words.note));
    }
    for line in &plan.words.why {
        let _ = writeln!(out, "- {}", plain(line));
    }
    list(&mut out, "Aim", &plan.set_up.words);
    if let Some(whole) = &plan.whole_hole {
        list(&mut out, "The whole hole", &whole.words);
        table(
            &mut out,
            "What the tee shot is good for",
            &super::full::aims_of_play(whole, plan.unit()),
        );
    }
    finishes(&mut out, plan);
    others(&mut out, plan);
    table(
        &mut out,
        super::full::OWN_SHOTS,
        &super::full::own_shot_rows(plan),
    );
    for own in &plan.own_shots {
        let words = format!("{}. {}", own.number, own.words.join(" "));
        let _ = writeln!(out, "\n{}", plain(&words));
    }
    table(
        &mut out,
        "If the wind, the pin or your play is another",
        &super::full::what_if(plan, unit),
    );
    for line in super::full::what_if_words(plan, unit) {
        let _ = writeln!(out, "\n{}", plain(&line));
    }
    if let Some(robust) = &plan.robust {
        list(&mut out, super::full::HOWEVER_PLAYED, &robust.words(unit));
    }
    carries(&mut out, plan, unit);
    list(&mut out, "Notes", &plan.notes);
    list(&mut out, "Take care", &plan.cautions);
    out
}

/// Text that means nothing in Markdown or HTML: what could is escaped.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in sentence(text).chars() {
        match c {
            '<' => out.push_str("&lt;"),
            '&' => out.push_str("&amp;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '#' | '|' | '~' | '!' | '>' => {
                out.push('\\');
                out.push(c);
            }
            c => out.push(c),
        }
    }
    out
}

fn length(metres: f64, unit: LengthUnit) -> String {
    format!("{:.0} {}", unit.of(metres), unit.name())
}

fn finishes(out: &mut String, plan: &Plan) {
    let shares = &plan.choice.shot.finish;
    let _ = writeln!(
        out,
        "\n## Where 100 balls end\n\n| lie | of 100 |\n| --- | ---: |"
    );
    let kinds = [
        (mown(plan.hole.par), shares.fairway),
        ("green", shares.green),
        ("rough", shares.rough),
        ("bunker", shares.bunker),
        ("trees", shares.trees),
        ("penalty area", shares.penalty_area),
        ("out of bounds", shares.out_of_bounds),
    ];
    let counts = hundredths(&kinds.map(|(_, share)| share));
    for ((name, share), count) in kinds.into_iter().zip(counts) {
        if count > 0 {
            let _ = writeln!(out, "| {name} | {count} |");
        } else if share > 0.0 {
            let _ = writeln!(out, "| {name} | \\<1 |");
        }
    }
}

fn others(out: &mut String, plan: &Plan) {
    let choice = &plan.choice.shot;
    let _ = writeln!(
        out,
        "\n## What else would cost\n\nThe plan: {:.2} strokes to hole out.\n\n\
         | instead | costs |\n| --- | ---: |",
        choice.expected_strokes
    );
    let named = |shot: &Shot| capital(&shot.name(plan.unit()));
    let rows = plan
        .comparisons
        .iter()
        .map(|c| {
            let name = capital(&c.name);
            (name, c.costs, c.costs_standard_error)
        })
        .chain(
            plan.listed_alternatives()
                .take(SHOWN)
                .map(|a| (named(&a.shot), a.costs, a.costs_standard_error)),
        );
    for (name, costs, error) in rows {
        let words = super::full::full_cost(costs, error);
        let _ = writeln!(out, "| {} | {words} |", plain(&name));
    }
}

fn carries(out: &mut String, plan: &Plan, unit: LengthUnit) {
    if plan.carries.is_empty() {
        return;
    }
    let _ = writeln!(
        out,
        "\n## Carries from the tee, {}\n\n\
         | what | where | balls, of 100 |\n| --- | ---: | ---: |",
        unit.name()
    );
    for carry in &plan.carries {
        let _ = writeln!(
            out,
            "| {} | {} | {:.1} |",
            plain(&carry.words),
            carry.stretch(unit),
            carry.share * 100.0
        );
    }
}

/// Rows of cells, the first the heading; nothing for no rows.
fn table(out: &mut String, title: &str, rows: &[Vec<String>]) {
    let Some((head, body)) = rows.split_first() else {
        return;
    };
    let row = |cells: &[String]| {
        let cells: Vec<String> = cells.iter().map(|cell| plain(cell)).collect();
        format!("| {} |", cells.join(" | "))
    };
    let rule: Vec<&str> = (0..head.len())
        .map(|at| if at == 0 { "---" } else { "---:" })
        .collect();
    let _ = writeln!(
        out,
        "\n## {title}\n\n{}\n| {} |",
        row(head),
        rule.join(" | ")
    );
    for cells in body {
        let _ = writeln!(out, "{}", row(cells));
    }
}

fn list(out: &mut String, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n## {title}\n");
    for line in lines {
        let _ = writeln!(out, "- {}", plain(line));
    }
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn names_are_text() {
        assert_eq!(
            plain("<b>|a|</b> *x* [y](z)\n# t"),
            "&lt;b\\>\\|a\\|&lt;/b\\> \\*x\\* \\[y\\](z) \\# t"
        );
    }
}
