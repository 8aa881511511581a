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
    pub const WOOD_EDGE: Colour = Colour([84, 114, 99]);
    /// Inside of penalty areas.
    pub const WATER: Colour = Colour([236, 242, 245]);
    /// Red penalty area.
    pub const RED: Colour = Colour([170, 10, 24]);
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
    /// An area strewn with dots, as sand is, cut by the even-odd rule. The dots
    /// are those of one tile ([`stipple`]), laid edge to edge from the origin.
    Stipple {
        /// Outline.
        steps: Vec<Step>,
        /// The dots' colour.
        colour: Colour,
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

/// Width of the white line round text that stands on the map, as a share of the
/// font size: half of it shows, and keeps hatching and crowns off small words.
pub const RIM: f64 = 0.32;

/// Side of the tile of which a strewn area is laid.
pub const TILE: f64 = 64.0;

/// The dots of a tile: where they lie, and their radius, in order. A dot that
/// touches an edge stands at the opposite one too, so that no seam is seen.
#[must_use]
pub fn stipple() -> Vec<(Point, f64)> {
    // Eight by ten: an even number of rows, every other one shifted by half.
    let (pitch, row) = (TILE / 8.0, TILE / 10.0);
    let mut out = Vec::new();
    for j in 0..10_i64 {
        for i in 0..8_i64 {
            let shift = if j % 2 == 0 { 0.0 } else { 0.5 };
            let x = (i as f64 + shift + 0.5 * (jitter(i, j, 1) - 0.5)) * pitch;
            let y = (j as f64 + 0.5 * (jitter(i, j, 2) - 0.5)) * row;
            let radius = if jitter(i, j, 3) < 0.5 { 0.9 } else { 1.2 };
            let (x, y) = (x.rem_euclid(TILE), y.rem_euclid(TILE));
            for dx in [-TILE, 0.0, TILE] {
                for dy in [-TILE, 0.0, TILE] {
                    let seen = |v: f64| v > -radius && v < TILE + radius;
                    if seen(x + dx) && seen(y + dy) {
                        out.push(([x + dx, y + dy], radius));
                    }
                }
            }
        }
    }
    out
}

/// A share in 0..1 that depends on two whole numbers and looks random.
pub(super) fn jitter(a: i64, b: i64, salt: u64) -> f64 {
    let mut h = (a as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15)
        ^ (b as u64).wrapping_mul(0xc2b2_ae3d_27d4_eb4f)
        ^ salt.wrapping_mul(0x1656_67b1_9e37_79f9);
    h ^= h >> 29;
    h = h.wrapping_mul(0xbf58_476d_1ce4_e5b9);
    h ^= h >> 32;
    (h >> 40) as f64 / (1u64 << 24) as f64
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
