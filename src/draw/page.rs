//! One plan on one page.

use super::frame::{Area, Frame, Strip};
use super::labels::{Board, Layout};
use super::scene::{Node, Stroke, palette};
use super::shot::Sight;
use super::tee as tee_drawing;
use super::{aim_cost, card, numbers, panel, plate, svg, text};
use crate::hole::plane::Plane;
use crate::hole::{Hole, Patch, Surface, Tree};
use crate::plan::{LonLat, Plan, wind};
use crate::units::LengthUnit;
use geo::{BoundingRect, Coord, Intersects};

/// The largest type: the hole and the club.
pub const LARGE: f64 = 84.0;
/// Answers: 8.5 points.
pub const MEDIUM: f64 = 30.0;
/// What else is read on the tee: 7.4 points.
pub const READ: f64 = 26.2;
/// Arcs and the foot: 6.2 points.
pub const SMALL: f64 = 22.0;

/// Page width and height, 107.9 × 177.8 mm: the largest page in whole tenths of
/// a millimetre within the 4¼ × 7 in of a book with images of greens (Rules of
/// Golf 2023, Interpretation 4.3a/1).
pub const PAGE: [f64; 2] = [1079.0, 1778.0];

/// How lengths and speeds are said on this page.
#[derive(Clone, Copy, Debug)]
pub struct Lengths(LengthUnit);

impl Lengths {
    /// From the plan's unit: `m`, else yards.
    #[must_use]
    pub fn of_unit(unit: &str) -> Self {
        Self(if unit == "m" {
            LengthUnit::Metres
        } else {
            LengthUnit::Yards
        })
    }

    /// The unit.
    #[must_use]
    pub fn unit(self) -> LengthUnit {
        self.0
    }

    /// A length in the page's unit.
    #[must_use]
    pub fn of(self, metres: f64) -> f64 {
        self.0.of(metres)
    }

    /// A length of the page's unit in metres.
    #[must_use]
    pub fn to_m(self, value: f64) -> f64 {
        value / self.0.of(1.0)
    }

    /// Rounded to a whole number, without the unit.
    #[must_use]
    pub fn whole(self, metres: f64) -> String {
        fixed(self.of(metres), 0)
    }

    /// Rounded to a tenth, without the unit.
    #[must_use]
    pub fn tenth(self, metres: f64) -> String {
        fixed(self.of(metres), 1)
    }

    /// The unit's short name.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.0.name()
    }

    /// A speed as a number: miles an hour with yards, else m/s.
    #[must_use]
    pub fn speed_number(self, m_s: f64) -> String {
        wind::number(m_s, self.0)
    }

    /// A speed with its unit.
    #[must_use]
    pub fn speed(self, m_s: f64) -> String {
        wind::speed(m_s, self.0)
    }
}

/// Fixed decimals, never minus zero; a dash for what is not finite or absurd.
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    if value.is_nan() || value.abs() >= 1e6 {
        return "–".to_owned();
    }
    let words = format!("{value:.decimals$}");
    if words.trim_start_matches(['-', '0', '.']).is_empty() {
        words.trim_start_matches('-').to_owned()
    } else {
        words
    }
}

/// What a drawing needs of a hole: its shapes, and where its plane lies.
#[derive(Clone, Copy, Debug)]
pub struct Land<'a> {
    /// Drawn areas, lowest first.
    pub patches: &'a [Patch],
    /// Trees.
    pub trees: &'a [Tree],
    /// Line of play, tee first.
    pub line_of_play: &'a [Coord<f64>],
    /// Where the plane touches the earth, longitude and latitude in degrees.
    pub origin_lon_lat: [f64; 2],
}

impl<'a> Land<'a> {
    /// Of a hole.
    #[must_use]
    pub fn of(hole: &'a Hole) -> Self {
        Self {
            patches: &hole.patches,
            trees: &hole.trees,
            line_of_play: &hole.line_of_play,
            origin_lon_lat: hole.origin_lon_lat,
        }
    }
}

impl Land<'_> {
    /// The green that a pin stands on.
    pub(super) fn green(&self, pin: Coord<f64>) -> Option<&Patch> {
        let mut greens = self.patches.iter().filter(|p| p.surface == Surface::Green);
        greens.find(|p| p.outline.intersects(&pin))
    }
}

/// The plan's places on the plane, metres east and north.
#[derive(Clone, Debug)]
pub struct Placed {
    /// The peg.
    pub peg: Coord<f64>,
    /// The pin.
    pub pin: Coord<f64>,
    /// The middle of the green round it.
    pub green: Coord<f64>,
    /// What the set-up points at or beside.
    pub target: Option<Coord<f64>>,
    /// Where the usual ball ends.
    pub rest: Coord<f64>,
    /// Rings around half of the balls.
    pub half: Vec<Vec<Coord<f64>>>,
    /// Rings around 90 of 100.
    pub ninety: Vec<Vec<Coord<f64>>>,
    /// Single balls.
    pub balls: Vec<Coord<f64>>,
    /// The flight over the ground.
    pub flight: Vec<Coord<f64>>,
    /// Those of the other usual balls, of a player who goes either way.
    pub other_flights: Vec<Vec<Coord<f64>>>,
    /// To reach, to clear and nearest to the ball's end, in the order of the plan's carries.
    pub carries: Vec<[Coord<f64>; 3]>,
    /// Distance from the peg, width, left and right edge of the fairway.
    pub widths: Vec<(f64, f64, Coord<f64>, Coord<f64>)>,
    /// How far right of square to the markers the aim points, degrees.
    pub aim_from_square_deg: f64,
    /// From where the usual ball ends to the green's front and back, towards the pin, m.
    pub green_from_rest_m: Option<[f64; 2]>,
}

impl Placed {
    /// Of a plan, by the way from the earth to the plane.
    pub(super) fn of(plan: &Plan, hole: &Land<'_>, plane: &dyn Fn(LonLat) -> Coord<f64>) -> Self {
        let rings = |rings: &[Vec<LonLat>]| -> Vec<Vec<Coord<f64>>> {
            rings
                .iter()
                .map(|r| finite(r.iter().map(|&p| plane(p))))
                .collect()
        };
        let shot = &plan.choice.shot;
        let peg = plane(LonLat {
            lon: shot.tee.lon,
            lat: shot.tee.lat,
        });
        let [left, right] = plan.hole.markers.map(plane);
        // Square to the marker line, down the hole: a quarter turn left of
        // the way from left to right.
        let square_deg = (-(right.y - left.y)).atan2(right.x - left.x).to_degrees();
        let turn = shot.aim.bearing_deg - square_deg;
        let (rest, pin) = (plane(shot.rest), plane(plan.hole.pin));
        // A plan always has these; a page is drawn even if one is broken.
        let peg = near(peg)
            .or_else(|| hole.line_of_play.first().copied())
            .unwrap_or_default();
        let pin = near(pin)
            .or_else(|| hole.line_of_play.last().copied())
            .unwrap_or(Coord {
                x: peg.x,
                y: peg.y + 100.0,
            });
        let rest = near(rest).unwrap_or(pin);
        Self {
            peg,
            pin,
            green: green_middle(hole, pin),
            target: near(on_the_aim(peg, shot.aim.bearing_deg, shot.aim.distance_m)),
            rest,
            half: rings(&plan.finishes.half),
            ninety: rings(&plan.finishes.ninety),
            balls: finite(plan.finishes.balls.iter().map(|&p| plane(p))),
            flight: finite(plan.finishes.flight.iter().map(|&p| plane(p))),
            other_flights: plan
                .finishes
                .other_ways
                .iter()
                .map(|other| finite(other.flight.iter().map(|&p| plane(p))))
                .collect(),
            carries: plan
                .carries
                .iter()
                .map(|c| [c.reach, c.clear, c.nearest].map(plane))
                .collect(),
            widths: plan
                .widths
                .iter()
                .map(|w| (w.distance_m, w.width_m, plane(w.left), plane(w.right)))
                .collect(),
            aim_from_square_deg: (turn + 540.0).rem_euclid(360.0) - 180.0,
            green_from_rest_m: green_from(hole, rest, pin),
        }
    }
}

/// The place on the aim as far from the peg as what is aimed by: the ring is never beside its line.
fn on_the_aim(peg: Coord<f64>, bearing_deg: f64, distance_m: f64) -> Coord<f64> {
    let (sin, cos) = bearing_deg.to_radians().sin_cos();
    Coord {
        x: peg.x + distance_m * sin,
        y: peg.y + distance_m * cos,
    }
}

fn finite(points: impl Iterator<Item = Coord<f64>>) -> Vec<Coord<f64>> {
    points.filter_map(near).collect()
}

/// A place on the plane which can belong to a hole: none when it is not a
/// number or more than 5 km away.
fn near(c: Coord<f64>) -> Option<Coord<f64>> {
    (c.x.abs() < 5_000.0 && c.y.abs() < 5_000.0).then_some(c)
}

/// The middle of the box round the green on which the pin stands; the pin without one.
fn green_middle(hole: &Land<'_>, pin: Coord<f64>) -> Coord<f64> {
    let middle = hole.green(pin).and_then(|p| p.outline.bounding_rect());
    middle.map_or(pin, |r| r.center())
}

/// Distances at which the line from `rest` through the pin enters and leaves
/// the green around the pin.
fn green_from(hole: &Land<'_>, rest: Coord<f64>, pin: Coord<f64>) -> Option<[f64; 2]> {
    let to_pin = (pin.x - rest.x).hypot(pin.y - rest.y);
    if !(to_pin.is_finite() && to_pin > 1.0) {
        return None;
    }
    let along = [(pin.x - rest.x) / to_pin, (pin.y - rest.y) / to_pin];
    let mut cuts = Vec::new();
    for patch in hole.patches.iter().filter(|p| p.surface == Surface::Green) {
        for pair in patch.outline.exterior().0.windows(2) {
            let seen = |c: Coord<f64>| {
                let (x, y) = (c.x - rest.x, c.y - rest.y);
                [x * along[0] + y * along[1], x * along[1] - y * along[0]]
            };
            let (a, b) = (seen(pair[0]), seen(pair[1]));
            if (a[1] > 0.0) != (b[1] > 0.0) {
                cuts.push(a[0] + (b[0] - a[0]) * a[1] / (a[1] - b[1]));
            }
        }
    }
    let front = cuts
        .iter()
        .copied()
        .filter(|&c| c <= to_pin)
        .fold(f64::MIN, f64::max);
    let back = cuts
        .iter()
        .copied()
        .filter(|&c| c >= to_pin)
        .fold(f64::MAX, f64::min);
    (front > 0.0 && back < f64::MAX).then_some([front, back])
}

/// The page as SVG text: 107.9 × 177.8 mm.
///
/// Needs no font, picture or style from outside. The same plan and hole give
/// the same bytes.
#[must_use]
pub fn page(plan: &Plan, hole: &Hole) -> String {
    page_and_layout(plan, hole).0
}

/// The page, and where every text on it stands.
#[must_use]
pub fn page_and_layout(plan: &Plan, hole: &Hole) -> (String, Layout) {
    compose(plan, &Land::of(hole))
}

/// The page of a plan on a piece of land, and where every text on it stands.
#[must_use]
pub fn compose(plan: &Plan, hole: &Land<'_>) -> (String, Layout) {
    let drawn = lay_out(plan, hole);
    (svg::write(PAGE, &drawn.title, &drawn.nodes), drawn.layout)
}

/// A page before it is written in one form or another.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// What it says in a line, cleaned.
    pub title: String,
    /// What is on it, lowest first.
    pub nodes: Vec<Node>,
    /// Where its texts stand.
    pub layout: Layout,
}

/// The page of a plan on a piece of land, before it is written.
#[must_use]
pub fn lay_out(plan: &Plan, hole: &Land<'_>) -> Drawn {
    let plane = Plane::new(hole.origin_lon_lat);
    let placed = Placed::of(plan, hole, &|p: LonLat| plane.to_plane(p.lon, p.lat));
    let lengths = Lengths::of_unit(&plan.words.unit);
    let to_plane = |p: LonLat| plane.to_plane(p.lon, p.lat);
    let grid = Grid::of(plan, hole, &placed);
    let frame = plate::frame(grid.plate, &placed, hole, plan);
    let whole = overview(&placed, hole, &frame, grid.strip);
    let (near, far) = (Strip::filling(&frame.area), Strip::filling(&whole.area));
    let sight = |frame, strip| Sight {
        plan,
        placed: &placed,
        frame,
        strip,
        lengths,
    };
    let close = sight(&frame, &near);
    let large = plate::draw(&close, hole, &to_plane);
    let small = plate::strip(&sight(&whole, &far), hole, &to_plane, &frame);
    let shot = &plan.choice.shot;
    let landing = close.at(shot.aim.bearing_deg, shot.carry_m);

    let page = area(0.0, 0.0, PAGE[0], PAGE[1]);
    let mut words = Board::new(page, |_| 0.0);
    panel::head(&mut words, &grid.head, plan, lengths, &frame);
    panel::rule(&mut words, &grid.head, 132.0, Stroke::of(palette::INK, 3.0));
    aim_cost::draw(&mut words, &grid.axis, plan, &frame, landing, lengths);
    grid.rows.draw(&mut words, &grid.card, plan);
    tee_drawing::tee_note(&mut words, &grid.note, plan, &placed);
    numbers::hundred(&mut words, &grid.hundred, &shot.finish, plan.hole.par);
    numbers::costs(&mut words, &grid.costs, plan);
    let light = Stroke::of(palette::MIST, 2.0);
    panel::rule(&mut words, &grid.foot, grid.foot.top - 1.0, light);
    // What is assumed may lie out of sight, and is then not spoken of.
    let assumed = large.assumed || small.assumed;
    numbers::foot(grid.foot.width(), plan, assumed).write(&mut words, &grid.foot);
    let mut pegging = Board::new(grid.tee, |_| 0.0);
    tee_drawing::tee(&mut pegging, &grid.tee, plan, &placed, lengths);

    let mut nodes = vec![Node::Path {
        steps: super::scene::rectangle(0.0, 0.0, PAGE[0], PAGE[1]),
        fill: Some(super::scene::Fill::of(palette::PAPER)),
        stroke: None,
    }];
    nodes.extend(small.nodes);
    nodes.extend(large.nodes);
    nodes.push(group("tee", pegging.nodes));
    nodes.push(group("words", words.nodes));
    let title = format!(
        "Hole {}: {}",
        text::clean(&plan.hole.reference),
        text::clean(&plan.words.sentence)
    );
    let (mut texts, mut unplaced) = (Vec::new(), Vec::new());
    for (more, left) in [
        (small.board.texts, small.board.unplaced),
        (large.board.texts, large.board.unplaced),
        (pegging.texts, pegging.unplaced),
        (words.texts, words.unplaced),
    ] {
        texts.extend(more);
        unplaced.extend(left);
    }
    let layout = Layout {
        page,
        map: grid.strip,
        scale: whole.scale,
        texts,
        unplaced,
        plate: Some(large.plate),
    };
    Drawn {
        title,
        nodes,
        layout,
    }
}

/// Where everything stands on the page: a narrow column on the left for what the eye
/// takes in at a glance, a wide one for what is read.
struct Grid {
    head: Area,
    strip: Area,
    plate: Area,
    axis: Area,
    tee: Area,
    note: Area,
    card: Area,
    rows: card::Card,
    hundred: Area,
    costs: Area,
    foot: Area,
}

impl Grid {
    fn of(plan: &Plan, hole: &Land<'_>, placed: &Placed) -> Self {
        let (left, column, wide, right) = (60.0, 350.0, 370.0, 1_020.0);
        let (top, maps) = (146.0, 906.0);
        // What stands at the foot takes the room it needs above the 3.5 mm that
        // printers leave white.
        let assumed = |p: &Patch| p.assumed && p.surface != Surface::Rough;
        let last = numbers::foot(right - left, plan, hole.patches.iter().any(assumed));
        let foot = area(left, 1_742.0 - last.height(), right, 1_742.0);
        let axis = area(wide, maps, right, maps + aim_cost::HEIGHT);
        // Room for what one other shot costs, too.
        let most = foot.top - 12.0 - numbers::ONE_COST - axis.bottom;
        let rows = card::lay_out(plan, placed, right - wide, most);
        let card = area(wide, axis.bottom, right, axis.bottom + rows.height());
        Self {
            head: area(left, 40.0, right, 124.0),
            strip: area(left, top, column, maps),
            plate: area(wide, top, right, maps),
            axis,
            tee: area(left, maps + 14.0, column, 1_200.0),
            note: area(left, 1_206.0, column, 1_290.0),
            card,
            rows,
            hundred: area(left, 1_300.0, column, foot.top - 8.0),
            costs: area(wide, card.bottom + 4.0, right, foot.top - 8.0),
            foot,
        }
    }
}

/// The frame of the whole hole: the way upwards, and no larger than shows the plate's
/// width.
fn overview(placed: &Placed, hole: &Land<'_>, plate: &Frame, map: Area) -> Frame {
    let mut needed = way(hole, placed.peg, placed.pin);
    needed.push(placed.rest);
    needed.extend(placed.flight.iter().copied());
    let inner = area(
        map.left + 52.0,
        map.top + 48.0,
        map.right - 52.0,
        map.bottom - 34.0,
    );
    let widest = plate.scale * plate.area.width() / (map.width() - 16.0);
    let largest = (widest / 50.0).ceil() * 50.0;
    Frame::fit(map, inner, [placed.peg, placed.pin], &needed, largest)
}

pub(super) fn group(id: &'static str, nodes: Vec<Node>) -> Node {
    Node::Group {
        id,
        clip: None,
        nodes,
    }
}

pub(super) fn area(left: f64, top: f64, right: f64, bottom: f64) -> Area {
    Area {
        left,
        top,
        right,
        bottom,
    }
}

/// The way of the hole from the peg by the bends of its line of play to the pin, and
/// a little beyond both.
fn way(hole: &Land<'_>, peg: Coord<f64>, pin: Coord<f64>) -> Vec<Coord<f64>> {
    let away = [pin.x - peg.x, pin.y - peg.y];
    let long = away[0].hypot(away[1]).max(1.0);
    let unit = [away[0] / long, away[1] / long];
    let mut way = vec![Coord {
        x: peg.x - unit[0] * 4.0,
        y: peg.y - unit[1] * 4.0,
    }];
    let inner = hole.line_of_play.len().saturating_sub(2);
    let bends = hole.line_of_play.iter().skip(1).take(inner).copied();
    way.extend(bends.filter(|c| {
        let along = (c.x - peg.x) * unit[0] + (c.y - peg.y) * unit[1];
        along > 20.0 && along < long - 20.0
    }));
    way.push(Coord {
        x: pin.x + unit[0] * 8.0,
        y: pin.y + unit[1] * 8.0,
    });
    way
}

/// The frame that shows the hole and all of the shots, no larger than one to `largest_scale`. The
/// first shot's peg and pin set it up.
pub(super) fn view(shots: &[Placed], hole: &Land<'_>, map: Area, largest_scale: f64) -> Frame {
    /// White kept at each side of the hole, above and below it.
    const WHITE: [f64; 3] = [120.0, 60.0, 30.0];
    /// Hazards farther from the way than this are not looked for a frame, m.
    const NEAR_M: f64 = 45.0;
    let (peg, pin) = shots
        .first()
        .map_or_else(Default::default, |first| (first.peg, first.pin));
    let way = way(hole, peg, pin);
    let far = |c: &Coord<f64>| {
        way.windows(2)
            .map(|w| super::frame::to_segment([c.x, c.y], [w[0].x, w[0].y], [w[1].x, w[1].y]))
            .fold(f64::MAX, f64::min)
    };
    let mut needed: Vec<Coord<f64>> = way.clone();
    for placed in shots {
        needed.push(placed.rest);
        needed.extend(placed.ninety.iter().flatten().copied());
        needed.extend(placed.flight.iter().copied());
        let carries = placed.carries.iter().flatten().copied();
        needed.extend(carries.filter(|c| far(c) < NEAR_M));
    }
    let [side, above, below] = WHITE;
    let inner = area(
        map.left + side,
        map.top + above,
        map.right - side,
        map.bottom - below,
    );
    Frame::fit(map, inner, [peg, pin], &needed, largest_scale)
}
