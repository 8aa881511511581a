//! Something to aim at that the hole file has not: a tower, a gable, a tree on the skyline.

use geo::Coord;

use super::Hole;
use super::line::distance_m;
use super::plane::Plane;
use crate::diagnostic::{Place, Problem};
use crate::units::parse::TargetText;

/// Further off than this nothing is made out from a tee, m.
const FURTHEST_M: f64 = 30_000.0;

/// Something to aim at, which is taken to stand up and to be seen from the tee.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// Its name, as it stands in a sentence: hostile text until escaped.
    pub name: String,
    /// Where it stands.
    pub at: Coord<f64>,
}

/// Adds something to aim at to a hole. Yards on from the tee follow the line of play and go on along
/// its last leg.
///
/// # Errors
/// Where a position is nowhere near the hole.
pub fn add(hole: &mut Hole, name: &str, place: &TargetText) -> Result<(), Problem> {
    let at = match *place {
        TargetText::OnAndRight(place) => beside(&hole.line_of_play, place),
        TargetText::Position([lon, lat]) => Plane::new(hole.origin_lon_lat).to_plane(lon, lat),
    };
    let away_m = distance_m(hole.pin, at);
    // A position far over the horizon has no place on the plane.
    if !(away_m <= FURTHEST_M) {
        return Err(Problem {
            file: "command line".into(),
            place: Place::Argument(name.into()),
            expected: format!("a place within {:.0} km of the hole", FURTHEST_M / 1000.0),
            found: if away_m.is_finite() {
                format!("one {:.0} km away", away_m / 1000.0)
            } else {
                "one on the other side of the earth".into()
            },
            remedy: "write the longitude first, then the latitude, as in the hole file".into(),
        });
    }
    hole.targets.push(Target {
        name: name.to_owned(),
        at,
    });
    Ok(())
}

/// The point so far along a line, carried on beyond its end, and so far right of it there.
fn beside(line: &[Coord<f64>], [on_m, right_m]: [f64; 2]) -> Coord<f64> {
    let mut left_m = on_m;
    let mut at = line.first().copied().unwrap_or_default();
    let mut ahead = Coord { x: 0.0, y: 1.0 };
    let legs = line.windows(2).filter(|leg| leg[0] != leg[1]).count();
    for (number, leg) in line.windows(2).filter(|leg| leg[0] != leg[1]).enumerate() {
        let length_m = distance_m(leg[0], leg[1]);
        ahead = (leg[1] - leg[0]) / length_m;
        at = leg[0] + ahead * left_m;
        if left_m <= length_m || number + 1 == legs {
            break;
        }
        left_m -= length_m;
    }
    at + Coord {
        x: ahead.y,
        y: -ahead.x,
    } * right_m
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn on_along_the_line_and_beyond_it() {
        let dogleg = [[0.0, 0.0], [0.0, 200.0], [100.0, 200.0]].map(|[x, y]| Coord { x, y });
        let at = |place| beside(&dogleg, place);
        assert_eq!(at([150.0, 20.0]), Coord { x: 20.0, y: 150.0 });
        assert_eq!(at([250.0, 20.0]), Coord { x: 50.0, y: 180.0 });
        assert_eq!(at([450.0, -20.0]), Coord { x: 250.0, y: 220.0 });
    }
}
