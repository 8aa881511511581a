//! What every plan, page and book says of care.

/// What no plan takes the place of.
#[must_use]
pub fn cautions() -> Vec<String> {
    [
        "Play only when nobody is within reach of any of these balls.",
        "Stop for lightning (Rules of Golf 5.7).",
        "Course marking and the Committee's Local Rules come before any map.",
        "A swing that hurts needs a qualified coach or a doctor before it needs a plan.",
        "Worked out before the round, as Rule 4.3a allows; do not work out a new line or club \
         during it.",
    ]
    .map(String::from)
    .into()
}
