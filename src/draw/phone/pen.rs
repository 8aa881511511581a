//! A scene as inline SVG, in the classes that the page's style turns dark.

use super::super::frame::to_segment;
use super::super::scene::{Anchor, Colour, Fill, Node, Point, Step, Stroke, palette};
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

    /// Nodes one on the other. Lines of one stroke that follow each other are one path: they look the
    /// same, and the file is smaller.
    pub fn nodes(&mut self, nodes: &[Node]) {
        let mut rest = nodes;
        while let Some((first, others)) = rest.split_first() {
            let alike = match plain_stroke(first) {
                Some(stroke) => others
                    .iter()
                    .take_while(|other| plain_stroke(other) == Some(stroke))
                    .count(),
                None => 0,
            };
            if alike == 0 {
                self.node(first);
            } else {
                let steps = |node: &Node| match node {
                    Node::Path { steps, .. } => steps.clone(),
                    _ => Vec::new(),
                };
                self.node(&Node::Path {
                    steps: rest[..=alike].iter().flat_map(steps).collect(),
                    fill: None,
                    stroke: plain_stroke(first),
                });
            }
            rest = &others[alike..];
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
            // Every text is of one size and has a rim: both stand in the style.
            Node::Text(text) => {
                let anchor = match text.anchor {
                    Anchor::Start => "",
                    Anchor::Middle => " text-anchor=\"middle\"",
                    Anchor::End => " text-anchor=\"end\"",
                };
                let strong = if text.bold { " b" } else { "" };
                self.out.push_str(&format!(
                    "<text class=\"f-{}{strong}\" x=\"{}\" y=\"{}\"{anchor}>{}</text>",
                    class(text.colour),
                    number(text.at[0]),
                    number(text.at[1]),
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

/// The stroke of a line that fills nothing and covers what is below it.
fn plain_stroke(node: &Node) -> Option<Stroke> {
    match node {
        Node::Path {
            fill: None, stroke, ..
        } => stroke.filter(|stroke| stroke.opacity >= 1.0),
        _ => None,
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

/// Points that lie so near the line through the others are left out.
const STRAIGHT: f64 = 0.4;

/// A run of straight pieces without the points that change nothing to be seen (Douglas and Peucker,
/// *Cartographica* 10(2) (1973), 112–122; memory).
fn thinned(points: &[Point]) -> Vec<Point> {
    let mut is_kept = vec![false; points.len()];
    if let Some(last) = points.len().checked_sub(1) {
        is_kept[0] = true;
        is_kept[last] = true;
    }
    let mut open = vec![(0, points.len().saturating_sub(1))];
    while let Some((from, to)) = open.pop() {
        let between = from + 1..to.max(from + 1);
        let off = |k: &usize| to_segment(points[*k], points[from], points[to]);
        let farthest = between.max_by(|a, b| off(a).total_cmp(&off(b)));
        if let Some(k) = farthest.filter(|k| off(k) > STRAIGHT) {
            is_kept[k] = true;
            open.extend([(from, k), (k, to)]);
        }
    }
    let kept = points.iter().zip(is_kept).filter(|(_, is)| *is);
    kept.map(|(point, _)| *point).collect()
}

/// A path's data as it is written: each piece from where the last one ended, in tenths.
#[derive(Default)]
struct Data {
    d: String,
    at: [i64; 2],
    start: [i64; 2],
    last: Option<char>,
}

/// A place in tenths; what is not a number is the origin.
#[allow(clippy::cast_possible_truncation)]
fn tenths(p: Point) -> [i64; 2] {
    p.map(|v| {
        if v.is_finite() {
            (v.clamp(-1e9, 1e9) * 10.0).round() as i64
        } else {
            0
        }
    })
}

impl Data {
    fn command(&mut self, letter: char, numbers: impl IntoIterator<Item = i64>) {
        let mut is_gap = self.last == Some(letter);
        if !is_gap {
            self.d.push(letter);
            self.last = Some(letter);
        }
        for n in numbers {
            let (whole, part) = (n.unsigned_abs() / 10, n.unsigned_abs() % 10);
            if n < 0 {
                self.d.push('-');
            } else if is_gap {
                self.d.push(' ');
            }
            self.d.push_str(&match (whole, part) {
                (whole, 0) => format!("{whole}"),
                (0, part) => format!(".{part}"),
                (whole, part) => format!("{whole}.{part}"),
            });
            is_gap = true;
        }
    }

    fn move_to(&mut self, p: Point) {
        self.at = tenths(p);
        self.start = self.at;
        self.last = None;
        self.command('M', self.at);
    }

    /// From here by these points, each told from where the piece begins.
    fn on(&mut self, letter: char, points: &[Point]) {
        let from = self.at;
        let to: Vec<[i64; 2]> = points.iter().map(|&p| tenths(p)).collect();
        let numbers = to.iter().flat_map(|p| [p[0] - from[0], p[1] - from[1]]);
        self.command(letter, numbers);
        self.at = to.last().copied().unwrap_or(from);
    }

    fn lines(&mut self, run: &mut Vec<Point>) {
        for p in thinned(run).get(1..).unwrap_or_default() {
            self.on('l', &[*p]);
        }
        run.clear();
    }
}

fn trace(steps: &[Step]) -> String {
    let mut data = Data::default();
    // The straight pieces that are not yet written, from where they begin.
    let mut run: Vec<Point> = Vec::new();
    for step in steps {
        match step {
            Step::Move(p) => {
                data.lines(&mut run);
                data.move_to(*p);
                run.push(*p);
            }
            Step::Line(p) => run.push(*p),
            Step::Cubic(a, b, c) => {
                data.lines(&mut run);
                data.on('c', &[*a, *b, *c]);
                run.push(*c);
            }
            Step::Close => {
                data.lines(&mut run);
                data.command('z', []);
                data.last = None;
                data.at = data.start;
            }
        }
    }
    data.lines(&mut run);
    data.d
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_of_one_stroke_are_one_path() {
        use super::super::super::scene::line;
        let ink = Stroke::of(palette::INK, 2.0);
        let mut pen = Pen::new("0".to_owned());
        pen.nodes(&[
            line([0.0, 0.0], [1.0, 0.0], ink),
            line([0.0, 1.0], [1.0, 1.0], ink),
            line([0.0, 2.0], [1.0, 2.0], Stroke::of(palette::INK, 3.0)),
        ]);
        assert_eq!(
            pen.out,
            "<path class=\"s-ink\" fill=\"none\" stroke-width=\"2\" d=\"M0 0l1 0M0 1l1 0\"/>\
             <path class=\"s-ink\" fill=\"none\" stroke-width=\"3\" d=\"M0 2l1 0\"/>"
        );
    }

    #[test]
    fn a_path_is_told_from_point_to_point() {
        let steps = [
            Step::Move([10.0, 20.04]),
            Step::Line([15.0, 20.0]),
            Step::Line([20.0, 20.1]),
            Step::Line([20.0, 30.5]),
            Step::Close,
            Step::Move([f64::NAN, -1.0]),
            Step::Cubic([1.0, 0.0], [2.0, 0.4], [3.0, -1.5]),
            Step::Line([3.0, 4.0]),
        ];
        // The point that lies on the way is left out.
        assert_eq!(
            trace(&steps),
            "M10 20l10 .1 0 10.4zM0-1c1 1 2 1.4 3-.5l0 5.5"
        );
        assert_eq!(trace(&[]), "");
        assert_eq!(thinned(&[]), Vec::<Point>::new());
        assert_eq!(thinned(&[[1.0, 2.0]]), [[1.0, 2.0]]);
    }

    /// A circle of many points keeps within the bound, with far fewer.
    #[test]
    fn what_is_left_out_is_not_seen() {
        let circle: Vec<Point> = (0..=720)
            .map(|k| {
                let (sin, cos) = (f64::from(k) * 0.5).to_radians().sin_cos();
                [200.0 * cos, 200.0 * sin]
            })
            .collect();
        let thin = thinned(&circle);
        assert!(thin.len() < 70, "{}", thin.len());
        for p in &circle {
            let off = thin
                .windows(2)
                .map(|w| to_segment(*p, w[0], w[1]))
                .fold(f64::MAX, f64::min);
            assert!(off <= STRAIGHT + 1e-9, "{off}");
        }
    }
}
