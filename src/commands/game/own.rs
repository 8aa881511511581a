//! Tee shots of the player's choosing: found on the map and in the bag, priced beside the plan.

use bendline::diagnostic::{Place, Problem, Problems, printable};
use bendline::hole::plane::Plane;
use bendline::hole::{Coord, Hole, TeeingArea};
use bendline::plan::named_thing::named_point;
use bendline::plan::sentence::club_and_shape;
use bendline::player::Player;
use bendline::strategy::own_shot::{OwnAim, OwnShot};
use bendline::strategy::part_swings::with_part_swings;
use bendline::strategy::range::MARKER_M;
use bendline::units::own_shot::{AimText, OwnShotText, PegText, Turn};
use bendline::units::parse::Side;

use super::Table;

/// Most shots of one command: each takes a quarter of a second or so a hole.
const MOST: usize = 20;
/// A position further than this from the tee is no aim on the hole, m.
const FURTHEST_M: f64 = 1_000.0;
/// An aim nearer than this has no direction, m.
const NEAREST_M: f64 = 10.0;

/// A tee shot of the player's own on one hole.
pub(super) struct Own {
    /// The player's words.
    asked: String,
    shot: OwnShot,
}

impl Table {
    /// The same, with tee shots of the player's own beside every plan, or beside that of the hole
    /// that the shot names.
    ///
    /// # Errors
    /// Every club, hole, peg and aim that there is not.
    pub(super) fn beside(mut self, asked: &[OwnShotText]) -> Result<Self, Problems> {
        let mut problems = Vec::new();
        for asked in asked {
            if let Some(name) = &asked.hole
                && self.holes.iter().all(|hole| hole.reference != *name)
            {
                let known: Vec<&str> = self.holes.iter().map(|h| h.reference.as_str()).collect();
                problems.push(Problem {
                    found: format!("hole \"{}\"", printable(name)),
                    ..problem(
                        asked,
                        "a hole that is planned",
                        &format!("planned: hole {}", printable(&known.join(", "))),
                    )
                });
            }
        }
        if asked.len() > MOST {
            problems.push(Problem {
                file: "command line".into(),
                place: Place::Argument("--instead".into()),
                expected: format!("at most {MOST} shots"),
                found: asked.len().to_string(),
                remedy: "leave some for another run".into(),
            });
            return Err(Problems(problems));
        }
        let mut own: Vec<Vec<Own>> = Vec::new();
        for (hole, tee) in self.places()? {
            let here = asked.iter().filter(|asked| {
                asked
                    .hole
                    .as_ref()
                    .is_none_or(|name| hole.reference == *name)
            });
            let mut all = Vec::new();
            for asked in here {
                match self.own(asked, hole, tee) {
                    Ok(own) => all.push(own),
                    // A club that the bag lacks is told once, not for every hole.
                    Err(found) => {
                        for problem in found {
                            if !problems.contains(&problem) {
                                problems.push(problem);
                            }
                        }
                    }
                }
            }
            own.push(all);
        }
        if !problems.is_empty() {
            return Err(Problems(problems));
        }
        self.own = own;
        Ok(self)
    }

    /// How many shots of the player's own are priced on a hole.
    pub fn own_shots(&self, hole: usize) -> usize {
        self.own.get(hole).map_or(0, Vec::len)
    }

    fn own(&self, asked: &OwnShotText, hole: &Hole, tee: &TeeingArea) -> Result<Own, Vec<Problem>> {
        let mut problems = Vec::new();
        let player = with_part_swings(&self.player, hole, tee, &self.day(self.wind));
        let clubs = match &asked.club {
            None => (0..player.clubs.len()).collect(),
            Some(name) => player.clubs_named(name),
        };
        if clubs.is_empty() {
            problems.push(self.no_such_club(asked));
        }
        let width_m = tee.width_m();
        let from_left_m = asked.peg.map(|peg| from_left_m(peg, width_m));
        if from_left_m.is_some_and(|from_left_m| !(0.0..=width_m).contains(&from_left_m)) {
            problems.push(self.peg_outside(asked, hole, width_m));
        }
        let aim = aim(asked, hole, tee).unwrap_or_else(|problem| {
            problems.push(*problem);
            None
        });
        if !problems.is_empty() {
            return Err(problems);
        }
        Ok(Own {
            asked: asked.text.clone(),
            shot: OwnShot {
                clubs,
                aim,
                from_left_m,
            },
        })
    }

    fn no_such_club(&self, asked: &OwnShotText) -> Problem {
        let typed = asked.club.as_deref().unwrap_or_default();
        let lower = typed.to_lowercase();
        let mut bag: Vec<String> = Vec::new();
        for club in &self.player.clubs {
            let name = club_and_shape(&club.club, &club.shape);
            if !bag.contains(&name) {
                bag.push(name);
            }
        }
        problem(
            asked,
            "a club of the player",
            &format!(
                "{}the bag holds {}; --fill adds another",
                if lower.contains(" at ") || lower.contains(" aim ") {
                    "put a comma and aim between club and aim; ".to_owned()
                } else {
                    other_shapes(&self.player, typed).unwrap_or_default()
                },
                bag.join("; ")
            ),
        )
    }

    fn peg_outside(&self, asked: &OwnShotText, hole: &Hole, width_m: f64) -> Problem {
        problem(
            asked,
            "a peg between the markers",
            &format!(
                "on hole {} they stand {:.1} {} apart",
                printable(&hole.reference),
                self.unit.of(width_m),
                self.unit.name()
            ),
        )
    }

    /// The player's shots on a hole, each under the player's words.
    pub(super) fn shots(&self, hole: usize) -> Vec<(String, OwnShot)> {
        let own = self.own.get(hole).into_iter().flatten();
        own.map(|own| (own.asked.clone(), own.shot.clone()))
            .collect()
    }
}

/// Where the ball is pegged, from the left marker, m.
fn from_left_m(peg: PegText, width_m: f64) -> f64 {
    let margin = MARKER_M.min(width_m / 2.0);
    match peg {
        PegText::By(Side::Left) => margin,
        PegText::By(Side::Right) => width_m - margin,
        PegText::Middle => width_m / 2.0,
        PegText::From(Side::Left, m) => m,
        PegText::From(Side::Right, m) => width_m - m,
    }
}

/// The aim; none where none is asked for.
fn aim(asked: &OwnShotText, hole: &Hole, tee: &TeeingArea) -> Result<Option<OwnAim>, Box<Problem>> {
    let aim = match &asked.aim {
        None => return Ok(None),
        Some(AimText::OffPlan(turn)) => OwnAim::OffPlan(*turn),
        Some(AimText::OffMiddle(turn)) => OwnAim::OffMiddle(*turn),
        Some(AimText::Position(at)) => aim_at_position(asked, hole, tee, *at)?,
        Some(AimText::Thing(name, turn)) => match named_point(hole, tee, name) {
            Ok(at) if far(tee, at) < NEAREST_M => {
                return Err(Box::new(problem(
                    asked,
                    &format!("something at least {NEAREST_M:.0} m from the tee"),
                    "name something further off, or aim by yards or degrees",
                )));
            }
            Ok(at) => OwnAim::At(beside(tee, at, *turn)),
            Err(names) => {
                return Err(Box::new(problem(
                    asked,
                    &format!("something on hole {}", printable(&hole.reference)),
                    &format!(
                        "there are: {}; with \"left edge of\" or \"right edge of\" in front, if \
                         wanted",
                        printable(&names.join(", "))
                    ),
                )));
            }
        },
    };
    Ok(Some(aim))
}

/// Aims at a longitude and latitude that is on the hole.
fn aim_at_position(
    asked: &OwnShotText,
    hole: &Hole,
    tee: &TeeingArea,
    [lon, lat]: [f64; 2],
) -> Result<OwnAim, Box<Problem>> {
    let plane = Plane::new(hole.origin_lon_lat);
    let point = plane.to_plane(lon, lat);
    if (NEAREST_M..=FURTHEST_M).contains(&far(tee, point)) {
        return Ok(OwnAim::At(point));
    }
    let turned = lon.abs() <= 90.0 && far(tee, plane.to_plane(lat, lon)) <= FURTHEST_M;
    Err(Box::new(problem(
        asked,
        &format!(
            "a position {NEAREST_M:.0} to {FURTHEST_M:.0} m from the tee of hole {}",
            printable(&hole.reference)
        ),
        if turned {
            "write the longitude first, then the latitude"
        } else {
            "take longitude and latitude from the map of this hole"
        },
    )))
}

/// "your 3-wood has only a fade; " of a club that is hit, but not like this.
fn other_shapes(player: &Player, typed: &str) -> Option<String> {
    let ends = typed.match_indices([' ', ',']).map(|(end, _)| end);
    let clubs = ends.rev().map(|end| player.clubs_named(&typed[..end]));
    let clubs = clubs.into_iter().find(|clubs| !clubs.is_empty())?;
    let names = clubs.iter().filter_map(|&club| player.clubs.get(club));
    let names: Vec<String> = names
        .map(|club| club_and_shape(&club.club, &club.shape))
        .collect();
    let (club, _) = names.first()?.split_once(", your ")?;
    let mut shapes: Vec<String> = names
        .iter()
        .filter_map(|name| Some(format!("a {}", name.split_once(", your ")?.1)))
        .collect();
    shapes.dedup();
    Some(format!("your {club} has only {}; ", shapes.join(" and ")))
}

/// The point so far beside another, as seen from the middle of the tee.
fn beside(tee: &TeeingArea, at: Coord<f64>, turn: Turn) -> Coord<f64> {
    let from = tee.middle();
    let (east, north) = (at.x - from.x, at.y - from.y);
    let right_m = match turn {
        Turn::Metres(right_m) => right_m,
        Turn::Degrees(right_deg) => far(tee, at) * right_deg.to_radians().tan(),
    };
    let share = right_m / far(tee, at);
    Coord {
        x: at.x + north * share,
        y: at.y - east * share,
    }
}

/// How far a point is from the middle of the tee, m.
fn far(tee: &TeeingArea, at: Coord<f64>) -> f64 {
    (at.x - tee.middle().x).hypot(at.y - tee.middle().y)
}

fn problem(asked: &OwnShotText, expected: &str, remedy: &str) -> Problem {
    Problem {
        file: "command line".into(),
        place: Place::Argument("--instead".into()),
        expected: expected.into(),
        found: format!("\"{}\"", printable(&asked.text)),
        remedy: remedy.into(),
    }
}
