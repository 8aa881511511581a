//! Something to aim at that the hole file has not: a tower, a gable, a tree on the skyline.

use geo::Coord;

use super::scene::{Track, along, distance_m};
use crate::diagnostic::{Place, Problem};
use crate::hole::plane::Plane;
use crate::hole::{Hole, Target};
use crate::units::parse::TargetText;

/// Further off than this nothing is made out from a tee, m.
const FURTHEST_M: f64 = 30_000.0;

/// Adds something to aim at to a hole that is played from the tee of this colour. Yards on follow the
/// line of play from that tee and go on along its last leg.
///
/// # Errors
/// Where it is nowhere near the hole.
pub fn add(
    hole: &mut Hole,
    tee: Option<&str>,
    name: &str,
    place: &TargetText,
) -> Result<(), Problem> {
    let (at, remedy) = match *place {
        TargetText::OnAndRight(place) => {
            // A colour that the hole has not is a problem of its own.
            let tee = hole.tee(tee).or_else(|_| hole.tee(None))?;
            let at = beside(&Track::new(&hole.line_of_play), tee.middle(), place);
            (at, "write fewer yards on and to the side")
        }
        TargetText::Position([lon, lat]) => {
            let at = Plane::new(hole.origin_lon_lat).to_plane(lon, lat);
            let remedy = "of yards on and to the side, end with L or R; of a position, write the \
                          longitude first, as in the hole file";
            (at, remedy)
        }
    };
    let away_m = distance_m(hole.pin, at);
    // A position far over the horizon has no place on the plane.
    if away_m.is_nan() || away_m > FURTHEST_M {
        return Err(Problem {
            file: "command line".into(),
            place: Place::Argument(name.into()),
            expected: format!("a place within {:.0} km of the hole", FURTHEST_M / 1000.0),
            found: if away_m.is_finite() {
                format!("one {:.0} km away", away_m / 1000.0)
            } else {
                "one on the other side of the earth".into()
            },
            remedy: remedy.into(),
        });
    }
    hole.targets.push(Target {
        name: name.to_owned(),
        at,
    });
    Ok(())
}

/// The point so far on from a place beside the line of play, and so far right of the line there.
fn beside(play: &Track, from: Coord<f64>, [on_m, right_m]: [f64; 2]) -> Coord<f64> {
    let (on, bearing_deg) = play.at(play.place(from).along_m + on_m);
    along(on, bearing_deg + 90.0, right_m)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn on_along_the_line_and_beyond_it() {
        let dogleg = [[0.0, 0.0], [0.0, 200.0], [100.0, 200.0]].map(|[x, y]| Coord { x, y });
        let play = Track::new(&dogleg);
        let is_near = |from: [f64; 2], place, to: [f64; 2]| {
            let [from, to] = [from, to].map(|[x, y]| Coord { x, y });
            let at = beside(&play, from, place);
            assert!(distance_m(at, to) < 1e-6, "{at:?} {to:?}");
        };
        is_near([0.0, 0.0], [150.0, 20.0], [20.0, 150.0]);
        is_near([0.0, 0.0], [250.0, 20.0], [50.0, 180.0]);
        is_near([0.0, 0.0], [450.0, -20.0], [250.0, 220.0]);
        // From a forward tee beside the line.
        is_near([3.0, 60.0], [90.0, 20.0], [20.0, 150.0]);
    }
}
