//! Start, curve and side of one ball: any two of them make the third.
//!
//! The rule holds in every row, whoever plays, so that a few rows that break it are enough. What would
//! mend them is sought among the usual mistakes: another unit, an offset, radians, the figures of
//! other rows, signs that were lost.

use super::{Asked, Logged, direction_deg};
use crate::diagnostic::{Place, Topic};
use crate::player::columns::{Kind, Quantity, unit_of};
use crate::player::group::median;
use crate::units::YARD_M;

/// Fewest rows that are tested.
const FEWEST: usize = 6;
/// Most rows that are looked at.
const MOST: usize = 2000;
/// Columns that are apart by more than this contradict each other, degrees. What the device rounds
/// comes on top.
const APART_DEG: f64 = 0.8;
/// A question is asked if this share of the rows, and this many, break the rule; fewer are noted.
const SHARE: f64 = 0.1;
const ROWS: usize = 3;
/// A mistake explains the residuals if undoing it leaves at most this share of them.
const RESIDUAL_SHARE: f64 = 0.35;
/// Small residuals are asked about too if undoing a mistake leaves less than so many steps of rounding.
const TO_THE_DIGIT: f64 = 1.5;
/// Residuals are clipped at this, degrees.
const FAR_DEG: f64 = 10.0;
/// Rows by which a column is moved, one way or the other.
const MOVED: usize = 6;

const SIDE: usize = 0;
const START: usize = 1;
const CURVE: usize = 2;
const COLUMNS: [Quantity; 3] = [Quantity::Side, Quantity::Start, Quantity::Curve];

/// A row: its line, side (m), start (deg), curve (m), carry (m).
struct Row {
    line: usize,
    figures: [f64; 3],
    carry_m: f64,
}

/// A mistake that may have been made: what is left with it undone, degrees, and the words for it.
struct Mistake {
    left_deg: f64,
    column: usize,
    topic: Topic,
    undone: String,
    remedy: String,
}

fn apart_deg(figures: [f64; 3], carry_m: f64) -> f64 {
    let angle = |aside_m: f64| direction_deg(aside_m, carry_m).unwrap_or(90.0 * aside_m.signum());
    angle(figures[SIDE]) - figures[START] - angle(figures[CURVE])
}

/// Mean of what is apart, rows far out cut off.
fn size(apart: impl Iterator<Item = f64>) -> f64 {
    let (mut sum, mut rows) = (0.0, 0.0_f64);
    for deg in apart {
        sum += deg.abs().min(FAR_DEG);
        rows += 1.0;
    }
    sum / rows.max(1.0)
}

/// Asks about side, start and curve that do not agree; columns that are the `same` as others are
/// asked about elsewhere.
pub(super) fn ask(logged: &Logged<'_>, same: &[Quantity], asked: &mut Asked<'_>) {
    let rows = rows(logged);
    if rows.len() < FEWEST || COLUMNS.iter().any(|column| same.contains(column)) {
        return;
    }
    let residuals = Residuals::of(logged, &rows);
    let found = residuals.mistake(logged);
    let fine = found
        .as_ref()
        .is_some_and(|mistake| residuals.is_to_the_digit(mistake));
    if residuals.are_many() || fine {
        residuals.ask(logged, asked, found);
    } else {
        residuals.note(logged, asked);
    }
}

/// The first rows that have all three.
fn rows(logged: &Logged<'_>) -> Vec<Row> {
    let mut rows: Vec<Row> = logged
        .sound()
        .filter_map(|shot| {
            Some(Row {
                line: shot.line,
                figures: [shot.side_m?, shot.start_deg?, shot.curve_m?],
                carry_m: shot.carry_m,
            })
        })
        .collect();
    rows.sort_by_key(|row| row.line);
    rows.truncate(MOST);
    rows
}

/// By how much the three columns contradict each other, row by row.
struct Residuals<'a> {
    rows: &'a [Row],
    apart_deg: Vec<f64>,
    /// The rows whose columns are apart by more than rounding, and by how much, degrees.
    out: Vec<(&'a Row, f64)>,
    /// What rounding makes in the middle, degrees.
    rounding_deg: f64,
}

impl<'a> Residuals<'a> {
    fn of(logged: &Logged<'_>, rows: &'a [Row]) -> Self {
        let steps: [f64; 3] =
            std::array::from_fn(|k| logged.step(COLUMNS[k], rows.iter().map(|row| row.figures[k])));
        // Half a step of each column.
        let rounding_deg = |row: &Row| {
            0.5 * (steps[START] + ((steps[SIDE] + steps[CURVE]) / row.carry_m).to_degrees())
        };
        let apart_deg: Vec<f64> = rows
            .iter()
            .map(|row| apart_deg(row.figures, row.carry_m))
            .collect();
        let out = rows
            .iter()
            .zip(apart_deg.iter().copied())
            .filter(|(row, deg)| deg.abs() > APART_DEG + rounding_deg(row))
            .collect();
        Self {
            rows,
            out,
            rounding_deg: median(rows.iter().map(rounding_deg)),
            apart_deg,
        }
    }

    fn size(&self) -> f64 {
        size(self.apart_deg.iter().copied())
    }

    /// The mistake that explains the residuals best, if one does.
    fn mistake(&self, logged: &Logged<'_>) -> Option<Mistake> {
        // A unit explains all that is apart, or nothing.
        let of_unit = |mistake: &Mistake| {
            mistake.topic != Topic::LengthUnit
                || mistake.left_deg < 2.0 * TO_THE_DIGIT * self.rounding_deg
        };
        let as_logged = self.size();
        mistakes(logged, self.rows)
            .into_iter()
            .filter(of_unit)
            .min_by(|a, b| a.left_deg.total_cmp(&b.left_deg))
            .filter(|mistake| mistake.left_deg <= RESIDUAL_SHARE * as_logged)
    }

    /// Whether a mistake explains residuals down to the rounding.
    fn is_to_the_digit(&self, mistake: &Mistake) -> bool {
        let rounding = self.rounding_deg;
        self.size() > 2.0 * rounding && mistake.left_deg < TO_THE_DIGIT * rounding
    }

    fn are_many(&self) -> bool {
        self.out.len() >= ROWS && self.out.len() as f64 >= SHARE * self.rows.len() as f64
    }

    /// A note on the few rows that break the rule.
    fn note(&self, logged: &Logged<'_>, asked: &mut Asked<'_>) {
        let names = COLUMNS.map(|q| logged.name(q));
        if let Some((row, _)) = self.out.first() {
            asked.note(
                Topic::Directions,
                Place::Line(row.line),
                format!(
                    "{} and {} do not make {} here{}: correct the row if a figure is wrong",
                    names[START],
                    names[CURVE],
                    names[SIDE],
                    match self.out.len() {
                        1 => String::new(),
                        n => format!(" and in {} more of {} rows", n - 1, self.rows.len()),
                    }
                ),
            );
        }
    }

    /// In how many rows the columns contradict each other, and by how much in the middle, yards.
    fn rows_and_yards(&self) -> (usize, f64) {
        let yd = |row: &Row, deg: f64| row.carry_m * deg.abs().to_radians() / YARD_M;
        if self.are_many() {
            let middle = median(self.out.iter().map(|(row, deg)| yd(row, *deg)));
            (self.out.len(), middle)
        } else {
            let all = self.rows.iter().zip(&self.apart_deg);
            (self.rows.len(), median(all.map(|(row, deg)| yd(row, *deg))))
        }
    }

    fn ask(&self, logged: &Logged<'_>, asked: &mut Asked<'_>, found: Option<Mistake>) {
        let names = COLUMNS.map(|q| logged.name(q));
        let (broken, middle) = self.rows_and_yards();
        let undone = found.as_ref().map_or_else(
            || "; no unit, offset, sign or shift of one column mends it".to_owned(),
            |mistake| format!("; {} they agree", mistake.undone),
        );
        let (column, topic, remedy) = found.map_or_else(
            || {
                (
                    SIDE,
                    Topic::Directions,
                    "look at the three columns: one of them was not measured, or is that of other \
                     shots; leave it out"
                        .to_owned(),
                )
            },
            |mistake| (mistake.column, mistake.topic, mistake.remedy),
        );
        asked.question(
            topic,
            logged.place(COLUMNS[column]),
            [
                format!(
                    "a ball that lands where its start line and its curve take it: {} and {} make \
                     {}, right positive in all three",
                    names[START], names[CURVE], names[SIDE]
                ),
                format!(
                    "in {broken} of {} rows they do not, by {middle:.1} yd in the middle{undone}",
                    self.rows.len()
                ),
                remedy,
            ],
        );
    }
}

fn mistakes(logged: &Logged<'_>, rows: &[Row]) -> Vec<Mistake> {
    let mut all = units(logged, rows);
    all.extend(offsets(logged, rows));
    all.extend(radians(logged, rows));
    all.extend((0..3).flat_map(|column| moved(logged, rows, column)));
    all.extend((0..3).map(|column| signs(logged, rows, column)));
    all
}

/// Side or curve, or both, in another unit.
fn units(logged: &Logged<'_>, rows: &[Row]) -> Vec<Mistake> {
    let mut all = Vec::new();
    for columns in [&[SIDE][..], &[CURVE], &[SIDE, CURVE]] {
        let said: Vec<&str> = columns
            .iter()
            .filter_map(|column| logged.log.headings.unit(COLUMNS[*column]))
            .collect();
        let Some(first) = said.first().filter(|unit| said.iter().all(|s| s == *unit)) else {
            continue;
        };
        let Some((_, said_si)) = unit_of(Kind::Length, first) else {
            continue;
        };
        for unit in ["yd", "m", "ft"].into_iter().filter(|unit| unit != first) {
            let Some((_, si)) = unit_of(Kind::Length, unit) else {
                continue;
            };
            let left_deg = size(rows.iter().map(|row| {
                let mut figures = row.figures;
                for column in columns {
                    figures[*column] *= si / said_si;
                }
                apart_deg(figures, row.carry_m)
            }));
            let names: Vec<String> = columns.iter().map(|c| logged.name(COLUMNS[*c])).collect();
            let names = names.join(" and ");
            all.push(Mistake {
                left_deg,
                column: columns[0],
                topic: Topic::LengthUnit,
                undone: format!("with {names} read in {unit}"),
                remedy: format!("correct the unit in the heading of {names}"),
            });
        }
    }
    all
}

/// The same added to a column in every row.
fn offsets(logged: &Logged<'_>, rows: &[Row]) -> Vec<Mistake> {
    let apart: Vec<f64> = rows
        .iter()
        .map(|row| apart_deg(row.figures, row.carry_m))
        .collect();
    let aside = |deg: f64, row: &Row| row.carry_m * deg.to_radians().sin();
    let off_deg = median(apart.iter().copied());
    let off_m = median(rows.iter().zip(&apart).map(|(row, deg)| aside(*deg, row)));
    let yd = off_m / YARD_M;
    let with = |column: usize, by: f64| {
        size(rows.iter().map(|row| {
            let mut figures = row.figures;
            figures[column] -= by;
            apart_deg(figures, row.carry_m)
        }))
    };
    [
        (START, -off_deg, format!("{:.1}\u{b0}", -off_deg)),
        (SIDE, off_m, format!("{yd:.1} yd")),
        (CURVE, -off_m, format!("{:.1} yd", -yd)),
    ]
    .into_iter()
    .map(|(column, by, words)| {
        let name = logged.name(COLUMNS[column]);
        Mistake {
            left_deg: with(column, by),
            column,
            topic: Topic::Directions,
            undone: format!("with {words} taken off every {name}"),
            remedy: format!("measure {name} from the line that the other two are measured from"),
        }
    })
    .collect()
}

/// Starts that vary a 57th as much as they should.
fn radians(logged: &Logged<'_>, rows: &[Row]) -> Option<Mistake> {
    let (mut xy, mut xx) = (0.0, 0.0);
    for row in rows {
        let [side, start, curve] = row.figures;
        let should = apart_deg([side, 0.0, curve], row.carry_m);
        xy += start * should;
        xx += should * should;
    }
    let share = xy / xx.max(1e-9);
    let name = logged.name(Quantity::Start);
    (0.012..0.024).contains(&share).then(|| Mistake {
        // Rounding may have eaten what would be left.
        left_deg: 0.0,
        column: START,
        topic: Topic::Directions,
        undone: format!("with {name} read in radians"),
        remedy: format!("write {name} in degrees"),
    })
}

/// A column that is that of the rows before or after.
fn moved(logged: &Logged<'_>, rows: &[Row], column: usize) -> Vec<Mistake> {
    let name = logged.name(COLUMNS[column]);
    let mut all = Vec::new();
    for by in 1..=MOVED.min(rows.len().saturating_sub(FEWEST)) {
        for up in [false, true] {
            let pairs = rows.iter().zip(&rows[by..]);
            let left_deg = size(pairs.map(|(early, late)| {
                let (own, other) = if up { (early, late) } else { (late, early) };
                let mut figures = own.figures;
                figures[column] = other.figures[column];
                apart_deg(figures, own.carry_m)
            }));
            let way = if up { "up" } else { "down" };
            let lines = if by == 1 { "row" } else { "rows" };
            all.push(Mistake {
                left_deg,
                column,
                topic: Topic::Directions,
                undone: format!("with {name} moved {way} by {by} {lines}"),
                remedy: format!("put every {name} into the row of its own shot"),
            });
        }
    }
    all
}

/// A column that has lost its sign in some rows.
fn signs(logged: &Logged<'_>, rows: &[Row], column: usize) -> Mistake {
    let mut turned = 0;
    let left_deg = size(rows.iter().map(|row| {
        let mut figures = row.figures;
        let as_logged = apart_deg(figures, row.carry_m);
        figures[column] = -figures[column];
        let other = apart_deg(figures, row.carry_m);
        if other.abs() < as_logged.abs() && as_logged.abs() > APART_DEG {
            turned += 1;
            other
        } else {
            as_logged
        }
    }));
    let name = logged.name(COLUMNS[column]);
    Mistake {
        left_deg,
        column,
        topic: [Topic::SideSign, Topic::StartSign, Topic::CurveSign][column],
        undone: format!("with the sign of {name} turned round in {turned} rows"),
        remedy: format!("give every {name} its sign: right is positive, left negative"),
    }
}
