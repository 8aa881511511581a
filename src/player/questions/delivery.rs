//! What no club does: an open face that bends the ball to the closed side, a toe strike that bends
//! it to the heel's.
//!
//! The ball's axis tilts from the path towards the face (Jorgensen, *The Physics of Golf*, 1994,
//! the D-plane): 2° to 4° for a degree of face open to the path. A strike towards the toe adds draw
//! spin (gear effect), for either hand. Both are sought within each club, one beside the other.

use super::signs::Turned;
use super::{Asked, Logged, off, slopes};
use crate::diagnostic::{Place, Topic};
use crate::player::Handedness;
use crate::player::columns::Quantity;
use crate::player::shotlog::Shot;

/// Standard errors beyond which a slope is more than chance, for face to path and for the strike.
const SURE: [f64; 2] = [5.0, 5.0];
/// Fewest rows that have a say on the strike, and on face and path, which tell more.
const FEWEST: usize = 20;
const FEWEST_FACE: usize = 8;
/// Share of the face in the start direction (Wood, Henrikson & Broadie, 2018: 61 to 83 %).
const FACE_SHARE: f64 = 0.75;

/// A log of fewer rows is taken as one.
const FEW: usize = 100;
/// Tilt for a degree of face to path; what a degree of tilt bends, degrees of direction.
const TILT: [f64; 2] = [2.0, 5.0];
const BEND_OF_TILT: f64 = 0.45;
/// A tilt that is off by less agrees, degrees; and how much better another way has to suit:
/// the two exchanged, or one of them turned round. Of 200
/// parts of ten rows of each demo log, 99 of 100 suit better as logged than exchanged.
const FEW_DEG: f64 = 2.5;
const FEW_BETTER: [f64; 2] = [0.55, 0.4];
/// The start follows the face by more than this share.
const LEAST_SHARE: f64 = 0.5;

pub(super) fn ask(logged: &Logged<'_>, turned: Turned, asked: &mut Asked<'_>) {
    let tilts = logged.sound().filter(|s| s.axis_deg.is_some()).count() >= FEWEST_FACE;
    let seen = |shot: &Shot| {
        if tilts {
            turned.axis_deg(shot)
        } else {
            turned.bend_deg(shot)
        }
    };
    let face_to_path = |shot: &Shot| Some(shot.face_deg? - shot.path_deg?);
    let count = |of: &dyn Fn(&Shot) -> bool| logged.sound().filter(|s| of(s)).count();
    let has_face = count(&|s| face_to_path(s).is_some() && seen(s).is_some()) >= FEWEST_FACE;
    let has_strike = count(&|s| s.strike_mm.is_some() && seen(s).is_some()) >= FEWEST;
    let groups: Vec<Vec<[f64; 3]>> = logged
        .clubs
        .iter()
        .map(|rows| {
            let told = |shot: &&Shot| {
                let face = if has_face { face_to_path(shot)? } else { 0.0 };
                let strike = if has_strike { shot.strike_mm? } else { 0.0 };
                Some([face, strike, seen(shot)?])
            };
            rows.sound.iter().filter_map(told).collect()
        })
        .collect();
    if has_face && few(logged, &seen, tilts, asked) {
        return;
    }
    let Some(found) = slopes(&groups).filter(|found| found.rows >= FEWEST) else {
        return;
    };
    if has_face && apart(logged, &seen, asked) {
        return;
    }
    let verb = if tilts {
        "tilts the axis"
    } else {
        "bends the ball"
    };
    if has_face && found.t[0] < -SURE[0] {
        let [expected, size] = [
            format!(
                "an axis that tilts, and a ball that bends, to the side to which the face is open \
                 to the path: {} less {} with the sign of the bend",
                logged.name(Quantity::Face),
                logged.name(Quantity::Path)
            ),
            format!(
                "over {} rows a degree of face open to the path {verb} by {:.1}\u{b0}, which no \
                 club does",
                found.rows, found.slope[0]
            ),
        ];
        asked.question(
            Topic::PathAndFace,
            logged.place(Quantity::Face),
            [expected, size, remedy(logged)],
        );
    } else if has_face {
        follows(logged, asked);
    }
    if has_strike && found.rows >= FEWEST {
        strike(logged, asked, found.slope[1], found.t[1], found.rows, verb);
    }
}

/// A short log, over all clubs as one: the tilt is some 3.4 times the face less the path, and one
/// way to turn or exchange the two suits it far better than as they are logged.
fn few(
    logged: &Logged<'_>,
    seen: &dyn Fn(&Shot) -> Option<f64>,
    tilts: bool,
    asked: &mut Asked<'_>,
) -> bool {
    let rows: Vec<[f64; 3]> = logged
        .sound()
        .filter_map(|shot| Some([shot.face_deg?, shot.path_deg?, seen(shot)?]))
        .collect();
    if rows.len() < FEWEST_FACE || rows.len() >= FEW {
        return false;
    }
    let share = if tilts { 1.0 } else { BEND_OF_TILT };
    let left = |signs: [f64; 2]| {
        let pair = |row: &[f64; 3]| [signs[0] * row[0] - signs[1] * row[1], row[2]];
        let pairs: Vec<[f64; 2]> = rows.iter().map(pair).collect();
        let xy: f64 = pairs.iter().map(|[x, y]| x * y).sum();
        let xx: f64 = pairs.iter().map(|[x, _]| x * x).sum();
        let slope = (xy / xx.max(1e-9)).clamp(share * TILT[0], share * TILT[1]);
        let rest: Vec<f64> = pairs.iter().map(|[x, y]| y - slope * x).collect();
        off(&rest)
    };
    let as_logged = left([1.0, 1.0]);
    let face = logged.name(Quantity::Face);
    let path = logged.name(Quantity::Path);
    let ways = [
        (
            [-1.0, -1.0],
            Quantity::Face,
            Topic::PathAndFace,
            format!("{path} and {face} exchanged"),
        ),
        (
            [1.0, -1.0],
            Quantity::Path,
            Topic::PathSign,
            format!("the sign of {path} turned round"),
        ),
        (
            [-1.0, 1.0],
            Quantity::Face,
            Topic::FaceSign,
            format!("the sign of {face} turned round"),
        ),
    ];
    let best = ways
        .into_iter()
        .map(|way| (left(way.0), way))
        .reduce(|a, b| if b.0 < a.0 { b } else { a });
    let Some((then, (_, quantity, topic, words))) = best else {
        return false;
    };
    let better = FEW_BETTER[usize::from(topic != Topic::PathAndFace)];
    if as_logged < share * FEW_DEG || then > better * as_logged {
        return false;
    }
    let remedy = match topic {
        Topic::PathAndFace => remedy(logged),
        _ => format!(
            "turn the sign of every {}: right is positive",
            logged.name(quantity)
        ),
    };
    let what = if tilts { "axis" } else { "bend" };
    asked.question(
        topic,
        logged.place(quantity),
        [
            format!(
                "an axis that tilts, and a ball that bends, to the side to which the face is open \
                 to the path: {face} less {path} with the sign of the bend"
            ),
            format!(
                "in the middle of {} rows the {what} is {as_logged:.1}\u{b0} off what face and path \
                 give; with {words}, {then:.1}\u{b0}",
                rows.len()
            ),
            remedy,
        ],
    );
    true
}

/// Face and path side by side: the axis tilts with the face and against the path. Whether one of
/// the two is against that.
fn apart(logged: &Logged<'_>, seen: &dyn Fn(&Shot) -> Option<f64>, asked: &mut Asked<'_>) -> bool {
    let groups = |of: &dyn Fn(&Shot) -> Option<f64>| -> Vec<Vec<[f64; 3]>> {
        let told = |shot: &&Shot| Some([shot.face_deg?, shot.path_deg?, of(shot)?]);
        let clubs = logged.clubs.iter();
        clubs
            .map(|rows| rows.sound.iter().filter_map(told).collect())
            .collect()
    };
    let Some(found) = slopes(&groups(seen)).filter(|found| found.rows >= FEWEST) else {
        return false;
    };
    let [by_face, by_path] = found.slope;
    let turned = if by_path > 0.0 && found.t[1] > SURE[0] && by_face > 0.0 {
        Some((Quantity::Path, Topic::PathSign, by_path))
    } else if by_face < 0.0 && found.t[0] < -SURE[0] && by_path < 0.0 {
        Some((Quantity::Face, Topic::FaceSign, by_face))
    } else {
        None
    };
    if let Some((quantity, topic, slope)) = turned {
        let (name, way) = match quantity {
            Quantity::Path => (logged.name(Quantity::Path), "against"),
            _ => (logged.name(Quantity::Face), "with"),
        };
        asked.question(
            topic,
            logged.place(quantity),
            [
                format!("an axis that tilts, and a ball that bends, {way} {name}"),
                format!(
                    "over {} rows a degree of {name} to the right tilts it {:.1}\u{b0} to the {}",
                    found.rows,
                    slope.abs(),
                    if slope < 0.0 { "left" } else { "right" }
                ),
                format!("turn the sign of every {name}: right is positive"),
            ],
        );
        return true;
    }
    false
}

/// The start goes with the face, whatever the path does.
fn follows(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    let told = |shot: &&Shot| Some([shot.face_deg?, shot.path_deg?, shot.start_deg?]);
    let groups: Vec<Vec<[f64; 3]>> = logged
        .clubs
        .iter()
        .map(|rows| rows.sound.iter().filter_map(told).collect())
        .collect();
    let Some(found) = slopes(&groups).filter(|found| found.rows >= FEWEST) else {
        return;
    };
    let error = (found.slope[0] / found.t[0]).abs();
    if found.t[0] == 0.0 || found.slope[0] + SURE[0] * error > LEAST_SHARE {
        return;
    }
    let name = logged.name(Quantity::Face);
    asked.question(
        Topic::PathAndFace,
        logged.place(Quantity::Face),
        [
            format!(
                "balls that start where the face points: {} that follows {name} by 61 to 83 %",
                logged.name(Quantity::Start)
            ),
            format!(
                "over {} rows it follows it by {:.0} %",
                found.rows,
                100.0 * found.slope[0]
            ),
            format!("look whether {name} was measured, and stands in the rows of its own shots"),
        ],
    );
}

/// What to change: the start line tells a swap from signs.
fn remedy(logged: &Logged<'_>) -> String {
    let rows: Vec<[f64; 3]> = logged
        .sound()
        .filter_map(|shot| Some([shot.start_deg?, shot.face_deg?, shot.path_deg?]))
        .collect();
    let swap = format!(
        "exchange the headings {} and {}",
        logged.name(Quantity::Path),
        logged.name(Quantity::Face)
    );
    let apart = |of: &dyn Fn(&[f64; 3]) -> f64| {
        let apart: Vec<f64> = rows.iter().map(|row| row[0] - of(row)).collect();
        off(&apart)
    };
    let between = |near: f64, far: f64| FACE_SHARE * near + (1.0 - FACE_SHARE) * far;
    let swapped = apart(&|[_, face, path]| between(*path, *face));
    let turned = apart(&|[_, face, path]| -between(*face, *path));
    if !rows.is_empty() && turned < swapped {
        return "turn the sign of every path and face: right is positive".into();
    }
    swap
}

fn strike(
    logged: &Logged<'_>,
    asked: &mut Asked<'_>,
    per_mm: f64,
    t: f64,
    rows: usize,
    verb: &str,
) {
    // Towards the toe is a draw: left for a right-hander.
    let plays = if per_mm < 0.0 {
        Handedness::Right
    } else {
        Handedness::Left
    };
    if t.abs() < SURE[1] {
        return;
    }
    let side = |sign: f64| if sign < 0.0 { "left" } else { "right" };
    let figure = format!(
        "over {rows} rows a strike 10 mm towards the toe {verb} {:.1}\u{b0} to the {}, as for a \
         {}-handed player",
        10.0 * per_mm.abs(),
        side(per_mm),
        word(plays)
    );
    match logged.about.handedness {
        Some(said) if said != plays => asked.question(
            Topic::Hand,
            logged.place(Quantity::Strike),
            [
                format!(
                    "strikes towards the toe that bend the ball {}, as for a {}-handed player",
                    side(-said.sign()),
                    word(said)
                ),
                figure,
                format!(
                    "say --hand {}; or turn the sign of every {}: towards the toe is positive",
                    word(plays),
                    logged.name(Quantity::Strike)
                ),
            ],
        ),
        None if plays == Handedness::Left => {
            asked.note(
                Topic::Hand,
                Place::File,
                format!("{figure}: say --hand left to the commands that read this log"),
            );
        }
        _ => {}
    }
}

pub(super) fn word(hand: Handedness) -> &'static str {
    match hand {
        Handedness::Right => "right",
        Handedness::Left => "left",
    }
}
