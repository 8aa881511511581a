//! The line of play: which way it runs, and whether a hole of its par is so long.

use geo::{Area, Coord, Distance, Euclidean, Point, Polygon};

use super::super::tags::What;
use super::super::{Surface, line};
use super::{Asked, Seen};
use crate::diagnostic::{Note, Question, Topic};
use crate::units::YARD_M;

/// A line that starts this near to a green starts on it, m.
const ON_GREEN_M: f64 = 5.0;
/// How much nearer the wrong end must be, m.
const NEARER_M: f64 = 5.0;
/// A tee or pin of the hole's own number this near to an end stands at it, m.
const AT_END_M: f64 = 60.0;
/// A line that turns back by more than this has gone the wrong way, degrees: no hole bends so.
const TURNED_BACK_DEG: f64 = 150.0;
/// Pieces shorter than this are drawn by a hand that shook, m.
const LEAST_PIECE_M: f64 = 20.0;
/// Ends nearer to each other than this share of the length: a horseshoe of a half circle keeps
/// 0.64, a there-and-back line nothing.
const LEAST_SPAN: f64 = 0.3;

/// Shortest and longest hole of a par that is not asked about, yd. The par tables of the Rules of
/// Handicapping (memory: par 3 to 260 yd for men and 220 for women, par 4 240–490 and 200–420,
/// par 5 450–710 and 370–600, par 6 from 670 and 570) with margins for mountains, wind and short
/// courses; par 3s of pitch and putt are as short as a chip.
const LENGTH_BANDS_YD: [(u8, [f64; 2]); 5] = [
    (3, [18.0, 310.0]),
    (4, [160.0, 560.0]),
    (5, [320.0, 800.0]),
    (6, [500.0, 1100.0]),
    (7, [600.0, 1350.0]),
];
/// How far a `dist` tag may be from the length drawn, as a share.
const DIST_OFF: f64 = 0.15;

/// Where a line of play turns back on itself: degrees of the turn and metres along; or none.
pub(in super::super) fn turned_back(line: &[Coord<f64>]) -> Option<String> {
    let pieces: Vec<(f64, Coord<f64>)> = line
        .windows(2)
        .map(|pair| (line::distance_m(pair[0], pair[1]), pair[1] - pair[0]))
        .collect();
    let mut along = 0.0;
    for two in pieces.windows(2) {
        let ((one, a), (other, b)) = (two[0], two[1]);
        along += one;
        if one < LEAST_PIECE_M || other < LEAST_PIECE_M {
            continue;
        }
        let turn = (a.x * b.y - a.y * b.x)
            .atan2(a.x * b.x + a.y * b.y)
            .to_degrees()
            .abs();
        if turn > TURNED_BACK_DEG {
            return Some(format!(
                "a line that turns back by {turn:.0}° after {along:.0} m"
            ));
        }
    }
    let length_m = line::length_m(line);
    let span_m = line::distance_m(line[0], line[line.len() - 1]);
    (span_m < LEAST_SPAN * length_m)
        .then(|| format!("a line of {length_m:.0} m that ends {span_m:.0} m from where it starts"))
}

/// Whether a line starts on a green and ends on none.
pub(in super::super) fn starts_on_green(line: &[Coord<f64>], greens: &[Polygon<f64>]) -> bool {
    let off = |at: Coord<f64>| {
        greens
            .iter()
            .map(|green| Euclidean.distance(&Point(at), green))
            .fold(f64::INFINITY, f64::min)
    };
    off(line[0]) <= ON_GREEN_M && off(line[line.len() - 1]) > ON_GREEN_M
}

/// Asks about the hole's line.
pub(super) fn of_hole(seen: &Seen<'_>, asked: &mut Asked) {
    asked.questions.extend(direction(seen));
    asked.questions.extend(length(seen));
    asked.notes.extend(dist(seen));
    asked.notes.extend(fairway(seen));
}

/// Distances of a line's start and end from the nearest of some features.
struct Ends {
    start_m: f64,
    end_m: f64,
}

fn ends(seen: &Seen<'_>, wanted: impl Fn(usize, What) -> bool) -> Ends {
    let line = &seen.own.line;
    let (start, end) = (line[0], line[line.len() - 1]);
    let mut of = Ends {
        start_m: f64::INFINITY,
        end_m: f64::INFINITY,
    };
    for &feature in &seen.builder.near {
        if !wanted(feature, seen.map().what[feature]) {
            continue;
        }
        let areas = seen.builder.areas(feature);
        let points = seen.map().features[feature].shape.positions();
        let points = if areas.is_empty() {
            seen.builder.flat(&points)
        } else {
            Vec::new()
        };
        let off = |at: Coord<f64>| {
            let areas = areas
                .iter()
                .map(|area| Euclidean.distance(&Point(at), area));
            let points = points.iter().map(|&point| line::distance_m(at, point));
            areas.chain(points).fold(f64::INFINITY, f64::min)
        };
        of.start_m = of.start_m.min(off(start));
        of.end_m = of.end_m.min(off(end));
    }
    of
}

fn direction(seen: &Seen<'_>) -> Option<Question> {
    if seen.own.assumed {
        return None;
    }
    let is_tee = |what: What| matches!(what, What::Tee | What::TeeMarker);
    let numbered = |feature: usize| {
        seen.own.has_ref
            && seen.map().features[feature].tag("ref") == Some(seen.own.reference.as_str())
    };
    let greens = ends(seen, |_, what| what == What::Drawn(Surface::Green));
    let tees = ends(seen, |_, what| is_tee(what));
    let own_pin = ends(seen, |at, what| what == What::Pin && numbered(at));
    let own_tee = ends(seen, |at, what| is_tee(what) && numbered(at));
    let from_green = greens.start_m <= ON_GREEN_M && greens.end_m > ON_GREEN_M;
    let both = greens.start_m + NEARER_M < greens.end_m && tees.end_m + NEARER_M < tees.start_m;
    let pin = own_pin.start_m <= AT_END_M && own_pin.end_m > AT_END_M;
    let tee = own_tee.end_m <= AT_END_M && own_tee.start_m > AT_END_M;
    if !(from_green || both || pin || tee) {
        return None;
    }
    let off = |m: f64| match m {
        m if m.is_infinite() => "none".to_string(),
        m => format!("{m:.0} m"),
    };
    let of_ends = |what: &str, of: &Ends| {
        format!(
            "{what} {} from its start and {} from its end",
            off(of.start_m),
            off(of.end_m)
        )
    };
    let mut found = vec![
        of_ends("the nearest green", &greens),
        of_ends("the nearest tee", &tees),
    ];
    if pin {
        found.push(of_ends("the pin of its number", &own_pin));
    }
    if tee {
        found.push(of_ends("the tee of its number", &own_tee));
    }
    Some(seen.ask(
        Topic::LineDirection,
        &format!(
            "a line of play of hole {} from its tee to its green",
            seen.own.reference
        ),
        found.join("; "),
        "turn the line around, so that its first point is on the tee",
    ))
}

fn length(seen: &Seen<'_>) -> Option<Question> {
    let par = seen.par?;
    let (_, [least, most]) = LENGTH_BANDS_YD.into_iter().find(|each| each.0 == par)?;
    let length_yd = seen.length_m / YARD_M;
    if (least..=most).contains(&length_yd) {
        return None;
    }
    Some(seen.ask(
        Topic::HoleLength,
        &format!("a par {par} of {least:.0} to {most:.0} yd"),
        format!(
            "hole {} of {length_yd:.0} yd ({:.0} m) from its tee along the line of play",
            seen.own.reference, seen.length_m
        ),
        "correct par, or the points of the line of play and the place of the tee",
    ))
}

/// A `dist` tag that is the length from no tee, neither in metres nor in yards.
fn dist(seen: &Seen<'_>) -> Option<Note> {
    if seen.own.assumed {
        return None;
    }
    let text = seen.map().features[seen.own.feature].tag("dist")?;
    let number = text.trim_end_matches(|c: char| c.is_alphabetic() || c.is_whitespace());
    let said: f64 = number.parse().ok().filter(|said: &f64| *said > 0.0)?;
    let lengths = seen
        .tees
        .iter()
        .map(|tee| line::length_m(&line::from_tee(&seen.own.line, tee.middle(), seen.pin)));
    let drawn: Vec<f64> = lengths
        .chain([seen.length_m, line::length_m(&seen.own.line)])
        .collect();
    let agrees = drawn.iter().any(|&m| {
        let near = |drawn: f64| (said / drawn - 1.0).abs() <= DIST_OFF;
        near(m) || near(m / YARD_M)
    });
    (!agrees).then(|| {
        seen.note(
            Topic::HoleLength,
            seen.place,
            format!(
                "dist={text} is the length of hole {} neither in yards nor in metres: {:.0} yd ({:.0} m) are \
                 drawn; look at the ends of the line of play and at the tees",
                seen.own.reference,
                seen.length_m / YARD_M,
                seen.length_m
            ),
        )
    })
}

/// A hole of par 4 or more that no fairway lies along, or next to none.
fn fairway(seen: &Seen<'_>) -> Option<Note> {
    /// Fairway this near to the line of play is the hole's own, m.
    const OWN_M: f64 = 15.0;
    /// A hole that is shorter is played from the tee to the green, m.
    const SHORTEST_M: f64 = 230.0;
    /// Less fairway than this is none to play to, m².
    const LEAST_M2: f64 = 400.0;
    let long = seen.length_m >= SHORTEST_M;
    if !seen.par.map_or(long, |par| par >= 4 || long) {
        return None;
    }
    let fairways: Vec<_> = seen
        .patches
        .iter()
        .filter(|patch| patch.surface == Surface::Fairway)
        .collect();
    let way = line::sampled(&seen.own.line, 10.0);
    // The last of it is the green's surround.
    let before: Vec<Coord<f64>> = way
        .iter()
        .copied()
        .filter(|&at| line::distance_m(at, seen.pin) > 60.0)
        .collect();
    let off = |patch: &crate::hole::Patch| {
        before
            .iter()
            .map(|&at| Euclidean.distance(&Point(at), &patch.outline))
            .fold(f64::INFINITY, f64::min)
    };
    let own_m2: f64 = fairways
        .iter()
        .filter(|patch| off(patch) <= OWN_M)
        .map(|patch| patch.outline.unsigned_area())
        .sum();
    if own_m2 >= LEAST_M2 {
        return None;
    }
    let nearest = fairways
        .iter()
        .map(|patch| (off(patch), patch))
        .min_by(|one, other| one.0.total_cmp(&other.0));
    let which = match nearest {
        None if seen.par == Some(3) => return None,
        None => "none is drawn".to_owned(),
        Some(_) if own_m2 > 0.0 => format!("only {own_m2:.0} m² are drawn"),
        Some((off_m, patch)) if seen.alone => {
            format!("the nearest ({}) is {off_m:.0} m off it", patch.id)
        }
        Some((_, patch)) => format!("the nearest ({}) is another hole's", patch.id),
    };
    Some(seen.note(
        Topic::FairwayOfAnother,
        seen.place,
        format!(
            "no fairway lies along hole {}: {which}, and the ground before the green is played as rough; \
             draw the hole's own (golf=fairway)",
            seen.own.reference
        ),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(points: &[(f64, f64)]) -> Vec<Coord<f64>> {
        points.iter().map(|&(x, y)| Coord { x, y }).collect()
    }

    #[test]
    fn a_line_there_and_back_is_found_and_a_bend_is_not() {
        assert_eq!(
            turned_back(&line(&[(0.0, 0.0), (0.0, 300.0), (3.0, 0.0)])).unwrap(),
            "a line that turns back by 179° after 300 m"
        );
        let around = line(&[
            (0.0, 0.0),
            (0.0, 300.0),
            (20.0, 310.0),
            (40.0, 300.0),
            (40.0, 0.0),
        ]);
        assert_eq!(
            turned_back(&around).unwrap(),
            "a line of 645 m that ends 40 m from where it starts"
        );
        // A right angle, a sharp bend, a shaking hand.
        assert!(turned_back(&line(&[(0.0, 0.0), (0.0, 200.0), (150.0, 200.0)])).is_none());
        assert!(turned_back(&line(&[(0.0, 0.0), (0.0, 220.0), (150.0, 100.0)])).is_none());
        assert!(
            turned_back(&line(&[
                (0.0, 0.0),
                (0.0, 200.0),
                (0.0, 195.0),
                (5.0, 400.0)
            ]))
            .is_none()
        );
    }
}
