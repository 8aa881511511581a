//! The list of what to practise, in words and as JSON.

use super::drill::Drill;
use super::remedy::Remedy;
use super::{PLAYS, Practice, Saving, Strokes};
use crate::diagnostic::printable;
use crate::plan::sentence;
use crate::player::Player;
use crate::units::LengthUnit;

impl Remedy {
    /// In a player's words.
    #[must_use]
    pub fn words(self, unit: LengthUnit) -> String {
        let pitches = match unit {
            LengthUnit::Yards => "pitches from 30 to 100 yd",
            LengthUnit::Metres => "pitches from 27 to 91 m",
        };
        match self {
            Self::TeeStart => "straighter starts off the tee",
            Self::TeeBend => "a steadier bend off the tee",
            Self::TeeDistance => "a steadier carry off the tee",
            Self::TeeMishits => "half the mishits off the tee",
            Self::ApproachDirection => "straighter approaches",
            Self::ApproachDistance => "a steadier carry on approaches",
            Self::ApproachMishits => "half the mishits on approaches",
            Self::Pitches => pitches,
            Self::Sand => "bunker shots",
            Self::Chips => "chips",
            Self::Putting => "putting",
            Self::CentredStrike => "strikes nearer the middle of the face",
            Self::Longer => "10 yd more with the longest club",
        }
        .into()
    }
}

/// What the figures mean.
const MEANS: &str = "\"Straighter\", \"steadier\", pitches, bunker shots and chips: a fifth less scatter, so \
     that a gate which holds 5 of 10 balls today holds 6. Strikes half as far from the middle. Putts as \
     of a player five strokes better. Same rank: no worse than the first of that rank, beyond noise.";
const PLAYED: &str = "of each hole on the same luck, played to the last putt by your own game, as a plan \
     counts it. What follows ± is the standard error of those plays; what your log leaves open of you is \
     not in it. Less scatter is played by the same plan; other strikes and lengths by a new one.";
const MODEL: &str = "Pitches, bunker shots, chips and putts are model: by your handicap and your full swings, \
     not by logged ones.";

/// The list for a terminal, before it is set in its width. `who` is the player.
#[must_use]
pub fn text(practice: &Practice, who: &str, unit: LengthUnit) -> String {
    let holes = match practice.holes.as_slice() {
        [(only, _)] => format!("hole {}", printable(only)),
        several => format!("{} holes", several.len()),
    };
    let mut lines = vec![
        format!(
            "{who}: {holes} in {:.2} strokes on average.",
            practice.strokes
        ),
        String::new(),
        "What would save most here, strokes:".into(),
    ];
    let (noise, told): (Vec<&Saving>, Vec<&Saving>) = practice
        .savings
        .iter()
        .partition(|saving| saving.all.is_noise());
    let rows = told.iter();
    let rows: Vec<[String; 3]> = rows
        .map(|saving| [place(saving), saving.remedy.words(unit), saved(saving.all)])
        .collect();
    let widest = rows.iter().map(|row| row[1].chars().count()).max();
    let widest = widest.unwrap_or(0);
    for ([place, words, saved], saving) in rows.iter().zip(told) {
        let holes =
            pays_on(practice, saving).map_or_else(String::new, |holes| format!(", {holes}"));
        lines.push(format!("  {place:>3} {words:<widest$}  {saved}{holes}"));
    }
    if !noise.is_empty() {
        let noise: Vec<String> = noise.iter().map(|s| s.remedy.words(unit)).collect();
        lines.push(format!("      nothing beyond noise: {}", noise.join(", ")));
    }
    for remedy in &practice.untold {
        lines.push(format!(
            "      {}: cannot be told; it needs a log with face, path and strike",
            remedy.words(unit)
        ));
    }
    lines.push(String::new());
    lines.push(format!("{PLAYS} plays {PLAYED}"));
    lines.push(MEANS.into());
    lines.push(MODEL.into());
    lines.join("\n")
}

/// "0.41 ± 0.02"; an error that two decimals do not show is "under 0.01".
#[must_use]
pub fn saved(strokes: Strokes) -> String {
    let Strokes {
        mean,
        standard_error,
    } = strokes;
    if standard_error < 0.005 {
        format!("{mean:.2} (± under 0.01)")
    } else {
        format!("{mean:.2} ± {standard_error:.2}")
    }
}

/// "2", or "2=" where others have that place too.
#[must_use]
pub fn place(saving: &Saving) -> String {
    let shared = if saving.is_shared { "=" } else { "" };
    format!("{}{shared}", saving.rank)
}

/// Holes named for a remedy.
const NAMED: usize = 3;

/// The holes on which a remedy pays most, in their order: "most on 4, 6 and 9"; none of one hole,
/// or where none pays beyond noise.
#[must_use]
pub fn pays_on(practice: &Practice, saving: &Saving) -> Option<String> {
    if practice.holes.len() < 2 {
        return None;
    }
    let mut paying: Vec<usize> = (0..practice.holes.len())
        .filter(|hole| saving.by_hole[*hole].is_saved())
        .collect();
    paying.sort_by(|a, b| saving.by_hole[*b].mean.total_cmp(&saving.by_hole[*a].mean));
    if paying.len() == practice.holes.len() && paying.len() <= NAMED {
        return Some("on each hole".into());
    }
    paying.truncate(NAMED);
    paying.sort_unstable();
    let names: Vec<String> = paying
        .iter()
        .map(|hole| printable(&practice.holes[*hole].0))
        .collect();
    match names.as_slice() {
        [] => None,
        [only] => Some(format!("most on {only}")),
        [first @ .., last] => Some(format!("most on {} and {last}", first.join(", "))),
    }
}

/// The three things to work on: those that save most and can be tested.
#[must_use]
pub fn three<'a>(
    practice: &'a Practice,
    drills: &'a [Option<Drill>],
) -> Vec<(&'a Saving, &'a Drill)> {
    let all = practice.savings.iter().zip(drills);
    let tested = all.filter_map(|(saving, drill)| Some((saving, drill.as_ref()?)));
    tested
        .filter(|(saving, _)| saving.all.is_saved())
        .take(3)
        .collect()
}

/// "driver: 12 of 20 start through the gate; today 10".
#[must_use]
pub fn target(drill: &Drill) -> String {
    format!(
        "{}: {} of {} {}; today {}",
        sentence::capital(&drill.club),
        drill.target,
        drill.balls,
        drill.counted,
        drill.today
    )
}

/// The list as JSON: strokes to four decimals.
#[must_use]
pub fn json(
    practice: &Practice,
    player: &Player,
    drills: &[Option<Drill>],
    unit: LengthUnit,
) -> serde_json::Value {
    let round = |strokes: f64| (strokes * 1e4).round() / 1e4 + 0.0;
    let holes: Vec<serde_json::Value> = practice
        .holes
        .iter()
        .map(|(name, strokes)| serde_json::json!({ "ref": name, "strokes": round(*strokes) }))
        .collect();
    let savings = practice.savings.iter().zip(drills).map(|(saving, drill)| {
        let by_hole = practice.holes.iter().zip(&saving.by_hole);
        let by_hole = by_hole.map(|((name, _), strokes)| {
            serde_json::json!({
                "ref": name,
                "strokes": round(strokes.mean),
                "standard_error": round(strokes.standard_error),
            })
        });
        let drill = drill.as_ref().map(|drill| {
            serde_json::json!({
                "club": drill.club,
                "test": drill.test,
                "counted": drill.counted,
                "balls": drill.balls,
                "today": drill.today,
                "target": drill.target,
            })
        });
        serde_json::json!({
            "change": saving.remedy.words(unit),
            "rank": saving.rank,
            "is_shared": saving.is_shared,
            "is_model": saving.remedy.is_model(),
            "strokes": round(saving.all.mean),
            "standard_error": round(saving.all.standard_error),
            "by_hole": by_hole.collect::<Vec<_>>(),
            "drill": drill,
        })
    });
    let untold = practice.untold.iter().map(|remedy| remedy.words(unit));
    serde_json::json!({
        "format": 2,
        "player": player.name,
        "handicap": player.handicap,
        "expected_strokes": holes,
        "expected_score": round(practice.strokes),
        "plays": PLAYS,
        "savings": savings.collect::<Vec<_>>(),
        "untold": untold.collect::<Vec<_>>(),
    })
}
