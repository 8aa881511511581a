//! Names that try to be something else: markup, PDF and SVG syntax, control
//! characters, turned reading direction, letters without a glyph, no end.

use bendline::plan::Plan;

/// The names.
pub fn names() -> Vec<String> {
    let long = "Endless ".repeat(900);
    let solid = "W".repeat(5_000);
    [
        "<script>alert('x')</script>",
        "]]><svg onload=\"x\">&amp;&#0;",
        "</script><script>window.caught=1</script>",
        "\"><img src=x onerror=window.caught=1><b a='",
        "<!--</style></title></select></svg><script>window.caught=1</script>",
        ") Tj ET /JS (app.alert) << >> endstream %PDF",
        "a\u{0}b\u{1b}[31mc\u{202e}d\u{feff}e\u{ffff}\r\nf",
        "\u{1f3cc}\u{fe0f} 日本語の名前 עברית العربية",
        "",
        " ",
        &long,
        &solid,
    ]
    .map(str::to_owned)
    .to_vec()
}

/// Puts a name wherever a plan has words that come from a file.
pub fn put(plan: &mut Plan, name: &str) {
    let put = |s: &mut String| s.replace_range(.., name);
    put(&mut plan.hole.reference);
    plan.hole.name = Some(name.to_owned());
    plan.hole.tee_colour = Some(name.to_owned());
    put(&mut plan.player.name);
    put(&mut plan.choice.shot.club);
    put(&mut plan.choice.shot.shape);
    put(&mut plan.choice.shot.aim.words);
    put(&mut plan.words.sentence);
    put(&mut plan.conditions.firmness);
    plan.carries.iter_mut().for_each(|c| put(&mut c.words));
    plan.alternatives
        .iter_mut()
        .for_each(|a| put(&mut a.shot.club));
    plan.comparisons.iter_mut().for_each(|c| put(&mut c.name));
    plan.cautions = vec![name.to_owned()];
}

/// The name's first letters, to say which it was.
pub fn begin(name: &str) -> String {
    name.chars().take(12).collect()
}
