//! What the drawings of a shape and of a flight are drawn with.

use svg::node::element::{Circle, Line, Text};

pub(super) const INK: &str = "#18221f";
pub(super) const STONE: &str = "#5c6763";
pub(super) const MIST: &str = "#c9d0cc";
pub(super) const ACCENT: &str = "#421ac4";
pub(super) const FAMILY: &str = "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif";

/// Round steps between two values, about `count` of them.
pub(super) fn ticks(low: f64, high: f64, count: usize) -> Vec<f64> {
    let rough = (high - low) / count.max(1) as f64;
    if !(rough.is_finite() && rough > 0.0) {
        return Vec::new();
    }
    let power = 10.0_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .map(|s| s * power)
        .into_iter()
        .find(|s| *s >= rough);
    let step = step.unwrap_or(10.0 * power);
    let mut out = Vec::new();
    let mut k = (low / step).ceil();
    while k * step <= high && out.len() < 50 {
        // No negative zero.
        out.push(k * step + 0.0);
        k += 1.0;
    }
    out
}

/// A path through points, straight from each to the next.
pub(super) fn polyline(points: &[[f64; 2]]) -> String {
    let mut d = String::new();
    for (i, [x, y]) in points.iter().enumerate() {
        d.push_str(if i == 0 { "M" } else { "L" });
        d.push_str(&number(*x));
        d.push(' ');
        d.push_str(&number(*y));
    }
    d
}

/// A number as SVG has it: two decimals at most, no negative zero.
pub(super) fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// Words at a point.
pub(super) fn text(x: f64, y: f64, size: f64, colour: &str, anchor: &str, words: &str) -> Text {
    Text::new(words)
        .set("x", number(x))
        .set("y", number(y))
        .set("font-size", size)
        .set("fill", colour)
        .set("text-anchor", anchor)
}

/// A straight line.
pub(super) fn line(from: [f64; 2], to: [f64; 2], colour: &str, width: f64) -> Line {
    Line::new()
        .set("x1", number(from[0]))
        .set("y1", number(from[1]))
        .set("x2", number(to[0]))
        .set("y2", number(to[1]))
        .set("stroke", colour)
        .set("stroke-width", width)
}

/// A full dot.
pub(super) fn dot(at: [f64; 2], radius: f64, colour: &str) -> Circle {
    Circle::new()
        .set("cx", number(at[0]))
        .set("cy", number(at[1]))
        .set("r", radius)
        .set("fill", colour)
}

/// An open one.
pub(super) fn ring(at: [f64; 2], radius: f64) -> Circle {
    dot(at, radius, "#ffffff")
        .set("stroke", INK)
        .set("stroke-width", 1.2)
}
