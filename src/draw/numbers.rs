//! Of a hundred balls, what another shot costs, the foot of the page.

use super::frame::Area;
use super::labels::{Board, Line};
use super::page::{Lengths, MEDIUM, READ, SMALL, fixed};
use super::panel::{INK_READ, put};
use super::scene::{self, Anchor, Fill, Node, Stroke, palette};
use super::text;
use crate::hole::Surface;
use crate::plan::round::{RARE, hundredths};
use crate::plan::sentence::{capital, club as spoken, mown};
use crate::plan::what_if::what_stays;
use crate::plan::why::{cost, cost_alone, is_tie};
use crate::plan::{Alternative, Finish, Plan, own_shot};
use crate::units::LengthUnit;

/// What happens how often: a bar of a hundred balls, and its numbers.
pub fn hundred(board: &mut Board, area: &Area, finish: &Finish, par: u8) {
    put(
        board,
        "Of 100 balls",
        (READ, false, palette::STONE),
        [area.left, area.top + 20.0],
        Anchor::Start,
        area.width(),
    );
    let parts = parts(finish, par);
    let counts = hundredths(&parts.map(|p| p.1));
    let (top, high) = (area.top + 32.0, 22.0);
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
            Some(Surface::PenaltyRed) => (palette::WATER, Some((palette::RED, 0.0))),
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
        .filter(|(i, count)| **count > 0 || parts[*i].1 > RARE)
        .map(|(i, &count)| (i, count))
        .collect();
    for (k, (i, count)) in shown.iter().enumerate() {
        let y = top + high + 33.0 + k as f64 * 31.0;
        let number = if *count == 0 {
            "<1".to_owned()
        } else {
            count.to_string()
        };
        let strong = (MEDIUM, true, palette::INK);
        let [x, room] = [area.left + 66.0, area.width() - 76.0];
        put(board, &number, strong, [x, y], Anchor::End, 66.0);
        put(
            board,
            parts[*i].0,
            INK_READ,
            [x + 10.0, y],
            Anchor::Start,
            room,
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
            let name = c.name.clone();
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

/// How high what is said of one other shot is, with the line above it.
pub(super) const ONE_COST: f64 = 60.0;

/// Expected strokes, and what another shot costs; what another aim costs stands under
/// the plate.
pub fn costs(board: &mut Board, area: &Area, plan: &Plan) {
    let shot = &plan.choice.shot;
    let y = area.top + 22.0;
    if y + MEDIUM * text::DESCENT > area.bottom {
        return;
    }
    let expected = Line::new(
        fixed(shot.expected_strokes, 2),
        MEDIUM,
        true,
        palette::ACCENT,
    );
    let others: Vec<(String, String, bool)> = instead(plan, plan.unit())
        .into_iter()
        .filter(|(name, _, _)| {
            let named = plan.comparisons.iter();
            !named.clone().any(|c| c.name == *name)
        })
        .collect();
    let below = y + MEDIUM * text::DESCENT + 1.0;
    let fits = |(name, _, _): &(String, String, bool)| {
        below + READ * (text::ascent(name) + text::DESCENT) + 1.5 <= area.bottom + 2.0
    };
    // Where no row has room, the player's own shot is told on this line.
    let words = match others.first() {
        None => "strokes".to_owned(),
        Some(first) if fits(first) => "strokes; instead it costs:".to_owned(),
        Some(_) => match plan.own_shots.as_slice() {
            [own] if !own_shot::is_plan(own) => {
                let cost = cost(own.costs, own.costs_standard_error);
                format!("strokes; yours: {cost}")
            }
            _ => "strokes".to_owned(),
        },
    };
    let room = area.width() - READ - text::width(&expected.words, MEDIUM, true);
    let words = text::cut(&words, READ, false, room);
    board.write_runs(
        &[expected, Line::new(words, READ, false, palette::STONE)],
        [area.left, y],
    );
    let mut top = below;
    for (name, amount, tied) in others {
        let y = top + READ * text::ascent(&name);
        top = y + READ * text::DESCENT + 1.5;
        if top > area.bottom + 2.0 {
            break;
        }
        let style = (READ, !tied, palette::INK);
        let amount = put(board, &amount, style, [area.right, y], Anchor::End, 230.0);
        let room = amount.left - area.left - 10.0;
        put(board, &name, INK_READ, [area.left, y], Anchor::Start, room);
    }
}

/// "A player of your handicap averages 4.20 here, you 4.12; of 100: 13 birdies, 64 pars, …".
pub(super) fn scores(plan: &Plan) -> String {
    plan.whole_hole.as_ref().map_or_else(String::new, |whole| {
        format!(
            "{}; of 100: {}. ",
            whole.average(),
            whole.scores.of_hundred()
        )
    })
}

/// The foot of the page, laid out.
pub struct Foot {
    lines: Vec<String>,
    size: f64,
    pitch: f64,
}

/// The foot is read at home, at arm's length all the same: 7 points, in ink.
const FOOT_TYPE: f64 = 24.7;

/// Most lines at the foot, and most of that type; more are set smaller.
const FOOT_LINES: usize = 7;
const FOOT_LARGE: usize = 4;

impl Foot {
    /// How high it is, from its rule to the last descender.
    #[must_use]
    pub fn height(&self) -> f64 {
        20.0 + self.lines.len().saturating_sub(1) as f64 * self.pitch + self.size * text::DESCENT
    }

    /// Writes it.
    pub fn write(&self, board: &mut Board, area: &Area) {
        let style = (self.size, false, palette::INK);
        for (k, line) in self.lines.iter().enumerate() {
            let at = [area.left, area.top + 20.0 + k as f64 * self.pitch];
            put(board, line, style, at, Anchor::Start, area.width());
        }
    }
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

/// The care that every page asks for, in a line; the whole stands in the book and in
/// the report.
const CARE: &str = "Made before the round, as Rule 4.3a allows. Marking and Local Rules go before \
                    any map.";

/// The foot of the page: how often which score, for whom and which day, what is assumed,
/// and a line of care. It takes the room that it needs.
#[must_use]
pub fn foot(width: f64, plan: &Plan, assumed: bool) -> Foot {
    let day = &plan.conditions;
    let player = text::cut(&text::clean(&plan.player.name), FOOT_TYPE, false, 240.0);
    let firmness = text::cut(&text::clean(&day.firmness), FOOT_TYPE, false, 200.0);
    let mut words = doubts(plan);
    if let Some(asked) = &plan.asked {
        let asked = text::cut(&text::clean(asked), FOOT_TYPE, false, 500.0);
        words.push_str(&format!(
            "Not the plan: your own shot, \u{201c}{asked}\u{201d}. "
        ));
    }
    words.push_str(&scores(plan));
    if !player.is_empty() {
        words.push_str(&format!("For {player}. "));
    }
    let degrees = fixed(day.temperature_c, 0);
    words.push_str(&format!("{degrees}\u{a0}°C, {firmness} ground."));
    if let Some(robust) = &plan.robust {
        let brief = text::clean(&robust.brief(plan.unit()));
        words.push_str(&format!(" {}.", capital(&brief)));
    }
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
    words.push_str(&format!(" {CARE}"));
    let set = |size: f64| text::wrap(&words, size, false, width, FOOT_LINES);
    let large = set(FOOT_TYPE);
    let (size, lines) = if large.len() <= FOOT_LARGE {
        (FOOT_TYPE, large)
    } else {
        (SMALL, set(SMALL))
    };
    Foot {
        size,
        pitch: size * (text::ascent(&words) + text::DESCENT).max(1.08) + 0.3,
        lines,
    }
}
