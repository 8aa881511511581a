//! The bag as a whole: clubs that carry in the wrong order, more clubs than anybody carries, and a
//! log without a bad shot.

use super::{Asked, Logged, Rows, direction_deg};
use crate::diagnostic::{Place, Topic, printable};
use crate::player::club::Family;
use crate::player::columns::Quantity;
use crate::player::file::USUAL_HANDICAP;
use crate::player::group::median;
use crate::player::prior;
use crate::player::shotlog::Shot;
use crate::units::YARD_M;

/// Loft by which a club must differ to be shorter for sure, degrees.
pub(super) const MORE_LOFT_DEG: f64 = 9.0;
/// Share by which it carries farther.
const FARTHER: f64 = 1.06;
/// Fewest rows of a club that have a say.
const FEWEST: usize = 4;
/// Farthest middle start off the aim, degrees: a player who starts the ball farther off turns.
const START_DEG: f64 = 12.0;
/// Middle spin of a club beside the usual (practice, with room for slow and steep swings); a player
/// file is asked about somewhat more.
const SPIN_SHARE: [f64; 2] = [0.33, 2.3];
/// Fewest rows that have a say on the roll.
const ROLLS: usize = 8;
/// Rolls that differ by less are alike, m; and the share of rows that are alike where none was
/// measured.
const ALIKE_M: f64 = 0.15;
const SAME: f64 = 0.9;
/// Standard errors beyond which a difference is more than chance.
const SURE: f64 = 4.0;
/// More clubs than a player and a coach have in one log (the Rules allow 14 in a round).
const MOST_CLUBS: usize = 20;
/// A log is too good where its shots spread less than this share of what the level does …
const TIGHT: f64 = 0.6;
/// … and has no mishit where the level has so many: 5 % of honest logs of that length have none.
const MISHITS: f64 = 3.0;
/// Spreads beyond which a shot is a wild one.
const WILD: f64 = 3.5;

pub(super) fn ask(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    order(logged, asked);
    putter(logged, asked);
    start(logged, asked);
    spin(logged, asked);
    roll(logged, asked);
    size(logged, asked);
    good_only(logged, asked);
}

/// Whether a name is that of a putter.
pub(super) fn is_putter(name: &str) -> bool {
    let name = name.trim().to_lowercase();
    name == "pt" || name.contains("putter")
}

fn middle_error(rows: &Rows<'_>) -> f64 {
    let spread = 1.4826 * median(rows.sound.iter().map(|s| (s.carry_m - rows.carry_m).abs()));
    1.25 * spread / (rows.sound.len() as f64).sqrt()
}

fn order(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    let known: Vec<&Rows<'_>> = logged
        .clubs
        .iter()
        .filter(|rows| rows.club.known && rows.sound.len() >= FEWEST)
        .collect();
    let mut wrong: Vec<(f64, &Rows<'_>, &Rows<'_>)> = Vec::new();
    for lofted in &known {
        for long in &known {
            let error = middle_error(lofted).hypot(middle_error(long));
            if lofted.club.loft_deg >= long.club.loft_deg + MORE_LOFT_DEG
                && lofted.carry_m > FARTHER * long.carry_m
                && lofted.carry_m > long.carry_m + SURE * error
            {
                wrong.push((lofted.carry_m / long.carry_m, lofted, long));
            }
        }
    }
    // The first of the worst: the order of the log decides between equals.
    let worst = wrong
        .iter()
        .copied()
        .reduce(|a, b| if b.0 > a.0 { b } else { a });
    let Some((_, lofted, long)) = worst else {
        return;
    };
    let yd = |m: f64| format!("{:.0} yd", m / YARD_M);
    let others = match wrong.len() {
        1 => String::new(),
        n => format!("; {} more pairs stand so", n - 1),
    };
    asked.question(
        Topic::ClubOrder,
        logged.place(Quantity::Carry),
        [
            format!(
                "a {} that carries less far than a {}, which has less loft",
                printable(lofted.name),
                printable(long.name)
            ),
            format!(
                "{} {} ({} shots), {} {} ({} shots){others}",
                printable(lofted.name),
                yd(lofted.carry_m),
                lofted.sound.len(),
                printable(long.name),
                yd(long.carry_m),
                long.sound.len()
            ),
            "look whether the names of the clubs or the carries were exchanged".into(),
        ],
    );
}

fn putter(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    let of_putter = |rows: &&Rows<'_>| is_putter(rows.name) && !rows.sound.is_empty();
    let Some(rows) = logged.clubs.iter().find(of_putter) else {
        return;
    };
    asked.question(
        Topic::Putter,
        Place::Line(rows.all[0].line),
        [
            "clubs for full shots: every club of the log is tried from the tee".into(),
            format!(
                "{} with a {}",
                match rows.all.len() {
                    1 => "1 row".to_owned(),
                    n => format!("{n} rows"),
                },
                printable(rows.name)
            ),
            "delete the rows of the putter: putts are priced by the level".into(),
        ],
    );
}

/// Balls that start far off the aim, in the middle of all.
fn start(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    let starts: Vec<f64> = logged.sound().filter_map(|shot| shot.start_deg).collect();
    let middle = median(starts.iter().copied());
    if starts.len() < FEWEST || middle.abs() <= START_DEG {
        return;
    }
    asked.question(
        Topic::StartLine,
        logged.place(Quantity::Start),
        [
            format!("starts that lie within {START_DEG:.0}\u{b0} of the aim in the middle"),
            format!("{middle:.1}\u{b0} in the middle of {} rows", starts.len()),
            format!(
                "measure {} from the line of the target, degrees right of it",
                logged.name(Quantity::Start)
            ),
        ],
    );
}

/// A club that spins the ball as no such club does.
fn spin(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    for rows in logged.clubs.iter().filter(|rows| rows.club.known) {
        let spins: Vec<f64> = rows.sound.iter().filter_map(|shot| shot.spin_rpm).collect();
        let middle = median(spins.iter().copied());
        let (_, usual_rpm) = rows.club.usual_launch(rows.carry_m);
        if spins.len() < FEWEST || (SPIN_SHARE[0]..=SPIN_SHARE[1]).contains(&(middle / usual_rpm)) {
            continue;
        }
        asked.question(
            Topic::ClubLaunch,
            logged.place(Quantity::Spin),
            [
                format!(
                    "a spin from {:.0} to {:.0} rpm in the middle with a {} that carries so far",
                    SPIN_SHARE[0] * usual_rpm,
                    SPIN_SHARE[1] * usual_rpm,
                    printable(rows.name)
                ),
                format!("{middle:.0} rpm in the middle of {} rows", spins.len()),
                format!(
                    "look at the unit and the column of {}",
                    logged.name(Quantity::Spin)
                ),
            ],
        );
        return;
    }
}

/// Balls that run as far with every club, or farther than any ground lets them.
fn roll(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    let runs = |rows: &Rows<'_>| -> Vec<f64> {
        let run = |shot: &&Shot| Some(shot.total_m? - shot.carry_m);
        rows.sound.iter().filter_map(run).collect()
    };
    // Wedges stop where they land.
    let all: Vec<f64> = logged
        .clubs
        .iter()
        .filter(|rows| rows.club.family != Family::Wedge)
        .flat_map(runs)
        .collect();
    if all.len() < ROLLS {
        return;
    }
    let middle = median(all.iter().copied());
    let yd = |m: f64| format!("{:.0} yd", m / YARD_M);
    // Figures are rounded to a tenth or a whole yard.
    let alike = all.iter().filter(|run| (*run - middle).abs() < ALIKE_M);
    let alike = alike.count() as f64 >= SAME * all.len() as f64;
    let far: Vec<&Rows<'_>> = logged
        .clubs
        .iter()
        .filter(|rows| {
            let most_yd = match rows.club.family {
                Family::Driver | Family::Wood => 75.0,
                Family::Iron => 55.0,
                Family::Wedge => 40.0,
            };
            let runs = runs(rows);
            runs.len() >= FEWEST && median(runs.into_iter()) > most_yd * YARD_M
        })
        .collect();
    let found = if alike {
        format!(
            "in all but a few of {} rows with woods and irons the ball runs {}",
            all.len(),
            yd(middle)
        )
    } else if let Some(rows) = far.first() {
        format!(
            "{} in the middle with the {}",
            yd(median(runs(rows).into_iter())),
            printable(rows.name)
        )
    } else {
        return;
    };
    asked.question(
        Topic::Roll,
        logged.place(Quantity::Total),
        [
            format!(
                "{} beyond {} by what a ball runs, from a few yards with a wedge to 40 yd with a \
                 driver",
                logged.name(Quantity::Total),
                logged.name(Quantity::Carry)
            ),
            found,
            format!(
                "leave {} out where it was not measured, or correct its unit",
                logged.name(Quantity::Total)
            ),
        ],
    );
}

fn size(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    if logged.clubs.len() <= MOST_CLUBS {
        return;
    }
    let names: Vec<&str> = logged.clubs.iter().take(4).map(|rows| rows.name).collect();
    asked.question(
        Topic::BagSize,
        Place::File,
        [
            format!("at most {MOST_CLUBS} clubs: the Rules allow 14 in a round"),
            format!(
                "{} clubs: {}, …",
                logged.clubs.len(),
                printable(&names.join(", "))
            ),
            "write one club in one way, and leave out those that are not played".into(),
        ],
    );
}

/// No mishit and no wild one among many, closer together than the level plays.
fn good_only(logged: &Logged<'_>, asked: &mut Asked<'_>) {
    let handicap = logged.about.handicap.unwrap_or(USUAL_HANDICAP);
    let landing = |shot: &Shot| {
        let across = shot.side_m.or_else(|| {
            let start = shot.carry_m * shot.start_deg?.to_radians().sin();
            Some(start + shot.curve_m?)
        })?;
        direction_deg(across, shot.carry_m)
    };
    let mut shares: Vec<f64> = Vec::new();
    let mut rows_in_all = 0;
    for rows in &logged.clubs {
        if rows.sound.len() < rows.all.len() {
            return;
        }
        let directions: Vec<f64> = rows.sound.iter().filter_map(|s| landing(s)).collect();
        if directions.len() < FEWEST {
            continue;
        }
        let middle = median(directions.iter().copied());
        let spread = 1.4826 * median(directions.iter().map(|d| (d - middle).abs()));
        let family = match rows.club.family {
            Family::Driver => 1.0,
            Family::Wood => 0.95,
            Family::Iron => 0.85,
            Family::Wedge => 0.8,
        };
        let level = prior::offline_deg(handicap) * family;
        let wild = WILD * spread.max(TIGHT * level);
        if directions.iter().any(|d| (d - middle).abs() > wild) {
            return;
        }
        rows_in_all += directions.len();
        shares.extend(std::iter::repeat_n(spread / level, directions.len()));
    }
    let share = median(shares.into_iter());
    let mishits = prior::mishit_share(handicap) * rows_in_all as f64;
    if share > TIGHT || mishits < MISHITS {
        return;
    }
    let said = if logged.about.handicap.is_some() {
        ""
    } else {
        " (assumed: say --handicap)"
    };
    asked.note(
        Topic::GoodShotsOnly,
        Place::File,
        format!(
            "{rows_in_all} shots without a mishit or a wild one, spread {:.1} times as wide as \
             those of Handicap Index {handicap:.0}{said}: if bad shots were left out, add them, for \
             the plan knows only the misses that are logged",
            share
        ),
    );
}
