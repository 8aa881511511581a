//! The card in words: peg, aim, ball, miss, then. The drawn page and the terminal say
//! these.

use geo::Coord;

use super::next::{by_strokes, named};
use super::sentence::{self, whole};
use super::spoken::spoken;
use super::whole_hole::aim_words;
use super::{Carry, LonLat, Plan, round};
use crate::hole::plane::Plane;
use crate::units::LengthUnit;

/// Fewer logged shots than this make a rough guess (practice).
const FEW_SHOTS: usize = 20;
/// Nearer to the pin than this, how far it is says nothing about the next club, m.
pub const NEAR_PIN_M: f64 = 30.0;

/// The rows of the card.
#[derive(Clone, Debug)]
pub struct Card {
    /// Where to peg the ball.
    pub peg: String,
    /// What to aim at.
    pub aim: String,
    /// What the ball does, and how far it leaves.
    pub ball: String,
    /// The better side to miss on, and what waits on the other.
    pub miss: String,
    /// What comes next.
    pub then: String,
    /// The player's own words for the hole; empty where there are none.
    pub note: String,
}

/// The card of a plan. `green_m` is how far the green's front and back are from where
/// the usual ball ends.
#[must_use]
pub fn card(plan: &Plan, green_m: Option<[f64; 2]>) -> Card {
    card_in(plan, green_m, plan.unit())
}

/// The same with lengths in a unit, which may be another than the plan's.
#[must_use]
pub fn card_in(plan: &Plan, green_m: Option<[f64; 2]>, unit: LengthUnit) -> Card {
    let aim = spoken(plan, |shot| sentence::aim(shot, unit));
    let ball = spoken(plan, |shot| sentence::flight(shot, unit))
        .replace(", the usual ball ", "; usually ");
    let to_go_m = to_go_m(plan);
    let to_go = if to_go_m > NEAR_PIN_M && plan.hole.par > 3 {
        format!(", {} to go", whole(to_go_m, unit))
    } else {
        String::new()
    };
    Card {
        peg: spoken(plan, |shot| sentence::peg(shot, unit)),
        aim: aim.strip_prefix("at ").map(str::to_owned).unwrap_or(aim),
        ball: format!("{ball}{to_go}{}", leaves(plan)),
        miss: miss(plan),
        then: then(plan, to_go_m, green_m, unit),
        note: plan.words.note.clone(),
    }
}

/// What to see to where the usual ball leaves the hole.
fn leaves(plan: &Plan) -> String {
    match plan.words.leaves.as_str() {
        "" => String::new(),
        place => format!("; {place}: check that it is in play"),
    }
}

/// From where the usual ball ends to the pin, m.
#[must_use]
pub fn to_go_m(plan: &Plan) -> f64 {
    let LonLat { lon, lat } = plan.hole.pin;
    let plane = Plane::new([lon, lat]);
    let rest = plan.choice.shot.rest;
    let Coord { x, y } = plane.to_plane(rest.lon, rest.lat);
    x.hypot(y)
}

/// What comes next: the club, front and back of the green from there, where to miss.
fn then(plan: &Plan, to_go_m: f64, green_m: Option<[f64; 2]>, unit: LengthUnit) -> String {
    let say = |m: f64| whole(m, unit);
    let Some(next) = plan.whole_hole.as_ref().and_then(|w| w.next.as_ref()) else {
        return format!("{} to the pin", say(to_go_m));
    };
    let mut words = named(&next.choice);
    if next.is_for_a_miss {
        return format!("on the green, {} to the pin; missed: {words}", say(to_go_m));
    }
    if !next.choice.at_green {
        let [total, left] = [next.choice.total_m, next.choice.left_m].map(say);
        words.push_str(&format!(" of {total}, leave {left}"));
    } else if to_go_m <= NEAR_PIN_M {
        words.push_str(&format!(", {} to the pin", say(to_go_m)));
    } else if let Some([front, back]) = green_m {
        words.push_str(&format!(": front {}, back {}", say(front), say(back)));
    }
    if next.miss.side != "either" {
        words.push_str(&format!("; miss {}", next.miss.side));
    }
    if by_strokes(next) {
        // The tee was decided for something else.
        words.push_str("; for fewest strokes");
    }
    words
}

/// "60 shots logged", "12 shots: a rough guess".
#[must_use]
pub fn shots(logged: usize) -> String {
    match logged {
        0 => "no shots logged: a rough guess".to_owned(),
        1 => "1 shot: a rough guess".to_owned(),
        n if n < FEW_SHOTS => format!("{n} shots: a rough guess"),
        n => format!("{n} shots logged"),
    }
}

/// "5 in 100", "under 1 in 100"; never none of what there is.
#[must_use]
pub fn in_hundred(share: f64) -> String {
    match (share * 100.0).round() {
        count if count < 1.0 => "under 1 in 100".to_owned(),
        count => format!("{count:.0} in 100"),
    }
}

/// Of a hundred balls how many end in each of the plan's carries: with those that end in
/// no carry, the counts of a kind add up to what is said of all of the kind.
#[must_use]
pub fn counts(plan: &Plan) -> Vec<u32> {
    let finish = &plan.choice.shot.finish;
    let kinds = [
        ("out_of_bounds", finish.out_of_bounds),
        ("penalty_area", finish.penalty_area),
        ("trees", finish.trees),
        ("bunker", finish.bunker),
    ];
    let others = finish.fairway + finish.green + finish.rough;
    let of_kinds = round::hundredths(&[kinds[0].1, kinds[1].1, kinds[2].1, kinds[3].1, others]);
    let mut counts = vec![0; plan.carries.len()];
    for ((kind, all), of_kind) in kinds.into_iter().zip(of_kinds) {
        let here: Vec<usize> = (0..counts.len())
            .filter(|&k| plan.carries[k].kind == kind)
            .collect();
        let mut shares: Vec<f64> = here.iter().map(|&k| plan.carries[k].share).collect();
        let named: f64 = shares.iter().sum();
        shares.push((all - named).max(0.0));
        for (&k, count) in here.iter().zip(round::apportioned(&shares, of_kind)) {
            counts[k] = count;
        }
    }
    counts
}

/// "5 in 100", "under 1 in 100": a count of balls.
#[must_use]
pub fn of_hundred(count: u32) -> String {
    match count {
        0 => "under 1 in 100".to_owned(),
        count => format!("{count} in 100"),
    }
}

/// What a plan that was not decided for fewest strokes says of that: "decided for par
/// or better: 58 in 100".
#[must_use]
pub fn decided_for(plan: &Plan) -> Option<String> {
    let whole = plan.whole_hole.as_ref()?;
    let mut aims = whole.aims_of_play.iter();
    let own = aims.find(|f| f.aim == whole.decided_for && f.aim != "strokes")?;
    let worth = match own.unit.as_str() {
        "chance" => in_hundred(own.worth_of_plan),
        _ => format!("{:.2}", own.worth_of_plan),
    };
    Some(format!("decided for {}: {worth}", aim_words(&own.aim)))
}

/// What waits on one side of the ball's own line, or across it.
#[derive(Clone, Debug)]
pub struct Side {
    /// How dear it is, with what about each kind costs.
    weight: f64,
    /// How many of a hundred balls end there.
    count: u32,
    /// How many of them short of where the usual ball ends.
    short: u32,
    /// "2 bunkers and trees".
    pub words: String,
    /// The dearest of these.
    pub worst: String,
}

/// A hazard nearer to the ball's own line than this lies across it, m (practice).
pub(crate) const ACROSS_M: f64 = 0.5;
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

/// What waits round the usual ball: hazards that one ball of two hundred ends in.
#[derive(Clone, Debug)]
pub struct Around {
    /// Left of the ball's own line.
    pub left: Side,
    /// Right of it.
    pub right: Side,
    /// On both sides, and short of where the usual ball ends.
    short: Side,
    /// On both sides, and past it.
    long: Side,
    /// On both sides, short and long alike.
    across: Side,
    /// Whether what lies across reaches from short of where the usual ball ends to past it.
    is_all_round: bool,
}

impl Around {
    /// What lies on no one side: short, long, or across the line.
    #[must_use]
    pub fn on_both(&self) -> Vec<(&'static str, &Side)> {
        let all = [
            ("short", &self.short),
            ("long", &self.long),
            (
                if self.is_all_round {
                    "all round"
                } else {
                    "across"
                },
                &self.across,
            ),
        ];
        all.into_iter()
            .filter(|(_, side)| !side.words.is_empty())
            .collect()
    }
}

/// What waits left and right of the ball's own line, and on both sides of it short and
/// long.
#[must_use]
pub fn around(plan: &Plan) -> Around {
    let here = |(c, _): &(&Carry, u32)| c.share >= 0.005 && c.offset_m.is_finite();
    let counted = plan.carries.iter().zip(counts(plan));
    let all: Vec<(&Carry, u32)> = counted.filter(here).collect();
    let on = |on: i8| all.iter().copied().filter(move |c| side_of(c.0) == on);
    let of_both = |end: i8| side(on(0).filter(|c| end_of(c.0) == end).collect());
    let usual_m = plan.choice.shot.total_m;
    let mut across = on(0).filter(|c| end_of(c.0) == 0).peekable();
    let is_all_round = across.peek().is_some()
        && across.all(|(c, _)| c.is_crossed && c.reach_m < usual_m && usual_m < c.clear_m);
    let mut around = Around {
        left: side(on(-1).collect()),
        right: side(on(1).collect()),
        short: of_both(-1),
        long: of_both(1),
        across: of_both(0),
        is_all_round,
    };
    // A ball that is missed to a side may end in what lies across, too.
    for (carry, _) in on(0) {
        around.left.weight += price(&carry.kind) * carry.share_left;
        around.right.weight += price(&carry.kind) * (carry.share - carry.share_left);
    }
    around
}

/// Whether the balls in a hazard end short of the usual ball, −1, past it, 1, or both.
fn end_of(carry: &Carry) -> i8 {
    match carry.share_short / carry.share.max(f64::MIN_POSITIVE) {
        short if short >= ON_ONE_SIDE => -1,
        short if short <= 1.0 - ON_ONE_SIDE => 1,
        _ => 0,
    }
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

fn side(all: Vec<(&Carry, u32)>) -> Side {
    let mut words = Vec::new();
    let mut weight = 0.0;
    for (kind, one, many) in [
        ("out_of_bounds", "out of bounds", "out of bounds"),
        ("penalty_area", "penalty area", "penalty areas"),
        ("trees", "trees", "trees"),
        ("bunker", "bunker", "bunkers"),
    ] {
        let of: Vec<&Carry> = all.iter().map(|c| c.0).filter(|c| c.kind == kind).collect();
        let ends: f64 = of.iter().map(|c| c.share).sum();
        weight += price(kind) * ends;
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
    let count: u32 = all.iter().map(|c| c.1).sum();
    let share = |of: &dyn Fn(&Carry) -> f64| -> f64 { all.iter().map(|c| of(c.0)).sum() };
    let (ends, short) = (share(&|c| c.share), share(&|c| c.share_short));
    // Of the balls that are said, so that the rest is long.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let short =
        (f64::from(count) * (short / ends.max(f64::MIN_POSITIVE)).clamp(0.0, 1.0)).round() as u32;
    Side {
        weight,
        count,
        short,
        words,
        worst,
    }
}

/// The better side to miss on; none where nothing waits on either side.
#[must_use]
pub fn better_miss(plan: &Plan) -> Option<&'static str> {
    let around = around(plan);
    let (left, right) = (&around.left, &around.right);
    let is_waited = !(left.words.is_empty() && right.words.is_empty());
    let better = if right.weight <= left.weight {
        "right"
    } else {
        "left"
    };
    is_waited.then_some(better)
}

/// The better side to miss on, and what waits on the other, short, long and across the
/// line; first what is dearest.
fn miss(plan: &Plan) -> String {
    let around = around(plan);
    let (left, right) = (&around.left, &around.right);
    let (better, worse, names) = if right.weight <= left.weight {
        (right, left, ["right", "left"])
    } else {
        (left, right, ["left", "right"])
    };
    let said = |side: &Side| format!("{}, {}", side.words, of_hundred(side.count));
    let on_both = around.on_both();
    let sides = match (better.words.is_empty(), worse.words.is_empty()) {
        (true, true) if !on_both.is_empty() => None,
        (true, true) => Some("both sides are open".to_owned()),
        // What lies across the line may lie on either side too.
        (true, false) if !on_both.is_empty() => Some(format!(
            "rather {}; {}: {}",
            names[0],
            names[1],
            said(worse)
        )),
        (true, false) => Some(format!(
            "{} is open; {}: {}",
            names[0],
            names[1],
            said(worse)
        )),
        (false, true) => Some(format!("rather {}: {}", names[0], said(better))),
        (false, false) => Some(format!(
            "rather {}: {}; {}: {}",
            names[0],
            said(better),
            names[1],
            said(worse)
        )),
    };
    let dearest = worse.weight;
    let mut parts: Vec<(bool, String)> = sides.map(|words| (false, words)).into_iter().collect();
    parts.extend(on_both.into_iter().map(|(name, side)| {
        let is_first = side.weight > dearest;
        let words = match name {
            "all round" => {
                let (count, short) = (of_hundred(side.count), side.short);
                format!("{} all round, {count} ({short} short)", side.words)
            }
            "across" => format!("{name}: {}", said(side)),
            _ if is_first => format!("not {name}: {}", said(side)),
            _ => format!("{name}: {}", said(side)),
        };
        (is_first, words)
    }));
    parts.sort_by_key(|part| !part.0);
    let words: Vec<String> = parts.into_iter().map(|part| part.1).collect();
    words.join("; ")
}
