//! Plan to terminal text and JSON.
//!
//! The decision stands first, in few lines; the tables follow where they are asked for,
//! and what was assumed comes last, once. Without [`Look::Terminal`] the text is plain: no
//! control character is in it. No line is wider than asked for (down to 40 columns)
//! unless it is one word.

mod brief;
mod full;
pub mod geojson;
mod layout;
pub mod markdown;

use crate::diagnostic;
use crate::plan::Plan;
use crate::plan::course::{CourseTotal, course_total};
use layout::{list, wrap};

/// How the text is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Setting {
    /// Columns: 40 to 120, nearer ones for others.
    pub width: usize,
    /// Whether the tables follow the decision.
    pub full: bool,
    /// Bold and dim, or plain.
    pub look: Look,
}

/// How what matters is told from the rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// No control characters.
    Plain,
    /// Bold and dim, by the escape sequences that terminals obey (ECMA-48).
    Terminal,
}

impl Look {
    fn within(self, text: &str, on: u8) -> String {
        match self {
            Self::Terminal if !text.is_empty() => format!("\u{1b}[{on}m{text}\u{1b}[22m"),
            _ => text.to_owned(),
        }
    }

    /// What is read first.
    fn bold(self, text: &str) -> String {
        self.within(text, 1)
    }

    /// What is read last.
    fn dim(self, text: &str) -> String {
        self.within(text, 2)
    }
}

/// The plans of a run as text: of one hole the decision, of several a line each and
/// their total; the tables of each where they are asked for; then what was assumed.
#[must_use]
pub fn terminal(plans: &[Plan], setting: &Setting) -> String {
    let setting = &Setting {
        width: setting.width.clamp(40, 120),
        ..*setting
    };
    let width = setting.width;
    let mut out = String::new();
    let (Some(first), total) = (plans.first(), course_total(plans)) else {
        return out;
    };
    for line in once(plans, |plan| &plan.check_first) {
        wrap(&mut out, &format!("Check first: {line}."), width, "");
    }
    match (plans, total) {
        ([_, _, ..], Some(total)) => {
            if setting.full {
                for plan in plans {
                    out.push('\n');
                    brief::decision(&mut out, plan, setting);
                    full::tables(&mut out, plan, width);
                }
            }
            brief::course(&mut out, plans, &total, setting);
        }
        _ => {
            brief::decision(&mut out, first, setting);
            if setting.full {
                full::tables(&mut out, first, width);
            }
        }
    }
    let mut last = String::from("\n");
    wrap(&mut last, &brief::player_and_day(first), width, "");
    list(&mut last, "Notes", &once(plans, |plan| &plan.notes), width);
    let care = once(plans, |plan| &plan.cautions);
    list(&mut last, "Take care", &care, width);
    for line in last.lines() {
        out.push_str(&setting.look.dim(line));
        out.push('\n');
    }
    out
}

/// The lines of all plans, each once.
fn once<'a>(plans: &'a [Plan], of: impl Fn(&'a Plan) -> &'a [String]) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for line in plans.iter().flat_map(of) {
        if !lines.contains(line) {
            lines.push(line.clone());
        }
    }
    lines
}

/// The plan file: JSON, indented by two spaces, with a line break at the end.
#[must_use]
pub fn json(plan: &Plan) -> String {
    // A plan is plain structs and strings: writing it cannot fail.
    diagnostic::json(&serde_json::to_string_pretty(plan).unwrap_or_default()) + "\n"
}

/// Several plans and their total as one JSON object, `course` and `plans`, with a line
/// break at the end.
#[must_use]
pub fn several_json(total: Option<&CourseTotal>, plans: &[Plan]) -> String {
    #[derive(serde::Serialize)]
    struct Several<'a> {
        course: Option<&'a CourseTotal>,
        plans: &'a [Plan],
    }
    let several = Several {
        course: total,
        plans,
    };
    diagnostic::json(&serde_json::to_string_pretty(&several).unwrap_or_default()) + "\n"
}

/// The total of several holes as JSON, with a line break at the end.
#[must_use]
pub fn course_json(total: &CourseTotal) -> String {
    diagnostic::json(&serde_json::to_string_pretty(total).unwrap_or_default()) + "\n"
}
