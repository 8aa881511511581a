//! A hundred balls of every case: the same ones, which move when the dial turns.
//!
//! Ball by ball they are of one launch wherever club, swing, seed and count are the same
//! ([`crate::plan::hundred`]); of another club they are other balls, and do not move but change. A picture draws them where they end in the day's wind; where they end
//! in the other winds stands beside them in numbers, by which the page moves them.

use super::super::frame::Frame;
use super::super::scene::Point;
use super::pen::number;
use crate::hole::Surface;
use crate::hole::plane::Plane;
use crate::plan::Plan;

/// The marks of balls by what they end in, for both pictures: small ones on the whole hole.
#[must_use]
pub fn marks() -> String {
    let violet = "class=\"f-accent s-paper\" stroke-width=\"1.2\"";
    let rim = "class=\"f-paper s-accent\" stroke-width=\"2.4\"";
    let ink = "class=\"f-paper s-ink\" stroke-width=\"2.4\"";
    let cross = "class=\"s-ink\" fill=\"none\" stroke-width=\"3.4\"";
    format!(
        "<circle id=\"s0\" {violet} r=\"3.4\"/>\
         <path id=\"s4\" class=\"s-ink\" fill=\"none\" stroke-width=\"2.6\" \
         d=\"M-4 -4L4 4M-4 4L4 -4\"/>\
         <circle id=\"b0\" {violet} r=\"6\"/><circle id=\"b1\" {rim} r=\"5.4\"/>\
         <path id=\"b2\" {ink} d=\"M-5.4 -5.4H5.4V5.4H-5.4Z\"/>\
         <path id=\"b3\" {ink} d=\"M0 -7.6L7 5H-7Z\"/>\
         <path id=\"b4\" {cross} d=\"M-6 -6L6 6M-6 6L6 -6\"/>"
    )
}

/// Which mark a ball has by what it ends in.
fn mark(end: &str) -> u8 {
    match end {
        "fairway" | "green" => 0,
        "rough" => 1,
        "bunker" => 2,
        "trees" => 3,
        _ => 4,
    }
}

/// The mark of what ends on a surface, to stand in a line of text.
#[must_use]
pub fn key(surface: Option<Surface>) -> String {
    let mark = match surface {
        Some(Surface::Fairway | Surface::Green | Surface::Tee) => 0,
        None | Some(Surface::Rough) => 1,
        Some(Surface::Bunker) => 2,
        Some(Surface::Trees) => 3,
        Some(Surface::PenaltyRed | Surface::PenaltyYellow | Surface::OutOfBounds) => 4,
    };
    format!(
        "<svg class=\"key\" viewBox=\"-10 -10 20 20\" aria-hidden=\"true\"><use href=\"#b{mark}\"/></svg> "
    )
}

/// A ball on a picture, and its mark.
pub(super) type Ball = (Point, u8);

/// The hundred balls of a plan on a picture; none where one of them has no place.
pub(super) fn of(plan: &Plan, frame: &Frame, plane: &Plane) -> Vec<Ball> {
    let hundred = &plan.finishes.hundred;
    let placed = |(at, end): (&crate::plan::LonLat, &&'static str)| {
        let at = plane.to_plane(at.lon, at.lat);
        let is_near = at.x.abs() < 5_000.0 && at.y.abs() < 5_000.0;
        is_near.then(|| (frame.place(at), mark(end)))
    };
    let all: Option<Vec<Ball>> = hundred.at.iter().zip(&hundred.ends).map(placed).collect();
    all.unwrap_or_default()
}

/// The balls as drawn, small or large. `is_same` says of each case whether its launches are the first
/// one's.
pub(super) fn write(cases: &[Vec<Ball>], is_same: &[bool], is_small: bool, out: &mut String) {
    let Some(first) = cases.first().filter(|balls| !balls.is_empty()) else {
        return;
    };
    let name = |mark: u8| match (is_small, mark) {
        (true, 4) => "s4".to_owned(),
        (true, _) => "s0".to_owned(),
        (false, mark) => format!("b{mark}"),
    };
    let at = |balls: &Vec<Ball>| -> String {
        let each = balls.iter().map(|(at, mark)| {
            let mark = if is_small && *mark < 4 { 0 } else { *mark };
            format!("{} {} {mark}", number(at[0].round()), number(at[1].round()))
        });
        each.collect::<Vec<_>>().join(" ")
    };
    let ends: Vec<String> = cases.iter().map(at).collect();
    let same = is_same.iter().map(|is| if *is { "1" } else { "0" });
    out.push_str(&format!(
        "<g class=\"balls\" data-marks=\"{}\" data-same=\"{}\" data-at=\"{}\">",
        if is_small { "s" } else { "b" },
        same.collect::<String>(),
        ends.join(";")
    ));
    for (at, mark) in first {
        out.push_str(&format!(
            "<use href=\"#{}\" x=\"{}\" y=\"{}\"/>",
            name(*mark),
            number(at[0].round()),
            number(at[1].round())
        ));
    }
    out.push_str("</g>");
}
