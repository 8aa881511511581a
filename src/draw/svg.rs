//! Scene to SVG text.
//!
//! SVG 1.1 (W3C Recommendation, 16 August 2011), static, without outside
//! resources. Numbers have two decimals at most and never a negative zero, so
//! that the same scene gives the same bytes.

use super::scene::{self, Anchor, Colour, Fill, Node, Step, Stroke, Text};
use svg::node::element::Element;
use svg::node::{Node as _, Text as Words};

/// Families asked for, first to last: plain grotesques, then what there is.
const FAMILY: &str =
    "Helvetica, Arial, 'Nimbus Sans', 'Liberation Sans', 'DejaVu Sans', sans-serif";

/// A number with at most two decimals; what is not finite is written as 0.
#[must_use]
pub fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let mut text = format!("{value:.2}");
    while text.ends_with('0') {
        text.pop();
    }
    if text.ends_with('.') {
        text.pop();
    }
    if text == "-0" {
        text.remove(0);
    }
    text
}

fn hex(colour: Colour) -> String {
    let [r, g, b] = colour.0;
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn steps_to_d(steps: &[Step]) -> String {
    let pair = |p: &[f64; 2]| format!("{} {}", number(p[0]), number(p[1]));
    let mut d = String::new();
    for step in steps {
        match step {
            Step::Move(p) => d.push_str(&format!("M{}", pair(p))),
            Step::Line(p) => d.push_str(&format!("L{}", pair(p))),
            Step::Cubic(a, b, c) => {
                d.push_str(&format!("C{} {} {}", pair(a), pair(b), pair(c)));
            }
            Step::Close => d.push('Z'),
        }
    }
    d
}

fn dress(mut element: Element, fill: Option<Fill>, stroke: Option<Stroke>) -> Element {
    match fill {
        Some(fill) => {
            element.assign("fill", hex(fill.colour));
            if fill.opacity < 1.0 {
                element.assign("fill-opacity", number(fill.opacity));
            }
        }
        None => element.assign("fill", "none"),
    }
    if let Some(stroke) = stroke {
        element.assign("stroke", hex(stroke.colour));
        element.assign("stroke-width", number(stroke.width));
        if let Some([dash, gap]) = stroke.dash {
            element.assign(
                "stroke-dasharray",
                format!("{} {}", number(dash), number(gap)),
            );
        }
        if stroke.opacity < 1.0 {
            element.assign("stroke-opacity", number(stroke.opacity));
        }
    }
    element
}

/// Writes elements and collects clip paths and tiles as it goes.
struct Writer {
    clips: Vec<Element>,
    tiles: Vec<Colour>,
}

/// A tile of dots: lines of no length with round ends.
fn tile(colour: Colour, number_of: usize) -> Element {
    let mut pattern = Element::new("pattern");
    pattern.assign("id", format!("dots-{number_of}"));
    pattern.assign("width", number(scene::TILE));
    pattern.assign("height", number(scene::TILE));
    pattern.assign("patternUnits", "userSpaceOnUse");
    let dots = scene::stipple();
    let mut radii: Vec<f64> = dots.iter().map(|dot| dot.1).collect();
    radii.sort_by(f64::total_cmp);
    radii.dedup();
    for radius in radii {
        let mut d = String::new();
        for (at, _) in dots.iter().filter(|dot| dot.1 == radius) {
            d.push_str(&format!("M{} {}h.01", number(at[0]), number(at[1])));
        }
        let mut path = Element::new("path");
        path.assign("d", d);
        pattern.append(dress(path, None, Some(Stroke::of(colour, radius * 2.0))));
    }
    pattern
}

impl Writer {
    /// The element of a node; none of an empty path.
    fn element(&mut self, node: &Node) -> Option<Element> {
        match node {
            Node::Path {
                steps,
                fill,
                stroke,
            } => (!steps.is_empty()).then(|| path(steps, *fill, *stroke)),
            Node::Circle {
                id,
                at,
                radius,
                fill,
                stroke,
            } => {
                let mut circle = Element::new("circle");
                if let Some(id) = id {
                    circle.assign("id", *id);
                }
                circle.assign("cx", number(at[0]));
                circle.assign("cy", number(at[1]));
                circle.assign("r", number(radius.max(0.0)));
                Some(dress(circle, *fill, *stroke))
            }
            Node::Stipple { steps, colour } => {
                (!steps.is_empty()).then(|| self.stipple(steps, *colour))
            }
            Node::Text(text) => Some(words(text)),
            Node::Group { id, clip, nodes } => {
                let mut group = Element::new("g");
                group.assign("id", *id);
                if let Some(steps) = clip {
                    group.assign("clip-path", self.clip(steps));
                }
                for node in nodes {
                    if let Some(element) = self.element(node) {
                        group.append(element);
                    }
                }
                Some(group)
            }
        }
    }

    /// An area filled with the tile of a colour, which is made where it is new.
    fn stipple(&mut self, steps: &[Step], colour: Colour) -> Element {
        let known = self.tiles.iter().position(|tile| *tile == colour);
        let index = known.unwrap_or_else(|| {
            self.tiles.push(colour);
            self.tiles.len() - 1
        });
        let mut path = Element::new("path");
        path.assign("d", steps_to_d(steps));
        path.assign("fill-rule", "evenodd");
        path.assign("fill", format!("url(#dots-{})", index + 1));
        path
    }

    /// Keeps a clip path; the reference to it.
    fn clip(&mut self, steps: &[Step]) -> String {
        let name = format!("cut-{}", self.clips.len() + 1);
        let mut path = Element::new("path");
        path.assign("d", steps_to_d(steps));
        let mut cut = Element::new("clipPath");
        cut.assign("id", name.clone());
        cut.append(path);
        self.clips.push(cut);
        format!("url(#{name})")
    }
}

fn path(steps: &[Step], fill: Option<Fill>, stroke: Option<Stroke>) -> Element {
    let mut path = Element::new("path");
    path.assign("d", steps_to_d(steps));
    if fill.is_some() {
        path.assign("fill-rule", "evenodd");
    }
    dress(path, fill, stroke)
}

/// A text and what follows it on its line.
fn words(text: &Text) -> Element {
    let mut element = Element::new("text");
    element.assign("x", number(text.at[0]));
    element.assign("y", number(text.at[1]));
    element.assign("font-size", number(text.size));
    element.assign("fill", hex(text.colour));
    if text.bold {
        element.assign("font-weight", "bold");
    }
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => element.assign("text-anchor", "middle"),
        Anchor::End => element.assign("text-anchor", "end"),
    }
    if text.halo {
        element.assign("paint-order", "stroke");
        element.assign("stroke", "#ffffff");
        element.assign("stroke-width", number(text.size * scene::RIM));
        element.assign("stroke-linejoin", "round");
    }
    element.append(Words::new(text.words.clone()));
    for run in &text.tail {
        let mut span = Element::new("tspan");
        span.assign("dx", number(run.size * 0.5));
        span.assign("font-size", number(run.size));
        span.assign("fill", hex(run.colour));
        span.assign("font-weight", if run.bold { "bold" } else { "normal" });
        span.append(Words::new(run.words.clone()));
        element.append(span);
    }
    element
}

/// SVG text of a page of `size` tenths of a millimetre.
///
/// `title` is the page's name for screen readers, already cleaned; it is
/// escaped here like every other text.
#[must_use]
pub fn write(size: [f64; 2], title: &str, nodes: &[Node]) -> String {
    let mut writer = Writer {
        clips: Vec::new(),
        tiles: Vec::new(),
    };
    let body: Vec<Element> = nodes.iter().filter_map(|n| writer.element(n)).collect();
    let mut root = Element::new("svg");
    root.assign("xmlns", "http://www.w3.org/2000/svg");
    root.assign("width", format!("{}mm", number(size[0] / 10.0)));
    root.assign("height", format!("{}mm", number(size[1] / 10.0)));
    root.assign(
        "viewBox",
        format!("0 0 {} {}", number(size[0]), number(size[1])),
    );
    root.assign("font-family", FAMILY);
    root.assign("role", "img");
    root.assign("stroke-linecap", "round");
    root.assign("stroke-linejoin", "round");
    let mut name = Element::new("title");
    name.append(Words::new(title));
    root.append(name);
    if !(writer.clips.is_empty() && writer.tiles.is_empty()) {
        let mut defs = Element::new("defs");
        for (index, colour) in writer.tiles.iter().enumerate() {
            defs.append(tile(*colour, index + 1));
        }
        for clip in writer.clips {
            defs.append(clip);
        }
        root.append(defs);
    }
    for element in body {
        root.append(element);
    }
    // A line break inside a text would be drawn as a space. Texts are escaped,
    // so that these tags are ours.
    let text = format!("{root}\n");
    text.replace("\n<tspan", "<tspan")
        .replace("</tspan>\n", "</tspan>")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_never_minus_zero() {
        assert_eq!(number(-0.001), "0");
        assert_eq!(number(12.5), "12.5");
        assert_eq!(number(-3.456), "-3.46");
        assert_eq!(number(100.0), "100");
        assert_eq!(number(f64::NAN), "0");
    }
}
