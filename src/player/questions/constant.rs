//! A column with the same figure for every shot while the others differ: nothing was measured.

use super::{Asked, Logged};
use crate::diagnostic::Topic;
use crate::player::columns::Quantity;
use crate::player::group::median;
use crate::player::shotlog::Shot;

/// Fewest rows that are tested. A column in whole numbers stays the same by chance for longer.
const FEWEST: usize = 8;
const FEWEST_WHOLE: usize = 12;
/// Fewest rows that are tested for lost signs.
const FEWEST_SIDED: f64 = 30.0;
/// A figure of less than this share of the median is near 0. If signs were lost 16 % are near 0, if
/// all balls go to one side 5 % at most: more than 5 % and three standard errors are noted.
const NEAR: f64 = 0.3;
const NEAR_SHARE: f64 = 0.05;
const CHANCE: f64 = 3.0;

/// Every quantity of a row, in the order of the columns.
pub(super) const QUANTITIES: [Quantity; 14] = [
    Quantity::Carry,
    Quantity::Total,
    Quantity::Side,
    Quantity::Start,
    Quantity::Curve,
    Quantity::BallSpeed,
    Quantity::Launch,
    Quantity::Spin,
    Quantity::Axis,
    Quantity::ClubSpeed,
    Quantity::Attack,
    Quantity::Path,
    Quantity::Face,
    Quantity::Strike,
];

/// Columns with figures of one sign only, though many are near 0: their signs seem to be lost.
pub(super) fn one_sided(logged: &Logged<'_>, same: &[Quantity], asked: &mut Asked<'_>) {
    for quantity in [
        Quantity::Side,
        Quantity::Start,
        Quantity::Curve,
        Quantity::Axis,
    ] {
        if same.contains(&quantity) {
            continue;
        }
        let (mut rows, mut near, mut sides) = (0.0, 0.0, [false; 2]);
        for club in &logged.clubs {
            let figures: Vec<f64> = club
                .sound
                .iter()
                .filter_map(|shot| figure(shot, quantity))
                .collect();
            for x in &figures {
                sides[0] |= *x < 0.0;
                sides[1] |= *x > 0.0;
            }
            if figures.len() >= 4 {
                let middle = median(figures.iter().map(|x| x.abs()));
                rows += figures.len() as f64;
                near += figures.iter().filter(|x| x.abs() < NEAR * middle).count() as f64;
            }
        }
        if sides[0] == sides[1]
            || rows < FEWEST_SIDED
            || near < NEAR_SHARE * rows + CHANCE * (NEAR_SHARE * rows).sqrt()
        {
            continue;
        }
        let missing = if sides[0] { "right" } else { "left" };
        asked.note(
            Topic::Directions,
            logged.place(quantity),
            format!(
                "no figure in {rows:.0} rows is to the {missing}, though many are near 0: if the \
                 signs of {} were lost, give them back (right is positive, left negative)",
                logged.name(quantity)
            ),
        );
    }
}

/// What a row says of a quantity, SI, degrees, rpm or mm.
pub(super) fn figure(shot: &Shot, quantity: Quantity) -> Option<f64> {
    match quantity {
        Quantity::Carry => Some(shot.carry_m),
        Quantity::Total => shot.total_m,
        Quantity::Side => shot.side_m,
        Quantity::Start => shot.start_deg,
        Quantity::Curve => shot.curve_m,
        Quantity::BallSpeed => shot.ball_speed_m_s,
        Quantity::Launch => shot.launch_deg,
        Quantity::Spin => shot.spin_rpm,
        Quantity::Axis => shot.axis_deg,
        Quantity::ClubSpeed => shot.club_speed_m_s,
        Quantity::Attack => shot.attack_deg,
        Quantity::Path => shot.path_deg,
        Quantity::Face => shot.face_deg,
        Quantity::Strike => shot.strike_mm,
    }
}

/// The columns that do not vary.
pub(super) fn ask(logged: &Logged<'_>, asked: &mut Asked<'_>) -> Vec<Quantity> {
    let shots = &logged.log.shots;
    let mut same: Vec<(Quantity, f64, usize)> = Vec::new();
    let mut varies = false;
    for quantity in QUANTITIES {
        let mut figures = shots.iter().filter_map(|shot| figure(shot, quantity));
        let Some(first) = figures.next() else {
            continue;
        };
        let mut rows = 1;
        let alike = figures.all(|x| {
            rows += 1;
            (x - first).abs() < 1e-9
        });
        if alike {
            same.push((quantity, first, rows));
        } else {
            varies = true;
        }
    }
    if !varies {
        return Vec::new();
    }
    same.retain(|(_, figure, rows)| {
        let whole = *figure != 0.0 && figure.fract() == 0.0;
        *rows >= if whole { FEWEST_WHOLE } else { FEWEST }
    });
    let Some((quantity, figure, rows)) = same.first().copied() else {
        return Vec::new();
    };
    let names: Vec<String> = same.iter().skip(1).map(|(q, ..)| logged.name(*q)).collect();
    let others = match names.len() {
        0 => String::new(),
        1 => format!("; and so is {}", names[0]),
        _ => format!("; and so are {}", names.join(", ")),
    };
    asked.question(
        Topic::SameFigure,
        logged.place(quantity),
        [
            format!("{} that differs from shot to shot", logged.name(quantity)),
            format!(
                "the same in all {rows} rows, {}{others}",
                logged.written(quantity, figure)
            ),
            format!(
                "leave the column {} out, or its cells empty, where nothing was measured",
                logged.name(quantity)
            ),
        ],
    );
    same.into_iter().map(|(quantity, ..)| quantity).collect()
}
