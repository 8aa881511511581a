//! The laid-out hole page, measured: where labels stand and what their lines cross, how
//! large the type is, how much of the plate the balls take, what ends where.

use bendline::draw::columns::Leader;
use bendline::draw::frame::Area;
use bendline::draw::labels::{Layout, TextBox};
use bendline::draw::page::Drawn;
use bendline::draw::plate::{LEAST_SHARE, Plate, SCALES};
use bendline::draw::scene::{Node, Point, Step, palette};
use bendline::plan::Plan;

/// 7.4 points in tenths of a millimetre, less what rounding takes.
const READ: f64 = 26.1;

fn distance(a: Point, b: Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// Whether two pieces of line cross, each through the other's inside.
fn cross(a: &[Point], b: &[Point]) -> bool {
    let side = |p: Point, q: Point, r: Point| {
        (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    };
    side(a[0], a[1], b[0]) * side(a[0], a[1], b[1]) < 0.0
        && side(b[0], b[1], a[0]) * side(b[0], b[1], a[1]) < 0.0
}

fn meet(a: &[Point], b: &[Point]) -> bool {
    a.windows(2).any(|p| b.windows(2).any(|q| cross(p, q)))
}

fn inside(rings: &[Vec<Point>], p: Point) -> bool {
    let mut odd = false;
    for ring in rings {
        for (k, a) in ring.iter().enumerate() {
            let b = ring[(k + 1) % ring.len()];
            if (a[1] > p[1]) != (b[1] > p[1])
                && p[0] < (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]) + a[0]
            {
                odd = !odd;
            }
        }
    }
    odd
}

/// Pairs of labels of one column, and those of them that stand in another order than what they name.
#[derive(Clone, Copy, Debug, Default)]
pub struct Order {
    pub pairs: usize,
    pub turned: usize,
}

/// Counts them on a plate; what lies level has no order.
pub fn order(plate: &Plate) -> Order {
    let mut order = Order::default();
    for (k, a) in plate.leaders.iter().enumerate() {
        let level = |b: &&Leader| (a.names[1] - b.names[1]).abs() < 12.0;
        for b in plate.leaders[..k]
            .iter()
            .filter(|b| b.is_right == a.is_right && !level(b))
        {
            order.pairs += 1;
            let is_turned = (a.names[1] < b.names[1]) != (a.points[0][1] < b.points[0][1]);
            order.turned += usize::from(is_turned);
        }
    }
    order
}

/// No line of a label over the flight or the aim, none over another, each label on the
/// side of what it names.
fn assert_leaders(name: &str, plate: &Plate, plan: &Plan) {
    let mut lines = vec![&plate.flight, &plate.aim];
    lines.extend(&plate.other_flights);
    for (k, leader) in plate.leaders.iter().enumerate() {
        let said = format!("{name}: \"{}\" {:?}", leader.words, leader.points);
        assert!(
            plate.area.holds(leader.names),
            "{said} names what is not there"
        );
        for line in &lines {
            assert!(!meet(&leader.points, line), "{said} crosses the shot");
        }
        for other in &plate.leaders[..k] {
            assert!(
                !meet(&leader.points, &other.points),
                "{said} crosses \"{}\" {:?}",
                other.words,
                other.points
            );
        }
        // A level line from what is named to the label's side meets no line of the shot.
        let sign = if leader.is_right { 1.0 } else { -1.0 };
        let at = leader.names;
        let level = |sign: f64| [[at[0] + 3.0 * sign, at[1]], [at[0] + 2_000.0 * sign, at[1]]];
        let open = |sign: f64| !lines.iter().any(|line| meet(&level(sign), line));
        assert!(open(sign), "{said} stands beyond the shot's lines");
        // Beside the ball's line a label may stand on its other side, where the own one is barred.
        // A made-up hazard may lie on the other side than its plan says.
        let off = at[0] - plate.middle;
        let is_near = |is_right: bool| if is_right { off <= 40.0 } else { off >= -40.0 };
        if let Some(is_right) = leader.is_of_right {
            assert!(
                leader.is_right == is_right || is_near(is_right),
                "{said} stands on the other side"
            );
        } else if open(-sign) && !leader.words.ends_with(" wide") {
            let off = (at[0] - plate.middle) * sign;
            assert!(off > -40.0, "{said} stands on the other side, {off}");
        }
        // What is a hazard's is on its side of the ball's line, unless the shot lies between.
        let named = plan
            .carries
            .iter()
            .filter(|c| c.stretch(plan.unit()) == leader.words);
        let named: Vec<_> = named.collect();
        if let [carry] = named.as_slice()
            && carry.offset_m.abs() >= 0.5
            && open(carry.offset_m.signum())
        {
            let is_right = carry.offset_m > 0.0;
            assert!(
                leader.is_right == is_right || is_near(is_right),
                "{said}: {carry:?}"
            );
        }
    }
}

/// The counts below "Of 100 balls" add to a hundred.
fn assert_hundred(name: &str, layout: &Layout) {
    let head = layout.texts.iter().find(|t| t.words == "Of 100 balls");
    let head = head.expect("a head").area;
    let below = layout
        .texts
        .iter()
        .filter(|t| t.area.top > head.top && t.area.right < head.left + 75.0 && t.size > 29.0);
    let sum: u32 = below.filter_map(|t| t.words.parse::<u32>().ok()).sum();
    assert_eq!(sum, 100, "{name}");
}

/// Smaller type only for arcs and the foot.
fn assert_type(name: &str, layout: &Layout) {
    let read = |size: f64| size >= READ;
    let low = layout.texts.iter().filter(|t| read(t.size));
    let foot = low.map(|t| t.area.bottom).fold(0.0, f64::max);
    let plate = layout.plate.as_ref().expect("a plate");
    for text in layout.texts.iter().filter(|t| !read(t.size)) {
        let on_map = [layout.map, plate.area]
            .iter()
            .any(|m| m.encloses(&text.area));
        let is_arc = on_map && text.words.parse::<u32>().is_ok_and(|n| n % 50 == 0);
        assert!(
            is_arc || text.area.top + 4.0 > foot,
            "{name}: \"{}\" is read on the tee at {:.1} pt",
            text.words,
            text.size / 3.528
        );
    }
}

/// The share of the plate's width that nine in ten balls take.
pub fn share(plate: &Plate) -> f64 {
    let across = plate.ninety.iter().flatten().map(|p| p[0]);
    let (low, high) = across.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
    (high - low) / plate.area.width()
}

fn assert_share(name: &str, plate: &Plate) {
    let share = share(plate);
    let scale = plate.scale;
    assert!(SCALES.contains(&scale), "{name}: 1:{scale}");
    let small = share < LEAST_SHARE && scale > SCALES[0];
    let large = share > 0.6 && scale < SCALES[SCALES.len() - 1];
    assert!(
        !small && !large,
        "{name}: {share:.2} of the plate at 1:{scale}"
    );
}

fn corners(steps: &[Step]) -> Vec<Point> {
    let at = |step: &Step| match step {
        Step::Move(p) | Step::Line(p) | Step::Cubic(_, _, p) => Some(*p),
        Step::Close => None,
    };
    steps.iter().filter_map(at).collect()
}

/// Both maps are cut at a line that is drawn; the bar of the width ends at the edges of
/// the fairway or at that line; the ball is in its region and the ring on its line.
fn assert_ends(name: &str, drawn: &Drawn, plan: &Plan) {
    let plate = drawn.layout.plate.as_ref().expect("a plate");
    for (id, map) in [("hole", drawn.layout.map), ("plate", plate.area)] {
        let frame = [
            [map.left, map.top],
            [map.right, map.top],
            [map.right, map.bottom],
            [map.left, map.bottom],
        ];
        let cut = drawn.nodes.iter().position(|node| {
            matches!(node, Node::Group { id: own, clip: Some(clip), .. }
                if *own == id && corners(clip) == frame)
        });
        let next = cut.and_then(|k| drawn.nodes.get(k + 1));
        assert!(
            matches!(next, Some(Node::Path { steps, stroke: Some(_), .. })
                if corners(steps) == frame),
            "{name}: {id} ends without a line"
        );
    }
    if let Some([a, b]) = plate.width {
        let shot = &plan.choice.shot;
        let off = |m: f64| (m - shot.carry_m).abs();
        let widths = plan.widths.iter();
        let width = widths.min_by(|a, b| off(a.distance_m).total_cmp(&off(b.distance_m)));
        let long_m = distance(a, b) * plate.scale / 10_000.0;
        let whole = width.is_some_and(|w| (w.width_m - long_m).abs() < 1.5);
        let inner = plate.area.grown(-0.5);
        let at_edge = [a, b].iter().any(|p| !inner.holds(*p));
        assert!(whole || at_edge, "{name}: a bar of {long_m} m");
    }
    if let (Some(ring), Some(&end)) = (plate.ring, plate.aim.last()) {
        assert!(
            distance(ring, end) < 1.0,
            "{name}: the ring is off its line"
        );
    }
    assert!(plate.area.holds(plate.ball), "{name}: no ball on the plate");
}

/// The green of a par 3 lies whole on the plate.
fn assert_green(name: &str, drawn: &Drawn, area: Area) {
    let mut greens = 0;
    for node in &drawn.nodes {
        let Node::Group {
            id: "plate", nodes, ..
        } = node
        else {
            continue;
        };
        for node in nodes {
            if let Node::Path {
                steps,
                fill: Some(fill),
                stroke: Some(stroke),
            } = node
                && (fill.colour, stroke.colour) == (palette::GREEN, palette::INK)
            {
                greens += 1;
                let is_whole = corners(steps).iter().all(|p| area.holds(*p));
                assert!(is_whole, "{name}: the green is cut");
            }
        }
    }
    assert!(greens > 0, "{name}: no green");
}

/// All of it.
pub fn assert_scene(name: &str, drawn: &Drawn, plan: &Plan) {
    let layout = &drawn.layout;
    let plate = layout.plate.as_ref().expect("a plate");
    super::draw_sketch::assert_clean(name, layout);
    assert_leaders(name, plate, plan);
    assert_hundred(name, layout);
    assert_type(name, layout);
    assert_share(name, plate);
    assert_ends(name, drawn, plan);
    if plan.hole.par == 3 {
        assert_green(name, drawn, plate.area);
    }
    assert!(
        inside(&plate.half, plate.ball),
        "{name}: the usual ball is not among half of the balls"
    );
    for (k, words) in ["PEG", "AIM", "BALL", "MISS", "then"].iter().enumerate() {
        let key = layout.texts.iter().find(|t| t.words == *words);
        assert!(key.is_some(), "{name}: no row {k}, {words}");
    }
    // What is told on the card is told whole.
    let peg = layout.texts.iter().find(|t| t.words == "PEG");
    let top = peg.map_or(0.0, |t| t.area.top - 5.0);
    for text in layout.texts.iter().filter(|t| t.area.top >= top) {
        assert!(!text.words.ends_with('…'), "{name}: \"{}\"", text.words);
    }
    if let Some(costs) = layout.texts.iter().find(|t| t.words.ends_with("it costs:")) {
        let below = |t: &&TextBox| {
            t.size >= READ && t.area.left >= 360.0 && t.area.top >= costs.area.bottom - 8.0
        };
        assert!(
            layout.texts.iter().any(|t| below(&t)),
            "{name}: what it costs to do otherwise is not told"
        );
    }
}
