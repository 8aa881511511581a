//! A review in a golfer's words.

use super::account::NotSplit;
use super::against::{Inside, Lean, Region};
use super::learn::Estimate;
use super::log::End;
use super::{Next, PlayedTee, Review, Total};
use crate::diagnostic::printable;
use crate::plan::PartSwing;
use crate::plan::sentence::{capital, length, shot_name};
use crate::player::ClubShape;
use crate::units::LengthUnit;

/// A count is called other than chance below this probability (practice).
const TOLD: f64 = 0.05;
/// Fewer tee shots tell nothing (practice).
const FEWEST: usize = 5;

/// "1, 2 and 5".
pub(super) fn list(names: &[String]) -> String {
    let names: Vec<String> = names.iter().map(|name| printable(name)).collect();
    match &names[..] {
        [] => String::new(),
        [only] => only.clone(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

/// "hole 6", "holes 2 and 6".
pub(super) fn holes(names: &[String]) -> String {
    let holes = if names.len() == 1 { "hole" } else { "holes" };
    format!("{holes} {}", list(names))
}

/// A club's swing as spoken.
pub(super) fn swing(club: &ClubShape, unit: LengthUnit) -> String {
    shot_name(&club.club, &club.shape, PartSwing::of(club), unit)
}

/// Strokes with their sign, two decimals; never minus zero.
pub(super) fn signed(strokes: f64) -> String {
    let rounded = (100.0 * strokes).round() / 100.0;
    if rounded == 0.0 {
        "0.00".into()
    } else {
        format!("{rounded:+.2}")
    }
}

/// A round in a sentence or two.
pub(super) fn round(total: &Total) -> String {
    let holes = match total.holes {
        1 => "1 hole".into(),
        holes => format!("{holes} holes"),
    };
    let of_100 = (100.0 * total.at_most).round();
    let this_good = match of_100 {
        n if n < 1.0 => "hardly any is this good or better".into(),
        n if n > 99.0 => "nearly all are this good or better".into(),
        n => format!("{n:.0} are this good or better"),
    };
    format!(
        "{holes} in {}; your average on them is {:.1}. Of 100 such rounds {this_good}: two in three lie \
         within {:.1} of the average.",
        total.score, total.expected.strokes, total.spread
    )
}

/// What the strokes of a round went for: label, strokes and error, and a remark.
pub(super) fn parts(total: &Total) -> Vec<(&'static str, [f64; 2], String)> {
    let of = |figure: super::account::Figure| [figure.strokes, figure.standard_error];
    let luck = match total.strike_spread {
        spread if spread > 0.0 => {
            format!("luck of the strike: two rounds in three within {spread:.1}")
        }
        _ => String::new(),
    };
    let parts = [
        ("choice of club", total.decision, String::new()),
        ("tee shots", total.strike, luck),
        ("what followed", total.after, String::new()),
        ("not told apart", total.not_split, why(&total.why_not_split)),
    ];
    let known = parts
        .into_iter()
        .filter_map(|(name, figure, remark)| Some((name, of(figure?), remark)));
    known.collect()
}

/// Why strokes are not told apart: "hole 6: the club is not written".
fn why(all: &[(NotSplit, Vec<String>)]) -> String {
    let each = all.iter().map(|(why, names)| {
        let why = match why {
            NotSplit::NoClub => "the club is not written",
            NotSplit::OtherClub => "the bag lacks the club",
            NotSplit::NoShot => "no shot with that club stays in play",
            NotSplit::NoEnd => "where the tee shot ended is not written",
            NotSplit::NoBall => "hardly any of the balls predicted ends so",
        };
        format!("{}: {why}", holes(names))
    });
    each.collect::<Vec<_>>().join("; ")
}

/// Where a tee shot ended, as its row has it: "rough left", or in lengths.
pub(super) fn said(end: &End, unit: LengthUnit) -> String {
    let words = end.outcome.words();
    if !words.is_empty() {
        return words;
    }
    let carry = end.carry_m.filter(|_| end.total_m.is_none());
    let side = end.side_m.map(|m| {
        let side = if m < 0.0 { "left" } else { "right" };
        format!("{} {side}", length(m.abs(), unit))
    });
    let all = [
        end.total_m.map(|m| length(m, unit)),
        carry.map(|m| format!("{} carry", length(m, unit))),
        side,
        end.to_go_m.map(|m| format!("{} to go", length(m, unit))),
    ];
    all.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Where the ball of a hole ended.
pub(super) fn ball(tee: &PlayedTee) -> String {
    let said = (!tee.said.is_empty()).then(|| tee.said.clone());
    let lie = match tee.ended {
        Some(_) if tee.score == Some(1) => Some("holed".to_owned()),
        Some(place) => Some(place.lie.words().to_owned()),
        None => said,
    };
    let region = tee.in_pattern.region.map(|region| match region {
        Region::Half => "half",
        Region::NineInTen => "nine in ten",
        Region::Outside => "outside",
    });
    let words: Vec<String> = lie.into_iter().chain(region.map(Into::into)).collect();
    if words.is_empty() {
        "-".into()
    } else {
        words.join(", ")
    }
}

/// How many tee shots ended in the regions.
pub(super) fn inside(all: &[Inside]) -> String {
    let [half, ninety] = all else {
        return String::new();
    };
    if half.of == 0 {
        return "No tee shot has a place: none is compared with its pattern.".into();
    }
    let shots = match half.of {
        1 => "1 tee shot with a place".into(),
        shots => format!("{shots} tee shots with a place"),
    };
    let chance = |one: &Inside| format!("{:.1}", one.share * one.of as f64);
    let counts = format!(
        "Of {shots} {} ended in the region of half the balls, where {} are expected, and {} in that of \
         nine in ten, where {} are",
        half.inside,
        chance(half),
        ninety.inside,
        chance(ninety)
    );
    let than = |one: &Inside| {
        if one.p_value >= TOLD {
            return None;
        }
        let is_more = one.inside as f64 > one.share * one.of as f64;
        let which = if one.share < 0.6 {
            "half"
        } else {
            "nine in ten"
        };
        let how = if is_more { "more" } else { "fewer" };
        Some(format!(
            "{how} in the {which} than chance has it ({})",
            once(one.p_value)
        ))
    };
    if half.of < FEWEST {
        return format!("{counts}: too few to tell.");
    }
    match (than(half), than(ninety)) {
        (None, None) => format!("{counts}: no more and no fewer than chance has it."),
        (one, other) => {
            let told: Vec<String> = one.into_iter().chain(other).collect();
            format!("{counts}: {}.", told.join(", and "))
        }
    }
}

/// "once in 60 by chance".
fn once(probability: f64) -> String {
    let times = 1.0 / probability.max(1.0e-6);
    if times >= 1.0e5 {
        "hardly ever by chance".into()
    } else {
        let step = 10_f64.powf(times.log10().floor() - 1.0).max(1.0);
        format!("once in {:.0} by chance", (times / step).round() * step)
    }
}

/// Whether the plans are wrong in a way that more rounds do not mend.
pub(super) fn leans(review: &Review) -> Vec<String> {
    let mut all = Vec::new();
    let mut say = |lean: Option<Lean>, [positive, negative]: [&str; 2], remedy: &str| {
        let Some(lean) = lean.filter(Lean::is_told) else {
            return;
        };
        let way = if lean.mean > 0.0 { positive } else { negative };
        all.push(format!(
            "Your balls end {way} the middle of their patterns: {} tee shots by {:.1} of a usual miss on \
             average, {}. More rounds do not mend that: where the middle is is not learnt, and \
             the widths take up part of it. {remedy}",
            lean.tee_shots,
            lean.mean.abs(),
            once(lean.p_value),
        ));
    };
    say(
        review.patterns.right,
        ["right of", "left of"],
        "Log shots at a target anew, and have somebody check where you aim.",
    );
    say(
        review.patterns.long,
        ["beyond", "short of"],
        "Log carries anew with the balls that you play, and check the wind and the ground of the plan.",
    );
    if all.is_empty() && review.patterns.right.is_some() {
        all.push("Your balls lean to no side of their patterns beyond chance.".into());
    }
    all
}

/// The names of the widths of course play.
pub(super) const UNKNOWNS: [&str; 4] = [
    "driver, to the side",
    "driver, in distance",
    "other clubs, to the side",
    "other clubs, in distance",
];

/// A width's estimate: "1.22 (1.03 to 1.45)".
pub(super) fn estimate(estimate: &Estimate) -> String {
    let [low, high] = estimate.interval_80;
    format!("{:.2} ({low:.2} to {high:.2})", estimate.median)
}

/// How many more shots are mishit than on the range, in a sentence.
pub(super) fn mishits(review: &Review) -> String {
    let of_100 = |estimate: Estimate| {
        let [low, high] = estimate.interval_80;
        let [low, middle, high] = [low, estimate.median, high].map(|share| 100.0 * share);
        format!("{middle:.1} ({low:.1} to {high:.1})")
    };
    let learnt = &review.course_play;
    format!(
        "Mishits beyond those on the range, of 100 shots: {} before, {} now.",
        of_100(learnt.before.more_mishits),
        of_100(learnt.after.more_mishits)
    )
}

/// What is not learnt of the short game, in a sentence; none where there is nothing to say.
pub(super) fn short_game(review: &Review) -> Option<String> {
    let factors = review.course_play.after.short_game;
    (!factors.is_hardly()).then(|| {
        format!(
            "Wedges and pitches are taken to scatter {} on top of that: tee shots say nothing of them.",
            factors.words()
        )
    })
}

/// How old rounds fade, in a sentence.
pub(super) fn fading(review: &Review) -> String {
    let newer = match review.half_life_rounds {
        1.0 => "1 newer round".into(),
        newer => format!("{newer} newer rounds"),
    };
    format!("Old rounds fade: a round counts half after {newer}.")
}

/// What the rounds say of course play in a sentence.
pub(super) fn learnt(review: &Review) -> String {
    let learnt = &review.course_play;
    let [driver, others] = learnt.tee_shots;
    if !review.teaches() {
        return "No tee shot has an end and no hole a score: nothing is learnt of how you play on a course."
            .into();
    }
    let changed: Vec<String> = learnt
        .before
        .all()
        .iter()
        .zip(learnt.after.all())
        .zip(UNKNOWNS)
        .take(4)
        .filter_map(|((before, after), name)| {
            let ratio = after.median / before.median;
            let [low, high] = after.interval_80;
            let how = match before.median {
                thought if thought < low => "wider",
                thought if thought > high => "tighter",
                _ => return None,
            };
            Some(format!(
                "{name} {how} by {:.0} %",
                100.0 * (ratio - 1.0).abs()
            ))
        })
        .collect();
    let count = |count: usize, what: &str| match count {
        0 => None,
        1 => Some(format!("1 {what}")),
        count => Some(format!("{count} {what}s")),
    };
    let sources = [
        count(driver + others, "tee shot"),
        count(learnt.scores, "score"),
    ];
    let sources: Vec<String> = sources.into_iter().flatten().collect();
    if changed.is_empty() && driver + others < FEWEST {
        let sources = sources.join(" and ");
        return format!("{sources}: too few to tell how much wider you play on a course.");
    }
    let say = if driver + others + learnt.scores == 1 {
        "says"
    } else {
        "say"
    };
    let shots = format!("{} {say}", sources.join(" and "));
    if changed.is_empty() {
        format!("{shots} that you play on a course as was thought, within what is uncertain of it.")
    } else {
        format!(
            "{shots} that you play otherwise than was thought: {}.",
            changed.join(", ")
        )
    }
}

/// What becomes of the decisions.
pub(super) fn next(review: &Review) -> Vec<String> {
    if review.next.is_empty() {
        return Vec::new();
    }
    let told = review.next.iter().filter(|next| next.changes);
    let told: Vec<String> = told.map(|next| change(next, review.unit)).collect();
    if told.is_empty() {
        return vec!["No decision on these holes changes with it.".into()];
    }
    told
}

fn change(next: &Next, unit: LengthUnit) -> String {
    let hole = printable(&next.reference);
    match next.aim_right_m {
        Some(right_m) => {
            let side = if right_m > 0.0 { "right" } else { "left" };
            let name = capital(&next.after);
            format!(
                "Hole {hole}: {name} still, aimed {} further {side}.",
                length(right_m.abs(), unit)
            )
        }
        None => format!(
            "Hole {hole}: {} now, and no longer {}: it saves {:.2}.",
            next.after, next.before, next.saves.strokes
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_true_reason() {
        let names = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect();
        let all = [
            (NotSplit::NoClub, names(&["2", "6"])),
            (NotSplit::NoBall, names(&["1"])),
        ];
        assert_eq!(
            why(&all),
            "holes 2 and 6: the club is not written; hole 1: hardly any of the balls predicted ends so"
        );
        assert_eq!(why(&[]), "");
    }

    #[test]
    fn an_end_in_words_or_in_lengths() {
        let outcome = super::super::result::read("rough left").expect("words");
        let end = End {
            carry_m: Some(200.0),
            side_m: Some(-8.0),
            to_go_m: Some(150.0),
            ..End::default()
        };
        let lengths = said(&end, LengthUnit::Metres);
        assert_eq!(lengths, "200 m carry, 8 m left, 150 m to go");
        let end = End { outcome, ..end };
        assert_eq!(said(&end, LengthUnit::Metres), "rough left");
    }

    #[test]
    fn few_tee_shots_tell_nothing() {
        let counts = |of: usize| inside(&[0.5, 0.9].map(|share| Inside::of(share, of, of)));
        assert!(counts(4).ends_with(": too few to tell."), "{}", counts(4));
        assert!(!counts(5).contains("too few"), "{}", counts(5));
    }
}
