//! What the numbers of a picture mean, in words: a tap on one, or the keyboard, shows them.

use super::super::hazards::told_share;
use super::super::labels::{About, Request};
use super::super::page::Lengths;
use super::super::scene::{Node, Point};
use super::super::shot::{Sight, aim_words, safe};
use super::html::{cut, escape};
use super::pen::{Pen, number};
use crate::plan::sentence::{self, capital};
use crate::plan::spoken::spoken;
use crate::plan::{Carry, Plan};

/// Letters of a name that are shown: three lines of a phone.
const LETTERS: usize = 120;
/// Radius of the ring that shows which thing is named.
const RING: f64 = 22.0;

/// A number or a thing with its name.
pub(super) struct Named {
    /// What it is, in words.
    pub words: String,
    /// What it measures, or where it stands.
    pub at: Point,
    /// How it is drawn; nothing for a thing that stands on the picture anyway.
    pub nodes: Vec<Node>,
}

/// Writes named things: each with its name as a title, and the ring that marks it.
pub(super) fn write(all: &[Named], pen: &mut Pen) {
    for named in all {
        pen.out.push_str(&format!(
            "<g class=\"named\"><title>{}</title><circle class=\"mark\" cx=\"{}\" cy=\"{}\" r=\"{RING}\"/>",
            escape(&cut(&named.words, LETTERS)),
            number(named.at[0]),
            number(named.at[1]),
        ));
        pen.nodes(&named.nodes);
        pen.out.push_str("</g>");
    }
}

/// What a label means.
pub(super) fn of(request: &Request, sight: &Sight<'_>) -> String {
    let (plan, lengths) = (sight.plan, sight.lengths);
    let shot = &plan.choice.shot;
    let unit = lengths.name();
    let say = |metres: f64| lengths.whole(metres);
    match request.about {
        About::Aim => {
            let safe = safe(plan, lengths).map(|safe| format!("; {safe}"));
            format!(
                "Aim: {}, {} {unit} away{}",
                aim_words(plan, lengths),
                say(shot.aim.distance_m),
                safe.unwrap_or_default()
            )
        }
        About::Ball => format!(
            "The usual ball: carries {}, ends at {} {unit}",
            say(shot.carry_m),
            say(shot.total_m)
        ),
        About::Width => match sight.width_bar() {
            Some((width_m, _)) => format!("Fairway: {} {unit} wide here", say(width_m)),
            None => all_lines(request),
        },
        About::Half => "Half of the balls end inside this line".to_owned(),
        About::Ninety => "Nine balls in ten end inside this line".to_owned(),
        About::Hazard(index) => match plan.carries.get(index) {
            Some(carry) => hazard(plan, index, carry, lengths),
            None => all_lines(request),
        },
        About::FromTee(far) => format!("{far} {unit} from the tee"),
        About::ToGreen(far) => format!("{far} {unit} to the middle of the green"),
        About::ToGo => format!(
            "From where the usual ball ends, in {unit}: {}",
            all_lines(request)
        ),
        About::OtherWay(_) | About::Itself => capital(&all_lines(request)),
    }
}

/// "Far bunker on the left: 238–242 yd, 6 in 100".
fn hazard(plan: &Plan, index: usize, carry: &Carry, lengths: Lengths) -> String {
    let stretch = carry.stretch(lengths.unit());
    let unit = match stretch.chars().last() {
        Some(last) if last.is_ascii_digit() => format!(" {}", lengths.name()),
        _ => String::new(),
    };
    let share = told_share(plan, index, carry);
    let share = share.map_or_else(String::new, |share| format!("; {share} end in it"));
    format!("{}: {stretch}{unit}{share}", capital(&carry.words))
}

fn all_lines(request: &Request) -> String {
    let lines = request.lines.iter().map(|line| line.words.as_str());
    lines.collect::<Vec<_>>().join(", ")
}

/// The tag of a marked area in full.
pub(super) fn tag(words: &str) -> &'static str {
    match words {
        "RED" => "Red penalty area",
        "YELLOW" => "Yellow penalty area",
        _ => "Out of bounds",
    }
}

/// The peg and the flag.
pub(super) fn ends(sight: &Sight<'_>) -> Vec<Named> {
    let plan = sight.plan;
    let peg = spoken(plan, |shot| sentence::peg(shot, sight.lengths.unit()));
    let pin = plan.hole.pin_from.words();
    let pin = pin.map_or_else(String::new, |pin| format!(": {pin}"));
    [
        (format!("Peg: {peg}"), sight.placed.peg),
        (format!("The flag{pin}"), sight.placed.pin),
    ]
    .into_iter()
    .map(|(words, at)| Named {
        words,
        at: sight.frame.place(at),
        nodes: Vec::new(),
    })
    .filter(|named| sight.frame.area.holds(named.at))
    .collect()
}
