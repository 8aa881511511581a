//! One plan on one page.

use super::frame::{Area, Frame, Strip};
use super::ground::Ground;
use super::labels::{Board, Layout, Line, Request};
use super::numbers;
use super::panel;
use super::scene::{Node, Stroke, palette};
use super::shot::{self, Sight};
use super::tee as tee_drawing;
use super::{next_shot, svg, text};
use crate::hole::plane::Plane;
use crate::hole::{Hole, Patch, Surface, Tree};
use crate::plan::{LonLat, Plan, wind};
use crate::units::LengthUnit;
use geo::Coord;

/// The largest type: the hole and the club.
pub const LARGE: f64 = 84.0;
/// Numbers and the sentence.
pub const MEDIUM: f64 = 30.0;
/// A sentence too long for that.
pub const LONG: f64 = 26.0;
/// All the rest.
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

/// The plan's places on the plane, metres east and north.
#[derive(Clone, Debug)]
pub struct Placed {
    /// The peg.
    pub peg: Coord<f64>,
    /// The pin.
    pub pin: Coord<f64>,
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
    /// To reach and to clear, in the order of the plan's carries.
    pub carries: Vec<[Coord<f64>; 2]>,
    /// Distance from the peg, width, left and right edge of the fairway.
    pub widths: Vec<(f64, f64, Coord<f64>, Coord<f64>)>,
    /// How far right of square to the markers the aim points, degrees.
    pub aim_from_square_deg: f64,
    /// Where the next shot is played from: about where the usual ball ends.
    pub next: Coord<f64>,
    /// From there to the green's front and back, towards the pin, m.
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
        let whole = plan.whole_hole.as_ref();
        let next = whole.and_then(|whole| whole.next.as_ref());
        let next = next.and_then(|next| near(plane(next.from))).unwrap_or(rest);
        Self {
            peg,
            pin,
            target: near(on_the_aim(peg, shot.aim.bearing_deg, shot.aim.distance_m)),
            rest,
            half: rings(&plan.finishes.half),
            ninety: rings(&plan.finishes.ninety),
            balls: finite(plan.finishes.balls.iter().map(|&p| plane(p))),
            flight: finite(plan.finishes.flight.iter().map(|&p| plane(p))),
            carries: plan
                .carries
                .iter()
                .map(|c| [plane(c.reach), plane(c.clear)])
                .collect(),
            widths: plan
                .widths
                .iter()
                .map(|w| (w.distance_m, w.width_m, plane(w.left), plane(w.right)))
                .collect(),
            aim_from_square_deg: (turn + 540.0).rem_euclid(360.0) - 180.0,
            next,
            green_from_rest_m: green_from(hole, next, pin),
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

/// The page as SVG text: 107.9 × 177.8 mm, tee at the bottom, green at the top.
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
    let page = area(0.0, 0.0, PAGE[0], PAGE[1]);
    // The grid: a margin of 6 mm, a column for the eye and a wider one for
    // the words, 4 mm between them.
    let (left, right) = (60.0, 1020.0);
    let (column, words_left) = (left + 420.0, left + 460.0);
    let head = area(left, 40.0, right, 124.0);
    // What stands at the foot takes the room it needs above the 3.5 mm that printers
    // leave white; the map gives it.
    let assumed = |p: &Patch| p.assumed && p.surface != Surface::Rough;
    let last = numbers::foot(right - left, plan, hole.patches.iter().any(assumed));
    let up = (last.height() - 115.5).max(0.0);
    let map = area(left, 142.0, right, 1128.0 - up);
    let tee = area(left, 1144.0 - up, column, 1412.0 - up);
    let call = area(words_left, 1134.0 - up, right, 1450.0 - up);
    let hundred = area(left, 1466.0 - up, column, 1618.0 - up);
    let costs = area(words_left, 1466.0 - up, right, 1618.0 - up);
    let foot = area(left, 1627.0 - up, right, 1746.0);

    let (way, half_m, frame) = view(std::slice::from_ref(&placed), hole, map, 500.0);
    let strip = Strip::new(
        way.iter().map(|&c| frame.place(c)).collect(),
        frame.length(half_m),
    );
    let ground = Ground::of(hole, &frame, &strip);
    let peg = frame.place(placed.peg);

    let mut board = Board::new(map, |p| ground.weight_at(p, &strip));
    panel::scale_bar(&mut board, &map, frame.scale, lengths);
    panel::dial(
        &mut board,
        &map,
        plan,
        frame.place(placed.pin),
        frame.direction(0.0),
        frame.direction(plan.conditions.wind_from_deg + 180.0),
    );
    let sight = Sight {
        plan,
        placed: &placed,
        frame: &frame,
        strip: &strip,
        lengths,
    };
    for edge in ground.edges() {
        board.keep_off(edge, 0.6);
    }
    let mut marks = shot::draw(&sight, &mut board);
    let to_plane = |p: LonLat| plane.to_plane(p.lon, p.lat);
    next_shot::draw(&sight, &to_plane, &mut marks, &mut board);
    // No label may lie on what another one measures.
    for request in marks.requests.iter().filter(|r| r.needed && r.tied) {
        board.keep_clear(
            area(request.at[0], request.at[1], request.at[0], request.at[1]).grown(8.0),
        );
    }
    for request in &marks.requests {
        board.place(request);
    }
    for (words, at) in &ground.tags {
        board.place(&Request {
            at: *at,
            lines: vec![Line::new(*words, SMALL, true, palette::STONE)],
            gap: 0.0,
            reach: 60.0,
            side: None,
            within: None,
            limit: f64::MAX,
            tied: false,
            needed: false,
        });
    }

    let mut words = Board::new(page, |_| 0.0);
    panel::head(&mut words, &head, plan, lengths);
    let heavy = Stroke::of(palette::INK, 3.0);
    let light = Stroke::of(palette::MIST, 2.0);
    panel::rule(&mut words, &head, 132.0, heavy);
    tee_drawing::tee_note(
        &mut words,
        [left, 1442.0 - up],
        column - left,
        plan,
        &placed,
    );
    numbers::call(&mut words, &call, plan);
    panel::rule(&mut words, &foot, 1457.0 - up, light);
    numbers::hundred(
        &mut words,
        &hundred,
        &plan.choice.shot.finish,
        plan.hole.par,
    );
    numbers::costs(&mut words, &costs, plan);
    panel::rule(&mut words, &foot, 1626.0 - up, light);
    // What is assumed may lie out of sight, and is then not spoken of.
    numbers::foot(right - left, plan, ground.assumed).write(&mut words, &foot);
    let mut pegging = Board::new(tee, |_| 0.0);
    tee_drawing::tee(&mut pegging, &tee, plan, &placed, lengths);

    let land = Node::Group {
        id: "land",
        clip: Some(strip.outline()),
        nodes: ground.nodes,
    };
    let in_map = Node::Group {
        id: "map",
        clip: Some(super::scene::rectangle(
            map.left,
            map.top,
            map.width(),
            map.height(),
        )),
        nodes: vec![land],
    };
    let nodes = vec![
        Node::Path {
            steps: super::scene::rectangle(0.0, 0.0, PAGE[0], PAGE[1]),
            fill: Some(super::scene::Fill::of(palette::PAPER)),
            stroke: None,
        },
        in_map,
        panel::zoom(peg, &tee),
        group("shot", marks.nodes),
        group("labels", board.nodes),
        group("tee", pegging.nodes),
        group("words", words.nodes),
    ];
    let title = format!(
        "Hole {}: {}",
        text::clean(&plan.hole.reference),
        text::clean(&plan.words.sentence)
    );
    let mut texts = board.texts;
    texts.extend(pegging.texts);
    texts.extend(words.texts);
    let mut unplaced = board.unplaced;
    unplaced.extend(pegging.unplaced);
    let layout = Layout {
        page,
        map,
        scale: frame.scale,
        texts,
        unplaced,
    };
    Drawn {
        title,
        nodes,
        layout,
    }
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

/// The way of the hole from the peg to the pin and a little beyond both, half
/// the width of land to draw, m, and the frame that shows all of the shots, no
/// larger than one to `largest_scale`. The first shot's peg and pin set it up.
pub(super) fn view(
    shots: &[Placed],
    hole: &Land<'_>,
    map: Area,
    largest_scale: f64,
) -> (Vec<Coord<f64>>, f64, Frame) {
    let (peg, pin) = shots
        .first()
        .map_or_else(Default::default, |first| (first.peg, first.pin));
    let away = [pin.x - peg.x, pin.y - peg.y];
    let long = away[0].hypot(away[1]).max(1.0);
    let unit = [away[0] / long, away[1] / long];
    // Bends of the line of play between the peg and the pin.
    let mut way = vec![Coord {
        x: peg.x - unit[0] * 4.0,
        y: peg.y - unit[1] * 4.0,
    }];
    let inner = hole.line_of_play.len().saturating_sub(2);
    way.extend(
        hole.line_of_play
            .iter()
            .skip(1)
            .take(inner)
            .copied()
            .filter(|c| {
                let along = (c.x - peg.x) * unit[0] + (c.y - peg.y) * unit[1];
                along > 20.0 && along < long - 20.0
            }),
    );
    way.push(Coord {
        x: pin.x + unit[0] * 8.0,
        y: pin.y + unit[1] * 8.0,
    });
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
        needed.extend(
            placed
                .carries
                .iter()
                .flatten()
                .copied()
                .filter(|c| far(c) < 70.0),
        );
    }
    let widest = needed
        .iter()
        .map(far)
        .filter(|d| d.is_finite())
        .fold(0.0, f64::max);
    let half_m = (widest + 10.0).clamp(42.0, 95.0);
    let frame = Frame::fit_within(map, peg, pin, &needed, largest_scale);
    (way, half_m, frame)
}
