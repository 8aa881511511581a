//! A scene as inline SVG, in the classes that the page's style turns dark.

use super::super::scene::{Anchor, Colour, Fill, Node, Step, Stroke, palette};
use super::html::escape;

/// A number with at most one decimal: a screen has no finer.
pub(super) fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0" } else { text }.to_owned()
}

/// The class that gives a colour, in light and in dark.
fn class(colour: Colour) -> &'static str {
    match colour {
        palette::PAPER => "paper",
        palette::STONE => "stone",
        palette::MIST => "mist",
        palette::ACCENT => "accent",
        palette::FAIRWAY => "fairway",
        palette::FAIRWAY_EDGE => "fairway-edge",
        palette::GREEN => "green",
        palette::SAND => "sand",
        palette::SAND_EDGE => "sand-edge",
        palette::WOOD => "wood",
        palette::WOOD_EDGE => "wood-edge",
        palette::WATER => "water",
        palette::RED => "red",
        palette::YELLOW => "yellow",
        _ => "ink",
    }
}

/// Writes a picture as it goes.
pub(super) struct Pen {
    /// What sets the names of its clip paths apart from those of other pictures.
    name: String,
    clips: usize,
    /// What was written.
    pub out: String,
}

impl Pen {
    /// Of a picture with a name of its own on the page.
    pub fn new(name: String) -> Self {
        Self {
            name,
            clips: 0,
            out: String::new(),
        }
    }

    /// Nodes one on the other.
    pub fn nodes(&mut self, nodes: &[Node]) {
        for node in nodes {
            self.node(node);
        }
    }

    /// A node.
    pub fn node(&mut self, node: &Node) {
        match node {
            Node::Path {
                steps,
                fill,
                stroke,
            } => {
                if steps.is_empty() {
                    return;
                }
                let rule = if fill.is_some() {
                    " fill-rule=\"evenodd\""
                } else {
                    ""
                };
                let dress = dress(*fill, *stroke);
                self.out
                    .push_str(&format!("<path{dress}{rule} d=\"{}\"/>", trace(steps)));
            }
            Node::Stipple { steps, .. } => {
                if !steps.is_empty() {
                    self.out.push_str(&format!(
                        "<path fill=\"url(#dots)\" fill-rule=\"evenodd\" d=\"{}\"/>",
                        trace(steps)
                    ));
                }
            }
            Node::Circle {
                id,
                at,
                radius,
                fill,
                stroke,
            } => {
                let name = id.map_or_else(String::new, |id| format!(" data-at=\"{id}\""));
                let dress = dress(*fill, *stroke);
                self.out.push_str(&format!(
                    "<circle{dress}{name} cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                    number(at[0]),
                    number(at[1]),
                    number(radius.max(0.0))
                ));
            }
            Node::Text(text) => {
                let anchor = match text.anchor {
                    Anchor::Start => "",
                    Anchor::Middle => " text-anchor=\"middle\"",
                    Anchor::End => " text-anchor=\"end\"",
                };
                let strong = if text.bold { " b" } else { "" };
                let halo = if text.halo { " halo" } else { "" };
                self.out.push_str(&format!(
                    "<text class=\"f-{}{strong}{halo}\" x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}>{}</text>",
                    class(text.colour),
                    number(text.at[0]),
                    number(text.at[1]),
                    number(text.size),
                    escape(&text.words)
                ));
            }
            Node::Group { clip, nodes, .. } => {
                let Some(steps) = clip else {
                    self.nodes(nodes);
                    return;
                };
                self.clips += 1;
                let id = format!("cut-{}-{}", self.name, self.clips);
                self.out.push_str(&format!(
                    "<clipPath id=\"{id}\"><path d=\"{}\"/></clipPath><g clip-path=\"url(#{id})\">",
                    trace(steps)
                ));
                self.nodes(nodes);
                self.out.push_str("</g>");
            }
        }
    }
}

fn dress(fill: Option<Fill>, stroke: Option<Stroke>) -> String {
    let mut classes = Vec::new();
    let mut more = String::new();
    match fill {
        Some(fill) => {
            classes.push(format!("f-{}", class(fill.colour)));
            if fill.opacity < 1.0 {
                more.push_str(&format!(" fill-opacity=\"{:.2}\"", fill.opacity));
            }
        }
        None => more.push_str(" fill=\"none\""),
    }
    if let Some(stroke) = stroke {
        classes.push(format!("s-{}", class(stroke.colour)));
        more.push_str(&format!(" stroke-width=\"{}\"", number(stroke.width)));
        if let Some([dash, gap]) = stroke.dash {
            more.push_str(&format!(
                " stroke-dasharray=\"{} {}\"",
                number(dash),
                number(gap)
            ));
        }
        if stroke.opacity < 1.0 {
            more.push_str(&format!(" stroke-opacity=\"{:.2}\"", stroke.opacity));
        }
    }
    if classes.is_empty() {
        more
    } else {
        format!(" class=\"{}\"{more}", classes.join(" "))
    }
}

fn trace(steps: &[Step]) -> String {
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
