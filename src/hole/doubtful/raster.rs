//! Implausible cells of a raster.

use std::collections::HashSet;
use std::ops::Range;

use super::{
    CLIFF_M, SPIKE_M, STEP_M, bounds, first_note, is_gap, is_land, is_off, is_step, land_words,
    metres, more, question,
};
use crate::diagnostic::{Note, Place, Question};
use crate::hole::raster::Grid;

/// Most cells of a raised or sunken place that is asked about; a larger one is a hill or a quarry.
const MOST_CELLS_OF_PLACE: usize = 2500;
/// Most cells that are looked at for such places.
const MOST_CELLS_LOOKED_AT: usize = 500_000;
/// The median second difference between cells is noise above this, m, and above half a cell.
const ROUGH_M: f64 = 2.0;
const ROUGH_SHARE: f64 = 0.5;
/// So many bends of a raster are measured.
const MOST_BENDS: usize = 100_000;

/// Questions about the cells of a raster between these columns and rows, and a first note; `cell_m`
/// is the size of a cell in metres.
pub(in crate::hole) fn of_raster(
    file: &str,
    grid: &Grid,
    cell_m: [f64; 2],
    columns: Range<usize>,
    rows: Range<usize>,
) -> (Vec<Question>, Vec<Note>) {
    let mut check = RasterCheck {
        file,
        cells: Cells {
            grid,
            cell_m,
            columns,
            rows,
            zeros_are_gaps: false,
        },
        questions: Vec::new(),
    };
    check.off_land();
    check.zeros();
    if check.is_rough() {
        return (check.questions, Vec::new());
    }
    let unlike = check.cells.unlike_neighbours();
    let note = check.neighbours(&unlike);
    (check.questions, note.into_iter().collect())
}

/// The cells of a raster that are looked at.
struct Cells<'a> {
    grid: &'a Grid,
    cell_m: [f64; 2],
    columns: Range<usize>,
    rows: Range<usize>,
    /// Whether a height of 0 is a missing value.
    zeros_are_gaps: bool,
}

/// The cells while they are looked through. Each step asks its question.
struct RasterCheck<'a> {
    file: &'a str,
    cells: Cells<'a>,
    questions: Vec<Question>,
}

impl RasterCheck<'_> {
    fn ask(&mut self, at: [usize; 2], expected: String, found: String, remedy: &str) {
        let height = metres(self.cells.height_m(at));
        let found = format!("a height of {height} m{found}");
        let words = [expected, found, remedy.to_owned()];
        self.questions.push(question(self.file, &pixel(at), words));
    }

    /// Heights below or above all land.
    fn off_land(&mut self) {
        let cells = &self.cells;
        let off = || cells.known().filter(|at| !is_land(cells.height_m(*at)));
        let Some(first) = off().next() else {
            return;
        };
        let count = off().count();
        self.ask(
            first,
            land_words(),
            more(count),
            "if these cells have no height, name their value in the file (NODATA_value, or the \
             GDAL_NODATA tag of a GeoTIFF)",
        );
    }

    /// Zeros that are missing values.
    fn zeros(&mut self) {
        let cells = &self.cells;
        let zeros = || cells.known().filter(|at| cells.height_m(*at) == 0.0);
        let others = || {
            let heights = cells.known().map(|at| cells.height_m(at));
            heights.filter(|h| *h != 0.0 && is_land(*h))
        };
        let (low, high) = bounds(others());
        let count = zeros().count();
        let gaps = is_gap(count, others().count(), low, high);
        let first = zeros().next();
        self.cells.zeros_are_gaps = gaps;
        if let (Some(first), true) = (first, gaps) {
            self.ask(
                first,
                "a height of the ground in each cell, or none".into(),
                format!(
                    "{}, where the others lie between {low:.1} and {high:.1} m",
                    more(count)
                ),
                "if these cells have no height, name 0 in the file (NODATA_value, or the GDAL_NODATA tag \
                 of a GeoTIFF)",
            );
        }
    }

    /// Whether the raster is noise, so that single cells say nothing.
    fn is_rough(&mut self) -> bool {
        let Some((at, bend_m)) = self.cells.roughness() else {
            return false;
        };
        self.ask(
            at,
            "ground that goes on from one cell to the next".into(),
            format!(
                "; half of the cells lie {bend_m:.0} m or more off the middle of the two beside them"
            ),
            "take another raster: one of the bare ground (a terrain model), without noise",
        );
        true
    }

    /// Spikes, or else a place with steps all around, or else a cliff, or else, as a note, a step.
    fn neighbours(&mut self, unlike: &Unlike) -> Option<Note> {
        if let Some(first) = unlike.first_spike {
            self.ask(
                first,
                "ground that goes on from one cell to the next".into(),
                format!(
                    ", more than {SPIKE_M} m off all cells around it{}",
                    more(unlike.spikes)
                ),
                "smooth the raster there, or take another",
            );
        } else if let Some((at, count)) = self.cells.raised_cells(&unlike.steps) {
            self.ask(
                at,
                "ground that goes on from one cell to the next".into(),
                format!(
                    "{}, with a step of more than {STEP_M} m all around, steeper than 60°",
                    more(count)
                ),
                "smooth the raster there, or take another: one of the bare ground (a terrain model)",
            );
        } else if let Some((at, by_m)) = unlike.cliff {
            self.ask(
                at,
                format!("no cliff of more than {CLIFF_M} m on a hole"),
                format!(", {by_m:.0} m off a cell beside it"),
                "take another raster, or name the value of cells without a height",
            );
        } else if let Some((at, by_m)) = unlike.step {
            let text = format!(
                "a height of {} m, {by_m:.0} m off a cell beside it: the ground is planned with a wall there; look \
                 at the heights",
                metres(self.cells.height_m(at))
            );
            return Some(first_note(self.file, &pixel(at), text));
        }
        None
    }
}

fn pixel([column, row]: [usize; 2]) -> Place {
    Place::Pixel {
        column: column + 1,
        row: row + 1,
    }
}

/// Cells that differ from their neighbours by more than ground does.
#[derive(Default)]
struct Unlike {
    /// Cells above or below all their neighbours, and the first of them.
    spikes: usize,
    first_spike: Option<[usize; 2]>,
    /// The highest cliff among the others, m.
    cliff: Option<([usize; 2], f64)>,
    /// The highest step, m, and the cells that are beside one.
    step: Option<([usize; 2], f64)>,
    steps: Vec<[usize; 2]>,
}

impl Unlike {
    /// Takes a cell and a neighbour with a step between them.
    fn add_step(&mut self, at: [usize; 2], by_m: f64) {
        if self.steps.last() != Some(&at) && self.steps.len() < MOST_CELLS_LOOKED_AT {
            self.steps.push(at);
        }
        if self.step.is_none_or(|known| by_m.abs() > known.1) {
            self.step = Some((at, by_m.abs()));
        }
    }
}

impl Cells<'_> {
    fn height_m(&self, [column, row]: [usize; 2]) -> f64 {
        self.grid.heights_m[row * self.grid.columns + column]
    }

    /// All cells, row by row.
    fn all(&self) -> impl Iterator<Item = [usize; 2]> + '_ {
        self.rows
            .clone()
            .flat_map(|row| self.columns.clone().map(move |column| [column, row]))
    }

    /// Those with a height.
    fn known(&self) -> impl Iterator<Item = [usize; 2]> + '_ {
        self.all().filter(|at| !self.height_m(*at).is_nan())
    }

    /// The height of a cell that can be one.
    fn sound(&self, at: [usize; 2]) -> Option<f64> {
        let height = self.height_m(at);
        (is_land(height) && !(self.zeros_are_gaps && height == 0.0)).then_some(height)
    }

    fn contain(&self, [column, row]: [usize; 2]) -> bool {
        self.columns.contains(&column) && self.rows.contains(&row)
    }

    fn unlike_neighbours(&self) -> Unlike {
        let mut unlike = Unlike::default();
        for at in self.all() {
            let Some(here) = self.sound(at) else { continue };
            let (mut count, mut above, mut below) = (0, true, true);
            let mut steepest: f64 = 0.0;
            for (dx, dy) in AROUND {
                let (Some(column), Some(row)) =
                    (at[0].checked_add_signed(dx), at[1].checked_add_signed(dy))
                else {
                    continue;
                };
                if !self.contain([column, row]) {
                    continue;
                }
                let Some(there) = self.sound([column, row]) else {
                    continue;
                };
                let distance_m = self.distance_m(dx, dy);
                let by_m = here - there;
                count += 1;
                above &= by_m > SPIKE_M + distance_m;
                below &= -by_m > SPIKE_M + distance_m;
                if is_step(by_m, distance_m) {
                    unlike.add_step(at, by_m);
                }
                if is_off(by_m, distance_m, CLIFF_M) {
                    steepest = steepest.max(by_m.abs());
                }
            }
            if count >= 3 && (above || below) {
                unlike.spikes += 1;
                unlike.first_spike = unlike.first_spike.or(Some(at));
            } else if steepest > unlike.cliff.map_or(0.0, |known| known.1) {
                unlike.cliff = Some((at, steepest));
            }
        }
        unlike
    }

    /// The distance of a cell so many columns and rows off.
    fn distance_m(&self, columns: isize, rows: isize) -> f64 {
        (columns as f64 * self.cell_m[0]).hypot(rows as f64 * self.cell_m[1])
    }

    /// How far half of the cells or more lie off the middle of their two neighbours in the row, m, with
    /// the first such cell; none where that is no more than ground bends.
    fn roughness(&self) -> Option<([usize; 2], f64)> {
        let (columns, rows) = (&self.columns, &self.rows);
        let width = columns.len().checked_sub(2).filter(|width| *width > 0)?;
        let count = width * rows.len();
        let every = count.div_ceil(MOST_BENDS).max(1);
        let mut bends: Vec<(f64, [usize; 2])> = (0..count)
            .step_by(every)
            .filter_map(|at| {
                let [column, row] = [columns.start + 1 + at % width, rows.start + at / width];
                let [before, here, after] =
                    [column - 1, column, column + 1].map(|column| self.sound([column, row]));
                Some((
                    (here? - f64::midpoint(before?, after?)).abs(),
                    [column, row],
                ))
            })
            .collect();
        /// Fewer bends say nothing of a raster.
        const LEAST: usize = 50;
        if bends.len() < LEAST {
            return None;
        }
        let first = bends.clone();
        bends.sort_by(|one, other| one.0.total_cmp(&other.0));
        let middle_m = bends[bends.len() / 2].0;
        if middle_m <= ROUGH_M.max(ROUGH_SHARE * self.cell_m[0]) {
            return None;
        }
        let at = first.iter().find(|bend| bend.0 >= middle_m)?.1;
        Some((at, middle_m))
    }

    /// The first cell of a place that has steps all around it, and how many cells the place has.
    fn raised_cells(&self, steps: &[[usize; 2]]) -> Option<([usize; 2], usize)> {
        let mut seen: HashSet<[usize; 2]> = HashSet::new();
        for &start in steps {
            if seen.len() > MOST_CELLS_LOOKED_AT {
                break;
            }
            if !seen.insert(start) {
                continue;
            }
            let mut place = vec![start];
            let mut own = HashSet::from([start]);
            let (mut next, mut open) = (0, false);
            while next < place.len() && place.len() <= MOST_CELLS_OF_PLACE {
                let at = place[next];
                next += 1;
                for (dx, dy) in AROUND {
                    let inside = at[0]
                        .checked_add_signed(dx)
                        .zip(at[1].checked_add_signed(dy))
                        .filter(|(column, row)| self.contain([*column, *row]));
                    let heights =
                        inside.map(|(column, row)| (self.sound(at), self.sound([column, row])));
                    let (Some((column, row)), Some((Some(here), Some(there)))) = (inside, heights)
                    else {
                        // The edge of what is looked at, or of the heights.
                        open = true;
                        continue;
                    };
                    let distance_m = self.distance_m(dx, dy);
                    if is_step(here - there, distance_m) {
                        continue;
                    }
                    if seen.insert([column, row]) {
                        own.insert([column, row]);
                        place.push([column, row]);
                    } else if !own.contains(&[column, row]) {
                        // Of a place that was looked at before and is too large.
                        open = true;
                    }
                }
            }
            if !open && place.len() <= MOST_CELLS_OF_PLACE {
                let first = place.iter().min_by_key(|[column, row]| (*row, *column));
                return first.map(|first| (*first, place.len()));
            }
        }
        None
    }
}

/// The eight cells around one.
const AROUND: [(isize, isize); 8] = [
    (-1, -1),
    (0, -1),
    (1, -1),
    (-1, 0),
    (1, 0),
    (-1, 1),
    (0, 1),
    (1, 1),
];
