//! What is drawn: paths, circles and texts in order, lowest first.
//!
//! Lengths are tenths of a millimetre on paper, x to the right and y down.

/// A point on paper.
pub type Point = [f64; 2];

/// A colour: red, green, blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Colour(pub [u8; 3]);

/// The page's colours. One accent, for the shot alone; the rest is land and ink.
///
/// Lightness falls in steps (paper, sand, fairway, wood, green, ink), so that
/// the order survives grey print and any colour blindness.
pub mod palette {
    use super::Colour;
    /// White.
    pub const PAPER: Colour = Colour([255, 255, 255]);
    /// Text and edges.
    pub const INK: Colour = Colour([24, 34, 31]);
    /// Second-rank text and hair lines.
    pub const STONE: Colour = Colour([92, 103, 99]);
    /// Arcs and rules.
    pub const MIST: Colour = Colour([190, 198, 194]);
    /// The shot: aim, flight, finish, peg.
    pub const ACCENT: Colour = Colour([66, 26, 196]);
    /// Fairway.
    pub const FAIRWAY: Colour = Colour([213, 228, 201]);
    /// Fairway's edge.
    pub const FAIRWAY_EDGE: Colour = Colour([150, 176, 136]);
    /// Green and teeing ground.
    pub const GREEN: Colour = Colour([151, 193, 132]);
    /// Bunker.
    pub const SAND: Colour = Colour([250, 240, 214]);
    /// Bunker's edge and stipple.
    pub const SAND_EDGE: Colour = Colour([134, 108, 62]);
    /// Tree crowns.
    pub const WOOD: Colour = Colour([188, 205, 194]);
    /// Crowns' edge.
    pub const WOOD_EDGE: Colour = Colour([88, 118, 103]);
    /// Inside of penalty areas.
    pub const WATER: Colour = Colour([236, 242, 245]);
    /// Red penalty area.
    pub const RED: Colour = Colour([200, 24, 30]);
    /// Yellow penalty area.
    pub const YELLOW: Colour = Colour([255, 205, 0]);
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Colour.
    pub colour: Colour,
    /// Width.
    pub width: f64,
    /// Dash and gap; unbroken when absent.
    pub dash: Option<[f64; 2]>,
    /// 0 to 1.
    pub opacity: f64,
}

impl Stroke {
    /// An unbroken, opaque line.
    #[must_use]
    pub const fn of(colour: Colour, width: f64) -> Self {
        Self {
            colour,
            width,
            dash: None,
            opacity: 1.0,
        }
    }

    /// The same line, broken.
    #[must_use]
    pub const fn dashed(self, dash: f64, gap: f64) -> Self {
        Self {
            dash: Some([dash, gap]),
            ..self
        }
    }
}

/// How an area is filled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fill {
    /// Colour.
    pub colour: Colour,
    /// 0 to 1.
    pub opacity: f64,
}

impl Fill {
    /// Opaque.
    #[must_use]
    pub const fn of(colour: Colour) -> Self {
        Self {
            colour,
            opacity: 1.0,
        }
    }
}

/// A step of a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Begin a piece here.
    Move(Point),
    /// Straight to here.
    Line(Point),
    /// By two control points to here.
    Cubic(Point, Point, Point),
    /// Back to where the piece began.
    Close,
}

/// Where a text's point lies along its line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// At its start.
    Start,
    /// In its middle.
    Middle,
    /// At its end.
    End,
}

/// One run of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Where the baseline's anchor lies.
    pub at: Point,
    /// What it says; already cleaned of control characters.
    pub words: String,
    /// Font size.
    pub size: f64,
    /// Bold.
    pub bold: bool,
    /// Colour.
    pub colour: Colour,
    /// Anchor.
    pub anchor: Anchor,
    /// A white rim, for text which stands on the map.
    pub halo: bool,
    /// What follows on the same line in another style, close behind in any
    /// font; only for text anchored at its start.
    pub tail: Vec<Run>,
}

/// A piece of a line of text in one style.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// What it says, cleaned.
    pub words: String,
    /// Font size.
    pub size: f64,
    /// Bold.
    pub bold: bool,
    /// Colour.
    pub colour: Colour,
}

/// One thing drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Node {
    /// A path, filled by the even-odd rule.
    Path {
        /// Steps.
        steps: Vec<Step>,
        /// Fill.
        fill: Option<Fill>,
        /// Line.
        stroke: Option<Stroke>,
    },
    /// A circle.
    Circle {
        /// A name for the element, if it is to be found again.
        id: Option<&'static str>,
        /// Centre.
        at: Point,
        /// Radius.
        radius: f64,
        /// Fill.
        fill: Option<Fill>,
        /// Line.
        stroke: Option<Stroke>,
    },
    /// A text.
    Text(Text),
    /// Nodes drawn together, cut to a path (filled by the non-zero rule).
    Group {
        /// Name of the group.
        id: &'static str,
        /// What it is cut to.
        clip: Option<Vec<Step>>,
        /// What is in it.
        nodes: Vec<Node>,
    },
}

/// A straight line.
#[must_use]
pub fn line(a: Point, b: Point, stroke: Stroke) -> Node {
    Node::Path {
        steps: vec![Step::Move(a), Step::Line(b)],
        fill: None,
        stroke: Some(stroke),
    }
}

/// A line through points; empty for fewer than two.
#[must_use]
pub fn polyline(points: &[Point]) -> Vec<Step> {
    if points.len() < 2 {
        return Vec::new();
    }
    let mut steps = vec![Step::Move(points[0])];
    steps.extend(points[1..].iter().map(|&p| Step::Line(p)));
    steps
}

/// A closed ring; empty for fewer than three points.
#[must_use]
pub fn ring(points: &[Point]) -> Vec<Step> {
    if points.len() < 3 {
        return Vec::new();
    }
    let mut steps = polyline(points);
    steps.push(Step::Close);
    steps
}

/// A rectangle.
#[must_use]
pub fn rectangle(x: f64, y: f64, width: f64, height: f64) -> Vec<Step> {
    ring(&[
        [x, y],
        [x + width, y],
        [x + width, y + height],
        [x, y + height],
    ])
}

/// A disc.
#[must_use]
pub fn disc(at: Point, radius: f64, fill: Colour, stroke: Option<Stroke>) -> Node {
    Node::Circle {
        id: None,
        at,
        radius,
        fill: Some(Fill::of(fill)),
        stroke,
    }
}

/// From `a` towards `b` by a length.
#[must_use]
pub fn towards(a: Point, b: Point, length: f64) -> Point {
    let whole = distance(a, b);
    if whole < 1e-9 {
        return a;
    }
    let share = length / whole;
    [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share]
}

/// Distance between two points.
#[must_use]
pub fn distance(a: Point, b: Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}
