//! A club without a logged shot, filled from its neighbours.
//!
//! Each neighbour's pattern is carried over to the club: ball speed by the
//! carry that the two usually differ by, launch angle and spin by what the two
//! usually differ in, direction and bend as they are, spreads as the level has
//! them for either club. The two nearest in loft, one on each side where there
//! are two sides, are then averaged, and what they disagree in is added to the
//! spread.

use super::club::{Club, Family};
use super::invert::Range;
use super::matrix::{Matrix, add_outer, cholesky, symmetric};
use super::pattern::{ANGLE, BOUNDS, SPEED, SPIN};
use super::{Basis, ClubShape, LaunchModel, Player, fit, prior};
use crate::diagnostic::{Note, Place, Problem, Problems};
use crate::flight::Weather;

/// Variances are this much wider than the neighbours' own (practice): how a
/// club differs from its neighbours is not known.
const WIDER: f64 = 1.25;

/// Adds clubs that have no logged shot; every one gets a note.
///
/// # Errors
/// Names that say nothing of a loft, and clubs the player already has; the
/// player is then left as it was.
pub fn fill(player: &mut Player, clubs: &[&str], weather: &Weather) -> Result<(), Problems> {
    let mut problems = Vec::new();
    let mut problem = |name: &str, expected: &str, found: &str, remedy: &str| {
        problems.push(Problem {
            file: player.name.clone(),
            place: Place::Key("clubs".to_owned()),
            expected: expected.to_owned(),
            found: format!("\"{name}\", {found}"),
            remedy: remedy.to_owned(),
        });
    };
    for name in clubs {
        if !Club::of(name).known {
            let remedy = "name it by its kind and number, such as 5i, 4h or 54";
            problem(
                name,
                "a club whose loft is known",
                "which tells none",
                remedy,
            );
        } else if player
            .clubs
            .iter()
            .any(|c| c.club.eq_ignore_ascii_case(name))
        {
            problem(
                name,
                "a club without a shot",
                "which has shots",
                "leave it out",
            );
        }
    }
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let range = Range::new(weather).with(player.ball);
    let mut added = Vec::new();
    for name in clubs {
        let Some((club, from)) = filled(player, name, &range) else {
            continue;
        };
        player.notes.push(Note {
            file: player.name.clone(),
            place: Place::File,
            text: format!("{name}: no shot is logged; filled from {from} and drawn wider for it"),
            topic: None,
        });
        added.push(club);
    }
    player.clubs.extend(added);
    player.clubs.sort_by(|a, b| b.carry_m.total_cmp(&a.carry_m));
    Ok(())
}

fn filled(player: &Player, name: &str, range: &Range) -> Option<(ClubShape, String)> {
    let target = Club::of(name);
    // The stock shape of each club: the one with the most shots.
    let mut stock: Vec<&ClubShape> = Vec::new();
    for club in player.clubs.iter().filter(|c| c.basis != Basis::Neighbours) {
        match stock.iter_mut().find(|other| other.club == club.club) {
            Some(other) if other.shots < club.shots => *other = club,
            Some(_) => {}
            None => stock.push(club),
        }
    }
    let loft = |club: &ClubShape| {
        let kind = Club::of(&club.club);
        if kind.known {
            kind.loft_deg
        } else {
            Club::of("6i").loft_deg
        }
    };
    let apart = |club: &ClubShape| (loft(club) - target.loft_deg).abs().max(0.5);
    let nearest = |side: &dyn Fn(f64) -> bool| {
        stock
            .iter()
            .copied()
            .filter(|c| side(loft(c) - target.loft_deg))
            .min_by(|a, b| apart(a).total_cmp(&apart(b)))
    };
    let neighbours: Vec<&ClubShape> = [nearest(&|d| d <= 0.0), nearest(&|d| d > 0.0)]
        .into_iter()
        .flatten()
        .collect();
    let first = neighbours
        .iter()
        .copied()
        .min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
    let total: f64 = neighbours.iter().map(|c| 1.0 / apart(c)).sum();
    let carried: Vec<(f64, [f64; 5], Matrix<5>)> = neighbours
        .iter()
        .map(|c| {
            let (centre, scale) = carried_over(c, target, player.handicap);
            (1.0 / apart(c) / total, centre, scale)
        })
        .collect();
    let mut centre = [0.0; 5];
    let mut scale = [[0.0; 5]; 5];
    for (share, c, s) in &carried {
        for i in 0..5 {
            centre[i] += share * c[i];
            for j in 0..5 {
                scale[i][j] += WIDER * share * s[i][j];
            }
        }
    }
    for (share, c, _) in &carried {
        let off = std::array::from_fn(|k| c[k] - centre[k]);
        add_outer(&mut scale, &off, *share);
    }
    let scale = symmetric(&scale);
    cholesky(&scale)?;
    let centre = std::array::from_fn(|k| centre[k].clamp(BOUNDS[k][0], BOUNDS[k][1]));
    let dof = neighbours
        .iter()
        .map(|c| c.launches.dof)
        .fold(f64::INFINITY, f64::min);
    let launches = LaunchModel {
        centre,
        scale,
        dof,
        mishit_share: first.launches.mishit_share,
        handedness: player.handedness,
    };
    let carry_m = fit::mean_carry_m(range, &launches);
    let from = neighbours
        .iter()
        .map(|c| c.club.as_str())
        .collect::<Vec<_>>()
        .join(" and ");
    let shape = first.shape.clone();
    let club = name.to_string();
    Some((
        ClubShape {
            club,
            shape,
            launches,
            shots: 0,
            basis: Basis::Neighbours,
            carry_m,
            set_up: Default::default(),
            part_share: None,
        },
        from,
    ))
}

/// A neighbour's centre and scale, carried over to another club.
fn carried_over(from: &ClubShape, target: Club, handicap: f64) -> ([f64; 5], Matrix<5>) {
    let kind = Club::of(&from.club);
    let carry_m = from.carry_m * target.strong_carry_m() / kind.strong_carry_m();
    let (angle, spin) = kind.usual_launch(from.carry_m);
    let (new_angle, new_spin) = target.usual_launch(carry_m);
    let mut centre = from.launches.centre;
    // Carry goes with speed to about the 1.6 at one launch; between clubs the
    // higher flight of the shorter club takes part of the loss, so 1.8.
    centre[SPEED] *= (carry_m / from.carry_m.max(1.0)).powf(1.0 / 1.8);
    centre[ANGLE] += new_angle - angle;
    centre[SPIN] *= new_spin / spin;
    let family = |club: Club| {
        if club.known {
            club.family
        } else {
            Family::Iron
        }
    };
    let old = prior::covariance(
        handicap,
        family(kind),
        from.launches.centre[SPEED],
        from.launches.centre[SPIN],
    );
    let new = prior::covariance(handicap, family(target), centre[SPEED], centre[SPIN]);
    let factor = |k: usize| (new[k][k] / old[k][k]).sqrt();
    let scale = std::array::from_fn(|i| {
        std::array::from_fn(|j| from.launches.scale[i][j] * factor(i) * factor(j))
    });
    (centre, scale)
}
