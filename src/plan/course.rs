//! All holes of a round at once: the score to expect, its spread, and which
//! holes and decisions matter most.
//!
//! The holes are taken to be independent: their variances add. They are not
//! quite (a bad day is bad on every hole), so that the spread of a true round is
//! wider.

use serde::Serialize;

use super::Plan;
use super::round;
use super::sentence::capital;
use super::why::is_tie;

/// Holes and decisions that are named.
const NAMED: usize = 3;

/// A round of holes.
#[derive(Clone, Debug, Serialize)]
pub struct CourseTotal {
    /// Format version of the file.
    pub format: u32,
    /// Every hole, in the order of play.
    pub holes: Vec<HoleTotal>,
    /// Par of all.
    pub par: u32,
    /// Expected score.
    pub expected_score: f64,
    /// Standard deviation of the score, the holes taken to be independent; null
    /// where a hole was decided by the published table, which knows no scores.
    pub spread: Option<f64>,
    /// What the tees were decided for; null where by the published table.
    pub decided_for: Option<String>,
    /// The sum of what was decided for over all holes: points, or chances, which is
    /// how many holes it comes off on; null for fewest strokes.
    pub worth: Option<f64>,
    /// The same in words, a line each.
    pub words: Vec<String>,
}

/// One hole of it.
#[derive(Clone, Debug, Serialize)]
pub struct HoleTotal {
    /// The hole's `ref`.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Par.
    pub par: u8,
    /// Expected score.
    pub expected_score: f64,
    /// Standard deviation of it.
    pub spread: Option<f64>,
    /// Share of the whole round's variance.
    pub share_of_variance: Option<f64>,
    /// The dearest habit: what not to do.
    pub instead: Option<String>,
    /// Strokes it would cost; 0 where nothing usual costs more than noise.
    pub at_stake: f64,
    /// Standard error of that.
    pub at_stake_standard_error: f64,
}

/// Of the plans of a round; none of no plans.
#[must_use]
pub fn course_total(plans: &[Plan]) -> Option<CourseTotal> {
    if plans.is_empty() {
        return None;
    }
    let expected = |plan: &Plan| {
        plan.whole_hole
            .as_ref()
            .map_or(plan.choice.shot.expected_strokes, |w| w.expected_score)
    };
    let variance: Option<f64> = plans
        .iter()
        .map(|p| p.whole_hole.as_ref().map(|w| w.spread * w.spread))
        .sum();
    let holes: Vec<HoleTotal> = plans
        .iter()
        .map(|plan| {
            let stake = at_stake(plan);
            let spread = plan.whole_hole.as_ref().map(|w| w.spread);
            HoleTotal {
                reference: plan.hole.reference.clone(),
                par: plan.hole.par,
                expected_score: round::strokes(expected(plan)),
                spread,
                share_of_variance: spread
                    .zip(variance)
                    .filter(|(_, all)| *all > 0.0)
                    .map(|(spread, all)| round::strokes(spread * spread / all)),
                at_stake: stake.as_ref().map_or(0.0, |s| s.1),
                at_stake_standard_error: stake.as_ref().map_or(0.0, |s| s.2),
                instead: stake.map(|s| s.0),
            }
        })
        .collect();
    let decided_for = plans
        .iter()
        .map(|p| p.whole_hole.as_ref().map(|w| w.decided_for.clone()))
        .reduce(|a, b| if a == b { a } else { None })
        .flatten();
    let of_aim = |plan: &Plan| {
        let whole = plan.whole_hole.as_ref()?;
        let aims = whole.aims_of_play.iter();
        let mut own = aims.filter(|f| f.aim == whole.decided_for && f.aim != "strokes");
        own.next().map(|f| f.worth_of_plan)
    };
    let worth: Option<f64> = plans.iter().map(of_aim).sum();
    let mut total = CourseTotal {
        format: 1,
        decided_for,
        worth: worth.map(round::strokes),
        par: plans.iter().map(|p| u32::from(p.hole.par)).sum(),
        expected_score: round::strokes(plans.iter().map(expected).sum()),
        spread: variance.map(|v| round::strokes(v.sqrt())),
        holes,
        words: Vec::new(),
    };
    total.words = words(&total, plans);
    Some(total)
}

/// The dearer of two habits, aiming down the middle and taking the next best
/// club: what, its cost and the standard error; none within noise.
#[must_use]
pub fn at_stake(plan: &Plan) -> Option<(String, f64, f64)> {
    let middle = plan
        .comparisons
        .iter()
        .filter(|c| c.name == "down the middle")
        .map(|c| (c.name.clone(), c.costs, c.costs_standard_error));
    let next = plan
        .alternatives
        .iter()
        .find(|a| a.shot.club != plan.choice.shot.club)
        .map(|a| (a.shot.name(plan.unit()), a.costs, a.costs_standard_error));
    middle
        .chain(next)
        .filter(|(_, costs, error)| costs.is_finite() && *costs > 0.0 && !is_tie(*costs, *error))
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

fn words(total: &CourseTotal, plans: &[Plan]) -> Vec<String> {
    let over = total.expected_score - f64::from(total.par);
    let par = match over {
        o if o.abs() < 0.005 => "level with par".to_owned(),
        o if o > 0.0 => format!("{o:.2} over par {}", total.par),
        o => format!("{:.2} under par {}", -o, total.par),
    };
    let holes = total.holes.len();
    let mut lines = vec![match total.spread {
        Some(spread) => format!(
            "{holes} holes in {:.2} strokes on average, {par}; two rounds in three within {spread:.1} \
             of that, were every hole a day of its own.",
            total.expected_score
        ),
        None => format!(
            "{holes} holes in {:.2} strokes on average, {par}.",
            total.expected_score
        ),
    }];
    lines.extend(total.worth.map(|worth| match total.decided_for.as_deref() {
        Some("par") => format!("Par or better on {worth:.1} of {holes} holes."),
        Some("no-double") => format!("Bogey or better on {worth:.1} of {holes} holes."),
        Some("match") => format!(
            "Of {holes} holes {worth:.1} are won, a half counted as half: {:+.1} up, each hole \
                 played for itself.",
            2.0 * worth - holes as f64
        ),
        _ => format!("{worth:.1} Stableford points on {holes} holes."),
    }));
    let named = |mut of: Vec<(f64, String)>| -> String {
        // The first of equals stays first.
        of.sort_by(|a, b| b.0.total_cmp(&a.0));
        let named: Vec<String> = of.into_iter().take(NAMED).map(|n| n.1).collect();
        named.join("; ")
    };
    let dear = named(
        total
            .holes
            .iter()
            .map(|h| {
                let over = h.expected_score - f64::from(h.par);
                (over, format!("{} ({over:+.2})", h.reference))
            })
            .collect(),
    );
    lines.push(format!("Hardest against par: hole {dear}."));
    if total.spread.is_some() {
        let wide = named(
            total
                .holes
                .iter()
                .filter_map(|h| {
                    let share = h.share_of_variance?;
                    Some((share, format!("{} ({:.0} %)", h.reference, share * 100.0)))
                })
                .collect(),
        );
        lines.push(format!("Hardest to foresee: hole {wide}."));
    }
    let stakes: Vec<(f64, String)> = total
        .holes
        .iter()
        .zip(plans)
        .filter_map(|(h, plan)| {
            let instead = h.instead.as_ref()?;
            Some((
                h.at_stake,
                format!(
                    "{}, {} and not {} ({:.2})",
                    h.reference,
                    capital(&plan.tee_shot_name()),
                    instead,
                    h.at_stake
                ),
            ))
        })
        .collect();
    lines.push(if stakes.is_empty() {
        "No hole punishes the usual choice.".to_owned()
    } else {
        format!("The decisions that matter most: hole {}.", named(stakes))
    });
    lines
}
