//! Questions about a player: a log or a player file whose figures cannot well belong to one player.
//!
//! A log is asked by evidence within it: columns that say the same in two ways (where a ball
//! started, how it bent and where it landed), and what no player, club or ball does (an open face
//! that bends the ball to the closed side). Each question needs rows enough to be more than chance,
//! so that a short or noisy log of an honest player raises none.

mod bag;
mod columns;
mod constant;
mod copies;
mod delivery;
mod directions;
mod flown;
mod player_file;
mod shapes;
mod signs;
mod units;

use super::Handedness;
use super::club::Club;
use super::columns::{Quantity, RULES, unit_of};
use super::group::median;
use super::group::sound_middle;
use super::shotlog::{Shot, ShotLog};
use crate::diagnostic::{Note, Place, Problem, Question, Topic};
use crate::flight::Weather;
pub use player_file::of_player;

/// Most rows that are looked at for what every row shows; of longer logs, evenly spaced ones.
const MOST_ROWS: usize = 6000;
/// Below this share of the middle carry a row is no sound shot.
const SOUND: f64 = 0.7;

/// What is known of a log beside the log.
#[derive(Clone, Copy, Debug)]
pub struct About {
    /// Which hand the player plays with; none where nobody said, as when a file is checked alone.
    pub handedness: Option<Handedness>,
    /// Handicap Index, if known.
    pub handicap: Option<f64>,
    /// The air in which the shots were hit.
    pub weather: Weather,
}

/// Questions about a log, in a fixed order, and notes on what deserves a look.
#[must_use]
pub fn of_log(log: &ShotLog, about: &About) -> (Vec<Question>, Vec<Note>) {
    let logged = Logged::of(log, *about);
    let mut asked = Asked {
        file: &log.file,
        questions: Vec::new(),
        notes: Vec::new(),
    };
    let turned = signs::ask(&logged, &mut asked);
    let same = constant::ask(&logged, &mut asked);
    if !turned.any() {
        directions::ask(&logged, &same, &mut asked);
    }
    constant::one_sided(&logged, &same, &mut asked);
    flown::ask(&logged, turned, &same, &mut asked);
    delivery::ask(&logged, turned, &mut asked);
    shapes::ask(&logged, turned, &mut asked);
    units::ask(&logged, &mut asked);
    columns::ask(&logged, &mut asked);
    copies::ask(&logged, &mut asked);
    bag::ask(&logged, &mut asked);
    (asked.questions, asked.notes)
}

/// Questions and notes as they come up.
struct Asked<'a> {
    file: &'a str,
    questions: Vec<Question>,
    notes: Vec<Note>,
}

impl Asked<'_> {
    /// Expected, found, remedy.
    fn question(&mut self, topic: Topic, place: Place, words: [String; 3]) {
        let [expected, found, remedy] = words;
        self.questions.push(Question {
            topic,
            problem: Problem {
                file: self.file.to_owned(),
                place,
                expected,
                found,
                remedy,
            },
        });
    }

    fn note(&mut self, topic: Topic, place: Place, text: String) {
        self.notes.push(Note {
            file: self.file.to_owned(),
            place,
            text,
            topic: Some(topic),
        });
    }
}

/// Rows of one club.
struct Rows<'a> {
    name: &'a str,
    club: Club,
    /// All that are looked at.
    all: Vec<&'a Shot>,
    /// Those that were no mishit.
    sound: Vec<&'a Shot>,
    /// Their middle carry, m.
    carry_m: f64,
}

/// A log, club by club.
struct Logged<'a> {
    log: &'a ShotLog,
    about: About,
    clubs: Vec<Rows<'a>>,
}

impl<'a> Logged<'a> {
    fn of(log: &'a ShotLog, about: About) -> Self {
        let mut clubs: Vec<Rows<'a>> = Vec::new();
        let every = log.shots.len().div_ceil(MOST_ROWS).max(1);
        for shot in log.shots.iter().step_by(every) {
            match clubs.iter_mut().find(|rows| rows.name == shot.club) {
                Some(rows) => rows.all.push(shot),
                None => clubs.push(Rows {
                    name: &shot.club,
                    club: Club::of(&shot.club),
                    all: vec![shot],
                    sound: Vec::new(),
                    carry_m: 0.0,
                }),
            }
        }
        for rows in &mut clubs {
            let carries: Vec<f64> = rows.all.iter().map(|shot| shot.carry_m).collect();
            rows.carry_m = sound_middle(&carries);
            let sound = |shot: &&&Shot| shot.carry_m >= SOUND * rows.carry_m && shot.carry_m > 5.0;
            rows.sound = rows.all.iter().filter(sound).copied().collect();
        }
        Self { log, about, clubs }
    }

    fn sound(&self) -> impl Iterator<Item = &'a Shot> + '_ {
        self.clubs
            .iter()
            .flat_map(|rows| rows.sound.iter().copied())
    }

    fn place(&self, quantity: Quantity) -> Place {
        self.log.headings.place(quantity)
    }

    fn name(&self, quantity: Quantity) -> String {
        format!("\"{}\"", self.log.headings.name(quantity))
    }

    /// The column of bends, or the two whose difference is the bend.
    fn bend(&self, by_curve: bool) -> String {
        if by_curve {
            return self.name(Quantity::Curve);
        }
        let (side, start) = (self.name(Quantity::Side), self.name(Quantity::Start));
        format!("{side} less {start}")
    }

    /// The unit of a column and what it is in SI, degrees, rpm or mm.
    fn unit(&self, quantity: Quantity) -> (&'static str, f64) {
        let unit = self.log.headings.unit(quantity);
        unit.and_then(|unit| {
            let kind = RULES.iter().find(|rule| rule.quantity == quantity)?.kind;
            unit_of(kind, unit)
        })
        .unwrap_or(("", 1.0))
    }

    /// A figure in the unit of its column.
    fn written(&self, quantity: Quantity, figure: f64) -> String {
        let (unit, si) = self.unit(quantity);
        // Adding 0 turns −0 into 0.
        let number = (figure / si * 100.0).round() / 100.0 + 0.0;
        format!("{number} {unit}").trim_end().to_owned()
    }

    /// The step to which a column is rounded, as its figures are: none where they hardly vary.
    fn step(&self, quantity: Quantity, figures: impl Iterator<Item = f64>) -> f64 {
        let (_, si) = self.unit(quantity);
        let mut figures: Vec<f64> = figures.map(|x| x / si).collect();
        figures.sort_by(f64::total_cmp);
        let kinds = 1 + figures.windows(2).filter(|w| w[1] - w[0] > 1e-6).count();
        if kinds < 4 {
            return 0.0;
        }
        let fits = |step: &f64| {
            let on = |x: &&f64| (*x / step - (*x / step).round()).abs() < 1e-4;
            figures.iter().filter(on).count() * 20 >= figures.len() * 19
        };
        let steps = [10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.01];
        si * steps.into_iter().find(fits).unwrap_or(0.0)
    }
}

/// Direction of a ball so far aside, degrees right; none where it ends wider than it carried.
fn direction_deg(aside_m: f64, carry_m: f64) -> Option<f64> {
    let sine = aside_m / carry_m;
    (sine.abs() <= 1.0).then(|| sine.asin().to_degrees())
}

/// How far the figures are from 0, in the middle.
fn off(figures: &[f64]) -> f64 {
    median(figures.iter().map(|x| x.abs()))
}

/// Straight line through deviations from the middle of each group: the slopes of up to two things
/// at once, their standard errors, and the correlation of the fit.
struct Slopes {
    slope: [f64; 2],
    t: [f64; 2],
    rows: usize,
}

/// Groups of (x1, x2, y); each is taken about its own middle, and rows far out are left out.
fn slopes(groups: &[Vec<[f64; 3]>]) -> Option<Slopes> {
    let mut rows: Vec<[f64; 3]> = Vec::new();
    let mut lost = 0.0;
    for group in groups.iter().filter(|group| group.len() >= 4) {
        let middle: [f64; 3] = std::array::from_fn(|k| median(group.iter().map(|row| row[k])));
        let about: Vec<[f64; 3]> = group
            .iter()
            .map(|row| std::array::from_fn(|k| row[k] - middle[k]))
            .collect();
        let spread: [f64; 3] =
            std::array::from_fn(|k| 1.4826 * median(about.iter().map(|row| row[k].abs())));
        let kept = about
            .into_iter()
            .filter(|row| (0..3).all(|k| row[k].abs() <= 4.0 * spread[k] + 1e-9));
        rows.extend(kept);
        lost += 1.0;
    }
    let n = rows.len() as f64;
    let sum = |i: usize, j: usize| rows.iter().map(|row| row[i] * row[j]).sum::<f64>();
    let (a, b, d) = (sum(0, 0), sum(0, 1), sum(1, 1));
    let (p, q, yy) = (sum(0, 2), sum(1, 2), sum(2, 2));
    let degrees = n - lost - 2.0;
    if degrees < 4.0 {
        return None;
    }
    // With one of the two always 0 the other stands alone.
    let (slope, inverse) = if d < 1e-9 && a > 1e-9 {
        ([p / a, 0.0], [1.0 / a, 0.0])
    } else if a < 1e-9 && d > 1e-9 {
        ([0.0, q / d], [0.0, 1.0 / d])
    } else {
        let det = a * d - b * b;
        if det <= 1e-6 * a * d {
            return None;
        }
        (
            [(d * p - b * q) / det, (a * q - b * p) / det],
            [d / det, a / det],
        )
    };
    let left = (yy - slope[0] * p - slope[1] * q).max(1e-9);
    let t = std::array::from_fn(|k| {
        let error = (left / degrees * inverse[k]).sqrt();
        if error > 0.0 { slope[k] / error } else { 0.0 }
    });
    Some(Slopes {
        slope,
        t,
        rows: rows.len(),
    })
}
