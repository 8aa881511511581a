//! The land in the view from the tee: what lies on the ground and what stands up.

use super::super::scene::{self, Colour, Fill, Node, Point, Step, Stroke, palette};
use super::Paper;
use super::eyes::{
    BANDS_M, COLUMN_DEG, CROWN_M, Crown, Eyes, NEAR_M, STEP_M, STEPS, direction_deg,
};
use crate::hole::{Coord, Surface};
use crate::plan::landmark::FLAG_M;

/// Nothing on the ground is drawn thinner than this.
const LEAST_HEIGHT: f64 = 10.0;
/// Posts of out of bounds are so far apart and so high, m (practice).
const POSTS_M: f64 = 15.0;
const POST_M: f64 = 1.0;
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

/// What stands up, and how far away.
type Standing = Vec<(f64, Vec<Node>)>;

/// What lies on the ground, in the order of overlap; bunkers stand up.
fn ground(eyes: &Eyes<'_>, paper: &Paper, flat: &mut Vec<Node>, standing: &mut Standing) {
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
        let fill = Some(Fill::of(fill));
        let edge = Some(Stroke::of(edge, 2.0));
        let path = |fill, stroke| Node::Path {
            steps: steps.clone(),
            fill,
            stroke,
        };
        if patch.surface == Surface::Bunker {
            let away = patch.outline.exterior().0.iter().map(|at| eyes.away_m(*at));
            let sand = Node::Stipple {
                steps: steps.clone(),
                colour: palette::SAND_EDGE,
            };
            let nodes = vec![path(fill, None), sand, path(None, edge)];
            standing.push((away.fold(f64::MAX, f64::min), nodes));
        } else {
            flat.push(path(fill, edge));
        }
    }
}

/// Posts along out of bounds.
fn posts(eyes: &Eyes<'_>, paper: &Paper, standing: &mut Standing) {
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
                    let strokes = [(palette::INK, 5.0), (palette::PAPER, 2.0)];
                    let drawn = strokes.map(|(colour, wide)| post(Stroke::of(colour, wide)));
                    standing.push((away_m, drawn.into()));
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
fn woods(bands: &[Vec<Option<Crown>>], paper: &Paper, standing: &mut Standing) {
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
            let crowns = Node::Path {
                steps: scene::ring(&points),
                fill: Some(Fill::of(pale(palette::WOOD, share))),
                stroke: Some(Stroke::of(pale(palette::WOOD_EDGE, share), 1.8)),
            };
            // What stands in the same band is seen before them.
            standing.push((BANDS_M[k], vec![crowns]));
        }
    }
}

/// The flag, no smaller than is found.
fn flag(eyes: &Eyes<'_>, paper: &Paper, pin: Coord<f64>, standing: &mut Standing) {
    if eyes.ahead_and_right(pin)[0] < 1.0 || eyes.raw_deg(pin, FLAG_M) <= eyes.ridge_deg(pin) {
        return;
    }
    let foot = paper.of(eyes.right_deg(pin), eyes.up_deg(pin, 0.0));
    let top = [
        foot[0],
        paper.y(eyes.raw_deg(pin, FLAG_M)).min(foot[1] - 30.0),
    ];
    let flag = Node::Path {
        steps: scene::ring(&[top, [top[0] + 20.0, top[1] + 7.0], [top[0], top[1] + 14.0]]),
        fill: Some(Fill::of(palette::INK)),
        stroke: None,
    };
    let nodes = vec![
        scene::line(foot, top, Stroke::of(palette::PAPER, 6.0)),
        scene::line(foot, top, Stroke::of(palette::INK, 2.6)),
        flag,
    ];
    standing.push((eyes.away_m(pin), nodes));
}

/// The skyline, what lies on the ground, what stands up: the farthest first.
pub(super) fn land(eyes: &Eyes<'_>, paper: &Paper, bands: &[Vec<Option<Crown>>]) -> Vec<Node> {
    let ridges = eyes.ridges.iter().enumerate();
    let skyline: Vec<Point> = ridges
        .map(|(column, ridge)| paper.of(direction_deg(column), ridge[STEPS - 1]))
        .collect();
    let mut nodes = vec![Node::Path {
        steps: scene::polyline(&skyline),
        fill: None,
        stroke: Some(Stroke::of(palette::STONE, 1.6)),
    }];
    let mut standing = Standing::new();
    ground(eyes, paper, &mut nodes, &mut standing);
    woods(bands, paper, &mut standing);
    posts(eyes, paper, &mut standing);
    flag(eyes, paper, eyes.hole.pin, &mut standing);
    standing.sort_by(|a, b| b.0.total_cmp(&a.0));
    nodes.extend(standing.into_iter().flat_map(|(_, nodes)| nodes));
    nodes
}
