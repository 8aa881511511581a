//! What `shape` says of spoilt logs, word for word: `tests/bad/log_question` has a text for each. To
//! write a new one, run with `BENDLINE_WRITE_EXPECTED=1` and read it before keeping it.

use std::fs;
use std::path::Path;

use crate::log_columns::{OF_ONE_BALL, first_of_club};
use crate::log_questions::{HARMS, changed, demo_text, refused, with_column};

/// The lengths of a log times so much.
fn lengths(log: &str, times: f64) -> String {
    let headings = ["carry_yd", "total_yd", "side_yd", "curve_yd"];
    let log = log.to_owned();
    let changed = |log: String, heading| changed(&log, heading, |x| times * x);
    headings.into_iter().fold(log, changed)
}

#[test]
fn log_questions_word_for_word() {
    let draw = demo_text("strong-draw");
    let mut spoilt: Vec<(&str, String)> = Vec::new();
    for (what, harm, _) in HARMS {
        spoilt.push((what, harm(&draw)));
    }
    for (what, harm, _) in OF_ONE_BALL {
        spoilt.push((what, harm(&draw)));
    }
    spoilt.push(("yards in feet", lengths(&draw, 1.0 / 3.0)));
    spoilt.push(("one row for each club", first_of_club(&draw)));
    spoilt.push(("left-hander", demo_text("left-hander")));
    let numbered = |row: usize, _: &str| format!("shot {row}");
    spoilt.push(("shapes numbered", with_column(&draw, "shape", numbered)));
    let faded = |_: usize, _: &str| "fade".to_owned();
    spoilt.push(("draws called fades", with_column(&draw, "shape", faded)));

    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad/log_question");
    let mut wrong = Vec::new();
    for (what, log) in &spoilt {
        let said = refused(log, &[]);
        let name = what.replace([' ', ','], "_").replace("__", "_");
        let beside = folder.join(name).with_extension("expected");
        if std::env::var_os("BENDLINE_WRITE_EXPECTED").is_some() && !beside.exists() {
            fs::write(&beside, &said).expect("a file written");
        }
        let expected = fs::read_to_string(&beside).unwrap_or_default();
        if said != expected {
            wrong.push(format!("== {what}\n{said}\n== expected\n{expected}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
    let texts = fs::read_dir(folder).expect("the folder").count();
    assert_eq!(texts, spoilt.len(), "a text was added or lost");
}
