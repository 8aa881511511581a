//! What practising saves, through the binary.

use super::*;

/// What a command prints on its standard output.
fn printed(folder: &TempDir, arguments: &[&str]) -> String {
    let done = bendline(folder.path(), arguments);
    let error = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(0), "{error}");
    String::from_utf8(done.stdout).expect("UTF-8")
}

/// The number between two pieces of text, as printed.
fn between<'a>(text: &'a str, before: &str, after: &str) -> &'a str {
    let from = text
        .find(before)
        .unwrap_or_else(|| panic!("{before} in {text}"))
        + before.len();
    let rest = &text[from..];
    &rest[..rest
        .find(after)
        .unwrap_or_else(|| panic!("{after} in {rest}"))]
}

/// `practice` and `plan` print the same strokes for the same player and holes, on a course and as on the
/// range; the sheet has three targets.
#[test]
fn practice_and_plan_print_the_same_strokes() {
    let folder = folder();
    for range in [&[][..], &["--as-on-the-range"]] {
        let holes = ["--hole", "2", "--hole", "7"];
        let course = source("holes/course.geojson");
        let plan: [&[&str]; 3] = [&["plan", &course], &holes, range];
        let plan = printed(&folder, &plan.concat());
        let practice: [&[&str]; 4] = [
            &["practice", &course],
            &holes,
            range,
            &["--sheet", "sheet.svg"],
        ];
        let practice = printed(&folder, &practice.concat());
        let strokes = between(&plan, "2 holes in ", " strokes");
        assert_eq!(strokes, between(&practice, "2 holes in ", " strokes"));
        let sheet = fs::read_to_string(folder.path().join("sheet.svg")).expect("the sheet");
        assert!(
            sheet.contains(&format!("2 holes in {strokes} strokes")),
            "{strokes}"
        );
        assert_eq!(sheet.matches(">day 1<").count(), 3);
        fs::remove_file(folder.path().join("sheet.svg")).expect("a file");
    }
}
