//! How far it is from a cell of a grid to others.

/// A way over the grid in straight and slanting steps is at most so many times as long as
/// the straight line: 1/cos 22.5°.
const ROUNDABOUT: f32 = 1.082_392_3;

/// By cell: from no point of it to any point of a source cell is it less than so many
/// cells. Between two cells lie as many whole ones as from the one's middle to that of the
/// nearest cell that touches the other, if only with a corner.
pub(super) fn between_cells(
    [columns, rows]: [usize; 2],
    is_source: impl Fn(usize) -> bool,
) -> Vec<f32> {
    const FAR: f32 = 1.0e4;
    const SLANT: f32 = std::f32::consts::SQRT_2;
    let mut away = vec![FAR; columns * rows];
    for row in 0..rows {
        for column in 0..columns {
            if is_source(row * columns + column) {
                for near in row.saturating_sub(1)..(row + 2).min(rows) {
                    let first = near * columns;
                    away[first + column.saturating_sub(1)..first + (column + 2).min(columns)]
                        .fill(0.0);
                }
            }
        }
    }
    // What a row has from the one before it, then what its cells have from each other.
    let pass = |row: &mut [f32], before: Option<&[f32]>| {
        if let Some(before) = before {
            for (to, from) in row.iter_mut().zip(before) {
                *to = to.min(from + 1.0);
            }
            for (to, from) in row[1..].iter_mut().zip(before) {
                *to = to.min(from + SLANT);
            }
            for (to, from) in row.iter_mut().zip(&before[1..]) {
                *to = to.min(from + SLANT);
            }
        }
        let along = |least: &mut f32, to: &mut f32| {
            *least = to.min(*least + 1.0);
            *to = *least;
        };
        let mut least = FAR;
        row.iter_mut().for_each(|to| along(&mut least, to));
        let mut least = FAR;
        row.iter_mut().rev().for_each(|to| along(&mut least, to));
    };
    for row in 0..rows {
        let (done, rest) = away.split_at_mut(row * columns);
        let before = row.checked_sub(1).map(|before| &done[before * columns..]);
        pass(&mut rest[..columns], before);
    }
    for row in (0..rows).rev() {
        let (rest, done) = away.split_at_mut((row + 1) * columns);
        let before = (row + 1 < rows).then(|| &done[..columns]);
        pass(&mut rest[row * columns..], before);
    }
    away.iter().map(|cells| cells / ROUNDABOUT).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against every source, one by one: never more than the true distance, and
    /// not less than by the roundabout way.
    #[test]
    fn no_source_is_nearer_than_told() {
        for (columns, rows, period) in [(60, 40, 577), (1, 40, 19), (40, 1, 19), (30, 30, 2000)] {
            let is_source = |cell: usize| cell % period == 11;
            let evaluated = between_cells([columns, rows], is_source);
            let sources: Vec<usize> = (0..columns * rows).filter(|c| is_source(*c)).collect();
            for (cell, evaluated) in evaluated.into_iter().enumerate() {
                let between = |source: &usize| {
                    let apart = |a: usize, b: usize| a.abs_diff(b).saturating_sub(1) as f32;
                    let across = apart(cell % columns, source % columns);
                    across.hypot(apart(cell / columns, source / columns))
                };
                let least = sources.iter().map(between).fold(f32::INFINITY, f32::min);
                assert!(evaluated <= least * 1.000_01, "{evaluated} of {least}");
                assert!(
                    evaluated >= least.min(150.0) / 1.082_5,
                    "{evaluated} of {least}"
                );
            }
        }
    }
}
