//! Faults of rings: crossings and empty areas, with their place.
//!
//! Touching at a vertex is allowed, as is the same position twice: the even-odd
//! rule gives such rings one clear inside. A proper crossing is a fault,
//! within a ring or between two rings of one area.

use geo::Coord;
use geo::algorithm::kernels::{Kernel, Orientation, RobustKernel};

use super::positions::LonLatHeight;

/// What is wrong with the rings of an area.
pub(super) struct Fault {
    pub expected: &'static str,
    pub found: String,
    pub remedy: &'static str,
}

/// Most pairs of edges that are looked at for one area. A mapped outline of 50 000 positions needs a
/// hundredth of it; one whose edges all lie side by side would take minutes.
const MOST_PAIRS: usize = 40_000_000;

/// What a search for crossings comes to.
enum Search {
    None,
    /// The two rings, and where.
    Crossing(usize, usize, Coord<f64>),
    /// More pairs than are looked at.
    TooMany,
}

struct Edge {
    ring: usize,
    a: Coord<f64>,
    b: Coord<f64>,
}

/// The first fault among an area's rings, which must be closed.
pub(super) fn first_fault(rings: &[Vec<LonLatHeight>]) -> Option<Fault> {
    let mut edges = Vec::new();
    for (ring, positions) in rings.iter().enumerate() {
        // Doubled area by the shoelace formula about the first position.
        let origin = positions[0];
        let doubled: f64 = positions
            .windows(2)
            .map(|pair| {
                east_of(origin.lon, pair[0].lon) * (pair[1].lat - origin.lat)
                    - east_of(origin.lon, pair[1].lon) * (pair[0].lat - origin.lat)
            })
            .sum();
        let crossing_free = edges.len();
        for pair in positions.windows(2) {
            let a = Coord {
                x: east_of(rings[0][0].lon, pair[0].lon),
                y: pair[0].lat,
            };
            let b = Coord {
                x: east_of(rings[0][0].lon, pair[1].lon),
                y: pair[1].lat,
            };
            if a != b {
                edges.push(Edge { ring, a, b });
            }
        }
        // A bow-tie's halves may cancel; it is told as a crossing below.
        if doubled == 0.0 && matches!(first_crossing(&edges[crossing_free..]), Search::None) {
            return Some(Fault {
                expected: "rings that enclose an area",
                found: format!("ring {} encloses nothing", ring + 1),
                remedy: "draw the outline again, or remove it",
            });
        }
    }
    let (one, other, at) = match first_crossing(&edges) {
        Search::None => return None,
        Search::Crossing(one, other, at) => (one, other, at),
        Search::TooMany => {
            return Some(Fault {
                expected: "an outline that can be looked over for crossings",
                found: format!("{} edges, most of them side by side", edges.len()),
                remedy: "simplify the outline",
            });
        }
    };
    let lon = at.x + rings[0][0].lon;
    let found = if one == other {
        format!("ring {} crosses itself near {lon:.7}, {:.7}", one + 1, at.y)
    } else {
        format!(
            "rings {} and {} cross near {lon:.7}, {:.7}",
            one + 1,
            other + 1,
            at.y
        )
    };
    Some(Fault {
        expected: "outlines that do not cross themselves or each other (RFC 7946 §3.1.6, OGC simple features)",
        found,
        remedy: "move the points there so that the outline does not cross",
    })
}

/// How far east of an origin a position lies: across the 180th meridian where that is the short way.
/// Positions may still be a grid's metres here, which have no meridian: those of a grid lie beyond
/// 180 but for one whose origin is on the course, and there no area is as wide as the wrap.
fn east_of(origin: f64, at: f64) -> f64 {
    const ACROSS_DEG: f64 = 350.0;
    let difference = at - origin;
    let degrees = origin.abs() <= 180.0 && at.abs() <= 180.0;
    if degrees && difference.abs() > ACROSS_DEG {
        super::plane::wrap_deg(difference)
    } else {
        difference
    }
}

/// Sweeps along the longer side of the edges' box and returns the rings and
/// the place of the first proper crossing, in order of the sweep.
fn first_crossing(edges: &[Edge]) -> Search {
    let span = |pick: fn(Coord<f64>) -> f64| {
        let ends = edges.iter().flat_map(|edge| [pick(edge.a), pick(edge.b)]);
        let (low, high) = ends.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
        high - low
    };
    let along_y = span(|c| c.y) > span(|c| c.x);
    let low = |edge: &Edge| {
        if along_y {
            edge.a.y.min(edge.b.y)
        } else {
            edge.a.x.min(edge.b.x)
        }
    };
    let high = |edge: &Edge| {
        if along_y {
            edge.a.y.max(edge.b.y)
        } else {
            edge.a.x.max(edge.b.x)
        }
    };
    let mut order: Vec<usize> = (0..edges.len()).collect();
    order.sort_by(|&i, &j| low(&edges[i]).total_cmp(&low(&edges[j])).then(i.cmp(&j)));
    let mut active: Vec<usize> = Vec::new();
    let mut pairs = 0;
    for &i in &order {
        let edge = &edges[i];
        active.retain(|&j| high(&edges[j]) >= low(edge));
        pairs += active.len();
        if pairs > MOST_PAIRS {
            return Search::TooMany;
        }
        for &j in &active {
            if let Some(at) = proper_crossing(edge, &edges[j]) {
                let (one, other) = (edge.ring.min(edges[j].ring), edge.ring.max(edges[j].ring));
                return Search::Crossing(one, other, at);
            }
        }
        active.push(i);
    }
    Search::None
}

/// Where two edges cross inside both, by exact orientation tests.
fn proper_crossing(one: &Edge, other: &Edge) -> Option<Coord<f64>> {
    if one.a.x.max(one.b.x) < other.a.x.min(other.b.x)
        || other.a.x.max(other.b.x) < one.a.x.min(one.b.x)
        || one.a.y.max(one.b.y) < other.a.y.min(other.b.y)
        || other.a.y.max(other.b.y) < one.a.y.min(one.b.y)
    {
        return None;
    }
    let side = RobustKernel::orient2d;
    let opposite = |p: Orientation, q: Orientation| {
        p != Orientation::Collinear && q != Orientation::Collinear && p != q
    };
    if !opposite(side(one.a, one.b, other.a), side(one.a, one.b, other.b))
        || !opposite(side(other.a, other.b, one.a), side(other.a, other.b, one.b))
    {
        return None;
    }
    let (d, e) = (one.b - one.a, other.b - other.a);
    let t = ((other.a.x - one.a.x) * e.y - (other.a.y - one.a.y) * e.x) / (d.x * e.y - d.y * e.x);
    Some(one.a + d * t.clamp(0.0, 1.0))
}
