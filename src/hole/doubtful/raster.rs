//! Implausible cells of a raster.

use std::collections::HashSet;

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
    columns: std::ops::Range<usize>,
    rows: std::ops::Range<usize>,
) -> (Vec<Question>, Vec<Note>) {
    let cells = || {
        rows.clone()
            .flat_map(|row| columns.clone().map(move |column| [column, row]))
    };
    let height = |[column, row]: [usize; 2]| grid.heights_m[row * grid.columns + column];
    let mut questions = Vec::new();
    let mut ask = |[column, row]: [usize; 2], expected: String, found: String, remedy: &str| {
        let place = Place::Pixel {
            column: column + 1,
            row: row + 1,
        };
        let height = metres(height([column, row]));
        let found = format!("a height of {height} m{found}");
        questions.push(question(file, &place, [expected, found, remedy.to_owned()]));
    };
    let known = || cells().filter(|at| !height(*at).is_nan());
    let off = || known().filter(|at| !is_land(height(*at)));
    if let Some(first) = off().next() {
        ask(
            first,
            land_words(),
            more(off().count()),
            "if these cells have no height, name their value in the file (NODATA_value, or the \
             GDAL_NODATA tag of a GeoTIFF)",
        );
    }
    let zeros = known().filter(|at| height(*at) == 0.0).count();
    let others = || known().map(height).filter(|h| *h != 0.0 && is_land(*h));
    let (low, high) = bounds(others());
    let gaps = is_gap(zeros, others().count(), low, high);
    if let (Some(first), true) = (known().find(|at| height(*at) == 0.0), gaps) {
        ask(
            first,
            "a height of the ground in each cell, or none".into(),
            format!(
                "{}, where the others lie between {low:.1} and {high:.1} m",
                more(zeros)
            ),
            "if these cells have no height, name 0 in the file (NODATA_value, or the GDAL_NODATA tag \
             of a GeoTIFF)",
        );
    }
    let sound = |at: [usize; 2]| {
        let height = height(at);
        (is_land(height) && !(gaps && height == 0.0)).then_some(height)
    };
    if let Some((at, bend_m)) = roughness(&sound, cell_m, &columns, &rows) {
        ask(
            at,
            "ground that goes on from one cell to the next".into(),
            format!(
                "; half of the cells lie {bend_m:.0} m or more off the middle of the two beside them"
            ),
            "take another raster: one of the bare ground (a terrain model), without noise",
        );
        return (questions, Vec::new());
    }
    let mut steps: Vec<[usize; 2]> = Vec::new();
    let mut step: Option<([usize; 2], f64)> = None;
    let mut spikes: (usize, Option<[usize; 2]>) = (0, None);
    let mut cliff: Option<([usize; 2], f64)> = None;
    for at in cells() {
        let Some(here) = sound(at) else { continue };
        let (mut count, mut above, mut below) = (0, true, true);
        let mut steepest: f64 = 0.0;
        for (dx, dy) in AROUND {
            let (Some(column), Some(row)) =
                (at[0].checked_add_signed(dx), at[1].checked_add_signed(dy))
            else {
                continue;
            };
            if !(columns.contains(&column) && rows.contains(&row)) {
                continue;
            }
            let Some(there) = sound([column, row]) else {
                continue;
            };
            let distance_m = (dx as f64 * cell_m[0]).hypot(dy as f64 * cell_m[1]);
            let by_m = here - there;
            count += 1;
            above &= by_m > SPIKE_M + distance_m;
            below &= -by_m > SPIKE_M + distance_m;
            if is_step(by_m, distance_m) {
                if steps.last() != Some(&at) && steps.len() < MOST_CELLS_LOOKED_AT {
                    steps.push(at);
                }
                if step.is_none_or(|known| by_m.abs() > known.1) {
                    step = Some((at, by_m.abs()));
                }
            }
            if is_off(by_m, distance_m, CLIFF_M) {
                steepest = steepest.max(by_m.abs());
            }
        }
        if count >= 3 && (above || below) {
            spikes = (spikes.0 + 1, spikes.1.or(Some(at)));
        } else if steepest > cliff.map_or(0.0, |known| known.1) {
            cliff = Some((at, steepest));
        }
    }
    if let Some(first) = spikes.1 {
        ask(
            first,
            "ground that goes on from one cell to the next".into(),
            format!(
                ", more than {SPIKE_M} m off all cells around it{}",
                more(spikes.0)
            ),
            "smooth the raster there, or take another",
        );
    } else if let Some((at, count)) = raised_cells(&sound, cell_m, &columns, &rows, &steps) {
        ask(
            at,
            "ground that goes on from one cell to the next".into(),
            format!(
                "{}, with a step of more than {STEP_M} m all around, steeper than 60°",
                more(count)
            ),
            "smooth the raster there, or take another: one of the bare ground (a terrain model)",
        );
    } else if let Some((at, by_m)) = cliff {
        ask(
            at,
            format!("no cliff of more than {CLIFF_M} m on a hole"),
            format!(", {by_m:.0} m off a cell beside it"),
            "take another raster, or name the value of cells without a height",
        );
    } else if let Some(([column, row], by_m)) = step {
        let place = Place::Pixel {
            column: column + 1,
            row: row + 1,
        };
        let text = format!(
            "a height of {} m, {by_m:.0} m off a cell beside it: the ground is planned with a wall there; look \
             at the heights",
            metres(height([column, row]))
        );
        return (questions, vec![first_note(file, &place, text)]);
    }
    (questions, Vec::new())
}

/// The height of a cell that can be one.
type Sound<'a> = dyn Fn([usize; 2]) -> Option<f64> + 'a;

/// How far half of the cells or more lie off the middle of their two neighbours in the row, m, with
/// the first such cell; none where that is no more than ground bends.
fn roughness(
    sound: &Sound<'_>,
    cell_m: [f64; 2],
    columns: &std::ops::Range<usize>,
    rows: &std::ops::Range<usize>,
) -> Option<([usize; 2], f64)> {
    let width = columns.len().checked_sub(2).filter(|width| *width > 0)?;
    let count = width * rows.len();
    let every = count.div_ceil(MOST_BENDS).max(1);
    let mut bends: Vec<(f64, [usize; 2])> = (0..count)
        .step_by(every)
        .filter_map(|at| {
            let [column, row] = [columns.start + 1 + at % width, rows.start + at / width];
            let [before, here, after] =
                [column - 1, column, column + 1].map(|column| sound([column, row]));
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
    if middle_m <= ROUGH_M.max(ROUGH_SHARE * cell_m[0]) {
        return None;
    }
    let at = first.iter().find(|bend| bend.0 >= middle_m)?.1;
    Some((at, middle_m))
}

/// The first cell of a place that has steps all around it, and how many cells the place has.
fn raised_cells(
    sound: &Sound<'_>,
    cell_m: [f64; 2],
    columns: &std::ops::Range<usize>,
    rows: &std::ops::Range<usize>,
    steps: &[[usize; 2]],
) -> Option<([usize; 2], usize)> {
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
                    .filter(|(column, row)| columns.contains(column) && rows.contains(row));
                let heights = inside.map(|(column, row)| (sound(at), sound([column, row])));
                let (Some((column, row)), Some((Some(here), Some(there)))) = (inside, heights)
                else {
                    // The edge of what is looked at, or of the heights.
                    open = true;
                    continue;
                };
                let distance_m = (dx as f64 * cell_m[0]).hypot(dy as f64 * cell_m[1]);
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
