//! One hole of the page in words: the call, the dial, the numbers.

use super::super::book::Chapter;
use super::super::book::{check_first, turns};
use super::super::hazards::matters;
use super::super::numbers::{instead, parts, scores};
use super::super::page::{Lengths, fixed};
use super::super::panel::{self, compass, is_windy};
use super::super::shot::{aim_words, safe};
use super::super::text;
use super::html::{both, both_html, cut, escape, short};
use super::{balls, html, map};
use crate::plan::bend::Bend;
use crate::plan::card::card_in;
use crate::plan::round::hundredths;
use crate::plan::scene::turn_deg;
use crate::plan::sentence::{self, capital, club};
use crate::plan::spoken::spoken;
use crate::plan::why::{both_ways, cost, is_tie};
use crate::plan::{Carry, Plan};
use crate::units::LengthUnit;

/// Letters of a sentence that are shown.
const SENTENCE: usize = 600;
/// Letters of a row of the card that are shown.
const ROW: usize = 240;
/// Other choices shown.
const INSTEAD: usize = 8;

/// The section of a chapter: what is seen first, then what is read.
pub fn section(index: usize, chapter: &Chapter<'_>, out: &mut String) {
    let plan = chapter.plan;
    let cases: Vec<&Plan> = std::iter::once(plan).chain(chapter.turns).collect();
    let map = map::draw(index, chapter);
    out.push_str(&format!(
        "<section class=\"hole\" id=\"hole-{index}\" aria-labelledby=\"name-{index}\" \
         tabindex=\"-1\">\n<div class=\"screen\">\n"
    ));
    title(index, chapter, out);
    out.push_str(&format!(
        "<div class=\"pictures\">\n{}{}</div>\n<div class=\"calls\">\n",
        map.svg, map.plate
    ));
    for (case, turned) in cases.iter().enumerate() {
        open(case, "call", out);
        call(turned, out);
        out.push_str("</div>\n");
    }
    out.push_str("</div>\n");
    dial(index, &cases, out);
    out.push_str("</div>\n<div class=\"rest\">\n");
    checks(index, chapter, out);
    out.push_str("<div class=\"tellings\">\n");
    for (case, turned) in cases.iter().enumerate() {
        open(case, "told", out);
        words(plan, turned, (case, cases.len()), map.left_m[case].1, out);
        out.push_str("</div>\n");
    }
    out.push_str("</div>\n");
    for (case, turned) in cases.iter().enumerate() {
        open(case, "more", out);
        numbers(turned, map.left_m[case], out);
        out.push_str("</div>\n");
    }
    out.push_str("</div>\n</section>\n");
}

/// Which hole it is; in its place stands what was tapped.
fn title(index: usize, chapter: &Chapter<'_>, out: &mut String) {
    let hole = &chapter.plan.hole;
    let name = hole.name.as_deref().map(short).unwrap_or_default();
    let reference = html::named(&hole.reference, &(index + 1).to_string());
    let tee = hole.tee_colour.as_deref().map(short).unwrap_or_default();
    let tee = if tee.is_empty() {
        tee
    } else {
        format!(" · {} tee", escape(&tee))
    };
    let pin = hole.pin_from.words().map(|pin| format!(" · {pin}"));
    let check = if check_first::sentences(chapter).next().is_some() {
        format!(" · <a class=\"check\" href=\"#check-{index}\">Check first</a>")
    } else {
        String::new()
    };
    out.push_str(&format!(
        "<div class=\"title\">\n<h2 id=\"name-{index}\"><span class=\"number\">{}</span> {}</h2>\n\
         <p class=\"facts\">par {} · {}{tee}{}{check}</p>\n\
         <p class=\"caption\" aria-live=\"polite\"></p>\n</div>\n",
        escape(&cut(&reference, 8)),
        escape(&name),
        hole.par,
        both(|l| with_unit(l, hole.length_m)),
        pin.unwrap_or_default()
    ));
}

/// Inputs that look wrong, and winds in which the hole is not reached.
fn checks(index: usize, chapter: &Chapter<'_>, out: &mut String) {
    let checks: Vec<String> = check_first::sentences(chapter).collect();
    if checks.is_empty() {
        return;
    }
    out.push_str(&format!("<div class=\"checks\" id=\"check-{index}\">\n"));
    for words in checks {
        out.push_str(&format!(
            "<p class=\"check\"><strong>Check first:</strong> {}</p>\n",
            escape(&cut(&words, SENTENCE))
        ));
    }
    out.push_str("</div>\n");
}

fn open(case: usize, what: &str, out: &mut String) {
    let hidden = if case == 0 { "" } else { " hidden" };
    out.push_str(&format!(
        "<div class=\"case {what}\" data-case=\"{case}\"{hidden}>\n"
    ));
}

fn with_unit(lengths: Lengths, metres: f64) -> String {
    format!("{}\u{a0}{}", lengths.whole(metres), lengths.name())
}

/// The winds that were looked at, as choices round a dial with the line of
/// play up: `data-turn` is where on it a wind blows from, clockwise in degrees
/// from the top; none for still air, which stands below it.
fn dial(index: usize, cases: &[&Plan], out: &mut String) {
    let north = -cases[0].hole.line_of_play_deg;
    out.push_str(&format!(
        "<fieldset class=\"dial\" data-north=\"{}\" hidden>\n\
         <legend><span class=\"unseen\">Wind, </span>hole upwards</legend>\n\
         <div class=\"rose\">\n",
        degrees(north)
    ));
    out.push_str(
        "<svg viewBox=\"-100 -100 200 200\" aria-hidden=\"true\">\
         <circle class=\"f-paper s-mist\" r=\"70\" stroke-width=\"3\"/>\
         <g class=\"north\"><path class=\"f-ink\" d=\"M0 -69L-9 -52H9Z\"/></g>\
         <g class=\"arrow\"><path class=\"s-ink\" fill=\"none\" stroke-width=\"9\" d=\"M0 -42V14\"/>\
         <path class=\"f-ink\" d=\"M0 44L-17 10H17Z\"/></g></svg>\n",
    );
    for (case, plan) in cases.iter().enumerate() {
        let day = &plan.conditions;
        let turn = if is_windy(day.wind_m_s) {
            let turn = day.wind_from_deg - plan.hole.line_of_play_deg;
            format!(" data-turn=\"{}\"", degrees(turn))
        } else {
            String::new()
        };
        let checked = if case == 0 { " checked" } else { "" };
        let words = if is_windy(day.wind_m_s) {
            escape(compass(day.wind_from_deg))
        } else {
            "calm".to_owned()
        };
        let speed = if is_windy(day.wind_m_s) {
            format!(
                "<span class=\"unseen\">, {}</span>",
                both(|l| l.speed(day.wind_m_s))
            )
        } else {
            String::new()
        };
        out.push_str(&format!(
            "<label class=\"spot\"{turn}><input type=\"radio\" name=\"wind-{index}\" \
             value=\"{case}\"{checked}><span>{words}{speed}</span></label>\n"
        ));
    }
    out.push_str("</div>\n</fieldset>\n");
}

/// 0 to 360, in whole degrees; 0 for no number.
fn degrees(angle_deg: f64) -> String {
    if angle_deg.is_finite() {
        fixed(angle_deg.rem_euclid(360.0).round() % 360.0, 0)
    } else {
        "0".to_owned()
    }
}

/// The club, what to aim at, and the wind they are for.
fn call(plan: &Plan, out: &mut String) {
    let shot = &plan.choice.shot;
    out.push_str(&format!(
        "<p class=\"club\">{} <span class=\"shape\">{}</span></p>\n",
        escape(&capital(&short(&club(&shot.club)))),
        match shot.part_swing {
            Some(part) => both(|l| sentence::part_swing(part, unit_of(l))),
            None if plan.choice.is_two_way => "two-way".to_owned(),
            None => escape(&short(&shot.shape)),
        }
    ));
    let aim = both(|l| {
        let aim = cut(&card_in(plan, None, unit_of(l)).aim, ROW);
        text::hold_units(&aim)
    });
    out.push_str(&format!("<p class=\"aim\"><b>AIM</b> {aim}</p>\n"));
    let wind = both(|l| {
        let (wind, ways) = panel::wind(plan, l);
        if ways.is_empty() {
            wind
        } else {
            format!("{wind}: {ways}")
        }
    });
    out.push_str(&format!("<p class=\"wind\">{wind}</p>\n"));
}

/// What the wind changes, the card, the sentence.
fn words(
    day: &Plan,
    plan: &Plan,
    (case, cases): (usize, usize),
    green_m: Option<[f64; 2]>,
    out: &mut String,
) {
    if cases > 1 {
        let change = if case > 0 {
            changed(day, plan)
        } else {
            "The plan for the day.".to_owned()
        };
        out.push_str(&format!("<p class=\"change\">{change}</p>\n"));
    }
    let card = |l: Lengths| card_in(plan, green_m, unit_of(l));
    let rows: [(&str, &dyn Fn(Lengths) -> String); 5] = [
        ("PEG", &|l| card(l).peg),
        ("BALL", &|l| card(l).ball),
        ("MISS", &|l| card(l).miss),
        ("THEN", &|l| card(l).then),
        ("NOTE", &|l| card(l).note),
    ];
    out.push_str("<dl class=\"card\">\n");
    for (name, words) in rows {
        if name == "NOTE" && plan.words.note.is_empty() {
            continue;
        }
        let words = both(|l| text::hold_units(&cut(&words(l), ROW)));
        row(name, &words, out);
    }
    out.push_str("</dl>\n");
    out.push_str(&format!(
        "<p class=\"sentence\">{}</p>\n",
        both(|l| text::hold_units(&cut(&said(plan, l), SENTENCE)))
    ));
}

/// What a wind changes, against the day's own.
fn changed(day: &Plan, plan: &Plan) -> String {
    let change = turns::change(day, plan);
    let what = match day.choice.shot.club == plan.choice.shot.club {
        true if change.club.is_some() && plan.choice.shot.part_swing.is_some() => "swing",
        _ => "club",
    };
    let mut words = vec![if change.club.is_some() {
        format!("Another {what}")
    } else {
        "Same club".to_owned()
    }];
    words.push(both(|l| {
        let aim = l.whole(change.aim_right_m.abs());
        if aim == "0" || aim == "1" {
            return "same aim".to_owned();
        }
        let side = sentence::side(change.aim_right_m);
        format!("aim {aim}\u{a0}{} {side}", l.name())
    }));
    if turns::peg_words(change.peg_right_m, Lengths::of_unit("yd")).is_some() {
        words.push(both(|l| {
            let moved = l.whole(change.peg_right_m.abs());
            let side = sentence::side(change.peg_right_m);
            format!("peg {moved}\u{a0}{} {side}", l.name())
        }));
    }
    if let Some((_, Some([costs, error]))) = change.club {
        words.push(if is_tie(costs, error) {
            format!("the planned {what} is no worse")
        } else {
            format!("the planned {what} {}", cost(costs, error))
        });
    }
    format!("{}.", words.join(", "))
}

/// The sentence, in a unit: the plan's own words, or the same facts in the
/// other one.
#[must_use]
pub fn said(plan: &Plan, lengths: Lengths) -> String {
    let words = &plan.words;
    let own = Lengths::of_unit(&words.unit).name();
    if lengths.name() == own {
        return text::clean(&words.sentence);
    }
    text::clean(&again(plan, unit_of(lengths)))
}

fn unit_of(lengths: Lengths) -> LengthUnit {
    if lengths.name() == "m" {
        LengthUnit::Metres
    } else {
        LengthUnit::Yards
    }
}

/// The sentence made anew from the plan's facts.
#[must_use]
pub fn again(plan: &Plan, unit: LengthUnit) -> String {
    spoken(plan, |shot| sentence::sentence(shot, unit))
}

/// Everything that is measured, from the tee upwards.
fn numbers(plan: &Plan, left: (f64, Option<[f64; 2]>), out: &mut String) {
    shot_numbers(plan, left, out);
    hazards(plan, out);
    of_hundred(plan, out);
    otherwise(plan, out);
}

fn row(name: &str, html: &str, out: &mut String) {
    out.push_str(&format!(
        "<div><dt>{}</dt><dd>{html}</dd></div>\n",
        escape(name)
    ));
}

fn strong(words: &str) -> String {
    format!("<b>{}</b>", escape(words))
}

fn shot_numbers(plan: &Plan, left: (f64, Option<[f64; 2]>), out: &mut String) {
    let shot = &plan.choice.shot;
    out.push_str("<h3>The shot</h3>\n<dl>\n");
    let aim = both_html(|l| {
        let safe = safe(plan, l)
            .map(|words| format!("; {}", escape(&words)))
            .unwrap_or_default();
        format!(
            "{}: {}{safe}",
            strong(&with_unit(l, shot.aim.distance_m)),
            escape(&cut(&aim_words(plan, l), 120))
        )
    });
    row("Aim", &aim, out);
    let apart = turn_deg(shot.start_line.bearing_deg - shot.aim.bearing_deg);
    let starts = both_html(|l| match sentence::start(shot.carry_m, apart, l.unit()) {
        Some(aside) => format!("{} of the aim", strong(&aside)),
        None => "on the aim".to_owned(),
    });
    row("Start", &starts, out);
    let other = both_ways(plan.choice.two_way_miss, plan.choice.is_two_way)
        .map(|words| format!("; {words}"))
        .unwrap_or_default();
    let bend = both_html(|l| strong(&Bend::of_plan(plan).words(unit_of(l))));
    row("Bend", &format!("{bend}{other}"), out);
    let flight = both_html(|l| {
        format!(
            "carry {}, ends {}",
            strong(&l.whole(shot.carry_m)),
            strong(&l.whole(shot.total_m))
        )
    });
    row("Flight", &flight, out);
    let landing = plan.widths.iter().find(|w| w.place == "landing");
    if let Some(width) = landing {
        let words = both_html(|l| {
            format!(
                "{} wide at {}",
                strong(&l.whole(width.width_m)),
                l.whole(width.distance_m)
            )
        });
        row("Fairway", &words, out);
    }
    let (left_m, green_m) = left;
    if left_m.is_finite() {
        let words = both_html(|l| {
            let green = green_m
                .filter(|_| left_m > 30.0)
                .map(|[front, back]| format!("; front {}, back {}", l.whole(front), l.whole(back)))
                .unwrap_or_default();
            format!("{} to go{green}", strong(&l.whole(left_m)))
        });
        row("To go", &words, out);
    }
    if let Some(whole) = &plan.whole_hole {
        row("Score", &escape(&whole.average()), out);
    }
    out.push_str("</dl>\n");
}

fn hazards(plan: &Plan, out: &mut String) {
    let mut carries: Vec<&Carry> = plan
        .carries
        .iter()
        .filter(|c| matters(c, plan.choice.shot.total_m))
        .take(20)
        .collect();
    if carries.is_empty() {
        return;
    }
    carries.sort_by(|a, b| a.reach_m.total_cmp(&b.reach_m));
    out.push_str("<h3>Carries from the tee</h3>\n<ul class=\"rows\">\n");
    for carry in carries {
        let share = if carry.share >= 0.005 {
            format!(" · {}\u{a0}%", fixed(carry.share * 100.0, 0))
        } else {
            String::new()
        };
        out.push_str(&format!(
            "<li><span>{}{share}</span> {}</li>\n",
            escape(&short(&carry.words)),
            both_html(|l| strong(&carry.stretch(l.unit())))
        ));
    }
    out.push_str("</ul>\n");
}

fn of_hundred(plan: &Plan, out: &mut String) {
    let parts = parts(&plan.choice.shot.finish, plan.hole.par);
    let counts = hundredths(&parts.map(|p| p.1));
    out.push_str("<h3>Of 100 balls</h3>\n<ul class=\"parts\">\n");
    for (part, count) in parts.iter().zip(counts) {
        if count > 0 || part.1 > 0.0005 {
            let number = if count == 0 {
                "&lt;1".to_owned()
            } else {
                count.to_string()
            };
            let key = balls::key(part.2);
            out.push_str(&format!("<li>{key}<b>{number}</b> {}</li>\n", part.0));
        }
    }
    out.push_str("</ul>\n");
    let scores = scores(plan);
    if !scores.is_empty() {
        out.push_str(&format!("<p>{}</p>\n", escape(scores.trim_end())));
    }
}

fn otherwise(plan: &Plan, out: &mut String) {
    let shot = &plan.choice.shot;
    out.push_str(&format!(
        "<h3>Strokes</h3>\n<ul class=\"rows\">\n<li><span>{}</span> <b>{}</b></li>\n",
        both(|l| capital(&short(&shot.name(unit_of(l))))),
        escape(&fixed(shot.expected_strokes, 2))
    ));
    let rows = [LengthUnit::Yards, LengthUnit::Metres].map(|unit| instead(plan, unit));
    for ((yards, amount, _), (metres, ..)) in rows[0].iter().zip(&rows[1]).take(INSTEAD) {
        let name = |l: Lengths| match unit_of(l) {
            LengthUnit::Yards => short(yards),
            LengthUnit::Metres => short(metres),
        };
        out.push_str(&format!(
            "<li><span>{}</span> {}</li>\n",
            both(name),
            escape(amount)
        ));
    }
    out.push_str("</ul>\n");
    if let Some(robust) = &plan.robust {
        let brief = both(|l| {
            cut(
                &text::clean(&format!("{}.", capital(&robust.brief(unit_of(l))))),
                SENTENCE,
            )
        });
        out.push_str(&format!("<p>{brief}</p>\n"));
    }
}
