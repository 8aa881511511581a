//! A review to SVG: the tee shots on each hole, how the patterns hold, course play before and after.
//!
//! Violet is the player's: patterns and balls. Ink is the ground and the figures. A ball in the region of
//! half is a full disc, one in that of nine in ten a disc with a white heart, one outside a cross, so that
//! they are told apart in grey.

use geo::LineString;

use super::frame::{Area, Frame, Strip};
use super::ground::Ground;
use super::page::Land;
use super::scene::{self, Anchor, Fill, Node, Point, Step, Stroke, Text, palette};
use super::{svg, text};
use crate::hole::{Coord, Hole};
use crate::plan::region;
use crate::review::against::Region;
use crate::review::{Drawn, Review};

/// The page: that of the book.
const PAGE: [f64; 2] = [1079.0, 1778.0];
/// Free edge of a page.
const EDGE: f64 = 50.0;
/// Sizes of text.
const HEAD: f64 = 58.0;
const READ: f64 = 30.0;
const SMALL: f64 = 25.0;
/// Radius of a ball.
const BALL: f64 = 11.0;
/// Half the tick across a peg, and half an arrow's head.
const TICK: f64 = 11.0;

fn write(at: Point, words: &str, (size, bold, anchor): (f64, bool, Anchor)) -> Node {
    Node::Text(Text {
        at,
        words: text::cut(&text::clean(words), size, bold, PAGE[0] - 2.0 * EDGE),
        size,
        bold,
        colour: palette::INK,
        anchor,
        halo: false,
        tail: Vec::new(),
    })
}

fn path(steps: Vec<Step>, fill: Option<Fill>, stroke: Stroke) -> Node {
    Node::Path {
        steps,
        fill,
        stroke: Some(stroke),
    }
}

/// The tee shots of a hole on its map, an index into the holes that were reviewed; none where no tee shot
/// of it has a place.
#[must_use]
pub fn hole(review: &Review, tee: usize, hole: &Hole) -> Option<String> {
    let drawn: Vec<&Drawn> = review
        .drawn
        .iter()
        .filter(|drawn| drawn.tee == tee)
        .collect();
    let first = drawn.first()?;
    let balls: usize = drawn.iter().map(|drawn| drawn.balls.len()).sum();
    let map = Area {
        left: EDGE,
        top: 200.0,
        right: PAGE[0] - EDGE,
        bottom: PAGE[1] - 120.0,
    };
    let needed: Vec<Coord<f64>> = drawn
        .iter()
        .flat_map(|drawn| {
            drawn
                .balls
                .iter()
                .map(|(at, _)| *at)
                .chain(outline(&drawn.ninety))
                .chain([drawn.view.at([drawn.aim_m, 0.0])])
        })
        .collect();
    let frame = Frame::fit(
        map,
        map.grown(-60.0),
        [first.view.peg, hole.pin],
        &needed,
        500.0,
    );
    let strip = Strip::filling(&map);
    let mut nodes = Ground::of(&Land::of(hole), &frame, &strip).nodes;
    for drawn in &drawn {
        pattern(drawn, &frame, &mut nodes);
    }
    for (at, region) in drawn.iter().flat_map(|drawn| &drawn.balls) {
        ball(frame.place(*at), *region, &mut nodes);
    }
    if drawn.len() > 1 {
        for drawn in &drawn {
            nodes.extend(label(drawn, &frame, map));
        }
    }
    let clubs: Vec<&str> = drawn.iter().map(|drawn| drawn.club.as_str()).collect();
    let mut under = vec![clubs.join("; ")];
    let tees = review.rounds.iter().flat_map(|round| &round.holes);
    let in_words = tees
        .filter(|tee| tee.reference == hole.reference)
        .filter(|tee| tee.ended.is_none() && !tee.said.is_empty())
        .count();
    if in_words > 0 {
        under.push(format!("{in_words} more without a place"));
    }
    let shots = if balls == 1 {
        "1 tee shot".into()
    } else {
        format!("{balls} tee shots")
    };
    let title = format!("Hole {}: {shots}", text::clean(&hole.reference));
    let all = vec![
        write([EDGE, 95.0], &title, (HEAD, true, Anchor::Start)),
        write(
            [EDGE, 150.0],
            &under.join("; "),
            (READ, false, Anchor::Start),
        ),
        Node::Group {
            id: "hole",
            clip: Some(scene::rectangle(
                map.left,
                map.top,
                map.width(),
                map.height(),
            )),
            nodes,
        },
        path(
            scene::rectangle(map.left, map.top, map.width(), map.height()),
            None,
            Stroke::of(palette::INK, 2.0),
        ),
    ];
    let all = all
        .into_iter()
        .chain(legend(PAGE[1] - 62.0))
        .collect::<Vec<_>>();
    Some(svg::write(PAGE, &title, &all))
}

/// Every point of a region's rings.
fn outline(region: &region::Region) -> impl Iterator<Item = Coord<f64>> + '_ {
    region
        .iter()
        .flat_map(|piece| piece.exterior().coords().copied())
}

/// A pattern's club, above it.
fn label(drawn: &Drawn, frame: &Frame, map: Area) -> Option<Node> {
    let points = outline(&drawn.ninety).map(|at| frame.place(at));
    let top = points.min_by(|a, b| a[1].total_cmp(&b[1]))?;
    let words = text::clean(&drawn.club);
    let half = text::width(&words, SMALL, true) / 2.0 + 8.0;
    let x = top[0].max(map.left + half).min(map.right - half);
    Some(Node::Text(Text {
        at: [x, (top[1] - 10.0).max(map.top + 30.0)],
        words,
        size: SMALL,
        bold: true,
        colour: palette::ACCENT,
        anchor: Anchor::Middle,
        halo: true,
        tail: Vec::new(),
    }))
}

/// The regions of a pattern, the line from its peg to the point aimed at, and a tick across the peg.
fn pattern(drawn: &Drawn, frame: &Frame, nodes: &mut Vec<Node>) {
    let steps = |region: &region::Region| -> Vec<Step> {
        let ring = |line: &LineString<f64>| {
            let points: Vec<Point> = line.coords().map(|c| frame.place(*c)).collect();
            scene::ring(&points)
        };
        let rings = region.iter().flat_map(|piece| {
            std::iter::once(piece.exterior())
                .chain(piece.interiors())
                .map(ring)
        });
        rings.flatten().collect()
    };
    let half = Fill {
        colour: palette::ACCENT,
        opacity: 0.22,
    };
    nodes.push(path(
        steps(&drawn.half),
        Some(half),
        Stroke::of(palette::ACCENT, 3.0),
    ));
    let dashed = Stroke::of(palette::ACCENT, 3.0).dashed(16.0, 10.0);
    nodes.push(path(steps(&drawn.ninety), None, dashed));
    let peg = frame.place(drawn.view.peg);
    let end = frame.place(drawn.view.at([drawn.aim_m, 0.0]));
    nodes.push(scene::line(peg, end, Stroke::of(palette::ACCENT, 2.0)));
    let long = scene::distance(peg, end).max(1.0e-9);
    let along = [(end[0] - peg[0]) / long, (end[1] - peg[1]) / long];
    // Right of the line by so much, and back along it.
    let off = |from: Point, right: f64, back: f64| {
        [
            from[0] - right * along[1] - back * along[0],
            from[1] + right * along[0] - back * along[1],
        ]
    };
    let across = (off(peg, -TICK, 0.0), off(peg, TICK, 0.0));
    nodes.push(scene::line(
        across.0,
        across.1,
        Stroke::of(palette::ACCENT, 5.0),
    ));
    for right in [-TICK, TICK] {
        let head = off(end, right, 1.6 * TICK);
        nodes.push(scene::line(head, end, Stroke::of(palette::ACCENT, 2.0)));
    }
}

/// A ball by the region it ended in.
fn ball(at: Point, region: Option<Region>, nodes: &mut Vec<Node>) {
    let rim = Some(Stroke::of(palette::PAPER, 3.0));
    match region {
        Some(Region::Outside) => {
            let arm = BALL * 0.9;
            for [x, y] in [[arm, arm], [arm, -arm]] {
                let ends = ([at[0] - x, at[1] - y], [at[0] + x, at[1] + y]);
                nodes.push(scene::line(ends.0, ends.1, Stroke::of(palette::PAPER, 9.0)));
                nodes.push(scene::line(
                    ends.0,
                    ends.1,
                    Stroke::of(palette::ACCENT, 5.0),
                ));
            }
        }
        Some(Region::Half) | None => nodes.push(scene::disc(at, BALL, palette::ACCENT, rim)),
        Some(Region::NineInTen) => {
            nodes.push(scene::disc(at, BALL, palette::ACCENT, rim));
            nodes.push(scene::disc(at, BALL * 0.45, palette::PAPER, None));
        }
    }
}

/// What the balls mean.
fn legend(y: f64) -> Vec<Node> {
    let mut nodes = Vec::new();
    let entries = [
        (Region::Half, "in the region of half"),
        (Region::NineInTen, "in that of nine in ten"),
        (Region::Outside, "outside"),
    ];
    let mut x = EDGE + BALL;
    for (region, words) in entries {
        ball([x, y - 9.0], Some(region), &mut nodes);
        nodes.push(write([x + 22.0, y], words, (SMALL, false, Anchor::Start)));
        x += 70.0 + text::width(words, SMALL, false);
    }
    nodes
}

/// How the patterns hold: of the tee shots the share that ended where so many predicted balls lie denser.
/// Patterns that are right give the diagonal, up to chance.
#[must_use]
pub fn patterns(review: &Review) -> String {
    let tees = review.rounds.iter().flat_map(|round| &round.holes);
    let mut denser: Vec<f64> = tees.filter_map(|tee| tee.in_pattern.denser).collect();
    denser.sort_by(f64::total_cmp);
    let count = denser.len();
    let page = [1079.0, 1180.0];
    let area = Area {
        left: 150.0,
        top: 230.0,
        right: 999.0,
        bottom: 1079.0,
    };
    let place = |share: f64, of: f64| -> Point {
        [
            area.left + share * area.width(),
            area.bottom - of * area.height(),
        ]
    };
    let title = "How the patterns hold";
    let under = match count {
        0 => "no tee shot has a place".to_owned(),
        _ => format!("{count} tee shots; grey: where nine in ten such reviews run by chance"),
    };
    let mut nodes = vec![
        write([EDGE, 95.0], title, (HEAD, true, Anchor::Start)),
        write([EDGE, 150.0], &under, (READ, false, Anchor::Start)),
    ];
    if count > 0 {
        let steps: Vec<f64> = (0..=100_u32).map(|k| f64::from(k) / 100.0).collect();
        let ends = |share: f64| -> [f64; 2] { band(count, share) };
        let upper = steps.iter().map(|share| place(*share, ends(*share)[1]));
        let lower = steps
            .iter()
            .rev()
            .map(|share| place(*share, ends(*share)[0]));
        let ring: Vec<Point> = upper.chain(lower).collect();
        nodes.push(Node::Path {
            steps: scene::ring(&ring),
            fill: Some(Fill {
                colour: palette::MIST,
                opacity: 0.45,
            }),
            stroke: None,
        });
    }
    for share in [0.0, 0.5, 0.9, 1.0] {
        let words = format!("{:.0}", 100.0 * share);
        let light = Stroke::of(palette::MIST, 2.0);
        nodes.push(scene::line(place(share, 0.0), place(share, 1.0), light));
        nodes.push(scene::line(place(0.0, share), place(1.0, share), light));
        let [x, y] = place(share, 0.0);
        nodes.push(write([x, y + 40.0], &words, (READ, false, Anchor::Middle)));
        let [x, y] = place(0.0, share);
        nodes.push(write(
            [x - 16.0, y + 10.0],
            &words,
            (READ, false, Anchor::End),
        ));
    }
    nodes.push(scene::line(
        place(0.0, 0.0),
        place(1.0, 1.0),
        Stroke::of(palette::INK, 2.0),
    ));
    let mut way = vec![place(0.0, 0.0)];
    for (k, share) in denser.iter().enumerate() {
        let each = 1.0 / count as f64;
        way.push(place(*share, k as f64 * each));
        way.push(place(*share, (k + 1) as f64 * each));
    }
    way.push(place(1.0, if count > 0 { 1.0 } else { 0.0 }));
    if count > 0 {
        nodes.push(path(
            scene::polyline(&way),
            None,
            Stroke::of(palette::ACCENT, 5.0),
        ));
    }
    let across = "region that holds so many of 100 predicted balls";
    nodes.push(write(
        [area.right, page[1] - 30.0],
        across,
        (SMALL, false, Anchor::End),
    ));
    nodes.push(write(
        [area.left, area.top - 14.0],
        "so many of 100 tee shots in it",
        (SMALL, false, Anchor::Start),
    ));
    svg::write(page, title, &nodes)
}

/// The shares of tee shots between which a binomial count lies nine times in ten.
fn band(count: usize, share: f64) -> [f64; 2] {
    if share <= 0.0 || share >= 1.0 {
        return [share; 2];
    }
    let n = count as f64;
    let mut log = n * (1.0 - share).ln();
    let (mut sum, mut ends) = (0.0, [None, None]);
    for k in 0..=count {
        sum += log.exp();
        for (end, level) in ends.iter_mut().zip([0.05, 0.95]) {
            if end.is_none() && sum >= level {
                *end = Some(k as f64 / n);
            }
        }
        log += ((count - k) as f64 / (k + 1) as f64).ln() + (share / (1.0 - share)).ln();
    }
    ends.map(|end| end.unwrap_or(1.0))
}

/// Course play before and after: medians with the intervals that hold them in eight cases of ten.
#[must_use]
pub fn course_play(review: &Review) -> String {
    let page = [1079.0, 800.0];
    let learnt = &review.course_play;
    let rows: Vec<_> = learnt
        .before
        .all()
        .into_iter()
        .zip(learnt.after.all())
        .take(4)
        .collect();
    let names = [
        "driver, to the side",
        "driver, in distance",
        "others, to the side",
        "others, in distance",
    ];
    let ends = rows
        .iter()
        .flat_map(|(a, b)| a.interval_80.into_iter().chain(b.interval_80));
    let ends: Vec<f64> = ends.chain([0.9, 1.6]).collect();
    let low = ends.iter().copied().fold(f64::MAX, f64::min).max(0.25);
    let high = ends.iter().copied().fold(f64::MIN, f64::max).min(5.0);
    let (left, right) = (380.0, page[0] - 80.0);
    // Factors: equal ratios have equal lengths.
    let x = |factor: f64| {
        let share = (factor.clamp(low, high) / low).ln() / (high / low).ln();
        left + share * (right - left)
    };
    let title = "Course play beside the range";
    let mut nodes = vec![write([EDGE, 85.0], title, (44.0, true, Anchor::Start))];
    let under = "how many times as wide as on the range; grey: before these rounds, violet: now; \
                 a line holds it in eight cases of ten";
    let lines = text::wrap(under, READ, false, page[0] - 2.0 * EDGE, 2);
    for (k, line) in lines.iter().enumerate() {
        let y = 135.0 + 40.0 * k as f64;
        nodes.push(write([EDGE, y], line, (READ, false, Anchor::Start)));
    }
    let bottom = 240.0 + 120.0 * rows.len() as f64;
    let ticks = [0.5, 0.7, 0.8, 0.9, 1.0, 1.2, 1.4, 1.7, 2.0, 2.5, 3.0, 4.0];
    let mut last = f64::MIN;
    for tick in ticks.into_iter().filter(|tick| (low..=high).contains(tick)) {
        let weight = if tick == 1.0 {
            palette::INK
        } else {
            palette::MIST
        };
        nodes.push(scene::line(
            [x(tick), 220.0],
            [x(tick), bottom],
            Stroke::of(weight, 2.0),
        ));
        if x(tick) - last > 70.0 {
            let words = format!("{tick}");
            nodes.push(write(
                [x(tick), bottom + 40.0],
                &words,
                (READ, false, Anchor::Middle),
            ));
            last = x(tick);
        }
    }
    for (k, ((before, after), name)) in rows.iter().zip(names).enumerate() {
        let y = 285.0 + 120.0 * k as f64;
        nodes.push(write([EDGE, y + 12.0], name, (READ, false, Anchor::Start)));
        for (estimate, y, colour) in [
            (before, y - 14.0, palette::STONE),
            (after, y + 20.0, palette::ACCENT),
        ] {
            let [low, high] = estimate.interval_80;
            nodes.push(scene::line(
                [x(low), y],
                [x(high), y],
                Stroke::of(colour, 6.0),
            ));
            nodes.push(scene::disc([x(estimate.median), y], 12.0, colour, None));
        }
    }
    svg::write(page, title, &nodes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of 10 at a half: P(at most 2) is 0.055, P(at most 1) 0.011; P(at most 8) is 0.989, P(at most 7)
    /// 0.945.
    #[test]
    fn the_band_is_the_binomials() {
        assert_eq!(band(10, 0.5), [0.2, 0.8]);
        assert_eq!(band(10, 0.0), [0.0, 0.0]);
    }
}
