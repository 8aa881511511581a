//! A review as text for a terminal, as Markdown and as JSON.

use std::fmt::Write as _;

use super::account::Figure;
use super::words::{
    UNKNOWNS, ball, estimate, fading, inside, leans, learnt, mishits, next, parts, round,
    short_game, signed,
};
use super::{PlayedTee, Review, Round};
use crate::diagnostic::{json as harmless, printable, sentence};
use crate::player::Player;
use crate::player::course_play::CoursePlay;

/// The review for a terminal: a paragraph a line, tables indented.
#[must_use]
pub fn text(review: &Review) -> String {
    let mut out = String::new();
    let one = review.rounds.len() == 1;
    for round in &review.rounds {
        of_round(&mut out, round, one);
    }
    if !one {
        season(&mut out, review);
    }
    let patterns = std::iter::once(inside(&review.patterns.inside)).chain(leans(review));
    for line in patterns {
        let _ = writeln!(out, "{line}");
    }
    let _ = writeln!(out, "\n{}", learnt(review));
    if review.teaches() {
        course_play(&mut out, review);
        for line in next(review) {
            let _ = writeln!(out, "{line}");
        }
    }
    if !review.notes.is_empty() {
        out.push('\n');
    }
    for note in &review.notes {
        let _ = writeln!(out, "{note}");
    }
    sentences(&out)
}

/// Nothing in it that a terminal would obey.
fn sentences(text: &str) -> String {
    let lines: Vec<String> = text.lines().map(sentence).collect();
    lines.join("\n")
}

fn of_round(out: &mut String, one: &Round, with_holes: bool) {
    let file = printable(&one.file);
    let Some(total) = &one.total else {
        let _ = writeln!(out, "{file}: no score is written.\n");
        if with_holes {
            holes(out, &one.holes);
        }
        return;
    };
    let _ = writeln!(out, "{file}: {}\n", round(total));
    if !with_holes {
        return;
    }
    let _ = writeln!(out, "Strokes more than the plan has (−: fewer):");
    for (name, [strokes, _], remark) in parts(total) {
        let line = format!("  {name:<15} {:>6}  {remark}", signed(strokes));
        let _ = writeln!(out, "{}", line.trim_end());
    }
    out.push('\n');
    holes(out, &one.holes);
}

/// A row for every hole.
fn holes(out: &mut String, holes: &[PlayedTee]) {
    let width = |of: &dyn Fn(&PlayedTee) -> String, least: usize| {
        let widths = holes.iter().map(|tee| of(tee).chars().count());
        widths.max().unwrap_or(0).max(least)
    };
    let name = |tee: &PlayedTee| printable(&tee.reference);
    let club = |tee: &PlayedTee| tee.club.as_deref().map_or_else(|| "?".into(), short);
    let (wide_name, wide_club) = (width(&name, 4), width(&club, 8));
    let _ = writeln!(
        out,
        "  {:<wide_name$} {:>3}  {:<wide_club$} {:>5} {:>7} {:>6} {:>5} {:>5}  the ball",
        "hole", "par", "you hit", "score", "average", "choice", "tee", "after"
    );
    for tee in holes {
        let figure = |figure: Option<Figure>| {
            figure.map_or_else(|| "-".into(), |figure| signed(figure.strokes))
        };
        let score = tee
            .score
            .map_or_else(|| "-".into(), |score| score.to_string());
        let row = format!(
            "  {:<wide_name$} {:>3}  {:<wide_club$} {score:>5} {:>7.2} {:>6} {:>5} {:>5}  {}",
            name(tee),
            tee.par,
            club(tee),
            tee.expected.strokes,
            figure(tee.account.decision),
            figure(tee.account.strike),
            figure(tee.account.after),
            ball(tee)
        );
        let _ = writeln!(out, "{}", row.trim_end());
    }
    let others: Vec<&PlayedTee> = holes
        .iter()
        .filter(|tee| {
            tee.account
                .decision
                .is_some_and(|figure| figure.strokes != 0.0)
        })
        .collect();
    for tee in others {
        let _ = writeln!(out, "  The plan for hole {}: {}.", name(tee), tee.plan);
    }
    out.push('\n');
}

/// Club and shape in few letters: "driver draw".
fn short(name: &str) -> String {
    name.replace(", your ", " ")
}

/// The means of several rounds.
fn season(out: &mut String, review: &Review) {
    let totals = review
        .rounds
        .iter()
        .filter_map(|round| round.total.as_ref());
    let totals: Vec<_> = totals.collect();
    if totals.is_empty() {
        return;
    }
    let count = totals.len() as f64;
    let mean = |of: &dyn Fn(&super::Total) -> f64| {
        totals.iter().map(|total| of(total)).sum::<f64>() / count
    };
    let mean_of = |of: fn(&super::Total) -> Option<Figure>| {
        let known: Vec<f64> = totals
            .iter()
            .filter_map(|total| Some(of(total)?.strokes))
            .collect();
        (!known.is_empty()).then(|| known.iter().sum::<f64>() / count)
    };
    let spread = mean(&|total| total.spread * total.spread).sqrt() / count.sqrt();
    let over = mean(&|total| total.score as f64 - total.expected.strokes);
    let _ = writeln!(
        out,
        "{} rounds: {} a round against your average here; by luck alone two such seasons in three lie \
         within {spread:.1}. A round of them:",
        totals.len(),
        signed(over)
    );
    let rows = [
        ("choice of club", mean_of(|total| total.decision)),
        ("tee shots", mean_of(|total| total.strike)),
        ("what followed", mean_of(|total| total.after)),
        ("not told apart", mean_of(|total| total.not_split)),
    ];
    for (name, strokes) in rows {
        if let Some(strokes) = strokes {
            let _ = writeln!(out, "  {name:<15} {:>6}", signed(strokes));
        }
    }
    out.push('\n');
}

fn course_play(out: &mut String, review: &Review) {
    let _ = writeln!(
        out,
        "How many times as wide as on the range (in brackets what holds it in eight cases of ten):"
    );
    let _ = writeln!(out, "  {:<24}  {:<20}  now", "", "before");
    let learnt = &review.course_play;
    let rows = learnt
        .before
        .all()
        .into_iter()
        .zip(learnt.after.all())
        .zip(UNKNOWNS);
    for ((before, after), name) in rows {
        let _ = writeln!(
            out,
            "  {name:<24}  {:<20}  {}",
            estimate(&before),
            estimate(&after)
        );
    }
    let _ = writeln!(out, "{}", mishits(review));
    if let Some(line) = short_game(review) {
        let _ = writeln!(out, "{line}");
    }
    if review.rounds.len() > 1 {
        let _ = writeln!(out, "{}", fading(review));
    }
    out.push('\n');
}

/// The review as Markdown, with standard errors.
#[must_use]
pub fn markdown(review: &Review) -> String {
    let mut out = String::from("# Looking back\n");
    for one in &review.rounds {
        let _ = writeln!(out, "\n## {}\n", escaped(&one.file));
        match &one.total {
            None => out.push_str("No score is written.\n"),
            Some(total) => {
                let _ = writeln!(out, "{}\n", escaped(&round(total)));
                out.push_str(
                    "| more than the plan has (−: fewer) | strokes | ± |\n| --- | --: | --: |\n",
                );
                for (name, [strokes, error], _) in parts(total) {
                    let _ = writeln!(out, "| {name} | {} | {error:.2} |", signed(strokes));
                }
            }
        }
        out.push_str(
            "\n| hole | par | you hit | the plan | score | average | choice | tee shot | after | the ball |\n\
             | --- | --: | --- | --- | --: | --: | --: | --: | --: | --- |\n",
        );
        for tee in &one.holes {
            let _ = writeln!(out, "{}", markdown_row(tee));
        }
    }
    let _ = writeln!(
        out,
        "\n## Tee shots and their patterns\n\n{}",
        inside(&review.patterns.inside)
    );
    for line in leans(review) {
        let _ = writeln!(out, "\n{line}");
    }
    let _ = writeln!(out, "\n## What it teaches\n\n{}", escaped(&learnt(review)));
    if review.teaches() {
        out.push_str("\n| times as wide as on the range | before (80 %) | now (80 %) |\n| --- | --- | --- |\n");
        let learnt = &review.course_play;
        let rows = learnt
            .before
            .all()
            .into_iter()
            .zip(learnt.after.all())
            .zip(UNKNOWNS);
        for ((before, after), name) in rows {
            let _ = writeln!(
                out,
                "| {name} | {} | {} |",
                estimate(&before),
                estimate(&after)
            );
        }
        let _ = writeln!(out, "\n{}", mishits(review));
        if let Some(line) = short_game(review) {
            let _ = writeln!(out, "\n{line}");
        }
        for line in next(review) {
            let _ = writeln!(out, "\n{}", escaped(&line));
        }
    }
    for note in &review.notes {
        let _ = writeln!(out, "\n{}", escaped(note));
    }
    out
}

fn markdown_row(tee: &PlayedTee) -> String {
    let figure = |figure: Option<Figure>| {
        figure.map_or_else(
            || "-".into(),
            |figure| format!("{} ± {:.2}", signed(figure.strokes), figure.standard_error),
        )
    };
    format!(
        "| {} | {} | {} | {} | {} | {:.2} | {} | {} | {} | {} |",
        escaped(&tee.reference),
        tee.par,
        escaped(tee.club.as_deref().unwrap_or("not written")),
        escaped(&tee.plan),
        tee.score
            .map_or_else(|| "-".into(), |score| score.to_string()),
        tee.expected.strokes,
        figure(tee.account.decision),
        figure(tee.account.strike),
        figure(tee.account.after),
        ball(tee)
    )
}

/// Text from a file, with what Markdown would take for marks escaped.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in printable(text).chars() {
        if "\\`*_[]<>#|".contains(c) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

/// The review as JSON, figures to four decimals.
#[must_use]
pub fn json(review: &Review) -> String {
    let mut value = serde_json::to_value(review).unwrap_or_default();
    rounded(&mut value, "");
    // Plain values and strings: writing them cannot fail.
    let mut text = serde_json::to_string_pretty(&value).unwrap_or_default();
    text.push('\n');
    harmless(&text)
}

/// Every number to four decimals, degrees to seven and probabilities as they are.
fn rounded(value: &mut serde_json::Value, key: &str) {
    match value {
        serde_json::Value::Number(number) if number.is_f64() => {
            let scale = match key {
                "lon" | "lat" => 1.0e7,
                "p_value" => return,
                _ => 1.0e4,
            };
            let figure = number.as_f64().unwrap_or_default();
            *value = serde_json::json!((figure * scale).round() / scale + 0.0);
        }
        serde_json::Value::Array(all) => all.iter_mut().for_each(|one| rounded(one, key)),
        serde_json::Value::Object(all) => {
            all.iter_mut().for_each(|(key, one)| rounded(one, key));
        }
        _ => {}
    }
}

/// The player with the course play that was learnt.
#[must_use]
pub fn player(review: &Review, before: &Player) -> Player {
    let play: CoursePlay = review.course_play.after.play();
    Player {
        course_play: Some(play),
        ..before.clone()
    }
}
