//! What to do, in fixed places: the club, then where to peg, where to aim, what the
//! ball does, where to miss, what comes then.

use super::frame::Area;
use super::hazards::in_hundred;
use super::labels::{Board, Line};
use super::page::{LARGE, Lengths, MEDIUM, Placed, READ};
use super::panel::put;
use super::scene::{Anchor, palette};
use super::{next_shot, text};
use crate::plan::sentence::{self, capital, club as spoken_club};
use crate::plan::spoken::spoken;
use crate::plan::whole_hole::aim_words;
use crate::plan::{Carry, Plan};

/// Fewer logged shots than this make a rough guess (practice).
const FEW_SHOTS: usize = 20;
/// Nearer to the pin than this, how far it is says nothing.
pub const NEAR_PIN_M: f64 = 30.0;
/// Width of the column of keys.
const KEYS: f64 = 92.0;
/// White between rows.
const GAP: f64 = 6.0;
/// How high the club is with what it rests on, and a line of what it was decided for.
const CLUB: f64 = 122.0;
const DECIDED: f64 = 27.0;

/// The card's rows and how high each is: two lines or three, or one more of the smaller
/// type.
const ROWS: [(&str, f64); 5] = [
    ("PEG", 58.0),
    ("AIM", 88.0),
    ("BALL", 116.0),
    ("MISS", 88.0),
    ("then", 67.0),
];

/// How high the card is.
#[must_use]
pub fn height(plan: &Plan) -> f64 {
    let rows: f64 = ROWS.iter().map(|(_, high)| high + GAP).sum();
    club_height(plan) + rows
}

fn club_height(plan: &Plan) -> f64 {
    match decided_for(plan) {
        None => CLUB,
        Some(_) => CLUB + DECIDED,
    }
}

/// Draws the card.
pub fn draw(board: &mut Board, area: &Area, plan: &Plan, placed: &Placed, lengths: Lengths) {
    club(board, area, plan);
    let rows = rows(plan, placed, lengths);
    let mut base = area.top + club_height(plan) + MEDIUM * text::ascent("");
    let room = area.width() - KEYS;
    for ((key, high), words) in ROWS.into_iter().zip(rows) {
        let key = Line::new(key, READ, true, palette::STONE);
        board.write(&key, [area.left, base], Anchor::Start, false);
        let words = text::hold_units(&text::clean(&words))
            .replace(" to go", "\u{a0}to\u{a0}go")
            .replace(" in 100", "\u{a0}in\u{a0}100");
        let tall = text::ascent(&words) + text::DESCENT;
        let pitch = |size: f64| size * tall.max(1.1);
        let most = |size: f64| (high / pitch(size)) as usize;
        let fits = |size: &f64| {
            let lines = text::wrap(&words, *size, false, room, most(*size) + 1);
            lines.len() <= most(*size)
        };
        let size = [MEDIUM, READ].into_iter().find(fits).unwrap_or(READ);
        let lines = text::wrap(&words, size, false, room, most(size));
        for (k, line) in lines.iter().enumerate() {
            let at = [area.left + KEYS, base + k as f64 * pitch(size)];
            let style = (size, false, palette::INK);
            put(board, line, style, at, Anchor::Start, room);
        }
        base += high + GAP;
    }
}

/// The club, its shape, what it rests on and what it was decided for.
fn club(board: &mut Board, area: &Area, plan: &Plan) {
    let shot = &plan.choice.shot;
    let name = capital(&text::clean(&spoken_club(&shot.club)));
    let manner = if shot.part_swing.is_none() && plan.choice.is_two_way {
        "two-way".to_owned()
    } else {
        text::clean(&shot.manner(plan.unit()))
    };
    let room = area.width();
    let manner = text::cut(&manner, MEDIUM, true, room * 0.4);
    let left = room - text::width(&manner, MEDIUM, true) - MEDIUM;
    // A long name is set smaller.
    let size = [LARGE, LARGE * 0.6]
        .into_iter()
        .find(|size| text::width(&name, *size, true) <= left)
        .unwrap_or(MEDIUM);
    let name = text::cut(&name, size, true, left);
    board.write_runs(
        &[
            Line::new(name, size, true, palette::INK),
            Line::new(manner, MEDIUM, true, palette::ACCENT),
        ],
        [area.left, area.top + 62.0],
    );
    let style = (READ, false, palette::STONE);
    let rests = [Some(shots(shot.shots_logged)), decided_for(plan)];
    for (k, words) in rests.iter().flatten().enumerate() {
        let base = area.top + 104.0 + DECIDED * k as f64;
        put(board, words, style, [area.left, base], Anchor::Start, room);
    }
}

fn shots(logged: usize) -> String {
    match logged {
        0 => "No shots logged: a rough guess.".to_owned(),
        1 => "1 shot: a rough guess.".to_owned(),
        n if n < FEW_SHOTS => format!("{n} shots: a rough guess."),
        n => format!("{n} shots logged."),
    }
}

/// What a plan that was not decided for fewest strokes says of that.
fn decided_for(plan: &Plan) -> Option<String> {
    let whole = plan.whole_hole.as_ref()?;
    let mut aims = whole.aims_of_play.iter();
    let own = aims.find(|f| f.aim == whole.decided_for && f.aim != "strokes")?;
    let worth = match own.unit.as_str() {
        "chance" => in_hundred(own.worth_of_plan),
        _ => super::page::fixed(own.worth_of_plan, 2),
    };
    Some(format!("Decided for {}: {worth}.", aim_words(&own.aim)))
}

/// What the rows say.
fn rows(plan: &Plan, placed: &Placed, lengths: Lengths) -> [String; 5] {
    let unit = plan.unit();
    let say = |m: f64| lengths.whole(m);
    let aim = spoken(plan, |shot| sentence::aim(shot, unit));
    let ball = spoken(plan, |shot| sentence::flight(shot, unit))
        .replace(", the usual ball ", "; usually ");
    let (next, pin) = (placed.next, placed.pin);
    let to_go_m = (next.x - pin.x).hypot(next.y - pin.y);
    let to_go = if to_go_m > NEAR_PIN_M && plan.hole.par > 3 {
        format!(", {} to go", say(to_go_m))
    } else {
        String::new()
    };
    let then = next_shot::words(plan, placed, to_go_m, lengths);
    [
        spoken(plan, |shot| sentence::peg(shot, unit)),
        aim.strip_prefix("at ").map(str::to_owned).unwrap_or(aim),
        format!("{ball}{to_go}"),
        miss(plan),
        then.unwrap_or_else(|| format!("{} to the pin", say(to_go_m))),
    ]
}

/// What waits on one side of the ball's own line, or across it.
pub(super) struct Side {
    /// How dear it is, with what about each kind costs.
    weight: f64,
    /// Share of the balls that end there.
    share: f64,
    /// "2 bunkers and trees".
    pub words: String,
    /// The dearest of these.
    pub worst: String,
}

/// A hazard nearer to the ball's own line than this lies across it, m (practice).
const ACROSS_M: f64 = 0.5;
/// It counts for a side on which this share of its balls finishes (practice).
const ON_ONE_SIDE: f64 = 0.75;

/// Which side a hazard waits on: −1 left of the ball's own line, 1 right, 0 on both.
fn side_of(carry: &Carry) -> i8 {
    let left = carry.share_left / carry.share.max(f64::MIN_POSITIVE);
    match carry.offset_m {
        off if off <= -ACROSS_M => -1,
        off if off >= ACROSS_M => 1,
        _ if left >= ON_ONE_SIDE => -1,
        _ if left <= 1.0 - ON_ONE_SIDE => 1,
        _ => 0,
    }
}

/// What waits on the left of the ball's own line, on its right and across it: hazards
/// that one ball of two hundred ends in.
pub(super) fn sides(plan: &Plan) -> [Side; 3] {
    let here = |c: &&Carry| c.share >= 0.005 && c.offset_m.is_finite();
    let all: Vec<&Carry> = plan.carries.iter().filter(here).collect();
    let on = |on: i8| all.iter().copied().filter(move |c| side_of(c) == on);
    let [mut left, mut right, across] = [-1, 1, 0].map(|of| side(on(of).collect()));
    // A ball that is missed to a side may end in what lies across, too.
    for carry in on(0) {
        left.weight += price(&carry.kind) * carry.share_left;
        right.weight += price(&carry.kind) * (carry.share - carry.share_left);
    }
    [left, right, across]
}

/// About what a ball in a hazard of this kind costs, strokes (practice).
fn price(kind: &str) -> f64 {
    match kind {
        "out_of_bounds" => 2.0,
        "penalty_area" => 1.0,
        "trees" => 0.6,
        _ => 0.4,
    }
}

fn side(all: Vec<&Carry>) -> Side {
    let mut words = Vec::new();
    let (mut weight, mut share) = (0.0, 0.0);
    for (kind, one, many) in [
        ("out_of_bounds", "out of bounds", "out of bounds"),
        ("penalty_area", "penalty area", "penalty areas"),
        ("trees", "trees", "trees"),
        ("bunker", "bunker", "bunkers"),
    ] {
        let of: Vec<&&Carry> = all.iter().filter(|c| c.kind == kind).collect();
        let ends: f64 = of.iter().map(|c| c.share).sum();
        weight += price(kind) * ends;
        share += ends;
        match of.len() {
            0 => {}
            n if n > 1 && one != many => words.push(format!("{n} {many}")),
            _ => words.push(one.to_owned()),
        }
    }
    let worst = words.first().cloned().unwrap_or_default();
    let words = match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => words.concat(),
    };
    Side {
        weight,
        share,
        words,
        worst,
    }
}

/// The better side to miss on, and what waits on the other and across the line.
fn miss(plan: &Plan) -> String {
    let [left, right, across] = sides(plan);
    let (better, worse, names) = if right.weight <= left.weight {
        (&right, &left, ["right", "left"])
    } else {
        (&left, &right, ["left", "right"])
    };
    let said = |side: &Side| format!("{}, {}", side.words, in_hundred(side.share));
    let mut words = match (better.words.is_empty(), worse.words.is_empty()) {
        // What lies across the line may lie on either side too.
        (true, true) if !across.words.is_empty() => return format!("across: {}", said(&across)),
        (true, false) if !across.words.is_empty() => {
            format!("rather {}; {}: {}", names[0], names[1], said(worse))
        }
        (true, true) => "both sides are open".to_owned(),
        (true, false) => format!("{} is open; {}: {}", names[0], names[1], said(worse)),
        _ => format!(
            "rather {}: {}; {}: {}",
            names[0],
            said(better),
            names[1],
            said(worse)
        ),
    };
    if !across.words.is_empty() {
        words.push_str(&format!("; across: {}", said(&across)));
    }
    words
}
