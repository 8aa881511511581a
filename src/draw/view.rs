//! The view from the tee: what the player's eyes see round the aim, at one scale for
//! angles, so that it says where to look.
//!
//! Eyes are 1.6 m above the peg. Ground that hides what lies behind it is the skyline of
//! its direction; woods are the outline of their crowns, the farthest first; bunkers,
//! water and greens are never drawn thinner than the eye can find. The picture stands
//! upright as a photograph would, on angles instead of a plane, and what is within a few
//! paces of the peg lies below its edge.

use super::frame::Area;
use super::labels::{Board, Layout, Line};
use super::page::{Drawn, LARGE, MEDIUM, PAGE, READ, area};
use super::panel::{put, rule};
use super::scene::{self, Anchor, Colour, Fill, Node, Point, Step, Stroke, palette};
use super::{page, svg, text};
use crate::hole::plane::Plane;
use crate::hole::{Coord, Hole, Surface};
use crate::plan::landmark::{EYES_M, FINGER_DEG, FLAG_M};
use crate::plan::sentence::{self, capital};
use crate::plan::spoken::spoken;
use crate::plan::{LonLat, Plan};

/// The picture reaches so far to either side of the aim, degrees.
const SIDE_DEG: f64 = 15.0;
/// Paper for a degree: 3.2 mm.
const DEGREE: f64 = 32.0;
/// Below the eyes' level, and at least and at most above it, degrees.
const BELOW_DEG: f64 = 4.5;
const LEAST_ABOVE_DEG: f64 = 5.0;
const MOST_ABOVE_DEG: f64 = 14.0;
/// Directions looked at are so far apart, degrees; beyond the edges by so much.
const COLUMN_DEG: f64 = 0.125;
const MARGIN_DEG: f64 = 1.0;
/// Along each, places so far apart, and how many, m.
const STEP_M: f64 = 3.0;
const STEPS: usize = 150;
/// Nearer than this, ground lies below the picture, m.
const NEAR_M: f64 = 6.0;
/// Bands of distance in which crowns are drawn, the farthest first, m.
const BANDS_M: [f64; 9] = [450.0, 340.0, 270.0, 220.0, 180.0, 140.0, 100.0, 60.0, 9.0];
/// Nothing on the ground is drawn thinner than this.
const LEAST_HEIGHT: f64 = 10.0;
/// Posts of out of bounds are so far apart and so high, m (practice).
const POSTS_M: f64 = 15.0;
const POST_M: f64 = 1.0;
/// Crowns of a wood are so wide, m, and their tops differ by this share (practice).
const CROWN_M: f64 = 7.0;
const RAGGED: f64 = 0.12;
/// The picture's top on the page.
const TOP: f64 = 150.0;

/// The player's eyes, and what they see of the ground in every direction.
struct Eyes<'a> {
    hole: &'a Hole,
    peg: Coord<f64>,
    height_m: f64,
    aim_deg: f64,
    /// Of every direction the highest ground up to every step, degrees.
    ridges: Vec<[f64; STEPS]>,
}

impl<'a> Eyes<'a> {
    fn of(hole: &'a Hole, peg: Coord<f64>, aim_deg: f64) -> Self {
        let mut eyes = Self {
            hole,
            peg,
            height_m: hole.ground().height_m(peg.x, peg.y) + EYES_M,
            aim_deg,
            ridges: Vec::new(),
        };
        eyes.ridges = (0..columns())
            .map(|column| {
                let mut highest = -90.0_f64;
                std::array::from_fn(|step| {
                    let at = eyes.at(direction_deg(column), distance_m(step));
                    highest = highest.max(eyes.raw_deg(at, 0.0));
                    highest
                })
            })
            .collect();
        eyes
    }

    /// The place in a direction right of the aim, so far away.
    fn at(&self, right_deg: f64, away_m: f64) -> Coord<f64> {
        let (sin, cos) = (self.aim_deg + right_deg).to_radians().sin_cos();
        Coord {
            x: self.peg.x + away_m * sin,
            y: self.peg.y + away_m * cos,
        }
    }

    /// Ahead of the eyes and right of the aim, m.
    fn ahead_and_right(&self, at: Coord<f64>) -> [f64; 2] {
        let (sin, cos) = self.aim_deg.to_radians().sin_cos();
        let (x, y) = (at.x - self.peg.x, at.y - self.peg.y);
        [x * sin + y * cos, x * cos - y * sin]
    }

    /// Right of the aim, degrees.
    fn right_deg(&self, at: Coord<f64>) -> f64 {
        let [ahead, right] = self.ahead_and_right(at);
        right.atan2(ahead).to_degrees()
    }

    fn away_m(&self, at: Coord<f64>) -> f64 {
        (at.x - self.peg.x).hypot(at.y - self.peg.y)
    }

    /// How high above the level of the eyes something on the ground would be seen, were
    /// nothing before it, degrees.
    fn raw_deg(&self, at: Coord<f64>, above_m: f64) -> f64 {
        let top_m = self.hole.ground().height_m(at.x, at.y) + above_m;
        (top_m - self.height_m)
            .atan2(self.away_m(at).max(0.1))
            .to_degrees()
    }

    /// The ground that stands before a place, degrees.
    fn ridge_deg(&self, at: Coord<f64>) -> f64 {
        let step = ((self.away_m(at) - NEAR_M) / STEP_M).floor() - 1.0;
        let column = (self.right_deg(at) + SIDE_DEG + MARGIN_DEG) / COLUMN_DEG;
        if step < 0.0 || !column.is_finite() {
            return -90.0;
        }
        let column = (column.round().max(0.0) as usize).min(self.ridges.len().saturating_sub(1));
        let ridge = self.ridges.get(column);
        ridge.map_or(-90.0, |ridge| ridge[(step as usize).min(STEPS - 1)])
    }

    /// The same as it is seen: what ground hides lies on the skyline before it.
    fn up_deg(&self, at: Coord<f64>, above_m: f64) -> f64 {
        self.raw_deg(at, above_m).max(self.ridge_deg(at))
    }
}

fn columns() -> usize {
    (2.0 * (SIDE_DEG + MARGIN_DEG) / COLUMN_DEG) as usize + 1
}

fn direction_deg(column: usize) -> f64 {
    column as f64 * COLUMN_DEG - SIDE_DEG - MARGIN_DEG
}

fn distance_m(step: usize) -> f64 {
    NEAR_M + step as f64 * STEP_M
}

/// Crowns of one band of distance in one direction, degrees up.
#[derive(Clone, Copy)]
struct Crown {
    top_deg: f64,
    base_deg: f64,
    away_m: f64,
}

/// The crowns of every band, farthest first, in every direction.
fn crowns(eyes: &Eyes<'_>) -> Vec<Vec<Option<Crown>>> {
    let bands = BANDS_M.windows(2).map(|band| {
        let in_band = |step: &usize| (band[1]..band[0]).contains(&distance_m(*step));
        let steps: Vec<usize> = (0..STEPS).filter(in_band).collect();
        let each = (0..columns()).map(|column| {
            let mut crown: Option<Crown> = None;
            for &step in steps.iter().rev() {
                let away_m = distance_m(step);
                let at = eyes.at(direction_deg(column), away_m);
                let Some(leaves) = eyes.hole.canopy_at(at.x, at.y) else {
                    continue;
                };
                let across = direction_deg(column).to_radians() * away_m / CROWN_M;
                let ragged = 1.0 - RAGGED * (1.0 - (std::f64::consts::PI * across).sin().abs());
                let top_deg = eyes.raw_deg(at, leaves.top_m * ragged);
                if top_deg <= eyes.ridge_deg(at) {
                    continue;
                }
                let base_deg = eyes.up_deg(at, 0.0);
                let known = crown.get_or_insert(Crown {
                    top_deg,
                    base_deg,
                    away_m,
                });
                known.top_deg = known.top_deg.max(top_deg);
                (known.base_deg, known.away_m) = (base_deg, away_m);
            }
            crown
        });
        each.collect()
    });
    bands.collect()
}

/// Where a direction and a height lie on paper.
struct Paper {
    area: Area,
    above_deg: f64,
}

impl Paper {
    fn x(&self, right_deg: f64) -> f64 {
        (self.area.left + self.area.right) / 2.0 + right_deg * DEGREE
    }

    fn y(&self, up_deg: f64) -> f64 {
        self.area.top + (self.above_deg - up_deg) * DEGREE
    }

    fn of(&self, right_deg: f64, up_deg: f64) -> Point {
        // Far outside, so that what leaves the picture leaves it in its direction.
        [
            self.x(right_deg.clamp(-170.0, 170.0)),
            self.y(up_deg.clamp(-60.0, 60.0)),
        ]
    }
}

/// A colour so far on the way to the paper's.
fn pale(Colour(ink): Colour, share: f64) -> Colour {
    let Colour(paper) = palette::PAPER;
    Colour(std::array::from_fn(|k| {
        let (from, to) = (f64::from(ink[k]), f64::from(paper[k]));
        (from + (to - from) * share).round().clamp(0.0, 255.0) as u8
    }))
}

/// The outline of a patch as seen, cut to what lies ahead.
fn seen(eyes: &Eyes<'_>, paper: &Paper, outline: &[Coord<f64>]) -> Vec<Point> {
    let mut dense: Vec<Coord<f64>> = Vec::new();
    for pair in outline.windows(2) {
        let long_m = (pair[1].x - pair[0].x).hypot(pair[1].y - pair[0].y);
        let count = (long_m / STEP_M).ceil().clamp(1.0, 400.0) as u32;
        dense.extend((0..count).map(|k| {
            let part = f64::from(k) / f64::from(count);
            Coord {
                x: pair[0].x + (pair[1].x - pair[0].x) * part,
                y: pair[0].y + (pair[1].y - pair[0].y) * part,
            }
        }));
    }
    let mut points = Vec::new();
    for (k, &at) in dense.iter().enumerate() {
        let before = dense[(k + dense.len() - 1) % dense.len()];
        let ahead = [before, at].map(|at| eyes.ahead_and_right(at)[0] - NEAR_M);
        if (ahead[0] < 0.0) != (ahead[1] < 0.0) {
            let part = ahead[0] / (ahead[0] - ahead[1]);
            let cut = Coord {
                x: before.x + (at.x - before.x) * part,
                y: before.y + (at.y - before.y) * part,
            };
            points.push(paper.of(eyes.right_deg(cut), eyes.up_deg(cut, 0.0)));
        }
        if ahead[1] >= 0.0 {
            points.push(paper.of(eyes.right_deg(at), eyes.up_deg(at, 0.0)));
        }
    }
    points
}

/// Left, right, top and bottom of points.
fn extent(points: &[Point]) -> Option<[f64; 4]> {
    let first = points.first()?;
    Some(points.iter().fold(
        [first[0], first[0], first[1], first[1]],
        |[l, r, t, b], p| [l.min(p[0]), r.max(p[0]), t.min(p[1]), b.max(p[1])],
    ))
}

/// A flat thing as a lens of the least height that is found, standing on its own lower
/// edge.
fn lens([left, right, top, bottom]: [f64; 4]) -> Vec<Step> {
    let high = (bottom - top).max(LEAST_HEIGHT);
    let (middle, half) = (
        (left + right) / 2.0,
        ((right - left) / 2.0).max(LEAST_HEIGHT),
    );
    let ring: Vec<Point> = (0..24)
        .map(|k| {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(k) / 24.0).sin_cos();
            [middle + half * cos, bottom - high / 2.0 + high / 2.0 * sin]
        })
        .collect();
    scene::ring(&ring)
}

/// What lies on the ground, in the order of overlap.
fn ground(eyes: &Eyes<'_>, paper: &Paper, nodes: &mut Vec<Node>) {
    for patch in &eyes.hole.patches {
        let (fill, edge) = match patch.surface {
            Surface::Fairway => (palette::FAIRWAY, palette::FAIRWAY_EDGE),
            Surface::Green => (palette::GREEN, palette::INK),
            Surface::Bunker => (palette::SAND, palette::SAND_EDGE),
            Surface::PenaltyRed => (palette::WATER, palette::RED),
            Surface::PenaltyYellow => (palette::WATER, palette::YELLOW),
            _ => continue,
        };
        let points = seen(eyes, paper, &patch.outline.exterior().0);
        let Some(bounds) = extent(&points).filter(|b| b.iter().all(|v| v.is_finite())) else {
            continue;
        };
        let thin = bounds[3] - bounds[2] < LEAST_HEIGHT;
        let steps = if thin || patch.surface == Surface::Bunker {
            lens(bounds)
        } else {
            scene::ring(&points)
        };
        if patch.surface == Surface::Bunker {
            nodes.push(Node::Path {
                steps: steps.clone(),
                fill: Some(Fill::of(fill)),
                stroke: None,
            });
            nodes.push(Node::Stipple {
                steps: steps.clone(),
                colour: edge,
            });
        }
        nodes.push(Node::Path {
            steps,
            fill: (patch.surface != Surface::Bunker).then(|| Fill::of(fill)),
            stroke: Some(Stroke::of(edge, 2.0)),
        });
    }
}

/// Posts along out of bounds.
fn posts(eyes: &Eyes<'_>, paper: &Paper, nodes: &mut Vec<Node>) {
    let bounds = eyes.hole.patches.iter();
    for patch in bounds.filter(|patch| patch.surface == Surface::OutOfBounds) {
        let mut since_m = 0.0;
        for pair in patch.outline.exterior().0.windows(2) {
            let long_m = (pair[1].x - pair[0].x).hypot(pair[1].y - pair[0].y);
            let mut along_m = POSTS_M - since_m;
            while along_m < long_m {
                let part = along_m / long_m;
                let at = Coord {
                    x: pair[0].x + (pair[1].x - pair[0].x) * part,
                    y: pair[0].y + (pair[1].y - pair[0].y) * part,
                };
                let away_m = eyes.away_m(at);
                let is_ahead = eyes.ahead_and_right(at)[0] > 15.0 && away_m < 300.0;
                if is_ahead && eyes.raw_deg(at, POST_M) > eyes.ridge_deg(at) {
                    let foot = paper.of(eyes.right_deg(at), eyes.up_deg(at, 0.0));
                    let top = paper
                        .y(eyes.raw_deg(at, POST_M))
                        .min(foot[1] - LEAST_HEIGHT);
                    let post = |stroke| scene::line(foot, [foot[0], top], stroke);
                    nodes.push(post(Stroke::of(palette::INK, 5.0)));
                    nodes.push(post(Stroke::of(palette::PAPER, 2.0)));
                }
                along_m += POSTS_M;
            }
            since_m = (since_m + long_m) % POSTS_M;
        }
    }
}

/// The outline of crowns in directions side by side, round at either end.
fn crowded(run: &[(usize, Crown)], paper: &Paper) -> Vec<Point> {
    let last = run.len().saturating_sub(1);
    let top = |k: usize, crown: &Crown| {
        // How far in from the nearer end, in half crowns.
        let in_deg = (k.min(last - k) as f64 + 0.5) * COLUMN_DEG;
        let inside = (in_deg.to_radians() * crown.away_m / (CROWN_M / 2.0)).min(1.0);
        let round = (1.0 - (1.0 - inside).powi(2)).sqrt();
        crown.base_deg + (crown.top_deg - crown.base_deg) * round
    };
    let tops = run.iter().enumerate();
    let mut points: Vec<Point> = tops
        .map(|(k, (column, crown))| paper.of(direction_deg(*column), top(k, crown)))
        .collect();
    let bases = run.iter().rev();
    points.extend(bases.map(|(column, crown)| paper.of(direction_deg(*column), crown.base_deg)));
    points
}

/// Crowns of each band, the farther the paler.
fn woods(bands: &[Vec<Option<Crown>>], paper: &Paper, nodes: &mut Vec<Node>) {
    for (k, band) in bands.iter().enumerate() {
        let share = 0.55 * (1.0 - k as f64 / bands.len() as f64);
        let mut start = 0;
        while start < band.len() {
            let run: Vec<(usize, Crown)> = (start..band.len())
                .map_while(|column| band[column].map(|crown| (column, crown)))
                .collect();
            start += run.len().max(1);
            if run.is_empty() {
                continue;
            }
            let points = crowded(&run, paper);
            nodes.push(Node::Path {
                steps: scene::ring(&points),
                fill: Some(Fill::of(pale(palette::WOOD, share))),
                stroke: Some(Stroke::of(pale(palette::WOOD_EDGE, share), 1.8)),
            });
        }
    }
}

/// The flag, no smaller than is found.
fn flag(eyes: &Eyes<'_>, paper: &Paper, pin: Coord<f64>, nodes: &mut Vec<Node>) {
    if eyes.ahead_and_right(pin)[0] < 1.0 || eyes.raw_deg(pin, FLAG_M) <= eyes.ridge_deg(pin) {
        return;
    }
    let foot = paper.of(eyes.right_deg(pin), eyes.up_deg(pin, 0.0));
    let top = [
        foot[0],
        paper.y(eyes.raw_deg(pin, FLAG_M)).min(foot[1] - 30.0),
    ];
    nodes.push(scene::line(foot, top, Stroke::of(palette::PAPER, 6.0)));
    nodes.push(scene::line(foot, top, Stroke::of(palette::INK, 2.6)));
    nodes.push(Node::Path {
        steps: scene::ring(&[top, [top[0] + 20.0, top[1] + 7.0], [top[0], top[1] + 14.0]]),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    });
}

/// What the player does: the start, the usual ball's flight, the aim.
fn shot(eyes: &Eyes<'_>, paper: &Paper, plan: &Plan, flown: &[(f64, f64)], nodes: &mut Vec<Node>) {
    let shot = &plan.choice.shot;
    let violet = |width: f64| Stroke::of(palette::ACCENT, width);
    let white = |width: f64| Stroke::of(palette::PAPER, width);
    let ring = eyes.at(0.0, ring_m(plan));
    let ring = paper.of(0.0, eyes.up_deg(ring, EYES_M));
    let start_deg =
        crate::plan::scene::turn_deg(shot.start_line.bearing_deg - shot.aim.bearing_deg);
    let foot = paper.area.bottom;
    for (right_deg, dash) in [(start_deg, [3.0, 9.0]), (0.0, [26.0, 10.0])] {
        let x = paper.x(right_deg);
        if x.is_finite() {
            let ends = ([x, foot], [x, ring[1] + 15.0]);
            nodes.push(scene::line(ends.0, ends.1, white(9.0)));
            let stroke = violet(4.0).dashed(dash[0], dash[1]);
            nodes.push(scene::line(ends.0, ends.1, stroke));
        }
    }
    let arc: Vec<Point> = flown
        .iter()
        .map(|(right, up)| paper.of(*right, *up))
        .collect();
    if arc.len() > 1 {
        for stroke in [white(9.0), violet(5.0)] {
            nodes.push(Node::Path {
                steps: scene::polyline(&arc),
                fill: None,
                stroke: Some(stroke),
            });
        }
    }
    if let Some(&end) = arc.last() {
        nodes.push(scene::disc(end, 8.0, palette::ACCENT, Some(white(2.0))));
    }
    nodes.push(Node::Circle {
        id: Some("aim"),
        at: ring,
        radius: 14.0,
        fill: None,
        stroke: Some(white(9.0)),
    });
    nodes.push(Node::Circle {
        id: None,
        at: ring,
        radius: 14.0,
        fill: None,
        stroke: Some(violet(4.5)),
    });
}

/// How far off what is aimed by is drawn, m.
fn ring_m(plan: &Plan) -> f64 {
    let aim = &plan.choice.shot.aim;
    let away_m = Some(aim.distance_m).filter(|m| m.is_finite());
    away_m.unwrap_or(200.0).clamp(20.0, 450.0)
}

/// A wedge below the thing that is aimed by.
fn landmark(eyes: &Eyes<'_>, paper: &Paper, plan: &Plan, nodes: &mut Vec<Node>) {
    let aim = &plan.choice.shot.aim;
    if !aim.is_landmark || !aim.target_right_deg.is_finite() {
        return;
    }
    let at = eyes.at(aim.target_right_deg, ring_m(plan));
    let tip = paper.of(aim.target_right_deg, eyes.up_deg(at, 0.0));
    let tip = [tip[0], tip[1] + 6.0];
    let wedge = [
        tip,
        [tip[0] - 13.0, tip[1] + 30.0],
        [tip[0] + 13.0, tip[1] + 30.0],
    ];
    nodes.push(Node::Path {
        steps: scene::ring(&wedge),
        fill: Some(Fill::of(palette::INK)),
        stroke: Some(Stroke::of(palette::PAPER, 3.0)),
    });
}

/// Parts of a piece of the flight: near the eyes a straight piece is seen bent.
const PARTS: u32 = 6;

/// The usual ball's way through the air, right of the aim and up, degrees.
fn flown(eyes: &Eyes<'_>, plan: &Plan, plane: &dyn Fn(LonLat) -> Coord<f64>) -> Vec<(f64, f64)> {
    let finishes = &plan.finishes;
    let air = finishes.flight_airborne.min(finishes.flight.len());
    let flight = finishes.flight[..air].iter().zip(&finishes.flight_height_m);
    let places: Vec<(Coord<f64>, f64)> = flight.map(|(at, up_m)| (plane(*at), *up_m)).collect();
    let mut seen = Vec::new();
    for pair in places.windows(2) {
        let [(from, low), (to, high)] = [pair[0], pair[1]];
        for k in 0..=PARTS {
            let part = f64::from(k) / f64::from(PARTS);
            let at = Coord {
                x: from.x + (to.x - from.x) * part,
                y: from.y + (to.y - from.y) * part,
            };
            let away_m = eyes.away_m(at);
            let up_deg = (low + (high - low) * part - EYES_M)
                .atan2(away_m)
                .to_degrees();
            if away_m > NEAR_M && up_deg.is_finite() {
                seen.push((eyes.right_deg(at), up_deg));
            }
        }
    }
    seen
}

/// Below the picture: where half of the balls and nine in ten end, and fingers.
fn scale(board: &mut Board, paper: &Paper, ends_deg: &[f64]) {
    let area = &paper.area;
    let within = |right_deg: f64| paper.x(right_deg).clamp(area.left, area.right);
    let mut sorted: Vec<f64> = ends_deg.to_vec();
    sorted.sort_by(f64::total_cmp);
    let quantile = |share: f64| {
        let rank = (sorted.len().saturating_sub(1)) as f64 * share;
        sorted.get(rank.round() as usize).copied()
    };
    let y = area.bottom + 20.0;
    for (low, high, width) in [(0.05, 0.95, 4.0), (0.25, 0.75, 13.0)] {
        if let (Some(low), Some(high)) = (quantile(low), quantile(high)) {
            let ends = [within(low), within(high)];
            let stroke = Stroke::of(palette::ACCENT, width);
            board
                .nodes
                .push(scene::line([ends[0], y], [ends[1], y], stroke));
        }
    }
    let y = area.bottom + 46.0;
    let ink = Stroke::of(palette::INK, 1.8);
    board
        .nodes
        .push(scene::line([area.left, y], [area.right, y], ink));
    let most = (SIDE_DEG / FINGER_DEG).floor() as i32;
    for k in -most..=most {
        let x = paper.x(f64::from(k) * FINGER_DEG);
        let long = if k == 0 { 12.0 } else { 8.0 };
        board.nodes.push(scene::line([x, y - long], [x, y], ink));
        let words = if k == 0 {
            "aim".to_owned()
        } else {
            k.abs().to_string()
        };
        let (bold, colour) = if k == 0 {
            (true, palette::ACCENT)
        } else {
            (false, palette::INK)
        };
        let line = Line::new(words, READ, bold, colour);
        board.write(&line, [x, y + 29.0], Anchor::Middle, false);
    }
}

/// Words round the picture.
fn words(board: &mut Board, plan: &Plan, paper: &Paper) {
    let unit = plan.unit();
    let (left, right) = (paper.area.left, paper.area.right);
    let large = (LARGE, true, palette::INK);
    let number = put(
        board,
        &plan.hole.reference,
        large,
        [left, 118.0],
        Anchor::Start,
        170.0,
    );
    let at = number.right + 30.0;
    let strong = (MEDIUM, true, palette::INK);
    let club = capital(&sentence::club(&plan.choice.shot.club));
    let club = put(board, &club, strong, [right, 85.0], Anchor::End, 420.0);
    let peg = format!(
        "from the tee, {}",
        spoken(plan, |shot| sentence::peg(shot, unit))
    );
    let name = plan.hole.name.clone().unwrap_or_default();
    put(
        board,
        &name,
        strong,
        [at, 85.0],
        Anchor::Start,
        club.left - at - 20.0,
    );
    let plain = (READ, false, palette::INK);
    put(board, &peg, plain, [at, 118.0], Anchor::Start, right - at);
    rule(
        board,
        &area(left, 40.0, right, 132.0),
        132.0,
        Stroke::of(palette::INK, 3.0),
    );
    let base = paper.area.bottom + 118.0;
    let aim = spoken(plan, |shot| sentence::aim(shot, unit));
    let aim = text::clean(&format!("Aim {aim}."));
    for (k, line) in text::wrap(&aim, MEDIUM, true, right - left, 2)
        .iter()
        .enumerate()
    {
        let at = [left, base + 36.0 * k as f64];
        put(
            board,
            line,
            (MEDIUM, true, palette::ACCENT),
            at,
            Anchor::Start,
            right - left,
        );
    }
    let wedge = if plan.choice.shot.aim.is_landmark {
        "Ring: the aim. Wedge: what it is counted from. Dots: where the ball starts."
    } else {
        "Ring: the aim. Dots: where the ball starts."
    };
    let key = [
        wedge,
        "Line: the usual ball. Bar: where half of the balls and nine in ten end.",
        "Numbers: fingers at arm\u{2019}s length, about 2° each.",
    ];
    for (k, line) in key.iter().enumerate() {
        let at = [left, base + 76.0 + 32.0 * k as f64];
        let stone = (READ, false, palette::STONE);
        put(board, line, stone, at, Anchor::Start, right - left);
    }
}

/// The view as SVG text.
#[must_use]
pub fn view(plan: &Plan, hole: &Hole) -> String {
    let drawn = lay_out(plan, hole);
    let page = &drawn.layout.page;
    svg::write([page.right, page.bottom], &drawn.title, &drawn.nodes)
}

/// The view before it is written.
#[must_use]
pub fn lay_out(plan: &Plan, hole: &Hole) -> Drawn {
    let plane = Plane::new(hole.origin_lon_lat);
    let to_plane = |p: LonLat| plane.to_plane(p.lon, p.lat);
    let shot = &plan.choice.shot;
    let tee = LonLat {
        lon: shot.tee.lon,
        lat: shot.tee.lat,
    };
    let is_near = |c: &Coord<f64>| c.x.abs() < 5_000.0 && c.y.abs() < 5_000.0;
    let first = hole.line_of_play.first().copied().unwrap_or_default();
    let peg = Some(to_plane(tee)).filter(is_near).unwrap_or(first);
    let aim_deg = Some(shot.aim.bearing_deg).filter(|deg| deg.abs() < 1e4);
    let eyes = Eyes::of(hole, peg, aim_deg.unwrap_or(plan.hole.line_of_play_deg));
    let bands = crowns(&eyes);
    let flown = flown(&eyes, plan, &to_plane);
    let crowns_deg = bands.iter().flatten().flatten().map(|crown| crown.top_deg);
    let highest = crowns_deg
        .chain(flown.iter().map(|(_, up)| *up))
        .fold(LEAST_ABOVE_DEG, f64::max);
    let above_deg = (highest + 0.8).min(MOST_ABOVE_DEG);
    let side = SIDE_DEG * DEGREE;
    let middle = PAGE[0] / 2.0;
    let bottom = TOP + (above_deg + BELOW_DEG) * DEGREE;
    let paper = Paper {
        area: area(middle - side, TOP, middle + side, bottom),
        above_deg,
    };
    let size = area(0.0, 0.0, PAGE[0], bottom + 290.0);
    let mut land = Vec::new();
    ground(&eyes, &paper, &mut land);
    woods(&bands, &paper, &mut land);
    posts(&eyes, &paper, &mut land);
    let skyline: Vec<Point> = eyes
        .ridges
        .iter()
        .enumerate()
        .map(|(column, ridge)| paper.of(direction_deg(column), ridge[STEPS - 1]))
        .collect();
    land.insert(
        0,
        Node::Path {
            steps: scene::polyline(&skyline),
            fill: None,
            stroke: Some(Stroke::of(palette::STONE, 1.6)),
        },
    );
    flag(&eyes, &paper, hole.pin, &mut land);
    self::shot(&eyes, &paper, plan, &flown, &mut land);
    let mut board = Board::new(size, |_| 0.0);
    let balls = plan.finishes.balls.iter().map(|&p| to_plane(p));
    let ends: Vec<f64> = balls.filter(is_near).map(|at| eyes.right_deg(at)).collect();
    scale(&mut board, &paper, &ends);
    words(&mut board, plan, &paper);
    let frame = scene::rectangle(paper.area.left, TOP, 2.0 * side, bottom - TOP);
    let whole = scene::rectangle(0.0, 0.0, size.right, size.bottom);
    let nodes = vec![
        Node::Path {
            steps: whole,
            fill: Some(Fill::of(palette::PAPER)),
            stroke: None,
        },
        Node::Group {
            id: "view",
            clip: Some(frame.clone()),
            nodes: land,
        },
        Node::Path {
            steps: frame,
            fill: None,
            stroke: Some(Stroke::of(palette::INK, 2.0)),
        },
        page::group("words", board.nodes),
    ];
    Drawn {
        title: format!(
            "Hole {}: the view from the tee",
            text::clean(&plan.hole.reference)
        ),
        nodes,
        layout: Layout {
            page: size,
            map: paper.area,
            scale: 0.0,
            texts: board.texts,
            unplaced: board.unplaced,
            plate: None,
        },
    }
}
