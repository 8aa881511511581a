//! The club, the sentence, the numbers, the foot of the page.

use super::frame::Area;
use super::labels::{Board, Line};
use super::page::{LARGE, LONG, Lengths, MEDIUM, SMALL, fixed};
use super::panel::{INK_SMALL, STONE_SMALL, put};
use super::scene::{self, Anchor, Fill, Node, Stroke, palette};
use super::text;
use crate::hole::Surface;
use crate::plan::round::hundredths;
use crate::plan::sentence::club as spoken;
use crate::plan::sentence::mown;
use crate::plan::what_if::what_stays;
use crate::plan::whole_hole::aim_words;
use crate::plan::why::{aim_name, cost_alone, is_tie};
use crate::plan::{Alternative, Finish, Plan, own_shot};
use crate::units::LengthUnit;

/// The club, the shape, the sentence: whole, in smaller type where it is long.
pub fn call(board: &mut Board, area: &Area, plan: &Plan) {
    let shot = &plan.choice.shot;
    let club = capital(&text::clean(&spoken(&shot.club)));
    let manner = if shot.part_swing.is_none() && plan.choice.is_two_way {
        "two-way".to_owned()
    } else {
        text::clean(&shot.manner(plan.unit()))
    };
    let base = area.top + 66.0;
    let mut y = base + 45.0;
    let name = |size: f64| {
        Line::new(
            text::cut(&club, size, true, area.width()),
            size,
            true,
            palette::INK,
        )
    };
    let shape = |room: f64| {
        let words = text::cut(&manner, MEDIUM, true, room);
        Line::new(words, MEDIUM, true, palette::ACCENT)
    };
    let both = text::width(&club, LARGE, true) + text::width(&manner, MEDIUM, true);
    if both + MEDIUM * 0.5 <= area.width() {
        board.write_runs(&[name(LARGE), shape(area.width())], [area.left, base]);
    } else {
        // A long name: the shape goes below it.
        let size = if text::width(&club, LARGE, true) <= area.width() {
            LARGE
        } else {
            MEDIUM
        };
        board.write_runs(&[name(size)], [area.left, base]);
        board.write_runs(&[shape(area.width())], [area.left, y]);
        y += 40.0;
    }
    let sentence = text::hold_units(&text::clean(&plan.words.sentence));
    let lines_for = |size: f64| {
        let pitch = size * 1.2;
        let most = (((area.bottom - size * text::DESCENT - y) / pitch)
            .floor()
            .max(0.0) as usize)
            + 1;
        (
            text::wrap(&sentence, size, false, area.width(), most + 1),
            pitch,
            most,
        )
    };
    let (mut size, mut lines, mut pitch) = (SMALL, Vec::new(), 0.0);
    for candidate in [MEDIUM, LONG, SMALL] {
        let (whole, apart, most) = lines_for(candidate);
        let fits = whole.len() <= most;
        (size, pitch) = (candidate, apart);
        lines = if fits {
            whole
        } else {
            text::wrap(&sentence, size, false, area.width(), most)
        };
        if fits {
            break;
        }
    }
    for line in lines {
        put(
            board,
            &line,
            (size, false, palette::INK),
            [area.left, y],
            Anchor::Start,
            area.width(),
        );
        y += pitch;
    }
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars
        .next()
        .map(|c| c.to_uppercase().chain(chars).collect())
        .unwrap_or_default()
}

/// What happens how often: a bar of a hundred balls, and its numbers.
pub fn hundred(board: &mut Board, area: &Area, finish: &Finish, par: u8) {
    put(
        board,
        "Of 100 balls",
        STONE_SMALL,
        [area.left, area.top + 17.0],
        Anchor::Start,
        area.width(),
    );
    let parts = parts(finish, par);
    let counts = hundredths(&parts.map(|p| p.1));
    let (top, high) = (area.top + 27.0, 20.0);
    let mut x = area.left;
    for (part, count) in parts.iter().zip(counts) {
        let wide = area.width() * f64::from(count) / 100.0;
        if count == 0 {
            continue;
        }
        let (colour, pitch) = match part.2 {
            Some(Surface::Fairway) => (palette::FAIRWAY, None),
            Some(Surface::Green) => (palette::GREEN, None),
            Some(Surface::Bunker) => (palette::SAND, None),
            Some(Surface::Trees) => (palette::WOOD_EDGE, None),
            Some(Surface::PenaltyRed) => (palette::PAPER, Some((palette::RED, 0.0))),
            Some(Surface::OutOfBounds) => (palette::PAPER, Some((palette::INK, 5.0))),
            _ => (palette::PAPER, None),
        };
        let cell = Area {
            left: x,
            top,
            right: x + wide,
            bottom: top + high,
        };
        let outline = scene::rectangle(x, top, wide, high);
        board.nodes.push(Node::Path {
            steps: outline.clone(),
            fill: Some(Fill::of(colour)),
            stroke: None,
        });
        // Lying lines for a penalty area, slanting ones for out of bounds.
        if let Some((ink, slant)) = pitch {
            for k in 0..80 {
                let step = f64::from(k) * 5.0;
                let (a, b) = if slant == 0.0 {
                    ([x, top + step], [x + wide, top + step])
                } else {
                    ([x + step - high, top + high], [x + step, top])
                };
                if let Some([a, b]) = cell.part_of(a, b) {
                    board.nodes.push(scene::line(a, b, Stroke::of(ink, 2.2)));
                }
            }
        }
        if part.2 == Some(Surface::Bunker) {
            let mut dot = x + 5.0;
            while dot < x + wide - 2.0 {
                for y in [top + 6.0, top + 14.0] {
                    board
                        .nodes
                        .push(scene::disc([dot, y], 1.1, palette::SAND_EDGE, None));
                }
                dot += 7.0;
            }
        }
        board.nodes.push(Node::Path {
            steps: outline,
            fill: None,
            stroke: Some(Stroke::of(palette::INK, 1.2)),
        });
        x += wide;
    }
    let shown: Vec<(usize, u32)> = counts
        .iter()
        .enumerate()
        .filter(|(i, count)| **count > 0 || parts[*i].1 > 0.0005)
        .map(|(i, &count)| (i, count))
        .collect();
    let rows = shown.len().div_ceil(2).max(1);
    // Seven kinds of lie take a fourth row, and smaller numbers.
    let (size, pitch) = if rows > 3 {
        (SMALL, 26.5)
    } else {
        (MEDIUM, 30.5)
    };
    for (k, (i, count)) in shown.iter().enumerate() {
        let column = k / rows;
        let x = area.left + column as f64 * area.width() * 0.45 + 52.0;
        let y = top + high + size + (k % rows) as f64 * pitch;
        let number = if *count == 0 {
            "<1".to_owned()
        } else {
            count.to_string()
        };
        // Three digits have no room in the larger type.
        let size = if *count == 100 { SMALL } else { size };
        put(
            board,
            &number,
            (size, true, palette::INK),
            [x, y],
            Anchor::End,
            60.0,
        );
        put(
            board,
            parts[*i].0,
            INK_SMALL,
            [x + 9.0, y],
            Anchor::Start,
            area.width() * 0.55 - 62.0,
        );
    }
}

/// What it costs to do otherwise, in words, and whether that is nothing: the
/// named aims, then the other clubs.
pub(super) fn instead(plan: &Plan, unit: LengthUnit) -> Vec<(String, String, bool)> {
    let called = |a: &Alternative| {
        let manner = a.shot.manner(unit);
        // The page is narrow: how far the swing carries must be read whole.
        match a.shot.part_swing {
            Some(_) if a.shot.club == plan.choice.shot.club => manner,
            _ => format!("{}, {manner}", spoken(&a.shot.club)),
        }
    };
    let own = plan.own_shots.iter().map(|own| {
        let name = format!("yours: {}", own_shot::shorter(own, unit));
        (name, own.costs, own.costs_standard_error)
    });
    let named = plan.comparisons.iter();
    let others = own
        .chain(named.map(|c| {
            let name = aim_name(&c.name).to_owned();
            (name, c.costs, c.costs_standard_error)
        }))
        .chain(
            plan.listed_alternatives()
                .map(|a| (called(a), a.costs, a.costs_standard_error)),
        );
    let even = |name: &str| {
        let tied = |a: &Alternative| {
            plan.choice.ties.contains(&a.shot.name(plan.unit())) && name == called(a)
        };
        plan.choice.ties.iter().any(|t| t == name) || plan.alternatives.iter().any(tied)
    };
    others
        .map(|(name, costs, error)| {
            let tied = even(&name) || (costs.is_finite() && costs.abs() < 0.005);
            let tied = tied || is_tie(costs, error);
            let amount = if tied {
                "no worse".to_owned()
            } else {
                cost_alone(costs, error)
            };
            (name, amount, tied)
        })
        .collect()
}

/// What of a hundred balls: a word, the share, and the surface that shows it.
pub(super) fn parts(finish: &Finish, par: u8) -> [(&'static str, f64, Option<Surface>); 7] {
    [
        (mown(par), finish.fairway, Some(Surface::Fairway)),
        ("green", finish.green, Some(Surface::Green)),
        ("rough", finish.rough, None),
        ("bunker", finish.bunker, Some(Surface::Bunker)),
        ("trees", finish.trees, Some(Surface::Trees)),
        (
            "penalty area",
            finish.penalty_area,
            Some(Surface::PenaltyRed),
        ),
        (
            "out of bounds",
            finish.out_of_bounds,
            Some(Surface::OutOfBounds),
        ),
    ]
}

/// Expected strokes, and what it costs to do otherwise.
pub fn costs(board: &mut Board, area: &Area, plan: &Plan) {
    let shot = &plan.choice.shot;
    let y = area.top + 19.0;
    let expected = Line::new(
        fixed(shot.expected_strokes, 2),
        MEDIUM,
        true,
        palette::ACCENT,
    );
    let error = "strokes; instead it costs:".to_owned();
    let room = area.width() - SMALL - text::width(&expected.words, MEDIUM, true);
    let error = text::cut(&error, SMALL, false, room);
    board.write_runs(
        &[expected, Line::new(error, SMALL, false, palette::STONE)],
        [area.left, y],
    );
    let mut y = y + 28.5;
    for (name, amount, tied) in instead(plan, plan.unit()) {
        if y > area.bottom + 2.0 {
            break;
        }
        let cost = put(
            board,
            &amount,
            (SMALL, !tied, palette::INK),
            [area.right, y],
            Anchor::End,
            230.0,
        );
        put(
            board,
            &name,
            INK_SMALL,
            [area.left, y],
            Anchor::Start,
            cost.left - area.left - 10.0,
        );
        y += 26.2;
    }
}

/// "Your average here 4.12; of 100: 13 birdies, 64 pars, …".
pub(super) fn scores(plan: &Plan) -> String {
    plan.whole_hole.as_ref().map_or_else(String::new, |whole| {
        format!(
            "Your average here {}; of 100: {}. ",
            fixed(whole.expected_score, 2),
            whole.scores.of_hundred()
        )
    })
}

/// The foot of the page, laid out.
pub struct Foot {
    lines: Vec<String>,
    pitch: f64,
}

/// Most lines at the foot.
const FOOT_LINES: usize = 9;

impl Foot {
    /// How high it is, from its rule to the last descender.
    #[must_use]
    pub fn height(&self) -> f64 {
        20.0 + self.lines.len().saturating_sub(1) as f64 * self.pitch + SMALL * text::DESCENT
    }

    /// Writes it.
    pub fn write(&self, board: &mut Board, area: &Area) {
        for (k, line) in self.lines.iter().enumerate() {
            let at = [area.left, area.top + 20.0 + k as f64 * self.pitch];
            put(board, line, STONE_SMALL, at, Anchor::Start, area.width());
        }
    }
}

/// What a plan that was not decided for fewest strokes says of that.
fn decided_for(plan: &Plan) -> String {
    let whole = plan.whole_hole.as_ref();
    whole
        .and_then(|whole| {
            let mut aims = whole.aims_of_play.iter();
            let own = aims.find(|f| f.aim == whole.decided_for && f.aim != "strokes")?;
            let worth = match own.unit.as_str() {
                "chance" => format!("{} in 100", fixed(own.worth_of_plan * 100.0, 0)),
                _ => fixed(own.worth_of_plan, 2),
            };
            Some(format!("Decided for {}: {worth}. ", aim_words(&own.aim)))
        })
        .unwrap_or_default()
}

/// How many inputs look wrong; what they are stands at the head of the plan.
fn doubts(plan: &Plan) -> String {
    match plan.check_first.len() {
        0 => String::new(),
        1 => "An input looks wrong and is planned as it stands: see \u{201c}Check first\u{201d}. "
            .to_owned(),
        n => format!(
            "{n} inputs look wrong and are planned as they stand: see \u{201c}Check first\u{201d}. "
        ),
    }
}

/// The foot of the page: how often which score, for whom and when it was made, what
/// to take care of.
///
/// Whole sentences only, the Rule on what may be carried first. It takes the room
/// that it needs, up to a limit that only names and cautions which are none of ours
/// can reach; a caution beyond it is left to the report.
#[must_use]
pub fn foot(width: f64, plan: &Plan, assumed: bool) -> Foot {
    let day = &plan.conditions;
    let player = text::cut(&text::clean(&plan.player.name), SMALL, false, 240.0);
    let shots = match plan.choice.shot.shots_logged {
        0 => "no shots logged".to_owned(),
        1 => "1 shot logged".to_owned(),
        n => format!("{n} shots logged"),
    };
    let mut words = format!(
        "{}{shots}, {} °C, {} ground.",
        if player.is_empty() {
            String::new()
        } else {
            format!("{player}: ")
        },
        fixed(day.temperature_c, 0),
        text::cut(&text::clean(&day.firmness), SMALL, false, 200.0),
    );
    words.insert_str(0, &scores(plan));
    words.insert_str(0, &decided_for(plan));
    if let Some(asked) = &plan.asked {
        let asked = text::cut(&text::clean(asked), SMALL, false, 500.0);
        words.insert_str(
            0,
            &format!("Not the plan: your own shot, \u{201c}{asked}\u{201d}. "),
        );
    }
    words.insert_str(0, &doubts(plan));
    let lengths = Lengths::of_unit(&plan.words.unit);
    let club = spoken(&plan.choice.shot.club);
    for stays in what_stays(&plan.what_if, &club, plan.unit(), &|m_s| lengths.speed(m_s)) {
        words.push_str(&format!(" {}", text::clean(&stays)));
    }
    if let Some(pin) = plan.hole.pin_from.words() {
        words.push_str(&format!(" {}.", capital(pin)));
    }
    if assumed || plan.hole.teeing_area_assumed {
        words.push_str(" Dashed: assumed.");
    }
    // Edges say so themselves, and ground without heights is the rule on maps.
    let said = [
        "teeing area",
        "colour of the water",
        "width of a stream",
        "flat ground",
        "pin",
    ];
    let unseen: Vec<&str> = plan.assumed.iter().map(String::as_str).collect();
    let unseen: Vec<&str> = unseen.into_iter().filter(|a| !said.contains(a)).collect();
    if !unseen.is_empty() {
        words.push_str(&format!(" Assumed: {}.", unseen.join(", ")));
    }
    // The Rule on what may be carried stands on every page.
    let rule = |c: &&String| c.contains("4.3a");
    let mut cautions: Vec<String> = plan.cautions.iter().filter(rule).cloned().collect();
    if cautions.is_empty() {
        cautions.push("Plans before the round, as Rule 4.3a allows.".to_owned());
    }
    cautions.extend(plan.cautions.iter().filter(|c| !rule(c)).cloned());
    let pitch = |words: &str| SMALL * (text::ascent(words) + text::DESCENT).max(1.08) + 0.3;
    let lines_of = |words: &str| {
        let lines = text::wrap(words, SMALL, false, width, FOOT_LINES + 1);
        (lines.len() <= FOOT_LINES).then_some(lines)
    };
    for caution in cautions {
        let caution = text::clean(&caution);
        let stop = if caution.ends_with(['.', '!', '?']) {
            ""
        } else {
            "."
        };
        let longer = format!("{words} {caution}{stop}");
        if !caution.is_empty() && lines_of(&longer).is_some() {
            words = longer;
        }
    }
    Foot {
        pitch: pitch(&words),
        lines: lines_of(&words).unwrap_or_default(),
    }
}
