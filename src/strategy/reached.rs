//! Whether a hole is reached at all, and where it is not, what stands in the way.
//!
//! Every decision passes `reached` before anything is said of it. A hole that takes more than
//! twice its par and five strokes is not planned: figures beyond that say how often the least
//! likely of all shots is tried, and not what a player would do.

use geo::Contains;

use super::finish::StrokesToGo;
use super::middle::{bearing_deg, on_line_of_play};
use super::range::Range;
use super::{Decision, Question};
use crate::flight::air::Wind;
use crate::hole::{Coord, Patch, Surface};
use crate::outcome::{Day, is_penalty};

/// A hole that is not reached: no shot was found that takes few enough strokes.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("hole {hole} is not reached in {most:.0} strokes")]
pub struct NotReached {
    /// The hole's name in its file.
    pub hole: String,
    /// Strokes with the best shot that was found; infinite where none leads to the green.
    pub strokes: f64,
    /// Most strokes that a hole is planned with.
    pub most: f64,
    /// The area, or the trees, that take most of the line of play; none where it crosses none.
    pub area: Option<Crossed>,
    /// The club that carries furthest.
    pub longest: Longest,
}

/// An area that nobody plays from, or trees, where the line of play crosses it.
#[derive(Clone, Debug, PartialEq)]
pub struct Crossed {
    /// What it is.
    pub surface: Surface,
    /// The feature's id.
    pub id: String,
    /// Its name, if any.
    pub name: Option<String>,
    /// Where the line of play enters it, m from the tee; 0 where the tee lies in it.
    pub from_m: f64,
    /// Where the line leaves it, m from the tee.
    pub to_m: f64,
}

/// How far the longest club goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Longest {
    /// The club.
    pub club: String,
    /// Its average carry along the line of play, m.
    pub carry_m: f64,
    /// The same in calm air, m.
    pub calm_m: f64,
}

/// Most strokes that a hole is planned with: twice its par and five.
#[must_use]
pub fn most_strokes(par: u8) -> f64 {
    2.0 * f64::from(par) + 5.0
}

/// A decision, if the hole is reached by it.
///
/// # Errors
/// [`NotReached`] where its choice takes more than [`most_strokes`].
pub(super) fn reached(question: &Question<'_>, found: Decision) -> Result<Decision, NotReached> {
    takes(question, found.choice.strokes).map(|()| found)
}

/// Whether so many strokes are few enough.
///
/// # Errors
/// [`NotReached`] where they are not.
pub(super) fn takes(question: &Question<'_>, strokes: f64) -> Result<(), NotReached> {
    if strokes <= most_strokes(question.hole.par) {
        Ok(())
    } else {
        Err(NotReached::of(question, strokes))
    }
}

impl NotReached {
    /// What stands in the way of this many strokes.
    pub(super) fn of(question: &Question<'_>, strokes: f64) -> Self {
        Self {
            hole: question.hole.reference.clone(),
            strokes,
            most: most_strokes(question.hole.par),
            area: crossed(question),
            longest: longest(question),
        }
    }
}

/// Steps along the line of play, m.
const STEP_M: f64 = 1.0;
/// How far ahead of the tee the line of play is looked along, m.
const AHEAD_M: f64 = 30.0;

/// What covers most of the line of play, where it is longest in it: areas that nobody plays from,
/// or trees, whose crowns hang over rough and water too.
fn crossed(question: &Question<'_>) -> Option<Crossed> {
    let hole = question.hole;
    let way = hole.way_from(question.tee, STEP_M);
    let surfaces: Vec<Surface> = way.iter().map(|(_, at)| hole.surface_at(*at)).collect();
    let lost = |at: usize| is_penalty(surfaces[at]) || surfaces[at] == Surface::OutOfBounds;
    let trees = |at: usize| {
        let [x, y] = [way[at].1.x, way[at].1.y];
        surfaces[at] == Surface::Trees || hole.canopy_at(x, y).is_some()
    };
    // Of several areas one after the other, the one in the middle names them.
    let named = |stretch: Stretch, surface: Surface, patch: Option<&Patch>| Crossed {
        surface,
        id: patch.map_or(String::new(), |patch| patch.id.clone()),
        name: patch.and_then(|patch| patch.name.clone()),
        from_m: way[stretch.first].0,
        to_m: way[stretch.last].0,
    };
    let areas = longest_within(&way, lost);
    match longest_within(&way, trees) {
        Some(wood) if areas.is_none_or(|areas| areas.whole_m < wood.whole_m) => {
            let middle = way[wood.middle()].1;
            let mut patches = hole.patches.iter().rev();
            let patch = patches
                .find(|patch| patch.surface == Surface::Trees && patch.outline.contains(&middle));
            Some(named(wood, Surface::Trees, patch))
        }
        _ => areas.map(|area| {
            let middle = area.middle();
            named(area, surfaces[middle], hole.patch_at(way[middle].1))
        }),
    }
}

/// The longest stretch of the line of play that lies within something.
#[derive(Clone, Copy)]
struct Stretch {
    first: usize,
    last: usize,
    length_m: f64,
    /// Length of all such stretches, m.
    whole_m: f64,
}

impl Stretch {
    fn middle(self) -> usize {
        usize::midpoint(self.first, self.last)
    }
}

fn longest_within(way: &[(f64, Coord<f64>)], within: impl Fn(usize) -> bool) -> Option<Stretch> {
    let places: Vec<usize> = (0..way.len()).collect();
    let mut whole_m = 0.0;
    let mut longest: Option<Stretch> = None;
    for stretch in places.chunk_by(|a, b| within(*a) == within(*b)) {
        let (first, last) = (stretch[0], stretch[stretch.len() - 1]);
        if !within(first) {
            continue;
        }
        let length_m = way[last].0 - way[first].0;
        whole_m += length_m;
        if longest.is_none_or(|known| known.length_m < length_m) {
            longest = Some(Stretch {
                first,
                last,
                length_m,
                whole_m,
            });
        }
    }
    longest.map(|stretch| Stretch { whole_m, ..stretch })
}

fn longest(question: &Question<'_>) -> Longest {
    let calm = Day {
        wind: Wind {
            speed_m_s: 0.0,
            ..question.day.wind
        },
        ..*question.day
    };
    let carries = |day: &Day| -> Vec<f64> {
        let question = Question { day, ..*question };
        let to_go = StrokesToGo::for_handicap(question.player.handicap);
        let range = Range::new(&question, &to_go);
        let tee = range.middle_of_tee;
        let aim_deg = bearing_deg(tee, on_line_of_play(question.hole, tee, AHEAD_M).0);
        let clubs = 0..question.player.clubs.len();
        clubs.map(|club| range.carry_m(club, aim_deg)).collect()
    };
    let (carries, calm) = (carries(question.day), carries(&calm));
    let club = (0..carries.len()).max_by(|a, b| carries[*a].total_cmp(&carries[*b]));
    let club = club.unwrap_or_default();
    Longest {
        club: question.player.clubs[club].club.clone(),
        carry_m: carries[club],
        calm_m: calm.iter().copied().fold(0.0, f64::max),
    }
}
